//! Parts of a pattern: unfolded, without allowances, piece by piece. Held against mirror symmetry and, for areas and
//! overlap, against the `geo` crate.

use crate::example_drafts;

use geo::{Area, BooleanOps, Coord, LineString, Polygon, Validation};
use kurbo::{ParamCurve, Point};
use oaktag_geometry::moves::mirror;
use oaktag_geometry::path::Path;
use oaktag_language::pattern::{Pattern, Piece};

fn shirt() -> Pattern {
    example_drafts::example("ferry-shirt.draft", &[]).pattern
}

fn polygon(path: &Path) -> Polygon {
    let on = path
        .segs()
        .iter()
        .flat_map(|seg| (0..64).map(move |n| seg.eval(f64::from(n) / 64.0)));
    let coords: Vec<Coord> = on.map(|p| Coord { x: p.x, y: p.y }).collect();
    Polygon::new(LineString::from(coords), Vec::new())
}

fn half_and_whole() -> Vec<(Piece, Piece)> {
    let (half, whole) = (shirt(), shirt().unfolded());
    let pairs = half.pieces.into_iter().zip(whole.pieces);
    pairs.filter(|(half, _)| half.on_fold()).collect()
}

#[test]
fn unfolded_pieces_are_twice_the_half_and_mirror_themselves() {
    let pairs = half_and_whole();
    assert_eq!(pairs.len(), 2);
    for (half, whole) in &pairs {
        assert!(!whole.on_fold() && half.mirror_line.is_none());
        let fold = &half.edges[half.cut.fold_edge.unwrap()];
        assert_eq!(
            whole.mirror_line.as_ref().map(|(name, _)| name),
            Some(&fold.name)
        );
        assert_eq!(whole.area().unwrap(), half.area().unwrap());
        for (one, other) in [
            (&half.sewing, &whole.sewing),
            (&half.cutting, &whole.cutting),
        ] {
            let (half, whole) = (
                polygon(one.as_ref().unwrap()),
                polygon(other.as_ref().unwrap()),
            );
            assert!(whole.is_valid());
            assert!((whole.unsigned_area() - 2.0 * half.unsigned_area()).abs() < 1e-6);
            assert!(
                (whole.intersection(&half).unsigned_area() - half.unsigned_area()).abs() < 1e-3
            );
        }
        let over = mirror(&fold.path).unwrap();
        let whole_path = polygon(whole.cutting.as_ref().unwrap());
        let turned = polygon(&whole.cutting.as_ref().unwrap().transformed(over));
        assert!(whole_path.difference(&turned).unsigned_area() < 1e-3);
        let length: f64 = whole
            .edges
            .iter()
            .map(|edge| edge.path.length().unwrap())
            .sum();
        let wanted: f64 = half
            .edges
            .iter()
            .filter(|edge| !edge.on_fold)
            .map(|edge| 2.0 * edge.length)
            .sum();
        assert!((length - wanted).abs() < 1e-6);
    }
}

/// Every notch of the half stands on both sides, square to the same edge; each on the line it says it stands on.
#[test]
fn notches_of_unfolded_pieces_stand_on_both_sides() {
    for (half, whole) in &half_and_whole() {
        let fold = &half.edges[half.cut.fold_edge.unwrap()].path;
        let over = mirror(fold).unwrap();
        let marks = |piece: &Piece| -> Vec<Point> {
            piece
                .notches
                .iter()
                .flat_map(|notch| &notch.marks)
                .map(|mark| mark.sewing)
                .collect()
        };
        let there = marks(whole);
        for at in marks(half).iter().flat_map(|p| [*p, over * *p]) {
            assert!(
                there.iter().any(|p| (*p - at).hypot() < 1e-6),
                "{}: {at:?}",
                half.name
            );
        }
        for notch in &whole.notches {
            let edge = &whole.edges[notch.edge];
            for mark in &notch.marks {
                assert!(
                    edge.path.passes(mark.sewing, 0.001),
                    "{} {}",
                    whole.name,
                    edge.name
                );
                let along = edge.path.point_at(mark.from_start).unwrap();
                assert!(
                    (along - mark.sewing).hypot() < 0.001,
                    "{} {}",
                    whole.name,
                    edge.name
                );
                let square = -edge.path.normal_at(edge.path.nearest(mark.sewing).location);
                assert!(square.dot(mark.outward) > 0.99, "out of the cloth");
            }
        }
    }
}

#[test]
fn without_allowances_the_sewing_line_is_the_outline() {
    for piece in &shirt().net().pieces {
        assert_eq!(piece.cutting, piece.sewing);
        assert_eq!(piece.cut_area, piece.drawn_area);
        let marks = piece.notches.iter().flat_map(|notch| &notch.marks);
        assert!(
            marks
                .into_iter()
                .all(|mark| mark.cut == mark.sewing && mark.depth == 0.0)
        );
    }
}

