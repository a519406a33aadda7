//! Which form each phrase of a checked draft was bound to, for those who put a draft in words.

use super::{
    BearingNode, EachOverNode, FarNode, Node, Op, Program, RelationNode, SiteId, TextNode,
};
use crate::phrase::{Form, Table};
use crate::report::Span;
use std::collections::HashMap;

/// The form of every phrase, by the sentence it stands in and by its own place in the text.
pub type Bound<'p> = HashMap<(SiteId, Span), &'p Form>;

impl Program {
    /// The form of every phrase that is drawn, looked for, required or said.
    pub fn bound(&self) -> Bound<'_> {
        let mut walk = Walk {
            program: self,
            bound: Bound::new(),
        };
        for measure in &self.measures {
            walk.node(measure.site, &measure.default);
        }
        walk.ops(&self.body);
        for routine in &self.routines {
            walk.ops(&routine.body);
        }
        walk.bound
    }
}

struct Walk<'p> {
    program: &'p Program,
    bound: Bound<'p>,
}

impl<'p> Walk<'p> {
    fn ops(&mut self, ops: &'p [Op]) {
        for op in ops {
            match op {
                Op::Draw(drawing) => self.node(drawing.site, &drawing.value),
                Op::Try(trial) => {
                    let sides = [&trial.low, &trial.high, &trial.left, &trial.right];
                    self.nodes(trial.site, sides.into_iter().chain(&trial.otherwise));
                    self.ops(&trial.body);
                }
                Op::If(choice) => {
                    for (_, body) in &choice.branches {
                        self.ops(body);
                    }
                    self.ops(&choice.otherwise);
                }
                Op::Require(claim) | Op::Check(claim) => {
                    self.nodes(claim.site, [&claim.condition, &claim.text]);
                }
                Op::Say(said) => {
                    let slip = said.slip.iter().map(|(figure, _)| figure);
                    self.nodes(said.site, slip.chain([&said.text]));
                }
                Op::Measure(_)
                | Op::Number { .. }
                | Op::Carry { .. }
                | Op::Give(_)
                | Op::Piece(_)
                | Op::Seam(_) => {}
            }
        }
    }

    fn nodes(&mut self, site: SiteId, nodes: impl IntoIterator<Item = &'p Node>) {
        nodes.into_iter().for_each(|node| self.node(site, node));
    }

    fn node(&mut self, site: SiteId, node: &'p Node) {
        match node {
            Node::Known(_) | Node::Figure(_) | Node::Slot(_) => {}
            Node::Negative(inner)
            | Node::Not(inner)
            | Node::Turn(inner, _)
            | Node::Spread(inner) => {
                self.node(site, inner);
            }
            Node::Sum(sum) => self.nodes(site, [&sum.left, &sum.right]),
            Node::Both(one, other) | Node::Either(one, other) => {
                self.nodes(site, [&**one, &**other]);
            }
            Node::List(nodes) => self.nodes(site, nodes),
            Node::Call(call) => {
                let row = Table::built_in().get(call.form);
                self.bound.extend(row.map(|row| ((site, call.span), row)));
                self.nodes(site, call.args.iter().flatten());
            }
            Node::Operation(call) => {
                let routine = self.program.routines.get(call.routine);
                let mut operations = self.program.operations.iter();
                let declared = operations.find(|one| Some(one.span) == routine.map(|one| one.span));
                let form = declared.map(|one| ((site, call.span), &one.form));
                self.bound.extend(form);
                self.nodes(site, &call.args);
            }
            Node::Displaced(displaced) => {
                let legs = displaced.legs.iter().map(|(_, far)| match far {
                    FarNode::By(node, _) | FarNode::Until(node, ..) => node,
                });
                self.nodes(site, legs.chain([&displaced.from]));
            }
            Node::Bearing(bearing) => match &**bearing {
                BearingNode::At(node) | BearingNode::AwayFrom(node) | BearingNode::Along(node) => {
                    self.node(site, node);
                }
                BearingNode::SquareTo(line, toward) => {
                    self.nodes(site, toward.iter().chain([line]));
                }
                BearingNode::Leaning { angle, .. } => self.node(site, angle),
            },
            Node::Compare(compare) => {
                self.node(site, &compare.left);
                match &compare.relation {
                    RelationNode::Plain(_, node) => self.node(site, node),
                    RelationNode::Within(one, other) | RelationNode::Between(one, other) => {
                        self.nodes(site, [one, other]);
                    }
                    RelationNode::Than {
                        by, up_to, than, ..
                    } => self.nodes(site, up_to.iter().chain([by, than])),
                }
            }
            Node::Each(each) => {
                match &each.over {
                    EachOverNode::Count(from, to) => self.nodes(site, [from, to]),
                    EachOverNode::Items(list) => self.node(site, list),
                }
                for carried in &each.carried {
                    self.ops(std::slice::from_ref(&carried.begin));
                }
                self.ops(&each.body);
                self.node(site, &each.give);
            }
            Node::Text(parts) => {
                let values = parts.iter().filter_map(|part| match part {
                    TextNode::Value(node, _) => Some(node),
                    TextNode::Letters(_) => None,
                });
                self.nodes(site, values);
            }
        }
    }
}
