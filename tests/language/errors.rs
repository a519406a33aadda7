//! What is said of mistakes: each draft in `errors` holds one, its name says which, and the messages stand beside it as a
//! person reads them, without colour. After a change of wording `UPDATE_EXPECT=1 cargo test --test language errors::` writes them
//! anew, and somebody reads them as a cutter would. Where a message offers a sentence or a clause, a remark `# cure: …` in the
//! draft says where it goes, and it makes the message go.

#[path = "../commands/mod.rs"]
mod commands;
use crate::drawing;

use drawing::Run;
use oaktag_language::report::{Code, Diagnostic, Offer, Span};
use oaktag_language::syntax::project::Project;
use oaktag_language::voice::LengthUnit::Millimetre as MM;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

const TWENTY: &str = "twenty-mistakes-on-twenty-lines";

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/errors")
}

/// Every draft of the folder by name, with its text.
fn drafts() -> Vec<(String, String)> {
    let mut found: Vec<_> = std::fs::read_dir(folder())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "draft"))
        .map(|path| {
            let name = path.file_stem().unwrap().to_string_lossy().into_owned();
            (name, std::fs::read_to_string(&path).unwrap())
        })
        .collect();
    found.sort();
    assert!(found.len() > 130, "{} drafts", found.len());
    found
}

/// The draft with what its first comment asks for: `# run with --set NAME=VALUE`, `# run for the body NAME with
/// NAME=VALUE`.
fn run(name: &str, text: &str) -> Run {
    let mut run = Run::of(text)
        .called(&format!("{name}.draft"))
        .within(folder());
    for line in text.lines() {
        if let Some(setting) = line.strip_prefix("# run with --set ") {
            run = run.set(setting);
        } else if let Some(body) = line.strip_prefix("# run for the body ") {
            let (name, measures) = body.split_once(" with ").unwrap();
            run = run.body(name, &measures.split(", ").collect::<Vec<_>>());
        }
    }
    run
}

#[test]
fn each_mistake_is_answered_as_it_stands_beside_it() {
    for (name, text) in drafts() {
        let shown = format!("{text}{}\n{}", "─".repeat(60), run(&name, &text).shown());
        expect_test::expect_file![folder().join(format!("{name}.txt"))].assert_eq(&shown);
    }
}

#[test]
fn each_code_has_a_draft_that_gives_it() {
    let given: BTreeSet<Code> = drafts()
        .iter()
        .filter(|(name, _)| name != TWENTY)
        .flat_map(|(name, text)| run(name, text).told())
        .map(|message| message.code)
        .collect();
    let missing: Vec<_> = Code::ALL
        .iter()
        .filter(|code| !given.contains(code))
        // A table of bodies stands beside a draft: tests/language/tables.rs.
        .filter(|code| **code != Code::BodyTable)
        .collect();
    assert!(missing.is_empty(), "{missing:?}");
}

#[test]
fn one_slip_gets_one_message() {
    for (name, text) in drafts() {
        if name != TWENTY {
            let told = run(&name, &text).told();
            assert_eq!(told.len(), 1, "{name}:\n{}", run(&name, &text).shown());
        }
    }
}

/// What a draft's remarks `# cure: OLD => NEW` say: without them the draft, and each cure as what it replaces and what comes
/// there, with the words that the message's help offers between `<` and `>`.
fn cures(text: &str) -> (String, Vec<(String, String)>) {
    let (remarks, lines): (Vec<&str>, Vec<&str>) = text
        .split_inclusive('\n')
        .partition(|line| line.starts_with("# cure: "));
    let cure = |remark: &&str| {
        let said = remark["# cure: ".len()..].trim_end_matches('\n');
        let said = said.replace("\\n", "\n");
        let (old, new) = said.split_once(" => ").unwrap();
        (old.to_owned(), new.to_owned())
    };
    (lines.concat(), remarks.iter().map(cure).collect())
}

