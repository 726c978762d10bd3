//! Elements that an engine may have or not.
use super::BuildFailure;
use super::plant::table;
use crate::map::Table1;
use crate::plant::further::{FurtherVolumes, Place};
use crate::plant::heat_soak::HeatSoak;
use crate::plant::recirculation::Recirculation;
use crate::plant::volume::{Thermal, Volume};
use crate::scenario::checked::{Scenario, VolumePlace};

/// The line of the recirculated gas.
pub fn recirculation(s: &Scenario) -> Option<Recirculation> {
    let written = s.recirculation.as_ref()?;
    Some(Recirculation {
        area_m2: written.valve.area.m2(),
        effectiveness: written.cooler.effectiveness,
        coolant_k: written.cooler.coolant.k(),
        check_valve_pa: written.check_valve.map(|p| p.pa()),
    })
}

/// Opening of its valve over fuel; shut without one.
pub fn recirculation_opening(s: &Scenario) -> Result<Table1, BuildFailure> {
    let Some(written) = &s.recirculation else {
        return Ok(Table1::constant(0.0));
    };
    let opening = &written.valve.opening;
    table(
        "recirculation.valve.opening",
        opening.fuel.iter().map(|q| q.kg()),
        opening.open.iter().map(|f| f.fraction()),
    )
}

/// The core of the charge cooler.
pub fn heat_soak(s: &Scenario) -> Option<HeatSoak> {
    let written = s.intake.cooler.heat_soak.as_ref()?;
    Some(HeatSoak {
        capacity_j_k: written.heat_capacity.j_k(),
        core_effectiveness: written.core_effectiveness,
    })
}

/// The further volumes.
pub fn further_volumes(s: &Scenario) -> FurtherVolumes {
    let mut further = FurtherVolumes::default();
    for written in &s.volumes {
        let place = match written.place {
            VolumePlace::Airbox => Place::Airbox,
            VolumePlace::ChargePipe => Place::ChargePipe,
            VolumePlace::TurbineOutlet => Place::TurbineOutlet,
        };
        further.fit(
            place,
            Volume {
                volume_m3: written.volume.m3(),
                wall_loss_w_k: written.wall_loss.w_k(),
                thermal: Thermal::EnergyBalance,
            },
        );
    }
    further
}
