//! Figures that a class works out: found while a step's sentences are made, each at its place in them, and told as a formula, as a
//! blank to be filled in, or both.

use super::class::{Answer, Class, Formula, blank};
use super::speech::{Speech, dotted, is_plain, unbracketed, value_of};
use oaktag_language::draft::record::{EntryId, ValueId};
use oaktag_language::kind::Kind;
use oaktag_language::phrase::Value;
use oaktag_language::syntax::tree::{Expr, ExprKind, Operator, SentenceKind};
use oaktag_language::voice;
use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;

/// Where a figure stands in a sentence until that is told: letters of no alphabet, and between them the figure's place among
/// those that were met.
const OPENS: char = '\u{f0000}';
const CLOSES: char = '\u{f0001}';
/// A formula that is written out of the measures goes no further back than this …
const DEEPEST: usize = 8;
/// … and is no longer than this.
const LONGEST: usize = 140;

/// A figure met in a sentence.
struct Met {
    of: String,
    formula: String,
    from_measures: Option<String>,
    worked: String,
    value: String,
    /// The value that the sentence settles, where it is that.
    settles: Option<ValueId>,
    /// It was met under this number before.
    known: Option<usize>,
}

/// What was met so far.
pub(super) struct Asked {
    class: Class,
    /// Whether sentences are being made whose figures count.
    open: Cell<bool>,
    met: RefCell<Vec<Met>>,
    formulas: RefCell<Vec<Formula>>,
    answers: RefCell<Vec<Answer>>,
    /// Numbers of the questions that ask for a named figure.
    numbers: RefCell<BTreeMap<(u32, u32), usize>>,
}

impl Asked {
    pub(super) fn new(class: Class) -> Self {
        Self {
            class,
            open: Cell::new(false),
            met: RefCell::default(),
            formulas: RefCell::default(),
            answers: RefCell::default(),
            numbers: RefCell::default(),
        }
    }

    /// Sentences of an act, with their figures told and kept for the formula sheet.
    pub(super) fn of_act(
        &self,
        step: &str,
        act: usize,
        make: impl FnOnce() -> Vec<String>,
    ) -> Vec<String> {
        if !self.class.is_one() {
            return make();
        }
        self.open.set(true);
        let made = make();
        self.open.set(false);
        let told = made
            .iter()
            .enumerate()
            .map(|(at, said)| self.told(said, &format!("{step}, act {}", act + at)));
        let told = told.collect();
        self.met.borrow_mut().clear();
        told
    }

    /// A sentence with a figure, or a blank, where each was met.
    fn told(&self, said: &str, place: &str) -> String {
        let mut told = String::new();
        let mut given: BTreeMap<usize, String> = BTreeMap::new();
        let mut rest = said;
        while let Some((before, after)) = rest.split_once(OPENS) {
            told.push_str(before);
            rest = after;
            let Some((number, after)) = after.split_once(CLOSES) else {
                told.push(OPENS);
                break;
            };
            rest = after;
            let Ok(number) = number.parse::<usize>() else {
                told.push_str(&format!("{OPENS}{number}{CLOSES}"));
                continue;
            };
            let words = given
                .entry(number)
                .or_insert_with(|| self.given(number, place));
            told.push_str(words);
        }
        told.push_str(rest);
        told
    }

    /// What stands in a sentence for a figure that was met; it goes on the formula sheet.
    fn given(&self, number: usize, place: &str) -> String {
        let met = self.met.borrow();
        let Some(met) = met.get(number) else {
            return String::new();
        };
        if let Some(known) = met.known {
            return format!("your [{known}]");
        }
        let question = self.class.asks().then(|| self.ask(&met.of, &met.worked));
        if let (Some(question), Some(settles)) = (question, met.settles) {
            self.numbers.borrow_mut().insert(key(settles), question);
        }
        self.formulas.borrow_mut().push(Formula {
            place: place.to_owned(),
            of: met.of.clone(),
            formula: met.formula.clone(),
            from_measures: met.from_measures.clone(),
            worked: met.worked.clone(),
            value: met.value.clone(),
            question,
        });
        question.map_or_else(|| met.value.clone(), blank)
    }

    /// Asks for something; the number of the question.
    pub(super) fn ask(&self, of: &str, worked: &str) -> usize {
        let mut answers = self.answers.borrow_mut();
        let question = answers.len() + 1;
        answers.push(Answer {
            question,
            of: of.to_owned(),
            worked: worked.to_owned(),
        });
        question
    }

