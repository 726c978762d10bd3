//! The band in words: of a run as a short table, of a ceiling as a sentence.
use super::body::Body;
use super::names;
use super::table::{Cell, Paint, number, words};
use super::text_ceiling::cell_place;
use super::units::{Units, fixed, signed};
use crate::judgement::{BandBasis, CeilingResult, LimitBand, RunBand, RunResult, Verdict};

/// How a band was come by, in one sentence.
fn basis_text(basis: &BandBasis) -> String {
    let numbers = match basis.uncertain.len() {
        1 => "1 uncertain number".to_owned(),
        count => format!("{count} uncertain numbers"),
    };
    format!(
        "{} draws of {numbers}, seed {}; low and high are the 2.5 % and 97.5 % points.",
        basis.draws, basis.seed
    )
}

/// The warning that a run held with the figures as stated only; what the draws
/// did where it held or failed in any case.
pub fn warning(result: &RunResult) -> Option<String> {
    let band = result.band.as_ref()?;
    let limits = limits_met(band);
    let outside = match band.outside_validity_pct {
        0.0 => String::new(),
        share => format!(", {} % left what the model can describe", fixed(share, 0)),
    };
    Some(match result.verdict {
        Verdict::HeldInsideBand => format!(
            "Warning: held with the figures as stated, but their uncertainty reaches past a \
             limit: {} % of the draws exceeded one{limits}{outside}.",
            fixed(band.exceeding_pct, 0)
        ),
        _ if band.exceeding_pct + band.outside_validity_pct == 0.0 => {
            "No draw of the stated uncertainty exceeded a limit.".to_owned()
        }
        _ => format!(
            "Of the draws {} % exceeded a limit{limits}{outside}.",
            fixed(band.exceeding_pct, 0)
        ),
    })
}

fn limits_met(band: &RunBand) -> String {
    let met: Vec<String> = band
        .limits
        .iter()
        .filter(|limit| limit.exceeding_pct > 0.0)
        .map(|limit| {
            format!(
                "{} {} %",
                names::limit_label(&limit.name),
                fixed(limit.exceeding_pct, 0)
            )
        })
        .collect();
    if met.is_empty() {
        String::new()
    } else {
        format!(" ({})", met.join(", "))
    }
}

/// Worst value and headroom of each limit, low and high.
pub(super) fn band_table(text: &mut Body, band: &RunBand, units: Units) {
    let columns = [
        words("limit", 0),
        words("unit", 0),
        number("stated", 1),
        number("low", 0),
        number("high", 0),
        number("least left", 0),
        number("most left", 2),
        number("past it", 0),
    ];
    let rows: Vec<Vec<Cell>> = band.limits.iter().map(|limit| row(limit, units)).collect();
    text.table(&columns, rows);
    text.paragraph(basis_text(&band.basis), Paint::Faint);
}

fn row(limit: &LimitBand, units: Units) -> Vec<Cell> {
    let shown = |value: Option<f64>, difference: bool| {
        value.map_or_else(
            || "-".to_owned(),
            |value| {
                let (value, _, places) = units.limit_value(&limit.unit, value, difference);
                if difference {
                    signed(value, places)
                } else {
                    fixed(value, places)
                }
            },
        )
    };
    let (_, unit, _) = units.limit_value(&limit.unit, 0.0, false);
    let past = limit.exceeding_pct > 0.0;
    vec![
        names::limit_label(&limit.name).into(),
        unit.into(),
        shown(limit.nominal_worst, false).into(),
        shown(limit.worst_low, false).into(),
        shown(limit.worst_high, false).into(),
        Cell {
            text: shown(limit.headroom_low, true),
            paint: if limit.headroom_low.is_some_and(|left| left < 0.0) {
                Paint::Bad
            } else {
                Paint::Plain
            },
        },
        shown(limit.headroom_high, true).into(),
        Cell {
            text: format!("{} %", fixed(limit.exceeding_pct, 0)),
            paint: if past { Paint::Bad } else { Paint::Plain },
        },
    ]
}

/// What the bands of the cells say together.
pub fn band_story(result: &CeilingResult, units: Units) -> Option<String> {
    let basis = result.band.as_ref()?;
    let bands = || {
        result
            .cells
            .iter()
            .filter_map(|cell| Some((cell, cell.band?)))
    };
    let mut text = if let Some((cell, _)) = bands().find(|(_, band)| band.low_kpa_abs.is_none()) {
        format!(
            "Inside the stated uncertainty some cells may have no window at this fuel, first {}.",
            cell_place(cell, units)
        )
    } else {
        let (cell, kpa) = bands()
            .filter_map(|(cell, band)| Some((cell, band.low_kpa_abs?)))
            .min_by(|a, b| a.1.total_cmp(&b.1))?;
        format!(
            "Inside the stated uncertainty the lowest ceiling may be {} abs, at {}.",
            units.pressure_text(kpa),
            cell_place(cell, units)
        )
    };
    text.push(' ');
    text.push_str(&basis_text(basis));
    Some(text)
}
