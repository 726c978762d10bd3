//! The plant's part of a scenario.
use super::{BuildFailure, elements, published};
use crate::gas::{Ambient, WorkingGas};
use crate::map::{
    CompressorMapData, DataOrigin, MapDrawing, MapHeader, ReferenceConditions, Table1,
};
use crate::plant::Plant;
use crate::plant::actuator::VaneActuator;
use crate::plant::compressor::CompressorForm;
use crate::plant::compressor::speed_lines::SpeedLineCompressor;
use crate::plant::compressor::wheel::{SlipModel, WheelGeometry, WheelLosses};
use crate::plant::compressor::{USUAL_INLET_RATIO, WheelSizes};
use crate::plant::cooler::{CoolantTemperature, Cooler};
use crate::plant::duct::ChargeDuct;
use crate::plant::engine::{
    ASSUMED_INTAKE_PA, Breathing, EngineForm, EngineGeometry, Filling, Friction,
    LimitedPressureCycle, MeanValueEngine,
};
use crate::plant::health::Health;
use crate::plant::restriction::Restriction;
use crate::plant::shaft::Shaft;
use crate::plant::turbine::{
    MeasuredVanes, Pulsation, TurbineEfficiency, TurbineForm, TwoThroats, TwoThroatsSizes,
};
use crate::plant::volume::Volume;
use crate::scenario::checked::{self, AmbientSource, Coolant, PipeLoss, Scenario};
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
    let gas = published::gas(s, ambient.humidity_kg_kg);
    let (compressor, map) = compressor(s, &gas)?;
    let cooler = &s.intake.cooler;
    let plant = Plant {
        gas,
        hydrogen_to_carbon: s.fuel.hydrogen_to_carbon,
        ambient,
        filter: restriction(&s.intake.filter, FILTER_STATED),
        compressor,
        duct: s.intake.duct.as_ref().map(|duct| ChargeDuct {
            length_m: duct.length.m(),
            area_m2: duct.area.m2(),
        }),
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
            thermal: published::intake_thermal(s),
        },
        engine: engine(s)?,
        exhaust: Volume {
            volume_m3: s.exhaust.volume.m3(),
            wall_loss_w_k: s.exhaust.wall_loss.w_k(),
            thermal: published::exhaust_thermal(s),
        },
        turbine: turbine(s),
        exhaust_system: match &s.exhaust.system {
            Some(system) => restriction(system, EXHAUST_STATED),
            None => Restriction::NONE,
        },
        wastegate: s.turbine.wastegate.as_ref().map(published::wastegate),
        outlet_pressure_pa: s.exhaust.outlet_pressure.map(|p| p.pa()),
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

/// How the cylinders fill.
fn breathing(s: &Scenario) -> Result<Breathing, BuildFailure> {
    Ok(match &s.engine.volumetric_efficiency {
        checked::VolumetricEfficiency::Table(t) => Breathing {
            filling: Filling::Table(table(
                "engine.volumetric_efficiency.table",
                t.engine_speed.iter().map(|n| n.rad_s()),
                t.efficiency.iter().copied(),
            )?),
            back_pressure_effect: t.back_pressure_effect,
        },
        checked::VolumetricEfficiency::Formula(f) => published::breathing(f),
    })
}

/// Volumetric efficiency over speed, as a controller assumes it: the engine's
/// own table, or its formula at the speeds of the full-load table.
pub fn assumed_volumetric_efficiency(s: &Scenario) -> Result<Table1, BuildFailure> {
    match breathing(s)?.filling {
        Filling::Table(table) => Ok(table),
        Filling::Formula(formula) => {
            let speeds = || s.fuel.full_load.engine_speed.iter().map(|n| n.rad_s());
            let efficiency = speeds().map(|w| formula.at(w, ASSUMED_INTAKE_PA));
            table("engine.volumetric_efficiency.formula", speeds(), efficiency)
        }
    }
}

fn restriction(loss: &PipeLoss, (pressure_pa, temperature_k): (f64, f64)) -> Restriction {
    Restriction {
        loss_pa: loss.loss.pa(),
        at_flow_kg_s: loss.at_flow.kg_s(),
        at_density_kg_m3: pressure_pa / (DRY_AIR_J_KG_K * temperature_k),
    }
}

fn engine(s: &Scenario) -> Result<Arc<dyn EngineForm>, BuildFailure> {
    let breathing = breathing(s)?;
    let geometry = EngineGeometry {
        cylinders: f64::from(s.engine.cylinders),
        displacement_m3: s.engine.displacement.m3(),
        stroke_m: s.engine.stroke.m(),
        compression_ratio: s.engine.compression_ratio,
    };
    Ok(match &s.engine.combustion {
        checked::Combustion::LimitedPressure(c) => {
            Arc::new(mean_value_engine(s, c, geometry, breathing))
        }
        checked::Combustion::EfficiencyCurve(c) => {
            Arc::new(published::engine(s, c, geometry, breathing))
        }
    })
}

fn mean_value_engine(
    s: &Scenario,
    c: &checked::LimitedPressure,
    geometry: EngineGeometry,
    breathing: Breathing,
) -> MeanValueEngine {
    MeanValueEngine {
        geometry,
        breathing,
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
        friction: friction(s.engine.friction.as_ref()),
        lower_heating_value_j_kg: s.fuel.lower_heating_value.j_kg(),
        port_loss_w_k: s.engine.exhaust_port_loss.w_k(),
        coolant_k: PORT_COOLANT_K,
    }
}

