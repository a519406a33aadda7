//! Where a result is to go: links, folders that are not there or cannot be written, pipes and devices.

use super::{Folder, SQUARE, Said};
use std::os::unix::fs::{MetadataExt, PermissionsExt, symlink};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

fn draw_to(folder: &Folder, target: &str) -> Said {
    folder.oaktag(&["draw", "square.draft", "-o", target])
}

fn is_svg(bytes: &[u8]) -> bool {
    bytes.ends_with(b"</svg>") || bytes.ends_with(b"</svg>\n")
}

#[test]
fn a_link_is_followed_and_stays_a_link() {
    let folder = Folder::new();
    let outside = tempfile::tempdir().unwrap();
    let away = outside.path().join("away.svg");
    std::fs::write(&away, "old").unwrap();
    folder.put("deep/real.svg", "old");
    symlink("deep/real.svg", folder.at("near.svg")).unwrap();
    symlink("near.svg", folder.at("twice.svg")).unwrap();
    symlink("deep/not_yet.svg", folder.at("dangling.svg")).unwrap();
    symlink(&away, folder.at("away.svg")).unwrap();
    for (link, file) in [
        ("near.svg", folder.at("deep/real.svg")),
        ("twice.svg", folder.at("deep/real.svg")),
        ("dangling.svg", folder.at("deep/not_yet.svg")),
        ("away.svg", away),
    ] {
        let said = draw_to(&folder, link);
        assert_eq!(said.status, Some(0), "{link}: {}", said.err);
        assert!(folder.at(link).is_symlink(), "{link}");
        assert!(is_svg(&std::fs::read(&file).unwrap()), "{link}");
        assert!(!file.is_symlink());
        std::fs::write(&file, "old").unwrap();
    }
    assert_eq!(folder.unfinished(), 0);
}

#[test]
fn a_link_that_leads_to_no_file_is_refused_and_left() {
    let folder = Folder::new();
    folder.put("folder/x", "");
    symlink("folder", folder.at("folder.svg")).unwrap();
    symlink("b.svg", folder.at("a.svg")).unwrap();
    symlink("a.svg", folder.at("b.svg")).unwrap();
    symlink("gone/far.svg", folder.at("gone.svg")).unwrap();
    symlink("/dev/null", folder.at("null.svg")).unwrap();
    let before = folder.names();
    for (link, why) in [
        ("folder.svg", "it is a folder"),
        ("a.svg", "its links lead round in a circle"),
        ("gone.svg", "there is no such folder"),
        ("null.svg", "it is a device or a pipe, not a file"),
    ] {
        let said = draw_to(&folder, link);
        assert_eq!(said.status, Some(3), "{link}");
        assert!(said.err.contains(why), "{link}: {}", said.err);
        assert!(folder.at(link).is_symlink());
    }
    assert_eq!(folder.names(), before);
}

