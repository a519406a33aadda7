//! Which figures a thing may hang on: from what drew it to what that read, through the acts and the imports.

use super::Hands;
use super::figure::{Fineness, Literal};
use super::thing::{End, Thing};
use crate::session::trail::Trail;
use oaktag_language::check::program::{FormRef, OperationInfo, Site, SiteId};
use oaktag_language::draft::record::{EntryId, ValueId};
use oaktag_language::report::{FileId, Span};
use oaktag_language::syntax::lexer;
use oaktag_language::syntax::messages::Messages;
use oaktag_language::syntax::tokens::Tok;
use oaktag_language::syntax::tree::{Import, Link, SentenceKind};
use oaktag_language::voice;
use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::ops::Range;

/// Letters that another figure would take.
#[derive(Clone, Debug)]
pub(super) struct Put {
    /// The import they stand in; none of the draft's own text.
    pub file: Option<FileId>,
    pub bytes: Range<usize>,
    /// What stands before the figure, where it is not written yet, and after it.
    pub before: String,
    pub after: &'static str,
    pub literal: Literal,
}

impl Put {
    /// The letters for a value.
    pub(super) fn letters(&self, value: f64, fineness: Fineness) -> String {
        let figure = self.literal.written(value, fineness);
        format!("{}{figure}{}", self.before, self.after)
    }

    /// The same without what joins them to the sentence.
    pub(super) fn shown(&self, value: f64, fineness: Fineness) -> String {
        let letters = self.letters(value, fineness);
        letters.trim_start_matches([',', ' ']).to_owned()
    }
}

/// A figure that may move the thing.
pub(super) struct Candidate {
    pub put: Put,
    pub of: String,
    pub range: Option<(f64, f64)>,
    rank: Rank,
}

impl Candidate {
    /// The least and the most it may be.
    pub(super) fn bounds(&self) -> (f64, f64) {
        let (least, most) = self.range.unwrap_or((0.0, f64::INFINITY));
        (self.put.literal.least(least), most)
    }
}

/// Which figures are tried first.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Rank {
    /// Of the draft's own text.
    Own,
    /// How often something is taken, or into how many parts it goes: seldom what one wants to move.
    Times,
    /// Of an import.
    Import,
}

/// What was found on the way.
#[derive(Default)]
struct Found {
    candidates: Vec<Candidate>,
    taken: BTreeSet<(FileId, usize)>,
    held: Vec<String>,
}

