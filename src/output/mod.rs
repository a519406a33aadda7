//! Writers: each takes a drawn [`Pattern`](crate::pattern::Pattern) and gives bytes. None of them reads a draft, measures
//! anything anew, or changes what it writes with the machine it runs on.

pub mod drawing;
pub mod json;
pub mod layout;
pub mod number;
pub mod plate;
pub mod svg;
pub mod web;

pub(crate) mod path_data;
