//! Rows of a sweep as lines of CSV or JSON, and back.
use super::names;
use super::units::fixed;
use crate::judgement::{CaseVerdict, Peaks, SweepEntry, SweepRow};
use serde_json::{Map, Value};

/// How rows are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RowFormat {
    /// Comma-separated values (RFC 4180) under a line with the names of the columns.
    Csv,
    /// One JSON object on each line.
    JsonLines,
}

impl RowFormat {
    /// The ending of a file name, without the dot.
    pub fn extension(self) -> &'static str {
        match self {
            Self::Csv => "csv",
            Self::JsonLines => "jsonl",
        }
    }

    /// By the ending of a file name.
    pub fn from_extension(extension: &str) -> Option<Self> {
        [Self::Csv, Self::JsonLines]
            .into_iter()
            .find(|format| format.extension() == extension)
    }
}

/// What is known of a case beside its peaks and headrooms.
const HEAD: [&str; 4] = ["verdict", "first_exceeded", "first_exceeded_s", "reason"];

/// One peak: column, decimals, value.
type PeakColumn = (&'static str, usize, fn(&Peaks) -> Option<f64>);

/// The columns of the peaks, as in the result of a run.
const PEAKS: [PeakColumn; 14] = [
    ("shaft_speed_rpm", 1, |p| Some(p.shaft_speed_rpm)),
    ("tip_speed_m_s", 2, |p| Some(p.tip_speed_m_s)),
    ("boost_kpa_abs", 3, |p| Some(p.boost_kpa_abs)),
    ("boost_sensed_kpa_abs", 3, |p| Some(p.boost_sensed_kpa_abs)),
    ("boost_command_kpa_abs", 3, |p| p.boost_command_kpa_abs),
    ("drive_pressure_kpa_abs", 3, |p| {
        Some(p.drive_pressure_kpa_abs)
    }),
    ("drive_to_boost_gauge", 4, |p| p.drive_to_boost_gauge),
    ("vane_closed_pct", 3, |p| Some(p.vane_closed_pct)),
    ("turbine_inlet_k", 3, |p| Some(p.turbine_inlet_k)),
    ("compressor_outlet_k", 3, |p| Some(p.compressor_outlet_k)),
    ("cylinder_pressure_kpa_abs", 1, |p| {
        Some(p.cylinder_pressure_kpa_abs)
    }),
    ("lambda", 4, |p| p.lambda),
    ("power_kw", 3, |p| Some(p.power_kw)),
    ("torque_nm", 2, |p| Some(p.torque_nm)),
];

/// The limits that have a column of headroom: all that a scenario can set.
fn limits() -> impl Iterator<Item = &'static str> {
    let keys = names::LIMITS.iter().map(|name| name.key);
    keys.filter(|key| *key != "command_unreachable")
}

/// The columns behind those that vary, in order.
pub fn fixed_columns() -> Vec<String> {
    let head = HEAD.iter().map(|name| (*name).to_owned());
    let peaks = PEAKS.iter().map(|(name, ..)| (*name).to_owned());
    let headroom = limits().map(headroom_column);
    head.chain(peaks).chain(headroom).collect()
}

fn headroom_column(limit: &str) -> String {
    format!("{limit}_headroom_pct")
}

/// All columns of a sweep in which these vary.
pub fn sweep_columns(varied: &[String]) -> Vec<String> {
    let index = std::iter::once("index".to_owned());
    index
        .chain(varied.iter().cloned())
        .chain(fixed_columns())
        .collect()
}

/// The first line of a file, without its end; JSON lines have none.
pub fn sweep_header(columns: &[String], format: RowFormat) -> Option<String> {
    (format == RowFormat::Csv).then(|| csv_line(columns.iter().cloned()))
}

/// A row as one line, without its end. `columns` are those of [`sweep_columns`].
pub fn sweep_line(row: &SweepRow, columns: &[String], format: RowFormat) -> String {
    let cells = cells(row);
    match format {
        RowFormat::Csv => csv_line(cells.into_iter().map(|cell| match cell {
            Cell::Nothing => String::new(),
            Cell::Number(text) | Cell::Word(text) => text,
        })),
        RowFormat::JsonLines => {
            let fields = columns.iter().zip(cells).map(|(column, cell)| {
                let value = match cell {
                    Cell::Nothing => "null".to_owned(),
                    Cell::Number(text) => text,
                    Cell::Word(text) => quoted(&text),
                };
                format!("{}:{value}", quoted(column))
            });
            format!("{{{}}}", fields.collect::<Vec<_>>().join(","))
        }
    }
}

fn quoted(text: &str) -> String {
    Value::from(text).to_string()
}

fn csv_line(fields: impl Iterator<Item = String>) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    // writing to memory cannot fail
    let written = writer.write_record(fields).is_ok();
    debug_assert!(written);
    let bytes = writer.into_inner().unwrap_or_default();
    String::from_utf8(bytes)
        .unwrap_or_default()
        .trim_end()
        .to_owned()
}

enum Cell {
    Nothing,
    Number(String),
    Word(String),
}

