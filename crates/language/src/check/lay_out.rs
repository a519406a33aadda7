//! `each` as a sentence: its block is laid out one copy a time, before any body is drawn. What is drawn in it bears the
//! number of its time: `gore_1`, `gore_2`. How often it goes round is written down, or bounded by the range of a choice;
//! a copy that may not be asked for hangs on the choice. Seams wait until all copies are there, since they may name the
//! next one.

use super::carry::CarriedName;
use super::checker::{Checker, drawn_names};
use super::choose::Branch;
use super::program::{Branches, CallNode, ClaimCode, CompareNode, Node, Op, RelationNode, Slot};
use super::scope::{Binding, Bound, Layer, LayerKind, Names, Round};
use crate::kind::Kind;
use crate::phrase::{Table, Value};
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree::{
    self, Comparison, EachOver, Expr, ExprKind, Operator, Sentence, SentenceKind,
};
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;
use std::sync::Arc;

/// Most copies that one `each` lays out.
const MOST_COPIES: usize = 60;

/// One copy of what an `each` lays out.
#[derive(Clone)]
pub(super) struct Copy {
    /// What it draws, by the names in the block.
    pub names: Rc<Names>,
    pub round: Rc<Round>,
    /// What it hangs on; none where it is always there.
    pub guard: Option<Node>,
}

/// How often an `each` goes round, as far as it is known before a body is.
struct Counted {
    first: u32,
    /// The last number that is always reached, and the last that may be.
    least: u32,
    most: u32,
    to: Node,
    /// Where the last number stands.
    span: Span,
}

/// Pieces and seams that a block declares.
#[derive(Default)]
struct Declared {
    pieces: BTreeSet<Arc<str>>,
    seams: BTreeSet<Arc<str>>,
}

impl<'a> Checker<'a> {
    /// The time of an `each` that is being laid out.
    pub(super) fn round(&self) -> Option<&Rc<Round>> {
        let mut layers = self.here.layers.iter().rev();
        layers.find_map(|layer| layer.round.as_ref())
    }

    /// `each NAME from A to B { … }` as a sentence.
    pub(super) fn lay_out(&mut self, each: &'a tree::Each) -> Vec<Op> {
        let Some((counted, declared)) = self.may_lay_out(each) else {
            self.here.broken = true;
            return Vec::new();
        };
        let suffix = format!("_{}", counted.first);
        let (mut carried, mut ops) = self.begin_carried(each, &suffix);
        if counted.least < counted.most {
            ops.extend(self.counts_whole(&counted));
        }
        let end: Vec<Slot> = carried.iter().map(|_| self.slot()).collect();
        if counted.least < counted.first {
            ops.extend(carry_out(&carried, &end));
        }
        let pieces = Rc::new(declared.pieces);
        let mut copies: Vec<Copy> = Vec::new();
        let mut is_told = false;
        let outer_waiting = std::mem::take(&mut self.waiting);
        for number in counted.first..=counted.most {
            let round = Rc::new(Round {
                suffix: format!("_{number}"),
                next: None,
                copy: copies.len(),
                number,
                pieces: Rc::clone(&pieces),
            });
            for name in &mut carried {
                let next = number + 1;
                let suffix = if next > counted.most {
                    String::new()
                } else {
                    format!("_{next}")
                };
                name.called = format!("{}{suffix}", self.drawn_name(&name.word.text)).into();
            }
            let guard = (number > counted.least).then(|| counted.reaches(number));
            let told = self.diagnostics.len();
            let before = guard.as_ref().map(|_| self.here.layers.clone());
            let (mut done, left, names) = self.copy(each, number, &round, carried);
            carried = left;
            done.extend(carry_out(&carried, &end));
            match (guard.clone(), before) {
                (Some(guard), Some(before)) => {
                    ops.push(self.guarded(guard, done, before, &names, &round, counted.span));
                }
                _ => ops.extend(done),
            }
            // What is wrong in one copy is most likely wrong in all.
            if is_told {
                self.diagnostics.truncate(told);
            }
            let fresh = self.diagnostics.get(told..).unwrap_or_default();
            is_told |= fresh.iter().any(Diagnostic::is_error);
            copies.push(Copy {
                names,
                round,
                guard,
            });
        }
        for (name, slot) in carried.iter().zip(end) {
            self.bind_carried_out(name, slot);
        }
        let copies: Rc<[Copy]> = copies.into();
        for name in block_names(&each.body.sentences)
            .keys()
            .chain(pieces.iter())
        {
            self.here.laid.insert(Arc::clone(name), Rc::clone(&copies));
        }
        let waiting = std::mem::replace(&mut self.waiting, outer_waiting);
        ops.extend(self.waited(waiting, &copies, each.all_round.is_some()));
        ops
    }

