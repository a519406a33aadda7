//! The forms, each by its writer, with what is to be said of the file.

use super::Session;
use super::form::{Form, Order, Picture, Subject, Table, seam};
use crate::lesson;
use oaktag_language::draft::Outcome;
use oaktag_language::pattern::spec::{NamedValue, Value};
use oaktag_language::pattern::{Pattern, Seam, Unfinished};
use oaktag_language::report::terminal;
use oaktag_language::voice;
use oaktag_output::drawing::Drawing;
use oaktag_output::drawing::compose::{compose, compose_as, compose_where};
use oaktag_output::drawing::manner::{Manner, Scale};
use oaktag_output::pages::{self, Document, lay_out};
use oaktag_output::sheet::Sheet;
use oaktag_output::{cut_list, dxf, json, lay, pdf, png, spec_sheet, svg, ticket, walk};

/// A file as it will be written, and what is to be said of it.
#[derive(Clone, Debug, Default)]
pub struct Written {
    /// The bytes of the file, whole.
    pub bytes: Vec<u8>,
    /// Letters that the faces lack.
    pub missing: Vec<char>,
    /// What to do with it, a sentence a line; often nothing.
    pub said: String,
    /// The part of the pattern that it shows; none for a lesson.
    pub part: Option<Pattern>,
}

/// Why nothing was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Refused {
    /// The draft has errors that leave something out of the drawing; whether it can be had all the same, if it is asked for.
    Unfinished(bool),
    /// The draft has nothing of the kind, in words.
    Nothing(String),
    /// What was asked for cannot be: no such piece, sheet or size, in words.
    Asked(String),
    /// The writer broke down, in words.
    Failed(String),
}

impl Session {
    /// Writes what was drawn. A failed check or seam stands in the drawing. Where something is missing the rest is written, and
    /// says so, in forms for the eye; others are refused unless the order asks for what is unfinished.
    ///
    /// # Errors
    /// As [`Refused`] says.
    pub fn write(&self, order: &Order) -> Result<Written, Refused> {
        let of_eye = order.form.is_for_the_eye();
        let is_picture = matches!(&order.form, Form::Svg(picture) | Form::Png(picture, _)
            if matches!(picture.subject, Subject::Pieces) && order.part.pieces.is_empty());
        if is_picture && let Some(before) = self.instead() {
            return written(&before, order, true);
        }
        written(self.outcome(), order, of_eye || order.unfinished)
    }

    /// What is shown where nothing at all could be drawn: better what stood there before than nothing.
    pub(super) fn instead(&self) -> Option<Outcome> {
        let before = is_blank(self.outcome()).then(|| self.drawn_before());
        before.flatten().filter(|before| !is_blank(before))
    }

    /// Whether something can be drawn for the eye.
    pub(super) fn has_picture(&self) -> bool {
        may_be_written(self.outcome(), true).is_ok()
    }

    /// Writes the draft as a lesson, as a page or, where the options name a paper, a booklet.
    ///
    /// # Errors
    /// As [`Refused`] says.
    pub fn lesson(&self, half: &Outcome, options: &lesson::Options) -> Result<Written, Refused> {
        let may_lack = options.paper.is_none() || options.unfinished;
        may_be_written(half, may_lack)?;
        let unit = self.read.checked.program.unit;
        let lesson = lesson::lesson(&self.read.project, half, unit, options);
        let mut said = format!("{}.", voice::count(lesson.steps.len(), "step"));
        let asked = lesson.answers.len();
        if asked > 0 {
            said.push_str(&format!(" {}.", voice::count(asked, "question")));
        } else if options.class.asks() {
            said.push_str(match options.unfold {
                true => " No questions: no act of it works a figure out.",
                false => {
                    " No questions: no act that it shows works a figure out. Unfolded, it asks inside the acts of the library too."
                }
            });
        }
        let Some(paper) = options.paper else {
            if asked > 0 {
                said.push_str(" The answers are folded away at the end of the page.");
            }
            return Ok(Written {
                bytes: lesson::page::html(&lesson).into_bytes(),
                said,
                ..Written::default()
            });
        };
        let booklet = lesson::booklet::booklet(&lesson, paper);
        if let Some(first) = booklet.answers {
            let last = booklet.document.pages.len();
            let pages = match last - first {
                0 => format!("Page {last} has the answers"),
                _ => format!("Pages {first} to {last} have the answers"),
            };
            said.push_str(&format!(" {pages}: print those before it for the class."));
        }
        let written = pdf::write_with_outline(&booklet.document, &[], &booklet.bookmarks);
        Ok(Written {
            bytes: written.bytes,
            missing: written.missing,
            said,
            part: None,
        })
    }
}

/// The pictures of a film.
#[derive(Clone, Debug, Default)]
pub struct Film {
    /// The bytes of each PNG file, in order.
    pub pictures: Vec<Vec<u8>>,
    /// Letters that the faces lack.
    pub missing: Vec<char>,
}

