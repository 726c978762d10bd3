//! The page of a run.
use super::run_tables::{highest, steady};
use super::{Page, Pictures, Sources, words};
use crate::judgement::{RunResult, SingleRun};
use crate::report::course::{Moment, course};
use crate::report::text_run::run_body;
use crate::report::units::Units;

/// A run as a page: the answer, what to do, what happened, the figures, how far to
/// trust them. Without a title of its own it has the scenario's.
pub fn run_page(
    run: &SingleRun,
    title: Option<&str>,
    units: Units,
    pictures: &Pictures,
    sources: &Sources,
) -> String {
    let title = title.unwrap_or(&run.result.scenario);
    let mut page = Page::new("Report of a run", title);
    let moments = course(&run.result, &run.events, &run.samples, units);
    run_parts(&mut page, &run.result, moments, units, pictures);
    page.sources(sources);
    page.html()
}

/// The parts of a run, for a page that may tell of more than one.
fn run_parts(
    page: &mut Page,
    result: &RunResult,
    moments: Vec<Moment>,
    units: Units,
    pictures: &Pictures,
) {
    let (top, rest) = run_body(result, &[], units).cut_before("Limits");
    let (figures, trust) = rest.cut_before("How far to trust it");
    page.body(top);
    page.heading("How close it came");
    page.picture(pictures, "lid", &words::LID);
    page.picture(pictures, "ladder", &words::LADDER);
    page.heading("What happened");
    page.course(moments);
    page.heading("The run in pictures");
    page.picture(pictures, "strips", &words::STRIPS);
    page.picture(pictures, "map", &words::MAP);
    page.picture(pictures, "road", &words::ROAD);
    page.body(figures);
    page.body(highest(result, units));
    if let Some(found) = &result.steady {
        page.body(steady(found, units));
    }
    page.body(trust);
}
