//! The library's modules as trees, kept in `assets/library.bin`, so that they are not read anew by every run: each sentence
//! by itself, so that a draft takes out those it needs and leaves the rest as bytes. The file bears the mark of the texts it
//! was made of and of the types it holds (`build.rs`); where that is not the mark of this program, the texts are read.

use super::needed::{Module, Needed};
use super::parser::parse_text;
use super::tree::Sentence;
use serde::{Deserialize, Serialize};
use std::sync::LazyLock;

/// A page has none: it fetches the texts anyway, and reads a module once.
static FILE: &[u8] = if cfg!(target_arch = "wasm32") {
    &[]
} else {
    include_bytes!("../../../../assets/library.bin")
};

/// What the file holds.
#[derive(Serialize, Deserialize)]
struct Kept<'f> {
    mark: &'f str,
    /// By the numbers of the modules.
    #[serde(borrow)]
    modules: Vec<Vec<KeptSentence<'f>>>,
}

#[derive(Serialize, Deserialize)]
struct KeptSentence<'f> {
    /// Of the operation that it is, or stands behind; empty before the first.
    head: &'f str,
    tree: &'f [u8],
}

static KEPT: LazyLock<Option<Kept<'static>>> = LazyLock::new(|| {
    let kept: Kept<'_> = postcard::from_bytes(FILE).ok()?;
    (kept.mark == env!("LIBRARY_MARK")).then_some(kept)
});

/// Whether what is kept is of this program's library.
pub fn is_fresh() -> bool {
    KEPT.is_some()
}

/// What of a module a draft needs; none where it has to be read from its text.
pub(super) fn sentences(module: &Module, needed: &Needed) -> Option<Vec<Sentence>> {
    let kept = KEPT.as_ref()?.modules.get(module.number as usize)?;
    let wanted = kept
        .iter()
        .filter(|one| one.head.is_empty() || needed.keeps(one.head));
    wanted
        .map(|one| postcard::from_bytes(one.tree).ok())
        .collect()
}

/// The file, made of the texts of these modules.
///
/// # Errors
/// What is wrong to read in one of them, or cannot be kept.
pub fn file_of(modules: &[Module]) -> Result<Vec<u8>, String> {
    let trees = modules.iter().map(|module| {
        let parsed = parse_text(module.text, module.id());
        if let Some(wrong) = parsed.diagnostics.first() {
            return Err(format!("{}: {:?}", module.name, wrong.message));
        }
        let sentences = parsed.tree.sentences.into_iter().map(|sentence| {
            let at = sentence.span.start as usize;
            let mut before = module.operations.iter().filter(|one| one.start <= at);
            let head = before.next_back().map_or("", |one| one.head);
            let tree = postcard::to_allocvec(&sentence).map_err(|fault| fault.to_string())?;
            Ok((head, tree))
        });
        sentences.collect::<Result<Vec<_>, String>>()
    });
    let trees = trees.collect::<Result<Vec<_>, String>>()?;
    let file = Kept {
        mark: env!("LIBRARY_MARK"),
        modules: trees
            .iter()
            .map(|module| {
                let sentences = module.iter();
                let kept = sentences.map(|(head, tree)| KeptSentence { head, tree });
                kept.collect()
            })
            .collect(),
    };
    postcard::to_allocvec(&file).map_err(|fault| fault.to_string())
}
