//! The built-in boost controller: command, feed-forward, PID, protections.
use super::{
    BoostCommand, Controller, Feedback, FeedbackSettings, FeedbackTick, FuelSchedule, Orders,
    ProtectionSettings, Protections, Readings, VaneStops,
};
use crate::map::{Table1, Table2};

/// Everything that a calibrator sets.
#[derive(Debug, Clone, PartialEq)]
pub struct BoostControllerSettings {
    /// Period \[s\].
    pub period_s: f64,
    /// Boost command; `None` holds the vanes at the feed-forward position.
    pub command: Option<BoostCommand>,
    /// Feed-forward vane position over engine speed \[rad/s\] and fuel
    /// \[kg per injection\], 0 open to 1 closed.
    pub feed_forward: Table2,
    /// PID.
    pub feedback: FeedbackSettings,
    /// Whether the feedback rests while no fuel is injected.
    pub rests_without_fuel: bool,
    /// Vane stops by speed.
    pub vane_stops: VaneStops,
    /// Fuel.
    pub fuel: FuelSchedule,
    /// Opening of the recirculation valve over fuel \[kg per injection → -\]; the
    /// fuel is that of the tables, before the smoke limit, so that the valve shuts
    /// as soon as full load is asked for.
    pub recirculation: Table1,
    /// Protections.
    pub protections: ProtectionSettings,
    /// Highest reading that the boost sensor can give, as the controller knows
    /// it \[Pa abs\].
    pub readable_ceiling_pa: f64,
    /// Share of the full-load fuel that is given over engine speed
    /// \[rad/s → -\]: a derate.
    pub fuel_scale: Table1,
}

impl BoostControllerSettings {
    /// What the tables give without feedback: feed-forward vanes within their stops,
    /// fuel within full load, derate and smoke limit, timing, recirculation.
    pub fn by_tables(&self, r: &Readings) -> Orders {
        let table_fuel_kg = self.table_fuel_kg(r);
        let vanes = self.feed_forward.at(r.engine_speed_rad_s, table_fuel_kg);
        Orders {
            vane_command: self.vane_stops.held(r.engine_speed_rad_s, vanes),
            fuel_kg: self
                .fuel
                .fuel_kg(table_fuel_kg, r.engine_speed_rad_s, r.boost_pa, r.intake_k),
            advance_deg: self.fuel.timing.at(r.engine_speed_rad_s),
            recirculation_open: self.recirculation.at(table_fuel_kg),
            boost_command_pa: None,
            integrator: 0.0,
            active: 0,
        }
    }

    /// The boost command of the tables, before rate limit and clamp \[Pa abs\];
    /// `None` without boost control.
    pub fn wanted_command_pa(&self, r: &Readings) -> Option<f64> {
        let command = self.command.as_ref()?;
        Some(command.wanted_pa(
            r.engine_speed_rad_s,
            self.table_fuel_kg(r),
            self.most_fuel_kg(r.engine_speed_rad_s),
            r.ambient_pa,
        ))
    }

    /// Highest command that the clamp lets through \[Pa abs\]; `None` without one.
    pub fn highest_command_pa(&self) -> Option<f64> {
        let clamp = self.protections.command_clamp?;
        Some(self.readable_ceiling_pa - clamp.margin_pa)
    }

    /// Fuel axis of the tables \[kg per injection\]: what is asked within the
    /// full-load table, before the smoke limit, so that a lack of boost does not
    /// lower the command for boost.
    pub fn table_fuel_kg(&self, r: &Readings) -> f64 {
        r.fuel_asked_kg.min(self.most_fuel_kg(r.engine_speed_rad_s))
    }

    /// Full-load fuel with the derate \[kg per injection\].
    fn most_fuel_kg(&self, engine_speed_rad_s: f64) -> f64 {
        self.fuel.full_load.at(engine_speed_rad_s) * self.fuel_scale.at(engine_speed_rad_s)
    }
}

/// The controller with its memory.
#[derive(Debug, Clone)]
pub struct BoostController {
    settings: BoostControllerSettings,
    feedback: Feedback,
    protections: Protections,
    last_command_pa: Option<f64>,
    last_vane: f64,
}

