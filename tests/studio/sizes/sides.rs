//! A body that differs left from right. Each half is held against the draft drawn with that side's values alone, by polygons
//! of the `geo` crate; a body that is given two equal sides gives the same bytes as one that has none.

use crate::sizes::{oaktag, text};
use geo::{Area, BooleanOps, Coord, LineString, Polygon};
use kurbo::{Affine, ParamCurve};
use oaktag_geometry::moves::mirror;
use oaktag_geometry::path::Path;
use oaktag_language::draft::inputs::{Inputs, setting};
use oaktag_language::draft::{self, Outcome};
use oaktag_language::pattern::{Pattern, Piece};
use oaktag_language::syntax::project::{NoFiles, Project};
use oaktag_language::voice::LengthUnit::Centimetre as CM;
use oaktag_studio::sizes::sides;

const SHIRT: &str = "examples/womens-crew-shirt.draft";

/// Draws a draft with settings, sides and all; `by_halves` or as other commands do.
fn drawn(draft: &str, set: &[&str], by_halves: bool) -> Outcome {
    let mut project = Project::load(
        "side.draft",
        draft,
        &NoFiles,
        &oaktag_language::library::module,
    );
    let settings = set
        .iter()
        .map(|typed| setting(&mut project.sources, typed).unwrap());
    let inputs = Inputs {
        set: settings.collect(),
        body: None,
    };
    let checked = oaktag_language::check::check(&project);
    if by_halves {
        sides::draw(&project, &checked, &inputs)
    } else {
        draft::draw(&project, &checked, &inputs)
    }
}

fn shirt(set: &[&str]) -> Outcome {
    let path = format!("{}/{SHIRT}", env!("CARGO_MANIFEST_DIR"));
    drawn(&std::fs::read_to_string(path).unwrap(), set, true)
}

fn polygon(path: &Path, by: Affine) -> Polygon {
    let on = path
        .segs()
        .iter()
        .flat_map(|seg| (0..64).map(move |n| by * seg.eval(f64::from(n) / 64.0)));
    let coords: Vec<Coord> = on.map(|p| Coord { x: p.x, y: p.y }).collect();
    Polygon::new(LineString::from(coords), Vec::new())
}

/// How much two outlines differ, in square millimetres.
fn differ(a: &Path, b: &Path, by: Affine) -> f64 {
    let (a, b) = (polygon(a, Affine::IDENTITY), polygon(b, by));
    a.xor(&b).unsigned_area()
}

fn piece<'a>(of: &'a Pattern, name: &str) -> &'a Piece {
    of.piece(name).unwrap_or_else(|| panic!("no piece {name}"))
}

/// Her left shoulder slopes four degrees more (the twelve tasks: "her shoulders slope more on one side only").
fn uneven() -> (Pattern, Pattern, Pattern) {
    let joined = shirt(&["shoulder_slope.left=26deg"]);
    assert!(!joined.has_errors(), "{:?}", joined.diagnostics);
    let [left, right] = ["26deg", "22deg"].map(|slope| {
        let typed = format!("shoulder_slope={slope}");
        shirt(&[typed.as_str()]).pattern
    });
    (joined.pattern, left, right)
}

