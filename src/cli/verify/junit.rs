//! The answer as JUnit XML, the form in which test servers read results: a suite for
//! each folder, a case for each scenario.
//!
//! Nothing in it depends on when or where it was made. The attribute `time` is wall
//! time and so there only with `--timing`; the simulated time is a property.
use std::fs::File;
use std::io::{self, Read as _};
use std::path::Path;
use std::time::Duration;

use quick_junit::{NonSuccessKind, Property, Report, TestCase, TestCaseStatus, TestSuite};

use super::super::failure::Failure;
use super::Case;
use crate::judgement::CheckResult;
use crate::report::{ReportFolder, Units, named_text};

/// So far into a file its root element is looked for \[bytes\]: behind the line that
/// says it is XML, with room for a remark.
const ROOT_WITHIN: u64 = 300;

/// Makes sure, before any work, that the file can go there. An older report may be
/// written over, and nothing else.
pub fn can_be_written(path: &Path) -> Result<(), Failure> {
    let refused = |message: &str| {
        Failure::call(
            message,
            path.display().to_string(),
            "a path whose folder is there and may be written",
            "name another file with --junit FILE",
        )
    };
    if path.is_dir() || path.file_name().is_none() {
        return Err(refused("a folder stands where the file should go"));
    }
    if path.file_name().is_some_and(|name| name.to_str().is_none()) {
        return Err(refused("the name of the file is no UTF-8"));
    }
    let folder = folder_of(path);
    if !folder.is_dir() {
        return Err(refused("the folder of the file is not there"));
    }
    let replaceable = !path.exists()
        || is_report_or_empty(path)
            .map_err(|error| refused(&format!("the file that is there cannot be read: {error}")))?;
    if !replaceable {
        return Err(Failure::call(
            "this file is no JUnit report and is not written over",
            path.display().to_string(),
            "a new file, an empty one, or an older report that begins with `<testsuites`",
            "name another file with --junit FILE, or take this one away",
        ));
    }
    tempfile::Builder::new()
        .prefix(".part-")
        .tempfile_in(folder)
        .map(drop)
        .map_err(|error| refused(&format!("nothing can be written there: {error}")))
}

/// Whether a file is empty or an older report. A device or a pipe is neither.
fn is_report_or_empty(path: &Path) -> io::Result<bool> {
    if !path.is_file() {
        return Ok(false);
    }
    let mut begin = Vec::new();
    File::open(path)?
        .take(ROOT_WITHIN)
        .read_to_end(&mut begin)?;
    Ok(begin.is_empty() || String::from_utf8_lossy(&begin).contains("<testsuites"))
}

/// Writes the file whole or not at all.
pub fn write(path: &Path, xml: Vec<u8>) -> Result<(), Failure> {
    let name = path.file_name().unwrap_or_default();
    let file = (name.to_string_lossy().into_owned(), xml);
    Ok(ReportFolder::write(folder_of(path), &[file])?)
}

fn folder_of(path: &Path) -> &Path {
    let parent = path.parent().unwrap_or(Path::new("."));
    if parent.as_os_str().is_empty() {
        Path::new(".")
    } else {
        parent
    }
}

/// All cases as XML.
pub fn report(cases: &[Case], timing: bool) -> Result<Vec<u8>, Failure> {
    let mut report = Report::new("ringfence verify");
    let mut folders: Vec<&Path> = cases
        .iter()
        .map(|case| folder_of(Path::new(&case.file)))
        .collect();
    let mut seen: Vec<&Path> = Vec::new();
    folders.retain(|folder| {
        let new = !seen.contains(folder);
        seen.push(folder);
        new
    });
    for folder in folders {
        let name = folder.display().to_string();
        let mut suite = TestSuite::new(name.as_str());
        for case in cases
            .iter()
            .filter(|case| folder_of(Path::new(&case.file)) == folder)
        {
            suite.add_test_case(test_case(case, &name, timing));
        }
        report.add_test_suite(suite);
    }
    let xml = report.to_string().map_err(|error| Failure::Computation {
        file: "junit.xml".to_owned(),
        message: error.to_string(),
    })?;
    // two characters that text may hold and XML 1.0 may not (its section 2.2)
    let xml = xml.replace(['\u{fffe}', '\u{ffff}'], "\u{fffd}");
    Ok(xml.into_bytes())
}

fn test_case(case: &Case, folder: &str, timing: bool) -> TestCase {
    let name = Path::new(&case.file).file_stem().unwrap_or_default();
    let mut one = TestCase::new(name.to_string_lossy(), status(case));
    one.set_classname(folder);
    if let Ok(verified) = &case.outcome {
        let simulated_s = verified.run.result.solver.simulated_s;
        one.add_property(Property::new("simulated_s", format!("{simulated_s:.3}")));
    }
    if timing {
        one.set_time(Duration::from_secs_f64(case.wall_s));
    }
    one
}

fn status(case: &Case) -> TestCaseStatus {
    match &case.outcome {
        Ok(verified) => {
            let wrong: Vec<&CheckResult> = verified
                .checks
                .iter()
                .filter(|check| !check.is_right())
                .collect();
            if wrong.is_empty() {
                return TestCaseStatus::success();
            }
            let names: Vec<&str> = wrong.iter().map(|check| check.name.as_str()).collect();
            let lines: Vec<String> = (wrong.iter())
                .map(|check| named_text(check, Units::Si))
                .collect();
            let mut status = TestCaseStatus::non_success(NonSuccessKind::Failure);
            status
                .set_type("expectation")
                .set_message(names.join(", "))
                .set_description(lines.join("\n"));
            status
        }
        Err(failure) => {
            let mut status = TestCaseStatus::non_success(NonSuccessKind::Error);
            status
                .set_type("error")
                .set_message(failure.message())
                .set_description(failure.render(false));
            status
        }
    }
}
