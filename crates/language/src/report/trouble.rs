//! What is wrong, where, where the other values came from, and how to mend it: one type from the construction that failed to
//! the terminal. Its figures stay figures until the unit of the person who reads is known.

use super::code::Code;
use super::source::Span;
use crate::say;
use crate::voice::{self, LengthUnit, Words};
use std::ops::{Deref, DerefMut};

/// How grave a message is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// The draft cannot be trusted until it is mended.
    Error,
    /// The draft is drawn, and the person should look.
    Warning,
}

/// Something wrong, or worth a look, told at places `P`: a [`Span`] of a text, an argument of a phrase, a sentence of a
/// pattern. It is one pointer wide, since every phrase may give it in place of its value.
#[derive(Clone, Debug, PartialEq)]
pub struct Trouble<P>(Box<Told<P>>);

/// A message to people.
pub type Diagnostic = Trouble<Span>;

/// All that a message holds, apart from the pointer that carries it.
#[derive(Clone, Debug, PartialEq)]
pub struct Told<P> {
    /// Whether it is an error.
    pub severity: Severity,
    /// The stable named code that `explain` knows.
    pub code: Code,
    /// The sentence at the head: what was expected and what was found, in the trade's words.
    pub message: Words,
    /// Where it went wrong, as narrowly as it is known.
    pub place: P,
    /// What stands there; may be empty.
    pub label: Words,
    /// Where other values came from, and what stands there.
    pub see: Vec<(P, Words)>,
    /// Further lines: figures wanted and found.
    pub notes: Vec<Words>,
    /// What to write instead.
    pub help: Option<Words>,
    /// The same for whoever puts it in place, the likeliest first: any one of them mends it.
    pub offers: Vec<Offer<P>>,
    /// Further ones, whose places are to be found.
    pub cures: Vec<Cure<P>>,
    /// The step it happened in: its number and its name.
    pub step: Option<(usize, String)>,
    /// Names of the pieces it concerns.
    pub pieces: Vec<String>,
    /// The few words printed on those pieces, since paper leaves the room.
    pub caution: Option<Words>,
}

/// Letters that mend a thing, said by who does not see the text: they become an offer where its sentences are known.
#[derive(Clone, Debug, PartialEq)]
pub struct Cure<P> {
    /// The sentence, or the name in it.
    pub place: P,
    /// Where the letters go.
    pub put: Put,
    /// The letters, figures among them.
    pub words: Words,
}

/// Where the letters of a [`Cure`] go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Put {
    /// In place of what stands there.
    Over,
    /// Before it.
    Before,
    /// After it.
    After,
    /// Into the block of the piece or seam that stands there, as its last sentence.
    Inside,
    /// Behind the `from` of the seam that stands there.
    From,
    /// In place of it and of the word that leads it.
    Led(&'static str),
    /// On the panel of the piece that stands there, as the half of the wearer that its sheet shows.
    Half,
    /// In place of the one thing that its sentence says behind this word.
    Behind(&'static str),
}

/// Letters to be put in a place of the text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Offer<P> {
    /// What they replace; an empty place is where they are put in.
    pub place: P,
    /// The letters.
    pub text: String,
}

/// An offer of more letters than this is not made: nobody reads it.
const LONGEST_OFFER: usize = 2_000;

impl<P> Deref for Trouble<P> {
    type Target = Told<P>;

    fn deref(&self) -> &Told<P> {
        &self.0
    }
}

impl<P> DerefMut for Trouble<P> {
    fn deref_mut(&mut self) -> &mut Told<P> {
        &mut self.0
    }
}

impl<P> Trouble<P> {
    /// An error at `place`.
    pub fn error(code: Code, place: P, message: impl Into<Words>) -> Self {
        Self::told(Severity::Error, code, place, message.into())
    }

    /// A warning at `place`.
    pub fn warning(code: Code, place: P, message: impl Into<Words>) -> Self {
        Self::told(Severity::Warning, code, place, message.into())
    }

    fn told(severity: Severity, code: Code, place: P, message: Words) -> Self {
        Self(Box::new(Told {
            severity,
            code,
            message,
            place,
            label: Words::default(),
            see: Vec::new(),
            notes: Vec::new(),
            help: None,
            offers: Vec::new(),
            cures: Vec::new(),
            step: None,
            pieces: Vec::new(),
            caution: None,
        }))
    }

    /// Words on the main place.
    pub fn at(mut self, words: impl Into<Words>) -> Self {
        self.label = words.into();
        self
    }

    /// A second place and what stands there.
    pub fn see(mut self, place: P, words: impl Into<Words>) -> Self {
        self.see.push((place, words.into()));
        self
    }

    /// Second places, as many as there are.
    pub fn seen(mut self, places: impl IntoIterator<Item = (P, Words)>) -> Self {
        self.see.extend(places);
        self
    }

    /// A further line of figures.
    pub fn note(mut self, words: impl Into<Words>) -> Self {
        self.notes.push(words.into());
        self
    }

