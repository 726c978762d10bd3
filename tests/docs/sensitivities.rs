//! The page on sensitivities: its tables are computed here, and its claims held.
use super::pages::{root, writing};
use super::validation::{line, with_part};
use crate::proof;
use ringfence::judgement::CeilingCell;
use ringfence::scenario::{Scenario, build::Setup, load};
use ringfence::simulation::Sample;
use ringfence::study::ceiling::{CeilingPlan, ceiling};
use ringfence::study::progress::Silent;
use ringfence::study::single::single;
use std::fs;
use std::sync::Mutex;

const PAGE: &str = "docs/validation/sensitivities.md";
type Sets<'a> = &'a [(&'a str, &'a str)];

fn demo(sets: Sets) -> Scenario {
    let sets: Vec<_> = sets
        .iter()
        .map(|(path, value)| ((*path).to_owned(), (*value).to_owned()))
        .collect();
    load(&root().join("scenarios/rescue-tender.yaml"), &sets, None)
        .unwrap_or_else(|error| panic!("{error}"))
        .scenario
}

/// One change of the demonstration, and how the table calls it.
const CHANGES: [(&str, Sets); 14] = [
    ("none", &[]),
    (
        "ambient pressure 5 kPa lower",
        &[("ambient.pressure", "91.6 kPa abs")],
    ),
    ("ambient 10 K hotter", &[("ambient.temperature", "27 degC")]),
    (
        "sensor reads 7 kPa low, ahead of the clamp",
        &[("sensors.boost.offset", "-7 kPa")],
    ),
    (
        "sensor reads 3 kPa high, ahead of the clamp",
        &[("sensors.boost.offset", "3 kPa")],
    ),
    (
        "reading 7 kPa low after the clamp",
        &[("sensors.boost.offset_after_clamp", "-7 kPa")],
    ),
    (
        "reading 3 kPa high after the clamp",
        &[("sensors.boost.offset_after_clamp", "3 kPa")],
    ),
    (
        "reading 7 kPa high after the clamp",
        &[("sensors.boost.offset_after_clamp", "7 kPa")],
    ),
    (
        "the same, with the shipped lambda limit of 1.15",
        &[
            ("sensors.boost.offset_after_clamp", "7 kPa"),
            ("limits.lambda", "1.15"),
        ],
    ),
    (
        "stated spread ahead of the clamp 5 instead of 2 kPa",
        &[("sensors.boost.error.offset", "5 kPa")],
    ),
    (
        "stated spread after the clamp 4 instead of 1 kPa",
        &[("sensors.boost.error.after_clamp", "4 kPa")],
    ),
    (
        "clamp 0.1 V lower (7.1 kPa)",
        &[("sensors.boost.clamp.high", "4.65 V")],
    ),
    (
        "filter with three times its loss",
        &[("faults", "[{blocked_filter: {factor: 3}}]")],
    ),
    (
        "boost leak of 60 mm²",
        &[("faults", "[{boost_leak: {area: 60 mm2}}]")],
    ),
];

/// Two cells: what can be read binds at the first, shaft speed at the second.
fn cells(change: Sets) -> Vec<CeilingCell> {
    let mut sets = vec![
        // it names the temperature offset, which this ambient does not have
        ("production", "null"),
        ("ambient.altitude", "null"),
        ("ambient.temperature_offset", "null"),
        ("ambient.pressure", "96.6 kPa abs"),
        ("ambient.temperature", "17 degC"),
        ("ceiling.altitudes", "null"),
        ("ceiling.engine_speeds", "[1800 rpm, 2600 rpm]"),
        // else a sensor that reads high is caught by the smoke that it lets through
        ("limits.lambda", "1.08"),
    ];
    sets.extend_from_slice(change);
    let scenario = demo(&sets);
    let setup = Setup::new(&scenario).expect("it builds");
    let plan = CeilingPlan::of(&scenario, &setup).expect("it is a plan");
    ceiling(&plan, &setup.titles, &Silent).cells
}

fn top_kpa(cell: &CeilingCell) -> f64 {
    cell.ceiling_kpa_abs
        .unwrap_or_else(|| panic!("no window: {cell:?}"))
}

fn ceiling_table(rows: &[(&str, Vec<CeilingCell>)]) -> String {
    let heads = [
        "change",
        "rpm",
        "ceiling",
        "moved",
        "bound by",
        "fuel",
        "shaft there",
        "drive there",
    ];
    let mut text = line(&heads.map(str::to_owned)) + &line(&heads.map(|_| "---".to_owned()));
    for (name, cells) in rows {
        for (cell, usual) in cells.iter().zip(&rows[0].1) {
            text += &line(&[
                (*name).to_owned(),
                format!("{:.0}", cell.engine_speed_rpm),
                format!("{:.0} kPa", top_kpa(cell)),
                format!("{:+.0} kPa", top_kpa(cell) - top_kpa(usual)),
                format!("`{}`", cell.binding_above.as_deref().unwrap_or("nothing")),
                format!("{:.0} %", 100.0 * cell.fuel_scale),
                format!(
                    "{:.1} krpm",
                    1e-3 * cell.shaft_speed_rpm.expect("it has one")
                ),
                format!(
                    "{:.0} kPa",
                    cell.drive_pressure_kpa_abs.expect("it has one")
                ),
            ]);
        }
    }
    text
}

