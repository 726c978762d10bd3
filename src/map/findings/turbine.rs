//! What is suspicious about a turbine map.

use super::{
    Finding, HIGHEST_EFFICIENCY, LOWEST_EFFICIENCY, Rule, SAME, Spot, dip, reference, uneven,
};
use crate::map::text::figures::rpm;
use crate::map::vane_lines::{TurbineMapData, VaneLines, VanePoint, percent};

/// Fewest points of a line, of a vane position, and fewest vane positions that
/// raise no doubt.
const LINE_POINTS: usize = 4;
const VANE_POINTS: usize = 8;
const VANES: usize = 4;
/// Usual reference temperatures \[K\]: cold air to a hot gas stand.
const USUAL_K: [f64; 2] = [270.0, 1150.0];
/// A fall of flow along a line that is no measuring error, relative.
const FLOW_FALL: f64 = 3e-3;
/// Flow at one expansion ratio may differ by this much from line to line,
/// relative.
const FLOW_SPREAD: f64 = 0.06;
/// A fall of efficiency along a line that is no measuring error.
const EFFICIENCY_DIP: f64 = 0.015;
/// Narrowest range of blade-speed ratio, and what it must hold: the usual best.
const BLADE_SPEED_SPAN: f64 = 0.2;
const BLADE_SPEED_BEST: [f64; 2] = [0.55, 0.65];

/// Everything that is suspicious, in the order of the file.
pub fn turbine_findings(data: &TurbineMapData) -> Vec<Finding> {
    let mut findings = Vec::new();
    reference(data.header(), USUAL_K, &mut findings);
    let vanes = data.vanes();
    if vanes.len() < VANES {
        findings.push(Finding {
            rule: Rule::FewVanes,
            line: 0,
            place: "map".to_owned(),
            found: format!("{} vane positions", vanes.len()),
            spot: None,
        });
    }
    let positions: Vec<f64> = vanes.iter().map(|vane| vane.vane_closed).collect();
    if let Some((wide, narrow)) = uneven(&positions) {
        let look = Look {
            data,
            vane: wide + 1,
        };
        let found = format!(
            "{} % from the position before, elsewhere only {} %",
            percent(positions[wide + 1] - positions[wide]),
            percent(positions[narrow + 1] - positions[narrow])
        );
        findings.push(look.of_flow(Rule::VanesUneven, 0, 0, found));
    }
    for (vane, position) in vanes.iter().enumerate() {
        let look = Look { data, vane };
        for line in 0..position.lines.len() {
            findings.extend(look.line(line));
        }
        findings.extend(look.whole());
        if vane > 0 {
            findings.extend(look.against_more_open());
        }
    }
    findings.sort_by_key(|finding| (finding.line, finding.rule));
    findings
}

/// One vane position, looked at.
struct Look<'a> {
    data: &'a TurbineMapData,
    vane: usize,
}

