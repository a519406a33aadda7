//! Three versions woven into one, sentence by sentence. What one side changed is taken; what both changed, or one changed and
//! the other took out or moved, clashes.

use super::moved::moved;
use super::nodes::{Block, Id, Line, Node, Part, Words};
use std::collections::{BTreeMap, BTreeSet};

/// What is wrong with taking both.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Why {
    /// Both changed the sentence, otherwise.
    Twice,
    /// Ours took it out, and theirs changed it.
    OursGone,
    /// Theirs took it out, and ours changed it.
    TheirsGone,
    /// Ours moved it, and theirs changed it.
    OursMoved,
    /// Theirs moved it, and ours changed it.
    TheirsMoved,
    /// Both say something of one thing.
    Both,
    /// Both changed the order of sentences, otherwise.
    Order,
    /// Both changed the comment above, otherwise.
    Comment,
    /// It reads well, and means what neither meant.
    Meaning,
}

/// Two versions of something.
#[derive(Clone, Debug)]
pub(super) struct Clash {
    pub why: Why,
    pub ours: Vec<Node>,
    pub theirs: Vec<Node>,
}

/// What stands in a woven block.
#[derive(Clone, Debug)]
pub(super) enum Item {
    Node(Woven),
    Clash(Clash),
}

/// A sentence of the result.
#[derive(Clone, Debug)]
pub(super) struct Woven {
    pub id: Id,
    pub above: Above,
    pub blank: bool,
    pub parts: Vec<Piece>,
    /// As it is laid out in the one version that it is from.
    pub laid_out: Option<String>,
}

/// Comments above a sentence, or at the end of a block.
#[derive(Clone, Debug)]
pub(super) enum Above {
    Lines(Vec<Line>),
    Clash(Vec<Line>, Vec<Line>),
}

/// A part of a sentence of the result.
#[derive(Clone, Debug)]
pub(super) enum Piece {
    Words(Words),
    /// Its words in both versions.
    Clash(Why, Words, Words),
    Block(Weft),
}

/// A block of the result.
#[derive(Clone, Debug)]
pub(super) struct Weft {
    pub items: Vec<Item>,
    pub tail: Above,
}

impl Woven {
    /// A sentence as it stands in one version.
    pub(super) fn of(node: &Node) -> Self {
        let parts = node.parts.iter().map(|part| match part {
            Part::Words(words) => Piece::Words(words.clone()),
            Part::Block(block) => Piece::Block(Weft::of(block)),
        });
        Self {
            id: node.id,
            above: Above::Lines(node.above.clone()),
            blank: node.blank,
            parts: parts.collect(),
            laid_out: Some(node.laid_out.clone()),
        }
    }
}

impl Weft {
    /// A block as it stands in one version.
    pub(super) fn of(block: &Block) -> Self {
        let items = block.nodes.iter().map(|node| Item::Node(Woven::of(node)));
        Self {
            items: items.collect(),
            tail: Above::Lines(block.tail.clone()),
        }
    }
}

/// Three versions of a block, the sentences numbered alike in all.
#[derive(Clone, Copy)]
pub(super) struct Three<'a> {
    pub base: &'a Block,
    pub ours: &'a Block,
    pub theirs: &'a Block,
}

/// A row of sentences by number.
type Row<'a> = BTreeMap<Id, &'a Node>;

fn row(block: &Block) -> Row<'_> {
    block.nodes.iter().map(|node| (node.id, node)).collect()
}

fn ids(block: &Block) -> Vec<Id> {
    block.nodes.iter().map(|node| node.id).collect()
}

