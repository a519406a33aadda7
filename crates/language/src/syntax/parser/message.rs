//! Faults to messages: what was wanted, what stands there, and what to write.

use super::In;
use super::cursor::{next_letters, next_span, second};
use super::expression::A_VALUE;
use super::fault::Fault;
use super::model::Model;
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::nearest::nearest;
use crate::syntax::reserved;
use crate::syntax::starts;
use crate::syntax::tokens::Tok;
use crate::syntax::tree::Word;
use crate::voice::Words;

/// Gives the message of a fault, unless it, or another of this sentence, has been given.
pub(super) fn tell(inp: &mut In, fault: &Fault) {
    if !fault.told && !inp.state().told {
        let message = goes_on_misspelt(inp, fault);
        let message = message.unwrap_or_else(|| sentence_message(inp, fault));
        inp.state().tell(message);
    }
    inp.state().told = true;
}

/// A sentence that seems to stop, where the next line begins with what is nearly the word that it waits for.
fn goes_on_misspelt(inp: &mut In, fault: &Fault) -> Option<Diagnostic> {
    if fault.found != Some(Tok::End) || second(inp) != Some(Tok::Name) {
        return None;
    }
    let here = inp.save();
    inp.skip();
    let (span, letters) = (next_span(inp), next_letters(inp));
    inp.rewind(here);
    let word = nearest(letters, fault.want.words.iter().copied())?;
    if is_sentence_word(letters) {
        return None;
    }
    inp.state().told_above = Some(span);
    let message = format!("Here should be `{word}`, not `{letters}`.");
    let told = Diagnostic::error(Code::SentenceBroken, span, message);
    Some(told.at(format!("did you mean `{word}`?")).write(word))
}

/// The message of a fault inside the hole of a text.
pub(super) fn hole(inp: &mut In, fault: &Fault) -> Option<Diagnostic> {
    if fault.told {
        return None;
    }
    let mut message = sentence_message(inp, fault);
    if message.code == Code::SentenceBroken {
        message.code = Code::TextHoleBroken;
        message.help = Some("Between the braces of a text stands a name or a phrase, as in \"{dart}\"; write `{{` for a brace.".into());
    }
    Some(message)
}

fn sentence_message(inp: &mut In, fault: &Fault) -> Diagnostic {
    let letters = inp.state().slice(fault.span);
    let found = describe(fault.found, letters);
    let (code, message) = what_is_wrong(fault, letters, &found);
    let mut report = Diagnostic::error(code, fault.span, message);
    if let Some(point) = decimal_comma(inp, fault, letters) {
        return point;
    }
    if fault.found == Some(Tok::Name)
        && !another_begins(inp, fault)
        && let Some(word) = nearest(letters, candidates(fault))
    {
        return report.at(format!("did you mean `{word}`?")).write(word);
    }
    if code == Code::NameIsReserved {
        return report.help(format!("Add a word to it, as in `{letters}_edge`."));
    }
    if let Some(hint) = hint(inp, fault, letters) {
        return report.help(hint);
    }
    if let Some(model) = fault.model {
        let sample = model.sample(inp.state().first);
        report = report.help(format!("It is written like this:  {sample}"));
    }
    report
}

/// Whether a sentence word with a name or a text after it comes next.
pub(super) fn begins_another(inp: &mut In) -> bool {
    inp.peek() == Some(Tok::Name)
        && second(inp).is_some_and(|tok| tok == Tok::Name || tok.begins_text())
        && is_sentence_word(next_letters(inp))
}

fn is_sentence_word(word: &str) -> bool {
    starts::KINDS.contains(&word) || starts::SENTENCES.contains(&word)
}

/// Whether the word a rule stopped at begins another sentence.
fn another_begins(inp: &mut In, fault: &Fault) -> bool {
    is_sentence_word(inp.state().slice(fault.span))
}

/// `0,35` where a comma cannot stand.
fn decimal_comma(inp: &mut In, fault: &Fault, letters: &str) -> Option<Diagnostic> {
    if fault.found != Some(Tok::Figure) {
        return None;
    }
    let (whole, span) = inp.state().figure_before_comma(fault.span)?;
    let message = format!(
        "`{whole},{letters}` has a decimal comma: a comma stands between the items of a list."
    );
    Some(Diagnostic::error(Code::FigureForm, span, message).write(&format!("{whole}.{letters}")))
}

