//! The boost command: table, reference, barometric correction, rate limit.
use crate::map::Table2;

/// What the numbers of a command table count from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CommandReference {
    /// Absolute pressure.
    Absolute,
    /// Gauge: above the ambient of the moment.
    Gauge,
}

/// The commanded boost over engine speed and fuel.
#[derive(Debug, Clone, PartialEq)]
pub struct BoostCommand {
    /// Command over engine speed \[rad/s\] and fuel \[kg per injection\] \[Pa\].
    pub table: Table2,
    /// Whether the table is absolute or gauge.
    pub reference: CommandReference,
    /// Command taken away per pascal of ambient below the reference \[-\].
    pub barometric_correction: f64,
    /// Ambient above which nothing is taken away \[Pa abs\].
    pub barometric_reference_pa: f64,
    /// Fastest change of the command \[Pa/s\]; infinite for none.
    pub rate_limit_pa_s: f64,
}

impl BoostCommand {
    /// The command before rate limit and clamp \[Pa abs\].
    pub fn wanted_pa(&self, engine_speed_rad_s: f64, fuel_kg: f64, ambient_pa: f64) -> f64 {
        let table_pa = self.table.at(engine_speed_rad_s, fuel_kg);
        let absolute_pa = match self.reference {
            CommandReference::Absolute => table_pa,
            CommandReference::Gauge => table_pa + ambient_pa,
        };
        let lack_pa = (self.barometric_reference_pa - ambient_pa).max(0.0);
        absolute_pa - self.barometric_correction * lack_pa
    }

    /// The next command on the way from `last_pa` to `wanted_pa`.
    pub fn limited_pa(&self, last_pa: f64, wanted_pa: f64, step_s: f64) -> f64 {
        let most = self.rate_limit_pa_s * step_s;
        last_pa + (wanted_pa - last_pa).clamp(-most, most)
    }

    /// The same command everywhere \[Pa abs\].
    pub fn uniform(command_pa: f64) -> Self {
        Self {
            table: Table2::constant(command_pa),
            reference: CommandReference::Absolute,
            barometric_correction: 0.0,
            barometric_reference_pa: 0.0,
            rate_limit_pa_s: f64::INFINITY,
        }
    }
}
