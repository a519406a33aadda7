//! Two acts, one after the other.

use crate::library_pairs::acts::{Act, ON_BLOCK, ON_BODY, ON_SLEEVE};
use crate::library_pairs::garment::{Came, Shape, difference, draw};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Blocks, bodies and sleeves to begin with.
const BLOCKS: &[(&str, &str)] = &[
    ("women", "use body\npanel shirt = womens_block\n"),
    ("men", "use mens_body\npanel shirt = mens_block\n"),
    ("card", CARD),
];

/// The points of a purser's own card, in inches as in the library's example.
const CARD: &str = include_str!("card.txt");

/// Acts that a block does not bear even alone: no dart to widen or to keep, no lines to alter, or armholes of a front
/// without a dart that nothing balances again.
const NOT_ALONE: &[(&str, &str)] = &[
    ("men", "full_bust"),
    ("men", "fitted_body"),
    ("men", "forward_shoulders"),
    ("men", "round_back"),
    ("card", "alter_neck"),
    ("card", "dartless_block"),
    ("card", "fitted_body"),
];

/// One draft to be tried: which two acts, on what, in which sentences.
struct Trial {
    base: &'static str,
    first: &'static str,
    second: &'static str,
    options: (usize, usize),
    text: String,
}

/// What a trial asks: base, first act, second act, and their options.
type Asked<'t> = (&'t str, &'t str, &'t str, (usize, usize));

/// Acts that must be laid before one, in an order that works.
fn before(acts: &[Act], head: &str) -> Vec<&'static str> {
    let mut needed = BTreeSet::new();
    let mut open = vec![head];
    while let Some(head) = open.pop() {
        let act = acts.iter().find(|act| act.head == head);
        for need in act.map_or(&[][..], |act| act.needs) {
            if needed.insert(*need) {
                open.push(need);
            }
        }
    }
    let order = acts.iter().map(|act| act.head);
    order.filter(|head| needed.contains(head)).collect()
}

/// The acts of a trial in their order: what the first needs, the first, what else the second needs, the second. What
/// itself needs the second is left out, since the second is to come last.
fn sequence(
    acts: &[Act],
    first: &'static str,
    second: &'static str,
    late: bool,
) -> Vec<&'static str> {
    let mut laid = before(acts, first);
    let hems = ["tail_hem", "straight_hem"];
    let mut rest = before(acts, second);
    if late {
        laid.extend(rest.iter().filter(|head| **head != first));
        let order = acts.iter().map(|act| act.head);
        let wanted: BTreeSet<&str> = laid.iter().copied().collect();
        laid = order.filter(|head| wanted.contains(head)).collect();
    }
    laid.retain(|head| *head != second && !before(acts, head).contains(&second));
    // One hem is as good as the other.
    let has_hem = |laid: &[&str]| {
        [first, second]
            .iter()
            .chain(laid)
            .any(|head| hems.contains(head))
    };
    if hems.contains(&first) {
        laid.retain(|head| !hems.contains(head));
    }
    laid.push(first);
    if has_hem(&laid) {
        rest.retain(|head| !hems.contains(head));
    }
    laid.extend(rest.into_iter().filter(|head| *head != first));
    let mut seen = BTreeSet::new();
    laid.retain(|head| seen.insert(*head));
    laid.push(second);
    laid
}

fn said(acts: &[Act], head: &str, option: usize) -> &'static str {
    let act = acts.iter().find(|act| act.head == head).unwrap();
    act.said[option % act.said.len()]
}

fn options_of(acts: &[Act], head: &str) -> usize {
    acts.iter().find(|act| act.head == head).unwrap().said.len()
}

