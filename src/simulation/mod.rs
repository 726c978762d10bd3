//! From a rig and a procedure to samples: equilibrium, integration, audit.
//!
//! A run starts from an equilibrium, then goes tick by tick: read the sensors,
//! step the controller, sample, integrate the plant to the next tick. Only this
//! room meets the solver crate.
mod audit;
mod equilibrium;
mod faults;
mod integrator;
mod measure;
mod orders;
mod overrides;
mod rig;
mod road;
mod run;
mod sample;
mod sampling;
mod start;
mod validity;

pub use audit::{Residuals, residuals};
pub use equilibrium::{InputAt, NoEquilibrium, eigenvalues_1_s, equilibrium};
pub use faults::{FAULTS, Fault, FaultKind, Held, HeldReading, SensorFault};
pub use integrator::{Effort, IntegrationFailure, Integrator, TickInput};
pub use orders::BadOrders;
pub use rig::{BoostSensor, OpenLoop, Rig, Sensors, ValidityBounds};
pub use road::{Drive, DriveEnergy, DriveOutcome};
pub use run::{Ending, Observer, Outcome, Recorder, run, run_from};
pub use sample::{PROTECTIONS, Sample};
pub use sampling::equilibrium_sample;
pub use start::{Start, StartFailure, start, steady_input, steady_state};
pub use validity::ValidityStop;
