//! `language-server`: what the page of the desk knows, in any editor, over the open Language Server Protocol (version 3.17) on
//! standard input and output. One thread reads, one keeps the texts and sends every request to the hand of its document, and each
//! document has a hand of its own.

mod address;
mod answers;
mod client;
mod commands;
mod common;
mod lane;
mod library;
mod messages;
mod positions;
mod wire;
mod workspace;

use super::{End, told};
use answers::read;
use client::{Client, DESK};
use commands::Desks;
use common::{Common, real};
use lane::{Job, Lane, Version};
use library::Library;
use lsp_types::{
    DidChangeTextDocumentParams, DidChangeWatchedFilesParams, DidChangeWorkspaceFoldersParams,
    DidCloseTextDocumentParams, DidOpenTextDocumentParams, ExecuteCommandParams, InitializeParams,
    WorkspaceSymbolParams,
};
use positions::Text;
use serde::Deserialize;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::io::{self, BufReader};
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::thread;
use std::time::{Duration, Instant};
use wire::{Answer, Heard, Voice, Wire, Wrong};

/// Arguments of `language-server`.
#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// Speak on standard input and output, as it always does
    #[arg(long)]
    stdio: bool,
}

/// How often files are looked at that open drafts import.
const BETWEEN_LOOKS: Duration = Duration::from_millis(700);

/// Serves one client until it is gone.
pub(super) fn run(arguments: &Arguments) -> End {
    let Arguments { stdio: _ } = arguments;
    let (said, heard) = channel();
    // It ends with its input, or with the program.
    thread::spawn(move || {
        let mut wire = Wire::new(BufReader::new(io::stdin()));
        loop {
            let next = wire.next();
            let is_end = matches!(next, Heard::End(_));
            if said.send(next).is_err() || is_end {
                return;
            }
        }
    });
    let voice = Voice::new(Box::new(io::stdout()));
    let mut server = Server {
        common: Arc::new(Common::new(voice)),
        documents: BTreeMap::new(),
        folders: Vec::new(),
        desks: Arc::default(),
        stage: Stage::Fresh,
        looked: Instant::now(),
    };
    server.serve(&heard)
}

/// How far a conversation is.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Stage {
    Fresh,
    Begun,
    /// The client has said that it will leave.
    Over,
}

/// An open document.
struct Open {
    path: Option<PathBuf>,
    version: Version,
    lane: Lane,
}

struct Server {
    common: Arc<Common>,
    /// By their addresses.
    documents: BTreeMap<String, Open>,
    /// Folders that the client has open.
    folders: Vec<PathBuf>,
    desks: Arc<Desks>,
    stage: Stage,
    looked: Instant,
}

/// What a message may have.
#[derive(Deserialize)]
struct Message {
    #[serde(default)]
    id: Option<Value>,
    #[serde(default)]
    method: Option<String>,
    #[serde(default)]
    params: Value,
    #[serde(default)]
    error: Option<Value>,
}

/// Whose text a request is about.
#[derive(Deserialize)]
#[serde(rename_all = "camelCase")]
struct About {
    text_document: Named,
}

#[derive(Deserialize)]
struct Named {
    uri: String,
}

impl Server {
    fn serve(&mut self, heard: &Receiver<Heard>) -> End {
        loop {
            let left = BETWEEN_LOOKS.saturating_sub(self.looked.elapsed());
            let next = match heard.recv_timeout(left) {
                Ok(next) => next,
                Err(RecvTimeoutError::Timeout) => {
                    self.look();
                    continue;
                }
                Err(RecvTimeoutError::Disconnected) => Heard::End(None),
            };
            match next {
                Heard::Message(message) => {
                    if let Some(end) = self.message(message) {
                        return end;
                    }
                }
                Heard::Broken(why, is_owed) => {
                    told::line(&format!("language-server: {why}."));
                    if is_owed {
                        let wrong = Wrong::new(Wrong::PARSE, why);
                        self.common.voice.answer(&Value::Null, Err(wrong));
                    }
                }
                Heard::End(why) => {
                    let why = why.unwrap_or_else(|| "the client left without `exit`".to_owned());
                    told::line(&format!("language-server: {why}."));
                    return End::Wrong;
                }
            }
        }
    }

    /// Takes a message; the end, where it is the last.
    fn message(&mut self, message: Value) -> Option<End> {
        let message = match serde_json::from_value::<Message>(message) {
            Ok(message) => message,
            Err(why) => {
                self.refuse(&format!("a message has another shape: {why}"));
                return None;
            }
        };
        let is_id = |id: &Value| id.is_number() || id.is_string();
        match (message.method, message.id.filter(is_id)) {
            (Some(method), Some(id)) => self.request(&method, id, message.params),
            (Some(method), None) if method == "exit" => {
                return Some(match self.stage {
                    Stage::Over => End::Well,
                    Stage::Fresh | Stage::Begun => End::Wrong,
                });
            }
            (Some(method), None) => {
                if let Err(why) = self.notification(&method, message.params) {
                    told::line(&format!("language-server: `{method}`: {why}"));
                }
            }
            // An answer to what the client was asked.
            (None, Some(_)) => {
                if let Some(error) = message.error {
                    told::line(&format!("language-server: the client refused: {error}"));
                }
            }
            (None, None) => self.refuse("a message has neither method nor id"),
        }
        None
    }

