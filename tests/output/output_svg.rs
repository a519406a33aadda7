//! The SVG read back with a reader that shares no code with the writer, and the drawing measured as a reader sees it.

use crate::pattern_fixture;

use expect_test::expect_file;
use kurbo::{Affine, BezPath, ParamCurveArclen, Point, Shape as _};
use oaktag_geometry::path::Path;
use oaktag_language::pattern::build;
use oaktag_language::pattern::spec::{Drawn, NamedValue, Value};
use oaktag_output::drawing::frame::TextFrame;
use oaktag_output::drawing::{Drawing, Layer, Shape, compose::compose};
use oaktag_output::{number, svg};
use roxmltree::{Document, Node};

fn written(drawn: &Drawn) -> String {
    svg::write(&build(drawn).0)
}

/// Writes the drawing where `OAKTAG_DRAW` names a folder, to be looked at.
fn keep(name: &str, text: &str) {
    if let Ok(folder) = std::env::var("OAKTAG_DRAW") {
        std::fs::write(format!("{folder}/{name}.svg"), text).unwrap();
    }
}

fn group<'a, 'i>(document: &'a Document<'i>, id: &str) -> Node<'a, 'i> {
    document
        .descendants()
        .find(|node| node.attribute("id") == Some(id))
        .unwrap_or_else(|| panic!("no group {id}"))
}

fn length(data: &str) -> f64 {
    BezPath::from_svg(data)
        .unwrap()
        .segments()
        .map(|seg| seg.arclen(1e-6))
        .sum()
}

/// Lengths in user units are millimetres: CSS Values 3 fixes 1in = 25.4mm, and the view box is as many units wide as the
/// sheet has millimetres.
#[test]
fn the_sheet_is_true_to_size() {
    let text = written(&pattern_fixture::shirt());
    keep("shirt", &text);
    let document = Document::parse(&text).unwrap();
    let root = document.root_element();
    let (width, height) = (
        root.attribute("width").unwrap(),
        root.attribute("height").unwrap(),
    );
    let view = root.attribute("viewBox").unwrap();
    assert_eq!(
        view,
        format!(
            "0 0 {} {}",
            width.trim_end_matches("mm"),
            height.trim_end_matches("mm")
        )
    );
    assert!(width.ends_with("mm") && height.ends_with("mm"));
}

#[test]
fn the_test_square_is_a_hundred_millimetres_and_says_what_to_do() {
    let text = written(&pattern_fixture::shirt());
    let document = Document::parse(&text).unwrap();
    let square = group(&document, "test-square");
    let path = square
        .descendants()
        .find(|node| node.attribute("class") == Some("square"))
        .unwrap();
    let path = BezPath::from_svg(path.attribute("d").unwrap()).unwrap();
    let (bounds, area) = (path.bounding_box(), path.area().abs());
    assert!((bounds.width() - 100.0).abs() < 1e-9 && (bounds.height() - 100.0).abs() < 1e-9);
    assert!((area - 10_000.0).abs() < 1e-6);
    let words: Vec<&str> = square
        .descendants()
        .filter_map(|node| node.text())
        .map(str::trim)
        .collect();
    let words = words.join(" ");
    for wanted in ["Print at 100 %", "measure the square", "before cutting"] {
        assert!(words.contains(wanted), "{words}");
    }
}

#[test]
fn every_edge_and_cutting_line_is_drawn_as_long_as_it_is() {
    let (pattern, _) = build(&pattern_fixture::shirt());
    let text = svg::write(&pattern);
    let document = Document::parse(&text).unwrap();
    let (sew, cut) = (group(&document, "sew"), group(&document, "cut"));
    for piece in &pattern.pieces {
        for edge in piece.edges.iter().filter(|edge| !edge.on_fold) {
            let drawn = sew.children().find(|node| {
                node.attribute("data-piece") == Some(&piece.name)
                    && node.attribute("data-name") == Some(&edge.name)
            });
            let found = length(drawn.unwrap().attribute("d").unwrap());
            assert!(
                (found - edge.length).abs() < 0.01,
                "{} {}: {found}",
                piece.name,
                edge.name
            );
        }
        let parts = cut
            .children()
            .filter(|node| node.attribute("data-piece") == Some(&piece.name));
        let found: f64 = parts.map(|node| length(node.attribute("d").unwrap())).sum();
        let on_fold = |index: &usize| piece.edges.get(*index).is_some_and(|edge| edge.on_fold);
        let wanted = piece
            .cut_edges
            .iter()
            .filter(|(index, _)| !on_fold(index))
            .map(|(_, path)| path.length().unwrap());
        assert!(
            (found - wanted.sum::<f64>()).abs() < 0.02,
            "{}: {found}",
            piece.name
        );
    }
}

