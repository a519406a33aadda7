//! The garments that are no shirts, in `examples/`: each well for its own body and for others; in each a slip of one line is
//! told by its code, its seam and its figures.

use crate::example_drafts;
use std::collections::BTreeMap;

use example_drafts::{example, text};
use oaktag_language::draft::Outcome;
use oaktag_language::report::Code;
use oaktag_language::voice::LengthUnit::Millimetre as MM;
use oaktag_language::voice::Words;

/// All that is told but a caution's words: code, sentence, label and notes.
pub(crate) fn told(outcome: &Outcome) -> Vec<(Code, String)> {
    let told = outcome.diagnostics.iter();
    let told = told.filter(|one| one.code != Code::Caution);
    told.map(|one| {
        let said = |words: &Words| words.in_unit(outcome.program.unit).into_owned();
        let notes: Vec<String> = one.notes.iter().map(said).collect();
        let (message, label) = (said(&one.message), said(&one.label));
        let words = format!("{message} | {label} | {}", notes.join(" "));
        (one.code, words)
    })
    .collect()
}

pub(crate) fn is_well(what: &str, outcome: &Outcome) {
    assert_eq!(told(outcome), [], "{what}");
    assert!(!outcome.pattern.seams.is_empty(), "{what} has no seam");
    for seam in &outcome.pattern.seams {
        assert!(seam.ok, "{what}: {}", seam.name);
    }
}

/// A code is told once at least, with all these words in one message.
pub(crate) fn says(what: &str, outcome: &Outcome, code: Code, words: &[&str]) {
    let all = told(outcome);
    let found = all
        .iter()
        .any(|(one, said)| *one == code && words.iter().all(|word| said.contains(word)));
    assert!(found, "{what}: {code} with {words:?} is not among {all:#?}");
}

/// An example with one place of its text changed.
fn planted(file: &str, from: &str, to: &str) -> Outcome {
    let path = format!("{}/examples/{file}.draft", env!("CARGO_MANIFEST_DIR"));
    let draft = std::fs::read_to_string(path).unwrap();
    assert_eq!(draft.matches(from).count(), 1, "{file}: {from}");
    text(&draft.replacen(from, to, 1), &[])
}

const SMALL: &[&str] = &[
    "stature=160cm",
    "bust_girth=84cm",
    "upper_chest_girth=79.4cm",
    "waist_girth=68cm",
    "hip_girth=92cm",
];
const LARGE: &[&str] = &[
    "stature=176cm",
    "bust_girth=108cm",
    "upper_chest_girth=102.2cm",
    "waist_girth=92cm",
    "hip_girth=116cm",
];

fn bodies(file: &str) -> Vec<Vec<&'static str>> {
    match file {
        "straight-skirt" => vec![
            vec!["waist_girth=64cm", "hip_girth=90cm", "long=52cm"],
            vec!["waist_girth=96cm", "hip_girth=118cm", "waist_to_hip=22cm"],
            vec!["waist_girth=120cm", "hip_girth=140cm", "lap=5cm"],
        ],
        "half-circle-skirt" => vec![
            vec!["waist_girth=58cm", "long=45cm"],
            vec!["waist_girth=80cm", "bias_drop=0cm"],
        ],
        "deck-skirt" => vec![
            vec!["gores=4", "waist_girth=62cm", "hip_girth=88cm"],
            vec!["gores=5", "behind=0", "long=48cm"],
            vec![
                "gores=8",
                "waist_girth=104cm",
                "hip_girth=118cm",
                "waist_to_hip=22cm",
            ],
        ],
        "trousers" => vec![
            vec!["waist_girth=64cm", "hip_girth=90cm", "body_rise=26cm"],
            vec![
                "waist_girth=96cm",
                "hip_girth=118cm",
                "waist_to_hip=22cm",
                "body_rise=30cm",
            ],
            vec!["pulled=9mm", "inside_leg=84cm", "hem_round=44cm"],
        ],
        "hooded-smock" => vec![
            [SMALL, &["head_over=62cm", "head_girth=54cm"]].concat(),
            [LARGE, &["head_over=74cm", "head_girth=61cm"]].concat(),
        ],
        _ => vec![SMALL.to_vec(), LARGE.to_vec()],
    }
}