/// Weaves a block.
pub(super) fn weave(three: Three<'_>) -> Weft {
    let tail = lines(&three.base.tail, &three.ours.tail, &three.theirs.tail);
    let (ours, theirs) = (row(three.ours), row(three.theirs));
    let base = row(three.base);
    let moved_by = |side: &Block| moved(&ids(three.base), &ids(side));
    let loom = Loom {
        ours_moved: moved_by(three.ours),
        theirs_moved: moved_by(three.theirs),
        base,
        ours,
        theirs,
    };
    let kept: BTreeMap<Id, Item> = loom
        .all()
        .filter_map(|id| Some((id, loom.one(id)?)))
        .collect();
    let stays = |side: &Block| -> Vec<Id> {
        let own = ids(side).into_iter();
        own.filter(|id| kept.contains_key(id)).collect()
    };
    let (in_ours, in_theirs) = (stays(three.ours), stays(three.theirs));
    let Some(order) = order(&ids(three.base), &in_ours, &in_theirs) else {
        let items = vec![Item::Clash(Clash {
            why: Why::Order,
            ours: three.ours.nodes.clone(),
            theirs: three.theirs.nodes.clone(),
        })];
        return Weft {
            items: narrowed(items),
            tail,
        };
    };
    let mut kept = kept;
    let items: Vec<Item> = order.iter().filter_map(|id| kept.remove(id)).collect();
    Weft {
        items: of_one_thing(items, &loom),
        tail,
    }
}

/// Takes out of a clash of whole blocks what is the same at its beginning and its end.
fn narrowed(items: Vec<Item>) -> Vec<Item> {
    let mut out = Vec::new();
    for item in items {
        let Item::Clash(Clash {
            why,
            mut ours,
            mut theirs,
        }) = item
        else {
            out.push(item);
            continue;
        };
        let same = ours
            .iter()
            .zip(&theirs)
            .take_while(|(a, b)| a.is(b))
            .count();
        let before: Vec<Node> = ours.drain(..same).collect();
        theirs.drain(..same);
        let pairs = ours.iter().rev().zip(theirs.iter().rev());
        let same = pairs.take_while(|(a, b)| a.is(b)).count();
        let after = ours.split_off(ours.len() - same);
        theirs.truncate(theirs.len() - same);
        let alone = |node: &Node| Item::Node(Woven::of(node));
        out.extend(before.iter().map(alone));
        out.push(Item::Clash(Clash { why, ours, theirs }));
        out.extend(after.iter().map(alone));
    }
    out
}

struct Loom<'a> {
    base: Row<'a>,
    ours: Row<'a>,
    theirs: Row<'a>,
    ours_moved: BTreeSet<Id>,
    theirs_moved: BTreeSet<Id>,
}

impl<'a> Loom<'a> {
    fn all(&self) -> impl Iterator<Item = Id> {
        let all = self
            .base
            .keys()
            .chain(self.ours.keys())
            .chain(self.theirs.keys());
        all.copied().collect::<BTreeSet<Id>>().into_iter()
    }

    /// What becomes of a sentence; none where it is taken out.
    fn one(&'a self, id: Id) -> Option<Item> {
        let clash = |why, ours: Option<&Node>, theirs: Option<&Node>| {
            Some(Item::Clash(Clash {
                why,
                ours: ours.into_iter().cloned().collect(),
                theirs: theirs.into_iter().cloned().collect(),
            }))
        };
        let get = |row: &'a Row<'a>| row.get(&id).copied();
        let (base, ours, theirs) = (get(&self.base), get(&self.ours), get(&self.theirs));
        match (base, ours, theirs) {
            (Some(base), Some(ours), Some(theirs)) => {
                let is_leaf = base.is_leaf();
                if is_leaf && self.ours_moved.contains(&id) && !theirs.says(base) {
                    if !ours.says(theirs) {
                        return clash(Why::OursMoved, Some(ours), Some(theirs));
                    }
                } else if is_leaf
                    && self.theirs_moved.contains(&id)
                    && !ours.says(base)
                    && !ours.says(theirs)
                {
                    return clash(Why::TheirsMoved, Some(ours), Some(theirs));
                }
                match three_ways(base, ours, theirs) {
                    Some(woven) => Some(Item::Node(woven)),
                    None => clash(Why::Twice, Some(ours), Some(theirs)),
                }
            }
            (Some(base), None, Some(theirs)) => {
                let stands = as_it_was(theirs, base) && !self.theirs_moved.contains(&id);
                if stands {
                    None
                } else {
                    clash(Why::OursGone, None, Some(theirs))
                }
            }
            (Some(base), Some(ours), None) => {
                let stands = as_it_was(ours, base) && !self.ours_moved.contains(&id);
                if stands {
                    None
                } else {
                    clash(Why::TheirsGone, Some(ours), None)
                }
            }
            (_, Some(ours), Some(theirs)) => {
                let mut woven = Woven::of(ours);
                woven.above = lines(&[], &ours.above, &theirs.above);
                Some(Item::Node(woven))
            }
            (_, Some(one), None) | (_, None, Some(one)) => Some(Item::Node(Woven::of(one))),
            (_, None, None) => None,
        }
    }

