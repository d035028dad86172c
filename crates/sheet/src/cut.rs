//! Cutting a view into tables and loose cells: header bands, the bodies under them, where bodies end.

use crate::fit::fits;
use crate::line::{self, is_bare_axis, is_header, is_key_label, is_pair_row, is_subheader, is_value};
use crate::sense::Kind;
use crate::view::{Item, View};
use std::collections::BTreeMap;

/// A table: header lines over a body.
#[derive(Debug, Clone)]
pub struct Table {
    /// Header cells from the top line to the lowest.
    pub header: Vec<Vec<Item>>,
    /// First and last column.
    pub columns: (u32, u32),
    /// Lines of the body.
    pub body: Vec<BodyLine>,
    /// Header cells repeated inside the body, and page titles between.
    pub repeats: Vec<Item>,
    /// Whether the header stands over an earlier part of the same table.
    pub continues: bool,
}

/// A line of a body.
#[derive(Debug, Clone)]
pub struct BodyLine {
    /// Row of the view.
    pub row: u32,
    /// Its cells.
    pub items: Vec<Item>,
    /// Whether the line says that it is computed: average, total, limit.
    pub is_statistic: bool,
}

impl Table {
    /// First row: of the header, or of the body where the header stands elsewhere.
    #[must_use]
    pub fn top(&self) -> u32 {
        let header = self.header.first().and_then(|line| line.first()).map(|item| item.row);
        let body = self.body.first().map(|line| line.row);
        match (self.continues, header, body) {
            (false, Some(row), _) | (_, _, Some(row)) | (true, Some(row), None) => row,
            _ => 0,
        }
    }

    /// Last row.
    #[must_use]
    pub fn bottom(&self) -> u32 {
        let body = self.body.last().map(|line| line.row);
        let header = self.header.last().and_then(|line| line.first()).map(|item| item.row);
        body.or(header).unwrap_or(0)
    }
}

/// A view cut into tables and what is left.
#[derive(Debug)]
pub struct Cut {
    /// Tables in the order of their first rows.
    pub tables: Vec<Table>,
    /// Cells that belong to no table, in order.
    pub loose: Vec<Item>,
}

/// Most lines of a header band.
const HEADER_LINES: usize = 5;
/// Empty columns bridged at the right end of a table.
const BRIDGE: u32 = 2;

/// Cuts the view.
#[must_use]
pub fn cut(view: &View<'_>) -> Cut {
    let mut cutter = Cutter { view, claimed: vec![false; view.grid.cells.len()], tables: Vec::new() };
    for at in 0..view.line_count() {
        let free = cutter.free(at, 0, u32::MAX);
        if free.is_empty() {
            continue;
        }
        let segments: Vec<Vec<Item>> =
            segments(view, &free).iter().flat_map(|segment| without_pairs_beside(view, segment)).collect();
        for (index, segment) in segments.iter().enumerate() {
            let limit = segments.get(index + 1).and_then(|next| next.first()).map_or(u32::MAX, |item| item.column - 1);
            let floor = if index == 0 { 0 } else { segment[0].column };
            if !cutter.try_table(at, segment, floor, limit) {
                cutter.try_continuation(at, segment);
            }
        }
    }
    let loose = view.items().iter().filter(|item| !cutter.claimed[item.cell as usize]).copied().collect();
    Cut { tables: cutter.tables, loose }
}

/// Splits a line where the same key labels begin again: tables side by side.
fn segments(view: &View<'_>, items: &[Item]) -> Vec<Vec<Item>> {
    let mut segments: Vec<Vec<Item>> = vec![Vec::new()];
    for item in items {
        let current = segments.last().map(Vec::as_slice).unwrap_or_default();
        let first_again = current.first().is_some_and(|first| view.cell(first).text == view.cell(item).text);
        let apart = current.last().is_some_and(|last| item.column > last.right + 1);
        let again_apart = first_again && apart && current.len() >= 2 && line::is_heading(view, item);
        let is_next = is_key_label(view, item) && {
            let concept = view.sense(item).concept();
            let again = current.iter().any(|other| view.sense(other).concept() == concept && is_key_label(view, other));
            let gap = current.last().is_some_and(|last| item.column > last.right + 2);
            let has_values = current.iter().any(|other| is_value(view, other) && !line::is_heading(view, other));
            current.len() >= 2 && (first_again || again && (gap || apart))
                || gap && current.len() >= 2 && !has_values && current.iter().any(|other| is_key_label(view, other))
        };
        if is_next || again_apart {
            segments.push(Vec::new());
        }
        if let Some(last) = segments.last_mut() {
            last.push(*item);
        }
    }
    segments.retain(|segment| !segment.is_empty());
    segments
}

