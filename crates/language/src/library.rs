//! The library modules that are built into the program, as text in the language itself: the files of `stdlib/`.

use crate::syntax::needed::{Module, Operation};

/// Every module, in the order of their names.
pub const MODULES: &[Module] = include!(concat!(env!("OUT_DIR"), "/modules.rs"));

/// The module of that name.
pub fn module(name: &str) -> Option<&'static Module> {
    MODULES.iter().find(|module| module.name == name)
}

/// Head and text of the draft that shows an operation, for each that a garment is made with.
pub const EXAMPLES: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/examples.rs"));

/// The draft that shows an operation.
pub fn example(head: &str) -> Option<String> {
    shown(head).map(|(_, text)| text.to_owned())
}

/// Name and text of the draft that shows an operation of a module; where another module has the head too, the module's
/// name stands before it.
pub fn example_in(module: &str, head: &str) -> Option<(&'static str, &'static str)> {
    shown(&format!("{module}_{head}")).or_else(|| shown(head))
}

fn shown(name: &str) -> Option<(&'static str, &'static str)> {
    EXAMPLES.iter().copied().find(|(known, _)| *known == name)
}

/// What people may call an act otherwise: `stdlib/synonyms.csv`, beside the acts.
const SYNONYMS: &str = include_str!("../../../stdlib/synonyms.csv");

/// Each act with what others say for it.
pub fn synonyms() -> impl Iterator<Item = (&'static str, impl Iterator<Item = &'static str> + Clone)>
{
    let lines = SYNONYMS.lines().skip(1);
    let rows = lines.filter_map(|line| line.split_once(','));
    rows.map(|(act, words)| (act, words.split(';')))
}

/// The act that people may call so.
pub fn act_also(word: &str) -> Option<&'static str> {
    synonyms()
        .find(|(_, words)| words.clone().any(|own| own == word))
        .map(|(act, _)| act)
}

/// The modules that have an act.
pub fn modules_of(head: &str) -> impl Iterator<Item = &'static str> {
    let has = move |module: &&Module| module.operations.iter().any(|one| one.head == head);
    MODULES.iter().filter(has).map(|module| module.name)
}
