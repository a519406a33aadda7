//! `desk`: a page on the loopback address where a draft is written and drawn side by side, for the drafts of a folder.

mod changes;
mod door;
pub(super) mod drafts;
mod http;
mod page;
mod routes;

use super::{End, disk, told};
use changes::Changes;
use door::Door;
use drafts::Drafts;
use routes::Desks;
use std::convert::Infallible;
use std::net::{Ipv4Addr, SocketAddr, TcpListener};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

/// Arguments of `desk`.
#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// A draft, or a folder of drafts
    #[arg(value_name = "FILE | FOLDER", default_value = ".")]
    at: PathBuf,
    /// Listen on this port of the loopback address; without it, on one that is free
    #[arg(long, value_name = "N")]
    port: Option<u16>,
    /// Do not open the page in a browser
    #[arg(long)]
    no_open: bool,
}

/// So many connections are held at a time; a page holds half a dozen.
const MOST_CONNECTIONS: usize = 96;

/// Room for the deepest draft, as where many are drawn at a time.
const STACK: usize = 64 << 20;

/// All that the desk stands on.
struct Table {
    door: Door,
    drafts: Drafts,
    changes: Changes,
    desks: Desks,
    /// The draft that the page opens first, where one was named.
    opens: Option<String>,
}

/// Serves the page until the program is ended.
pub(super) fn run(arguments: &Arguments) -> End {
    match served(arguments) {
        Ok(never) => match never {},
        Err(end) => end,
    }
}

fn served(arguments: &Arguments) -> Result<Infallible, End> {
    let (folder, opens) = place(&arguments.at)?;
    let address = SocketAddr::from((Ipv4Addr::LOCALHOST, arguments.port.unwrap_or(0)));
    let listener = TcpListener::bind(address);
    let listener = listener.and_then(|listener| Ok((listener.local_addr()?.port(), listener)));
    let (port, listener) = listener.map_err(|error| {
        let why = disk::reason(&error);
        told::line(&format!("the desk cannot listen on {address}: {why}"));
        End::NoFile
    })?;
    let door = Door::new(port).map_err(|why| {
        told::line(&why);
        End::NoFile
    })?;
    let drafts = Drafts::new(folder);
    let before = drafts.seen();
    let first = door.first_address();
    told::report(&format!(
        "{first}\nThe desk for the drafts in {}. Open this address in a browser; end the program to leave.\n",
        drafts.folder().display()
    ));
    if !arguments.no_open && open::that_detached(&first).is_err() {
        told::line("no browser could be opened: open the address by hand.");
    }
    let table = Table {
        door,
        drafts,
        changes: Changes::default(),
        desks: Desks::default(),
        opens,
    };
    let held = AtomicUsize::new(0);
    let (table, held) = (&table, &held);
    thread::scope(|scope| {
        scope.spawn(|| table.changes.watch(&table.drafts, before));
        loop {
            let Ok((stream, _)) = listener.accept() else {
                continue;
            };
            if held.fetch_add(1, Ordering::SeqCst) >= MOST_CONNECTIONS {
                held.fetch_sub(1, Ordering::SeqCst);
                continue;
            }
            let hand = thread::Builder::new().stack_size(STACK);
            let begun = hand.spawn_scoped(scope, move || {
                http::serve(stream, &page::TOLD, &|head, body| table.answer(head, body));
                held.fetch_sub(1, Ordering::SeqCst);
            });
            if begun.is_err() {
                held.fetch_sub(1, Ordering::SeqCst);
            }
        }
    })
}

/// The folder, and the draft in it that is opened first.
fn place(at: &Path) -> Result<(PathBuf, Option<String>), End> {
    let failed = |why: &str| {
        told::line(&format!("{}: {why}", at.display()));
        End::NoFile
    };
    let real = at
        .canonicalize()
        .map_err(|error| failed(&format!("cannot be read: {}", disk::reason(&error))))?;
    if real.is_dir() {
        return Ok((real, None));
    }
    let name = real.file_name().and_then(|name| name.to_str());
    match (real.parent(), name) {
        (Some(folder), Some(name)) if drafts::is_draft(name) => {
            Ok((folder.to_owned(), Some(name.to_owned())))
        }
        _ => Err(failed(
            "the desk opens a folder, or a file whose name ends in .draft",
        )),
    }
}
