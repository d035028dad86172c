//! What is in force where: the date, the way it was measured and the machine, from one sentence to the next.

use super::cut;
use super::known;
use super::lines::Running;
use super::name::Name;
use super::piece::{self, Piece, Says};
use super::sentence::{self, Circumstances, Sentence, circuit_of, says};
use super::values::{self, Value};
use super::{By, Passage, Spoken};
use crate::view::Item;
use std::collections::BTreeSet;
use windrow_model::{Dimension, Precision};
use windrow_text::date::{self, DateMeaning};
use windrow_text::said::Said;

/// Most pieces of a heading.
const SHORT: usize = 6;

/// What the sentences before one tell for it.
#[derive(Debug, Clone, Default)]
struct Force {
    date: Option<(Vec<DateMeaning>, usize)>,
    told: Circumstances,
    /// Whether a title said that what follows are limits or values of other things.
    is_of_other: bool,
}

/// The readings of a running text, by entry.
pub(super) fn passages(running: &Running) -> Vec<Passage> {
    let pieces = piece::pieces(&running.text);
    let mut sentences = cut::sentences(&running.text, &pieces);
    known::settle(&running.text, &pieces, &mut sentences);
    let is_log = cut::is_log(&pieces, &sentences);
    let is_notebook = cut::is_notebook(&pieces);
    let headlines = cut::headlines(&pieces);
    let reader = Speaker { running, pieces: &pieces, is_log, is_notebook, headlines, sentences: &sentences };
    reader.read()
}

/// Reads the sentences one after the other.
struct Speaker<'r> {
    running: &'r Running,
    pieces: &'r [Piece],
    sentences: &'r [Sentence],
    is_log: bool,
    is_notebook: bool,
    /// Lines that head what was done on a day.
    headlines: Vec<std::ops::Range<usize>>,
}

