//! The overlay on paper, read back with an independent reader: true size, both sides, the words beside them.

#[allow(
    dead_code,
    reason = "shared with the tests of printed patterns, which read more of a page"
)]
use crate::reader;

use kurbo::ParamCurveArclen;
use reader::Pdf;
use std::process::Command;

fn oaktag(arguments: &[&str]) -> (i32, String) {
    let out = Command::new(env!("CARGO_BIN_EXE_oaktag"))
        .args(arguments)
        .output()
        .unwrap();
    (
        out.status.code().unwrap(),
        String::from_utf8(out.stderr).unwrap(),
    )
}

fn has_line(pdf: &Pdf, millimetres: f64) -> bool {
    let paths = pdf.pages.iter().flat_map(|page| &page.paths);
    paths.filter(|one| !one.is_filled).any(|one| {
        let long: f64 = one.path.segments().map(|seg| seg.arclen(1e-6)).sum();
        (long - millimetres).abs() < 0.01
    })
}

/// Half a back with 12 cm and with 16 cm of ease: its hem is a quarter of chest and ease, 27 cm and 28 cm, and both lie
/// on the paper at that length.
#[test]
fn both_sides_lie_on_the_paper_at_true_size() {
    let folder = tempfile::TempDir::new().unwrap();
    let out = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let draft = format!("{}/examples/first-steps.draft", env!("CARGO_MANIFEST_DIR"));
    let write = |path: &str, more: &[&str]| {
        let mut all = vec!["compare", &draft, "--new-set", "ease=16cm", "-o", path];
        all.extend(more);
        oaktag(&all)
    };
    let (one, other, tiled) = (out("one.pdf"), out("other.pdf"), out("tiled.pdf"));
    for path in [&one, &other] {
        let (status, err) = write(path, &[]);
        assert_eq!(status, 0, "{err}");
    }
    let bytes = std::fs::read(&one).unwrap();
    assert_eq!(bytes, std::fs::read(&other).unwrap(), "the same bytes");
    let pdf = Pdf::read(&bytes);
    assert_eq!(pdf.pages.len(), 1);
    assert!(has_line(&pdf, 270.0) && has_line(&pdf, 280.0));
    let text = pdf.text(1).replace(char::is_whitespace, "");
    assert!(
        text.contains("Halfback") && text.contains("recut"),
        "{text}"
    );
    assert!(text.contains("hem+1cm"), "{text}");
    let (status, err) = write(&tiled, &["--sheet", "a4"]);
    assert_eq!(status, 0, "{err}");
    let pdf = Pdf::read(&std::fs::read(&tiled).unwrap());
    assert!(pdf.pages.len() > 1, "a back is larger than a sheet");
    assert!((pdf.pages[0].size.0 - 595.2756).abs() < 0.01);
    // A sheet is for paper.
    let (status, err) = write(&out("page.html"), &["--sheet", "a4"]);
    assert!(
        status == 2 && err.contains("--sheet is for a .pdf"),
        "{err}"
    );
    let (status, err) = write(&out("page.doc"), &[]);
    assert!(status == 2 && err.contains(".pdf"), "{err}");
}

/// An overlay says what it is, at which scale, and what each of its lines is.
#[test]
fn an_overlay_has_title_scale_and_key() {
    let folder = tempfile::TempDir::new().unwrap();
    let path = folder.path().join("overlay.svg");
    let draft = format!("{}/examples/ferry-shirt.draft", env!("CARGO_MANIFEST_DIR"));
    let (status, err) = oaktag(&[
        "compare",
        &draft,
        "--new-set",
        "pleat=8cm",
        "-o",
        path.to_str().unwrap(),
    ]);
    assert_eq!(status, 0, "{err}");
    let text = std::fs::read_to_string(&path).unwrap();
    let document = roxmltree::Document::parse(&text).unwrap();
    let of = |id: &str| {
        let group = document
            .descendants()
            .find(|node| node.attribute("id") == Some(id));
        let nodes = group.unwrap().descendants();
        let classes = nodes.clone().filter_map(|node| node.attribute("class"));
        let words = nodes.filter_map(|node| node.text()).map(str::trim);
        (
            classes.collect::<std::collections::BTreeSet<_>>(),
            words.collect::<Vec<_>>().join(" "),
        )
    };
    let (key, words) = of("title");
    for said in [
        "Ferry crew shirt",
        "True size",
        "cutting line as it was",
        "an edge that changed, as it is",
    ] {
        assert!(words.contains(said), "{said}: {words}");
    }
    for class in of("sew").0.union(&of("cut").0) {
        assert!(key.contains(*class), "{class} has no row in {key:?}");
    }
    let (square, _) = of("test-square");
    assert!(square.contains("square"));
}
