//! Expressions: figures and their units, names, displacements, directions, lists and texts. Phrases are bound in
//! [`super::dispatch`], conditions in [`super::relation`].

use super::checker::{Checker, Typed};
use super::program::{BearingNode, DisplacedNode, FarNode, Node, Slot, SumNode};
use super::scope::Bound;
use crate::kind::{Dimension, Kind};
use crate::phrase::Value;
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree::{self, Bearing, DirectionWord, Expr, ExprKind, Far, Operator};
use kurbo::{Point, Vec2};
use std::sync::Arc;

impl DirectionWord {
    /// The unit vector of a direction of the sheet; none for the sides of cloth and senses of turn.
    pub(super) fn vector(self) -> Option<Vec2> {
        match self {
            DirectionWord::Up => Some(Vec2::new(0.0, 1.0)),
            DirectionWord::Down => Some(Vec2::new(0.0, -1.0)),
            DirectionWord::Left => Some(Vec2::new(-1.0, 0.0)),
            DirectionWord::Right => Some(Vec2::new(1.0, 0.0)),
            _ => None,
        }
    }
}

impl<'a> Checker<'a> {
    pub(super) fn expression(&mut self, expr: &'a Expr) -> Typed {
        let span = expr.span;
        match &expr.kind {
            // A figure with a unit nobody knows is told already.
            ExprKind::Figure { unit: None, .. } if self.has_letters(span) => {
                self.here.broken = true;
                Typed::unknown(span)
            }
            ExprKind::Figure { value, unit } => {
                let (dimension, scale) = unit.map_or((Dimension::NUMBER, 1.0), tree::Unit::measure);
                let node = self.written_figure(value * scale, span);
                let mut typed = Typed::new(node, Kind::Quantity(dimension), span);
                typed.is_figure = unit.is_none();
                typed
            }
            ExprKind::Text(text) => self.text(text),
            ExprKind::Answer(answer) => {
                Typed::new(Node::Known(Value::Answer(*answer)), Kind::Answer, span)
            }
            ExprKind::Origin => {
                Typed::new(Node::Known(Value::Point(Point::ORIGIN)), Kind::Point, span)
            }
            ExprKind::Name(name) => match self.bare_head(name) {
                Some(phrase) => phrase,
                None => self.name(name),
            },
            ExprKind::Direction(word) => self.direction_word(*word, span),
            ExprKind::List(items) => self.list(items, span),
            ExprKind::Negative(inner) => self.negative(inner, span),
            ExprKind::Sum {
                operator,
                sign,
                left,
                right,
            } => self.sum(*operator, *sign, left, right, span),
            ExprKind::Of { head, operand } => self.head_of(head, operand, span),
            ExprKind::Displaced { from, moves } => self.displaced(from, moves, span),
            ExprKind::Turn {
                angle, clockwise, ..
            } => {
                let turned = self.expression(angle);
                let round = match turned.kind {
                    Kind::LENGTH => Some(Kind::LengthRound),
                    Kind::Point => Some(Kind::PointRound),
                    _ => None,
                };
                if let Some(kind) = round {
                    let sense = Node::Known(Value::Answer(*clockwise));
                    return Typed::new(Node::List(vec![turned.node, sense]), kind, span);
                }
                let angle = self.must_be(turned, &Kind::ANGLE);
                Typed::new(
                    Node::Turn(Box::new(angle.node), *clockwise),
                    Kind::Turn,
                    span,
                )
            }
            ExprKind::Bearing(bearing) => self.bearing(bearing, span),
            ExprKind::Compare { .. }
            | ExprKind::Is { .. }
            | ExprKind::Not(_)
            | ExprKind::Both(..)
            | ExprKind::Either(..) => {
                let node = self.condition(expr);
                Typed::new(node, Kind::Answer, span)
            }
            ExprKind::Phrase(phrase) => self.phrase(phrase, span),
            ExprKind::Each(each) => self.each(each, span),
            ExprKind::Bracketed(inner) => {
                let inner = self.expression(inner);
                Typed {
                    is_figure: inner.is_figure,
                    ..inner
                }
            }
            ExprKind::Broken => {
                self.here.broken = true;
                Typed::unknown(span)
            }
        }
    }

    fn name(&mut self, name: &'a tree::Name) -> Typed {
        let Some(binding) = self.resolve(name) else {
            return Typed::unknown(name.span);
        };
        let spoken: Arc<str> = match name.words.as_slice() {
            [word] => Arc::clone(&word.text),
            words => {
                let words: Vec<&str> = words.iter().map(|word| word.text.as_ref()).collect();
                words.join(".").into()
            }
        };
        match &binding.bound {
            Bound::Value { slot, kind, .. } => {
                self.here.reads.push(*slot);
                let mut typed = Typed::new(Node::Slot(*slot), kind.clone(), name.span);
                typed.name = Some(spoken);
                typed.lines = binding
                    .lines
                    .clone()
                    .map(|lines| super::list::from_here(name, &lines));
                typed.shape = binding.items.clone();
                typed
            }
            Bound::Sheet(sheet) if sheet.is_file => {
                self.fail(
                    Diagnostic::error(
                        Code::WrongKind,
                        name.span,
                        format!("`{spoken}` is a file, not something drawn."),
                    )
                    .help(format!("Name what is in it: `{spoken}.…`.")),
                );
                Typed::unknown(name.span)
            }
            Bound::Sheet(sheet) => Typed::of_sheet(&spoken, sheet, name.span),
            Bound::OnOneBranch(span, _) => {
                let told = self.on_one_branch(&spoken, name.span, *span);
                self.fail(told);
                Typed::unknown(name.span)
            }
        }
    }

