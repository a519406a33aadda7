//! Checking, drawing and writing: one draft of two thousand lines in a warm process, then how each step and each writer
//! grows with the points and with the pieces of a draft, with the exponent: 1 is linear. A series stops where the program
//! says that it makes no more, or where a single run takes too long for a bench; both are told.
//!
//! `cargo bench --bench drafting`, or with the largest draft in times of the smallest: `cargo bench --bench drafting -- 30`.

mod support;

use oaktag_language::check::{self, Checked};
use oaktag_language::draft::{self, Inputs, Outcome};
use oaktag_language::library::MODULES;
use oaktag_language::syntax::project::{NoFiles, Project};
use oaktag_language::voice::LengthUnit::Millimetre as MM;
use oaktag_output::drawing::compose::compose;
use oaktag_output::drawing::manner::Scale;
use oaktag_output::sheet::Sheet;
use oaktag_output::{cut_list, dxf, json, lay, pages, pdf, png, svg};
use oaktag_studio::compare::report::{Detail, report};
use oaktag_studio::compare::{self, Side};
use oaktag_studio::lesson::{self, booklet::booklet};
use oaktag_studio::session::{Change, Session};
use std::error::Error;
use support::drafts::{lines, lines_with_library, outline, pieces, points};
use support::table::{Table, at_most, seconds};
use support::time::{slope, time};
use support::{Asked, asked, read};

const SERIES: [usize; 7] = [1, 3, 10, 30, 100, 300, 1000];

/// A run that takes longer than this ends its series, in seconds.
const PATIENCE: f64 = 1.5;

/// Points of the smallest draft.
const POINTS: usize = 10;

fn load(text: &str) -> Project {
    Project::load(
        "bench.draft",
        text,
        &NoFiles,
        &oaktag_language::library::module,
    )
}

/// A draft on its way, with the same draft otherwise: what a comparison holds it against.
struct Sample {
    text: String,
    project: Project,
    checked: Checked,
    outcome: Outcome,
    other: (Project, Outcome),
}

impl Sample {
    fn of(text: String, from: &str, to: &str) -> Result<Self, Box<dyn Error>> {
        let project = load(&text);
        let checked = check::check(&project);
        let outcome = draft::draw(&project, &checked, &Inputs::default());
        if let Some(wrong) = outcome.diagnostics.iter().find(|told| told.is_error()) {
            return Err(format!("{} {:?}", wrong.message.in_unit(MM), wrong.notes).into());
        }
        let changed = load(&text.replace(from, to));
        let redrawn = draft::make(&changed, &Inputs::default());
        Ok(Self {
            text,
            project,
            checked,
            outcome,
            other: (changed, redrawn),
        })
    }

    fn side(&self) -> Side<'_> {
        Side {
            label: "old",
            project: &self.project,
            outcome: &self.outcome,
        }
    }

    fn other_side(&self) -> Side<'_> {
        Side {
            label: "new",
            project: &self.other.0,
            outcome: &self.other.1,
        }
    }

    fn lesson(&self) -> lesson::Lesson {
        let unit = self.outcome.program.unit;
        lesson::lesson(
            &self.project,
            &self.outcome,
            unit,
            &lesson::Options::default(),
        )
    }
}

/// One step or writer: how many bytes or things it makes, or why it makes none.
type Work = fn(&Sample) -> Result<usize, String>;

const STEPS: [(&str, Work); 3] = [
    ("read", |sample| Ok(load(&sample.text).files.len())),
    ("check", |sample| {
        Ok(check::check(&sample.project).diagnostics.len())
    }),
    ("draw", |sample| {
        let outcome = draft::draw(&sample.project, &sample.checked, &Inputs::default());
        Ok(outcome.record.entries.len())
    }),
];

