//! What a draft names is read from its own folder and below, and from nowhere else.

use super::{Folder, SQUARE};
use std::os::unix::fs::symlink;

/// A word that stands in the file outside alone; no message may hold it.
const SECRET: &str = "kept_under_lock";

/// A folder `inner` below another that holds the secret.
fn folder() -> Folder {
    let folder = Folder::new();
    let secret = format!("panel {SECRET} {{\n  point {SECRET} = origin rigth 3\n}}\n");
    folder.put("secret.draft", &secret);
    folder.put("beside/secret.draft", &secret);
    folder.put(
        "inner/parts/part.draft",
        "import \"../block.draft\" as up\npoint p = origin\n",
    );
    folder.put("inner/block.draft", SQUARE);
    let at = |name: &str| folder.at(&format!("inner/{name}"));
    symlink("../secret.draft", at("link.draft")).unwrap();
    symlink(folder.at("secret.draft"), at("absolute_link.draft")).unwrap();
    symlink("../beside", at("beside")).unwrap();
    symlink("link.draft", at("link_of_link.draft")).unwrap();
    symlink("..", at("up")).unwrap();
    symlink("block.draft", at("own_link.draft")).unwrap();
    symlink("parts", at("own_folder")).unwrap();
    folder
}

#[test]
fn no_import_leaves_the_folder() {
    let folder = folder();
    let absolute = folder.at("secret.draft").to_string_lossy().into_owned();
    for path in [
        "../secret.draft",
        "./../secret.draft",
        "parts/../../secret.draft",
        "parts/../parts/../../secret.draft",
        "x/../../secret.draft",
        &absolute,
        &format!("/{absolute}"),
        &format!("file:{absolute}"),
        "link.draft",
        "absolute_link.draft",
        "link_of_link.draft",
        "beside/secret.draft",
        "up/secret.draft",
        "parts/../up/secret.draft",
        "..\\secret.draft",
        "parts\\..\\..\\secret.draft",
        "C:secret.draft",
        "C:\\secret.draft",
        "C:/secret.draft",
        "\\\\server\\share\\secret.draft",
        "//server/share/secret.draft",
        "secret.draft\u{0}.draft",
        "../secret.draft\u{0}",
        "%2e%2e/secret.draft",
        "..%2fsecret.draft",
        "․․/secret.draft",
        "../inner/block.draft",
    ] {
        folder.put(
            "inner/main.draft",
            format!("import \"{path}\" as outer\npoint p = origin\n"),
        );
        for (at, main) in [("", "inner/main.draft"), ("inner", "main.draft")] {
            for format in ["text", "json"] {
                let mut command = folder.command(&["check", "--format", format, main]);
                let said = super::Said::of(command.current_dir(folder.at(at)).output().unwrap());
                assert_eq!(said.status, Some(1), "{path:?} {}{}", said.out, said.err);
                assert!(
                    !said.out.contains(SECRET) && !said.err.contains(SECRET),
                    "{path:?}"
                );
            }
        }
    }
}

#[test]
fn an_import_may_go_up_and_follow_links_inside_the_folder() {
    let folder = folder();
    for path in [
        "parts/part.draft",
        "own_link.draft",
        "own_folder/part.draft",
        "./parts//part.draft",
        "parts/../block.draft",
    ] {
        folder.put(
            "inner/main.draft",
            format!("import \"{path}\" as own\npoint p = origin\n"),
        );
        let said = folder.oaktag(&["check", "--quiet", "inner/main.draft"]);
        let outside = said.err.contains("outside") || said.err.contains("cannot be read");
        assert!(!outside, "{path}: {}", said.err);
    }
}

/// A file that is no text or too long is told, and none of it shown.
#[test]
fn what_cannot_be_read_is_told_and_not_shown() {
    let folder = folder();
    folder.put("inner/folder.draft/x", "");
    folder.put("inner/binary.draft", [0xff, 0xfe, b'k', 0]);
    folder.put("inner/long.draft", vec![b'#'; 8 * 1024 * 1024 + 1]);
    for (path, why) in [
        ("binary.draft", "is not a text file"),
        ("long.draft", "a draft may have 8388608"),
        ("folder.draft", "it is a folder"),
        ("parts", "ends in `.draft`"),
        ("", "ends in `.draft`"),
        ("absent.draft", "there is no such file"),
    ] {
        folder.put(
            "inner/main.draft",
            format!("import \"{path}\" as other\npoint p = origin\n"),
        );
        let said = folder.oaktag(&["check", "inner/main.draft"]);
        assert_eq!(said.status, Some(1), "{path}");
        assert!(said.err.contains(why), "{path}: {}", said.err);
    }
}

