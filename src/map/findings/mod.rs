//! What is suspicious about a map that can be read.
//!
//! A finding is no refusal: the figures are sound one by one, but together they
//! are not what a machine does, or leave out what a simulation needs. The bounds
//! are judgement from common practice, unless a rule says otherwise.
mod compressor;
mod rules;
mod turbine;

pub use compressor::compressor_findings;
pub use rules::Rule;
pub use turbine::turbine_findings;

use super::text::MapHeader;

/// Where a finding is marked in a picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Spot {
    /// Compressor: corrected flow \[kg/s\] and pressure ratio.
    Map([f64; 2]),
    /// Turbine: expansion ratio and corrected flow \[kg/s\].
    Flow([f64; 2]),
    /// Turbine: blade-speed ratio and efficiency.
    Efficiency([f64; 2]),
}

/// One thing that is suspicious about a map.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Which rule found it.
    pub rule: Rule,
    /// Line of the text, from 1; 0 where it concerns the whole map or there was
    /// no text.
    pub line: usize,
    /// Which part of the map, such as `line at 90000 rpm`.
    pub place: String,
    /// What was found, with figures.
    pub found: String,
    /// Where to mark it; none for what concerns the whole map.
    pub spot: Option<Spot>,
}

/// Bounds of the efficiency that a measured turbocharger wheel reaches: good
/// compressors and turbines of this size peak at 0.78 to 0.82.
const HIGHEST_EFFICIENCY: f64 = 0.85;
/// Below this the figure is heat conducted from the other wheel, not work.
const LOWEST_EFFICIENCY: f64 = 0.30;
/// Two speeds or flows nearer than this are one, measured twice.
const SAME: f64 = 2e-3;
/// Steps between neighbours may differ by this factor.
const UNEVEN: f64 = 3.0;
/// Usual reference pressures \[Pa abs\].
const USUAL_PRESSURE_PA: [f64; 2] = [90e3, 105e3];

/// Finds reference conditions that no trade uses.
fn reference(header: &MapHeader, usual_k: [f64; 2], findings: &mut Vec<Finding>) {
    let reference = header.reference;
    let mut odd = |what: &str, value: String, usual: String| {
        findings.push(Finding {
            rule: Rule::ReferenceOdd,
            line: 0,
            place: "header".to_owned(),
            found: format!("{what} {value}, where {usual} is usual"),
            spot: None,
        });
    };
    let [low, high] = USUAL_PRESSURE_PA;
    if !(low..=high).contains(&reference.pressure_pa) {
        odd(
            "reference pressure",
            format!("{:.1} kPa abs", reference.pressure_pa * 1e-3),
            format!("{:.0} to {:.0} kPa abs", low * 1e-3, high * 1e-3),
        );
    }
    let [low, high] = usual_k;
    if !(low..=high).contains(&reference.temperature_k) {
        odd(
            "reference temperature",
            format!("{:.1} K", reference.temperature_k),
            format!("{low:.0} to {high:.0} K"),
        );
    }
}

/// Whether neighbouring steps of a rising list differ too much; the places of
/// the widest and the narrowest step.
fn uneven(values: &[f64]) -> Option<(usize, usize)> {
    let step = |i: usize| values[i + 1] - values[i];
    let steps = 0..values.len().checked_sub(1)?;
    let widest = steps.clone().max_by(|a, b| step(*a).total_cmp(&step(*b)))?;
    let narrowest = steps.min_by(|a, b| step(*a).total_cmp(&step(*b)))?;
    (step(widest) > UNEVEN * step(narrowest)).then_some((widest, narrowest))
}

/// Whether a list falls and then rises again by more than `tolerance`; the place
/// of the lowest value between two higher ones.
fn dip(values: &[f64], tolerance: f64) -> Option<usize> {
    (1..values.len().saturating_sub(1))
        .filter(|&i| {
            let before = values[..i].iter().copied().fold(f64::MIN, f64::max);
            let after = values[i + 1..].iter().copied().fold(f64::MIN, f64::max);
            values[i] + tolerance < before.min(after)
        })
        .min_by(|a, b| values[*a].total_cmp(&values[*b]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_dip_lies_between_two_higher_values() {
        assert_eq!(dip(&[1.0, 2.0, 1.0], 0.1), None);
        assert_eq!(dip(&[1.0, 0.5, 0.8, 1.2], 0.1), Some(1));
        assert_eq!(dip(&[1.0, 0.95, 1.2], 0.1), None);
    }

    #[test]
    fn steps_are_compared_with_each_other() {
        assert_eq!(uneven(&[1.0, 2.0, 3.0, 4.5]), None);
        assert_eq!(uneven(&[1.0, 1.2, 3.0]), Some((1, 0)));
        assert_eq!(uneven(&[1.0]), None);
        assert_eq!(uneven(&[]), None);
    }
}
