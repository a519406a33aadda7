//! The language server from outside, by conversations that are written down, by what no client ought to send, and by chance.

mod client;
mod talk;

use crate::chance::Chance;
use client::Client;
use oaktag::cli::run_within;
use oaktag_language::syntax::project::LARGEST_TEXT;
use serde_json::{Value, json};
use std::collections::BTreeSet;
use std::path::Path;

fn talks() -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/program/language_server/talks");
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        found.push((name, std::fs::read_to_string(&path).unwrap()));
    }
    found.sort();
    found
}

#[test]
fn every_conversation_goes_as_it_is_written_down() {
    let only = std::env::var("OAKTAG_TALK").unwrap_or_default();
    let mut failed = Vec::new();
    for (name, script) in talks() {
        if name.contains(&only) && std::panic::catch_unwind(|| talk::play(&name, &script)).is_err()
        {
            failed.push(name);
        }
    }
    assert!(failed.is_empty(), "{failed:?}");
}

fn framed(body: &str) -> String {
    format!("Content-Length: {}\r\n\r\n{body}", body.len())
}

/// What is broken is told in one line each, and the server answers as ever.
#[test]
fn a_server_lives_on_behind_what_is_broken() {
    let deep = format!("{}1{}", "[".repeat(100_000), "]".repeat(100_000));
    let deep_params = framed(&format!(
        r#"{{"jsonrpc":"2.0","method":"x","params":{deep}}}"#
    ));
    let broken: [(&str, Vec<u8>); 12] = [
        ("no head", b"hello, is anybody there?\r\n\r\n".to_vec()),
        ("no head", vec![0xff; 20_000]),
        ("no length", b"Content-Length: soon\r\n\r\n".to_vec()),
        ("no JSON", framed("{").into()),
        ("no JSON", framed("").into()),
        ("no JSON", deep_params.into()),
        ("no JSON", b"Content-Length: 4\r\n\r\n\xff\xfe\xfd\xfc".to_vec()),
        ("another shape", framed("[]").into()),
        ("another shape", framed(r#"{"method":7}"#).into()),
        ("neither method nor id", framed("{}").into()),
        ("didOpen", framed(r#"{"method":"textDocument/didOpen","params":{"textDocument":7}}"#).into()),
        ("didChange", framed(r#"{"method":"textDocument/didChange","params":{"textDocument":{"uri":"file:///no","version":2},"contentChanges":[]}}"#).into()),
    ];
    let (mut client, _) = Client::begun(json!({}), json!({}));
    client.open("strip.draft", "unit cm\npoint a = origin\n");
    for (at, (_, bytes)) in broken.iter().enumerate() {
        client.raw(bytes);
        client.change("strip.draft", 0..0, "# again\n");
        assert_eq!(client.messages("strip.draft").len(), 1, "{at}");
        let symbols = json!({"textDocument": {"uri": client.address("strip.draft")}});
        let answer = client.ask("textDocument/documentSymbol", symbols).unwrap();
        assert_eq!(answer[0]["name"], "a", "{at}");
    }
    // A length that says too much swallows the head of the next message, which is found again.
    client.raw(b"Content-Length: 60\r\n\r\n{\"jsonrpc\":\"2.0\",\"method\":");
    assert!(client.ask("oaktag/nothing", json!({})).is_err());
    let ended = client.leave();
    assert_eq!(ended.status, 0);
    let lines: Vec<&str> = ended.log.lines().collect();
    for (wanted, _) in &broken {
        assert!(
            lines.iter().any(|line| line.contains(wanted)),
            "{wanted}: {lines:#?}"
        );
    }
    assert!(
        lines
            .iter()
            .all(|line| line.starts_with("oaktag: language-server: ")),
        "{lines:#?}"
    );
    assert!(lines.iter().all(|line| line.len() < 300), "{lines:#?}");
}

#[test]
fn requests_in_a_wrong_place_are_refused_with_the_codes_of_the_protocol() {
    let mut client = Client::fresh();
    let code = |answer: Result<Value, Value>| answer.unwrap_err()["code"].as_i64().unwrap();
    assert_eq!(code(client.ask("textDocument/hover", json!({}))), -32002);
    client.tell("textDocument/didOpen", json!({}));
    let can = json!({"processId": null, "rootUri": null, "capabilities": {}});
    assert_eq!(
        code(client.ask("initialize", json!({"capabilities": 7}))),
        -32602
    );
    client.ask("initialize", can.clone()).unwrap();
    assert_eq!(code(client.ask("initialize", can)), -32600);
    assert_eq!(code(client.ask("textDocument/hover", json!({}))), -32602);
    let elsewhere = json!({"textDocument": {"uri": "file:///none.draft"}});
    assert_eq!(code(client.ask("textDocument/codeLens", elsewhere)), -32602);
    assert_eq!(code(client.ask("textDocument/moniker", json!({}))), -32602);
    assert_eq!(code(client.ask("workspace/nothing", json!({}))), -32601);
    client.ask("shutdown", Value::Null).unwrap();
    assert_eq!(
        code(client.ask("workspace/symbol", json!({"query": ""}))),
        -32600
    );
    client.tell("exit", Value::Null);
    let ended = client.ended();
    assert_eq!((ended.status, ended.log.as_str()), (0, ""));
}

#[test]
fn an_end_without_leave_is_status_one_and_told() {
    let (mut client, _) = Client::begun(json!({}), json!({}));
    client.tell("exit", Value::Null);
    assert_eq!(client.ended().status, 1);
    for (said, told) in [
        ("", "without `exit`"),
        ("Content-Length: 7\r\n", "within the head"),
        ("Content-Length: 7\r\n\r\n{", "within a message"),
    ] {
        let (mut client, _) = Client::begun(json!({}), json!({}));
        client.raw(said.as_bytes());
        let ended = client.ended();
        assert_eq!(ended.status, 1, "{said:?}");
        assert_eq!(ended.log.lines().count(), 1, "{said:?}: {}", ended.log);
        assert!(ended.log.contains(told), "{said:?}: {}", ended.log);
    }
}

/// A draft that takes long to draw: trials within trials.
fn long(seed: usize) -> String {
    format!(
        "unit cm\npoint a = origin\ntry x between 1cm and 90cm {{\n  try y between 1cm and 90cm {{\n    try z between 1cm and 90cm {{\n      line l = from a toward right for x + y + z\n    }} until length of l = {}cm\n  }} until y = x / 2\n}} until x = 10cm\n",
        60 + seed
    )
}

#[test]
fn newer_text_wins_and_nothing_is_answered_about_an_old_one() {
    let (mut client, _) = Client::begun(json!({}), json!({}));
    client.open("long.draft", &long(0));
    let hover = |client: &Client| {
        let at = client.position("long.draft", 9);
        json!({"textDocument": {"uri": client.address("long.draft")}, "position": at})
    };
    let mut ids = Vec::new();
    for number in 0..8 {
        let params = hover(&client);
        ids.push(client.request("textDocument/hover", params));
        let end = client.text("long.draft").len();
        client.change("long.draft", end..end, &format!("# {number}\n"));
    }
    let params = hover(&client);
    let last = client.ask("textDocument/hover", params).unwrap();
    assert!(last.to_string().contains("point"), "{last}");
    // Each is answered once: before its text changed, or as changed.
    for id in ids {
        if let Err(error) = client.answer(&json!(id)) {
            assert_eq!(error["code"], -32801);
        }
    }
    // What was told of an older text was told before the next came: nothing comes behind the newest.
    let is_told = |message: &Value| message["method"] == "textDocument/publishDiagnostics";
    client.messages("long.draft");
    let behind = client.heard_since(&is_told);
    assert!(behind.is_empty(), "{behind:?}");
    // What is taken back is answered as taken back, or was answered before.
    let params = hover(&client);
    let id = client.request("textDocument/hover", params);
    client.tell("$/cancelRequest", json!({"id": id}));
    if let Err(error) = client.answer(&json!(id)) {
        assert_eq!(error["code"], -32800);
    }
    assert_eq!(client.leave().status, 0);
}

#[test]
fn a_text_that_is_too_long_is_told_and_no_other_suffers() {
    let (mut client, _) = Client::begun(json!({}), json!({}));
    client.open("long.draft", &"#\n".repeat(LARGEST_TEXT / 2 + 1));
    client.open("short.draft", "point a = origin\n");
    let told = client.messages("long.draft");
    assert_eq!((told.len(), &told[0]["code"]), (1, &json!("too-large")));
    assert!(
        client
            .messages("short.draft")
            .iter()
            .all(|one| one["severity"] == 2)
    );
    assert_eq!(client.leave().status, 0);
}

#[test]
fn ten_files_are_open_at_once() {
    let (mut client, _) = Client::begun(json!({}), json!({}));
    let names: Vec<String> = (0..10).map(|at| format!("strip-{at}.draft")).collect();
    for (at, name) in names.iter().enumerate() {
        client.open(
            name,
            &format!("unit cm\npoint p{at} = origin\nline l = from q to p{at}\n"),
        );
    }
    for (at, name) in names.iter().enumerate().rev() {
        let told = client.messages(name);
        assert!(
            told.iter().any(|one| one["code"] == "unknown-name"),
            "{told:?}"
        );
        let params = json!({"textDocument": {"uri": client.address(name)}});
        let symbols = client.ask("textDocument/documentSymbol", params).unwrap();
        assert_eq!(symbols[0]["name"], format!("p{at}"));
    }
    for name in &names {
        client.close(name);
    }
    assert_eq!(client.leave().status, 0);
}

/// Code, severity and range of each message, in the order of the text.
type Told = BTreeSet<(String, u64, String, String)>;

/// What `check` tells of a text, its places counted in UTF-16.
fn checked(client: &Client, name: &str) -> Told {
    let text = client.text(name);
    client.write(name, text);
    let path = client.folder().join(name);
    let said = run_within(["check", "--format", "json", path.to_str().unwrap()]);
    let said: Value = serde_json::from_str(&said.out).unwrap();
    let lines: Vec<&str> = text.split('\n').collect();
    let position = |at: &Value| {
        let line = usize::try_from(at["line"].as_u64().unwrap()).unwrap() - 1;
        let column = usize::try_from(at["column"].as_u64().unwrap()).unwrap() - 1;
        let before = lines[line].chars().take(column);
        let character: usize = before.map(char::len_utf16).sum();
        json!({"line": line, "character": character})
    };
    let told = said[0]["diagnostics"].as_array();
    let told = told.or(said["diagnostics"].as_array()).unwrap();
    told.iter()
        .map(|one| {
            let own = one["file"].as_str().unwrap() == path.to_str().unwrap();
            let range = own.then(|| json!({"start": position(one), "end": position(&one["end"])}));
            let severity = if one["severity"] == "error" { 1 } else { 2 };
            (
                one["code"].as_str().unwrap().to_owned(),
                severity,
                range.unwrap_or_default().to_string(),
                one["message"].as_str().unwrap().to_owned(),
            )
        })
        .collect()
}

/// After any edits, told one by one in UTF-16, the messages are those of `check`.
#[test]
fn after_any_chain_of_edits_the_messages_are_those_of_check() {
    let edits: usize = std::env::var("OAKTAG_EDITS").map_or(25, |all| all.parse().unwrap());
    let snippets = [
        "",
        "\r\n",
        "\n",
        " ",
        "# 𝄞 ½ é\r\n",
        "point p = origin\r\n",
        "from ",
        "cm",
        "7cm",
        "(",
        "}",
        "{",
        "\"",
        "𝒳",
        "toward",
        "hem",
        ".",
        "line q = from p to r\n",
        "if ",
        "\u{feff}",
    ];
    for (seed, file) in ["deck-vest", "first-steps", "womens-crew-shirt"]
        .iter()
        .enumerate()
    {
        let mut chance = Chance::new(seed as u64 + 11);
        let (mut client, _) = Client::begun(json!({}), json!({}));
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
        let text = std::fs::read_to_string(folder.join(format!("{file}.draft"))).unwrap();
        let text = format!("# 𝄞 Lower Sound 𝒳\r\n{}", text.replace('\n', "\r\n"));
        let name = format!("{file}.draft");
        client.open(&name, &text);
        for number in 0..edits {
            let text = client.text(&name).to_owned();
            let ends: Vec<usize> = text.char_indices().map(|(at, _)| at).collect();
            let from = *chance.one_of(&ends);
            let long = if chance.once_in(3) {
                chance.below(40)
            } else {
                0
            };
            let at = ends.iter().position(|end| *end == from).unwrap();
            let to = ends.get(at + long).copied().unwrap_or(text.len());
            // A client counts from within no line's end.
            let splits = |at: usize| text[..at].ends_with('\r') && text[at..].starts_with('\n');
            if splits(from) || splits(to) {
                continue;
            }
            let letters = *chance.one_of(&snippets);
            let letters = match chance.once_in(4) {
                true => &text[*chance.one_of(&ends)..][..0],
                false => letters,
            };
            client.change(&name, from..to, letters);
            let told = client.messages(&name);
            let wanted = checked(&client, &name);
            let found: Told = told
                .iter()
                .map(|one| {
                    let message = one["message"].as_str().unwrap();
                    let range = one["range"].to_string();
                    let wanted = wanted.iter().find(|(code, _, at, words)| {
                        one["code"] == **code
                            && message.starts_with(&**words)
                            && (*at == range || at == "null")
                    });
                    let (_, _, at, words) = wanted.cloned().unwrap_or_else(|| {
                        panic!("{file}, edit {number}: {one:#} is not among {wanted:#?}")
                    });
                    let code = one["code"].as_str().unwrap().to_owned();
                    (code, one["severity"].as_u64().unwrap(), at, words)
                })
                .collect();
            assert_eq!(found, wanted, "{file}, edit {number}");
        }
        assert_eq!(client.leave().status, 0);
    }
}
