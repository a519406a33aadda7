//! Stripes and plaids in the lay: where lines that are marked for them meet in a seam, both lie on a stripe of the cloth; where
//! they cannot, it is said. Repeats and places are those of the draft, by hand; the picture is read back.

use crate::drawing::Run;
use kurbo::{BezPath, Shape as _};
use oaktag_language::pattern::Pattern;
use oaktag_output::lay::{self, Lay, lays};
use oaktag_output::{svg, ticket};

/// A front and a back with a bar so far down, side by side in a seam, a gusset without one.
fn bars(cloth: &str, front_bar: &str, words: &str) -> Pattern {
    let draft = format!(
        "draft \"Bars\"
unit mm
cloth main \"flannel\" width 140cm, {cloth}
panel back {{
  line top = from origin toward right for 253mm
  line side = from end of top toward down for 607mm
  line low = from end of side toward left for 253mm
  line centre = from end of low to origin
  line bar = from (origin down 231mm) toward right for 253mm
}}
panel front {{
  line top = from (origin right 400mm) toward right for 311mm
  line edge = from end of top toward down for 607mm
  line low = from end of edge toward left for 311mm
  line side = from end of low to (origin right 400mm)
  line bar = from (origin right 400mm down {front_bar}) toward right for 311mm
}}
panel gusset {{
  line top = from (origin right 900mm) toward right for 80mm
  line edge = from end of top toward down for 607mm
  line low = from end of edge toward left for 80mm
  line side = from end of low to (origin right 900mm)
}}
piece back \"Back\" {{
  outline top, side, low, centre
  cut 2 from main
  grain along centre
  allow 10mm
  finish top, low \"bound\"
  mark bar \"{words}\"
}}
piece front \"Front\" {{
  outline top, edge, low, side
  cut 2 from main
  grain along side
  allow 10mm
  finish top, low, edge \"bound\"
  mark bar \"{words}\"
}}
piece gusset \"Gusset\" {{
  outline top, edge, low, side
  cut 2 from main
  grain along side
  allow 10mm
  finish top, low, edge \"bound\"
}}
seam side joins back.side to front.side from (end of back.top), (start of front.top)
seam inner joins back.centre to gusset.side from (start of back.top), (start of gusset.top)
"
    );
    Run::of(&draft).drawn().1.pattern
}

fn laid(pattern: &Pattern) -> [Lay<'_>; 2] {
    let lays = lays(pattern, 0.0).remove(0);
    [lays.open.unwrap(), lays.folded.unwrap()]
}

#[test]
fn bars_that_meet_in_a_seam_lie_on_the_same_bar_of_the_cloth() {
    for repeat in [80.0, 37.0, 4.0] {
        let pattern = bars(&format!("plaid {repeat}mm"), "231mm", "plaid");
        for lay in laid(&pattern) {
            let mut lines = 0;
            for placed in &lay.placed {
                for stripe in &placed.stripes {
                    let at = stripe.path.bounding_box().center().y;
                    let off = (at - (at / repeat).round() * repeat).abs();
                    assert!(stripe.lies && off < 1e-6, "{}: {off}", placed.piece.name);
                    lines += 1;
                }
            }
            assert!(lines >= 2, "{lines}");
            let said = [
                "Stripes meet across side",
                "NOT MATCHED across inner: gusset side has no such line there",
            ];
            assert_eq!(lay.stripes, said);
        }
        // The picture, at 1:10: its bars lie so many repeats below the end of the cloth.
        let picture = svg::of_drawing(&lay::draw(&pattern, 0.0));
        let tree = roxmltree::Document::parse(&picture).unwrap();
        let paths = |class: &str| {
            let of = tree
                .descendants()
                .filter(move |node| node.attribute("class") == Some(class));
            of.filter(|node| node.attribute("data-name").is_some())
                .map(|node| {
                    (
                        node,
                        BezPath::from_svg(node.attribute("d").unwrap())
                            .unwrap()
                            .bounding_box(),
                    )
                })
                .collect::<Vec<_>>()
        };
        let cloths = paths("frame");
        let end = cloths
            .iter()
            .find(|(node, _)| node.attribute("data-name") == Some("cloth"))
            .unwrap()
            .1
            .y0;
        let bars = paths("match");
        let bars = bars
            .iter()
            .filter(|(node, _)| node.attribute("data-piece").is_some());
        let mut drawn = 0;
        for (_, bar) in bars {
            let at = (bar.center().y - end) * 10.0;
            let off = (at - (at / repeat).round() * repeat).abs();
            assert!(off < 0.1, "{off}");
            drawn += 1;
        }
        assert!(drawn >= 4, "{drawn}");
        for words in ["Stripes meet across side", "NOT MATCHED across inner"] {
            assert!(
                picture.contains(words) && ticket::text(&pattern, 0.0).contains(words),
                "{words}"
            );
        }
    }
}

