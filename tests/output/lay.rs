//! Yield: pieces on a cloth never overlap, keep their grain, lie on the cloth, and take no more of it than two simple lays that
//! are stored beside this. Overlaps are judged by the DE-9IM relation of an independent polygon crate (`geo`).

use crate::drawing;

use drawing::Run;
use geo::Relate;
use geo::coordinate_position::CoordPos;
use geo::dimensions::Dimensions;
use kurbo::{BezPath, PathEl, Point, Shape, Vec2};
use oaktag_language::pattern::{Pattern, Piece};
use oaktag_output::lay::{Lay, LayFault, Placed, Way, lays};
use std::path::Path;

fn folder() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn pattern(draft: &str, set: &[String]) -> Pattern {
    let path = folder().join(draft);
    let text = std::fs::read_to_string(&path).unwrap();
    let run = Run::of(&text).within(path.parent().unwrap());
    let run = set.iter().fold(run, |run, setting| run.set(setting));
    run.drawn().1.pattern
}

/// Chords within 0.02 mm.
fn polygon(path: &BezPath) -> geo::Polygon<f64> {
    let mut points: Vec<(f64, f64)> = Vec::new();
    kurbo::flatten(path, 0.02, |element| {
        if let PathEl::MoveTo(p) | PathEl::LineTo(p) = element {
            points.push((p.x, p.y));
        }
    });
    geo::Polygon::new(geo::LineString::from(points), Vec::new())
}

fn is_sound(lay: &Lay<'_>) {
    let polygons: Vec<_> = lay.placed.iter().map(|one| polygon(&one.outline)).collect();
    let boxes: Vec<_> = lay
        .placed
        .iter()
        .map(|one| one.outline.bounding_box())
        .collect();
    for (index, one) in lay.placed.iter().enumerate() {
        let bounds = boxes[index];
        let on_cloth = bounds.x0 > -1e-6
            && bounds.y0 > -1e-6
            && bounds.x1 < lay.width + 1e-6
            && bounds.y1 < lay.length + 1e-6;
        assert!(
            on_cloth,
            "{} lies off the cloth: {bounds:?}",
            one.piece.name
        );
        assert!(
            !one.on_fold || bounds.x0.abs() < 1e-6,
            "{} lies off the fold",
            one.piece.name
        );
        for other in index + 1..polygons.len() {
            if boxes[index].intersect(boxes[other]).area() == 0.0 {
                continue;
            }
            let shared = polygons[index]
                .relate(&polygons[other])
                .get(CoordPos::Inside, CoordPos::Inside);
            assert_eq!(
                shared,
                Dimensions::Empty,
                "{} overlaps {}",
                one.piece.name,
                lay.placed[other].piece.name
            );
        }
    }
    keeps_grain(lay);
}

/// Ends of the pieces of an outline.
fn ends(path: &BezPath) -> Vec<Point> {
    let ends = path.elements().iter().filter_map(PathEl::end_point);
    let mut ends: Vec<Point> = ends.collect();
    if (ends[0] - ends[ends.len() - 1]).hypot() < 1e-9 {
        ends.pop();
    }
    ends
}

/// The grain of a placed piece as it lies, found from three points of its outline.
fn grain(placed: &Placed<'_>) -> Vec2 {
    let unfolded = placed.piece.unfolded();
    let whole = unfolded.as_ref().filter(|_| !placed.on_fold);
    let piece: &Piece = whole.unwrap_or(placed.piece);
    let from = ends(&outline_of(piece));
    let to = ends(&placed.outline);
    assert_eq!(from.len(), to.len(), "{}", piece.name);
    let far = |points: &[Point], n: usize| points[n] - points[0];
    let (b, c) = (0..from.len())
        .flat_map(|b| (0..b).map(move |c| (b, c)))
        .max_by(|x, y| {
            let area = |(b, c): (usize, usize)| far(&from, b).cross(far(&from, c)).abs();
            area(*x).total_cmp(&area(*y))
        })
        .unwrap();
    let (u, v) = (far(&from, b), far(&from, c));
    let along = piece
        .grain
        .as_ref()
        .unwrap()
        .direction_of_straight()
        .unwrap();
    let (p, q) = (along.cross(v) / u.cross(v), u.cross(along) / u.cross(v));
    for (a, b) in from.iter().zip(&to) {
        let lengths = ((*a - from[0]).hypot(), (*b - to[0]).hypot());
        assert!(
            (lengths.0 - lengths.1).abs() < 1e-6,
            "{} is not as it was drawn",
            piece.name
        );
    }
    p * far(&to, b) + q * far(&to, c)
}

