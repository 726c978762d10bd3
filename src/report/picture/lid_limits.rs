//! What closes the room of the lid: limits of the shaft and of the sensor.
use super::axis::Frame;
use super::canvas::{Canvas, Label};
use super::crowd::Crowd;
use super::palette::*;
use crate::judgement::RunResult;
use crate::report::units::fixed;
use crate::simulation::Sample;

/// What closes the room, in SI.
#[derive(Debug, Clone, Copy)]
pub(super) struct Limits {
    pub(super) readable_kpa: Option<f64>,
    pub(super) shaft_rpm: Option<f64>,
    /// Shaft speed at which the tip-speed limit is met; only where stricter.
    pub(super) tip_rpm: Option<f64>,
}

impl Limits {
    pub(super) fn of(samples: &[Sample], result: &RunResult) -> Self {
        let limit = |name: &str| {
            result
                .limits
                .iter()
                .find(|limit| limit.name == name)
                .map(|limit| limit.limit)
        };
        let shaft_rpm = limit("shaft_speed");
        // Tip speed is proportional to shaft speed: any turning sample tells
        // the factor, the fastest one best.
        let fastest = samples
            .iter()
            .filter(|s| s.tip_speed_m_s > 0.0 && s.shaft_speed_rpm > 0.0)
            .max_by(|a, b| a.shaft_speed_rpm.total_cmp(&b.shaft_speed_rpm));
        let tip_rpm = limit("tip_speed")
            .zip(fastest)
            .map(|(tip, s)| tip * s.shaft_speed_rpm / s.tip_speed_m_s)
            .filter(|&rpm| shaft_rpm.is_none_or(|shaft| rpm < shaft));
        Limits {
            readable_kpa: result.sensor.readable_ceiling_kpa_abs,
            shaft_rpm,
            tip_rpm,
        }
    }

    pub(super) fn strictest_rpm(&self) -> Option<f64> {
        self.tip_rpm.or(self.shaft_rpm)
    }

    /// Whether both close the same room, to within what a pixel shows.
    pub(super) fn same_as(&self, other: &Limits) -> bool {
        let near = |a: Option<f64>, b: Option<f64>| match (a, b) {
            (Some(a), Some(b)) => (a - b).abs() <= 1e-4 * a.abs(),
            (a, b) => a.is_none() && b.is_none(),
        };
        near(self.readable_kpa, other.readable_kpa)
            && near(self.shaft_rpm, other.shaft_rpm)
            && near(self.tip_rpm, other.tip_rpm)
    }
}

/// The limits of the shaft across the room; `of` says whose where it matters.
pub(super) fn limit_lines(
    canvas: &mut Canvas,
    frame: &Frame,
    crowd: &mut Crowd,
    limits: &Limits,
    of: &str,
) {
    let lines = [
        (limits.shaft_rpm, "shaft-speed limit", Dash::Long, 2.6),
        (limits.tip_rpm, "tip-speed limit, met at", Dash::Short, 2.0),
    ];
    for (rpm, name, dash, width) in lines {
        let Some(rpm) = rpm else { continue };
        let y = frame.y(rpm / 1000.0);
        let line = [(frame.area.left, y), (frame.area.right, y)];
        canvas.line(&line, stroke(VERMILLION, width, dash));
        crowd.avoid_line(&line);
        let text = format!("{of}{name} {} krpm", fixed(rpm / 1000.0, 1));
        let lower = limits.tip_rpm == Some(rpm);
        let (above, below) = (y - 13.0, y + 13.0);
        let label = |x: f64, y: f64| Label::new(text.as_str(), (x, y), 15.0, VERMILLION).bold();
        let (left, right) = (frame.area.left + 10.0, frame.area.right - 10.0);
        let first = if lower { below } else { above };
        // alone the name stands where it always does; among others where there is room
        let label = if of.is_empty() {
            label(left, first)
        } else {
            let places = [
                label(left, first),
                label(right, first).end(),
                label(left, below),
                label(right, below).end(),
            ];
            crowd.best(places).unwrap_or_else(|| label(left, first))
        };
        crowd.take(label.area());
        canvas.text_on_ground(label);
    }
}
