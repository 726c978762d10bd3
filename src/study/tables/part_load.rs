//! The commands below full load.
use super::plan::TablesPlan;
use super::row::{NO_WINDOW, OPEN_VANES, Row, scores};

/// What boost held ready for a load step may cost of the best torque at that
/// fuel \[-\]. A choice: it keeps the shaft turning at a price below what is felt.
pub const READY_COST: f64 = 0.01;

/// On the straight line from no fuel to full load, or what readiness may cost.
pub const PART_LOAD: &str = "part_load";

/// One command below full load.
#[derive(Debug, Clone)]
pub struct PartLoad {
    /// The command, in terms of the table \[Pa\].
    pub command_pa: f64,
    /// What decided it.
    pub binding: String,
}

/// The command at a fuel below the row's full load.
///
/// The highest that holds every limit with its reserve at rest in all places,
/// costs no more than [`READY_COST`] of the best torque for that fuel, and lies
/// on or below the straight line from the ambient at no fuel to the command at
/// full load.
pub fn part_load(plan: &TablesPlan, row: &Row, column: usize, full_pa: f64) -> PartLoad {
    let fuel_kg = plan.fuels_kg[column];
    let base = plan.least_command_pa();
    let curves = &row.part_curves[column];
    let step = plan.ceiling.step_pa;
    let line = base + (full_pa - base).max(0.0) * fuel_kg / row.full_fuel_kg;
    let most = line.min(row.part_most_pa[column]);
    let lowest = (base / step).ceil() * step;
    let mut told = PartLoad {
        command_pa: lowest.min(full_pa),
        binding: OPEN_VANES.to_string(),
    };
    if fuel_kg <= 0.0 || most < lowest {
        return told;
    }
    let count = ((most - lowest) / step) as i64;
    let commands: Vec<f64> = (0..=count).map(|n| lowest + n as f64 * step).collect();
    let scores = scores(plan, curves, &commands);
    let best = scores.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let holds = |pa: f64| {
        curves.iter().enumerate().all(|(k, curve)| {
            let at = curve.as_ref().map(|c| c.at(plan.at_place_pa(k, pa)));
            at.is_some_and(|rest| rest.breaks.is_none())
        })
    };
    let cheap = |at: &usize| scores[*at] >= best - READY_COST;
    let found = (0..commands.len())
        .rev()
        .filter(cheap)
        .find(|&at| holds(commands[at]));
    match found {
        Some(0) => {}
        Some(at) => {
            told.command_pa = commands[at];
            told.binding = PART_LOAD.to_string();
        }
        None => told.binding = NO_WINDOW.to_string(),
    }
    told
}
