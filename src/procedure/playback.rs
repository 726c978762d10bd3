//! A course that was recorded: engine speed, fuel and perhaps altitude over time.
use super::{Asked, FuelAsked};

/// A recorded course, straight between its points.
#[derive(Debug, Clone, PartialEq)]
pub struct Recording {
    time_s: Vec<f64>,
    speed_rad_s: Vec<f64>,
    fuel_kg: Vec<f64>,
    altitude_m: Option<Vec<f64>>,
}

/// Why columns make no recording.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum RecordingProblem {
    /// Fewer than two rows, or columns of unequal length.
    #[error("a recording needs two rows or more, with a figure in each column")]
    Shape,
    /// Time does not rise.
    #[error("the time of row {index} does not rise")]
    NotRising {
        /// Which one, from 0.
        index: usize,
    },
}

impl Recording {
    /// A recording of time \[s\], engine speed \[rad/s\], fuel \[kg per
    /// injection\] and perhaps altitude \[m\]. It begins at its first time.
    ///
    /// # Errors
    /// Columns that do not belong together, or a time that does not rise.
    pub fn new(
        time_s: Vec<f64>,
        speed_rad_s: Vec<f64>,
        fuel_kg: Vec<f64>,
        altitude_m: Option<Vec<f64>>,
    ) -> Result<Self, RecordingProblem> {
        let rows = time_s.len();
        let altitudes = altitude_m.as_ref().map_or(rows, Vec::len);
        if rows < 2 || speed_rad_s.len() != rows || fuel_kg.len() != rows || altitudes != rows {
            return Err(RecordingProblem::Shape);
        }
        if let Some(index) = (1..rows).find(|&k| {
            let step = time_s[k] - time_s[k - 1];
            step.is_nan() || step <= 0.0
        }) {
            return Err(RecordingProblem::NotRising { index });
        }
        Ok(Self {
            time_s,
            speed_rad_s,
            fuel_kg,
            altitude_m,
        })
    }

    /// How long it lasts \[s\].
    pub fn duration_s(&self) -> f64 {
        self.time_s[self.time_s.len() - 1] - self.time_s[0]
    }

    /// Lowest and highest altitude \[m\], where altitude was recorded.
    pub fn altitudes_m(&self) -> Option<(f64, f64)> {
        let altitudes = self.altitude_m.as_ref()?;
        Some(
            altitudes
                .iter()
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), &h| {
                    (low.min(h), high.max(h))
                }),
        )
    }

    /// Lowest and highest engine speed \[rad/s\].
    pub fn speeds_rad_s(&self) -> (f64, f64) {
        self.speed_rad_s
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), &n| {
                (low.min(n), high.max(n))
            })
    }

    /// What was asked at a time since its beginning \[s\], held beyond both ends.
    pub fn at(&self, t_s: f64) -> Asked {
        let t = &self.time_s;
        let time_s = t[0] + t_s;
        let k = t.partition_point(|&x| x <= time_s).clamp(1, t.len() - 1) - 1;
        let span_s = t[k + 1] - t[k];
        let share = ((time_s - t[k]) / span_s).clamp(0.0, 1.0);
        let between = |column: &[f64]| column[k] + (column[k + 1] - column[k]) * share;
        let moving = time_s < t[t.len() - 1];
        Asked {
            speed_rad_s: between(&self.speed_rad_s),
            speed_rate_rad_s2: if moving {
                (self.speed_rad_s[k + 1] - self.speed_rad_s[k]) / span_s
            } else {
                0.0
            },
            fuel: FuelAsked::Quantity(between(&self.fuel_kg)),
            altitude_m: self.altitude_m.as_deref().map(between),
            ..Asked::default()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_straight_between_its_points_and_held_beyond() {
        let r = Recording::new(
            vec![2.0, 3.0, 5.0],
            vec![100.0, 200.0, 150.0],
            vec![0.0, 0.25, 0.5],
            None,
        )
        .expect("a recording");
        assert_eq!(r.duration_s(), 3.0);
        assert_eq!(r.at(0.5).speed_rad_s, 150.0);
        assert_eq!(r.at(0.5).speed_rate_rad_s2, 100.0);
        assert_eq!(r.at(2.0).speed_rad_s, 175.0);
        assert_eq!(r.at(2.0).fuel, FuelAsked::Quantity(0.375));
        assert_eq!(r.at(9.0).speed_rad_s, 150.0);
        assert_eq!(r.at(9.0).speed_rate_rad_s2, 0.0);
    }

    #[test]
    fn columns_that_do_not_fit_are_refused() {
        let short = Recording::new(vec![0.0, 1.0], vec![1.0], vec![0.0, 0.0], None);
        assert_eq!(short, Err(RecordingProblem::Shape));
        let back = Recording::new(vec![0.0, 0.0], vec![1.0; 2], vec![0.0; 2], None);
        assert_eq!(back, Err(RecordingProblem::NotRising { index: 1 }));
    }
}
