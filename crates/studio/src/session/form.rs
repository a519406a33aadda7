//! What can be asked of a drawn draft: which part of it, shown how, written in which form. Each form holds what it alone
//! can be told, so that nothing asked for is passed over in silence.

use super::near;
use oaktag_language::pattern::{Issue, Pattern, Seam, WearerSide};
use oaktag_language::voice;
use oaktag_output::drawing::Layer;
use oaktag_output::drawing::manner::Scale;
use oaktag_output::lay::Gap;
use oaktag_output::sheet::Sheet;

/// A file asked for.
#[derive(Clone, Debug)]
pub struct Order {
    /// What of the pattern.
    pub part: Part,
    /// For whom and as what.
    pub issue: Issue,
    /// The kind of file, with what it needs.
    pub form: Form,
    /// Written even where something is missing, in forms too that one cuts or counts from.
    pub unfinished: bool,
}

/// A part of a pattern.
#[derive(Clone, Debug, Default)]
pub struct Part {
    /// These pieces alone; none says all.
    pub pieces: Vec<String>,
    /// Pieces on the fold whole.
    pub unfold: bool,
    /// Without allowances: the sewing line is the outline.
    pub net: bool,
}

/// A form to write in.
#[derive(Clone, Debug)]
pub enum Form {
    /// Pages to print, tiled where the drawing is larger than the sheet.
    Pdf(Picture, Sheet),
    /// One sheet at true size.
    Svg(Picture),
    /// For a cutting machine: hairlines, no fills, hardly a word.
    Hairlines(Picture),
    /// A preview, in dots per inch.
    Png(Picture, f64),
    /// The pieces as layers, for a cutting room.
    Dxf,
    /// What is cut, in words, and how the pieces lie with so much between them.
    Ticket(Gap),
    /// One of its tables, to be read by a spreadsheet.
    Csv(Table),
    /// All its figures, for other programs to read.
    Json,
}

/// How a picture is drawn.
#[derive(Clone, Debug, Default)]
pub struct Picture {
    /// The pieces, the walk of one seam, or how the pieces lie on their cloth.
    pub subject: Subject,
    /// True size, or a half or a quarter of it.
    pub scale: Scale,
    /// These layers alone, with what no drawing does without; none says all.
    pub layers: Option<Vec<Layer>>,
}

/// What a picture shows.
#[derive(Clone, Debug, Default)]
pub enum Subject {
    /// The pieces, composed on one sheet.
    #[default]
    Pieces,
    /// The walk of this seam.
    Seam(String),
    /// How the pieces lie on each cloth, with so much between them.
    Lay(Gap),
}

/// A table for a spreadsheet.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Table {
    /// What is cut from each cloth.
    #[default]
    Cut,
    /// What the finished garment measures.
    Finished,
    /// How much of each cloth it takes, with so much between the pieces.
    Lay(Gap),
}

/// Layers that are always drawn: what proves the scale, joins the sheets, and must not be overlooked.
const ALWAYS: [Layer; 6] = [
    Layer::Paper,
    Layer::Pieces,
    Layer::Cautions,
    Layer::Title,
    Layer::TestSquare,
    Layer::Joins,
];

impl Form {
    /// Whether it may be written of a draft that cannot be drawn whole: nobody cuts from it, and nobody counts.
    pub(super) fn is_for_the_eye(&self) -> bool {
        match self {
            Form::Svg(picture) | Form::Png(picture, _) => {
                !matches!(picture.subject, Subject::Lay(_))
            }
            Form::Json => true,
            Form::Pdf(..) | Form::Hairlines(_) | Form::Dxf | Form::Ticket(_) | Form::Csv(_) => {
                false
            }
        }
    }
}

impl Picture {
    /// The layers to keep; none says all.
    pub(super) fn kept(&self) -> Option<Vec<Layer>> {
        let layers = self.layers.as_ref()?;
        Some(layers.iter().copied().chain(ALWAYS).collect())
    }

    /// Layers that a reader has to switch on, unless they are asked for: what the draft was built on, and what it calls its
    /// points. Who cuts needs neither.
    pub(super) fn hidden(&self) -> Vec<Layer> {
        let asked = self.layers.as_deref().unwrap_or_default();
        let drafting = [Layer::Construction, Layer::Names].into_iter();
        drafting.filter(|layer| !asked.contains(layer)).collect()
    }
}

impl Part {
    /// The part of a pattern.
    ///
    /// # Errors
    /// What to say of a piece that the draft does not have.
    pub fn of(&self, pattern: &Pattern) -> Result<Pattern, String> {
        let mut part = if self.pieces.is_empty() {
            pattern.clone()
        } else {
            let names = self.pieces.iter().flat_map(|name| names(pattern, name));
            let names: Vec<String> = names.collect();
            let part = pattern.only(&names);
            part.map_err(|unknown| no_piece(unknown, pattern))?
        };
        if self.unfold {
            part = part.unfolded();
        }
        if self.net {
            part = part.net();
        }
        Ok(part)
    }
}

/// The piece of that name, or a left and a right one.
fn names(pattern: &Pattern, name: &str) -> Vec<String> {
    let sides = WearerSide::BOTH.map(|side| side.of(name));
    let is_there = |name: &String| pattern.piece(name).is_some();
    if pattern.piece(name).is_none() && sides.iter().all(is_there) {
        sides.to_vec()
    } else {
        vec![name.to_owned()]
    }
}

fn no_piece(unknown: &str, pattern: &Pattern) -> String {
    let names = pattern.pieces.iter().map(|piece| piece.name.as_str());
    let names: Vec<&str> = names.collect();
    let lacks = pattern.unfinished.as_ref();
    if lacks.is_some_and(|lacks| lacks.not_drawn.iter().any(|name| name == unknown)) {
        return format!("piece `{unknown}` cannot be drawn: mend the draft first.");
    }
    if names.is_empty() {
        return format!("the draft has no pieces, so there is no `{unknown}` to draw alone.");
    }
    let near = near(unknown, names.iter().copied());
    let all = names.join(", ");
    format!("the draft has no piece `{unknown}`; it has {all}.{near}")
}

/// The seam of that name.
///
/// # Errors
/// What to say of a seam that the draft does not have.
pub(super) fn seam<'p>(pattern: &'p Pattern, name: &str) -> Result<&'p Seam, String> {
    let called = |seam: &&Seam| seam.name == name || voice::letters(&seam.name) == name;
    if let Some(seam) = pattern.seams.iter().find(called) {
        return Ok(seam);
    }
    let names: Vec<&str> = pattern.seams.iter().map(|seam| &*seam.name).collect();
    if names.is_empty() {
        return Err(format!(
            "the draft has no seams, so there is no `{name}` to walk."
        ));
    }
    let near = near(name, names.iter().copied());
    let all = names.join(", ");
    Err(format!(
        "the draft has no seam `{name}` that can be walked; it has {all}.{near}"
    ))
}
