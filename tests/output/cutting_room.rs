//! The cutting-room file read back with the `dxf` crate, which shares no code with the writer: its layers are those of ASTM
//! D6673 (from memory), its boundaries enclose what the pattern says, its letters come back as they were.

use crate::example_drafts;

use dxf::Drawing;
use dxf::entities::{Entity, EntityType, Polyline};
use geo::{Area, Coord, LineString, Polygon};
use oaktag_language::pattern::spec::{NotchForm, Value};
use oaktag_language::pattern::{Pattern, Piece};
use oaktag_output::dxf as written;

fn shirt() -> Pattern {
    example_drafts::example("ferry-shirt.draft", &[]).pattern
}

fn read(pattern: &Pattern) -> Drawing {
    let text = written::write(pattern, "40");
    Drawing::load(&mut text.as_bytes()).unwrap()
}

fn block<'a>(drawing: &'a Drawing, piece: &Piece) -> Vec<&'a Entity> {
    named(drawing, &format!("{}-40", piece.name.to_uppercase()))
}

fn named<'a>(drawing: &'a Drawing, name: &str) -> Vec<&'a Entity> {
    let block = drawing.blocks().find(|block| block.name == name);
    block
        .unwrap_or_else(|| panic!("no block {name}"))
        .entities
        .iter()
        .collect()
}

fn on<'a>(entities: &[&'a Entity], layer: &'a str) -> Vec<&'a EntityType> {
    entities
        .iter()
        .filter(|entity| entity.common.layer == layer)
        .map(|entity| &entity.specific)
        .collect()
}

fn polylines<'a>(entities: &[&'a Entity], layer: &'a str) -> Vec<&'a Polyline> {
    let found = on(entities, layer)
        .into_iter()
        .filter_map(|entity| match entity {
            EntityType::Polyline(polyline) => Some(polyline),
            _ => None,
        });
    found.collect()
}

fn points(entities: &[&Entity], layer: &str) -> Vec<(f64, f64)> {
    let found = entities
        .iter()
        .filter(|entity| entity.common.layer == layer)
        .filter_map(|entity| match &entity.specific {
            EntityType::ModelPoint(point) => Some((point.location.x, point.location.y)),
            _ => None,
        });
    found.collect()
}

fn vertices(polyline: &Polyline) -> Vec<Coord> {
    polyline
        .vertices()
        .map(|vertex| Coord {
            x: vertex.location.x,
            y: vertex.location.y,
        })
        .collect()
}

fn polygon(polyline: &Polyline) -> Polygon {
    Polygon::new(LineString::from(vertices(polyline)), Vec::new())
}

fn near(a: (f64, f64), b: (f64, f64)) -> bool {
    (a.0 - b.0).hypot(a.1 - b.1) < 0.001
}

fn texts(entities: &[&Entity]) -> Vec<String> {
    let found = entities.iter().filter_map(|entity| match &entity.specific {
        EntityType::Text(text) => Some(decoded(&text.value)),
        _ => None,
    });
    found.collect()
}

/// `\U+XXXX` as the code points they stand for, in pairs beyond the first plane.
fn decoded(text: &str) -> String {
    let mut units: Vec<u16> = Vec::new();
    let mut rest = text;
    while let Some(letter) = rest.chars().next() {
        let escaped = rest.strip_prefix("\\U+").and_then(|rest| {
            Some((
                u16::from_str_radix(rest.get(..4)?, 16).ok()?,
                rest.get(4..)?,
            ))
        });
        match escaped {
            Some((unit, after)) => {
                units.push(unit);
                rest = after;
            }
            None => {
                units.extend(letter.encode_utf16(&mut [0; 2]).iter());
                rest = rest.strip_prefix(letter).unwrap();
            }
        }
    }
    String::from_utf16(&units).unwrap()
}

/// A chord stands off its curve by at most [`written::CHORD`], so the area may differ by that along the whole edge.
#[test]
fn boundaries_enclose_what_the_pattern_says() {
    let pattern = shirt();
    for pattern in [pattern.clone(), pattern.unfolded(), pattern.net()] {
        let drawing = read(&pattern);
        for piece in &pattern.pieces {
            let entities = block(&drawing, piece);
            let boundary = polylines(&entities, "1");
            assert_eq!(boundary.len(), 1, "{}", piece.name);
            assert!(boundary[0].is_closed());
            let found = polygon(boundary[0]).unsigned_area();
            let wanted = piece.cut_area.unwrap();
            let most = written::CHORD * piece.outer().unwrap().length().unwrap();
            assert!(
                (found - wanted).abs() < most,
                "{}: {found}, wanted {wanted} within {most}",
                piece.name
            );
        }
    }
}

