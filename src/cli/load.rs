//! From the command line to something that runs.
use std::path::Path;
use std::sync::OnceLock;

use super::args::Override;
use super::failure::Failure;
use crate::control::ControllerForms;
use crate::report::Sources;
use crate::scenario::build::{BuildFailure, Setup};
use crate::scenario::{Disk, Embedded, FileSource, Loaded, load_with};

/// The demonstration's scenario file.
pub const DEMO_YAML: &str = include_str!("../../scenarios/rescue-tender.yaml");
/// Its compressor map.
pub const DEMO_MAP: &str = include_str!("../../scenarios/rescue-tender/compressor.csv");
/// What the demonstration's file is called.
pub const DEMO_NAME: &str = "rescue-tender.yaml";
/// Where the demonstration's file expects its map.
pub const DEMO_MAP_NAME: &str = "rescue-tender/compressor.csv";

/// The controllers of this program; those of [`super::main_with`] are set before
/// anything is loaded and never again.
static FORMS: OnceLock<ControllerForms> = OnceLock::new();

/// Lets scenarios choose among these controllers. The first call counts.
pub fn choose_among(forms: ControllerForms) {
    FORMS.get_or_init(|| forms);
}

fn load(source: &dyn FileSource, path: &Path, overrides: &[Override]) -> Result<Loaded, Failure> {
    let forms = FORMS.get_or_init(ControllerForms::default);
    Ok(load_with(forms, source, path, &pairs(overrides), None)?)
}

/// A scenario ready to run.
pub struct Ready {
    /// The scenario as the user named it.
    pub file: String,
    /// What was read, with all it was made from.
    pub loaded: Loaded,
    /// What runs.
    pub setup: Setup,
}

impl Ready {
    /// The highest command at any speed and fuel that the engine can have; none
    /// where the vanes are held open loop.
    pub fn highest_command_kpa(&self) -> Option<f64> {
        let rig = &self.setup.rig;
        let command = rig.controller.command.as_ref()?;
        if rig.open_loop.is_some() {
            return None;
        }
        let full_load = &rig.controller.fuel.full_load;
        let (low_rad_s, high_rad_s) = full_load.range();
        let ambient_pa = rig.plant.ambient.pressure_pa;
        let share = |step: usize| step as f64 / STEPS as f64;
        let wanted_pa = (0..=STEPS)
            .flat_map(|speed| (0..=STEPS).map(move |fuel| (speed, fuel)))
            .map(|(speed, fuel)| {
                let speed_rad_s = low_rad_s + (high_rad_s - low_rad_s) * share(speed);
                let full_kg = full_load.at(speed_rad_s);
                command.wanted_pa(speed_rad_s, full_kg * share(fuel), full_kg, ambient_pa)
            })
            .fold(f64::NEG_INFINITY, f64::max);
        Some(wanted_pa * 1e-3)
    }

    /// What it was read from, with what was laid over it.
    pub fn sources(&self, overrides: &[Override]) -> Sources {
        let files = self.loaded.files.iter();
        let text = |name: &String| self.loaded.text_of(name).map(str::to_owned);
        let sets = overrides.iter();
        Sources {
            files: files.map(|name| (name.clone(), text(name))).collect(),
            overrides: sets
                .map(|set| format!("{}={}", set.path, set.value))
                .collect(),
        }
    }

    /// Highest reading of the boost sensor \[kPa abs\].
    pub fn readable_kpa(&self) -> f64 {
        self.setup.rig.sensors.boost.chain.readable_ceiling_pa() * 1e-3
    }
}

/// Steps of the search for the highest command along engine speed and fuel.
const STEPS: usize = 200;

/// Loads and builds a scenario from disk.
pub fn from_disk(path: &Path, overrides: &[Override]) -> Result<Ready, Failure> {
    let loaded = load(&Disk, path, overrides)?;
    build(path.display().to_string(), loaded)
}

/// Loads and builds the demonstration's scenario.
pub fn demo(overrides: &[Override]) -> Result<Ready, Failure> {
    let files = Embedded::new()
        .with(DEMO_NAME, DEMO_YAML)
        .with(DEMO_MAP_NAME, DEMO_MAP);
    let loaded = load(&files, Path::new(DEMO_NAME), overrides)?;
    build(DEMO_NAME.to_owned(), loaded)
}

/// Overrides as loading takes them.
pub fn pairs(overrides: &[Override]) -> Vec<(String, String)> {
    overrides
        .iter()
        .map(|set| (set.path.clone(), set.value.clone()))
        .collect()
}

fn build(file: String, loaded: Loaded) -> Result<Ready, Failure> {
    let setup = Setup::new(&loaded.scenario).map_err(|error| unfit(&file, &error))?;
    Ok(Ready {
        file,
        loaded,
        setup,
    })
}

/// A scenario whose parts do not fit each other.
pub fn unfit(file: &str, error: &BuildFailure) -> Failure {
    Failure::Build {
        file: file.to_owned(),
        message: error.to_string(),
    }
}
