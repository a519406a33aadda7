//! On the page: the head of every sheet, the formula sheet, and the answers.

use super::Lesson;
use super::class::{ANSWERS, ANSWERS_SAID, BLANK, Class, FORMULAS, FORMULAS_SAID, YOURS};
use maud::{Markup, html};
use oaktag_output::web;

pub(super) const STYLE: &str = "
.head{color:var(--soft);margin:.3rem 0;overflow-wrap:anywhere}
td.yours,th.yours{min-width:6rem;border-left:1px solid var(--rule);padding-left:.6rem}
.formulas td{overflow-wrap:anywhere}
@media (max-width:40rem){td.yours,th.yours{min-width:3rem;padding-left:.3rem}th,td{overflow-wrap:anywhere;padding-right:.3rem}td.figure,th.figure{white-space:normal}.formulas thead{position:absolute;left:-99rem}.formulas tr,.formulas th,.formulas td{display:block;border:0;padding:.1rem 0}.formulas tr{border-bottom:1px solid var(--rule);padding:.4rem 0}.formulas td.yours{border:0}.formulas td.yours::before{content:'Yours '}}
@media print{#formulas,#answers{break-before:page}#answers>summary{display:none}.head.once{display:none}}
";

/// The style of what a class has, and the head on every sheet that is printed; a class always has a head.
pub(super) fn style(lesson: &Lesson) -> String {
    if lesson.head.is_empty() {
        return String::new();
    }
    let head = web::css_text(&lesson.head);
    format!(
        "{STYLE}@page{{margin:22mm 15mm 15mm;@top-left{{content:{head};font:9pt system-ui,sans-serif}}}}\n"
    )
}

/// The line at the head of the page; in print it stands on every sheet.
pub(super) fn head(lesson: &Lesson) -> Markup {
    html! { @if !lesson.head.is_empty() { p.head.once { (lesson.head) } } }
}

/// The column for the student's own figures.
pub(super) fn yours_head(class: Class) -> Markup {
    html! { @if class.is_one() { th.yours scope="col" { (YOURS) } } }
}

/// A cell of it.
pub(super) fn yours(class: Class) -> Markup {
    html! { @if class.is_one() { td.yours {} } }
}

/// Every figure as a formula.
pub(super) fn formulas(lesson: &Lesson) -> Markup {
    html! {
        @if !lesson.formulas.is_empty() {
            section.step id="formulas" aria-labelledby="formulas-title" {
                h2 id="formulas-title" { (FORMULAS) }
                p { (FORMULAS_SAID) }
                table.formulas {
                    thead { tr {
                        th scope="col" { "Step" }
                        th scope="col" { "Figure" }
                        th scope="col" { "Formula" }
                        th scope="col" { "This body" }
                        th.yours scope="col" { (YOURS) }
                    } }
                    tbody {
                        @for one in &lesson.formulas {
                            tr {
                                td { (one.place) }
                                th scope="row" { (one.of) }
                                td { (one.formula) @if let Some(deep) = &one.from_measures { " = " (deep) } }
                                td { @if let Some(question) = one.question { "[" (question) "] " (BLANK) } @else { (one.worked) } }
                                td.yours {}
                            }
                        }
                    }
                }
            }
        }
    }
}

/// The answers, folded away until they are asked for.
pub(super) fn answers(lesson: &Lesson) -> Markup {
    html! {
        @if !lesson.answers.is_empty() {
            details.step id="answers" {
                summary { (ANSWERS) }
                h2 { (ANSWERS) }
                p { (ANSWERS_SAID) }
                table {
                    thead { tr { th scope="col" { "Question" } th scope="col" { "Figure" } th scope="col" { "Answer" } } }
                    tbody { @for one in &lesson.answers { tr { td { "[" (one.question) "]" } th scope="row" { (one.of) } td { (one.worked) } } } }
                }
            }
        }
    }
}