    /// Whether a side alone wrote a sentence, or wrote it otherwise than it was.
    fn wrote(&self, side: &Row<'_>, id: Id) -> bool {
        let Some(own) = side.get(&id) else {
            return false;
        };
        self.base.get(&id).is_none_or(|base| !own.says(base))
    }

    /// Whether ours alone wrote one and theirs alone the other, and both say something of one thing.
    fn of_one_thing(&self, one: Id, other: Id) -> bool {
        let alone =
            |side: &Row<'_>, other: &Row<'_>, id| self.wrote(side, id) && !self.wrote(other, id);
        if !alone(&self.ours, &self.theirs, one) || !alone(&self.theirs, &self.ours, other) {
            return false;
        }
        let (Some(one), Some(other)) = (self.ours.get(&one), self.theirs.get(&other)) else {
            return false;
        };
        let (one, other) = (&one.about, &other.about);
        if one.word != other.word {
            return false;
        }
        if one.is_one || other.is_one {
            return one.is_one && other.is_one && one.names == other.names;
        }
        let several = ["allow", "finish", "ease", "gather", "stretch"];
        let shares = one.names.iter().any(|name| other.names.contains(name));
        several.contains(&one.word.as_str())
            && (shares || (one.names.is_empty() && other.names.is_empty()))
    }

    /// What both versions have of two sentences, in the order in which they stand.
    fn both(&self, one: Id, other: Id) -> Clash {
        let of = |side: &Row<'_>| {
            let all = [one, other].into_iter();
            all.filter_map(|id| side.get(&id).copied().cloned())
                .collect()
        };
        Clash {
            why: Why::Both,
            ours: of(&self.ours),
            theirs: of(&self.theirs),
        }
    }
}

/// Makes clashes of sentences that say something of one thing, one of them ours and one theirs.
fn of_one_thing(items: Vec<Item>, loom: &Loom<'_>) -> Vec<Item> {
    let id_of = |item: &Item| match item {
        Item::Node(woven) => Some(woven.id),
        Item::Clash(_) => None,
    };
    let all: Vec<Id> = items.iter().filter_map(id_of).collect();
    let written = |side: &Row<'_>| -> Vec<Id> {
        let ids = all.iter().copied();
        ids.filter(|id| loom.wrote(side, *id)).collect()
    };
    let (ours, theirs) = (written(&loom.ours), written(&loom.theirs));
    let mut gone = BTreeSet::new();
    let mut clashes = BTreeMap::new();
    for one in ours {
        for other in &theirs {
            if one != *other
                && !gone.contains(other)
                && !clashes.contains_key(&one)
                && loom.of_one_thing(one, *other)
            {
                clashes.insert(one, loom.both(one, *other));
                gone.insert(*other);
            }
        }
    }
    let settled = items.into_iter().filter_map(|item| match id_of(&item) {
        Some(id) if gone.contains(&id) => None,
        Some(id) => Some(clashes.remove(&id).map_or(item, Item::Clash)),
        None => Some(item),
    });
    settled.collect()
}

/// Whether a sentence stands as it stood, its comments with it.
fn as_it_was(node: &Node, base: &Node) -> bool {
    node.above == base.above && node.means(base)
}

