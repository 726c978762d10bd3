//! One engine speed at full load: the window that all places leave, and the
//! command of most power in it.
use super::plan::{Place, TablesPlan};
use super::rests::Curve;
use crate::judgement::{CeilingCell, FullLoadRow};
use crate::procedure::FuelAsked;
use crate::simulation::Rig;
use crate::study::ceiling::{CeilingPlan, SensorCorner, cells_along};
use crate::study::progress::Silent;

/// Of two commands whose power differs by less than this share the lower is
/// taken: no dynamometer tells them apart, and the shaft turns slower.
pub const SAME_POWER: f64 = 0.002;
/// Smallest share of the full-load fuel that is tried, and the step.
const LEAST_FUEL: f64 = 0.40;
const FUEL_STEP: f64 = 0.02;
/// Down to this share of the fuel a window is looked for before open vanes are
/// \[-\]: they cost more power than that away from low speeds.
const LITTLE_LESS: f64 = 0.85;

/// Fuels this close are the same \[kg\].
const SAME_FUEL_KG: f64 = 1e-9;

/// What decided a command.
pub const MOST_POWER: &str = "most_power";
/// No command holds, or none that was found.
pub const NO_WINDOW: &str = "no_window";
/// As little as open vanes give.
pub const OPEN_VANES: &str = "open_vanes";

/// One row.
#[derive(Debug, Clone)]
pub struct Row {
    /// Engine speed \[rad/s\].
    pub speed_rad_s: f64,
    /// Share of the scenario's full-load fuel.
    pub fuel_scale: f64,
    /// Full-load fuel \[kg per injection\].
    pub full_fuel_kg: f64,
    /// Equilibria at full load, for each place.
    pub curves: Vec<Option<Curve>>,
    /// Equilibria at each column below full load, for each place.
    pub part_curves: Vec<Vec<Option<Curve>>>,
    /// The ceilings, for each place.
    pub cells: Vec<CeilingCell>,
    /// Least and highest command at full load, in terms of the table \[Pa\].
    pub window: Option<(f64, f64)>,
    /// The place that allows least.
    pub least_place: Option<usize>,
    /// The command \[Pa\], in terms of the table.
    pub command_pa: Option<f64>,
    /// What decided it.
    pub binding: String,
    /// Most that repairs leave the columns below full load \[Pa\].
    pub part_most_pa: Vec<f64>,
    /// Furthest closed that repairs leave the vanes of the first column \[-\].
    pub first_vane_most: f64,
    /// The command before the first repair that lowered it \[Pa\].
    pub lowered_from: Option<f64>,
    /// The command and the lack of the repair before \[Pa, %\].
    pub last_lack: Option<(f64, f64)>,
    /// How often the command has been moved by a repair.
    pub repairs: usize,
}

/// The row of a speed, with less fuel where none holds at full.
pub fn row(plan: &TablesPlan, at: usize) -> Row {
    row_from(plan, at, 1.0)
}

/// The same, beginning at a share of the fuel.
pub fn row_from(plan: &TablesPlan, at: usize, fuel_scale: f64) -> Row {
    let first = row_at(plan, at, fuel_scale);
    if first.command_pa.is_some() {
        return first;
    }
    if !little_less_fuel(&first)
        && let Some(open) = with_open_vanes(plan, at, &first)
    {
        return open;
    }
    let mut scale = next_scale(fuel_scale, &first);
    while scale >= LEAST_FUEL - 1e-9 {
        if holds_at_rest(plan, at, scale) {
            let row = row_at(plan, at, scale);
            if row.command_pa.is_some() {
                return row;
            }
        }
        scale = tidy(scale - FUEL_STEP);
    }
    first
}

/// A row once more, in a plan that differs in its vanes, with the fuel it had
/// found. One with open vanes, or without any window, stays as it is.
pub fn again(plan: &TablesPlan, at: usize, first: &Row) -> Row {
    if first.command_pa.is_none() || first.binding == OPEN_VANES {
        return first.clone();
    }
    let again = row_at(plan, at, first.fuel_scale);
    if again.command_pa.is_some() {
        again
    } else {
        first.clone()
    }
}

/// Whether each place by itself has a window with little less fuel: that is worth
/// more power than vanes left open.
fn little_less_fuel(row: &Row) -> bool {
    row.cells
        .iter()
        .all(|cell| cell.ceiling_kpa_abs.is_some() && cell.fuel_scale >= LITTLE_LESS)
}

