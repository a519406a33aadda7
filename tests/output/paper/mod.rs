//! Paper: the PDF read back with a reader that shares no code with the writer, measured in its own path data and in a
//! raster, its tiles laid together by their marks as somebody at a table would.

use crate::example_drafts;

mod at_the_table;
mod clear;
mod letters;
mod level;
mod on_the_cloth;
mod raster;
mod reader;
mod same_lines;
mod sizes;
mod tiles;
mod whole_words;

use oaktag_language::pattern::Pattern;
use oaktag_output::drawing::Layer;
use oaktag_output::drawing::manner::Scale;
use oaktag_output::pages::{Document, lay_out};
use oaktag_output::pdf;
use oaktag_output::sheet::{PageSize, Sheet};
use reader::Pdf;

/// Every example that has pieces, and the drafts of `tests/output/drafts`, by name.
pub(crate) fn drafts_of_all() -> Vec<(String, Pattern)> {
    clear::all()
}

fn shirt() -> Pattern {
    example_drafts::example("ferry-shirt.draft", &[]).pattern
}

fn document(sheet: Sheet, scale: Scale) -> Document {
    lay_out(&shirt(), sheet, scale).unwrap()
}

fn written(document: &Document) -> Pdf {
    Pdf::read(&pdf::write(document, &[Layer::Construction]).bytes)
}

fn on(size: PageSize) -> Pdf {
    written(&document(Sheet::Page(size), Scale::Full))
}
