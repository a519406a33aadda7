//! A line that says what goes on while work is long: on a terminal alone, after a while, and gone when the work is done. Short
//! work, and work whose messages go into a file, says nothing.

use std::io::{self, IsTerminal, Write};
use std::sync::mpsc::{self, RecvTimeoutError};
use std::thread;
use std::time::{Duration, Instant};

/// Work that takes less than this is short.
const SHORT: Duration = Duration::from_millis(1500);
/// Between one line and the next.
const STEP: Duration = Duration::from_millis(500);

/// Does the work, and says `words` while it is long.
pub(super) fn watched<T>(words: &str, work: impl FnOnce() -> T) -> T {
    if !io::stderr().is_terminal() {
        return work();
    }
    let (done, waits) = mpsc::channel::<()>();
    thread::scope(|scope| {
        scope.spawn(|| watch(words, waits));
        let result = work();
        drop(done);
        result
    })
}

fn watch(words: &str, waits: mpsc::Receiver<()>) {
    let begun = Instant::now();
    let mut wait = SHORT;
    let mut shown = 0;
    while waits.recv_timeout(wait) == Err(RecvTimeoutError::Timeout) {
        let line = line(words, begun.elapsed().as_secs());
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

fn line(words: &str, seconds: u64) -> String {
    format!("{words}, {seconds} s")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_work_is_done_and_its_result_given() {
        assert_eq!(watched("Counting", || 1 + 2), 3);
        assert_eq!(line("Drawing", 2), "Drawing, 2 s");
    }
}