fn outline_of(piece: &Piece) -> BezPath {
    let mut path = BezPath::new();
    for (index, seg) in piece.outer().unwrap().segs().iter().enumerate() {
        if index == 0 {
            path.move_to(kurbo::ParamCurve::start(seg));
        }
        path.push(seg.as_path_el());
    }
    path.close_path();
    path
}

fn keeps_grain(lay: &Lay<'_>) {
    for placed in lay.placed.iter().filter(|one| one.piece.grain.is_some()) {
        let along = grain(placed);
        assert!(
            along.x.abs() < 1e-6 && (along.y.abs() - 1.0).abs() < 1e-6,
            "{}: {along:?}",
            placed.piece.name
        );
    }
}

/// Which of its kind each piece is cut as often as the draft says, layers counted.
fn counts(pattern: &Pattern, cloth: &str, lay: &Lay<'_>) {
    for piece in pattern
        .pieces
        .iter()
        .filter(|piece| piece.cut.cloth.as_deref() == Some(cloth))
    {
        let copies = lay.placed.iter().filter(|one| one.piece.name == piece.name);
        let cut: u32 = copies
            .map(|one| if one.on_fold { 1 } else { one.layers })
            .sum();
        assert_eq!(cut, piece.cut.count, "{}", piece.name);
    }
}

const EXAMPLES: [&str; 5] = [
    "examples/womens-crew-shirt.draft",
    "examples/mens-crew-shirt.draft",
    "examples/ferry-shirt.draft",
    "examples/deck-smock.draft",
    "examples/fitted-blouse.draft",
];

#[test]
fn no_piece_overlaps_another_and_all_keep_their_grain() {
    let mut laid = 0;
    for draft in EXAMPLES {
        let pattern = pattern(draft, &[]);
        for lays in lays(&pattern, 0.0) {
            for lay in [&lays.open, &lays.folded].into_iter().flatten() {
                is_sound(lay);
                counts(&pattern, lays.cuts.name, lay);
                laid += 1;
            }
        }
    }
    assert!(laid >= 12, "{laid} lays");
}

/// Twenty sizes from bust 84 to 114 cm, upper chest, waist and hip by the steps of the working table (common practice: 38, 40
/// and 40 mm for 40 mm of bust).
#[test]
fn twenty_sizes_are_laid_soundly_and_larger_ones_take_no_less_cloth() {
    let mut lengths = Vec::new();
    for half in 0..20 {
        let step = f64::from(half) * 0.4 - 2.0;
        let set: Vec<String> = [
            ("upper_chest_girth", 870.0, 38.0),
            ("waist_girth", 760.0, 40.0),
            ("hip_girth", 1000.0, 40.0),
        ]
        .iter()
        .map(|(name, base, by)| format!("{name}={}mm", base + by * step))
        .collect();
        let pattern = pattern("examples/womens-crew-shirt.draft", &set);
        assert_eq!(pattern.pieces.len(), 14);
        let lays = lays(&pattern, 0.0);
        let main = lays[0].better().unwrap();
        is_sound(main);
        let net: f64 = lays[0].cuts.area();
        let layers = if main.way == Way::Folded { 2.0 } else { 1.0 };
        let usage = net / (main.width * layers * main.length);
        assert!(
            (usage - main.usage).abs() < 1e-3,
            "{usage} against {}",
            main.usage
        );
        assert!((0.6..0.95).contains(&main.usage), "{half}: {}", main.usage);
        lengths.push(main.length);
    }
    let (first, last) = (lengths[0], lengths[19]);
    assert!(last > first, "{lengths:?}");
}

