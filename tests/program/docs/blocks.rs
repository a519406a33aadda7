//! The fenced blocks of a page of Markdown.

use std::fs;
use std::path::{Path, PathBuf};

/// Pages whose blocks are run and whose links are followed.
pub const PAGES: &[&str] = &[
    "README.md",
    "DEVELOPERS.md",
    "docs/tour.md",
    "docs/reference.md",
    "docs/phrases.md",
    "docs/house.md",
    "docs/desk.md",
    "docs/editors.md",
];

/// One fenced block.
#[derive(Debug)]
pub struct Block {
    /// Its page.
    pub page: &'static str,
    /// The line of its opening fence, counted from one.
    pub line: usize,
    /// The first word after the fence.
    pub language: String,
    /// The words after that.
    pub marks: Vec<String>,
    /// What stands between the fences.
    pub text: String,
}

impl Block {
    /// Where it is, for a message.
    pub fn place(&self) -> String {
        format!("{}:{}", self.page, self.line)
    }

    /// Whether it carries the mark, alone or with a value.
    pub fn has(&self, mark: &str) -> bool {
        self.value(mark).is_some()
    }

    /// What stands behind `mark=`; empty for a bare mark.
    pub fn value(&self, mark: &str) -> Option<&str> {
        self.marks.iter().find_map(|said| {
            let (name, value) = said.split_once('=').unwrap_or((said, ""));
            (name == mark).then_some(value)
        })
    }

    /// The codes behind `mark=`, in order.
    pub fn codes(&self, mark: &str) -> Vec<String> {
        let mut codes: Vec<String> = self
            .value(mark)
            .unwrap_or_default()
            .split(',')
            .filter(|code| !code.is_empty())
            .map(str::to_owned)
            .collect();
        codes.sort();
        codes
    }
}

/// The project's folder.
pub fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// A file of the project.
pub fn file(path: &str) -> PathBuf {
    root().join(path)
}

/// The text of a file of the project.
pub fn read(path: &str) -> String {
    fs::read_to_string(file(path)).unwrap_or_else(|error| panic!("{path}: {error}"))
}

/// Every block in that language, on all pages.
pub fn in_language(language: &str) -> Vec<Block> {
    PAGES
        .iter()
        .flat_map(|page| blocks(page, &read(page)))
        .filter(|block| block.language == language)
        .collect()
}

/// The blocks of a page.
pub fn blocks(page: &'static str, text: &str) -> Vec<Block> {
    let mut found = Vec::new();
    let mut open: Option<Block> = None;
    for (at, line) in text.lines().enumerate() {
        match (open.as_mut(), line.strip_prefix("```")) {
            (None, Some(info)) => {
                let mut words = info.split_whitespace().map(str::to_owned);
                open = Some(Block {
                    page,
                    line: at + 1,
                    language: words.next().unwrap_or_default(),
                    marks: words.collect(),
                    text: String::new(),
                });
            }
            (Some(_), Some(_)) => found.extend(open.take()),
            (Some(block), None) => {
                block.text.push_str(line);
                block.text.push('\n');
            }
            (None, None) => {}
        }
    }
    assert!(open.is_none(), "{page}: a fence is never closed");
    found
}
