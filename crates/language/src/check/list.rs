//! Lists: written out, or collected by `each`; and the lines a list stands for where these have names.

use super::checker::{Checker, GiveFrame, Typed};
use super::program::{CarriedNode, EachNode, EachOverNode, Node};
use super::scope::{Bound, Layer, LayerKind};
use crate::kind::Kind;
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree::{self, Expr};
use std::sync::Arc;

impl<'a> Checker<'a> {
    pub(super) fn list(&mut self, items: &'a [Expr], span: Span) -> Typed {
        let typed: Vec<Typed> = items.iter().map(|item| self.expression(item)).collect();
        // Beside single items a list is those of its items.
        let single = typed.iter().any(|item| !matches!(item.kind, Kind::List(_)));
        let typed: Vec<Typed> = typed
            .into_iter()
            .map(|item| if single { spread(item) } else { item })
            .collect();
        let mut kind = Kind::Unknown;
        for item in &typed {
            match kind.joined(&item.kind) {
                Some(joined) => kind = joined,
                None => {
                    let message = format!(
                        "A list holds one kind: it begins with {}, and this is {}.",
                        kind.with_article(),
                        item.kind.with_article()
                    );
                    self.fail(
                        Diagnostic::error(Code::WrongKind, item.span, message)
                            .at(item.kind.with_article()),
                    );
                    return Typed::unknown(span);
                }
            }
        }
        if kind.holds_panels() && !single {
            let message = "A list of panels is an item of no other list.";
            self.fail(Diagnostic::error(Code::WrongKind, span, message));
            return Typed::unknown(span);
        }
        let lines = super::offers::lines_of(&typed).filter(|_| single);
        if kind == Kind::Panel {
            let Some((nodes, shape)) = self.panel_items(typed) else {
                return Typed::unknown(span);
            };
            let mut list = Typed::new(Node::List(nodes), Kind::List(Box::new(kind)), span);
            list.shape = Some(shape);
            return list;
        }
        let nodes = typed.into_iter().map(|item| item.node).collect();
        let mut list = Typed::new(Node::List(nodes), Kind::List(Box::new(kind)), span);
        list.lines = lines;
        list
    }

    pub(super) fn each(&mut self, each: &'a tree::Each, span: Span) -> Typed {
        let counted = match &each.over {
            tree::EachOver::Count { from, to } => from.span.to(to.span),
            tree::EachOver::Items(list) => list.span,
        };
        if let Some(round) = each.all_round {
            let message = "`all round` closes a ring of pieces, and this `each` collects values.";
            self.fail(Diagnostic::error(Code::NotLaidOut, round, message).help("Leave it out."));
        }
        let mut panels = None;
        let (over, item) = match &each.over {
            tree::EachOver::Count { from, to } => {
                let (from, to) = (
                    self.wanted(from, &Kind::NUMBER),
                    self.wanted(to, &Kind::NUMBER),
                );
                (EachOverNode::Count(from.node, to.node), Kind::NUMBER)
            }
            tree::EachOver::Items(list) => {
                let list = self.expression(list);
                panels = list.shape.clone().filter(|_| list.kind.holds_panels());
                let item = match &list.kind {
                    Kind::List(item) => (**item).clone(),
                    Kind::Unknown => Kind::Unknown,
                    _ => {
                        let message = self.kind_mismatch(&list, "a list", &[]);
                        self.fail(message);
                        Kind::Unknown
                    }
                };
                (EachOverNode::Items(list.node), item)
            }
        };
        let (carried, begun) = self.begin_carried(each, "");
        let prefix = self.prefix();
        self.here
            .layers
            .push(Layer::new(LayerKind::Each, "", prefix));
        let slot = self.slot();
        let members = panels.map(|shape| self.bind_panel_item(&each.name, &shape));
        if members.is_none() {
            self.bind(
                &each.name,
                Bound::Value {
                    slot,
                    kind: item,
                    site: None,
                },
            );
        }
        self.enter_carrying(each, carried);
        self.here.gives.push(GiveFrame::Each { value: None });
        let ((body, give), _) = self.reading(|c| {
            let body = c.sentences(&each.body.sentences);
            (body, c.here.gives.pop())
        });
        let carried = self.leave_carrying();
        let carried = begun
            .into_iter()
            .zip(carried)
            .map(|(begin, name)| CarriedNode {
                begin,
                slot: name.slot,
                next: name.next,
            });
        let carried = carried.collect();
        self.here.layers.pop();
        let Some(GiveFrame::Each { value: Some(given) }) = give else {
            let message = "`each` collects what it gives, and nothing is given here.";
            self.fail(
                Diagnostic::error(Code::SentenceOutOfPlace, span, message)
                    .help("End its block with `give` and the value to collect."),
            );
            return Typed::unknown(span);
        };
        let kind = given.kind.clone();
        if kind.holds_panels() {
            let message = "A list of panels is an item of no other list.";
            self.fail(Diagnostic::error(Code::WrongKind, given.span, message));
            return Typed::unknown(span);
        }
        let (give, shape) = if kind == Kind::Panel {
            let Some((nodes, shape)) = self.panel_items(vec![given]) else {
                return Typed::unknown(span);
            };
            (nodes.into_iter().next().unwrap_or(Node::TOLD), Some(shape))
        } else {
            (given.node, None)
        };
        let node = EachNode {
            slot,
            members,
            carried,
            over,
            body,
            give,
            span: counted,
        };
        let mut list = Typed::new(Node::Each(Box::new(node)), Kind::List(Box::new(kind)), span);
        list.shape = shape;
        list
    }
}

/// The lines of a list, named from where the list's own name stands.
pub(super) fn from_here(list: &tree::Name, lines: &super::scope::Lines) -> super::scope::Lines {
    let owner = list.words.split_last().map_or(&[][..], |(_, owner)| owner);
    let full = |line: &Vec<Arc<str>>| {
        let owner = owner.iter().map(|word| Arc::clone(&word.text));
        owner.chain(line.iter().cloned()).collect()
    };
    lines.iter().map(full).collect()
}

/// A list that stands among single items.
fn spread(item: Typed) -> Typed {
    match &item.kind {
        Kind::List(inner) => Typed {
            kind: Kind::clone(inner),
            node: Node::Spread(Box::new(item.node.clone())),
            ..item
        },
        _ => item,
    }
}
