//! Words as a cutter reads them: none is cut short or leaves its sheet, none is said twice beside itself, and those that a dart, an
//! inch ruler and a screen need are there. Read from the SVG and the PDF by `roxmltree` and `lopdf`.

use super::clear::{all, strokes};
use super::reader::Pdf;
use crate::example_drafts::{as_json, example};
use kurbo::{Rect, Shape as _};
use oaktag_output::drawing::compose::compose;
use oaktag_output::drawing::manner::Scale;
use oaktag_output::drawing::style::Hand;
use oaktag_output::drawing::{Drawing, Layer, Shape};
use oaktag_output::pages::lay_out;
use oaktag_output::sheet::{PageSize, Sheet};
use oaktag_output::{lay, pdf, svg};

fn stays_on_its_sheet(at: &str, drawing: &Drawing) {
    // Joints run along whole sheets of paper, which reach beyond what is drawn.
    if drawing.layer(Layer::Joins).next().is_some() {
        return;
    }
    let sheet = Rect::new(0.0, 0.0, drawing.width, drawing.height).inflate(0.01, 0.01);
    for item in drawing.items() {
        let (bounds, what) = match &item.shape {
            Shape::Text(text) => (text.frame().bounds(), text.letters.as_str()),
            Shape::Stroke(path, _) => (path.bounding_box(), "a line"),
            Shape::Fill(..) => continue,
        };
        assert_eq!(sheet.union(bounds), sheet, "{at}: {what} at {bounds:?}");
    }
}

#[test]
fn no_words_are_cut_or_leave_their_sheet() {
    let sheets = [
        Sheet::Page(PageSize::A4),
        Sheet::Page(PageSize::Letter),
        Sheet::Page(PageSize::A0),
        Sheet::Fit,
    ];
    let mut words = 0;
    for (n, (name, mut pattern)) in all().into_iter().enumerate() {
        // Long enough for what a draft is called and issued for.
        pattern.title = format!("{} for Lower Sound Ferries, winter", pattern.title);
        pattern.issue.made_for = Some("the second mate of the night boat".to_owned());
        stays_on_its_sheet(&name, &compose(&pattern));
        let lays = lay::draw(&pattern, 5.0);
        stays_on_its_sheet(&name, &lays);
        assert!(
            lays.texts().all(|text| !text.letters.contains('…')),
            "{name}"
        );
        for (s, sheet) in sheets.into_iter().enumerate() {
            if !super::at_the_table::every() && s != n % 4 && s != 0 {
                continue;
            }
            let at = format!("{name}, {sheet:?}");
            let document = lay_out(&pattern, sheet, Scale::Full).unwrap();
            for drawing in &document.drawings {
                stays_on_its_sheet(&at, drawing);
            }
            let read = Pdf::read(&pdf::write(&document, &[]).bytes);
            for page in 1..=read.pages.len() {
                let text = read.text(page);
                assert!(!text.contains('…'), "{at}, page {page}: {text}");
                words += text.split_whitespace().count();
            }
        }
    }
    assert!(words > 10_000, "{words}");
}

/// "on fold · 8" with "centre back 8" beside it says the same twice.
#[test]
fn an_edge_on_the_fold_is_said_once() {
    let mut folds = 0;
    for (name, pattern) in all() {
        let drawing = compose(&pattern);
        let text = svg::of_drawing(&drawing);
        let document = roxmltree::Document::parse(&text).unwrap();
        let said = |layer: &str, piece: &str, edge: &str| {
            let group = document
                .descendants()
                .find(|node| node.attribute("id") == Some(layer));
            let texts = group.unwrap().children().filter(|node| {
                node.has_tag_name("text")
                    && node.attribute("data-piece") == Some(piece)
                    && node.attribute("data-name") == Some(edge)
            });
            texts
                .filter(|node| node.attribute("class") != Some(Hand::EdgeWords.name()))
                .count()
        };
        for piece in &pattern.pieces {
            for edge in piece.edges.iter().filter(|edge| edge.on_fold) {
                let of = format!("{name}, {}: {}", piece.name, edge.name);
                let (on_fold, beside) = (
                    said("fold", &piece.name, &edge.name),
                    said("text", &piece.name, &edge.name),
                );
                assert!(on_fold + beside <= 1, "{of}: {on_fold} and {beside}");
                folds += on_fold;
            }
        }
    }
    assert!(folds > 40, "{folds}");
}

/// Beside each dart that is pressed one way, and no arrow through any.
#[test]
fn a_dart_says_which_way_it_is_pressed_and_no_arrow_runs_through_it() {
    let mut darts = 0;
    for name in ["straight-skirt", "fitted-blouse", "trousers"] {
        let outcome = example(&format!("{name}.draft"), &[]);
        let drawing = compose(&outcome.pattern);
        let json = as_json(&outcome);
        for piece in json["pieces"].as_array().unwrap() {
            let of = piece["name"].as_str().unwrap();
            let texts = drawing
                .layer(Layer::Text)
                .filter(|item| item.piece.as_deref() == Some(of));
            let said: Vec<&str> = texts
                .filter_map(|item| match &item.shape {
                    Shape::Text(text) => Some(text.letters.as_str()),
                    _ => None,
                })
                .collect();
            for dart in piece["darts"].as_array().unwrap() {
                let pressed = dart["pressed"].as_str().unwrap().replace('_', " ");
                let words = format!("dart, pressed toward {pressed}");
                let is_said = said.contains(&words.as_str());
                assert!(is_said || pressed.is_empty(), "{name}, {of}: {said:?}");
                darts += 1;
            }
            let strokes = strokes(&drawing);
            let own = |one: &&super::clear::Stroke<'_>| one.item.piece.as_deref() == Some(of);
            let arrow = strokes
                .iter()
                .filter(own)
                .find(|one| one.layer == Layer::Grain);
            let arrow = arrow.unwrap().bounds.inflate(1.0, 0.0);
            let legs = strokes.iter().filter(own).filter(|one| {
                let name = one.item.name.as_deref().unwrap_or_default();
                name.contains("dart_") && one.layer == Layer::Marks
            });
            for leg in legs {
                assert!(
                    !leg.bounds.overlaps(arrow),
                    "{name}, {of}: {:?}",
                    leg.item.name
                );
            }
        }
    }
    assert!(darts >= 8, "{darts}");
}

