//! Comparisons held against what two drawings say on their own: every figure is the difference of two JSON outputs that
//! were written without any comparison, and every difference between those is told.

mod chance;
mod held;
mod moved;

use oaktag_language::draft::{self, Inputs, Outcome};
use oaktag_language::library;
use oaktag_language::syntax::project::{NoFiles, Project};
use oaktag_output::json;
use oaktag_studio::compare::report::{Detail, report};
use oaktag_studio::compare::{Comparison, Options, Side, Verdict, compare, overlay, page, text};
use serde_json::Value as Json;
use std::collections::BTreeMap;

/// The women's crew shirt without its pocket, so that what is compared stands on the body, the sleeve and the collar.
fn shirt() -> String {
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/examples/womens-crew-shirt.draft"
    );
    let text = std::fs::read_to_string(path).unwrap();
    let lines = text.lines().filter(|line| !line.contains("pocket"));
    lines.map(|line| format!("{line}\n")).collect()
}

fn first_steps() -> String {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/first-steps.draft");
    std::fs::read_to_string(path).unwrap()
}

struct Drawn {
    project: Project,
    outcome: Outcome,
}

fn drawn(text: &str) -> Drawn {
    let project = Project::load("shirt.draft", text, &NoFiles, &library::module);
    let outcome = draft::make(&project, &Inputs::default());
    Drawn { project, outcome }
}

impl Drawn {
    fn side<'a>(&'a self, label: &'a str) -> Side<'a> {
        Side {
            label,
            project: &self.project,
            outcome: &self.outcome,
        }
    }

    fn json(&self) -> Json {
        serde_json::from_str(&json::write(&self.outcome.pattern).unwrap()).unwrap()
    }
}

fn compared(old: &Drawn, new: &Drawn) -> Comparison {
    compare(old.side("old"), new.side("new"), &Options::default()).unwrap()
}

/// Nearer than the last of the four decimals that both files have.
const DIGIT: f64 = 0.000_051;

fn number(json: &Json, key: &str) -> f64 {
    json[key].as_f64().unwrap()
}

fn by_name(list: &Json) -> BTreeMap<String, Json> {
    let items = list.as_array().unwrap().iter();
    items
        .map(|item| (item["name"].as_str().unwrap().to_owned(), item.clone()))
        .collect()
}

/// Holds every figure of a comparison against two JSON outputs, and every difference between those against it.
fn hold_against_json(old: &Drawn, new: &Drawn, comparison: &Comparison) {
    let (before, after) = (old.json(), new.json());
    values(&before, &after, comparison);
    points(&before, &after, comparison);
    let (before, after) = (by_name(&before["pieces"]), by_name(&after["pieces"]));
    for change in &comparison.pieces {
        match change.verdict {
            Verdict::New => assert!(!before.contains_key(&change.name)),
            Verdict::Gone => assert!(!after.contains_key(&change.name)),
            _ => {
                let was = change.was_named.as_ref().unwrap_or(&change.name);
                edges(&before[was], &after[&change.name], change);
            }
        }
    }
    let named: Vec<&str> = comparison
        .pieces
        .iter()
        .flat_map(|piece| [Some(piece.name.as_str()), piece.was_named.as_deref()])
        .flatten()
        .collect();
    for name in before.keys().chain(after.keys()) {
        assert!(named.contains(&name.as_str()), "{name} is not told");
    }
}

/// What a name of the new side was called on the old one.
fn was_called(comparison: &Comparison, name: &str) -> String {
    let (panel, member) = name.rsplit_once('.').unwrap_or(("", name));
    let renamed = comparison.renamed.iter();
    let renamed = renamed.filter(|one| one.new == panel && one.kind == "panel");
    renamed
        .map(|one| format!("{}.{member}", one.old))
        .next()
        .unwrap_or_else(|| name.to_owned())
}

