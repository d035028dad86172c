//! The fleet model over the tables: histories of machines to its columns, and its scores back to machines and tests.

pub(crate) mod codes;
pub(crate) mod columns;
mod review;

pub(crate) use codes::site_and_year;
use jiff::civil::Date;
pub(crate) use review::{Resistance, Review, of_machine as reviews_of};
use std::sync::OnceLock;
use windrow_fleet::{Fleet, Others, Scores, Sisters, Surprises};
use windrow_model::settings::{DiscoveryRate, JudgingSettings};
use windrow_statistics::multiplicity::{benjamini_hochberg, benjamini_yekutieli};

/// The fleet as the model sees it, with its scores and the way back to the tests.
pub(crate) struct Model<'a> {
    pub(crate) columns: Fleet,
    pub(crate) scores: Scores,
    /// Reviews of all machines, in the order of the columns.
    pub(crate) keys: Vec<Key>,
    /// False discovery rates, one a machine; `NaN` where nothing could be judged.
    pub(crate) q: Vec<f64>,
    pub(crate) codes: &'a codes::Codes<'a>,
    /// Method of the rates.
    pub(crate) method: &'static str,
    /// How many machines could be judged.
    pub(crate) judged: usize,
    /// Whom machines were compared with, by quantity; counted when the first finding asks.
    compared: [OnceLock<Sisters>; 4],
    /// How many levels of the turn insulation the fleet tells, likewise.
    levels: OnceLock<usize>,
}

/// A quantity of which the model judges every reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Quantity {
    Resistance,
    Polarization,
    Knee,
    Unbalance,
}

/// What tells a review from others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Key {
    /// Place of its machine.
    pub(crate) machine: usize,
    pub(crate) performed_on: Option<Date>,
}

/// A machine in the ranking of the fleet.
#[derive(Debug, Clone, PartialEq)]
pub struct Ranked {
    /// The machine.
    pub asset_id: String,
    /// Chance of as much evidence by accident; `None` where nothing could be judged.
    pub p: Option<f64>,
    /// Rate of false discoveries among all machines up to this one.
    pub q: Option<f64>,
    /// Reviews that took part.
    pub reviews: usize,
}

/// A review as the model judged it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reviewed {
    /// Place of the machine in the histories.
    pub machine: usize,
    /// Day of the tests, or the first day of their period.
    pub performed_on: Option<Date>,
    /// Chance of what it brought; `NaN` where it could not be judged.
    pub p: f64,
    /// Insulation resistance: reading less expectation, decades, without what temperature and humidity leave; `NaN` without one.
    pub surprise: f64,
    /// Where eight of ten readings of sound windings lie about the expectation, decades.
    pub interval: [f64; 2],
    /// Whether the resistance looks wrong by a factor of a thousand.
    pub slip: bool,
}

/// Fits the model to the columns of all machines.
pub(crate) fn model<'a>(
    columns: Fleet,
    keys: Vec<Key>,
    codes: &'a codes::Codes<'a>,
    judging: &JudgingSettings,
) -> Model<'a> {
    let scores = windrow_fleet::score(&columns);
    let (q, method) = match judging.false_discoveries {
        DiscoveryRate::BenjaminiHochberg => (benjamini_hochberg(&scores.by_machine), "Benjamini and Hochberg 1995"),
        DiscoveryRate::BenjaminiYekutieli => (benjamini_yekutieli(&scores.by_machine), "Benjamini and Yekutieli 2001"),
    };
    let judged = q.iter().filter(|q| q.is_finite()).count();
    Model { columns, scores, keys, q, codes, method, judged, compared: Default::default(), levels: OnceLock::new() }
}

impl Model<'_> {
    /// What came of a quantity.
    pub(crate) fn surprises(&self, quantity: Quantity) -> &Surprises {
        match quantity {
            Quantity::Resistance => &self.scores.resistance,
            Quantity::Polarization => &self.scores.polarization,
            Quantity::Knee => &self.scores.knee,
            Quantity::Unbalance => &self.scores.unbalance,
        }
    }

    /// Who else told a quantity, beside a machine and one of its reviews.
    pub(crate) fn others(&self, quantity: Quantity, at: (usize, usize)) -> Others {
        let reviews = &self.columns.reviews;
        let channel = match quantity {
            Quantity::Resistance => &reviews.resistance,
            Quantity::Polarization => &reviews.polarization,
            Quantity::Knee => &reviews.knee,
            Quantity::Unbalance => &reviews.unbalance,
        };
        let sisters = self.compared[quantity as usize].get_or_init(|| Sisters::of(&self.columns, channel));
        sisters.beside(&self.columns, channel, at)
    }

    /// How many levels of the turn insulation the fleet tells.
    pub(crate) fn levels(&self) -> usize {
        let surge = &self.columns.reviews.surge;
        *self.levels.get_or_init(|| (0..surge.value.len()).filter(|review| surge.get(*review).is_some()).count())
    }

    /// Chance of all that is known of the machine of a review.
    pub(crate) fn p_of_review_machine(&self, place: usize) -> f64 {
        self.keys.get(place).and_then(|key| self.scores.by_machine.get(key.machine)).copied().unwrap_or(f64::NAN)
    }

    /// All reviews as judged.
    pub(crate) fn reviewed(&self) -> Vec<Reviewed> {
        let resistance = &self.scores.resistance;
        let one = |(place, key): (usize, &Key)| Reviewed {
            machine: key.machine,
            performed_on: key.performed_on,
            p: self.scores.by_review[place],
            surprise: resistance.error[place] - resistance.shared[place],
            interval: [resistance.low[place], resistance.high[place]].map(|end| end - resistance.expected[place]),
            slip: resistance.slip[place],
        };
        self.keys.iter().enumerate().map(one).collect()
    }

    /// All machines, the most conspicuous first.
    pub(crate) fn ranking(&self, machines: &[&str]) -> Vec<Ranked> {
        let known = |value: f64| (!value.is_nan()).then_some(value);
        let one = |(machine, asset_id): (usize, &&str)| Ranked {
            asset_id: (*asset_id).to_owned(),
            p: known(self.scores.by_machine[machine]),
            q: known(self.q[machine]),
            reviews: self.columns.reviews_of(machine).len(),
        };
        let mut ranked: Vec<Ranked> = machines.iter().enumerate().map(one).collect();
        let place = |ranked: &Ranked| ranked.p.unwrap_or(2.0);
        ranked.sort_by(|a, b| place(a).total_cmp(&place(b)).then_with(|| a.asset_id.cmp(&b.asset_id)));
        ranked
    }
}
