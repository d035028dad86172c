//! Header bands: which lines head a table, and which columns it takes.

use super::pairs_over::begins_with_pairs;
use super::profile::Profile;
use super::repeats;
use super::segment::segments;
use super::{BodyLine, Table};
use crate::fit::fits;
use crate::line::{self, is_bare_axis, is_header, is_key_label, is_pair_row, is_subheader, is_value};
use crate::sense::Kind;
use crate::view::{Item, View};
use windrow_source::Content;
use windrow_text::vocabulary::Concept;

/// Most lines of a header band.
const HEADER_LINES: usize = 5;
/// Most unread lines above one that are searched for heads of their own.
const MOST_UNREAD: usize = 200;
/// Empty columns bridged at the right end of a table.
const BRIDGE: u32 = 2;

pub(super) struct Cutter<'v, 'a> {
    pub(super) view: &'v View<'a>,
    pub(super) claimed: Vec<bool>,
    pub(super) tables: Vec<Table>,
}

impl Cutter<'_, '_> {
    pub(super) fn free(&self, at: usize, left: u32, right: u32) -> Vec<Item> {
        let in_range = |item: &&Item| item.column >= left && item.column <= right && !self.claimed[item.cell as usize];
        self.view.line(at).iter().filter(in_range).copied().collect()
    }

    pub(super) fn claim(&mut self, items: &[Item]) {
        for item in items {
            self.claimed[item.cell as usize] = true;
        }
    }

    /// Tries to read a header at line `at` and the body under it.
    pub(super) fn try_table(&mut self, at: usize, segment: &[Item], floor: u32, limit: u32) -> bool {
        let view = self.view;
        if begins_with_pairs(view, segment) {
            return false;
        }
        let starts = is_header(view, segment)
            || (is_bare_axis(view, segment) || is_group_line(view, segment) || self.are_wide_names(at, segment))
                && self.header_below(at, segment, limit)
            || self.is_headed_by_body(at, segment);
        if !starts
            || segment.iter().any(|item| self.is_of_page(item))
            || self.are_titles_of_tables(at, segment)
            || self.is_title_over_keys(at, segment)
            || self.is_line_of_turns(at, segment)
            || self.is_line_of_forms(at, segment)
            || self.heads_lines_of_forms(at, segment)
            || self.explains_codes(segment)
            || self.is_line_of_conditions(at, segment)
            || self.stands_over_conditions(at)
            || self.begins_form(at, segment)
        {
            return false;
        }
        let (mut left, mut right) = bounds(segment);
        let mut header = vec![segment.to_vec()];
        let mut next = at + 1;
        while header.len() < HEADER_LINES && next < view.line_count() && view.row(next) <= view.row(next - 1) + 1 {
            let reach_left = floor;
            let reach_right = self.up_to_neighbour(next, right, limit);
            let items = self.free(next, reach_left, reach_right);
            if items.is_empty() || is_pair_row(view, &items) || items.iter().any(|item| view.sense(item).is_pair) {
                break;
            }
            // A lone label over nothing of its own is the name of a section.
            let lone = matches!(items.as_slice(), [item]
                if !view.sense(item).is_unit_only() && (item.right == item.column || self.lies_under_all(item, &header)));
            let further = !lone && is_subheader(view, &items)
                || is_header(view, &items) && !lies_in_axis(view, &items)
                || self.is_axis_under(next, &items, &header)
                || header.last().is_some_and(|above| repeats::are_repeated(view, &items, above))
                || items.first().is_some_and(|item| item.column > left) && self.is_headed_by_body(next, &items);
            if !further || !self.body_follows(next + 1, reach_left, reach_right) {
                break;
            }
            let (first, last) = bounds(&items);
            (left, right) = (left.min(first), right.max(last));
            header.push(items);
            next += 1;
        }
        let limit = self.up_to_neighbour(at + 1, right, limit);
        let within = self.across_within(next, &header, (floor, limit));
        let (across, next) = match within {
            Some(within) => {
                header.push(within.header);
                (within.lines, within.next)
            }
            None => (Vec::new(), next),
        };
        let is_table = self.finish_table(next, header, (left, right), (floor, limit));
        if is_table {
            self.put_across(across);
        }
        is_table
    }

