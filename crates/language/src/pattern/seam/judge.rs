//! The verdict: every section between two places, and the whole, against what its sentences allow.

use super::super::fault::Fault;
use super::super::spec::{Amount, EaseHow, EaseSpec, SeamPlace};
use super::ease::{amount, extent};
use super::flow::{Held, Share, can_be_shared};
use super::places::Walked;
use super::{
    After, Decided, EQUAL, Ease, Interval, SAME_PLACE, Seam, SeamNotch, Section, Side, TOLERANCE,
    ends, outside, told,
};
use crate::report::Severity;

/// A turn of more than this many degrees is a corner.
const CORNER: f64 = 30.0;
/// Sections whose lengths are off by figures nearer than this, in millimetres, are off alike.
const ALIKE: f64 = 0.01;

/// The seam with all that stands on it, judged.
pub(super) fn seam(
    walked: &Walked<'_>,
    decided: Decided,
    index: usize,
    faults: &mut Vec<Fault>,
) -> Seam {
    let spec = walked.spec;
    let (first, second) = (&walked.first.side, &walked.second.side);
    let eases = eases(walked, faults);
    let mut standing = walked.firm(faults);
    let firm = walked.anchors(&standing);
    walked.carry(&eases, &mut standing, faults);
    let anchors = walked.anchors(&standing);
    let tolerances = Tolerances::of(walked, &eases);
    let divided = if decided == Decided::Unsure {
        Vec::new()
    } else {
        sections(&anchors, &eases, &standing.openings, &tolerances)
    };
    standing.places.sort_by(|a, b| a.at.0.total_cmp(&b.at.0));
    let wanted = eases.iter().fold((0.0, 0.0), |(least, most), ease| {
        let (low, high) = ease.signed();
        (least + low, most + high)
    });
    let mut seam = Seam {
        tag: spec.tag,
        name: spec.name.clone(),
        sewn: spec.sewn,
        first: first.clone(),
        second: second.clone(),
        decided,
        wanted,
        tolerance: tolerances.whole,
        intervals: intervals(&standing.notches, first, second),
        notches: standing.notches,
        places: standing.places,
        sections: divided,
        eases,
        openings: standing.openings,
        ends: Vec::new(),
        ok: true,
    };
    // A seam of which a sentence could not be read, or a place not be found, is not judged.
    let wrong = |faults: &[Fault]| faults.iter().any(|fault| fault.severity == Severity::Error);
    if decided != Decided::Unsure && !spec.is_broken && !wrong(faults) {
        unpaired(walked, &firm, faults);
        // What is carried divides a difference; between places that stand firm it is whole.
        let whole = sections(&firm, &seam.eases, &[], &tolerances);
        fits(&seam, walked, &whole, &tolerances, faults);
    }
    seam.ends = ends::of(walked, &seam, index, faults);
    if seam.ends_known() {
        faults.extend(told::wrong_side_up(walked, &seam));
    }
    seam.ok = !spec.is_broken && !wrong(faults);
    seam
}

/// The lengths of the sections on either side, for two readings to be held against each other.
pub(super) fn lengths(walked: &Walked<'_>) -> Vec<(f64, f64)> {
    let mut aside = Vec::new();
    let eases = eases(walked, &mut aside);
    let mut standing = walked.firm(&mut aside);
    walked.carry(&eases, &mut standing, &mut aside);
    let tolerances = Tolerances::of(walked, &eases);
    let anchors = walked.anchors(&standing);
    sections(&anchors, &eases, &[], &tolerances)
        .iter()
        .map(|section| section.between.lengths())
        .collect()
}

struct Tolerances {
    /// Of a section that no range of ease rules.
    section: f64,
    /// What may pass on the whole seam, in millimetres.
    whole: f64,
    /// The draft states it; it is not the trade's.
    said: bool,
}