/// The end of a closed-loop hold at 2200 rpm and full fuel.
fn held(command_kpa: f64, change: Sets) -> Sample {
    let command = format!("{command_kpa} kPa abs");
    let mut sets = vec![
        (
            "procedure",
            "[{hold: {engine_speed: 2200 rpm, duration: 20 s}}]",
        ),
        ("controller.command.full_load", command.as_str()),
    ];
    sets.extend_from_slice(change);
    let setup = Setup::new(&demo(&sets)).expect("it builds");
    let run = single(&setup).expect("it starts");
    *run.samples.last().expect("samples")
}

/// Commands of the holds, and what is asked of the shaft at each.
const COMMANDS_KPA: [f64; 2] = [230.0, 300.0];
const SEVEN_HIGHER: &str = "command 7 kPa higher";
const ABSOLUTE: &str = "1500 m higher, absolute command";
const GAUGE: &str = "1500 m higher, gauge command";
const PASS: (&str, &str) = ("ambient.altitude", "1900 m");
const AHEAD: (&str, Sets) = (
    "sensor reads 7 kPa low, ahead of the clamp",
    &[("sensors.boost.offset", "-7 kPa")],
);
const AFTER: (&str, Sets) = (
    "reading 7 kPa low after the clamp",
    &[("sensors.boost.offset_after_clamp", "-7 kPa")],
);
const OTHERS: [(&str, Sets); 3] = [
    ("10 K hotter", &[("ambient.temperature_offset", "15 K")]),
    (
        "filter with three times its loss",
        &[("faults", "[{blocked_filter: {factor: 3}}]")],
    ),
    (
        "boost leak of 60 mm²",
        &[("faults", "[{boost_leak: {area: 60 mm2}}]")],
    ),
];

/// What the shaft does at one command: name, sample.
fn shaft_rows(command_kpa: f64) -> Vec<(&'static str, Sample)> {
    let usual = held(command_kpa, &[]);
    let pass = held(command_kpa, &[PASS]);
    let thinner_kpa = usual.ambient_kpa_abs - pass.ambient_kpa_abs;
    let mut rows = vec![
        ("none", usual),
        (SEVEN_HIGHER, held(command_kpa + 7.0, &[])),
        (ABSOLUTE, pass),
        (GAUGE, held(command_kpa - thinner_kpa, &[PASS])),
    ];
    for (name, change) in [AHEAD, AFTER].into_iter().chain(OTHERS) {
        rows.push((name, held(command_kpa, change)));
    }
    rows
}

fn shaft_table(blocks: &[Vec<(&str, Sample)>]) -> String {
    let heads = [
        "command",
        "change",
        "reading",
        "true boost",
        "shaft",
        "moved",
        "vanes closed",
    ];
    let mut text = line(&heads.map(str::to_owned)) + &line(&heads.map(|_| "---".to_owned()));
    for (command_kpa, rows) in COMMANDS_KPA.iter().zip(blocks) {
        for (name, s) in rows {
            text += &line(&[
                format!("{command_kpa} kPa"),
                (*name).to_owned(),
                format!("{:.0} kPa", s.boost_sensed_kpa_abs),
                format!("{:.0} kPa", s.boost_true_kpa_abs),
                format!("{:.1} krpm", 1e-3 * s.shaft_speed_rpm),
                format!("{:+.1} %", 100.0 * rise(rows, name)),
                format!("{:.0} %", s.vane_closed_pct),
            ]);
        }
    }
    text
}

/// Rise of the shaft speed over that of the first row, a share.
fn rise(rows: &[(&str, Sample)], name: &str) -> f64 {
    let (_, s) = rows.iter().find(|(own, _)| *own == name).expect("a row");
    s.shaft_speed_rpm / rows[0].1.shaft_speed_rpm - 1.0
}

/// One writes the page at a time.
static WRITING: Mutex<()> = Mutex::new(());

/// The tables of the page are what is computed now.
fn page_is_fresh(name: &str, table: &str) {
    let _alone = WRITING.lock();
    let path = root().join(PAGE);
    let page = fs::read_to_string(&path).expect("the page on sensitivities");
    let fresh = with_part(&page, name, table);
    if writing() {
        fs::write(&path, fresh).expect("the page can be written");
        return;
    }
    assert!(
        page == fresh,
        "{PAGE} is stale: RINGFENCE_WRITE=1 cargo test --test docs"
    );
}

/// The page says so, and it is so: the figure in the words is what is computed, within
/// a step of the search or a rounded digit.
fn told(words: &str, computed: f64, said: f64, within: f64) {
    let page = fs::read_to_string(root().join(PAGE)).expect("the page on sensitivities");
    let page = page.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(page.contains(words), "{PAGE} no longer says: {words}");
    assert!(
        (computed - said).abs() <= within,
        "{PAGE} says {words:?}, but it is {computed}"
    );
}

