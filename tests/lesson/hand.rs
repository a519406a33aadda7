//! A hand that knows only a lesson's page, and redraws the draft from its words; what it draws is held against the drawing.

use kurbo::{BezPath, ParamCurveNearest, Point, Vec2};
use oaktag::lesson::Lesson;
use regex::Regex;
use serde_json::Value as Json;
use std::collections::BTreeMap;

/// Figures on the page are rounded to a tenth of a millimetre; two or three of them add up in one construction.
const BY_HAND: f64 = 0.5;
/// Where two rulers cross at a small angle, a rounded figure shows more.
const BY_RULERS: f64 = 1.0;

/// A hand that knows nothing but the page: points and lines by the names they have there. Millimetres, y up.
#[derive(Default)]
struct Hand {
    points: BTreeMap<String, Point>,
    lines: BTreeMap<String, (Point, Point)>,
}

const FIGURE: &str = r"([\d.]+) cm(?: \((?:[^()]|\((?:[^()]|\([^()]*\))*\))*\))?";

pub fn captures<'t>(pattern: &str, text: &'t str) -> Option<regex::Captures<'t>> {
    Regex::new(pattern).unwrap().captures(text)
}

pub fn way(word: &str) -> Vec2 {
    match word {
        "to the right" | "right" => Vec2::new(1.0, 0.0),
        "to the left" | "left" => Vec2::new(-1.0, 0.0),
        "up" | "straight up" => Vec2::new(0.0, 1.0),
        _ => Vec2::new(0.0, -1.0),
    }
}

impl Hand {
    /// A sheet with what was traced onto it from the block: that is in the student's hand before the lesson begins.
    fn traced(json: &Json, panel: &str) -> Self {
        let mut hand = Self::default();
        for (name, value) in json["values"].as_object().unwrap() {
            let Some(member) = name.strip_prefix(&format!("house.{panel}.")) else {
                continue;
            };
            let member = member
                .replace('_', " ")
                .replace("cb ", "CB ")
                .replace("cf ", "CF ");
            if value["kind"] == "point" {
                let at = Point::new(value["x"].as_f64().unwrap(), value["y"].as_f64().unwrap());
                hand.points.insert(member, at);
            } else if value["kind"] == "line" {
                let path = path_of(value);
                let (first, last) = (
                    path.segments().next().unwrap(),
                    path.segments().last().unwrap(),
                );
                hand.lines.insert(
                    member,
                    (
                        kurbo::ParamCurve::start(&first),
                        kurbo::ParamCurve::end(&last),
                    ),
                );
            }
        }
        hand
    }

    fn point(&self, noun: &str) -> Option<Point> {
        if let Some(found) = captures(r"^the (start|end) of the (.+)$", noun) {
            let (start, end) = self.lines.get(&found[2])?;
            return Some(if &found[1] == "start" { *start } else { *end });
        }
        if let Some(found) = captures(
            r"^the point (\d+)/(\d+) of the way from (the .+) to (the .+)$",
            noun,
        ) {
            let share = found[1].parse::<f64>().unwrap() / found[2].parse::<f64>().unwrap();
            return Some(self.point(&found[3])?.lerp(self.point(&found[4])?, share));
        }
        if let Some(found) = captures(
            r"^the point reached from (the .+?) (to the right|to the left|up|down) until (the .+)$",
            noun,
        ) {
            return self.until(self.point(&found[1])?, way(&found[2]), &found[3]);
        }
        if let Some(found) = captures(r"^the point (.+) from (the .+)$", noun) {
            return self.measure(self.point(&found[2])?, &found[1]);
        }
        self.points.get(noun.strip_prefix("the ")?).copied()
    }

    fn until(&self, from: Point, along: Vec2, noun: &str) -> Option<Point> {
        if let Some(level) = self.point(noun) {
            return Some(from + along * (level - from).dot(along));
        }
        let (a, b) = self.line(noun)?;
        Some(from + along * ((a - from).cross(b - a) / along.cross(b - a)))
    }

    /// A line as two points on it.
    fn line(&self, noun: &str) -> Option<(Point, Point)> {
        if let Some(found) = captures(r"^the square to the (.+) at (.+)$", noun) {
            let (a, b) = self.lines.get(&found[1])?;
            let at = self.point(&found[2])?;
            return Some((at, at + (*b - *a).turn_90()));
        }
        self.lines.get(noun.strip_prefix("the ")?).copied()
    }

