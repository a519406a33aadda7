//! The nest as it lies on paper, read back from the file by an independent reader: the fold is no cutting line, growth runs from
//! corner to corner, sizes stand clear of lines, and in front of tiles goes a page with the squares and the map.

use crate::reader::Pdf;
use crate::sizes::{BOX, set_of};
use kurbo::{BezPath, Point, Rect, Shape as _, Vec2};
use oaktag_language::kind::Dimension;
use oaktag_output::drawing::frame::TextFrame;
use oaktag_output::drawing::style::Hand;
use oaktag_output::drawing::{Anchor, Text};
use oaktag_output::pages::lay_out_drawing;
use oaktag_output::sheet::{PageSize, Sheet};
use oaktag_output::{pdf, svg};
use oaktag_studio::sizes::set::table::{Group, rows};
use oaktag_studio::sizes::set::{Set, nest};

const TABLE: &str = "size,chest,long\nS,80,38\nM,88,40\nL,96,42\nXL,104,44\n";

fn shirt() -> Set {
    let example = |name: &str| {
        std::fs::read_to_string(format!("{}/examples/{name}", env!("CARGO_MANIFEST_DIR"))).unwrap()
    };
    let draft = example("womens-crew-shirt.draft");
    set_of(&draft, &example("sizes.csv"), 2)
}

/// A line or a text of the file, with its layer, its class and what it belongs to.
struct Node {
    layer: String,
    class: String,
    piece: String,
    name: String,
    path: BezPath,
    frame: Option<(String, TextFrame)>,
}

fn read(svg: &str) -> Vec<Node> {
    let tree = roxmltree::Document::parse(svg).unwrap();
    let root = tree.root_element();
    let groups = root.children().filter(|node| node.has_tag_name("g"));
    let of_group = |group: roxmltree::Node<'_, '_>| {
        let layer = group.attribute("id").unwrap().to_owned();
        let of_node = |node: roxmltree::Node<'_, '_>| {
            let text = |name: &str| node.attribute(name).unwrap_or_default().to_owned();
            let frame = node.has_tag_name("text").then(|| written(node));
            Node {
                layer: layer.clone(),
                class: text("class"),
                piece: text("data-piece"),
                name: text("data-name"),
                path: BezPath::from_svg(&text("d")).unwrap(),
                frame,
            }
        };
        let nodes = group.children().filter(roxmltree::Node::is_element);
        nodes.map(of_node).collect::<Vec<_>>()
    };
    groups.flat_map(of_group).collect()
}

/// The letters of a text, and the box that they keep to.
fn written(node: roxmltree::Node<'_, '_>) -> (String, TextFrame) {
    let number = |name: &str| node.attribute(name).unwrap().parse::<f64>().unwrap();
    let letters = node.text().unwrap_or_default().trim().to_owned();
    let anchor = match node.attribute("text-anchor") {
        Some("middle") => Anchor::Middle,
        Some("end") => Anchor::End,
        _ => Anchor::Start,
    };
    let hands = [Hand::PointName, Hand::EdgeName, Hand::PieceText];
    let class = node.attribute("class").unwrap();
    let hand = hands.into_iter().find(|hand| hand.name() == class);
    let turn = node.attribute("transform").map_or(0.0, |turn| {
        let turn = turn.strip_prefix("rotate(").unwrap();
        turn.split(' ').next().unwrap().parse::<f64>().unwrap()
    });
    let along = Vec2::from_angle(turn.to_radians());
    let at = Point::new(number("x"), number("y"));
    let text = Text::new(&letters, at, anchor, hand.unwrap_or(Hand::EdgeName)).along(along);
    (letters, text.frame())
}

fn chords(path: &BezPath) -> Vec<(Point, Point)> {
    let mut chords = Vec::new();
    let mut last = Point::ZERO;
    kurbo::flatten(path, 0.05, |element| match element {
        kurbo::PathEl::MoveTo(p) => last = p,
        kurbo::PathEl::LineTo(p) => {
            chords.push((last, p));
            last = p;
        }
        _ => {}
    });
    chords
}

