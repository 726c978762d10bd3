//! One engine after another, each by its number.
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use statrs::function::erf::erfc;

use crate::judgement::VariedNumber;
use crate::scenario::{Deviation, Loaded, SpreadShape, WrittenNumber, written_number};
use crate::study::band::normal_quantile;

/// One number that differs from engine to engine.
#[derive(Debug, Clone, PartialEq)]
pub struct Input {
    /// What is said of it in the result.
    pub named: VariedNumber,
    /// As it is written.
    written: WrittenNumber,
    /// Half-width in the unit that is written.
    half_width: f64,
    shape: SpreadShape,
    /// Nothing further off, in the unit that is written.
    within: Option<f64>,
}

/// The inputs of a scenario: its production spreads, and with `uncertainty` what is
/// not known of the model besides.
pub fn inputs(loaded: &Loaded, with_uncertainty: bool) -> Vec<Input> {
    let scenario = &loaded.scenario;
    let production = scenario.production.iter().map(|(path, spread)| {
        let (half_width, within) = (spread.half_width.clone(), spread.within.clone());
        ("production", path, half_width, spread.shape, within)
    });
    let uncertain = scenario.uncertainty.iter().map(|(path, spread)| {
        let half_width = Deviation::Relative(spread.half_width.fraction());
        ("uncertainty", path, half_width, spread.shape, None)
    });
    production
        .chain(uncertain.filter(|_| with_uncertainty))
        .filter_map(|(section, path, half_width, shape, within)| {
            // the checks have seen to it that there is a number and that units fit
            let written = written_number(loaded, path)?;
            Some(Input {
                half_width: written.width(&half_width)?,
                within: match &within {
                    Some(within) => Some(written.width(within)?),
                    None => None,
                },
                named: VariedNumber {
                    path: path.clone(),
                    section: section.to_owned(),
                    written: written.with(written.number),
                    spread: half_width.to_string(),
                    shape: shape.name().to_owned(),
                    within: within.map(|within| within.to_string()),
                },
                written,
                shape,
            })
        })
        .collect()
}

impl Input {
    /// How far one engine lies off, in the unit that is written, for a u between 0
    /// and 1.
    ///
    /// Normal: s·z/2, where the spread s is two standard deviations and z the normal
    /// quantile of u; with a bound b the quantile of Φ(−2b/s) + u·(1 − 2·Φ(−2b/s)),
    /// the normal distribution with its tails cut off. Uniform: s·(2u − 1).
    fn deviation(&self, u: f64) -> f64 {
        let s = self.half_width;
        match self.shape {
            SpreadShape::Uniform => self.within.map_or(s, |b| b.min(s)) * (2.0 * u - 1.0),
            // no spread is no deviation, whatever its bound
            SpreadShape::Normal if s == 0.0 => 0.0,
            SpreadShape::Normal => {
                let tail = self
                    .within
                    .map_or(0.0, |b| 0.5 * erfc(2.0 * b / s / std::f64::consts::SQRT_2));
                0.5 * s * normal_quantile(tail + u * (1.0 - 2.0 * tail))
            }
        }
    }

    /// The unit behind its value; empty for a bare number.
    pub fn unit(&self) -> &str {
        self.written.unit()
    }
}

/// One engine.
#[derive(Debug, Clone, PartialEq)]
pub struct Engine {
    /// Its number, from 0.
    pub index: u32,
    /// How far each input lies off, in the unit that is written.
    pub deviations: Vec<f64>,
    /// Path and value of each number that differs; of two inputs at one path the
    /// deviations add up.
    pub values: Vec<(String, String)>,
}

/// An engine by its number: independent of all others, and the same however many
/// there are. Its numbers are a stream of the ChaCha generator of their own.
pub fn engine(inputs: &[Input], seed: u32, index: u32) -> Engine {
    let mut random = ChaCha8Rng::seed_from_u64(seed.into());
    random.set_stream(index.into());
    let deviations: Vec<f64> = inputs
        .iter()
        .map(|input| {
            // the middle of one of 2^53 cells, so neither 0 nor 1
            let cell = (random.next_u64() >> 11) as f64;
            input.deviation((cell + 0.5) / 2f64.powi(53))
        })
        .collect();
    let mut values: Vec<(&Input, f64)> = Vec::new();
    for (input, deviation) in inputs.iter().zip(&deviations) {
        match values
            .iter_mut()
            .find(|(other, _)| other.named.path == input.named.path)
        {
            Some((_, sum)) => *sum += deviation,
            None => values.push((input, *deviation)),
        }
    }
    Engine {
        index,
        values: values
            .into_iter()
            .map(|(input, off)| {
                let value = input.written.with(input.written.number + off);
                (input.named.path.clone(), value)
            })
            .collect(),
        deviations,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn input(shape: SpreadShape, within: Option<f64>) -> Input {
        Input {
            named: VariedNumber::default(),
            written: WrittenNumber::of("100 kPa abs").unwrap(),
            half_width: 2.0,
            shape,
            within,
        }
    }

    /// Mean 0 and variance (s/2)², s²/3; of a normal one cut at c standard deviations
    /// 1 − 2c·φ(c)/(2Φ(c) − 1), at c = 1 0.291125 (from memory: any table of the
    /// truncated normal distribution). With 40 000 draws a variance is known to
    /// √(2/n) = 0.7 %; three of those are allowed.
    #[test]
    fn deviations_have_the_moments_of_their_shape() {
        for (shape, within, variance) in [
            (SpreadShape::Normal, None, 1.0),
            (SpreadShape::Normal, Some(1.0), 0.291_125),
            (SpreadShape::Uniform, None, 4.0 / 3.0),
            (SpreadShape::Uniform, Some(1.0), 1.0 / 3.0),
        ] {
            let one = [input(shape, within)];
            let n = 40_000;
            let off: Vec<f64> = (0..n).map(|k| engine(&one, 5, k).deviations[0]).collect();
            let mean = off.iter().sum::<f64>() / f64::from(n);
            let square = off.iter().map(|x| x * x).sum::<f64>() / f64::from(n);
            assert!(
                mean.abs() < 3.0 * (variance / f64::from(n)).sqrt(),
                "{shape:?}: {mean}"
            );
            assert!(
                (square / variance - 1.0).abs() < 0.021,
                "{shape:?}: {square}"
            );
            let bound = within.unwrap_or(f64::INFINITY);
            assert!(off.iter().all(|x| x.abs() <= bound), "{shape:?}");
        }
    }

    #[test]
    fn two_spreads_of_one_number_add_up() {
        let twice = [
            input(SpreadShape::Normal, None),
            input(SpreadShape::Uniform, None),
        ];
        let drawn = engine(&twice, 1, 3);
        let sum = 100.0 + (drawn.deviations[0] + drawn.deviations[1]);
        assert_eq!(drawn.values, [(String::new(), format!("{sum} kPa abs"))]);
    }
}
