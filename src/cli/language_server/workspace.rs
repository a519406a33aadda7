//! The drafts of a folder, and the names in them.

use super::answers::{self, contents};
use super::common::Common;
use super::positions::Text;
use super::wire::Answer;
use crate::cli::desk::drafts::{Drafts, is_draft};
use crate::cli::disk;
use oaktag_studio::editor::outline_of;
use std::path::{Path, PathBuf};

/// So many names are told at most.
const MOST_TOLD: usize = 500;

/// The drafts in a folder and below it.
pub(super) fn drafts(folder: &Path) -> Vec<PathBuf> {
    let listed = Drafts::new(folder.to_owned()).list().into_iter();
    let drafts = listed.filter(|one| is_draft(&one.path));
    drafts.map(|one| folder.join(one.path)).collect()
}

/// Names in the drafts of some folders that hold the letters asked for, in any case.
pub(super) fn symbols(common: &Common, folders: &[PathBuf], asked: &str) -> Answer {
    let asked = asked.to_lowercase();
    let encoding = common.client().encoding;
    let mut found = Vec::new();
    for path in folders.iter().flat_map(|folder| drafts(folder)) {
        let open = common.text_of(&path);
        let Some(text) = open.or_else(|| Some(disk::read_text(&path).ok()?.into())) else {
            continue;
        };
        let text = Text::new(text, encoding);
        let parts = outline_of(text.draft());
        contents::flatten(&parts, None, &mut |part, container| {
            if found.len() < MOST_TOLD && part.name.to_lowercase().contains(&asked) {
                let uri = answers::uri(&common.address_of(&path));
                let range = text.range_of(part.word);
                found.extend(uri.map(|uri| contents::information(part, container, uri, range)));
            }
        });
    }
    answers::json_of(found)
}
