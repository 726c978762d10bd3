//! Command and vane tables as text: what to write into the controller, how it
//! was proved, where more stops paying.
use super::groups::temperature;
use super::names;
use super::table::{Cell, Paint, heading, item, number, paragraph, table, words};
use super::units::{Units, fixed, signed};
use crate::judgement::{FullLoadRow, GainCurve, ProofRun, TablesPlace, TablesResult, Verdict};

/// Columns of fuel that fit beside each other.
const COLUMNS: usize = 9;

/// The tables in at most `width` columns.
pub fn tables_text(result: &TablesResult, units: Units, width: usize, colour: bool) -> String {
    let width = width.max(40);
    let head = match result.data.as_str() {
        "" => result.scenario.clone(),
        data => format!("{} · {data} data", result.scenario),
    };
    let mut text = paragraph(&head, width, Paint::Faint, colour);
    text.push('\n');
    let (sentence, good) = verdict(result);
    let paint = if good { Paint::Good } else { Paint::Bad };
    text.push_str(&paragraph(&sentence, width, paint, colour));
    for sentence in story(result, units) {
        text.push_str(&paragraph(&sentence, width, Paint::Plain, colour));
    }
    text.push_str(&heading("What to do", colour));
    for advice in advice(result, units) {
        text.push_str(&item("-", &advice, width));
    }
    let title = format!("Boost command, {} abs", units.pressure_unit());
    text.push_str(&heading(&title, colour));
    let pressure = |kpa: f64| fixed(units.pressure(kpa), 1);
    text.push_str(&grid(result, &result.command_kpa_abs, pressure));
    text.push_str(&heading("Feed-forward vanes, % closed", colour));
    text.push_str(&grid(result, &result.vane_closed_pct, |v| fixed(v, 1)));
    text.push_str(&heading("At full load", colour));
    text.push_str(&full_load(result, units, width, colour));
    text.push_str(&heading("Proof", colour));
    text.push_str(&proof(result, units, width, colour));
    text.push_str(&heading("What more is worth", colour));
    for sentence in knees(result, units) {
        text.push_str(&paragraph(&sentence, width, Paint::Plain, colour));
    }
    text.push('\n');
    let foot = format!(
        "Rows are engine speed in rpm, columns fuel in mg per injection; * marks a column that \
         lies beyond the row's full-load fuel and only carries the straight line through it. \
         Floor, ceiling and command at full load are in terms of the table; pressures in {} abs.",
        units.pressure_unit()
    );
    text.push_str(&paragraph(&foot, width, Paint::Faint, colour));
    text.push_str(&paragraph(
        "An estimate, not a measurement; a wheel can burst. See the cautions.",
        width,
        Paint::Plain,
        colour,
    ));
    text
}

fn held(verdict: Verdict) -> bool {
    matches!(verdict, Verdict::Held | Verdict::HeldInsideBand)
}

fn verdict(result: &TablesResult) -> (String, bool) {
    let proof = &result.proof;
    let runs = proof.runs.len();
    let shut: Vec<String> = result
        .full_load
        .iter()
        .filter(|row| row.command_kpa_abs.is_none())
        .map(|row| fixed(row.engine_speed_rpm, 0))
        .collect();
    if !shut.is_empty() {
        let text = format!(
            "Not proved: no command holds every limit with its reserve at {} rpm, at any fuel \
             that was tried.",
            shut.join(", ")
        );
        return (text, false);
    }
    if held(proof.verdict) {
        let text = format!("Proved: every limit held with its reserve in all {runs} runs.");
        return (text, true);
    }
    let failed = proof.runs.iter().filter(|run| !held(run.verdict)).count();
    let what = if proof.limits_held {
        "the limits as stated held, but their reserve was not kept"
    } else {
        "a limit was exceeded"
    };
    let text = format!("Not proved: {what} in {failed} of {runs} runs, and no repair was left.");
    (text, false)
}