/// The draft of a body with these acts, made whole: sides and hem where there are none, then sleeves and a collar.
fn body(
    base: &str,
    heads: &[&'static str],
    trial: (&str, &str),
    options: (usize, usize),
    fitted: bool,
) -> String {
    let mut text = format!("draft \"Crew shirt\"\nunit cm\nuse shirt\nuse fitting\n{base}");
    text.push_str(if fitted {
        "panel shirt = fitted_body on shirt with back_length 66cm\n"
    } else {
        "panel shirt = shirt_body on shirt\n"
    });
    for head in heads {
        let option = if *head == trial.0 {
            options.0
        } else if *head == trial.1 {
            options.1
        } else {
            0
        };
        let said = said(ON_BODY, head, option);
        text.push_str(&format!("panel shirt = {said}\n"));
    }
    if !fitted && !heads.contains(&"side_seams") {
        text.push_str("panel shirt = side_seams on shirt\n");
    }
    if !fitted && !heads.contains(&"tail_hem") && !heads.contains(&"straight_hem") {
        text.push_str("panel shirt = tail_hem on shirt\n");
    }
    whole(text)
}

/// With sleeves, and the neck bound.
fn whole(mut text: String) -> String {
    text.push_str("panel sleeve = sleeve_cap for shirt\npanel sleeve = short_sleeve on sleeve\npieces of shirt\npieces of sleeve\n");
    bound(&mut text);
    text
}

/// The neck bound: it is sewn to nothing here.
fn bound(text: &mut String) {
    let behind = if text.contains("= forward_yoke") {
        "yoke"
    } else {
        "back"
    };
    for piece in [behind, "front"] {
        text.push_str(&format!(
            "piece {piece} traced from shirt.{piece} {{ finish neck \"bound\" }}\n"
        ));
    }
}

fn wants_all() -> bool {
    std::env::var("OAKTAG_PAIRS").is_ok_and(|which| which == "all")
}

/// The options to try of two acts: both as they come, or all.
fn options(acts: &[Act], first: &str, second: &str) -> Vec<(usize, usize)> {
    if !wants_all() {
        return vec![(0, 0)];
    }
    let (a, b) = (options_of(acts, first), options_of(acts, second));
    (0..a)
        .flat_map(|one| (0..b).map(move |two| (one, two)))
        .collect()
}

fn body_trials() -> Vec<Trial> {
    let mut trials = Vec::new();
    let heads: Vec<&str> = ON_BODY.iter().map(|act| act.head).collect();
    let place = |head: &str| heads.iter().position(|other| *other == head).unwrap();
    for (first, second) in ordered(&heads) {
        for (at, (base, block)) in BLOCKS.iter().chain([&("fitted", BLOCKS[0].1)]).enumerate() {
            // By turns, both orders on one base; `dart_to_side` belongs to the fitted body.
            let turn = if [first, second].contains(&"dart_to_side") {
                3
            } else {
                (place(first) + place(second)) % 4
            };
            if !wants_all() && turn != at {
                continue;
            }
            let fitted = *base == "fitted";
            for options in options(ON_BODY, first, second) {
                let mut texts = BTreeSet::new();
                for late in [true, false] {
                    if !late && !wants_all() {
                        continue;
                    }
                    let mut heads = sequence(ON_BODY, first, second, late);
                    if fitted {
                        heads.retain(|head| {
                            [first, second].contains(head)
                                || !["side_seams", "tail_hem", "fitted_body"].contains(head)
                        });
                    }
                    texts.insert(body(block, &heads, (first, second), options, fitted));
                }
                for text in texts {
                    trials.push(Trial {
                        base,
                        first,
                        second,
                        options,
                        text,
                    });
                }
            }
        }
    }
    trials
}

fn block_trials() -> Vec<Trial> {
    let mut trials = Vec::new();
    let heads: Vec<&str> = ON_BLOCK.iter().map(|act| act.head).collect();
    for (first, second) in ordered(&heads) {
        for (base, block) in BLOCKS {
            if NOT_ALONE
                .iter()
                .any(|(on, head)| on == base && [first, second].contains(head))
            {
                continue;
            }
            for options in options(ON_BLOCK, first, second) {
                let mut text = format!("draft \"Block\"\nunit cm\nuse shirt\nuse fitting\n{block}");
                for (head, option) in [(first, options.0), (second, options.1)] {
                    text.push_str(&format!("panel shirt = {}\n", said(ON_BLOCK, head, option)));
                }
                let bodies = ["shirt_body", "fitted_body"];
                let own = [first, second].iter().any(|head| bodies.contains(head));
                let turned = [first, second].contains(&"dartless_block");
                if !own && !turned {
                    text.push_str("panel shirt = shirt_body on shirt\n");
                }
                if own && ![first, second].contains(&"fitted_body") || !own && !turned {
                    text.push_str(
                        "panel shirt = side_seams on shirt\npanel shirt = tail_hem on shirt\n",
                    );
                }
                if turned && !own {
                    text.push_str("pieces of shirt\n");
                } else {
                    text = whole(text);
                }
                trials.push(Trial {
                    base,
                    first,
                    second,
                    options,
                    text,
                });
            }
        }
    }
    trials
}

fn sleeve_trials() -> Vec<Trial> {
    let mut trials = Vec::new();
    let heads: Vec<&str> = ON_SLEEVE.iter().map(|act| act.head).collect();
    for (first, second) in ordered(&heads) {
        if first.ends_with("cuff") && second.ends_with("cuff") {
            continue;
        }
        for options in options(ON_SLEEVE, first, second) {
            let mut text = String::from(
                "draft \"Sleeve\"\nunit cm\nuse shirt\nuse body\npanel shirt = womens_block\npanel shirt = shirt_body on shirt\npanel shirt = side_seams on shirt\npanel shirt = tail_hem on shirt\npanel sleeve = sleeve_cap for shirt\n",
            );
            let mut taken = String::from("pieces of shirt\npieces of sleeve\n");
            let laid = sequence(ON_SLEEVE, first, second, true);
            let closed = laid.iter().any(|head| head.ends_with("cuff"));
            for head in &laid {
                let option = if *head == first { options.0 } else { options.1 };
                let said = said(
                    ON_SLEEVE,
                    head,
                    if [first, second].contains(head) {
                        option
                    } else {
                        0
                    },
                );
                if head.ends_with("cuff") {
                    text.push_str(&format!("panel {head}s = {said}\n"));
                    taken.push_str(&format!("pieces of {head}s\n"));
                } else {
                    text.push_str(&format!("panel sleeve = {said}\n"));
                }
            }
            if !closed && laid.iter().any(|head| head.ends_with("placket")) {
                text.push_str("panel cuff = single_cuff for sleeve\n");
                taken.push_str("pieces of cuff\n");
            } else if laid.iter().all(|head| head.ends_with("tab")) {
                text.push_str("panel sleeve = short_sleeve on sleeve\n");
            }
            text.push_str(&taken);
            bound(&mut text);
            trials.push(Trial {
                base: "sleeve",
                first,
                second,
                options,
                text,
            });
        }
    }
    trials
}

/// Every two, in both orders; an act after itself is not asked.
fn ordered<'h>(heads: &[&'h str]) -> Vec<(&'h str, &'h str)> {
    let all = heads
        .iter()
        .flat_map(|a| heads.iter().map(move |b| (*a, *b)));
    all.filter(|(a, b)| a != b).collect()
}

