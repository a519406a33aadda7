//! The cutting ticket: all that goes to the table in words, on one sheet of plain text.

use super::drawing::tables::CARE;
use super::drawing::text::{heading, printable};
use super::{cut_list, edges, lay, spec_sheet};
use kurbo::Point;
use oaktag_language::pattern::spec::{MarkSpec, Value};
use oaktag_language::pattern::{Pattern, Piece, said};
use oaktag_language::voice;
use std::fmt::Write;

/// Writes all that the cutting table must know, in lines of plain text; pieces are laid with a gap of so many millimetres.
pub fn text(pattern: &Pattern, gap: f64) -> String {
    let mut text = String::new();
    let _ = writeln!(text, "{}", heading(pattern.title.trim()));
    let issue = pattern.issue.words();
    if !issue.is_empty() {
        let _ = writeln!(text, "{issue}");
    }
    for caution in &pattern.cautions {
        let _ = writeln!(text, "Caution: {caution}");
    }
    for piece in &pattern.pieces {
        for caution in &piece.cautions {
            let _ = writeln!(text, "Caution, {}: {caution}", piece.label);
        }
    }
    for words in &pattern.sides {
        let _ = writeln!(text, "{}", broken(words, 100));
    }
    for part in [
        cut_list::text(pattern),
        lay::text(pattern, gap),
        making_up(pattern),
        edges_said(pattern),
        sewing(pattern),
        marks(pattern),
        interlinings(pattern),
        spec_sheet::text(pattern),
        broken(CARE, 100),
    ] {
        if !part.is_empty() {
            let _ = writeln!(text, "\n{}", part.trim_end());
        }
    }
    // It is read on a terminal as well, which the letters of a draft must not steer.
    text.lines().map(|line| printable(line) + "\n").collect()
}

/// Seams with how they are sewn and how wide: those in the order of making up, then those that the draft gives no place in it.
fn making_up(pattern: &Pattern) -> String {
    let steps = pattern.making_up();
    let others = pattern.seams.iter();
    let others = others.filter(|seam| !pattern.order.contains(&seam.name));
    let others: Vec<(String, String)> = others
        .map(|seam| (voice::letters(&seam.name), pattern.how(seam).join(", ")))
        .collect();
    let names = steps.iter().map(|step| &step.seam);
    let names = names.chain(others.iter().map(|(name, _)| name));
    let Some(wide) = names.map(|name| name.chars().count()).max() else {
        return String::new();
    };
    let mut text = String::new();
    if !steps.is_empty() {
        text.push_str("Making up, in this order\n");
    }
    for step in &steps {
        let line = format!("  {:>3}  {:wide$}  {}", step.number, step.seam, step.how());
        let _ = writeln!(text, "{}", line.trim_end());
    }
    if !others.is_empty() {
        text.push_str(if steps.is_empty() {
            "Seams; the draft states no order of making up\n"
        } else {
            "Seams without a place in that order\n"
        });
    }
    for (name, how) in &others {
        let line = format!("       {name:wide$}  {how}");
        let _ = writeln!(text, "{}", line.trim_end());
    }
    text
}

/// Each edge by its number on the piece: how long it is, how wide the cloth stands beyond it, how it is finished.
fn edges_said(pattern: &Pattern) -> String {
    let mut text = String::new();
    for piece in &pattern.pieces {
        let sewn = edges::of(pattern, piece);
        let names = sewn.iter().map(|sewn| voice::letters(&sewn.edge.name));
        let names: Vec<String> = names.collect();
        let Some(wide) = names.iter().map(|name| name.chars().count()).max() else {
            continue;
        };
        let _ = writeln!(text, "  {} {}", piece.number.0, piece.label);
        for (sewn, name) in sewn.iter().zip(&names) {
            let number = format!("({})", sewn.number);
            let long = pattern.unit.length(sewn.edge.length);
            let _ = writeln!(
                text,
                "    {number:>5} {name:wide$}  {long:>9}  {}",
                sewn.told
            );
        }
    }
    if text.is_empty() {
        text
    } else {
        format!("Edges: length, allowance and finish\n{text}")
    }
}

