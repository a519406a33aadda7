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

/// Head and text of the draft that shows an operation, for each that a garment is made with.
pub const EXAMPLES: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/examples.rs"));

/// The draft that shows an operation.
pub fn example(head: &str) -> Option<String> {
    EXAMPLES
        .iter()
        .find(|(known, _)| *known == head)
        .map(|(_, text)| (*text).to_owned())
}
