//! What performance maps share: corrected quantities, speed lines, drawings.
pub mod corrected;
mod drawing;
pub mod pchip;
pub mod speed_lines;

pub use corrected::ReferenceConditions;
pub use drawing::{EfficiencyGrid, LineDrawing, MapDrawing};
pub use speed_lines::{CompressorMapData, DataOrigin, MapHeader, MapPoint, MapProblem, SpeedLine};