#[test]
fn sewing_lines_are_as_long_as_the_edges() {
    let pattern = shirt();
    let drawing = read(&pattern);
    for piece in &pattern.pieces {
        let lines = polylines(&block(&drawing, piece), "14")
            .into_iter()
            .map(|line| {
                let vertices = vertices(line);
                vertices
                    .iter()
                    .zip(vertices.iter().skip(1))
                    .map(|(a, b)| (b.x - a.x).hypot(b.y - a.y))
                    .sum::<f64>()
            });
        let wanted = piece
            .edges
            .iter()
            .filter(|edge| !edge.on_fold)
            .map(|edge| edge.length);
        let (found, wanted): (Vec<f64>, Vec<f64>) = (lines.collect(), wanted.collect());
        assert_eq!(found.len(), wanted.len());
        for (found, wanted) in found.iter().zip(&wanted) {
            assert!(
                (found - wanted).abs() < 0.02,
                "{}: {found}, wanted {wanted}",
                piece.name
            );
        }
    }
}

/// Every vertex of the boundary is a turn point or a curve point, the corners of a square-cornered piece are turns.
#[test]
fn every_vertex_is_a_turn_or_a_point_on_a_curve() {
    let pattern = shirt();
    let drawing = read(&pattern);
    for piece in &pattern.pieces {
        let entities = block(&drawing, piece);
        let (turns, curves) = (points(&entities, "2"), points(&entities, "3"));
        let vertices = vertices(polylines(&entities, "1")[0]);
        assert_eq!(turns.len() + curves.len(), vertices.len());
        assert!(
            turns.len() >= 5 && curves.len() > 20,
            "{}: {} turns",
            piece.name,
            turns.len()
        );
        for vertex in &vertices {
            let at = |p: &(f64, f64)| near(*p, (vertex.x, vertex.y));
            assert!(
                turns.iter().any(at) != curves.iter().any(at),
                "{}: {vertex:?}",
                piece.name
            );
        }
    }
}

#[test]
fn notches_grain_folds_and_drill_marks_are_on_their_layers() {
    let mut pattern = shirt();
    pattern.pieces[0].notches[0].form = NotchForm::Tee;
    let drawing = read(&pattern);
    for piece in &pattern.pieces {
        let entities = block(&drawing, piece);
        for notch in &piece.notches {
            let layer = if notch.form == NotchForm::Tee {
                "80"
            } else {
                "4"
            };
            let there = points(&entities, layer);
            for mark in &notch.marks {
                assert!(
                    there.iter().any(|p| near(*p, (mark.cut.x, mark.cut.y))),
                    "{}: {mark:?}",
                    piece.name
                );
            }
        }
        assert_eq!(
            on(&entities, "7").len(),
            1,
            "{} has one grain line",
            piece.name
        );
        assert_eq!(
            on(&entities, "6").len(),
            usize::from(piece.on_fold()),
            "{}: mirror line",
            piece.name
        );
        // Its buttons are sewn on and its holes cut: nothing is drilled.
        let buttons = piece.marks.iter();
        let buttons = buttons.filter(|mark| matches!(mark.shape, Value::Point(_)));
        assert_eq!(
            points(&entities, "8").len(),
            buttons.count(),
            "{}",
            piece.name
        );
        assert_eq!(on(&entities, "13").len(), 0, "{}", piece.name);
    }
    let front = block(&drawing, pattern.piece("front").unwrap());
    let lines = on(&front, "8").into_iter();
    let lines = lines.filter(|entity| !matches!(entity, EntityType::ModelPoint(_)));
    assert_eq!(lines.count(), 2, "two fold lines");
    let unfolded = pattern.unfolded();
    let whole = read(&unfolded);
    assert!(
        unfolded
            .pieces
            .iter()
            .all(|piece| on(&block(&whole, piece), "6").is_empty()),
        "nothing is left to mirror"
    );
}

