//! The rules by name, why each matters, and what to do.

/// A rule that looks for one kind of fault.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Rule {
    /// A faster line at, below or hardly above a slower one at the same flow.
    LinesCross,
    /// Pressure ratio rising with flow right of a line's peak.
    ChokeSideRises,
    /// A line whose highest ratio is at its highest flow.
    NoChokeSide,
    /// A line that does not reach its peak.
    SurgeMissing,
    /// Surge points not in order.
    SurgeOrder,
    /// An efficiency above what wheels reach.
    EfficiencyHigh,
    /// An efficiency that is heat, not work.
    EfficiencyLow,
    /// Efficiency with more than one hill.
    EfficiencyOrder,
    /// Few points on a line.
    FewPoints,
    /// Few speed lines.
    FewLines,
    /// Speeds unevenly far apart.
    SpeedsUneven,
    /// Points or lines that are there twice.
    Duplicates,
    /// Reference conditions that no trade uses.
    ReferenceOdd,
    /// Turbine flow falling with expansion ratio.
    FlowFalls,
    /// Turbine flow not falling with closing vanes.
    VaneOrder,
    /// Turbine flow that depends on speed.
    FlowSpread,
    /// Few vane positions.
    FewVanes,
    /// Vane positions unevenly far apart.
    VanesUneven,
    /// A narrow range of blade-speed ratio.
    BladeSpeedNarrow,
}

impl Rule {
    /// All rules.
    pub const ALL: [Self; 19] = [
        Self::LinesCross,
        Self::ChokeSideRises,
        Self::NoChokeSide,
        Self::SurgeMissing,
        Self::SurgeOrder,
        Self::EfficiencyHigh,
        Self::EfficiencyLow,
        Self::EfficiencyOrder,
        Self::FewPoints,
        Self::FewLines,
        Self::SpeedsUneven,
        Self::Duplicates,
        Self::ReferenceOdd,
        Self::FlowFalls,
        Self::VaneOrder,
        Self::FlowSpread,
        Self::FewVanes,
        Self::VanesUneven,
        Self::BladeSpeedNarrow,
    ];

