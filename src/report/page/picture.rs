//! A drawn picture inside a page, and the words that go with each kind.

/// Up to which height over width a picture is how tall on paper \[mm\]: two of the
/// usual shape stand on a sheet, so do a usual one and a square one; a tower has its
/// own.
const ON_PAPER_MM: [(f64, f64); 3] = [(0.8, 98.0), (1.0, 118.0), (f64::INFINITY, 205.0)];

/// What a picture is called and how it is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Words {
    /// A few words.
    pub title: &'static str,
    /// For those who do not see it: what is drawn.
    pub shows: &'static str,
    /// How it is read, a sentence or two.
    pub caption: &'static str,
}

/// A picture as the page holds it.
#[derive(Debug, Clone)]
pub(super) struct Picture {
    pub(super) title: &'static str,
    pub(super) caption: &'static str,
    pub(super) svg: String,
}

/// The files of a report, among which a page looks for its pictures.
#[derive(Debug, Clone, Copy)]
pub struct Pictures<'a> {
    files: &'a [(String, Vec<u8>)],
    prefix: &'a str,
}

impl<'a> Pictures<'a> {
    /// Among these files, whose names begin with `prefix`.
    pub fn of(files: &'a [(String, Vec<u8>)], prefix: &'a str) -> Self {
        Self { files, prefix }
    }

    /// Whether there is a scalable picture of that name.
    pub(super) fn has(&self, name: &str) -> bool {
        let wanted = format!("{}{name}.svg", self.prefix);
        self.files.iter().any(|(name, _)| *name == wanted)
    }

    /// The scalable picture of that name, if it was drawn.
    pub(super) fn find(&self, name: &str, words: &Words) -> Option<Picture> {
        let wanted = format!("{}{name}.svg", self.prefix);
        let (_, bytes) = self.files.iter().find(|(name, _)| *name == wanted)?;
        Some(Picture {
            title: words.title,
            caption: words.caption,
            svg: inlined(std::str::from_utf8(bytes).ok()?, words)?,
        })
    }
}

/// The drawing without its fixed size, with a name for those who do not see it. Our
/// pictures define no ids, so that several can stand in one page.
fn inlined(svg: &str, words: &Words) -> Option<String> {
    let start = svg.find("<svg ")?;
    let end = start + svg[start..].find('>')?;
    let view = svg[start..end]
        .split_once("viewBox=\"")?
        .1
        .split('"')
        .next()?;
    let sizes: Vec<f64> = view.split(' ').flat_map(str::parse).collect();
    let [.., width, height] = sizes[..] else {
        return None;
    };
    let shape = height / width;
    let (_, height_mm) = ON_PAPER_MM.iter().find(|(most, _)| shape <= *most)?;
    let paper = height_mm / shape;
    let mut text = format!(
        "<svg style=\"--paper:{paper:.0}mm\" role=\"img\" aria-label=\"{}: {}\" viewBox=\"{view}\" stroke-linecap=\"round\" \
         stroke-linejoin=\"round\" xmlns=\"http://www.w3.org/2000/svg\">",
        words.title, words.shows
    );
    text.push_str(svg[end + 1..].trim_end());
    Some(text)
}

/// The words of every picture.
pub mod words {
    use super::Words;

    const fn new(title: &'static str, shows: &'static str, caption: &'static str) -> Words {
        Words {
            title,
            shows,
            caption,
        }
    }

