//! What is said of a drawing that lacks something: which steps or lines of the draft cannot be drawn, and what is missing.

use crate::check::program::Program;
use crate::pattern::spec::Lost;
use crate::pattern::{Unfinished, piece_as_far};
use crate::report::{Diagnostic, Span};
use crate::syntax::project::Project;

/// Most places that are named.
const NAMED: usize = 2;

/// What is missing from a drawing; none where nothing is, and none where a value that was given is wrong: then it is not the
/// draft that cannot be drawn, and nothing of it would be what was asked for.
pub(super) fn of(
    project: &Project,
    program: &Program,
    told: &[Diagnostic],
    lost: &Lost,
) -> Option<Unfinished> {
    let mut wrong: Vec<&Diagnostic> = told.iter().filter(|told| told.stops()).collect();
    let is_of_draft = |told: &&Diagnostic| {
        let mut files = project.files.iter();
        files.any(|file| file.id == told.place.file)
    };
    if wrong.is_empty() || !wrong.iter().all(is_of_draft) {
        return None;
    }
    wrong.sort_by_key(|told| told.place);
    let mut places: Vec<String> = Vec::new();
    for told in wrong {
        let place = place(project, program, told);
        if !places.contains(&place) {
            places.push(place);
        }
    }
    let mut not_drawn = lost.names.clone();
    not_drawn.dedup();
    Some(Unfinished {
        words: format!("{} cannot be drawn", listed(places)),
        not_drawn,
        pieces: lost.pieces.iter().filter_map(piece_as_far).collect(),
    })
}

/// The step that a message is told in, or its line.
fn place(project: &Project, program: &Program, told: &Diagnostic) -> String {
    let holds = |span: Span| {
        span.file == told.place.file
            && span.start <= told.place.start
            && told.place.start < span.end
    };
    let step = program.steps.iter().find(|step| holds(step.span));
    let step = match (&told.step, step) {
        (Some((number, name)), _) => Some((*number, name.as_str())),
        (None, Some(step)) => Some((step.number, step.name.as_str())),
        (None, None) => None,
    };
    if let Some((number, name)) = step {
        let name = name.trim().trim_end_matches('.');
        return match name {
            "" => format!("step {number}"),
            name => format!("step {number}, {name},"),
        };
    }
    let line = project.sources.line(told.place);
    let is_main = project
        .files
        .first()
        .is_some_and(|file| file.id == told.place.file);
    match is_main {
        true => format!("line {line}"),
        false => format!("line {line} of {}", project.sources.name(told.place.file)),
    }
}

/// Places as one says them; of many the first, and how many more.
fn listed(mut places: Vec<String>) -> String {
    let more = places.len().saturating_sub(NAMED);
    if more > 0 {
        places.truncate(NAMED);
        places.push(format!("{more} more"));
    }
    let Some(last) = places.pop() else {
        return String::new();
    };
    if places.is_empty() {
        return last;
    }
    let first: Vec<&str> = places
        .iter()
        .map(|place| place.trim_end_matches(','))
        .collect();
    let is_long = places.len() > 1 || places.iter().any(|place| place.ends_with(','));
    let comma = if is_long { "," } else { "" };
    format!("{}{comma} and {last}", first.join(", "))
}
