//! What a run is expected to do, and when it has failed.

use super::BaselineEntry;
use super::names::{Amount, ChannelName, EventName, LimitName, Moment, ProtectionName};
use crate::quantity::*;
use crate::scenario::section::{choice, section};

section! {
    /// What is expected of the run. `ringfence verify` judges it; every other command
    /// leaves it aside.
    pub struct Expect {
        /// What reaction is required within which time, in a sentence or two.
        says: Option<String>, eg "The pinned reading is noticed and the vanes open within 0.4 s.";
        /// How the run has to end against its limits.
        verdict: Option<ExpectedVerdict>, eg "held";
        /// What must be so, one by one.
        checks: Option<Vec<ExpectCheck>>, eg "[{peak: {of: shaft_speed, at_most: 150000 rpm}}]";
        /// Names of the checks that have to fail, because a protection was taken away
        /// on purpose: the scenario passes when exactly these fail.
        must_fail: Vec<String> = "[]", eg "[acts pinned_sensor]";
        /// The stored course of the run, which later runs have to follow. It is one
        /// more check, and cannot be named in `must_fail`.
        baseline: Option<BaselineEntry>, eg "{file: baselines/pull.csv}";
    }
}

choice! {
    /// How a run ends against its limits.
    pub enum ExpectedVerdict {
        word /// Every limit is held.
        "held" => Held;
        word /// A limit is exceeded.
        "exceeded" => Exceeded;
        word /// The run leaves what the model can describe, before any limit is exceeded.
        "outside_validity" => OutsideValidity;
    }
}

section! {
    /// One check: exactly one of the kinds below, and a name if it shall have one of
    /// its own. Without one it is called after its kind and what it looks at, such as
    /// `peak shaft_speed`.
    ///
    /// A time that falls between two periods of the controller means the later one.
    /// `from` and `until` take a time or the name of an event, whose first time counts;
    /// both ends belong to the window.
    pub struct ExpectCheck {
        /// Short words for reports and `must_fail`.
        name: Option<String>, eg "the shaft stays whole";
        /// The highest value.
        peak: Option<PeakCheck>, eg "{of: shaft_speed, at_most: 150000 rpm}";
        /// The value at one moment.
        value: Option<ValueCheck>, eg "{of: boost_true, at: 6 s, at_least: 300 kPa abs}";
        /// Bounds that are never left.
        never: Option<NeverCheck>, eg "{of: drive_pressure, above: 480 kPa abs}";
        /// A value comes close to its target in time and stays there.
        settles: Option<SettlesCheck>, eg "{of: boost_sensed, within: 4 kPa, in: 1.5 s, after: 5 s}";
        /// How far a value goes above its target at most.
        overshoot: Option<OvershootCheck>, eg "{of: boost_true, at_most: 6 kPa}";
        /// How far a value falls below its target at most.
        undershoot: Option<UndershootCheck>, eg "{of: boost_true, at_most: 30 kPa, from: 5 s}";
        /// A limit of the scenario is held over the whole run.
        limit: Option<LimitCheck>, eg "{name: shaft_speed, reserve: 3 %}";
        /// A protection acts in time.
        acts: Option<ActsCheck>, eg "{protection: pinned_sensor, within: 350 ms, of: reading_pinned}";
        /// A protection does not act.
        silent: Option<SilentCheck>, eg "{protection: over_boost}";
        /// Events come in an order.
        order: Option<OrderCheck>, eg "{events: [command_above_readable, reading_pinned]}";
    }
}

section! {
    /// The highest value of a channel, also of one where low values are the bad ones:
    /// for those use `never` with `below`.
    pub struct PeakCheck {
        /// The channel.
        of: ChannelName, eg "shaft_speed";
        /// Highest value that is allowed.
        at_most: Option<Amount>, eg "150000 rpm";
        /// What must be reached.
        at_least: Option<Amount>, eg "120000 rpm";
        /// Begin of the window; the start of the run if left out.
        from: Option<Moment>, eg "5 s";
        /// End of the window; the end of the run if left out.
        until: Option<Moment>, eg "9 s";
    }
}

