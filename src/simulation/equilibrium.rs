//! Equilibria of the plant by Newton's method, and its eigenvalues there.
use super::integrator::{Integrator, TickInput};
use crate::plant::state::{PlantState, SLOTS, StateVector};
use crate::plant::{Plant, PlantInput, PlantPoint, StateGuess};
use nalgebra::{DMatrix, DVector};

const NEWTON_STEPS: usize = 40;
/// Largest relative imbalance of an equilibrium.
const CLOSE: f64 = 1e-10;
/// Relative step of the difference quotients.
const NUDGE: f64 = 1e-6;
/// A Newton step changes no unknown by more than this share.
const MOST_CHANGE: f64 = 0.2;

/// Why no equilibrium was found.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoEquilibrium {
    /// The plant runs away or cycles instead of settling.
    #[error(
        "no equilibrium at {engine_speed_rpm:.0} rpm and {vane_closed_pct:.1} % closed: \
         imbalance {imbalance:.1e} after settling for {settled_s:.0} s"
    )]
    DoesNotSettle {
        /// Engine speed \[rpm\].
        engine_speed_rpm: f64,
        /// Vane position \[% closed\].
        vane_closed_pct: f64,
        /// Relative imbalance left \[-\].
        imbalance: f64,
        /// How long it was left to settle \[s\].
        settled_s: f64,
    },
    /// The flow at which everything would balance lies left of the surge line.
    #[error(
        "no stable equilibrium at {engine_speed_rpm:.0} rpm and {vane_closed_pct:.1} % closed: \
         the compressor would have to stay left of its surge line, at a margin of \
         {surge_margin_pct:.1} %"
    )]
    Surges {
        /// Engine speed \[rpm\].
        engine_speed_rpm: f64,
        /// Vane position \[% closed\].
        vane_closed_pct: f64,
        /// Surge margin there \[%\].
        surge_margin_pct: f64,
    },
}

/// The vane position and the input at a state: fuel may depend on boost
/// through the smoke limit.
pub trait InputAt {
    /// Input at a state, where `seen` holds everything there that does not depend
    /// on the input. The vane command is also the position.
    fn input(&self, seen: &PlantPoint, state: &PlantState) -> PlantInput;
}

impl InputAt for PlantInput {
    fn input(&self, _: &PlantPoint, _: &PlantState) -> PlantInput {
        *self
    }
}

impl<F: Fn(&PlantPoint, &PlantState) -> PlantInput> InputAt for F {
    fn input(&self, seen: &PlantPoint, state: &PlantState) -> PlantInput {
        self(seen, state)
    }
}

/// The plant at a state and the input there.
fn at(plant: &Plant, state: &PlantState, input: &impl InputAt) -> (PlantPoint, PlantInput) {
    let seen = plant.evaluate(state, &PlantInput::default());
    let input = input.input(&seen, state);
    (plant.with_input(seen, state, &input), input)
}

/// Finds the equilibrium at a vane position, from a warm start if given.
///
/// A cold start whose Newton search does not lead to a stable equilibrium lets
/// the plant settle in time, as the machine itself would. With inertia in the
/// compressor's duct an equilibrium left of the surge line is none.
pub fn equilibrium(
    plant: &Plant,
    vane_closed: f64,
    input: &impl InputAt,
    warm: Option<&PlantState>,
) -> Result<PlantState, NoEquilibrium> {
    if let Some(state) = warm {
        let state = PlantState {
            vane_closed,
            ..*state
        };
        if let Ok(found) = newton(plant, state, input) {
            return standing(plant, found, input);
        }
    }
    for boost_ratio in [1.4, 2.2, 3.2] {
        let guess = plant.state_at(&cold_guess(plant, vane_closed, boost_ratio));
        if let Ok(found) = newton(plant, guess, input)
            && is_stable(plant, &found, &at(plant, &found, input).1)
        {
            return standing(plant, found, input);
        }
    }
    let guess = plant.state_at(&cold_guess(plant, vane_closed, 1.3));
    let mut state = plant.with_settled_duct(guess);
    let mut settled_s = 0.0;
    let mut imbalance = f64::INFINITY;
    for spell_s in [2.0, 4.0, 10.0, 20.0] {
        state = settle(plant, state, input, spell_s);
        settled_s += spell_s;
        match newton(plant, state, input) {
            Ok(found) => return standing(plant, found, input),
            Err(left) => imbalance = left,
        }
    }
    let engine = at(plant, &state, input).1.engine_speed_rad_s;
    Err(NoEquilibrium::DoesNotSettle {
        engine_speed_rpm: engine * 30.0 / std::f64::consts::PI,
        vane_closed_pct: 100.0 * vane_closed,
        imbalance,
        settled_s,
    })
}

/// The equilibrium that was found, unless the compressor would have to stay left
/// of its surge line, where there is none.
fn standing(
    plant: &Plant,
    found: PlantState,
    input: &impl InputAt,
) -> Result<PlantState, NoEquilibrium> {
    let (point, input) = at(plant, &found, input);
    if !plant.surges(&point) {
        return Ok(found);
    }
    Err(NoEquilibrium::Surges {
        engine_speed_rpm: input.engine_speed_rad_s * 30.0 / std::f64::consts::PI,
        vane_closed_pct: 100.0 * found.vane_closed,
        surge_margin_pct: 100.0 * point.compressor.surge_margin,
    })
}

/// Whether every eigenvalue lies to the left, the held vanes aside.
fn is_stable(plant: &Plant, state: &PlantState, input: &PlantInput) -> bool {
    eigenvalues_1_s(plant, state, input)
        .iter()
        .all(|e| e[0] < 0.0)
}