impl Hands<'_> {
    /// Figures that the thing may hang on, the nearest first, and what it hangs on that no hand moves.
    pub(super) fn candidates(&self, thing: &Thing) -> (Vec<Candidate>, Vec<String>) {
        let pattern = &self.session.outcome().pattern;
        let mut found = Found::default();
        let mut names = thing.names(pattern);
        match thing {
            Thing::Notch(piece, number) => {
                let piece = pattern.piece(piece);
                let notch = piece.and_then(|piece| piece.notches.get(*number));
                if let (Some(piece), Some(notch)) = (piece, notch) {
                    let of = notch.seam.as_deref().unwrap_or(&piece.name);
                    let places = self.of_notches(of, &mut found);
                    names.splice(0..0, places);
                }
            }
            Thing::Handle(name, end) => self.of_handle(name, *end, &mut found),
            Thing::Point(_) | Thing::On(..) | Thing::Mark(..) => {}
        }
        self.follow(&names, &mut found);
        found.candidates.sort_by_key(|one| one.rank);
        (found.candidates, found.held)
    }

    /// Why no figure moves a thing on which nothing else has its say.
    pub(super) fn no_figure(&self, thing: &Thing) -> String {
        let outcome = self.session.outcome();
        let trail = Trail::of(outcome);
        let names = thing.names(&outcome.pattern);
        let root = roots(&trail, &names).into_iter().next();
        let site = root.and_then(|id| trail.site(trail.entry(id.entry)?));
        match site {
            Some(site) => {
                let sources = self.session.sources();
                let words = sources.slice(site.span);
                let words = words.lines().next().unwrap_or_default().trim();
                let where_ = (site.span.file != self.own).then(|| {
                    let name = sources.name(site.span.file);
                    format!(" in {name}, line {}", sources.line(site.span))
                });
                format!(
                    "held by `{words}`{}, where no figure moves it",
                    where_.unwrap_or_default()
                )
            }
            None => "drawn by no sentence that has a figure".to_owned(),
        }
    }

    /// The figures of the sentences that set notches of a piece or a seam of the draft's own; gives the places they name.
    fn of_notches(&self, of: &str, found: &mut Found) -> Vec<String> {
        let mut sentences = self.session.own_sentences().iter();
        let spans = sentences.find_map(|sentence| match &sentence.kind {
            SentenceKind::Seam(seam) if *seam.name.text == *of => Some(
                seam.sentences
                    .iter()
                    .map(|one| one.span)
                    .collect::<Vec<_>>(),
            ),
            SentenceKind::Piece(piece) if *piece.name.text == *of => {
                Some(piece.sentences.iter().map(|one| one.span).collect())
            }
            _ => None,
        });
        let sources = self.session.sources();
        let mut names = Vec::new();
        for span in spans.unwrap_or_default() {
            let words = sources.slice(span);
            let sets = ["notch", "dart", "fold", "open", "ease", "gather", "stretch"];
            if !sets.iter().any(|word| words.starts_with(word)) {
                continue;
            }
            self.figures_in(Some(span), found);
            for (tok, at) in tokens(words) {
                if matches!(tok, Tok::Dotted | Tok::Name) {
                    names.extend(words.get(at).map(str::to_owned));
                }
            }
        }
        names
    }

    /// The figures of a curve's own sentence, and how long it would keep to the way at one end, where that is not written.
    fn of_handle(&self, name: &str, end: End, found: &mut Found) {
        let trail = Trail::of(self.session.outcome());
        let root = trail.root(&[name.to_owned()]);
        let site = root.and_then(|id| trail.site(trail.entry(id.entry)?));
        let Some(span) = site
            .map(|site| site.span)
            .filter(|span| span.file == self.own)
        else {
            return;
        };
        self.figures_in(Some(span), found);
        let bytes = self.session.sources().bytes(span);
        let words = self.session.text().get(bytes.clone()).unwrap_or_default();
        let way = match end {
            End::Start => Link::Leaving,
            End::End => Link::Arriving,
        };
        let Some(at) = end_of_way(words, way) else {
            return;
        };
        let Some(literal) = Literal::read("0.33") else {
            return;
        };
        let at = bytes.start + at;
        found.candidates.push(Candidate {
            put: Put {
                file: None,
                bytes: at..at,
                before: " for ".to_owned(),
                after: " of the way",
                // A third, where nothing is said.
                literal: literal.with(1.0 / 3.0),
            },
            of: format!("how long {} keeps to its way", voice::name(name)),
            range: None,
            rank: Rank::Own,
        });
    }

    /// Goes from what drew the names to what that read, and so on, nearest first.
    fn follow(&self, names: &[String], found: &mut Found) {
        let outcome = self.session.outcome();
        let program = &outcome.program;
        let trail = Trail::of(outcome);
        let measures = program.measures.iter();
        let measures: BTreeMap<SiteId, &str> = measures
            .map(|measure| (measure.site, measure.name.as_str()))
            .collect();
        let mut open: VecDeque<ValueId> = roots(&trail, names).into();
        let mut seen: BTreeSet<(EntryId, u32)> = BTreeSet::new();
        while let Some(id) = open.pop_front() {
            let Some(entry) = trail.entry(id.entry) else {
                continue;
            };
            if !seen.insert((id.entry, id.at)) {
                continue;
            }
            let Some(site) = program.site(entry.site) else {
                continue;
            };
            if let Some(name) = measures.get(&entry.site) {
                self.of_measure(name, site, found);
                continue;
            }
            // The sentence, and those that call the acts it stands in.
            let mut around = Some(entry);
            while let Some(one) = around {
                if let Some(site) = program.site(one.site) {
                    self.figures_in(Some(site.span), found);
                    if let Some(FormRef::Operation(number)) = site.form
                        && let Some(act) = program.operations.get(number)
                    {
                        self.options_of(act, site, found);
                    }
                }
                around = one.call.and_then(|call| trail.entry(call));
            }
            match trail.within(id) {
                Some(drawn) => open.push_back(drawn),
                None => open.extend(entry.read.iter().chain(&entry.replaced)),
            }
        }
    }

    /// A measure that the thing hangs on: the default of a choice is a figure like others, that of a body's measure is not.
    fn of_measure(&self, name: &str, site: &Site, found: &mut Found) {
        let used = self.session.outcome().pattern.measures.iter();
        let Some(used) = used.into_iter().find(|used| used.name == name) else {
            return;
        };
        let said = voice::name(name);
        if used.of_body {
            found
                .held
                .push(format!("held by {said}, a measure of the body"));
        } else if self.session.is_given(name) {
            let why = format!("held by {said}, which is given beside the text");
            found.held.push(why);
        } else if !self.of_import(name, site, found) {
            self.figures_in(Some(site.span), found);
        }
    }

    /// A choice of an import, which the draft's own sentence sets, or may set; says whether it is one.
    fn of_import(&self, name: &str, site: &Site, found: &mut Found) -> bool {
        if site.span.file == self.own {
            return false;
        }
        let own = self.session.own_sentences().iter();
        let mut imports = own.filter_map(|sentence| match &sentence.kind {
            SentenceKind::Import(import) => Some((import, sentence.span)),
            _ => None,
        });
        let of = |import: &Import| {
            let rest = name.strip_prefix(&*import.name.text);
            rest.and_then(|rest| rest.strip_prefix('.'))
                .map(str::to_owned)
        };
        let Some((import, span, choice)) =
            imports.find_map(|(import, span)| Some((import, span, of(import)?)))
        else {
            return false;
        };
        let mut settings = import.with.iter();
        if settings.any(|one| *one.name.text == choice) {
            self.figures_in(Some(span), found);
            return true;
        }
        let sources = self.session.sources();
        let Some(figure) = figures(sources.slice(site.span)).into_iter().next() else {
            return false;
        };
        let end = sources.bytes(span).end;
        if !choice.contains('.') && found.taken.insert((self.own, end)) {
            let joined = if import.with.is_empty() { " with" } else { "," };
            found.candidates.push(Candidate {
                put: Put {
                    file: None,
                    bytes: end..end,
                    before: format!("{joined} {choice} "),
                    after: "",
                    literal: figure.literal,
                },
                of: format!("{} of {}", voice::name(&choice), import.name.text),
                range: figure.range,
                rank: Rank::Own,
            });
        }
        true
    }

    /// The figures of a sentence that a hand may change, in order: of the draft's own text and of what it imports.
    fn figures_in(&self, span: Option<Span>, found: &mut Found) {
        let sources = self.session.sources();
        let Some(span) = span.filter(|span| !sources.is_library(span.file)) else {
            return;
        };
        let is_own = span.file == self.own;
        let text = if is_own {
            self.session.text()
        } else {
            sources.text(span.file)
        };
        let bytes = sources.bytes(span);
        let Some(letters) = text.get(bytes.clone()) else {
            return;
        };
        for figure in figures(letters) {
            let at = bytes.start + figure.bytes.start..bytes.start + figure.bytes.end;
            if !found.taken.insert((span.file, at.start)) {
                continue;
            }
            let line = text
                .get(..at.start)
                .map_or(0, |before| before.rfind('\n').map_or(0, |n| n + 1));
            let line = text.get(line..).and_then(|rest| rest.lines().next());
            found.candidates.push(Candidate {
                put: Put {
                    file: (!is_own).then_some(span.file),
                    bytes: at,
                    before: String::new(),
                    after: "",
                    literal: figure.literal,
                },
                of: line.unwrap_or_default().trim().to_owned(),
                range: figure.range,
                rank: match (is_own, figure.is_times) {
                    (false, _) => Rank::Import,
                    (true, true) => Rank::Times,
                    (true, false) => Rank::Own,
                },
            });
        }
    }

    /// The options of an act that its call does not say, each with its default.
    fn options_of(&self, act: &OperationInfo, site: &Site, found: &mut Found) {
        if site.value.file != self.own {
            return;
        }
        let call = self.session.sources().bytes(site.value);
        let written = self.session.text().get(call.clone()).unwrap_or_default();
        // One call in the sentence: where there are several nobody knows whose option it would be.
        let heads = act.form.head.as_deref().unwrap_or_default();
        let is_alone = written.starts_with(heads) && !written.contains('{');
        if !is_alone || !found.taken.insert((self.own, call.end)) {
            return;
        }
        let has_with = tokens(written).any(|(tok, _)| tok == Tok::Link(Link::With));
        let said: BTreeSet<&str> = tokens(written)
            .filter_map(|(_, at)| written.get(at))
            .collect();
        let head = self.session.sources().slice(act.span);
        for option in &act.form.options {
            if said.contains(&*option.name) {
                continue;
            }
            let Some(figure) = default_of(head, &option.name) else {
                continue;
            };
            let before = match has_with {
                true => format!(", {} ", option.name),
                false => format!(" with {} ", option.name),
            };
            found.candidates.push(Candidate {
                put: Put {
                    file: None,
                    bytes: call.end..call.end,
                    before,
                    after: "",
                    literal: figure.literal,
                },
                of: format!("{} of {heads}", voice::name(&option.name)),
                range: figure.range,
                rank: Rank::Own,
            });
        }
    }
}

