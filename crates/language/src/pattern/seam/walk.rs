//! The walk of all seams: those first whose reading others need, each side put in order, opened, stopped and turned so that
//! both begin at ends that meet.

use super::super::fault::Fault;
use super::super::piece::Piece;
use super::super::spec::{Drawn, SeamPoint, SeamSpec, SideSpec};
use super::places::Walked;
use super::reading::{self, Evidence, Laid, Reading, Tip};
use super::rim::Rim;
use super::side::{self, Chain, Corner, Ground, Sorting};
use super::{After, Alone, Decided, SAME_PLACE, Seam, Side, alone, judge, told};
use crate::report::Severity;
use oaktag_geometry::path::Path;

/// Walks all seams of a draft over its pieces. A seam that a line of it keeps from being walked is told and left out; what
/// is known of it by the one side that is here comes beside.
pub(crate) fn walk_all(
    drawn: &Drawn,
    pieces: &mut [Piece],
    faults: &mut Vec<Fault>,
) -> (Vec<Seam>, Vec<Alone>) {
    let rims: Vec<Rim> = pieces.iter().map(Rim::of).collect();
    for (piece, rim) in pieces.iter_mut().zip(&rims) {
        for at in &rim.pleated {
            if let Some(edge) = piece.edges.get_mut(*at) {
                edge.pleated = !edge.on_fold;
            }
        }
    }
    let pieces: &[Piece] = pieces;
    let mut ground = Ground {
        pieces,
        rims,
        values: &drawn.values,
        taken: Vec::new(),
        corners: vec![None; drawn.seams.len()],
    };
    let mut single: Vec<Option<Vec<side::Taken>>> = Vec::new();
    for spec in &drawn.seams {
        let rims = std::mem::take(&mut ground.rims);
        let mut of = |side: &SideSpec| side::taken(spec, &side.edges, pieces, &rims, faults);
        let (first, second) = (of(&spec.first), of(&spec.second));
        ground.rims = rims;
        let one = match (&first, &second) {
            (Some(side), None) | (None, Some(side)) => Some(side.clone()),
            _ => None,
        };
        single.push(one);
        ground.taken.push(first.zip(second).map(|(a, b)| [a, b]));
    }
    let mut walked: Vec<Option<(Seam, Vec<Fault>)>> = Vec::new();
    walked.resize_with(drawn.seams.len(), || None);
    // Seams that wait for each other are walked all the same, one at a time.
    let mut forced = false;
    loop {
        let (mut moved, mut waits) = (false, false);
        for (index, spec) in drawn.seams.iter().enumerate() {
            let done = walked.get(index).is_some_and(Option::is_some);
            let Some(Some(sides)) = ground.taken.get(index) else {
                continue;
            };
            if done {
                continue;
            }
            let waiting = |taken: &Vec<side::Taken>| Sorting::new(&ground, index, taken).needs();
            if !forced && sides.iter().any(waiting) {
                waits = true;
                continue;
            }
            (moved, forced) = (true, false);
            let mut told = Vec::new();
            let walk = Walk {
                ground: &ground,
                index,
                spec,
            };
            let Some((seam, corners)) = walk.walk(sides, &mut told) else {
                faults.extend(told);
                if let Some(place) = ground.taken.get_mut(index) {
                    *place = None;
                }
                continue;
            };
            if let Some(place) = ground.corners.get_mut(index) {
                *place = corners;
            }
            if let Some(place) = walked.get_mut(index) {
                *place = Some((seam, told));
            }
        }
        if !waits {
            break;
        }
        forced = !moved;
    }
    let mut seams = Vec::new();
    for (seam, told) in walked.into_iter().flatten() {
        seams.push(seam);
        faults.extend(told);
    }
    let specs = drawn.seams.iter().zip(&single).enumerate();
    let alone = specs
        .filter_map(|(index, (spec, side))| alone::alone(&ground, index, spec, side.as_deref()?));
    (seams, alone.collect())
}

