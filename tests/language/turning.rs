//! Curves that turn back on themselves are told where they are drawn, with lengths that mend them; no draft of ours has one.

use crate::drawing::Run;
use oaktag_language::report::Code;
use proptest::prelude::*;
use std::path::Path;

fn turns(run: &Run) -> usize {
    let told = run.told();
    told.iter()
        .filter(|one| one.code == Code::CurveTurnsBack)
        .count()
}

/// A curve from one point to another level with it, leaving upward by an angle and arriving downward by the same; it keeps either
/// way for so many millimetres.
fn arch(chord: f64, angle: f64, (out, into): (f64, f64)) -> String {
    let way = |sign: &str| {
        format!(
            "(direction from origin to (origin right {:.6}mm {sign} {:.6}mm))",
            angle.cos() * 1e3,
            angle.sin() * 1e3
        )
    };
    format!(
        "unit mm\npanel back {{\n  point a = origin\n  point b = origin right {chord:.3}mm\n  curve neck = from a to b leaving {} for {out:.3}mm arriving {} for {into:.3}mm\n}}\n",
        way("up"),
        way("down")
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(80))]

    /// Such a curve, its two ways kept alike, loops just where either is kept past the other end
    /// (`tests/geometry/turning.rs`). Each of the lengths that the message offers, put in place, undoes it.
    #[test]
    fn each_length_that_is_offered_undoes_the_loop(
        chord in 40.0..300.0_f64,
        degrees in 15.0..60.0_f64,
        share in prop_oneof![0.4..0.85_f64, 1.001..1.8_f64],
    ) {
        let angle = degrees.to_radians();
        let kept = share * chord / angle.cos();
        let text = arch(chord, angle, (kept, kept));
        let run = Run::of(&text);
        prop_assert_eq!(turns(&run), usize::from(share > 1.0), "{}", text);
        let (project, outcome) = run.drawn();
        let told = outcome.diagnostics.iter().filter(|one| one.code == Code::CurveTurnsBack);
        for message in told {
            prop_assert!(!message.offers.is_empty() || share > 1.2, "{}", text);
            for offer in &message.offers {
                let mut mended = text.clone();
                mended.replace_range(project.sources.bytes(offer.place), &offer.text);
                prop_assert_eq!(turns(&Run::of(&mended)), 0, "{}", mended);
            }
        }
    }
}

#[test]
fn no_example_and_no_act_of_the_library_turns_back() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut looked_at = 0;
    for (name, text) in oaktag_language::library::EXAMPLES {
        assert_eq!(turns(&Run::of(text)), 0, "{name}");
        looked_at += 1;
    }
    for folder in ["examples", "examples/method"] {
        for entry in std::fs::read_dir(root.join(folder)).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_some_and(|ending| ending == "draft") {
                let text = std::fs::read_to_string(&path).unwrap();
                assert_eq!(
                    turns(&Run::of(&text).within(root.join(folder))),
                    0,
                    "{path:?}"
                );
                looked_at += 1;
            }
        }
    }
    assert!(looked_at > 80, "{looked_at}");
}
