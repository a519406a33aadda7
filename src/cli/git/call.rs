//! The program `git`, called so that nothing of a repository or of its author's is run, fetched or written, and that nobody's
//! settings change what it says.

use super::doors;
use crate::cli::disk;
use std::ffi::OsStr;
use std::path::Path;
use std::process::{Command, Stdio};

/// The first release that fetches no promised object where `GIT_NO_LAZY_FETCH` says so; the lines before it learnt that with
/// these releases (CVE-2024-32465; the lines from memory, 2.39.5 and 2.47.3 tried).
const FETCHES_NOTHING: (u32, u32) = (2, 45);
const LEARNT: [(u32, u32); 6] = [(39, 4), (40, 2), (41, 1), (42, 2), (43, 4), (44, 1)];

/// Keys of git's configuration, each with a value that goes before any file's.
pub(super) type Overrides = Vec<(String, String)>;

/// Those that are the same for every repository.
pub(super) fn fixed() -> Overrides {
    let owned = |(key, value): &(&str, &str)| ((*key).to_owned(), (*value).to_owned());
    doors::FIXED.iter().map(owned).collect()
}

/// Refuses a git that does not know every switch that is relied on.
///
/// # Errors
/// In words.
pub(super) fn new_enough() -> Result<(), String> {
    let said = output(plain().arg("version"))?;
    let version = said.trim().trim_start_matches("git version ").to_owned();
    if knows_the_switches(&version) {
        return Ok(());
    }
    Err(format!(
        "the program git here is version {version}, which may run what a repository's author wrote; git 2.45 or later is needed"
    ))
}

fn knows_the_switches(version: &str) -> bool {
    let mut parts = version
        .split(|c: char| !c.is_ascii_digit())
        .map(|part| part.parse::<u32>().unwrap_or(0));
    let mut next = || parts.next().unwrap_or(0);
    let (major, minor, patch) = (next(), next(), next());
    (major, minor) >= FETCHES_NOTHING
        || major == 2
            && LEARNT
                .iter()
                .any(|(line, from)| *line == minor && patch >= *from)
}

/// Refuses a repository that git itself would not open: one that belongs to another user, or none. Where the user has said
/// that it is safe stands in the user's own configuration, which is read here and nowhere else.
///
/// # Errors
/// In words.
pub(super) fn is_trusted(root: &Path) -> Result<(), String> {
    let mut command = plain();
    for key in [
        "GIT_CONFIG_GLOBAL",
        "GIT_CONFIG_SYSTEM",
        "GIT_CONFIG_NOSYSTEM",
    ] {
        match std::env::var_os(key) {
            Some(value) => command.env(key, value),
            None => command.env_remove(key),
        };
    }
    let mut overrides = fixed();
    // Only what stands in `.git`, never a folder that looks like a repository itself.
    overrides.push(("safe.bareRepository".to_owned(), "explicit".to_owned()));
    configured(&mut command, &overrides);
    command.arg("-C").arg(root).args(["rev-parse", "--git-dir"]);
    output(&mut command).map(drop).map_err(|why| {
        let root = root.display();
        if why.contains("dubious ownership") {
            format!(
                "the git repository {root} belongs to another user; if you trust it, say: git config --global --add safe.directory '{root}'"
            )
        } else {
            format!("{root}/.git is no git repository that can be read: {why}")
        }
    })
}

/// Runs git on a repository and gives what it wrote.
///
/// # Errors
/// In words, what git said.
pub(super) fn run<A: AsRef<OsStr>>(
    root: &Path,
    overrides: &Overrides,
    arguments: impl IntoIterator<Item = A>,
) -> Result<Vec<u8>, String> {
    let mut command = plain();
    configured(&mut command, overrides);
    // Not begun in the folder: a search path that holds `.` would find the author's programs there.
    command.arg("-C").arg(root);
    command.arg(prefixed("--git-dir=", &root.join(".git")));
    command.arg(prefixed("--work-tree=", root));
    command.args(["--no-pager", "--literal-pathspecs", "--no-optional-locks"]);
    bytes(command.args(arguments))
}

fn prefixed(option: &str, path: &Path) -> std::ffi::OsString {
    let mut word = std::ffi::OsString::from(option);
    word.push(path);
    word
}

/// Git without anything that the environment or the user's files would tell it.
fn plain() -> Command {
    let mut command = Command::new("git");
    for (key, _) in std::env::vars_os() {
        let is_gits = key.to_str().is_some_and(|key| key.starts_with("GIT_"));
        // Where git's own programs lie is the user's to say.
        if is_gits && key != "GIT_EXEC_PATH" {
            command.env_remove(key);
        }
    }
    command
        .env("GIT_CONFIG_NOSYSTEM", "1")
        .env("GIT_CONFIG_GLOBAL", "/dev/null")
        .env("GIT_ATTR_NOSYSTEM", "1")
        .env("GIT_NO_LAZY_FETCH", "1")
        .env("GIT_ALLOW_PROTOCOL", "")
        .env("GIT_TERMINAL_PROMPT", "0")
        .env("LC_ALL", "C")
        .stdin(Stdio::null());
    command
}

/// By the environment, since a name in the middle of a key may hold any letter.
fn configured(command: &mut Command, overrides: &Overrides) {
    command.env("GIT_CONFIG_COUNT", overrides.len().to_string());
    for (at, (key, value)) in overrides.iter().enumerate() {
        command.env(format!("GIT_CONFIG_KEY_{at}"), key);
        command.env(format!("GIT_CONFIG_VALUE_{at}"), value);
    }
}

fn output(command: &mut Command) -> Result<String, String> {
    bytes(command).map(super::text)
}

fn bytes(command: &mut Command) -> Result<Vec<u8>, String> {
    let output = command
        .output()
        .map_err(|error| format!("the program git cannot be run: {}", disk::reason(&error)))?;
    if output.status.success() {
        return Ok(output.stdout);
    }
    let said = super::text(output.stderr);
    // Warnings come before what it ended of.
    let last = said.lines().find(|line| line.starts_with("fatal: "));
    let said = last.or_else(|| said.lines().next()).unwrap_or("");
    let said = said.trim_start_matches("fatal: ").trim_end_matches('.');
    Err(if said.is_empty() {
        "git found nothing".to_owned()
    } else {
        said.to_owned()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_old_git_is_known_by_its_number() {
        for (version, is_known) in [
            ("2.47.3", true),
            ("2.45.0", true),
            ("2.50.1 (Apple Git-155)", true),
            ("2.45.1.windows.1", true),
            ("3.0.0", true),
            ("2.39.5", true),
            ("2.39.3", false),
            ("2.44.0", false),
            ("2.38.9", false),
            ("1.9.1", false),
            ("", false),
        ] {
            assert_eq!(knows_the_switches(version), is_known, "{version}");
        }
    }
}
