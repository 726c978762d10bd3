//! The page on results describes every field and column.
use super::pages::root;
use ringfence::judgement::{
    Band, BandBasis, CeilingCell, CeilingResult, Compared, Comparison, Difference, DifferenceKind,
    LimitBand, Margin, RunBand, TableProof, UncertainNumber, Verdict, WorstDraw,
};
use ringfence::report::{COMPARISON_COLUMNS, TRACE_COLUMNS};
use ringfence::scenario::build::Setup;
use ringfence::scenario::load;
use ringfence::study::progress::Silent;
use ringfence::study::single::single;
use ringfence::study::tolerance::{Asked, tolerance};
use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;

fn keys(value: &Value, into: &mut BTreeSet<String>) {
    match value {
        Value::Object(map) => {
            for (key, below) in map {
                into.insert(key.clone());
                keys(below, into);
            }
        }
        Value::Array(items) => items.iter().for_each(|item| keys(item, into)),
        _ => {}
    }
}

/// A short hold: the run that fills every block of the result.
fn run() -> Value {
    let hold = "[{hold: {engine_speed: 2000 rpm, duration: 0.1 s}}]";
    let overrides = [("procedure".to_owned(), hold.to_owned())];
    let file = root().join("scenarios/rescue-tender.yaml");
    let loaded = load(&file, &overrides, None).unwrap_or_else(|e| panic!("{e}"));
    let setup = Setup::new(&loaded.scenario).expect("the demo can be built");
    let mut result = single(&setup).expect("the demo starts").result;
    assert!(result.steady.is_some());
    result.solver.wall_s = Some(1.0);
    result.band = Some(RunBand {
        basis: basis(),
        limits: vec![LimitBand::default()],
        worst_draw: Some(WorstDraw::default()),
        ..RunBand::default()
    });
    serde_json::to_value(result).expect("a result is JSON")
}

/// What a band rests on, with every block filled.
fn basis() -> BandBasis {
    BandBasis {
        uncertain: vec![UncertainNumber::default()],
        ..BandBasis::default()
    }
}

/// A ceiling with every block filled.
fn ceiling() -> Value {
    let cell = CeilingCell {
        margins: vec![Margin {
            limit: String::new(),
            headroom: 0.0,
            headroom_pct: 0.0,
        }],
        band: Some(Band::default()),
        ..CeilingCell::default()
    };
    let result = CeilingResult {
        tool: String::new(),
        version: String::new(),
        scenario: String::new(),
        data: String::new(),
        step_kpa: 1.0,
        readable_ceiling_kpa_abs: None,
        cells: vec![cell],
        table_proved: Some(TableProof {
            verdict: Verdict::Held,
            procedure: String::new(),
            exceeded: Vec::new(),
            reserve_kpa: None,
        }),
        band: Some(basis()),
    };
    serde_json::to_value(result).expect("a result is JSON")
}

/// A comparison with every block but the results filled.
fn comparison() -> Value {
    let comparison = Comparison {
        tool: String::new(),
        version: String::new(),
        procedure: None,
        base: None,
        boost_target_kpa_abs: None,
        scenarios: vec![Compared::default()],
        differences: vec![Difference {
            scenario: 0,
            file: String::new(),
            kind: DifferenceKind::Peak,
            name: String::new(),
            unit: String::new(),
            base: None,
            value: None,
            difference: None,
            matters: None,
        }],
    };
    serde_json::to_value(comparison).expect("a result is JSON")
}

/// A tolerance of few engines: every block is filled.
fn drawn() -> Value {
    let hold = "[{hold: {engine_speed: 2000 rpm, duration: 0.02 s}}]";
    let overrides = [("procedure".to_owned(), hold.to_owned())];
    let file = root().join("scenarios/rescue-tender.yaml");
    let loaded = load(&file, &overrides, None).unwrap_or_else(|e| panic!("{e}"));
    let setup = Setup::new(&loaded.scenario).expect("the demo can be built");
    let asked = Asked {
        draws: 50,
        level: 0.5,
        ..Asked::default()
    };
    let answer = tolerance(&loaded, &setup, asked, &Silent, &Silent).expect("spreads");
    assert!(answer.result.limits.iter().any(|l| !l.causes.is_empty()));
    serde_json::to_value(answer.result).expect("a result is JSON")
}

/// Tables of a single row, made and proved, with a knee put in.
fn tables() -> Value {
    use ringfence::judgement::{GainCurve, GainPoint, Knee};
    use ringfence::study::progress::Silent;
    use ringfence::study::tables::{Reserve, TablesPlan, tables};
    let overrides = [
        ("ceiling.altitudes".to_owned(), "[400 m]".to_owned()),
        ("ceiling.step".to_owned(), "8 kPa".to_owned()),
        ("ceiling.transients.afterwards".to_owned(), "1 s".to_owned()),
    ];
    let file = root().join("scenarios/rescue-tender.yaml");
    let loaded = load(&file, &overrides, None).unwrap_or_else(|e| panic!("{e}"));
    let setup = Setup::new(&loaded.scenario).expect("the demo can be built");
    let reserve = Reserve {
        general: 0.05,
        single: Vec::new(),
    };
    let axes = (Some(vec![190.0, 230.0]), Some(vec![0.0, 130e-6]));
    let plan = TablesPlan::of(&loaded.scenario, &setup, axes, &reserve).expect("a plan");
    let mut result = tables(&plan, &setup.titles, &Silent);
    result.gain.push(GainCurve {
        points: vec![GainPoint::default()],
        knee: Some(Knee {
            command_kpa_abs: 0.0,
            shaft_speed_rpm: 0.0,
            power_kw: 0.0,
            best_slope_kw_per_krpm: 0.0,
            least_slope_kw_per_krpm: 0.0,
        }),
        ..GainCurve::default()
    });
    serde_json::to_value(result).expect("a result is JSON")
}

#[test]
fn every_field_and_column_is_described() {
    let text = fs::read_to_string(root().join("docs/results.md")).expect("the page on results");
    let mut names = BTreeSet::new();
    keys(&run(), &mut names);
    keys(&ceiling(), &mut names);
    keys(&comparison(), &mut names);
    names.extend(COMPARISON_COLUMNS.map(str::to_owned));
    keys(&drawn(), &mut names);
    keys(&tables(), &mut names);
    names.extend(TRACE_COLUMNS.map(str::to_owned));
    assert!(names.len() > 120, "{} names", names.len());
    let missing: Vec<&String> = names
        .iter()
        .filter(|name| !text.contains(&format!("`{name}`")))
        .collect();
    assert!(missing.is_empty(), "not in docs/results.md: {missing:?}");
}
