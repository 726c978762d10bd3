//! Engine and fuel.

use super::{EfficiencyCurve, VolumetricEfficiencyFormula};
use crate::quantity::*;
use crate::scenario::section::{choice, section};

section! {
    /// A four-stroke diesel engine.
    pub struct Engine {
        /// Number of cylinders.
        cylinders: u32, eg "6";
        /// Displacement of all cylinders together.
        displacement: Volume, eg "5.1 l";
        /// Stroke of the pistons.
        stroke: Length, eg "124 mm";
        /// Geometric compression ratio, from 8 to 25.
        compression_ratio: f64, eg "16.8";
        /// How well the cylinders fill.
        volumetric_efficiency: VolumetricEfficiency;
        /// How fuel becomes work, heat and cylinder pressure.
        combustion: Combustion;
        /// Friction of the engine as a mean pressure. Needed, unless combustion is by
        /// `efficiency_curve`, which has its own.
        friction: Option<Friction>;
        /// Heat from the exhaust ports to the coolant.
        exhaust_port_loss: HeatConductance = "0 W/K", eg "10 W/K";
    }
}

choice! {
    /// How the filling of the cylinders is described.
    pub enum VolumetricEfficiency {
        key /// A table over engine speed.
        "table" => Table(VolumetricEfficiencyTable);
        key /// A formula over intake pressure and engine speed.
        "formula" => Formula(VolumetricEfficiencyFormula);
    }
}

section! {
    /// Volumetric efficiency over engine speed, relative to manifold density.
    pub struct VolumetricEfficiencyTable {
        /// Engine speeds, rising.
        engine_speed: Vec<RotationalSpeed>, eg "[800 rpm, 2800 rpm]";
        /// Volumetric efficiency at each speed, from 0.3 to 1.2.
        efficiency: Vec<f64>, eg "[0.88, 0.865]";
        /// Share of the residual-gas correction for exhaust over intake pressure
        /// that acts: 0 none, 1 all of it.
        back_pressure_effect: f64 = "1.0", eg "0.8";
    }
}

choice! {
    /// How combustion is described.
    pub enum Combustion {
        key /// The limited-pressure cycle: heat at constant volume, then at constant pressure.
        "limited_pressure" => LimitedPressure(LimitedPressure);
        key /// A published form: torque from an efficiency curve, exhaust temperature by formula.
        "efficiency_curve" => EfficiencyCurve(EfficiencyCurve);
    }
}

section! {
    /// The limited-pressure cycle.
    pub struct LimitedPressure {
        /// Share of the heat at constant volume, at the reference timing.
        constant_volume_share: f64, eg "0.33";
        /// Start of injection before top dead centre at which that share holds.
        reference_timing: Angle, eg "6 deg";
        /// Change of that share for each degree of earlier injection.
        share_per_degree: f64 = "0", eg "0.02";
        /// Polytropic exponent of compression.
        compression_exponent: f64, eg "1.36";
        /// Polytropic exponent of expansion.
        expansion_exponent: f64, eg "1.28";
        /// Heat lost to the walls, as a share of the fuel heat.
        wall_loss: Fraction, eg "13 %";
        /// Below this air ratio a part of the heat comes late.
        late_burning_below_lambda: f64 = "1", eg "1.6";
        /// Late share of the heat per squared unit of lambda below that.
        late_burning: f64 = "0", eg "0.35";
    }
}

section! {
    /// Friction mean effective pressure:
    /// constant + share × peak pressure + a × piston speed + b × piston speed².
    pub struct Friction {
        /// The part that always acts.
        constant: PressureDifference, eg "38 kPa";
        /// Share of the peak cylinder pressure.
        peak_pressure_share: f64 = "0", eg "0.005";
        /// Per mean piston speed.
        per_piston_speed: PressurePerSpeed = "0 kPa s/m", eg "8.5 kPa s/m";
        /// Per square of the mean piston speed.
        per_piston_speed_squared: PressurePerSpeedSquared = "0 kPa s2/m2", eg "0.09 kPa s2/m2";
    }
}

section! {
    /// The fuel and how it is injected.
    pub struct Fuel {
        /// Lower heating value.
        lower_heating_value: SpecificEnergy = "42.8 MJ/kg", eg "42.5 MJ/kg";
        /// Hydrogen atoms per carbon atom.
        hydrogen_to_carbon: f64 = "1.85", eg "1.9";
        /// Fuel at full load over engine speed.
        full_load: FullLoad;
        /// Start of injection over engine speed.
        timing: Timing;
    }
}

section! {
    /// Fuel quantity at full load.
    pub struct FullLoad {
        /// Engine speeds, rising.
        engine_speed: Vec<RotationalSpeed>, eg "[800 rpm, 2800 rpm]";
        /// Fuel of one injection at each speed.
        quantity: Vec<FuelQuantity>, eg "[70 mg, 116 mg]";
    }
}

section! {
    /// Injection timing.
    pub struct Timing {
        /// Engine speeds, rising.
        engine_speed: Vec<RotationalSpeed>, eg "[800 rpm, 2800 rpm]";
        /// Start of injection before top dead centre at each speed.
        advance: Vec<Angle>, eg "[3 deg, 10 deg]";
    }
}
