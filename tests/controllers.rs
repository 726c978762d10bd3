//! Controllers that somebody else wrote take the place of the built-in one in every
//! study, without a change elsewhere; what they do wrong is said and not run with.
#[path = "../docs/controllers/gentle_close.rs"]
#[allow(dead_code)]
mod gentle_close;

use assert_cmd::Command;
use ringfence::control::{
    BoostController, BoostControllerSettings, Controller, ControllerForm, ControllerForms, Orders,
    OwnNumber, Readings,
};
use ringfence::judgement::{CeilingCell, RunResult, StopKind, Verdict};
use ringfence::scenario::build::{BuildFailure, Setup};
use ringfence::scenario::{Disk, Loaded, load_with, varied};
use ringfence::simulation::Sample;
use ringfence::study::ceiling::{CeilingPlan, ceiling};
use ringfence::study::progress::Silent;
use ringfence::study::single::{SingleRun, single};
use ringfence::study::sweep::{Axis, Plan, Sampling, Shard, run_case};
use std::path::Path;

const DEMO: &str = "scenarios/rescue-tender.yaml";
const OVER: &str = "scenarios/over-commanded.yaml";

/// Knows nothing but up and down: a step of the vanes each tick, towards the command.
/// It promises nothing to a search.
struct UpAndDown {
    settings: BoostControllerSettings,
    step: f64,
    vanes: f64,
}

const STEP: OwnNumber = OwnNumber::new("step_pct", "moved in one tick", 0.2, 0.01..=5.0);

impl Controller for UpAndDown {
    fn period_s(&self) -> f64 {
        self.settings.period_s
    }

    fn start(&mut self, r: &Readings) {
        self.vanes = self.feed_forward(r).vane_command;
    }

    fn step(&mut self, r: &Readings) -> Orders {
        let command_pa = self.settings.wanted_command_pa(r);
        let error_pa = command_pa.map_or(0.0, |pa| pa - r.boost_pa);
        let moved = self.vanes + self.step * error_pa.signum();
        self.vanes = self.settings.vane_stops.held(r.engine_speed_rad_s, moved);
        Orders {
            vane_command: self.vanes,
            boost_command_pa: command_pa,
            ..self.feed_forward(r)
        }
    }

    fn feed_forward(&self, r: &Readings) -> Orders {
        self.settings.by_tables(r)
    }
}

/// The built-in one behind what has to be written alone: no promise to a search.
struct Silenced(BoostController);

impl Controller for Silenced {
    fn period_s(&self) -> f64 {
        self.0.period_s()
    }

    fn start(&mut self, r: &Readings) {
        self.0.start(r);
    }

    fn step(&mut self, r: &Readings) -> Orders {
        self.0.step(r)
    }

    fn feed_forward(&self, r: &Readings) -> Orders {
        self.0.feed_forward(r)
    }

    fn protections(&self) -> u8 {
        self.0.protections()
    }

    fn beyond_threshold(&self, r: &Readings) -> u8 {
        self.0.beyond_threshold(r)
    }
}

/// The built-in one with orders that go wrong at a time.
struct Wrong {
    inner: BoostController,
    spoil: fn(&mut Orders),
}

impl Controller for Wrong {
    fn period_s(&self) -> f64 {
        self.inner.period_s()
    }

    fn start(&mut self, r: &Readings) {
        self.inner.start(r);
    }

    fn step(&mut self, r: &Readings) -> Orders {
        let mut orders = self.inner.step(r);
        if r.time_s >= 1.0 {
            (self.spoil)(&mut orders);
        }
        orders
    }

    fn feed_forward(&self, r: &Readings) -> Orders {
        self.inner.feed_forward(r)
    }

    fn protections(&self) -> u8 {
        self.inner.protections()
    }
}

fn wrong(name: &str, spoil: fn(&mut Orders)) -> ControllerForm {
    ControllerForm::new(name, [], move |settings, []| Wrong {
        inner: BoostController::new(settings.clone()),
        spoil,
    })
}

fn with_period(name: &str, period_s: f64) -> ControllerForm {
    ControllerForm::new(name, [], move |settings, []| {
        BoostController::new(BoostControllerSettings {
            period_s,
            ..settings.clone()
        })
    })
}

