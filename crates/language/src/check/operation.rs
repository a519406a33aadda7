//! Operations: declared like a call with its kinds, found by the same look-up as every phrase, checked once for each
//! set of panels they are given. An operation sees its arguments, its file's measures and the operations above it.

use super::checker::{Checker, FileContext, GiveFrame, Given, Place, Typed};
use super::declaration::{Asked, kind_of};
use super::needs::Needed;
use super::offers::{Home, Offer, Offered, Passed};
use super::panel::nest;
use super::program::{
    self, ArgumentRange, ArgumentTexts, DrawnInfo, FormRef, Giving, Node, Op, OperationCall,
    Routine, Slot,
};
use super::scope::{Bound, LaidOn, Layer, LayerKind, Sheet};
use super::shape::{Member, Shape, Taken};
use super::texts::Texts;
use crate::kind::Kind;
use crate::phrase::{Form, Gives};
use crate::report::{Code, Diagnostic, Span};
use crate::say;
use crate::syntax::tree::{self, Link};
use crate::voice;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use std::rc::Rc;
use std::sync::Arc;

/// Most routines made of one draft's operations, so that a check ends.
const MOST_ROUTINES: usize = 2_000;

/// An operation as declared.
pub(super) struct OperationCode<'a> {
    pub form: Rc<Form>,
    pub(super) tree: &'a tree::Operation,
    pub(super) span: Span,
    /// The file it stands in, with the measures and operations above it.
    home: FileContext,
    /// What its panels must have, where its head says so.
    pub(super) needs: Option<Rc<[Needed]>>,
    /// Names of its panels that it asks for with `is drawn`, beside what it needs.
    pub(super) asks: BTreeSet<(usize, Arc<str>)>,
    /// Routines made so far, by the members of the panels given.
    routines: BTreeMap<String, Made>,
}

impl<'a> OperationCode<'a> {
    /// As declared, with no routine made of it yet.
    pub(super) fn new(
        form: Rc<Form>,
        (tree, span): (&'a tree::Operation, Span),
        home: FileContext,
        needs: Option<Rc<[Needed]>>,
    ) -> Self {
        Self {
            form,
            tree,
            span,
            home,
            needs,
            asks: BTreeSet::new(),
            routines: BTreeMap::new(),
        }
    }
}

/// A routine and what it gives.
#[derive(Clone, Default)]
pub(super) struct Made {
    routine: usize,
    /// What it draws, in the order of its results: of a panel what is not left as it was.
    fresh: Rc<[Member]>,
    /// The panel it gives, as it knows it.
    sheet: Rc<Sheet>,
    /// Which of the arguments it reads, in their order.
    reads: Rc<[usize]>,
    /// The members of panels among its arguments, and those that it reads of them.
    taken: Rc<Taken>,
    read_members: Rc<[(usize, Arc<str>)]>,
    offers: Option<usize>,
    fine: bool,
    /// Nothing is given: a `require` refuses these panels.
    refused: bool,
}

impl Made {
    /// The members of panels that it reads, by their paths.
    pub(super) fn members_read(&self) -> impl Iterator<Item = &(usize, Arc<str>)> {
        self.read_members.iter()
    }

    /// What it draws, for those who show the operation.
    fn draws(&self) -> Vec<DrawnInfo> {
        let of_panel = self.fresh.iter().filter(|one| !one.path.is_empty());
        let info = |one: &Member| DrawnInfo {
            name: one.path.to_string(),
            kind: one.kind.clone(),
            anew: self.taken.values().any(|(_, path)| *path == one.path),
        };
        of_panel.map(info).collect()
    }
}

/// What an operation knows of a panel it is given; none of one that is not known.
pub(super) type Rows = Option<Vec<Member>>;

/// What stands for a parameter.
enum Part {
    Value(Node),
    /// A panel, by its number among those given.
    Panel(usize),
}

/// What a call is given, in the order in which the operation asks for it.
#[derive(Default)]
struct Arguments {
    parts: Vec<Part>,
    /// The panels; none where the call gives none.
    panels: Vec<Option<Rc<Sheet>>>,
    /// Names of values with kind, place and part, for messages.
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
        if asked.kind == Kind::Panel {
            self.panel(None);
        } else {
            self.parts.push(Part::Value(default));
        }
    }