#[test]
fn pieces_are_chosen_by_name_and_an_unknown_one_is_said() {
    let pattern = shirt();
    let names = ["yoke".to_owned(), "back".to_owned()];
    let part = pattern.only(&names).unwrap();
    assert_eq!(
        part.pieces
            .iter()
            .map(|piece| piece.name.as_str())
            .collect::<Vec<_>>(),
        ["back", "yoke"]
    );
    assert_eq!(pattern.only(&["bcak".to_owned()]).unwrap_err(), "bcak");
}

/// A cutting line is simple, contains its sewing line, and each allowance is as wide as it says, in every size drawn.
#[test]
fn cutting_lines_are_simple_and_contain_the_sewing_line() {
    for piece in shirt().pieces.iter().chain(&shirt().unfolded().pieces) {
        let (cut, sewn) = (
            polygon(piece.cutting.as_ref().unwrap()),
            polygon(piece.sewing.as_ref().unwrap()),
        );
        assert!(cut.is_valid() && sewn.is_valid(), "{}", piece.name);
        let outside = sewn.difference(&cut).unsigned_area();
        assert!(
            outside < 0.5,
            "{}: {outside} mm² of the piece lie outside its cutting line",
            piece.name
        );
    }
}

/// A half back whose side is left open nearer to one end than to the other.
const ZIPPED: &str = "draft \"Zipped\"
unit mm
panel back {
  point tip = origin right 200mm
  line top = from origin to tip
  line side = from tip toward down for 300mm
  line hem = from end of side toward left for 200mm
  line centre = from end of hem to origin
  point zip_top = tip down 50mm
  point zip_end = tip down 120mm
}
panel front = mirror back over back.centre
piece back \"Back\" {
  outline top, side, hem, centre
  cut 1 on fold at centre
  grain along centre
  allow 1cm
  finish top, hem \"bound\"
}
piece front \"Front\" {
  outline top, side, hem, centre
  cut 1 on fold at centre
  grain along centre
  allow 1cm
  finish top, hem \"bound\"
}
seam side joins front.side to back.side from front.tip, back.tip {
  open between back.zip_top and back.zip_end \"zip\"
}
";

/// A stretch of an edge that is open, held, taken, or wide by itself lies on the twin where its mirror image does.
#[test]
fn stretches_of_unfolded_edges_mirror_each_other() {
    let mut seen = 0;
    let zipped = example_drafts::text(ZIPPED, &[]);
    assert!(!zipped.has_errors(), "{:?}", zipped.diagnostics);
    let examples = ["womens-crew-shirt", "hooded-smock", "straight-skirt"]
        .map(|name| example_drafts::example(&format!("{name}.draft"), &[]));
    for half in examples.into_iter().chain([zipped]) {
        let half = half.pattern;
        let name = half.title.clone();
        let whole = half.unfolded();
        let pairs = half.pieces.iter().zip(&whole.pieces);
        for (half, whole) in pairs.filter(|(half, _)| half.on_fold()) {
            let over = mirror(&half.edges[half.cut.fold_edge.unwrap()].path).unwrap();
            let stretches = |piece: &Piece| -> Vec<[Point; 2]> {
                let of = |edge: &oaktag_language::pattern::Edge| -> Vec<[Point; 2]> {
                    let taken = edge.taken.iter().copied();
                    let beyond = edge.beyond.iter().map(|part| (part.0, part.1));
                    let held = edge.held.iter().map(|held| held.along);
                    let open = edge.open.iter().map(|part| (part.0, part.1));
                    let at = |along: f64| edge.path.point_at(along).unwrap();
                    taken
                        .chain(beyond)
                        .chain(held)
                        .chain(open)
                        .map(|(a, b)| [at(a), at(b)])
                        .collect()
                };
                piece.edges.iter().flat_map(of).collect()
            };
            let there = stretches(whole);
            let same = |[a, b]: [Point; 2], [c, d]: [Point; 2]| {
                let near = |p: Point, q: Point| (p - q).hypot() < 1e-6;
                near(a, c) && near(b, d) || near(a, d) && near(b, c)
            };
            for stretch in stretches(half) {
                for wanted in [stretch, stretch.map(|p| over * p)] {
                    let found = there.iter().any(|one| same(*one, wanted));
                    assert!(found, "{name} {}: {wanted:?} in {there:?}", half.name);
                }
                seen += 1;
            }
        }
    }
    assert!(seen > 0);
}
