//! A table's text parted into cells, each with its place, rows counted as a spreadsheet counts them. Cells are parted by
//! commas, semicolons or tabs, whichever the first row uses. Read here and not by a package, since a quotation mark that is
//! never closed has to be told where it stands and must not swallow the rows below it.

use std::borrow::Cow;
use std::sync::Arc;

/// What may part cells; where the first row has as many of each, the first of these is taken.
const SEPARATORS: [(char, &str); 3] = [('\t', "tabs"), (';', "semicolons"), (',', "commas")];

/// A row's number, from 1, and which cells are its.
#[derive(Clone, Debug)]
struct GridRow {
    number: usize,
    cells: std::ops::Range<usize>,
}

/// What is wrong with a cell as it is written.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct CellFault {
    /// Place in [`Grid::rows`].
    pub(super) row: usize,
    /// Its column in the table, counted from 0.
    pub(super) column: usize,
    pub(super) message: String,
}

/// The cells of a table. Rows without a letter in them are left out, and counted.
#[derive(Clone, Debug)]
pub(super) struct Grid {
    text: Arc<str>,
    rows: Vec<GridRow>,
    cells: Vec<(u32, u32)>,
    /// What parts the cells.
    pub(super) separator: char,
    pub(super) faults: Vec<CellFault>,
}

impl Grid {
    pub(super) fn of(text: &str) -> Self {
        let (separator, body) = separator(text);
        let mut grid = Self {
            text: text.into(),
            rows: Vec::new(),
            cells: Vec::new(),
            separator,
            faults: Vec::new(),
        };
        let mut at = body;
        let mut number = if body == 0 { 0 } else { 1 };
        while at < text.len() {
            number += 1;
            at = grid.take_row(text, at, number);
        }
        grid
    }

    /// Reads a row from a byte on, and says where the next begins.
    fn take_row(&mut self, text: &str, mut at: usize, number: usize) -> usize {
        let first = self.cells.len();
        loop {
            let (end, fault) = cell_end(text, at, self.separator);
            if let Some(message) = fault {
                self.faults.push(CellFault {
                    row: self.rows.len(),
                    column: self.cells.len() - first,
                    message,
                });
            }
            let clip = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
            self.cells.push((clip(at), clip(end)));
            let rest = text.get(end..).unwrap_or_default();
            if rest.starts_with(self.separator) {
                at = end + 1;
                continue;
            }
            self.keep_row(first, number);
            let line_end = if rest.starts_with("\r\n") { 2 } else { 1 };
            return end + line_end;
        }
    }

    fn keep_row(&mut self, first: usize, number: usize) {
        let cells = first..self.cells.len();
        let is_empty = cells.clone().all(|at| self.letters(at).is_empty());
        if is_empty {
            self.cells.truncate(first);
        } else {
            self.rows.push(GridRow { number, cells });
        }
    }

    /// How many rows have something in them.
    pub(super) fn height(&self) -> usize {
        self.rows.len()
    }

    /// How many cells a row has, up to the last with a letter in it.
    pub(super) fn width(&self, row: usize) -> usize {
        let Some(row) = self.rows.get(row) else {
            return 0;
        };
        let mut cells = row.cells.clone();
        cells
            .rposition(|at| !self.letters(at).is_empty())
            .map_or(0, |last| last + 1)
    }

    /// The row's number as a spreadsheet counts, from 1.
    pub(super) fn number(&self, row: usize) -> usize {
        self.rows.get(row).map_or(0, |row| row.number)
    }

    /// The letters of a cell, without quotation marks and blanks around them; none where the row ends before it.
    pub(super) fn cell(&self, row: usize, column: usize) -> Cow<'_, str> {
        match self.index(row, column) {
            Some(at) => self.letters(at),
            None => Cow::Borrowed(""),
        }
    }

    /// The bytes of a cell, or of the end of a row that has no such cell.
    pub(super) fn place(&self, row: usize, column: usize) -> (usize, usize) {
        let found = self.index(row, column).and_then(|at| self.cells.get(at));
        let last = || {
            let row = self.rows.get(row)?;
            self.cells.get(row.cells.end.checked_sub(1)?)
        };
        let (start, end) = found.or_else(last).copied().unwrap_or_default();
        (start as usize, end as usize)
    }

    /// The bytes of a whole row.
    pub(super) fn row_place(&self, row: usize) -> (usize, usize) {
        (self.place(row, 0).0, self.place(row, usize::MAX).1)
    }

    fn index(&self, row: usize, column: usize) -> Option<usize> {
        let row = self.rows.get(row)?;
        let at = row.cells.start.checked_add(column)?;
        row.cells.contains(&at).then_some(at)
    }

    fn letters(&self, at: usize) -> Cow<'_, str> {
        let Some((start, end)) = self.cells.get(at) else {
            return Cow::Borrowed("");
        };
        let raw = self.text.get(*start as usize..*end as usize);
        let raw = trimmed(raw.unwrap_or_default());
        let quoted = raw
            .strip_prefix('"')
            .and_then(|inner| inner.strip_suffix('"'));
        match quoted {
            Some(inner) if inner.contains("\"\"") => {
                Cow::Owned(trimmed(&inner.replace("\"\"", "\"")).to_owned())
            }
            Some(inner) => Cow::Borrowed(trimmed(inner)),
            None => Cow::Borrowed(raw),
        }
    }
}