    /// A direction with what follows it.
    fn direction(&self, from: Point, said: &str) -> Option<Vec2> {
        if let Some(found) = captures(
            r"^([\d.]+)°(?: \([^()]*\))? (below|above) the level, to the (right|left)",
            said,
        ) {
            let angle: f64 = found[1].parse().unwrap();
            let side = way(&found[3]);
            let up = if &found[2] == "above" { 1.0 } else { -1.0 };
            let (sin, cos) = angle.to_radians().sin_cos();
            return Some(Vec2::new(side.x * cos, up * sin));
        }
        if let Some(found) = captures(r"^toward (the .+)$", said) {
            return Some((self.point(&found[1])? - from).normalize());
        }
        captures(
            r"^(to the right|to the left|up|down|straight up|straight down)",
            said,
        )
        .map(|found| way(&found[1]))
    }

    fn measure(&self, from: Point, said: &str) -> Option<Point> {
        let mut at = from;
        for leg in said.split(", then ") {
            let found = captures(&format!("^{FIGURE} (.+)$"), leg)?;
            let far: f64 = found[1].parse().unwrap();
            at += self.direction(at, &found[2])? * (far * 10.0);
        }
        Some(at)
    }

    /// Does what a sentence says; the name of what it drew, where this hand can.
    fn act(&mut self, said: &str) -> Option<String> {
        if let Some(found) = captures(
            r"^Mark the (.+?): it is the starting point of the sheet",
            said,
        ) {
            self.points.insert(found[1].to_owned(), Point::ORIGIN);
            return Some(found[1].to_owned());
        }
        if let Some(found) = captures(
            r"^Mark (?:anew )?the (.+?): from (the .+?), measure (.+)\.$",
            said,
        ) {
            let from = if &found[2] == "the starting point of the sheet" {
                Point::ORIGIN
            } else {
                self.point(&found[2])?
            };
            let at = self.measure(from, &found[3])?;
            self.points.insert(found[1].to_owned(), at);
            return Some(found[1].to_owned());
        }
        if let Some(found) = captures(
            r"^Mark (the .+?): pivot (the .+?) about (the .+?) by ([\d.]+)° (clockwise|anticlockwise)",
            said,
        ) {
            let about = self.point(&found[3])?;
            let sign = if &found[5] == "clockwise" { -1.0 } else { 1.0 };
            let turn = kurbo::Affine::rotate_about(
                (found[4].parse::<f64>().unwrap() * sign).to_radians(),
                about,
            );
            let all = |words: &str| {
                words
                    .replace(" and ", ", ")
                    .split(", ")
                    .map(str::to_owned)
                    .collect::<Vec<_>>()
            };
            for (name, from) in all(&found[1]).iter().zip(all(&found[2])) {
                let at = turn * self.point(&from)?;
                self.points
                    .insert(name.strip_prefix("the ")?.to_owned(), at);
            }
            return all(&found[1])
                .first()?
                .strip_prefix("the ")
                .map(str::to_owned);
        }
        if let Some(found) = captures(
            r"^Mark (?:anew )?the (.+?): from (the .+), go (to the right|to the left|up|down) until (the .+)\.$",
            said,
        ) {
            let from = self.point(&found[2])?;
            let at = self.until(from, way(&found[3]), &found[4])?;
            self.points.insert(found[1].to_owned(), at);
            return Some(found[1].to_owned());
        }
        if let Some(found) = captures(
            r"^Mark (?:anew )?the (.+?) where (the .+) meets (the .+)\.$",
            said,
        ) {
            let (a, b) = self.line(&found[2])?;
            let (c, d) = self.line(&found[3])?;
            let (u, v) = (b - a, d - c);
            let at = a + u * ((c - a).cross(v) / u.cross(v));
            self.points.insert(found[1].to_owned(), at);
            return Some(found[1].to_owned());
        }
        if let Some(found) = captures(
            r"^Draw the (.+?), a straight line from (the .+?) to (the .+?)\.",
            said,
        ) && let (Some(a), Some(b)) = (self.point(&found[2]), self.point(&found[3]))
        {
            self.lines.insert(found[1].to_owned(), (a, b));
            return Some(found[1].to_owned());
        }
        if let Some(found) = captures(
            r"^Draw the (.+?), a (?:straight|guide) line from (the .+?) ((?:straight|to the|[\d.]+°).+)\.$",
            said,
        ) {
            let from = self.point(&found[2])?;
            let along = self.direction(from, &found[3])?;
            let far = if let Some(long) = captures(&format!(", {FIGURE} long$"), &found[3]) {
                long[1].parse::<f64>().unwrap() * 10.0
            } else if let Some(until) = captures(r" until (the .+)$", &found[3]) {
                (self.point(&until[1])? - from).dot(along)
            } else {
                100.0
            };
            self.lines
                .insert(found[1].to_owned(), (from, from + along * far));
            return Some(found[1].to_owned());
        }
        if let Some(found) = captures(
            r"^At (the .+?), square out from the (.+?): this is the (.+)\.$",
            said,
        ) {
            let (a, b) = *self.lines.get(&found[2])?;
            let at = self.point(&found[1])?;
            self.lines
                .insert(found[3].to_owned(), (at, at + (b - a).turn_90()));
            return Some(found[3].to_owned());
        }
        if let Some(found) = captures(
            &format!(
                r"^(?:Draw|Redraw) the (.+?), a parallel to the (.+?) at {FIGURE} (to the right|to the left)\.$"
            ),
            said,
        ) {
            let (a, b) = *self.lines.get(&found[2])?;
            let by = way(&found[4]) * (found[3].parse::<f64>().unwrap() * 10.0);
            self.lines.insert(found[1].to_owned(), (a + by, b + by));
            return Some(found[1].to_owned());
        }
        if let Some(found) = captures(
            &format!(
                r"^Mark the (.+?): set the ruler to {FIGURE}, hold its end on (the .+?) and swing it onto (the .+), near (the .+)\.$"
            ),
            said,
        ) {
            let far = found[2].parse::<f64>().unwrap() * 10.0;
            let (held, (a, b), near) = (
                self.point(&found[3])?,
                self.line(&found[4])?,
                self.point(&found[5])?,
            );
            let along = (b - a).normalize();
            let foot = a + along * (held - a).dot(along);
            let reach = (far * far - (held - foot).hypot2()).sqrt();
            let both = [foot + along * reach, foot - along * reach];
            let at = both
                .into_iter()
                .min_by(|p, q| (*p - near).hypot().total_cmp(&(*q - near).hypot()))
                .unwrap();
            self.points.insert(found[1].to_owned(), at);
            return Some(found[1].to_owned());
        }
        if let Some(found) = captures(
            r"^Mark the (.+?): on the straight way from (the .+?) to (the .+), go (\d+)/(\d+) of it\.$",
            said,
        ) {
            let share = found[4].parse::<f64>().unwrap() / found[5].parse::<f64>().unwrap();
            let at = self.point(&found[2])?.lerp(self.point(&found[3])?, share);
            self.points.insert(found[1].to_owned(), at);
            return Some(found[1].to_owned());
        }
        None
    }
}

