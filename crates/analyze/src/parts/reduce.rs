//! What only the whole fleet can tell: rates of false discoveries, the second look at machines that stand out, groups that are odd.

use super::{Machine, Whole};
use crate::asked::{Answer, Asked, Rates};
use crate::fleet::{Model, Review};
use crate::foresight::Foresight;
use crate::resistance::Scatter;
use crate::rules;
use crate::rules::trend::Rate;
use crate::series::History;
use rayon::prelude::*;
use windrow_model::Finding;
use windrow_statistics::multiplicity::benjamini_hochberg;

impl Whole<'_> {
    /// What only the whole fleet can tell, and what rests on it; with all that was found at the first look.
    pub(crate) fn reduce(&self, mut machines: Vec<Machine>, model: &Model<'_>, foresight: &Foresight) -> Vec<Finding> {
        let asked: Vec<usize> = (0..machines.len()).filter(|place| machines[*place].trend.is_some()).collect();
        let p: Vec<f64> = asked.iter().filter_map(|place| Some(machines[*place].trend?.p)).collect();
        let mut rates = vec![f64::NAN; machines.len()];
        for (place, q) in asked.iter().zip(benjamini_hochberg(&p)) {
            rates[*place] = q;
        }
        // What the first look told must have its level before the second asks for it.
        let first = Rates::of(machines.iter().flat_map(|machine| &machine.asked), &[]);
        machines.iter_mut().flat_map(|machine| &mut machine.findings).for_each(|finding| first.tell(finding));
        let looked: Vec<(Vec<Finding>, Option<Asked>)> = (0..machines.len())
            .into_par_iter()
            // Few at a time: some take a thousand times as long as others, and the last ones should not be one thread's alone.
            .with_max_len(64)
            .map(|place| {
                let rate = Rate { q: rates[place], asked: asked.len() };
                self.look_again((&machines[place], place), rate, model, foresight)
            })
            .collect();
        let (mut more, again): (Vec<Vec<Finding>>, Vec<Option<Asked>>) = looked.into_iter().unzip();
        let again: Vec<Asked> = again.into_iter().flatten().collect();
        let steps = Rates::of(machines.iter().flat_map(|machine| &machine.asked), &again);
        for (machine, found) in machines.iter().zip(&mut more) {
            for finding in found.iter_mut() {
                steps.tell(finding);
            }
            // An outlook that a step alone had asked for is none where the step turned out to be one of many.
            if !machine.findings.iter().chain(found.iter()).any(rules::outlook::asks) {
                found.retain(|finding| !rules::outlook::is_one(finding));
            }
        }
        let odd = rules::odd_groups(model, |place| self.evidence(&machines, model, place));
        let mut findings: Vec<Finding> =
            machines.iter_mut().flat_map(|machine| std::mem::take(&mut machine.findings)).collect();
        findings.extend(more.into_iter().flatten());
        findings.extend(odd);
        let shown = machines.iter_mut().flat_map(|machine| std::mem::take(&mut machine.dissipation));
        findings.extend(rules::dissipation_sisters::find(shown));
        findings
    }

    fn look_again(
        &self,
        (machine, place): (&Machine, usize),
        rate: Rate,
        model: &Model<'_>,
        foresight: &Foresight,
    ) -> (Vec<Finding>, Option<Asked>) {
        let falls = machine.trend.filter(rules::trend::is_falling);
        let asks = machine.findings.iter().any(rules::outlook::asks);
        if falls.is_none() && !machine.may_step && !asks && !rules::speaks_of(model, place) {
            return (Vec::new(), None);
        }
        let scatter = Scatter::of(&model.scores.covariates);
        let look = |history: &History<'_>, reviews: &[Review<'_>]| {
            let trend = falls.and_then(|falls| rules::trend::state(history, falls, (rate, scatter)));
            let (asked, step) = rules::step::answer(history, scatter).map(Answer::part).unzip();
            let mut found: Vec<Finding> = trend.into_iter().chain(step.flatten()).collect();
            let outlook = machine
                .findings
                .iter()
                .chain(&found)
                .any(rules::outlook::asks)
                .then(|| rules::outlook::find(history, (&self.context, foresight), scatter))
                .flatten();
            found.extend(outlook);
            found.extend(rules::beside_the_fleet(model, place, history, reviews));
            (found, asked)
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
