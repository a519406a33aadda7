//! The draft that sews a plan's pieces together again. Every piece lies somewhere else, turned and perhaps mirrored, its
//! lines drawn either way.

use crate::build::{Kind, Mark, Piece};
use crate::chance::Chance;
use crate::plan::{Act, Cut, Ease, From, How, Item, Plan, Said, Words};
use crate::sheet::{Sheet, figure};
use crate::table::SideEdge;
use kurbo::{ParamCurve, PathSeg, Point};
use std::fmt::Write;
use std::ops::Range;

/// A draft, and where in it each piece and seam is said.
pub struct Draft {
    pub text: String,
    pub pieces: Vec<Range<usize>>,
    pub seams: Vec<Range<usize>>,
    /// What each edge of each piece is called.
    pub names: Vec<Vec<String>>,
    /// Where the two ends of each side lie on their panels, low end first.
    pub ends: Vec<[[(String, Point); 2]; 2]>,
}

pub fn piece_name(face: usize) -> String {
    ["ash", "birch", "cedar", "elm", "fir", "hazel"][face].to_owned()
}

/// What stands before the names of a face's lines, on a panel that it shares.
fn prefix(plan: &Plan, face: usize) -> String {
    let on = plan.lays[face].on;
    let shared = plan.lays.iter().filter(|lay| lay.on == on).count() > 1;
    if shared {
        format!("{}_", piece_name(face))
    } else {
        String::new()
    }
}

fn line_name(plan: &Plan, face: usize, edge: usize) -> String {
    format!("{}e{}", prefix(plan, face), edge + 1)
}

/// What the edges of a piece are called in its outline: now and then otherwise than their line.
fn edge_names(plan: &Plan, face: usize, count: usize) -> Vec<String> {
    let mut chance = Chance::new(!plan.lays[face].drawn);
    (0..count)
        .map(|n| match chance.below(14) {
            0 => format!("part_{}", n + 1),
            _ => line_name(plan, face, n),
        })
        .collect()
}

/// Writes the draft.
pub fn write(plan: &Plan, pieces: &[Piece], sides: &[[Vec<SideEdge>; 2]]) -> Draft {
    let mut sheets: Vec<Sheet> = plan
        .lays
        .iter()
        .enumerate()
        .map(|(face, lay)| Sheet::new(plan, lay, face))
        .collect();
    let names: Vec<Vec<String>> = (0..pieces.len())
        .map(|face| edge_names(plan, face, pieces[face].edges.len()))
        .collect();
    let blocks: Vec<String> = (0..pieces.len())
        .map(|face| {
            let sheet = &mut sheets[plan.lays[face].on];
            piece(plan, &pieces[face], face, &names[face], sheet)
        })
        .collect();
    let mut writer = Writer {
        plan,
        pieces,
        sides,
        names: &names,
        sheets,
    };
    let seams: Vec<String> = (0..plan.seams.len())
        .map(|seam| writer.seam(seam))
        .collect();
    let ends = (0..plan.seams.len())
        .map(|seam| {
            [0, 1].map(|side| {
                [false, true].map(|high| {
                    let (face, p) = writer.end(seam, side, high);
                    (piece_name(face), writer.sheet(face).frame * p)
                })
            })
        })
        .collect();
    let mut text = String::from("draft \"Of known truth\"\nunit mm\n");
    for sheet in writer.sheets.iter().filter(|sheet| !sheet.drawn.is_empty()) {
        let _ = write!(text, "panel {} {{\n{}}}\n", sheet.name, sheet.drawn);
    }
    let mut put = |block: String| {
        let start = text.len();
        text.push_str(&block);
        start..text.len()
    };
    let pieces = blocks.into_iter().map(&mut put).collect();
    let seams = seams.into_iter().map(&mut put).collect();
    Draft {
        text,
        pieces,
        seams,
        names,
        ends,
    }
}

