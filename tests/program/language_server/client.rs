//! A client of the language server: the program itself at the other end of two pipes, and positions counted as the standard
//! library counts letters.

use serde_json::{Value, json};
use std::collections::{BTreeMap, VecDeque};
use std::io::{BufRead, BufReader, Read, Write};
use std::path::PathBuf;
use std::process::{Child, ChildStdin, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::Duration;
use tempfile::TempDir;

/// Far beyond what any answer takes, on a machine that is busy with other things too.
const LONGEST: Duration = Duration::from_secs(120);

pub(crate) struct Client {
    child: Child,
    input: Option<ChildStdin>,
    heard: Receiver<Value>,
    /// Notifications and requests that were heard meanwhile.
    told: VecDeque<Value>,
    folder: TempDir,
    /// Texts of open files with their versions.
    open: BTreeMap<String, (String, i64)>,
    encoding: String,
    last_id: i64,
}

/// How a server ended, and what it logged.
pub(crate) struct Ended {
    pub(crate) status: i32,
    pub(crate) log: String,
}

impl Drop for Client {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Client {
    /// A server that nothing was said to yet.
    pub(crate) fn fresh() -> Self {
        let folder = TempDir::new().unwrap();
        let mut child = Command::new(env!("CARGO_BIN_EXE_oaktag"))
            .arg("language-server")
            .env("XDG_CACHE_HOME", folder.path().join("cache"))
            .current_dir(folder.path())
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let mut out = BufReader::new(child.stdout.take().unwrap());
        let (said, heard) = channel();
        std::thread::spawn(move || {
            while let Some(message) = next(&mut out) {
                if said.send(message).is_err() {
                    return;
                }
            }
        });
        Self {
            input: child.stdin.take(),
            child,
            heard,
            told: VecDeque::new(),
            folder,
            open: BTreeMap::new(),
            encoding: "utf-16".to_owned(),
            last_id: 0,
        }
    }

    /// A conversation that has begun, with a client that can do so much.
    pub(crate) fn begun(mut capabilities: Value, options: Value) -> (Self, Value) {
        let mut client = Self::fresh();
        let defaults = json!({
            "general": {"positionEncodings": ["utf-16"]},
            "textDocument": {
                "publishDiagnostics": {"versionSupport": true, "relatedInformation": true},
                "hover": {"contentFormat": ["markdown"]},
                "documentSymbol": {"hierarchicalDocumentSymbolSupport": true},
                "completion": {"completionItem": {"snippetSupport": true}},
            },
        });
        for (name, value) in defaults.as_object().unwrap() {
            let said = capabilities.as_object_mut().unwrap();
            said.entry(name).or_insert(value.clone());
        }
        let root = client.address("");
        let begun = client.ask(
            "initialize",
            json!({
                "processId": null,
                "rootUri": root.trim_end_matches('/'),
                "capabilities": capabilities,
                "initializationOptions": options,
            }),
        );
        let begun = begun.unwrap();
        let encoding = begun.pointer("/capabilities/positionEncoding").unwrap();
        client.encoding = encoding.as_str().unwrap().to_owned();
        client.tell("initialized", json!({}));
        (client, begun)
    }

    pub(crate) fn folder(&self) -> PathBuf {
        self.folder.path().canonicalize().unwrap()
    }

    pub(crate) fn address(&self, name: &str) -> String {
        if name.contains(':') {
            return name.to_owned();
        }
        format!("file://{}/{name}", self.folder().display())
    }

    /// Bytes as they are.
    pub(crate) fn raw(&mut self, bytes: &[u8]) {
        let input = self.input.as_mut().unwrap();
        input.write_all(bytes).unwrap();
        input.flush().unwrap();
    }

    fn send(&mut self, mut message: Value) {
        message["jsonrpc"] = json!("2.0");
        let body = message.to_string();
        self.raw(format!("Content-Length: {}\r\n\r\n{body}", body.len()).as_bytes());
    }

    pub(crate) fn tell(&mut self, method: &str, params: Value) {
        self.send(json!({"method": method, "params": params}));
    }

    /// Sends a request, and gives its id.
    pub(crate) fn request(&mut self, method: &str, params: Value) -> i64 {
        self.last_id += 1;
        let id = self.last_id;
        self.send(json!({"id": id, "method": method, "params": params}));
        id
    }

    /// What a request is answered: its result, or its error.
    pub(crate) fn ask(&mut self, method: &str, params: Value) -> Result<Value, Value> {
        let id = self.request(method, params);
        self.answer(&json!(id))
    }

    /// The answer to the request of that id.
    pub(crate) fn answer(&mut self, id: &Value) -> Result<Value, Value> {
        let is_it = |message: &Value| message.get("method").is_none() && message["id"] == *id;
        let message = self.next_that(&is_it);
        match message.get("error") {
            Some(error) => Err(error.clone()),
            None => Ok(message["result"].clone()),
        }
    }

    /// The next message that is asked for; others are kept.
    pub(crate) fn next_that(&mut self, is_it: &dyn Fn(&Value) -> bool) -> Value {
        if let Some(at) = self.told.iter().position(is_it) {
            return self.told.remove(at).unwrap();
        }
        loop {
            let Ok(message) = self.heard.recv_timeout(LONGEST) else {
                panic!("the server says nothing; before: {:?}", self.told);
            };
            assert_eq!(message["jsonrpc"], "2.0");
            if is_it(&message) {
                return message;
            }
            self.told.push_back(message);
        }
    }

    /// What more was heard behind all that was kept so far.
    pub(crate) fn heard_since(&mut self, is_it: &dyn Fn(&Value) -> bool) -> Vec<Value> {
        let before = self.told.len();
        // What is sent before this is answered comes before its answer.
        let _ = self.ask("oaktag/nothing", json!({}));
        self.told
            .iter()
            .skip(before)
            .filter(|message| is_it(message))
            .cloned()
            .collect()
    }

    pub(crate) fn write(&self, name: &str, text: &str) {
        let path = self.folder().join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    }

    pub(crate) fn open(&mut self, name: &str, text: &str) {
        let uri = self.address(name);
        self.open.insert(name.to_owned(), (text.to_owned(), 1));
        let document = json!({"uri": uri, "languageId": "oaktag", "version": 1, "text": text});
        self.tell("textDocument/didOpen", json!({"textDocument": document}));
    }

    pub(crate) fn text(&self, name: &str) -> &str {
        &self.open[name].0
    }

    /// Letters in place of a range of bytes, told as an edit.
    pub(crate) fn change(&mut self, name: &str, bytes: std::ops::Range<usize>, letters: &str) {
        let uri = self.address(name);
        let range = self.range(name, bytes.clone());
        let (text, version) = self.open.get_mut(name).unwrap();
        text.replace_range(bytes, letters);
        *version += 1;
        let params = json!({
            "textDocument": {"uri": uri, "version": version},
            "contentChanges": [{"range": range, "text": letters}],
        });
        self.tell("textDocument/didChange", params);
    }

    pub(crate) fn close(&mut self, name: &str) {
        let uri = self.address(name);
        self.open.remove(name);
        self.tell(
            "textDocument/didClose",
            json!({"textDocument": {"uri": uri}}),
        );
    }

    /// The messages of the newest text of a file.
    pub(crate) fn messages(&mut self, name: &str) -> Vec<Value> {
        let (uri, version) = (self.address(name), self.open[name].1);
        let said = self.next_that(&|message| {
            let params = &message["params"];
            message["method"] == "textDocument/publishDiagnostics"
                && params["uri"] == *uri
                && (params["version"] == version || params["version"].is_null())
        });
        said["params"]["diagnostics"].as_array().unwrap().clone()
    }

    /// A position as the conversation counts: from the text alone, by the standard library.
    pub(crate) fn position(&self, name: &str, byte: usize) -> Value {
        let before = &self.text(name)[..byte];
        let lines = before.replace("\r\n", "\n");
        let line = lines.matches('\n').count();
        let start = before.rfind('\n').map_or(0, |at| at + 1);
        let last = &before[start..];
        let character = match self.encoding.as_str() {
            "utf-8" => last.len(),
            "utf-16" => last.encode_utf16().count(),
            "utf-32" => last.chars().count(),
            other => panic!("{other}"),
        };
        json!({"line": line, "character": character})
    }

    pub(crate) fn range(&self, name: &str, bytes: std::ops::Range<usize>) -> Value {
        json!({
            "start": self.position(name, bytes.start),
            "end": self.position(name, bytes.end),
        })
    }

    pub(crate) fn is_open(&self, name: &str) -> bool {
        self.open.contains_key(name)
    }

    /// The byte of a text at a position: the one whose position it is.
    pub(crate) fn byte(&self, text: &str, at: &Value) -> usize {
        let (line, character) = (&at["line"], &at["character"]);
        let line = usize::try_from(line.as_u64().unwrap()).unwrap();
        let starts = text.match_indices('\n').map(|(at, _)| at + 1);
        let Some(start) = std::iter::once(0).chain(starts).nth(line) else {
            return text.len();
        };
        let wanted = usize::try_from(character.as_u64().unwrap()).unwrap();
        let rest = &text[start..];
        let ends = rest.char_indices().map(|(at, _)| at).chain([rest.len()]);
        let found = ends.into_iter().find(|end| {
            let last = &rest[..*end];
            let count = match self.encoding.as_str() {
                "utf-8" => last.len(),
                "utf-16" => last.encode_utf16().count(),
                _ => last.chars().count(),
            };
            count >= wanted
        });
        start + found.unwrap()
    }

    /// Says nothing more, and waits for the end.
    pub(crate) fn ended(mut self) -> Ended {
        drop(self.input.take());
        let mut log = String::new();
        let mut err = self.child.stderr.take().unwrap();
        err.read_to_string(&mut log).unwrap();
        let status = self.child.wait().unwrap().code().unwrap();
        Ended { status, log }
    }

    /// Ends as the protocol asks.
    pub(crate) fn leave(mut self) -> Ended {
        self.ask("shutdown", Value::Null).unwrap();
        self.tell("exit", Value::Null);
        self.ended()
    }
}

/// The next message; none at the end.
fn next(out: &mut impl BufRead) -> Option<Value> {
    let mut length = None;
    loop {
        let mut line = String::new();
        if out.read_line(&mut line).ok()? == 0 {
            return None;
        }
        match line.trim_end().split_once(": ") {
            Some(("Content-Length", said)) => length = Some(said.parse::<usize>().unwrap()),
            Some(_) => {}
            None => break,
        }
    }
    let mut body = vec![0; length.unwrap()];
    out.read_exact(&mut body).ok()?;
    Some(serde_json::from_slice(&body).unwrap())
}
