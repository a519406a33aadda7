//! Things as a page names them, found on the papers that a hand has drawn so far.

use super::strokes::Stroke;
use super::{captures, way};
use kurbo::{Affine, Point, Vec2};
use oaktag_studio::lesson::{Step, Table};
use std::collections::BTreeMap;

/// A figure with its unit, and perhaps its formula in brackets.
pub const FIGURE: &str = r"([\d.]+) cm(?: \((?:[^()]|\((?:[^()]|\([^()]*\))*\))*\))?";
/// A word or words for a way.
pub const WAY: &str = "to the right|to the left|straight up|straight down|up|down";

/// One sheet: points and lines by the names they have there.
#[derive(Clone, Default)]
pub struct Sheet {
    pub points: BTreeMap<String, Point>,
    pub lines: BTreeMap<String, Stroke>,
}

/// All sheets, and which of them lies before the hand.
#[derive(Default)]
pub struct Sheets {
    pub all: BTreeMap<String, Sheet>,
    pub now: String,
    /// Names are enough to find a thing: of a sentence alone, nothing else lies on the table.
    pub loose: bool,
    /// In a step inside an operation: what it was handed from outside.
    pub handed: BTreeMap<String, Sheet>,
    /// What a step inside an operation calls otherwise than it is called outside: name, and noun outside.
    pub aliases: Vec<(String, String)>,
    /// Ways by name.
    pub ways: BTreeMap<String, Vec2>,
    /// The tables of the sentence that is being done.
    pub tables: Vec<Places>,
    /// What it says of the ruler.
    pub ruler: String,
    /// The sheet that is being traced off.
    pub below: String,
    /// Between which points a line beside another begins and ends.
    pub across: Option<(String, String)>,
}

/// A curve's table: where the ruler lies, and what is squared out from it.
#[derive(Clone, Debug)]
pub struct Places {
    /// The names of the ruler's ends; one that the table itself places, how it lies from the other.
    pub from: String,
    pub to: String,
    pub away: Option<String>,
    pub chord: f64,
    /// Along the ruler, and out the way that is told.
    pub rows: Vec<(f64, f64)>,
    pub out: Vec2,
}

impl Places {
    /// Reads a table of a page, its names as this hand says them.
    pub fn read(table: &Table, plain: impl Fn(&str) -> String) -> Option<Self> {
        let found = captures(
            r"^.+?: ruler from (.+) to ([^()]+?)(?: \((.+) of it\))?, ([\d.]+) cm$",
            &table.title,
        )?;
        let figure = |cell: &String| cell.replace('−', "-").parse::<f64>().unwrap() * 10.0;
        let word = captures(r"^out (right|left|up|down)", table.head.get(1)?)?[1].to_owned();
        Some(Self {
            from: plain(&found[1]),
            to: plain(&found[2]),
            away: found.get(3).map(|one| one.as_str().to_owned()),
            chord: found[4].parse::<f64>().unwrap() * 10.0,
            rows: table
                .rows
                .iter()
                .map(|row| (figure(&row[0]), figure(&row[1])))
                .collect(),
            out: way(&word),
        })
    }

    /// The places between two ends.
    pub fn between(&self, start: Point, end: Point) -> Vec<Point> {
        let chord = end - start;
        assert!(
            (chord.hypot() - self.chord).abs() < 1.2,
            "the ends are {} apart: {self:?}",
            chord.hypot()
        );
        let along = chord.normalize();
        let across = along.turn_90();
        let across = if across.dot(self.out) < 0.0 {
            -across
        } else {
            across
        };
        let rows = self.rows.iter();
        rows.map(|(far, out)| start + along * *far + across * *out)
            .collect()
    }
}

impl Sheets {
    /// Lays out the tables of an act of a step.
    pub fn lays_out(&mut self, step: &Step, act: usize, plain: impl Fn(&str) -> String) {
        let own = format!(", act {act}: ");
        let tables = step
            .tables
            .iter()
            .filter(|table| table.title.contains(&own));
        self.tables = tables
            .filter_map(|table| Places::read(table, &plain))
            .collect();
    }
}

impl Sheets {
    pub fn sheet(&mut self) -> &mut Sheet {
        self.all.entry(self.now.clone()).or_default()
    }