    fn direction_word(&mut self, word: DirectionWord, span: Span) -> Typed {
        if let Some(vector) = word.vector() {
            return Typed::new(Node::Known(Value::Direction(vector)), Kind::Direction, span);
        }
        if matches!(
            word,
            DirectionWord::Clockwise | DirectionWord::Anticlockwise
        ) {
            let message = format!(
                "`{}` follows an angle, and there is none here.",
                word.word()
            );
            self.fail(
                Diagnostic::error(Code::SentenceBroken, span, message)
                    .help(format!("Write the angle first: `by 6deg {}`.", word.word())),
            );
            return Typed::unknown(span);
        }
        let cloth = self
            .here
            .layers
            .iter()
            .rev()
            .find_map(|layer| layer.cloth.clone());
        let Some(cloth) = cloth else {
            let message = format!(
                "`{}` means the side of the cloth, and this panel has not said where its cloth is.",
                word.word()
            );
            let mut diagnostic = Diagnostic::error(Code::ClothSideUnknown, span, message)
                .at("on which side is the cloth?")
                .note("Inside a neck line may mean into the body, or toward the hole.")
                .help("Say it once in the panel, `cloth at` a point that lies on cloth; or write `toward` a point here.");
            if let Some(blade) = self.visible().find(|name| name.contains("blade")) {
                diagnostic = diagnostic
                    .help(format!(
                        "Say it once in the panel, as in `cloth at {blade}`; or write `toward {blade}` here."
                    ))
                    .offer(span, blade);
            }
            self.fail(diagnostic);
            return Typed::unknown(span);
        };
        let node = if word == DirectionWord::Inside {
            BearingNode::At(cloth)
        } else {
            BearingNode::AwayFrom(cloth)
        };
        Typed::new(Node::Bearing(Box::new(node)), Kind::Bearing, span)
    }

    fn negative(&mut self, inner: &'a Expr, span: Span) -> Typed {
        let typed = self.expression(inner);
        match &typed.kind {
            Kind::Quantity(_) => Typed {
                node: Node::Negative(Box::new(typed.node)),
                span,
                name: None,
                form: None,
                ..typed
            },
            Kind::Unknown => Typed::unknown(span),
            other => {
                let message = format!(
                    "A minus sign stands before a figure, and here it stands before {}.",
                    other.with_article()
                );
                self.fail(Diagnostic::error(Code::KindsDoNotMix, span, message));
                Typed::unknown(span)
            }
        }
    }

    fn sum(
        &mut self,
        operator: Operator,
        sign: Span,
        left: &'a Expr,
        right: &'a Expr,
        span: Span,
    ) -> Typed {
        let (a, b) = (self.expression(left), self.expression(right));
        let (left_kind, right_kind) = match (&a.kind, &b.kind) {
            (Kind::Unknown, _) | (_, Kind::Unknown) => return Typed::unknown(span),
            (Kind::Quantity(x), Kind::Quantity(y)) => (*x, *y),
            _ => {
                let wrong = if matches!(a.kind, Kind::Quantity(_)) {
                    &b
                } else {
                    &a
                };
                let message = format!(
                    "Figures can be {}, and this is {}.",
                    super::kind_mismatch::done(operator),
                    wrong.kind.with_article()
                );
                let mut diagnostic = Diagnostic::error(Code::KindsDoNotMix, wrong.span, message)
                    .at(wrong.kind.with_article());
                if wrong.kind.is_path() {
                    let length = format!("length of {}", self.said(wrong.span));
                    diagnostic = diagnostic
                        .help(format!("For how long it is, write `({length})`."))
                        .offer(wrong.span, format!("({length})"));
                }
                self.fail(diagnostic);
                return Typed::unknown(span);
            }
        };
        let dimension = match operator {
            Operator::Multiply => left_kind.times(right_kind),
            Operator::Divide => left_kind.over(right_kind),
            Operator::Add | Operator::Subtract if left_kind == right_kind => left_kind,
            Operator::Add | Operator::Subtract => {
                let diagnostic = self.sum_mismatch(operator, sign, &a, &b);
                self.fail(diagnostic);
                return Typed::unknown(span);
            }
        };
        let node = self
            .worked_out(operator, &a.node, &b.node)
            .unwrap_or_else(|| {
                Node::Sum(Box::new(SumNode {
                    operator,
                    left: a.node,
                    right: b.node,
                    span,
                    right_span: b.span,
                }))
            });
        let mut typed = Typed::new(node, Kind::Quantity(dimension), span);
        // `3/8` is a division, and most likely a fraction whose unit was left off.
        typed.is_figure = operator == Operator::Divide && a.is_figure && b.is_figure;
        typed
    }