impl Look<'_> {
    fn own(&self) -> &VaneLines {
        &self.data.vanes()[self.vane]
    }

    fn place(&self, line: usize) -> String {
        format!(
            "{} % closed, line at {} rpm",
            percent(self.own().vane_closed),
            rpm(self.own().lines[line].corrected_speed_rad_s).round()
        )
    }

    fn of_flow(&self, rule: Rule, line: usize, point: usize, found: String) -> Finding {
        let p = self.own().lines[line].points[point];
        Finding {
            rule,
            line: self.data.place(self.vane, line, point),
            place: self.place(line),
            found,
            spot: Some(Spot::Flow([p.expansion_ratio, p.corrected_flow_kg_s])),
        }
    }

    fn of_efficiency(&self, rule: Rule, line: usize, point: usize, found: String) -> Finding {
        let own = &self.own().lines[line];
        let p = own.points[point];
        let ratio = self
            .data
            .blade_speed_ratio(own.corrected_speed_rad_s, p.expansion_ratio);
        Finding {
            spot: Some(Spot::Efficiency([ratio, p.efficiency])),
            ..self.of_flow(rule, line, point, found)
        }
    }

    /// One line by itself.
    fn line(&self, line: usize) -> Vec<Finding> {
        let points = &self.own().lines[line].points;
        let mut findings = Vec::new();
        if points.len() < LINE_POINTS {
            let found = format!("{} points", points.len());
            findings.push(self.of_flow(Rule::FewPoints, line, 0, found));
        }
        let mut highest = f64::MIN;
        let falls = (0..points.len()).find(|&p| {
            highest = highest.max(points[p].corrected_flow_kg_s);
            points[p].corrected_flow_kg_s < highest * (1.0 - FLOW_FALL)
        });
        if let Some(p) = falls {
            let found = format!(
                "flow {} at ratio {:.3} after up to {highest:.4} kg/s",
                flow(points[p]),
                points[p].expansion_ratio
            );
            findings.push(self.of_flow(Rule::FlowFalls, line, p, found));
        }
        for p in 1..points.len() {
            let (a, b) = (points[p - 1], points[p]);
            let near = b.expansion_ratio / a.expansion_ratio - 1.0 < 0.1 * SAME;
            let copied =
                a.corrected_flow_kg_s == b.corrected_flow_kg_s && a.efficiency == b.efficiency;
            if near || copied {
                let found = format!(
                    "ratio {}, flow {} and efficiency {} after ratio {}, flow {} and efficiency {}",
                    b.expansion_ratio,
                    flow(b),
                    b.efficiency,
                    a.expansion_ratio,
                    flow(a),
                    a.efficiency
                );
                findings.push(self.of_flow(Rule::Duplicates, line, p, found));
            }
        }
        findings.extend(self.efficiency(line));
        findings
    }

    fn efficiency(&self, line: usize) -> Vec<Finding> {
        let points = &self.own().lines[line].points;
        let along: Vec<f64> = points.iter().map(|p| p.efficiency).collect();
        let by_height = |a: &usize, b: &usize| along[*a].total_cmp(&along[*b]);
        let mut findings = Vec::new();
        let highest = (0..along.len()).max_by(by_height);
        if let Some(p) = highest.filter(|p| along[*p] > HIGHEST_EFFICIENCY) {
            let found = format!("efficiency {:.3}, above {HIGHEST_EFFICIENCY}", along[p]);
            findings.push(self.of_efficiency(Rule::EfficiencyHigh, line, p, found));
        }
        // Closed vanes and slow wheels do turn little of the drop into work.
        let lowest = (0..along.len()).min_by(by_height);
        let lowest_allowed = 0.5 * LOWEST_EFFICIENCY;
        if let Some(p) = lowest.filter(|p| along[*p] < lowest_allowed) {
            let found = format!("efficiency {:.3}, below {lowest_allowed:.2}", along[p]);
            findings.push(self.of_efficiency(Rule::EfficiencyLow, line, p, found));
        }
        if let Some(p) = dip(&along, EFFICIENCY_DIP) {
            let found = format!(
                "efficiency {:.3} between higher figures on both sides of it",
                along[p]
            );
            findings.push(self.of_efficiency(Rule::EfficiencyOrder, line, p, found));
        }
        findings
    }

    /// All lines of the position together.
    fn whole(&self) -> Vec<Finding> {
        let own = self.own();
        let mut findings = Vec::new();
        let points: usize = own.lines.iter().map(|line| line.points.len()).sum();
        if points < VANE_POINTS {
            let found = format!("{points} points at this vane position");
            findings.push(self.of_flow(Rule::FewPoints, 0, 0, found));
        }
        findings.extend(self.blade_speed());
        findings.extend(self.spread());
        findings
    }

    fn blade_speed(&self) -> Option<Finding> {
        let ratios = self.own().lines.iter().flat_map(|line| {
            line.points.iter().map(|p| {
                self.data
                    .blade_speed_ratio(line.corrected_speed_rad_s, p.expansion_ratio)
            })
        });
        let (low, high) = ratios.fold((f64::MAX, f64::MIN), |(low, high), ratio| {
            (low.min(ratio), high.max(ratio))
        });
        let [first, last] = BLADE_SPEED_BEST;
        (high - low < BLADE_SPEED_SPAN || low > first || high < last).then(|| {
            let found = format!("blade-speed ratio from {low:.2} to {high:.2}");
            self.of_efficiency(Rule::BladeSpeedNarrow, 0, 0, found)
        })
    }

    /// The point whose flow is furthest from that of another line at its ratio.
    fn spread(&self) -> Option<Finding> {
        let lines = &self.own().lines;
        let mut worst: Option<(f64, usize, usize, f64)> = None;
        for (l, line) in lines.iter().enumerate() {
            for (p, point) in line.points.iter().enumerate() {
                for other in &lines[..l] {
                    let Some(flow) = flow_at(&other.points, point.expansion_ratio) else {
                        continue;
                    };
                    let off = (point.corrected_flow_kg_s / flow - 1.0).abs();
                    if worst.is_none_or(|(most, ..)| off > most) {
                        worst = Some((off, l, p, flow));
                    }
                }
            }
        }
        let (_, l, p, other) = worst.filter(|(off, ..)| *off > FLOW_SPREAD)?;
        let point = lines[l].points[p];
        let found = format!(
            "flow {} at ratio {:.3}, on a slower line {other:.4} kg/s",
            flow(point),
            point.expansion_ratio
        );
        Some(self.of_flow(Rule::FlowSpread, l, p, found))
    }

    /// The point that passes most against the next more open position.
    fn against_more_open(&self) -> Option<Finding> {
        let before = &self.data.vanes()[self.vane - 1];
        let mut all: Vec<VanePoint> = before.lines.iter().flat_map(|l| l.points.clone()).collect();
        all.sort_by(|a, b| a.expansion_ratio.total_cmp(&b.expansion_ratio));
        let mut worst: Option<(f64, usize, usize, f64)> = None;
        for (l, line) in self.own().lines.iter().enumerate() {
            for (p, point) in line.points.iter().enumerate() {
                if let Some(open) = flow_at(&all, point.expansion_ratio) {
                    let share = point.corrected_flow_kg_s / open;
                    if worst.is_none_or(|(most, ..)| share > most) {
                        worst = Some((share, l, p, open));
                    }
                }
            }
        }
        let (_, l, p, open) = worst.filter(|(share, ..)| *share >= 1.0)?;
        let point = self.own().lines[l].points[p];
        let found = format!(
            "flow {} at ratio {:.3}, at {} % closed only {open:.4} kg/s",
            flow(point),
            point.expansion_ratio,
            percent(before.vane_closed)
        );
        Some(self.of_flow(Rule::VaneOrder, l, p, found))
    }
}

/// Flow at an expansion ratio, straight between points; none outside them.
fn flow_at(points: &[VanePoint], expansion_ratio: f64) -> Option<f64> {
    points.windows(2).find_map(|pair| {
        let [a, b] = [pair[0].expansion_ratio, pair[1].expansion_ratio];
        (a <= expansion_ratio && expansion_ratio <= b && a < b).then(|| {
            let share = (expansion_ratio - a) / (b - a);
            let [a, b] = [pair[0].corrected_flow_kg_s, pair[1].corrected_flow_kg_s];
            a + share * (b - a)
        })
    })
}

/// A flow for messages.
fn flow(point: VanePoint) -> String {
    format!("{:.4} kg/s", point.corrected_flow_kg_s)
}
