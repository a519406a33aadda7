//! A walk over all sentences and expressions of a checked draft, outermost first.

use super::{
    BearingNode, EachOverNode, FarNode, Node, Op, Program, RelationNode, SiteId, Slot, TextNode,
};
use std::collections::BTreeSet;

/// What is wanted of a walk.
pub(super) trait See<'p> {
    /// A sentence, before those inside it.
    fn op(&mut self, op: &'p Op);
    /// An expression, before those inside it, with the sentence that it stands in.
    fn node(&mut self, site: Option<SiteId>, node: &'p Node);
}

/// Sees every sentence of these, those inside them, and all that they work out.
pub(super) fn ops<'p>(all: &'p [Op], see: &mut impl See<'p>) {
    for op in all {
        see.op(op);
        let site = op.site();
        match op {
            Op::Draw(drawing) => node(site, &drawing.value, see),
            Op::Try(trial) => {
                let sides = [&trial.low, &trial.high, &trial.left, &trial.right];
                nodes(site, sides.into_iter().chain(&trial.otherwise), see);
                ops(&trial.body, see);
            }
            Op::If(choice) => {
                for (condition, body) in &choice.branches {
                    node(site, condition, see);
                    ops(body, see);
                }
                ops(&choice.otherwise, see);
            }
            Op::Require(claim) | Op::Check(claim) => {
                nodes(site, [&claim.condition, &claim.text], see)
            }
            Op::Say(said) => {
                let slip = said.slip.iter().map(|(_, figure, _)| figure);
                nodes(site, slip.chain([&said.text]), see);
            }
            Op::Give(givings) => nodes(site, givings.iter().map(|giving| &giving.value), see),
            Op::Measure(_) | Op::Number { .. } | Op::Carry { .. } | Op::Piece(_) | Op::Seam(_) => {}
        }
    }
}

fn nodes<'p>(
    site: Option<SiteId>,
    all: impl IntoIterator<Item = &'p Node>,
    see: &mut impl See<'p>,
) {
    all.into_iter().for_each(|one| node(site, one, see));
}

/// Sees an expression and all inside it.
pub(super) fn node<'p>(site: Option<SiteId>, one: &'p Node, see: &mut impl See<'p>) {
    see.node(site, one);
    match one {
        Node::Known(_) | Node::Figure(_) | Node::Slot(_) => {}
        Node::Negative(inner) | Node::Not(inner) | Node::Turn(inner, _) | Node::Spread(inner) => {
            node(site, inner, see);
        }
        Node::Sum(sum) => nodes(site, [&sum.left, &sum.right], see),
        Node::Both(one, other) | Node::Either(one, other) => nodes(site, [&**one, &**other], see),
        Node::List(items) => nodes(site, items, see),
        Node::Call(call) => nodes(site, call.args.iter().flatten(), see),
        Node::Operation(call) => nodes(site, call.args.iter().map(|passed| &passed.node), see),
        Node::Displaced(displaced) => {
            let legs = displaced.legs.iter().map(|(_, far)| match far {
                FarNode::By(node, _) | FarNode::Until(node, ..) => node,
            });
            nodes(site, legs.chain([&displaced.from]), see);
        }
        Node::Bearing(bearing) => match &**bearing {
            BearingNode::At(inner) | BearingNode::AwayFrom(inner) | BearingNode::Along(inner) => {
                node(site, inner, see);
            }
            BearingNode::SquareTo(line, toward) => nodes(site, toward.iter().chain([line]), see),
            BearingNode::Leaning { angle, .. } => node(site, angle, see),
        },
        Node::Compare(compare) => {
            node(site, &compare.left, see);
            match &compare.relation {
                RelationNode::Plain(_, right) => node(site, right, see),
                RelationNode::Within(one, other) | RelationNode::Between(one, other) => {
                    nodes(site, [one, other], see);
                }
                RelationNode::Than {
                    by, up_to, than, ..
                } => nodes(site, up_to.iter().chain([by, than]), see),
            }
        }
        Node::Each(each) => {
            match &each.over {
                EachOverNode::Count(from, to) => nodes(site, [from, to], see),
                EachOverNode::Items(list) => node(site, list, see),
            }
            for carried in &each.carried {
                ops(std::slice::from_ref(&carried.begin), see);
            }
            ops(&each.body, see);
            node(site, &each.give, see);
        }
        Node::Text(parts) => {
            let values = parts.iter().filter_map(|part| match part {
                TextNode::Value(inner, _) => Some(inner),
                TextNode::Letters(_) => None,
            });
            nodes(site, values, see);
        }
    }
}

impl Program {
    /// Every place that these sentences of the program read from, or draw in the place of.
    pub(in crate::check) fn places_read(&self, body: &[Op]) -> BTreeSet<Slot> {
        let mut read = Read {
            program: self,
            slots: BTreeSet::new(),
        };
        ops(body, &mut read);
        read.slots
    }
}

struct Read<'p> {
    program: &'p Program,
    slots: BTreeSet<Slot>,
}

impl<'p> See<'p> for Read<'p> {
    fn op(&mut self, op: &'p Op) {
        if let Op::Carry { from, .. } = op {
            self.slots.insert(*from);
        }
        if let Op::Draw(drawing) = op {
            self.slots
                .extend(drawing.gone.iter().map(|(_, slot)| *slot));
        }
        let Some(site) = op.site().and_then(|id| self.program.site(id)) else {
            return;
        };
        self.slots.extend(&site.reads);
        let old = site
            .targets
            .iter()
            .flat_map(|target| [target.replaces, target.lies_over]);
        self.slots.extend(old.flatten());
    }

    fn node(&mut self, _: Option<SiteId>, node: &'p Node) {
        if let Node::Slot(slot) = node {
            self.slots.insert(*slot);
        }
        if let Node::Each(each) = node {
            self.slots
                .extend(each.carried.iter().map(|carried| carried.next));
        }
    }
}
