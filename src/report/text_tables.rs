//! Command and vane tables as text: what to write into the controller, how it
//! was proved, where more stops paying.
use super::body::{Body, data_words};
use super::groups::temperature;
use super::names;
use super::table::Paint;
use super::text_tables_parts::{full_load, grid, knees, proof};
use super::units::{Units, fixed};
use crate::judgement::{FullLoadRow, ProofRun, TablesPlace, TablesResult, Verdict};

/// The tables in at most `width` columns.
pub fn tables_text(result: &TablesResult, units: Units, width: usize, colour: bool) -> String {
    tables_body(result, units).text(width.max(40), colour)
}

/// The tables, how they were proved, and what more is worth.
pub(crate) fn tables_body(result: &TablesResult, units: Units) -> Body {
    let mut text = Body::default();
    text.head(&result.scenario, &[data_words(&result.data)]);
    text.gap();
    let (sentence, good) = verdict(result);
    let (word, paint) = match good {
        true => ("Proved", Paint::Good),
        false => ("Not proved", Paint::Bad),
    };
    text.verdict(word, sentence, paint);
    for sentence in story(result, units) {
        text.plain(sentence);
    }
    text.heading("What to do");
    for advice in advice(result, units) {
        text.item("-", advice);
    }
    let title = format!("Boost command, {} abs", units.pressure_unit());
    text.heading(title);
    let pressure = |kpa: f64| fixed(units.pressure(kpa), 1);
    grid(&mut text, result, &result.command_kpa_abs, pressure);
    text.heading("Feed-forward vanes, % closed");
    grid(&mut text, result, &result.vane_closed_pct, |v| fixed(v, 1));
    text.heading("At full load");
    full_load(&mut text, result, units);
    text.heading("Proof");
    proof(&mut text, result, units);
    text.heading("What more is worth");
    for sentence in knees(result, units) {
        text.plain(sentence);
    }
    text.gap();
    let foot = format!(
        "Rows are engine speed in rpm, columns fuel in mg per injection; * marks a column that \
         lies beyond the row's full-load fuel and only carries the straight line through it. \
         Floor, ceiling and command at full load are in terms of the table; pressures in {} abs.",
        units.pressure_unit()
    );
    text.paragraph(foot, Paint::Faint);
    text.plain("An estimate, not a measurement; a wheel can burst. See the cautions.");
    text
}

/// Whether a verdict is a good one.
pub(super) fn held(verdict: Verdict) -> bool {
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

/// Place and day of a run.
pub(super) fn run_place(run: &ProofRun, units: Units) -> String {
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
