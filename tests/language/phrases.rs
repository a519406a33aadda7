//! The table of phrases is its own reference: every example runs and uses the very form it stands with, every signature
//! names all its form takes, and no two forms could take one call.

use crate::drawing;

use drawing::Run;
use oaktag_language::check::program::{
    EachOverNode, FarNode, Node, Op, Program, RelationNode, TextNode,
};
use oaktag_language::phrase::form::overlap;
use oaktag_language::phrase::table::SCENE;
use oaktag_language::phrase::{Form, Table};
use std::fmt::Write;

fn forms() -> &'static [Form] {
    Table::built_in().forms()
}

#[test]
fn every_example_runs_and_uses_its_own_form() {
    let mut wrong = String::new();
    for (row, form) in forms().iter().enumerate() {
        let run = Run::of(&format!("{SCENE}{}\n", form.example));
        let (_, outcome) = run.drawn();
        if form.example.is_empty() || outcome.has_errors() || !uses(&outcome.program, row) {
            let signature = form.signature();
            writeln!(wrong, "{signature}\n{}\n{}", form.example, run.shown()).unwrap();
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn the_scene_itself_is_sound() {
    let told = Run::of(SCENE).told();
    assert!(told.iter().all(|d| !d.is_error()), "{told:#?}");
}

#[test]
fn no_two_forms_could_take_one_call() {
    for (at, form) in forms().iter().enumerate() {
        for other in forms().iter().skip(at + 1) {
            assert!(
                !overlap(form, other),
                "{} and {}",
                form.signature(),
                other.signature()
            );
        }
    }
}

#[test]
fn every_form_overlaps_itself() {
    for form in forms() {
        assert!(overlap(form, form), "{}", form.signature());
    }
}

#[test]
fn every_signature_names_all_that_its_form_takes() {
    let mut all = String::new();
    for form in forms() {
        let signature = form.signature();
        let words: Vec<&str> = signature.split([' ', '[', ']', ',']).collect();
        let links = form.places.iter().filter_map(|place| place.link);
        for word in links.map(|link| link.word()) {
            assert!(words.contains(&word), "{word} in {signature}");
        }
        for option in &form.options {
            assert!(
                words.contains(&option.name.as_ref()),
                "{} in {signature}",
                option.name
            );
        }
        assert!(
            !form.doc.is_empty() && form.doc.ends_with('.'),
            "{signature}: {}",
            form.doc
        );
        writeln!(all, "{signature}").unwrap();
    }
    expect_test::expect_file!["../phrases.txt"].assert_eq(&all);
}

/// Whether a draft uses a row of the table.
fn uses(program: &Program, row: usize) -> bool {
    in_ops(&program.body, row)
}

fn in_ops(ops: &[Op], row: usize) -> bool {
    ops.iter().any(|op| match op {
        Op::Draw(drawing) => in_node(&drawing.value, row),
        Op::Try(trial) => {
            in_ops(&trial.body, row) || in_node(&trial.left, row) || in_node(&trial.right, row)
        }
        Op::If(choice) => {
            choice
                .branches
                .iter()
                .any(|(condition, body)| in_node(condition, row) || in_ops(body, row))
                || in_ops(&choice.otherwise, row)
        }
        Op::Require(claim) | Op::Check(claim) => in_node(&claim.condition, row),
        _ => false,
    })
}

fn in_node(node: &Node, row: usize) -> bool {
    let any = |nodes: &[Node]| nodes.iter().any(|node| in_node(node, row));
    match node {
        Node::Known(_) | Node::Figure(_) | Node::Slot(_) => false,
        Node::Sum(sum) => in_node(&sum.left, row) || in_node(&sum.right, row),
        Node::Negative(inner) | Node::Not(inner) | Node::Turn(inner, _) | Node::Spread(inner) => {
            in_node(inner, row)
        }
        Node::Call(call) => {
            call.form == row || call.args.iter().flatten().any(|arg| in_node(arg, row))
        }
        Node::Operation(call) => any(&call.args),
        Node::Displaced(displaced) => {
            let far = |far: &FarNode| match far {
                FarNode::By(node, _) | FarNode::Until(node, ..) => in_node(node, row),
            };
            in_node(&displaced.from, row) || displaced.legs.iter().any(|(_, leg)| far(leg))
        }
        Node::Bearing(_) => false,
        Node::Compare(compare) => {
            let right = match &compare.relation {
                RelationNode::Plain(_, node) => in_node(node, row),
                RelationNode::Within(a, b) | RelationNode::Between(a, b) => {
                    in_node(a, row) || in_node(b, row)
                }
                RelationNode::Than { by, than, .. } => in_node(by, row) || in_node(than, row),
            };
            right || in_node(&compare.left, row)
        }
        Node::Both(a, b) | Node::Either(a, b) => in_node(a, row) || in_node(b, row),
        Node::List(nodes) => any(nodes),
        Node::Each(each) => {
            let over = match &each.over {
                EachOverNode::Count(from, to) => in_node(from, row) || in_node(to, row),
                EachOverNode::Items(list) => in_node(list, row),
            };
            over || in_ops(&each.body, row) || in_node(&each.give, row)
        }
        Node::Text(parts) => parts.iter().any(|part| match part {
            TextNode::Value(node, _) => in_node(node, row),
            TextNode::Letters(_) => false,
        }),
    }
}
