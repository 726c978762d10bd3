//! Titles, paths and notes that would be markup if they were let.
use crate::bench::{Bench, SHORT, args, scenario};
use crate::sound::sound;

const TITLE: &str = "<script>alert(1)</script> & \"more\" <b>bold</b>";

#[test]
fn what_a_scenario_says_of_itself_is_text() {
    let bench = Bench::new();
    let yaml = std::fs::read_to_string(scenario()).unwrap();
    let map = std::path::Path::new(&scenario()).with_extension("");
    let map = std::fs::read(map.join("compressor.csv")).unwrap();
    bench.write("rescue-tender/compressor.csv", map);
    let title = "title: Mountain-rescue tender, larger drop-in turbo, valley to pass";
    assert!(yaml.contains(title));
    let hostile = yaml.replace(title, &format!("title: '{TITLE}'")).replace(
        "note: >",
        "note: >\n    </pre></style><script>alert(2)</script>",
    );
    bench.write("a <i>b&c.yaml", hostile);
    bench
        .call(&args(&[&["run", "a <i>b&c.yaml", "--out", "out"], &SHORT]))
        .ends_with(0);
    let page = sound(&bench.read("out/report.html"));
    assert_eq!(page.texts("h1"), [TITLE]);
    assert!(page.texts("title").concat().starts_with(TITLE));
    assert!(page.all("b i, h1 b, figure b b, i").is_empty());
    // also in the pictures, which have the title as well
    let drawn = page.texts("figure text");
    assert!(
        drawn
            .iter()
            .any(|text| text.starts_with("<script>alert(1)")),
        "{drawn:?}"
    );
    let source = page.texts(".source").concat();
    assert!(source.contains("</pre></style><script>alert(2)</script>"));
    assert!(page.texts("h3").concat().contains("a <i>b&c.yaml"));
}

/// What was laid over can be pasted into a shell, where `$` and quotes mean more.
#[test]
fn what_was_laid_over_is_quoted_for_a_shell() {
    let bench = Bench::new();
    let file = scenario();
    let set = ["--set", "about.title=The driver's \"$HOME\""];
    let call = args(&[&["run", &file, "--out", "out"], &SHORT, &set]);
    bench.call(&call).ends_with(0);
    let page = sound(&bench.read("out/report.html"));
    let sets = page.texts("pre").concat();
    let typed = r#"--set 'about.title=The driver'\''s "$HOME"'"#;
    assert!(sets.contains(typed), "{sets}");
    // and what needs no care keeps its double quotes
    assert!(
        sets.contains("--set \"controller.command.full_load=260 kPa abs\""),
        "{sets}"
    );
}

#[test]
fn the_page_forbids_what_it_does_not_need() {
    let bench = Bench::new();
    let file = scenario();
    bench
        .call(&args(&[&["run", &file, "--out", "out"], &SHORT]))
        .ends_with(0);
    let page = sound(&bench.read("out/report.html"));
    let policy = page.all("meta[http-equiv=Content-Security-Policy]");
    let policy = policy[0].value().attr("content").unwrap();
    assert!(policy.starts_with("default-src 'none'"), "{policy}");
}

/// The look itself: a page with one thing wrong is not let through.
#[test]
fn what_is_not_sound_is_found() {
    let bench = Bench::new();
    let file = scenario();
    bench
        .call(&args(&[&["run", &file, "--out", "out"], &SHORT]))
        .ends_with(0);
    let good = bench.read("out/report.html");
    sound(&good);
    for (part, bad) in [
        ("</h1>", "</h1><h1>another</h1>"),
        (ringfence::report::CAUTIONS[0], ""),
        ("<main>", "<main><script></script>"),
        ("<main>", "<main onclick=\"x\">"),
        ("<main>", "<main><a href=\"page.html\">x</a>"),
        ("<main>", "<main><p>https://somewhere</p>"),
        ("<main>", "<main><b id=\"a\"></b><b id=\"a\"></b>"),
        ("</main>", ""),
        (" scope=\"row\"", ""),
        ("aria-label=\"The lid", "data-label=\"The lid"),
        ("<figcaption>", "<figcaption></figcaption><figcaption>"),
        ("lang=\"en\"", ""),
        ("name=\"viewport\"", ""),
    ] {
        assert!(good.contains(part), "{part}");
        let text = good.replacen(part, bad, 1);
        let found = std::panic::catch_unwind(|| sound(&text));
        assert!(found.is_err(), "{part} -> {bad}");
    }
}
