//! Tiles laid together by their marks, as on a table: each next tile is moved until the marks of the joint lie on each
//! other. The whole must then be the one-sheet drawing, line for line.

use super::reader::{Page, Painted, Pdf};
use super::{document, on, written};
use kurbo::{ParamCurve, PathSeg, Point, Rect, Shape as _, Vec2};
use oaktag_output::drawing::frame::TextFrame;
use oaktag_output::drawing::manner::Scale;
use oaktag_output::drawing::style::Hand;
use oaktag_output::drawing::{Layer, Shape};
use oaktag_output::pages::{Document, single};
use oaktag_output::sheet::{PageSize, Sheet};
use std::collections::BTreeMap;

pub const SMALL: [PageSize; 4] = [
    PageSize::A4,
    PageSize::Letter,
    PageSize::A3,
    PageSize::Tabloid,
];

/// Same place, in millimetres.
const SAME: f64 = 0.001;

/// The window of a tile's drawing on its page.
fn window(page: &Page) -> Rect {
    page.paths
        .iter()
        .find(|painted| painted.layer == "joins")
        .and_then(|painted| painted.clip)
        .unwrap()
}

/// The joining marks of a page that lie astride its window's side: centres of the diamonds.
fn marks(page: &Page) -> Vec<Point> {
    let joins = page
        .paths
        .iter()
        .filter(|painted| painted.layer == "joins" && !painted.is_filled);
    let diamonds = joins.filter(|painted| painted.path.elements().len() == 5);
    diamonds
        .map(|painted| painted.path.bounding_box().center())
        .filter(|p| window(page).contains(*p))
        .collect()
}

/// Column and row of a tile, from its name.
fn place(label: &str) -> Option<(i32, i32)> {
    let (letter, row) = label.split_at_checked(1)?;
    let column = i32::from(*letter.as_bytes().first()?) - i32::from(b'A');
    Some((column, row.parse::<i32>().ok()? - 1))
}

/// Where each tile lies on the table, from its page's corner, by the marks alone; the first lies at the origin.
fn laid(pdf: &Pdf) -> BTreeMap<(i32, i32), Vec2> {
    let tiles: BTreeMap<(i32, i32), &Page> = pdf
        .pages
        .iter()
        .filter_map(|page| Some((place(&page.label)?, page)))
        .collect();
    let mut at: BTreeMap<(i32, i32), Vec2> = BTreeMap::new();
    at.insert(*tiles.keys().next().unwrap(), Vec2::ZERO);
    let mut waiting: Vec<(i32, i32)> = at.keys().copied().collect();
    while let Some(place) = waiting.pop() {
        for way in [(1, 0), (0, 1), (-1, 0), (0, -1)] {
            let next = (place.0 + way.0, place.1 + way.1);
            let Some(page) = tiles.get(&next) else {
                continue;
            };
            let shift = joint(tiles[&place], page, way);
            let found = at[&place] + shift;
            match at.get(&next) {
                Some(known) => {
                    assert!((*known - found).hypot() < SAME, "joints round a tile agree")
                }
                None => {
                    at.insert(next, found);
                    waiting.push(next);
                }
            }
        }
    }
    assert_eq!(at.len(), tiles.len(), "every tile is joined to another");
    at
}

/// How far the next page lies from this one, so that the marks between them meet.
fn joint(page: &Page, next: &Page, way: (i32, i32)) -> Vec2 {
    let toward = Vec2::new(f64::from(way.0), f64::from(way.1));
    let on_side = |page: &Page, toward: Vec2| {
        let (window, all) = (window(page), marks(page));
        let side = window.center()
            + Vec2::new(toward.x * window.width(), toward.y * window.height()) / 2.0;
        let mut found: Vec<Point> = all
            .into_iter()
            .filter(|p| (side - *p).dot(toward).abs() < 5.5)
            .collect();
        found.sort_by(|a, b| (a.x + a.y).total_cmp(&(b.x + b.y)));
        found
    };
    let (here, there) = (on_side(page, toward), on_side(next, -toward));
    assert!(
        here.len() == 2 && there.len() == 2,
        "{} and {} have two marks between them",
        page.label,
        next.label
    );
    let shifts: Vec<Vec2> = here.iter().zip(&there).map(|(a, b)| *a - *b).collect();
    assert!((shifts[0] - shifts[1]).hypot() < SAME, "both marks agree");
    shifts[0]
}

/// The drawing that a document's tiles show.
pub fn whole(document: &Document) -> Document {
    let tile = document
        .pages
        .iter()
        .find(|page| place(&page.name).is_some())
        .unwrap();
    single(document.drawings[tile.views[0].drawing].clone()).unwrap()
}

