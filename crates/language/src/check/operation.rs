//! Operations: declared like a call with its kinds, found by the same look-up as every phrase, checked once for each
//! set of panels they are given. An operation sees its arguments, its file's measures and the operations above it.

use super::checker::{Checker, FileContext, GiveFrame, Given, Place, Typed};
use super::declaration::{Asked, kind_of};
use super::offers::{Home, Offer, OfferSentence, Offered, Passed};
use super::panel::{Member, Shape, nest};
use super::program::{ArgumentRange, ArgumentTexts, FormRef, Node, OperationCall, Routine, Slot};
use super::scope::{Binding, Bound, Layer, LayerKind, Sheet};
use super::texts::Texts;
use crate::kind::Kind;
use crate::phrase::{Form, Gives};
use crate::report::{Code, Diagnostic, Span};
use crate::say;
use crate::syntax::tree::{self, Link};
use std::collections::BTreeMap;
use std::fmt::Write;
use std::rc::Rc;
use std::sync::Arc;

/// Most routines made of one draft's operations, so that a check ends.
const MOST_ROUTINES: usize = 2_000;

/// An operation as declared.
pub(super) struct OperationCode<'a> {
    pub form: Rc<Form>,
    tree: &'a tree::Operation,
    pub(super) span: Span,
    /// The file it stands in, with the measures and operations above it.
    home: FileContext,
    /// Routines made so far, by the members of the panels given.
    routines: BTreeMap<String, Made>,
}

impl<'a> OperationCode<'a> {
    /// As declared, with no routine made of it yet.
    pub fn new(form: Rc<Form>, tree: &'a tree::Operation, span: Span, home: FileContext) -> Self {
        Self {
            form,
            tree,
            span,
            home,
            routines: BTreeMap::new(),
        }
    }
}

/// A routine and what it gives.
#[derive(Clone)]
pub(super) struct Made {
    routine: usize,
    given: Vec<Given>,
    offers: Option<usize>,
    fine: bool,
    /// Nothing is given: a `require` refuses these panels.
    refused: bool,
}

/// What a call is given, in the order in which the operation asks for it.
#[derive(Default)]
struct Arguments {
    /// In the order of the routine's slots: a panel's members follow one another.
    nodes: Vec<Node>,
    /// The panels; none where the call gives none.
    panels: Vec<Option<Rc<Shape>>>,
    /// Names with kind, place and slot, for messages.
    shown: Vec<(String, Kind, Span, usize)>,
    /// Full names of the panels that these come from.
    from: Vec<String>,
    /// Full names of the panels those were traced or made from.
    origins: Vec<String>,
    /// What is given by name, for what the operation offers.
    passed: Passed,
}

impl Arguments {
    fn leave_out(&mut self, asked: &Asked<'_>, default: Node) {
        self.nodes.push(default);
        if asked.kind == Kind::Panel {
            self.panels.push(None);
        }
    }

    fn take(&mut self, asked: &Asked<'_>, items: Vec<Typed>, call: Span) {
        let name = &asked.parameter.name.text;
        let place = items.iter().map(|item| item.span).reduce(Span::to);
        self.passed.note(name, &items);
        self.shown.push((
            name.to_string(),
            asked.kind.clone(),
            place.unwrap_or(call),
            self.nodes.len(),
        ));
        match (&asked.kind, items.as_slice()) {
            (Kind::Panel, [item]) => {
                if let Some(shape) = &item.shape {
                    let members = members_with_nodes(shape).into_iter();
                    self.nodes.extend(members.map(|(_, node)| node));
                    self.from.extend(shape.from.iter().cloned());
                    self.origins.extend(shape.origins.iter().cloned());
                }
                self.panels.push(item.shape.clone());
            }
            (kind, [item])
                if !matches!(kind, Kind::List(_)) || matches!(item.kind, Kind::List(_)) =>
            {
                self.nodes.push(item.node.clone());
            }
            _ => {
                let items = items.into_iter().map(|item| item.node);
                self.nodes.push(Node::List(items.collect()));
            }
        }
    }
}

