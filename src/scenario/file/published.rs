//! Forms of published mean-value models: gas of constant properties, parametric
//! compressor, turbine and engine. Coefficients without a unit in the text are
//! plain numbers in the unit that is stated.

use crate::quantity::*;
use crate::scenario::section::{choice, section};

choice! {
    /// What air and exhaust gas are like.
    pub enum GasModel {
        word /// Ideal-gas mixture of humid air and combustion products, properties over temperature.
        "mixture" => Mixture;
        key /// Two gases with constant properties, as in published models.
        "constant" => Constant(ConstantGases);
    }
}

section! {
    /// Air and exhaust gas with constant properties. All that the engine swallows
    /// turns into exhaust gas; humidity plays no part.
    pub struct ConstantGases {
        /// Air.
        air: ConstantGas;
        /// Exhaust gas.
        exhaust: ConstantGas;
        /// Mass of air that burns one mass of fuel.
        stoichiometric_air_fuel: f64 = "14.5", eg "14.75";
    }
}

section! {
    /// Properties of one gas.
    pub struct ConstantGas {
        /// Gas constant.
        gas_constant: SpecificHeat, eg "287 J/(kg K)";
        /// Specific heat at constant pressure.
        specific_heat: SpecificHeat, eg "1005 J/(kg K)";
    }
}

choice! {
    /// What the temperature in the intake volume follows from.
    pub enum IntakeThermal {
        word /// The first law.
        "energy_balance" => EnergyBalance;
        key /// It is held at this temperature, as in published models; energy does not balance then.
        "isothermal" => Isothermal(Temperature);
    }
}

choice! {
    /// What the temperature in the exhaust volume follows from.
    pub enum ExhaustThermal {
        word /// The first law.
        "energy_balance" => EnergyBalance;
        key /// Something else at every instant, as in published models; energy does not balance then.
        "isothermal" => Isothermal(IsothermalExhaust);
    }
}

choice! {
    /// What sets the temperature of an isothermal exhaust volume.
    pub enum IsothermalExhaust {
        word /// The exhaust-temperature formula of the engine; needs `engine.combustion.efficiency_curve`.
        "engine" => Engine;
    }
}

section! {
    /// Volumetric efficiency a √p + b √ω + c over intake pressure p \[Pa abs\] and
    /// crankshaft speed ω \[rad/s\], relative to manifold density.
    pub struct VolumetricEfficiencyFormula {
        /// Factor of the root of the intake pressure, in 1/√Pa.
        per_root_pressure: f64, eg "1.4393e-4";
        /// Factor of the root of the crankshaft speed, in 1/√(rad/s).
        per_root_speed: f64, eg "-0.0239";
        /// The constant part.
        constant: f64, eg "1.1339";
        /// Share of the residual-gas correction for exhaust over intake pressure
        /// that acts: 0 none, 1 all of it.
        back_pressure_effect: f64 = "0", eg "1.0";
    }
}

section! {
    /// Torque from an efficiency curve, exhaust temperature by formula, no cylinder
    /// pressure.
    pub struct EfficiencyCurve {
        /// Factor on the ideal cycle's efficiency without fuel.
        efficiency_without_fuel: f64, eg "0.665";
        /// Highest factor.
        best_efficiency: f64, eg "0.709";
        /// Fuel of one injection over crankshaft speed at that factor, in mg s/rad.
        best_fuel_per_speed: f64, eg "0.445";
        /// Ratio of specific heats of the ideal cycle.
        cycle_gamma: f64, eg "1.35";
        /// Friction mean effective pressure at standstill.
        friction_constant: PressureDifference, eg "71.96 kPa";
        /// Friction per crankshaft speed, in bar s/rad.
        friction_per_speed: f64, eg "-0.0052";
        /// Friction per squared crankshaft speed, in bar s2/rad2.
        friction_per_speed_squared: f64, eg "3.7591e-5";
        /// Compensation factor on the exhaust temperature of the Seiliger cycle.
        exhaust_compensation: f64, eg "1.2563";
        /// Temperature of what the exhaust pipe stands in.
        pipe_surroundings: Temperature, eg "25 degC";
        /// Heat conductance from the gas through the exhaust pipe.
        pipe_loss: HeatConductance = "0 W/K", eg "44.6 W/K";
    }
}

