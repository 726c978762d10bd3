//! What `check` says of compressor and turbine maps, and their pictures.
use std::path::Path;

use serde::Serialize;

use super::failure::Failure;
use super::folder::File;
use super::screen::Screen;
use crate::map::{
    CompressorSurvey, Finding, MapHeader, MapKind, RawSpeedLines, TurbineMapData, TurbineSurvey,
    compressor_findings, turbine_findings,
};
use crate::plant::compressor::survey;
use crate::plant::turbine::{MeasuredVanes, Pulsation};
use crate::report::page::words;
use crate::report::table::Paint;
use crate::report::{
    Body, Page, PictureError, PictureFormat, PictureOptions, Pictures, Units, compressor_map,
    turbine_map,
};
use crate::scenario::{CompressorForm, MapFile, Scenario, TurbineForm, read_map};

/// A map that was looked at.
#[derive(Debug, Serialize)]
pub struct MapCheck {
    /// The file as the user or the scenario named it.
    map: String,
    kind: &'static str,
    about: String,
    data: &'static str,
    /// Whether a run can use it.
    usable: bool,
    findings: Vec<MapFinding>,
    /// Files of the picture, where one was asked for.
    pictures: Vec<String>,
    #[serde(skip)]
    kept: Kept,
}

/// One finding for programs.
#[derive(Debug, Serialize)]
struct MapFinding {
    code: &'static str,
    /// Line of the file; null where it concerns the whole map.
    line: Option<usize>,
    place: String,
    found: String,
    why: &'static str,
    advice: &'static str,
}

/// What the picture is drawn from.
#[derive(Debug)]
struct Kept {
    findings: Vec<Finding>,
    survey: Survey,
}

#[derive(Debug)]
enum Survey {
    Compressor(CompressorSurvey),
    Turbine(TurbineSurvey),
}

impl MapCheck {
    /// Looks at a map file.
    pub fn of_file(path: &Path) -> Result<Self, Failure> {
        let name = path.display().to_string();
        Ok(match read_map(path)? {
            MapFile::Compressor(raw) => Self::of_compressor(name, &raw),
            MapFile::Turbine(data) => Self::of_turbine(name, &data),
        })
    }

    /// Looks at the maps that a scenario uses; `files` are those it was read from.
    pub fn of_scenario(scenario: &Scenario, files: &[String]) -> Vec<Self> {
        let mut names = files.iter().filter(|name| !is_scenario(name)).cloned();
        let mut name = || names.next().unwrap_or_default();
        let mut checks = Vec::new();
        // in the order in which the scenario reads them
        if let CompressorForm::SpeedLines(data) = &scenario.compressor.form {
            checks.push(Self::of_compressor(name(), data.raw()));
        }
        if let TurbineForm::Measured(data) = &scenario.turbine.form {
            checks.push(Self::of_turbine(name(), data));
        }
        checks
    }

    fn of_compressor(name: String, raw: &RawSpeedLines) -> Self {
        let usable = raw.shape_problems().is_empty();
        let survey = Survey::Compressor(survey(raw));
        let kind = MapKind::Compressor;
        Self::new(
            name,
            kind,
            raw.header(),
            usable,
            compressor_findings(raw),
            survey,
        )
    }

    fn of_turbine(name: String, data: &TurbineMapData) -> Self {
        let steady = Pulsation {
            flow_factor: 1.0,
            power_factor: 1.0,
        };
        let turbine = MeasuredVanes::new(data, data.wheel_diameter_m(), steady);
        let survey = Survey::Turbine(turbine.survey());
        let kind = MapKind::Turbine;
        Self::new(
            name,
            kind,
            data.header(),
            true,
            turbine_findings(data),
            survey,
        )
    }

    fn new(
        name: String,
        kind: MapKind,
        header: &MapHeader,
        usable: bool,
        findings: Vec<Finding>,
        survey: Survey,
    ) -> Self {
        Self {
            map: name,
            kind: kind.word(),
            about: header.about.clone(),
            data: header.data.word(),
            usable,
            findings: findings.iter().map(MapFinding::new).collect(),
            pictures: Vec::new(),
            kept: Kept { findings, survey },
        }
    }

    /// Whether something is suspicious.
    pub fn has_findings(&self) -> bool {
        !self.findings.is_empty()
    }

