//! Seams of two straight strips, so that every place, length and width along them is known by construction: what a seam's
//! sentences come to, in figures.

use crate::drawing::Run;

use kurbo::Point;
use oaktag_language::pattern::spec::{CornerTreatment, NotchForm};
use oaktag_language::pattern::{Pattern, PlaceSaid, Seam};
use oaktag_language::report::Code;

/// Two strips 100 mm wide whose long sides lie level: `one` above its edges, `two` below them, each on a sheet of its own. The
/// edges run to the right from `p0`, and `p1` and so on lie where they meet; each is given by how far it goes to the right, and how far down.
fn draft(one: &[(f64, f64)], two: &[(f64, f64)], points: &str, seam: &str) -> String {
    let strip = |name: &str, edges: &[(f64, f64)], way: &str, points: &str| {
        let (mut x, mut y) = (0.0, if name == "one" { 0.0 } else { 500.0 });
        let mut text = format!("panel {name} {{\n  point p0 = origin down {y}mm\n");
        let mut names = Vec::new();
        for (index, (right, down)) in edges.iter().enumerate() {
            (x, y) = (x + right, y + down);
            let n = index + 1;
            text += &format!("  point p{n} = origin right {x}mm down {y}mm\n");
            text += &format!("  line s{n} = from p{index} to p{n}\n");
            names.push(format!("s{n}"));
        }
        let n = edges.len();
        text += &format!(
            "  line far = from p{n} to (p{n} {way} 100mm)
  line back = from end of far to (p0 {way} 100mm)
  line close = from end of back to p0
{points}}}
piece {name} {{
  outline {}, far, back, close
  cut 2
  grain along close
  allow 10mm
  finish far, back, close \"bound\"
}}
",
            names.join(", "),
        );
        text
    };
    let of = |points: &str, name: &str| -> String {
        let own = points
            .lines()
            .filter_map(|line| line.trim().strip_prefix(name));
        own.map(|line| format!("  point{line}\n")).collect()
    };
    let all = |name: &str, count: usize| -> String {
        let names = (1..=count).map(|n| format!("{name}.s{n}"));
        names.collect::<Vec<_>>().join(", ")
    };
    format!(
        "draft \"Strips\"\nunit mm\n{}{}seam long joins {} to {} from one.p0, two.p0 {{\n{seam}\n}}\n",
        strip("one", one, "up", &of(points, "one")),
        strip("two", two, "down", &of(points, "two")),
        all("one", one.len()),
        all("two", two.len()),
    )
}

fn drawn(text: &str) -> (Pattern, Vec<(Code, String)>) {
    let (_, outcome) = Run::of(text).drawn();
    let told = outcome.diagnostics.iter().filter(|told| told.is_error());
    let unit = outcome.pattern.unit;
    let told = told.map(|told| (told.code, told.message.in_unit(unit).into_owned()));
    let told = told.collect();
    (outcome.pattern, told)
}

fn level(lengths: &[f64]) -> Vec<(f64, f64)> {
    lengths.iter().map(|length| (*length, 0.0)).collect()
}

/// A seam that fits, of level strips with these edges.
fn fits(one: &[f64], two: &[f64], points: &str, seam: &str) -> (Pattern, Seam) {
    let (pattern, told) = drawn(&draft(&level(one), &level(two), points, seam));
    assert!(told.is_empty(), "{told:?}");
    let seam = pattern.seam("long").unwrap().clone();
    assert!(seam.ok);
    (pattern, seam)
}

fn near(found: (f64, f64), wanted: (f64, f64)) {
    let off = (found.0 - wanted.0).abs().max((found.1 - wanted.1).abs());
    assert!(off < 1e-6, "{found:?}, wanted {wanted:?}");
}

fn mains(seam: &Seam) -> Vec<(f64, f64)> {
    seam.notches.iter().map(|notch| notch.main).collect()
}