    /// Whether a cell reaches over all the headings above it, and tells no unit of them: the name of a section in a merged line.
    fn lies_under_all(&self, item: &Item, header: &[Vec<Item>]) -> bool {
        let Some(last) = header.last().filter(|last| last.len() >= 2) else { return false };
        let (left, right) = bounds(last);
        item.column <= left && item.right >= right && self.view.sense(item).label.units.is_empty()
    }

    /// "1 = 500 V | 2 = 1000 V": cells that explain codes head nothing.
    fn explains_codes(&self, segment: &[Item]) -> bool {
        let codes = segment.iter().filter(|item| crate::legend::single(self.view.cell(item)).is_some()).count();
        segment.len() >= 2 && codes == segment.len() || codes >= 3 && codes * 3 >= segment.len() * 2
    }

    /// Whether the line tells a year or date for each column under a group or machine: numbers and dates, but no readings.
    fn is_axis_under(&self, at: usize, items: &[Item], header: &[Vec<Item>]) -> bool {
        let is_axis = |items: &[Item]| {
            let values: Vec<&Item> = items.iter().collect();
            matches!(line::axis(self.view, &values), Some(line::Axis::Years | line::Axis::Dates))
        };
        let first = header.iter().flatten().map(|head| head.column).min().unwrap_or(0);
        let is_inside = items.iter().all(|item| item.column > first);
        let are_roman = || {
            crate::column::are_roman_months(self.view, items, header)
                || crate::column::are_roman_quarters(self.view, items, header)
        };
        if is_inside && are_roman() {
            return true;
        }
        is_inside && (is_axis(items) && !is_axis(self.view.line(at + 1)) || self.are_counted(items, header))
    }

    /// Whether all cells are numbers that rise under one wide name of a time or voltage: "Time [s]" over 15, 60 and 600.
    fn are_counted(&self, items: &[Item], header: &[Vec<Item>]) -> bool {
        let counts = |head: &&Item| {
            let concept = self.view.sense(head).concept();
            head.right > head.column && matches!(concept, Some(Concept::Elapsed | Concept::TestVoltage))
        };
        let number = |item: &Item| match self.view.cell(item).content {
            Content::Number(value) => Some(value),
            _ => self.view.cell(item).text.trim().replace(',', ".").parse::<f64>().ok(),
        };
        let Some(name) = header.iter().flatten().find(counts) else { return false };
        let is_under = |item: &Item| (name.column..=name.right).contains(&item.column);
        let numbers: Option<Vec<f64>> = items.iter().map(number).collect();
        items.len() >= 2
            && items.iter().all(is_under)
            && numbers.is_some_and(|numbers| numbers.windows(2).all(|two| two[0] < two[1]))
    }

    /// Whether two or more short texts each stand over several headings of the line below: names of groups, known or not.
    fn are_wide_names(&self, at: usize, items: &[Item]) -> bool {
        let below = self.view.line(at + 1);
        let is_name = |item: &Item| {
            let sense = self.view.sense(item);
            !sense.is_pair && sense.words <= 6 && !line::ends_with_colon(self.view, item)
        };
        let is_wide = |(index, item): (usize, &Item)| {
            let end = items.get(index + 1).map_or(u32::MAX, |next| next.column);
            let under = below.iter().filter(|head| (item.column..end).contains(&head.column));
            under.filter(|head| line::is_heading(self.view, head)).count() >= 2
        };
        // "Machine | P-1 | | Date | 19/11/1988" tells of the table below and heads none of its columns.
        items.len() >= 2
            && items.iter().all(is_name)
            && items.iter().enumerate().filter(|item| is_wide(*item)).count() >= 2
            && !(items.len().is_multiple_of(2) && items.iter().step_by(2).all(|item| is_key_label(self.view, item)))
    }

    /// "Page 1": what the head of a page tells, and no heading.
    fn is_of_page(&self, item: &Item) -> bool {
        let text = &self.view.cell(item).text;
        windrow_text::header::read(text).concept() == Some(Concept::Page) && text.contains(|c: char| c.is_ascii_digit())
    }

