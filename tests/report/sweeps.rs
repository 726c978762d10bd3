//! The picture of a sweep says what holds where, and takes odd sweeps.
use crate::made_sweep::*;
use crate::pictures::{says, texts_of};
use proptest::prelude::*;
use ringfence::report::*;

fn drawn(chart: &SweepChart, units: Units) -> String {
    let options = PictureOptions {
        units,
        ..PictureOptions::default()
    };
    let bytes = sweep_chart(chart, &options).expect("a picture");
    let text = String::from_utf8(bytes).expect("UTF-8");
    assert!(!text.contains("NaN") && !text.contains("inf"), "{text}");
    text
}

fn words_of(chart: &SweepChart, units: Units) -> Vec<String> {
    texts_of(&drawn(chart, units))
}

/// Lines of one colour and width, as points in pixels of the sheet.
fn lines(svg: &str, colour: &str, width_px: f64) -> Vec<Vec<(f64, f64)>> {
    let wide = format!("stroke-width=\"{}\"", (width_px * 4.0).round());
    svg.split("<polyline")
        .skip(1)
        .filter_map(|line| line.split("/>").next())
        .filter(|line| line.contains(colour) && line.contains(&wide))
        .filter_map(|line| line.split("points=\"").nth(1)?.split('"').next())
        .map(|points| {
            let numbers = points
                .split([' ', ','])
                .filter_map(|n| n.parse::<f64>().ok());
            let numbers: Vec<f64> = numbers.map(|n| n / 4.0).collect();
            numbers.chunks(2).map(|p| (p[0], p[1])).collect()
        })
        .collect()
}

const EDGE_PX: f64 = 4.0;
/// Ink of the first and the second limit.
const SHAFT: &str = "#0072B2";
const PINNED: &str = "#D55E00";

#[test]
fn one_thing_tells_the_last_safe_value_and_what_breaks_beyond() {
    // Pinned beyond 328: of 200, 210 … 350 the last safe one is 320.
    let chart = command_alone(&even(200.0, 350.0, 16));
    let texts = words_of(&chart, Units::Si);
    says(
        &texts,
        &[
            "safe up to 320 kPa abs",
            "above it: pinned reading first",
            "below zero: limit exceeded",
            "13 of 16 cases hold",
            "shaft speed",
            "beyond the scale",
            "choke margin",
            "boost command, kPa abs",
            "invented data",
        ],
    );
    // 320 kPa over 6.894757 kPa/psi (NIST SP 811) is 46.41 psi.
    says(&words_of(&chart, Units::Us), &["safe up to 46.4 psi abs"]);
}

#[test]
fn values_may_fall_and_safety_may_begin_above() {
    let mut falling = even(200.0, 350.0, 16);
    falling.reverse();
    says(
        &words_of(&command_alone(&falling), Units::Si),
        &["safe up to 320 kPa abs"],
    );
    let axes = vec![numbers("a.b", "", "", &even(0.0, 5.0, 6))];
    let chart = sweep(axes, &["lambda"], |at, _| Some(at[0] * 4.0 - 10.0));
    let texts = words_of(&chart, Units::Si);
    says(&texts, &["safe from 3", "below it: lambda first", "a.b"]);
}

#[test]
fn all_safe_and_none_safe_are_said() {
    let safe = command_alone(&even(200.0, 300.0, 5));
    let texts = words_of(&safe, Units::Si);
    says(&texts, &["every limit holds everywhere"]);
    assert!(!texts.iter().any(|text| text.contains("safe up to")));
    let unsafe_ones = command_alone(&even(330.0, 350.0, 5));
    says(
        &words_of(&unsafe_ones, Units::Si),
        &["no case holds every limit"],
    );
}

