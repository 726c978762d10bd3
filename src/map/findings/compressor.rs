//! What is suspicious about a compressor map.

use super::{
    Finding, HIGHEST_EFFICIENCY, LOWEST_EFFICIENCY, Rule, SAME, Spot, dip, reference, uneven,
};
use crate::map::speed_lines::check::ratio_at;
use crate::map::speed_lines::{MapPoint, RawSpeedLines, SpeedLine};
use crate::map::text::figures::rpm;

/// Fewest points of a line and fewest lines that raise no doubt.
const POINTS: usize = 5;
const LINES: usize = 5;
/// Usual reference temperatures \[K\]: 273 K of the standard, 288 K, 298 K, 302.8 K
/// (545 °R) and what lies between.
const USUAL_K: [f64; 2] = [270.0, 310.0];
/// Lines nearer than this share of the boost part of the ratio touch.
const TOUCH: f64 = 0.01;
/// Slope at a line's first point from which its peak must lie further left:
/// relative fall of the boost part of the ratio over relative flow. Lines that
/// end at surge begin level or fall by some tenths.
const FALLS_AT_FIRST: f64 = -0.5;
/// A fall of efficiency along or across lines that is no measuring error.
const EFFICIENCY_DIP: f64 = 0.01;

/// Everything that is suspicious, in the order of the file.
pub fn compressor_findings(raw: &RawSpeedLines) -> Vec<Finding> {
    let mut findings = Vec::new();
    reference(raw.header(), USUAL_K, &mut findings);
    let lines = raw.lines();
    if lines.len() < LINES {
        findings.push(Finding {
            rule: Rule::FewLines,
            line: 0,
            place: "map".to_owned(),
            found: format!("{} speed lines", lines.len()),
            spot: None,
        });
    }
    let speeds: Vec<f64> = lines.iter().map(|l| l.corrected_speed_rad_s).collect();
    if let Some((wide, narrow)) = uneven(&speeds) {
        findings.push(
            Look {
                raw,
                line: wide + 1,
            }
            .finding(
                Rule::SpeedsUneven,
                0,
                format!(
                    "{} rpm from the line before, elsewhere only {} rpm",
                    rpm(speeds[wide + 1] - speeds[wide]).round(),
                    rpm(speeds[narrow + 1] - speeds[narrow]).round()
                ),
            ),
        );
    }
    for line in 0..lines.len() {
        let look = Look { raw, line };
        findings.extend(look.points());
        if line > 0 {
            findings.extend(look.against_slower());
        }
    }
    findings.extend(peaks(raw));
    findings.sort_by_key(|finding| (finding.line, finding.rule));
    findings
}

/// One line, looked at.
struct Look<'a> {
    raw: &'a RawSpeedLines,
    line: usize,
}