    /// The sheet and the member of "the armhole of the back", "the underarm of the front of the house".
    fn of<'a, 'n>(&'a self, noun: &'n str) -> Option<(&'a Sheet, &'n str)> {
        let name = noun.strip_prefix("the ")?;
        let (member, parts) = match name.split_once(" of the ") {
            Some((member, rest)) => {
                let mut parts: Vec<&str> = rest.split(" of the ").collect();
                parts.reverse();
                (member, Some(parts))
            }
            None => (name, None),
        };
        let sheet = match &parts {
            Some(parts) => self.all.get(&parts.join(" ")),
            None => self.all.get(&self.now),
        };
        let has =
            |sheet: &&Sheet| sheet.points.contains_key(member) || sheet.lines.contains_key(member);
        if !self.loose {
            return Some((sheet?, member));
        }
        let last = parts.as_ref().and_then(|parts| parts.last().copied());
        let from_outside = parts.as_ref().is_some_and(|parts| parts.len() > 1);
        let within = |all: &'a BTreeMap<String, Sheet>| -> Option<&'a Sheet> {
            let last = last.unwrap_or(&self.now);
            let ending = format!(" {last}");
            let mut named = all.iter().filter(|(_, sheet)| has(sheet));
            let named = named.find(|(name, _)| *name == last || name.ends_with(&ending));
            named.map(|(_, sheet)| sheet)
        };
        let anywhere = |all: &'a BTreeMap<String, Sheet>| all.values().find(has);
        let (first, second) = if from_outside {
            (&self.handed, &self.all)
        } else {
            (&self.all, &self.handed)
        };
        let found = within(first).or_else(|| within(second));
        let found = found
            .or_else(|| anywhere(first))
            .or_else(|| anywhere(second));
        Some((found?, member))
    }

    pub fn point(&self, noun: &str) -> Option<Point> {
        self.own_point(noun).or_else(|| {
            let mut outside = self.aliases.iter().filter(|(name, _)| name == noun);
            outside.find_map(|(_, noun)| self.own_point(noun))
        })
    }

    fn own_point(&self, noun: &str) -> Option<Point> {
        if noun == "the starting point of the sheet" {
            return Some(Point::ORIGIN);
        }
        if let Some(found) = captures(r"^the (start|end) of (the .+)$", noun)
            && let Some(line) = self.line(&found[2])
        {
            return Some(if &found[1] == "start" {
                line.start()
            } else {
                line.end()
            });
        }
        if let Some((sheet, name)) = self.of(noun)
            && let Some(at) = sheet.points.get(name)
        {
            return Some(*at);
        }
        if let Some(found) = captures(
            r"^the point (\S+)(?: \(.+\))? of the way from (the .+) to (the .+)$",
            noun,
        ) {
            let share = share(&found[1])?;
            return Some(self.point(&found[2])?.lerp(self.point(&found[3])?, share));
        }
        if let Some(found) = captures(
            &format!(r"^the point reached from (the .+?) ({WAY}) until (?:level with )?(the .+)$"),
            noun,
        ) {
            return self.until(self.point(&found[1])?, way(&found[2]), &found[3]);
        }
        if let Some(found) = captures(
            &format!(r"^the point {FIGURE} along (the .+?)(?: from (the .+))?$"),
            noun,
        ) {
            let far = found[1].parse::<f64>().unwrap() * 10.0;
            return self.along(&found[2], found.get(3).map(|one| one.as_str()), far);
        }
        if let Some(found) = captures(
            &format!(r"^the point {FIGURE} from (the .+?) (toward .+|in the direction .+)$"),
            noun,
        ) {
            let from = self.point(&found[2])?;
            let far = found[1].parse::<f64>().unwrap() * 10.0;
            return Some(from + self.direction(from, &found[3])? * far);
        }
        if let Some(found) = captures(r"^the point (.+) from (the .+)$", noun) {
            return self.measured(self.point(&found[2])?, &found[1]);
        }
        if let Some(found) = captures(r"^the point of (the .+?) nearest to (the .+)$", noun) {
            let line = self.line(&found[1])?;
            return Some(line.at(line.nearest(self.point(&found[2])?).0));
        }
        if let Some(found) = captures(r"^(the .+) mirrored over (the .+)$", noun) {
            return Some(self.mirror(&found[2])? * self.point(&found[1])?);
        }
        if let Some(found) = captures(
            r"^where (the .+) meets (the .+?)(?:, the one near (the .+))?$",
            noun,
        ) {
            let near = found.get(3).map(|one| one.as_str());
            return self.meeting(&found[1], &found[2], near);
        }
        None
    }

    pub fn meeting(&self, one: &str, other: &str, near: Option<&str>) -> Option<Point> {
        let found = self.line(one)?.meetings(&self.line(other)?);
        let near = match near {
            Some(near) => self.point(near)?,
            None => found.iter().copied().next()?,
        };
        found
            .into_iter()
            .min_by(|p, q| (*p - near).hypot().total_cmp(&(*q - near).hypot()))
    }

    pub fn along(&self, line: &str, from: Option<&str>, far: f64) -> Option<Point> {
        let line = self.line(line)?;
        let from_end = match from {
            Some(noun) => {
                let at = self.point(noun)?;
                (line.start() - at).hypot() > (line.end() - at).hypot()
            }
            None => false,
        };
        Some(line.at(if from_end { line.length() - far } else { far }))
    }

    pub fn until(&self, from: Point, along: Vec2, noun: &str) -> Option<Point> {
        if let Some(level) = self.point(noun) {
            return Some(from + along * (level - from).dot(along));
        }
        let ray = Stroke::guide(from, along);
        let found = ray.meetings(&self.line(noun)?);
        let ahead = found
            .into_iter()
            .filter(|at| (*at - from).dot(along) > -1.0);
        ahead.min_by(|p, q| (*p - from).hypot().total_cmp(&(*q - from).hypot()))
    }

