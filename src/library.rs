//! The library modules that are built into the program, as text in the language itself.

/// The text of a module.
pub fn module(_name: &str) -> Option<&'static str> {
    None
}
