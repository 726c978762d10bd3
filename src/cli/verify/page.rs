//! The page of a verification.
use super::super::args::Verify;
use super::super::folder::{File, PAGE};
use super::Case;
use crate::report::page::{CaseStory, verify_page};
use crate::report::{CaseCount, Pictures, Sources, course};

/// The page, with the pictures of the cases that differ from their baselines.
pub fn page(args: &Verify, cases: &[Case], count: CaseCount, drawn: &[(usize, File)]) -> File {
    let units = args.study.units();
    let stories: Vec<CaseStory> = cases
        .iter()
        .enumerate()
        .map(|(index, case)| {
            let run = case.outcome.as_ref().ok().map(|verified| &verified.run);
            let mut own = drawn.iter().filter(|(of, _)| *of == index);
            let picture = own.find_map(|(_, (name, _))| name.strip_suffix(".svg"));
            CaseStory {
                line: case.line(),
                title: run.map(|run| run.result.scenario.as_str()),
                says: case.says.as_deref(),
                error: (case.outcome.as_ref().err()).map(|error| error.render(false)),
                moments: run.map_or_else(Vec::new, |run| {
                    course(&run.result, &run.events, &run.samples, units)
                }),
                picture: picture.map(str::to_owned),
            }
        })
        .collect();
    let mut sources = Sources::default();
    for case in cases {
        sources.add(case.sources.clone());
    }
    let files: Vec<File> = drawn.iter().map(|(_, file)| file.clone()).collect();
    let pictures = Pictures::of(&files, "");
    let page = verify_page(&stories, count, units, &pictures, &sources);
    (PAGE.to_owned(), page.into_bytes())
}