    /// Its name for programs and for `explain`.
    pub fn code(self) -> &'static str {
        match self {
            Self::LinesCross => "map_lines_cross",
            Self::ChokeSideRises => "map_choke_side_rises",
            Self::NoChokeSide => "map_no_choke_side",
            Self::SurgeMissing => "map_surge_missing",
            Self::SurgeOrder => "map_surge_order",
            Self::EfficiencyHigh => "map_efficiency_high",
            Self::EfficiencyLow => "map_efficiency_low",
            Self::EfficiencyOrder => "map_efficiency_order",
            Self::FewPoints => "map_few_points",
            Self::FewLines => "map_few_lines",
            Self::SpeedsUneven => "map_speeds_uneven",
            Self::Duplicates => "map_duplicates",
            Self::ReferenceOdd => "map_reference_odd",
            Self::FlowFalls => "map_flow_falls",
            Self::VaneOrder => "map_vane_order",
            Self::FlowSpread => "map_flow_spread",
            Self::FewVanes => "map_few_vanes",
            Self::VanesUneven => "map_vanes_uneven",
            Self::BladeSpeedNarrow => "map_blade_speed_narrow",
        }
    }

    /// A few words, as for a picture.
    pub fn title(self) -> &'static str {
        match self {
            Self::LinesCross => "speed lines cross or touch",
            Self::ChokeSideRises => "choke side rises",
            Self::NoChokeSide => "no choke side",
            Self::SurgeMissing => "surge point missing",
            Self::SurgeOrder => "surge line not in order",
            Self::EfficiencyHigh => "efficiency too high",
            Self::EfficiencyLow => "efficiency too low",
            Self::EfficiencyOrder => "islands out of order",
            Self::FewPoints => "few points",
            Self::FewLines => "few speed lines",
            Self::SpeedsUneven => "speeds unevenly apart",
            Self::Duplicates => "there twice",
            Self::ReferenceOdd => "odd reference conditions",
            Self::FlowFalls => "flow falls",
            Self::VaneOrder => "vane positions out of order",
            Self::FlowSpread => "flow depends on speed",
            Self::FewVanes => "few vane positions",
            Self::VanesUneven => "vane positions unevenly apart",
            Self::BladeSpeedNarrow => "blade-speed ratio narrow",
        }
    }

    /// Why it matters.
    pub fn why(self) -> &'static str {
        match self {
            Self::LinesCross => {
                "At that flow a faster wheel would make less pressure. Between such lines flow and \
                 speed are not told from each other, and no run uses the map."
            }
            Self::ChokeSideRises => {
                "Right of its peak a stable line only falls. The curve that is laid through the \
                 points goes flat there; no run uses such a map."
            }
            Self::NoChokeSide => {
                "The line ends where it should begin to fall: nothing is known of its stable branch, \
                 and no run uses the map."
            }
            Self::SurgeMissing => {
                "The line still falls at its first point, so its peak, and with it surge, lies \
                 further left. Surge margins count from the first point and come out too small."
            }
            Self::SurgeOrder => {
                "The surge line goes up and to the right with speed. A kink in it moves the surge \
                 margin of every speed nearby."
            }
            Self::EfficiencyHigh => {
                "Wheels of turbochargers peak near 0.8. Too much efficiency makes boost from too \
                 little turbine power: the ceiling comes out too high."
            }
            Self::EfficiencyLow => {
                "So low a figure is mostly heat that crosses from the turbine, or a slip of the \
                 pen. It heats the charge and slows the turbo where the map is used."
            }
            Self::EfficiencyOrder => {
                "Efficiency has one hill: along each line, and from line to line. A second one is \
                 an exchanged row or an outlier, and interpolation follows it."
            }
            Self::FewPoints => {
                "Between so few points the curve is guessed: peak and choke flow are known only \
                 to the distance of the points."
            }
            Self::FewLines => "Between so few lines similarity stands in for measurement.",
            Self::SpeedsUneven => {
                "In the wide gap the map is interpolated over much that nobody measured; often a \
                 line is missing or carries a wrong speed."
            }
            Self::Duplicates => {
                "The same figures twice are one measurement, or a copy where another row belongs."
            }
            Self::ReferenceOdd => {
                "Flows are corrected to these conditions. A wrong pair scales the whole map: 288 K \
                 in place of 298 K moves every flow by 1.7 %."
            }
            Self::FlowFalls => {
                "More expansion never passes less flow through a given opening. The points are \
                 levelled before they are used."
            }
            Self::VaneOrder => {
                "Closing the vanes narrows the ring and must pass less flow. Where it does not, the \
                 controller's feedback acts the wrong way round."
            }
            Self::FlowSpread => {
                "Flow is taken over expansion ratio alone; the lines of several speeds are \
                 averaged, and each is off by its distance from the mean."
            }
            Self::FewVanes => {
                "Between the vane positions flow and efficiency are straight lines; with so few of \
                 them the drive pressure between is a guess."
            }
            Self::VanesUneven => {
                "In the wide gap flow and efficiency are straight lines over much that nobody \
                 measured."
            }
            Self::BladeSpeedNarrow => {
                "In transients the blade-speed ratio runs from about 0.3 to 0.8. Outside the \
                 measured range a parabola through standstill stands in for measurement."
            }
        }
    }

    /// What to do.
    pub fn advice(self) -> &'static str {
        match self {
            Self::LinesCross => "look for a wrong speed, exchanged rows or swapped columns",
            Self::ChokeSideRises => "smooth the measured points or remove the outlier",
            Self::NoChokeSide => "add points toward choke, or leave the line out",
            Self::SurgeMissing => "add the points between surge and the first one",
            Self::SurgeOrder => "compare the first points of the neighbouring lines",
            Self::EfficiencyHigh => {
                "ask whether it is total to total, isentropic and without heat loss; look for a \
                 polytropic figure"
            }
            Self::EfficiencyLow => "look for a slip of the pen; leave the point out if it is heat",
            Self::EfficiencyOrder => "compare the row with its neighbours",
            Self::FewPoints => "digitise more points; eight on a line are usual",
            Self::FewLines => "add lines; six to nine are usual",
            Self::SpeedsUneven => "look for a missing line or a wrong speed",
            Self::Duplicates => "remove one, or put the right figures in its place",
            Self::ReferenceOdd => "read them from the map's own title block",
            Self::FlowFalls => "look for exchanged rows; level the points where the turbine chokes",
            Self::VaneOrder => "vane position counts closed: look for exchanged positions",
            Self::FlowSpread => {
                "give one line for each vane position at the usual speed, or live with it"
            }
            Self::FewVanes => "add vane positions; five or more are usual",
            Self::VanesUneven => "add a vane position in the gap",
            Self::BladeSpeedNarrow => "add points at lower and higher speed for that vane position",
        }
    }
}
