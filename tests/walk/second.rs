//! A second walker. It reads the program's JSON and nothing else, and of that neither `ok`, `intervals`, `from_mm`, `ease_mm`
//! nor `sections`: pieces' edges, notches, darts and folds, the edges of each side in order, and what eases are wanted.
//! Lengths are its own.

use kurbo::{BezPath, ParamCurve, PathSeg, Point};
use serde_json::Value as Json;

/// What it finds of a seam; nothing where it fits.
pub type Finding = Option<String>;

/// Places nearer than this are one: the JSON has four decimals.
const SAME: f64 = 0.02;
/// As finely as it measures.
const FINE: f64 = 0.003;

/// An edge as a side runs along it.
struct Run {
    piece: String,
    edge: String,
    after: String,
    segs: Vec<PathSeg>,
    begins: f64,
}

struct Side {
    runs: Vec<Run>,
    long: f64,
}

fn text(json: &Json) -> String {
    json.as_str().unwrap_or("").to_owned()
}

fn items(json: &Json) -> impl Iterator<Item = &Json> {
    json.as_array().into_iter().flatten()
}

/// Length by halving, until chord and handles agree.
fn length(seg: &PathSeg) -> f64 {
    let PathSeg::Cubic(cubic) = seg else {
        return (seg.eval(1.0) - seg.eval(0.0)).hypot();
    };
    let chord = (cubic.p3 - cubic.p0).hypot();
    let round = (cubic.p1 - cubic.p0).hypot()
        + (cubic.p2 - cubic.p1).hypot()
        + (cubic.p3 - cubic.p2).hypot();
    if round - chord < 1e-6 {
        return (round + chord) / 2.0;
    }
    let (one, other) = (seg.subsegment(0.0..0.5), seg.subsegment(0.5..1.0));
    length(&one) + length(&other)
}

fn path(data: &Json) -> Vec<PathSeg> {
    let data = BezPath::from_svg(data.as_str().unwrap_or("")).unwrap_or_default();
    data.segments().collect()
}

/// How far along a path a point of it lies.
fn along(segs: &[PathSeg], p: Point) -> Option<f64> {
    let mut before = 0.0;
    let mut found: Option<(f64, f64)> = None;
    for seg in segs {
        let mut best = (f64::MAX, 0.0);
        for n in 0..=32 {
            let t = f64::from(n) / 32.0;
            let far = (seg.eval(t) - p).hypot();
            if far < best.0 {
                best = (far, t);
            }
        }
        let mut step = 1.0 / 32.0;
        while step > 1e-9 {
            for t in [best.1 - step, best.1 + step] {
                let t = t.clamp(0.0, 1.0);
                let far = (seg.eval(t) - p).hypot();
                if far < best.0 {
                    best = (far, t);
                }
            }
            step /= 2.0;
        }
        if best.0 < SAME && found.is_none_or(|(far, _)| best.0 < far) {
            let part = if best.1 <= 0.0 {
                0.0
            } else {
                length(&seg.subsegment(0.0..best.1))
            };
            found = Some((best.0, before + part));
        }
        before += length(seg);
    }
    found.map(|(_, at)| at)
}

fn side(json: &Json) -> Side {
    let mut side = Side {
        runs: Vec::new(),
        long: 0.0,
    };
    for edge in items(&json["edges"]) {
        let segs = path(&edge["path"]);
        let long: f64 = segs.iter().map(length).sum();
        side.runs.push(Run {
            piece: text(&edge["piece"]),
            edge: text(&edge["edge"]),
            after: text(&edge["after"]),
            segs,
            begins: side.long,
        });
        side.long += long;
    }
    side
}

/// Judges every seam: its name, and what is wrong with it.
pub fn judge(json: &Json) -> Vec<(String, Finding)> {
    items(&json["seams"])
        .map(|seam| (text(&seam["name"]), judge_seam(json, seam).err()))
        .collect()
}

