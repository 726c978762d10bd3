//! Where a command comes to rest, and when a run is so near to it that the
//! rest of the watch can tell nothing new.
use super::window::{Rest, full_fuel};
use crate::control::Readings;
use crate::judgement::Limit;
use crate::simulation::{Rig, Sample, equilibrium_sample, steady_state};

/// A reading this close to its command is met \[Pa\]: below any converter step.
const MET_PA: f64 = 1.0;
/// How far the loop may hunt either way, in steps of the converter.
const HUNT_STEPS: f64 = 2.0;
/// Secant steps; two or three do from a neighbour.
const STEPS: usize = 12;

/// The fixed point of the closed loop at a held speed: reading and command meet,
/// or the vanes stand at a stop of the controller.
#[derive(Debug, Clone)]
pub struct Settled {
    /// Everything there, with a smooth reading.
    pub sample: Sample,
    /// Headroom of each limit there, in the order of the limits.
    centre: Vec<Option<f64>>,
    /// The least of it as the loop hunts around the point.
    least: Vec<Option<f64>>,
    /// How far the reading is from being pinned \[kPa\].
    unpinned_kpa: f64,
}

impl Settled {
    /// The fixed point of a rig with its command and its sensor, sought from the
    /// equilibria walked with rising boost; `None` where there is none, where the
    /// loop is known not to rest there, or where a limit is broken at it.
    pub fn of(
        rig: &Rig,
        speed_rad_s: f64,
        command_pa: f64,
        walked: &[Rest],
        limits: &[Limit],
    ) -> Option<Self> {
        let chain = &rig.sensors.boost.chain;
        if !rig.faults.is_empty() || chain.error.noise_pa > 0.0 {
            return None;
        }
        let rest_at = |command_pa: f64| {
            at_command(rig, speed_rad_s, command_pa, walked)
                .filter(|sample| stays(rig, speed_rad_s, sample))
        };
        let sample = rest_at(command_pa)?;
        // the reading goes in steps, and between them the loop hunts
        let hunt_pa = HUNT_STEPS * chain.converter_step_pa();
        let mut least: Vec<Option<f64>> = headrooms(&sample, limits).collect();
        for beside_pa in [command_pa - hunt_pa, command_pa + hunt_pa] {
            let beside = rest_at(beside_pa)?;
            for (least, here) in least.iter_mut().zip(headrooms(&beside, limits)) {
                *least = least.zip(here).map(|(a, b)| a.min(b));
            }
        }
        let centre = headrooms(&sample, limits).collect();
        let unpinned_kpa =
            (chain.readable_ceiling_pa() - hunt_pa) * 1e-3 - sample.boost_sensed_kpa_abs;
        let sound = !sample.pinned
            && unpinned_kpa > 0.0
            && least.iter().flatten().all(|&headroom| headroom > 0.0);
        sound.then_some(Self {
            sample,
            centre,
            least,
            unpinned_kpa,
        })
    }

    /// How far a sample is from rest, as the largest share of any headroom there
    /// that it is away; infinite where it is too far for that to mean anything.
    fn distance(&self, s: &Sample, limits: &[Limit]) -> f64 {
        /// Around the fixed point the loop is as good as linear.
        const NEAR_KPA: f64 = 5.0;
        const NEAR_PCT: f64 = 5.0;
        let reading_kpa = (s.boost_sensed_kpa_abs - self.sample.boost_sensed_kpa_abs).abs();
        let vanes_pct = (s.vane_command_pct - self.sample.vane_command_pct).abs();
        if s.pinned || s.active_protections != 0 || reading_kpa > NEAR_KPA || vanes_pct > NEAR_PCT {
            return f64::INFINITY;
        }
        let shares = headrooms(s, limits)
            .zip(self.centre.iter().zip(&self.least))
            .filter_map(|(now, (centre, least))| Some((now? - (*centre)?).abs() / (*least)?));
        shares.fold(reading_kpa / self.unpinned_kpa, f64::max)
    }
}

fn headrooms<'a>(s: &'a Sample, limits: &'a [Limit]) -> impl Iterator<Item = Option<f64>> + 'a {
    limits
        .iter()
        .map(|limit| limit.kind.value(s, 0.0).map(|value| limit.headroom(value)))
}

