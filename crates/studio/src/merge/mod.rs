//! Two people's edits of one draft merged by sentence: neighbours do not clash, one sentence changed twice does. What reads
//! well and means what neither meant is no merge: every name still means the sentence that it meant in the version its reader
//! is from, and nothing is wrong that was right in both. Texts that cannot be read are merged by lines.

mod lines;
mod meaning;
mod moved;
mod nodes;
mod page;
mod pair;
mod told;
mod weave;

pub use page::Labels;

use crate::session::Session;
use meaning::Version;
use nodes::{Block, Id, Node};
use oaktag_language::report::SourceMap;
use oaktag_language::syntax::needed::Module;
use oaktag_language::syntax::project::Reader;
use oaktag_language::syntax::{Tidied, tidy_file};
use oaktag_language::voice::LengthUnit;
use page::{Half, Written};
use std::collections::{BTreeMap, BTreeSet};
use weave::{Clash, Item, Piece, Three, Weft, Why, Woven};

/// Three versions of a draft.
#[derive(Clone, Copy, Debug)]
pub struct Texts<'a> {
    /// What messages call the draft.
    pub name: &'a str,
    /// The version that both came from; empty where both began anew.
    pub base: &'a str,
    /// The version in hand.
    pub ours: &'a str,
    /// The version that is brought in.
    pub theirs: &'a str,
}

/// What has to be settled by hand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Conflict {
    /// The line of its first mark in the merged text, from 1; none where no sentence stands for it.
    pub line: Option<usize>,
    /// What it is, with the figures of both versions.
    pub words: String,
}

/// A merged draft.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Merged {
    /// Tidy, with marks round what clashes.
    pub text: String,
    /// In the order of the text; none where all is merged.
    pub conflicts: Vec<Conflict>,
    /// What else should be known of the merge.
    pub remarks: Vec<String>,
}

/// Merges three versions of a draft. `readers` gives what the draft imports, anew for each version.
pub fn merge(
    texts: Texts<'_>,
    labels: &Labels,
    readers: &dyn Fn() -> Box<dyn Reader + Send + Sync>,
    library: &'static [Module],
) -> Merged {
    let all = [texts.base, texts.ours, texts.theirs];
    let read = all.map(|text| tidied(texts.name, text));
    let names = [
        "the version that both came from",
        &labels.ours,
        &labels.theirs,
    ];
    for (read, name) in read.iter().zip(names) {
        if let Err(why) = read {
            return by_lines(texts, labels, &format!("{name} cannot be read ({why})"));
        }
    }
    let [base, ours, theirs] = read.map(Result::unwrap_or_default);
    let open = |text: &str| Session::open(texts.name, text, readers(), library);
    let mut blocks = [&base, &ours, &theirs].map(|text| nodes::nodes(text));
    let mut next: Id = 0;
    let [of_base, of_ours, of_theirs] = &mut blocks;
    pair::number(of_base, &mut next);
    let fresh = next;
    pair::number_after(of_base, of_ours, &mut next);
    pair::number_after(of_base, of_theirs, &mut next);
    pair::unify(of_ours, of_theirs, fresh);
    let [of_base, of_ours, of_theirs] = &blocks;
    let mut weft = weave::weave(Three {
        base: of_base,
        ours: of_ours,
        theirs: of_theirs,
    });
    // Read as ours would have it where it clashes.
    let (text, _) = page::write(&weft, Half::Ours);
    let Ok(text) = tidied(texts.name, &text) else {
        return by_lines(texts, labels, "what was merged by sentences cannot be read");
    };
    let mut block = nodes::nodes(&text);
    let (ids, open_ids) = ids(&weft);
    if !numbered(&mut block, &ids) {
        return by_lines(
            texts,
            labels,
            "what was merged by sentences reads otherwise",
        );
    }
    let versions = [(&base, of_base), (&ours, of_ours), (&theirs, of_theirs)];
    let versions = versions.map(|(text, block)| Version::new(open(text), block));
    let merged = Version::new(open(&text), &block);
    let [b, o, t] = &versions;
    let versions = [b, o, t];
    let mut conflicts = Vec::new();
    let mut words: BTreeMap<Id, Vec<String>> = BTreeMap::new();
    for found in meaning::rebound(versions, &merged, &open_ids) {
        let said = told::rebound(&found, &merged, versions);
        let mark = told::to_mark(&found);
        match mark
            .into_iter()
            .find(|id| mark_at(&mut weft, *id, [of_ours, of_theirs]))
        {
            Some(id) => words.entry(id).or_default().push(said),
            None => conflicts.push(Conflict {
                line: None,
                words: said,
            }),
        }
    }
    let (marked, written) = page::write(&weft, Half::Both(labels));
    if written.is_empty() && conflicts.is_empty() {
        let (conflicts, remarks) = proved(&merged, o, t, labels);
        return Merged {
            text,
            conflicts,
            remarks,
        };
    }
    let mut all: Vec<Conflict> = written
        .into_iter()
        .map(|one| conflict(one, &mut words, versions))
        .collect();
    all.append(&mut conflicts);
    Merged {
        text: marked,
        conflicts: all,
        remarks: Vec::new(),
    }
}