const GARMENTS: [&str; 9] = [
    "deck-skirt",
    "straight-skirt",
    "half-circle-skirt",
    "trousers",
    "raglan-shirt",
    "princess-bodice",
    "puff-sleeve",
    "hooded-smock",
    "two-piece-sleeve",
];

#[test]
fn each_garment_is_well_for_its_own_body_and_for_others() {
    for file in GARMENTS {
        let path = format!("{file}.draft");
        let own = example(&path, &[]);
        is_well(file, &own);
        let decided = |outcome: &Outcome| -> BTreeMap<String, String> {
            let seams = outcome.pattern.seams.iter();
            seams
                .map(|seam| (seam.name.clone(), seam.decided.word().to_owned()))
                .collect()
        };
        let decided_own = decided(&own);
        for set in bodies(file) {
            let set: Vec<String> = set.into_iter().map(str::to_owned).collect();
            let other = example(&path, &set);
            is_well(&format!("{file} {set:?}"), &other);
            // What decides which ends meet belongs to the draft, not to one body.
            let others = decided(&other);
            assert!(!others.is_empty());
            for (seam, word) in others {
                // A chosen number of gores may add or leave out some.
                if let Some(own) = decided_own.get(&seam) {
                    assert_eq!(*own, word, "{file} {set:?} {seam}");
                }
            }
        }
    }
}

/// A hood is never drawn with a cord, and says why.
#[test]
fn the_hood_has_no_cord() {
    let smock = example("hooded-smock.draft", &[]);
    let cautions = smock.diagnostics.iter();
    let mut cautions = cautions.filter(|one| one.code == Code::Caution);
    let caution = cautions.next().unwrap();
    assert!(
        caution.message.in_unit(MM).contains("No cord"),
        "{}",
        caution.message.in_unit(MM)
    );
    assert!(caution.message.in_unit(MM).contains("Local rules decide"));
    for mark in smock.pattern.pieces.iter().flat_map(|piece| &piece.marks) {
        assert!(!mark.text.contains("cord") && !mark.text.contains("eyelet"));
    }
}

/// What the seams come to for the drafts' own bodies, worked out by hand from their choices.
#[test]
fn seams_come_to_what_the_choices_say() {
    let near = |found: f64, wanted: f64| {
        assert!((found - wanted).abs() < 0.1, "{found} against {wanted}");
    };
    let skirt = example("straight-skirt.draft", &[]);
    near(skirt.pattern.seam("waist").unwrap().first.length, 365.0);
    let zip = &skirt.pattern.seam("centre_back").unwrap().openings;
    near(zip[0].to.0 - zip[0].from.0, 200.0);
    near(zip[1].from.0, 450.0);
    let circle = example("half-circle-skirt.draft", &[]);
    near(circle.pattern.seam("waist").unwrap().second.length, 365.0);
    let trousers = example("trousers.draft", &[]);
    // Measured, 0.68 of 98 cm.
    near(trousers.pattern.seam("crotch").unwrap().first.length, 666.4);
    near(trousers.pattern.seam("inseam").unwrap().ease(), 5.0);
    let puff = example("puff-sleeve.draft", &[]);
    let gathered = &puff.pattern.seam("armhole").unwrap().sections;
    assert_eq!(gathered.len(), 4);
    for at in [1, 2] {
        let (long, short) = gathered[at].between.lengths();
        assert!((long / short - 1.5).abs() < 0.005, "{long} over {short}");
    }
}

