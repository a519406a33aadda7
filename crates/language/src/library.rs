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
