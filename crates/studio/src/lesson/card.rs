//! A library act as a card: what it leaves on the paper for the acts after it and for the pieces, each point by how far it lies
//! across and up from the starting point of its sheet, straight lines by their ends, curves by tables. So it is drawn in a few
//! sentences; how it comes about stands in its own steps, unfolded.

use super::left;
use super::places::SAME;
use super::plates::Shown;
use super::ruler;
use super::sheets::{Mark, Sheets, parts};
use super::steps::{Group, Maker};
use super::{Step, Table};
use kurbo::Point;
use oaktag_geometry::path::Path;
use oaktag_language::pattern::spec::Value as Shape;
use oaktag_language::phrase::Value;
use oaktag_language::voice;
use std::collections::BTreeMap;
use std::sync::Arc;

/// More sheets than this are told in one sentence each.
const APART: usize = 2;

/// What an act leaves on one sheet.
#[derive(Default)]
struct Sheet {
    /// Points by their numbers, less one; those that have a name of their own by that.
    points: Vec<(Point, Option<String>)>,
    straight: Vec<String>,
    curved: Vec<String>,
    tables: Vec<Table>,
    shown: Shown,
}

impl Sheet {
    /// The number of a point, which is taken in where it is not there yet.
    fn number(&mut self, at: Point) -> usize {
        let known = |(known, _): &(Point, Option<String>)| (*known - at).hypot() < SAME;
        match self.points.iter().position(known) {
            Some(place) => place + 1,
            None => {
                self.points.push((at, None));
                self.points.len()
            }
        }
    }
}