/// Darts whose legs differ, by piece.
pub fn darts(json: &Json) -> Vec<String> {
    let mut found = Vec::new();
    for piece in items(&json["pieces"]) {
        for dart in items(&piece["darts"]) {
            let point = |json: &Json| Some(Point::new(json[0].as_f64()?, json[1].as_f64()?));
            let (Some(a), Some(b), Some(apex)) =
                (point(&dart["a"]), point(&dart["b"]), point(&dart["apex"]))
            else {
                found.push(format!(
                    "{}: a dart without its points",
                    text(&piece["name"])
                ));
                continue;
            };
            let legs = [(a - apex).hypot(), (b - apex).hypot()];
            let said = [0, 1].map(|n| dart["legs_mm"][n].as_f64().unwrap_or(legs[n]));
            // Curved legs are longer than their chords; the JSON does not draw them.
            let legs = if said[0] > legs[0] + SAME || said[1] > legs[1] + SAME {
                said
            } else {
                legs
            };
            if (legs[0] - legs[1]).abs() > 0.5 + FINE {
                found.push(format!(
                    "{}: legs {:.2} and {:.2}",
                    text(&piece["name"]),
                    legs[0],
                    legs[1]
                ));
            }
        }
    }
    found
}

fn judge_seam(json: &Json, seam: &Json) -> Result<(), String> {
    let sides = [side(&seam["first"]), side(&seam["second"])];
    for side in &sides {
        gaps(json, seam, side)?;
    }
    let mut places: Vec<[f64; 2]> = Vec::new();
    let mut partners = [Vec::new(), Vec::new()];
    for notch in items(&seam["notches"]) {
        let at = [("first_mm", &sides[0]), ("second_mm", &sides[1])]
            .map(|(said, side)| snip(json, seam, notch, side, said));
        let [Some(first), Some(second)] = at else {
            return Err(format!(
                "notch {} stands on one side alone",
                notch["number"]
            ));
        };
        // Of a double the first mark counts.
        places.push([first[0], second[0]]);
        partners[0].extend(first);
        partners[1].extend(second);
    }
    for place in items(&seam["places"]).filter(|place| place["how"] == "meets") {
        let at = ["first_mm", "second_mm"].map(|key| place[key].as_f64().unwrap_or(-1.0));
        places.push(at);
        partners[0].push(at[0]);
        partners[1].push(at[1]);
    }
    corners(&sides, &partners)?;
    places.push([0.0, 0.0]);
    places.push([sides[0].long, sides[1].long]);
    places.sort_by(|a, b| (a[0] + a[1]).total_cmp(&(b[0] + b[1])));
    sections(seam, &sides, &places)
}

/// Where the marks of a seam's notch stand on a side.
fn snip(json: &Json, seam: &Json, notch: &Json, side: &Side, said: &str) -> Option<Vec<f64>> {
    let mut found: Vec<f64> = Vec::new();
    let mut shared: Vec<f64> = Vec::new();
    for piece in items(&json["pieces"]) {
        for one in items(&piece["notches"]) {
            let own = one["seam"] == seam["name"] && one["number"] == notch["number"];
            let also = items(&one["also"]).any(|other| *other == seam["name"]);
            if !own && !also {
                continue;
            }
            let places = if own { &mut found } else { &mut shared };
            for mark in items(&one["marks"]) {
                let p = Point::new(mark["x"].as_f64()?, mark["y"].as_f64()?);
                for run in side
                    .runs
                    .iter()
                    .filter(|run| piece["name"] == run.piece.as_str())
                {
                    if let Some(at) = along(&run.segs, p) {
                        places.push(run.begins + at);
                    }
                }
            }
        }
    }
    // One that serves two seams bears the number of the other; both of a twin seam are cut into one edge. Which of the
    // marks found is meant, the place told says; where it lies is measured.
    let meant: Vec<f64> = items(&notch[said])
        .filter_map(Json::as_f64)
        .filter_map(|wanted| {
            let near = |at: &&f64| (wanted - **at).abs() < 0.1;
            found
                .iter()
                .find(near)
                .or_else(|| shared.iter().find(near))
                .copied()
        })
        .collect();
    (!meant.is_empty() && meant.len() == items(&notch[said]).count()).then_some(meant)
}