impl<'a> Checker<'a> {
    pub fn call_operation(
        &mut self,
        number: usize,
        form: &Form,
        arguments: Vec<(Option<Link>, Vec<Typed>)>,
        options: Vec<(usize, Typed)>,
        span: Span,
    ) -> Typed {
        let Some(operation) = self.operations.get(number) else {
            return Typed::unknown(span);
        };
        let asked = self.asked(operation.tree);
        let mut given = Arguments::default();
        let mut numbers = 0..form.options.len();
        for one in &asked {
            let items = if one.is_option {
                let number = numbers.next();
                let set = options.iter().find(|(at, _)| Some(*at) == number);
                set.map(|(_, typed)| vec![typed.clone()])
            } else {
                let place = arguments.iter().find(|(link, _)| *link == one.link);
                place.map(|(_, items)| items.clone())
            };
            let Some(items) = items else {
                given.leave_out(one, self.default_of(number, one));
                continue;
            };
            if let (Some(texts), [item]) = (Texts::of_parameter(one.parameter), items.as_slice())
                && let Some(message) = self.none_of(&one.parameter.name.text, &texts, item)
            {
                self.fail(message);
            }
            given.take(one, items, span);
        }
        let Arguments {
            nodes,
            panels,
            shown,
            from,
            origins,
            passed,
        } = given;
        if panels.iter().flatten().any(|shape| shape.is_open) {
            // The sentence that should have drawn the panel is wrong, and told.
            self.here.broken = true;
            return Typed::unknown(span);
        }
        let Some(made) = self.routine_at_call(number, panels, span) else {
            return Typed::unknown(span);
        };
        if !made.fine {
            self.here.broken = true;
            return Typed::unknown(span);
        }
        self.here.refused |= made.refused && self.here.operation.is_some();
        self.has_refused |= made.refused;
        let call = OperationCall {
            routine: made.routine,
            args: nodes.into(),
            span,
            shown: shown.into(),
        };
        let kind = if let Gives::Kind(kind) = &form.gives {
            kind.clone()
        } else {
            Kind::Unknown
        };
        let mut typed = Typed::new(Node::Operation(Box::new(call)), kind, span);
        typed.form = Some(FormRef::Operation(number));
        if typed.kind == Kind::Panel {
            let given = made
                .given
                .iter()
                .map(|g| Member {
                    path: Arc::clone(&g.name),
                    kind: g.kind.clone(),
                    lines: g.lines.clone(),
                    guide: None,
                })
                .collect();
            let offers = self.offers_of_call(made.offers, passed);
            let mut shape = Shape::of_results(given, offers, (from, origins));
            shape.is_open = made.refused;
            typed.shape = Some(Rc::new(shape));
        }
        typed
    }

    /// A default reads the measures of the operation's own file.
    fn default_of(&mut self, number: usize, asked: &Asked<'a>) -> Node {
        let Some(default) = &asked.parameter.default else {
            return Node::LEFT_OUT;
        };
        let Some(home) = self
            .operations
            .get(number)
            .map(|operation| operation.home.clone())
        else {
            return Node::LEFT_OUT;
        };
        let mut layer = Layer::new(LayerKind::Operation, "", String::new());
        layer.names = Rc::clone(&home.globals);
        let place = Place {
            file: home,
            layers: vec![layer],
            operation: self.here.operation.clone(),
            ..Place::default()
        };
        let (typed, _) = self.beside(place, |c| c.wanted(default, &asked.kind));
        typed.node
    }

