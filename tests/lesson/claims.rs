//! What the text of the pages claims beside the output that they show.
use super::*;

/// A page says these words, and the figure in them is what was computed.
fn told(page: &str, words: &str, computed: f64, said: f64, within: f64) {
    let path = root().join(format!("docs/guide/lesson/{page}.md"));
    let text = fs::read_to_string(path).expect("the page");
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains(words), "{page} no longer says: {words}");
    assert!(
        (computed - said).abs() <= within,
        "{page} says {words:?}, but it is {computed}"
    );
}

#[test]
fn page_1_the_reading_stays_while_true_boost_climbs() {
    let page = "01-the-sensor";
    let stairs = run("01-stairs");
    let row = "| true boost, kPa abs | 291 | 317 | 342 | 364 | 380 |";
    let readings = "readings are 291, 317, **331, 331 and 331**";
    let ends_s = [0.9, 3.9, 7.9, 11.9, 15.9];
    let said = [
        (291.0, 291.0),
        (317.0, 317.0),
        (342.0, 331.0),
        (364.0, 331.0),
        (380.0, 331.0),
    ];
    for (time_s, (boost, reading)) in ends_s.into_iter().zip(said) {
        let stair = at(&stairs, time_s);
        told(page, row, stair.boost_true_kpa_abs, boost, 0.5);
        told(page, readings, stair.boost_sensed_kpa_abs, reading, 0.5);
    }
    let hidden = last(&stairs).boost_true_kpa_abs - last(&stairs).boost_sensed_kpa_abs;
    told(page, "50 kPa of boost are there", hidden, 50.0, 0.5);
    let per_volt = (320.0 - 20.0) / (4.60 - 0.40);
    told(page, "each volt more is 71.4 kPa", per_volt, 71.4, 0.05);
    told(page, "is 11 kPa", 0.15 * per_volt, 11.0, 0.5);
}

#[test]
fn page_2_the_vanes_close_at_gain_times_excess() {
    let page = "02-the-controller";
    let runaway = run("02-runaway");
    let ceiling = runaway.result.sensor.readable_ceiling_kpa_abs;
    let ceiling = ceiling.expect("the sensor has one");
    told(page, "ends at 330.7 kPa abs", ceiling, 330.7, 0.05);
    let rate = 0.20 * (345.0 - ceiling);
    told(page, "0.20 × 14.3 = 2.9 % each second", rate, 2.9, 0.05);
    let closed = |time_s| at(&runaway, time_s).vane_closed_pct;
    // the figures are of whole runs that end then, and the vanes only close
    told(page, "from 49 % to 69 %", closed(8.0), 49.0, 0.5);
    told(page, "from 49 % to 69 %", closed(15.0), 69.0, 0.5);
    let seven = closed(15.0) - closed(8.0);
    told(page, "by 20 % in seven seconds", seven, 20.0, 0.5);
    // a ramp and no curve: the actuator lags alike at both ends
    let (early, late) = (closed(11.0) - closed(9.0), closed(15.0) - closed(13.0));
    assert!((early - 2.0 * rate).abs() < 0.05 && (late - early).abs() < 0.05);
    let passed = first(&runaway, |s| s.boost_true_kpa_abs > 345.0);
    let words = "true boost passes the command at 9.2 s";
    told(page, words, passed.time_s, 9.2, 0.05);
    assert!(passed.pinned);
}

#[test]
fn page_3_the_stop_ends_it_and_not_the_integrator() {
    let page = "03-the-vanes";
    let [normal, half, double] = ["02-runaway", "03-half-gain", "03-double-gain"].map(run);
    let stop = 75.0 - 10.0 / 3.0;
    told(page, "75 − 10/3 = 71.7 %", stop, 71.7, 0.05);
    for run in [&normal, &double] {
        // the actuator comes to its order within less than is told
        assert!((last(run).vane_closed_pct - stop).abs() < 0.05);
        assert!(last(run).integrator_pct < 59.0, "not at its authority");
    }
    let closed = last(&half).vane_closed_pct;
    told(page, "After 20 s it has come to 61.3 %", closed, 61.3, 0.05);
    let earlier = at(&half, 19.0).vane_closed_pct;
    assert!(closed - earlier > 1.0, "still on its way");
    let count = exceeded(&normal).len() as f64;
    told(page, "five limits were exceeded", count, 5.0, 0.0);
    // the integrator rests within one of its steps ahead of the stop, 0.06 % of the travel
    // at twice the gain, and each per cent is worth some 13 kPa there
    let apart = last(&normal).drive_pressure_kpa_abs - last(&double).drive_pressure_kpa_abs;
    assert!(apart.abs() < 0.8, "the same end: {apart}");
}

