//! Messages for other programs: the same facts as the terminal shows, as JSON.

use super::source::{SourceMap, Span};
use super::trouble::{Diagnostic, Severity};
use crate::voice::{LengthUnit, Words};
use serde_json::{Map, Value, json};

/// One message, its figures in the unit of the person who reads. Lines and columns count from 1, columns in characters; `end`
/// is one past the last character. Each of the offers mends it: its text goes in place of what stands from its line and column
/// to its end.
fn to_json(map: &SourceMap, told: &Diagnostic, unit: LengthUnit) -> Value {
    let mut object = place(map, told.place);
    let severity = match told.severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
    };
    let said = |words: &Words| words.in_unit(unit).into_owned();
    // The first of a message's labels is the main one.
    let main = std::iter::once((&told.place, &told.label));
    let labels = main.chain(told.see.iter().map(|(place, words)| (place, words)));
    let labels = labels.map(|(at, words)| {
        let mut object = place(map, *at);
        object.insert("text".into(), json!(said(words)));
        Value::Object(object)
    });
    let offers = told.offers.iter().map(|offer| {
        let mut object = place(map, offer.place);
        object.insert("text".into(), json!(offer.text));
        Value::Object(object)
    });
    let notes: Vec<String> = told.notes.iter().map(said).collect();
    let step = told.step.as_ref();
    let step = step.map(|(number, name)| json!({ "number": number, "name": name }));
    object.insert("code".into(), json!(told.code.name()));
    object.insert("severity".into(), json!(severity));
    object.insert("message".into(), json!(said(&told.message)));
    object.insert("labels".into(), labels.collect());
    object.insert("notes".into(), json!(notes));
    object.insert("help".into(), json!(told.help.as_ref().map(said)));
    object.insert("offers".into(), offers.collect());
    object.insert("step".into(), json!(step));
    Value::Object(object)
}

/// All messages, in the order given.
pub fn all_to_json(map: &SourceMap, told: &[Diagnostic], unit: LengthUnit) -> Value {
    told.iter().map(|told| to_json(map, told, unit)).collect()
}

fn place(map: &SourceMap, span: Span) -> Map<String, Value> {
    let start = map.line_column(span.file, span.start);
    let end = map.line_column(span.file, span.end);
    let mut object = Map::new();
    object.insert("file".into(), json!(map.name(span.file)));
    object.insert("line".into(), json!(start.line));
    object.insert("column".into(), json!(start.column));
    object.insert(
        "end".into(),
        json!({ "line": end.line, "column": end.column }),
    );
    object
}
