//! Chance edits of the examples: a figure moved, a name changed, a sheet slid. What is told moved did move by that much in
//! its piece, by two JSON outputs and rows of points; what is not told lies where it lay, to a tenth of a millimetre.

use super::{Drawn, compared};
use crate::chance::Chance;
use kurbo::{Affine, BezPath, ParamCurve as _, Point, Vec2};
use oaktag_language::draft::{self, Inputs};
use oaktag_language::library;
use oaktag_language::syntax::project::{Project, ReadFault, Reader};
use oaktag_studio::compare::{Comparison, InsideEdit, Lies, PieceChange};
use serde_json::Value as Json;
use std::collections::BTreeSet;

/// Drafts with curves, imports, marks, folds and seams of many notches.
const EXAMPLES: [&str; 8] = [
    "first-steps",
    "deck-vest",
    "ferry-shirt",
    "straight-skirt",
    "trousers",
    "princess-bodice",
    "two-piece-sleeve",
    "raglan-shirt",
];

struct Examples;

impl Reader for Examples {
    fn read(&self, path: &str) -> Result<String, ReadFault> {
        let path = format!("{}/examples/{path}", env!("CARGO_MANIFEST_DIR"));
        std::fs::read_to_string(path).map_err(|error| ReadFault::Unreadable(error.to_string()))
    }
}

/// What is not told has not moved farther than this, in millimetres.
const UNTOLD: f64 = 0.1;
/// What is told is right to this: rows of points stand this near to each other.
const TOLD: f64 = 0.02;

/// Edits of each example in `cargo test`.
const EDITS: usize = 8;

fn drawn_of(name: &str, text: &str) -> Drawn {
    let project = Project::load(name, text, &Examples, &library::module);
    let outcome = draft::make(&project, &Inputs::default());
    Drawn { project, outcome }
}

/// A length somewhere in the text made a little longer or shorter.
fn figure(text: &str, chance: &mut Chance) -> Option<String> {
    let figures = regex::Regex::new(r"\d+(\.\d+)?(cm|mm)\b").unwrap();
    let all: Vec<_> = figures.find_iter(text).collect();
    let found = all.get(chance.below(all.len()))?;
    let word = found.as_str();
    let (figure, unit) = word.split_at(word.len() - 2);
    let by = chance.within(-0.06, 0.06);
    let new = (figure.parse::<f64>().ok()? * (1.0 + by) * 100.0).round() / 100.0;
    Some(format!(
        "{}{new}{unit}{}",
        &text[..found.start()],
        &text[found.end()..]
    ))
}

/// A drawn name replaced wherever it stands.
fn name(text: &str, chance: &mut Chance) -> Option<String> {
    let names = regex::Regex::new(r"(?m)^\s*(?:point|line|curve) (\w+) =").unwrap();
    let all: Vec<&str> = names
        .captures_iter(text)
        .filter_map(|found| Some(found.get(1)?.as_str()))
        .collect();
    let old = *all.get(chance.below(all.len()))?;
    let word = regex::Regex::new(&format!(r"\b{old}\b")).unwrap();
    Some(word.replace_all(text, format!("{old}_anew")).into_owned())
}

/// A panel that begins at the origin begins elsewhere.
fn slide(text: &str, chance: &mut Chance) -> Option<String> {
    let starts: Vec<usize> = text.match_indices("= origin\n").map(|(at, _)| at).collect();
    let at = *starts.get(chance.below(starts.len()))? + "= origin".len();
    let (right, down) = (chance.within(-90.0, 90.0), chance.within(1.0, 90.0));
    Some(format!(
        "{} right {right:.1}mm down {down:.1}mm{}",
        &text[..at],
        &text[at..]
    ))
}

#[test]
fn what_is_told_moved_and_what_is_not_told_did_not() {
    let edits = std::env::var("OAKTAG_EDITS").ok();
    let edits = edits.and_then(|count| count.parse().ok()).unwrap_or(EDITS);
    let mut seen = [0usize; 4];
    for (at, name_of) in EXAMPLES.into_iter().enumerate() {
        let file = format!("{name_of}.draft");
        let text = Examples.read(&file).unwrap();
        let old = drawn_of(&file, &text);
        assert!(old.outcome.is_whole(), "{file}");
        for edit in 0..edits {
            let mut chance = Chance::new((at * 1000 + edit) as u64);
            let how: fn(&str, &mut Chance) -> Option<String> = match edit % 3 {
                0 => figure,
                1 => slide,
                _ => name,
            };
            let Some(changed) = how(&text, &mut chance) else {
                continue;
            };
            let new = drawn_of(&file, &changed);
            let comparison = compared(&old, &new);
            if !new.outcome.is_whole() {
                let verdict = oaktag_studio::compare::report::report(
                    &comparison,
                    oaktag_studio::compare::report::Detail::Outline,
                )
                .verdict;
                assert!(verdict.contains("Not drawn"), "{file} {edit}: {verdict}");
                continue;
            }
            if edit % 3 == 2 {
                assert!(
                    comparison.points.is_empty(),
                    "{file} {edit}: a name moves nothing"
                );
                assert!(comparison.names_gone.is_empty(), "{file} {edit}");
            }
            hold(
                &old,
                &new,
                &comparison,
                &mut seen,
                &format!("{file} {edit}"),
            );
        }
    }
    // Edges, notches and marks that were told, and pieces that slid: each kind was there to be held.
    assert!(seen.iter().all(|count| *count > 3), "{seen:?}");
}

