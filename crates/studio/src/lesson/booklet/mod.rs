//! A lesson as a booklet on paper: start page, contents, a section a step, half way, the finished pattern, glossary. A step
//! and its figure stand on one page wherever a page can hold both.

mod class;
pub mod frames;
mod places;
mod set;
mod sheets;

use super::class::{ANSWERS, FORMULAS};
use super::{Check, Figure, Lesson, Plate, Step, preface};
use kurbo::Size;
use oaktag_language::voice;
use oaktag_output::drawing::Drawing;
use oaktag_output::drawing::style::Hand;
use oaktag_output::pages::Document;
use oaktag_output::pdf::Bookmark;
use set::{Block, Frame, Words};
use sheets::Sheets;

/// Columns of the tables, as shares of the width.
const MEASURES: &[f64] = &[0.32, 0.18, 0.5];
const USED: &[f64] = &[0.34, 0.18, 0.48];
const TERMS: &[f64] = &[0.24, 0.76];
const KEY: &[f64] = &[0.05, 0.283, 0.05, 0.283, 0.05, 0.284];
/// A key of no more than this stands in a row.
const FEW: usize = 6;
/// Between two steps on one page.
const APART: f64 = 7.0;
/// A figure is not made lower than this to get it onto the page of its words.
const LOWEST: f64 = 62.0;
/// Nor higher than this, where it shows so many new things or fewer: so short steps share a page.
const HIGHEST: [(usize, f64); 3] = [(4, 56.0), (8, 72.0), (usize::MAX, 96.0)];
/// Nor than this, where a step has more than two.
const MANY: f64 = 46.0;
/// The picture of all sheets or pieces is no higher than this.
const WHOLES: f64 = 88.0;
/// The room for the picture of one piece, beside what is said of it.
const PIECE: Size = Size::new(80.0, 76.0);
/// What a page that shows a figure alone needs for its heading and caption.
const ALONE: f64 = 16.0;
/// The greatest side of the small picture of the whole.
const LOCATOR: f64 = 50.0;
/// So much of its words at least stands below the figures of a step that goes on overleaf.
const SOME_WORDS: f64 = 25.0;
/// Under a figure: its caption, and air.
const CAPTION: f64 = 10.0;

/// The pages, and the headings that a reader lists beside them.
pub struct Booklet {
    /// All its pages, ready to be written.
    pub document: Document,
    /// Its headings in order, for the outline of the PDF.
    pub bookmarks: Vec<Bookmark>,
    /// The page on which the answers begin, from 1; none where nothing is asked.
    pub answers: Option<usize>,
}

/// Lays a lesson out on pages of a size in millimetres. The figures of a lesson made for that size ([`super::Options::paper`])
/// fit it.
pub fn booklet(lesson: &Lesson, size: Size) -> Booklet {
    // The contents tell on which page a step begins, and are as long whatever they tell.
    let first = laid(lesson, size, &[]);
    let pages: Vec<usize> = first.1;
    let (sheets, pages) = laid(lesson, size, &pages);
    let answers = pages.last().filter(|_| !lesson.answers.is_empty());
    let scale = lesson.scale.map_or(String::new(), |scale| {
        format!(" · figures 1:{}, print at 100 %", voice::number(scale))
    });
    let (document, bookmarks) = sheets.finish(&scale, &lesson.head);
    Booklet {
        document,
        bookmarks,
        answers: answers.copied(),
    }
}

/// What is left for each figure of a step beside its words, on a page of that size; where that is too little, about half a
/// page, and its words go on overleaf. `fitted` figures are no higher than a page of two steps allows. It has `count` figures, two
/// side by side; this one shows so many new things.
pub(super) fn room_for_figure(
    step: &Step,
    page: Size,
    (fitted, count, things): (bool, usize, usize),
) -> Size {
    let free = sheets::free(page);
    let rows = count.div_ceil(side_by_side(count)).max(1) as f64;
    let mut locator = Drawing::new("");
    (locator.width, locator.height) = (LOCATOR, LOCATOR);
    let mut blocks = vec![Block::Beside(&locator)];
    blocks.extend(of_step(step, true));
    let left = free.height - set::height(&set::set(&blocks, free.width)) - CAPTION * rows;
    let highest = HIGHEST.iter().find(|(most, _)| things <= *most);
    let highest = highest.map_or(LOWEST, |(_, height)| *height);
    let highest = if count > 2 {
        highest.min(MANY)
    } else {
        highest
    };
    let height = match (fitted, left < LOWEST * rows) {
        (true, true) => (free.height * 0.45 / rows).min(highest),
        (true, false) => (left / rows).min(highest),
        // At a fixed scale a figure may take a page of its own.
        (false, _) => free.height - ALONE,
    };
    let columns = side_by_side(if fitted { count } else { 1 }) as f64;
    let width = (free.width - (columns - 1.0) * set::GUTTER) / columns;
    Size::new(width, height)
}