fn conflict(
    mut written: Written,
    words: &mut BTreeMap<Id, Vec<String>>,
    versions: told::Versions<'_, '_>,
) -> Conflict {
    let ids = [&written.ours, &written.theirs].map(|node| node.as_ref().map(|node| node.id));
    if written.why == Why::Meaning {
        let said = ids.into_iter().flatten().find_map(|id| words.remove(&id));
        written.words = said.map(|said| said.join(" "));
    }
    Conflict {
        line: Some(written.line),
        words: told::clash(&written, versions),
    }
}

/// A text laid out, or why it cannot be read.
fn tidied(name: &str, text: &str) -> Result<String, String> {
    let mut sources = SourceMap::new();
    let file = sources.add(name, text);
    let Tidied { text, diagnostics } = tidy_file(&sources, file);
    match diagnostics.iter().find(|told| told.is_error()) {
        Some(told) => Err(format!(
            "line {}: {}",
            sources.line(told.place),
            told.message.in_unit(LengthUnit::default())
        )),
        None => Ok(text),
    }
}

fn by_lines(texts: Texts<'_>, labels: &Labels, why: &str) -> Merged {
    let (text, marks) = lines::merge(texts.base, texts.ours, texts.theirs, labels);
    let conflicts = marks.into_iter().map(|line| Conflict {
        line: Some(line),
        words: "both versions change these lines.".to_owned(),
    });
    Merged {
        text,
        conflicts: conflicts.collect(),
        remarks: vec![format!(
            "merged by lines, since {why}; nothing of it is proved."
        )],
    }
}

/// The sentences of the result in the order of its text, where it clashes those of ours, and which of them clash.
fn ids(weft: &Weft) -> (Vec<Id>, BTreeSet<Id>) {
    fn row(weft: &Weft, all: &mut Vec<Id>, open: &mut BTreeSet<Id>) {
        for item in &weft.items {
            match item {
                Item::Node(woven) => {
                    all.push(woven.id);
                    for part in &woven.parts {
                        match part {
                            Piece::Words(_) => {}
                            Piece::Clash(..) => drop(open.insert(woven.id)),
                            Piece::Block(weft) => row(weft, all, open),
                        }
                    }
                }
                Item::Clash(clash) => {
                    for (nodes, is_ours) in [(&clash.ours, true), (&clash.theirs, false)] {
                        let own = Block {
                            nodes: nodes.clone(),
                            tail: Vec::new(),
                        };
                        own.each(&mut |node| {
                            open.insert(node.id);
                            if is_ours {
                                all.push(node.id);
                            }
                        });
                    }
                }
            }
        }
    }
    let (mut all, mut open) = (Vec::new(), BTreeSet::new());
    row(weft, &mut all, &mut open);
    (all, open)
}