    /// What stands for a length that is measured on the drawing: a blank, unless an act of the step tells it already.
    pub(super) fn measured(&self, of: &str, length: String, does: &[String]) -> String {
        let (how, figure) = length.rsplit_once(", ").unwrap_or(("", &length));
        if !self.class.asks() || does.iter().any(|said| said.contains(figure)) {
            return length;
        }
        format!("{how}, {}", blank(self.ask(of, figure)))
    }

    /// How a figure is told that a step uses and an earlier one asked for.
    pub(super) fn used(&self, id: ValueId) -> Option<String> {
        let number = self.numbers.borrow().get(&key(id)).copied()?;
        Some(format!("your [{number}]"))
    }

    /// Itself, while sentences are made whose figures count.
    pub(super) fn while_open(&self) -> Option<&Self> {
        self.open.get().then_some(self)
    }

    /// Whether figures are left to be worked out.
    pub(super) fn asks(&self) -> bool {
        self.class.asks()
    }

    /// Keeps a figure; what stands for it in the sentence under way.
    fn keep(&self, met: Met) -> String {
        let mut all = self.met.borrow_mut();
        all.push(met);
        format!("{OPENS}{}{CLOSES}", all.len() - 1)
    }

    /// All that was met, for the end of the lesson.
    pub(super) fn finished(&self) -> (Vec<Formula>, Vec<Answer>) {
        (self.formulas.take(), self.answers.take())
    }
}

/// What stands in the brackets that follow at once, and what after them.
fn bracketed(said: &str) -> Option<(&str, &str)> {
    let inside = said.strip_prefix(" (")?;
    let mut open = 1_usize;
    for (at, letter) in inside.char_indices() {
        match letter {
            '(' => open += 1,
            ')' => open -= 1,
            _ => {}
        }
        if open == 0 {
            return Some((inside.get(..at)?, inside.get(at + 1..)?));
        }
    }
    None
}

/// A value as a key.
fn key(id: ValueId) -> (u32, u32) {
    (id.entry.0, id.at)
}

