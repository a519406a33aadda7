//! What is told of a table: wrong cells and rows by their places, headings that are no measures and which was probably meant.

use super::Table;
use super::cells::{other_separator, separator_words};
use super::heads::{self, Heading, Lie, column_letters};
use crate::check::program::Program;
use crate::report::{Code, Diagnostic};
use crate::voice;

impl Table {
    /// What is wrong with a body's row as a whole.
    pub(super) fn of_the_whole(&self, number: usize, at: usize, name: &str) -> Vec<Diagnostic> {
        let mut faults = Vec::new();
        let place = self.place_words(at);
        if let Some(first) = self.twice.get(&number) {
            let first = self.place_words(*first);
            let message = format!(
                "{}: there is a `{name}` already, in {first}.",
                voice::capital(&place)
            );
            let fault = self.wrong(self.body_place(at), message);
            faults.push(fault.help("Give each body a name of its own."));
        }
        if self.lie == Lie::Columns {
            return faults;
        }
        let count = self.grid.width(at);
        let only_one = count == 1 && self.headings > 1;
        if let Some(other) = other_separator(&self.grid.cell(at, 0), self.grid.separator)
            && only_one
        {
            let message = format!(
                "{}: its cells are parted by {other}, and those of the first row by {}.",
                voice::capital(&place),
                separator_words(self.grid.separator)
            );
            faults.push(self.wrong(self.body_place(at), message));
        } else if count > self.headings {
            let message = format!(
                "{} (`{name}`): its cells number {count}, and the header names {}.",
                voice::capital(&place),
                self.headings
            );
            let mut fault = self.wrong(self.body_place(at), message);
            if self.grid.separator == ',' {
                fault = fault.help(
                    "Is it a decimal comma? Then put the figure in quotation marks, or part the cells by semicolons.",
                );
            }
            faults.push(fault);
        }
        faults
    }

    pub(super) fn no_measure(&self, headings: &[Heading], program: &Program) -> Diagnostic {
        let place = self.grid.row_place(0);
        let has_figures = |heading: &Heading| {
            let name = heading.name.trim_start_matches(['-', '+']);
            name.starts_with(|c: char| c.is_ascii_digit())
        };
        if headings.len() > 1 && headings.iter().skip(1).all(has_figures) {
            let message = "This table has no header: its first row holds figures, and it should name the measures.";
            return self.wrong(place, message.into());
        }
        let of_body = self.known.iter().filter(|measure| measure.of_body);
        let measures: Vec<&str> = of_body.map(|m| m.name.as_str()).collect();
        let message = match headings {
            [_] => "This table has one column: its cells are parted by neither commas, semicolons nor tabs.".to_owned(),
            _ if measures.is_empty() => "This draft has no measures of a body, so a table of bodies tells it nothing.".to_owned(),
            _ => "None of this table's headings is a measure of the draft.".to_owned(),
        };
        let mut fault = self.wrong(place, message);
        for heading in headings {
            if let Some(near) = self.near(heading, program) {
                fault = fault.note(format!("`{}`: did you mean `{near}`?", heading.name));
            }
        }
        if headings.len() > 1 && !measures.is_empty() {
            fault = fault.help(format!("The draft needs {}.", listed(&measures)));
        }
        fault
    }

    /// Headings that a slip of the pen parts from a measure or a choice that has none.
    pub(super) fn of_no_measure(&self, headings: &[Heading], program: &Program) -> Vec<Diagnostic> {
        let mut told = Vec::new();
        for (at, heading) in headings.iter().enumerate() {
            if heading.measure.is_some() || heading.is_name() || heading.is_unit() {
                continue;
            }
            let place = self.cell(0, at).0;
            let Some(near) = self.near(heading, program) else {
                continue;
            };
            let message = format!(
                "{}: `{}` is no measure of this draft and is passed over; did you mean `{near}`?",
                voice::capital(&self.address(place)),
                heading.name
            );
            let span = self.span(self.grid.place(place.0, place.1));
            told.push(Diagnostic::warning(Code::BodyTable, span, message));
        }
        told
    }

    /// A measure without a column of its own that a heading was probably meant for.
    pub(super) fn near(&self, heading: &Heading, program: &Program) -> Option<&str> {
        let wanted = heads::plain(&heading.name);
        let wanted = heads::without_side(&wanted).map_or(wanted, |(stem, _)| stem);
        let slips = if wanted.chars().count() < 6 { 1 } else { 2 };
        let has_none = |at: usize| !self.placed.iter().any(|placed| placed.measure == at);
        let close = self.known.iter().enumerate().filter_map(|(at, measure)| {
            let read = program
                .measures
                .iter()
                .any(|m| m.name == measure.name && !m.is_idle);
            let distance = strsim::damerau_levenshtein(&wanted, &heads::plain(&measure.name));
            (read && has_none(at) && distance <= slips).then_some((distance, measure.name.as_str()))
        });
        close
            .min_by_key(|(distance, _)| *distance)
            .map(|(_, name)| name)
    }

    pub(super) fn wrong(&self, place: (usize, usize), message: String) -> Diagnostic {
        Diagnostic::error(Code::BodyTable, self.span(place), message)
    }

    pub(super) fn wrong_cell(
        &self,
        (row, column): (usize, usize),
        what: &str,
        why: &str,
    ) -> Diagnostic {
        let address = voice::capital(&self.address((row, column)));
        let message = format!("{address} ({what}): {why}");
        self.wrong(self.grid.place(row, column), message)
    }

    /// `row 3, column B`
    pub(super) fn address(&self, (row, column): (usize, usize)) -> String {
        format!(
            "row {}, column {}",
            self.grid.number(row),
            column_letters(column)
        )
    }

    pub(super) fn place_words(&self, body: usize) -> String {
        match self.lie {
            Lie::Rows => format!("row {}", self.grid.number(body)),
            Lie::Columns => format!("column {}", column_letters(body)),
        }
    }

    pub(super) fn body_place(&self, body: usize) -> (usize, usize) {
        match self.lie {
            Lie::Rows => self.grid.row_place(body),
            Lie::Columns => self.grid.place(0, body),
        }
    }
}

/// The first few of many names.
fn listed(names: &[&str]) -> String {
    const MOST: usize = 8;
    let names: Vec<String> = names.iter().map(|name| voice::written(name)).collect();
    voice::few(&names, MOST)
}
