//! What the server opens outside of the editor: pictures, and the desk.

use super::common::{Common, locked};
use super::wire::{Answer, Wrong};
use crate::cli::disk;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::Mutex;

/// Has the client show something outside of itself; one that cannot tells where it is.
pub(super) fn show(common: &Common, address: &str, said: &str) {
    if common.client().shows {
        let params = json!({"uri": address, "external": true});
        common
            .voice
            .ask("oaktag-show", "window/showDocument", &params);
        return;
    }
    let params = json!({"type": 3, "message": format!("It is in {said}")});
    common.voice.tell("window/showMessage", &params);
}

/// Desks that were opened, by their drafts, with their addresses. They end with the server.
#[derive(Default)]
pub(super) struct Desks(Mutex<BTreeMap<PathBuf, (Child, String)>>);

impl Desks {
    /// Opens a draft on the desk as the command's arguments say: at a place of its text, and in a browser, unless only its
    /// address is wanted.
    pub(super) fn open(&self, common: &Common, draft: &Path, said: &[Value]) -> Answer {
        let mut open = locked(&self.0);
        let known = open.get_mut(draft).and_then(|(child, address)| {
            let lives = matches!(child.try_wait(), Ok(None));
            lives.then(|| address.clone())
        });
        let mut address = match known {
            Some(address) => address,
            None => {
                let (child, address) = begun(draft)?;
                open.insert(draft.to_owned(), (child, address.clone()));
                address
            }
        };
        drop(open);
        if let Some(line) = said.iter().find_map(|one| one.get("line")?.as_u64()) {
            // Lines are counted from 1 where people read them.
            let _ = write!(address, "&line={}", line.saturating_add(1));
        }
        let is_shown = is_shown(said);
        if is_shown && common.client().shows {
            show(common, &address, &address);
        } else if is_shown && ::open::that_detached(&address).is_err() {
            let words = format!("Open {address} in a browser.");
            common
                .voice
                .tell("window/showMessage", &json!({"type": 3, "message": words}));
        }
        Ok(json!({"address": address}))
    }
}

impl Drop for Desks {
    fn drop(&mut self) {
        for (child, _) in locked(&self.0).values_mut() {
            // One that has ended already is gone all the same.
            let _ = child.kill();
            let _ = child.wait();
        }
    }
}

/// A desk for a draft, and the address that it says first.
fn begun(draft: &Path) -> Result<(Child, String), Wrong> {
    let failed = |why: &str| Wrong::failed(format!("The desk could not be opened: {why}."));
    let program = std::env::current_exe().map_err(|error| failed(&disk::reason(&error)))?;
    let mut child = Command::new(program)
        .args(["desk", "--no-open"])
        .arg(draft)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .map_err(|error| failed(&disk::reason(&error)))?;
    let mut first = String::new();
    if let Some(out) = child.stdout.take() {
        // Without an answer there is no address.
        let _ = BufReader::new(out).read_line(&mut first);
    }
    let address = first.trim();
    if !address.starts_with("http://") {
        let _ = child.kill();
        let _ = child.wait();
        return Err(failed("it did not say its address"));
    }
    Ok((child, address.to_owned()))
}

/// Whether only the address of a desk is wanted, as the command's last argument says.
fn is_shown(arguments: &[Value]) -> bool {
    let said = arguments.iter().rev().find_map(|one| one.get("show"));
    said.and_then(Value::as_bool).unwrap_or(true)
}
