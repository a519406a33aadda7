//! A disk that takes only so many bytes, and a standard output that takes none. The limit on a file's size (POSIX `ulimit -f`,
//! in blocks of 512 bytes) stands for the disk; `/dev/full` refuses every byte (full(4) of the Linux manual).

use super::{Folder, Said};
use std::process::{Command, Stdio};

/// Runs the program where files end after so many blocks; the signal that tells of it is ignored, or kills.
fn with_blocks(folder: &Folder, blocks: usize, ignored: bool, arguments: &[&str]) -> Said {
    let trap = if ignored { "trap '' XFSZ;" } else { "" };
    let script = format!("{trap} ulimit -c 0; ulimit -f {blocks}; exec \"$@\"");
    let run = Command::new("sh")
        .args(["-c", &script, "sh", env!("CARGO_BIN_EXE_oaktag")])
        .args(arguments)
        .current_dir(folder.0.path())
        .output();
    Said::of(run.unwrap())
}

#[test]
fn a_full_disk_leaves_the_old_file() {
    let folder = Folder::new();
    folder.put("out.svg", "as it was");
    folder.put(
        "loose.draft",
        format!("length   a = 3cm\n{}", "# a remark\n".repeat(2_000)),
    );
    let before = folder.files();
    for blocks in [0, 1, 3, 8] {
        for arguments in [
            &["draw", "square.draft", "-o", "out.svg"][..],
            &["draw", "square.draft", "-o", "new.pdf", "--sheet", "a4"],
            &["lesson", "square.draft", "-o", "new.html"],
            &["tidy", "loose.draft"],
        ] {
            let said = with_blocks(&folder, blocks, true, arguments);
            assert_eq!(said.status, Some(3), "{blocks} {arguments:?} {}", said.err);
            let words = "cannot be written: it is larger than a file may be here";
            assert!(said.err.contains(words), "{}", said.err);
            assert!(!said.out.contains("written"), "{}", said.out);
            assert_eq!(folder.files(), before, "{blocks} {arguments:?}");
        }
    }
}

/// Without the trap the system kills the program in the middle of a write, each time.
#[test]
fn a_run_killed_in_the_middle_of_a_write_leaves_the_old_file() {
    let folder = Folder::new();
    folder.put("out.svg", "as it was");
    for blocks in [0, 1, 4, 8] {
        let said = with_blocks(
            &folder,
            blocks,
            false,
            &["draw", "square.draft", "-o", "out.svg"],
        );
        assert_eq!(said.status, None, "it was killed: {}", said.err);
        assert_eq!(folder.read("out.svg"), b"as it was");
        assert!(folder.unfinished() >= 1, "{:?}", folder.names());
    }
    assert_eq!(
        folder
            .oaktag(&["draw", "square.draft", "-o", "out.svg"])
            .status,
        Some(0)
    );
    assert_eq!(folder.names(), ["out.svg", "square.draft"]);
}

#[test]
fn a_result_that_standard_output_does_not_take_is_told() {
    let folder = Folder::new();
    folder.put("crew.csv", "name,girth\nada,80\nbo,90\n");
    let full = || {
        std::fs::OpenOptions::new()
            .write(true)
            .open("/dev/full")
            .unwrap()
    };
    for arguments in [
        &["check", "square.draft"][..],
        &["check", "square.draft", "--format", "json"],
        &["check", "square.draft", "--bodies", "crew.csv"],
        &["draw", "square.draft", "-o", "out.svg"],
        &["sizes", "square.draft", "--bodies", "crew.csv"],
        &["compare", "square.draft", "--new-set", "girth=90cm"],
        &["phrases"],
        &["explain", "never-meet"],
        &["completions", "bash"],
        &["--help"],
        &["--version"],
    ] {
        let said = folder.command(arguments).stdout(full()).output().unwrap();
        let said = Said::of(said);
        assert_eq!(said.status, Some(3), "{arguments:?} {}", said.err);
        let words = "standard output cannot be written: the disk is full";
        assert_eq!(
            said.err.matches(words).count(),
            1,
            "{arguments:?} {}",
            said.err
        );
    }
    // Messages that nobody can read change nothing.
    let check = ["check", "square.draft"];
    let said = folder.command(&check).stderr(full()).output().unwrap();
    assert_eq!(said.status.code(), Some(0));
}

/// Closed, it is a reader that has gone away: the statuses are as ever.
#[test]
fn a_closed_standard_output_is_no_error() {
    let folder = Folder::new();
    folder.put("broken.draft", "point p = \n");
    for (draft, status) in [("square.draft", 0), ("broken.draft", 1)] {
        let run = Command::new("sh")
            .args([
                "-c",
                "exec \"$@\" >&- 2>&-",
                "sh",
                env!("CARGO_BIN_EXE_oaktag"),
            ])
            .args(["check", draft])
            .current_dir(folder.0.path())
            .stdin(Stdio::null())
            .status();
        assert_eq!(run.unwrap().code(), Some(status));
    }
}
