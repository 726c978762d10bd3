//! What every reader of a result must keep in mind.
use super::table::wrap;

/// The cautions, one sentence or two each.
pub const CAUTIONS: [&str; 6] = [
    "A turbocharger wheel can burst and leave its housing. Keep people out of its plane and \
     put containment around it.",
    "Exhaust parts run hot enough to burn skin and to light oil, fuel and cloth.",
    "Test an engine at full load only in a cell or on a dyno built for it, with a remote stop.",
    "Changing emission controls is unlawful in many places, whatever the engine could stand.",
    "These figures are estimates from a model. They do not replace a measurement on the engine.",
    "Local codes, the makers' limits and licensed practice come before anything written here.",
];

/// The line at the foot of each picture.
pub const PICTURE_CAPTION: &str = "Estimate, not a measurement. A wheel can burst: containment \
     and local safety rules apply. See cautions.";

/// The cautions as a list of lines no longer than `width`.
pub fn cautions_text(width: usize) -> String {
    let mut text = String::from("Cautions\n");
    for caution in CAUTIONS {
        for (index, line) in wrap(caution, width.saturating_sub(4)).iter().enumerate() {
            text.push_str(if index == 0 { "  - " } else { "    " });
            text.push_str(line);
            text.push('\n');
        }
    }
    text
}
