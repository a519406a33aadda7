//! What a cutter needs stays with the piece: its name inside its own cutting line, how each edge is sewn at that edge, and no sheet
//! of paper without a part of a piece on it. Examples and drafts of this folder's own, scales, sheets and units are gone through so
//! that every two of them meet; `OAKTAG_SHEETS=all` takes every one with every other.

use crate::example_drafts::example;
use kurbo::{BezPath, ParamCurve, ParamCurveArclen, ParamCurveNearest, Point, Rect, Shape as _};
use oaktag_language::pattern::{Edge, Pattern, Piece};
use oaktag_language::voice::LengthUnit;
use oaktag_output::drawing::frame::TextFrame;
use oaktag_output::drawing::manner::Scale;
use oaktag_output::drawing::style::{Hand, Pen};
use oaktag_output::drawing::{Drawing, Item, Layer, Shape, Text};
use oaktag_output::pages::{Document, lay_out};
use oaktag_output::sheet::{PageSize, Sheet};
use oaktag_output::ticket;

const EXAMPLES: [&str; 6] = [
    "ferry-shirt",
    "womens-crew-shirt",
    "fitted-blouse",
    "trousers",
    "hooded-smock",
    "deck-skirt",
];
const SCALES: [Scale; 3] = [Scale::Full, Scale::Half, Scale::Quarter];
const UNITS: [LengthUnit; 2] = [LengthUnit::Centimetre, LengthUnit::Inch];

/// Drafts of `tests/output/drafts`, by name; where everything is asked for, those that show the library's acts too.
pub(super) fn drafts() -> Vec<(String, Pattern)> {
    let folders = ["tests/output/drafts", "stdlib/examples"];
    let folders = folders.into_iter().take(if every() { 2 } else { 1 });
    let mut names = Vec::new();
    for folder in folders {
        let full = format!("{}/{folder}", env!("CARGO_MANIFEST_DIR"));
        let entries = std::fs::read_dir(full).unwrap();
        let files = entries.map(|entry| entry.unwrap().file_name().into_string().unwrap());
        names.extend(files.map(|file| format!("{folder}/{file}")));
    }
    names.sort();
    let drawn = names.into_iter().map(|name| {
        let outcome = example(&format!("../{name}"), &[]);
        let wrong: Vec<_> = outcome
            .diagnostics
            .iter()
            .filter(|d| d.is_error())
            .collect();
        assert!(wrong.is_empty(), "{name}: {wrong:?}");
        (name, outcome.pattern)
    });
    drawn
        .filter(|(_, pattern)| !pattern.pieces.is_empty())
        .collect()
}

/// Whether every draft is taken with every sheet, scale and unit.
pub(super) fn every() -> bool {
    std::env::var("OAKTAG_SHEETS").is_ok_and(|all| all == "all")
}

fn sheets() -> Vec<Sheet> {
    let pages = PageSize::ALL.map(Sheet::Page);
    pages.into_iter().chain([Sheet::Fit]).collect()
}

/// Two lines are told apart from here on: letters are placed by rows of a millimetre.
const SLACK: f64 = 0.5;
/// A leader, and how far words may stand off their edge.
const NEAR: f64 = 15.0;

struct Lines<'a> {
    name: &'a str,
    outline: &'a BezPath,
    texts: Vec<(&'a Item, &'a Text)>,
    items: Vec<(Layer, &'a Item)>,
}

/// The pieces of a drawing, with all that is drawn of each.
fn pieces(drawing: &Drawing) -> Vec<Lines<'_>> {
    let surfaces = drawing.layer(Layer::Pieces);
    let surfaces = surfaces.filter_map(|item| match &item.shape {
        Shape::Fill(path, _) => Some((item.piece.as_deref().unwrap(), path)),
        _ => None,
    });
    let of_piece = |(name, outline)| {
        let own = |item: &&Item| item.piece.as_deref() == Some(name);
        let items = Layer::ALL.into_iter();
        let items: Vec<(Layer, &Item)> = items
            .flat_map(|layer| {
                drawing
                    .layer(layer)
                    .filter(own)
                    .map(move |item| (layer, item))
            })
            .collect();
        let texts = items.iter().filter(|(layer, _)| *layer == Layer::Text);
        let texts = texts.filter_map(|(_, item)| match &item.shape {
            Shape::Text(text) => Some((*item, text)),
            _ => None,
        });
        Lines {
            name,
            outline,
            texts: texts.collect(),
            items: items.clone(),
        }
    };
    surfaces.map(of_piece).collect()
}

fn is_label(hand: Hand) -> bool {
    matches!(
        hand,
        Hand::PieceName
            | Hand::PieceNameMid
            | Hand::PieceNameSmall
            | Hand::PieceNameTiny
            | Hand::PieceText
            | Hand::PieceSmall
            | Hand::PieceTiny
    )
}

