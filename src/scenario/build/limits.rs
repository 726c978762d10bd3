//! Limits of a scenario and how its runs are judged.
use crate::judgement::{Bench, Limit, LimitKind};
use crate::scenario::checked::{DataSource, Scenario};
use crate::simulation::{PROTECTIONS, Rig};

/// How far below the command the true boost counts as unreached \[kPa\].
const UNREACHED_BY_KPA: f64 = 5.0;

/// The limits in the order of their kinds.
pub fn limits(s: &Scenario) -> Vec<Limit> {
    let l = &s.limits;
    let bound = |kind: LimitKind| match kind {
        LimitKind::ShaftSpeed => l.shaft_speed.map(|n| n.rpm()),
        LimitKind::TipSpeed => l.tip_speed.map(|v| v.m_s()),
        LimitKind::DrivePressure => l.drive_pressure.map(|p| p.kpa()),
        LimitKind::DriveToBoost => l.drive_to_boost,
        LimitKind::TurbineInlet => l.turbine_inlet.map(|t| t.k()),
        LimitKind::CompressorOutlet => l.compressor_outlet.map(|t| t.k()),
        LimitKind::CylinderPressure => l.cylinder_pressure.map(|p| p.kpa()),
        LimitKind::Lambda => l.lambda,
        LimitKind::SurgeMargin => l.surge_margin.map(|f| f.percent()),
        LimitKind::ChokeMargin => l.choke_margin.map(|f| f.percent()),
        LimitKind::PinnedTime => l.pinned_time.map(|t| t.s()),
    };
    LimitKind::ALL
        .into_iter()
        .filter_map(|kind| bound(kind).map(|bound| Limit { kind, bound }))
        .collect()
}

/// How runs are judged.
pub fn bench(rig: &Rig, limits: Vec<Limit>) -> Bench {
    let controller = rig.fresh_controller();
    let listed = controller.protections();
    Bench {
        limits,
        readable_ceiling_kpa_abs: Some(rig.sensors.boost.chain.readable_ceiling_pa() * 1e-3),
        protections: PROTECTIONS
            .into_iter()
            .enumerate()
            .filter_map(|(bit, name)| (listed & (1 << bit) != 0).then_some(name))
            .collect(),
        unreached_by_kpa: UNREACHED_BY_KPA,
        most_closed: controller.vane_stops().most_closed,
        stop_closed: rig.plant.actuator.stop_closed,
        surge_simulated: rig.plant.duct.is_some(),
    }
}

/// What a scenario says of its data, in one word.
pub fn data_words(data: &DataSource) -> &'static str {
    match data {
        DataSource::Invented => "invented",
        DataSource::Measured => "measured",
        DataSource::Published => "published",
        DataSource::Estimated => "estimated",
        DataSource::Mixed => "mixed",
    }
}
