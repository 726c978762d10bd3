//! Fuel that is cut, comes back or steps.
use super::Weight;
use super::tale::{Order, Span, Tale, Told, capital, differ, engine, lowest, seconds, times};
use crate::judgement::EventKind;
use crate::report::units::fixed;
use crate::simulation::Sample;

/// Protections that may cut the fuel: what they do is told with their act.
const CUTTERS: [&str; 3] = ["pinned_sensor", "frozen_sensor", "over_boost"];
/// So many cuts are told one by one.
const FEW: usize = 3;
/// A change of fuel from one tick to the next that is a step of the load, as a
/// share of the larger of the two.
const STEP: f64 = 0.05;

/// Cuts and steps.
pub(super) fn told(tale: &Tale) -> Vec<Told> {
    let mut cuts = tale.spans(EventKind::FuelCut, EventKind::FuelBack);
    cuts.retain(|span| !by_a_protection(tale, span));
    let mut told = Vec::new();
    if cuts.len() <= FEW {
        told.extend(cuts.iter().map(|span| cut(tale, span)));
    } else {
        told.push(many(tale, &cuts));
    }
    told.extend(load_step(tale));
    told
}

/// Whether a protection begins to act where the fuel goes.
fn by_a_protection(tale: &Tale, span: &Span) -> bool {
    tale.events.iter().any(|event| {
        matches!(event.kind, EventKind::ProtectionActs(name) if CUTTERS.contains(&name))
            && event.at.time_s == span.from.time_s
    })
}

fn cut(tale: &Tale, span: &Span) -> Told {
    let (before, s) = (tale.before(span.from.time_s), &span.from);
    let gear = before.and_then(|s| s.gear).filter(|gear| *gear > 0);
    let next = span.to.and_then(|s| s.gear).filter(|gear| *gear > 0);
    let why = match (gear, next) {
        (Some(from), Some(to)) if from != to => format!(", from gear {from} to gear {to}"),
        _ => String::new(),
    };
    let how_long = match span.to {
        Some(_) => format!("for {}", seconds(span.lasts_s())),
        None => "to the end".to_owned(),
    };
    let first = format!("The fuel is cut {how_long} at {}{why}.", engine(s));
    let end = span.to.unwrap_or(*tale.last);
    let sentences = vec![first, fall(tale, s, &end), near_surge(tale, span)];
    Told::new(s.time_s, Order::Fuel, 80, sentences)
}

/// What changes during a cut, as far as the shown figures do.
fn fall(tale: &Tale, s: &Sample, end: &Sample) -> String {
    let mut ways = Vec::new();
    if differ(s.engine_speed_rpm, end.engine_speed_rpm, 0) {
        let from = fixed(s.engine_speed_rpm, 0);
        ways.push(("engine speed", format!("from {from} to {}", engine(end))));
    }
    if differ(s.shaft_speed_rpm / 1000.0, end.shaft_speed_rpm / 1000.0, 1) {
        let way = tale.krpm_way(s.shaft_speed_rpm, end.shaft_speed_rpm);
        ways.push(("the shaft", way));
    }
    if tale.bare(s.boost_true_kpa_abs) != tale.bare(end.boost_true_kpa_abs) {
        let way = tale.abs_way(s.boost_true_kpa_abs, end.boost_true_kpa_abs);
        ways.push(("true boost", way));
    }
    let Some(((what, way), rest)) = ways.split_first() else {
        return String::new();
    };
    let rest: String = (rest.iter())
        .map(|(what, way)| format!(", {what} {way}"))
        .collect();
    format!("{} goes {way}{rest}.", capital(what))
}

/// How near the compressor comes to its surge line during a cut.
fn near_surge(tale: &Tale, span: &Span) -> String {
    lowest(tale.during(span), |s| s.surge_margin_pct)
        .filter(|low| low.surge_margin_pct >= 0.0)
        .map_or_else(String::new, |low| {
            format!(
                "The compressor keeps {} % to its surge line.",
                fixed(low.surge_margin_pct, 1)
            )
        })
}

fn many(tale: &Tale, cuts: &[Span]) -> Told {
    let last = &cuts[cuts.len() - 1];
    let gears = tale.result.road.as_ref().map_or_else(String::new, |road| {
        format!(" There are {} gear changes.", road.gear_changes)
    });
    let margin = (cuts.iter())
        .filter_map(|span| lowest(tale.during(span), |s| s.surge_margin_pct))
        .min_by(|a, b| a.surge_margin_pct.total_cmp(&b.surge_margin_pct));
    let near = margin.map_or_else(String::new, |low| {
        format!(
            "The least distance to surge in them is {} %, at {}.",
            fixed(low.surge_margin_pct, 1),
            seconds(low.time_s)
        )
    });
    let sentence = format!(
        "The fuel is cut {}, the last time at {}.{gears}",
        times(cuts.len()),
        seconds(last.from.time_s)
    );
    Told::new(cuts[0].from.time_s, Order::Fuel, 80, vec![sentence, near])
}

/// The largest step of the fuel, where one is asked for.
fn load_step(tale: &Tale) -> Option<Told> {
    if !tale
        .result
        .procedure
        .split(" + ")
        .any(|part| part == "load_step")
    {
        return None;
    }
    // two samples without fuel have no larger one to compare with
    let fuelled = |pair: &&[Sample]| pair.iter().any(|s| s.fuel_mg_per_injection > 0.0);
    let change = |pair: &[Sample]| {
        let (a, b) = (pair[0].fuel_mg_per_injection, pair[1].fuel_mg_per_injection);
        (b - a).abs() / a.max(b)
    };
    let step = (tale.samples.windows(2))
        .filter(fuelled)
        .filter(|pair| pair[0].active_protections == pair[1].active_protections)
        .filter(|pair| pair[0].engine_speed_rpm == pair[1].engine_speed_rpm)
        .max_by(|a, b| change(a).total_cmp(&change(b)))
        .filter(|pair| change(pair) > STEP)?;
    let (before, s) = (&step[0], &step[1]);
    let sentence = format!(
        "The load steps: fuel goes from {} to {} mg per injection at once.",
        fixed(before.fuel_mg_per_injection, 0),
        fixed(s.fuel_mg_per_injection, 0)
    );
    let highest = super::tale::highest(tale.within(s.time_s, tale.last.time_s), |s| {
        s.fuel_mg_per_injection
    });
    let later = highest
        .filter(|most| most.fuel_mg_per_injection > s.fuel_mg_per_injection + 1.0)
        .map_or_else(String::new, |most| {
            format!(
                "More, up to {} mg, comes with the boost, by {}.",
                fixed(most.fuel_mg_per_injection, 0),
                seconds(most.time_s)
            )
        });
    Some(Told::new(s.time_s, Order::Fuel, 85, vec![sentence, later]).with(Weight::Plain))
}
