//! Chance edits of a draft, as two people make them: a figure, a default, a sentence more or less, one moved, another name, a
//! comment, other words. Sentences are found on the lines of the tidy text, by nothing that the merge has.

use super::chance::Chance;
use oaktag_language::report::FileId;
use oaktag_language::syntax::messages::Messages;
use oaktag_language::syntax::prepare;
use oaktag_language::syntax::tokens::Tok;
use std::collections::BTreeMap;

/// Lines that lie so near to a place are near it.
const NEAR: usize = 4;

/// The words of every sentence, and of what stands before and behind blocks, and every comment; each with its count.
pub fn sentences(text: &str) -> BTreeMap<String, usize> {
    let (tokens, trivia) = prepare(text, FileId(0), &mut Messages::default());
    let mut found: BTreeMap<String, usize> = BTreeMap::new();
    let mut words: Vec<&str> = Vec::new();
    for (tok, span) in tokens {
        if matches!(tok, Tok::End | Tok::OpenBrace | Tok::CloseBrace) {
            if !words.is_empty() {
                *found.entry(words.join(" ")).or_default() += 1;
            }
            words.clear();
        } else {
            words.push(&text[span.range()]);
        }
    }
    if !words.is_empty() {
        *found.entry(words.join(" ")).or_default() += 1;
    }
    for comment in trivia.comments {
        *found
            .entry(text[comment.span.range()].to_owned())
            .or_default() += 1;
    }
    found
}

/// Sentences that stand on one line and whose line before ends one, by line.
fn plain_lines(lines: &[&str]) -> Vec<usize> {
    let begins = [
        "point ", "line ", "curve ", "length ", "angle ", "number ", "choose ", "body ", "redraw ",
        "note ", "allow ", "finish ", "mark ", "check ",
    ];
    let indent = |line: &str| line.len() - line.trim_start().len();
    let is_plain = |at: &usize| {
        let line = lines[*at];
        let next = lines.get(at + 1).copied().unwrap_or("");
        let goes_on = !next.trim().is_empty() && indent(next) > indent(line);
        begins
            .iter()
            .any(|word| line.trim_start().starts_with(word))
            && !line.contains('{')
            && !goes_on
            && !line.trim_end().ends_with([',', '='])
    };
    (0..lines.len()).filter(is_plain).collect()
}

/// One edit, near a place of the text, as a share of it, or anywhere; none where this sort finds nothing to do.
pub fn edit(text: &str, chance: &mut Chance, mark: &str, near: Option<f64>) -> Option<String> {
    let lines: Vec<&str> = text.lines().collect();
    let mut plain = plain_lines(&lines);
    let all = plain.clone();
    if let Some(near) = near {
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a line of a draft"
        )]
        let middle = (near * lines.len() as f64) as usize;
        plain.retain(|line| line.abs_diff(middle) <= NEAR);
    }
    let at = *plain.get(chance.below(plain.len()))?;
    let joined = |lines: Vec<String>| format!("{}\n", lines.join("\n"));
    let owned = || {
        lines
            .iter()
            .map(|line| (*line).to_owned())
            .collect::<Vec<String>>()
    };
    let indent: String = lines[at].chars().take_while(|c| *c == ' ').collect();
    match chance.below(12) {
        // A figure of a sentence.
        0..=4 => {
            let figures = regex::Regex::new(r"\b\d+(\.\d+)?(cm|mm)\b").unwrap();
            let of_line = |found: &regex::Match<'_>| text[..found.start()].matches('\n').count();
            let found: Vec<_> = figures.find_iter(text).collect();
            let found: Vec<_> = match near {
                Some(_) => found.into_iter().filter(|one| of_line(one) == at).collect(),
                None => found,
            };
            let found = found.get(chance.below(found.len()))?;
            let (figure, unit) = found.as_str().split_at(found.len() - 2);
            let by = [1.02, 0.98, 1.05, 1.01][chance.below(4)];
            let new = (figure.parse::<f64>().ok()? * by * 100.0).round() / 100.0;
            Some(format!(
                "{}{new}{unit}{}",
                &text[..found.start()],
                &text[found.end()..]
            ))
        }
        // A sentence more.
        5 | 6 => {
            let names = regex::Regex::new(r"^\s*(?:point|line|curve|length) (\w+) = ").unwrap();
            let mut all = owned();
            let word = lines[at].trim_start();
            let more = match names.captures(lines[at]).and_then(|found| found.get(1)) {
                Some(name) if word.starts_with("length") => {
                    format!("{indent}length {mark} = {} * 2", name.as_str())
                }
                Some(name) if word.starts_with("point") => {
                    format!("{indent}point {mark} = {} right 1cm", name.as_str())
                }
                Some(name) => format!("{indent}length {mark} = length of {}", name.as_str()),
                None if word.starts_with("allow ") => return None,
                None if word.starts_with("finish ") || word.starts_with("mark ") => return None,
                None if word.starts_with("note ") => format!("{indent}note \"{mark}\""),
                None => format!("{indent}length {mark} = 3cm"),
            };
            all.insert(at + 1, more);
            Some(joined(all))
        }
        // A sentence less.
        7 => {
            let mut all = owned();
            all.remove(at);
            Some(joined(all))
        }
        // A sentence moved over its neighbour or two.
        8 => {
            let by = 1 + chance.below(2);
            let to = at + by;
            if !(at..=to).all(|line| all.contains(&line)) {
                return None;
            }
            let mut all = owned();
            let line = all.remove(at);
            all.insert(to, line);
            Some(joined(all))
        }
        // Another name.
        9 => {
            let names = regex::Regex::new(r"(?m)^\s*(?:point|line|curve|length) (\w+) =").unwrap();
            let all: Vec<&str> = names
                .captures_iter(text)
                .filter_map(|found| Some(found.get(1)?.as_str()))
                .collect();
            let old = *all.get(chance.below(all.len()))?;
            let word = regex::Regex::new(&format!(r"\b{old}\b")).unwrap();
            Some(word.replace_all(text, format!("{old}_{mark}")).into_owned())
        }
        // A comment above.
        10 => {
            let mut all = owned();
            all.insert(at, format!("{indent}# {mark}"));
            Some(joined(all))
        }
        // Drawn anew at once.
        _ => {
            let names = regex::Regex::new(r"^\s*point (\w+) = ").unwrap();
            let found = names.captures(lines[at])?;
            let name = found.get(1)?.as_str();
            let mut all = owned();
            all.insert(at + 1, format!("{indent}redraw {name} = {name} up 1mm"));
            Some(joined(all))
        }
    }
}
