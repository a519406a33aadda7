//! What is cut is the same line by every form, and a line that scissors or a blade can follow: for each example the cutting rings
//! of JSON, SVG, PDF and DXF, read by readers that are not ours. Rings are held to be simple by `geo`, whose rules are those of
//! OGC Simple Features (06-103r4, 6.1.11.1).

use crate::paper::example_drafts::{as_json, example};
use crate::paper::reader::Pdf;
use geo::{Coord, LineString, Polygon, Validation};
use kurbo::{
    Affine, BezPath, ParamCurve, ParamCurveNearest, PathEl, PathSeg, Point, Shape as _, Vec2,
};
use oaktag_language::pattern::Pattern;
use oaktag_output::drawing::Layer;
use oaktag_output::drawing::manner::Scale;
use oaktag_output::pages::lay_out;
use oaktag_output::sheet::Sheet;
use oaktag_output::{dxf, pdf, svg};
use serde_json::Value as Json;

/// Every example that has pieces.
const EXAMPLES: [&str; 15] = [
    "card-block-shirt",
    "deck-smock",
    "deck-vest",
    "ferry-shirt",
    "first-steps",
    "fitted-blouse",
    "half-circle-skirt",
    "hooded-smock",
    "mens-crew-shirt",
    "princess-bodice",
    "puff-sleeve",
    "raglan-shirt",
    "straight-skirt",
    "trousers",
    "two-piece-sleeve",
];

/// Two lines that lie so close are one.
const SAME: f64 = 0.01;
/// Between chords and their curve, in a file for a cutting room.
const CHORD: f64 = 0.01;

/// A piece as the JSON has it: its name, its cutting rings, and its edges.
struct Ring {
    piece: String,
    rings: Vec<BezPath>,
    edges: Vec<(String, BezPath)>,
}

fn path(at: &Json) -> BezPath {
    BezPath::from_svg(at["path"].as_str().unwrap()).unwrap()
}

fn rings(json: &Json) -> Vec<Ring> {
    let pieces = json["pieces"].as_array().unwrap().iter();
    let of = |piece: &Json| {
        let holes = piece["cutting_holes"].as_array().unwrap().iter().map(path);
        let edges = piece["edges"].as_array().unwrap().iter();
        Ring {
            piece: piece["name"].as_str().unwrap().to_owned(),
            rings: std::iter::once(path(&piece["cutting"]))
                .chain(holes)
                .collect(),
            edges: edges
                .map(|edge| (edge["name"].as_str().unwrap().to_owned(), path(edge)))
                .collect(),
        }
    };
    pieces.map(of).collect()
}

/// Points of a path close enough to see a knot of [`SAME`].
fn flat(path: &BezPath) -> Vec<Point> {
    let mut points = Vec::new();
    kurbo::flatten(path, CHORD, |element| match element {
        PathEl::MoveTo(p) | PathEl::LineTo(p) => points.push(p),
        _ => {}
    });
    // The last chord of a curve may come twice; the joints themselves are looked at one by one.
    points.dedup_by(|a, b| (*a - *b).hypot() < 1e-9);
    if (points[0] - points[points.len() - 1]).hypot() < 1e-9 {
        points.pop();
    }
    points
}

/// Nothing that a blade would turn round in: no point twice, no two stretches that cross or touch.
fn is_simple(points: &[Point], of: &str) {
    let at = |n: usize| points[n % points.len()];
    for n in 0..points.len() {
        let step = (at(n + 1) - at(n)).hypot();
        assert!(step >= SAME, "{of}: a step of {step} mm at {:?}", at(n));
    }
    let coords: Vec<Coord> = points.iter().map(|p| Coord { x: p.x, y: p.y }).collect();
    let polygon = Polygon::new(LineString::from(coords), Vec::new());
    let fault = polygon.check_validation();
    assert!(fault.is_ok(), "{of}: {fault:?}");
    // Where the line comes back to itself, cloth is left between.
    for one in 0..points.len() {
        for other in one + 2..points.len() {
            let is_next = one == 0 && other == points.len() - 1;
            if !is_next && (points[one] - points[other]).hypot() < SAME {
                let round: f64 = (one..other).map(|n| (at(n + 1) - at(n)).hypot()).sum();
                panic!("{of}: back at {:?} after {round} mm", points[one]);
            }
        }
    }
}

fn segments(paths: &[BezPath]) -> Vec<PathSeg> {
    paths.iter().flat_map(BezPath::segments).collect()
}

/// How far the first lines lie off the others at most, looked at closely.
fn off(lines: &[PathSeg], others: &[PathSeg]) -> f64 {
    let on = |seg: &PathSeg| {
        (0..=8)
            .map(|n| f64::from(n) / 8.0)
            .map(|t| seg.eval(t))
            .collect()
    };
    let points = lines
        .iter()
        .flat_map(|seg: &PathSeg| -> Vec<Point> { on(seg) });
    let gap = |p: Point| {
        let gaps = others.iter().map(|seg| seg.nearest(p, 1e-9).distance_sq);
        gaps.fold(f64::INFINITY, f64::min).sqrt()
    };
    points.map(gap).fold(0.0, f64::max)
}

