//! Which edges of which pieces a side is made of, and how they follow each other: as the outline has them, over closed
//! darts and pleats, and across the seams that join their pieces. Nothing here looks at a length.

use super::super::fault::Fault;
use super::super::piece::Piece;
use super::super::spec::{EdgeName, NamedValue, SeamEdgeSpec, SeamPoint, SeamSpec, Tag, Value};
use super::rim::{End, Follows, Rim};
use super::{After, SAME_PLACE, Side, SideEdge, told};
use kurbo::Point;

/// The pieces as they are sewn, and what is known of the seams so far.
pub(super) struct Ground<'a> {
    pub(super) pieces: &'a [Piece],
    pub(super) rims: Vec<Rim>,
    pub(super) values: &'a [NamedValue],
    /// The edges of each seam, first side and second; none where one of them is not to be had.
    pub(super) taken: Vec<Option<[Vec<Taken>; 2]>>,
    /// For each seam that is decided, which corners of its first side meet which of its second.
    pub(super) corners: Vec<Option<[(Corner, Corner); 2]>>,
}

/// An edge of a piece that a side takes.
#[derive(Clone, Copy, Debug)]
pub(super) struct Taken {
    pub(super) tag: Tag,
    pub(super) piece: usize,
    pub(super) edge: usize,
    pub(super) mirrored: bool,
    pub(super) over: bool,
}

impl Taken {
    fn is(&self, piece: usize, edge: usize) -> bool {
        self.piece == piece && self.edge == edge
    }
}

/// An end of an edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Corner {
    pub(super) piece: usize,
    pub(super) edge: usize,
    pub(super) mirrored: bool,
    pub(super) end: End,
}

/// What a name stands for among the pieces' edges.
pub(crate) enum Meant {
    /// One edge, by the index of its piece and its own.
    One(usize, usize),
    /// A line that no piece outlines.
    Nowhere,
    /// The piece it names has no such edge.
    NotOf(usize),
    /// Several pieces outline the line.
    Several(Vec<(usize, usize)>),
}

/// The edge that a name means: a piece's own, or the one edge that is that panel line.
pub(crate) fn meant(name: &EdgeName, pieces: &[Piece]) -> Meant {
    let owner = name.owner.as_ref();
    let owner = owner.and_then(|owner| pieces.iter().position(|piece| piece.name == *owner));
    let own = owner.and_then(|at| {
        let edges = &pieces.get(at)?.edges;
        let of_line = edges
            .iter()
            .position(|e| !name.line.is_empty() && e.line == name.line);
        let of_name = || {
            edges
                .iter()
                .position(|e| e.name == name.edge && e.mouth.is_none())
        };
        let by_name = of_line.is_none();
        Some((at, of_line.or_else(of_name)?, by_name))
    });
    if let Some((piece, edge, false)) = own {
        return Meant::One(piece, edge);
    }
    let edges = |piece: &Piece| {
        let found = piece.edges.iter().enumerate();
        let found = found.filter(|(_, edge)| !name.line.is_empty() && edge.line == name.line);
        found.map(|(index, _)| index).collect::<Vec<_>>()
    };
    let all: Vec<(usize, usize)> = pieces
        .iter()
        .enumerate()
        .flat_map(|(at, piece)| edges(piece).into_iter().map(move |edge| (at, edge)))
        .collect();
    match (all.as_slice(), own, owner) {
        ([(piece, edge)], ..) => Meant::One(*piece, *edge),
        ([], Some((piece, edge, _)), _) => Meant::One(piece, edge),
        ([], None, Some(owner)) if name.line.is_empty() => Meant::NotOf(owner),
        ([], None, _) => Meant::Nowhere,
        _ => Meant::Several(all),
    }
}

/// The edges of a side; none, with a fault, where one of them is not to be had.
pub(super) fn taken(
    spec: &SeamSpec,
    edges: &[SeamEdgeSpec],
    pieces: &[Piece],
    rims: &[Rim],
    faults: &mut Vec<Fault>,
) -> Option<Vec<Taken>> {
    let mut found = Some(Vec::with_capacity(edges.len()));
    for edge in edges {
        let one = match meant(&edge.name, pieces) {
            Meant::One(piece, at) => {
                let pleated = rims.get(piece).is_some_and(|rim| rim.pleated.contains(&at));
                let short = pieces
                    .get(piece)
                    .and_then(|piece| piece.edges.get(at))
                    .is_some_and(|edge| edge.length <= SAME_PLACE);
                if pleated {
                    faults.push(told::pleated(spec, edge));
                    None
                } else if short {
                    // A line of no length is nothing.
                    continue;
                } else {
                    Some(Taken {
                        tag: edge.name.tag,
                        piece,
                        edge: at,
                        mirrored: edge.mirrored,
                        over: edge.over,
                    })
                }
            }
            other => {
                faults.push(told::not_had(&spec.name, &edge.name, &other, pieces));
                None
            }
        };
        match (one, &mut found) {
            (Some(one), Some(found)) => found.push(one),
            _ => found = None,
        }
    }
    found.filter(|found| found.iter().any(|one| !one.over))
}

