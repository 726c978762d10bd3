//! Which cases a sweep has.
use std::ops::Range;

use super::axis::Axis;
use crate::judgement::SweepEntry;
use crate::study::band::{MOST_DRAWS, point};

/// Most cases in one output.
pub const MOST_CASES: u64 = 10_000_000;

/// Which points are taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sampling {
    /// Every combination, the first axis slowest.
    Grid,
    /// Points of an Owen-scrambled Sobol sequence in the box of the ranges.
    Draws {
        /// How many.
        draws: u32,
        /// Their seed.
        seed: u32,
    },
}

/// One of several equal parts of a sweep: a block of cases that follow each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shard {
    /// Which, from 1.
    pub part: u64,
    /// Of how many.
    pub of: u64,
}

impl Shard {
    /// The whole sweep.
    pub const WHOLE: Self = Self { part: 1, of: 1 };

    /// Its cases out of so many: parts differ by one case at most.
    pub fn cases(self, total: u64) -> Range<u64> {
        let start = |part: u64| (u128::from(total) * u128::from(part) / u128::from(self.of)) as u64;
        start(self.part - 1)..start(self.part)
    }
}

/// All cases, each made from its number alone.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// What varies.
    pub axes: Vec<Axis>,
    /// Which points are taken.
    pub sampling: Sampling,
    /// Which part of them.
    pub shard: Shard,
    total: u64,
}

/// Why there is no plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PlanProblem {
    /// A path is varied twice.
    Twice(String),
    /// A range says no count, and points of a grid are wanted.
    NoCount(String),
    /// More cases than one output may hold; carries how many, if they can be counted.
    TooMany(Option<u64>),
    /// More draws than the sequence has points.
    TooManyDraws,
    /// More parts than cases.
    EmptyShard,
}

impl Plan {
    /// Puts axes together.
    ///
    /// # Errors
    /// See [`PlanProblem`].
    pub fn new(axes: Vec<Axis>, sampling: Sampling, shard: Shard) -> Result<Self, PlanProblem> {
        for (at, axis) in axes.iter().enumerate() {
            if axes[..at].iter().any(|other| other.path == axis.path) {
                return Err(PlanProblem::Twice(axis.path.clone()));
            }
        }
        let total = match sampling {
            Sampling::Draws { draws, .. } if draws > MOST_DRAWS => {
                return Err(PlanProblem::TooManyDraws);
            }
            Sampling::Draws { draws, .. } => u64::from(draws),
            Sampling::Grid => {
                let mut total = Some(1_u64);
                for axis in &axes {
                    let count = axis.count();
                    let count = count.ok_or_else(|| PlanProblem::NoCount(axis.path.clone()))?;
                    total = total.and_then(|total| total.checked_mul(count));
                }
                total.ok_or(PlanProblem::TooMany(None))?
            }
        };
        let plan = Self {
            axes,
            sampling,
            shard,
            total,
        };
        let own = plan.cases();
        if own.end - own.start > MOST_CASES {
            return Err(PlanProblem::TooMany(Some(total)));
        }
        if own.is_empty() {
            return Err(PlanProblem::EmptyShard);
        }
        Ok(plan)
    }

    /// How many cases the whole sweep has.
    pub fn total(&self) -> u64 {
        self.total
    }

    /// The numbers of the cases in this part.
    pub fn cases(&self) -> Range<u64> {
        self.shard.cases(self.total)
    }

    /// Which value each axis has in a case: its number along the axis. Only on a grid.
    pub fn place(&self, case: u64) -> Option<Vec<u64>> {
        if self.sampling != Sampling::Grid {
            return None;
        }
        let mut rest = case;
        let mut places: Vec<u64> = Vec::with_capacity(self.axes.len());
        for axis in self.axes.iter().rev() {
            let count = axis.count().unwrap_or(1);
            places.push(rest % count);
            rest /= count;
        }
        places.reverse();
        Some(places)
    }

