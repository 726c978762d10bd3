//! A controller of one's own, and the program that has it: every command of
//! ringfence, and `controller.form: gentle_close` in a scenario.
//!
//! It moves the vanes from where they are. How fast they may close depends on the
//! drive pressure: freely while it is low, ever slower towards a bound, and beyond
//! that they open. Gains, tables and protections are those of the scenario.
use ringfence::control::{
    BoostControllerSettings, Controller, ControllerForm, Orders, OwnNumber, Protection,
    Protections, Readings, VaneStops,
};
use std::process::ExitCode;

fn main() -> ExitCode {
    ringfence::cli::main_with([form()])
}

const RATE: OwnNumber = OwnNumber::new("closing_rate_pct_s", "fastest closing", 40.0, 1.0..=1e3);
const FREE: OwnNumber = OwnNumber::new("free_to_kpa_abs", "free up to here", 280.0, 50.0..=1e3);
const SPAN: OwnNumber = OwnNumber::new("span_kpa", "from there to the bound", 140.0, 1.0..=1e3);

/// Its name, its numbers and how one is made.
pub fn form() -> ControllerForm {
    ControllerForm::new(
        "gentle_close",
        [RATE, FREE, SPAN],
        |settings, [rate_pct_s, free_kpa, span_kpa]| GentleClose {
            settings: settings.clone(),
            rate_1_s: rate_pct_s * 1e-2,
            bound_pa: (free_kpa + span_kpa) * 1e3,
            span_pa: span_kpa * 1e3,
            protections: Protections::new(settings.protections, settings.readable_ceiling_pa),
            last: Last::default(),
        },
    )
}

struct GentleClose {
    settings: BoostControllerSettings,
    rate_1_s: f64,
    bound_pa: f64,
    span_pa: f64,
    protections: Protections,
    last: Last,
}

/// What it remembers from one step to the next, besides its protections.
#[derive(Default)]
struct Last {
    vanes: f64,
    feed_forward: f64,
    error_pa: f64,
    command_pa: Option<f64>,
}

impl GentleClose {
    /// How fast the vanes may close \[1/s\]; below 0 they have to open. Without a
    /// sensor of drive pressure they always may.
    fn closing_1_s(&self, drive_pressure_pa: Option<f64>) -> f64 {
        let left = drive_pressure_pa.map_or(1.0, |pa| (self.bound_pa - pa) / self.span_pa);
        self.rate_1_s * left.min(1.0)
    }

    /// The command on its way, before the clamp; without fuel it waits at the reading.
    fn command_pa(&self, r: &Readings, fuelled: bool) -> Option<f64> {
        let s = &self.settings;
        let wanted = s.wanted_command_pa(r)?;
        let last = self.last.command_pa.unwrap_or(wanted);
        let next = s.command.as_ref()?.limited_pa(last, wanted, s.period_s);
        Some(if fuelled { next } else { r.boost_pa })
    }
}

impl Controller for GentleClose {
    fn period_s(&self) -> f64 {
        self.settings.period_s
    }

    fn start(&mut self, r: &Readings) {
        let s = &self.settings;
        self.protections = Protections::new(s.protections, s.readable_ceiling_pa);
        self.last = Last::default();
        self.last.vanes = self.feed_forward(r).vane_command;
        self.last.feed_forward = self.last.vanes;
    }

    fn step(&mut self, r: &Readings) -> Orders {
        let tables = self.feed_forward(r);
        let demands = self.protections.watch(r, self.last.vanes);
        let command = self.command_pa(r, tables.fuel_kg > 0.0);
        let clamped = command.map(|pa| self.protections.clamp_command_pa(pa));
        let error_pa = clamped.map_or(0.0, |(pa, _)| pa - r.boost_pa);

        // the scenario's proportional and integral gain, as a move from where we are
        let (s, last) = (&self.settings, &self.last);
        let gains = &s.feedback;
        let wanted = gains.gain_schedule.at(r.engine_speed_rad_s)
            * (gains.proportional_1_pa * (error_pa - last.error_pa)
                + gains.integral_1_pa_s * error_pa * s.period_s);
        let follows = tables.vane_command - last.feed_forward;
        let most = self.closing_1_s(r.drive_pressure_pa) * s.period_s;
        let vanes = last.vanes + (wanted + follows - demands.open_bias).min(most);
        let vanes = s.vane_stops.held(r.engine_speed_rad_s, vanes);

        self.last = Last {
            vanes: demands.fallback.map_or(vanes, |fallback| fallback.vanes),
            feed_forward: tables.vane_command,
            error_pa,
            command_pa: command,
        };
        let opens = if most < 0.0 {
            Protection::DrivePressure.bit()
        } else {
            0
        };
        Orders {
            vane_command: self.last.vanes,
            fuel_kg: tables.fuel_kg * demands.fuel,
            boost_command_pa: clamped.map(|(pa, _)| pa),
            active: demands.active | opens | clamped.map_or(0, |(_, bit)| bit),
            ..tables
        }
    }

    fn feed_forward(&self, r: &Readings) -> Orders {
        self.settings.by_tables(r)
    }

    fn protections(&self) -> u8 {
        self.settings.protections.bits() | Protection::DrivePressure.bit()
    }

    fn beyond_threshold(&self, r: &Readings) -> u8 {
        let beyond = r.drive_pressure_pa.is_some_and(|pa| pa > self.bound_pa);
        let own = if beyond {
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
        self.settings.highest_command_pa()
    }

    fn meets_command(&self) -> bool {
        true
    }

    fn rests_at(&self, r: &Readings, _vane_closed: f64) -> bool {
        self.beyond_threshold(r) == 0
    }
}
