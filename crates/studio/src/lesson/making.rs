//! The order of making up, told to its end: seams, and beside them darts, folds, interlinings, parts without a seam and
//! finishes. A draft's own `order` stands as it is said; whatever it leaves open follows from the seams themselves: what a seam
//! crosses, catches or encloses is done before it.

use super::places::SAME;
use super::seams;
use oaktag_language::pattern::{After, Pattern, Piece, Seam, Side, SideEdge};
use oaktag_language::voice;
use std::collections::BTreeSet;

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

impl Job<'_> {
    fn said(&self, pattern: &Pattern) -> String {
        match self {
            Job::Seam(seam) => {
                let how = pattern.how(seam).join(", ");
                let how = if how.is_empty() {
                    how
                } else {
                    format!(": {how}")
                };
                let name = voice::letters(&seam.name);
                let mut said = vec![format!("Sew the {name}{how}.")];
                said.extend(seams::done(seam, pattern));
                said.join(" ")
            }
            Job::Darts(piece) => {
                let piece_name = seams::called(&piece.name, pattern);
                match piece.darts.len() {
                    1 => format!("Sew the dart of {piece_name}."),
                    count => format!("Sew the {count} darts of {piece_name}."),
                }
            }
            Job::Folds(piece, folds) => {
                format!("Fold {}.", folded(piece, folds, pattern))
            }
            Job::Finish(pieces) => format!("Finish {}.", finished(pieces, pattern)),
            Job::Part(piece) => {
                let name = seams::called(&piece.name, pattern);
                format!("Make up {name} and set it in: {}.", by_itself(piece))
            }
            Job::Lone(piece) => {
                let name = seams::called(&piece.name, pattern);
                let own = by_itself(piece);
                let own = if own.is_empty() {
                    own
                } else {
                    format!(": {own}")
                };
                format!("Make up {name}{own}.{}", set_on(piece, pattern))
            }
            Job::Interlining(piece) => {
                let name = seams::called(&piece.name, pattern);
                let (of, inside) = piece.inside_of.clone().unwrap_or_default();
                let inside = if inside < 0.01 {
                    String::new()
                } else {
                    format!(", {} inside its sewing line", pattern.unit.length(inside))
                };
                format!("Lay {name} on {of}{inside}.")
            }
        }
    }
}

/// All that is done to a piece that has no seam of its own.
fn by_itself(piece: &Piece) -> String {
    let finished: Vec<usize> = (0..piece.edges.len())
        .filter(|at| is_finished(piece, *at))
        .collect();
    let folds: Vec<usize> = (0..piece.fold_lines.len()).collect();
    let mut said = Vec::new();
    if !folds.is_empty() {
        said.push(format!("fold it {}", along(piece, &folds)));
    }
    if !finished.is_empty() {
        said.push(told(&finishes(piece, &finished)));
    }
    said.join("; ")
}

fn folded(piece: &Piece, folds: &[usize], pattern: &Pattern) -> String {
    let name = seams::called(&piece.name, pattern);
    format!("{name} {}", along(piece, folds))
}

fn along(piece: &Piece, folds: &[usize]) -> String {
    let lines = folds.iter().filter_map(|fold| piece.fold_lines.get(*fold));
    let said = lines.map(|(name, path)| {
        let line = voice::the_thing(name, "line");
        match piece.laid_onto(path) {
            Some(onto) => format!("{line} (laid onto {})", voice::the_thing(onto, "line")),
            None => line,
        }
    });
    format!("along {}", voice::list(&said.collect::<Vec<_>>()))
}

fn finished(pieces: &[(&Piece, Vec<usize>)], pattern: &Pattern) -> String {
    let mut groups: Vec<(&str, Vec<String>)> = Vec::new();
    for (piece, edges) in pieces {
        let of = seams::called(&piece.name, pattern);
        for (words, names) in finishes(piece, edges) {
            let name = format!("{} of {of}", voice::list(&names));
            match groups.iter_mut().find(|(known, _)| *known == words) {
                Some((_, names)) => names.push(name),
                None => groups.push((words, vec![name])),
            }
        }
    }
    told(&groups)
}