section! {
    /// The value of a channel at one moment.
    pub struct ValueCheck {
        /// The channel.
        of: ChannelName, eg "boost_true";
        /// The moment: a time or an event.
        at: Moment, eg "6 s";
        /// Lowest value that is allowed.
        at_least: Option<Amount>, eg "300 kPa abs";
        /// Highest value that is allowed.
        at_most: Option<Amount>, eg "320 kPa abs";
    }
}

section! {
    /// Bounds that a channel never leaves.
    pub struct NeverCheck {
        /// The channel.
        of: ChannelName, eg "drive_pressure";
        /// Never above this.
        above: Option<Amount>, eg "480 kPa abs";
        /// Never below this.
        below: Option<Amount>, eg "90 kPa abs";
        /// Begin of the window; the start of the run if left out.
        from: Option<Moment>, eg "5 s";
        /// End of the window; the end of the run if left out.
        until: Option<Moment>, eg "9 s";
    }
}

section! {
    /// A channel comes close to its target and stays there to the end of the window.
    pub struct SettlesCheck {
        /// The channel.
        of: ChannelName, eg "boost_sensed";
        /// How close: a difference in the unit of the channel.
        within: Amount, eg "4 kPa";
        /// How soon after the begin of the window.
        r#in: Duration, eg "1.5 s";
        /// Begin of the window; the start of the run if left out.
        after: Option<Moment>, eg "5 s";
        /// The target; the boost command of the moment if left out.
        to: Option<Amount>, eg "300 kPa abs";
        /// End of the window; the end of the run if left out.
        until: Option<Moment>, eg "9 s";
    }
}

section! {
    /// How far a channel goes above its target.
    pub struct OvershootCheck {
        /// The channel.
        of: ChannelName, eg "boost_true";
        /// Most that is allowed: a difference in the unit of the channel.
        at_most: Amount, eg "6 kPa";
        /// The target; the boost command of the moment if left out.
        over: Option<Amount>, eg "300 kPa abs";
        /// Begin of the window; the start of the run if left out.
        from: Option<Moment>, eg "5 s";
        /// End of the window; the end of the run if left out.
        until: Option<Moment>, eg "9 s";
    }
}

section! {
    /// How far a channel falls below its target.
    pub struct UndershootCheck {
        /// The channel.
        of: ChannelName, eg "boost_true";
        /// Most that is allowed: a difference in the unit of the channel.
        at_most: Amount, eg "30 kPa";
        /// The target; the boost command of the moment if left out.
        under: Option<Amount>, eg "300 kPa abs";
        /// Begin of the window; the start of the run if left out.
        from: Option<Moment>, eg "5 s";
        /// End of the window; the end of the run if left out.
        until: Option<Moment>, eg "9 s";
    }
}

section! {
    /// A limit is held over the whole run.
    pub struct LimitCheck {
        /// The limit, a key of `limits`.
        name: LimitName, eg "shaft_speed";
        /// What must be left to it: a share of its distance from its natural zero as
        /// results give it (`3 %`), or an amount in its own unit. For surge and choke
        /// margin, which are per cent themselves, per cent are the amount.
        reserve: Option<Amount>, eg "3 %";
    }
}

section! {
    /// A protection acts in time.
    pub struct ActsCheck {
        /// The protection, a key of `controller.protections`.
        protection: ProtectionName, eg "pinned_sensor";
        /// How soon; any time if left out.
        within: Option<Duration>, eg "350 ms";
        /// After what: a time or an event; the start of the run if left out.
        of: Option<Moment>, eg "reading_pinned";
    }
}

section! {
    /// A protection does not act.
    pub struct SilentCheck {
        /// The protection, a key of `controller.protections`.
        protection: ProtectionName, eg "over_boost";
        /// Begin of the window; the start of the run if left out.
        from: Option<Moment>, eg "5 s";
        /// End of the window; the end of the run if left out.
        until: Option<Moment>, eg "9 s";
    }
}

section! {
    /// Events come in an order: the first time of each is not before that of the one
    /// ahead of it. What is seen in the same period of the controller is in order.
    pub struct OrderCheck {
        /// The events, by name.
        events: Vec<EventName>, eg "[command_above_readable, reading_pinned]";
    }
}
