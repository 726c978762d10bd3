//! Protections, each of its own: what it watches, when it acts, what it does.
//!
//! Their bits follow [`Protection`]; names are those of the results.
use super::Readings;

/// The protections in the order of their bits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[repr(u8)]
#[allow(missing_docs)]
pub enum Protection {
    CommandClamp = 0,
    PinnedSensor = 1,
    FrozenSensor = 2,
    DrivePressure = 3,
    ShaftSpeed = 4,
    OverBoost = 5,
}

impl Protection {
    /// Its bit.
    pub fn bit(self) -> u8 {
        1 << (self as u8)
    }
}

/// Holds the command below the readable ceiling.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CommandClamp {
    /// Distance kept from the readable ceiling \[Pa\].
    pub margin_pa: f64,
}

/// Falls back when the reading stands at the readable ceiling.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PinnedSensor {
    /// How close to the ceiling counts as pinned \[Pa\].
    pub within_pa: f64,
    /// For how long before it acts \[s\].
    pub for_s: f64,
    /// Vane position of the fallback \[-\].
    pub vanes: f64,
    /// Share of the fuel in the fallback \[-\].
    pub fuel: f64,
}

/// Falls back when the reading does not move although the vane command does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FrozenSensor {
    /// For how long before it acts \[s\].
    pub for_s: f64,
    /// How far the vane command must have moved meanwhile \[-\].
    pub while_vanes_move: f64,
    /// Vane position of the fallback \[-\].
    pub vanes: f64,
    /// Share of the fuel in the fallback \[-\].
    pub fuel: f64,
}

/// Opens the vanes in proportion to drive pressure beyond a bound.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DrivePressureLimiter {
    /// The bound \[Pa abs\].
    pub above_pa: f64,
    /// Opening per pascal beyond \[1/Pa\].
    pub gain_1_pa: f64,
}

/// Opens the vanes in proportion to shaft speed beyond a bound.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShaftSpeedLimiter {
    /// The bound \[rad/s\].
    pub above_rad_s: f64,
    /// Opening per rad/s beyond \[s/rad\].
    pub gain_s_rad: f64,
}

/// Cuts fuel while the boost reading is too high. It watches the same reading
/// as the controller, so a pinned sensor blinds it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OverBoost {
    /// The bound \[Pa abs\].
    pub above_pa: f64,
    /// For how long before it acts \[s\].
    pub for_s: f64,
    /// Share of the fuel that is cut \[-\].
    pub cut: f64,
}

/// Which protections a controller has.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[allow(missing_docs)]
pub struct ProtectionSettings {
    pub command_clamp: Option<CommandClamp>,
    pub pinned_sensor: Option<PinnedSensor>,
    pub frozen_sensor: Option<FrozenSensor>,
    pub drive_pressure: Option<DrivePressureLimiter>,
    pub shaft_speed: Option<ShaftSpeedLimiter>,
    pub over_boost: Option<OverBoost>,
}

impl ProtectionSettings {
    /// Bits of those that are set.
    pub fn bits(&self) -> u8 {
        let set = [
            (Protection::CommandClamp, self.command_clamp.is_some()),
            (Protection::PinnedSensor, self.pinned_sensor.is_some()),
            (Protection::FrozenSensor, self.frozen_sensor.is_some()),
            (Protection::DrivePressure, self.drive_pressure.is_some()),
            (Protection::ShaftSpeed, self.shaft_speed.is_some()),
            (Protection::OverBoost, self.over_boost.is_some()),
        ];
        let bits = set.iter().filter(|(_, is_set)| *is_set);
        bits.fold(0, |all, (protection, _)| all | protection.bit())
    }
}

/// The protections with their memory.
#[derive(Debug, Clone, PartialEq)]
pub struct Protections {
    settings: ProtectionSettings,
    readable_ceiling_pa: f64,
    pinned_since_s: Option<f64>,
    latched: Option<Fallback>,
    still: Option<Still>,
    over_boost_since_s: Option<f64>,
}

/// A reading that has not moved since.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Still {
    since_s: f64,
    reading_pa: f64,
    lowest_vane: f64,
    highest_vane: f64,
}

/// What a fallback orders.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fallback {
    /// Vane position \[-\].
    pub vanes: f64,
    /// Share of the fuel \[-\].
    pub fuel: f64,
    /// The protection that ordered it.
    pub by: Protection,
}

/// What the protections ask of the controller at a tick.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Demands {
    /// A fallback replaces the feedback.
    pub fallback: Option<Fallback>,
    /// Opening asked for by the limiters \[-\].
    pub open_bias: f64,
    /// Share of the fuel that remains \[-\].
    pub fuel: f64,
    /// Bits of those that act.
    pub active: u8,
}

