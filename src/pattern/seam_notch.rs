//! Where a seam's notches stand on both sides: at the same distance from an end, at a pair of points, or carried from one
//! side to the other in proportion between the neighbouring notches.

use super::fault::{Fault, Words};
use super::figure;
use super::seam::{SeamNotch, Side, SideEdge};
use super::sense::{SAME_PLACE, panel_of};
use super::spec::{NotchForm, SeamNotchPlace, SeamNotchSpec, SeamPoint, SeamSpec};
use crate::report::Code;

/// The two marks of a double notch stand this far apart (common practice).
pub(crate) const DOUBLE: f64 = 10.0;
/// A joint that is carried this near to a joint of the other side is matched with it: the tolerance of a plain seam.
const JOINTS_MATCH: f64 = 0.5;

/// All notch places of a seam in walking order.
pub(crate) fn places(
    spec: &SeamSpec,
    first: &Side,
    second: &Side,
    faults: &mut Vec<Fault>,
) -> Vec<SeamNotch> {
    let carry = Carry {
        spec,
        first,
        second,
    };
    let mut found: Vec<SeamNotch> = Vec::new();
    for notch in &spec.notches {
        let placed = match &notch.place {
            SeamNotchPlace::Measured { distance, from } => carry.measured(notch, *distance, from),
            SeamNotchPlace::Pair(a, b) => carry.pair(notch, a, b),
            SeamNotchPlace::One(_) | SeamNotchPlace::Joints => continue,
        };
        match placed {
            Ok(notch) => found.push(notch),
            Err(fault) => faults.push(*fault),
        }
    }
    let anchors = carry.anchors(&found);
    for notch in &spec.notches {
        match &notch.place {
            SeamNotchPlace::One(point) => match carry.one(notch, point, &anchors) {
                Ok(notch) => found.push(notch),
                Err(fault) => faults.push(*fault),
            },
            SeamNotchPlace::Joints => found.extend(carry.joints(notch, &anchors)),
            SeamNotchPlace::Measured { .. } | SeamNotchPlace::Pair(..) => {}
        }
    }
    found.sort_by(|a, b| {
        a.main
            .0
            .total_cmp(&b.main.0)
            .then(a.main.1.total_cmp(&b.main.1))
    });
    for (a, b) in found.iter().zip(found.iter().skip(1)) {
        if b.main.1 < a.main.1 - SAME_PLACE {
            faults.push(crossed(spec, a, b));
        }
    }
    found
}

type Placed = Result<SeamNotch, Box<Fault>>;

struct Carry<'a> {
    spec: &'a SeamSpec,
    first: &'a Side,
    second: &'a Side,
}

