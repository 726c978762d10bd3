//! What is suspicious about turbine maps: each kind is found on a map made for it,
//! and none on the shipped one.

use crate::demo;
use ringfence::map::findings::Rule;
use ringfence::map::{MapHeader, Spot, TurbineMapData, VaneLines, turbine_findings};

/// The demo map with its vane positions changed.
fn made(change: impl Fn(&mut Vec<VaneLines>)) -> TurbineMapData {
    let map = demo::map();
    let mut vanes = map.vanes().to_vec();
    change(&mut vanes);
    let header: MapHeader = map.header().clone();
    TurbineMapData::new(header, demo::WHEEL_M, demo::BURNED, vanes).expect("readable")
}

/// Kinds of the findings, each once.
fn rules(map: &TurbineMapData) -> Vec<Rule> {
    let mut rules: Vec<Rule> = turbine_findings(map).into_iter().map(|f| f.rule).collect();
    rules.sort();
    rules.dedup();
    rules
}

#[track_caller]
fn finds(rule: Rule, change: impl Fn(&mut Vec<VaneLines>)) {
    assert_eq!(rules(&made(change)), [rule]);
}

#[test]
fn the_shipped_turbine_map_is_not_suspicious() {
    assert_eq!(turbine_findings(&demo::map()), []);
}

#[test]
fn each_fault_of_a_turbine_map_is_found() {
    finds(Rule::FlowFalls, |v| {
        v[4].lines[6].points[3].corrected_flow_kg_s *= 0.95
    });
    finds(Rule::EfficiencyHigh, |v| {
        v[4].lines[4].points[4].efficiency = 0.88
    });
    finds(Rule::EfficiencyLow, |v| {
        v[4].lines[1].points[0].efficiency = 0.05
    });
    finds(Rule::EfficiencyOrder, |v| {
        v[4].lines[4].points[5].efficiency -= 0.06
    });
    finds(Rule::Duplicates, |v| {
        let points = &mut v[4].lines[7].points;
        let copied = points[6];
        points[7].efficiency = copied.efficiency;
        points[7].corrected_flow_kg_s = copied.corrected_flow_kg_s;
    });
    finds(Rule::FewPoints, |v| v[4].lines[7].points.truncate(3));
    finds(Rule::FewVanes, |v| {
        *v = vec![v[0].clone(), v[5].clone(), v[10].clone()]
    });
    finds(Rule::VanesUneven, |v| {
        v.drain(5..9);
    });
    finds(Rule::BladeSpeedNarrow, |v| {
        v[4].lines.drain(..4);
        for line in &mut v[4].lines {
            line.points.truncate(4);
        }
    });
    finds(Rule::FlowSpread, |v| {
        for point in &mut v[10].lines[0].points {
            point.corrected_flow_kg_s *= 0.9;
        }
    });
}

/// Exchanged vane positions pass more flow the more they are closed.
#[test]
fn exchanged_vane_positions_are_found() {
    let map = made(|vanes| {
        let (open, closed) = (vanes[4].vane_closed, vanes[5].vane_closed);
        vanes.swap(4, 5);
        vanes[4].vane_closed = open;
        vanes[5].vane_closed = closed;
    });
    assert_eq!(rules(&map), [Rule::VaneOrder]);
}

#[test]
fn reference_conditions_that_no_stand_has_are_found() {
    let map = demo::map();
    let mut header = map.header().clone();
    header.reference.temperature_k = 1400.0;
    header.reference.pressure_pa = 200e3;
    let vanes = map.vanes().to_vec();
    let odd = TurbineMapData::new(header, demo::WHEEL_M, demo::BURNED, vanes).expect("readable");
    let found = turbine_findings(&odd);
    // blade-speed ratios move with the temperature: only the header counts here
    let of_header = found.iter().filter(|f| f.rule == Rule::ReferenceOdd);
    assert_eq!(of_header.count(), 2);
}

/// A finding says where: line of the file, place, figures and a spot to mark.
#[test]
fn a_finding_of_a_turbine_map_says_where() {
    let shipped = include_str!("../../scenarios/rescue-tender/turbine.csv");
    let row = "0.00, 40000.0, 1.06000, 0.0557493, 0.58556";
    assert!(shipped.contains(row), "the row to damage is there");
    let damaged = shipped.replace(row, "0.00, 40000.0, 1.06000, 0.0557493, 0.90001");
    let map = TurbineMapData::parse(&damaged).expect("readable");
    let found = turbine_findings(&map);
    assert_eq!(found.len(), 1, "{found:?}");
    let line = damaged.lines().position(|l| l.contains("0.90001")).unwrap() + 1;
    assert_eq!((found[0].rule, found[0].line), (Rule::EfficiencyHigh, line));
    assert_eq!(found[0].place, "0 % closed, line at 40000 rpm");
    assert!(found[0].found.contains("0.900"));
    assert!(
        matches!(found[0].spot, Some(Spot::Efficiency([_, high])) if (high - 0.90001).abs() < 1e-12)
    );
}
