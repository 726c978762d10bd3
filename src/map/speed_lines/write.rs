//! Writes a map in its text form.

use super::CompressorMapData;
use crate::map::text::write::{figure, header};
use std::f64::consts::PI;
use std::fmt::Write;

impl CompressorMapData {
    /// The map as text in rpm, kg/s and shares. Speeds carry two digits after
    /// the point, flows seven, ratios and efficiencies six; smaller
    /// figures are written as they are; reading it back gives the same map to
    /// that resolution.
    pub fn to_csv(&self) -> String {
        let mut text = String::new();
        header(&mut text, self.header());
        text.push_str(
            "corrected_speed [rpm], corrected_flow [kg/s], pressure_ratio [-], efficiency [-]\n",
        );
        for speed_line in self.lines() {
            let speed_rpm = speed_line.corrected_speed_rad_s * 30.0 / PI;
            for point in &speed_line.points {
                // Writing into a String cannot fail.
                let _ = writeln!(
                    text,
                    "{}, {}, {}, {}",
                    figure(speed_rpm, 2),
                    figure(point.corrected_flow_kg_s, 7),
                    figure(point.pressure_ratio, 6),
                    figure(point.efficiency, 6)
                );
            }
        }
        text
    }
}
