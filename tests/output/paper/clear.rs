//! Words that can be read, arrows that can be seen: no two words on each other, none struck by a line, no arrowhead on one, and a
//! key that has a row for each kind of line that is shown and for no other.

use super::at_the_table::drafts;
use crate::example_drafts::example;
use kurbo::{BezPath, Point, Rect, Shape as _};
use oaktag_language::pattern::Pattern;
use oaktag_output::drawing::compose::compose;
use oaktag_output::drawing::manner::Scale;
use oaktag_output::drawing::style::{Hand, Pen};
use oaktag_output::drawing::{Drawing, Item, Layer, Shape, Text};
use oaktag_output::pages::lay_out;
use oaktag_output::sheet::{PageSize, Sheet};
use oaktag_output::{pdf, svg, walk};
use std::collections::BTreeSet;

const EXAMPLES: [&str; 19] = [
    "womens-crew-shirt",
    "mens-crew-shirt",
    "ferry-shirt",
    "fitted-blouse",
    "deck-smock",
    "card-block-shirt",
    "straight-skirt",
    "deck-skirt",
    "half-circle-skirt",
    "trousers",
    "hooded-smock",
    "raglan-shirt",
    "puff-sleeve",
    "princess-bodice",
    "two-piece-sleeve",
    "deck-vest",
    "house/styles/deck-skirt",
    "house/styles/full-skirt",
    "house/styles/rain-skirt",
];

pub(super) fn all() -> Vec<(String, Pattern)> {
    let examples = EXAMPLES.iter().map(|name| {
        let pattern = example(&format!("{name}.draft"), &[]).pattern;
        ((*name).to_owned(), pattern)
    });
    examples.chain(drafts()).collect()
}

/// A line on a shown layer, as straight stretches.
pub(super) struct Stroke<'a> {
    pub(super) layer: Layer,
    pub(super) item: &'a Item,
    pen: Pen,
    stretches: Vec<(Point, Point)>,
    pub(super) bounds: Rect,
}

fn stretches(path: &BezPath) -> Vec<(Point, Point)> {
    let mut found = Vec::new();
    let (mut last, mut start) = (Point::ZERO, Point::ZERO);
    kurbo::flatten(path, 0.05, |element| match element {
        kurbo::PathEl::MoveTo(p) => (last, start) = (p, p),
        kurbo::PathEl::LineTo(p) => {
            found.push((last, p));
            last = p;
        }
        kurbo::PathEl::ClosePath => found.push((last, start)),
        kurbo::PathEl::QuadTo(..) | kurbo::PathEl::CurveTo(..) => {}
    });
    found
}

const HIDDEN: [Layer; 3] = [Layer::Construction, Layer::Names, Layer::Paper];

fn shown(drawing: &Drawing) -> impl Iterator<Item = (Layer, &Item)> {
    let layers = Layer::ALL
        .into_iter()
        .filter(|layer| !HIDDEN.contains(layer));
    layers.flat_map(|layer| drawing.layer(layer).map(move |item| (layer, item)))
}

fn texts(drawing: &Drawing) -> Vec<(&Item, &Text)> {
    let texts = shown(drawing).filter_map(|(_, item)| match &item.shape {
        Shape::Text(text) => Some((item, text)),
        _ => None,
    });
    texts.collect()
}

pub(super) fn strokes(drawing: &Drawing) -> Vec<Stroke<'_>> {
    let strokes = shown(drawing).filter_map(|(layer, item)| match &item.shape {
        Shape::Stroke(path, pen) => Some(Stroke {
            layer,
            item,
            pen: *pen,
            stretches: stretches(path),
            bounds: path.bounding_box(),
        }),
        _ => None,
    });
    strokes.collect()
}

/// Pairs of words that lie on each other.
fn collisions(drawing: &Drawing) -> Vec<String> {
    let texts = texts(drawing);
    let frames: Vec<_> = texts
        .iter()
        .map(|(_, text)| text.frame().grown(-0.15))
        .collect();
    let mut found = Vec::new();
    for (n, (_, a)) in texts.iter().enumerate() {
        for (m, (_, b)) in texts[..n].iter().enumerate() {
            if frames[n].overlaps(&frames[m]) {
                found.push(format!("{} on {}", a.letters, b.letters));
            }
        }
    }
    found
}

