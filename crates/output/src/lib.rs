//! Writers: each takes a drawn [`Pattern`](oaktag_language::pattern::Pattern) and gives bytes. None of them reads a draft, measures
//! anything anew, or changes what it writes with the machine it runs on.

pub mod corners;
pub mod cut_list;
pub mod drawing;
pub mod dxf;
pub(crate) mod edges;
pub mod hang;
pub mod json;
pub mod lay;
pub mod layout;
pub mod letters;
pub mod number;
pub mod pages;
pub mod pdf;
pub mod png;
pub mod sheet;
pub mod spec_sheet;
pub mod svg;
pub mod ticket;
pub mod tile_layout;
pub mod walk;
pub mod web;

pub mod path_data;
