//! Operations: declared like a call with its kinds, found by the same look-up as every phrase, checked once for each
//! set of panels they are given. An operation sees its arguments, its file's measures and the operations above it.

use super::checker::{Checker, FileContext, GiveFrame, Given, Typed};
use super::offers::{Home, Offer, OfferSentence, Offered, Passed};
use super::panel::{Member, Shape, nest};
use super::program::{ArgumentRange, FormRef, Node, OperationCall, OperationInfo, Routine, Slot};
use super::scope::{Binding, Bound, Layer, LayerKind, Names, Sheet};
use crate::kind::Kind;
use crate::phrase::form::overlap;
use crate::phrase::{Form, Gives, Meaning, Option_, Place, Takes};
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree::{self, KindPhrase, KindWord, Link, Parameter, SentenceKind};
use std::collections::BTreeMap;
use std::rc::Rc;

/// Most routines made of one draft's operations, so that a check ends.
const MOST_ROUTINES: usize = 2_000;

/// Most operations one draft may declare or bring in.
const MOST_OPERATIONS: usize = 1_000;

/// An operation as declared.
pub(super) struct OperationCode<'a> {
    pub form: Rc<Form>,
    tree: &'a tree::Operation,
    span: Span,
    /// The file it stands in, with the measures and operations above it.
    home: FileContext,
    /// Routines made so far, by the members of the panels given.
    routines: BTreeMap<String, Made>,
}

/// A routine and what it gives.
#[derive(Clone)]
struct Made {
    routine: usize,
    given: Vec<Given>,
    offers: Option<usize>,
    fine: bool,
}

/// A parameter with its place in the sentence.
struct Asked<'a> {
    link: Option<Link>,
    is_option: bool,
    parameter: &'a Parameter,
    kind: Kind,
}

impl<'a> Checker<'a> {
    /// `operation …`
    pub fn declare_operation(&mut self, operation: &'a tree::Operation, span: Span) {
        if !self.at_file_level("operation", span) {
            return;
        }
        let number = self.operations.len();
        if number >= MOST_OPERATIONS {
            let message = format!(
                "This is operation {}; {MOST_OPERATIONS} is the most.",
                number + 1
            );
            self.fail(Diagnostic::error(
                Code::TooLarge,
                operation.head.span,
                message,
            ));
            return;
        }
        let form = self.operation_form(operation, number);
        let head = operation.head.text.to_string();
        self.refuse_overlap(operation, &form);
        if self.find(&head).is_some() {
            let message = format!(
                "`{head}` is already the name of something drawn, so no phrase can begin with it."
            );
            self.fail(Diagnostic::error(
                Code::NameBeginsAPhrase,
                operation.head.span,
                message,
            ));
        }
        let form = Rc::new(form);
        self.program.operations.push(OperationInfo {
            form: Form::clone(&form),
            span,
        });
        let home = self.file.clone();
        self.operations.push(OperationCode {
            form,
            tree: operation,
            span,
            home,
            routines: BTreeMap::new(),
        });
        if !self.always_gives(&operation.body.sentences) {
            let message = format!("`{head}` does not always give something.");
            let help = "End it with `give`; where `if` chooses, every branch gives.";
            self.fail(
                Diagnostic::error(Code::SentenceOutOfPlace, operation.head.span, message)
                    .help(help),
            );
        }
        // Checked once on its own, so that a slip is told even where nobody calls it; panels are left open. The library
        // is held by its tests, and a user who takes one operation of it should not wait for all.
        if !self.project.sources.is_library(span.file) {
            let open = self
                .asked(operation)
                .into_iter()
                .filter(|a| a.kind == Kind::Panel)
                .map(|_| None)
                .collect();
            self.routine(number, open);
        }
        // From here on it can be called: an operation sees only those above it.
        Rc::make_mut(&mut self.file.heads)
            .entry(head)
            .or_default()
            .push(number);
    }

