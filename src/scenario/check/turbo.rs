//! Compressor, turbine, shaft and vane actuator.

use super::Checker;
use crate::quantity::*;
use crate::scenario::document::Fault;

const WHEEL_HINT: &str = "wheels of truck turbochargers measure some 40 mm to 120 mm";

pub fn check(c: &mut Checker) {
    for path in ["compressor.wheel_diameter", "turbine.wheel_diameter"] {
        c.range::<Length>(path, "20 mm", "200 mm", WHEEL_HINT);
    }
    compressor_diameter(c);
    wheel(c);
    throats(c);
    for key in ["flow_factor", "power_factor"] {
        c.range::<f64>(
            &format!("turbine.pulsation.{key}"),
            "0.5",
            "2",
            "1 is no correction",
        );
    }
    c.positive::<Inertia>(
        "shaft.inertia",
        "0 kg m2",
        "shaft and both wheels, about their axis",
    );
    c.not_negative::<Power>(
        "shaft.bearing_loss",
        "0 kW",
        "a loss is given as a positive number",
    );
    c.positive::<RotationalSpeed>(
        "shaft.at_speed",
        "0 rpm",
        "the speed at which the bearing loss was found",
    );
    c.range::<Duration>(
        "vanes.time_constant",
        "1 ms",
        "5 s",
        "how long the vanes take for 63 % of a step",
    );
    c.positive::<VaneRate>("vanes.max_rate", "0 %/s", "the vanes must be able to move");
    c.share("vanes.stop_open");
    c.share("vanes.stop_closed");
    actuator_stops(c);
}

/// The tip speed needs a diameter; the wheel form brings its own.
fn compressor_diameter(c: &mut Checker) {
    let given = c.get::<Length>("compressor.wheel_diameter");
    let of_wheel = c.get::<Length>("compressor.form.wheel.tip_diameter");
    if c.has("compressor.form.speed_lines") && !c.has("compressor.wheel_diameter") {
        c.refuse(
            "compressor.wheel_diameter",
            Fault::new(
                "`wheel_diameter` is missing",
                "the outer diameter of the compressor wheel",
                "speed lines do not tell the tip speed: add `wheel_diameter:`",
            )
            .reading("no `wheel_diameter`"),
        );
    }
    if let (Some(given), Some(of_wheel)) = (given, of_wheel)
        && (given.m() / of_wheel.m() - 1.0).abs() > 1e-6
    {
        let of_wheel = c.written("compressor.form.wheel.tip_diameter", of_wheel);
        c.refuse(
            "compressor.wheel_diameter",
            Fault::new(
                "the wheel has two different diameters",
                format!("{of_wheel}, as `form.wheel.tip_diameter` says"),
                "remove `wheel_diameter`: it follows from the wheel",
            ),
        );
    }
}

