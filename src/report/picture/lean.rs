//! Lines with no more points than can be seen, so that pictures stay small.
use super::canvas::Point;

/// A line with no more points than can be seen; the first and the last stay.
pub(super) fn lean(points: &[Point]) -> Vec<Point> {
    straightened(&thinned(points))
}

/// Leaves out points that lie within a third of a pixel of the last one kept.
fn thinned(points: &[Point]) -> Vec<Point> {
    let mut kept: Vec<Point> = Vec::with_capacity(points.len());
    for (index, &point) in points.iter().enumerate() {
        if !(point.0.is_finite() && point.1.is_finite()) {
            continue;
        }
        let last = index + 1 == points.len();
        let near = kept
            .last()
            .is_some_and(|&(x, y)| (point.0 - x).hypot(point.1 - y) < 0.35);
        if near && last && kept.len() > 1 {
            kept.pop();
        }
        if !near || last {
            kept.push(point);
        }
    }
    kept
}

/// How far a line may pass beside a point that is left out, in pixels: less than is
/// seen, and finer than what is written of a coordinate.
const STRAIGHT: f64 = 0.15;

/// Leaves out the points of a line that lie on the straight between those kept
/// (D. H. Douglas & T. K. Peucker, *Cartographica* 10(2), 1973, from memory).
fn straightened(points: &[Point]) -> Vec<Point> {
    let mut keep = vec![false; points.len()];
    let mut open = vec![(0, points.len().saturating_sub(1))];
    while let Some((first, last)) = open.pop() {
        let Some(ends) = keep.get_mut(first..=last) else {
            continue;
        };
        ends[0] = true;
        ends[last - first] = true;
        let beside = |index: &usize| distance(points[*index], points[first], points[last]);
        let furthest = (first + 1..last).max_by(|a, b| beside(a).total_cmp(&beside(b)));
        if let Some(index) = furthest.filter(|index| beside(index) > STRAIGHT) {
            open.extend([(first, index), (index, last)]);
        }
    }
    let kept = points.iter().zip(keep).filter(|(_, keep)| *keep);
    kept.map(|(point, _)| *point).collect()
}

/// From a point to the straight piece between two others.
fn distance(from: Point, start: Point, end: Point) -> f64 {
    let (along_x, along_y) = (end.0 - start.0, end.1 - start.1);
    let square = along_x * along_x + along_y * along_y;
    let (x, y) = (from.0 - start.0, from.1 - start.1);
    let share = if square > 0.0 {
        ((x * along_x + y * along_y) / square).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (x - share * along_x).hypot(y - share * along_y)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A ramp with a corner, as of vanes that reach their stop.
    fn ramp() -> Vec<Point> {
        (0..=1000)
            .map(|i| (f64::from(i), f64::from(i.min(600)) / 3.0))
            .collect()
    }

    #[test]
    fn straight_pieces_keep_their_ends_alone() {
        assert_eq!(lean(&ramp()), [(0.0, 0.0), (600.0, 200.0), (1000.0, 200.0)]);
        assert_eq!(lean(&[(1.0, 2.0)]), [(1.0, 2.0)]);
        assert_eq!(lean(&[]), []);
    }

    #[test]
    fn no_point_is_further_off_than_is_seen() {
        let wave: Vec<Point> = (0..2000)
            .map(|i| (f64::from(i), 90.0 * (f64::from(i) / 70.0).sin()))
            .collect();
        let kept = lean(&wave);
        assert!(kept.len() < wave.len() / 4, "{} points", kept.len());
        for &point in &wave {
            let pieces = kept.windows(2).map(|p| distance(point, p[0], p[1]));
            let off = pieces.fold(f64::INFINITY, f64::min);
            assert!(off <= STRAIGHT, "{point:?} is {off} off");
        }
    }

    /// A line that comes back to where it began is more than a point.
    #[test]
    fn a_closed_loop_stays_a_loop() {
        let square = [(0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0), (0.0, 0.0)];
        assert_eq!(lean(&square), square);
    }
}
