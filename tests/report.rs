//! Text and pictures of results, on made-up samples.
#[path = "report/made_up.rs"]
mod made_up;
use ringfence::report::*;

fn options(format: PictureFormat) -> PictureOptions {
    PictureOptions {
        format,
        ..PictureOptions::default()
    }
}

/// Every picture of both runs and the ceiling, by file name.
fn pictures(options: &PictureOptions) -> Vec<(String, Vec<u8>)> {
    let (wild, calm) = (made_up::runaway(), made_up::calm());
    let (bad, good) = (made_up::result(&wild), made_up::result(&calm));
    let map = made_up::map();
    let named = |name: &str, bytes: Result<Vec<u8>, PictureError>| {
        (
            format!("{name}.{}", options.format.extension()),
            bytes.expect(name),
        )
    };
    vec![
        named("lid", lid(&wild, &bad, options)),
        named("lid-calm", lid(&calm, &good, options)),
        named(
            "lid-both",
            lid_many(
                &[
                    ("340 kPa commanded", &wild, &bad),
                    ("300 kPa commanded", &calm, &good),
                ],
                options,
            ),
        ),
        named("strips", time_strips(&wild, &bad, options)),
        named("strips-calm", time_strips(&calm, &good, options)),
        named("map", map_path(&wild, &map, &bad, options)),
        named("ceiling", ceiling_chart(&made_up::ceiling(), options)),
        named("headroom", headroom_ladder(&bad, options)),
        named("headroom-calm", headroom_ladder(&good, options)),
    ]
}

/// Draws everything for the eye: `cargo test --test report -- --ignored`.
#[test]
#[ignore = "draws pictures to look at"]
fn draw_for_the_eye() {
    let dir = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("pictures");
    let mut files = pictures(&options(PictureFormat::Png));
    files.extend(pictures(&options(PictureFormat::Svg)));
    let wild = made_up::runaway();
    let bad = made_up::result(&wild);
    for width in [80, 60] {
        files.push((
            format!("run-{width}.txt"),
            run_text(&bad, Units::Si, width, false).into_bytes(),
        ));
        let text = ceiling_text(&made_up::ceiling(), Units::Si, width, false);
        files.push((format!("ceiling-{width}.txt"), text.into_bytes()));
    }
    ReportFolder::write(&dir, &files).expect("the folder can be written");
}
