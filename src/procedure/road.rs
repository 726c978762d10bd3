//! A road: altitude over the distance along it.

/// Altitude over distance, straight between the points.
#[derive(Debug, Clone, PartialEq)]
pub struct RoadProfile {
    distance_m: Vec<f64>,
    altitude_m: Vec<f64>,
}

/// Why points make no road.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum RoadProblem {
    /// Fewer than two points, or not one altitude for each distance.
    #[error("a road needs two points or more, with a distance and an altitude each")]
    Shape,
    /// Distances do not rise from zero.
    #[error("distance {index} along the road does not rise")]
    NotRising {
        /// Which one, from 0.
        index: usize,
    },
    /// Steeper than anything drives.
    #[error("piece {index} of the road rises by {:.0} %, no road does", 100.0 * .grade)]
    TooSteep {
        /// Which one, from 0.
        index: usize,
        /// Rise over distance along the road \[-\].
        grade: f64,
    },
}

/// Steepest rise over distance along the road that is taken for a road \[-\].
const STEEPEST: f64 = 0.4;

impl RoadProfile {
    /// A road through points.
    ///
    /// # Errors
    /// Points that are none, do not rise in distance, or rise too steeply.
    pub fn new(distance_m: Vec<f64>, altitude_m: Vec<f64>) -> Result<Self, RoadProblem> {
        if distance_m.len() < 2 || distance_m.len() != altitude_m.len() {
            return Err(RoadProblem::Shape);
        }
        for index in 1..distance_m.len() {
            let run = distance_m[index] - distance_m[index - 1];
            let grade = (altitude_m[index] - altitude_m[index - 1]) / run;
            if run.is_nan() || run <= 0.0 {
                return Err(RoadProblem::NotRising { index });
            }
            if grade.is_nan() || grade.abs() > STEEPEST {
                return Err(RoadProblem::TooSteep {
                    index: index - 1,
                    grade,
                });
            }
        }
        Ok(Self {
            distance_m,
            altitude_m,
        })
    }

    /// Where it begins and ends along its own scale \[m\].
    pub fn ends_m(&self) -> (f64, f64) {
        (
            self.distance_m[0],
            self.distance_m[self.distance_m.len() - 1],
        )
    }

    /// Lowest and highest altitude \[m\].
    pub fn altitudes_m(&self) -> (f64, f64) {
        self.altitude_m
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), &h| {
                (low.min(h), high.max(h))
            })
    }

    /// Altitude at a distance \[m\]; the first and the last piece go on straight.
    pub fn altitude_m(&self, distance_m: f64) -> f64 {
        let piece = self.piece(distance_m);
        self.altitude_m[piece] + self.grade_of(piece) * (distance_m - self.distance_m[piece])
    }

    /// Rise over distance along the road: the sine of its slope \[-\].
    pub fn grade(&self, distance_m: f64) -> f64 {
        self.grade_of(self.piece(distance_m))
    }

    fn piece(&self, distance_m: f64) -> usize {
        self.distance_m
            .partition_point(|&d| d <= distance_m)
            .clamp(1, self.distance_m.len() - 1)
            - 1
    }

    fn grade_of(&self, piece: usize) -> f64 {
        (self.altitude_m[piece + 1] - self.altitude_m[piece])
            / (self.distance_m[piece + 1] - self.distance_m[piece])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn altitude_is_straight_between_the_points() {
        let road =
            RoadProfile::new(vec![0.0, 1000.0, 3000.0], vec![400.0, 500.0, 460.0]).expect("a road");
        assert_eq!(road.altitude_m(500.0), 450.0);
        assert_eq!(road.grade(500.0), 0.1);
        assert_eq!(road.altitude_m(2000.0), 480.0);
        assert_eq!(road.grade(1000.0), -0.02);
        assert_eq!(road.altitude_m(3000.0), 460.0);
        assert_eq!(road.altitudes_m(), (400.0, 500.0));
    }

    #[test]
    fn what_is_no_road_is_refused() {
        let road = |d: &[f64], h: &[f64]| RoadProfile::new(d.to_vec(), h.to_vec());
        assert_eq!(road(&[0.0], &[1.0]), Err(RoadProblem::Shape));
        assert_eq!(
            road(&[0.0, 0.0], &[1.0, 2.0]),
            Err(RoadProblem::NotRising { index: 1 })
        );
        assert!(matches!(
            road(&[0.0, 10.0], &[0.0, 5.0]),
            Err(RoadProblem::TooSteep { index: 0, .. })
        ));
    }
}
