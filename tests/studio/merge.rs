//! Pairs of chance edits merged: nothing is lost, the result is tidy, and nothing means what neither meant. What a merge holds
//! is counted by sentences, what it means is held against all four drawings by their records.

use crate::chance::Chance;
use crate::edits::{edit, sentences};
use kurbo::PathEl;
use oaktag_language::draft::{self, Inputs, Outcome};
use oaktag_language::library;
use oaktag_language::phrase::Value;
use oaktag_language::report::SourceMap;
use oaktag_language::syntax::project::{Project, ReadFault, Reader};
use oaktag_language::syntax::tidy;
use oaktag_output::path_data::bez;
use oaktag_studio::merge::{Labels, Merged, Texts, merge};
use std::collections::{BTreeMap, BTreeSet};

/// Pairs of each example in `cargo test`.
const PAIRS: usize = 12;

const EXAMPLES: [&str; 5] = [
    "first-steps",
    "deck-vest",
    "ferry-shirt",
    "straight-skirt",
    "raglan-shirt",
];

struct Examples;

impl Reader for Examples {
    fn read(&self, path: &str) -> Result<String, ReadFault> {
        let path = format!("{}/examples/{path}", env!("CARGO_MANIFEST_DIR"));
        std::fs::read_to_string(path).map_err(|error| ReadFault::Unreadable(error.to_string()))
    }
}

fn merged(base: &str, ours: &str, theirs: &str) -> Merged {
    let texts = Texts {
        name: "draft.draft",
        base,
        ours,
        theirs,
    };
    merge(
        texts,
        &Labels::default(),
        &|| Box::new(Examples),
        library::MODULES,
    )
}

fn drawn(text: &str) -> (SourceMap, Outcome) {
    let project = Project::load("draft.draft", text, &Examples, &library::module);
    let outcome = draft::make(&project, &Inputs::default());
    (project.sources, outcome)
}

/// The text with one half of each clash, or with the other.
fn half(text: &str, first: bool) -> String {
    let (mut out, mut inside) = (String::new(), None);
    for line in text.lines() {
        match line.get(..7) {
            Some("<<<<<<<") => inside = Some(true),
            Some("=======") => inside = Some(false),
            Some(">>>>>>>") => inside = None,
            _ if inside.is_none_or(|is_first| is_first == first) => {
                out.push_str(line);
                out.push('\n');
            }
            _ => {}
        }
    }
    out
}

type Counts = BTreeMap<String, usize>;

/// Every sentence that both kept, or that either wrote, is in the result, or in a half of a clash.
fn is_kept(base: &str, ours: &str, theirs: &str, found: &Merged) -> Result<(), String> {
    let [b, o, t] = [base, ours, theirs].map(sentences);
    let halves = [true, false].map(|first| sentences(&half(&found.text, first)));
    let count = |counts: &Counts, words: &str| counts.get(words).copied().unwrap_or(0);
    let all: BTreeSet<&String> = b.keys().chain(o.keys()).chain(t.keys()).collect();
    for words in all {
        let (b, o, t) = (count(&b, words), count(&o, words), count(&t, words));
        let most = halves.iter().map(|half| count(half, words)).max().unwrap();
        // What both wrote alike may be one sentence or two.
        let clean = (o + t).saturating_sub(b);
        if found.conflicts.is_empty() && most != clean && !(o == t && most == o) {
            return Err(format!("{words}: {most} in place of {clean}"));
        }
        let wanted = if o > b || t > b { o.max(t) } else { o.min(t) };
        if most < wanted.min(clean) {
            return Err(format!("{words} is lost"));
        }
    }
    Ok(())
}

