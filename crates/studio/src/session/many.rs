//! A draft at hand over many bodies: each is drawn anew from its measures, by as many hands as one likes.

use super::form::Order;
use super::write::{Refused, Written, written};
use super::{Session, Unchanged};
use crate::sizes::answer::Answer;
use crate::sizes::journal;
use crate::sizes::search::{self, NoSearch, Plan, Report};
use crate::sizes::set::{self, Size};
use crate::sizes::sides;
use crate::sizes::why::{self, Why};
use oaktag_language::check::program::Program;
use oaktag_language::draft::Outcome;
use oaktag_language::draft::bodies::Table;
use oaktag_language::draft::inputs::{Body, Inputs};
use oaktag_language::report::Diagnostic;
use oaktag_language::voice::LengthUnit;
use std::num::NonZeroUsize;

impl Session {
    /// The draft as it was checked last, to be drawn for any body.
    pub fn program(&self) -> &Program {
        &self.read.checked.program
    }

    /// The unit of figures that people read.
    pub fn unit(&self) -> LengthUnit {
        self.program().unit
    }

    /// What was told of the draft before a figure was known.
    pub fn checked(&self) -> &[Diagnostic] {
        &self.read.checked.diagnostics
    }

    /// What was wrong with letters, sentences and files.
    pub fn not_read(&self) -> &[Diagnostic] {
        &self.read.project.diagnostics
    }

    /// Whether the draft is free of errors that show before a figure is known.
    pub fn is_checked_well(&self) -> bool {
        !self.checked().iter().any(Diagnostic::is_error)
    }

    /// Reads a table of bodies for the draft; `name` is what messages call it.
    ///
    /// # Errors
    /// Where it cannot be read, or its headings are wrong.
    pub fn table(&mut self, name: &str, bytes: &[u8]) -> Result<Table, Unchanged> {
        self.read.table(name, bytes)
    }

    /// The names of the bodies in a table, as far as it can be read, and what is wrong with it.
    ///
    /// # Errors
    /// Where it is no text.
    pub fn names_in(
        &mut self,
        name: &str,
        bytes: &[u8],
    ) -> Result<(Vec<String>, Vec<Diagnostic>), Unchanged> {
        let (table, wrong) = self.read.table_as_far(name, bytes)?;
        let names = (0..table.len()).map(|at| table.name(at)).collect();
        Ok((names, wrong.unwrap_or_default()))
    }

    /// What tells this draft, with these values and this table, from another: the mark of a journal.
    pub fn mark(&self) -> String {
        journal::mark_of(self.sources(), &self.typed)
    }

    fn inputs_of(&self, body: Body) -> Inputs {
        Inputs {
            body: Some(body),
            ..self.read.inputs.clone()
        }
    }

    /// How a body of a table fares.
    pub fn answer(&self, table: &Table, number: usize) -> Answer {
        let read = &self.read;
        Answer::of_body(&read.project, &read.checked, &read.inputs, table, number)
    }

    /// A body of a table drawn: how it fares, and its file where there is one. `order` is given the body's name.
    pub fn write_for(
        &self,
        table: &Table,
        number: usize,
        order: &dyn Fn(&str) -> Order,
    ) -> (Answer, Result<Written, Refused>) {
        let body = match table.body(number) {
            Ok(body) => body,
            Err(wrong) => {
                let answer = Answer::not_read(table.name(number), &wrong, self.unit());
                return (answer, Err(Refused::Unfinished(false)));
            }
        };
        let order = order(&body.name);
        let name = body.name.clone();
        let read = &self.read;
        let outcome = sides::draw(&read.project, &read.checked, &self.inputs_of(body));
        let answer = Answer::of_outcome(name, self.sources(), &outcome);
        (answer, written(&outcome, &order, order.unfinished))
    }

    /// The sizes of a table drawn, and what is wrong with its rows.
    pub fn sizes(&self, table: &Table, threads: NonZeroUsize) -> (Vec<Size>, Vec<Diagnostic>) {
        let read = &self.read;
        set::draw(&read.project, &read.checked, &read.inputs, table, threads)
    }

    /// Looks through the declared ranges for a body on which the draft breaks; `step` is told of each that was tried.
    ///
    /// # Errors
    /// Where there is nothing to search.
    pub fn search(&self, plan: Plan, step: &mut dyn FnMut()) -> Result<Report, NoSearch> {
        let read = &self.read;
        search::search(&read.project, &read.checked, &read.inputs, plan, step)
    }

    /// What moves a seam, an edge or a figure; none where `half` has none of that name.
    pub fn why(&self, half: &Outcome, name: &str, threads: NonZeroUsize) -> Option<Why> {
        let read = &self.read;
        why::why(
            &read.project,
            &read.checked,
            &read.inputs,
            half,
            name,
            threads,
        )
    }
}
