//! The documents say what the program does: generated pages are fresh, named
//! files and tests exist, links lead somewhere, commands run and print what is
//! printed there.
//!
//! `RINGFENCE_WRITE=1 cargo test --release --test docs` writes the generated
//! page and the pictures anew.
#[path = "docs/commands.rs"]
mod commands;
#[path = "docs/controllers.rs"]
mod controllers;
#[path = "docs/pages.rs"]
mod pages;
#[path = "docs/peers.rs"]
mod peers;
#[path = "docs/pictures.rs"]
mod pictures;
#[path = "common/proof.rs"]
mod proof;
#[path = "docs/reference.rs"]
mod reference;
#[path = "docs/results.rs"]
mod results;
#[path = "docs/sensitivities.rs"]
mod sensitivities;
#[path = "docs/validation.rs"]
mod validation;
