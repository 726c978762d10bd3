//! The plant at rest: in which terms an equilibrium is sought, and what must
//! vanish there.
//!
//! Pressures, temperatures and speeds are the unknowns, not masses and energies:
//! the flows are smooth in them, so that Newton's method converges from far.
use super::state::PlantState;
use super::volume::Thermal;
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

/// Temperature that the content of an isothermal exhaust volume is reckoned at
/// \[K\]; only the starting value of its mass depends on it.
const NOMINAL_EXHAUST_K: f64 = 800.0;

impl Plant {
    /// What an equilibrium is sought in, at a state. The temperature of an
    /// isothermal volume is no unknown.
    pub fn unknowns(&self, s: &PlantState) -> Vec<Unknown> {
        let i = self.intake.gas_state(&self.gas, &s.intake);
        let e = self.exhaust.gas_state(&self.gas, &s.exhaust);
        let mut unknowns = vec![Unknown::positive(i.pressure_pa)];
        if !self.intake.is_isothermal() {
            unknowns.push(Unknown::positive(i.temperature_k));
        }
        unknowns.push(Unknown::positive(e.pressure_pa));
        if !self.exhaust.is_isothermal() {
            unknowns.push(Unknown::positive(e.temperature_k));
            unknowns.push(Unknown::positive(e.burned));
        }
        unknowns.push(Unknown::positive(self.shaft.speed_rad_s(s.shaft_energy_j)));
        unknowns.extend(self.unknowns_of_elements(s, &i));
        unknowns
    }

    /// The state at values of the unknowns, in their order, and a vane position;
    /// its ledger is empty. The flow in a duct with inertia is the one that it
    /// settles to, so that it is none of the unknowns.
    pub fn state_of_unknowns(&self, z: &[f64], vane_closed: f64) -> PlantState {
        let mut rest = z.iter().copied();
        let mut next = || rest.next().unwrap_or(f64::NAN);
        let intake_pressure_pa = next();
        let intake_temperature_k = match self.intake.thermal {
            Thermal::Held(t_k) => t_k,
            Thermal::EnergyBalance | Thermal::ByEngine => next(),
        };
        let exhaust_pressure_pa = next();
        let (exhaust_temperature_k, exhaust_burned) = if self.exhaust.is_isothermal() {
            (NOMINAL_EXHAUST_K, 1.0)
        } else {
            (next(), next())
        };
        let guess = StateGuess {
            intake_pressure_pa,
            intake_temperature_k,
            exhaust_pressure_pa,
            exhaust_temperature_k,
            exhaust_burned,
            shaft_speed_rad_s: next(),
            vane_closed,
        };
        let elements: Vec<f64> = rest.collect();
        self.with_settled_duct(self.put_elements(&elements, self.state_at(&guess)))
    }

    /// The same state with the flow in the duct, if that has inertia, at the
    /// value that it settles to.
    pub fn with_settled_duct(&self, mut state: PlantState) -> PlantState {
        if self.duct.is_some() {
            let intake = self.intake.gas_state(&self.gas, &state.intake);
            let further = self.further.gas(&self.gas, &state.extras);
            let shaft_speed_rad_s = self.shaft.speed_rad_s(state.shaft_energy_j);
            state.extras.duct_flow_kg_s =
                self.settled_duct_flow_kg_s(&intake, &further, shaft_speed_rad_s);
        }
        state
    }

    /// Whether a state that was found with the duct at the stable branch's flow
    /// is none, because left of the branch there is nothing that stays.
    pub fn surges(&self, p: &PlantPoint) -> bool {
        self.duct.is_some() && p.compressor.surging
    }

    /// Whether a slot of the physics plays no part in this plant: mass and burned
    /// gas of an isothermal volume only count, and vanes may move nothing.
    pub(super) fn rests(&self, slot: usize) -> bool {
        match slot {
            0 | 2 => self.intake.is_isothermal(),
            3 | 5 => self.exhaust.is_isothermal(),
            7 => !self.turbine.has_vanes(),
            _ => false,
        }
    }

    /// Rates over what flows through, so that 1 means "all of it is missing"; as
    /// many as there are unknowns.
    pub fn imbalance(&self, p: &PlantPoint) -> Vec<f64> {
        let r = self.rates(p);
        let air = p.engine.intake_flow_kg_s;
        let gas = air + p.engine.fuel_flow_kg_s;
        let mut missing = vec![r.intake.mass_kg / air];
        if !self.intake.is_isothermal() {
            let through_w = air * p.intake.properties.cp_j_kg_k * p.intake.temperature_k;
            // energy at given mass: take out what the mass imbalance alone brings
            let energy = r.intake.energy_j - r.intake.mass_kg * p.intake.properties.enthalpy_j_kg;
            missing.push(energy / through_w);
        }
        missing.push(r.exhaust.mass_kg / gas);
        if !self.exhaust.is_isothermal() {
            let through_w = gas * p.exhaust.properties.cp_j_kg_k * p.exhaust.temperature_k;
            let energy =
                r.exhaust.energy_j - r.exhaust.mass_kg * p.exhaust.properties.enthalpy_j_kg;
            missing.push(energy / through_w);
            missing.push((r.exhaust.burned_kg - r.exhaust.mass_kg * p.exhaust.burned) / gas);
        }
        missing.push(r.shaft_energy_j / (p.bearing_power_w + p.compressor_power_w.abs() + 1.0));
        missing.extend(self.imbalance_of_elements(p, &r));
        missing
    }
}
