//! Equilibria over the vane travel at one speed and fuel, as a curve over the
//! reading that a command is met by.
use crate::judgement::{Judge, LimitKind};
use crate::procedure::{Asked, FuelAsked};
use crate::simulation::{Rig, equilibrium_sample, steady_state};
use crate::study::ceiling::CeilingPlan;

/// Positions between the open and the closed stop.
const POSITIONS: usize = 33;

/// One equilibrium.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rest {
    /// What the sensor reads \[Pa abs\].
    pub reading_pa: f64,
    /// Power at the crankshaft \[kW\].
    pub power_kw: f64,
    /// Shaft speed \[rpm\].
    pub shaft_speed_rpm: f64,
    /// Vane position, 0 open to 1 closed \[-\].
    pub vane_closed: f64,
    /// Drive pressure \[kPa abs\].
    pub drive_pressure_kpa_abs: f64,
    /// The limit that it breaks, if any.
    pub breaks: Option<LimitKind>,
}

/// The equilibria from open vanes to the highest boost, readings rising.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// In order; never empty.
    pub rests: Vec<Rest>,
}

impl Curve {
    /// Walks the vanes of a rig in its place from open to closed; `None` where
    /// not even open vanes have an equilibrium that the model describes.
    pub fn walk(plan: &CeilingPlan, rig: &Rig, speed_rad_s: f64, fuel: FuelAsked) -> Option<Self> {
        let asked = Asked {
            speed_rad_s,
            speed_rate_rad_s2: 0.0,
            fuel,
            ..Asked::default()
        };
        let stops = rig.fresh_controller().vane_stops();
        let open = stops.held(speed_rad_s, rig.plant.actuator.stop_open);
        let closed = stops.held(speed_rad_s, rig.plant.actuator.stop_closed);
        let bounds = &rig.validity;
        let mut rests: Vec<Rest> = Vec::with_capacity(POSITIONS);
        let mut warm = None;
        for k in 0..POSITIONS {
            let vane = open + (closed - open) * k as f64 / (POSITIONS - 1) as f64;
            let Ok(state) = steady_state(rig, asked, vane, warm.as_ref()) else {
                break;
            };
            warm = Some(state);
            let s = equilibrium_sample(rig, asked, &state);
            let valid = s.drive_pressure_kpa_abs
                <= bounds.drive_to_boost_abs * s.boost_true_kpa_abs
                && s.turbine_inlet_k <= bounds.turbine_inlet_k
                && vane <= bounds.vane_closed;
            let reading_pa = s.boost_sensed_kpa_abs * 1e3;
            // past the highest boost a controller that closes for more never comes back
            if !valid
                || rests
                    .last()
                    .is_some_and(|last| reading_pa <= last.reading_pa)
            {
                break;
            }
            let mut judge = Judge::new(plan.bench_with_pinned_time());
            judge.watch(&s);
            rests.push(Rest {
                reading_pa,
                power_kw: s.power_kw,
                shaft_speed_rpm: s.shaft_speed_rpm,
                vane_closed: state.vane_closed,
                drive_pressure_kpa_abs: s.drive_pressure_kpa_abs,
                breaks: judge.first_exceeded(),
            });
        }
        (!rests.is_empty()).then_some(Self { rests })
    }

    /// Reading with open vanes \[Pa abs\].
    pub fn open_pa(&self) -> f64 {
        self.rests[0].reading_pa
    }

    /// Highest reading that the vanes can bring \[Pa abs\].
    pub fn reach_pa(&self) -> f64 {
        self.rests[self.rests.len() - 1].reading_pa
    }

    /// The equilibrium that a command comes to: straight between two of the walk,
    /// the open stop below the first, the closed one above the last. It breaks
    /// what either neighbour breaks.
    pub fn at(&self, command_pa: f64) -> Rest {
        let above = self
            .rests
            .partition_point(|rest| rest.reading_pa <= command_pa);
        if above == 0 {
            return self.rests[0];
        }
        let a = self.rests[above - 1];
        let Some(b) = self.rests.get(above) else {
            return a;
        };
        let share = (command_pa - a.reading_pa) / (b.reading_pa - a.reading_pa);
        let between = |x: f64, y: f64| x + share * (y - x);
        Rest {
            reading_pa: command_pa,
            power_kw: between(a.power_kw, b.power_kw),
            shaft_speed_rpm: between(a.shaft_speed_rpm, b.shaft_speed_rpm),
            vane_closed: between(a.vane_closed, b.vane_closed),
            drive_pressure_kpa_abs: between(a.drive_pressure_kpa_abs, b.drive_pressure_kpa_abs),
            breaks: if share > 0.0 {
                a.breaks.or(b.breaks)
            } else {
                a.breaks
            },
        }
    }
}