fn piece(plan: &Plan, piece: &Piece, face: usize, names: &[String], sheet: &mut Sheet) -> String {
    let lay = &plan.lays[face];
    let mut chance = Chance::new(lay.drawn);
    for (n, edge) in piece.edges.iter().enumerate() {
        let turned: Vec<PathSeg> = edge.segs.iter().rev().map(PathSeg::reverse).collect();
        let segs = if chance.once_in(2) {
            &turned
        } else {
            &edge.segs
        };
        sheet.edge(&line_name(plan, face, n), segs);
    }
    let count = piece.edges.len();
    let mut order: Vec<String> = (0..count)
        .map(|n| (n + lay.begin) % count)
        .map(|n| match line_name(plan, face, n) {
            line if line == names[n] => line,
            line => format!("{line} as {}", names[n]),
        })
        .collect();
    if lay.backward {
        order.reverse();
    }
    let name = piece_name(face);
    let of = if sheet.name == name {
        String::new()
    } else {
        format!(" of {}", sheet.name)
    };
    let mut block = format!("piece {name}{of} {{\n  outline {}\n", order.join(", "));
    let cut = match (piece.fold, plan.cut) {
        (Some(edge), _) => format!("cut 1 on fold at {}", names[edge]),
        (None, Cut::Once) => "cut 1".to_owned(),
        (None, Cut::Alike) => "cut 2 alike".to_owned(),
        (None, Cut::Pairs) => "cut 2".to_owned(),
    };
    let first = &piece.edges[0].segs;
    let grain = (
        sheet.point(first[0].eval(0.0)),
        sheet.point(first[first.len() - 1].eval(1.0)),
    );
    let _ = writeln!(
        block,
        "  {cut}\n  grain along (from {} to {})\n  allow 10mm",
        grain.0, grain.1
    );
    for (n, edge) in piece.edges.iter().enumerate() {
        let sewn = edge.kind == Kind::Take || piece.fold == Some(n) || is_sewn(plan, face, edge);
        if sewn {
            continue;
        }
        let _ = match edge.words {
            Words::Missing => Ok(()),
            Words::Bare => writeln!(block, "  finish {}", names[n]),
            Words::Said(words) => writeln!(block, "  finish {} \"{words}\"", names[n]),
        };
    }
    for (n, mark) in piece.marks.iter().enumerate() {
        match mark {
            Mark::Dart { a, b, apex } => {
                let (a, b) = if lay.backward { (b, a) } else { (a, b) };
                let (a, b, apex) = (sheet.point(*a), sheet.point(*b), sheet.point(*apex));
                let drill = if chance.once_in(3) { " drill 5mm" } else { "" };
                let _ = writeln!(block, "  dart {a} to {b} at {apex}{drill}");
            }
            Mark::Centre { from, onto } => {
                let name = format!("{}f{}", prefix(plan, face), 2 * n + 1);
                sheet.line("line", &name, from[0], from[1]);
                let _ = writeln!(block, "  fold {name} onto {}", line_name(plan, face, *onto));
            }
            Mark::Pleat { from, to } => {
                let names = [1, 2].map(|k| format!("{}f{}", prefix(plan, face), 2 * n + k));
                for (name, line) in names.iter().zip([from, to]) {
                    let (p, q) = if chance.once_in(2) {
                        (line[0], line[1])
                    } else {
                        (line[1], line[0])
                    };
                    sheet.line("line", name, p, q);
                }
                let swap = chance.once_in(2);
                let _ = writeln!(
                    block,
                    "  fold {} onto {}",
                    names[usize::from(swap)],
                    names[usize::from(!swap)]
                );
            }
        }
    }
    block.push_str("}\n");
    block
}