fn what_is_wrong(fault: &Fault, letters: &str, found: &str) -> (Code, String) {
    let want = fault.want.what.trim_end_matches(',');
    // Where a name is given and not only used.
    let name_given = want.contains("name") && fault.model.is_none_or(Model::gives_a_name);
    if name_given && let Some(what) = reserved::what_it_is(letters) {
        return (
            Code::NameIsReserved,
            format!("`{letters}` is {what} and cannot be a name."),
        );
    }
    if want == "the end of the sentence" && fault.found == Some(Tok::Otherwise) {
        return (
            Code::SentenceOutOfPlace,
            "This `otherwise` follows no `if`.".to_string(),
        );
    }
    if want == "the end of the sentence" {
        return (
            Code::SentenceBroken,
            format!("The sentence is complete before {found}."),
        );
    }
    if matches!(fault.found, None | Some(Tok::End)) {
        return (
            Code::SentenceBroken,
            format!(
                "The sentence stops here; {} should follow.",
                fault.want.what
            ),
        );
    }
    let message = format!("Here should be {}, not {found}.", aside(want));
    (Code::SentenceBroken, message)
}

/// `a list, as in \`[a]\`` with its example in brackets, to read on after it.
fn aside(want: &str) -> String {
    match want.split_once(", as in ") {
        Some((what, example)) => format!("{what} (as in {example})"),
        None => want.to_string(),
    }
}

/// The words that may have been meant.
fn candidates(fault: &Fault) -> Vec<&'static str> {
    let mut words = fault.want.words.to_vec();
    if fault.want.what == "the end of the sentence"
        || fault.want == A_VALUE
        || !fault.want.words.is_empty()
    {
        words.extend(reserved::LINKS.iter().chain(reserved::DIRECTIONS));
    }
    words
}

/// What the tokens around the place suggest.
fn hint(inp: &mut In, fault: &Fault, letters: &str) -> Option<String> {
    let complete = fault.want.what == "the end of the sentence";
    match fault.found? {
        Tok::Name if complete && is_sentence_word(letters) => {
            Some(format!("Begin a new line with `{letters}`."))
        }
        Tok::Name | Tok::Dotted if complete => Some(format!(
            "Put a linking word, a sign or a comma before `{letters}`, or begin a new line with it."
        )),
        Tok::Comma if complete => Some(
            "A list follows a head or a linking word, or stands between `[` and `]`.".to_string(),
        ),
        Tok::Otherwise if complete => {
            Some("Write `otherwise` right after the block of its `if`.".to_string())
        }
        Tok::OpenBrace if complete => Some("This sentence takes no block.".to_string()),
        _ if complete => Some("Leave it out, or begin a new line with it.".to_string()),
        Tok::Equal if inp.peek() == Some(Tok::Equal) => Some("One `=` is enough.".to_string()),
        Tok::Figure | Tok::OddFigure if fault.want.what == "a name" => {
            Some("A name begins with a letter.".to_string())
        }
        _ => None,
    }
}

/// A token in words.
fn describe(found: Option<Tok>, letters: &str) -> String {
    match found {
        None => "the end of the draft".to_string(),
        Some(Tok::End) => "the end of the line".to_string(),
        Some(Tok::Text | Tok::TextHead) => "a text".to_string(),
        Some(Tok::TextMiddle | Tok::TextTail) => "the closing `}`".to_string(),
        Some(Tok::Figure | Tok::OddFigure) => format!("the figure `{letters}`"),
        Some(_) => format!("`{letters}`"),
    }
}

