//! A draft at hand through chains of chance edits: after each it says, draws and teaches, byte for byte, what a session does
//! that was opened with that text and those values. The drafts are the examples and drafts that mean something, made by chance.
//!
//! `OAKTAG_EDITS=10000 cargo test --test studio session_edits -- --nocapture` makes so many; `OAKTAG_SEED=17` the one chain.

use crate::chance::Chance;
use crate::kinded;
use oaktag_language::check;
use oaktag_language::library;
use oaktag_language::pattern::Issue;
use oaktag_language::report::{json, terminal};
use oaktag_language::syntax::project::{Project, ReadFault, Reader};
use oaktag_language::voice::LengthUnit;
use oaktag_studio::lesson::Options;
use oaktag_studio::session::{BodyOf, Change, Form, Order, Part, Session};
use std::fs;

/// Edits of one chain.
const CHAIN: usize = 12;

struct Examples;

impl Reader for Examples {
    fn read(&self, path: &str) -> Result<String, ReadFault> {
        let full = format!("{}/examples/{path}", env!("CARGO_MANIFEST_DIR"));
        fs::read_to_string(full).map_err(|error| ReadFault::Unreadable(error.to_string()))
    }
}

/// What is laid on the draft beside its text, each as it was laid last.
#[derive(Default, Clone)]
struct Laid {
    values: Vec<String>,
    body: Option<BodyOf>,
    unit: Option<LengthUnit>,
}

fn fresh(text: &str, laid: &Laid) -> Session {
    let mut session = Session::open("a.draft", text, Box::new(Examples), library::MODULES);
    let values = laid.values.iter().cloned().map(Change::Value);
    let unit = laid.unit.map(Change::Unit);
    let body = laid.body.clone().map(Change::Body);
    for change in values.chain(unit).chain(body) {
        // What cannot be laid on it was laid on another text.
        let _ = session.change(change);
    }
    session
}

/// Everything a person gets to see.
fn state(session: &Session, taught: bool) -> Vec<String> {
    let (sources, outcome) = (session.sources(), session.outcome());
    let order = Order {
        unfinished: false,
        part: Part::default(),
        issue: Issue::default(),
        form: Form::Json,
    };
    let lesson = taught.then(|| session.lesson(&session.half(), &Options::default()));
    let letters = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    let mut seen = vec![
        terminal::render(sources, &outcome.diagnostics, session.unit(), false),
        json::all_to_json(sources, &outcome.diagnostics, session.unit()).to_string(),
        format!(
            "{:?}",
            session.write(&order).map(|written| letters(written.bytes))
        ),
        outcome.record.sentences.to_string(),
    ];
    seen.extend(lesson.map(|lesson| format!("{:?}", lesson.map(|written| letters(written.bytes)))));
    seen
}

