//! Pictures carry their words, nest, and repeat byte by byte.
use crate::made_up;
use ringfence::report::*;

fn options(format: PictureFormat, units: Units) -> PictureOptions {
    PictureOptions {
        format,
        units,
        ..PictureOptions::default()
    }
}

/// Every picture of both runs and of the ceilings, by file name.
fn pictures(options: &PictureOptions) -> Vec<(String, Vec<u8>)> {
    let (wild, calm) = (made_up::runaway(), made_up::calm());
    let (bad, good) = (made_up::result(&wild), made_up::result(&calm));
    let map = made_up::map();
    let both = [
        ("340 kPa commanded", &wild[..], &bad),
        ("300 kPa commanded", &calm[..], &good),
    ];
    let named = |name: &str, bytes: Result<Vec<u8>, PictureError>| {
        (
            format!("{name}.{}", options.format.extension()),
            bytes.expect(name),
        )
    };
    vec![
        named("lid", lid(&wild, &bad, options)),
        named("lid-calm", lid(&calm, &good, options)),
        named("lid-both", lid_many(&both, options)),
        named("strips", time_strips(&wild, &bad, options)),
        named("strips-calm", time_strips(&calm, &good, options)),
        named("map", map_path(&wild, &map, &bad, options)),
        named("ceiling", ceiling_chart(&made_up::ceiling(), options)),
        named(
            "ceiling-one",
            ceiling_chart(&made_up::one_altitude(), options),
        ),
        named(
            "ceiling-five",
            ceiling_chart(&made_up::five_altitudes(), options),
        ),
        named("headroom", headroom_ladder(&bad, options)),
        named("headroom-calm", headroom_ladder(&good, options)),
    ]
}

/// Draws everything for the eye: `cargo test --test report -- --ignored`.
#[test]
#[ignore = "draws pictures to look at"]
fn draw_for_the_eye() {
    let dir = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("pictures");
    let mut files = pictures(&options(PictureFormat::Png, Units::Si));
    files.extend(pictures(&options(PictureFormat::Svg, Units::Si)));
    for (name, bytes) in pictures(&options(PictureFormat::Png, Units::Us)) {
        files.push((format!("us-{name}"), bytes));
    }
    let wild = made_up::runaway();
    let bad = made_up::result(&wild);
    for (width, units) in [(80, Units::Si), (60, Units::Si), (80, Units::Us)] {
        let ending = format!("{width}-{units:?}.txt");
        let moments = made_up::moments(&wild, units);
        let text = run_text(&bad, &moments, units, width, false);
        files.push((format!("run-{ending}"), text.into_bytes()));
        let text = ceiling_text(&made_up::ceiling(), units, width, false);
        files.push((format!("ceiling-{ending}"), text.into_bytes()));
    }
    ReportFolder::write(&dir, &files).expect("the folder can be written");
}

/// All texts between tags, in order. Refuses tags that do not nest.
pub fn texts_of(svg: &str) -> Vec<String> {
    let mut open: Vec<&str> = Vec::new();
    let mut texts = Vec::new();
    let mut rest = svg;
    while let Some(start) = rest.find('<') {
        let text = rest[..start].trim();
        assert!(!text.contains('>'), "stray > before {text}");
        if !text.is_empty() {
            texts.push(text.to_owned());
        }
        let end = rest[start..].find('>').expect("an open tag") + start;
        let tag = &rest[start + 1..end];
        assert_eq!(tag.matches('"').count() % 2, 0, "quotes of <{tag}>");
        let name = tag
            .split([' ', '/'])
            .find(|part| !part.is_empty())
            .unwrap_or_default();
        if tag.starts_with('/') {
            assert_eq!(open.pop(), Some(name), "closing tag of another element");
        } else if !tag.ends_with('/') {
            open.push(name);
        }
        rest = &rest[end + 1..];
    }
    assert!(open.is_empty(), "never closed: {open:?}");
    texts
}

fn svg(name: &str, units: Units) -> Vec<String> {
    let files = pictures(&options(PictureFormat::Svg, units));
    let (_, bytes) = files
        .into_iter()
        .find(|(file, _)| file == &format!("{name}.svg"))
        .expect(name);
    texts_of(std::str::from_utf8(&bytes).expect("UTF-8"))
}

#[track_caller]
pub fn says(texts: &[String], wanted: &[&str]) {
    for part in wanted {
        assert!(
            texts.iter().any(|text| text.contains(part)),
            "{part:?} is missing from {texts:?}"
        );
    }
}

#[test]
fn every_svg_nests_and_carries_title_flag_and_caution() {
    for (name, bytes) in pictures(&options(PictureFormat::Svg, Units::Si)) {
        let text = std::str::from_utf8(&bytes).expect("UTF-8");
        assert!(text.starts_with("<svg width=\"1000\""), "{name}");
        let texts = texts_of(text);
        says(
            &texts,
            &[
                "Mountain-rescue tender",
                "invented data",
                "Estimate, not a measurement",
            ],
        );
        assert!(!text.contains("NaN") && !text.contains("inf,"), "{name}");
    }
}

