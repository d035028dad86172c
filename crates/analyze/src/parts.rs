//! The analysis in parts that can run anywhere: each part of the machines gives its rows, its findings and its columns for the fleet model;
//! what only the whole fleet can tell is worked out on those columns, and the machines that it speaks of are looked at once more (`reduce`).

mod given;
mod reduce;

use crate::asked::{Answer, Asked};
use crate::context::Context;
use crate::fleet::codes::Codes;
use crate::fleet::columns::{self, MachineFeatures};
use crate::fleet::{Key, Review, reviews_of};
use crate::judge::{self, Judged};
use crate::kept::{self, Entry, LookedAt, Recall, Room};
use crate::loaded::{Inputs, InputsHash, Loaded};
use crate::rules;
use crate::rules::dissipation_sisters::Shown;
use crate::series::{self, History};
use crate::{coverage, summary};
pub use given::{Looks, Rows};
use rayon::prelude::*;
use std::ops::Range;
use std::panic::resume_unwind;
use std::thread;
use windrow_criteria::Insulation;
use windrow_fleet::Fleet;
use windrow_model::{Finding, Text};
use windrow_statistics::trend::Significance;

/// Machines of one part: few enough that their rows take little memory, many enough that the parts need no care.
pub(crate) const MACHINES: usize = 128;
/// Parts that are worked on before their rows are handed over: so many that no thread waits long for the one that is last.
const AT_ONCE: usize = 16;

/// What all parts look at.
pub(crate) struct Whole<'a> {
    pub(crate) loaded: &'a Loaded,
    pub(crate) context: Context<'a>,
    pub(crate) codes: Codes<'a>,
}

/// A machine with tests, after the first look.
pub(crate) struct Machine {
    /// Its tests.
    places: Range<usize>,
    findings: Vec<Finding>,
    trend: Option<Significance>,
    may_step: bool,
    asked: Vec<Asked>,
    /// What its dissipation factors show its sisters.
    dissipation: Vec<Shown>,
}

/// What the parts gave, put together.
#[derive(Default)]
pub(crate) struct Mapped {
    pub(crate) machines: Vec<Machine>,
    pub(crate) columns: Fleet,
    pub(crate) keys: Vec<Key>,
    /// How many machines were looked at.
    pub(crate) looks: Looks,
}

/// One part that was looked at.
#[derive(Default)]
struct Part {
    rows: Rows,
    mapped: Mapped,
    /// What to keep of it.
    entries: Vec<Entry>,
}

/// Room that machines of a part use one after the other.
#[derive(Default)]
struct Rooms {
    inputs: Inputs,
    entry: Room,
}

impl Mapped {
    fn append(&mut self, other: Self) {
        self.looks.machines += other.looks.machines;
        self.looks.anew += other.looks.anew;
        let before = self.machines.len();
        self.columns.append(other.columns);
        self.keys.extend(other.keys.into_iter().map(|key| Key { machine: key.machine + before, ..key }));
        self.machines.extend(other.machines);
    }

    /// Adds what a look at the machine with the tests at `places` gave.
    fn add(&mut self, places: &Range<usize>, machine: Option<LookedAt>, codes: &Codes<'_>) {
        let Some(machine) = machine else { return };
        columns::push(&mut self.columns, &mut self.keys, codes, &machine.features, self.machines.len());
        self.machines.push(Machine {
            places: places.clone(),
            trend: machine.trend(),
            may_step: machine.may_step,
            asked: machine.asked,
            findings: machine.findings,
            dissipation: machine.dissipation,
        });
    }
}