/// How many figures of a step that has so many stand side by side.
fn side_by_side(count: usize) -> usize {
    match count {
        0 | 1 => 1,
        2..=4 => 2,
        _ => 3,
    }
}

/// What a picture of all sheets or pieces may take of a page.
pub(super) fn room_for_wholes(page: Size) -> Size {
    let free = sheets::free(page);
    Size::new(free.width, WHOLES.min(free.height - 3.0 * ALONE))
}

/// What the picture of a piece may take, beside what is said of it.
pub(super) fn room_for_piece(page: Size) -> Size {
    let free = sheets::free(page);
    Size::new(PIECE.width.min(0.5 * free.width), PIECE.height)
}

/// The pages, and on which of them each step, the end and the glossary begin.
fn laid(lesson: &Lesson, size: Size, known: &[usize]) -> (Sheets, Vec<usize>) {
    let width = sheets::free(size).width;
    let mut sheets = Sheets::new(&lesson.title, size);
    let mut begins = Vec::new();
    for (at, group) in start(lesson).into_iter().enumerate() {
        let heading = (at == 0).then_some(preface::BEFORE);
        sheets.keep(set::set(&group, width), heading);
    }
    sheets.gap(APART);
    sheets.lay(set::set(&contents(lesson, known), width), Some("Steps"));
    sheets.gap(APART);
    for step in &lesson.steps {
        begins.push(one_step(&mut sheets, step, width));
        if let Some((after, plate)) = &lesson.midway
            && *after == step.number
        {
            let blocks = [
                heading(preface::MIDWAY),
                plain(preface::HALF_WAY),
                Block::Gap(2.0),
                Block::Figure(plate),
            ];
            sheets.lay(set::set(&blocks, width), Some(preface::MIDWAY));
            sheets.gap(APART);
        }
    }
    let end = end(lesson);
    for (at, group) in end.into_iter().enumerate() {
        let heading = (at == 0).then_some(preface::FINISHED);
        let page = sheets.keep(set::set(&group, width), heading);
        if at == 0 {
            begins.push(page);
        }
    }
    if let Some(formulas) = class::formulas(lesson) {
        sheets.overleaf();
        begins.push(sheets.lay(set::set(&formulas, width), Some(FORMULAS)));
    }
    sheets.gap(APART);
    begins.push(sheets.flow(set::set(&glossary(lesson), width), Some("Glossary")));
    if let Some(answers) = class::answers(lesson) {
        sheets.overleaf();
        begins.push(sheets.lay(set::set(&answers, width), Some(ANSWERS)));
    }
    (sheets, begins)
}

fn one_step(sheets: &mut Sheets, step: &Step, width: f64) -> usize {
    let name = format!("{}. {}", step.number, step.title);
    let whole = set::set(&of_step(step, false), width);
    let page = if set::height(&whole) <= sheets.left() {
        sheets.lay(whole, Some(&name))
    } else {
        // Its figures go to its beginning, so that they are seen with the first of its words; the others go on overleaf.
        let beside = locator(step).map_or(0.0, |small| small.height);
        let first = set::height(&set::set(&begun(step), width)) + SOME_WORDS.max(beside);
        let long = set::set(&of_long_step(step), width);
        if first <= sheets.left() {
            sheets.flow(long, Some(&name))
        } else if set::height(&whole) > sheets.room() {
            sheets.lay(long, Some(&name))
        } else {
            sheets.lay(whole, Some(&name))
        }
    };
    sheets.gap(APART);
    for inside in &step.inside {
        one_step(sheets, inside, width);
    }
    page
}

fn heading<'a>(words: &str) -> Block<'a> {
    Block::Words(Words {
        with_next: true,
        words: words.to_owned(),
        hand: Some(Hand::StepName),
        ..Words::default()
    })
}

fn small_heading<'a>(words: &str) -> Block<'a> {
    Block::Words(Words {
        with_next: true,
        words: words.to_owned(),
        hand: Some(Hand::ReadingBold),
        ..Words::default()
    })
}

