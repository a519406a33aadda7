//! Oaktag: a small language for drafting garment patterns, and everything the `oaktag` program does with it.
//!
//! The layers, lowest first: [`geometry`] and [`report`], [`syntax`], [`kind`], [`phrase`], [`draft`], [`pattern`],
//! [`output`], [`cli`]. A layer uses only those below it; DEVELOPERS.md draws the picture.

pub mod geometry;
