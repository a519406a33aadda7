//! The library modules that are built into the program, as text in the language itself: the files of `stdlib/`.

/// Name and text of every module, in the order of their names.
pub const MODULES: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/modules.rs"));

/// The text of a module.
pub fn module(name: &str) -> Option<&'static str> {
    MODULES
        .iter()
        .find(|(known, _)| *known == name)
        .map(|(_, text)| *text)
}