/// Edges of a piece by the words of their finishes.
fn finishes<'p>(piece: &'p Piece, edges: &[usize]) -> Vec<(&'p str, Vec<String>)> {
    let mut groups: Vec<(&str, Vec<String>)> = Vec::new();
    for edge in edges.iter().filter_map(|at| piece.edges.get(*at)) {
        let words = edge.finish.as_deref().unwrap_or_default();
        let name = voice::the_thing(&edge.name, "edge");
        match groups.iter_mut().find(|(known, _)| *known == words) {
            Some((_, names)) => names.push(name),
            None => groups.push((words, vec![name])),
        }
    }
    groups
}

fn told(groups: &[(&str, Vec<String>)]) -> String {
    let said = groups.iter().map(|(words, names)| {
        let names = voice::list(names);
        if words.is_empty() {
            format!("{names}, each by itself")
        } else {
            format!("{names}: {words}")
        }
    });
    said.collect::<Vec<_>>().join("; ")
}

/// Where another piece is marked for one that no seam takes, in the author's words.
fn set_on(piece: &Piece, pattern: &Pattern) -> String {
    let name = voice::letters(&piece.name);
    let says = |text: &str| format!(" {text} ").contains(&format!(" {name} "));
    for other in pattern
        .pieces
        .iter()
        .filter(|other| other.name != piece.name)
    {
        let mut marks = other.marks.iter();
        if let Some(mark) = marks.find(|mark| says(&mark.text)) {
            return format!(
                " {} is marked “{}” for it: sew it on there while that lies flat.",
                seams::called(&other.name, pattern),
                mark.text
            );
        }
    }
    String::new()
}

/// What is worked and sewn on last.
fn buttons(pattern: &Pattern) -> Option<String> {
    let has = |piece: &&Piece| {
        let mut marks = piece.marks.iter();
        marks.any(|mark| mark.sewn_button().is_some() || piece.buttonhole(mark).is_some())
    };
    let named = pattern.pieces.iter().filter(has);
    let named: Vec<String> = named
        .map(|piece| seams::called(&piece.name, pattern))
        .collect();
    (!named.is_empty()).then(|| {
        format!(
            "Last, work the buttonholes and sew the buttons on, as marked on {}.",
            voice::list(&named)
        )
    })
}

fn side_edges(seam: &Seam) -> impl Iterator<Item = &SideEdge> {
    seam.first.edges.iter().chain(&seam.second.edges)
}

fn spot(edge: &SideEdge, pattern: &Pattern) -> Option<Spot> {
    let piece = pattern
        .pieces
        .iter()
        .position(|piece| piece.name == edge.piece)?;
    let mut edges = pattern.pieces.get(piece)?.edges.iter();
    let at = edges.position(|one| one.name == edge.edge && one.line == edge.line && !one.mirrored);
    Some((piece, at?))
}

fn spots(side: &Side, pattern: &Pattern) -> BTreeSet<Spot> {
    let edges = side.edges.iter();
    edges.filter_map(|edge| spot(edge, pattern)).collect()
}

fn pieces_of(seam: &Seam) -> BTreeSet<&str> {
    side_edges(seam).map(|edge| edge.piece.as_str()).collect()
}

fn area(pieces: &BTreeSet<&str>, pattern: &Pattern) -> f64 {
    let found = pieces.iter().filter_map(|name| pattern.piece(name)?.area());
    found.sum()
}

/// The seams that take an edge of a piece.
fn taking(piece: &Piece, pattern: &Pattern) -> BTreeSet<usize> {
    let seams = pattern.seams.iter().enumerate();
    let takes = |seam: &Seam| side_edges(seam).any(|edge| edge.piece == piece.name);
    seams
        .filter(|(_, seam)| takes(seam))
        .map(|(at, _)| at)
        .collect()
}