impl Maker<'_> {
    /// Tells a step that is one call as its card; afterwards the sheets hold what is new.
    pub(super) fn card(&mut self, group: &Group, step: &mut Step, sheets: &mut Sheets) {
        let leaves = self.leaves(group);
        let before = sheets.clone();
        for at in &group.entries {
            if let Some((entry, site)) = self.entry(*at) {
                step.does.extend(self.sentences(entry, site, None, &before));
            }
        }
        let shown = self.shown(&group.entries, sheets);
        let mut found: BTreeMap<String, Sheet> = BTreeMap::new();
        for (name, mark) in self.left_for_others(group, &shown) {
            let (panel, member) = parts(&name);
            let sheet = found.entry(panel.to_owned()).or_default();
            let member = member.to_owned();
            self.take_in(sheet, &member, &mark);
            sheet.shown.new.push((name, mark));
        }
        let apart = found.len() <= APART;
        for (panel, sheet) in &mut found {
            if sheet.points.is_empty() {
                continue;
            }
            self.name_points(panel, sheet, sheets);
            let is_fresh = !before.0.contains_key(panel);
            let told = self.told(panel, sheet, is_fresh);
            if apart {
                step.does.extend(told);
            } else {
                step.does.push(told.join(" "));
            }
            step.tables.push(self.points(panel, sheet));
            step.tables.append(&mut sheet.tables);
            // Lines that lay there before show where on the sheet it is.
            let earlier = before
                .0
                .get(panel)
                .into_iter()
                .flat_map(|sheet| sheet.values());
            sheet.shown.earlier = earlier.cloned().collect();
        }
        let leaves: Vec<_> = leaves
            .into_iter()
            .filter(|left| found.values().any(|sheet| sheet.has(left.name())))
            .collect();
        step.does.extend(left::of_all(&leaves));
        let count = found.len();
        for (panel, sheet) in &found {
            step.plates
                .extend(self.plate(step, &sheet.shown, (None, count)));
            if let (Some(plate), true) = (step.plates.last_mut(), count > 1) {
                plate.of = voice::name(panel);
            }
        }
        found.retain(|_, sheet| !sheet.points.is_empty());
        let laid = sheets
            .0
            .keys()
            .filter(|panel| !before.0.contains_key(*panel));
        self.untold.extend(laid.cloned());
        self.untold.retain(|panel| !found.contains_key(panel));
    }

    /// What is new and read by anything outside of the act, or is of a piece: lines, and points that are marked or measured from.
    fn left_for_others(&self, group: &Group, shown: &Shown) -> Vec<(String, Mark)> {
        let inside = self.inside_of(group);
        let (mut lines, mut points): (Vec<Arc<Path>>, Vec<Point>) = (Vec::new(), Vec::new());
        for (at, entry) in self.outcome.record.entries.iter().enumerate() {
            if inside.contains(&at) {
                continue;
            }
            for id in &entry.read {
                match self.value(*id).map(|(_, _, value)| value) {
                    Some(Value::Path(path)) => lines.push(Arc::clone(path)),
                    // Inside another act a point is read by what is not drawn by hand.
                    Some(Value::Point(at)) if entry.call.is_none() && !self.calls(entry) => {
                        points.push(*at);
                    }
                    _ => {}
                }
            }
        }
        let pieces = &self.outcome.pattern.pieces;
        for piece in pieces {
            lines.extend(piece.edges.iter().map(|edge| Arc::new(edge.path.clone())));
            lines.extend(
                piece
                    .fold_lines
                    .iter()
                    .map(|(_, path)| Arc::new(path.clone())),
            );
            for mark in &piece.marks {
                match &mark.shape {
                    Shape::Point(at) => points.push(*at),
                    Shape::Line(path) | Shape::Curve(path) => lines.push(Arc::new(path.clone())),
                    _ => {}
                }
            }
        }
        let is_line = |mark: &Mark| matches!(mark, Mark::Line(path) if !path.is_endless() && !path.is_nothing());
        let is_read = |mark: &Mark| match mark {
            Mark::Point(at) => points.iter().any(|point| (*point - *at).hypot() < SAME),
            Mark::Line(path) => is_line(mark) && lines.iter().any(|line| is_alike(line, path)),
        };
        // Where others go on from its points alone, its lines are what it is known by.
        let is_aid = !shown
            .new
            .iter()
            .any(|(_, mark)| is_line(mark) && is_read(mark));
        let is_kept = |mark: &Mark| is_read(mark) || (is_aid && is_line(mark));
        let kept = shown.new.iter().filter(|(_, mark)| is_kept(mark));
        let kept: Vec<(String, Mark)> = kept.cloned().collect();
        // A part of a line that is drawn anyway is not drawn twice.
        let is_part = |at: usize, name: &str, mark: &Mark| {
            let Mark::Line(path) = mark else { return false };
            kept.iter()
                .enumerate()
                .any(|(other, (others, whole))| match whole {
                    Mark::Line(whole) if other != at && parts(others).0 == parts(name).0 => {
                        whole.covers(path, SAME) && (other < at || !path.covers(whole, SAME))
                    }
                    _ => false,
                })
        };
        let own = kept.iter().enumerate();
        own.filter(|(at, (name, mark))| !is_part(*at, name, mark))
            .map(|(_, one)| one.clone())
            .collect()
    }

    fn take_in(&self, sheet: &mut Sheet, member: &str, mark: &Mark) {
        let path = match mark {
            Mark::Point(at) => {
                sheet.number(*at);
                return;
            }
            Mark::Line(path) => path,
        };
        let name = voice::name(member);
        let stretches = ruler::stretches(path, self.unit);
        let mut ends: Vec<usize> = Vec::new();
        for stretch in &stretches {
            let (from, to) = (sheet.number(stretch.from), sheet.number(stretch.to));
            if ends.is_empty() {
                ends.push(from);
            }
            ends.push(to);
            if !stretch.stations.is_empty() {
                let lead = voice::capital(&name);
                let ends = (from.to_string(), to.to_string());
                sheet
                    .tables
                    .push(self.table(&lead, stretch, (&ends.0, &ends.1)));
            }
        }
        let ends: Vec<String> = ends.iter().map(usize::to_string).collect();
        let long = path.length().map_or(String::new(), |long| {
            format!(", {}", self.unit.length(long))
        });
        let said = format!("{name} from {}{long}", ends.join(" to "));
        if stretches.iter().all(|stretch| stretch.stations.is_empty()) {
            sheet.straight.push(said);
        } else {
            sheet.curved.push(said);
        }
    }

    /// Names of points that have one, and the numbers in the figure.
    fn name_points(&self, panel: &str, sheet: &mut Sheet, sheets: &Sheets) {
        for (at, (point, name)) in sheet.points.iter_mut().enumerate() {
            *name = sheets.point_at(panel, *point);
            let member = name.clone().unwrap_or_else(|| format!("point {}", at + 1));
            let full = format!("{panel}.{member}");
            sheet
                .shown
                .numbers
                .insert(full.clone(), (at + 1).to_string());
            if !sheet.shown.new.iter().any(|(known, _)| *known == full) {
                sheet.shown.new.push((full, Mark::Point(*point)));
            }
        }
    }

    fn told(&self, panel: &str, sheet: &Sheet, is_fresh: bool) -> Vec<String> {
        let spoken = if panel.is_empty() {
            "the sheet".to_owned()
        } else {
            super::speech::the(panel)
        };
        let mut told = Vec::new();
        let begun = if is_fresh {
            format!(
                "Take a fresh sheet for {spoken}, rule a level line and an upright one, and let the starting point be where they cross. From there"
            )
        } else {
            format!("On {spoken}, from its starting point,")
        };
        let points = match sheet.points.len() {
            1 => "the point of its table".to_owned(),
            count => format!("the {count} points of its table"),
        };
        told.push(format!("{begun} measure across and up, and mark {points}."));
        if !sheet.straight.is_empty() {
            told.push(format!(
                "Rule the straight lines of {spoken}: {}.",
                sheet.straight.join("; ")
            ));
        }
        if !sheet.curved.is_empty() {
            told.push(format!(
                "Draw the curves of {spoken} through the places of their tables: {}.",
                sheet.curved.join("; ")
            ));
        }
        told
    }

    /// The table of the points of a sheet.
    fn points(&self, panel: &str, sheet: &Sheet) -> Table {
        let unit = self.unit;
        let bare = |mm: f64| unit.bare(mm).replace('-', "−");
        let rows = sheet.points.iter().enumerate().map(|(at, (point, name))| {
            let name = name
                .as_ref()
                .map_or(String::new(), |name| format!(" {}", voice::name(name)));
            vec![format!("{}{name}", at + 1), bare(point.x), bare(point.y)]
        });
        let of = if panel.is_empty() {
            String::new()
        } else {
            format!(" of {}", super::speech::the(panel))
        };
        Table {
            title: format!(
                "Points{of}: {} right and up of its starting point, − left and down",
                unit.name()
            ),
            head: vec!["point".to_owned(), "right".to_owned(), "up".to_owned()],
            rows: rows.collect(),
        }
    }
}

impl Sheet {
    fn has(&self, full: &str) -> bool {
        self.shown.new.iter().any(|(name, _)| name == full)
    }
}

/// Whether two lines are one, whichever way they run.
fn is_alike(one: &Path, other: &Path) -> bool {
    let ends = |path: &Path| Some((path.start().ok()?, path.end().ok()?));
    let (Some((a, b)), Some((p, q))) = (ends(one), ends(other)) else {
        return false;
    };
    let near = |a: Point, b: Point| (a - b).hypot() < SAME;
    ((near(a, p) && near(b, q)) || (near(a, q) && near(b, p)))
        && one.covers(other, SAME)
        && other.covers(one, SAME)
}
