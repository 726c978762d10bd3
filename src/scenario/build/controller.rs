//! The controller's part of a scenario.
use super::plant::{assumed_volumetric_efficiency, table};
use super::{BuildFailure, elements};
use crate::control::{
    AntiWindup, BoostCommand, BoostControllerSettings, CommandClamp, CommandReference,
    DrivePressureLimiter, FeedbackSettings, FrozenSensor, FuelSchedule, FullLoadCommand, OverBoost,
    PinnedSensor, ProtectionSettings, ShaftSpeedLimiter, SmokeLimit, VaneStops,
};
use crate::map::{Table1, Table2};
use crate::plant::Plant;
use crate::quantity::{FuelQuantity, Pressure, RotationalSpeed};
use crate::scenario::checked::{
    self, CommandTable, Controller, OpenLoopVanes, Scenario, WithoutFuel,
};
use crate::simulation::{OpenLoop, Sensors};

/// Period of a rig without a controller and without a period of its own \[s\].
const OPEN_LOOP_PERIOD_S: f64 = 0.01;

/// The settings of the built-in controller. Without a `controller` section the
/// vanes are held by open loop and only the fuel table acts.
pub fn controller(
    s: &Scenario,
    plant: &Plant,
    sensors: &Sensors,
) -> Result<BoostControllerSettings, BuildFailure> {
    let fuel = fuel(s, plant)?;
    let recirculation = elements::recirculation_opening(s)?;
    let readable_ceiling_pa = sensors.boost.chain.readable_ceiling_pa();
    let Some(c) = &s.controller else {
        return Ok(BoostControllerSettings {
            period_s: s
                .open_loop
                .as_ref()
                .map_or(OPEN_LOOP_PERIOD_S, |o| o.period.s()),
            command: None,
            feed_forward: Table2::constant(0.0),
            feedback: no_feedback(),
            rests_without_fuel: false,
            vane_stops: VaneStops::whole_travel(),
            fuel,
            recirculation,
            protections: ProtectionSettings::default(),
            readable_ceiling_pa,
            fuel_scale: Table1::constant(1.0),
        });
    };
    Ok(BoostControllerSettings {
        period_s: c.period.s(),
        command: Some(command(c)?),
        feed_forward: table2(
            "controller.feed_forward",
            &c.feed_forward.engine_speed,
            &c.feed_forward.fuel,
            c.feed_forward.vanes.iter().flatten().map(|v| v.fraction()),
        )?,
        feedback: feedback(c)?,
        rests_without_fuel: c.feedback.without_fuel == WithoutFuel::Rests,
        vane_stops: vane_stops(c)?,
        fuel,
        recirculation,
        protections: protections(&c.protections),
        readable_ceiling_pa,
        fuel_scale: Table1::constant(1.0),
    })
}

/// What holds the vanes in open loop.
pub fn open_loop(open_loop: &checked::OpenLoop) -> OpenLoop {
    match &open_loop.vanes {
        OpenLoopVanes::Closed(f) => OpenLoop::Position(f.fraction()),
        OpenLoopVanes::DrivePressure(p) => OpenLoop::DrivePressure(p.pa()),
        OpenLoopVanes::Boost(p) => OpenLoop::Boost(p.pa()),
    }
}

fn table2(
    path: &'static str,
    speeds: &[RotationalSpeed],
    fuels: &[FuelQuantity],
    values: impl Iterator<Item = f64>,
) -> Result<Table2, BuildFailure> {
    Table2::new(
        speeds.iter().map(|n| n.rad_s()).collect(),
        fuels.iter().map(|q| q.kg()).collect(),
        values.collect(),
    )
    .map_err(|error| BuildFailure::Table { path, error })
}

fn command(c: &Controller) -> Result<BoostCommand, BuildFailure> {
    let command = &c.command;
    let (reference, values): (_, Vec<f64>) = match &command.boost {
        CommandTable::Absolute(rows) => (
            CommandReference::Absolute,
            rows.iter().flatten().map(|p| p.pa()).collect(),
        ),
        CommandTable::Gauge(rows) => (
            CommandReference::Gauge,
            rows.iter().flatten().map(|p| p.pa()).collect(),
        ),
    };
    Ok(BoostCommand {
        table: table2(
            "controller.command",
            &command.engine_speed,
            &command.fuel,
            values.into_iter(),
        )?,
        reference,
        barometric_correction: command.barometric.map_or(0.0, |b| b.correction),
        barometric_reference_pa: command.barometric.map_or(0.0, |b| b.reference.pa()),
        rate_limit_pa_s: command.rate_limit.map_or(f64::INFINITY, |r| r.pa_s()),
        full_load_shift_pa: command.full_load_shift.pa(),
        full_load: command.full_load.map(|pressure| {
            let (pa, reference) = match pressure {
                Pressure::Absolute(p) => (p.pa(), CommandReference::Absolute),
                Pressure::Gauge(p) => (p.pa(), CommandReference::Gauge),
            };
            FullLoadCommand {
                over_speed: Table1::constant(pa),
                reference,
            }
        }),
    })
}

