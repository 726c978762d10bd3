//! The invented turbine of the rescue tender, and the map file made from it.

use ringfence::gas::{Ambient, WorkingGas};
use ringfence::map::{
    DataOrigin, MapHeader, ReferenceConditions, TurbineMapData, TurbineSpeedLine, VaneLines,
    VanePoint,
};
use ringfence::plant::restriction::Restriction;
use ringfence::plant::turbine::{TurbineDemand, TurbineForm, TurbinePoint};
use ringfence::plant::volume::GasState;
use ringfence::scenario::build::Setup;
use ringfence::scenario::load;
use std::path::Path;
use std::sync::Arc;

/// Outlet pressure of the stand, and reference pressure \[Pa abs\].
pub const OUTLET_PA: f64 = 100e3;
/// Temperature of the stand, and reference temperature \[K\].
pub const STAND_K: f64 = 873.15;
/// Share of combustion products on the stand.
pub const BURNED: f64 = 0.6;
/// Tip diameter of the wheel \[m\], as the scenario says.
pub const WHEEL_M: f64 = 0.060;

/// Vane positions of the map.
pub const VANES: [f64; 11] = [0.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0];
/// Corrected speeds of its lines \[rpm\].
pub const SPEEDS_RPM: [f64; 8] = [40e3, 60e3, 80e3, 100e3, 118e3, 134e3, 149e3, 164e3];
/// Expansion ratios of which each line has those at a blade-speed ratio within
/// [`BLADE_SPEED`].
const RATIOS: [f64; 17] = [
    1.06, 1.09, 1.13, 1.18, 1.25, 1.35, 1.5, 1.7, 1.95, 2.25, 2.6, 3.0, 3.5, 4.0, 4.6, 5.3, 6.0,
];
/// What a gas stand covers at one speed, widely.
const BLADE_SPEED: [f64; 2] = [0.3, 1.0];

/// A restriction that loses nothing: the stand has no exhaust system.
pub const NO_LOSS: Restriction = Restriction {
    loss_pa: 0.0,
    at_flow_kg_s: 1.0,
    at_density_kg_m3: 1.0,
};

/// The turbine of the shipped scenario: two throats.
pub fn two_throats() -> Arc<dyn TurbineForm> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/rescue-tender.yaml");
    let loaded = load(&path, &[], None).expect("the demonstration is sound");
    let setup = Setup::new(&loaded.scenario).expect("and can be built");
    setup.rig.plant.turbine
}

/// The stand's gas: dry air with products of diesel fuel.
pub fn gas() -> WorkingGas {
    WorkingGas::new(0.0, 1.85)
}

/// A turbine on the stand.
pub fn on_stand(
    turbine: &dyn TurbineForm,
    gas: &WorkingGas,
    vane_closed: f64,
    speed_rad_s: f64,
    expansion_ratio: f64,
) -> TurbinePoint {
    turbine.operate(&TurbineDemand {
        gas,
        inlet: &GasState {
            pressure_pa: OUTLET_PA * expansion_ratio,
            temperature_k: STAND_K,
            burned: BURNED,
            properties: gas.properties(STAND_K, BURNED),
        },
        ambient: &Ambient::given(OUTLET_PA, 288.15, 0.0).expect("an ambient"),
        shaft_speed_rad_s: speed_rad_s,
        vane_closed,
        area_factor: 1.0,
        system: &NO_LOSS,
    })
}

/// Speed in rad/s.
pub fn rad_s(rpm: f64) -> f64 {
    rpm * std::f64::consts::PI / 30.0
}

fn line(turbine: &dyn TurbineForm, gas: &WorkingGas, vane: f64, rpm: f64) -> TurbineSpeedLine {
    let speed_rad_s = rad_s(rpm);
    let points = RATIOS
        .iter()
        .filter_map(|&expansion_ratio| {
            let point = on_stand(turbine, gas, vane, speed_rad_s, expansion_ratio);
            let [low, high] = BLADE_SPEED;
            (low..=high)
                .contains(&point.blade_speed_ratio)
                .then(|| VanePoint {
                    expansion_ratio,
                    corrected_flow_kg_s: point.flow_kg_s / expansion_ratio,
                    efficiency: point.efficiency,
                })
        })
        .collect();
    TurbineSpeedLine {
        corrected_speed_rad_s: speed_rad_s,
        points,
    }
}

/// The demo map, sampled from the two throats.
pub fn map() -> TurbineMapData {
    let (turbine, gas) = (two_throats(), gas());
    let header = MapHeader {
        about: "turbine of the rescue tender's drop-in turbo, 60 mm wheel with movable vanes"
            .to_owned(),
        data: DataOrigin::Invented,
        reference: ReferenceConditions {
            pressure_pa: OUTLET_PA,
            temperature_k: STAND_K,
        },
        source: "sampled from the two throats of rescue-tender.yaml, which are invented; \
                 eleven vane positions, eight speeds"
            .to_owned(),
    };
    let vanes = VANES
        .iter()
        .map(|&vane_closed| VaneLines {
            vane_closed,
            lines: SPEEDS_RPM
                .iter()
                .map(|&rpm| line(turbine.as_ref(), &gas, vane_closed, rpm))
                .collect(),
        })
        .collect();
    TurbineMapData::new(header, WHEEL_M, BURNED, vanes).expect("the demo turbine is sound")
}

/// The shipped file is what the two throats give, byte for byte. With
/// `RINGFENCE_WRITE=1` the file is written instead.
#[test]
fn shipped_turbine_map_is_regenerated() {
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/scenarios/rescue-tender/turbine.csv"
    );
    let made = map().to_csv();
    if std::env::var_os("RINGFENCE_WRITE").is_some() {
        std::fs::write(path, &made).expect("the map file can be written");
    }
    let shipped = std::fs::read_to_string(path).expect("the map file is there");
    assert_eq!(shipped.replace("\r\n", "\n"), made);
    let read = TurbineMapData::parse(&shipped).expect("the shipped map has no problems");
    assert_eq!(read.to_csv(), made, "written again it is the same");
}
