//! The forms of the phrase that is being written, and which of its places the hand is at.

use super::Editor;
use super::acts::asks;
use oaktag_language::phrase::Form;
use oaktag_language::syntax::tree::Link;
use std::ops::Range;

/// Most forms that are shown.
const MOST_FORMS: usize = 8;

/// What is being written.
#[derive(Debug, PartialEq, Eq)]
pub struct Written {
    /// Every form that goes on from what stands there, the likeliest first.
    pub forms: Vec<FormSaid>,
}

/// A form.
#[derive(Debug, PartialEq, Eq)]
pub struct FormSaid {
    /// As the reference prints it.
    pub signature: String,
    /// What it does, and what it needs.
    pub lines: Vec<String>,
    /// Its places: the bytes of each in the signature, and what stands in it.
    pub places: Vec<(Range<usize>, String)>,
    /// Which of them the hand is at.
    pub at: Option<usize>,
}

impl Editor<'_> {
    /// The forms of the phrase that is being written at a place; none where no phrase is.
    pub fn signature(&self, at: usize) -> Option<Written> {
        let byte = self.units.byte(at);
        let before = self.before(self.typed_before(byte).start);
        let groups = self.forms_before(&before);
        let mut found = groups.into_iter().filter_map(|(forms, said)| {
            // What has no head is known by its links alone.
            let has_head = forms.iter().any(|form| form.head.is_some());
            let goes_on = |form: &&Form| {
                (has_head || !said.is_empty()) && said.iter().all(|link| has(form, *link))
            };
            let forms: Vec<FormSaid> = forms
                .into_iter()
                .filter(goes_on)
                .map(|form| self.form_at(form, said.first().copied()))
                .take(MOST_FORMS)
                .collect();
            (!forms.is_empty()).then_some(Written { forms })
        });
        found.next()
    }

    fn form_at(&self, form: &Form, last: Option<Link>) -> FormSaid {
        let mut lines: Vec<String> = (!form.doc.is_empty())
            .then(|| form.doc.to_string())
            .into_iter()
            .collect();
        if let Some(act) = form.head.as_deref().and_then(|head| self.act(head)) {
            lines.extend(asks(act));
        }
        let head = usize::from(form.head.is_some());
        let mut places = Vec::new();
        let mut end = 0;
        for (at, part) in form.parts().iter().enumerate() {
            let bytes = end..end + part.len();
            end = bytes.end + 1;
            let Some(at) = at.checked_sub(head) else {
                continue;
            };
            let doc = match form.places.get(at) {
                Some(place) => place.doc.to_string(),
                None => form.options.iter().fold(String::new(), |so_far, option| {
                    format!("{so_far}{}: {}\n", option.name, option.doc.trim())
                }),
            };
            places.push((bytes, doc));
        }
        let at = match last {
            Some(Link::With) => Some(form.places.len()),
            link => form.place_of(link),
        };
        FormSaid {
            signature: form.signature(),
            lines,
            at: at.filter(|at| *at < places.len()),
            places,
        }
    }
}

/// Whether a form goes on with that link.
fn has(form: &Form, link: Link) -> bool {
    match link {
        Link::With => !form.options.is_empty(),
        Link::Of => form.tight || form.place_of(Some(link)).is_some(),
        link => form.place_of(Some(link)).is_some(),
    }
}
