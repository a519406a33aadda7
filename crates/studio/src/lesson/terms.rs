//! Words of the trade and what they mean, in this project's own words; those of them that a lesson uses stand at its end.

use super::{Lesson, Step};
use std::sync::LazyLock;

/// A word of the trade.
struct Term {
    term: String,
    also: Vec<String>,
    meaning: String,
}

/// Term, other words for it with semicolons between, meaning: what a garment's parts are called is data, not program.
static TERMS: LazyLock<Vec<Term>> =
    LazyLock::new(|| read(include_str!("../../../../stdlib/glossary.csv")));

fn read(table: &str) -> Vec<Term> {
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let rows = reader.records().filter_map(Result::ok);
    let terms = rows.filter_map(|row| {
        let also = row
            .get(1)?
            .split(';')
            .map(str::trim)
            .filter(|other| !other.is_empty());
        Some(Term {
            term: row.get(0)?.to_owned(),
            also: also.map(str::to_owned).collect(),
            meaning: row.get(2)?.to_owned(),
        })
    });
    terms.collect()
}

/// The terms that stand in a lesson's words, in alphabetical order.
pub(super) fn used(lesson: &Lesson) -> Vec<(&'static str, &'static str)> {
    let mut text = String::new();
    for step in &lesson.steps {
        gather(step, &mut text);
    }
    for work in &lesson.pieces {
        text.push_str(&format!(" {} {}", work.title, work.does.join(" ")));
    }
    for (_, how) in &lesson.seams {
        text.push_str(&format!(" {}", how.join(" ")));
    }
    text.push_str(&format!(" {}", lesson.order.join(" ")));
    for figure in lesson.body.iter().chain(&lesson.choices) {
        text.push_str(&format!(" {} {}", figure.name, figure.text));
    }
    let text = format!(" {} ", words(&text));
    let has = |term: &str| {
        text.contains(&format!(" {} ", words(term)))
            || text.contains(&format!(" {}s ", words(term)))
    };
    let used = TERMS
        .iter()
        .filter(|one| has(&one.term) || one.also.iter().any(|other| has(other)));
    used.map(|one| (one.term.as_str(), one.meaning.as_str()))
        .collect()
}

fn gather(step: &Step, text: &mut String) {
    let said = [&step.does, &step.notes, &step.whys, &step.terms];
    for words in said.into_iter().flatten() {
        text.push(' ');
        text.push_str(words);
    }
    text.push_str(&format!(" {} {}", step.title, step.panel));
    for slip in &step.slips {
        text.push_str(&format!(" {}", slip.text));
    }
    step.inside.iter().for_each(|inside| gather(inside, text));
}

/// Small letters, one space between words, no signs.
fn words(text: &str) -> String {
    let plain: String = text
        .to_lowercase()
        .chars()
        .map(|c| if c.is_alphanumeric() { c } else { ' ' })
        .collect();
    plain.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::TERMS;

    #[test]
    fn terms_stand_in_alphabetical_order_and_none_twice() {
        assert!(TERMS.len() > 50, "only {} rows could be read", TERMS.len());
        let lower: Vec<String> = TERMS.iter().map(|one| one.term.to_lowercase()).collect();
        assert!(lower.windows(2).all(|pair| pair[0] < pair[1]), "{lower:?}");
        assert!(TERMS.iter().all(|one| one.meaning.ends_with('.')));
    }
}
