//! What is done with drafts beyond drawing one: many bodies, two revisions held against each other, two people's edits merged, a
//! lesson.

pub mod compare;
pub mod desk;
pub mod editor;
pub mod hands;
pub mod lesson;
pub mod merge;
pub mod session;
pub mod sizes;