/// What a place is called; with its temperature where another shares its height.
pub(super) fn place_name(places: &[TablesPlace], at: usize, units: Units) -> String {
    let place = &places[at];
    let mut name = match place.altitude_m {
        Some(m) => units.altitude_text(m),
        None => format!("{} abs ambient", units.pressure_text(place.ambient_kpa_abs)),
    };
    let twin = |other: &&TablesPlace| other.altitude_m == place.altitude_m;
    if places.iter().filter(twin).count() > 1 {
        name.push_str(&format!(", {}", temperature(units, place.ambient_k)));
    }
    name
}

fn story(result: &TablesResult, units: Units) -> Vec<String> {
    let mut story = Vec::new();
    let names: Vec<String> = (0..result.places.len())
        .map(|at| place_name(&result.places, at, units))
        .collect();
    let mut reserve = result
        .reserve
        .iter()
        .map(|r| r.reserve_pct)
        .fold(0.0, f64::max);
    if reserve < 0.05 {
        reserve = 0.0;
    }
    let without: Vec<&str> = result
        .reserve
        .iter()
        .filter(|r| r.reserve_pct < 0.5 * reserve)
        .map(|r| names::limit_label(&r.limit))
        .collect();
    let mut text = format!(
        "Made for {}, with up to {} % kept from each limit",
        names.join("; "),
        fixed(reserve, 1)
    );
    if !without.is_empty() {
        text.push_str(&format!(" (less from {})", without.join(", ")));
    }
    text.push('.');
    story.push(text);
    story.extend(least(result, units, &names));
    let derated: Vec<String> = result
        .full_load
        .iter()
        .zip(&result.fuel_scale)
        .filter(|(_, scale)| **scale < 1.0)
        .map(|(row, scale)| {
            format!(
                "{} rpm ×{}",
                fixed(row.engine_speed_rpm, 0),
                fixed(*scale, 2)
            )
        })
        .collect();
    if !derated.is_empty() {
        story.push(format!(
            "Less full-load fuel goes with the tables, because no command holds with more: {}. \
             It is one fuel table for all places.",
            derated.join(", ")
        ));
    }
    if result.proof.repairs > 0 {
        story.push(format!(
            "The first tables did not pass; after {} rounds of repair ({} changes){}.",
            result.proof.repairs,
            result.proof.changes.len(),
            if held(result.proof.verdict) {
                " they did"
            } else {
                " they still did not"
            }
        ));
    }
    if !result.proof.runs.iter().any(|run| run.procedure == "shift") {
        story.push(
            "No gear change is part of the proof: none lies within the rows, or the scenario \
             describes none."
                .to_owned(),
        );
    }
    story.extend(failures(result, units));
    story
}

/// Where one place alone holds the table down, and by how much.
fn least<'a>(result: &'a TablesResult, units: Units, names: &[String]) -> Option<String> {
    let lost = |row: &'a FullLoadRow| {
        let command = row.command_kpa_abs?;
        let least = row.least_place?;
        let (at, kpa) = row
            .place_ceiling_kpa_abs
            .iter()
            .enumerate()
            .filter_map(|(at, kpa)| Some((at, (*kpa)? + result.places[at].taken_off_kpa - command)))
            .max_by(|a, b| a.1.total_cmp(&b.1))?;
        (kpa > 5.0 && at != least).then_some((row, least, at, kpa))
    };
    let most = result.full_load.iter().filter_map(lost);
    let (row, least, at, kpa) = most.max_by(|a, b| a.3.total_cmp(&b.3))?;
    Some(format!(
        "{} allows least. {} could bear up to {} more (at {} rpm): the barometric correction \
         takes too little off on the way up to give both what they can bear.",
        names[least],
        names[at],
        units.pressure_text(kpa),
        fixed(row.engine_speed_rpm, 0)
    ))
}