fn number(value: Option<f64>, decimals: usize) -> Cell {
    match value {
        Some(value) if value.is_finite() => Cell::Number(fixed(value, decimals)),
        _ => Cell::Nothing,
    }
}

fn word(text: Option<&str>) -> Cell {
    text.map_or(Cell::Nothing, |text| Cell::Word(text.to_owned()))
}

fn cells(row: &SweepRow) -> Vec<Cell> {
    let mut cells = vec![Cell::Number(row.index.to_string())];
    cells.extend(row.values.iter().map(|entry| match entry {
        SweepEntry::Number(number) => Cell::Number(number.to_string()),
        SweepEntry::Word(text) => Cell::Word(text.clone()),
    }));
    cells.push(word(Some(row.verdict.name())));
    cells.push(word(row.first_exceeded.as_deref()));
    cells.push(number(row.first_exceeded_s, 3));
    cells.push(word(row.reason.as_deref()));
    for (_, decimals, value) in PEAKS {
        cells.push(number(row.peaks.as_ref().and_then(value), decimals));
    }
    for limit in limits() {
        let headroom = row.headroom_pct.iter().find(|(name, _)| name == limit);
        cells.push(number(headroom.map(|(_, pct)| *pct), 3));
    }
    cells
}

/// Reads back a line: all but its peaks; its values are those that are given. `None` where the line is no such row.
pub fn read_sweep_line(
    line: &str,
    columns: &[String],
    format: RowFormat,
    values: Vec<SweepEntry>,
) -> Option<SweepRow> {
    let fields = match format {
        RowFormat::Csv => csv_fields(line, columns)?,
        RowFormat::JsonLines => serde_json::from_str(line).ok()?,
    };
    if fields.len() != columns.len() {
        return None;
    }
    let text = |name: &str| fields.get(name)?.as_str().map(str::to_owned);
    let figure = |name: &str| match fields.get(name)? {
        Value::String(text) => text.parse().ok(),
        other => other.as_f64(),
    };
    let index = match fields.get("index")? {
        Value::String(text) => text.parse().ok()?,
        other => other.as_u64()?,
    };
    Some(SweepRow {
        index,
        values,
        verdict: CaseVerdict::from_name(&text("verdict")?)?,
        first_exceeded: text("first_exceeded"),
        first_exceeded_s: figure("first_exceeded_s"),
        peaks: None,
        headroom_pct: limits()
            .filter_map(|limit| Some((limit.to_owned(), figure(&headroom_column(limit))?)))
            .collect(),
        reason: text("reason"),
    })
}

/// Fields by their column; an empty one is left as null.
fn csv_fields(line: &str, columns: &[String]) -> Option<Map<String, Value>> {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .from_reader(line.as_bytes());
    let record = reader.records().next()?.ok()?;
    if record.len() != columns.len() {
        return None;
    }
    let value = |text: &str| match text {
        "" => Value::Null,
        text => Value::from(text),
    };
    let fields = columns.iter().zip(&record);
    Some(
        fields
            .map(|(column, text)| (column.clone(), value(text)))
            .collect(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row() -> SweepRow {
        SweepRow {
            index: 7,
            values: vec![
                SweepEntry::Number(252.5),
                SweepEntry::Word("a, \"b\"".to_owned()),
            ],
            verdict: CaseVerdict::Exceeded,
            first_exceeded: Some("lambda".to_owned()),
            first_exceeded_s: Some(1.5),
            peaks: Some(Peaks {
                lambda: Some(1.25),
                power_kw: f64::NAN,
                ..Peaks::default()
            }),
            headroom_pct: vec![("lambda".to_owned(), -3.5)],
            reason: Some("one, two".to_owned()),
        }
    }

    #[test]
    fn a_row_is_one_line_and_reads_back() {
        let columns = sweep_columns(&["x_kpa".to_owned(), "y".to_owned()]);
        for format in [RowFormat::Csv, RowFormat::JsonLines] {
            let line = sweep_line(&row(), &columns, format);
            assert!(!line.contains('\n'), "{line}");
            let read = read_sweep_line(&line, &columns, format, row().values);
            let expected = SweepRow {
                peaks: None,
                ..row()
            };
            assert_eq!(read, Some(expected), "{line}");
            let torn = &line[..line.len() / 2];
            assert_eq!(read_sweep_line(torn, &columns, format, Vec::new()), None);
        }
        let csv = sweep_line(&row(), &columns, RowFormat::Csv);
        assert!(
            csv.starts_with("7,252.5,\"a, \"\"b\"\"\",exceeded,lambda,1.500,\"one, two\","),
            "{csv}"
        );
        let json: Value =
            serde_json::from_str(&sweep_line(&row(), &columns, RowFormat::JsonLines)).unwrap();
        assert_eq!(json["x_kpa"], 252.5);
        assert_eq!(json["power_kw"], Value::Null);
        assert_eq!(json["lambda_headroom_pct"], -3.5);
        assert_eq!(json["shaft_speed_headroom_pct"], Value::Null);
    }
}