#[test]
fn a_whole_piece_is_the_half_of_either_side() {
    let (joined, left, right) = uneven();
    let mut seen = 0;
    for name in ["back", "yoke", "collar_stand", "under_fall"] {
        let (whole, left, right) = (
            piece(&joined, name),
            piece(&left, name),
            piece(&right, name),
        );
        assert!(right.on_fold() && !whole.on_fold() && whole.mirror_line.is_none());
        let fold = right.cut.fold_edge.unwrap();
        // The half that is shown comes first; the other lies over its fold.
        let shown = whole.edges[0].name.rsplit('.').next().unwrap();
        let (here, there) = if shown == "left" {
            (left, right)
        } else {
            (right, left)
        };
        let start = |half: &Piece| half.edges[fold].path.start().unwrap();
        let over =
            mirror(&here.edges[fold].path).unwrap() * Affine::translate(start(here) - start(there));
        for (whole, here, there) in [
            (&whole.sewing, &here.sewing, &there.sewing),
            (&whole.cutting, &here.cutting, &there.cutting),
        ] {
            let (whole, here, there) = (
                polygon(whole.as_ref().unwrap(), Affine::IDENTITY),
                polygon(here.as_ref().unwrap(), Affine::IDENTITY),
                polygon(there.as_ref().unwrap(), over),
            );
            let sum = here.unsigned_area() + there.unsigned_area();
            assert!((whole.unsigned_area() - sum).abs() < 0.5, "{name}");
            // Each half lies where it was drawn, and nothing is left over.
            let rest = whole.difference(&here).difference(&there);
            assert!(
                rest.unsigned_area() < 0.5,
                "{name}: {}",
                rest.unsigned_area()
            );
            assert!(here.intersection(&there).unsigned_area() < 0.5, "{name}");
        }
        let area = (left.area().unwrap() + right.area().unwrap()) / 2.0;
        assert!((whole.area().unwrap() - area).abs() < 1e-6, "{name}");
        for edge in right.edges.iter().filter(|edge| !edge.on_fold) {
            for (side, half) in [("left", left), ("right", right)] {
                let found = whole.edge(&format!("{}.{side}", edge.name)).unwrap();
                let wanted = half.edge(&edge.name).unwrap();
                assert_eq!(found.length, wanted.length, "{name} {}", edge.name);
                let laid = if side == shown {
                    Affine::IDENTITY
                } else {
                    over
                };
                let (a, b) = (found.path.start().unwrap(), found.path.end().unwrap());
                let ends = [wanted.path.start().unwrap(), wanted.path.end().unwrap()];
                let ends = ends.map(|p| laid * p);
                let meet = |p: kurbo::Point, q: kurbo::Point| (p - q).hypot() < 1e-6;
                assert!(
                    (meet(a, ends[0]) && meet(b, ends[1]))
                        || (meet(a, ends[1]) && meet(b, ends[0])),
                    "{name} {} {side}",
                    edge.name
                );
                seen += 1;
            }
        }
        let marks = |piece: &Piece| -> usize { piece.notches.iter().map(|n| n.marks.len()).sum() };
        let on_fold = |half: &Piece, sewn: bool| -> usize {
            let off = |p: kurbo::Point| (over * p - p).hypot() > 0.01;
            let all = half.notches.iter().filter(|n| !sewn || n.seam.is_some());
            let all = all.flat_map(|n| &n.marks);
            all.filter(|mark| !off(mark.sewing)).count()
        };
        // A seam's notch at the fold is one notch of the whole; those that only tell the fold are gone.
        let off_fold = |half: &Piece| marks(half) - on_fold(half, false);
        let wanted = off_fold(left) + off_fold(right) + on_fold(here, true);
        assert!(
            marks(whole).abs_diff(wanted) <= 1,
            "{name}: {} {wanted}",
            marks(whole)
        );
    }
    assert!(seen > 30, "{seen}");
}

