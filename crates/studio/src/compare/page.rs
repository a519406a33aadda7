//! A comparison as one page: the list on one side, the overlay on the other, a slider between what was and what is, and
//! lines of the list that light up what they speak of. Everything can be read without the slider, without a mouse and
//! without a picture.

use super::overlay::{self, KEY};
use super::report::{Group, Line, Report};
use super::{Comparison, Side};
use maud::{Markup, PreEscaped, html};
use oaktag_output::drawing::style::{Colours, css};
use oaktag_output::{svg, web};

/// The overlay in a page is no wider than this, in millimetres, so that its letters can be read beside the list.
const WIDEST: f64 = 340.0;

const STYLE: &str = "
main{max-width:none;display:grid;gap:1rem 2rem;grid-template-columns:minmax(18rem,30rem) 1fr;align-items:start}
header.top{max-width:none}
.picture{position:sticky;top:.5rem}
.slider{display:flex;gap:.7rem;align-items:center;margin:0 0 .5rem;flex-wrap:wrap}
.slider input{flex:1 1 10rem;min-height:2.75rem;accent-color:var(--accent)}
.picture svg{max-height:86vh}
#changes section+section{margin-top:1.6rem}
ul{list-style:none;margin:0;padding:0}
li{margin:.15rem 0}
li button{font:inherit;color:inherit;background:none;border:0;border-left:3px solid var(--rule);padding:.3rem .6rem;min-height:1.8rem;text-align:left;width:100%;cursor:pointer}
li button[aria-pressed=true],li button:hover{border-left-color:var(--accent);background:var(--mark)}
li p{margin:0;padding:.3rem .6rem}
pre{margin:.1rem 0 .4rem .7rem;white-space:pre-wrap;font:.85rem/1.45 ui-monospace,monospace}
pre del{color:var(--slate);text-decoration:none}
pre ins{color:var(--new);text-decoration:none}
.verdict{font-weight:bold;border:2px solid var(--accent);border-radius:4px;padding:.6rem .8rem;background:var(--card)}
.dim path,.dim text{opacity:.25}
.dim .lit{opacity:1}
path.lit{stroke-width:2.4}
@media (max-width:52rem){main{display:block}.picture{position:static;margin-top:1rem}}
@media print{main{display:block}.picture{position:static}.picture svg{max-height:none}}
";

/// Shades what was and what is by the slider, and lights what a line speaks of.
const SCRIPT: &str = "
(function(){
var svg=document.getElementById('overlay'),slider=document.getElementById('shade');
if(!svg)return;
function shade(){var v=Number(slider.value)/100;
svg.querySelectorAll('.was,.was-other').forEach(function(e){e.style.opacity=Math.min(1,2-2*v)});
svg.querySelectorAll('.is,.is-other,.face,.arrow').forEach(function(e){e.style.opacity=Math.min(1,2*v)});
slider.setAttribute('aria-valuetext',v<.34?'as it was':v>.66?'as it is now':'both');}
slider.addEventListener('input',shade);shade();
function off(){svg.classList.remove('dim');svg.querySelectorAll('.lit').forEach(function(e){e.classList.remove('lit')})}
var buttons=document.querySelectorAll('button[data-piece]');
buttons.forEach(function(b){b.addEventListener('click',function(){
var on=b.getAttribute('aria-pressed')==='true';off();
buttons.forEach(function(o){o.setAttribute('aria-pressed','false')});
if(on)return;
b.setAttribute('aria-pressed','true');svg.classList.add('dim');
svg.querySelectorAll('[data-piece]').forEach(function(e){
if(e.dataset.piece===b.dataset.piece&&(!b.dataset.name||e.dataset.name===b.dataset.name))e.classList.add('lit')})})});
document.addEventListener('keydown',function(e){if(e.key==='Escape'){off();buttons.forEach(function(o){o.setAttribute('aria-pressed','false')})}});
})();
";

/// The comparison as one page of HTML, its pictures included.
pub fn html(comparison: &Comparison, report: &Report, old: Side<'_>, new: Side<'_>) -> String {
    let overlay = overlay::fitted(comparison, (old, new), WIDEST);
    let body = html! {
        a.skip href="#changes" { "To the changes" }
        header.top {
            h1 { (report.title) }
            p.soft { (report.sides) }
            p.verdict { (report.verdict) }
        }
        main {
            div id="changes" {
                @for section in &report.sections {
                    section {
                        h2 { (section.heading) }
                        @for group in &section.groups { (said(group)) }
                    }
                }
            }
            section.picture aria-label="Laid over each other" {
                div.slider.screen {
                    label for="shade" { "As it was – as it is" }
                    input id="shade" type="range" min="0" max="100" value="50" step="10";
                }
                (PreEscaped(svg::inline(&overlay, "overlay")))
                p.soft { (KEY) }
            }
        }
        footer { p.soft { "Figures in " (comparison.print_unit().words()) " unless they say otherwise. A comparison of drawings: nothing here has been cut or sewn." } }
    };
    let title = format!("{}: what changed", report.title);
    web::page(
        &title,
        &format!("{STYLE}{}", css([&overlay], Colours::OfPage)),
        SCRIPT,
        &body,
    )
}

fn said(group: &Group) -> Markup {
    html! {
        @if !group.heading.is_empty() { h3 { (group.heading) } }
        ul { @for line in &group.lines { li { (one(line)) } } }
    }
}

fn one(line: &Line) -> Markup {
    html! {
        @if let Some(piece) = &line.piece {
            button type="button" aria-pressed="false" data-piece=(piece) data-name=[line.name.as_ref()] { (line.words) }
        } @else {
            p { (line.words) }
        }
        @if line.old.is_some() || line.new.is_some() {
            pre {
                @if let Some(old) = &line.old { del { "− " (old) "\n" } }
                @if let Some(new) = &line.new { ins { "+ " (new) } }
            }
        }
    }
}
