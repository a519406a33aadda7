//! The outline of a document (ISO 32000-1, 12.3.3): headings that a reader lists beside the pages and jumps to.

use super::{Names, POINT, content};
use crate::pages::Document;
use pdf_writer::{Finish, Pdf, Ref, TextStr};

/// A heading in the outline.
#[derive(Clone, Debug, PartialEq)]
pub struct Bookmark {
    /// The words that the reader lists.
    pub title: String,
    /// The page it is on, from 0.
    pub page: usize,
    /// Down from the page's upper edge in millimetres.
    pub down: f64,
}

/// Writes the outline; the name of its root, where it has any heading.
pub(super) fn write(
    pdf: &mut Pdf,
    bookmarks: &[Bookmark],
    document: &Document,
    pages: &[(Ref, Ref)],
    names: &mut Names,
) -> Option<Ref> {
    let known = |bookmark: &&Bookmark| bookmark.page < pages.len();
    let bookmarks: Vec<&Bookmark> = bookmarks.iter().filter(known).collect();
    let items: Vec<Ref> = bookmarks.iter().map(|_| names.next()).collect();
    let (first, last) = (*items.first()?, *items.last()?);
    let root = names.next();
    let count = i32::try_from(items.len()).unwrap_or(i32::MAX);
    pdf.outline(root).first(first).last(last).count(count);
    for (at, (bookmark, item)) in bookmarks.iter().zip(&items).enumerate() {
        let (Some(page), Some((name, _))) =
            (document.pages.get(bookmark.page), pages.get(bookmark.page))
        else {
            continue;
        };
        let mut written = pdf.outline_item(*item);
        written.title(TextStr(&bookmark.title)).parent(root);
        if let Some(before) = at.checked_sub(1).and_then(|at| items.get(at)) {
            written.prev(*before);
        }
        if let Some(next) = items.get(at + 1) {
            written.next(*next);
        }
        let up = content::number((page.size.height - bookmark.down) * POINT);
        written.dest().page(*name).xyz(0.0, up, None);
        written.finish();
    }
    Some(root)
}
