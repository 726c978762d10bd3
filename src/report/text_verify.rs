//! A verification as text: a line for each case, and what failed below it.
use super::table::{Paint, item};
use super::text_check::named_text;
use super::units::{Units, fixed};
use crate::judgement::CheckResult;

/// One case as its line of a verification shows it.
#[derive(Debug, Clone, Copy)]
pub struct CaseLine<'a> {
    /// The file as the user named it.
    pub file: &'a str,
    /// The checks with what came of them; none where it could not be judged.
    pub checks: Option<&'a [CheckResult]>,
    /// How long was simulated \[s\].
    pub simulated_s: Option<f64>,
    /// What became of its baseline, where that was to be written.
    pub baseline: Option<&'a str>,
}

/// How many cases came out how.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct CaseCount {
    /// Everything came as expected.
    pub passed: usize,
    /// Something did not.
    pub failed: usize,
    /// Nothing can be said.
    pub errors: usize,
    /// Files in the folders that expect nothing.
    pub left_out: usize,
}

/// What stands on the line of a case beside its file \[characters\].
const BESIDE_THE_FILE: usize = 36;

/// The lines of all cases and the sum below them.
pub fn verify_text(
    cases: &[CaseLine],
    count: CaseCount,
    units: Units,
    width: usize,
    colour: bool,
) -> String {
    let widest = cases.iter().map(|case| case.file.chars().count()).max();
    // longer names push what follows them aside
    let widest = widest
        .unwrap_or(0)
        .min(width.saturating_sub(BESIDE_THE_FILE));
    let mut text = String::new();
    for case in cases {
        case_text(&mut text, case, widest, units, width, colour);
    }
    text.push_str(&sum(count));
    text
}

fn case_text(
    text: &mut String,
    case: &CaseLine,
    widest: usize,
    units: Units,
    width: usize,
    colour: bool,
) {
    let wrong = |checks: &&[CheckResult]| checks.iter().filter(|c| !c.is_right()).count();
    let (word, paint) = match case.checks.as_ref().map(wrong) {
        None => ("error", Paint::Bad),
        Some(0) => ("pass ", Paint::Good),
        Some(_) => ("FAIL ", Paint::Bad),
    };
    let file = format!("{:widest$}", case.file);
    let Some(checks) = case.checks else {
        let line = format!("{}  {file}  could not be judged", paint.apply(word, colour));
        text.push_str(line.trim_end());
        text.push('\n');
        return;
    };
    let of = match wrong(&checks) {
        0 => String::new(),
        wrong => format!("{wrong} of "),
    };
    let simulated = case
        .simulated_s
        .map_or_else(String::new, |s| format!(", {} s", fixed(s, 1)));
    let baseline = case
        .baseline
        .map_or_else(String::new, |words| format!("; baseline {words}"));
    text.push_str(&format!(
        "{}  {file}  {of}{}{simulated}{baseline}\n",
        paint.apply(word, colour),
        counted(checks.len(), "check")
    ));
    for check in checks.iter().filter(|check| !check.is_right()) {
        text.push_str(&item("-", &named_text(check, units), width));
    }
}

/// How many cases came out how, in a sentence.
pub(crate) fn sum(count: CaseCount) -> String {
    let all = count.passed + count.failed + count.errors;
    let mut text = format!("{}: {} passed", counted(all, "case"), count.passed);
    for (number, what) in [
        (count.failed, "failed"),
        (count.errors, "could not be judged"),
    ] {
        if number > 0 {
            text.push_str(&format!(", {number} {what}"));
        }
    }
    if count.left_out > 0 {
        let files = counted(count.left_out, "file");
        text.push_str(&format!("; {files} without `expect` left out"));
    }
    text.push_str(".\n");
    text
}

fn counted(number: usize, what: &str) -> String {
    match number {
        1 => format!("1 {what}"),
        _ => format!("{number} {what}s"),
    }
}
