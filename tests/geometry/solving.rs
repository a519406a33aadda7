//! Solving: one answer, several, none, touching, gaps, jumps, and few trials.

use crate::common::near;
use kurbo::{Point, Vec2};
use oaktag::geometry::curves::{Handle, hollow, sweep};
use oaktag::geometry::solve::{MISS, Outcome, PARTS, solve, solve_in};
use std::cell::Cell;

fn plain(f: impl Fn(f64) -> f64, first: f64, last: f64) -> Outcome<()> {
    solve(|x| Ok(f(x)), first, last)
}

#[test]
fn roots_of_known_functions() {
    for (f, first, last, root) in [
        (
            Box::new(|x: f64| x * x - 2.0) as Box<dyn Fn(f64) -> f64>,
            0.0,
            2.0,
            2f64.sqrt(),
        ),
        (
            Box::new(|x: f64| x.cos() - x),
            0.0,
            1.0,
            0.739_085_133_215_160_6,
        ), // Dottie number
        (Box::new(|x: f64| (x - 0.3).powi(5)), -1.0, 1.0, 0.3),
        (Box::new(|x: f64| x.exp() - 1e6), 0.0, 20.0, 1e6f64.ln()),
        (Box::new(|x: f64| 1e-7 * (x - 60.0)), 0.0, 100.0, 60.0),
        (Box::new(|x: f64| x - 5.0), 5.0, 9.0, 5.0),
        (Box::new(|x: f64| x - 9.0), 5.0, 9.0, 9.0),
    ] {
        match plain(&f, first, last) {
            Outcome::Found { value, others, .. } => {
                assert!(f(value).abs() <= MISS, "{value} misses by {}", f(value));
                near(
                    value,
                    root,
                    if root == 0.3 {
                        0.02
                    } else if root == 60.0 {
                        0.01
                    } else {
                        1e-8
                    },
                );
                assert!(others.is_empty());
            }
            other => panic!("{other:?}"),
        }
    }
}

#[test]
fn the_first_answer_from_the_first_bound_and_the_others_told() {
    let wave = |x: f64| (x - 10.0) * (x - 35.0) * (x - 80.0);
    match plain(wave, 0.0, 100.0) {
        Outcome::Found { value, others, .. } => {
            near(value, 10.0, 1e-9);
            near(others[0], 35.0, 1e-9);
            near(others[1], 80.0, 1e-9);
        }
        other => panic!("{other:?}"),
    }
    // From the other bound the last comes first.
    assert!(
        matches!(plain(wave, 100.0, 0.0), Outcome::Found { value, .. } if (value - 80.0).abs() < 1e-9)
    );
}

#[test]
fn no_answer_says_what_both_bounds_give_and_the_nearest() {
    match plain(|lift| 190.0 + lift - 218.0, 0.0, 15.0) {
        Outcome::None {
            at_first,
            at_last,
            nearest,
            gaps,
        } => {
            near(at_first.unwrap().miss, -28.0, 1e-12);
            near(at_last.unwrap().miss, -13.0, 1e-12);
            near(nearest.unwrap().value, 15.0, 1e-12);
            assert!(gaps.is_empty());
        }
        other => panic!("{other:?}"),
    }
    // A dip that stays above zero between two trials is narrowed down.
    match plain(|x| (x - 41.3).powi(2) + 0.5, 0.0, 100.0) {
        Outcome::None { nearest, .. } => near(nearest.unwrap().value, 41.3, 1e-3),
        other => panic!("{other:?}"),
    }
    // One that just touches is an answer.
    assert!(
        matches!(plain(|x| (x - 41.3).powi(2), 0.0, 100.0), Outcome::Found { value, .. } if (value - 41.3).abs() < 1e-4)
    );
    // Two answers inside one part are found by way of the dip.
    assert!(matches!(plain(|x| (x - 41.3).powi(2) - 0.01, 0.0, 100.0),
        Outcome::Found { value, .. } if ((value - 41.3).abs() - 0.1).abs() < 1e-6));
}

#[test]
fn trials_that_cannot_be_drawn_are_gaps() {
    let f = |x: f64| {
        if (20.0..40.0).contains(&x) {
            Err("no corner")
        } else {
            Ok(x - 70.0)
        }
    };
    match solve(f, 0.0, 100.0) {
        Outcome::Found { value, gaps, .. } => {
            near(value, 70.0, 1e-9);
            assert_eq!(gaps.len(), 5);
            near(gaps[0].value, 500.0 / 24.0, 1e-12);
        }
        other => panic!("{other:?}"),
    }
    // A change of sign across a gap is not an answer.
    let f = |x: f64| {
        if (48.0..60.0).contains(&x) {
            Err(())
        } else {
            Ok(if x < 50.0 { -1.0 } else { 1.0 })
        }
    };
    assert!(matches!(solve(f, 0.0, 100.0), Outcome::None { gaps, .. } if !gaps.is_empty()));
    assert!(matches!(solve(|_| Err::<f64, ()>(()), 0.0, 1.0),
        Outcome::None { at_first: None, nearest: None, gaps, .. } if gaps.len() == PARTS + 1));
    // Nor is a jump past zero.
    assert!(matches!(
        plain(|x| if x < 51.7 { -3.0 } else { 4.0 }, 0.0, 100.0),
        Outcome::None { .. }
    ));
    assert!(matches!(
        plain(|x| 1.0 / (x - 51.7), 0.0, 100.0),
        Outcome::None { .. }
    ));
}

#[test]
fn few_trials_are_spent() {
    // Solving a collar for a neckline: the run whose stand is as long as 199.05 (common practice).
    let trials = Cell::new(0);
    let stand = |run: f64| {
        trials.set(trials.get() + 1);
        let path = hollow(
            Point::ORIGIN,
            Point::new(0.55 * run, 0.0),
            Point::new(run, 15.0),
            2.0 / 3.0,
        )?;
        Ok::<f64, oaktag::geometry::curves::CurveFault>(path.length()? - 199.05)
    };
    let found = solve(stand, 150.0, 250.0);
    assert!(matches!(found, Outcome::Found { .. }), "{found:?}");
    assert!(trials.get() <= PARTS + 1 + 6, "{} trials", trials.get());
    let trials = Cell::new(0);
    let cap = |width: f64| {
        trials.set(trials.get() + 1);
        let (end, level) = (Point::new(-width, -127.8), Vec2::new(-1.0, 0.0));
        let path = sweep(
            Point::ORIGIN,
            level,
            end,
            level,
            Handle::Length(0.48 * width),
            Handle::Length(0.38 * width),
        )?;
        Ok::<f64, oaktag::geometry::curves::CurveFault>(path.length()? - 235.87)
    };
    // The reference body: a back cap of 235.87 at a height of 127.83 needs a half width of 188.34.
    match solve_in(cap, 50.0, 300.0, PARTS, 1e-9) {
        Outcome::Found { value, others, .. } => {
            near(value, 188.34, 0.05);
            assert!(others.is_empty());
        }
        other => panic!("{other:?}"),
    }
    assert!(trials.get() <= PARTS + 1 + 7, "{} trials", trials.get());
}