/// The equilibrium at which the reading is the command, by the secant rule over the
/// vane position; at a stop where the command lies beyond what it gives.
pub fn at_command(rig: &Rig, speed_rad_s: f64, command_pa: f64, walked: &[Rest]) -> Option<Sample> {
    let asked = full_fuel(speed_rad_s);
    let stops = rig.fresh_controller().vane_stops();
    let stop_open = stops.held(speed_rad_s, rig.plant.actuator.stop_open);
    let stop_closed = stops.held(speed_rad_s, rig.plant.actuator.stop_closed);
    let upper = walked
        .iter()
        .position(|r| r.reading_pa >= command_pa)
        .unwrap_or(walked.len() - 1)
        .max(1);
    let (low, high) = (walked.get(upper - 1)?, walked.get(upper)?);
    let sample_at = |vane: f64, from: &Rest| {
        let state = steady_state(rig, asked, vane, Some(&from.state)).ok()?;
        Some(equilibrium_sample(rig, asked, &state))
    };
    let mut slope =
        (high.reading_pa - low.reading_pa) / (high.state.vane_closed - low.state.vane_closed);
    let mut vane = low.state.vane_closed + (command_pa - low.reading_pa) / slope;
    let mut before: Option<(f64, f64)> = None;
    for _ in 0..STEPS {
        vane = vane.max(stop_open).min(stop_closed);
        let sample = sample_at(vane, low)?;
        let short_pa = command_pa - sample.boost_sensed_kpa_abs * 1e3;
        let at_stop =
            (vane >= stop_closed && short_pa > 0.0) || (vane <= stop_open && short_pa < 0.0);
        if short_pa.abs() < MET_PA || at_stop {
            return Some(sample);
        }
        if let Some((vane_before, short_before)) = before
            && vane != vane_before
        {
            slope = (short_before - short_pa) / (vane - vane_before);
        }
        if !(slope.is_finite() && slope > 0.0) {
            return None;
        }
        before = Some((vane, short_pa));
        vane += short_pa / slope;
    }
    None
}

/// Whether the controller stays at a point once it is there.
fn stays(rig: &Rig, speed_rad_s: f64, s: &Sample) -> bool {
    let asked = full_fuel(speed_rad_s);
    let readings = Readings {
        engine_speed_rad_s: speed_rad_s,
        fuel_asked_kg: rig.fuel_asked_kg(&asked),
        boost_pa: s.boost_sensed_kpa_abs * 1e3,
        ambient_pa: rig.plant.ambient.pressure_pa,
        intake_k: s.intake_k,
        drive_pressure_pa: s.drive_pressure_sensed_kpa_abs.map(|kpa| kpa * 1e3),
        shaft_speed_rad_s: s
            .shaft_speed_sensed_rpm
            .map(|rpm| rpm * std::f64::consts::PI / 30.0),
        ..Default::default()
    };
    rig.fresh_controller()
        .rests_at(&readings, s.vane_closed_pct * 1e-2)
}

/// Sees when a run is near its rest for good.
///
/// For a while every limit and the reading have to be away from where they come to
/// rest by no more than half of the headroom that they have there, and in the second
/// half of that while no further than in the first. What decays so would have to
/// swing out to more than twice its distance to exceed anything. Where the headroom
/// is small this takes long, and where there is none the run is watched to its end.
#[derive(Debug, Clone)]
pub struct Approach {
    settled: Settled,
    from_s: f64,
    since_s: Option<f64>,
    first: f64,
    second: f64,
}

impl Approach {
    /// How long a run must stay near \[s\]: several time constants of what is fast,
    /// the volumes, the sensor and the vanes.
    const WHILE_S: f64 = 0.6;
    /// Largest distance, as a share of the headroom.
    const NEAR: f64 = 0.5;

    /// Looks from a time on \[s\], when nothing more is asked of the engine.
    pub fn new(settled: Settled, from_s: f64) -> Self {
        Self {
            settled,
            from_s,
            since_s: None,
            first: 0.0,
            second: 0.0,
        }
    }

    /// Where it comes to rest, once a sample shows that it will.
    pub fn ends_at(&mut self, s: &Sample, limits: &[Limit]) -> Option<Sample> {
        if s.time_s < self.from_s {
            return None;
        }
        let distance = self.settled.distance(s, limits);
        if distance > Self::NEAR {
            self.since_s = None;
            return None;
        }
        let Some(since_s) = self.since_s else {
            (self.since_s, self.first, self.second) = (Some(s.time_s), distance, 0.0);
            return None;
        };
        let gone_s = s.time_s - since_s;
        if gone_s < 0.5 * Self::WHILE_S {
            self.first = self.first.max(distance);
        } else {
            self.second = self.second.max(distance);
        }
        if gone_s < Self::WHILE_S {
            return None;
        }
        if self.second > self.first {
            self.since_s = None;
            return None;
        }
        let mut rest = self.settled.sample;
        (rest.time_s, rest.engine_speed_rpm) = (s.time_s, s.engine_speed_rpm);
        Some(rest)
    }
}
