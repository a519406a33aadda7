//! The units of a table: in a row or column of their own, in the corner over the bodies' names, and whether its figures can
//! be in the unit that they are read in.

use super::figure::{self, unit_named};
use super::heads::{Heading, Lie};
use super::{LOOKED_AT, Table};
use crate::kind::{Dimension, Kind};
use crate::report::Diagnostic;
use crate::syntax::tree::Unit;

/// Fewer figures than this tell nothing of a table's unit.
const FEWEST: usize = 3;

fn words(unit: Unit) -> &'static str {
    match unit {
        Unit::Millimetre => "millimetres",
        Unit::Centimetre => "centimetres",
        Unit::Inch => "inches",
        other => other.name(),
    }
}

impl Table {
    /// The unit in the corner, `size [cm]`: of every length that has none of its own.
    pub(super) fn read_corner(&mut self, headings: &[Heading]) -> Option<Diagnostic> {
        let free = || {
            headings
                .first()
                .filter(|first| first.measure.is_none())
                .map(|_| 0)
        };
        let at = self.names_at.or_else(free)?;
        let corner = headings.get(at)?;
        let place = self.cell(0, at).0;
        let what = format!("`{}`", self.cell(0, at).1);
        let unit = corner.unit.or_else(|| unit_named(&corner.name));
        match (unit, &corner.unknown_unit) {
            (Some(unit), _) if unit.measure().0 == Dimension::LENGTH => {
                self.manner.of_table = Some(unit);
                None
            }
            (Some(_), _) => {
                let why = "the unit of a whole table is one of length: mm, cm, m or in.";
                Some(self.wrong_cell(place, &what, why))
            }
            (None, Some(word)) => {
                let why = format!("`{word}` is not a unit here; write mm, cm, m or in.");
                Some(self.wrong_cell(place, &what, &why))
            }
            (None, None) => None,
        }
    }

    /// Units in a row or column of their own, below (or beside) the headings.
    pub(super) fn read_units(&mut self, headings: &[Heading]) {
        let said = match self.lie {
            Lie::Columns => (1..self.grid.width(0).max(self.grid.width(1)))
                .find(|column| Heading::of(&self.grid.cell(0, *column), &self.known).is_unit())
                .or_else(|| self.is_units(1).then_some(1)),
            Lie::Rows => self.is_units(1).then_some(1),
        };
        let first_body = 1;
        let end = match self.lie {
            Lie::Rows => self.grid.height(),
            Lie::Columns => (0..self.grid.height())
                .map(|row| self.grid.width(row))
                .max()
                .unwrap_or(0),
        };
        self.bodies = (first_body..end).filter(|at| Some(*at) != said).collect();
        let Some(units) = said else { return };
        let words: Vec<Option<Unit>> = (0..headings.len())
            .map(|at| unit_named(&self.cell(units, at).1))
            .collect();
        for placed in &mut self.placed {
            let word = words.get(placed.at).copied().flatten();
            placed.unit = placed.unit.or(word);
        }
    }

    /// Whether a row (or column) holds nothing but units beside the measures.
    fn is_units(&self, at: usize) -> bool {
        let cells = self.placed.iter().map(|placed| self.cell(at, placed.at).1);
        let written: Vec<String> = cells.filter(|cell| !cell.is_empty()).collect();
        let all = |cell: &String| unit_named(cell).is_some();
        !written.is_empty() && written.iter().all(all)
    }

    /// What is told where the table says no unit, most of its lengths lie outside their ranges as the draft's unit, and
    /// nearly all inside them as another.
    pub(super) fn other_unit(&self) -> Option<Diagnostic> {
        let own = Unit::named(self.manner.unit.name())?;
        let found = self.bare_lengths();
        let all = found.len();
        let inside = |unit: Unit| {
            let factor = unit.measure().1 / own.measure().1;
            let fits = |(figure, (low, high)): &&(f64, (f64, f64))| {
                (*low..=*high).contains(&(figure * factor))
            };
            found.iter().filter(fits).count()
        };
        let outside = all - inside(own);
        if self.manner.of_table.is_some() || all < FEWEST || 2 * outside <= all {
            return None;
        }
        let other = [Unit::Millimetre, Unit::Centimetre, Unit::Inch]
            .into_iter()
            .max_by_key(|unit| inside(*unit))
            .filter(|unit| 10 * inside(*unit) >= 9 * all)?;
        let at = self.names_at.unwrap_or_default();
        let ((row, column), head) = self.cell(0, at);
        let inside = if inside(other) == all {
            "all"
        } else {
            "nearly all"
        };
        let message = format!(
            "This table gives no unit, so its figures are read in the draft's own, {}: {outside} of {all} are then outside their ranges; in {}, {inside} would be inside.",
            words(own),
            words(other)
        );
        let told = self.wrong(self.grid.place(row, column), message);
        let corner = match self.names_at {
            Some(_) => format!("{head} [{}]", other.name()),
            None => format!("[{}]", other.name()),
        };
        Some(told.help(format!(
            "Write the unit over the names, `{}`, or beside each measure.",
            corner.trim_start()
        )))
    }

    /// Lengths without a unit, as they are read, and the range that each should lie in.
    fn bare_lengths(&self) -> Vec<(f64, (f64, f64))> {
        let mut found = Vec::new();
        for body in self.bodies.iter().take(LOOKED_AT) {
            for placed in self.placed.iter().filter(|placed| placed.unit.is_none()) {
                let Some(known) = self.known.get(placed.measure) else {
                    continue;
                };
                let cell = self.cell(*body, placed.at).1;
                let is_bare = cell.trim_end().ends_with(|c: char| c.is_ascii_digit());
                let range = known.ranges.first().filter(|_| known.kind == Kind::LENGTH);
                let (Some(range), true) = (range, is_bare) else {
                    continue;
                };
                if let Ok(figure::Given::Figure(figure, _)) =
                    figure::value(&cell, None, &known.kind, self.manner)
                {
                    found.push((figure, *range));
                }
            }
        }
        found
    }
}
