//! What performance maps share: corrected quantities, speed lines, vane
//! positions, tables, what is suspicious, drawings.
pub mod corrected;
mod drawing;
pub mod findings;
pub mod pchip;
pub mod speed_lines;
mod table;
mod text;
pub mod vane_lines;

pub use corrected::ReferenceConditions;
pub use drawing::{
    CompressorSurvey, Curve, CurveKind, EfficiencyGrid, LineDrawing, MapDrawing, TurbineSurvey,
    VaneSurvey,
};
pub use findings::{Finding, Spot, compressor_findings, turbine_findings};
pub use speed_lines::{CompressorMapData, MapPoint, RawSpeedLines, SpeedLine};
pub use table::{Table1, Table2, TableError};
pub use text::{DataOrigin, MapHeader, MapKind, MapProblem};
pub use vane_lines::{TurbineMapData, TurbineSpeedLine, VaneLines, VanePoint};
