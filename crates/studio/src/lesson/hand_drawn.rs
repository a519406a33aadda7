//! What a hand needs beyond a sentence to draw a line that no ruler gives: its length, how far a hollow passes from its
//! corner, and distances squared out from the straight line between its ends (the way a curve is taken off a card, common
//! practice). Ways are the sheet's, so that nobody has to ask which is the left side of a curve.

use super::speech::{Speech, the, unbracketed};
use super::steps::Maker;
use kurbo::{ParamCurve, PathSeg, Point, Vec2};
use oaktag_geometry::path::Path;
use oaktag_language::check::program::Site;
use oaktag_language::draft::record::Entry;
use oaktag_language::phrase::aid::Aid;
use oaktag_language::phrase::wording::ByHand;
use oaktag_language::phrase::{Call, Meaning, Value};
use oaktag_language::syntax::tree::{Expr, ExprKind, Far, Link, SentenceKind};
use oaktag_language::voice;

/// A curve is told by a place for about so many millimetres …
const EVERY: f64 = 50.0;
/// … at least in so many parts, and at most.
const PARTS: (f64, f64) = (4.0, 10.0);
/// Ends nearer than this have no straight line between them.
const CLOSED: f64 = 1.0;
/// What is less than this, in millimetres, is not measured.
const NOTHING: f64 = 0.05;

impl Maker<'_> {
    /// What cannot be read off the sentence of a line.
    pub(super) fn told_of_lines(
        &self,
        speech: &Speech<'_>,
        site: &Site,
        expr: &Expr,
    ) -> Vec<String> {
        let by_hand = speech.form(expr).map(|form| form.taught.by_hand);
        let mut told = Vec::new();
        for (target, value) in site.targets.iter().zip(&speech.entry.values) {
            let Value::Path(path) = value else { continue };
            match by_hand {
                // The length of a straight line, or of one that was moved, stands among the checks.
                Some(ByHand::ItsPlaces) if !path.is_straight() => {
                    let name = voice::capital(&the(target.name.rsplit('.').next().unwrap_or("")));
                    let corner = self.passes(speech.entry, path);
                    told.extend(self.by_hand(&format!("{name} measures"), path, &corner));
                }
                Some(ByHand::PlacesOfParts) => {
                    told.extend(self.told_of_joined(speech, path, expr));
                }
                Some(ByHand::ItsPlaces | ByHand::Nothing) | None => {}
            }
        }
        told
    }

    /// Of a joined line, the curves that have no name of their own.
    fn told_of_joined(&self, speech: &Speech<'_>, path: &Path, expr: &Expr) -> Vec<String> {
        let mut told = Vec::new();
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
                let lead = format!(
                    "From {} to {} it measures",
                    speech.noun(from),
                    speech.noun(to)
                );
                told.extend(self.by_hand(&lead, &curve, ""));
            }
        }
        told
    }

    /// "The neck measures 8.33 cm. To draw it by hand, lay the ruler …"
    fn by_hand(&self, lead: &str, path: &Path, corner: &str) -> Option<String> {
        let length = path.length().ok()?;
        let long = self.unit.length(length);
        let places = self.places(path, length)?;
        Some(format!(
            "{lead} {long}{corner}. To draw it by hand, {places}."
        ))
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

    /// Places of a curve, squared out from the straight line between its ends.
    fn places(&self, path: &Path, length: f64) -> Option<String> {
        let (start, end) = (path.start().ok()?, path.end().ok()?);
        let parts = (length / EVERY).ceil().clamp(PARTS.0, PARTS.1);
        let at = |part: u32| path.point_at(length * f64::from(part) / parts).ok();
        let points = (1..parts as u32).filter_map(at);
        let chord = end - start;
        if chord.hypot() < CLOSED {
            let places: Vec<String> = points.map(|at| self.away(at - start)).collect();
            return Some(format!("mark from its start {}", places.join("; ")));
        }
        let along = chord.normalize();
        let left = Vec2::new(-along.y, along.x);
        let place = |at: Point| {
            let (far, off) = ((at - start).dot(along), (at - start).dot(left));
            let place = if far < 0.0 {
                format!("{} before its start", self.unit.length(-far))
            } else {
                self.unit.length(far)
            };
            if off.abs() < NOTHING {
                return format!("at {place} on the ruler itself");
            }
            format!(
                "at {place} {} {}",
                self.unit.length(off.abs()),
                mostly(left * off)
            )
        };
        let places: Vec<String> = points.map(place).collect();
        Some(format!(
            "lay the ruler from its start to its end, {}, and square out from it: {}",
            self.unit.length(chord.hypot()),
            places.join(", ")
        ))
    }

    /// "2 cm to the right, then 1 cm up".
    fn away(&self, by: Vec2) -> String {
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