    /// The routine for these panels; what goes wrong in it for them is told at the call.
    fn routine_at_call(
        &mut self,
        number: usize,
        panels: Vec<Option<Rc<Shape>>>,
        span: Span,
    ) -> Option<Made> {
        if self.program.routines.len() >= MOST_ROUTINES {
            let message = format!(
                "Operations call each other with more than {MOST_ROUTINES} different sets of panels."
            );
            self.fail(Diagnostic::error(Code::TooLarge, span, message));
            return None;
        }
        let before = self.diagnostics.len();
        let made = self.routine(number, panels);
        let inner: Vec<Diagnostic> = self
            .diagnostics
            .split_off(before.min(self.diagnostics.len()));
        let head = self
            .operations
            .get(number)
            .map(|o| o.tree.head.text.to_string())
            .unwrap_or_default();
        let known = |inner: &Diagnostic| {
            self.diagnostics.iter().any(|told| {
                told.code == inner.code
                    && told.place == inner.place
                    && told.message == inner.message
            })
        };
        let first = inner.into_iter().find(Diagnostic::is_error);
        if first.as_ref().is_some_and(known) {
            // Wrong whatever it is given: told where the operation stands.
            self.here.broken = true;
        } else if let Some(first) = first {
            let message = say!(
                "`{}` cannot work with what it is given. {}",
                head,
                first.message
            );
            let label = if first.label.is_empty() {
                say!("in `{}`", head)
            } else {
                say!("in `{}`: {}", head, first.label)
            };
            let mut diagnostic = Diagnostic::error(first.code, span, message)
                .at("asked for here")
                .see(first.place, label);
            diagnostic.help = first.help.clone();
            self.fail(diagnostic);
        }
        Some(made)
    }

    /// Checks the body for one set of panels, once.
    pub(super) fn routine(&mut self, number: usize, panels: Vec<Option<Rc<Shape>>>) -> Made {
        let key = panels
            .iter()
            .map(|p| p.as_ref().map_or("?".into(), |shape| signature(shape)))
            .collect::<Vec<_>>()
            .join(";");
        if let Some(made) = self
            .operations
            .get(number)
            .and_then(|o| o.routines.get(&key))
        {
            return made.clone();
        }
        let Some((tree, span, home)) = self
            .operations
            .get(number)
            .map(|o| (o.tree, o.span, o.home.clone()))
        else {
            return Made {
                routine: 0,
                given: Vec::new(),
                offers: None,
                fine: false,
                refused: false,
            };
        };
        let is_open = panels.iter().any(Option::is_none);
        let made = self.in_operation(tree, span, home, panels);
        if let Some(operation) = self.operations.get_mut(number) {
            operation.routines.insert(key, made.clone());
        }
        Made {
            fine: made.fine || is_open,
            ..made
        }
    }

    fn in_operation(
        &mut self,
        tree: &'a tree::Operation,
        span: Span,
        home: FileContext,
        panels: Vec<Option<Rc<Shape>>>,
    ) -> Made {
        let prefix = format!("{}.", tree.head.text);
        let mut globals = Layer::new(LayerKind::Operation, "", prefix.clone());
        globals.names = Rc::clone(&home.globals);
        let drawn = Rc::new(super::checker::drawn_names(&tree.body.sentences));
        let place = Place {
            file: FileContext { drawn, ..home },
            layers: vec![globals, Layer::new(LayerKind::Operation, "", prefix)],
            operation: Some(tree.head.text.to_string()),
            ..Place::default()
        };
        self.at(place, |c| c.body_of(tree, span, panels)).0
    }

    /// The routine of an operation's body, at its own place.
    fn body_of(
        &mut self,
        tree: &'a tree::Operation,
        span: Span,
        panels: Vec<Option<Rc<Shape>>>,
    ) -> Made {
        let errors = self.errors();
        let (arguments, ranges, texts) = self.bind_parameters(tree, panels);
        self.here.gives.push(GiveFrame::Operation {
            gives: kind_of(&tree.gives),
            given: None,
            offers: None,
        });
        self.offering.push(Vec::new());
        let body = self.sentences(&tree.body.sentences);
        let offered = self.offering.pop().unwrap_or_default();
        let (given, inner_offers) = match self.here.gives.pop() {
            Some(GiveFrame::Operation { given, offers, .. }) => (given.unwrap_or_default(), offers),
            _ => (Vec::new(), None),
        };
        let fine = self.errors() == errors;
        let refused = self.here.refused;
        let routine = Routine {
            head: tree.head.text.to_string(),
            span,
            slots: self.here.slots,
            body,
            arguments,
            results: given.len(),
            gives_panel: kind_of(&tree.gives) == Kind::Panel,
            refuses: refused,
            ranges,
            texts,
        };
        let number = self.program.routines.len();
        self.program.routines.push(routine);
        let own = self.offered(offered);
        let offers = self.offers_given(inner_offers, own);
        Made {
            routine: number,
            given,
            offers,
            fine,
            refused,
        }
    }