/// Each trial drawn, by as many hands as there are.
fn drawn(trials: &[Trial]) -> Vec<Came> {
    let next = AtomicUsize::new(0);
    let came: Mutex<Vec<Option<Came>>> = Mutex::new(trials.iter().map(|_| None).collect());
    let hands = std::thread::available_parallelism().map_or(1, usize::from);
    std::thread::scope(|scope| {
        for _ in 0..hands {
            scope.spawn(|| {
                while let Some(trial) = trials.get(next.fetch_add(1, Ordering::Relaxed)) {
                    let at = (trial as *const Trial).addr() - trials.as_ptr().addr();
                    let came_of_it = draw(&trial.text);
                    came.lock().unwrap()[at / size_of::<Trial>()] = Some(came_of_it);
                }
            });
        }
    });
    came.into_inner()
        .unwrap()
        .into_iter()
        .map(Option::unwrap)
        .collect()
}

/// Names of acts that a refusal writes out.
fn named(words: &str) -> BTreeSet<&str> {
    words.split('`').skip(1).step_by(2).collect()
}

/// Draws all, and tells what is neither whole nor refused in a sentence that names another act.
fn judged(trials: &[Trial], apart: &[(&str, &str)]) {
    let came = drawn(trials);
    let mut wrong = Vec::new();
    let mut counted: BTreeMap<(&str, &str), [usize; 2]> = BTreeMap::new();
    for (trial, came) in trials.iter().zip(&came) {
        let Trial {
            base,
            first,
            second,
            options,
            text,
        } = trial;
        let mut tell = |what: String| {
            wrong.push(format!(
                "{base}: {first}, then {second} {options:?}: {what}\n{text}"
            ))
        };
        let count = counted.entry((first, second)).or_default();
        match came {
            Came::Whole(_, broken) => {
                count[0] += 1;
                if !broken.is_empty() {
                    tell(broken.join("\n"));
                }
            }
            Came::Refused(words, line) => {
                count[1] += 1;
                let own = line.split(' ').nth(3).unwrap_or_default();
                if !named(words).iter().any(|name| *name != own && is_act(name)) {
                    tell(format!("refused without another act: {words}"));
                }
            }
            Came::Wrong(what) => tell(what.join("\n")),
        }
    }
    // Two acts that do not hang together make one garment in either order.
    let mut whole: BTreeMap<Asked, &Shape> = BTreeMap::new();
    for (trial, came) in trials.iter().zip(&came) {
        if let Came::Whole(shape, _) = came {
            whole.insert(
                (trial.base, trial.first, trial.second, trial.options),
                shape,
            );
        }
    }
    for ((base, first, second, options), shape) in &whole {
        let other = whole.get(&(*base, *second, *first, (options.1, options.0)));
        let asked = !apart
            .iter()
            .any(|(a, b)| [a, b] == [first, second] || [a, b] == [second, first]);
        if let (Some(other), true, true) = (other, first < second, asked)
            && let Some(differs) = difference(shape, other)
        {
            wrong.push(format!("{base}: {first} and {second} {options:?} are another garment the other way round: {differs}"));
        }
    }
    if wants_all() {
        print(&counted);
    }
    let first: Vec<&str> = wrong.iter().take(3).map(String::as_str).collect();
    let rest = wrong
        .iter()
        .skip(3)
        .map(|told| told.split("\ndraft").next().unwrap());
    let rest: Vec<&str> = rest.collect();
    assert!(
        wrong.is_empty(),
        "{} wrong:\n{}\n{}",
        wrong.len(),
        first.join("\n"),
        rest.join("\n")
    );
}

