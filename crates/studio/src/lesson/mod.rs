//! A draft as a lesson: one section a step, its sentences made from the statements themselves with this body's figures,
//! figures that show what is new, what to check, and what a usual slip would give. Reads a drawn draft and its record;
//! [`page`] and
//! [`booklet`] write it.

mod angles;
mod asked;
mod card;
mod class;
mod class_page;
mod conditions;
mod does;
mod hand_drawn;
mod last;
mod left;
mod making;
mod phrases;
mod places;
mod plate_names;
mod plates;
mod play;
mod preface;
mod ruler;
mod seams;
mod sewing;
mod sheets;
mod shown;
mod speech;
mod steps;
mod terms;
mod tools;
mod traced;
mod trees;
mod ways;
mod wholes;

pub use class::{Answer, Class, Formula, personal};

pub mod booklet;
pub mod page;
pub mod told;

use kurbo::Size;
use oaktag_language::draft::Outcome;
use oaktag_language::pattern::Issue;
use oaktag_language::syntax::project::Project;
use oaktag_language::voice::LengthUnit;
use oaktag_output::drawing::Drawing;

/// How a lesson is made.
#[derive(Clone, Debug, Default)]
pub struct Options {
    /// Show the steps inside imports and library operations too.
    pub unfold: bool,
    /// So many millimetres of the figure's subject to one of the figure: 2 for half scale; none fits the page.
    pub scale: Option<f64>,
    /// The paper it is made for, in millimetres; none for a screen.
    pub paper: Option<Size>,
    /// On paper, too, where something is missing.
    pub unfinished: bool,
    /// What is added for a class.
    pub class: Class,
    /// For whom, for which body and as which revision: at the head of every sheet.
    pub issue: Issue,
    /// A date for the same place, in the reader's words.
    pub date: Option<String>,
}

/// A measure or figure as a student needs it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Figure {
    /// As it is spoken.
    pub name: String,
    /// This body's value, with its unit.
    pub value: String,
    /// How it is worked out; empty for what is measured or chosen.
    pub formula: String,
    /// How to take it, or what it does.
    pub text: String,
}

/// A usual slip: what it gives, and what it means.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Slip {
    /// What it is made in: "the hip quarter".
    pub of: String,
    /// The figure a student would have.
    pub figure: String,
    /// What was done to get it, and what to do.
    pub text: String,
}

/// Something the student can hold against their own paper.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Check {
    /// What it is about.
    pub text: String,
    /// What was measured on the drawing.
    pub measured: String,
    /// What is wanted of it, in words.
    pub wanted: String,
    /// Whether it held when it was judged.
    pub ok: bool,
    /// What was drawn anew since it was judged, and where; none where it stands.
    pub overtaken: Option<String>,
}

impl Check {
    /// What is to be known beside the figures, in words; empty where it holds.
    pub(crate) fn verdict(&self) -> String {
        match (self.ok, &self.overtaken) {
            (true, None) => String::new(),
            (false, None) => "It does not hold.".to_owned(),
            (true, Some(since)) => format!("It held then; {since}."),
            (false, Some(since)) => format!("It did not hold then; {since}."),
        }
    }
}

/// One picture of a step.
pub struct Plate {
    /// Which acts of the step it shows, the first and the last from 1; none where it shows them all.
    pub acts: Option<(usize, usize)>,
    /// The sheet that it shows, as spoken, where the step has a picture a sheet; else empty.
    pub of: String,
    /// What is new, large.
    pub drawing: Drawing,
    /// The whole sheet, small, with a frame where the picture lies.
    pub locator: Option<Drawing>,
    /// Numbers in the picture, each with what it stands for; what found no room there has none.
    pub key: Vec<(String, String)>,
    /// So many millimetres of the sheet to one of the picture, where a scale was asked for.
    pub scale: Option<f64>,
}

/// Places to be drawn from, in columns: points by how far they lie across and up, or a curve by what is squared out from a
/// ruler.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Table {
    /// What is drawn by it, and from where; the unit of its figures, which stand bare.
    pub title: String,
    /// Over each column.
    pub head: Vec<String>,
    /// A row a place, as many cells as there are columns.
    pub rows: Vec<Vec<String>>,
}

/// One section of a lesson.
pub struct Step {
    /// Counted through the lesson: `7`, and `7.2` inside an operation.
    pub number: String,
    /// What it is for, as the author says it.
    pub title: String,
    /// The panel it is drawn on, as spoken; empty at the file's level.
    pub panel: String,
    /// What should be known first.
    pub notes: Vec<String>,
    /// What to do, one action a sentence.
    pub does: Vec<String>,
    /// Figures it uses and did not work out itself.
    pub figures: Vec<Figure>,
    /// Places that its acts are drawn from.
    pub tables: Vec<Table>,
    /// Its pictures, in the order of its acts; none where nothing is drawn.
    pub plates: Vec<Plate>,
    /// Lengths of new lines, to be laid a tape along.
    pub measures: Vec<(String, String)>,
    /// Checks that what is drawn here decides.
    pub checks: Vec<Check>,
    /// Usual slips, in the author's words.
    pub slips: Vec<Slip>,
    /// Reasons, in the author's words.
    pub whys: Vec<String>,
    /// What must not be overlooked.
    pub cautions: Vec<String>,
    /// Words of the trade the author names.
    pub terms: Vec<String>,
    /// Steps inside, where it calls an operation and they were asked for.
    pub inside: Vec<Step>,
    /// What is added to it for a class.
    pub class: Class,
    /// What its acts draw: full names, each with the place of its sentence, from 1.
    pub draws: Vec<(String, usize)>,
}