fn forms() -> ControllerForms {
    ControllerForms::new([
        gentle_close::form(),
        ControllerForm::new("up_and_down", [STEP], |settings, [step_pct]| UpAndDown {
            settings: settings.clone(),
            step: step_pct * 1e-2,
            vanes: 0.0,
        }),
        ControllerForm::new("silenced", [], |settings, []| {
            Silenced(BoostController::new(settings.clone()))
        }),
        ControllerForm::new("deaf", [], |settings, []| {
            let mut settings = settings.clone();
            if let Some(command) = &mut settings.command {
                command.full_load = None;
            }
            BoostController::new(settings)
        }),
        wrong("lost", |orders| orders.vane_command = f64::NAN),
        wrong("draining", |orders| orders.fuel_kg = -1e-6),
        wrong("boasting", |orders| orders.active |= 1 << 4),
        with_period("hasty", 0.0),
        with_period("lazy", 0.5),
    ])
    .expect("sound forms")
}

fn loaded(file: &str, sets: &[(&str, &str)]) -> Loaded {
    let sets: Vec<(String, String)> = sets
        .iter()
        .map(|(path, value)| ((*path).to_owned(), (*value).to_owned()))
        .collect();
    load_with(&forms(), &Disk, Path::new(file), &sets, None).unwrap_or_else(|e| panic!("{e}"))
}

fn setup(file: &str, form: &str) -> Setup {
    let loaded = loaded(file, &[("controller.form", form)]);
    Setup::new(&loaded.scenario).expect("it builds")
}

fn driven(file: &str, form: &str) -> SingleRun {
    single(&setup(file, form)).expect("it starts")
}

#[test]
fn a_run_goes_through_the_controller_that_the_scenario_names() {
    let run = driven(DEMO, "up_and_down");
    assert_eq!(run.result.why_stopped.kind, StopKind::Finished);
    assert!(run.result.scenario.ends_with("(controller `up_and_down`)"));
    assert!(run.result.protections.is_empty(), "it lists none");
    // one step of 0.2 % in each tick, up or down, is what no other controller does
    let moved = |pair: &[Sample]| pair[1].vane_command_pct - pair[0].vane_command_pct;
    let moves: Vec<f64> = run.samples.windows(2).map(moved).collect();
    // sums of 0.2 % in per cent carry rounding of some 1e-14
    let count = |step: f64| moves.iter().filter(|m| (**m - step).abs() < 1e-9).count();
    let (up, down) = (count(0.2), count(-0.2));
    assert!(
        moves.iter().all(|m| m.abs() < 0.2 + 1e-9),
        "no tick moves more"
    );
    assert!(up > 0 && down > 0, "{up} up, {down} down");
    // the rest are cut by a stop of the vanes
    assert!(
        2 * (up + down) > moves.len(),
        "{up} up, {down} down of {}",
        moves.len()
    );
    // a sawtooth around the command, whose height is what the vanes travel in the lag of
    // sensor and vanes: 0.2 % in 10 ms, 110 ms of lag, some 3 kPa per per cent
    let last = run.samples.last().expect("samples");
    let error = last.boost_true_kpa_abs - last.boost_command_kpa_abs.expect("a command");
    assert!(error.abs() < 7.0, "{error} kPa");
}

#[test]
fn the_built_in_one_by_name_is_the_built_in_one() {
    let named = driven(DEMO, "built_in");
    let unnamed = single(&Setup::new(&loaded(DEMO, &[]).scenario).unwrap()).unwrap();
    assert_eq!(named, unnamed);
    let silenced = driven(DEMO, "silenced");
    assert_eq!(silenced.samples, unnamed.samples);
}

