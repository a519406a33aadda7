//! What the author wrote: the sentences of both sides, one by one, without remarks and layout. A sentence that draws the
//! same name says something else; one that says the same under another name was renamed; the rest came, went or moved.

use super::{Edit, Rename, SentenceChange, Side};
use oaktag_language::report::{FileId, SourceMap, Span};
use oaktag_language::syntax::messages::Messages;
use oaktag_language::syntax::prepare;
use oaktag_language::syntax::project::ProjectFile;
use oaktag_language::syntax::tokens::{Placed, Tok};
use oaktag_language::syntax::tree::{
    Block, If, PieceSentence, PieceSentenceKind, Seam, Sentence, SentenceKind, Word,
};
use oaktag_language::voice;
use similar::{Algorithm, DiffOp};
use std::collections::BTreeSet;

/// Most pairs of sentences that are looked at for what became of which.
const MOST_PAIRS: usize = 1_000_000;

/// A sentence, or the first line of one that has a block.
#[derive(Clone, Debug)]
pub(super) struct Said {
    /// Words and signs, one space between: two that are equal here say the same.
    pub meaning: String,
    /// As written, on one line.
    pub words: String,
    /// Kind of sentence and what it names: `draw neck`, `step Armhole`.
    pub about: String,
    /// What stands after `=`.
    value: Option<String>,
    /// Panel and step around it.
    place: String,
    line: usize,
}

/// All sentences of a file in order.
pub(super) fn of_file(sources: &SourceMap, file: &ProjectFile) -> Vec<Said> {
    let text = sources.text(file.id);
    let (mut tokens, _) = prepare(text, file.id, &mut Messages::default());
    for (_, at) in &mut tokens {
        *at = sources.span(file.id, at.range());
    }
    let mut found = Found {
        sources,
        tokens: &tokens,
        file: file.id,
        said: Vec::new(),
        places: Vec::new(),
    };
    found.all(&file.tree.sentences);
    found.said
}

struct Found<'a> {
    sources: &'a SourceMap,
    tokens: &'a [Placed],
    file: FileId,
    said: Vec<Said>,
    places: Vec<String>,
}

