//! What is said of a body that differs left from right: in which measures, which pieces can no longer be cut on the fold or
//! as a pair and why, and what cannot be put together.

use super::pieces::Fate;
use oaktag_language::check::program::Program;
use oaktag_language::pattern::halves::Apart;
use oaktag_language::pattern::said;
use oaktag_language::pattern::shown::Contrary;
use oaktag_language::pattern::side::SHOWN_HALF;
use oaktag_language::pattern::spec::{MeasureUsed, Value};
use oaktag_language::pattern::{Piece, WearerSide};
use oaktag_language::report::{Code, Diagnostic, Span};
use oaktag_language::say;
use oaktag_language::voice::{self, LengthUnit, Words, figure};

/// Lengths that differ by less are not told apart in words: a tenth of a millimetre, as they are printed.
const TOLD: f64 = 0.05;
/// Most edges that are named.
const MOST: usize = 6;

/// `shoulder slope 26° left, 22° right`
pub(super) fn measure(left: &MeasureUsed, right: &MeasureUsed, unit: LengthUnit) -> String {
    let shown = |value: &Value| said::value(value, unit);
    format!(
        "{} {} left, {} right",
        voice::name(&left.name),
        shown(&left.value),
        shown(&right.value)
    )
}

/// What becomes of a piece, why, and which of its edges differ in length.
pub(super) fn piece(
    fate: Fate,
    left: &Piece,
    right: &Piece,
    why: &[String],
    unit: LengthUnit,
) -> String {
    let how = match fate {
        Fate::Same => return String::new(),
        Fate::Parted => format!(
            "no longer a pair: cut {} and {} apart",
            voice::name(&WearerSide::Left.of(&right.name)),
            voice::name(&WearerSide::Right.of(&right.name))
        ),
        Fate::Whole if right.cut.count > 1 => format!(
            "no longer on the fold: cut {} whole, every second one turned over",
            right.cut.count
        ),
        Fate::Whole => "no longer on the fold: cut 1 whole, right side up".to_owned(),
        Fate::OneSided(side) => format!("drawn for the wearer's {side} alone"),
    };
    let why = match why {
        [] => String::new(),
        why if why.len() > MOST => {
            let first: Vec<String> = why.iter().take(MOST).cloned().collect();
            format!(", for the {} and others", first.join(", "))
        }
        why => format!(", for the {}", voice::list(why)),
    };
    let pairs = left.edges.iter().zip(&right.edges);
    let differ = pairs.filter(|(a, b)| (a.length - b.length).abs() > TOLD);
    let mut edges: Vec<String> = differ
        .map(|(a, b)| {
            format!(
                "{} {} left and {} right",
                voice::name(&a.name),
                unit.length(a.length),
                unit.length(b.length)
            )
        })
        .collect();
    if edges.len() > MOST {
        let more = edges.len() - MOST;
        edges.truncate(MOST);
        edges.push(format!("{more} more edges differ"));
    }
    let edges = if edges.is_empty() {
        "it is equal in every length, and not in shape, notches or marks".to_owned()
    } else {
        edges.join(", ")
    };
    format!("{} is {how}{why}; {edges}.", right.label)
}

/// A message about a piece, at the draft's own sentence.
fn at_piece(
    program: &Program,
    name: &str,
    message: impl Into<Words>,
    of: fn(Code, Span, Words) -> Diagnostic,
    code: Code,
) -> Diagnostic {
    let found = program.pieces.iter().find(|piece| piece.name == name);
    let span = found.map_or(Span::default(), |piece| piece.taken.unwrap_or(piece.head));
    of(code, span, message.into())
}

fn error_at(program: &Program, name: &str, message: impl Into<Words>) -> Diagnostic {
    at_piece(program, name, message, Diagnostic::error, Code::SidesApart)
}

/// The halves name different pieces, edges or seams.
pub(crate) fn other_parts(program: &Program, what: &str, name: &str) -> Diagnostic {
    let message = format!(
        "{what} {} is not made of the same parts on the wearer's left and right, so that the halves cannot be put together.",
        voice::name(name)
    );
    error_at(program, name, message)
        .help("Keep what an `if` decides by a measure alike on both sides, by a choice of its own.")
}