impl Tolerances {
    fn of(walked: &Walked<'_>, eases: &[Ease]) -> Self {
        let ranges = !eases.is_empty() && eases.iter().all(|ease| !ease.is_exact());
        let usual = if ranges { EQUAL } else { TOLERANCE };
        Self {
            section: walked.spec.tolerance.unwrap_or(TOLERANCE),
            whole: walked.spec.tolerance.unwrap_or(usual),
            said: walked.spec.tolerance.is_some(),
        }
    }
}

fn eases(walked: &Walked<'_>, faults: &mut Vec<Fault>) -> Vec<Ease> {
    let mut found = Vec::new();
    for spec in &walked.spec.eases {
        match ease(walked, spec) {
            Ok(ease) => found.push(ease),
            Err(fault) => faults.push(*fault),
        }
    }
    found
}

fn ease(walked: &Walked<'_>, spec: &EaseSpec) -> Result<Ease, Box<Fault>> {
    let on_first = extent(walked.ground, spec, &walked.first.side);
    let (laid, whole, on_first) = match on_first {
        Some(whole) => (walked.first, whole, true),
        None => {
            let whole = extent(walked.ground, spec, &walked.second.side);
            let whole = whole.ok_or_else(|| Box::new(told::ease_astray(walked, spec)))?;
            (walked.second, whole, false)
        }
    };
    let mut spans = whole.clone();
    if let Some((a, b)) = &spec.between {
        let place = |place: &SeamPlace| {
            let at = match place {
                SeamPlace::At(point) => laid.side.find(walked.ground, point),
                SeamPlace::Measured { far, from } => {
                    let end = laid.side.find(walked.ground, from);
                    let of_edge = end.and_then(|end| measured(&whole, end, *far));
                    of_edge.or_else(|| walked.off_end(laid, *far, from))
                }
            };
            let on = |at: &f64| {
                let mut spans = whole.iter();
                spans.any(|(from, to)| (*from - SAME_PLACE..=*to + SAME_PLACE).contains(at))
            };
            at.filter(on)
                .ok_or_else(|| Box::new(told::between_astray(walked, spec, place.point())))
        };
        let (a, b) = (place(a)?, place(b)?);
        let (from, to) = (a.min(b), a.max(b));
        spans = spans
            .into_iter()
            .map(|(a, b)| (a.max(from), b.min(to)))
            .filter(|(a, b)| b - a > SAME_PLACE)
            .collect();
    }
    let length: f64 = spans.iter().map(|(a, b)| b - a).sum();
    let (low, high) = (
        amount(spec.how, spec.low, length),
        amount(spec.how, spec.high, length),
    );
    let sensible = match (spec.low, spec.high) {
        (Amount::Ratio(a), Amount::Ratio(b)) => a >= 1.0 && b >= 1.0,
        _ => low >= 0.0 && high >= 0.0,
    };
    if !sensible || !low.is_finite() || !high.is_finite() {
        return Err(Box::new(told::ease_less(walked, spec)));
    }
    let ratio = match (spec.low, spec.high) {
        (Amount::Ratio(a), Amount::Ratio(b)) => Some((a.min(b), a.max(b))),
        _ => None,
    };
    let edges = laid.side.edges.iter().filter(|edge| {
        let end = edge.from + edge.length;
        whole
            .iter()
            .any(|(a, b)| edge.from >= a - SAME_PLACE && end <= b + SAME_PLACE)
    });
    let mut edges: Vec<String> = edges.map(super::SideEdge::spoken).collect();
    edges.dedup();
    Ok(Ease {
        tag: spec.tag,
        how: spec.how,
        on_first,
        spans,
        least: low.min(high),
        most: low.max(high),
        ratio,
        placed: spec.between.is_some(),
        edges: crate::voice::list(&edges),
    })
}

/// So far along from an end of the edges themselves.
fn measured(whole: &[(f64, f64)], end: f64, far: f64) -> Option<f64> {
    let (first, last) = (whole.first()?.0, whole.last()?.1);
    if (end - first).abs() <= SAME_PLACE {
        Some(first + far)
    } else if (end - last).abs() <= SAME_PLACE {
        Some(last - far)
    } else {
        None
    }
}

