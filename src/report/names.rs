//! What limits and protections are called, and what each means in one line.

/// Words for one limit or protection.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Name {
    /// Key in the results.
    pub key: &'static str,
    /// Label for tables and pictures, at most 20 characters.
    pub label: &'static str,
    /// Code of one or two letters, where a label has no room.
    pub code: &'static str,
    /// What it means, one line.
    pub meaning: &'static str,
}

const fn name(
    key: &'static str,
    label: &'static str,
    code: &'static str,
    meaning: &'static str,
) -> Name {
    Name {
        key,
        label,
        code,
        meaning,
    }
}

/// Every limit, and the verdict of a command that cannot be reached.
pub const LIMITS: [Name; 12] = [
    name(
        "shaft_speed",
        "shaft speed",
        "S",
        "turbocharger shaft too fast: wheels and bearings",
    ),
    name(
        "tip_speed",
        "tip speed",
        "T",
        "rim of a wheel too fast for its material",
    ),
    name(
        "drive_pressure",
        "drive pressure",
        "D",
        "pressure ahead of the turbine too high",
    ),
    name(
        "drive_to_boost",
        "drive to boost",
        "R",
        "drive pressure too high for the boost that it buys (both gauge)",
    ),
    name(
        "turbine_inlet",
        "turbine inlet",
        "E",
        "exhaust too hot ahead of the turbine",
    ),
    name(
        "compressor_outlet",
        "compressor outlet",
        "O",
        "charge air too hot after the compressor",
    ),
    name(
        "cylinder_pressure",
        "cylinder pressure",
        "C",
        "peak pressure in the cylinder too high",
    ),
    name(
        "lambda",
        "lambda",
        "L",
        "too little air for the fuel: smoke and heat",
    ),
    name(
        "surge_margin",
        "surge margin",
        "U",
        "compressor too close to its surge line",
    ),
    name(
        "choke_margin",
        "choke margin",
        "K",
        "compressor too close to its choke flow",
    ),
    name(
        "pinned_time",
        "pinned reading",
        "P",
        "boost reading stuck at the top of its range for too long",
    ),
    name(
        "command_unreachable",
        "out of reach",
        "V",
        "vanes at their closed stop, yet less boost than commanded",
    ),
];

/// Every protection of the controller.
pub const PROTECTIONS: [Name; 6] = [
    name(
        "command_clamp",
        "command clamp",
        "cc",
        "holds the command below what the sensor can read",
    ),
    name(
        "pinned_sensor",
        "pinned-sensor watch",
        "ps",
        "falls back when the reading sticks at its upper end",
    ),
    name(
        "frozen_sensor",
        "frozen-sensor watch",
        "fs",
        "falls back when the reading no longer moves",
    ),
    name(
        "drive_pressure",
        "drive-pressure limit",
        "dp",
        "opens the vanes when drive pressure is high",
    ),
    name(
        "shaft_speed",
        "shaft-speed limit",
        "sp",
        "opens the vanes when the shaft is fast",
    ),
    name(
        "over_boost",
        "over-boost fuel cut",
        "ob",
        "cuts fuel when the boost reading is high",
    ),
];

/// The words for a limit; an unknown key speaks for itself.
pub fn limit(key: &str) -> Option<&'static Name> {
    LIMITS.iter().find(|entry| entry.key == key)
}

/// The label of a limit, or its key where it has none.
pub fn limit_label(key: &str) -> &str {
    limit(key).map_or(key, |entry| entry.label)
}

/// The code of a limit, or a question mark where it has none.
pub fn limit_code(key: &str) -> &'static str {
    limit(key).map_or("?", |entry| entry.code)
}

/// The words for a protection.
pub fn protection(key: &str) -> Option<&'static Name> {
    PROTECTIONS.iter().find(|entry| entry.key == key)
}

/// The label of a protection, or its key where it has none.
pub fn protection_label(key: &str) -> &str {
    protection(key).map_or(key, |entry| entry.label)
}
