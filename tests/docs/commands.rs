//! The commands in the documents run, end as they say and print what is shown.
//!
//! In a block marked `console` a line that starts with `$ ringfence` is run, in
//! order, in a folder of the page's own with the shipped scenarios in it. A
//! remark `# exits 1` behind it names an exit status other than 0. The lines
//! below it are pieces of its output; `...` stands for what is left out between
//! them. A line that starts with `$ cargo run --release --example` is run with
//! that example in place of the program. `RINGFENCE_WRITE` refreshes each piece: it is found by its first line
//! and keeps its number of lines.
//!
//! A block marked `yaml` whose first line is `# NAME.yaml` is that file of the page's
//! folder.
use super::pages::{pages, root, writing};
use assert_cmd::Command;
use ringfence::scenario::load;
use std::fs;
use std::path::{Path, PathBuf};

/// One command with what a page says about it.
#[derive(Debug, PartialEq)]
struct Shown {
    /// Line of the command in the page, from 0.
    at: usize,
    /// The example that is run in place of the program.
    example: Option<String>,
    words: Vec<String>,
    into: Option<String>,
    status: i32,
    /// Lines shown below it.
    output: Vec<String>,
}

/// Words of a command line; double quotes hold words together.
fn words(line: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut quoted = false;
    for c in line.chars() {
        match c {
            '"' => quoted = !quoted,
            ' ' if !quoted => words.push(String::new()),
            c => words.last_mut().expect("never empty").push(c),
        }
    }
    words.retain(|word| !word.is_empty());
    words
}

/// How a console runs an example of this project.
const EXAMPLE: &str = "cargo run --release --example ";

/// The program of an example, built as these tests are: in the folder beside theirs.
fn example_program(name: &str) -> PathBuf {
    let own = std::env::current_exe().expect("this program");
    let profile = own.parent().and_then(Path::parent).expect("its profile");
    let mut build = Command::new(env!("CARGO"));
    build.args([
        "build",
        "--quiet",
        "--locked",
        "--offline",
        "--example",
        name,
    ]);
    if profile.ends_with("release") {
        build.arg("--release");
    }
    let done = build.current_dir(root()).output().expect("cargo starts");
    let said = String::from_utf8_lossy(&done.stderr);
    assert!(done.status.success(), "{name} does not build\n{said}");
    let file = format!("{name}{}", std::env::consts::EXE_SUFFIX);
    profile.join("examples").join(file)
}

fn shown(at: usize, text: &str) -> Shown {
    let (command, remark) = text.split_once(" # exits ").unwrap_or((text, "0"));
    let (command, into) = match command.split_once(" > ") {
        Some((command, file)) => (command, Some(file.trim().to_owned())),
        None => (command, None),
    };
    let (example, command) = match command.strip_prefix(EXAMPLE) {
        Some(rest) => {
            let (name, rest) = rest.split_once(" -- ").expect("`--` behind the example");
            (Some(name.to_owned()), format!("{name} {rest}"))
        }
        None => (None, command.to_owned()),
    };
    Shown {
        at,
        example,
        words: words(&command).split_off(1),
        into,
        status: remark.trim().parse().expect("an exit status"),
        output: Vec::new(),
    }
}

/// The `ringfence` commands of a page.
fn commands(text: &str) -> Vec<Shown> {
    let mut commands = Vec::new();
    let (mut console, mut ours) = (false, false);
    for (at, line) in text.lines().enumerate() {
        if line.starts_with("```") {
            console = line.starts_with("```console");
            ours = false;
        } else if let (true, Some(command)) = (console, line.strip_prefix("$ ")) {
            ours = command.starts_with("ringfence") || command.starts_with(EXAMPLE);
            if ours {
                commands.push(shown(at, command));
            }
        } else if console
            && ours
            && let Some(last) = commands.last_mut()
        {
            last.output.push(line.trim_end().to_owned());
        }
    }
    commands
}

/// The files that a page holds, with what is in them.
fn files(text: &str) -> Vec<(&str, &str)> {
    text.split("```yaml\n# ")
        .skip(1)
        .filter_map(|block| {
            let (body, _) = block.split_once("\n```")?;
            let (name, _) = body.split_once('\n')?;
            let plain = |c: char| c.is_ascii_alphanumeric() || "-.".contains(c);
            let named = name.ends_with(".yaml") && name.chars().all(plain);
            // the name is a remark of the file, so it may stay out
            named.then(|| (name, &body[name.len()..]))
        })
        .collect()
}

/// The lines shown with every piece as the output has it, or the first lines
/// of the pieces that the output does not have.
fn refreshed(shown: &[String], printed: &str) -> Result<Vec<String>, Vec<String>> {
    let mut rest: Vec<&str> = printed.lines().map(str::trim_end).collect();
    let mut fresh = Vec::new();
    let mut missing = Vec::new();
    for piece in shown.split(|line| line == "...") {
        let first = piece.iter().find(|line| !line.is_empty());
        let Some(first) = first else {
            fresh.extend(piece.iter().cloned());
            fresh.push("...".to_owned());
            continue;
        };
        match rest.iter().position(|line| line == first) {
            None => missing.push(first.clone()),
            Some(at) => {
                let blank = piece.iter().take_while(|line| line.is_empty()).count();
                let end = (at + piece.len() - blank).min(rest.len());
                fresh.extend(piece[..blank].iter().cloned());
                fresh.extend(rest[at..end].iter().map(|line| (*line).to_owned()));
                rest = rest.split_off(end);
            }
        }
        fresh.push("...".to_owned());
    }
    fresh.pop();
    if missing.is_empty() {
        Ok(fresh)
    } else {
        Err(missing)
    }
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).expect("a new folder");
    for entry in fs::read_dir(from).expect("a readable folder") {
        let path = entry.expect("a readable entry").path();
        let target = to.join(path.file_name().expect("a name"));
        if path.is_dir() {
            copy(&path, &target);
        } else {
            fs::copy(&path, &target).expect("a copy");
        }
    }
}

