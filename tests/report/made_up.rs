//! Made-up results to draw and to write: no model stands behind them.
use ringfence::judgement::*;
use ringfence::map::{EfficiencyGrid, LineDrawing, MapDrawing, Table1};
use ringfence::report::{Moment, Units, course};
use ringfence::simulation::{PROTECTIONS, Sample};

const AMBIENT_KPA: f64 = 96.6;
pub const READABLE_KPA: f64 = 332.0;

fn ramp(time_s: f64, from_s: f64, to_s: f64) -> f64 {
    let share = ((time_s - from_s) / (to_s - from_s)).clamp(0.0, 1.0);
    share * share * (3.0 - 2.0 * share)
}

/// A pull of 8 s: the command of 340 kPa abs lies above what the sensor reads,
/// the vanes close, everything runs away.
pub fn runaway() -> Vec<Sample> {
    (0..=800)
        .map(|step| instant(f64::from(step) * 0.01, true))
        .collect()
}

/// The same pull at a command of 300 kPa abs: nothing pins, nothing breaks.
pub fn calm() -> Vec<Sample> {
    (0..=800)
        .map(|step| instant(f64::from(step) * 0.01, false))
        .collect()
}

fn instant(time_s: f64, wild: bool) -> Sample {
    let spool = ramp(time_s, -0.3, 2.4);
    let run = if wild { ramp(time_s, 2.5, 8.6) } else { 0.0 };
    let top = if wild { 332.0 } else { 300.0 };
    let boost = 175.0 + (top - 175.0) * spool + 82.0 * run;
    let shaft =
        84_000.0 + (if wild { 120_000.0 } else { 113_000.0 } - 84_000.0) * spool + 40_000.0 * run;
    let drive = 190.0 + (330.0 - 190.0) * spool + 325.0 * run;
    let vane = 42.0 - 32.0 * spool + 52.0 * run;
    let pinned = boost > READABLE_KPA;
    let sensed = (boost - 0.6 * (1.0 - spool) * 20.0).min(READABLE_KPA);
    let ratio = (boost + 9.0) / (AMBIENT_KPA - 3.0);
    let mut active = 0;
    let mut blind = 0;
    if pinned && boost > 345.0 {
        blind |= 1 << 5;
    }
    if pinned && time_s > 4.0 {
        blind |= 1 << 1;
    }
    if drive > 560.0 {
        active |= 1 << 3;
    }
    Sample {
        time_s,
        engine_speed_rpm: 1300.0 + 175.0 * time_s,
        altitude_m: Some(400.0),
        ambient_kpa_abs: AMBIENT_KPA,
        fuel_mg_per_injection: 128.0,
        boost_command_kpa_abs: Some(
            if wild { 340.0_f64 } else { 300.0 }.min(190.0 + 120.0 * time_s),
        ),
        boost_true_kpa_abs: boost,
        boost_sensed_kpa_abs: sensed,
        vane_command_pct: vane + 3.0 * run,
        vane_closed_pct: vane,
        drive_pressure_kpa_abs: drive,
        shaft_speed_rpm: shaft,
        compressor_flow_kg_s: 0.10 + 0.018 * time_s + 0.08 * spool,
        compressor_pressure_ratio: ratio,
        compressor_efficiency: 0.72,
        compressor_outlet_k: 440.0,
        turbine_inlet_k: 960.0,
        intake_k: 330.0,
        lambda: 1.5,
        cylinder_pressure_kpa_abs: 18_200.0,
        torque_nm: 1100.0,
        power_kw: 240.0,
        surge_margin_pct: 11.0,
        compressor_extrapolated: ratio > 4.1,
        active_protections: active,
        blind_protections: blind,
        pinned,
        compressor_corrected_flow_kg_s: 0.115 + 0.021 * time_s + 0.085 * spool,
        tip_speed_m_s: shaft * 3.4558e-3,
        compressor_inlet_kpa_abs: AMBIENT_KPA - 3.0,
        ambient_k: 290.6,
        ..Sample::default()
    }
}

