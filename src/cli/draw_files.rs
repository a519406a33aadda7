//! The files that `draw` makes: each ending by its writer, with what is to be said of it.

use super::End;
use super::draw::{Arguments, Ending};
use super::draw_options::TableWord;
use super::told;
use oaktag_language::pattern::Pattern;
use oaktag_output::drawing::compose::compose_as;
use oaktag_output::drawing::manner::{Manner, Scale};
use oaktag_output::pages::{Document, lay_out};
use oaktag_output::sheet::Sheet;
use oaktag_output::{cut_list, dxf, json, lay, pages, pdf, png, spec_sheet, svg, ticket, walk};

/// A file as it will be written, and what is to be said of it.
pub(super) struct Made {
    pub(super) bytes: Vec<u8>,
    pub(super) missing: Vec<char>,
    pub(super) said: String,
}

/// Resolution of a preview where none is asked for.
const PREVIEW: f64 = 72.0;

/// Makes the file.
///
/// # Errors
/// What to say, and how the program ends.
pub(super) fn made(
    arguments: &Arguments,
    ending: Ending,
    pattern: &Pattern,
) -> Result<Made, (String, End)> {
    let mut made = of_ending(arguments, ending, pattern)?;
    let scale = arguments.options.scale();
    if scale != Scale::Full {
        made.said = format!("{}.\n{}", scale.words(), made.said);
    }
    Ok(made)
}

fn of_ending(
    arguments: &Arguments,
    ending: Ending,
    pattern: &Pattern,
) -> Result<Made, (String, End)> {
    let options = &arguments.options;
    let misused = |words: String| (words, End::Misused);
    let plain = |bytes: Vec<u8>, said: &str| Made {
        bytes,
        missing: Vec::new(),
        said: said.to_owned(),
    };
    let seam = options.seam_of(pattern).map_err(misused)?;
    let composed = || {
        if let Some(seam) = seam {
            return walk::draw(pattern, seam, options.scale());
        }
        if options.lay {
            return lay::draw(pattern);
        }
        let manner = Manner {
            scale: options.scale(),
            ..Manner::default()
        };
        let mut drawing = compose_as(pattern, manner);
        if let Some(layers) = options.kept() {
            drawing.keep(&layers);
        }
        drawing
    };
    match ending {
        Ending::Pdf if options.lay => {
            let laid = pages::single(lay::draw(pattern));
            let document = laid.map_err(|fault| misused(fault.to_string()))?;
            let written = pdf::write(&document, options.hidden());
            Ok(Made {
                bytes: written.bytes,
                missing: written.missing,
                said: lay::NOTE.to_owned(),
            })
        }
        Ending::Pdf => {
            let sheet = options.sheet.unwrap_or_default();
            let laid = match seam {
                Some(_) => pages::lay_out_drawing(composed(), sheet),
                None => lay_out(pattern, sheet, options.scale()),
            };
            let mut document = laid.map_err(|fault| misused(fault.to_string()))?;
            if let Some(layers) = options.kept() {
                document.keep(&layers);
            }
            let written = pdf::write(&document, options.hidden());
            Ok(Made {
                bytes: written.bytes,
                missing: written.missing,
                said: match seam {
                    Some(_) => WALK_ON_PAPER.to_owned(),
                    None => pages_said(&document, sheet),
                },
            })
        }
        Ending::Svg if options.hairlines => {
            Ok(plain(svg::hairlines(&composed()).into_bytes(), ON_PAPER))
        }
        Ending::Svg if options.lay => {
            Ok(plain(svg::of_drawing(&composed()).into_bytes(), lay::NOTE))
        }
        Ending::Svg if seam.is_some() => Ok(plain(
            svg::of_drawing(&composed()).into_bytes(),
            WALK_ON_PAPER,
        )),
        Ending::Svg => Ok(plain(svg::of_drawing(&composed()).into_bytes(), ON_PAPER)),
        Ending::Png => {
            let resolution = options.resolution.unwrap_or(PREVIEW);
            let picture = png::write(&composed(), resolution, options.hidden())
                .map_err(|fault| misused(fault.to_string()))?;
            let said = format!("{resolution} dots per inch, for the eye: not for cutting.");
            Ok(Made {
                bytes: picture.bytes,
                missing: picture.missing,
                said,
            })
        }
        // The command line is well: the draft has nothing to cut.
        Ending::Dxf if pattern.pieces.is_empty() => Err((NOTHING_TO_CUT.into(), End::Wrong)),
        Ending::Dxf => {
            let text = dxf::write(pattern, pattern.issue.body.as_deref().unwrap_or("base"));
            Ok(plain(
                text.into_bytes(),
                "Millimetres: measure one piece after reading it in.",
            ))
        }
        Ending::Txt => Ok(plain(told::as_text(&ticket::text(pattern)), "")),
        Ending::Csv => table(pattern, options.table.unwrap_or_default())
            .map(|bytes| plain(told::as_text(&String::from_utf8_lossy(&bytes)), ""))
            .map_err(|error| (format!("the list could not be made: {error}"), End::NoFile)),
        Ending::Json => json::write(pattern)
            .map(|text| plain(text.into_bytes(), ""))
            .map_err(|error| (format!("the JSON could not be made: {error}"), End::NoFile)),
    }
}

/// A table for a spreadsheet.
fn table(pattern: &Pattern, which: TableWord) -> Result<Vec<u8>, csv::Error> {
    match which {
        TableWord::Cut => cut_list::csv(pattern),
        TableWord::Finished => spec_sheet::csv(pattern),
        TableWord::Lay => lay::csv(pattern),
    }
}

/// Said of a draft for a cutting room that has no piece.
pub(super) const NOTHING_TO_CUT: &str =
    "a cutting room wants pieces, and the draft has none: write a piece, or draw .svg.";

const ON_PAPER: &str =
    "Print at 100 %, and lay a ruler on the square before cutting: it is 100 mm wide.";

const WALK_ON_PAPER: &str = "Print at 100 %, and lay a ruler on the bar: it is 100 mm long.";

/// How many sheets, and what to do first.
fn pages_said(document: &Document, sheet: Sheet) -> String {
    let count = document.pages.len();
    match sheet {
        Sheet::Page(size) if size.is_small() => {
            let tables = document
                .pages
                .iter()
                .filter(|page| page.name == "tables")
                .count();
            let tiles = count - tables - 1;
            format!(
                "{count} pages of {}: 1 with the squares and the map, {tables} with tables, {tiles} with tiles to join.\n\
                 Print page 1 alone at 100 %, and lay a ruler on the square before printing the rest: it is 100 mm wide.",
                size.name()
            )
        }
        Sheet::Fit => {
            format!("{ON_PAPER}\nFor tiles on a desk printer, add --sheet a4 or --sheet letter.")
        }
        Sheet::Page(_) | Sheet::Roll(_) => {
            format!(
                "{count} sheet{}. {ON_PAPER}",
                if count == 1 { "" } else { "s" }
            )
        }
    }
}

/// What is said of letters that no face has.
pub(super) fn no_letters(missing: &[char]) -> String {
    let named: Vec<String> = missing
        .iter()
        .take(8)
        .map(|letter| format!("{letter} (U+{:04X})", u32::from(*letter)))
        .collect();
    let more = if missing.len() > named.len() {
        " and others"
    } else {
        ""
    };
    format!(
        "the letters of the drawing lack {}{more}: a box stands in their place.",
        named.join(", ")
    )
}
