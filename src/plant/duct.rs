//! The duct of the compressor: the column of air that has to be moved.
//!
//! With it the flow is a state, so that the compressor can be left of its surge
//! line for a while and blow backwards. What flows back leaves the intake volume
//! with its enthalpy and composition, passes the cooler the other way, takes the
//! work of the wheel with it as heat and is lost to the ambient; what is drawn
//! afterwards is fresh air of the ambient.

use super::compressor::FlowPoint;
use super::volume::GasState;
use super::{ChargeSide, Plant};

/// Pipe from filter to intake volume, as one column of air.
///
/// Its momentum balance over a constant area, with the pressures of the lumped
/// elements at its ends (Greitzer, J. Eng. Power 98 (1976), 190-198):
/// `dṁ/dt = (A/L)(p_out(ṁ) − k ṁ|ṁ| − p_intake)`. Valid for frequencies far
/// below that of a standing wave in the pipe, `a/(4L)`: 70 Hz for 1.2 m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChargeDuct {
    /// Length of the column \[m\].
    pub length_m: f64,
    /// Its flow area \[m²\].
    pub area_m2: f64,
}

impl ChargeDuct {
    /// Rate of the mass flow \[kg/s²\] under a difference of pressure over the
    /// column \[Pa\].
    pub fn acceleration_kg_s2(&self, difference_pa: f64) -> f64 {
        self.area_m2 / self.length_m * difference_pa
    }

    /// Frequency \[Hz\] of the column on the spring of a volume, after Helmholtz:
    /// `f = a/(2π) √(A/(V L))` with the speed of sound in the volume \[m/s\].
    pub fn helmholtz_hz(&self, volume_m3: f64, sound_speed_m_s: f64) -> f64 {
        sound_speed_m_s / std::f64::consts::TAU
            * (self.area_m2 / (volume_m3 * self.length_m)).sqrt()
    }

    /// Greitzer's parameter `B = U/(2a) √(V/(A L))`: compliance of the volume
    /// over inertia of the column. Surge is deep and slow at large B; below some
    /// 0.7 to 0.8 of a machine with a steep cubic there is none (Greitzer 1976).
    pub fn greitzer_b(&self, volume_m3: f64, sound_speed_m_s: f64, tip_speed_m_s: f64) -> f64 {
        tip_speed_m_s / (2.0 * sound_speed_m_s)
            * (volume_m3 / (self.area_m2 * self.length_m)).sqrt()
    }
}

impl Plant {
    /// The flow that the duct settles to at a state of the gas and the shaft
    /// \[kg/s\]: that of the stable branch.
    pub fn settled_duct_flow_kg_s(&self, intake: &GasState, shaft_speed_rad_s: f64) -> f64 {
        self.compressor_point(intake, shaft_speed_rad_s).flow_kg_s
    }

    /// From the filter to the intake volume at a given flow in the duct.
    pub(super) fn moving_charge(
        &self,
        duct: &ChargeDuct,
        intake: &GasState,
        shaft_speed_rad_s: f64,
        flow_kg_s: f64,
    ) -> ChargeSide {
        let demand = self.compressor_demand(intake, shaft_speed_rad_s);
        // A form that knows its stable branch alone is refused with a duct; were
        // it not, it would rest there.
        let FlowPoint { point, work_ratio } = self
            .compressor
            .at_flow(&demand, flow_kg_s)
            .unwrap_or_else(|| {
                let point = self.compressor.operate(&demand);
                let work_ratio = point.pressure_ratio;
                FlowPoint { point, work_ratio }
            });
        let loss_pa = demand.outlet_loss_pa_s2_kg2 * flow_kg_s * flow_kg_s.abs();
        let difference_pa = point.outlet_pressure_pa - loss_pa - demand.outlet_pressure_pa;
        let side = ChargeSide {
            compressor: point,
            compressor_power_w: 0.0,
            outlet_enthalpy_j_kg: 0.0,
            cooler_heat_w: 0.0,
            charge_enthalpy_w: 0.0,
            inlet_enthalpy_w: 0.0,
            burned_kg_s: 0.0,
            duct_rate_kg_s2: duct.acceleration_kg_s2(difference_pa),
        };
        let work_j_kg = self.work_j_kg(work_ratio, point.efficiency);
        if flow_kg_s >= 0.0 {
            self.forward(side, flow_kg_s, work_j_kg)
        } else {
            self.backward(side, flow_kg_s, work_j_kg, intake)
        }
    }

    /// Fresh air through compressor and cooler into the intake volume.
    fn forward(&self, side: ChargeSide, flow_kg_s: f64, work_j_kg: f64) -> ChargeSide {
        let ambient_k = self.ambient.temperature_k;
        let inlet_j_kg = self.gas.enthalpy_j_kg(ambient_k, 0.0);
        let outlet_j_kg = inlet_j_kg + work_j_kg;
        let coolant_j_kg = self
            .gas
            .enthalpy_j_kg(self.cooler.coolant_k(ambient_k), 0.0);
        let charge_j_kg = self
            .cooler
            .outlet_enthalpy_j_kg(flow_kg_s, outlet_j_kg, coolant_j_kg);
        ChargeSide {
            compressor_power_w: flow_kg_s * work_j_kg,
            outlet_enthalpy_j_kg: outlet_j_kg,
            cooler_heat_w: flow_kg_s * (outlet_j_kg - charge_j_kg),
            charge_enthalpy_w: flow_kg_s * charge_j_kg,
            inlet_enthalpy_w: flow_kg_s * inlet_j_kg,
            ..side
        }
    }

    /// Gas of the intake volume through cooler and compressor to the ambient.
    fn backward(
        &self,
        side: ChargeSide,
        flow_kg_s: f64,
        work_j_kg: f64,
        intake: &GasState,
    ) -> ChargeSide {
        let leaves_j_kg = intake.properties.enthalpy_j_kg;
        let coolant_k = self.cooler.coolant_k(self.ambient.temperature_k);
        let coolant_j_kg = self.gas.enthalpy_j_kg(coolant_k, intake.burned);
        let cooled_j_kg = self
            .cooler
            .outlet_enthalpy_j_kg(-flow_kg_s, leaves_j_kg, coolant_j_kg);
        ChargeSide {
            compressor_power_w: -flow_kg_s * work_j_kg,
            outlet_enthalpy_j_kg: cooled_j_kg,
            cooler_heat_w: -flow_kg_s * (leaves_j_kg - cooled_j_kg),
            charge_enthalpy_w: flow_kg_s * leaves_j_kg,
            inlet_enthalpy_w: flow_kg_s * (cooled_j_kg + work_j_kg),
            burned_kg_s: flow_kg_s * intake.burned,
            ..side
        }
    }
}
