//! The motion of the vehicle against closed forms.
use super::*;
use crate::procedure::{ClimbStart, Gearbox, Pedal, RoadProfile, Vehicle};

const TICK_S: f64 = 0.01;

/// One gear, no losses but the ones that a test adds.
fn climb(change: impl FnOnce(&mut Climb)) -> Arc<Climb> {
    let mut climb = Climb {
        road: RoadProfile::new(vec![0.0, 50_000.0], vec![0.0, 2500.0]).expect("a road"),
        vehicle: Vehicle {
            mass_kg: 8000.0,
            drag_area_m2: 0.0,
            rolling_resistance: 0.01,
            tyre_radius_m: 0.4,
            wheel_inertia_kg_m2: 30.0,
            engine_inertia_kg_m2: 1.0,
            driveline_efficiency: 0.9,
        },
        gearbox: Gearbox {
            ratios: vec![8.0],
            up_at_rad_s: 280.0,
            down_at_rad_s: 120.0,
            cut_s: 0.4,
            resume_s: 0.3,
            apart_s: 3.0,
        },
        start: ClimbStart {
            gear: 1,
            speed_rad_s: 160.0,
        },
        pedal: Pedal {
            fuel: FuelAsked::Full,
            hold_m_s: None,
        },
        until: ClimbEnd::Road,
        engine_range_rad_s: (80.0, 300.0),
    };
    change(&mut climb);
    Arc::new(climb)
}

/// Drives for some time with a torque over engine speed.
fn driven(
    climb: Arc<Climb>,
    tick_s: f64,
    time_s: f64,
    density: f64,
    torque: impl Fn(f64) -> f64,
) -> (Drive, f64) {
    let mut drive = Drive::new(climb, tick_s);
    let mut work_j = 0.0;
    for _ in 0..(time_s / tick_s).round() as usize {
        let asked = drive.asked();
        let before = torque(asked.speed_rad_s);
        let rate = drive.speed_rate_rad_s2(before, density);
        let end = asked.speed_rad_s + rate * tick_s;
        let after = torque(end);
        drive.advance((before, after), density);
        work_j += 0.5 * tick_s * (before * asked.speed_rad_s + after * end);
    }
    (drive, work_j)
}

/// Mass that the torque accelerates, and the force against it.
fn mass_and_force(climb: &Climb) -> (f64, f64) {
    let v = &climb.vehicle;
    let turns = climb.turns_rad_m(1);
    let mass = v.mass_kg
        + v.wheel_inertia_kg_m2 / v.tyre_radius_m.powi(2)
        + v.driveline_efficiency * v.engine_inertia_kg_m2 * turns * turns;
    let sine: f64 = 0.05;
    let weight = v.mass_kg * GRAVITY_M_S2;
    (
        mass,
        weight * (sine + v.rolling_resistance * (1.0 - sine * sine).sqrt()),
    )
}

/// Constant torque against constant resistance: a straight line, by hand.
#[test]
fn constant_forces_make_a_straight_line() {
    let climb = climb(|_| {});
    let (mass, force) = mass_and_force(&climb);
    let turns = climb.turns_rad_m(1);
    let (drive, _) = driven(climb.clone(), TICK_S, 20.0, 1.1, |_| 400.0);
    let acceleration = (0.9 * 400.0 * turns - force) / mass;
    let wanted = 160.0 + turns * acceleration * 20.0;
    assert!((drive.speed_rad_s / wanted - 1.0).abs() < 1e-12);
    let way = 160.0 / turns * 20.0 + 0.5 * acceleration * 400.0;
    assert!((drive.distance_m / way - 1.0).abs() < 1e-12);
}

