//! What is drawn at a piece's edge stands on its cloth, whichever way round the piece was drawn and laid on its sheet: the bracket that
//! says "place on the fold", and each notch. The drawing is read back, and its points are held against the lines that the JSON gives.

use crate::paper::example_drafts::{as_json, example, text};
use crate::paper::same_lines::{lines_of, place_of};
use geo::{Contains, Coord, LineString, Polygon};
use kurbo::{BezPath, ParamCurveNearest, PathEl, Point};
use oaktag_language::draft::Outcome;
use oaktag_output::svg;
use serde_json::Value as Json;

/// The same panel turned and turned over, with its fold on each side of the sheet, and its outline said in either order.
fn all_round() -> String {
    let mut draft = "draft \"All round\"\nunit mm\n".to_owned();
    let mut number = 0;
    for (ways, sense) in [
        (["right", "up"], ""),
        (["up", "left"], ""),
        (["left", "down"], ""),
        (["down", "right"], ""),
        (["right", "down"], " over"),
        (["down", "left"], " over"),
        (["left", "up"], " over"),
        (["up", "right"], " over"),
    ] {
        let [along, out] = ways;
        for outline in ["fold, top, slant, low", "low, slant, top, fold"] {
            number += 1;
            draft += &format!(
                "panel p{number} {{\n  point a = origin\n  point b = a {along} 300mm\n  point c = b {out} 120mm\n  point d = a {out} 180mm\n  line fold = from a to b\n  line top = from b to c\n  line slant = from c to d\n  line low = from d to a\n}}\npiece p{number} \"{along} {out}{sense}\" {{\n  outline {outline}\n  cut 1 on fold at fold\n  grain along {grain}\n  allow 1cm\n  finish top, slant, low \"bound\"\n}}\n",
                grain = if number % 3 == 0 { "low" } else { "fold" }
            );
        }
    }
    draft
}

fn flat(path: &BezPath) -> Polygon {
    let mut coords = Vec::new();
    kurbo::flatten(path, 0.01, |element| {
        if let PathEl::MoveTo(p) | PathEl::LineTo(p) = element {
            coords.push(Coord { x: p.x, y: p.y });
        }
    });
    Polygon::new(LineString::from(coords), Vec::new())
}

/// A piece of the JSON, and its lines of the drawing, by their layer, laid back to where the JSON has them.
struct Laid {
    of: String,
    piece: Json,
    lines: Vec<(String, String, BezPath)>,
}

impl Laid {
    fn on(&self, layer: &str) -> impl Iterator<Item = (&str, &BezPath)> {
        let own = self.lines.iter().filter(move |(on, ..)| on == layer);
        own.map(|(_, name, path)| (name.as_str(), path))
    }
}

fn path(at: &Json) -> BezPath {
    BezPath::from_svg(at["path"].as_str().unwrap()).unwrap()
}

fn edges(piece: &Json) -> Vec<(String, BezPath)> {
    let edges = piece["edges"].as_array().unwrap().iter();
    let named = edges.map(|edge| (edge["name"].as_str().unwrap().to_owned(), path(edge)));
    named.collect()
}

fn laid(name: &str, outcome: &Outcome) -> Vec<Laid> {
    let json = as_json(outcome);
    let lines = lines_of(&svg::write(&outcome.pattern));
    let of_piece = |piece: &Json| {
        let of = format!("{name} {}", piece["name"]);
        let own = lines
            .iter()
            .filter(|(_, whose, ..)| *whose == piece["name"]);
        let own: Vec<_> = own
            .map(|(layer, _, name, path)| (layer.clone(), name.clone(), path.clone()))
            .collect();
        let sewn = own.iter().filter(|(layer, ..)| layer == "sew");
        let sewn: Vec<_> = sewn
            .map(|(_, name, path)| (name.clone(), path.clone()))
            .collect();
        let back = place_of(&edges(piece), &sewn, &of).inverse();
        let lines = own
            .into_iter()
            .map(|(layer, name, path)| (layer, name, back * path));
        Laid {
            of,
            piece: piece.clone(),
            lines: lines.collect(),
        }
    };
    json["pieces"]
        .as_array()
        .unwrap()
        .iter()
        .map(of_piece)
        .collect()
}

fn gap(line: &BezPath, p: Point) -> f64 {
    let gaps = line.segments().map(|seg| seg.nearest(p, 1e-6).distance_sq);
    gaps.fold(f64::INFINITY, f64::min).sqrt()
}

