//! Bodies as a table: one row a body, one column a measure, the name in a column `name`. A header may carry a unit,
//! `bust_girth [mm]`; a cell may carry its own, `92cm`; a figure without either is in the draft's unit.

use super::inputs::{Body, Given, Setting, given};
use crate::check::program::{MeasureCode, Program};
use crate::kind::{Dimension, Kind};
use crate::report::{Code, Diagnostic, FileId, SourceMap, Span};
use crate::syntax::tree::Unit;
use std::collections::BTreeMap;

/// A column of the table.
struct Column {
    name: String,
    unit: Option<Unit>,
    number: usize,
}

/// A body, or what is wrong with its row.
pub type Row = Result<Body, Vec<Diagnostic>>;

/// Reads a comma table that stands in `sources`. Columns of no measure in the draft are passed over, so that one table
/// serves several drafts.
///
/// # Errors
/// What is wrong with the table as a whole: its header.
pub fn read(
    sources: &SourceMap,
    file: FileId,
    program: &Program,
) -> Result<Vec<Row>, Vec<Diagnostic>> {
    let text = sources.text(file);
    let mut reader = csv::ReaderBuilder::new()
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let whole = Span::new(file, 0, text.find('\n').unwrap_or(text.len()));
    let wrong = |message: String| Diagnostic::error(Code::BodyTable, whole, message);
    let header = match reader.headers() {
        Ok(header) if header.iter().any(|cell| !cell.is_empty()) => header.clone(),
        Ok(_) => {
            return Err(vec![wrong(
                "This table has no header; its first row names the measures.".into(),
            )]);
        }
        Err(error) => return Err(vec![wrong(format!("This table cannot be read: {error}."))]),
    };
    let (columns, faults) = columns(&header, whole);
    if !faults.is_empty() {
        return Err(faults);
    }
    let mut rows = Vec::new();
    for (at, record) in reader.records().enumerate() {
        match record {
            Ok(record) if record.iter().all(str::is_empty) => {}
            Ok(record) => rows.push(row(&record, at + 2, text, file, &columns, program)),
            Err(error) => {
                let message = format!("Row {}: this cannot be read: {error}.", at + 2);
                rows.push(Err(vec![wrong(message)]));
            }
        }
    }
    if rows.is_empty() {
        return Err(vec![wrong("This table has a header and no bodies.".into())]);
    }
    Ok(rows)
}

fn columns(header: &csv::StringRecord, span: Span) -> (Vec<Column>, Vec<Diagnostic>) {
    let mut columns: Vec<Column> = Vec::new();
    let mut faults = Vec::new();
    for (number, cell) in header.iter().enumerate() {
        let (name, unit) = match cell.split_once('[') {
            Some((name, unit)) => (name.trim(), Some(unit.trim_end_matches(']').trim())),
            None => (cell, None),
        };
        let unit = match unit.map(|word| (word, Unit::named(word))) {
            None => None,
            Some((_, Some(unit))) => Some(unit),
            Some((word, None)) => {
                let message = format!(
                    "Column {}, `{name}`: the unit `{word}` is none of mm, cm, m, in, deg.",
                    number + 1
                );
                faults.push(Diagnostic::error(Code::BodyTable, span, message));
                None
            }
        };
        if !name.is_empty() && columns.iter().any(|column| column.name == name) {
            let message = format!("Column {}: `{name}` is there twice.", number + 1);
            faults.push(Diagnostic::error(Code::BodyTable, span, message));
        }
        columns.push(Column {
            name: name.to_owned(),
            unit,
            number,
        });
    }
    (columns, faults)
}

fn row(
    record: &csv::StringRecord,
    number: usize,
    text: &str,
    file: FileId,
    columns: &[Column],
    program: &Program,
) -> Row {
    let start = record
        .position()
        .map_or(0, |position| usize::try_from(position.byte()).unwrap_or(0));
    let end = text
        .get(start..)
        .and_then(|rest| rest.find('\n'))
        .map_or(text.len(), |length| start + length);
    let span = Span::new(file, start, end);
    let name = columns
        .iter()
        .find(|column| column.name == "name")
        .and_then(|column| record.get(column.number));
    let mut body = Body {
        name: name.map_or_else(|| format!("row {number}"), str::to_owned),
        measures: BTreeMap::new(),
    };
    let mut faults = Vec::new();
    if record.len() > columns.len() {
        let message = format!(
            "Row {number}, `{}`: it has {} cells, and the header names {}.",
            body.name,
            record.len(),
            columns.len()
        );
        faults.push(Diagnostic::error(Code::BodyTable, span, message));
    }
    for column in columns {
        let Some(measure) = program.measures.iter().find(|m| m.name == column.name) else {
            continue;
        };
        let Some(cell) = record.get(column.number).filter(|cell| !cell.is_empty()) else {
            continue;
        };
        match value(cell, column, measure, program) {
            Ok(value) => {
                body.measures.insert(
                    column.name.clone(),
                    Setting {
                        name: column.name.clone(),
                        value,
                        span,
                    },
                );
            }
            Err(why) => {
                let message = format!(
                    "Row {number}, `{}`, column `{}`: {why}",
                    body.name, column.name
                );
                faults.push(Diagnostic::error(Code::BodyTable, span, message));
            }
        }
    }
    if faults.is_empty() {
        Ok(body)
    } else {
        Err(faults)
    }
}

fn value(
    cell: &str,
    column: &Column,
    measure: &MeasureCode,
    program: &Program,
) -> Result<Given, String> {
    let read = given(cell)?;
    let Given::Figure(figure, dimension) = read else {
        return Ok(read);
    };
    if dimension != Dimension::NUMBER {
        return Ok(read);
    }
    let unit = match (&measure.kind, column.unit) {
        (_, Some(unit)) => Some(unit),
        (Kind::Quantity(Dimension::LENGTH), None) => Unit::named(program.unit.name()),
        (Kind::Quantity(Dimension::ANGLE), None) => Some(Unit::Degree),
        _ => None,
    };
    Ok(match unit.map(Unit::measure) {
        Some((dimension, scale)) => Given::Figure(figure * scale, dimension),
        None => read,
    })
}
