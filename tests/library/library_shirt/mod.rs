//! The library's shirt, as a user would change it: the twelve tasks of the trade, each a line or two; every style of body,
//! back, front and alteration; real bodies, drawn by their proportions.

mod bodies;
mod hems;
mod shirt;
mod sizes;
mod styles;
mod tasks;
