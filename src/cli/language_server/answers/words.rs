//! What stands at a place, what may stand there, the forms of what is being written, and figures beside the text.

use super::{Hand, json_of};
use crate::cli::language_server::address;
use crate::cli::language_server::wire::Answer;
use lsp_types::{
    CompletionItem, CompletionItemKind, CompletionList, CompletionParams, CompletionTextEdit,
    Documentation, Hover, HoverContents, HoverParams, InlayHint, InlayHintLabel, InlayHintParams,
    InsertTextFormat, MarkupContent, MarkupKind, ParameterInformation, ParameterLabel, Range,
    SignatureHelp, SignatureHelpParams, SignatureInformation, TextEdit,
};
use oaktag_studio::editor::Offered;
use oaktag_studio::session::places::Place;
use serde_json::Value;

/// Where more than these may stand, those that hold what was typed are sent, and the client asks again when more is: in a draft of
/// two thousand lines the list would take longer than all else.
const MOST_OFFERED: usize = 300;

pub(super) fn hover(hand: &Hand<'_>, params: &HoverParams) -> Answer {
    let text = hand.text();
    let at = text.unit(params.text_document_position_params.position);
    let Some(said) = hand.editor.hover(at) else {
        return Ok(Value::Null);
    };
    let client = hand.common.client();
    let mut lines = vec![title(&said.title, client.markdown)];
    lines.extend(said.lines.iter().map(|line| plain(line, client.markdown)));
    let picture = client.pictures && client.markdown;
    if let Some(picture) = picture.then(|| hand.editor.sketch(at)).flatten() {
        let data = address::escaped(&picture);
        lines.push(format!("![picture](data:image/svg+xml,{data})"));
    }
    json_of(Hover {
        contents: HoverContents::Markup(markup(&lines, client.markdown)),
        range: Some(text.range_of(said.at)),
    })
}

fn markup(lines: &[String], markdown: bool) -> MarkupContent {
    match markdown {
        true => MarkupContent {
            kind: MarkupKind::Markdown,
            value: lines.join("\n\n"),
        },
        false => MarkupContent {
            kind: MarkupKind::PlainText,
            value: lines.join("\n"),
        },
    }
}

/// Letters of a draft in which Markdown finds nothing: no picture of anybody's is fetched, no mark steers the page.
fn plain(line: &str, markdown: bool) -> String {
    if !markdown {
        return line.to_owned();
    }
    let mut written = String::with_capacity(line.len());
    let mut is_code = false;
    for letter in line.chars() {
        if letter == '`' {
            is_code = !is_code;
        } else if !is_code && "\\*[<!".contains(letter) {
            written.push('\\');
        }
        written.push(letter);
    }
    if is_code {
        // A lone one would take what follows with it.
        written = written.replace('`', "'");
    }
    written
}

/// What it is said of, in letters of one width.
fn title(title: &str, markdown: bool) -> String {
    match markdown {
        true => format!("`{}`", title.replace('`', "'")),
        false => title.to_owned(),
    }
}

pub(super) fn completion(hand: &Hand<'_>, params: &CompletionParams) -> Answer {
    let text = hand.text();
    let position = params.text_document_position.position;
    let at = text.unit(position);
    let choices = hand.editor.completions(at);
    let is_incomplete = choices.options.len() > MOST_OFFERED;
    let typed = text.letters(Place {
        from: choices.from,
        to: at,
    });
    let fits = |one: &&Offered| !is_incomplete || holds(&one.label, typed);
    let shown = choices.options.iter().filter(fits).take(MOST_OFFERED);
    let range = Range::new(text.position_of(choices.from), position);
    let snippets = hand.common.client().snippets;
    let item = |(at, one): (usize, &Offered)| {
        let (letters, has_places) = letters(&one.insert, snippets);
        CompletionItem {
            label: one.label.clone(),
            kind: Some(kind(&one.kind)),
            detail: Some(match one.detail.as_str() {
                "" => one.kind.clone(),
                detail => detail.to_owned(),
            }),
            // What fits best comes first, whatever its letters.
            sort_text: Some(format!("{at:05}")),
            filter_text: Some(one.label.clone()),
            insert_text_format: Some(match has_places {
                true => InsertTextFormat::SNIPPET,
                false => InsertTextFormat::PLAIN_TEXT,
            }),
            text_edit: Some(CompletionTextEdit::Edit(TextEdit::new(range, letters))),
            ..CompletionItem::default()
        }
    };
    json_of(CompletionList {
        is_incomplete,
        items: shown.enumerate().map(item).collect(),
    })
}

/// Whether a word holds those letters in their order, in any case, as editors match what was typed.
fn holds(word: &str, typed: &str) -> bool {
    let mut letters = word.chars().flat_map(char::to_lowercase);
    let mut typed = typed.chars().flat_map(char::to_lowercase);
    typed.all(|letter| letters.any(|one| one == letter))
}

