//! The order of making up, told to its end: seams, and beside them darts, folds, interlinings, parts without a seam and
//! finishes. A draft's own `order` stands as it is said; whatever it leaves open follows from the seams themselves: what a seam
//! crosses, catches or encloses is done before it.

mod said;
mod touching;

use super::places::SAME;
use oaktag_language::pattern::{Pattern, Piece, Seam};
use said::buttons;
use std::collections::BTreeSet;
use touching::{
    area, crossing, finish_groups, hangs_in, joined_over_seams, passes, pieces_of, side_edges,
    taking, tips,
};

/// How the order was found, to be read above it.
const FOUND: &str = "How this order is found: what a seam crosses, catches or encloses comes before it: a \
    seam that ends at its line, a dart, a fold that reaches it, a part that hangs on nothing else, an interlining. Of \
    seams that nothing puts in order the one with less cloth comes first. An edge is finished when the seams that end at \
    it are sewn. What no seam takes is made first, while all lies flat.";
/// The same where the draft says an order of its own.
const SAID: &str = "The draft says in which order its seams are sewn.";

/// How the order was found; empty where there is none.
pub(super) fn found(pattern: &Pattern) -> String {
    match (pattern.seams.is_empty(), pattern.order.is_empty()) {
        (true, _) => String::new(),
        (false, true) => FOUND.to_owned(),
        (false, false) => format!("{SAID} {FOUND}"),
    }
}

/// What is done, in order, a sentence each; empty where nothing is sewn to anything.
pub(super) fn order(pattern: &Pattern) -> Vec<String> {
    if pattern.seams.is_empty() {
        return Vec::new();
    }
    let mut plan = Plan::of(pattern);
    plan.link();
    plan.ordered()
        .into_iter()
        .filter_map(|job| plan.jobs.get(job))
        .map(|job| job.said(pattern))
        .chain(buttons(pattern))
        .collect()
}

/// An edge by the places of its piece and of itself.
type Spot = (usize, usize);

