//! What every example comes to in every form, as digests that any build must reproduce; and, where the variable
//! `OAKTAG_RELEASE` names another build of the program, that build's bytes beside this one's.

use super::{Files, PROGRAM, differing, files, run};
use expect_test::expect_file;
use std::fmt::Write;
use std::process::Command;

const EXAMPLES: [&str; 9] = [
    "card-block-shirt",
    "deck-smock",
    "deck-vest",
    "ferry-shirt",
    "first-steps",
    "fitted-blouse",
    "house-block",
    "mens-crew-shirt",
    "womens-crew-shirt",
];

/// A hash that anybody can work out (FNV-1a, 64 bits: Fowler, Noll and Vo, from memory).
pub(super) fn fnv(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(*byte)).wrapping_mul(0x0000_0100_0000_01b3)
    })
}

/// Each example in every form, and the forms of one that other commands write.
fn all(program: &str) -> Files {
    let out = tempfile::tempdir().unwrap();
    let mut lines: Vec<String> = Vec::new();
    for example in EXAMPLES {
        let draft = format!("examples/{example}.draft");
        assert!(
            std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
                .join(&draft)
                .exists()
        );
        for (ending, more) in [
            ("svg", ""),
            ("pdf", " --sheet a4"),
            ("dxf", ""),
            ("json", ""),
            ("png", ""),
            ("txt", ""),
        ] {
            if example == "house-block" && matches!(ending, "dxf" | "txt") {
                continue;
            }
            lines.push(format!("draw {draft} -o OUT/{example}.{ending}{more}"));
        }
    }
    let vest = "examples/deck-vest.draft";
    lines.push(format!("lesson {vest} -o OUT/lesson.html"));
    lines.push(format!("lesson {vest} -o OUT/lesson.pdf"));
    for ending in ["html", "json", "md", "svg", "pdf"] {
        lines.push(format!(
            "compare {vest} --new-set ease=13cm -o OUT/compare.{ending}"
        ));
    }
    let shirt = "sizes examples/womens-crew-shirt.draft --bodies examples/sizes.csv";
    lines.push(format!("{shirt} --csv OUT/sizes.csv -o OUT/sizes.dxf"));
    lines.push(format!("{shirt} -o OUT/sizes.svg"));
    // Two at a time: most of a run is its own work.
    let halves = lines.chunks(lines.len().div_ceil(2));
    std::thread::scope(|scope| {
        for half in halves {
            scope.spawn(|| half.iter().for_each(|line| one(program, line, out.path())));
        }
    });
    files(out.path())
}

fn one(program: &str, line: &str, out: &std::path::Path) {
    let mut command = Command::new(program);
    command
        .args(
            line.split(' ')
                .map(|word| word.replace("OUT", out.to_str().unwrap())),
        )
        .current_dir(env!("CARGO_MANIFEST_DIR"));
    run(command);
}

#[test]
fn every_build_writes_the_bytes_of_the_digests() {
    let made = all(PROGRAM);
    assert!(made.len() > 55, "{:?}", made.keys());
    let mut table = String::new();
    for (name, bytes) in &made {
        writeln!(table, "{name} {} {:016x}", bytes.len(), fnv(bytes)).unwrap();
    }
    expect_file!["../../data/drawings.txt"].assert_eq(&table);
    let Some(release) = std::env::var_os("OAKTAG_RELEASE") else {
        return;
    };
    let release = std::path::absolute(release).unwrap();
    let differ = differing(&made, &all(release.to_str().unwrap()));
    assert!(differ.is_empty(), "the other build differs in {differ:?}");
    println!("{} files are the same by {}", made.len(), release.display());
}