fn kind(kind: &str) -> CompletionItemKind {
    match kind {
        "sentence" => CompletionItemKind::SNIPPET,
        "phrase" | "act" => CompletionItemKind::FUNCTION,
        "option" => CompletionItemKind::PROPERTY,
        "word" => CompletionItemKind::KEYWORD,
        "module" => CompletionItemKind::MODULE,
        "panel" | "piece" => CompletionItemKind::CLASS,
        "seam" => CompletionItemKind::EVENT,
        "point" => CompletionItemKind::FIELD,
        "line" | "curve" => CompletionItemKind::VARIABLE,
        "text" => CompletionItemKind::TEXT,
        "length" | "angle" | "area" | "number" => CompletionItemKind::CONSTANT,
        _ => CompletionItemKind::VALUE,
    }
}

/// Letters to be put in, and whether there are places to fill in among them; without such places, what stands before the first.
fn letters(insert: &str, snippets: bool) -> (String, bool) {
    let mut parts = insert.split("${");
    let first = parts.next().unwrap_or_default();
    let rest: Vec<&str> = parts.collect();
    if rest.is_empty() {
        return (insert.to_owned(), false);
    }
    if !snippets {
        return (first.trim_end_matches(['"', '(', '[']).to_owned(), false);
    }
    let escaped = |text: &str| {
        text.replace('\\', "\\\\")
            .replace('$', "\\$")
            .replace('}', "\\}")
    };
    let mut written = escaped(first);
    for (at, part) in rest.iter().enumerate() {
        let (name, after) = part.split_once('}').unwrap_or((part, ""));
        written.push_str(&format!(
            "${{{}:{}}}{}",
            at + 1,
            escaped(name),
            escaped(after)
        ));
    }
    (written, true)
}

pub(super) fn signature(hand: &Hand<'_>, params: &SignatureHelpParams) -> Answer {
    let position = params.text_document_position_params.position;
    let Some(written) = hand.editor.signature(hand.text().unit(position)) else {
        return Ok(Value::Null);
    };
    let markdown = hand.common.client().markdown;
    let said = |text: &str| {
        let kind = if markdown {
            MarkupKind::Markdown
        } else {
            MarkupKind::PlainText
        };
        let value = plain(text.trim(), markdown);
        Documentation::MarkupContent(MarkupContent { kind, value })
    };
    let encoding = hand.common.client().encoding;
    let mut forms = Vec::new();
    for form in &written.forms {
        let units = |byte: usize| encoding.count(form.signature.get(..byte).unwrap_or_default());
        let places = form.places.iter().map(|(bytes, doc)| ParameterInformation {
            label: ParameterLabel::LabelOffsets([units(bytes.start), units(bytes.end)]),
            documentation: (!doc.is_empty()).then(|| said(doc)),
        });
        forms.push(SignatureInformation {
            label: form.signature.clone(),
            documentation: Some(said(&form.lines.join("\n\n"))),
            parameters: Some(places.collect()),
            active_parameter: form.at.and_then(|at| u32::try_from(at).ok()),
        });
    }
    let first = forms.first().and_then(|form| form.active_parameter);
    json_of(SignatureHelp {
        signatures: forms,
        active_signature: Some(0),
        active_parameter: first,
    })
}

pub(super) fn figures(hand: &Hand<'_>, params: &InlayHintParams) -> Answer {
    let text = hand.text();
    let shown = text.place(params.range);
    let figures = hand.editor.figures().into_iter();
    let figures = figures.filter(|figure| shown.from <= figure.at && figure.at <= shown.to);
    let hints = figures.map(|figure| InlayHint {
        position: text.position_of(figure.at),
        label: InlayHintLabel::String(format!("= {}", figure.text)),
        kind: None,
        text_edits: None,
        tooltip: None,
        padding_left: Some(true),
        padding_right: None,
        data: None,
    });
    json_of(hints.collect::<Vec<InlayHint>>())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_to_fill_in_are_numbered_and_letters_stand_for_themselves() {
        let filled = |insert, snippets| letters(insert, snippets).0;
        assert_eq!(filled("from ${A} to ${B}", true), "from ${1:A} to ${2:B}");
        assert_eq!(
            filled("step \"${NAME}\" { }", true),
            "step \"${1:NAME}\" { \\}"
        );
        assert_eq!(filled("step \"${NAME}\" { }", false), "step ");
        assert_eq!(letters("origin", true), ("origin".to_owned(), false));
    }

    #[test]
    fn a_text_of_a_draft_is_no_markdown() {
        let hostile = "![x](http://a.example/x.png) <img src=x> *a* `b`";
        let written = plain(hostile, true);
        assert_eq!(
            written,
            "\\!\\[x](http://a.example/x.png) \\<img src=x> \\*a\\* `b`"
        );
        assert_eq!(plain("a ` b", true), "a ' b");
        assert_eq!(plain(hostile, false), hostile);
    }
}