/// The row with the vanes left open, where that holds at rest at all places and
/// corners of the sensor: the search asks for boost above open vanes, and where
/// none of that holds the boost that they give may.
fn with_open_vanes(plan: &TablesPlan, at: usize, row: &Row) -> Option<Row> {
    let speed = plan.speeds_rad_s[at];
    for place in &plan.places {
        for corner in plan.ceiling.corners() {
            let mut rig = plan.ceiling.rig_in(place.ambient, row.fuel_scale);
            at_corner(&mut rig, corner);
            let curve = Curve::walk(&plan.ceiling, &rig, speed, FuelAsked::Full)?;
            if curve.rests[0].breaks.is_some() {
                return None;
            }
        }
    }
    // no place's vanes close for the least of what they give open
    let open = row.curves.iter().enumerate();
    let open = open
        .map(|(k, curve)| Some(plan.in_table_pa(k, curve.as_ref()?.open_pa())))
        .collect::<Option<Vec<f64>>>()?;
    let open = open.into_iter().fold(f64::INFINITY, f64::min);
    let step = plan.ceiling.step_pa;
    let command = ((open / step).floor() * step).max(plan.least_command_pa());
    Some(Row {
        window: Some((command, command)),
        command_pa: Some(command),
        binding: OPEN_VANES.to_string(),
        ..row.clone()
    })
}

/// Whether some command holds at rest at all places and corners of the sensor.
fn holds_at_rest(plan: &TablesPlan, at: usize, fuel_scale: f64) -> bool {
    let speed = plan.speeds_rad_s[at];
    let mut curves = Vec::new();
    for (k, place) in plan.places.iter().enumerate() {
        for corner in plan.ceiling.corners() {
            let mut rig = plan.ceiling.rig_in(place.ambient, fuel_scale);
            at_corner(&mut rig, corner);
            match Curve::walk(&plan.ceiling, &rig, speed, FuelAsked::Full) {
                Some(curve) => curves.push((k, curve)),
                None => return false,
            }
        }
    }
    let step = plan.ceiling.step_pa;
    let low = (plan.least_command_pa() / step).ceil() as i64;
    let most = curves
        .iter()
        .map(|(k, c)| plan.in_table_pa(*k, c.reach_pa()))
        .fold(f64::INFINITY, f64::min);
    (low..=(most / step) as i64).any(|n| {
        curves.iter().all(|(k, curve)| {
            let command = plan.at_place_pa(*k, n as f64 * step);
            curve.at(command).breaks.is_none()
        })
    })
}

/// The rig with its boost sensor at a corner of the stated error.
pub fn at_corner(rig: &mut Rig, corner: SensorCorner) {
    let error = &mut rig.sensors.boost.chain.error;
    error.offset_pa += corner.offset_pa;
    error.after_clamp_pa += corner.after_clamp_pa;
}

/// The next share of the fuel: what the places ask for by themselves, and less
/// than before in any case.
fn next_scale(scale: f64, row: &Row) -> f64 {
    let asked = row
        .cells
        .iter()
        .filter(|cell| cell.ceiling_kpa_abs.is_some())
        .map(|cell| cell.fuel_scale)
        .fold(1.0, f64::min);
    tidy((scale * asked).min(scale - FUEL_STEP))
}

fn tidy(scale: f64) -> f64 {
    (scale * 1e3).round() / 1e3
}

fn row_at(plan: &TablesPlan, at: usize, fuel_scale: f64) -> Row {
    let speed_rad_s = plan.speeds_rad_s[at];
    let searched = with_fuel(&plan.ceiling, fuel_scale);
    let cells = cells_along(&searched, &searched.ambients, speed_rad_s, &Silent);
    let full_fuel_kg = plan.ceiling.rig.controller.fuel.full_load.at(speed_rad_s) * fuel_scale;
    let curves_at = |fuel: FuelAsked| -> Vec<Option<Curve>> {
        let walk = |place: &Place| {
            let rig = plan.ceiling.rig_in(place.ambient, fuel_scale);
            Curve::walk(&plan.ceiling, &rig, speed_rad_s, fuel)
        };
        plan.places.iter().map(walk).collect()
    };
    let below = plan
        .fuels_kg
        .iter()
        .filter(|kg| **kg < full_fuel_kg - SAME_FUEL_KG);
    let mut row = Row {
        speed_rad_s,
        fuel_scale,
        full_fuel_kg,
        curves: curves_at(FuelAsked::Full),
        part_curves: below
            .map(|kg| curves_at(FuelAsked::Quantity(*kg)))
            .collect(),
        cells,
        window: None,
        least_place: None,
        command_pa: None,
        binding: NO_WINDOW.to_string(),
        part_most_pa: vec![f64::INFINITY; plan.fuels_kg.len()],
        first_vane_most: 1.0,
        lowered_from: None,
        last_lack: None,
        repairs: 0,
    };
    row.find_window(plan);
    row.choose(plan);
    row
}

