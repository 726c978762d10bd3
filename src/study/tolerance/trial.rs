//! What one engine does.
use super::draws::Engine;
use crate::judgement::{StopKind, Verdict};
use crate::scenario::build::Setup;
use crate::scenario::{Loaded, varied};
use crate::study::single::judged;

/// How the run of one engine ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// The procedure came to its end.
    Finished,
    /// It left the model's validity, or had no equilibrium to start from.
    OutsideValidity,
    /// No scenario may hold its values.
    NotBuilt,
}

/// What one engine did to one limit.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Met {
    /// Worst value; none where the limit never applied.
    pub worst: Option<f64>,
    /// Distance from the limit.
    pub headroom: Option<f64>,
    /// The same over the limit's distance from its natural zero \[%\].
    pub headroom_pct: Option<f64>,
    /// Whether it was exceeded.
    pub exceeded: bool,
}

/// What one engine did.
#[derive(Debug, Clone, PartialEq)]
pub struct Trial {
    /// How the run ended.
    pub end: End,
    /// Each limit, in the order of the scenario's; empty where nothing ran.
    pub limits: Vec<Met>,
}

impl Trial {
    fn nothing(end: End) -> Self {
        Self {
            end,
            limits: Vec::new(),
        }
    }

    /// Whether any limit was exceeded.
    pub fn exceeded(&self) -> bool {
        self.limits.iter().any(|met| met.exceeded)
    }

    /// Whether it is not known to have held every limit.
    pub fn not_held(&self) -> bool {
        self.end != End::Finished || self.exceeded()
    }

    /// As a run would be called.
    pub fn verdict(&self) -> Verdict {
        match self.end {
            _ if self.exceeded() => Verdict::Exceeded,
            End::Finished => Verdict::Held,
            End::OutsideValidity | End::NotBuilt => Verdict::OutsideValidity,
        }
    }

    /// Least relative headroom to any limit \[%\], the lowest of all where it is not
    /// known.
    pub fn least_headroom_pct(&self) -> f64 {
        if self.end != End::Finished && !self.exceeded() {
            return f64::NEG_INFINITY;
        }
        let known = self.limits.iter().filter_map(|met| met.headroom_pct);
        known.fold(f64::INFINITY, f64::min)
    }
}

/// Runs one engine with the full-load command moved by `shift_pa`; beside it what ran,
/// with the command as written.
pub fn trial(loaded: &Loaded, engine: &Engine, shift_pa: f64) -> (Trial, Option<Setup>) {
    match varied(loaded, &engine.values) {
        Ok((_, setup)) => (shifted(&setup, shift_pa), Some(setup)),
        Err(_) => (Trial::nothing(End::NotBuilt), None),
    }
}

/// Runs a setup with its full-load command, where it has one, moved by `shift_pa`.
pub fn shifted(setup: &Setup, shift_pa: f64) -> Trial {
    if shift_pa == 0.0 {
        return of_setup(setup);
    }
    let mut setup = setup.clone();
    if let Some(command) = &mut setup.rig.controller.command {
        command.full_load_shift_pa += shift_pa;
    }
    of_setup(&setup)
}

fn of_setup(setup: &Setup) -> Trial {
    let Ok(result) = judged(setup) else {
        return Trial::nothing(End::OutsideValidity);
    };
    Trial {
        end: match result.why_stopped.kind {
            StopKind::Finished => End::Finished,
            StopKind::OutsideValidity | StopKind::ComputationFailed => End::OutsideValidity,
        },
        limits: result
            .limits
            .iter()
            .map(|limit| Met {
                worst: limit.worst,
                headroom: limit.headroom,
                headroom_pct: limit.headroom_pct,
                exceeded: !limit.held,
            })
            .collect(),
    }
}
