//! Conditions: comparisons in symbols and in words, and the equality that `try` looks for.

use super::checker::{Checker, Typed};
use super::program::{CallNode, CompareNode, Node, RelationNode, SumNode};
use crate::kind::{Dimension, Kind};
use crate::phrase::{Form, Value};
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree::{Comparison, Expr, ExprKind, Lies, Link, Operator, Relation};
use crate::voice;

/// How far from a line a point may lie and still be on it, in millimetres: half the width of a sharp pencil line.
const LIES_ON: f64 = 0.1;

/// An equality to be solved.
pub(super) struct Equality {
    pub left: Node,
    pub right: Node,
    /// Of a figure and so much more or less: the figure's place.
    pub than: Option<Span>,
    pub dimension: Dimension,
    pub subject: Span,
}

impl<'a> Checker<'a> {
    pub(super) fn condition(&mut self, expr: &'a Expr) -> Node {
        match &expr.kind {
            ExprKind::Not(inner) => Node::Not(Box::new(self.condition(inner))),
            // What one side settles needs nothing that the other names.
            ExprKind::Both(a, _) if self.settled(a) == Some(false) => self.condition(a),
            ExprKind::Both(a, b) => {
                Node::Both(Box::new(self.condition(a)), Box::new(self.condition(b)))
            }
            ExprKind::Either(a, _) if self.settled(a) == Some(true) => self.condition(a),
            ExprKind::Either(a, b) => {
                Node::Either(Box::new(self.condition(a)), Box::new(self.condition(b)))
            }
            ExprKind::Bracketed(inner) => self.condition(inner),
            ExprKind::Compare {
                comparison,
                left,
                right,
            } => self.plain_comparison(*comparison, left, right, expr.span),
            ExprKind::Is { subject, relation } => self.relation(subject, relation, expr.span),
            _ => self.wanted(expr, &Kind::Answer).node,
        }
    }

    fn plain_comparison(
        &mut self,
        comparison: Comparison,
        left: &'a Expr,
        right: &'a Expr,
        span: Span,
    ) -> Node {
        let (a, b) = (self.expression(left), self.expression(right));
        let kind = a.kind.joined(&b.kind);
        let comparable = match &kind {
            Some(Kind::Quantity(_) | Kind::Unknown) => true,
            Some(Kind::Text | Kind::Answer) => comparison == Comparison::Equal,
            _ => false,
        };
        if !comparable {
            let message = self.not_comparable(&a, &b);
            self.fail(message);
            return Node::TOLD;
        }
        if let Some(message) = self.never_alike(&a, &b) {
            self.fail(message);
            return Node::TOLD;
        }
        let relation = RelationNode::Plain(comparison, b.node);
        compare(a, relation, kind.unwrap_or(Kind::Unknown), span)
    }

    /// A choice held against a text, or a choice, that it can never be.
    fn never_alike(&self, a: &Typed, b: &Typed) -> Option<Diagnostic> {
        let (texts, side, other) = match (self.texts_of(a), self.texts_of(b)) {
            (Some(texts), _) => (texts, a, b),
            (None, Some(texts)) => (texts, b, a),
            (None, None) => return None,
        };
        self.none_of(self.said(side.span), &texts, other)
    }

    fn not_comparable(&self, a: &Typed, b: &Typed) -> Diagnostic {
        let sides = [a, b];
        if let Some(figure) = sides
            .iter()
            .find(|side| side.is_figure && side.kind == Kind::NUMBER)
        {
            let said = self.said(figure.span);
            let other = if figure.span == a.span { b } else { a };
            let message = format!(
                "`{said}` has no unit, and it is compared with {}.",
                other.kind.with_article()
            );
            return Diagnostic::error(Code::UnitMissing, figure.span, message)
                .at("which unit?")
                .see(other.span, other.kind.with_article())
                .write_one_of(&self.with_units(said, &other.kind));
        }
        if let Some(drawn) = sides
            .iter()
            .find(|side| matches!(side.kind, Kind::Point | Kind::Line | Kind::Curve))
        {
            let said = self.said(drawn.span);
            let mut message = Diagnostic::error(
                Code::KindsDoNotMix,
                drawn.span,
                format!(
                    "Figures are compared, and this is {}.",
                    drawn.kind.with_article()
                ),
            )
            .at(drawn.kind.with_article());
            if drawn.kind.is_path() {
                message = message
                    .help(format!("For how long it is, write `(length of {said})`."))
                    .offer(drawn.span, format!("(length of {said})"));
            } else if a.kind == Kind::Point && b.kind == Kind::Point {
                let (one, other) = (self.said(a.span), self.said(b.span));
                message = message.help(format!("Write `(distance from {one} to {other}) <= 1mm`."));
            }
            return message;
        }
        Diagnostic::error(
            Code::KindsDoNotMix,
            b.span,
            format!(
                "{} cannot be compared with {}.",
                voice::capital(&b.kind.with_article()),
                a.kind.with_article()
            ),
        )
        .at(b.kind.with_article())
        .see(a.span, a.kind.with_article())
    }