    fn asked(&self, operation: &'a tree::Operation) -> Vec<Asked<'a>> {
        let direct = operation.direct.iter().map(|p| (None, false, p));
        let places = operation
            .places
            .iter()
            .map(|(link, _, p)| (Some(*link), false, p));
        let options = operation.options.iter().map(|p| (None, true, p));
        direct
            .chain(places)
            .chain(options)
            .map(|(link, is_option, parameter)| Asked {
                link,
                is_option,
                parameter,
                kind: kind_of(&parameter.kind),
            })
            .collect()
    }

    fn operation_form(&mut self, operation: &'a tree::Operation, number: usize) -> Form {
        let mut form = Form {
            head: Some(operation.head.text.to_string().into()),
            tight: false,
            places: Vec::new(),
            options: Vec::new(),
            gives: Gives::Kind(kind_of(&operation.gives)),
            doc: operation
                .doc
                .as_ref()
                .map(Self::letters)
                .unwrap_or_default()
                .into(),
            example: "".into(),
            meaning: Meaning::Operation(number),
        };
        for asked in self.asked(operation) {
            let name = asked.parameter.name.text.to_string();
            let mut doc = asked
                .parameter
                .doc
                .as_ref()
                .map(Self::letters)
                .unwrap_or_default();
            if let Some(default) = &asked.parameter.default {
                let typed = self.wanted(default, &asked.kind);
                doc = format!(
                    "{doc}{}default {}",
                    if doc.is_empty() { "" } else { "; " },
                    self.said(typed.span)
                );
            }
            if let Some((low, high)) = &asked.parameter.range {
                let (low, high) = (self.said(low.span), self.said(high.span));
                let join = if doc.is_empty() { "" } else { ", " };
                doc = format!("{doc}{join}between {low} and {high}");
            }
            let takes = Takes::of(&asked.kind);
            let kind = Some(asked.kind.clone());
            let optional = asked.parameter.default.is_some();
            if asked.is_option {
                form.options.push(Option_ {
                    name: name.into(),
                    takes,
                    doc: doc.into(),
                    required: !optional,
                    kind,
                });
            } else {
                let many = matches!(asked.kind, Kind::List(_));
                form.places.push(Place {
                    link: asked.link,
                    takes,
                    many,
                    optional,
                    name: name.into(),
                    doc: doc.into(),
                    kind,
                });
            }
        }
        form
    }

    fn refuse_overlap(&mut self, operation: &tree::Operation, form: &Form) {
        let head = operation.head.text.as_ref();
        let built = self
            .table
            .with_head(head)
            .map(|(_, other)| (other.signature(), overlap(form, other), None));
        let own = self
            .file
            .heads
            .get(head)
            .into_iter()
            .flatten()
            .filter_map(|&at| self.operations.get(at));
        let own = own.map(|other| {
            (
                other.form.signature(),
                overlap(form, &other.form),
                Some(other.span),
            )
        });
        let clash = built.chain(own).find(|(_, clash, _)| *clash);
        if let Some((signature, _, span)) = clash {
            let message = format!("`{head}` with these words could also be another phrase.");
            let mut diagnostic =
                Diagnostic::error(Code::FormsOverlap, operation.head.span, message)
                    .at("taken already")
                    .note(format!("There is  {signature}"))
                    .help("Take another head word, or a linking word that tells them apart.");
            if let Some(span) = span {
                diagnostic = diagnostic.see(span, "the other one is declared here");
            }
            self.fail(diagnostic);
        }
    }

    fn always_gives(&self, sentences: &[tree::Sentence]) -> bool {
        sentences.iter().any(|sentence| match &sentence.kind {
            SentenceKind::Give(_) | SentenceKind::Broken => true,
            SentenceKind::Step(step) => self.always_gives(&step.body.sentences),
            SentenceKind::If(choice) => {
                let all = choice
                    .branches
                    .iter()
                    .all(|(_, block)| self.always_gives(&block.sentences));
                all && choice
                    .otherwise
                    .as_ref()
                    .is_some_and(|block| self.always_gives(&block.sentences))
            }
            _ => false,
        })
    }

    /// Types a call.
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
        let tree = operation.tree;
        let asked = self.asked(tree);
        let mut nodes = Vec::new();
        let mut panels = Vec::new();
        let mut shown = Vec::new();
        let mut from = Vec::new();
        let mut passed = Passed::default();
        let mut options: Vec<Option<Typed>> = (0..form.options.len())
            .map(|at| {
                options
                    .iter()
                    .find(|(o, _)| *o == at)
                    .map(|(_, t)| t.clone())
            })
            .collect();
        let mut option_at = 0;
        for one in &asked {
            let given = if one.is_option {
                option_at += 1;
                options
                    .get_mut(option_at - 1)
                    .and_then(Option::take)
                    .map(|typed| vec![typed])
            } else {
                arguments
                    .iter()
                    .find(|(link, _)| *link == one.link)
                    .map(|(_, items)| items.clone())
            };
            let Some(items) = given else {
                let default = self.default_of(number, one);
                nodes.push(default);
                if one.kind == Kind::Panel {
                    panels.push(None);
                }
                continue;
            };
            let place = items
                .iter()
                .map(|t| t.span)
                .reduce(Span::to)
                .unwrap_or(span);
            passed.note(&one.parameter.name.text, &items);
            let name = one.parameter.name.text.to_string();
            shown.push((name, one.kind.clone(), place, nodes.len()));
            match (&one.kind, items.as_slice()) {
                (Kind::Panel, [item]) => {
                    let shape = item.shape.clone();
                    if let Some(shape) = &shape {
                        nodes.extend(members_with_nodes(shape).into_iter().map(|(_, node)| node));
                        from.extend(shape.from.iter().cloned());
                    }
                    panels.push(shape);
                }
                (_, [item])
                    if !matches!(one.kind, Kind::List(_)) || matches!(item.kind, Kind::List(_)) =>
                {
                    nodes.push(item.node.clone())
                }
                _ => nodes.push(Node::List(
                    items.into_iter().map(|item| item.node).collect(),
                )),
            }
        }
        let Some(made) = self.routine_at_call(number, panels, span) else {
            return Typed::unknown(span);
        };
        if !made.fine {
            self.broken = true;
        }
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
                    path: g.name.to_string(),
                    kind: g.kind.clone(),
                    lines: g.lines.clone(),
                })
                .collect();
            let offers = self.offers_of_call(made.offers, passed);
            typed.shape = Some(Rc::new(Shape::of_results(given, offers, from)));
        }
        typed
    }

    /// A default reads the measures of the operation's own file.
    fn default_of(&mut self, number: usize, asked: &Asked<'a>) -> Node {
        let Some(default) = &asked.parameter.default else {
            return Node::Known(crate::phrase::Value::Absent);
        };
        let Some(home) = self
            .operations
            .get(number)
            .map(|operation| operation.home.clone())
        else {
            return Node::Known(crate::phrase::Value::Absent);
        };
        let mut layer = Layer::new(LayerKind::Operation, "", String::new());
        layer.names = Names::clone(&home.globals);
        let file = std::mem::replace(&mut self.file, home);
        let layers = std::mem::replace(&mut self.layers, vec![layer]);
        let (typed, _) = self.reading(|c| c.wanted(default, &asked.kind));
        self.file = file;
        self.layers = layers;
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
                    && told.primary.span == inner.primary.span
                    && told.message == inner.message
            })
        };
        let first = inner.into_iter().find(Diagnostic::is_error);
        if first.as_ref().is_some_and(known) {
            // Wrong whatever it is given: told where the operation stands.
            self.broken = true;
        } else if let Some(first) = first {
            let mut diagnostic = Diagnostic::error(
                first.code,
                span,
                format!(
                    "`{head}` cannot work with what it is given. {}",
                    first.message
                ),
            );
            let label = if first.primary.text.is_empty() {
                format!("in `{head}`")
            } else {
                format!("in `{head}`: {}", first.primary.text)
            };
            diagnostic = diagnostic
                .at("asked for here")
                .see(first.primary.span, label);
            diagnostic.help = first.help;
            self.fail(diagnostic);
        }
        Some(made)
    }

    /// Checks the body for one set of panels, once.
    fn routine(&mut self, number: usize, panels: Vec<Option<Rc<Shape>>>) -> Made {
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
        let drawn = Rc::new(super::checker::drawn_names(&tree.body.sentences));
        let outer = Outer {
            file: std::mem::replace(&mut self.file, FileContext { drawn, ..home }),
            layers: std::mem::take(&mut self.layers),
            slots: std::mem::take(&mut self.slots),
            reads: std::mem::take(&mut self.reads),
            broken: std::mem::replace(&mut self.broken, false),
            step: self.step.take(),
            steps_here: std::mem::take(&mut self.steps_here),
            gives: std::mem::take(&mut self.gives),
            operation: self.operation.replace(tree.head.text.to_string()),
        };
        let prefix = format!("{}.", tree.head.text);
        let mut globals = Layer::new(LayerKind::Operation, "", prefix.clone());
        globals.names = Names::clone(&self.file.globals);
        self.layers = vec![globals, Layer::new(LayerKind::Operation, "", prefix)];
        let errors = self.errors();
        let (arguments, ranges) = self.bind_parameters(tree, panels);
        self.gives.push(GiveFrame::Operation {
            gives: kind_of(&tree.gives),
            given: None,
            offers: None,
        });
        self.offering.push(Vec::new());
        let body = self.sentences(&tree.body.sentences);
        let offered = self.offering.pop().unwrap_or_default();
        let (given, inner_offers) = match self.gives.pop() {
            Some(GiveFrame::Operation { given, offers, .. }) => (given.unwrap_or_default(), offers),
            _ => (Vec::new(), None),
        };
        let fine = self.errors() == errors;
        let routine = Routine {
            head: tree.head.text.to_string(),
            span,
            slots: self.slots,
            body,
            arguments,
            results: given.len(),
            gives_panel: kind_of(&tree.gives) == Kind::Panel,
            ranges,
        };
        self.restore(outer);
        let number = self.program.routines.len();
        self.program.routines.push(routine);
        let own = self.offered(offered);
        let offers = self.offers_given(inner_offers, own);
        Made {
            routine: number,
            given,
            offers,
            fine,
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
    ) -> (Vec<Slot>, Vec<ArgumentRange>) {
        let mut slots = Vec::new();
        let mut ranges = Vec::new();
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
                    let mut members = BTreeMap::new();
                    for (Member { path, kind, lines }, _) in members_with_nodes(&shape) {
                        let slot = self.slot();
                        slots.push(slot);
                        let bound = Bound::Value {
                            slot,
                            kind,
                            site: None,
                        };
                        members.insert(
                            path,
                            Binding {
                                traced: true,
                                lines,
                                ..Binding::new(bound, word.span)
                            },
                        );
                    }
                    nest(members, &word.text)
                }
            };
            self.bind(word, Bound::Sheet(Rc::new(sheet)));
        }
        (slots, ranges)
    }

    fn restore(&mut self, outer: Outer) {
        self.file = outer.file;
        self.layers = outer.layers;
        self.slots = outer.slots;
        self.reads = outer.reads;
        self.broken = outer.broken;
        self.step = outer.step;
        self.steps_here = outer.steps_here;
        self.gives = outer.gives;
        self.operation = outer.operation;
    }
}

