//! Conservation at the plant boundary: what went in, came out and stayed.
//!
//! The ledger integrates each term at its port beside the states; stored
//! content is read from the volumes. Neither knows the other.
use crate::plant::state::{Content, Ledger, PlantState};

/// Relative residuals: (in − out − change of store) over what went through.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Residuals {
    /// Mass, over the air and fuel that came in \[-\].
    pub mass: f64,
    /// Energy, over the fuel energy \[-\].
    pub energy: f64,
    /// Combustion products, over those made \[-\].
    pub burned: f64,
}

/// Residuals of a run from its first and last state.
pub fn residuals(first: &PlantState, last: &PlantState) -> Residuals {
    let l = &last.ledger;
    let stored = |f: fn(&PlantState) -> f64| f(last) - f(first);
    let mass_in = l.air_in_kg + l.fuel_in_kg;
    let mass = mass_in - l.gas_out_kg - stored(|s| held(s, |c| c.mass_kg));
    let burned = l.burned_made_kg - l.burned_out_kg - stored(|s| held(s, |c| c.burned_kg));
    let energy = energy_in_j(l)
        - energy_out_j(l)
        - stored(|s| held(s, |c| c.energy_j) + s.shaft_energy_j + s.extras.cooler_core_j);
    Residuals {
        mass: share_of(mass, mass_in),
        energy: share_of(energy, l.fuel_energy_j.abs().max(l.enthalpy_in_j.abs())),
        burned: share_of(burned, l.burned_made_kg),
    }
}

/// A kind of content in all volumes together.
fn held(s: &PlantState, of: fn(&Content) -> f64) -> f64 {
    let further: f64 = s.extras.volumes.iter().map(of).sum();
    of(&s.intake) + of(&s.exhaust) + further
}

/// A residual over the size of what went through. Where nothing went through
/// and nothing is missing, as in a run that ends at its start, nothing is; every
/// other case shows, a lost number included.
fn share_of(residual: f64, through: f64) -> f64 {
    if residual == 0.0 && through == 0.0 {
        return 0.0;
    }
    residual / through.abs()
}

/// Fuel energy and the enthalpy of the air \[J\].
fn energy_in_j(l: &Ledger) -> f64 {
    l.fuel_energy_j + l.enthalpy_in_j
}

/// Work, heat and the enthalpy of the exhaust gas \[J\].
fn energy_out_j(l: &Ledger) -> f64 {
    l.brake_work_j + l.heat_out_j + l.enthalpy_out_j
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plant::state::Extras;

    fn closed() -> (PlantState, PlantState) {
        let content = |mass_kg, energy_j, burned_kg| Content {
            mass_kg,
            energy_j,
            burned_kg,
        };
        let last = PlantState {
            intake: content(0.06, 4e4, 0.0),
            exhaust: content(0.04, 3e4, 0.1),
            shaft_energy_j: 3e4,
            vane_closed: 0.0,
            ledger: Ledger {
                air_in_kg: 10.0,
                fuel_in_kg: 0.4,
                gas_out_kg: 10.3,
                burned_made_kg: 6.0,
                burned_out_kg: 5.9,
                enthalpy_in_j: -1e5,
                fuel_energy_j: 1.7e7,
                enthalpy_out_j: 5e6,
                brake_work_j: 7e6,
                heat_out_j: 4.8e6,
            },
            extras: Extras::default(),
        };
        (PlantState::default(), last)
    }

    #[test]
    fn a_closed_ledger_leaves_nothing() {
        let (first, last) = closed();
        let r = residuals(&first, &last);
        assert!(r.mass.abs() < 1e-12 && r.energy.abs() < 1e-12 && r.burned.abs() < 1e-12);
    }

    #[test]
    fn every_flipped_term_is_found() {
        let (first, last) = closed();
        let flips: [fn(&mut Ledger); 10] = [
            |l| l.air_in_kg = -l.air_in_kg,
            |l| l.fuel_in_kg = -l.fuel_in_kg,
            |l| l.gas_out_kg = -l.gas_out_kg,
            |l| l.burned_made_kg = -l.burned_made_kg,
            |l| l.burned_out_kg = -l.burned_out_kg,
            |l| l.enthalpy_in_j = -l.enthalpy_in_j,
            |l| l.fuel_energy_j = -l.fuel_energy_j,
            |l| l.enthalpy_out_j = -l.enthalpy_out_j,
            |l| l.brake_work_j = -l.brake_work_j,
            |l| l.heat_out_j = -l.heat_out_j,
        ];
        for (i, flip) in flips.iter().enumerate() {
            let mut last = last;
            flip(&mut last.ledger);
            let r = residuals(&first, &last);
            let worst = r.mass.abs().max(r.energy.abs()).max(r.burned.abs());
            assert!(worst > 1e-3, "term {i} flipped and not found");
        }
    }
}
