//! What each address of the desk answers.

use super::drafts::{Refused, Written};
use super::http::{Answer, Body, Head, NoBody};
use super::{Table, page};
use oaktag_studio::desk::{Desk, WRONG};
use serde::{Deserialize, Serialize};
use serde_json::json;
use std::collections::BTreeMap;
use std::panic::{self, AssertUnwindSafe};
use std::sync::{Arc, Mutex, PoisonError};

/// Drafts that are kept at hand.
const MOST_KEPT: usize = 6;

/// Drafts at hand, by name.
#[derive(Default)]
pub(super) struct Desks(Mutex<BTreeMap<String, Arc<Mutex<Desk>>>>);

impl Desks {
    fn of(&self, name: &str) -> Arc<Mutex<Desk>> {
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if kept.len() >= MOST_KEPT && !kept.contains_key(name) {
            kept.clear();
        }
        Arc::clone(kept.entry(name.to_owned()).or_default())
    }

    fn forget(&self, name: &str) {
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        kept.remove(name);
    }
}

/// A text to be written, and the mark of the one it was made from.
#[derive(Deserialize)]
struct ToWrite {
    text: String,
    was: Option<String>,
}

/// What a question is about.
#[derive(Deserialize)]
struct About {
    name: String,
}

impl Table {
    /// Answers a request.
    pub(super) fn answer(&self, head: &Head, body: &mut Body<'_>) -> Answer {
        if !self.door.is_own(head) {
            return said(403, "The desk answers its own page alone.");
        }
        let (path, query) = head.target.split_once('?').unwrap_or((&head.target, ""));
        let method = head.method.as_str();
        if let ("GET" | "HEAD", Some(asset)) = (method, page::asset(path)) {
            return of_kind(200, asset.kind, asset.bytes.to_vec());
        }
        if !self.door.has_key(head) {
            return said(
                401,
                "The desk does not know this page: open the address that `oaktag desk` printed.",
            );
        }
        let named = parameter(query, "path").unwrap_or_default();
        match (method, path) {
            ("GET", "/files") => of_json(
                200,
                &json!({
                    "folder": self.drafts.name(),
                    "files": self.drafts.list(),
                    "opens": self.opens,
                }),
            ),
            ("GET", "/file") => match self.drafts.read(&named) {
                Ok(text) => of_json(200, &text),
                Err(why) => refused(why),
            },
            ("PUT", "/file") => match body.read() {
                Ok(body) => self.write(&named, &body),
                Err(why) => no_body(&why),
            },
            ("GET", "/changes") => {
                let since = parameter(query, "since").and_then(|since| since.parse().ok());
                of_json(200, &self.changes.since(since.unwrap_or(0)))
            }
            ("GET", "/committed") => match self.drafts.committed(&named) {
                Ok((text, of)) => of_json(200, &json!({"text": text, "of": of})),
                Err(why) => refused(why),
            },
            ("POST", "/answer") => match body.read() {
                Ok(body) => of_kind(200, "application/octet-stream", self.answer_to(&body)),
                Err(why) => no_body(&why),
            },
            _ => said(404, "There is nothing of that name here."),
        }
    }

    fn write(&self, path: &str, body: &[u8]) -> Answer {
        let asked: ToWrite = match serde_json::from_slice(body) {
            Ok(asked) => asked,
            Err(why) => return said(400, &why.to_string()),
        };
        match self.drafts.write(path, &asked.text, asked.was.as_deref()) {
            Ok(Written::Whole(mark)) => of_json(200, &json!({"mark": mark})),
            Ok(Written::Changed(now)) => of_json(409, &now),
            Err(why) => refused(why),
        }
    }

    /// Answers a question about a draft. Where the program itself breaks down on it, the desk goes on.
    fn answer_to(&self, question: &[u8]) -> Vec<u8> {
        let about = serde_json::from_slice::<About>(question);
        let name = about.map(|about| about.name).unwrap_or_default();
        let desk = self.desks.of(&name);
        let answered = panic::catch_unwind(AssertUnwindSafe(|| {
            let mut desk = desk.lock().unwrap_or_else(PoisonError::into_inner);
            desk.answer(question, &|name| self.drafts.reader(name))
        }));
        answered.unwrap_or_else(|_| {
            self.desks.forget(&name);
            let said = json!({"said": "The program broke down on this draft; the text is as it was. Please report it."});
            let mut bytes = vec![WRONG];
            bytes.extend(said.to_string().into_bytes());
            bytes
        })
    }
}

fn no_body(why: &NoBody) -> Answer {
    match why {
        NoBody::NoLength => said(411, "The desk reads what says its length."),
        NoBody::TooLong => said(413, "That is longer than a draft may be."),
        NoBody::BrokenOff => said(400, "That broke off before its end."),
    }
}

/// A parameter of an address, its letters put back.
fn parameter(query: &str, name: &str) -> Option<String> {
    let pairs = query.split('&').filter_map(|pair| pair.split_once('='));
    let (_, value) = pairs.into_iter().find(|(key, _)| *key == name)?;
    let mut bytes = Vec::with_capacity(value.len());
    let mut rest = value.bytes();
    while let Some(byte) = rest.next() {
        match byte {
            b'%' => {
                let digits = [rest.next()?, rest.next()?];
                let digits = std::str::from_utf8(&digits).ok()?;
                bytes.push(u8::from_str_radix(digits, 16).ok()?);
            }
            b'+' => bytes.push(b' '),
            byte => bytes.push(byte),
        }
    }
    String::from_utf8(bytes).ok()
}

fn refused(why: Refused) -> Answer {
    match why {
        Refused::NotHere(words) => said(403, &words),
        Refused::Missing => said(404, "There is no such file."),
        Refused::Failed(words) => said(422, &words),
    }
}

fn said(status: u16, words: &str) -> Answer {
    of_json(status, &json!({"said": words}))
}

fn of_json(status: u16, value: &impl Serialize) -> Answer {
    let bytes = serde_json::to_vec(value).unwrap_or_default();
    of_kind(status, "application/json", bytes)
}

fn of_kind(status: u16, kind: &'static str, bytes: Vec<u8>) -> Answer {
    Answer {
        status,
        kind,
        bytes,
    }
}