const WRITERS: [(&str, Work); 11] = [
    ("SVG", |s| Ok(svg::write(&s.outcome.pattern).len())),
    ("JSON", |s| {
        let text = json::write(&s.outcome.pattern);
        text.map(|text| text.len()).map_err(|why| why.to_string())
    }),
    ("DXF", |s| Ok(dxf::write(&s.outcome.pattern, "40").len())),
    ("PDF, A4 tiles", |s| pdf_on(s, "a4")),
    ("PDF, roll", |s| pdf_on(s, "roll:914mm")),
    ("PNG, 72 dpi", |s| {
        let picture = png::write(&compose(&s.outcome.pattern), 72.0, &[]);
        let bytes = picture.map(|picture| picture.bytes.len());
        bytes.map_err(|why| why.to_string())
    }),
    ("cut list", |s| {
        let csv = cut_list::csv(&s.outcome.pattern).map_err(|why| why.to_string())?;
        Ok(csv.len() + cut_list::text(&s.outcome.pattern).len())
    }),
    ("lay, SVG", |s| {
        Ok(svg::of_drawing(&lay::draw(&s.outcome.pattern, 0.0)).len())
    }),
    (
        "lesson, HTML",
        |s| Ok(lesson::page::html(&s.lesson()).len()),
    ),
    ("lesson, PDF", |s| {
        let booklet = booklet(&s.lesson(), kurbo::Size::new(210.0, 297.0));
        let written = pdf::write_with_outline(&booklet.document, &[], &booklet.bookmarks);
        Ok(written.bytes.len())
    }),
    ("comparison, HTML", |s| {
        let (old, new) = (s.side(), s.other_side());
        let compared = compare::compare(old, new, &compare::Options::default());
        let compared = compared.map_err(|point| point.0)?;
        let told = report(&compared, Detail::default());
        Ok(compare::page::html(&compared, &told, old, new).len())
    }),
];

fn pdf_on(sample: &Sample, sheet: &str) -> Result<usize, String> {
    let sheet: Sheet = sheet.parse().map_err(|_| "no such sheet".to_owned())?;
    let document = pages::lay_out(&sample.outcome.pattern, sheet, Scale::Full);
    let document = document.map_err(|why| why.to_string())?;
    Ok(pdf::write(&document, &[]).bytes.len())
}

fn main() -> Result<(), Box<dyn Error>> {
    let Some(asked) = asked() else {
        return Ok(());
    };
    two_thousand_lines(asked)?;
    a_figure_changed(asked)?;
    grow(
        asked,
        "points, a panel for forty",
        POINTS,
        &STEPS,
        |times| {
            let text = points(POINTS * times);
            Sample::of(text, "96cm between", "97cm between")
        },
    )?;
    grow(
        asked,
        "pieces, each two sewn together",
        1,
        &STEPS,
        |times| Sample::of(pieces(times), "12cm between", "13cm between"),
    )?;
    grow(asked, "points of one outline", POINTS, &WRITERS, |times| {
        Sample::of(outline(POINTS * times), "down 30cm", "down 31cm")
    })?;
    grow(
        asked,
        "pieces, each two sewn together",
        1,
        &WRITERS,
        |times| Sample::of(pieces(times), "12cm between", "13cm between"),
    )
}

/// One check of two thousand lines: what `check` does after its files are read from the disk, step by step.
fn two_thousand_lines(asked: Asked) -> Result<(), Box<dyn Error>> {
    const LINES: usize = 2_000;
    let shirt = read("examples/womens-crew-shirt.draft")?;
    let both = [
        Sample::of(lines(LINES), "12cm between", "13cm between")?,
        Sample::of(
            lines_with_library(LINES, &shirt),
            "12cm between",
            "13cm between",
        )?,
    ];
    let mut table = Table::new(&["", "on its own", "with the library", "goal"]);
    for (name, of) in [
        (
            "lines",
            (|s| s.text.lines().count()) as fn(&Sample) -> usize,
        ),
        ("sentences carried out", |s| {
            s.outcome.record.sentences as usize
        }),
        ("pieces", |s| s.outcome.pattern.pieces.len()),
    ] {
        let counts = both.iter().map(|sample| of(sample).to_string());
        table.row([name.to_owned()].into_iter().chain(counts));
    }
    let mut totals = [0.0; 2];
    for (name, work) in STEPS {
        let mut row = vec![name.to_owned()];
        for (sample, total) in both.iter().zip(&mut totals) {
            let taken = time(2.0 * asked.patience(), || work(sample)).best;
            *total += taken;
            row.push(seconds(taken));
        }
        table.row(row);
        if name == "check" {
            let mut so_far = vec!["read and check: every message that needs no figure".to_owned()];
            so_far.extend(totals.iter().map(|total| seconds(*total)));
            so_far.push(goal(&totals));
            table.row(so_far);
        }
    }
    let mut whole = vec!["read, check and draw: every message".to_owned()];
    whole.extend(totals.iter().map(|total| seconds(*total)));
    whole.push(goal(&totals));
    table.row(whole);
    table.print("One draft of two thousand lines, warm process");
    Ok(())
}

fn goal(totals: &[f64; 2]) -> String {
    let met = totals.map(|total| at_most(total, 5e-3));
    format!("5 ms, {}", met.join(" and "))
}