/// A value of the JSON by its panel and its name as spoken.
fn value<'a>(json: &'a Json, panel: &str, spoken: &str) -> Option<&'a Json> {
    let values = json["values"].as_object().unwrap();
    values.iter().find_map(|(name, value)| {
        let (of, member) = name.rsplit_once('.').unwrap_or(("", name));
        let member = member.replace('_', " ");
        let member = member.replace("cb ", "CB ").replace("cf ", "CF ");
        (of.replace(['.', '_'], " ") == panel && member == spoken).then_some(value)
    })
}

fn path_of(json: &Json) -> BezPath {
    BezPath::from_svg(json["path"].as_str().unwrap()).unwrap()
}

fn hold_point(hand: &Hand, name: &str, json: &Json) {
    let at = hand.points[name];
    let is = Point::new(json["x"].as_f64().unwrap(), json["y"].as_f64().unwrap());
    assert!(
        (at - is).hypot() < BY_HAND,
        "{name}: by hand {at:?}, drawn {is:?}"
    );
}

fn hold_line(hand: &Hand, name: &str, json: &Json) {
    let (a, b) = hand.lines[name];
    let path = path_of(json);
    let ends: Vec<Point> = path
        .segments()
        .flat_map(|seg| [kurbo::ParamCurve::start(&seg), kurbo::ParamCurve::end(&seg)])
        .collect();
    let (from, to) = (ends[0], ends[ends.len() - 1]);
    if json["endless"] == true {
        let (u, v) = ((b - a).normalize(), (to - from).normalize());
        assert!(
            u.cross(v).abs() < 0.001 && (from - a).cross(u).abs() < BY_HAND,
            "{name}"
        );
        return;
    }
    assert!(
        (a - from).hypot() < BY_HAND && (b - to).hypot() < BY_HAND,
        "{name}: by hand {a:?} {b:?}, drawn {from:?} {to:?}"
    );
}

