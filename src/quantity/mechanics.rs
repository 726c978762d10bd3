//! Mass, motion, power, energy, sizes, time.
use super::define::{additive, product, quantity};
use super::unit::{Kind, UnitSystem, fixed};
use super::units::*;

quantity! {
    /// A mass.
    Mass: Kind::new("mass", &[KG, G, LB], KG, LB, &["18000 kg", "39700 lb"]);
    from_kg, kg = KG;
    from_g, g = G;
    from_lb, lb = LB;
}

quantity! {
    /// Fuel of one injection.
    FuelQuantity: Kind::new("fuel quantity of one injection", &[MG, G], MG, MG, &["135 mg"])
        .of_dimension("mass");
    from_mg, mg = MG;
    from_kg, kg = KG;
}

quantity! {
    /// Mass per time.
    MassFlow: Kind::new("mass flow", &[KG_S, G_S, KG_H, LB_MIN, LB_H], KG_S, LB_MIN, &["0.55 kg/s", "95 lb/min"]);
    from_kg_s, kg_s = KG_S;
    from_lb_min, lb_min = LB_MIN;
}

quantity! {
    /// Volume per time.
    VolumeFlow: Kind::new("volume flow", &[M3_S, FT3_MIN], M3_S, FT3_MIN, &["0.45 m3/s", "950 ft3/min"]);
    from_m3_s, m3_s = M3_S;
    from_ft3_min, ft3_min = FT3_MIN;
}

quantity! {
    /// Speed of a shaft.
    ///
    /// ```
    /// use ringfence::quantity::RotationalSpeed;
    /// fn tip_speed_m_s(shaft: RotationalSpeed) -> f64 {
    ///     shaft.rad_s() * 0.035
    /// }
    /// assert!(tip_speed_m_s(RotationalSpeed::from_rpm(120_000.0)) > 439.0);
    /// ```
    ///
    /// A bare number does not say whether it is rpm or rad/s:
    ///
    /// ```compile_fail,E0308
    /// use ringfence::quantity::RotationalSpeed;
    /// fn tip_speed_m_s(shaft: RotationalSpeed) -> f64 {
    ///     shaft.rad_s() * 0.035
    /// }
    /// tip_speed_m_s(120_000.0);
    /// ```
    RotationalSpeed: Kind::new("rotational speed", &[RAD_S, RPM, KRPM, PER_MIN], RPM, RPM, &["2800 rpm", "118 krpm"]);
    from_rad_s, rad_s = RAD_S;
    from_rpm, rpm = RPM;
}

quantity! {
    /// Change of a shaft's speed per time.
    RotationalAcceleration: Kind::new("rotational acceleration", &[RPM_S, RAD_S2], RPM_S, RPM_S, &["300 rpm/s"]);
    from_rad_s2, rad_s2 = RAD_S2;
    from_rpm_s, rpm_s = RPM_S;
}

quantity! {
    /// Speed along a line.
    Speed: Kind::new("speed", &[M_S, KM_H, MPH, FT_S], M_S, FT_S, &["60 km/h", "520 m/s", "35 mph"]);
    from_m_s, m_s = M_S;
    from_km_h, km_h = KM_H;
    from_mph, mph = MPH;
}

quantity! {
    /// Power.
    Power: Kind::new("power", &[W, KW, HP, PS], KW, HP, &["220 kW", "300 hp"]);
    from_w, w = W;
    from_kw, kw = KW;
    from_hp, hp = HP;
}

quantity! {
    /// Torque.
    ///
    /// ```
    /// use ringfence::quantity::{Power, RotationalSpeed, Torque};
    /// let power: Power = Torque::from_nm(900.0) * RotationalSpeed::from_rad_s(200.0);
    /// assert_eq!(power, Power::from_kw(180.0));
    /// ```
    ///
    /// It is not comparable with power:
    ///
    /// ```compile_fail,E0308
    /// use ringfence::quantity::{Power, Torque};
    /// let same = Torque::from_nm(900.0) == Power::from_w(900.0);
    /// ```
    Torque: Kind::new("torque", &[N_M, LBF_FT], N_M, LBF_FT, &["900 N m", "664 lbf ft"]);
    from_nm, nm = N_M;
    from_lbf_ft, lbf_ft = LBF_FT;
}

quantity! {
    /// Energy.
    Energy: Kind::new("energy", &[J, KJ, MJ, BTU], KJ, BTU, &["12 kJ", "11 Btu"]);
    from_j, j = J;
    from_kj, kj = KJ;
}

quantity! {
    /// Energy per mass, such as a heating value.
    SpecificEnergy: Kind::new("specific energy", &[J_KG, KJ_KG, MJ_KG, BTU_LB], MJ_KG, BTU_LB, &["42.8 MJ/kg", "18400 Btu/lb"]);
    from_j_kg, j_kg = J_KG;
    from_mj_kg, mj_kg = MJ_KG;
}

quantity! {
    /// Energy per mass and temperature, such as a specific heat or a gas constant.
    SpecificHeat: Kind::new("specific heat", &[J_KG_K, KJ_KG_K], J_KG_K, J_KG_K, &["1005 J/(kg K)"]);
    from_j_kg_k, j_kg_k = J_KG_K;
}

