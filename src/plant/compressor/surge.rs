//! What a compressor does at any flow: reverse, left of surge, and beyond.
//!
//! With a duct whose air has inertia the flow is a state, and the compressor is
//! asked for its pressure ratio at that flow. Right of the surge flow the map
//! answers; here is what lies left of it, over the share `u` of the surge flow
//! at the same speed. Everything is in the measure of head of the speed lines,
//! `h = PR^(2/7) − 1`, and in the same measure for the actual work,
//! `q = h/η`: temperature rise over inlet temperature at constant heat capacity.
//!
//! - `0 ≤ u ≤ 1`: the cubic through the zero-flow head `h0` (level there) and
//!   the surge point `h1` (with the slope of the map there, `m`),
//!   `h = h0 + (h1 − h0)(3u² − 2u³) + m u²(u − 1)`; with `m = 0` it is the cubic
//!   of Moore & Greitzer, J. Eng. Gas Turbines Power 108 (1986), 68-76.
//! - `u < 0`: a rising resistance `h = h0 + k h1 u²` (Greitzer, J. Eng. Power 98
//!   (1976), 190-198; Hansen, Jørgensen & Larsen, J. Fluids Eng. 103 (1981)
//!   measured such a branch on a small radial compressor).
//! - `h0`: radial equilibrium of the gas that turns with the wheel,
//!   `h0 = (U2² − U1²)/(2 cp T01)`, Gravdahl & Egeland, *Compressor Surge and
//!   Rotating Stall* (Springer 1999), ch. 4, at κ = 1.4.
//! - Work: from the surge point the Euler line rises to zero flow by the work
//!   that backsweep takes off at the surge flow; `q` is the cubic with that
//!   value (level) at zero flow and value and slope of the map at surge. In
//!   reverse flow the wheel still has to set every kilogram turning, and takes
//!   `|ṁ| Δh0` from the shaft (Gravdahl & Egeland, ch. 4: torque on |ṁ|).
//!
//! References from memory; figures that they do not give are named below.

use super::{CompressorDemand, grid::ratio_of_head};

/// Diameter of equal areas inside and outside of the inducer over the tip
/// diameter, for a map that does not tell it: √((0.75² + 0.25²)/2).
pub const USUAL_INLET_RATIO: f64 = 0.559;
/// Rise of the Euler work from surge to zero flow over the square of the tip
/// speed: flow coefficient behind the wheel at surge, some 0.2, times tan 35°.
const EULER_RISE: f64 = 0.14;
/// Head lost in reverse flow at the size of the surge flow, over the head at
/// surge. Chosen: published reverse branches of small radial compressors lie
/// between about a half and twice that. It decides how fast a volume empties
/// in deep surge, hardly how often.
const REVERSE_LOSS: f64 = 1.0;
/// Heat capacity of the head measure, `3.5 R` of dry air \[J/(kg K)\].
const HEAT_CAPACITY_J_KG_K: f64 = 3.5 * 287.05;
/// Share of the ambient pressure that the filter's quadratic loss takes at most.
const MOST_FILTER_LOSS: f64 = 0.9;

/// Sizes of the wheel that decide what it does without flow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WheelSizes {
    /// Tip diameter \[m\].
    pub tip_diameter_m: f64,
    /// Diameter of equal areas inside and outside of the inducer over the tip
    /// diameter \[-\].
    pub inlet_ratio: f64,
}

impl WheelSizes {
    /// Head without flow and rise of the Euler work from surge to zero flow, in
    /// the measure of head, at a speed \[rad/s\] corrected to a temperature \[K\].
    fn without_flow(&self, corrected_speed_rad_s: f64, reference_k: f64) -> (f64, f64) {
        let tip_speed_m_s = 0.5 * self.tip_diameter_m * corrected_speed_rad_s;
        let square = tip_speed_m_s * tip_speed_m_s / (HEAT_CAPACITY_J_KG_K * reference_k);
        (
            0.5 * square * (1.0 - self.inlet_ratio * self.inlet_ratio),
            EULER_RISE * square,
        )
    }
}

