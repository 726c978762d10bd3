//! The whole file, and what it says about itself.

use super::*;
use crate::scenario::section::{choice, section};

section! {
    /// A scenario: an engine with its turbocharger, sensors and controller, where
    /// it stands, what is asked of it and what must hold.
    pub struct ScenarioFile {
        /// Another scenario file to lay this one over, key by key. The path is
        /// relative to this file and stays inside the folder of the scenario.
        extends: Option<String>, eg "base.yaml";
        /// What this file is and where its data come from.
        about: About;
        /// The air around the engine.
        ambient: Ambient;
        /// What air and exhaust gas are like.
        gas: GasModel = "mixture", eg "{constant: {air: {gas_constant: 287 J/(kg K), specific_heat: 1005 J/(kg K)}, exhaust: {gas_constant: 286 J/(kg K), specific_heat: 1150 J/(kg K)}}}";
        /// The engine.
        engine: Engine;
        /// Fuel, its full-load quantity and injection timing.
        fuel: Fuel;
        /// From the air filter to the intake manifold.
        intake: Intake;
        /// From the exhaust manifold to the tailpipe.
        exhaust: Exhaust;
        /// The compressor.
        compressor: Compressor;
        /// The turbine with its vanes.
        turbine: Turbine;
        /// The shaft between the wheels.
        shaft: Shaft;
        /// The actuator that moves the vanes.
        vanes: Vanes;
        /// Recirculation of exhaust gas, where the engine has it.
        recirculation: Option<Recirculation>;
        /// Volumes of their own besides intake and exhaust.
        volumes: Vec<FurtherVolume> = "[]", eg "[{place: airbox, volume: 8 l}]";
        /// What the controller can see.
        sensors: Sensors;
        /// The boost controller. Needed unless `open_loop` holds the vanes.
        controller: Option<Controller>;
        /// Holds the vanes without feedback. It wins over the controller's
        /// vane command; the fuel limits of a controller still act.
        open_loop: Option<OpenLoop>;
        /// What is asked of the engine, one part after the other.
        procedure: Vec<ProcedurePart>;
        /// What goes wrong, and when.
        faults: Vec<FaultEntry> = "[]", eg "[{boost_leak: {area: 60 mm2, onset: 3 s}}]";
        /// What must not be exceeded. At least one.
        limits: Limits;
        /// Where and how the safe ceiling of the boost command is sought.
        ceiling: CeilingSearch = "{}";
        /// Relative spread of weak parameters: the dotted path of a number in this
        /// file and its spread, such as `shaft.inertia: 5 %`: half the width of the
        /// range in which the true value is believed to lie with 95 % (normal, two
        /// standard deviations). `{spread: 5 %, shape: uniform}` means evenly
        /// between the two ends.
        uncertainty: Spreads = "{}";
        /// Production spread: the dotted path of a number in this file and how far it
        /// lies from what is written on one engine after another. `3 %` is relative to
        /// the value, `2 kPa` counts in a unit of the value, `0.5 points` are per cent
        /// points of a value that is itself in per cent. Two standard deviations;
        /// `{spread: 2 kPa, shape: uniform}` means evenly between the two ends,
        /// `{spread: 2 kPa, within: 3 kPa}` that nothing further off leaves the works.
        /// `tolerance` draws from it, every other command leaves it aside.
        production: Production = "{}";
        /// What is expected of the run, for `verify`.
        expect: Option<Expect>;
        /// Settings of the numerical solution.
        solver: Solver = "{}";
    }
}

section! {
    /// What this file is.
    pub struct About {
        /// One line for headings.
        title: String, eg "Rescue tender, larger turbo";
        /// Where the data come from.
        data: DataSource, eg "invented";
        /// Anything a reader should know.
        note: Option<String>, eg "Cooler from the supplier's sheet, the rest estimated.";
    }
}

choice! {
    /// Where the data of a file come from.
    pub enum DataSource {
        word /// Made up for illustration.
        "invented" => Invented;
        word /// Measured on the engine or its parts.
        "measured" => Measured;
        word /// Taken from publications.
        "published" => Published;
        word /// Estimated from experience or general rules.
        "estimated" => Estimated;
        word /// Some of each; the note says which.
        "mixed" => Mixed;
    }
}

section! {
    /// Settings of the numerical solution.
    pub struct Solver {
        /// Relative tolerance of the time integration, from 1e-10 to 1e-3.
        tolerance: f64 = "1e-5", eg "1e-6";
    }
}
