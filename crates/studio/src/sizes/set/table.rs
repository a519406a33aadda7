//! The table of a size set: measures, finished measures, seams, edges and areas, a row each and a column a size, with what
//! each grows by. Finished measures are the lengths that a draft names so: `finished_…`.

use super::Set;
use oaktag_language::kind::Dimension;
use oaktag_language::pattern::spec::Value;
use oaktag_language::pattern::{Pattern, Piece, Seam, WearerSide};
use oaktag_language::voice;
use oaktag_language::voice::LengthUnit;
use oaktag_output::cut_list::cell;

/// Steps alike within this many millimetres (or degrees) are one rule; half a millimetre is what may pass on a plain seam
/// (common practice).
pub(crate) const ALIKE: f64 = 0.5;

/// The same for areas, in square millimetres.
const ALIKE_AREA: f64 = 1_000.0;

/// What changes by no more than this does not change.
const SAME: f64 = 0.01;

/// What a row is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// Measures of the body.
    Measures,
    /// Choices that differ from size to size, and none otherwise.
    Choices,
    /// Lengths named `finished_…`.
    Finished,
    /// The first side of each seam.
    Seams,
    /// How much longer the first side of a seam is than the second.
    Ease,
    /// The edges of each piece.
    Edges,
    /// The cut area of each piece, both halves of one on the fold.
    Areas,
    /// The cut area of all pieces of a cloth, as many as are cut.
    Cloth,
    /// The length of each cloth that is bought, of those whose width the draft says.
    Yield,
}

impl Group {
    /// Over its rows, for people.
    pub fn heading(self) -> &'static str {
        match self {
            Group::Measures => "Measures",
            Group::Choices => "Choices",
            Group::Finished => "Finished measures",
            Group::Seams => "Seams",
            Group::Ease => "Ease",
            Group::Edges => "Edges",
            Group::Areas => "Whole pieces, cut",
            Group::Cloth => "All pieces, cut",
            Group::Yield => "Yield, simple lay",
        }
    }
}

/// A figure through all sizes.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// What it is of.
    pub group: Group,
    /// The full name: `front.side`, `side`, `bust_girth`.
    pub name: String,
    /// Whether it is a length, an angle, an area or a plain number.
    pub dimension: Dimension,
    /// Millimetres, degrees or square millimetres by size; none where that size does not have it.
    pub values: Vec<Option<f64>>,
}

/// How a row runs through the sizes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Growth {
    /// The same in all sizes.
    Constant,
    /// By the same step, from size to size.
    Even(f64),
    /// By steps between these.
    Uneven(f64, f64),
    /// Some size does not have it.
    Missing,
    /// There is one size.
    Single,
}

impl Row {
    /// How it runs through the sizes.
    pub fn growth(&self) -> Growth {
        let Some(values) = self.values.iter().copied().collect::<Option<Vec<f64>>>() else {
            return Growth::Missing;
        };
        let steps = values.iter().zip(values.iter().skip(1)).map(|(a, b)| b - a);
        let (mut low, mut high, mut sum, mut count) = (f64::INFINITY, f64::NEG_INFINITY, 0.0, 0.0);
        for step in steps {
            (low, high) = (low.min(step), high.max(step));
            sum += step;
            count += 1.0;
        }
        let alike = self.alike();
        if count == 0.0 {
            Growth::Single
        } else if low.abs().max(high.abs()) <= SAME {
            Growth::Constant
        } else if high - low <= alike {
            Growth::Even(sum / count)
        } else {
            Growth::Uneven(low, high)
        }
    }

    fn alike(&self) -> f64 {
        match self.dimension {
            Dimension::AREA => ALIKE_AREA,
            _ => ALIKE,
        }
    }
}

/// Every row of a set.
pub fn rows(set: &Set) -> Vec<Row> {
    let mut rows: Vec<Row> = Vec::new();
    let count = set.sizes.len();
    for (at, size) in set.sizes.iter().enumerate() {
        let mut put = |group: Group, name: &str, dimension: Dimension, value: f64| {
            let known = rows
                .iter()
                .position(|row| row.group == group && row.name == name);
            let index = known.unwrap_or_else(|| {
                rows.push(Row {
                    group,
                    name: name.to_owned(),
                    dimension,
                    values: vec![None; count],
                });
                rows.len() - 1
            });
            if let Some(place) = rows.get_mut(index).and_then(|row| row.values.get_mut(at)) {
                *place = Some(value);
            }
        };
        of_pattern(&size.pattern, &mut put);
        for (cloth, length) in &size.yields {
            put(Group::Yield, cloth, Dimension::LENGTH, *length);
        }
    }
    // A choice is of interest where the sizes differ in it.
    rows.retain(|row| row.group != Group::Choices || row.growth() != Growth::Constant);
    rows.sort_by_key(|row| row.group);
    rows
}

