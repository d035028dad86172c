//! The body under a header, and where it ends.

use super::BodyLine;
use super::across;
use super::header::Cutter;
use super::page::Again;
use super::profile::Profile;
use crate::line::{self, is_header, is_pair_row, is_statistic, is_value};
use crate::sense::Kind;
use crate::view::{Item, View};
use windrow_model::Dimension;
use windrow_text::figures::Figure;
use windrow_text::vocabulary::Concept;

/// Most words in the name of a section.
const SECTION_WORDS: usize = 5;

pub(super) struct Body {
    pub(super) lines: Vec<BodyLine>,
    pub(super) repeats: Vec<Item>,
    /// Units told column by column in a line of their own below the readings, without its label.
    pub(super) units: Vec<Item>,
}

impl Cutter<'_, '_> {
    /// The lines from `start` that belong to one body.
    pub(super) fn body(&self, start: usize, header: &[Vec<Item>], (left, right): (u32, u32)) -> Body {
        let view = self.view;
        let mut body = Body { lines: Vec::new(), repeats: Vec::new(), units: Vec::new() };
        let mut profile = Profile::under(view, header);
        // How far down cells of the body reach.
        let mut deepest: Option<u32> = None;
        let mut at = start;
        while at < view.line_count() {
            let items = self.free(at, left, right);
            let row = view.row(at);
            if items.is_empty() {
                // "KD-1 main drive" at the left of the table stands over what comes next.
                if !body.lines.is_empty() && self.tells_beside(at, left) {
                    break;
                }
                at += 1;
                continue;
            }
            if !body.lines.is_empty() && self.is_unit_note(&items, header) && !self.is_title_of_next(at) {
                at += 1;
                continue;
            }
            let last = body.lines.last().map_or(view.row(start), |line| line.row);
            if !body.lines.is_empty() && self.is_title_of_same(at, header, (left, right), &profile) {
                break;
            }
            if !body.lines.is_empty() && row > last + 1 && self.begins_record(at, header, (left, right)) {
                break;
            }
            if !body.lines.is_empty() && row > last + 1 && self.begins_next_form(&items, header) {
                break;
            }
            match self.page_break(at, header, (left, right)) {
                Some(Again::Same(repeats, next)) => {
                    body.repeats.extend(repeats);
                    at = next;
                    continue;
                }
                Some(Again::Other) if !body.lines.is_empty() => break,
                _ => {}
            }
            if let Some((label, units)) = self.unit_line(&items).filter(|_| !body.lines.is_empty()) {
                body.repeats.push(label);
                body.units = units;
                break;
            }
            let is_statistic = is_statistic(view, &items) || counts_lines(view, &items, &body.lines);
            let is_across = row <= last + 1 && across::is_across(view, &items, header);
            // What a cell of the body reaches down to is of its record, however it looks.
            let is_reached = deepest.is_some_and(|deepest| deepest >= row);
            if !is_across && !is_reached && self.ends_body(&items, &profile, row.saturating_sub(last), is_statistic) {
                break;
            }
            let is_section = profile.lines == 0 && self.may_name_section(&items, header);
            let is_told_apart = is_statistic || is_across || is_section;
            if !is_told_apart {
                profile.add(view, &items);
            }
            deepest = deepest.max(items.iter().map(|item| item.bottom).max());
            body.lines.push(BodyLine { row, items, is_statistic, is_across });
            at += 1;
        }
        body
    }

    /// A short text alone in the first column right below a wide header: the name of a section says nothing of what the columns hold. A
    /// sentence, or what stands apart, is a title of what comes next.
    fn may_name_section(&self, items: &[Item], header: &[Vec<Item>]) -> bool {
        let [item] = items else { return false };
        let heads = || header.iter().flatten();
        let first = heads().map(|head| head.column).min();
        let last = heads().map(|head| head.bottom.max(head.row)).max();
        let sense = self.view.sense(item);
        sense.kind == Kind::Text
            && sense.words <= SECTION_WORDS
            && first == Some(item.column)
            && last.is_some_and(|last| item.row == last + 1)
            && header.iter().any(|line| line.len() >= 3)
    }

