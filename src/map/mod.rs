//! What performance maps share: corrected quantities, speed lines, drawings.
mod drawing;
pub use drawing::{EfficiencyGrid, LineDrawing, MapDrawing};
