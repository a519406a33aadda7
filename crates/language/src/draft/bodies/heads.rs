//! What the headings of a table say: which measure each stands for, in which unit, and whether bodies are rows or columns.
//! A heading is a measure's name as the draft writes it, or as people do: `Bust girth [mm]`, `bust girth (mm)`.

use super::cells::Grid;
use super::figure::unit_named;
use super::{Known, NAME_WORDS, UNIT_WORDS};
use crate::pattern::WearerSide;
use crate::syntax::tree::Unit;

/// Whether a body is a row of the table or a column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Lie {
    Rows,
    Columns,
}

#[derive(Clone, Debug, PartialEq)]
pub(super) struct Heading {
    /// As the table writes it, without its unit.
    pub(super) name: String,
    /// Which measure of the draft it is.
    pub(super) measure: Option<usize>,
    /// Of which side of the wearer, where it is of one alone.
    pub(super) side: Option<WearerSide>,
    /// The unit beside the name.
    pub(super) unit: Option<Unit>,
    /// A unit the language does not have, in square brackets.
    pub(super) unknown_unit: Option<String>,
}

impl Heading {
    pub(super) fn of(cell: &str, known: &[Known]) -> Self {
        let one_line = cell.split_whitespace().collect::<Vec<_>>().join(" ");
        let (measure, side) = found(&one_line, known);
        let whole = Self {
            measure,
            side,
            name: one_line,
            unit: None,
            unknown_unit: None,
        };
        if whole.measure.is_some() {
            return whole;
        }
        let Some((name, word, is_square)) = with_unit(&whole.name) else {
            return whole;
        };
        let unit = unit_named(word);
        let (measure, side) = found(name, known);
        if unit.is_none() && !is_square {
            return match measure {
                Some(_) => Self {
                    name: name.to_owned(),
                    measure,
                    side: side.or(side_in(word)),
                    ..whole
                },
                None => whole,
            };
        }
        Self {
            measure,
            side,
            unit,
            unknown_unit: unit.is_none().then(|| word.to_owned()),
            name: name.to_owned(),
        }
    }

    /// Whether it heads the bodies' names.
    pub(super) fn is_name(&self) -> bool {
        self.measure.is_none() && NAME_WORDS.contains(&plain(&self.name).as_str())
    }

    /// Whether it heads a row or column of units.
    pub(super) fn is_unit(&self) -> bool {
        self.measure.is_none() && UNIT_WORDS.contains(&plain(&self.name).as_str())
    }
}

/// A heading's name and what stands beside it: in square brackets, which can only be a unit, in round ones, or as a last
/// word that is one.
fn with_unit(heading: &str) -> Option<(&str, &str, bool)> {
    for (open, close, is_square) in [('[', ']', true), ('(', ')', false)] {
        if let Some((name, word)) = heading.rsplit_once(open) {
            return Some((
                name.trim_end(),
                word.trim_end_matches(close).trim(),
                is_square,
            ));
        }
    }
    let (name, word) = heading.rsplit_once([' ', ','])?;
    unit_named(word)?;
    Some((name.trim_end_matches([' ', ',']), word, false))
}

/// Letters and figures in small letters, one `_` between words.
pub(super) fn plain(name: &str) -> String {
    let words = name
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty());
    words.collect::<Vec<_>>().join("_").to_lowercase()
}

fn measure_named(name: &str, known: &[Known]) -> Option<usize> {
    let exact = known.iter().position(|measure| measure.name == name);
    exact.or_else(|| {
        let wanted = plain(name);
        known
            .iter()
            .position(|measure| !wanted.is_empty() && plain(&measure.name) == wanted)
    })
}

/// The measure that a heading names, and the side of the wearer where it says one: `Shoulder slope (left)`. A measure of
/// just that name comes first.
fn found(name: &str, known: &[Known]) -> (Option<usize>, Option<WearerSide>) {
    if let Some(measure) = measure_named(name, known) {
        return (Some(measure), None);
    }
    match without_side(&plain(name)) {
        Some((stem, side)) => {
            let measure = measure_named(&stem, known);
            (measure, measure.map(|_| side))
        }
        None => (None, None),
    }
}