fn of_pattern(pattern: &Pattern, put: &mut impl FnMut(Group, &str, Dimension, f64)) {
    for measure in &pattern.measures {
        let group = if measure.of_body {
            Group::Measures
        } else {
            Group::Choices
        };
        if let Some((dimension, figure)) = quantity(&measure.value) {
            put(group, &measure.name, dimension, figure);
        }
    }
    for value in &pattern.values {
        let stem = WearerSide::split(&value.name).map_or(value.name.as_str(), |(stem, _)| stem);
        let member = stem.rsplit('.').next().unwrap_or_default();
        if let (true, Value::Length(mm)) = (member.starts_with("finished_"), &value.value) {
            put(Group::Finished, &value.name, Dimension::LENGTH, *mm);
        }
    }
    for seam in &pattern.seams {
        put(
            Group::Seams,
            &seam.name,
            Dimension::LENGTH,
            seam.first.length,
        );
        if seam.is_eased() {
            put(Group::Ease, &seam.name, Dimension::LENGTH, Seam::ease(seam));
        }
    }
    for piece in &pattern.pieces {
        for edge in &piece.edges {
            let name = format!("{}.{}", piece.name, edge.name);
            put(Group::Edges, &name, Dimension::LENGTH, edge.length);
        }
        if let Some(area) = whole_area(piece) {
            put(Group::Areas, &piece.name, Dimension::AREA, area);
        }
    }
    for (cloth, area) in cloths(pattern) {
        put(Group::Cloth, &cloth, Dimension::AREA, area);
    }
}

/// The area inside the cutting line of one piece, whole where half of it is drawn.
fn whole_area(piece: &Piece) -> Option<f64> {
    let halves = if piece.on_fold() { 2.0 } else { 1.0 };
    piece.cut_area.map(|area| area * halves)
}

/// The cut area of each cloth's pieces, as many as are cut, both halves of those on the fold.
fn cloths(pattern: &Pattern) -> Vec<(String, f64)> {
    let mut sums: Vec<(String, f64)> = Vec::new();
    for piece in &pattern.pieces {
        let Some(area) = whole_area(piece) else {
            continue;
        };
        let whole = area * f64::from(piece.cut.count.max(1));
        let cloth = piece
            .cut
            .cloth
            .clone()
            .unwrap_or_else(|| "no cloth named".to_owned());
        match sums.iter_mut().find(|(name, _)| *name == cloth) {
            Some((_, sum)) => *sum += whole,
            None => sums.push((cloth, whole)),
        }
    }
    sums
}

fn quantity(value: &Value) -> Option<(Dimension, f64)> {
    Some(match value {
        Value::Length(mm) => (Dimension::LENGTH, *mm),
        Value::Angle(degrees) => (Dimension::ANGLE, *degrees),
        Value::Area(mm2) => (Dimension::AREA, *mm2),
        Value::Number(number) => (Dimension::NUMBER, *number),
        _ => return None,
    })
}

/// A figure of a row for people, without its unit.
pub fn shown(dimension: Dimension, value: f64, unit: LengthUnit) -> String {
    match dimension {
        Dimension::LENGTH => unit.bare(value),
        Dimension::ANGLE => voice::angle(value),
        // The heading says in what.
        Dimension::AREA => unit
            .area(value)
            .split(' ')
            .next()
            .unwrap_or_default()
            .to_owned(),
        _ => voice::number(value),
    }
}

