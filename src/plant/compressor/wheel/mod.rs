//! A compressor from the sizes of its wheel: speed lines by a mean-line model.
//!
//! Many builders know the wheel and own no map. The model gives the lines that
//! such a wheel typically has: work from slip and continuity (`mean_line`),
//! efficiency from a law over flow and tip Mach number, choke from the inducer
//! throat, surge from the flow angle into the diffuser. Expect ±5 % in flow,
//! ±5 % in head and ±3 points in efficiency against a measured map of a usual
//! wheel with vaneless diffuser (judgement, not proved here).
mod mean_line;
mod slip;

pub use slip::SlipModel;

use crate::map::{CompressorMapData, MapHeader, MapPoint, SpeedLine};
use mean_line::MeanLine;

/// Sizes of a compressor wheel and the few figures that its losses need.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WheelGeometry {
    /// Tip (exducer) diameter \[m\].
    pub tip_diameter_m: f64,
    /// Blade width at the tip \[m\].
    pub tip_width_m: f64,
    /// Backsweep at the tip, from radial \[deg\].
    pub backsweep_deg: f64,
    /// Blades that begin at the inlet.
    pub full_blades: u32,
    /// Splitter blades.
    pub splitter_blades: u32,
    /// Inducer diameter at the blade tips \[m\].
    pub inducer_tip_diameter_m: f64,
    /// Inducer diameter at the hub \[m\].
    pub inducer_hub_diameter_m: f64,
    /// Smallest flow area between the inducer blades \[m²\].
    pub throat_area_m2: f64,
    /// Highest isentropic efficiency of the whole map, total to total \[-\].
    pub peak_efficiency: f64,
    /// Slip correlation.
    pub slip: SlipModel,
    /// Losses and limits.
    pub losses: WheelLosses,
}

/// Figures of the loss model, with usual values as default.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WheelLosses {
    /// Worth of a splitter blade in full blades, 0 to 1 (its share of length).
    pub splitter_worth: f64,
    /// Share of the exit area that boundary layers and blades take, 0 to 0.3.
    pub exit_blockage: f64,
    /// Axial inlet velocity over blade-tip speed at best incidence, 0.3 to 0.8.
    pub best_flow_coefficient: f64,
    /// Largest share of the choke flow at which efficiency is best, 0.6 to 0.95.
    pub best_choke_share: f64,
    /// Relative loss of efficiency at zero flow, from the square of the distance
    /// below the best flow, 0 to 1.
    pub low_flow_loss: f64,
    /// Relative loss of efficiency at twice the best flow, by the same square,
    /// 0 to 1.5.
    pub high_flow_loss: f64,
    /// Tip Mach number above which shocks cost efficiency.
    pub shock_tip_mach: f64,
    /// Relative loss of efficiency one tip Mach number above that.
    pub shock_loss: f64,
    /// Flow angle into the diffuser, from tangential, below which the stage
    /// surges, at low tip Mach number \[deg\].
    pub surge_angle_deg: f64,
    /// Growth of that angle per unit of tip Mach number \[deg\].
    pub surge_angle_per_mach_deg: f64,
}

impl Default for WheelLosses {
    fn default() -> Self {
        Self {
            splitter_worth: 0.65,
            exit_blockage: 0.08,
            best_flow_coefficient: 0.48,
            best_choke_share: 0.86,
            low_flow_loss: 0.22,
            high_flow_loss: 0.8,
            shock_tip_mach: 1.1,
            shock_loss: 0.18,
            surge_angle_deg: 15.0,
            surge_angle_per_mach_deg: 3.0,
        }
    }
}

/// A figure of a wheel that cannot be.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GeometryProblem {
    /// Field of [`WheelGeometry`] or [`WheelLosses`].
    pub field: String,
    /// What was read.
    pub read: String,
    /// What is allowed.
    pub allowed: String,
    /// What to do about it.
    pub hint: String,
}

impl std::fmt::Display for GeometryProblem {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(
            f,
            "{}: read {}, allowed {} ({})",
            self.field, self.read, self.allowed, self.hint
        )
    }
}

impl std::error::Error for GeometryProblem {}

/// Tip speeds of the lines over that of the fastest: closer where lines differ.
const SPEED_SHARES: [f64; 9] = [0.28, 0.40, 0.51, 0.61, 0.70, 0.78, 0.86, 0.93, 1.0];
/// Points of a line.
const POINTS: usize = 12;