/// The grain runs along what the draft says, inside the piece.
#[test]
fn the_grain_line_runs_along_the_grain() {
    let pattern = shirt();
    let drawing = read(&pattern);
    for piece in &pattern.pieces {
        let entities = block(&drawing, piece);
        let EntityType::Line(line) = on(&entities, "7")[0] else {
            panic!("no line")
        };
        let grain = piece
            .grain
            .as_ref()
            .unwrap()
            .direction_of_straight()
            .unwrap();
        let (dx, dy) = (line.p2.x - line.p1.x, line.p2.y - line.p1.y);
        assert!((dx * grain.y - dy * grain.x).abs() < 1e-3, "{}", piece.name);
        assert!(dx.hypot(dy) > 50.0, "{}", piece.name);
    }
}

#[test]
fn words_say_what_is_cut_and_letters_come_back_as_they_were() {
    let odd = "</text><b> & \"q\" 'a' 100% %%c a\\b ^J é 漢 שלום";
    let mut pattern = shirt();
    pattern.title = odd.to_owned();
    pattern.pieces[0].label = odd.to_owned();
    pattern.pieces[1].cautions = vec!["Check fails: too short".to_owned()];
    let text = written::write(&pattern, "Größe 40");
    assert!(text.is_ascii(), "release 12 has no other letters");
    let drawing = Drawing::load(&mut text.as_bytes()).unwrap();
    let style = texts(&drawing.entities().collect::<Vec<_>>());
    assert!(style.contains(&format!("Style Name: {odd}")), "{style:?}");
    assert!(
        style.contains(&"Units: METRIC".to_owned())
            && style.contains(&"Sample Size: Größe 40".to_owned())
    );
    let blocks: Vec<Vec<String>> = drawing
        .blocks()
        .map(|block| texts(&block.entities.iter().collect::<Vec<_>>()))
        .collect();
    let said = |words: &str| blocks.iter().flatten().any(|text| text == words);
    for words in [
        &format!("Piece Name: {odd}"),
        "Size: Größe 40",
        "Quantity: 2",
        "Material: main, poplin",
        "Check fails: too short",
    ] {
        assert!(said(words), "{words}: {blocks:?}");
    }
}

/// Release 12 has four figures for a letter. One beyond the first plane is the pair that UTF-16 makes of it, which the reader
/// above does not put together again; the file's own values do.
#[test]
fn letters_beyond_the_first_plane_are_pairs() {
    let mut pattern = shirt();
    pattern.title = "שלום 😀 \\U+0041".to_owned();
    let text = written::write(&pattern, "40");
    let values = text.lines().filter(|line| line.starts_with("Style Name"));
    let decoded: Vec<String> = values.map(decoded).collect();
    assert_eq!(decoded, ["Style Name: שלום 😀 \\U+0041"]);
}

/// Names that cannot be told apart in capitals are numbered, so that no piece is lost.
#[test]
fn each_piece_has_a_block_of_its_own() {
    let mut pattern = shirt();
    for (piece, name) in pattern.pieces.iter_mut().zip(["back", "BACK", "שלום"]) {
        piece.name = name.to_owned();
    }
    let drawing = read(&pattern);
    let mut names: Vec<&str> = drawing
        .blocks()
        .map(|block| block.name.as_str())
        .filter(|name| !name.starts_with(['*', '$']))
        .collect();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), 3, "{names:?}");
    let inserts = drawing
        .entities()
        .filter(|entity| matches!(entity.specific, EntityType::Insert(_)))
        .count();
    assert_eq!(inserts, 3);
    assert_eq!(
        written::write(&pattern, "40"),
        written::write(&pattern, "40")
    );
}

/// Two pieces sewn along a curve and a line of its length, with a notch so far from one end.
fn seamed(distance: u32) -> Pattern {
    let draft = format!(
        "draft \"Seam\"\nunit mm\npanel a {{\n  point tip = origin\n  point low = origin down 300mm\n  curve side = from tip to low leaving 30deg below right arriving 30deg below left\n  line hem = from low toward left for 150mm\n  line back = from end of hem to tip\n}}\npanel b {{\n  point tip = origin right 400mm\n  line side = from tip toward down for length of a.side\n  line hem = from end of side toward right for 150mm\n  line back = from end of hem to tip\n}}\npiece a {{\n  outline side, hem, back\n  grain along hem\n  finish hem, back\n  allow 1cm\n}}\npiece b {{\n  outline side, hem, back\n  grain along hem\n  finish hem, back\n  allow 1cm\n}}\nseam side joins a.side to b.side from a.tip, b.tip {{\n  notch single at {distance}mm from a.tip\n  allow 12mm\n}}\n"
    );
    let outcome = example_drafts::text(&draft, &[]);
    assert!(!outcome.has_errors(), "{:#?}", outcome.diagnostics);
    outcome.pattern
}

