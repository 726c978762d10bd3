//! Tables over one and two axes, piecewise linear, held at their ends.
//!
//! Holding the end value is what an engine controller does with its tables; it
//! is the meaning of a table here, not a repair of bad input.

/// Why a table cannot be built.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TableError {
    /// An axis needs at least one point.
    #[error("an axis has no points")]
    Empty,
    /// Number of values does not fit the axes.
    #[error("{values} values for {points} points")]
    Shape {
        /// Values given.
        values: usize,
        /// Points of the axes.
        points: usize,
    },
    /// An axis does not rise strictly.
    #[error("the axis does not rise at point {0}")]
    NotRising(usize),
    /// A number is not finite.
    #[error("a number is not finite")]
    NotFinite,
}

/// A table over one axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Table1 {
    axis: Vec<f64>,
    values: Vec<f64>,
}

/// A table over two axes; rows follow the first, columns the second.
#[derive(Debug, Clone, PartialEq)]
pub struct Table2 {
    rows: Vec<f64>,
    columns: Vec<f64>,
    values: Vec<f64>,
}

impl Table1 {
    /// A table with strictly rising axis and one value for each point.
    pub fn new(axis: Vec<f64>, values: Vec<f64>) -> Result<Self, TableError> {
        check_axis(&axis)?;
        check_values(&values, axis.len())?;
        Ok(Self { axis, values })
    }

    /// The same value everywhere.
    pub fn constant(value: f64) -> Self {
        Self {
            axis: vec![0.0],
            values: vec![value],
        }
    }

    /// The value at `x`, linear between points, held beyond the ends.
    pub fn at(&self, x: f64) -> f64 {
        let (i, w) = locate(&self.axis, x);
        if w == 0.0 {
            return self.values[i];
        }
        self.values[i] + w * (self.values[i + 1] - self.values[i])
    }

    /// First and last point of the axis.
    pub fn range(&self) -> (f64, f64) {
        (self.axis[0], self.axis[self.axis.len() - 1])
    }

    /// The points, (axis, value).
    pub fn points(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        self.axis.iter().copied().zip(self.values.iter().copied())
    }

    /// The same table with every value mapped.
    pub fn map_values(&self, f: impl Fn(f64) -> f64) -> Self {
        Self {
            axis: self.axis.clone(),
            values: self.values.iter().map(|&v| f(v)).collect(),
        }
    }
}

impl Table2 {
    /// A table with strictly rising axes and row-major values.
    pub fn new(rows: Vec<f64>, columns: Vec<f64>, values: Vec<f64>) -> Result<Self, TableError> {
        check_axis(&rows)?;
        check_axis(&columns)?;
        check_values(&values, rows.len() * columns.len())?;
        Ok(Self {
            rows,
            columns,
            values,
        })
    }

    /// The same value everywhere.
    pub fn constant(value: f64) -> Self {
        Self {
            rows: vec![0.0],
            columns: vec![0.0],
            values: vec![value],
        }
    }

    /// The value at (`row`, `column`), bilinear, held beyond the ends.
    pub fn at(&self, row: f64, column: f64) -> f64 {
        let (i, u) = locate(&self.rows, row);
        let (j, w) = locate(&self.columns, column);
        let n = self.columns.len();
        let along = |i: usize| {
            let a = self.values[i * n + j];
            if w == 0.0 {
                a
            } else {
                a + w * (self.values[i * n + j + 1] - a)
            }
        };
        let a = along(i);
        if u == 0.0 {
            a
        } else {
            a + u * (along(i + 1) - a)
        }
    }

    /// Every value mapped.
    pub fn map_values(&self, f: impl Fn(f64) -> f64) -> Self {
        Self {
            rows: self.rows.clone(),
            columns: self.columns.clone(),
            values: self.values.iter().map(|&v| f(v)).collect(),
        }
    }
}

/// Index of the interval and the weight of its upper end; weight 0 at or
/// beyond the ends.
fn locate(axis: &[f64], x: f64) -> (usize, f64) {
    let last = axis.len() - 1;
    if x <= axis[0] {
        return (0, 0.0);
    }
    if x >= axis[last] {
        return (last, 0.0);
    }
    // a lost number falls through both ends; it stays lost in the weight
    let upper = axis.partition_point(|&a| a <= x).clamp(1, last.max(1));
    if last == 0 {
        return (0, x * 0.0);
    }
    let (a, b) = (axis[upper - 1], axis[upper]);
    (upper - 1, (x - a) / (b - a))
}

fn check_axis(axis: &[f64]) -> Result<(), TableError> {
    if axis.is_empty() {
        return Err(TableError::Empty);
    }
    if axis.iter().any(|a| !a.is_finite()) {
        return Err(TableError::NotFinite);
    }
    match axis.windows(2).position(|w| w[1] <= w[0]) {
        Some(i) => Err(TableError::NotRising(i + 1)),
        None => Ok(()),
    }
}

fn check_values(values: &[f64], points: usize) -> Result<(), TableError> {
    if values.len() != points {
        return Err(TableError::Shape {
            values: values.len(),
            points,
        });
    }
    if values.iter().any(|v| !v.is_finite()) {
        return Err(TableError::NotFinite);
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn linear_between_and_held_beyond() {
        let t = Table1::new(vec![1.0, 2.0, 4.0], vec![10.0, 20.0, 0.0]).unwrap();
        assert_eq!(t.at(0.0), 10.0);
        assert_eq!(t.at(1.5), 15.0);
        assert_eq!(t.at(2.0), 20.0);
        assert_eq!(t.at(3.0), 10.0);
        assert_eq!(t.at(9.0), 0.0);
    }

    #[test]
    fn bilinear_reproduces_a_plane() {
        let f = |x: f64, y: f64| 3.0 + 2.0 * x - y;
        let rows = vec![0.0, 1.0, 3.0];
        let columns = vec![0.0, 2.0];
        let values = rows
            .iter()
            .flat_map(|&x| columns.iter().map(move |&y| f(x, y)))
            .collect();
        let t = Table2::new(rows, columns, values).unwrap();
        for (x, y) in [(0.5, 0.5), (2.0, 1.5), (3.0, 2.0), (1.0, 0.0)] {
            assert!((t.at(x, y) - f(x, y)).abs() < 1e-14);
        }
        assert_eq!(t.at(-1.0, 9.0), f(0.0, 2.0));
    }

    #[test]
    fn bad_axes_are_refused() {
        assert_eq!(
            Table1::new(vec![1.0, 1.0], vec![0.0, 0.0]),
            Err(TableError::NotRising(1))
        );
        assert!(matches!(
            Table2::new(vec![1.0], vec![1.0], vec![1.0, 2.0]),
            Err(TableError::Shape { .. })
        ));
        assert_eq!(Table1::new(vec![], vec![]), Err(TableError::Empty));
    }
}
