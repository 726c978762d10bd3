//! The text form: there and back, and every fault of it.
use ringfence::judgement::{BASELINE_CHANNELS, Baseline, Channel};
use ringfence::scenario::{baseline_text, parse_baseline};
use ringfence::simulation::Sample;

fn samples() -> Vec<Sample> {
    (0..=100)
        .map(|tick| f64::from(tick) / 100.0)
        .map(|time_s| Sample {
            time_s: time_s + if time_s > 0.995 { 0.00432 } else { 0.0 },
            boost_true_kpa_abs: 100.0 + 77.0 * time_s.sin(),
            boost_command_kpa_abs: (time_s < 0.5).then_some(200.0),
            compressor_flow_kg_s: 0.123_456_789 * time_s,
            integrator_pct: -0.0001,
            lambda: f64::INFINITY,
            ..Sample::default()
        })
        .collect()
}

fn text() -> String {
    let channels = [
        Channel::BoostCommand,
        Channel::BoostTrue,
        Channel::Integrator,
        Channel::CompressorFlow,
        Channel::Lambda,
    ];
    baseline_text(
        &Baseline::of(&samples(), &channels, 0.25),
        "Made\nby hand",
        "invented",
    )
}

#[test]
fn the_text_holds_units_and_fixed_decimals_and_no_negative_zero() {
    let text = text();
    let lines: Vec<&str> = text.lines().filter(|line| !line.starts_with('#')).collect();
    assert_eq!(
        lines,
        [
            "time_s,boost_command_kpa_abs,boost_true_kpa_abs,integrator_pct,compressor_flow_kg_s,lambda",
            "0.000,200.00,100.00,0.00,0.00000,",
            "0.250,200.00,119.05,0.00,0.03086,",
            "0.500,,136.92,0.00,0.06173,",
            "0.750,,152.49,0.00,0.09259,",
            "1.000,,164.67,0.00,0.12308,",
            "1.004,,164.79,0.00,0.12346,",
        ]
    );
    assert!(
        text.contains("\n# scenario: Made by hand\n# data: invented\n"),
        "{text}"
    );
}

#[test]
fn what_is_written_is_read_back_as_it_was() {
    for spacing_s in [0.05, 0.1, 1.0 / 3.0, 7.0] {
        let held = Baseline::of(&samples(), &BASELINE_CHANNELS, spacing_s);
        let text = baseline_text(&held, "Made by hand", "invented");
        assert_eq!(parse_baseline(&text).expect("its own text"), held);
        // also where an editor has put other ends of lines
        let foreign = text.replace('\n', "\r\n");
        assert_eq!(parse_baseline(&foreign).expect("its own text"), held);
    }
}

#[test]
fn a_last_digit_is_the_same_and_two_are_not() {
    let held = Baseline::of(&samples(), &BASELINE_CHANNELS, 0.1);
    let moved = |by: f64| -> Vec<Sample> {
        let one = |s: Sample| Sample {
            boost_true_kpa_abs: s.boost_true_kpa_abs + if s.time_s == 0.3 { by } else { 0.0 },
            ..s
        };
        samples().into_iter().map(one).collect()
    };
    assert!(held.says_the_same(&moved(0.0)));
    // boost has two decimals
    assert!(held.says_the_same(&moved(0.01)));
    assert!(held.says_the_same(&moved(-0.01)));
    assert!(!held.says_the_same(&moved(0.02)));
    assert!(!held.says_the_same(&moved(-0.02)));
    assert!(!held.says_the_same(&samples()[..90]));
}

/// A fault: what is replaced by what, and line, field and words of the message.
type Broken = (
    &'static str,
    &'static str,
    usize,
    &'static str,
    &'static str,
);

