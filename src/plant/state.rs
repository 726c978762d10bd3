//! The states of the plant: names, units, typical sizes, and the vector that
//! the integrator sees.
//!
//! Mass and internal energy of each volume and the kinetic energy of the shaft
//! are the states, not pressure, temperature and speed: their balances are
//! linear in the flows, so that a Runge-Kutta step conserves them to round-off
//! together with the audit columns that ride in the same vector.
use nalgebra::SVector;

/// Number of slots of the state vector.
pub const SLOTS: usize = 18;

/// Number of slots that are physics; the rest are audit columns.
pub const PHYSICAL_SLOTS: usize = 8;

/// The state vector in scaled form, as the integrator sees it.
pub type StateVector = SVector<f64, SLOTS>;

/// What is stored in a volume.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Content {
    /// Mass of gas \[kg\].
    pub mass_kg: f64,
    /// Internal energy, sensible above 298.15 K as an enthalpy \[J\].
    pub energy_j: f64,
    /// Mass of stoichiometric combustion products in the gas \[kg\].
    pub burned_kg: f64,
}

/// What has crossed the plant's boundary since the start of the run, each
/// term taken at its port.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Ledger {
    /// Air through the filter \[kg\].
    pub air_in_kg: f64,
    /// Fuel injected \[kg\].
    pub fuel_in_kg: f64,
    /// Gas through the turbine and through leaks \[kg\].
    pub gas_out_kg: f64,
    /// Combustion products made in the cylinders \[kg\].
    pub burned_made_kg: f64,
    /// Combustion products through the turbine and through leaks \[kg\].
    pub burned_out_kg: f64,
    /// Enthalpy of the air at the filter \[J\].
    pub enthalpy_in_j: f64,
    /// Lower heating value of the fuel injected \[J\].
    pub fuel_energy_j: f64,
    /// Enthalpy of the gas after the turbine and out of leaks \[J\].
    pub enthalpy_out_j: f64,
    /// Work at the crankshaft \[J\].
    pub brake_work_j: f64,
    /// Heat to coolant, cooler, walls and bearings, and unburned fuel \[J\].
    pub heat_out_j: f64,
}

/// All states of the plant at one instant.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PlantState {
    /// Intake volume: manifold and boost pipe.
    pub intake: Content,
    /// Exhaust volume: manifold up to the turbine.
    pub exhaust: Content,
    /// Kinetic energy of the turbocharger shaft \[J\].
    pub shaft_energy_j: f64,
    /// Vane position, 0 open to 1 closed \[-\].
    pub vane_closed: f64,
    /// What has crossed the boundary.
    pub ledger: Ledger,
}

/// Name, unit and size of one slot of the state vector.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slot {
    /// Name as traces and errors use it.
    pub name: &'static str,
    /// SI unit.
    pub unit: &'static str,
    /// Typical magnitude: the integrator sees value / scale.
    pub scale: f64,
}

const fn slot(name: &'static str, unit: &'static str, scale: f64) -> Slot {
    Slot { name, unit, scale }
}

/// Audit columns are scaled so large that they never decide a step size.
const AUDIT: f64 = 1e12;

/// The slots in the order of the vector.
pub const LAYOUT: [Slot; SLOTS] = [
    slot("intake_mass", "kg", 0.05),
    slot("intake_energy", "J", 1.0e4),
    slot("intake_burned", "kg", 0.05),
    slot("exhaust_mass", "kg", 0.005),
    slot("exhaust_energy", "J", 2.0e3),
    slot("exhaust_burned", "kg", 0.005),
    slot("shaft_energy", "J", 5.0e3),
    slot("vane_closed", "-", 1.0),
    slot("air_in", "kg", AUDIT),
    slot("fuel_in", "kg", AUDIT),
    slot("gas_out", "kg", AUDIT),
    slot("burned_made", "kg", AUDIT),
    slot("burned_out", "kg", AUDIT),
    slot("enthalpy_in", "J", AUDIT * 1e6),
    slot("fuel_energy", "J", AUDIT * 1e6),
    slot("enthalpy_out", "J", AUDIT * 1e6),
    slot("brake_work", "J", AUDIT * 1e6),
    slot("heat_out", "J", AUDIT * 1e6),
];

impl PlantState {
    /// The values in the order of [`LAYOUT`], unscaled.
    pub fn to_values(&self) -> [f64; SLOTS] {
        let l = &self.ledger;
        [
            self.intake.mass_kg,
            self.intake.energy_j,
            self.intake.burned_kg,
            self.exhaust.mass_kg,
            self.exhaust.energy_j,
            self.exhaust.burned_kg,
            self.shaft_energy_j,
            self.vane_closed,
            l.air_in_kg,
            l.fuel_in_kg,
            l.gas_out_kg,
            l.burned_made_kg,
            l.burned_out_kg,
            l.enthalpy_in_j,
            l.fuel_energy_j,
            l.enthalpy_out_j,
            l.brake_work_j,
            l.heat_out_j,
        ]
    }

    /// The state whose values stand in the order of [`LAYOUT`], unscaled.
    pub fn from_values(v: &[f64; SLOTS]) -> Self {
        Self {
            intake: Content {
                mass_kg: v[0],
                energy_j: v[1],
                burned_kg: v[2],
            },
            exhaust: Content {
                mass_kg: v[3],
                energy_j: v[4],
                burned_kg: v[5],
            },
            shaft_energy_j: v[6],
            vane_closed: v[7],
            ledger: Ledger {
                air_in_kg: v[8],
                fuel_in_kg: v[9],
                gas_out_kg: v[10],
                burned_made_kg: v[11],
                burned_out_kg: v[12],
                enthalpy_in_j: v[13],
                fuel_energy_j: v[14],
                enthalpy_out_j: v[15],
                brake_work_j: v[16],
                heat_out_j: v[17],
            },
        }
    }

    /// The scaled vector for the integrator.
    pub fn to_vector(&self) -> StateVector {
        let v = self.to_values();
        StateVector::from_fn(|i, _| v[i] / LAYOUT[i].scale)
    }

    /// The state behind a scaled vector.
    pub fn from_vector(y: &StateVector) -> Self {
        let mut v = [0.0; SLOTS];
        for (i, value) in v.iter_mut().enumerate() {
            *value = y[i] * LAYOUT[i].scale;
        }
        Self::from_values(&v)
    }

    /// The first slot that is not a finite number, if any.
    pub fn first_not_finite(&self) -> Option<Slot> {
        let v = self.to_values();
        (0..SLOTS).find(|&i| !v[i].is_finite()).map(|i| LAYOUT[i])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn vector_and_struct_agree_slot_by_slot() {
        let mut v = [0.0; SLOTS];
        for (i, x) in v.iter_mut().enumerate() {
            *x = (i + 1) as f64;
        }
        let state = PlantState::from_values(&v);
        assert_eq!(state.to_values(), v);
        let back = PlantState::from_vector(&state.to_vector()).to_values();
        for i in 0..SLOTS {
            assert!((back[i] - v[i]).abs() <= 1e-15 * v[i], "{}", LAYOUT[i].name);
        }
    }

    #[test]
    fn a_lost_number_is_found_by_name() {
        let mut v = [1.0; SLOTS];
        v[4] = f64::NAN;
        let slot = PlantState::from_values(&v).first_not_finite();
        assert_eq!(slot.map(|s| s.name), Some("exhaust_energy"));
    }
}
