//! The picture of a draft for a page that shows one already: what is different in it, and no more. A page lays a drawing of a
//! thousand elements at each keystroke, of which most stay as they were.

use serde::Serialize;
use std::hash::{DefaultHasher, Hash, Hasher};

/// The picture that was given last.
#[derive(Default)]
pub(super) struct Given {
    mark: String,
    svg: String,
}

/// A picture, whole or as what is put into the one that the page has.
#[derive(Debug, Serialize)]
pub(super) struct Pictured<'p> {
    /// Tells this picture from any other; to be asked with next.
    mark: String,
    #[serde(flatten)]
    how: How<'p>,
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "lowercase")]
enum How<'p> {
    /// The SVG.
    Whole(&'p str),
    /// What is put in, in the order of the parts that the page has.
    Puts(Vec<Put<'p>>),
}

/// From which part on how many are taken out, and the parts that stand there instead.
type Put<'p> = (usize, usize, Vec<&'p str>);

impl Given {
    /// Answers with a picture for a page that has the one of the mark `has`, and keeps it for the next.
    pub(super) fn answer<T>(
        &mut self,
        svg: String,
        has: Option<&str>,
        told: impl Fn(&Pictured<'_>) -> T,
    ) -> T {
        let mark = mark_of(&svg);
        let is_known = has.is_some_and(|has| has == self.mark);
        let puts = is_known.then(|| difference(&parts(&self.svg), &parts(&svg)));
        let how = match puts.flatten() {
            Some(puts) => How::Puts(puts),
            None => How::Whole(&svg),
        };
        let answer = told(&Pictured {
            mark: mark.clone(),
            how,
        });
        *self = Self { mark, svg };
        answer
    }
}

fn mark_of(svg: &str) -> String {
    let mut hasher = DefaultHasher::new();
    svg.hash(&mut hasher);
    format!("{:x}-{:016x}", svg.len(), hasher.finish())
}

/// The parts of a picture: each of its lines, but that the letters of a text and its end are of one part with its beginning.
fn parts(svg: &str) -> Vec<&str> {
    let mut parts = Vec::new();
    let (mut start, mut at) = (0, 0);
    for line in svg.split_inclusive('\n') {
        let begins = line.starts_with('<') && !line.starts_with("</text");
        if begins && at > start {
            parts.extend(svg.get(start..at));
            start = at;
        }
        at += line.len();
    }
    parts.extend(svg.get(start..));
    parts
}

/// A line or a text of the drawing, and no frame round such.
fn is_drawn(part: &str) -> bool {
    part.starts_with("<path ") || part.starts_with("<text ")
}

/// What is put into one picture so that it is the other; none where more differs than lines and texts.
fn difference<'p>(old: &[&str], new: &[&'p str]) -> Option<Vec<Put<'p>>> {
    let mut puts = Vec::new();
    let (mut before, mut after) = (0, 0);
    while before < old.len() || after < new.len() {
        let (here, there) = (run(old, before), run(new, after));
        if here.len() == there.len() {
            put_pairs(&mut puts, before, here, there);
        } else {
            let alike = |(a, b): &(&&str, &&str)| a == b;
            let head = here.iter().zip(there).take_while(alike).count();
            let (here, there) = (here.get(head..)?, there.get(head..)?);
            let foot = here.iter().rev().zip(there.iter().rev());
            let foot = foot.take_while(alike).count();
            let middle = there.get(..there.len() - foot)?.to_vec();
            puts.push((before + head, here.len() - foot, middle));
        }
        before += run(old, before).len();
        after += run(new, after).len();
        // The frame that follows must be the same, but for how large the sheet is.
        match (old.get(before), new.get(after)) {
            (here, there) if here == there => {}
            (Some(here), Some(there))
                if [here, there].iter().all(|one| one.starts_with("<svg ")) =>
            {
                puts.push((before, 1, vec![*there]));
            }
            _ => return None,
        }
        (before, after) = (before + 1, after + 1);
    }
    Some(puts)
}

/// The lines and texts that follow each other from a place on.
fn run<'a, 'p>(parts: &'a [&'p str], from: usize) -> &'a [&'p str] {
    let rest = parts.get(from..).unwrap_or_default();
    let end = rest.iter().position(|part| !is_drawn(part));
    rest.get(..end.unwrap_or(rest.len())).unwrap_or_default()
}

/// Of as many parts, those that are not the same, neighbours together.
fn put_pairs<'p>(puts: &mut Vec<Put<'p>>, from: usize, here: &[&str], there: &[&'p str]) {
    let mut is_open = false;
    for (at, (old, new)) in here.iter().zip(there).enumerate() {
        match puts.last_mut().filter(|_| is_open) {
            _ if old == new => is_open = false,
            Some((_, taken, put)) => {
                *taken += 1;
                put.push(new);
            }
            None => {
                puts.push((from + at, 1, vec![new]));
                is_open = true;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn put_in(old: &str, puts: &[Put<'_>]) -> String {
        let mut all: Vec<&str> = parts(old);
        for (from, taken, put) in puts.iter().rev() {
            all.splice(*from..from + taken, put.iter().copied());
        }
        all.concat()
    }

    #[test]
    fn what_is_put_in_makes_the_other_picture() {
        let svg = |drawn: &[&str], more: &str| {
            format!(
                "<svg>\n<style>\n\n.a{{}}\n</style>\n<g id=\"a\">\n{}</g>\n<g id=\"b\"/>\n<g id=\"c\">\n<path d=\"M0\"/>\n{more}</g>\n</svg>\n",
                drawn.concat()
            )
        };
        let path = [
            "<path d=\"M1\"/>\n",
            "<path d=\"M2\"/>\n",
            "<path d=\"M3\"/>\n",
        ];
        let text = "<text x=\"1\">\n&lt;svg\nmore\n</text>\n";
        let all = [
            svg(&path, ""),
            svg(&[path[0], text, path[2]], ""),
            svg(&[path[1], path[0], path[2]], text),
            svg(&[path[0], path[2]], ""),
            svg(&[], text),
            svg(&[path[0], path[1], text, path[2]], "<path d=\"M9\"/>\n"),
        ];
        for old in &all {
            for new in &all {
                let puts = difference(&parts(old), &parts(new)).unwrap();
                assert_eq!(&put_in(old, &puts), new);
                assert_eq!(puts.is_empty(), old == new);
            }
        }
        let [one, other] = ["<svg width=\"2mm\">", "<svg width=\"3mm\">"]
            .map(|root| all[0].replace("<svg>", root));
        let puts = difference(&parts(&one), &parts(&other)).unwrap();
        assert_eq!((put_in(&one, &puts), puts.len()), (other, 1));
        assert!(
            difference(
                &parts(&all[0]),
                &parts(&all[0].replace("<g id=\"b\"/>\n", ""))
            )
            .is_none()
        );
        assert!(difference(&parts(&all[0]), &parts("<svg>\n")).is_none());
    }
}