    /// Last column before a header of another table that begins in line `at` beyond an empty column; `limit` if there is none.
    fn up_to_neighbour(&self, at: usize, right: u32, limit: u32) -> u32 {
        if self.view.row(at) > self.view.row(at.saturating_sub(1)) + 1 {
            return limit;
        }
        let items = self.free(at, 0, limit);
        let mut pieces = items.chunk_by(|a, b| b.column <= a.right + 1);
        let is_header = |piece: &&[Item]| {
            let begins = piece.first().is_some_and(|item| item.column > right + 1);
            let only_units = piece.iter().any(|item| self.view.sense(item).is_unit_only());
            begins && !only_units && is_header(self.view, piece)
        };
        pieces.find(is_header).and_then(<[Item]>::first).map_or(limit, |item| item.column - 1)
    }

    /// Whether the only cell of the line reaches over a key's label below: a title that is wider than its column, no group.
    fn is_title_over_keys(&self, at: usize, segment: &[Item]) -> bool {
        let [title] = segment else { return false };
        let below = self.view.line(at + 1);
        below.iter().any(|item| (title.column..=title.right).contains(&item.column) && is_key_label(self.view, item))
    }

    /// Whether each cell stands over the first header cell of a table of its own, or one title is repeated over a line of pairs: titles
    /// of tables or forms side by side.
    fn are_titles_of_tables(&self, at: usize, segment: &[Item]) -> bool {
        let next = at + 1;
        if segment.len() < 2 || next >= self.view.line_count() || self.view.row(next) > self.view.row(at) + 2 {
            return false;
        }
        let line = self.free(next, 0, u32::MAX);
        let text = |item: &Item| self.view.cell(item).text.as_str();
        if segment.iter().all(|title| text(title) == text(&segment[0])) && is_pair_row(self.view, &line) {
            return true;
        }
        let below = segments(self.view, &line);
        below.len() == segment.len() && below.iter().zip(segment).all(|(table, title)| table[0].column == title.column)
    }

    /// "Data | Generator 1, 400 V | | Data | Pump 1, 400 V" right below "Machine | G1 | | Machine | SP-1": one label again over each form,
    /// as the key above it, each with a value of its own.
    fn is_line_of_forms(&self, at: usize, segment: &[Item]) -> bool {
        let Some(above) = at.checked_sub(1).filter(|above| self.view.row(*above) + 1 == self.view.row(at)) else {
            return false;
        };
        let text = |item: &Item| self.view.cell(item).text.trim();
        let keys: Vec<&Item> = self.view.line(above).iter().filter(|item| is_key_label(self.view, item)).collect();
        let Some(first) = keys.first() else { return false };
        let labels: Vec<&Item> =
            keys.iter().filter_map(|key| segment.iter().find(|item| item.column == key.column)).collect();
        let values: Vec<&str> = segment.iter().filter(|item| !labels.contains(item)).map(text).collect();
        keys.len() >= 2
            && is_pair_row(self.view, self.view.line(above))
            && keys.iter().all(|key| text(key) == text(first))
            && labels.len() == keys.len()
            && labels.iter().all(|label| labels.first().is_some_and(|first| text(label) == text(first)))
            && values.len() == labels.len()
            && labels.iter().all(|label| segment.iter().any(|item| item.column == label.right + 1))
    }

    /// Whether the next line under a group line is a header.
    fn header_below(&self, at: usize, segment: &[Item], limit: u32) -> bool {
        let (left, right) = bounds(segment);
        let next = at + 1;
        if next >= self.view.line_count() || self.view.row(next) > self.view.row(at) + 1 {
            return false;
        }
        let items = self.free(next, 0, right.saturating_add(64).min(limit));
        let below = items.iter().filter(|item| item.column >= left).count();
        below >= segment.len() && is_header(self.view, &items)
    }

