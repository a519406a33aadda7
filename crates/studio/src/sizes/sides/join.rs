//! Puts the two drawings together: pieces, seams, checks, figures and words.

use super::pieces::{self, Fate, join_words};
use super::seams::{self, Joined};
use super::{Halves, agree, words};
use oaktag_language::check::program::Program;
use oaktag_language::pattern::shown::{self, Shown};
use oaktag_language::pattern::spec::{Check, MarkSpec, MeasureUsed, NamedValue, Value};
use oaktag_language::pattern::{Pattern, Piece, WearerSide};
use oaktag_language::report::Diagnostic;
use oaktag_language::voice;

/// How far buttons and holes may miss each other, in millimetres: as a plain seam (common practice).
const BUTTONS: f64 = 0.5;

/// The joined pattern, and what is to be told of it. Where it cannot be put together it is the right half's.
pub(super) fn join(halves: &Halves) -> (Pattern, Vec<Diagnostic>) {
    let (left, right) = (&halves.left.pattern, &halves.right.pattern);
    let program: &Program = &halves.right.program;
    if let Some(told) = other_parts(program, left, right) {
        return (right.clone(), vec![told]);
    }
    let (shown, contrary) = shown::halves(right);
    let pairs = || left.pieces.iter().zip(&right.pieces).zip(&shown);
    let fates: Vec<Fate> = pairs()
        .map(|((left, right), shown)| pieces::fate(left, right, *shown))
        .collect();
    let (made, mut told) = made(program, left, right, &shown, &fates);
    if fates.iter().any(|fate| *fate != Fate::Same)
        && let Some(found) = contrary
    {
        told.push(words::contrary(program, &right.pieces, &found));
    }
    let Some(mut joined_pieces) = made else {
        return (right.clone(), told);
    };
    let seams = seams::join(left, right, &shown, &joined_pieces);
    name_seams(&mut joined_pieces, &seams);
    told.extend(seams.across.iter().map(|seam| words::across(program, seam)));
    told.extend(not_told(program, right, &shown, &fates));
    let mut pattern = Pattern {
        measures: measures(&left.measures, &right.measures),
        values: values(&left.values, &right.values),
        checks: checks(&left.checks, &right.checks),
        cautions: join_words(&left.cautions, &right.cautions),
        sides: sentences(halves, &fates),
        pieces: joined_pieces,
        ..right.clone()
    };
    pattern.order = right
        .order
        .iter()
        .flat_map(|name| names(&seams, name))
        .collect();
    pattern.unwalked = pattern
        .pieces
        .iter()
        .flat_map(|piece| {
            let edges = piece.edges.iter().filter(|edge| !edge.is_walked());
            edges.map(|edge| (piece.name.clone(), edge.name.clone()))
        })
        .collect();
    pattern.seams = seams.seams;
    let of = pattern.pieces.len();
    for (number, piece) in pattern.pieces.iter_mut().enumerate() {
        piece.number = (number + 1, of);
    }
    (pattern, told)
}

/// What the two halves do not both have.
fn other_parts(program: &Program, left: &Pattern, right: &Pattern) -> Option<Diagnostic> {
    let missing = |a: &Pattern, b: &Pattern| {
        let of = |piece: &&Piece| b.piece(&piece.name).is_none();
        a.pieces.iter().find(of).map(|piece| piece.name.clone())
    };
    if let Some(name) = missing(left, right).or_else(|| missing(right, left)) {
        return Some(words::other_parts(program, "Piece", &name));
    }
    let mut pairs = left.pieces.iter().zip(&right.pieces);
    let other = pairs.find(|(a, b)| a.name != b.name || !agree::is_same_kind(a, b));
    if let Some((piece, _)) = other {
        return Some(words::other_parts(program, "Piece", &piece.name));
    }
    let names = |of: &Pattern| -> Vec<String> { of.seams.iter().map(|s| s.name.clone()).collect() };
    let (ours, theirs) = (names(right), names(left));
    if ours == theirs {
        return None;
    }
    let lacking = ours.iter().find(|name| !theirs.contains(name));
    let lacking = lacking.or_else(|| theirs.iter().find(|name| !ours.contains(name)));
    let name = lacking.cloned().unwrap_or_default();
    Some(words::other_parts(program, "Seam", &name))
}

