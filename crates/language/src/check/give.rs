//! `give`: the value of an `each`, the results of an operation.

use super::checker::{Checker, GiveFrame, Given, PanelOffers, Typed};
use super::program::{Giving, Op};
use super::scope::LayerKind;
use crate::kind::Kind;
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree;
use std::sync::Arc;

impl<'a> Checker<'a> {
    pub(super) fn give(&mut self, values: &'a [tree::Expr], span: Span) -> Vec<Op> {
        let typed: Vec<Typed> = values.iter().map(|value| self.expression(value)).collect();
        let layer = self.here.layers.last();
        if layer.is_some_and(|layer| layer.kind == LayerKind::Round) {
            let message = "This `each` stands by itself and collects nothing.";
            let told = Diagnostic::error(Code::SentenceOutOfPlace, span, message);
            self.fail(told.help("To collect what it gives, write `list NAME = each …`."));
            return Vec::new();
        }
        let Some(frame) = self.here.gives.pop() else {
            let message = "`give` ends an operation or an `each`, and here is neither.";
            self.fail(Diagnostic::error(Code::SentenceOutOfPlace, span, message));
            return Vec::new();
        };
        let (frame, ops) = match frame {
            GiveFrame::Each { .. } => (self.give_in_each(typed, span), Vec::new()),
            GiveFrame::Operation {
                gives,
                given,
                offers,
            } => {
                let offers = offers.or_else(|| offers_of_panel(&typed));
                self.give_in_operation((gives, given, offers), typed, values, span)
            }
        };
        self.here.gives.push(frame);
        ops
    }

    pub(super) fn give_in_each(&mut self, typed: Vec<Typed>, span: Span) -> GiveFrame {
        if self
            .here
            .layers
            .last()
            .is_none_or(|layer| layer.kind != LayerKind::Each)
        {
            self.fail(Diagnostic::error(
                Code::SentenceOutOfPlace,
                span,
                "`give` stands at the end of the `each` block itself.",
            ));
        }
        let mut typed = typed.into_iter();
        match (typed.next(), typed.next()) {
            (Some(one), None) => GiveFrame::Each { value: Some(one) },
            _ => {
                self.fail(
                    Diagnostic::error(
                        Code::NamesAndValues,
                        span,
                        "`each` collects one value each time.",
                    )
                    .help("To collect several, give a list: `give [a, b]`."),
                );
                GiveFrame::Each {
                    value: Some(Typed::unknown(span)),
                }
            }
        }
    }

    pub(super) fn give_in_operation(
        &mut self,
        (gives, given, offers): (Kind, Option<Vec<Given>>, Option<PanelOffers>),
        typed: Vec<Typed>,
        values: &[tree::Expr],
        span: Span,
    ) -> (GiveFrame, Vec<Op>) {
        let mut results = Vec::new();
        let mut nodes = Vec::new();
        if gives == Kind::Panel {
            // A panel given alone is the result itself; beside others it is a panel on it.
            let alone = values.len() == 1;
            for (value, expr) in typed.into_iter().zip(values) {
                self.give_member(value, expr, alone, &mut results, &mut nodes);
            }
            if results.len() > super::panel::MOST_GIVEN {
                let message = format!(
                    "This operation gives a panel of {} names; {} is the most.",
                    results.len(),
                    super::panel::MOST_GIVEN
                );
                self.fail(Diagnostic::error(Code::TooLarge, span, message));
                (results, nodes) = (Vec::new(), Vec::new());
            }
        } else {
            let mut values = typed.into_iter();
            match (values.next(), values.next()) {
                (Some(one), None) => {
                    let one = self.must_be(one, &gives);
                    results.push(Given {
                        name: "".into(),
                        kind: gives.clone(),
                        lines: None,
                    });
                    nodes.push(one.node);
                }
                _ => {
                    let message =
                        format!("This operation gives {}, one value.", gives.with_article());
                    self.fail(
                        Diagnostic::error(Code::NamesAndValues, span, message)
                            .help("Several results are a panel: write `gives panel`."),
                    );
                }
            }
        }
        if let Some(first) = &given {
            let same = first.len() == results.len()
                && first
                    .iter()
                    .zip(&results)
                    .all(|(a, b)| a.name == b.name && b.kind.fits(&a.kind));
            if !same {
                self.fail(Diagnostic::error(
                    Code::NamesAndValues,
                    span,
                    "Every `give` of an operation gives the same names, in the same order.",
                ));
            }
        }
        let ops = nodes
            .into_iter()
            .enumerate()
            .map(|(result, value)| Giving { value, result })
            .collect();
        let frame = GiveFrame::Operation {
            gives,
            given: given.or(Some(results)),
            offers,
        };
        (frame, vec![Op::Give(ops)])
    }

    pub(super) fn give_member(
        &mut self,
        value: Typed,
        expr: &tree::Expr,
        alone: bool,
        results: &mut Vec<Given>,
        nodes: &mut Vec<super::program::Node>,
    ) {
        let tree::ExprKind::Name(name) = &expr.kind else {
            let message = "The results of a panel are given by name.";
            self.fail(
                Diagnostic::error(Code::NamesAndValues, expr.span, message)
                    .help("Draw it under a name first, and give that name."),
            );
            return;
        };
        let Some(last) = name.words.last() else {
            return;
        };
        if value.kind.holds_panels() {
            let message = "A list of panels is not given on a panel.";
            self.fail(
                Diagnostic::error(Code::WrongKind, expr.span, message)
                    .help("Give the panels one by one, each by its name."),
            );
            return;
        }
        match &value.shape {
            Some(shape) => {
                for (member, node) in super::operation::members_with_nodes(shape) {
                    // An act keeps its own aids, so that it can be laid over the panel once more.
                    if member.guide.is_some()
                        && member.guide.as_deref() == self.here.operation.as_deref()
                    {
                        continue;
                    }
                    let name = if alone {
                        member.path
                    } else {
                        [&last.text, ".", &member.path].concat().into()
                    };
                    results.push(Given {
                        name,
                        kind: member.kind,
                        lines: member.lines,
                    });
                    nodes.push(node);
                }
            }
            None => {
                results.push(Given {
                    name: Arc::clone(&last.text),
                    kind: value.kind,
                    lines: value.lines,
                });
                nodes.push(value.node);
            }
        }
    }
}

/// What a panel offers that is given alone.
fn offers_of_panel(typed: &[Typed]) -> Option<PanelOffers> {
    let [one] = typed else { return None };
    Some((one.name.clone()?, one.shape.as_ref()?.offers?))
}