fn plain<'a>(words: &str) -> Block<'a> {
    Block::Words(Words {
        words: words.to_owned(),
        ..Words::default()
    })
}

fn item<'a>(mark: &str, words: String) -> Block<'a> {
    Block::Words(Words {
        mark: mark.to_owned(),
        words,
        indent: 7.0,
        ..Words::default()
    })
}

fn led<'a>(lead: &str, words: &str, frame: Frame) -> Block<'a> {
    Block::Words(Words {
        lead: lead.to_owned(),
        words: words.to_owned(),
        frame,
        ..Words::default()
    })
}

fn start(lesson: &Lesson) -> Vec<Vec<Block<'_>>> {
    let mut first = vec![
        Block::Words(Words {
            words: lesson.title.clone(),
            hand: Some(Hand::PieceName),
            ..Words::default()
        }),
        plain(&preface::subtitle(lesson)),
        Block::Gap(3.0),
        heading(preface::BEFORE),
        small_heading(preface::NEED),
        plain(&lesson.tools),
    ];
    first.extend(
        lesson
            .blocks
            .iter()
            .map(|block| plain(&format!("{}: {block}.", preface::BLOCKS))),
    );
    first.extend([
        led("Blades.", preface::BLADES, Frame::Box),
        small_heading(preface::SCALE),
        plain(&preface::scale(lesson)),
        plain(preface::FIGURES),
    ]);
    if !lesson.cloths.is_empty() {
        first.push(plain(&format!("Cloth: {}.", lesson.cloths.join("; "))));
    }
    first.extend(
        lesson
            .cautions
            .iter()
            .map(|caution| led("Caution.", caution, Frame::Box)),
    );
    first.push(plain(preface::NOT_SEWN));
    let mut groups = vec![first];
    for (name, how, figures) in [
        (preface::OF_BODY, preface::HOW_TAKEN, &lesson.body),
        ("Choices", preface::CHOICE, &lesson.choices),
    ] {
        if figures.is_empty() {
            continue;
        }
        let rows = figures.iter().map(|one| {
            let from = [one.text.as_str(), one.formula.as_str()];
            let from: Vec<&str> = from.into_iter().filter(|text| !text.is_empty()).collect();
            let row = vec![one.name.clone(), one.value.clone(), from.join("; ")];
            class::with_own(row, false, lesson.class)
        });
        let head = vec!["Name".to_owned(), "This body".to_owned(), how.to_owned()];
        let head = class::with_own(head, true, lesson.class);
        let rows = std::iter::once(head).chain(rows).collect();
        groups.push(vec![
            Block::Gap(3.0),
            small_heading(name),
            Block::Table(rows, class::columns(MEASURES, lesson.class)),
        ]);
    }
    groups
}

fn contents<'a>(lesson: &'a Lesson, known: &[usize]) -> Vec<Block<'a>> {
    let mut blocks = vec![heading("Steps")];
    let names = lesson
        .steps
        .iter()
        .map(|step| (format!("{}.", step.number), titled(step)));
    let after = [
        (preface::FINISHED, true),
        (FORMULAS, !lesson.formulas.is_empty()),
        ("Glossary", true),
        (ANSWERS, !lesson.answers.is_empty()),
    ];
    let after = after.into_iter().filter(|(_, is_there)| *is_there);
    let after = after.map(|(name, _)| (String::new(), name.to_owned()));
    for (at, (mark, words)) in names.chain(after).enumerate() {
        let page = known.get(at).map_or("000".to_owned(), usize::to_string);
        blocks.push(Block::Words(Words {
            mark,
            words,
            tail: page,
            indent: 8.0,
            ..Words::default()
        }));
    }
    blocks
}

fn titled(step: &Step) -> String {
    if step.panel.is_empty() || step.panel.eq_ignore_ascii_case(&step.title) {
        step.title.clone()
    } else {
        format!("{} ({})", step.title, step.panel)
    }
}

/// A step; `wordless` measures what stands beside its figure before that is drawn.
fn of_step(step: &Step, wordless: bool) -> Vec<Block<'_>> {
    let mut blocks = head(step);
    blocks.extend(doing(step));
    if !wordless {
        blocks.extend(pictured(step));
        blocks.extend(key(step));
    }
    blocks.extend(checking(step));
    blocks
}

/// A step whose words fill more than a page: the figure first.
fn of_long_step(step: &Step) -> Vec<Block<'_>> {
    let mut blocks = begun(step);
    blocks.extend(key(step));
    blocks.extend(head(step).into_iter().skip(1));
    blocks.extend(doing(step));
    blocks.extend(checking(step));
    blocks
}

