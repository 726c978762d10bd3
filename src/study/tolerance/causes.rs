//! Which inputs make a headroom vary.
//!
//! Inputs and headroom are replaced by their ranks, which a monotone bend does not
//! change, and the headroom's ranks are regressed on those of all inputs at once. Of
//! independent inputs the squared standardized coefficients add up to the explained
//! variance R², so each is its input's share of it.
//!
//! Source: R. L. Iman and W. J. Conover, The use of the rank transform in regression,
//! Technometrics 21 (1979), p. 499; as a measure of importance in A. Saltelli, K. Chan
//! and E. M. Scott (eds.), Sensitivity Analysis, Wiley 2000, chapter 2 (from memory).
use nalgebra::{DMatrix, DVector};

/// What the inputs explain of an output.
#[derive(Debug, Clone, PartialEq)]
pub struct Explained {
    /// Share of the variance in ranks that all inputs explain together, R² \[-\].
    pub explained: f64,
    /// Standardized rank regression coefficient of each input \[-\].
    pub coefficients: Vec<f64>,
}

impl Explained {
    /// Share of each input in what is explained \[-\]; they add up to 1.
    pub fn shares(&self) -> Vec<f64> {
        let all: f64 = self.coefficients.iter().map(|c| c * c).sum();
        let share = |c: &f64| if all > 0.0 { c * c / all } else { 0.0 };
        self.coefficients.iter().map(share).collect()
    }
}

/// Fewest draws for each input, below which a regression explains mere chance.
const DRAWS_PER_INPUT: usize = 4;

/// Explains an output by inputs, one list each over the same draws. `None` where the
/// output does not vary or the draws are too few.
pub fn explain(inputs: &[Vec<f64>], output: &[f64]) -> Option<Explained> {
    let count = output.len();
    let output = standardized_ranks(output)?;
    let columns: Vec<Option<Vec<f64>>> = inputs.iter().map(|x| standardized_ranks(x)).collect();
    let moving: Vec<&Vec<f64>> = columns.iter().flatten().collect();
    if moving.is_empty() || count < DRAWS_PER_INPUT * (moving.len() + 1) {
        return None;
    }
    let x = DMatrix::from_fn(count, moving.len(), |row, column| moving[column][row]);
    let y = DVector::from_vec(output);
    // singular where two inputs have the same ranks in every draw
    let solved = (x.transpose() * &x)
        .cholesky()?
        .solve(&(x.transpose() * &y));
    let left = &y - &x * &solved;
    let mut solved = solved.iter().copied();
    let coefficients = columns
        .iter()
        .map(|column| column.as_ref().and_then(|_| solved.next()).unwrap_or(0.0))
        .collect();
    Some(Explained {
        explained: (1.0 - left.norm_squared() / y.norm_squared()).max(0.0),
        coefficients,
    })
}

/// Ranks with mean 0 and variance 1, equal values sharing the middle of theirs; `None`
/// where all values are equal.
fn standardized_ranks(values: &[f64]) -> Option<Vec<f64>> {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|&a, &b| values[a].total_cmp(&values[b]));
    let mut ranks = vec![0.0; values.len()];
    for tied in order.chunk_by(|&a, &b| values[a] == values[b]) {
        let first = order.partition_point(|&at| values[at].total_cmp(&values[tied[0]]).is_lt());
        let middle = first as f64 + (tied.len() as f64 - 1.0) / 2.0;
        for &at in tied {
            ranks[at] = middle;
        }
    }
    let count = ranks.len() as f64;
    let mean = ranks.iter().sum::<f64>() / count;
    let variance = ranks.iter().map(|r| (r - mean).powi(2)).sum::<f64>() / count;
    (variance > 0.0).then(|| ranks.iter().map(|r| (r - mean) / variance.sqrt()).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_values_share_the_middle_of_their_ranks() {
        let ranks = standardized_ranks(&[3.0, 1.0, 3.0, 9.0]).unwrap();
        assert_eq!(ranks[0], ranks[2]);
        // ranks 1.5, 0, 1.5, 3: steps of 1.5 on either side
        assert!((ranks[3] - ranks[0] - (ranks[0] - ranks[1])).abs() < 1e-12);
        assert_eq!(standardized_ranks(&[2.0, 2.0]), None);
    }

    /// One input alone that the headroom follows through a bend explains all.
    #[test]
    fn a_monotone_bend_changes_nothing() {
        let x: Vec<f64> = (0..40).map(f64::from).collect();
        let bent: Vec<f64> = x.iter().map(|x| -x.powi(3)).collect();
        let found = explain(&[x], &bent).unwrap();
        assert!((found.explained - 1.0).abs() < 1e-12, "{found:?}");
        assert!((found.coefficients[0] + 1.0).abs() < 1e-12, "{found:?}");
    }

    #[test]
    fn what_stands_still_has_no_share_and_few_draws_explain_nothing() {
        let x: Vec<f64> = (0..16).map(f64::from).collect();
        let still = vec![5.0; 16];
        let found = explain(&[still.clone(), x.clone()], &x).unwrap();
        assert_eq!(found.shares(), [0.0, 1.0]);
        assert_eq!(explain(std::slice::from_ref(&x), &still), None);
        assert_eq!(explain(&[x[..7].to_vec()], &x[..7]), None);
    }
}
