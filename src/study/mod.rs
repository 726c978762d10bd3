//! Many runs for one answer.
pub mod band;
pub mod ceiling;
pub mod compare;
pub mod progress;
pub mod road;
pub mod single;
pub mod sweep;
pub mod tables;
pub mod tolerance;
pub mod verify;
