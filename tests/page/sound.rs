//! What every page has to be.
use ringfence::report::CAUTIONS;
use scraper::{ElementRef, Html, Selector};
use std::collections::BTreeSet;

/// A page that was read.
pub struct Read {
    pub html: Html,
}

/// The page, if it is sound.
#[track_caller]
pub fn sound(text: &str) -> Read {
    let html = Html::parse_document(text);
    assert!(html.errors.is_empty(), "{:?}", html.errors);
    let page = Read { html };
    page.holds_what_it_must();
    page.loads_and_runs_nothing(text);
    page.can_be_read_by_ear();
    page
}

impl Read {
    pub fn all(&self, selector: &str) -> Vec<ElementRef<'_>> {
        let selector = Selector::parse(selector).expect("a selector");
        self.html.select(&selector).collect()
    }

    /// The texts of all such elements.
    pub fn texts(&self, selector: &str) -> Vec<String> {
        self.all(selector).into_iter().map(text).collect()
    }

    /// All that is told, without what was computed from and without what is typed.
    pub fn told(&self) -> String {
        self.texts("h1, h2, .beside, .verdict, main > p, li, th, td, figcaption, figure text")
            .join("\n")
    }

    #[track_caller]
    fn holds_what_it_must(&self) {
        assert_eq!(self.texts("h1").len(), 1);
        assert_eq!(self.all("html[lang=en]").len(), 1);
        assert_eq!(self.all("meta[charset=utf-8]").len(), 1);
        assert_eq!(self.all("meta[name=viewport]").len(), 1);
        assert!(!self.texts("title").concat().trim().is_empty());
        assert_eq!(self.texts(".cautions li"), CAUTIONS);
        assert!(
            self.texts("footer")
                .concat()
                .contains(env!("CARGO_PKG_VERSION"))
        );
    }

    #[track_caller]
    fn loads_and_runs_nothing(&self, text: &str) {
        for gone in ["script", "link", "iframe", "object", "embed", "img", "base"] {
            assert!(self.all(gone).is_empty(), "<{gone}>");
        }
        let mut ids = BTreeSet::new();
        for element in self.all("*") {
            for (name, value) in element.value().attrs() {
                assert!(!name.starts_with("on"), "{name}");
                assert!(!["src", "href", "srcset"].contains(&name), "{name}={value}");
                assert!(!value.contains("url("), "{name}={value}");
                assert!(name != "id" || ids.insert(value), "id {value} twice");
            }
        }
        // the only address is the name of what a drawing is written in
        let drawing = "xmlns=\"http://www.w3.org/2000/svg\"";
        let rest = text.replace(drawing, "");
        for address in ["http://", "https://", "@import", "url("] {
            assert!(!rest.contains(address), "{address}");
        }
    }

    #[track_caller]
    fn can_be_read_by_ear(&self) {
        for figure in self.all("figure") {
            let of = |part: &str| {
                figure
                    .select(&Selector::parse(part).expect("a selector"))
                    .count()
            };
            assert_eq!(of("svg[role=img][aria-label]"), 1);
            assert_eq!(of("figcaption"), 1);
        }
        let heads = self.all("th");
        assert_eq!(heads.len(), self.all("th[scope=row], th[scope=col]").len());
        assert!(heads.into_iter().all(|head| !text(head).trim().is_empty()));
    }
}

/// The text in an element, its pieces parted by one space.
pub fn text(element: ElementRef<'_>) -> String {
    let pieces: Vec<&str> = element.text().collect();
    let words = pieces.join(" ");
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}
