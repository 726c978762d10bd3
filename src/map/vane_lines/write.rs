//! Writes a turbine map in its text form.

use super::TurbineMapData;
use crate::map::text::write::{figure, header};
use std::f64::consts::PI;
use std::fmt::Write;

impl TurbineMapData {
    /// The map as text in per cent closed, rpm, kg/s and shares. Vane positions
    /// carry two digits after the point, speeds one, flows seven, ratios and
    /// efficiencies five; smaller figures are written as they are.
    pub fn to_csv(&self) -> String {
        let mut text = String::new();
        header(&mut text, self.header());
        // Writing into a String cannot fail.
        let _ = writeln!(
            text,
            "# wheel_diameter: {} mm\n# burned: {} %\n\
             vane_position [%], corrected_speed [rpm], expansion_ratio [-], \
             corrected_flow [kg/s], efficiency [-]",
            tidy(self.wheel_diameter_m * 1e3),
            tidy(self.burned * 100.0)
        );
        for vane in self.vanes() {
            for line in &vane.lines {
                for point in &line.points {
                    let _ = writeln!(
                        text,
                        "{}, {}, {}, {}, {}",
                        figure(vane.vane_closed * 100.0, 2),
                        figure(line.corrected_speed_rad_s * 30.0 / PI, 1),
                        figure(point.expansion_ratio, 5),
                        figure(point.corrected_flow_kg_s, 7),
                        figure(point.efficiency, 5)
                    );
                }
            }
        }
        text
    }
}

/// A figure without the last digits that a change of units leaves.
fn tidy(value: f64) -> f64 {
    (value * 1e6).round() / 1e6
}