/// The edges beside a seam at its ends: of each end, that beside the first side and that beside the second. Where it is not known
/// which ends meet, every pair.
fn tips(seam: &Seam, pattern: &Pattern) -> Vec<[Option<Spot>; 2]> {
    use oaktag_language::pattern::Decided;
    let [first, second] = [&seam.first, &seam.second].map(|side| {
        [true, false].map(|start| {
            let edge = if start {
                side.edges.first()
            } else {
                side.edges.last()
            };
            beside(edge?, start, pattern)
        })
    });
    let ([a, b], [c, d]) = (first, second);
    match seam.decided {
        Decided::Whole | Decided::Unsure => vec![[a, c], [a, d], [b, c], [b, d]],
        _ => vec![[a, c], [b, d]],
    }
}

/// The edge of the piece that meets an edge where it begins or ends; none in the middle of an edge, and none on a fold.
fn beside(edge: &SideEdge, start: bool, pattern: &Pattern) -> Option<Spot> {
    let (number, at) = spot(edge, pattern)?;
    let piece = pattern.pieces.get(number)?;
    let count = piece.edges.len();
    let along = if start { edge.along.0 } else { edge.along.1 };
    let next = if along <= SAME {
        (at + count - 1) % count
    } else if along >= piece.edges.get(at)?.length - SAME {
        (at + 1) % count
    } else {
        return None;
    };
    (!piece.edges.get(next)?.on_fold).then_some((number, next))
}

/// The seams that cross one at its end: one side takes both edges beside it, or two seams take one each and lie on one piece.
fn crossing(ends: [Option<Spot>; 2], own: usize, pattern: &Pattern) -> Vec<usize> {
    let [Some(one), Some(other)] = ends else {
        return Vec::new();
    };
    let sides = |seam: &Seam| [&seam.first, &seam.second].map(|side| spots(side, pattern));
    let all: Vec<(usize, [BTreeSet<Spot>; 2])> = pattern
        .seams
        .iter()
        .enumerate()
        .filter(|(at, _)| *at != own)
        .map(|(at, seam)| (at, sides(seam)))
        .collect();
    let mut found: Vec<usize> = all
        .iter()
        .filter(|(_, sides)| {
            let mut sides = sides.iter();
            sides.any(|side| side.contains(&one) && side.contains(&other))
        })
        .map(|(at, _)| *at)
        .collect();
    // The pieces on the other side of the seam that takes an edge.
    let across = |spot: Spot| {
        let taken = all.iter().flat_map(move |(at, [first, second])| {
            let mut found = Vec::new();
            if first.contains(&spot) {
                found.push((*at, second));
            }
            if second.contains(&spot) {
                found.push((*at, first));
            }
            found
        });
        taken.collect::<Vec<_>>()
    };
    for (a, beyond) in across(one) {
        for (b, other_beyond) in across(other) {
            let piece = |spot: &Spot| spot.0;
            let shared = beyond.iter().map(piece).any(|piece| {
                piece != one.0
                    && piece != other.0
                    && other_beyond.iter().any(|spot| spot.0 == piece)
            });
            if a != b && shared {
                found.extend([a, b]);
            }
        }
    }
    found
}

/// The seams in which a piece hangs between others that no seam joins to it, where it is in no other seam.
fn hangs_in(piece: &Piece, pattern: &Pattern) -> BTreeSet<usize> {
    let hangs = |side: &Side| {
        let own = |edge: &SideEdge| edge.piece == piece.name;
        let pairs = side.edges.iter().zip(side.edges.iter().skip(1));
        let mut apart = pairs.filter(|(_, edge)| edge.after == After::Apart);
        apart.any(|(before, edge)| own(before) || own(edge))
    };
    let seams = taking(piece, pattern);
    let all = seams.iter().all(|at| {
        let seam = pattern.seams.get(*at);
        seam.is_some_and(|seam| hangs(&seam.first) || hangs(&seam.second))
    });
    let others = |edge: &oaktag_language::pattern::Edge| {
        edge.on_fold || edge.mouth.is_some() || edge.finish.is_some() || !edge.seams.is_empty()
    };
    if all && seams.len() == 1 && piece.edges.iter().all(others) && has_finish(piece) {
        seams
    } else {
        BTreeSet::new()
    }
}