/// Splits a line into what is label–value pairs and what is not, where empty columns lie between: the pairs of a block beside the
/// header of another.
fn without_pairs_beside(view: &View<'_>, items: &[Item]) -> Vec<Vec<Item>> {
    let pieces: Vec<&[Item]> = items.chunk_by(|a, b| b.column <= a.right + 1).collect();
    let are_pairs = |piece: &[Item]| piece.iter().all(|item| view.sense(item).is_pair) || is_pair_row(view, piece);
    let natures: Vec<bool> = pieces.iter().map(|piece| are_pairs(piece)).collect();
    let is_mixed = natures.windows(2).any(|two| two[0] != two[1]);
    if !is_mixed || !pieces.iter().zip(&natures).any(|(piece, pairs)| !pairs && is_header(view, piece)) {
        return vec![items.to_vec()];
    }
    let mut parts: Vec<(bool, Vec<Item>)> = Vec::new();
    for (piece, nature) in pieces.into_iter().zip(natures) {
        match parts.last_mut().filter(|(last, _)| *last == nature) {
            Some((_, part)) => part.extend_from_slice(piece),
            None => parts.push((nature, piece.to_vec())),
        }
    }
    parts.into_iter().map(|(_, part)| part).collect()
}

struct Cutter<'v, 'a> {
    view: &'v View<'a>,
    claimed: Vec<bool>,
    tables: Vec<Table>,
}

impl Cutter<'_, '_> {
    fn free(&self, at: usize, left: u32, right: u32) -> Vec<Item> {
        let in_range = |item: &&Item| item.column >= left && item.column <= right && !self.claimed[item.cell as usize];
        self.view.line(at).iter().filter(in_range).copied().collect()
    }

    fn claim(&mut self, items: &[Item]) {
        for item in items {
            self.claimed[item.cell as usize] = true;
        }
    }

    /// Tries to read a header at line `at` and the body under it.
    fn try_table(&mut self, at: usize, segment: &[Item], floor: u32, limit: u32) -> bool {
        let view = self.view;
        let starts = is_header(view, segment)
            || (is_bare_axis(view, segment) || is_group_line(view, segment)) && self.header_below(at, segment, limit);
        if !starts || self.are_titles_of_tables(at, segment) {
            return false;
        }
        let (mut left, mut right) = bounds(segment);
        let mut header = vec![segment.to_vec()];
        let mut next = at + 1;
        while header.len() < HEADER_LINES && next < view.line_count() && view.row(next) <= view.row(next - 1) + 1 {
            let (reach_left, reach_right) = (floor, limit);
            let items = self.free(next, reach_left, reach_right);
            if items.is_empty() || is_pair_row(view, &items) || items.iter().any(|item| view.sense(item).is_pair) {
                break;
            }
            // A lone label over nothing of its own is the name of a section.
            let lone =
                matches!(items.as_slice(), [item] if item.right == item.column && !view.sense(item).is_unit_only());
            let further = !lone && is_subheader(view, &items) || is_header(view, &items) && !lies_in_axis(view, &items);
            if !further || !self.body_follows(next + 1, reach_left, reach_right) {
                break;
            }
            let (first, last) = bounds(&items);
            (left, right) = (left.min(first), right.max(last));
            header.push(items);
            next += 1;
        }
        self.finish_table(next, header, (left, right), (floor, limit))
    }