fn values(before: &Json, after: &Json, comparison: &Comparison) {
    let (before, after) = (
        before["values"].as_object().unwrap(),
        after["values"].as_object().unwrap(),
    );
    let figures: BTreeMap<&str, _> = comparison
        .figures
        .iter()
        .map(|change| (change.name.as_str(), change))
        .collect();
    for (name, value) in after {
        let Some(was) = before.get(&was_called(comparison, name)) else {
            assert!(
                comparison.names_added.contains(name),
                "{name} came and is not told"
            );
            continue;
        };
        for (key, least) in [("mm", 0.01), ("deg", 0.001), ("mm2", 1.0)] {
            let (Some(is), Some(was)) = (value[key].as_f64(), was[key].as_f64()) else {
                continue;
            };
            let told = figures.get(name.as_str()).and_then(|change| change.figures);
            let measure = comparison
                .values
                .iter()
                .chain(&comparison.worked_out)
                .find(|one| one.name == *name);
            let told = told.or(measure.and_then(|one| one.figures));
            match told {
                Some(told) => {
                    assert!(
                        (told.by - (is - was)).abs() < DIGIT,
                        "{name}: {told:?}, {was} to {is}"
                    );
                    assert!(
                        told.old == was && told.new == is,
                        "{name}: {told:?}, {was} to {is}"
                    );
                }
                None => assert!(
                    (is - was).abs() <= least + DIGIT,
                    "{name}: {was} to {is} is not told"
                ),
            }
        }
    }
    let went_on: Vec<String> = after
        .keys()
        .map(|name| was_called(comparison, name))
        .collect();
    for name in before.keys().filter(|name| !went_on.contains(name)) {
        assert!(
            comparison.names_gone.contains(name),
            "{name} went and is not told"
        );
    }
}

fn points(before: &Json, after: &Json, comparison: &Comparison) {
    let (before, after) = (
        before["values"].as_object().unwrap(),
        after["values"].as_object().unwrap(),
    );
    for (name, value) in after.iter().filter(|(_, value)| value["kind"] == "point") {
        let Some(was) = before
            .get(&was_called(comparison, name))
            .filter(|was| was["kind"] == "point")
        else {
            continue;
        };
        let by = (
            number(value, "x") - number(was, "x"),
            number(value, "y") - number(was, "y"),
        );
        match comparison.points.iter().find(|point| point.name == *name) {
            Some(told) => {
                assert!(
                    (told.right_mm - by.0).abs() < 2.0 * DIGIT,
                    "{name}: {told:?}, {by:?}"
                );
                assert!(
                    (told.up_mm - by.1).abs() < 2.0 * DIGIT,
                    "{name}: {told:?}, {by:?}"
                );
                assert!(
                    (told.distance_mm - by.0.hypot(by.1)).abs() < 2.0 * DIGIT,
                    "{name}"
                );
            }
            None => {
                let panel = name.rsplit_once('.').map_or("", |(panel, _)| panel);
                let together = comparison.panels.iter().any(|one| one.panel == panel);
                assert!(
                    together || by.0.hypot(by.1) <= 0.01 + DIGIT,
                    "{name} moved by {by:?} and is not told"
                );
            }
        }
    }
}

fn edges(before: &Json, after: &Json, change: &oaktag_studio::compare::PieceChange) {
    let (before_edges, after_edges) = (by_name(&before["edges"]), by_name(&after["edges"]));
    for (name, edge) in &after_edges {
        let told = change.edges.iter().find(|one| one.name == *name);
        let was_named = told.and_then(|one| one.was_named.as_ref()).unwrap_or(name);
        let Some(was) = before_edges.get(was_named) else {
            assert!(
                change.edges_added.iter().any(|(added, _)| added == name),
                "{name}"
            );
            continue;
        };
        let (was, is) = (number(was, "length_mm"), number(edge, "length_mm"));
        match told {
            Some(told) => {
                assert!(
                    told.length_mm.old == was && told.length_mm.new == is,
                    "{name}: {told:?}"
                );
                assert!(
                    (told.length_mm.by - (is - was)).abs() < DIGIT,
                    "{name}: {told:?}"
                );
            }
            None => {
                assert!(
                    (is - was).abs() <= oaktag_studio::compare::SAME + DIGIT,
                    "{}.{name}: {was} to {is}",
                    change.name
                );
                assert!(
                    change.edges_kept.contains(name),
                    "{name} is neither told nor kept"
                );
            }
        }
    }
    if let Some(area) = change.area_mm2 {
        assert_eq!(
            (area.old, area.new),
            (number(before, "area_mm2"), number(after, "area_mm2"))
        );
    }
}