/// Runs the commands of a page in order; returns what is wrong, and the page
/// with its output refreshed.
fn run_page(page: &str, text: &str) -> (Vec<String>, String) {
    let folder = tempfile::tempdir().expect("a temporary folder");
    for shipped in ["scenarios", "tests/validation/trade"] {
        copy(&root().join(shipped), &folder.path().join(shipped));
    }
    for (name, body) in files(text) {
        fs::write(folder.path().join(name), body).expect("a written file");
    }
    let mut wrong = Vec::new();
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    for shown in &commands(text) {
        let program = match &shown.example {
            Some(name) => example_program(name),
            None => PathBuf::from(env!("CARGO_BIN_EXE_ringfence")),
        };
        let done = Command::new(program)
            .args(&shown.words)
            .current_dir(folder.path())
            .output()
            .expect("the program starts");
        let printed = String::from_utf8_lossy(&done.stdout).into_owned();
        let complained = String::from_utf8_lossy(&done.stderr).into_owned();
        let place = format!("{page}:{}: {:?}", shown.at + 1, shown.words);
        if done.status.code() != Some(shown.status) {
            wrong.push(format!("{place} ended {}\n{complained}", done.status));
        }
        match refreshed(&shown.output, &format!("{printed}\n{complained}")) {
            Err(missing) => wrong.push(format!("{place} does not print\n{missing:#?}")),
            Ok(fresh) if writing() && fresh.len() == shown.output.len() => {
                let from = shown.at + 1;
                lines.splice(from..from + fresh.len(), fresh);
            }
            Ok(fresh) if fresh != shown.output => wrong.push(format!(
                "{place} prints\n{}\nand not\n{}\n\
                 (RINGFENCE_WRITE=1 cargo test --release --test docs refreshes)",
                fresh.join("\n"),
                shown.output.join("\n")
            )),
            Ok(_) => {}
        }
        if let Some(file) = &shown.into {
            fs::write(folder.path().join(file), &done.stdout).expect("a written file");
        }
    }
    (wrong, lines.join("\n") + "\n")
}

#[test]
fn every_command_runs_and_prints_what_is_shown() {
    let mut wrong = Vec::new();
    let mut count = 0;
    for (page, text) in pages() {
        count += commands(&text).len();
        let (faults, fresh) = run_page(&page, &text);
        wrong.extend(faults);
        if writing() && fresh != text {
            fs::write(root().join(&page), fresh).expect("a written page");
        }
    }
    assert!(count > 10, "{count} commands");
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
}

/// README's table of overrides: each path takes each of its examples.
#[test]
fn every_override_is_accepted() {
    let text = fs::read_to_string(root().join("README.md")).expect("README");
    let (_, table) = text.split_once("| path | such as |").expect("the table");
    let rows = table
        .lines()
        .skip(2)
        .take_while(|line| line.starts_with('|'));
    let file = root().join("scenarios/rescue-tender.yaml");
    let mut count = 0;
    for row in rows {
        let cells: Vec<&str> = row.split(" | ").collect();
        let path = cells[0].trim_matches(['|', ' ', '`']);
        for value in cells[1].split('`').skip(1).step_by(2) {
            let overrides = [(path.to_owned(), value.to_owned())];
            if let Err(faults) = load(&file, &overrides, None) {
                panic!("--set \"{path}={value}\"\n{faults}");
            }
            count += 1;
        }
    }
    assert!(count > 10, "{count} overrides");
}

#[test]
fn a_block_is_read_as_it_is_meant() {
    let text = "```console\n$ ringfence run a.yaml --set \"x=1 m\" > b.json # exits 1\nheld\n...\n\
                $ cargo test\nignored\n```\n```yaml\n$ ringfence\n```\n";
    let read = commands(text);
    let wanted = ["run", "a.yaml", "--set", "x=1 m"].map(str::to_owned);
    assert_eq!(
        read,
        [Shown {
            at: 1,
            example: None,
            words: wanted.to_vec(),
            into: Some("b.json".to_owned()),
            status: 1,
            output: vec!["held".to_owned(), "...".to_owned()],
        }]
    );
}

#[test]
fn a_file_of_a_page_is_known_by_its_name() {
    let text = "```yaml\n# a-b.yaml\nx: 1\n```\n```yaml\n# some words\ny: 2\n```\n\
                ```yaml\nz: 3\n```\n";
    assert_eq!(files(text), [("a-b.yaml", "\nx: 1")]);
}

#[test]
fn pieces_of_output_are_found_and_refreshed() {
    let shown = ["head", "1", "...", "", "tail", "2"].map(str::to_owned);
    let printed = "start\nhead  \n7\nmiddle\n\ntail\n8\nend\n";
    let wanted = ["head", "7", "...", "", "tail", "8"].map(str::to_owned);
    assert_eq!(refreshed(&shown, printed), Ok(wanted.to_vec()));
    assert_eq!(refreshed(&shown, "head\n1\n"), Err(vec!["tail".to_owned()]));
    assert_eq!(refreshed(&[], "anything"), Ok(Vec::new()));
}
