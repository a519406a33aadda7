//! The language of garment drafts, from its text to pieces with seams walked: everything that needs neither a disk nor a
//! form of output.
//!
//! The layers, lowest first: [`voice`], [`report`], [`sewing`], [`syntax`], [`kind`], [`phrase`], [`pattern`], [`check`], [`draft`]; beside them the
//! [`library`], as text. A layer uses only those below it; DEVELOPERS.md draws the picture.

pub mod check;
pub mod draft;
pub mod kind;
pub mod library;
pub mod pattern;
pub mod phrase;
pub mod report;
pub mod sewing;
pub mod syntax;
pub mod voice;
