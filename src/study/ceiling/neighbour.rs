//! The ceiling of a plan that differs little from one already answered.
use super::plan::CeilingPlan;
use super::search::{Near, edge_above_pa, highest};
use super::trial::Runs;
use super::window::window;
use crate::judgement::{CeilingCell, LimitKind};

/// An answered cell, as the place to begin from in plans like its own.
#[derive(Debug, Clone, PartialEq)]
pub struct Neighbour {
    ambient: usize,
    speed: usize,
    fuel_scale: f64,
    ceiling_pa: Option<f64>,
    /// Boost at which a limit is broken at rest, where it is the one that binds.
    edge_pa: Option<f64>,
    /// The run that fails one step above.
    run: Option<usize>,
}

impl Neighbour {
    /// The cells of a plan in its order.
    pub fn all(plan: &CeilingPlan, cells: &[CeilingCell]) -> Vec<Self> {
        let speeds = plan.speeds_rad_s.len().max(1);
        cells
            .iter()
            .enumerate()
            .map(|(at, cell)| Self::new(plan, at / speeds, at % speeds, cell))
            .collect()
    }

    fn new(plan: &CeilingPlan, ambient: usize, speed: usize, cell: &CeilingCell) -> Self {
        let (speed_rad_s, fuel_scale) = (plan.speeds_rad_s[speed], cell.fuel_scale);
        let rig = plan.rig_in(plan.ambients[ambient], fuel_scale);
        let w = window(plan, &rig, speed_rad_s);
        let run = w.as_ref().zip(cell.ceiling_kpa_abs).and_then(|(w, kpa)| {
            let n = (kpa * 1e3 / plan.step_pa).round() as i64 + 1;
            let runs = Runs::new(plan, &rig, speed_rad_s, &w.rising);
            Some(runs.first_failure(n)?.run)
        });
        let edge_pa = w.and_then(|w| {
            let held = w.held?;
            let binds = |k: LimitKind| {
                let binding = cell.binding_above.as_deref();
                LimitKind::ALL
                    .into_iter()
                    .any(|other| other.is_twin_of(k) && binding == Some(other.name()))
            };
            held.above
                .is_none_or(binds)
                .then(|| edge_above_pa(plan, &rig, speed_rad_s, &held))
        });
        Self {
            ambient,
            speed,
            fuel_scale,
            ceiling_pa: cell.ceiling_kpa_abs.map(|kpa| kpa * 1e3),
            edge_pa,
            run,
        }
    }

    /// The ceiling of the same cell in a plan like its own \[Pa abs\], at the
    /// same share of the fuel; `None` where no command holds there.
    pub fn ceiling_pa(&self, plan: &CeilingPlan) -> Option<f64> {
        let speed_rad_s = *plan.speeds_rad_s.get(self.speed)?;
        let rig = plan.rig_in(*plan.ambients.get(self.ambient)?, self.fuel_scale);
        let w = window(plan, &rig, speed_rad_s)?;
        let held = w.held.as_ref()?;
        // where a limit binds at rest the ceiling moves as that limit does
        let moved_pa = self.edge_pa.map_or(0.0, |edge_pa| {
            edge_above_pa(plan, &rig, speed_rad_s, held) - edge_pa
        });
        let near = self.ceiling_pa.map(|pa| pa + moved_pa);
        let near = Near {
            command_pa: near,
            run: self.run,
        };
        let found = highest(plan, &rig, speed_rad_s, &w, near).ok()?;
        Some(found.command_pa)
    }
}