    /// `lid` of a run, and of the demonstration.
    pub const LID: Words = new(
        "The lid",
        "shaft speed over true boost",
        "To the right of the upright line the sensor cannot read; above the dashed line the shaft is too fast. A good run stays in the white corner.",
    );
    /// `ladder` of a run.
    pub const LADDER: Words = new(
        "The ladder of headroom",
        "one bar for each limit, the tightest on top",
        "Bars to the left, hatched, are limits exceeded. Bars to the right are room that is left; a slit means that the bar goes on.",
    );
    /// `baseline-…` of a case that differs from its baseline.
    pub const BASELINE: Words = new(
        "Beside the baseline",
        "the channels that differ over time, as stored and as they came",
        "Dashed is the stored course, with what is allowed around it; the solid line is this run. The mark shows where it first leaves.",
    );
    /// `strips` of a run.
    pub const STRIPS: Words = new(
        "Over time",
        "boost, drive pressure, vanes, shaft speed and engine speed over time",
        "All strips share the axis of time. Bars on top show when a protection acts; hatching shows when the reading is pinned.",
    );
    /// `map` of a run.
    pub const MAP: Words = new(
        "On the compressor map",
        "pressure ratio over flow, with speed lines and surge line",
        "The course of the run on the map of the compressor. Left of the surge line the flow breaks down.",
    );
    /// `road` of a run.
    pub const ROAD: Words = new(
        "Along the road",
        "command, true boost and safe ceiling over altitude",
        "The command has to stay below the safe ceiling. Where it is hatched below the ceiling, full fuel is too much.",
    );
    /// `ceiling` of a ceiling.
    pub const CEILING: Words = new(
        "The ceiling over engine speed",
        "the highest command at each engine speed, a curve for each ambient",
        "The command has to stay on or below the curve of its ambient. The letters say which limit fails above.",
    );
    /// `handover` of a ceiling.
    pub const HANDOVER: Words = new(
        "Which limit holds it down",
        "regions of engine speed and ambient, named by the limit that binds",
        "At a border one limit hands over to another.",
    );
    /// `sweep` of a sweep.
    pub const SWEEP: Words = new(
        "Headroom over what was varied",
        "the least headroom of the cases, and where limits are exceeded",
        "Where the headroom is used up a limit is exceeded. Names and letters say which.",
    );
    /// `lid` of a comparison.
    pub const COMPARED_LID: Words = new(
        "The lids together",
        "shaft speed over true boost, a path for each scenario",
        "To the right of an upright line that sensor cannot read; above a dashed line that shaft is too fast.",
    );
    /// `ladder` of a comparison.
    pub const COMPARED_LADDER: Words = new(
        "Headroom side by side",
        "a rung for each limit with a bar for each scenario",
        "Each bar is the room that is left to the scenario's own limit; a hatched one is exceeded.",
    );
    /// `strips` of a comparison.
    pub const COMPARED_STRIPS: Words = new(
        "Over time",
        "boost, drive pressure, vanes and shaft speed of all over time",
        "The same procedure, laid over each other. The letters are those of the list at the top.",
    );
    /// `tolerance` of a tolerance.
    pub const TOLERANCE: Words = new(
        "How likely, and why",
        "the probability of each limit with its interval, and the strongest causes",
        "The upper part shows how many engines exceed each limit and how well that is known. The lower part shows which numbers make the difference.",
    );
    /// `command` of tables.
    pub const COMMAND: Words = new(
        "The command table",
        "boost command over engine speed, a line for each fuel",
        "Hatched is the window that holds every limit at full load; the command stays inside it.",
    );
    /// `vanes` of tables.
    pub const VANES: Words = new(
        "The feed-forward table",
        "vanes in per cent closed over engine speed, a line for each fuel",
        "What the vanes do before the controller corrects them.",
    );
    /// `gain` of tables.
    pub const GAIN: Words = new(
        "What more boost brings",
        "power over shaft speed as the command rises",
        "Where the line bends, more shaft speed brings little power. The knees are marked.",
    );
    /// Of a compressor map.
    pub const COMPRESSOR: Words = new(
        "The compressor map",
        "points, what is computed between them, and what is suspicious",
        "The numbers in the picture are those of the findings.",
    );
    /// Of a turbine map.
    pub const TURBINE: Words = new(
        "The turbine map",
        "flow over expansion ratio, efficiency over blade-speed ratio",
        "The numbers in the picture are those of the findings.",
    );
}
