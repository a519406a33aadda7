//! `give`: the value of an `each`, the results of an operation.

use super::checker::{Checker, GiveFrame, Given, PanelOffers, Typed};
use super::program::{Giving, Node, Op, Slot};
use super::scope::{Binding, Bound, LayerKind, Names, Sheet, size_of};
use super::shape::{Member, members};
use crate::kind::Kind;
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree;
use std::rc::Rc;
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
            let message = "`give` ends an act or an `each`, and here is neither.";
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
        (gives, given, offers): (Kind, Option<Given>, Option<PanelOffers>),
        typed: Vec<Typed>,
        values: &[tree::Expr],
        span: Span,
    ) -> (GiveFrame, Vec<Op>) {
        let mut results = Given::default();
        let mut nodes = Vec::new();
        if gives == Kind::Panel {
            // A panel given alone is the result itself; beside others it is a panel on it.
            let alone = values.len() == 1;
            let mut names = Names::new();
            for (value, expr) in typed.into_iter().zip(values) {
                let Some((name, binding)) = self.member_given(value, expr) else {
                    continue;
                };
                match &binding.bound {
                    Bound::Sheet(sheet) if alone => results.sheet = Rc::clone(sheet),
                    _ => {
                        names.insert(name, binding);
                    }
                }
            }
            if !names.is_empty() {
                results.sheet = Rc::new(Sheet {
                    size: size_of(&names),
                    members: Rc::new(names),
                    ..Sheet::default()
                });
            }
            if results.sheet.size <= super::panel::MOST_GIVEN {
                results.members = members(&results.sheet);
            } else {
                let message = format!(
                    "This act gives a panel of {} names; {} is the most.",
                    results.sheet.size,
                    super::panel::MOST_GIVEN
                );
                self.fail(Diagnostic::error(Code::TooLarge, span, message));
                results = Given::default();
            }
            nodes.extend(results.members.iter().map(|one| Node::Slot(one.slot)));
        } else {
            let mut values = typed.into_iter();
            match (values.next(), values.next()) {
                (Some(one), None) => {
                    let one = self.must_be(one, &gives);
                    results.members.push(Member {
                        path: "".into(),
                        kind: gives.clone(),
                        lines: None,
                        guide: None,
                        slot: Slot::NONE,
                    });
                    nodes.push(one.node);
                }
                _ => {
                    let message = format!("This act gives {}, one value.", gives.with_article());
                    self.fail(
                        Diagnostic::error(Code::NamesAndValues, span, message)
                            .help("Several results are a panel: write `gives panel`."),
                    );
                }
            }
        }
        if let Some(first) = &given {
            let same = first.members.len() == results.members.len()
                && (first.members.iter().zip(&results.members))
                    .all(|(a, b)| a.path == b.path && b.kind.fits(&a.kind))
                && first.sheet.laid_on == results.sheet.laid_on;
            if !same {
                self.fail(Diagnostic::error(
                    Code::NamesAndValues,
                    span,
                    "Every `give` of an act gives the same names, in the same order.",
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

    /// A result of a panel, under the name it is given by; an act keeps its own aids, so that it can be laid over the panel
    /// once more.
    fn member_given(&mut self, value: Typed, expr: &tree::Expr) -> Option<(Arc<str>, Binding)> {
        let tree::ExprKind::Name(name) = &expr.kind else {
            let message = "The results of a panel are given by name.";
            self.fail(
                Diagnostic::error(Code::NamesAndValues, expr.span, message)
                    .help("Draw it under a name first, and give that name."),
            );
            return None;
        };
        let last = Arc::clone(&name.words.last()?.text);
        if value.kind.holds_panels() {
            let message = "A list of panels is not given on a panel.";
            self.fail(
                Diagnostic::error(Code::WrongKind, expr.span, message)
                    .help("Give the panels one by one, each by its name."),
            );
            return None;
        }
        let bound = match (&value.shape, Self::slot_of(&value.node)) {
            (Some(shape), _) => {
                let head = self.here.operation.as_deref();
                Bound::Sheet(without_aids(&shape.sheet, head.unwrap_or_default()))
            }
            (None, slot) => Bound::Value {
                slot: slot.unwrap_or(Slot::NONE),
                kind: value.kind,
                site: None,
            },
        };
        let mut binding = Binding::new(bound, expr.span);
        binding.lines = value.lines;
        Some((last, binding))
    }
}

/// A sheet without the aids that belong to this act.
fn without_aids(sheet: &Rc<Sheet>, head: &str) -> Rc<Sheet> {
    let is_own = |binding: &Binding| binding.guide.as_deref() == Some(head);
    let has_own = |sheet: &Sheet| sheet.members.values().any(is_own);
    let mut changed: Option<Names> = has_own(sheet).then(|| {
        let left = sheet.members.iter().filter(|(_, binding)| !is_own(binding));
        left.map(|(name, binding)| (Arc::clone(name), binding.clone()))
            .collect()
    });
    for (name, binding) in sheet.members.iter() {
        if let Bound::Sheet(inner) = &binding.bound {
            let left = without_aids(inner, head);
            if !Rc::ptr_eq(&left, inner) {
                let names = changed.get_or_insert_with(|| Names::clone(&sheet.members));
                if let Some(binding) = names.get_mut(name) {
                    binding.bound = Bound::Sheet(left);
                }
            }
        }
    }
    changed.map_or_else(
        || Rc::clone(sheet),
        |members| {
            Rc::new(Sheet {
                members: Rc::new(members),
                ..Sheet::clone(sheet)
            })
        },
    )
}

/// What a panel offers that is given alone.
fn offers_of_panel(typed: &[Typed]) -> Option<PanelOffers> {
    let [one] = typed else { return None };
    Some((one.name.clone()?, one.shape.as_ref()?.offers?))
}
