//! The library modules that are built into the program, as text in the language itself.

/// Name and text of every module, in the order in which they build on each other.
pub const MODULES: &[(&str, &str)] = &[
    ("body", include_str!("../stdlib/body.draft")),
    ("mens_body", include_str!("../stdlib/mens_body.draft")),
    ("block", include_str!("../stdlib/block.draft")),
    ("fitting", include_str!("../stdlib/fitting.draft")),
    ("dart", include_str!("../stdlib/dart.draft")),
    ("sleeve", include_str!("../stdlib/sleeve.draft")),
    ("collar", include_str!("../stdlib/collar.draft")),
    ("pocket", include_str!("../stdlib/pocket.draft")),
    ("yoke", include_str!("../stdlib/yoke.draft")),
    ("stand", include_str!("../stdlib/stand.draft")),
    ("fitted", include_str!("../stdlib/fitted.draft")),
    ("shirt", include_str!("../stdlib/shirt.draft")),
];

/// The text of a module.
pub fn module(name: &str) -> Option<&'static str> {
    MODULES
        .iter()
        .find(|(known, _)| *known == name)
        .map(|(_, text)| *text)
}
