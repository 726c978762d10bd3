//! What performance maps share: corrected quantities, speed lines, drawings.
mod drawing;
mod table;
pub use drawing::{EfficiencyGrid, LineDrawing, MapDrawing};
pub use table::{Table1, Table2, TableError};