/// Something to be done.
enum Job<'a> {
    Seam(&'a Seam),
    Darts(&'a Piece),
    /// Fold lines, by their places.
    Folds(&'a Piece, Vec<usize>),
    /// Edges that are finished, with the words of each.
    Finish(Vec<(&'a Piece, Vec<usize>)>),
    /// A part that only its finishes join to what a seam takes beside it.
    Part(&'a Piece),
    /// A piece that no seam takes.
    Lone(&'a Piece),
    Interlining(&'a Piece),
}

struct Plan<'a> {
    pattern: &'a Pattern,
    /// The seams first, each at its own place.
    jobs: Vec<Job<'a>>,
    /// For each job those that come before it.
    before: Vec<BTreeSet<usize>>,
    /// For each job those that had better come before it.
    rather: Vec<Vec<usize>>,
    /// In which order jobs are asked for.
    goals: Vec<usize>,
}

impl<'a> Plan<'a> {
    fn of(pattern: &'a Pattern) -> Self {
        Self {
            pattern,
            jobs: pattern.seams.iter().map(Job::Seam).collect(),
            before: vec![BTreeSet::new(); pattern.seams.len()],
            rather: vec![Vec::new(); pattern.seams.len()],
            goals: Vec::new(),
        }
    }

    fn add(&mut self, job: Job<'a>, after: BTreeSet<usize>, seams: &BTreeSet<usize>) -> usize {
        let at = self.jobs.len();
        self.jobs.push(job);
        self.before.push(after);
        self.rather.push(Vec::new());
        for seam in seams {
            self.needs(*seam, at);
        }
        at
    }

    fn needs(&mut self, job: usize, first: usize) {
        if let Some(before) = self.before.get_mut(job) {
            before.insert(first);
        }
    }

    fn link(&mut self) {
        let pattern = self.pattern;
        let stated: Vec<usize> = pattern
            .order
            .iter()
            .filter_map(|name| pattern.seams.iter().position(|seam| seam.name == *name))
            .collect();
        for pair in stated.windows(2) {
            if let [first, then] = pair {
                self.needs(*then, *first);
            }
        }
        self.cross(&stated);
        let (mut early, mut late) = (Vec::new(), Vec::new());
        let finishes = self.of_pieces(&mut early, &mut late);
        for group in finishes {
            let job = self.finish(group);
            late.extend(job);
        }
        self.make_up_first(&stated);
        let unstated = (0..pattern.seams.len()).filter(|at| !stated.contains(at));
        self.goals = early;
        self.goals.extend(&stated);
        self.goals.extend(unstated);
        self.goals.extend(late);
    }

    /// Which seams each crosses; between two of a stated order that order stands.
    fn cross(&mut self, stated: &[usize]) {
        let pattern = self.pattern;
        for (at, seam) in pattern.seams.iter().enumerate() {
            for ends in tips(seam, pattern) {
                for other in crossing(ends, at, pattern) {
                    let both = stated.contains(&at) && stated.contains(&other);
                    if !both && other != at {
                        self.needs(other, at);
                    }
                }
            }
        }
    }

    /// What is done to each piece by itself; its finishes are given back.
    fn of_pieces(&mut self, early: &mut Vec<usize>, late: &mut Vec<usize>) -> Vec<Vec<Spot>> {
        let pattern = self.pattern;
        let mut finishes = Vec::new();
        for (number, piece) in pattern.pieces.iter().enumerate() {
            let seams = taking(piece, pattern);
            if let Some((of, _)) = &piece.inside_of {
                let outer = pattern.pieces.iter().find(|one| one.label == *of);
                let seams = outer.map_or_else(BTreeSet::new, |outer| taking(outer, pattern));
                let job = self.add(Job::Interlining(piece), BTreeSet::new(), &seams);
                early.extend(seams.is_empty().then_some(job));
                continue;
            }
            if seams.is_empty() {
                early.push(self.add(Job::Lone(piece), BTreeSet::new(), &seams));
                continue;
            }
            if !piece.darts.is_empty() {
                self.add(Job::Darts(piece), BTreeSet::new(), &seams);
            }
            let hangs = hangs_in(piece, pattern);
            if !hangs.is_empty() {
                self.add(Job::Part(piece), BTreeSet::new(), &hangs);
                continue;
            }
            self.folds(piece, &seams, late);
            finishes.extend(finish_groups(number, piece));
        }
        joined_over_seams(finishes, pattern)
    }

    /// Folds that reach a seam are made before it, others once the piece is sewn.
    fn folds(&mut self, piece: &'a Piece, seams: &BTreeSet<usize>, late: &mut Vec<usize>) {
        let target = |fold: &usize| {
            let path = piece.fold_lines.get(*fold).map(|(_, path)| path);
            path.is_some_and(|path| {
                piece.laid_onto(path).is_none()
                    && piece.folded_onto.iter().any(|(_, onto)| onto == path)
            })
        };
        let own: Vec<usize> = (0..piece.fold_lines.len())
            .filter(|fold| !target(fold))
            .collect();
        if own.is_empty() {
            return;
        }
        // One fold encloses the next, so that all of a piece are made together.
        let all = seams.iter().copied();
        let reached: BTreeSet<usize> = all
            .filter(|seam| own.iter().any(|fold| self.reaches(piece, *fold, *seam)))
            .collect();
        let is_late = reached.is_empty();
        let after = if is_late {
            seams.clone()
        } else {
            BTreeSet::new()
        };
        let job = self.add(Job::Folds(piece, own), after, &reached);
        late.extend(is_late.then_some(job));
    }

    /// Whether an end of a fold line lies on an edge that a seam takes.
    fn reaches(&self, piece: &Piece, fold: usize, seam: usize) -> bool {
        let (Some((_, line)), Some(seam)) =
            (piece.fold_lines.get(fold), self.pattern.seams.get(seam))
        else {
            return false;
        };
        let ends = [line.start(), line.end()];
        ends.into_iter().filter_map(Result::ok).any(|end| {
            side_edges(seam)
                .filter(|edge| edge.piece == piece.name && !edge.mirrored)
                .any(|edge| edge.path.nearest(end).distance <= SAME)
        })
    }

    /// Edges that are finished: after the seams that end there, before one that passes over them.
    fn finish(&mut self, spots: Vec<Spot>) -> Option<usize> {
        let pattern = self.pattern;
        let mut pieces: Vec<(&Piece, Vec<usize>)> = Vec::new();
        for (piece, edge) in &spots {
            let piece = pattern.pieces.get(*piece)?;
            match pieces.iter_mut().find(|(one, _)| one.name == piece.name) {
                Some((_, edges)) => edges.push(*edge),
                None => pieces.push((piece, vec![*edge])),
            }
        }
        let passing: BTreeSet<usize> = (0..pattern.seams.len())
            .filter(|seam| passes(*seam, &spots, pattern))
            .collect();
        let is_end = |seam: &Seam| {
            let mut ends = tips(seam, pattern).into_iter().flatten().flatten();
            ends.any(|spot| spots.contains(&spot))
        };
        let all = pattern.seams.iter().enumerate();
        let after = all.filter(|(at, seam)| !passing.contains(at) && is_end(seam));
        let after = after.map(|(at, _)| at).collect();
        let is_late = passing.is_empty();
        let job = self.add(Job::Finish(pieces), after, &passing);
        is_late.then_some(job)
    }

    /// Small parts are made up before they are joined to others, where nothing else puts them in order.
    fn make_up_first(&mut self, stated: &[usize]) {
        let pattern = self.pattern;
        let count = pattern.seams.len();
        let behind: Vec<BTreeSet<usize>> = (0..count).map(|seam| self.behind(seam)).collect();
        let of = |seam: usize| pattern.seams.get(seam).map(pieces_of).unwrap_or_default();
        let cloth: Vec<f64> = (0..count).map(|seam| area(&of(seam), pattern)).collect();
        for seam in 0..count {
            let place = stated.iter().position(|one| *one == seam);
            let later = place.and_then(|place| stated.get(place..)).unwrap_or(&[]);
            let mut first: Vec<usize> = (0..count)
                .filter(|other| *other != seam && !stated.contains(other))
                .filter(|other| !of(seam).is_disjoint(&of(*other)))
                .filter(|other| {
                    let behind = behind.get(*other);
                    behind.is_some_and(|behind| {
                        !behind.contains(&seam) && !later.iter().any(|one| behind.contains(one))
                    })
                })
                .filter(|other| place.is_some() || cloth.get(*other) < cloth.get(seam))
                .collect();
            first.sort_by(|a, b| {
                let [a, b] = [a, b].map(|one| cloth.get(*one).copied().unwrap_or_default());
                a.total_cmp(&b)
            });
            if let Some(rather) = self.rather.get_mut(seam) {
                *rather = first;
            }
        }
    }

    /// All that has to come before a job.
    fn behind(&self, job: usize) -> BTreeSet<usize> {
        let mut found = BTreeSet::new();
        let mut left = vec![job];
        while let Some(next) = left.pop() {
            for one in self.before.get(next).into_iter().flatten() {
                if found.insert(*one) {
                    left.push(*one);
                }
            }
        }
        found
    }

    /// Every job once, what comes before it first. Where two seams cross each other, the one that is asked for first stands first.
    fn ordered(&self) -> Vec<usize> {
        let (mut seen, mut done) = (BTreeSet::new(), Vec::new());
        let rest = 0..self.jobs.len();
        for goal in self.goals.iter().copied().chain(rest) {
            self.visit(goal, &mut seen, &mut done);
        }
        done
    }

    fn visit(&self, job: usize, seen: &mut BTreeSet<usize>, done: &mut Vec<usize>) {
        if !seen.insert(job) {
            return;
        }
        let before = self.before.get(job).into_iter().flatten();
        let rather = self.rather.get(job).into_iter().flatten();
        for first in before.chain(rather) {
            self.visit(*first, seen, done);
        }
        done.push(job);
    }
}
