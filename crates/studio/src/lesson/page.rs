//! A lesson as one page: start, steps, half way, the end, glossary. One file that needs no network, reads well on a phone
//! and on paper, in light and in dark, by eye and by ear.

use super::class::{ANSWERS, FORMULAS};
use super::{Check, Class, Figure, Lesson, Step, class_page, play, preface};
use maud::{Markup, PreEscaped, html};
use oaktag_output::drawing::Drawing;
use oaktag_output::drawing::style::{Colours, css};
use oaktag_output::{svg, web};

const STYLE: &str = "
.step{border-top:2px solid var(--rule);padding:1.4rem 0}
.work{display:grid;grid-template-columns:minmax(0,1fr) minmax(0,1fr);gap:1rem 2rem;align-items:start}
.does{padding-left:1.4rem;margin:.3rem 0}
.does li{margin:.45rem 0}
.note{background:var(--card);border-left:4px solid var(--slate);padding:.5rem .8rem;margin:.5rem 0}
.why{border-left:4px solid var(--rule);padding:.3rem .8rem;margin:.6rem 0}
.caution{border:2px solid var(--accent);border-radius:4px;padding:.5rem .8rem;margin:.6rem 0;background:var(--card)}
.unfinished{border:3px solid var(--accent);padding:.6rem .8rem;margin:1rem 0;color:var(--accent);font-size:1.2rem;overflow-wrap:anywhere}
.tables{display:flex;flex-wrap:wrap;align-items:start;gap:.4rem 1.6rem}
.tables table{width:auto}
.tables caption{text-align:left;font-size:.9rem;max-width:19rem;padding:.4rem 0 .2rem}
.tables th,.tables td{font-size:.9rem;padding:.12rem 1rem .12rem 0}
.picture{margin:0 0 1rem}
.picture figcaption{color:var(--soft);font-size:.9rem;margin-top:.3rem}
.picture>svg{max-width:27rem}
.true{overflow-x:auto}
.piece{display:grid;grid-template-columns:minmax(0,1fr) minmax(0,1fr);gap:0 2rem;align-items:start}
.locator{width:8rem;margin:.6rem 0 0}
nav.steps ol{columns:2;padding-left:1.4rem}
nav.steps li a{display:block;padding:.35rem 0}
.turn{display:flex;gap:1.5rem;flex-wrap:wrap}
.turn a{padding:.6rem 0}
details{border:1px solid var(--rule);border-radius:4px;padding:.3rem .8rem;margin:.8rem 0}
summary{cursor:pointer;padding:.5rem 0}
.key{list-style:none;columns:14rem;padding:0;margin:.3rem 0;font-size:.9rem}
dt{font-weight:bold;margin-top:.6rem}
dd{margin:0 0 0 1rem}
@media (max-width:52rem){.work,.piece{display:block}.picture{margin-top:1rem}nav.steps ol{columns:1}}
@media print{h2,h3,h4,summary,caption{break-after:avoid}.picture,tr,li,.note,.caution{break-inside:avoid}.work,.piece{display:grid}nav.steps,.turn{display:none}main{max-width:none}details:not([open]){display:none}details{border:0;padding:0}}
";

/// The lesson as one page for a browser, its figures and its style inside it.
pub fn html(lesson: &Lesson) -> String {
    let body = html! {
        a.skip href="#start" { "To the lesson" }
        header.top {
            h1 { (lesson.title) }
            p.soft { (preface::subtitle(lesson)) }
            (class_page::head(lesson))
            (unfinished(lesson))
        }
        main id="start" {
            (start(lesson))
            @for (at, step) in lesson.steps.iter().enumerate() {
                (section(step, lesson, at))
                @if let Some((after, plate)) = &lesson.midway {
                    @if *after == step.number {
                        section.step aria-labelledby="midway" {
                            h2 id="midway" { (preface::MIDWAY) }
                            p { (preface::HALF_WAY) }
                            (picture(plate, "figure-midway", &format!("All sheets after step {after}"), false))
                        }
                    }
                }
            }
            (end(lesson))
            (class_page::formulas(lesson))
            (glossary(lesson))
            (class_page::answers(lesson))
        }
        footer {
            p.soft { (preface::NOT_SEWN) }
        }
    };
    let title = format!("{}: a lesson", lesson.title);
    web::page(
        &title,
        &format!(
            "{STYLE}{}{}{}",
            play::STYLE,
            class_page::style(lesson),
            css(lesson.pictures(), Colours::OfPage)
        ),
        play::SCRIPT,
        &body,
    )
}

/// Across the page, and at the foot of each piece, where something is missing.
fn unfinished(lesson: &Lesson) -> Markup {
    html! {
        @if let Some(said) = &lesson.unfinished { p.unfinished { strong { (said) } } }
    }
}

