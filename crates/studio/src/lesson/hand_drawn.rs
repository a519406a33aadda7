//! What a hand needs beyond a sentence to draw a line that no ruler gives: its length, how far a hollow passes from its
//! corner, and a table of what is squared out from a ruler between its ends ([`ruler`]). Ways are the sheet's, so that nobody
//! has to ask which is the left side of a curve.

use super::Table;
use super::ruler::{self, Stretch};
use super::sheets::Sheets;
use super::speech::{Speech, the_thing, unbracketed};
use super::steps::Maker;
use kurbo::{ParamCurve, PathSeg, Point, Vec2};
use oaktag_geometry::path::Path;
use oaktag_language::check::program::Site;
use oaktag_language::draft::record::Entry;
use oaktag_language::kind::Kind;
use oaktag_language::phrase::aid::Aid;
use oaktag_language::phrase::wording::ByHand;
use oaktag_language::phrase::{Call, Meaning, Value};
use oaktag_language::syntax::tree::{Expr, ExprKind, Far, Link, SentenceKind};
use oaktag_language::voice;

/// What is less than this, in millimetres, is not measured.
const NOTHING: f64 = 0.05;

/// A curve that is drawn from a table.
struct Curve {
    /// The line that it is, or is a part of.
    name: String,
    /// What its sentence begins with: "The neck measures".
    lead: String,
    path: Path,
    /// What is said behind its length.
    corner: String,
    /// What it is called where it begins and ends.
    ends: (String, String),
}