#[test]
fn page_4_drive_pressure_follows_one_over_the_area() {
    let page = "04-drive-pressure";
    let positions = [30.0, 40.0, 50.0, 60.0, 70.0];
    let steady = positions.map(|closed: f64| {
        let vanes = format!("{closed} %");
        let run = run_with("04-fixed-vanes", &[("open_loop.vanes.closed", &vanes)]);
        run.result.steady.expect("a hold")
    });
    let drive = |i: usize| steady[i].exhaust_pressure_pa / 1e3;
    let boost = |i: usize| steady[i].intake_pressure_pa / 1e3;
    let first = "cost 46 kPa of it, and brought 26 kPa of boost";
    told(page, first, drive(1) - drive(0), 46.0, 0.5);
    told(page, first, boost(1) - boost(0), 26.0, 0.5);
    let tenth = "costs 118 kPa and brings 16 kPa";
    told(page, tenth, drive(4) - drive(3), 118.0, 0.5);
    told(page, tenth, boost(4) - boost(3), 16.0, 0.5);
    assert!(drive(4) / drive(0) > 2.0 && boost(4) / boost(0) < 4.0 / 3.0);
    let words = "push against 187 kPa more";
    told(page, words, drive(4) - boost(4), 187.0, 0.5);
    assert!(drive(0) < boost(0));
    // the ring between its two throats, from scenarios/lesson/tender/tender.yaml
    let area_cm2 = positions.map(|closed| 10.6 + (1.3 - 10.6) * closed / 100.0);
    let row = "| area of the ring, cm² | 7.81 | 6.88 | 5.95 | 5.02 | 4.09 |";
    for (area, said) in area_cm2.into_iter().zip([7.81, 6.88, 5.95, 5.02, 4.09]) {
        told(page, row, area, said, 0.005);
    }
    let lost = |i: usize| 100.0 * (1.0 - area_cm2[i + 1] / area_cm2[i]);
    told(page, "takes away 12 %", lost(0), 12.0, 0.5);
    told(page, "takes away 19 %", lost(3), 19.0, 0.5);
    // choked from a third closed on; what is left is the gas constant and the ratio of
    // heats, which move by some parts in a thousand with temperature and mixture
    let throat = |i: usize| {
        drive(i) * area_cm2[i]
            / (steady[i].turbine_flow_kg_s * steady[i].exhaust_temperature_k.sqrt())
    };
    for i in 2..5 {
        assert!((throat(i) / throat(1) - 1.0).abs() < 0.003, "at {i}");
    }
    let efficiency = |i: usize| 100.0 * steady[i].turbine_efficiency;
    let words = "from 66 % at 40 % closed to 58 % at 70 %";
    told(page, words, efficiency(1), 66.0, 0.5);
    told(page, words, efficiency(4), 58.0, 0.5);
    assert!(steady[4].turbine_flow_kg_s > steady[1].turbine_flow_kg_s);
    let power_kw = |i: usize| steady[i].turbine_power_w / 1e3;
    let words = "45 kW with the vanes at 40 %, 63 kW at 70 %";
    told("05-the-wheel", words, power_kw(1), 45.0, 0.5);
    told("05-the-wheel", words, power_kw(4), 63.0, 0.5);
}

#[test]
fn page_5_the_gauge_stands_while_the_wheel_goes_over() {
    let page = "05-the-wheel";
    let runaway = run("02-runaway");
    let pinned = first(&runaway, |s| s.pinned);
    told(
        page,
        "At 7.0 s it passes the readable",
        pinned.time_s,
        7.0,
        0.05,
    );
    let over = first(&runaway, |s| s.shaft_speed_rpm > 150_000.0);
    let words = "At 9.7 s, at 349 kPa abs of true boost";
    told(page, words, over.time_s, 9.7, 0.05);
    told(page, words, over.boost_true_kpa_abs, 349.0, 0.5);
    let gauge = over.boost_sensed_kpa_abs;
    told(page, "standing at 331 all the while", gauge, 331.0, 0.5);
    let end = last(&runaway);
    let pull = 100.0 * ((end.shaft_speed_rpm / 150_000.0).powi(2) - 1.0);
    told(
        page,
        "it is 9 % above the pull at the limit",
        pull,
        9.0,
        0.5,
    );
    told(page, "the engine made 256 kW", pinned.power_kw, 256.0, 0.5);
    told(page, "At the end it makes 245 kW", end.power_kw, 245.0, 0.5);
    let more = end.boost_true_kpa_abs - pinned.boost_true_kpa_abs;
    told(page, "with 52 kPa **more** boost", more, 52.0, 0.5);
}