impl Session {
    /// Writes the draft as a lesson in pictures, one an act, as they follow each other in a film.
    ///
    /// # Errors
    /// As [`Refused`] says.
    pub fn film(&self, half: &Outcome, options: &lesson::Options) -> Result<Film, Refused> {
        may_be_written(half, true)?;
        let unit = self.read.checked.program.unit;
        let lesson = lesson::lesson(&self.read.project, half, unit, options);
        let mut film = Film::default();
        for frame in lesson::booklet::frames::frames(&lesson) {
            let picture = png::write(&frame, lesson::booklet::frames::RESOLUTION, &[]);
            let picture = picture.map_err(|fault| Refused::Failed(fault.to_string()))?;
            film.pictures.push(picture.bytes);
            for letter in picture.missing {
                if !film.missing.contains(&letter) {
                    film.missing.push(letter);
                }
            }
        }
        Ok(film)
    }
}

/// Whether something is missing, and nothing is left to look at.
fn is_blank(outcome: &Outcome) -> bool {
    let pattern = &outcome.pattern;
    let is_shape = |named: &NamedValue| {
        matches!(
            named.value,
            Value::Point(_) | Value::Line(_) | Value::Curve(_)
        )
    };
    let lacks = pattern.unfinished.as_ref();
    lacks.is_some_and(|lacks| lacks.pieces.is_empty())
        && pattern.pieces.is_empty()
        && !pattern.values.iter().any(is_shape)
}

/// Whether a drawn draft may be written: where something is missing, only in a file that may lack it.
fn may_be_written(outcome: &Outcome, may_lack: bool) -> Result<(), Refused> {
    // Where a value that was given is wrong, nothing of it is what was asked for.
    let is_drawn = outcome.pattern.unfinished.is_some();
    match outcome.is_whole() || (is_drawn && may_lack) {
        true => Ok(()),
        false => Err(Refused::Unfinished(is_drawn)),
    }
}

/// The pieces of a drawn draft on one sheet, each where it lies in the picture before, where there is one; none where nothing can
/// be drawn.
pub(super) fn picture(outcome: &Outcome, before: Option<&Drawing>) -> Option<Drawing> {
    may_be_written(outcome, true).ok()?;
    Some(match before {
        Some(before) => compose_where(&outcome.pattern, before),
        None => compose(&outcome.pattern),
    })
}

/// Writes a drawn draft; `may_lack` says whether something may be missing from it.
///
/// # Errors
/// As [`Refused`] says.
pub(super) fn written(
    outcome: &Outcome,
    order: &Order,
    may_lack: bool,
) -> Result<Written, Refused> {
    may_be_written(outcome, may_lack)?;
    let mut part = order.part.of(&outcome.pattern).map_err(Refused::Asked)?;
    part.issue = order.issue.clone();
    let said = part.unfinished.as_ref().map(Unfinished::said);
    if let (Some(said), Form::Dxf | Form::Ticket(_) | Form::Csv(_)) = (&said, &order.form) {
        part.cautions.insert(0, said.clone());
    }
    let mut written = of_form(&order.form, &part)?;
    let (Form::Pdf(picture, _)
    | Form::Svg(picture)
    | Form::Hairlines(picture)
    | Form::Png(picture, _)) = &order.form
    else {
        written.part = Some(part);
        return Ok(written);
    };
    if let Some(said) = said {
        written.said = format!("{said}. Not for cutting.\n");
    } else if picture.scale != Scale::Full {
        written.said = format!("{}.\n{}", picture.scale.words(), written.said);
    }
    written.part = Some(part);
    Ok(written)
}

fn plain(bytes: Vec<u8>, said: &str) -> Written {
    Written {
        bytes,
        said: said.to_owned(),
        ..Written::default()
    }
}

fn of_form(form: &Form, pattern: &Pattern) -> Result<Written, Refused> {
    match form {
        Form::Pdf(picture, sheet) => pdf(picture, *sheet, pattern),
        Form::Hairlines(picture) => {
            let drawing = composed(picture, walked(picture, pattern)?, pattern);
            Ok(plain(svg::hairlines(&drawing).into_bytes(), ON_PAPER))
        }
        Form::Svg(picture) => {
            let drawing = composed(picture, walked(picture, pattern)?, pattern);
            let said = match picture.subject {
                Subject::Pieces => ON_PAPER,
                Subject::Seam(_) => WALK_ON_PAPER,
                Subject::Lay(_) => lay::NOTE,
            };
            Ok(plain(svg::of_drawing(&drawing).into_bytes(), said))
        }
        Form::Png(picture, resolution) => {
            let drawing = composed(picture, walked(picture, pattern)?, pattern);
            let made = png::write(&drawing, *resolution, &picture.hidden());
            let made = made.map_err(|fault| Refused::Asked(fault.to_string()))?;
            Ok(Written {
                missing: made.missing,
                ..plain(
                    made.bytes,
                    &format!("{resolution} dots per inch, for the eye: not for cutting."),
                )
            })
        }
        Form::Dxf if pattern.pieces.iter().all(|piece| piece.outer().is_none()) => {
            Err(Refused::Nothing(NOTHING_TO_CUT.into()))
        }
        Form::Dxf => {
            let text = dxf::write(pattern, pattern.issue.body.as_deref().unwrap_or("base"));
            let said = "Millimetres: measure one piece after reading it in.";
            Ok(plain(text.into_bytes(), said))
        }
        Form::Ticket(gap) => Ok(plain(as_text(&ticket::text(pattern, gap.0)), "")),
        Form::Csv(table) => {
            let made = match table {
                Table::Cut => cut_list::csv(pattern),
                Table::Finished => spec_sheet::csv(pattern),
                Table::Lay(gap) => lay::csv(pattern, gap.0),
            };
            let bytes =
                made.map_err(|why| Refused::Failed(format!("the list could not be made: {why}")))?;
            Ok(plain(as_text(&String::from_utf8_lossy(&bytes)), ""))
        }
        Form::Json => {
            let made = json::write(pattern);
            let text =
                made.map_err(|why| Refused::Failed(format!("the JSON could not be made: {why}")))?;
            Ok(plain(text.into_bytes(), ""))
        }
    }
}

