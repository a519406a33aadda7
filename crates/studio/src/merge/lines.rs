//! Texts that cannot be read as drafts, merged by lines: what both changed, or changed side by side, clashes. As in Khanna,
//! Kunal and Pierce, A formal investigation of diff3 (2007).

use super::page::Labels;
use similar::{Algorithm, DiffOp};

/// The text, and the lines of the first marks, from 1.
pub(super) fn merge(base: &str, ours: &str, theirs: &str, labels: &Labels) -> (String, Vec<usize>) {
    let split =
        |text: &str| -> Vec<String> { text.split_inclusive('\n').map(str::to_owned).collect() };
    let (b, o, t) = (split(base), split(ours), split(theirs));
    let (to_ours, to_theirs) = (kept(&b, &o), kept(&b, &t));
    let mut page = Page {
        out: String::new(),
        marks: Vec::new(),
        labels,
    };
    let (mut at, mut own, mut their) = (0, 0, 0);
    loop {
        // The next line that both have kept.
        let kept = (at..b.len()).find_map(|line| {
            let (o, t) = (
                to_ours.get(line).copied().flatten()?,
                to_theirs.get(line).copied().flatten()?,
            );
            Some((line, o, t))
        });
        let (line, to_o, to_t) = kept.unwrap_or((b.len(), o.len(), t.len()));
        let part = |all: &[String], from: usize, to: usize| -> String {
            all.get(from..to).unwrap_or_default().concat()
        };
        page.part(
            &part(&b, at, line),
            &part(&o, own, to_o),
            &part(&t, their, to_t),
        );
        let Some((line, to_o, to_t)) = kept else {
            break;
        };
        page.out.push_str(b.get(line).map_or("", String::as_str));
        (at, own, their) = (line + 1, to_o + 1, to_t + 1);
    }
    (page.out, page.marks)
}

/// For each old line the new one that it is.
fn kept(old: &[String], new: &[String]) -> Vec<Option<usize>> {
    let mut found = vec![None; old.len()];
    for op in similar::capture_diff_slices(Algorithm::Myers, old, new) {
        if let DiffOp::Equal {
            old_index,
            new_index,
            len,
        } = op
        {
            for n in 0..len {
                if let Some(slot) = found.get_mut(old_index + n) {
                    *slot = Some(new_index + n);
                }
            }
        }
    }
    found
}

struct Page<'a> {
    out: String,
    marks: Vec<usize>,
    labels: &'a Labels,
}

impl Page<'_> {
    fn part(&mut self, base: &str, ours: &str, theirs: &str) {
        if ours == base || ours == theirs {
            return self.out.push_str(theirs);
        }
        if theirs == base {
            return self.out.push_str(ours);
        }
        self.end_line();
        self.marks.push(self.out.matches('\n').count() + 1);
        self.out
            .push_str(&format!("<<<<<<< {}\n", self.labels.ours));
        self.out.push_str(ours);
        self.end_line();
        self.out.push_str("=======\n");
        self.out.push_str(theirs);
        self.end_line();
        self.out
            .push_str(&format!(">>>>>>> {}\n", self.labels.theirs));
    }

    fn end_line(&mut self) {
        if !self.out.is_empty() && !self.out.ends_with('\n') {
            self.out.push('\n');
        }
    }
}
