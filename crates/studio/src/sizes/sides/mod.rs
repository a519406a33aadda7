//! A body that differs left from right: the draft is drawn once with the values of each side, and the two drawings are put
//! together. What agrees is cut as ever; what does not is cut singly, a left and a right, or whole where it lay on the fold.
//! A body that has no side of its own is drawn once, as ever.

mod agree;
mod join;
mod pieces;
mod seams;
mod words;

use oaktag_language::check::Checked;
use oaktag_language::draft::inputs::{Given, Inputs, Setting};
use oaktag_language::draft::{self, MOST_SHOWN, Outcome};
use oaktag_language::pattern::WearerSide;
use oaktag_language::report::{self, Code, Diagnostic};
use oaktag_language::say;
use oaktag_language::syntax::project::Project;

/// From so many measures on it is not looked into which of them moves which piece: each costs a drawing.
const MOST_ALONE: usize = 9;

/// Two drawings of a draft, one with the values of each side.
struct Halves {
    left: Outcome,
    right: Outcome,
    /// For each measure that differs, the right half drawn with the left's value of it alone; none where there is just one.
    alone: Vec<(String, Outcome)>,
}

/// Draws a checked draft: once, or for each side of the wearer where a measure is given for one.
pub fn draw(project: &Project, checked: &Checked, inputs: &Inputs) -> Outcome {
    if inputs.sided().next().is_none() {
        return draft::draw(project, checked, inputs);
    }
    let words: Vec<Diagnostic> = inputs.sided().filter_map(not_a_figure).collect();
    if !words.is_empty() {
        let mut outcome = draft::draw(project, checked, &inputs.of_side(WearerSide::Right));
        outcome.diagnostics.extend(words);
        return outcome;
    }
    let [left, right] = WearerSide::BOTH.map(|side| inputs.of_side(side));
    let differing = differing(inputs, &left, &right);
    let right_drawn = draft::draw(project, checked, &right);
    if differing.is_empty() {
        return right_drawn;
    }
    let left_drawn = draft::draw(project, checked, &left);
    let alone = match differing.len() {
        1 | MOST_ALONE.. => Vec::new(),
        _ => differing
            .into_iter()
            .map(|name| {
                let inputs = with_one_of(&right, &left, &name);
                (name, draft::draw(project, checked, &inputs))
            })
            .collect(),
    };
    together(Halves {
        left: left_drawn,
        right: right_drawn,
        alone,
    })
}

/// Draws one body of many: where nothing is wrong with it, without a record of its steps.
pub(crate) fn draw_one_of_many(project: &Project, checked: &Checked, inputs: &Inputs) -> Outcome {
    if inputs.sided().next().is_none() {
        let outcome = draft::draw_unrecorded(project, checked, inputs);
        if !outcome.has_errors() {
            return outcome;
        }
    }
    draw(project, checked, inputs)
}

/// A side can have a figure of its own, and nothing else.
fn not_a_figure(setting: &Setting) -> Option<Diagnostic> {
    if matches!(setting.value, Given::Figure(..)) {
        return None;
    }
    let (stem, _) = WearerSide::split(&setting.name)?;
    let message = format!(
        "`{}` is no figure, and only a figure can be given for one side.",
        oaktag_language::voice::name(stem)
    );
    let told = Diagnostic::error(Code::NothingToSet, setting.span, message);
    Some(told.help(format!("Write `--set {stem}=…`, for both.")))
}

/// Names of the measures that were given for a side and are not the same on the other.
fn differing(inputs: &Inputs, left: &Inputs, right: &Inputs) -> Vec<String> {
    let value = |of: &Inputs, name: &str| {
        let set = of.set.iter().rev().find(|setting| setting.name == name);
        let setting = set.or_else(|| of.body.as_ref()?.measures.get(name));
        setting.map(|setting| setting.value.clone())
    };
    let mut found: Vec<String> = Vec::new();
    for sided in inputs.sided() {
        let Some((stem, _)) = WearerSide::split(&sided.name) else {
            continue;
        };
        if value(left, stem) != value(right, stem) && !found.iter().any(|name| name == stem) {
            found.push(stem.to_owned());
        }
    }
    found
}

/// Some inputs, but for one measure, which is as others have it.
fn with_one_of(inputs: &Inputs, others: &Inputs, name: &str) -> Inputs {
    let mut mixed = inputs.clone();
    mixed.set.retain(|setting| setting.name != name);
    let set = others.set.iter().filter(|setting| setting.name == name);
    mixed.set.extend(set.cloned());
    if let (Some(body), Some(other)) = (&mut mixed.body, &others.body) {
        body.measures.remove(name);
        let of_body = other.measures.get_key_value(name);
        body.measures
            .extend(of_body.map(|(name, one)| (name.clone(), one.clone())));
    }
    mixed
}

fn together(halves: Halves) -> Outcome {
    let (left, right) = (&halves.left, &halves.right);
    let told = merged(&halves);
    if !left.is_whole() || !right.is_whole() {
        let (side, mut shown) = match right.is_whole() {
            true => (WearerSide::Left, halves.left),
            false => (WearerSide::Right, halves.right),
        };
        if let Some(unfinished) = &mut shown.pattern.unfinished {
            let alone = format!("; the wearer's {side} is drawn alone");
            unfinished.words.push_str(&alone);
        }
        return Outcome {
            diagnostics: report::at_most(told, MOST_SHOWN),
            ..shown
        };
    }
    let (pattern, of_sides) = join::join(&halves);
    let told = told.into_iter().chain(of_sides);
    let told = told.map(Diagnostic::clipped).collect();
    Outcome {
        pattern,
        diagnostics: report::at_most(told, MOST_SHOWN),
        ..halves.right
    }
}

/// Messages of both halves; what is told of one alone, as it is read, says of which.
fn merged(halves: &Halves) -> Vec<Diagnostic> {
    let in_letters = |half: &Outcome| -> Vec<Diagnostic> {
        let told = half.diagnostics.iter().cloned();
        told.map(|told| told.in_letters(half.program.unit))
            .collect()
    };
    let (left, right) = (in_letters(&halves.left), in_letters(&halves.right));
    let of = |side: WearerSide, told: &Diagnostic| {
        let mut told = told.clone();
        told.message = say!("On the wearer's {}: {}", side, told.message);
        told
    };
    let both = |told: &&Diagnostic| left.contains(told) && right.contains(told);
    let one = right.iter().filter(both).cloned();
    let lefts = left.iter().filter(|told| !right.contains(told));
    let rights = right.iter().filter(|told| !left.contains(told));
    one.chain(lefts.map(|told| of(WearerSide::Left, told)))
        .chain(rights.map(|told| of(WearerSide::Right, told)))
        .collect()
}
