//! Marks that are told apart by their shape: they do without colour.
use maud::{Markup, html};

use crate::report::table::Paint;

/// The mark of a verdict.
pub(super) fn of_paint(paint: Paint) -> (&'static str, Markup) {
    match paint {
        Paint::Good => ("good", disc()),
        Paint::Bad => ("bad", octagon()),
        Paint::Plain | Paint::Bold | Paint::Faint => ("care", triangle()),
    }
}

/// A disc with a tick.
fn disc() -> Markup {
    drawn(html! {
        circle cx="12" cy="12" r="11" fill="currentColor" {}
        path d="M6.5 12.5l4 4 7.5-8.5" fill="none" stroke="#fff" stroke-width="2.6" {}
    })
}

/// A triangle with a stroke and a dot.
pub(super) fn triangle() -> Markup {
    drawn(html! {
        path d="M12 1.5L23.5 22H.5z" fill="currentColor" {}
        path d="M12 9v6.5M12 17.8v2.4" fill="none" stroke="#fff" stroke-width="2.4" {}
    })
}

/// An octagon with a cross.
pub(super) fn octagon() -> Markup {
    drawn(html! {
        path d="M7.4 1h9.2L23 7.4v9.2L16.6 23H7.4L1 16.6V7.4z" fill="currentColor" {}
        path d="M7.5 7.5l9 9M16.5 7.5l-9 9" fill="none" stroke="#fff" stroke-width="2.6" {}
    })
}

/// A small ring.
pub(super) fn ring() -> Markup {
    drawn(html! {
        circle cx="12" cy="12" r="5" fill="none" stroke="currentColor" stroke-width="2.4" {}
    })
}

/// The word beside it says the same, so that a reader by ear needs no name for it.
fn drawn(shape: Markup) -> Markup {
    html! {
        svg.mark viewBox="0 0 24 24" width="24" height="24" aria-hidden="true" { (shape) }
    }
}