/// Whether an edge lies on a seam.
fn is_sewn(plan: &Plan, face: usize, edge: &crate::build::Edge) -> bool {
    if edge.kind == Kind::Over {
        return false;
    }
    plan.seams.iter().any(|seam| {
        seam.twin.is_none_or(|on| on == face)
            && seam
                .legs
                .iter()
                .chain(seam.other.iter().flatten())
                .any(|leg| {
                    let (low, high) = (leg.from.min(leg.to) - 1e-6, leg.from.max(leg.to) + 1e-6);
                    leg.line == edge.line
                        && [edge.from, edge.to].iter().all(|s| *s > low && *s < high)
                })
    })
}

struct Writer<'a> {
    plan: &'a Plan,
    pieces: &'a [Piece],
    sides: &'a [[Vec<SideEdge>; 2]],
    names: &'a [Vec<String>],
    sheets: Vec<Sheet>,
}

impl Writer<'_> {
    /// The panel on which a face is drawn.
    fn sheet(&mut self, face: usize) -> &mut Sheet {
        &mut self.sheets[self.plan.lays[face].on]
    }

    /// The point of a side at a length along the uncut seam, on the cloth beyond or before it.
    fn node(&self, seam: usize, side: usize, at: f64, up: bool) -> (usize, Point) {
        let plan = &self.plan.seams[seam];
        let on = if plan.twin.is_some() { 0 } else { side };
        let (leg, place) = plan.place(on, at, !up);
        let leg = &plan.legs_of(on)[leg];
        let way = (leg.to - leg.from).signum();
        let inside = place.1 + way * if up { 1e-3 } else { -1e-3 };
        let (face, _) = self
            .plan
            .face_at(leg, on, inside)
            .expect("a face lies there");
        let up_line = up == (way > 0.0);
        let point = self.pieces[face]
            .node(place, up_line)
            .expect("a point stands there");
        (face, point)
    }

    fn named(&mut self, seam: usize, side: usize, at: f64, up: bool) -> String {
        let (face, point) = self.node(seam, side, at, up);
        self.sheet(face).full(point)
    }

    /// Where a side ends.
    fn end(&self, seam: usize, side: usize, high: bool) -> (usize, Point) {
        let plan = &self.plan.seams[seam];
        let off = plan.items.iter().find_map(|item| match item {
            Item::Until {
                side: on,
                high: end,
                off,
                ..
            } if *on == side && *end == high => Some(*off),
            _ => None,
        });
        let off = off.unwrap_or(0.0);
        let at = if high { plan.length() - off } else { off };
        self.node(seam, side, at, !high)
    }

    fn end_named(&mut self, seam: usize, side: usize, high: bool) -> String {
        let (face, point) = self.end(seam, side, high);
        self.sheet(face).full(point)
    }

    fn edge(&self, edge: &SideEdge) -> String {
        let word = if edge.over {
            "over "
        } else if edge.mirrored {
            "mirrored "
        } else {
            ""
        };
        format!(
            "{word}{}.{}",
            piece_name(edge.face),
            self.names[edge.face][edge.edge]
        )
    }

    fn list(&mut self, seam: usize, side: usize, chance: &mut Chance) -> String {
        let plan = &self.plan.seams[seam];
        let edges = &self.sides[seam][side];
        let left_out = |n: usize| {
            plan.items.iter().any(
                |item| matches!(item, Item::LeftOut { side: on, edge } if *on == side && *edge == n),
            )
        };
        let unsaid = plan
            .items
            .iter()
            .any(|item| matches!(item, Item::Over { side: on, said: false, .. } if *on == side));
        let mut names: Vec<String> = edges
            .iter()
            .enumerate()
            .filter(|(n, edge)| !(left_out(*n) || unsaid && edge.over))
            .map(|(_, edge)| self.edge(edge))
            .collect();
        // Where a ring begins is known by the first edge written.
        let ends = edges.last().zip(edges.first());
        let ring =
            ends.is_some_and(|ends| hang(self.plan, self.pieces, self.sides, (seam, side), ends));
        if ring || edges.iter().any(|edge| edge.over) {
            if chance.once_in(2) {
                names.reverse();
            }
        } else {
            for n in (1..names.len()).rev() {
                names.swap(n, chance.below(n + 1));
            }
        }
        let until = plan.items.iter().find_map(|item| match item {
            Item::Until { side: on, high, .. } if *on == side => Some(*high),
            _ => None,
        });
        let mut text = names.join(", ");
        if let Some(high) = until {
            let point = self.end_named(seam, side, high);
            let _ = write!(text, " until {point}");
        }
        text
    }

    fn length(&self, value: f64) -> String {
        format!("{}mm", figure(value * self.plan.scale))
    }

    fn seam(&mut self, index: usize) -> String {
        let seam = &self.plan.seams[index];
        let mut chance = Chance::new(seam.order);
        let (first, second) = if seam.turned { (1, 0) } else { (0, 1) };
        let lists = [first, second].map(|side| self.list(index, side, &mut chance));
        let mut block = format!("seam s{} joins {} to {}", index + 1, lists[0], lists[1]);
        let starts: Vec<String> = match seam.from {
            From::Nothing => Vec::new(),
            From::First => vec![self.end_named(index, 0, seam.high)],
            From::Second => vec![self.end_named(index, 1, seam.high)],
            From::Both => vec![
                self.end_named(index, 0, seam.high),
                self.end_named(index, 1, seam.high),
            ],
            From::Wrong => vec![
                self.end_named(index, 0, seam.high),
                self.end_named(index, 1, !seam.high),
            ],
        };
        let mut starts = starts;
        if chance.once_in(2) {
            starts.reverse();
        }
        starts.dedup();
        if !starts.is_empty() {
            let _ = write!(block, " from {}", starts.join(", "));
        }
        let mut lines: Vec<String> = seam
            .items
            .iter()
            .filter_map(|item| self.item(index, item, &mut chance))
            .collect();
        for n in (1..lines.len()).rev() {
            lines.swap(n, chance.below(n + 1));
        }
        if lines.is_empty() {
            return block + "\n";
        }
        block.push_str(" {\n");
        for line in lines {
            let _ = writeln!(block, "  {line}");
        }
        block + "}\n"
    }

    fn item(&mut self, seam: usize, item: &Item, chance: &mut Chance) -> Option<String> {
        Some(match item {
            Item::Pair { at, how } => {
                let up = chance.once_in(2);
                let mut both = [0, 1].map(|side| self.named(seam, side, at[side], up));
                // On one panel a point may lie on both sides: there the order written says which is whose.
                let one_panel = both[0].split('.').next() == both[1].split('.').next();
                let swapped = if one_panel {
                    self.plan.seams[seam].turned
                } else {
                    chance.once_in(2)
                };
                if swapped {
                    both.reverse();
                }
                match how {
                    How::Notch(form) => format!("notch {form} at {}, {}", both[0], both[1]),
                    How::Meets => format!("{} meets {}", both[0], both[1]),
                }
            }
            Item::Far {
                at,
                side,
                high,
                form,
            } => {
                let plan = &self.plan.seams[seam];
                let end = if *high { plan.length() } else { 0.0 };
                let far = (plan.position(*side, *at) - plan.position(*side, end)).abs();
                let from = self.end_named(seam, *side, *high);
                format!("notch {form} at {} from {from}", self.length(far))
            }
            Item::One { at, side, form } => {
                let up = chance.once_in(2);
                format!("notch {form} at {}", self.named(seam, *side, *at, up))
            }
            Item::Joints => "notch single at joints".to_owned(),
            Item::Ease(ease) => self.ease(seam, ease, chance),
            Item::Open { side, part } => {
                let ends = [(part.0, true), (part.1, false)]
                    .map(|(at, up)| self.named(seam, *side, at, up));
                format!("open between {} and {} \"zip\"", ends[0], ends[1])
            }
            Item::Tolerance(width) => format!("tolerance {}", self.length(*width)),
            Item::Dart { .. }
            | Item::Pleat { .. }
            | Item::Over { .. }
            | Item::Until { .. }
            | Item::Longer { .. }
            | Item::LeftOut { .. } => return None,
        })
    }

    fn ease(&mut self, seam: usize, ease: &Ease, chance: &mut Chance) -> String {
        let word = match ease.act {
            Act::Ease => "ease",
            Act::Gather => "gather",
            Act::Stretch => "stretch",
        };
        let percent = |share: f64| format!("{}%", figure(share * 100.0));
        let said = match ease.said {
            Said::Length(a) => self.length(a),
            Said::Lengths(a, b) => format!("{} to {}", self.length(a), self.length(b)),
            Said::Share(a) => percent(a),
            Said::Shares(a, b) => format!("{} to {}", percent(a), percent(b)),
            Said::Ratio(a) => figure(a),
            Said::Ratios(a, b) => format!("{} to {}", figure(a), figure(b)),
        };
        let (low, high) = ease.part;
        let edges: Vec<SideEdge> = self.sides[seam][ease.side]
            .iter()
            .filter(|edge| !edge.over && edge.low < high - 1e-6 && edge.high > low + 1e-6)
            .copied()
            .collect();
        let names: Vec<String> = edges
            .iter()
            .map(|edge| self.edge(edge).replace("mirrored ", ""))
            .collect();
        let mut text = format!("{word} {said} on {}", names.join(", "));
        if !ease.between {
            return text;
        }
        let side = ease.side;
        let mut ends: Vec<String> = if ease.by_length {
            let from_high = chance.once_in(2);
            let edge = edges[0];
            let from = if from_high { edge.high } else { edge.low };
            let name = self.named(seam, side, from, !from_high);
            let plan = &self.plan.seams[seam];
            let far = |at: f64| (plan.position(side, at) - plan.position(side, from)).abs();
            [low, high]
                .map(|at| format!("{} from {name}", self.length(far(at))))
                .into()
        } else {
            vec![
                self.named(seam, side, low, true),
                self.named(seam, side, high, false),
            ]
        };
        if chance.once_in(2) {
            ends.reverse();
        }
        let _ = write!(text, " between {} and {}", ends[0], ends[1]);
        text
    }
}