/// One seam being walked.
pub(super) struct Walk<'a> {
    pub(super) ground: &'a Ground<'a>,
    pub(super) index: usize,
    pub(super) spec: &'a SeamSpec,
}

type Corners = Option<[(Corner, Corner); 2]>;

impl Walk<'_> {
    fn walk(
        &self,
        [first, second]: &[Vec<side::Taken>; 2],
        faults: &mut Vec<Fault>,
    ) -> Option<(Seam, Corners)> {
        let a = Sorting::new(self.ground, self.index, first);
        let b = Sorting::new(self.ground, self.index, second);
        let (first, loose_a) = self.chain(&a, faults)?;
        let (second, loose_b) = self.chain(&b, faults)?;
        let (opened, sure_a) = self.opened(&a, &first, &b, &second);
        let (second, sure_b) = self.opened(&b, &second, &a, &first);
        let mut first = self.laid(&a, &opened, loose_a || !sure_a)?;
        let mut second = self.laid(&b, &second, loose_b || !sure_b)?;
        let sure = self.stopped(&mut first, &mut second, faults);
        let (decided, first, second) = self.oriented(first, second, sure, faults);
        let known = !matches!(decided, Decided::Whole | Decided::Unsure);
        let met = |end: usize| Some((first.tips.get(end)?.corner, second.tips.get(end)?.corner));
        let corners = met(0).zip(met(1)).map(|(start, end)| [start, end]);
        let walked = Walked {
            ground: self.ground,
            spec: self.spec,
            first: &first,
            second: &second,
            ends_known: known,
        };
        let seam = judge::seam(&walked, decided, self.index, faults);
        Some((seam, corners.filter(|_| known)))
    }

    /// The edges of a side in one chain; `true` where the sense of single edges in it is not known.
    fn chain(&self, sorting: &Sorting<'_>, faults: &mut Vec<Fault>) -> Option<(Chain, bool)> {
        let chains = sorting.chains();
        if let Some((one, other)) = sorting.gap(&chains) {
            faults.push(told::apart(self.spec, sorting, one, other));
            return None;
        }
        Some(reading::assembled(
            self.ground,
            sorting,
            chains,
            &self.spec.from,
        ))
    }

    fn evidence(&self) -> Evidence<'_> {
        Evidence {
            ground: self.ground,
            seam: self.index,
        }
    }

    /// Which of two ends `from` names, and whether by a point that is drawn there, not only traced.
    fn named(&self, tips: &[Tip; 2]) -> impl Iterator<Item = (usize, bool)> {
        let from = self.spec.from.iter();
        from.filter_map(|point| reading::end_named(self.ground, point, tips))
    }

    /// A ring opened where the draft begins it; with it, whether that is certain. An edge that is closed by itself stays.
    fn opened(
        &self,
        own: &Sorting<'_>,
        chain: &Chain,
        away: &Sorting<'_>,
        other: &Chain,
    ) -> (Chain, bool) {
        if chain.ring.is_none() || chain.is_closed_edge() {
            return (chain.clone(), true);
        }
        let count = chain.steps.len();
        let tips = |first: usize| reading::tips(self.ground, own, &chain.begun_at(first));
        // Panels drawn alike have the same points at the same places: that of its own panel is meant.
        let begun_by = |drawn: bool| {
            (0..count).find(|first| {
                let tips = tips(*first);
                tips.is_some_and(|tips| self.named(&tips).any(|(_, own)| own || !drawn))
            })
        };
        let named = begun_by(true).or_else(|| begun_by(false));
        let mut written: Vec<usize> = chain.steps.iter().map(|s| s.node.taken).collect();
        let begins = written.iter().enumerate().min_by_key(|(_, taken)| **taken);
        let begins = begins.map_or(0, |(index, _)| index);
        written.sort_unstable();
        written.dedup();
        // The first that is written follows the last across a seam, not where they touch on one piece.
        let across = |first: &usize| {
            let ring = chain.begun_at(*first).ring;
            ring.is_some_and(|ring| ring.0 == After::Seam)
        };
        let mut joints = (0..count).filter(across);
        let only_joint = joints.next().filter(|_| joints.next().is_none());
        let last = written.last();
        let last_to_first = (0..count).find(|first| {
            let steps = chain.begun_at(*first).steps;
            let ends = [steps.first(), steps.last()].map(|step| step.map(|step| step.node.taken));
            let [a, b] = ends;
            (a.min(b), a.max(b)) == (written.first().copied(), last.copied())
        });
        let by_list = match written.len() {
            1 => Some(begins),
            2 => only_joint,
            _ => last_to_first
                .filter(across)
                .or(only_joint)
                .or(last_to_first),
        };
        let evidence = self.evidence();
        // Each end of the other side, or each joint of another ring.
        let others: Vec<Tip> = (0..other.steps.len())
            .filter(|first| *first == 0 || other.ring.is_some())
            .filter_map(|first| reading::tips(self.ground, away, &other.begun_at(first)))
            .flatten()
            .collect();
        let by_corner = || {
            let mut found = (0..count).filter(|first| {
                let meets = |a: &Tip| others.iter().any(|b| evidence.meets(a, b));
                tips(*first).is_some_and(|tips| tips.iter().any(meets))
            });
            let first = found.next()?;
            found.next().is_none().then_some(first)
        };
        let first = named.or(by_list).or_else(by_corner);
        let begun = chain.begun_at(first.unwrap_or(begins));
        (begun, first.is_some())
    }

    fn laid(&self, sorting: &Sorting<'_>, chain: &Chain, loose: bool) -> Option<Laid> {
        let mut side = sorting.side(chain);
        let mut tips = reading::tips(self.ground, sorting, chain)?;
        let closed = chain.is_closed_edge();
        if closed {
            let named = self.spec.from.iter();
            let start = named.filter_map(|point| Some((point, side.find(self.ground, point)?)));
            if let Some((point, at)) = start.into_iter().next() {
                side = begun_at(side, at);
                for tip in &mut tips {
                    tip.place = point.point;
                }
            }
            for tip in &mut tips {
                tip.beyond = None;
            }
        }
        (!side.edges.is_empty()).then_some(Laid {
            side,
            tips,
            loose,
            closed,
        })
    }

    /// Stops either side at its `until`; `false` where it is not known which part is meant.
    fn stopped(&self, first: &mut Laid, second: &mut Laid, faults: &mut Vec<Fault>) -> bool {
        let mut sure = self.stop(&self.spec.first, first, second, faults);
        sure &= self.stop(&self.spec.second, second, first, faults);
        sure
    }

    fn stop(&self, spec: &SideSpec, own: &mut Laid, other: &Laid, faults: &mut Vec<Fault>) -> bool {
        let Some(until) = &spec.until else {
            return true;
        };
        let Some(at) = own.side.find(self.ground, until) else {
            faults.push(told::stops_off(self.spec, &own.side, until));
            return false;
        };
        if at <= SAME_PLACE || at >= own.side.length - SAME_PLACE {
            return true;
        }
        let kept = self.kept(own, other, at);
        let keeps_start = kept.unwrap_or(true);
        own.side = own.side.cut(at, keeps_start);
        let edge = if keeps_start {
            own.side.edges.last()
        } else {
            own.side.edges.first()
        };
        if let (Some(tip), Some(edge)) = (own.tips.get_mut(usize::from(keeps_start)), edge) {
            tip.beyond = None;
            tip.place = until.point;
            (tip.corner.piece, tip.corner.edge) = edge.at;
            tip.corner.mirrored = edge.mirrored;
        }
        kept.is_some()
    }

    /// Which part of a side that stops at a length is meant: that before it, or that behind it.
    fn kept(&self, own: &Laid, other: &Laid, at: f64) -> Option<bool> {
        let [start, end] = &own.tips;
        let one = |start: bool, end: bool| (start != end).then_some(start);
        let count = |side: &Side| {
            let mut edges: Vec<(usize, usize)> = side.edges.iter().map(|edge| edge.at).collect();
            edges.dedup();
            edges.len()
        };
        let all = count(&own.side);
        let whole = |keeps_start: bool| count(&own.side.cut(at, keeps_start)) == all;
        let evidence = self.evidence();
        let meets = |tip: &Tip| other.tips.iter().any(|away| evidence.meets(tip, away));
        let named = |end: usize| self.named(&own.tips).any(|(at, _)| at == end);
        one(named(0), named(1))
            .or_else(|| (all > 1).then(|| one(whole(true), whole(false))).flatten())
            .or_else(|| one(meets(start), meets(end)))
    }

    /// Both sides so that they are walked from ends that meet.
    fn oriented(
        &self,
        first: Laid,
        second: Laid,
        sure: bool,
        faults: &mut Vec<Fault>,
    ) -> (Decided, Laid, Laid) {
        let (a, b) = (&first, &second);
        let starts = match reading::starts(self.ground, &self.spec.from, a, b) {
            Ok(starts) => starts,
            Err(named) => {
                faults.push(told::start(self, named, [a, b]));
                return (Decided::Unsure, first, second);
            }
        };
        let turned = |laid: Laid, turn: bool| if turn { laid.reversed() } else { laid };
        if first.closed || second.closed {
            let way = |laid: &Laid, start: Option<usize>| {
                if laid.closed {
                    self.toward(laid)
                } else {
                    start.map(|start| start == 1)
                }
            };
            if let (Some(a), Some(b), true) = (way(a, starts.first), way(b, starts.second), sure) {
                return (Decided::From, turned(first, a), turned(second, b));
            }
        } else if let (Some(a), Some(b), true) = (starts.first, starts.second, sure) {
            return (Decided::From, turned(first, a == 1), turned(second, b == 1));
        }
        let loose = (a.loose && starts.first.is_none()) || (b.loose && starts.second.is_none());
        let read = reading::read(&self.evidence(), self.spec, a, b);
        let (decided, kept) = match read {
            Reading::Decided(decided, kept) if sure && !loose => (decided, kept),
            Reading::Whole if sure => (Decided::Whole, true),
            read => {
                let contradiction = matches!(
                    read,
                    Reading::Unsure {
                        contradiction: true
                    }
                );
                // What stands in its way may have been told already.
                if !faults.iter().any(|fault| fault.severity == Severity::Error) {
                    faults.push(told::unsure(self, a, b, contradiction));
                }
                (Decided::Unsure, !matches!(read, Reading::Decided(_, false)))
            }
        };
        let (first_turned, second_turned) = match (starts.first, starts.second) {
            (Some(a), _) => (a == 1, (a == 1) == kept),
            (None, Some(b)) => ((b == 1) == kept, b == 1),
            (None, None) => (false, !kept),
        };
        (
            decided,
            turned(first, first_turned),
            turned(second, second_turned),
        )
    }

    /// Whether a closed edge is to be turned so that it goes first toward a point that the draft names.
    fn toward(&self, laid: &Laid) -> Option<bool> {
        let mut points = self.spec.toward.iter();
        let at = points.find_map(|point: &SeamPoint| laid.side.find(self.ground, point))?;
        Some(at > laid.side.length / 2.0)
    }
}

/// A closed edge begun at a length along it.
fn begun_at(mut side: Side, at: f64) -> Side {
    if let Some(edge) = side.edges.first_mut()
        && at > SAME_PLACE
        && at < edge.length - SAME_PLACE
        && let (Ok(rest), Ok(before)) = (
            edge.path.part_between(at, edge.length),
            edge.path.part_between(0.0, at),
        )
        && let Ok(path) = Path::joined(&[rest, before])
    {
        edge.path = path;
        edge.along = if edge.along.1 >= edge.along.0 {
            (at, at + edge.length)
        } else {
            (edge.length - at, -at)
        };
    }
    side
}

impl Chain {
    /// One edge that ends where it begins on its own piece.
    fn is_closed_edge(&self) -> bool {
        let [step] = self.steps.as_slice() else {
            return false;
        };
        let _ = step;
        matches!(self.ring, Some((After::Touch, _)))
    }
}