/// The one turn and slide by which the first points come nearest to the others, and how far off they stay (least squares in the
/// plane, a closed form; common practice).
fn placed(pairs: &[(Point, Point)]) -> (Affine, f64) {
    let count = pairs.len() as f64;
    let middle = |of: fn(&(Point, Point)) -> Point| {
        pairs.iter().map(|pair| of(pair).to_vec2()).sum::<Vec2>() / count
    };
    let (from, to) = (middle(|pair| pair.0), middle(|pair| pair.1));
    let (mut along, mut across) = (0.0, 0.0);
    for (a, b) in pairs {
        let (a, b) = (a.to_vec2() - from, b.to_vec2() - to);
        along += a.dot(b);
        across += a.cross(b);
    }
    let place =
        Affine::translate(to) * Affine::rotate(across.atan2(along)) * Affine::translate(-from);
    let off = pairs.iter().map(|(a, b)| (place * *a - *b).hypot());
    (place, off.fold(0.0, f64::max))
}

fn points(path: &BezPath) -> Vec<Point> {
    path.elements()
        .iter()
        .filter_map(PathEl::end_point)
        .collect()
}

/// A line of a drawing: its layer, and whose it is.
struct Line {
    layer: String,
    piece: String,
    name: String,
    path: BezPath,
}

pub(crate) fn lines_of(text: &str) -> Vec<(String, String, String, BezPath)> {
    let document = roxmltree::Document::parse(text).unwrap();
    let groups = document.root_element().children();
    let mut found = Vec::new();
    for group in groups.filter(|node| node.has_tag_name("g")) {
        for node in group.descendants().filter(|node| node.has_tag_name("path")) {
            let text = |key: &str| node.attribute(key).unwrap_or_default().to_owned();
            let path = BezPath::from_svg(&text("d")).unwrap();
            let layer = group.attribute("id").unwrap().to_owned();
            found.push((layer, text("data-piece"), text("data-name"), path));
        }
    }
    found
}

fn drawn(pattern: &Pattern) -> Vec<Line> {
    let lines = lines_of(&svg::write(pattern)).into_iter();
    let of = |(layer, piece, name, path)| Line {
        layer,
        piece,
        name,
        path,
    };
    lines.map(of).collect()
}

/// Where the SVG has a piece, by its sewing lines: y goes down there.
pub(crate) fn place_of(
    edges: &[(String, BezPath)],
    sewn: &[(String, BezPath)],
    of: &str,
) -> Affine {
    let down = Affine::new([1.0, 0.0, 0.0, -1.0, 0.0, 0.0]);
    let mut pairs = Vec::new();
    for (name, edge) in edges {
        let mut alike = sewn.iter().filter(|(sewn, _)| sewn == name);
        let Some((_, line)) = alike.next() else {
            continue;
        };
        let (wanted, found) = (points(edge), points(line));
        assert_eq!(wanted.len(), found.len(), "{of} {name}");
        pairs.extend(wanted.into_iter().map(|p| down * p).zip(found));
    }
    assert!(pairs.len() >= 3, "{of}");
    let (place, off) = placed(&pairs);
    assert!(off < SAME, "{of}: its sewing lines are {off} mm off");
    place * down
}

#[test]
fn the_cutting_line_is_one_simple_line_and_the_same_in_every_form() {
    let mut seen = 0;
    for name in EXAMPLES {
        let outcome = example(&format!("{name}.draft"), &[]);
        let pattern = outcome.pattern.clone();
        let rings = rings(&as_json(&outcome));
        let drawn = drawn(&pattern);
        for ring in &rings {
            let of = format!("{name} {}", ring.piece);
            for path in &ring.rings {
                is_simple(&flat(path), &format!("{of}, JSON"));
                let joints = points(path);
                let steps = joints.windows(2).map(|pair| (pair[1] - pair[0]).hypot());
                let least = steps.fold(f64::INFINITY, f64::min);
                assert!(least >= SAME, "{of}: a part of {least} mm");
            }
            let own = |layer: &str| -> Vec<(String, BezPath)> {
                let own = drawn.iter().filter(|one| one.layer == layer);
                let own = own.filter(|one| one.piece == ring.piece);
                own.map(|one| (one.name.clone(), one.path.clone()))
                    .collect()
            };
            let place = place_of(&ring.edges, &own("sew"), &of);
            let wanted: Vec<BezPath> = ring.rings.iter().map(|path| place * path).collect();
            let cut: Vec<BezPath> = own("cut").into_iter().map(|(_, path)| path).collect();
            let fold: Vec<BezPath> = own("fold").into_iter().map(|(_, path)| path).collect();
            let (wanted, cut) = (segments(&wanted), segments(&cut));
            let beside = off(&cut, &wanted);
            assert!(beside < SAME, "{of}: the SVG cuts {beside} mm off the JSON");
            let all = [cut, segments(&fold)].concat();
            let left = off(&wanted, &all);
            assert!(
                left < SAME,
                "{of}: the SVG leaves out {left} mm of the JSON"
            );
            seen += 1;
        }
        on_paper(name, &pattern, &drawn);
        for_a_cutting_room(name, &pattern, &rings);
    }
    assert!(seen >= 60, "{seen} pieces");
}