impl BoostController {
    /// A controller at rest.
    pub fn new(settings: BoostControllerSettings) -> Self {
        let protections = Protections::new(settings.protections, settings.readable_ceiling_pa);
        Self {
            settings,
            feedback: Feedback::empty(),
            protections,
            last_command_pa: None,
            last_vane: 0.0,
        }
    }

    /// Its settings.
    pub fn settings(&self) -> &BoostControllerSettings {
        &self.settings
    }

    /// Whether the feedback rests at this fuel: a torque cut tells it nothing
    /// about the boost that the vanes could bring.
    fn rests(&self, table_fuel_kg: f64) -> bool {
        self.settings.rests_without_fuel && table_fuel_kg <= 0.0
    }

    fn command_pa(&mut self, r: &Readings) -> (Option<f64>, u8) {
        let s = &self.settings;
        let (Some(command), Some(wanted)) = (&s.command, s.wanted_command_pa(r)) else {
            return (None, 0);
        };
        let last = self.last_command_pa.unwrap_or(wanted);
        let limited = if self.rests(s.table_fuel_kg(r)) {
            // waits at the reading, to rise from there
            r.boost_pa
        } else {
            command.limited_pa(last, wanted, s.period_s)
        };
        let (clamped, bit) = self.protections.clamp_command_pa(limited);
        self.last_command_pa = Some(limited);
        (Some(clamped), bit)
    }
}

impl Controller for BoostController {
    fn period_s(&self) -> f64 {
        self.settings.period_s
    }

    fn start(&mut self, readings: &Readings) {
        self.feedback = Feedback::empty();
        self.protections =
            Protections::new(self.settings.protections, self.settings.readable_ceiling_pa);
        self.last_command_pa = None;
        self.last_vane = self.feed_forward(readings).vane_command;
    }

    fn step(&mut self, r: &Readings) -> Orders {
        let (command_pa, clamp_bit) = self.command_pa(r);
        let demands = self.protections.watch(r, self.last_vane);
        let feed_forward = self.feed_forward(r);
        let rests = self.rests(self.settings.table_fuel_kg(r));
        if rests {
            self.feedback.rest();
        }
        let s = &self.settings;
        let vane_command = match (demands.fallback, command_pa) {
            (Some(fallback), _) => fallback.vanes,
            (None, command) if rests || command.is_none() => s.vane_stops.held(
                r.engine_speed_rad_s,
                feed_forward.vane_command - demands.open_bias,
            ),
            (None, command) => {
                let command_pa = command.unwrap_or(r.boost_pa);
                let tick = FeedbackTick {
                    engine_speed_rad_s: r.engine_speed_rad_s,
                    command_pa,
                    reading_pa: r.boost_pa,
                    feed_forward: feed_forward.vane_command,
                    open_bias: demands.open_bias,
                    step_s: s.period_s,
                };
                self.feedback.step(&s.feedback, &s.vane_stops, &tick)
            }
        };
        self.last_vane = vane_command;
        Orders {
            vane_command,
            fuel_kg: feed_forward.fuel_kg * demands.fuel,
            advance_deg: feed_forward.advance_deg,
            recirculation_open: feed_forward.recirculation_open,
            boost_command_pa: command_pa,
            integrator: self.feedback.integral(),
            active: demands.active | clamp_bit,
        }
    }

    fn beyond_threshold(&self, values: &Readings) -> u8 {
        self.protections.beyond_threshold(values)
    }

    fn protections(&self) -> u8 {
        self.settings.protections.bits()
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

    /// Where the integrator may hold the vanes so far from the feed-forward position,
    /// and no protection is called for.
    fn rests_at(&self, readings: &Readings, vane_closed: f64) -> bool {
        let away = vane_closed - self.feed_forward(readings).vane_command;
        away.abs() < self.settings.feedback.integrator_authority
            && self.beyond_threshold(readings) == 0
    }

    fn feed_forward(&self, r: &Readings) -> Orders {
        self.settings.by_tables(r)
    }
}
