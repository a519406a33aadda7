//! Messages for other programs: the same facts as the terminal shows, as JSON.

use super::diagnostic::{Diagnostic, Label, Severity};
use super::source::{SourceMap, Span};
use serde_json::{Map, Value, json};

/// One message. Lines and columns count from 1, columns in characters; `end` is one past the last character.
pub fn to_json(map: &SourceMap, diagnostic: &Diagnostic) -> Value {
    let mut object = place(map, diagnostic.primary.span);
    let severity = match diagnostic.severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
    };
    let labels = std::iter::once(&diagnostic.primary).chain(&diagnostic.secondary);
    object.insert("code".into(), json!(diagnostic.code.name()));
    object.insert("severity".into(), json!(severity));
    object.insert("message".into(), json!(diagnostic.message));
    object.insert("labels".into(), labels.map(|l| label(map, l)).collect());
    object.insert("notes".into(), json!(diagnostic.notes));
    object.insert("help".into(), json!(diagnostic.help));
    let step = diagnostic.step.as_ref();
    let step = step.map(|(number, name)| json!({ "number": number, "name": name }));
    object.insert("step".into(), json!(step));
    Value::Object(object)
}

/// All messages, in the order given.
pub fn all_to_json(map: &SourceMap, diagnostics: &[Diagnostic]) -> Value {
    diagnostics.iter().map(|d| to_json(map, d)).collect()
}

/// A place with what stands there. The first of a message's labels is the main one.
fn label(map: &SourceMap, label: &Label) -> Value {
    let mut object = place(map, label.span);
    object.insert("text".into(), json!(label.text));
    Value::Object(object)
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
