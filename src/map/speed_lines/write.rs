//! Writes a map in its text form.

use super::CompressorMapData;
use std::f64::consts::PI;
use std::fmt::Write;

impl CompressorMapData {
    /// The map as text in rpm, kg/s and shares. Speeds carry two digits after
    /// the point, flows seven, ratios and efficiencies six; smaller
    /// figures are written as they are; reading it back gives the same map to
    /// that resolution.
    pub fn to_csv(&self) -> String {
        let header = self.header();
        let mut text = String::new();
        let mut line = |content: std::fmt::Arguments<'_>| {
            // Writing into a String cannot fail.
            let _ = text.write_fmt(content);
            text.push('\n');
        };
        line(format_args!("# about: {}", one_line(&header.about)));
        line(format_args!("# data: {}", header.data.word()));
        line(format_args!(
            "# reference_pressure: {} Pa abs",
            header.reference.pressure_pa
        ));
        line(format_args!(
            "# reference_temperature: {} K",
            header.reference.temperature_k
        ));
        line(format_args!("# source: {}", one_line(&header.source)));
        line(format_args!(
            "corrected_speed [rpm], corrected_flow [kg/s], pressure_ratio [-], efficiency [-]"
        ));
        for speed_line in self.lines() {
            let speed_rpm = speed_line.corrected_speed_rad_s * 30.0 / PI;
            for point in &speed_line.points {
                line(format_args!(
                    "{}, {}, {}, {}",
                    figure(speed_rpm, 2),
                    figure(point.corrected_flow_kg_s, 7),
                    figure(point.pressure_ratio, 6),
                    figure(point.efficiency, 6)
                ));
            }
        }
        text
    }
}

/// A figure with so many decimals, or as it is where those would lose it.
fn figure(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let kept = text
        .parse()
        .is_ok_and(|read: f64| (read - value).abs() <= 1e-4 * value.abs());
    if kept { text } else { format!("{value:e}") }
}

/// Header values end at the line's end: keep them on one.
fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
