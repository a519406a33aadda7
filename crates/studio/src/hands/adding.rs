//! Adding by hand: the sentence that a cutter would say for a point set on the drawing, a line or curve between two points, a
//! notch on an edge. It is written into the text and drawn before it is offered: it comes out where it was set, or not at all.

use super::candidates::tokens;
use super::figure::{Fineness, Literal};
use super::place::Spot;
use super::{Hands, thing};
use crate::session::Change;
use crate::session::view::Offer;
use kurbo::{BezPath, Point, Vec2};
use oaktag_geometry::path::Path;
use oaktag_language::draft::Outcome;
use oaktag_language::pattern::spec::Value;
use oaktag_language::pattern::{Edge, Piece};
use oaktag_language::syntax::tokens::Tok;
use oaktag_language::syntax::tree::{Sentence, SentenceKind};
use oaktag_language::voice::{self, LengthUnit};
use oaktag_output::path_data::bez;
use std::collections::BTreeSet;

/// What is to be drawn. Places are millimetres of a panel, y up; names are full: `back.underarm`.
#[derive(Clone, Debug)]
pub enum Adding {
    /// A point; what it lies nearer to than `near`, in millimetres, it lies on, or is level or plumb with.
    Point {
        /// The panel's full name; empty for what is drawn at the left margin.
        panel: String,
        /// Where.
        at: Point,
        /// How near is on it.
        near: f64,
    },
    /// A line from a point to another.
    Line {
        /// The panel.
        panel: String,
        /// Both points, of that panel.
        ends: [String; 2],
        /// A curve between them.
        is_curve: bool,
    },
    /// A notch on the edge nearest to a place.
    Notch {
        /// The piece.
        piece: String,
        /// Where.
        at: Point,
    },
}

/// A sentence for it.
#[derive(Clone, Debug)]
pub struct Added {
    /// As it would stand in the text, without its indent.
    pub sentence: String,
    /// The name that it draws; empty of a notch.
    pub name: String,
    /// The letters, and where they go.
    pub edit: Offer,
    /// Where it then is; of a line, its middle.
    pub at: Point,
    /// A line as it is then drawn, y up.
    pub line: Option<BezPath>,
}

/// What is said of it, with each name of the panel in braces: `3cm along {side} from {underarm}`.
struct Said {
    words: String,
    /// What it may be called, where that is free.
    call: String,
    /// Where it comes out if it is true.
    wanted: Option<Point>,
}

/// Something by its name on a panel.
type Named<T> = (String, T);

/// Off by less, in millimetres, is where it was wanted, beside what is rounded.
const TRUE: f64 = 0.02;