#[test]
fn a_pair_becomes_a_left_and_a_right_piece() {
    let (joined, left, right) = uneven();
    for name in ["front", "sleeve", "cuff"] {
        let each = if name == "cuff" { 2 } else { 1 };
        let halves = [
            (
                format!("{name}.right"),
                piece(&right, name),
                Affine::IDENTITY,
            ),
            (format!("{name}.left"), piece(&left, name), Affine::FLIP_X),
        ];
        for (own, half, by) in halves {
            let found = piece(&joined, &own);
            assert_eq!((found.cut.count, found.on_fold()), (each, false), "{own}");
            for (a, b) in [
                (&found.sewing, &half.sewing),
                (&found.cutting, &half.cutting),
            ] {
                let (a, b) = (a.as_ref().unwrap(), b.as_ref().unwrap());
                assert!(differ(a, b, by) < 0.01, "{own}");
                // The cloth is on the left, as everywhere.
                assert!(polygon(a, Affine::IDENTITY).signed_area() > 0.0, "{own}");
            }
            assert_eq!(found.area(), half.area());
            assert_eq!(found.notches.len(), half.notches.len());
            for (ours, theirs) in found.notches.iter().rev().zip(half.notches.iter().rev()) {
                let edge = |piece: &Piece, at: usize| piece.edges[at].name.clone();
                assert_eq!(edge(found, ours.edge), edge(half, theirs.edge), "{own}");
                for (a, b) in ours.marks.iter().zip(&theirs.marks) {
                    assert!((a.cut - by * b.cut).hypot() < 1e-9);
                    let along = found.edges[ours.edge].path.point_at(a.from_start).unwrap();
                    assert!((along - a.sewing).hypot() < 0.01, "{own}");
                    // Outward is away from the cloth.
                    let out = a.sewing + a.outward * 2.0;
                    let cloth = found.sewing.as_ref().unwrap().bounds().unwrap().center();
                    assert!((out - cloth).hypot() > (a.sewing - cloth).hypot() - 2.0);
                }
            }
        }
        let label = &piece(&joined, &format!("{name}.left")).label;
        assert!(label.ends_with("wearer's left"), "{label}");
    }
    // What no shoulder moves stays a pair.
    assert_eq!(piece(&joined, "tower_overlap").cut.count, 2);
    // As much cloth as half of either shirt, as its cut list has it.
    let cloth = |of: &Pattern| -> f64 {
        let cuts = of.cut_list();
        cuts.iter().map(|cuts| cuts.area()).sum()
    };
    let wanted = (cloth(&left) + cloth(&right)) / 2.0;
    assert!((cloth(&joined) - wanted).abs() < 1.0, "{}", cloth(&joined));
}

/// A front that laps right over left does so whatever becomes of the pair: the right half has the holes, the left the buttons.
#[test]
fn a_closing_keeps_its_side() {
    let (joined, ..) = uneven();
    for (name, said, other) in [
        ("front.left", "button", "buttonhole"),
        ("front.right", "buttonhole", "button"),
    ] {
        let front = piece(&joined, name);
        let words: Vec<&str> = front.marks.iter().map(|mark| mark.text.as_str()).collect();
        assert!(
            words.contains(&said) && !words.contains(&other),
            "{name}: {words:?}"
        );
        // Centre front is beyond the side seam on the sheet's right for the wearer's right front, right side up.
        let x = |edge: &str| front.edge(edge).unwrap().path.start().unwrap().x;
        assert_eq!(
            x("raw_edge") > x("armhole"),
            name == "front.right",
            "{name}"
        );
    }
    // The back is seen from behind.
    let back = piece(&joined, "back");
    let x = |edge: &str| back.edge(edge).unwrap().path.start().unwrap().x;
    assert!(x("armhole.right") > x("armhole.left"));
}