    /// Whether a line at or after `at` holds values between the columns.
    fn body_follows(&self, at: usize, left: u32, right: u32) -> bool {
        (at..self.view.line_count()).take(3).any(|line| {
            let items = self.free(line, left, right);
            items.iter().any(|item| is_value(self.view, item))
        })
    }

    fn finish_table(&mut self, start: usize, header: Vec<Vec<Item>>, columns: (u32, u32), range: (u32, u32)) -> bool {
        let (mut left, mut right) = columns;
        let headed: usize = header.iter().map(Vec::len).max().unwrap_or(0);
        // A key column may have no header, a remarks column neither.
        let Some(mut first) = self.first_body_line(start, left, right) else { return false };
        // "Machine P-12" between header and body: the name of a section, left to what stands around tables.
        while self.is_section_name(&self.free(first, left, right), &header) {
            let Some(next) = self.first_body_line(first + 1, left, right) else { return false };
            first = next;
        }
        for item in self.free(first, left.saturating_sub(BRIDGE).max(range.0), left) {
            let belongs = !line::is_heading(self.view, &item) || self.labels_lines(first, &item, left);
            left = if belongs { left.min(item.column) } else { left };
        }
        let bridge = if self.is_headed_beside(first, right) { 0 } else { BRIDGE };
        right = right.saturating_add(bridge).min(range.1);
        let mut body = self.body(first, &header, (left, right));
        if body.lines.is_empty() || headed < 2 || self.is_letterhead(&header, &body.lines) {
            return false;
        }
        let last =
            body.lines.iter().flat_map(|line| line.items.iter().map(|item| item.column)).max().unwrap_or(columns.1);
        right = last.max(columns.1).min(right);
        let header = without_neighbours(self.without_titles(header, &body.lines), &body.lines);
        right = header.iter().flatten().map(|item| item.right).max().unwrap_or(right).max(last).min(right);
        let mut header = header;
        if !body.units.is_empty() {
            header.push(std::mem::take(&mut body.units));
        }
        for line in &header {
            self.claim(line);
        }
        for line in &body.lines {
            self.claim(&line.items);
        }
        self.claim(&body.repeats);
        let repeats = std::mem::take(&mut body.repeats);
        self.tables.push(Table { header, columns: (left, right), body: body.lines, repeats, continues: false });
        true
    }

    /// Whether a label right before the first column begins a column of such labels, each with values in its line.
    fn labels_lines(&self, first: usize, label: &Item, left: u32) -> bool {
        let is_label = |at: usize| {
            let items = self.free(at, label.column, u32::MAX);
            let [own, value, ..] = items.as_slice() else { return false };
            let tells = |item: &Item| line::is_heading(self.view, item);
            own.column == label.column && tells(own) && is_value(self.view, value) && !tells(value)
        };
        let sense = self.view.sense(label);
        // "Deviation in %" beside the only line below pairs of phases.
        let names_measured = sense.label.concepts.iter().any(|(concept, weight)| {
            let quantity = crate::fit::quantity(*concept).filter(|_| *weight >= 0.6);
            let mut units = sense.label.units.iter();
            quantity.is_some_and(|quantity| units.any(|own| own.unit.dimension == quantity.dimension()))
        });
        let is_sure = names_measured
            || sense.label.elapsed_s.is_some()
            || sense.circuits.iter().any(|meaning| meaning.weight >= 0.5);
        label.right + 1 == left && is_label(first) && (is_sure || is_label(first + 1))
    }

    /// Whether another table's header begins right of `right` in one of the first lines of a body.
    fn is_headed_beside(&self, first: usize, right: u32) -> bool {
        (first..first + 3).any(|at| {
            let beside = self.free(at, right.saturating_add(1), right.saturating_add(64));
            let is_near = beside.first().is_some_and(|item| item.column <= right.saturating_add(BRIDGE));
            is_near && segments(self.view, &beside).first().is_some_and(|segment| is_header(self.view, segment))
        })
    }