fn frames(drawing: &Drawing) -> Vec<(String, TextFrame)> {
    drawing
        .texts()
        .map(|text| (text.letters.clone(), text.frame()))
        .collect()
}

fn collisions(drawing: &Drawing) -> Vec<String> {
    let frames = frames(drawing);
    let mut found = Vec::new();
    for (n, (a, frame)) in frames.iter().enumerate() {
        for (b, other) in frames.iter().skip(n + 1) {
            if frame.overlaps(other) {
                found.push(format!("{a} / {b}"));
            }
        }
    }
    found
}

/// Millimetres of cutting and sewing line under names of edges and points.
fn struck(drawing: &Drawing) -> Vec<(String, f64)> {
    let mut found = Vec::new();
    for text in drawing.texts() {
        let frame = text.frame();
        let mut under = 0.0;
        for item in drawing.layer(Layer::Cut).chain(drawing.layer(Layer::Sew)) {
            let Shape::Stroke(path, _) = &item.shape else {
                continue;
            };
            let mut last: Option<Point> = None;
            kurbo::flatten(path, 0.1, |element| {
                if let Some(point) = element.end_point() {
                    under += last.map_or(0.0, |from| frame.covers(from, point));
                    last = Some(point);
                }
            });
        }
        if under > 0.5 {
            found.push((text.letters.clone(), under));
        }
    }
    found
}

#[test]
fn no_name_lies_on_another_nor_across_a_line_that_is_cut_or_sewn() {
    let drawing = compose(&build(&pattern_fixture::shirt()).0);
    assert!(
        collisions(&drawing).is_empty(),
        "{:#?}",
        collisions(&drawing)
    );
    let struck = struck(&drawing);
    let texts = drawing.texts().count();
    assert!(
        struck.len() * 25 <= texts,
        "{} of {texts} texts lie on a line: {struck:#?}",
        struck.len()
    );
    let sheet = kurbo::Rect::new(0.0, 0.0, drawing.width, drawing.height);
    for (letters, frame) in frames(&drawing) {
        let bounds = frame.bounds();
        assert!(sheet.union(bounds) == sheet, "{letters} leaves the sheet");
    }
}

#[test]
fn every_edge_and_every_corner_point_is_named() {
    let (pattern, _) = build(&pattern_fixture::shirt());
    let drawing = compose(&pattern);
    let said: Vec<&str> = drawing.texts().map(|text| text.letters.as_str()).collect();
    for piece in &pattern.pieces {
        let numbered = format!("{} {}", piece.number.0, piece.label);
        let is_label = |text: &&str| *text == piece.label || text.starts_with(&numbered);
        assert!(said.iter().any(is_label), "{}", piece.label);
        for edge in &piece.edges {
            let name = edge.name.replace('_', " ");
            assert!(
                said.iter().any(|text| text.contains(&name)),
                "{} {name}",
                piece.name
            );
        }
    }
    for point in ["underarm", "cf neck", "crown", "front armhole", "side hem"] {
        assert!(said.contains(&point), "{point}");
    }
}

#[test]
fn layers_have_ids_and_lines_differ_by_more_than_colour() {
    let text = written(&pattern_fixture::shirt());
    let document = Document::parse(&text).unwrap();
    for layer in Layer::ALL {
        group(&document, layer.id());
    }
    use oaktag_output::drawing::style::Pen;
    assert!(Pen::Cut.dashes().is_empty() && !Pen::Sew.dashes().is_empty());
    assert!(Pen::Cut.width() > 1.4 * Pen::Sew.width());
    assert!(Pen::Construction.width() < 0.6 * Pen::Sew.width());
}

