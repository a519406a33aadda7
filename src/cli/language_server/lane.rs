//! The hand of one open document: a thread with the draft at hand. Newer text goes before older, answers before messages, and
//! what nobody waits for any more is left.

use super::answers::{self, Hand};
use super::common::{Common, OverOpen, Seen, Stamp, locked, real, stamp};
use super::positions::Text;
use super::wire::Wrong;
use crate::cli::told;
use oaktag_language::library;
use oaktag_language::syntax::project::LARGEST_TEXT;
use oaktag_studio::session::{Change, Session};
use serde_json::Value;
use std::collections::BTreeMap;
use std::panic::{self, AssertUnwindSafe};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, Sender, TryRecvError, channel};
use std::thread;

/// Room for the deepest draft, as where many are drawn at a time.
const STACK: usize = 64 << 20;

/// A text of the document.
#[derive(Clone)]
pub(super) struct Version {
    pub text: Text,
    /// As the client counts.
    pub number: i32,
    /// Set once there is a newer one.
    pub old: Arc<AtomicBool>,
}

impl Version {
    /// More letters than a draft may have.
    pub(super) fn is_too_long(&self) -> bool {
        self.text.draft().len() > LARGEST_TEXT
    }

    /// The draft; nothing of one that is too long.
    fn draft(&self) -> &str {
        match self.is_too_long() {
            true => "",
            false => self.text.draft(),
        }
    }
}

/// What a hand is given to do.
pub(super) enum Job {
    /// A newer text.
    Text(Version),
    /// Something that the draft imports has changed.
    Again,
    /// A request: its id, its method, what it says.
    Ask(Value, String, Value),
}

/// A hand from outside.
pub(super) struct Lane {
    jobs: Sender<Job>,
    seen: Seen,
}

impl Lane {
    /// A thread for a document.
    ///
    /// # Errors
    /// Where the system has no thread left.
    pub(super) fn begun(
        common: &Arc<Common>,
        address: &str,
        path: Option<&Path>,
        is_library: bool,
        first: Version,
    ) -> std::io::Result<Self> {
        let (jobs, given) = channel();
        let seen = Seen::default();
        let worker = Worker {
            common: Arc::clone(common),
            document: Document {
                address: address.to_owned(),
                path: path.map(real),
                is_library,
            },
            seen: Arc::clone(&seen),
            version: first,
            session: None,
        };
        let hand = thread::Builder::new().stack_size(STACK);
        hand.spawn(move || worker.work(&given))?;
        Ok(Self { jobs, seen })
    }

    /// Gives it something to do.
    pub(super) fn give(&self, job: Job) {
        // A hand ends with this end of the channel.
        let _ = self.jobs.send(job);
    }

    /// Whether the draft has asked for that file.
    pub(super) fn reads(&self, path: &Path) -> bool {
        locked(&self.seen).contains_key(path)
    }

    /// Looks at the disk, and does all again where a file that the draft asked for is another now.
    pub(super) fn look(&self) {
        let seen: Vec<(PathBuf, Stamp)> = locked(&self.seen).clone().into_iter().collect();
        if seen.iter().any(|(path, was)| stamp(path) != *was) {
            self.give(Job::Again);
        }
    }
}

/// Which document it is.
pub(super) struct Document {
    /// As the client has it.
    pub address: String,
    /// Without links; none of what is not saved.
    pub path: Option<PathBuf>,
    /// It is the library's: to be read, and not judged.
    pub is_library: bool,
}

impl Document {
    /// What messages call the draft.
    fn name(&self) -> String {
        let name = self.path.as_ref().and_then(|path| path.file_name());
        match name {
            Some(name) => name.to_string_lossy().into_owned(),
            None => self.address.clone(),
        }
    }
}

struct Worker {
    common: Arc<Common>,
    document: Document,
    seen: Seen,
    version: Version,
    /// The draft at hand, once it was opened, of the version or of one before it.
    session: Option<(Session, Arc<AtomicBool>)>,
}

impl Worker {
    fn work(mut self, given: &Receiver<Job>) {
        let mut are_told = false;
        loop {
            let job = match are_told {
                true => match given.recv() {
                    Ok(job) => job,
                    Err(_) => return,
                },
                false => match given.try_recv() {
                    Ok(job) => job,
                    Err(TryRecvError::Empty) => {
                        are_told = true;
                        self.guarded(None, |hand| {
                            super::messages::tell(hand);
                            Ok(Value::Null)
                        });
                        continue;
                    }
                    Err(TryRecvError::Disconnected) => return,
                },
            };
            match job {
                Job::Text(version) => {
                    self.version = version;
                    are_told = false;
                }
                Job::Again => {
                    // What is at hand is of no version that there is, and is read again.
                    if let Some((_, of)) = &mut self.session {
                        *of = Arc::default();
                    }
                    are_told = false;
                }
                Job::Ask(id, method, params) => {
                    if self.common.waits(&id) {
                        self.guarded(Some(&id), |hand| answers::answer(hand, &method, params));
                    }
                }
            }
        }
    }

    /// Does something with the draft of the newest text. Where the program itself breaks down on it, it is opened anew for the
    /// next.
    fn guarded(&mut self, id: Option<&Value>, work: impl FnOnce(&Hand<'_>) -> super::wire::Answer) {
        if self.version.old.load(Ordering::SeqCst) {
            return;
        }
        let done = panic::catch_unwind(AssertUnwindSafe(|| {
            self.at_hand();
            let (session, _) = self.session.as_ref()?;
            Some(work(&Hand {
                common: &self.common,
                document: &self.document,
                version: &self.version,
                session,
                editor: session.editor(),
            }))
        }));
        let answer = match done {
            Ok(Some(answer)) => answer,
            Ok(None) => Err(Wrong::new(Wrong::INTERNAL, "the draft is not at hand")),
            Err(_) => {
                self.session = None;
                let words = format!(
                    "the program broke down on {}; please report it",
                    self.document.address
                );
                told::line(&format!("language-server: {words}."));
                Err(Wrong::new(Wrong::INTERNAL, words))
            }
        };
        if let Some(id) = id {
            self.common.answer(id, answer);
        }
    }

    /// Takes the newest text.
    fn at_hand(&mut self) {
        let is_at_hand = |(_, of): &(Session, Arc<AtomicBool>)| Arc::ptr_eq(of, &self.version.old);
        if self.session.as_ref().is_some_and(is_at_hand) {
            return;
        }
        let text = self.version.draft();
        let before = self.session.take();
        locked(&self.seen).clear();
        let kept = before.and_then(|(mut session, _)| {
            session.stop_by(Arc::clone(&self.version.old));
            let changed = session.change(Change::Text(text.to_owned()));
            changed.ok().map(|()| session)
        });
        let session = kept.unwrap_or_else(|| {
            let path = self.document.path.as_deref();
            let reader = OverOpen::of(&self.common, path, &self.seen, BTreeMap::new());
            let name = self.document.name();
            let mut session = Session::open(&name, text, reader, library::MODULES);
            session.stop_by(Arc::clone(&self.version.old));
            session
        });
        self.session = Some((session, Arc::clone(&self.version.old)));
    }
}
