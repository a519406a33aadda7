//! Where places lie along both sides: points that meet, notches at the same distance from an end or at a pair of points, and
//! what is carried from one side to the other between them.

use super::super::fault::Fault;
use super::super::spec::{
    NotchForm, SeamNotchPlace, SeamNotchSpec, SeamPlace, SeamPoint, SeamSpec, Tag, Value,
};
use super::ease::Carry;
use super::reading::{Laid, end_named, pair};
use super::side::Ground;
use super::{Ease, How, Opening, Place, SAME_PLACE, SeamNotch, Side, told};
use crate::pattern::PlaceSaid;
use kurbo::Point;

/// The two marks of a double notch stand this far apart (common practice).
pub(crate) const DOUBLE: f64 = 10.0;
/// A joint that is carried this near to a joint of the other side is matched with it: the tolerance of a seam.
const JOINTS_MATCH: f64 = 0.5;

/// Two sides in the sense in which they are walked.
pub(super) struct Walked<'a> {
    pub(super) ground: &'a Ground<'a>,
    pub(super) spec: &'a SeamSpec,
    pub(super) first: &'a Laid,
    pub(super) second: &'a Laid,
    /// Which ends meet is known: a distance from an end means a place.
    pub(super) ends_known: bool,
}

/// What stands along a seam.
#[derive(Default)]
pub(super) struct Standing {
    pub(super) notches: Vec<SeamNotch>,
    pub(super) places: Vec<Place>,
    pub(super) openings: Vec<Opening>,
}

