//! The machine's view of a pattern: a stable contract in JSON, described by `pattern.schema.json` beside this file.
//! Millimetres, degrees, square millimetres; x right, **y up**; turns positive clockwise as seen on the paper. Keys always
//! come in the same order, values in the order drawn.

use crate::number::{AREA_DECIMALS, DEGREE_DECIMALS, MM_DECIMALS, NUMBER_DECIMALS, rounded};
use crate::path_data;
use kurbo::Point;
use oaktag_geometry::path::Path;
use oaktag_language::pattern::spec::{
    Anew, Check, ClothSpec, CornerTreatment, MarkSpec, MeasureUsed, NamedValue, Value,
};
use oaktag_language::pattern::{
    Dart, Ease, Edge, Interval, Notch, NotchMark, Opening, Pattern, Piece, Place, Seam, SeamEnd,
    Section, Side,
};

mod shape;

use shape::*;

/// Number of the contract: raised when a key changes its meaning or goes, not when one is added.
pub(crate) const VERSION: u32 = 1;

/// The schema (JSON Schema 2020-12) that every output holds to.
pub const SCHEMA: &str = include_str!("../pattern.schema.json");

/// Writes a pattern as JSON text, ending with a newline.
///
/// # Errors
/// None that a pattern can cause; the encoder's own are passed on.
pub fn write(pattern: &Pattern) -> Result<String, serde_json::Error> {
    let mut text = serde_json::to_string_pretty(&whole(pattern))?;
    text.push('\n');
    Ok(text)
}

/// The same as a part of another document.
pub fn view(pattern: &Pattern) -> impl serde::Serialize + '_ {
    whole(pattern)
}

fn whole(pattern: &Pattern) -> Whole<'_> {
    let lacks = pattern.unfinished.as_ref();
    let unwalked = pattern
        .unwalked
        .iter()
        .map(|(piece, edge)| UnwalkedOut { piece, edge });
    Whole {
        format: Format {
            name: "oaktag-pattern",
            version: VERSION,
        },
        title: &pattern.title,
        unfinished: pattern.unfinished.is_some(),
        not_drawn: lacks.map_or(&[][..], |lacks| &lacks.not_drawn),
        unit: pattern.unit.name(),
        issue: IssueOut {
            body: pattern.issue.body.as_deref(),
            made_for: pattern.issue.made_for.as_deref(),
            revision: pattern.issue.revision.as_deref(),
        },
        measures: Keyed(
            pattern
                .measures
                .iter()
                .map(|one| (one.name.clone(), measure(one)))
                .collect(),
        ),
        values: Keyed(
            pattern
                .values
                .iter()
                .map(|one| (one.name.clone(), named(one)))
                .collect(),
        ),
        pieces: pattern
            .pieces
            .iter()
            .chain(lacks.into_iter().flat_map(|lacks| &lacks.pieces))
            .map(piece)
            .collect(),
        seams: pattern.seams.iter().map(seam).collect(),
        order: &pattern.order,
        checks: pattern.checks.iter().map(check).collect(),
        cloths: pattern.cloths.iter().map(cloth).collect(),
        unwalked: unwalked.collect(),
        cautions: &pattern.cautions,
        sides: &pattern.sides,
    }
}

fn measure(measure: &MeasureUsed) -> MeasureOut<'_> {
    MeasureOut {
        of_body: measure.of_body,
        worked_out: measure.worked_out,
        example: measure.example,
        value: value(&measure.value),
        text: &measure.text,
    }
}

fn named(named: &NamedValue) -> NamedOut<'_> {
    NamedOut {
        value: value(&named.value),
        file: &named.file,
        line: named.line,
        step: named.step,
    }
}