#[test]
fn seams_are_walked_on_both_sides_and_named() {
    let (joined, left, right) = uneven();
    assert!(joined.holds());
    for name in ["shoulder", "yoke", "armhole", "neck"] {
        assert!(joined.seam(name).is_none());
        for (side, half) in [("left", &left), ("right", &right)] {
            let (found, wanted) = (
                joined.seam(&format!("{name}.{side}")).unwrap(),
                half.seam(name).unwrap(),
            );
            assert_eq!(found.first.length, wanted.first.length);
            assert_eq!(found.second.length, wanted.second.length);
            // Its edges are edges of pieces that will be cut, as long as those.
            for edge in found.first.edges.iter().chain(&found.second.edges) {
                let own = joined.pieces.iter().flat_map(|piece| &piece.edges);
                let lengths: Vec<f64> = own
                    .filter(|own| own.line == edge.line)
                    .map(|own| own.length)
                    .collect();
                assert!(!lengths.is_empty(), "{}", edge.line);
                assert!(lengths.iter().all(|mm| (mm - edge.length).abs() < 1e-6));
            }
        }
    }
    // Side seams are alike, and walked once.
    assert!(joined.seam("side").is_some() && joined.seam("side.left").is_none());
    assert!(joined.unwalked.is_empty(), "{:?}", joined.unwalked);
    let order: Vec<&str> = joined.order.iter().map(String::as_str).collect();
    assert_eq!(order[..2], ["shoulder.left", "shoulder.right"]);
    assert!(order.contains(&"side"));
    // A seam that fails on one side says on which.
    let failing = "unit cm
body long = 30cm between 20cm and 60cm
panel back {
  line centre = from origin toward down for 30cm
  line hem = from end of centre toward right for 20cm
  line side = from end of hem toward up for long
  line upper = from end of side to origin
}
line middle = from (origin right 30cm) toward down
panel front = mirror back over middle
panel front traced from front {
  redraw side = from end of hem toward up for 30cm
  redraw upper = from end of side to start of centre
}
piece back { outline centre, hem, side, upper
  cut 2
  allow 1cm
  finish centre, hem, upper
}
piece front { outline centre, hem, side, upper
  cut 2
  allow 1cm
  finish centre, hem, upper
}
seam side joins back.side to front.side
";
    let outcome = drawn(failing, &["long.right=31cm"], true);
    let said: Vec<_> = outcome
        .diagnostics
        .iter()
        .map(|d| d.message.in_unit(CM))
        .collect();
    assert!(
        said.iter()
            .any(|said| said.starts_with("On the wearer's right: Seam side")),
        "{said:?}"
    );
    assert!(
        !said.iter().any(|said| said.contains("wearer's left")),
        "{said:?}"
    );
    assert!(!outcome.pattern.seam("side.right").unwrap().ok);
    assert!(outcome.pattern.seam("side.left").unwrap().ok);
    let cautions = |name: &str| !piece(&outcome.pattern, name).cautions.is_empty();
    assert!(cautions("back.right") && !cautions("back.left"));
}

#[test]
fn what_differs_is_said_and_why() {
    let told = oaktag(&["check", SHIRT, "--set", "shoulder_slope.left=26deg"]);
    // However its lines are broken.
    let said = text(&told.stdout);
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert_eq!(told.status.code(), Some(0), "{said}");
    for words in [
        "Left and right differ: shoulder slope 26° left, 22° right.",
        "Yoke is no longer on the fold: cut 2 whole, every second one turned over, for the shoulder slope;",
        "Front is no longer a pair: cut front left and front right apart, for the shoulder slope;",
        "Collar stand is no longer on the fold",
        "armhole right",
    ] {
        assert!(said.contains(words), "{words}\n{said}");
    }
    assert!(!said.contains("Placket overlap is"), "{said}");
    // The collar's sides are unequal, and by how much is reported: as the neck seam has it.
    let (joined, ..) = uneven();
    let lengths = ["neck.left", "neck.right"].map(|name| joined.seam(name).unwrap().first.length);
    assert!((lengths[0] - lengths[1]).abs() > 0.3);
    let stand = joined
        .sides
        .iter()
        .find(|said| said.starts_with("Collar stand"));
    let figures = lengths.map(|mm| format!("{:.2} cm", mm / 10.0));
    let words = format!("lower {} left and {} right", figures[0], figures[1]);
    assert!(stand.unwrap().contains(&words), "{stand:?}");
    // Of two measures only the one that moves a piece is named with it.
    let both = shirt(&["shoulder_slope.left=26deg", "wrist_girth.right=17cm"]).pattern;
    let of = |label: &str| {
        both.sides
            .iter()
            .find(|said| said.starts_with(label))
            .unwrap()
    };
    assert!(
        of("Back is").contains("for the shoulder slope;"),
        "{}",
        of("Back is")
    );
    assert!(
        of("Sleeve is").contains("for the shoulder slope and wrist girth;")
            || of("Sleeve is").contains("for the wrist girth and shoulder slope;"),
        "{}",
        of("Sleeve is")
    );
    assert!(of("Cuff, interlining").contains("for the wrist girth;"));
}

