//! Conversations that are written down: each file of `talks/` is played against the program, and what it says is held against
//! what the file wants. A line is one thing said or wanted:
//!
//! ```text
//! begin {CAPABILITIES} {OPTIONS}     the conversation begins
//! file NAME                          writes a file; its lines follow, each behind `| `
//! file NAME crlf | mark              the same, lines ended as some systems do, or with a mark before the text
//! text NAME                          the same without a file
//! open NAME                          opens it with the text on the disk
//! change NAME WORD#N => LETTERS      puts letters in place of the N-th time that a word stands in its text
//! close NAME
//! ask METHOD NAME WORD#N {MORE}      a request at the place just behind the word's first letter
//! ask METHOD NAME WORD#N to WORD#N   a request about a range
//! ask METHOD NAME {MORE}             a request about a document
//! ask METHOD {PARAMS}
//! messages NAME                      waits for the messages of its newest text
//! told NAME has | lacks LETTERS      waits until they are so
//! heard METHOD                       waits for a request or notification of the server
//! ```
//!
//! Behind it, two blanks in, what is wanted of the last answer, by the path into its JSON: `PATH is JSON`, `PATH has LETTERS`,
//! `PATH lacks LETTERS`, `PATH counts N`, `PATH at NAME WORD#N` (it is the range of that word), `fails CODE LETTERS`,
//! `becomes NAME` with the text behind `| ` that its edits make. `{folder}` is the address of the folder.

use super::client::Client;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::ops::Range;

pub(crate) fn play(file: &str, script: &str) {
    let mut talk = Talk {
        client: None,
        texts: BTreeMap::new(),
        last: Ok(Value::Null),
    };
    let lines: Vec<&str> = script.lines().collect();
    let mut at = 0;
    while let Some(line) = lines.get(at) {
        at += 1;
        let mut block = String::new();
        while let Some(inner) = lines
            .get(at)
            .and_then(|line| line.trim_start().strip_prefix('|'))
        {
            block.push_str(inner.strip_prefix(' ').unwrap_or(inner));
            block.push('\n');
            at += 1;
        }
        if line.trim().is_empty() || line.starts_with('#') {
            continue;
        }
        let done = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| {
            match line.strip_prefix("  ") {
                Some(wanted) => talk.want(wanted, &block),
                None => talk.say(line, &block),
            }
        }));
        if done.is_err() {
            panic!("{file}: `{line}`: {:#?}", talk.last);
        }
    }
    let client = talk.client.take().unwrap();
    let ended = client.leave();
    assert_eq!((ended.status, ended.log.as_str()), (0, ""), "{file}");
}

struct Talk {
    client: Option<Client>,
    texts: BTreeMap<String, String>,
    last: Result<Value, Value>,
}

/// The bytes of a word of a text: `low#2` is the second.
fn place(text: &str, said: &str) -> Range<usize> {
    let (word, number) = said.rsplit_once('#').unwrap_or((said, "1"));
    let word = word.replace("\\n", "\n");
    let number: usize = number.parse().unwrap();
    let (at, _) = text.match_indices(&*word).nth(number - 1).unwrap();
    at..at + word.len()
}

/// A value, and what follows it.
fn json_in(text: &str) -> (Value, &str) {
    let mut values = serde_json::Deserializer::from_str(text).into_iter();
    let value = values.next().unwrap_or(Ok(json!({}))).unwrap();
    let end = values.byte_offset();
    (value, text[end..].trim())
}

impl Talk {
    fn client(&mut self) -> &mut Client {
        self.client.as_mut().unwrap()
    }

    fn filled(&self, text: &str) -> String {
        let folder = self.client.as_ref().unwrap().address("");
        text.replace("{folder}", folder.trim_end_matches('/'))
    }

    fn say(&mut self, line: &str, block: &str) {
        let (word, rest) = line.split_once(' ').unwrap_or((line, ""));
        match word {
            "begin" => {
                let (capabilities, rest) = json_in(if rest.is_empty() { "{}" } else { rest });
                let (options, _) = json_in(if rest.is_empty() { "{}" } else { rest });
                let (client, begun) = Client::begun(capabilities, options);
                (self.client, self.last) = (Some(client), Ok(begun));
            }
            "file" => {
                let (name, ends) = rest.split_once(' ').unwrap_or((rest, ""));
                let text = match ends {
                    "crlf" => block.replace('\n', "\r\n"),
                    "mark" => format!("\u{feff}{block}"),
                    _ => block.to_owned(),
                };
                self.client().write(name, &text);
                self.texts.insert(name.to_owned(), text);
            }
            "text" => drop(self.texts.insert(rest.to_owned(), block.to_owned())),
            "open" => {
                let text = self.texts[rest].clone();
                self.client().open(rest, &text);
            }
            "change" => {
                let (at, letters) = rest.split_once(" => ").unwrap_or((rest, ""));
                let (name, word) = at.split_once(' ').unwrap();
                let bytes = place(self.client().text(name), word);
                self.client()
                    .change(name, bytes, &letters.replace("\\n", "\n"));
            }
            "close" => self.client().close(rest),
            "told" => {
                let (name, wanted) = rest.split_once(' ').unwrap();
                let (verb, letters) = wanted.split_once(' ').unwrap();
                loop {
                    let told = Value::Array(self.client().messages(name));
                    let has = told.to_string().contains(letters);
                    self.last = Ok(told);
                    if has == (verb == "has") {
                        return;
                    }
                }
            }
            "messages" => self.last = Ok(Value::Array(self.client().messages(rest))),
            "heard" => {
                let is_it = |message: &Value| message["method"] == *rest;
                let message = self.client().next_that(&is_it);
                self.last = Ok(message["params"].clone());
            }
            "ask" => self.ask(rest),
            _ => panic!("what is `{word}`?"),
        }
    }

