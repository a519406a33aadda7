//! What a panel in an expression holds: a panel that is drawn, one that a phrase moved whole, or what an operation makes
//! of those it was given. A name that is left as it was stays the caller's; only what is drawn is handed over.

use super::program::{SiteId, Slot};
use super::scope::{Binding, Bound, LaidOn, Names, Sheet, size_of};
use crate::kind::Kind;
use crate::report::Span;
use std::borrow::Cow;
use std::cell::Cell;
use std::collections::BTreeMap;
use std::rc::Rc;
use std::sync::Arc;

/// A member of a panel, by its place on it.
#[derive(Clone, Debug)]
pub(super) struct Member {
    /// Dotted path on the panel.
    pub path: Arc<str>,
    pub kind: Kind,
    /// The lines of a list.
    pub lines: Option<super::scope::Lines>,
    /// Whose aid it is.
    pub guide: Option<Arc<str>>,
    /// Where its value is, for those who see the panel.
    pub slot: Slot,
}

impl Member {
    /// The same at a place of an operation that is given it.
    pub(super) fn bound_at(&self, slot: Slot, span: Span) -> Binding {
        let bound = match &self.kind {
            Kind::Panel => Bound::Sheet(Rc::default()),
            kind => Bound::Value {
                slot,
                kind: kind.clone(),
                site: None,
            },
        };
        Binding {
            traced: true,
            lines: self.lines.clone(),
            guide: self.guide.clone(),
            ..Binding::new(bound, span)
        }
    }
}

/// Where the values of a panel in an expression come from.
#[derive(Clone, Debug)]
enum Made {
    /// They are drawn already, under this name.
    Named,
    /// A phrase moved what is drawn on it.
    Moved,
    /// It comes out of a list, all of it.
    Item,
    /// An operation was given these panels, and knows their members by these places.
    Called(Panels, Rc<Taken>),
}

/// The panels that an operation was given; none in the place of one that is not known.
type Panels = Rc<[Option<Rc<Sheet>>]>;

/// Members that an operation was given: of which of its panels, and by which path there.
pub(super) type Taken = BTreeMap<Slot, (usize, Arc<str>)>;

/// What a panel expression holds.
#[derive(Clone, Debug)]
pub(super) struct Shape {
    /// The panel, or the one that it is made after.
    pub sheet: Rc<Sheet>,
    made: Made,
    /// Members whose values the expression gives, in order.
    pub fresh: Rc<[Member]>,
    pub offers: Option<usize>,
    /// Full names of the panels it comes from: over one of these it may be laid as a fresh sheet.
    pub from: Vec<String>,
    /// Full names of the panels those were traced or made from.
    pub origins: Vec<String>,
    /// What is on it is not known, since the sentence that drew it is wrong.
    pub is_open: bool,
}

/// What becomes of the members whose values an expression gives.
pub(super) struct Put<'p> {
    /// Their new places, by path.
    pub slots: &'p BTreeMap<&'p str, Slot>,
    pub site: SiteId,
    pub span: Span,
    /// How many names were carried over so far.
    pub carried: Cell<usize>,
}

/// Most names that one call may carry over from the panels it is given.
const MOST_CARRIED: usize = 20_000;

impl Put<'_> {
    /// Whether that was too much.
    pub(super) fn is_too_much(&self) -> bool {
        self.carried.get() > MOST_CARRIED
    }
}

impl Shape {
    /// A panel named in an expression. Whoever is given a panel is given all that is on it.
    pub(super) fn named(sheet: &Rc<Sheet>) -> Self {
        mark_used(&sheet.members);
        Self {
            sheet: Rc::clone(sheet),
            made: Made::Named,
            fresh: Rc::default(),
            offers: sheet.offers,
            from: vec![sheet.full_name.clone()],
            origins: sheet.origins.to_vec(),
            is_open: sheet.is_open,
        }
    }

    /// What an operation makes of the panels it is given: `result` and `fresh` are as the operation knows them.
    pub(super) fn called(
        (result, fresh): (&Rc<Sheet>, &Rc<[Member]>),
        (given, taken): (Panels, &Rc<Taken>),
        offers: Option<usize>,
        (from, origins): (Vec<String>, Vec<String>),
    ) -> Self {
        Self {
            sheet: Rc::clone(result),
            made: Made::Called(given, Rc::clone(taken)),
            fresh: Rc::clone(fresh),
            offers,
            from,
            origins,
            is_open: false,
        }
    }

