//! Watches the samples of a run against the limits.
use super::limit::{Limit, LimitKind, drive_to_boost_gauge};
use super::result::{Instant, LimitResult, MapsResult, Peaks, ProtectionResult, SensorResult};
use super::surge_watch::SurgeWatch;
use crate::map::Table1;
use crate::simulation::{Observer, PROTECTIONS, Sample};
use std::ops::ControlFlow;

/// So near to their closed stop the vanes count as being there \[% closed\].
const AT_STOP_WITHIN_PCT: f64 = 1.0;

/// What the judge needs to know besides the samples.
#[derive(Debug, Clone, PartialEq)]
pub struct Bench {
    /// The limits.
    pub limits: Vec<Limit>,
    /// Highest reading of the boost sensor \[kPa abs\].
    pub readable_ceiling_kpa_abs: Option<f64>,
    /// Names of the protections that the controller has.
    pub protections: Vec<&'static str>,
    /// How far below the command the true boost counts as unreached \[kPa\].
    pub unreached_by_kpa: f64,
    /// Furthest closed that the controller lets the vanes go, over engine speed
    /// \[rad/s → -\].
    pub most_closed: Table1,
    /// Closed stop of the actuator \[-\].
    pub stop_closed: f64,
    /// Whether surge is simulated: the compressor's duct has inertia.
    pub surge_simulated: bool,
}

impl Bench {
    /// Whether the vanes are as far closed as controller and actuator let them go.
    pub fn vanes_at_closed_stop(&self, s: &Sample) -> bool {
        let speed_rad_s = s.engine_speed_rpm * std::f64::consts::TAU / 60.0;
        let stop = self.most_closed.at(speed_rad_s).min(self.stop_closed);
        s.vane_closed_pct >= stop * 100.0 - AT_STOP_WITHIN_PCT
    }

    /// Whether boost is short of its command with the vanes at their closed stop,
    /// and not because the reading is pinned.
    pub fn out_of_reach(&self, s: &Sample) -> bool {
        let short = s
            .boost_command_kpa_abs
            .is_some_and(|command| s.boost_true_kpa_abs < command - self.unreached_by_kpa);
        short && self.vanes_at_closed_stop(s) && !s.pinned
    }
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct Worst {
    value: f64,
    headroom: f64,
    headroom_pct: f64,
    time_s: f64,
    engine_speed_rpm: f64,
}

#[derive(Debug, Clone, PartialEq)]
struct LimitWatch {
    limit: Limit,
    worst: Option<Worst>,
    exceeded_s: f64,
    first_exceeded_s: Option<f64>,
}

/// Judges a run sample by sample.
#[derive(Debug, Clone, PartialEq)]
pub struct Judge {
    bench: Bench,
    limits: Vec<LimitWatch>,
    peaks: Option<Peaks>,
    fastest: Option<Sample>,
    sensor: SensorResult,
    protections: Vec<ProtectionResult>,
    compressor_off_s: f64,
    turbine_off_s: f64,
    surge_s: f64,
    surge: SurgeWatch,
    watched_s: f64,
    pinned_since_s: Option<f64>,
    last_s: Option<f64>,
}

impl Judge {
    /// A judge who has seen nothing.
    pub fn new(bench: Bench) -> Self {
        let limits = bench
            .limits
            .iter()
            .map(|&limit| LimitWatch {
                limit,
                worst: None,
                exceeded_s: 0.0,
                first_exceeded_s: None,
            })
            .collect();
        let protections = bench
            .protections
            .iter()
            .map(|name| ProtectionResult {
                name: (*name).to_string(),
                first_s: None,
                active_s: 0.0,
                blind_s: 0.0,
            })
            .collect();
        Self {
            sensor: SensorResult {
                readable_ceiling_kpa_abs: bench.readable_ceiling_kpa_abs,
                ..SensorResult::default()
            },
            bench,
            limits,
            peaks: None,
            fastest: None,
            protections,
            compressor_off_s: 0.0,
            turbine_off_s: 0.0,
            surge_s: 0.0,
            surge: SurgeWatch::default(),
            watched_s: 0.0,
            pinned_since_s: None,
            last_s: None,
        }
    }

