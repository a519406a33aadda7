//! What an operation needs of its panels, by its head: told all at once where it is missing, proved against its body, and
//! all else on the panel stays the caller's.

use crate::drawing::Run;
use oaktag_language::draft::Outcome;
use oaktag_language::pattern::spec::Value;
use oaktag_language::report::Code;
use oaktag_language::voice::LengthUnit;

/// An act that lowers a hem, and squares a line to its middle if there is one.
const LOWER: &str = r#"operation lower on (panel body) by (length more)
    needs (point body.front.corner), (curve body.front.hem "from centre to side"),
      (line body.front.middle if drawn) gives panel "A lower hem." {
  panel body traced from body {
    panel front traced from front {
      redraw hem = slide hem by more toward down
      redraw corner = corner down more
      if middle is drawn { redraw middle = from start of middle to (end of middle) down more }
      line lowered = from end of hem to corner
    }
  }
  give body
}
"#;

fn drawn(text: &str) -> Outcome {
    Run::of(&format!("draft \"Needs\"\nunit cm\n{text}"))
        .drawn()
        .1
}

fn messages(outcome: &Outcome) -> Vec<String> {
    let told = outcome.diagnostics.iter().filter(|told| told.is_error());
    told.map(|told| told.message.in_unit(LengthUnit::Centimetre).into_owned())
        .collect()
}

/// A panel of these sentences on its front.
fn skirt(front: &str) -> String {
    format!(
        "panel skirt {{\n  line waist = from origin toward right for 30cm\n  panel front {{\n{front}\n  }}\n}}\n"
    )
}

const FRONT: &str =
    "    point corner = origin down 40cm\n    line hem = from corner toward right for 20cm\n";

#[test]
fn all_that_is_missing_is_told_at_once() {
    let text = format!(
        "{LOWER}{}panel skirt = lower on skirt by 2cm\n",
        skirt("    point hip = origin down 20cm")
    );
    let outcome = drawn(&text);
    assert_eq!(
        messages(&outcome),
        [
            "`lower` needs what is not on `skirt`: `front.corner`, a point; `front.hem`, a line or a curve, from centre to side."
        ]
    );
}

#[test]
fn what_is_of_another_kind_is_told_with_what_is_missing() {
    let text = format!(
        "{LOWER}{}panel skirt = lower on skirt by 2cm\n",
        skirt("    point hem = origin down 20cm")
    );
    let told = messages(&drawn(&text)).concat();
    assert!(told.contains("`front.corner`, a point"), "{told}");
    assert!(told.contains("(it is a point)"), "{told}");
}

#[test]
fn a_line_serves_where_a_curve_is_needed_and_what_is_not_needed_stays() {
    let text = format!(
        "{LOWER}{}panel skirt = lower on skirt by 2cm\n",
        skirt(&format!(
            "{FRONT}    line side = from corner toward up for 10cm\n"
        ))
    );
    let outcome = drawn(&text);
    assert!(messages(&outcome).is_empty(), "{:?}", messages(&outcome));
    let line = |name: &str| {
        let mut values = outcome.pattern.values.iter();
        values
            .find(|value| value.name == name)
            .map(|value| (value.value.clone(), value.line))
    };
    // 40 cm down and 2 cm more, by construction.
    let (Value::Point(corner), by) = line("skirt.front.corner").expect("it is drawn") else {
        panic!("a point");
    };
    assert!((corner.y + 420.0).abs() < 1e-9, "{corner:?}");
    let (_, side) = line("skirt.front.side").expect("it stays");
    let (_, waist) = line("skirt.waist").expect("it stays");
    // Both stay what their own sentences drew; the corner is the act's.
    assert!(side < by && waist < by, "{waist} {side} {by}");
    let kind = |name: &str| matches!(line(name), Some((Value::Line(_), _)));
    assert!(kind("skirt.front.hem"), "a line that is slid stays a line");
    assert!(line("skirt.front.lowered").is_some());
}

#[test]
fn what_may_be_missing_is_used_where_it_is_there() {
    let middle = |front: &str| {
        let text = format!(
            "{LOWER}{}panel skirt = lower on skirt by 2cm\n",
            skirt(front)
        );
        let outcome = drawn(&text);
        assert!(messages(&outcome).is_empty(), "{:?}", messages(&outcome));
        let mut values = outcome.pattern.values.iter();
        values
            .find(|value| value.name == "skirt.front.middle")
            .map(|value| value.value.clone())
    };
    assert!(middle(FRONT).is_none());
    let with = format!("{FRONT}    line middle = from origin toward down for 40cm\n");
    let Some(Value::Line(line)) = middle(&with) else {
        panic!("a line");
    };
    assert!((line.length().expect("it ends") - 420.0).abs() < 1e-9);
}

#[test]
fn what_an_act_would_draw_again_is_told_at_the_call() {
    let text = format!(
        "{LOWER}{}panel skirt = lower on skirt by 2cm\npanel skirt = lower on skirt by 1cm\n",
        skirt(FRONT)
    );
    let outcome = drawn(&text);
    assert_eq!(
        messages(&outcome),
        ["`lower` draws `front.lowered`, and that is drawn here already."]
    );
    assert_eq!(
        outcome
            .diagnostics
            .iter()
            .find(|told| told.is_error())
            .map(|told| told.code),
        Some(Code::NameDrawnTwice)
    );
}

#[test]
fn a_body_that_reads_more_than_its_head_says_is_told_what_to_write() {
    let text = LOWER.replace("(point body.front.corner), ", "");
    let outcome = drawn(&format!("{text}{}", skirt(FRONT)));
    assert_eq!(
        messages(&outcome),
        ["The head of `lower` does not say that it needs `body.front.corner`."]
    );
    let told = outcome
        .diagnostics
        .iter()
        .find(|told| told.is_error())
        .expect("it is told");
    let help = told
        .help
        .as_ref()
        .map(|help| help.in_unit(LengthUnit::Centimetre).into_owned());
    assert!(
        help.as_deref()
            .is_some_and(|help| help.contains("(point body.front.corner),")),
        "{help:?}"
    );
}

#[test]
fn a_panel_that_an_act_gives_under_another_name_has_all_of_the_first() {
    let text = format!(
        "{LOWER}{}panel long = lower on skirt by 2cm\npoint end_of_waist = end of long.waist\npoint old_corner = skirt.front.corner\n",
        skirt(FRONT)
    );
    let outcome = drawn(&text);
    assert!(messages(&outcome).is_empty(), "{:?}", messages(&outcome));
    let y = |name: &str| {
        let mut values = outcome.pattern.values.iter();
        match values
            .find(|value| value.name == name)
            .map(|value| &value.value)
        {
            Some(Value::Point(point)) => point.y,
            other => panic!("{name}: {other:?}"),
        }
    };
    assert!((y("skirt.front.corner") + 400.0).abs() < 1e-9);
    assert!((y("long.front.corner") + 420.0).abs() < 1e-9);
}