/// What still breaks, each limit once.
fn failures(result: &TablesResult, units: Units) -> Vec<String> {
    let mut told: Vec<&str> = Vec::new();
    let mut lines = Vec::new();
    for run in &result.proof.runs {
        let Some(broken) = run.first_broken.as_deref().filter(|b| !told.contains(b)) else {
            continue;
        };
        told.push(broken);
        let at = run
            .broken_at_rpm
            .map(|rpm| format!(" at {} rpm", fixed(rpm, 0)))
            .unwrap_or_default();
        lines.push(format!(
            "Broken: {}{at}, in the {} to {} rpm at {}.",
            names::limit_label(broken).replace('_', " "),
            run.procedure,
            fixed(run.engine_speed_rpm, 0),
            run_place(run, units)
        ));
    }
    lines
}

fn run_place(run: &ProofRun, units: Units) -> String {
    let place = match run.altitude_m {
        Some(m) => units.altitude_text(m),
        None => format!("{} abs ambient", units.pressure_text(run.ambient_kpa_abs)),
    };
    format!("{place}, {}", temperature(units, run.ambient_k))
}

fn advice(result: &TablesResult, units: Units) -> Vec<String> {
    let mut advice = Vec::new();
    if held(result.proof.verdict) && result.full_load.iter().all(|r| r.command_kpa_abs.is_some()) {
        advice.push(
            "Put both tables in together: the proof is of the pair, and of the controller as the \
             scenario has it. With --out DIR, `ringfence run DIR/tables.yaml` drives them."
                .to_owned(),
        );
    } else {
        advice.push("Do not use these tables as they are.".to_owned());
        let broken = |name: &str| {
            let is = |run: &ProofRun| run.first_broken.as_deref() == Some(name);
            result.proof.runs.iter().any(is)
        };
        if broken("lambda") {
            advice.push(
                "Lambda: raise the smoke limit (controller.smoke_limit), or take fuel out; boost \
                 comes too late or is read too high."
                    .to_owned(),
            );
        }
        let in_a_cut = |run: &ProofRun| {
            run.procedure == "shift" && run.first_broken.as_deref() == Some("surge_margin")
        };
        if result.proof.runs.iter().any(in_a_cut) {
            advice.push(
                "Surge in the torque cut of a gear change: with the vanes open already, a table \
                 cures it only by far less boost before the cut. Let boost off around the \
                 compressor, or cut the torque later and slower."
                    .to_owned(),
            );
        } else if broken("surge_margin") {
            advice.push(
                "Surge margin: leave low speeds less boost, or ask less reserve there.".to_owned(),
            );
        }
        if broken("turbine_inlet") {
            advice.push("Turbine inlet: take out fuel, or ask less reserve there.".to_owned());
        }
        if broken("outside_validity") {
            advice.push(
                "A run left what the model can describe: take the proof as no answer.".to_owned(),
            );
        }
        advice.push("Or ask for less: fewer places, a smaller --reserve, other speeds.".to_owned());
    }
    if result.fuel_scale.iter().any(|scale| *scale < 1.0) {
        advice.push(
            "Put in the full-load fuel of tables.yaml with them; without it they are not proved."
                .to_owned(),
        );
    }
    if let Some(correction) = better_correction(result) {
        advice.push(format!(
            "A barometric correction of about {} {} of command per {} of ambient would let each \
             place have what it can bear.",
            fixed(correction, 1),
            units.pressure_unit(),
            units.pressure_unit()
        ));
    }
    advice
}

