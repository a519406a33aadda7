//! The language server at its pipes: from an edit to its messages, and to what may stand at the caret, in the women's crew shirt and in
//! two thousand lines, while ten files are open. Medians, since a writer feels those.
//!
//! `cargo bench --bench language_server`

mod support;

use oaktag_language::report::SourceMap;
use serde_json::{Value, json};
use std::error::Error;
use std::io::{BufRead, BufReader, Read, Write};
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};
use std::time::Instant;
use support::drafts::{lines, lines_with_library};
use support::table::{Table, at_most, seconds};
use support::time::Time;
use support::{asked, read};

/// What a keystroke may take.
const GOAL: f64 = 20e-3;
const EDITS: usize = 60;

type Done<T> = Result<T, Box<dyn Error>>;

struct Server {
    child: Child,
    input: ChildStdin,
    output: BufReader<ChildStdout>,
    id: i64,
    /// Messages of texts that came while an answer was waited for.
    heard: Vec<Value>,
}

impl Server {
    fn begun() -> Done<Self> {
        let mut child = Command::new(env!("CARGO_BIN_EXE_oaktag"))
            .arg("language-server")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()?;
        let input = child.stdin.take().ok_or("no input")?;
        let output = BufReader::new(child.stdout.take().ok_or("no output")?);
        let mut server = Self {
            child,
            input,
            output,
            id: 0,
            heard: Vec::new(),
        };
        let versions = json!({"publishDiagnostics": {"versionSupport": true}});
        let can = json!({"capabilities": {"textDocument": versions}});
        server.ask("initialize", &can)?;
        server.tell("initialized", &json!({}))?;
        Ok(server)
    }

    fn send(&mut self, message: &Value) -> Done<()> {
        let body = message.to_string();
        write!(self.input, "Content-Length: {}\r\n\r\n{body}", body.len())?;
        Ok(self.input.flush()?)
    }

    fn tell(&mut self, method: &str, params: &Value) -> Done<()> {
        self.send(&json!({"jsonrpc": "2.0", "method": method, "params": params}))
    }

    fn next(&mut self) -> Done<Value> {
        let mut length = 0;
        loop {
            let mut line = String::new();
            self.output.read_line(&mut line)?;
            match line.trim().strip_prefix("Content-Length: ") {
                Some(said) => length = said.parse()?,
                None => break,
            }
        }
        let mut body = vec![0; length];
        self.output.read_exact(&mut body)?;
        Ok(serde_json::from_slice(&body)?)
    }

    fn ask(&mut self, method: &str, params: &Value) -> Done<Value> {
        self.id += 1;
        let id = self.id;
        self.send(&json!({"jsonrpc": "2.0", "id": id, "method": method, "params": params}))?;
        loop {
            let message = self.next()?;
            if message.get("id") == Some(&json!(id)) {
                return Ok(message);
            }
            self.heard.push(message);
        }
    }

    fn open(&mut self, uri: &str, text: &str) -> Done<()> {
        let document = json!({"uri": uri, "languageId": "oaktag", "version": 0, "text": text});
        self.tell("textDocument/didOpen", &json!({"textDocument": document}))?;
        self.messages(uri, 0)
    }

    fn messages(&mut self, uri: &str, version: usize) -> Done<()> {
        let mut heard = std::mem::take(&mut self.heard).into_iter();
        loop {
            let message = match heard.next() {
                Some(message) => message,
                None => self.next()?,
            };
            let params = message.get("params");
            let of = |name| params.and_then(|params| params.get(name));
            if of("uri") == Some(&json!(uri)) && of("version") == Some(&json!(version)) {
                return Ok(());
            }
        }
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn main() -> Done<()> {
    let Some(asked) = asked() else {
        return Ok(());
    };
    let edits = if asked.quick { 6 } else { EDITS };
    let shirt = read("examples/womens-crew-shirt.draft")?;
    let mut server = Server::begun()?;
    for at in 0..9 {
        server.open(&format!("untitled:other-{at}"), &shirt)?;
    }
    let mut table = Table::new(&["an edit, ten files open", "messages", "completion", "goal"]);
    for (what, text) in [
        ("the women's crew shirt, a word", &shirt),
        ("2,000 lines, a word", &lines(2_000)),
        (
            "2,000 lines and the shirt, a word",
            &lines_with_library(2_000, &shirt),
        ),
    ] {
        let uri = format!("untitled:{}", what.replace([' ', ',', '\''], "-"));
        server.open(&uri, text)?;
        let mut sources = SourceMap::new();
        let file = sources.add("", text);
        // Behind the last `from ` a name is written, a letter at a time.
        let at = text.rfind("from ").map_or(0, |at| at + 5);
        let at = sources.line_column(file, u32::try_from(at)?);
        let position = json!({"line": at.line - 1, "character": at.column - 1});
        let (mut to_messages, mut to_choices) = (Vec::new(), Vec::new());
        let mut version = 0;
        for number in 0..2 * edits {
            version += 1;
            let typed = if number % 2 == 0 { "q" } else { "" };
            let end = json!({"line": at.line - 1, "character": at.column - 1 + (1 - typed.len())});
            let change = json!({"range": {"start": position, "end": end}, "text": typed});
            let changed = json!({
                "textDocument": {"uri": uri, "version": version},
                "contentChanges": [change],
            });
            let began = Instant::now();
            server.tell("textDocument/didChange", &changed)?;
            if number % 4 < 2 {
                server.messages(&uri, version)?;
                to_messages.push(began.elapsed().as_secs_f64());
                continue;
            }
            let asked = json!({"textDocument": {"uri": uri}, "position": position});
            server.ask("textDocument/completion", &asked)?;
            to_choices.push(began.elapsed().as_secs_f64());
            server.messages(&uri, version)?;
        }
        let (messages, choices) = (Time::of(to_messages).median, Time::of(to_choices).median);
        let met = [messages, choices].map(|time| at_most(time, GOAL));
        table.row([
            what.to_owned(),
            seconds(messages),
            seconds(choices),
            format!("20 ms, {}", met.join(" and ")),
        ]);
    }
    table.print("The language server, from an edit at its pipe, medians");
    Ok(())
}
