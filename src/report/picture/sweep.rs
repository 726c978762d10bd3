//! The picture of a parameter sweep: what is drawn how. Lines over one row of
//! numbers, a field of contours over two, tiles where words vary.
use super::canvas::Canvas;
use super::palette::{Dash, Ink, SERIES, Stroke, stroke};
use super::sweep_axis::ShownAxis;
use super::sweep_data::{SweepCase, SweepChart, SweepVerdict};
use super::{PictureError, PictureOptions, render, sheet, sweep_field, sweep_lines, sweep_tiles};
use crate::report::names;

const SIZE_PX: (u32, u32) = (1000, 700);

/// Headroom over what a sweep varies: lines over one thing, contours over two,
/// tiles where words vary. A thing with a single value is told in the subtitle.
///
/// # Errors
/// A sweep without cases, one whose cases do not fill its grid, more than two
/// things that vary, a size that cannot be drawn, or a failure of the plotting
/// library.
pub fn sweep_chart(chart: &SweepChart, options: &PictureOptions) -> Result<Vec<u8>, PictureError> {
    let view = View::new(chart, options)?;
    let subtitle = view.subtitle();
    let mut canvas = sheet::begin(options, SIZE_PX, &chart.title, &chart.data, &subtitle)?;
    match (&view.up, &view.across.places) {
        (None, Some(_)) => sweep_lines::draw(&mut canvas, &view),
        (Some(up), Some(_)) if up.places.is_some() => sweep_field::draw(&mut canvas, &view, up),
        _ => sweep_tiles::draw(&mut canvas, &view),
    }
    render::render(&canvas, options.format)
}

/// A sweep turned the way it is drawn.
pub(super) struct View<'a> {
    pub(super) chart: &'a SweepChart,
    pub(super) across: ShownAxis,
    /// Absent where one thing varies.
    pub(super) up: Option<ShownAxis>,
    /// Row by row from the lowest, each in the order of the axis across.
    pub(super) cases: Vec<&'a SweepCase>,
    /// Things with a single value, in words.
    fixed: Vec<String>,
}

impl<'a> View<'a> {
    fn new(chart: &'a SweepChart, options: &PictureOptions) -> Result<Self, PictureError> {
        let total: usize = chart.axes.iter().map(|axis| axis.values.len()).product();
        if chart.axes.is_empty() || total == 0 {
            return Err(PictureError::Empty { what: "the sweep" });
        }
        let limits = chart.limits.len();
        let whole = |case: &SweepCase| {
            case.headroom_pct.len() == limits || case.verdict == SweepVerdict::Failed
        };
        if chart.cases.len() != total || !chart.cases.iter().all(whole) {
            return Err(PictureError::Mismatch {
                what: "the cases of the sweep do not fill its grid",
            });
        }
        let shown = |index: usize| ShownAxis::new(&chart.axes[index], options.units);
        let (varied, single): (Vec<usize>, Vec<usize>) =
            (0..chart.axes.len()).partition(|&index| chart.axes[index].values.len() > 1);
        let fixed = single.iter().map(|&index| shown(index));
        let fixed = fixed.map(|axis| format!("{} {}", axis.name, axis.full_texts[0]));
        let mut fixed: Vec<String> = fixed.collect();
        let (across, up) = match varied[..] {
            [] => {
                fixed.remove(0);
                (single[0], None)
            }
            [only] => (only, None),
            [first, second] if turned(chart, first, second) => (first, Some(second)),
            [first, second] => (second, Some(first)),
            _ => {
                return Err(PictureError::Mismatch {
                    what: "more than two things vary in the sweep",
                });
            }
        };
        let (across_shown, up_shown) = (shown(across), up.map(shown));
        let stride = |axis: usize| -> usize {
            let later = chart.axes[axis + 1..].iter();
            later.map(|axis| axis.values.len()).product()
        };
        let row_starts: Vec<usize> = match (&up_shown, up) {
            (Some(axis), Some(up)) => axis.order.iter().map(|v| v * stride(up)).collect(),
            _ => vec![0],
        };
        let step = stride(across);
        let order = &across_shown.order;
        let places = row_starts
            .iter()
            .flat_map(|start| order.iter().map(move |value| start + value * step));
        Ok(View {
            cases: places.map(|place| &chart.cases[place]).collect(),
            across: across_shown,
            up: up_shown,
            chart,
            fixed,
        })
    }