/// The beginning of such a step: its heading and its figures.
fn begun(step: &Step) -> Vec<Block<'_>> {
    let mut blocks = vec![step_heading(step)];
    blocks.extend(pictured(step));
    blocks
}

fn step_heading(step: &Step) -> Block<'_> {
    heading(&format!("{}. {}", step.number, step.title))
}

/// The small picture of the whole; words run beside it.
fn locator(step: &Step) -> Option<&Drawing> {
    let first = step.plates.first();
    first.and_then(|plate| plate.locator.as_ref())
}

fn head(step: &Step) -> Vec<Block<'_>> {
    let mut blocks = vec![step_heading(step)];
    blocks.extend(locator(step).map(Block::Beside));
    if !step.panel.is_empty() {
        blocks.push(plain(&format!("On the sheet: {}", step.panel)));
    }
    blocks.extend(step.notes.iter().map(|note| led("", note, Frame::Rule)));
    blocks
}

fn doing(step: &Step) -> Vec<Block<'_>> {
    let mut blocks = Vec::new();
    if !step.does.is_empty() {
        blocks.push(small_heading("Do"));
        let does = step.does.iter().enumerate();
        blocks.extend(does.map(|(at, said)| item(&format!("{}.", at + 1), said.clone())));
    }
    blocks.extend(places::set(&step.tables));
    if !step.figures.is_empty() {
        blocks.push(Block::Gap(1.5));
        let head = [preface::MEASURES_USED, "This body", "From"]
            .map(str::to_owned)
            .to_vec();
        let of = |one: &Figure| {
            let row = vec![one.name.clone(), one.value.clone(), one.formula.clone()];
            class::with_own(row, false, step.class)
        };
        let head = class::with_own(head, true, step.class);
        let rows = std::iter::once(head).chain(step.figures.iter().map(of));
        blocks.push(Block::Table(
            rows.collect(),
            class::columns(USED, step.class),
        ));
    }
    blocks
}

/// The figures of a step, two side by side where both go on the page.
fn pictured(step: &Step) -> Vec<Block<'_>> {
    let mut blocks = Vec::new();
    let is_side_by_side = step.plates.iter().all(|plate| plate.scale.is_none());
    let each = if is_side_by_side {
        side_by_side(step.plates.len())
    } else {
        1
    };
    for row in step.plates.chunks(each) {
        blocks.push(Block::Gap(1.5));
        blocks.push(Block::Row(row.iter().map(|plate| &plate.drawing).collect()));
        let captions = row.iter().map(|plate| step.caption(plate));
        let captions: Vec<String> = captions.collect();
        blocks.push(Block::Words(Words {
            words: captions.join(" | "),
            hand: Some(Hand::Foot),
            ..Words::default()
        }));
    }
    blocks
}

/// What the numbers in the figures stand for.
fn key(step: &Step) -> Vec<Block<'_>> {
    let mut blocks = Vec::new();
    let keyed: Vec<&Plate> = step
        .plates
        .iter()
        .filter(|plate| !plate.key.is_empty())
        .collect();
    for plate in &keyed {
        let which = match plate.acts {
            Some(_) => step.caption(plate).to_lowercase(),
            None => plate.of.clone(),
        };
        let heading = if which.is_empty() {
            preface::IN_FIGURE.to_owned()
        } else {
            format!("{} of {which}", preface::IN_FIGURE)
        };
        if plate.key.len() <= FEW {
            let lead = format!("{heading}:");
            blocks.push(led(&lead, &format!("{}.", row_of(&plate.key)), Frame::None));
        } else {
            blocks.push(small_heading(&heading));
            blocks.push(keys(&plate.key));
        }
    }
    blocks
}

/// A key in one row: "a centre 8.91 cm; b lower 19 cm".
fn row_of(key: &[(String, String)]) -> String {
    let names = key
        .iter()
        .map(|(number, name)| format!("{number} {name}").trim().to_owned());
    names.collect::<Vec<_>>().join("; ")
}

fn keys<'a>(key: &[(String, String)]) -> Block<'a> {
    let rows = key.chunks(3).map(|row| {
        let cells = row.iter();
        cells
            .flat_map(|(number, name)| [number.clone(), name.clone()])
            .collect()
    });
    Block::List(rows.collect(), KEY.to_vec())
}

