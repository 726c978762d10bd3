//! Command and vane tables: what is written holds when it is driven again.
#[path = "cli/bench.rs"]
#[allow(dead_code)]
mod bench;
#[path = "tables/driven.rs"]
mod driven;
#[path = "tables/knee.rs"]
mod knee;
#[path = "tables/made.rs"]
mod made;
#[path = "tables/refused.rs"]
mod refused;
#[path = "tables/shape.rs"]
mod shape;