/// What drew each of the names last; of an item of a list, the list, and of what is traced, whatever drew that.
pub(super) fn roots(trail: &Trail<'_>, names: &[String]) -> Vec<ValueId> {
    let list = |name: &str| {
        let (list, number) = name.rsplit_once('_')?;
        let is_number = !number.is_empty() && number.bytes().all(|b| b.is_ascii_digit());
        is_number.then(|| list.to_owned())
    };
    let root = |name: &String| {
        let own = trail.root(std::slice::from_ref(name));
        own.or_else(|| trail.root(&[list(name)?]))
            .or_else(|| trail.traced(name))
    };
    names.iter().filter_map(root).collect()
}

/// A figure in some letters.
struct Figure {
    bytes: Range<usize>,
    literal: Literal,
    range: Option<(f64, f64)>,
    /// A whole number of times or of parts.
    is_times: bool,
}

pub(super) fn tokens(letters: &str) -> impl Iterator<Item = (Tok, Range<usize>)> {
    let lexed = lexer::lex(letters, FileId::default(), &mut Messages::default());
    lexed
        .tokens
        .into_iter()
        .map(|(tok, span)| (tok, span.range()))
}

/// Where the way ends that a curve leaves or arrives by, where it does not say how long it keeps to it.
fn end_of_way(words: &str, way: Link) -> Option<usize> {
    let mut all = tokens(words).filter(|(tok, _)| *tok != Tok::Newline);
    let (_, at) = all.by_ref().find(|(tok, _)| *tok == Tok::Link(way))?;
    let mut end = at.end;
    for (tok, at) in all {
        match tok {
            Tok::Link(Link::For) => return None,
            Tok::Link(Link::Leaving | Link::Arriving | Link::With) | Tok::End => break,
            _ => end = at.end,
        }
    }
    Some(end)
}

