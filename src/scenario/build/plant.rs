//! The plant's part of a scenario.
use super::{BuildFailure, elements};
use crate::gas::{Ambient, WorkingGas};
use crate::map::{
    CompressorMapData, DataOrigin, MapDrawing, MapHeader, ReferenceConditions, Table1,
};
use crate::plant::Plant;
use crate::plant::actuator::VaneActuator;
use crate::plant::compressor::speed_lines::SpeedLineCompressor;
use crate::plant::compressor::wheel::{SlipModel, WheelGeometry, WheelLosses};
use crate::plant::cooler::{CoolantTemperature, Cooler};
use crate::plant::engine::{
    Breathing, EngineGeometry, Friction, LimitedPressureCycle, MeanValueEngine,
};
use crate::plant::health::Health;
use crate::plant::restriction::Restriction;
use crate::plant::shaft::Shaft;
use crate::plant::turbine::{
    Pulsation, TurbineEfficiency, TurbineForm, TwoThroats, TwoThroatsSizes,
};
use crate::plant::volume::Volume;
use crate::scenario::checked::{self, AmbientSource, CompressorForm, Coolant, PipeLoss, Scenario};
use std::sync::Arc;

/// Conditions at which the losses of a scenario are stated: the filter at a
/// usual day, the cooler at usual charge, the exhaust system at usual exhaust.
const FILTER_STATED: (f64, f64) = (100e3, 298.15);
const COOLER_STATED: (f64, f64) = (300e3, 323.15);
const EXHAUST_STATED: (f64, f64) = (110e3, 873.15);
const DRY_AIR_J_KG_K: f64 = 287.05;
/// Coolant temperature that exhaust ports see \[K\]: a thermostat's 90 °C.
const PORT_COOLANT_K: f64 = 363.15;

/// The ambient of a scenario, at another altitude if one is given \[m\].
pub fn ambient(scenario: &Scenario, altitude_m: Option<f64>) -> Result<Ambient, BuildFailure> {
    let humidity = scenario.ambient.relative_humidity.fraction();
    let (own_altitude_m, offset_k) = match scenario.ambient.source {
        AmbientSource::Altitude {
            altitude,
            temperature_offset,
        } => (Some(altitude.m()), temperature_offset.k()),
        AmbientSource::Given { .. } => (None, 0.0),
    };
    match (altitude_m.or(own_altitude_m), scenario.ambient.source) {
        (Some(m), _) => Ok(Ambient::at_altitude(m, offset_k, humidity)?),
        (
            None,
            AmbientSource::Given {
                pressure,
                temperature,
            },
        ) => Ok(Ambient::given(pressure.pa(), temperature.k(), humidity)?),
        (None, AmbientSource::Altitude { altitude, .. }) => {
            Ok(Ambient::at_altitude(altitude.m(), offset_k, humidity)?)
        }
    }
}

/// The plant and the drawing of its compressor map.
pub fn plant(s: &Scenario, ambient: Ambient) -> Result<(Plant, MapDrawing), BuildFailure> {
    let compressor = compressor(s)?;
    let map = compressor.drawing();
    let gas = WorkingGas::new(ambient.humidity_kg_kg, s.fuel.hydrogen_to_carbon);
    let cooler = &s.intake.cooler;
    let plant = Plant {
        gas,
        hydrogen_to_carbon: s.fuel.hydrogen_to_carbon,
        ambient,
        filter: restriction(&s.intake.filter, FILTER_STATED),
        compressor: Arc::new(compressor),
        cooler: Cooler {
            effectiveness: table(
                "intake.cooler.effectiveness",
                cooler.effectiveness.flow.iter().map(|f| f.kg_s()),
                cooler.effectiveness.value.iter().copied(),
            )?,
            coolant: match cooler.coolant {
                Coolant::AboveAmbient(rise) => CoolantTemperature::AboveAmbient(rise.k()),
                Coolant::Fixed(t) => CoolantTemperature::Fixed(t.k()),
            },
            heat_soak: elements::heat_soak(s),
        },
        cooler_loss: restriction(&cooler.loss, COOLER_STATED),
        intake: Volume {
            volume_m3: s.intake.volume.m3(),
            wall_loss_w_k: s.intake.wall_loss.w_k(),
        },
        engine: Arc::new(engine(s)?),
        exhaust: Volume {
            volume_m3: s.exhaust.volume.m3(),
            wall_loss_w_k: s.exhaust.wall_loss.w_k(),
        },
        turbine: turbine(s),
        exhaust_system: restriction(&s.exhaust.system, EXHAUST_STATED),
        shaft: Shaft {
            inertia_kg_m2: s.shaft.inertia.kg_m2(),
            bearing_loss_w_s2: s.shaft.bearing_loss.w() / s.shaft.at_speed.rad_s().powi(2),
            compressor_wheel_m: s.compressor.wheel_diameter.m(),
            turbine_wheel_m: s.turbine.wheel_diameter.m(),
        },
        actuator: VaneActuator {
            time_constant_s: s.vanes.time_constant.s(),
            max_rate_1_s: s.vanes.max_rate.per_s(),
            stop_open: s.vanes.stop_open.fraction(),
            stop_closed: s.vanes.stop_closed.fraction(),
            backlash: s.vanes.backlash.fraction(),
        },
        recirculation: elements::recirculation(s),
        further: elements::further_volumes(s),
        health: Health::default(),
    };
    Ok((plant, map))
}

/// A table over one axis.
pub fn table(
    path: &'static str,
    axis: impl Iterator<Item = f64>,
    values: impl Iterator<Item = f64>,
) -> Result<Table1, BuildFailure> {
    Table1::new(axis.collect(), values.collect())
        .map_err(|error| BuildFailure::Table { path, error })
}