/// Task 7 of a cutting room's list: lower the front neck 14 mm, then show what changed. Collar stand and fall, neck and
/// button row follow; armhole, sleeve and side do not ("unchanged" is to 0.01 mm).
#[test]
fn a_lower_neck_carries_the_collar_and_leaves_the_sleeve() {
    let lower = shirt().replace(
        "with ease bust_ease",
        "with ease bust_ease, front_neck_lower 20mm",
    );
    let (old, new) = (drawn(&shirt()), drawn(&lower));
    let comparison = compared(&old, &new);
    assert_eq!(comparison.troubles, Vec::<String>::new());
    hold_against_json(&old, &new, &comparison);
    let recut = comparison.labels(Verdict::Recut);
    assert!(
        recut.contains(&"Front") && recut.contains(&"Collar stand"),
        "{recut:?}"
    );
    let keep = comparison.labels(Verdict::Keep);
    assert!(
        ["Back", "Sleeve", "Cuff"]
            .iter()
            .all(|label| keep.contains(label)),
        "{keep:?}"
    );
    let front = comparison
        .pieces
        .iter()
        .find(|piece| piece.name == "front")
        .unwrap();
    assert!(
        ["armhole", "side", "hem"]
            .iter()
            .all(|edge| front.edges_kept.contains(&(*edge).to_owned()))
    );
    let neck = comparison
        .points
        .iter()
        .find(|point| point.name == "shirt.front.cf_neck")
        .unwrap();
    assert_eq!(
        (neck.right_mm, neck.up_mm, neck.distance_mm),
        (0.0, -14.0, 14.0)
    );
    assert_eq!(comparison.sentences.len(), 1);
}

/// Task 2: swap the collar for a band. No fall and no interlining of a fall are left; the body is unchanged.
#[test]
fn another_collar_leaves_the_body() {
    let band = shirt().replace(
        "stand_and_fall for shirt",
        "band_collar for shirt with ends \"edge\"",
    );
    let (old, new) = (drawn(&shirt()), drawn(&band));
    let comparison = compared(&old, &new);
    assert_eq!(comparison.troubles, Vec::<String>::new());
    hold_against_json(&old, &new, &comparison);
    let gone = comparison.labels(Verdict::Gone);
    assert!(gone.iter().any(|label| label.contains("fall")), "{gone:?}");
    let keep = comparison.labels(Verdict::Keep);
    assert!(
        ["Back", "Sleeve", "Cuff"]
            .iter()
            .all(|label| keep.contains(label)),
        "{keep:?}"
    );
    assert!(
        report(&comparison, Detail::Outline)
            .verdict
            .contains("Throw away: ")
    );
}

#[test]
fn a_draft_and_itself_do_not_differ_whatever_its_layout_and_remarks() {
    let text = first_steps();
    let remarks = text
        .replace("panel back {", "# the half back\n\npanel back {  # net")
        .replace(" / 10 up", "/10  up");
    for other in [text.clone(), remarks] {
        let (old, new) = (drawn(&text), drawn(&other));
        let comparison = compared(&old, &new);
        assert!(comparison.is_empty(), "{comparison:?}");
        let said = text::plain(&report(&comparison, Detail::Outline));
        assert!(
            said.ends_with("No difference. Keep: Half back.\n"),
            "{said}"
        );
    }
}

/// The same back, called otherwise, with panel and piece renamed and drawn half a metre to the right.
#[test]
fn a_piece_renamed_and_moved_is_one_rename() {
    let old = drawn(&first_steps());
    let renamed = first_steps()
        .replace("panel back", "panel rear")
        .replace("piece back", "piece rear")
        .replace(
            "point nape = origin",
            "point nape = origin right 50cm down 3cm",
        );
    let new = drawn(&renamed);
    let comparison = compared(&old, &new);
    assert_eq!(comparison.pieces.len(), 1);
    let piece = &comparison.pieces[0];
    assert_eq!(
        (piece.was_named.as_deref(), piece.name.as_str()),
        (Some("back"), "rear")
    );
    assert_eq!(piece.verdict, Verdict::Relabel);
    let laid = piece.laid.unwrap();
    assert_eq!(
        (laid.right_mm, laid.up_mm, laid.turned_deg),
        (500.0, -30.0, 0.0)
    );
    assert!(
        comparison.names_added.is_empty() && comparison.names_gone.is_empty(),
        "{comparison:?}"
    );
    assert!(comparison.points.is_empty());
    let renames: Vec<(&str, &str)> = comparison
        .renamed
        .iter()
        .map(|one| (one.kind, one.new.as_str()))
        .collect();
    assert_eq!(renames, [("panel", "rear"), ("piece", "rear")]);
}