    /// What every panel of a list holds.
    pub(super) fn of_items(items: Vec<Member>) -> Self {
        let bound = |item: &Member| {
            let binding = item.bound_at(item.slot, Span::default());
            (Arc::clone(&item.path), binding)
        };
        let sheet = super::panel::nest(items.iter().map(bound).collect(), "", None);
        Self {
            sheet: Rc::new(sheet),
            made: Made::Item,
            fresh: items.into(),
            offers: None,
            from: Vec::new(),
            origins: Vec::new(),
            is_open: false,
        }
    }

    /// Whether it is a panel out of a list.
    pub(super) fn is_item(&self) -> bool {
        matches!(self.made, Made::Item)
    }

    /// The same after a phrase moved what is drawn on it: same names, other values.
    pub(super) fn moved(&self) -> Self {
        Self {
            made: Made::Moved,
            fresh: members(&self.sheet).into_iter().filter(is_drawn).collect(),
            ..self.clone()
        }
    }

    /// Places of what is drawn on it, for a phrase that moves it.
    pub(super) fn drawn(&self) -> impl Iterator<Item = Slot> {
        let all = members(&self.sheet).into_iter();
        all.filter(is_drawn).map(|member| member.slot)
    }

    /// Whether its values come from the expression, rather than being drawn already.
    pub(super) fn is_fresh(&self) -> bool {
        !matches!(self.made, Made::Named)
    }

    /// The panel that an operation was given and lays its own over, as the caller knows it.
    pub(super) fn below(&self) -> Option<Rc<Sheet>> {
        self.below_of(&self.sheet)
    }

    fn below_of(&self, sheet: &Sheet) -> Option<Rc<Sheet>> {
        let Made::Called(given, _) = &self.made else {
            return None;
        };
        let LaidOn { argument, path } = sheet.laid_on.as_ref()?;
        let given = given.get(*argument)?.as_ref()?;
        match path.trim_end_matches('.') {
            "" => Some(Rc::clone(given)),
            path => match find(given, path)?.bound {
                Bound::Sheet(inner) => Some(inner),
                Bound::Value { .. } | Bound::OnOneBranch(..) => None,
            },
        }
    }

    /// The panel with its values in their new places, and the names on it that stood there already, without being given to
    /// the operation that drew them.
    pub(super) fn laid(&self, full: &str, put: &Put<'_>) -> (Sheet, Vec<(String, Span)>) {
        let mut clashes = Vec::new();
        let sheet = self.lay(&self.sheet, "", full, put, &mut clashes);
        (sheet, clashes)
    }

    fn lay(
        &self,
        made: &Sheet,
        prefix: &str,
        full: &str,
        put: &Put<'_>,
        clashes: &mut Vec<(String, Span)>,
    ) -> Sheet {
        let below = self.below_of(made);
        let size = below.as_ref().map_or(made.size, |below| below.size);
        put.carried.set(put.carried.get().saturating_add(size));
        if put.is_too_much() {
            return Sheet {
                full_name: full.to_owned(),
                is_open: true,
                ..Sheet::default()
            };
        }
        let mut names = match (&below, &self.made) {
            (Some(below), _) => renamed(below, full),
            (None, Made::Called(..)) => Names::new(),
            (None, Made::Named | Made::Moved | Made::Item) => renamed(made, full),
        };
        for (name, binding) in made.members.iter() {
            let path = match prefix {
                "" => Cow::Borrowed(name.as_ref()),
                _ => Cow::Owned([prefix, name].concat()),
            };
            match &binding.bound {
                Bound::Value { slot, kind, .. } => {
                    if let Some(new) = put.slots.get(path.as_ref()) {
                        let bound = Bound::Value {
                            slot: *new,
                            kind: kind.clone(),
                            site: Some(put.site),
                        };
                        let fresh = Binding {
                            traced: true,
                            lines: binding.lines.clone(),
                            guide: binding.guide.clone(),
                            ..Binding::new(bound, put.span)
                        };
                        let old = names.insert(Arc::clone(name), fresh);
                        if let Some(old) = old.filter(|_| self.is_unasked(made, name)) {
                            clashes.push((path.into_owned(), old.span));
                        }
                    } else if let Some(same) = self.as_given(*slot) {
                        names.insert(Arc::clone(name), same);
                    }
                }
                Bound::Sheet(inner) => {
                    let inner_full = format!("{full}.{name}");
                    let laid = self.lay(inner, &format!("{path}."), &inner_full, put, clashes);
                    let fresh = Binding {
                        traced: true,
                        ..Binding::new(Bound::Sheet(Rc::new(laid)), put.span)
                    };
                    let old = names.insert(Arc::clone(name), fresh);
                    if let Some(old) = old.filter(|_| inner.laid_on.is_none()) {
                        clashes.push((path.into_owned(), old.span));
                    }
                }
                Bound::OnOneBranch(..) => {}
            }
        }
        let kept = below.as_deref().unwrap_or(made);
        Sheet {
            full_name: full.to_owned(),
            size: size_of(&names),
            members: Rc::new(names),
            cloth: below.as_ref().and_then(|below| below.cloth.clone()),
            laid_on: below.as_ref().and_then(|below| below.laid_on.clone()),
            is_open: kept.is_open,
            ..Sheet::default()
        }
    }