impl Found<'_> {
    fn all(&mut self, sentences: &[Sentence]) {
        for sentence in sentences {
            self.one(sentence);
        }
    }

    fn one(&mut self, sentence: &Sentence) {
        use SentenceKind as K;
        let span = sentence.span;
        match &sentence.kind {
            K::Panel(panel) => {
                let place = voice::name(&panel.name.text);
                let about = format!("panel {}", panel.name.text);
                self.block(before(span, panel.body.span), about, place, &panel.body);
            }
            K::Step(step) => {
                let name = self.sources.slice(step.name.span);
                let name = name.trim_matches('"');
                let (about, place) = (format!("step {name}"), format!("step “{name}”"));
                self.block(before(span, step.body.span), about, place, &step.body);
            }
            K::Operation(operation) => {
                let about = format!("act {}", operation.head.text);
                let head = before(span, operation.body.span);
                self.block(head, about.clone(), about, &operation.body);
            }
            K::Try(tried) => {
                let name = &tried.name.text;
                let body = tried.body.span;
                self.keep(before(span, body), format!("try {name}"));
                self.all(&tried.body.sentences);
                self.keep(after(span, body), format!("until {name}"));
            }
            K::Each(each) => {
                let about = format!("each {}", each.name.text);
                self.block(
                    before(span, each.body.span),
                    about.clone(),
                    about,
                    &each.body,
                );
            }
            K::Carry(carry) => {
                let name = std::slice::from_ref(&carry.name);
                self.said_of(span, "carry", name, carry.value.span);
            }
            K::If(choice) => self.choice(span, choice),
            K::Piece(piece) => {
                let about = format!("piece {}", piece.name.text);
                self.keep(before(span, piece.body), about.clone());
                self.within(about, |all| all.piece(&piece.sentences));
            }
            K::Seam(seam) => self.seam(span, seam),
            K::Draw(draw) => {
                self.said_of(span, "draw", &draw.names, draw.value.span);
            }
            K::Redraw(draw) => {
                self.said_of(span, "redraw", &draw.names, draw.value.span);
            }
            K::Measure(measure) => {
                let name = std::slice::from_ref(&measure.name);
                self.said_of(span, "measure", name, measure.default.span);
            }
            K::Import(import) => self.keep(span, format!("import {}", import.name.text)),
            K::Cloth(cloth) => self.keep(span, format!("cloth {}", cloth.name.text)),
            _ => self.keep(span, self.word(span)),
        }
    }

    /// A sentence with a block, which is a place of its own.
    fn block(&mut self, head: Span, about: String, place: String, block: &Block) {
        self.keep(head, about);
        self.within(place, |all| all.all(&block.sentences));
    }

    fn choice(&mut self, span: Span, choice: &If) {
        let mut rest = span;
        for (_, block) in &choice.branches {
            self.keep(before(rest, block.span), "if");
            self.all(&block.sentences);
            rest = after(span, block.span);
        }
        if let Some(block) = &choice.otherwise {
            self.keep(before(rest, block.span), "else");
            self.all(&block.sentences);
        }
    }

    fn seam(&mut self, span: Span, seam: &Seam) {
        let about = format!("seam {}", seam.name.text);
        let first = seam.sentences.first();
        let head = first.map_or(span, |first| before(span, first.span));
        self.keep(head, about.clone());
        self.within(about.clone(), |all| {
            for sentence in &seam.sentences {
                let word = all.word(sentence.span);
                all.keep(sentence.span, format!("{about} {word}"));
            }
        });
    }

    fn piece(&mut self, sentences: &[PieceSentence]) {
        for sentence in sentences {
            if let PieceSentenceKind::If(branches, otherwise) = &sentence.kind {
                let first = branches.first().and_then(|(_, says)| says.first());
                let head = first.map_or(sentence.span, |first| before(sentence.span, first.span));
                self.keep(head, "if");
                for (_, says) in branches {
                    self.piece(says);
                }
                self.piece(otherwise);
            } else {
                let word = self.word(sentence.span);
                self.keep(sentence.span, format!("piece {word}"));
            }
        }
    }

    fn within(&mut self, place: String, all: impl FnOnce(&mut Self)) {
        self.places.push(place);
        all(self);
        self.places.pop();
    }

    /// The first word of a sentence.
    fn word(&self, span: Span) -> String {
        let text = self.sources.slice(span);
        text.split(|c: char| !c.is_alphanumeric() && c != '_')
            .next()
            .unwrap_or("")
            .to_owned()
    }

    fn keep(&mut self, span: Span, about: impl Into<String>) {
        let (meaning, words) = self.written(span);
        if meaning.is_empty() {
            return;
        }
        self.said.push(Said {
            meaning,
            words,
            about: about.into(),
            value: None,
            place: self.places.join(", "),
            line: self.sources.line_column(self.file, span.start).line,
        });
    }

    /// A sentence that gives names a value.
    fn said_of(&mut self, span: Span, word: &str, names: &[Word], value: Span) {
        let names: Vec<&str> = names.iter().map(|name| name.text.as_ref()).collect();
        let at = self.said.len();
        self.keep(span, format!("{word} {}", names.join(" ")));
        let value = self.written(value).0;
        if let Some(said) = self.said.get_mut(at) {
            said.value = Some(value);
        }
    }

    /// The tokens of a stretch with one space between, and the same as written, on one line and without remarks. The
    /// braces of a block are not part of what a sentence says.
    fn written(&self, span: Span) -> (String, String) {
        let inside =
            |(tok, at): &&Placed| *tok != Tok::End && at.start >= span.start && at.end <= span.end;
        let first = self.tokens.partition_point(|(_, at)| at.start < span.start);
        let rest = self.tokens.get(first..).unwrap_or_default();
        let mut kept: Vec<&Placed> = rest
            .iter()
            .take_while(|(_, at)| at.start < span.end)
            .filter(inside)
            .collect();
        while kept.last().is_some_and(|(tok, _)| *tok == Tok::OpenBrace) {
            kept.pop();
        }
        while kept.first().is_some_and(|(tok, _)| *tok == Tok::CloseBrace) {
            kept.remove(0);
        }
        let (mut meaning, mut words) = (String::new(), String::new());
        let mut end = None;
        for (_, at) in kept {
            let slice = self.sources.slice(*at);
            if !meaning.is_empty() {
                meaning.push(' ');
            }
            meaning.push_str(slice);
            if end.is_some_and(|end| end < at.start) {
                words.push(' ');
            }
            words.push_str(slice);
            end = Some(at.end);
        }
        (meaning, words)
    }
}

