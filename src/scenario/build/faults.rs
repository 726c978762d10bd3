//! The faults of a scenario.
use crate::scenario::checked::{FaultEntry, PressureSensorFaultKind, Scenario};
use crate::simulation::{Fault, FaultKind, SensorFault};

/// All faults, in the order of the file.
pub fn faults(s: &Scenario) -> Vec<Fault> {
    s.faults.iter().map(fault).collect()
}

fn fault(entry: &FaultEntry) -> Fault {
    let (onset, kind) = match entry {
        FaultEntry::BoostLeak(l) => (l.onset, FaultKind::BoostLeak(l.area.m2())),
        FaultEntry::ExhaustLeak(l) => (l.onset, FaultKind::ExhaustLeak(l.area.m2())),
        FaultEntry::BlockedFilter(b) => (b.onset, FaultKind::BlockedFilter(b.factor)),
        FaultEntry::BlockedCooler(b) => (b.onset, FaultKind::BlockedCooler(b.factor)),
        FaultEntry::StickingVanes(o) => (o.onset, FaultKind::StickingVanes),
        FaultEntry::BoostSensor(p) => (p.onset, FaultKind::BoostSensor(sensor(&p.fault))),
        FaultEntry::DrivePressureSensor(p) => {
            (p.onset, FaultKind::DrivePressureSensor(sensor(&p.fault)))
        }
        FaultEntry::ShaftSpeedFrozen(o) => (o.onset, FaultKind::ShaftSpeedFrozen),
    };
    Fault {
        onset_s: onset.s(),
        kind,
    }
}

fn sensor(kind: &PressureSensorFaultKind) -> SensorFault {
    match kind {
        PressureSensorFaultKind::Frozen => SensorFault::Frozen,
        PressureSensorFaultKind::Offset(p) => SensorFault::Offset(p.pa()),
        PressureSensorFaultKind::AfterClamp(p) => SensorFault::AfterClamp(p.pa()),
        PressureSensorFaultKind::Gain(f) => SensorFault::Gain(f.fraction()),
        PressureSensorFaultKind::Drift(r) => SensorFault::Drift(r.pa_s()),
        PressureSensorFaultKind::Lag(t) => SensorFault::Lag(t.s()),
        PressureSensorFaultKind::StuckAt(p) => SensorFault::StuckAt(p.pa()),
    }
}
