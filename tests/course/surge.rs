//! Torque cuts, and what they do to the compressor.
use crate::drive::{drive, krpm};
use ringfence::report::Weight;

#[test]
fn a_shift_tells_the_cut_and_how_much_is_left_to_surge() {
    let run = drive("shift", &[]);
    let cut = run.first(|s| s.fuel_mg_per_injection <= 0.0);
    let back = run.first(|s| s.time_s > cut.time_s && s.fuel_mg_per_injection > 0.0);
    let margin = -run.most(cut.time_s, back.time_s - 0.005, |s| -s.surge_margin_pct);
    assert!(margin > 0.0, "it does not surge");
    run.says("Asked: full load to 2600 rpm, then a shift to 1950 rpm.");
    run.says_at(
        cut.time_s,
        &[
            &format!("The fuel is cut for {:.2} s at {:.0} rpm.", back.time_s - cut.time_s, cut.engine_speed_rpm),
            &format!(
                "Engine speed goes from {:.0} to {:.0} rpm, the shaft from {:.1} to {}, true boost from {:.0} to {:.0} kPa abs.",
                cut.engine_speed_rpm,
                back.engine_speed_rpm,
                cut.shaft_speed_rpm / 1000.0,
                krpm(back.shaft_speed_rpm),
                cut.boost_true_kpa_abs,
                back.boost_true_kpa_abs
            ),
            &format!("The compressor keeps {margin:.1} % to its surge line."),
        ],
    );
    run.never_says(&["surges", "falls below its surge line"]);
}

#[test]
fn a_lift_off_counts_the_cycles_and_says_how_deep_they_go() {
    let run = drive("lift-off", &[]);
    let surging = |pair: &&[ringfence::simulation::Sample]| {
        pair[0].surge_margin_pct >= 0.0 && pair[1].surge_margin_pct < 0.0
    };
    let begins: Vec<f64> = (run.samples.windows(2).filter(surging))
        .map(|pair| pair[1].time_s)
        .collect();
    let lowest = -run.most(0.0, 4.0, |s| -s.compressor_flow_kg_s);
    assert!(lowest < 0.0, "deep surge");
    let rate = (begins.len() - 1) as f64 / (begins[begins.len() - 1] - begins[0]);
    let moment = run.says_at(
        begins[0],
        &[
            &format!("The compressor surges: {} cycles till ", begins.len()),
            &format!("some {rate:.0} a second"),
            &format!(
                "The flow turns back through the wheel, up to {:.2} kg/s.",
                -lowest
            ),
            "past the limit of 3.0 % on the surge margin",
        ],
    );
    assert_eq!(moment.weight, Weight::Broken);
    // pounds per minute: 0.45359237 kg
    run.says_us(&[&format!(
        "up to {:.1} lb/min",
        -lowest * 60.0 / 0.453_592_37
    )]);
    run.never_says(&["keeps", "not simulated", "Surge margin falls"]);
}

#[test]
fn without_a_duct_the_line_is_crossed_and_no_cycle_is_claimed() {
    let run = drive("beyond-the-model", &[]);
    let out = run.first(|s| s.surge_margin_pct >= 0.0);
    run.says_at(
        0.0,
        &[
            "is below its surge line from the start",
            &format!("for {:.2} s", out.time_s),
            "the cycles are not simulated here",
        ],
    );
    run.never_says(&["surges"]);
}

#[test]
fn a_map_that_is_left_is_told_with_its_time() {
    let run = drive("recirculation", &[]);
    let back = run.first(|s| !s.compressor_extrapolated);
    run.says_at(
        0.0,
        &[&format!(
            "The compressor is outside its measured map from the start, till {:.2} s",
            back.time_s
        )],
    );
    let lambda = run.first(|s| s.lambda < 1.15);
    let again = run.first(|s| s.time_s > lambda.time_s && s.lambda >= 1.15);
    run.says_at(
        lambda.time_s,
        &[
            "Lambda falls below its limit, 1.15, at 1600 rpm.",
            &format!("It is inside again from {:.2} s on.", again.time_s),
        ],
    );
}

/// At a held speed the engine goes nowhere, whatever its fuel does.
#[test]
fn what_does_not_change_during_a_cut_is_left_out() {
    let step = "[{load_step: {engine_speed: 1900 rpm, fuel_from: full, fuel_to: 0 mg, at: 1 s, duration: 3 s}}]";
    let run = drive("rescue-tender", &[("procedure", step)]);
    let cut = run.first(|s| s.fuel_mg_per_injection <= 0.0);
    let last = run.last();
    run.says_at(
        cut.time_s,
        &[
            "The fuel is cut to the end at 1900 rpm.",
            &format!(
                "The shaft goes from {:.1} to {}, true boost from ",
                cut.shaft_speed_rpm / 1000.0,
                krpm(last.shaft_speed_rpm)
            ),
        ],
    );
    run.never_says(&["engine speed goes", "from 1900"]);
    // the step is found though there is no fuel after it
    let fuel = run.before(cut).fuel_mg_per_injection;
    run.says_at(
        cut.time_s,
        &[&format!(
            "The load steps: fuel goes from {fuel:.0} to 0 mg per injection at once."
        )],
    );
}
