//! Which ends of a seam's two sides meet. The draft decides, in this order: `from`; corners, where the edges beside the ends
//! belong together; places named on both sides; finishes. Lengths never do, since they are what is to be proved, nor does
//! the sense in which an outline was drawn.

use super::super::spec::{SeamNotchPlace, SeamPoint, SeamSpec};
use super::rim::End;
use super::side::{Chain, Corner, Ground, Sorting, is_drawn_on, is_on_panel, same};
use super::{After, Decided, SAME_PLACE, Side};
use kurbo::Point;

/// An end of a side.
#[derive(Clone, Copy, Debug)]
pub(super) struct Tip {
    /// The end of the edge that lies there.
    pub(super) corner: Corner,
    /// The edge beyond it, whose end lies there too; none where the side stops within an edge.
    pub(super) beyond: Option<Corner>,
    /// The turn between the two, in degrees.
    pub(super) turn: f64,
    /// The place on the sheet of its side.
    pub(super) place: Point,
}

/// A side with its ends, in either sense.
#[derive(Clone, Debug)]
pub(super) struct Laid {
    pub(super) side: Side,
    pub(super) tips: [Tip; 2],
    /// Where it begins, or the sense of its edges, is not known.
    pub(super) loose: bool,
    /// One edge that ends where it begins.
    pub(super) closed: bool,
}

impl Laid {
    pub(super) fn reversed(&self) -> Laid {
        let [start, end] = self.tips;
        Laid {
            side: self.side.reversed(),
            tips: [end, start],
            loose: self.loose,
            closed: self.closed,
        }
    }
}

/// The ends of a chain; none where it is empty.
pub(super) fn tips(ground: &Ground<'_>, sorting: &Sorting<'_>, chain: &Chain) -> Option<[Tip; 2]> {
    let (first, last) = (chain.steps.first()?, chain.steps.last()?);
    let tip = |node, end| {
        let one = sorting.one(node)?;
        let rim = ground.rims.get(one.piece)?;
        let stretch = rim.linked.get(node.at)?.stretch;
        let edge = ground.pieces.get(one.piece)?.edges.get(one.edge)?;
        let at = match end {
            End::Start => stretch.from,
            End::Finish => stretch.to,
        };
        let (beyond, link) = rim.beyond(node.at, end)?;
        let corner = |edge: usize, end: End| Corner {
            piece: one.piece,
            edge,
            mirrored: one.mirrored,
            end,
        };
        let beyond = rim.linked.get(beyond)?.stretch.edge;
        Some(Tip {
            corner: corner(one.edge, end),
            beyond: Some(corner(beyond, end.other())),
            turn: link.turn,
            place: edge.path.point_at(at).ok()?,
        })
    };
    Some([
        tip(first.node, first.first_end())?,
        tip(last.node, last.last_end())?,
    ])
}

/// Whether a named point is this end.
fn is_at(ground: &Ground<'_>, named: &SeamPoint, tip: &Tip) -> bool {
    let edge = ground
        .pieces
        .get(tip.corner.piece)
        .and_then(|piece| piece.edges.get(tip.corner.edge));
    same(named.point, tip.place)
        && edge.is_some_and(|edge| is_on_panel(ground, named, tip.corner.piece, &edge.line))
}

/// Which of two ends a named point is: the one drawn on its panel before one where it is traced.
pub(super) fn end_named(
    ground: &Ground<'_>,
    named: &SeamPoint,
    tips: &[Tip; 2],
) -> Option<(usize, bool)> {
    let drawn = |tip: &Tip| {
        let piece = ground.pieces.get(tip.corner.piece);
        let edge = piece.and_then(|piece| piece.edges.get(tip.corner.edge));
        edge.is_some_and(|edge| is_drawn_on(ground, named, tip.corner.piece, &edge.line))
    };
    let mut there = tips
        .iter()
        .enumerate()
        .filter(|(_, tip)| is_at(ground, named, tip))
        .map(|(end, tip)| (end, drawn(tip)));
    let first = there.next()?;
    Some(match there.next() {
        Some(second) if second.1 && !first.1 => second,
        _ => first,
    })
}

