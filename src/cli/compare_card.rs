//! `compare --card`: one page for the hook, as .svg, .pdf or .png.

use super::End;
use super::compare::{Arguments, compared, ended, saved};
use super::compare_sides::Asked;
use super::told;
use oaktag_output::sheet::{PageSize, Sheet};
use oaktag_output::{pages, pdf, png, svg};
use oaktag_studio::compare::card::{self, Heading};
use oaktag_studio::compare::report::{Detail, report};

/// Dots per inch of a picture.
const RESOLUTION: f64 = 150.0;

/// Makes the card.
pub(super) fn run(old: &str, new: &str, arguments: &Arguments) -> End {
    made(old, new, arguments).unwrap_or_else(|end| end)
}

fn made(old: &str, new: &str, arguments: &Arguments) -> Result<End, End> {
    let misused = |words: &str| {
        told::line(words);
        End::Misused
    };
    let page = match arguments.sheet {
        None | Some(Sheet::Page(PageSize::A4)) => PageSize::A4,
        Some(Sheet::Page(PageSize::Letter)) => PageSize::Letter,
        Some(_) => return Err(misused("a card is printed on a4 or letter.")),
    };
    let path = arguments.output.as_deref();
    let path = path
        .ok_or_else(|| misused("--card wants -o with a name that ends in .svg, .pdf or .png."))?;
    let ending = path.extension().and_then(|ending| ending.to_str());
    let ending = ending.map(str::to_ascii_lowercase).unwrap_or_default();
    if !["svg", "pdf", "png"].contains(&ending.as_str()) {
        return Err(misused("a card is written as .svg, .pdf or .png."));
    }
    let (before, after) = (Asked::typed(old), Asked::typed(new));
    let (old, new, comparison) = compared(arguments, &before, &after)?;
    let of_table = |typed: &Option<String>| {
        let typed = typed.as_deref()?;
        typed.rsplit_once(':').map(|(_, name)| name.to_owned())
    };
    let heading = Heading {
        old: before.on_paper(),
        new: after.on_paper(),
        revision: arguments.revision.clone(),
        body: of_table(&arguments.new_body).or_else(|| of_table(&arguments.values.body)),
    };
    let drawing = card::drawing(&comparison, (old.side(), new.side()), &heading, page.size());
    let failed = |words: String| {
        told::line(&words);
        End::NoFile
    };
    let bytes = match ending.as_str() {
        "svg" => svg::of_drawing(&drawing).into_bytes(),
        "png" => {
            let picture = png::write(&drawing, RESOLUTION, &[]);
            let picture = picture.map_err(|fault| failed(fault.to_string()))?;
            told::no_letters(&picture.missing);
            picture.bytes
        }
        _ => {
            let document = pages::single(drawing).map_err(|fault| failed(fault.to_string()))?;
            let written = pdf::write(&document, &[]);
            told::no_letters(&written.missing);
            written.bytes
        }
    };
    let verdict = report(&comparison, Detail::Outline).verdict;
    saved(&bytes, path, &verdict, &old, &new)?;
    Ok(ended(arguments, &comparison))
}
