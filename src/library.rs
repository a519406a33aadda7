//! The library modules that are built into the program, as text in the language itself.

/// Name and text of every module, in the order in which they build on each other.
pub const MODULES: &[(&str, &str)] = &[
    ("sleeve", include_str!("../stdlib/sleeve.draft")),
    ("collar", include_str!("../stdlib/collar.draft")),
    ("pocket", include_str!("../stdlib/pocket.draft")),
];

/// The text of a module.
pub fn module(name: &str) -> Option<&'static str> {
    MODULES
        .iter()
        .find(|(known, _)| *known == name)
        .map(|(_, text)| *text)
}