fn sections(
    anchors: &[(f64, f64)],
    eases: &[Ease],
    openings: &[super::Opening],
    tolerances: &Tolerances,
) -> Vec<Section> {
    let mut between: Vec<Interval> = Vec::new();
    let mut from = (0.0, 0.0);
    for to in anchors.iter().copied() {
        if to.0 - from.0 > EQUAL || to.1 - from.1 > EQUAL {
            between.push(Interval { from, to });
            from = to;
        }
    }
    let touched: Vec<Vec<usize>> = eases.iter().map(|ease| touched(ease, &between)).collect();
    let mut found = Vec::with_capacity(between.len());
    for (index, one) in between.iter().enumerate() {
        let mut wanted = (0.0, 0.0);
        let mut ranges = !eases.is_empty();
        let mut any = false;
        for (ease, touched) in eases.iter().zip(&touched) {
            if !touched.contains(&index) {
                continue;
            }
            any = true;
            let alone = touched.len() == 1;
            ranges &= alone && !ease.is_exact();
            let least = if alone { ease.least } else { 0.0 };
            if ease.lengthens_first() {
                wanted = (wanted.0 + least, wanted.1 + ease.most);
            } else {
                wanted = (wanted.0 - ease.most, wanted.1 - least);
            }
        }
        let mut section = Section {
            between: *one,
            wanted,
            tolerance: tolerances.of_section(any && ranges),
            open: openings.iter().any(|opening| {
                opening.holds(one.from.0, one.to.0, true)
                    && opening.holds(one.from.1, one.to.1, false)
            }),
            ok: false,
        };
        section.ok = section.is_fit();
        found.push(section);
    }
    found
}

impl Tolerances {
    /// A range is kept to what counts as equal, unless the draft gives a tolerance.
    fn of_section(&self, ranges: bool) -> f64 {
        if ranges && !self.said {
            EQUAL
        } else {
            self.section
        }
    }
}

/// The sections that an ease may lie in.
fn touched(ease: &Ease, sections: &[Interval]) -> Vec<usize> {
    let touches = |one: &Interval| {
        if ease.on_first {
            ease.touches(one.from.0, one.to.0)
        } else {
            ease.touches(one.from.1, one.to.1)
        }
    };
    let all = sections.iter().enumerate();
    all.filter(|(_, one)| touches(one))
        .map(|(index, _)| index)
        .collect()
}

fn fits(
    seam: &Seam,
    walked: &Walked<'_>,
    whole: &[Section],
    tolerances: &Tolerances,
    faults: &mut Vec<Fault>,
) {
    let on_pieces = |mut fault: Fault| {
        for (tag, words) in &walked.spec.last_changed {
            fault = fault.see(*tag, words.clone());
        }
        told::on_pieces(fault, [&seam.first, &seam.second])
    };
    if seam.excess().abs() > tolerances.whole {
        faults.push(on_pieces(told::differs(seam)));
        return;
    }
    let all = seam.sections.iter().chain(whole);
    let off = |one: &Section| outside(one.between.ease(), one.wanted).abs();
    let wrong: Vec<&Section> = all.filter(|section| !section.ok).collect();
    let most = wrong.iter().map(|one| off(one)).fold(0.0, f64::max);
    // Of sections that are off alike the last is told, whatever their last digits.
    let worst = wrong.iter().rev().find(|one| off(one) > most - ALIKE);
    if let Some(section) = worst {
        faults.push(on_pieces(told::section(seam, section, walked)));
        return;
    }
    let between: Vec<Interval> = seam.sections.iter().map(|one| one.between).collect();
    let held: Vec<Held> = between
        .iter()
        .map(|one| {
            let slack = tolerances.section;
            (one.ease() - slack, one.ease() + slack)
        })
        .collect();
    let shares: Vec<Share> = seam
        .eases
        .iter()
        .map(|ease| Share {
            least: ease.least,
            most: ease.most,
            lengthens_first: ease.lengthens_first(),
            sections: touched(ease, &between),
        })
        .collect();
    if !shares.is_empty() && !can_be_shared(&held, &shares) {
        faults.push(on_pieces(told::not_shared(seam)));
    }
}

