//! The program killed at random moments while it writes: each target is the old file or the new one, whole, what is left
//! beside it is no result, and the next run clears it away. `tests/files/run` kills a thousand times.

use super::{Folder, SQUARE};
use std::collections::BTreeMap;
use std::path::Path;
use std::process::Stdio;
use std::time::{Duration, Instant};

use crate::chance;
use chance::Chance;

/// A command, what stands at its targets before it, and what after it.
struct Job {
    arguments: Vec<&'static str>,
    old: Vec<(&'static str, &'static [u8])>,
}

const TABLE: &str = "name,girth\nada,80\nbo,92\ncy,100\n";
const OLD: &[u8] = b"what stood here before\n";
const LOOSE: &[u8] = b"draft   \"Loose\"\nlength   a =   3cm\n";

fn jobs() -> Vec<Job> {
    let one = |line: &'static str, target: &'static str| Job {
        arguments: line.split(' ').collect(),
        old: vec![(target, if target == "loose.draft" { LOOSE } else { OLD })],
    };
    vec![
        one("draw square.draft -o a.pdf --sheet a4", "a.pdf"),
        one("draw square.draft -o a.svg", "a.svg"),
        one("draw square.draft -o a.json", "a.json"),
        one("draw square.draft -o a.dxf", "a.dxf"),
        one("draw square.draft -o a.png --resolution 300", "a.png"),
        one("tidy loose.draft", "loose.draft"),
        one("lesson square.draft -o a.html", "a.html"),
        one("compare square.draft wide.draft -o b.html", "b.html"),
        one(
            "sizes square.draft --bodies crew.csv -o nest.dxf",
            "nest.dxf",
        ),
        Job {
            arguments: "draw square.draft --bodies crew.csv -o out/{name}.svg --threads 2"
                .split(' ')
                .collect(),
            old: vec![
                ("out/ada.svg", OLD),
                ("out/bo.svg", OLD),
                ("out/cy.svg", OLD),
            ],
        },
    ]
}

/// How a run that was killed left its targets.
#[derive(Debug, Default)]
struct Tally {
    before: usize,
    during: usize,
    after: usize,
    ended: usize,
}

fn folder() -> Folder {
    let folder = Folder::new();
    folder.put("crew.csv", TABLE);
    folder.put("wide.draft", SQUARE.replace("30cm", "33cm"));
    folder
}

/// Waits until a file is being written in the folder, or the time is over.
fn await_unfinished(folder: &Path, most: Duration) {
    let began = Instant::now();
    while began.elapsed() < most {
        let entries = std::fs::read_dir(folder).unwrap().flatten();
        let mut names = entries.map(|entry| entry.file_name());
        if names.any(|name| name.to_string_lossy().starts_with(".oaktag-")) {
            return;
        }
    }
}

#[test]
fn a_run_killed_at_any_moment_leaves_the_old_file_or_the_new_one() {
    let kills: usize = std::env::var("OAKTAG_KILLS").map_or(60, |kills| kills.parse().unwrap());
    let mut chance = Chance::new(8);
    let jobs = jobs();
    let mut all = Tally::default();
    for (number, job) in jobs.iter().enumerate() {
        let share = kills / jobs.len() + usize::from(number < kills % jobs.len());
        let tally = killed(job, share, &mut chance);
        println!("{:<75} {tally:?}", job.arguments.join(" "));
        all.before += tally.before;
        all.during += tally.during;
        all.after += tally.after;
        all.ended += tally.ended;
    }
    println!("{kills} runs: {all:?}");
    assert_eq!(all.before + all.during + all.after + all.ended, kills);
    // Which moment is hit is chance and the disk's speed; of a thousand some must hit the writing itself.
    assert!(kills < 1_000 || all.during >= 50, "{all:?}");
}

