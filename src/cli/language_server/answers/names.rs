//! One name wherever the drafts below the root name it: its places, and another name for it.

use super::cures::edited;
use super::{Hand, json_of, uri};
use crate::cli::disk::{self, Folder};
use crate::cli::language_server::common::{OverOpen, Seen, real};
use crate::cli::language_server::positions::Text;
use crate::cli::language_server::wire::{Answer, Wrong};
use crate::cli::language_server::workspace;
use lsp_types::{
    Location, PrepareRenameResponse, ReferenceParams, RenameParams, TextDocumentPositionParams,
    TextEdit,
};
use oaktag_language::library;
use oaktag_language::report::{FileId, Span};
use oaktag_studio::editor::{Thing, is_name, means_otherwise};
use oaktag_studio::session::Session;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;
use std::path::{Path, PathBuf};

/// Bytes of files.
type Places = BTreeMap<PathBuf, BTreeSet<(usize, usize)>>;

/// A draft below the root that has to do with a name.
struct Other {
    path: PathBuf,
    session: Session,
}

/// The paths of the files of a draft, the library's aside.
fn files(session: &Session, own: &Path) -> BTreeMap<FileId, PathBuf> {
    let folder = Folder::of(own, None).ok();
    let sources = session.sources();
    let files = sources.files().filter(|(id, _)| !sources.is_library(*id));
    let named = files.filter_map(|(id, file)| {
        if Some(id) == session.own_file() {
            return Some((id, own.to_owned()));
        }
        Some((id, real(&folder.as_ref()?.file(&file.name))))
    });
    named.collect()
}

/// Where spans of a draft lie.
fn lie(session: &Session, own: &Path, spans: &[Span], found: &mut Places) {
    let files = files(session, own);
    for span in spans {
        if let Some(path) = files.get(&span.file) {
            let bytes = session.sources().bytes(*span);
            let of_file = found.entry(path.clone()).or_default();
            of_file.insert((bytes.start, bytes.end));
        }
    }
}

impl Hand<'_> {
    /// Every place of a thing in the drafts below the root, and the other drafts that name it.
    fn everywhere(&self, thing: &Thing) -> (Places, Vec<Other>) {
        let mut found = Places::new();
        let Some(own) = self.document.path.as_deref() else {
            return (found, Vec::new());
        };
        lie(self.session, own, &self.editor.places_of(thing), &mut found);
        let mut first = found.clone();
        let sources = self.session.sources();
        let word = match thing {
            Thing::Named(places) => {
                let words = places.iter().map(|span| sources.slice(*span));
                words.min_by_key(|word| word.len()).unwrap_or_default()
            }
            Thing::Given(of, letters) => {
                first = Places::new();
                lie(self.session, own, &[*of], &mut first);
                letters
            }
        };
        let mut others = Vec::new();
        for path in self
            .folder()
            .map_or_else(Vec::new, |folder| workspace::drafts(folder.root()))
        {
            let text = self.common.text_of(&path).map(|text| text.to_string());
            let text = text.or_else(|| disk::read_text(&path).ok());
            // Who reads a name of another file writes it.
            let Some(text) = text.filter(|text| text.contains(word) && text.contains("import"))
            else {
                continue;
            };
            if path == own {
                continue;
            }
            let session = self.opened(&path, &text, BTreeMap::new());
            let editor = session.editor();
            let files = files(&session, &path);
            let spans = |places: &Places| -> Vec<Span> {
                let files = files
                    .iter()
                    .filter_map(|(id, path)| Some((id, places.get(path)?)));
                let spans = files.flat_map(|(id, places)| {
                    let places = places.iter();
                    places.map(|(from, to)| session.sources().span(*id, *from..*to))
                });
                spans.collect()
            };
            let named: Vec<Span> = match thing {
                Thing::Named(_) => editor.named_as(spans(&first)),
                Thing::Given(_, letters) => {
                    let given = spans(&first).into_iter();
                    let given = given.map(|of| Thing::Given(of, letters.clone()));
                    given.flat_map(|thing| editor.places_of(&thing)).collect()
                }
            };
            let mut all = found.clone();
            lie(&session, &path, &named, &mut all);
            if all.contains_key(&path) || all != found {
                found = all;
                drop(editor);
                others.push(Other { path, session });
            }
        }
        (found, others)
    }

    /// A draft below the root, with these texts in place of those on the disk.
    fn opened(&self, path: &Path, text: &str, tried: BTreeMap<PathBuf, String>) -> Session {
        let reader = OverOpen::of(self.common, Some(path), &Seen::default(), tried);
        let name = path
            .file_name()
            .map(|name| name.to_string_lossy().into_owned());
        Session::open(&name.unwrap_or_default(), text, reader, library::MODULES)
    }

    /// The text of a file: as it is in this document, open elsewhere, or on the disk.
    fn text_at(&self, path: &Path) -> Option<Text> {
        if self.document.path.as_deref() == Some(path) {
            return Some(self.text().clone());
        }
        let open = self.common.text_of(path);
        let text = open.or_else(|| Some(disk::read_text(path).ok()?.into()))?;
        Some(Text::new(text, self.encoding()))
    }
}

