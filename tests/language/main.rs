//! What a draft's text means: read, laid out, checked, drawn, told; marks, pieces and seams.

#[allow(dead_code, reason = "each program uses a part of it")]
#[path = "../drawing/mod.rs"]
mod drawing;
#[allow(dead_code, reason = "each program uses a part of it")]
#[path = "../example_drafts/mod.rs"]
mod example_drafts;
#[path = "../mutation/mod.rs"]
mod mutation;
#[allow(dead_code, reason = "each program uses a part of it")]
#[path = "../pattern_fixture/mod.rs"]
mod pattern_fixture;
#[allow(dead_code, reason = "each program uses a part of it")]
#[path = "../support/mod.rs"]
mod support;

mod errors;
mod explain;
mod grammar;
mod highlighting;
mod honest;
mod hostile;
mod interlining;
mod marks;
mod mutations;
mod pattern_faults;
mod pattern_parts;
mod pattern_shirt;
mod phrases;
mod syntax;
mod tables;