/// Waits for a run; one that hangs is killed and fails.
fn ends(mut command: Command) -> Said {
    let pipe = Stdio::piped;
    let mut child = command.stdout(pipe()).stderr(pipe()).spawn().unwrap();
    let began = Instant::now();
    while child.try_wait().unwrap().is_none() {
        if began.elapsed() > Duration::from_secs(60) {
            child.kill().unwrap();
            panic!("it hangs: {command:?}");
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    Said::of(child.wait_with_output().unwrap())
}

/// POSIX: opening a pipe that nobody reads, or that nobody writes, waits.
#[test]
fn a_pipe_is_neither_waited_for_nor_replaced() {
    let folder = Folder::new();
    folder.put(
        "main.draft",
        "import \"pipe.draft\" as block\npoint p = origin\n",
    );
    for name in ["pipe.svg", "pipe.draft"] {
        let made = Command::new("mkfifo").arg(folder.at(name)).status();
        assert!(made.unwrap().success());
    }
    let why = "it is a device or a pipe, not a file";
    for (arguments, status) in [
        (&["draw", "square.draft", "-o", "pipe.svg"][..], 3),
        (&["check", "main.draft"], 1),
        (
            &[
                "check",
                "square.draft",
                "--bodies",
                "crew.csv",
                "--journal",
                "pipe.svg",
            ],
            3,
        ),
    ] {
        folder.put("crew.csv", "name,girth\nada,80\n");
        let said = ends(folder.command(arguments));
        assert_eq!(said.status, Some(status), "{arguments:?}: {}", said.err);
        assert!(said.err.contains(why), "{arguments:?}: {}", said.err);
    }
    let kind = std::fs::symlink_metadata(folder.at("pipe.svg")).unwrap();
    assert!(!kind.is_file());
    assert_eq!(folder.unfinished(), 0);
}

#[test]
fn a_folder_that_is_gone_is_told() {
    let folder = Folder::new();
    let said = draw_to(&folder, "nowhere/out.svg");
    assert_eq!(said.status, Some(3));
    assert!(said.err.contains("there is no such folder"), "{}", said.err);
    // Taken away when the program has begun and before it has read the draft.
    folder.put("gone/old.svg", "old");
    let gone = folder.at("gone");
    let take_away = || std::fs::remove_dir_all(&gone).unwrap();
    let said = folder.oaktag_fed(&["draw", "-", "-o", "gone/old.svg"], SQUARE, take_away);
    assert_eq!(said.status, Some(3));
    assert!(said.err.contains("there is no such folder"), "{}", said.err);
    assert_eq!(folder.names(), ["square.draft"]);
    // The very folder it was started in.
    folder.put("here/x", "");
    let mut command = Command::new("sh");
    command
        .args([
            "-c",
            "rm -r ../here; exec \"$@\"",
            "sh",
            env!("CARGO_BIN_EXE_oaktag"),
        ])
        .args(["draw", "../square.draft", "-o", "out.svg"])
        .current_dir(folder.at("here"));
    let said = Said::of(command.output().unwrap());
    assert_eq!(said.status, Some(3), "{}", said.err);
    assert_eq!(folder.names(), ["square.draft"]);
}

#[test]
fn a_new_file_gets_what_the_mask_leaves_and_an_old_one_keeps_what_it_had() {
    let folder = Folder::new();
    for (mask, mode) in [("022", 0o644), ("077", 0o600), ("002", 0o664)] {
        let script = format!("umask {mask}; exec \"$@\"");
        let target = format!("mask_{mask}.svg");
        let run = Command::new("sh")
            .args(["-c", &script, "sh", env!("CARGO_BIN_EXE_oaktag")])
            .args(["draw", "square.draft", "-o", &target])
            .current_dir(folder.0.path())
            .output();
        assert_eq!(run.unwrap().status.code(), Some(0));
        let found = folder.at(&target).metadata().unwrap().mode() & 0o777;
        assert_eq!(found, mode, "{mask}: {found:o}");
    }
    folder.put("old.svg", "old");
    let mode = |mode| std::fs::Permissions::from_mode(mode);
    std::fs::set_permissions(folder.at("old.svg"), mode(0o640)).unwrap();
    assert_eq!(draw_to(&folder, "old.svg").status, Some(0));
    assert_eq!(
        folder.at("old.svg").metadata().unwrap().mode() & 0o777,
        0o640
    );
}

/// As a user who may not write there. Whoever may write everywhere hands the run to user 65534, who owns nothing.
#[test]
fn a_folder_that_cannot_be_written_is_told() {
    let folder = Folder::new();
    folder.put("locked/old.svg", "old");
    let mode = |mode| std::fs::Permissions::from_mode(mode);
    std::fs::set_permissions(folder.0.path(), mode(0o755)).unwrap();
    std::fs::set_permissions(folder.at("locked"), mode(0o555)).unwrap();
    let writes_all = std::fs::write(folder.at("locked/probe"), "").is_ok();
    let _ = std::fs::remove_file(folder.at("locked/probe"));
    // The program is copied to where that user can reach it.
    let program = folder.at("oaktag");
    std::fs::copy(env!("CARGO_BIN_EXE_oaktag"), &program).unwrap();
    let ids = ["--reuid=65534", "--regid=65534", "--clear-groups", "--"];
    let command = |arguments: &[&str]| {
        let mut command = Command::new(if writes_all {
            "setpriv".as_ref()
        } else {
            program.as_os_str()
        });
        if writes_all {
            command.args(ids).arg(&program);
        }
        command
            .args(arguments)
            .current_dir(folder.0.path())
            .output()
    };
    let can_change = command(&["--version"]).is_ok_and(|run| run.status.success());
    if writes_all && !can_change {
        println!("SKIPPED: this user may write everywhere, and `setpriv` cannot make it another.");
        return;
    }
    for target in ["locked/new.svg", "locked/old.svg"] {
        let said = Said::of(command(&["draw", "square.draft", "-o", target]).unwrap());
        assert_eq!(said.status, Some(3), "{target}: {}", said.err);
        let words = format!("{target} cannot be written: permission is denied");
        assert!(said.err.contains(&words), "{}", said.err);
    }
    std::fs::set_permissions(folder.at("locked"), mode(0o755)).unwrap();
    assert_eq!(folder.read("locked/old.svg"), b"old");
    assert_eq!(folder.names(), ["locked/old.svg", "oaktag", "square.draft"]);
}

/// What the system says in its own words and with a number is said in ours.
#[test]
fn the_words_of_the_system_are_told_by_nobody() {
    let folder = Folder::new();
    std::os::unix::fs::symlink("round.draft", folder.at("round.draft")).unwrap();
    folder.put(
        "imports.draft",
        "import \"round.draft\" as round\npoint p = origin\n",
    );
    folder.put(
        "under.draft",
        "import \"square.draft/x.draft\" as under\npoint p = origin\n",
    );
    for (words, told) in [
        ("check imports.draft", "links lead round in a circle"),
        ("check round.draft", "links lead round in a circle"),
        ("check under.draft", "is a file, not a folder"),
        (
            "draw square.draft -o square.draft/x.svg",
            "a file, not a folder",
        ),
        (
            "draw square.draft -o round.draft/x.svg",
            "round in a circle",
        ),
        ("draw square.draft -o x.svg/", ""),
    ] {
        let words: Vec<&str> = words.split(' ').collect();
        let said = folder.oaktag(&words);
        assert_ne!(said.status, Some(0), "{words:?}");
        assert!(said.err.contains(told), "{words:?}: {}", said.err);
        for leaked in ["os error", "Too many", "Not a directory", ".."] {
            assert!(!said.err.contains(leaked), "{words:?}: {}", said.err);
        }
    }
}