#[test]
fn a_place_is_carried_one_to_one_outside_what_is_eased_and_in_proportion_within() {
    // 60 mm go to 55, then 100 to 100.
    let (_, seam) = fits(
        &[60.0, 100.0],
        &[155.0],
        "one q = p0 right 30mm\none r = p1 right 50mm",
        "ease 5mm on one.s1\nnotch single at one.q\nnotch single at one.p1\nnotch single at one.r",
    );
    let found = mains(&seam);
    assert_eq!(found.len(), 3);
    near(found[0], (30.0, 27.5));
    near(found[1], (60.0, 55.0));
    near(found[2], (110.0, 105.0));
    assert_eq!(seam.eases[0].edges, "one s1");
    // On the second side 55 mm go to 60, 50 mm beyond the start.
    let (_, seam) = fits(
        &[155.0],
        &[50.0, 60.0, 50.0],
        "one q = p0 right 20mm\none r = p0 right 77.5mm\none s = p0 right 130mm",
        "ease 5mm on two.s2\nnotch single at one.q\nnotch single at one.r\nnotch single at one.s",
    );
    let found = mains(&seam);
    near(found[0], (20.0, 20.0));
    near(found[1], (77.5, 80.0));
    near(found[2], (130.0, 135.0));
    assert_eq!(seam.eases[0].edges, "two s2");
}

#[test]
fn edges_that_are_eased_together_are_one_stretch_and_named_alone() {
    let (_, seam) = fits(
        &[60.0, 40.0, 100.0],
        &[195.0],
        "",
        "ease 5mm on one.s1, one.s2",
    );
    assert_eq!(seam.eases[0].spans, [(0.0, 100.0)]);
    assert_eq!(seam.eases[0].edges, "one s1 and one s2");
    let (_, seam) = fits(&[150.0], &[100.0], "", "gather 1.5 on one.s1");
    assert_eq!(seam.eases[0].ratio, Some((1.5, 1.5)));
    assert!((seam.eases[0].least - 50.0).abs() < 1e-9);
}

/// What is carried from a place that both sides name comes to its very partner.
#[test]
fn a_notch_at_a_place_that_meets_another_stands_there() {
    let points = "one q = p0 right 120mm\ntwo q = p0 right 120mm";
    let (_, seam) = fits(
        &[300.0],
        &[300.0],
        points,
        "one.q meets two.q\nnotch single at one.q\nnotch single at two.q",
    );
    assert_eq!(seam.notches.len(), 1, "said twice, cut once");
    near(seam.notches[0].main, (120.0, 120.0));
    assert_eq!(seam.places.len(), 1);
    assert_eq!(seam.sections.len(), 2);
}

#[test]
fn notches_of_two_forms_stand_at_one_place_and_part_the_seam_once() {
    let points = "one q = p0 right 120mm";
    let (pattern, seam) = fits(
        &[300.0],
        &[300.0],
        points,
        "notch single at one.q\nnotch double at one.q\nnotch single at one.q",
    );
    assert_eq!(seam.notches.len(), 2);
    assert_eq!(seam.intervals.len(), 2);
    for piece in &pattern.pieces {
        assert_eq!(piece.notches.len(), 2);
        let double = piece.notches.iter().find(|n| n.form == NotchForm::Double);
        assert_eq!(double.unwrap().marks.len(), 2, "both cuts are one notch");
    }
}

/// A double at a distance counts from its own end: the second mark lies farther from it.
#[test]
fn the_second_mark_of_a_double_lies_farther_from_the_end_it_is_measured_from() {
    let points = "one q = p0 right 295mm";
    let (_, seam) = fits(
        &[300.0],
        &[300.0],
        points,
        "notch double at 80mm from one.p0\nnotch double at 70mm from one.p1\nnotch double at one.q",
    );
    assert_eq!(seam.notches[0].first, [80.0, 90.0]);
    assert_eq!(seam.notches[1].first, [230.0, 220.0]);
    // No room behind it: it stands before.
    assert_eq!(seam.notches[2].first, [295.0, 285.0]);
    // Said of one side's end, it is that of the panel on the other.
    for (notch, end, at) in [(0, "p0", 0.0), (1, "p1", 300.0)] {
        let (first, second) = &seam.notches[notch].said;
        assert_eq!(first, &PlaceSaid::From(format!("one.{end}"), at));
        assert_eq!(second, &PlaceSaid::From(format!("two.{end}"), at));
    }
    assert_eq!(seam.notches[2].said.0, PlaceSaid::At("one.q".to_owned()));
    let text = draft(
        &level(&[300.0]),
        &level(&[300.0]),
        "",
        "notch double at 295mm from one.p0",
    );
    let (_, told) = drawn(&text);
    assert_eq!(told.len(), 1, "{told:?}");
    assert_eq!(told[0].0, Code::NotchOffSeam, "305 mm are not there");
}

