//! The page of a verification: what failed and how, then every case.
use super::{Page, Pictures, Sources, words};
use crate::judgement::CheckResult;
use crate::report::body::Body;
use crate::report::course::Moment;
use crate::report::table::{Cell, Paint, number, words as column};
use crate::report::text_check::check_text;
use crate::report::text_verify::{CaseCount, CaseLine, sum};
use crate::report::units::{Units, fixed};

/// A case as the page tells it.
#[derive(Debug, Clone)]
pub struct CaseStory<'a> {
    /// File and checks.
    pub line: CaseLine<'a>,
    /// Title of the scenario.
    pub title: Option<&'a str>,
    /// What the scenario says that it requires.
    pub says: Option<&'a str>,
    /// Why it could not be judged.
    pub error: Option<String>,
    /// What happened in the run.
    pub moments: Vec<Moment>,
    /// The picture of the course beside its baseline, by its name without ending.
    pub picture: Option<String>,
}

impl CaseStory<'_> {
    fn passed(&self) -> bool {
        let checks = self.line.checks;
        checks.is_some_and(|checks| checks.iter().all(|check| check.is_right()))
    }

    fn name(&self) -> &str {
        self.title.unwrap_or(self.line.file)
    }
}

/// A verification as a page.
pub fn verify_page(
    cases: &[CaseStory],
    count: CaseCount,
    units: Units,
    pictures: &Pictures,
    sources: &Sources,
) -> String {
    let mut page = Page::new("Report of a verification", "Scenarios against expectations");
    page.body(answer(cases, count));
    for case in cases.iter().filter(|case| !case.passed()) {
        failed(&mut page, case, units, pictures);
    }
    page.body(overview(cases));
    for case in cases.iter().filter(|case| case.passed()) {
        page.heading(case.name());
        page.body(told(case, units));
    }
    page.sources(sources);
    page.html()
}

fn answer(cases: &[CaseStory], count: CaseCount) -> Body {
    let mut body = Body::default();
    let (word, paint) = match (count.errors, count.failed) {
        (0, 0) => ("Passed", Paint::Good),
        (0, _) => ("Failed", Paint::Bad),
        _ => ("Not judged in full", Paint::Bad),
    };
    body.verdict(word, format!("{word}. {}", sum(count).trim_end()), paint);
    for case in cases.iter().filter(|case| !case.passed()) {
        body.item("-", format!("{} ({})", case.name(), case.line.file));
    }
    body
}

fn failed(page: &mut Page, case: &CaseStory, units: Units, pictures: &Pictures) {
    page.heading(&format!("Failed: {}", case.name()));
    page.body(told(case, units));
    if let Some(picture) = &case.picture {
        page.picture(pictures, picture, &words::BASELINE);
    }
    if !case.moments.is_empty() {
        page.plain("What happened:");
        page.course(case.moments.clone());
    }
}

/// What a case requires, and what came of each of its checks.
fn told(case: &CaseStory, units: Units) -> Body {
    let mut body = Body::default();
    if let Some(says) = case.says {
        body.plain(says.trim());
    }
    if let Some(error) = &case.error {
        body.paragraph(error.clone(), Paint::Bad);
    }
    let columns = [
        column("", 0),
        column("check", 0),
        column("what came of it", 0),
    ];
    let rows: Vec<Vec<Cell>> = case
        .line
        .checks
        .unwrap_or_default()
        .iter()
        .map(|check| {
            let (word, paint) = match (check.is_right(), check.must_fail) {
                (true, false) => ("held", Paint::Good),
                (true, true) => ("failed, as it must", Paint::Good),
                (false, _) => ("FAILED", Paint::Bad),
            };
            let word = Cell {
                text: word.to_owned(),
                paint,
            };
            // the word has said already what failed as it must
            let told = CheckResult {
                must_fail: check.must_fail && !check.is_right(),
                ..check.clone()
            };
            vec![
                word,
                check.name.as_str().into(),
                check_text(&told, units).into(),
            ]
        })
        .collect();
    if !rows.is_empty() {
        body.table(&columns, rows);
    }
    body
}

/// One line for each case.
fn overview(cases: &[CaseStory]) -> Body {
    let mut body = Body::default();
    body.heading("Every case");
    let columns = [
        column("", 0),
        column("case", 0),
        column("file", 0),
        number("checks", 0),
        number("simulated s", 0),
    ];
    let rows = cases
        .iter()
        .map(|case| {
            let (word, paint) = match (case.line.checks, case.passed()) {
                (None, _) => ("not judged", Paint::Bad),
                (_, true) => ("pass", Paint::Good),
                (_, false) => ("FAIL", Paint::Bad),
            };
            let word = Cell {
                text: word.to_owned(),
                paint,
            };
            let checks = case.line.checks.map(|checks| checks.len().to_string());
            let simulated = case.line.simulated_s.map(|s| fixed(s, 1));
            vec![
                word,
                case.name().into(),
                case.line.file.into(),
                checks.unwrap_or_default().into(),
                simulated.unwrap_or_default().into(),
            ]
        })
        .collect();
    body.table(&columns, rows);
    body
}
