//! Flags that mean the same in every command.
use std::path::PathBuf;

use clap::{Args, ValueEnum, ValueHint};

use crate::report::{PictureFormat, Units};
use crate::study::band::{DRAWS, MOST_DRAWS, SEED};

/// Flags that every command has.
#[derive(Debug, Args)]
#[command(next_help_heading = "Options of every command")]
pub struct Common {
    /// Print one JSON document and nothing else
    #[arg(long, global = true)]
    pub json: bool,
    /// Print no text but errors; the exit status answers
    #[arg(long, short, global = true)]
    pub quiet: bool,
    /// Use no colour (as does the variable NO_COLOR)
    #[arg(long, global = true, alias = "no-color")]
    pub no_colour: bool,
}

/// Flags of everything that computes.
#[derive(Debug, Args)]
pub struct Study {
    /// Write the report files into this folder
    ///
    /// The folder is made if it is missing. Files are written whole or not at all. A folder with
    /// files of others in it is refused.
    #[arg(long, value_name = "DIR", value_hint = ValueHint::DirPath)]
    pub out: Option<PathBuf>,
    /// Units of text and pictures; files and JSON stay as they are
    #[arg(long, value_enum)]
    pub units: Option<UnitChoice>,
    /// Use this many threads; the answer does not depend on it
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=1024))]
    pub threads: Option<u16>,
    /// Add how long it took (otherwise equal input gives equal bytes)
    #[arg(long)]
    pub timing: bool,
    /// Write pictures as PNG as well as SVG
    #[arg(long)]
    pub png: bool,
}

impl Study {
    /// The units asked for.
    pub fn units(&self) -> Units {
        self.units.map_or(Units::Si, UnitChoice::units)
    }

    /// The picture formats asked for.
    pub fn formats(&self) -> &'static [PictureFormat] {
        if self.png {
            &[PictureFormat::Svg, PictureFormat::Png]
        } else {
            &[PictureFormat::Svg]
        }
    }

    /// Sets the number of threads for the rest of the program.
    pub fn apply_threads(&self) {
        if let Some(threads) = self.threads {
            // fails only where it has been done before, which is here
            let _ = rayon::ThreadPoolBuilder::new()
                .num_threads(threads.into())
                .build_global();
        }
    }
}

/// Flags of the stated uncertainty.
#[derive(Debug, Clone, Args)]
pub struct BandArgs {
    /// Carry the stated uncertainty into the answer
    ///
    /// Every number under `uncertainty` in the scenario is drawn inside its spread, and the same
    /// question is put to each draw. The answer gains a low and a high end (2.5 % and 97.5 % of the
    /// draws).
    #[arg(long)]
    pub band: bool,
    /// How many draws make the band
    #[arg(long, value_name = "N", requires = "band", default_value_t = DRAWS,
        value_parser = clap::value_parser!(u32).range(2..=i64::from(MOST_DRAWS)))]
    pub draws: u32,
    /// Seed of the draws; the same seed gives the same band
    #[arg(long, value_name = "SEED", requires = "band", default_value_t = SEED)]
    pub seed: u32,
}

/// Overrides.
#[derive(Debug, Args)]
pub struct Sets {
    /// Override one field of the scenario; may be given several times
    #[arg(long = "set", value_name = "PATH=VALUE", value_parser = parse_override)]
    pub sets: Vec<Override>,
}

/// One override of a scenario field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Override {
    /// Dotted path.
    pub path: String,
    /// Value as YAML.
    pub value: String,
}

impl Override {
    /// A path and its value.
    pub fn new(path: impl Into<String>, value: impl Into<String>) -> Self {
        Self {
            path: path.into(),
            value: value.into(),
        }
    }
}

fn parse_override(text: &str) -> Result<Override, String> {
    match text.split_once('=') {
        Some((path, value)) if !path.trim().is_empty() => Ok(Override::new(path.trim(), value)),
        _ => Err("an override is PATH=VALUE, such as \"ambient.altitude=2600 m\"".to_owned()),
    }
}

/// Units of presentation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum UnitChoice {
    /// kPa, °C, kW, kg/s
    Si,
    /// psi, °F, hp, lb/min
    Us,
}

impl UnitChoice {
    /// As reports know them.
    pub fn units(self) -> Units {
        match self {
            Self::Si => Units::Si,
            Self::Us => Units::Us,
        }
    }
}
