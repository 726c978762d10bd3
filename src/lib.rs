//! How high may a boost command go on this engine, with this turbo, this
//! sensor, this controller, on this road and in this weather?
//!
//! The rooms, in the order in which they may know each other (each room uses
//! only rooms above it):
//!
//! | room | what it holds |
//! | --- | --- |
//! | [`quantity`] | pressures, temperatures, flows … with their units as text |
//! | [`gas`] | air and combustion products, nozzle flow, standard atmosphere |
//! | [`map`] | what performance maps share: corrected quantities, speed lines |
//! | [`plant`] | volumes, flow elements, engine, turbocharger: dy/dt |
//! | [`sensor`] | from a true state to a reading |
//! | [`control`] | the boost controller and its protections |
//! | [`procedure`] | what is asked of the engine over time |
//! | [`simulation`] | equilibrium, integration, samples, audit |
//! | [`judgement`] | samples against limits, expectations and stored courses |
//! | [`scenario`] | files, checks, diagnostics, building the above |
//! | [`study`] | many runs: one run judged, verified, ceiling, band, sweep, compare, tolerance, tables |
//! | [`report`] | tables, text, pages and pictures of results |
//! | [`cli`] | the program; the only room that prints |
pub mod cli;
pub mod control;
pub mod gas;
pub mod judgement;
pub mod map;
pub mod plant;
pub mod procedure;
pub mod quantity;
pub mod report;
pub mod scenario;
pub mod sensor;
pub mod simulation;
pub mod study;
