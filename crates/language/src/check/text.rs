//! Texts with figures in them.

use super::checker::{Checker, Typed};
use super::program::{Node, TextNode};
use crate::kind::Kind;
use crate::phrase::Value;
use crate::syntax::tree::{Text, TextPart};

impl<'a> Checker<'a> {
    pub(super) fn text(&mut self, text: &'a Text) -> Typed {
        let node = match text.parts.as_slice() {
            [] => Node::Known(Value::Text("".into())),
            [TextPart::Letters(letters)] => Node::Known(Value::Text(letters.clone())),
            parts => Node::Text(parts.iter().map(|part| self.text_part(part)).collect()),
        };
        Typed::new(node, Kind::Text, text.span)
    }

    fn text_part(&mut self, part: &'a TextPart) -> TextNode {
        match part {
            TextPart::Letters(letters) => TextNode::Letters(letters.clone()),
            TextPart::Hole(expr) => {
                let typed = self.expression(expr);
                TextNode::Value(typed.node, typed.kind)
            }
        }
    }

    /// A text that may be left out.
    pub(super) fn maybe_text(&mut self, text: Option<&'a Text>) -> Node {
        text.map_or_else(
            || Node::Known(Value::Text("".into())),
            |text| self.text(text).node,
        )
    }

    /// The letters of a text, figures shown as `…`: for names that must be known before anything is drawn.
    pub(super) fn letters(text: &Text) -> String {
        let part = |part: &TextPart| match part {
            TextPart::Letters(letters) => letters.to_string(),
            TextPart::Hole(_) => "…".to_owned(),
        };
        text.parts.iter().map(part).collect()
    }
}
