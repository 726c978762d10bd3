//! Commands and flags.
mod help;
mod shared;

pub use shared::{BandArgs, Common, Override, Sets, Study, UnitChoice};

use std::path::PathBuf;

use clap::builder::{Styles, styling::AnsiColor};
use clap::{Args, Parser, Subcommand, ValueHint};

use crate::study::band::SEED;
use crate::study::sweep::Shard;
use crate::study::tolerance;
use help::{
    ABOUT, CEILING_EXAMPLES, CHECK_EXAMPLES, COMPARE_EXAMPLES, EXAMPLES, EXPLAIN_EXAMPLES,
    LONG_ABOUT, MERGE_EXAMPLES, NEW_EXAMPLES, RUN_EXAMPLES, SWEEP_EXAMPLES, TABLES_EXAMPLES,
    TOLERANCE_EXAMPLES, VERIFY_EXAMPLES,
};

const STYLES: Styles = Styles::styled()
    .header(AnsiColor::Cyan.on_default().bold())
    .usage(AnsiColor::Cyan.on_default().bold())
    .literal(AnsiColor::Green.on_default());

/// The whole command line.
#[derive(Debug, Parser)]
#[command(
    name = "ringfence",
    version,
    about = ABOUT,
    long_about = LONG_ABOUT,
    after_help = EXAMPLES,
    styles = STYLES,
    max_term_width = 100,
    subcommand_help_heading = "Commands",
    disable_help_subcommand = true
)]
pub struct Arguments {
    /// What to do; the demonstration if left out.
    #[command(subcommand)]
    pub command: Option<Command>,
    /// Flags of the demonstration.
    #[command(flatten)]
    pub demo: Demo,
    /// Flags of every command.
    #[command(flatten)]
    pub common: Common,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Simulate what a scenario asks for and judge it against its limits
    #[command(after_help = RUN_EXAMPLES)]
    Run(Run),
    /// Drive one procedure on several scenarios and hold them against the first
    ///
    /// The procedure is that of the first scenario, so that times and peaks can be compared; each
    /// scenario is judged by its own limits. The answer is a table with a column for each, and what
    /// differs most in words.
    #[command(after_help = COMPARE_EXAMPLES)]
    Compare(Compare),
    /// Find the highest boost command that holds every limit
    ///
    /// For each engine speed, altitude and temperature the same boost is commanded everywhere; it counts as safe
    /// when every limit holds at rest, through a load step, through a full pull and for a while
    /// afterwards, at every corner of the stated sensor error. The answer is a window: where too
    /// much boost breaks something, and where too little does.
    #[command(after_help = CEILING_EXAMPLES)]
    Ceiling(Ceiling),
    /// Run a scenario at many values of some of its fields, one row for each case
    ///
    /// Every combination of the values is run, the first --vary slowest; with --draws,
    /// points spread evenly in the box of the ranges. A case that cannot be run is a row
    /// with its reason.
    #[command(after_help = SWEEP_EXAMPLES)]
    Sweep(Sweep),
    /// Join the parts of a sweep that was run with --shard
    ///
    /// The result has the bytes that the whole sweep would have. Parts that are missing,
    /// not finished, damaged or from another sweep are refused.
    #[command(after_help = MERGE_EXAMPLES)]
    Merge(Merge),
    /// Say how likely production spread exceeds a limit, and which command keeps that rare
    ///
    /// Engines are drawn inside the spreads under `production` of the scenario, independently of
    /// each other, and each runs the procedure. Each limit gets the share of engines past it, with
    /// an interval of that share, and the strongest causes. Then the highest full-load command is
    /// sought at which the high end of the interval stays below a level.
    #[command(after_help = TOLERANCE_EXAMPLES)]
    Tolerance(ToleranceArgs),
    /// Make the command and vane tables that give most power inside all limits, and prove them
    ///
    /// For each engine speed and fuel the command of most power is sought that keeps every limit
    /// with a reserve at every place and day asked for, as the controller's barometric correction
    /// takes it there; the feed-forward vanes follow from its equilibria. Then the tables are driven:
    /// a full pull, load steps and a gear shift at every place and every corner of the stated sensor
    /// error. What fails is mended and driven again.
    #[command(after_help = TABLES_EXAMPLES)]
    Tables(Tables),
    /// Run scenarios and hold them against what they expect
    ///
    /// A scenario says under `expect` which reaction is required within which time. A folder stands
    /// for every scenario in it and below that has this section. What failed is told with what moved
    /// and by how much.
    #[command(after_help = VERIFY_EXAMPLES)]
    Verify(Verify),
    /// Read scenarios or map files and say what is wrong with them, without running
    ///
    /// Everything that is wrong is told at once, with file, line and field. A boost command above
    /// what the sensor can read is a finding (exit status 1). So is what is suspicious about a
    /// compressor or turbine map (a file that ends in .csv): crossing lines, too much efficiency, a
    /// missing surge line and the like.
    #[command(after_help = CHECK_EXAMPLES)]
    Check(Check),
    /// Write a commented scenario to start from, or a map drafted from the sizes of a wheel
    #[command(after_help = NEW_EXAMPLES)]
    New(New),
    /// Tell what is behind a limit, a protection, a verdict, a finding or a field
    #[command(after_help = EXPLAIN_EXAMPLES)]
    Explain(Explain),
    /// Print the JSON Schema of scenario files, for editors
    Schema,
    /// Print a completion script for a shell
    Completions(Completions),
}