    /// "Unit | MΩ | GΩ | MΩ": a label of units and two or more of them.
    fn unit_line(&self, items: &[Item]) -> Option<(Item, Vec<Item>)> {
        let (label, units) = items.split_first()?;
        let is_label = self.view.sense(label).concept() == Some(Concept::UnitColumn);
        let are_units = units.len() >= 2 && units.iter().all(|item| line::names_unit(self.view.sense(item)));
        (is_label && are_units).then(|| (*label, units.to_vec()))
    }

    /// "Values in MΩ, phase to earth" alone under or between the lines of a wide table: a note on the readings, and no line.
    fn is_unit_note(&self, items: &[Item], header: &[Vec<Item>]) -> bool {
        let [note] = items else { return false };
        let sense = self.view.sense(note);
        let is_wide = header.last().is_some_and(|line| line.len() >= 3);
        let mut units = sense.label.units.iter();
        let measured = |dimension: Dimension| {
            matches!(dimension, Dimension::Resistance | Dimension::Current | Dimension::Capacitance)
        };
        is_wide
            && sense.kind == Kind::Text
            && sense.words >= 2
            && sense.tag < 0.5
            && units.any(|meaning| !meaning.colloquial && meaning.weight >= 0.8 && measured(meaning.unit.dimension))
    }

    /// Whether the next line that holds anything is a header: what stands alone over it is its title.
    fn is_title_of_next(&self, at: usize) -> bool {
        let mut below = (at + 1..self.view.line_count()).map(|at| self.view.line(at)).filter(|items| !items.is_empty());
        below.next().is_some_and(|items| is_header(self.view, items))
    }

    /// "| U | V | W |" below readings headed "U-V | V-W | W-U": names of terminals over what comes next, where the body has numbers.
    fn are_other_terminals(&self, items: &[Item], profile: &Profile) -> bool {
        self.name_terminals(items)
            && items.iter().all(|item| profile.agreement(self.view, std::slice::from_ref(item)) < 0.5)
    }

    /// "Insulation at 1000 V | 15 s | 60 s" below numbers of another kind: a name and times over what comes next.
    fn are_times_over_more(&self, items: &[Item], profile: &Profile) -> bool {
        let Some((name, times)) = items.split_first() else { return false };
        let told = &self.view.sense(name).label;
        let names_quantity = told.concepts.iter().any(|(concept, _)| crate::fit::quantity(*concept).is_some());
        let is_time = |item: &&Item| {
            let sense = self.view.sense(item);
            let is_promised = profile.promised_dimension(item.column) == Some(Dimension::Time);
            sense.label.elapsed_s.is_some() && sense.label.concepts.is_empty() && !is_promised
        };
        let is_value = self.view.sense(name).kind != Kind::Text;
        (names_quantity || told.voltage_v.is_some()) && !is_value && times.iter().filter(is_time).count() >= 2
    }

    /// Whether all of two cells or more are names of phases or terminals.
    pub(super) fn name_terminals(&self, items: &[Item]) -> bool {
        let is_name = |item: &Item| {
            let sense = self.view.sense(item);
            sense.kind == Kind::Text && sense.words <= 2 && !sense.circuits.is_empty()
        };
        items.len() >= 2 && items.iter().all(is_name)
    }

