//! Parts on one time axis.
use super::*;
use std::f64::consts::PI;

fn hold(speed_rad_s: f64, duration_s: f64) -> Part {
    Part::Hold {
        speed_rad_s,
        fuel: FuelAsked::Full,
        duration_s,
    }
}

#[test]
fn a_pull_is_a_straight_line_then_steady() {
    let p = Procedure::new(&[Part::Pull {
        from_rad_s: 100.0,
        to_rad_s: 300.0,
        duration_s: 4.0,
        settle_s: 1.0,
    }]);
    assert_eq!(p.duration_s(), 5.0);
    assert_eq!(p.at(1.0).speed_rad_s, 150.0);
    assert_eq!(p.at(1.0).speed_rate_rad_s2, 50.0);
    assert_eq!(p.at(4.5).speed_rad_s, 300.0);
    assert_eq!(p.at(4.5).speed_rate_rad_s2, 0.0);
}

#[test]
fn parts_at_other_speeds_are_led_over() {
    let p = Procedure::new(&[hold(100.0, 2.0), hold(200.0, 2.0)]);
    let lead_s = 100.0 / (LEAD_OVER_RPM_S * PI / 30.0);
    assert!((p.duration_s() - 4.0 - lead_s).abs() < 1e-12);
    assert!((p.at(2.0 + 0.5 * lead_s).speed_rad_s - 150.0).abs() < 1e-9);
    assert!(!p.is_hold());
    assert!(Procedure::new(&[hold(100.0, 2.0)]).is_hold());
}

#[test]
fn after_a_cut_fuel_may_be_back_at_once() {
    let p = Procedure::new(&[Part::Shift {
        from_rad_s: 200.0,
        at_rad_s: 280.0,
        to_rad_s: 200.0,
        pull_s: 2.0,
        cut_s: 0.4,
        resume_s: 0.0,
        settle_s: 1.0,
    }]);
    // by rounding this moment, 2.4 - 2 - 0.4, lies before the end of the cut
    assert_eq!(p.at(2.4).fuel, FuelAsked::Full);
    assert_eq!(p.at(2.39).fuel, FuelAsked::Quantity(0.0));
}

#[test]
fn a_shift_cuts_the_fuel_while_the_speed_falls() {
    let p = Procedure::new(&[Part::Shift {
        from_rad_s: 200.0,
        at_rad_s: 280.0,
        to_rad_s: 200.0,
        pull_s: 4.0,
        cut_s: 0.4,
        resume_s: 0.2,
        settle_s: 2.0,
    }]);
    assert_eq!(p.duration_s(), 6.4);
    assert_eq!(p.at(2.0).speed_rad_s, 240.0);
    assert_eq!(p.at(2.0).fuel, FuelAsked::Full);
    assert!((p.at(4.2).speed_rad_s - 240.0).abs() < 1e-9);
    assert_eq!(p.at(4.2).fuel, FuelAsked::Quantity(0.0));
    assert_eq!(p.at(4.5).speed_rad_s, 200.0);
    match p.at(4.5).fuel {
        FuelAsked::Share(share) => assert!((share - 0.5).abs() < 1e-9),
        other => panic!("{other:?}"),
    }
    assert_eq!(p.at(5.0).speed_rad_s, 200.0);
    assert_eq!(p.at(5.0).fuel, FuelAsked::Full);
}

#[test]
fn a_load_step_comes_at_its_time() {
    let p = Procedure::new(&[Part::LoadStep {
        speed_rad_s: 100.0,
        fuel_from: FuelAsked::Quantity(3e-5),
        fuel_to: FuelAsked::Full,
        at_s: 1.0,
        duration_s: 5.0,
    }]);
    assert_eq!(p.at(0.99).fuel, FuelAsked::Quantity(3e-5));
    assert_eq!(p.at(1.0).fuel, FuelAsked::Full);
    assert_eq!(p.last_change_s(), 1.0);
}

#[test]
fn a_lead_over_has_the_fuel_of_what_comes() {
    let hold = |speed_rad_s: f64, fuel_kg: f64| Part::Hold {
        speed_rad_s,
        fuel: FuelAsked::Quantity(fuel_kg),
        duration_s: 2.0,
    };
    let p = Procedure::new(&[hold(200.0, 5e-5), hold(100.0, 6e-5)]);
    let half_way = p.at(2.0 + 50.0 / (LEAD_OVER_RPM_S * PI / 30.0));
    assert!((half_way.speed_rad_s - 150.0).abs() < 1e-9);
    assert!(half_way.speed_rate_rad_s2 < 0.0);
    assert_eq!(half_way.fuel, FuelAsked::Quantity(6e-5));
    assert_eq!(p.name(), "hold + hold");
}