const BROKEN: [Broken; 18] = [
    (
        "# baseline of ringfence",
        "# my notes",
        1,
        "head",
        "begins with",
    ),
    (
        "# spacing_s: 0.25",
        "# spacing: 0.25",
        1,
        "spacing_s",
        "no such line",
    ),
    (
        "# spacing_s: 0.25",
        "# spacing_s: 0",
        4,
        "spacing_s",
        "from 0.01 to 60",
    ),
    (
        "# spacing_s: 0.25",
        "# spacing_s: 1e-7",
        4,
        "spacing_s",
        "from 0.01 to 60",
    ),
    (
        "# spacing_s: 0.25",
        "# spacing_s: 61",
        4,
        "spacing_s",
        "from 0.01 to 60",
    ),
    (
        "# spacing_s: 0.25",
        "# spacing_s: wide",
        4,
        "spacing_s",
        "wide",
    ),
    ("time_s,", "time,", 6, "column", "time_s"),
    (
        "boost_true_kpa_abs",
        "boost_kpa",
        6,
        "column",
        "did you mean `boost_true_kpa_abs`?",
    ),
    ("boost_true_kpa_abs", "", 6, "column", "no name"),
    (
        "boost_true_kpa_abs",
        "boost_command_kpa_abs",
        6,
        "column",
        "each column once",
    ),
    ("0.500,,136.92", "0.500,136.92", 9, "table", "5 cells"),
    (
        "136.92",
        "136.92 kPa",
        9,
        "boost_true_kpa_abs",
        "a finite number",
    ),
    ("136.92", "NaN", 9, "boost_true_kpa_abs", "NaN"),
    ("136.92", "inf", 9, "boost_true_kpa_abs", "inf"),
    ("0.500,", "0.250,", 9, "time_s", "above 0.25 s"),
    ("0.500,", "late,", 9, "time_s", "late"),
    ("0.000,200", "-1,200", 7, "time_s", "from 0"),
    ("0.500,", "99999,", 9, "time_s", "from 0 to 86400"),
];

#[test]
fn every_fault_is_named_with_its_line() {
    let sound = text();
    assert!(parse_baseline(&sound).is_ok());
    for (from, to, line, field, words) in BROKEN {
        assert!(sound.contains(from), "{from}");
        let found = parse_baseline(&sound.replacen(from, to, 1)).expect_err(to);
        let named = found.iter().find(|p| p.line == line && p.field == field);
        let named = named.unwrap_or_else(|| panic!("{from} -> {to}: {found:?}"));
        let all = format!("{} {} {}", named.read, named.allowed, named.hint);
        assert!(all.contains(words), "{from} -> {to}: {all}");
        for text in [&named.read, &named.allowed, &named.hint] {
            assert!(!text.trim().is_empty(), "{named:?}");
        }
    }
}

#[test]
fn a_file_without_columns_or_rows_is_none() {
    let sound = text();
    let head: String = sound.split_inclusive('\n').take(5).collect();
    let of = |rest: &str| parse_baseline(&format!("{head}{rest}")).expect_err(rest);
    assert_eq!(of("")[0].read, "no row of column names");
    assert_eq!(of("time_s\n")[0].read, "the time alone");
    assert_eq!(of("time_s,torque_nm\n")[0].read, "no row of figures");
    assert_eq!(parse_baseline("").expect_err("nothing")[0].field, "head");
}

#[test]
fn many_faults_are_cut_short() {
    let rows: String = (0..100).map(|_| "x,y,z\n").collect();
    let text = format!("# baseline of ringfence\n# spacing_s: 1\ntime_s,torque_nm\n{rows}");
    let found = parse_baseline(&text).expect_err("nonsense");
    assert!((2..=25).contains(&found.len()), "{}", found.len());
}

#[test]
fn the_bounds_of_a_spacing_are_allowed() {
    for spacing in ["0.01", "60"] {
        let text = text().replace("spacing_s: 0.25", &format!("spacing_s: {spacing}"));
        assert!(parse_baseline(&text).is_ok(), "{spacing}");
    }
}

#[test]
fn a_spacing_that_does_not_belong_to_the_rows_says_something_else() {
    let sound = Baseline::of(&samples(), &BASELINE_CHANNELS, 0.1);
    // to make rows for it would take the memory of the machine and never end
    let rows = sound.rows().to_vec();
    let odd = Baseline::from_rows(1e-13, BASELINE_CHANNELS.to_vec(), rows);
    assert!(!odd.says_the_same(&samples()));
    let none = Baseline::from_rows(0.1, BASELINE_CHANNELS.to_vec(), Vec::new());
    assert!(!none.says_the_same(&samples()) && none.says_the_same(&[]));
}

#[test]
fn a_row_that_would_be_shown_at_the_time_of_the_end_is_the_end() {
    // a period of 2.3 ms, which ends at 0.6003 s
    let samples: Vec<Sample> = (0..=261)
        .map(|tick| Sample {
            time_s: f64::from(tick) * 2.3e-3,
            boost_true_kpa_abs: f64::from(tick),
            ..Sample::default()
        })
        .collect();
    let held = Baseline::of(&samples, &[Channel::BoostTrue], 0.1);
    let times: Vec<f64> = held.rows().iter().map(|row| row.time_s).collect();
    assert_eq!(times, [0.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6]);
    assert_eq!(held.rows()[6].values, [Some(261.0)], "that of the end");
    let text = baseline_text(&held, "Made by hand", "invented");
    assert_eq!(parse_baseline(&text).expect("its own text"), held);
    assert!(held.says_the_same(&samples));
}