impl Maker<'_> {
    /// What cannot be read off the sentence of a line.
    pub(super) fn told_of_lines(
        &self,
        speech: &Speech<'_>,
        site: &Site,
        expr: &Expr,
        lies: &Sheets,
    ) -> Vec<String> {
        let mut told = Vec::from_iter(self.beside(speech, site, expr, lies));
        told.extend(self.by_ruler(speech.entry, site));
        told.extend(self.arc_by_ruler(speech, expr));
        for curve in self.curves(speech, site, expr, lies) {
            let Ok(long) = curve.path.length() else {
                continue;
            };
            let tables = match ruler::stretches(&curve.path, self.unit).len() {
                1 => "its table has its places",
                _ => "its tables have its places",
            };
            told.push(format!(
                "{} {}{}; {tables}.",
                curve.lead,
                self.unit.length(long),
                curve.corner
            ));
        }
        told
    }

    /// The tables that the curves of an entry are drawn from; `act` is the number of its sentence.
    pub(super) fn tables(
        &self,
        entry: &Entry,
        site: &Site,
        act: usize,
        lies: &Sheets,
    ) -> Vec<Table> {
        let is_line = |kind: &Kind| matches!(kind, Kind::Line | Kind::Curve);
        let Some(expr) = self.trees.value(site).filter(|_| {
            let mut targets = site.targets.iter();
            targets.all(|target| is_line(&target.kind))
        }) else {
            return Vec::new();
        };
        let speech = self.speech(entry);
        let curves = self.curves(&speech, site, unbracketed(expr), lies);
        let tables = curves.iter().flat_map(|curve| {
            let lead = format!("{}, act {act}", voice::capital(&curve.name));
            let stretches = ruler::stretches(&curve.path, self.unit);
            let last = stretches.len().saturating_sub(1);
            let mut begins = curve.ends.0.clone();
            let mut tables = Vec::new();
            for (at, stretch) in stretches.iter().enumerate() {
                let (ends, aside) = if at == last {
                    (curve.ends.1.clone(), String::new())
                } else {
                    let turn = format!("turn {} of the {}", at + 1, curve.name);
                    let away = self.away(stretch.to - stretch.from);
                    (turn, format!(" ({away} of it)"))
                };
                tables.push(self.table(&lead, stretch, (&begins, &format!("{ends}{aside}"))));
                begins = ends;
            }
            tables
        });
        tables.collect()
    }

    /// The table of a stretch: "Neck, act 1: ruler from the CB neck to the neck point, 7.96 cm".
    pub(super) fn table(&self, lead: &str, stretch: &Stretch, (from, to): (&str, &str)) -> Table {
        let unit = self.unit;
        let title = format!(
            "{lead}: ruler from {from} to {to}, {}",
            unit.length(stretch.chord())
        );
        let most = stretch.stations.iter().map(|(_, out)| *out);
        let most = most.fold(
            0.0,
            |most: f64, out| if out.abs() > most.abs() { out } else { most },
        );
        let sign = if most < 0.0 { -1.0 } else { 1.0 };
        let out = stretch.left() * sign;
        // In a narrow column the way alone: "right".
        let way_of = |way: Vec2| mostly(way).trim_start_matches("to the ");
        let mut way = format!("out {}", way_of(out));
        if stretch
            .stations
            .iter()
            .any(|(_, out)| out * sign < -NOTHING)
        {
            way.push_str(&format!(" (− {})", way_of(-out)));
        }
        let bare = |mm: f64| unit.bare(mm).replace('-', "−");
        let rows = stretch.stations.iter();
        Table {
            title,
            head: vec!["along".to_owned(), way],
            rows: rows
                .map(|(far, out)| vec![bare(*far), bare(out * sign)])
                .collect(),
        }
    }

    /// The curves of an entry that no ruler gives.
    fn curves(&self, speech: &Speech<'_>, site: &Site, expr: &Expr, lies: &Sheets) -> Vec<Curve> {
        let by_hand = speech.form(expr).map(|form| form.taught.by_hand);
        let mut found = Vec::new();
        for (target, value) in site.targets.iter().zip(&speech.entry.values) {
            let Value::Path(path) = value else { continue };
            let own = target.name.rsplit('.').next().unwrap_or_default();
            let name = voice::name(own);
            match by_hand {
                // The length of a straight line, or of one that was moved, stands among the checks.
                Some(ByHand::ItsPlaces) if !path.is_straight() && !path.is_endless() => {
                    let said = speech.said(expr);
                    let end = |link: Link, at: Option<Point>, word: &str| {
                        let said = said.as_ref().and_then(|said| said.one(link));
                        let is_it = |one: &&Expr| {
                            let there = speech.point(one).zip(at);
                            there.is_none_or(|(there, at)| (there - at).hypot() < NOTHING)
                        };
                        match said
                            .filter(is_it)
                            .filter(|_| link != Link::To || !self.is_beside(speech, expr))
                        {
                            Some(one) => speech.noun(one),
                            None => {
                                named_there(lies, site, at).unwrap_or_else(|| format!("its {word}"))
                            }
                        }
                    };
                    let ends = (
                        end(Link::From, path.start().ok(), "start"),
                        end(Link::To, path.end().ok(), "end"),
                    );
                    found.push(Curve {
                        lead: format!("{} measures", voice::capital(&the_thing(own, &target.kind))),
                        path: (**path).clone(),
                        corner: self.passes(speech.entry, path),
                        ends,
                        name,
                    });
                }
                Some(ByHand::PlacesOfParts) => {
                    found.extend(self.joined(speech, path, expr, &name));
                }
                Some(ByHand::ItsPlaces | ByHand::Nothing) | None => {}
            }
        }
        found
    }

    /// Whether it is drawn beside another line.
    fn is_beside(&self, speech: &Speech<'_>, expr: &Expr) -> bool {
        let form = speech.form(expr);
        form.and_then(|form| form.head.as_deref()) == Some("parallel")
    }

    /// Where a line beside another ends: square across from the ends of that.
    fn beside(
        &self,
        speech: &Speech<'_>,
        site: &Site,
        expr: &Expr,
        lies: &Sheets,
    ) -> Option<String> {
        let Some(Value::Path(path)) = speech.entry.values.first() else {
            return None;
        };
        if path.is_endless() || !self.is_beside(speech, expr) {
            return None;
        }
        let to = speech.said(expr)?.one(Link::To)?;
        let line = speech.noun(to);
        let ExprKind::Name(name) = &unbracketed(to).kind else {
            return Some(format!("Its ends lie square across from those of {line}."));
        };
        let (Value::Path(old), _) = speech.read(&super::speech::dotted(name))? else {
            return None;
        };
        let end = |at: Option<Point>, word: &str| {
            named_there(lies, site, at).unwrap_or_else(|| format!("the {word} of {line}"))
        };
        Some(format!(
            "It begins square across from {} and ends square across from {}.",
            end(old.start().ok(), "start"),
            end(old.end().ok(), "end")
        ))
    }

    /// Of a joined line, the curves that have no name of their own.
    fn joined(&self, speech: &Speech<'_>, path: &Path, expr: &Expr, name: &str) -> Vec<Curve> {
        let mut found = Vec::new();
        let parts = speech.said(expr).map(|said| said.direct);
        for part in parts.unwrap_or_default() {
            let Some((from, to)) = speech.ends_of(part) else {
                continue;
            };
            let (Some(a), Some(b)) = (speech.point(from), speech.point(to)) else {
                continue;
            };
            let (start, end) = (path.nearest(a).location, path.nearest(b).location);
            let Ok(curve) = path.part(start, end) else {
                continue;
            };
            if !curve.is_straight() {
                let (from, to) = (speech.noun(from), speech.noun(to));
                found.push(Curve {
                    name: name.to_owned(),
                    lead: format!("From {from} to {to} it measures"),
                    path: curve,
                    corner: String::new(),
                    ends: (from, to),
                });
            }
        }
        found
    }

    /// How far from its corner a hollow curve passes.
    fn passes(&self, entry: &Entry, path: &Path) -> String {
        let corner = entry.aids.iter().find_map(|aid| match aid {
            Aid::Corner { at, .. } => Some(*at),
            _ => None,
        });
        match (corner, path.segs()) {
            (Some(corner), [PathSeg::Cubic(cubic)]) => {
                let depth = (cubic.eval(0.5) - corner).hypot();
                format!(", and passes {} from the corner", self.unit.length(depth))
            }
            _ => String::new(),
        }
    }

    /// "2 cm to the right, then 1 cm up".
    pub(super) fn away(&self, by: Vec2) -> String {
        let legs = [(by.x, "to the right", "to the left"), (by.y, "up", "down")];
        let legs: Vec<String> = legs
            .into_iter()
            .filter(|(far, ..)| far.abs() >= NOTHING)
            .map(|(far, more, less)| {
                let way = if far > 0.0 { more } else { less };
                format!("{} {way}", self.unit.length(far.abs()))
            })
            .collect();
        if legs.is_empty() {
            return "that place itself".to_owned();
        }
        legs.join(", then ")
    }

    /// A row of points, each by its distance from one that is there already, or from the first.
    pub(super) fn row_of_points(
        &self,
        speech: &Speech<'_>,
        names: &str,
        items: &[Value],
        expr: &Expr,
    ) -> Option<String> {
        let points: Option<Vec<Point>> = items
            .iter()
            .map(|item| match item {
                Value::Point(at) => Some(*at),
                _ => None,
            })
            .collect();
        let points = points.filter(|points| !points.is_empty())?;
        let from = given_from(expr)?;
        let base = speech.point(from)?;
        let places: Vec<String> = points.iter().map(|at| self.away(*at - base)).collect();
        let mut said = format!(
            "Mark {names}, {} of them, each from {}: {}.",
            points.len(),
            speech.noun(from),
            places.join("; ")
        );
        if let ExprKind::Phrase(_) = &unbracketed(expr).kind {
            said.push_str(&format!(" They are {}.", speech.noun(expr)));
        }
        Some(said)
    }
}

