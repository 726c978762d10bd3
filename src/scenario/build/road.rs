//! The road of a scenario.
use super::{BuildFailure, ambient_at, fuel};
use crate::procedure::{
    Climb, ClimbEnd, ClimbStart, Gearbox, Pedal, Procedure, RoadProfile, Vehicle,
};
use crate::scenario::checked::{self, AmbientSource, Scenario};

/// How much warmer than standard the day is \[K\].
pub fn temperature_offset_k(scenario: &Scenario) -> f64 {
    match scenario.ambient.source {
        AmbientSource::Altitude {
            temperature_offset, ..
        } => temperature_offset.k(),
        AmbientSource::Given { .. } => 0.0,
    }
}

/// Where the procedure begins, if it says so \[m\]. The atmosphere is looked at
/// there and at the ends of the road, so that a run finds it everywhere.
pub fn first_altitude_m(
    scenario: &Scenario,
    procedure: &Procedure,
) -> Result<Option<f64>, BuildFailure> {
    for altitude_m in procedure.altitudes_m() {
        ambient_at(scenario, altitude_m)?;
    }
    Ok(procedure.at(0.0).altitude_m)
}

/// A climb as it is driven.
pub fn climb(scenario: &Scenario, c: &checked::Climb) -> Result<Climb, BuildFailure> {
    let v = &c.vehicle;
    let table = &scenario.fuel.full_load.engine_speed;
    let ends = |list: &[crate::quantity::RotationalSpeed]| {
        let first = list.first().map_or(0.0, |n| n.rad_s());
        (first, list.last().map_or(first, |n| n.rad_s()))
    };
    Ok(Climb {
        road: RoadProfile::new(
            c.road.distance.iter().map(|d| d.m()).collect(),
            c.road.altitude.iter().map(|h| h.m()).collect(),
        )?,
        vehicle: Vehicle {
            mass_kg: v.mass.kg(),
            drag_area_m2: v.drag_area.m2(),
            rolling_resistance: v.rolling_resistance,
            tyre_radius_m: v.tyre_radius.m(),
            wheel_inertia_kg_m2: v.wheel_inertia.kg_m2(),
            engine_inertia_kg_m2: v.engine_inertia.kg_m2(),
            driveline_efficiency: v.driveline_efficiency,
        },
        gearbox: Gearbox {
            ratios: v.gears.iter().map(|gear| gear * v.final_drive).collect(),
            up_at_rad_s: c.gear_change.up_at.rad_s(),
            down_at_rad_s: c.gear_change.down_at.rad_s(),
            cut_s: c.gear_change.cut.s(),
            resume_s: c.gear_change.resume.s(),
            apart_s: c.gear_change.apart.s(),
        },
        start: ClimbStart {
            gear: c.start.gear as u8,
            speed_rad_s: c.start.engine_speed.rad_s(),
        },
        pedal: Pedal {
            fuel: fuel(c.pedal),
            hold_m_s: c.hold_speed.map(|v| v.m_s()),
        },
        until: match &c.until {
            checked::ClimbEnd::RoadEnd => ClimbEnd::Road,
            checked::ClimbEnd::Distance(d) => ClimbEnd::Distance(d.m()),
            checked::ClimbEnd::Duration(t) => ClimbEnd::Duration(t.s()),
        },
        engine_range_rad_s: ends(table),
    })
}