/// What is marked on each piece, each sort once: how often, on which side alone, buttons and holes with their sizes, and how far
/// one is from the next.
fn marks(pattern: &Pattern) -> String {
    let mut text = String::new();
    for piece in &pattern.pieces {
        let mut sorts: Vec<(String, Vec<&MarkSpec>)> = Vec::new();
        for mark in &piece.marks {
            let words = mark_words(pattern, piece, mark);
            match sorts.iter_mut().find(|(known, _)| *known == words) {
                Some((_, marks)) => marks.push(mark),
                None => sorts.push((words, vec![mark])),
            }
        }
        if sorts.is_empty() {
            continue;
        }
        let _ = writeln!(text, "  {} {}", piece.number.0, piece.label);
        // Cut on the fold, a piece has the marks of both halves.
        let whole = piece.unfolded();
        let all = whole.as_ref().map_or(&piece.marks, |whole| &whole.marks);
        for (words, marks) in sorts {
            let is_of = |mark: &&MarkSpec| {
                let mut own = marks.iter();
                own.any(|one| one.name == mark.name && one.text == mark.text)
            };
            // Where a half shows a button and a hole, one end has each.
            let is_fastening = marks.iter().any(|mark| mark.button.is_some());
            let count = match is_fastening {
                true => marks.len(),
                false => all.iter().filter(is_of).count(),
            };
            let apart = apart(pattern, &marks);
            let _ = writeln!(text, "    {count:>3}  {words}{apart}");
        }
    }
    if text.is_empty() {
        text
    } else {
        format!("Marks, buttons and holes, on each piece\n{text}")
    }
}

fn mark_words(pattern: &Pattern, piece: &Piece, mark: &MarkSpec) -> String {
    let mut words = mark.words().into_owned();
    if words.is_empty() {
        words = voice::letters(mark.name.rsplit('.').next().unwrap_or(&mark.name));
    }
    let Some(button) = mark.button else {
        return words;
    };
    if mark.sewn_button().is_some() {
        let wide = pattern.unit.length(button.diameter);
        let _ = write!(words, ": button {wide} across");
    }
    if piece.buttonhole(mark).is_some() {
        let long = pattern.unit.length(button.hole());
        let _ = write!(words, ": buttonhole {long}");
    }
    words
}

/// How far each mark of a row is from the next, where they are points.
fn apart(pattern: &Pattern, marks: &[&MarkSpec]) -> String {
    let points: Vec<Point> = marks
        .iter()
        .filter_map(|mark| match (&mark.shape, mark.button) {
            (Value::Point(at), Some(_)) => Some(*at),
            _ => None,
        })
        .collect();
    let steps = points.iter().zip(points.iter().skip(1));
    let steps: Vec<f64> = steps.map(|(one, next)| (*next - *one).hypot()).collect();
    let least = steps.iter().copied().fold(f64::INFINITY, f64::min);
    let most = steps.iter().copied().fold(0.0, f64::max);
    if steps.is_empty() {
        String::new()
    } else if most - least < 0.05 {
        format!(", {} apart", pattern.unit.length(most))
    } else {
        let (least, most) = (pattern.unit.length(least), pattern.unit.length(most));
        format!(", {least} to {most} apart")
    }
}

/// Interlinings, each with the piece that it lies on.
fn interlinings(pattern: &Pattern) -> String {
    let mut text = String::new();
    for piece in &pattern.pieces {
        if let Some((of, inside)) = &piece.inside_of {
            let inside = pattern.unit.length(*inside);
            let how = piece.cut_words();
            let _ = writeln!(
                text,
                "  {} {}: on {of}, {inside} inside its sewing line; {how}",
                piece.number.0, piece.label
            );
        }
    }
    if text.is_empty() {
        text
    } else {
        format!("Interlinings\n{text}")
    }
}

/// Darts, and each seam with its sections, what is held in, pleats and openings; empty where there are neither.
fn sewing(pattern: &Pattern) -> String {
    let mut text = String::new();
    for piece in &pattern.pieces {
        for dart in piece.darts_said(pattern) {
            let _ = writeln!(text, "  {}: {dart}", piece.label);
        }
    }
    for seam in &pattern.seams {
        let name = voice::letters(&seam.name);
        let verdict = if seam.ok { "" } else { ": DOES NOT FIT" };
        let _ = writeln!(
            text,
            "  {name}  {} to {}{verdict}",
            pattern.unit.bare(seam.first.length),
            pattern.unit.length(seam.second.length)
        );
        for words in said::of_seam(seam, pattern) {
            let _ = writeln!(
                text,
                "      {}",
                broken(&words, 92).replace('\n', "\n        ")
            );
        }
    }
    if text.is_empty() {
        text
    } else {
        format!("Darts and seams\n{text}")
    }
}

/// Words broken into lines of at most so many letters.
fn broken(words: &str, most: usize) -> String {
    let mut lines: Vec<String> = Vec::new();
    for word in words.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= most => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines.join("\n")
}
