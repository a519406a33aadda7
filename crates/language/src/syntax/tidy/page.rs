//! Sentences to lines. One that fits stands on one line; one that does not is broken at the words that rank highest, and each
//! part again where it must be.

use super::WIDEST;
use super::items::{Block, Body, Cell, Item, Line, Part};
use super::notes::{BEHIND_EQUALS, INSIDE, Manner, Mark};
use crate::syntax::tokens::Tok;

/// So much further in stands what is in a block.
const BLOCK: usize = 2;
/// So much further in stands a line that goes on.
const ON: usize = 4;

/// Where names before `=` reach farther, their value had better begin a line of its own than be torn.
const LONG_NAMES: usize = 40;

/// The text of a file's sentences.
pub(super) fn write(text: &str, file: &Block<'_>) -> String {
    let mut page = Page {
        out: String::with_capacity(text.len()),
    };
    page.block(file, 0);
    if !page.out.is_empty() {
        page.out.push('\n');
    }
    page.out
}

struct Page {
    out: String,
}

impl Page {
    fn block(&mut self, block: &Block<'_>, indent: usize) {
        let mut begun = false;
        for item in &block.items {
            self.lines(&item.above, indent, &mut begun);
            let blank = item.blank && begun;
            begun = true;
            match &item.body {
                Body::Kept(lines) => {
                    self.new_line(0, blank);
                    self.out.push_str(lines);
                }
                Body::Parts(parts) => {
                    self.new_line(indent, blank);
                    self.item(item, parts, indent);
                }
            }
            self.comment_beside(item.beside);
        }
        self.lines(&block.tail, indent, &mut begun);
    }

    fn lines(&mut self, lines: &[Line<'_>], indent: usize, begun: &mut bool) {
        for line in lines {
            self.new_line(indent, line.blank && *begun);
            self.out.push_str(line.comment);
            *begun = true;
        }
    }

    fn item(&mut self, item: &Item<'_>, parts: &[Part<'_>], indent: usize) {
        if let Some(line) = on_one_line(item, parts)
            && indent + line.chars().count() <= WIDEST
        {
            self.out.push_str(&line);
            return;
        }
        for part in parts {
            match part {
                Part::Words(cells) => self.words(cells, indent),
                Part::Block(block) => {
                    self.comment_beside(block.beside);
                    self.block(block, indent + BLOCK);
                    self.new_line(indent, false);
                }
            }
        }
    }