/// A stretch of an edge in a side: which of the side's edges, and which stretch of its piece's rim.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Node {
    pub(super) taken: usize,
    pub(super) at: usize,
}

/// A node as it is walked.
#[derive(Clone, Copy, Debug)]
pub(super) struct Step {
    pub(super) node: Node,
    /// Against the outline's sense.
    pub(super) backward: bool,
    /// How it follows the one before it.
    pub(super) after: After,
    /// The turn between, as sewn, in degrees.
    pub(super) turn: f64,
}

impl Step {
    pub(super) fn first_end(&self) -> End {
        if self.backward {
            End::Finish
        } else {
            End::Start
        }
    }
    pub(super) fn last_end(&self) -> End {
        self.first_end().other()
    }
}

/// Edges that follow each other.
#[derive(Clone, Debug, Default)]
pub(super) struct Chain {
    pub(super) steps: Vec<Step>,
    /// It ends where it begins: how the first follows the last.
    pub(super) ring: Option<(After, f64)>,
}

impl Chain {
    pub(super) fn reversed(&self) -> Chain {
        let mut steps: Vec<Step> = Vec::with_capacity(self.steps.len());
        let mut link = (After::Start, 0.0);
        for step in self.steps.iter().rev() {
            steps.push(Step {
                backward: !step.backward,
                after: link.0,
                turn: link.1,
                ..*step
            });
            link = (step.after, step.turn);
        }
        Chain {
            steps,
            ring: self.ring,
        }
    }

    /// A ring begun at another step.
    pub(super) fn begun_at(&self, first: usize) -> Chain {
        let mut steps = self.steps.clone();
        if let (Some(step), Some((after, turn))) = (steps.first_mut(), self.ring) {
            (step.after, step.turn) = (after, turn);
        }
        let count = steps.len().max(1);
        steps.rotate_left(first % count);
        let ring = steps.first().map(|step| (step.after, step.turn));
        if let Some(step) = steps.first_mut() {
            (step.after, step.turn) = (After::Start, 0.0);
        }
        Chain { steps, ring }
    }
}

/// One side of a seam while its edges are put in order.
pub(super) struct Sorting<'a> {
    pub(super) ground: &'a Ground<'a>,
    pub(super) seam: usize,
    pub(super) taken: &'a [Taken],
    nodes: Vec<Node>,
}

/// What follows an end.
type Link = (Node, End, After, f64);

impl<'a> Sorting<'a> {
    pub(super) fn new(ground: &'a Ground<'a>, seam: usize, taken: &'a [Taken]) -> Self {
        let mut nodes = Vec::new();
        for (index, one) in taken.iter().enumerate() {
            let rim = ground.rims.get(one.piece);
            let linked = rim.map_or(&[][..], |rim| rim.linked.as_slice());
            for (at, _) in linked
                .iter()
                .enumerate()
                .filter(|(_, linked)| linked.stretch.edge == one.edge)
            {
                nodes.push(Node { taken: index, at });
            }
        }
        Self {
            ground,
            seam,
            taken,
            nodes,
        }
    }