impl Step {
    /// A step of which nothing is told yet.
    fn new(number: &str, title: &str, panel: &str) -> Self {
        Self {
            number: number.to_owned(),
            title: title.to_owned(),
            panel: panel.to_owned(),
            notes: Vec::new(),
            does: Vec::new(),
            figures: Vec::new(),
            tables: Vec::new(),
            plates: Vec::new(),
            measures: Vec::new(),
            checks: Vec::new(),
            slips: Vec::new(),
            whys: Vec::new(),
            cautions: Vec::new(),
            terms: Vec::new(),
            inside: Vec::new(),
            class: Class::None,
            draws: Vec::new(),
        }
    }

    /// Whether it tells an act of the library by what that leaves on the paper, and not by how that comes about.
    pub fn is_card(&self) -> bool {
        self.inside.is_empty() && self.tables.iter().any(|table| table.head.len() == 3)
    }

    /// What stands under one of its pictures.
    pub fn caption(&self, plate: &Plate) -> String {
        let acts = plate.acts.map_or(String::new(), |(first, last)| {
            if first == last {
                format!(", act {first}")
            } else {
                format!(", acts {first} to {last}")
            }
        });
        let of = if plate.of.is_empty() {
            String::new()
        } else {
            format!(": {}", plate.of)
        };
        let scale = plate.scale.map_or(String::new(), |scale| {
            format!(", 1:{}", oaktag_language::voice::number(scale))
        });
        format!("Step {}{of}{acts}{scale}", self.number)
    }
}

/// What is done with a piece after it is drawn.
pub struct Work {
    /// The label that is printed on the piece.
    pub title: String,
    /// A sentence an act.
    pub does: Vec<String>,
    /// The piece as it is drawn, its edges named, and what numbers in it stand for.
    pub plate: Option<(Drawing, Vec<(String, String)>)>,
}

/// A draft as a lesson for one body.
pub struct Lesson {
    /// What the draft is called.
    pub title: String,
    /// The unit of its figures, in words: "centimetres".
    pub unit: &'static str,
    /// Measures of the body.
    pub body: Vec<Figure>,
    /// What was chosen for this body.
    pub choices: Vec<Figure>,
    /// Its steps, in the order they are done.
    pub steps: Vec<Step>,
    /// The whole after half of the steps: the number of the step, and the picture.
    pub midway: Option<(String, Drawing)>,
    /// The picture of the pieces as they are cut.
    pub last: Option<Drawing>,
    /// What is done with each piece.
    pub pieces: Vec<Work>,
    /// Checks that stand in the finished draft.
    pub checks: Vec<Check>,
    /// Those of what is drawn anew afterwards, by what they belong to.
    pub overtaken: Vec<(String, Vec<Check>)>,
    /// Seams: both lengths, then how each is sewn and notched.
    pub seams: Vec<(Check, Vec<String>)>,
    /// What lies ready before the first step, beside cloth.
    pub tools: String,
    /// Patterns that are drawn first, each by a lesson of its own.
    pub blocks: Vec<String>,
    /// What is cut from: "poplin, 150 cm wide".
    pub cloths: Vec<String>,
    /// In which order all is made up, a sentence each; empty where there is no seam.
    pub order: Vec<String>,
    /// How that order was found.
    pub order_found: String,
    /// What must be known before cutting.
    pub cautions: Vec<String>,
    /// What cannot be drawn, in words; none where all is.
    pub unfinished: Option<String>,
    /// Terms used and what they mean.
    pub terms: Vec<(&'static str, &'static str)>,
    /// The scale of the figures, where it is fixed.
    pub scale: Option<f64>,
    /// What stands at the head of every sheet; empty where nothing was asked for.
    pub head: String,
    /// What is added for a class.
    pub class: Class,
    /// The sheet of formulas; empty where there is no class.
    pub formulas: Vec<Formula>,
    /// What the questions are answered with; empty where nothing is asked.
    pub answers: Vec<Answer>,
}

impl Lesson {
    /// Every picture of it.
    pub fn pictures(&self) -> Vec<&Drawing> {
        let mut found: Vec<&Drawing> = Vec::new();
        let mut steps: Vec<&Step> = self.steps.iter().collect();
        while let Some(step) = steps.pop() {
            let plates = step.plates.iter();
            found.extend(plates.flat_map(|one| std::iter::once(&one.drawing).chain(&one.locator)));
            steps.extend(&step.inside);
        }
        let midway = self.midway.iter().map(|(_, picture)| picture);
        let pieces = self.pieces.iter();
        let pieces = pieces.filter_map(|work| work.plate.as_ref().map(|(drawing, _)| drawing));
        found.extend(midway.chain(&self.last).chain(pieces));
        found
    }
}

/// Makes the lesson of a drawn draft, its figures in `unit`.
pub fn lesson(project: &Project, outcome: &Outcome, unit: LengthUnit, options: &Options) -> Lesson {
    steps::lesson(project, outcome, unit, options)
}