fn limit(name: &str, unit: &str, limit: f64, worst: f64, zero: f64, lower: bool) -> LimitResult {
    let headroom = if lower { worst - limit } else { limit - worst };
    LimitResult {
        name: name.into(),
        unit: unit.into(),
        limit,
        worst: Some(worst),
        headroom: Some(headroom),
        headroom_pct: Some(headroom / (limit - zero) * 100.0),
        held: headroom >= 0.0,
        time_s: Some(7.9),
        time_exceeded_s: 0.0,
        first_exceeded_s: None,
        engine_speed_rpm: Some(2680.0),
        lower,
    }
}

/// The judgement that belongs to [`runaway`] or [`calm`].
pub fn result(samples: &[Sample]) -> RunResult {
    let most = |read: fn(&Sample) -> f64| samples.iter().map(read).fold(f64::MIN, f64::max);
    let pinned_s = samples.iter().filter(|s| s.pinned).count() as f64 * 0.01;
    let wild = pinned_s > 0.0;
    let shaft = most(|s| s.shaft_speed_rpm);
    let drive = most(|s| s.drive_pressure_kpa_abs);
    let tip = most(|s| s.tip_speed_m_s);
    let mut limits = vec![
        limit("shaft_speed", "rpm", 146_000.0, shaft, 0.0, false),
        limit("tip_speed", "m/s", 520.0, tip, 0.0, false),
        limit("drive_pressure", "kPa", 520.0, drive, AMBIENT_KPA, false),
        limit(
            "drive_to_boost",
            "-",
            2.2,
            if wild { 1.82 } else { 1.15 },
            0.0,
            false,
        ),
        limit("turbine_inlet", "K", 1033.15, 1001.0, 290.6, false),
        limit(
            "compressor_outlet",
            "K",
            503.15,
            if wild { 489.0 } else { 441.0 },
            290.6,
            false,
        ),
        limit(
            "cylinder_pressure",
            "kPa",
            20_000.0,
            18_900.0,
            AMBIENT_KPA,
            false,
        ),
        limit("lambda", "-", 1.15, 1.42, 0.0, true),
        limit("surge_margin", "%", 3.0, 8.4, 0.0, true),
        limit("choke_margin", "%", 2.0, 14.2, 0.0, true),
        limit("pinned_time", "s", 0.5, pinned_s, 0.0, false),
    ];
    // The natural zero of the last few would be odd here: plain shares.
    for (name, pct) in [
        ("surge_margin", 5.4),
        ("choke_margin", 12.2),
        ("lambda", 23.5),
    ] {
        if let Some(found) = limits.iter_mut().find(|l| l.name == name) {
            found.headroom_pct = Some(pct);
        }
    }
    for (name, over) in [
        (
            "shaft_speed",
            samples.iter().find(|s| s.shaft_speed_rpm > 146_000.0),
        ),
        (
            "tip_speed",
            samples.iter().find(|s| s.tip_speed_m_s > 520.0),
        ),
        (
            "drive_pressure",
            samples.iter().find(|s| s.drive_pressure_kpa_abs > 520.0),
        ),
        ("pinned_time", samples.iter().filter(|s| s.pinned).nth(50)),
    ] {
        if let Some(found) = limits.iter_mut().find(|l| l.name == name) {
            found.first_exceeded_s = over.map(|s| s.time_s);
        }
    }
    let exceeded = limits.iter().any(|l| !l.held);
    RunResult {
        tool: "ringfence".into(),
        version: "0.1.0".into(),
        scenario: "Mountain-rescue tender, larger drop-in turbo, valley to pass".into(),
        data: "invented".into(),
        procedure: "pull 1300 to 2700 rpm in 8 s".into(),
        verdict: if exceeded {
            Verdict::Exceeded
        } else {
            Verdict::Held
        },
        why_stopped: WhyStopped {
            kind: StopKind::Finished,
            quantity: None,
            value: None,
            bound: None,
            unit: None,
            time_s: 8.0,
            last_good_s: 8.0,
            text: "the procedure came to its end".into(),
        },
        start: "equilibrium".into(),
        band: None,
        road: None,
        peaks: Peaks {
            shaft_speed_rpm: shaft,
            tip_speed_m_s: tip,
            boost_kpa_abs: most(|s| s.boost_true_kpa_abs),
            boost_sensed_kpa_abs: most(|s| s.boost_sensed_kpa_abs),
            drive_pressure_kpa_abs: drive,
            vane_closed_pct: most(|s| s.vane_closed_pct),
            ..Peaks::default()
        },
        at_peak_shaft_speed: Instant::default(),
        limits,
        sensor: SensorResult {
            readable_ceiling_kpa_abs: Some(READABLE_KPA),
            pinned_s,
            pinned_longest_s: pinned_s,
            command_above_readable_s: if wild { 6.7 } else { 0.0 },
            command_unreached_s: 0.0,
        },
        protections: PROTECTIONS
            .iter()
            .enumerate()
            .map(|(bit, name)| {
                let acts = |s: &&Sample| s.active_protections & (1 << bit) != 0;
                let blind = |s: &&Sample| s.blind_protections & (1 << bit) != 0;
                ProtectionResult {
                    name: (*name).into(),
                    first_s: samples.iter().find(acts).map(|s| s.time_s),
                    active_s: samples.iter().filter(acts).count() as f64 * 0.01,
                    blind_s: samples.iter().filter(blind).count() as f64 * 0.01,
                }
            })
            .collect(),
        maps: MapsResult {
            compressor_extrapolated_pct: if wild { 18.2 } else { 0.0 },
            turbine_extrapolated_pct: 0.0,
            surge_s: 0.0,
            surge: None,
        },
        steady: None,
        balance: Balance {
            mass_residual: 3.2e-9,
            energy_residual: Some(1.1e-8),
            burned_residual: 2.0e-9,
        },
        solver: SolverResult::default(),
    }
}

