//! Elements that an engine may have or not: recirculation of exhaust gas, heat
//! soak of the charge cooler, further volumes.

use crate::quantity::*;
use crate::scenario::section::{choice, section};

section! {
    /// Cooled recirculation of exhaust gas from the exhaust manifold to the intake
    /// manifold.
    pub struct Recirculation {
        /// The valve.
        valve: RecirculationValve;
        /// The cooler of the recirculated gas.
        cooler: RecirculationCooler;
        /// Pressure difference at which a check valve is fully open. It keeps charge
        /// from flowing to the exhaust; without this key there is none.
        check_valve: Option<PressureDifference>, eg "1 kPa";
    }
}

section! {
    /// The valve of the recirculated gas.
    pub struct RecirculationValve {
        /// Effective area of the line with the valve fully open.
        area: Area, eg "6 cm2";
        /// How far it is opened.
        opening: RecirculationOpening;
    }
}

section! {
    /// Opening of the recirculation valve over the fuel that is asked for, within
    /// the full-load table and ahead of the smoke limit.
    pub struct RecirculationOpening {
        /// Fuel of one injection, rising.
        fuel: Vec<FuelQuantity>, eg "[20 mg, 90 mg, 110 mg]";
        /// Opening at each fuel quantity; held beyond the ends.
        open: Vec<Fraction>, eg "[60 %, 40 %, 0 %]";
    }
}

section! {
    /// The cooler of the recirculated gas.
    pub struct RecirculationCooler {
        /// How near the gas comes to the coolant: drop of its enthalpy over the
        /// largest drop possible, from 0 to 1.
        effectiveness: f64, eg "0.85";
        /// Temperature of the coolant.
        coolant: Temperature = "90 degC", eg "85 degC";
    }
}

section! {
    /// The heat that the core of the charge cooler stores.
    pub struct HeatSoak {
        /// Heat capacity of core and tanks.
        heat_capacity: HeatCapacity, eg "4 kJ/K";
        /// How near the charge comes to the core: above the effectiveness of the
        /// whole cooler at every flow, below 1.
        core_effectiveness: f64 = "0.96", eg "0.97";
    }
}

section! {
    /// A volume of its own at one place.
    pub struct FurtherVolume {
        /// Where it sits; each place takes one.
        place: VolumePlace, eg "airbox";
        /// Its volume.
        volume: Volume, eg "8 l";
        /// Heat lost through its walls to ambient.
        wall_loss: HeatConductance = "0 W/K", eg "3 W/K";
    }
}

choice! {
    /// Where a further volume sits.
    pub enum VolumePlace {
        word /// Between air filter and compressor.
        "airbox" => Airbox;
        word /// Between compressor and charge cooler.
        "charge_pipe" => ChargePipe;
        word /// Between turbine and exhaust system.
        "turbine_outlet" => TurbineOutlet;
    }
}
