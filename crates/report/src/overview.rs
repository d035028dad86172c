//! The first screen: how much there is, what it says, what waits for a person.

use crate::findings::LEVELS;
use crate::{Fleet, ReportData};
use maud::{Markup, html};
use windrow_model::{Disposition, SourceRow};

pub(crate) fn render(data: &ReportData, fleet: &Fleet<'_>) -> Markup {
    let duplicates = data.tests.iter().filter(|test| test.duplicate_of.is_some()).count();
    html! {
        section #overview {
            h2 { "Overview" }
            dl.figures {
                (figure("machines", fleet.machines.len(), "#machines"))
                (figure("tests", data.tests.len() - duplicates, "#machines"))
                (figure("readings", data.readings.len(), "#machines"))
                (figure("open questions", data.questions.len(), "#questions"))
                (figure("sources", data.sources.len(), "#sources"))
            }
            @if duplicates > 0 {
                p.hint { (duplicates) " more records repeat a test from another source; each is kept and points to the one counted." }
            }
            (levels(data))
            (cells(&data.sources))
        }
    }
}

fn figure(name: &str, count: usize, target: &str) -> Markup {
    html! { div { dt { (name) } dd { a href=(target) { (count) } } } }
}

fn levels(data: &ReportData) -> Markup {
    html! {
        table.levels {
            caption { "Findings by level" }
            thead { tr { th scope="col" { "Level" } th scope="col" { "Findings" } th scope="col" { "Machines" } th scope="col" { "What it asks" } } }
            tbody {
                @for (level, meaning) in LEVELS {
                    @let mine: Vec<_> = data.findings.iter().filter(|finding| finding.level == *level && finding.is_open()).collect();
                    @let machines: std::collections::BTreeSet<_> = mine.iter().filter_map(|finding| finding.asset_id.as_ref()).collect();
                    tr {
                        th scope="row" { (crate::findings::badge(level)) }
                        td.n { (mine.len()) }
                        td.n { (machines.len()) }
                        td { (meaning) }
                    }
                }
            }
        }
        p.hint { "A machine without a finding is a machine whose records show nothing, not a machine proven good: a test that was never made can show nothing." }
    }
}

fn cells(sources: &[SourceRow]) -> Markup {
    let total: i64 = sources.iter().map(|source| source.cells_total).sum();
    html! {
        table.dispositions {
            caption { "What became of every non-empty cell: " (total) " in all" }
            thead { tr { th scope="col" { "Disposition" } th scope="col" { "Cells" } th scope="col" { "Meaning" } } }
            tbody {
                @for disposition in Disposition::ALL {
                    tr {
                        th scope="row" { (disposition.code()) }
                        td.n { (sources.iter().map(|source| count(source, *disposition)).sum::<i64>()) }
                        td { (disposition.doc().trim()) }
                    }
                }
            }
        }
    }
}

fn count(source: &SourceRow, disposition: Disposition) -> i64 {
    match disposition {
        Disposition::Value => source.cells_value,
        Disposition::Label => source.cells_label,
        Disposition::Derived => source.cells_derived,
        Disposition::Repeat => source.cells_repeat,
        Disposition::Decor => source.cells_decor,
        Disposition::Held => source.cells_held,
        Disposition::Unread => source.cells_unread,
    }
}
