//! The pages of the commands that are not a run: the answer and what to do, the
//! pictures, the figures.
use super::{Page, Pictures, Sources, Words, words};
use crate::judgement::{
    CeilingResult, Comparison, SweepRow, SweepSummary, TablesResult, ToleranceResult,
};
use crate::report::body::Body;
use crate::report::text_ceiling::ceiling_body;
use crate::report::text_compare::{compare_body, short_name};
use crate::report::text_sweep::sweep_body;
use crate::report::text_tables::tables_body;
use crate::report::text_tolerance::tolerance_body;
use crate::report::units::Units;

/// Widest text inside a page that is set for a terminal; it is not shown there.
const UNSHOWN: usize = 80;

/// A body with its pictures behind the section of that heading.
fn whole(
    kind: &str,
    body: Body,
    behind: &str,
    pictures: &Pictures,
    shown: &[(&str, &Words)],
) -> Page {
    let mut page = Page::new(kind, body.title().unwrap_or(kind));
    let (top, rest) = body.cut_after(behind);
    page.body(top);
    if shown.iter().any(|(name, _)| pictures.has(name)) {
        page.heading("In pictures");
    }
    for (name, words) in shown {
        page.picture(pictures, name, words);
    }
    page.body(rest);
    page
}

/// A ceiling as a page.
pub fn ceiling_page(
    result: &CeilingResult,
    units: Units,
    pictures: &Pictures,
    sources: &Sources,
) -> String {
    let shown = [("ceiling", &words::CEILING), ("handover", &words::HANDOVER)];
    let body = ceiling_body(result, units);
    let mut page = whole("Report of a ceiling", body, "What to do", pictures, &shown);
    page.sources(sources);
    page.html()
}

/// A sweep as a page. `rows` are shown in a table; leave them out where there are
/// many.
pub fn sweep_page(
    summary: &SweepSummary,
    rows: &[SweepRow],
    remarks: &[String],
    pictures: &Pictures,
    sources: &Sources,
) -> String {
    let shown = [("sweep", &words::SWEEP)];
    let mut body = sweep_body(summary, rows);
    for remark in remarks {
        body.plain(remark);
    }
    let mut page = whole(
        "Report of a sweep",
        body,
        "Where it holds",
        pictures,
        &shown,
    );
    page.sources(sources);
    page.html()
}

/// A comparison as a page.
pub fn compare_page(
    comparison: &Comparison,
    units: Units,
    pictures: &Pictures,
    sources: &Sources,
) -> String {
    let shown = [
        ("strips", &words::COMPARED_STRIPS),
        ("lid", &words::COMPARED_LID),
        ("ladder", &words::COMPARED_LADDER),
    ];
    let body = compare_body(comparison, units);
    let behind = "What differs most";
    let kind = "Report of a comparison";
    let mut page = whole(kind, body, behind, pictures, &shown);
    page.title = compared(comparison);
    page.sources(sources);
    page.html()
}

/// The scenarios by the names of their files.
fn compared(comparison: &Comparison) -> String {
    let scenarios = comparison.scenarios.iter();
    let names: Vec<&str> = scenarios.map(|s| short_name(&s.file)).collect();
    match names.as_slice() {
        [one, other] => format!("{one} against {other}"),
        names => names.join(", "),
    }
}

/// Production tolerance as a page.
pub fn tolerance_page(
    result: &ToleranceResult,
    units: Units,
    pictures: &Pictures,
    sources: &Sources,
) -> String {
    let shown = [("tolerance", &words::TOLERANCE)];
    let body = tolerance_body(result, units, UNSHOWN);
    let kind = "Report of production tolerance";
    let mut page = whole(kind, body, "What to do", pictures, &shown);
    page.sources(sources);
    page.html()
}

/// Command and vane tables as a page.
pub fn tables_page(
    result: &TablesResult,
    units: Units,
    pictures: &Pictures,
    sources: &Sources,
) -> String {
    let shown = [
        ("command", &words::COMMAND),
        ("vanes", &words::VANES),
        ("gain", &words::GAIN),
    ];
    let body = tables_body(result, units);
    let kind = "Report of command and vane tables";
    let mut page = whole(kind, body, "What to do", pictures, &shown);
    page.sources(sources);
    page.html()
}
