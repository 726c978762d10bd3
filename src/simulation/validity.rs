//! Stops a run that leaves what the model can describe.
use super::rig::ValidityBounds;
use super::sample::Sample;

/// What left the model's range.
#[derive(Debug, Clone, PartialEq)]
pub struct ValidityStop {
    /// Name of the quantity.
    pub quantity: &'static str,
    /// Its unit.
    pub unit: &'static str,
    /// Its value.
    pub value: f64,
    /// The bound.
    pub bound: f64,
    /// When \[s\].
    pub time_s: f64,
    /// Last good point \[s\].
    pub last_good_s: f64,
}

/// Watches the bounds over a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Watch {
    bounds: ValidityBounds,
    last_good_s: f64,
    flowing_s: f64,
}

impl Watch {
    /// A fresh watch.
    pub fn new(bounds: ValidityBounds) -> Self {
        Self {
            bounds,
            last_good_s: 0.0,
            flowing_s: 0.0,
        }
    }

    /// The first bound that a sample is beyond, if any.
    pub fn check(&mut self, s: &Sample) -> Option<ValidityStop> {
        let b = &self.bounds;
        if s.compressor_flow_kg_s > 0.0 {
            self.flowing_s = s.time_s;
        }
        let beyond = [
            (
                "drive_to_boost_abs",
                "-",
                s.drive_pressure_kpa_abs / s.boost_true_kpa_abs,
                b.drive_to_boost_abs,
            ),
            ("turbine_inlet", "K", s.turbine_inlet_k, b.turbine_inlet_k),
            (
                "vane_closed",
                "%",
                s.vane_closed_pct,
                100.0 * b.vane_closed + 1e-9,
            ),
            (
                "time_without_compressor_flow",
                "s",
                s.time_s - self.flowing_s,
                b.no_flow_s,
            ),
        ]
        .into_iter()
        .find(|(_, _, value, bound)| value > bound);
        let Some((quantity, unit, value, bound)) = beyond else {
            self.last_good_s = s.time_s;
            return None;
        };
        Some(ValidityStop {
            quantity,
            unit,
            value,
            bound,
            time_s: s.time_s,
            last_good_s: self.last_good_s,
        })
    }
}
