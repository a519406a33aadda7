//! How wide letters are, without a font: a table of widths that no common sans-serif exceeds by more than a hair, so that
//! a box made from it holds the text whichever font the reader has.
//!
//! The classes lie at or above both the narrow sans-serifs (digits 0.556 em) and the wide ones (digits 0.636 em), from
//! memory of their metrics; letters that are not listed count as a full em, as ideographs are.

use super::style::Hand;

/// Height of capitals, in em: 0.70 to 0.73 in common sans-serifs.
pub(crate) const ASCENT: f64 = 0.76;
/// Depth of tails below the baseline, in em.
pub(crate) const DESCENT: f64 = 0.24;
/// The widest name a label carries, in millimetres at a size of 4.
const LABEL: f64 = 90.0;
/// From one baseline to the next, in em.
pub const LEADING: f64 = 1.3;

/// Width of a text in millimetres at a font size in millimetres.
pub fn width(text: &str, size: f64, bold: bool) -> f64 {
    of_em(text.chars().map(letter).sum(), size, bold)
}

fn of_em(em: f64, size: f64, bold: bool) -> f64 {
    em * size * if bold { 1.1 } else { 1.0 }
}

/// Letters as they may stand in a drawing: without control characters and the marks that turn the writing direction
/// around, with breaks and tabs as spaces.
pub fn printable(text: &str) -> String {
    if text.bytes().all(|letter| (b' '..=b'~').contains(&letter)) {
        return text.to_owned();
    }
    text.chars()
        .filter_map(|c| match c {
            '\n' | '\r' | '\t' => Some(' '),
            '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => None,
            '\u{fffe}' | '\u{ffff}' => None,
            c if c.is_control() => None,
            c => Some(c),
        })
        .collect()
}

/// What a drawing is headed with: the draft's title, or words where it has none.
pub(crate) fn heading(title: &str) -> &str {
    if title.trim().is_empty() {
        "Untitled draft"
    } else {
        title
    }
}

/// The text cut at a width, with three points where something is left out.
pub fn fitted(text: &str, size: f64, bold: bool, most: f64) -> String {
    if width(text, size, bold) <= most {
        return text.to_owned();
    }
    let mut kept = String::new();
    for c in text.chars() {
        kept.push(c);
        if width(&kept, size, bold) + width("…", size, bold) > most {
            kept.pop();
            break;
        }
    }
    format!("{}…", kept.trim_end())
}

/// The text in the first of some hands in which it is no wider than `most`; cut in the last where it is wider in all of them.
pub fn shrunk(text: &str, hands: &[Hand], most: f64) -> (String, Hand) {
    let fits = |hand: &&Hand| width(text, hand.size(), hand.bold()) <= most;
    match (hands.iter().find(fits), hands.last()) {
        (Some(hand), _) => (text.to_owned(), *hand),
        (None, Some(last)) => (fitted(text, last.size(), last.bold(), most), *last),
        (None, None) => (text.to_owned(), Hand::Sheet),
    }
}

/// A name as it is spoken, short enough for a label.
pub fn label(name: &str) -> String {
    fitted(
        &printable(&oaktag_language::voice::letters(name)),
        4.0,
        false,
        LABEL,
    )
}

/// The text in lines no wider than `most`, broken at spaces; a longer word is cut.
pub fn wrapped(text: &str, size: f64, bold: bool, most: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    // Width of the last of them, in em.
    let mut so_far = 0.0;
    for word in text.split_whitespace() {
        let word = fitted(word, size, bold, most);
        let letters = || word.chars().map(letter);
        let with_word = letters().fold(so_far + letter(' '), |em, letter| em + letter);
        match lines.last_mut() {
            Some(line) if of_em(with_word, size, bold) <= most => {
                line.push(' ');
                line.push_str(&word);
                so_far = with_word;
            }
            _ => {
                so_far = letters().sum();
                lines.push(word);
            }
        }
    }
    lines
}

/// Width of a letter in em.
fn letter(c: char) -> f64 {
    match c {
        'i' | 'j' | 'l' | '\'' => 0.30,
        ' ' | '.' | ',' | ':' | ';' | '|' | 'I' => 0.34,
        '/' | '\\' => 0.36,
        'f' | 't' | 'r' | '(' | ')' | '[' | ']' | '-' | '!' => 0.42,
        '"' | '`' => 0.46,
        'J' => 0.50,
        's' | 'c' | 'k' | 'z' | 'x' | 'y' | 'v' | '*' | '°' | '²' | '³' | '_' => 0.60,
        'a'..='z' if c != 'm' && c != 'w' => 0.64,
        '0'..='9' | '?' | '$' | '–' | '·' => 0.64,
        'w' | '+' | '<' | '>' | '=' | '&' | '×' | '~' | '^' | '#' | '±' | '÷' => 0.84,
        'm' | 'M' | 'W' | '%' | '@' | '—' | '…' => 1.02,
        'A'..='Z' => 0.80,
        '¼'..='¾' | 'Æ' | 'æ' | 'Œ' | 'œ' | 'Ŵ' => 0.98,
        'Ж' | 'Ш' | 'Щ' | 'Ю' | 'щ' => 1.1,
        'À'..='Þ' => 0.86,
        'ß'..='ÿ' => 0.66,
        'Ā'..='ſ' | 'Ͱ'..='ԯ' => 0.90,
        _ => 1.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Advance widths in thousandths of an em of the narrow sans-serif that PDF's standard fonts made common, from memory.
    const NARROW: &[(char, u32)] = &[
        (' ', 278),
        ('a', 556),
        ('c', 500),
        ('f', 278),
        ('i', 222),
        ('m', 833),
        ('r', 333),
        ('t', 278),
        ('w', 722),
        ('A', 667),
        ('C', 722),
        ('G', 778),
        ('I', 278),
        ('M', 833),
        ('W', 944),
        ('0', 556),
        ('.', 278),
        ('/', 278),
        ('(', 333),
        ('-', 333),
        ('%', 889),
        ('+', 584),
    ];

    #[test]
    fn no_letter_is_taken_narrower_than_it_is() {
        for (c, thousandths) in NARROW {
            assert!(letter(*c) * 1000.0 >= f64::from(*thousandths), "{c}");
        }
    }

    #[test]
    fn control_and_turning_characters_do_not_reach_the_paper() {
        assert_eq!(printable("a\u{1}b\u{202e}c\nd\u{0}"), "abc d");
        assert_eq!(printable("<b> & \"x\" 😀 שלום"), "<b> & \"x\" 😀 שלום");
    }

    #[test]
    fn long_texts_are_broken_and_cut_within_their_width() {
        for line in wrapped(
            "a rather long sentence with averyveryverylongwordinside it",
            4.0,
            false,
            40.0,
        ) {
            assert!(width(&line, 4.0, false) <= 40.0, "{line}");
        }
        assert!(fitted("shoulder point", 4.0, false, 20.0).ends_with('…'));
    }
}