/// Torque that falls with speed: an exponential, by hand; the error falls
/// with the square of the tick.
#[test]
fn linear_drag_makes_an_exponential_to_second_order() {
    let climb = climb(|_| {});
    let (mass, force) = mass_and_force(&climb);
    let turns = climb.turns_rad_m(1);
    let torque = |w: f64| 700.0 - 8.0 * (w - 160.0);
    let time_s = 10.0;
    let decay = 0.9 * 8.0 * turns * turns / mass;
    let first = (0.9 * 700.0 * turns - force) * turns / mass;
    let wanted = 160.0 + first / decay * (1.0 - (-decay * time_s).exp());
    let error = |tick_s: f64| {
        let (drive, _) = driven(climb.clone(), tick_s, time_s, 1.1, torque);
        (drive.speed_rad_s - wanted).abs()
    };
    let (coarse, fine) = (error(0.1), error(0.05));
    assert!(error(TICK_S) < 1e-5, "{}", error(TICK_S));
    let order = (coarse / fine).log2();
    assert!((1.8..2.3).contains(&order), "order {order}");
}

/// Air drag against constant force: the hyperbolic tangent, by hand.
#[test]
fn air_drag_makes_a_hyperbolic_tangent() {
    let climb = climb(|c| c.vehicle.drag_area_m2 = 5.0);
    let (mass, force) = mass_and_force(&climb);
    let turns = climb.turns_rad_m(1);
    let net = 0.9 * 420.0 * turns - force;
    let last = (net / (0.5 * 1.1 * 5.0)).sqrt();
    let time_s = 30.0;
    let start = 160.0 / turns;
    let wanted = last * (net * time_s / (mass * last) + (start / last).atanh()).tanh();
    let (drive, _) = driven(climb.clone(), TICK_S, time_s, 1.1, |_| 420.0);
    assert!((drive.road_speed_m_s / wanted - 1.0).abs() < 1e-7);
}

/// An engine that is driven: the loss of the driveline turns round.
#[test]
fn the_work_of_the_crankshaft_is_accounted_for() {
    for torque_nm in [500.0, -80.0] {
        let climb = climb(|c| c.vehicle.drag_area_m2 = 5.0);
        let (drive, work_j) = driven(climb, TICK_S, 8.0, 1.1, |_| torque_nm);
        let e = drive.outcome().energy;
        assert!(e.driveline_j > 0.0);
        let scale = e.potential_j.abs();
        assert!((work_j - e.sum_j()).abs() < 1e-6 * scale, "{e:?} {work_j}");
    }
}

/// A gear change leaves the road speed to the resistances and meets the next
/// gear's speed without a jump.
#[test]
fn a_gear_change_meets_the_next_gear() {
    let climb = climb(|c| {
        c.gearbox.ratios = vec![8.0, 6.0];
        c.gearbox.up_at_rad_s = 170.0;
    });
    let mut drive = Drive::new(climb.clone(), TICK_S);
    let (mut before, mut work_j) = (drive.clone(), 0.0);
    let mut cut = 0;
    while drive.gear_changes == 0 {
        before = drive.clone();
        let asked = drive.asked();
        let torque = if asked.gear == Some(0) { -60.0 } else { 700.0 };
        cut += usize::from(asked.gear == Some(0));
        let rate = drive.speed_rate_rad_s2(torque, 1.1);
        drive.advance((torque, torque), 1.1);
        work_j += torque * (asked.speed_rad_s + 0.5 * rate * TICK_S) * TICK_S;
    }
    assert_eq!(cut, 40);
    let step = drive.speed_rad_s - before.speed_rad_s;
    let slope = (drive.speed_rad_s - 170.0) / 40.0;
    assert!((step / slope - 1.0).abs() < 0.02, "{step} {slope}");
    assert!((drive.speed_rad_s / climb.turns_rad_m(2) - drive.road_speed_m_s).abs() < 1e-12);
    let e = drive.outcome().energy;
    assert!((work_j / e.sum_j() - 1.0).abs() < 1e-3, "{e:?} {work_j}");
    assert!(e.gear_change_j > 0.0);
}

#[test]
fn too_steep_a_road_is_said_and_not_driven() {
    let (drive, _) = driven(climb(|_| {}), TICK_S, 60.0, 1.1, |_| 50.0);
    let stop = drive.beyond_engine(60.0).expect("it has stalled");
    assert_eq!(stop.quantity, "engine_speed");
    assert!(stop.value < stop.bound);
}
