//! One cell as a value. A spreadsheet writes figures with a decimal comma or point, with or without a unit, a blank between
//! them, and inches as `38 1/2`. What can be read two ways is refused: a figure ten times too large cuts cloth.

pub(super) use super::super::inputs::Given;
use super::super::inputs::given;
use crate::kind::{Dimension, Kind};
use crate::syntax::tree::Unit;
use crate::voice::LengthUnit;

/// How this table's figures are to be read.
#[derive(Clone, Copy, Debug)]
pub(super) struct Manner {
    /// Some figure of the table has a comma that can only be a decimal comma.
    pub(super) comma: bool,
    /// The unit of every length that has none beside it, where the table says one.
    pub(super) of_table: Option<Unit>,
    /// The draft's unit, for figures that have none.
    pub(super) unit: LengthUnit,
}

/// Entries that say "not taken" in words.
const NOT_TAKEN: [&str; 11] = [
    "-", "–", "—", "?", "n/a", "na", "nil", "none", "tbd", "...", "…",
];

/// A cell as a value of a measure; `unit` is what the table says beside the measure's name.
///
/// # Errors
/// What is wrong with it and what to write.
pub(super) fn value(
    cell: &str,
    unit: Option<Unit>,
    kind: &Kind,
    manner: Manner,
) -> Result<Given, String> {
    let cell = cell.replace(['\u{a0}', '\u{202f}', '\u{2009}'], " ");
    let cell = cell.trim();
    if cell.starts_with('#') {
        return Err(format!(
            "`{cell}` is the spreadsheet's own word for a formula that went wrong; mend it there."
        ));
    }
    if cell.starts_with('=') {
        return Err(format!(
            "`{cell}` is a formula; save the table with its figures."
        ));
    }
    if NOT_TAKEN.contains(&cell.to_lowercase().as_str()) {
        return Err(format!(
            "`{cell}` is no figure. Leave the cell empty where a measure was not taken."
        ));
    }
    if cell.contains(['\n', '\r']) {
        return Err(
            "it holds several lines; a quotation mark may be missing here or further down.".into(),
        );
    }
    let Kind::Quantity(wanted) = kind else {
        // What is typed is told as it stands, without figures of any unit.
        return given(cell).map_err(|why| why.in_unit(manner.unit).into_owned());
    };
    figure(cell, unit, *wanted, manner)
}

fn figure(
    cell: &str,
    beside: Option<Unit>,
    wanted: Dimension,
    manner: Manner,
) -> Result<Given, String> {
    if is_date(cell) {
        return Err(format!(
            "`{cell}` looks like a date: spreadsheets make one of a fraction. Set the column to text and write the figure again."
        ));
    }
    let (digits, rest) = parted(cell);
    if digits.is_empty() {
        let example = example(wanted, manner.unit);
        return Err(format!(
            "`{cell}` is no figure: write one such as `{example}`."
        ));
    }
    if rest.starts_with(['e', 'E'])
        && rest.get(1..).is_some_and(|r| {
            r.starts_with(['+', '-']) || r.starts_with(|c: char| c.is_ascii_digit())
        })
    {
        return Err(format!(
            "`{cell}` is written with an exponent: write the figure out."
        ));
    }
    let figure = number(digits, manner)?;
    let own = own_unit(cell, rest)?;
    let unit = own.or(beside).or(match wanted {
        Dimension::LENGTH => manner.of_table.or(Unit::named(manner.unit.name())),
        Dimension::ANGLE => Some(Unit::Degree),
        _ => None,
    });
    let (dimension, scale) = unit.map_or((Dimension::NUMBER, 1.0), Unit::measure);
    if dimension != wanted {
        let found = Kind::Quantity(dimension).with_article();
        let kind = Kind::Quantity(wanted).with_article();
        let example = example(wanted, manner.unit);
        return Err(format!(
            "`{cell}` is {found}, and {kind} is wanted, such as `{example}`."
        ));
    }
    Ok(Given::Figure(figure * scale, dimension))
}

fn example(wanted: Dimension, unit: LengthUnit) -> &'static str {
    match (wanted, unit) {
        (Dimension::LENGTH, LengthUnit::Millimetre) => "940mm",
        (Dimension::LENGTH, LengthUnit::Centimetre) => "94cm",
        (Dimension::LENGTH, LengthUnit::Inch) => "37in",
        (Dimension::ANGLE, _) => "22deg",
        _ => "0.6",
    }
}

/// The figure at the head of a cell, blanks and fraction with it, and the rest.
fn parted(cell: &str) -> (&str, &str) {
    let is_part = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '/' | ' ' | '\'' | '’');
    let sign = usize::from(cell.starts_with(['-', '+']));
    let after = cell.get(sign..).unwrap_or_default();
    let length = after.find(|c: char| !is_part(c)).unwrap_or(after.len());
    let (head, rest) = cell.split_at_checked(sign + length).unwrap_or((cell, ""));
    if head.contains(|c: char| c.is_ascii_digit()) {
        (head.trim_end(), rest)
    } else {
        ("", cell)
    }
}

