//! Files that are named after bodies: whatever a table calls them, each lies in the folder that was asked for under a name of
//! its own, or is refused before anything is written.

use super::Folder;

fn table(names: &[&str]) -> String {
    let quoted = |name: &&str| format!("\"{}\",80\n", name.replace('"', "\"\""));
    let rows: String = names.iter().map(quoted).collect();
    format!("name,girth\n{rows}")
}

fn drawn(names: &[&str]) -> (Folder, super::Said) {
    let folder = Folder::new();
    folder.put("crew.csv", table(names));
    folder.put("out/in/keep", "");
    folder.put("out/keep", "");
    let said = folder.oaktag(&[
        "draw",
        "square.draft",
        "--bodies",
        "crew.csv",
        "-o",
        "out/in/{name}.json",
    ]);
    (folder, said)
}

#[test]
fn a_name_like_a_path_stays_in_the_folder() {
    let long = "ж".repeat(300);
    let names = [
        "../../x",
        "/etc/x1",
        "CON",
        "nul.txt",
        "a/b",
        "..",
        "",
        " ",
        &long,
        "c\u{1}d",
        "b\u{202e}gvs",
        "c. . ",
        "~root",
        "$HOME",
        "`id`",
        "-o",
        "{name}",
        "x|y",
        "p\\q",
        "C:z",
        "tab\tin",
        "line\nin",
        "q\"q",
        "%00",
        "名前",
        ".hidden",
    ];
    let (folder, said) = drawn(&names);
    assert!(matches!(said.status, Some(0 | 1)), "{}", said.err);
    let made: Vec<String> = folder.names();
    let (inside, rest): (Vec<&String>, Vec<&String>) =
        made.iter().partition(|name| name.ends_with(".json"));
    assert_eq!(
        rest,
        ["crew.csv", "out/in/keep", "out/keep", "square.draft"]
    );
    for name in &inside {
        let own = name
            .strip_prefix("out/in/")
            .unwrap_or_else(|| panic!("{name}"));
        assert!(
            own.len() <= 255 && !own.contains(['/', '\\', ':', '*', '|', '"', '<', '>', '?']),
            "{own}"
        );
        assert!(
            !own.starts_with('.') && !own.chars().any(char::is_control),
            "{own}"
        );
        assert!(!own.contains('\u{202e}'), "{own}");
        let stem = own.split('.').next().unwrap().to_ascii_uppercase();
        assert!(
            !["CON", "NUL", "AUX", "PRN"].contains(&stem.as_str()),
            "{own}"
        );
    }
    // Each body that was said to be written has a file, and no two the same.
    assert_eq!(
        inside.len(),
        said.out.matches(" written.").count(),
        "{}",
        said.out
    );
    assert!(
        inside.len() + said.err.lines().count() >= names.len(),
        "{}",
        said.err
    );
    assert!(inside.len() > names.len() / 2, "{}", said.err);
}

#[test]
fn names_that_a_disk_could_take_for_one_are_refused_before_anything_is_written() {
    for names in [
        &["Ada", "ADA"][..],
        &["a/b", "a\\b"],
        &["é", "É"],
        &["bo.", "bo"],
        &["nul", "_nul"],
        &["", "_"],
        &[
            &format!("{}1", "x".repeat(120)),
            &format!("{}2", "x".repeat(120)),
        ],
    ] {
        let (folder, said) = drawn(names);
        let made = folder
            .names()
            .iter()
            .filter(|name| name.ends_with(".json"))
            .count();
        if said.status == Some(2) {
            assert!(
                said.err.contains("would both be written to"),
                "{names:?}: {}",
                said.err
            );
            assert_eq!(made, 0, "{names:?}");
        } else {
            // A name that was left out is the number of its row.
            assert_eq!((names[0], made), ("", 2), "{names:?}: {}", said.err);
        }
    }
}

/// A link in the folder that leads out of it is not followed for a name out of a table.
#[cfg(unix)]
#[test]
fn a_link_out_of_the_folder_is_not_written_through() {
    let folder = Folder::new();
    folder.put("crew.csv", table(&["ada"]));
    folder.put("away.json", "old");
    folder.put("out/real.json", "old");
    let arguments = [
        "draw",
        "square.draft",
        "--bodies",
        "crew.csv",
        "-o",
        "out/{name}.json",
    ];
    std::os::unix::fs::symlink("../away.json", folder.at("out/ada.json")).unwrap();
    let said = folder.oaktag(&arguments);
    assert_eq!(said.status, Some(3), "{}", said.err);
    assert!(said.err.contains("leads out of its folder"), "{}", said.err);
    assert_eq!(folder.read("away.json"), b"old");
    std::fs::remove_file(folder.at("out/ada.json")).unwrap();
    std::os::unix::fs::symlink("real.json", folder.at("out/ada.json")).unwrap();
    assert_eq!(folder.oaktag(&arguments).status, Some(0));
    assert!(
        folder.read("out/real.json").starts_with(b"{") && folder.at("out/ada.json").is_symlink()
    );
}