/// Gives the rows of parts away, puts their columns behind the others, and keeps what is to be kept.
fn hand_over(parts: Vec<Part>, (all, recall): (&mut Mapped, &mut Option<Recall<'_>>), take: &mut dyn FnMut(Rows)) {
    for Part { rows, mapped, entries } in parts {
        take(rows);
        all.append(mapped);
        if let Some(recall) = recall.as_mut().filter(|_| !entries.is_empty()) {
            recall.memory.keep(kept::machines(&entries));
        }
    }
}

impl Whole<'_> {
    /// Looks at all machines, `size` a part, and hands the rows over in order. With a memory only those are worked out of which it keeps nothing.
    pub(crate) fn map(&self, size: usize, recall: &mut Option<Recall<'_>>, take: &mut dyn FnMut(Rows)) -> Mapped {
        let machines = self.loaded.by_machine();
        let parts: Vec<&[Range<usize>]> = machines.chunks(size.max(1)).collect();
        let mut all = Mapped::default();
        let mut before: Vec<Part> = Vec::new();
        for parts in parts.chunks(AT_ONCE) {
            let known: Vec<Vec<Option<Entry>>> = parts.iter().map(|part| self.recalled(part, recall)).collect();
            let keeps = recall.is_some();
            let look = |(machines, known): (&&[Range<usize>], _)| self.look(machines, known, keeps);
            // What was looked at before is handed over meanwhile.
            before = thread::scope(|scope| {
                let looking = scope.spawn(|| parts.par_iter().zip(known).map(look).collect());
                hand_over(std::mem::take(&mut before), (&mut all, recall), take);
                looking.join().unwrap_or_else(|panic| resume_unwind(panic))
            });
        }
        hand_over(before, (&mut all, recall), take);
        all
    }

    /// What is kept of the machines of a part.
    fn recalled(&self, part: &[Range<usize>], recall: &mut Option<Recall<'_>>) -> Vec<Option<Entry>> {
        let one = |places: &Range<usize>| recall.as_mut()?.entry(self.loaded.test(places.start).asset_id()?);
        part.iter().map(one).collect()
    }

    fn look(&self, machines: &[Range<usize>], known: Vec<Option<Entry>>, keeps: bool) -> Part {
        let (mut part, mut rooms) = (Part::default(), Rooms::default());
        // Growing would copy rows of a kilobyte again and again.
        let anew = || machines.iter().zip(&known).filter(|(_, known)| known.is_none());
        part.rows.summaries.reserve_exact(anew().map(|(places, _)| places.len()).sum());
        part.rows.coverage.reserve_exact(anew().count() * Insulation::INSULATING.len());
        for (places, known) in machines.iter().zip(known) {
            // Tests without a machine are no machine's, and none of them is kept.
            let asset_id = self.loaded.test(places.start).asset_id();
            let machine = match asset_id.filter(|_| keeps) {
                Some(asset_id) => self.look_or_recall((asset_id, places), known, (&mut part, &mut rooms)),
                None => self.look_at(places, &mut part.rows),
            };
            part.mapped.looks.machines += usize::from(asset_id.is_some());
            part.mapped.looks.anew += usize::from(asset_id.is_some() && !keeps);
            part.mapped.add(places, machine, &self.codes);
        }
        part
    }

    fn look_or_recall(
        &self,
        (asset_id, places): (&str, &Range<usize>),
        known: Option<Entry>,
        (part, rooms): (&mut Part, &mut Rooms),
    ) -> Option<LookedAt> {
        let inputs = self.inputs(places, &mut rooms.inputs);
        if let Some((machine, entry)) = known.and_then(|entry| Some((entry.recalled(inputs)?, entry))) {
            part.rows.as_before.push(Text::new(asset_id));
            part.entries.push(entry);
            return machine;
        }
        part.mapped.looks.anew += 1;
        let machine = self.look_at(places, &mut part.rows);
        part.entries.extend(Entry::of(asset_id, inputs, machine.as_ref(), &mut rooms.entry));
        machine
    }

    /// Hash of all that a look at the tests at `places` sees.
    fn inputs(&self, places: &Range<usize>, inputs: &mut Inputs) -> InputsHash {
        inputs.begin();
        self.loaded.inputs(places.clone(), inputs);
        for place in places.clone() {
            let waves = self.context.waves.get(self.loaded.test(place).test_id().as_str());
            let waves = waves.map_or(&[][..], Vec::as_slice);
            inputs.count(waves.len());
            for wave in waves {
                wave.inputs(inputs);
            }
        }
        inputs.hash()
    }

    /// The first look at one machine, whose rows go to `rows`; `None` where no test has a machine, or all are repeats.
    fn look_at(&self, places: &Range<usize>, rows: &mut Rows) -> Option<LookedAt> {
        self.with(places, |judged, history| {
            rows.summaries.extend(judged.iter().map(summary::row));
            let history = history?;
            rows.coverage.extend(coverage::of_machine(history));
            let features = MachineFeatures::of(history);
            let mut findings = rules::of_machine(history, &self.context);
            let (asked, told): (Vec<Asked>, Vec<Option<Finding>>) =
                rules::answers(history).into_iter().map(Answer::part).unzip();
            findings.extend(told.into_iter().flatten());
            let may_step = rules::step::is_possible(history) == Some(true);
            let asks = (rules::trend::ask(history), may_step, asked);
            Some(LookedAt::new(features, findings, asks, rules::dissipation_sisters::show(history)))
        })
    }

    /// Judges the tests of one machine for `look`; a machine without any test of its own has no history.
    fn with<T>(&self, places: &Range<usize>, look: impl FnOnce(&[Judged<'_>], Option<&History<'_>>) -> T) -> T {
        let features = judge::features(self.loaded, places.clone());
        let judged = judge::all(self.loaded, places.start, &features, self.context.settings);
        let history = series::of_machine(&judged);
        look(&judged, history.as_ref())
    }

    /// Id of a machine.
    pub(crate) fn name(&self, machine: &Machine) -> Option<&str> {
        self.loaded.test(machine.places.start).asset_id()
    }

    /// The second look at one machine.
    pub(crate) fn again<T>(&self, machine: &Machine, look: impl FnOnce(&History<'_>, &[Review<'_>]) -> T) -> Option<T> {
        self.with(&machine.places, |_, history| history.map(|history| look(history, &reviews_of(history))))
    }
}
