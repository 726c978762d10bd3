//! Whether a procedure that was written for one scenario can be driven on another.
//! Alone in its own file a procedure is checked against the rest of that file; here
//! the same has to hold for a file that has never seen it.
use crate::scenario::build::Setup;
use crate::scenario::{AmbientSource, ProcedurePart, Scenario};
use std::f64::consts::PI;

/// Why it cannot.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum Misfit {
    /// It asks for engine speeds that the full-load table does not have.
    #[error("the procedure goes to engine speeds outside the full-load table")]
    Speed {
        /// A speed that it asks for \[rpm\].
        asked_rpm: f64,
        /// Lowest speed of the table \[rpm\].
        low_rpm: f64,
        /// Highest speed of the table \[rpm\].
        high_rpm: f64,
    },
    /// It leads over altitudes, and the ambient is given by pressure.
    #[error("the procedure leads over altitudes, and the ambient is given by pressure")]
    Altitude,
    /// It steps a wastegate that is not there.
    #[error("the procedure steps a wastegate that is not there")]
    Wastegate,
    /// It steps the area of a turbine that has vanes instead.
    #[error("the procedure steps the area of a turbine that has vanes")]
    Area,
}

/// Whether the procedure can be driven on the scenario.
pub(super) fn fits(
    scenario: &Scenario,
    setup: &Setup,
    procedure: &[ProcedurePart],
) -> Result<(), Misfit> {
    let (low, high) = setup.rig.controller.fuel.full_load.range();
    let rpm = |rad_s: f64| rad_s * 30.0 / PI;
    // the same number may have come from another unit
    let slack = 1e-9 * high;
    for part in procedure {
        let outside = speeds_rad_s(part)
            .into_iter()
            .find(|&n| n < low - slack || n > high + slack);
        if let Some(asked) = outside {
            return Err(Misfit::Speed {
                asked_rpm: rpm(asked),
                low_rpm: rpm(low),
                high_rpm: rpm(high),
            });
        }
        if leads_over_altitudes(part)
            && matches!(scenario.ambient.source, AmbientSource::Given { .. })
        {
            return Err(Misfit::Altitude);
        }
        if let ProcedurePart::Step(step) = part {
            let sides = [&step.before, &step.after];
            let wastegate = sides.iter().any(|side| side.wastegate.is_some());
            if wastegate && setup.rig.plant.wastegate.is_none() {
                return Err(Misfit::Wastegate);
            }
            let area = sides.iter().any(|side| side.turbine_area.is_some());
            if area && setup.rig.plant.turbine.has_vanes() {
                return Err(Misfit::Area);
            }
        }
    }
    Ok(())
}

/// The engine speeds between which a part moves \[rad/s\].
fn speeds_rad_s(part: &ProcedurePart) -> Vec<f64> {
    match part {
        ProcedurePart::Hold(hold) => vec![hold.engine_speed.rad_s()],
        ProcedurePart::Pull(pull) => vec![pull.from.rad_s(), pull.to.rad_s()],
        ProcedurePart::LoadStep(step) => vec![step.engine_speed.rad_s()],
        ProcedurePart::Shift(shift) => {
            vec![shift.from.rad_s(), shift.at.rad_s(), shift.to.rad_s()]
        }
        ProcedurePart::Climb(climb) => vec![
            climb.start.engine_speed.rad_s(),
            climb.gear_change.up_at.rad_s(),
            climb.gear_change.down_at.rad_s(),
        ],
        ProcedurePart::Playback(recording) => {
            let (low, high) = recording.speeds_rad_s();
            vec![low, high]
        }
        ProcedurePart::Step(step) => vec![step.engine_speed.rad_s()],
    }
}

fn leads_over_altitudes(part: &ProcedurePart) -> bool {
    match part {
        ProcedurePart::Climb(_) => true,
        ProcedurePart::Playback(recording) => recording.altitudes_m().is_some(),
        _ => false,
    }
}
