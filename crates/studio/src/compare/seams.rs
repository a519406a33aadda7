//! Seams before and after: lengths of both sides, ease, and whether they fit.

use super::names::Names;
use super::{Change, PieceChange, Rename, SaidChange, SeamChange, Side};
use oaktag_language::pattern::{Pattern, Seam, Side as SeamSide, said};

/// What became of the seams.
pub(super) struct Seams {
    pub changes: Vec<SeamChange>,
    pub renames: Vec<Rename>,
    pub stayed: Vec<String>,
}

/// Which seam of the new side an old one is: by name, then by joining the same lines.
pub(super) fn pairs<'a>(
    names: &Names<'_>,
    old: Side<'a>,
    new: Side<'a>,
) -> Vec<(Option<&'a Seam>, Option<&'a Seam>)> {
    let mut left: Vec<&Seam> = old.outcome.pattern.seams.iter().collect();
    let mut pairs: Vec<(Option<&Seam>, Option<&Seam>)> = Vec::new();
    for seam in &new.outcome.pattern.seams {
        let at = left.iter().position(|other| other.name == seam.name);
        pairs.push((at.map(|at| left.remove(at)), Some(seam)));
    }
    for (before, after) in &mut pairs {
        let (None, Some(seam)) = (&before, &after) else {
            continue;
        };
        let same = |other: &&Seam| {
            joined(&other.first, |line| names.value(line)) == joined(&seam.first, str::to_owned)
                && joined(&other.second, |line| names.value(line))
                    == joined(&seam.second, str::to_owned)
        };
        *before = left.iter().position(same).map(|at| left.remove(at));
    }
    pairs.extend(left.into_iter().map(|seam| (Some(seam), None)));
    pairs
}

fn joined(side: &SeamSide, called: impl Fn(&str) -> String) -> Vec<String> {
    side.edges.iter().map(|edge| called(&edge.line)).collect()
}

/// What the old side's pieces and edges are called now.
struct Now<'a> {
    names: &'a Names<'a>,
    pieces: &'a [PieceChange],
}

impl Now<'_> {
    /// A piece and one of its edges.
    fn edge(&self, piece: &str, edge: &str) -> (String, String) {
        let was = |one: &&PieceChange| one.was_named.as_deref().unwrap_or(&one.name) == piece;
        let change = self.pieces.iter().find(was);
        let known = change.into_iter().flat_map(|change| &change.edges);
        let edge = known
            .clone()
            .find(|one| one.was_named.as_deref() == Some(edge))
            .map_or_else(|| edge.to_owned(), |one| one.name.clone());
        let piece = change.map_or(piece, |change| &change.name);
        (piece.to_owned(), edge)
    }

    /// The side, and how each of its edges was spoken of and is.
    fn side(&self, side: &SeamSide) -> (SeamSide, Vec<(String, String)>) {
        let mut side = side.clone();
        let mut spoken = Vec::new();
        for edge in &mut side.edges {
            let was = edge.spoken();
            (edge.piece, edge.edge) = self.edge(&edge.piece, &edge.edge);
            edge.line = self.names.value(&edge.line);
            spoken.push((was, edge.spoken()));
        }
        (side, spoken)
    }

    /// A seam of the old side with the names of the new one, so that a name alone is no difference.
    fn seam(&self, seam: &Seam) -> Seam {
        let mut seam = seam.clone();
        let (first, mut spoken) = self.side(&seam.first);
        let (second, of_second) = self.side(&seam.second);
        spoken.extend(of_second);
        (seam.first, seam.second) = (first, second);
        for ease in &mut seam.eases {
            for (was, is) in spoken.iter().filter(|(was, is)| was != is) {
                ease.edges = ease.edges.replace(was.as_str(), is);
            }
        }
        for end in &mut seam.ends {
            (end.pieces.0, end.edges.0) = self.edge(&end.pieces.0, &end.edges.0);
            (end.pieces.1, end.edges.1) = self.edge(&end.pieces.1, &end.edges.1);
        }
        seam
    }
}

pub(super) fn compare(
    names: &Names<'_>,
    old: Side<'_>,
    new: Side<'_>,
    pieces: &[PieceChange],
) -> Seams {
    let now = Now { names, pieces };
    let mut seams = Seams {
        changes: Vec::new(),
        renames: Vec::new(),
        stayed: Vec::new(),
    };
    for (before, after) in pairs(names, old, new) {
        let before = before.map(|seam| now.seam(seam));
        let change = change(
            before.as_ref().map(|seam| (seam, &old.outcome.pattern)),
            after.map(|seam| (seam, &new.outcome.pattern)),
        );
        if let Some(was) = &change.was_named {
            seams.renames.push(Rename {
                kind: "seam",
                old: was.clone(),
                new: change.name.clone(),
            });
        }
        let changed = |one: &Option<Change>| one.is_some_and(|one| one.is_change());
        let is_same = !change.added
            && !change.gone
            && change.was_ok == change.is_ok
            && !changed(&change.first_mm)
            && !changed(&change.second_mm)
            && change.tolerance_mm.is_none()
            && change.sewn.is_none()
            && change.said.is_none();
        if is_same {
            seams.stayed.push(change.name);
        } else {
            seams.changes.push(change);
        }
    }
    seams
}

fn change(old: Option<(&Seam, &Pattern)>, new: Option<(&Seam, &Pattern)>) -> SeamChange {
    let said = old.zip(new).and_then(|(was, is)| said_apart(was, is));
    let (old, new) = (old.map(|(seam, _)| seam), new.map(|(seam, _)| seam));
    let name = |seam: Option<&Seam>| seam.map(|seam| seam.name.clone());
    let both = |figure: fn(&Seam) -> f64| Some(Change::mm(figure(old?), figure(new?)));
    let is_ok = |seam: Option<&Seam>| seam.is_none_or(|seam| seam.ok);
    SeamChange {
        name: name(new).or(name(old)).unwrap_or_default(),
        was_named: name(old).filter(|was| name(new).is_some_and(|is| is != *was)),
        added: old.is_none(),
        gone: new.is_none(),
        first_mm: both(|seam| seam.first.length),
        second_mm: both(|seam| seam.second.length),
        ease_mm: both(Seam::ease),
        tolerance_mm: both(|seam| seam.tolerance).filter(|change| change.by != 0.0),
        sewn: old.zip(new).and_then(|(old, new)| {
            let (was, is) = (sewn(old), sewn(new));
            (was != is).then_some((was, is))
        }),
        said,
        was_ok: is_ok(old),
        is_ok: is_ok(new),
    }
}

/// What is said of its sections, its ease, darts and openings before and after; none where it is the same.
fn said_apart(was: (&Seam, &Pattern), is: (&Seam, &Pattern)) -> Option<SaidChange> {
    let all = |(seam, pattern): (&Seam, &Pattern)| {
        let mut all = vec![seam.decided.said().to_owned()];
        all.extend(said::of_seam(seam, pattern));
        all
    };
    let (was, is) = (all(was), all(is));
    let without = |these: &[String], those: &[String]| -> Vec<String> {
        let these = these.iter().filter(|one| !those.contains(one));
        these.cloned().collect()
    };
    let change = SaidChange {
        was: without(&was, &is),
        is: without(&is, &was),
    };
    (!change.was.is_empty() || !change.is.is_empty()).then_some(change)
}

/// How a seam is sewn, as one says it.
fn sewn(seam: &Seam) -> Option<String> {
    seam.sewn.map(|sewn| sewn.kind.said().to_owned())
}