/// A place in a text where a letter begins.
fn place(text: &str, chance: &mut Chance) -> usize {
    let mut at = chance.below(text.len() + 1);
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// The bytes of a run of such letters, chosen by chance.
fn run(text: &str, chance: &mut Chance, of: fn(u8) -> bool) -> Option<std::ops::Range<usize>> {
    let bytes = text.as_bytes();
    let starts = (0..bytes.len()).filter(|at| of(bytes[*at]) && (*at == 0 || !of(bytes[at - 1])));
    let starts: Vec<usize> = starts.collect();
    let start = *starts.get(chance.below(starts.len()))?;
    let length = bytes[start..].iter().take_while(|byte| of(**byte)).count();
    Some(start..start + length)
}

/// A figure that is no part of a name.
fn written_figure(text: &str, chance: &mut Chance) -> Option<std::ops::Range<usize>> {
    let is_digit = |byte: u8| byte.is_ascii_digit() || byte == b'.';
    let before = |at: usize| text[..at].ends_with([' ', '(', '[', '{', '/']);
    let mut found = (0..20).filter_map(|_| run(text, chance, is_digit));
    found.find(|range| before(range.start))
}

fn figure(chance: &mut Chance) -> String {
    let whole = chance.below(60);
    match chance.below(9) {
        0 => format!("{}", chance.below(2000)),
        1 => format!("{whole}.{}", chance.below(100)),
        2 => format!("{whole}."),
        3 => "0".into(),
        4 => format!("1/{}", chance.below(9)),
        _ => whole.to_string(),
    }
}

/// A figure a little longer or shorter.
fn nudged(was: &str, chance: &mut Chance) -> String {
    let value = was.parse::<f64>().unwrap_or(1.0) + chance.within(-0.5, 0.5);
    format!("{:.*}", chance.below(3), value.max(0.0))
}

fn put(text: &str, range: std::ops::Range<usize>, letters: &str) -> String {
    let mut text = text.to_owned();
    text.replace_range(range, letters);
    text
}

fn edited(text: &str, original: &str, chance: &mut Chance) -> String {
    const LETTERS: [&str; 22] = [
        "(",
        ")",
        "[",
        "]",
        "{",
        "}",
        "# ",
        "// ",
        "\"",
        "\n",
        " ",
        ",",
        "x",
        "10cm",
        "end of ",
        " + 1mm",
        "note \"a {1cm} b\"\n",
        "é",
        "check that 1cm < 2cm\n",
        "\u{feff}",
        "\r\n",
        ".5",
    ];
    let is_word = |byte: u8| byte.is_ascii_alphanumeric() || byte == b'_';
    let lines: Vec<&str> = text.split_inclusive('\n').collect();
    let line = chance.below(lines.len());
    let moved =
        |kept: Vec<&str>, at: usize| [&kept[..at], &[lines[line]], &kept[at..]].concat().concat();
    let others = || {
        let all = lines.iter().enumerate();
        all.filter(|(at, _)| *at != line)
            .map(|(_, one)| *one)
            .collect::<Vec<_>>()
    };
    match chance.below(20) {
        0..13 => match written_figure(text, chance) {
            Some(range) if chance.below(4) > 0 => {
                let to = nudged(&text[range.clone()], chance);
                put(text, range, &to)
            }
            Some(range) => put(text, range, &figure(chance)),
            None => text.to_owned(),
        },
        13 => match (run(text, chance, is_word), run(text, chance, is_word)) {
            (Some(from), Some(to)) => put(text, to, &text[from]),
            _ => text.to_owned(),
        },
        14 if !lines.is_empty() => others().concat(),
        15 if !lines.is_empty() => {
            let kept = others();
            let at = chance.below(kept.len() + 1);
            moved(kept, at)
        }
        16 if !lines.is_empty() => moved(lines.clone(), line),
        17 => {
            let at = place(text, chance);
            put(text, at..at, LETTERS[chance.below(LETTERS.len())])
        }
        18 => {
            let (from, to) = (place(text, chance), place(text, chance));
            put(
                text,
                from.min(to)..from.max(to).min(from.min(to) + 3).max(from.min(to)),
                "",
            )
        }
        _ => original.to_owned(),
    }
}

fn cut_at_letters(text: String, before: &str) -> String {
    if text.len() > 60_000 {
        before.to_owned()
    } else {
        text
    }
}

/// Something else than the text changed.
fn lay(text: &str, laid: &mut Laid, chance: &mut Chance) -> Option<Change> {
    let named: Vec<&str> = text
        .lines()
        .filter_map(|line| line.strip_prefix("choose ").or(line.strip_prefix("body ")))
        .filter_map(|rest| rest.split_whitespace().next())
        .collect();
    let name = named.get(chance.below(named.len().max(1)));
    match chance.below(4) {
        0 => {
            let typed = format!("{}={}cm", name?, chance.below(40));
            laid.values.push(typed.clone());
            Some(Change::Value(typed))
        }
        1 => {
            let body = BodyOf {
                table: "crew.csv".into(),
                bytes: format!("name,{}\nmate,{}\n", name?, chance.below(120)).into_bytes(),
                name: "mate".into(),
            };
            laid.body = Some(body.clone());
            Some(Change::Body(body))
        }
        2 => {
            laid.body = None;
            Some(Change::NoBody)
        }
        _ => {
            let units = [
                LengthUnit::Inch,
                LengthUnit::Centimetre,
                LengthUnit::Millimetre,
            ];
            let unit = *chance.one_of(&units);
            laid.unit = Some(unit);
            Some(Change::Unit(unit))
        }
    }
}

fn examples() -> Vec<String> {
    let folder = fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/examples")).unwrap();
    let mut paths: Vec<_> = folder.map(|entry| entry.unwrap().path()).collect();
    paths.retain(|path| path.extension().is_some_and(|ending| ending == "draft"));
    paths.sort();
    paths
        .iter()
        .map(|path| fs::read_to_string(path).unwrap())
        .collect()
}

fn load(text: &str) -> Project {
    Project::load("a.draft", text, &Examples, &library::module)
}

/// Whether a text becomes another by one figure that needs neither reading nor checking.
fn is_refigured(text: &str, next: &str) -> bool {
    let project = load(text);
    let figure = project.refigured(next);
    figure.is_some_and(|figure| !check::check(&project).looked_at(figure.span))
}

/// A chain of edits: how many there were, and how many were one figure.
fn chain(seed: u64, original: &str, taught_once_in: usize) -> (usize, usize) {
    let mut chance = Chance::new(seed);
    let mut laid = Laid::default();
    let mut session = fresh(original, &laid);
    let mut text = original.to_owned();
    let mut readable = text.clone();
    session.outcome();
    let (mut made, mut figures) = (0, 0);
    for _ in 0..CHAIN {
        if chance.once_in(8) {
            let before = laid.clone();
            if let Some(change) = lay(&text, &mut laid, &mut chance)
                && session.change(change).is_err()
            {
                laid = before;
            }
        } else {
            let is_readable = load(&text).diagnostics.is_empty();
            if is_readable {
                readable.clone_from(&text);
            }
            // A slip is most often mended before much else is changed.
            let next = match is_readable || chance.once_in(3) {
                true => edited(&text, original, &mut chance),
                false => readable.clone(),
            };
            let next = cut_at_letters(next, &text);
            if session.change(Change::Text(next.clone())).is_ok() {
                figures += usize::from(is_refigured(&text, &next));
                text = next;
            }
        }
        made += 1;
        let taught = chance.once_in(taught_once_in);
        let (kept, anew) = (state(&session, taught), state(&fresh(&text, &laid), taught));
        for (kept, anew) in kept.iter().zip(&anew) {
            assert_eq!(
                kept, anew,
                "OAKTAG_SEED={seed}, after {made} edits, of\n{text}"
            );
        }
        assert_eq!(session.text(), text);
    }
    (made, figures)
}

#[test]
fn any_chain_of_edits_says_what_a_fresh_run_says() {
    let asked = |name: &str| {
        std::env::var(name)
            .ok()
            .and_then(|asked| asked.parse::<usize>().ok())
    };
    let examples = examples();
    let one = |seed: u64| {
        let at = usize::try_from(seed).unwrap() % (2 * examples.len());
        match examples.get(at) {
            Some(example) => chain(seed, example, 6),
            None => {
                let text = kinded::draft(&mut Chance::new(seed));
                chain(seed, &text, 3)
            }
        }
    };
    if let Some(seed) = asked("OAKTAG_SEED") {
        one(seed as u64);
        return;
    }
    let edits = asked("OAKTAG_EDITS").unwrap_or(500);
    let (mut made, mut figures, mut seed) = (0, 0, asked("OAKTAG_FROM").unwrap_or(0) as u64);
    while made < edits {
        let chain = one(seed);
        made += chain.0;
        figures += chain.1;
        seed += 1;
    }
    println!("{made} edits, {figures} of them one figure, up to seed {seed}");
    assert!(
        figures * 8 > made,
        "{figures} of {made}: the chains do not try what they are for"
    );
}
