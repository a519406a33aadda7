//! What `draw` can be told beside the draft and the file: which pieces, which lines, at what scale, on which sheets. Each
//! option says with which endings it goes, so that none is passed over in silence.

use super::draw::Ending;
use oaktag_language::pattern::Issue;
use oaktag_output::drawing::Layer;
use oaktag_output::drawing::manner::Scale;
use oaktag_output::lay::Gap;
use oaktag_output::sheet::Sheet;
use oaktag_studio::session::{Form, Order, Part, Picture, Subject, Table};

/// Options of the drawing itself.
#[derive(Clone, Debug, clap::Args)]
pub(super) struct Options {
    /// Print on a4, letter, a3, tabloid (tiles to be joined), a0, roll:WIDTH (roll:914mm), or fit (one page); .pdf
    #[arg(long, value_name = "SHEET")]
    pub sheet: Option<Sheet>,
    /// Draw this piece alone; may be given for several
    #[arg(long = "piece", value_name = "NAME")]
    pub pieces: Vec<String>,
    /// Draw the walk of this seam in place of the pieces: both sides laid straight along each other; .pdf .svg .png
    #[arg(long, value_name = "NAME", conflicts_with_all = ["pieces", "lay", "layers", "hairlines", "unfold"])]
    pub seam: Option<String>,
    /// Draw at half or quarter scale, for teaching; .pdf .svg .png
    #[arg(long, value_name = "SCALE", value_enum)]
    pub scale: Option<ScaleWord>,
    /// Draw these layers alone, with the test squares: cut,sew,fold,notches,marks,grain,text,names,construction; .pdf .svg .png
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
    /// How far pieces lie apart in a lay, at the least (without it, 0): 5mm; .txt, .csv --table lay, --lay
    #[arg(long, value_name = "LENGTH")]
    pub gap: Option<Gap>,
    /// Which table to write (without it, cut); .csv
    #[arg(long, value_name = "cut|finished|lay", value_enum)]
    pub table: Option<TableWord>,
    /// Dots per inch of a preview (without it, 72); .png
    #[arg(long, value_name = "DOTS")]
    pub resolution: Option<f64>,
    /// While something is wrong, still write what can be drawn, even in files that one cuts or counts from
    #[arg(long)]
    pub unfinished: bool,
}

/// Yes or no.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
pub(super) enum Switch {
    /// As the draft says
    On,
    /// None
    Off,
}

/// A scale as it is typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
pub(super) enum ScaleWord {
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
pub(super) enum TableWord {
    /// What is cut from each cloth
    #[default]
    Cut,
    /// What the finished garment measures
    Finished,
    /// How much of each cloth it takes
    Lay,
}

impl TableWord {
    fn table(self, gap: Gap) -> Table {
        match self {
            Self::Cut => Table::Cut,
            Self::Finished => Table::Finished,
            Self::Lay => Table::Lay(gap),
        }
    }
}

/// A layer as it is typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
pub(super) enum LayerWord {
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
    /// Labels, lengths, how edges are sewn
    Text,
    /// Names of points
    Names,
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
            Self::Names => Layer::Names,
            Self::Construction => Layer::Construction,
        }
    }
}

impl Options {
    /// The scale asked for.
    fn scale(&self) -> Scale {
        match self.scale {
            None | Some(ScaleWord::Full) => Scale::Full,
            Some(ScaleWord::Half) => Scale::Half,
            Some(ScaleWord::Quarter) => Scale::Quarter,
        }
    }

    /// The first option that does not go with an ending, and with which it does.
    pub(super) fn out_of_place(&self, ending: Ending) -> Option<(&'static str, &'static str)> {
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
                self.gap.is_some(),
                "--gap",
                ".txt, .csv --table lay, or --lay",
                (self.lay && pictures)
                    || ending == Ending::Txt
                    || (ending == Ending::Csv && matches!(self.table, Some(TableWord::Lay))),
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

    /// What of the pattern is drawn.
    fn part(&self) -> Part {
        Part {
            pieces: self.pieces.clone(),
            unfold: self.unfold,
            net: self.allowances == Some(Switch::Off),
        }
    }

    /// How a picture is drawn.
    fn picture(&self) -> Picture {
        Picture {
            subject: match &self.seam {
                Some(name) => Subject::Seam(name.clone()),
                None if self.lay => Subject::Lay(self.gap.unwrap_or_default()),
                None => Subject::Pieces,
            },
            scale: self.scale(),
            layers: (!self.layers.is_empty())
                .then(|| self.layers.iter().map(|word| word.layer()).collect()),
        }
    }

    /// What is asked for with an ending.
    pub(super) fn order(&self, ending: Ending, issue: Issue) -> Order {
        let form = match ending {
            Ending::Pdf => Form::Pdf(self.picture(), self.sheet.unwrap_or_default()),
            Ending::Svg if self.hairlines => Form::Hairlines(self.picture()),
            Ending::Svg => Form::Svg(self.picture()),
            Ending::Png => Form::Png(self.picture(), self.resolution.unwrap_or(PREVIEW)),
            Ending::Dxf => Form::Dxf,
            Ending::Txt => Form::Ticket(self.gap.unwrap_or_default()),
            Ending::Csv => {
                let gap = self.gap.unwrap_or_default();
                Form::Csv(self.table.unwrap_or_default().table(gap))
            }
            Ending::Json => Form::Json,
        };
        Order {
            part: self.part(),
            issue,
            form,
            unfinished: self.unfinished,
        }
    }
}

/// Resolution of a preview where none is asked for.
const PREVIEW: f64 = 72.0;
