//! How drawings lie on their sheets: neighbours level, no sheet for a sliver or for one column of figures, the grain arrow beside the
//! label of a small piece, a notch at the fold wide enough to be seen. Read from the pages and drawings as they are written.

use crate::drawing::Run;
use crate::example_drafts::example;
use kurbo::{BezPath, ParamCurve, ParamCurveArclen, Rect, Shape as _};
use oaktag_language::pattern::Pattern;
use oaktag_output::drawing::compose::{compose, compose_as};
use oaktag_output::drawing::manner::{Head, Manner, Scale, Width};
use oaktag_output::drawing::style::{Hand, Pen};
use oaktag_output::drawing::{Drawing, Layer, Shape};
use oaktag_output::pages::lay_out;
use oaktag_output::sheet::{PageSize, Sheet};

fn stroke<'a>(drawing: &'a Drawing, layer: Layer, piece: &str, name: &str) -> &'a BezPath {
    let mut items = drawing
        .layer(layer)
        .filter(|item| item.piece.as_deref() == Some(piece) && item.name.as_deref() == Some(name));
    let found = items.find_map(|item| match &item.shape {
        Shape::Stroke(path, _) => Some(path),
        _ => None,
    });
    found.unwrap_or_else(|| panic!("no {name} of {piece}"))
}

/// A back and a front whose sides are sewn to each other hang by the underarm, however far above it their shoulders stand.
#[test]
fn neighbours_hang_by_the_seam_at_their_sides_or_by_a_balance_line() {
    let ferry = example("ferry-shirt.draft", &[]).pattern;
    let drawing = compose(&ferry);
    let top = |piece: &str| {
        stroke(&drawing, Layer::Sew, piece, "side")
            .bounding_box()
            .y0
    };
    assert!(
        (top("back") - top("front")).abs() < 0.01,
        "{} {}",
        top("back"),
        top("front")
    );
    let draft = "draft \"Level\"
unit mm
panel one {
  line top = from origin toward right for 100mm
  line right_side = from end of top toward down for 200mm
  line low = from end of right_side toward left for 100mm
  line left_side = from end of low to origin
  line level = from (origin down 50mm) toward right for 100mm
}
panel two {
  line top = from (origin right 300mm) toward right for 100mm
  line right_side = from end of top toward down for 200mm
  line low = from end of right_side toward left for 100mm
  line left_side = from end of low to start of top
  line level = from (origin right 300mm down 90mm) toward right for 100mm
}
";
    // Without pieces it is the names that panels have in common: here nothing but the level agrees with itself.
    let bare = Run::of(draft).drawn().1.pattern;
    let drawing = compose(&bare);
    let at = |panel: &str| stroke(&drawing, Layer::Sew, panel, "top").bounding_box().y0;
    assert!(
        (at("one") - at("two")).abs() < 0.01,
        "most that they have in common is level"
    );
    let pieces = ["one", "two"].map(|name| {
        format!(
            "piece {name} {{
  outline top, right_side, low, left_side
  cut 1
  grain along left_side
  allow 10mm
  finish top, right_side, low, left_side
  mark level \"balance line\"
}}
"
        )
    });
    let pattern = Run::of(&format!("{draft}{}", pieces.concat()))
        .drawn()
        .1
        .pattern;
    let drawing = compose(&pattern);
    let at = |piece: &str| {
        let name = format!("{piece}.level");
        stroke(&drawing, Layer::Marks, piece, &name)
            .bounding_box()
            .y0
    };
    assert!(
        (at("one") - at("two")).abs() < 0.01,
        "{} {}",
        at("one"),
        at("two")
    );
}

/// Two panels whose sides lie level though they were drawn from origins of their own; their tops differ.
#[test]
fn panels_without_pieces_hang_by_what_they_have_in_common() {
    let draft = "draft \"Panels\"
unit mm
panel back {
  point nape = origin
  point underarm = origin right 240mm down 230mm
  line top = from nape toward right for 150mm
  line armhole = from end of top to underarm
  line side = from underarm toward down for 400mm
}
panel front {
  point pit = origin down 300mm right 300mm
  point underarm = origin right 500mm down 180mm
  line top = from (origin right 560mm) toward right for 150mm
  line armhole = from start of top to underarm
  line side = from underarm toward down for 400mm
}
";
    let drawing = compose(&Run::of(draft).drawn().1.pattern);
    let side = |panel: &str| stroke(&drawing, Layer::Sew, panel, "side").bounding_box();
    assert!((side("back").y0 - side("front").y0).abs() < 0.01);
    assert!((side("back").y1 - side("front").y1).abs() < 0.01);
    let top = |panel: &str| stroke(&drawing, Layer::Sew, panel, "top").bounding_box().y0;
    assert!((top("front") - top("back") - 50.0).abs() < 0.01);
}

