//! The invented wheel of the rescue tender, and the map file made from it.

use ringfence::map::{CompressorMapData, DataOrigin, MapHeader, ReferenceConditions};
use ringfence::plant::compressor::{SlipModel, WheelGeometry, wheel::WheelLosses};

/// Invented: a ported 66 mm wheel, wider toward surge than a plain inlet.
pub fn geometry() -> WheelGeometry {
    WheelGeometry {
        tip_diameter_m: 0.066,
        tip_width_m: 0.006,
        backsweep_deg: 35.0,
        full_blades: 6,
        splitter_blades: 6,
        inducer_tip_diameter_m: 0.049,
        inducer_hub_diameter_m: 0.017,
        throat_area_m2: 1.45e-3,
        peak_efficiency: 0.77,
        slip: SlipModel::Wiesner,
        losses: WheelLosses {
            surge_angle_deg: 11.5,
            surge_angle_per_mach_deg: 2.2,
            low_flow_loss: 0.14,
            ..WheelLosses::default()
        },
    }
}

/// The demo map, made from the wheel.
pub fn map() -> CompressorMapData {
    let header = MapHeader {
        about: "compressor of the rescue tender's drop-in turbo, 66 mm wheel".to_owned(),
        data: DataOrigin::Invented,
        reference: ReferenceConditions {
            pressure_pa: 100_000.0,
            temperature_k: 298.15,
        },
        source: "mean-line model of an invented wheel (tip 66 mm, width 6.0 mm, backsweep 35 deg, \
                 6 + 6 blades, inducer 49/17 mm, throat 14.5 cm2, ported inlet), \
                 nine lines to 600 m/s tip speed"
            .to_owned(),
    };
    geometry()
        .speed_lines(header, 600.0)
        .expect("the demo wheel is sound")
}

/// The shipped file is what the wheel gives, byte for byte. With
/// `RINGFENCE_WRITE=1` the file is written instead.
#[test]
fn shipped_map_is_regenerated() {
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/scenarios/rescue-tender/compressor.csv"
    );
    let made = map().to_csv();
    if std::env::var_os("RINGFENCE_WRITE").is_some() {
        std::fs::write(path, &made).expect("the map file can be written");
    }
    let shipped = std::fs::read_to_string(path).expect("the map file is there");
    assert_eq!(shipped.replace("\r\n", "\n"), made);
    CompressorMapData::parse(&shipped).expect("the shipped map has no problems");
}
