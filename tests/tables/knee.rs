//! The knee of curves whose knee is known.
use ringfence::judgement::GainPoint;
use ringfence::study::tables::knee;

/// A curve of straight pieces: its corners as (thousand rpm, kW).
fn curve(corners: &[(f64, f64)]) -> Vec<GainPoint> {
    corners
        .iter()
        .enumerate()
        .map(|(at, &(krpm, power_kw))| GainPoint {
            command_kpa_abs: 200.0 + 10.0 * at as f64,
            shaft_speed_rpm: krpm * 1e3,
            power_kw,
            ..GainPoint::default()
        })
        .collect()
}

#[test]
fn the_knee_stands_where_the_slope_falls_below_a_third_of_the_best() {
    // slopes 3, 3, 1.5, 0.9, 0.2 kW per 1000 rpm: a third of the best is 1
    let points = curve(&[
        (100.0, 100.0),
        (105.0, 115.0),
        (110.0, 130.0),
        (115.0, 137.5),
        (120.0, 142.0),
        (125.0, 143.0),
    ]);
    let knee = knee(&points).expect("a knee");
    assert_eq!(knee.shaft_speed_rpm, 115e3);
    assert_eq!(knee.command_kpa_abs, 230.0);
    assert_eq!(knee.power_kw, 137.5);
    assert!((knee.best_slope_kw_per_krpm - 3.0).abs() < 1e-12);
    assert!((knee.least_slope_kw_per_krpm - 1.0).abs() < 1e-12);
}

#[test]
fn a_flat_stretch_before_a_good_one_is_no_knee() {
    // slopes 3, 0.5, 3, 0.5
    let points = curve(&[
        (100.0, 100.0),
        (105.0, 115.0),
        (110.0, 117.5),
        (115.0, 132.5),
        (120.0, 135.0),
    ]);
    assert_eq!(knee(&points).expect("a knee").shaft_speed_rpm, 115e3);
}

#[test]
fn power_that_falls_has_its_knee_at_the_top() {
    let points = curve(&[(100.0, 100.0), (105.0, 110.0), (110.0, 105.0)]);
    assert_eq!(knee(&points).expect("a knee").power_kw, 110.0);
}

#[test]
fn straight_falling_and_empty_curves_have_none() {
    assert_eq!(
        knee(&curve(&[(100.0, 100.0), (105.0, 110.0), (110.0, 120.0)])),
        None
    );
    assert_eq!(
        knee(&curve(&[(100.0, 100.0), (105.0, 90.0), (110.0, 80.0)])),
        None
    );
    assert_eq!(knee(&curve(&[(100.0, 100.0)])), None);
    assert_eq!(knee(&[]), None);
}