/// One page at true size has the lines of the SVG, all of them and no other.
fn on_paper(name: &str, pattern: &Pattern, drawn: &[Line]) {
    let document = lay_out(pattern, Sheet::Fit, Scale::Full).unwrap();
    let read = Pdf::read(&pdf::write(&document, &[Layer::Construction]).bytes);
    let cut = |layer: &str, path: &BezPath| (layer == "cut").then(|| path.clone());
    let printed: Vec<BezPath> = read
        .pages
        .iter()
        .flat_map(|page| &page.paths)
        .filter(|one| !one.is_filled)
        .filter_map(|one| cut(&one.layer, &one.path))
        .collect();
    let shown: Vec<BezPath> = drawn
        .iter()
        .filter_map(|one| cut(&one.layer, &one.path))
        .collect();
    assert_eq!(printed.len(), shown.len(), "{name}");
    let pairs = printed.iter().zip(&shown);
    let pairs: Vec<(Point, Point)> = pairs
        .flat_map(|(a, b)| points(a).into_iter().zip(points(b)))
        .collect();
    let slide = pairs[0].1 - pairs[0].0;
    for (a, b) in pairs {
        let off = (a + slide - b).hypot();
        assert!(off < SAME, "{name}: the PDF cuts {off} mm off the SVG");
    }
}

/// A block for each piece, whose boundary is the outer ring and whose cut-outs are the others.
fn for_a_cutting_room(name: &str, pattern: &Pattern, rings: &[Ring]) {
    let drawing = ::dxf::Drawing::load(&mut dxf::write(pattern, "base").as_bytes()).unwrap();
    for ring in rings {
        let of = format!("{name} {}, DXF", ring.piece);
        // A piece with a mark on one side alone has a block a side; the half that its sheet shows is not mirrored.
        let names =
            ["", "_RIGHT", "_LEFT"].map(|side| format!("{}{side}-BASE", ring.piece.to_uppercase()));
        let block = names
            .iter()
            .find_map(|name| {
                let mut blocks = drawing.blocks();
                blocks.find(|block| block.name.to_uppercase() == *name)
            })
            .unwrap_or_else(|| panic!("{of}: no block {}", names[0]));
        notches_go_in(block, ring, &of);
        let lines = block.entities.iter().filter_map(|entity| {
            let is_cut = matches!(&*entity.common.layer, "1" | "11");
            match &entity.specific {
                ::dxf::entities::EntityType::Polyline(line) if is_cut => Some(line),
                _ => None,
            }
        });
        let read: Vec<Vec<Point>> = lines
            .map(|line| {
                assert!(line.is_closed(), "{of}");
                let vertices = line.vertices();
                vertices
                    .map(|vertex| Point::new(vertex.location.x, vertex.location.y))
                    .collect()
            })
            .collect();
        assert_eq!(read.len(), ring.rings.len(), "{of}");
        for (points, wanted) in read.iter().zip(&ring.rings) {
            is_simple(points, &of);
            let mut line = BezPath::new();
            line.move_to(points[0]);
            points[1..].iter().for_each(|p| line.line_to(*p));
            line.close_path();
            let (line, wanted) = (
                segments(std::slice::from_ref(&line)),
                segments(std::slice::from_ref(wanted)),
            );
            let beside = off(&line, &wanted).max(off(&wanted, &line));
            assert!(beside < CHORD + SAME, "{of}: {beside} mm off the JSON");
        }
    }
}

/// The way of a notch in the file leads from the cutting line into the cloth.
fn notches_go_in(block: &::dxf::Block, ring: &Ring, of: &str) {
    let outer = &ring.rings[0];
    for entity in &block.entities {
        let ::dxf::entities::EntityType::ModelPoint(point) = &entity.specific else {
            continue;
        };
        if !matches!(&*entity.common.layer, "4" | "80") || point.thickness <= 0.0 {
            continue;
        }
        let at = Point::new(point.location.x, point.location.y);
        let tip = at + Vec2::from_angle(point.angle.to_radians()) * point.thickness;
        let line = segments(std::slice::from_ref(outer));
        let gap = |p: Point| {
            let gaps = line.iter().map(|seg| seg.nearest(p, 1e-9).distance_sq);
            gaps.fold(f64::INFINITY, f64::min).sqrt()
        };
        let off = gap(at);
        assert!(off < SAME, "{of}: a notch {off} mm off the cutting line");
        // At a fold it is cut along it.
        let inside = outer.contains(tip) || gap(tip) < SAME;
        assert!(inside, "{of}: a notch at {at:?} is cut into nothing");
    }
}