#[test]
fn own_numbers_and_form_survive_other_values() {
    let loaded = loaded(DEMO, &[("controller.form", "up_and_down")]);
    let pair = |path: &str, value: &str| (path.to_owned(), value.to_owned());
    let peak = |sets: &[(String, String)]| {
        let (_, setup) = varied(&loaded, sets).expect("it may vary");
        assert_eq!(setup.rig.form.name(), "up_and_down");
        single(&setup)
            .expect("it starts")
            .result
            .peaks
            .boost_kpa_abs
    };
    let slow = peak(&[pair("controller.own.step_pct", "0.05")]);
    let plain = peak(&[pair("ambient.altitude", "400 m")]);
    assert_ne!(slow, plain);
    let refused = varied(&loaded, &[pair("controller.own.step_pct", "9")]).unwrap_err();
    let said = refused.to_string();
    assert!(said.contains("from 0.01 to 5"), "{said}");
    let unknown = varied(&loaded, &[pair("controller.form", "up_and_dwn")]).unwrap_err();
    assert!(unknown.to_string().contains("did you mean `up_and_down`?"));
}

#[test]
fn a_sweep_varies_the_controller_and_its_numbers() {
    let loaded = loaded(DEMO, &[("controller.form", "up_and_down")]);
    let rows = |path: &str, values: &str| {
        let axes = vec![Axis::read(path, values).expect("an axis")];
        let plan = Plan::new(axes, Sampling::Grid, Shard::WHOLE).expect("a plan");
        let row = |case| run_case(&loaded, Path::new(DEMO), &[], &plan, case);
        (0..plan.total()).map(row).collect::<Vec<_>>()
    };
    let peaks = |rows: Vec<ringfence::judgement::SweepRow>| -> Vec<f64> {
        let boost = |row: &ringfence::judgement::SweepRow| {
            row.peaks.unwrap_or_else(|| panic!("{row:?}")).boost_kpa_abs
        };
        rows.iter().map(boost).collect()
    };
    let steps = peaks(rows("controller.own.step_pct", "0.05,0.2"));
    assert_ne!(steps[0], steps[1]);
    let forms = peaks(rows("controller.form", "built_in,up_and_down"));
    let alone = driven(DEMO, "built_in").result.peaks.boost_kpa_abs;
    assert_eq!(forms, [alone, steps[1]]);
}

fn cells(form: &str, watch_to_the_end: bool) -> Vec<CeilingCell> {
    let loaded = loaded(
        DEMO,
        &[
            ("controller.form", form),
            ("ceiling.step", "8 kPa"),
            ("ceiling.altitudes", "[400 m]"),
            ("ceiling.engine_speeds", "[1800 rpm, 2600 rpm]"),
            ("ceiling.transients.pull.duration", "2 s"),
            ("ceiling.transients.afterwards", "4 s"),
        ],
    );
    let setup = Setup::new(&loaded.scenario).expect("it builds");
    let mut plan = CeilingPlan::of(&loaded.scenario, &setup).expect("it is a plan");
    plan.watch_to_the_end = watch_to_the_end;
    ceiling(&plan, &setup.titles, &Silent).cells
}

#[test]
fn a_controller_that_promises_nothing_gets_the_same_ceiling() {
    let known = cells("built_in", false);
    let silenced = cells("silenced", false);
    assert!(known.iter().all(|cell| cell.ceiling_kpa_abs.is_some()));
    for (known, silenced) in known.iter().zip(&silenced) {
        assert_eq!(known.ceiling_kpa_abs, silenced.ceiling_kpa_abs);
        assert_eq!(known.binding_above, silenced.binding_above);
    }
}

#[test]
fn the_promises_of_the_example_change_no_ceiling() {
    let short = cells("gentle_close", false);
    let whole = cells("gentle_close", true);
    assert!(short.iter().all(|cell| cell.ceiling_kpa_abs.is_some()));
    for (short, whole) in short.iter().zip(&whole) {
        assert_eq!(short.ceiling_kpa_abs, whole.ceiling_kpa_abs);
    }
}

#[test]
fn another_memory_has_a_ceiling_of_its_own() {
    let crude = cells("up_and_down", false);
    assert_eq!(crude.len(), 2);
    assert_ne!(crude, cells("built_in", false));
}

#[test]
fn a_controller_that_does_not_follow_the_command_is_not_searched() {
    let loaded = loaded(DEMO, &[("controller.form", "deaf")]);
    let setup = Setup::new(&loaded.scenario).expect("it builds");
    let refused = CeilingPlan::of(&loaded.scenario, &setup).unwrap_err();
    assert_eq!(refused, BuildFailure::DeafController("deaf".to_owned()));
    single(&setup).expect("it may run all the same");
}

