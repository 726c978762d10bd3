//! The limited-pressure (Seiliger) cycle: heat at constant volume, then at
//! constant pressure.
//!
//! Polytropic compression and expansion stand for the heat that the charge
//! exchanges with the walls on the way. The cycle gives the indicated work and
//! the peak pressure; the exhaust enthalpy follows from the first law over the
//! cylinder, not from the cycle's end temperature, so that energy closes.
//! Seiliger's cycle: any engine text, e.g. Heywood (1988) ch. 5.
use crate::gas::WorkingGas;

/// Air ratio up to which the stated exponent of expansion holds \[-\]; diesels
/// work above it near idle and in overrun only (Heywood ch. 10, from memory).
const LEAN: f64 = 3.0;

/// How heat is released and lost.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LimitedPressureCycle {
    /// Compression ratio \[-\], 8 to 25.
    pub compression_ratio: f64,
    /// Share of the heat released at constant volume at the reference timing \[-\],
    /// from 0 (air-standard diesel cycle) to 1 (constant-volume cycle).
    pub constant_volume_share: f64,
    /// Injection timing of that share, before top dead centre \[deg\].
    pub reference_timing_deg: f64,
    /// Change of the share per degree of advance, at the reference \[1/deg\].
    pub share_per_degree: f64,
    /// Polytropic exponent of compression \[-\]; 1.32–1.37 in motored diesels
    /// (Heywood ch. 9, from memory).
    pub compression_exponent: f64,
    /// Polytropic exponent of expansion \[-\]; 1.25–1.33.
    pub expansion_exponent: f64,
    /// Share of the fuel heat lost to the walls in the closed cycle \[-\].
    pub wall_loss: f64,
    /// Below this lambda part of the heat comes too late to do work \[-\].
    pub late_burning_below_lambda: f64,
    /// That part, per squared unit of lambda below \[-\].
    pub late_burning: f64,
}

/// The charge at the start of compression, one cylinder, one cycle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trapped {
    /// Pressure \[Pa abs\].
    pub pressure_pa: f64,
    /// Volume at bottom dead centre \[m³\].
    pub volume_m3: f64,
    /// Mass of gas before injection: drawn in plus residual \[kg\].
    pub mass_kg: f64,
    /// Its burned fraction \[-\].
    pub burned: f64,
    /// Gas constant \[J/(kg K)\].
    pub gas_constant_j_kg_k: f64,
    /// Fuel \[kg\].
    pub fuel_kg: f64,
    /// Heat that the burned fuel gives \[J\].
    pub heat_j: f64,
    /// Air to fuel ratio over the stoichiometric one \[-\].
    pub lambda: f64,
}

/// What the closed cycle gives, one cylinder, one cycle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CycleResult {
    /// Indicated work of the closed cycle \[J\].
    pub work_j: f64,
    /// Heat to the walls \[J\].
    pub wall_heat_j: f64,
    /// Peak pressure \[Pa abs\].
    pub peak_pressure_pa: f64,
    /// Temperature at the end of compression \[K\].
    pub compression_end_k: f64,
    /// Highest temperature \[K\].
    pub peak_k: f64,
}

impl LimitedPressureCycle {
    /// Share of the heat released at constant volume \[-\] at an injection
    /// timing \[deg before top dead centre\].
    ///
    /// A logistic curve through the reference share with the stated slope
    /// there: earlier injection premixes more fuel, and no timing leads out of
    /// 0 to 1. A model of our own; usual shares are 0.2 to 0.5. The ends 0 and 1
    /// are the diesel and the constant-volume cycle at any timing: a logistic
    /// curve never reaches them, so that no slope belongs to them.
    pub fn share_at(&self, advance_deg: f64) -> f64 {
        let s = self.constant_volume_share;
        if s <= 0.0 || s >= 1.0 {
            return s;
        }
        let slope = self.share_per_degree / (s * (1.0 - s));
        let shift = slope * (advance_deg - self.reference_timing_deg);
        s / (s + (1.0 - s) * (-shift).exp())
    }

    /// Share of the heat that comes too late to do work \[-\].
    pub fn late_share(&self, lambda: f64) -> f64 {
        let lack = (self.late_burning_below_lambda - lambda).max(0.0);
        self.late_burning * lack * lack
    }

    /// Polytropic exponent of expansion at an air ratio \[-\].
    ///
    /// The stated exponent is that of hot gas which still burns a little. A
    /// charge without fuel expands as it was compressed: its closed cycle gives
    /// no work, where two different exponents would make work out of nothing
    /// and leave the exhaust colder than the ambient. Above a lambda of 3 the exponent
    /// goes over from one to the other with the fuel per air. A model of our own.
    pub fn expansion_exponent_at(&self, lambda: f64) -> f64 {
        let hot = (LEAN / lambda).min(1.0);
        self.compression_exponent + hot * (self.expansion_exponent - self.compression_exponent)
    }

    /// Runs one cycle. Valid for lambda above 1 and peak temperatures below
    /// about 3000 K, where dissociation is small.
    pub fn run(&self, gas: &WorkingGas, c: &Trapped, advance_deg: f64) -> CycleResult {
        let r = self.compression_ratio;
        let n_c = self.compression_exponent;
        let n_e = self.expansion_exponent_at(c.lambda);
        let late = self.late_share(c.lambda).min(1.0 - self.wall_loss);
        let heat_j = c.heat_j * (1.0 - self.wall_loss - late);
        let share = self.share_at(advance_deg);

        // 1 → 2 polytropic compression
        let mr = c.mass_kg * c.gas_constant_j_kg_k;
        let t1 = c.pressure_pa * c.volume_m3 / mr;
        let rise = ((n_c - 1.0) * r.ln()).exp();
        let t2 = t1 * rise;
        let p2 = c.pressure_pa * r * rise;
        let compression_work = mr * (t2 - t1) / (n_c - 1.0);

        // 2 → 3 heat at constant volume, 3 → 4 at constant pressure; cp taken
        // 300 K above the start of each, near its middle at full load
        let mass_kg = c.mass_kg + c.fuel_kg;
        let mr_hot = mass_kg * c.gas_constant_j_kg_k;
        let cv = gas.cp_j_kg_k(t2 + 300.0, c.burned) - c.gas_constant_j_kg_k;
        let t3 = t2 + share * heat_j / (mass_kg * cv);
        let p3 = p2 * t3 / t2 * (mass_kg / c.mass_kg);
        let cp = gas.cp_j_kg_k(t3 + 300.0, c.burned);
        let t4 = t3 + (1.0 - share) * heat_j / (mass_kg * cp);
        let constant_pressure_work = mr_hot * (t4 - t3);

        // 4 → 5 polytropic expansion to bottom dead centre
        let cutoff = t4 / t3;
        let t5 = t4 * ((n_e - 1.0) * (cutoff / r).ln()).exp();
        let expansion_work = mr_hot * (t4 - t5) / (n_e - 1.0);

        CycleResult {
            work_j: constant_pressure_work + expansion_work - compression_work,
            wall_heat_j: self.wall_loss * c.heat_j,
            peak_pressure_pa: p3,
            compression_end_k: t2,
            peak_k: t4,
        }
    }
}