    fn relation(&mut self, subject: &'a Expr, relation: &'a Relation, span: Span) -> Node {
        if let Relation::Drawn = relation {
            return self.asked_whether_drawn(subject);
        }
        if let Relation::Lies { how, than } = relation {
            return self.lies(subject, *how, than, span);
        }
        let subject = self.expression(subject);
        if !matches!(subject.kind, Kind::Quantity(_) | Kind::Unknown) {
            let message =
                self.kind_mismatch(&subject, "a length, an angle, an area or a number", &[]);
            self.fail(message);
            return Node::TOLD;
        }
        let kind = subject.kind.clone();
        let node = match relation {
            Relation::Within { tolerance, of } => {
                let (tolerance, of) = (self.wanted(tolerance, &kind), self.wanted(of, &kind));
                RelationNode::Within(tolerance.node, of.node)
            }
            Relation::Between { low, high } => {
                let (low, high) = (self.wanted(low, &kind), self.wanted(high, &kind));
                RelationNode::Between(low.node, high.node)
            }
            Relation::Than {
                by,
                up_to,
                more,
                than,
                ..
            } => {
                let Some(by) = by else {
                    let than = self.wanted(than, &kind);
                    let comparison = if *more {
                        Comparison::More
                    } else {
                        Comparison::Less
                    };
                    return compare(
                        subject,
                        RelationNode::Plain(comparison, than.node),
                        kind,
                        span,
                    );
                };
                let by = self.wanted(by, &kind).node;
                let up_to = up_to.as_ref().map(|up_to| self.wanted(up_to, &kind).node);
                let than = self.wanted(than, &kind).node;
                RelationNode::Than {
                    by,
                    up_to,
                    more: *more,
                    than,
                }
            }
            // Asked above.
            Relation::Drawn | Relation::Lies { .. } => return Node::TOLD,
        };
        compare(subject, node, kind, span)
    }

    /// `A is on L`, `A is above B`: a distance, a rise or a run that is compared.
    fn lies(&mut self, subject: &'a Expr, how: Lies, than: &'a Expr, span: Span) -> Node {
        let subject = self.wanted(subject, &Kind::Point);
        let (head, than) = match how {
            Lies::On => ("distance", self.wanted(than, &Kind::Curve)),
            Lies::Above | Lies::Below => ("rise", self.wanted(than, &Kind::Point)),
            Lies::LeftOf | Lies::RightOf => ("run", self.wanted(than, &Kind::Point)),
        };
        let takes = |form: &Form| {
            let to = form
                .place_of(Some(Link::To))
                .and_then(|at| form.places.get(at));
            to.is_some_and(|place| place.takes.takes(&than.kind))
        };
        let Some((row, _)) = self.table.with_head(head).find(|(_, form)| takes(form)) else {
            return Node::TOLD;
        };
        let (from, to) = match how {
            Lies::On | Lies::Below | Lies::LeftOf => (subject, than),
            Lies::Above | Lies::RightOf => (than, subject),
        };
        let call = CallNode {
            form: row,
            args: [Some(from.node), Some(to.node)].into(),
            names: [from.name, to.name].into(),
            spans: [from.span, to.span].into(),
            span,
        };
        let measured = Typed::new(Node::Call(Box::new(call)), Kind::LENGTH, span);
        let relation = match how {
            Lies::On => RelationNode::Plain(Comparison::AtMost, length(LIES_ON)),
            _ => RelationNode::Plain(Comparison::More, length(0.0)),
        };
        compare(measured, relation, Kind::LENGTH, span)
    }

    /// What `try … until` takes: an equality of two figures.
    pub(super) fn equality(&mut self, expr: &'a Expr) -> Option<Equality> {
        let mut than_span = None;
        let (subject, kind, right) = match &expr.kind {
            ExprKind::Bracketed(inner) => return self.equality(inner),
            ExprKind::Compare {
                comparison: Comparison::Equal,
                left,
                right,
            } => {
                let left = self.expression(left);
                let right = self.wanted_figure(right, &left.kind)?;
                let kind = left.kind.clone();
                (left, kind, right)
            }
            ExprKind::Is { subject, relation } => match relation.as_ref() {
                Relation::Than {
                    by: Some(by),
                    up_to: None,
                    more,
                    than: than_expr,
                    ..
                } => {
                    let left = self.expression(subject);
                    let kind = left.kind.clone();
                    let by = self.wanted_figure(by, &kind)?;
                    let than = self.wanted_figure(than_expr, &kind)?;
                    let operator = if *more {
                        Operator::Add
                    } else {
                        Operator::Subtract
                    };
                    let right = Node::Sum(Box::new(SumNode {
                        operator,
                        left: than,
                        right: by,
                        span: expr.span,
                        right_span: expr.span,
                    }));
                    than_span = Some(than_expr.span);
                    (left, kind, right)
                }
                _ => return self.no_equality(expr),
            },
            ExprKind::Broken => {
                self.here.broken = true;
                return None;
            }
            _ => return self.no_equality(expr),
        };
        let Kind::Quantity(dimension) = kind else {
            if kind != Kind::Unknown {
                let message =
                    self.kind_mismatch(&subject, "a length, an angle, an area or a number", &[]);
                self.fail(message);
            }
            return None;
        };
        Some(Equality {
            left: subject.node,
            right,
            than: than_span,
            dimension,
            subject: subject.span,
        })
    }

    fn wanted_figure(&mut self, expr: &'a Expr, kind: &Kind) -> Option<Node> {
        let (typed, fine) = self.unbroken(|c| c.wanted(expr, kind));
        self.here.broken |= !fine;
        fine.then_some(typed.node)
    }

    fn no_equality(&mut self, expr: &'a Expr) -> Option<Equality> {
        let message = "`try` looks for the value that makes two figures equal.";
        let help =
            "Write `until A = B`, or `until A is 4mm longer than B`. A range belongs in a `check`.";
        self.fail(Diagnostic::error(Code::WordsDoNotFit, expr.span, message).help(help));
        None
    }
}

fn length(mm: f64) -> Node {
    Node::Known(Value::Quantity(mm))
}

fn compare(left: Typed, relation: RelationNode, kind: Kind, span: Span) -> Node {
    Node::Compare(Box::new(CompareNode {
        left: left.node,
        relation,
        kind,
        span,
    }))
}