/// What of a sentence stands before a part of it.
fn before(span: Span, part: Span) -> Span {
    Span {
        end: part.start,
        ..span
    }
}

/// What of a sentence stands after a part of it.
fn after(span: Span, part: Span) -> Span {
    Span {
        start: part.end,
        ..span
    }
}

/// Everything the author changed, file by file; the library is not the author's.
pub(super) fn changes(old: Side<'_>, new: Side<'_>) -> Vec<SentenceChange> {
    let mut found = Vec::new();
    for (before, after) in files(old, new) {
        let name = match (before, after) {
            (_, Some(after)) => new.project.sources.name(after.id),
            (Some(before), None) => old.project.sources.name(before.id),
            (None, None) => continue,
        };
        let said = |side: Side<'_>, file: Option<&ProjectFile>| {
            file.map_or_else(Vec::new, |file| of_file(&side.project.sources, file))
        };
        let (before, after) = (said(old, before), said(new, after));
        found.extend(between(name, &before, &after));
    }
    found
}

type Pair<'a> = (Option<&'a ProjectFile>, Option<&'a ProjectFile>);

/// The drafts themselves, then what they import, by path; one that is left over on each side was renamed.
fn files<'a>(old: Side<'a>, new: Side<'a>) -> Vec<Pair<'a>> {
    fn own(side: Side<'_>) -> Vec<&ProjectFile> {
        let files = side.project.files.iter();
        files
            .map(AsRef::as_ref)
            .filter(|file: &&ProjectFile| !side.project.sources.is_library(file.id))
            .collect()
    }
    let (before, after) = (own(old), own(new));
    let name = |side: Side<'a>, file: &ProjectFile| side.project.sources.name(file.id).to_owned();
    let mut pairs: Vec<Pair<'a>> = vec![(before.first().copied(), after.first().copied())];
    let mut left: Vec<&ProjectFile> = before.into_iter().skip(1).collect();
    let mut fresh = Vec::new();
    for file in after.into_iter().skip(1) {
        match left
            .iter()
            .position(|other| name(old, other) == name(new, file))
        {
            Some(at) => pairs.push((Some(left.remove(at)), Some(file))),
            None => fresh.push(file),
        }
    }
    if let ([one], [other]) = (left.as_slice(), fresh.as_slice()) {
        pairs.push((Some(*one), Some(*other)));
        return pairs;
    }
    pairs.extend(fresh.into_iter().map(|file| (None, Some(file))));
    pairs.extend(left.into_iter().map(|file| (Some(file), None)));
    pairs
}

fn take<'a>(gone: &mut Vec<&'a Said>, fits: &dyn Fn(&Said) -> bool) -> Option<&'a Said> {
    gone.iter()
        .position(|other| fits(other))
        .map(|at| gone.remove(at))
}

