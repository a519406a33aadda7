//! A sentence whose figures wait for their unit: whoever finds something says it without knowing who will read it.

use super::figure::Figure;
use super::{LengthUnit, capital};
use std::borrow::Cow;
use std::fmt::{Display, Write as _};

/// Lengths that differ by more than this, in millimetres, are two in a sentence.
const SEEN: f64 = 0.01;

/// Letters of a sentence: those of the program as they stand.
type Letters = Cow<'static, str>;

/// A sentence, or a part of one, with figures in it.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Words {
    /// Up to the first figure.
    head: Letters,
    /// Each figure, and the letters after it.
    rest: Vec<(Figure, Letters)>,
}

impl From<&'static str> for Words {
    fn from(letters: &'static str) -> Self {
        Self {
            head: Letters::Borrowed(letters),
            rest: Vec::new(),
        }
    }
}

impl From<String> for Words {
    fn from(letters: String) -> Self {
        Self {
            head: Letters::Owned(letters),
            rest: Vec::new(),
        }
    }
}

impl From<Figure> for Words {
    fn from(figure: Figure) -> Self {
        Self {
            head: Letters::default(),
            rest: vec![(figure, Letters::default())],
        }
    }
}

/// What a sentence may be made of: letters, a figure, or words with figures of their own.
pub trait Part {
    /// Goes on with it.
    fn onto(&self, words: &mut Words);
}

impl<T: Display + ?Sized> Part for T {
    fn onto(&self, words: &mut Words) {
        // Writing to a String cannot fail.
        let _ = write!(words.last().to_mut(), "{self}");
    }
}

impl Part for Figure {
    fn onto(&self, words: &mut Words) {
        words.rest.push((self.clone(), Letters::default()));
    }
}

impl Part for Words {
    fn onto(&self, words: &mut Words) {
        words.letters(self.head.clone());
        words.rest.extend_from_slice(&self.rest);
    }
}

impl Part for &Words {
    fn onto(&self, words: &mut Words) {
        (*self).onto(words);
    }
}

impl Words {
    fn last(&mut self) -> &mut Letters {
        match self.rest.last_mut() {
            Some((_, letters)) => letters,
            None => &mut self.head,
        }
    }

    fn letters(&mut self, letters: Letters) {
        let last = self.last();
        if last.is_empty() {
            *last = letters;
        } else if !letters.is_empty() {
            last.to_mut().push_str(&letters);
        }
    }

    /// Puts letters, a figure or further words behind what is said.
    pub fn push(&mut self, part: impl Part) {
        part.onto(self);
    }

    /// Whether nothing is said.
    pub fn is_empty(&self) -> bool {
        self.head.is_empty() && self.rest.is_empty()
    }

    /// Whether these letters are in it.
    pub fn mentions(&self, letters: &str) -> bool {
        let mut rest = self.rest.iter();
        self.head.contains(letters) || rest.any(|(_, after)| after.contains(letters))
    }

    /// All of them with the same letters between.
    pub fn joined(all: impl IntoIterator<Item = Words>, between: &'static str) -> Self {
        let mut words = Self::default();
        for (at, one) in all.into_iter().enumerate() {
            if at > 0 {
                words.letters(Letters::Borrowed(between));
            }
            words.push(one);
        }
        words
    }

    /// The sentence with its figures in a unit; measured lengths that differ are printed so that it is seen.
    pub fn in_unit(&self, unit: LengthUnit) -> Cow<'_, str> {
        if self.rest.is_empty() {
            return Cow::Borrowed(&self.head);
        }
        let figures = || self.rest.iter().map(|(figure, _)| figure);
        let lengths: Vec<f64> = figures().filter_map(Figure::measured).collect();
        let mut lengths = unit.lengths_apart(&lengths, SEEN).into_iter();
        let mut said = self.head.to_string();
        for (figure, letters) in &self.rest {
            match figure.measured().and_then(|_| lengths.next()) {
                Some(length) => said.push_str(&length),
                None => said.push_str(&figure.in_unit(unit)),
            }
            said.push_str(letters);
        }
        Cow::Owned(said)
    }

    /// With a capital letter first and a full stop at the end, where they are wanting.
    pub fn sentence(mut self) -> Self {
        let head = capital(self.head.trim_start());
        if head != self.head {
            self.head = head.into();
        }
        let last = self.last();
        let kept = last.trim_end().len();
        if kept < last.len() {
            last.to_mut().truncate(kept);
        }
        if !last.ends_with(['.', '!', '?', '…']) {
            last.to_mut().push('.');
        }
        self
    }

    /// With no more than so many letters before a figure, and after it.
    pub fn cut(&mut self, most: usize) {
        let rest = self.rest.iter_mut().map(|(_, letters)| letters);
        for letters in std::iter::once(&mut self.head).chain(rest) {
            cut(letters, most);
        }
    }

    /// With nothing in it longer than anybody reads: a name of a million letters is cut.
    pub fn clip(&mut self) {
        clip(&mut self.head);
        for (_, letters) in &mut self.rest {
            clip(letters);
        }
    }
}

/// Longest text of a message, in characters.
const LONGEST: usize = 2_000;
/// Longest word in it.
const LONGEST_WORD: usize = 80;