/// A place that one side has twice, or a piece between two places of the other, is no fit, however long the whole is.
#[test]
fn an_end_that_meets_a_place_within_the_other_side_is_told() {
    for (seam, place) in [
        ("one.p0 meets two.q", (0.0, 30.0)),
        ("one.q meets two.p0", (30.0, 0.0)),
        ("notch single at one.p0, two.q", (0.0, 30.0)),
        ("notch single at one.q, two.p0", (30.0, 0.0)),
    ] {
        let points = "one q = p0 right 30mm\ntwo q = p0 right 30mm";
        let (pattern, told) = drawn(&draft(&level(&[300.0]), &level(&[300.0]), points, seam));
        assert_eq!(told.len(), 1, "{seam}: {told:?}");
        assert_eq!(told[0].0, Code::SeamDiffers, "{seam}");
        let seam = pattern.seam("long").unwrap();
        near(seam.sections[0].between.to, place);
        if !seam.notches.is_empty() {
            near(seam.intervals[0].to, place);
        }
    }
}

/// Joints that the draft gives a partner need no second.
#[test]
fn joints_are_carried_over_but_for_those_that_meet_a_place() {
    let points = "one q = p0 right 200mm";
    let (_, seam) = fits(
        &[80.0, 220.0],
        &[200.0, 100.0],
        points,
        "one.q meets two.p1\nnotch single at joints",
    );
    let found = mains(&seam);
    assert_eq!(found.len(), 1, "{found:?}");
    near(found[0], (80.0, 80.0));
}

#[test]
fn an_opening_lies_between_its_places_and_is_notched_within_the_seam_alone() {
    let points = "one q = p0 right 50mm\none r = p0 right 120mm";
    let (_, seam) = fits(
        &[300.0],
        &[300.0],
        points,
        "open between one.q and one.r \"slit\"",
    );
    near(seam.openings[0].from, (50.0, 50.0));
    near(seam.openings[0].to, (120.0, 120.0));
    let open: Vec<bool> = seam.sections.iter().map(|one| one.open).collect();
    assert_eq!(open, [false, true, false]);
    assert_eq!(seam.notches.len(), 2);
    // From a place to the seam's end, and measured: the end needs no notch.
    for ends in [
        "60mm from one.p1 and one.p1",
        "240mm from one.p0 and 300mm from one.p0",
    ] {
        let (_, seam) = fits(
            &[300.0],
            &[300.0],
            "",
            &format!("open between {ends} \"slit\""),
        );
        near(seam.openings[0].from, (240.0, 240.0));
        near(seam.openings[0].to, (300.0, 300.0));
        assert_eq!(mains(&seam).len(), 1);
    }
    // Where it takes a whole edge, that edge is finished with it.
    let (pattern, _) = fits(
        &[200.0, 100.0],
        &[300.0],
        "",
        "open between one.p1 and one.p2 \"slit\"",
    );
    let edge = pattern.piece("one").unwrap().edge("s2").unwrap();
    assert_eq!(edge.finish.as_deref(), Some("slit"));
    assert_eq!(
        pattern.seam("long").unwrap().first.locate(300.0),
        Some((1, 100.0))
    );
}

