//! `check --why NAME`: what moves a seam, an edge or a figure, and by how much for a centimetre.

use super::End;
use super::batch::Threads;
use super::told;
use oaktag_language::kind::Dimension;
use oaktag_language::report::Diagnostic;
use oaktag_language::voice;
use oaktag_language::voice::LengthUnit;
use oaktag_studio::session::Session;
use oaktag_studio::sizes::search::axis::typed;
use oaktag_studio::sizes::why::{self, Effect, Figure, Mover, NOTHING, Why, strength};
use std::fmt::Write;

/// Tells what moves a figure.
pub(super) fn run(session: &Session, name: &str, by: Threads) -> End {
    let base = session.half();
    let Some(found) = session.why(&base, name, by.count()) else {
        let near = why::nearest(&base.pattern, name);
        let near = near
            .map(|near| format!(" Did you mean `{near}`?"))
            .unwrap_or_default();
        told::diagnostics(session, &base.diagnostics);
        told::line(&format!(
            "--why: the drawing has no seam, edge or figure `{name}`.{near}"
        ));
        return End::Misused;
    };
    told::report(&words(&found, name, session.program().unit));
    let errors: Vec<Diagnostic> = base
        .diagnostics
        .iter()
        .filter(|told| told.is_error())
        .cloned()
        .collect();
    told::diagnostics(session, &errors);
    if errors.is_empty() {
        End::Well
    } else {
        End::Wrong
    }
}

fn words(found: &Why, name: &str, unit: LengthUnit) -> String {
    let mut text = String::new();
    let now: Vec<String> = found
        .figures
        .iter()
        .map(|figure| {
            let value = unit.quantity(figure.dimension, figure.value);
            if figure.what.is_empty() {
                value
            } else {
                format!("{} {value}", figure.what)
            }
        })
        .collect();
    let _ = writeln!(text, "{}: {}", voice::name(name), now.join(", "));
    let moves = |mover: &&Mover| strength(mover) >= NOTHING;
    let wide = found
        .movers
        .iter()
        .filter(moves)
        .map(|mover| called(mover, unit).chars().count())
        .max()
        .unwrap_or(0);
    for (of_body, heading) in [(true, "Measures"), (false, "Choices")] {
        let these: Vec<&Mover> = found
            .movers
            .iter()
            .filter(moves)
            .filter(|m| m.of_body == of_body)
            .collect();
        if these.is_empty() {
            continue;
        }
        let heads: Vec<String> = found
            .figures
            .iter()
            .map(|figure| format!("{:>12}", figure.what))
            .collect();
        let _ = writeln!(
            text,
            "\n{}",
            format!("{heading:wide$}    {}", heads.concat()).trim_end()
        );
        for mover in these {
            line(&mut text, mover, &found.figures, wide, unit);
        }
    }
    let still: Vec<String> = found
        .movers
        .iter()
        .filter(|mover| !moves(mover) && !matches!(mover.effect, Effect::Stuck))
        .map(|mover| voice::name(&mover.name))
        .collect();
    if !still.is_empty() {
        let _ = writeln!(text, "\nNot moved by: {}.", still.join(", "));
    }
    let stuck = found
        .movers
        .iter()
        .filter(|mover| matches!(mover.effect, Effect::Stuck));
    let stuck: Vec<String> = stuck.map(|mover| voice::name(&mover.name)).collect();
    if !stuck.is_empty() {
        let _ = writeln!(text, "\nCannot be moved from here: {}.", stuck.join(", "));
    }
    text
}

/// `1 cm more bust girth`
fn called(mover: &Mover, unit: LengthUnit) -> String {
    let name = voice::name(&mover.name);
    let worked_out = if mover.worked_out {
        " (worked out)"
    } else {
        ""
    };
    match &mover.effect {
        Effect::Figure { one, dimension, .. } => {
            format!(
                "{} more {name}{worked_out}",
                unit.quantity(*dimension, *one)
            )
        }
        Effect::Words(_) | Effect::Stuck => name,
    }
}

/// A change with its sign, in the unit of what changes.
fn change(value: f64, dimension: Dimension, unit: LengthUnit) -> String {
    let sign = if value < 0.0 { "-" } else { "+" };
    let shown = match dimension {
        _ if value.abs() < NOTHING => return "0".to_owned(),
        // A sixteenth, and a tenth of a millimetre, are too coarse for what a small change does.
        Dimension::LENGTH => unit.finer(dimension, value.abs(), 1),
        _ => unit.quantity(dimension, value.abs()),
    };
    format!("{sign}{shown}")
}

fn line(text: &mut String, mover: &Mover, figures: &[Figure], wide: usize, unit: LengthUnit) {
    let cells = |values: &[f64]| -> String {
        let cells = values
            .iter()
            .zip(figures)
            .map(|(value, figure)| change(*value, figure.dimension, unit));
        cells.map(|cell| format!("{cell:>12}")).collect()
    };
    let name = called(mover, unit);
    match &mover.effect {
        Effect::Figure { slopes, whole, .. } => {
            let note = if is_uneven(slopes, whole) {
                bent(whole, figures, unit)
            } else {
                String::new()
            };
            let _ = writeln!(text, "  {name:wide$}  {}{note}", cells(slopes));
        }
        Effect::Words(words) => {
            for (word, changes) in words {
                let word = format!("{name} {}", typed(word, unit));
                let shown = changes
                    .as_ref()
                    .map_or("  cannot be drawn".to_owned(), |changes| cells(changes));
                let _ = writeln!(text, "  {word:wide$}  {shown}");
            }
        }
        Effect::Stuck => {}
    }
}

/// Whether a whole step does something else than its small part promises.
fn is_uneven(slopes: &[f64], whole: &[Option<Vec<f64>>; 2]) -> bool {
    let [more, fewer] = whole;
    let off = |changes: &Option<Vec<f64>>, sign: f64| {
        changes.as_ref().is_some_and(|changes| {
            let pairs = changes.iter().zip(slopes);
            pairs
                .into_iter()
                .any(|(change, slope)| (change - sign * slope).abs() > 0.2 + 0.1 * slope.abs())
        })
    };
    off(more, 1.0) || off(fewer, -1.0)
}

fn bent(whole: &[Option<Vec<f64>>; 2], figures: &[Figure], unit: LengthUnit) -> String {
    let said = |changes: &Option<Vec<f64>>| match changes {
        None => "cannot be drawn".to_owned(),
        Some(changes) => {
            let each = changes.iter().zip(figures);
            let each: Vec<String> = each
                .map(|(value, figure)| change(*value, figure.dimension, unit))
                .collect();
            each.join(", ")
        }
    };
    let [more, fewer] = whole;
    format!(
        "  unevenly: that much more gives {}; less, {}",
        said(more),
        said(fewer)
    )
}