/// Each gore of the deck skirt is cut from a ring struck about one point. With the radii `r` and `r + L` and the angle `t` its
/// waist is `r t`, its hem `(r + L) t` and its area `t/2 ((r + L)² - r²)` (closed form); all waists together are the waist, and all
/// hems what the skirt widens by besides. Worked out here from the choices alone.
#[test]
fn the_gores_of_the_deck_skirt_are_parts_of_rings() {
    let near = |found: f64, wanted: f64, what: &str| {
        assert!(
            (found - wanted).abs() < 0.01,
            "{what}: {found} against {wanted}"
        );
    };
    let (waist, hip, long, to_hip, ease, flare, behind) =
        (720.0, 980.0, 620.0, 205.0, 60.0, 300.0, 0.15);
    let widens = (hip + ease - waist) * long / to_hip + flare;
    for gores in 4..=8_u32 {
        let skirt = example("deck-skirt.draft", &[format!("gores={gores}")]);
        let pieces = &skirt.pattern.pieces;
        // Beside the gores the band and its interlining.
        assert_eq!(pieces.len() as u32, gores + 2);
        let mut hems = 0.0;
        for n in 1..=gores {
            let piece = skirt.pattern.piece(&format!("gore_{n}")).unwrap();
            assert_eq!(piece.label, format!("Gore {n}"));
            let round = (f64::from(n) - 0.5) * std::f64::consts::TAU / f64::from(gores);
            let share = (1.0 + behind * round.cos()) / f64::from(gores);
            let (top, foot) = (share * waist, share * (waist + widens));
            let turned = (foot - top) / long;
            let radius = top / turned;
            let length = |name: &str| {
                let edge = piece.edges.iter().find(|edge| edge.name == name).unwrap();
                edge.path.length().unwrap()
            };
            let what = format!("gore {n} of {gores}");
            near(length("waist"), radius * turned, &what);
            near(length("hem"), (radius + long) * turned, &what);
            near(length("side_behind"), long, &what);
            near(length("side_before"), long, &what);
            hems += length("hem");
        }
        near(hems, waist + widens, "the hem");
        // Every gore is sewn to the next, the last to the first, and all to the band.
        assert_eq!(skirt.pattern.seams.len() as u32, gores + 1);
        let closing = skirt.pattern.seam(&format!("centre_back_{gores}")).unwrap();
        near(
            closing.openings[0].to.0 - closing.openings[0].from.0,
            200.0,
            "zip",
        );
        let waist_seam = skirt.pattern.seam("waist").unwrap();
        near(waist_seam.first.length, waist, "band");
        near(waist_seam.second.length, waist, "gores");
    }
    let halves = example("deck-skirt.draft", &["gores=5.5".to_owned()]);
    says(
        "five gores and a half",
        &halves,
        Code::Required,
        &["whole numbers"],
    );
}

