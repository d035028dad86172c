//! Open questions, and what became of every file.

use crate::{ReportData, format, trail};
use maud::{Markup, html};
use windrow_model::{Hold, SourceRow};

pub(crate) fn render(data: &ReportData) -> Markup {
    html! {
        section #questions {
            h2 { "Open questions" }
            (questions(&data.questions))
        }
        section #sources {
            h2 { "Sources" }
            (sources(&data.sources))
        }
    }
}

fn questions(questions: &[Vec<Hold>]) -> Markup {
    html! {
        @if questions.is_empty() { p { "None." } }
        @else {
            p { "Cells that can be read in more than one way are held: the number is not stored until a person rules on it." }
            ul.questions { @for cells in questions { (one_question(cells)) } }
        }
    }
}

fn one_question(cells: &[Hold]) -> Markup {
    let Some(first) = cells.first() else { return html! {} };
    html! {
        li {
            b { (format::words(&first.question)) } " – " (trail::place(&first.source_file, first.source_sheet.as_deref(), first.source_cell.as_deref().unwrap_or("the whole sheet")))
            @if cells.len() > 1 { " and " (cells.len() - 1) " more" }
            @if !first.raw_text.is_empty() { ": " q { (first.raw_text) } }
            p.hint { (first.context) }
            @if !first.choices.is_empty() { p.hint { "Answers: " (first.choices.join(" · ")) } }
        }
    }
}

fn sources(sources: &[SourceRow]) -> Markup {
    html! {
        div.wide tabindex="0" role="region" aria-label="Table of sources" {
            table {
                thead { tr {
                    th scope="col" { "File" } th scope="col" { "Status" } th scope="col" { "Kind" } th scope="col" { "Read by" }
                    th scope="col" { "Cells" } th scope="col" { "Held" } th scope="col" { "Unread" } th scope="col" { "To know" }
                } }
                tbody {
                    @for source in sources {
                        tr {
                            th scope="row" { (source.source_file) }
                            td { (source.status) }
                            td { (source.media_type) }
                            td { (source.importer.as_deref().or(source.reader.as_deref()).unwrap_or("nobody")) }
                            td.n { (source.cells_total) }
                            td.n { (source.cells_held) }
                            td.n { (source.cells_unread) }
                            td { (source.reason.as_deref().unwrap_or("")) }
                        }
                    }
                }
            }
        }
    }
}
