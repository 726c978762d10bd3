//! What a sweep comes to: text, verdict, pictures.
use std::fs::File;

use serde::Serialize;

use super::mark::Mark;
use super::place::Place;
use super::store::{Reader, cannot_open, damaged, state_path};
use crate::cli::args::Sweep;
use crate::cli::failure::Failure;
use crate::cli::folder::{File as Written, PAGE};
use crate::cli::load::Ready;
use crate::cli::run::{FILE_WIDTH, drawn};
use crate::cli::screen::Screen;
use crate::judgement::{CaseVerdict, SweepEntry, SweepRow, SweepSummary, TOOL};
use crate::report::page::sweep_page;
use crate::report::{
    self, PictureOptions, Pictures, RowFormat, SweepAxis, SweepCase, SweepChart, SweepLimit,
    SweepValues, SweepVerdict, cautions_text, names, read_sweep_line, sweep_text,
};
use crate::study::sweep::{Axis, Plan};

/// No picture has more cells than this: they would be finer than its pixels.
const MOST_CELLS: u64 = 40_000;

/// A call whose cases are done, or as many as there was time for.
pub struct Call<'a> {
    /// What was asked for.
    pub args: &'a Sweep,
    /// The scenario.
    pub ready: &'a Ready,
    /// The cases.
    pub plan: &'a Plan,
    /// By what the rows are known.
    pub mark: &'a Mark,
    /// Where they went.
    pub place: &'a Place,
    /// How long it took, where that was asked for.
    pub wall_s: Option<f64>,
}

/// The JSON document beside a file of rows.
#[derive(Serialize)]
struct Document<'a> {
    tool: &'static str,
    version: &'static str,
    scenario: &'a str,
    data: &'a str,
    rows: String,
    cases: u64,
    finished: u64,
    held: u64,
    exceeded: u64,
    outside_validity: u64,
    failed: u64,
    refused: u64,
    #[serde(skip_serializing_if = "Option::is_none")]
    wall_s: Option<f64>,
}