    /// Whether an `each` can be laid out here, and how often.
    fn may_lay_out(&mut self, each: &'a tree::Each) -> Option<(Counted, Declared)> {
        let mut layers = self.here.layers.iter();
        if layers.any(|layer| matches!(layer.kind, LayerKind::Each | LayerKind::Round)) {
            let message = "An `each` that is laid out stands in no other `each`.";
            let help = "To collect values in it, write `list NAME = each … { … give … }`.";
            self.fail(Diagnostic::error(Code::NotLaidOut, each.name.span, message).help(help));
            return None;
        }
        let declared = declared(&each.body.sentences);
        let offers = !declared.pieces.is_empty() || !declared.seams.is_empty();
        if offers && self.here.operation.is_some() {
            let message = "An act does not offer pieces and seams that an `each` lays out.";
            let help = "An act gives one panel: lay the panels out, and cut them, in the draft that calls it.";
            self.fail(Diagnostic::error(Code::NotLaidOut, each.name.span, message).help(help));
            return None;
        }
        let EachOver::Count { from, to } = &each.over else {
            let message =
                "An `each` that stands by itself counts, and this one takes the items of a list.";
            let help = "Write `each n from 1 to 6 { … }`; to collect something for each item, `list NAME = each … { … give … }`.";
            self.fail(Diagnostic::error(Code::NotLaidOut, each.name.span, message).help(help));
            return None;
        };
        Some((self.counted(from, to)?, declared))
    }

    fn counted(&mut self, from: &'a Expr, to: &'a Expr) -> Option<Counted> {
        let (ends, fine) =
            self.unbroken(|c| (c.wanted(from, &Kind::NUMBER), c.wanted(to, &Kind::NUMBER)));
        if !fine {
            return None;
        }
        let first = self.look_at(&ends.0.node);
        let Some(first) = first.filter(|first| *first >= 0.0 && first.fract() == 0.0) else {
            let message =
                "Copies are numbered from the first count, so that must be a plain whole number.";
            let help = "Begin with 1: `from 1 to …`.";
            self.fail(Diagnostic::error(Code::NotLaidOut, from.span, message).help(help));
            return None;
        };
        let Some((low, high)) = self.extent(&ends.1.node) else {
            let message = "How often this goes round has to be known before a body is drawn.";
            let help = "Write a figure, or a choice that has a range, as in `choose gores = 6 between 4 and 8`.";
            self.fail(Diagnostic::error(Code::NotLaidOut, to.span, message).help(help));
            return None;
        };
        let (least, most) = (low.ceil(), high.floor());
        if most < first || least > most {
            let message = format!(
                "This `each` never goes round: it counts from {} to {}.",
                crate::voice::decimals(first, 3),
                crate::voice::decimals(high, 3)
            );
            self.fail(Diagnostic::error(Code::NotLaidOut, to.span, message));
            return None;
        }
        if most - first >= MOST_COPIES as f64 {
            let message = format!(
                "This `each` would lay out {} copies; {MOST_COPIES} is the most.",
                crate::voice::decimals(most - first + 1.0, 0)
            );
            self.fail(Diagnostic::error(Code::TooLarge, to.span, message));
            return None;
        }
        Some(Counted {
            first: first as u32,
            least: least.max(0.0) as u32,
            most: most as u32,
            to: ends.1.node,
            span: to.span,
        })
    }

    /// Between which figures a number lies, whatever is chosen.
    fn extent(&self, node: &Node) -> Option<(f64, f64)> {
        match node {
            Node::Known(_) | Node::Figure(_) => self.look_at(node).map(|figure| (figure, figure)),
            Node::Slot(slot) => {
                let is_it = |own: Slot| match (own, *slot) {
                    (Slot::Local(own), Slot::Global(at)) => own == at,
                    (own, slot) => own == slot && self.here.operation.is_none(),
                };
                let measure = self.program.measures.iter().find(|m| is_it(m.slot))?;
                let mut looked_at = self.looked_at.borrow_mut();
                looked_at.extend(measure.ranges.iter().map(|range| range.span));
                let ranges = measure.ranges.iter().map(|range| (range.low, range.high));
                ranges.reduce(|a, b| (a.0.max(b.0), a.1.min(b.1)))
            }
            Node::Negative(inner) => self.extent(inner).map(|(low, high)| (-high, -low)),
            Node::Sum(sum) => {
                let (a, b) = (self.extent(&sum.left)?, self.extent(&sum.right)?);
                match sum.operator {
                    Operator::Add => Some((a.0 + b.0, a.1 + b.1)),
                    Operator::Subtract => Some((a.0 - b.1, a.1 - b.0)),
                    Operator::Multiply => {
                        let all = [a.0 * b.0, a.0 * b.1, a.1 * b.0, a.1 * b.1];
                        let least = all.into_iter().fold(f64::INFINITY, f64::min);
                        Some((least, all.into_iter().fold(f64::NEG_INFINITY, f64::max)))
                    }
                    Operator::Divide if b.0 == b.1 && b.0 > 0.0 => Some((a.0 / b.0, a.1 / b.0)),
                    Operator::Divide => None,
                }
            }
            _ => None,
        }
    }

