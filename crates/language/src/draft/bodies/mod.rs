//! Bodies as a table, the way a spreadsheet writes one: cells parted by commas, semicolons or tabs, decimal commas or
//! points, units in headings, in a row of their own or in cells, a body a row or a body a column. Every wrong cell is named
//! by its row and column, and one wrong body leaves the others standing. A body is read when it is asked for, so that a
//! table of ten thousand takes little more room than its text.

mod cells;
mod figure;
mod heads;
mod letters;
mod told;
mod units;

pub use letters::decoded;

use super::inputs::{Body, Setting};
use crate::check::program::{MeasureCode, Program};
use crate::kind::Kind;
use crate::pattern::WearerSide;
use crate::report::{Diagnostic, FileId, SourceMap, Span};
use crate::say;
use crate::syntax::tree::{MeasureOf, Unit};
use cells::{CellFault, Grid};
use figure::Manner;
use heads::{Heading, Lie, column_letters};
use std::collections::BTreeMap;

/// Headings of the bodies' names.
const NAME_WORDS: [&str; 4] = ["name", "size", "body", ""];
/// Headings of a row or column of units.
const UNIT_WORDS: [&str; 2] = ["unit", "units"];
/// Messages of one row of headings, wrong ones and doubtful ones apart.
const MOST_SHOWN: usize = 60;
/// Figures of this many bodies are looked at to tell decimal commas.
const LOOKED_AT: usize = 1_000;

/// A body, or what is wrong with its row.
pub type Row = Result<Body, Vec<Diagnostic>>;

/// A measure or a choice of the draft.
#[derive(Clone, Debug)]
struct Known {
    /// Rather than a choice, which may stand in a table too: a length that goes up with the size.
    of_body: bool,
    name: String,
    kind: Kind,
    /// Between which figures it lies.
    ranges: Vec<(f64, f64)>,
}

/// Where a measure stands in the table: its column, or its row where bodies are columns.
#[derive(Clone, Copy, Debug)]
struct Placed {
    measure: usize,
    /// Of one side of the wearer alone.
    side: Option<WearerSide>,
    unit: Option<Unit>,
    at: usize,
}

/// A table of bodies, its headings understood.
#[derive(Clone, Debug)]
pub struct Table {
    file: FileId,
    grid: Grid,
    lie: Lie,
    known: Vec<Known>,
    placed: Vec<Placed>,
    /// Where names stand, among the columns (or rows).
    names_at: Option<usize>,
    /// Where each body stands, among the rows (or columns).
    bodies: Vec<usize>,
    /// Bodies whose name another had before: its place.
    twice: BTreeMap<usize, usize>,
    /// Quotation marks gone wrong, by the row (or column) they stand in, as they stand in the grid.
    faulty: BTreeMap<usize, Vec<usize>>,
    manner: Manner,
    /// How many headings there are.
    headings: usize,
    warnings: Vec<Diagnostic>,
}

/// The first of many messages, with how many more there are.
fn not_too_many(mut told: Vec<Diagnostic>) -> Vec<Diagnostic> {
    let more = told.len().saturating_sub(MOST_SHOWN);
    told.truncate(MOST_SHOWN);
    if more > 0
        && let Some(last) = told.last_mut()
    {
        last.notes.push(say!("{} more are not shown.", more));
    }
    told
}

/// Reads every body of a table that stands in `sources`.
///
/// # Errors
/// What is wrong with the table as a whole.
pub fn read(
    sources: &SourceMap,
    file: FileId,
    program: &Program,
) -> Result<Vec<Row>, Vec<Diagnostic>> {
    let table = Table::read(sources, file, program)?;
    Ok((0..table.len()).map(|at| table.body(at)).collect())
}

impl Table {
    /// Reads the headings of a table that stands in `sources`. Columns of neither a measure nor a choice of the draft are passed over, so
    /// that one table serves several drafts.
    ///
    /// # Errors
    /// What is wrong with the table as a whole: its headings.
    pub fn read(
        sources: &SourceMap,
        file: FileId,
        program: &Program,
    ) -> Result<Self, Vec<Diagnostic>> {
        let (table, wrong) = Self::read_as_far(sources, file, program);
        wrong.map_or(Ok(table), Err)
    }