/// The words of [`runaway`] or [`calm`].
pub fn moments(samples: &[Sample], units: Units) -> Vec<Moment> {
    let events = happened(samples);
    course(&result(samples), &events, samples, units)
}

/// What happens in [`runaway`] or [`calm`].
pub fn happened(samples: &[Sample]) -> Vec<Event> {
    let bench = Bench {
        limits: [
            (LimitKind::ShaftSpeed, 146_000.0),
            (LimitKind::DrivePressure, 520.0),
            (LimitKind::PinnedTime, 0.5),
        ]
        .map(|(kind, bound)| Limit { kind, bound })
        .to_vec(),
        readable_ceiling_kpa_abs: Some(READABLE_KPA),
        protections: PROTECTIONS.to_vec(),
        unreached_by_kpa: 5.0,
        most_closed: Table1::constant(1.0),
        stop_closed: 1.0,
        surge_simulated: false,
    };
    events(&bench, &[], samples)
}

/// A compressor map of parabolas.
pub fn map() -> MapDrawing {
    let line = |speed: f64| {
        let (choke, top) = (0.05 + 0.40 * speed, 1.0 + 3.5 * speed.powf(2.1));
        let surge = choke * (0.36 + 0.20 * speed);
        (0..=20)
            .map(|step| {
                let share = f64::from(step) / 20.0;
                let flow = surge + (choke - surge) * share;
                [flow, 1.0 + (top - 1.0) * (1.0 - 0.55 * share.powf(3.0))]
            })
            .collect::<Vec<_>>()
    };
    let speeds = [0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0];
    let lines: Vec<LineDrawing> = speeds
        .iter()
        .map(|&speed| LineDrawing {
            corrected_speed_rpm: 145_000.0 * speed,
            points: line(speed),
        })
        .collect();
    let surge = lines.iter().map(|l| l.points[0]).collect();
    let (columns, rows) = (60, 50);
    let values = (0..rows * columns)
        .map(|index| {
            let flow = 0.05 + 0.42 * (index % columns) as f64 / (columns - 1) as f64;
            let ratio = 1.0 + 3.6 * (index / columns) as f64 / (rows - 1) as f64;
            let speed = ((ratio - 1.0) / 3.2).max(0.0).powf(1.0 / 2.1);
            let choke = 0.05 + 0.40 * speed;
            let measured = (0.42..=1.02).contains(&speed)
                && flow > choke * (0.36 + 0.20 * speed)
                && flow < choke;
            measured.then(|| {
                0.79 - 4.0 * (flow - 0.26).powi(2)
                    - 0.02 * (ratio - 2.6).powi(2)
                    - 2.2 * (flow / choke - 0.76).powi(2)
            })
        })
        .collect();
    MapDrawing {
        reference_pressure_pa: 100_000.0,
        reference_temperature_k: 298.15,
        data: "invented".into(),
        lines,
        surge,
        efficiency: EfficiencyGrid {
            flow_kg_s: [0.05, 0.47],
            pressure_ratio: [1.0, 4.6],
            columns,
            rows,
            values,
        },
    }
}