/// Which starts the draft's `from` names: the end of the first side and of the second.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Starts {
    pub(super) first: Option<usize>,
    pub(super) second: Option<usize>,
}

/// Reads `from`; an error where a point of it is at no end.
pub(super) fn starts<'a>(
    ground: &Ground<'_>,
    from: &'a [SeamPoint],
    first: &Laid,
    second: &Laid,
) -> Result<Starts, &'a SeamPoint> {
    let end = |named: &SeamPoint, laid: &Laid| Some(end_named(ground, named, &laid.tips)?.0);
    let both = |first, second| Starts { first, second };
    match from {
        [] => Ok(Starts::default()),
        [one] => match (end(one, first), end(one, second)) {
            (None, None) => Err(one),
            (a, b) => Ok(both(a, b)),
        },
        [one, other, ..] => {
            let straight = end(one, first).zip(end(other, second));
            let swapped = || end(other, first).zip(end(one, second));
            match straight.or_else(swapped) {
                Some((a, b)) => Ok(both(Some(a), Some(b))),
                None => {
                    let lies = |named| end(named, first).or(end(named, second)).is_some();
                    Err(if lies(one) { other } else { one })
                }
            }
        }
    }
}

/// What the edges beside two ends say of their meeting.
pub(super) struct Evidence<'a> {
    pub(super) ground: &'a Ground<'a>,
    /// The seam that is read.
    pub(super) seam: usize,
}

impl Evidence<'_> {
    /// Whether two ends are a corner together.
    pub(super) fn meets(&self, one: &Tip, other: &Tip) -> bool {
        let (a, b) = (one.corner, other.corner);
        if a.piece == b.piece && a.edge == b.edge && a.end == b.end && a.mirrored != b.mirrored {
            return true;
        }
        let (Some(a), Some(b)) = (one.beyond, other.beyond) else {
            return false;
        };
        (self.is_centre(a) && self.is_centre(b)) || self.together(a, b)
    }

    /// A fold, or an edge that is sewn to its own twin.
    fn is_centre(&self, corner: Corner) -> bool {
        let edge = self.ground.pieces.get(corner.piece);
        let edge = edge.and_then(|piece| piece.edges.get(corner.edge));
        edge.is_some_and(|edge| edge.on_fold)
            || self.others().any(|[first, second]| {
                first.iter().any(|one| {
                    let own = one.piece == corner.piece && one.edge == corner.edge;
                    own && second.iter().any(|twin| {
                        twin.piece == one.piece
                            && twin.edge == one.edge
                            && twin.mirrored != one.mirrored
                    })
                })
            })
    }

    fn others(&self) -> impl Iterator<Item = &[Vec<super::side::Taken>; 2]> {
        let own = self.seam;
        let seams = self.ground.taken.iter().enumerate();
        seams
            .filter(move |(seam, _)| *seam != own)
            .filter_map(|(_, sides)| sides.as_ref())
    }

    /// Whether two edges are sewn to each other, or lie on one side of one seam.
    fn together(&self, a: Corner, b: Corner) -> bool {
        let on = |side: &[super::side::Taken], corner: Corner| {
            let mut own = side
                .iter()
                .filter(|one| one.piece == corner.piece && one.edge == corner.edge);
            own.next().map(|one| one.mirrored != corner.mirrored)
        };
        self.others().any(|[first, second]| {
            let agrees = |x: Option<bool>, y: Option<bool>| x.is_some() && x == y;
            let (a1, a2, b1, b2) = (on(first, a), on(second, a), on(first, b), on(second, b));
            agrees(a1, b1) || agrees(a2, b2) || agrees(a1, b2) || agrees(a2, b1)
        })
    }

    fn finish(&self, tip: &Tip) -> Option<&str> {
        let beyond = tip.beyond?;
        let edge = self
            .ground
            .pieces
            .get(beyond.piece)?
            .edges
            .get(beyond.edge)?;
        let words = edge.finish.as_deref()?.trim();
        (!words.is_empty()).then_some(words)
    }

    /// What corners say: `Some(true)` where both sides run the same way as they lie, `Some(false)` where one is turned
    /// round; an error where they contradict each other.
    pub(super) fn corners(&self, first: &[Tip; 2], second: &[Tip; 2]) -> Result<Option<bool>, ()> {
        let met = first.map(|a| second.map(|b| self.meets(&a, &b)));
        let [[aa, ab], [ba, bb]] = met;
        if !(aa || ab || ba || bb) {
            return Ok(None);
        }
        // Every end that has a partner must come to lie on one.
        let allows = |one: bool, other: bool, crossed: [bool; 2]| {
            let ends = [
                (one, crossed[0]),
                (other, crossed[1]),
                (one, crossed[1]),
                (other, crossed[0]),
            ];
            ends.iter().all(|(own, away)| *own || !*away)
        };
        match (allows(aa, bb, [ab, ba]), allows(ab, ba, [aa, bb])) {
            (true, false) => Ok(Some(true)),
            (false, true) => Ok(Some(false)),
            (true, true) => Ok(None),
            (false, false) => Err(()),
        }
    }

    /// What finishes beside the ends say.
    pub(super) fn finishes(&self, first: &[Tip; 2], second: &[Tip; 2]) -> Option<bool> {
        let a = [self.finish(&first[0]), self.finish(&first[1])];
        let b = [self.finish(&second[0]), self.finish(&second[1])];
        let meets = |i: usize, j: usize| {
            let (one, other) = (a.get(i).copied().flatten(), b.get(j).copied().flatten());
            let away = [
                a.get(1 - i).copied().flatten(),
                b.get(1 - j).copied().flatten(),
            ];
            one.is_some() && one == other && !away.contains(&one)
        };
        let straight = meets(0, 0) || meets(1, 1);
        let crossed = meets(0, 1) || meets(1, 0);
        (straight != crossed).then_some(straight)
    }
}

