//! The cutting-room file read back with the `dxf` crate, which shares no code with the writer: its layers are those of ASTM
//! D6673 (from memory), its boundaries enclose what the pattern says, its letters come back as they were.
#![allow(
    clippy::indexing_slicing,
    clippy::unwrap_used,
    clippy::expect_used,
    missing_docs,
    reason = "a test that fails should say so where it does"
)]

mod example_drafts;

use dxf::Drawing;
use dxf::entities::{Entity, EntityType, Polyline};
use geo::{Area, Coord, LineString, Polygon};
use oaktag::output::dxf as written;
use oaktag::pattern::spec::{NotchForm, Value};
use oaktag::pattern::{Pattern, Piece};

fn shirt() -> Pattern {
    example_drafts::example("ferry-shirt.draft", &[]).pattern
}

fn read(pattern: &Pattern) -> Drawing {
    let text = written::write(pattern, "40");
    Drawing::load(&mut text.as_bytes()).unwrap()
}

fn block<'a>(drawing: &'a Drawing, piece: &Piece) -> Vec<&'a Entity> {
    let name = format!("{}-40", piece.name.to_uppercase());
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
        let buttons = piece
            .marks
            .iter()
            .filter(|mark| matches!(mark.shape, Value::Point(_)))
            .count();
        assert_eq!(on(&entities, "13").len(), buttons, "{}", piece.name);
    }
    let front = block(&drawing, pattern.piece("front").unwrap());
    assert_eq!(on(&front, "8").len(), 2, "two fold lines");
    assert!(
        points(&front, "13").is_empty() != on(&front, "13").is_empty()
            || !on(&front, "13").is_empty()
    );
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