/// `96.5`, `96,5`, `38 1/2`, `3/8`.
fn number(digits: &str, manner: Manner) -> Result<f64, String> {
    let (sign, plain) = match digits.strip_prefix('-') {
        Some(rest) => (-1.0, rest.trim_start()),
        None => (1.0, digits.trim_start_matches('+').trim_start()),
    };
    let no_figure = || format!("`{digits}` is no figure.");
    let Some((head, below)) = plain.split_once('/') else {
        return decimal(plain, manner).map(|figure| sign * figure);
    };
    let below: u32 = below.parse().map_err(|_| no_figure())?;
    if below == 0 {
        return Err(format!("`{digits}` divides by nothing."));
    }
    let (whole, above) = head.rsplit_once(' ').unwrap_or(("0", head));
    let whole: u32 = whole.trim().parse().map_err(|_| no_figure())?;
    let above: u32 = above.parse().map_err(|_| no_figure())?;
    Ok(sign * (f64::from(whole) + f64::from(above) / f64::from(below)))
}

fn decimal(plain: &str, manner: Manner) -> Result<f64, String> {
    let marks: Vec<char> = plain.chars().filter(|c| !c.is_ascii_digit()).collect();
    let grouped = || {
        Err(format!(
            "`{plain}` is parted at the thousands: write the figure with no mark but the decimal one."
        ))
    };
    match marks.as_slice() {
        [] => {}
        ['.' | ','] => {}
        _ => return grouped(),
    }
    if let Some((whole, part)) = plain.split_once(['.', ',']) {
        let is_comma = plain.contains(',');
        let could_be_thousands =
            part.len() == 3 && (1..=3).contains(&whole.len()) && !whole.starts_with('0');
        if could_be_thousands && is_comma != manner.comma {
            return Err(format!(
                "`{plain}` can be read two ways, as {whole}{part} or as {whole} and a fraction: write `{whole}{part}` or fewer decimals."
            ));
        }
    }
    plain
        .replace(',', ".")
        .parse()
        .map_err(|_| format!("`{plain}` is no figure."))
}

/// Whether a cell can only be read with a decimal comma.
pub(super) fn has_decimal_comma(cell: &str) -> bool {
    let (digits, _) = parted(cell.trim());
    let digits = digits.trim_start_matches(['-', '+']);
    digits.split_once(',').is_some_and(|(whole, part)| {
        let all = |text: &str| !text.is_empty() && text.chars().all(|c| c.is_ascii_digit());
        all(whole) && all(part) && (part.len() != 3 || whole.len() > 3 || whole.starts_with('0'))
    })
}

fn own_unit(cell: &str, rest: &str) -> Result<Option<Unit>, String> {
    let word = rest.trim().trim_end_matches('.');
    if word.is_empty() {
        return Ok(None);
    }
    if let Some(unit) = unit_named(word) {
        return Ok(Some(unit));
    }
    if matches!(word, "\"" | "''" | "″" | "”") {
        return Err(format!("`{cell}`: write inches as `in`."));
    }
    Err(format!(
        "`{cell}`: `{word}` is no unit here; write mm, cm, m, in or deg."
    ))
}

/// A unit as a table writes it: of the language, in capitals or not, or `°`.
pub(super) fn unit_named(word: &str) -> Option<Unit> {
    match word.trim() {
        "°" => Some(Unit::Degree),
        word => Unit::named(&word.to_lowercase()),
    }
}

/// `12. Jan`, `01/02/2025`, `2025-02-01`.
fn is_date(cell: &str) -> bool {
    const MONTHS: [&str; 15] = [
        "jan", "feb", "mar", "mär", "mrz", "apr", "may", "mai", "jun", "jul", "aug", "sep", "oct",
        "nov", "dec",
    ];
    let lower = cell.to_lowercase();
    let parts: Vec<&str> = lower
        .split(['/', '-', '.', ' '])
        .filter(|p| !p.is_empty())
        .collect();
    let is_figure = |part: &&str| part.chars().all(|c| c.is_ascii_digit());
    let has_month = parts.len() >= 2
        && parts.iter().any(is_figure)
        && parts
            .iter()
            .any(|part| part.len() <= 9 && MONTHS.iter().any(|month| part.starts_with(month)));
    let has_year = parts.len() == 3
        && parts.iter().all(is_figure)
        && parts.iter().any(|part| part.len() == 4)
        && cell.contains(['/', '-', '.']);
    has_month || has_year
}

#[cfg(test)]
mod tests {
    use super::*;

    const CM: Manner = Manner {
        comma: false,
        of_table: None,
        unit: LengthUnit::Centimetre,
    };

    fn length(cell: &str) -> Result<f64, String> {
        match value(cell, None, &Kind::LENGTH, CM)? {
            Given::Figure(figure, Dimension::LENGTH) => Ok(figure),
            other => Err(format!("{other:?}")),
        }
    }

    #[test]
    fn figures_are_read_as_spreadsheets_write_them() {
        for (cell, wanted) in [
            ("96", 960.0),
            ("96.5", 965.0),
            ("96,5", 965.0),
            ("96 cm", 960.0),
            ("960mm", 960.0),
            ("960\u{a0}MM", 960.0),
            ("38 1/2 in", 977.9),
            ("3/8in", 9.525),
            ("0,125 m", 125.0),
        ] {
            let found = length(cell).unwrap();
            assert!((found - wanted).abs() < 1e-9, "{cell}: {found}");
        }
    }

    #[test]
    fn what_reads_two_ways_is_refused() {
        assert!(length("1,234").unwrap_err().contains("two ways"));
        assert!(length("1.234,5").unwrap_err().contains("thousands"));
        assert!(length("1'234").unwrap_err().contains("thousands"));
        let comma = Manner { comma: true, ..CM };
        assert!(value("96,125", None, &Kind::LENGTH, comma).is_ok());
        assert!(value("96.125", None, &Kind::LENGTH, comma).is_err());
    }
}