/// The notch of each piece in the file, carried back over the allowance and walked along the edge from its upper end.
fn walked(pattern: &Pattern) -> Vec<f64> {
    let drawing = read(pattern);
    let pieces = pattern.pieces.iter().map(|piece| {
        let found = points(&block(&drawing, piece), "4");
        assert_eq!(found.len(), 1, "{}", piece.name);
        let edge = piece.edge("side").unwrap();
        let cut = kurbo::Point::new(found[0].0, found[0].1);
        let nearest = edge.path.nearest(cut);
        assert!(
            (nearest.distance - 12.0).abs() < 0.001,
            "{}: square to the edge, at the cut edge",
            piece.name
        );
        let along = edge.path.length_to(nearest.location);
        let is_upper = edge.path.start().unwrap().y > edge.path.end().unwrap().y;
        if is_upper { along } else { edge.length - along }
    });
    pieces.collect()
}

#[test]
fn a_notch_moved_in_the_draft_moves_on_both_pieces() {
    let (before, after) = (walked(&seamed(85)), walked(&seamed(95)));
    for (before, after) in before.iter().zip(&after) {
        assert!(
            (before - 85.0).abs() < 0.01 && (after - 95.0).abs() < 0.01,
            "{before} {after}"
        );
    }
}

/// A mitten: a pair, a button on the left alone, a drill hole on the right, a bust point that is no hole; and a bag on the
/// fold with a pocket on one side. Where each lies is known from the draft.
const SIDED: &str = "draft \"Sided\"
unit mm
panel mitten {
  text shown_half = \"right\"
  point button_place = origin right 20mm down 30mm
  point hole_place = origin right 60mm down 40mm
  point plain_place = origin right 30mm down 80mm
  line upper = from origin toward right for 100mm
  line outer = from end of upper toward down for 150mm
  line lower = from end of outer to (origin down 120mm)
  line inner = from end of lower to origin
}
piece mitten \"Mitten\" {
  outline upper, outer, lower, inner
  cut 4
  grain along inner
  allow 10mm
  finish upper, outer, lower, inner \"sewn to the lining\"
  mark button_place \"button\" on left with diameter 12mm, thickness 2mm
  mark hole_place \"drill for the strap\" on right
  mark plain_place \"do not drill here\"
}
panel bag {
  text shown_half = \"left\"
  list corners = [origin right 50mm down 50mm, origin right 120mm down 50mm]
  line upper = from origin toward right for 200mm
  line outer = from end of upper toward down for 300mm
  line lower = from end of outer toward left for 200mm
  line centre = from end of lower to origin
}
piece bag \"Bag\" {
  outline upper, outer, lower, centre
  cut 1 on fold at centre
  grain along centre
  allow 10mm
  finish upper, outer, lower \"bound\"
  mark corners \"drill for the pocket\" on right
}
";

fn is_there(found: &[(f64, f64)], wanted: &[(f64, f64)]) -> bool {
    found.len() == wanted.len() && wanted.iter().all(|w| found.iter().any(|f| near(*f, *w)))
}

#[test]
fn what_one_side_has_is_on_that_side_alone_and_only_drills_are_holes() {
    let outcome = example_drafts::text(SIDED, &[]);
    assert!(outcome.diagnostics.is_empty(), "{:#?}", outcome.diagnostics);
    let drawing = read(&outcome.pattern);
    let (left, right) = (
        named(&drawing, "MITTEN_LEFT-40"),
        named(&drawing, "MITTEN_RIGHT-40"),
    );
    // The sheet shows the right half: the left is its mirror image.
    assert!(is_there(&points(&right, "13"), &[(60.0, -40.0)]));
    assert!(is_there(&points(&left, "13"), &[]));
    assert!(is_there(&points(&right, "8"), &[(30.0, -80.0)]));
    assert!(is_there(
        &points(&left, "8"),
        &[(-30.0, -80.0), (-20.0, -30.0)]
    ));
    for (block, label, there, missing) in [
        (
            &left,
            "Piece Name: Mitten, wearer's left",
            "button",
            "drill for the strap",
        ),
        (
            &right,
            "Piece Name: Mitten, wearer's right",
            "drill for the strap",
            "button",
        ),
    ] {
        let said = texts(block);
        for words in [label, "Quantity: 2", there, "do not drill here"] {
            assert!(said.iter().any(|text| text == words), "{words}: {said:?}");
        }
        assert!(!said.iter().any(|text| text == missing), "{said:?}");
        let ring = polygon(polylines(block, "1")[0]);
        assert!(geo::Validation::is_valid(&ring), "{label}");
    }
    // A half on the fold would be mirrored with its holes: it is whole, they are on one half.
    let bag = named(&drawing, "BAG-40");
    assert!(on(&bag, "6").is_empty());
    assert!(is_there(
        &points(&bag, "13"),
        &[(-50.0, -50.0), (-120.0, -50.0)]
    ));
    let area = polygon(polylines(&bag, "1")[0]).unsigned_area();
    assert!((area - 420.0 * 320.0).abs() < 0.01, "{area}");
}