/// The figures of a sentence that may be moved: not the bounds of what it declares or looks for, nor what a text says. `1/2` is
/// one figure.
fn figures(letters: &str) -> Vec<Figure> {
    let all: Vec<(Tok, Range<usize>)> = tokens(letters)
        .filter(|(tok, _)| *tok != Tok::Newline)
        .collect();
    let first = all.first().and_then(|(_, at)| letters.get(at.clone()));
    let declares = matches!(first, Some("choose" | "body" | "try" | "each"));
    let literal = |at: usize| {
        let (tok, bytes) = all.get(at)?;
        (*tok == Tok::Figure).then(|| letters.get(bytes.clone()).and_then(Literal::read))?
    };
    let is = |at: Option<usize>, wanted: Tok| {
        let found = at.and_then(|at| all.get(at));
        found.is_some_and(|(tok, _)| *tok == wanted)
    };
    let mut found = Vec::new();
    let mut in_bounds = false;
    let mut past = 0;
    for (at, (tok, bytes)) in all.iter().enumerate() {
        match tok {
            Tok::OpenBrace => in_bounds = false,
            Tok::Link(Link::Between) if declares => in_bounds = true,
            Tok::Link(Link::From) if first == Some("each") => in_bounds = true,
            _ => {}
        }
        let Some(figure) = literal(at).filter(|_| !in_bounds && at >= past) else {
            continue;
        };
        let before = at.checked_sub(1);
        let after_slash = is(before, Tok::Slash);
        let part = literal(at + 2).filter(|part| figure.is_whole() && part.is_whole());
        if is(Some(at + 1), Tok::Slash)
            && let Some(part) = part
        {
            past = at + 3;
            let fraction = Literal::read(&format!("{}/{}", figure.value, part.value));
            let end = all.get(at + 2).map_or(bytes.end, |(_, bytes)| bytes.end);
            if let (Some(literal), false) = (fraction, after_slash) {
                found.push(Figure {
                    bytes: bytes.start..end,
                    literal,
                    range: None,
                    is_times: false,
                });
            }
            continue;
        }
        let range = is(Some(at + 1), Tok::Link(Link::Between))
            .then(|| bounds(letters, &all, at + 2))
            .flatten();
        let is_below = range.is_some_and(|(least, _)| least < 0.0);
        let after_less = is(before, Tok::Minus) && is(at.checked_sub(2), Tok::Equal);
        let start = match before.and_then(|at| all.get(at)) {
            Some((_, minus)) if is_below && after_less => minus.start,
            _ => bytes.start,
        };
        let times = [before, Some(at + 1)];
        let times = times
            .into_iter()
            .any(|at| is(at, Tok::Star) || is(at, Tok::Slash));
        found.push(Figure {
            bytes: start..bytes.end,
            is_times: times && figure.is_whole(),
            literal: match (is_below, start < bytes.start) {
                (true, true) => figure.signed(-1.0),
                (true, false) => figure.signed(1.0),
                (false, _) => figure,
            },
            range,
        });
    }
    found
}