/// Lines that lie apart in the seam cannot both lie on one bar; one that slants lies on none; a cloth without stripes says nothing.
#[test]
fn what_does_not_match_is_told() {
    let pattern = bars("plaid 80mm", "261mm", "plaid");
    for lay in laid(&pattern) {
        assert_eq!(
            lay.stripes[0],
            "NOT MATCHED across side: its lines meet it 30 mm apart"
        );
    }
    let pattern = bars("plaid 1mm", "231mm", "plaid");
    assert_eq!(
        laid(&pattern)[0].stripes[0],
        "NOT MATCHED across side: they are too fine"
    );
    let pattern = bars("stripe 80mm", "231mm", "balance line");
    let none = "Stripes are not matched: no line marked stripe or plaid runs to a seam";
    assert_eq!(laid(&pattern)[0].stripes, [none]);
    assert!(ticket::text(&pattern, 0.0).contains(none));
    let pattern = bars("nap no", "231mm", "plaid");
    assert!(laid(&pattern)[0].stripes.is_empty());
    assert!(!ticket::text(&pattern, 0.0).contains("tripes"));
}

/// Matching costs cloth, and never lays pieces on each other: as long as without, or longer.
#[test]
fn matched_pieces_take_no_less_cloth() {
    let long = |cloth: &str| laid(&bars(cloth, "231mm", "plaid")).map(|lay| lay.length);
    let (free, matched) = (long("nap no"), long("plaid 210mm"));
    assert!(
        matched
            .iter()
            .zip(&free)
            .all(|(matched, free)| matched >= free),
        "{matched:?} {free:?}"
    );
}

/// Stripes that run along the cloth are matched across it: a pocket's line on one of them.
#[test]
fn stripes_along_the_cloth_are_counted_from_its_edge() {
    let draft = "draft \"Pocket\"
unit mm
cloth main \"ticking\" width 100cm, stripe 12mm
panel pocket {
  line top = from origin toward right for 105mm
  line right_side = from end of top toward down for 120mm
  line low = from end of right_side toward left for 105mm
  line left_side = from end of low to origin
  line middle = from (origin right 40mm) toward down for 120mm
}
piece pocket \"Pocket\" {
  outline top, right_side, low, left_side
  cut 5 alike from main
  grain along left_side
  allow 10mm
  finish top, right_side, low, left_side \"turned under\"
  mark middle \"stripe\"
}
";
    let pattern = Run::of(draft).drawn().1.pattern;
    for lay in laid(&pattern) {
        let mut across: Vec<f64> = Vec::new();
        for placed in &lay.placed {
            let line = placed.stripes[0].path.bounding_box();
            let off = (line.center().x / 12.0 - (line.center().x / 12.0).round()).abs();
            assert!(line.width() < 1e-6 && off < 1e-6, "{off}");
            across.push(line.center().x);
        }
        across.dedup();
        assert!(lay.placed.len() == 5 && across.len() > 1);
    }
}

