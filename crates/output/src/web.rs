//! The frame of a page that stands alone: one file, no network, light and dark, fit for print and for a reader that speaks.

use maud::{DOCTYPE, Markup, PreEscaped, html};

/// Colours and type that every page shares. Each pair of letters and ground keeps a contrast of 4.5 to 1 or more (WCAG 2.2,
/// success criterion 1.4.3), lines that carry meaning 3 to 1 (1.4.11); `tests/studio/lesson_page.rs` works them out.
pub const STYLE: &str = "
:root{color-scheme:light dark;--paper:#faf8f3;--card:#ffffff;--ink:#1d1c1a;--soft:#57544e;--rule:#d5d0c4;--accent:#8c2f1f;--new:#a33a2a;--old:#6b6964;--slate:#3f5d7a;--mark:#fdf1d8}
@media (prefers-color-scheme:dark){:root{--paper:#191817;--card:#232220;--ink:#f1eee6;--soft:#bdb8ad;--rule:#45423c;--accent:#f0a08f;--new:#f39a86;--old:#9c988f;--slate:#9dbbd8;--mark:#3a3222}}
*{box-sizing:border-box}
body{margin:0;background:var(--paper);color:var(--ink);font:1.0625rem/1.55 system-ui,sans-serif}
main,header.top,footer{max-width:62rem;margin:0 auto;padding:0 1rem}
h1{font-size:1.9rem;line-height:1.2;margin:1.5rem 0 .5rem}
h2{font-size:1.35rem;line-height:1.25;margin:0 0 .6rem}
h3{font-size:1.05rem;margin:1.1rem 0 .3rem}
a{color:var(--accent)}
a:focus-visible,button:focus-visible,input:focus-visible,summary:focus-visible{outline:3px solid var(--accent);outline-offset:2px}
.skip{position:absolute;left:-99rem}
.skip:focus{position:static;display:inline-block;padding:.5rem 1rem}
svg{display:block;width:100%;height:auto;background:var(--card);border:1px solid var(--rule);border-radius:4px}
svg path{fill:none;stroke:var(--ink);stroke-linejoin:round;stroke-linecap:round}
svg text{fill:var(--ink);font-family:system-ui,sans-serif}
table{border-collapse:collapse;width:100%}
th,td{text-align:left;vertical-align:top;padding:.3rem .6rem .3rem 0;border-bottom:1px solid var(--rule)}
td.figure,th.figure{font-variant-numeric:tabular-nums;white-space:nowrap}
code{font:.9em/1.5 ui-monospace,monospace;overflow-wrap:anywhere}
.soft{color:var(--soft)}
@media print{:root{--paper:#fff;--card:#fff;--ink:#000;--soft:#444;--rule:#bbb;--accent:#7a2415;--new:#8c2415;--old:#777;--slate:#345;--mark:#fff}body{font-size:10.5pt}.screen{display:none}svg{border:0}}
";

/// A text as a string of a style sheet, its quotation marks included: whatever could end it is written as its number.
pub fn css_text(text: &str) -> String {
    let mut written = "\"".to_owned();
    for letter in text.chars() {
        if letter.is_ascii_alphanumeric() || matches!(letter, ' ' | '.' | ',' | '_' | '-') {
            written.push(letter);
        } else {
            written.push_str(&format!("\\{:06x}", u32::from(letter)));
        }
    }
    written.push('"');
    written
}

/// A whole page. `script` runs after the body; nothing is ever fetched.
pub fn page(title: &str, style: &str, script: &str, body: &Markup) -> String {
    let policy = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; base-uri 'none'; form-action 'none'";
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta http-equiv="Content-Security-Policy" content=(policy);
                meta name="color-scheme" content="light dark";
                title { (title) }
                style { (PreEscaped(STYLE)) (PreEscaped(style)) }
            }
            body {
                (body)
                @if !script.is_empty() { script { (PreEscaped(script)) } }
            }
        }
    };
    let mut text = page.into_string();
    text.push('\n');
    text
}