/// The two lays stored beside this are lays: every box on the cloth and none on another. Ours takes no more cloth than the better.
#[test]
fn ours_is_no_worse_than_two_simple_lays() {
    let pattern = pattern("examples/womens-crew-shirt.draft", &[]);
    let lays = lays(&pattern, 0.0);
    let main = &lays[0];
    let open = main.open.as_ref().unwrap();
    let size = |name: &str, copy: u32| {
        let of = |one: &&Placed<'_>| one.piece.name == name && one.copy == copy;
        open.placed
            .iter()
            .find(of)
            .unwrap()
            .outline
            .bounding_box()
            .size()
    };
    let text = std::fs::read_to_string(folder().join("tests/data/simple_lays.csv")).unwrap();
    let rows: Vec<Vec<&str>> = text
        .lines()
        .skip(1)
        .map(|line| line.split(',').collect())
        .collect();
    let mut shortest = f64::INFINITY;
    for lay in ["in the order of the draft", "the tallest first"] {
        let boxes: Vec<kurbo::Rect> = rows
            .iter()
            .filter(|row| row[0] == lay)
            .map(|row| {
                let at = Point::new(row[3].parse().unwrap(), row[4].parse().unwrap());
                kurbo::Rect::from_origin_size(at, size(row[1], row[2].parse().unwrap()))
            })
            .collect();
        assert_eq!(boxes.len(), open.placed.len(), "{lay}");
        for (index, one) in boxes.iter().enumerate() {
            assert!(one.x1 <= 1500.0, "{lay}");
            assert!(
                boxes[..index]
                    .iter()
                    .all(|other| one.intersect(*other).area() == 0.0),
                "{lay}"
            );
        }
        shortest = shortest.min(boxes.iter().map(|one| one.y1).fold(0.0, f64::max));
    }
    let ours = main.better().unwrap().length;
    assert!(ours <= shortest, "{ours} against {shortest}");
}

const RUGS: &str = "draft \"Rugs\"
unit mm
cloth main \"felt\" width 100cm, OPTIONS
panel rug {
  point a = origin
  point b = origin right 480mm
  line upper = from a to b
  line side = from b to (origin right 200mm down 600mm)
  line lower = from end of side to (origin down 600mm)
  line edge = from end of lower to a
}
piece rug { outline upper, side, lower, edge
  cut COUNT from main
  grain along edge
  allow 0mm
  finish upper, side, lower, edge \"raw\"
}
";

fn rugs(options: &str, count: &str) -> Pattern {
    Run::of(&RUGS.replace("OPTIONS", options).replace("COUNT", count))
        .drawn()
        .1
        .pattern
}

/// On a cloth with nap all pieces lie the same way, and take more of it; without, every second may be turned end for end.
#[test]
fn nap_keeps_all_pieces_one_way() {
    let ways = |pattern: &Pattern| {
        let lays = lays(pattern, 0.0);
        let open = lays[0].open.as_ref().unwrap();
        is_sound(open);
        let ups = open.placed.iter().filter(|one| grain(one).y > 0.0).count();
        (ups, open.placed.len(), open.length)
    };
    let (ups, all, long) = ways(&rugs("nap yes", "4 alike"));
    assert!(ups == 0 || ups == all, "{ups} of {all}");
    let (ups, all, short) = ways(&rugs("nap no", "4 alike"));
    assert!(ups > 0 && ups < all, "{ups} of {all}");
    assert!(short <= long);
}