#[test]
fn two_things_show_levels_limits_hatch_and_both_axes() {
    let chart = command_and_altitude(21, 13);
    let texts = words_of(&chart, Units::Si);
    says(
        &texts,
        &[
            "boost command, kPa abs",
            "altitude, m",
            "shaft speed",
            "pinned reading",
            "a limit exceeded",
            "edge of what is safe",
            "10 %",
        ],
    );
    // A limit that is nowhere met has no line and no name.
    assert!(!texts.iter().any(|text| text.contains("lambda")));
    says(
        &words_of(&chart, Units::Us),
        &["boost command, psi abs", "altitude, ft"],
    );
}

/// The pinned reading is the edge until both limits are met at once, at
/// (345 − 328) / 0.035 = 486 m; beyond it is the shaft.
#[test]
fn the_edge_of_the_safe_region_is_bold_and_changes_hands() {
    let svg = drawn(&command_and_altitude(21, 13), Units::Si);
    // Chart area of the sheet: 88 to 784 px across for 0 to 3000 m.
    let metres = |x: f64| (x - 88.0) / (784.0 - 88.0) * 3000.0;
    let reach = |colour: &str| {
        let bold: Vec<(f64, f64)> = lines(&svg, colour, EDGE_PX).concat();
        let xs = bold.iter().map(|p| metres(p.0));
        xs.fold((f64::MAX, f64::MIN), |(low, high), m| {
            (low.min(m), high.max(m))
        })
    };
    let ((pinned_from, pinned_to), (shaft_from, shaft_to)) = (reach(PINNED), reach(SHAFT));
    // A fine step is 250 m over ten parts, a pixel 4 m.
    let step = 30.0;
    assert!(pinned_from < step, "{pinned_from}");
    assert!((pinned_to - 486.0).abs() < step, "{pinned_to}");
    assert!((shaft_from - 486.0).abs() < step, "{shaft_from}");
    assert!(shaft_to > 3000.0 - step, "{shaft_to}");
}

/// Uneven values stand at their true places: on a plane the line stays straight.
#[test]
fn uneven_values_stand_at_their_true_places() {
    let mut chart = command_and_altitude(2, 2);
    let altitudes = [0.0, 100.0, 300.0, 1000.0, 3000.0];
    let axes = vec![
        chart.axes.remove(0),
        numbers("ambient.altitude", "altitude", "m", &altitudes),
    ];
    let chart = sweep(axes, &["shaft_speed"], |at, _| {
        Some((345.0 - at[1] * 0.035 - at[0]) * 0.2)
    });
    let svg = drawn(&chart, Units::Si);
    let line = lines(&svg, SHAFT, EDGE_PX).concat();
    // Only ends and corners of a line are drawn; a bend would stand among them.
    assert!(line.len() >= 4, "{line:?}");
    // 345 − 0.035 m: from 200 to 350 kPa over 76 to 616 px.
    for (x, y) in line {
        let metres = (x - 88.0) / (784.0 - 88.0) * 3000.0;
        let wanted = 616.0 - (345.0 - 0.035 * metres - 200.0) / 150.0 * 540.0;
        // Points are written in quarters of a pixel.
        assert!((y - wanted).abs() < 0.5, "{x} {y} {wanted}");
    }
}

#[test]
fn a_limit_that_no_case_holds_is_listed() {
    let axes = command_and_altitude(3, 3).axes;
    let chart = sweep(axes, &["lambda", "drive_pressure"], |_, limit| {
        Some(if limit == 0 { 5.0 } else { -5.0 })
    });
    let texts = words_of(&chart, Units::Si);
    says(
        &texts,
        &["exceeded everywhere", "drive pressure", "no case holds"],
    );
    assert!(!texts.iter().any(|text| text == "lambda"));
}

#[test]
fn only_the_exceeded_side_is_hatched() {
    let grey = "#969696";
    let hatch = |chart: &SweepChart| lines(&drawn(chart, Units::Si), grey, 1.0).len();
    let with = hatch(&command_and_altitude(21, 13));
    let axes = command_and_altitude(4, 4).axes;
    let safe = sweep(axes, &["lambda"], |_, _| Some(12.0));
    // The legend has a few lines of its own.
    assert!(with > hatch(&safe) + 40, "{with}");
}