fn start(lesson: &Lesson) -> Markup {
    html! {
        section.step aria-labelledby="before" {
            h2 id="before" { (preface::BEFORE) }
            h3 { (preface::NEED) }
            p { (lesson.tools) }
            @for block in &lesson.blocks { p { (preface::BLOCKS) ": " (block) "." } }
            @if !lesson.cloths.is_empty() { p { "Cloth: " (lesson.cloths.join("; ")) "." } }
            p.caution { strong { "Blades. " } (preface::BLADES) }
            h3 { (preface::SCALE) }
            p { (preface::scale(lesson)) }
            p { (preface::FIGURES) }
            @for caution in &lesson.cautions { p.caution { strong { "Caution. " } (caution) } }
            (table(preface::OF_BODY, preface::HOW_TAKEN, &lesson.body, lesson.class))
            (table("Choices", preface::CHOICE, &lesson.choices, lesson.class))
        }
        nav.steps aria-labelledby="steps" {
            h2 id="steps" { "Steps" }
            ol {
                @for step in &lesson.steps {
                    li { a href=(format!("#{}", anchor(step))) { (step.title) @if !step.panel.is_empty() && !step.panel.eq_ignore_ascii_case(&step.title) { " (" (step.panel) ")" } } }
                }
            }
            p {
                a href="#finished" { (preface::FINISHED) }
                @if !lesson.formulas.is_empty() { " · " a href="#formulas" { (FORMULAS) } }
                " · " a href="#glossary" { "Glossary" }
                @if !lesson.answers.is_empty() { " · " a href="#answers" { (ANSWERS) } }
            }
        }
    }
}

fn table(caption: &str, how: &str, figures: &[Figure], class: Class) -> Markup {
    html! {
        @if !figures.is_empty() {
            h3 { (caption) }
            table {
                thead { tr { th scope="col" { "Name" } th.figure scope="col" { "This body" } th scope="col" { (how) } (class_page::yours_head(class)) } }
                tbody {
                    @for figure in figures {
                        tr {
                            th scope="row" { (figure.name) }
                            td.figure { (figure.value) }
                            td { (figure.text) @if !figure.formula.is_empty() { @if !figure.text.is_empty() { "; " } (figure.formula) } }
                            (class_page::yours(class))
                        }
                    }
                }
            }
        }
    }
}

/// Its place in the page, in letters that every reader of addresses takes.
fn anchor(step: &Step) -> String {
    format!("step-{}", step.number.replace('.', "-"))
}

fn section(step: &Step, lesson: &Lesson, at: usize) -> Markup {
    let id = anchor(step);
    html! {
        section.step id=(id) aria-labelledby=(format!("{id}-title")) {
            h2 id=(format!("{id}-title")) { (step.number) ". " (step.title) }
            (inner(step, false))
            p.turn.screen {
                @if let Some(before) = at.checked_sub(1).and_then(|at| lesson.steps.get(at)) {
                    a href=(format!("#{}", anchor(before))) { "Back to step " (before.number) }
                }
                @if let Some(next) = lesson.steps.get(at + 1) {
                    a href=(format!("#{}", anchor(next))) { "On to step " (next.number) }
                } @else {
                    a href="#finished" { "On to the finished pattern" }
                }
            }
        }
    }
}

/// A step's content; of a step inside an operation with smaller headings.
fn inner(step: &Step, small: bool) -> Markup {
    let heading = |words: &str| html! { @if small { h4 { (words) } } @else { h3 { (words) } } };
    html! {
        @if !step.panel.is_empty() { p.soft { "On the sheet: " (step.panel) } }
        @for note in &step.notes { p.note { (note) } }
        div.work {
            div {
                (heading("Do"))
                ol.does { @for (at, does) in step.does.iter().enumerate() { li data-draws=[play::draws(step, at + 1)] { (does) } } }
                (places(step))
                @if !step.figures.is_empty() {
                    (heading(preface::MEASURES_USED))
                    table {
                        thead { tr { th scope="col" { "Name" } th.figure scope="col" { "This body" } th scope="col" { "From" } (class_page::yours_head(step.class)) } }
                        tbody { @for one in &step.figures { tr { th scope="row" { (one.name) } td.figure { (one.value) } td { (one.formula) } (class_page::yours(step.class)) } } }
                    }
                }
                (checks(step, &heading))
                @for why in &step.whys { p.why { strong { "Why. " } (why) } }
                @for caution in &step.cautions { p.caution { strong { "Caution. " } (caution) } }
                @if !step.terms.is_empty() { p.soft { "Terms: " (step.terms.join(", ")) } }
            }
            @if !step.plates.is_empty() {
                div {
                    (play::panel(step))
                    @for (at, plate) in step.plates.iter().enumerate() {
                        @let id = format!("{}-{}", anchor(step), at + 1);
                        (picture(&plate.drawing, &format!("figure-{id}"), &step.caption(plate), plate.scale.is_some()))
                        (key(&plate.key))
                        @if let Some(locator) = &plate.locator {
                            div.locator { (PreEscaped(svg::inline(locator, &format!("locator-{id}")))) }
                        }
                    }
                }
            }
        }
        @if !step.inside.is_empty() {
            details open {
                summary { @if step.inside.len() == 1 { "The step inside" } @else { "The " (step.inside.len()) " steps inside" } }
                @for inside in &step.inside {
                    section id=(anchor(inside)) aria-labelledby=(format!("{}-title", anchor(inside))) {
                        h3 id=(format!("{}-title", anchor(inside))) { (inside.number) ". " (inside.title) }
                        (inner(inside, true))
                    }
                }
            }
        }
    }
}