fn contains(polygon: &Polygon, p: Point) -> bool {
    polygon.contains(&geo::Point::new(p.x, p.y))
}

/// How many brackets there are, each of them on the cloth.
fn brackets(name: &str, outcome: &Outcome) -> usize {
    let mut seen = 0;
    for laid in laid(name, outcome) {
        let Some(fold) = laid.piece["cut"]["fold"].as_str() else {
            continue;
        };
        let sewing = flat(&path(&laid.piece["sewing"]));
        let edges = edges(&laid.piece);
        let (_, edge) = edges.iter().find(|(name, _)| name == fold).unwrap();
        // The edge itself is drawn in the layer as well; the bracket has strokes of its own.
        let bracket = laid.on("fold").filter(|(of, path)| {
            let strokes = path.elements().iter();
            *of == fold
                && strokes
                    .filter(|one| matches!(one, PathEl::MoveTo(_)))
                    .count()
                    == 3
        });
        for (_, bracket) in bracket {
            for p in bracket.elements().iter().filter_map(PathEl::end_point) {
                let gap = gap(edge, p);
                let of = &laid.of;
                assert!(
                    contains(&sewing, p),
                    "{of}: the bracket stands {gap} mm off the cloth"
                );
                assert!((0.5..12.0).contains(&gap), "{of}: {gap} mm from the fold");
            }
            seen += 1;
        }
    }
    seen
}

#[test]
fn a_fold_bracket_stands_on_the_cloth() {
    let outcome = text(&all_round(), &[]);
    let errors: Vec<_> = outcome
        .diagnostics
        .iter()
        .filter(|d| d.is_error())
        .collect();
    assert!(errors.is_empty(), "{errors:?}");
    assert_eq!(brackets("all round", &outcome), 16);
    for (name, least) in [
        ("ferry-shirt", 2),
        ("womens-crew-shirt", 3),
        ("deck-vest", 2),
    ] {
        let found = brackets(name, &example(&format!("{name}.draft"), &[]));
        assert!(found >= least, "{name}: {found} brackets");
    }
}

/// A notch is cut from the cutting line into the allowance: no part of it stands outside, and none reaches the seam. Where there is
/// nothing to cut into, a tick inside the sewing line marks the place.
#[test]
fn a_notch_is_cut_into_the_allowance() {
    let mut seen = 0;
    for name in [
        "ferry-shirt",
        "womens-crew-shirt",
        "trousers",
        "puff-sleeve",
    ] {
        for laid in laid(name, &example(&format!("{name}.draft"), &[])) {
            let (cutting, sewing) = (path(&laid.piece["cutting"]), path(&laid.piece["sewing"]));
            let (cut, sewn) = (flat(&cutting), flat(&sewing));
            for (_, notch) in laid.on("notches") {
                let ends: Vec<Point> = notch
                    .elements()
                    .iter()
                    .filter_map(PathEl::end_point)
                    .collect();
                let (from, to) = (ends[0], ends[ends.len() - 1]);
                let of = format!("{}: a notch at {from:?}", laid.of);
                for p in &ends {
                    let inside = contains(&cut, *p) || gap(&cutting, *p) < 0.02;
                    assert!(inside, "{of} stands {} mm outside", gap(&cutting, *p));
                }
                let is_way = gap(&sewing, from).min(gap(&sewing, to)) < 0.01;
                if !is_way && gap(&cutting, from) < 0.02 {
                    assert!(!contains(&sewn, to), "{of} is cut through the seam");
                    seen += 1;
                }
            }
        }
    }
    assert!(seen > 40, "{seen} notches");
}

/// The table on paper counts the pieces as the JSON does.
#[test]
fn the_table_has_each_piece_by_its_number() {
    let outcome = example("ferry-shirt.draft", &[]);
    let shown = svg::write(&outcome.pattern);
    let document = roxmltree::Document::parse(&shown).unwrap();
    let texts: Vec<&str> = document
        .descendants()
        .filter_map(|node| node.text())
        .map(str::trim)
        .collect();
    let json = as_json(&outcome);
    let pieces = json["pieces"].as_array().unwrap();
    assert_eq!(pieces[0]["number"], 1);
    for piece in pieces {
        let row = format!("{} {}", piece["number"], piece["label"].as_str().unwrap());
        assert!(texts.contains(&&*row), "{row}: {texts:?}");
    }
}