    /// A choice may come out between two whole numbers; such a draft is refused.
    fn counts_whole(&mut self, counted: &Counted) -> Option<Op> {
        let mut rows = Table::built_in().with_head("round");
        let (form, _) = rows.next()?;
        let rounded = Node::Call(Box::new(CallNode {
            form,
            args: [counted.to.clone(), known(1.0)].map(Some).into(),
            names: [None, None].into(),
            spans: [counted.span, counted.span].into(),
            span: counted.span,
        }));
        let site = self.plain_site(counted.span);
        Some(Op::Require(Box::new(ClaimCode {
            site,
            import: String::new(),
            text: Node::Known(Value::Text("`each` counts whole numbers".into())),
            condition: counted.compared(Comparison::Equal, rounded),
        })))
    }

    /// One copy: what is done, what it carries on, and its names.
    fn copy(
        &mut self,
        each: &'a tree::Each,
        number: u32,
        round: &Rc<Round>,
        carried: Vec<CarriedName>,
    ) -> (Vec<Op>, Vec<CarriedName>, Rc<Names>) {
        let mut layer = Layer::new(LayerKind::Round, "", self.prefix());
        layer.round = Some(Rc::clone(round));
        self.here.layers.push(layer);
        let slot = self.slot();
        let bound = Bound::Value {
            slot,
            kind: Kind::NUMBER,
            site: None,
        };
        self.bind_in_each(&each.name, bound);
        self.enter_carrying(each, carried);
        let mut ops = vec![Op::Number {
            slot,
            figure: f64::from(number),
        }];
        ops.extend(self.sentences(&each.body.sentences));
        let mut carried = self.leave_carrying();
        for name in &mut carried {
            (name.slot, name.site) = (name.next, name.said.take());
            name.next = self.slot();
        }
        let names = self.here.layers.pop().map(|layer| layer.names);
        let names = names.unwrap_or_default();
        let is_own = |name: &Arc<str>| {
            *name != each.name.text && !carried.iter().any(|one| one.word.text == *name)
        };
        for (name, binding) in names.iter().filter(|(name, _)| is_own(name)) {
            self.put_numbered(name, binding, round);
        }
        (ops, carried, names)
    }

    /// Binds a name of the head of an `each`: it need be read by nothing.
    pub(super) fn bind_in_each(&mut self, word: &tree::Word, bound: Bound) {
        let is_later = self.round().is_some_and(|round| round.copy > 0);
        if is_later {
            if let Some(layer) = self.layer() {
                layer.put(Arc::clone(&word.text), Binding::new(bound, word.span));
            }
            return;
        }
        self.bind(word, bound);
        if let Some(binding) = self.sees(&word.text) {
            binding.used.set(true);
        }
    }

    /// What a copy draws goes by its number from here on.
    fn put_numbered(&mut self, name: &Arc<str>, binding: &Binding, round: &Round) {
        let numbered: Arc<str> = format!("{name}{}", round.suffix).into();
        if let Some(old) = self.sees(&numbered) {
            let message = format!(
                "`{numbered}` is drawn already, and what this `each` draws as `{name}` would be called so."
            );
            let told = Diagnostic::error(Code::NameDrawnTwice, binding.span, message);
            let told = told.see(old.span, "drawn here first");
            self.fail(told.help("Take another name for one of them."));
            return;
        }
        if let Some(layer) = self.layer() {
            layer.put(numbered, binding.clone());
        }
    }

    /// A copy that is there only where so many are chosen.
    fn guarded(
        &mut self,
        guard: Node,
        ops: Vec<Op>,
        before: Vec<Layer>,
        names: &Rc<Names>,
        round: &Round,
        counted: Span,
    ) -> Op {
        // Panels that are not always there have their names at the end all the same.
        let prefix = self.prefix();
        for (name, binding) in names.iter() {
            if let Bound::Sheet(sheet) = &binding.bound {
                let members = Rc::clone(&sheet.members);
                self.final_names(&format!("{prefix}{name}{}.", round.suffix), &members);
            }
        }
        let layers = std::mem::replace(&mut self.here.layers, before.clone());
        self.copied += layers.iter().map(|layer| layer.names.len()).sum::<usize>();
        let otherwise = Branch {
            ops: Vec::new(),
            layers: before,
        };
        let mut branches = [Branch { ops, layers }, otherwise];
        self.merge_layers(&mut branches, counted);
        self.laid_counts.insert(counted);
        let [with, without] = branches;
        Op::If(Box::new(Branches {
            branches: vec![(guard, with.ops)],
            otherwise: without.ops,
        }))
    }

