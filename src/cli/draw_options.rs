//! What `draw` can be told beside the draft and the file: which pieces, which lines, at what scale, on which sheets. Each
//! option says with which endings it goes, so that none is passed over in silence.

use super::draw::Ending;
use oaktag_language::check::nearest_word;
use oaktag_language::pattern::{Pattern, Seam, WearerSide, figure};
use oaktag_output::drawing::Layer;
use oaktag_output::drawing::manner::Scale;
use oaktag_output::sheet::Sheet;

/// Options of the drawing itself.
#[derive(Clone, Debug, clap::Args)]
pub struct Options {
    /// Print on a4, letter, a3, tabloid (tiles to be joined), a0, roll:WIDTH (roll:914mm), or fit (one page); .pdf
    #[arg(long, value_name = "SHEET")]
    pub sheet: Option<Sheet>,
    /// Draw this piece alone; may be said for several
    #[arg(long = "piece", value_name = "NAME")]
    pub pieces: Vec<String>,
    /// Draw the walk of this seam in place of the pieces: both sides laid straight along each other; .pdf .svg .png
    #[arg(long, value_name = "NAME", conflicts_with_all = ["pieces", "lay", "layers", "hairlines", "unfold"])]
    pub seam: Option<String>,
    /// Draw at half or quarter scale, for teaching; .pdf .svg .png
    #[arg(long, value_name = "SCALE", value_enum)]
    pub scale: Option<ScaleWord>,
    /// Draw these layers alone, with the test squares: cut,sew,fold,notches,marks,grain,text,construction; .pdf .svg .png
    #[arg(long, value_name = "LIST", value_delimiter = ',', value_enum)]
    pub layers: Vec<LayerWord>,
    /// Draw without allowances: the sewing line is the outline
    #[arg(long, value_name = "on|off", value_enum)]
    pub allowances: Option<Switch>,
    /// Draw pieces on the fold whole
    #[arg(long)]
    pub unfold: bool,
    /// Draw for a cutting machine: hairlines, no fills, hardly a word; .svg
    #[arg(long)]
    pub hairlines: bool,
    /// For whom, or which size: printed on every piece; a name is personal data, and stands in no draft
    #[arg(long = "for", value_name = "TEXT")]
    pub made_for: Option<String>,
    /// Which version of the pattern this is: printed on every piece
    #[arg(long, value_name = "TEXT")]
    pub revision: Option<String>,
    /// Draw how the pieces lie on each cloth, at 1:10, in place of the pieces; .pdf .svg .png
    #[arg(long)]
    pub lay: bool,
    /// Which table to write (without it, cut); .csv
    #[arg(long, value_name = "cut|finished|lay", value_enum)]
    pub table: Option<TableWord>,
    /// Dots per inch of a preview (without it, 72); .png
    #[arg(long, value_name = "DOTS")]
    pub resolution: Option<f64>,
}

/// Yes or no.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
pub enum Switch {
    /// As the draft says
    On,
    /// None
    Off,
}

/// A scale as it is typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
pub enum ScaleWord {
    /// True size
    #[value(name = "1:1")]
    Full,
    /// Half
    #[value(name = "1:2")]
    Half,
    /// Quarter
    #[value(name = "1:4")]
    Quarter,
}

/// A table as it is typed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum)]
pub enum TableWord {
    /// What is cut from each cloth
    #[default]
    Cut,
    /// What the finished garment measures
    Finished,
    /// How much of each cloth it takes
    Lay,
}

/// A layer as it is typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
pub enum LayerWord {
    /// Cutting lines
    Cut,
    /// Sewing lines
    Sew,
    /// Folds
    Fold,
    /// Notches
    Notches,
    /// Marks for the cloth
    Marks,
    /// Grain
    Grain,
    /// Names and labels
    Text,
    /// Construction
    Construction,
}

impl LayerWord {
    fn layer(self) -> Layer {
        match self {
            Self::Cut => Layer::Cut,
            Self::Sew => Layer::Sew,
            Self::Fold => Layer::Fold,
            Self::Notches => Layer::Notches,
            Self::Marks => Layer::Marks,
            Self::Grain => Layer::Grain,
            Self::Text => Layer::Text,
            Self::Construction => Layer::Construction,
        }
    }
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

impl Options {
    /// The scale asked for.
    pub fn scale(&self) -> Scale {
        match self.scale {
            None | Some(ScaleWord::Full) => Scale::Full,
            Some(ScaleWord::Half) => Scale::Half,
            Some(ScaleWord::Quarter) => Scale::Quarter,
        }
    }

