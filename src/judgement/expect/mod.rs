//! What is expected of a run, and whether it came so.
//!
//! An expectation names a reaction: a peak that must stay below a bound, a reading
//! that must settle in time, a protection that must act. All times are those of
//! samples, so they are exact to one period of the controller; a time between two
//! samples means the later one.
mod bite;
mod course;
mod facts;
mod judged;
mod stored;

pub use facts::{CheckResult, Figure, verdict_word};
pub use judged::judge_expectations;
pub use stored::{BASELINE, judge_baseline};

use super::baseline::Difference;
use super::channel::Channel;
use super::events::EventKind;
use super::limit::LimitKind;
use super::result::Verdict;

/// All that is expected of one run.
#[derive(Debug, Clone, PartialEq)]
pub struct Expectations {
    /// What reaction is required, in a sentence or two.
    pub says: Option<String>,
    /// What must be so, one by one.
    pub checks: Vec<Check>,
}

/// One thing that is expected.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// Its own name; no two checks of a run share one.
    pub name: String,
    /// What is expected.
    pub asked: Asked,
    /// Whether it has to fail, because something was taken away on purpose.
    pub must_fail: bool,
}

/// A moment of a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum When {
    /// A time since the start \[s\].
    Time(f64),
    /// The first time that something happens.
    Event(EventKind),
}

/// A part of a run, both ends included.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Window {
    /// Its begin; the start of the run if left out.
    pub from: Option<When>,
    /// Its end; the end of the run if left out.
    pub until: Option<When>,
}

/// Bounds in the unit of a channel.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Bounds {
    /// Lowest value that is allowed.
    pub at_least: Option<f64>,
    /// Highest value that is allowed.
    pub at_most: Option<f64>,
    /// Whether they count from the ambient pressure of the moment.
    pub gauge: bool,
}

/// What a value is held against.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Target {
    /// The boost command of the moment.
    Command,
    /// A level in the unit of the channel.
    Level {
        /// The level.
        value: f64,
        /// Whether it counts from the ambient pressure of the moment.
        gauge: bool,
    },
}

/// What must be left to a limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reserve {
    /// A share of the limit's distance from its natural zero \[%\].
    Share(f64),
    /// An amount in the unit of the limit.
    Amount(f64),
}

/// What is expected, by kind.
#[derive(Debug, Clone, PartialEq)]
pub enum Asked {
    /// How the run ends against its limits.
    Verdict(Verdict),
    /// The highest value of a channel.
    Peak {
        /// The channel.
        of: Channel,
        /// Where the highest value must lie.
        bounds: Bounds,
        /// Where it is looked for.
        window: Window,
    },
    /// The value at a moment.
    Value {
        /// The channel.
        of: Channel,
        /// When.
        at: When,
        /// Where the value must lie.
        bounds: Bounds,
    },
    /// Bounds that no value may leave.
    Never {
        /// The channel.
        of: Channel,
        /// The bounds: never below the lower, never above the upper.
        bounds: Bounds,
        /// Where it is looked for.
        window: Window,
    },
    /// A value that comes close to its target and stays there.
    Settles {
        /// The channel.
        of: Channel,
        /// The target.
        to: Target,
        /// So far from it at most, in the unit of the channel.
        within: f64,
        /// So soon after the begin of the window \[s\].
        in_s: f64,
        /// From when it counts, and how long it must stay.
        window: Window,
    },
    /// How far a value goes above its target.
    Overshoot {
        /// The channel.
        of: Channel,
        /// The target.
        over: Target,
        /// So far at most, in the unit of the channel.
        at_most: f64,
        /// Where it is looked for.
        window: Window,
    },
    /// How far a value falls below its target.
    Undershoot {
        /// The channel.
        of: Channel,
        /// The target.
        under: Target,
        /// So far at most, in the unit of the channel.
        at_most: f64,
        /// Where it is looked for.
        window: Window,
    },
    /// A limit that is held over the whole run.
    Limit {
        /// The limit.
        kind: LimitKind,
        /// What must be left to it; nothing if left out.
        reserve: Option<Reserve>,
    },
    /// A protection that acts.
    Acts {
        /// Its name.
        protection: &'static str,
        /// So soon \[s\]; any time if left out.
        within_s: Option<f64>,
        /// After this; the start of the run if left out.
        of: Option<When>,
    },
    /// A protection that does not act.
    Silent {
        /// Its name.
        protection: &'static str,
        /// Where it is looked for.
        window: Window,
    },
    /// Events whose first times come in this order.
    Order(Vec<EventKind>),
    /// The stored course of the run.
    Baseline(Stored),
}