    pub(super) fn one(&self, node: Node) -> Option<&'a Taken> {
        self.taken.get(node.taken)
    }

    fn rim(&self, node: Node) -> Option<&'a Rim> {
        self.ground.rims.get(self.one(node)?.piece)
    }

    /// The seams that decide how this side goes together and are not decided yet.
    pub(super) fn needs(&self) -> bool {
        let ends = self
            .nodes
            .iter()
            .flat_map(|node| [End::Start, End::Finish].map(|end| (*node, end)));
        ends.filter(|(node, end)| self.on_piece(*node, *end).is_none())
            .any(|(node, end)| {
                self.beyond(node, end).is_some_and(|(piece, edge, ..)| {
                    self.other_seams(piece, edge)
                        .any(|seam| matches!(self.ground.corners.get(seam), Some(None)))
                }) && self
                    .taken
                    .iter()
                    .any(|one| self.one(node).is_some_and(|own| own.piece != one.piece))
            })
    }

    fn other_seams(&self, piece: usize, edge: usize) -> impl Iterator<Item = usize> {
        let own = self.seam;
        let seams = self.ground.taken.iter().enumerate();
        seams
            .filter(move |(seam, sides)| {
                *seam != own
                    && sides
                        .as_ref()
                        .is_some_and(|sides| sides.iter().flatten().any(|one| one.is(piece, edge)))
            })
            .map(|(seam, _)| seam)
    }

    /// The edge beyond an end: piece, edge, the end of it that lies there, the rim's link between.
    fn beyond(&self, node: Node, end: End) -> Option<(usize, usize, End, super::rim::Linked)> {
        let one = self.one(node)?;
        let (at, link) = self.rim(node)?.beyond(node.at, end)?;
        let stretch = self.rim(node)?.linked.get(at)?.stretch;
        Some((one.piece, stretch.edge, end.other(), link))
    }

    /// The node of this side that lies beyond an end on the same piece.
    fn on_piece(&self, node: Node, end: End) -> Option<Link> {
        let one = self.one(node)?;
        let (at, link) = self.rim(node)?.beyond(node.at, end)?;
        let same = |other: &&Node| {
            other.at == at
                && self
                    .one(**other)
                    .is_some_and(|o| o.piece == one.piece && o.mirrored == one.mirrored)
        };
        let found = self.nodes.iter().find(same)?;
        if *found == node && self.rim(node)?.linked.len() > 1 {
            return None;
        }
        let after = match link.then {
            Follows::Touching => After::Touch,
            Follows::OverDart => After::Dart,
            Follows::OverPleat => After::Pleat,
        };
        Some((*found, end.other(), after, link.turn))
    }

    /// The node that lies beyond an end across a seam which joins the two pieces.
    fn across(&self, node: Node, end: End) -> Option<Link> {
        let own = self.one(node)?;
        let (piece, edge, there, link) = self.beyond(node, end)?;
        let mut found: Vec<Link> = Vec::new();
        for seam in self.other_seams(piece, edge) {
            let at = Corner {
                piece,
                edge,
                mirrored: own.mirrored,
                end: there,
            };
            for partner in self.partners(seam, at) {
                found.extend(
                    self.beside(partner, link.turn)
                        .filter(|(other, e, ..)| (*other, *e) != (node, end)),
                );
            }
        }
        // Several: the one that is written next to it.
        let apart = |link: &Link| link.0.taken.abs_diff(node.taken);
        found.into_iter().min_by_key(apart)
    }

    /// The corners that a corner is sewn to by a seam: the one where the seam is decided, else either end of each partner.
    fn partners(&self, seam: usize, at: Corner) -> Vec<Corner> {
        let Some(Some(sides)) = self.ground.taken.get(seam) else {
            return Vec::new();
        };
        if let Some(Some(decided)) = self.ground.corners.get(seam) {
            let met = |from: Corner, to: Corner| {
                let turned = from.mirrored != at.mirrored;
                let same = from.piece == at.piece && from.edge == at.edge && from.end == at.end;
                same.then_some(Corner {
                    mirrored: to.mirrored != turned,
                    ..to
                })
            };
            let both = decided.iter();
            let met: Vec<Corner> = both
                .flat_map(|(one, other)| [met(*one, *other), met(*other, *one)])
                .flatten()
                .collect();
            if !met.is_empty() {
                return met;
            }
        }
        // Not known yet, or a joint within its sides, where two seams cross.
        let mut found = Vec::new();
        let [first, second] = sides;
        for (side, other) in [(first, second), (second, first)] {
            for one in side.iter().filter(|one| one.is(at.piece, at.edge)) {
                let turned = one.mirrored != at.mirrored;
                for partner in other {
                    for end in [End::Start, End::Finish] {
                        found.push(Corner {
                            piece: partner.piece,
                            edge: partner.edge,
                            mirrored: partner.mirrored != turned,
                            end,
                        });
                    }
                }
            }
        }
        found
    }

    /// The node of this side beside a corner.
    fn beside(&self, corner: Corner, turn: f64) -> Option<Link> {
        let rim = self.ground.rims.get(corner.piece)?;
        let of_edge = rim.linked.iter().enumerate();
        let mut of_edge = of_edge.filter(|(_, linked)| linked.stretch.edge == corner.edge);
        let at = match corner.end {
            End::Start => of_edge.next()?.0,
            End::Finish => of_edge.next_back()?.0,
        };
        let (beyond, link) = rim.beyond(at, corner.end)?;
        let found = self.nodes.iter().find(|node| {
            node.at == beyond
                && self
                    .one(**node)
                    .is_some_and(|one| one.piece == corner.piece && one.mirrored == corner.mirrored)
        })?;
        let sewn = turn + link.turn - 180.0;
        Some((*found, corner.end.other(), After::Seam, sewn))
    }

    fn link(&self, node: Node, end: End) -> Option<Link> {
        self.on_piece(node, end).or_else(|| self.across(node, end))
    }

    /// The chains, in the order in which their first edges are written, each in its written sense where it has one.
    pub(super) fn chains(&self) -> Vec<Chain> {
        let mut left: Vec<Node> = self.nodes.clone();
        let mut chains = Vec::new();
        while let Some(&seed) = left.first() {
            let forward = self.run(seed, End::Finish, &left);
            let ring = forward.1;
            let chain = if ring.is_some() {
                Chain {
                    steps: forward.0,
                    ring,
                }
            } else {
                // No edge comes twice.
                let mut rest = left.clone();
                rest.retain(|node| !forward.0.iter().any(|step| step.node == *node));
                let steps: Vec<Step> = self.run(seed, End::Start, &rest).0;
                let back = Chain { steps, ring: None }.reversed();
                let mut steps = back.steps;
                steps.pop();
                let joint = forward.0;
                let first = self.run_link(steps.last(), joint.first());
                steps.extend(joint.iter().enumerate().map(|(index, step)| {
                    if index == 0 {
                        Step {
                            after: first.0,
                            turn: first.1,
                            ..*step
                        }
                    } else {
                        *step
                    }
                }));
                Chain { steps, ring: None }
            };
            left.retain(|node| !chain.steps.iter().any(|step| step.node == *node));
            chains.push(self.in_written_sense(chain));
        }
        let written = |chain: &Chain| chain.steps.iter().map(|s| s.node.taken).min();
        chains.sort_by_key(written);
        chains
    }

    fn run_link(&self, before: Option<&Step>, step: Option<&Step>) -> (After, f64) {
        let (Some(before), Some(step)) = (before, step) else {
            return (After::Start, 0.0);
        };
        match self.link(before.node, before.last_end()) {
            Some((node, _, after, turn)) if node == step.node => (after, turn),
            _ => (After::Start, 0.0),
        }
    }

    /// The steps from a node on, leaving it by an end, and how a ring closes.
    fn run(&self, seed: Node, by: End, left: &[Node]) -> (Vec<Step>, Option<(After, f64)>) {
        let mut steps = vec![Step {
            node: seed,
            backward: by == End::Start,
            after: After::Start,
            turn: 0.0,
        }];
        let (mut node, mut end) = (seed, by);
        while let Some((next, entered, after, turn)) = self.link(node, end) {
            if next == seed && entered == by.other() {
                return (steps, Some((after, turn)));
            }
            let fresh = left.contains(&next) && !steps.iter().any(|step| step.node == next);
            if !fresh {
                break;
            }
            steps.push(Step {
                node: next,
                backward: entered == End::Finish,
                after,
                turn,
            });
            (node, end) = (next, entered.other());
        }
        (steps, None)
    }

    /// The chain so that what is written first comes before what is written last; a single edge as it is drawn.
    fn in_written_sense(&self, chain: Chain) -> Chain {
        let order: Vec<usize> = chain.steps.iter().map(|step| step.node.taken).collect();
        let at = |wanted: Option<&usize>| order.iter().position(|one| Some(one) == wanted);
        let (low, high) = (at(order.iter().min()), at(order.iter().max()));
        let turn = if order.iter().min() == order.iter().max() {
            let step = chain.steps.first();
            step.is_some_and(|step| {
                let one = self.one(step.node);
                let edge =
                    one.and_then(|one| self.ground.pieces.get(one.piece)?.edges.get(one.edge));
                edge.is_some_and(|edge| edge.as_drawn == step.backward)
            })
        } else if chain.ring.is_some() {
            // A ring begins with the first that is written; the second is to follow it.
            let first = order.iter().min();
            let second = order.iter().filter(|one| Some(*one) > first).min();
            at(second).is_some_and(|at| at > order.len() / 2)
        } else {
            low > high
        };
        if turn { chain.reversed() } else { chain }
    }

    /// Two chains of one piece, or of pieces that a seam joins, between which lies a gap.
    pub(super) fn gap(&self, chains: &[Chain]) -> Option<(Node, Node)> {
        let pairs = chains.iter().zip(chains.iter().skip(1));
        for (a, b) in pairs {
            for one in &a.steps {
                for other in &b.steps {
                    let (p, q) = (self.one(one.node)?, self.one(other.node)?);
                    let same = p.piece == q.piece && p.mirrored == q.mirrored;
                    if same && p.edge != q.edge {
                        return Some((a.steps.last()?.node, b.steps.first()?.node));
                    }
                }
            }
        }
        None
    }

    /// The side in the order of a chain, edges that are passed by left out.
    pub(super) fn side(&self, chain: &Chain) -> Side {
        let mut side = Side::default();
        let mut passed = false;
        for step in &chain.steps {
            let Some(one) = self.one(step.node) else {
                continue;
            };
            if one.over {
                passed = true;
                continue;
            }
            if let Some(mut edge) = self.edge(step, one) {
                edge.from = side.length;
                if passed {
                    edge.after = After::Over;
                }
                if side.edges.is_empty() {
                    edge.after = After::Start;
                }
                side.length += edge.length;
                side.edges.push(edge);
            }
            passed = false;
        }
        side
    }

    fn edge(&self, step: &Step, one: &Taken) -> Option<SideEdge> {
        let piece = self.ground.pieces.get(one.piece)?;
        let edge = piece.edges.get(one.edge)?;
        let stretch = self.rim(step.node)?.linked.get(step.node.at)?.stretch;
        let whole = stretch.from <= 0.0 && stretch.to >= edge.length;
        let path = if whole {
            edge.path.clone()
        } else {
            edge.path.part_between(stretch.from, stretch.to).ok()?
        };
        let (path, along) = if step.backward {
            (path.reversed(), (stretch.to, stretch.from))
        } else {
            (path, (stretch.from, stretch.to))
        };
        Some(SideEdge {
            tag: one.tag,
            line: edge.line.clone(),
            piece: piece.name.clone(),
            edge: edge.name.clone(),
            mirrored: one.mirrored,
            after: step.after,
            turn: step.turn,
            from: 0.0,
            length: if whole {
                edge.length
            } else {
                stretch.to - stretch.from
            },
            along,
            at: (one.piece, one.edge),
            path,
        })
    }
}