fn checking(step: &Step) -> Vec<Block<'_>> {
    let mut blocks = Vec::new();
    let key: Vec<&(String, String)> = step.plates.iter().flat_map(|plate| &plate.key).collect();
    // Lengths that the key tells already are not told again.
    let tape: Vec<String> = step
        .measures
        .iter()
        .filter(|(name, length)| {
            let length = length.rsplit(", ").next().unwrap_or(length);
            let said = format!("{name} {length}").to_lowercase();
            !key.iter().any(|(_, known)| known.to_lowercase() == said)
        })
        .map(|(name, length)| format!("{name}: {length}"))
        .collect();
    if !tape.is_empty() || !step.checks.is_empty() {
        blocks.push(small_heading("Check"));
        if !tape.is_empty() {
            let words = format!("Lay the tape along each. {}.", tape.join("; "));
            blocks.push(item("–", words));
        }
        blocks.extend(step.checks.iter().map(|check| item("–", said(check))));
    }
    if !step.slips.is_empty() {
        blocks.push(small_heading(preface::IF_WRONG));
        for slip in &step.slips {
            let lead = format!("Is {} {}?", slip.of, slip.figure);
            blocks.push(led(&lead, &slip.text, Frame::None));
        }
    }
    blocks.extend(step.whys.iter().map(|why| led("Why.", why, Frame::Rule)));
    let cautions = step.cautions.iter();
    blocks.extend(cautions.map(|text| led("Caution.", text, Frame::Box)));
    if !step.terms.is_empty() {
        blocks.push(plain(&format!("Terms: {}", step.terms.join(", "))));
    }
    blocks
}

fn said(check: &Check) -> String {
    let verdict = check.verdict();
    let fails = if verdict.is_empty() {
        verdict
    } else {
        format!(". {verdict}")
    };
    format!(
        "{}: {}, wanted {}{fails}",
        check.text, check.measured, check.wanted
    )
}

fn end(lesson: &Lesson) -> Vec<Vec<Block<'_>>> {
    let mut first = vec![heading(preface::FINISHED)];
    first.extend(lesson.last.as_ref().map(Block::Figure));
    let mut groups = vec![first];
    for work in &lesson.pieces {
        let mut blocks = vec![Block::Gap(2.0), small_heading(&work.title)];
        blocks.extend(work.plate.iter().map(|(plate, _)| Block::Beside(plate)));
        blocks.extend(work.does.iter().map(|said| item("–", said.clone())));
        if let Some((_, names)) = work.plate.as_ref().filter(|(_, names)| !names.is_empty()) {
            blocks.push(plain(&format!(
                "{}: {}.",
                preface::IN_FIGURE,
                row_of(names)
            )));
        }
        groups.push(blocks);
    }
    for (at, (seam, how)) in lesson.seams.iter().enumerate() {
        let mut blocks = vec![Block::Gap(if at == 0 { 3.0 } else { 2.0 })];
        if at == 0 {
            blocks.push(heading(preface::WALK));
        }
        blocks.push(item("–", said(seam)));
        blocks.extend(how.iter().map(|words| item("", words.clone())));
        groups.push(blocks);
    }
    if !lesson.order.is_empty() {
        let mut blocks = vec![Block::Gap(3.0), heading(preface::MAKING_UP)];
        blocks.push(plain(&lesson.order_found));
        let order = lesson.order.iter().enumerate();
        blocks.extend(order.map(|(at, words)| item(&format!("{}.", at + 1), words.clone())));
        groups.push(blocks);
    }
    if !lesson.checks.is_empty() {
        let mut blocks = vec![Block::Gap(3.0), heading("Checks")];
        blocks.extend(lesson.checks.iter().map(|check| item("–", said(check))));
        groups.push(blocks);
    }
    for (at, (of, checks)) in lesson.overtaken.iter().enumerate() {
        let mut blocks = vec![Block::Gap(if at == 0 { 3.0 } else { 2.0 })];
        if at == 0 {
            blocks.push(heading(preface::CHECKED_ANEW));
        }
        blocks.push(small_heading(of));
        blocks.extend(checks.iter().map(|check| item("–", said(check))));
        groups.push(blocks);
    }
    groups
}

fn glossary(lesson: &Lesson) -> Vec<Block<'_>> {
    let rows = lesson
        .terms
        .iter()
        .map(|(term, meaning)| vec![(*term).to_owned(), (*meaning).to_owned()]);
    vec![
        heading("Glossary"),
        Block::List(rows.collect(), TERMS.to_vec()),
    ]
}
