//! The vane actuator: a lag with a rate limit between two stops.

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
}

impl VaneActuator {
    /// The position that a command leads to: the stops hold it.
    pub fn held_by_stops(&self, command: f64) -> f64 {
        command.clamp(self.stop_open, self.stop_closed)
    }

    /// Rate of the position \[1/s\]: (command − position)/τ within the rate limit.
    pub fn rate_1_s(&self, position: f64, command: f64) -> f64 {
        let wanted = (self.held_by_stops(command) - position) / self.time_constant_s;
        wanted.clamp(-self.max_rate_1_s, self.max_rate_1_s)
    }
}
