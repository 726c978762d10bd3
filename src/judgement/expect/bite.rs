//! Whether a check that has to fail failed because of what it saw.
use super::{Asked, CheckResult, Seen};

impl CheckResult {
    /// Whether it is as it should be: held, or failed where it must. What saw nothing
    /// shows nothing: a check that must fail has to have judged something.
    pub fn is_right(&self) -> bool {
        if self.must_fail {
            !self.held && self.judged_something()
        } else {
            self.held
        }
    }

    /// Whether anything was there to be judged. A protection that was taken away counts
    /// where the protection is what is asked for, and not where it would only have
    /// begun or ended a window.
    pub fn judged_something(&self) -> bool {
        match self.seen {
            Seen::Value { .. }
            | Seen::Settled { .. }
            | Seen::NeverSettled { .. }
            | Seen::Worst { .. }
            | Seen::Acted { .. }
            | Seen::NeverActed { .. }
            | Seen::NoProtectionFor(_)
            | Seen::InOrder
            | Seen::OutOfOrder { .. }
            | Seen::Ended { .. }
            | Seen::Follows { .. }
            | Seen::Differs(_) => true,
            Seen::NotThere => matches!(self.asked, Asked::Acts { .. } | Asked::Silent { .. }),
            // a limit without a reserve holds untested; of a reserve nothing is known
            Seen::NeverApplied => self.held,
            Seen::CutShort { .. } | Seen::NoEvent(_) | Seen::NoWindow { .. } | Seen::NoValue => {
                false
            }
        }
    }
}