    /// Whether each cell stands over the first header cell of a table of its own: titles of tables side by side.
    fn are_titles_of_tables(&self, at: usize, segment: &[Item]) -> bool {
        let next = at + 1;
        if segment.len() < 2 || next >= self.view.line_count() || self.view.row(next) > self.view.row(at) + 2 {
            return false;
        }
        let below = segments(self.view, &self.free(next, 0, u32::MAX));
        below.len() == segment.len() && below.iter().zip(segment).all(|(table, title)| table[0].column == title.column)
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
            left = left.min(item.column);
        }
        right = right.saturating_add(BRIDGE).min(range.1);
        let mut body = self.body(first, &header, (left, right));
        if body.lines.is_empty() || headed < 2 {
            return false;
        }
        let last =
            body.lines.iter().flat_map(|line| line.items.iter().map(|item| item.column)).max().unwrap_or(columns.1);
        right = last.max(columns.1).min(right);
        let header = self.without_titles(header, &body.lines);
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

    /// Header lines without cells that stand apart at the left and over no body: titles that a turned sheet puts into the line.
    fn without_titles(&self, header: Vec<Vec<Item>>, body: &[BodyLine]) -> Vec<Vec<Item>> {
        let first = body.iter().flat_map(|line| &line.items).map(|item| item.column).min().unwrap_or(0);
        let kept = |line: Vec<Item>| -> Vec<Item> {
            let next = line.iter().map(|item| item.column).find(|column| *column >= first).unwrap_or(first);
            line.into_iter().filter(|item| item.right >= first || item.right + 1 >= next).collect()
        };
        header.into_iter().map(kept).filter(|line| !line.is_empty()).collect()
    }

