//! The words of the cutting-room file, read back with the `dxf` crate: all of them inside the boundary of their piece, which
//! kurbo's winding judges; how each edge is sewn among them; notches of each form apart.

use crate::example_drafts;

use dxf::Drawing;
use dxf::entities::{Entity, EntityType};
use kurbo::{BezPath, Point, Shape as _};
use oaktag_language::pattern::Pattern;
use oaktag_language::pattern::spec::NotchForm;
use oaktag_output::dxf as written;

fn blocks(pattern: &Pattern) -> Vec<(String, Vec<Entity>)> {
    let text = written::write(pattern, "40");
    let drawing = Drawing::load(&mut text.as_bytes()).unwrap();
    let blocks = drawing
        .blocks()
        .filter(|block| !block.name.starts_with(['*', '$']));
    blocks
        .map(|block| (block.name.clone(), block.entities.clone()))
        .collect()
}

fn boundary(entities: &[Entity]) -> BezPath {
    let line = entities.iter().find_map(|entity| match &entity.specific {
        EntityType::Polyline(line) if entity.common.layer == "1" => Some(line),
        _ => None,
    });
    let mut path = BezPath::new();
    for (at, vertex) in line.unwrap().vertices().enumerate() {
        let p = (vertex.location.x, vertex.location.y);
        if at == 0 {
            path.move_to(p)
        } else {
            path.line_to(p)
        }
    }
    path.close_path();
    path
}

/// Layer, letters, height, and the two ends of the line that they stand on: a letter of release 12's own face is as wide as high
/// at the most (from memory).
fn texts(entities: &[Entity]) -> Vec<(&str, &str, f64, [Point; 2])> {
    let mut found = Vec::new();
    for entity in entities {
        if let EntityType::Text(text) = &entity.specific {
            let start = Point::new(text.location.x, text.location.y);
            let way = kurbo::Vec2::from_angle(text.rotation.to_radians());
            let letters = text.value.chars().count() as f64;
            let end = start + way * (letters * text.text_height);
            let layer = entity.common.layer.as_str();
            found.push((layer, text.value.as_str(), text.text_height, [start, end]));
        }
    }
    found
}

const EXAMPLES: [&str; 8] = [
    "womens-crew-shirt",
    "mens-crew-shirt",
    "fitted-blouse",
    "deck-smock",
    "card-block-shirt",
    "trousers",
    "hooded-smock",
    "princess-bodice",
];

#[test]
fn every_word_stands_inside_its_piece() {
    let (mut whole, mut begun) = (0, 0);
    for name in EXAMPLES {
        let pattern = example_drafts::example(&format!("{name}.draft"), &[]).pattern;
        for (block, entities) in blocks(&pattern) {
            let outline = boundary(&entities);
            for (_, letters, height, [start, end]) in texts(&entities) {
                let lifted = |share: f64| start.lerp(end, share);
                assert!(
                    outline.contains(start),
                    "{name}, {block}: {letters} at {start:?}"
                );
                assert!(height >= 1.0, "{name}, {block}: {letters}");
                let runs = (0..=20).all(|n| outline.contains(lifted(f64::from(n) / 20.0)));
                whole += usize::from(runs);
                begun += usize::from(!runs);
            }
        }
    }
    println!("{whole} lines of words inside, {begun} begun inside");
    assert!(whole > 900 && begun * 100 < whole, "{whole} {begun}");
}

#[test]
fn each_piece_says_what_a_machine_sorts_by_and_how_each_edge_is_sewn() {
    for name in EXAMPLES {
        let pattern = example_drafts::example(&format!("{name}.draft"), &[]).pattern;
        for (block, entities) in blocks(&pattern) {
            let said = texts(&entities);
            for begins in [
                "Piece Name: ",
                "Size: 40",
                "Quantity: ",
                "Category: ",
                "Annotation: piece ",
            ] {
                let mut on_one = said.iter().filter(|(layer, ..)| *layer == "1");
                let found = on_one.any(|(_, letters, ..)| letters.starts_with(begins));
                assert!(found, "{name}, {block}: no {begins}");
            }
            let stem = block.trim_end_matches("-40").to_lowercase();
            let sides = ["_left", "_right"];
            let plain = sides
                .iter()
                .find_map(|side| stem.strip_suffix(side))
                .unwrap_or(&stem);
            let Some(piece) = pattern.piece(plain).or(pattern.piece(&stem)) else {
                continue;
            };
            let sewn = piece
                .edges
                .iter()
                .filter(|edge| !edge.on_fold && edge.mouth.is_none());
            for edge in sewn.filter(|_| piece.inside_of.is_none()) {
                let finish = edge.finish.clone().unwrap_or_default();
                let ascii = finish.is_ascii();
                let mut words = said.iter().filter(|(layer, ..)| *layer == "15");
                let found = words.any(|(_, letters, ..)| letters.contains(&finish));
                assert!(found || !ascii, "{name}, {block}, {}: {finish}", edge.name);
            }
        }
    }
}

/// A slit has no width, a V is as wide as its mouth, a T is on its own layer (from memory of the standard): the third figure of
/// the point.
#[test]
fn notches_of_each_form_are_told_apart() {
    let mut pattern = example_drafts::example("ferry-shirt.draft", &[]).pattern;
    let forms = [
        NotchForm::Vee,
        NotchForm::Slit,
        NotchForm::Tee,
        NotchForm::Single,
    ];
    let piece = &mut pattern.pieces[0];
    let wanted: Vec<(Point, f64, NotchForm)> = piece
        .notches
        .iter_mut()
        .zip(forms)
        .flat_map(|(notch, form)| {
            notch.form = form;
            notch
                .marks
                .iter()
                .map(move |mark| (mark.cut, mark.depth, form))
                .collect::<Vec<_>>()
        })
        .collect();
    assert!(wanted.len() >= 4);
    let name = format!("{}-40", piece.name.to_uppercase());
    let (_, entities) = blocks(&pattern)
        .into_iter()
        .find(|(block, _)| *block == name)
        .unwrap();
    for (at, depth, form) in wanted {
        let there = entities.iter().find_map(|entity| match &entity.specific {
            EntityType::ModelPoint(point) if matches!(entity.common.layer.as_str(), "4" | "80") => {
                let far = (point.location.x - at.x).hypot(point.location.y - at.y);
                (far < 0.001).then_some((
                    entity.common.layer.as_str(),
                    point.location.z,
                    point.thickness,
                ))
            }
            _ => None,
        });
        let (layer, wide, deep) = there.unwrap();
        let (on, width) = match form {
            NotchForm::Tee => ("80", 5.0),
            NotchForm::Vee => ("4", depth),
            _ => ("4", 0.0),
        };
        assert!(
            layer == on && (wide - width).abs() < 0.001 && (deep - depth).abs() < 0.001,
            "{form:?}: {there:?}"
        );
    }
    let said = texts(&entities);
    let counts = said
        .iter()
        .find(|(_, letters, ..)| letters.starts_with("Notches: "));
    assert!(counts.unwrap().1.contains("1 tee, 1 vee, "), "{counts:?}");
}