/// The words of a cloth that has a way, on the label of a piece, in the ticket and in the cutting-room file.
#[test]
fn one_way_prints_and_plaids_are_on_the_label() {
    for (cloth, words) in [
        ("one_way yes", "one-way print"),
        ("plaid 80mm", "plaid every 80 mm"),
        ("plaid 80mm, one_way yes", "one-way plaid every 80 mm"),
        (
            "nap yes, stripe 12mm",
            "one way, with nap, stripes every 12 mm",
        ),
    ] {
        let pattern = bars(cloth, "231mm", "plaid");
        let drawing = oaktag_output::drawing::compose::compose(&pattern);
        let label = |piece: &str| {
            let items = drawing.layer(oaktag_output::drawing::Layer::Text);
            let own = items.filter(|item| item.piece.as_deref() == Some(piece));
            let texts = own.filter_map(|item| match &item.shape {
                oaktag_output::drawing::Shape::Text(text) => Some(text.letters.clone()),
                _ => None,
            });
            texts.collect::<Vec<_>>().join(" ")
        };
        for piece in ["back", "front", "gusset"] {
            assert!(label(piece).contains(words), "{words}: {}", label(piece));
        }
        assert!(
            oaktag_output::dxf::write(&pattern, "40").contains(words),
            "{words}"
        );
        let is_one_way = cloth.contains("yes");
        let lay = &laid(&pattern)[0];
        let arrow = drawing
            .layer(oaktag_output::drawing::Layer::Grain)
            .next()
            .unwrap();
        let oaktag_output::drawing::Shape::Stroke(arrow, _) = &arrow.shape else {
            panic!()
        };
        assert_eq!(
            arrow.segments().count(),
            if is_one_way { 3 } else { 5 },
            "{cloth}"
        );
        assert!(lay.placed.len() == 6);
    }
}

/// What stands beside every lay: the least that any could take is the area of the pieces over the width of the cloth, two layers of
/// it where it is folded.
#[test]
fn the_bound_is_area_over_width_and_a_gap_is_kept() {
    let pattern = bars("nap no", "231mm", "note");
    let area = 2.0 * (273.0 * 627.0 + 331.0 * 627.0 + 100.0 * 627.0);
    for (lay, layers, words) in laid(&pattern)
        .iter()
        .zip([1.0, 2.0])
        .zip(["open", "folded"])
        .map(|((a, b), c)| (a, b, c))
    {
        let least = area / (layers * lay.width);
        assert!(
            (lay.length * lay.usage - least).abs() < 0.01,
            "{words}: {least}"
        );
        let said = format!("({} if no cloth were wasted)", pattern.unit.length(least));
        assert!(ticket::text(&pattern, 0.0).contains(&said), "{said}");
    }
    for gap in [3.0, 12.0] {
        for lays in lays(&pattern, gap) {
            for lay in [lays.open.unwrap(), lays.folded.unwrap()] {
                let boxes: Vec<kurbo::Rect> = lay
                    .placed
                    .iter()
                    .map(|one| one.outline.bounding_box())
                    .collect();
                for (number, one) in boxes.iter().enumerate() {
                    for other in boxes.iter().skip(number + 1) {
                        let (x, y) = (
                            (one.x0 - other.x1).max(other.x0 - one.x1),
                            (one.y0 - other.y1).max(other.y0 - one.y1),
                        );
                        assert!(x.max(y) >= gap, "{gap}: {one:?} {other:?}");
                    }
                }
                assert!(
                    boxes.iter().any(|one| one.x0.abs() < 1e-9),
                    "no gap beside the selvedge"
                );
            }
        }
        assert!(
            ticket::text(&pattern, gap)
                .contains(&format!("{gap} mm between two pieces at the least"))
        );
        let picture = svg::of_drawing(&lay::draw(&pattern, gap));
        for words in [
            &format!("{gap} mm between pieces"),
            "open, face up",
            "folded, face to face",
            "usable width",
        ] {
            assert!(picture.contains(words.to_string().as_str()), "{words}");
        }
    }
    // Both of a pair, by the side that each is for.
    let picture = svg::of_drawing(&lay::draw(&pattern, 0.0));
    for words in ["1 Back R", "1 Back L", "1 Back L + R"] {
        assert!(picture.contains(words), "{words}");
    }
}
