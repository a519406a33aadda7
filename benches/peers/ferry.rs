//! The program beside its peers, in one run: the geometry of the ferry shirt drawn from its draft, drafted by hand in Rust
//! on kurbo, and drafted as a script in a general scripting language; and tokens beside logos alone. Before a time is
//! taken every point and curve of the hand is held against the program's, and every point of the script.
//!
//! `cargo bench -p oaktag-peers --bench ferry`

#![allow(unreachable_pub, reason = "a bench is a program of its own")]

mod ferry_kurbo;
mod ferry_rhai;
mod held;
#[path = "../support/mod.rs"]
mod support;
mod tools;

use ferry_kurbo::{DEFAULTS, ferry};
use ferry_rhai::Script;
use held::Drawing;
use logos::Logos;
use oaktag_language::check::{self, Checked};
use oaktag_language::draft::{self, Inputs};
use oaktag_language::report::FileId;
use oaktag_language::syntax::messages::Messages;
use oaktag_language::syntax::prepare;
use oaktag_language::syntax::project::{Project, ReadFault, Reader};
use oaktag_language::syntax::tokens::Tok;
use oaktag_language::voice::LengthUnit::Millimetre as MM;
use std::error::Error;
use std::hint::black_box;
use support::table::{Table, at_least, at_most, seconds};
use support::time::time;
use support::{Asked, asked, read};

/// The hand's and the program's points and curves are the same within this, in millimetres.
const SAME: f64 = 1e-6;

/// The script's too, except on what follows the neck's parallel: there both are fitted, each within a thousandth.
const FITTED: f64 = 2e-3;

/// Reads the block that the shirt imports.
struct Examples;

impl Reader for Examples {
    fn read(&self, path: &str) -> Result<String, ReadFault> {
        read(&format!("examples/{path}")).map_err(|why| ReadFault::Unreadable(why.to_string()))
    }
}

/// A draft read and checked.
fn checked(text: &str) -> Result<(Project, Checked), Box<dyn Error>> {
    let project = Project::load(
        "peer.draft",
        text,
        &Examples,
        &oaktag_language::library::module,
    );
    let checked = check::check(&project);
    match checked.diagnostics.iter().find(|told| told.is_error()) {
        Some(wrong) => Err(wrong.message.in_unit(MM).into_owned().into()),
        None => Ok((project, checked)),
    }
}

/// The draft as far as it draws: without its cloth, pieces and seams, but with its checks.
fn geometry_alone(text: &str) -> Result<String, Box<dyn Error>> {
    let cloth = text.find("\ncloth ").ok_or("no cloth")?;
    let checks = text.find("\ncheck ").ok_or("no checks")?;
    let (before, after) = (text.get(..cloth), text.get(checks..));
    Ok(format!(
        "{}{}",
        before.unwrap_or_default(),
        after.unwrap_or_default()
    ))
}

fn main() -> Result<(), Box<dyn Error>> {
    let Some(asked) = asked() else {
        return Ok(());
    };
    lexing(asked);
    let text = read("examples/ferry-shirt.draft")?;
    let (project, whole) = checked(&text)?;
    let (bare_project, bare) = checked(&geometry_alone(&text)?)?;
    let inputs = Inputs::default();
    let outcome = draft::draw(&bare_project, &bare, &inputs);
    let drawing = Drawing::of(&outcome.drawn);
    let hand = ferry(&DEFAULTS).ok_or("the hand could not draw a line")?;
    let (points, curves) = held::hand(&drawing, &hand, SAME)?;
    let script = Script::new()?;
    let mut scope = rhai::Scope::new();
    let told = script.run(&mut scope, &DEFAULTS)?;
    let (sharp, fitted) = held::script(&drawing, &told, SAME, FITTED)?;
    println!(
        "The hand: {points} points and {curves} lines and curves the same as the program's within {SAME} mm."
    );
    println!(
        "The script: {sharp} points the same within {SAME} mm, {fitted} within {FITTED} mm.\n"
    );

    let patience = 4.0 * asked.patience();
    let floor = time(patience, || ferry(black_box(&DEFAULTS)));
    let ours = time(patience, || draft::draw(&bare_project, &bare, &inputs));
    let unrecorded = time(patience, || {
        draft::draw_unrecorded(&bare_project, &bare, &inputs)
    });
    let all = time(patience, || draft::draw(&project, &whole, &inputs));
    let scripted = time(patience, || script.run(&mut scope, black_box(&DEFAULTS)));
    let mut table = Table::new(&[
        "ferry shirt, one body",
        "best",
        "median",
        "to the hand",
        "goal",
    ]);
    let mut row = |name: &str, taken: support::time::Time, goal: String| {
        let times = format!("{:.2}", taken.best / floor.best);
        table.row([
            name.to_owned(),
            seconds(taken.best),
            seconds(taken.median),
            times,
            goal,
        ]);
    };
    let ratio = ours.best / floor.best;
    row("by hand on kurbo", floor, String::new());
    row(
        "the program, geometry and record",
        ours,
        format!("2, {}", at_most(ratio, 2.0)),
    );
    let ratio = unrecorded.best / floor.best;
    row(
        "without the record",
        unrecorded,
        format!("2, {}", at_most(ratio, 2.0)),
    );
    row("the program, pieces and seams too", all, String::new());
    row("as a script (rhai)", scripted, String::new());
    table.print("Drawing");
    let slower = scripted.best / ours.best;
    println!(
        "The script takes {slower:.1} times as long as the program (goal 10, {}).\n",
        at_least(slower, 10.0)
    );
    Ok(())
}

/// Tokens beside logos alone, on the largest example's text.
fn lexing(asked: Asked) {
    let text = support::drafts::text(1_000_000);
    let size = text.len() as f64 / 1e6;
    let floor = time(asked.patience(), || Tok::lexer(&text).count()).best;
    let ours = time(asked.patience(), || {
        prepare(&text, FileId::default(), &mut Messages::default())
    });
    let mut table = Table::new(&["one megabyte", "best", "MB/s", "to logos"]);
    for (name, taken) in [
        ("logos alone", floor),
        ("tokens, ready to parse", ours.best),
    ] {
        table.row([
            name.to_owned(),
            seconds(taken),
            format!("{:.0}", size / taken),
            format!("{:.2}", taken / floor),
        ]);
    }
    table.print("Lexing");
}