/// Two inches and a multiple of four, in a draft whose figures are inches; 50 mm and hundreds in any other.
#[test]
fn a_draft_in_inches_is_measured_with_an_inch_ruler() {
    for (name, bar, part, words) in [
        (
            "card-block-shirt",
            2.0 * 25.4,
            4.0 * 25.4,
            "in: measure when",
        ),
        ("ferry-shirt", 50.0, 100.0, "mm: measure when"),
    ] {
        let pattern = example(&format!("{name}.draft"), &[]).pattern;
        let document = lay_out(&pattern, Sheet::Page(PageSize::A4), Scale::Full).unwrap();
        let read = Pdf::read(&pdf::write(&document, &[]).bytes);
        for page in &read.pages {
            let lines = page.paths.iter().filter(|path| path.layer == "test-square");
            let level = lines.map(|path| path.path.bounding_box());
            let level = level.filter(|bounds| bounds.height() < 3.0);
            let found = level
                .map(|bounds| bounds.width())
                .any(|w| (w - bar).abs() < 0.001);
            assert!(found, "{name}, {}", page.label);
        }
        let mut long = 0;
        let drawings = document.drawings.iter();
        for item in drawings.flat_map(|drawing| drawing.layer(Layer::TestSquare)) {
            match &item.shape {
                Shape::Stroke(path, _) if item.name.as_deref() == Some("check line") => {
                    let bounds = path.bounding_box();
                    let parts = bounds.width().max(bounds.height()) / part;
                    assert!((parts - parts.round()).abs() < 1e-6, "{name}: {parts}");
                    long += 1;
                }
                Shape::Text(text) if item.name.as_deref() == Some("check line") => {
                    assert!(text.letters.contains(words), "{}", text.letters);
                }
                _ => {}
            }
        }
        assert_eq!(long, 2, "{name}");
    }
}

/// The tint of the sheet is for screens: CSS 2.1, 7.2.1, from memory.
#[test]
fn the_tint_of_the_sheet_is_not_printed() {
    let text = svg::write(&example("ferry-shirt.draft", &[]).pattern);
    let document = roxmltree::Document::parse(&text).unwrap();
    let style = document
        .descendants()
        .find(|node| node.has_tag_name("style"))
        .and_then(|node| node.text())
        .unwrap();
    assert!(style.contains("@media print{.sheet{fill:none}}"), "{style}");
    let mut filled = document
        .descendants()
        .filter(|node| node.attribute("class") == Some("sheet"));
    assert!(filled.next().is_some() && filled.next().is_none());
}

/// A piece that has room for it has its label level, not up along its side.
#[test]
fn a_label_is_level_where_there_is_room() {
    let pattern = example("womens-crew-shirt.draft", &[]).pattern;
    for sheet in [
        Sheet::Fit,
        Sheet::Page(PageSize::A4),
        Sheet::Page(PageSize::A0),
    ] {
        let document = lay_out(&pattern, sheet, Scale::Full).unwrap();
        for piece in ["yoke", "back", "front", "sleeve"] {
            let label = &pattern.piece(piece).unwrap().label;
            let texts = document.drawings.iter().flat_map(Drawing::texts);
            let named = texts.filter(|text| text.hand.bold() && text.letters == *label);
            let level = named.map(|text| text.along.x).fold(0.0, f64::max);
            assert!(level > 0.99, "{sheet:?}: {piece}");
        }
    }
}

/// What the draft calls its points stands apart from what a cutter needs: without it each piece still has its name.
#[test]
fn names_of_points_are_a_layer_apart() {
    let pattern = example("womens-crew-shirt.draft", &[]).pattern;
    let mut drawing = compose(&pattern);
    assert!(drawing.layer(Layer::Names).count() > 20);
    drawing.keep(&[Layer::Cut, Layer::Text]);
    let text = svg::of_drawing(&drawing);
    let document = roxmltree::Document::parse(&text).unwrap();
    let words: Vec<&str> = document
        .descendants()
        .filter(|node| node.has_tag_name("text"))
        .filter_map(|node| node.text())
        .map(str::trim)
        .collect();
    for piece in &pattern.pieces {
        let first = piece.label.split(' ').next().unwrap();
        assert!(
            words.iter().any(|said| said.contains(first)),
            "{}",
            piece.label
        );
    }
    for point in ["shoulder point", "seam neck", "yoke end", "side hip"] {
        assert!(!words.contains(&point), "{point}");
    }
}
