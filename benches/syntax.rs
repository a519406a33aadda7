//! Reading speed: letters alone, tokens, and the whole way to the tree, on a large draft; then the time a byte as the
//! draft grows a thousandfold, which stays level where reading is linear.
//!
//! `cargo bench --bench syntax`

use logos::Logos;
use oaktag::report::{FileId, SourceMap};
use oaktag::syntax::messages::Messages;
use oaktag::syntax::tokens::Tok;
use oaktag::syntax::{parse, prepare, tidy_file};
use std::hint::black_box;
use std::time::Instant;

const BLOCK: &str = include_str!("../tests/data/drafts/block.draft");
const SLEEVE: &str = include_str!("../tests/data/drafts/sleeve.draft");

/// A draft of about so many bytes.
fn draft(bytes: usize) -> String {
    let mut text = String::with_capacity(bytes + BLOCK.len() + SLEEVE.len());
    while text.len() < bytes {
        text.push_str(BLOCK);
        text.push_str(SLEEVE);
    }
    text
}

/// The best of some runs, in seconds. What a run makes is dropped off the clock.
fn best<T>(runs: usize, mut work: impl FnMut() -> T) -> f64 {
    let mut least = f64::INFINITY;
    for _ in 0..runs {
        let start = Instant::now();
        let made = black_box(work());
        least = least.min(start.elapsed().as_secs_f64());
        drop(made);
    }
    least
}

fn megabytes(text: &str) -> f64 {
    text.len() as f64 / 1e6
}

fn main() {
    let text = draft(5_000_000);
    let mut map = SourceMap::new();
    let file = map.add("large.draft", &text, false);
    let size = megabytes(&text);
    let letters = best(7, || Tok::lexer(&text).count());
    let tokens = best(7, || {
        prepare(&text, FileId::default(), &mut Messages::default())
    });
    let tree = best(7, || parse(&map, file));
    let layout = best(3, || tidy_file(&map, file));
    println!(
        "a draft of {size:.1} MB, {} tokens",
        Tok::lexer(&text).count()
    );
    println!("letters (logos alone)   {:6.1} MB/s", size / letters);
    println!("tokens, ready to parse  {:6.1} MB/s", size / tokens);
    println!("text to tree            {:6.1} MB/s", size / tree);
    println!("text to canonical text  {:6.1} MB/s", size / layout);
    println!();
    println!("growth of text to tree");
    for times in [1, 10, 100, 1000] {
        let text = draft(5_000 * times);
        let mut map = SourceMap::new();
        let file = map.add("growing.draft", &text, false);
        let runs = (2000 / times).clamp(3, 200);
        let seconds = best(runs, || parse(&map, file));
        println!(
            "{times:5} x  {:8.3} ms  {:6.2} ns a byte",
            seconds * 1e3,
            seconds * 1e9 / text.len() as f64
        );
    }
}