/// The three places of a curve, each by two rulers from its ends, lie on the curve, and its length is the drawn one's.
fn hold_curve(said: &str, name: &str, json: &Json) -> bool {
    let Some(found) = captures(&format!("The {name} measures ([\\d.]+) cm"), said) else {
        return false;
    };
    let length: f64 = found[1].parse().unwrap();
    assert!(
        (length * 10.0 - json["length_mm"].as_f64().unwrap()).abs() <= 0.051,
        "{name}: {said}"
    );
    let path = path_of(json);
    let ends: Vec<Point> = path
        .segments()
        .flat_map(|seg| [kurbo::ParamCurve::start(&seg), kurbo::ParamCurve::end(&seg)])
        .collect();
    let (start, end) = (ends[0], ends[ends.len() - 1]);
    let places = Regex::new(r"([\d.]+) cm from its start and ([\d.]+) cm from its end").unwrap();
    let mut count = 0;
    for place in places.captures_iter(said) {
        let (r, s) = (
            place[1].parse::<f64>().unwrap() * 10.0,
            place[2].parse::<f64>().unwrap() * 10.0,
        );
        let (chord, d) = ((end - start).normalize(), (end - start).hypot());
        let along = (d * d + r * r - s * s) / (2.0 * d);
        let across = (r * r - along * along).max(0.0).sqrt();
        let off = [across, -across].into_iter().map(|across| {
            let at = start + chord * along + chord.turn_90() * across;
            let nearest = path
                .segments()
                .map(|seg| seg.nearest(at, 1e-6).distance_sq)
                .fold(f64::MAX, f64::min);
            nearest.sqrt()
        });
        let off = off.fold(f64::MAX, f64::min);
        // Near the chord rulers cross at nothing; there the rounding of half a tenth shows as the root of it.
        let most = if across < 6.0 {
            (2.0 * 0.05 * d).sqrt().max(BY_RULERS)
        } else {
            BY_RULERS
        };
        assert!(off < most, "{name}: {off} off at {}", &place[0]);
        count += 1;
    }
    assert_eq!(count, 3, "{said}");
    true
}

/// How many sentences were done by hand and held against the drawing, and how many there are that draw.
pub fn redraw(lesson: &Lesson, json: &Json) -> (usize, usize) {
    let mut hands: BTreeMap<String, Hand> = BTreeMap::new();
    let anew = |name: &str, panel: &str| {
        let again = [
            format!("Mark anew the {name}"),
            format!("Redraw the {name}"),
            format!("this is now the {name}"),
        ];
        lesson
            .steps
            .iter()
            .filter(|step| step.panel == panel)
            .flat_map(|step| &step.does)
            .any(|said| again.iter().any(|again| said.contains(again.as_str())))
    };
    let (mut held, mut all) = (0, 0);
    let mut undone: Vec<String> = Vec::new();
    for step in &lesson.steps {
        let hand = hands
            .entry(step.panel.clone())
            .or_insert_with(|| Hand::traced(json, &step.panel));
        for said in &step.does {
            undone.push(said.clone());
            all += usize::from(
                ["Mark", "Draw", "At"]
                    .iter()
                    .any(|word| said.starts_with(word)),
            );
            let drawn = hand.act(said);
            let curve = captures(
                r"^(?:Draw|Redraw) the (.+?), a (?:hollow|smooth) curve",
                said,
            )
            .map(|found| found[1].to_owned());
            let Some(name) = drawn.or(curve) else {
                continue;
            };
            let Some(value) = value(json, &step.panel, &name).filter(|_| !anew(&name, &step.panel))
            else {
                continue;
            };
            match value["kind"].as_str().unwrap() {
                "point" => hold_point(hand, &name, value),
                _ if hand.lines.contains_key(&name) => hold_line(hand, &name, value),
                _ => assert!(hold_curve(said, &name, value), "{said}"),
            }
            held += 1;
            undone.pop();
        }
    }
    println!("not held against the drawing: {undone:#?}");
    (held, all)
}