/// A name for what parts the cells.
pub(super) fn separator_words(separator: char) -> &'static str {
    SEPARATORS
        .iter()
        .find(|(known, _)| *known == separator)
        .map_or("commas", |(_, words)| words)
}

/// The separators that this table does not use and a text holds.
pub(super) fn other_separator(text: &str, used: char) -> Option<&'static str> {
    SEPARATORS
        .iter()
        .find(|(other, _)| *other != used && text.contains(*other))
        .map(|(_, words)| *words)
}

/// Blanks of every kind off both ends.
fn trimmed(text: &str) -> &str {
    text.trim_matches(|c: char| c.is_whitespace() || c == '\u{feff}')
}

/// What parts the cells, and where they begin: a first line `sep=;` says it and is no row.
fn separator(text: &str) -> (char, usize) {
    let line = text.lines().next().unwrap_or_default();
    if let Some(said) = line.trim_end().strip_prefix("sep=")
        && let Some(separator) = said.chars().next().or(Some('\t'))
        && SEPARATORS.iter().any(|(known, _)| *known == separator)
    {
        return (separator, text.find('\n').map_or(text.len(), |end| end + 1));
    }
    let first = text
        .lines()
        .find(|line| !line.trim().is_empty())
        .unwrap_or_default();
    let count = |separator: char| {
        let mut quoted = false;
        let outside = first.chars().filter(|c| {
            quoted ^= *c == '"';
            !quoted && *c == separator
        });
        outside.count()
    };
    let mut best = (',', 0);
    for (separator, _) in SEPARATORS {
        let found = count(separator);
        if found > best.1 {
            best = (separator, found);
        }
    }
    (best.0, 0)
}

/// Where a cell that begins at a byte ends, and what is wrong with its quotation marks.
fn cell_end(text: &str, start: usize, separator: char) -> (usize, Option<String>) {
    let rest = text.get(start..).unwrap_or_default();
    let stop = |c: char| c == separator || c == '\n' || c == '\r';
    let plain = |from: usize| {
        let tail = rest.get(from..).unwrap_or_default();
        start + from + tail.find(stop).unwrap_or(tail.len())
    };
    let blanks = rest.len() - rest.trim_start_matches([' ', '\u{a0}']).len();
    let Some(inner) = rest.get(blanks..).and_then(|rest| rest.strip_prefix('"')) else {
        return (plain(0), None);
    };
    let mut letters = inner.char_indices().peekable();
    while let Some((at, letter)) = letters.next() {
        if letter != '"' {
            continue;
        }
        if letters.next_if(|(_, next)| *next == '"').is_some() {
            continue;
        }
        let after = blanks + 1 + at + 1;
        let end = plain(after);
        let between = text.get(start + after..end).unwrap_or_default();
        let fault = (!between.trim().is_empty()).then(|| {
            format!(
                "`{}` follows the closing quotation mark. A quotation mark inside a cell is written twice, `\"\"`; inches are written `in`.",
                between.trim()
            )
        });
        return (end, fault);
    }
    // Read as if it were a letter like any other, so that the rows below are still read.
    let fault = "the quotation mark that opens this cell is never closed.";
    (plain(0), Some(fault.into()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(text: &str) -> Vec<Vec<String>> {
        let grid = Grid::of(text);
        (0..grid.height())
            .map(|row| {
                (0..grid.width(row))
                    .map(|column| grid.cell(row, column).into_owned())
                    .collect()
            })
            .collect()
    }

    /// RFC 4180, section 2: quoted cells may hold separators, line ends and doubled quotation marks.
    #[test]
    fn cells_are_parted_as_the_rfc_says() {
        assert_eq!(
            rows("a,\"b,c\",\"d\r\ne\",\"f\"\"g\"\r\n1,2\r\n"),
            vec![vec!["a", "b,c", "d\r\ne", "f\"g"], vec!["1", "2"]]
        );
    }

    #[test]
    fn rows_are_counted_as_a_spreadsheet_counts_them() {
        let grid = Grid::of("sep=;\n\na;b\n;;\n\"1\n\";2");
        assert_eq!(grid.separator, ';');
        assert_eq!((grid.number(0), grid.number(1)), (3, 5));
        assert_eq!(grid.cell(1, 0), "1");
    }

    #[test]
    fn an_open_quotation_mark_swallows_nothing() {
        let grid = Grid::of("a,b\n\"1,2\n3,4\n");
        assert_eq!(grid.height(), 3);
        assert_eq!(grid.faults.len(), 1);
        assert_eq!(grid.cell(2, 1), "4");
    }
}