/// A sentence that all three have; none where it clashes as a whole.
fn three_ways(base: &Node, ours: &Node, theirs: &Node) -> Option<Woven> {
    let above = lines(&base.above, &ours.above, &theirs.above);
    let blank = if ours.blank == base.blank {
        theirs.blank
    } else {
        ours.blank
    };
    let one = if ours.means(base) {
        Some(theirs)
    } else if theirs.means(base) || ours.means(theirs) {
        Some(ours)
    } else {
        None
    };
    if let Some(one) = one {
        return Some(Woven {
            above,
            blank,
            ..Woven::of(one)
        });
    }
    let shape = |node: &Node| node.parts.len();
    if shape(base) != shape(ours) || shape(base) != shape(theirs) {
        return None;
    }
    let mut parts = Vec::new();
    for ((base, ours), theirs) in base.parts.iter().zip(&ours.parts).zip(&theirs.parts) {
        parts.push(match (base, ours, theirs) {
            (Part::Words(base), Part::Words(ours), Part::Words(theirs)) => {
                words(base, ours, theirs)
            }
            (Part::Block(base), Part::Block(ours), Part::Block(theirs)) => {
                Piece::Block(weave(Three { base, ours, theirs }))
            }
            _ => return None,
        });
    }
    // A sentence without a block is told whole.
    if base.is_leaf() && parts.iter().any(|part| matches!(part, Piece::Clash(..))) {
        return None;
    }
    Some(Woven {
        id: base.id,
        above,
        blank,
        parts,
        laid_out: None,
    })
}

fn words(base: &Words, ours: &Words, theirs: &Words) -> Piece {
    let own = if ours.meaning == base.meaning {
        theirs
    } else if theirs.meaning == base.meaning || ours.meaning == theirs.meaning {
        ours
    } else {
        return Piece::Clash(Why::Twice, ours.clone(), theirs.clone());
    };
    let beside = if ours.beside == base.beside {
        &theirs.beside
    } else if theirs.beside == base.beside || ours.beside == theirs.beside {
        &ours.beside
    } else {
        return Piece::Clash(Why::Comment, ours.clone(), theirs.clone());
    };
    Piece::Words(Words {
        beside: beside.clone(),
        ..own.clone()
    })
}

/// Comments of three versions.
fn lines(base: &[Line], ours: &[Line], theirs: &[Line]) -> Above {
    if ours == base || ours == theirs {
        Above::Lines(theirs.to_vec())
    } else if theirs == base {
        Above::Lines(ours.to_vec())
    } else {
        Above::Clash(ours.to_vec(), theirs.to_vec())
    }
}

/// In which order the sentences stand that stay; none where both sides put them otherwise.
fn order(base: &[Id], ours: &[Id], theirs: &[Id]) -> Option<Vec<Id>> {
    let is_in = |side: &[Id]| side.iter().copied().collect::<BTreeSet<Id>>();
    let (in_base, in_ours, in_theirs) = (is_in(base), is_in(ours), is_in(theirs));
    let common = |side: &[Id]| -> Vec<Id> {
        let ids = side.iter().copied();
        ids.filter(|id| in_ours.contains(id) && in_theirs.contains(id))
            .collect()
    };
    let old = |side: &[Id]| -> Vec<Id> {
        let ids = common(side).into_iter();
        ids.filter(|id| in_base.contains(id)).collect()
    };
    let (was, is_ours, is_theirs) = (common(base), old(ours), old(theirs));
    let frame = if is_ours == is_theirs || is_theirs == was {
        common(ours)
    } else if is_ours == was {
        common(theirs)
    } else {
        return None;
    };
    let fixed: BTreeSet<Id> = frame.iter().copied().collect();
    // What one side alone has stands behind what it stands behind there.
    let mut behind: BTreeMap<Option<Id>, Vec<Id>> = BTreeMap::new();
    for side in [ours, theirs] {
        let mut last = None;
        for id in side {
            if fixed.contains(id) {
                last = Some(*id);
            } else {
                behind.entry(last).or_default().push(*id);
            }
        }
    }
    let mut out = behind.remove(&None).unwrap_or_default();
    for id in frame {
        out.push(id);
        out.extend(behind.remove(&Some(id)).unwrap_or_default());
    }
    Some(out)
}