    fn offered(&mut self, sentences: Vec<OfferSentence<'a>>) -> Option<usize> {
        if sentences.is_empty() {
            return None;
        }
        let sentences = sentences.into_iter().map(Offered::alone).collect();
        self.offers.push(Offer {
            sentences,
            home: Home::Panel,
        });
        Some(self.offers.len() - 1)
    }

    fn errors(&self) -> usize {
        self.diagnostics.iter().filter(|d| d.is_error()).count()
    }

    fn bind_parameters(
        &mut self,
        tree: &'a tree::Operation,
        panels: Vec<Option<Rc<Shape>>>,
    ) -> (Vec<Slot>, Vec<ArgumentRange>, Vec<ArgumentTexts>) {
        let mut slots = Vec::new();
        let mut ranges = Vec::new();
        let mut texts = Vec::new();
        let mut panels = panels.into_iter();
        for asked in self.asked(tree) {
            let word = &asked.parameter.name;
            if asked.kind != Kind::Panel {
                if let Some(range) = self.argument_range(asked.parameter, &asked.kind) {
                    ranges.push(ArgumentRange {
                        argument: slots.len(),
                        name: word.text.to_string(),
                        kind: asked.kind.clone(),
                        range,
                    });
                }
                let slot = self.slot();
                if let Some(list) = Texts::of_parameter(asked.parameter) {
                    texts.push(ArgumentTexts {
                        argument: slots.len(),
                        name: word.text.to_string(),
                        texts: list.all.clone(),
                        span: list.span,
                    });
                    self.here.texts.insert(slot, list);
                }
                slots.push(slot);
                self.bind(
                    word,
                    Bound::Value {
                        slot,
                        kind: asked.kind,
                        site: None,
                    },
                );
                continue;
            }
            let sheet = match panels.next().flatten() {
                None => Sheet {
                    full_name: word.text.to_string(),
                    is_open: true,
                    ..Sheet::default()
                },
                Some(shape) => {
                    let mut members = Vec::new();
                    for (
                        Member {
                            path,
                            kind,
                            lines,
                            guide,
                        },
                        _,
                    ) in members_with_nodes(&shape)
                    {
                        let slot = self.slot();
                        slots.push(slot);
                        let bound = Bound::Value {
                            slot,
                            kind,
                            site: None,
                        };
                        members.push((
                            path,
                            Binding {
                                traced: true,
                                lines,
                                guide,
                                ..Binding::new(bound, word.span)
                            },
                        ));
                    }
                    nest(members, &word.text)
                }
            };
            self.bind(word, Bound::Sheet(Rc::new(sheet)));
        }
        (slots, ranges, texts)
    }
}

/// What a panel given as an argument holds, in the order its members are bound.
pub(super) fn members_with_nodes(shape: &Shape) -> Vec<(Member, Node)> {
    let drawn = shape.given.iter().cloned().zip(shape.drawn_nodes());
    let shared = shape
        .shared
        .iter()
        .filter_map(|(path, binding)| match &binding.bound {
            Bound::Value { slot, kind, .. } if !kind.holds_panels() => Some((
                Member {
                    path: Arc::clone(path),
                    kind: kind.clone(),
                    lines: binding.lines.clone(),
                    guide: binding.guide.clone(),
                },
                Node::Slot(*slot),
            )),
            _ => None,
        });
    drawn.chain(shared).collect()
}

fn signature(shape: &Shape) -> String {
    let mut letters = String::new();
    for (member, _) in members_with_nodes(shape) {
        letters.push_str(&member.path);
        let _ = write!(letters, ":{}", member.kind);
        for line in member.lines.iter().flat_map(|lines| lines.iter()) {
            letters.push(' ');
            letters.push_str(&line.join("."));
        }
        letters.push(',');
    }
    letters
}