fn has_finish(piece: &Piece) -> bool {
    (0..piece.edges.len()).any(|at| is_finished(piece, at))
}

fn is_finished(piece: &Piece, at: usize) -> bool {
    let edge = piece.edges.get(at);
    edge.is_some_and(|edge| edge.finish.is_some() && edge.seams.is_empty() && !edge.mirrored)
}

/// The finished edges of a piece, those together that follow each other and are finished alike.
fn finish_groups(number: usize, piece: &Piece) -> Vec<Vec<Spot>> {
    let count = piece.edges.len();
    let mut groups: Vec<Vec<Spot>> = Vec::new();
    for at in (0..count).filter(|at| is_finished(piece, *at)) {
        let follows = |group: &&mut Vec<Spot>| {
            let last = at.wrapping_sub(1);
            group.last() == Some(&(number, last)) && alike(piece, last, at)
        };
        match groups.last_mut().filter(follows) {
            Some(group) => group.push((number, at)),
            None => groups.push(vec![(number, at)]),
        }
    }
    // The last follows on into the first.
    let wraps = groups.len() > 1
        && groups.first().and_then(|group| group.first()) == Some(&(number, 0))
        && groups.last().and_then(|group| group.last()) == Some(&(number, count - 1))
        && alike(piece, count - 1, 0);
    if wraps
        && let Some(mut last) = groups.pop()
        && let Some(first) = groups.first_mut()
    {
        last.append(first);
        *first = last;
    }
    groups
}

fn alike(piece: &Piece, one: usize, other: usize) -> bool {
    let words = |at: usize| piece.edges.get(at)?.finish.as_deref();
    words(one) == words(other)
}

/// Finishes that run on into each other over a seam are one.
fn joined_over_seams(groups: Vec<Vec<Spot>>, pattern: &Pattern) -> Vec<Vec<Spot>> {
    let mut joined: Vec<Vec<Spot>> = groups;
    let spot = |piece: &str, edge: &str| {
        let number = pattern.pieces.iter().position(|one| one.name == piece)?;
        let mut edges = pattern.pieces.get(number)?.edges.iter();
        Some((number, edges.position(|one| one.name == edge)?))
    };
    for end in pattern.seams.iter().flat_map(|seam| &seam.ends) {
        if end.corner.is_some() {
            continue;
        }
        let (Some(one), Some(other)) = (
            spot(&end.pieces.0, &end.edges.0),
            spot(&end.pieces.1, &end.edges.1),
        ) else {
            continue;
        };
        let place = |spot: &Spot| joined.iter().position(|group| group.contains(spot));
        let (Some(a), Some(b)) = (place(&one), place(&other)) else {
            continue;
        };
        if a == b {
            continue;
        }
        let moved = joined.remove(a.max(b));
        if let Some(group) = joined.get_mut(a.min(b)) {
            group.extend(moved);
        }
    }
    joined
}

/// Whether one side of a seam takes both neighbours of a finished edge.
fn passes(seam: usize, finished: &[Spot], pattern: &Pattern) -> bool {
    let Some(seam) = pattern.seams.get(seam) else {
        return false;
    };
    let sides = [&seam.first, &seam.second].map(|side| spots(side, pattern));
    finished.iter().any(|(piece, at)| {
        let count = pattern.pieces.get(*piece).map_or(1, |one| one.edges.len());
        let beside = [
            (*piece, (at + count - 1) % count),
            (*piece, (at + 1) % count),
        ];
        let [one, other] = beside;
        one != other
            && sides
                .iter()
                .any(|side| side.contains(&one) && side.contains(&other))
    })
}
