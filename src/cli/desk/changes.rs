//! Files of the folder that change while the desk is open, by whomever. They are looked at twice a second: every disk can be
//! looked at, and a folder of drafts is small.

use super::drafts::{Drafts, Seen};
use serde::Serialize;
use std::collections::BTreeMap;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Condvar, Mutex, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

const BETWEEN_LOOKS: Duration = Duration::from_millis(500);
/// A page that waits is answered at the latest after this.
const LONGEST_WAIT: Duration = Duration::from_secs(25);
/// So many pages may wait; another is answered at once.
const MOST_WAITING: usize = 8;

/// When each file changed last, counted in changes.
#[derive(Default)]
pub(super) struct Changes {
    counted: Mutex<Counted>,
    told: Condvar,
    waiting: AtomicUsize,
}

struct Counted {
    /// From 1: a page that asks after 0 asks for the first time.
    now: u64,
    of: BTreeMap<String, u64>,
}

impl Default for Counted {
    fn default() -> Self {
        Self {
            now: 1,
            of: BTreeMap::new(),
        }
    }
}

/// What changed since a page asked last.
#[derive(Debug, Serialize)]
pub(super) struct Since {
    /// To ask with next.
    pub now: u64,
    pub changed: Vec<String>,
}

impl Changes {
    /// Looks at the folder, which was as `before` says, for as long as the program runs.
    pub(super) fn watch(&self, drafts: &Drafts, mut before: Seen) {
        loop {
            thread::sleep(BETWEEN_LOOKS);
            let seen = drafts.seen();
            let names = before.keys().chain(seen.keys());
            let changed = names.filter(|name| before.get(*name) != seen.get(*name));
            let changed: Vec<String> = changed.cloned().collect();
            if !changed.is_empty() {
                let mut counted = self.counted.lock().unwrap_or_else(PoisonError::into_inner);
                counted.now += 1;
                let now = counted.now;
                counted
                    .of
                    .extend(changed.into_iter().map(|name| (name, now)));
                self.told.notify_all();
            }
            before = seen;
        }
    }

    /// What changed after `since`; waits for the next change where nothing has. Who asks after 0 is told the count alone.
    pub(super) fn since(&self, since: u64) -> Since {
        let end = Instant::now() + LONGEST_WAIT;
        let is_first = since == 0;
        let is_one_too_many = self.waiting.fetch_add(1, Ordering::SeqCst) >= MOST_WAITING;
        let mut counted = self.counted.lock().unwrap_or_else(PoisonError::into_inner);
        let since = if since == 0 { counted.now } else { since };
        let may_wait = !is_one_too_many && !is_first;
        while may_wait && counted.now <= since {
            let left = end.saturating_duration_since(Instant::now());
            if left.is_zero() {
                break;
            }
            let waited = self.told.wait_timeout(counted, left);
            counted = waited.unwrap_or_else(PoisonError::into_inner).0;
        }
        self.waiting.fetch_sub(1, Ordering::SeqCst);
        let changed = counted.of.iter().filter(|(_, at)| **at > since);
        Since {
            now: counted.now,
            changed: changed.map(|(name, _)| name.clone()).collect(),
        }
    }
}
