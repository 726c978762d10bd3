//! The files of `tables`: both tables, the proof, the gain.
use crate::judgement::{Knee, TablesResult, Verdict};

/// The command table as CSV: a row for each engine speed, a column for each fuel.
pub fn command_csv(result: &TablesResult) -> String {
    grid(result, &result.command_kpa_abs, "kpa_abs")
}

/// The feed-forward vane table as CSV.
pub fn vanes_csv(result: &TablesResult) -> String {
    grid(result, &result.vane_closed_pct, "closed_pct")
}

fn grid(result: &TablesResult, rows: &[Vec<f64>], unit: &str) -> String {
    let mut header = vec!["engine_speed_rpm".to_owned()];
    header.extend(
        result
            .fuels_mg
            .iter()
            .map(|mg| format!("at_{mg}_mg_{unit}")),
    );
    let mut lines = vec![header];
    for (rpm, row) in result.engine_speeds_rpm.iter().zip(rows) {
        let mut line = vec![rpm.to_string()];
        line.extend(row.iter().map(|value| format!("{value:.1}")));
        lines.push(line);
    }
    csv(lines)
}

/// Every run of the proof with the worst headroom of each limit.
pub fn proof_csv(result: &TablesResult) -> String {
    let mut header: Vec<String> = [
        "procedure",
        "engine_speed_rpm",
        "altitude_m",
        "ambient_kpa_abs",
        "ambient_k",
        "sensor_offset_kpa",
        "sensor_after_clamp_kpa",
        "verdict",
        "first_broken",
        "broken_at_rpm",
        "broken_at_s",
    ]
    .map(str::to_owned)
    .to_vec();
    if let Some(run) = result.proof.runs.first() {
        header.extend(
            run.worst
                .iter()
                .map(|w| format!("{}_headroom_pct", w.limit)),
        );
    }
    let mut lines = vec![header];
    for run in &result.proof.runs {
        let mut line = vec![
            run.procedure.clone(),
            run.engine_speed_rpm.to_string(),
            maybe(run.altitude_m),
            number(run.ambient_kpa_abs),
            number(run.ambient_k),
            number(run.sensor_offset_kpa),
            number(run.sensor_after_clamp_kpa),
            word(run.verdict).to_owned(),
            run.first_broken.clone().unwrap_or_default(),
            maybe(run.broken_at_rpm),
            maybe(run.broken_at_s),
        ];
        line.extend(run.worst.iter().map(|w| maybe(w.headroom_pct)));
        lines.push(line);
    }
    csv(lines)
}

/// Power against shaft speed, all rows and places.
pub fn gain_csv(result: &TablesResult) -> String {
    let header = [
        "engine_speed_rpm",
        "altitude_m",
        "ambient_kpa_abs",
        "ambient_k",
        "command_kpa_abs",
        "vane_closed_pct",
        "shaft_speed_rpm",
        "power_kw",
        "drive_pressure_kpa_abs",
        "slope_kw_per_krpm",
        "past_knee",
    ]
    .map(str::to_owned)
    .to_vec();
    let mut lines = vec![header];
    for curve in &result.gain {
        let past = |at_kpa: f64, knee: Knee| at_kpa > knee.command_kpa_abs + 1e-9;
        for point in &curve.points {
            lines.push(vec![
                number(curve.engine_speed_rpm),
                maybe(curve.altitude_m),
                number(curve.ambient_kpa_abs),
                number(curve.ambient_k),
                number(point.command_kpa_abs),
                number(point.vane_closed_pct),
                number(point.shaft_speed_rpm),
                number(point.power_kw),
                number(point.drive_pressure_kpa_abs),
                maybe(point.slope_kw_per_krpm),
                curve
                    .knee
                    .is_some_and(|knee| past(point.command_kpa_abs, knee))
                    .to_string(),
            ]);
        }
    }
    csv(lines)
}

fn word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Held | Verdict::HeldInsideBand => "held",
        Verdict::Exceeded => "exceeded",
        Verdict::OutsideValidity => "outside_validity",
    }
}

fn number(value: f64) -> String {
    let text = format!("{value:.3}");
    if text == "-0.000" {
        "0.000".to_owned()
    } else {
        text
    }
}

fn maybe(value: Option<f64>) -> String {
    value.map(number).unwrap_or_default()
}

/// No field of these files holds a comma, a quote or a line break.
fn csv(lines: Vec<Vec<String>>) -> String {
    lines
        .into_iter()
        .map(|line| line.join(",") + "\n")
        .collect()
}
