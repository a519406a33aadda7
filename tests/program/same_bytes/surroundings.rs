//! What stands around a run: threads, language, time zone, terminal, home, folder and mask. None of it is in a file.

use super::{Files, PROGRAM, differing, files, run};
use std::path::Path;
use std::process::Command;

const DRAFT: &str = "draft \"Square\"\nunit cm\nuse body\nbody girth = 80.5cm between 40cm and 160cm\ncloth main \"Poplin, ä ı İ\" width 150cm\nstep \"Rahmen\" {\n  panel back {\n    point b = origin right girth / 4\n    point c = origin down 30.25cm\n    line top = from origin to b\n    curve slant = from b to c leaving down arriving left\n    line centre = from c to origin\n  }\n}\nlength finished_top = girth / 4\npiece back \"İıi Back\" {\n  outline top, slant, centre\n  cut 1 from main\n  grain along centre\n  allow 1cm\n  finish top, slant, centre \"bound\"\n}\n";
const TABLE: &str = "name,girth\nb,80\na,90.5\nı,100\ni,120\n";

/// Every kind of file there is, the paths of draft and table as given.
const LINES: [&str; 20] = [
    "draw DRAFT -o OUT/a.svg",
    "draw DRAFT -o OUT/hair.svg --hairlines",
    "draw DRAFT -o OUT/a.pdf --sheet a4",
    "draw DRAFT -o OUT/a.dxf",
    "draw DRAFT -o OUT/a.json",
    "draw DRAFT -o OUT/a.png",
    "draw DRAFT -o OUT/a.txt",
    "draw DRAFT -o OUT/a.csv",
    "draw DRAFT -o OUT/lay.csv --table lay",
    "draw DRAFT --bodies TABLE -o OUT/{name}.json",
    "lesson DRAFT -o OUT/l.html",
    "lesson DRAFT -o OUT/l.pdf",
    "compare DRAFT --new-set girth=90cm -o OUT/c.html",
    "compare DRAFT --new-set girth=90cm -o OUT/c.json",
    "compare DRAFT --new-set girth=90cm -o OUT/c.md",
    "compare DRAFT --new-set girth=90cm -o OUT/c.pdf",
    "sizes DRAFT --bodies TABLE --csv OUT/s.csv -o OUT/s.svg",
    "sizes DRAFT --bodies TABLE -o OUT/s.dxf",
    "sizes DRAFT --bodies TABLE -o OUT/s.json",
    "sizes DRAFT --bodies TABLE -o OUT/s.pdf",
];

/// All of them from a folder, the paths by `path`, the surroundings by `around`.
fn all(start: &Path, path: impl Fn(&str) -> String, around: impl Fn(&mut Command)) -> Files {
    let out = tempfile::tempdir().unwrap();
    for line in LINES {
        let out = out.path().to_str().unwrap();
        let arguments = line.split(' ').map(|word| match word {
            "DRAFT" => path("d.draft"),
            "TABLE" => path("t.csv"),
            word => word.replace("OUT", out),
        });
        let mut command = Command::new(PROGRAM);
        command.args(arguments).current_dir(start);
        around(&mut command);
        run(command);
    }
    files(out.path())
}

fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("d.draft"), DRAFT).unwrap();
    std::fs::write(folder.path().join("t.csv"), TABLE).unwrap();
    folder
}

fn plain(name: &str) -> String {
    name.to_owned()
}

#[test]
fn surroundings_change_no_byte() {
    let folder = folder();
    let start = folder.path();
    let first = all(start, plain, |_| {});
    // A file a line at least: the table by size is a second of its line, and four bodies have a file each.
    assert!(first.len() >= LINES.len(), "{:?}", first.keys());
    let same = |what: &str, files: &Files| {
        let differ = differing(&first, files);
        assert!(differ.is_empty(), "{what} changes {differ:?}");
    };
    same("a second run", &all(start, plain, |_| {}));
    let given: [&[(&str, &str)]; 7] = [
        &[("LC_ALL", "C"), ("TZ", "UTC"), ("COLUMNS", "20")],
        &[
            ("LC_ALL", "de_DE.UTF-8"),
            ("TZ", "Asia/Kathmandu"),
            ("TERM", "dumb"),
        ],
        &[
            ("LC_ALL", "tr_TR.UTF-8"),
            ("TZ", "XXX+23:59"),
            ("NO_COLOR", "1"),
        ],
        &[
            ("LANG", "ar_EG.UTF-8"),
            ("CLICOLOR_FORCE", "1"),
            ("TERM", "xterm-256color"),
            ("COLUMNS", "400"),
        ],
        &[
            ("HOME", "/nowhere"),
            ("USER", "ada"),
            ("LOGNAME", "ada"),
            ("TMPDIR", "/nowhere"),
            ("HOSTNAME", "h"),
        ],
        &[
            ("SOURCE_DATE_EPOCH", "1"),
            ("FAKETIME", "@2001-01-01 00:00:00"),
            ("RUST_LOG", "trace"),
            ("RUST_BACKTRACE", "1"),
        ],
        &[
            ("RAYON_NUM_THREADS", "1"),
            ("MIMALLOC_VERBOSE", "0"),
            ("PWD", "/nowhere"),
            ("OLDPWD", "/nowhere"),
        ],
    ];
    for variables in given {
        same(
            &format!("{variables:?}"),
            &all(start, plain, |command| {
                command.envs(variables.iter().copied());
            }),
        );
    }
    same(
        "no variable at all",
        &all(start, plain, |command| {
            command.env_clear();
        }),
    );
}