impl Hands<'_> {
    /// The sentence that draws something, called so where a name is given.
    ///
    /// # Errors
    /// Why there is none, in words.
    pub fn add(&mut self, adding: &Adding, called: Option<&str>) -> Result<Added, String> {
        match adding {
            Adding::Point { panel, at, near } => {
                let said = self.point(panel, *at, *near)?;
                self.drawn("point", panel, &said, called)
            }
            Adding::Line {
                panel,
                ends,
                is_curve,
            } => {
                let said = self.line(panel, ends, *is_curve)?;
                let kind = if *is_curve { "curve" } else { "line" };
                self.drawn(kind, panel, &said, called)
            }
            Adding::Notch { piece, at } => self.notch(piece, *at),
        }
    }

    // What one says.

    fn point(&self, panel: &str, at: Point, near: f64) -> Result<Said, String> {
        let habit = self.habit();
        let (points, lines) = self.members(panel);
        let beside = points.iter().map(|(name, place)| (name, *place - at));
        let mut by_distance: Vec<(&String, Vec2)> = beside.collect();
        by_distance.sort_by(|a, b| a.1.hypot().total_cmp(&b.1.hypot()));
        if let Some((name, _)) = by_distance
            .first()
            .filter(|(_, way)| way.hypot() < habit.step() / 2.0)
        {
            return Err(format!("{} is there already", voice::name(name)));
        }
        if let Some(said) = along(&habit, &points, &lines, at, near) {
            return Ok(said);
        }
        let plumb = by_distance
            .iter()
            .find(|(_, way)| way.x.abs() <= near && way.y.abs() > near);
        let level = by_distance
            .iter()
            .find(|(_, way)| way.y.abs() <= near && way.x.abs() > near);
        if let (Some((above, drop)), Some((beside, run))) = (plumb, level) {
            let down = if drop.y > 0.0 { "down" } else { "up" };
            return Ok(Said {
                words: format!("{{{above}}} {down} to level of {{{beside}}}"),
                call: "point".to_owned(),
                wanted: Some(at + Vec2::new(drop.x, run.y)),
            });
        }
        let aligned = [plumb, level].into_iter().flatten();
        let nearest = aligned.min_by(|a, b| a.1.hypot().total_cmp(&b.1.hypot()));
        let (from, way) = match (nearest, by_distance.first()) {
            (Some((name, way)), _) => {
                let is_plumb = way.x.abs() <= near;
                let gone = if is_plumb {
                    Vec2::new(0.0, -way.y)
                } else {
                    Vec2::new(-way.x, 0.0)
                };
                (format!("{{{name}}}"), (at + *way, gone))
            }
            (None, Some((name, way))) => (format!("{{{name}}}"), (at + *way, -*way)),
            (None, None) => ("origin".to_owned(), (Point::ORIGIN, at.to_vec2())),
        };
        let (start, gone) = way;
        let right = habit.rounded(gone.x.abs()) * gone.x.signum();
        let up = habit.rounded(gone.y.abs()) * gone.y.signum();
        let mut words = from;
        for (gone, more, less) in [(right, "right", "left"), (up, "up", "down")] {
            if gone != 0.0 {
                let way = if gone > 0.0 { more } else { less };
                words = format!("{words} {way} {}", habit.written(gone.abs()));
            }
        }
        Ok(Said {
            words,
            call: "point".to_owned(),
            wanted: Some(start + Vec2::new(right, up)),
        })
    }

    fn line(&self, panel: &str, ends: &[String; 2], is_curve: bool) -> Result<Said, String> {
        let (points, _) = self.members(panel);
        let find = |full: &String| {
            let own = full.strip_prefix(panel).unwrap_or(full);
            let own = own.strip_prefix('.').unwrap_or(own);
            let found = points.iter().find(|(name, _)| name == own);
            found.ok_or_else(|| {
                format!("{} is no point of {}", voice::name(own), voice::name(panel))
            })
        };
        let [(from, start), (to, end)] = [find(&ends[0])?, find(&ends[1])?];
        let way = *end - *start;
        if way.hypot() < 1.0 {
            return Err("both ends lie together".to_owned());
        }
        let mut words = format!("from {{{from}}} to {{{to}}}");
        if is_curve {
            let across = if way.x > 0.0 { "right" } else { "left" };
            let along = if way.y > 0.0 { "up" } else { "down" };
            let other = if along == "up" { "above" } else { "below" };
            // Out along the longer way, in along the other; between points that are level or plumb, a shallow bow.
            let (out, back) = match (way.x.abs(), way.y.abs()) {
                (x, y) if y < x / 10.0 => (
                    format!("20deg below {across}"),
                    format!("20deg above {across}"),
                ),
                (x, y) if x < y / 10.0 => (
                    format!("70deg {other} right"),
                    format!("70deg {other} left"),
                ),
                (x, y) if x >= y => (across.to_owned(), along.to_owned()),
                _ => (along.to_owned(), across.to_owned()),
            };
            words = format!("{words} leaving {out} arriving {back}");
        }
        Ok(Said {
            words,
            call: format!("{from}_{to}").replace('.', "_"),
            wanted: None,
        })
    }

    fn notch(&mut self, piece: &str, at: Point) -> Result<Added, String> {
        let habit = self.habit();
        let session = self.session;
        let pattern = &session.outcome().pattern;
        let of = pattern.piece(piece).ok_or("there is no such piece")?;
        let edges = of
            .edges
            .iter()
            .filter(|edge| edge.mouth.is_none() && !edge.on_fold);
        let edge = edges
            .min_by(|a, b| far(&a.path, at).total_cmp(&far(&b.path, at)))
            .ok_or("the piece has no edge for it")?;
        let path = thing::line(pattern, &edge.line).unwrap_or(&edge.path);
        let along = path.length_to(path.nearest(at).location);
        let (from_end, length) = from_nearer(path, along, &habit).ok_or("the edge is too short")?;
        let wanted = path
            .point_at(if from_end {
                path.length().unwrap_or(along) - length
            } else {
                length
            })
            .map_err(|_| "the edge is too short")?;
        let is_there = |one: &&oaktag_language::pattern::Notch| {
            one.marks
                .iter()
                .any(|mark| mark.sewing.distance(wanted) < habit.step())
        };
        if of.notches.iter().any(|one| is_there(&one)) {
            return Err("a notch is there already".to_owned());
        }
        let (points, _) = self.members(&of.panel);
        let end = named_end(&points, path, from_end);
        let member = edge.line.strip_prefix(&of.panel).unwrap_or(&edge.line);
        let member = member.strip_prefix('.').unwrap_or(member).to_owned();
        let figure = habit.written(length);
        let from = match &end {
            Some(name) => format!("{{{name}}}"),
            None => format!("{} of {{{member}}}", if from_end { "end" } else { "start" }),
        };
        let measured = end.map(|name| format!("notch single at {figure} from {{{name}}}"));
        let placed = format!("notch single at ({figure} along {{{member}}} from {from})");
        let spots = self.notch_spots(of, edge);
        if spots.is_empty() {
            return Err(format!(
                "the seam and the piece of {} are said elsewhere, not in this text",
                voice::name(&edge.name)
            ));
        }
        let panel = of.panel.clone();
        let count = of.notches.len();
        let mut why = String::new();
        for spot in spots {
            for said in measured.iter().chain([&placed]) {
                let sentence = filled(said, &panel, &spot);
                let outcome = match self.written(&spot, &sentence) {
                    Ok(outcome) => outcome,
                    Err(wrong) => {
                        why = wrong;
                        continue;
                    }
                };
                let now = outcome.pattern.piece(piece);
                let mut notches = now.into_iter().flat_map(|piece| &piece.notches);
                let is_more = now.is_some_and(|now| now.notches.len() > count);
                let off = habit.step();
                if is_more
                    && notches.any(|one| {
                        one.marks
                            .iter()
                            .any(|mark| mark.sewing.distance(wanted) < off)
                    })
                {
                    return Ok(Added {
                        edit: self.edit(&spot, &sentence),
                        sentence,
                        name: String::new(),
                        at: wanted,
                        line: None,
                    });
                }
            }
        }
        Err(match why.is_empty() {
            true => "no notch can be said there".to_owned(),
            false => why,
        })
    }

    /// Where a notch of an edge may be said: in its seam, else in its piece.
    fn notch_spots(&self, piece: &Piece, edge: &Edge) -> Vec<Spot> {
        let sources = self.session.sources();
        let mut spots = Vec::new();
        for sentence in self.session.own_sentences() {
            let (lasts, within) = match &sentence.kind {
                SentenceKind::Seam(seam)
                    if edge.seams.iter().any(|one| *one == *seam.name.text) =>
                {
                    (seam.sentences.last().map(|one| one.span), "")
                }
                SentenceKind::Piece(own)
                    if *own.name.text == *piece.name && edge.seams.is_empty() =>
                {
                    (
                        own.sentences.last().map(|one| one.span),
                        piece.panel.as_str(),
                    )
                }
                _ => continue,
            };
            let bytes = sources.bytes(sentence.span);
            let indent = self.indent(bytes.start).to_owned();
            let spot = match lasts {
                Some(last) => self.behind_bytes(sources.bytes(last)),
                // Without a block it gets one.
                None => Spot {
                    at: bytes.end,
                    before: format!(" {{\n{indent}  "),
                    after: format!("\n{indent}}}"),
                    within: String::new(),
                },
            };
            spots.push(Spot {
                within: within.to_owned(),
                ..spot
            });
        }
        spots
    }

    // Where it goes, and whether it is true.

    fn drawn(
        &mut self,
        kind: &str,
        panel: &str,
        said: &Said,
        called: Option<&str>,
    ) -> Result<Added, String> {
        let name = match called {
            Some(name) => name.to_owned(),
            None => self.free_name(panel, &said.call),
        };
        let full = match panel {
            "" => name.clone(),
            _ => format!("{panel}.{name}"),
        };
        let names: Vec<String> = placeholders(&said.words)
            .map(|name| joined(panel, name))
            .collect();
        let off = self.habit().step() * 0.8 + TRUE;
        let root = panel.split('.').next().unwrap_or_default();
        let is_import = |one: &Sentence| matches!(&one.kind, SentenceKind::Import(import) if *import.name.text == *root);
        if self.session.own_sentences().iter().any(is_import) {
            return Err(format!(
                "{} is drawn in another file: trace it onto a panel of this one first",
                voice::name(panel)
            ));
        }
        let mut why = None;
        for spot in self.spots(panel, &names) {
            let words = filled(&said.words, panel, &spot);
            let sentence = format!("{kind} {} = {words}", spot.called(&full));
            let outcome = match self.written(&spot, &sentence) {
                Ok(outcome) => outcome,
                Err(wrong) => {
                    why.get_or_insert(wrong);
                    continue;
                }
            };
            let (at, line) = match thing::value(&outcome.pattern, &full) {
                Some(Value::Point(at)) => (*at, None),
                Some(Value::Line(path) | Value::Curve(path)) => {
                    let middle = path
                        .length()
                        .ok()
                        .and_then(|all| path.point_at(all / 2.0).ok());
                    let Some(middle) = middle else { continue };
                    (middle, Some(bez(path)))
                }
                _ => continue,
            };
            if said.wanted.is_none_or(|wanted| wanted.distance(at) <= off) {
                return Ok(Added {
                    edit: self.edit(&spot, &sentence),
                    sentence,
                    name,
                    at,
                    line,
                });
            }
        }
        Err(why
            .unwrap_or_else(|| format!("nothing can be drawn by hand on {}", voice::name(panel))))
    }

    /// The draft with a sentence more; else the first thing that is then wrong, in words.
    fn written(&mut self, spot: &Spot, sentence: &str) -> Result<&Outcome, String> {
        let errors = |outcome: &Outcome| {
            outcome
                .diagnostics
                .iter()
                .filter(|one| one.is_error())
                .count()
        };
        let before = errors(self.session.outcome());
        let mut text = self.session.text().to_owned();
        text.insert_str(spot.at, &format!("{}{sentence}{}", spot.before, spot.after));
        self.bench.overlay.put(None);
        let changed = self.bench.tried.change(Change::Text(text));
        changed.map_err(|_| "the text cannot take it".to_owned())?;
        let tried = &self.bench.tried;
        let outcome = tried.outcome();
        if errors(outcome) <= before {
            return Ok(outcome);
        }
        let mut known = self.session.outcome().diagnostics.iter();
        let mut wrong = outcome.diagnostics.iter().filter(|one| one.is_error());
        let new = wrong.find(|one| known.all(|old| old.message != one.message));
        Err(new.map_or_else(
            || "the draft would be wrong with it".to_owned(),
            |one| one.message.in_unit(tried.unit()).into_owned(),
        ))
    }

    fn edit(&self, spot: &Spot, sentence: &str) -> Offer {
        Offer {
            at: self.units.place(spot.at..spot.at),
            text: format!("{}{sentence}{}", spot.before, spot.after),
        }
    }

    /// Points and bounded lines of a panel, by their names there.
    fn members(&self, panel: &str) -> (Vec<Named<Point>>, Vec<Named<Path>>) {
        let (mut points, mut lines) = (Vec::new(), Vec::new());
        let outcome = self.session.outcome();
        // An item of a list has no name of its own.
        let names = outcome.program.names.iter().map(|one| one.name.as_str());
        let names: BTreeSet<&str> = names.collect();
        let named = outcome.pattern.values.iter();
        for one in named.filter(|one| names.contains(one.name.as_str())) {
            let after = one.name.strip_prefix(panel);
            let member = match panel {
                "" => after,
                _ => after.and_then(|after| after.strip_prefix('.')),
            };
            let Some(member) = member.filter(|member| !member.contains('.')) else {
                continue;
            };
            match &one.value {
                Value::Point(at) => points.push((member.to_owned(), *at)),
                Value::Line(path) | Value::Curve(path)
                    if !path.is_endless() && !path.is_nothing() =>
                {
                    lines.push((member.to_owned(), path.clone()));
                }
                _ => {}
            }
        }
        (points, lines)
    }

    fn free_name(&self, panel: &str, call: &str) -> String {
        let outcome = self.session.outcome();
        let values = outcome.pattern.values.iter().map(|one| one.name.as_str());
        let measures = outcome.pattern.measures.iter().map(|one| one.name.as_str());
        let names = outcome.program.names.iter().map(|one| one.name.as_str());
        let taken: BTreeSet<&str> = values.chain(measures).chain(names).collect();
        let is_free = |name: &String| {
            !taken.contains(name.as_str()) && !taken.contains(joined(panel, name).as_str())
        };
        let mut numbered = (2..).map(|number| format!("{call}_{number}"));
        let first = match call {
            // A word of the language, which wants a number.
            "point" => "point_1".to_owned(),
            _ => call.to_owned(),
        };
        if is_free(&first) {
            return first;
        }
        numbered.find(is_free).unwrap_or(first)
    }

    /// The unit and the step in which the draft writes its lengths.
    fn habit(&self) -> Habit {
        let mut counts = [("mm", 0), ("cm", 0), ("in", 0)];
        let mut fractions = 0;
        let text = self.session.text();
        for (tok, at) in tokens(text) {
            let figure = text.get(at).filter(|_| tok == Tok::Figure);
            for (unit, count) in &mut counts {
                if figure.is_some_and(|figure| figure.ends_with(*unit)) {
                    *count += 1;
                    let is_fraction = figure.is_some_and(|figure| figure.contains('/'));
                    fractions += usize::from(*unit == "in" && is_fraction);
                }
            }
        }
        let own = self.session.unit().name();
        let most = counts
            .iter()
            .max_by_key(|(unit, count)| (*count, *unit == own));
        let unit = most
            .filter(|(_, count)| *count > 0)
            .map_or(own, |(unit, _)| *unit);
        let template = match unit {
            "in" if fractions > 0 => "1/16in",
            "in" => "0.01in",
            "cm" => "1cm",
            _ => "1mm",
        };
        let unit = match unit {
            "in" => LengthUnit::Inch,
            "cm" => LengthUnit::Centimetre,
            _ => LengthUnit::Millimetre,
        };
        Habit {
            literal: Literal::read(template),
            millimetres: match unit {
                LengthUnit::Inch => 25.4,
                LengthUnit::Centimetre => 10.0,
                LengthUnit::Millimetre => 1.0,
            },
        }
    }
}

