//! Where a run starts: the equilibrium that the feed-forward vanes give, with
//! an empty integrator.
use super::equilibrium::{NoEquilibrium, equilibrium};
use super::measure::smooth_readings;
use super::rig::{OpenLoop, Rig};
use crate::control::Controller;
use crate::plant::state::PlantState;
use crate::plant::{PlantInput, PlantPoint};
use crate::procedure::Asked;

/// Longest period of a controller \[s\]: beyond it the sensors' lags are stepped over.
const LONGEST_PERIOD_S: f64 = 0.1;

/// A start and how it was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Start {
    /// The state.
    pub state: PlantState,
    /// Vane position, 0 open to 1 closed \[-\].
    pub vane_closed: f64,
    /// One sentence for people.
    pub text: String,
}

/// Why a run cannot start.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum StartFailure {
    /// There is no equilibrium to start from.
    #[error(transparent)]
    NoEquilibrium(#[from] NoEquilibrium),
    /// A run with the controller would have no end, or no sense.
    #[error(
        "the controller `{form}` has a period of {period_s} s, and a run takes those above \
         0 s and up to {LONGEST_PERIOD_S} s"
    )]
    Period {
        /// Name of its form.
        form: String,
        /// Its period \[s\].
        period_s: f64,
    },
    /// No vane position gives what open loop asks for.
    #[error(
        "no vane position gives {wanted}: the equilibria reach from {lowest_kpa:.1} kPa abs \
         ({lowest_at_pct:.0} % closed) to {highest_kpa:.1} kPa abs ({highest_at_pct:.0} % closed)"
    )]
    OutOfReach {
        /// What was asked for, in words.
        wanted: String,
        /// Lowest value \[kPa abs\].
        lowest_kpa: f64,
        /// Where \[% closed\].
        lowest_at_pct: f64,
        /// Highest value \[kPa abs\].
        highest_kpa: f64,
        /// Where \[% closed\].
        highest_at_pct: f64,
    },
}

/// Input that the rig's controller orders at equilibrium at a held speed: fuel
/// through table and smoke limit, by the reading that the state gives.
pub fn steady_input(
    rig: &Rig,
    controller: &dyn Controller,
    asked: Asked,
    state: &PlantState,
) -> PlantInput {
    let seen = rig.plant.evaluate(state, &PlantInput::default());
    steady_input_seen(rig, controller, asked, &seen, state)
}

/// The same, with what does not depend on the input already seen.
fn steady_input_seen(
    rig: &Rig,
    controller: &dyn Controller,
    asked: Asked,
    seen: &PlantPoint,
    state: &PlantState,
) -> PlantInput {
    let readings = smooth_readings(rig, seen, asked.speed_rad_s, rig.fuel_asked_kg(&asked));
    let orders = controller.feed_forward(&readings);
    PlantInput {
        vane_command: state.vane_closed,
        fuel_kg: orders.fuel_kg,
        advance_deg: orders.advance_deg,
        recirculation_open: orders.recirculation_open,
        ..rig.asked_input(&asked)
    }
}

/// The equilibrium at a vane position with the controller's fuel.
pub fn steady_state(
    rig: &Rig,
    asked: Asked,
    vane_closed: f64,
    warm: Option<&PlantState>,
) -> Result<PlantState, NoEquilibrium> {
    let controller = rig.fresh_controller();
    let input = |seen: &PlantPoint, state: &PlantState| {
        steady_input_seen(rig, &*controller, asked, seen, state)
    };
    let vane_closed = rig.plant.actuator.held_by_stops(vane_closed);
    equilibrium(&rig.plant, vane_closed, &input, warm)
}