fn feedback(c: &Controller) -> Result<FeedbackSettings, BuildFailure> {
    let f = &c.feedback;
    Ok(FeedbackSettings {
        proportional_1_pa: f.proportional.per_pa(),
        integral_1_pa_s: f.integral.per_pa_s(),
        derivative_s_pa: f.derivative.s_per_pa(),
        gain_schedule: match &f.gain_schedule {
            None => Table1::constant(1.0),
            Some(g) => table(
                "controller.feedback.gain_schedule",
                g.engine_speed.iter().map(|n| n.rad_s()),
                g.factor.iter().copied(),
            )?,
        },
        anti_windup: match &f.anti_windup {
            checked::AntiWindup::None => AntiWindup::None,
            checked::AntiWindup::Clamping => AntiWindup::Clamping,
            checked::AntiWindup::BackCalculation(t) => AntiWindup::BackCalculation(t.s()),
        },
        integrator_authority: f.integrator_authority.fraction(),
    })
}

fn no_feedback() -> FeedbackSettings {
    FeedbackSettings {
        proportional_1_pa: 0.0,
        integral_1_pa_s: 0.0,
        derivative_s_pa: 0.0,
        gain_schedule: Table1::constant(1.0),
        anti_windup: AntiWindup::Clamping,
        integrator_authority: 0.0,
    }
}

fn vane_stops(c: &Controller) -> Result<VaneStops, BuildFailure> {
    let Some(v) = &c.vane_stops else {
        return Ok(VaneStops::whole_travel());
    };
    let over_speed = |path, values: &[crate::quantity::Fraction]| {
        table(
            path,
            v.engine_speed.iter().map(|n| n.rad_s()),
            values.iter().map(|f| f.fraction()),
        )
    };
    Ok(VaneStops {
        most_open: over_speed("controller.vane_stops.most_open", &v.most_open)?,
        most_closed: over_speed("controller.vane_stops.most_closed", &v.most_closed)?,
    })
}

fn fuel(s: &Scenario, plant: &Plant) -> Result<FuelSchedule, BuildFailure> {
    let geometry = plant.engine.geometry();
    let smoke = match s.controller.as_ref().and_then(|c| c.smoke_limit) {
        None => None,
        Some(lambda) => Some(SmokeLimit {
            lambda,
            stoichiometric_air_fuel: plant.gas.stoichiometric_air_fuel(),
            cylinder_m3: geometry.displacement_m3 / geometry.cylinders,
            volumetric_efficiency: assumed_volumetric_efficiency(s)?,
            gas_constant_j_kg_k: plant.gas.gas_constant_j_kg_k(0.0),
        }),
    };
    Ok(FuelSchedule {
        full_load: table(
            "fuel.full_load",
            s.fuel.full_load.engine_speed.iter().map(|n| n.rad_s()),
            s.fuel.full_load.quantity.iter().map(|q| q.kg()),
        )?,
        timing: table(
            "fuel.timing",
            s.fuel.timing.engine_speed.iter().map(|n| n.rad_s()),
            s.fuel.timing.advance.iter().map(|a| a.deg()),
        )?,
        smoke,
    })
}

/// How far the vane command must move before a still reading counts as frozen.
const FROZEN_WHILE_VANES_MOVE: f64 = 0.05;

fn protections(p: &checked::Protections) -> ProtectionSettings {
    ProtectionSettings {
        command_clamp: p.command_clamp.as_ref().map(|c| CommandClamp {
            margin_pa: c.margin.pa(),
        }),
        pinned_sensor: p.pinned_sensor.as_ref().map(|c| PinnedSensor {
            within_pa: c.within.pa(),
            for_s: c.r#for.s(),
            vanes: c.vanes.fraction(),
            fuel: c.fuel.fraction(),
        }),
        frozen_sensor: p.frozen_sensor.as_ref().map(|c| FrozenSensor {
            for_s: c.r#for.s(),
            while_vanes_move: FROZEN_WHILE_VANES_MOVE,
            vanes: c.vanes.fraction(),
            fuel: c.fuel.fraction(),
        }),
        drive_pressure: p.drive_pressure.as_ref().map(|c| DrivePressureLimiter {
            above_pa: c.above.pa(),
            gain_1_pa: c.gain.per_pa(),
        }),
        shaft_speed: p.shaft_speed.as_ref().map(|c| ShaftSpeedLimiter {
            above_rad_s: c.above.rad_s(),
            gain_s_rad: c.gain.s_per_rad(),
        }),
        over_boost: p.over_boost.as_ref().map(|c| OverBoost {
            above_pa: c.above.pa(),
            for_s: c.r#for.s(),
            cut: c.fuel_cut.fraction(),
        }),
    }
}