pub(super) fn references(hand: &Hand<'_>, params: &ReferenceParams) -> Answer {
    let at = hand.text().unit(params.text_document_position.position);
    let Some(thing) = hand.editor.thing(at) else {
        return Ok(Value::Null);
    };
    let drawn = hand.editor.defined(at);
    let mut found = Vec::new();
    if hand.document.path.is_none() {
        let places = hand.editor.places_of(&thing);
        found.extend(places.into_iter().filter_map(|span| hand.location(span)));
    }
    for (path, places) in hand.everywhere(&thing).0 {
        let (Some(text), Some(uri)) = (hand.text_at(&path), uri(&hand.common.address_of(&path)))
        else {
            continue;
        };
        found.extend(places.into_iter().map(|(from, to)| Location {
            uri: uri.clone(),
            range: text.range(from..to),
        }));
    }
    if !params.context.include_declaration {
        let drawn = drawn.and_then(|span| hand.location(span));
        found.retain(|one| Some(one) != drawn.as_ref());
    }
    json_of(found)
}

pub(super) fn prepare(hand: &Hand<'_>, params: &TextDocumentPositionParams) -> Answer {
    hand.may_write()?;
    let text = hand.text();
    let named = hand.editor.name_at(text.unit(params.position));
    let named = named.map_err(Wrong::failed)?;
    json_of(PrepareRenameResponse::RangeWithPlaceholder {
        range: text.range_of(named.at),
        placeholder: named.name,
    })
}

/// Another name, in every draft below the root that names the thing. It is tried in each of them before anything is changed.
pub(super) fn rename(hand: &Hand<'_>, params: &RenameParams) -> Answer {
    hand.may_write()?;
    let text = hand.text();
    let at = text.unit(params.text_document_position.position);
    let to = params.new_name.as_str();
    let named = hand.editor.name_at(at).map_err(Wrong::failed)?;
    is_name(to).map_err(Wrong::failed)?;
    let thing = hand.editor.thing(at);
    let sources = hand.session.sources();
    if named.all.keys().any(|file| sources.is_library(*file)) {
        return Err(Wrong::failed(
            "It is drawn in the library, which is read, and not written.",
        ));
    }
    let (found, others) = match &thing {
        Some(thing) if hand.document.path.is_some() => hand.everywhere(thing),
        _ => (Places::new(), Vec::new()),
    };
    let Some(own) = hand.document.path.clone() else {
        return of_one(hand, &named.all, to);
    };
    // The letters of the name at each place: of `gore_2`, the first four.
    let name = named.name.as_str();
    let mut edits: BTreeMap<PathBuf, (Text, Vec<Range<usize>>)> = BTreeMap::new();
    for (path, places) in found {
        let of_file = hand.text_at(&path);
        let of_file =
            of_file.ok_or_else(|| Wrong::failed(format!("{} cannot be read.", path.display())))?;
        let mut letters = Vec::new();
        for (from, to) in places {
            let word = of_file.draft().get(from..to).unwrap_or_default();
            let part = word.find(name).ok_or_else(|| {
                Wrong::failed(format!(
                    "`{word}` is `{name}` here, so that another name cannot be put in place of it."
                ))
            })?;
            letters.push(from + part..from + part + name.len());
        }
        letters.dedup();
        edits.insert(path, (of_file, letters));
    }
    let tried: BTreeMap<PathBuf, String> = edits
        .iter()
        .map(|(path, (text, letters))| (path.clone(), with(text.draft(), letters, to)))
        .collect();
    let drafts = others.iter().map(|other| (&other.path, &other.session));
    for (path, before) in std::iter::once((&own, hand.session)).chain(drafts) {
        let unchanged = before.text().to_owned();
        let after = tried.get(path).unwrap_or(&unchanged);
        let after = hand.opened(path, after, tried.clone());
        let files = files(before, path).into_iter();
        let of_files = files.filter_map(|(id, path)| Some((id, edits.get(&path)?.1.clone())));
        let said = (after.program(), after.checked());
        if let Some(why) = means_otherwise(before, said, &of_files.collect(), to) {
            let name = path.file_name().unwrap_or_default().to_string_lossy();
            let own = *path == own;
            return Err(Wrong::failed(match own {
                true => why,
                false => format!("In {name}: {why}"),
            }));
        }
    }
    let files = edits.into_iter().filter_map(|(path, (text, letters))| {
        let edits = letters.into_iter();
        let edits = edits.map(|bytes| TextEdit::new(text.range(bytes), to.to_owned()));
        Some((uri(&hand.common.address_of(&path))?, edits.collect()))
    });
    json_of(edited(hand, files.collect()))
}

/// The same in a text that no other can bring in.
fn of_one(hand: &Hand<'_>, all: &BTreeMap<FileId, Vec<Range<usize>>>, to: &str) -> Answer {
    let own = hand.session.own_file();
    let letters = own
        .and_then(|own| all.get(&own))
        .cloned()
        .unwrap_or_default();
    let after = with(hand.text().draft(), &letters, to);
    let reader = oaktag_language::syntax::project::NoFiles;
    let after = Session::open(
        hand.session.name(),
        &after,
        Box::new(reader),
        library::MODULES,
    );
    let said = (after.program(), after.checked());
    if let Some(why) = means_otherwise(hand.session, said, all, to) {
        return Err(Wrong::failed(why));
    }
    let edits = letters.into_iter();
    let edits = edits.map(|bytes| TextEdit::new(hand.text().range(bytes), to.to_owned()));
    let files = uri(&hand.document.address).map(|uri| (uri, edits.collect()));
    json_of(edited(hand, files.into_iter().collect()))
}

fn with(text: &str, letters: &[Range<usize>], to: &str) -> String {
    let mut text = text.to_owned();
    for bytes in letters.iter().rev() {
        text.replace_range(bytes.clone(), to);
    }
    text
}
