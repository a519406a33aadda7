//! What is said of slips: each file in `slips` stands beside the messages a person sees. After a change of wording,
//! `UPDATE_EXPECT=1 cargo test --test language syntax::` writes them anew, and somebody reads them.

use crate::syntax::{read, shown};
use oaktag_language::report::Code;
use oaktag_language::report::json::all_to_json;
use oaktag_language::voice::LengthUnit::Millimetre as MM;
use std::collections::BTreeSet;
use std::path::PathBuf;

fn slips() -> Vec<PathBuf> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/syntax/slips");
    let entries = std::fs::read_dir(folder).unwrap();
    let mut files: Vec<_> = entries.map(|entry| entry.unwrap().path()).collect();
    files.retain(|path| path.extension().is_some_and(|e| e == "draft"));
    files.sort();
    files
}

#[test]
fn slips_get_their_messages() {
    for path in slips() {
        let text = std::fs::read_to_string(&path).unwrap();
        let messages = shown(&text);
        assert!(!messages.is_empty(), "{}", path.display());
        expect_test::expect_file![path.with_extension("txt")].assert_eq(&messages);
    }
}

/// No message blames the person or speaks of the machine.
#[test]
fn messages_speak_plainly() {
    for path in slips() {
        for message in read(&std::fs::read_to_string(&path).unwrap()).diagnostics {
            let said = format!("{} {:?}", message.message.in_unit(MM), message.help).to_lowercase();
            for word in [
                "invalid",
                "illegal",
                "unexpected",
                "token",
                "parse",
                "syntax",
                "identifier",
                "expected",
            ] {
                assert!(!said.contains(word), "{word}: {said}");
            }
            assert!(message.help.is_some(), "no way out: {said}");
        }
    }
}

/// Every code that reading a text can give is given by some slip.
#[test]
fn every_code_of_reading_has_a_slip() {
    let wanted = BTreeSet::from([
        Code::StrayCharacter,
        Code::LookAlikeCharacter,
        Code::TextNotClosed,
        Code::UnitApart,
        Code::UnknownUnit,
        Code::FigureForm,
        Code::FigureUndefined,
        Code::BracketUnmatched,
        Code::SentenceBroken,
        Code::NameIsReserved,
        Code::PhraseNeedsBrackets,
        Code::SentenceOutOfPlace,
        Code::TextHoleBroken,
    ]);
    let given = slips()
        .into_iter()
        .flat_map(|path| read(&std::fs::read_to_string(path).unwrap()).diagnostics)
        .map(|d| d.code);
    let missing: Vec<_> = wanted.difference(&given.collect()).copied().collect();
    assert_eq!(missing, []);
}

/// The machine's view counts lines and columns as the person's does, in characters.
#[test]
fn messages_as_json() {
    let mut map = oaktag_language::report::SourceMap::new();
    let file = map.add("é.draft", "note \"😀\" é\npoint a = 94 cm");
    let parsed = oaktag_language::syntax::parse(&map, file);
    expect_test::expect![[r#"
        [
          {
            "code": "sentence-broken",
            "column": 10,
            "end": {
              "column": 11,
              "line": 1
            },
            "file": "é.draft",
            "help": "Put a linking word, a sign or a comma before `é`, or begin a new line with it.",
            "labels": [
              {
                "column": 10,
                "end": {
                  "column": 11,
                  "line": 1
                },
                "file": "é.draft",
                "line": 1,
                "text": ""
              }
            ],
            "line": 1,
            "message": "The sentence is complete before `é`.",
            "notes": [],
            "offers": [],
            "severity": "error",
            "step": null
          },
          {
            "code": "unit-apart",
            "column": 11,
            "end": {
              "column": 16,
              "line": 2
            },
            "file": "é.draft",
            "help": "Write `94cm`.",
            "labels": [
              {
                "column": 11,
                "end": {
                  "column": 16,
                  "line": 2
                },
                "file": "é.draft",
                "line": 2,
                "text": ""
              }
            ],
            "line": 2,
            "message": "The unit `cm` stands apart from its figure.",
            "notes": [],
            "offers": [
              {
                "column": 11,
                "end": {
                  "column": 16,
                  "line": 2
                },
                "file": "é.draft",
                "line": 2,
                "text": "94cm"
              }
            ],
            "severity": "error",
            "step": null
          }
        ]"#]]
    .assert_eq(&serde_json::to_string_pretty(&all_to_json(&map, &parsed.diagnostics, MM)).unwrap());
}
