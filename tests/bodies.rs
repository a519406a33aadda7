//! Tables of bodies: every wrong cell is named by row and column, and one bad row does not stop the others.

#![allow(
    clippy::indexing_slicing,
    clippy::unwrap_used,
    missing_docs,
    reason = "a test that fails should say so where it does"
)]

mod drawing;

use drawing::Run;
use oaktag::report::Code;

const DRAFT: &str = "unit cm
body chest_girth = 96cm between 70cm and 140cm
body shoulder_slope = 22deg between 10deg and 35deg
body half_chest = chest_girth / 2
line across = from origin toward shoulder_slope below right for half_chest
check \"across\" that length of across > 30cm
";

fn told(table: &str) -> Vec<(Code, String)> {
    let told = Run::of(DRAFT).told_for_table(table);
    told.into_iter().map(|d| (d.code, d.message)).collect()
}

#[test]
fn figures_take_their_unit_from_cell_header_or_draft() {
    let table =
        "name,chest_girth [mm],shoulder_slope,shoe\nAda,960,22,38\nBo,96cm,20deg,41\nCy,37in,,\n";
    let messages = told(table);
    // Cy's slope was not measured; everything else is read.
    assert_eq!(messages.len(), 1, "{messages:?}");
    assert_eq!(messages[0].0, Code::MeasureMissing);
    assert!(messages[0].1.contains("Cy"), "{messages:?}");
}

#[test]
fn a_wrong_cell_is_named_by_row_and_column() {
    let messages = told("name,chest_girth,shoulder_slope\nAda,96,22\nBo,98 feet,22\nCy,94,22\n");
    assert_eq!(messages.len(), 1, "{messages:?}");
    assert_eq!(messages[0].0, Code::BodyTable);
    for word in ["Row 3", "`Bo`", "`chest_girth`"] {
        assert!(messages[0].1.contains(word), "{messages:?}");
    }
}

#[test]
fn a_table_that_is_none_is_refused_once() {
    for table in [
        "",
        "name,chest_girth\n",
        "name,chest_girth [feet]\nAda,3\n",
        "name,chest_girth,chest_girth\nAda,96,96\n",
    ] {
        let messages = told(table);
        assert_eq!(messages.len(), 1, "{table:?}: {messages:?}");
        assert_eq!(messages[0].0, Code::BodyTable);
    }
}

#[test]
fn more_cells_than_columns_are_told() {
    let messages = told("name,chest_girth,shoulder_slope\nAda,96,22,7,8\n");
    assert_eq!(messages.len(), 1, "{messages:?}");
    assert!(messages[0].1.contains("5 cells"), "{messages:?}");
}

#[test]
fn an_implausible_body_is_refused_with_its_range() {
    let messages = told("name,chest_girth,shoulder_slope\nAda,38,22\n");
    assert_eq!(messages[0].0, Code::OutOfRange, "{messages:?}");
}