    /// Words up to a brace or the end of the sentence, their comments between them.
    fn words(&mut self, cells: &[Cell<'_>], indent: usize) {
        let mut rest = cells;
        let mut behind_brace = false;
        let mut column = indent;
        while !rest.is_empty() {
            let more = rest.iter().skip(1).position(|cell| cell.forced);
            let (run, after) = rest.split_at(more.map_or(rest.len(), |at| at + 1));
            if let Some(first) = run.first()
                && first.forced
            {
                let own = behind_brace || first.tok == Tok::OpenBrace;
                column = if own { indent } else { indent + ON };
                for comment in &first.above {
                    self.new_line(column, false);
                    self.out.push_str(comment);
                }
                self.new_line(column, false);
            }
            self.broken(run, column, indent + ON, None);
            if let Some(last) = run.last() {
                self.comment_beside(last.beside);
                behind_brace = last.tok == Tok::CloseBrace;
            }
            rest = after;
        }
    }

    /// Words from a column on, over as many lines as they take. What goes on stands at `indent`, or further in where it breaks
    /// deeper than at `level`.
    fn broken(&mut self, cells: &[Cell<'_>], column: usize, indent: usize, level: Option<u16>) {
        let best = cells.iter().skip(1).filter_map(|cell| cell.mark).min();
        let long = column + width(cells) > WIDEST;
        let helpless = || is_helpless(cells, column);
        let Some(best) = best.filter(|best| long && (best.level < INSIDE || !helpless())) else {
            return self.flat(cells);
        };
        let deeper = level.is_some_and(|level| level != best.level);
        let indent = if deeper { indent + ON } else { indent };
        let breaks = |cell: &Cell<'_>| {
            cell.mark.is_some_and(|mark| {
                let all = best.manner == Manner::All && mark.manner == Manner::All;
                mark.level == best.level && (mark.rank == best.rank || all)
            })
        };
        if level.is_none()
            && two_lines(cells, column, indent, best).is_none()
            && let Some((before, value)) = behind_equals(cells, column, indent, |cells| {
                first_line(cells, column, indent, best.manner, breaks)
            })
        {
            self.broken(before, column, indent + ON, Some(best.level));
            self.new_line(indent, false);
            return self.broken(value, indent, indent, Some(best.level));
        }
        if let Some(at) = two_lines(cells, column, indent, best) {
            let (line, after) = cells.split_at(at);
            self.flat(line);
            self.new_line(indent, false);
            return self.flat(after);
        }
        let (mut rest, mut column) = (cells, column);
        while !rest.is_empty() {
            let (line, after) =
                rest.split_at(first_line(rest, column, indent, best.manner, breaks));
            self.broken(line, column, indent, Some(best.level));
            if !after.is_empty() {
                self.new_line(indent, false);
            }
            (rest, column) = (after, indent);
        }
    }

    fn flat(&mut self, cells: &[Cell<'_>]) {
        for (n, cell) in cells.iter().enumerate() {
            if n > 0 && !cell.glued {
                self.out.push(' ');
            }
            self.out.push_str(&cell.text);
        }
    }

    fn comment_beside(&mut self, comment: Option<&str>) {
        if let Some(comment) = comment {
            self.out.push(' ');
            self.out.push_str(comment);
        }
    }

    fn new_line(&mut self, indent: usize, blank: bool) {
        if self.out.is_empty() {
            return;
        }
        self.out.push_str(if blank { "\n\n" } else { "\n" });
        self.out.extend(std::iter::repeat_n(' ', indent));
    }
}

/// Where two lines hold it all, broken before a clause: before the one that ranks highest, and of those the first.
fn two_lines(cells: &[Cell<'_>], column: usize, indent: usize, best: Mark) -> Option<usize> {
    let whole = width(cells);
    let mut taken = 0;
    let mut found: Option<(u8, usize)> = None;
    for (n, cell) in cells.iter().enumerate() {
        let after = whole.saturating_sub(taken + usize::from(!cell.glued));
        let fits = column + taken <= WIDEST && indent + after <= WIDEST;
        if n > 0
            && fits
            && let Some(mark) = cell.mark
            && mark.level == best.level
            && mark.manner == Manner::Clauses
        {
            found = Some(found.map_or((mark.rank, n), |other| other.min((mark.rank, n))));
        }
        taken += cell.width - usize::from(n == 0 && !cell.glued);
    }
    found
        .filter(|_| best.manner == Manner::Clauses)
        .map(|(_, n)| n)
}

/// How many words the first line takes.
fn first_line(
    cells: &[Cell<'_>],
    column: usize,
    indent: usize,
    manner: Manner,
    breaks: impl Fn(&Cell<'_>) -> bool,
) -> usize {
    let whole = width(cells);
    let (mut last, mut taken) = (None, 0);
    for (n, cell) in cells.iter().enumerate() {
        if n > 0 && breaks(cell) {
            let (before, after) = (taken, whole - taken - usize::from(!cell.glued));
            let earliest = manner == Manner::Clauses && indent + after <= WIDEST;
            if manner == Manner::All || (earliest && column + whole > WIDEST) {
                return n;
            }
            if column + before > WIDEST {
                return last.unwrap_or(n);
            }
            last = Some(n);
        }
        taken += cell.width - usize::from(n == 0 && !cell.glued);
    }
    match last {
        Some(n) if column + whole > WIDEST => n,
        _ => cells.len(),
    }
}

/// The words up to `=` and the value, where the line had better break between them: the first line would not hold what belongs
/// on it, or the value is a list that fits below.
fn behind_equals<'c, 't>(
    cells: &'c [Cell<'t>],
    column: usize,
    indent: usize,
    first_line: impl Fn(&[Cell<'_>]) -> usize,
) -> Option<(&'c [Cell<'t>], &'c [Cell<'t>])> {
    let at = cells
        .iter()
        .rposition(|cell| cell.mark == Some(BEHIND_EQUALS))?;
    let (before, value) = cells.split_at_checked(at.max(1))?;
    let fits = |from: usize, cells: &[Cell<'_>]| from + width(cells) <= WIDEST;
    let first = cells.get(..first_line(cells))?;
    let names_are_long = column + width(before) > LONG_NAMES;
    let value_fits = first
        .get(before.len()..)
        .is_some_and(|line| fits(indent, line));
    let torn = !fits(column, first) && (names_are_long || value_fits);
    let listed = value
        .first()
        .is_some_and(|cell| cell.tok == Tok::OpenSquare);
    (torn || (listed && fits(indent, value))).then_some((before, value))
}

/// Whether the line is too long for the text at its end alone: no figure is torn apart for that.
fn is_helpless(cells: &[Cell<'_>], column: usize) -> bool {
    let text = cells.iter().rposition(|cell| cell.tok.begins_text());
    let last = cells.iter().rposition(|cell| cell.mark.is_some());
    let (Some(text), Some(last)) = (text, last) else {
        return false;
    };
    let (before, _) = cells.split_at(text);
    let closes = |cell: &Cell<'_>| cell.glued || cell.tok == Tok::OpenBrace;
    let ends = cells
        .get(text + 1..)
        .is_some_and(|rest| rest.iter().all(closes));
    ends && last < text && column + width(before) <= WIDEST
}

fn width(cells: &[Cell<'_>]) -> usize {
    let space = cells.first().map_or(0, |first| usize::from(!first.glued));
    let whole: usize = cells.iter().map(|cell| cell.width).sum();
    whole - space
}

/// A sentence on one line, where its form may stand so: without comments inside, and its blocks with one plain sentence each.
/// Where something is drawn step by step, in a panel, a step, a `try` or an operation, sentences stand below each other.
fn on_one_line(item: &Item<'_>, parts: &[Part<'_>]) -> Option<String> {
    let may_hold = match item.first {
        Tok::Each => false,
        Tok::Name => !matches!(item.word, "panel" | "step" | "try" | "operation"),
        _ => true,
    };
    let mut line = String::new();
    for part in parts {
        match part {
            Part::Words(cells) => flat(cells, &mut line)?,
            Part::Block(block) => {
                let [only] = block.items.as_slice() else {
                    return None;
                };
                let Body::Parts(inner) = &only.body else {
                    return None;
                };
                let [Part::Words(cells)] = inner.as_slice() else {
                    return None;
                };
                let bare = only.above.is_empty() && only.beside.is_none();
                let plain = block.beside.is_none() && block.tail.is_empty() && bare;
                if !plain || !may_hold {
                    return None;
                }
                line.push(' ');
                flat(cells, &mut line)?;
                line.push(' ');
            }
        }
    }
    Some(line)
}

fn flat(cells: &[Cell<'_>], line: &mut String) -> Option<()> {
    for (n, cell) in cells.iter().enumerate() {
        let commented = cell.beside.is_some() || !cell.above.is_empty();
        if commented || (n > 0 && cell.forced) {
            return None;
        }
        if n > 0 && !cell.glued {
            line.push(' ');
        }
        line.push_str(&cell.text);
    }
    Some(())
}