/// Friction as written; the checks see to it that it is where it is needed.
fn friction(written: Option<&checked::Friction>) -> Friction {
    Friction {
        constant_pa: written.map_or(0.0, |f| f.constant.pa()),
        peak_pressure_share: written.map_or(0.0, |f| f.peak_pressure_share),
        per_piston_speed_pa_s_m: written.map_or(0.0, |f| f.per_piston_speed.pa_s_m()),
        per_piston_speed_squared_pa_s2_m2: written
            .map_or(0.0, |f| f.per_piston_speed_squared.pa_s2_m2()),
    }
}

fn turbine(s: &Scenario) -> Arc<dyn TurbineForm> {
    let pulsation = Pulsation {
        flow_factor: s.turbine.pulsation.flow_factor,
        power_factor: s.turbine.pulsation.power_factor,
    };
    let wheel_diameter_m = s.turbine.wheel_diameter.m();
    match &s.turbine.form {
        checked::TurbineForm::TwoThroats(t) => {
            Arc::new(two_throats(t, wheel_diameter_m, pulsation))
        }
        checked::TurbineForm::AreaAndSpeed(t) => Arc::new(published::turbine(s, t)),
        checked::TurbineForm::Measured(data) => {
            Arc::new(MeasuredVanes::new(data, wheel_diameter_m, pulsation))
        }
    }
}

fn two_throats(t: &checked::TwoThroats, wheel_diameter_m: f64, pulsation: Pulsation) -> TwoThroats {
    TwoThroats::new(TwoThroatsSizes {
        ring_open_m2: t.vane_throat_open.m2(),
        ring_closed_m2: t.vane_throat_closed.m2(),
        rotor_m2: t.rotor_throat.m2(),
        wheel_diameter_m,
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
        pulsation,
    })
}

/// Reference conditions of a map that follows from wheel sizes.
const WHEEL_REFERENCE: ReferenceConditions = ReferenceConditions {
    pressure_pa: 100e3,
    temperature_k: 298.15,
};

/// The compressor and the picture of its map.
fn compressor(
    s: &Scenario,
    gas: &WorkingGas,
) -> Result<(Arc<dyn CompressorForm>, MapDrawing), BuildFailure> {
    let of_lines = |data: &CompressorMapData, sizes| -> (Arc<dyn CompressorForm>, MapDrawing) {
        let compressor = SpeedLineCompressor::new(data).with_wheel(sizes);
        let map = compressor.drawing();
        (Arc::new(compressor), map)
    };
    Ok(match &s.compressor.form {
        checked::CompressorForm::SpeedLines(data) => of_lines(
            data,
            WheelSizes {
                tip_diameter_m: s.compressor.wheel_diameter.m(),
                inlet_ratio: USUAL_INLET_RATIO,
            },
        ),
        checked::CompressorForm::Wheel(wheel) => of_lines(&draft(wheel)?, drafted_sizes(wheel)),
        checked::CompressorForm::HeadAndFlow(form) => {
            let compressor = published::compressor(form, gas);
            let map = compressor.drawing(super::limits::data_words(&s.about.data));
            (Arc::new(compressor), map)
        }
    })
}

/// Sizes of a drafted wheel; its inducer tells the diameter of equal areas.
fn drafted_sizes(w: &checked::WheelGeometry) -> WheelSizes {
    let (tip, hub) = (w.inducer_tip_diameter.m(), w.inducer_hub_diameter.m());
    WheelSizes {
        tip_diameter_m: w.tip_diameter.m(),
        inlet_ratio: (0.5 * (tip * tip + hub * hub)).sqrt() / w.tip_diameter.m(),
    }
}

/// The speed lines of a wheel with a header that names method and sizes.
pub fn draft(w: &checked::WheelGeometry) -> Result<CompressorMapData, BuildFailure> {
    let about = format!(
        "compressor with a {} mm wheel, drafted from its sizes and not measured",
        rounded(w.tip_diameter.m() * 1e3)
    );
    let source = format!(
        "mean-line model of the wheel: tip {} mm, width {} mm, backsweep {} deg, {} + {} blades, \
         inducer {}/{} mm, throat {} cm2, peak efficiency {}, to {} m/s tip speed; against a \
         measured map expect 5 % in flow and head and 3 points of efficiency",
        rounded(w.tip_diameter.m() * 1e3),
        rounded(w.tip_width.m() * 1e3),
        rounded(w.backsweep.deg()),
        w.blades,
        w.splitter_blades,
        rounded(w.inducer_tip_diameter.m() * 1e3),
        rounded(w.inducer_hub_diameter.m() * 1e3),
        rounded(w.throat_area.m2() * 1e4),
        w.peak_efficiency,
        rounded(w.top_tip_speed.m_s()),
    );
    wheel_lines(w, about, source)
}

/// A figure without the last digits that a change of units leaves.
fn rounded(value: f64) -> f64 {
    (value * 1e6).round() / 1e6
}

fn wheel_lines(
    w: &checked::WheelGeometry,
    about: String,
    source: String,
) -> Result<CompressorMapData, BuildFailure> {
    let header = MapHeader {
        about,
        data: DataOrigin::Estimated,
        reference: WHEEL_REFERENCE,
        source,
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
