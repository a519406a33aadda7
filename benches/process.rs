//! The whole process, as a person waits for it: the release program started, a draft read, checked or drawn to a file, and
//! ended. `--version` is the floor: what starting and ending a program takes on this machine.
//!
//! `cargo bench --bench process`, or with a number of runs: `cargo bench --bench process -- 50`.

mod support;

use std::error::Error;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Instant;
use support::table::{Table, at_most, seconds};
use support::time::Time;

const SHIRT: &str = "examples/womens-crew-shirt.draft";
const FERRY: &str = "examples/ferry-shirt.draft";

fn main() -> Result<(), Box<dyn Error>> {
    let Some(asked) = support::asked() else {
        return Ok(());
    };
    let folder = tempfile::tempdir()?;
    let svg = folder.path().join("drawing.svg");
    let svg = svg.to_string_lossy();
    let draw = |draft| vec!["draw", draft, "-o", &svg];
    let rows: [(&str, Vec<&str>, Option<f64>); 5] = [
        ("--version", vec!["--version"], None),
        ("check crew shirt", vec!["check", SHIRT], Some(10e-3)),
        ("draw crew shirt, SVG", draw(SHIRT), Some(15e-3)),
        ("check ferry shirt", vec!["check", FERRY], Some(10e-3)),
        ("draw ferry shirt, SVG", draw(FERRY), Some(15e-3)),
    ];
    let runs = asked.most.unwrap_or(if asked.quick { 5 } else { 200 });
    let mut table = Table::new(&["process", "best", "median", "goal", ""]);
    for (name, words, goal) in &rows {
        let taken = of(words, runs)?;
        let (goal, met) = match goal {
            Some(goal) => (seconds(*goal), at_most(taken.best, *goal)),
            None => (String::new(), String::new()),
        };
        table.row([
            (*name).to_owned(),
            seconds(taken.best),
            seconds(taken.median),
            goal,
            met,
        ]);
    }
    table.print(&format!("Whole process, {runs} runs"));
    Ok(())
}

/// Best and median of so many runs, after a few that warm the file cache.
fn of(words: &[&str], runs: usize) -> Result<Time, Box<dyn Error>> {
    for _ in 0..3 {
        once(words)?;
    }
    let mut all = Vec::with_capacity(runs);
    for _ in 0..runs.max(1) {
        all.push(once(words)?);
    }
    Ok(Time::of(all))
}

/// Seconds from before the program is started until it has ended.
fn once(words: &[&str]) -> Result<f64, Box<dyn Error>> {
    let mut command = Command::new(env!("CARGO_BIN_EXE_oaktag"));
    command
        .args(words)
        .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")))
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    let began = Instant::now();
    let ended = command.status()?;
    let taken = began.elapsed().as_secs_f64();
    if !ended.success() {
        return Err(format!("oaktag {} ended with {ended}", words.join(" ")).into());
    }
    Ok(taken)
}