    /// The layers to keep; none says all.
    pub fn kept(&self) -> Option<Vec<Layer>> {
        let named = self.layers.iter().map(|word| word.layer());
        (!self.layers.is_empty()).then(|| named.chain(ALWAYS).collect())
    }

    /// Layers that a reader has to switch on: construction, unless it is asked for.
    pub fn hidden(&self) -> &'static [Layer] {
        if self.layers.contains(&LayerWord::Construction) {
            &[]
        } else {
            &[Layer::Construction]
        }
    }

    /// The first option that does not go with an ending, and with which it does.
    pub fn out_of_place(&self, ending: Ending) -> Option<(&'static str, &'static str)> {
        let pictures = matches!(ending, Ending::Pdf | Ending::Svg | Ending::Png);
        let said = [
            (
                self.sheet.is_some_and(|sheet| sheet != Sheet::Fit),
                "--sheet",
                ".pdf",
                ending == Ending::Pdf,
            ),
            (
                self.scale() != Scale::Full,
                "--scale",
                ".pdf, .svg or .png",
                pictures,
            ),
            (
                !self.layers.is_empty(),
                "--layers",
                ".pdf, .svg or .png",
                pictures,
            ),
            (self.lay, "--lay", ".pdf, .svg or .png", pictures),
            (
                self.seam.is_some(),
                "--seam",
                ".pdf, .svg or .png",
                pictures,
            ),
            (
                self.table.is_some(),
                "--table",
                ".csv",
                ending == Ending::Csv,
            ),
            (self.hairlines, "--hairlines", ".svg", ending == Ending::Svg),
            (
                self.resolution.is_some(),
                "--resolution",
                ".png",
                ending == Ending::Png,
            ),
        ];
        said.into_iter()
            .find(|(said, .., goes)| *said && !goes)
            .map(|(_, option, endings, _)| (option, endings))
    }

    /// The seam whose walk is to be drawn.
    ///
    /// # Errors
    /// What to say of a seam that the draft does not have.
    pub fn seam_of<'p>(&self, pattern: &'p Pattern) -> Result<Option<&'p Seam>, String> {
        let Some(name) = &self.seam else {
            return Ok(None);
        };
        let called = |seam: &&Seam| seam.name == *name || figure::name(&seam.name) == *name;
        if let Some(seam) = pattern.seams.iter().find(called) {
            return Ok(Some(seam));
        }
        let names: Vec<&str> = pattern
            .seams
            .iter()
            .map(|seam| seam.name.as_str())
            .collect();
        if names.is_empty() {
            return Err(format!(
                "the draft has no seams, so there is no `{name}` to walk."
            ));
        }
        let near = nearest_word(name, names.iter().copied())
            .map(|near| format!(" Did you mean `{near}`?"))
            .unwrap_or_default();
        Err(format!(
            "the draft has no seam `{name}` that can be walked; it has {}.{near}",
            names.join(", ")
        ))
    }

    /// The part of a pattern that is to be drawn.
    ///
    /// # Errors
    /// What to say of a piece that the draft does not have.
    pub fn part_of(&self, pattern: &Pattern) -> Result<Pattern, String> {
        let mut part = if self.pieces.is_empty() {
            pattern.clone()
        } else {
            let names: Vec<String> = self
                .pieces
                .iter()
                .flat_map(|name| names(pattern, name))
                .collect();
            pattern
                .only(&names)
                .map_err(|unknown| no_piece(unknown, pattern))?
        };
        if self.unfold {
            part = part.unfolded();
        }
        if self.allowances == Some(Switch::Off) {
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
    let names: Vec<&str> = pattern
        .pieces
        .iter()
        .map(|piece| piece.name.as_str())
        .collect();
    if names.is_empty() {
        return format!("the draft has no pieces, so there is no `{unknown}` to draw alone.");
    }
    let near = nearest_word(unknown, names.iter().copied())
        .map(|near| format!(" Did you mean `{near}`?"))
        .unwrap_or_default();
    format!(
        "the draft has no piece `{unknown}`; it has {}.{near}",
        names.join(", ")
    )
}