impl Command {
    /// As it is typed.
    pub fn name(&self) -> &'static str {
        match self {
            Self::Run(_) => "run",
            Self::Compare(_) => "compare",
            Self::Ceiling(_) => "ceiling",
            Self::Sweep(_) => "sweep",
            Self::Merge(_) => "merge",
            Self::Tolerance(_) => "tolerance",
            Self::Tables(_) => "tables",
            Self::Verify(_) => "verify",
            Self::Check(_) => "check",
            Self::New(_) => "new",
            Self::Explain(_) => "explain",
            Self::Schema => "schema",
            Self::Completions(_) => "completions",
        }
    }
}

/// Flags of the demonstration.
#[derive(Debug, Args)]
#[command(next_help_heading = "Options of the demonstration")]
pub struct Demo {
    /// What every study has.
    #[command(flatten)]
    pub study: Study,
}

impl Demo {
    /// The first flag that was given, for a complaint.
    pub fn first_given(&self) -> Option<&'static str> {
        let study = &self.study;
        [
            ("--out", study.out.is_some()),
            ("--units", study.units.is_some()),
            ("--threads", study.threads.is_some()),
            ("--timing", study.timing),
            ("--png", study.png),
        ]
        .into_iter()
        .find_map(|(flag, given)| given.then_some(flag))
    }
}

/// Arguments of `run`.
#[derive(Debug, Args)]
pub struct Run {
    /// Scenario files
    #[arg(required = true, value_name = "SCENARIO", value_hint = ValueHint::FilePath)]
    pub scenarios: Vec<PathBuf>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub set: Sets,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub band: BandArgs,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub study: Study,
}

/// Arguments of `compare`.
#[derive(Debug, Args)]
pub struct Compare {
    /// Scenario files; the others are held against the first
    #[arg(required = true, value_name = "SCENARIO", value_hint = ValueHint::FilePath)]
    pub scenarios: Vec<PathBuf>,
    /// Drive each scenario through its own procedure in place of the first's
    #[arg(long)]
    pub own_procedure: bool,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub set: Sets,
    /// Refused: a comparison carries no uncertainty
    #[arg(long, hide = true)]
    pub band: bool,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub study: Study,
}

