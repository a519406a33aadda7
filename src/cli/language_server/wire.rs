//! Messages as they come and go: JSON with its length before it. What is broken is told, and the next whole message is looked
//! for; nobody can make the program take more room than [`LARGEST`].

use serde_json::{Value, json};
use std::io::{self, BufRead, Read, Write};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// Largest message that is read, in bytes: the largest text, each of its letters escaped.
const LARGEST: usize = 64 * 1024 * 1024;
/// Longest line of a head.
const LONGEST_LINE: u64 = 8 * 1024;
/// What a message begins with.
const LENGTH: &str = "content-length:";

/// What was heard.
#[derive(Debug)]
pub(super) enum Heard {
    /// A message.
    Message(Value),
    /// Something that is none, in words, and whether an answer is owed: it came as a message should.
    Broken(String, bool),
    /// Nothing more comes; what the last message lacks, where one was begun.
    End(Option<String>),
}

/// Messages out of bytes.
pub(super) struct Wire<R> {
    input: R,
    /// Read already, to be read again from a byte on.
    again: (Vec<u8>, usize),
}

impl<R: BufRead> Read for Wire<R> {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        let taken = self.fill_buf()?.read(into)?;
        self.consume(taken);
        Ok(taken)
    }
}

impl<R: BufRead> BufRead for Wire<R> {
    fn fill_buf(&mut self) -> io::Result<&[u8]> {
        match self.again.0.get(self.again.1..) {
            Some(again) if !again.is_empty() => Ok(again),
            _ => self.input.fill_buf(),
        }
    }

    fn consume(&mut self, count: usize) {
        if self.again.1 < self.again.0.len() {
            self.again.1 += count;
        } else {
            self.input.consume(count);
        }
    }
}

impl<R: BufRead> Wire<R> {
    /// Of some bytes.
    pub(super) fn new(input: R) -> Self {
        Self {
            input,
            again: (Vec::new(), 0),
        }
    }

    /// The next message, or what is wrong.
    pub(super) fn next(&mut self) -> Heard {
        self.heard().unwrap_or_else(|why| {
            let within = (why.kind() != io::ErrorKind::UnexpectedEof).then(|| why.to_string());
            Heard::End(Some(
                within.unwrap_or_else(|| "the input ended within a message".to_owned()),
            ))
        })
    }

    fn heard(&mut self) -> io::Result<Heard> {
        let mut length = None;
        let mut line = Vec::new();
        loop {
            line.clear();
            let read = self
                .by_ref()
                .take(LONGEST_LINE)
                .read_until(b'\n', &mut line)?;
            if read == 0 {
                return Ok(Heard::End(length.map(|_| {
                    "the input ended within the head of a message".to_owned()
                })));
            }
            let head = String::from_utf8_lossy(&line).to_ascii_lowercase();
            let head = head.trim();
            match (head, length) {
                ("", Some(length)) => return self.body(length),
                ("", None) => {}
                _ => match head.find(LENGTH) {
                    Some(at) => {
                        let said = head.get(at + LENGTH.len()..).unwrap_or_default().trim();
                        match said.parse::<usize>() {
                            Ok(said) => length = Some(said),
                            Err(_) => {
                                return Ok(Heard::Broken(
                                    format!("`{}` is no length of a message", shown(said)),
                                    false,
                                ));
                            }
                        }
                        if at > 0 {
                            // What stands before it was no part of a message.
                            self.put_back(format!("{LENGTH}{said}\n").as_bytes());
                            return Ok(Heard::Broken(no_head(head), false));
                        }
                    }
                    None if is_other_head(head) => {}
                    None => return Ok(Heard::Broken(no_head(head), false)),
                },
            }
        }
    }

    fn body(&mut self, length: usize) -> io::Result<Heard> {
        if length > LARGEST {
            let mut left = self.by_ref().take(length as u64);
            io::copy(&mut left, &mut io::sink())?;
            let words = format!("a message of {length} bytes was passed over: {LARGEST} are read");
            return Ok(Heard::Broken(words, true));
        }
        let mut body = Vec::new();
        self.by_ref().take(length as u64).read_to_end(&mut body)?;
        if body.len() < length {
            return Err(io::ErrorKind::UnexpectedEof.into());
        }
        let why = match serde_json::from_slice(&body) {
            Ok(message) => return Ok(Heard::Message(message)),
            Err(why) => why,
        };
        // Where the length said too much, the next message begins within.
        let small = body.to_ascii_lowercase();
        let begins = |at: &usize| {
            let rest = small.get(*at..).unwrap_or_default();
            rest.starts_with(LENGTH.as_bytes()) || LENGTH.as_bytes().starts_with(rest)
        };
        if let Some(at) = (0..small.len()).find(begins) {
            let rest = body.get(at..).unwrap_or_default().to_vec();
            self.put_back(&rest);
        }
        Ok(Heard::Broken(format!("a message is no JSON: {why}"), true))
    }

    /// Reads these bytes next.
    fn put_back(&mut self, bytes: &[u8]) {
        let rest = self.again.0.get(self.again.1..).unwrap_or_default();
        self.again = ([bytes, rest].concat(), 0);
    }
}

/// Whether a line of a head says something else than the length.
fn is_other_head(line: &str) -> bool {
    let name = line.split_once(':').map(|(name, _)| name);
    name.is_some_and(|name| {
        name.starts_with("content-") && name.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'-')
    })
}

fn no_head(line: &str) -> String {
    format!("`{}` is no head of a message", shown(line))
}

