//! What nothing reads: often a slip of the pen, so it is a warning, gathered by panel.

use super::checker::Checker;
use super::program::MeasureCode;
use super::program::Slot;
use super::scope::{Binding, Bound, nearest_word};
use crate::kind::Kind;
use crate::pattern::{side, spec_sheet};
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree::MeasureOf;
use crate::voice;
use std::collections::BTreeMap;
use std::rc::Rc;

/// Names told one by one; more are counted.
const SHOWN: usize = 4;

/// Names by which a draft says something to the program: finished measures, and which half of the wearer a sheet shows.
fn is_read_by_the_program(name: &str) -> bool {
    name.starts_with(spec_sheet::PREFIX) || name == side::SHOWN_HALF
}

impl<'a> Checker<'a> {
    /// Warns of names and measures of the draft itself that nothing reads, and of names alike but for capitals.
    pub(super) fn warn_of_unused(&mut self) {
        self.settle_use_of_measures();
        self.pieces_of_older_sheets();
        self.warn_of_names();
        self.warn_of_measures();
        self.warn_of_capitals();
    }

    /// A measure that another is worked out from is used if that one is. One that only the library declares, and nothing
    /// reads, is passed over when the draft is drawn: no body need have it.
    fn settle_use_of_measures(&mut self) {
        let of_slot: BTreeMap<Slot, usize> = (self.program.measures.iter().enumerate())
            .map(|(number, code)| (code.slot, number))
            .collect();
        let flag = |c: &Self, number: usize| {
            let code = c.program.measures.get(number)?;
            let (_, used) = c.body_measures.get(&code.name)?;
            Some(Rc::clone(used))
        };
        // Formulas stand below what they read.
        for number in (0..self.program.measures.len()).rev() {
            if !flag(self, number).is_some_and(|used| used.get()) {
                continue;
            }
            let reads = self
                .program
                .measures
                .get(number)
                .and_then(|code| self.program.site(code.site))
                .map(|site| site.reads.clone())
                .unwrap_or_default();
            for read in reads {
                if let Some(used) = of_slot.get(&read).and_then(|at| flag(self, *at)) {
                    used.set(true);
                }
            }
        }
        for code in &mut self.program.measures {
            let used = self.body_measures.get(&code.name);
            code.is_idle = used.is_some_and(|(_, used)| !used.get())
                && self.project.sources.is_library(code.span.file);
        }
    }

    fn warn_of_names(&mut self) {
        let mut unread: BTreeMap<&'static str, Vec<(String, Span)>> = BTreeMap::new();
        let mut seen = std::collections::BTreeSet::new();
        // What an `each` lays out is one name, whichever copy of it is read.
        let read = self.fresh.iter().filter(|(binding, ..)| binding.used.get());
        let read: std::collections::BTreeSet<Span> = read.map(|(b, ..)| b.span).collect();
        // A block without pieces is drawn to be traced: all its lines are its result.
        let is_block = self.program.pieces.is_empty();
        for (binding, name, kind) in &self.fresh {
            if is_block
                && !self
                    .here
                    .layers
                    .first()
                    .is_some_and(|file| file.names.contains_key(name))
            {
                continue;
            }
            if is_read_by_the_program(name)
                || (!binding.used.get() && self.is_looked_at(binding, kind))
            {
                continue;
            }
            let said = matches!(kind, Kind::Quantity(_) | Kind::Text | Kind::Answer);
            if !read.contains(&binding.span)
                && seen.insert(binding.span)
                && binding.span.file.0 == 0
            {
                unread
                    .entry(if said { "worked out" } else { "drawn" })
                    .or_default()
                    .push((name.to_string(), binding.span));
            }
        }
        let mut messages = Vec::new();
        for (verb, names) in unread {
            let Some((_, first)) = names.first() else {
                continue;
            };
            let mut names = names.clone();
            // A name drawn on two branches is one name.
            names.dedup_by(|a, b| a.0 == b.0);
            let list: Vec<String> = names.iter().map(|(name, _)| voice::written(name)).collect();
            let message = format!("{verb} and read by nothing: {}.", voice::few(&list, SHOWN));
            let mut diagnostic =
                Diagnostic::warning(Code::NameUnused, *first, voice::capital(&message));
            for (name, span) in names.iter().skip(1).take(SHOWN - 1) {
                diagnostic = diagnostic.see(*span, format!("nor `{name}`"));
            }
            messages.push(diagnostic.at("nothing uses it"));
        }
        self.diagnostics.extend(messages);
    }

    /// Whether it is a point or a line of a step whose note speaks of what is drawn: a reference line is drawn to be looked
    /// at.
    fn is_looked_at(&self, binding: &Binding, kind: &Kind) -> bool {
        let Bound::Value {
            site: Some(site), ..
        } = &binding.bound
        else {
            return false;
        };
        let site = self.program.site(*site);
        let step = site.and_then(|site| site.step);
        matches!(kind, Kind::Point | Kind::Line | Kind::Curve)
            && step.is_some_and(|step| self.noted.contains(&step))
    }

    /// A measure of the library that stands at its example though one of nearly that name is given.
    fn measure_meant(&self, unread: &MeasureCode) -> Option<String> {
        let stem = unread.name.trim_end_matches('s');
        let read = |code: &&MeasureCode| {
            code.of == MeasureOf::Body && self.project.sources.is_library(code.name_span.file)
        };
        let open: Vec<&str> = self
            .program
            .measures
            .iter()
            .filter(read)
            .map(|code| code.name.as_str())
            .collect();
        let begins = open
            .iter()
            .find(|name| stem.len() >= 3 && name.starts_with(stem));
        begins
            .copied()
            .or_else(|| nearest_word(&unread.name, open.iter().copied()))
            .map(str::to_owned)
    }

    fn warn_of_measures(&mut self) {
        let mut messages = Vec::new();
        for code in &self.program.measures {
            let read = match self.body_measures.get(&code.name) {
                Some((_, used)) => used.get(),
                None => self
                    .here
                    .file
                    .globals
                    .get(code.name.as_str())
                    .is_none_or(|b| b.used.get()),
            };
            if !read && code.name_span.file.0 == 0 {
                let message = format!(
                    "No sentence reads `{}`: changing it changes nothing.",
                    code.name
                );
                let mut told = Diagnostic::warning(Code::MeasureUnused, code.name_span, message);
                if let Some(meant) = self.measure_meant(code) {
                    told = told.meant(&meant);
                }
                messages.push(told);
            }
        }
        self.diagnostics.extend(messages);
    }

    fn warn_of_capitals(&mut self) {
        let mut by_lower: BTreeMap<String, (String, Span)> = BTreeMap::new();
        let mut messages = Vec::new();
        let names: Vec<(String, Span)> = self
            .fresh
            .iter()
            .map(|(b, name, _)| (name.to_string(), b.span))
            .collect();
        for (name, span) in names {
            let lower = name.to_lowercase();
            match by_lower.get(&lower) {
                Some((other, first)) if *other != name => {
                    let message = format!("`{name}` and `{other}` differ in capitals only.");
                    messages.push(
                        Diagnostic::warning(Code::NamesAlike, span, message)
                            .see(*first, format!("`{other}` is drawn here")),
                    );
                }
                Some(_) => {}
                None => {
                    by_lower.insert(lower, (name, span));
                }
            }
        }
        self.diagnostics.extend(messages);
    }
}
