//! Oaktag: a small language for drafting garment patterns, and everything the `oaktag` program does with it.
//!
//! The layers, lowest first: [`geometry`] and [`report`], [`syntax`], [`kind`], [`phrase`], [`pattern`], [`check`],
//! [`draft`], [`output`], [`sizes`], [`cli`]. A layer uses only those below it; DEVELOPERS.md draws the picture.

pub mod check;
pub mod cli;
pub mod compare;
pub mod draft;
pub mod geometry;
pub mod kind;
pub mod lesson;
pub mod library;
pub mod output;
pub mod pattern;
pub mod phrase;
pub mod report;
pub mod sizes;
pub mod syntax;