    /// Header lines without cells that stand apart at the left and over no body, titles that a turned sheet puts into the line, and
    /// without whole pairs over no body ("Date: 3 May"), which tell of the table and head nothing.
    fn without_titles(&self, header: Vec<Vec<Item>>, body: &[BodyLine]) -> Vec<Vec<Item>> {
        let values = || body.iter().flat_map(|line| &line.items);
        let first = values().map(|item| item.column).min().unwrap_or(0);
        let is_filled = |head: &Item| values().any(|item| (head.column..=head.right).contains(&item.column));
        let kept = |line: Vec<Item>| -> Vec<Item> {
            let next = line.iter().map(|item| item.column).find(|column| *column >= first).unwrap_or(first);
            let heads = |item: &Item| !self.view.sense(item).is_pair || is_filled(item);
            line.into_iter().filter(|item| heads(item) && (item.right >= first || item.right + 1 >= next)).collect()
        };
        header.into_iter().map(kept).filter(|line| !line.is_empty()).collect()
    }

    /// Whether blank lines part a line of words from a header, which is all that would stand under them: the head of a form.
    fn is_letterhead(&self, header: &[Vec<Item>], body: &[BodyLine]) -> bool {
        let [only] = body else { return false };
        let last = header.iter().flatten().map(|item| item.row).max().unwrap_or(0);
        let whole = self.view.line(self.view.line_at(only.row));
        only.row > last + 1 && is_header(self.view, whole)
    }

    /// Whether a line of one cell names a section: it does not fit the column that it stands in.
    fn is_section_name(&self, items: &[Item], header: &[Vec<Item>]) -> bool {
        let [item] = items else { return false };
        let text = &self.view.cell(item).text;
        if self.view.sense(item).kind == Kind::Text && windrow_text::date::is_year_alone(text) {
            return true;
        }
        let leaf = header.iter().rev().flatten().find(|head| head.column == item.column);
        let Some(promise) = leaf.and_then(|leaf| line::promise(self.view.sense(leaf))) else { return false };
        self.view.sense(item).kind == Kind::Text && fits(promise, self.view.cell(item), self.view.sense(item)) < 0.4
    }

    fn first_body_line(&self, start: usize, left: u32, right: u32) -> Option<usize> {
        let top = self.view.row(start.checked_sub(1)?);
        (start..self.view.line_count())
            .take_while(|at| self.view.row(*at) <= top.saturating_add(4))
            .find(|at| !self.free(*at, left, right).is_empty())
    }

    /// Whether one of the lines right above line `at`, of which nothing was read, heads columns of its own, or there are so many of them that
    /// the line goes on with something else than the table.
    fn is_under_other_heads(&self, at: usize, (first, last): (u32, u32), header: &[Vec<Item>]) -> bool {
        let mut row = self.view.row(at);
        for line in (0..at).rev().take(MOST_UNREAD) {
            let free = self.free(line, first, last);
            if free.is_empty() || self.view.row(line) + 1 < row {
                return false;
            }
            if heads_others(self.view, &free) || repeats::are_shifted(self.view, &free, header) {
                return true;
            }
            row = self.view.row(line);
        }
        at > MOST_UNREAD
    }

    /// Tries to read line `at` as more of the table above, whose header still holds.
    pub(super) fn try_continuation(&mut self, at: usize, segment: &[Item]) -> bool {
        let (first, last) = bounds(segment);
        let fitting = self.tables.iter().rev().find(|table| table.columns.0 <= first && last <= table.columns.1);
        let Some(table) = fitting else { return false };
        let profile = Profile::of(self.view, &table.header, &table.body);
        let (beside, cells): (Vec<&Item>, Vec<&Item>) = segment.iter().partition(|item| self.goes_beside_values(item));
        let valued = cells.iter().filter(|item| is_value(self.view, item)).count();
        let before = at.checked_sub(1).map(|before| self.free(before, first, last)).unwrap_or_default();
        if segment.len() < 2
            || self.name_terminals(&before)
            || names_other_quantity(self.view, &before)
            || valued * 2 < cells.len()
            || valued == 0 && !beside.is_empty()
            || is_pair_row(self.view, segment)
            || segment.iter().any(|item| line::tells_plate(self.view.sense(item)))
            || self.begins_record(at, &table.header, table.columns)
            || profile.agreement(self.view, segment) < 0.7
            || segment.iter().any(|item| profile.contradicts(self.view, item))
            || self.is_under_other_heads(at, (first, last), &table.header)
        {
            return false;
        }
        let (header, columns) = (table.header.clone(), table.columns);
        let body = self.body(at, &header, columns);
        if body.lines.is_empty() {
            return false;
        }
        for line in &body.lines {
            self.claim(&line.items);
        }
        self.claim(&body.repeats);
        self.tables.push(Table { header, columns, body: body.lines, repeats: body.repeats, continues: true });
        true
    }
}

