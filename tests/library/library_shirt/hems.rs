//! The hem under a stand: folded back over the front, the cloth beyond each fold has the same hem as the cloth it lies on, so
//! that the cutting line mirrored over the fold lies on itself. Each combination of stand and hem, on each body, in every size
//! of `examples/sizes.csv`.

use crate::library_shirt::shirt::draw;
use kurbo::{BezPath, ParamCurve, ParamCurveArclen, ParamCurveNearest, PathSeg, Point, Shape as _};
use serde_json::Value as Json;

/// Over the fold the cutting line may miss itself by this.
const MISS: f64 = 0.05;
/// At the neck the next fold is a corner, mitred so: straight for some millimetres where the neck bends.
const MISS_AT_NECK: f64 = 0.25;
/// Nearer to the raw edge than this the corner there is mitred: the line runs on straight where the hem or the neck bends.
const RAW: f64 = 5.0;

const STANDS: [(&str, &[&str]); 6] = [
    ("folded_stand on shirt", &["fold_1", "fold_2"]),
    (
        "folded_stand on shirt with overlap 25mm, facing 45mm",
        &["fold_1", "fold_2"],
    ),
    ("single_stand on shirt", &["fold_1"]),
    ("single_stand on shirt with facing 8cm", &["fold_1"]),
    ("concealed_stand on shirt", &["fold_1", "fold_2", "fold_3"]),
    ("band_stand on shirt", &["fold_1"]),
];
const HEMS: [&str; 7] = [
    "panel shirt = tail_hem on shirt",
    "panel shirt = straight_hem on shirt",
    "panel shirt = straight_hem on shirt with hem_depth 6mm",
    "panel shirt = straight_hem on shirt with hem_depth 5cm",
    "panel shirt = straight_hem on shirt\npanel shirt = side_vents on shirt",
    "panel shirt = tail_hem on shirt\npanel shirt = lengthen on shirt by 6cm",
    "panel shirt = straight_hem on shirt with hem_depth 4cm\npanel shirt = lengthen on shirt by 3cm\npanel shirt = felled_sides on shirt",
];
const BODIES: [(&str, &str, &str); 3] = [
    (
        "body",
        "womens_block",
        "panel shirt = shirt_body on shirt\npanel shirt = side_seams on shirt\nHEM\n",
    ),
    (
        "mens_body",
        "mens_block",
        "panel shirt = shirt_body on shirt\npanel shirt = side_seams on shirt\nHEM\n",
    ),
    (
        "body",
        "womens_block",
        "panel shirt = fitted_body on shirt\npanel shirt = dart_to_side on shirt\n",
    ),
];

/// The sizes of the table: name, and measures as `--set` takes them, of a woman or of a man of the same girths.
fn sizes(man: bool) -> Vec<Vec<String>> {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/sizes.csv");
    let text = std::fs::read_to_string(path).unwrap();
    let rows: Vec<Vec<&str>> = text.lines().map(|line| line.split(',').collect()).collect();
    assert_eq!(rows[0][0], "size [cm]");
    let of_man = [
        "stature",
        "waist_girth",
        "hip_girth",
        "upper_arm_girth",
        "wrist_girth",
    ];
    (1..rows[0].len())
        .map(|size| {
            let measures = rows.iter().skip(1).filter_map(|row| {
                let name = row[0].to_lowercase().replace(' ', "_");
                let name = match name.as_str() {
                    "bust_girth" if man => "chest_girth".to_owned(),
                    other if man && !of_man.contains(&other) => return None,
                    other => other.to_owned(),
                };
                Some(format!("{name}={}cm", row[size]))
            });
            measures.collect()
        })
        .collect()
}

fn path(of: &Json) -> BezPath {
    BezPath::from_svg(of["path"].as_str().unwrap()).unwrap()
}

fn nearest(segs: &[PathSeg], p: Point) -> f64 {
    let each = segs.iter().map(|seg| seg.nearest(p, 1e-9).distance_sq);
    each.fold(f64::INFINITY, f64::min).sqrt()
}

