//! JUnit XML, read back by a parser.
use super::{HOLD, case, folder};
use roxmltree::{Document, Node};

fn named<'a, 'b>(document: &'a Document<'b>, tag: &str) -> Vec<Node<'a, 'b>> {
    document
        .descendants()
        .filter(|node| node.has_tag_name(tag))
        .collect()
}

#[test]
fn every_case_failure_and_error_is_in_the_xml() {
    let bench = folder();
    case(
        &bench,
        "fine",
        HOLD,
        "  checks: [{peak: {of: shaft_speed, at_most: 150 krpm}}]\n",
    );
    case(
        &bench,
        "tight",
        HOLD,
        "  checks:
    - {name: '<slow> & \"safe\"', peak: {of: shaft_speed, at_most: 20 krpm}}
    - never: {of: lambda, below: 5}
",
    );
    bench.write("suite/broken.yaml", "about: [");
    bench
        .call(&["verify", "suite", "--junit", "j.xml"])
        .ends_with(2);
    let xml = bench.read("j.xml");
    let document = Document::parse(&xml).expect("well-formed XML");
    let root = document.root_element();
    assert_eq!(root.tag_name().name(), "testsuites");
    for (attribute, count) in [("tests", "3"), ("failures", "1"), ("errors", "1")] {
        assert_eq!(root.attribute(attribute), Some(count), "{attribute}");
    }
    let suites = named(&document, "testsuite");
    assert_eq!(suites.len(), 1);
    assert_eq!(suites[0].attribute("name"), Some("suite"));
    let names: Vec<_> = named(&document, "testcase")
        .iter()
        .map(|case| case.attribute("name").expect("a name").to_owned())
        .collect();
    assert_eq!(names, ["broken", "fine", "tight"]);
    let failures = named(&document, "failure");
    let text = failures[0].text().expect("a text");
    assert!(
        text.contains("<slow> & \"safe\": shaft speed peaked at"),
        "{text}"
    );
    assert!(text.contains("never lambda: lambda came to"), "{text}");
    let errors = named(&document, "error");
    assert!(
        errors[0]
            .text()
            .is_some_and(|text| text.contains("suite/broken.yaml"))
    );
    // nothing of the day or the machine
    for attribute in ["time", "timestamp", "hostname", "uuid"] {
        let has = document
            .descendants()
            .any(|node| node.attribute(attribute).is_some());
        assert!(!has, "{attribute} in {xml}");
    }
    let simulated: Vec<_> = named(&document, "property")
        .iter()
        .map(|property| property.attribute("value").map(str::to_owned))
        .collect();
    assert_eq!(
        simulated,
        [Some("2.000".to_owned()), Some("2.000".to_owned())]
    );
}

#[test]
fn wall_time_is_there_only_when_asked_for() {
    let bench = folder();
    case(&bench, "fine", HOLD, "  verdict: held\n");
    bench
        .call(&["verify", "suite", "--junit", "j.xml", "--timing"])
        .ends_with(0);
    let xml = bench.read("j.xml");
    let document = Document::parse(&xml).expect("well-formed XML");
    assert!(named(&document, "testcase")[0].attribute("time").is_some());
}

#[test]
fn an_older_report_is_written_over_and_nothing_else() {
    let bench = folder();
    case(&bench, "fine", HOLD, "  verdict: held\n");
    let call = |name: &str| bench.call(&["verify", "suite/fine.yaml", "--junit", name]);
    bench.write("j.xml", "");
    call("j.xml").ends_with(0);
    let first = bench.read("j.xml");
    assert!(first.contains("<testsuites"), "{first}");
    call("j.xml").ends_with(0);
    assert_eq!(bench.read("j.xml"), first);
    // the scenario itself; something that speaks of suites far down
    let far = format!("<html>{}<testsuites/></html>", "x".repeat(400));
    bench.write("page.xml", &far);
    let scenario = bench.read("suite/fine.yaml");
    for name in ["suite/fine.yaml", "page.xml"] {
        let said = call(name).ends_with(2);
        said.says("is no JUnit report and is not written over");
        assert_eq!(said.out, "");
    }
    assert_eq!(bench.read("suite/fine.yaml"), scenario);
    assert_eq!(bench.read("page.xml"), far);
}

#[cfg(unix)]
#[test]
fn a_device_or_a_name_that_is_no_text_is_refused() {
    use std::ffi::OsStr;
    use std::os::unix::ffi::OsStrExt;
    let bench = folder();
    case(&bench, "fine", HOLD, "  verdict: held\n");
    for (name, words) in [
        (OsStr::new("/dev/null"), "not written over"),
        (OsStr::from_bytes(b"j\xff.xml"), "no UTF-8"),
    ] {
        let mut command = bench.command();
        command.args(["verify", "suite/fine.yaml", "--junit"]);
        let output = command.arg(name).output().expect("it runs");
        super::Said::of(output, &["--junit"])
            .ends_with(2)
            .says(words);
    }
    let files = std::fs::read_dir(bench.path("")).expect("the folder");
    assert_eq!(files.count(), 1, "nothing beside the suite");
}

#[test]
fn what_xml_may_not_hold_does_not_spoil_the_file() {
    let bench = folder();
    let checks =
        "  checks: [{name: \"odd \\uFFFE\\uFFFF\", peak: {of: shaft_speed, at_most: 20 krpm}}]\n";
    case(&bench, "odd", HOLD, checks);
    bench
        .call(&["verify", "suite/odd.yaml", "--junit", "j.xml"])
        .ends_with(1);
    let xml = bench.read("j.xml");
    assert!(xml.contains("odd \u{fffd}\u{fffd}"), "{xml}");
    Document::parse(&xml).expect("well-formed XML");
}