/// A state of a boosted engine: tip speed from the enthalpy rise at a usual
/// work coefficient and efficiency, the rest from experience. Only a guess.
fn cold_guess(plant: &Plant, vane_closed: f64, boost_ratio: f64) -> StateGuess {
    let a = &plant.ambient;
    let rise_j_kg = plant
        .gas
        .isentropic(a.temperature_k, 0.0, boost_ratio)
        .enthalpy_change_j_kg;
    let tip_speed_m_s = (rise_j_kg / (0.6 * 0.75)).sqrt();
    StateGuess {
        intake_pressure_pa: boost_ratio * a.pressure_pa,
        intake_temperature_k: a.temperature_k + 25.0,
        exhaust_pressure_pa: 1.1 * boost_ratio * a.pressure_pa,
        exhaust_temperature_k: 900.0,
        exhaust_burned: 0.7,
        shaft_speed_rad_s: 2.0 * tip_speed_m_s / plant.shaft.compressor_wheel_m,
        vane_closed,
    }
}

/// Lets the plant run at held vanes; a failure leaves the last good state.
fn settle(plant: &Plant, mut state: PlantState, input: &impl InputAt, time_s: f64) -> PlantState {
    const STEP_S: f64 = 0.02;
    let mut integrator = Integrator::new(1e-4);
    let steps = (time_s / STEP_S) as usize;
    for k in 0..steps {
        let (point, mut start) = at(plant, &state, input);
        start.vane_command = state.vane_closed;
        let tick = TickInput {
            start,
            speed_rate_rad_s2: 0.0,
        };
        let point = plant.with_input(point, &state, &tick.start);
        match integrator.advance(plant, &state, &point, &tick, k as f64 * STEP_S, STEP_S) {
            Ok((next, _)) => state = next,
            Err(_) => break,
        }
    }
    state
}

/// What is out of balance at a state.
fn imbalance(plant: &Plant, state: &PlantState, input: &impl InputAt) -> DVector<f64> {
    DVector::from_vec(plant.imbalance(&at(plant, state, input).0))
}

/// Newton with difference quotients; the error is the imbalance left.
fn newton(plant: &Plant, start: PlantState, input: &impl InputAt) -> Result<PlantState, f64> {
    let found = |z: &DVector<f64>| plant.state_of_unknowns(z.as_slice(), start.vane_closed);
    let unknowns = plant.unknowns(&start);
    let mut z = DVector::from_iterator(unknowns.len(), unknowns.iter().map(|u| u.value));
    let mut f = imbalance(plant, &found(&z), input);
    for _ in 0..NEWTON_STEPS {
        if f.amax() <= CLOSE {
            return Ok(found(&z));
        }
        let size = sizes(plant, &found(&z));
        let mut jacobian = DMatrix::zeros(z.len(), z.len());
        for j in 0..z.len() {
            let mut nudged = z.clone();
            nudged[j] += NUDGE * size[j];
            let g = imbalance(plant, &found(&nudged), input);
            jacobian.set_column(j, &((g - &f) / NUDGE));
        }
        let Some(step) = jacobian.lu().solve(&(-&f)) else {
            return Err(f.amax());
        };
        if !step.iter().all(|s| s.is_finite()) {
            return Err(f.amax());
        }
        let mut share = (MOST_CHANGE / step.amax()).min(1.0);
        // halve until the imbalance falls
        loop {
            let trial = &z + step.component_mul(&size) * share;
            let g = imbalance(plant, &found(&trial), input);
            if g.norm() < f.norm() || g.amax() <= CLOSE {
                (z, f) = (trial, g);
                break;
            }
            share *= 0.5;
            if share < 1e-4 {
                return if f.amax() < 1e-8 {
                    Ok(found(&z))
                } else {
                    Err(f.amax())
                };
            }
        }
    }
    Err(f.amax())
}

/// Sizes of the unknowns at a state.
fn sizes(plant: &Plant, state: &PlantState) -> DVector<f64> {
    let unknowns = plant.unknowns(state);
    DVector::from_iterator(unknowns.len(), unknowns.iter().map(|u| u.size))
}

/// Eigenvalues \[1/s\] of the plant at a state with held inputs, slowest last;
/// each as (real, imaginary).
///
/// The Jacobian is taken by central differences on the scaled states; the
/// burned mass of the intake, which decouples without recirculation, and the
/// vane position are included.
pub fn eigenvalues_1_s(plant: &Plant, state: &PlantState, input: &PlantInput) -> Vec<[f64; 2]> {
    let y: StateVector<SLOTS> = state.to_vector();
    let rates = |y: &StateVector<SLOTS>| -> StateVector<SLOTS> {
        let s = PlantState::from_vector(y);
        plant.rates(&plant.evaluate(&s, input)).to_vector()
    };
    let slots = plant.active_slots();
    let mut jacobian = DMatrix::zeros(slots.len(), slots.len());
    for (column, &j) in slots.iter().enumerate() {
        let nudge = 1e-6 * y[j].abs().max(1e-3);
        let (mut up, mut down) = (y, y);
        up[j] += nudge;
        down[j] -= nudge;
        let slope = (rates(&up) - rates(&down)) / (2.0 * nudge);
        for (row, &i) in slots.iter().enumerate() {
            jacobian[(row, column)] = slope[i];
        }
    }
    let mut values: Vec<[f64; 2]> = jacobian
        .complex_eigenvalues()
        .iter()
        .map(|c| [c.re, c.im])
        .collect();
    values.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    values
}
