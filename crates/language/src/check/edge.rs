//! Edges: the lines of a panel that a piece outlines or a seam joins, by their full names on the newest sheet.

use super::checker::Checker;
use super::piece::{MadeEdge, Making};
use super::program::{EdgeCode, Node, PieceCode, PieceOp, Slot};
use super::scope::{Bound, nearest_word};
use crate::kind::Kind;
use crate::report::{Code, Diagnostic, Span};
use crate::sewing::{EdgeRef, PieceSays};
use crate::syntax::tree;

impl<'a> Checker<'a> {
    pub(super) fn outline(
        &mut self,
        edges: &'a [tree::OutlineEdge],
        making: &mut Making,
    ) -> Vec<EdgeCode> {
        let mut codes = Vec::with_capacity(edges.len());
        for edge in edges {
            for line in self.lines_meant(&edge.name) {
                codes.extend(self.outline_edge(edge, &line, making));
            }
        }
        codes
    }

    fn outline_edge(
        &mut self,
        edge: &tree::OutlineEdge,
        line: &tree::Name,
        making: &mut Making,
    ) -> Option<EdgeCode> {
        let last = line.words.last().map(|word| word.text.to_string());
        let (line, node) = self.panel_line(line)?;
        let own = edge.as_name.as_ref().map(|word| word.text.to_string());
        let name = own.or(last).unwrap_or_default();
        making.note(&name, &line, &node);
        Some(EdgeCode {
            name,
            line,
            value: node,
            span: edge.name.span,
        })
    }

    /// A line of a panel: its full name and value.
    pub(super) fn panel_line(&mut self, name: &tree::Name) -> Option<(String, Node)> {
        let before = self.here.broken;
        let binding = self.resolve(name)?;
        let (slot, kind) = match &binding.bound {
            Bound::Value { slot, kind, .. } => (*slot, kind.clone()),
            Bound::OnOneBranch(span, _) => {
                let told = self.on_one_branch(self.said(name.span), name.span, *span);
                self.fail(told);
                return None;
            }
            Bound::Sheet(_) => {
                let message = format!(
                    "`{}` is a panel, and an edge is one of its lines.",
                    self.said(name.span)
                );
                self.fail(Diagnostic::error(Code::WrongKind, name.span, message));
                return None;
            }
        };
        if !kind.is_path() && kind != Kind::Unknown {
            let message = format!(
                "An edge is a line or a curve, and `{}` is {}.",
                self.said(name.span),
                kind.with_article()
            );
            self.fail(
                Diagnostic::error(Code::WrongKind, name.span, message)
                    .at(kind.with_article())
                    .see(binding.span, binding.origin(self.said(name.span))),
            );
            return None;
        }
        self.here.broken = before;
        self.here.reads.push(slot);
        Some((self.full_name(name), Node::Slot(slot)))
    }

    /// The full name of a panel's line as it is known at the end: the panel's full name and the line's own.
    pub(super) fn full_name(&self, name: &tree::Name) -> String {
        let Some((last, owners)) = name.words.split_last() else {
            return String::new();
        };
        let Some((first, rest)) = owners.split_first() else {
            let layer = self
                .here
                .layers
                .iter()
                .rev()
                .find(|layer| layer.names.contains_key(&last.text));
            return layer.map_or_else(|| last.text.to_string(), |layer| layer.full(&last.text));
        };
        let mut bound = self.find(&first.text).map(|b| b.bound);
        for word in rest {
            bound = match bound {
                Some(Bound::Sheet(sheet)) => sheet.members.get(&word.text).map(|b| b.bound.clone()),
                other => other,
            };
        }
        match bound {
            Some(Bound::Sheet(sheet)) => format!("{}.{}", sheet.full_name, last.text),
            _ => last.text.to_string(),
        }
    }

    /// Edges of the piece; a list of lines stands for all of them.
    pub(super) fn edge_names(&mut self, names: &[tree::Name], making: &Making) -> Vec<EdgeRef> {
        let mut edges = Vec::new();
        for name in names {
            let is_edge = matches!(name.words.as_slice(), [word] if making.has(&word.text));
            let lines = if is_edge {
                vec![name.clone()]
            } else {
                self.lines_meant(name)
            };
            for line in lines {
                edges.extend(self.edge_name(&line, making));
            }
        }
        edges
    }