/// As much of what was heard as a log line bears.
fn shown(text: &str) -> String {
    let few: String = text.chars().take(60).collect();
    few.escape_debug().to_string()
}

/// Where messages go, one at a time.
pub(super) struct Voice(Mutex<Box<dyn Write + Send>>);

impl Voice {
    /// To some output.
    pub(super) fn new(output: Box<dyn Write + Send>) -> Self {
        Self(Mutex::new(output))
    }

    /// Sends a notification.
    pub(super) fn tell(&self, method: &str, params: &impl serde::Serialize) {
        self.send(self.locked(), json!({"method": method, "params": params}));
    }

    /// The same, unless the text that it is about is an old one.
    pub(super) fn tell_unless(
        &self,
        old: &AtomicBool,
        method: &str,
        params: &impl serde::Serialize,
    ) {
        let output = self.locked();
        if !old.load(Ordering::SeqCst) {
            self.send(output, json!({"method": method, "params": params}));
        }
    }

    /// From here on nothing is told of the text that this marks.
    pub(super) fn retire(&self, old: &AtomicBool) {
        let _output = self.locked();
        old.store(true, Ordering::SeqCst);
    }

    /// Asks the client something.
    pub(super) fn ask(&self, id: &str, method: &str, params: &Value) {
        self.send(
            self.locked(),
            json!({"id": id, "method": method, "params": params}),
        );
    }

    /// Answers a request.
    pub(super) fn answer(&self, id: &Value, answer: Answer) {
        let message = match answer {
            Ok(result) => json!({"id": id, "result": result}),
            Err(wrong) => {
                json!({"id": id, "error": {"code": wrong.code, "message": wrong.words}})
            }
        };
        self.send(self.locked(), message);
    }

    fn locked(&self) -> MutexGuard<'_, Box<dyn Write + Send>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn send(&self, mut output: MutexGuard<'_, Box<dyn Write + Send>>, mut message: Value) {
        if let Some(message) = message.as_object_mut() {
            message.insert("jsonrpc".into(), json!("2.0"));
        }
        let body = message.to_string();
        let whole = format!("Content-Length: {}\r\n\r\n{body}", body.len());
        // A client that is gone hears nothing; its input ends, too.
        let _ = output.write_all(whole.as_bytes());
        let _ = output.flush();
    }
}

/// What a request is answered.
pub(super) type Answer = Result<Value, Wrong>;

/// Why a request is not answered.
#[derive(Debug)]
pub(super) struct Wrong {
    code: i32,
    words: String,
}

impl Wrong {
    pub(super) const PARSE: i32 = -32700;
    pub(super) const REQUEST: i32 = -32600;
    pub(super) const METHOD: i32 = -32601;
    pub(super) const PARAMS: i32 = -32602;
    pub(super) const INTERNAL: i32 = -32603;
    pub(super) const NOT_BEGUN: i32 = -32002;
    pub(super) const CANCELLED: i32 = -32800;
    pub(super) const CHANGED: i32 = -32801;
    pub(super) const FAILED: i32 = -32803;

    /// With a code of the protocol.
    pub(super) fn new(code: i32, words: impl Into<String>) -> Self {
        Self {
            code,
            words: words.into(),
        }
    }

    /// What was asked for cannot be had, in words.
    pub(super) fn failed(words: impl Into<String>) -> Self {
        Self::new(Self::FAILED, words)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn heard(bytes: &[u8]) -> Vec<String> {
        let mut wire = Wire::new(bytes);
        let mut all = Vec::new();
        loop {
            match wire.next() {
                Heard::Message(message) => all.push(message.to_string()),
                Heard::Broken(words, _) => all.push(format!("! {words}")),
                Heard::End(words) => {
                    all.extend(words.map(|words| format!("end: {words}")));
                    return all;
                }
            }
        }
    }

    #[test]
    fn the_next_whole_message_is_found_behind_what_is_broken() {
        let one = "Content-Length: 2\r\n\r\n{}";
        let whole = |before: &str| heard(format!("{before}{one}").as_bytes());
        for (before, broken) in [
            ("", 0),
            ("\r\n\r\n", 0),
            ("hello\r\n", 1),
            ("hello", 1),
            ("Content-Type: x\r\n", 0),
            ("Content-Length: many\r\n\r\n", 1),
            ("Content-Length: -1\r\n\r\n", 1),
            ("Content-Length: 3\r\n\r\n{\"a", 1),
            ("Content-Length: 9\r\n\r\n{\"a", 1),
            ("Content-Length: 99999999999999999999999\r\n\r\n", 1),
        ] {
            let all = whole(before);
            assert_eq!(all.len(), broken + 1, "{before:?}: {all:?}");
            assert_eq!(all.last().map(String::as_str), Some("{}"), "{before:?}");
        }
    }

    #[test]
    fn an_end_within_a_message_is_told() {
        for half in [
            "Content-Length: 9\r\n",
            "Content-Length: 9\r\n\r\n{",
            "Content-Le",
        ] {
            let all = heard(half.as_bytes());
            assert_eq!(all.len(), 1, "{half:?}: {all:?}");
        }
        assert!(heard(b"").is_empty());
    }

    #[test]
    fn brackets_without_end_are_no_json() {
        let deep = "[".repeat(1_000_000);
        let all = heard(format!("Content-Length: {}\r\n\r\n{deep}", deep.len()).as_bytes());
        assert_eq!(all.len(), 1);
        assert!(all[0].contains("no JSON"), "{all:?}");
    }
}