impl Look<'_> {
    fn own(&self) -> &SpeedLine {
        &self.raw.lines()[self.line]
    }

    fn finding(&self, rule: Rule, point: usize, found: String) -> Finding {
        let own = self.own();
        let p = own.points[point];
        Finding {
            rule,
            line: self.raw.place(self.line, point),
            place: format!("line at {} rpm", rpm(own.corrected_speed_rad_s).round()),
            found,
            spot: Some(Spot::Map([p.corrected_flow_kg_s, p.pressure_ratio])),
        }
    }

    /// The line by itself.
    fn points(&self) -> Vec<Finding> {
        let own = &self.own().points;
        let mut findings = Vec::new();
        if own.len() < POINTS {
            let found = format!("{} points", own.len());
            findings.push(self.finding(Rule::FewPoints, 0, found));
        }
        findings.extend(self.efficiency());
        for p in 1..own.len() {
            let (a, b) = (own[p - 1], own[p]);
            let step = b.corrected_flow_kg_s / a.corrected_flow_kg_s - 1.0;
            let copied = a.pressure_ratio == b.pressure_ratio && a.efficiency == b.efficiency;
            if step < SAME || copied {
                let found = if copied {
                    format!(
                        "ratio {} and efficiency {} in two rows that follow each other",
                        b.pressure_ratio, b.efficiency
                    )
                } else {
                    format!("flow {} after {}", flow(b), flow(a))
                };
                findings.push(self.finding(Rule::Duplicates, p, found));
            }
        }
        findings.extend(self.choke_side());
        findings.extend(self.surge_side());
        findings
    }

    /// The highest and the lowest doubtful efficiency of the line, and a second
    /// hill along it.
    fn efficiency(&self) -> Vec<Finding> {
        let own = &self.own().points;
        let along: Vec<f64> = own.iter().map(|p| p.efficiency).collect();
        let mut findings = Vec::new();
        let highest = (0..own.len()).max_by(|a, b| along[*a].total_cmp(&along[*b]));
        if let Some(p) = highest.filter(|p| along[*p] > HIGHEST_EFFICIENCY) {
            let found = format!("efficiency {:.3}, above {HIGHEST_EFFICIENCY}", along[p]);
            findings.push(self.finding(Rule::EfficiencyHigh, p, found));
        }
        let lowest = (0..own.len()).min_by(|a, b| along[*a].total_cmp(&along[*b]));
        if let Some(p) = lowest.filter(|p| along[*p] < LOWEST_EFFICIENCY) {
            let found = format!("efficiency {:.3}, below {LOWEST_EFFICIENCY:.2}", along[p]);
            findings.push(self.finding(Rule::EfficiencyLow, p, found));
        }
        if let Some(p) = dip(&along, EFFICIENCY_DIP) {
            let found = format!(
                "efficiency {:.3} between higher figures on both sides of it",
                along[p]
            );
            findings.push(self.finding(Rule::EfficiencyOrder, p, found));
        }
        findings
    }

    fn choke_side(&self) -> Option<Finding> {
        let own = &self.own().points;
        let peak = self.own().stable_from();
        let ratio = |p: usize| own[p].pressure_ratio;
        if peak + 1 == own.len() {
            let found = format!("highest ratio {} at the last point", ratio(peak));
            return Some(self.finding(Rule::NoChokeSide, peak, found));
        }
        let rises = (peak + 1..own.len()).find(|&p| ratio(p) > ratio(p - 1))?;
        let found = format!("ratio {} after {}", ratio(rises), ratio(rises - 1));
        Some(self.finding(Rule::ChokeSideRises, rises, found))
    }

    /// Whether the line's peak lies left of its first point.
    fn surge_side(&self) -> Option<Finding> {
        let own = &self.own().points;
        if self.own().stable_from() > 0 {
            return None;
        }
        let (a, b) = (own[0], own[1]);
        let boost = |p: MapPoint| (p.pressure_ratio - 1.0).max(1e-3);
        let slope =
            (boost(b) / boost(a)).ln() / (b.corrected_flow_kg_s / a.corrected_flow_kg_s).ln();
        (slope < FALLS_AT_FIRST).then(|| {
            let found = format!(
                "ratio falls from {} to {} between the first two points, {:.1} % of boost for \
                 1 % of flow",
                a.pressure_ratio, b.pressure_ratio, -slope
            );
            self.finding(Rule::SurgeMissing, 0, found)
        })
    }

    /// The line against the next slower one.
    fn against_slower(&self) -> Vec<Finding> {
        let own = self.own();
        let slower = &self.raw.lines()[self.line - 1];
        let mut findings = Vec::new();
        let slow = rpm(slower.corrected_speed_rad_s).round();
        let [a, b] = [slower, own].map(|line| line.corrected_speed_rad_s);
        if b / a - 1.0 < 5.0 * SAME {
            let found = format!(
                "{:.2} % faster than the line at {slow} rpm",
                (b / a - 1.0) * 100.0
            );
            findings.push(self.finding(Rule::Duplicates, 0, found));
        }
        findings.extend(self.crossing(slower));
        let surge = |line: &SpeedLine| line.points[line.stable_from()];
        let (before, here) = (surge(slower), surge(own));
        if here.corrected_flow_kg_s <= before.corrected_flow_kg_s
            || here.pressure_ratio <= before.pressure_ratio
        {
            let found = format!(
                "surge at {} and ratio {:.3}, on the line at {slow} rpm at {} and {:.3}",
                flow(here),
                here.pressure_ratio,
                flow(before),
                before.pressure_ratio
            );
            findings.push(self.finding(Rule::SurgeOrder, own.stable_from(), found));
        }
        findings
    }

    /// The place where the line comes nearest to the slower one, if too near.
    fn crossing(&self, slower: &SpeedLine) -> Option<Finding> {
        let own = self.own();
        // Over the boost part of the slower line's ratio.
        let gap = |fast: f64, slow: f64| (fast - slow) / (slow - 1.0).abs().max(1e-3);
        let on_own = own.points.iter().enumerate().filter_map(|(p, point)| {
            let slow = ratio_at(slower, point.corrected_flow_kg_s)?;
            Some((
                gap(point.pressure_ratio, slow),
                p,
                *point,
                slow,
                point.pressure_ratio,
            ))
        });
        let on_slower = slower.points.iter().filter_map(|point| {
            let fast = ratio_at(own, point.corrected_flow_kg_s)?;
            let next = own
                .points
                .iter()
                .position(|p| p.corrected_flow_kg_s >= point.corrected_flow_kg_s)?;
            Some((
                gap(fast, point.pressure_ratio),
                next,
                *point,
                point.pressure_ratio,
                fast,
            ))
        });
        let (least, p, at, slow, fast) = on_own
            .chain(on_slower)
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .filter(|nearest| nearest.0 < TOUCH)?;
        let how = if least < 0.0 { "below" } else { "hardly above" };
        let found = format!(
            "ratio {fast:.3} at {}, {how} the {slow:.3} of the line at {} rpm",
            flow(at),
            rpm(slower.corrected_speed_rad_s).round()
        );
        let mut finding = self.finding(Rule::LinesCross, p, found);
        finding.spot = Some(Spot::Map([at.corrected_flow_kg_s, fast]));
        Some(finding)
    }
}

/// Peaks of efficiency from line to line: one hill, at rising flow.
fn peaks(raw: &RawSpeedLines) -> Vec<Finding> {
    let best: Vec<(usize, MapPoint)> = raw
        .lines()
        .iter()
        .map(|line| {
            let points = line.points.iter().copied().enumerate();
            points
                .max_by(|a, b| a.1.efficiency.total_cmp(&b.1.efficiency))
                .unwrap_or((0, line.points[0]))
        })
        .collect();
    let heights: Vec<f64> = best.iter().map(|(_, p)| p.efficiency).collect();
    let mut findings = Vec::new();
    if let Some(line) = dip(&heights, EFFICIENCY_DIP) {
        let found = format!(
            "peak efficiency {:.3} between lines with higher peaks on both sides",
            heights[line]
        );
        findings.push(Look { raw, line }.finding(Rule::EfficiencyOrder, best[line].0, found));
    }
    for line in 1..best.len() {
        let (before, here) = (best[line - 1].1, best[line].1);
        if here.corrected_flow_kg_s < before.corrected_flow_kg_s {
            let found = format!(
                "best efficiency at {}, on the slower line before at {}",
                flow(here),
                flow(before)
            );
            findings.push(Look { raw, line }.finding(Rule::EfficiencyOrder, best[line].0, found));
        }
    }
    findings
}

/// A flow for messages.
fn flow(point: MapPoint) -> String {
    format!("{:.4} kg/s", point.corrected_flow_kg_s)
}