impl Speaker<'_> {
    fn read(&self) -> Vec<Passage> {
        let mut force = Force::default();
        // What the head of a log says of all its entries: "Mesures à la magnéto de 1000 V, bornes réunies contre masse."
        let mut head = Circumstances::default();
        let mut written: Vec<(Vec<DateMeaning>, usize)> = Vec::new();
        let mut passages: Vec<(usize, Passage)> = Vec::new();
        let mut lost: BTreeSet<u32> = BTreeSet::new();
        let (mut section, mut entry, mut text) = (0, 0, 0);
        // Whether something was spoken of in this entry that is not understood, which "it" and "the same" may mean.
        let mut is_broken = false;
        for sentence in self.sentences {
            if sentence.text != text {
                (text, force, head) = (sentence.text, Force::default(), Circumstances::default());
                written.clear();
            }
            if sentence.entry != entry {
                (entry, is_broken) = (sentence.entry, false);
                section += 1;
                force = Force { date: force.date, told: head.clone(), ..Force::default() };
            }
            // "2 Dec 85   Conveyor CV-7, 1000 V. A to frame 210 meg.": what a line of a notebook tells is of its day.
            if self.is_notebook && cut::begins_with_day(self.pieces, sentence) {
                force = Force { date: self.date_of(sentence, &force), told: head.clone(), ..Force::default() };
            }
            // The names of those on shift say nothing of machines.
            if cut::is_of_headline(&self.headlines, sentence) {
                if let Some(date) = self.date_of(sentence, &force) {
                    force = Force { date: Some(date), told: head.clone(), ..Force::default() };
                    section += 1;
                    is_broken = false;
                }
                continue;
            }
            if self.corrects_all(sentence) {
                lost.extend(self.cells_of_text(sentence.text));
            }
            if self.has_value(sentence) {
                let is_open = is_broken && sentence.names.is_empty();
                let found = if is_open { Vec::new() } else { self.spoken(sentence, &force) };
                is_broken |= found.is_empty();
                if found.is_empty() && !self.is_of_other(sentence) && !force.is_of_other {
                    lost.extend(self.cells(sentence).iter().map(|item| item.cell));
                }
                match passages.last_mut() {
                    Some((of, passage)) if *of == section => passage.readings.extend(found),
                    _ if found.is_empty() => {}
                    _ => passages.push((section, Passage { readings: found })),
                }
                continue;
            }
            if let Some(date) = self.date_of(sentence, &force) {
                if self.is_log && cut::is_date_heading(self.pieces, sentence) {
                    force = Force { date: Some(date), told: head.clone(), ..Force::default() };
                    section += 1;
                    continue;
                }
                if !self.speaks_of_test(sentence) {
                    written.push(date);
                }
            }
            is_broken |= self.names_another(sentence);
            self.lead(sentence, &mut force, &written, &mut section);
            if let Some(told) = self.head_of_log(sentence, &force) {
                head = told;
            }
        }
        // A cell of which one value is not understood is left whole to a person: read in part, the rest would be lost.
        for (_, passage) in &mut passages {
            passage.readings.retain(|spoken| !lost.contains(&spoken.item.cell));
        }
        passages.into_iter().map(|(_, passage)| passage).filter(|passage| !passage.readings.is_empty()).collect()
    }

    /// What a sentence over all entries of a log tells, without a machine or day, of how was measured: in words that are all known, or
    /// beside an instrument that is turned by hand.
    fn head_of_log(&self, sentence: &Sentence, force: &Force) -> Option<Circumstances> {
        let is_entry = |piece: &Piece| {
            matches!(piece.says, Says::Date(_) | Says::DayOfYear(_) | Says::Resistance(_) | Says::Clock)
        };
        let is_head = (self.is_log || self.is_notebook)
            && sentence.names.is_empty()
            && !force.is_of_other
            && force.date.is_none()
            && !self.pieces.get(..sentence.range.end)?.iter().any(is_entry);
        let is_by_hand = || {
            let mut words = self.pieces.get(sentence.range.clone()).unwrap_or_default().iter().filter_map(Piece::word);
            words.any(windrow_text::said::is_turned_by_hand)
        };
        let told = if force.told.is_some() {
            force.told.clone()
        } else if is_by_hand() {
            sentence::circumstances(self.pieces, sentence, true)
        } else {
            return None;
        };
        (is_head && told.is_some() && !told.contradicts).then_some(told)
    }

    /// The cells of a text: what is said at its end of all values ("all corrected to 40 °C") is said of those before it.
    fn cells_of_text(&self, text: usize) -> Vec<u32> {
        let own = self.sentences.iter().filter(|sentence| sentence.text == text);
        own.flat_map(|sentence| self.cells(sentence)).map(|item| item.cell).collect()
    }

    /// Whether a sentence says that the values of the text are corrected.
    fn corrects_all(&self, sentence: &Sentence) -> bool {
        let span = |at: usize| self.pieces.get(at).map(|piece| piece.span.clone());
        let ends = (span(sentence.range.start), span(sentence.range.end.saturating_sub(1)));
        let text =
            if let (Some(first), Some(last)) = ends { self.running.text.get(first.start..last.end) } else { None };
        let is_general = sentence.names.is_empty() || text.is_some_and(crate::loose::corrects_all);
        self.says(sentence, Said::Corrected) && is_general
    }

    /// Whether a sentence speaks of a machine that it does not name: "Spare motor cleaned."
    fn names_another(&self, sentence: &Sentence) -> bool {
        let in_name = |at: usize| sentence.names.iter().any(|name| name.pieces.contains(&at));
        let mut outside = sentence.range.clone().filter(|at| !in_name(*at));
        outside.any(|at| self.pieces.get(at).is_some_and(|piece| piece.is(Said::Which)))
    }

    fn says(&self, sentence: &Sentence, said: Said) -> bool {
        says(self.pieces, &sentence.range, said)
    }

    fn has_value(&self, sentence: &Sentence) -> bool {
        let own = self.pieces.get(sentence.range.clone()).unwrap_or_default();
        let is_unit = |piece: &Piece| {
            piece.word().is_some_and(|word| {
                windrow_text::unit::read(word, None)
                    .first()
                    .is_some_and(|best| best.unit.dimension == Dimension::Resistance && best.weight >= 0.6)
            })
        };
        own.iter().any(|piece| matches!(piece.says, Says::Resistance(_)))
            || own.windows(2).any(|two| matches!(two, [number, unit] if number.says == Says::Doubtful && is_unit(unit)))
    }

    /// Whether a sentence without values may tell how the following ones were measured.
    fn speaks_of_test(&self, sentence: &Sentence) -> bool {
        let is_measured = self.says(sentence, Said::Measured);
        let is_denied = [Said::Plan, Said::Negation, Said::Event].into_iter().any(|said| self.says(sentence, said));
        (is_measured || sentence.leads) && !is_denied
    }

    /// Whether a sentence says that its values are limits, plans, those of other things or of other times.
    fn is_of_other(&self, sentence: &Sentence) -> bool {
        [Said::Bound, Said::Plan, Said::Than, Said::Corrected, Said::Foreign, Said::Earlier]
            .into_iter()
            .any(|said| self.says(sentence, said))
    }

    /// Whether every word that is not known stands for a place or a person: it has a capital, in a sentence that says "tested".
    fn has_names_only(&self, sentence: &Sentence) -> bool {
        let in_name = |at: usize| sentence.names.iter().any(|name| name.pieces.contains(&at));
        let is_capital = |piece: &Piece| {
            self.running.text.get(piece.span.clone()).is_some_and(|word| word.starts_with(char::is_uppercase))
        };
        let mut unknown = sentence.range.clone().filter(|at| !in_name(*at)).filter_map(|at| self.pieces.get(at));
        self.says(sentence, Said::Measured)
            && unknown.by_ref().filter(|piece| !sentence::is_known(piece)).all(is_capital)
    }

    /// The one date that a sentence tells.
    fn date_of(&self, sentence: &Sentence, force: &Force) -> Option<(Vec<DateMeaning>, usize)> {
        let mut found: Vec<(Vec<DateMeaning>, usize)> = Vec::new();
        for at in sentence.range.clone() {
            match self.pieces.get(at).map(|piece| &piece.says) {
                Some(Says::Date(meanings)) => found.push((meanings.clone(), at)),
                // A letter tells days before and after its own.
                Some(Says::DayOfYear(said)) if self.is_log => found.push((year_of(said, force)?, at)),
                Some(Says::DayOfYear(_)) => return None,
                _ => {}
            }
        }
        match <[_; 1]>::try_from(found) {
            Ok([one]) => Some(one),
            Err(_) => None,
        }
    }

    /// Takes what a sentence without values tells of those that follow.
    fn lead(&self, sentence: &Sentence, force: &mut Force, written: &[(Vec<DateMeaning>, usize)], section: &mut usize) {
        let has_date = sentence.range.clone().any(|at| {
            self.pieces.get(at).is_some_and(|piece| matches!(piece.says, Says::Date(_) | Says::DayOfYear(_)))
        });
        let is_foreign = self.says(sentence, Said::Foreign) && self.says(sentence, Said::Measured) && !has_date;
        // "Values of the previous survey:" has a day of its own, which is not told.
        let is_earlier = self.says(sentence, Said::Earlier) && !has_date;
        let is_of_other = is_foreign
            || is_earlier
            || [Said::Bound, Said::Plan, Said::Corrected].into_iter().any(|said| self.says(sentence, said));
        let is_event = self.says(sentence, Said::Event);
        // "All values in this list are corrected to 40 °C."
        let is_heading = is_of_other
            && (sentence.range.len() <= SHORT
                || self.says(sentence, Said::Corrected)
                || self.says(sentence, Said::Bound));
        let tells_event = is_event && (sentence.leads || self.says(sentence, Said::Measured));
        let in_name = |at: usize| sentence.names.iter().any(|name| name.pieces.contains(&at));
        let is_own_day = has_date && self.has_names_only(sentence) && !is_event;
        let is_unknown = sentence.leads
            && !is_own_day
            && !sentence.is_clocked
            && !sentence.range.clone().all(|at| in_name(at) || self.pieces.get(at).is_some_and(sentence::is_known));
        let is_test = self.speaks_of_test(sentence);
        if is_test && self.says(sentence, Said::Today) {
            let first = written.first().filter(|(first, _)| written.iter().all(|(other, _)| other == first));
            *force = Force { date: first.cloned().or_else(|| force.date.clone()), ..Force::default() };
            *section += 1;
        } else if is_test && has_date {
            *force = Force { date: self.date_of(sentence, force), ..Force::default() };
            *section += 1;
        }
        if is_of_other && (sentence.leads || is_test || is_heading) || is_unknown || tells_event {
            force.is_of_other = true;
            return;
        }
        let own = sentence::circumstances(self.pieces, sentence, is_test);
        let is_plain =
            sentence.range.clone().all(|at| in_name(at) || self.pieces.get(at).is_some_and(sentence::is_known));
        if own.contradicts {
            force.told = Circumstances::default();
        } else if own.is_some() && (is_test || is_plain && !is_of_other) {
            force.told = own.or(&force.told);
        }
    }

    /// The machine of a sentence: the one that it names, or the only one of its entry.
    fn machine(&self, sentence: &Sentence) -> Option<(String, usize)> {
        let mut own = sentence.names.iter();
        if let Some(first) = own.next() {
            let is_one = own.all(|other| other.key == first.key);
            return is_one.then(|| (first.text.clone(), first.pieces.start));
        }
        // What is named later is not what was spoken of.
        let is_same = |other: &&Sentence| {
            other.entry == sentence.entry && other.text == sentence.text && other.range.start < sentence.range.start
        };
        let mut same = self.sentences.iter().filter(is_same).flat_map(|other| &other.names);
        if let Some(first) = same.next() {
            return same.all(|other| other.key == first.key).then(|| (first.text.clone(), first.pieces.start));
        }
        if self.says(sentence, Said::Same) && sentence.is_clocked {
            let is_before = |other: &&Sentence| other.entry + 1 == sentence.entry && other.text == sentence.text;
            let before: Vec<&Name> = self.sentences.iter().filter(is_before).flat_map(|other| &other.names).collect();
            let first = before.first()?;
            return before.iter().all(|other| other.key == first.key).then(|| (first.text.clone(), first.pieces.start));
        }
        None
    }

    /// The readings of a sentence.
    fn spoken(&self, sentence: &Sentence, force: &Force) -> Vec<Spoken> {
        self.try_spoken(sentence, force).unwrap_or_default()
    }

    fn try_spoken(&self, sentence: &Sentence, force: &Force) -> Option<Vec<Spoken>> {
        let is_earlier = self.says(sentence, Said::Earlier);
        let is_doubted = self.says(sentence, Said::Doubt);
        let is_of_other =
            [Said::Bound, Said::Plan, Said::Than, Said::Corrected].into_iter().any(|said| self.says(sentence, said));
        if is_of_other && !is_doubted || force.is_of_other || is_earlier && !self.is_dated_earlier(sentence) {
            return None;
        }
        let has_own_date = sentence.range.clone().any(|at| {
            self.pieces.get(at).is_some_and(|piece| matches!(piece.says, Says::Date(_) | Says::DayOfYear(_)))
        });
        // "Rewound 2 May 1990, 340 megohm", "120 megohm after 30 minutes' drying": the day, the time and the warmth are the event's.
        let is_of_event = |piece: &Piece| match piece.says {
            Says::Date(_) | Says::DayOfYear(_) | Says::Celsius(_) => true,
            // Nobody holds the voltage for hours.
            Says::Elapsed(seconds) => seconds < 3600.0,
            _ => false,
        };
        let own = self.pieces.get(sentence.range.clone()).unwrap_or_default();
        if self.says(sentence, Said::Event) && own.iter().any(is_of_event) || self.is_quoted(sentence) {
            return None;
        }
        let date = if has_own_date { self.date_of(sentence, force)? } else { force.date.clone()? };
        if sentence.names.iter().any(|name| name.is_open) || self.names_another(sentence) {
            return None;
        }
        let (machine, machine_at) = self.machine(sentence)?;
        let own = sentence::circumstances(self.pieces, sentence, false);
        if own.contradicts {
            return None;
        }
        // What was told of other days is not told of this one.
        let told = if has_own_date { own } else { own.or(&force.told) };
        if is_doubted
            || sentence.range.clone().any(|at| self.pieces.get(at).is_some_and(|piece| piece.says == Says::Doubtful))
        {
            return self.doubted(sentence, (machine, machine_at), date);
        }
        let values = values::values(self.pieces, sentence);
        let cells = self.cells(sentence);
        let spoken = values.iter().map(|value| self.reading(value, &told, (&machine, machine_at), &date, &cells));
        let spoken: Option<Vec<Spoken>> = spoken.collect();
        spoken.filter(|all| all.iter().all(|one| !(self.running.is_headed(one.item.row) && cells.len() > 1)))
    }

    /// Whether a value begins a line with ">": a line of a letter that is answered, as often as "at least".
    fn is_quoted(&self, sentence: &Sentence) -> bool {
        sentence.range.clone().filter_map(|at| self.pieces.get(at)).any(|piece| {
            let before = self.running.text.get(..piece.span.start).unwrap_or_default();
            let begins = before.rsplit('\n').next().is_some_and(|line| line.trim().is_empty());
            let text = self.running.text.get(piece.span.clone()).unwrap_or_default();
            matches!(piece.says, Says::Resistance(_)) && begins && text.starts_with('>')
        })
    }

    fn cells(&self, sentence: &Sentence) -> Vec<Item> {
        let span = |at: usize| self.pieces.get(at).map(|piece| piece.span.clone());
        let (Some(first), Some(last)) = (span(sentence.range.start), span(sentence.range.end.saturating_sub(1))) else {
            return Vec::new();
        };
        self.running.items(&(first.start..last.end))
    }

    fn item(&self, at: usize) -> Option<Item> {
        self.running.item(self.pieces.get(at)?.span.start)
    }

    fn by<T: Clone>(&self, told: Option<&(T, usize)>) -> Option<By<T>> {
        let (value, at) = told?;
        Some((value.clone(), self.item(*at)?))
    }

    fn reading(
        &self,
        value: &Value,
        told: &Circumstances,
        machine: (&str, usize),
        date: &(Vec<DateMeaning>, usize),
        cells: &[Item],
    ) -> Option<Spoken> {
        let general = told.circuit.as_ref().and_then(|(meanings, at)| Some((circuit_of(meanings)?, *at)));
        let has_kilohms = value.part.units.first().is_some_and(|best| best.unit.to_stored(1.0) < 0.99e6);
        // Kilohms between nobody knows what may be a thermistor's.
        let is_insulation =
            value.circuit.is_some() || told.circuit.is_some() || told.volts.is_some() || self.is_to_earth(value);
        if has_kilohms && !is_insulation {
            return None;
        }
        Some(Spoken {
            item: self.item(value.at)?,
            part: value.part.clone(),
            machine: (machine.0.to_owned(), self.item(machine.1)?),
            dates: (date.0.clone(), self.item(date.1)?),
            circuit: self.by(value.circuit.as_ref()).or_else(|| self.by(general.as_ref())),
            elapsed: self.by(value.elapsed.as_ref()).or_else(|| self.by(told.elapsed.as_ref())),
            volts: self.by(told.volts.as_ref()),
            winding: self.by(told.winding.as_ref()),
            some_celsius: self.by(told.some_celsius.as_ref()),
            ambient: self.by(told.ambient.as_ref()),
            is_doubtful: false,
            cells: cells.to_vec(),
        })
    }

    fn is_to_earth(&self, value: &Value) -> bool {
        value.clause.clone().any(|at| self.pieces.get(at).is_some_and(|piece| matches!(piece.says, Says::Circuit(_))))
    }

    /// "L'expertise précédente, du 9 mai 1989, donnait": a whole date right behind the word for earlier, and one time only.
    fn is_dated_earlier(&self, sentence: &Sentence) -> bool {
        const REACH: usize = 5;
        let is_date = |at: usize| matches!(self.pieces.get(at).map(|piece| &piece.says), Some(Says::Date(meanings)) if meanings.iter().all(|meaning| meaning.date.precision == Precision::Day));
        let is_value = |at: usize| self.pieces.get(at).is_some_and(|piece| matches!(piece.says, Says::Resistance(_)));
        let last = sentence.range.clone().rfind(|at| self.pieces.get(*at).is_some_and(|piece| piece.is(Said::Earlier)));
        let Some(last) = last else { return false };
        let near = (last + 1..(last + 1 + REACH).min(sentence.range.end)).take_while(|at| !is_value(*at));
        near.into_iter().any(is_date) && !(sentence.range.start..last).any(is_value)
    }

    /// A sentence whose figure is not sure, with its first figure.
    fn doubted(
        &self,
        sentence: &Sentence,
        machine: (String, usize),
        date: (Vec<DateMeaning>, usize),
    ) -> Option<Vec<Spoken>> {
        let is_figure = |at: &usize| {
            self.pieces.get(*at).is_some_and(|piece| matches!(piece.says, Says::Doubtful | Says::Resistance(_)))
        };
        let at = sentence.range.clone().find(is_figure)?;
        let (part, _) = windrow_text::measure::begin("0")?;
        Some(vec![Spoken {
            item: self.item(at)?,
            part,
            machine: (machine.0, self.item(machine.1)?),
            dates: (date.0, self.item(date.1)?),
            circuit: None,
            elapsed: None,
            volts: None,
            winding: None,
            some_celsius: None,
            ambient: None,
            is_doubtful: true,
            cells: self.cells(sentence),
        }])
    }
}

/// A day without its year, in the year of the date in force; one that then lies before it is of no certain year.
fn year_of(said: &str, force: &Force) -> Option<Vec<DateMeaning>> {
    let (known, _) = force.date.as_ref()?;
    let first = known.first()?.date;
    let one_year = known.iter().all(|meaning| meaning.date.first.year() == first.first.year());
    let read = date::read(&format!("{said} {}", first.first.year()));
    let fits = read.iter().all(|meaning| meaning.date.first >= first.first);
    (one_year && fits && !read.is_empty()).then_some(read)
}
