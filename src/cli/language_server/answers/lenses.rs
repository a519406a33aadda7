//! What stands above pieces and seams, and pictures of them.

use super::{Hand, json_of};
use crate::cli::disk;
use crate::cli::language_server::address;
use crate::cli::language_server::client::{SHOW, WALK};
use crate::cli::language_server::library::cache;
use crate::cli::language_server::wire::{Answer, Wrong};
use lsp_types::{CodeLens, Command, ExecuteCommandParams, TextDocumentIdentifier};
use oaktag_language::pattern::Issue;
use oaktag_studio::editor::Sewn;
use oaktag_studio::session::{Form, Order, Part, Picture, Refused, Subject};
use serde::Deserialize;
use serde_json::{Value, json};

pub(super) fn lenses(hand: &Hand<'_>) -> Answer {
    let mut all = Vec::new();
    for above in hand.editor.above() {
        let range = hand.text().range_of(above.at);
        // A lens stands on one line.
        let range = lsp_types::Range::new(range.start, range.start);
        let (name, word, command) = match &above.of {
            Sewn::Piece(name) => (name, "show", SHOW),
            Sewn::Seam(name) => (name, "walk", WALK),
        };
        let lens = |title: String, command: &str| CodeLens {
            range,
            command: Some(Command {
                title,
                command: command.to_owned(),
                arguments: Some(vec![json!(hand.document.address), json!(name)]),
            }),
            data: None,
        };
        let shown = if above.is_shown { command } else { "" };
        all.push(lens(above.words.clone(), shown));
        if above.is_shown && !above.is_taken {
            all.push(lens(word.to_owned(), command));
        }
    }
    json_of(all)
}

/// What is to be shown.
#[derive(Deserialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Shown {
    #[allow(dead_code, reason = "by which the document was found")]
    text_document: TextDocumentIdentifier,
    #[serde(default)]
    piece: Option<String>,
    #[serde(default)]
    seam: Option<String>,
}

pub(super) fn picture(hand: &Hand<'_>, shown: &Shown) -> Answer {
    Ok(json!({"svg": drawn(hand, shown.piece.as_deref(), shown.seam.as_deref())?}))
}

fn drawn(hand: &Hand<'_>, piece: Option<&str>, seam: Option<&str>) -> Result<String, Wrong> {
    let picture = Picture {
        subject: seam.map_or(Subject::Pieces, |seam| Subject::Seam(seam.to_owned())),
        ..Picture::default()
    };
    let order = Order {
        part: Part {
            pieces: piece.map(str::to_owned).into_iter().collect(),
            ..Part::default()
        },
        issue: Issue::default(),
        form: Form::Svg(picture),
        unfinished: false,
    };
    let written = hand.session.write(&order).map_err(|why| {
        Wrong::failed(match why {
            Refused::Unfinished(_) => "It cannot be drawn: mend the draft first.".to_owned(),
            Refused::Nothing(words) | Refused::Asked(words) | Refused::Failed(words) => words,
        })
    })?;
    Ok(String::from_utf8_lossy(&written.bytes).into_owned())
}

/// Shows a piece, or the walk of a seam: its picture as a file, which the client is asked to open.
pub(super) fn command(hand: &Hand<'_>, params: &ExecuteCommandParams) -> Answer {
    let name = params.arguments.get(1).and_then(Value::as_str);
    let name = name.ok_or_else(|| Wrong::new(Wrong::PARAMS, "a name is wanting"))?;
    let svg = match params.command.as_str() {
        WALK => drawn(hand, None, Some(name))?,
        SHOW => drawn(hand, Some(name), None)?,
        other => {
            let words = format!("there is no command `{other}`");
            return Err(Wrong::new(Wrong::PARAMS, words));
        }
    };
    let folder = cache().join("pictures");
    let plain = |letter: char| letter.is_alphanumeric() || matches!(letter, '_' | '.');
    let stem: String = name.chars().filter(|letter| plain(*letter)).collect();
    let file = folder.join(format!("{stem}.svg"));
    std::fs::create_dir_all(&folder)
        .and_then(|()| disk::write_whole(&file, svg.as_bytes()))
        .map_err(|error| {
            let why = disk::reason(&error);
            Wrong::failed(format!("{} cannot be written: {why}", file.display()))
        })?;
    super::super::commands::show(
        hand.common,
        &address::of_path(&file),
        &file.to_string_lossy(),
    );
    Ok(json!({"file": file.to_string_lossy()}))
}