fn value(value: &Value) -> ValueOut {
    let of = |kind| ValueOut {
        kind,
        ..ValueOut::default()
    };
    match value {
        Value::Point(p) => ValueOut {
            x: Some(mm(p.x)),
            y: Some(mm(p.y)),
            ..of("point")
        },
        Value::Direction(v) => ValueOut {
            x: Some(rounded(v.x, NUMBER_DECIMALS)),
            y: Some(rounded(v.y, NUMBER_DECIMALS)),
            ..of("direction")
        },
        Value::Line(path) => path_value("line", path),
        Value::Curve(path) => path_value("curve", path),
        Value::Length(length) => ValueOut {
            mm: Some(mm(*length)),
            ..of("length")
        },
        Value::Angle(degrees) => ValueOut {
            deg: Some(rounded(*degrees, DEGREE_DECIMALS)),
            ..of("angle")
        },
        Value::Area(area) => ValueOut {
            mm2: Some(mm2(*area)),
            ..of("area")
        },
        Value::Number(number) => ValueOut {
            value: Some(rounded(*number, NUMBER_DECIMALS).into()),
            ..of("number")
        },
        Value::Text(text) => ValueOut {
            value: Some(text.as_str().into()),
            ..of("text")
        },
        Value::Answer(answer) => ValueOut {
            value: Some((*answer).into()),
            ..of("answer")
        },
        Value::List(items) => ValueOut {
            items: Some(items.iter().map(self::value).collect()),
            ..of("list")
        },
    }
}

fn path_value(kind: &'static str, path: &Path) -> ValueOut {
    let line = line(path);
    ValueOut {
        kind,
        length_mm: line.length_mm,
        endless: line.endless,
        path: Some(line.path),
        ..ValueOut::default()
    }
}

fn line(path: &Path) -> LineOut {
    LineOut {
        length_mm: path.length().ok().map(mm),
        endless: path.is_endless().then_some(true),
        path: path_data::of_path(path, MM_DECIMALS),
    }
}

fn piece(piece: &Piece) -> PieceOut<'_> {
    let edge_name = |index: usize| piece.edges.get(index).map_or("", |edge| edge.name.as_str());
    let folds = piece.fold_lines.iter().map(|(name, path)| FoldOut {
        name,
        onto: piece.laid_onto(path),
        line: line(path),
    });
    let corners = piece
        .corners
        .iter()
        .map(|(first, second, treatment)| CornerOut {
            edges: [edge_name(*first), edge_name(*second)],
            treatment: treatment_name(*treatment),
        });
    PieceOut {
        name: &piece.name,
        label: &piece.label,
        number: piece.number.0,
        of: piece.number.1,
        panel: &piece.panel,
        cut: CutOut {
            count: piece.cut.count,
            alike: piece.cut.alike,
            left: piece.left_and_right().map(|[left, _]| left),
            right: piece.left_and_right().map(|[_, right]| right),
            shown: piece.left_and_right().map(|_| piece.shown.half.word()),
            fold: piece.cut.fold_edge.map(edge_name),
            cloth: piece.cut.cloth.as_deref(),
        },
        area_mm2: piece.area().map(mm2),
        drawn_area_mm2: piece.drawn_area.map(mm2),
        cut_area_mm2: piece.cut_area.map(mm2),
        edges: piece.edges.iter().map(edge).collect(),
        sewing: piece.sewing.as_ref().map(line),
        cutting: piece.cutting.as_ref().map(line),
        cutting_holes: piece.cut_holes.iter().map(line).collect(),
        grain: piece.grain.as_ref().map(line),
        folds: folds.collect(),
        mirror_line: piece.mirror_line.as_ref().map(|(_, path)| line(path)),
        corners: corners.collect(),
        notches: piece
            .notches
            .iter()
            .map(|notch| self::notch(notch, edge_name(notch.edge)))
            .collect(),
        darts: piece.darts.iter().map(dart).collect(),
        marks: piece.marks.iter().map(|one| mark(piece, one)).collect(),
        cautions: &piece.cautions,
        unfinished: piece.unfinished,
    }
}