/// Letters of a draft are data in every place they reach.
#[test]
fn texts_of_a_draft_never_become_markup() {
    let nasty = "</text><script>alert(1)</script> & \"q\" 'a' <!-- ]]> \u{1}\u{0}\u{202e}😀 שלום";
    let mut drawn = pattern_fixture::shirt();
    drawn.title = nasty.to_owned();
    drawn.pieces[0].label = nasty.to_owned();
    drawn.pieces[0].name = nasty.to_owned();
    drawn.pieces[0].edges[2].name = nasty.to_owned();
    drawn.cloths[0].label = nasty.to_owned();
    drawn.cautions = vec![nasty.to_owned()];
    let text = written(&drawn);
    let document = Document::parse(&text).unwrap();
    assert!(
        document
            .descendants()
            .all(|node| node.tag_name().name() != "script")
    );
    assert!(!text.contains('\u{1}') && !text.contains('\u{202e}'));
    let title = document
        .descendants()
        .find(|node| node.tag_name().name() == "title")
        .unwrap();
    let wanted = "</text><script>alert(1)</script> & \"q\" 'a' <!-- ]]> 😀 שלום";
    assert_eq!(title.text().unwrap().trim(), wanted);
    assert!(
        document
            .descendants()
            .any(|node| node.has_tag_name("text") && node.text().unwrap_or("").trim() == wanted)
    );
}

/// A draft that has only a panel: what a beginner sees after the first step.
fn panel_only() -> Drawn {
    let reference = pattern_fixture::Reference::read();
    let mut drawn = Drawn {
        title: "First block".to_owned(),
        ..Drawn::default()
    };
    let mut add = |name: &str, value: Value| {
        drawn.values.push(NamedValue {
            name: name.to_owned(),
            value,
            file: "block.draft".to_owned(),
            line: 3,
            step: Some(1),
        });
    };
    for (name, point) in [
        ("cb_neck", "B0"),
        ("cb_scye", "B1"),
        ("cb_waist", "B2"),
        ("neck_point", "NB"),
        ("shoulder_point", "SB"),
        ("underarm", "U"),
    ] {
        add(
            &format!("back.{name}"),
            Value::Point(reference.point(point)),
        );
    }
    add("back.centre", Value::Line(reference.line("B0", "B3")));
    add("back.neck", Value::Curve(reference.curve("neckB")));
    add("back.armhole", Value::Curve(reference.curve("scyeB")));
    add(
        "back.scye_line",
        Value::Line(Path::endless(reference.point("B1"), kurbo::Vec2::new(1.0, 0.0)).unwrap()),
    );
    add("front.neck", Value::Curve(reference.curve("neckF")));
    add("front.cf_neck", Value::Point(reference.point("FN")));
    add("half", Value::Length(500.0));
    drawn
}

#[test]
fn a_draft_without_pieces_shows_its_panels() {
    let drawing = compose(&build(&panel_only()).0);
    keep("panels", &svg::of_drawing(&drawing));
    assert!(collisions(&drawing).is_empty());
    let said: Vec<&str> = drawing.texts().map(|text| text.letters.as_str()).collect();
    for wanted in [
        "back",
        "front",
        "shoulder point",
        "armhole 216.4",
        "cf neck",
    ] {
        assert!(said.contains(&wanted), "{wanted}: {said:?}");
    }
}

/// The line that was redrawn stands among the construction, in its own pen, with a row in the key.
#[test]
fn a_line_that_was_redrawn_is_shown_as_it_was() {
    let mut drawn = panel_only();
    let reference = pattern_fixture::Reference::read();
    let old = reference
        .curve("neckB")
        .transformed(Affine::translate((0.0, 9.0)));
    drawn.redrawn.push(("back.neck".to_owned(), old.clone()));
    let text = written(&drawn);
    let document = Document::parse(&text).unwrap();
    let construction = group(&document, "construction");
    let mut gone = construction
        .descendants()
        .filter(|node| node.attribute("class") == Some("gone"));
    let path = gone.next().and_then(|node| node.attribute("d")).unwrap();
    assert!((length(path) - old.length().unwrap()).abs() < 0.01);
    assert!(text.contains("as it was"));
    assert!(!written(&panel_only()).contains("as it was"));
}

