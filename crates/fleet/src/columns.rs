//! What the fleet model is given: plain columns, one entry a machine or one entry a review.

use windrow_model::Bound;

/// Code of a group that is not told.
pub const UNTOLD: u32 = u32::MAX;

/// One quantity over all reviews. `NaN` where a review has none; infinities count as none.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Channel {
    /// A number a review, on a scale on which scatter is even (logarithms of resistances and ratios).
    pub value: Vec<f64>,
    /// What each says.
    pub bound: Vec<Bound>,
}

impl Channel {
    /// Adds the reading of the next review.
    pub fn push(&mut self, reading: Option<(f64, Bound)>) {
        let (value, bound) = reading.filter(|(value, _)| value.is_finite()).unwrap_or((f64::NAN, Bound::Exact));
        self.value.push(value);
        self.bound.push(bound);
    }

    /// The reading of a review.
    #[must_use]
    pub fn get(&self, review: usize) -> Option<(f64, Bound)> {
        let value = self.value.get(review).copied().filter(|value| value.is_finite())?;
        Some((value, self.bound.get(review).copied().unwrap_or(Bound::Exact)))
    }
}

/// Machines, in any order. Codes are numbers of the caller's choice; equal codes mean equal, nothing else.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Machines {
    /// Rating class and winding kind.
    pub rating: Vec<u32>,
    /// Insulation class and era.
    pub insulation: Vec<u32>,
    /// Maker.
    pub maker: Vec<u32>,
    /// Where the reviews of each machine end; those of the first begin at 0.
    pub end: Vec<usize>,
}

/// Reviews: all that was measured on one machine on one day, machine by machine, oldest first.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Reviews {
    /// When, in years (a calendar year and its fraction); `NaN` where the date is not known: such a review is not judged.
    pub time_a: Vec<f64>,
    /// Number of the winding of the machine: it grows with each recorded rewind.
    pub winding: Vec<u32>,
    /// Whether the winding was cleaned or dried since the review before, as recorded.
    pub treated: Vec<bool>,
    /// Age of the winding in years; `NaN` where not known.
    pub age_a: Vec<f64>,
    /// Winding temperature, °C; `NaN` where not known.
    pub temperature_c: Vec<f64>,
    /// Relative humidity, %; `NaN` where not known.
    pub humidity_pct: Vec<f64>,
    /// Sd of an error of the resistance beyond the usual scatter, decades: its temperature was not told, or the winding was near the dew
    /// point. 0 where there is none.
    pub extra: Vec<f64>,
    /// Site and year; [`UNTOLD`] where either is missing.
    pub campaign: Vec<u32>,
    /// Site and month of one year; [`UNTOLD`] where either is missing.
    pub visit: Vec<u32>,
    /// Instrument; [`UNTOLD`] where missing.
    pub instrument: Vec<u32>,
    /// Tester; [`UNTOLD`] where missing.
    pub tester: Vec<u32>,
    /// log10 of the insulation resistance in MΩ at 40 °C.
    pub resistance: Channel,
    /// ln of the polarization index.
    pub polarization: Channel,
    /// ln of the last slope of a step-voltage curve over its first.
    pub knee: Channel,
    /// ln of the unbalance of winding resistances.
    pub unbalance: Channel,
    /// Level of turn insulation in per unit of the rated crest phase-to-earth voltage: inception (exact), withstood (at least).
    pub surge: Channel,
}

impl Reviews {
    fn append(&mut self, other: Self) {
        self.time_a.extend(other.time_a);
        self.winding.extend(other.winding);
        self.treated.extend(other.treated);
        self.age_a.extend(other.age_a);
        self.temperature_c.extend(other.temperature_c);
        self.humidity_pct.extend(other.humidity_pct);
        self.extra.extend(other.extra);
        self.campaign.extend(other.campaign);
        self.visit.extend(other.visit);
        self.instrument.extend(other.instrument);
        self.tester.extend(other.tester);
        for (channel, more) in [
            (&mut self.resistance, other.resistance),
            (&mut self.polarization, other.polarization),
            (&mut self.knee, other.knee),
            (&mut self.unbalance, other.unbalance),
            (&mut self.surge, other.surge),
        ] {
            channel.value.extend(more.value);
            channel.bound.extend(more.bound);
        }
    }
}

/// A fleet as columns.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Fleet {
    /// Machines.
    pub machines: Machines,
    /// Their reviews.
    pub reviews: Reviews,
}

impl Fleet {
    /// Number of machines.
    #[must_use]
    pub fn len(&self) -> usize {
        self.machines.end.len()
    }

    /// Whether there is no machine.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.machines.end.is_empty()
    }

    /// Puts the machines of another part behind these.
    pub fn append(&mut self, other: Self) {
        let before = self.machines.end.last().copied().unwrap_or_default();
        let Self { machines, reviews } = other;
        self.machines.rating.extend(machines.rating);
        self.machines.insulation.extend(machines.insulation);
        self.machines.maker.extend(machines.maker);
        self.machines.end.extend(machines.end.into_iter().map(|end| end + before));
        self.reviews.append(reviews);
    }

    /// The reviews of a machine.
    #[must_use]
    pub fn reviews_of(&self, machine: usize) -> std::ops::Range<usize> {
        let begin = machine.checked_sub(1).and_then(|before| self.machines.end.get(before)).copied().unwrap_or(0);
        begin..self.machines.end.get(machine).copied().unwrap_or(begin)
    }
}