/// Arguments of `ceiling`.
#[derive(Debug, Args)]
pub struct Ceiling {
    /// Scenario file
    #[arg(value_name = "SCENARIO", value_hint = ValueHint::FilePath)]
    pub scenario: PathBuf,
    /// Engine speeds in place of the scenario's: a list, or FROM..TO:COUNT
    #[arg(long, value_name = "LIST")]
    pub speeds: Option<String>,
    /// Altitudes in place of the scenario's: a list, or FROM..TO:COUNT
    #[arg(long, value_name = "LIST", allow_hyphen_values = true)]
    pub altitudes: Option<String>,
    /// Temperatures at each altitude, as offsets to the standard atmosphere: a list such as
    /// -20K,0K,25K, or FROM..TO:COUNT
    #[arg(long, value_name = "LIST", allow_hyphen_values = true)]
    pub temperatures: Option<String>,
    /// Step of the search in place of the scenario's
    #[arg(long, value_name = "PRESSURE")]
    pub step: Option<String>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub set: Sets,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub band: BandArgs,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub study: Study,
}

/// Arguments of `sweep`.
#[derive(Debug, Args)]
pub struct Sweep {
    /// Scenario file
    #[arg(value_name = "SCENARIO", value_hint = ValueHint::FilePath)]
    pub scenario: PathBuf,
    /// Vary one field: FROM..TO:COUNT or A,B,C; may be given several times
    ///
    /// A unit behind the last value holds for all of them. A range for --draws needs no
    /// count; one that is there is left aside.
    #[arg(long, required = true, value_name = "PATH=VALUES", value_parser = parse_vary)]
    pub vary: Vec<Override>,
    /// Take this many points in the box of the ranges instead of the whole grid
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..))]
    pub draws: Option<u32>,
    /// Seed of the points; the same seed gives the same points
    #[arg(long, value_name = "SEED", requires = "draws", default_value_t = SEED)]
    pub seed: u32,
    /// Run part I of N equal parts; `merge` joins them
    #[arg(long, value_name = "I/N", value_parser = parse_shard)]
    pub shard: Option<Shard>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub set: Sets,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub study: Study,
}

/// Arguments of `tables`.
#[derive(Debug, Args)]
pub struct Tables {
    /// Scenario file
    #[arg(value_name = "SCENARIO", value_hint = ValueHint::FilePath)]
    pub scenario: PathBuf,
    /// Engine speeds of the rows in place of the scenario's: a list, or FROM..TO:COUNT
    #[arg(long, value_name = "LIST")]
    pub speeds: Option<String>,
    /// Fuel quantities of the columns in place of the scenario's: a list, or FROM..TO:COUNT
    #[arg(long, value_name = "LIST")]
    pub fuels: Option<String>,
    /// Altitudes that the tables have to hold at, in place of the scenario's
    #[arg(long, value_name = "LIST")]
    pub altitudes: Option<String>,
    /// How much warmer than standard it may be there: a list such as 0K,20K, or FROM..TO:COUNT
    #[arg(long, value_name = "LIST", allow_hyphen_values = true)]
    pub temperatures: Option<String>,
    /// What is kept from every limit, as a share of it; single limits as NAME=SHARE behind a comma
    #[arg(long, value_name = "SHARE", default_value = "3 %")]
    pub reserve: String,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub set: Sets,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub study: Study,
}

/// Arguments of `tolerance`.
#[derive(Debug, Args)]
pub struct ToleranceArgs {
    /// Scenario file
    #[arg(value_name = "SCENARIO", value_hint = ValueHint::FilePath)]
    pub scenario: PathBuf,
    /// How many engines are drawn
    #[arg(long, value_name = "N", default_value_t = tolerance::DRAWS,
        value_parser = clap::value_parser!(u32)
            .range(i64::from(tolerance::FEWEST_DRAWS)..=i64::from(tolerance::MOST_DRAWS)))]
    pub draws: u32,
    /// Seed of the draws; the same seed gives the same engines
    #[arg(long, value_name = "SEED", default_value_t = SEED)]
    pub seed: u32,
    /// Confidence of the intervals
    #[arg(long, value_name = "SHARE", default_value = "95%")]
    pub confidence: String,
    /// The level that the probability is to be kept below
    #[arg(long, value_name = "SHARE", default_value = "1%")]
    pub keep_below: String,
    /// Draw what is not known of the model too (`uncertainty` of the scenario)
    #[arg(long)]
    pub with_uncertainty: bool,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub set: Sets,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub study: Study,
}