    /// Judges one sample. Each stands for the time since the one before.
    pub fn watch(&mut self, s: &Sample) {
        let span_s = self.last_s.map_or(0.0, |last| s.time_s - last);
        self.last_s = Some(s.time_s);
        self.watched_s += span_s;
        let pinned_for_s = self.watch_sensor(s, span_s);
        for watch in &mut self.limits {
            watch.see(s, span_s, pinned_for_s);
        }
        self.watch_protections(s, span_s);
        let spent = |on: bool| if on { span_s } else { 0.0 };
        self.compressor_off_s += spent(s.compressor_extrapolated);
        self.turbine_off_s += spent(s.turbine_extrapolated);
        self.surge_s += spent(s.surge_margin_pct < 0.0);
        self.surge.see(s, span_s);
        let now = at_instant(s);
        self.peaks = Some(self.peaks.map_or(now, |p| higher(&p, &now)));
        if self
            .fastest
            .is_none_or(|f| s.shaft_speed_rpm > f.shaft_speed_rpm)
        {
            self.fastest = Some(*s);
        }
    }

    /// Sees a sample that is not judged, so that a pinned reading is known to
    /// have been pinned since then.
    pub fn pass_by(&mut self, s: &Sample) {
        if s.pinned {
            self.pinned_since_s.get_or_insert(s.time_s);
        } else {
            self.pinned_since_s = None;
        }
        self.last_s = None;
    }

    /// Whether a limit has been exceeded so far.
    pub fn exceeded(&self) -> bool {
        self.limits.iter().any(|l| l.first_exceeded_s.is_some())
    }

    /// The limit that was exceeded first, if any; of several at once the one
    /// furthest beyond its bound.
    pub fn first_exceeded(&self) -> Option<LimitKind> {
        self.limits
            .iter()
            .filter_map(|l| Some((l.first_exceeded_s?, l.worst?.headroom_pct, l.limit.kind)))
            .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)))
            .map(|(_, _, kind)| kind)
    }

    /// Each limit with its worst value.
    pub fn limits(&self) -> Vec<LimitResult> {
        self.limits.iter().map(LimitWatch::result).collect()
    }

    /// Extreme values; zeros before the first sample.
    pub fn peaks(&self) -> Peaks {
        self.peaks.unwrap_or_default()
    }

    /// Everything at the instant of the highest shaft speed.
    pub fn at_peak_shaft_speed(&self) -> Instant {
        self.fastest.map_or_else(Instant::default, |s| Instant {
            time_s: s.time_s,
            engine_speed_rpm: s.engine_speed_rpm,
            values: at_instant(&s),
        })
    }

    /// What the boost sensor could see.
    pub fn sensor(&self) -> SensorResult {
        self.sensor
    }

    /// When each protection acted and was blind.
    pub fn protections(&self) -> Vec<ProtectionResult> {
        self.protections.clone()
    }

    /// Time outside the maps.
    pub fn maps(&self) -> MapsResult {
        let share = |s: f64| {
            if self.watched_s > 0.0 {
                100.0 * s / self.watched_s
            } else {
                0.0
            }
        };
        MapsResult {
            compressor_extrapolated_pct: share(self.compressor_off_s),
            turbine_extrapolated_pct: share(self.turbine_off_s),
            surge_s: self.surge_s,
            surge: self.bench.surge_simulated.then(|| self.surge.result()),
        }
    }

    /// Counts pinned time and returns for how long the reading has been pinned.
    fn watch_sensor(&mut self, s: &Sample, span_s: f64) -> f64 {
        let pinned_for_s = if s.pinned {
            let since = *self.pinned_since_s.get_or_insert(s.time_s);
            s.time_s - since
        } else {
            self.pinned_since_s = None;
            0.0
        };
        if s.pinned && pinned_for_s > 0.0 {
            self.sensor.pinned_s += span_s;
        }
        self.sensor.pinned_longest_s = self.sensor.pinned_longest_s.max(pinned_for_s);
        if let Some(command) = s.boost_command_kpa_abs {
            if self
                .bench
                .readable_ceiling_kpa_abs
                .is_some_and(|top| command > top)
            {
                self.sensor.command_above_readable_s += span_s;
            }
            if self.bench.out_of_reach(s) {
                self.sensor.command_unreached_s += span_s;
            }
        }
        pinned_for_s
    }

    fn watch_protections(&mut self, s: &Sample, span_s: f64) {
        for result in &mut self.protections {
            let Some(bit) = PROTECTIONS.iter().position(|p| *p == result.name) else {
                continue;
            };
            if s.active_protections & (1 << bit) != 0 {
                result.first_s.get_or_insert(s.time_s);
                result.active_s += span_s;
            }
            if s.blind_protections & (1 << bit) != 0 {
                result.blind_s += span_s;
            }
        }
    }
}

