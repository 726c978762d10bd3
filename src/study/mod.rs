//! Many runs for one answer.
pub mod ceiling;
pub mod progress;
pub mod single;