    /// The last that is shown, where so many more were found.
    pub(crate) fn and_more(self, over: usize) -> Self {
        let are = voice::agree(over, "message is", "messages are");
        self.note(say!("{} more {} not shown; mend these first.", over, are))
    }

    /// How to mend it.
    pub fn help(mut self, words: impl Into<Words>) -> Self {
        self.help = Some(words.into());
        self
    }

    /// Letters that mend it, in the place that they replace.
    pub fn offer(mut self, place: P, text: impl Into<String>) -> Self {
        let text = text.into();
        if text.len() <= LONGEST_OFFER {
            self.offers.push(Offer { place, text });
        }
        self
    }

    /// Letters that mend it, where the text is not seen.
    pub(crate) fn cure(mut self, place: P, put: Put, words: impl Into<Words>) -> Self {
        let words = words.into();
        self.cures.push(Cure { place, put, words });
        self
    }

    /// The step it happened in.
    pub(crate) fn in_step(mut self, number: usize, name: impl Into<String>) -> Self {
        self.step = Some((number, name.into()));
        self
    }

    /// A piece it concerns.
    pub(crate) fn on_piece(mut self, piece: &str) -> Self {
        self.pieces.push(piece.to_owned());
        self
    }

    /// The few words printed on each piece it concerns.
    pub fn print(mut self, words: impl Into<Words>) -> Self {
        self.caution = Some(words.into());
        self
    }

    /// The same, told at `place`; `see` says where each second place lies, and what is told there, `cured` where a cure does.
    pub fn placed<Q, S>(
        self,
        place: Q,
        see: impl FnMut((P, Words)) -> S,
        cured: impl Fn(P) -> Option<Q>,
    ) -> Trouble<Q>
    where
        S: IntoIterator<Item = (Q, Words)>,
    {
        let told = *self.0;
        let cures = told.cures.into_iter().filter_map(|cure| {
            Some(Cure {
                place: cured(cure.place)?,
                put: cure.put,
                words: cure.words,
            })
        });
        Trouble(Box::new(Told {
            severity: told.severity,
            code: told.code,
            message: told.message,
            place,
            label: told.label,
            see: told.see.into_iter().flat_map(see).collect(),
            notes: told.notes,
            help: told.help,
            // What is told at other places than those of a text offers nothing to be put there.
            offers: Vec::new(),
            cures: cures.collect(),
            step: told.step,
            pieces: told.pieces,
            caution: told.caution,
        }))
    }

    /// Everything that is said but the name of the step.
    fn words(&mut self) -> impl Iterator<Item = &mut Words> {
        let told = &mut *self.0;
        let see = told.see.iter_mut().map(|(_, words)| words);
        [&mut told.message, &mut told.label]
            .into_iter()
            .chain(see)
            .chain(&mut told.notes)
            .chain(&mut told.help)
            .chain(&mut told.caution)
    }

    /// The same message with nothing in it longer than anybody reads: a name of a million letters is cut.
    pub fn clipped(mut self) -> Self {
        self.words().for_each(Words::clip);
        self
    }

    /// The same with its figures in letters: two that are equal so read the same.
    pub fn in_letters(mut self, unit: LengthUnit) -> Self {
        for words in self.words() {
            *words = words.in_unit(unit).into_owned().into();
        }
        self
    }

    /// Whether it is an error.
    pub fn is_error(&self) -> bool {
        self.severity == Severity::Error
    }

    /// Whether it is an error by which something is missing from the drawing; one of what was judged stands in it.
    pub fn stops(&self) -> bool {
        self.is_error() && !self.code.is_judged()
    }
}

impl<P: Clone> Trouble<P> {
    /// The word that was probably meant, in place of the one it is told at.
    pub fn meant(self, word: &str) -> Self {
        let place = self.place.clone();
        self.help(format!("Did you mean `{word}`?"))
            .offer(place, word)
    }

    /// What to write in place of that at which it is told.
    pub(crate) fn write(self, text: &str) -> Self {
        let place = self.place.clone();
        self.help(format!("Write `{text}`.")).offer(place, text)
    }

    /// Several things, any of which to write there.
    pub(crate) fn write_one_of(mut self, texts: &[String]) -> Self {
        let quoted: Vec<String> = texts.iter().map(|text| format!("`{text}`")).collect();
        for text in texts {
            let place = self.place.clone();
            self = self.offer(place, text.as_str());
        }
        self.help(format!("Write {}.", voice::either(&quoted)))
    }
}

/// The first `most` messages in the order given, errors before warnings where not all find room; the last one shown
/// says how many are left out.
pub fn at_most(mut messages: Vec<Diagnostic>, most: usize) -> Vec<Diagnostic> {
    let over = messages.len().saturating_sub(most);
    if over == 0 {
        return messages;
    }
    messages.sort_by_key(|message| message.severity);
    messages.truncate(most);
    if let Some(last) = messages.pop() {
        messages.push(last.and_more(over));
    }
    messages
}