/// The changes between two rows of sentences, in the order of the new one.
fn between(file: &str, old: &[Said], new: &[Said]) -> Vec<SentenceChange> {
    let meanings =
        |said: &[Said]| -> Vec<String> { said.iter().map(|one| one.meaning.clone()).collect() };
    let (before, after) = (meanings(old), meanings(new));
    let mut gone: Vec<&Said> = Vec::new();
    let mut fresh: Vec<&Said> = Vec::new();
    for op in similar::capture_diff_slices(Algorithm::Patience, &before, &after) {
        if matches!(op, DiffOp::Equal { .. }) {
            continue;
        }
        gone.extend(old.get(op.old_range()).unwrap_or_default());
        fresh.extend(new.get(op.new_range()).unwrap_or_default());
    }
    let mut found = Vec::new();
    if gone.len().saturating_mul(fresh.len()) > MOST_PAIRS {
        // Two drafts that have nothing in common: what is whose is not worth asking.
        found.extend(
            fresh
                .into_iter()
                .map(|said| change(file, Edit::Added, None, Some(said))),
        );
        fresh = Vec::new();
    }
    for said in fresh {
        let same_place = |other: &Said| other.about == said.about && other.place == said.place;
        let moved = |other: &Said| other.meaning == said.meaning;
        let about = |other: &Said| other.about == said.about && other.about.contains(' ');
        let renamed = |other: &Said| {
            let kind = |about: &str| about.split(' ').next().unwrap_or("").to_owned();
            other.value.is_some()
                && other.value == said.value
                && kind(&other.about) == kind(&said.about)
        };
        let (edit, before) = if let Some(other) = take(&mut gone, &moved) {
            // A sentence whose panel or step was renamed stays where it stands; that is told once, at the panel.
            if other.place != said.place && found_rename(&found, &other.place, &said.place) {
                continue;
            }
            (Edit::Moved, Some(other))
        } else if let Some(other) = take(&mut gone, &same_place).or_else(|| take(&mut gone, &about))
        {
            (Edit::Changed, Some(other))
        } else if let Some(other) = take(&mut gone, &renamed) {
            (Edit::Renamed, Some(other))
        } else if let Some(other) = take(&mut gone, &|other| alike(other, said)) {
            (Edit::Changed, Some(other))
        } else {
            (Edit::Added, None)
        };
        found.push(change(file, edit, before, Some(said)));
    }
    found.extend(
        gone.into_iter()
            .map(|said| change(file, Edit::TakenOut, Some(said), None)),
    );
    found
}

/// A sentence that changed only in names that were given otherwise says the same: it was renamed with them.
pub(super) fn with_renames(
    mut sentences: Vec<SentenceChange>,
    renamed: &[Rename],
) -> Vec<SentenceChange> {
    fn member(full: &str) -> &str {
        full.rsplit('.').next().unwrap_or(full)
    }
    let names: BTreeSet<(&str, &str)> = renamed
        .iter()
        .map(|one| (member(&one.old), member(&one.new)))
        .collect();
    for change in &mut sentences {
        let (Edit::Changed, Some(old), Some(new)) = (change.edit, &change.old, &change.new) else {
            continue;
        };
        let (old, new) = (words_of(old), words_of(new));
        let same = |(old, new): (&&str, &&str)| old == new || names.contains(&(*old, *new));
        if old.len() == new.len() && old.iter().zip(&new).all(same) {
            change.edit = Edit::Renamed;
        }
    }
    sentences
}

/// Names, figures, and each sign between them.
fn words_of(text: &str) -> Vec<&str> {
    let is_word = |c: char| c.is_alphanumeric() || c == '_';
    let mut words = Vec::new();
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        let end = if is_word(first) {
            rest.find(|c| !is_word(c)).unwrap_or(rest.len())
        } else {
            first.len_utf8()
        };
        let (word, after) = rest.split_at(end);
        words.push(word);
        rest = after;
    }
    words
}

fn found_rename(found: &[SentenceChange], old: &str, new: &str) -> bool {
    let last = |place: &str| place.rsplit(", ").next().unwrap_or("").to_owned();
    found.iter().any(|change| {
        let has = |words: &Option<String>, place: &str| {
            words
                .as_ref()
                .is_some_and(|words| voice::name(words).contains(&last(place)))
        };
        has(&change.old, old) && has(&change.new, new)
    })
}

/// Two sentences of one kind that share most of their words.
fn alike(one: &Said, other: &Said) -> bool {
    let kind = |said: &Said| said.about.split(' ').next().unwrap_or("").to_owned();
    let (old, new): (Vec<&str>, Vec<&str>) = (
        one.meaning.split(' ').collect(),
        other.meaning.split(' ').collect(),
    );
    let ops = similar::capture_diff_slices(Algorithm::Patience, &old, &new);
    kind(one) == kind(other) && similar::get_diff_ratio(&ops, old.len(), new.len()) >= 0.5
}

fn change(file: &str, edit: Edit, old: Option<&Said>, new: Option<&Said>) -> SentenceChange {
    SentenceChange {
        edit,
        file: file.to_owned(),
        place: new
            .or(old)
            .map_or_else(String::new, |said| said.place.clone()),
        old_line: old.map(|said| said.line),
        new_line: new.map(|said| said.line),
        old: old.map(|said| said.words.clone()),
        new: new.map(|said| said.words.clone()),
    }
}
