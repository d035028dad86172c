//! Habits of record keeping and physics of the simulated fleets.

/// How a fleet is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Habits {
    pub(crate) name: &'static str,
    /// Share of machines that fail.
    pub(crate) faults: f64,
    /// Scatter of one reading, decades, and the degrees of freedom of its tail.
    pub(crate) scatter: f64,
    pub(crate) tail: u32,
    /// Error that a site shares for a year, decades.
    pub(crate) campaign: f64,
    pub(crate) wrong_maker: f64,
    pub(crate) wrong_rating: f64,
    /// Digits written.
    pub(crate) digits: i32,
    /// Machines a site.
    pub(crate) site: u32,
    /// Share of site-years that are wet, and how much lower all reads then at most, decades.
    pub(crate) wet: (f64, f64),
    /// Share of sites that get an instrument that reads differently, and by how much (standard deviation, decades).
    pub(crate) instruments: (f64, f64),
    /// Height of the swing with the season, decades.
    pub(crate) season: f64,
    /// Chance of another test within months after a reading that looks bad.
    pub(crate) again: f64,
    /// Share of visits without temperature and humidity.
    pub(crate) untold: f64,
    /// Skew: share of readings that are low by weather of the day, and by up to how much, decades.
    pub(crate) damp: (f64, f64),
    /// Share of readings with a digit too many or too few: off by ten, either way.
    pub(crate) typing: f64,
    /// How unevenly machines scatter: standard deviation of the ln of their scatter.
    pub(crate) uneven: f64,
}

/// World A of the design: plain.
pub(crate) const A: Habits = Habits {
    name: "A",
    faults: 0.06,
    scatter: 0.13,
    tail: 4,
    campaign: 0.0,
    wrong_maker: 0.0,
    wrong_rating: 0.0,
    digits: 3,
    site: 100,
    wet: (0.0, 0.0),
    instruments: (0.0, 0.0),
    season: 0.0,
    again: 0.0,
    untold: 0.0,
    damp: (0.0, 0.0),
    typing: 0.0,
    uneven: 0.25,
};

/// World B: more scatter, errors that campaigns share, wrong makers, two digits.
pub(crate) const B: Habits =
    Habits { name: "B", scatter: 0.169, tail: 3, campaign: 0.15, wrong_maker: 0.2, digits: 2, ..A };

/// World C: wet years, new instruments, seasons, more tests after bad results, wrong ratings, conditions not written down, damp days.
pub(crate) const C: Habits = Habits {
    name: "C",
    wrong_maker: 0.1,
    wrong_rating: 0.1,
    digits: 2,
    site: 40,
    wet: (0.1, 0.7),
    instruments: (0.4, 0.25),
    season: 0.15,
    again: 0.5,
    untold: 0.4,
    damp: (0.05, 0.6),
    ..A
};

/// World D: what C has, harsher: a fifth of the site-years wet by up to a decade, most sites with an instrument that reads otherwise, small
/// sites, nearly every bad result tested again within months.
pub(crate) const D: Habits =
    Habits { name: "D", scatter: 0.169, tail: 3, site: 15, wet: (0.2, 1.0), instruments: (0.7, 0.4), again: 0.9, ..C };

/// World E: careless hands on few machines a site. One digit is written, a digit too many or too few slips in, machines differ widely in how they
/// scatter, most conditions are not written down, makers are guessed, bad results are tested again.
pub(crate) const E: Habits = Habits {
    name: "E",
    wrong_maker: 0.5,
    wrong_rating: 0.2,
    digits: 1,
    site: 6,
    season: 0.25,
    again: 0.7,
    untold: 0.7,
    typing: 0.01,
    uneven: 0.5,
    ..A
};