/// How the draft writes a length.
struct Habit {
    literal: Option<Literal>,
    millimetres: f64,
}

impl Habit {
    /// Its step in millimetres.
    fn step(&self) -> f64 {
        let step = self
            .literal
            .as_ref()
            .map(|one| one.step(Fineness::AsWritten));
        step.unwrap_or(1.0) * self.millimetres
    }

    /// The nearest length that is written so, in millimetres.
    fn rounded(&self, length: f64) -> f64 {
        let step = self.step();
        (length / step).round() * step
    }

    fn written(&self, length: f64) -> String {
        let value = length / self.millimetres;
        let written = self
            .literal
            .as_ref()
            .map(|one| one.written(value, Fineness::AsWritten));
        written.unwrap_or_else(|| format!("{length:.0}mm"))
    }
}

/// A place on the nearest line, along it from the nearer end.
fn along(
    habit: &Habit,
    points: &[Named<Point>],
    lines: &[Named<Path>],
    at: Point,
    near: f64,
) -> Option<Said> {
    let on = lines.iter().map(|(name, path)| (name, path, far(path, at)));
    let (name, path, _) = on
        .filter(|(_, _, away)| *away <= near)
        .min_by(|a, b| a.2.total_cmp(&b.2))?;
    let along = path.length_to(path.nearest(at).location);
    let (from_end, length) = from_nearer(path, along, habit)?;
    let from = match named_end(points, path, from_end) {
        Some(end) => format!("{{{end}}}"),
        None => format!("{} of {{{name}}}", if from_end { "end" } else { "start" }),
    };
    let all = path.length().ok()?;
    Some(Said {
        words: format!("{} along {{{name}}} from {from}", habit.written(length)),
        call: format!("{name}_point"),
        wanted: path
            .point_at(if from_end { all - length } else { length })
            .ok(),
    })
}