#[test]
fn failed_cases_are_marked_and_counted() {
    let mut chart = command_and_altitude(6, 5);
    let plain = drawn(&chart, Units::Si);
    for index in [3, 11] {
        chart.cases[index] = SweepCase {
            verdict: SweepVerdict::Failed,
            headroom_pct: Vec::new(),
            first_exceeded: None,
        };
    }
    let svg = drawn(&chart, Units::Si);
    says(&texts_of(&svg), &["2 failed, no result"]);
    let crosses = |svg: &str| lines(svg, "#000000", 2.0).len();
    // Two strokes each, and the cross of the legend.
    assert_eq!(crosses(&svg), crosses(&plain) + 6);
    let mut alone = command_alone(&even(200.0, 350.0, 16));
    alone.cases[13].verdict = SweepVerdict::Failed;
    says(
        &words_of(&alone, Units::Si),
        &["failed, no result", "above it a case failed"],
    );
}

#[test]
fn words_are_tiles_with_figures_and_names() {
    let forms = words("turbine.form", "turbine", &["small", "as built", "wide"]);
    let altitude = numbers("ambient.altitude", "altitude", "m", &[400.0, 2600.0]);
    let chart = sweep(
        vec![forms.clone(), altitude],
        &["drive_pressure"],
        |at, _| Some(14.0 - at[0] * 3.0 - at[1] * 0.005),
    );
    let texts = words_of(&chart, Units::Si);
    says(
        &texts,
        &["as built", "2600", "+12 %", "−5.0 %", "drive pressure"],
    );
    let alone = sweep(vec![forms], &["drive_pressure", "lambda"], |at, limit| {
        Some(if limit == 0 { 1.0 - at[0] } else { 7.3 })
    });
    let texts = words_of(&alone, Units::Si);
    says(
        &texts,
        &["small", "wide", "+7.3", "−1.0", "lambda", "exceeded"],
    );
}

#[test]
fn a_thing_with_one_value_is_told_in_the_subtitle() {
    let mut chart = command_alone(&even(200.0, 350.0, 16));
    let altitude = numbers("ambient.altitude", "altitude", "m", &[400.0]);
    chart.axes.push(altitude.clone());
    says(
        &words_of(&chart, Units::Si),
        &["altitude 400 m", "safe up to 320 kPa abs"],
    );
    let lone = sweep(vec![altitude], &["lambda"], |_, _| Some(3.0));
    says(&words_of(&lone, Units::Si), &["400 m", "+3.0"]);
}

#[test]
fn what_does_not_belong_together_is_refused() {
    let options = PictureOptions::default();
    let empty = SweepChart::default();
    assert!(matches!(
        sweep_chart(&empty, &options),
        Err(PictureError::Empty { .. })
    ));
    let mut short = command_alone(&even(200.0, 350.0, 16));
    short.cases.pop();
    let mut narrow = command_alone(&even(200.0, 350.0, 16));
    narrow.cases[2].headroom_pct.pop();
    let axis = |path: &str| numbers(path, "", "", &[1.0, 2.0]);
    let deep = sweep(
        vec![axis("a"), axis("b"), axis("c")],
        &["lambda"],
        |_, _| Some(1.0),
    );
    for chart in [short, narrow, deep] {
        let error = sweep_chart(&chart, &options).expect_err("refused");
        assert!(matches!(error, PictureError::Mismatch { .. }), "{error}");
    }
}

#[test]
fn a_large_grid_and_long_names_are_drawn() {
    let mut large = command_and_altitude(400, 100);
    large.title = "A title that runs on and on ".repeat(12);
    large.axes[0].label = "a very long label of an axis ".repeat(6);
    for limit in &mut large.limits {
        limit.label = "a limit of a very long name ".repeat(4);
    }
    drawn(&large, Units::Us);
    let long: Vec<String> = (0..40)
        .map(|index| format!("form number {index} of many"))
        .collect();
    let long: Vec<&str> = long.iter().map(String::as_str).collect();
    let forms = words("turbine.form", "turbine", &long);
    drawn(
        &sweep(vec![forms], &["lambda"], |at, _| Some(at[0])),
        Units::Si,
    );
}

