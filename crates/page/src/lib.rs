//! The session for a page in a browser. A page has numbers and memory to share and no more, so three functions do it all:
//! [`room`] makes room for a request, a JSON object ([`Request`]); [`answer`] reads what was written there and gives how many
//! bytes the answer has; [`answered`] says where it lies: the file asked for, or, after [`STATUS`], the messages as JSON.

#![allow(
    unsafe_code,
    reason = "the name of an exported function counts as unsafe"
)]

use oaktag_language::library;
use oaktag_language::pattern::Issue;
use oaktag_language::report::{Diagnostic, json};
use oaktag_language::syntax::project::NoFiles;
use oaktag_output::sheet::Sheet;
use oaktag_studio::session::{Change, Form, Order, Part, Picture, Session, Table, Unchanged};
use serde::Deserialize;
use std::sync::{LazyLock, Mutex, PoisonError};

/// What a page asks for.
#[derive(Debug, Deserialize)]
pub struct Request {
    /// What messages call the draft.
    pub name: String,
    /// The draft as the editor holds it, not yet read.
    pub text: String,
    /// `NAME=VALUE`, as on a command line.
    #[serde(default)]
    pub values: Vec<String>,
    /// `svg`, `pdf`, `dxf`, `json`, `txt`, `csv`, `messages`, or `view`: all that a page shows, as JSON.
    pub form: String,
    /// While something is wrong, what can be drawn in forms too that one cuts or counts from.
    #[serde(default)]
    pub unfinished: bool,
}

/// The request and the answer.
#[derive(Debug, Default)]
struct Memory {
    request: Vec<u8>,
    answer: Vec<u8>,
}

static MEMORY: LazyLock<Mutex<Memory>> = LazyLock::new(Mutex::default);

fn with<T>(act: impl FnOnce(&mut Memory) -> T) -> T {
    act(&mut MEMORY.lock().unwrap_or_else(PoisonError::into_inner))
}

/// Makes room for a request of so many bytes, and says where.
#[unsafe(no_mangle)]
pub extern "C" fn room(bytes: usize) -> *mut u8 {
    with(|memory| {
        memory.request = vec![0; bytes];
        memory.request.as_mut_ptr()
    })
}

/// Answers the request: how many bytes the answer has.
#[unsafe(no_mangle)]
pub extern "C" fn answer() -> usize {
    with(|memory| {
        memory.answer = answer_to(&memory.request);
        memory.answer.len()
    })
}

/// Where the answer lies.
#[unsafe(no_mangle)]
pub extern "C" fn answered() -> *const u8 {
    with(|memory| memory.answer.as_ptr())
}

/// What an answer begins with that is no file: messages, or what is wrong with the request.
pub const STATUS: &[u8] = b"\0";

fn answer_to(request: &[u8]) -> Vec<u8> {
    let said = |words: &str| [STATUS, words.as_bytes()].concat();
    let request: Request = match serde_json::from_slice(request) {
        Ok(request) => request,
        Err(why) => return said(&why.to_string()),
    };
    let mut at_hand = SESSION.lock().unwrap_or_else(PoisonError::into_inner);
    let (session, told) = at_hand_for(&mut at_hand, &request);
    let written = match form(&request.form) {
        Some(form) if told.is_empty() => session.write(&Order {
            part: Part::default(),
            issue: Issue::default(),
            form,
            unfinished: request.unfinished,
        }),
        Some(_) => {
            return said(&json::all_to_json(session.sources(), &told, session.unit()).to_string());
        }
        None if request.form == "view" && told.is_empty() => {
            return serde_json::to_vec(&session.view()).unwrap_or_default();
        }
        None if request.form == "messages" || request.form == "view" => {
            let mut told = told;
            told.extend(session.outcome().diagnostics.iter().cloned());
            return said(&json::all_to_json(session.sources(), &told, session.unit()).to_string());
        }
        None => return said(&format!("there is no form `{}`", request.form)),
    };
    match written {
        Ok(written) => written.bytes,
        Err(_) => {
            let told = &session.outcome().diagnostics;
            said(&json::all_to_json(session.sources(), told, session.unit()).to_string())
        }
    }
}

/// The draft at hand, with the values that were laid on it.
struct AtHand {
    session: Session,
    values: Vec<String>,
}

static SESSION: Mutex<Option<AtHand>> = Mutex::new(None);

/// The session for a request: the one at hand with its text changed, where it is the same draft with the same values.
fn at_hand_for<'s>(
    at_hand: &'s mut Option<AtHand>,
    request: &Request,
) -> (&'s Session, Vec<Diagnostic>) {
    let mut told = Vec::new();
    let is_same = |one: &AtHand| one.session.name() == request.name && one.values == request.values;
    let kept = at_hand.take().filter(is_same);
    let kept = kept.and_then(|mut one| {
        let changed = one.session.change(Change::Text(request.text.clone()));
        changed.is_ok().then_some(one)
    });
    let one = kept.unwrap_or_else(|| {
        let mut session = Session::open(
            &request.name,
            &request.text,
            Box::new(NoFiles),
            library::MODULES,
        );
        for value in &request.values {
            if let Err(Unchanged::Told { messages, .. }) =
                session.change(Change::Value(value.clone()))
            {
                told.extend(messages);
            }
        }
        AtHand {
            session,
            values: request.values.clone(),
        }
    });
    (&at_hand.insert(one).session, told)
}

fn form(name: &str) -> Option<Form> {
    let picture = Picture::default;
    Some(match name {
        "svg" => Form::Svg(picture()),
        "pdf" => Form::Pdf(picture(), Sheet::default()),
        "dxf" => Form::Dxf,
        "json" => Form::Json,
        "txt" => Form::Ticket(Default::default()),
        "csv" => Form::Csv(Table::default()),
        _ => return None,
    })
}