impl Observer for Judge {
    fn see(&mut self, sample: &Sample) -> ControlFlow<()> {
        self.watch(sample);
        ControlFlow::Continue(())
    }
}

impl LimitWatch {
    fn see(&mut self, s: &Sample, span_s: f64, pinned_for_s: f64) {
        let Some(value) = self.limit.kind.value(s, pinned_for_s) else {
            return;
        };
        let headroom = self.limit.headroom(value);
        if headroom < 0.0 {
            self.exceeded_s += span_s;
            self.first_exceeded_s.get_or_insert(s.time_s);
        }
        if self.worst.is_none_or(|w| headroom < w.headroom) {
            self.worst = Some(Worst {
                value,
                headroom,
                headroom_pct: self
                    .limit
                    .headroom_pct(headroom, s.ambient_kpa_abs, s.ambient_k),
                time_s: s.time_s,
                engine_speed_rpm: s.engine_speed_rpm,
            });
        }
    }

    fn result(&self) -> LimitResult {
        let kind = self.limit.kind;
        LimitResult {
            name: kind.name().to_string(),
            unit: kind.unit().to_string(),
            limit: self.limit.bound,
            worst: self.worst.map(|w| w.value),
            headroom: self.worst.map(|w| w.headroom),
            headroom_pct: self.worst.map(|w| w.headroom_pct),
            held: self.first_exceeded_s.is_none(),
            time_s: self.worst.map(|w| w.time_s),
            time_exceeded_s: self.exceeded_s,
            first_exceeded_s: self.first_exceeded_s,
            engine_speed_rpm: self.worst.map(|w| w.engine_speed_rpm),
            lower: kind.is_lower(),
        }
    }
}

/// The values of one sample in the fields of the peaks.
fn at_instant(s: &Sample) -> Peaks {
    Peaks {
        shaft_speed_rpm: s.shaft_speed_rpm,
        tip_speed_m_s: s.tip_speed_m_s,
        boost_kpa_abs: s.boost_true_kpa_abs,
        boost_sensed_kpa_abs: s.boost_sensed_kpa_abs,
        boost_command_kpa_abs: s.boost_command_kpa_abs,
        drive_pressure_kpa_abs: s.drive_pressure_kpa_abs,
        drive_to_boost_gauge: drive_to_boost_gauge(s),
        vane_closed_pct: s.vane_closed_pct,
        turbine_inlet_k: s.turbine_inlet_k,
        compressor_outlet_k: s.compressor_outlet_k,
        cylinder_pressure_kpa_abs: s.cylinder_pressure_kpa_abs,
        lambda: s.lambda.is_finite().then_some(s.lambda),
        power_kw: s.power_kw,
        torque_nm: s.torque_nm,
    }
}

/// The larger of each, of lambda the smaller.
fn higher(a: &Peaks, b: &Peaks) -> Peaks {
    let max = |a: Option<f64>, b: Option<f64>| match (a, b) {
        (Some(a), Some(b)) => Some(a.max(b)),
        (a, b) => a.or(b),
    };
    let min = |a: Option<f64>, b: Option<f64>| max(a.map(|a| -a), b.map(|b| -b)).map(|m| -m);
    Peaks {
        shaft_speed_rpm: a.shaft_speed_rpm.max(b.shaft_speed_rpm),
        tip_speed_m_s: a.tip_speed_m_s.max(b.tip_speed_m_s),
        boost_kpa_abs: a.boost_kpa_abs.max(b.boost_kpa_abs),
        boost_sensed_kpa_abs: a.boost_sensed_kpa_abs.max(b.boost_sensed_kpa_abs),
        boost_command_kpa_abs: max(a.boost_command_kpa_abs, b.boost_command_kpa_abs),
        drive_pressure_kpa_abs: a.drive_pressure_kpa_abs.max(b.drive_pressure_kpa_abs),
        drive_to_boost_gauge: max(a.drive_to_boost_gauge, b.drive_to_boost_gauge),
        vane_closed_pct: a.vane_closed_pct.max(b.vane_closed_pct),
        turbine_inlet_k: a.turbine_inlet_k.max(b.turbine_inlet_k),
        compressor_outlet_k: a.compressor_outlet_k.max(b.compressor_outlet_k),
        cylinder_pressure_kpa_abs: a.cylinder_pressure_kpa_abs.max(b.cylinder_pressure_kpa_abs),
        lambda: min(a.lambda, b.lambda),
        power_kw: a.power_kw.max(b.power_kw),
        torque_nm: a.torque_nm.max(b.torque_nm),
    }
}