/// What of a stored course is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stored {
    /// All of it.
    Whole,
    /// One channel.
    Course(Channel),
    /// Its end.
    End,
}

impl Asked {
    /// The kind, as scenarios name it.
    pub fn kind(&self) -> &'static str {
        match self {
            Self::Verdict(_) => "verdict",
            Self::Peak { .. } => "peak",
            Self::Value { .. } => "value",
            Self::Never { .. } => "never",
            Self::Settles { .. } => "settles",
            Self::Overshoot { .. } => "overshoot",
            Self::Undershoot { .. } => "undershoot",
            Self::Limit { .. } => "limit",
            Self::Acts { .. } => "acts",
            Self::Silent { .. } => "silent",
            Self::Order(_) => "order",
            Self::Baseline(_) => BASELINE,
        }
    }

    /// The channel that it looks at, if it looks at one.
    pub fn channel(&self) -> Option<Channel> {
        match *self {
            Self::Peak { of, .. }
            | Self::Value { of, .. }
            | Self::Never { of, .. }
            | Self::Settles { of, .. }
            | Self::Overshoot { of, .. }
            | Self::Undershoot { of, .. } => Some(of),
            _ => None,
        }
    }

    /// The part of the run that it looks at, where it looks at one.
    pub fn window(&self) -> Option<Window> {
        match *self {
            Self::Peak { window, .. }
            | Self::Never { window, .. }
            | Self::Settles { window, .. }
            | Self::Overshoot { window, .. }
            | Self::Undershoot { window, .. }
            | Self::Silent { window, .. } => Some(window),
            _ => None,
        }
    }
}

/// What was seen of one check.
#[derive(Debug, Clone, PartialEq)]
pub enum Seen {
    /// The run ended before all of it could be seen.
    CutShort {
        /// When \[s\].
        ended_s: f64,
    },
    /// An event that it counts from never happened.
    NoEvent(EventKind),
    /// An event of an order cannot happen: the controller has no such protection.
    NoProtectionFor(EventKind),
    /// The window ends before it begins.
    NoWindow {
        /// Its begin \[s\].
        from_s: f64,
        /// Its end \[s\].
        until_s: f64,
    },
    /// The channel has no value there: no command in open loop, no lambda without
    /// fuel, no sample in the window.
    NoValue,
    /// The scenario has no such protection or limit.
    NotThere,
    /// The value that decides.
    Value {
        /// The value, or the distance from the target.
        value: f64,
        /// When \[s\].
        time_s: f64,
        /// When a bound was left first \[s\]; none where none was.
        first_outside_s: Option<f64>,
    },
    /// It settled so long after the begin of its window.
    Settled {
        /// Begin of the window \[s\].
        from_s: f64,
        /// How long it took \[s\].
        took_s: f64,
    },
    /// It was outside at the end of its window.
    NeverSettled {
        /// Distance from the target then.
        off: f64,
        /// When \[s\].
        time_s: f64,
    },
    /// The worst that the run did to a limit.
    Worst {
        /// The worst value.
        value: f64,
        /// The limit.
        limit: f64,
        /// What was left, in the unit of the limit.
        headroom: f64,
        /// The same as a share \[%\]; none where the limit is its natural zero.
        headroom_pct: Option<f64>,
        /// When \[s\].
        time_s: f64,
    },
    /// The limit was never put to the test.
    NeverApplied,
    /// A protection acted first.
    Acted {
        /// What it counts from \[s\].
        from_s: f64,
        /// When it acted \[s\].
        time_s: f64,
    },
    /// A protection never acted.
    NeverActed {
        /// What it counts from \[s\].
        from_s: f64,
    },
    /// All events came in order.
    InOrder,
    /// Of two events that follow each other in the list, the second came first.
    OutOfOrder {
        /// The one that should have come first, and when it came \[s\].
        first: (EventKind, f64),
        /// The one that should have followed, and when it came \[s\].
        then: (EventKind, f64),
    },
    /// How the run ended.
    Ended {
        /// Against its limits.
        verdict: Verdict,
        /// Names of the limits that were exceeded.
        exceeded: Vec<String>,
        /// Why it stopped ahead of its end, a sentence; none where it did not.
        stopped: Option<String>,
    },
    /// The run follows its stored course.
    Follows {
        /// How many channels are stored.
        channels: usize,
        /// At how many times.
        rows: usize,
    },
    /// The run differs from it.
    Differs(Difference),
}