/// A line that begins with no sentence word.
pub(super) fn not_a_sentence(
    found: Option<Tok>,
    letters: &str,
    then: Option<Tok>,
    span: Span,
) -> Option<Diagnostic> {
    let report = |message: String| Diagnostic::error(Code::SentenceBroken, span, message);
    let out_of_place = |message: String| Diagnostic::error(Code::SentenceOutOfPlace, span, message);
    Some(match found? {
        Tok::Damaged => return None,
        Tok::Otherwise => out_of_place("This `otherwise` follows no `if`.".to_string()).help("Write `otherwise` right after the block of its `if`."),
        Tok::Name if starts::PIECE_SENTENCES.contains(&letters) => {
            out_of_place(format!("`{letters}` belongs inside a piece.")).help("Write it between the braces of `piece NAME { … }`.")
        }
        Tok::Name if starts::SEAM_SENTENCES.contains(&letters) => {
            out_of_place(format!("`{letters}` belongs inside a seam.")).help("Write it between the braces of `seam NAME joins … to … { … }`.")
        }
        Tok::Name => {
            let words = starts::KINDS.iter().chain(starts::SENTENCES).copied();
            let report = report(format!("No sentence begins with `{letters}`."));
            let links = reserved::LINKS.iter().chain(reserved::DIRECTIONS).chain(&["else"]);
            match nearest(letters, words.chain(links.copied())) {
                Some(word) => report.at(format!("did you mean `{word}`?")).write(word),
                None if then == Some(Tok::Equal) => report.help(format!(
                    "Say what it is, as in `point {letters} = …`, or write `redraw {letters} = …` if it is drawn already."
                )),
                None => report.help("A sentence begins with what it draws, such as `point`, `line` or `curve`, or with a word such as `step`."),
            }
        }
        found => report(format!("No sentence begins with {}.", describe(Some(found), letters)))
            .help("A sentence begins with what it draws, such as `point`, `line` or `curve`, or with a word such as `step`."),
    })
}

/// A sentence that a piece or a seam does not have; the message is given here.
pub(super) fn not_a_part(inp: &mut In, whole: &str, words: &[&'static str]) -> Fault {
    let (span, found) = (next_span(inp), inp.peek());
    let letters = next_letters(inp);
    inp.skip();
    if found == Some(Tok::Damaged) {
        return Fault::told(span);
    }
    let elsewhere = starts::SENTENCES.contains(&letters) || starts::KINDS.contains(&letters);
    let message = if found == Some(Tok::Name) && elsewhere {
        Diagnostic::error(
            Code::SentenceOutOfPlace,
            span,
            format!("`{letters}` does not belong inside a {whole}."),
        )
        .help(match letters {
            "carry" => "Write it in the block of an `each`.".to_owned(),
            _ => format!("Draw it in a panel, above the {whole}."),
        })
    } else {
        let message = format!(
            "No sentence of a {whole} begins with {}.",
            describe(found, letters)
        );
        let report = Diagnostic::error(Code::SentenceBroken, span, message);
        match nearest(letters, words.iter().copied()) {
            Some(word) => report.at(format!("did you mean `{word}`?")).write(word),
            None => {
                let or = match whole {
                    "seam" => ", or is `POINT meets POINT`",
                    _ => "",
                };
                let words = words.join(", ");
                report.help(format!("A sentence of a {whole} begins with {words}{or}."))
            }
        }
    };
    inp.state().tell(message);
    Fault::told(span)
}

/// `94 cm`
pub(super) fn unit_apart(figure: &str, word: &str, writing: &str, span: Span) -> Diagnostic {
    let message = format!("The unit `{word}` stands apart from its figure.");
    Diagnostic::error(Code::UnitApart, span, message).write(&format!("{figure}{writing}"))
}

/// `edition` below the first line.
pub(super) fn edition_below(span: Span) -> Diagnostic {
    Diagnostic::error(
        Code::SentenceOutOfPlace,
        span,
        "`edition` stands on the first line of a draft, or nowhere.",
    )
    .help("Move it to the top.")
}

/// A phrase where it needs brackets, with the brackets placed.
pub(super) fn needs_brackets(letters: &str, span: Span, what: impl Into<Words>) -> Diagnostic {
    Diagnostic::error(Code::PhraseNeedsBrackets, span, what)
        .write(&format!("({})", one_line(letters)))
}

/// The letters with their line breaks taken out.
fn one_line(letters: &str) -> String {
    letters.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A word before an operand that is nearly a linking word or a direction.
pub(super) fn misspelt_link(word: &Word) -> Option<Diagnostic> {
    let words = reserved::LINKS.iter().chain(reserved::DIRECTIONS).copied();
    let meant = nearest(&word.text, words)?;
    let message = format!("`{}` is no linking word and no direction.", word.text);
    Some(
        Diagnostic::error(Code::SentenceBroken, word.span, message)
            .at(format!("did you mean `{meant}`?"))
            .write(meant),
    )
}