/// Two equal sides are a body like any other, to the byte, in every format and in words.
#[test]
fn two_equal_sides_give_the_same_bytes() {
    let folder = tempfile::tempdir().unwrap();
    let vest = "examples/deck-vest.draft";
    let cases = [
        (
            vest,
            "chest_girth",
            "100cm",
            &["svg", "pdf", "png", "dxf", "json", "txt", "csv"][..],
        ),
        (SHIRT, "shoulder_slope", "24deg", &["json"][..]),
    ];
    for (draft, name, value, endings) in cases {
        let plain = format!("{name}={value}");
        let [left, right] = ["left", "right"].map(|side| format!("{name}.{side}={value}"));
        for ending in endings {
            let make = |file: &str, set: &[&str]| {
                let out = folder.path().join(format!("{file}.{ending}"));
                let mut words = vec!["draw", draft, "-o", out.to_str().unwrap()];
                words.extend(set.iter().flat_map(|typed| ["--set", *typed]));
                let drawn = oaktag(&words);
                assert_eq!(drawn.status.code(), Some(0), "{}", text(&drawn.stderr));
                std::fs::read(out).unwrap()
            };
            assert!(
                make("plain", &[&plain]) == make("sides", &[&left, &right]),
                "{draft} {ending}"
            );
        }
        let check = |set: &[&str]| {
            let mut words = vec!["check", draft];
            words.extend(set.iter().flat_map(|typed| ["--set", *typed]));
            text(&oaktag(&words).stdout)
        };
        assert_eq!(check(&[&plain]), check(&[&left, &right]));
    }
}

#[test]
fn every_format_has_the_two_halves() {
    let folder = tempfile::tempdir().unwrap();
    let out = |ending: &str| folder.path().join(format!("shirt.{ending}"));
    for ending in ["svg", "pdf", "png", "dxf", "json", "txt", "csv"] {
        let out = out(ending);
        let words = ["draw", SHIRT, "--set", "shoulder_slope.left=26deg", "-o"];
        let drawn = oaktag(&[&words[..], &[out.to_str().unwrap()]].concat());
        assert_eq!(
            drawn.status.code(),
            Some(0),
            "{ending}: {}",
            text(&drawn.stderr)
        );
    }
    let read = |ending: &str| std::fs::read_to_string(out(ending)).unwrap();
    let schema: serde_json::Value = serde_json::from_str(oaktag_output::json::SCHEMA).unwrap();
    let json: serde_json::Value = serde_json::from_str(&read("json")).unwrap();
    let mut schemas = boon::Schemas::new();
    let mut compiler = boon::Compiler::new();
    compiler.add_resource("pattern.json", schema).unwrap();
    let index = compiler.compile("pattern.json", &mut schemas).unwrap();
    assert!(schemas.validate(&json, index).is_ok());
    assert!(
        json["sides"][0]
            .as_str()
            .unwrap()
            .contains("shoulder slope")
    );
    assert_eq!(json["measures"]["shoulder_slope.left"]["deg"], 26.0);
    assert!(json["measures"]["shoulder_slope"].is_null());
    let file = dxf::Drawing::load_file(out("dxf")).unwrap();
    let blocks: Vec<String> = file.blocks().map(|block| block.name.clone()).collect();
    for side in ["LEFT", "RIGHT"] {
        let named = |name: &&String| name.contains("FRONT") && name.contains(side);
        assert_eq!(blocks.iter().filter(named).count(), 1, "{blocks:?}");
    }
    assert!(read("svg").contains("Front, wearer's left"));
    assert!(read("txt").contains("Front, wearer's left"));
    assert!(read("csv").contains("front.right,\"Front, wearer's right\",1,single"));
    // A piece of both sides is drawn by its own name or by that of either.
    for (name, count) in [("front", 2), ("front.left", 1)] {
        let out = folder.path().join("part.json");
        let words = [
            "draw",
            SHIRT,
            "--set",
            "shoulder_slope.left=26deg",
            "--piece",
            name,
            "-o",
        ];
        let drawn = oaktag(&[&words[..], &[out.to_str().unwrap()]].concat());
        assert_eq!(drawn.status.code(), Some(0), "{}", text(&drawn.stderr));
        let json: serde_json::Value =
            serde_json::from_str(&std::fs::read_to_string(out).unwrap()).unwrap();
        assert_eq!(json["pieces"].as_array().unwrap().len(), count);
    }
}