fn far(path: &Path, at: Point) -> f64 {
    path.nearest(at).distance
}

/// Whether a place is nearer to the end, and how far it is from the nearer, as the draft would write it; none on an end.
fn from_nearer(path: &Path, along: f64, habit: &Habit) -> Option<(bool, f64)> {
    let all = path.length().ok()?;
    let from_end = along > all / 2.0;
    let length = habit.rounded(if from_end { all - along } else { along });
    (length > 0.0 && length < all).then_some((from_end, length))
}

/// The point that is named at an end of a line.
fn named_end(points: &[Named<Point>], path: &Path, is_end: bool) -> Option<String> {
    let at = if is_end { path.end() } else { path.start() }.ok()?;
    let mut named = points.iter().filter(|(_, place)| place.distance(at) < 1e-6);
    named.next().map(|(name, _)| name.clone())
}

fn joined(panel: &str, name: &str) -> String {
    match panel {
        "" => name.to_owned(),
        _ => format!("{panel}.{name}"),
    }
}

/// The names in braces.
fn placeholders(words: &str) -> impl Iterator<Item = &str> {
    let parts = words.split('{').skip(1);
    parts.filter_map(|part| part.split('}').next())
}

/// Words with their names put in, as they are called at a spot.
fn filled(words: &str, panel: &str, spot: &Spot) -> String {
    let mut parts = words.split(['{', '}']);
    let mut all = parts.next().unwrap_or_default().to_owned();
    while let (Some(name), Some(rest)) = (parts.next(), parts.next()) {
        all.push_str(spot.called(&joined(panel, name)));
        all.push_str(rest);
    }
    all
}