/// Words on a line: all but such as cross a fold or a sewing line in their own height.
fn struck(drawing: &Drawing) -> Vec<String> {
    let strokes = strokes(drawing);
    let mut found = Vec::new();
    for (item, text) in texts(drawing) {
        if item.piece.is_none() {
            continue;
        }
        let frame = text.frame().grown(-0.15);
        let bounds = frame.bounds();
        for stroke in &strokes {
            let light = matches!(stroke.pen, Pen::Leader | Pen::NotchGuide | Pen::Frame);
            if light || !stroke.bounds.inflate(1.0, 1.0).overlaps(bounds) {
                continue;
            }
            let under: f64 = stroke
                .stretches
                .iter()
                .map(|(a, b)| frame.covers(*a, *b))
                .sum();
            let most = match stroke.pen {
                Pen::Sew | Pen::Fold => 1.3 * text.hand.size(),
                _ => 0.6,
            };
            if under > most {
                let (letters, pen) = (&text.letters, stroke.pen);
                found.push(format!(
                    "{letters} over {:?} {pen:?}: {under:.1} mm",
                    stroke.item.name
                ));
            }
        }
    }
    found
}

fn gap(a: (Point, Point), b: (Point, Point)) -> f64 {
    let from = |p: Point, (a, b): (Point, Point)| {
        let way = b - a;
        let share = (p - a).dot(way) / way.hypot2().max(1e-12);
        (a + way * share.clamp(0.0, 1.0) - p).hypot()
    };
    let side = |o: (Point, Point), p: Point| (o.1 - o.0).cross(p - o.0);
    let parts = |a: (Point, Point), b: (Point, Point)| side(a, b.0) * side(a, b.1) < 0.0;
    if parts(a, b) && parts(b, a) {
        return 0.0;
    }
    let ends = [from(a.0, b), from(a.1, b), from(b.0, a), from(b.1, a)];
    ends.into_iter().fold(f64::INFINITY, f64::min)
}

/// Arrowheads nearer to a line of their piece than half a millimetre, and how many arrows there are.
fn hidden_heads(drawing: &Drawing) -> (Vec<String>, usize) {
    let strokes = strokes(drawing);
    let arrows = strokes.iter().filter(|one| one.layer == Layer::Grain);
    let (mut found, mut count) = (Vec::new(), 0);
    for arrow in arrows {
        count += 1;
        // The first stretch is the shaft.
        let others = strokes.iter().filter(|other| {
            other.item.piece == arrow.item.piece
                && other.layer != Layer::Grain
                && !matches!(other.pen, Pen::NotchGuide | Pen::Leader | Pen::Frame)
        });
        for other in others {
            let heads = arrow.stretches[1..].iter();
            let gaps = heads.flat_map(|head| other.stretches.iter().map(|line| gap(*head, *line)));
            let least = gaps.fold(f64::INFINITY, f64::min);
            if least < 0.5 {
                let piece = arrow.item.piece.as_deref().unwrap();
                found.push(format!("{piece}: {least:.1} mm from {:?}", other.item.name));
            }
        }
    }
    (found, count)
}

/// On every sheet, at full scale; smaller scales share what no drawing can do without.
#[test]
fn words_can_be_read_and_arrows_seen() {
    let sheets = [
        Sheet::Page(PageSize::A4),
        Sheet::Page(PageSize::Letter),
        Sheet::Page(PageSize::A0),
        Sheet::Fit,
    ];
    let scales = [Scale::Full, Scale::Half, Scale::Quarter];
    let every = super::at_the_table::every();
    let (mut words, mut arrows, mut crowded, mut wrong) = (0, 0, 0, 0);
    for (d, (name, pattern)) in all().iter().enumerate() {
        for (s, sheet) in sheets.into_iter().enumerate() {
            for scale in scales {
                let is_next = match scale {
                    Scale::Full => s == d % 4,
                    Scale::Half => s == (d + 1) % 4,
                    Scale::Quarter => s == (d + 2) % 4,
                };
                if !every && !is_next {
                    continue;
                }
                let at = format!("{name}, {sheet:?}, {scale:?}");
                let document = lay_out(pattern, sheet, scale).unwrap();
                for drawing in &document.drawings {
                    let on_words = collisions(drawing);
                    assert!(on_words.is_empty(), "{at}: {on_words:?}");
                    let (heads, count) = hidden_heads(drawing);
                    let on_lines = struck(drawing);
                    // All that is wrong is told, not the first of it.
                    if scale == Scale::Full {
                        on_lines.iter().for_each(|told| println!("{at}: {told}"));
                        heads.iter().for_each(|told| println!("{at}: {told}"));
                        wrong += on_lines.len() + heads.len();
                    }
                    words += texts(drawing).len();
                    arrows += count;
                    crowded += on_lines.len() + heads.len();
                }
            }
        }
    }
    println!("{words} words, {arrows} arrows; {crowded} on a line at small scales");
    assert_eq!(wrong, 0, "at full scale, told above");
    assert!(words > 4000 && arrows > 300, "{words} {arrows}");
    assert!(crowded * 60 < words, "{crowded} of {words}");
}