/// The side that stands in a remark beside a measure's name: `(left, lying)`.
fn side_in(remark: &str) -> Option<WearerSide> {
    let remark = plain(remark);
    remark.split('_').find_map(WearerSide::named)
}

/// A heading in small letters without the side of the wearer that it begins or ends with.
pub(super) fn without_side(heading: &str) -> Option<(String, WearerSide)> {
    WearerSide::BOTH.into_iter().find_map(|side| {
        let last = heading.strip_suffix(side.word());
        let last = last.and_then(|stem| stem.strip_suffix('_'));
        let first = heading.strip_prefix(side.word());
        let first = first.and_then(|stem| stem.strip_prefix('_'));
        Some((last.or(first)?.to_owned(), side))
    })
}

/// Whether bodies are rows or columns: measures stand at the head of the others.
pub(super) fn lie(grid: &Grid, known: &[Known]) -> Lie {
    let is_measure = |row, column| {
        Heading::of(&grid.cell(row, column), known)
            .measure
            .is_some()
    };
    let along = (0..grid.width(0)).filter(|column| is_measure(0, *column));
    let down = (0..grid.height()).filter(|row| is_measure(*row, 0));
    if down.count() > along.count() {
        Lie::Columns
    } else {
        Lie::Rows
    }
}

/// A column as a spreadsheet letters it: A to Z, AA and on.
pub(super) fn column_letters(column: usize) -> String {
    let mut letters = Vec::new();
    let mut left = column + 1;
    while left > 0 {
        let digit = u8::try_from((left - 1) % 26).unwrap_or_default();
        letters.push(char::from(b'A' + digit));
        left = (left - 1) / 26;
    }
    letters.iter().rev().collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kind::Kind;

    #[test]
    fn headings_are_read_as_people_write_them() {
        let known = [Known {
            of_body: true,
            name: "bust_girth".into(),
            kind: Kind::LENGTH,
            ranges: Vec::new(),
        }];
        for (cell, unit) in [
            ("bust_girth", None),
            ("Bust girth", None),
            ("BUST-GIRTH [mm]", Some(Unit::Millimetre)),
            ("Bust\ngirth (cm)", Some(Unit::Centimetre)),
            ("bust girth, in", Some(Unit::Inch)),
            ("bust girth (fullest part)", None),
        ] {
            let heading = Heading::of(cell, &known);
            assert_eq!((heading.measure, heading.unit), (Some(0), unit), "{cell}");
        }
        let feet = Heading::of("bust_girth [feet]", &known);
        assert_eq!(feet.unknown_unit.as_deref(), Some("feet"));
    }

    #[test]
    fn a_heading_may_be_of_one_side_of_the_wearer() {
        let known = ["slope", "right_arm", "arm"].map(|name| Known {
            of_body: true,
            name: name.into(),
            kind: Kind::LENGTH,
            ranges: Vec::new(),
        });
        let (left, right) = (Some(WearerSide::Left), Some(WearerSide::Right));
        for (cell, measure, side) in [
            ("slope.left", Some(0), left),
            ("Slope left", Some(0), left),
            ("Slope (left)", Some(0), left),
            ("Slope, right [cm]", Some(0), right),
            ("Slope (right) (cm)", Some(0), right),
            ("Left slope", Some(0), left),
            ("Slope (left, lying)", Some(0), left),
            ("Slope (left) (lying)", Some(0), left),
            ("Slope (lying)", Some(0), None),
            ("right arm", Some(1), None),
            ("arm right", Some(2), right),
            ("left", None, None),
        ] {
            let heading = Heading::of(cell, &known);
            assert_eq!((heading.measure, heading.side), (measure, side), "{cell}");
        }
    }

    #[test]
    fn columns_are_lettered_as_in_a_spreadsheet() {
        let letters = [0, 25, 26, 701, 702].map(column_letters);
        assert_eq!(letters, ["A", "Z", "AA", "ZZ", "AAA"]);
    }
}