    /// The same, as far as it can be read, and what is wrong with it as a whole: the names of its bodies are there, where they can
    /// be found.
    pub fn read_as_far(
        sources: &SourceMap,
        file: FileId,
        program: &Program,
    ) -> (Self, Option<Vec<Diagnostic>>) {
        let of_body = |m: &&MeasureCode| m.of == MeasureOf::Body;
        // A heading of names or units is no choice, whatever the draft calls its own.
        let has_heading = |m: &&MeasureCode| {
            let plain = heads::plain(&m.name);
            let words = || NAME_WORDS.iter().chain(&UNIT_WORDS);
            m.of != MeasureOf::Body && words().all(|word| *word != plain)
        };
        let measures = program.measures.iter();
        let choices = measures.clone().filter(has_heading);
        let known: Vec<Known> = measures
            .filter(of_body)
            .chain(choices)
            .map(|measure| Known {
                of_body: measure.of == MeasureOf::Body,
                name: measure.name.clone(),
                kind: measure.kind.clone(),
                ranges: measure
                    .ranges
                    .iter()
                    .map(|range| (range.low, range.high))
                    .collect(),
            })
            .collect();
        let grid = Grid::of(sources.text(file));
        let mut table = Self {
            file,
            lie: heads::lie(&grid, &known),
            grid,
            known,
            placed: Vec::new(),
            names_at: None,
            bodies: Vec::new(),
            twice: BTreeMap::new(),
            faulty: BTreeMap::new(),
            manner: Manner {
                comma: false,
                of_table: None,
                unit: program.unit,
            },
            headings: 0,
            warnings: Vec::new(),
        };
        if table.grid.height() == 0 {
            let message = "This table is empty; its first row names the measures, and a row for each body follows.";
            let wrong = table.wrong((0, 0), message.into());
            return (table, Some(vec![wrong]));
        }
        for (number, fault) in table.grid.faults.iter().enumerate() {
            let at = match table.lie {
                Lie::Rows => fault.row,
                Lie::Columns => fault.column,
            };
            table.faulty.entry(at).or_default().push(number);
        }
        // What is wrong first may well be why the rest is.
        let headings = table.read_headings(program);
        let wrong = headings.and(table.find_bodies()).err();
        table.manner.comma = table.has_decimal_commas();
        let wrong = wrong.or_else(|| table.other_unit().map(|told| vec![told]));
        (table, wrong)
    }

    /// How many bodies there are.
    pub fn len(&self) -> usize {
        self.bodies.len()
    }

    /// Whether there is none; such a table is refused.
    pub fn is_empty(&self) -> bool {
        self.bodies.is_empty()
    }

    /// What should be looked at: columns that were probably meant for a measure.
    pub fn warnings(&self) -> &[Diagnostic] {
        &self.warnings
    }

    /// The name of a body; where the table has none, its row or column.
    pub fn name(&self, body: usize) -> String {
        let at = self.bodies.get(body).copied().unwrap_or_default();
        let name = self
            .names_at
            .map(|names| self.cell(at, names).1)
            .unwrap_or_default();
        match (name.is_empty(), self.lie) {
            (false, _) => name,
            (true, Lie::Rows) => format!("row {}", self.grid.number(at)),
            (true, Lie::Columns) => format!("column {}", column_letters(at)),
        }
    }

    /// The body in that row, from 0, or what is wrong with its cells.
    pub fn body(&self, number: usize) -> Row {
        let Some(at) = self.bodies.get(number).copied() else {
            return Err(Vec::new());
        };
        let mut body = Body {
            name: self.name(number),
            measures: BTreeMap::new(),
        };
        let mut faults = self.of_the_whole(number, at, &body.name);
        let mut quoting: Vec<&CellFault> = self.quoting(at).collect();
        for placed in &self.placed {
            let ((row, column), cell) = self.cell(at, placed.at);
            let Some(measure) = self.known.get(placed.measure).filter(|_| !cell.is_empty()) else {
                continue;
            };
            let wrong = quoting
                .iter()
                .position(|fault| (fault.row, fault.column) == (row, column))
                .map(|found| quoting.swap_remove(found).message.clone());
            let read = match wrong {
                Some(message) => Err(message),
                None => figure::value(&cell, placed.unit, &measure.kind, self.manner),
            };
            let name = placed
                .side
                .map_or_else(|| measure.name.clone(), |side| side.of(&measure.name));
            match read {
                Ok(value) => {
                    let setting = Setting {
                        name: name.clone(),
                        value,
                        span: self.span(self.grid.place(row, column)),
                    };
                    body.measures.insert(name, setting);
                }
                Err(why) => {
                    let what = format!("`{}`, `{name}`", body.name);
                    faults.push(self.wrong_cell((row, column), &what, &why));
                }
            }
        }
        for fault in quoting {
            let what = format!("`{}`", body.name);
            faults.push(self.wrong_cell((fault.row, fault.column), &what, &fault.message));
        }
        if faults.is_empty() {
            Ok(body)
        } else {
            Err(faults)
        }
    }

