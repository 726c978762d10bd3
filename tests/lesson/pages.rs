//! The pages: each has its parts, its time and the way to the cautions.
use super::root;
use std::fs;
use std::path::PathBuf;

/// What every numbered page has, in this order.
const PARTS: [&str; 7] = [
    "](README.md#before-anything-turns)",
    "## Question",
    "## Predict",
    "## Run",
    "## Answer",
    "## Try",
    "## Take away",
];

fn folder() -> PathBuf {
    root().join("docs/guide/lesson")
}

/// The numbered pages by file name, in order.
fn numbered() -> Vec<(String, String)> {
    let mut pages: Vec<_> = fs::read_dir(folder())
        .expect("the pages")
        .map(|entry| entry.expect("an entry").path())
        .map(|path| {
            let name = path.file_name().expect("a name").to_string_lossy();
            (name.into_owned(), fs::read_to_string(&path).expect("text"))
        })
        .filter(|(name, _)| name != "README.md")
        .collect();
    pages.sort();
    pages
}

/// Minutes in `*5 minutes. All …`.
fn minutes(text: &str) -> u32 {
    let (head, _) = text.split_once(" minutes. All data invented.").expect("it");
    let number = head.rsplit('*').next().expect("a number");
    number.parse().expect("whole minutes")
}

#[test]
fn every_page_has_its_parts_and_the_cautions() {
    let pages = numbered();
    assert_eq!(pages.len(), 10);
    for (name, text) in &pages {
        let mut rest = text.as_str();
        for part in PARTS {
            let Some((_, after)) = rest.split_once(part) else {
                panic!("{name} has no {part:?} behind the parts before it");
            };
            rest = after;
        }
        let own = format!("../../pictures/lesson/{}", &name[..2]);
        assert!(text.contains(&own), "{name} shows no picture of its own");
    }
    for pair in pages.windows(2) {
        let next = format!("]({})", pair[1].0);
        assert!(pair[0].1.contains(&next), "{} leads on", pair[0].0);
    }
}

#[test]
fn the_index_names_every_page_and_an_hour() {
    let index = fs::read_to_string(folder().join("README.md")).expect("the index");
    assert!(index.contains("### Before anything turns"));
    let mut sum = 0;
    for (name, text) in numbered() {
        let link = format!("]({name})");
        let row = index.lines().find(|line| line.contains(&link));
        let row = row.unwrap_or_else(|| panic!("{name} is not in the index"));
        let told = minutes(&text);
        assert!(row.ends_with(&format!("| {told} |")), "{name}: {row}");
        sum += told;
    }
    assert_eq!(sum, 60);
}
