//! `--band`: the stated uncertainty carried into an answer.
use super::args::BandArgs;
use super::failure::Failure;
use super::load::Ready;
use crate::judgement::BandBasis;
use crate::scenario::FactorFailure;
use crate::study::band::{Draw, DrawFailure, Drawing, basis, draws};

/// The draws that were asked for, before any work starts; none without `--band`.
pub fn asked(args: &BandArgs, ready: &Ready) -> Result<Option<(BandBasis, Vec<Draw>)>, Failure> {
    if !args.band {
        return Ok(None);
    }
    let drawing = Drawing {
        draws: args.draws,
        seed: args.seed,
    };
    let drawn = draws(&ready.loaded, drawing).map_err(|failure| refused(ready, &failure))?;
    let basis = basis(&ready.loaded.scenario.uncertainty, drawing);
    Ok(Some((basis, drawn)))
}

fn refused(ready: &Ready, failure: &DrawFailure) -> Failure {
    let message = format!("{}: {failure}", ready.file);
    match failure {
        DrawFailure::NothingStated => Failure::call(
            message,
            "--band",
            "a scenario with an `uncertainty` section",
            "state the spread of what you know least, such as `shaft.inertia: 5 %`",
        ),
        DrawFailure::Draw { failure, .. } => {
            let (read, allowed) = match failure.as_ref() {
                FactorFailure::Refused { diagnostics, .. } => diagnostics
                    .diagnostics
                    .first()
                    .map_or((String::new(), String::new()), |d| {
                        (
                            format!("{}: {} ({})", d.path, d.read, d.message),
                            d.allowed.clone(),
                        )
                    }),
                FactorFailure::Unfit { failure, .. } => {
                    (failure.to_string(), "parts that fit each other".to_owned())
                }
                FactorFailure::NoNumber { path } => {
                    (path.clone(), "the path of a number".to_owned())
                }
            };
            Failure::call(
                message,
                read,
                allowed,
                "state a smaller spread, or `{spread: …, shape: uniform}`, which has no tails",
            )
        }
    }
}