/// Whether a line right above the one that would go on heads columns of its own: only texts, one of which is a known label.
fn heads_others(view: &View<'_>, items: &[Item]) -> bool {
    let is_word = |item: &Item| {
        view.sense(item).kind == Kind::Text && !view.cell(item).text.contains(|c: char| c.is_ascii_digit())
    };
    items.len() >= 2 && items.iter().all(is_word) && items.iter().any(|item| view.sense(item).is_pure_label())
}

/// Whether a line is a numbered title of something that is measured ("2. Winding resistance"): what stands below it is not of the
/// table above.
fn names_other_quantity(view: &View<'_>, items: &[Item]) -> bool {
    let [title] = items else { return false };
    let text = view.cell(title).text.trim();
    let (number, rest) = text.split_at(text.find(|c: char| !c.is_ascii_digit()).unwrap_or(0));
    // "2  Winding resistance" is numbered, "1 min insulation resistance" is not.
    let next = rest.split_whitespace().next().unwrap_or_default();
    let is_apart = rest.starts_with(' ') && windrow_text::unit::read(next, None).is_empty();
    let is_numbered = (1..=2).contains(&number.len()) && (is_apart || rest.starts_with(['.', ')', '/']));
    let concepts = &view.sense(title).label.concepts;
    is_numbered && concepts.iter().any(|(concept, weight)| *weight >= 0.6 && crate::fit::quantity(*concept).is_some())
}

/// A header without the pieces at its right, beyond an empty column, under which the body holds nothing: they belong to what
/// stands beside.
fn without_neighbours(header: Vec<Vec<Item>>, body: &[BodyLine]) -> Vec<Vec<Item>> {
    let last = body.iter().flat_map(|line| &line.items).map(|item| item.column).max().unwrap_or(0);
    let mut end = last;
    let mut reaches: Vec<(u32, u32)> = header.iter().flatten().map(|item| (item.column, item.right)).collect();
    reaches.sort_unstable();
    for (from, to) in reaches {
        if from <= end + 1 {
            end = end.max(to);
        }
    }
    let kept = |line: Vec<Item>| line.into_iter().filter(|item| item.column <= end).collect::<Vec<_>>();
    header.into_iter().map(kept).filter(|line| !line.is_empty()).collect()
}

/// A line of group labels over a header: one or more labels or keys, all with columns under them.
fn is_group_line(view: &View<'_>, items: &[Item]) -> bool {
    let spans = items.iter().any(|item| item.right > item.column);
    (items.len() >= 2 || spans && items.len() == 1 && items[0].column > 0)
        && items.iter().all(|item| line::is_heading(view, item) || is_value(view, item))
        && !is_pair_row(view, items)
        && !line::are_captions(view, items)
        && !items.windows(2).any(|two| line::ends_with_colon(view, &two[0]) && is_value(view, &two[1]))
}

/// Whether a header-like line is rather the first line of a body under an axis: numbers that only look like an axis.
fn lies_in_axis(view: &View<'_>, items: &[Item]) -> bool {
    let values: Vec<&Item> =
        items.iter().filter(|item| !line::is_heading(view, item) && is_value(view, item)).collect();
    !values.is_empty()
        && line::axis(view, &values) == Some(line::Axis::Times)
        && view.sense(values[0]).kind == Kind::Number
}

pub(super) fn bounds(items: &[Item]) -> (u32, u32) {
    let left = items.iter().map(|item| item.column).min().unwrap_or(0);
    let right = items.iter().map(|item| item.right.max(item.column)).max().unwrap_or(0);
    (left, right)
}
