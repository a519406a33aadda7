//! Every link within the project leads to a file, and its `#` part to a heading of that file.

use crate::docs::blocks::{PAGES, file, read};
use std::fs;
use std::path::Path;

/// What stands in `](…)` and `src="…"` on a page, fenced blocks aside.
fn targets(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut fenced = false;
    for line in text.lines() {
        if line.starts_with("```") {
            fenced = !fenced;
        }
        if fenced {
            continue;
        }
        for (open, close) in [("](", ')'), ("src=\"", '"')] {
            let parts = line.split(open).skip(1);
            found.extend(parts.filter_map(|part| Some(part.split_once(close)?.0.to_owned())));
        }
    }
    found
}

/// The name a heading goes by in a link: small letters and digits, blanks as dashes.
fn anchor(heading: &str) -> String {
    heading
        .chars()
        .filter(|c| c.is_alphanumeric() || matches!(c, ' ' | '-' | '_'))
        .map(|c| if c == ' ' { '-' } else { c })
        .collect::<String>()
        .to_lowercase()
}

fn anchors(text: &str) -> Vec<String> {
    text.lines()
        .filter(|line| line.starts_with('#'))
        .map(|line| anchor(line.trim_start_matches('#').trim()))
        .collect()
}

#[test]
fn every_link_leads_somewhere() {
    let mut wrong = Vec::new();
    for page in PAGES {
        let text = read(page);
        let folder = Path::new(page).parent().unwrap();
        for target in targets(&text) {
            if target.contains("://") {
                continue;
            }
            let (path, part) = target.split_once('#').unwrap_or((&target, ""));
            let full = file(folder.to_str().unwrap()).join(path);
            let there = if path.is_empty() {
                Some(text.clone())
            } else if full.is_dir() || (part.is_empty() && full.is_file()) {
                Some(String::new())
            } else {
                fs::read_to_string(&full).ok()
            };
            match there {
                None => wrong.push(format!("{page}: {target} is not there")),
                Some(there) if !part.is_empty() && !anchors(&there).contains(&part.to_owned()) => {
                    wrong.push(format!("{page}: {target} has no such heading"));
                }
                Some(_) => {}
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn headings_go_by_small_letters_and_dashes() {
    assert_eq!(anchor("1. A point, a line"), "1-a-point-a-line");
}