impl Call<'_> {
    /// Writes files and prints what is to be printed.
    pub fn tell(
        &self,
        summary: &SweepSummary,
        rows: &[SweepRow],
        screen: &Screen,
    ) -> Result<(), Failure> {
        let complete = summary.done() == summary.asked;
        let mut remarks = Vec::new();
        if let (Place::Folder(folder, _), true) = (self.place, complete) {
            let mut files = vec![("verdict.txt".to_owned(), verdict_file(summary, rows))];
            match self.pictures()? {
                Ok(pictures) => files.extend(pictures),
                Err(why) => remarks.push(why),
            }
            files.push(self.page(summary, rows, &remarks, &files));
            folder.write(files)?;
        }
        if let Some(wall_s) = self.wall_s {
            remarks.push(format!("Computed in {wall_s:.3} s."));
        }
        if !complete {
            remarks.push(self.go_on(summary));
        }
        if let Some((path, _)) = self.place.rows() {
            remarks.push(format!("Rows in {}", path.display()));
        }
        if screen.json {
            return self.json(summary, screen);
        }
        let mut text = sweep_text(summary, rows, screen.width, screen.colour());
        if !remarks.is_empty() {
            text.push('\n');
        }
        for remark in remarks {
            text.push_str(&report::lines(&remark, screen.width));
        }
        screen.text(&text)
    }

    fn page(
        &self,
        summary: &SweepSummary,
        rows: &[SweepRow],
        remarks: &[String],
        files: &[Written],
    ) -> Written {
        let (pictures, args) = (Pictures::of(files, ""), self.args);
        let sources = self.ready.sources(&args.set.sets);
        let page = sweep_page(summary, rows, remarks, &pictures, &sources);
        (PAGE.to_owned(), page.into_bytes())
    }

    fn go_on(&self, summary: &SweepSummary) -> String {
        let (done, asked) = (summary.done(), summary.asked);
        let stopped = format!("Stopped after {done} of {asked} cases.");
        match self.place.rows() {
            Some(_) => format!("{stopped} The same command goes on from there."),
            None => format!("{stopped} With --out FILE.csv a sweep can be gone on with."),
        }
    }

    fn json(&self, summary: &SweepSummary, screen: &Screen) -> Result<(), Failure> {
        let Some((path, _)) = self.place.rows() else {
            return Ok(());
        };
        screen.document(&Document {
            tool: TOOL,
            version: env!("CARGO_PKG_VERSION"),
            scenario: &summary.scenario,
            data: &summary.data,
            rows: path.display().to_string(),
            cases: summary.asked,
            finished: summary.done(),
            held: summary.count(CaseVerdict::Held),
            exceeded: summary.count(CaseVerdict::Exceeded),
            outside_validity: summary.count(CaseVerdict::OutsideValidity),
            failed: summary.count(CaseVerdict::Failed),
            refused: summary.count(CaseVerdict::Refused),
            wall_s: self.wall_s,
        })
    }

    /// The pictures, or why there are none.
    fn pictures(&self) -> Result<Result<Vec<Written>, String>, Failure> {
        let total = self.plan.total();
        let why = if self.plan.place(0).is_none() {
            "No picture: it needs a grid, and these are draws."
        } else if self.plan.axes.len() > 2 {
            "No picture: more than two things vary."
        } else if self.mark.of > 1 {
            "No picture: this is a part of a sweep."
        } else if total > MOST_CELLS {
            "No picture: more than 40000 cases would be finer than its pixels."
        } else {
            ""
        };
        if !why.is_empty() {
            return Ok(Err(why.to_owned()));
        }
        let chart = self.chart()?;
        let mut files = Vec::new();
        for &format in self.args.study.formats() {
            let options = PictureOptions {
                format,
                units: self.args.study.units(),
                ..PictureOptions::default()
            };
            files.push((
                format!("sweep.{}", format.extension()),
                drawn(&self.ready.file, report::sweep_chart(&chart, &options))?,
            ));
        }
        Ok(Ok(files))
    }

    /// The finished rows once more, as a picture needs them.
    fn chart(&self) -> Result<SweepChart, Failure> {
        let titles = &self.ready.setup.titles;
        let mut chart = SweepChart {
            title: titles.scenario.clone(),
            data: titles.data.clone(),
            axes: self.plan.axes.iter().map(chart_axis).collect(),
            limits: Vec::new(),
            cases: Vec::new(),
        };
        let rows = self.read_again()?;
        for name in names::LIMITS.iter().map(|name| name.key) {
            let judged = |row: &SweepRow| row.headroom_pct.iter().any(|(key, _)| key == name);
            if rows.iter().any(judged) {
                chart.limits.push(SweepLimit {
                    name: name.to_owned(),
                    label: String::new(),
                });
            }
        }
        let limits = &chart.limits;
        chart.cases = rows
            .iter()
            .map(|row| SweepCase {
                verdict: match row.verdict {
                    CaseVerdict::Held => SweepVerdict::Held,
                    CaseVerdict::Exceeded => SweepVerdict::Exceeded,
                    _ => SweepVerdict::Failed,
                },
                headroom_pct: limits
                    .iter()
                    .map(|limit| {
                        let mut known = row.headroom_pct.iter();
                        known
                            .find(|(key, _)| *key == limit.name)
                            .map(|(_, pct)| *pct)
                    })
                    .collect(),
                first_exceeded: row.first_exceeded.clone(),
            })
            .collect();
        Ok(chart)
    }

    fn read_again(&self) -> Result<Vec<SweepRow>, Failure> {
        let Some((path, format)) = self.place.rows() else {
            return Ok(Vec::new());
        };
        let opened = |path: &std::path::Path| File::open(path).map_err(|e| cannot_open(path, &e));
        let (rows, state) = (opened(path)?, opened(&state_path(path))?);
        let mut reader = Reader::new(path, &rows, &state, self.mark)?;
        let mut read = Vec::new();
        while let Some(line) = reader.next_row()? {
            read.push(
                self.row(&line, format, reader.number - 1)
                    .ok_or_else(|| damaged(path, reader.number))?,
            );
        }
        Ok(read)
    }

    fn row(&self, line: &str, format: RowFormat, number: u64) -> Option<SweepRow> {
        let values = self.plan.values(self.plan.cases().start + number);
        let shown = values.into_iter().map(|(_, shown)| shown).collect();
        read_sweep_line(line, &self.mark.columns, format, shown)
    }
}

fn chart_axis(axis: &Axis) -> SweepAxis {
    let entries: Vec<SweepEntry> = (0..axis.count().unwrap_or(0))
        .map(|number| axis.at(number).1)
        .collect();
    let numbers: Vec<f64> = entries
        .iter()
        .filter_map(|entry| match entry {
            SweepEntry::Number(number) => Some(*number),
            SweepEntry::Word(_) => None,
        })
        .collect();
    let sorted = numbers.is_sorted_by(|a, b| a < b) || numbers.is_sorted_by(|a, b| a > b);
    let values = if numbers.len() == entries.len() && sorted {
        SweepValues::Numbers {
            unit: axis.unit.clone(),
            values: numbers,
        }
    } else {
        // numbers in no order have no scale: they stand side by side as words do
        let words = entries.into_iter().map(|entry| match entry {
            SweepEntry::Number(number) => format!("{number} {}", axis.unit).trim().to_owned(),
            SweepEntry::Word(word) => word,
        });
        SweepValues::Words(words.collect())
    };
    SweepAxis {
        path: axis.path.clone(),
        label: String::new(),
        values,
    }
}

fn verdict_file(summary: &SweepSummary, rows: &[SweepRow]) -> Vec<u8> {
    format!(
        "{}\n{}",
        sweep_text(summary, rows, FILE_WIDTH, false),
        cautions_text(FILE_WIDTH)
    )
    .into_bytes()
}
