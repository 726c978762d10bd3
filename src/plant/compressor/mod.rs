//! The compressor: forms of its map, and the duct around it.
mod beyond_lines;
mod drawing;
mod duct;
mod grid;
mod head_and_flow;
mod root;
pub mod speed_lines;
mod surge;
pub mod wheel;
pub mod work;

pub use drawing::survey;
pub use head_and_flow::{HeadAndFlow, HeadAt};
pub use speed_lines::SpeedLineCompressor;
pub use surge::{USUAL_INLET_RATIO, WheelSizes};
pub use wheel::{GeometryProblem, SlipModel, WheelGeometry};

/// What surrounds a compressor when its flow is sought.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CompressorDemand {
    /// Shaft speed \[rad/s\].
    pub shaft_speed_rad_s: f64,
    /// Pressure ahead of the filter \[Pa abs\].
    pub ambient_pressure_pa: f64,
    /// Temperature ahead of the filter and at the compressor inlet \[K\].
    pub inlet_temperature_k: f64,
    /// Gas constant of the air \[J/(kg K)\].
    pub gas_constant_j_kg_k: f64,
    /// Loss between ambient and compressor inlet \[Pa/(kg/s)²\], on m|m|.
    pub inlet_loss_pa_s2_kg2: f64,
    /// Loss between compressor outlet and intake volume \[Pa/(kg/s)²\], on m|m|.
    pub outlet_loss_pa_s2_kg2: f64,
    /// Pressure in the volume that the compressor feeds \[Pa abs\].
    pub outlet_pressure_pa: f64,
}

/// Where a compressor works.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct CompressorPoint {
    /// Air flow \[kg/s\].
    pub flow_kg_s: f64,
    /// Pressure at the compressor inlet, after the filter \[Pa abs\].
    pub inlet_pressure_pa: f64,
    /// Pressure at the compressor outlet, before the cooler \[Pa abs\].
    pub outlet_pressure_pa: f64,
    /// Pressure ratio over the compressor alone \[-\].
    pub pressure_ratio: f64,
    /// Isentropic efficiency \[-\].
    pub efficiency: f64,
    /// Flow corrected to the map's reference \[kg/s\].
    pub corrected_flow_kg_s: f64,
    /// Speed corrected to the map's reference \[rad/s\].
    pub corrected_speed_rad_s: f64,
    /// (flow − surge flow) / flow at the same speed \[-\]. In surge, where it is
    /// negative, it is over the surge flow instead: −1 without flow.
    pub surge_margin: f64,
    /// (choke flow − flow) / choke flow at the same speed \[-\]. Choke flow is
    /// the last measured flow of the line, or, on slow lines that end before
    /// they choke, what the inlet throat passes.
    pub choke_margin: f64,
    /// Less flow is asked for than the stable branch has.
    pub surging: bool,
    /// Outside the measured lines (in speed, or past the last point of a line).
    pub extrapolated: bool,
}

/// Where a compressor works when its flow is given.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FlowPoint {
    /// The point; its outlet pressure is inlet pressure times pressure ratio.
    pub point: CompressorPoint,
    /// Pressure ratio whose isentropic enthalpy rise, over the efficiency, is
    /// the work for each kilogram that passes in either direction \[-\]. The
    /// pressure ratio itself but in reverse flow.
    pub work_ratio: f64,
}

/// A form of the compressor: any law that gives the flow between two pressures.
///
/// Implementations follow the stable branch; where no stable flow exists they
/// return the flow of the artificial branch left of surge and set `surging`.
pub trait CompressorForm: Send + Sync + std::fmt::Debug {
    /// Solves filter, compressor and cooler loss together for the flow.
    fn operate(&self, demand: &CompressorDemand) -> CompressorPoint;
    /// Highest corrected speed with data \[rad/s\].
    fn highest_speed_rad_s(&self) -> f64;
    /// Pressure ratio and work at a given flow \[kg/s\], from reverse flow to
    /// beyond choke, for a duct whose air has inertia; the outlet pressure of
    /// the demand is not used.
    ///
    /// On the stable branch it agrees with [`Self::operate`]. `None`, as here, is
    /// a form that knows its stable branch alone; a duct with inertia is refused
    /// for it.
    fn at_flow(&self, _demand: &CompressorDemand, _flow_kg_s: f64) -> Option<FlowPoint> {
        None
    }
}
