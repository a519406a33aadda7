//! What a repository's own settings may have git run, and what they may make of what is read: overridden at every call.
//!
//! The keys are those of `git help --config` and of git-config(1), gitattributes(5) and githooks(5) whose value is a command,
//! names a program or a folder of them, or leads to one; `tests/program/git/doors.rs` holds the list against the git at hand. Keys of
//! commands that are never called here (mail, web, windows and merging) are left out.

/// Keys with a fixed name, and what stands in place of their value.
pub(super) const FIXED: [(&str, &str); 39] = [
    // Monitors, hooks and what is done besides.
    ("core.fsmonitor", "false"),
    ("core.hooksPath", "/dev/null"),
    ("core.untrackedCache", "false"),
    ("core.alternateRefsCommand", ""),
    ("gc.auto", "0"),
    ("gc.recentObjectsHook", ""),
    ("maintenance.auto", "false"),
    // Transports, and who is asked for a password.
    ("protocol.allow", "never"),
    ("core.gitProxy", "none"),
    ("core.sshCommand", ""),
    ("core.askPass", ""),
    ("credential.helper", ""),
    ("uploadpack.packObjectsHook", ""),
    ("receive.procReceiveRefs", ""),
    ("fetch.recurseSubmodules", "false"),
    ("submodule.recurse", "false"),
    // What is shown, and by which program.
    ("core.pager", "cat"),
    ("core.editor", ""),
    ("sequence.editor", ""),
    ("interactive.diffFilter", ""),
    ("diff.external", ""),
    ("diff.tool", ""),
    ("diff.guitool", ""),
    // Signatures.
    ("log.showSignature", "false"),
    ("gpg.program", ""),
    ("gpg.openpgp.program", ""),
    ("gpg.x509.program", ""),
    ("gpg.ssh.program", ""),
    ("gpg.ssh.defaultKeyCommand", ""),
    // Nothing to run, but they would change what the log says.
    ("log.showRoot", "true"),
    ("log.follow", "false"),
    ("log.mailmap", "false"),
    ("diff.renames", "true"),
    ("diff.renameLimit", "1000"),
    ("diff.relative", "false"),
    ("i18n.logOutputEncoding", "UTF-8"),
    ("core.abbrev", "auto"),
    ("core.quotePath", "false"),
    ("color.ui", "never"),
];

/// Keys with a name of the author's in their middle, or at their end where the last part is `*`.
pub(super) const NAMED: [(&str, &str, &str); 23] = [
    ("alias", "*", ""),
    ("pager", "*", "false"),
    ("credential", "helper", ""),
    ("diff", "command", ""),
    ("diff", "textconv", ""),
    ("filter", "clean", ""),
    ("filter", "smudge", ""),
    ("filter", "process", ""),
    ("gpg", "program", ""),
    ("hook", "command", ""),
    ("merge", "driver", ""),
    ("protocol", "allow", "never"),
    ("remote", "promisor", "false"),
    ("remote", "uploadpack", ""),
    ("remote", "receivepack", ""),
    ("remote", "vcs", ""),
    ("remote", "url", ""),
    ("remote", "pushurl", ""),
    ("submodule", "update", "none"),
    ("trailer", "cmd", ""),
    ("trailer", "command", ""),
    ("url", "insteadof", ""),
    ("url", "pushinsteadof", ""),
];

/// What to put in place of a key that a repository sets, where it is one of [`NAMED`].
pub(super) fn instead(key: &str) -> Option<&'static str> {
    let (section, rest) = key.split_once('.')?;
    let last = rest.rsplit_once('.').map_or(rest, |(_, last)| last);
    let same = |a: &str, b: &str| a.eq_ignore_ascii_case(b);
    let row = NAMED
        .iter()
        .find(|(of, part, _)| same(of, section) && (*part == "*" || same(part, last)));
    row.map(|(_, _, value)| *value)
}

/// Whether a key says that a repository holds only a part of its objects and was promised the rest.
pub(super) fn promises(key: &str) -> bool {
    let key = key.to_ascii_lowercase();
    key == "extensions.partialclone" || (key.starts_with("remote.") && key.ends_with(".promisor"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_of_the_author_may_be_anything() {
        for (key, value) in [
            ("diff.a.b=c d.textconv", Some("")),
            ("remote.origin.promisor", Some("false")),
            ("Protocol.ext.Allow", Some("never")),
            ("alias.log", Some("")),
            ("pager.log", Some("false")),
            ("core.fsmonitor", None),
            ("diff.renames", None),
        ] {
            assert_eq!(instead(key), value, "{key}");
        }
    }
}
