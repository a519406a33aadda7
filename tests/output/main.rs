//! Drawings, pages, files for cutting rooms and other tools, each read back by another reader.

#[allow(dead_code, reason = "each program uses a part of it")]
#[path = "../support/chance.rs"]
mod chance;
#[allow(dead_code, reason = "each program uses a part of it")]
#[path = "../drawing/mod.rs"]
mod drawing;
#[allow(dead_code, reason = "each program uses a part of it")]
#[path = "../example_drafts/mod.rs"]
mod example_drafts;
#[allow(dead_code, reason = "each program uses a part of it")]
#[path = "../support/kinded.rs"]
mod kinded;
#[allow(dead_code, reason = "each program uses a part of it")]
#[path = "../pattern_fixture/mod.rs"]
mod pattern_fixture;

mod cutting_room;
mod lay;
mod output_json;
mod output_svg;
mod paper;
mod pictures;
mod properties;