/// The surge point of one speed.
#[derive(Debug, Clone, Copy)]
pub(super) struct SurgePoint {
    /// Head.
    pub head: f64,
    /// Slope of head over the share of the surge flow.
    pub head_slope: f64,
    /// Efficiency.
    pub efficiency: f64,
    /// Slope of efficiency over the share of the surge flow.
    pub efficiency_slope: f64,
}

/// The characteristic left of surge at one speed.
#[derive(Debug, Clone, Copy)]
pub(super) struct LeftOfSurge {
    head_0: f64,
    head_1: f64,
    head_slope: f64,
    work_0: f64,
    work_1: f64,
    work_slope: f64,
}

/// Pressure ratio and work at one flow.
#[derive(Debug, Clone, Copy)]
pub(super) struct Characteristic {
    /// Pressure ratio over the compressor.
    pub pressure_ratio: f64,
    /// Pressure ratio whose isentropic enthalpy rise, over the efficiency, is
    /// the work; the same but in reverse flow.
    pub work_ratio: f64,
    /// Efficiency.
    pub efficiency: f64,
}

impl LeftOfSurge {
    /// At a corrected speed \[rad/s\] over a reference temperature \[K\].
    pub fn new(
        sizes: &WheelSizes,
        surge: &SurgePoint,
        corrected_speed_rad_s: f64,
        reference_k: f64,
    ) -> Self {
        let (head_0, work_rise) = sizes.without_flow(corrected_speed_rad_s, reference_k);
        let work_1 = surge.head / surge.efficiency;
        Self {
            head_0,
            head_1: surge.head,
            head_slope: surge.head_slope,
            work_0: work_1 + work_rise,
            work_1,
            work_slope: (surge.head_slope - work_1 * surge.efficiency_slope) / surge.efficiency,
        }
    }

    /// At a share of the surge flow of at most 1.
    pub fn at(&self, share: f64) -> Characteristic {
        if share < 0.0 {
            let head = self.head_0 + REVERSE_LOSS * self.head_1 * share * share;
            return Characteristic {
                pressure_ratio: ratio_of_head(head),
                work_ratio: ratio_of_head(self.head_0),
                efficiency: self.head_0 / self.work_0,
            };
        }
        let head = cubic([self.head_0, self.head_1], self.head_slope, share);
        let work = cubic([self.work_0, self.work_1], self.work_slope, share);
        let pressure_ratio = ratio_of_head(head);
        Characteristic {
            pressure_ratio,
            work_ratio: pressure_ratio,
            efficiency: head / work,
        }
    }
}

/// Cubic between two values, level at 0 and with a slope at 1.
fn cubic(ends: [f64; 2], slope: f64, u: f64) -> f64 {
    let square = u * u;
    ends[0] + (ends[1] - ends[0]) * square * (3.0 - 2.0 * u) + slope * square * (u - 1.0)
}

/// Pressure at the compressor inlet \[Pa abs\] at a flow in either direction:
/// `p_amb − k ṁ|ṁ|`.
///
/// Beyond a loss of 0.9 of ambient, where no filter is passed any more, the
/// pressure falls as `0.01 p_amb / (x − 0.8)` with `x = k ṁ²/p_amb`, which joins
/// with value and slope and stays positive at any flow that a trial step may
/// reach for.
pub(super) fn inlet_pressure_pa(demand: &CompressorDemand, flow_kg_s: f64) -> f64 {
    const REST: f64 = 1.0 - MOST_FILTER_LOSS;
    let ambient_pa = demand.ambient_pressure_pa;
    let share = demand.inlet_loss_pa_s2_kg2 * flow_kg_s * flow_kg_s.abs() / ambient_pa;
    if share <= MOST_FILTER_LOSS {
        ambient_pa * (1.0 - share)
    } else {
        ambient_pa * REST * REST / (share - (1.0 - 2.0 * REST))
    }
}
