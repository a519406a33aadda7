//! Expressions of a checked draft: what is worked out when it is drawn.

use super::{Op, Slot};
use crate::kind::Kind;
use crate::phrase::Value;
use crate::report::Span;
use crate::syntax::tree::{Comparison, Operator};
use kurbo::Vec2;
use std::sync::Arc;

#[derive(Clone, Debug)]
pub(crate) enum Node {
    Known(Value),
    /// A figure as it is written: the number of one of [`Program::figures`](super::Program::figures).
    Figure(u32),
    /// A value drawn before.
    Slot(Slot),
    /// A sum or product of figures.
    Sum(Box<SumNode>),
    /// A figure with the other sign.
    Negative(Box<Node>),
    Call(Box<CallNode>),
    /// A call of an operation; several results make a list.
    Operation(Box<OperationCall>),
    Displaced(Box<DisplacedNode>),
    /// An angle with its sense.
    Turn(Box<Node>, bool),
    /// A direction settled where it is used.
    Bearing(Box<BearingNode>),
    Compare(Box<CompareNode>),
    /// `not`
    Not(Box<Node>),
    /// `and`
    Both(Box<Node>, Box<Node>),
    /// `or`
    Either(Box<Node>, Box<Node>),
    List(Vec<Node>),
    /// A list among the items of another: its items stand there.
    Spread(Box<Node>),
    /// `each`
    Each(Box<EachNode>),
    /// Words with figures in them.
    Text(Box<[TextNode]>),
}

impl Node {
    /// Of what is wrong, and told; the sentence that it stands in is left out.
    pub(crate) const TOLD: Node = Node::Known(Value::Absent);
    /// What a call leaves to the operation, which has no default for it.
    pub(crate) const LEFT_OUT: Node = Node::Known(Value::Absent);
    /// A panel, which is no value: its lines and points are.
    pub(crate) const PANEL: Node = Node::Known(Value::Absent);
}

/// A sum or product.
#[derive(Clone, Debug)]
pub(crate) struct SumNode {
    pub operator: Operator,
    pub left: Node,
    pub right: Node,
    pub span: Span,
    /// Where the right side stands, for a division by nothing.
    pub right_span: Span,
}

/// A phrase bound to a form of the table.
#[derive(Clone, Debug)]
pub(crate) struct CallNode {
    pub form: usize,
    /// By place, then by option.
    pub args: Box<[Option<Node>]>,
    /// Names of arguments that are plain names.
    pub names: Box<[Option<Arc<str>>]>,
    /// Where each argument stands.
    pub spans: Box<[Span]>,
    pub span: Span,
}

/// A call of an operation.
#[derive(Clone, Debug)]
pub(crate) struct OperationCall {
    pub routine: usize,
    /// Arguments in the order of its slots.
    pub args: Box<[Passed]>,
    pub span: Span,
    /// Names of arguments, with their kinds and places, for messages.
    pub shown: Box<[(String, Kind, Span, usize)]>,
}

/// An argument of an operation.
#[derive(Clone, Debug)]
pub(crate) struct Passed {
    pub node: Node,
    /// A member of a panel: it may be missing, and only what needs it is left out.
    pub is_member: bool,
}

#[derive(Clone, Debug)]
pub(crate) struct DisplacedNode {
    pub from: Node,
    /// Legs in order: which way and how far.
    pub legs: Box<[(Vec2, FarNode)]>,
}

#[derive(Clone, Debug)]
pub(crate) enum FarNode {
    /// A length, and its place.
    By(Node, Span),
    /// Until a path, or to the level of a point; its name and place.
    Until(Node, Option<Arc<str>>, Span),
}

/// A direction settled where it is used.
#[derive(Clone, Debug)]
pub(crate) enum BearingNode {
    At(Node),
    /// Away from a point.
    AwayFrom(Node),
    Along(Node),
    /// Square to a path.
    SquareTo(Node, Option<Node>),
    /// An angle below or above a level or plumb direction.
    Leaning {
        /// How far from it, in degrees.
        angle: Node,
        /// Where the angle stands.
        span: Span,
        /// Below rather than above.
        below: bool,
        /// The level or plumb direction.
        from: Vec2,
    },
}

/// A comparison of two figures, or of two answers or texts.
#[derive(Clone, Debug)]
pub(crate) struct CompareNode {
    pub left: Node,
    pub relation: RelationNode,
    /// What both sides are.
    pub kind: Kind,
    pub span: Span,
}

/// What must hold between two sides.
#[derive(Clone, Debug)]
pub(crate) enum RelationNode {
    Plain(Comparison, Node),
    /// Within a tolerance of a figure.
    Within(Node, Node),
    Between(Node, Node),
    /// Longer than a figure by at least the first, at most the second; `false`: shorter.
    Than {
        by: Node,
        /// At most; the same figure where none is given.
        up_to: Option<Node>,
        /// Longer rather than shorter.
        more: bool,
        than: Node,
    },
}

/// `each`
#[derive(Clone, Debug)]
pub(crate) struct EachNode {
    /// Where the number or the item goes.
    pub slot: Slot,
    /// Where what is drawn on it goes, where the item is a panel.
    pub members: Option<Box<[Slot]>>,
    /// What is carried on from time to time.
    pub carried: Vec<CarriedNode>,
    /// First and last whole number, or a list.
    pub over: EachOverNode,
    /// What is done each time.
    pub body: Vec<Op>,
    /// What it gives each time.
    pub give: Node,
    pub span: Span,
}

/// What an `each` carries on.
#[derive(Clone, Debug)]
pub(crate) struct CarriedNode {
    /// Draws what it is the first time.
    pub begin: Op,
    /// Its value this time, and what the block makes of it for the next.
    pub slot: Slot,
    pub next: Slot,
}

/// What `each` runs over.
#[derive(Clone, Debug)]
pub(crate) enum EachOverNode {
    /// Whole numbers from one figure to another.
    Count(Node, Node),
    Items(Node),
}

/// A part of a text.
#[derive(Clone, Debug)]
pub(crate) enum TextNode {
    Letters(Arc<str>),
    /// A value, printed for people.
    Value(Node, Kind),
}