/// Two halves do not meet on the fold.
pub(super) fn apart(
    program: &Program,
    piece: &Piece,
    apart: Apart,
    shown: WearerSide,
) -> Diagnostic {
    let fold = piece.cut.fold_edge.and_then(|index| piece.edges.get(index));
    let fold = fold.map_or("the fold".to_owned(), |edge| voice::name(&edge.name));
    let name = &piece.name;
    let message = match apart {
        Apart::Lengths(here, there) => {
            let (left, right) = match shown {
                WearerSide::Left => (here, there),
                WearerSide::Right => (there, here),
            };
            say!(
                "Piece {}: its halves do not meet on the fold. {} is {} on the wearer's left and {} on the right, {} apart.",
                voice::name(name),
                voice::capital(&fold),
                figure::spoken(left),
                figure::spoken(right),
                figure::difference(left - right)
            )
        }
        Apart::Lines => say!(
            "Piece {}: the lines beside its fold, {}, do not meet across it.",
            voice::name(name),
            fold
        ),
    };
    error_at(program, name, message).help(
        "What lies on the fold is one line for both halves: let it depend on measures that are the same left and right.",
    )
}

/// Two pieces are drawn from opposite sides of the cloth, and the draft does not say which.
pub(crate) fn contrary(program: &Program, pieces: &[Piece], found: &Contrary) -> Diagnostic {
    let name = |number: usize| pieces.get(number).map_or("", |piece| piece.name.as_str());
    let (a, b) = (name(found.pieces.0), name(found.pieces.1));
    let message = format!(
        "Pieces {} and {} are not drawn as their seams have it: right side up, {} follow each other the same way round both, so that one shows the wearer's left half and the other the right.",
        voice::name(a),
        voice::name(b),
        voice::list(&found.seams)
    );
    let told = error_at(program, b, message).help(format!(
        "Say in one of their panels which half it shows: `text {SHOWN_HALF} = \"left\"`"
    ));
    half_offered(told, program, b)
}

/// What is printed where buttons on one side do not meet the holes on the other: so far from them, or another count.
pub(super) fn buttons(miss: Option<f64>, unit: LengthUnit) -> String {
    match miss {
        Some(mm) => format!(
            "Buttons and buttonholes miss each other by up to {}: mark the buttons through the holes",
            unit.length(mm)
        ),
        None => "There are not as many buttons left as right".to_owned(),
    }
}

/// The same as a message.
pub(crate) fn buttons_told(program: &Program, piece: &Piece, words: &str) -> Diagnostic {
    let message = format!(
        "Piece {}, left and right. {words}.",
        voice::name(&piece.name)
    );
    let told = at_piece(
        program,
        &piece.name,
        message,
        Diagnostic::warning,
        Code::SidesApart,
    );
    told.help("Or space them by measures that are the same left and right.")
}

/// A seam across the middle that does not fit.
pub(super) fn across(program: &Program, (name, left, right): &(String, f64, f64)) -> Diagnostic {
    let seam = program.seams.iter().find(|seam| seam.name == *name);
    let span = seam.map_or(Span::default(), |seam| seam.taken.unwrap_or(seam.head));
    let message = say!(
        "Seam {}: {} on the wearer's left and {} on the right, {} apart.",
        voice::name(name),
        figure::spoken(*left),
        figure::spoken(*right),
        figure::difference(left - right)
    );
    Diagnostic::error(Code::SeamDiffers, span, message)
}

/// Pieces of which the draft does not say which half they show.
pub(crate) fn not_told(program: &Program, pieces: &[&Piece]) -> Option<Diagnostic> {
    let first = pieces.first()?;
    let labels: Vec<String> = pieces.iter().map(|piece| piece.label.clone()).collect();
    let one = |one, many| voice::agree(labels.len(), one, many);
    let (show, sheets) = (
        one("shows", "show"),
        one("its sheet is", "their sheets are"),
    );
    let message = format!(
        "The draft does not say which half of the wearer {} {show}; {sheets} taken for the right half, right side of the cloth up.",
        voice::list(&labels)
    );
    let told = at_piece(
        program,
        &first.name,
        message,
        Diagnostic::warning,
        Code::SideNotTold,
    );
    let told = told.help(format!(
        "Hold the piece against the body before you cut, and say it in its panel: `text {SHOWN_HALF} = \"left\"`"
    ));
    Some(half_offered(told, program, &first.name))
}

/// With the sentence for the panel of a piece, saying that it shows the left half, and, as it is taken, the right one.
fn half_offered(told: Diagnostic, program: &Program, piece: &str) -> Diagnostic {
    let code = program.pieces.iter().find(|code| code.name == piece);
    let offers = WearerSide::BOTH
        .into_iter()
        .filter_map(|side| code?.half_shown(side.word()));
    offers.fold(told, |told, offer| told.offer(offer.place, offer.text))
}