fn checks(step: &Step, heading: &dyn Fn(&str) -> Markup) -> Markup {
    html! {
        @if !step.measures.is_empty() || !step.checks.is_empty() {
            (heading("Check"))
            ul {
                @for (name, length) in &step.measures { li { (name) ": " (length) } }
                @for check in &step.checks { li { (said(check)) } }
            }
        }
        @if !step.slips.is_empty() {
            (heading(preface::IF_WRONG))
            ul { @for slip in &step.slips { li { strong { "Is " (slip.of) " " (slip.figure) "? " } (slip.text) } } }
        }
    }
}

fn said(check: &Check) -> Markup {
    html! { (check.text) ": " (check.measured) ", wanted " (check.wanted) (verdict(check)) }
}

fn verdict(check: &Check) -> Markup {
    let words = check.verdict();
    html! {
        @if !check.ok { ". " strong { (words) } }
        @else if !words.is_empty() { ". " (words) }
    }
}

/// The tables that acts are drawn from.
fn places(step: &Step) -> Markup {
    html! {
        @if !step.tables.is_empty() {
            div.tables {
                @for table in &step.tables {
                    table {
                        caption { (table.title) }
                        thead { tr { @for cell in &table.head { th.figure scope="col" { (cell) } } } }
                        tbody { @for row in &table.rows { tr { @for cell in row { td.figure { (cell) } } } } }
                    }
                }
            }
        }
    }
}

/// Numbers in a figure and what they stand for.
fn key(key: &[(String, String)]) -> Markup {
    html! {
        @if !key.is_empty() {
            p.soft { (preface::IN_FIGURE) ":" }
            ol.key {
                @for (number, name) in key {
                    li { @if !number.is_empty() { strong { (number) } " " } (name) }
                }
            }
        }
    }
}

/// A figure, as wide as its column; one at a fixed scale as large as it is, in a frame that may be scrolled.
fn picture(plate: &Drawing, id: &str, caption: &str, true_size: bool) -> Markup {
    let drawn = PreEscaped(svg::inline(plate, id));
    html! {
        figure.picture {
            @if true_size {
                @let size = format!("width:{}mm", oaktag_output::number::short(plate.width, 2));
                section.true tabindex="0" aria-label=(format!("Figure: {caption}")) {
                    div style=(size) { (drawn) }
                }
            } @else { (drawn) }
            figcaption { (caption) }
        }
    }
}

fn end(lesson: &Lesson) -> Markup {
    html! {
        section.step id="finished" aria-labelledby="finished-title" {
            h2 id="finished-title" { (preface::FINISHED) }
            @if let Some(plate) = &lesson.last {
                (picture(plate, "figure-last", "The pieces", false))
            }
            (unfinished(lesson))
            @for (at, work) in lesson.pieces.iter().enumerate() {
                h3 { (work.title) }
                div.piece {
                    ul { @for said in &work.does { li { (said) } } }
                    @if let Some((plate, names)) = &work.plate {
                        div {
                            (picture(plate, &format!("figure-piece-{}", at + 1), &work.title, false))
                            (key(names))
                        }
                    }
                }
                (unfinished(lesson))
            }
            @if !lesson.seams.is_empty() {
                h3 { (preface::WALK) }
                ul {
                    @for (seam, how) in &lesson.seams {
                        li { (said(seam)) @for words in how { br; (words) } }
                    }
                }
            }
            @if !lesson.order.is_empty() {
                h3 { (preface::MAKING_UP) }
                p.soft { (lesson.order_found) }
                ol { @for words in &lesson.order { li { (words) } } }
            }
            @if !lesson.checks.is_empty() {
                h3 { "Checks" }
                ul { @for check in &lesson.checks { li { (said(check)) } } }
            }
            @for (at, (of, checks)) in lesson.overtaken.iter().enumerate() {
                @if at == 0 { h3 { (preface::CHECKED_ANEW) } }
                h4 { (of) }
                ul { @for check in checks { li { (said(check)) } } }
            }
        }
    }
}

fn glossary(lesson: &Lesson) -> Markup {
    html! {
        section.step id="glossary" aria-labelledby="glossary-title" {
            h2 id="glossary-title" { "Glossary" }
            dl { @for (term, meaning) in &lesson.terms { dt { (term) } dd { (meaning) } } }
        }
    }
}
