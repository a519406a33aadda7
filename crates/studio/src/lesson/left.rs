//! What a `redraw` leaves on the paper: the line or point as it was, which is no longer used. A line that only grew longer leaves
//! nothing, and one that was cut shorter what was cut off.

use super::places::SAME;
use super::sheets::Mark;
use super::steps::{Group, Maker};
use oaktag_language::voice;

/// Most old lines and points that are named at the end of a step.
const MOST_NAMED: usize = 5;

/// How much of what was there is no longer used.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Left {
    All,
    Rest,
}

impl Left {
    /// What is left of a mark that another stands in place of.
    pub(super) fn of(old: &Mark, new: &Mark) -> Option<Self> {
        match (old, new) {
            (Mark::Point(old), Mark::Point(new)) => {
                ((*old - *new).hypot() > SAME).then_some(Self::All)
            }
            (Mark::Line(old), Mark::Line(new))
                if old.is_endless() || old.is_nothing() || new.is_nothing() =>
            {
                (!old.is_nothing() && old != new).then_some(Self::All)
            }
            (Mark::Line(old), Mark::Line(new)) if new.covers(old, SAME) => None,
            (Mark::Line(old), Mark::Line(new)) if !new.is_endless() && old.covers(new, SAME) => {
                Some(Self::Rest)
            }
            _ => Some(Self::All),
        }
    }
}

/// What a step leaves of one thing.
pub(super) struct Leaves {
    /// The entry that drew it anew, by its place in the record.
    entry: usize,
    /// Its full name.
    name: String,
    is_point: bool,
    left: Left,
}

impl Leaves {
    /// The full name of what is drawn anew.
    pub(super) fn name(&self) -> &str {
        &self.name
    }
}

impl Maker<'_> {
    /// What the sentences of a step draw anew, with what is left of it: the newest only of what is drawn anew more than once.
    pub(super) fn leaves(&self, group: &Group) -> Vec<Leaves> {
        let mut found: Vec<Leaves> = Vec::new();
        for at in &group.entries {
            let Some((entry, site)) = self.entry(*at) else {
                continue;
            };
            let anew = site.targets.iter().zip(&entry.values).zip(&entry.replaced);
            for ((target, value), old) in anew.filter(|((target, _), _)| target.replaces.is_some())
            {
                let old = self.value(*old).and_then(|(_, _, old)| Mark::of(old));
                let (Some(new), Some(old)) = (Mark::of(value), old) else {
                    continue;
                };
                let name = target.name.to_string();
                found.retain(|known| known.name != name);
                if let Some(left) = Left::of(&old, &new) {
                    let is_point = matches!(new, Mark::Point(_));
                    found.push(Leaves {
                        entry: *at,
                        name,
                        is_point,
                        left,
                    });
                }
            }
        }
        found
    }
}

/// What an entry says of it behind its own sentence, where it is all that the step leaves.
pub(super) fn behind(leaves: &[Leaves], entry: usize) -> Option<&'static str> {
    let [only] = leaves else { return None };
    (only.entry == entry).then_some(match (only.left, only.is_point) {
        (_, true) => "the old point is no longer used",
        (Left::All, false) => "the old line is no longer used",
        (Left::Rest, false) => "the rest of the old line is no longer used",
    })
}

/// What is said of all of it, by the panels' names.
pub(super) fn of_all(leaves: &[Leaves]) -> Option<String> {
    match leaves {
        [] => None,
        [only] => {
            let rest = match only.left {
                Left::All => "",
                Left::Rest => "rest of the ",
            };
            let name = voice::name(&only.name);
            Some(format!("The {rest}old {name} is no longer used."))
        }
        _ => at_end(leaves, true),
    }
}

/// What is said of it at the end of the step, where that leaves more than one; with the panels' names, where it draws on several.
pub(super) fn at_end(leaves: &[Leaves], several_panels: bool) -> Option<String> {
    if leaves.len() < 2 {
        return None;
    }
    if leaves.len() > MOST_NAMED {
        return Some("What lay there before under these names is no longer used.".to_owned());
    }
    let named = leaves.iter().map(|one| {
        let name = if several_panels {
            voice::name(&one.name)
        } else {
            voice::own_name(&one.name)
        };
        match one.left {
            Left::All => format!("the old {name}"),
            Left::Rest => format!("the rest of the old {name}"),
        }
    });
    let named: Vec<String> = named.collect();
    Some(format!(
        "{} are no longer used.",
        voice::capital(&voice::list(&named))
    ))
}