/// The folder: a draft's name stands in a comparison and in the JSON as it was given, so it is given alike; its files are the same
/// wherever the folder lies and whatever lies beside them.
#[test]
fn the_folder_changes_no_byte() {
    let (one, other) = (folder(), folder());
    let first = all(one.path(), plain, |_| {});
    for name in ["zz", "a.draft", ".x", "0"] {
        std::fs::write(other.path().join(name), "draft \"Another\"\n").unwrap();
    }
    let deep = other.path().join("a/b c/ü");
    std::fs::create_dir_all(&deep).unwrap();
    for name in ["t.csv", "d.draft"] {
        std::fs::copy(one.path().join(name), deep.join(name)).unwrap();
    }
    for folder in [other.path(), &deep] {
        let differ = differing(&first, &all(folder, plain, |_| {}));
        assert!(differ.is_empty(), "{differ:?}");
    }
    // By its whole path, from elsewhere: where the draft is named, that is how it is named.
    let whole = |name: &str| one.path().join(name).to_str().unwrap().to_owned();
    let differ = differing(&first, &all(&deep, whole, |_| {}));
    let named = |name: &String| name.starts_with("c.") || name.ends_with(".json");
    assert!(differ.iter().all(named), "{differ:?}");
}

#[cfg(unix)]
#[test]
fn the_mask_changes_no_byte() {
    let folder = folder();
    let out = tempfile::tempdir().unwrap();
    for mask in ["000", "077"] {
        let target = out.path().join(format!("{mask}.svg"));
        let mut command = Command::new("sh");
        let script = format!("umask {mask}; exec \"$@\"");
        command.args(["-c", &script, "sh", PROGRAM, "draw", "d.draft", "-o"]);
        command.arg(target).current_dir(folder.path());
        run(command);
    }
    let files = files(out.path());
    assert_eq!(files.len(), 2);
    assert!(files["000.svg"] == files["077.svg"]);
}

#[test]
fn the_number_of_threads_changes_no_byte() {
    let folder = folder();
    let mut table = "name,girth\n".to_owned();
    for number in 0..30 {
        let girth = if number % 7 == 3 {
            900
        } else {
            50 + number * 3
        };
        table.push_str(&format!("hand_{number},{girth}\n"));
    }
    std::fs::write(folder.path().join("t.csv"), table).unwrap();
    let by = |threads: &str| {
        let out = tempfile::tempdir().unwrap();
        for line in [
            "draw d.draft --bodies t.csv -o OUT/{name}.pdf",
            "check d.draft --bodies t.csv --journal OUT/journal.jsonl",
            "sizes d.draft --bodies t.csv --csv OUT/s.csv -o OUT/s.json",
        ] {
            let line = line.replace("OUT", out.path().to_str().unwrap());
            let mut command = Command::new(PROGRAM);
            command.args(line.split(' ')).args(["--threads", threads]);
            command.current_dir(folder.path());
            let said = command.output().unwrap();
            let name = line.split(' ').next().unwrap();
            let told = [said.stdout, said.stderr].concat();
            let told = String::from_utf8(told)
                .unwrap()
                .replace(out.path().to_str().unwrap(), "OUT");
            std::fs::write(out.path().join(format!("told_by_{name}")), told).unwrap();
        }
        files(out.path())
    };
    let one = by("1");
    assert!(one.len() > 25, "{:?}", one.keys());
    for threads in ["2", "7"] {
        let differ = differing(&one, &by(threads));
        assert!(differ.is_empty(), "{threads} threads change {differ:?}");
    }
}