    /// Whether the body ends before this line.
    fn ends_body(&self, items: &[Item], profile: &Profile, gap: u32, is_statistic: bool) -> bool {
        let view = self.view;
        if profile.lines == 0 {
            // "Plant: Block B   Tag: 2LAC20" is a line of a form, whatever stands above it.
            let is_form = items.len() >= 2
                && (line::ends_with_colon(view, &items[0]) || self.repeats_key(items) || self.is_line_of_form(items))
                && is_pair_row(view, items);
            // "DATE | 1/2 MIN | 1 MIN | 10 MIN" under the lines of a letterhead heads a table of its own.
            let is_own_header = items.len() >= 3 && line::is_key_label(view, &items[0]) && is_header(view, items);
            return is_form
                || is_own_header
                || !items.iter().any(|item| is_value(view, item) || view.sense(item).kind == Kind::Text);
        }
        if is_statistic {
            return gap > 2;
        }
        if self.are_other_terminals(items, profile) || self.are_times_over_more(items, profile) {
            return true;
        }
        // "Machine: P-12" begins what comes next.
        if items.iter().all(|item| view.sense(item).is_pair) {
            return true;
        }
        let agreement = profile.agreement(view, items);
        if gap > 1 {
            // "Before the test | 1 min | 10 min" below columns of plain numbers heads the next table.
            let are_steps = items.len() >= 3 && items.iter().skip(1).all(|item| line::is_step(view, item));
            if are_steps && is_header(view, items) {
                return true;
            }
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

    /// "Date | 2014-02-06 | Winding | 21.5 °C": two labels or more, one of the machine or date among them, each with its value.
    fn is_line_of_form(&self, items: &[Item]) -> bool {
        let pairs: Vec<&[Item]> = items.chunks(2).collect();
        let is_pair = |two: &&[Item]| {
            let [label, value] = *two else { return false };
            let sense = self.view.sense(label);
            sense.is_pure_label() && sense.label.unexplained.is_empty() && line::is_pair(self.view, label, value)
        };
        let is_key = |two: &&[Item]| two.first().is_some_and(|label| line::is_key_label(self.view, label));
        pairs.len() >= 2
            && pairs.iter().filter(|two| is_pair(two)).count() * 2 >= pairs.len()
            && pairs.iter().any(|two| is_key(two) && is_pair(two))
    }

    /// Whether one label of a machine or date stands in the line again: forms side by side.
    fn repeats_key(&self, items: &[Item]) -> bool {
        let text = |item: &Item| self.view.cell(item).text.trim();
        let mut keys = items.iter().filter(|item| line::is_key_label(self.view, item));
        keys.next().is_some_and(|first| keys.any(|other| text(other) == text(first)))
    }

    /// A key label and its value, where the columns hold something else.
    fn is_mismatched_pair(&self, items: &[Item], profile: &Profile) -> bool {
        let [label, value, ..] = items else { return false };
        let view = self.view;
        if names_another(view, label, value, profile) && items.iter().skip(2).all(|item| !is_value(view, item)) {
            return true;
        }
        // "Insulation before the test, 1 min at 2500 V: | 2480 MΩ" below columns of numbers.
        let is_told = items.len() == 2 && line::ends_with_colon(view, label);
        (items.len() == 2 || is_pair_row(view, items))
            && (is_told || view.sense(label).is_strong_label() && line::is_pair(view, label, value))
            && (profile.agreement(view, std::slice::from_ref(label)) < 0.5
                || profile.agreement(view, std::slice::from_ref(value)) < 0.5)
    }
}

/// "Readings taken: | 12" below twelve lines.
fn counts_lines(view: &View<'_>, items: &[Item], lines: &[BodyLine]) -> bool {
    let [label, count] = items else { return false };
    let told = lines.iter().filter(|line| !line.is_statistic).count();
    view.sense(label).figure == Some(Figure::Entries)
        && told > 0
        && view.cell(count).text.trim().parse::<usize>().is_ok_and(|count| count == told)
}

/// "Insulation to frame (MOhm) | 640" below "Peak kV": a label that names a quantity and its unit, and a number where the header promises
/// one of another kind.
fn names_another(view: &View<'_>, label: &Item, value: &Item, profile: &Profile) -> bool {
    let told = &view.sense(label).label;
    let Some(best) = told.units.first().filter(|best| best.weight >= 0.9 && !best.colloquial) else { return false };
    let names = |(concept, weight): &(Concept, f32)| {
        let quantity = crate::fit::quantity(*concept).filter(|_| *weight >= 0.6);
        quantity.is_some_and(|quantity| quantity.dimension() == best.unit.dimension)
    };
    let is_another = |promised: Dimension| promised != best.unit.dimension && promised != Dimension::Ratio;
    told.concepts.iter().any(names)
        && view.sense(value).kind == Kind::Number
        && profile.promised_dimension(value.column).is_some_and(is_another)
}