/// What is set aside while an operation's body is checked.
struct Outer {
    file: FileContext,
    layers: Vec<Layer>,
    slots: u32,
    reads: Vec<Slot>,
    broken: bool,
    step: Option<super::program::StepId>,
    steps_here: usize,
    gives: Vec<GiveFrame>,
    operation: Option<String>,
}

/// The kind a parameter or result is declared with.
fn kind_of(phrase: &KindPhrase) -> Kind {
    let kind = match phrase.kind {
        KindWord::Panel => Kind::Panel,
        KindWord::List => Kind::List(Box::new(Kind::Unknown)),
        word => word.kind().unwrap_or(Kind::Unknown),
    };
    if phrase.is_list && phrase.kind != KindWord::List {
        Kind::List(Box::new(kind))
    } else {
        kind
    }
}

/// What a panel given as an argument holds, in the order its members are bound.
pub(super) fn members_with_nodes(shape: &Shape) -> Vec<(Member, Node)> {
    let drawn = shape.given.iter().cloned().zip(shape.drawn_nodes());
    let shared = shape
        .shared
        .iter()
        .filter_map(|(path, binding)| match &binding.bound {
            Bound::Value { slot, kind, .. } => Some((
                Member {
                    path: path.clone(),
                    kind: kind.clone(),
                    lines: binding.lines.clone(),
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
        letters.push_str(&format!("{}:{}", member.path, member.kind));
        for line in member.lines.iter().flat_map(|lines| lines.iter()) {
            letters.push(' ');
            letters.push_str(&line.join("."));
        }
        letters.push(',');
    }
    letters
}