/// A value in figures, to a hundred thousandth of a millimetre.
fn said(value: &Value) -> String {
    let round = |figure: f64| format!("{:.5}", (figure * 1e5).round() / 1e5 + 0.0);
    match value {
        Value::Point(at) => format!("{} {}", round(at.x), round(at.y)),
        Value::Path(path) => {
            let path = bez(path);
            let points = path.elements().iter().flat_map(|element| match element {
                PathEl::MoveTo(a) | PathEl::LineTo(a) => vec![*a],
                PathEl::QuadTo(a, b) => vec![*a, *b],
                PathEl::CurveTo(a, b, c) => vec![*a, *b, *c],
                PathEl::ClosePath => vec![],
            });
            let said = points.map(|at| format!("{} {}", round(at.x), round(at.y)));
            said.collect::<Vec<_>>().join(", ")
        }
        Value::Quantity(figure) | Value::Turn(figure) => round(*figure),
        Value::Direction(way) => format!("{} {}", round(way.x), round(way.y)),
        Value::List(items) => items.iter().map(said).collect::<Vec<_>>().join("; "),
        Value::Text(text) => text.to_string(),
        Value::Answer(answer) => answer.to_string(),
        // Settled where it is used.
        Value::Bearing(_) | Value::Absent => String::new(),
    }
}

/// Of each full name, the figures of its last drawing.
fn figures(outcome: &Outcome) -> BTreeMap<String, String> {
    let mut found = BTreeMap::new();
    for entry in &outcome.record.entries {
        let Some(site) = outcome.program.site(entry.site) else {
            continue;
        };
        for (target, value) in site.targets.iter().zip(&entry.values) {
            if !matches!(value, Value::Absent) {
                found.insert(target.name.to_string(), said(value));
            }
        }
    }
    found
}

/// Names whose last drawing reads, however far back, sentences of both versions.
fn of_both(
    (sources, outcome): &(SourceMap, Outcome),
    ours: &BTreeSet<String>,
    theirs: &BTreeSet<String>,
) -> BTreeSet<String> {
    let entries = &outcome.record.entries;
    // Measures and choices have no entry: who reads one says its name.
    let measures = [ours, theirs].map(|side| -> BTreeSet<&str> {
        let declared = side.iter().filter_map(|words| {
            let (word, rest) = words.split_once(' ')?;
            matches!(word, "body" | "choose").then(|| rest.split(' ').next().unwrap_or(""))
        });
        declared.collect()
    });
    let mut reach: Vec<[bool; 2]> = Vec::new();
    let mut by_name: BTreeMap<String, [bool; 2]> = BTreeMap::new();
    for entry in entries {
        let site = outcome.program.site(entry.site);
        let mut own = [false; 2];
        if let Some(site) = site {
            let words = sentences(sources.slice(site.span));
            own = [ours, theirs].map(|side| words.keys().any(|words| side.contains(words)));
        }
        let before = entry.read.iter().chain(&entry.replaced);
        let before = before.map(|value| value.entry).chain(entry.call);
        for other in before {
            if let Some(other) = reach.get(other.0 as usize) {
                own = [own[0] || other[0], own[1] || other[1]];
            }
        }
        // What is laid out of a whole panel follows from all that is on it; what is tried, from all that it names.
        let words = site.map_or("", |site| sources.slice(site.span));
        let is_panel = words.starts_with("panel");
        let each: BTreeSet<&str> = words
            .split(|c: char| !c.is_alphanumeric() && c != '_')
            .collect();
        for (own, measures) in own.iter_mut().zip(&measures) {
            *own |= measures.iter().any(|name| each.contains(name));
        }
        if is_panel || words.starts_with("try") {
            let on_it = by_name.iter().filter(|(name, _): &(&String, &[bool; 2])| {
                name.rsplit_once('.')
                    .is_some_and(|(panel, _)| words.contains(panel))
            });
            for (_, other) in on_it {
                own = [own[0] || other[0], own[1] || other[1]];
            }
        }
        for target in site.into_iter().flat_map(|site| &site.targets) {
            by_name.insert(target.name.to_string(), own);
        }
        reach.push(own);
    }
    let both = by_name.into_iter().filter(|(_, own)| *own == [true, true]);
    both.map(|(name, _)| name).collect()
}