fn is_drawing(painted: &&Painted) -> bool {
    painted.layer != "joins" && painted.layer != "title"
}

fn same(a: &Painted, b: &Painted, shift: Vec2) -> bool {
    let (p, q) = (a.points(), b.points());
    a.layer == b.layer
        && p.len() == q.len()
        && p.iter()
            .zip(&q)
            .all(|(p, q)| (*p + shift - *q).hypot() < SAME)
}

fn samples(painted: &Painted) -> Vec<Point> {
    let on = |seg: PathSeg| (0..=20).map(move |n| seg.eval(f64::from(n) / 20.0));
    painted.path.segments().flat_map(on).collect()
}

/// Every line of the one-sheet drawing is on the tiles it crosses, in its place to a thousandth of a millimetre, and
/// nothing else is.
#[test]
fn tiles_joined_by_their_marks_are_the_one_sheet_drawing() {
    for size in SMALL {
        let document = document(Sheet::Page(size), Scale::Full);
        let (tiles, sheet) = (written(&document), written(&whole(&document)));
        let at = laid(&tiles);
        let lines: Vec<&Painted> = sheet.pages[0].paths.iter().filter(is_drawing).collect();
        let first = tiles
            .pages
            .iter()
            .find(|page| place(&page.label) == at.keys().next().copied())
            .unwrap();
        // The table's corner on the sheet, from the first line that the first tile shows.
        let corner = corner_on_sheet(first, &lines);
        let mut shown = 0;
        let mut left: Vec<Vec<Point>> = lines.iter().map(|line| samples(line)).collect();
        for page in tiles.pages.iter() {
            let Some(shift) = place(&page.label).map(|place| at[&place] + corner) else {
                continue;
            };
            let window = window(page) + shift;
            let near = window.inset(-SAME);
            let drawn: Vec<&Painted> = page
                .paths
                .iter()
                .filter(is_drawing)
                .filter(|painted| !is_foot(painted, page))
                .collect();
            for line in &drawn {
                assert!(
                    lines.iter().any(|one| same(line, one, shift)),
                    "{} shows what the sheet does not",
                    page.label
                );
            }
            for (line, left) in lines.iter().zip(&mut left) {
                if samples(line).iter().any(|p| near.contains(*p)) {
                    assert!(
                        drawn.iter().any(|one| same(one, line, shift)),
                        "{} lacks {line:?}",
                        page.label
                    );
                    left.retain(|p| !window.inflate(SAME, SAME).contains(*p));
                    shown += 1;
                }
            }
        }
        assert!(shown > lines.len(), "most lines cross from tile to tile");
        // What the draft was built on asks for no paper of its own.
        let asks = lines.iter().zip(&left);
        let asks = asks.filter(|(line, _)| line.layer != "construction");
        let lost: Vec<&Point> = asks.flat_map(|(_, left)| left).collect();
        assert!(lost.is_empty(), "{size:?}: on no tile: {lost:?}");
    }
}

/// The bar at the foot of a page is no part of the drawing.
fn is_foot(painted: &Painted, page: &Page) -> bool {
    painted
        .clip
        .is_some_and(|clip| clip.height() > window(page).height() + 1.0)
}

fn corner_on_sheet(first: &Page, lines: &[&Painted]) -> Vec2 {
    let mut drawn = first
        .paths
        .iter()
        .filter(is_drawing)
        .filter(|painted| painted.layer == "cut");
    let one = drawn.next().unwrap();
    let shifts = lines
        .iter()
        .filter(|line| line.layer == one.layer && line.points().len() == one.points().len());
    let found = shifts
        .map(|line| line.points()[0] - one.points()[0])
        .find(|shift| lines.iter().any(|line| same(one, line, *shift)));
    found.unwrap()
}

/// Half of each mark is left on either tile after trimming, and the other tile still shows all of it.
#[test]
fn marks_survive_trimming() {
    let pdf = on(PageSize::A4);
    for page in pdf.pages.iter().filter(|page| place(&page.label).is_some()) {
        let window = window(page);
        for painted in page
            .paths
            .iter()
            .filter(|painted| painted.layer == "joins" && painted.path.elements().len() == 5)
        {
            let mark = painted.path.bounding_box();
            if window.contains(mark.center()) && !painted.is_filled {
                assert_eq!(
                    window.union(mark),
                    window,
                    "{}: a mark is cut off",
                    page.label
                );
            }
        }
    }
}

