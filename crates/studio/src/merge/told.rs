//! What clashes, in words: what both versions come to, and what a name would mean.

use super::meaning::{By, Figure, Of, Rebound, Version};
use super::nodes::{Id, Node};
use super::page::Written;
use super::weave::Why;
use crate::compare::words;
use oaktag_language::voice;
use std::collections::BTreeSet;

/// Letters of a sentence that are quoted.
const MOST_LETTERS: usize = 70;

/// The three versions, from the one that both came from on.
pub(super) type Versions<'v, 'n> = [&'v Version<'n>; 3];

/// A sentence as it is quoted.
fn quoted(node: &Node) -> String {
    let head = node.head().trim_end_matches('{');
    let one: Vec<&str> = head.split_whitespace().collect();
    let one = one.join(" ");
    let mut letters = one.chars();
    let begin: String = letters.by_ref().take(MOST_LETTERS).collect();
    let more = if letters.next().is_some() { " …" } else { "" };
    format!("`{begin}{more}`")
}

/// What a sentence is called: by what it names, else by its words.
fn called(node: &Node) -> String {
    match node.about.word.as_str() {
        "draw" | "redraw" | "carry" | "measure" if !node.about.names.is_empty() => {
            format!("`{}`", node.about.names.join(", "))
        }
        _ => quoted(node),
    }
}

/// A clash as it is told.
pub(super) fn clash(written: &Written, versions: Versions<'_, '_>) -> String {
    if let Some(words) = &written.words {
        return words.clone();
    }
    let [_, ours, theirs] = versions;
    let full = |version: &Version<'_>, node: &Option<Node>| {
        let node = node.as_ref()?;
        version
            .node(node.id)
            .cloned()
            .or_else(|| Some(node.clone()))
    };
    let (one, other) = (full(ours, &written.ours), full(theirs, &written.theirs));
    let name = one
        .as_ref()
        .or(other.as_ref())
        .map(called)
        .unwrap_or_default();
    match (written.why, one, other) {
        (Why::Comment, ..) => "both versions changed this comment, otherwise.".to_owned(),
        (Why::Order, ..) => "both versions put these sentences in another order.".to_owned(),
        (Why::OursGone, _, Some(other)) => {
            format!(
                "ours takes {name} out, and theirs changes it{}.",
                changed(versions, 2, &other)
            )
        }
        (Why::TheirsGone, Some(one), _) => {
            format!(
                "theirs takes {name} out, and ours changes it{}.",
                changed(versions, 1, &one)
            )
        }
        (Why::OursMoved, Some(_), Some(other)) => {
            format!(
                "ours moves {name}, and theirs changes it{}.",
                changed(versions, 2, &other)
            )
        }
        (Why::TheirsMoved, Some(one), Some(_)) => {
            format!(
                "theirs moves {name}, and ours changes it{}.",
                changed(versions, 1, &one)
            )
        }
        (Why::Both, Some(one), Some(other)) if one.about.is_one && one.id != other.id => {
            let said = sides(versions, &one, &other);
            format!("both versions add {name}{said}.")
        }
        (Why::Both, Some(one), Some(other)) => {
            format!(
                "both versions say something of one thing: {} in ours, {} in theirs.",
                quoted(&one),
                quoted(&other)
            )
        }
        (_, Some(one), Some(other)) => {
            format!(
                "both versions change {name}{}.",
                sides(versions, &one, &other)
            )
        }
        _ => format!("the versions differ in {name}."),
    }
}

/// What a sentence was and is: ": 10 cm → 12 cm".
fn changed([base, ours, theirs]: Versions<'_, '_>, side: usize, node: &Node) -> String {
    let version = if side == 1 { ours } else { theirs };
    let (was, is) = (base.figures(node.id), version.figures(node.id));
    match (was.first(), is.first()) {
        (Some((_, Figure::Said(was))), Some((_, Figure::Said(is)))) if was != is => {
            format!(": {was} → {is}")
        }
        _ => format!(" to {}", quoted(node)),
    }
}

/// Both versions in figures, or in their words where those say more.
fn sides([base, ours, theirs]: Versions<'_, '_>, one: &Node, other: &Node) -> String {
    let (o, t) = (ours.figures(one.id), theirs.figures(other.id));
    let before = base.figures(one.id);
    match (o.first(), t.first()) {
        (Some((_, Figure::Said(o))), Some((_, Figure::Said(t)))) if o != t => {
            let before = match before.first() {
                Some((_, Figure::Said(before))) => format!(", {before} before"),
                _ => String::new(),
            };
            format!(": {o} in ours, {t} in theirs{before}")
        }
        (Some((_, Figure::At(x, y))), Some((_, Figure::At(to_x, to_y)))) => {
            let unit = theirs.session().unit();
            let by = words::place(to_x - x, to_y - y, unit);
            format!(": in theirs it lies {by} than in ours")
        }
        _ => format!(": {} in ours, {} in theirs", quoted(one), quoted(other)),
    }
}

/// A name that would mean what neither version meant.
pub(super) fn rebound(found: &Rebound, merged: &Version<'_>, versions: Versions<'_, '_>) -> String {
    let [_, ours, theirs] = versions;
    let reader = merged.node(found.id).map(quoted).unwrap_or_default();
    let (whose, own) = match found.of {
        Of::Ours => ("ours", ours),
        Of::Theirs => ("theirs", theirs),
        Of::Both => ("both versions", ours),
    };
    let by = |set: &BTreeSet<By>, version: &Version<'_>| -> Vec<String> {
        let said = set.iter().map(|by| match by {
            By::Own(id, _) => version
                .node(*id)
                .or_else(|| merged.node(*id))
                .map_or_else(String::new, quoted),
            By::Elsewhere(file, _) => file.clone(),
        });
        said.collect()
    };
    let (meant, means) = (by(&found.meant, own), by(&found.means, merged));
    let name = &found.name;
    let wrote = match found.of {
        Of::Both => format!("{reader} of both versions reads `{name}`"),
        _ => format!("{reader} of {whose} reads `{name}`"),
    };
    match (meant.is_empty(), means.is_empty()) {
        (_, true) => format!("{wrote}, which the other version takes out or calls otherwise."),
        (true, _) => format!("{wrote}, which would be {}.", voice::list(&means)),
        _ => format!(
            "{wrote}: there it is {}, and together it would be {}.",
            voice::list(&meant),
            voice::list(&means)
        ),
    }
}

/// The sentence to be marked for a name that would mean something else: the one that reads it, where one version alone has it
/// so; else the one that draws it now.
pub(super) fn to_mark(found: &Rebound) -> Vec<Id> {
    let drawn = found
        .means
        .iter()
        .chain(&found.meant)
        .filter_map(|by| match by {
            By::Own(id, _) => Some(*id),
            By::Elsewhere(..) => None,
        });
    match found.of {
        Of::Both => drawn.chain([found.id]).collect(),
        _ => std::iter::once(found.id).chain(drawn).collect(),
    }
}