/// Another name and another edge's name, but one formula: told as renamed, not as lost and found.
#[test]
fn a_renamed_edge_is_not_lost_and_found() {
    let old = drawn(&first_steps());
    let new = drawn(&first_steps().replace("armhole", "scye"));
    let comparison = compared(&old, &new);
    assert!(
        comparison.names_added.is_empty() && comparison.names_gone.is_empty(),
        "{comparison:?}"
    );
    let edge = &comparison.pieces[0].edges[0];
    assert_eq!(
        (edge.was_named.as_deref(), edge.name.as_str()),
        (Some("armhole"), "scye")
    );
    assert_eq!(comparison.pieces[0].verdict, Verdict::Relabel);
}

/// A value alone: one line of the author's, and the closed form of what follows. Hem and bust line are a quarter of chest
/// and ease, so 4 cm more ease is 1 cm more hem.
#[test]
fn more_ease_is_a_quarter_at_the_hem() {
    let old = drawn(&first_steps());
    let new = drawn(&first_steps().replace("ease = 12cm", "ease = 16cm"));
    let comparison = compared(&old, &new);
    assert!(
        comparison.sentences.is_empty(),
        "the value is told as a value"
    );
    assert_eq!(comparison.values[0].figures.unwrap().by, 40.0);
    let hem = comparison.pieces[0]
        .edges
        .iter()
        .find(|edge| edge.name == "hem")
        .unwrap();
    assert_eq!(hem.length_mm.by, 10.0);
    let underarm = comparison
        .points
        .iter()
        .find(|point| point.name == "back.underarm")
        .unwrap();
    assert_eq!((underarm.right_mm, underarm.up_mm), (10.0, 0.0));
}

#[test]
fn a_point_held_still_does_not_move() {
    let old = drawn(&first_steps());
    let new = drawn(&first_steps().replace("ease = 12cm", "ease = 16cm"));
    let options = Options {
        align: vec!["back.underarm".to_owned()],
    };
    let comparison = compare(old.side("old"), new.side("new"), &options).unwrap();
    assert!(
        !comparison
            .points
            .iter()
            .any(|point| point.name == "back.underarm")
    );
    let nape = comparison
        .points
        .iter()
        .find(|point| point.name == "back.nape")
        .unwrap();
    assert_eq!((nape.right_mm, nape.up_mm), (-10.0, 0.0));
    let unknown = Options {
        align: vec!["back.elbow".to_owned()],
    };
    assert!(compare(old.side("old"), new.side("new"), &unknown).is_err());
}

#[test]
fn the_same_two_drafts_give_the_same_bytes_and_no_two_labels_touch() {
    let lower = shirt().replace(
        "with ease bust_ease",
        "with ease bust_ease, front_neck_lower 20mm",
    );
    let once = || {
        let (old, new) = (drawn(&shirt()), drawn(&lower));
        let comparison = compared(&old, &new);
        let report = report(&comparison, Detail::All);
        let (old, new) = (old.side("old"), new.side("new"));
        [
            text::plain(&report),
            text::markdown(&report),
            serde_json::to_string(&comparison).unwrap(),
            overlay::svg(&comparison, old, new),
            page::html(&comparison, &report, old, new),
        ]
    };
    assert_eq!(once(), once());
    let (old, new) = (drawn(&shirt()), drawn(&lower));
    let comparison = compared(&old, &new);
    let (old, new) = (old.side("old"), new.side("new"));
    for overlay in [
        overlay::drawing(&comparison, old, new, oaktag_output::sheet::Sheet::Fit),
        overlay::fitted(&comparison, (old, new), 340.0),
    ] {
        let frames: Vec<_> = overlay
            .texts()
            .map(|text| (text.letters.clone(), text.frame()))
            .collect();
        assert!(frames.len() > 30);
        for (at, (letters, frame)) in frames.iter().enumerate() {
            for (others, other) in frames.iter().skip(at + 1) {
                assert!(!frame.overlaps(other), "{letters} and {others}");
            }
        }
    }
}