    /// Draws the map as SVG and PNG under a name without ending.
    pub fn draw(&mut self, stem: &str, units: Units) -> Result<Vec<File>, Failure> {
        let mut files = Vec::new();
        for format in [PictureFormat::Svg, PictureFormat::Png] {
            let bytes = self
                .picture(format, units)
                .map_err(|error| Failure::Computation {
                    file: self.map.clone(),
                    message: error.to_string(),
                })?;
            let name = format!("{stem}.{}", format.extension());
            self.pictures.push(name.clone());
            files.push((name, bytes));
        }
        Ok(files)
    }

    fn picture(&self, format: PictureFormat, units: Units) -> Result<Vec<u8>, PictureError> {
        let options = PictureOptions {
            format,
            units,
            ..PictureOptions::default()
        };
        let findings = &self.kept.findings;
        match &self.kept.survey {
            Survey::Compressor(survey) => compressor_map(&self.about, survey, findings, &options),
            Survey::Turbine(survey) => turbine_map(&self.about, survey, findings, &options),
        }
    }

    /// What a picture of it is called where its file does not lend it a name.
    pub fn kind(&self) -> &'static str {
        self.kind
    }

    /// The map by itself, for people.
    pub fn text(&self, screen: &Screen) -> String {
        let colour = screen.colour();
        let (word, paint) = if self.has_findings() {
            ("finding", Paint::Bad)
        } else {
            ("ok", Paint::Good)
        };
        let mut body = Body::default();
        body.plain(self.about());
        self.say(&mut body);
        if self.pictures.is_empty() {
            body.plain("A picture of what is computed from it: add --out DIR.");
        }
        format!(
            "{}  {}\n{}",
            paint.apply(word, colour),
            self.map,
            body.text(screen.width, colour)
        )
    }

    /// What the map is, in a line.
    fn about(&self) -> String {
        format!(
            "{} map: {} · {} data · {}",
            self.kind,
            self.about,
            self.data,
            count(self.findings.len())
        )
    }

    /// What was found, and whether a run can use it.
    fn say(&self, body: &mut Body) {
        self.findings("", body);
        if !self.usable {
            body.paragraph(
                "A run refuses this map: its lines make no compressor that could be computed with.",
                Paint::Bad,
            );
        }
    }

    /// The map by itself on a page.
    pub fn show(&self, page: &mut Page, pictures: &Pictures) {
        let mut body = Body::default();
        match self.has_findings() {
            true => body.verdict("Finding", self.about(), Paint::Bad),
            false => body.verdict("Nothing suspicious", self.about(), Paint::Good),
        }
        self.say(&mut body);
        page.body(body);
        self.show_picture(page, pictures);
    }

    /// Its picture on a page.
    pub fn show_picture(&self, page: &mut Page, pictures: &Pictures) {
        let words = match &self.kept.survey {
            Survey::Compressor(_) => &words::COMPRESSOR,
            Survey::Turbine(_) => &words::TURBINE,
        };
        for name in &self.pictures {
            if let Some(stem) = name.strip_suffix(".svg") {
                page.picture(pictures, stem, words);
            }
        }
    }

    /// The findings alone, each with the name of the map ahead of it if one is
    /// wanted.
    pub fn findings(&self, ahead: &str, body: &mut Body) {
        for (index, finding) in self.findings.iter().enumerate() {
            let line = finding
                .line
                .map_or_else(String::new, |line| format!("line {line}, "));
            let words = format!(
                "{ahead}{line}{}: {} ({}). {} What to do: {}.",
                finding.place, finding.found, finding.code, finding.why, finding.advice
            );
            body.item(&(index + 1).to_string(), words);
        }
    }

    /// The file, for a text about the scenario that uses it.
    pub fn name(&self) -> &str {
        &self.map
    }
}

impl MapFinding {
    fn new(finding: &Finding) -> Self {
        Self {
            code: finding.rule.code(),
            line: (finding.line > 0).then_some(finding.line),
            place: finding.place.clone(),
            found: finding.found.clone(),
            why: finding.rule.why(),
            advice: finding.rule.advice(),
        }
    }
}

fn count(findings: usize) -> String {
    match findings {
        0 => "nothing suspicious".to_owned(),
        1 => "1 finding".to_owned(),
        more => format!("{more} findings"),
    }
}

/// Whether a file of a scenario is one of its layers, not a table.
fn is_scenario(name: &str) -> bool {
    !is_map(Path::new(name))
}

/// Whether a path names a map file.
pub fn is_map(path: &Path) -> bool {
    path.extension()
        .is_some_and(|ending| ending.eq_ignore_ascii_case("csv"))
}
