//! The same question put to many scenarios: every combination of some values, or
//! points spread evenly in the box between their ends.
//!
//! | file | what it does |
//! | --- | --- |
//! | `axis` | one thing that varies: its values, as they are written and as they are shown |
//! | `plan` | which cases there are; each by its number |
//! | `case` | one case: built, run, judged, fenced off |
//! | `fence` | a panic becomes an error |
//! | `ordered` | cases in parallel, handed on in order, with few in flight |
//! | `tally` | what the cases come to |
mod axis;
mod case;
mod fence;
mod ordered;
mod plan;
mod tally;

pub use axis::{Axis, AxisProblem};
pub use case::run_case;
pub use fence::fenced;
pub use ordered::{Taker, in_order};
pub use plan::{MOST_CASES, Plan, PlanProblem, Sampling, Shard};
pub use tally::Tally;