quantity! {
    /// Fuel mass per energy delivered.
    SpecificFuel: Kind::new("specific fuel consumption", &[G_KWH, LB_HP_H], G_KWH, LB_HP_H, &["205 g/kWh", "0.337 lb/(hp h)"]);
    from_kg_j, kg_j = KG_J;
    from_g_kwh, g_kwh = G_KWH;
}

quantity! {
    /// Heat flow per temperature difference.
    HeatConductance: Kind::new("heat conductance", &[W_K, KW_K], W_K, W_K, &["35 W/K"]);
    from_w_k, w_k = W_K;
}

quantity! {
    /// Heat stored per temperature difference.
    HeatCapacity: Kind::new("heat capacity", &[J_K, KJ_K], KJ_K, KJ_K, &["4 kJ/K"]);
    from_j_k, j_k = J_K;
}

quantity! {
    /// A length or an altitude.
    Length: Kind::new("length", &[M, MM, CM, KM, IN, FT], M, FT, &["70 mm", "2600 m", "8500 ft"]);
    from_m, m = M;
    from_mm, mm = MM;
    from_ft, ft = FT;
}

impl Length {
    /// Number and unit label for a small size: mm or in.
    pub fn present_small(self, system: UnitSystem) -> (f64, &'static str) {
        let unit = match system {
            UnitSystem::Si => MM,
            UnitSystem::Us => IN,
        };
        (unit.of_si(self.0), unit.name())
    }

    /// Text for a small size, in mm or in.
    pub fn display_small(self, system: UnitSystem, decimals: usize) -> String {
        let (value, label) = self.present_small(system);
        format!("{} {label}", fixed(value, decimals))
    }
}

quantity! {
    /// An area.
    Area: Kind::new("area", &[M2, CM2, MM2, IN2], CM2, IN2, &["9.9 cm2", "990 mm2", "1.5 in2"]);
    from_m2, m2 = M2;
    from_cm2, cm2 = CM2;
}

quantity! {
    /// A volume.
    Volume: Kind::new("volume", &[M3, L, CM3, IN3], L, IN3, &["20 l", "305 in3"]);
    from_m3, m3 = M3;
    from_l, l = L;
}

quantity! {
    /// Moment of inertia of a shaft.
    Inertia: Kind::new("moment of inertia", &[KG_M2, KG_CM2, G_CM2, LB_IN2], KG_M2, LB_IN2, &["1.1e-4 kg m2", "0.38 lb in2"]);
    from_kg_m2, kg_m2 = KG_M2;
}

quantity! {
    /// A span of time.
    Duration: Kind::new("duration", &[S, MS, MIN, H], S, S, &["20 s", "30 ms"]);
    from_s, s = S;
    from_ms, ms = MS;
}

quantity! {
    /// An angle.
    Angle: Kind::new("angle", &[DEG, RAD], DEG, DEG, &["32 deg"]);
    from_rad, rad = RAD;
    from_deg, deg = DEG;
}

quantity! {
    /// A voltage.
    Voltage: Kind::new("voltage", &[V, MV], V, V, &["4.75 V", "250 mV"]);
    from_v, v = V;
    from_mv, mv = MV;
}

quantity! {
    /// A share of a whole.
    ///
    /// ```
    /// use ringfence::quantity::Fraction;
    /// fn duty_percent(duty: Fraction) -> f64 {
    ///     duty.percent()
    /// }
    /// assert_eq!(duty_percent(Fraction::from_fraction(0.5)), 50.0);
    /// ```
    ///
    /// A bare number does not say whether it is per cent:
    ///
    /// ```compile_fail,E0308
    /// use ringfence::quantity::Fraction;
    /// fn duty_percent(duty: Fraction) -> f64 {
    ///     duty.percent()
    /// }
    /// duty_percent(0.5);
    /// ```
    Fraction: Kind::new("share in per cent", &[PERCENT_UNIT], PERCENT_UNIT, PERCENT_UNIT, &["40 %"])
        .of_dimension("share");
    from_fraction, fraction = ONE;
    from_percent, percent = PERCENT_UNIT;
}

additive!(
    Mass,
    FuelQuantity,
    MassFlow,
    VolumeFlow,
    RotationalSpeed,
    RotationalAcceleration,
    Speed,
    Power,
    Torque,
    Energy,
    SpecificEnergy,
    SpecificHeat,
    SpecificFuel,
    HeatConductance,
    HeatCapacity,
    Length,
    Area,
    Volume,
    Inertia,
    Duration,
    Angle,
    Voltage,
    Fraction,
);

product! {
    Torque * RotationalSpeed = Power;
    Power * Duration = Energy;
    MassFlow * Duration = Mass;
    MassFlow * SpecificEnergy = Power;
    VolumeFlow * Duration = Volume;
    Speed * Duration = Length;
    RotationalAcceleration * Duration = RotationalSpeed;
    Inertia * RotationalAcceleration = Torque;
}