/// Corners of one side that nothing says the place of on the other.
fn unpaired(walked: &Walked<'_>, firm: &[(f64, f64)], faults: &mut Vec<Fault>) {
    let spec = walked.spec;
    let named: Vec<(f64, f64)> = {
        let mut named = firm.to_vec();
        let lies = |point| {
            let on_first = walked.first.side.find(walked.ground, point);
            let on_second = walked.second.side.find(walked.ground, point);
            (on_first.unwrap_or(f64::NAN), on_second.unwrap_or(f64::NAN))
        };
        named.extend(spec.notches.iter().filter_map(|notch| match &notch.place {
            super::super::spec::SeamNotchPlace::One(point) => Some(lies(point)),
            _ => None,
        }));
        named
    };
    let corners = |side: &Side, second: bool| -> Vec<(f64, f64)> {
        let edges = side.edges.iter().skip(1);
        let touching = edges.filter(|edge| {
            matches!(
                edge.after,
                After::Touch | After::Dart | After::Pleat | After::Seam
            ) && edge.turn.abs() > CORNER
        });
        touching
            .map(|edge| (edge.from, edge.turn))
            .filter(|(at, _)| {
                !named.iter().any(|place| {
                    let own = if second { place.1 } else { place.0 };
                    (own - at).abs() <= SAME_PLACE
                })
            })
            .collect()
    };
    let (on_first, on_second) = (
        corners(&walked.first.side, false),
        corners(&walked.second.side, true),
    );
    let joints = spec
        .notches
        .iter()
        .any(|notch| matches!(notch.place, super::super::spec::SeamNotchPlace::Joints));
    for (at, turn) in &on_first {
        // A joint that is carried over is a partner where the other side has no corner of its own there.
        let away = others(firm, *at, false, &on_second);
        if !joints || !away.is_empty() {
            faults.push(told::unpaired(walked, true, *at, *turn, &away));
        }
    }
    for (at, turn) in &on_second {
        let away = others(firm, *at, true, &on_first);
        if !joints && away.is_empty() {
            faults.push(told::unpaired(walked, false, *at, *turn, &away));
        }
    }
}

/// Corners of the other side in the section in which a corner lies.
fn others(firm: &[(f64, f64)], at: f64, of_second: bool, away: &[(f64, f64)]) -> Vec<f64> {
    let own = |place: &(f64, f64)| if of_second { place.1 } else { place.0 };
    let far = |place: &(f64, f64)| if of_second { place.0 } else { place.1 };
    let before = firm.iter().rfind(|place| own(place) <= at).map(far);
    let after = firm.iter().find(|place| own(place) >= at).map(far);
    let (before, after) = (before.unwrap_or(0.0), after.unwrap_or(f64::INFINITY));
    let inside = away.iter().map(|(place, _)| *place);
    inside
        .filter(|place| *place > before + SAME_PLACE && *place < after - SAME_PLACE)
        .collect()
}

fn intervals(notches: &[SeamNotch], first: &Side, second: &Side) -> Vec<Interval> {
    let mut stops: Vec<(f64, f64)> = notches.iter().map(|notch| notch.main).collect();
    stops.push((first.length, second.length));
    let mut from = (0.0, 0.0);
    let mut found = Vec::new();
    for to in stops {
        if to.0 - from.0 > EQUAL || to.1 - from.1 > EQUAL {
            found.push(Interval { from, to });
            from = to;
        }
    }
    found
}

/// Whether an ease is gathered, for those who draw it.
impl Ease {
    /// As people are told it: `eased 5 mm`, `gathered 1.5 to 1`.
    pub fn done(&self) -> &'static str {
        match self.how {
            EaseHow::Ease => "eased",
            EaseHow::Gather => "gathered",
            EaseHow::Stretch => "stretched",
        }
    }
}