impl Protections {
    /// Fresh protections that know the highest value their reading can take.
    pub fn new(settings: ProtectionSettings, readable_ceiling_pa: f64) -> Self {
        Self {
            settings,
            readable_ceiling_pa,
            pinned_since_s: None,
            latched: None,
            still: None,
            over_boost_since_s: None,
        }
    }

    /// The command with the clamp applied, and whether it acted.
    pub fn clamp_command_pa(&self, command_pa: f64) -> (f64, u8) {
        match self.settings.command_clamp {
            Some(c) if command_pa > self.readable_ceiling_pa - c.margin_pa => (
                self.readable_ceiling_pa - c.margin_pa,
                Protection::CommandClamp.bit(),
            ),
            _ => (command_pa, 0),
        }
    }

    /// Watches one tick. `vane_command` is the order of the tick before.
    pub fn watch(&mut self, r: &Readings, vane_command: f64) -> Demands {
        self.watch_pinned(r);
        self.watch_frozen(r, vane_command);
        let mut demands = Demands {
            fallback: self.latched,
            open_bias: 0.0,
            fuel: self.latched.map_or(1.0, |f| f.fuel),
            active: self.latched.map_or(0, |f| f.by.bit()),
        };
        if let (Some(l), Some(p)) = (self.settings.drive_pressure, r.drive_pressure_pa)
            && p > l.above_pa
        {
            demands.open_bias += l.gain_1_pa * (p - l.above_pa);
            demands.active |= Protection::DrivePressure.bit();
        }
        if let (Some(l), Some(w)) = (self.settings.shaft_speed, r.shaft_speed_rad_s)
            && w > l.above_rad_s
        {
            demands.open_bias += l.gain_s_rad * (w - l.above_rad_s);
            demands.active |= Protection::ShaftSpeed.bit();
        }
        if self.over_boost_acts(r) {
            let cut = self.settings.over_boost.map_or(0.0, |o| o.cut);
            demands.fuel *= 1.0 - cut;
            demands.active |= Protection::OverBoost.bit();
        }
        demands
    }

    /// Bits of the protections whose threshold these values exceed.
    pub fn beyond_threshold(&self, v: &Readings) -> u8 {
        let s = &self.settings;
        let mut bits = 0;
        if s.over_boost.is_some_and(|o| v.boost_pa > o.above_pa) {
            bits |= Protection::OverBoost.bit();
        }
        if let (Some(l), Some(p)) = (s.drive_pressure, v.drive_pressure_pa)
            && p > l.above_pa
        {
            bits |= Protection::DrivePressure.bit();
        }
        if let (Some(l), Some(w)) = (s.shaft_speed, v.shaft_speed_rad_s)
            && w > l.above_rad_s
        {
            bits |= Protection::ShaftSpeed.bit();
        }
        bits
    }

    fn watch_pinned(&mut self, r: &Readings) {
        let Some(p) = self.settings.pinned_sensor else {
            return;
        };
        if r.boost_pa < self.readable_ceiling_pa - p.within_pa {
            self.pinned_since_s = None;
            return;
        }
        let since = *self.pinned_since_s.get_or_insert(r.time_s);
        if r.time_s - since >= p.for_s && self.latched.is_none() {
            self.latched = Some(Fallback {
                vanes: p.vanes,
                fuel: p.fuel,
                by: Protection::PinnedSensor,
            });
        }
    }

    fn watch_frozen(&mut self, r: &Readings, vane_command: f64) {
        let Some(f) = self.settings.frozen_sensor else {
            return;
        };
        let still = match self.still {
            Some(s) if s.reading_pa == r.boost_pa => Still {
                lowest_vane: s.lowest_vane.min(vane_command),
                highest_vane: s.highest_vane.max(vane_command),
                ..s
            },
            _ => Still {
                since_s: r.time_s,
                reading_pa: r.boost_pa,
                lowest_vane: vane_command,
                highest_vane: vane_command,
            },
        };
        self.still = Some(still);
        let moved = still.highest_vane - still.lowest_vane;
        if r.time_s - still.since_s >= f.for_s
            && moved > f.while_vanes_move
            && self.latched.is_none()
        {
            self.latched = Some(Fallback {
                vanes: f.vanes,
                fuel: f.fuel,
                by: Protection::FrozenSensor,
            });
        }
    }

    fn over_boost_acts(&mut self, r: &Readings) -> bool {
        let Some(o) = self.settings.over_boost else {
            return false;
        };
        if r.boost_pa <= o.above_pa {
            self.over_boost_since_s = None;
            return false;
        }
        let since = *self.over_boost_since_s.get_or_insert(r.time_s);
        r.time_s - since >= o.for_s
    }
}
