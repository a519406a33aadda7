//! Lists of panels. As a value a panel in a list is the list of what is drawn on it, in one order for all of them; by
//! names it is a [`Shape`] that the list carries along.

use super::checker::{Checker, Typed};
use super::program::Node;
use super::scope::Bound;
use super::shape::{Member, Shape, members};
use crate::report::{Code, Diagnostic};
use crate::syntax::tree;
use crate::voice;
use std::rc::Rc;
use std::sync::Arc;

/// Names told one by one; more are counted.
const SHOWN: usize = 4;

impl Shape {
    /// Whether the same names lie on both, in whatever order.
    pub(super) fn same_names(&self, other: &Shape) -> bool {
        let names = |shape: &Shape| {
            let mut names: Vec<Arc<str>> =
                shape.fresh.iter().map(|m| Arc::clone(&m.path)).collect();
            names.sort_unstable();
            names
        };
        names(self) == names(other)
    }
}

impl<'a> Checker<'a> {
    /// Panels as items of a list, and what each holds; nothing where that is told to be wrong.
    pub(super) fn panel_items(&mut self, items: Vec<Typed>) -> Option<(Vec<Node>, Rc<Shape>)> {
        let mut first: Option<(String, Vec<Member>)> = None;
        let mut nodes = Vec::with_capacity(items.len());
        for item in items {
            let shape = item.shape.as_ref().filter(|shape| !shape.is_open);
            let Some(shape) = shape else {
                // What should have drawn the panel is told.
                self.here.broken = true;
                return None;
            };
            let is_fresh = shape.is_fresh();
            if is_fresh && shape.below().is_some() {
                // What an operation leaves on the panel it was given is not handed on with what it draws.
                self.fail(unnamed(&item));
                return None;
            }
            let mut own: Vec<(Member, Option<Node>)> = if is_fresh {
                let fresh = shape.fresh.iter().cloned();
                fresh.map(|member| (member, None)).collect()
            } else {
                let drawn = members(&shape.sheet).into_iter();
                drawn
                    .map(|member| {
                        let node = Node::Slot(member.slot);
                        (member, Some(node))
                    })
                    .collect()
            };
            let said = crate::check::panels::name_of(self, &item);
            let Some((name, wanted)) = &mut first else {
                first = Some((said, own.iter().map(|(member, _)| member.clone()).collect()));
                nodes.push(whole(&item, own));
                continue;
            };
            let position = |(member, _): &(Member, Option<Node>)| {
                wanted.iter().position(|other| other.path == member.path)
            };
            let extra: Vec<String> = own
                .iter()
                .filter(|one| position(one).is_none())
                .map(|(member, _)| member.path.to_string())
                .collect();
            let has = |path: &Arc<str>| own.iter().any(|(member, _)| member.path == *path);
            let missing = wanted.iter().filter(|member| !has(&member.path));
            let missing: Vec<String> = missing.map(|member| member.path.to_string()).collect();
            if !extra.is_empty() || !missing.is_empty() {
                let told = differ(&item, (name, &missing), (&said, &extra));
                self.fail(told);
                return None;
            }
            let in_order = own
                .iter()
                .enumerate()
                .all(|(at, one)| position(one) == Some(at));
            if is_fresh && !in_order {
                self.fail(unnamed(&item));
                return None;
            }
            own.sort_by_key(&position);
            for ((member, _), wanted) in own.iter().zip(wanted.iter_mut()) {
                let Some(joined) = wanted.kind.joined(&member.kind) else {
                    let message = format!(
                        "The panels of a list hold the same: `{}` is {} on `{name}` and {} on `{said}`.",
                        member.path,
                        wanted.kind.with_article(),
                        member.kind.with_article()
                    );
                    self.fail(Diagnostic::error(Code::PanelsDiffer, item.span, message));
                    return None;
                };
                wanted.kind = joined;
                if wanted.lines != member.lines {
                    wanted.lines = None;
                }
            }
            nodes.push(whole(&item, own));
        }
        let (_, mut given) = first?;
        for member in &mut given {
            member.guide = None;
        }
        Some((nodes, Rc::new(Shape::of_items(given))))
    }

    /// Binds the name that runs over a list of panels; the slots of what is drawn on it, in order.
    pub(super) fn bind_panel_item(
        &mut self,
        word: &tree::Word,
        shape: &Shape,
    ) -> Box<[super::program::Slot]> {
        let mut slots = Vec::with_capacity(shape.fresh.len());
        let mut members = Vec::with_capacity(shape.fresh.len());
        for member in shape.fresh.iter() {
            let slot = self.slot();
            slots.push(slot);
            members.push((Arc::clone(&member.path), member.bound_at(slot, word.span)));
        }
        let sheet = super::panel::nest(members, &word.text, None);
        self.bind(word, Bound::Sheet(Rc::new(sheet)));
        slots.into()
    }
}

/// The item as one value: what a phrase gives is that already, of a panel with a name it is gathered.
fn whole(item: &Typed, own: Vec<(Member, Option<Node>)>) -> Node {
    let nodes: Option<Vec<Node>> = own.into_iter().map(|(_, node)| node).collect();
    match nodes {
        Some(nodes) if !item.shape.as_ref().is_some_and(|shape| shape.is_fresh()) => {
            Node::List(nodes)
        }
        _ => item.node.clone(),
    }
}

fn unnamed(item: &Typed) -> Diagnostic {
    let message = "The panels of a list are named, or all given by the same phrase.";
    Diagnostic::error(Code::PanelsDiffer, item.span, message)
        .help("Draw this one under a name first: `panel one = …`.")
}

/// How a panel of a list is called in a message.
fn name_of(checker: &Checker<'_>, item: &Typed) -> String {
    match &item.name {
        Some(name) => name.to_string(),
        None => checker.said(item.span).to_owned(),
    }
}

fn differ(item: &Typed, first: (&str, &[String]), second: (&str, &[String])) -> Diagnostic {
    let written = |names: &[String]| {
        let names: Vec<String> = names.iter().map(|name| voice::written(name)).collect();
        voice::few(&names, SHOWN)
    };
    let has = |(one, names): (&str, &[String]), other: &str| {
        (!names.is_empty())
            .then(|| format!("`{one}` has {}, and `{other}` has not.", written(names)))
    };
    let said: Vec<String> = [has(first, second.0), has(second, first.0)]
        .into_iter()
        .flatten()
        .collect();
    let message = format!(
        "The panels of a list have the same names on them. {}",
        said.join(" ")
    );
    let help = "Draw what is missing, or give only what all of them have: an act that `gives panel` gives the names it lists.";
    Diagnostic::error(Code::PanelsDiffer, item.span, message).help(help)
}