/// Every piece as it will be cut; none where one cannot be put together.
fn made(
    program: &Program,
    left: &Pattern,
    right: &Pattern,
    shown: &[Shown],
    fates: &[Fate],
) -> (Option<Vec<Piece>>, Vec<Diagnostic>) {
    let (mut made, mut told) = (Vec::new(), Vec::new());
    let mut is_whole = true;
    let pairs = left.pieces.iter().zip(&right.pieces);
    for (((left, piece), shown), fate) in pairs.zip(shown).zip(fates) {
        match fate {
            Fate::Same => made.push(pieces::same(left, piece)),
            Fate::OneSided(side) => made.push(pieces::one_sided(left, piece, *side)),
            Fate::Parted => {
                let mut parted = pieces::parted(left, piece);
                if let Some(miss) = buttons_apart(left, piece) {
                    let words = words::buttons(miss, right.unit);
                    told.push(words::buttons_told(program, piece, &words));
                    for piece in &mut parted {
                        piece.cautions.push(words.clone());
                    }
                }
                made.extend(parted);
            }
            Fate::Whole => match pieces::whole(left, piece, shown.half) {
                Ok(whole) => made.push(whole),
                Err(apart) => {
                    is_whole = false;
                    told.push(words::apart(program, piece, apart, shown.half));
                }
            },
        }
    }
    (is_whole.then_some(made), told)
}

/// How far buttons of one side stand above or below those of the other, where that is too far; none inside where there are
/// not as many.
fn buttons_apart(left: &Piece, right: &Piece) -> Option<Option<f64>> {
    let places = |piece: &Piece| -> Vec<kurbo::Point> {
        let place = |mark: &MarkSpec| match (&mark.shape, mark.button) {
            (Value::Point(p), Some(_)) => Some(*p),
            _ => None,
        };
        piece.marks.iter().filter_map(place).collect()
    };
    let (ours, theirs) = (places(left), places(right));
    if ours.len() != theirs.len() {
        return Some(None);
    }
    let along = right.grain.as_ref().and_then(|grain| {
        let along = grain.end().ok()? - grain.start().ok()?;
        (along.hypot() > 0.0).then(|| along / along.hypot())
    });
    let along = along.unwrap_or(kurbo::Vec2::new(0.0, 1.0));
    let misses = ours.iter().zip(&theirs);
    let miss = misses
        .map(|(a, b)| (*b - *a).dot(along).abs())
        .fold(0.0, f64::max);
    (miss > BUTTONS).then_some(Some(miss))
}

/// Edges and notches by the names of the seams on their side.
fn name_seams(made: &mut [Piece], seams: &Joined) {
    for piece in made {
        let sides: Vec<Option<WearerSide>> = piece
            .edges
            .iter()
            .map(|edge| WearerSide::split(&edge.line).map(|(_, side)| side))
            .collect();
        for (edge, side) in piece.edges.iter_mut().zip(&sides) {
            let all = edge.seams.iter();
            edge.seams = match side {
                Some(side) => all.map(|name| seams.name(name, *side)).collect(),
                None => all.flat_map(|name| names(seams, name)).collect(),
            };
        }
        for notch in &mut piece.notches {
            let side = sides.get(notch.edge).copied().flatten();
            if let Some(side) = side {
                let also = notch.also.iter();
                notch.also = also.map(|name| seams.name(name, side)).collect();
            }
            if let (Some(side), Some(seam)) = (side, &notch.seam) {
                notch.seam = Some(seams.name(seam, side));
            }
        }
    }
}

/// The one or two names of a seam.
fn names(seams: &Joined, name: &str) -> Vec<String> {
    if seams.is_parted(name) {
        WearerSide::BOTH.map(|side| side.of(name)).to_vec()
    } else {
        vec![name.to_owned()]
    }
}