#[test]
fn the_least_sheet_is_large_enough() {
    let options = PictureOptions {
        size_px: Some((400, 400)),
        ..PictureOptions::default()
    };
    let forms = words("turbine.form", "turbine", &["small", "as built"]);
    for chart in [
        command_and_altitude(5, 4),
        command_alone(&even(200.0, 350.0, 16)),
        sweep(vec![forms], &["lambda"], |_, _| Some(1.0)),
    ] {
        let bytes = sweep_chart(&chart, &options).expect("a picture");
        let svg = String::from_utf8(bytes).expect("UTF-8");
        says(&texts_of(&svg), &["Estimate"]);
        // Texts stand inside the sheet, which is written in quarters of a pixel; the
        // drawing library moves what lies outside onto its edge.
        for text in svg.split("<text x=\"").skip(1) {
            let numbers = text.split('"').step_by(2).take(2);
            let at: Vec<f64> = numbers.map(|n| n.parse().expect("a number")).collect();
            assert!(at.iter().all(|n| *n > 0.0 && *n < 1600.0), "{at:?}");
        }
    }
}

/// A headroom of any kind: plain, absent, none at all, very large.
fn any_headroom() -> impl Strategy<Value = Option<f64>> {
    prop_oneof![
        4 => (-50.0..50.0_f64).prop_map(Some),
        1 => Just(None),
        1 => prop_oneof![
            Just(f64::NAN), Just(f64::INFINITY), Just(f64::NEG_INFINITY),
            Just(1e300), Just(-1e300), Just(0.0), Just(1e-300),
        ].prop_map(Some),
    ]
}

fn any_axis() -> impl Strategy<Value = SweepAxis> {
    let number = prop_oneof![
        5 => -1e3..1e3_f64,
        1 => prop_oneof![
            Just(f64::NAN), Just(f64::INFINITY), Just(1e308), Just(-1e308),
            Just(0.0), Just(1e-12), Just(5e9),
        ],
    ];
    let unit = prop_oneof![
        Just("kPa abs"),
        Just("m"),
        Just("degC"),
        Just(""),
        Just("mg")
    ];
    prop_oneof![
        3 => (unit, prop::collection::vec(number, 1..6))
            .prop_map(|(unit, values)| numbers("a.b", "thing", unit, &values)),
        1 => prop::collection::vec("[a-m <&\"]{0,30}", 1..5).prop_map(|list| {
            let list: Vec<&str> = list.iter().map(String::as_str).collect();
            words("c.d", "", &list)
        }),
    ]
}

proptest! {
    #![proptest_config(crate::random::cases(96))]
    /// Whatever comes in: a picture that nests, with all of it on the sheet.
    #[test]
    fn odd_sweeps_are_drawn(
        axes in prop::collection::vec(any_axis(), 1..3),
        pool in prop::collection::vec((any_headroom(), any_headroom(), 0..3_u8), 25),
    ) {
        let total: usize = axes.iter().map(|axis| axis.values.len()).product();
        let cases = (0..total).map(|index| {
            let (first, second, verdict) = pool[index % pool.len()];
            SweepCase {
                verdict: [SweepVerdict::Held, SweepVerdict::Exceeded, SweepVerdict::Failed]
                    [usize::from(verdict)],
                headroom_pct: vec![first, second],
                first_exceeded: (verdict == 1).then(|| "lambda".to_owned()),
            }
        });
        let chart = SweepChart {
            title: "odd".into(),
            data: "invented".into(),
            cases: cases.collect(),
            axes,
            limits: limits(&["lambda", "unheard_of"]),
        };
        let svg = drawn(&chart, Units::Us);
        texts_of(&svg);
        for (x, y) in lines(&svg, "", 4.0).concat() {
            let inside = x > 0.0 && x < 1000.0 && y > 0.0 && y < 700.0;
            prop_assert!(inside, "{x} {y}");
        }
    }
}
