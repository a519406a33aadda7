//! A file for each body: named after it, the same as drawn alone, and none where a body cannot be drawn.

use crate::batch::{Folder, VEST, oaktag, text};

const CREW: &str =
    "name,chest_girth,head_girth\nmate,104,58\nno one,ninety,58\nfirst hand,72,64\nstoker,118,60\n";

#[test]
fn each_body_has_a_file_of_its_own() {
    let folder = Folder::new();
    let table = folder.file("crew.csv", CREW);
    for ending in ["svg", "pdf", "dxf", "json", "png", "txt", "csv"] {
        let out = folder.path(&format!("vest {{name}}.{ending}"));
        let out = out.to_str().unwrap();
        let drawn = oaktag(&["draw", VEST, "--bodies", &table, "-o", out]);
        assert_eq!(drawn.status.code(), Some(1), "{}", text(&drawn.stderr));
        for name in ["mate", "stoker"] {
            let alone = folder.path(&format!("alone.{ending}"));
            let one = oaktag(&[
                "draw",
                VEST,
                "--body",
                &format!("{table}:{name}"),
                "-o",
                alone.to_str().unwrap(),
            ]);
            assert_eq!(one.status.code(), Some(0), "{}", text(&one.stderr));
            let made = std::fs::read(folder.path(&format!("vest {name}.{ending}"))).unwrap();
            assert!(
                made == std::fs::read(&alone).unwrap(),
                "{name}.{ending} differs from the one drawn alone"
            );
        }
        let told = text(&drawn.stderr);
        assert!(
            told.contains("ninety") && told.contains("first hand: refused"),
            "{told}"
        );
        assert!(!folder.path(&format!("vest first hand.{ending}")).exists());
        assert!(!folder.path(&format!("vest no one.{ending}")).exists());
    }
}

#[test]
fn a_command_line_that_would_lose_a_file_is_refused() {
    let folder = Folder::new();
    let table = folder.file("crew.csv", CREW);
    let out = |name: &str| folder.path(name).to_str().unwrap().to_owned();
    let nameless = oaktag(&["draw", VEST, "--bodies", &table, "-o", &out("vest.svg")]);
    assert_eq!(nameless.status.code(), Some(2));
    assert!(
        text(&nameless.stderr).contains("{name}"),
        "{}",
        text(&nameless.stderr)
    );
    let alike = folder.file(
        "alike.csv",
        "name,chest_girth,head_girth\nA/b,104,58\nA:b,100,58\n",
    );
    let alike = oaktag(&["draw", VEST, "--bodies", &alike, "-o", &out("{name}.svg")]);
    assert_eq!(alike.status.code(), Some(2));
    assert!(
        text(&alike.stderr).contains("would both be written"),
        "{}",
        text(&alike.stderr)
    );
    let nowhere = oaktag(&[
        "draw",
        VEST,
        "--bodies",
        &table,
        "-o",
        &out("no/such/{name}.svg"),
    ]);
    assert_eq!(nowhere.status.code(), Some(3));
}
