//! What is asked of the tables.
use crate::control::{BoostCommand, CommandReference};
use crate::gas::Ambient;
use crate::judgement::{Limit, LimitKind, LimitReserve};
use crate::map::Table2;
use crate::scenario::CommandTable;
use crate::scenario::Scenario;
use crate::scenario::build::{BuildFailure, Setup};
use crate::study::ceiling::CeilingPlan;

/// A place and a day, and what the controller does there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// The air.
    pub ambient: Ambient,
    /// What the barometric correction takes off the command there \[Pa\].
    pub taken_off_pa: f64,
}

/// What is to be kept from the limits, as shares of their distance from their
/// natural zero \[-\].
#[derive(Debug, Clone, PartialEq)]
pub struct Reserve {
    /// From every limit that has none of its own.
    pub general: f64,
    /// From single limits.
    pub single: Vec<(LimitKind, f64)>,
}

/// The tables that are asked for.
#[derive(Debug, Clone)]
pub struct TablesPlan {
    /// The search of the ceilings, its limits tightened by the reserve.
    pub ceiling: CeilingPlan,
    /// The limits as stated.
    pub stated: Vec<Limit>,
    /// Rows \[rad/s\].
    pub speeds_rad_s: Vec<f64>,
    /// Columns \[kg per injection\].
    pub fuels_kg: Vec<f64>,
    /// Where the tables have to hold.
    pub places: Vec<Place>,
}

/// Why there can be no tables.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Unplanned {
    /// The turbine has no vanes.
    #[error("the turbine has no vanes that a table could move")]
    NoVanes,
    /// The vanes are held open loop.
    #[error("the vanes are held open loop: there is no command to make a table for")]
    OpenLoop,
    /// The command is in gauge pressure.
    #[error("the command table is in gauge pressure; tables are made in absolute pressure")]
    Gauge,
    /// One axis has less than two points, or does not rise.
    #[error("the axis of {0} needs two points or more, each above the one before")]
    Axis(&'static str),
    /// A fuel above what the engine is given at any speed.
    #[error("no column of fuel lies at or below the full-load fuel at {0:.0} rpm")]
    FuelsAbove(f64),
    /// The scenario cannot be built there.
    #[error("{0}")]
    Build(#[from] BuildFailure),
}

impl TablesPlan {
    /// Tables for a scenario: at its own axes, altitudes and day where the call
    /// names none.
    ///
    /// # Errors
    /// A scenario without boost control or vanes, axes that are none, places
    /// outside the atmosphere.
    pub fn of(
        scenario: &Scenario,
        setup: &Setup,
        axes: (Option<Vec<f64>>, Option<Vec<f64>>),
        reserve: &Reserve,
    ) -> Result<Self, Unplanned> {
        let command = commanded(scenario, setup)?;
        let own = &scenario
            .controller
            .as_ref()
            .ok_or(Unplanned::OpenLoop)?
            .command;
        let speeds_rad_s = axes
            .0
            .unwrap_or_else(|| own.engine_speed.iter().map(|n| n.rad_s()).collect());
        let fuels_kg = axes
            .1
            .unwrap_or_else(|| own.fuel.iter().map(|q| q.kg()).collect());
        rising(&speeds_rad_s, "engine speed")?;
        rising(&fuels_kg, "fuel")?;
        let full_load = &setup.rig.controller.fuel.full_load;
        if let Some(n) = speeds_rad_s
            .iter()
            .find(|n| fuels_kg[0] > full_load.at(**n))
        {
            return Err(Unplanned::FuelsAbove(n * 30.0 / std::f64::consts::PI));
        }
        let mut ceiling = CeilingPlan::of(scenario, setup)?;
        let places = places(&ceiling.ambients, command);
        ceiling.ambients = places.iter().map(|p| p.ambient).collect();
        ceiling.speeds_rad_s.clone_from(&speeds_rad_s);
        // a gear change from beyond the last row would not be one of these tables
        let last = speeds_rad_s[speeds_rad_s.len() - 1];
        if let Some(shift) = &mut ceiling.transients.shift {
            shift.highest_rad_s = shift.highest_rad_s.min(last * (1.0 + 1e-9));
        }
        let stated = ceiling.bench_with_pinned_time().limits;
        ceiling.limits = tightened(&stated, &places, reserve, smoke_lambda(setup));
        Ok(Self {
            ceiling,
            stated,
            speeds_rad_s,
            fuels_kg,
            places,
        })
    }

    /// The same with another feed-forward vane table \[% closed\] on its axes.
    #[must_use]
    pub fn with_vanes(&self, vane_pct: &[Vec<f64>]) -> Self {
        let mut plan = self.clone();
        let values = vane_pct.iter().flatten().map(|pct| pct * 0.01).collect();
        // the axes have been checked, and every row has their length
        if let Ok(table) = Table2::new(self.speeds_rad_s.clone(), self.fuels_kg.clone(), values) {
            plan.ceiling.rig.controller.feed_forward = table;
        }
        plan
    }

    /// The reserve of each limit, told.
    pub fn told_reserve(&self) -> Vec<LimitReserve> {
        let (ambient_kpa, ambient_k) = thinnest(&self.places);
        self.stated
            .iter()
            .zip(&self.ceiling.limits)
            .map(|(stated, held_to)| LimitReserve {
                limit: stated.kind.name().to_string(),
                unit: stated.kind.unit().to_string(),
                stated: stated.bound,
                held_to: held_to.bound,
                reserve_pct: match stated.headroom(held_to.bound) {
                    0.0 => 0.0,
                    kept => stated.headroom_pct(kept, ambient_kpa, ambient_k),
                },
            })
            .collect()
    }

    /// The command in terms of the table that is `place_pa` at a place \[Pa\].
    pub fn in_table_pa(&self, place: usize, place_pa: f64) -> f64 {
        place_pa + self.places[place].taken_off_pa
    }

    /// What a command of the table is at a place \[Pa abs\].
    pub fn at_place_pa(&self, place: usize, table_pa: f64) -> f64 {
        table_pa - self.places[place].taken_off_pa
    }

    /// The least command that means anything: the ambient pressure in terms of
    /// the table, at the place where that is lowest \[Pa\].
    pub fn least_command_pa(&self) -> f64 {
        self.places
            .iter()
            .map(|p| p.ambient.pressure_pa + p.taken_off_pa)
            .fold(f64::INFINITY, f64::min)
    }
}

fn commanded<'a>(scenario: &Scenario, setup: &'a Setup) -> Result<&'a BoostCommand, Unplanned> {
    if !setup.rig.plant.turbine.has_vanes() {
        return Err(Unplanned::NoVanes);
    }
    if setup.rig.open_loop.is_some() {
        return Err(Unplanned::OpenLoop);
    }
    let controller = scenario.controller.as_ref().ok_or(Unplanned::OpenLoop)?;
    if matches!(controller.command.boost, CommandTable::Gauge(_)) {
        return Err(Unplanned::Gauge);
    }
    let command = setup.rig.controller.command.as_ref();
    command
        .filter(|c| c.reference == CommandReference::Absolute)
        .ok_or(Unplanned::Gauge)
}