fn clip(letters: &mut Letters) {
    if letters.len() <= LONGEST_WORD {
        return;
    }
    let short = |word: &str| match word.char_indices().nth(LONGEST_WORD) {
        Some((at, _)) => format!("{}…", word.get(..at).unwrap_or(word)),
        None => word.to_owned(),
    };
    let is_long = |word: &str| word.chars().nth(LONGEST_WORD).is_some();
    if letters.split(' ').any(is_long) {
        let words: Vec<String> = letters.split(' ').map(short).collect();
        *letters = words.join(" ").into();
    }
    cut(letters, LONGEST);
}

fn cut(letters: &mut Letters, most: usize) {
    if letters.len() > most
        && let Some((at, _)) = letters.char_indices().nth(most)
    {
        let letters = letters.to_mut();
        letters.truncate(at);
        letters.push('…');
    }
}

/// How many places of a template wait to be filled: each is written `{}`, and no other brace stands in it.
#[doc(hidden)]
pub const fn places(template: &str) -> usize {
    let (mut bytes, mut count) = (template.as_bytes(), 0);
    while let Some((first, rest)) = bytes.split_first() {
        bytes = match (*first, rest) {
            (b'{', [b'}', rest @ ..]) => {
                count += 1;
                rest
            }
            (b'{' | b'}', _) => panic!("a brace that is none of a place goes in as an argument"),
            _ => rest,
        };
    }
    count
}

/// A template being filled.
#[doc(hidden)]
pub struct Filling {
    words: Words,
    ahead: &'static str,
}

impl Filling {
    /// Up to its first place.
    pub fn of(template: &'static str) -> Self {
        let (head, ahead) = template.split_once("{}").unwrap_or((template, ""));
        let words = head.into();
        Self { words, ahead }
    }

    /// With its next place filled.
    pub fn with(mut self, part: &(impl Part + ?Sized)) -> Self {
        part.onto(&mut self.words);
        let (letters, ahead) = self.ahead.split_once("{}").unwrap_or((self.ahead, ""));
        self.words.letters(Letters::Borrowed(letters));
        self.ahead = ahead;
        self
    }

    /// The template with all of its places filled.
    pub fn words(self) -> Words {
        self.words
    }
}

/// A whole sentence with places `{}`, each for letters (all that has `Display`), a [`Figure`] or [`Words`], in this order. A
/// template with more or fewer places than arguments does not compile.
///
/// ```
/// use oaktag_language::{say, voice::{figure, LengthUnit}};
/// let words = say!("These two never meet: they pass {} apart.", figure::small(12.7));
/// assert_eq!(words.in_unit(LengthUnit::Inch), "These two never meet: they pass 1/2 in apart.");
/// ```
///
/// ```compile_fail
/// oaktag_language::say!("{} of {}", 1);
/// ```
#[macro_export]
macro_rules! say {
    ($template:literal $(, $part:expr)* $(,)?) => {{
        const {
            let parts: &[&str] = &[$(stringify!($part)),*];
            assert!($crate::voice::say::places($template) == parts.len(), "as many arguments as places");
        }
        $crate::voice::say::Filling::of($template)$(.with(&$part))*.words()
    }};
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::voice::figure;

    #[test]
    fn two_lengths_of_a_sentence_are_seen_to_differ() {
        let (front, back) = (figure::length(110.0), figure::length(110.3));
        let words = say!("front is {}, back is {}", front, back);
        assert_eq!(
            words.in_unit(LengthUnit::Inch),
            "front is 4.331 in, back is 4.343 in"
        );
        assert_eq!(
            words.in_unit(LengthUnit::Millimetre),
            "front is 110 mm, back is 110.3 mm"
        );
    }

    #[test]
    fn figures_apart_are_so_in_sentences_of_their_own() {
        let [a, b] = figure::apart(crate::voice::Measured::Length, [24.0, 24.002]);
        assert_eq!(say!("{}", a).in_unit(LengthUnit::Millimetre), "24 mm");
        let words = say!("{} are wanted", b);
        assert_eq!(
            words.in_unit(LengthUnit::Millimetre),
            "24.002 mm are wanted"
        );
    }

    #[test]
    fn words_go_into_words() {
        let gap = say!("a gap of {}", figure::difference(-12.7));
        let all = say!("between {} and {}, {}", "side", String::from("hem"), gap);
        let said = |words: Words| words.in_unit(LengthUnit::Inch).into_owned();
        assert_eq!(said(all.clone()), "between side and hem, a gap of 1/2 in");
        assert_eq!(
            said(all.sentence()),
            "Between side and hem, a gap of 1/2 in."
        );
        let both = Words::joined([gap.clone(), gap], " or ");
        assert_eq!(said(both), "a gap of 1/2 in or a gap of 1/2 in");
        assert_eq!(said(Words::from("Done! ").sentence()), "Done!");
    }

    #[test]
    fn places_of_a_template_are_counted() {
        assert_eq!(places("no place"), 0);
        assert_eq!(places("{} of {}"), 2);
        assert!(std::panic::catch_unwind(|| places("write {name}")).is_err());
    }

    #[test]
    fn nothing_is_longer_than_anybody_reads() {
        let mut words = say!("`{}` is {} long", "x".repeat(200), figure::spoken(10.0));
        words.clip();
        let said = words.in_unit(LengthUnit::Millimetre);
        assert_eq!(said, format!("`{}… is 10 mm long", "x".repeat(79)));
    }
}