#[test]
fn only_tiles_with_something_on_them_are_printed() {
    for size in SMALL {
        let document = document(Sheet::Page(size), Scale::Full);
        for page in document
            .pages
            .iter()
            .filter(|page| place(&page.name).is_some())
        {
            let view = page.views[0];
            let drawing = &document.drawings[view.drawing];
            let inner = view.shown.inset(-4.0);
            let on_it = Layer::ALL
                .into_iter()
                .filter(|layer| *layer != Layer::Paper && *layer != Layer::Construction);
            let boxes =
                on_it
                    .flat_map(|layer| drawing.layer(layer))
                    .map(|item| match &item.shape {
                        Shape::Stroke(path, _) | Shape::Fill(path, _) => path.bounding_box(),
                        Shape::Text(text) => text.frame().bounds(),
                    });
            assert!(
                boxes.into_iter().any(|b| b.x0 < inner.x1
                    && b.x1 > inner.x0
                    && b.y0 < inner.y1
                    && b.y1 > inner.y0),
                "{}",
                page.name
            );
        }
    }
}

fn is_tile(name: &str) -> bool {
    place(name).is_some()
}

/// All words of a page, on it (those of a tile may reach over to the next), none over another.
#[test]
fn no_words_on_a_page_touch_or_leave_it() {
    let sheets = SMALL.map(Sheet::Page).into_iter().chain([
        Sheet::Fit,
        Sheet::Page(PageSize::A0),
        Sheet::Roll(610.0),
    ]);
    for sheet in sheets {
        for scale in [Scale::Full, Scale::Half, Scale::Quarter] {
            let document = document(sheet, scale);
            for page in &document.pages {
                let paper = Rect::from_origin_size(Point::ORIGIN, page.size);
                let mut frames: Vec<(String, TextFrame, Rect)> = Vec::new();
                for view in &page.views {
                    let shown = view.shown + view.shift;
                    for text in document.drawings[view.drawing].texts() {
                        let frame = text.frame();
                        let frame = TextFrame {
                            centre: frame.centre + view.shift,
                            ..frame
                        };
                        let is_hidden = text.hand == Hand::ConstructionName;
                        if shown.contains(frame.centre) && !is_hidden {
                            frames.push((text.letters.clone(), frame, shown));
                        }
                    }
                }
                for (n, (words, frame, shown)) in frames.iter().enumerate() {
                    let place = format!("{sheet:?} {scale:?} {}: {words}", page.name);
                    let is_whole = paper.union(frame.bounds()) == paper;
                    assert!(is_whole || is_tile(&page.name), "{place} leaves the paper");
                    for (others, other, elsewhere) in frames.iter().skip(n + 1) {
                        // What reaches out of its window is cut off there, and goes on on the next tile.
                        let seen = frame.bounds().intersect(*shown);
                        let seen_too = other.bounds().intersect(*elsewhere);
                        let apart = shown != elsewhere && seen.intersect(seen_too).area() == 0.0;
                        assert!(apart || !frame.overlaps(other), "{place} / {others}");
                    }
                }
            }
        }
    }
}

/// Letters go across, figures down, and the first tile is A1.
#[test]
fn tiles_are_named_from_the_top_left() {
    let tiles = tiling();
    assert!(tiles.len() > 6, "{tiles:?}");
    for (name, column, row) in &tiles {
        let letter = char::from(b'A' + u8::try_from(*column).unwrap());
        assert_eq!(*name, format!("{letter}{}", row + 1));
    }
    let labels: Vec<String> = on(PageSize::A4)
        .pages
        .iter()
        .map(|page| page.label.clone())
        .collect();
    for (name, ..) in tiles {
        assert!(labels.contains(&name), "{name}: {labels:?}");
    }
}

/// Name, column and row of each tile of the shirt, by where its window lies in the whole.
fn tiling() -> Vec<(String, usize, usize)> {
    let laid = laid(&on(PageSize::A4));
    let steps = |of: fn(&Vec2) -> f64| {
        let mut at: Vec<i64> = laid
            .values()
            .map(|place| of(place).round() as i64)
            .collect();
        at.sort_unstable();
        at.dedup();
        at
    };
    let (across, down) = (steps(|place| place.x), steps(|place| place.y));
    let tile = |((column, row), place): (&(i32, i32), &Vec2)| {
        let letter = char::from(b'A' + u8::try_from(*column).unwrap());
        let rank = |at: &[i64], figure: f64| {
            at.iter()
                .position(|one| *one == figure.round() as i64)
                .unwrap()
        };
        (
            format!("{letter}{}", row + 1),
            rank(&across, place.x),
            rank(&down, place.y),
        )
    };
    laid.iter().map(tile).collect()
}