/// Whether each edge begins where the one before it ends, or there is what lies between.
fn gaps(json: &Json, seam: &Json, side: &Side) -> Result<(), String> {
    for two in side.runs.windows(2) {
        let (Some(end), Some(begin)) = (two[0].segs.last(), two[1].segs.first()) else {
            return Err("an edge without a path".to_owned());
        };
        let (end, begin) = (end.eval(1.0), begin.eval(0.0));
        let piece = items(&json["pieces"]).find(|piece| piece["name"] == two[1].piece.as_str());
        let piece = piece.ok_or("a side of no piece")?;
        let ends = |a: &Json, b: &Json| {
            let p = |json: &Json| {
                Point::new(
                    json[0].as_f64().unwrap_or(f64::NAN),
                    json[1].as_f64().unwrap_or(f64::NAN),
                )
            };
            let (a, b) = (p(a), p(b));
            (a - end).hypot() < SAME && (b - begin).hypot() < SAME
                || (b - end).hypot() < SAME && (a - begin).hypot() < SAME
        };
        let fits = match two[1].after.as_str() {
            "touch" => (end - begin).hypot() < SAME,
            "dart" => items(&piece["darts"]).any(|dart| ends(&dart["a"], &dart["b"])),
            "pleat" => {
                let on = |p: Point| {
                    items(&piece["folds"]).any(|fold| near_line(&path(&fold["path"]), p))
                };
                on(end) && on(begin)
            }
            "over" => {
                items(&piece["edges"]).any(|edge| {
                    let segs = path(&edge["path"]);
                    let tips = segs.first().zip(segs.last());
                    tips.is_some_and(|(a, b)| {
                        let (a, b) = (a.eval(0.0), b.eval(1.0));
                        (a - end).hypot() < SAME && (b - begin).hypot() < SAME
                            || (b - end).hypot() < SAME && (a - begin).hypot() < SAME
                    })
                }) || true_over(piece, end, begin)
            }
            "seam" => joined(json, seam, &two[0], &two[1]),
            "apart" => two[0].piece != two[1].piece,
            _ => false,
        };
        if !fits {
            return Err(format!(
                "{} does not follow {} as told: {}",
                two[1].edge, two[0].edge, two[1].after
            ));
        }
    }
    Ok(())
}

/// Several edges passed by: a run of the outline from one place to another.
fn true_over(piece: &Json, from: Point, to: Point) -> bool {
    let tips: Vec<(Point, Point)> = items(&piece["edges"])
        .filter_map(|edge| {
            let segs = path(&edge["path"]);
            Some((segs.first()?.eval(0.0), segs.last()?.eval(1.0)))
        })
        .collect();
    let has = |p: Point| {
        tips.iter()
            .any(|(a, b)| (*a - p).hypot() < SAME || (*b - p).hypot() < SAME)
    };
    has(from) && has(to)
}

fn near_line(segs: &[PathSeg], p: Point) -> bool {
    let (Some(first), Some(last)) = (segs.first(), segs.last()) else {
        return false;
    };
    let (a, b) = (first.eval(0.0), last.eval(1.0));
    // A fold that ends within 10 mm of an edge is carried on to it.
    let way = (b - a) / (b - a).hypot();
    let off = way.cross(p - a).abs();
    let on = way.dot(p - a);
    off < SAME && on > -10.1 && on < (b - a).hypot() + 10.1 || along(segs, p).is_some()
}