    fn panel(&mut self, sheet: Option<Rc<Sheet>>) {
        self.parts.push(Part::Panel(self.panels.len()));
        self.panels.push(sheet);
    }

    fn take(&mut self, asked: &Asked<'_>, items: Vec<Typed>, call: Span) {
        let name = &asked.parameter.name.text;
        let place = items.iter().map(|item| item.span).reduce(Span::to);
        self.passed.note(name, &items);
        if let (Kind::Panel, [item]) = (&asked.kind, items.as_slice()) {
            if let Some(shape) = &item.shape {
                self.from.extend(shape.from.iter().cloned());
                self.origins.extend(shape.origins.iter().cloned());
            }
            self.panel(item.shape.as_ref().map(|shape| Rc::clone(&shape.sheet)));
            return;
        }
        self.shown.push((
            name.to_string(),
            asked.kind.clone(),
            place.unwrap_or(call),
            self.parts.len(),
        ));
        let node = match (&asked.kind, items.as_slice()) {
            (kind, [item])
                if !matches!(kind, Kind::List(_)) || matches!(item.kind, Kind::List(_)) =>
            {
                item.node.clone()
            }
            _ => Node::List(items.into_iter().map(|item| item.node).collect()),
        };
        self.parts.push(Part::Value(node));
    }

    /// The call of a routine, with the arguments that it reads.
    fn call(&self, made: &Made, rows: &[Rows], span: Span) -> OperationCall {
        let mut args = Vec::new();
        let mut begins = Vec::with_capacity(self.parts.len());
        for part in &self.parts {
            begins.push(args.len());
            match part {
                Part::Value(node) => args.push(program::Passed {
                    node: node.clone(),
                    is_member: false,
                }),
                Part::Panel(number) => {
                    let rows = rows.get(*number).and_then(Option::as_ref);
                    args.extend(rows.into_iter().flatten().map(|row| program::Passed {
                        node: Node::Slot(row.slot),
                        is_member: true,
                    }));
                }
            }
        }
        let place = |part: &usize| {
            let begins = begins.get(*part)?;
            made.reads.iter().position(|read| read == begins)
        };
        let shown = self.shown.iter().filter_map(|(name, kind, span, part)| {
            Some((name.clone(), kind.clone(), *span, place(part)?))
        });
        let shown = shown.collect();
        let read = made.reads.iter().filter_map(|at| args.get(*at).cloned());
        OperationCall {
            routine: made.routine,
            args: read.collect(),
            span,
            shown,
        }
    }
}

