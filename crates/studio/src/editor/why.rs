//! Why a thing is where it is: the sentence that drew it, the sentences of acts in that, and what these read.

use super::Editor;
use super::names::Elsewhere;
use crate::session::places::Place;
use crate::session::trail::Trail;
use oaktag_language::draft::record::ValueId;
use oaktag_language::phrase::Value;
use oaktag_language::report::Span;
use serde::Serialize;

/// Why a thing is where it is.
#[derive(Debug, Serialize)]
pub struct WhyHere {
    /// The sentence of the draft that drew it last; none where another file did.
    pub at: Option<Place>,
    /// From the draft's sentence inward, each sentence of an act or of another file that drew it.
    pub within: Vec<Elsewhere>,
    /// What the innermost of them read, in order.
    pub reads: Vec<Read>,
    /// It stands in place of an earlier drawing.
    pub anew: bool,
}

/// Something that a sentence read.
#[derive(Debug, PartialEq, Serialize)]
pub struct Read {
    /// Its name where it was drawn: `back.neck_point`.
    pub name: String,
    /// What it is, with its figure: `a line, 12 cm`.
    pub said: String,
    /// The draft's own sentence that drew it.
    pub at: Option<Place>,
    /// Where it was drawn else.
    pub elsewhere: Option<Elsewhere>,
}

impl Editor<'_> {
    /// Why the thing of that full name is where it is; nothing where nothing of that name is drawn.
    pub fn why(&self, name: &str) -> Option<WhyHere> {
        let outcome = self.session.outcome();
        let trail = Trail::of(outcome);
        // On a sheet that was traced it has another name than where it was drawn.
        let mut names = vec![name.to_owned()];
        let last = outcome.program.names.iter().find(|last| last.name == name);
        let own = outcome.record.entries.iter();
        let own = own.filter(|entry| last.is_some() && entry.call.is_none());
        let drawn = own.filter_map(|entry| outcome.program.site(entry.site));
        let drawn = drawn.flat_map(|site| &site.targets);
        let same = drawn.filter(|one| last.is_some_and(|last| last.slot == one.slot));
        names.extend(same.map(|one| one.name.to_string()));
        let mut id = trail.root(&names)?;
        let at = self.sentence(&trail, id);
        let mut within = Vec::new();
        if at.is_none() {
            within.extend(self.elsewhere(&trail, id));
        }
        while let Some(inner) = trail.within(id) {
            within.extend(self.elsewhere(&trail, inner));
            id = inner;
        }
        let entry = trail.entry(id.entry)?;
        let reads = entry
            .read
            .iter()
            .filter_map(|read| self.read(&trail, *read));
        let mut kept: Vec<Read> = Vec::new();
        for read in reads {
            if !kept.contains(&read) {
                kept.push(read);
            }
        }
        Some(WhyHere {
            at,
            within,
            reads: kept,
            anew: !entry.replaced.is_empty(),
        })
    }

    fn span(&self, trail: &Trail<'_>, id: ValueId) -> Option<Span> {
        Some(trail.site(trail.entry(id.entry)?)?.span)
    }

    fn sentence(&self, trail: &Trail<'_>, id: ValueId) -> Option<Place> {
        self.place(self.span(trail, id)?)
    }

    fn elsewhere(&self, trail: &Trail<'_>, id: ValueId) -> Option<Elsewhere> {
        Some(self.elsewhere_at(self.span(trail, id)?))
    }

    fn read(&self, trail: &Trail<'_>, id: ValueId) -> Option<Read> {
        let target = trail.target(id)?;
        let value = trail.entry(id.entry)?.values.get(id.at as usize);
        let unit = self.session.unit();
        let kind = target.kind.with_article();
        let said = match value {
            Some(Value::Path(path)) => match path.length() {
                Ok(length) => format!("{kind}, {}", unit.length(length)),
                // An endless line has none.
                Err(_) => kind,
            },
            Some(value) => self.figure_said(value, &target.kind).unwrap_or(kind),
            None => kind,
        };
        let at = self.sentence(trail, id);
        Some(Read {
            name: target.name.to_string(),
            said,
            elsewhere: at.is_none().then(|| self.elsewhere(trail, id)).flatten(),
            at,
        })
    }
}
