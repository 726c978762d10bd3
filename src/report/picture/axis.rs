//! Scales with round ticks, and the frame of a chart.
use super::canvas::{Area, Canvas, Label, Point};
use super::palette::{BLACK, Dash, GREY, LIGHT_GREY, stroke};
use crate::report::units::fixed;

/// Size of the numerals at an axis \[px\].
pub(super) const TICK_SIZE: f64 = 14.0;
/// Size of the name of an axis \[px\].
pub(super) const NAME_SIZE: f64 = 15.0;

/// A linear scale with ticks at round numbers.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Scale {
    pub(super) low: f64,
    pub(super) high: f64,
    pub(super) step: f64,
}

impl Scale {
    /// A scale over `low..high` with about `wanted` ticks.
    pub(super) fn new(low: f64, high: f64, wanted: usize) -> Self {
        let (low, high) = if low.is_finite() && high.is_finite() && high > low {
            (low, high)
        } else {
            let middle = if low.is_finite() { low } else { 0.0 };
            (middle - 1.0, middle + 1.0)
        };
        let step = round_step((high - low) / wanted.max(1) as f64);
        Scale { low, high, step }
    }

    /// The round numbers inside the scale.
    pub(super) fn ticks(&self) -> Vec<f64> {
        let first = (self.low / self.step - 1e-9).ceil() as i64;
        let last = (self.high / self.step + 1e-9).floor() as i64;
        (first..=last)
            .map(|count| count as f64 * self.step)
            .collect()
    }

    /// Decimals that the ticks need.
    pub(super) fn decimals(&self) -> usize {
        (0..4)
            .find(|&places| {
                let scaled = self.step * 10_f64.powi(places);
                (scaled - scaled.round()).abs() < 1e-6 * scaled.max(1.0)
            })
            .unwrap_or(4) as usize
    }

    /// The share of the way from low to high.
    pub(super) fn share(&self, value: f64) -> f64 {
        (value - self.low) / (self.high - self.low)
    }
}

/// The next of 1, 2, 5 times a power of ten at or above a raw step.
pub(super) fn round_step(raw: f64) -> f64 {
    if !(raw.is_finite() && raw > 0.0) {
        return 1.0;
    }
    let power = 10_f64.powf(raw.log10().floor());
    let scaled = raw / power;
    let digit = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .find(|&digit| scaled <= digit * (1.0 + 1e-9))
        .unwrap_or(10.0);
    digit * power
}

/// Least and greatest finite value.
pub(super) fn span(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values
        .filter(|value| value.is_finite())
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
            (low.min(value), high.max(value))
        })
}

/// A number at an axis, with a true minus sign.
fn numeral(value: f64, places: usize) -> String {
    fixed(value, places).replace('-', "−")
}

/// A chart area with a scale across and a scale up.
#[derive(Debug, Clone)]
pub(super) struct Frame {
    pub(super) area: Area,
    pub(super) across: Scale,
    pub(super) up: Scale,
}

impl Frame {
    pub(super) fn x(&self, value: f64) -> f64 {
        self.area.left + self.across.share(value) * self.area.width()
    }
    pub(super) fn y(&self, value: f64) -> f64 {
        self.area.bottom - self.up.share(value) * self.area.height()
    }
    pub(super) fn at(&self, across: f64, up: f64) -> Point {
        (self.x(across), self.y(up))
    }

    /// Pale lines at the ticks, under everything else.
    pub(super) fn grid(&self, canvas: &mut Canvas) {
        let thin = stroke(LIGHT_GREY, 1.0, Dash::Solid);
        for tick in self.across.ticks() {
            let x = self.x(tick);
            canvas.line(&[(x, self.area.top), (x, self.area.bottom)], thin);
        }
        self.grid_up(canvas);
    }

    /// Pale lines at the ticks of the scale up.
    pub(super) fn grid_up(&self, canvas: &mut Canvas) {
        let thin = stroke(LIGHT_GREY, 1.0, Dash::Solid);
        for tick in self.up.ticks() {
            let y = self.y(tick);
            canvas.line(&[(self.area.left, y), (self.area.right, y)], thin);
        }
    }

    /// Numerals, tick marks and the name below.
    pub(super) fn axis_below(&self, canvas: &mut Canvas, name: &str) {
        let bottom = self.area.bottom;
        let dark = stroke(BLACK, 1.2, Dash::Solid);
        canvas.line(&[(self.area.left, bottom), (self.area.right, bottom)], dark);
        let places = self.across.decimals();
        for tick in self.across.ticks() {
            let x = self.x(tick);
            canvas.line(&[(x, bottom), (x, bottom + 5.0)], dark);
            let text = numeral(tick, places);
            canvas.text(Label::new(text, (x, bottom + 16.0), TICK_SIZE, BLACK).middle());
        }
        let middle = (self.area.left + self.area.right) / 2.0;
        canvas.text(Label::new(name, (middle, bottom + 37.0), NAME_SIZE, BLACK).middle());
    }

    /// Numerals and tick marks at the left; the name upright beside them.
    pub(super) fn axis_left(&self, canvas: &mut Canvas, name: &str) {
        self.axis_left_at(canvas, name, 22.0);
    }

    /// The same with the name at a place across \[px\], for a chart that is not
    /// the first of its row.
    pub(super) fn axis_left_at(&self, canvas: &mut Canvas, name: &str, name_x: f64) {
        let left = self.area.left;
        let dark = stroke(BLACK, 1.2, Dash::Solid);
        canvas.line(&[(left, self.area.top), (left, self.area.bottom)], dark);
        let places = self.up.decimals();
        for tick in self.up.ticks() {
            let y = self.y(tick);
            canvas.line(&[(left - 5.0, y), (left, y)], dark);
            let text = numeral(tick, places);
            canvas.text(Label::new(text, (left - 9.0, y), TICK_SIZE, BLACK).end());
        }
        let middle = (self.area.top + self.area.bottom) / 2.0;
        canvas.text(
            Label::new(name, (name_x, middle), NAME_SIZE, BLACK)
                .middle()
                .upright(),
        );
    }

    /// A second scale above, of the same place but another zero or unit.
    pub(super) fn axis_above(&self, canvas: &mut Canvas, shown: &Scale, shift: f64, name: &str) {
        let top = self.area.top;
        let pale = stroke(GREY, 1.2, Dash::Solid);
        canvas.line(&[(self.area.left, top), (self.area.right, top)], pale);
        let places = shown.decimals();
        for tick in shown.ticks() {
            let x = self.x(tick + shift);
            canvas.line(&[(x, top - 5.0), (x, top)], pale);
            let text = numeral(tick, places);
            canvas.text(Label::new(text, (x, top - 14.0), TICK_SIZE, GREY).middle());
        }
        let middle = (self.area.left + self.area.right) / 2.0;
        canvas.text(Label::new(name, (middle, top - 33.0), NAME_SIZE, GREY).middle());
    }
}