fn is_act(name: &str) -> bool {
    let acts = [ON_BLOCK, ON_BODY, ON_SLEEVE].into_iter().flatten();
    acts.map(|act| act.head)
        .chain(["card_block"])
        .any(|head| head == name)
}

fn print(counted: &BTreeMap<(&str, &str), [usize; 2]>) {
    for ((first, second), [whole, refused]) in counted {
        println!("{first:24} {second:24} {whole:5} work {refused:5} refused");
    }
    let sum = |at: usize| counted.values().map(|count| count[at]).sum::<usize>();
    println!(
        "{} pairs: {} drafts work, {} are refused",
        counted.len(),
        sum(0),
        sum(1)
    );
}

#[test]
fn acts_on_a_body_work_in_any_order_or_say_which_comes_first() {
    // The back length is measured from the neck as it is when the hem is drawn.
    judged(
        &body_trials(),
        &[("open_neck", "tail_hem"), ("open_neck", "straight_hem")],
    );
}

#[test]
fn acts_on_a_block_work_in_any_order_or_say_which_comes_first() {
    // The shoulders turn about the neck point, which the other moves.
    let shoulders = ["square_shoulders", "sloping_shoulders", "forward_shoulders"];
    judged(&block_trials(), &shoulders.map(|act| ("alter_neck", act)));
}

#[test]
fn acts_on_a_sleeve_work_in_any_order_or_say_which_comes_first() {
    judged(&sleeve_trials(), &[]);
}

/// A block that lacks what an act needs says so, in one sentence.
#[test]
fn an_act_that_a_block_does_not_bear_is_refused_alone() {
    for (base, head) in NOT_ALONE {
        if ["forward_shoulders", "round_back"].contains(head) {
            continue;
        }
        let block = BLOCKS.iter().find(|(name, _)| name == base).unwrap().1;
        let said = said(ON_BLOCK, head, 0);
        let text = format!(
            "draft \"Block\"\nunit cm\nuse shirt\nuse fitting\n{block}panel shirt = {said}\n"
        );
        assert!(matches!(draw(&text), Came::Refused(..)), "{base}: {head}");
    }
}

/// Asked of a name that nothing draws, an act would pass over it in silence.
#[test]
fn every_name_that_the_library_asks_for_is_drawn_by_some_act() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("stdlib");
    let files = std::fs::read_dir(folder).unwrap();
    let paths = files.map(|file| file.unwrap().path());
    let drafts = paths.filter(|path| path.extension().is_some_and(|end| end == "draft"));
    let text: String = drafts
        .map(|path| std::fs::read_to_string(path).unwrap())
        .collect();
    let drawn = |name: &str| {
        let kinds = [
            "point", "line", "curve", "length", "angle", "number", "text", "list", "panel",
        ];
        text.lines().any(|line| {
            let line = line.trim_start();
            kinds.iter().any(|kind| {
                line.strip_prefix(kind).is_some_and(|rest| {
                    let names = rest.split(['=', '{']).next().unwrap();
                    let names = names.split(" traced ").next().unwrap();
                    names.split(',').any(|one| one.trim() == name)
                })
            }) || line.starts_with(&format!("try {name} between"))
        })
    };
    let mut asked = 0;
    // Without what the messages say.
    let said: Vec<&str> = text.split('"').step_by(2).collect();
    let said = said.join(" ");
    let parts: Vec<&str> = said.split(" is drawn").collect();
    for before in parts.split_last().unwrap().1 {
        let name = before.rsplit([' ', '.']).next().unwrap();
        assert!(drawn(name), "nothing draws {name}");
        asked += 1;
    }
    assert!(asked > 50, "{asked}");
}
