//! What the cloth and a draft's words make known: which edges a side has, what lies beside its ends, and hence what rule 2
//! of the walk decides. Nothing here has seen the walker.

use crate::build::{Kind, Piece};
use crate::plan::{Centre, From, Item, Plan, Words};
use kurbo::ParamCurve;

/// An edge of a side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SideEdge {
    pub face: usize,
    pub edge: usize,
    pub mirrored: bool,
    /// Where it begins and ends along the uncut seam.
    pub low: f64,
    pub high: f64,
    pub over: bool,
}

/// What decides which ends of a seam meet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Decided {
    From,
    Corner,
    Places,
    Finish,
    Whole,
    Unsure,
}

/// How the line beside a seam's end runs on over it.
#[derive(Clone, Debug)]
pub struct RunsOn {
    /// The two edges beside the end, by face.
    pub edges: [(usize, usize); 2],
    /// The angle between them as sewn, in degrees; 180 is straight on.
    pub angle: f64,
}

/// What must be found of a seam.
#[derive(Clone, Debug)]
pub struct Expected {
    pub decided: Decided,
    /// The reading found is the wrong one.
    pub crossed: bool,
    /// The table of corners leaves room for another opinion.
    pub vague: bool,
    pub runs_on: Vec<RunsOn>,
}

/// Both sides of every seam, low end first.
pub fn sides(plan: &Plan, pieces: &[Piece]) -> Vec<[Vec<SideEdge>; 2]> {
    let all = 0..plan.seams.len();
    all.map(|seam| [side(plan, pieces, seam, 0), side(plan, pieces, seam, 1)])
        .collect()
}

fn side(plan: &Plan, pieces: &[Piece], seam: usize, side: usize) -> Vec<SideEdge> {
    let seam = &plan.seams[seam];
    let on = if seam.twin.is_some() { 0 } else { side };
    let mut found = Vec::new();
    for (n, leg) in seam.legs_of(on).iter().enumerate() {
        let way = (leg.to - leg.from).signum() * if on == 0 { 1.0 } else { -1.0 };
        let (low, high) = (leg.from.min(leg.to) - 1e-6, leg.from.max(leg.to) + 1e-6);
        for (face, piece) in pieces.iter().enumerate() {
            let spans = &plan.cloth.faces[face];
            let facing = |span: &crate::cloth::Span| {
                span.line == leg.line && (span.to - span.from).signum() == way
            };
            if !spans.iter().any(facing) {
                continue;
            }
            for (index, edge) in piece.edges.iter().enumerate() {
                let ends = [edge.from, edge.to];
                let within = ends.iter().all(|s| *s > low && *s < high);
                if edge.line != leg.line || !within || edge.kind == Kind::Take {
                    continue;
                }
                let over = edge.kind == Kind::Over;
                let bases = ends.map(|s| seam.base(on, n, s));
                found.push(SideEdge {
                    face,
                    edge: index,
                    mirrored: seam.twin.is_some() && side == 1,
                    low: bases[0].min(bases[1]),
                    high: bases[0].max(bases[1]),
                    over,
                });
            }
        }
    }
    found.sort_by(|a, b| (a.low + a.high).total_cmp(&(b.low + b.high)));
    found
}

/// An end of a side: the edge there, and the edge beside it on its piece.
#[derive(Clone, Copy, Debug)]
struct End {
    face: usize,
    own: usize,
    beside: Option<usize>,
    /// The side stops within its edge there.
    within: bool,
}

struct Table<'a> {
    plan: &'a Plan,
    pieces: &'a [Piece],
    sides: &'a [[Vec<SideEdge>; 2]],
}

/// What rule 2 makes of every seam.
pub fn expected(plan: &Plan, pieces: &[Piece], sides: &[[Vec<SideEdge>; 2]]) -> Vec<Expected> {
    let table = Table {
        plan,
        pieces,
        sides,
    };
    (0..plan.seams.len()).map(|seam| table.seam(seam)).collect()
}

/// Whether some seam's ends cannot be told apart, as both end on one side of another, or some piece could be turned round
/// between the only two seams that it has.
pub fn has_bite(plan: &Plan, pieces: &[Piece], sides: &[[Vec<SideEdge>; 2]]) -> bool {
    let table = Table {
        plan,
        pieces,
        sides,
    };
    (0..plan.seams.len()).any(|seam| plan.seams[seam].twin.is_none() && table.is_bite(seam))
        || (0..pieces.len()).any(|face| table.is_lens(face))
}