    fn refuse(&self, why: &str) {
        told::line(&format!("language-server: {why}."));
        let wrong = Wrong::new(Wrong::REQUEST, why);
        self.common.voice.answer(&Value::Null, Err(wrong));
    }

    fn request(&mut self, method: &str, id: Value, params: Value) {
        let answer = match (self.stage, method) {
            (Stage::Fresh, "initialize") => self.begin(params),
            (Stage::Fresh, _) => Err(Wrong::new(Wrong::NOT_BEGUN, "`initialize` comes first")),
            (Stage::Over, _) => Err(Wrong::new(Wrong::REQUEST, "the conversation is over")),
            (Stage::Begun, "initialize") => {
                Err(Wrong::new(Wrong::REQUEST, "`initialize` comes once"))
            }
            (Stage::Begun, "shutdown") => {
                self.stage = Stage::Over;
                Ok(Value::Null)
            }
            (Stage::Begun, "workspace/textDocumentContent") => {
                read::<Named>(params).and_then(|asked| {
                    let text = library::text(&asked.uri);
                    let text = text.map(|text| json!({"text": text}));
                    text.ok_or_else(|| Wrong::failed("The library has no such text."))
                })
            }
            (Stage::Begun, "workspace/symbol") => return self.symbols(id, params),
            (Stage::Begun, "workspace/executeCommand") => return self.command(id, params),
            (Stage::Begun, method) if answers::is_of_document(method) => {
                match read::<About>(params.clone()) {
                    Ok(about) => {
                        return self.send(id, method, params, &about.text_document.uri);
                    }
                    Err(wrong) => Err(wrong),
                }
            }
            (Stage::Begun, method) => {
                let words = format!("there is no request `{method}`");
                Err(Wrong::new(Wrong::METHOD, words))
            }
        };
        self.common.voice.answer(&id, answer);
    }

    /// Sends a request to the hand of its document.
    fn send(&self, id: Value, method: &str, params: Value, address: &str) {
        let Some(open) = self.documents.get(address) else {
            let words = format!("{address} is not open");
            let wrong = Wrong::new(Wrong::PARAMS, words);
            return self.common.voice.answer(&id, Err(wrong));
        };
        self.common.ask(&id, Some(Arc::clone(&open.version.old)));
        open.lane.give(Job::Ask(id, method.to_owned(), params));
    }

    fn begin(&mut self, params: Value) -> Answer {
        let said: InitializeParams = read(params.clone())?;
        let client = Client::of(&said, &params);
        // There is one client.
        let _ = self.common.client.set(client);
        let folders = said.workspace_folders.iter().flatten();
        let mut folders: Vec<PathBuf> = folders
            .filter_map(|folder| address::path_of(folder.uri.as_str()))
            .collect();
        if folders.is_empty() {
            let root = params.get("rootUri").and_then(Value::as_str);
            folders.extend(root.and_then(address::path_of));
        }
        self.folders = folders.iter().map(|folder| real(folder)).collect();
        self.stage = Stage::Begun;
        Ok(client.told())
    }

    fn notification(&mut self, method: &str, params: Value) -> Result<(), String> {
        if self.stage != Stage::Begun {
            // Nothing is owed to it.
            return Ok(());
        }
        fn of<T: serde::de::DeserializeOwned>(params: Value) -> Result<T, String> {
            serde_json::from_value(params).map_err(|why| why.to_string())
        }
        match method {
            "initialized" => self.watch(),
            "textDocument/didOpen" => {
                let said: DidOpenTextDocumentParams = of(params)?;
                let document = said.text_document;
                self.open(document.uri.as_str(), &document.text, document.version)?;
            }
            "textDocument/didChange" => {
                let said: DidChangeTextDocumentParams = of(params)?;
                let address = said.text_document.uri.as_str();
                let open = self.documents.get(address).ok_or("it is not open")?;
                let mut text = open.version.text.clone();
                for change in &said.content_changes {
                    text = text.changed(change);
                }
                self.take(address.to_owned(), text, said.text_document.version);
            }
            "textDocument/didClose" => {
                let said: DidCloseTextDocumentParams = of(params)?;
                self.close(said.text_document.uri.as_str());
            }
            "textDocument/didSave" => self.look(),
            "workspace/didChangeWatchedFiles" => {
                let said: DidChangeWatchedFilesParams = of(params)?;
                for change in &said.changes {
                    if let Some(path) = address::path_of(change.uri.as_str()) {
                        self.again(&real(&path), None);
                    }
                }
            }
            "workspace/didChangeWorkspaceFolders" => {
                let said: DidChangeWorkspaceFoldersParams = of(params)?;
                let path = |uri: &lsp_types::Uri| Some(real(&address::path_of(uri.as_str())?));
                let gone = said.event.removed.iter().filter_map(|one| path(&one.uri));
                let gone: Vec<PathBuf> = gone.collect();
                self.folders.retain(|folder| !gone.contains(folder));
                let new = said.event.added.iter().filter_map(|one| path(&one.uri));
                self.folders.extend(new);
            }
            "$/cancelRequest" => {
                let id = params.get("id").cloned().unwrap_or_default();
                let wrong = Wrong::new(Wrong::CANCELLED, "the client has taken it back");
                self.common.answer(&id, Err(wrong));
            }
            // What begins so may be passed over.
            method if method.starts_with("$/") => {}
            "workspace/didChangeConfiguration" => {}
            _ => return Err("there is no such notification.".to_owned()),
        }
        Ok(())
    }