/// Millimetres of a line inside a window.
fn shown(path: &BezPath, window: Rect) -> f64 {
    let lengths = path.segments().map(|seg| {
        let long = seg.arclen(0.1);
        let steps = long.ceil().max(1.0);
        let inside = (0..steps as u32).filter(|n| window.contains(seg.eval(f64::from(*n) / steps)));
        inside.count() as f64 * long / steps
    });
    lengths.sum()
}

/// The least length of cutting line on any tile.
fn least(pattern: &Pattern, size: PageSize) -> (f64, String, usize) {
    let document = lay_out(pattern, Sheet::Page(size), Scale::Full).unwrap();
    let whole = document
        .drawings
        .iter()
        .find(|drawing| drawing.layer(Layer::Pieces).next().is_some())
        .unwrap();
    let mut least = (f64::INFINITY, String::new());
    let mut tiles = 0;
    for page in document.pages.iter().filter(|page| page.views.len() > 2) {
        tiles += 1;
        let cell = page.views[0].shown.inflate(-5.0, -5.0);
        let lines = whole.items().filter_map(|item| match &item.shape {
            Shape::Stroke(path, Pen::Cut | Pen::FoldEdge) => Some(shown(path, cell)),
            Shape::Fill(path, _) if path.contains(cell.center()) => Some(1e3),
            _ => None,
        });
        let found: f64 = lines.sum();
        if found < least.0 {
            least = (found, page.name.clone());
        }
    }
    (least.0, least.1, tiles)
}

/// No sheet for a corner of a piece that a shift of some millimetres would have saved: the hood on Letter had one.
#[test]
fn no_sheet_has_but_a_sliver() {
    for (name, size, most) in [
        ("hooded-smock", PageSize::Letter, 21),
        ("womens-crew-shirt", PageSize::A4, 26),
        ("ferry-shirt", PageSize::A4, 14),
        ("fitted-blouse", PageSize::A4, 22),
    ] {
        let pattern = example(&format!("{name}.draft"), &[]).pattern;
        let (length, tile, tiles) = least(&pattern, size);
        println!("{name}: {tiles} tiles, at least {length:.0} mm of line, on {tile}");
        assert!(tiles <= most, "{name}: {tiles} tiles");
        assert!(length > 40.0, "{name}: {length} mm on {tile}");
    }
}

/// Pieces too tall to stand below the block have it beside them: no large sheet for the block alone.
#[test]
fn tall_pieces_have_the_block_beside_them() {
    let draft = "../tests/output/drafts/trousers-for-a-stocky-body.draft";
    let pattern = example(draft, &[]).pattern;
    let document = lay_out(&pattern, Sheet::Page(PageSize::A0), Scale::Full).unwrap();
    assert_eq!(document.pages.len(), 2);
    let view = document.pages[0].views[0];
    let drawing = &document.drawings[view.drawing];
    let window = view.shown.inset(-5.0);
    let bounds = |layer: Layer| {
        let shapes = drawing.layer(layer).map(|item| &item.shape);
        let bounds = shapes.map(|shape| match shape {
            Shape::Fill(path, _) | Shape::Stroke(path, _) => path.bounding_box(),
            Shape::Text(text) => text.frame().bounds(),
        });
        bounds.filter(|bounds| bounds.overlaps(window))
    };
    let pieces: Vec<Rect> = bounds(Layer::Pieces).collect();
    assert_eq!(pieces.len(), 1);
    let block: Vec<Rect> = bounds(Layer::Title)
        .chain(bounds(Layer::TestSquare))
        .collect();
    assert!(block.len() > 20);
    for part in block {
        assert!(!part.overlaps(pieces[0]) && part.x1 < window.x1, "{part:?}");
    }
}

