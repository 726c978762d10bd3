//! The same pull with the command clamped, beside the runaway.
use super::over::{Shown, Trial};
use crate::judgement::Verdict;
use crate::report::Body;
use crate::report::names;
use crate::report::table::{Cell, number, words};
use crate::report::units::fixed;

/// The same pull with the clamp, and the two side by side.
pub fn tell_clamped(over: &Trial, clamped: &Trial, shown: &Shown) -> Body {
    let units = shown.units;
    let result = &clamped.run.result;
    let clamp = clamped.ready.setup.rig.controller.protections.command_clamp;
    let height = result
        .sensor
        .readable_ceiling_kpa_abs
        .zip(clamp)
        .map_or_else(String::new, |(readable_kpa, clamp)| {
            format!(
                " at {} abs ({} below what the sensor reads)",
                units.pressure_text(readable_kpa - clamp.margin_pa * 1e-3),
                units.pressure_text(clamp.margin_pa * 1e-3)
            )
        });
    let mut text = Body::default();
    text.plain(format!(
        "The same table, the same pull, but the controller clamps its command{height}. {}",
        outcome(clamped, shown)
    ));
    text.gap();
    comparison(&mut text, over, clamped, shown);
    text
}

/// How a run ended against its limits.
pub fn outcome(trial: &Trial, shown: &Shown) -> String {
    let result = &trial.run.result;
    match result.verdict {
        Verdict::Held | Verdict::HeldInsideBand => {
            "Every limit holds and the reading stays true.".to_owned()
        }
        Verdict::Exceeded => {
            let gone: Vec<String> = result
                .limits
                .iter()
                .filter(|limit| !limit.held)
                .map(|limit| {
                    let bound = shown.units.limit_text(&limit.unit, limit.limit, false);
                    format!("{} (limit {bound})", names::limit_label(&limit.name))
                })
                .collect();
            format!("Still beyond its limit: {}.", gone.join(", "))
        }
        Verdict::OutsideValidity => {
            format!("The run left the model: {}.", result.why_stopped.text)
        }
    }
}

fn comparison(text: &mut Body, over: &Trial, clamped: &Trial, shown: &Shown) {
    let units = shown.units;
    let pressure = |kpa: f64| fixed(units.pressure(kpa), units.pressure_decimals());
    let unit = units.pressure_unit();
    let columns = [
        words("highest", 0),
        words("unit", 0),
        number("over-commanded", 0),
        number("clamped", 0),
    ];
    let peaks = |trial: &Trial| trial.run.result.peaks;
    let pinned_s = |trial: &Trial| trial.run.result.sensor.pinned_s;
    let (o, c) = (peaks(over), peaks(clamped));
    let line = |name: &str, unit: &str, a: String, b: String| -> Vec<Cell> {
        vec![name.into(), unit.into(), a.into(), b.into()]
    };
    let end_pct = |trial: &Trial| {
        let last = trial.run.samples.last();
        last.map_or_else(|| "-".to_owned(), |s| fixed(s.vane_closed_pct, 0))
    };
    let absolute = format!("{unit} abs");
    let rows = [
        line(
            "true boost",
            &absolute,
            pressure(o.boost_kpa_abs),
            pressure(c.boost_kpa_abs),
        ),
        line(
            "reading",
            &absolute,
            pressure(o.boost_sensed_kpa_abs),
            pressure(c.boost_sensed_kpa_abs),
        ),
        line(
            "drive pressure",
            &absolute,
            pressure(o.drive_pressure_kpa_abs),
            pressure(c.drive_pressure_kpa_abs),
        ),
        line(
            "vanes closed at the end",
            "%",
            end_pct(over),
            end_pct(clamped),
        ),
        line(
            "shaft speed",
            "krpm",
            fixed(o.shaft_speed_rpm / 1000.0, 1),
            fixed(c.shaft_speed_rpm / 1000.0, 1),
        ),
        line(
            "power",
            units.power_unit(),
            fixed(units.power(o.power_kw), 0),
            fixed(units.power(c.power_kw), 0),
        ),
        line(
            "reading pinned",
            "s",
            fixed(pinned_s(over), 1),
            fixed(pinned_s(clamped), 1),
        ),
    ];
    text.table(&columns, rows.into());
}
