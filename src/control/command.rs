//! The boost command: table, reference, barometric correction, rate limit.
use crate::map::{Table1, Table2};

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
    /// A command at full load that stands in for the table's, over engine speed.
    pub full_load: Option<FullLoadCommand>,
    /// Added at full load, at part load in proportion to the fuel \[Pa\].
    pub full_load_shift_pa: f64,
}

/// A boost command at full load. At part load the table's own command moves
/// with it in proportion to the fuel, so that an idle engine is not asked for
/// full boost.
#[derive(Debug, Clone, PartialEq)]
pub struct FullLoadCommand {
    /// Command over engine speed \[rad/s → Pa\].
    pub over_speed: Table1,
    /// Whether it is absolute or gauge.
    pub reference: CommandReference,
}

impl BoostCommand {
    /// The command before rate limit and clamp \[Pa abs\], at a fuel out of the
    /// full-load fuel of that speed \[kg per injection\].
    pub fn wanted_pa(
        &self,
        engine_speed_rad_s: f64,
        fuel_kg: f64,
        full_fuel_kg: f64,
        ambient_pa: f64,
    ) -> f64 {
        let share = fuel_kg / full_fuel_kg;
        let own_pa = self.own_pa(engine_speed_rad_s, fuel_kg, ambient_pa);
        // without a shift the fuel does not matter, also where there is none at all
        let shift_pa = match self.full_load_shift_pa {
            0.0 => 0.0,
            at_full_pa => at_full_pa * share,
        };
        let Some(full_load) = &self.full_load else {
            return own_pa + shift_pa;
        };
        let at_full_pa = absolute_pa(
            full_load.over_speed.at(engine_speed_rad_s),
            full_load.reference,
            ambient_pa,
        );
        let moved_pa = at_full_pa - self.own_pa(engine_speed_rad_s, full_fuel_kg, ambient_pa);
        own_pa + moved_pa * share + shift_pa
    }

    /// The table's command with the barometric correction \[Pa abs\].
    fn own_pa(&self, engine_speed_rad_s: f64, fuel_kg: f64, ambient_pa: f64) -> f64 {
        let table_pa = self.table.at(engine_speed_rad_s, fuel_kg);
        let lack_pa = (self.barometric_reference_pa - ambient_pa).max(0.0);
        absolute_pa(table_pa, self.reference, ambient_pa) - self.barometric_correction * lack_pa
    }

    /// The next command on the way from `last_pa` to `wanted_pa`.
    pub fn limited_pa(&self, last_pa: f64, wanted_pa: f64, step_s: f64) -> f64 {
        let most = self.rate_limit_pa_s * step_s;
        last_pa + (wanted_pa - last_pa).clamp(-most, most)
    }
}

fn absolute_pa(pressure_pa: f64, reference: CommandReference, ambient_pa: f64) -> f64 {
    match reference {
        CommandReference::Absolute => pressure_pa,
        CommandReference::Gauge => pressure_pa + ambient_pa,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn command() -> BoostCommand {
        let table = Table2::new(
            vec![100.0, 300.0],
            vec![0.0, 100e-6],
            vec![100e3, 200e3, 100e3, 300e3],
        )
        .unwrap();
        BoostCommand {
            table,
            reference: CommandReference::Absolute,
            barometric_correction: 0.0,
            barometric_reference_pa: 0.0,
            rate_limit_pa_s: 100e3,
            full_load: None,
            full_load_shift_pa: 0.0,
        }
    }

    #[test]
    fn a_full_load_command_moves_part_load_in_proportion() {
        let mut c = command();
        assert_eq!(c.wanted_pa(200.0, 100e-6, 100e-6, 90e3), 250e3);
        c.full_load = Some(FullLoadCommand {
            over_speed: Table1::constant(270e3),
            reference: CommandReference::Absolute,
        });
        assert_eq!(c.wanted_pa(200.0, 100e-6, 100e-6, 90e3), 270e3);
        assert_eq!(c.wanted_pa(200.0, 50e-6, 100e-6, 90e3), 185e3);
        assert_eq!(c.wanted_pa(200.0, 0.0, 100e-6, 90e3), 100e3);
    }

    #[test]
    fn a_shift_is_whole_at_full_load_and_in_proportion_below() {
        let mut c = command();
        c.full_load_shift_pa = -10e3;
        assert_eq!(c.wanted_pa(200.0, 100e-6, 100e-6, 90e3), 240e3);
        assert_eq!(c.wanted_pa(200.0, 50e-6, 100e-6, 90e3), 170e3);
        assert_eq!(c.wanted_pa(200.0, 0.0, 100e-6, 90e3), 100e3);
        c.full_load = Some(FullLoadCommand {
            over_speed: Table1::constant(270e3),
            reference: CommandReference::Absolute,
        });
        assert_eq!(c.wanted_pa(200.0, 100e-6, 100e-6, 90e3), 260e3);
    }

    #[test]
    fn gauge_counts_from_the_ambient_of_the_moment() {
        let mut c = command();
        c.reference = CommandReference::Gauge;
        assert_eq!(c.wanted_pa(300.0, 100e-6, 100e-6, 70e3), 370e3);
    }

    #[test]
    fn thin_air_takes_command_away_and_the_rate_is_limited() {
        let mut c = command();
        c.barometric_correction = 2.0;
        c.barometric_reference_pa = 95e3;
        assert_eq!(c.wanted_pa(300.0, 100e-6, 100e-6, 75e3), 260e3);
        assert_eq!(c.limited_pa(100e3, 260e3, 0.1), 110e3);
        assert_eq!(c.limited_pa(260e3, 100e3, 0.1), 250e3);
    }
}
