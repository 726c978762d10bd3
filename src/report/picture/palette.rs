//! Colours and dashes. The colours are the eight of Okabe and Ito ("Color
//! universal design", 2008; values from memory), told apart by people with
//! any common colour blindness; the purple is darkened so that it carries
//! text. The dashes tell the same lines apart without colour.

/// A colour, red, green and blue.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Ink(pub(super) u8, pub(super) u8, pub(super) u8);

pub(super) const BLACK: Ink = Ink(0, 0, 0);
pub(super) const ORANGE: Ink = Ink(230, 159, 0);
/// The orange, darkened for text.
pub(super) const AMBER: Ink = Ink(168, 108, 0);
pub(super) const SKY: Ink = Ink(86, 180, 233);
pub(super) const GREEN: Ink = Ink(0, 158, 115);
pub(super) const BLUE: Ink = Ink(0, 114, 178);
pub(super) const VERMILLION: Ink = Ink(213, 94, 0);
pub(super) const PURPLE: Ink = Ink(160, 70, 130);
pub(super) const WHITE: Ink = Ink(255, 255, 255);
pub(super) const GREY: Ink = Ink(95, 95, 95);
pub(super) const MID_GREY: Ink = Ink(150, 150, 150);
pub(super) const LIGHT_GREY: Ink = Ink(222, 222, 222);

/// Colours of several runs or altitudes, in order.
pub(super) const SERIES: [Ink; 6] = [BLUE, VERMILLION, GREEN, PURPLE, AMBER, SKY];

/// Lengths of dashes and gaps \[px\].
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Dash {
    Solid,
    Long,
    Short,
    Dots,
    Alternating,
    Sparse,
}

impl Dash {
    /// Dash, gap, dash, gap …; empty when solid.
    pub(super) fn lengths(self) -> &'static [f64] {
        match self {
            Dash::Solid => &[],
            Dash::Long => &[12.0, 5.0],
            Dash::Short => &[6.0, 4.0],
            Dash::Dots => &[1.8, 3.6],
            Dash::Alternating => &[11.0, 4.0, 2.2, 4.0],
            Dash::Sparse => &[4.0, 9.0],
        }
    }
}

/// Dashes of several runs or altitudes, in order.
pub(super) const SERIES_DASH: [Dash; 6] = [
    Dash::Solid,
    Dash::Long,
    Dash::Alternating,
    Dash::Short,
    Dash::Dots,
    Dash::Sparse,
];

/// How a line is drawn.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stroke {
    pub(super) ink: Ink,
    pub(super) width: f64,
    pub(super) dash: Dash,
}

/// A line of a given look.
pub(super) const fn stroke(ink: Ink, width: f64, dash: Dash) -> Stroke {
    Stroke { ink, width, dash }
}