/// Whether the edges beside the ends of two runs lie in one seam, other than this.
fn joined(json: &Json, seam: &Json, one: &Run, other: &Run) -> bool {
    let beside = |run: &Run, p: Point| -> Vec<String> {
        let piece = items(&json["pieces"]).find(|piece| piece["name"] == run.piece.as_str());
        let Some(piece) = piece else {
            return Vec::new();
        };
        items(&piece["edges"])
            .filter(|edge| edge["name"] != run.edge.as_str())
            .filter(|edge| {
                let segs = path(&edge["path"]);
                segs.first()
                    .is_some_and(|a| (a.eval(0.0) - p).hypot() < SAME)
                    || segs
                        .last()
                        .is_some_and(|b| (b.eval(1.0) - p).hypot() < SAME)
            })
            .map(|edge| text(&edge["name"]))
            .collect()
    };
    let end = one.segs[one.segs.len() - 1].eval(1.0);
    let (a, b) = (beside(one, end), beside(other, other.segs[0].eval(0.0)));
    items(&json["seams"])
        .filter(|by| by["name"] != seam["name"])
        .any(|by| {
            let has = |piece: &str, names: &[String]| {
                items(&by["first"]["edges"])
                    .chain(items(&by["second"]["edges"]))
                    .any(|edge| {
                        edge["piece"] == piece
                            && names.iter().any(|name| edge["edge"] == name.as_str())
                    })
            };
            has(&one.piece, &a) && has(&other.piece, &b)
        })
}

/// A corner of more than 30 degrees between edges that touch has its partner.
fn corners(sides: &[Side; 2], partners: &[Vec<f64>; 2]) -> Result<(), String> {
    for (n, side) in sides.iter().enumerate() {
        for two in side.runs.windows(2) {
            if two[1].after != "touch" {
                continue;
            }
            let way = |seg: &PathSeg, t: f64| {
                let (a, b) = if t > 0.5 {
                    (1.0 - 1e-5, 1.0)
                } else {
                    (0.0, 1e-5)
                };
                seg.eval(b) - seg.eval(a)
            };
            let (before, after) = (
                way(&two[0].segs[two[0].segs.len() - 1], 1.0),
                way(&two[1].segs[0], 0.0),
            );
            let turn = before
                .cross(after)
                .atan2(before.dot(after))
                .to_degrees()
                .abs();
            let paired = partners[n]
                .iter()
                .any(|at| (at - two[1].begins).abs() < SAME);
            if turn > 30.5 && !paired {
                return Err(format!("a corner of {turn:.0} degrees without a partner"));
            }
        }
    }
    Ok(())
}

/// What a sentence lets one side hold more than the other.
struct Wanted {
    side: usize,
    on: usize,
    parts: Vec<(f64, f64)>,
    least: f64,
    most: f64,
}

