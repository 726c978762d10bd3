//! Whether a controller takes up the command that a search sets: without that, what
//! holds says nothing about the command.
use super::plan::command_everywhere;
use super::window::full_fuel;
use crate::control::Readings;
use crate::simulation::Rig;

/// A command this close to the one that was set is that one \[Pa\].
const SAME_PA: f64 = 1.0;
/// A rate limit may take this long \[s\].
const WITHIN_S: f64 = 60.0;

/// Sets two commands at full load, one after the other, and looks whether the
/// controller says that it uses them, with boost already there.
pub fn follows_command(rig: &Rig, speed_rad_s: f64) -> bool {
    let controller = rig.fresh_controller();
    let ambient_pa = rig.plant.ambient.pressure_pa;
    let readable_pa = rig.sensors.boost.chain.readable_ceiling_pa();
    let highest_pa =
        (controller.highest_command_pa()).map_or(readable_pa, |pa| pa.min(readable_pa));
    [0.3, 0.6].into_iter().all(|share| {
        let command_pa = ambient_pa + share * (highest_pa - ambient_pa).max(0.0);
        takes_up(rig, speed_rad_s, command_pa)
    })
}

fn takes_up(rig: &Rig, speed_rad_s: f64, command_pa: f64) -> bool {
    let mut rig = rig.clone();
    command_everywhere(&mut rig, command_pa);
    let mut controller = rig.fresh_controller();
    let period_s = controller.period_s();
    if period_s.is_nan() || period_s <= 0.0 {
        return false;
    }
    let mut readings = Readings {
        engine_speed_rad_s: speed_rad_s,
        fuel_asked_kg: rig.fuel_asked_kg(&full_fuel(speed_rad_s)),
        boost_pa: command_pa,
        ambient_pa: rig.plant.ambient.pressure_pa,
        intake_k: rig.plant.ambient.temperature_k,
        drive_pressure_pa: rig.sensors.drive_pressure.map(|_| command_pa),
        shaft_speed_rad_s: rig.sensors.shaft_speed.map(|_| 0.0),
        ..Readings::default()
    };
    controller.start(&readings);
    while readings.time_s <= WITHIN_S {
        let used_pa = controller.step(&readings).boost_command_pa;
        if used_pa.is_some_and(|pa| (pa - command_pa).abs() <= SAME_PA) {
            return true;
        }
        readings.time_s += period_s;
    }
    false
}