impl Carry<'_> {
    /// Both ends and the notches that stand firm, in order.
    fn anchors(&self, found: &[SeamNotch]) -> Vec<(f64, f64)> {
        let mut anchors = vec![(0.0, 0.0), (self.first.length, self.second.length)];
        anchors.extend(found.iter().map(|notch| notch.main));
        anchors.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
        anchors
    }

    fn measured(&self, notch: &SeamNotchSpec, distance: f64, from: &SeamPoint) -> Placed {
        let Some(at_start) = self.end_of(from) else {
            return Err(Box::new(self.no_end(notch, from)));
        };
        let reach = distance
            + if notch.form == NotchForm::Double {
                DOUBLE
            } else {
                0.0
            };
        let shorter = self.first.length.min(self.second.length);
        if distance < 0.0 || reach > shorter {
            return Err(Box::new(self.beyond(notch, reach, shorter)));
        }
        let at = |side: &Side, d: f64| if at_start { d } else { side.length - d };
        let ends = (at(self.first, distance), at(self.second, distance));
        Ok(self.made(notch, ends, at_start, (false, false)))
    }

    fn pair(&self, notch: &SeamNotchSpec, a: &SeamPoint, b: &SeamPoint) -> Placed {
        let straight = self.find(self.first, a).zip(self.find(self.second, b));
        let swapped = || self.find(self.first, b).zip(self.find(self.second, a));
        let main = straight.or_else(swapped);
        main.map(|main| self.made(notch, main, true, (false, false)))
            .ok_or_else(|| Box::new(self.pair_off(notch, a, b)))
    }

    fn one(&self, notch: &SeamNotchSpec, point: &SeamPoint, anchors: &[(f64, f64)]) -> Placed {
        let (on_first, on_second) = (self.best(self.first, point), self.best(self.second, point));
        let main = match (on_first, on_second) {
            (Some((rank, _)), Some((other, at))) if other && !rank => {
                (proportion(anchors, at, true), at)
            }
            (Some((_, at)), _) => (at, proportion(anchors, at, false)),
            (None, Some((_, at))) => (proportion(anchors, at, true), at),
            (None, None) => return Err(Box::new(self.off(notch, point))),
        };
        Ok(self.made(notch, main, true, (false, false)))
    }

    fn joints(&self, notch: &SeamNotchSpec, anchors: &[(f64, f64)]) -> Vec<SeamNotch> {
        let mut found: Vec<SeamNotch> = Vec::new();
        let mut of_second = self.second.joints();
        for at in self.first.joints() {
            let carried = proportion(anchors, at, false);
            let fellow = of_second
                .iter()
                .position(|joint| (joint - carried).abs() <= JOINTS_MATCH);
            let (other, both) = match fellow {
                Some(index) => (of_second.remove(index), true),
                None => (carried, false),
            };
            // A joint that a notch marks already needs no second one.
            if marked(anchors, (at, other)) {
                continue;
            }
            found.push(self.made(notch, (at, other), true, (true, both)));
        }
        for at in of_second {
            if marked(anchors, (proportion(anchors, at, true), at)) {
                continue;
            }
            found.push(self.made(
                notch,
                (proportion(anchors, at, true), at),
                true,
                (false, true),
            ));
        }
        found
    }

    fn made(
        &self,
        notch: &SeamNotchSpec,
        main: (f64, f64),
        forward: bool,
        at_joint: (bool, bool),
    ) -> SeamNotch {
        let (mut first, mut second) = (vec![main.0], vec![main.1]);
        if notch.form == NotchForm::Double {
            let fits =
                main.0 + DOUBLE <= self.first.length && main.1 + DOUBLE <= self.second.length;
            let step = if forward && fits { DOUBLE } else { -DOUBLE };
            first.push((main.0 + step).clamp(0.0, self.first.length));
            second.push((main.1 + step).clamp(0.0, self.second.length));
        }
        SeamNotch {
            tag: notch.tag,
            form: notch.form,
            first,
            second,
            main,
            at_joint,
        }
    }

    /// Whether a point is the seam's start (`true`) or its end; none where it is neither. Where the figures fit both, the
    /// panel of its name decides.
    fn end_of(&self, named: &SeamPoint) -> Option<bool> {
        let rank = |side: &Side, start: bool| {
            let (edge, place) = if start {
                let edge = side.edges.first();
                (edge, edge.and_then(|edge| edge.path.start().ok()))
            } else {
                let edge = side.edges.last();
                (edge, edge.and_then(|edge| edge.path.end().ok()))
            };
            edge.map_or(0, |edge| super::sense::agrees(named, place, &edge.line))
        };
        let start = rank(self.first, true).max(rank(self.second, true));
        let end = rank(self.first, false).max(rank(self.second, false));
        (start.max(end) > 0).then_some(start >= end)
    }

    /// Where a point lies along a side.
    fn find(&self, side: &Side, named: &SeamPoint) -> Option<f64> {
        self.best(side, named).map(|(_, at)| at)
    }

    fn best(&self, side: &Side, named: &SeamPoint) -> Option<(bool, f64)> {
        let on = |edge: &SideEdge| {
            let nearest = edge.path.nearest(named.point);
            let same = !named.name.is_empty() && panel_of(&named.name) == panel_of(&edge.line);
            (nearest.distance <= SAME_PLACE)
                .then(|| (same, edge.from + edge.path.length_to(nearest.location)))
        };
        let mut best: Option<(bool, f64)> = None;
        for found in side.edges.iter().filter_map(on) {
            if best.is_none_or(|(same, _)| found.0 && !same) {
                best = Some(found);
            }
        }
        best
    }

    fn spoken(&self) -> String {
        figure::name(&self.spec.name)
    }

    fn beyond(&self, notch: &SeamNotchSpec, wanted: f64, length: f64) -> Fault {
        let message = Words::new(format!("seam {}: a notch at ", self.spoken()))
            .spoken(wanted)
            .text(" falls off the seam, which is ")
            .length(length)
            .text(" long");
        Fault::error(Code::NotchOffSeam, notch.tag, message)
            .with_help(Words::new("Give a distance within the shorter side."))
            .figure("wanted", wanted)
            .figure("length", length)
    }

    fn no_end(&self, notch: &SeamNotchSpec, from: &SeamPoint) -> Fault {
        let message = Words::new(format!(
            "seam {}: a notch is measured from {}, where the seam neither begins nor ends",
            self.spoken(),
            said(from)
        ));
        let mut fault = Fault::error(Code::NotchOffSeam, notch.tag, message);
        for side in [self.first, self.second] {
            if let Some((edge, far)) = nearest(side, from) {
                fault = fault.note(
                    Words::new("It lies ")
                        .length(far)
                        .text(format!(" from {edge}.")),
                );
            }
        }
        fault.with_help(Words::new(
            "Measure from an end of the seam, or name the point itself:  notch single at POINT",
        ))
    }

    fn off(&self, notch: &SeamNotchSpec, point: &SeamPoint) -> Fault {
        let message = Words::new(format!(
            "seam {}: {} lies on neither side",
            self.spoken(),
            said(point)
        ));
        let mut fault = Fault::error(Code::NotchOffSeam, notch.tag, message);
        for side in [self.first, self.second] {
            if let Some((edge, far)) = nearest(side, point) {
                fault = fault
                    .note(
                        Words::new("It lies ")
                            .length(far)
                            .text(format!(" from {edge}.")),
                    )
                    .figure("off", far);
            }
        }
        fault
    }

    fn pair_off(&self, notch: &SeamNotchSpec, a: &SeamPoint, b: &SeamPoint) -> Fault {
        let lies = |point: &SeamPoint| {
            self.find(self.first, point)
                .or(self.find(self.second, point))
                .is_some()
        };
        if !lies(a) {
            return self.off(notch, a);
        }
        if !lies(b) {
            return self.off(notch, b);
        }
        let message = Words::new(format!(
            "seam {}: {} and {} lie on the same side, where a pair has one on each",
            self.spoken(),
            said(a),
            said(b)
        ));
        Fault::error(Code::NotchOffSeam, notch.tag, message)
    }
}