impl Walked<'_> {
    fn ends(&self) -> [(f64, f64); 2] {
        [
            (0.0, 0.0),
            (self.first.side.length, self.second.side.length),
        ]
    }

    /// Both ends and the places that stand firm, in order.
    pub(super) fn anchors(&self, standing: &Standing) -> Vec<(f64, f64)> {
        let mut anchors = self.ends().to_vec();
        anchors.extend(standing.places.iter().map(|place| place.at));
        anchors.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
        anchors
    }

    /// Places that the draft names on both sides, and those that lie so far from an end.
    pub(super) fn firm(&self, faults: &mut Vec<Fault>) -> Standing {
        let mut standing = Standing::default();
        for (tag, a, b) in &self.spec.meets {
            match pair(self.ground, a, b, &self.first.side, &self.second.side) {
                Some(at) => standing.places.push(Place {
                    at,
                    how: How::Meets,
                }),
                None => faults.push(self.pair_off(*tag, a, b)),
            }
        }
        for notch in &self.spec.notches {
            let placed = match &notch.place {
                SeamNotchPlace::Measured { distance, from } => {
                    if !self.ends_known {
                        continue;
                    }
                    self.measured(notch, *distance, from)
                }
                SeamNotchPlace::Pair(a, b) => {
                    let main = pair(self.ground, a, b, &self.first.side, &self.second.side);
                    let made = main.map(|main| self.made(notch, main, true));
                    made.ok_or_else(|| Box::new(self.pair_off(notch.tag, a, b)))
                }
                SeamNotchPlace::One(_) | SeamNotchPlace::Joints => continue,
            };
            match placed {
                Ok(notch) => standing.add(notch, How::Notch),
                Err(fault) => faults.push(*fault),
            }
        }
        standing
    }

    /// What is carried over from one side to the other.
    pub(super) fn carry(&self, eases: &[Ease], standing: &mut Standing, faults: &mut Vec<Fault>) {
        let anchors = self.anchors(standing);
        let carry = Carry {
            anchors: &anchors,
            eases,
        };
        for notch in &self.spec.notches {
            match &notch.place {
                SeamNotchPlace::One(point) => match self.one(point, &carry) {
                    Some(main) => {
                        let made = self.made(notch, main, true);
                        standing.add(made, How::Notch);
                    }
                    None => faults.push(told::off(self, notch.tag, point)),
                },
                SeamNotchPlace::Joints => {
                    for main in self.joints(&anchors, &carry) {
                        let made = self.made(notch, main, true);
                        standing.add(made, How::Joint);
                    }
                }
                SeamNotchPlace::Measured { .. } | SeamNotchPlace::Pair(..) => {}
            }
        }
        for opening in &self.spec.openings {
            let (a, b) = &opening.between;
            let ends = (self.place(a, &carry), self.place(b, &carry));
            let (Some(a), Some(b)) = ends else {
                let place = if ends.0.is_none() { a } else { b };
                faults.push(told::place_off(self, opening.tag, place));
                continue;
            };
            let (from, to) = if a.0 + a.1 <= b.0 + b.1 {
                (a, b)
            } else {
                (b, a)
            };
            for at in [from, to] {
                let known = |notch: &SeamNotch| near(notch.main, at);
                let end = self.ends().iter().any(|end| near(*end, at));
                if !end && !standing.notches.iter().any(known) {
                    let spec = SeamNotchSpec {
                        tag: opening.tag,
                        form: NotchForm::Single,
                        place: SeamNotchPlace::Joints,
                    };
                    let made = self.made(&spec, at, true);
                    standing.add(made, How::Opening);
                }
            }
            standing.openings.push(Opening {
                tag: opening.tag,
                from,
                to,
                words: opening.words.clone(),
            });
        }
        standing.notches.sort_by(|a, b| {
            let (a, b) = (a.main, b.main);
            a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
        });
        let places = self.anchors(standing);
        for (a, b) in places.iter().zip(places.iter().skip(1)) {
            if b.1 < a.1 - SAME_PLACE {
                faults.push(told::crossed(self.spec, &standing.notches, *a, *b));
            }
        }
    }

    /// A place of either side, and its fellow.
    fn place(&self, place: &SeamPlace, carry: &Carry<'_>) -> Option<(f64, f64)> {
        match place {
            SeamPlace::At(point) => self.one(point, carry),
            SeamPlace::Measured { far, from } => {
                let found = |laid: &Laid| self.off_end(laid, *far, from);
                match (found(self.first), found(self.second)) {
                    (Some(at), _) => Some((at, carry.over(at, false))),
                    (None, Some(at)) => Some((carry.over(at, true), at)),
                    (None, None) => None,
                }
            }
        }
    }

    /// So far along a side from one of its ends.
    pub(super) fn off_end(&self, laid: &Laid, far: f64, from: &SeamPoint) -> Option<f64> {
        let length = laid.side.length;
        let (end, _) = end_named(self.ground, from, &laid.tips)?;
        let at = if end == 0 { far } else { length - far };
        (-SAME_PLACE..=length + SAME_PLACE)
            .contains(&at)
            .then_some(at)
    }

    fn measured(&self, notch: &SeamNotchSpec, distance: f64, from: &SeamPoint) -> Placed {
        let Some(at_start) = self.end_of(from) else {
            return Err(Box::new(told::no_end(self, notch, from)));
        };
        let double = notch.form == NotchForm::Double;
        let reach = distance + if double { DOUBLE } else { 0.0 };
        let shorter = self.first.side.length.min(self.second.side.length);
        if distance < 0.0 || reach > shorter {
            return Err(Box::new(told::beyond(self.spec, notch, reach, shorter)));
        }
        let at = |side: &Side| {
            if at_start {
                distance
            } else {
                side.length - distance
            }
        };
        let main = (at(&self.first.side), at(&self.second.side));
        Ok(self.made(notch, main, at_start))
    }

    /// Whether a point is the seam's start (`true`) or its end; none where it is neither.
    fn end_of(&self, named: &SeamPoint) -> Option<bool> {
        let end = |laid: &Laid| end_named(self.ground, named, &laid.tips);
        let (end, _) = match (end(self.first), end(self.second)) {
            (Some((_, false)), Some(second @ (_, true))) => second,
            (first, second) => first.or(second)?,
        };
        Some(end == 0)
    }

    fn one(&self, point: &SeamPoint, carry: &Carry<'_>) -> Option<(f64, f64)> {
        let on_first = self.first.side.find(self.ground, point);
        let on_second = self.second.side.find(self.ground, point);
        match (on_first, on_second) {
            (Some(a), Some(b)) if near(self.fellow(carry, a), (a, b)) => Some((a, b)),
            (Some(at), _) => Some(self.fellow(carry, at)),
            (None, Some(at)) => Some((carry.over(at, true), at)),
            (None, None) => None,
        }
    }

    fn fellow(&self, carry: &Carry<'_>, at: f64) -> (f64, f64) {
        (at, carry.over(at, false))
    }

    /// Places where edges of one side meet, each with its fellow; those that have a partner already are left out.
    fn joints(&self, anchors: &[(f64, f64)], carry: &Carry<'_>) -> Vec<(f64, f64)> {
        let mut found: Vec<(f64, f64)> = Vec::new();
        let mut of_second = self.second.side.joints();
        let has = |of_second: bool, at: f64| {
            anchors
                .iter()
                .any(|(a, b)| (if of_second { b - at } else { a - at }).abs() <= SAME_PLACE)
        };
        for at in self.first.side.joints() {
            if has(false, at) {
                continue;
            }
            let carried = carry.over(at, false);
            let fellow = of_second
                .iter()
                .position(|joint| (joint - carried).abs() <= JOINTS_MATCH);
            let other = fellow.map_or(carried, |index| of_second.remove(index));
            found.push((at, other));
        }
        for at in of_second {
            if !has(true, at) {
                found.push((carry.over(at, true), at));
            }
        }
        found
    }

    fn made(&self, notch: &SeamNotchSpec, main: (f64, f64), forward: bool) -> SeamNotch {
        let (mut first, mut second) = (vec![main.0], vec![main.1]);
        let (long, other) = (self.first.side.length, self.second.side.length);
        if notch.form == NotchForm::Double {
            let fits = main.0 + DOUBLE <= long && main.1 + DOUBLE <= other;
            let step = if forward && fits { DOUBLE } else { -DOUBLE };
            first.push((main.0 + step).clamp(0.0, long));
            second.push((main.1 + step).clamp(0.0, other));
        }
        SeamNotch {
            tag: notch.tag,
            form: notch.form,
            first,
            second,
            main,
            said: (
                said(notch, self.ground, &self.first.side, main.0, forward),
                said(notch, self.ground, &self.second.side, main.1, forward),
            ),
        }
    }

    fn pair_off(&self, tag: Tag, a: &SeamPoint, b: &SeamPoint) -> Fault {
        let lies = |point: &SeamPoint| {
            let on = |laid: &Laid| laid.side.find(self.ground, point).is_some();
            on(self.first) || on(self.second)
        };
        if !lies(a) {
            told::off(self, tag, a)
        } else if !lies(b) {
            told::off(self, tag, b)
        } else {
            told::same_side(self.spec, tag, a, b)
        }
    }
}

