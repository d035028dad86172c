//! Tables of what is no machine: cables, transformers, switchgear, spare parts.

use super::{Column, Role};
use crate::view::View;
use std::sync::LazyLock;
use windrow_text::fold::fold;
use windrow_text::vocabulary::Concept;

/// What else is tested by insulation resistance (`data/others.csv`).
static OTHERS: LazyLock<Vec<&str>> = LazyLock::new(|| {
    include_str!("../../data/others.csv").lines().filter(|line| !line.starts_with('#')).skip(1).collect()
});

/// A table whose lines are headed as such things, and name no machine beside, holds nothing that is read: it stays visible as unread.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column]) {
    let is_other = |column: &Column| {
        let heading = &column.heading;
        let text = heading.items.last().map(|item| fold(view.cell(item).text.trim()));
        text.is_some_and(|text| OTHERS.contains(&text.as_str().trim_matches('.')))
    };
    let names = |column: &Column| matches!(column.role, Role::Field(Concept::Tag | Concept::Serial | Concept::ListKey));
    let key = columns.iter().position(is_other);
    let is_alone =
        key.is_some_and(|key| key <= 1 && columns.iter().enumerate().all(|(at, column)| at == key || !names(column)));
    if is_alone || is_stock(columns) {
        for column in columns {
            (column.role, column.fit) = (Role::Unknown, 0.0);
        }
    }
}

/// "Bearing | Shelf | Stock | Price": codes that look like tags under a heading that names no machine, beside nothing that is told of machines
/// or tests, are a list of something else.
fn is_stock(columns: &[Column]) -> bool {
    let mut tags = columns.iter().filter(|column| column.role == Role::Field(Concept::Tag)).peekable();
    let is_guessed = tags.peek().is_some() && tags.all(|tag| tag.heading.concepts.is_empty());
    let is_of_machines = |column: &Column| match column.role {
        Role::Reading(_) | Role::LineLabel | Role::Asked(_) => true,
        Role::Field(concept) => !matches!(
            concept,
            Concept::Tag
                | Concept::OtherFigure
                | Concept::RowNumber
                | Concept::Page
                | Concept::Remarks
                | Concept::Limit
        ),
        Role::NamePart | Role::Statistic(_) | Role::Unknown => false,
    };
    is_guessed && !columns.iter().any(is_of_machines)
}
