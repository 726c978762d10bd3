//! Surge cycles: how fast, how deep.
use crate::proof;
use crate::shipped::setup;
use crate::tube::{LIFT_OFF, Swing, Tube};
use ringfence::study::single::single;

/// Area of the lift-off's duct \[cm²\]. Greitzer's flow coefficient is the flow over
/// density, area and tip speed, so B compares ducts of one area only.
const AREA_CM2: f64 = 20.0;
/// Engine speed at which the engine swallows half the surge flow \[rpm\].
const ENGINE_RPM: f64 = 900.0;

fn swing(volume_l: f64, length_m: f64) -> Swing {
    Tube::new(volume_l, length_m, AREA_CM2, ENGINE_RPM).swing(2.0)
}

/// Frequency over Helmholtz's f = a/(2π) √(A/(V L)).
fn ratio(swing: &Swing) -> f64 {
    swing.frequency_hz.expect("it surges") / swing.helmholtz_hz
}

/// At small B the cycle is nearly that of a mass on a spring (Greitzer 1976, from
/// memory). Losses and the flow's change of sign make it slower, not faster; by how
/// much at an amplitude as large as the mean flow no source tells to better than
/// some 15 %.
#[test]
fn at_small_b_the_frequency_is_helmholtz() {
    let mut row = proof::row("surge-frequency-small-b");
    for (volume_l, length_m) in [(1.0, 3.0), (0.8, 2.5), (1.5, 4.0)] {
        let s = swing(volume_l, length_m);
        assert!(s.greitzer_b < 0.3, "{s:?}");
        row.see(ratio(&s), &(volume_l, length_m, s));
    }
    row.done();
}

/// At larger B the cycle is a relaxation: emptying and filling of the volume take
/// longer than the swing of the column, and the share falls about as 1/B (Greitzer
/// 1976, from memory). Never faster than Helmholtz; not below a quarter at B up to 2.
#[test]
fn at_larger_b_surge_is_slower_and_deep() {
    let mut row = proof::row("surge-frequency-deep");
    let mut cases: Vec<Swing> = [
        (3.0, 1.2),
        (6.0, 2.0),
        (12.0, 1.2),
        (24.0, 2.4),
        (24.0, 1.2),
    ]
    .map(|(volume_l, length_m)| swing(volume_l, length_m))
    .to_vec();
    cases.sort_by(|a, b| a.greitzer_b.total_cmp(&b.greitzer_b));
    for s in &cases {
        println!("B {:.2}: {:.2} of Helmholtz", s.greitzer_b, ratio(s));
        assert!(s.lowest_kg_s < 0.0, "deep surge turns the flow: {s:?}");
        row.see(ratio(s), s);
    }
    for pair in cases.windows(2) {
        // two cases of the same B must agree, up to losses that do not scale
        assert!(ratio(&pair[1]) < 1.01 * ratio(&pair[0]), "{pair:?}");
    }
    row.done();
}

/// The shipped lift-off, with its falling shaft speed and its controller.
#[test]
fn the_lift_off_surges_at_a_frequency_between_relaxation_and_helmholtz() {
    let result = single(&setup(LIFT_OFF, &[])).expect("it starts").result;
    let surge = result.maps.surge.expect("surge is simulated");
    assert!(surge.cycles >= 5, "{surge:?}");
    assert!(surge.lowest_flow_kg_s.expect("a flow") < 0.0, "{surge:?}");
    let helmholtz_hz = Tube::new(24.0, 1.2, AREA_CM2, ENGINE_RPM)
        .swing(0.2)
        .helmholtz_hz;
    let hz = surge.frequency_hz.expect("more than one cycle");
    proof::row("surge-frequency-lift-off").reached(hz / helmholtz_hz);
}

/// Small B holds a throttled compressor steady left of its surge line, where large B
/// lets it surge: the sign of Greitzer's criterion. Right of the line none surges.
#[test]
fn small_b_rests_and_large_b_surges() {
    let small = swing(0.1, 6.0);
    assert!(
        small.greitzer_b < 0.1 && small.frequency_hz.is_none(),
        "{small:?}"
    );
    let large = swing(24.0, 1.2);
    assert!(
        large.greitzer_b > 1.0 && large.lowest_kg_s < 0.0,
        "{large:?}"
    );
    let right = Tube::new(24.0, 1.2, AREA_CM2, 1800.0).swing(2.0);
    assert!(right.frequency_hz.is_none(), "{right:?}");
}

/// Mass, energy and burned gas at the boundary while it surges, gas that flows back
/// to the ambient included; and the run ends as asked.
#[test]
fn surge_balances() {
    let result = single(&setup(LIFT_OFF, &[])).expect("it starts").result;
    let surge = result.maps.surge.expect("surge is simulated");
    assert!(surge.reverse_flow_s > 0.1, "{surge:?}");
    let b = result.balance;
    let energy = b.energy_residual.expect("it keeps the first law");
    let mut row = proof::row("surge-balance");
    row.see(b.mass_residual.abs(), &"mass");
    row.see(energy.abs(), &"energy");
    row.see(b.burned_residual.abs(), &"burned gas");
    row.done();
    assert_eq!(
        result.why_stopped.kind,
        ringfence::judgement::StopKind::Finished
    );
}