impl WheelGeometry {
    /// Nine speed lines up to a tip speed \[m/s\], at the header's reference
    /// conditions as inlet conditions.
    ///
    /// # Errors
    /// All figures that cannot be, or what is wrong with the lines that follow
    /// from an unusual wheel.
    pub fn speed_lines(
        &self,
        header: MapHeader,
        top_tip_speed_m_s: f64,
    ) -> Result<CompressorMapData, Vec<GeometryProblem>> {
        let problems = self.problems(top_tip_speed_m_s);
        if !problems.is_empty() {
            return Err(problems);
        }
        let model = MeanLine::new(self, header.reference);
        let lines = SPEED_SHARES
            .iter()
            .map(|share| self.line(&model, share * top_tip_speed_m_s))
            .collect();
        CompressorMapData::new(header, lines).map_err(|problems| {
            problems
                .into_iter()
                .map(|p| GeometryProblem {
                    field: p.field,
                    read: p.read,
                    allowed: p.allowed,
                    hint: "the sizes do not fit each other: compare throat, inducer and tip width"
                        .to_owned(),
                })
                .collect()
        })
    }

    /// One line from surge to choke, closer toward choke.
    fn line(&self, model: &MeanLine, tip_speed_m_s: f64) -> SpeedLine {
        let [surge, last] = model.range_kg_s(tip_speed_m_s);
        let points = (0..POINTS)
            .map(|p| {
                let left = 1.0 - p as f64 / (POINTS - 1) as f64;
                let flow_kg_s = surge + (last - surge) * (1.0 - left.powf(1.6));
                let state = model.at(tip_speed_m_s, flow_kg_s);
                MapPoint {
                    corrected_flow_kg_s: flow_kg_s,
                    pressure_ratio: state.pressure_ratio,
                    efficiency: state.efficiency,
                }
            })
            .collect();
        SpeedLine {
            corrected_speed_rad_s: 2.0 * tip_speed_m_s / self.tip_diameter_m,
            points,
        }
    }

    /// Everything that cannot be.
    fn problems(&self, top_tip_speed_m_s: f64) -> Vec<GeometryProblem> {
        let losses = &self.losses;
        let blades = f64::from(self.full_blades);
        let annulus = std::f64::consts::FRAC_PI_4
            * (self.inducer_tip_diameter_m.powi(2) - self.inducer_hub_diameter_m.powi(2));
        let figures = [
            ("tip_diameter_m", self.tip_diameter_m, 0.02, 0.3),
            (
                "tip_width_m",
                self.tip_width_m,
                0.02 * self.tip_diameter_m,
                0.25 * self.tip_diameter_m,
            ),
            ("backsweep_deg", self.backsweep_deg, 0.0, 60.0),
            ("full_blades", blades, 4.0, 30.0),
            (
                "inducer_tip_diameter_m",
                self.inducer_tip_diameter_m,
                0.4 * self.tip_diameter_m,
                0.95 * self.tip_diameter_m,
            ),
            (
                "inducer_hub_diameter_m",
                self.inducer_hub_diameter_m,
                0.05 * self.tip_diameter_m,
                0.8 * self.inducer_tip_diameter_m,
            ),
            (
                "throat_area_m2",
                self.throat_area_m2,
                0.3 * annulus,
                annulus,
            ),
            ("peak_efficiency", self.peak_efficiency, 0.4, 0.88),
            ("top_tip_speed_m_s", top_tip_speed_m_s, 200.0, 800.0),
            ("splitter_worth", losses.splitter_worth, 0.0, 1.0),
            ("exit_blockage", losses.exit_blockage, 0.0, 0.3),
            (
                "best_flow_coefficient",
                losses.best_flow_coefficient,
                0.3,
                0.8,
            ),
            ("best_choke_share", losses.best_choke_share, 0.6, 0.95),
            ("low_flow_loss", losses.low_flow_loss, 0.0, 1.0),
            ("high_flow_loss", losses.high_flow_loss, 0.0, 1.5),
            ("shock_tip_mach", losses.shock_tip_mach, 0.5, 2.0),
            ("shock_loss", losses.shock_loss, 0.0, 0.5),
            ("surge_angle_deg", losses.surge_angle_deg, 5.0, 30.0),
            (
                "surge_angle_per_mach_deg",
                losses.surge_angle_per_mach_deg,
                0.0,
                10.0,
            ),
        ];
        figures
            .into_iter()
            .filter(|&(_, value, low, high)| !(value >= low && value <= high))
            .map(|(field, value, low, high)| GeometryProblem {
                field: field.to_owned(),
                read: format!("{value}"),
                allowed: format!("{low:.4} to {high:.4}"),
                hint: "sizes in metres and square metres, angles in degrees; the range follows \
                       from the other sizes of the wheel"
                    .to_owned(),
            })
            .collect()
    }
}