fn by_name<'a>(json: &'a Json, name: &str) -> &'a Json {
    let mut items = json.as_array().unwrap().iter();
    items.find(|item| item["name"] == name).unwrap()
}

fn hold(old: &Drawn, new: &Drawn, comparison: &Comparison, seen: &mut [usize; 4], of: &str) {
    let (before, after) = (old.json(), new.json());
    for change in &comparison.pieces {
        if change.is_new.is_some()
            || after["pieces"]
                .as_array()
                .unwrap()
                .iter()
                .all(|piece| piece["name"] != change.name.as_str())
        {
            continue;
        }
        let was = change.was_named.as_ref().unwrap_or(&change.name);
        let piece = Held {
            old: by_name(&before["pieces"], was),
            new: by_name(&after["pieces"], &change.name),
            change,
            laid: laid(change),
            of: format!("{of}, {}", change.name),
        };
        seen[3] += usize::from(change.laid.is_some());
        piece.edges(&mut seen[0]);
        piece.notches(&mut seen[1]);
        piece.marks(&mut seen[2], comparison);
    }
}

/// How the JSON of a comparison says that the old piece lies: turned about a place, then moved.
fn laid(change: &PieceChange) -> Affine {
    let Some(laid) = change.laid else {
        return Affine::IDENTITY;
    };
    let about = Vec2::from(laid.about_mm);
    Affine::translate(about + Vec2::new(laid.right_mm, laid.up_mm))
        * Affine::rotate(-laid.turned_deg.to_radians())
        * Affine::translate(-about)
}

struct Held<'a> {
    old: &'a Json,
    new: &'a Json,
    change: &'a PieceChange,
    laid: Affine,
    of: String,
}

fn at(json: &Json) -> Point {
    Point::new(json["x"].as_f64().unwrap(), json["y"].as_f64().unwrap())
}

/// A row of points along a path that was written out. At both ends two stand so near together that they have its direction
/// there.
fn row(json: &Json) -> Vec<Point> {
    const BESIDE: f64 = 1e-4;
    let path = BezPath::from_svg(json["path"].as_str().unwrap()).unwrap();
    let segs: Vec<_> = path.segments().map(|seg| seg.to_cubic()).collect();
    let count = 4 + 300 / segs.len().max(1);
    let of_seg = |seg: &kurbo::CubicBez| {
        let seg = *seg;
        (0..=count).map(move |n| seg.eval(n as f64 / count as f64))
    };
    let mut points: Vec<Point> = segs.iter().flat_map(of_seg).collect();
    let unit = |by: [Vec2; 3]| {
        let by = by.into_iter().find(|by| by.hypot() > 1e-6);
        by.unwrap().normalize() * BESIDE
    };
    let (first, last) = (segs[0], segs[segs.len() - 1]);
    let onward = unit([
        first.p1 - first.p0,
        first.p2 - first.p0,
        first.p3 - first.p0,
    ]);
    let back = unit([last.p2 - last.p3, last.p1 - last.p3, last.p0 - last.p3]);
    points.insert(1, first.p0 + onward);
    points.insert(points.len() - 1, last.p3 + back);
    points
}

/// How far a point lies from a row of points; where the nearest of them is an end, from the row that runs straight on there.
fn off(p: Point, row: &[Point]) -> f64 {
    let pairs = || {
        let pairs = row.windows(2).map(|pair| (pair[0], pair[1] - pair[0]));
        pairs.filter(|(_, along)| along.hypot() > 1e-9)
    };
    let share = |a: Point, along: Vec2| (p - a).dot(along) / along.hypot2();
    let far = |a: Point, along: Vec2| (p - (a + along * share(a, along).clamp(0.0, 1.0))).hypot();
    let least = pairs()
        .map(|(a, along)| far(a, along))
        .fold(f64::INFINITY, f64::min);
    let beyond = |(a, along): (Point, Vec2), is_past: bool| {
        let is_nearest = far(a, along) <= least + 1e-9;
        (is_nearest && is_past).then(|| (p - a).cross(along).abs() / along.hypot())
    };
    let (first, last) = (pairs().next().unwrap(), pairs().next_back().unwrap());
    let at_start = beyond(first, share(first.0, first.1) < 0.0);
    let at_end = beyond(last, share(last.0, last.1) > 1.0);
    at_start.or(at_end).unwrap_or(least)
}