/// What changes no line is told all the same: the kind of a seam, the order of making up, a button.
#[test]
fn another_seam_another_order_and_another_button_are_told() {
    let square = "  point p = origin\n  line top = from p toward right for 10cm\n  line side = from end of top toward down for 10cm\n  line low = from end of side toward left for 10cm\n  line edge = from end of low to p\n";
    let old = format!(
        "draft \"Flaps\"\nunit cm\npanel flap {{\n{square}}}\npanel flank traced from flap {{\n}}\npiece flap \"Flap\" {{\n  outline top, side, low, edge\n  cut 1\n  grain along side\n  finish low, edge \"bound\"\n  mark p \"button\" with diameter 12mm, thickness 3mm\n}}\npiece flank \"Flank\" {{\n  outline top, side, low, edge\n  cut 1\n  grain along side\n  finish low, side \"bound\"\n}}\nseam middle joins flap.side to flank.edge {{\n  sewn plain\n  allow 1cm\n}}\nseam upper joins flap.top to flank.top {{\n  sewn plain\n  allow 1cm\n}}\norder middle, upper\n"
    );
    let new = old
        .replace(
            "flank.edge {\n  sewn plain\n  allow 1cm\n}",
            "flank.edge { sewn bound 1cm }",
        )
        .replace("order middle, upper", "order upper, middle")
        .replace("diameter 12mm", "diameter 14mm");
    let (old, new) = (drawn(&old), drawn(&new));
    assert!(!old.outcome.has_errors(), "{:?}", old.outcome.diagnostics);
    let comparison = compared(&old, &new);
    assert!(!comparison.is_same_pattern());
    let said = text::plain(&report(&comparison, Detail::Outline));
    assert!(
        said.contains("middle: sewn plain → bound; it fits as before"),
        "{said}"
    );
    assert!(
        said.contains("order: middle, upper → upper, middle"),
        "{said}"
    );
    // Hole: diameter and thickness together, 15 mm and 17 mm (common practice).
    let button = "mark p: button 1.2 cm across and 0.3 cm thick, hole 1.5 cm → button 1.4 cm across and 0.3 cm thick, hole 1.7 cm";
    assert!(said.contains(button), "{said}");
    assert_eq!(comparison.labels(Verdict::Relabel), ["Flap"]);
    assert_eq!(comparison.labels(Verdict::Keep), ["Flank"]);
    assert!(
        said.contains("Seam upper") && !said.contains("Seams middle"),
        "{said}"
    );
}

/// A draft with one point that moves and one choice that changes.
fn moved(wide: &str, right: f64, up: f64) -> Drawn {
    drawn(&format!(
        "draft \"Moves\"\nunit cm\nchoose wide = {wide}\npanel back {{\n  point q = origin right wide\n  point p = origin right {right}cm up {up}cm\n  line a = from origin to (origin right 20cm)\n  line b = from end of a to p\n  line c = from p to origin\n}}\npiece back {{\n  outline a, b, c\n  cut 1\n  grain along a\n  allow 1cm\n  finish a, b, c \"bound\"\n}}\n"
    ))
}

/// Right and left, up and down, more and less: what was moved by hand is told the way it went.
#[test]
fn what_moved_is_told_with_its_way_and_its_sign() {
    let old = moved("12cm", 10.0, 10.0);
    for (right, up, words) in [
        (11.0, 10.0, "back p: 1 cm right"),
        (9.0, 10.0, "back p: 1 cm left"),
        (10.0, 12.0, "back p: 2 cm up"),
        (10.0, 8.0, "back p: 2 cm down"),
        (13.0, 6.0, "back p: 3 cm right and 4 cm down, 5 cm in all"),
        (7.0, 14.0, "back p: 3 cm left and 4 cm up, 5 cm in all"),
    ] {
        let new = moved("12cm", right, up);
        let told = text::plain(&report(&compared(&old, &new), Detail::Outline));
        assert!(
            told.lines().any(|line| line.trim() == words),
            "{words}: {told}"
        );
    }
    for (wide, words) in [
        ("14cm", "wide: 12 cm → 14 cm (+2 cm)"),
        ("11cm", "wide: 12 cm → 11 cm (−1 cm)"),
    ] {
        let new = moved(wide, 10.0, 10.0);
        let told = text::plain(&report(&compared(&old, &new), Detail::Outline));
        assert!(
            told.lines().any(|line| line.trim() == words),
            "{words}: {told}"
        );
    }
    // Longer and shorter: the slant from (20, 0) to (10, 10), and to (14, 8), which is 10 cm.
    let told = text::plain(&report(
        &compared(&old, &moved("12cm", 14.0, 8.0)),
        Detail::Outline,
    ));
    assert!(
        told.contains("; 14.14 cm → 10 cm, 4.14 cm shorter"),
        "{told}"
    );
}