#[test]
fn a_draft_with_nothing_in_it_is_still_a_sheet() {
    let text = written(&Drawn::default());
    Document::parse(&text).unwrap();
    assert!(text.contains("Untitled draft"));
}

/// The paper leaves the room: what fails is said on the piece itself.
#[test]
fn a_failed_seam_and_a_failed_check_are_printed_on_the_pieces_they_concern() {
    let mut drawn = pattern_fixture::shirt();
    drawn.checks[0].ok = false;
    drawn.checks[0].measured = "2.10 cm".to_owned();
    let longer = pattern_fixture::stretched(&drawn, "front.side", 1.02);
    let (pattern, _) = build(&longer);
    let drawing = compose(&pattern);
    keep("failing", &svg::of_drawing(&drawing));
    assert!(
        collisions(&drawing).is_empty(),
        "{:#?}",
        collisions(&drawing)
    );
    let on = |piece: &str| {
        let items = drawing
            .layer(Layer::Cautions)
            .filter(|item| item.piece.as_deref() == Some(piece));
        let texts = items.filter_map(|item| match &item.shape {
            Shape::Text(text) => Some(text.letters.clone()),
            Shape::Stroke(..) | Shape::Fill(..) => None,
        });
        texts.collect::<Vec<_>>().join(" ")
    };
    for piece in ["back", "front"] {
        assert!(
            on(piece).contains("Seam side does not fit"),
            "{piece}: {}",
            on(piece)
        );
        assert!(
            on(piece).contains("Check fails: armhole balance"),
            "{piece}: {}",
            on(piece)
        );
    }
    assert!(on("sleeve").is_empty());
}

#[test]
fn the_small_drawing_is_as_recorded() {
    let text = written(&panel_only());
    expect_file!["../output/panels.svg"].assert_eq(&text);
    assert_eq!(text, written(&panel_only()));
    assert!(
        !text.contains("NaN") && !text.contains("inf") && !text.contains("-0 "),
        "{}",
        number::fixed(0.0, 1)
    );
}

/// Nothing a draft can hold makes the drawing slow, endless or broken.
#[test]
fn hostile_patterns_are_drawn_all_the_same() {
    let mut drawn = pattern_fixture::shirt();
    let long = "x".repeat(20_000);
    drawn.title.clone_from(&long);
    drawn.pieces[1].label.clone_from(&long);
    drawn.pieces[1].edges[0].name = long.clone();
    drawn.measures[0].name = long.clone();
    for n in 0..20_000 {
        let point = Point::new(f64::from(n % 200), -f64::from(n / 200) * 5.0);
        drawn.values.push(NamedValue {
            name: format!("back.point_{n}"),
            value: Value::Point(point),
            file: String::new(),
            line: 1,
            step: None,
        });
    }
    let far = Path::line(Point::new(-9e6, -9e6), Point::new(9e6, 9e6)).unwrap();
    drawn.values.push(NamedValue {
        name: "back.far".to_owned(),
        value: Value::Line(far),
        file: String::new(),
        line: 1,
        step: None,
    });
    let drawing = compose(&build(&drawn).0);
    assert!(collisions(&drawing).is_empty());
    assert!(
        drawing.width < 2000.0 && drawing.height < 2000.0,
        "{} {}",
        drawing.width,
        drawing.height
    );
    let text = svg::of_drawing(&drawing);
    Document::parse(&text).unwrap();
    assert!(text.len() < 2_000_000, "{}", text.len());
}

/// Every class that a drawing uses is styled in it; a letter without a style comes out in the reader's own size.
#[test]
fn every_class_in_use_has_its_style() {
    let pattern = build(&pattern_fixture::shirt()).0;
    for text in [
        svg::of_drawing(&compose(&pattern)),
        svg::of_drawing(&oaktag_output::lay::draw(&pattern, 0.0)),
    ] {
        let document = Document::parse(&text).unwrap();
        let css: String = document
            .descendants()
            .filter(|node| node.has_tag_name("style"))
            .filter_map(|node| node.text())
            .collect();
        for class in document
            .descendants()
            .filter_map(|node| node.attribute("class"))
        {
            assert!(css.contains(&format!(".{class}{{")), "{class} has no style");
        }
    }
}