    fn ask(&mut self, said: &str) {
        let said = self.filled(said);
        let (method, rest) = said.split_once(' ').unwrap_or((&said, ""));
        if rest.starts_with('{') || rest.is_empty() {
            let params = if rest.is_empty() {
                json!({})
            } else {
                json_in(rest).0
            };
            self.last = self.client().ask(method, params);
            return;
        }
        let (name, rest) = rest.split_once(' ').unwrap_or((rest, ""));
        let (words, more) = match rest.find('{') {
            Some(at) => (rest[..at].trim(), json_in(&rest[at..]).0),
            None => (rest, json!({})),
        };
        let client = self.client.as_mut().unwrap();
        let mut params = json!({"textDocument": {"uri": client.address(name)}});
        if let Some((from, to)) = words.split_once(" to ") {
            let text = client.text(name);
            let bytes = place(text, from).start..place(text, to).end;
            params["range"] = client.range(name, bytes);
        } else if !words.is_empty() {
            let bytes = place(client.text(name), words);
            let first = client.text(name)[bytes.start..].chars().next().unwrap();
            params["position"] = client.position(name, bytes.start + first.len_utf8());
        }
        for (key, value) in more.as_object().unwrap() {
            params[key] = value.clone();
        }
        self.last = client.ask(method, params);
    }

    fn want(&mut self, wanted: &str, block: &str) {
        let wanted = self.filled(wanted);
        if let Some(rest) = wanted.strip_prefix("fails ") {
            let error = self.last.as_ref().unwrap_err();
            let (code, letters) = rest.split_once(' ').unwrap_or((rest, ""));
            assert_eq!(error["code"].to_string(), code);
            assert!(error["message"].as_str().unwrap().contains(letters));
            return;
        }
        let last = self.last.as_ref().unwrap().clone();
        if let Some(name) = wanted.strip_prefix("becomes ") {
            let made = self.edited(name, &last);
            assert_eq!(made.replace("\r\n", "\n"), block, "{made:?}");
            let is_crlf = self.client().text(name).contains("\r\n");
            assert_eq!(made.contains("\r\n"), is_crlf);
            return;
        }
        let (path, rest) = wanted.split_once(' ').unwrap();
        let path = if path == "." { "" } else { path };
        let found = last.pointer(path).unwrap_or(&Value::Null);
        let (verb, rest) = rest.split_once(' ').unwrap();
        let letters = match found {
            Value::String(text) => text.clone(),
            other => other.to_string(),
        };
        match verb {
            "is" => assert_eq!(*found, json_in(rest).0, "{path}"),
            "has" => assert!(letters.contains(rest), "{path}: {letters}"),
            "lacks" => assert!(!letters.contains(rest), "{path}: {letters}"),
            "counts" => assert_eq!(found.as_array().map(Vec::len), rest.parse().ok(), "{path}"),
            "at" => {
                let (name, word) = rest.split_once(' ').unwrap();
                let client = self.client.as_ref().unwrap();
                let bytes = place(client.text(name), word);
                assert_eq!(*found, client.range(name, bytes), "{path}");
            }
            _ => panic!("what is `{verb}`?"),
        }
    }

    /// The text of a file with edits made, which stand in a list or in an edit of a workspace.
    fn edited(&mut self, name: &str, answer: &Value) -> String {
        let client = self.client.as_ref().unwrap();
        let uri = client.address(name);
        let of_file = |change: &&Value| change["textDocument"]["uri"] == *uri;
        let versioned = answer["documentChanges"].as_array();
        let versioned = versioned.and_then(|all| Some(all.iter().find(of_file)?["edits"].clone()));
        let plain = answer.get("changes").and_then(|all| all.get(&uri)).cloned();
        let edits = versioned.or(plain).unwrap_or_else(|| answer.clone());
        let mut text = match client.is_open(name) {
            true => client.text(name).to_owned(),
            false => self.texts[name].clone(),
        };
        let mut edits = edits.as_array().expect("edits").clone();
        edits.sort_by_key(|edit| {
            let start = &edit["range"]["start"];
            (start["line"].as_u64(), start["character"].as_u64())
        });
        for edit in edits.iter().rev() {
            let bytes = |at: &Value| client.byte(&text, at);
            let range = bytes(&edit["range"]["start"])..bytes(&edit["range"]["end"]);
            text.replace_range(range, edit["newText"].as_str().unwrap());
        }
        text
    }
}