/// Every name that does not follow from both versions' sentences comes to what one of them drew.
fn is_meant(
    base: &str,
    ours: &str,
    theirs: &str,
    found: &Merged,
) -> Result<(usize, usize), String> {
    let all = drawn(&found.text);
    if let Some(told) = all.1.diagnostics.iter().find(|told| told.is_error()) {
        return Err(format!("wrong: {}", told.code.name()));
    }
    let fresh = |side: &str| -> BTreeSet<String> {
        let before = sentences(base);
        let side = sentences(side).into_iter();
        side.filter(|(words, count)| before.get(words).is_none_or(|was| was < count))
            .map(|(words, _)| words)
            .collect()
    };
    let both = of_both(&all, &fresh(ours), &fresh(theirs));
    let [o, t] = [ours, theirs].map(|text| figures(&drawn(text).1));
    let (mut judged, mut composed) = (0, 0);
    for (name, figure) in figures(&all.1) {
        if o.get(&name) == Some(&figure) || t.get(&name) == Some(&figure) {
            judged += 1;
        } else if both.contains(&name) {
            composed += 1;
        } else {
            return Err(format!("{name} is what neither drew"));
        }
    }
    Ok((judged, composed))
}

/// Whether a merge by lines would clash: what both changed has a line in common, or touches.
fn clashes_by_lines(base: &str, ours: &str, theirs: &str) -> bool {
    let changed = |side: &str| -> Vec<(usize, usize)> {
        let (b, s): (Vec<&str>, Vec<&str>) = (base.lines().collect(), side.lines().collect());
        let ops = similar::capture_diff_slices(similar::Algorithm::Myers, &b, &s);
        let changes = ops
            .iter()
            .filter(|op| !matches!(op, similar::DiffOp::Equal { .. }));
        changes
            .map(|op| (op.old_range().start, op.old_range().end))
            .collect()
    };
    let (o, t) = (changed(ours), changed(theirs));
    o.iter()
        .any(|(a, b)| t.iter().any(|(c, d)| a <= d && c <= b))
}

#[test]
fn nothing_is_lost_and_nothing_means_what_neither_meant() {
    let pairs = std::env::var("OAKTAG_MERGES").ok();
    let pairs = pairs.and_then(|count| count.parse().ok()).unwrap_or(PAIRS);
    let [mut all, mut clean, mut clashed, mut by_lines, mut mended] = [0_usize; 5];
    let (mut judged, mut composed, mut wrong) = (0, 0, Vec::new());
    for (number, name) in EXAMPLES.into_iter().enumerate() {
        let base = tidy(&Examples.read(&format!("{name}.draft")).unwrap()).text;
        for pair in 0..pairs {
            let mut chance = Chance::new((number * 100_000 + pair) as u64);
            // Two in three pairs work at one place.
            let near = (pair % 3 > 0).then(|| chance.within(0.05, 0.95));
            let mut side = |mark: &str| -> Option<String> {
                let mut text = base.clone();
                for n in 0..1 + chance.below(3) {
                    let changed = edit(&text, &mut chance, &format!("{mark}{n}"), near);
                    text = changed.unwrap_or(text);
                }
                // Both people leave a draft that is right.
                let (_, outcome) = drawn(&text);
                (text != base && !outcome.has_errors()).then(|| tidy(&text).text)
            };
            let (Some(ours), Some(theirs)) = (side("mine"), side("other")) else {
                continue;
            };
            let found = merged(&base, &ours, &theirs);
            if std::env::var("OAKTAG_SHOW").ok() == Some(format!("{name} {pair}")) {
                let texts = [("base", &base), ("ours", &ours), ("theirs", &theirs)];
                for (file, text) in texts.into_iter().chain([("merged", &found.text)]) {
                    println!("==== {file}\n{text}");
                }
            }
            let show = |why: String| format!("{name} {pair}: {why}\n{:?}", found.conflicts);
            all += 1;
            let lines = clashes_by_lines(&base, &ours, &theirs);
            by_lines += usize::from(lines);
            if let Err(why) = is_kept(&base, &ours, &theirs, &found) {
                wrong.push(show(why));
            }
            if !found.conflicts.is_empty() {
                clashed += 1;
                continue;
            }
            clean += 1;
            mended += usize::from(lines);
            if tidy(&found.text).text != found.text {
                wrong.push(show("not tidy".to_owned()));
            }
            match is_meant(&base, &ours, &theirs, &found) {
                Ok((own, both)) => {
                    judged += own;
                    composed += both;
                }
                Err(why) => wrong.push(show(why)),
            }
        }
    }
    println!(
        "{all} pairs: {clean} merged, {clashed} to be settled; by lines {by_lines} clash, of which {mended} merge here. \
         {judged} names are what one version drew, {composed} follow from both."
    );
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(clean > 0 && clashed > 0 && mended > 0);
}