/// Places named on both sides: each pair's place on the first and the second.
pub(super) fn pairs(
    ground: &Ground<'_>,
    spec: &SeamSpec,
    first: &Side,
    second: &Side,
) -> Vec<(f64, f64)> {
    let notches = spec.notches.iter().filter_map(|notch| match &notch.place {
        SeamNotchPlace::Pair(a, b) => Some((a, b)),
        _ => None,
    });
    let meets = spec.meets.iter().map(|(_, a, b)| (a, b));
    notches
        .chain(meets)
        .filter_map(|(a, b)| pair(ground, a, b, first, second))
        .collect()
}

/// A point of one side and its fellow on the other, named in any order.
pub(super) fn pair(
    ground: &Ground<'_>,
    a: &SeamPoint,
    b: &SeamPoint,
    first: &Side,
    second: &Side,
) -> Option<(f64, f64)> {
    let straight = first.find(ground, a).zip(second.find(ground, b));
    let swapped = || first.find(ground, b).zip(second.find(ground, a));
    straight.or_else(swapped)
}

/// What the order of named places says.
pub(super) fn by_places(pairs: &[(f64, f64)], first: f64, second: f64) -> Option<bool> {
    let end = |at: f64, length: f64| {
        if at <= SAME_PLACE {
            Some(false)
        } else if at >= length - SAME_PLACE {
            Some(true)
        } else {
            None
        }
    };
    let mut said: Vec<bool> = Vec::new();
    for (index, one) in pairs.iter().enumerate() {
        if let (Some(a), Some(b)) = (end(one.0, first), end(one.1, second)) {
            said.push(a == b);
        }
        for other in pairs.iter().skip(index + 1) {
            let (a, b) = (other.0 - one.0, other.1 - one.1);
            if a.abs() > SAME_PLACE && b.abs() > SAME_PLACE {
                said.push(a * b > 0.0);
            }
        }
    }
    let all = |wanted: bool| !said.is_empty() && said.iter().all(|one| *one == wanted);
    if all(true) {
        Some(true)
    } else if all(false) {
        Some(false)
    } else {
        None
    }
}

/// How two sides are read against each other.
pub(super) enum Reading {
    /// Decided: whether the second side keeps the sense in which it lies.
    Decided(Decided, bool),
    /// Nothing decides; no notch or ease needs it.
    Whole,
    /// Nothing decides, or two corners want different readings.
    Unsure {
        /// Corners contradict each other.
        contradiction: bool,
    },
}