/// Spots round a box, and its middle.
fn spots(frame: &TextFrame) -> Vec<Point> {
    let corners = frame.corners();
    let next = corners.iter().cycle().skip(1);
    let sides = corners.iter().zip(next);
    let round = sides.flat_map(|(a, b)| (0..10).map(|n| a.lerp(*b, f64::from(n) / 10.0)));
    round.chain([frame.centre]).collect()
}

fn inside(outline: &BezPath, frame: &TextFrame) -> bool {
    let frame = frame.grown(-SLACK);
    spots(&frame).into_iter().all(|spot| outline.contains(spot))
}

fn outside(outline: &BezPath, frame: &TextFrame) -> bool {
    let frame = frame.grown(-SLACK);
    let crossed = outline.segments().any(|seg| {
        let steps = (seg.arclen(0.1) / 0.5).ceil().max(1.0);
        let mut at = 0.0;
        while at <= steps {
            let p = seg.eval(at / steps);
            if (frame.nearest(p) - p).hypot() < 1e-9 {
                return true;
            }
            at += 1.0;
        }
        false
    });
    !crossed
        && spots(&frame)
            .into_iter()
            .all(|spot| !outline.contains(spot))
}

fn away(path: &BezPath, frame: &TextFrame) -> f64 {
    let near = |p: Point| {
        let gaps = path.segments().map(|seg| seg.nearest(p, 1e-6).distance_sq);
        gaps.fold(f64::INFINITY, f64::min).sqrt()
    };
    spots(frame)
        .into_iter()
        .map(near)
        .fold(f64::INFINITY, f64::min)
}

/// Whether the label of a piece stands inside its own cutting line; else its number does, the label is led to it, and stands on no
/// other piece.
fn is_labelled(at: &str, piece: &Piece, lines: &Lines<'_>, all: &[Lines<'_>]) -> bool {
    let label: Vec<&Text> = lines
        .texts
        .iter()
        .filter(|(item, text)| item.name.is_none() && is_label(text.hand))
        .map(|(_, text)| *text)
        .collect();
    let letters: Vec<&str> = label.iter().map(|text| text.letters.as_str()).collect();
    let letters = letters.join(" ");
    for word in piece.label.split_whitespace() {
        assert!(letters.contains(word), "{at}: {word} is not in {letters}");
    }
    for word in piece.cut_words().split_whitespace() {
        assert!(letters.contains(word), "{at}: {word} is not in {letters}");
    }
    assert!(
        letters.contains(&piece.number.0.to_string()),
        "{at}: no number in {letters}"
    );
    if label
        .iter()
        .all(|text| inside(lines.outline, &text.frame()))
    {
        return true;
    }
    let number = piece.number.0.to_string();
    let number = label.iter().find(|text| text.letters == number);
    let number = number.unwrap_or_else(|| panic!("{at}: {letters} stands outside"));
    assert!(inside(lines.outline, &number.frame()), "{at}: its number");
    for other in all.iter().filter(|other| other.name != lines.name) {
        for text in &label {
            let clear = outside(other.outline, &text.frame());
            assert!(clear, "{at}: {} stands on {}", text.letters, other.name);
        }
    }
    let leaders = lines
        .items
        .iter()
        .filter_map(|(_, item)| match &item.shape {
            Shape::Stroke(path, Pen::Leader) if item.name.is_none() => Some(path),
            _ => None,
        });
    for leader in leaders {
        let long = leader.perimeter(0.1);
        assert!(long <= NEAR + 0.01, "{at}: a leader of {long} mm");
    }
    false
}

fn is_sewn(piece: &Piece, edge: &Edge) -> bool {
    piece.inside_of.is_none() && !edge.on_fold && edge.mouth.is_none() && !edge.mirrored
}

/// Every edge has its words, or its number, near by and on no other piece; how many had the words.
fn edges_say(at: &str, piece: &Piece, lines: &Lines<'_>, all: &[Lines<'_>], ticket: &str) -> usize {
    let mut number = 0;
    let mut told = 0;
    for edge in piece.edges.iter().filter(|edge| is_sewn(piece, edge)) {
        number += 1;
        let of_edge = |item: &Item| item.name.as_deref() == Some(edge.name.as_str());
        let words: Vec<&Text> = lines
            .texts
            .iter()
            .filter(|(item, text)| of_edge(item) && text.hand == Hand::EdgeWords)
            .map(|(_, text)| *text)
            .collect();
        let of = format!("{at}: {}", edge.name);
        let [words] = words.as_slice() else {
            panic!("{of}: {} texts say how it is sewn", words.len());
        };
        let path = lines
            .items
            .iter()
            .find_map(|(layer, item)| match &item.shape {
                Shape::Stroke(path, _) if *layer == Layer::Sew && of_edge(item) => Some(path),
                _ => None,
            });
        let off = away(path.unwrap(), &words.frame());
        assert!(off <= NEAR, "{of}: {} stands {off} mm off", words.letters);
        for other in all.iter().filter(|other| other.name != lines.name) {
            let clear = outside(other.outline, &words.frame());
            assert!(clear, "{of}: {} stands on {}", words.letters, other.name);
        }
        if words.letters == format!("({number})") {
            let row = format!("({number}) {} ", edge.name.replace('_', " "));
            assert!(ticket.contains(&row), "{of}: {row} is not in the ticket");
        } else {
            told += 1;
            let finish = edge.finish.as_deref().unwrap_or_default();
            assert!(words.letters.contains(finish), "{of}: {}", words.letters);
        }
    }
    told
}

