//! Filter, compressor and cooler loss in series between two pressures.
//!
//! For a corrected flow `w` the inlet pressure follows from the filter loss
//! `p_in = p_amb − k_in W²` with `W = w c p_in`, `c = √(Tref/T)/pref`:
//! `p_in = 2 p_amb / (1 + √(1 + 4 k_in c² w² p_amb))`. No iteration is needed,
//! so the whole duct has one unknown, the corrected flow. Both losses rise with
//! flow and the stable branch falls: the residual below falls strictly.

use super::CompressorDemand;
use super::grid::ratio_with_derivatives;
use super::root::Sample;
use crate::map::ReferenceConditions;

/// The duct around a compressor at one demand.
#[derive(Debug, Clone, Copy)]
pub(super) struct Duct {
    ambient_pa: f64,
    inverse_ambient: f64,
    outlet_pa: f64,
    inlet_loss: f64,
    outlet_loss: f64,
    /// `4 k_in p_amb`.
    under_root: f64,
    /// Actual flow over corrected flow and inlet pressure, `c` \[1/Pa\].
    conversion: f64,
}

/// The duct at one corrected flow.
#[derive(Debug, Clone, Copy)]
pub(super) struct DuctPoint {
    /// Pressure at the compressor inlet \[Pa abs\].
    pub inlet_pa: f64,
    /// Actual flow \[kg/s\].
    pub flow_kg_s: f64,
    /// `√(1 + 4 k_in c² w² p_amb)`.
    root: f64,
}

impl Duct {
    /// `root_temperature_ratio` is `√(Tref/T)`.
    #[inline]
    pub fn new(
        demand: &CompressorDemand,
        reference: &ReferenceConditions,
        root_temperature_ratio: f64,
    ) -> Self {
        Self {
            ambient_pa: demand.ambient_pressure_pa,
            inverse_ambient: 1.0 / demand.ambient_pressure_pa,
            outlet_pa: demand.outlet_pressure_pa,
            inlet_loss: demand.inlet_loss_pa_s2_kg2,
            outlet_loss: demand.outlet_loss_pa_s2_kg2,
            under_root: 4.0 * demand.inlet_loss_pa_s2_kg2 * demand.ambient_pressure_pa,
            conversion: root_temperature_ratio / reference.pressure_pa,
        }
    }

    /// Inlet pressure and actual flow at a corrected flow \[kg/s\].
    #[inline]
    pub fn at(&self, corrected_flow: f64) -> DuctPoint {
        let per_pressure = self.conversion * corrected_flow;
        let root = (1.0 + self.under_root * (per_pressure * per_pressure)).sqrt();
        let inlet_pa = 2.0 * self.ambient_pa / (1.0 + root);
        DuctPoint {
            inlet_pa,
            flow_kg_s: per_pressure * inlet_pa,
            root,
        }
    }

    /// Pressure ratio that the surroundings ask for at a point of the duct.
    #[inline]
    pub fn asked_ratio(&self, point: &DuctPoint) -> f64 {
        let loss_pa = self.outlet_loss * point.flow_kg_s * point.flow_kg_s;
        (self.outlet_pa + loss_pa) / point.inlet_pa
    }

    /// The same at a corrected flow, with the filter loss to first order.
    #[inline]
    pub fn about_asked_ratio(&self, corrected_flow: f64) -> f64 {
        let flow = self.conversion * corrected_flow * self.ambient_pa;
        let square = flow * flow;
        (self.outlet_pa + self.outlet_loss * square)
            * self.inverse_ambient
            * (1.0 + self.inlet_loss * square * self.inverse_ambient)
    }

    /// Pressure that the compressor has left over at a corrected flow \[Pa\].
    ///
    /// Derivatives are over a coordinate of which one unit spans `span` of
    /// corrected flow \[kg/s\]; head comes with its first and second derivative
    /// over the same coordinate. In the curvature the bend of actual over
    /// corrected flow is left out, which only slows the search a little.
    #[inline]
    pub fn left_over(&self, corrected_flow: f64, head: [f64; 3], span: f64) -> Sample {
        let point = self.at(corrected_flow);
        let [ratio, first, second] = ratio_with_derivatives(head[0]);
        let flow = point.flow_kg_s;
        let flow_slope = self.conversion * span * point.inlet_pa / point.root;
        let inlet_slope = -2.0 * self.inlet_loss * flow * flow_slope;
        let ratio_slope = first * head[1];
        let ratio_curvature = second * head[1] * head[1] + first * head[2];
        let flow_slope_square = flow_slope * flow_slope;
        Sample {
            value: ratio * point.inlet_pa - self.outlet_loss * flow * flow - self.outlet_pa,
            slope: ratio_slope * point.inlet_pa + ratio * inlet_slope
                - 2.0 * self.outlet_loss * flow * flow_slope,
            curvature: ratio_curvature * point.inlet_pa + 2.0 * ratio_slope * inlet_slope
                - 2.0 * (ratio * self.inlet_loss + self.outlet_loss) * flow_slope_square,
        }
    }
}