/// How far the cutting line of a piece misses itself, at the hem and at the neck, when it is folded on each line in turn,
/// outward from the centre.
fn missed(piece: &Json, folds: &[&str]) -> (f64, f64) {
    let x_of = |name: &str| {
        let all = piece["folds"].as_array().unwrap();
        let fold = all
            .iter()
            .find(|fold| fold["name"].as_str().unwrap().ends_with(name));
        let fold = fold.unwrap_or_else(|| panic!("no {name}"));
        path(fold).segments().next().unwrap().start().x
    };
    let cut: Vec<PathSeg> = path(&piece["cutting"]).segments().collect();
    let right = path(&piece["sewing"])
        .segments()
        .map(|seg| seg.start().x)
        .fold(f64::MIN, f64::max);
    let mut bounds: Vec<f64> = folds.iter().map(|name| x_of(name)).collect();
    bounds.push(right - RAW);
    let middle = path(&piece["sewing"]).bounding_box().center().y;
    let (mut hem, mut neck, mut looked) = (0.0_f64, 0.0_f64, 0);
    for (fold, beyond) in bounds.iter().zip(bounds.iter().skip(1)) {
        for seg in &cut {
            let steps = (seg.arclen(0.01) / 1.0).ceil().max(1.0);
            for step in 0..=(steps as usize) {
                let p = seg.eval(step as f64 / steps);
                if p.x > *fold && p.x < *beyond {
                    looked += 1;
                    let miss = nearest(&cut, Point::new(2.0 * fold - p.x, p.y));
                    let worst = if p.y < middle { &mut hem } else { &mut neck };
                    *worst = worst.max(miss);
                }
            }
        }
    }
    assert!(looked > 20, "{looked} places");
    (hem, neck)
}

/// The figures in a text that end in ` cm`, together, in millimetres.
fn told(words: &str) -> Option<f64> {
    let words: Vec<&str> = words.split([' ', ',']).collect();
    let pairs = words.iter().zip(words.iter().skip(1));
    let figures: Vec<f64> = pairs
        .filter(|(_, unit)| **unit == "cm")
        .map(|(figure, _)| figure.parse::<f64>().unwrap() * 10.0)
        .collect();
    (!figures.is_empty()).then(|| figures.iter().sum())
}

fn holds(text: &str, set: &[String], folds: &[&str], banded: bool) {
    let set: Vec<&str> = set.iter().map(String::as_str).collect();
    let shirt = draw(text, &set);
    let errors = shirt.errors();
    assert!(errors.is_empty(), "{text}{set:?}\n{errors:#?}");
    let found = missed(shirt.piece(if banded { "band" } else { "front" }), folds);
    let (hem, neck) = found;
    assert!(
        hem <= MISS && neck <= MISS_AT_NECK,
        "{found:.3?} mm\n{text}{set:?}"
    );
    // What is said of the hem is what is there, on both sides of the fold and on the back.
    for piece in shirt.pieces() {
        let edges = shirt.piece(piece)["edges"].as_array().unwrap();
        for edge in edges
            .iter()
            .filter(|edge| edge["name"].as_str().unwrap().contains("hem"))
        {
            let words = edge["finish"].as_str().unwrap();
            let wide = edge["allowance_mm"].as_f64().unwrap();
            if let Some(figures) = told(words) {
                assert!(
                    (figures - wide).abs() < 0.06,
                    "{piece}: {words}, and {wide} mm\n{text}"
                );
            } else {
                assert!(
                    ["turned up", "turned in"].iter().any(|w| words.contains(w)),
                    "{words}"
                );
            }
        }
    }
    if !banded {
        let edges = shirt.piece("front")["edges"].as_array().unwrap();
        let wide = |name: &str| {
            let edge = edges.iter().find(|edge| edge["name"] == name).unwrap();
            (
                edge["allowance_mm"].clone(),
                edge["finish"].as_str().unwrap().to_owned(),
            )
        };
        let (hem, on, fold) = (wide("hem"), wide("hem_on"), wide("hem_fold"));
        assert!(hem.0 == on.0 && hem.0 == fold.0, "{text}");
        assert_eq!(
            (&on.1, &fold.1),
            (&format!("{}, with the hem", hem.1), &on.1)
        );
    }
}

#[test]
fn the_hem_of_a_stand_lies_on_the_fronts_own() {
    let mut cases = Vec::new();
    for (body, block, lines) in BODIES {
        let sizes = sizes(body == "mens_body");
        assert_eq!(sizes.len(), 7);
        let hems = if lines.contains("HEM") {
            &HEMS[..]
        } else {
            &HEMS[..1]
        };
        for hem in hems {
            for (stand, folds) in STANDS {
                let lines = lines.replace("HEM", hem);
                let text = format!(
                    "draft \"Body\"\nunit cm\nuse {body}\nuse shirt\npanel shirt = {block}\n{lines}panel shirt = {stand}\npieces of shirt\n"
                );
                for size in &sizes {
                    cases.push((text.clone(), size.clone(), folds, stand.starts_with("band")));
                }
            }
        }
    }
    let (one, other) = cases.split_at(cases.len() / 2);
    std::thread::scope(|scope| {
        for half in [one, other] {
            scope.spawn(move || {
                for (text, set, folds, banded) in half {
                    holds(text, set, folds, *banded);
                }
            });
        }
    });
}
