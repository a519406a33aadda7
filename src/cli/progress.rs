//! How far a long run is, and about how long it will take: one line on a terminal that is written over and taken away at
//! the end. Nothing is said where nobody watches, nor where the results themselves run over the screen.

use std::io::{self, IsTerminal, Write};
use std::time::{Duration, Instant};

/// How often the line is written anew.
const EVERY: Duration = Duration::from_millis(250);

/// A run under way.
pub(super) struct Progress {
    shown: bool,
    what: &'static str,
    from: usize,
    done: usize,
    all: usize,
    began: Instant,
    written: Option<Instant>,
}

impl Progress {
    /// A run of so many, of which some were done before.
    pub(super) fn new(what: &'static str, done: usize, all: usize) -> Self {
        Self {
            shown: io::stderr().is_terminal() && !io::stdout().is_terminal(),
            what,
            from: done,
            done,
            all,
            began: Instant::now(),
            written: None,
        }
    }

    /// A run whose results come all at the end, so that the line is in nobody's way.
    pub(super) fn of_silent_run(what: &'static str, all: usize) -> Self {
        Self {
            shown: io::stderr().is_terminal(),
            ..Self::new(what, 0, all)
        }
    }

    /// One more is done.
    pub(super) fn step(&mut self) {
        self.done += 1;
        if !self.shown || self.written.is_some_and(|last| last.elapsed() < EVERY) {
            return;
        }
        self.written = Some(Instant::now());
        let words = words(
            self.what,
            (self.from, self.done, self.all),
            self.began.elapsed(),
        );
        // Nothing is lost where it cannot be shown.
        let _ = write!(io::stderr().lock(), "\r{words}\u{1b}[K");
    }

    /// Takes the line away.
    pub(super) fn end(&self) {
        if self.written.is_some() {
            let _ = write!(io::stderr().lock(), "\r\u{1b}[K");
        }
    }
}

/// `1234 of 10000 bodies, about 12 s more`
fn words(what: &str, (from, done, all): (usize, usize, usize), passed: Duration) -> String {
    let here = done.saturating_sub(from).max(1);
    let left = all.saturating_sub(done);
    let seconds = passed.as_secs_f64() / here as f64 * left as f64;
    let about = if seconds < 90.0 {
        format!("{seconds:.0} s")
    } else {
        format!("{:.0} min", seconds / 60.0)
    };
    format!("{done} of {all} {what}, about {about} more")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_estimate_counts_what_was_done_in_this_run_alone() {
        let half = words("bodies", (500, 600, 1_000), Duration::from_secs(10));
        assert_eq!(half, "600 of 1000 bodies, about 40 s more");
        let long = words("bodies", (0, 1, 100), Duration::from_secs(10));
        assert_eq!(long, "1 of 100 bodies, about 16 min more");
    }
}
