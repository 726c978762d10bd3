//! Cooled exhaust gas recirculation: exhaust volume → valve → cooler → intake
//! volume.
//!
//! The valve is an isentropic opening on the hot side; the cooler behind it has a
//! constant effectiveness and no loss of its own, which the valve's effective area
//! holds. Both pass gas in either direction, unless a check valve is fitted.
use super::stream::Stream;
use super::volume::GasState;
use crate::gas::WorkingGas;
use crate::gas::nozzle::{Reservoir, mass_flow_between};

/// The line from the exhaust to the intake volume.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Recirculation {
    /// Effective area of the fully open valve \[m²\].
    pub area_m2: f64,
    /// Effectiveness of its cooler \[-\].
    pub effectiveness: f64,
    /// Coolant temperature \[K\].
    pub coolant_k: f64,
    /// Pressure difference at which the check valve is fully open \[Pa\];
    /// `None` where there is no check valve.
    pub check_valve_pa: Option<f64>,
}

/// What is recirculated at one instant, positive from exhaust to intake.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Recirculated {
    /// Out of the exhaust volume.
    pub from_exhaust: Stream,
    /// Into the intake volume.
    pub into_intake: Stream,
    /// Heat to the coolant \[W\].
    pub heat_w: f64,
}

impl Recirculation {
    /// The flow at a valve opening, 0 shut to 1 open.
    ///
    /// ṁ = s A p₀ ψ/√(R T₀) with A = opening × area, as the openings of
    /// [`crate::gas::nozzle`]; s is 1 without a check valve. Behind the valve
    /// h_out = h_in − ε (h_in − h(T_coolant)) at the composition of the stream,
    /// in either direction (Kays & London, Compact Heat Exchangers, ch. 2; from
    /// memory). The effectiveness is taken on enthalpies: on temperatures it
    /// differs by some 2 % from 600 °C down.
    pub fn flow(
        &self,
        gas: &WorkingGas,
        open: f64,
        intake: &GasState,
        exhaust: &GasState,
    ) -> Recirculated {
        let area_m2 = open * self.area_m2;
        if area_m2 == 0.0 {
            return Recirculated::default();
        }
        let share = self.share_open(exhaust.pressure_pa - intake.pressure_pa);
        let flow_kg_s = share * mass_flow_between(area_m2, reservoir(exhaust), reservoir(intake));
        let from = if flow_kg_s >= 0.0 { exhaust } else { intake };
        let coolant_j_kg = gas.enthalpy_j_kg(self.coolant_k, from.burned);
        let given_j_kg = self.effectiveness * (from.properties.enthalpy_j_kg - coolant_j_kg);
        let heat_w = flow_kg_s.abs() * given_j_kg;
        let entering = Stream::carrying(flow_kg_s, from);
        // what comes out has the heat less, whichever way it goes
        let leaving = Stream {
            enthalpy_w: entering.enthalpy_w - flow_kg_s.signum() * heat_w,
            ..entering
        };
        let (from_exhaust, into_intake) = if flow_kg_s >= 0.0 {
            (entering, leaving)
        } else {
            (leaving, entering)
        };
        Recirculated {
            from_exhaust,
            into_intake,
            heat_w,
        }
    }

    /// How far the check valve is open \[-\]: a reed that opens with the pressure
    /// difference, s = 3x² − 2x³ with x = Δp/Δp_open from 0 to 1, so that the flow
    /// leaves zero without a kink.
    fn share_open(&self, difference_pa: f64) -> f64 {
        match self.check_valve_pa {
            None => 1.0,
            Some(full_pa) => {
                let x = (difference_pa / full_pa).clamp(0.0, 1.0);
                x * x * (3.0 - 2.0 * x)
            }
        }
    }
}

fn reservoir(gas: &GasState) -> Reservoir {
    Reservoir {
        pressure_pa: gas.pressure_pa,
        temperature_k: gas.temperature_k,
        gas_constant_j_kg_k: gas.properties.gas_constant_j_kg_k,
        gamma: gas.properties.gamma,
    }
}