/// Whether two edges of a side hang together where one ends and the other begins: those beside them lie in one seam.
fn hang(
    plan: &Plan,
    pieces: &[Piece],
    sides: &[[Vec<SideEdge>; 2]],
    (seam, side): (usize, usize),
    (one, other): (&SideEdge, &SideEdge),
) -> bool {
    let is_in = |face: usize, edge: usize| -> Vec<usize> {
        let has = |seam: &usize| {
            let all = sides[*seam].iter().flatten();
            all.filter(|one| !one.over)
                .any(|one| (one.face, one.edge) == (face, edge))
        };
        (0..sides.len()).filter(has).collect()
    };
    let beside = |edge: &SideEdge, next: bool| {
        let count = pieces[edge.face].edges.len();
        let at = if next {
            edge.edge + 1
        } else {
            edge.edge + count - 1
        } % count;
        is_in(edge.face, at)
    };
    let on = if plan.seams[seam].twin.is_some() {
        0
    } else {
        side
    };
    let (after, before) = (beside(one, on == 0), beside(other, on == 1));
    after.iter().any(|by| *by != seam && before.contains(by))
}

/// Whether two faces at a joint of some side do not hang together there by a seam.
pub fn is_loose(plan: &Plan, pieces: &[Piece], sides: &[[Vec<SideEdge>; 2]]) -> bool {
    (0..sides.len()).any(|seam| {
        (0..2).any(|side| {
            sides[seam][side].windows(2).any(|two| {
                let at = (seam, side);
                two[0].face != two[1].face && !hang(plan, pieces, sides, at, (&two[0], &two[1]))
            })
        })
    })
}