fn edge(edge: &Edge) -> EdgeOut<'_> {
    EdgeOut {
        name: &edge.name,
        line: &edge.line,
        length_mm: mm(edge.length),
        path: path_data::of_path(&edge.path, MM_DECIMALS),
        as_drawn: edge.as_drawn,
        allowance_mm: edge.allowance.as_ref().map(|all| mm(all.width.start)),
        allowance_end_mm: edge
            .allowance
            .as_ref()
            .filter(|all| all.tapers.is_some())
            .map(|all| mm(all.width.end)),
        on_fold: edge.on_fold,
        mirrored: edge.mirrored,
        finish: edge.finish.as_deref(),
        seams: &edge.seams,
        dart: edge.mouth.map(|dart| dart + 1),
        pleated: edge.pleated,
        parts: edge
            .beyond
            .iter()
            .map(|(from, to, width)| PartOut {
                from_mm: mm(*from),
                to_mm: mm(*to),
                allowance_mm: mm(*width),
            })
            .collect(),
    }
}

fn dart(dart: &Dart) -> DartOut<'_> {
    let at = |point: Point| [mm(point.x), mm(point.y)];
    DartOut {
        a: at(dart.mouth.0),
        b: at(dart.mouth.1),
        apex: at(dart.apex),
        other_apex: dart.other_apex.map(at),
        legs_mm: [mm(dart.legs.0), mm(dart.legs.1)],
        pressed: &dart.pressed,
        drills: dart.drills.iter().copied().map(at).collect(),
        sewn_mm: dart.sewn.map(mm),
    }
}

fn notch<'a>(notch: &'a Notch, edge: &'a str) -> NotchOut<'a> {
    NotchOut {
        form: notch.form.word(),
        edge,
        seam: notch.seam.as_deref(),
        also: &notch.also,
        number: notch.number,
        marks: notch.marks.iter().map(notch_mark).collect(),
    }
}

fn notch_mark(mark: &NotchMark) -> NotchMarkOut {
    NotchMarkOut {
        x: mm(mark.sewing.x),
        y: mm(mark.sewing.y),
        along_mm: mm(mark.from_start),
        cut_x: mm(mark.cut.x),
        cut_y: mm(mark.cut.y),
        depth_mm: mm(mark.depth),
    }
}

fn mark<'a>(piece: &Piece, mark: &'a MarkSpec) -> MarkOut<'a> {
    MarkOut {
        button: mark.button.map(|button| ButtonOut {
            diameter_mm: mm(button.diameter),
            thickness_mm: mm(button.thickness),
        }),
        buttonhole_mm: piece
            .buttonhole(mark)
            .map(|(top, foot)| [[mm(top.x), mm(top.y)], [mm(foot.x), mm(foot.y)]]),
        name: &mark.name,
        text: &mark.text,
        drill: mark.is_drill(),
        side: mark.side.map(|side| side.word()),
        value: value(&mark.shape),
    }
}

fn seam(seam: &Seam) -> SeamOut<'_> {
    let notches = seam
        .notches
        .iter()
        .enumerate()
        .map(|(index, notch)| SeamNotchOut {
            number: index + 1,
            form: notch.form.word(),
            first_mm: notch.first.iter().copied().map(mm).collect(),
            second_mm: notch.second.iter().copied().map(mm).collect(),
        });
    SeamOut {
        name: &seam.name,
        first: side(&seam.first),
        second: side(&seam.second),
        ease_mm: mm(seam.ease()),
        sewn: seam.sewn.map(|sewn| sewn.kind.word()),
        wanted_mm: [mm(seam.wanted.0), mm(seam.wanted.1)],
        tolerance_mm: mm(seam.tolerance),
        ok: seam.ok,
        decided: seam.decided.word(),
        notches: notches.collect(),
        intervals: seam.intervals.iter().map(interval).collect(),
        places: seam.places.iter().map(place).collect(),
        sections: seam.sections.iter().map(section).collect(),
        eases: seam.eases.iter().map(ease).collect(),
        openings: seam.openings.iter().map(opening).collect(),
        ends: seam.ends.iter().map(end).collect(),
    }
}

