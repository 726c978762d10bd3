//! The picture of a run beside its baseline.
use super::pull::{baseline, run};
use ringfence::judgement::{BaselineDifference as Difference, Channel, Tolerance};
use ringfence::report::{
    BaselinePicture, PictureError, PictureOptions, Units, baseline_line, baseline_strips,
};
use ringfence::study::single::SingleRun;

/// The picture of a run against the baseline of another, as SVG, and what was found.
fn drawn(stored: &SingleRun, new: &SingleRun, units: Units) -> (String, Vec<Difference>) {
    let held = baseline(stored);
    let differences = held.differences(&new.samples, &Tolerance::of);
    let picture = BaselinePicture {
        samples: &new.samples,
        result: &new.result,
        baseline: &held,
        differences: &differences,
        tolerance: &Tolerance::of,
    };
    let options = PictureOptions {
        units,
        ..PictureOptions::default()
    };
    let svg = baseline_strips(&picture, &options).expect("a picture");
    (String::from_utf8(svg).expect("text"), differences)
}

#[test]
fn the_channels_that_leave_first_are_drawn_and_the_others_named() {
    let stored = run("rescue-tender.yaml", &[]);
    let new = run(
        "rescue-tender.yaml",
        &[("controller.feedback.proportional", "0.48 %/kPa")],
    );
    for (units, unit) in [(Units::Si, "kPa abs"), (Units::Us, "psi abs")] {
        let (svg, differences) = drawn(&stored, &new, units);
        let mut channels: Vec<Channel> = differences.iter().filter_map(|d| d.channel()).collect();
        channels.dedup();
        let more = channels.len() - 4;
        assert!(svg.contains(&format!("{more} more differ: ")), "{svg}");
        for channel in channels {
            assert!(svg.contains(channel.name()), "{}", channel.name());
        }
        assert!(svg.contains(unit));
        assert!(svg.contains("first off at 0.00 s"));
        assert!(!svg.contains("NaN"));
    }
}

#[test]
fn a_run_that_ends_earlier_is_drawn_as_far_as_it_goes() {
    let stored = run("rescue-tender.yaml", &[]);
    let new = run("rescue-tender.yaml", &[("procedure.0.pull.settle", "1 s")]);
    let (svg, differences) = drawn(&stored, &new, Units::Si);
    let line = baseline_line(&differences[0], Units::Si);
    assert_eq!(
        line,
        "the run ends at 9.00 s, 2.00 s earlier than its baseline"
    );
    assert!(svg.contains(&line), "{svg}");
    assert!(svg.contains("boost_true"));
}

#[test]
fn nothing_to_draw_is_said() {
    let stored = run("rescue-tender.yaml", &[]);
    let held = baseline(&stored);
    let picture = BaselinePicture {
        samples: &[],
        result: &stored.result,
        baseline: &held,
        differences: &[],
        tolerance: &Tolerance::of,
    };
    let failure = baseline_strips(&picture, &PictureOptions::default());
    assert!(matches!(failure, Err(PictureError::Empty { .. })));
}