/// Corners of 45 degrees, one on each side, in two sections that a pair of places parts: neither is the other's partner.
#[test]
fn corners_in_different_sections_are_each_told() {
    let slant = 100.0 * std::f64::consts::FRAC_1_SQRT_2;
    let early = [
        (50.0, 0.0),
        (50.0, 0.0),
        (slant, slant),
        (2.0 * slant, 2.0 * slant),
    ];
    let late = [(200.0, 0.0), (50.0, 0.0), (50.0, 0.0), (slant, slant)];
    for (one, two, pair) in [
        (early, late, "one.p3 meets two.p1"),
        (late, early, "one.p1 meets two.p3"),
    ] {
        let (_, told) = drawn(&draft(&one, &two, "", pair));
        let told: Vec<_> = told
            .iter()
            .filter(|one| one.0 == Code::CornerUnpaired)
            .collect();
        assert_eq!(told.len(), 2, "{told:?}");
        let says = |words: &str| told.iter().any(|(_, said)| said.contains(words));
        let (a, b) = if one == early {
            ("one", "two")
        } else {
            ("two", "one")
        };
        assert!(
            says(&format!("{a} s2 turns by 45° into {a} s3")),
            "{told:?}"
        );
        assert!(
            says(&format!("{b} s3 turns by 45° into {b} s4")),
            "{told:?}"
        );
    }
}

/// A side that stops within an edge, or begins there: its own part has the seam's width, the rest the piece's.
#[test]
fn a_seam_that_takes_a_part_of_an_edge_gives_that_part_its_width() {
    for (from, long, sewn, free) in [
        ("from one.p0, two.p0", 120.0, 40.0, 200.0),
        ("from one.p1, two.p1", 180.0, 200.0, 40.0),
    ] {
        let points = "one stop = p0 right 120mm";
        let text = draft(&level(&[300.0]), &level(&[long]), points, "allow 25mm")
            .replace("joins one.s1 to", "joins one.s1 until one.stop to")
            .replace("from one.p0, two.p0", from);
        let (pattern, told) = drawn(&text);
        assert!(told.is_empty(), "{from}: {told:?}");
        let seam = pattern.seam("long").unwrap();
        assert!((seam.first.length - long).abs() < 1e-9, "{from}");
        let cutting = pattern.piece("one").unwrap().cutting.clone().unwrap();
        let wide = |x: f64| cutting.nearest(Point::new(x, 0.0)).distance;
        assert!((wide(sewn) - 25.0).abs() < 1e-6, "{from}: {}", wide(sewn));
        assert!((wide(free) - 10.0).abs() < 1e-6, "{from}: {}", wide(free));
    }
}

/// Of a seam whose other side is not here, what its own side tells stands: by closed forms on the strip.
#[test]
fn notches_of_a_seam_whose_partner_is_not_here_stand_on_the_side_that_is() {
    let at = |seam: &str, from: &str| -> Vec<Vec<(f64, f64)>> {
        let text = draft(
            &level(&[300.0]),
            &level(&[300.0]),
            "one q = p0 right 120mm",
            seam,
        );
        // The other strip is drawn and outlines no piece.
        let text = text.replace("piece two {\n  outline s1", "piece two {\n  outline other");
        let text = text.replace(
            "  line s1 = from p0 to p1\n  line far",
            "  line s1 = from p0 to p1\n  line other = from p0 to p1\n  line far",
        );
        let text = text.replace("from one.p0, two.p0", from);
        let (_, outcome) = Run::of(&text).drawn();
        let piece = outcome.pattern.piece("one").unwrap();
        let marks = piece.notches.iter().map(|notch| &notch.marks);
        marks
            .map(|marks| {
                marks
                    .iter()
                    .map(|mark| (mark.sewing.x, mark.sewing.y))
                    .collect()
            })
            .collect()
    };
    for from in ["from one.p0, two.p0", "from one.p1, two.p1"] {
        let single = |seam: &str, x: f64| {
            let found = at(seam, from);
            assert_eq!(found.len(), 1, "{seam} {from}: {found:?}");
            near(found[0][0], (x, 0.0));
        };
        single("notch single at 80mm from one.p0", 80.0);
        single("notch single at 80mm from one.p1", 220.0);
        // An end of the strip that is not here is its partner's.
        single("notch single at 80mm from two.p0", 80.0);
        single("notch single at 80mm from two.p1", 220.0);
        single("notch single at one.q", 120.0);
        for (end, a, b) in [("p0", 80.0, 90.0), ("p1", 220.0, 210.0)] {
            let found = at(&format!("notch double at 80mm from one.{end}"), from);
            assert_eq!(found.len(), 1, "{found:?}");
            near(found[0][0], (a, 0.0));
            near(found[0][1], (b, 0.0));
        }
    }
}

