//! The garments that are no shirts, in `examples/`: each well for its own body and for others; in each a slip of one line is
//! told by its code, its seam and its figures; and small drafts that a walk by totals would let pass.

use crate::example_drafts;
use std::collections::BTreeMap;

use example_drafts::{as_json, example, text};
use oaktag_language::draft::Outcome;
use oaktag_language::report::Code;
use oaktag_language::voice::LengthUnit::Millimetre as MM;
use oaktag_language::voice::Words;
use serde_json::Value as Json;

/// All that is told but a caution's words: code, sentence, label and notes.
fn told(outcome: &Outcome) -> Vec<(Code, String)> {
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

fn is_well(what: &str, outcome: &Outcome) {
    assert_eq!(told(outcome), [], "{what}");
    assert!(!outcome.pattern.seams.is_empty(), "{what} has no seam");
    for seam in &outcome.pattern.seams {
        assert!(seam.ok, "{what}: {}", seam.name);
    }
}

/// A code is told once at least, with all these words in one message.
fn says(what: &str, outcome: &Outcome, code: Code, words: &[&str]) {
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
            "line side_before = from (end of hem) to front_waist",
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

/// Two pieces with a side of 50 cm each, the second `longer`, their seam as written.
fn sides(longer: &str, seam: &str) -> Outcome {
    let piece = |name: &str, way: &str, length: &str, from: &str| {
        format!(
            "panel {name} {{
  point top_end = origin right {from}
  line side = from top_end toward down for {length}
  line hem = from end of side toward {way} for 20cm
  line slant = from end of hem to top_end
}}
piece {name} {{
  outline side, hem, slant
  cut 2
  grain along side
  allow 1cm
  finish hem \"hemmed\"
  finish slant \"bound\"
}}
"
        )
    };
    let front = piece("front", "left", "50cm", "0cm");
    let back = piece("back", "right", longer, "10cm");
    text(
        &format!("draft \"Sides\"\nunit cm\n{front}{back}seam side {seam}\n"),
        &[],
    )
}

#[test]
fn an_eased_seam_is_judged_between_its_notches() {
    let astray = sides(
        "50.5cm",
        "joins back.side to front.side {
  corner at front.top_end \"a tip\"
  ease 5mm on back.side
  notch single at (10cm along back.side from back.top_end), (40cm along front.side from front.top_end)
}",
    );
    says(
        "a pair 30 cm astray",
        &astray,
        Code::SeamDiffers,
        &[
            "Seam side",
            "40.5 cm on back side against 10 cm on front side",
            "0 cm to 0.5 cm",
        ],
    );
    let well = sides(
        "50.5cm",
        "joins back.side to front.side {
  corner at front.top_end \"a tip\"
  ease 5mm on back.side
  notch single at (10cm along back.side from back.top_end), (10cm along front.side from front.top_end)
}",
    );
    is_well("a true pair", &well);
}

#[test]
fn ease_lies_where_it_is_said() {
    let eased = |on: &str| {
        sides(
            "52cm",
            &format!(
                "joins back.side to front.side {{
  corner at front.top_end \"a tip\"
  (22cm along back.side from back.top_end) meets (20cm along front.side from front.top_end)
  ease 2cm on back.side between {on}
}}"
            ),
        )
    };
    is_well("above", &eased("back.top_end and 22cm from back.top_end"));
    says(
        "below",
        &eased("22cm from back.top_end and 52cm from back.top_end"),
        Code::SeamDiffers,
        &[
            "Seam side",
            "30 cm on back side against 30 cm on front side",
            "longer by 2 cm",
        ],
    );
}

/// Half a collar in two layers: the under one's point so far from its centre and its front so deep, both points said to meet.
fn collar(point: &str, deep: &str, meets: &str) -> Outcome {
    let layer = |name: &str, point: &str, deep: &str| {
        format!(
            "panel {name} {{
  point centre_edge = origin
  line fall = from centre_edge toward right for {point}
  line front = from end of fall toward down for {deep}
  line neck = from end of front toward left for {point}
  line centre = from end of neck to centre_edge
}}
piece {name} {{
  outline fall, front, neck, centre
  cut 1 on fold at centre
  grain along centre
  allow 1cm
  finish neck \"to the stand\"
}}
"
        )
    };
    let (upper, under) = (layer("upper", "20cm", "7cm"), layer("under", point, deep));
    let draft = format!(
        "draft \"Collar points\"
unit cm
{upper}{under}seam outer joins upper.fall, upper.front to under.fall, under.front from upper.centre_edge, under.centre_edge {{
  ease 4mm on upper.fall, upper.front
  {meets}
}}
"
    );
    text(&draft, &[])
}

