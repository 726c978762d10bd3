//! Real runs with their words in both units, and the trace seen independently.
use ringfence::judgement::RunResult;
use ringfence::report::{Moment, Units, Weight, course};
use ringfence::scenario::{self, build::Setup};
use ringfence::simulation::Sample;
use ringfence::study::single::single;
use std::path::Path;

/// A run and what is said of it.
pub struct Driven {
    pub result: RunResult,
    pub samples: Vec<Sample>,
    pub si: Vec<Moment>,
    pub us: Vec<Moment>,
}

/// Drives a shipped scenario with overrides and checks what holds for all words.
pub fn drive(name: &str, sets: &[(&str, &str)]) -> Driven {
    let sets: Vec<(String, String)> = sets
        .iter()
        .map(|(path, value)| ((*path).to_owned(), (*value).to_owned()))
        .collect();
    let path = Path::new("scenarios").join(format!("{name}.yaml"));
    let loaded = scenario::load(&path, &sets, None).unwrap_or_else(|e| panic!("{e}"));
    let setup = Setup::new(&loaded.scenario).expect("builds");
    let run = single(&setup).expect("starts");
    let words = |units| course(&run.result, &run.events, &run.samples, units);
    let driven = Driven {
        si: words(Units::Si),
        us: words(Units::Us),
        samples: run.samples,
        result: run.result,
    };
    driven.is_sound();
    driven
}

/// Pounds per square inch.
pub fn psi(kpa: f64) -> f64 {
    kpa / 6.894_757_293_168
}

/// A shaft speed as the words have it.
pub fn krpm(rpm: f64) -> String {
    format!("{:.1} krpm", rpm / 1000.0)
}

impl Driven {
    /// What holds for every run.
    fn is_sound(&self) {
        let last_s = self.samples.last().expect("samples").time_s;
        for (moments, foreign) in [(&self.si, "psi"), (&self.us, "kPa")] {
            assert!(!moments.is_empty());
            let broken = moments.iter().filter(|m| m.weight == Weight::Broken);
            assert!(moments.len() <= 12 + broken.count(), "{}", self.shown());
            for moment in moments {
                let text = &moment.text;
                let length = text.chars().count();
                assert!((20..=240).contains(&length), "{length}: {text}");
                assert!(text.ends_with('.') && !text.contains(".."), "{text}");
                assert!(!text.contains("  ") && !text.contains(" ,"), "{text}");
                assert!(!text.contains("NaN") && !text.contains("inf "), "{text}");
                assert!(!text.contains("-0.") && !text.contains(foreign), "{text}");
                assert!(moment.time_s >= 0.0, "{text}");
                assert!(
                    moment.time_s <= last_s + 0.011,
                    "{} s: {text}",
                    moment.time_s
                );
                // an absolute pressure is said as one
                for (at, unit) in text.match_indices(" kPa").chain(text.match_indices(" psi")) {
                    let behind = &text[at + unit.len()..];
                    let difference = [
                        " past", " above", " below", " short", " more", " less", " at most",
                        " are", " left",
                    ];
                    assert!(
                        behind.starts_with(" abs")
                            || difference.iter().any(|d| behind.starts_with(d)),
                        "{text}"
                    );
                }
            }
            assert!(
                moments
                    .windows(2)
                    .all(|pair| pair[0].time_s <= pair[1].time_s)
            );
        }
        // the same story in both units
        let outline = |moments: &[Moment]| -> Vec<(u64, Weight)> {
            (moments.iter())
                .map(|m| (m.time_s.to_bits(), m.weight))
                .collect()
        };
        assert_eq!(outline(&self.si), outline(&self.us));
    }

    /// Everything that is said, for messages.
    pub fn shown(&self) -> String {
        let line = |m: &Moment| format!("{:8.2} {:?} {}", m.time_s, m.weight, m.text);
        let lines: Vec<String> = self.si.iter().chain(&self.us).map(line).collect();
        format!("\n{}\n", lines.join("\n"))
    }

    /// The moment that says this in SI units, with its pair in US units.
    pub fn says(&self, part: &str) -> (&Moment, &Moment) {
        let at = self.si.iter().position(|m| m.text.contains(part));
        let at = at.unwrap_or_else(|| panic!("no {part:?} in {}", self.shown()));
        (&self.si[at], &self.us[at])
    }

    /// The same at a time, with further parts.
    pub fn says_at(&self, time_s: f64, parts: &[&str]) -> &Moment {
        let (moment, _) = self.says(parts[0]);
        assert!(
            (moment.time_s - time_s).abs() < 1e-9,
            "{time_s} {}",
            self.shown()
        );
        for part in parts {
            assert!(
                moment.text.contains(part),
                "no {part:?} in {}",
                self.shown()
            );
        }
        moment
    }

    /// That a moment in US units says this.
    pub fn says_us(&self, parts: &[&str]) {
        for part in parts {
            let said = self.us.iter().any(|m| m.text.contains(part));
            assert!(said, "no {part:?} in {}", self.shown());
        }
    }

    /// That nothing says any of this, whatever the case.
    pub fn never_says(&self, parts: &[&str]) {
        let all = self.shown().to_lowercase();
        for part in parts {
            assert!(!all.contains(&part.to_lowercase()), "{part:?} in {all}");
        }
    }

    /// The first sample of which something is so.
    pub fn first(&self, so: impl Fn(&Sample) -> bool) -> &Sample {
        self.samples
            .iter()
            .find(|s| so(s))
            .expect("one such sample")
    }

    /// The sample before one.
    pub fn before(&self, sample: &Sample) -> &Sample {
        let at = (self.samples.iter()).position(|s| s.time_s == sample.time_s);
        &self.samples[at.expect("one of the samples") - 1]
    }

    /// The sample at a time.
    pub fn at(&self, time_s: f64) -> &Sample {
        self.first(|s| s.time_s >= time_s - 1e-6)
    }

    pub fn last(&self) -> &Sample {
        self.samples.last().expect("samples")
    }

    /// The highest value from one time to another.
    pub fn most(&self, from_s: f64, until_s: f64, value: impl Fn(&Sample) -> f64) -> f64 {
        (self.samples.iter())
            .filter(|s| s.time_s >= from_s - 1e-6 && s.time_s <= until_s + 1e-6)
            .map(value)
            .fold(f64::NEG_INFINITY, f64::max)
    }
}