#[test]
fn the_fold_is_marked_and_no_cutting_line() {
    let file = svg::of_drawing(&nest::draw(&set_of(BOX, TABLE, 1), &[], &[]));
    let nodes = read(&file);
    for piece in ["back", "front"] {
        let of = |layer: &str| {
            let own = |node: &&Node| node.layer == layer && node.piece == piece;
            nodes.iter().filter(own).collect::<Vec<_>>()
        };
        let folds: Vec<&Node> = of("fold")
            .into_iter()
            .filter(|node| node.name != "fold")
            .collect();
        assert_eq!(folds.len(), 4, "{piece}: a fold for each size");
        let at = folds[0].path.bounding_box().x0;
        // A size's fold is as long as it and its two allowances.
        for (fold, long) in folds.iter().zip([380.0, 420.0, 440.0, 400.0]) {
            let bounds = fold.path.bounding_box();
            assert!(bounds.width() < 0.001 && (bounds.x0 - at).abs() < 0.001);
            assert!((bounds.height() - long - 20.0).abs() < 0.001, "{bounds:?}");
            assert!(fold.class.starts_with("fold"));
        }
        let cuts = of("cut");
        assert_eq!(cuts.len(), 4);
        for cut in cuts {
            let on_fold = chords(&cut.path);
            let mut on_fold = on_fold
                .iter()
                .filter(|(a, b)| (a.x - at).abs() < 0.01 && (b.x - at).abs() < 0.01);
            assert!(
                on_fold.next().is_none(),
                "{piece} {}: cut on its fold",
                cut.name
            );
        }
        // A bracket with a head at either end, its words, and a grain arrow with two heads.
        let marks: Vec<&Node> = of("fold")
            .into_iter()
            .filter(|node| node.name == "fold")
            .collect();
        assert!(
            marks.iter().any(|node| node.path.segments().count() == 7),
            "{piece}"
        );
        assert!(
            marks
                .iter()
                .any(|node| matches!(&node.frame, Some((words, _)) if words == "on fold"))
        );
        let grain = of("grain");
        assert!(
            grain
                .iter()
                .any(|node| node.class == "grain" && node.path.segments().count() == 5)
        );
    }
}

/// The outer corner of each size of the box: a quarter of the chest and one allowance from the fold, an allowance beyond either end.
#[test]
fn growth_runs_from_corner_to_corner() {
    let nodes = read(&svg::of_drawing(&nest::draw(
        &set_of(BOX, TABLE, 1),
        &[],
        &[],
    )));
    let corners: Vec<[Point; 2]> = nodes
        .iter()
        .filter(|node| node.layer == "cut" && node.piece == "back")
        .map(|node| node.path.bounding_box())
        .map(|b: Rect| [Point::new(b.x1, b.y1), Point::new(b.x1, b.y0)])
        .collect();
    let ladders: Vec<Vec<Point>> = nodes
        .iter()
        .filter(|node| node.layer == "construction" && node.piece == "back")
        .map(|node| {
            node.path
                .elements()
                .iter()
                .filter_map(kurbo::PathEl::end_point)
                .collect()
        })
        .collect();
    for which in [0, 1] {
        let through = |ladder: &&Vec<Point>| {
            let on =
                |corner: &[Point; 2]| ladder.iter().any(|p| (*p - corner[which]).hypot() < 0.01);
            ladder.len() == 4 && corners.iter().all(on)
        };
        assert!(
            ladders.iter().any(|ladder| through(&ladder)),
            "{which}: {ladders:?} {corners:?}"
        );
    }
    // Of a shirt, whose corners are squared, mitred and turned back, each rung lies on the cutting line of its size.
    let nodes = read(&svg::of_drawing(&nest::draw(&shirt(), &[], &[])));
    let near = |p: Point, node: &Node| {
        let lines = chords(&node.path)
            .into_iter()
            .map(|(a, b)| kurbo::Line::new(a, b));
        let far = lines.map(|line| kurbo::ParamCurveNearest::nearest(&line, p, 1e-6).distance_sq);
        far.fold(f64::INFINITY, f64::min).sqrt()
    };
    let ladders = nodes.iter().filter(|node| node.layer == "construction");
    let mut rungs = 0;
    for ladder in ladders {
        for p in ladder
            .path
            .elements()
            .iter()
            .filter_map(kurbo::PathEl::end_point)
        {
            let own = |node: &&Node| {
                let cut = node.layer == "cut" || (node.layer == "fold" && node.name != "fold");
                cut && node.piece == ladder.piece
            };
            let least = nodes.iter().filter(own).map(|node| near(p, node));
            let least = least.fold(f64::INFINITY, f64::min);
            assert!(least < 0.06, "{}: {p:?} lies {least} mm off", ladder.piece);
            rungs += 1;
        }
    }
    assert!(rungs > 300, "{rungs}");
}