    /// Asks to be told of drafts that change on the disk.
    fn watch(&self) {
        if self.common.client().watches {
            let registered = json!({"registrations": [{
                "id": "oaktag-drafts",
                "method": "workspace/didChangeWatchedFiles",
                "registerOptions": {"watchers": [{"globPattern": "**/*.draft"}]},
            }]});
            let voice = &self.common.voice;
            voice.ask("oaktag-watch", "client/registerCapability", &registered);
        }
    }

    fn open(&mut self, address: &str, text: &str, number: i32) -> Result<(), String> {
        self.close(address);
        let path = address::path_of(address);
        let is_library = address::module_of(address).is_some()
            || path
                .as_deref()
                .is_some_and(|path| Library::holds(&real(path)));
        let version = Version {
            text: Text::new(text.into(), self.common.client().encoding),
            number,
            old: Arc::default(),
        };
        if let Some(path) = &path {
            self.common.open(path, address, version.text.whole());
        }
        let first = version.clone();
        let lane = Lane::begun(&self.common, address, path.as_deref(), is_library, first);
        let lane = lane.map_err(|error| format!("{address}: {error}"))?;
        let changed = path.as_deref().map(real);
        self.documents.insert(
            address.to_owned(),
            Open {
                path,
                version,
                lane,
            },
        );
        if let Some(path) = changed {
            self.again(&path, Some(address));
        }
        Ok(())
    }

    /// Takes a newer text of a document.
    fn take(&mut self, address: String, text: Text, number: i32) {
        let Some(open) = self.documents.get_mut(&address) else {
            return;
        };
        self.common.retire(&open.version.old);
        open.version = Version {
            text,
            number,
            old: Arc::default(),
        };
        open.lane.give(Job::Text(open.version.clone()));
        if let Some(path) = open.path.clone() {
            self.common.open(&path, &address, open.version.text.whole());
            self.again(&real(&path), Some(&address));
        }
    }

    fn close(&mut self, address: &str) {
        let Some(open) = self.documents.remove(address) else {
            return;
        };
        self.common.retire(&open.version.old);
        let params = json!({"uri": address, "diagnostics": []});
        self.common
            .voice
            .tell("textDocument/publishDiagnostics", &params);
        if let Some(path) = &open.path {
            self.common.close(path);
            self.again(&real(path), None);
        }
    }

    /// Does all again that has asked for a file which is another now.
    fn again(&self, path: &std::path::Path, but: Option<&str>) {
        for (address, open) in &self.documents {
            if Some(address.as_str()) != but && open.lane.reads(path) {
                open.lane.give(Job::Again);
            }
        }
    }

    fn look(&mut self) {
        self.looked = Instant::now();
        for open in self.documents.values() {
            open.lane.look();
        }
    }

    fn symbols(&self, id: Value, params: Value) {
        let asked: WorkspaceSymbolParams = match read(params) {
            Ok(asked) => asked,
            Err(wrong) => return self.common.voice.answer(&id, Err(wrong)),
        };
        let folders = self.folders.clone();
        self.aside(id, move |common| {
            workspace::symbols(common, &folders, &asked.query)
        });
    }

    fn command(&self, id: Value, params: Value) {
        let said: Result<ExecuteCommandParams, Wrong> = read(params.clone());
        let said = match said {
            Ok(said) => said,
            Err(wrong) => return self.common.voice.answer(&id, Err(wrong)),
        };
        let Some(address) = said.arguments.first().and_then(Value::as_str) else {
            let wrong = Wrong::new(Wrong::PARAMS, "an address is wanting");
            return self.common.voice.answer(&id, Err(wrong));
        };
        if said.command != DESK {
            return self.send(id, "workspace/executeCommand", params, address);
        }
        let Some(draft) = address::path_of(address) else {
            let wrong = Wrong::failed("Save the draft first: the desk opens files.");
            return self.common.voice.answer(&id, Err(wrong));
        };
        let desks = Arc::clone(&self.desks);
        self.aside(id, move |common| {
            desks.open(common, &draft, &said.arguments)
        });
    }

    /// Answers in a thread of its own.
    fn aside(&self, id: Value, work: impl FnOnce(&Common) -> Answer + Send + 'static) {
        self.common.ask(&id, None);
        let common = Arc::clone(&self.common);
        thread::spawn(move || {
            let answer = work(&common);
            common.answer(&id, answer);
        });
    }
}