    /// What was carried on stands, after the last time, under its own name.
    fn bind_carried_out(&mut self, name: &CarriedName, slot: Slot) {
        let bound = Bound::Value {
            slot,
            kind: name.kind.clone(),
            site: name.site,
        };
        let binding = Binding::new(bound, name.word.span);
        binding.used.set(true);
        if let Some(layer) = self.layer() {
            layer.put(Arc::clone(&name.word.text), binding);
        }
    }
}

impl Counted {
    fn compared(&self, comparison: Comparison, with: Node) -> Node {
        Node::Compare(Box::new(CompareNode {
            left: self.to.clone(),
            relation: RelationNode::Plain(comparison, with),
            kind: Kind::NUMBER,
            span: self.span,
        }))
    }

    /// That it goes on to a number.
    fn reaches(&self, number: u32) -> Node {
        self.compared(Comparison::AtLeast, known(f64::from(number)))
    }
}

/// What is carried, as it is now, goes out of the `each`.
fn carry_out<'n>(carried: &'n [CarriedName], to: &'n [Slot]) -> impl Iterator<Item = Op> + 'n {
    let both = carried.iter().zip(to);
    both.map(|(name, to)| Op::Carry {
        from: name.slot,
        to: *to,
    })
}

fn known(figure: f64) -> Node {
    Node::Known(Value::Quantity(figure))
}

/// The blocks inside a sentence that is no panel.
fn inner_blocks(kind: &SentenceKind) -> Vec<&[Sentence]> {
    match kind {
        SentenceKind::Step(step) => vec![&step.body.sentences],
        SentenceKind::Try(trial) => vec![&trial.body.sentences],
        SentenceKind::If(choice) => {
            let branches = choice.branches.iter().map(|(_, block)| block);
            let blocks = branches.chain(&choice.otherwise);
            blocks.map(|block| block.sentences.as_slice()).collect()
        }
        _ => Vec::new(),
    }
}

fn declared(sentences: &[Sentence]) -> Declared {
    let mut all = Declared::default();
    let mut open = vec![sentences];
    while let Some(sentences) = open.pop() {
        for sentence in sentences {
            match &sentence.kind {
                SentenceKind::Piece(piece) => drop(all.pieces.insert(Arc::clone(&piece.name.text))),
                SentenceKind::Seam(seam) => drop(all.seams.insert(Arc::clone(&seam.name.text))),
                other => open.extend(inner_blocks(other)),
            }
        }
    }
    all
}

/// Names that a block draws beside its panels, and its panels.
fn block_names(sentences: &[Sentence]) -> BTreeMap<Arc<str>, Span> {
    let mut names = BTreeMap::new();
    let mut open = vec![sentences];
    while let Some(sentences) = open.pop() {
        for sentence in sentences {
            let words: &[tree::Word] = match &sentence.kind {
                SentenceKind::Draw(draw) => &draw.names,
                SentenceKind::Panel(panel) => std::slice::from_ref(&panel.name),
                SentenceKind::Try(trial) => std::slice::from_ref(&trial.name),
                _ => &[],
            };
            for word in words {
                names.entry(Arc::clone(&word.text)).or_insert(word.span);
            }
            open.extend(inner_blocks(&sentence.kind));
        }
    }
    names
}

/// Names that are drawn inside an `each`, with where, and whether it is one that is laid out.
pub(super) fn names_in_each(sentences: &[Sentence]) -> BTreeMap<Arc<str>, (Span, bool)> {
    let mut names = BTreeMap::new();
    let mut open = vec![sentences];
    while let Some(sentences) = open.pop() {
        for sentence in sentences {
            let (inside, laid) = match &sentence.kind {
                SentenceKind::Each(each) => (block_names(&each.body.sentences), true),
                SentenceKind::Draw(draw) => match collecting(&draw.value) {
                    Some(each) => (drawn_names(&each.body.sentences), false),
                    None => continue,
                },
                SentenceKind::Panel(panel) => {
                    open.push(&panel.body.sentences);
                    continue;
                }
                other => {
                    open.extend(inner_blocks(other));
                    continue;
                }
            };
            for (name, span) in inside {
                names.entry(name).or_insert((span, laid));
            }
        }
    }
    names
}

/// The `each` that a value is.
fn collecting(value: &Expr) -> Option<&tree::Each> {
    match &value.kind {
        ExprKind::Each(each) => Some(each),
        ExprKind::Bracketed(inner) => collecting(inner),
        _ => None,
    }
}