fn farthest(a: &[Point], b: &[Point]) -> f64 {
    let one = a.iter().map(|p| off(*p, b)).fold(0.0, f64::max);
    b.iter().map(|p| off(*p, a)).fold(one, f64::max)
}

impl Held<'_> {
    fn row_of(&self, edge: &Json) -> Vec<Point> {
        row(edge).into_iter().map(|p| self.laid * p).collect()
    }

    fn edges(&self, seen: &mut usize) {
        for edge in &self.change.edges {
            let was = edge.was_named.as_ref().unwrap_or(&edge.name);
            let (a, b) = (
                self.row_of(by_name(&self.old["edges"], was)),
                row(by_name(&self.new["edges"], &edge.name)),
            );
            self.lies(&edge.lies, &a, &b, &edge.name, seen);
        }
        for name in &self.change.edges_kept {
            let (a, b) = (
                self.row_of(by_name(&self.old["edges"], name)),
                row(by_name(&self.new["edges"], name)),
            );
            let far = farthest(&a, &b);
            let ends = (a[0] - b[0])
                .hypot()
                .max((a[a.len() - 1] - b[b.len() - 1]).hypot());
            assert!(
                far.max(ends) <= UNTOLD,
                "{}: {name} lies {far} off, its ends {ends}, and is not told",
                self.of
            );
        }
    }

    fn lies(&self, lies: &Lies, a: &[Point], b: &[Point], name: &str, seen: &mut usize) {
        let far = farthest(a, b);
        match lies.off.first() {
            Some(off) => {
                *seen += 1;
                assert!(
                    (off.distance_mm - far).abs() <= TOLD.max(far * 0.002),
                    "{}: {name} is told {} off and lies {far}",
                    self.of,
                    off.distance_mm
                );
                let way = off.way.right_mm.hypot(off.way.up_mm);
                assert!(
                    (way - off.distance_mm).abs() < 0.001,
                    "{}: {off:?}",
                    self.of
                );
            }
            None => assert!(far <= UNTOLD, "{}: {name} lies {far} off", self.of),
        }
    }

    fn notches(&self, seen: &mut usize) {
        let places = |piece: &Json, laid: Affine| -> Vec<Point> {
            let notches = piece["notches"].as_array().unwrap().iter();
            let marks = notches.filter_map(|notch| notch["marks"].as_array()?.first());
            marks.map(|mark| laid * at(mark)).collect()
        };
        let was = places(self.old, self.laid);
        let is = places(self.new, Affine::IDENTITY);
        let near = |p: Point, places: &[Point], within: f64| {
            places.iter().any(|other| (*other - p).hypot() <= within)
        };
        let mut told = 0;
        for notch in &self.change.notches {
            let Some(way) = notch.moved else { continue };
            told += 1;
            let by = Vec2::new(way.right_mm, way.up_mm);
            let from_one = was.iter().any(|p| near(*p + by, &is, TOLD));
            assert!(from_one, "{}: no notch moved by {by:?}", self.of);
        }
        *seen += told;
        let apart = is.iter().filter(|p| !near(**p, &was, UNTOLD)).count();
        let came = self
            .change
            .notches
            .iter()
            .filter(|one| one.old_mm.is_none());
        assert!(
            apart <= told + came.count(),
            "{}: {apart} notches stand elsewhere, {told} are told",
            self.of
        );
        let left = was.iter().filter(|p| !near(**p, &is, UNTOLD)).count();
        let went = self
            .change
            .notches
            .iter()
            .filter(|one| one.new_mm.is_none());
        assert!(
            left <= told + went.count(),
            "{}: {left} notches left",
            self.of
        );
    }

    fn marks(&self, seen: &mut usize, comparison: &Comparison) {
        let renamed: BTreeSet<&str> = comparison
            .renamed
            .iter()
            .flat_map(|one| [one.old.as_str(), one.new.as_str()])
            .collect();
        for mark in self.new["marks"].as_array().unwrap() {
            let full = mark["name"].as_str().unwrap();
            let mut olds = self.old["marks"].as_array().unwrap().iter();
            let Some(old) = olds.find(|old| old["name"] == full) else {
                continue;
            };
            if mark["kind"] != "point" || old["kind"] != "point" || renamed.contains(full) {
                continue;
            }
            let by = at(mark) - self.laid * at(old);
            let member = full.rsplit('.').next().unwrap();
            let told = self
                .change
                .inside
                .iter()
                .find(|one| one.name == member || one.name == full);
            match told.map(|one| &one.edit) {
                Some(InsideEdit::Moved(way)) => {
                    *seen += 1;
                    let told = Vec2::new(way.right_mm, way.up_mm);
                    assert!((told - by).hypot() <= 0.01, "{}: {full}", self.of);
                }
                _ => assert!(
                    by.hypot() <= UNTOLD,
                    "{}: {full} moved by {by:?} and is not told",
                    self.of
                ),
            }
        }
    }
}