    /// A cell by its body and heading: its row and column, and its letters.
    fn cell(&self, body: usize, heading: usize) -> ((usize, usize), String) {
        let (row, column) = match self.lie {
            Lie::Rows => (body, heading),
            Lie::Columns => (heading, body),
        };
        ((row, column), self.grid.cell(row, column).into_owned())
    }

    /// Quotation marks gone wrong in a body's cells.
    fn quoting(&self, at: usize) -> impl Iterator<Item = &CellFault> {
        let numbers = self.faulty.get(&at).into_iter().flatten();
        numbers.filter_map(|number| self.grid.faults.get(*number))
    }

    fn read_headings(&mut self, program: &Program) -> Result<(), Vec<Diagnostic>> {
        let count = match self.lie {
            Lie::Rows => self.grid.width(0),
            Lie::Columns => self.grid.height(),
        };
        self.headings = count;
        let headings: Vec<Heading> = (0..count)
            .map(|at| Heading::of(&self.cell(0, at).1, &self.known))
            .collect();
        let mut faults: Vec<Diagnostic> = Vec::new();
        for fault in self.quoting(0) {
            faults.push(self.wrong_cell((fault.row, fault.column), "a heading", &fault.message));
        }
        for (at, heading) in headings.iter().enumerate() {
            let Some(measure) = heading.measure else {
                continue;
            };
            let place = self.cell(0, at).0;
            let what = format!("`{}`", heading.name);
            if let Some(word) = &heading.unknown_unit {
                let why = format!("`{word}` is not a unit here; write mm, cm, m, in or deg.");
                faults.push(self.wrong_cell(place, &what, &why));
            }
            if let Some(first) = self
                .placed
                .iter()
                .find(|p| (p.measure, p.side) == (measure, heading.side))
            {
                let first = self.cell(0, first.at).0;
                let why = format!("it is there twice, first in {}.", self.address(first));
                faults.push(self.wrong_cell(place, &what, &why));
                continue;
            }
            self.placed.push(Placed {
                measure,
                side: heading.side,
                unit: heading.unit,
                at,
            });
        }
        self.names_at = names_at(&headings, self.lie);
        faults.extend(self.read_corner(&headings));
        if self.placed.is_empty() && faults.is_empty() {
            faults.push(self.no_measure(&headings, program));
        }
        self.read_units(&headings);
        if !faults.is_empty() {
            return Err(not_too_many(faults));
        }
        self.warnings = not_too_many(self.of_no_measure(&headings, program));
        Ok(())
    }

    /// Leaves out columns without a letter, and finds names that come twice.
    fn find_bodies(&mut self) -> Result<(), Vec<Diagnostic>> {
        let all = std::mem::take(&mut self.bodies);
        let has_any = |at: &usize| {
            let named = self.names_at.into_iter();
            let measured = self.placed.iter().map(|placed| placed.at);
            self.lie == Lie::Rows
                || named
                    .chain(measured)
                    .any(|heading| !self.cell(*at, heading).1.is_empty())
        };
        self.bodies = all.into_iter().filter(has_any).collect();
        if self.bodies.is_empty() {
            let message = "This table has a header and no bodies.".to_owned();
            return Err(vec![self.wrong(self.grid.row_place(0), message)]);
        }
        let mut seen: BTreeMap<String, usize> = BTreeMap::new();
        for number in 0..self.bodies.len() {
            let at = self.bodies.get(number).copied().unwrap_or_default();
            let name = self.name(number);
            match seen.get(&name) {
                Some(first) => {
                    self.twice.insert(number, *first);
                }
                None => {
                    seen.insert(name, at);
                }
            }
        }
        Ok(())
    }

    fn has_decimal_commas(&self) -> bool {
        let bodies = self.bodies.iter().take(LOOKED_AT);
        let mut cells = bodies.flat_map(|at| self.placed.iter().map(|p| self.cell(*at, p.at).1));
        cells.any(|cell| figure::has_decimal_comma(&cell))
    }

    fn span(&self, (start, end): (usize, usize)) -> Span {
        Span::new(self.file, start, end)
    }
}

/// Where the names stand: under a heading that says so, or at the head of the columns.
fn names_at(headings: &[Heading], lie: Lie) -> Option<usize> {
    let called = |word: &str| {
        let is_called = |h: &Heading| h.measure.is_none() && heads::plain(&h.name) == word;
        headings.iter().position(is_called)
    };
    let said = NAME_WORDS
        .iter()
        .filter(|word| !word.is_empty())
        .find_map(|word| called(word));
    let first_is_free = || {
        let first = headings.first()?;
        let free = match lie {
            Lie::Rows => first.name.is_empty(),
            Lie::Columns => first.measure.is_none(),
        };
        free.then_some(0)
    };
    said.or_else(first_is_free)
}
