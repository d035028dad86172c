//! The sheets of one machine as a printable page: no network, no script; text from records is always text.

use crate::content::{Machine, Sheet, plate};
use maud::{DOCTYPE, Markup, PreEscaped, html};

const STYLE: &str = "body{font:14px/1.45 system-ui,sans-serif;max-width:46em;margin:1.5em auto;padding:0 1em;color:#111;background:#fff}\
    h1{font-size:20px}h2{font-size:17px;margin:1.2em 0 .4em}h3{font-size:14px;margin:1em 0 .2em}table{border-collapse:collapse}\
    th,td{border:1px solid #666;padding:4px 9px;text-align:left;font-weight:400}td.blank{min-width:9em;height:1.9em}\
    ul{margin:.2em 0;padding-left:1.3em}.cautions{border:2px solid #111;padding:0 1em .6em;margin-top:1em}\
    section+section{break-before:page}@media print{body{margin:0;max-width:none}}";

/// The page of `machine`, one section a test.
#[must_use]
pub fn page(machine: &Machine<'_>) -> String {
    let tag = &machine.asset.tag;
    html! {
        (DOCTYPE)
        html lang="en" {
            head { meta charset="utf-8"; title { "Test sheet " (tag) } style { (PreEscaped(STYLE)) } }
            body { h1 { "Test sheet: " (tag) } @for sheet in &machine.sheets { (section(machine, sheet)) } }
        }
    }
    .into_string()
}

fn section(machine: &Machine<'_>, sheet: &Sheet<'_>) -> Markup {
    html! {
        section {
            h2 { (sheet.form.name()) }
            table {
                @for (label, value) in plate(machine.asset) { tr { th scope="row" { (label) } td { (value) } } }
                @for label in sheet.form.blanks() { tr { th scope="row" { (label) } td.blank {} } }
            }
            h3 { "Readings" }
            table {
                tr { @for head in sheet.form.head() { th scope="col" { (head) } } }
                @for row in sheet.form.rows() { tr { th scope="row" { (row) } @for _ in sheet.form.head().iter().skip(1) { td.blank {} } } }
            }
            @for (heading, told) in sheet.notes() {
                div.cautions[heading == "Cautions"] {
                    h3 { (heading) }
                    ul { @for told in told { li { (told) } } }
                }
            }
        }
    }
}
