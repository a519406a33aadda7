//! Sizes: page boxes as the standards have them, squares and lines as long as they say, whatever the scale of the drawing.

use super::reader::{POINT, Pdf};
use super::{document, on, shirt, written};
use kurbo::{Rect, Shape as _};
use oaktag_output::drawing::manner::Scale;
use oaktag_output::pages::{PageFault, lay_out};
use oaktag_output::pdf;
use oaktag_output::sheet::{PageSize, Sheet};

/// ISO 216 (A series) and ASME Y14.1 (Letter 8 1/2 by 11 in, Tabloid 11 by 17 in), from memory, in millimetres.
const STANDARD: [(PageSize, f64, f64); 5] = [
    (PageSize::A4, 210.0, 297.0),
    (PageSize::A3, 297.0, 420.0),
    (PageSize::A0, 841.0, 1189.0),
    (PageSize::Letter, 8.5 * 25.4, 11.0 * 25.4),
    (PageSize::Tabloid, 11.0 * 25.4, 17.0 * 25.4),
];

#[test]
fn page_boxes_are_the_sizes_of_the_standards() {
    for (size, width, height) in STANDARD {
        for page in &on(size).pages {
            let found = (page.size.0 * POINT, page.size.1 * POINT);
            assert!(
                (found.0 - width).abs() < 1e-4 && (found.1 - height).abs() < 1e-4,
                "{size:?}: {found:?}"
            );
        }
    }
    let roll = written(&document(Sheet::Roll(914.0), Scale::Full));
    assert!(
        roll.pages
            .iter()
            .all(|page| (page.size.0 * POINT - 914.0).abs() < 1e-4)
    );
}

/// The boxes of closed squares on the layer that proves the scale.
fn squares(pdf: &Pdf, page: usize) -> Vec<Rect> {
    let paths = pdf.pages[page]
        .paths
        .iter()
        .filter(|painted| painted.layer == "test-square");
    let boxes = paths.map(|painted| (painted.path.elements().len(), painted.path.bounding_box()));
    boxes
        .filter(|(count, bounds)| *count == 5 && bounds.width() > 90.0)
        .map(|(_, bounds)| bounds)
        .collect()
}

#[test]
fn the_squares_of_the_first_page_are_a_hundred_millimetres_and_four_inches() {
    let sheets = STANDARD.map(|(size, ..)| Sheet::Page(size));
    for sheet in sheets.into_iter().chain([Sheet::Fit, Sheet::Roll(610.0)]) {
        for scale in [Scale::Full, Scale::Half, Scale::Quarter] {
            let found = squares(&written(&document(sheet, scale)), 0);
            assert_eq!(found.len(), 2, "{sheet:?} {scale:?}");
            for (square, side) in found.iter().zip([100.0, 4.0 * 25.4]) {
                let (width, height) = (square.width(), square.height());
                assert!(
                    (width - side).abs() < 0.001 && (height - side).abs() < 0.001,
                    "{sheet:?}: {width} {height}"
                );
            }
        }
    }
}

#[test]
fn the_bar_at_the_foot_of_each_page_is_fifty_millimetres() {
    let pdf = on(PageSize::Letter);
    for page in &pdf.pages {
        let bars = page
            .paths
            .iter()
            .filter(|painted| painted.layer == "test-square");
        let widths = bars
            .map(|painted| painted.path.bounding_box())
            .filter(|b| b.height() < 3.0)
            .map(|b| b.width());
        assert!(
            widths.into_iter().any(|width| (width - 50.0).abs() < 0.001),
            "{}",
            page.label
        );
    }
}

