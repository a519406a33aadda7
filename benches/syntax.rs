//! Reading speed: tokens by logos alone, tokens ready to parse, text to tree, text to canonical text, and the reading of
//! texts full of slips; first in megabytes a second on a large text, then as the text grows a thousandfold, with the
//! exponent of growth: 1 is linear.
//!
//! `cargo bench --bench syntax`, or with the largest text in times of 5 kB: `cargo bench --bench syntax -- 100`.

mod support;

use logos::Logos;
use oaktag_language::report::{FileId, SourceMap};
use oaktag_language::syntax::messages::Messages;
use oaktag_language::syntax::tokens::Tok;
use oaktag_language::syntax::{parse, prepare, tidy_file};
use support::drafts::{text, text_with_slips, unclosed};
use support::table::{Table, at_least, seconds};
use support::time::{slope, time};
use support::{Asked, asked};

/// Bytes of the smallest text.
const SMALLEST: usize = 5_000;
const SERIES: [usize; 7] = [1, 3, 10, 30, 100, 300, 1000];

/// One thing done to a text.
type Work = fn(&SourceMap, FileId) -> usize;

const WORKS: [(&str, Work, bool); 6] = [
    (
        "logos alone",
        |map, file| Tok::lexer(map.text(file)).count(),
        false,
    ),
    (
        "tokens, ready to parse",
        |map, file| {
            prepare(map.text(file), file, &mut Messages::default())
                .0
                .len()
        },
        false,
    ),
    ("text to tree", tree, false),
    (
        "text to canonical text",
        |map, file| tidy_file(map, file).text.len(),
        false,
    ),
    (
        "tokens, with slips",
        |map, file| {
            prepare(map.text(file), file, &mut Messages::default())
                .0
                .len()
        },
        true,
    ),
    ("text to tree, with slips", tree, true),
];

fn tree(map: &SourceMap, file: FileId) -> usize {
    let parsed = parse(map, file);
    parsed.tree.sentences.len() + parsed.diagnostics.len()
}

fn main() {
    let Some(asked) = asked() else { return };
    let sizes = asked.sizes(&SERIES);
    let texts: Vec<[String; 2]> = sizes
        .iter()
        .map(|times| [text(SMALLEST * times), text_with_slips(SMALLEST * times)])
        .collect();
    let mut heads = vec!["growth".to_owned()];
    heads.extend(sizes.iter().map(|times| format!("{times}x")));
    heads.push("exponent".to_owned());
    let mut growth = Table::new(&heads.iter().map(String::as_str).collect::<Vec<_>>());
    let mut speed = Table::new(&["largest text", "MB/s", "of logos alone", "goal"]);
    let mut floor = None;
    for (name, work, slips) in WORKS {
        let mut pairs = Vec::new();
        for both in &texts {
            let text = if slips { &both[1] } else { &both[0] };
            pairs.push((text.len() as f64, of(asked, text, work)));
        }
        let cells = pairs.iter().map(|(_, taken)| seconds(*taken));
        let grows = slope(&pairs);
        growth.row([name.to_owned()].into_iter().chain(cells).chain([grows]));
        if let Some((bytes, taken)) = pairs.last() {
            let rate = bytes / 1e6 / taken;
            let floor = *floor.get_or_insert(rate);
            let goal = match name {
                "text to tree" => format!("20, {}", at_least(rate, 20.0)),
                _ => String::new(),
            };
            speed.row([
                name.to_owned(),
                format!("{rate:.1}"),
                format!("{:.2}", rate / floor),
                goal,
            ]);
        }
    }
    speed.print("Reading, megabytes a second");
    growth.print(&format!("Reading, as the text grows from {SMALLEST} bytes"));
    brackets(asked);
}

fn of(asked: Asked, text: &str, work: Work) -> f64 {
    let mut map = SourceMap::new();
    let file = map.add("reading.draft", text);
    time(asked.patience(), || work(&map, file)).best
}

/// Brackets opened and never closed, which backtracking readers take squares and powers of time for.
fn brackets(asked: Asked) {
    let sizes: Vec<usize> = asked.sizes(&[1, 10, 100, 1_000]);
    let sizes: Vec<usize> = sizes.iter().map(|times| times * 100).collect();
    let mut heads = vec!["opened".to_owned()];
    heads.extend(sizes.iter().map(usize::to_string));
    heads.push("exponent".to_owned());
    let mut table = Table::new(&heads.iter().map(String::as_str).collect::<Vec<_>>());
    for (name, opening) in [
        ("round brackets", "("),
        ("blocks", "if yes {\n"),
        ("texts", "note \"a {b\n"),
    ] {
        let mut pairs = Vec::new();
        for count in &sizes {
            let taken = of(asked, &unclosed(*count, opening), tree);
            pairs.push((*count as f64, taken));
        }
        let cells = pairs.iter().map(|(_, taken)| seconds(*taken));
        let grows = slope(&pairs);
        table.row([name.to_owned()].into_iter().chain(cells).chain([grows]));
    }
    table.print("Never closed");
}
