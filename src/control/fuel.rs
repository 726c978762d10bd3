//! Fuel: full-load table, injection timing, smoke limit.
use crate::map::Table1;

/// What the engine controller injects when asked for everything.
#[derive(Debug, Clone, PartialEq)]
pub struct FuelSchedule {
    /// Full-load quantity over engine speed \[rad/s → kg per injection\].
    pub full_load: Table1,
    /// Start of injection before top dead centre over engine speed \[rad/s → deg\].
    pub timing: Table1,
    /// Smoke limit; `None` for none.
    pub smoke: Option<SmokeLimit>,
}

/// Holds the air to fuel ratio by the boost reading: a wrong reading is a
/// wrong limit.
#[derive(Debug, Clone, PartialEq)]
pub struct SmokeLimit {
    /// Lowest lambda \[-\].
    pub lambda: f64,
    /// Stoichiometric air to fuel ratio assumed \[-\].
    pub stoichiometric_air_fuel: f64,
    /// Swept volume of one cylinder \[m³\].
    pub cylinder_m3: f64,
    /// Volumetric efficiency assumed over engine speed \[rad/s → -\].
    pub volumetric_efficiency: Table1,
    /// Gas constant assumed \[J/(kg K)\].
    pub gas_constant_j_kg_k: f64,
}

impl SmokeLimit {
    /// Most fuel per injection \[kg\] at a reading: speed-density air estimate
    /// over λ·AFR.
    pub fn most_fuel_kg(&self, engine_speed_rad_s: f64, boost_pa: f64, intake_k: f64) -> f64 {
        let air_kg =
            self.volumetric_efficiency.at(engine_speed_rad_s) * boost_pa * self.cylinder_m3
                / (self.gas_constant_j_kg_k * intake_k);
        air_kg / (self.lambda * self.stoichiometric_air_fuel)
    }
}

impl FuelSchedule {
    /// Fuel per injection \[kg\] for what is asked, within table and smoke limit.
    pub fn fuel_kg(
        &self,
        asked_kg: f64,
        engine_speed_rad_s: f64,
        boost_pa: f64,
        intake_k: f64,
    ) -> f64 {
        let fuel_kg = asked_kg.min(self.full_load.at(engine_speed_rad_s));
        match &self.smoke {
            Some(smoke) => fuel_kg.min(smoke.most_fuel_kg(engine_speed_rad_s, boost_pa, intake_k)),
            None => fuel_kg,
        }
    }
}