/// Numbers the sentences of the result; says whether they are as many as there should be.
fn numbered(block: &mut Block, ids: &[Id]) -> bool {
    let mut rest = ids.iter();
    let mut is_all = true;
    block.each_mut(&mut |node| match rest.next() {
        Some(id) => node.id = *id,
        None => is_all = false,
    });
    is_all && rest.next().is_none()
}

/// Makes a clash of a sentence that the versions do not have alike; says whether it did, or it clashes already.
fn mark_at(weft: &mut Weft, id: Id, [ours, theirs]: [&Block; 2]) -> bool {
    let of = |block: &Block| {
        let mut found: Option<Node> = None;
        block.each(&mut |node| {
            if node.id == id {
                found = Some(node.clone());
            }
        });
        found
    };
    let (one, other) = (of(ours), of(theirs));
    if let (Some(one), Some(other)) = (&one, &other)
        && one.says(other)
    {
        return false;
    }
    marked(weft, id, one.as_ref(), other.as_ref())
}

fn marked(weft: &mut Weft, id: Id, ours: Option<&Node>, theirs: Option<&Node>) -> bool {
    for item in &mut weft.items {
        match item {
            Item::Clash(clash) => {
                let mut both = clash.ours.iter().chain(&clash.theirs);
                if both.any(|node| node.id == id) {
                    return clash.why == Why::Meaning;
                }
            }
            Item::Node(woven) if woven.id == id => {
                woven.laid_out = None;
                let clash = clash_of(woven, ours, theirs);
                if let Some(clash) = clash {
                    *item = Item::Clash(clash);
                }
                return true;
            }
            Item::Node(woven) => {
                for part in &mut woven.parts {
                    if let Piece::Block(weft) = part
                        && marked(weft, id, ours, theirs)
                    {
                        woven.laid_out = None;
                        return true;
                    }
                }
            }
        }
    }
    false
}

/// The clash of a whole sentence; of one with a block that both have, its first words clash instead.
fn clash_of(woven: &mut Woven, ours: Option<&Node>, theirs: Option<&Node>) -> Option<Clash> {
    if let (Some(one), Some(other)) = (ours, theirs)
        && !one.is_leaf()
        && !other.is_leaf()
        && let (Some(one), Some(other)) = (one.words().next(), other.words().next())
    {
        if let Some(first) = woven.parts.first_mut() {
            *first = Piece::Clash(Why::Meaning, one.clone(), other.clone());
        }
        return None;
    }
    Some(Clash {
        why: Why::Meaning,
        ours: ours.into_iter().cloned().collect(),
        theirs: theirs.into_iter().cloned().collect(),
    })
}

/// What is wrong with a merged draft that was right in both versions, and what could not be proved.
fn proved(
    merged: &Version<'_>,
    ours: &Version<'_>,
    theirs: &Version<'_>,
    labels: &Labels,
) -> (Vec<Conflict>, Vec<String>) {
    let errors = merged.errors();
    if errors.is_empty() {
        return (Vec::new(), Vec::new());
    }
    let known: Vec<(String, Option<Id>)> = [ours, theirs]
        .into_iter()
        .flat_map(Version::errors)
        .map(|(_, code, id)| (code, id))
        .collect();
    let unit = merged.session().unit();
    let sources = merged.session().sources();
    let fresh = errors
        .iter()
        .filter(|(_, code, id)| !known.contains(&(code.clone(), *id)));
    let conflicts: Vec<Conflict> = fresh
        .map(|(told, code, id)| Conflict {
            line: id.map(|_| sources.line(told.place)),
            words: format!(
                "[{code}] {} Neither {} nor {} has this error.",
                told.message.in_unit(unit),
                labels.ours,
                labels.theirs
            ),
        })
        .collect();
    let remarks = if conflicts.is_empty() {
        vec![
            "merged; it has the errors that its versions had, and what needs them is not proved."
                .to_owned(),
        ]
    } else {
        Vec::new()
    };
    (conflicts, remarks)
}