/// Command per ambient pressure between the lowest and the highest place whose
/// ceilings differ, in the mean over the rows.
fn better_correction(result: &TablesResult) -> Option<f64> {
    let by = |a: &(usize, &TablesPlace), b: &(usize, &TablesPlace)| {
        a.1.ambient_kpa_abs.total_cmp(&b.1.ambient_kpa_abs)
    };
    let (thin, _) = result.places.iter().enumerate().min_by(by)?;
    let (thick, _) = result.places.iter().enumerate().max_by(by)?;
    let apart = result.places[thick].ambient_kpa_abs - result.places[thin].ambient_kpa_abs;
    if apart < 5.0 {
        return None;
    }
    let each: Vec<f64> = result
        .full_load
        .iter()
        .filter_map(|row| {
            let kpa = |at: usize| row.place_ceiling_kpa_abs.get(at).copied().flatten();
            Some((kpa(thick)? - kpa(thin)?) / apart)
        })
        .collect();
    let mean = each.iter().sum::<f64>() / each.len().max(1) as f64;
    let off = result.places[thin].taken_off_kpa - result.places[thick].taken_off_kpa;
    (mean > 0.0 && (mean - off / apart).abs() > 0.5).then_some(mean)
}

/// A grid in blocks of columns that fit the page.
fn grid(result: &TablesResult, rows: &[Vec<f64>], show: impl Fn(f64) -> String) -> String {
    let mut text = String::new();
    let all: Vec<usize> = (0..result.fuels_mg.len()).collect();
    for block in all.chunks(COLUMNS) {
        let mut line = format!("  {:>6}", "rpm");
        for &j in block {
            line.push_str(&format!(
                "{:>7} ",
                format!("{} mg", fixed(result.fuels_mg[j], 0))
            ));
        }
        text.push_str(line.trim_end());
        text.push('\n');
        for (i, rpm) in result.engine_speeds_rpm.iter().enumerate() {
            let mut line = format!("  {:>6}", fixed(*rpm, 0));
            for &j in block {
                // the first column past full load is in use between the two
                let unused = result.binding[i][j] == "beyond_full_load"
                    || result.fuels_mg[j] > result.full_load[i].fuel_mg + 1e-6;
                let mark = if unused { '*' } else { ' ' };
                line.push_str(&format!("{:>7}{mark}", show(rows[i][j])));
            }
            text.push_str(line.trim_end());
            text.push('\n');
        }
    }
    text
}

fn full_load(result: &TablesResult, units: Units, width: usize, colour: bool) -> String {
    let columns = [
        number("rpm", 0),
        number("fuel mg", 1),
        number("floor", 2),
        number("command", 0),
        number("ceiling", 0),
        words("decided by", 0),
        words("least at", 1),
    ];
    let places = units.pressure_decimals();
    let pressure = |kpa: Option<f64>| {
        kpa.map_or_else(|| "-".to_owned(), |kpa| fixed(units.pressure(kpa), places))
    };
    let rows: Vec<Vec<Cell>> = result
        .full_load
        .iter()
        .map(|row| {
            let command = match row.command_kpa_abs {
                Some(_) => Cell {
                    text: pressure(row.command_kpa_abs),
                    paint: Paint::Bold,
                },
                None => Cell {
                    text: "none".to_owned(),
                    paint: Paint::Bad,
                },
            };
            vec![
                fixed(row.engine_speed_rpm, 0).into(),
                fixed(row.fuel_mg, 1).into(),
                pressure(row.floor_kpa_abs).into(),
                command,
                pressure(row.ceiling_kpa_abs).into(),
                decided(&row.binding).into(),
                row.least_place
                    .map_or_else(
                        || "-".to_owned(),
                        |at| place_name(&result.places, at, units),
                    )
                    .into(),
            ]
        })
        .collect();
    table(&columns, &rows, width, colour)
}

/// What decided a command, in words.
pub(super) fn decided(binding: &str) -> String {
    match binding {
        "most_power" => "most power".to_owned(),
        "no_window" => "no window".to_owned(),
        other => names::limit_label(other).replace('_', " "),
    }
}

