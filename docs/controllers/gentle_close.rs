//! A controller of one's own, and the program that has it: every command of
//! ringfence, and `controller.form: gentle_close` in a scenario.
//!
//! It moves the vanes from where they are, and how fast they may close depends on
//! the drive pressure: freely while it is low, ever slower towards a bound, and back
//! beyond it. There is no integrator that could run away behind a pinned sensor.
use ringfence::control::{
    BoostControllerSettings, Controller, ControllerForm, Orders, OwnNumber, Protection,
    Protections, Readings, VaneStops,
};
use std::process::ExitCode;

fn main() -> ExitCode {
    ringfence::cli::main_with([form()])
}

/// A number of its own, all at least 0.
const fn own(name: &'static str, says: &'static str, default: f64, most: f64) -> OwnNumber {
    let least = 0.0;
    OwnNumber {
        name,
        says,
        default,
        least,
        most,
    }
}

/// Its name, its numbers and how one is made.
pub fn form() -> ControllerForm {
    let numbers = [
        own(
            "closing_rate_pct_s",
            "fastest closing at low drive pressure",
            40.0,
            1000.0,
        ),
        own(
            "free_to_kpa_abs",
            "drive pressure up to which closing is free",
            380.0,
            2000.0,
        ),
        own(
            "hold_at_kpa_abs",
            "drive pressure at which closing ends",
            500.0,
            2000.0,
        ),
        own(
            "margin_kpa",
            "kept between command and readable ceiling",
            14.0,
            200.0,
        ),
    ];
    ControllerForm::new(
        "gentle_close",
        numbers,
        |settings, [rate, free, hold, margin]| GentleClose {
            settings: settings.clone(),
            closing_rate_1_s: rate * 1e-2,
            free_to_pa: free * 1e3,
            hold_at_pa: hold * 1e3,
            highest_command_pa: settings.readable_ceiling_pa - margin * 1e3,
            protections: Protections::new(settings.protections, settings.readable_ceiling_pa),
            last: Last::default(),
        },
    )
}

struct GentleClose {
    settings: BoostControllerSettings,
    closing_rate_1_s: f64,
    free_to_pa: f64,
    hold_at_pa: f64,
    highest_command_pa: f64,
    protections: Protections,
    last: Last,
}

/// All that it remembers from one step to the next.
#[derive(Default)]
struct Last {
    vanes: f64,
    feed_forward: f64,
    error_pa: f64,
    command_pa: Option<f64>,
}

impl GentleClose {
    /// How fast the vanes may close \[1/s\]: all of the rate up to one drive pressure,
    /// none at the other, and beyond it so fast they must open. Without such a sensor
    /// all of it.
    fn closing_1_s(&self, drive_pressure_pa: Option<f64>) -> f64 {
        let span_pa = (self.hold_at_pa - self.free_to_pa).max(1.0);
        let left = drive_pressure_pa.map_or(1.0, |pa| (self.hold_at_pa - pa) / span_pa);
        self.closing_rate_1_s * left.min(1.0)
    }

    /// The command after rate limit and clamp, and whether the clamp holds it. Without
    /// fuel it waits at the reading.
    fn command_pa(&mut self, r: &Readings, fuelled: bool) -> Option<(f64, bool)> {
        let wanted = self.settings.wanted_command_pa(r)?;
        let last = self.last.command_pa.unwrap_or(wanted);
        let command = self.settings.command.as_ref()?;
        let next = match fuelled {
            true => command.limited_pa(last, wanted, self.settings.period_s),
            false => r.boost_pa,
        };
        self.last.command_pa = Some(next);
        Some((
            next.min(self.highest_command_pa),
            next > self.highest_command_pa,
        ))
    }
}

impl Controller for GentleClose {
    fn period_s(&self) -> f64 {
        self.settings.period_s
    }

    fn start(&mut self, r: &Readings) {
        let s = &self.settings;
        self.protections = Protections::new(s.protections, s.readable_ceiling_pa);
        let vanes = self.feed_forward(r).vane_command;
        self.last = Last {
            vanes,
            feed_forward: vanes,
            ..Last::default()
        };
    }

    fn step(&mut self, r: &Readings) -> Orders {
        let tables = self.feed_forward(r);
        let demands = self.protections.watch(r, self.last.vanes);
        let command = self.command_pa(r, tables.fuel_kg > 0.0);
        let error_pa = command.map_or(0.0, |(pa, _)| pa - r.boost_pa);

        // the scenario's own gains, but as a move from where the vanes are
        let s = &self.settings;
        let factor = s.feedback.gain_schedule.at(r.engine_speed_rad_s);
        let proportional = s.feedback.proportional_1_pa * (error_pa - self.last.error_pa);
        let integral = s.feedback.integral_1_pa_s * error_pa * s.period_s;
        let wanted = tables.vane_command - self.last.feed_forward
            + factor * (proportional + integral)
            - demands.open_bias;
        let most = self.closing_1_s(r.drive_pressure_pa) * s.period_s;
        let moved = s
            .vane_stops
            .held(r.engine_speed_rad_s, self.last.vanes + wanted.min(most));
        let vanes = demands.fallback.map_or(moved, |fallback| fallback.vanes);

        self.last.vanes = vanes;
        self.last.feed_forward = tables.vane_command;
        self.last.error_pa = error_pa;
        let acts = |protection: Protection, on: bool| if on { protection.bit() } else { 0 };
        Orders {
            vane_command: vanes,
            fuel_kg: tables.fuel_kg * demands.fuel,
            boost_command_pa: command.map(|(pa, _)| pa),
            active: demands.active
                | acts(
                    Protection::CommandClamp,
                    command.is_some_and(|(_, held)| held),
                )
                | acts(Protection::DrivePressure, most < 0.0),
            ..tables
        }
    }

    fn feed_forward(&self, r: &Readings) -> Orders {
        self.settings.by_tables(r)
    }

    fn protections(&self) -> u8 {
        let own = Protection::CommandClamp.bit() | Protection::DrivePressure.bit();
        self.settings.protections.bits() | own
    }

    fn beyond_threshold(&self, r: &Readings) -> u8 {
        let held = r.drive_pressure_pa.is_some_and(|pa| pa > self.hold_at_pa);
        let own = if held {
            Protection::DrivePressure.bit()
        } else {
            0
        };
        self.protections.beyond_threshold(r) | own
    }

    fn vane_stops(&self) -> VaneStops {
        self.settings.vane_stops.clone()
    }

    fn highest_command_pa(&self) -> Option<f64> {
        Some(self.highest_command_pa)
    }

    fn meets_command(&self) -> bool {
        true
    }

    fn rests_at(&self, r: &Readings, _vane_closed: f64) -> bool {
        self.beyond_threshold(r) == 0
    }
}
