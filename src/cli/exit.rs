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
        };
        if rank(other) > rank(self) {
            other
        } else {
            self
        }
    }
}

impl From<Status> for ExitCode {
    fn from(status: Status) -> Self {
        ExitCode::from(match status {
            Status::Held => 0,
            Status::Exceeded => 1,
            Status::Wrong => 2,
            Status::Failed => 3,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::Status::*;

    #[test]
    fn wrong_input_outranks_failure_outranks_limits() {
        let all = [Held, Exceeded, Failed, Wrong];
        for (low, one) in all.iter().enumerate() {
            for other in &all[low..] {
                assert_eq!(one.worst(*other), *other);
                assert_eq!(other.worst(*one), *other);
            }
        }
    }
}
