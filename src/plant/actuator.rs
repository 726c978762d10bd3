//! The vane actuator: a lag with a rate limit between two stops, and the play of
//! the linkage behind it.

/// Moves the vanes towards the commanded position.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VaneActuator {
    /// Time constant of the position loop \[s\].
    pub time_constant_s: f64,
    /// Fastest movement \[1/s\], share of the full travel.
    pub max_rate_1_s: f64,
    /// Mechanical stop on the open side, 0 open to 1 closed \[-\].
    pub stop_open: f64,
    /// Mechanical stop on the closed side \[-\].
    pub stop_closed: f64,
    /// Play of the linkage, share of the full travel \[-\]; 0 for none.
    pub backlash: f64,
}

impl VaneActuator {
    /// The position that a command leads to: the stops hold it.
    pub fn held_by_stops(&self, command: f64) -> f64 {
        command.clamp(self.stop_open, self.stop_closed)
    }

    /// Position of the vanes behind the play, for an actuator position and where
    /// the vanes were before; without such a memory they stand in the middle of the
    /// play.
    ///
    /// The play operator with threshold b/2: the vanes stay where they are until
    /// the actuator has gone through the play b, then follow at half of it,
    /// v = clamp(v₀, a − b/2, a + b/2). Exact for any path of the actuator that does
    /// not turn back, such as that of a lag under one command (Visintin,
    /// Differential Models of Hysteresis, 1994, ch. III; from memory).
    pub fn vanes_behind_play(&self, position: f64, before: Option<f64>) -> f64 {
        let half = 0.5 * self.backlash;
        match before {
            Some(vanes) if half > 0.0 => vanes.clamp(position - half, position + half),
            _ => position,
        }
    }

    /// Rate of the position \[1/s\]: (command − position)/τ within the rate limit.
    pub fn rate_1_s(&self, position: f64, command: f64) -> f64 {
        let wanted = (self.held_by_stops(command) - position) / self.time_constant_s;
        wanted.clamp(-self.max_rate_1_s, self.max_rate_1_s)
    }
}