/// Where nothing is allowed there is nothing to cut into: the place is marked on the sewing line.
#[test]
fn notches_of_pieces_without_allowances_are_marked_on_the_sewing_line() {
    let text = draft(
        &level(&[300.0]),
        &level(&[300.0]),
        "",
        "notch single at 80mm from one.p0",
    );
    let (pattern, told) = drawn(&text.replace("allow 10mm", "allow 0mm"));
    assert!(told.is_empty(), "{told:?}");
    for piece in &pattern.pieces {
        let mark = piece.notches[0].marks[0];
        assert_eq!((mark.depth, mark.cut), (0.0, mark.sewing), "{}", piece.name);
        assert!((mark.sewing.x - 80.0).abs() < 1e-6);
    }
}

/// Two pieces that lie on one side of the seam as it is drawn go together right side out only where one of them is cut the other
/// way round, too.
#[test]
fn pieces_cut_one_way_round_alone_are_told_where_one_lies_wrong_side_up() {
    let text = draft(&level(&[300.0]), &level(&[300.0]), "", "");
    for (cut, lies, count) in [
        ("cut 1", "up", 1),
        ("cut 2 alike", "up", 1),
        ("cut 2", "up", 0),
        ("cut 1", "down", 0),
        ("cut 2 alike", "down", 0),
    ] {
        let text = text
            .replace("cut 2", cut)
            .replace("down 100mm", &format!("{lies} 100mm"));
        let (_, outcome) = Run::of(&text).drawn();
        let told = outcome.diagnostics.iter();
        let told = told.filter(|told| told.code == Code::WrongSideUp);
        assert_eq!(told.count(), count, "{cut}, {lies}");
    }
}

/// Edges beside a seam that lie on each other when it is sewn, as those of a vent, are no line that runs on.
#[test]
fn the_edges_of_a_vent_need_not_run_on() {
    let mut text = draft(&level(&[300.0]), &level(&[300.0]), "", "");
    for (way, back) in [("up", "down"), ("down", "up")] {
        text = text.replace(
            &format!("line far = from p1 to (p1 {way} 100mm)"),
            &format!(
                "line vent = from p1 to (p1 {back} 40mm)
  line base = from end of vent to (p1 right 80mm {back} 40mm)
  line far = from end of base to (p1 right 80mm {way} 100mm)"
            ),
        );
    }
    let text = text.replace("s1, far", "s1, vent, base, far");
    let text = text.replace("finish far", "finish vent, base, far");
    let (_, outcome) = Run::of(&text).drawn();
    assert!(outcome.diagnostics.is_empty(), "{:?}", outcome.diagnostics);
    let seam = outcome.pattern.seam("long").unwrap();
    let places: Vec<&str> = seam.ends.iter().map(|end| end.place.as_str()).collect();
    assert_eq!(places, ["one p0"]);
}

/// Where the draft says the order of making up, an edge that is turned back is cut so that it lies on the edge beside it, and
/// one that is finished in another way is not.
#[test]
fn only_an_edge_that_is_turned_has_its_corners_turned_back() {
    let text = draft(&level(&[300.0]), &level(&[300.0]), "", "") + "order long\n";
    for (finish, count) in [("bound", 0), ("turned twice", 2), ("hemmed", 2)] {
        let (pattern, told) = drawn(&text.replace("\"bound\"", &format!("\"{finish}\"")));
        assert!(told.is_empty(), "{told:?}");
        for piece in &pattern.pieces {
            let corners = piece.corners.iter();
            let turned = corners.filter(|corner| corner.2 == CornerTreatment::TurnedBack);
            assert_eq!(turned.count(), count, "{finish}");
            assert_eq!(piece.corners.len(), count, "{finish}");
        }
    }
}

