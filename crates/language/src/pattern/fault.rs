//! What is found wrong while a pattern is put together. A fault carries a named code, the sentences it concerns as
//! [`Tag`]s, and its figures in millimetres; it is put into words in the unit of the person who reads it, and evaluation
//! adds where in the text the tags stand.

use super::spec::Tag;
use crate::report::{Code, Severity};
use crate::voice;
use crate::voice::LengthUnit;

/// A part of a sentence: letters, or a figure that waits for its unit.
#[derive(Clone, Debug, PartialEq)]
enum Part {
    Text(String),
    Length(f64),
    Spoken(f64),
    Written(f64),
    Difference(f64),
    Angle(f64),
}

/// Lengths that differ by more than this, in millimetres, are two in a sentence.
const SEEN: f64 = 0.01;

/// A sentence with figures in it, put into letters when the unit is known.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Words(Vec<Part>);

impl Words {
    /// A sentence that begins with these letters.
    pub fn new(text: impl Into<String>) -> Self {
        Words(vec![Part::Text(text.into())])
    }

    /// Goes on with letters.
    pub fn text(mut self, text: impl Into<String>) -> Self {
        self.0.push(Part::Text(text.into()));
        self
    }

    /// Goes on with a measured length in millimetres: `413.4 mm`.
    pub fn length(mut self, mm: f64) -> Self {
        self.0.push(Part::Length(mm));
        self
    }

    /// Goes on with a length that somebody chose, in millimetres: `10 mm`.
    pub fn spoken(mut self, mm: f64) -> Self {
        self.0.push(Part::Spoken(mm));
        self
    }

    /// Goes on with a length in millimetres as a draft writes it: `10mm`.
    pub fn written(mut self, mm: f64) -> Self {
        self.0.push(Part::Written(mm));
        self
    }

    /// Goes on with the size of a difference in millimetres.
    pub fn difference(mut self, mm: f64) -> Self {
        self.0.push(Part::Difference(mm));
        self
    }

    /// Goes on with an angle in degrees.
    pub fn angle(mut self, degrees: f64) -> Self {
        self.0.push(Part::Angle(degrees));
        self
    }

    /// The sentence with its figures in a unit; measured lengths that differ are printed so that it is seen.
    pub fn in_unit(&self, unit: LengthUnit) -> String {
        let lengths = self.0.iter().filter_map(|part| match part {
            Part::Length(mm) => Some(*mm),
            _ => None,
        });
        let lengths: Vec<f64> = lengths.collect();
        let mut lengths = unit.lengths_apart(&lengths, SEEN).into_iter();
        let one = |part: &Part| match part {
            Part::Text(text) => text.clone(),
            Part::Length(_) => lengths.next().unwrap_or_default(),
            Part::Spoken(mm) => unit.length(*mm),
            Part::Written(mm) => unit.typed(*mm),
            Part::Difference(mm) => unit.difference(*mm),
            Part::Angle(degrees) => voice::angle(*degrees),
        };
        self.0.iter().map(one).collect()
    }
}

/// One thing that is wrong, or worth a look, with a pattern.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    /// Its stable name.
    pub code: Code,
    /// How grave it is.
    pub severity: Severity,
    /// The sentence, or the name in it, that it is told at.
    pub tag: Tag,
    message: Words,
    label: Words,
    see: Vec<(Tag, Words)>,
    notes: Vec<Words>,
    help: Option<Words>,
    figures: Vec<(&'static str, f64)>,
    pieces: Vec<String>,
    caution: Option<Words>,
}

impl Fault {
    /// An error told at `tag`.
    pub fn error(code: Code, tag: Tag, message: Words) -> Self {
        Self::new(code, Severity::Error, tag, message)
    }

    /// A warning told at `tag`.
    pub fn warning(code: Code, tag: Tag, message: Words) -> Self {
        Self::new(code, Severity::Warning, tag, message)
    }

    fn new(code: Code, severity: Severity, tag: Tag, message: Words) -> Self {
        Self {
            code,
            severity,
            tag,
            message,
            label: Words::default(),
            see: Vec::new(),
            notes: Vec::new(),
            help: None,
            figures: Vec::new(),
            pieces: Vec::new(),
            caution: None,
        }
    }

    /// Words at the main place.
    pub(crate) fn at(mut self, label: Words) -> Self {
        self.label = label;
        self
    }

    /// A second place and what stands there.
    pub(crate) fn and_see(mut self, tag: Tag, words: Words) -> Self {
        self.see.push((tag, words));
        self
    }

    /// A further line.
    pub(crate) fn note(mut self, words: Words) -> Self {
        self.notes.push(words);
        self
    }

    /// What to do about it.
    pub(crate) fn with_help(mut self, words: Words) -> Self {
        self.help = Some(words);
        self
    }

    /// A figure under a fixed name, in millimetres or degrees.
    pub(crate) fn figure(mut self, name: &'static str, value: f64) -> Self {
        self.figures.push((name, value));
        self
    }

    /// A piece it concerns.
    pub(crate) fn on_piece(mut self, piece: &str) -> Self {
        self.pieces.push(piece.to_owned());
        self
    }

    /// The few words printed on each piece it concerns, since paper leaves the room.
    pub(crate) fn print(mut self, words: Words) -> Self {
        self.caution = Some(words);
        self
    }

    /// The sentence at the head.
    pub fn message(&self, unit: LengthUnit) -> String {
        self.message.in_unit(unit)
    }

    /// Words at the main place; may be empty.
    pub fn label(&self, unit: LengthUnit) -> String {
        self.label.in_unit(unit)
    }

    /// Other places, each with its words.
    pub fn see(&self, unit: LengthUnit) -> Vec<(Tag, String)> {
        self.see
            .iter()
            .map(|(tag, words)| (*tag, words.in_unit(unit)))
            .collect()
    }

    /// Further lines, figures wanted and found.
    pub fn notes(&self, unit: LengthUnit) -> Vec<String> {
        self.notes.iter().map(|words| words.in_unit(unit)).collect()
    }

    /// What to do about it.
    pub fn help(&self, unit: LengthUnit) -> Option<String> {
        self.help.as_ref().map(|words| words.in_unit(unit))
    }

    /// The figures by name, in millimetres or degrees.
    pub fn figures(&self) -> &[(&'static str, f64)] {
        &self.figures
    }

    /// Names of the pieces it concerns.
    pub fn pieces(&self) -> &[String] {
        &self.pieces
    }

    /// The few words printed on the pieces it concerns; none where the paper need not say it.
    pub fn caution(&self, unit: LengthUnit) -> Option<String> {
        self.caution.as_ref().map(|words| words.in_unit(unit))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_lengths_of_a_sentence_are_seen_to_differ() {
        let words = Words::new("front is ").length(110.0).text(", back is ");
        let words = words.length(110.3);
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
    fn one_fault_speaks_in_any_unit() {
        let words = Words::new("a gap of ")
            .length(12.7)
            .text(" between side and hem");
        let fault = Fault::error(Code::OutlineOpen, Tag(3), words).figure("gap", 12.7);
        assert_eq!(
            fault.message(LengthUnit::Millimetre),
            "a gap of 12.7 mm between side and hem"
        );
        assert_eq!(
            fault.message(LengthUnit::Inch),
            "a gap of 1/2 in between side and hem"
        );
        assert_eq!(fault.figures(), [("gap", 12.7)]);
    }
}
