//! The nest as PDF, read back by an independent reader: each size is a layer that shows with the layer of its kind of line,
//! so that somebody prints her size alone.

use crate::sizes::reader::Pdf;
use crate::sizes::{BOX, set_of};
use kurbo::Shape as _;
use oaktag_output::pages::lay_out_drawing;
use oaktag_output::pdf;
use oaktag_output::sheet::{PageSize, Sheet};
use oaktag_studio::sizes::set::nest;

const TABLE: &str = "size,chest,long\nS,80,38\nM,88,40\nL,96,42\nXL,104,44\n";
const SIZES: [&str; 4] = ["S", "M", "L", "XL"];

fn printed(sheet: Sheet) -> Pdf {
    let drawing = nest::draw_for_print(&set_of(BOX, TABLE, 1), &[], &["back".to_owned()], sheet);
    let document = lay_out_drawing(drawing, sheet).unwrap();
    Pdf::read(&pdf::write(&document, &nest::WAITING).bytes)
}

#[test]
fn each_size_is_a_layer_and_what_would_run_together_waits() {
    let layers = printed(Sheet::Fit).layers();
    let sizes: Vec<(String, bool)> = SIZES.map(|size| (format!("Size {size}"), true)).into();
    assert_eq!(layers[..4], sizes, "sizes stand first in the list");
    let shown = |name: &str| layers.iter().find(|(layer, _)| layer == name).unwrap().1;
    assert!(shown("Cutting lines") && shown("Notches") && shown("Grain"));
    assert!(!shown("Sewing lines"));
}

/// With one size shown, its cutting line and its sewing lines are those of that body, at true size: a box a quarter of the
/// chest wide (and one allowance), as long as the measure says (and two).
#[test]
fn a_size_shown_alone_is_that_size() {
    let pdf = printed(Sheet::Fit);
    let page = &pdf.pages[0];
    for (number, (wide, long)) in [
        (200.0, 380.0),
        (220.0, 400.0),
        (240.0, 420.0),
        (260.0, 440.0),
    ]
    .into_iter()
    .enumerate()
    {
        let id = format!("size-{}", number + 1);
        let of = |layer: &str| {
            let boxes = page
                .paths
                .iter()
                .filter(|path| path.layer == layer && path.size.as_deref() == Some(&id))
                .map(|path| path.path.bounding_box());
            boxes.reduce(|a, b| a.union(b)).unwrap()
        };
        let (cut, sew) = (of("cut"), of("sew"));
        assert!((sew.width() - wide).abs() < 0.001, "{sew:?}");
        assert!((sew.height() - long).abs() < 0.001, "{sew:?}");
        assert!((cut.width() - wide - 10.0).abs() < 0.001, "{cut:?}");
        assert!(cut.contains(sew.center()) && cut.height() > sew.height());
        assert!(of("notches").width() > 0.0);
    }
    let lines = page.paths.iter().filter(|path| path.layer == "cut");
    assert!(lines.into_iter().all(|path| path.size.is_some()));
}

/// On tiles too, every page that a size lies on has its layer.
#[test]
fn tiles_have_the_layers() {
    let pdf = printed(Sheet::Page(PageSize::A4));
    assert!(pdf.pages.len() > 2);
    let sizes = |layer: &str| {
        let paths = pdf.pages.iter().flat_map(|page| &page.paths);
        let of: std::collections::BTreeSet<&str> = paths
            .filter(|path| path.layer == layer)
            .filter_map(|path| path.size.as_deref())
            .collect();
        of.len()
    };
    assert_eq!((sizes("cut"), sizes("sew"), sizes("notches")), (4, 4, 4));
}