    pub fn mirror(&self, over: &str) -> Option<Affine> {
        let line = self.line(over)?;
        Some(Affine::reflect(line.start(), line.along()))
    }

    pub fn line(&self, noun: &str) -> Option<Stroke> {
        self.own_line(noun).or_else(|| {
            let mut outside = self.aliases.iter().filter(|(name, _)| name == noun);
            outside.find_map(|(_, noun)| self.own_line(noun))
        })
    }

    fn own_line(&self, noun: &str) -> Option<Stroke> {
        if let Some((sheet, name)) = self.of(noun)
            && let Some(line) = sheet.lines.get(name)
        {
            return Some(line.clone());
        }
        if let Some(found) = captures(
            &format!(r"^the square to (the .+?) at (the .+?)(?: (?:{WAY}))?$"),
            noun,
        ) {
            let at = self.point(&found[2])?;
            return Some(Stroke::guide(
                at,
                self.line(&found[1])?.way_at(at).turn_90(),
            ));
        }
        if let Some(found) = captures(r"^the guide line from (the .+?) toward (the .+)$", noun) {
            let from = self.point(&found[1])?;
            return Some(Stroke::guide(from, self.point(&found[2])? - from));
        }
        if let Some(found) = captures(r"^the straight line from (the .+) to (the .+)$", noun) {
            return Some(Stroke::straight(
                self.point(&found[1])?,
                self.point(&found[2])?,
            ));
        }
        if let Some(found) = captures(r"^the part of (the .+?) from (the .+) to (the .+)$", noun) {
            let line = self.line(&found[1])?;
            return Some(line.part(self.point(&found[2])?, self.point(&found[3])?));
        }
        None
    }

    /// A way that follows a distance.
    pub fn direction(&self, from: Point, said: &str) -> Option<Vec2> {
        // Without a protractor: so far down, or aside, in a round length.
        if let Some(found) = captures(
            r"^[\d.]+°(?: \(.*?\))? (below|above) the level, to the (right|left) \(([\d.]+) cm (?:down|up) in ([\d.]+) cm\)",
            said,
        ) {
            let rise: f64 = found[3].parse().unwrap();
            let base: f64 = found[4].parse().unwrap();
            let up = if &found[1] == "above" { rise } else { -rise };
            return Some(Vec2::new(way(&found[2]).x * base, up).normalize());
        }
        if let Some(found) = captures(
            r"^[\d.]+°(?: \(.*?\))? (to the left|to the right) of straight (down|up) \(([\d.]+) cm .+? in ([\d.]+) cm\)",
            said,
        ) {
            let aside: f64 = found[3].parse().unwrap();
            let base: f64 = found[4].parse().unwrap();
            return Some((way(&found[1]) * aside + way(&found[2]) * base).normalize());
        }
        if let Some(found) = captures(r"^toward (the .+)$", said) {
            return Some((self.point(&found[1])? - from).normalize());
        }
        if let Some(found) = captures(r"^in the direction from (the .+) to (the .+)$", said) {
            return Some((self.point(&found[2])? - self.point(&found[1])?).normalize());
        }
        if let Some(found) = captures(r"^in the direction (.+)$", said) {
            return self.ways.get(&found[1]).copied();
        }
        captures(&format!("^({WAY})"), said).map(|found| way(&found[1]))
    }

    /// Distances one after another.
    pub fn measured(&self, from: Point, said: &str) -> Option<Point> {
        let mut at = from;
        for leg in said.split(", then ") {
            let found = captures(&format!("^{FIGURE} (.+)$"), leg)?;
            let far: f64 = found[1].parse().unwrap();
            at += self.direction(at, &found[2])? * (far * 10.0);
        }
        Some(at)
    }

    /// The way of a curve at one of its ends, turned so that it goes on as `onward` does.
    pub fn tangent(&self, said: &str, onward: Vec2) -> Option<Vec2> {
        let found = if let Some(found) = captures(&format!("^({WAY})$"), said) {
            return Some(way(&found[1]));
        } else if let Some(found) = captures(r"^along (the .+)$", said) {
            self.line(&found[1])?.along()
        } else if let Some(found) = captures(r"^square to (the .+)$", said) {
            self.line(&found[1])?.along().turn_90()
        } else if let Some(found) = captures(r"^the way from (the .+) to (the .+)$", said) {
            return Some((self.point(&found[2])? - self.point(&found[1])?).normalize());
        } else if let Some(found) = captures(r"^the way (the .+) runs at (the .+)$", said) {
            self.line(&found[1])?.way_at(self.point(&found[2])?)
        } else {
            return None;
        };
        Some(if found.dot(onward) < 0.0 {
            -found
        } else {
            found
        })
    }
}

/// "1/2", "0.55".
pub fn share(said: &str) -> Option<f64> {
    match said.split_once('/') {
        Some((a, b)) => Some(a.parse::<f64>().ok()? / b.parse::<f64>().ok()?),
        None => said.parse().ok(),
    }
}