    /// Whether an operation drew a name over one of the panel's that it was not given.
    fn is_unasked(&self, made: &Sheet, name: &str) -> bool {
        let Made::Called(_, taken) = &self.made else {
            return false;
        };
        let Some(laid_on) = &made.laid_on else {
            return false;
        };
        let path = [&laid_on.path, name].concat();
        let is_it = |(argument, at): &(usize, Arc<str>)| {
            *argument == laid_on.argument && at.as_ref() == path
        };
        !taken.values().any(is_it)
    }

    /// The caller's name for what an operation was given.
    fn as_given(&self, slot: Slot) -> Option<Binding> {
        let Made::Called(given, taken) = &self.made else {
            return None;
        };
        let (argument, path) = taken.get(&slot)?;
        find(given.get(*argument)?.as_ref()?, path)
    }
}

/// A sheet's names, with the panels on it called after its new name.
fn renamed(sheet: &Sheet, full: &str) -> Names {
    let mut names = Names::clone(&sheet.members);
    if sheet.full_name == full {
        return names;
    }
    for (name, binding) in &mut names {
        if let Bound::Sheet(inner) = &binding.bound {
            let full = format!("{full}.{name}");
            let called = Sheet {
                members: Rc::new(renamed(inner, &full)),
                full_name: full,
                ..Sheet::clone(inner)
            };
            binding.bound = Bound::Sheet(Rc::new(called));
        }
    }
    names
}

/// What stands at a dotted path of a panel.
pub(super) fn find(sheet: &Sheet, path: &str) -> Option<Binding> {
    match path.split_once('.') {
        None => sheet.members.get(path).cloned(),
        Some((first, rest)) => match &sheet.members.get(first)?.bound {
            Bound::Sheet(inner) => find(inner, rest),
            Bound::Value { .. } | Bound::OnOneBranch(..) => None,
        },
    }
}

/// All values on a panel and on the panels on it: points, lines and curves first.
pub(super) fn members(sheet: &Sheet) -> Vec<Member> {
    let mut found = Vec::with_capacity(sheet.size);
    gather(&sheet.members, "", &mut found);
    let (mut drawn, others): (Vec<_>, Vec<_>) = found.into_iter().partition(is_drawn);
    drawn.extend(others);
    drawn
}

fn gather(names: &Names, prefix: &str, found: &mut Vec<Member>) {
    for (name, binding) in names {
        let path: Arc<str> = if prefix.is_empty() {
            Arc::clone(name)
        } else {
            [prefix, name].concat().into()
        };
        match &binding.bound {
            // A list of panels stays where it is.
            Bound::Value { kind, .. } if kind.holds_panels() => {}
            Bound::Value { slot, kind, .. } => found.push(Member {
                path,
                kind: kind.clone(),
                lines: binding.lines.clone(),
                guide: binding.guide.clone(),
                slot: *slot,
            }),
            Bound::Sheet(inner) => gather(&inner.members, &format!("{path}."), found),
            Bound::OnOneBranch(..) => {}
        }
    }
}

/// Whether what is drawn under a name goes with its panel when that is moved: places and lines, and lists of them.
fn is_drawn(member: &Member) -> bool {
    fn is_moved(kind: &Kind) -> bool {
        match kind {
            Kind::Point | Kind::Line | Kind::Curve => true,
            Kind::List(item) => is_moved(item),
            _ => false,
        }
    }
    is_moved(&member.kind)
}

fn mark_used(names: &Names) {
    for binding in names.values() {
        binding.used.set(true);
        if let Bound::Sheet(inner) = &binding.bound {
            mark_used(&inner.members);
        }
    }
}