#[test]
fn sizes_stand_clear_of_every_line() {
    let nodes = read(&svg::of_drawing(&nest::draw(&shirt(), &[], &[])));
    let sizes: Vec<(&Node, &String, TextFrame)> = nodes
        .iter()
        .filter(|node| node.class == "point-name")
        .filter_map(|node| {
            node.frame
                .as_ref()
                .map(|(words, frame)| (node, words, *frame))
        })
        .collect();
    assert!(sizes.len() > 7 * 10, "{}", sizes.len());
    for (number, (node, words, frame)) in sizes.iter().enumerate() {
        let at = format!("{}, {words}", node.piece);
        for line in nodes
            .iter()
            .filter(|line| line.class != "leader" && line.class != "sheet")
        {
            let under: f64 = chords(&line.path)
                .iter()
                .map(|(a, b)| frame.covers(*a, *b))
                .sum();
            assert!(
                under < 0.01,
                "{at} stands on {under} mm of a {} of {}",
                line.class,
                line.piece
            );
        }
        let mut others = sizes.iter().skip(number + 1);
        assert!(
            !others.any(|(.., other)| frame.overlaps(other)),
            "{at} stands on another"
        );
    }
}

#[test]
fn tiles_have_a_page_with_squares_and_map_and_every_tile_a_cutting_line() {
    for (set, size) in [
        (set_of(BOX, TABLE, 1), PageSize::A4),
        (shirt(), PageSize::Letter),
    ] {
        let sheet = Sheet::Page(size);
        let drawing = nest::draw_for_print(&set, &[], &[], sheet);
        let document = lay_out_drawing(drawing, sheet).unwrap();
        let file = Pdf::read(&pdf::write(&document, &nest::WAITING).bytes);
        let covers = file
            .pages
            .iter()
            .take_while(|page| !page.paths.iter().any(|path| path.layer == "cut"));
        let covers = covers.count();
        assert!((1..=2).contains(&covers), "{covers} pages before the tiles");
        let squares = file.pages[0]
            .paths
            .iter()
            .filter(|path| path.layer == "test-square");
        let squares: Vec<f64> = squares
            .map(|path| path.path.bounding_box().width())
            .collect();
        for side in [100.0, 4.0 * 25.4] {
            assert!(
                squares.iter().any(|found| (found - side).abs() < 0.001),
                "{squares:?}"
            );
        }
        let text = file.text(1);
        let said = [
            "How the tiles lie",
            "sizes nested",
            "Print this page alone",
            "lies on the fold",
        ];
        for words in said.into_iter().chain(set.names()) {
            assert!(text.contains(words), "{words}: {text}");
        }
        for (number, page) in file.pages.iter().enumerate().skip(covers) {
            assert!(text.contains(&page.label), "{} is on the map", page.label);
            let words = file.text(number + 1);
            assert!(!words.contains("sizes nested"), "{}: {words}", page.label);
            let window = Rect::new(
                10.0,
                10.0,
                page.size.0 * 25.4 / 72.0 - 10.0,
                page.size.1 * 25.4 / 72.0 - 17.0,
            );
            let crossed = |path: &BezPath| {
                let mut spots = chords(path).into_iter().flat_map(|(a, b)| {
                    let steps = ((b - a).hypot()).ceil().max(1.0) as u32;
                    (0..=steps).map(move |n| a.lerp(b, f64::from(n) / f64::from(steps)))
                });
                spots.any(|spot| window.contains(spot))
            };
            let mut lines = page
                .paths
                .iter()
                .filter(|path| path.layer == "cut" || path.layer == "fold");
            // A tile may lie whole inside a piece.
            let round = |path: &BezPath| path.bounding_box().contains(window.center());
            assert!(
                lines.any(|line| crossed(&line.path) || round(&line.path)),
                "{} has no line",
                page.label
            );
        }
    }
}

/// Both halves of a piece on the fold: by hand, a box of a quarter of the chest and one allowance, twice.
#[test]
fn areas_are_of_whole_pieces() {
    let set = set_of(BOX, TABLE, 1);
    let rows = rows(&set);
    let row = rows
        .iter()
        .find(|row| row.group == Group::Areas && row.name == "back")
        .unwrap();
    assert_eq!(row.dimension, Dimension::AREA);
    for (found, (chest, long)) in row.values.iter().zip([
        (800.0, 380.0),
        (880.0, 400.0),
        (960.0, 420.0),
        (1040.0, 440.0),
    ]) {
        let whole = 2.0 * (chest / 4.0 + 10.0) * (long + 20.0);
        assert!((found.unwrap() - whole).abs() < 0.01, "{found:?} {whole}");
    }
    assert!(oaktag_studio::sizes::set::table::text(&set, &rows).contains("Whole pieces, cut"));
}