    /// Whether a line of one cell names a section: it does not fit the column that it stands in.
    fn is_section_name(&self, items: &[Item], header: &[Vec<Item>]) -> bool {
        let [item] = items else { return false };
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

    /// Tries to read line `at` as more of the table above, whose header still holds.
    fn try_continuation(&mut self, at: usize, segment: &[Item]) -> bool {
        let (first, last) = bounds(segment);
        let fitting = self.tables.iter().rev().find(|table| table.columns.0 <= first && last <= table.columns.1);
        let Some(table) = fitting else { return false };
        let profile = Profile::of(self.view, &table.body);
        let valued = segment.iter().filter(|item| is_value(self.view, item)).count();
        if segment.len() < 2
            || valued * 2 < segment.len()
            || is_pair_row(self.view, segment)
            || profile.agreement(self.view, segment) < 0.7
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

    /// The lines from `start` that belong to one body.
    fn body(&self, start: usize, header: &[Vec<Item>], (left, right): (u32, u32)) -> Body {
        let view = self.view;
        let mut body = Body { lines: Vec::new(), repeats: Vec::new() };
        let mut profile = Profile::default();
        let mut at = start;
        while at < view.line_count() {
            let items = self.free(at, left, right);
            let row = view.row(at);
            if items.is_empty() {
                at += 1;
                continue;
            }
            let last = body.lines.last().map_or(view.row(start), |line| line.row);
            if let Some((repeats, next)) = self.page_break(at, header, (left, right)) {
                body.repeats.extend(repeats);
                at = next;
                continue;
            }
            let is_statistic = items.first().is_some_and(|item| view.sense(item).statistic().is_some())
                && items.iter().skip(1).all(|item| is_value(view, item));
            if self.ends_body(&items, &profile, row.saturating_sub(last), is_statistic) {
                break;
            }
            if !is_statistic {
                profile.add(view, &items);
            }
            body.lines.push(BodyLine { row, items, is_statistic });
            at += 1;
        }
        body
    }

    /// The same header again, with up to three lines of page title before it: its cells, and the line after it.
    fn page_break(&self, at: usize, header: &[Vec<Item>], (left, right): (u32, u32)) -> Option<(Vec<Item>, usize)> {
        let mut cells = Vec::new();
        for ahead in at..(at + 4).min(self.view.line_count()) {
            let items = self.free(ahead, left, right);
            if self.is_same_header(&items, header.first()?) {
                cells.extend(items);
                let mut next = ahead + 1;
                for line in header.iter().skip(1) {
                    let items = self.free(next, left, right);
                    if self.is_same_header(&items, line) {
                        cells.extend(items);
                        next += 1;
                    }
                }
                return Some((cells, next));
            }
            // A page title holds no values but a page number.
            let values = items.iter().filter(|item| is_value(self.view, item)).count();
            if items.len() > 4 || values > 1 || items.iter().any(|item| self.tells_new_context(item)) {
                return None;
            }
            cells.extend(items);
        }
        None
    }

    /// Whether a cell between two equal headers tells a machine, date or quantity, so that a new block begins.
    fn tells_new_context(&self, item: &Item) -> bool {
        let sense = self.view.sense(item);
        let text = &self.view.cell(item).text;
        sense.kind == Kind::Date
            || sense.is_pair
            || sense.tag >= 0.5
            || windrow_text::date::find_in(text).is_some()
            || text.split_whitespace().any(|word| windrow_text::tag::likeness(word) >= 0.5)
            || sense.label.concepts.iter().any(|(concept, _)| crate::fit::quantity(*concept).is_some())
            || sense.label.units.iter().any(|meaning| !meaning.colloquial)
            || sense.concept().is_some_and(|concept| {
                use windrow_text::vocabulary::Concept;
                matches!(
                    concept,
                    Concept::Tag
                        | Concept::Date
                        | Concept::Serial
                        | Concept::TestVoltage
                        | Concept::Circuit
                        | Concept::WindingTemperature
                        | Concept::AmbientTemperature
                        | Concept::Temperature
                )
            })
    }

    fn is_same_header(&self, items: &[Item], header: &[Item]) -> bool {
        items.len() >= 2
            && items.len() == header.len()
            && items
                .iter()
                .zip(header)
                .all(|(a, b)| a.column == b.column && self.view.cell(a).text == self.view.cell(b).text)
    }

    /// Whether the body ends before this line.
    fn ends_body(&self, items: &[Item], profile: &Profile, gap: u32, is_statistic: bool) -> bool {
        let view = self.view;
        if profile.lines == 0 {
            return !items.iter().any(|item| is_value(view, item) || view.sense(item).kind == Kind::Text);
        }
        if is_statistic {
            return gap > 2;
        }
        // "Machine: P-12" begins what comes next.
        if items.iter().all(|item| view.sense(item).is_pair) {
            return true;
        }
        let agreement = profile.agreement(view, items);
        if gap > 1 {
            let wide = items.len() >= 2 || profile.columns.len() <= 2;
            return !wide
                || agreement < 0.75
                || is_header(view, items) && agreement < 1.0
                || is_pair_row(view, items) && agreement < 0.9
                || self.is_mismatched_pair(items, profile);
        }
        if self.is_mismatched_pair(items, profile) {
            return true;
        }
        if is_header(view, items) && agreement < 0.75 {
            return true;
        }
        agreement < 0.5
    }

    /// A key label and its value, where the columns hold something else.
    fn is_mismatched_pair(&self, items: &[Item], profile: &Profile) -> bool {
        let [label, value, ..] = items else { return false };
        let view = self.view;
        (items.len() == 2 || is_pair_row(view, items))
            && view.sense(label).is_strong_label()
            && line::is_pair(view, label, value)
            && (profile.agreement(view, std::slice::from_ref(label)) < 0.5
                || profile.agreement(view, std::slice::from_ref(value)) < 0.5)
    }
}

struct Body {
    lines: Vec<BodyLine>,
    repeats: Vec<Item>,
}

/// A line of group labels over a header: one or more labels or keys, all with columns under them.
fn is_group_line(view: &View<'_>, items: &[Item]) -> bool {
    let spans = items.iter().any(|item| item.right > item.column);
    (items.len() >= 2 || spans && items.len() == 1 && items[0].column > 0)
        && items.iter().all(|item| line::is_heading(view, item) || is_value(view, item))
        && !is_pair_row(view, items)
        && !line::are_captions(view, items)
}

/// Whether a header-like line is rather the first line of a body under an axis: numbers that only look like an axis.
fn lies_in_axis(view: &View<'_>, items: &[Item]) -> bool {
    let values: Vec<&Item> =
        items.iter().filter(|item| !line::is_heading(view, item) && is_value(view, item)).collect();
    !values.is_empty()
        && line::axis(view, &values) == Some(line::Axis::Times)
        && view.sense(values[0]).kind == Kind::Number
}

fn bounds(items: &[Item]) -> (u32, u32) {
    let left = items.iter().map(|item| item.column).min().unwrap_or(0);
    let right = items.iter().map(|item| item.right.max(item.column)).max().unwrap_or(0);
    (left, right)
}

/// What a column holds, coarsely; marks for missing values fit everything.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Look {
    Number,
    Date,
    Duration,
    Tag,
    Label,
    Words,
    Prose,
    Any,
}

fn look(view: &View<'_>, item: &Item) -> Look {
    let sense = view.sense(item);
    match sense.kind {
        Kind::Number | Kind::Over => Look::Number,
        Kind::Date => Look::Date,
        Kind::Duration => Look::Duration,
        Kind::Ditto | Kind::Void | Kind::Broken => Look::Any,
        Kind::Text if sense.tag >= 0.5 => Look::Tag,
        Kind::Text if sense.words >= 5 => Look::Prose,
        Kind::Text if sense.is_pure_label() => Look::Label,
        Kind::Text => Look::Words,
    }
}

/// Looks of the columns of a body so far.
#[derive(Debug, Default)]
struct Profile {
    columns: BTreeMap<u32, BTreeMap<Look, u32>>,
    lines: u32,
}

impl Profile {
    fn of(view: &View<'_>, body: &[BodyLine]) -> Self {
        let mut profile = Self::default();
        for line in body.iter().filter(|line| !line.is_statistic).take(64) {
            profile.add(view, &line.items);
        }
        profile
    }