/// Arguments of `merge`.
#[derive(Debug, Args)]
pub struct Merge {
    /// The files of all parts, in any order
    #[arg(required = true, value_name = "PART", value_hint = ValueHint::FilePath)]
    pub parts: Vec<PathBuf>,
    /// The file for the whole, with the ending of the parts
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub out: PathBuf,
}

/// Arguments of `verify`.
#[derive(Debug, Args)]
pub struct Verify {
    /// Scenario files, or folders of them
    #[arg(required = true, value_name = "FILE_OR_DIR", value_hint = ValueHint::AnyPath)]
    pub scenarios: Vec<PathBuf>,
    /// Write the results as JUnit XML into this file, whole or not at all
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub junit: Option<PathBuf>,
    /// Write or renew the stored course of every scenario that names one and passes
    #[arg(long)]
    pub write_baselines: bool,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub set: Sets,
    /// Refused: an expectation carries no uncertainty
    #[arg(long, hide = true)]
    pub band: bool,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub study: Study,
}

/// Arguments of `check`.
#[derive(Debug, Args)]
pub struct Check {
    /// Scenario files (YAML) and map files (CSV)
    #[arg(required = true, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub files: Vec<PathBuf>,
    /// Draw every map into this folder, as SVG and PNG
    ///
    /// The picture shows the measured points, what is computed between them, what is computed
    /// beyond them (dashed) and the findings by their numbers.
    #[arg(long, value_name = "DIR", value_hint = ValueHint::DirPath)]
    pub out: Option<PathBuf>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub set: Sets,
    /// Units of text and pictures
    #[arg(long, value_enum)]
    pub units: Option<UnitChoice>,
}

/// Arguments of `new`.
#[derive(Debug, Args)]
pub struct New {
    /// Where to write it: a scenario (.yaml), whose compressor map goes into a folder beside it, or
    /// with --wheel a compressor map (.csv)
    #[arg(value_name = "PATH", default_value = super::load::DEMO_NAME, value_hint = ValueHint::FilePath)]
    pub path: PathBuf,
    /// Draft a compressor map from the sizes of a wheel: a file with the keys of
    /// `compressor.form.wheel`, or a scenario that has it
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub wheel: Option<PathBuf>,
}

/// Arguments of `explain`.
#[derive(Debug, Args)]
pub struct Explain {
    /// A limit, protection, verdict, finding, word, or a dotted field path; all names if left out
    #[arg(value_name = "NAME")]
    pub name: Option<String>,
}

/// Arguments of `completions`.
#[derive(Debug, Args)]
pub struct Completions {
    /// The shell
    #[arg(value_enum)]
    pub shell: clap_complete::Shell,
}

fn parse_vary(text: &str) -> Result<Override, String> {
    match text.split_once('=') {
        Some((path, values)) if !path.trim().is_empty() => {
            Ok(Override::new(path.trim(), values.trim()))
        }
        _ => Err("what varies is PATH=VALUES, such as \"ambient.altitude=0..3000m:13\"".to_owned()),
    }
}

fn parse_shard(text: &str) -> Result<Shard, String> {
    let numbers = text.split_once('/').and_then(|(part, of)| {
        let (part, of) = (part.trim().parse().ok()?, of.trim().parse().ok()?);
        (1..=of).contains(&part).then_some(Shard { part, of })
    });
    numbers.ok_or_else(|| "a part is I/N with I from 1 to N, such as 1/4".to_owned())
}