/// The seam that a picture walks; none where it shows something else.
fn walked<'p>(picture: &Picture, pattern: &'p Pattern) -> Result<Option<&'p Seam>, Refused> {
    match &picture.subject {
        Subject::Seam(name) => seam(pattern, name).map(Some).map_err(Refused::Asked),
        Subject::Pieces | Subject::Lay(_) => Ok(None),
    }
}

fn composed(picture: &Picture, seam: Option<&Seam>, pattern: &Pattern) -> Drawing {
    if let Some(seam) = seam {
        return walk::draw(pattern, seam, picture.scale);
    }
    if let Subject::Lay(gap) = &picture.subject {
        return lay::draw(pattern, gap.0);
    }
    let manner = Manner {
        scale: picture.scale,
        ..Manner::default()
    };
    let mut drawing = compose_as(pattern, manner);
    if let Some(layers) = picture.kept() {
        drawing.keep(&layers);
    }
    drawing
}

fn pdf(picture: &Picture, sheet: Sheet, pattern: &Pattern) -> Result<Written, Refused> {
    let seam = walked(picture, pattern)?;
    let laid = match (&picture.subject, seam) {
        (Subject::Lay(gap), _) => pages::single(lay::draw(pattern, gap.0)),
        (_, Some(_)) => pages::lay_out_drawing(composed(picture, seam, pattern), sheet),
        (_, None) => lay_out(pattern, sheet, picture.scale),
    };
    let mut document = laid.map_err(|fault| Refused::Asked(fault.to_string()))?;
    let said = match picture.subject {
        Subject::Lay(_) => lay::NOTE.to_owned(),
        Subject::Seam(_) => WALK_ON_PAPER.to_owned(),
        Subject::Pieces => pages_said(&document, sheet),
    };
    if let (Some(layers), Subject::Pieces | Subject::Seam(_)) = (picture.kept(), &picture.subject) {
        document.keep(&layers);
    }
    let made = pdf::write(&document, &picture.hidden());
    Ok(Written {
        bytes: made.bytes,
        missing: made.missing,
        said,
        part: None,
    })
}

/// Said of a draft for a cutting room that has no piece.
pub const NOTHING_TO_CUT: &str =
    "a cutting room wants pieces, and the draft has none: write a piece, or draw .svg.";

/// A text for a file that is read as text: what cannot steer a terminal cannot steer the one it is shown on, either.
fn as_text(text: &str) -> Vec<u8> {
    terminal::harmless(text).into_owned().into_bytes()
}

const ON_PAPER: &str =
    "Print at 100 %, and lay a ruler on the square before cutting: it is 100 mm wide.";

const WALK_ON_PAPER: &str = "Print at 100 %, and lay a ruler on the bar: it is 100 mm long.";

/// How many sheets, and what to do first.
fn pages_said(document: &Document, sheet: Sheet) -> String {
    let count = document.pages.len();
    match sheet {
        Sheet::Page(size) if size.is_small() => {
            let is_table = |page: &&pages::Page| page.name == "tables";
            let tables = document.pages.iter().filter(is_table).count();
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
            format!("{}. {ON_PAPER}", voice::count(count, "sheet"))
        }
    }
}

/// What is said of letters that no face has; empty where none lacks.
pub fn no_letters(missing: &[char]) -> String {
    /// So many are named.
    const NAMED: usize = 8;
    if missing.is_empty() {
        return String::new();
    }
    let named = missing.iter().take(NAMED);
    let named = named.map(|letter| format!("{letter} (U+{:04X})", u32::from(*letter)));
    let named: Vec<String> = named.collect();
    let more = if missing.len() > NAMED {
        " and others"
    } else {
        ""
    };
    format!(
        "the letters of the drawing lack {}{more}: a box stands in their place.",
        named.join(", ")
    )
}