/// How the draft calls the place of a notch on one side; a distance is from the side's start, or its end.
fn said(
    notch: &SeamNotchSpec,
    ground: &Ground<'_>,
    side: &Side,
    at: f64,
    from_start: bool,
) -> PlaceSaid {
    let points = match &notch.place {
        SeamNotchPlace::Measured { from, .. } => {
            let end = if from_start { 0.0 } else { side.length };
            let named = end_called(ground, side, from, from_start);
            return named.map_or(PlaceSaid::Unnamed, |point| PlaceSaid::from(&point, end));
        }
        SeamNotchPlace::Pair(a, b) => vec![a, b],
        SeamNotchPlace::One(point) => vec![point],
        SeamNotchPlace::Joints => Vec::new(),
    };
    let lies = |point: &&&SeamPoint| {
        let found = side.find(ground, point);
        found.is_some_and(|found| (found - at).abs() <= SAME_PLACE)
    };
    let point = points.iter().find(lies);
    point.map_or(PlaceSaid::Unnamed, |point| PlaceSaid::at(point))
}

/// The point at an end of a side that bears a name: that very point, or the one of its own panel that is called the same.
fn end_called(
    ground: &Ground<'_>,
    side: &Side,
    named: &SeamPoint,
    at_start: bool,
) -> Option<SeamPoint> {
    let edge = if at_start {
        side.edges.first()
    } else {
        side.edges.last()
    };
    let edge = edge?;
    let tip = if at_start {
        edge.path.start()
    } else {
        edge.path.end()
    };
    let tip = tip.ok()?;
    let lies = |point: Point| (point - tip).hypot() <= SAME_PLACE;
    let own = side.find(ground, named).is_some() && lies(named.point);
    if own {
        return Some(named.clone());
    }
    let (panel, _) = edge.line.rsplit_once('.')?;
    let member = named.name.rsplit('.').next()?;
    let name = format!("{panel}.{member}");
    let mut values = ground.values.iter();
    values
        .any(|value| {
            value.name == name && matches!(value.value, Value::Point(point) if lies(point))
        })
        .then(|| SeamPoint {
            point: tip,
            name,
            panel: Some(panel.to_owned()),
        })
}

type Placed = Result<SeamNotch, Box<Fault>>;

pub(super) fn near(a: (f64, f64), b: (f64, f64)) -> bool {
    (a.0 - b.0).abs() <= SAME_PLACE && (a.1 - b.1).abs() <= SAME_PLACE
}

impl Standing {
    /// A notch, unless an equal one stands there.
    fn add(&mut self, notch: SeamNotch, how: How) {
        let at = notch.main;
        if !self.places.iter().any(|place| near(place.at, at)) {
            self.places.push(Place { at, how });
        }
        let equal = |other: &SeamNotch| other.form == notch.form && near(other.main, at);
        if !self.notches.iter().any(equal) {
            self.notches.push(notch);
        }
    }
}