/// Pens by their class: those of the drawing, but for what has words beside it or frames the sheet, and those of the key.
fn classes(svg: &str) -> (BTreeSet<String>, BTreeSet<String>) {
    let document = roxmltree::Document::parse(svg).unwrap();
    let (mut drawn, mut told) = (BTreeSet::new(), BTreeSet::new());
    for node in document
        .descendants()
        .filter(|node| node.has_tag_name("path"))
    {
        let class = node.attribute("class").unwrap();
        let layer = node
            .parent()
            .and_then(|group| group.attribute("id"))
            .unwrap();
        if node.attribute("data-name") == Some("key") {
            told.insert(class.to_owned());
        } else if !matches!(
            layer,
            "paper" | "pieces" | "title" | "test-square" | "cautions"
        ) {
            let shown = match class {
                "fold" => "fold-edge",
                // From a name to its place, and into the allowance: they explain themselves.
                "leader" | "notch-guide" | "dot" | "construction-dot" => continue,
                other => other,
            };
            drawn.insert(shown.to_owned());
        }
    }
    (drawn, told)
}

#[test]
fn the_key_has_a_row_for_each_line_that_is_shown_and_for_no_other() {
    let kept: [&[Layer]; 4] = [
        &[],
        &[Layer::Cut, Layer::Sew, Layer::Title],
        &[
            Layer::Cut,
            Layer::Fold,
            Layer::Notches,
            Layer::Marks,
            Layer::Title,
        ],
        &[Layer::Construction, Layer::Sew, Layer::Title],
    ];
    let mut rows = BTreeSet::new();
    for (name, pattern) in all() {
        for layers in kept {
            let mut drawing = compose(&pattern);
            if !layers.is_empty() {
                drawing.keep(layers);
            }
            let (drawn, told) = classes(&svg::of_drawing(&drawing));
            assert_eq!(told, drawn, "{name}, {layers:?}");
            rows.extend(told);
        }
    }
    for class in [
        "open",
        "held",
        "match",
        "drill",
        "mark",
        "gone",
        "construction",
    ] {
        assert!(rows.contains(class), "no example has {class}: {rows:?}");
    }
}

/// On pages construction waits to be switched on, and its rows with it.
#[test]
fn a_page_says_nothing_of_what_waits() {
    let pattern = example("ferry-shirt.draft", &[]).pattern;
    assert!(svg::write(&pattern).contains("as it was"));
    for sheet in [
        Sheet::Page(PageSize::A4),
        Sheet::Page(PageSize::A0),
        Sheet::Fit,
    ] {
        let document = lay_out(&pattern, sheet, Scale::Full).unwrap();
        let hidden = [Layer::Construction, Layer::Names];
        let read = super::reader::Pdf::read(&pdf::write(&document, &hidden).bytes);
        let text = read.text(1);
        assert!(text.contains("fold") && text.contains("notch"), "{text}");
        assert!(
            !text.contains("as it was") && !text.contains("construction"),
            "{text}"
        );
        let mut asked = document.clone();
        asked.keep(&[Layer::Construction, Layer::Cut, Layer::Title]);
        let read = super::reader::Pdf::read(&pdf::write(&asked, &[]).bytes);
        let text = read.text(1);
        assert!(
            text.contains("as it was") && !text.contains("notch"),
            "{text}"
        );
    }
}