/// A side of several edges that stops within one of them and has no start is the part that has a piece of each.
#[test]
fn a_side_of_two_edges_that_stops_within_one_keeps_the_whole_of_the_other() {
    for (stop, long, wanted) in [
        // Of 100 and 200 mm: 250 from the start, or all from 40 mm on.
        (250.0, 250.0, [(70.0, 70.0), (180.0, 180.0)]),
        (40.0, 260.0, [(30.0, 30.0), (140.0, 140.0)]),
    ] {
        let points = format!(
            "one stop = p0 right {stop}mm\none q = p0 right 70mm\none r = p0 right 180mm\n\
             two q = p0 right {}mm\ntwo r = p0 right {}mm",
            wanted[0].1, wanted[1].1
        );
        let marks = "notch single at one.q, two.q\nnotch single at one.r, two.r";
        let text = draft(&level(&[100.0, 200.0]), &level(&[long]), &points, marks)
            .replace("one.s2 to", "one.s2 until one.stop to")
            .replace(" from one.p0, two.p0", "");
        let (pattern, told) = drawn(&text);
        assert!(told.is_empty(), "{stop}: {told:?}");
        let seam = pattern.seam("long").unwrap();
        assert!((seam.first.length - long).abs() < 1e-9, "{stop}");
        assert_eq!(seam.first.edges.len(), 2);
        let found = mains(seam);
        assert_eq!(found.len(), 2);
        near(found[0], wanted[0]);
        near(found[1], wanted[1]);
    }
}

/// Of one edge that stops within, nothing but a start or a corner tells which part is sewn: without, not even the whole is
/// known.
#[test]
fn an_edge_that_stops_within_needs_its_start() {
    let text = draft(
        &level(&[300.0]),
        &level(&[120.0]),
        "one stop = p0 right 120mm",
        "",
    );
    let text = text.replace("joins one.s1 to", "joins one.s1 until one.stop to");
    assert!(drawn(&text).1.is_empty());
    let (_, told) = drawn(&text.replace(" from one.p0, two.p0", ""));
    let codes: Vec<Code> = told.iter().map(|told| told.0).collect();
    assert_eq!(codes, [Code::SeamUnsure], "{told:?}");
}

/// Two sheets that lie over each other have points in the same places: an end is called by a name of its own sheet alone.
#[test]
fn a_place_is_not_called_by_a_point_of_another_sheet_that_lies_there() {
    let text = draft(
        &level(&[300.0]),
        &level(&[300.0]),
        "",
        "notch single at 80mm from one.p0",
    );
    let text = text.replace("500mm", "0mm");
    let (one, two) = text.split_once("panel two").unwrap();
    let two = two.replace("p0", "q0").replace("p1", "q1");
    let text = format!("{one}panel two{}", two.replace("one.q0", "one.p0"));
    let (pattern, told) = drawn(&text);
    assert!(told.is_empty(), "{told:?}");
    let seam = pattern.seam("long").unwrap();
    near(seam.notches[0].main, (80.0, 80.0));
    let (first, second) = &seam.notches[0].said;
    assert_eq!(first, &PlaceSaid::From("one.p0".to_owned(), 0.0));
    assert_eq!(second, &PlaceSaid::Unnamed);
}

/// In a sharp corner of 45 degrees a cut of 4 mm into 8 mm of allowance stands clear of the cutting line beside it, which
/// goes through the corner itself: it is looked at where it is cut, not where the sewing line is.
#[test]
fn a_notch_in_a_sharp_corner_is_cut_where_its_own_allowance_has_room() {
    let text = draft(
        &level(&[300.0]),
        &level(&[300.0]),
        "",
        "notch single at one.p1",
    );
    let text = text
        .replace("to (p1 up 100mm)", "to (p1 left 100mm up 100mm)")
        .replace("allow 10mm", "allow 8mm")
        .replacen("allow 8mm", "allow 8mm\n  allow 0mm on far", 1);
    let (pattern, told) = drawn(&text);
    assert!(told.is_empty(), "{told:?}");
    let notch = &pattern.piece("one").unwrap().notches[0];
    let mark = notch.marks[0];
    near((mark.sewing.x, mark.sewing.y), (300.0, 0.0));
    near((mark.cut.x, mark.cut.y), (300.0, -8.0));
    assert!((mark.depth - 4.0).abs() < 1e-9);
}