/// Whether a named point is drawn on the panel of a piece or of its line.
pub(super) fn is_drawn_on(
    ground: &Ground<'_>,
    named: &SeamPoint,
    piece: usize,
    line: &str,
) -> bool {
    let Some(panel) = &named.panel else {
        return true;
    };
    // A panel within a panel lies on its sheet.
    let on_sheet = |inner: &str| {
        let rest = inner.strip_prefix(panel.as_str());
        rest.is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
    };
    on_sheet(panel_of(line)) || on_sheet(panel_of_piece(ground, piece))
}

/// Whether a named point is drawn there, or is the same point traced there.
pub(super) fn is_on_panel(
    ground: &Ground<'_>,
    named: &SeamPoint,
    piece: usize,
    line: &str,
) -> bool {
    if is_drawn_on(ground, named, piece, line) {
        return true;
    }
    let last = named.name.rsplit('.').next().unwrap_or("");
    if last.is_empty() {
        return false;
    }
    let twin = |owner: &str| format!("{owner}.{last}");
    let (one, other) = (twin(panel_of(line)), twin(panel_of_piece(ground, piece)));
    ground.values.iter().any(|value| {
        (value.name == one || value.name == other)
            && matches!(value.value, Value::Point(p) if same(p, named.point))
    })
}

fn panel_of_piece<'a>(ground: &Ground<'a>, piece: usize) -> &'a str {
    let piece = ground.pieces.get(piece);
    piece.map_or("", |piece| piece.panel.as_str())
}

pub(super) fn same(a: Point, b: Point) -> bool {
    // Most are far apart, which is seen without a root.
    (a.x - b.x).abs() <= 2.0 * SAME_PLACE && (a - b).hypot() <= SAME_PLACE
}

/// The panel a full name belongs to: all before the last dot.
pub(super) fn panel_of(name: &str) -> &str {
    name.rsplit_once('.').map_or("", |(panel, _)| panel)
}