/// A ceiling at two altitudes, one cell derated, one without a window.
pub fn ceiling() -> CeilingResult {
    let mut cells = Vec::new();
    for (altitude, ambient, drop) in [(400.0, 96.6, 0.0), (2600.0, 73.8, 24.0)] {
        for (index, rpm) in [
            1400.0, 1600.0, 1800.0, 2000.0, 2200.0, 2400.0, 2600.0, 2700.0,
        ]
        .into_iter()
        .enumerate()
        {
            let top = [262.0, 296.0, 316.0, 317.0, 317.0, 312.0, 303.0, 297.0][index] - drop;
            let high = altitude > 1000.0;
            let binding = match (high, index) {
                (_, 0) => "command_unreachable",
                (false, 1) => "surge_margin",
                (false, 2..=4) => "pinned_time",
                (true, 1..=2) => "surge_margin",
                (true, _) => "shaft_speed",
                _ => "drive_pressure",
            };
            let empty = high && index == 0;
            cells.push(CeilingCell {
                engine_speed_rpm: rpm,
                altitude_m: Some(altitude),
                temperature_offset_k: Some(5.0),
                ambient_kpa_abs: ambient,
                ambient_k: 290.6,
                feasible: !(empty || high && index >= 6),
                ceiling_kpa_abs: (!empty).then_some(top),
                ceiling_kpa_gauge: (!empty).then_some(top - ambient),
                floor_kpa_abs: (index > 1 && !empty).then_some(top - 70.0 + 4.0 * index as f64),
                reachable_kpa_abs: Some(top + 20.0),
                fuel_scale: if high && index >= 6 { 0.93 } else { 1.0 },
                binding_above: Some(binding.into()),
                binding_below: (index > 1).then(|| "turbine_inlet".into()),
                next_above: Some("drive_pressure".into()),
                margins: vec![Margin {
                    limit: "drive_pressure".into(),
                    headroom: 31.0,
                    headroom_pct: 7.3,
                }],
                fails_above: None,
                replay: Vec::new(),
                band: None,
                power_kw: Some(210.0),
                shaft_speed_rpm: Some(128_000.0 + 1000.0 * index as f64),
                vane_closed_pct: Some(48.0 - 5.0 * index as f64),
                drive_pressure_kpa_abs: Some(360.0 + 12.0 * index as f64),
            });
        }
    }
    CeilingResult {
        tool: "ringfence".into(),
        version: "0.1.0".into(),
        scenario: "Mountain-rescue tender, larger drop-in turbo, valley to pass".into(),
        data: "invented".into(),
        step_kpa: 1.0,
        readable_ceiling_kpa_abs: Some(READABLE_KPA),
        cells,
        band: None,
        table_proved: Some(TableProof {
            verdict: Verdict::Held,
            procedure: "pull at 400 m and 2600 m".into(),
            exceeded: Vec::new(),
            reserve_kpa: Some(0.0),
        }),
    }
}

/// The ceiling at the lower altitude alone.
pub fn one_altitude() -> CeilingResult {
    let mut result = ceiling();
    result.cells.retain(|cell| cell.altitude_m == Some(400.0));
    result
}

/// Five altitudes over each other.
pub fn five_altitudes() -> CeilingResult {
    let mut result = one_altitude();
    let cells = result.cells.clone();
    for step in 1..5 {
        for cell in &cells {
            let mut cell = cell.clone();
            let lower = 9.0 * f64::from(step);
            cell.altitude_m = Some(400.0 + 600.0 * f64::from(step));
            cell.ceiling_kpa_abs = cell.ceiling_kpa_abs.map(|kpa| kpa - lower);
            cell.floor_kpa_abs = cell.floor_kpa_abs.map(|kpa| kpa - lower);
            result.cells.push(cell);
        }
    }
    result
}