/// A table says it in columns of their own; a body without them is the same on both sides.
#[test]
fn a_table_may_have_columns_for_a_side() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let table = path("crew.csv");
    let rows = "Name;Stature [cm];Upper chest girth [cm];Waist girth;Hip girth;Upper arm girth;Wrist girth;Shoulder slope;Shoulder slope left;Shoulder slope (right) [deg]\n\
        mate;168;87;76cm;100cm;28,5cm;16cm;22;;\n\
        stoker;168;87;76cm;100cm;28,5cm;16cm;22;26;\n\
        cook;168;87;76cm;100cm;28,5cm;16cm;;26;22\n\
        purser;168;87;76cm;100cm;28,5cm;16cm;22;45;22\n";
    std::fs::write(&table, rows).unwrap();
    let told = oaktag(&["check", SHIRT, "--bodies", &table]);
    let said = text(&told.stdout);
    for line in ["mate: well", "stoker: well", "cook: well"] {
        assert!(said.contains(line), "{said}");
    }
    assert!(
        said.contains("purser: refused: On the wearer's left: "),
        "{said}"
    );
    let out = path("{name}.json");
    let drawn = oaktag(&["draw", SHIRT, "--bodies", &table, "-o", &out]);
    assert_eq!(drawn.status.code(), Some(1), "{}", text(&drawn.stderr));
    let pieces = |name: &str| -> Vec<String> {
        let file = std::fs::read_to_string(path(&format!("{name}.json"))).unwrap();
        let json: serde_json::Value = serde_json::from_str(&file).unwrap();
        let pieces = json["pieces"].as_array().unwrap().iter();
        pieces
            .map(|piece| piece["name"].as_str().unwrap().to_owned())
            .collect()
    };
    assert!(pieces("mate").contains(&"front".to_owned()));
    assert!(pieces("stoker").contains(&"front.left".to_owned()));
    assert_eq!(pieces("stoker"), pieces("cook"));
    let body = format!("{table}:stoker");
    let alone = path("alone.json");
    let one = oaktag(&["draw", SHIRT, "--body", &body, "-o", &alone]);
    assert_eq!(one.status.code(), Some(0));
    assert_eq!(
        std::fs::read(alone).unwrap(),
        std::fs::read(path("stoker.json")).unwrap()
    );
    // A size set lays what has the same name in every size.
    let sizes = oaktag(&["sizes", SHIRT, "--bodies", &table, "--base", "mate"]);
    assert!(
        text(&sizes.stdout).contains("front"),
        "{}",
        text(&sizes.stderr)
    );
}

/// Commands that draw one half say so, instead of passing a side over.
#[test]
fn one_half_is_never_drawn_for_two() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("lesson.html");
    let set = ["--set", "chest_girth.left=100cm"];
    let vest = "examples/deck-vest.draft";
    for words in [
        vec!["lesson", vest, "-o", out.to_str().unwrap()],
        vec!["check", "--search", "--tries", "20", vest],
        vec!["check", "--why", "side", vest],
    ] {
        let told = oaktag(&[&words[..], &set[..]].concat());
        assert_ne!(told.status.code(), Some(0), "{words:?}");
        let said = text(&told.stderr) + &text(&told.stdout);
        assert!(said.contains("one half"), "{said}");
    }
    for (set, words) in [
        ("chest_girt.left=100cm", "no measure or choice `chest_girt`"),
        (".left=100cm", "no measure or choice `.left`"),
        ("ease.left=yes", "only a figure can be given for one side"),
        ("chest_girth.left=300cm", "On the wearer's left: "),
    ] {
        let told = oaktag(&["check", vest, "--set", set]);
        assert_eq!(told.status.code(), Some(1), "{set}");
        let said = text(&told.stderr);
        assert!(said.contains(words), "{set}: {said}");
    }
}

