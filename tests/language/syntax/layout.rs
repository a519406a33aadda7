//! The canonical layout: one form for all that means the same, a fixed point that keeps meaning, comments and what cannot be read.

use crate::syntax::support::chance::Chance;
use crate::syntax::support::generate::Generator;
use crate::syntax::support::relaid::{comments, rebracketed, relaid};
use crate::syntax::support::{all_drafts, grammar};
use crate::syntax::{read, sound};
use expect_test::expect;
use oaktag_language::syntax::{WIDEST, meaning, tidy};

/// Letters that are neither spaces nor round brackets nor `by`: what no layout changes.
fn letters(text: &str) -> String {
    let words = text
        .split_whitespace()
        .map(|word| word.replace(['(', ')'], ""));
    words.filter(|word| word != "by").collect()
}

/// Tidies any text and checks what must hold, sound or not.
fn laid_out(text: &str) -> String {
    let once = tidy(text).text;
    let twice = tidy(&once).text;
    assert_eq!(twice, once, "a fixed point of:\n{text}");
    assert_eq!(
        letters(text),
        letters(&once),
        "nothing is lost of:\n{text}\nas\n{once}"
    );
    once
}

/// Tidies a sound text and checks what must hold.
fn tidied(text: &str) -> String {
    let once = laid_out(text);
    assert_eq!(
        meaning(&sound(text).tree),
        meaning(&sound(&once).tree),
        "the meaning of:\n{text}\nas\n{once}"
    );
    assert_eq!(comments(text), comments(&once), "of:\n{text}\nas\n{once}");
    for line in once.lines() {
        assert_eq!(line, line.trim_end());
    }
    assert!(!once.contains("\n\n\n") && !once.starts_with('\n') && !once.ends_with("\n\n"));
    once
}

/// Lines longer than allowed that could be shorter: with more on them than one text or name, the word before it and what closes
/// behind it.
fn too_long(text: &str) -> Vec<&str> {
    let code = |line: &str| {
        let mut quoted = false;
        let at = line.find(|c| {
            quoted ^= c == '"';
            c == '#' && !quoted
        });
        line[..at.unwrap_or(line.len())].trim_end().to_owned()
    };
    let longest = |line: &str| {
        let texts = line
            .split('"')
            .skip(1)
            .step_by(2)
            .map(|text| text.chars().count() + 2);
        let names = line.split(' ').map(|word| word.chars().count());
        texts.chain(names).max().unwrap_or(0)
    };
    let lines = text
        .lines()
        .filter(|line| code(line).chars().count() > WIDEST);
    lines.filter(|line| longest(&code(line)) < 40).collect()
}

#[test]
fn generated_drafts_keep_their_meaning() {
    let grammar = grammar();
    let generator = Generator::new(&grammar);
    for seed in 0..2000 {
        let text = generator.wild(seed, 4);
        let once = tidied(&text);
        let mut chance = Chance::new(seed);
        let other = relaid(&text, &mut chance);
        assert_eq!(
            laid_out(&other),
            once,
            "seed {seed}: two layouts of\n{text}\nthe other\n{other}"
        );
    }
}

#[test]
fn the_drafts_are_tidy() {
    for (name, text) in all_drafts() {
        assert_eq!(tidied(&text), text, "{name}");
        assert_eq!(too_long(&text), [""; 0], "{name}");
    }
}

#[test]
fn whatever_the_layout_it_comes_to_one_text() {
    for (n, (name, text)) in all_drafts().into_iter().enumerate() {
        for turn in 0..6 {
            let mut chance = Chance::new(1000 * turn + n as u64);
            let other = if turn % 2 == 0 {
                text.clone()
            } else {
                rebracketed(&text, &mut chance)
            };
            let other = relaid(&other, &mut chance);
            assert_eq!(tidied(&other), text, "{name}, turn {turn}:\n{other}");
        }
    }
}

/// Every draft of the tests, the wrong ones too, and every draft damaged by chance: what can be read is laid out, the rest stays.
#[test]
fn a_sentence_that_cannot_be_read_stays_as_it_is() {
    let (mut sound, mut torn, mut mixed) = (0, 0, 0);
    for (n, (name, text)) in crate::syntax::support::wrong_drafts()
        .into_iter()
        .enumerate()
    {
        let mut chance = Chance::new(n as u64);
        for turn in 0..4 {
            let mut text = text.clone();
            if turn > 0 {
                damage(&mut text, &mut chance);
            }
            let told = tidy(&text);
            let once = laid_out(&text);
            let kept = comments(&text).into_iter().map(|(letters, _)| letters);
            let after = comments(&once).into_iter().map(|(letters, _)| letters);
            assert!(kept.eq(after), "{name}, turn {turn}:\n{text}\nas\n{once}");
            assert_eq!(
                read(&text).diagnostics.len(),
                read(&once).diagnostics.len(),
                "{name}, turn {turn}:\n{text}\nas\n{once}"
            );
            // The line on which something is wrong is there as it was.
            for wrong in &told.diagnostics {
                let at = wrong.place.start as usize;
                let from = text[..at].rfind('\n').map_or(0, |at| at + 1);
                let line = text[from..].lines().next().unwrap_or("").trim_end();
                assert!(
                    once.contains(line),
                    "{name}, turn {turn}: {line}\n{text}\nas\n{once}"
                );
            }
            sound += usize::from(told.diagnostics.is_empty());
            torn += usize::from(!told.diagnostics.is_empty());
            mixed += usize::from(!told.diagnostics.is_empty() && once != text);
        }
    }
    assert!(
        sound > 200 && torn > 200 && mixed > 20,
        "{sound} {torn} {mixed}"
    );
}

fn damage(text: &mut String, chance: &mut Chance) {
    let mut letters: Vec<char> = text.chars().collect();
    let at = chance.below(letters.len());
    match chance.below(4) {
        0 => drop(letters.drain(at..(at + 1 + chance.below(6)).min(letters.len()))),
        1 => letters.insert(
            at,
            [' ', '(', ')', '=', ',', '"', '#', '€', '[', '\n'][chance.below(10)],
        ),
        2 => letters.insert(at, '\n'),
        _ => letters.splice(at..at, "   ".chars()).for_each(drop),
    }
    *text = letters.into_iter().collect();
}

#[test]
fn carriage_returns_tabs_and_no_last_newline() {
    assert_eq!(
        tidied("draft\t\"a\"\r\n\r\n\r\nunit   cm"),
        "draft \"a\"\n\nunit cm\n"
    );
    assert_eq!(tidied(""), "");
    assert_eq!(tidied("\n# only a remark"), "# only a remark\n");
}

#[test]
fn what_is_wrong_is_told_and_stays_and_the_rest_is_laid_out() {
    let text = "unit   cm\npoint a  = = b\n  point c=origin\npanel d {\n     point  e = (f\n  point g=a}\nstray €\npoint h=c # i\n";
    let told = tidy(text);
    assert_eq!(told.diagnostics.len(), 4);
    expect![[r#"
        unit cm
        point a  = = b
        point c = origin
        panel d {
             point  e = (f
          point g = a
        }
        stray €
        point h = c # i
    "#]]
    .assert_eq(&told.text);
    // Nobody knows where this panel ends.
    let open = "panel a {\n point b=origin\npoint c=origin\n";
    assert_eq!(tidy(open).text, open);
}

#[test]
fn the_layout_of_every_sort_of_line() {
    let text = include_str!("layout.draft");
    expect_test::expect_file!["layout.txt"].assert_eq(&tidied(text));
}