/// One line for each procedure and speed.
fn proof(result: &TablesResult, units: Units, width: usize, colour: bool) -> String {
    let columns = [
        words("procedure", 0),
        number("to rpm", 0),
        number("runs", 1),
        words("verdict", 0),
        words("closest limit", 0),
        number("headroom", 0),
        words("at", 2),
    ];
    let mut kinds: Vec<(&str, f64)> = Vec::new();
    for run in &result.proof.runs {
        let kind = (run.procedure.as_str(), run.engine_speed_rpm);
        if !kinds.contains(&kind) {
            kinds.push(kind);
        }
    }
    let rows: Vec<Vec<Cell>> = kinds
        .into_iter()
        .map(|(procedure, rpm)| {
            let runs: Vec<&ProofRun> = result
                .proof
                .runs
                .iter()
                .filter(|run| run.procedure == procedure && run.engine_speed_rpm == rpm)
                .collect();
            let failed = runs.iter().filter(|run| !held(run.verdict)).count();
            let closest = runs
                .iter()
                .flat_map(|run| {
                    let known = run.worst.iter().filter_map(|w| Some((w, w.headroom_pct?)));
                    known.map(|(w, pct)| (w.limit.as_str(), pct, *run))
                })
                .min_by(|a, b| a.1.total_cmp(&b.1));
            let (limit, pct, place) = closest.map_or_else(
                || ("-".to_owned(), "-".to_owned(), "-".to_owned()),
                |(limit, pct, run)| {
                    (
                        names::limit_label(limit).to_owned(),
                        format!("{} %", signed(pct, 1)),
                        run_place(run, units),
                    )
                },
            );
            vec![
                procedure.into(),
                fixed(rpm, 0).into(),
                runs.len().to_string().into(),
                if failed == 0 {
                    Cell {
                        text: "held".to_owned(),
                        paint: Paint::Good,
                    }
                } else {
                    Cell {
                        text: format!("{failed} failed"),
                        paint: Paint::Bad,
                    }
                },
                limit.into(),
                pct.into(),
                place.into(),
            ]
        })
        .collect();
    table(&columns, &rows, width, colour)
}

/// The knees, then where there is none.
fn knees(result: &TablesResult, units: Units) -> Vec<String> {
    let critical = result.critical_gain.map(|at| &result.gain[at]);
    let mut lines: Vec<String> = result
        .gain
        .iter()
        .filter_map(|curve| knee_text(curve, critical == Some(curve), units))
        .collect();
    let straight: Vec<String> = result
        .gain
        .iter()
        .filter(|curve| curve.knee.is_none())
        .map(|curve| {
            format!(
                "{} rpm at {}",
                fixed(curve.engine_speed_rpm, 0),
                curve_place(curve, units)
            )
        })
        .collect();
    if !straight.is_empty() {
        lines.push(format!(
            "No knee below the ceiling, so that more boost would pay up to there: {}.",
            straight.join(", ")
        ));
    }
    lines
}

fn curve_place(curve: &GainCurve, units: Units) -> String {
    match curve.altitude_m {
        Some(m) => units.altitude_text(m),
        None => format!("{} abs ambient", units.pressure_text(curve.ambient_kpa_abs)),
    }
}

/// The knee of one curve in words.
fn knee_text(curve: &GainCurve, critical: bool, units: Units) -> Option<String> {
    let knee = curve.knee?;
    let mut text = format!(
        "At {} rpm, {}: above {} abs ({} krpm) each further 1000 rpm of shaft brings under {} {}, \
         where it brought up to {} before.",
        fixed(curve.engine_speed_rpm, 0),
        curve_place(curve, units),
        units.pressure_text(knee.command_kpa_abs),
        fixed(knee.shaft_speed_rpm * 1e-3, 0),
        fixed(units.power(knee.least_slope_kw_per_krpm), 2),
        units.power_unit(),
        fixed(units.power(knee.best_slope_kw_per_krpm), 2)
    );
    if critical {
        text.push_str(" Of these the shaft turns fastest here.");
    }
    Some(text)
}