impl<'a> Checker<'a> {
    pub(super) fn call_operation(
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
            if one.kind == Kind::Panel && items.iter().any(|item| item.shape.is_none()) {
                // Which panel it is given is not known, nor what it would draw on it.
                self.here.broken = true;
                return Typed::unknown(span);
            }
            if let (Some(texts), [item]) = (Texts::of_parameter(one.parameter), items.as_slice())
                && let Some(message) = self.none_of(&one.parameter.name.text, &texts, item)
            {
                self.fail(message);
            }
            given.take(one, items, span);
        }
        if given.panels.iter().flatten().any(|sheet| sheet.is_open) {
            // The sentence that should have drawn the panel is wrong, and told.
            self.here.broken = true;
            return Typed::unknown(span);
        }
        let missing = self.missing(number, &given.panels, &given.from, span);
        let told = self.diagnostics.len();
        let Some((made, rows)) = self.routine_at_call(number, &given.panels, span) else {
            return Typed::unknown(span);
        };
        // What a `require` says of it is better.
        if let Some(missing) = missing.filter(|_| !made.refused) {
            self.diagnostics.truncate(told);
            self.unsaid.clear();
            self.fail(missing);
            return Typed::unknown(span);
        }
        if !made.fine {
            self.here.broken = true;
            return Typed::unknown(span);
        }
        self.here.refused |= made.refused && self.here.operation.is_some();
        self.has_refused |= made.refused;
        let call = given.call(&made, &rows, span);
        let kind = if let Gives::Kind(kind) = &form.gives {
            kind.clone()
        } else {
            Kind::Unknown
        };
        let mut typed = Typed::new(Node::Operation(Box::new(call)), kind, span);
        typed.form = Some(FormRef::Operation(number));
        if typed.kind == Kind::Panel {
            let offers = self.offers_of_call(made.offers, given.passed);
            let mut shape = Shape::called(
                (&made.sheet, &made.fresh),
                (given.panels.into(), &made.taken),
                offers,
                (given.from, given.origins),
            );
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
        panels: &[Option<Rc<Sheet>>],
        span: Span,
    ) -> Option<(Made, Vec<Rows>)> {
        if self.program.routines.len() >= MOST_ROUTINES {
            let message = format!(
                "Operations call each other with more than {MOST_ROUTINES} different sets of panels."
            );
            self.fail(Diagnostic::error(Code::TooLarge, span, message));
            return None;
        }
        let before = self.diagnostics.len();
        self.lacking.clear();
        let (made, rows) = loop {
            let rows = self.rows(number, panels);
            let made = self.routine(number, &rows);
            if !self.asks_for_more(number, panels, &rows) {
                break (made, rows);
            }
            // It was told that a name is not there, and it is.
            self.diagnostics.truncate(before);
        };
        self.pass_asks_on(number, panels);
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
            let lacking = std::mem::take(&mut self.lacking);
            let more = match lacking.as_slice() {
                [_, names @ ..] if !names.is_empty() && first.code == Code::UnknownMember => {
                    let names: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
                    format!(" It lacks {}, too.", voice::list(&names))
                }
                _ => String::new(),
            };
            let message = say!(
                "`{}` cannot work with what it is given. {}{}",
                head,
                first.message,
                more
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
        Some((made, rows))
    }

    /// Checks the body for what is known of its panels, once.
    pub(super) fn routine(&mut self, number: usize, rows: &[Rows]) -> Made {
        self.routine_of(number, rows, false)
    }

    /// The same, as it is declared: what a `require` asks to be drawn already is taken to be there.
    pub(super) fn declared_routine(&mut self, number: usize, rows: &[Rows]) -> Made {
        self.routine_of(number, rows, true)
    }

    fn routine_of(&mut self, number: usize, rows: &[Rows], is_declared: bool) -> Made {
        let declared = if self.here.is_declared || is_declared {
            "?"
        } else {
            ""
        };
        let key = rows
            .iter()
            .map(|rows| rows.as_ref().map_or("?".into(), |rows| signature(rows)))
            .collect::<Vec<_>>()
            .join(";");
        let key = [declared, &key].concat();
        if let Some(made) = self
            .operations
            .get(number)
            .and_then(|o| o.routines.get(&key))
        {
            return made.clone();
        }
        let Some(operation) = self.operations.get(number) else {
            return Made::default();
        };
        let (tree, span) = (operation.tree, operation.span);
        let mut place = self.place_in(number);
        place.is_declared = is_declared || self.here.is_declared;
        let is_open = rows.iter().any(Option::is_none);
        let (made, left) = self.at(place, |c| c.body_of(tree, span, rows));
        let asks = left.asks.into_inner();
        let draws = made.draws();
        let reads = self.reads_of(tree, &made, rows);
        if let Some(info) = self.program.operations.get_mut(number)
            && (info.needs.is_empty() || info.draws.is_empty())
        {
            info.draws = draws;
            if tree.needs.is_none() {
                info.needs = reads;
            }
        }
        if let Some(operation) = self.operations.get_mut(number) {
            operation.asks.extend(asks);
            operation.routines.insert(key, made.clone());
        }
        Made {
            fine: made.fine || is_open,
            ..made
        }
    }

    /// Where the body of an operation is checked.
    fn place_in(&self, number: usize) -> Place {
        let Some(operation) = self.operations.get(number) else {
            return Place::default();
        };
        let head = operation.tree.head.text.as_ref();
        let prefix = format!("{head}.");
        let mut globals = Layer::new(LayerKind::Operation, "", prefix.clone());
        globals.names = Rc::clone(&operation.home.globals);
        let drawn = Rc::new(super::checker::drawn_names(&operation.tree.body.sentences));
        Place {
            file: FileContext {
                drawn,
                ..operation.home.clone()
            },
            layers: vec![globals, Layer::new(LayerKind::Operation, "", prefix)],
            operation: Some(head.to_owned()),
            says_needs: operation.needs.is_some(),
            panels: self.panels_of(operation.tree),
            ..Place::default()
        }
    }

    /// The routine of an operation's body, at its own place.
    fn body_of(&mut self, tree: &'a tree::Operation, span: Span, rows: &[Rows]) -> Made {
        let errors = self.errors();
        let (parameters, taken) = self.bind_parameters(tree, rows);
        let gives_panel = kind_of(&tree.gives) == Kind::Panel;
        self.here.gives.push(GiveFrame::Operation {
            gives: kind_of(&tree.gives),
            given: None,
            offers: None,
        });
        self.offering.push(Vec::new());
        let mut body = self.sentences(&tree.body.sentences);
        let offered = self.offering.pop().unwrap_or_default();
        let (given, inner_offers) = match self.here.gives.pop() {
            Some(GiveFrame::Operation { given, offers, .. }) => (given.unwrap_or_default(), offers),
            _ => (Given::default(), None),
        };
        let fresh = if gives_panel {
            only_fresh(&mut body, &given.members, &taken)
        } else {
            given.members
        };
        let fine = self.errors() == errors && !self.here.lost && !self.is_wrong(span);
        let refused = self.here.refused;
        let read = self.program.places_read(&body);
        let reads: Vec<usize> = (parameters.slots.iter().enumerate())
            .filter(|(_, slot)| !taken.contains_key(slot) || read.contains(slot))
            .map(|(at, _)| at)
            .collect();
        let place = |at: usize| reads.iter().position(|read| *read == at);
        let ranges = parameters.ranges.into_iter().filter_map(|range| {
            let argument = place(range.argument)?;
            Some(ArgumentRange { argument, ..range })
        });
        let texts = parameters.texts.into_iter().filter_map(|texts| {
            let argument = place(texts.argument)?;
            Some(ArgumentTexts { argument, ..texts })
        });
        let routine = Routine {
            head: tree.head.text.to_string(),
            span,
            slots: self.here.slots,
            body,
            arguments: reads
                .iter()
                .filter_map(|at| parameters.slots.get(*at).copied())
                .collect(),
            results: fresh.len(),
            gives_panel,
            refuses: refused,
            ranges: ranges.collect(),
            texts: texts.collect(),
        };
        let number = self.program.routines.len();
        self.program.routines.push(routine);
        let own = self.offered(offered);
        let offers = self.offers_given(inner_offers, own);
        Made {
            routine: number,
            fresh: fresh.into(),
            sheet: given.sheet,
            read_members: (reads.iter())
                .filter_map(|at| taken.get(parameters.slots.get(*at)?).cloned())
                .collect(),
            reads: reads.into(),
            taken: Rc::new(taken),
            offers,
            fine,
            refused,
        }
    }

    fn offered(&mut self, sentences: Vec<Offered<'a>>) -> Option<usize> {
        if sentences.is_empty() {
            return None;
        }
        self.offers.push(Offer {
            sentences,
            home: Home::Panel,
        });
        Some(self.offers.len() - 1)
    }

    fn errors(&self) -> usize {
        self.diagnostics.iter().filter(|d| d.is_error()).count()
    }

    fn bind_parameters(&mut self, tree: &'a tree::Operation, rows: &[Rows]) -> (Parameters, Taken) {
        let mut parameters = Parameters::default();
        let mut taken = Taken::new();
        let mut panels = rows.iter().enumerate();
        for asked in self.asked(tree) {
            let word = &asked.parameter.name;
            if asked.kind != Kind::Panel {
                let argument = parameters.slots.len();
                if let Some(range) = self.argument_range(asked.parameter, &asked.kind) {
                    parameters.ranges.push(ArgumentRange {
                        argument,
                        name: word.text.to_string(),
                        kind: asked.kind.clone(),
                        range,
                    });
                }
                let slot = self.slot();
                if let Some(list) = Texts::of_parameter(asked.parameter) {
                    parameters.texts.push(ArgumentTexts {
                        argument,
                        name: word.text.to_string(),
                        texts: list.all.clone(),
                        span: list.span,
                    });
                    self.here.texts.insert(slot, list);
                }
                parameters.slots.push(slot);
                let bound = Bound::Value {
                    slot,
                    kind: asked.kind,
                    site: None,
                };
                self.bind(word, bound);
                continue;
            }
            let sheet = match panels.next() {
                Some((argument, Some(rows))) => {
                    let mut members = Vec::with_capacity(rows.len());
                    for row in rows {
                        let slot = self.slot();
                        parameters.slots.push(slot);
                        taken.insert(slot, (argument, Arc::clone(&row.path)));
                        members.push((Arc::clone(&row.path), row.bound_at(slot, word.span)));
                    }
                    let laid_on = LaidOn {
                        argument,
                        path: "".into(),
                    };
                    nest(members, &word.text, Some(laid_on))
                }
                Some((_, None)) | None => Sheet {
                    full_name: word.text.to_string(),
                    is_open: true,
                    ..Sheet::default()
                },
            };
            self.bind(word, Bound::Sheet(Rc::new(sheet)));
        }
        (parameters, taken)
    }
}

/// The places of an operation's arguments, and what they may be.
#[derive(Default)]
struct Parameters {
    slots: Vec<Slot>,
    ranges: Vec<ArgumentRange>,
    texts: Vec<ArgumentTexts>,
}

/// Of the results on a panel those that are not handed back as they were given; the others stay the caller's.
fn only_fresh(body: &mut [Op], results: &[Member], taken: &Taken) -> Vec<Member> {
    let mut is_fresh: Vec<bool> = results
        .iter()
        .map(|one| !taken.contains_key(&one.slot))
        .collect();
    every_giving(body, &mut |givings| {
        for giving in givings.iter() {
            let known = results.get(giving.result);
            let is_same = known.is_some_and(
                |known| matches!(&giving.value, Node::Slot(slot) if *slot == known.slot),
            );
            if let (false, Some(fresh)) = (is_same, is_fresh.get_mut(giving.result)) {
                *fresh = true;
            }
        }
    });
    let mut numbers = 0..;
    let new: Vec<Option<usize>> = (is_fresh.iter())
        .map(|fresh| if *fresh { numbers.next() } else { None })
        .collect();
    every_giving(body, &mut |givings| {
        let old = std::mem::take(givings).into_vec().into_iter();
        let left = old.filter_map(|giving| {
            let result = new.get(giving.result).copied().flatten()?;
            Some(Giving { result, ..giving })
        });
        *givings = left.collect();
    });
    let fresh = results.iter().zip(&is_fresh).filter(|(_, fresh)| **fresh);
    fresh.map(|(one, _)| one.clone()).collect()
}

fn every_giving(ops: &mut [Op], f: &mut impl FnMut(&mut Box<[Giving]>)) {
    for op in ops {
        match op {
            Op::Give(givings) => f(givings),
            Op::If(choice) => {
                for (_, body) in &mut choice.branches {
                    every_giving(body, f);
                }
                every_giving(&mut choice.otherwise, f);
            }
            _ => {}
        }
    }
}

fn signature(rows: &[Member]) -> String {
    let mut letters = String::new();
    for member in rows {
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