fn sections(seam: &Json, sides: &[Side; 2], places: &[[f64; 2]]) -> Result<(), String> {
    let tolerance = seam["tolerance_mm"].as_f64().unwrap_or(0.5);
    // A range is kept exactly, which is said of the whole; sections have what is usual.
    let plain = if tolerance < 0.002 { 0.5 } else { tolerance };
    let wanted: Vec<Wanted> = items(&seam["eases"])
        .map(|ease| {
            let on = usize::from(ease["side"] == "second");
            let figure = |key: &str| ease[key].as_f64().unwrap_or(f64::NAN);
            Wanted {
                side: if ease["how"] == "stretch" { 1 - on } else { on },
                on,
                parts: items(&ease["spans_mm"])
                    .map(|span| {
                        (
                            span[0].as_f64().unwrap_or(0.0),
                            span[1].as_f64().unwrap_or(0.0),
                        )
                    })
                    .collect(),
                least: figure("least_mm"),
                most: figure("most_mm"),
            }
        })
        .collect();
    let (mut least, mut most) = (0.0, 0.0);
    let mut ranged = false;
    for one in &wanted {
        let (low, high) = if one.side == 0 {
            (one.least, one.most)
        } else {
            (-one.most, -one.least)
        };
        least += low;
        most += high;
        ranged |= one.most - one.least > 1e-6;
    }
    let differs = sides[0].long - sides[1].long;
    let room = if ranged { 0.001 } else { tolerance } + FINE;
    if differs < least - room || differs > most + room {
        return Err(format!(
            "the first side is {differs:.3} longer, wanted {least:.3} to {most:.3}"
        ));
    }
    for two in places.windows(2) {
        let long = [0, 1].map(|n| two[1][n] - two[0][n]);
        if long.iter().any(|long| *long < -SAME) {
            return Err("places stand in another order".to_owned());
        }
        if long.iter().all(|long| *long < SAME) {
            continue;
        }
        let (mut low, mut high) = (-plain - FINE, plain + FINE);
        for one in &wanted {
            let (a, b) = (two[0][one.on], two[1][one.on]);
            if one
                .parts
                .iter()
                .any(|part| part.0 < b - SAME && part.1 > a + SAME)
            {
                if one.side == 0 {
                    high += one.most;
                } else {
                    low -= one.most;
                }
            }
        }
        let differs = long[0] - long[1];
        if differs < low || differs > high {
            return Err(format!(
                "between {:.2} and {:.2} of the first side it is {differs:.3} longer, wanted {low:.3} to {high:.3}",
                two[0][0], two[1][0]
            ));
        }
    }
    Ok(())
}

#[test]
fn it_measures_closed_forms_and_tells_what_differs() {
    let quarter = path(&serde_json::json!("M100 0 C100 55.2285 55.2285 100 0 100"));
    assert!((quarter.iter().map(length).sum::<f64>() - 157.0796).abs() < 0.05);
    let half = Point::new(70.7107, 70.7107);
    let at = along(&quarter, half).unwrap();
    assert!((at - quarter.iter().map(length).sum::<f64>() / 2.0).abs() < 0.01);
    let run = |piece: &str, x: f64, long: f64| {
        serde_json::json!({"piece": piece, "edge": "e", "line": "l", "mirrored": false, "after": "start",
            "path": format!("M{x} 0 L{x} {long}")})
    };
    let piece = |name: &str, x: f64, notch: f64| {
        serde_json::json!({"name": name, "edges": [], "folds": [], "darts": [], "notches": [
            {"seam": "s", "number": 1, "edge": "e", "marks": [{"x": x, "y": notch}]}]})
    };
    let drawn = |long: f64, notch: f64, eases: Json| {
        serde_json::json!({
            "pieces": [piece("a", 0.0, 40.0), piece("b", 9.0, notch)],
            "seams": [{"name": "s", "tolerance_mm": 0.5, "notches": [{"number": 1, "first_mm": [40.0], "second_mm": [notch]}], "eases": eases,
                "first": {"edges": [run("a", 0.0, 100.0)]}, "second": {"edges": [run("b", 9.0, long)]}}]})
    };
    let none = serde_json::json!([]);
    let fits = |json: Json| judge(&json)[0].1.is_none();
    assert!(fits(drawn(100.4, 40.3, none.clone())));
    assert!(!fits(drawn(100.6, 40.0, none.clone())));
    assert!(!fits(drawn(100.0, 41.0, none.clone())));
    // A notch that lies beside its side is none of it.
    assert!(!fits(drawn(100.0, 140.0, none)));
    let ease = |from: f64, to: f64| serde_json::json!([{"how": "ease", "side": "second", "spans_mm": [[from, to]], "least_mm": 5.0, "most_mm": 5.0}]);
    assert!(fits(drawn(105.0, 40.0, ease(50.0, 80.0))));
    assert!(!fits(drawn(105.0, 45.0, ease(50.0, 80.0))));
    assert!(fits(drawn(105.0, 45.0, ease(5.0, 30.0))));
}
