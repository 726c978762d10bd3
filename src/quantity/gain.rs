//! Rates and gains of controllers, and friction coefficients.
use super::define::{additive, quantity};
use super::unit::Kind;
use super::units::*;

quantity! {
    /// Change of a pressure per time.
    PressureRate: Kind::new("pressure rate", &[KPA_S, BAR_S, PSI_S], KPA_S, PSI_S, &["150 kPa/s", "20 psi/s"]);
    from_pa_s, pa_s = PA_S;
    from_kpa_s, kpa_s = KPA_S;
}

quantity! {
    /// Change of vane position per time.
    VaneRate: Kind::new("vane rate", &[PERCENT_S], PERCENT_S, PERCENT_S, &["300 %/s"]);
    from_per_s, per_s = PER_S;
    from_percent_s, percent_s = PERCENT_S;
}

quantity! {
    /// Vane position per pressure error: a proportional gain.
    VanePerPressure: Kind::new(
        "proportional gain from pressure to vanes",
        &[PERCENT_PER_KPA, PERCENT_PER_BAR, PERCENT_PER_PSI],
        PERCENT_PER_KPA,
        PERCENT_PER_PSI,
        &["0.15 %/kPa", "1 %/psi"],
    );
    from_per_pa, per_pa = PER_PA;
    from_percent_per_kpa, percent_per_kpa = PERCENT_PER_KPA;
}

quantity! {
    /// Vane position per pressure error and time: an integral gain.
    VaneIntegral: Kind::new(
        "integral gain from pressure to vanes",
        &[PERCENT_PER_KPA_S, PERCENT_PER_BAR_S, PERCENT_PER_PSI_S],
        PERCENT_PER_KPA_S,
        PERCENT_PER_PSI_S,
        &["0.36 %/(kPa s)", "2.5 %/(psi s)"],
    );
    from_per_pa_s, per_pa_s = PER_PA_S;
    from_percent_per_kpa_s, percent_per_kpa_s = PERCENT_PER_KPA_S;
}

quantity! {
    /// Vane position per rate of pressure error: a derivative gain.
    VaneDerivative: Kind::new(
        "derivative gain from pressure to vanes",
        &[PERCENT_S_PER_KPA, PERCENT_S_PER_BAR, PERCENT_S_PER_PSI],
        PERCENT_S_PER_KPA,
        PERCENT_S_PER_PSI,
        &["0.01 % s/kPa", "0.07 % s/psi"],
    );
    from_s_per_pa, s_per_pa = S_PER_PA;
    from_percent_s_per_kpa, percent_s_per_kpa = PERCENT_S_PER_KPA;
}

quantity! {
    /// Vane position per shaft speed: the gain of a speed limiter.
    VanePerSpeed: Kind::new(
        "gain from rotational speed to vanes",
        &[PERCENT_PER_RPM, PERCENT_PER_KRPM],
        PERCENT_PER_KRPM,
        PERCENT_PER_KRPM,
        &["5 %/krpm", "0.005 %/rpm"],
    );
    from_s_per_rad, s_per_rad = S_PER_RAD;
    from_percent_per_rpm, percent_per_rpm = PERCENT_PER_RPM;
    from_percent_per_krpm, percent_per_krpm = PERCENT_PER_KRPM;
}

quantity! {
    /// Friction pressure per piston speed.
    PressurePerSpeed: Kind::new("pressure per speed", &[KPA_S_M, BAR_S_M], KPA_S_M, KPA_S_M, &["9 kPa s/m"]);
    from_pa_s_m, pa_s_m = PA_S_M;
    from_kpa_s_m, kpa_s_m = KPA_S_M;
}

quantity! {
    /// Friction pressure per square of piston speed.
    PressurePerSpeedSquared: Kind::new(
        "pressure per speed squared",
        &[KPA_S2_M2, BAR_S2_M2],
        KPA_S2_M2,
        KPA_S2_M2,
        &["0.09 kPa s2/m2"],
    );
    from_pa_s2_m2, pa_s2_m2 = PA_S2_M2;
    from_kpa_s2_m2, kpa_s2_m2 = KPA_S2_M2;
}

additive!(
    PressureRate,
    VaneRate,
    VanePerPressure,
    VaneIntegral,
    VaneDerivative,
    VanePerSpeed,
    PressurePerSpeed,
    PressurePerSpeedSquared,
);