#[test]
fn one_slip_in_each_garment_is_told_with_its_seam_and_figures() {
    let slips: [(&str, &str, &str, Code, &[&str]); 16] = [
        // A gore drawn too short on one side is told of every seam beside it.
        (
            "deck-skirt",
            "line side_before = from end of hem to front_waist",
            "line side_before = from (end of hem) to (3mm from front_waist toward (end of hem))",
            Code::OutlineOpen,
            &["gore 1"],
        ),
        (
            "deck-skirt",
            "line edge = from edge_start toward right for waist_so_far",
            "line edge = from edge_start toward right for waist_so_far + 2mm",
            Code::SeamDiffers,
            &["Seam waist", "band edge", "72.2 cm", "0.2 cm longer"],
        ),
        // What the last gore is sewn to is said by nobody: the row stays open at the back.
        (
            "deck-skirt",
            "if n = gores {",
            "if n > gores {",
            Code::EdgeNotWalked,
            &["gore 1", "side behind"],
        ),
        (
            "straight-skirt",
            "dart dart_out_1 to dart_in_1 at apex_1 ",
            "dart dart_out_1 to dart_in_1 at (apex_1 right 15mm) ",
            Code::DartDiffers,
            &[
                "Piece back",
                "legs of a dart are 12.94 cm and 13.15 cm",
                "0.22 cm longer",
            ],
        ),
        (
            "straight-skirt",
            "notch single at back.side_hip, front.side_hip",
            "notch single at back.side_hip, (front.side_hip down 3mm)",
            Code::SeamDiffers,
            &[
                "Seam side",
                "40.5 cm on back side against 40.2 cm on front side",
            ],
        ),
        (
            "half-circle-skirt",
            "line edge = from cb toward right for half_waist",
            "line edge = from cb toward right for half_waist + 2mm",
            Code::SeamDiffers,
            &[
                "Seam waist",
                "band edge is 36.7 cm, skirt waist is 36.5 cm",
                "0.2 cm longer",
            ],
        ),
        (
            "trousers",
            "stretch pulled on back.inseam",
            "ease pulled on back.inseam",
            Code::SeamDiffers,
            &[
                "Seam inseam",
                "0.5 cm longer than back inseam",
                "back inseam longer by 0.5 cm",
            ],
        ),
        // Drawn the same way round and walked from opposite ends, which a total cannot tell.
        (
            "trousers",
            "seam inseam joins front.inseam to back.inseam {",
            "seam inseam joins front.inseam to back.inseam from front.hem_in, back.fork {",
            Code::SeamDiffers,
            &[
                "Seam inseam",
                "35.23 cm on front inseam against 41.01 cm on back inseam",
            ],
        ),
        (
            "raglan-shirt",
            "sleeve_back.cap_break, back.raglan_break",
            "sleeve_back.cap_break, (back_break - 3mm along back.armhole from back.underarm)",
            Code::SeamDiffers,
            &[
                "Seam raglan back",
                "10 cm on sleeve back raglan against 9.7 cm on back raglan",
            ],
        ),
        (
            "princess-bodice",
            "on front.panel_side between front.below_side and front.above_side",
            "on front.panel_centre between front.below_centre and front.above_centre",
            Code::SeamDiffers,
            &[
                "Seam front panel",
                "63.4 cm",
                "62.9 cm",
                "front panel centre longer by 0.5 cm",
            ],
        ),
        (
            "princess-bodice",
            "between front.below_side and front.above_side",
            "between front.waist_out and front.below_side",
            Code::SeamDiffers,
            &[
                "Seam front panel",
                "12.26 cm on front panel side",
                "longer by 0.5 cm",
            ],
        ),
        (
            "puff-sleeve",
            "(9cm along shirt.front.armhole",
            "(93mm along shirt.front.armhole",
            Code::SeamDiffers,
            &[
                "Seam armhole",
                "9 cm on the first side against 9.3 cm on the second side",
            ],
        ),
        (
            "puff-sleeve",
            "gather ratio on sleeve.gathered",
            "gather ratio on sleeve.head_back",
            Code::SeamDiffers,
            &["Seam armhole", "13.75 cm longer", "longer by 3.33 cm"],
        ),
        (
            "hooded-smock",
            "= smock.half_neckline\n",
            "= smock.half_neckline + 2mm\n",
            Code::SeamDiffers,
            &[
                "Seam neck",
                "hood neck edge is 21.83 cm",
                "together 21.63 cm",
            ],
        ),
        (
            "two-piece-sleeve",
            "ease cap_ease on top.cap_top_back, top.cap_top_front",
            "ease cap_ease on top.cap_top_front",
            Code::SeamDiffers,
            &["Seam armhole", "on the first side against"],
        ),
        (
            "two-piece-sleeve",
            "joins top.forearm_top to under.forearm_under {",
            "joins top.forearm_top to under.forearm_under from sleeve.fore_cap, sleeve.fore_under_wrist {",
            Code::SeamDiffers,
            &[
                "Seam forearm",
                "25.15 cm on sleeve forearm top against 22.42 cm on sleeve forearm under",
            ],
        ),
    ];
    for (file, from, to, code, words) in slips {
        let outcome = planted(file, from, to);
        says(&format!("{file}: {to}"), &outcome, code, words);
    }
}
