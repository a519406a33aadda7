//! A line that says what goes on while work is long: on a terminal alone, after a while, and gone when the work is done. Short
//! work, and work whose messages go into a file, says nothing.

use std::io::{self, IsTerminal, Write};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc::{self, RecvTimeoutError};
use std::thread;
use std::time::{Duration, Instant};

/// Work that takes less than this is short.
const SHORT: Duration = Duration::from_millis(1500);
/// Between one line and the next.
const STEP: Duration = Duration::from_millis(500);

/// How far the work has come, told by those who do it.
#[derive(Debug, Default)]
pub(super) struct Far(AtomicUsize);

impl Far {
    /// One more is done.
    pub(super) fn one_more(&self) {
        self.0.fetch_add(1, Ordering::Relaxed);
    }
}

/// Does the work, and says `words` while it is long; `all` is how many parts it has, nothing where they are not counted.
pub(super) fn watched<T>(words: &str, all: Option<usize>, work: impl FnOnce(&Far) -> T) -> T {
    let far = Far::default();
    if !io::stderr().is_terminal() {
        return work(&far);
    }
    let (done, waits) = mpsc::channel::<()>();
    thread::scope(|scope| {
        scope.spawn(|| watch(words, all, &far, waits));
        let result = work(&far);
        drop(done);
        result
    })
}

fn watch(words: &str, all: Option<usize>, far: &Far, waits: mpsc::Receiver<()>) {
    let begun = Instant::now();
    let mut wait = SHORT;
    let mut shown = 0;
    while waits.recv_timeout(wait) == Err(RecvTimeoutError::Timeout) {
        let line = line(words, far.0.load(Ordering::Relaxed), all, begun.elapsed().as_secs());
        say(&line, shown);
        shown = line.chars().count();
        wait = STEP;
    }
    if shown > 0 {
        say("", shown);
        say("", 0);
    }
}

/// Writes a line over the last one.
fn say(line: &str, shown: usize) {
    let blank = " ".repeat(shown.saturating_sub(line.chars().count()));
    let mut out = io::stderr().lock();
    // A terminal that cannot be written to has nobody before it.
    let _ = write!(out, "\r{line}{blank}").and_then(|()| out.flush());
}

fn line(words: &str, done: usize, all: Option<usize>, seconds: u64) -> String {
    match all {
        Some(all) => format!("{words}: {done} of {all}, {seconds} s"),
        None => format!("{words}, {seconds} s"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_line_counts_what_can_be_counted() {
        assert_eq!(line("Bodies", 12, Some(40), 3), "Bodies: 12 of 40, 3 s");
        assert_eq!(line("Drawing", 0, None, 2), "Drawing, 2 s");
    }

    #[test]
    fn the_work_is_done_and_its_result_given() {
        let counted = watched("Counting", Some(3), |far| {
            (0..3).for_each(|_| far.one_more());
            far.0.load(Ordering::Relaxed)
        });
        assert_eq!(counted, 3);
    }
}
