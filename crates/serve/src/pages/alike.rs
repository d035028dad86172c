//! Questions that ask the same of one source at several places: one answer can settle them together, where its author ticks them.

use super::intake::short;
use super::question::standing;
use crate::view::View;
use maud::{Markup, html};
use windrow_model::{Decision, Hold};
use windrow_tasks::questions::Group;

/// Open questions beside `group` that ask the same of the same source and that nobody answered yet; none where each cell needs an answer of
/// its own.
pub(crate) fn alike<'v>(view: &'v View, group: &Group, decisions: &[Decision]) -> Vec<&'v Hold> {
    let Some(first) = group.holds.first().filter(|_| !group.is_about_one_cell()) else { return Vec::new() };
    let asks_the_same = |other: &&Group| {
        let is_same = |hold: &Hold| hold.question == first.question && hold.source_file == first.source_file;
        other.id != group.id && other.holds.first().is_some_and(is_same) && standing(decisions, other).is_empty()
    };
    view.questions.iter().filter(asks_the_same).flat_map(|other| &other.holds).collect()
}

/// The group with those of `others` that are among `ids`.
pub(crate) fn with_alike(group: &Group, others: &[&Hold], ids: &[&str]) -> Group {
    let mut all = group.clone();
    all.holds.extend(others.iter().filter(|hold| ids.contains(&hold.hold_id.as_str())).copied().cloned());
    all
}

/// What `all` holds beyond `group`.
pub(crate) fn added(all: &Group, group: &Group) -> Group {
    Group { id: all.id.clone(), holds: all.holds.iter().skip(group.holds.len()).cloned().collect() }
}

/// Boxes for the questions like this one; none is ticked, for nothing says that one answer is that of all.
pub(crate) fn ticks(alike: &[&Hold]) -> Markup {
    html! {
        @if !alike.is_empty() {
            fieldset {
                legend { "The same is asked at " (alike.len()) @if alike.len() == 1 { " more place" } @else { " more places" } " of this source" }
                p.hint { "Tick those that the same answer settles." }
                div.ticks { @for hold in alike { label.choice {
                    input type="checkbox" name="hold" value=(hold.hold_id);
                    " " (hold.source_sheet.as_deref().unwrap_or_default()) " " (hold.source_cell.as_deref().unwrap_or("the whole sheet")) " " q { (short(&hold.raw_text)) }
                } } }
            }
        }
    }
}
