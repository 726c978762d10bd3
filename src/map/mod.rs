//! What performance maps share: corrected quantities, speed lines, tables,
//! drawings.
pub mod corrected;
mod drawing;
pub mod pchip;
pub mod speed_lines;
mod table;

pub use corrected::ReferenceConditions;
pub use drawing::{EfficiencyGrid, LineDrawing, MapDrawing};
pub use speed_lines::{CompressorMapData, DataOrigin, MapHeader, MapPoint, MapProblem, SpeedLine};
pub use table::{Table1, Table2, TableError};