/// Holes as the drafts have them, counted by hand: four for the pocket of the left front, one 10 mm inside each point of a
/// dart that ends in the piece. No hole stands on a dart's point, nor on a bust point; every outline is simple.
#[test]
fn the_examples_are_drilled_where_they_say_and_nowhere_else() {
    let drills = |name: &str, block: &str| match (name, block) {
        ("womens-crew-shirt", "FRONT_LEFT-40") => 4,
        ("fitted-blouse", "FRONT_LEFT-40" | "FRONT_RIGHT-40" | "BACK-40") => 3,
        ("straight-skirt", "BACK-40") => 2,
        ("straight-skirt", "FRONT-40") => 1,
        ("trousers", "FRONT-40" | "BACK-40") => 1,
        _ => 0,
    };
    for name in [
        "womens-crew-shirt",
        "mens-crew-shirt",
        "fitted-blouse",
        "deck-smock",
        "card-block-shirt",
        "ferry-shirt",
        "straight-skirt",
        "trousers",
        "princess-bodice",
        "hooded-smock",
    ] {
        let pattern = example_drafts::example(&format!("{name}.draft"), &[]).pattern;
        let drawing = read(&pattern);
        let mut found = 0;
        for block in drawing.blocks().filter(|block| block.name.ends_with("-40")) {
            let entities: Vec<&Entity> = block.entities.iter().collect();
            let holes = points(&entities, "13");
            assert_eq!(
                holes.len(),
                drills(name, &block.name),
                "{name}: {}",
                block.name
            );
            found += holes.len();
            let rings = polylines(&entities, "1")
                .into_iter()
                .chain(polylines(&entities, "11"));
            for ring in rings {
                assert!(
                    geo::Validation::is_valid(&polygon(ring)),
                    "{name}: {}",
                    block.name
                );
                let row = vertices(ring);
                let next = row.iter().cycle().skip(1);
                for (a, b) in row.iter().zip(next) {
                    assert!(
                        (a.x - b.x).hypot(a.y - b.y) > 1e-4,
                        "{name}: {}",
                        block.name
                    );
                }
            }
            let stem = block.name.trim_end_matches("-40").to_lowercase();
            let piece = ["_left", "_right"]
                .iter()
                .find_map(|side| stem.strip_suffix(side));
            let Some(piece) = pattern.piece(piece.unwrap_or(&stem)) else {
                panic!("{name}: {stem}")
            };
            let over = if stem.ends_with("_left") { -1.0 } else { 1.0 };
            for dart in &piece.darts {
                for tip in std::iter::once(dart.apex).chain(dart.other_apex) {
                    let far = |hole: &(f64, f64)| (over * hole.0 - tip.x).hypot(hole.1 - tip.y);
                    let nearest = holes.iter().map(far).fold(f64::INFINITY, f64::min);
                    assert!(
                        (nearest - 10.0).abs() < 0.001,
                        "{name}: {nearest} from a point"
                    );
                }
            }
        }
        let said = example_drafts::as_json(&example_drafts::example(&format!("{name}.draft"), &[]));
        let marks = said["pieces"].as_array().unwrap().iter().flat_map(|piece| {
            let sided = piece["marks"]
                .as_array()
                .unwrap()
                .iter()
                .any(|m| !m["side"].is_null());
            let drills = piece["marks"]
                .as_array()
                .unwrap()
                .iter()
                .filter(|m| m["drill"] == true);
            drills.map(move |mark| {
                if sided && mark["side"].is_null() {
                    2
                } else {
                    1
                }
            })
        });
        assert_eq!(found, marks.sum::<usize>(), "{name}: drills said");
    }
}
