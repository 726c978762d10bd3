//! The plant at rest: in which terms an equilibrium is sought, and what must
//! vanish there.
//!
//! Pressures, temperatures and speeds are the unknowns, not masses and energies:
//! the flows are smooth in them, so that Newton's method converges from far.
use super::state::PlantState;
use super::{Plant, PlantPoint, StateGuess};

/// One quantity that an equilibrium is sought in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unknown {
    /// Value, in the unit of the quantity.
    pub value: f64,
    /// Its size, by which steps are measured.
    pub size: f64,
}

impl Unknown {
    /// A quantity that is far from zero: its own size.
    pub(super) fn positive(value: f64) -> Self {
        Self { value, size: value }
    }
}

/// Unknowns of a plant without optional elements.
const OWN_UNKNOWNS: usize = 6;

impl Plant {
    /// What an equilibrium is sought in, at a state.
    pub fn unknowns(&self, s: &PlantState) -> Vec<Unknown> {
        let i = self.intake.gas_state(&self.gas, &s.intake);
        let e = self.exhaust.gas_state(&self.gas, &s.exhaust);
        let mut unknowns = vec![
            Unknown::positive(i.pressure_pa),
            Unknown::positive(i.temperature_k),
            Unknown::positive(e.pressure_pa),
            Unknown::positive(e.temperature_k),
            Unknown::positive(e.burned),
            Unknown::positive(self.shaft.speed_rad_s(s.shaft_energy_j)),
        ];
        unknowns.extend(self.unknowns_of_elements(s, &i));
        unknowns
    }

    /// The state at values of the unknowns, in their order, and a vane position;
    /// its ledger is empty.
    pub fn state_of_unknowns(&self, z: &[f64], vane_closed: f64) -> PlantState {
        let guess = StateGuess {
            intake_pressure_pa: z[0],
            intake_temperature_k: z[1],
            exhaust_pressure_pa: z[2],
            exhaust_temperature_k: z[3],
            exhaust_burned: z[4],
            shaft_speed_rad_s: z[5],
            vane_closed,
        };
        self.put_elements(&z[OWN_UNKNOWNS..], self.state_at(&guess))
    }

    /// Rates over what flows through, so that 1 means "all of it is missing"; as
    /// many as there are unknowns.
    pub fn imbalance(&self, p: &PlantPoint) -> Vec<f64> {
        let r = self.rates(p);
        let air = p.engine.intake_flow_kg_s;
        let gas = air + p.engine.fuel_flow_kg_s;
        let intake_w = air * p.intake.properties.cp_j_kg_k * p.intake.temperature_k;
        let exhaust_w = gas * p.exhaust.properties.cp_j_kg_k * p.exhaust.temperature_k;
        // energy at given mass: take out what the mass imbalance alone brings
        let intake_energy =
            r.intake.energy_j - r.intake.mass_kg * p.intake.properties.enthalpy_j_kg;
        let exhaust_energy =
            r.exhaust.energy_j - r.exhaust.mass_kg * p.exhaust.properties.enthalpy_j_kg;
        let mut missing = vec![
            r.intake.mass_kg / air,
            intake_energy / intake_w,
            r.exhaust.mass_kg / gas,
            exhaust_energy / exhaust_w,
            (r.exhaust.burned_kg - r.exhaust.mass_kg * p.exhaust.burned) / gas,
            r.shaft_energy_j / (p.bearing_power_w + p.compressor_power_w.abs() + 1.0),
        ];
        missing.extend(self.imbalance_of_elements(p, &r));
        missing
    }
}
