//! Interlinings derived in one line: so much inside the sewing line of their piece, on its fold and grain, and in the cut list.
//! Held against closed forms, against the interlinings that the library constructs edge by edge, and, on every piece of a
//! shirt, against distances measured by another polygon crate (`geo`). 2 to 3 mm inside is common practice for a fusible.

use crate::chords::chords;
use crate::drawing;

use drawing::Run;
use geo::{Distance, Euclidean, Validation};
use oaktag_geometry::path::Path;
use oaktag_language::pattern::cut_list::Laid;
use oaktag_language::pattern::{Pattern, Piece};
use oaktag_language::voice::LengthUnit::Millimetre as MM;

const BAND: &str = "draft \"Band\"
unit mm
cloth main \"poplin\" width 150cm
cloth fusible \"woven fusible\" width 90cm
panel band {
  line upper = from origin toward right for 200mm
  line front = from end of upper toward down for 40mm
  line lower = from end of front toward left for 200mm
  line centre = from end of lower to origin
}
piece band \"Band\" {
  outline upper, front, lower, centre
  cut 2 on fold at centre from main
  grain along centre
  allow 6mm
  INTERLINE
  finish upper, front, lower \"sewn to the inner band\"
}
";

fn drawn(interline: &str) -> Pattern {
    let outcome = Run::of(&BAND.replace("INTERLINE", interline)).drawn().1;
    assert!(
        outcome.diagnostics.iter().all(|d| !d.is_error()),
        "{:?}",
        outcome.diagnostics
    );
    outcome.pattern
}

/// A rectangle on the fold loses one width in its length and two in its height.
#[test]
fn a_band_on_the_fold_by_closed_form() {
    let pattern = drawn("interline 1 from fusible by 2mm");
    let names: Vec<&str> = pattern
        .pieces
        .iter()
        .map(|piece| piece.name.as_str())
        .collect();
    assert_eq!(names, ["band", "band_interlining"]);
    let piece = pattern.piece("band_interlining").unwrap();
    assert_eq!(piece.label, "Band, interlining");
    assert_eq!(piece.number, (2, 2));
    assert_eq!(piece.laid(), Laid::OnFold);
    assert_eq!(
        (piece.cut.count, piece.cut.cloth.as_deref()),
        (1, Some("fusible"))
    );
    assert!((piece.drawn_area.unwrap() - 198.0 * 36.0).abs() < 1e-6);
    assert!((piece.area().unwrap() - 2.0 * 198.0 * 36.0).abs() < 1e-6);
    assert_eq!(piece.cutting, piece.sewing, "it has no allowance");
    let lengths: Vec<f64> = piece.edges.iter().map(|edge| edge.length.round()).collect();
    let mut sorted = lengths.clone();
    sorted.sort_by(f64::total_cmp);
    assert_eq!(sorted, [36.0, 36.0, 198.0, 198.0], "{lengths:?}");
    assert!(piece.edges.iter().all(|edge| edge.is_walked()));
    assert!(pattern.unwalked.is_empty());
    let list = pattern.cut_list();
    let fusible = list.iter().find(|cuts| cuts.name == "fusible").unwrap();
    assert_eq!(fusible.pieces[0].name, "band_interlining");
}

/// It follows its piece: a longer band has a longer one. None asked for, or asked for none, makes none.
#[test]
fn it_is_made_anew_with_its_piece() {
    let longer = BAND
        .replace("200mm", "250mm")
        .replace("INTERLINE", "interline 2 from fusible by 3mm");
    let outcome = Run::of(&longer).drawn().1;
    let piece = outcome.pattern.piece("band_interlining").unwrap().clone();
    assert!((piece.drawn_area.unwrap() - 247.0 * 34.0).abs() < 1e-6);
    for none in [
        "",
        "interline 0 by 2mm",
        "interline 1 from fusible by 2mm\n  interline 0 by 2mm",
    ] {
        assert_eq!(drawn(none).pieces.len(), 1, "{none}");
    }
}