#[test]
fn bad_orders_end_a_run_and_are_named() {
    for (form, said) in [
        (
            "lost",
            "the controller ordered a vane command of NaN at 1.000 s",
        ),
        (
            "draining",
            "the controller ordered -1.000 mg of fuel per injection at 1.000 s",
        ),
        ("boasting", "the controller reports shaft_speed"),
    ] {
        let RunResult {
            verdict,
            why_stopped,
            ..
        } = driven(DEMO, form).result;
        assert_eq!(verdict, Verdict::OutsideValidity, "{form}");
        assert_eq!(why_stopped.kind, StopKind::ComputationFailed, "{form}");
        assert!(why_stopped.text.starts_with(said), "{}", why_stopped.text);
        assert!((why_stopped.last_good_s - 0.99).abs() < 1e-9, "{form}");
    }
    for form in ["hasty", "lazy"] {
        let refused = single(&setup(DEMO, form)).unwrap_err().to_string();
        assert!(refused.contains(form), "{refused}");
    }
}

#[test]
fn the_program_without_others_knows_the_built_in_one_alone() {
    for (set, said) in [
        (
            "controller.form=gentle_close",
            "this program has no controller",
        ),
        ("controller.own.step_pct=1", "takes no `step_pct`"),
        ("controller.own=3", "name: number"),
    ] {
        let done = Command::new(env!("CARGO_BIN_EXE_ringfence"))
            .args(["run", DEMO, "--set", set])
            .output()
            .expect("the program starts");
        assert_eq!(done.status.code(), Some(2), "{set}");
        let text = String::from_utf8_lossy(&done.stderr);
        assert!(text.contains(said), "{text}");
    }
}

/// Time until the reading comes within 5 kPa of the command for good \[s\].
fn there_s(run: &SingleRun) -> f64 {
    let away = run.samples.iter().rev().find(|s| {
        s.boost_command_kpa_abs
            .is_some_and(|pa| (pa - s.boost_true_kpa_abs).abs() > 5.0)
    });
    away.map_or(0.0, |s| s.time_s)
}

/// What the guide says of the example, in figures; they follow from the invented data of
/// the scenarios alone, so that only the sense and rough size of each counts.
#[test]
fn closing_gently_costs_boost_and_saves_drive_pressure() {
    let (built_in, gentle) = (driven(DEMO, "built_in"), driven(DEMO, "gentle_close"));
    let drive = |run: &SingleRun| run.result.peaks.drive_pressure_kpa_abs;
    let boost = |run: &SingleRun| run.result.peaks.boost_kpa_abs;
    let lowest = |run: &SingleRun| {
        let missing = run
            .samples
            .iter()
            .filter_map(|s| Some(s.boost_command_kpa_abs? - s.boost_true_kpa_abs));
        missing.fold(0.0, f64::max)
    };
    // better: less overshoot in the pull
    assert!(boost(&gentle) < boost(&built_in) - 3.0);
    // and sooner there for good
    assert!(there_s(&gentle) < there_s(&built_in) - 0.5);
    // worse: boost is further behind its command on the way
    assert!(lowest(&gentle) > lowest(&built_in));

    let long = |form: &str, own: &str| {
        let sets = [
            ("controller.form", form),
            ("controller.own", own),
            ("procedure.0.pull.settle", "15 s"),
        ];
        let setup = Setup::new(&loaded(OVER, &sets).scenario).expect("it builds");
        single(&setup).expect("it starts")
    };
    let (built_in, gentle) = (long("built_in", "{}"), long("gentle_close", "{}"));
    let unbound = long("gentle_close", "{free_to_kpa_abs: 900}");
    // better: drive pressure ends at its bound of 420 kPa, as the lag of its sensor and
    // of the vanes lets it, and it is the bound that does it
    assert!((drive(&gentle) - 420.0).abs() < 2.0, "{}", drive(&gentle));
    assert!(drive(&built_in) > 600.0 && drive(&unbound) > 600.0);
    // no better: the shaft is still too fast and the reading still pinned
    assert_eq!(gentle.result.verdict, Verdict::Exceeded);
    assert!(gentle.result.sensor.pinned_s > 0.5);
}