/// From where the points of a row are measured: of an `each`, or of a phrase that gives several.
fn given_from(expr: &Expr) -> Option<&Expr> {
    if let ExprKind::Phrase(phrase) = &unbracketed(expr).kind {
        let mut clauses = phrase.clauses.iter();
        return clauses
            .find(|clause| clause.link == Link::From)?
            .arguments
            .first();
    }
    let ExprKind::Each(each) = &unbracketed(expr).kind else {
        return None;
    };
    let given = each.body.sentences.iter().find_map(|one| match &one.kind {
        SentenceKind::Give(given) => given.first(),
        _ => None,
    })?;
    match &unbracketed(given).kind {
        ExprKind::Displaced { from, moves }
            if moves.iter().all(|leg| matches!(leg.far, Far::By(_))) =>
        {
            Some(from)
        }
        _ => None,
    }
}

/// A point that lies there by now, on the sheet that a site draws on, by its name.
fn named_there(lies: &Sheets, site: &Site, at: Option<Point>) -> Option<String> {
    let member = lies.point_at(&site.panel, at?)?;
    Some(the_thing(&member, &Kind::Point))
}

/// The sheet's way that a direction mostly goes.
fn mostly(way: Vec2) -> &'static str {
    match (way.x.abs() > way.y.abs(), way.x > 0.0, way.y > 0.0) {
        (true, true, _) => "to the right",
        (true, false, _) => "to the left",
        (false, _, true) => "up",
        (false, _, false) => "down",
    }
}

impl<'a> Speech<'a> {
    /// A point that is drawn already.
    fn point(&self, expr: &Expr) -> Option<Point> {
        match &unbracketed(expr).kind {
            ExprKind::Origin => Some(Point::ORIGIN),
            ExprKind::Name(name) => match self.read(&super::speech::dotted(name))? {
                (Value::Point(at), _) => Some(*at),
                _ => None,
            },
            ExprKind::Of { operand, .. } => {
                let ExprKind::Name(name) = &unbracketed(operand).kind else {
                    return None;
                };
                let (of, _) = self.read(&super::speech::dotted(name))?;
                let Meaning::Built(function) = &self.form(expr)?.meaning else {
                    return None;
                };
                let given = function.carry_out(&mut Call::aside(), &mut [Some(of.clone())]);
                match given {
                    Ok(Value::Point(at)) => Some(at),
                    _ => None,
                }
            }
            _ => None,
        }
    }

    /// What a call of an operation puts into one of its places.
    pub(super) fn argument<'e>(&self, call: &'e Expr, link: Option<Link>) -> Option<&'e Expr>
    where
        'a: 'e,
    {
        let said = self.said(call)?;
        match link {
            None => said.direct.first().copied(),
            Some(link) => said.one(link),
        }
    }

    /// What a call of an operation gives one of its options.
    pub(super) fn option<'e>(&self, call: &'e Expr, name: &str) -> Option<&'e Expr>
    where
        'a: 'e,
    {
        let mut options = self.said(call)?.options.iter();
        let option = options.find(|option| option.name.text.as_ref() == name);
        option.map(|option| &option.value)
    }

    /// From where to where a line without a name goes.
    fn ends_of<'e>(&self, expr: &'e Expr) -> Option<(&'e Expr, &'e Expr)>
    where
        'a: 'e,
    {
        let said = self.said(expr).filter(|said| said.form.head.is_none())?;
        Some((said.one(Link::From)?, said.one(Link::To)?))
    }
}