fn place(place: &Place) -> PlaceOut {
    PlaceOut {
        first_mm: mm(place.at.0),
        second_mm: mm(place.at.1),
        how: place.how.word(),
    }
}

fn section(section: &Section) -> SectionOut {
    let (first, second) = section.between.lengths();
    SectionOut {
        first_from_mm: mm(section.between.from.0),
        first_mm: mm(first),
        second_from_mm: mm(section.between.from.1),
        second_mm: mm(second),
        least_mm: mm(section.wanted.0),
        most_mm: mm(section.wanted.1),
        open: section.open,
        ok: section.ok,
    }
}

fn ease(ease: &Ease) -> EaseOut<'_> {
    EaseOut {
        how: ease.how.word(),
        side: if ease.on_first { "first" } else { "second" },
        edges: &ease.edges,
        spans_mm: ease.spans.iter().map(|(a, b)| [mm(*a), mm(*b)]).collect(),
        least_mm: mm(ease.least),
        most_mm: mm(ease.most),
    }
}

fn opening(opening: &Opening) -> OpeningOut<'_> {
    OpeningOut {
        first_mm: [mm(opening.from.0), mm(opening.to.0)],
        second_mm: [mm(opening.from.1), mm(opening.to.1)],
        words: &opening.words,
    }
}

fn end(end: &SeamEnd) -> EndOut<'_> {
    EndOut {
        pieces: [&end.pieces.0, &end.pieces.1],
        edges: [&end.edges.0, &end.edges.1],
        angle_deg: rounded(end.angle, DEGREE_DECIMALS),
        step_mm: mm(end.step),
        corner: end.corner.as_deref(),
        ok: end.ok,
    }
}

fn side(side: &Side) -> SideOut<'_> {
    let edges = side.edges.iter().map(|edge| SideEdgeOut {
        line: &edge.line,
        piece: &edge.piece,
        edge: &edge.edge,
        after: edge.after.word(),
        mirrored: edge.mirrored,
        length_mm: mm(edge.length),
        from_mm: mm(edge.from),
        path: path_data::of_path(&edge.path, MM_DECIMALS),
    });
    SideOut {
        length_mm: mm(side.length),
        edges: edges.collect(),
    }
}

fn interval(interval: &Interval) -> IntervalOut {
    let (first, second) = interval.lengths();
    IntervalOut {
        first_mm: mm(first),
        second_mm: mm(second),
        ease_mm: mm(interval.ease()),
    }
}

fn check(check: &Check) -> CheckOut<'_> {
    CheckOut {
        text: &check.text,
        measured: &check.measured,
        wanted: &check.wanted,
        ok: check.ok,
        of: &check.of,
        stands: check.stands(),
        redrawn: check.redrawn.iter().map(anew).collect(),
    }
}

fn anew(anew: &Anew) -> AnewOut<'_> {
    AnewOut {
        name: &anew.name,
        by: &anew.by,
        gone: anew.is_gone,
    }
}

fn cloth(cloth: &ClothSpec) -> ClothOut<'_> {
    let share = |value: f64| rounded(value, NUMBER_DECIMALS);
    ClothOut {
        name: &cloth.name,
        label: &cloth.label,
        width_mm: cloth.width.map(mm),
        thickness_mm: cloth.thickness.map(mm),
        shrinkage: [share(cloth.shrinkage.0), share(cloth.shrinkage.1)],
        nap: cloth.nap,
        stripe_mm: cloth.stripe.map(mm),
        plaid_mm: cloth.plaid.map(mm),
        one_way: cloth.one_way,
    }
}

fn mm(value: f64) -> f64 {
    rounded(value, MM_DECIMALS)
}

fn mm2(value: f64) -> f64 {
    rounded(value, AREA_DECIMALS)
}

fn treatment_name(treatment: CornerTreatment) -> &'static str {
    match treatment {
        CornerTreatment::Mitred => "mitred",
        CornerTreatment::Squared => "squared",
        CornerTreatment::TurnedBack => "turned back",
        CornerTreatment::Stepped => "stepped",
    }
}