/// The table of ceilings, and what the page says of it. One step of the search is
/// 1 kPa, so that each difference may be off by that.
#[test]
fn ceilings_move_as_the_page_says() {
    let rows: Vec<_> = CHANGES
        .iter()
        .map(|(name, change)| (*name, cells(change)))
        .collect();
    page_is_fresh("ceilings", &ceiling_table(&rows));
    let find = |name: &str| {
        let found = rows.iter().find(|(own, _)| *own == name);
        &found.unwrap_or_else(|| panic!("no row {name}")).1
    };
    let moved = |name: &str, cell: usize| top_kpa(&find(name)[cell]) - top_kpa(&find("none")[cell]);
    let mut ahead = proof::row("sensitivity-ahead");
    for name in [
        "sensor reads 7 kPa low, ahead of the clamp",
        "sensor reads 3 kPa high, ahead of the clamp",
        "stated spread ahead of the clamp 5 instead of 2 kPa",
    ] {
        ahead.see(moved(name, 0).abs(), &name);
    }
    ahead.done();
    let mut after = proof::row("sensitivity-after");
    for (name, expected) in [
        ("reading 7 kPa low after the clamp", -7.0),
        ("stated spread after the clamp 4 instead of 1 kPa", -3.0),
        ("clamp 0.1 V lower (7.1 kPa)", -7.1),
    ] {
        after.absolute(moved(name, 0), expected, &name);
    }
    after.done();
    for name in [
        "ambient pressure 5 kPa lower",
        "ambient 10 K hotter",
        "sensor reads 7 kPa low, ahead of the clamp",
        "reading 7 kPa low after the clamp",
        "filter with three times its loss",
        "boost leak of 60 mm²",
    ] {
        assert!(moved(name, 1) < 0.0, "{name} where the shaft binds");
    }
    let thinner = "ambient pressure 5 kPa lower";
    let shaft = |name: &str| find(name)[0].shaft_speed_rpm.expect("it has one");
    let faster = 100.0 * (shaft(thinner) / shaft("none") - 1.0);
    told("the shaft turns 3 % faster", faster, 3.0, 0.5);
    told("18 kPa for 5 kPa of ambient", -moved(thinner, 1), 18.0, 1.0);
    told(
        "10 K cost 9 kPa",
        -moved("ambient 10 K hotter", 1),
        9.0,
        1.0,
    );
    told("329 of 330.7 kPa", top_kpa(&find("none")[0]), 329.0, 0.5);
    let filter = moved("filter with three times its loss", 1);
    told("17 kPa where the shaft binds", -filter, 17.0, 1.0);
    let leak = "boost leak of 60 mm²";
    let drive = find(leak)[0].drive_pressure_kpa_abs.expect("it has one");
    told("509 kPa of drive pressure", drive, 509.0, 0.6);
    told("60 mm² cost 16 kPa", -moved(leak, 1), 16.0, 1.0);
    let smoky = &find("the same, with the shipped lambda limit of 1.15")[0];
    assert!(smoky.fuel_scale < 1.0, "a fuel derate: {smoky:?}");
}

/// The table of shaft speeds, and what the page says of it.
#[test]
fn shaft_speeds_move_as_the_page_says() {
    let blocks = COMMANDS_KPA.map(shaft_rows);
    page_is_fresh("shaft speeds", &shaft_table(&blocks));
    let mut seven = proof::row("sensitivity-seven");
    let mut altitude = proof::row("sensitivity-altitude");
    let mut gauge = proof::row("sensitivity-gauge");
    for rows in &blocks {
        for (name, s) in &rows[1..] {
            assert!(s.shaft_speed_rpm > rows[0].1.shaft_speed_rpm, "{name}");
            assert!(!s.pinned && s.vane_closed_pct > 0.5, "{name}: {s:?}");
        }
        for name in [SEVEN_HIGHER, AHEAD.0, AFTER.0] {
            seven.see(rise(rows, name), &name);
        }
        altitude.see(rise(rows, ABSOLUTE), &ABSOLUTE);
        gauge.see(rise(rows, GAUGE) / rise(rows, ABSOLUTE), &GAUGE);
    }
    let per_cent = |block: usize, name: &str| 100.0 * rise(&blocks[block], name);
    told(
        "1.9 % of shaft speed at 230",
        per_cent(0, SEVEN_HIGHER),
        1.9,
        0.06,
    );
    told("and 1.2 % at 300 kPa", per_cent(1, SEVEN_HIGHER), 1.2, 0.06);
    told(
        "1500 m cost 9.9 and 8.5 %",
        per_cent(0, ABSOLUTE),
        9.9,
        0.06,
    );
    told(
        "1500 m cost 9.9 and 8.5 %",
        per_cent(1, ABSOLUTE),
        8.5,
        0.06,
    );
    told("it is 5.4 and 5.5 %", per_cent(0, GAUGE), 5.4, 0.06);
    told("it is 5.4 and 5.5 %", per_cent(1, GAUGE), 5.5, 0.06);
    for (name, _) in OTHERS {
        let cost = per_cent(0, name).max(per_cent(1, name));
        told("cost one to two per cent each", cost, 1.6, 0.9);
    }
    seven.done();
    altitude.done();
    gauge.done();
}