/// At half and quarter scale the cutting line of each piece is that share as long, and every page says so.
#[test]
fn teaching_scales_are_true_and_marked_on_every_page() {
    let lengths = |scale| {
        let pdf = written(&document(Sheet::Fit, scale));
        let cut = pdf.pages[0]
            .paths
            .iter()
            .filter(|painted| painted.layer == "cut");
        cut.map(|painted| painted.path.perimeter(1e-6))
            .collect::<Vec<f64>>()
    };
    let full = lengths(Scale::Full);
    for (scale, share, words) in [(Scale::Half, 0.5, "1:2"), (Scale::Quarter, 0.25, "1:4")] {
        let drawn = lengths(scale);
        assert_eq!(drawn.len(), full.len());
        for (one, whole) in drawn.iter().zip(&full) {
            assert!((one - share * whole).abs() < 0.01, "{one} of {whole}");
        }
        for sheet in [
            Sheet::Fit,
            Sheet::Page(PageSize::A4),
            Sheet::Page(PageSize::A0),
            Sheet::Roll(914.0),
        ] {
            let pdf = written(&document(sheet, scale));
            for number in 1..=pdf.pages.len() {
                let text = pdf.text(number);
                assert!(
                    text.contains(words) && text.contains("not for cutting"),
                    "{sheet:?} page {number}: {text}"
                );
            }
        }
    }
}

#[test]
fn a_roll_too_narrow_and_a_page_too_long_are_told_with_what_would_do() {
    let narrow = lay_out(&shirt(), Sheet::Roll(300.0), Scale::Full);
    let Err(PageFault::RollTooNarrow { wanted }) = narrow else {
        panic!("{narrow:?}")
    };
    assert!(
        lay_out(&shirt(), Sheet::Roll(wanted), Scale::Full).is_ok(),
        "{wanted} mm does"
    );
    let mut long = shirt();
    let ell = long.pieces[0].clone();
    long.pieces = std::iter::repeat_n(ell, 60).collect();
    let told = lay_out(&long, Sheet::Fit, Scale::Full).unwrap_err();
    assert!(
        matches!(told, PageFault::PageTooLong { .. }) && told.to_string().contains("--sheet"),
        "{told}"
    );
    let roll = written(&lay_out(&long, Sheet::Roll(914.0), Scale::Full).unwrap());
    assert!(roll.pages.len() > 1 && roll.pages.iter().all(|page| page.size.1 <= 14_400.0));
}

#[test]
fn the_same_drawing_is_the_same_file_and_a_viewer_does_not_scale_it() {
    let document = document(Sheet::Page(PageSize::A4), Scale::Full);
    let (once, again) = (pdf::write(&document, &[]), pdf::write(&document, &[]));
    assert!(once.bytes == again.bytes);
    let pdf = Pdf::read(&once.bytes);
    let viewer = pdf
        .file
        .get_dict_in_dict(pdf.file.catalog().unwrap(), b"ViewerPreferences")
        .unwrap();
    assert_eq!(
        viewer.get(b"PrintScaling").unwrap().as_name().unwrap(),
        b"None"
    );
}

#[test]
fn layers_are_listed_and_construction_waits_to_be_asked_for() {
    let pdf = written(&document(Sheet::Page(PageSize::A4), Scale::Full));
    let paths = pdf.pages.iter().flat_map(|page| &page.paths);
    assert!(
        paths.into_iter().all(|path| path.size.is_none()),
        "one size"
    );
    let layers = pdf.layers();
    let is_shown = |name: &str| {
        layers
            .iter()
            .find(|(layer, _)| layer == name)
            .map(|(_, shown)| *shown)
    };
    for name in [
        "Cutting lines",
        "Sewing lines",
        "Notches",
        "Grain",
        "Folds",
        "Labels and edges",
        "Test squares",
        "Joints of the tiles",
    ] {
        assert_eq!(is_shown(name), Some(true), "{name}");
    }
    assert_eq!(is_shown("Construction"), Some(false));
    assert_eq!(is_shown("Names of points"), Some(true));
    let asked = Pdf::read(&pdf::write(&document(Sheet::Fit, Scale::Full), &[]).bytes);
    assert!(asked.layers().contains(&("Construction".to_owned(), true)));
}
