//! Ambient, intake and exhaust.

use super::{ExhaustThermal, HeatSoak, IntakeThermal};
use crate::quantity::*;
use crate::scenario::section::section;

section! {
    /// The air around the engine: by altitude, or by pressure and temperature.
    pub struct Ambient {
        /// Height above sea level; pressure and temperature follow from the
        /// standard atmosphere.
        altitude: Option<Length>, eg "400 m";
        /// How much warmer than the standard atmosphere it is. Only with `altitude`;
        /// 0 K if left out.
        temperature_offset: Option<TemperatureRise>, eg "5 K";
        /// Ambient pressure. Instead of `altitude`, together with `temperature`.
        pressure: Option<AbsolutePressure>, eg "96.6 kPa abs";
        /// Ambient temperature. Instead of `altitude`, together with `pressure`.
        temperature: Option<Temperature>, eg "17 degC";
        /// Relative humidity of the air.
        relative_humidity: Fraction = "0 %", eg "40 %";
    }
}

section! {
    /// The way of the charge, from the air filter to the intake manifold.
    pub struct Intake {
        /// Volume from compressor to valves: boost pipes, cooler and manifold.
        volume: Volume, eg "16 l";
        /// Heat lost through the walls of the intake volume to ambient.
        wall_loss: HeatConductance = "0 W/K", eg "5 W/K";
        /// What the temperature in the volume follows from.
        thermal: IntakeThermal = "energy_balance", eg "{isothermal: 19 degC}";
        /// The column of air between filter and intake volume, for runs in which the
        /// compressor may surge. Without it the flow follows at once, and surge is
        /// reported, not simulated.
        duct: Option<ChargeDuct>;
        /// Air filter and pipe ahead of the compressor.
        filter: PipeLoss;
        /// The charge cooler.
        cooler: Cooler;
    }
}

section! {
    /// The duct of the compressor as one column of air with inertia.
    pub struct ChargeDuct {
        /// Length of the column, from the filter through the compressor to the
        /// intake volume.
        length: Length, eg "1.2 m";
        /// Its flow area.
        area: Area, eg "20 cm2";
    }
}

section! {
    /// A pressure loss that grows with the square of the flow.
    pub struct PipeLoss {
        /// Pressure loss at the stated flow.
        loss: PressureDifference, eg "4 kPa";
        /// The flow at which that loss was found.
        at_flow: MassFlow, eg "0.40 kg/s";
    }
}

section! {
    /// The charge cooler.
    pub struct Cooler {
        /// How near the charge comes to the coolant, over its flow.
        effectiveness: CoolerEffectiveness;
        /// Pressure loss at the stated flow.
        loss: PressureDifference, eg "10 kPa";
        /// The flow at which that loss was found.
        at_flow: MassFlow, eg "0.40 kg/s";
        /// Temperature of the coolant (air or water) over ambient. Either this or
        /// `coolant`.
        coolant_above_ambient: Option<TemperatureRise>, eg "8 K";
        /// Temperature of the coolant. Either this or `coolant_above_ambient`.
        coolant: Option<Temperature>, eg "35 degC";
        /// The heat that its core stores. Without it the core stores none.
        heat_soak: Option<HeatSoak>;
    }
}

section! {
    /// Effectiveness of the charge cooler: temperature drop of the charge over the
    /// largest drop possible.
    pub struct CoolerEffectiveness {
        /// Charge flow, rising.
        flow: Vec<MassFlow>, eg "[0.05 kg/s, 0.50 kg/s]";
        /// Effectiveness at each flow, above 0 up to 1.
        value: Vec<f64>, eg "[0.93, 0.74]";
    }
}

section! {
    /// The way of the exhaust, from the valves to the tailpipe.
    pub struct Exhaust {
        /// Volume of ports and manifold up to the turbine.
        volume: Volume, eg "4.2 l";
        /// Heat lost through the walls of the manifold to ambient.
        wall_loss: HeatConductance = "0 W/K", eg "14 W/K";
        /// What the temperature in the volume follows from.
        thermal: ExhaustThermal = "energy_balance", eg "{isothermal: engine}";
        /// Pipe, treatment and muffler behind the turbine. Either this or
        /// `outlet_pressure`.
        system: Option<PipeLoss>;
        /// Pressure at the turbine outlet, held at any flow. Either this or `system`.
        outlet_pressure: Option<AbsolutePressure>, eg "106 kPa abs";
    }
}