#[test]
fn the_lid_names_limit_ceiling_pin_and_both_scales() {
    let texts = svg("lid", Units::Si);
    says(
        &texts,
        &[
            "true boost, kPa abs",
            "kPa gauge",
            "shaft speed, krpm",
            "shaft-speed limit 146.0 krpm",
            "readable ceiling 332 kPa abs",
            "reading pins at 332 kPa abs",
            "unreadable",
            "1 s",
            "end 8.0 s",
        ],
    );
    // 332 kPa over 6.894757 kPa/psi (NIST SP 811) is 48.15 psi.
    says(
        &svg("lid", Units::Us),
        &["true boost, psi abs", "readable ceiling 48.2 psi abs"],
    );
    let calm = svg("lid-calm", Units::Si);
    assert!(!calm.iter().any(|text| text.contains("pins")));
    assert!(!calm.iter().any(|text| text.contains("over the limit")));
}

#[test]
fn a_stricter_tip_speed_limit_is_drawn_at_its_shaft_speed() {
    let samples = made_up::runaway();
    let mut result = made_up::result(&samples);
    // The made-up wheel runs 3.4558e-3 m/s per rpm: 480 m/s is 138.9 krpm.
    for limit in result.limits.iter_mut().filter(|l| l.name == "tip_speed") {
        limit.limit = 480.0;
    }
    let bytes = lid(&samples, &result, &PictureOptions::default()).expect("a lid");
    let texts = texts_of(std::str::from_utf8(&bytes).expect("UTF-8"));
    says(&texts, &["tip-speed limit, met at 138.9 krpm"]);
    let looser = svg("lid", Units::Si);
    assert!(!looser.iter().any(|text| text.contains("tip-speed")));
}

#[test]
fn strips_map_ceiling_and_ladder_carry_their_words() {
    says(
        &svg("strips", Units::Si),
        &[
            "boost, kPa abs",
            "drive, kPa abs",
            "vanes, % closed",
            "shaft, krpm",
            "engine, rpm",
            "time, s",
            "readable 332 kPa",
            "limit 520",
            "over-boost fuel cut",
            "blind",
            "acting",
            "reading pinned, 2.5 to 8.0 s",
        ],
    );
    says(&svg("strips-calm", Units::Si), &["no protection acted"]);
    says(
        &svg("map", Units::Us),
        &[
            "corrected compressor flow, lb/min",
            "pressure ratio",
            "surge line",
            "78 %",
            "145 krpm",
            "path outside the measured map",
        ],
    );
    says(
        &svg("ceiling", Units::Si),
        &[
            "engine speed, rpm",
            "boost command, kPa abs",
            "400 m",
            "2600 m",
            "S, fuel ×0.93",
            "no window",
            "pinned reading",
        ],
    );
    let ladder = svg("headroom", Units::Si);
    says(
        &ladder,
        &["−12.9 krpm", "+32 K", "158.9 / 146.0 krpm", "headroom, %"],
    );
}

#[test]
fn a_second_drawing_has_the_same_bytes() {
    for format in [PictureFormat::Svg, PictureFormat::Png] {
        let options = options(format, Units::Si);
        assert!(pictures(&options) == pictures(&options), "{format:?}");
    }
}

#[test]
fn a_png_has_twice_the_size() {
    // PNG (ISO/IEC 15948, from memory): eight bytes of signature, then IHDR
    // with width and height as big-endian words at bytes 16 and 20.
    let wild = made_up::runaway();
    let bytes = lid(
        &wild,
        &made_up::result(&wild),
        &options(PictureFormat::Png, Units::Si),
    )
    .expect("a lid");
    assert_eq!(&bytes[..8], b"\x89PNG\r\n\x1a\n");
    let word =
        |at: usize| u32::from_be_bytes([bytes[at], bytes[at + 1], bytes[at + 2], bytes[at + 3]]);
    assert_eq!((word(16), word(20)), (2000, 1400));
}

#[test]
fn odd_runs_are_drawn_and_empty_ones_refused() {
    let options = PictureOptions::default();
    let map = made_up::map();
    let one = &made_up::runaway()[400..401];
    let flat = vec![one[0]; 50];
    let mut broken = made_up::calm();
    for sample in broken.iter_mut().skip(300) {
        sample.lambda = f64::INFINITY;
        sample.compressor_corrected_flow_kg_s = f64::NAN;
        sample.boost_command_kpa_abs = None;
    }
    for samples in [one, &flat, &broken] {
        let mut result = made_up::result(samples);
        result.sensor.readable_ceiling_kpa_abs = None;
        result.limits.retain(|limit| limit.name == "lambda");
        for bytes in [
            lid(samples, &result, &options),
            time_strips(samples, &result, &options),
            map_path(samples, &map, &result, &options),
        ] {
            let bytes = bytes.expect("a picture");
            let text = std::str::from_utf8(&bytes).expect("UTF-8");
            texts_of(text);
            assert!(!text.contains("NaN"));
        }
    }
    let result = made_up::result(&made_up::calm());
    for empty in [
        lid(&[], &result, &options),
        time_strips(&[], &result, &options),
        map_path(&[], &map, &result, &options),
        lid_many(&[], &options),
    ] {
        assert!(matches!(empty, Err(PictureError::Empty { .. })));
    }
    let tiny = PictureOptions {
        size_px: Some((10, 700)),
        ..options
    };
    let error = lid(&made_up::calm(), &result, &tiny).expect_err("too small");
    assert!(error.to_string().contains("10 × 700"));
}