/// Runs a job so often and kills it: every other time at any moment of its time, else when it has begun to write.
fn killed(job: &Job, times: usize, chance: &mut Chance) -> Tally {
    let folder = folder();
    let put_old = || job.old.iter().for_each(|(name, old)| folder.put(name, old));
    put_old();
    // The quickest of three: the first has yet to bring the program in from the disk.
    let timed = || {
        put_old();
        let began = Instant::now();
        assert_eq!(folder.oaktag(&job.arguments).status, Some(0));
        began.elapsed()
    };
    let takes = (0..3).map(|_| timed()).min().unwrap();
    let new: BTreeMap<&str, Vec<u8>> = job
        .old
        .iter()
        .map(|(name, _)| (*name, folder.read(name)))
        .collect();
    assert!(
        job.old.iter().all(|(name, old)| new[name] != *old),
        "nothing was written"
    );
    let whole = folder.names();
    let mut tally = Tally::default();
    for time in 0..times {
        put_old();
        // What the run before has left would be taken for this one's; the last run's is left for what comes after.
        for name in folder.names() {
            if name.contains(".oaktag-") {
                std::fs::remove_file(folder.at(&name)).unwrap();
            }
        }
        let silent = || Stdio::null();
        let mut child = folder
            .command(&job.arguments)
            .stdout(silent())
            .stderr(silent())
            .spawn()
            .unwrap();
        let part = |whole: Duration, chance: &mut Chance| {
            whole.mul_f64(chance.below(1_000) as f64 / 1_000.0)
        };
        if time % 2 == 0 {
            std::thread::sleep(part(takes.mul_f64(1.1), chance));
        } else {
            let target = folder.at(job.old[0].0);
            await_unfinished(target.parent().unwrap(), takes * 3);
            let spin = (Instant::now(), part(Duration::from_micros(600), chance));
            while spin.0.elapsed() < spin.1 {}
        }
        let ended = child.try_wait().unwrap().is_some();
        child.kill().unwrap();
        child.wait().unwrap();
        let is_new = |name: &str, old: &[u8]| {
            let found = folder.read(name);
            assert!(
                found == old || found == new[name],
                "{name} is neither old nor new: {:?}",
                job.arguments
            );
            found == new[name]
        };
        let of_new = job
            .old
            .iter()
            .filter(|(name, old)| is_new(name, old))
            .count();
        // What is left has none of the endings that results have.
        let left = folder
            .names()
            .into_iter()
            .filter(|name| !whole.contains(name));
        assert!(
            left.clone()
                .all(|name| name.contains(".oaktag-") && name.ends_with(".tmp"))
        );
        match (ended, left.count(), of_new) {
            (true, ..) => tally.ended += 1,
            (_, 1.., _) => tally.during += 1,
            (_, 0, 0) => tally.before += 1,
            _ => tally.after += 1,
        }
    }
    put_old();
    assert_eq!(folder.oaktag(&job.arguments).status, Some(0));
    assert_eq!(
        folder.names(),
        whole,
        "a later run clears away what was left"
    );
    assert!(new.iter().all(|(name, new)| folder.read(name) == *new));
    tally
}

/// A journal grows by lines: killed, it holds whole answers and perhaps a part of one more, and the next run goes on there.
#[test]
fn a_journal_broken_off_at_any_moment_goes_on() {
    let folder = folder();
    let mut table = TABLE.to_owned();
    (0..200).for_each(|n| table.push_str(&format!("hand_{n},{}\n", 50 + n / 2)));
    folder.put("crew.csv", table);
    let arguments = "check square.draft --bodies crew.csv --journal crew.jsonl --threads 2";
    let arguments: Vec<&str> = arguments.split(' ').collect();
    let began = Instant::now();
    let whole = folder.oaktag(&arguments);
    let takes = began.elapsed();
    let journal = folder.read("crew.jsonl");
    assert_eq!(whole.status, Some(0), "{}", whole.err);
    let mut chance = Chance::new(9);
    for _ in 0..8 {
        std::fs::remove_file(folder.at("crew.jsonl")).unwrap();
        let mut child = folder
            .command(&arguments)
            .stdout(Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(takes.mul_f64(0.3 + chance.below(700) as f64 / 1_000.0));
        child.kill().unwrap();
        child.wait().unwrap();
        let part = std::fs::read(folder.at("crew.jsonl")).unwrap_or_default();
        assert!(journal.starts_with(&part), "a line is written in its order");
        let again = folder.oaktag(&arguments);
        assert_eq!((again.status, &again.out), (Some(0), &whole.out));
        assert!(folder.read("crew.jsonl") == journal);
    }
}
