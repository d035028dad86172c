//! The analysis in parts that can run anywhere: each part of the machines gives its rows, its findings and its columns for the fleet model;
//! what only the whole fleet can tell is worked out on those columns, and the machines that it speaks of are looked at once more.

use crate::context::Context;
use crate::fleet::codes::Codes;
use crate::fleet::{Key, Model, Review, columns, reviews_of};
use crate::judge::{self, Judged};
use crate::loaded::Loaded;
use crate::resistance::Scatter;
use crate::rules;
use crate::rules::dissipation_sisters::Shown;
use crate::series::{self, History};
use crate::{coverage, summary};
use rayon::prelude::*;
use std::ops::Range;
use windrow_fleet::Fleet;
use windrow_model::{Coverage, Finding, TestSummary};
use windrow_statistics::multiplicity::benjamini_hochberg;
use windrow_statistics::trend::Significance;

/// Machines of one part: few enough that their rows take little memory, many enough that the parts need no care.
pub(crate) const MACHINES: usize = 512;
/// Parts that are worked on before their rows are handed over.
const AT_ONCE: usize = 8;

/// What all parts look at.
pub(crate) struct Whole<'a> {
    pub(crate) loaded: &'a Loaded,
    pub(crate) context: Context<'a>,
    pub(crate) codes: Codes<'a>,
}

/// The rows of one part, machine by machine.
#[derive(Debug, Default)]
pub struct Rows {
    /// One row a test, sorted by machine, date and id.
    pub summaries: Vec<TestSummary>,
    /// What tests proved of the insulation of each machine, one row a part of the insulation.
    pub coverage: Vec<Coverage>,
}

/// A machine with tests, after the first look.
pub(crate) struct Machine {
    /// Its tests.
    places: Range<usize>,
    findings: Vec<Finding>,
    trend: Option<Significance>,
    may_step: bool,
    /// What its dissipation factors show its sisters.
    dissipation: Option<Box<Shown>>,
}

/// What the parts gave, put together.
#[derive(Default)]
pub(crate) struct Mapped {
    pub(crate) machines: Vec<Machine>,
    pub(crate) columns: Fleet,
    pub(crate) keys: Vec<Key>,
}

impl Mapped {
    fn append(&mut self, other: Self) {
        let before = self.machines.len();
        self.columns.append(other.columns);
        self.keys.extend(other.keys.into_iter().map(|key| Key { machine: key.machine + before, ..key }));
        self.machines.extend(other.machines);
    }
}

impl Whole<'_> {
    /// Looks at all machines, `size` a part, and hands the rows over in order.
    pub(crate) fn map(&self, size: usize, take: &mut dyn FnMut(Rows)) -> Mapped {
        let machines = self.loaded.by_machine();
        let parts: Vec<&[Range<usize>]> = machines.chunks(size.max(1)).collect();
        let mut all = Mapped::default();
        for parts in parts.chunks(AT_ONCE) {
            let looked_at: Vec<(Rows, Mapped)> = parts.par_iter().map(|machines| self.look(machines)).collect();
            for (rows, mapped) in looked_at {
                take(rows);
                all.append(mapped);
            }
        }
        all
    }

    fn look(&self, machines: &[Range<usize>]) -> (Rows, Mapped) {
        let (mut rows, mut mapped) = (Rows::default(), Mapped::default());
        for places in machines {
            self.with(places, |judged, history| {
                rows.summaries.extend(judged.iter().map(summary::row));
                let Some(history) = history else { return };
                rows.coverage.extend(coverage::of_machine(history));
                columns::push(&mut mapped.columns, &mut mapped.keys, &self.codes, history, mapped.machines.len());
                mapped.machines.push(Machine {
                    places: places.clone(),
                    findings: rules::of_machine(history, &self.context),
                    trend: rules::trend::ask(history),
                    may_step: rules::step::is_possible(history),
                    dissipation: rules::dissipation_sisters::show(history),
                });
            });
        }
        (rows, mapped)
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

    /// What only the whole fleet can tell, and what rests on it; with all that was found at the first look.
    pub(crate) fn reduce(&self, mut machines: Vec<Machine>, model: &Model<'_>) -> Vec<Finding> {
        let asked: Vec<usize> = (0..machines.len()).filter(|place| machines[*place].trend.is_some()).collect();
        let p: Vec<f64> = asked.iter().filter_map(|place| Some(machines[*place].trend?.p)).collect();
        let mut rates = vec![f64::NAN; machines.len()];
        for (place, q) in asked.iter().zip(benjamini_hochberg(&p)) {
            rates[*place] = q;
        }
        let more: Vec<Vec<Finding>> = (0..machines.len())
            .into_par_iter()
            .with_min_len(64)
            .map(|place| self.look_again(&machines[place], place, rates[place], model))
            .collect();
        let odd = rules::odd_groups(model, |place| self.evidence(&machines, model, place));
        let mut findings: Vec<Finding> =
            machines.iter_mut().flat_map(|machine| std::mem::take(&mut machine.findings)).collect();
        findings.extend(more.into_iter().flatten());
        findings.extend(odd);
        let shown = machines.iter_mut().filter_map(|machine| machine.dissipation.take());
        findings.extend(rules::dissipation_sisters::find(shown));
        findings
    }

    fn look_again(&self, machine: &Machine, place: usize, rate: f64, model: &Model<'_>) -> Vec<Finding> {
        let falls = machine.trend.filter(rules::trend::is_falling);
        let asks = machine.findings.iter().any(rules::outlook::asks);
        if falls.is_none() && !machine.may_step && !asks && !rules::speaks_of(model, place) {
            return Vec::new();
        }
        let scatter = Scatter::of(&model.scores.covariates);
        let look = |history: &History<'_>, reviews: &[Review<'_>]| {
            let trend = falls.and_then(|falls| rules::trend::state(history, falls, (rate, scatter)));
            let mut found: Vec<Finding> = trend.into_iter().chain(rules::step::find(history, scatter)).collect();
            let outlook = machine
                .findings
                .iter()
                .chain(&found)
                .any(rules::outlook::asks)
                .then(|| rules::outlook::find(history, &self.context, scatter))
                .flatten();
            found.extend(outlook);
            found.extend(rules::beside_the_fleet(model, place, history, reviews));
            found
        };
        self.again(machine, look).unwrap_or_default()
    }

    /// Readings of the review at a place of the model.
    fn evidence(&self, machines: &[Machine], model: &Model<'_>, place: usize) -> Vec<String> {
        let Some(key) = model.keys.get(place) else { return Vec::new() };
        let Some(machine) = machines.get(key.machine) else { return Vec::new() };
        let nth = place - model.columns.reviews_of(key.machine).start;
        let of_review = |_: &History<'_>, reviews: &[Review<'_>]| {
            reviews.get(nth).map(|review| review.tests.iter().flat_map(|judged| judged.evidence()).collect())
        };
        self.again(machine, of_review).flatten().unwrap_or_default()
    }
}