/// Reads two sides against each other, `from` aside.
pub(super) fn read(
    evidence: &Evidence<'_>,
    spec: &SeamSpec,
    first: &Laid,
    second: &Laid,
) -> Reading {
    match evidence.corners(&first.tips, &second.tips) {
        Ok(Some(kept)) => return Reading::Decided(Decided::Corner, kept),
        Err(()) => {
            return Reading::Unsure {
                contradiction: true,
            };
        }
        Ok(None) => {}
    }
    let pairs = pairs(evidence.ground, spec, &first.side, &second.side);
    if let Some(kept) = by_places(&pairs, first.side.length, second.side.length) {
        return Reading::Decided(Decided::Places, kept);
    }
    if let Some(kept) = evidence.finishes(&first.tips, &second.tips) {
        return Reading::Decided(Decided::Finish, kept);
    }
    let marked = !spec.notches.is_empty()
        || !spec.eases.is_empty()
        || !spec.meets.is_empty()
        || !spec.openings.is_empty();
    if marked {
        Reading::Unsure {
            contradiction: false,
        }
    } else {
        Reading::Whole
    }
}

/// Puts chains of pieces that no seam joins one behind the other, each with its cloth on the same hand.
pub(super) fn assembled(
    ground: &Ground<'_>,
    sorting: &Sorting<'_>,
    chains: Vec<Chain>,
    from: &[SeamPoint],
) -> (Chain, bool) {
    let mut chains = chains;
    if chains.len() <= 1 {
        return (chains.pop().unwrap_or_default(), false);
    }
    let sense = |chain: &Chain| {
        let step = chain.steps.first()?;
        let mirrored = sorting.one(step.node)?.mirrored;
        Some(step.backward != mirrored)
    };
    let several = |chain: &Chain| {
        let first = chain.steps.first().map(|step| step.node.taken);
        chain
            .steps
            .iter()
            .any(|step| Some(step.node.taken) != first)
    };
    let ends: Vec<Option<[Tip; 2]>> = chains.iter().map(|c| tips(ground, sorting, c)).collect();
    // The sense of a chain of several edges is that in which they are written; else `from` tells it, or edges that touch.
    let mut known: Option<bool> = chains.iter().find(|chain| several(chain)).and_then(sense);
    let only_end = |tips: &[Tip; 2]| {
        let mut named = from
            .iter()
            .filter_map(|named| end_named(ground, named, tips));
        let (end, _) = named.next()?;
        named.all(|(other, _)| other == end).then_some(end)
    };
    let turned = |chain: &Chain, turn: bool| sense(chain).map(|backward| backward != turn);
    if known.is_none()
        && let (Some(first), Some(Some(tips))) = (chains.first(), ends.first())
        && let Some(end) = only_end(tips)
    {
        known = turned(first, end == 1);
    }
    if known.is_none()
        && let (Some(last), Some(Some(tips))) = (chains.last(), ends.last())
        && let Some(end) = only_end(tips)
    {
        known = turned(last, end == 0);
    }
    if known.is_none() {
        let panel = |tip: &Tip| {
            ground
                .pieces
                .get(tip.corner.piece)
                .map(|piece| &piece.panel)
        };
        let touch = |a: &Tip, b: &Tip| same(a.place, b.place) && panel(a) == panel(b);
        let pairs = chains.iter().zip(ends.iter().zip(ends.iter().skip(1)));
        known = pairs.into_iter().find_map(|(chain, (own, next))| {
            let ([start, end], next) = ((*own)?, (*next)?);
            let near = |tip: &Tip| next.iter().any(|other| touch(tip, other));
            (near(&start) != near(&end)).then(|| turned(chain, near(&start)))?
        });
    }
    let loose = known.is_none();
    let wanted = known.unwrap_or(false);
    let mut whole = Chain::default();
    for chain in chains {
        let chain = if sense(&chain) == Some(wanted) {
            chain
        } else {
            chain.reversed()
        };
        let begun = !whole.steps.is_empty();
        whole
            .steps
            .extend(chain.steps.iter().enumerate().map(|(index, step)| {
                let mut step = *step;
                if index == 0 && begun {
                    step.after = After::Apart;
                }
                step
            }));
    }
    (whole, loose)
}
