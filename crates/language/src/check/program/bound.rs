//! Which form each phrase of a checked draft was bound to, for those who put a draft in words.

use super::walk::{self, See};
use super::{Node, Op, Program, SiteId};
use crate::phrase::{Form, Table};
use crate::report::Span;
use std::collections::HashMap;

/// The form of every phrase, by the sentence it stands in and by its own place in the text.
pub type Bound<'p> = HashMap<(SiteId, Span), &'p Form>;

impl Program {
    /// The form of every phrase that is drawn, looked for, required or said.
    pub fn bound(&self) -> Bound<'_> {
        let mut find = Find {
            program: self,
            bound: Bound::new(),
        };
        for measure in &self.measures {
            walk::node(Some(measure.site), &measure.default, &mut find);
        }
        walk::ops(&self.body, &mut find);
        for routine in &self.routines {
            walk::ops(&routine.body, &mut find);
        }
        find.bound
    }
}

struct Find<'p> {
    program: &'p Program,
    bound: Bound<'p>,
}

impl<'p> See<'p> for Find<'p> {
    fn op(&mut self, _: &'p Op) {}

    fn node(&mut self, site: Option<SiteId>, node: &'p Node) {
        let bound = match node {
            Node::Call(call) => {
                let row = Table::built_in().get(call.form);
                row.map(|row| (call.span, row))
            }
            Node::Operation(call) => {
                let routine = self.program.routines.get(call.routine);
                let mut operations = self.program.operations.iter();
                let declared = operations.find(|one| Some(one.span) == routine.map(|one| one.span));
                declared.map(|one| (call.span, &one.form))
            }
            _ => None,
        };
        let bound = site.zip(bound);
        self.bound
            .extend(bound.map(|(site, (span, form))| ((site, span), form)));
    }
}