/// The search with a share of the full-load fuel at all speeds.
fn with_fuel(plan: &CeilingPlan, fuel_scale: f64) -> CeilingPlan {
    let mut plan = plan.clone();
    let full_load = &mut plan.rig.controller.fuel.full_load;
    *full_load = full_load.map_values(|kg| kg * fuel_scale);
    plan
}

impl Row {
    fn find_window(&mut self, plan: &TablesPlan) {
        let open = self.cells.iter().all(|cell| cell.feasible);
        if !open || self.curves.iter().any(Option::is_none) {
            return;
        }
        let mut low = plan.least_command_pa();
        let mut high: Option<(f64, usize)> = None;
        let mut open_pa = f64::INFINITY;
        for (k, cell) in self.cells.iter().enumerate() {
            let Some(ceiling_kpa) = cell.ceiling_kpa_abs else {
                return;
            };
            let ceiling = plan.in_table_pa(k, ceiling_kpa * 1e3);
            if high.is_none_or(|(least, _)| ceiling < least) {
                high = Some((ceiling, k));
            }
            if let Some(floor_kpa) = cell.floor_kpa_abs {
                low = low.max(plan.in_table_pa(k, floor_kpa * 1e3));
            }
            if let Some(curve) = &self.curves[k] {
                open_pa = open_pa.min(plan.in_table_pa(k, curve.open_pa()));
            }
        }
        let Some((high, place)) = high else { return };
        self.least_place = Some(place);
        // below what open vanes give everywhere no place follows
        let low = low.max(open_pa.min(high));
        if low <= high {
            self.window = Some((low, high));
        }
    }

    /// Most power in the window: the mean over the places of the power relative
    /// to the best in the window there.
    fn choose(&mut self, plan: &TablesPlan) {
        let Some((low, high)) = self.window else {
            return;
        };
        let step = plan.ceiling.step_pa;
        let (first, last) = (
            (low / step).ceil() as i64,
            (high / step + 1e-9).floor() as i64,
        );
        let commands: Vec<f64> = if first > last {
            vec![high]
        } else {
            (first..=last).map(|n| n as f64 * step).collect()
        };
        let scores = scores(plan, &self.curves, &commands);
        let best = scores.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let chosen = scores.iter().position(|s| *s >= best * (1.0 - SAME_POWER));
        let Some(chosen) = chosen.map(|at| commands[at]) else {
            return;
        };
        self.command_pa = Some(chosen);
        let at_ceiling = high - chosen < 1.5 * step;
        let limit = self
            .least_place
            .and_then(|k| self.cells[k].binding_above.clone());
        self.binding = match limit {
            Some(limit) if at_ceiling => limit,
            _ => MOST_POWER.to_string(),
        };
    }

    /// The row, told.
    pub fn told(&self) -> FullLoadRow {
        FullLoadRow {
            engine_speed_rpm: rpm(self.speed_rad_s),
            fuel_mg: (self.full_fuel_kg * 1e12).round() * 1e-6,
            floor_kpa_abs: self.window.map(|w| w.0 * 1e-3),
            ceiling_kpa_abs: self.window.map(|w| w.1 * 1e-3),
            command_kpa_abs: self.command_pa.map(|pa| pa * 1e-3),
            least_place: self.least_place,
            place_ceiling_kpa_abs: self
                .cells
                .iter()
                .map(|cell| cell.ceiling_kpa_abs.filter(|_| cell.feasible))
                .collect(),
            binding: self.binding.clone(),
        }
    }
}

/// Engine speed in rpm, without the last bits that the way through rad/s adds.
pub fn rpm(speed_rad_s: f64) -> f64 {
    (speed_rad_s * 30.0 / std::f64::consts::PI * 1e6).round() / 1e6
}

/// For each command the mean over the places of the power relative to the best.
pub fn scores(plan: &TablesPlan, curves: &[Option<Curve>], commands: &[f64]) -> Vec<f64> {
    let mut scores = vec![0.0; commands.len()];
    let known = curves.iter().flatten().count() as f64;
    for (k, curve) in curves.iter().enumerate() {
        let Some(curve) = curve else { continue };
        let power: Vec<f64> = commands
            .iter()
            .map(|&c| curve.at(plan.at_place_pa(k, c)).power_kw)
            .collect();
        let best = power.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        for (score, power) in scores.iter_mut().zip(&power) {
            // a loss relative to the size of the best, also where that is negative
            *score += (1.0 - (best - power) / best.abs().max(1e-9)) / known;
        }
    }
    scores
}