section! {
    /// A compressor as an ellipse of corrected flow over pressure ratio, under a
    /// head that grows with the square of the tip speed. n is the corrected speed
    /// over `speed_scale`.
    pub struct HeadAndFlow {
        /// Pressure that corrected quantities refer to.
        reference_pressure: AbsolutePressure, eg "101.11 kPa abs";
        /// Temperature that corrected quantities refer to.
        reference_temperature: Temperature, eg "25 degC";
        /// Radius in head and flow coefficient.
        radius: Length, eg "32.8 mm";
        /// Highest head coefficient, twice the isentropic enthalpy rise over squared
        /// tip speed.
        head_coefficient: f64, eg "1.638";
        /// Temperature that the head is reckoned with: of the inlet, as published, or
        /// of the reference, which makes the corrected map the same in any weather.
        head_at: HeadAt = "inlet", eg "reference";
        /// Corrected speed at which n is 1.
        speed_scale: RotationalSpeed, eg "15000 rad/s";
        /// Largest corrected flow at n = 0.
        flow_constant: MassFlow, eg "0.1918 kg/s";
        /// Its change with n.
        flow_per_speed: MassFlow, eg "0.3416 kg/s";
        /// Its change with n squared.
        flow_per_speed_squared: MassFlow, eg "0.0419 kg/s";
        /// Best isentropic efficiency.
        peak_efficiency: f64, eg "0.7915";
        /// Flow coefficient there, volume flow over 8 × speed × radius³.
        best_flow_coefficient: f64, eg "0.0598";
        /// n there.
        best_speed: f64, eg "0.5106";
        /// Drop of the efficiency per squared distance in flow coefficient.
        curvature_flow: f64, eg "79.2671";
        /// Half the drop per product of both distances.
        curvature_cross: f64, eg "-1.4358";
        /// Drop per squared distance in n.
        curvature_speed: f64, eg "0.7985";
        /// Pressure ratio at surge per corrected flow, in s/kg.
        surge_slope: f64, eg "12.353";
        /// Pressure ratio at surge without flow.
        surge_intercept: f64, eg "0.6861";
        /// Highest corrected speed for which this is stated; beyond it the compressor
        /// counts as extrapolated.
        stated_to_speed: RotationalSpeed, eg "15000 rad/s";
    }
}

choice! {
    /// Temperature that the highest head is reckoned with.
    pub enum HeadAt {
        word /// That of the compressor inlet.
        "inlet" => Inlet;
        word /// The reference temperature.
        "reference" => Reference;
    }
}

section! {
    /// A turbine without vanes: an effective area and a parabola of efficiency over
    /// blade-speed ratio. A factor on the area stands in for vanes.
    pub struct AreaAndSpeed {
        /// Effective area.
        area: Area, eg "7.88 cm2";
        /// Factor on the area.
        area_factor: f64 = "1", eg "0.85";
        /// Factor of the flow function.
        flow_factor: f64, eg "0.6859";
        /// Exponent of the flow function √(1 − Π^c), Π outlet over inlet pressure.
        flow_exponent: f64, eg "2.3633";
        /// Best total-to-static efficiency, mechanical losses included.
        peak_efficiency: f64, eg "0.7075";
        /// Blade-speed ratio there.
        best_blade_speed_ratio: f64, eg "0.622";
        /// Drop of the efficiency per squared distance from it.
        efficiency_curvature: f64, eg "2.0245";
        /// Lowest blade-speed ratio for which the parabola is stated.
        stated_from_blade_speed_ratio: f64 = "0.15", eg "0.2";
        /// Highest blade-speed ratio for which it is stated.
        stated_to_blade_speed_ratio: f64 = "1.1", eg "1.0";
    }
}

section! {
    /// A wastegate: a valve from the exhaust volume to the turbine outlet.
    pub struct Wastegate {
        /// Effective area when fully open.
        area: Area, eg "3.14 cm2";
        /// How far it is open, 0 % shut to 100 % open, where no procedure says
        /// otherwise.
        opening: Fraction = "0 %", eg "20 %";
        /// How gas flows through it.
        flow: WastegateFlow = "isentropic", eg "{root: {factor: 0.6666, exponent: 5.3517}}";
    }
}

choice! {
    /// How gas flows through a wastegate.
    pub enum WastegateFlow {
        word /// An isentropic opening with choking.
        "isentropic" => Isentropic;
        key /// A published law: factor × √(1 − Π^exponent), Π outlet over inlet pressure.
        "root" => Root(RootFlow);
    }
}

section! {
    /// A flow function factor × √(1 − Π^exponent).
    pub struct RootFlow {
        /// Its factor.
        factor: f64, eg "0.6666";
        /// Its exponent.
        exponent: f64, eg "5.3517";
    }
}