#[test]
fn collar_points_apart_are_told_within_the_ease_of_the_whole() {
    let pair = "(end of upper.fall) meets (end of under.fall)";
    is_well("points true", &collar("197mm", "69mm", pair));
    says(
        "points 10 mm apart",
        &collar("190mm", "76mm", pair),
        Code::SeamDiffers,
        &[
            "Seam outer",
            "7 cm on the first side against 7.6 cm on the second side",
        ],
    );
    says(
        "points not named",
        &collar("190mm", "76mm", ""),
        Code::CornerUnpaired,
        &["Seam outer", "upper fall turns by 90° into upper front"],
    );
}

/// Two halves that are cut once each, drawn the same way round or as mirror images.
fn halves(second: &str) -> Outcome {
    let piece = |name: &str| {
        format!(
            "piece {name} {{
  outline hem, out, top, middle
  cut 1
  grain along out
  allow 1cm
  finish hem \"hemmed\"
  finish top \"bound\"
  finish middle \"faced\"
}}
"
        )
    };
    let draft = format!(
        "draft \"Once each\"
unit cm
panel one {{
  line hem = from origin toward right for 20cm
  line out = from end of hem toward up for 50cm
  line top = from end of out toward left for 20cm
  line middle = from end of top to origin
}}
panel other = {second}
{}{}seam back joins one.out to other.out
",
        piece("one"),
        piece("other")
    );
    text(&draft, &[])
}

#[test]
fn two_pieces_cut_once_each_must_both_lie_right_side_up() {
    is_well("mirror images", &halves("mirror one over one.out"));
    says(
        "the same way round",
        &halves("slide one by 40cm toward right"),
        Code::WrongSideUp,
        &[
            "Seam back",
            "one and other cannot both be sewn right side out",
        ],
    );
}

/// A leg drawn beside its fellow the same way round: nothing decides, and both readings are told.
#[test]
fn a_seam_that_nothing_decides_is_asked() {
    let draft = |from: &str| {
        format!(
            "draft \"Which end\"
unit cm
panel one {{
  point hem_in = origin
  line hem = from hem_in toward right for 20cm
  line out = from end of hem toward up for 50cm
  line top = from end of out toward left for 20cm
  line inseam = from end of top to hem_in
}}
panel other = slide one by 40cm toward right
piece one {{
  outline hem, out, top, inseam
  cut 2
  grain along out
  allow 1cm
  finish hem, out, top
}}
piece other {{
  outline hem, out, top, inseam
  cut 2
  grain along out
  allow 1cm
  finish hem, out, top
}}
seam inseam joins one.inseam to other.inseam {from} {{ notch single at 10cm from one.hem_in }}
"
        )
    };
    says(
        "one start",
        &text(&draft("from one.hem_in"), &[]),
        Code::SeamUnsure,
        &[
            "Seam inseam",
            "nothing says which ends meet",
            "40 cm to 40 cm",
        ],
    );
    let both = text(&draft("from one.hem_in, other.hem_in"), &[]);
    is_well("both starts", &both);
    let json = as_json(&both);
    // 10 cm from the hem on either piece, which lie 40 cm beside each other.
    let place = |at: usize| notch(&json["pieces"][at]);
    assert_eq!(
        (place(0)["y"].as_f64(), place(1)["y"].as_f64()),
        (Some(100.0), Some(100.0))
    );
}

fn notch(piece: &Json) -> &Json {
    &piece["notches"][0]["marks"][0]
}

fn allowance(piece: &Json, edge: &str) -> f64 {
    let edges = piece["edges"].as_array().unwrap();
    let edge = edges.iter().find(|one| one["line"] == edge).unwrap();
    edge["allowance_mm"].as_f64().unwrap()
}

