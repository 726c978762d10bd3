//! Behaviour that papers report, on the demonstration. Its data is invented, so that
//! only signs and orders of size are asked for; both papers were read in abstract only.
//!
//! Altitude: Cheng, Li, Shi, Lu & Leng, Fluid Dynamics & Materials Processing 19(4)
//! (2023): the pressure ratio needed rises from 2.4 at sea level to 4.3 at 4500 m, and
//! closing the equivalent turbine area by 12 % makes up for about 1000 m.
//!
//! Vanes: design and experimental evaluation of a variable-geometry mixed-flow
//! turbocharger turbine, ASME Turbo Expo (2008): the efficiency peaks near 80 % at an
//! intermediate vane angle of 60 to 65 degrees and falls to both sides.
use ringfence::gas::nozzle::flow_function;
use ringfence::procedure::{Asked, FuelAsked};
use ringfence::simulation::{Rig, Sample, equilibrium_sample, steady_state};
use std::f64::consts::PI;

#[path = "common/proof.rs"]
mod proof;
#[path = "laws/shipped.rs"]
#[allow(dead_code)]
mod shipped;

/// Pressure ratio at sea level, at the height, and the height.
const AT_SEA_LEVEL: f64 = 2.4;
const AT_HEIGHT: f64 = 4.3;
const HEIGHT_M: f64 = 4500.0;
const CLOSED_BY: f64 = 0.12;

/// Vanes held, the same fuel at every height.
fn rig(altitude_m: f64) -> Rig {
    let altitude = format!("{altitude_m} m");
    let weather = [
        ("ambient.altitude", altitude.as_str()),
        ("ambient.temperature_offset", "0 K"),
    ];
    let mut rig = shipped::setup("scenarios/rescue-tender.yaml", &weather).rig;
    rig.controller.fuel.smoke = None;
    rig
}

fn at_rest(rig: &Rig, vane: f64) -> Sample {
    let asked = Asked {
        speed_rad_s: 2100.0 * PI / 30.0,
        speed_rate_rad_s2: 0.0,
        fuel: FuelAsked::Quantity(100e-6),
        ..Asked::default()
    };
    let state = steady_state(rig, asked, vane, None).expect("it settles");
    equilibrium_sample(rig, asked, &state)
}

/// The vane position below 60 % closed where something that rises with it is reached.
fn vane_for(rig: &Rig, wanted: f64, value: fn(&Sample) -> f64) -> f64 {
    let (mut low, mut high) = (0.0, 0.6);
    assert!(value(&at_rest(rig, low)) < wanted && value(&at_rest(rig, high)) > wanted);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if value(&at_rest(rig, middle)) < wanted {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}

fn ratio(s: &Sample) -> f64 {
    s.compressor_pressure_ratio
}

fn air(s: &Sample) -> f64 {
    s.compressor_flow_kg_s
}

/// The one nozzle that would pass the same gas between the same pressures (Watson &
/// Janota 1982, ch. 5), \[m²\]; 288 J/(kg K) and 1.33 are near enough for shares.
fn equivalent_m2(s: &Sample) -> f64 {
    let passed = flow_function(1.0 / s.turbine_expansion_ratio, 1.33);
    let pressure_pa = 1e3 * s.drive_pressure_kpa_abs;
    s.turbine_flow_kg_s * (288.0 * s.turbine_inlet_k).sqrt() / (pressure_pa * passed)
}

/// The ratio that gives the engine the air of sea level at 4500 m.
#[test]
fn the_pressure_ratio_needed_rises_with_altitude() {
    let (valley, height) = (rig(0.0), rig(HEIGHT_M));
    let sea_level = at_rest(&valley, vane_for(&valley, AT_SEA_LEVEL, ratio));
    let above = at_rest(&height, vane_for(&height, air(&sea_level), air));
    assert!(above.shaft_speed_rpm > sea_level.shaft_speed_rpm);
    proof::row("published-altitude-ratio").reached((ratio(&above) / AT_HEIGHT - 1.0).abs());
}

/// 1000 m ask for a ratio higher by the fourth and a half root of 4.3/2.4; closing the
/// equivalent area by 12 % gives how much of that?
#[test]
fn closing_the_turbine_makes_up_for_altitude() {
    let asked_per_1000_m = (AT_HEIGHT / AT_SEA_LEVEL).powf(1e3 / HEIGHT_M) - 1.0;
    let mut proof = proof::row("published-turbine-area");
    for altitude_m in [0.0, 1000.0, 2000.0, 3000.0] {
        let rig = rig(altitude_m);
        let before = vane_for(&rig, AT_SEA_LEVEL.max(ratio(&at_rest(&rig, 0.05))), ratio);
        let smaller = (1.0 - CLOSED_BY) * equivalent_m2(&at_rest(&rig, before));
        let after = vane_for(&rig, -smaller, |s| -equivalent_m2(s));
        let gained = ratio(&at_rest(&rig, after)) / ratio(&at_rest(&rig, before)) - 1.0;
        proof.see(gained / asked_per_1000_m, &(altitude_m, before, after));
    }
    proof.done();
}

/// How much of the area has to be closed for the same air, for each 1000 m: less than in
/// the paper, because at the same fuel the turbine gains from the lower pressure behind
/// it, and helps itself.
#[test]
fn the_same_air_needs_a_smaller_turbine_above() {
    let (valley, height) = (rig(0.0), rig(HEIGHT_M));
    let below = at_rest(&valley, vane_for(&valley, AT_SEA_LEVEL, ratio));
    let above = at_rest(&height, vane_for(&height, air(&below), air));
    let closed = 1.0 - equivalent_m2(&above) / equivalent_m2(&below);
    proof::row("published-area-same-air").reached(closed * 1e3 / HEIGHT_M);
}

/// Along the vanes the efficiency rises, peaks once inside and falls.
#[test]
fn efficiency_peaks_at_an_intermediate_vane_position() {
    let mut place = proof::row("published-vane-place");
    let mut peak = proof::row("published-vane-peak");
    for altitude_m in [0.0, 2000.0] {
        let rig = rig(altitude_m);
        let vanes: Vec<f64> = (0..=40).map(|k| 0.02 * f64::from(k)).collect();
        let efficiency: Vec<f64> = vanes
            .iter()
            .map(|&vane| at_rest(&rig, vane).turbine_efficiency)
            .collect();
        let top = (0..efficiency.len())
            .max_by(|&a, &b| efficiency[a].total_cmp(&efficiency[b]))
            .expect("there are some");
        assert!(efficiency[..=top].windows(2).all(|pair| pair[1] > pair[0]));
        assert!(efficiency[top..].windows(2).all(|pair| pair[1] < pair[0]));
        place.see(vanes[top], &efficiency);
        peak.see(efficiency[top], &efficiency);
    }
    place.done();
    peak.done();
}