/// Sizes of a compressor wheel against nature and each other.
pub fn wheel(c: &mut Checker) {
    let at = |key: &str| format!("compressor.form.wheel.{key}");
    c.range::<Length>(&at("tip_diameter"), "20 mm", "200 mm", WHEEL_HINT);
    c.range::<Length>(
        &at("tip_width"),
        "0.5 mm",
        "30 mm",
        "the width of the blades at the outlet",
    );
    c.range::<Angle>(
        &at("backsweep"),
        "0 deg",
        "60 deg",
        "against radial, backwards is positive",
    );
    c.range::<u32>(
        &at("blades"),
        "4",
        "24",
        "full blades only; splitters are counted apart",
    );
    c.range::<u32>(
        &at("splitter_blades"),
        "0",
        "24",
        "0 for a wheel without splitters",
    );
    c.range::<f64>(
        &at("peak_efficiency"),
        "0.4",
        "0.88",
        "a share: 0.78 means 78 %",
    );
    c.range::<Speed>(
        &at("top_tip_speed"),
        "200 m/s",
        "700 m/s",
        "the highest tip speed that the map shall cover",
    );
    c.positive::<Area>(
        &at("throat_area"),
        "0 cm2",
        "the smallest flow area of the inducer",
    );
    let order = [
        at("inducer_hub_diameter"),
        at("inducer_tip_diameter"),
        at("tip_diameter"),
    ];
    for pair in order.windows(2) {
        if let (Some(inner), Some(outer)) = (c.get::<Length>(&pair[0]), c.get::<Length>(&pair[1]))
            && inner >= outer
        {
            let outer = c.written(&pair[1], outer);
            c.refuse(
                &pair[0],
                Fault::new(
                    "the diameters of the wheel are out of order",
                    format!("below {outer}"),
                    "hub of the inducer < tip of the inducer < tip of the wheel",
                ),
            );
        }
    }
    c.positive::<Length>(&order[0], "0 mm", "the hub at the inducer");
    let (hub, tip) = (c.get::<Length>(&order[0]), c.get::<Length>(&order[1]));
    if let (Some(hub), Some(tip), Some(throat)) = (hub, tip, c.get::<Area>(&at("throat_area"))) {
        let annulus_m2 = std::f64::consts::FRAC_PI_4 * (tip.m().powi(2) - hub.m().powi(2));
        if annulus_m2 > 0.0 && throat.m2() > annulus_m2 {
            c.refuse(&at("throat_area"), Fault::new(
                "the throat is larger than the inducer",
                format!("at most {:.2} cm2, the area of the inducer", annulus_m2 * 1e4),
                "the throat lies between the blades and is smaller than the annulus ahead of them"));
        }
    }
}

fn throats(c: &mut Checker) {
    let at = |key: &str| format!("turbine.form.two_throats.{key}");
    for key in ["vane_throat_open", "vane_throat_closed", "rotor_throat"] {
        c.positive::<Area>(
            &at(key),
            "0 cm2",
            "leakage keeps even closed vanes a little open",
        );
    }
    let open = c.get::<Area>(&at("vane_throat_open"));
    if let (Some(open), Some(closed)) = (open, c.get::<Area>(&at("vane_throat_closed")))
        && closed >= open
    {
        let open = c.written(&at("vane_throat_open"), open);
        c.refuse(
            &at("vane_throat_closed"),
            Fault::new(
                "the closed throat is not smaller than the open one",
                format!("below {open}"),
                "vane position counts per cent closed; were the two swapped?",
            ),
        );
    }
    c.range::<f64>(
        &at("peak_efficiency"),
        "0.3",
        "0.9",
        "a share: 0.68 means 68 %",
    );
    for key in [
        "best_vane_position",
        "efficiency_drop_open",
        "efficiency_drop_closed",
    ] {
        c.share(&at(key));
    }
    c.range::<f64>(
        &at("best_blade_speed_ratio"),
        "0.3",
        "1",
        "blade speed over the speed of a loss-free expansion, about 0.65",
    );
    c.range::<f64>(
        &at("blade_speed_ratio_shift"),
        "-0.3",
        "0.3",
        "a change of the blade-speed ratio",
    );
    c.range::<f64>(
        &at("blade_speed_ratio_curvature"),
        "0.1",
        "3",
        "1 is the parabola through standstill",
    );
    c.range::<Fraction>(
        &at("efficiency_drop_per_expansion_ratio"),
        "0 %",
        "50 %",
        "a relative drop",
    );
    c.range::<f64>(
        &at("above_expansion_ratio"),
        "1",
        "10",
        "an expansion ratio",
    );
}

fn actuator_stops(c: &mut Checker) {
    let open = c
        .get::<Fraction>("vanes.stop_open")
        .or_else(|| (!c.has("vanes.stop_open")).then(|| Fraction::from_percent(0.0)));
    let closed = c
        .get::<Fraction>("vanes.stop_closed")
        .or_else(|| (!c.has("vanes.stop_closed")).then(|| Fraction::from_percent(100.0)));
    if let (Some(open), Some(closed)) = (open, closed)
        && open >= closed
    {
        let closed = c.written("vanes.stop_closed", closed);
        c.refuse(
            "vanes.stop_open",
            Fault::new(
                "the stops of the actuator are reversed",
                format!("below {closed}, the stop on the closed side"),
                "vane position counts per cent closed: open is the smaller number",
            ),
        );
    }
}