/// The library draws the interlinings of a collar and of its stand edge by edge. Derived, they are the same to a hundredth.
#[test]
fn they_are_those_that_the_library_constructs() {
    let draft = "draft \"Collar\"
unit cm
use shirt
panel shirt = womens_block
panel shirt = shirt_body on shirt
panel shirt = side_seams on shirt
panel shirt = tail_hem on shirt
panel shirt = forward_yoke on shirt
panel shirt = folded_stand on shirt
panel collar = stand_and_fall for shirt
pieces of collar
piece collar_fall traced from collar.collar_fall { interline 1 by 2mm }
piece collar_stand traced from collar.collar_stand { interline 1 by 2mm }
";
    let pattern = Run::of(draft).drawn().1.pattern;
    for (derived, own) in [
        ("collar_fall_interlining", "fall_interlining"),
        ("collar_stand_interlining", "stand_interlining"),
    ] {
        let (derived, own) = (pattern.piece(derived).unwrap(), pattern.piece(own).unwrap());
        let (a, b) = (derived.area().unwrap(), own.area().unwrap());
        assert!((a - b).abs() < 0.5, "{a} {b}");
        for edge in &derived.edges {
            let other = own.edge(&edge.name).unwrap();
            assert!((edge.length - other.length).abs() < 0.01, "{}", edge.name);
        }
    }
}

fn polygon(path: &Path) -> geo::Polygon<f64> {
    let points = chords(path.segs(), 0.002);
    let points: Vec<(f64, f64)> = points.iter().map(|p| (p.x, p.y)).collect();
    geo::Polygon::new(geo::LineString::from(points), Vec::new())
}

/// How far a point lies from the edges of a piece that are not on the fold.
fn off(point: geo::Point<f64>, piece: &Piece) -> f64 {
    let edges = piece.edges.iter().filter(|edge| !edge.on_fold);
    edges
        .flat_map(|edge| {
            let points = chords(edge.path.segs(), 0.002);
            let pairs: Vec<_> = points.windows(2).map(|pair| (pair[0], pair[1])).collect();
            pairs
        })
        .map(|(a, b)| {
            let line = geo::Line::new((a.x, a.y), (b.x, b.y));
            Euclidean.distance(&point, &line)
        })
        .fold(f64::INFINITY, f64::min)
}

/// Every piece of the crew shirt interlined by 3 mm: simple, inside its piece, nowhere nearer to the sewing line than 3 mm,
/// and its edges nowhere far from that.
#[test]
fn every_piece_of_a_shirt_can_be_interlined() {
    let shirt = include_str!("../../examples/womens-crew-shirt.draft");
    let taken = [
        ("shirt", "yoke"),
        ("shirt", "back"),
        ("shirt", "pocket"),
        ("shirt", "front"),
        ("sleeve", "sleeve"),
        ("sleeve", "tower_overlap"),
        ("cuff", "cuff"),
        ("collar", "collar_stand"),
        ("collar", "collar_fall"),
    ];
    let mut draft = shirt.to_owned();
    for (panel, piece) in taken {
        draft.push_str(&format!(
            "piece {piece} traced from {panel}.{piece} {{ interline 1 from interlining by 3mm }}\n"
        ));
    }
    let outcome = Run::of(&draft).drawn().1;
    let errors: Vec<String> = outcome
        .diagnostics
        .iter()
        .filter(|told| told.is_error())
        .map(|told| told.message.in_unit(MM).into_owned())
        .collect();
    assert!(errors.is_empty(), "{errors:?}");
    for (_, name) in taken {
        let piece = outcome.pattern.piece(name).unwrap();
        // The library has interlinings of its own under the plain name of some.
        let derived = |one: &&Piece| {
            one.name.starts_with(&format!("{name}_interlining"))
                && one.label.ends_with(", interlining")
        };
        let inside = outcome.pattern.pieces.iter().find(derived).unwrap();
        let (whole, part) = (
            polygon(piece.sewing.as_ref().unwrap()),
            polygon(inside.sewing.as_ref().unwrap()),
        );
        assert!(part.is_valid(), "{name}");
        assert!((geo::Area::unsigned_area(&part) - inside.drawn_area.unwrap()).abs() < 5.0);
        for coord in part.exterior().points() {
            let near = off(coord, piece);
            assert!(near > 3.0 - 0.02, "{name}: {near} at {coord:?}");
            let outside = Euclidean.distance(&coord, &whole);
            assert!(outside < 0.01, "{name}: {coord:?} lies {outside} outside");
        }
        let farthest = inside
            .edges
            .iter()
            .filter(|edge| !edge.on_fold)
            .flat_map(|edge| chords(edge.path.segs(), 0.1))
            .map(|p| off(geo::Point::new(p.x, p.y), piece))
            .fold(0.0, f64::max);
        // Corners of the inner line stand further in than its edges.
        assert!(farthest < 3.0 * 6.0, "{name}: {farthest}");
    }
}
