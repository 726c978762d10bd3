//! The states of the plant: names, units, typical sizes, and the vector that
//! the integrator sees.
//!
//! Mass and internal energy of each volume and the kinetic energy of the shaft
//! are the states, not pressure, temperature and speed: their balances are
//! linear in the flows, so that a Runge-Kutta step conserves them to round-off
//! together with the audit columns that ride in the same vector.
use nalgebra::SVector;

/// Number of slots that every plant has: physics and audit columns.
pub const COMMON_SLOTS: usize = 18;

/// Number of all slots: the common ones, then those of [`Extras`].
pub const SLOTS: usize = 29;

/// The slot of the flow in the compressor's duct.
pub const DUCT_SLOT: usize = COMMON_SLOTS;

/// Slot of the heat in the charge cooler's core.
pub const CORE_SLOT: usize = 19;

/// First slot of the further volumes, three for each.
pub const FIRST_FURTHER_SLOT: usize = 20;

/// How many further volumes a plant may have.
pub const FURTHER_VOLUMES: usize = 3;

/// The state vector in scaled form, as the integrator sees it: all slots, or
/// the common ones alone for a plant without extras.
pub type StateVector<const N: usize> = SVector<f64, N>;

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

/// States that only some plants have; they rest at zero in the others.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Extras {
    /// Air flow in the compressor's duct, where it has inertia \[kg/s\].
    pub duct_flow_kg_s: f64,
    /// Heat in the core of the charge cooler above 298.15 K \[J\].
    pub cooler_core_j: f64,
    /// Content of the further volumes.
    pub volumes: [Content; FURTHER_VOLUMES],
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
    /// States that only some plants have.
    pub extras: Extras,
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
    slot("duct_flow", "kg/s", 0.5),
    slot("cooler_core", "J", 1.0e5),
    slot("first_further_mass", "kg", 0.01),
    slot("first_further_energy", "J", 3.0e3),
    slot("first_further_burned", "kg", 0.01),
    slot("second_further_mass", "kg", 0.01),
    slot("second_further_energy", "J", 3.0e3),
    slot("second_further_burned", "kg", 0.01),
    slot("third_further_mass", "kg", 0.01),
    slot("third_further_energy", "J", 3.0e3),
    slot("third_further_burned", "kg", 0.01),
];

/// Slots of physics that every plant has.
const COMMON_PHYSICS: usize = 8;

/// Whether a slot is an audit column.
pub fn is_audit(slot: usize) -> bool {
    (COMMON_PHYSICS..COMMON_SLOTS).contains(&slot)
}

impl PlantState {
    /// The values in the order of [`LAYOUT`], unscaled.
    pub fn to_values(&self) -> [f64; SLOTS] {
        let l = &self.ledger;
        let x = &self.extras;
        let [first, second, third] = &x.volumes;
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
            x.duct_flow_kg_s,
            x.cooler_core_j,
            first.mass_kg,
            first.energy_j,
            first.burned_kg,
            second.mass_kg,
            second.energy_j,
            second.burned_kg,
            third.mass_kg,
            third.energy_j,
            third.burned_kg,
        ]
    }

    /// The state whose values stand in the order of [`LAYOUT`], unscaled.
    pub fn from_values(v: &[f64; SLOTS]) -> Self {
        let content = |at: usize| Content {
            mass_kg: v[at],
            energy_j: v[at + 1],
            burned_kg: v[at + 2],
        };
        Self {
            intake: content(0),
            exhaust: content(3),
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
            extras: Extras {
                duct_flow_kg_s: v[18],
                cooler_core_j: v[19],
                volumes: [content(20), content(23), content(26)],
            },
        }
    }

    /// The scaled vector for the integrator, its first `N` slots.
    #[inline]
    pub fn to_vector<const N: usize>(&self) -> StateVector<N> {
        let v = self.to_values();
        StateVector::from_fn(|i, _| v[i] / LAYOUT[i].scale)
    }

    /// The state behind a scaled vector; slots that it does not have are zero.
    #[inline]
    pub fn from_vector<const N: usize>(y: &StateVector<N>) -> Self {
        let mut v = [0.0; SLOTS];
        for i in 0..N {
            v[i] = y[i] * LAYOUT[i].scale;
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
        let back = PlantState::from_vector::<SLOTS>(&state.to_vector()).to_values();
        for i in 0..SLOTS {
            assert!((back[i] - v[i]).abs() <= 1e-15 * v[i], "{}", LAYOUT[i].name);
        }
    }

    #[test]
    fn a_plant_without_extras_needs_the_common_slots_alone() {
        let mut v = [0.0; SLOTS];
        for (i, x) in v.iter_mut().take(COMMON_SLOTS).enumerate() {
            *x = (i + 1) as f64;
        }
        let state = PlantState::from_values(&v);
        let back = PlantState::from_vector::<COMMON_SLOTS>(&state.to_vector());
        assert_eq!(back.extras, Extras::default());
        assert!((back.ledger.heat_out_j - state.ledger.heat_out_j).abs() < 1e-12);
    }

    #[test]
    fn a_lost_number_is_found_by_name() {
        let mut v = [1.0; SLOTS];
        v[4] = f64::NAN;
        let slot = PlantState::from_values(&v).first_not_finite();
        assert_eq!(slot.map(|s| s.name), Some("exhaust_energy"));
    }
}
