//! What is suspicious about compressor maps: each kind is found on a map made
//! for it, and none on the shipped one; what is read, refused and drawn.

use crate::demo;
use ringfence::map::findings::Rule;
use ringfence::map::{
    CompressorMapData, CurveKind, Finding, RawSpeedLines, Spot, compressor_findings,
};
use ringfence::plant::compressor::survey;

/// A map of its rows: speed in krpm, flow in g/s, ratio, efficiency.
type Lines = Vec<Vec<[f64; 4]>>;

/// A small sound map.
fn sound() -> Lines {
    let line = |speed: f64, surge: f64, choke: f64, boost: f64| {
        [0.0, 0.25, 0.5, 0.75, 0.9, 1.0]
            .map(|share: f64| {
                let flow = surge + share * (choke - surge);
                let ratio = 1.0 + boost * (1.0 - 0.15 * share - 0.5 * share.powi(5));
                let efficiency = 0.76 - 0.1 * (share - 0.5).powi(2) - 0.1 * share.powi(6);
                [speed, flow, ratio, efficiency]
            })
            .to_vec()
    };
    vec![
        line(60.0, 50.0, 170.0, 0.30),
        line(80.0, 80.0, 230.0, 0.60),
        line(100.0, 120.0, 290.0, 1.00),
        line(120.0, 165.0, 350.0, 1.55),
        line(140.0, 220.0, 410.0, 2.20),
    ]
}

fn text(lines: &Lines) -> String {
    let mut text = "# about: a map\n# data: invented\n# reference_pressure: 100 kPa abs\n\
                    # reference_temperature: 298.15 K\n# source: made up\n\
                    corrected_speed [krpm], corrected_flow [g/s], pressure_ratio [-], efficiency [-]\n"
        .to_owned();
    for [speed, flow, ratio, efficiency] in lines.iter().flatten() {
        text += &format!("{speed}, {flow}, {ratio}, {efficiency}\n");
    }
    text
}

fn read(lines: &Lines) -> RawSpeedLines {
    RawSpeedLines::parse(&text(lines)).unwrap_or_else(|problems| panic!("{problems:?}"))
}

fn found(change: impl Fn(&mut Lines)) -> Vec<Finding> {
    let mut lines = sound();
    change(&mut lines);
    compressor_findings(&read(&lines))
}

/// Exactly this kind is found, and on this row of the table.
#[track_caller]
fn finds(rule: Rule, row: usize, change: impl Fn(&mut Lines)) {
    let found = found(change);
    let mut rules: Vec<Rule> = found.iter().map(|f| f.rule).collect();
    rules.dedup();
    assert_eq!(rules, [rule], "{found:?}");
    let line = if row == 0 { 0 } else { row + 6 };
    assert!(
        found.iter().any(|f| f.line == line),
        "not line {line}: {found:?}"
    );
    assert!(
        found
            .iter()
            .all(|f| !f.found.is_empty() && !f.place.is_empty())
    );
}

#[test]
fn sound_maps_are_not_suspicious() {
    assert_eq!(found(|_| {}), []);
    let shipped = include_str!("../../scenarios/rescue-tender/compressor.csv");
    let raw = RawSpeedLines::parse(shipped).expect("readable");
    assert_eq!(compressor_findings(&raw), []);
    assert_eq!(compressor_findings(demo::map().raw()), []);
}

#[test]
fn each_fault_of_a_compressor_map_is_found() {
    finds(Rule::ChokeSideRises, 17, |l| l[2][4][2] = l[2][3][2] + 0.01);
    finds(Rule::EfficiencyHigh, 15, |l| l[2][2][3] = 0.87);
    finds(Rule::EfficiencyLow, 18, |l| l[2][5][3] = 0.22);
    finds(Rule::EfficiencyOrder, 15, |l| l[2][2][3] = 0.70);
    finds(Rule::FewPoints, 13, |l| {
        l[2].drain(2..4);
    });
    finds(Rule::FewLines, 0, |l| {
        l.remove(0);
    });
    finds(Rule::SpeedsUneven, 25, |l| {
        for point in &mut l[4] {
            point[0] = 190.0;
        }
    });
    finds(Rule::Duplicates, 16, |l| l[2][3][1] = l[2][2][1] * 1.001);
    finds(Rule::Duplicates, 16, |l| {
        (l[2][3][2], l[2][3][3]) = (l[2][2][2], l[2][2][3]);
    });
}