/// Items that both halves have alike once, others one for each side, in the order of the right half.
fn each<T: Clone>(
    left: &[T],
    right: &[T],
    name: impl Fn(&T) -> &str,
    same: impl Fn(&T, &T) -> bool,
    of_side: impl Fn(&T, WearerSide) -> T,
) -> Vec<T> {
    let mut found = Vec::with_capacity(right.len());
    for (number, ours) in right.iter().enumerate() {
        // Nearly always at the same place.
        let here = left.get(number).filter(|one| name(one) == name(ours));
        match here.or_else(|| left.iter().find(|one| name(one) == name(ours))) {
            Some(theirs) if same(theirs, ours) => found.push(ours.clone()),
            Some(theirs) => {
                found.push(of_side(theirs, WearerSide::Left));
                found.push(of_side(ours, WearerSide::Right));
            }
            None => found.push(of_side(ours, WearerSide::Right)),
        }
    }
    let known: std::collections::BTreeSet<&str> = right.iter().map(&name).collect();
    let alone = left.iter().filter(|one| !known.contains(name(one)));
    found.extend(alone.map(|one| of_side(one, WearerSide::Left)));
    found
}

fn measures(left: &[MeasureUsed], right: &[MeasureUsed]) -> Vec<MeasureUsed> {
    let of_side = |one: &MeasureUsed, side: WearerSide| MeasureUsed {
        name: side.of(&one.name),
        ..one.clone()
    };
    let same = |a: &MeasureUsed, b: &MeasureUsed| a.value == b.value;
    each(left, right, |one| &one.name, same, of_side)
}

fn values(left: &[NamedValue], right: &[NamedValue]) -> Vec<NamedValue> {
    let of_side = |one: &NamedValue, side: WearerSide| NamedValue {
        name: side.of(&one.name),
        ..one.clone()
    };
    let same = |a: &NamedValue, b: &NamedValue| a.value == b.value;
    each(left, right, |one| &one.name, same, of_side)
}

fn checks(left: &[Check], right: &[Check]) -> Vec<Check> {
    let of_side = |one: &Check, side: WearerSide| Check {
        text: format!("{}, {side}", one.text),
        ..one.clone()
    };
    let same = |a: &Check, b: &Check| {
        (&a.measured, &a.wanted, a.ok, &a.redrawn) == (&b.measured, &b.wanted, b.ok, &b.redrawn)
    };
    each(left, right, |one| &one.text, same, of_side)
}

/// Pieces that differ and of which the draft does not say which half they show.
fn not_told(
    program: &Program,
    right: &Pattern,
    shown: &[Shown],
    fates: &[Fate],
) -> Option<Diagnostic> {
    let all = right.pieces.iter().zip(shown).zip(fates);
    let pieces: Vec<&Piece> = all
        .filter(|((piece, shown), fate)| match fate {
            Fate::Same => false,
            // Cut once, it is the draft's own word that counts.
            Fate::OneSided(_) => !shown.is_told,
            Fate::Parted | Fate::Whole => !shown.is_told && !shown::is_layered(piece),
        })
        .map(|((piece, _), _)| piece)
        .collect();
    words::not_told(program, &pieces)
}

/// In which measures the sides differ, and what becomes of each piece.
fn sentences(halves: &Halves, fates: &[Fate]) -> Vec<String> {
    let (left, right) = (&halves.left.pattern, &halves.right.pattern);
    if fates.iter().all(|fate| *fate == Fate::Same) && left.measures == right.measures {
        return Vec::new();
    }
    let unit = right.unit;
    let differ: Vec<(&MeasureUsed, &MeasureUsed)> = left
        .measures
        .iter()
        .zip(&right.measures)
        .filter(|(a, b)| a.name == b.name && a.value != b.value)
        .collect();
    let measures: Vec<String> = differ
        .iter()
        .map(|(a, b)| words::measure(a, b, unit))
        .collect();
    let mut said = vec![format!("Left and right differ: {}.", measures.join("; "))];
    let pairs = left.pieces.iter().zip(&right.pieces).zip(fates);
    for (number, ((left, piece), fate)) in pairs.enumerate() {
        let why: Vec<String> = if halves.alone.is_empty() {
            let given = differ.iter().filter(|(a, _)| !a.worked_out);
            given.map(|(a, _)| voice::name(&a.name)).collect()
        } else {
            let moves = halves.alone.iter().filter(|(_, alone)| {
                let moved = alone.pattern.pieces.get(number);
                moved.is_none_or(|moved| !agree::pieces(moved, piece))
            });
            moves.map(|(name, _)| voice::name(name)).collect()
        };
        let words = words::piece(*fate, left, piece, &why, unit);
        said.extend((!words.is_empty()).then_some(words));
    }
    said
}
