//! What the sentences of pieces and seams say, worked out for one body, part by part.

use super::super::fault::Stop;
use super::super::machine::Machine;
use super::spec_value;
use crate::check::program::{
    AmountCode, AsChecked, ButtonCode, CountCode, EdgeCode, EdgeNameCode, GrainCode, LineCode,
    MarkCode, Node, PointCode,
};
use crate::kind::Kind;
use crate::pattern::spec::{
    Amount, AsDrawn, Button, CornerTreatment, EaseHow, EdgeName, EdgeSpec, Marked, NotchForm,
    SeamKind, SeamNotchPlace, SeamPoint,
};
use crate::phrase::Value;
use crate::sewing::{self, EdgeRef, Held, OwnNotch, PieceStep, SeamStep, SewnAs, Stage, Step};
use oaktag_geometry::path::Path;

type NamedLine = <AsDrawn as Stage>::Line;

impl<'a> Step<'a, AsChecked, AsDrawn> for Machine<'a> {
    type Stop = Stop;

    fn length(&mut self, length: &'a Node) -> Result<f64, Stop> {
        self.figure(length)
    }

    fn point(&mut self, point: &'a PointCode) -> Result<SeamPoint, Stop> {
        Ok(SeamPoint {
            point: Machine::point(self, &point.value)?,
            name: point.name.clone(),
            panel: point.panel.clone(),
        })
    }

    fn text(&mut self, words: &'a Node) -> Result<String, Stop> {
        self.letters(words)
    }

    fn notch_form(&mut self, form: &'a NotchForm) -> Result<NotchForm, Stop> {
        Ok(*form)
    }
}

impl<'a> PieceStep<'a, AsChecked, AsDrawn> for Machine<'a> {
    fn count(&mut self, count: &'a CountCode) -> Result<u32, Stop> {
        self.whole_count(&count.value, count.span)
    }

    fn cloth(&mut self, cloth: &'a Option<String>) -> Result<Option<String>, Stop> {
        Ok(cloth.clone())
    }

    /// An edge of no length is passed over.
    fn outline(&mut self, lines: &'a [EdgeCode]) -> Result<Vec<EdgeSpec>, Stop> {
        let mut edges = Vec::with_capacity(lines.len());
        for line in lines {
            let path = self.path_or_nothing(&line.value)?;
            if !path.is_nothing() {
                edges.push(EdgeSpec {
                    tag: self.tags.tag(line.span),
                    name: line.name.clone(),
                    line: line.line.clone(),
                    path: Path::clone(&path),
                    allowance: None,
                    finish: None,
                    mouth: None,
                });
            }
        }
        Ok(edges)
    }

    fn edge(&mut self, edge: &'a Option<EdgeRef>) -> Result<Option<EdgeRef>, Stop> {
        Ok(edge.clone())
    }

    fn edges(&mut self, edges: &'a [EdgeRef]) -> Result<Vec<EdgeRef>, Stop> {
        Ok(edges.to_vec())
    }

    fn corner(&mut self, edges: &'a (EdgeRef, EdgeRef)) -> Result<(EdgeRef, EdgeRef), Stop> {
        Ok(edges.clone())
    }

    fn treatment(&mut self, treatment: &'a CornerTreatment) -> Result<CornerTreatment, Stop> {
        Ok(*treatment)
    }

    fn grain(&mut self, along: &'a GrainCode) -> Result<(Path, String), Stop> {
        Ok((
            Path::clone(self.path(&along.line)?.as_ref()),
            along.words.clone(),
        ))
    }

    fn line(&mut self, line: &'a Option<LineCode>) -> Result<Option<NamedLine>, Stop> {
        line.as_ref().map(|line| self.named_line(line)).transpose()
    }

    fn legs(
        &mut self,
        legs: &'a Option<(LineCode, LineCode)>,
    ) -> Result<Option<(NamedLine, NamedLine)>, Stop> {
        match legs {
            Some((one, other)) => Ok(Some((self.named_line(one)?, self.named_line(other)?))),
            None => Ok(None),
        }
    }

    /// A fold of no length folds nothing.
    fn lines(&mut self, lines: &'a [LineCode]) -> Result<Vec<NamedLine>, Stop> {
        let mut found = Vec::with_capacity(lines.len());
        for line in lines {
            let path = self.path_or_nothing(&line.value)?;
            if !path.is_nothing() {
                let tag = self.tags.tag(line.span);
                found.push((tag, line.name.clone(), Path::clone(&path)));
            }
        }
        Ok(found)
    }

    fn notches(
        &mut self,
        at: &'a Vec<OwnNotch<AsChecked>>,
    ) -> Result<Vec<OwnNotch<AsDrawn>>, Stop> {
        at.iter().map(|own| own.carry(self)).collect()
    }

    fn marked(&mut self, what: &'a [MarkCode]) -> Result<Vec<Marked>, Stop> {
        let mut all = Vec::with_capacity(what.len());
        for code in what {
            let value = self.eval(&code.value)?;
            mark(code.name.clone(), &code.kind, &value, false, &mut all);
        }
        Ok(all)
    }

    fn button(&mut self, button: &'a Option<ButtonCode>) -> Result<Option<Button>, Stop> {
        let button = button.as_ref().map(|code| self.likely_button(code));
        button.transpose()
    }
}

impl<'a> Machine<'a> {
    fn named_line(&mut self, line: &'a LineCode) -> Result<NamedLine, Stop> {
        let path = Path::clone(self.path(&line.value)?.as_ref());
        Ok((self.tags.tag(line.span), line.name.clone(), path))
    }
}

/// What is marked, of a list each item.
fn mark(name: String, kind: &Kind, value: &Value, of_list: bool, all: &mut Vec<Marked>) {
    if let (Value::List(items), Kind::List(item)) = (value, kind) {
        for (one, number) in items.iter().zip(1..) {
            mark(format!("{name}_{number}"), item, one, true, all);
        }
        return;
    }
    all.push(Marked {
        name,
        shape: spec_value(value, kind),
        of_list,
    });
}

impl<'a> SeamStep<'a, AsChecked, AsDrawn> for Machine<'a> {
    fn held(&mut self, held: &'a Held<AmountCode>) -> Result<Held<Amount>, Stop> {
        held.carry(|much| {
            Ok(match much {
                AmountCode::Length(node) => Amount::Length(self.figure(node)?),
                AmountCode::Number(node) if held.how == EaseHow::Gather => {
                    Amount::Ratio(self.figure(node)?)
                }
                AmountCode::Number(node) => Amount::Share(self.figure(node)?),
            })
        })
    }

    fn seam_edges(&mut self, edges: &'a [EdgeNameCode]) -> Result<Vec<EdgeName>, Stop> {
        Ok(edges.iter().map(|edge| self.edge_name(edge)).collect())
    }

    fn seam_notch(
        &mut self,
        at: &'a sewing::SeamNotchPlace<AsChecked>,
    ) -> Result<SeamNotchPlace, Stop> {
        at.carry(self)
    }

    fn sewn(&mut self, sewn: &'a SewnAs<SeamKind, Node>) -> Result<SewnAs<SeamKind, f64>, Stop> {
        let widths = sewn.widths.iter();
        Ok(SewnAs {
            how: sewn.how,
            widths: widths
                .map(|width| self.figure(width))
                .collect::<Result<_, _>>()?,
        })
    }
}