#[test]
fn page_6_the_fuel_cut_is_blind_and_then_no_cure() {
    let page = "06-the-blind-fuel-cut";
    let (runaway, lower) = (run("02-runaway"), run("06-lower-threshold"));
    let passed = first(&runaway, |s| s.boost_true_kpa_abs > 380.0);
    let words = "passes 380 kPa abs at 15.8 s, and stays above";
    told(page, words, passed.time_s, 15.8, 0.05);
    let (blind_s, acts) = protection(&runaway, "over_boost");
    // to the end, within the period of the controller at either side
    assert!((blind_s - (20.0 - passed.time_s)).abs() < 0.025);
    assert_eq!(acts, None);
    let (longer_s, acts) = protection(&lower, "over_boost");
    assert!(longer_s > blind_s && acts.is_none());
    assert_eq!(last(&runaway), last(&lower), "it changed nothing");
    let sets = [("controller.protections.over_boost.above", "325 kPa abs")];
    let chopped = run_with("06-lower-threshold", &sets);
    assert!(protection(&chopped, "over_boost").1.is_some());
    let went = exceeded(&chopped);
    assert!(went.contains(&"shaft_speed") && went.contains(&"surge_margin"));
}

#[test]
fn page_7_five_ways_hold_every_limit_at_a_price() {
    let page = "07-five-ways-out";
    let runs = WAYS.map(run);
    let rows = [
        ("| B clamp | 7.1 krpm | 317 kPa abs |", 7.1, 317.0),
        ("| C watch | 3.8 krpm | 116 kPa abs |", 3.8, 116.0),
        (
            "| D short integrator | 4.7 krpm | 327 kPa abs |",
            4.7,
            327.0,
        ),
        ("| E limiter | 5.3 krpm | 323 kPa abs |", 5.3, 323.0),
        ("| F sensor | 0.9 krpm | 345 kPa abs |", 0.9, 345.0),
    ];
    for (run, (row, room_krpm, boost)) in runs.iter().zip(rows) {
        assert_eq!(exceeded(run), [""; 0], "{row}");
        let room = limit(run, "shaft_speed").headroom.expect("judged");
        told(page, row, room / 1e3, room_krpm, 0.05);
        told(page, row, last(run).boost_true_kpa_abs, boost, 0.5);
    }
    let clamped = last(&runs[0]).boost_command_kpa_abs.expect("a command");
    told(
        page,
        "28 kPa of the boost that was asked for",
        345.0 - clamped,
        28.0,
        0.5,
    );
    let power = "75 kW in place of 256 kW";
    told(page, power, last(&runs[1]).power_kw, 75.0, 0.5);
    told(page, power, runs[1].result.peaks.power_kw, 256.0, 0.5);
    let step = |top: f64| (top - 20.0) / (4.60 - 0.40) * 5.0 / 4095.0;
    let words = "0.12 kPa in place of 0.09";
    told(page, words, step(420.0), 0.12, 0.005);
    told(page, words, step(320.0), 0.09, 0.005);
    let sensor = runs[4].result.sensor.readable_ceiling_kpa_abs;
    told(
        page,
        "reads up to 434 kPa abs",
        sensor.expect("it"),
        434.0,
        0.5,
    );
}

/// Each way changes one thing alone: without it the run is the runaway again.
#[test]
fn page_7_each_way_is_one_change() {
    let runaway = run("02-runaway");
    let undone = [
        ("controller.protections.command_clamp", "null"),
        ("controller.protections.pinned_sensor", "null"),
        ("controller.feedback.integrator_authority", "60 %"),
        ("controller.protections.shaft_speed", "null"),
        (
            "sensors.boost.line.high",
            "{at: 320 kPa abs, reads: 4.60 V}",
        ),
    ];
    for (way, set) in WAYS.into_iter().zip(undone) {
        assert_eq!(last(&run_with(way, &[set])), last(&runaway), "{way}");
    }
}