    /// Number of limits.
    pub(super) fn limits(&self) -> usize {
        self.chart.limits.len()
    }

    /// What a reader calls a limit.
    pub(super) fn label(&self, limit: usize) -> &str {
        let limit = &self.chart.limits[limit];
        match limit.label.trim() {
            "" => names::limit_label(&limit.name),
            label => label,
        }
    }

    /// What a reader calls the limit of a name.
    pub(super) fn label_of(&self, name: &'a str) -> &str {
        let known = self.chart.limits.iter().position(|l| l.name == name);
        known.map_or_else(|| names::limit_label(name), |limit| self.label(limit))
    }

    fn subtitle(&self) -> String {
        let over = match &self.up {
            Some(up) => format!("{} and {}", bare(&up.name), bare(&self.across.name)),
            None => bare(&self.across.name).to_owned(),
        };
        let held = self.cases.iter().filter(|case| held(case)).count();
        let cases = self.cases.len();
        let told = match held {
            _ if held == cases => "every limit holds everywhere".to_owned(),
            0 => "no case holds every limit".to_owned(),
            _ => format!("{held} of {cases} cases hold every limit"),
        };
        let mut text = format!("Headroom over {over}: {told}");
        for fixed in &self.fixed {
            text.push_str("; ");
            text.push_str(fixed);
        }
        text
    }
}

/// Whether the second of two things reads better upwards: a command does, and
/// numbers do beside words.
fn turned(chart: &SweepChart, first: usize, second: usize) -> bool {
    let command = |index: usize| chart.axes[index].path.starts_with("controller.");
    command(second) && !command(first)
}

/// The name of an axis without its unit.
pub(super) fn bare(name: &str) -> &str {
    name.rsplit_once(", ").map_or(name, |(bare, _)| bare)
}

pub(super) fn held(case: &SweepCase) -> bool {
    case.verdict == SweepVerdict::Held
}

/// The finite headroom of a case to a limit; a case that failed has none.
pub(super) fn headroom(case: &SweepCase, limit: usize) -> Option<f64> {
    let value = case.headroom_pct.get(limit).copied().flatten();
    value.filter(|pct| pct.is_finite() && case.verdict != SweepVerdict::Failed)
}

/// The least headroom of a case with its limit.
pub(super) fn least(case: &SweepCase) -> Option<(usize, f64)> {
    (0..case.headroom_pct.len())
        .filter_map(|limit| Some((limit, headroom(case, limit)?)))
        .min_by(|a, b| a.1.total_cmp(&b.1))
}

const DASHES: [Dash; 5] = [
    Dash::Solid,
    Dash::Long,
    Dash::Alternating,
    Dash::Short,
    Dash::Dots,
];

/// Ink and dash of a limit; thirty limits differ.
pub(super) fn look(limit: usize, width: f64) -> Stroke {
    let dash = DASHES[limit % DASHES.len()];
    stroke(ink(limit), width, dash)
}

pub(super) fn ink(limit: usize) -> Ink {
    SERIES[limit % SERIES.len()]
}

/// The mark of a limit: four shapes.
pub(super) fn mark(canvas: &mut Canvas, at: (f64, f64), limit: usize) {
    match limit % 4 {
        0 => canvas.disc(at, 4.2, ink(limit)),
        1 => canvas.square(at, 3.6, ink(limit)),
        2 => canvas.diamond(at, 5.0, ink(limit)),
        _ => canvas.ring(at, 4.6, 1.8, ink(limit)),
    }
}