/// The edge of a side nearest to a point and how far it is.
fn nearest(side: &Side, named: &SeamPoint) -> Option<(String, f64)> {
    let far = side.edges.iter().map(|edge| {
        (
            figure::name(&edge.line),
            edge.path.nearest(named.point).distance,
        )
    });
    far.min_by(|a, b| a.1.total_cmp(&b.1))
}

fn said(point: &SeamPoint) -> String {
    if point.name.is_empty() {
        "the point".to_owned()
    } else {
        figure::name(&point.name)
    }
}

/// Whether a firm notch stands at this pair of places.
fn marked(anchors: &[(f64, f64)], (first, second): (f64, f64)) -> bool {
    anchors
        .iter()
        .any(|(a, b)| (a - first).abs() <= JOINTS_MATCH && (b - second).abs() <= JOINTS_MATCH)
}

/// A place carried from one side to the other in proportion between the notches on either hand.
fn proportion(anchors: &[(f64, f64)], at: f64, from_second: bool) -> f64 {
    let read = |(first, second): (f64, f64)| {
        if from_second {
            (second, first)
        } else {
            (first, second)
        }
    };
    let below = anchors
        .iter()
        .map(|a| read(*a))
        .filter(|a| a.0 <= at + SAME_PLACE)
        .max_by(|a, b| a.0.total_cmp(&b.0));
    let above = anchors
        .iter()
        .map(|a| read(*a))
        .filter(|a| a.0 >= at - SAME_PLACE)
        .min_by(|a, b| a.0.total_cmp(&b.0));
    match (below, above) {
        (Some(low), Some(high)) if high.0 - low.0 > SAME_PLACE => {
            low.1 + (at - low.0) / (high.0 - low.0) * (high.1 - low.1)
        }
        (Some(low), _) => low.1,
        (None, Some(high)) => high.1,
        (None, None) => at,
    }
}

fn crossed(spec: &SeamSpec, a: &SeamNotch, b: &SeamNotch) -> Fault {
    let message = Words::new(format!(
        "seam {}: two notches change places from one side to the other: at ",
        figure::name(&spec.name)
    ))
    .length(a.main.0)
    .text(" and ")
    .length(b.main.0)
    .text(" on the first side, at ")
    .length(a.main.1)
    .text(" and ")
    .length(b.main.1)
    .text(" on the second");
    Fault::error(Code::NotchOffSeam, b.tag, message).and_see(a.tag, Words::new("the other notch"))
}