#[test]
fn page_8_a_fading_turbine_hides_the_runaway_from_the_wheel_alone() {
    let page = "08-no-protection";
    let (runaway, fading) = (run("02-runaway"), run("08-fading-turbine"));
    let room = limit(&fading, "shaft_speed").headroom.expect("judged") / 1e3;
    told(
        page,
        "B holds its wheel, with 2.1 krpm to spare",
        room,
        2.1,
        0.05,
    );
    let wrong = exceeded(&fading);
    assert!(wrong.contains(&"pinned_time") && wrong.contains(&"drive_pressure"));
    let apart = last(&fading).vane_closed_pct - last(&runaway).vane_closed_pct;
    assert!(apart.abs() < 0.05, "the same stop");
    let highest = fading.samples.iter();
    let highest = highest.max_by(|a, b| a.boost_true_kpa_abs.total_cmp(&b.boost_true_kpa_abs));
    let highest = highest.expect("samples");
    told(page, "highest at 13 s", highest.time_s, 13.0, 0.5);
    assert!(last(&fading).vane_closed_pct > highest.vane_closed_pct + 5.0);
    assert!(last(&fading).boost_true_kpa_abs < highest.boost_true_kpa_abs - 3.0);
}

#[test]
fn page_9_the_clamp_that_holds_in_the_valley_does_not_on_the_pass() {
    let page = "09-altitude";
    let (valley, pass) = (run("07-clamp"), run("09-on-the-pass"));
    let faster = last(&pass).shaft_speed_rpm - last(&valley).shaft_speed_rpm;
    told(page, "**c**, by 17 krpm", faster / 1e3, 17.0, 0.5);
    let runaway = run("02-runaway");
    assert!(pass.result.peaks.shaft_speed_rpm > runaway.result.peaks.shaft_speed_rpm);
    let words = "In the valley that is 97 kPa abs, on the pass 74 kPa abs.";
    told(page, words, last(&valley).ambient_kpa_abs, 97.0, 0.5);
    told(page, words, last(&pass).ambient_kpa_abs, 74.0, 0.5);
    let words = "is 3.4 in the valley and 4.5 on the pass";
    told(
        page,
        words,
        last(&valley).compressor_pressure_ratio,
        3.4,
        0.05,
    );
    told(
        page,
        words,
        last(&pass).compressor_pressure_ratio,
        4.5,
        0.05,
    );
    assert_eq!(pass.result.sensor.pinned_s, 0.0);
    let wrong = last(&pass).boost_sensed_kpa_abs - last(&pass).boost_true_kpa_abs;
    assert!(wrong.abs() < 0.1, "within a step of the converter: {wrong}");
    assert_eq!(exceeded(&pass), ["shaft_speed", "tip_speed"]);
}

#[test]
fn page_10_a_leak_overspeeds_the_shaft_under_a_normal_reading() {
    let page = "10-a-leak";
    let leak = run("10-leak");
    let (before, after) = (at(&leak, 9.99), last(&leak));
    let words = "313 kPa abs before, 312 ten seconds after";
    told(page, words, before.boost_sensed_kpa_abs, 313.0, 0.5);
    told(page, words, after.boost_sensed_kpa_abs, 312.0, 0.5);
    let words = "from 40 to 66 % closed, the drive pressure from 305 to 466 kPa abs";
    told(page, words, before.vane_closed_pct, 40.0, 0.5);
    told(page, words, after.vane_closed_pct, 66.0, 0.5);
    told(page, words, before.drive_pressure_kpa_abs, 305.0, 0.5);
    told(page, words, after.drive_pressure_kpa_abs, 466.0, 0.5);
    let words = "The engine has lost 18 kW";
    told(page, words, before.power_kw - after.power_kw, 18.0, 0.5);
    assert!(before.shaft_speed_rpm < 150_000.0 && after.shaft_speed_rpm > 150_000.0);
    assert_eq!(leak.result.sensor.pinned_s, 0.0);
    let sound = run_with("10-leak", &[("faults", "[]")]);
    assert_eq!(exceeded(&sound), [""; 0], "without the leak all is held");
}