/// Finds the start of a run.
pub fn start(rig: &Rig, asked: Asked) -> Result<Start, StartFailure> {
    let period_s = rig.fresh_controller().period_s();
    if !(period_s > 0.0 && period_s <= LONGEST_PERIOD_S) {
        return Err(StartFailure::Period {
            form: rig.form.name().to_owned(),
            period_s,
        });
    }
    let rpm = asked.speed_rad_s * 30.0 / std::f64::consts::PI;
    if let Some(vane) = asked.set.vanes {
        let state = steady_state(rig, asked, vane, None)?;
        return Ok(open_loop_start(state, rpm, ", as the procedure sets them"));
    }
    match rig.open_loop {
        None => {
            let vane = feed_forward_vane(rig, asked);
            let state = steady_state(rig, asked, vane, None)?;
            Ok(Start {
                state,
                vane_closed: state.vane_closed,
                text: format!(
                    "from the equilibrium at {rpm:.0} rpm with the feed-forward vane position \
                     ({:.1} % closed) and an empty integrator",
                    100.0 * state.vane_closed
                ),
            })
        }
        Some(OpenLoop::Position(vane)) => {
            let state = steady_state(rig, asked, vane, None)?;
            Ok(open_loop_start(state, rpm, ""))
        }
        Some(OpenLoop::DrivePressure(pa)) => {
            let state = vane_for(rig, asked, pa, "drive pressure", |rig, s| {
                let plant = &rig.plant;
                plant.exhaust.gas_state(&plant.gas, &s.exhaust).pressure_pa
            })?;
            Ok(open_loop_start(
                state,
                rpm,
                ", found for the drive pressure asked for",
            ))
        }
        Some(OpenLoop::Boost(pa)) => {
            let state = vane_for(rig, asked, pa, "boost", |rig, s| {
                let plant = &rig.plant;
                plant.intake.gas_state(&plant.gas, &s.intake).pressure_pa
            })?;
            Ok(open_loop_start(
                state,
                rpm,
                ", found for the boost asked for",
            ))
        }
    }
}

fn open_loop_start(state: PlantState, rpm: f64, how: &str) -> Start {
    Start {
        state,
        vane_closed: state.vane_closed,
        text: format!(
            "from the equilibrium at {rpm:.0} rpm with the vanes held at {:.2} % closed{how}",
            100.0 * state.vane_closed
        ),
    }
}

fn feed_forward_vane(rig: &Rig, asked: Asked) -> f64 {
    let controller = rig.fresh_controller();
    let readings = crate::control::Readings {
        engine_speed_rad_s: asked.speed_rad_s,
        fuel_asked_kg: rig.fuel_asked_kg(&asked),
        ambient_pa: rig.plant.ambient.pressure_pa,
        boost_pa: rig.plant.ambient.pressure_pa,
        intake_k: rig.plant.ambient.temperature_k,
        ..Default::default()
    };
    controller.feed_forward(&readings).vane_command
}

/// Positions tried on the way from open to closed.
const SCAN: usize = 41;

/// The most open equilibrium at which `value` crosses `wanted_pa`.
fn vane_for(
    rig: &Rig,
    asked: Asked,
    wanted_pa: f64,
    what: &str,
    value: impl Fn(&Rig, &PlantState) -> f64,
) -> Result<PlantState, StartFailure> {
    let a = &rig.plant.actuator;
    let mut last: Option<(f64, PlantState)> = None;
    let mut lowest = (f64::INFINITY, 0.0);
    let mut highest = (f64::NEG_INFINITY, 0.0);
    for k in 0..SCAN {
        let vane = a.stop_open + (a.stop_closed - a.stop_open) * k as f64 / (SCAN - 1) as f64;
        let warm = last.as_ref().map(|(_, s)| s);
        let Ok(state) = steady_state(rig, asked, vane, warm) else {
            break;
        };
        let v = value(rig, &state);
        if v < lowest.0 {
            lowest = (v, vane);
        }
        if v > highest.0 {
            highest = (v, vane);
        }
        if let Some((before, from)) = last
            && (before - wanted_pa) * (v - wanted_pa) <= 0.0
        {
            return Ok(bisect(
                rig,
                asked,
                wanted_pa,
                (before, from),
                (v, state),
                &value,
            )?);
        }
        last = Some((v, state));
    }
    Err(StartFailure::OutOfReach {
        wanted: format!("a {what} of {:.1} kPa abs", wanted_pa / 1e3),
        lowest_kpa: lowest.0 / 1e3,
        lowest_at_pct: 100.0 * lowest.1,
        highest_kpa: highest.0 / 1e3,
        highest_at_pct: 100.0 * highest.1,
    })
}

fn bisect(
    rig: &Rig,
    asked: Asked,
    wanted_pa: f64,
    mut a: (f64, PlantState),
    mut b: (f64, PlantState),
    value: &impl Fn(&Rig, &PlantState) -> f64,
) -> Result<PlantState, NoEquilibrium> {
    for _ in 0..60 {
        let middle = 0.5 * (a.1.vane_closed + b.1.vane_closed);
        let state = steady_state(rig, asked, middle, Some(&a.1))?;
        let v = value(rig, &state);
        if (v - wanted_pa).abs() < 1.0 {
            return Ok(state);
        }
        if (a.0 - wanted_pa) * (v - wanted_pa) <= 0.0 {
            b = (v, state);
        } else {
            a = (v, state);
        }
    }
    Ok(b.1)
}