/// A line cut at its surge side begins where it already falls steeply.
#[test]
fn a_missing_surge_side_is_found() {
    let found = found(|l| {
        l[4].drain(..3);
        let [speed, flow, ratio, efficiency] = l[4][2];
        for share in [1.01, 1.02] {
            l[4].push([
                speed,
                flow * share,
                ratio - 0.3 * (share - 1.0) * 100.0 * 0.5,
                efficiency,
            ]);
        }
    });
    assert!(
        found
            .iter()
            .any(|f| f.rule == Rule::SurgeMissing && f.line == 31),
        "{found:?}"
    );
}

/// The faster line's surge point lies left of the slower one's.
#[test]
fn a_kink_in_the_surge_line_is_found() {
    finds(Rule::SurgeOrder, 25, |l| l[4][0][1] = 150.0);
}

/// Lines that cross are read, found and drawn, but no run gets them.
#[test]
fn crossing_lines_are_drawn_and_refused() {
    let mut lines = sound();
    for point in &mut lines[3] {
        point[2] = 1.0 + (point[2] - 1.0) * 0.5;
    }
    let raw = read(&lines);
    let found = compressor_findings(&raw);
    let crossing: Vec<&Finding> = found
        .iter()
        .filter(|f| f.rule == Rule::LinesCross)
        .collect();
    assert_eq!(crossing.len(), 1, "{found:?}");
    assert!(crossing[0].place.contains("120000 rpm"));
    assert!(matches!(crossing[0].spot, Some(Spot::Map(_))));
    assert!(!raw.shape_problems().is_empty());
    let refused = CompressorMapData::parse(&text(&lines)).expect_err("not for a run");
    assert!(refused.iter().any(|p| p.hint.contains("do not cross")));
    let drawn = survey(&raw);
    assert_eq!(drawn.map.lines.len(), 5);
    assert!(drawn.curves.iter().any(|c| c.kind == CurveKind::Measured));
    // lines that touch are found as well
    let mut lines = sound();
    lines[3][0][2] = lines[2][1][2] * 1.0001 - 0.001;
    let near = compressor_findings(&read(&lines));
    assert!(near.iter().any(|f| f.rule == Rule::LinesCross), "{near:?}");
}

/// A line that ends at its peak has no stable branch: it is left out of what is
/// computed for the picture.
#[test]
fn a_line_without_choke_side_is_found() {
    let mut lines = sound();
    for (p, point) in lines[4].iter_mut().enumerate() {
        point[2] = 3.2 + 0.01 * p as f64;
    }
    let raw = read(&lines);
    let found = compressor_findings(&raw);
    assert!(
        found
            .iter()
            .any(|f| f.rule == Rule::NoChokeSide && f.line == 36),
        "{found:?}"
    );
    let drawn = survey(&raw);
    let measured = drawn
        .curves
        .iter()
        .filter(|c| c.kind == CurveKind::Measured);
    assert_eq!((drawn.map.lines.len(), measured.count()), (5, 4));
    for point in drawn.curves.iter().flat_map(|c| &c.points) {
        assert!(point.iter().all(|x| x.is_finite()), "{point:?}");
    }
}

#[test]
fn odd_reference_conditions_are_found() {
    let odd = text(&sound())
        .replace("298.15 K", "60 degC")
        .replace("100 kPa", "1 bar");
    let raw = RawSpeedLines::parse(&odd).expect("readable");
    let found = compressor_findings(&raw);
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!((found[0].rule, found[0].line), (Rule::ReferenceOdd, 0));
    assert!(found[0].found.contains("333.1 K"));
    let odd = text(&sound()).replace("100 kPa", "2 bar");
    let raw = RawSpeedLines::parse(&odd).expect("readable");
    assert!(compressor_findings(&raw)[0].found.contains("200.0 kPa"));
}

/// Every rule has a name of its own, a reason and a way out.
#[test]
fn rules_explain_themselves() {
    let mut codes: Vec<&str> = Rule::ALL.iter().map(|rule| rule.code()).collect();
    codes.sort_unstable();
    codes.dedup();
    assert_eq!(codes.len(), Rule::ALL.len());
    for rule in Rule::ALL {
        assert!(rule.code().starts_with("map_"));
        assert!(rule.why().ends_with('.') && !rule.advice().ends_with('.'));
        assert!(!rule.title().is_empty());
    }
}