/// Tables have a page of their own only where they fill more than one column of it.
#[test]
fn no_page_has_one_column_of_tables() {
    let mut pages = 0;
    for name in [
        "trousers",
        "deck-skirt",
        "puff-sleeve",
        "ferry-shirt",
        "womens-crew-shirt",
        "hooded-smock",
    ] {
        let pattern = example(&format!("{name}.draft"), &[]).pattern;
        for size in [PageSize::A4, PageSize::Letter] {
            let document = lay_out(&pattern, Sheet::Page(size), Scale::Full).unwrap();
            for page in document.pages.iter().filter(|page| page.name == "tables") {
                let drawing = &document.drawings[page.views[0].drawing];
                let middle = page.size.width / 2.0;
                let starts = drawing.texts().map(|text| text.frame().bounds().x0);
                let right = starts.filter(|start| *start > middle).count();
                assert!(
                    right > 5,
                    "{name}, {size:?}: {right} texts in the second column"
                );
                pages += 1;
            }
            let cover = &document.drawings[document.pages[0].views[0].drawing];
            let frames: Vec<_> = cover
                .texts()
                .map(|text| (text.letters.clone(), text.frame()))
                .collect();
            for (number, (letters, frame)) in frames.iter().enumerate() {
                let bounds = frame.bounds();
                assert!(
                    bounds.x1 <= page_right(size) && bounds.y1 <= size.size().height - 10.0,
                    "{name}: {letters}"
                );
                for (other, known) in &frames[..number] {
                    let frame = frame.grown(-0.3);
                    assert!(
                        !frame.overlaps(&known.grown(-0.3)),
                        "{name}, {size:?}: {letters} on {other}"
                    );
                }
            }
        }
    }
    println!("{pages} pages of tables");
}

fn page_right(size: PageSize) -> f64 {
    size.size().width - 8.0
}

/// At quarter scale labels are as large as the pieces: where there is room beside one the arrow stands there.
#[test]
fn the_grain_arrow_stands_beside_the_label_of_a_small_piece() {
    let (mut clear, mut under) = (0, Vec::new());
    for name in ["womens-crew-shirt", "fitted-blouse", "deck-smock"] {
        let pattern = example(&format!("{name}.draft"), &[]).pattern;
        let manner = Manner {
            scale: Scale::Quarter,
            width: Width::Free,
            head: Head::Block,
        };
        let drawing = compose_as(&pattern, manner);
        for piece in &pattern.pieces {
            let own = |item: &&oaktag_output::drawing::Item| {
                item.piece.as_deref() == Some(piece.name.as_str())
            };
            let arrow =
                drawing
                    .layer(Layer::Grain)
                    .filter(own)
                    .find_map(|item| match &item.shape {
                        Shape::Stroke(path, _) => Some(path),
                        _ => None,
                    });
            let Some(arrow) = arrow else { continue };
            let label =
                drawing
                    .layer(Layer::Text)
                    .filter(own)
                    .filter_map(|item| match &item.shape {
                        Shape::Text(text)
                            if item.name.is_none()
                                && matches!(
                                    text.hand,
                                    Hand::PieceNameSmall
                                        | Hand::PieceSmall
                                        | Hand::PieceNameTiny
                                        | Hand::PieceTiny
                                ) =>
                        {
                            Some(text.frame())
                        }
                        _ => None,
                    });
            let covered: f64 = label
                .map(|frame| {
                    let segs = arrow.segments();
                    segs.map(|seg| frame.covers(seg.start(), seg.end()))
                        .sum::<f64>()
                })
                .sum();
            if covered < 0.5 {
                clear += 1;
            } else {
                under.push(format!("{name}, {}: {covered:.1} mm", piece.name));
            }
        }
    }
    println!("{clear} clear; {under:?}");
    assert!(clear >= 25 && under.len() <= 3, "{clear} clear; {under:?}");
}

/// On the line of the fold a tick is not seen: half a wedge beside it, more than 2 mm wide.
#[test]
fn a_notch_at_the_fold_is_wide_enough_to_be_seen() {
    let drawing = compose(&example("womens-crew-shirt.draft", &[]).pattern);
    let mut wedges = 0;
    for piece in ["yoke", "collar_stand"] {
        let fold = drawing
            .layer(Layer::Fold)
            .find_map(|item| match &item.shape {
                Shape::Stroke(path, Pen::FoldEdge) if item.piece.as_deref() == Some(piece) => {
                    Some(path.bounding_box())
                }
                _ => None,
            });
        let fold = fold.unwrap();
        for item in drawing
            .layer(Layer::Notches)
            .filter(|item| item.piece.as_deref() == Some(piece))
        {
            if let Shape::Stroke(path, Pen::Notch) = &item.shape {
                let bounds = path.bounding_box();
                let at_fold = bounds.x0 < fold.x1 + 0.5 && bounds.x1 > fold.x0 - 0.5;
                if at_fold {
                    assert!(
                        bounds.width() > 2.0 && bounds.height() > 2.5,
                        "{piece}: {bounds:?}"
                    );
                    wedges += 1;
                }
            }
        }
    }
    assert!(wedges >= 2, "{wedges}");
}
