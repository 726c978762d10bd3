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