/// A draft at hand in which one figure is changed, to its messages and pattern, beside the same draft opened anew.
fn a_figure_changed(asked: Asked) -> Result<(), Box<dyn Error>> {
    let (long, shirt) = (lines(2_000), read("examples/womens-crew-shirt.draft")?);
    let middle = long.len() / 2;
    let mut table = Table::new(&[
        "a figure changed",
        "opened anew",
        "at hand",
        "share",
        "goal",
    ]);
    for (what, text, from, goal) in [
        ("2,000 lines, the first", &long, 0, 5e-3),
        ("2,000 lines, in the middle", &long, middle, 5e-3),
        (
            "2,000 lines, the last",
            &long,
            long.rfind("cm").unwrap_or(0) - 6,
            5e-3,
        ),
        ("the women's crew shirt", &shirt, 0, 4e-3),
    ] {
        let open = |text: &str| Session::open("a.draft", text, Box::new(NoFiles), MODULES);
        let mut other = [4, 7]
            .map(|last| with_other_figure(text, from, last))
            .into_iter()
            .cycle();
        let anew = time(asked.patience(), || {
            let text = other.next().unwrap_or_default();
            open(&text).outcome().pattern.pieces.len()
        });
        let mut session = open(text);
        session.outcome();
        let warm = time(asked.patience(), || {
            let text = other.next().unwrap_or_default();
            let changed = session.change(Change::Text(text));
            (changed.is_ok(), session.outcome().pattern.pieces.len())
        });
        table.row([
            what.to_owned(),
            seconds(anew.best),
            seconds(warm.best),
            format!("{:.2}", warm.best / anew.best),
            at_most(warm.best, goal),
        ]);
    }
    table.print("A draft at hand");
    Ok(())
}

/// A text with a digit more at the end of its first length from a place on that has a blank before it.
fn with_other_figure(text: &str, from: usize, last: u8) -> String {
    let figures = text.match_indices("cm").filter(|(at, _)| {
        let before = text.get(..*at).unwrap_or_default();
        let digits = before.trim_end_matches(|c: char| c.is_ascii_digit());
        *at > from && digits.len() < before.len() && digits.ends_with(' ')
    });
    let mut text = text.to_owned();
    if let Some(at) = figures.map(|(at, _)| at).next() {
        text.insert_str(at, &format!(".{last}"));
    }
    text
}

/// A table of how works grow with the size of a draft.
fn grow(
    asked: Asked,
    of: &str,
    smallest: usize,
    works: &[(&str, Work)],
    make: impl Fn(usize) -> Result<Sample, Box<dyn Error>>,
) -> Result<(), Box<dyn Error>> {
    let sizes = asked.sizes(&SERIES);
    let mut pairs: Vec<Vec<(f64, f64)>> = vec![Vec::new(); works.len()];
    let mut ended: Vec<Option<String>> = vec![None; works.len()];
    for times in &sizes {
        if ended.iter().all(Option::is_some) {
            break;
        }
        let sample = match make(*times) {
            Ok(sample) => sample,
            Err(why) => {
                ended.push(Some(format!(
                    "the draft itself at {}: {why}",
                    times * smallest
                )));
                break;
            }
        };
        for (((name, work), pairs), ended) in works.iter().zip(&mut pairs).zip(&mut ended) {
            if ended.is_some() {
                continue;
            }
            if let Err(why) = work(&sample) {
                *ended = Some(format!("{name} at {}: {why}", times * smallest));
                continue;
            }
            let taken = time(0.25 * asked.patience(), || work(&sample)).best;
            pairs.push((*times as f64, taken));
            if taken > PATIENCE && times != sizes.last().unwrap_or(times) {
                *ended = Some(format!(
                    "{name} after {}: too slow for a bench",
                    times * smallest
                ));
            }
        }
    }
    let mut heads = vec![String::new()];
    heads.extend(sizes.iter().map(|times| (times * smallest).to_string()));
    heads.push("exponent".to_owned());
    let mut table = Table::new(&heads.iter().map(String::as_str).collect::<Vec<_>>());
    for ((name, _), pairs) in works.iter().zip(&pairs) {
        let mut row = vec![(*name).to_owned()];
        row.extend(pairs.iter().map(|(_, taken)| seconds(*taken)));
        row.resize(sizes.len() + 1, "-".to_owned());
        row.push(slope(pairs));
        table.row(row);
    }
    table.print(&format!("Growth by {of}"));
    for why in ended.iter().flatten() {
        println!("  {why}");
    }
    if ended.iter().any(Option::is_some) {
        println!();
    }
    Ok(())
}