/// The table for people: figures in the draft's unit, what a row grows by last.
pub fn text(set: &Set, rows: &[Row]) -> String {
    let unit = set.base().map(|size| size.pattern.unit).unwrap_or_default();
    let mut text = String::new();
    let mut last = None;
    let names: Vec<String> = rows.iter().map(|row| voice::name(&row.name)).collect();
    let wide = names
        .iter()
        .map(|name| name.chars().count())
        .max()
        .unwrap_or(0);
    let cells: Vec<Vec<String>> = rows
        .iter()
        .map(|row| {
            let cell = |value: &Option<f64>| match value {
                Some(value) => shown(row.dimension, *value, unit),
                None => "none".to_owned(),
            };
            row.values.iter().map(cell).collect()
        })
        .collect();
    let widths: Vec<usize> = (0..set.sizes.len())
        .map(|at| {
            let longest = cells
                .iter()
                .filter_map(|row| row.get(at))
                .map(|c| c.chars().count());
            let name = set
                .sizes
                .get(at)
                .map_or(0, |size| size.name.chars().count());
            longest.max().unwrap_or(0).max(name)
        })
        .collect();
    for ((row, name), cells) in rows.iter().zip(&names).zip(&cells) {
        if last != Some(row.group) {
            last = Some(row.group);
            let sizes: Vec<String> = set
                .sizes
                .iter()
                .zip(&widths)
                .map(|(size, width)| format!("{:>width$}", size.name))
                .collect();
            let heading = match (row.dimension, unit) {
                (Dimension::AREA, LengthUnit::Inch) => format!("{}, sq in", row.group.heading()),
                (Dimension::AREA, _) => format!("{}, cm²", row.group.heading()),
                _ => row.group.heading().to_owned(),
            };
            text.push_str(&format!(
                "\n{heading:wide$}    {}  grows by\n",
                sizes.join("  ")
            ));
        }
        let figures: Vec<String> = cells
            .iter()
            .zip(&widths)
            .map(|(cell, width)| format!("{cell:>width$}"))
            .collect();
        text.push_str(&format!(
            "  {name:wide$}  {}  {}\n",
            figures.join("  "),
            growth_words(row, unit)
        ));
    }
    text
}

fn growth_words(row: &Row, unit: LengthUnit) -> String {
    let step = |value: f64| shown(row.dimension, value, unit);
    match row.growth() {
        Growth::Constant => "constant".to_owned(),
        Growth::Even(by) => step(by),
        Growth::Uneven(low, high) => format!("{} to {}", step(low), step(high)),
        Growth::Missing => "not in every size".to_owned(),
        Growth::Single => String::new(),
    }
}

/// The unit of a figure as machines read it.
pub(crate) fn unit_name(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::LENGTH => "mm",
        Dimension::ANGLE => "deg",
        Dimension::AREA => "mm2",
        _ => "",
    }
}

/// The table for other tools: millimetres, degrees and square millimetres, to four decimals.
///
/// # Errors
/// Where the table cannot be put together, in words.
pub fn csv(set: &Set, rows: &[Row]) -> Result<String, String> {
    let mut out = csv::Writer::from_writer(Vec::new());
    let head = ["group", "name", "unit"].into_iter().map(str::to_owned);
    let record = head.chain(set.sizes.iter().map(|size| cell(&size.name)));
    let words = |error: csv::Error| error.to_string();
    out.write_record(record).map_err(words)?;
    for row in rows {
        let head = [row.group.heading(), &row.name, unit_name(row.dimension)].map(cell);
        let figures = row.values.iter().map(|value| match value {
            Some(value) => oaktag_output::number::fixed(*value, 4),
            None => String::new(),
        });
        out.write_record(head.into_iter().chain(figures))
            .map_err(words)?;
    }
    let bytes = out.into_inner().map_err(|error| error.to_string())?;
    String::from_utf8(bytes).map_err(|error| error.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(values: &[Option<f64>]) -> Row {
        Row {
            group: Group::Edges,
            name: "front.side".into(),
            dimension: Dimension::LENGTH,
            values: values.to_vec(),
        }
    }

    #[test]
    fn growth_is_told_apart() {
        let of =
            |values: &[f64]| row(&values.iter().copied().map(Some).collect::<Vec<_>>()).growth();
        assert_eq!(of(&[10.0, 10.005, 10.0]), Growth::Constant);
        assert_eq!(of(&[10.0, 12.0, 14.0]), Growth::Even(2.0));
        assert_eq!(of(&[10.0, 12.0, 16.0]), Growth::Uneven(2.0, 4.0));
        assert_eq!(row(&[Some(1.0), None]).growth(), Growth::Missing);
    }
}