/// Volumetric efficiency over speed, as the engine has it.
pub fn volumetric_efficiency(s: &Scenario) -> Result<(Table1, f64), BuildFailure> {
    let checked::VolumetricEfficiency::Table(t) = &s.engine.volumetric_efficiency;
    let efficiency = table(
        "engine.volumetric_efficiency.table",
        t.engine_speed.iter().map(|n| n.rad_s()),
        t.efficiency.iter().copied(),
    )?;
    Ok((efficiency, t.back_pressure_effect))
}

fn restriction(loss: &PipeLoss, (pressure_pa, temperature_k): (f64, f64)) -> Restriction {
    Restriction {
        loss_pa: loss.loss.pa(),
        at_flow_kg_s: loss.at_flow.kg_s(),
        at_density_kg_m3: pressure_pa / (DRY_AIR_J_KG_K * temperature_k),
    }
}

fn engine(s: &Scenario) -> Result<MeanValueEngine, BuildFailure> {
    let (efficiency, back_pressure_effect) = volumetric_efficiency(s)?;
    let checked::Combustion::LimitedPressure(c) = &s.engine.combustion;
    let f = &s.engine.friction;
    Ok(MeanValueEngine {
        geometry: EngineGeometry {
            cylinders: f64::from(s.engine.cylinders),
            displacement_m3: s.engine.displacement.m3(),
            stroke_m: s.engine.stroke.m(),
            compression_ratio: s.engine.compression_ratio,
        },
        breathing: Breathing {
            table: efficiency,
            back_pressure_effect,
        },
        cycle: LimitedPressureCycle {
            compression_ratio: s.engine.compression_ratio,
            constant_volume_share: c.constant_volume_share,
            reference_timing_deg: c.reference_timing.deg(),
            share_per_degree: c.share_per_degree,
            compression_exponent: c.compression_exponent,
            expansion_exponent: c.expansion_exponent,
            wall_loss: c.wall_loss.fraction(),
            late_burning_below_lambda: c.late_burning_below_lambda,
            late_burning: c.late_burning,
        },
        friction: Friction {
            constant_pa: f.constant.pa(),
            peak_pressure_share: f.peak_pressure_share,
            per_piston_speed_pa_s_m: f.per_piston_speed.pa_s_m(),
            per_piston_speed_squared_pa_s2_m2: f.per_piston_speed_squared.pa_s2_m2(),
        },
        lower_heating_value_j_kg: s.fuel.lower_heating_value.j_kg(),
        port_loss_w_k: s.engine.exhaust_port_loss.w_k(),
        coolant_k: PORT_COOLANT_K,
    })
}

fn turbine(s: &Scenario) -> Arc<dyn TurbineForm> {
    let checked::TurbineForm::TwoThroats(t) = &s.turbine.form;
    Arc::new(TwoThroats::new(TwoThroatsSizes {
        ring_open_m2: t.vane_throat_open.m2(),
        ring_closed_m2: t.vane_throat_closed.m2(),
        rotor_m2: t.rotor_throat.m2(),
        wheel_diameter_m: s.turbine.wheel_diameter.m(),
        efficiency: TurbineEfficiency {
            peak: t.peak_efficiency,
            best_vane: t.best_vane_position.fraction(),
            drop_open: t.efficiency_drop_open.fraction(),
            drop_closed: t.efficiency_drop_closed.fraction(),
            best_blade_speed_ratio: t.best_blade_speed_ratio,
            blade_speed_ratio_shift: t.blade_speed_ratio_shift,
            curvature: t.blade_speed_ratio_curvature,
            drop_per_expansion_ratio: t.efficiency_drop_per_expansion_ratio.fraction(),
            above_expansion_ratio: t.above_expansion_ratio,
        },
        stated_to_vane: t.stated_to_vane.fraction(),
        stated_to_expansion_ratio: t.stated_to_expansion_ratio,
        pulsation: Pulsation {
            flow_factor: s.turbine.pulsation.flow_factor,
            power_factor: s.turbine.pulsation.power_factor,
        },
    }))
}

/// Reference conditions of a map that follows from wheel sizes.
const WHEEL_REFERENCE: ReferenceConditions = ReferenceConditions {
    pressure_pa: 100e3,
    temperature_k: 298.15,
};

fn compressor(s: &Scenario) -> Result<SpeedLineCompressor, BuildFailure> {
    match &s.compressor.form {
        CompressorForm::SpeedLines(data) => Ok(SpeedLineCompressor::new(data)),
        CompressorForm::Wheel(wheel) => {
            let data = wheel_lines(wheel)?;
            Ok(SpeedLineCompressor::new(&data))
        }
    }
}

fn wheel_lines(w: &checked::WheelGeometry) -> Result<CompressorMapData, BuildFailure> {
    let header = MapHeader {
        about: "speed lines from the sizes of the wheel".to_string(),
        data: DataOrigin::Invented,
        reference: WHEEL_REFERENCE,
        source: "mean-line model".to_string(),
    };
    WheelGeometry {
        tip_diameter_m: w.tip_diameter.m(),
        tip_width_m: w.tip_width.m(),
        backsweep_deg: w.backsweep.deg(),
        full_blades: w.blades,
        splitter_blades: w.splitter_blades,
        inducer_tip_diameter_m: w.inducer_tip_diameter.m(),
        inducer_hub_diameter_m: w.inducer_hub_diameter.m(),
        throat_area_m2: w.throat_area.m2(),
        peak_efficiency: w.peak_efficiency,
        slip: SlipModel::Wiesner,
        losses: WheelLosses::default(),
    }
    .speed_lines(header, w.top_tip_speed.m_s())
    .map_err(BuildFailure::Wheel)
}