    fn add(&mut self, view: &View<'_>, items: &[Item]) {
        self.lines += 1;
        for item in items {
            *self.columns.entry(item.column).or_default().entry(look(view, item)).or_default() += 1;
        }
    }

    /// Share of the cells that look like what their columns held so far.
    fn agreement(&self, view: &View<'_>, items: &[Item]) -> f32 {
        let mut sum = 0.0;
        for item in items {
            let look = look(view, item);
            let Some(column) = self.columns.get(&item.column) else {
                // A remark in a column that was empty so far.
                sum += if matches!(look, Look::Words | Look::Prose | Look::Any) && items.len() > 2 { 1.0 } else { 0.0 };
                continue;
            };
            sum += if look == Look::Any || column.keys().all(|known| *known == Look::Any) {
                1.0
            } else {
                column.keys().map(|known| likeness(*known, look)).fold(0.0_f32, f32::max)
            };
        }
        #[expect(clippy::cast_precision_loss, reason = "few cells")]
        let count = items.len().max(1) as f32;
        sum / count
    }
}

/// How well one look stands for another.
fn likeness(known: Look, look: Look) -> f32 {
    match (known, look) {
        (a, b) if a == b => 1.0,
        (Look::Tag | Look::Prose, Look::Words) | (Look::Words, Look::Tag | Look::Label | Look::Prose) => 0.8,
        (Look::Label, Look::Words | Look::Tag) | (Look::Tag, Look::Label) => 0.5,
        // Dates of one column are typed in many ways; years and serials are numbers.
        (Look::Date, Look::Number) | (Look::Number, Look::Date) => 0.4,
        (Look::Number, Look::Words) => 0.3,
        _ => 0.0,
    }
}

/// How well the body cells of a column fit what a header promises, 0 to 1; `None` without body cells.
#[must_use]
pub fn column_fit(view: &View<'_>, cells: &[Item], promise: crate::fit::Wants) -> Option<f32> {
    let sample: Vec<f32> =
        cells.iter().take(200).map(|item| fits(promise, view.cell(item), view.sense(item))).collect();
    #[expect(clippy::cast_precision_loss, reason = "at most 200")]
    let count = sample.len() as f32;
    (!sample.is_empty()).then(|| sample.iter().sum::<f32>() / count)
}