/// A house: blocks and styles side by side below a marked folder, and something beside the house.
fn house() -> Folder {
    let folder = Folder::new();
    folder.put("house/oaktag.root", "");
    folder.put("house/blocks/block.draft", SQUARE);
    folder.put(
        "house/styles/style.draft",
        "import \"../blocks/block.draft\" as block\npoint p = origin\n",
    );
    folder.put("secret.draft", format!("panel {SECRET} {{ rigth }}\n"));
    symlink("../../secret.draft", folder.at("house/styles/out.draft")).unwrap();
    folder
}

#[test]
fn a_marked_folder_is_the_root_wherever_a_draft_is_checked_from() {
    let folder = house();
    let outside = |text: &str| text.contains("import-outside-folder");
    for (at, draft) in [
        ("", "house/styles/style.draft"),
        ("house", "styles/style.draft"),
        ("house/styles", "style.draft"),
        ("house/blocks", "../styles/style.draft"),
    ] {
        let mut command = folder.command(&["check", "--quiet", draft]);
        let said = super::Said::of(command.current_dir(folder.at(at)).output().unwrap());
        assert!(!said.err.contains("Error"), "{at}: {}", said.err);
    }
    for path in ["../../secret.draft", "out.draft"] {
        let text = format!("import \"{path}\" as other\npoint p = origin\n");
        folder.put("house/styles/wrong.draft", text);
        let said = folder.oaktag(&["check", "house/styles/wrong.draft"]);
        assert!(outside(&said.err), "{path}: {}", said.err);
        assert!(!said.err.contains(SECRET), "{path}");
    }
    // A root that is asked for is the root, in place of the mark.
    let narrow = folder.oaktag(&[
        "check",
        "--root",
        "house/styles",
        "house/styles/style.draft",
    ]);
    assert!(outside(&narrow.err), "{}", narrow.err);
    let wide = folder.oaktag(&["check", "--root", ".", "house/styles/wrong.draft"]);
    assert!(!outside(&wide.err), "{}", wide.err);
    let beside = folder.oaktag(&[
        "check",
        "--root",
        "house/blocks",
        "house/styles/style.draft",
    ]);
    assert_eq!(beside.status, Some(2), "{}", beside.err);
    assert!(beside.err.contains("does not lie below"), "{}", beside.err);
}

/// What a draft brings in from the other hook is not drawn over, and nothing but drafts is read.
#[test]
fn what_lies_below_the_root_is_kept_and_only_drafts_are_read() {
    let folder = house();
    let said = folder.oaktag(&[
        "draw",
        "house/styles/style.draft",
        "-o",
        "house/blocks/block.draft",
    ]);
    assert_ne!(said.status, Some(0));
    fs_link(&folder);
    let said = folder.oaktag(&["draw", "house/styles/style.draft", "-o", "alias.svg"]);
    assert_eq!(said.status, Some(2), "{}", said.err);
    assert_eq!(
        std::fs::read_to_string(folder.at("house/blocks/block.draft")).unwrap(),
        SQUARE
    );
    folder.put("house/styles/notes.txt", SQUARE);
    let text = "import \"notes.txt\" as notes\npoint p = origin\n";
    folder.put("house/styles/wrong.draft", text);
    let said = folder.oaktag(&["check", "house/styles/wrong.draft"]);
    assert!(said.err.contains("ends in `.draft`"), "{}", said.err);
}

/// The block under the name of a drawing.
fn fs_link(folder: &Folder) {
    symlink("house/blocks/block.draft", folder.at("alias.svg")).unwrap();
}

/// The house of the examples, from small to large hips: every style is well, whichever folder it is checked from.
#[test]
fn every_style_of_the_house_is_well_for_several_bodies() {
    let house = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/house");
    let folder = Folder::new();
    let mut styles = 0;
    for entry in std::fs::read_dir(format!("{house}/styles")).unwrap() {
        let style = entry.unwrap().path();
        styles += 1;
        for hips in ["80cm", "98cm", "130cm"] {
            let hips = format!("hip_girth={hips}");
            let arguments = ["check", "--quiet", "--set", &hips, style.to_str().unwrap()];
            let said = folder.oaktag(&arguments);
            assert_eq!(said.status, Some(0), "{style:?} {hips}: {}", said.err);
            assert!(said.err.is_empty(), "{style:?} {hips}: {}", said.err);
        }
    }
    assert_eq!(styles, 3);
}
