//! What each address of the desk answers.

use super::drafts::{Refused, Written};
use super::{Table, page};
use oaktag_studio::desk::{Desk, WRONG};
use serde::{Deserialize, Serialize};
use serde_json::json;
use std::collections::BTreeMap;
use std::convert::Infallible;
use std::io::{Cursor, Read};
use std::panic::{self, AssertUnwindSafe};
use std::sync::{Arc, Mutex, PoisonError};
use tiny_http::{Header, Method, Request, Response, Server};

/// A question or a text is not read beyond this.
const LONGEST_BODY: u64 = 64 << 20;
/// Drafts that are kept at hand.
const MOST_KEPT: usize = 6;

type Answer = Response<Cursor<Vec<u8>>>;

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
    /// Answers one request after another.
    pub(super) fn serve(&self, server: &Server) -> Infallible {
        loop {
            let Ok(mut request) = server.recv() else {
                continue;
            };
            let answer = self.answer(&mut request);
            // Who has gone away hears nothing.
            let _ = request.respond(guarded(answer));
        }
    }

    fn answer(&self, request: &mut Request) -> Answer {
        if !self.door.is_own(request) {
            return said(403, "The desk answers its own page alone.");
        }
        let url = request.url().to_owned();
        let (path, query) = url.split_once('?').unwrap_or((&url, ""));
        if let (Method::Get | Method::Head, Some(asset)) = (request.method(), page::asset(path)) {
            return of_kind(200, asset.kind, asset.bytes.to_vec());
        }
        if !self.door.has_key(request) {
            return said(
                401,
                "The desk does not know this page: open the address that `oaktag desk` printed.",
            );
        }
        let named = parameter(query, "path").unwrap_or_default();
        match (request.method(), path) {
            (Method::Get, "/files") => of_json(
                200,
                &json!({
                    "folder": self.drafts.name(),
                    "files": self.drafts.list(),
                    "opens": self.opens,
                }),
            ),
            (Method::Get, "/file") => match self.drafts.read(&named) {
                Ok(text) => of_json(200, &text),
                Err(why) => refused(why),
            },
            (Method::Put, "/file") => match body(request) {
                Ok(body) => self.write(&named, &body),
                Err(answer) => answer,
            },
            (Method::Get, "/changes") => {
                let since = parameter(query, "since").and_then(|since| since.parse().ok());
                of_json(200, &self.changes.since(since.unwrap_or(0)))
            }
            (Method::Get, "/committed") => match self.drafts.committed(&named) {
                Ok((text, of)) => of_json(200, &json!({"text": text, "of": of})),
                Err(why) => refused(why),
            },
            (Method::Post, "/answer") => match body(request) {
                Ok(body) => of_kind(200, "application/octet-stream", self.answer_to(&body)),
                Err(answer) => answer,
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

/// The body of a request.
fn body(request: &mut Request) -> Result<Vec<u8>, Answer> {
    let mut bytes = Vec::new();
    let mut reader = request.as_reader().take(LONGEST_BODY + 1);
    if let Err(why) = reader.read_to_end(&mut bytes) {
        return Err(said(400, &why.to_string()));
    }
    if bytes.len() as u64 > LONGEST_BODY {
        return Err(said(413, "That is longer than a draft may be."));
    }
    Ok(bytes)
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

fn of_kind(status: u16, kind: &str, bytes: Vec<u8>) -> Answer {
    let answer = Response::from_data(bytes).with_status_code(status);
    // Whole, with its length: it is at hand anyway.
    let answer = answer.with_chunked_threshold(usize::MAX);
    with_header(answer, "Content-Type", kind)
}

/// What a browser is told of every answer.
fn guarded(answer: Answer) -> Answer {
    let told = [
        ("Cache-Control", "no-store"),
        ("Content-Security-Policy", page::POLICY),
        ("Cross-Origin-Opener-Policy", "same-origin"),
        ("Cross-Origin-Resource-Policy", "same-origin"),
        ("Referrer-Policy", "no-referrer"),
        ("X-Content-Type-Options", "nosniff"),
        ("X-Frame-Options", "DENY"),
    ];
    told.into_iter().fold(answer, |answer, (name, value)| {
        with_header(answer, name, value)
    })
}

fn with_header(answer: Answer, name: &str, value: &str) -> Answer {
    match Header::from_bytes(name, value) {
        Ok(header) => answer.with_header(header),
        Err(()) => answer,
    }
}