    fn displaced(&mut self, from: &'a Expr, moves: &'a [tree::Displacement], span: Span) -> Typed {
        let from = self.wanted(from, &Kind::Point);
        let mut legs = Vec::with_capacity(moves.len());
        for leg in moves {
            let Some(way) = leg.direction.vector() else {
                let message = format!(
                    "A point is moved up, down, left or right; `{}` needs a line to be on one side of.",
                    leg.direction.word()
                );
                self.fail(Diagnostic::error(Code::WordsDoNotFit, leg.span, message));
                return Typed::unknown(span);
            };
            let far = match &leg.far {
                Far::By(length) => {
                    FarNode::By(self.wanted(length, &Kind::LENGTH).node, length.span)
                }
                Far::Until(target) => {
                    let typed = self.expression(target);
                    match typed.kind {
                        Kind::Line | Kind::Curve | Kind::Unknown => {}
                        Kind::Point => {
                            let message = self.level_with_a_point(leg, target);
                            self.fail(message);
                        }
                        _ => {
                            let message =
                                self.kind_mismatch(&typed, "a line or curve to meet", &[]);
                            self.fail(message);
                        }
                    }
                    FarNode::Until(typed.node, typed.name, typed.span)
                }
                Far::LevelOf(target) => {
                    let typed = self.wanted(target, &Kind::Point);
                    FarNode::Until(typed.node, typed.name, typed.span)
                }
            };
            legs.push((way, far));
        }
        Typed::new(
            Node::Displaced(Box::new(DisplacedNode {
                from: from.node,
                legs: legs.into(),
            })),
            Kind::Point,
            span,
        )
    }

    /// `down until P`, where a line is wanted.
    fn level_with_a_point(&self, leg: &tree::Displacement, target: &Expr) -> Diagnostic {
        let way = leg.direction.word();
        let message = format!(
            "`{way} until` runs to a line, and `{}` is a point.",
            self.said(target.span)
        );
        let help = format!("Write `{way} to level of {}`.", self.said(target.span));
        Diagnostic::error(Code::WrongKind, leg.span.to(target.span), message)
            .at("level with a point?")
            .help(help)
    }

    fn bearing(&mut self, bearing: &'a Bearing, span: Span) -> Typed {
        let (node, kind) = match bearing {
            Bearing::Along(line) => (
                BearingNode::Along(self.wanted(line, &Kind::Curve).node),
                Kind::Bearing,
            ),
            Bearing::SquareTo(line, toward) => {
                let line = self.wanted(line, &Kind::Curve).node;
                let toward = toward
                    .as_ref()
                    .map(|toward| self.bearing_value(toward).node);
                (BearingNode::SquareTo(line, toward), Kind::Bearing)
            }
            Bearing::Leaning {
                angle,
                below,
                from,
                from_span,
            } => {
                let place = angle.span;
                let angle = self.wanted(angle, &Kind::ANGLE).node;
                let Some(level) = from.vector() else {
                    let message = format!(
                        "An angle is measured from up, down, left or right, not from `{}`.",
                        from.word()
                    );
                    self.fail(Diagnostic::error(Code::WordsDoNotFit, *from_span, message));
                    return Typed::unknown(span);
                };
                (
                    BearingNode::Leaning {
                        angle,
                        span: place,
                        below: *below,
                        from: level,
                    },
                    Kind::Direction,
                )
            }
        };
        Typed::new(Node::Bearing(Box::new(node)), kind, span)
    }

    /// A direction or a point to head for.
    pub(super) fn bearing_value(&mut self, expr: &'a Expr) -> Typed {
        let typed = self.expression(expr);
        if matches!(
            typed.kind,
            Kind::Direction | Kind::Bearing | Kind::Point | Kind::Unknown
        ) {
            return typed;
        }
        let message = self.kind_mismatch(&typed, "a direction or a point", &[]);
        self.fail(message);
        Typed::unknown(expr.span)
    }

    /// A sum of two known figures.
    fn worked_out(&mut self, operator: Operator, left: &Node, right: &Node) -> Option<Node> {
        let is_known = |node: &Node| matches!(node, Node::Known(_) | Node::Figure(_));
        if !is_known(left) || !is_known(right) {
            return None;
        }
        let (a, b) = (self.look_at(left)?, self.look_at(right)?);
        let figure = match operator {
            Operator::Add => a + b,
            Operator::Subtract => a - b,
            Operator::Multiply => a * b,
            Operator::Divide => a / b,
        };
        figure
            .is_finite()
            .then_some(Node::Known(Value::Quantity(figure)))
    }

    /// The slot read by a node that is a plain name.
    pub(super) fn slot_of(node: &Node) -> Option<Slot> {
        if let Node::Slot(slot) = node {
            Some(*slot)
        } else {
            None
        }
    }
}
