//! Random plants: the demonstration with other sizes, in other weather, sound or
//! leaking. All that is drawn goes through the scenario, as a user's would.
use crate::shipped::setup;
use proptest::prelude::*;
use ringfence::plant::health::Health;
use ringfence::scenario::build::Setup;

/// The demonstration.
pub const DEMO: &str = "scenarios/rescue-tender.yaml";

/// What makes a plant of the demonstration.
#[derive(Debug, Clone)]
pub struct Drawn {
    /// Overrides, path and value.
    pub sets: Vec<(&'static str, String)>,
    /// What is broken from the start.
    pub health: Health,
}

impl Drawn {
    /// The plant with some more overrides. What is broken is so from the start.
    pub fn setup(&self, more: &[(&str, &str)]) -> Setup {
        let mut all: Vec<(&str, &str)> = self.sets.iter().map(|(p, v)| (*p, v.as_str())).collect();
        all.extend_from_slice(more);
        let mut setup = setup(DEMO, &all);
        setup.rig.plant.health = self.health;
        setup
    }
}

/// Length scale of a turbocharger for a displacement in litres: areas grow with it.
fn size(litres: f64) -> f64 {
    (litres / 5.1).sqrt()
}

fn engine() -> impl Strategy<Value = (f64, Vec<(&'static str, String)>)> {
    (
        3.0..8.0_f64,
        0.7..1.05_f64,
        14.5..18.5_f64,
        6.0..30.0_f64,
        2.0..8.0_f64,
        (0.0..30.0_f64, 0.0..40.0_f64),
    )
        .prop_map(|(litres, richness, compression, intake, exhaust, walls)| {
            let fuel = [70.0, 105.0, 130.0, 132.0, 126.0, 116.0]
                .map(|mg| format!("{:.4} mg", mg * richness * litres / 5.1));
            let sets = vec![
                ("engine.displacement", format!("{litres} l")),
                ("engine.compression_ratio", format!("{compression}")),
                ("fuel.full_load.quantity", format!("[{}]", fuel.join(", "))),
                ("intake.volume", format!("{intake} l")),
                ("exhaust.volume", format!("{exhaust} l")),
                ("intake.wall_loss", format!("{} W/K", walls.0)),
                ("exhaust.wall_loss", format!("{} W/K", walls.1)),
            ];
            (litres, sets)
        })
}

/// Wheel: size, backsweep, efficiency. Throats: size, ring, rotor. Shaft: turbine
/// efficiency, inertia, bearing loss.
type TurboDraw = [(f64, f64, f64); 3];

fn turbo_draws() -> impl Strategy<Value = TurboDraw> {
    [
        (0.9..1.1_f64, 26.0..42.0_f64, 0.70..0.79_f64),
        (0.9..1.1_f64, 0.8..1.25_f64, 0.8..1.25_f64),
        (0.58..0.74_f64, 0.5..2.0_f64, 0.4..2.5_f64),
    ]
}

/// A turbocharger for a displacement in litres.
fn turbocharger(litres: f64, draw: TurboDraw) -> Vec<(&'static str, String)> {
    let [wheel, throats, shaft] = draw;
    let c = size(litres) * wheel.0;
    let t = size(litres) * throats.0;
    let form = format!(
        "{{wheel: {{tip_diameter: {} mm, tip_width: {} mm, backsweep: {} deg, blades: 6, \
         splitter_blades: 6, inducer_tip_diameter: {} mm, inducer_hub_diameter: {} mm, \
         throat_area: {} cm2, peak_efficiency: {}, top_tip_speed: 600 m/s}}}}",
        66.0 * c,
        6.0 * c,
        wheel.1,
        49.0 * c,
        17.0 * c,
        14.5 * c * c,
        wheel.2
    );
    let area = |cm2: f64, factor: f64| format!("{} cm2", cm2 * t * t * factor);
    let inertia = 0.9 * c.powi(5) * shaft.1;
    let (open, closed) = (area(10.6, throats.1), area(1.3, 1.0));
    let (rotor, efficiency) = (area(14.2, throats.2), shaft.0.to_string());
    vec![
        ("compressor.wheel_diameter", "null".to_owned()),
        ("compressor.form", form),
        ("turbine.wheel_diameter", format!("{} mm", 60.0 * t)),
        ("turbine.form.two_throats.vane_throat_open", open),
        ("turbine.form.two_throats.vane_throat_closed", closed),
        ("turbine.form.two_throats.rotor_throat", rotor),
        ("turbine.form.two_throats.peak_efficiency", efficiency),
        ("shaft.inertia", format!("{inertia} kg cm2")),
        ("shaft.bearing_loss", format!("{} kW", 1.4 * shaft.2)),
    ]
}

fn surroundings() -> impl Strategy<Value = Vec<(&'static str, String)>> {
    (
        (0.0..3500.0_f64, -15.0..25.0_f64, 0.0..100.0_f64),
        (0.5..1.0_f64, 1.0..30.0_f64, 4.0..30.0_f64),
        (1.0..10.0_f64, 4.0..30.0_f64),
    )
        .prop_map(|(weather, cooler, pipes)| {
            let values = [0.93, 0.87, 0.80, 0.74].map(|e| (e * cooler.0).to_string());
            vec![
                ("ambient.altitude", format!("{} m", weather.0)),
                ("ambient.temperature_offset", format!("{} K", weather.1)),
                ("ambient.relative_humidity", format!("{} %", weather.2)),
                (
                    "intake.cooler.effectiveness.value",
                    format!("[{}]", values.join(", ")),
                ),
                (
                    "intake.cooler.coolant_above_ambient",
                    format!("{} K", cooler.1),
                ),
                ("intake.cooler.loss", format!("{} kPa", cooler.2)),
                ("intake.filter.loss", format!("{} kPa", pipes.0)),
                ("exhaust.system.loss", format!("{} kPa", pipes.1)),
            ]
        })
}

fn health() -> impl Strategy<Value = Health> {
    let leak = || prop_oneof![Just(0.0), 0.0..150e-6_f64];
    (leak(), leak(), 1.0..3.0_f64, 1.0..2.0_f64).prop_map(|(boost, exhaust, filter, cooler)| {
        Health {
            boost_leak_m2: boost,
            exhaust_leak_m2: exhaust,
            filter_loss_factor: filter,
            cooler_loss_factor: cooler,
            ..Health::default()
        }
    })
}

/// Any plant.
pub fn plants() -> impl Strategy<Value = Drawn> {
    (engine(), turbo_draws(), surroundings(), health()).prop_map(
        |((litres, mut sets), turbo, surroundings, health)| {
            sets.extend(turbocharger(litres, turbo));
            sets.extend(surroundings);
            Drawn { sets, health }
        },
    )
}