fn rising(axis: &[f64], name: &'static str) -> Result<(), Unplanned> {
    if axis.len() < 2 || axis.windows(2).any(|w| w[1] <= w[0]) {
        return Err(Unplanned::Axis(name));
    }
    Ok(())
}

/// What the controller does in each ambient.
fn places(ambients: &[Ambient], command: &BoostCommand) -> Vec<Place> {
    let taken_off_pa = |ambient: &Ambient| {
        let lack_pa = (command.barometric_reference_pa - ambient.pressure_pa).max(0.0);
        command.barometric_correction * lack_pa
    };
    ambients
        .iter()
        .map(|ambient| Place {
            ambient: *ambient,
            taken_off_pa: taken_off_pa(ambient),
        })
        .collect()
}

fn smoke_lambda(setup: &Setup) -> Option<f64> {
    let smoke = setup.rig.controller.fuel.smoke.as_ref();
    smoke.map(|smoke| smoke.lambda)
}

/// Lowest ambient pressure \[kPa abs\] and temperature \[K\]: there a share of a
/// limit that counts from the ambient is largest, so that it is kept everywhere.
fn thinnest(places: &[Place]) -> (f64, f64) {
    places
        .iter()
        .fold((f64::INFINITY, f64::INFINITY), |least, p| {
            (
                least.0.min(p.ambient.pressure_pa * 1e-3),
                least.1.min(p.ambient.temperature_k),
            )
        })
}

/// The limits with their reserve taken off.
///
/// A smoke limit above the limit of lambda is a reserve of its own, measured in
/// the same thing; a general reserve is not asked on top of it. How long a
/// reading may be pinned is no strain that a reserve could ease.
fn tightened(
    stated: &[Limit],
    places: &[Place],
    reserve: &Reserve,
    smoke_lambda: Option<f64>,
) -> Vec<Limit> {
    let (ambient_kpa, ambient_k) = thinnest(places);
    stated
        .iter()
        .map(|limit| {
            let single = reserve.single.iter().find(|(kind, _)| *kind == limit.kind);
            let has_its_own = match limit.kind {
                LimitKind::Lambda => smoke_lambda.is_some_and(|smoke| smoke > limit.bound),
                LimitKind::PinnedTime => true,
                _ => false,
            };
            let share = match single {
                Some((_, share)) => *share,
                None if has_its_own => 0.0,
                None => reserve.general,
            };
            // the limit's distance from its natural zero, from what one unit is of it
            let unit_pct = limit.headroom_pct(1.0, ambient_kpa, ambient_k);
            let kept = share * 100.0 / unit_pct;
            let bound = if limit.kind.is_lower() {
                limit.bound + kept
            } else {
                limit.bound - kept
            };
            Limit { bound, ..*limit }
        })
        .collect()
}