    /// One of the piece's edges: by its name there, or by its line. A full name means that line and no other; a bare one
    /// that several edges bear is an error.
    pub(super) fn edge_name(&mut self, name: &tree::Name, making: &Making) -> Option<EdgeRef> {
        let (last, owners) = name.words.split_last()?;
        let last = last.text.to_string();
        let found = |edge: &MadeEdge| EdgeRef {
            name: edge.name.clone(),
            line: edge.line.clone(),
            span: name.span,
        };
        if !owners.is_empty() {
            let full = self.full_name(name);
            if let Some(edge) = making.edges.iter().find(|edge| edge.line == full) {
                self.mark_used(name);
                return Some(found(edge));
            }
        }
        let named = making.edges.iter().filter(|edge| edge.name == last);
        let mut fitting: Vec<&MadeEdge> = named.collect();
        if fitting.is_empty() {
            let of_line = |edge: &&MadeEdge| edge.line.rsplit('.').next() == Some(last.as_str());
            fitting = making.edges.iter().filter(of_line).collect();
        }
        if owners.is_empty() || fitting.len() == 1 {
            fitting.dedup_by(|a, b| a.line == b.line);
            match fitting.as_slice() {
                [edge] => {
                    if let Some(binding) = self.find(&last) {
                        binding.used.set(true);
                    }
                    let (line, written) = (self.at_path(&edge.line), name.words.last());
                    if let (Some(line), Some(word)) = (line, written) {
                        self.mention(word.span, line);
                    }
                    return Some(found(edge));
                }
                [] => {}
                several => {
                    let written = |edge: &&MadeEdge| {
                        let line = from_panel(&edge.line, &making.panel);
                        // A bare name is what is asked about: the panel's own is added.
                        let full = if line == last {
                            edge.line.as_str()
                        } else {
                            line
                        };
                        full.to_owned()
                    };
                    let lines: Vec<String> = several.iter().map(written).collect();
                    let message = format!("Several edges of this piece are called `{last}`.");
                    self.fail(
                        Diagnostic::error(Code::EdgeShared, name.span, message)
                            .at("which of them?")
                            .write_one_of(&lines),
                    );
                    return None;
                }
            }
        }
        if making.is_base {
            return None;
        }
        if making.is_broken && making.edges.is_empty() {
            // Its outline could not be read, which is told already.
            self.here.broken = true;
            return None;
        }
        let names: Vec<&str> = making.edges.iter().map(|edge| edge.name.as_str()).collect();
        let message = format!("This piece has no edge `{}`.", self.said(name.span));
        let mut diagnostic = Diagnostic::error(Code::UnknownEdge, name.span, message);
        if let Some(near) = nearest_word(&last, names.iter().copied()) {
            diagnostic = diagnostic.meant(near);
        } else {
            diagnostic = diagnostic.note(if names.is_empty() {
                "Its outline comes first.".into()
            } else {
                format!("Its edges are {}.", names.join(", "))
            });
        }
        self.fail(diagnostic);
        None
    }

    fn mark_used(&mut self, name: &tree::Name) {
        let (before, told) = (self.here.broken, self.diagnostics.len());
        if let Some(binding) = self.resolve(name) {
            binding.used.set(true);
        }
        self.here.broken = before;
        self.diagnostics.truncate(told);
    }

    /// Pieces whose panel was traced again after them, and a line of theirs redrawn.
    pub(super) fn pieces_of_older_sheets(&mut self) {
        let mut messages = Vec::new();
        for piece in &self.program.pieces {
            for edge in outline_edges(&piece.sentences) {
                let Node::Slot(slot) = &edge.value else {
                    continue;
                };
                if let Some((latest, span)) = self.latest(&edge.line)
                    && latest != *slot
                {
                    let message = format!(
                        "Piece `{}` outlines `{}` as it was before it was redrawn.",
                        piece.name, edge.name
                    );
                    let help = "Move the piece below the last sheet of its panel.";
                    messages.push(
                        Diagnostic::error(Code::PieceFromAnOlderSheet, edge.span, message)
                            .at("as it was before")
                            .see(span, "redrawn here")
                            .help(help),
                    );
                }
            }
        }
        self.diagnostics.extend(messages);
    }

    fn latest(&self, line: &str) -> Option<(Slot, Span)> {
        let mut parts = line.split('.');
        let mut bound = self.here.layers.first()?.names.get(parts.next()?)?.clone();
        for part in parts {
            let Bound::Sheet(sheet) = &bound.bound else {
                return None;
            };
            let next = sheet.members.get(part)?.clone();
            bound = next;
        }
        if let Bound::Value { slot, .. } = bound.bound {
            Some((slot, bound.span))
        } else {
            None
        }
    }
}

/// A line as a piece of the panel names it.
fn from_panel<'n>(line: &'n str, panel: &str) -> &'n str {
    line.strip_prefix(panel)
        .and_then(|rest| rest.strip_prefix('.'))
        .unwrap_or(line)
}

fn outline_edges(sentences: &[PieceOp]) -> Vec<&EdgeCode> {
    let mut found = Vec::new();
    for op in sentences {
        found.extend(op.outline().into_iter().flatten());
        if let PieceOp::If(branches, otherwise) = op {
            let cases = branches.iter().map(|(_, ops)| ops);
            found.extend(cases.chain([otherwise]).flat_map(|ops| outline_edges(ops)));
        }
    }
    found
}

impl PieceCode {
    /// Every edge any of its outlines names.
    pub(crate) fn outline(&self) -> Vec<&EdgeCode> {
        outline_edges(&self.sentences)
    }
}

impl PieceOp {
    /// The edges it names, where it says the outline.
    pub(super) fn outline(&self) -> Option<&Vec<EdgeCode>> {
        match self {
            PieceOp::Says { says, .. } => match says.as_ref() {
                PieceSays::Outline { edges } => Some(edges),
                _ => None,
            },
            PieceOp::If(..) => None,
        }
    }
}
