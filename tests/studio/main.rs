//! Many bodies, two revisions, lessons.

#[allow(dead_code, reason = "each program uses a part of it")]
#[path = "../output/paper/reader.rs"]
mod reader;

mod compare;
mod lesson;
mod lesson_page;
mod search;
mod sizes;