/// A split yoke is sewn to its twin: left along right, where two halves of one body would always agree.
#[test]
fn a_seam_across_the_middle_joins_left_to_right() {
    let draft = "unit cm
body long = 30cm between 20cm and 60cm
panel back {
  line centre = from origin toward down for long
  line hem = from end of centre toward right for 20cm
  line side = from end of hem toward up for long
  line upper = from end of side to origin
}
piece back { outline centre, hem, side, upper
  cut 2
  allow 1cm
  finish hem, side, upper
}
seam middle joins back.centre to mirrored back.centre
";
    let outcome = drawn(draft, &["long.left=31cm"], true);
    let seam = outcome.pattern.seam("middle").unwrap();
    assert_eq!((seam.first.length, seam.second.length), (300.0, 310.0));
    assert!(!seam.ok);
    let said = &outcome
        .diagnostics
        .iter()
        .find(|d| d.is_error())
        .unwrap()
        .message
        .in_unit(CM);
    assert!(
        said.contains("31 cm on the wearer's left and 30 cm on the right"),
        "{said}"
    );
    let alike = drawn(draft, &["long.left=30.02cm"], true);
    assert!(alike.pattern.seam("middle").unwrap().ok && !alike.has_errors());
    // The draft's own tolerance holds for left along right, too.
    let twin = "mirrored back.centre";
    let strict = draft.replace(twin, &format!("{twin} {{ tolerance 0.1mm }}"));
    let off = drawn(&strict, &["long.left=30.02cm"], true);
    assert!(!off.pattern.seam("middle").unwrap().ok);
    // And in each section, where the whole is as long on either side.
    let parted = draft
        .replace(
            "panel back {",
            "body high = 15cm between 10cm and 20cm\npanel back {\n  point mid = origin down high",
        )
        .replace(twin, &format!("{twin} {{ notch single at back.mid }}"));
    for (tolerance, fits) in [("", true), ("tolerance 0.1mm", false)] {
        let text = parted.replace("at back.mid", &format!("at back.mid\n {tolerance}\n"));
        let set = ["long.left=30.001cm", "high.left=15.03cm"];
        let seam = drawn(&text, &set, true).pattern;
        let seam = seam.seam("middle").unwrap();
        let sections = seam.sections.iter().map(|one| one.between.ease());
        let off: Vec<f64> = sections
            .map(|ease| (ease * 100.0).round() / 100.0)
            .collect();
        assert_eq!(off, [-0.3, 0.29], "{tolerance}");
        assert_eq!(seam.ok, fits, "{tolerance}");
    }
}

/// A panel that says which half it shows is believed; what is cut once is cut for that side.
#[test]
fn a_panel_may_say_which_half_it_shows() {
    let draft = |half: &str, cut: &str| {
        format!(
            "unit cm
body long = 30cm between 20cm and 60cm
panel flap {{
  {half}
  line centre = from origin toward down for 30cm
  line hem = from end of centre toward right for 20cm
  line slant = from end of hem to (origin right long)
  line upper = from end of slant to origin
}}
piece flap {{ outline centre, hem, slant, upper
  cut {cut}
  allow 1cm
  finish hem, slant, upper{}
}}
",
            if cut.contains("fold") { "" } else { ", centre" }
        )
    };
    let left = "text shown_half = \"left\"";
    for (half, side, other) in [(left, "left", "right"), ("", "right", "left")] {
        let set = ["long.left=31cm"];
        let whole = drawn(&draft(half, "1 on fold at centre"), &set, true);
        assert!(whole.diagnostics.is_empty(), "{:?}", whole.diagnostics);
        let whole = piece(&whole.pattern, "flap");
        let x = |name: &str| {
            whole
                .edge(&format!("slant.{name}"))
                .unwrap()
                .path
                .bounds()
                .unwrap()
                .x1
        };
        assert!(x(side) > 0.0 && x(other) <= 0.0, "{side}");
        let longer = whole.edge("upper.left").unwrap().length;
        assert!((longer - 310.0).abs() < 1e-9);
        let pair = drawn(&draft(half, "2"), &set, true).pattern;
        let left_piece = piece(&pair, "flap.left")
            .sewing
            .as_ref()
            .unwrap()
            .bounds()
            .unwrap();
        assert_eq!(left_piece.x1 > 0.0, side == "left");
        let single = drawn(&draft(half, "1"), &set, true);
        let one = piece(&single.pattern, "flap");
        let wanted = if side == "left" { 310.0 } else { 300.0 };
        assert!((one.edge("upper").unwrap().length - wanted).abs() < 1e-9);
        assert_eq!(one.cut.count, 1);
    }
}