impl Speech<'_> {
    /// A figure that is worked out in an act, as it stands in the sentence: a class finds it on its formula sheet, or asked for.
    pub(super) fn asked(&self, expr: &Expr, value: String) -> String {
        let Some(asked) = self.asked else {
            return value;
        };
        let expr = unbracketed(expr);
        if let ExprKind::Name(name) = &expr.kind {
            // A name is asked for where it is settled.
            let id = self.read_id(&dotted(name));
            let known = id.and_then(|id| asked.numbers.borrow().get(&key(id)).copied());
            return match known {
                Some(_) => asked.keep(Met {
                    of: String::new(),
                    formula: String::new(),
                    from_measures: None,
                    worked: String::new(),
                    value,
                    settles: None,
                    known,
                }),
                None => value,
            };
        }
        asked.keep(self.met(expr, value, None))
    }

    /// The same of a figure that the sentence gives a name to.
    pub(super) fn asked_by_name(&self, expr: &Expr, value: String) -> String {
        let Some(asked) = self.asked else {
            return value;
        };
        let mut entries = self.record.entries.iter();
        let own = entries.position(|entry| std::ptr::eq(entry, self.entry));
        let own = own.and_then(|at| u32::try_from(at).ok());
        let settles = own.map(|at| ValueId {
            entry: EntryId(at),
            at: 0,
        });
        asked.keep(self.met(unbracketed(expr), value, settles))
    }

    fn met(&self, expr: &Expr, value: String, settles: Option<ValueId>) -> Met {
        // An answer tells every figure inside of it; a formula tells none, for the class may be asked for it.
        let formula = self.by_formulas(&self.formula(expr));
        let from_measures = self
            .worked_out_of_measures(expr, 0)
            .map(|deep| self.by_formulas(&deep))
            .filter(|deep| *deep != formula && deep.chars().count() <= LONGEST);
        let plainly = Speech {
            asked: None,
            ..*self
        };
        let with = plainly.with_values(expr);
        let worked = if with == formula || with == value || !self.knows_all(expr) {
            value.clone()
        } else {
            format!("{with} = {value}")
        };
        let targets = self.program.site(self.entry.site).map(|site| &site.targets);
        let names = targets.into_iter().flatten();
        let names: Vec<String> = names.map(|one| voice::own_name(&one.name)).collect();
        Met {
            of: voice::capital(&voice::list(&names)),
            formula,
            from_measures,
            worked,
            value,
            settles,
            known: None,
        }
    }

    /// A formula in which every figure that was met stands as the formula behind it, in brackets where that has several parts.
    fn by_formulas(&self, said: &str) -> String {
        let mut told = String::new();
        let mut rest = said;
        while let Some((before, after)) = rest.split_once(OPENS) {
            told.push_str(before);
            let (number, after) = after.split_once(CLOSES).unwrap_or((after, ""));
            match bracketed(after) {
                Some((inner, after)) => {
                    let inner = self.by_formulas(inner);
                    told.push_str(&match inner.contains(['+', '−', '×', '÷']) {
                        true => format!("({inner})"),
                        false => inner,
                    });
                    rest = after;
                }
                None => {
                    let met = self.asked.map(|asked| asked.met.borrow());
                    let met = met.as_ref().zip(number.parse::<usize>().ok());
                    let met = met.and_then(|(met, number)| met.get(number));
                    told.push_str(met.map_or("", |met| &met.value));
                    rest = after;
                }
            }
        }
        told.push_str(rest);
        told
    }

    /// A formula out of measures and choices: every figure that has a name of its own is written out. None where it goes too far
    /// back.
    fn worked_out_of_measures(&self, expr: &Expr, depth: usize) -> Option<String> {
        if depth > DEEPEST {
            return None;
        }
        match &expr.kind {
            ExprKind::Sum {
                operator,
                left,
                right,
                ..
            } if !super::speech::is_fraction(expr) => {
                let sign = match operator {
                    Operator::Add => '+',
                    Operator::Subtract => '−',
                    Operator::Multiply => '×',
                    Operator::Divide => '÷',
                };
                let left = self.worked_out_of_measures(left, depth)?;
                let right = self.worked_out_of_measures(right, depth)?;
                Some(format!("{left} {sign} {right}"))
            }
            ExprKind::Negative(inner) => {
                Some(format!("−{}", self.worked_out_of_measures(inner, depth)?))
            }
            ExprKind::Bracketed(inner) => {
                let inner = unbracketed(inner);
                let said = self.worked_out_of_measures(inner, depth)?;
                Some(match inner.kind {
                    ExprKind::Sum { .. } | ExprKind::Negative(_) => format!("({said})"),
                    _ => said,
                })
            }
            ExprKind::Name(name) => match self.behind(&dotted(name), depth) {
                Some(found) => found,
                None => Some(self.formula(expr)),
            },
            _ => Some(self.formula(expr)),
        }
    }

    /// What a name was settled as, written out, in brackets where it has several parts; none of a measure, which is a name.
    fn behind(&self, written: &str, depth: usize) -> Option<Option<String>> {
        let id = self.read_id(written)?;
        let entry = self.record.get(id.entry)?;
        let site = self.program.site(entry.site)?;
        let (_, kind, _) = value_of(self.program, self.record, id)?;
        // What an act gives among other things is not worked out by its name.
        if !matches!(kind, Kind::Quantity(_)) || site.targets.len() != 1 {
            return None;
        }
        let sentence = self.trees.sentence(site)?;
        let value = match &sentence.kind {
            SentenceKind::Draw(draw) if draw.names.len() == 1 => &draw.value,
            SentenceKind::Redraw(draw) if draw.names.len() == 1 => &draw.value,
            _ => return None,
        };
        let value = unbracketed(value);
        if is_plain(value) {
            return None;
        }
        let there = Speech { entry, ..*self };
        let said = there.worked_out_of_measures(value, depth + 1);
        Some(said.map(|said| match value.kind {
            ExprKind::Sum { .. } | ExprKind::Negative(_) => format!("({said})"),
            _ => said,
        }))
    }

    /// What it read under a name, by its place in the record.
    fn read_id(&self, written: &str) -> Option<ValueId> {
        let wanted = self.read(written)?.0;
        let mut read = self.entry.read.iter().copied();
        read.find(|id| {
            let found = value_of(self.program, self.record, *id);
            found.is_some_and(|(_, _, value): (_, _, &Value)| std::ptr::eq(value, wanted))
        })
    }
}