#[test]
fn what_a_message_offers_makes_it_go() {
    let mut offers = 0;
    for (name, text) in drafts() {
        let (draft, cures) = cures(&text);
        for (old, new) in cures {
            assert!(draft.contains(&old), "{name}: {old}");
            if let Some((_, rest)) = new.split_once('<') {
                let offered = rest.split_once('>').unwrap().0.trim();
                let (_, outcome) = run(&name, &draft).drawn();
                let help = outcome.diagnostics.iter().flat_map(|message| &message.help);
                let mut help = help.map(|words| words.in_unit(outcome.program.unit));
                assert!(help.any(|help| help.contains(offered)), "{name}: {offered}");
                offers += 1;
            }
            let mended = run(
                &name,
                &draft.replacen(&old, &new.replace(['<', '>'], ""), 1),
            );
            assert_eq!(mended.told().len(), 0, "{name}:\n{}", mended.shown());
        }
    }
    assert!(offers >= 20, "{offers} offers");
}

/// The draft with one of the offers of a message in place.
fn with_offer(project: &Project, text: &str, offer: &Offer<Span>) -> Option<String> {
    let mut mended = text.to_owned();
    let place = project.sources.bytes(offer.place);
    (offer.place.file.0 == 0 && text.get(place.clone()).is_some()).then(|| {
        mended.replace_range(place, &offer.text);
        mended
    })
}

