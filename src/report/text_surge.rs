//! What a surging compressor does, in words.
use super::units::{Units, fixed};
use crate::judgement::{RunResult, SurgeResult};

/// The surge of a run, if it is simulated and there was any: how often, how
/// deep, and what that does to the machine.
pub(super) fn surge_story(result: &RunResult, units: Units) -> Vec<String> {
    let Some(surge) = result.maps.surge.filter(|surge| surge.cycles > 0) else {
        return Vec::new();
    };
    vec![how_often(&surge), how_deep(&surge, units)]
}

fn how_often(surge: &SurgeResult) -> String {
    let when = match (surge.first_s, surge.last_s) {
        (Some(first), Some(last)) => {
            format!("from {} s to {} s", fixed(first, 2), fixed(last, 2))
        }
        _ => String::new(),
    };
    if surge.cycles == 1 {
        return format!("The compressor surges once, {when}.");
    }
    let often = surge
        .frequency_hz
        .map(|hz| format!(", about {} a second", fixed(hz, 1)))
        .unwrap_or_default();
    format!(
        "The compressor surges: {} cycles {when}{often}.",
        surge.cycles
    )
}

fn how_deep(surge: &SurgeResult, units: Units) -> String {
    match surge.lowest_flow_kg_s {
        Some(lowest) if lowest < 0.0 => format!(
            "Deep surge: the charge blows back through the wheel to the filter, up to {} {} and for \
             {} s in all. Each reversal throws the axial load on the other face of the thrust \
             bearing and shakes the blades of the wheel; it is heard as a bark, and repeated it \
             breaks the one or the other.",
            fixed(units.mass_flow(-lowest), decimals(units)),
            units.mass_flow_unit(),
            fixed(surge.reverse_flow_s, 2)
        ),
        _ => "Mild surge: the flow swings without turning back. Thrust bearing and wheel feel the \
              swing of pressure; it is the last warning before the flow turns."
            .to_owned(),
    }
}

/// What helps against it.
pub(super) fn surge_advice(result: &RunResult) -> Option<String> {
    result.maps.surge.filter(|surge| surge.cycles > 0).map(|_| {
        "Surge: open the vanes as soon as the fuel goes (a faster fall of the command, a more \
             open feed-forward at small fuel), or let charge out (a dump valve); a smaller volume \
             behind the compressor makes the cycles weaker."
            .to_owned()
    })
}

/// Decimals of a flow.
fn decimals(units: Units) -> usize {
    match units {
        Units::Si => 2,
        Units::Us => 1,
    }
}