    /// What each axis has in a case: as the scenario is given it, and as it is shown.
    pub fn values(&self, case: u64) -> Vec<(String, SweepEntry)> {
        let axes = self.axes.iter();
        match (self.place(case), self.sampling) {
            (Some(places), _) => axes.zip(places).map(|(axis, at)| axis.at(at)).collect(),
            (None, Sampling::Draws { seed, .. }) => axes
                .enumerate()
                .map(|(dimension, axis)| axis.at_share(point(seed, case as u32, dimension as u32)))
                .collect(),
            (None, Sampling::Grid) => Vec::new(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn axis(text: &str) -> Axis {
        let (path, values) = text.split_once('=').unwrap();
        Axis::read(path, values).unwrap()
    }

    #[test]
    fn the_first_axis_is_slowest() {
        let axes = vec![
            axis("engine.cylinders=4,6"),
            axis("solver.tolerance=1..3:3"),
        ];
        let plan = Plan::new(axes, Sampling::Grid, Shard::WHOLE).unwrap();
        let texts: Vec<String> = plan
            .cases()
            .map(|case| {
                let values = plan.values(case);
                values.iter().map(|(text, _)| text.as_str()).collect()
            })
            .collect();
        assert_eq!(texts, ["41", "42", "43", "61", "62", "63"]);
    }

    #[test]
    fn parts_make_the_whole() {
        for (total, of) in [(10, 3), (7, 7), (1000, 64)] {
            let mut next = 0;
            for part in 1..=of {
                let cases = Shard { part, of }.cases(total);
                assert_eq!(cases.start, next);
                next = cases.end;
            }
            assert_eq!(next, total);
        }
    }

    #[test]
    fn draws_fill_the_box_and_depend_on_the_seed() {
        let plan = |seed| {
            let axes = vec![
                axis("ambient.altitude=1000..2000m"),
                axis("engine.cylinders=4,6"),
            ];
            Plan::new(axes, Sampling::Draws { draws: 64, seed }, Shard::WHOLE).unwrap()
        };
        let altitudes: Vec<f64> = (0..64)
            .map(|case| match plan(1).values(case)[0].1 {
                SweepEntry::Number(m) => m,
                SweepEntry::Word(_) => f64::NAN,
            })
            .collect();
        assert!(altitudes.iter().all(|m| (1000.0..2000.0).contains(m)));
        // a Sobol sequence has as many points in each half as in the other
        assert_eq!(altitudes.iter().filter(|m| **m < 1500.0).count(), 32);
        let fours = (0..64).filter(|&case| plan(1).values(case)[1].0 == "4");
        assert_eq!(fours.count(), 32);
        assert_ne!(plan(1).values(5), plan(2).values(5));
    }

    #[test]
    fn what_cannot_be_planned_is_refused() {
        let many = "ambient.altitude=0..3000m:100000";
        let refused = |axes: &[&str], sampling, shard| {
            Plan::new(
                axes.iter().map(|text| axis(text)).collect(),
                sampling,
                shard,
            )
            .unwrap_err()
        };
        let grid = Sampling::Grid;
        assert_eq!(
            refused(&[many, "solver.tolerance=1..2:10000"], grid, Shard::WHOLE),
            PlanProblem::TooMany(Some(1_000_000_000))
        );
        assert!(matches!(
            refused(&[many, many], grid, Shard::WHOLE),
            PlanProblem::Twice(_)
        ));
        assert!(matches!(
            refused(&["ambient.altitude=0..3000m"], grid, Shard::WHOLE),
            PlanProblem::NoCount(_)
        ));
        let shard = Shard { part: 1, of: 3 };
        assert_eq!(
            refused(&["engine.cylinders=4,6"], grid, shard),
            PlanProblem::EmptyShard
        );
        let draws = Sampling::Draws {
            draws: MOST_DRAWS + 1,
            seed: 1,
        };
        assert_eq!(
            refused(&[many], draws, Shard::WHOLE),
            PlanProblem::TooManyDraws
        );
    }
}