impl Table<'_> {
    fn seam(&self, index: usize) -> Expected {
        let seam = &self.plan.seams[index];
        let found = |decided, crossed| Expected {
            decided,
            crossed,
            vague: false,
            runs_on: self.runs_on(index),
        };
        match seam.from {
            From::Both => return found(Decided::From, false),
            From::Wrong => return found(Decided::From, true),
            // A point of the panel on which both lie may be an end of both.
            From::First | From::Second if self.start_of_both(index) => {
                return found(Decided::From, false);
            }
            _ => {}
        }
        let mut vague = seam.twin.is_some();
        let (plain, crossed) = self.corners(index, &mut vague);
        let by_corner = plain != crossed;
        let mut expected = if by_corner {
            found(Decided::Corner, crossed)
        } else if let Some(crossed) = self.places(index) {
            found(Decided::Places, crossed)
        } else if let Some(crossed) = self.finishes(index, &mut vague) {
            found(Decided::Finish, crossed)
        } else if seam.items.iter().any(is_inside) {
            found(Decided::Unsure, false)
        } else {
            found(Decided::Whole, false)
        };
        expected.vague = vague;
        expected
    }

    fn ends(&self, index: usize) -> [[End; 2]; 2] {
        let end = |side: usize, high: bool| {
            let edges = &self.sides[index][side];
            let mut named = edges.iter().filter(|edge| !edge.over);
            let edge = if high {
                named.next_back()
            } else {
                named.next()
            };
            let edge = edge.expect("a side has an edge");
            let count = self.pieces[edge.face].edges.len();
            // Left sides run round their pieces as the seam runs, right sides against it.
            let on = if self.plan.seams[index].twin.is_some() {
                0
            } else {
                side
            };
            let next = (on == 0) == high;
            let beside = if next {
                edge.edge + 1
            } else {
                edge.edge + count - 1
            } % count;
            let within = self.plan.seams[index].items.iter().any(
                |item| matches!(item, Item::Until { side: at, high: end, .. } if *at == side && *end == high),
            );
            End {
                face: edge.face,
                own: edge.edge,
                beside: (beside != edge.edge).then_some(beside),
                within,
            }
        };
        [0, 1].map(|side| [end(side, false), end(side, true)])
    }

    /// Where both sides end at a corner of their pieces, and what the two corners come to.
    fn runs_on(&self, index: usize) -> Vec<RunsOn> {
        let ends = self.ends(index);
        let inside = |end: &End| {
            let (beside, own) = (end.beside?, end.own);
            let piece = &self.pieces[end.face];
            let first = if (own + 1) % piece.edges.len() == beside {
                own
            } else {
                beside
            };
            (!end.within).then(|| piece.inside_after(first)).flatten()
        };
        (0..2)
            .filter_map(|end| {
                let (one, other) = (&ends[0][end], &ends[1][end]);
                Some(RunsOn {
                    edges: [(one.face, one.beside?), (other.face, other.beside?)],
                    angle: inside(one)? + inside(other)?,
                })
            })
            .collect()
    }

    /// Whether corners allow the true reading, and the crossed one.
    fn corners(&self, index: usize, vague: &mut bool) -> (bool, bool) {
        let ends = self.ends(index);
        let mut groups: Vec<(Option<usize>, bool)> = Vec::new();
        for (a, one) in ends[0].iter().enumerate() {
            for (b, other) in ends[1].iter().enumerate() {
                if one.within || other.within {
                    *vague = true;
                    continue;
                }
                let (Some(n), Some(m)) = (one.beside, other.beside) else {
                    continue;
                };
                let (n, m) = ((one.face, n), (other.face, m));
                if self.at_centre(n) && self.at_centre(m) {
                    groups.push((None, a != b));
                }
                for by in 0..self.plan.seams.len() {
                    if by != index && self.is_in(n, by) && self.is_in(m, by) {
                        groups.push((Some(by), a != b));
                    }
                }
            }
        }
        let mut votes = (false, false);
        let mut by: Vec<Option<usize>> = groups.iter().map(|(by, _)| *by).collect();
        by.sort();
        by.dedup();
        for one in by {
            let plain = groups.contains(&(one, false));
            let crossed = groups.contains(&(one, true));
            if plain && crossed {
                *vague = true;
            } else {
                votes.0 |= plain;
                votes.1 |= crossed;
            }
        }
        *vague |= votes.1;
        votes
    }

    fn start_of_both(&self, index: usize) -> bool {
        let seam = &self.plan.seams[index];
        let ends = self.ends(index).map(|ends| ends[usize::from(seam.high)]);
        if seam.twin.is_some() || ends.iter().any(|end| end.within) {
            return false;
        }
        let at = [0, 1].map(|side| {
            let segs = &self.pieces[ends[side].face].edges[ends[side].own].segs;
            // Left edges run as the seam does.
            if (side == 0) == seam.high {
                segs[segs.len() - 1].eval(1.0)
            } else {
                segs[0].eval(0.0)
            }
        });
        let one_panel = self.plan.lays[ends[0].face].on == self.plan.lays[ends[1].face].on;
        one_panel && (at[0] - at[1]).hypot() < 1e-3
    }

    /// Whether a piece, or several together, are set into one side of a seam by this one, whose ends both end there.
    fn is_bite(&self, index: usize) -> bool {
        let ends = self.ends(index);
        let mut beside = ends
            .iter()
            .flatten()
            .filter_map(|end| Some((end.face, end.beside?)));
        let first = beside.next();
        let rest: Vec<_> = beside.collect();
        first.is_some_and(|first| {
            (0..self.plan.seams.len()).any(|by| {
                let on = |side: &[SideEdge], edge: (usize, usize)| {
                    side.iter().any(|one| (one.face, one.edge) == edge)
                };
                let sides = &self.sides[by];
                rest.len() == 3
                    && sides
                        .iter()
                        .any(|side| on(side, first) && rest.iter().all(|edge| on(side, *edge)))
            })
        })
    }

    /// Whether a piece lies between two seams and has no other edge.
    fn is_lens(&self, face: usize) -> bool {
        let edges = self.pieces[face].edges.iter().enumerate();
        let mut runs: Vec<Option<(usize, usize)>> = edges
            .filter(|(_, edge)| !matches!(edge.kind, Kind::Take | Kind::Over))
            .map(|(index, _)| {
                (0..self.sides.len()).find_map(|seam| {
                    let on = |side: &usize| {
                        let mut all = self.sides[seam][*side].iter();
                        all.any(|one| (one.face, one.edge) == (face, index))
                    };
                    (0..2).find(on).map(|side| (seam, side))
                })
            })
            .collect();
        runs.dedup();
        if runs.len() > 1 && runs.first() == runs.last() {
            runs.pop();
        }
        runs.len() == 2 && runs.iter().all(Option::is_some)
    }

    fn at_centre(&self, edge: (usize, usize)) -> bool {
        self.pieces[edge.0].edges[edge.1].line == 0
            && self.plan.lays[edge.0].centre != Centre::Finished
            && (self.plan.lays[edge.0].centre == Centre::Fold
                || self.plan.seams.iter().any(|seam| seam.twin == Some(edge.0)))
    }

    fn is_in(&self, edge: (usize, usize), seam: usize) -> bool {
        self.plan.seams[seam].twin.is_none()
            && self.sides[seam]
                .iter()
                .flatten()
                .any(|one| (one.face, one.edge) == edge && !one.over)
    }

    /// Whether two or more pairs show the crossed reading; nothing where there are none.
    fn places(&self, index: usize) -> Option<bool> {
        let mut pairs: Vec<[f64; 2]> = Vec::new();
        for item in &self.plan.seams[index].items {
            if let Item::Pair { at, .. } = item {
                pairs.push(*at);
            }
        }
        if pairs.len() < 2 {
            return None;
        }
        pairs.sort_by(|a, b| a[0].total_cmp(&b[0]));
        let rises = pairs.windows(2).all(|two| two[0][1] < two[1][1]);
        let falls = pairs.windows(2).all(|two| two[0][1] > two[1][1]);
        match (rises, falls) {
            (true, _) => Some(false),
            (_, true) => Some(true),
            _ => None,
        }
    }

    fn finishes(&self, index: usize, vague: &mut bool) -> Option<bool> {
        let ends = self.ends(index);
        let words = |end: &End| {
            let on = end.beside?;
            if end.within {
                return None;
            }
            let edge = &self.pieces[end.face].edges[on];
            let sewn = (0..self.plan.seams.len()).any(|seam| self.is_in((end.face, on), seam))
                || self.at_centre((end.face, on));
            match edge.words {
                Words::Said(words) if !sewn => Some(words),
                _ => None,
            }
        };
        let said = [0, 1].map(|side| [0, 1].map(|end| words(&ends[side][end])));
        *vague |= ends.iter().flatten().any(|end| end.within);
        for a in 0..2 {
            for b in 0..2 {
                let (one, other) = (said[0][a], said[1][b]);
                if one.is_some() && one == other && said[0][1 - a] != one && said[1][1 - b] != one {
                    return Some(a != b);
                }
            }
        }
        None
    }
}

/// Whether an item is a notch, an ease or a place inside the seam.
pub fn is_inside(item: &Item) -> bool {
    match item {
        Item::Pair { .. }
        | Item::Far { .. }
        | Item::One { .. }
        | Item::Joints
        | Item::Ease(_)
        | Item::Open { .. } => true,
        Item::Dart { .. }
        | Item::Pleat { .. }
        | Item::Over { .. }
        | Item::Until { .. }
        | Item::Tolerance(_)
        | Item::Longer { .. }
        | Item::LeftOut { .. } => false,
    }
}