/// `4cm and 25cm`, or `-2cm and 3cm`, in the unit of both.
fn bounds(letters: &str, all: &[(Tok, Range<usize>)], from: usize) -> Option<(f64, f64)> {
    let mut at = from;
    let mut next = || {
        let is_less = all.get(at).is_some_and(|(tok, _)| *tok == Tok::Minus);
        at += usize::from(is_less);
        let (_, bytes) = all.get(at)?;
        at += 2;
        let literal = Literal::read(letters.get(bytes.clone())?)?;
        Some(if is_less {
            -literal.value
        } else {
            literal.value
        })
    };
    Some((next()?, next()?))
}

/// The default of an option in the head of an act: `(length ease = 10cm between 0cm and 40cm …)`.
fn default_of(head: &str, option: &str) -> Option<Figure> {
    let all: Vec<(Tok, Range<usize>)> = tokens(head)
        .filter(|(tok, _)| *tok != Tok::Newline)
        .collect();
    let named = |one: &[(Tok, Range<usize>)]| match one {
        [(Tok::Name, name), (Tok::Equal, _), (Tok::Figure, figure)] => {
            head.get(name.clone()) == Some(option) && head.get(figure.clone()).is_some()
        }
        _ => false,
    };
    let at = all.windows(3).position(named)? + 2;
    let (_, bytes) = all.get(at)?;
    let literal = Literal::read(head.get(bytes.clone())?)?;
    // A formula stands there, and not a figure.
    let after = all.get(at + 1).map(|(tok, _)| *tok);
    let is_alone = !after.is_some_and(Tok::is_operator);
    let range = (after == Some(Tok::Link(Link::Between))).then(|| bounds(head, &all, at + 2));
    let range = range.flatten();
    let is_below = range.is_some_and(|(least, _)| least < 0.0);
    is_alone.then_some(Figure {
        bytes: bytes.clone(),
        literal: if is_below {
            literal.signed(1.0)
        } else {
            literal
        },
        range,
        is_times: false,
    })
}