/// Each of several ways to mend a slip mends it: none gives a draft that cannot be read, and the message is not told again.
#[test]
fn whatever_is_offered_reads_and_makes_its_message_go() {
    let (mut offers, mut wrong) = (0, String::new());
    for (name, text) in drafts() {
        let before = run(&name, &text);
        let (project, outcome) = before.drawn();
        let unread =
            |told: &[Diagnostic]| told.iter().filter(|one| is_of_reading(one.code)).count();
        for message in &outcome.diagnostics {
            for offer in &message.offers {
                let Some(mended) = with_offer(&project, &text, offer) else {
                    continue;
                };
                offers += 1;
                let told = run(&name, &mended).told();
                let again = told.iter().any(|one| {
                    one.code == message.code
                        && one.message == message.message
                        && one.place == message.place
                });
                if again || unread(&told) > unread(&outcome.diagnostics) {
                    wrong += &format!(
                        "{name}: {:?}\n{}\n",
                        offer.text,
                        run(&name, &mended).shown()
                    );
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
    assert!(offers >= 60, "{offers} offers");
}

/// Words that help one to think, and stand in a clause that only the writer knows.
const WORDS_ALONE: &[&str] = &[
    "each",
    "try",
    "until",
    "between",
    "over",
    "otherwise",
    "if",
    "redraw",
    "to",
    "for",
    "{{",
];

/// What a help says to write: between backquotes, with no place in it to be filled in (`P`, `EDGE`, `…`) and not by way of an
/// example.
fn shown_to_be_written(help: &str) -> Vec<&str> {
    let is_place = |word: &str| {
        let word = word.trim_matches(|c: char| !c.is_alphanumeric());
        !word.is_empty() && word.chars().all(|c| c.is_uppercase())
    };
    let has_places = |letters: &str| letters.contains('…') || letters.split(' ').any(is_place);
    let (mut shown, mut said) = (Vec::new(), String::new());
    for pair in help.split('`').collect::<Vec<_>>().chunks_exact(2) {
        said += pair[0];
        let clause = said.rsplit(['.', ';', '?']).next().unwrap();
        let is_meant = ["rite ", "mean ", "round: "]
            .iter()
            .any(|word| clause.contains(word));
        let is_example = ["as in ", "such as "]
            .iter()
            .any(|word| clause.contains(word));
        if is_meant && !is_example && !has_places(pair[1]) && !WORDS_ALONE.contains(&pair[1]) {
            shown.push(pair[1]);
        }
    }
    shown
}

#[test]
fn whatever_a_help_shows_to_be_written_is_offered() {
    let (mut shown, mut missing) = (0, String::new());
    for (name, text) in drafts() {
        let (project, outcome) = run(&name, &text).drawn();
        for message in &outcome.diagnostics {
            let help = message
                .help
                .as_ref()
                .map(|help| help.in_unit(outcome.program.unit));
            for letters in shown_to_be_written(help.as_deref().unwrap_or_default()) {
                let squeezed = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
                let times = |text: &str| squeezed(text).matches(&squeezed(letters)).count();
                let offered = |offer: &Offer<Span>| match with_offer(&project, &text, offer) {
                    Some(mended) => offer.text == letters || times(&mended) > times(&text),
                    None => offer.text == letters,
                };
                shown += 1;
                if !message.offers.iter().any(offered) {
                    missing += &format!("{name}: `{letters}`\n");
                }
            }
        }
    }
    assert!(missing.is_empty(), "{missing}");
    assert!(shown >= 100, "{shown} shown");
}

/// Whether a message is of what cannot be read at all.
fn is_of_reading(code: Code) -> bool {
    matches!(
        code,
        Code::SentenceBroken
            | Code::BracketUnmatched
            | Code::PhraseNeedsBrackets
            | Code::FigureForm
            | Code::UnitApart
    )
}

#[test]
fn twenty_mistakes_get_twenty_messages() {
    let (name, text) = drafts()
        .into_iter()
        .find(|(name, _)| name == TWENTY)
        .unwrap();
    let (project, outcome) = run(&name, &text).drawn();
    let lines: BTreeSet<usize> = outcome
        .diagnostics
        .iter()
        .map(|message| project.sources.line(message.place))
        .collect();
    let shown = || run(&name, &text).shown();
    assert_eq!(outcome.diagnostics.len(), 20, "{}", shown());
    assert_eq!(lines.len(), 20, "{}", shown());
    let codes: BTreeSet<Code> = outcome.diagnostics.iter().map(|m| m.code).collect();
    assert!(codes.len() >= 15, "{codes:?}");
}

/// Words that blame the person or speak of the machine, and slips of the pen in the messages themselves.
#[test]
fn messages_speak_as_a_cutter_would() {
    const BARRED: &[&str] = &[
        "invalid",
        "illegal",
        "unexpected",
        "token",
        "parse",
        "syntax",
        "identifier",
        "expected",
        "null",
        "NaN",
        "argument",
        "  is",
        "..",
        " ,",
        "`` ",
    ];
    for (name, text) in drafts() {
        for message in run(&name, &text).told() {
            let words = everything(&message);
            for barred in BARRED {
                let said = words.iter().find(|words| {
                    words
                        .replace("../", "")
                        .replace("`..`", "")
                        .contains(barred)
                });
                assert_eq!(said, None, "{name}: {barred}");
            }
            let head = message.message.in_unit(MM);
            let begins = head.starts_with(|c: char| c.is_uppercase() || c.is_numeric() || c == '`');
            assert!(begins, "{name}: {head}");
            assert!(head.ends_with(['.', '?']), "{name}: {head}");
            for (_, words) in &message.see {
                assert!(!words.is_empty(), "{name}: {head}");
            }
            for line in message.notes.iter().chain(&message.help) {
                let line = line.in_unit(MM);
                let begins =
                    line.starts_with(|c: char| c.is_uppercase() || c.is_numeric() || c == '`');
                assert!(begins || line.starts_with("or "), "{name}: {line}");
            }
        }
    }
}

fn everything(message: &Diagnostic) -> Vec<String> {
    let labels = message.see.iter().map(|(_, words)| words);
    [&message.message, &message.label]
        .into_iter()
        .chain(labels)
        .chain(&message.notes)
        .chain(&message.help)
        .map(|words| words.in_unit(MM).into_owned())
        .collect()
}

/// The main label lies in the draft, on something, and on one line.
#[test]
fn each_message_points_at_words() {
    for (name, text) in drafts() {
        let (project, outcome) = run(&name, &text).drawn();
        for message in outcome.diagnostics {
            let words = project.sources.slice(message.place);
            // What is missing is pointed at where it should stand.
            let something_is_missing = matches!(
                message.code,
                Code::SentenceBroken | Code::BracketUnmatched | Code::TextNotClosed
            );
            if something_is_missing && message.place.is_empty() {
                continue;
            }
            assert!(
                !words.trim().is_empty(),
                "{name}: {}",
                message.message.in_unit(MM)
            );
        }
    }
}
