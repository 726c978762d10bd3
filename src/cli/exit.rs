//! What the exit status says.
use std::process::ExitCode;

/// How a call ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Status {
    /// All limits held.
    Held,
    /// A limit was exceeded, a cell has no window, or something was found.
    Exceeded,
    /// The input or the call is wrong.
    Wrong,
    /// The computation failed or left the model's validity.
    Failed,
    /// Stopped by the user before the end.
    Interrupted,
}

impl Status {
    /// The status of several pieces of work: wrong input before failed
    /// computation before exceeded limits.
    pub fn worst(self, other: Self) -> Self {
        let rank = |status| match status {
            Self::Held => 0,
            Self::Exceeded => 1,
            Self::Failed => 2,
            Self::Wrong => 3,
            Self::Interrupted => 4,
        };
        if rank(other) > rank(self) {
            other
        } else {
            self
        }
    }

    /// As the shell sees it.
    pub fn number(self) -> u8 {
        match self {
            Self::Held => 0,
            Self::Exceeded => 1,
            Self::Wrong => 2,
            Self::Failed => 3,
            // as shells say it: 128 and the number of the signal
            Self::Interrupted => 130,
        }
    }
}

impl From<Status> for ExitCode {
    fn from(status: Status) -> Self {
        ExitCode::from(status.number())
    }
}

#[cfg(test)]
mod tests {
    use super::Status::*;

    #[test]
    fn wrong_input_outranks_failure_outranks_limits() {
        let all = [Held, Exceeded, Failed, Wrong, Interrupted];
        for (low, one) in all.iter().enumerate() {
            for other in &all[low..] {
                assert_eq!(one.worst(*other), *other);
                assert_eq!(other.worst(*one), *other);
            }
        }
    }
}