/// Where a seam is left open stands what it is left open for, beside dots that no other line has.
#[test]
fn an_opening_has_its_own_look_and_its_word() {
    let dashes: BTreeSet<_> = [Pen::Fold, Pen::Sew, Pen::Held, Pen::Match, Pen::NotchGuide]
        .into_iter()
        .map(|pen| format!("{:?}", pen.dashes()))
        .collect();
    assert!(!dashes.contains(&format!("{:?}", Pen::Open.dashes())));
    for (name, wanted) in [
        (
            "straight-skirt",
            ["open 20: zip", "open 15: slit"].as_slice(),
        ),
        ("trousers", &["open 15: zip"]),
    ] {
        let pattern = example(&format!("{name}.draft"), &[]).pattern;
        for scale in [Scale::Full, Scale::Half, Scale::Quarter] {
            let document = lay_out(&pattern, Sheet::Fit, scale).unwrap();
            let drawing = &document.drawings[0];
            let strokes = strokes(drawing);
            for words in wanted {
                let text = texts(drawing);
                let text = text.iter().find(|(_, text)| text.letters == **words);
                let (item, text) = text.unwrap_or_else(|| panic!("{name}, {scale:?}: no {words}"));
                let dots = strokes.iter().filter(|one| one.pen == Pen::Open);
                let own = dots.filter(|one| one.item.piece == item.piece);
                let off = own
                    .flat_map(|one| &one.stretches)
                    .map(|(a, _)| (text.frame().nearest(*a) - *a).hypot())
                    .fold(f64::INFINITY, f64::min);
                assert!(off < 15.0, "{name}, {scale:?}: {words} {off} mm off");
            }
        }
    }
}

/// The walk's picture has a title, says its scale, and a row for each line in it; the bar is true to the paper at any scale.
#[test]
fn the_picture_of_a_walk_has_title_scale_and_key() {
    let pens = |svg: &str| {
        let document = roxmltree::Document::parse(svg).unwrap();
        let paths = document
            .descendants()
            .filter(|node| node.has_tag_name("path"));
        let (key, rest): (Vec<_>, Vec<_>) =
            paths.partition(|node| node.attribute("data-name") == Some("key"));
        let classes = |nodes: Vec<roxmltree::Node<'_, '_>>| -> BTreeSet<String> {
            let classes = nodes.iter().filter_map(|node| node.attribute("class"));
            classes
                .filter(|class| *class != "square")
                .map(str::to_owned)
                .collect()
        };
        (classes(key), classes(rest))
    };
    let mut seen = BTreeSet::new();
    for (draft, seams) in [
        ("womens-crew-shirt", ["armhole", "neck"].as_slice()),
        ("straight-skirt", &["centre_back", "waist"]),
        ("puff-sleeve", &["armhole"]),
        ("trousers", &["inseam", "crotch"]),
    ] {
        let pattern = example(&format!("{draft}.draft"), &[]).pattern;
        for seam in seams {
            let seam = pattern.seam(seam).unwrap();
            for scale in [Scale::Full, Scale::Half, Scale::Quarter] {
                let drawing = walk::draw(&pattern, seam, scale);
                let svg = svg::of_drawing(&drawing);
                let (key, drawn) = pens(&svg);
                assert_eq!(key, drawn, "{draft}, {}", seam.name);
                seen.extend(key);
                let said: Vec<&str> = drawing.texts().map(|text| text.letters.as_str()).collect();
                let title = drawing
                    .texts()
                    .find(|text| text.letters.starts_with(&pattern.title));
                let title = title.unwrap_or_else(|| panic!("{said:?}"));
                assert!(title.hand.size() > Hand::Sheet.size(), "{:?}", title.hand);
                assert!(
                    said.iter().any(|words| words.starts_with(scale.words())),
                    "{said:?}"
                );
                assert!(
                    collisions(&drawing).is_empty(),
                    "{:?}",
                    collisions(&drawing)
                );
                let bar = drawing
                    .layer(Layer::TestSquare)
                    .find_map(|item| match &item.shape {
                        Shape::Stroke(path, _) => Some(path.bounding_box().width()),
                        _ => None,
                    });
                assert_eq!(bar, Some(100.0));
                for opening in &seam.openings {
                    let words = format!("open: {}", opening.words);
                    assert!(said.contains(&words.as_str()), "{words}: {said:?}");
                }
            }
        }
    }
    for class in ["open", "held", "mark", "notch", "notch-guide", "cut"] {
        assert!(seen.contains(class), "{class}: {seen:?}");
    }
}
