//! A step played on the page: its acts one after another, each line drawn as its sentence is read. Without a script, and on paper,
//! the page is as it was.

use super::Step;
use maud::{Markup, html};

/// Plays what [`panel`] and [`draws`] mark out; it writes no word that does not stand in the page.
pub(super) const SCRIPT: &str = include_str!("play.js");

pub(super) const STYLE: &str = "
.play{position:sticky;top:0;z-index:1;display:flex;flex-wrap:wrap;gap:.4rem;background:var(--paper);padding:.4rem 0}
.play[hidden],.play button[hidden]{display:none}
.play button{font:inherit;min-height:2.75rem;min-width:2.75rem;padding:.2rem .8rem;color:var(--ink);background:var(--card);border:1px solid var(--slate);border-radius:4px;cursor:pointer}
.play p{flex-basis:100%;margin:0}
.play~figure svg{scroll-margin-top:10rem}
.play.on .go,.play:not(.on) .halt{display:none}
.does li.now{background:var(--mark)}
svg .wait{visibility:hidden}
svg .draws{stroke-dasharray:1;animation:draws 1.4s ease-in-out}
svg .comes{animation:comes .6s}
@keyframes draws{from{stroke-dashoffset:1}to{stroke-dashoffset:0}}
@keyframes comes{from{opacity:0}}
@media (prefers-reduced-motion:reduce){svg .draws,svg .comes{animation:none;stroke-dasharray:none}}
@media print{.play{display:none}svg .wait{visibility:visible}.does li.now{background:none}}
";

/// Whether there is something to play: more than one act, and a picture.
fn plays(step: &Step) -> bool {
    let mut acts: Vec<usize> = step.draws.iter().map(|(_, act)| *act).collect();
    acts.dedup();
    acts.len() > 1 && !step.plates.is_empty()
}

/// The buttons of a step; the script shows them, since without it they do nothing.
pub(super) fn panel(step: &Step) -> Markup {
    html! {
        @if plays(step) {
            div.play hidden role="group" aria-label=(format!("Step {}, act by act", step.number)) data-act="Act" data-of="of" {
                button type="button" data-does="play" { span.go { "Play" } span.halt { "Stop" } }
                button type="button" data-does="back" { "Act back" }
                button type="button" data-does="on" { "Act on" }
                button type="button" data-does="all" { "Show all" }
                p.now role="status" {}
            }
        }
    }
}

/// What an act draws, for the script: full names with spaces between.
pub(super) fn draws(step: &Step, act: usize) -> Option<String> {
    let names = step.draws.iter().filter(|(_, of)| *of == act);
    let names: Vec<&str> = names.map(|(name, _)| name.as_str()).collect();
    (!names.is_empty() && plays(step)).then(|| names.join(" "))
}