/// A full name is that edge and no other; a bare one that two edges bear is asked.
#[test]
fn an_allowance_is_of_the_edge_that_is_named() {
    let draft = |allow: &str, finish: &str| {
        format!(
            "draft \"Two of one name\"
unit cm
panel upper {{ line cap = from origin toward right for 10cm }}
panel lower {{ line cap = from (origin right 10cm down 20cm) toward left for 10cm }}
panel body {{
  line front = from (end of upper.cap) to (start of lower.cap)
  line back = from (end of lower.cap) to (start of upper.cap)
}}
piece body {{
  outline upper.cap, front, lower.cap, back
  cut 2
  grain along front
  allow 1cm
  allow 3cm on {allow}
  finish {finish}, front, back \"raw\"
}}
"
        )
    };
    let one = text(&draft("upper.cap", "upper.cap, lower.cap"), &[]);
    assert_eq!(told(&one), []);
    let piece = &as_json(&one)["pieces"][0];
    assert_eq!(allowance(piece, "upper.cap"), 30.0);
    assert_eq!(allowance(piece, "lower.cap"), 10.0);
    let bare = text(&draft("cap", "upper.cap, lower.cap"), &[]);
    says(
        "a bare name",
        &bare,
        Code::EdgeShared,
        &["Several edges", "`cap`"],
    );
    let half = text(&draft("upper.cap", "upper.cap"), &[]);
    says(
        "one finished",
        &half,
        Code::EdgeNotWalked,
        &["Piece body", "nothing accounts for cap"],
    );
}

/// The centre notch of a yoke on the fold is on both pieces, on the edges that are sewn.
#[test]
fn a_notch_at_the_corner_of_a_fold_stands_on_both_pieces() {
    let outcome = text(
        "draft \"Notch on the fold\"
unit cm
panel yoke {
  line centre = from origin toward down for 10cm
  line lower = from end of centre toward right for 18cm
  line armhole = from end of lower toward up for 10cm
  line upper = from end of armhole to origin
}
panel back {
  line top = from (origin down 10cm) toward right for 18cm
  line side = from end of top toward down for 40cm
  line hem = from end of side toward left for 18cm
  line centre = from end of hem to start of top
}
piece yoke {
  outline centre, lower, armhole, upper
  cut 2 on fold at centre
  grain along centre
  allow 1cm
  finish armhole, upper \"raw\"
}
piece back {
  outline top, side, hem, centre
  cut 1 on fold at centre
  grain along centre
  allow 1cm
  finish side, hem \"raw\"
}
seam yoke joins back.top to yoke.lower from start of back.top, start of yoke.lower { notch single at start of back.top }
",
        &[],
    );
    is_well("the yoke", &outcome);
    let json = as_json(&outcome);
    for (at, edge, out) in [(0, "lower", -110.0), (1, "top", -90.0)] {
        let piece = &json["pieces"][at];
        assert_eq!(piece["notches"].as_array().unwrap().len(), 1, "{piece}");
        assert_eq!(piece["notches"][0]["edge"], edge);
        assert_eq!(notch(piece)["x"].as_f64(), Some(0.0));
        assert_eq!(notch(piece)["cut_y"].as_f64(), Some(out));
    }
}

/// A fold that ends 5 mm short of the neck is carried on to it and notched there too.
#[test]
fn a_fold_that_stops_just_short_is_notched_at_both_ends() {
    let outcome = |short: &str| {
        text(
            &format!(
                "draft \"Fold that stops short\"
unit cm
panel front {{
  line neck = from origin toward right for 13cm
  line edge = from end of neck toward down for 30cm
  line hem = from end of edge toward left for 13cm
  line side = from end of hem to origin
  line fold_line = from (origin right 11cm down {short}) toward down until hem
}}
piece front {{
  outline neck, edge, hem, side
  cut 2
  grain along edge
  fold fold_line
  allow 1cm
  finish neck, edge, hem, side \"raw\"
}}
"
            ),
            &[],
        )
    };
    let edges = |outcome: &Outcome| -> Vec<String> {
        let notches = as_json(outcome)["pieces"][0]["notches"].clone();
        let notches = notches.as_array().unwrap().iter();
        let mut edges: Vec<String> = notches
            .map(|one| one["edge"].as_str().unwrap().to_owned())
            .collect();
        edges.sort();
        edges
    };
    assert_eq!(edges(&outcome("5mm")), ["hem", "neck"]);
    // A sleeve pleat ends farther in, and is notched at the cuff alone.
    assert_eq!(edges(&outcome("4cm")), ["hem"]);
}
