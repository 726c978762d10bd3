//! The `ringfence` program.
fn main() {}