/// The repeat of the stripes is bought on top of what is laid, before it shrinks.
#[test]
fn a_repeat_is_bought_for() {
    let pattern = rugs("stripe 8cm, warp 4%", "2");
    let lays = lays(&pattern, 0.0);
    let open = lays[0].open.as_ref().unwrap();
    assert!((open.to_buy * 0.96 - open.length - 80.0).abs() < 1e-9);
}

/// Shrinkage comes last: the cloth is laid as wide as it is when it has shrunk, and so much longer is bought.
#[test]
fn shrinkage_is_bought_for() {
    let pattern = rugs("warp 4%, weft 2%", "2");
    let lays = lays(&pattern, 0.0);
    let open = lays[0].open.as_ref().unwrap();
    assert!((open.width - 980.0).abs() < 1e-9);
    assert!((open.to_buy * 0.96 - open.length).abs() < 1e-9);
}

/// What cannot be laid is said, with the piece and its width.
#[test]
fn a_piece_wider_than_the_cloth_is_told() {
    let narrow = RUGS
        .replace("width 100cm, OPTIONS", "width 40cm")
        .replace("COUNT", "1");
    let pattern = Run::of(&narrow).drawn().1.pattern;
    let lays = lays(&pattern, 0.0);
    assert!(
        matches!(&lays[0].open, Err(LayFault::TooWide(label, width)) if label == "Rug" && (*width - 480.0).abs() < 1e-6)
    );
    let text = oaktag_output::ticket::text(&pattern, 0.0);
    assert!(
        text.contains("no lay: Rug, 480 mm across, is wider than the cloth"),
        "{text}"
    );
}

/// A piece wider than its cloth is in no lay, and named beside the rest; the rest is laid, and what it takes is told.
#[test]
fn a_piece_wider_than_the_cloth_is_left_out_and_named() {
    let draft = "draft \"Rug and mat\"\nunit cm\ncloth main \"felt\" width 40cm\n
panel rug {\n  line top = from origin toward right for 48cm\n  line right_side = from end of top toward down for 90cm
  line low = from end of right_side toward left for 48cm\n  line left_side = from end of low to origin\n}
panel mat {\n  line top = from origin toward right for 18cm\n  line right_side = from end of top toward down for 20cm
  line low = from end of right_side toward left for 18cm\n  line left_side = from end of low to origin\n}
piece rug \"Rug\" {\n  outline top, right_side, low, left_side\n  cut 1 from main\n  grain along left_side\n  allow 0cm
  finish top, right_side, low, left_side\n}
piece mat \"Mat\" {\n  outline top, right_side, low, left_side\n  cut 2 from main\n  grain along left_side\n  allow 0cm
  finish top, right_side, low, left_side\n}\n";
    let pattern = Run::of(draft).drawn().1.pattern;
    let lays = lays(&pattern, 0.0);
    let left_out: Vec<(&str, f64)> = lays[0]
        .left_out
        .iter()
        .map(|(piece, width)| (piece.name.as_str(), *width))
        .collect();
    assert!(left_out.len() == 1 && left_out[0].0 == "rug" && (left_out[0].1 - 480.0).abs() < 1e-6);
    let open = lays[0].open.as_ref().unwrap();
    is_sound(open);
    assert!(open.placed.iter().all(|one| one.piece.name == "mat"));
    assert_eq!((open.placed.len(), open.length.round()), (2, 200.0));
    let said = "Rug, 48 cm across, is wider than the cloth";
    let ticket = oaktag_output::ticket::text(&pattern, 0.0);
    assert!(ticket.contains(&format!("LEFT OUT: {said}")), "{ticket}");
    let table = String::from_utf8(oaktag_output::lay::csv(&pattern, 0.0).unwrap()).unwrap();
    assert_eq!(table.matches("\"Rug, 48 cm across\"").count(), 2, "{table}");
    let picture = oaktag_output::svg::of_drawing(&oaktag_output::lay::draw(&pattern, 0.0));
    assert!(picture.contains(said), "the whole sentence, uncut");
}
