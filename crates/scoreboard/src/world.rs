//! A simulated fleet: what was written down, and beside it the truth that the analyzer never sees.

/// What fails on a machine.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum FaultKind {
    /// The ground-wall insulation, slowly and then fast.
    GroundWall,
    /// Moisture: fast at first.
    Moisture,
    /// The turn insulation.
    Turns,
    /// A connection.
    Connection,
}

/// All kinds, in the order of the table.
pub(crate) const FAULTS: [FaultKind; 4] =
    [FaultKind::GroundWall, FaultKind::Moisture, FaultKind::Turns, FaultKind::Connection];

/// A fault from its onset to the failure, in days since 1970.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Fault {
    pub(crate) kind: FaultKind,
    pub(crate) onset: i32,
    pub(crate) failure: i32,
    /// How far it goes: decades, or the last unbalance.
    pub(crate) depth: f64,
}

/// A machine with its visits, oldest first.
#[derive(Debug, Clone)]
pub(crate) struct Machine {
    /// Rating class, 0 to 3.
    pub(crate) rating: u32,
    /// Insulation era, 0 (thermoplastic) to 2.
    pub(crate) era: u32,
    /// Maker as written.
    pub(crate) maker: u32,
    pub(crate) site: u32,
    pub(crate) made_year: i32,
    /// Recorded rewinds.
    pub(crate) rewound_years: Vec<i32>,
    pub(crate) visits: Vec<Visit>,
    /// The truth.
    pub(crate) fault: Option<Fault>,
}

/// All that was measured on one day.
#[derive(Debug, Clone)]
pub(crate) struct Visit {
    /// Days since 1970.
    pub(crate) day: i32,
    /// Recorded as made after a cleaning.
    pub(crate) cleaned: bool,
    /// Winding temperature as written.
    pub(crate) celsius: Option<f64>,
    pub(crate) humidity_pct: Option<f64>,
    pub(crate) instrument: u32,
    /// One-minute resistance as read, MΩ.
    pub(crate) resistance_mohm: f64,
    /// Whether that is the instrument's ceiling.
    pub(crate) ceiling: bool,
    pub(crate) index: Option<f64>,
    /// Last slope of the step curve over its first.
    pub(crate) slope_ratio: Option<f64>,
    /// Largest deviation of winding resistances from their mean, over it.
    pub(crate) unbalance: Option<f64>,
    pub(crate) surge: Option<Surge>,
    /// The truth: off by a factor of a thousand.
    pub(crate) slipped: bool,
}

/// A surge test, in per unit.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Surge {
    pub(crate) level: f64,
    /// Where partial breakdown of turns began, if below the level.
    pub(crate) inception: Option<f64>,
}

/// A fleet.
#[derive(Debug, Clone)]
pub(crate) struct World {
    pub(crate) machines: Vec<Machine>,
}

/// Rated voltages of the rating classes, V, and their winding kinds.
pub(crate) const RATINGS: [(f64, &str); 4] =
    [(400.0, "random"), (3300.0, "form"), (6600.0, "form"), (11_000.0, "form")];
/// Insulation class and system of the eras.
pub(crate) const ERAS: [(&str, &str); 3] =
    [("130", "thermoplastic"), ("155", "thermosetting"), ("180", "thermosetting")];

/// The law that corrects the resistance of an era, as decades at 40 °C less decades at `celsius`.
pub(crate) fn correction(era: u32, celsius: f64) -> Option<f64> {
    use windrow_criteria::correction::{Correction, INSULATION_REFERENCE_C};
    let law = if era == 0 { Correction::ThermoplasticHalving } else { Correction::ThermosettingExponential };
    law.factor(celsius, INSULATION_REFERENCE_C).ok().map(f64::log10)
}

impl Visit {
    /// log10 MΩ at 40 °C, as a record keeper finds it.
    pub(crate) fn decades(&self, era: u32) -> Option<f64> {
        Some(self.resistance_mohm.log10() + correction(era, self.celsius?)?)
    }
}

impl Fault {
    /// How far it is on a day: 0 before the onset, 1 at the failure.
    pub(crate) fn progress(&self, day: i32) -> f64 {
        (f64::from(day - self.onset) / f64::from(self.failure - self.onset)).clamp(0.0, 1.0)
    }

    /// Whether it is there on a day.
    pub(crate) fn is_there(&self, day: i32) -> bool {
        day > self.onset && day <= self.failure
    }
}

/// Year of a day since 1970, with its fraction.
pub(crate) fn year(day: i32) -> f64 {
    1970.0 + f64::from(day) / 365.25
}

/// Calendar year and month of a day since 1970.
pub(crate) fn calendar(day: i32) -> (i32, i32) {
    let date = jiff::civil::Date::constant(1970, 1, 1).checked_add(jiff::Span::new().days(day));
    date.map_or((1970, 1), |date| (i32::from(date.year()), i32::from(date.month())))
}