fn crosses(outline: &BezPath, cell: Rect) -> bool {
    outline.contains(cell.center())
        || outline.segments().any(|seg| {
            let steps = seg.arclen(0.1).ceil().max(1.0);
            let mut at = 0.0;
            while at <= steps {
                if cell.contains(seg.eval(at / steps)) {
                    return true;
                }
                at += 1.0;
            }
            false
        })
}

/// Every sheet with tiles on it shows a part of a piece: but for the first, where its block has no room beside pieces that fill
/// the others.
fn no_sheet_is_bare(at: &str, document: &Document) {
    for (number, page) in document.pages.iter().enumerate() {
        let Some(view) = page.views.first() else {
            panic!("{at}: {} is blank", page.name)
        };
        let drawing = &document.drawings[view.drawing];
        if drawing.layer(Layer::Pieces).next().is_none() {
            assert_eq!(document.pages[0].views[0].drawing, 0);
            continue;
        }
        let mut shown = drawing.layer(Layer::Pieces).map(|item| match &item.shape {
            // What the neighbour shows as well, in the strip that both share, asks for no sheet.
            Shape::Fill(path, _) => crosses(path, view.shown.inset(-5.0)),
            _ => false,
        });
        let titled = drawing.layer(Layer::Title).next().is_some();
        let is_block = number == 0 && titled && document.pages.len() == 2;
        assert!(
            shown.any(|shown| shown) || is_block,
            "{at}: nothing on {}",
            page.name
        );
    }
}

fn whole(document: &Document) -> &Drawing {
    let mut drawings = document.drawings.iter();
    drawings
        .find(|drawing| drawing.layer(Layer::Pieces).next().is_some())
        .unwrap()
}

/// How many labels stand beside their piece, how many edges have their words, and on how many pieces something is wrong.
fn held(at: &str, pattern: &Pattern, document: &Document) -> (usize, usize, usize) {
    let ticket = ticket::text(pattern, 0.0);
    let ticket = ticket.split_whitespace().collect::<Vec<_>>().join(" ") + " ";
    let all = pieces(whole(document));
    assert_eq!(all.len(), pattern.pieces.len(), "{at}");
    let (mut beside, mut told, mut wrong) = (0, 0, 0);
    for lines in &all {
        let piece = pattern.piece(lines.name).unwrap();
        let at = format!("{at}: {}", lines.name);
        // All that is wrong is told, not the first of it.
        let found = std::panic::catch_unwind(|| {
            let inside = is_labelled(&at, piece, lines, &all);
            (inside, edges_say(&at, piece, lines, &all, &ticket))
        });
        match found {
            Ok((inside, edges)) => {
                beside += usize::from(!inside);
                told += edges;
            }
            Err(_) => wrong += 1,
        }
    }
    no_sheet_is_bare(at, document);
    (beside, told, wrong)
}

#[test]
fn names_and_finishes_stay_with_their_piece() {
    let every = every();
    let (mut beside, mut told, mut laid, mut wrong) = (0, 0, 0, 0);
    let examples = EXAMPLES.map(|name| {
        let pattern = example(&format!("{name}.draft"), &[]).pattern;
        (name.to_owned(), pattern)
    });
    let all = examples.into_iter().chain(drafts());
    for (e, (name, mut pattern)) in all.enumerate() {
        for (s, sheet) in sheets().into_iter().enumerate() {
            for (c, scale) in SCALES.into_iter().enumerate() {
                for (u, unit) in UNITS.into_iter().enumerate() {
                    if !every && (c != (e + s) % 3 || u != (e + s / 3) % 2) {
                        continue;
                    }
                    pattern.unit = unit;
                    let at = format!("{name}, {sheet:?}, {scale:?}, {unit:?}");
                    let Ok(document) = lay_out(&pattern, sheet, scale) else {
                        panic!("{at}: cannot be laid out")
                    };
                    let found = held(&at, &pattern, &document);
                    beside += found.0;
                    told += found.1;
                    wrong += found.2;
                    laid += 1;
                }
            }
        }
    }
    println!("{laid} documents, {beside} labels beside their piece, {told} edges with their words");
    assert_eq!(wrong, 0, "pieces, told above");
    assert!(laid >= 54 && told > 1000, "{laid} {told}");
}
