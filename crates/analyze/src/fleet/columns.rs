//! What the fleet model is told of a machine, and how it becomes columns.
//!
//! Features of one machine rest on its own records alone, and name what they are of by its name: so they can be worked out anywhere, be kept, and be
//! put beside those of other machines later. Only as columns they have numbers, which hold within one fleet.

use super::Key;
use super::codes::{self, Codes, campaign, pair};
use super::review::{self, Review, Stage};
use crate::loaded::UNKNOWN_MACHINE;
use crate::series::History;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use windrow_fleet::{Bound, Fleet, UNTOLD};
use windrow_model::Text;

/// A reading of one quantity with what it says.
type Told = Option<(f64, Bound)>;

/// What the model is told of a machine.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct MachineFeatures {
    /// Class by rated voltage; [`UNTOLD`] where the plate tells none.
    rating: u32,
    winding_kind: Option<Text>,
    /// Number of the insulation system.
    era: u32,
    insulation_class: Option<Text>,
    maker: Option<Text>,
    site: Option<Text>,
    /// Oldest first.
    reviews: Vec<ReviewFeatures>,
}

/// What the model is told of a review; the units are those of the columns.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
struct ReviewFeatures {
    performed_on: Option<Date>,
    time_a: f64,
    winding: u32,
    treated: bool,
    age_a: f64,
    temperature_c: f64,
    humidity_pct: f64,
    extra: f64,
    instrument: Option<Text>,
    tester: Option<Text>,
    resistance: Told,
    polarization: Told,
    knee: Told,
    unbalance: Told,
    surge: Told,
}

/// Upper ends of rating classes, V (rated voltages of IEC 60034-1 and NEMA MG 1 between them, from memory).
const RATINGS_V: [f64; 5] = [1000.0, 2500.0, 5000.0, 9000.0, 12_500.0];

impl MachineFeatures {
    /// From the history of a machine.
    pub(crate) fn of(history: &History<'_>) -> Self {
        let plate = history.tests.first().map_or(&UNKNOWN_MACHINE, |judged| judged.test.nameplate());
        let class = |volts: f64| u32::try_from(RATINGS_V.iter().filter(|end| volts > **end).count()).unwrap_or(UNTOLD);
        let by_year = history.tests.last().and_then(|judged| judged.machine.insulation_era.as_deref());
        let mut rewinds_told = 0;
        let reviews = review::of_machine(history);
        Self {
            rating: plate.rated_voltage_v.map_or(UNTOLD, class),
            winding_kind: plate.winding_kind.clone(),
            era: codes::era(plate.insulation_era.as_deref().or(by_year)),
            insulation_class: plate.insulation_class.clone(),
            maker: plate.manufacturer.clone(),
            site: plate.site.clone(),
            reviews: reviews.iter().map(|review| ReviewFeatures::of(review, &mut rewinds_told)).collect(),
        }
    }
}

impl ReviewFeatures {
    /// `rewinds_told`: rewinds that the stages of the reviews before tell.
    fn of(review: &Review<'_>, rewinds_told: &mut usize) -> Self {
        let time = review.time_a();
        let plate = review.tests.first().map_or(&UNKNOWN_MACHINE, |judged| judged.test.nameplate());
        if review.stage == Stage::Rewound {
            *rewinds_told += 1;
        }
        let rewound = &plate.rewound_years;
        let year = review.performed_on().map(|date| i32::from(date.year()));
        let before = |rewound: &&i32| year.is_some_and(|year| **rewound <= year);
        let rewinds = rewound.iter().filter(before).count().max(*rewinds_told);
        let made = rewound.iter().filter(before).max().copied().or(plate.made_year);
        let resistance = review.resistance();
        Self {
            performed_on: review.performed_on(),
            time_a: time,
            winding: u32::try_from(rewinds).unwrap_or(UNTOLD),
            treated: review.stage == Stage::Treated,
            age_a: made.map_or(f64::NAN, |made| time - f64::from(made)),
            temperature_c: review.told(|judged| judged.test.winding_temperature_c).unwrap_or(f64::NAN),
            humidity_pct: review.told(|judged| judged.test.relative_humidity_pct).unwrap_or(f64::NAN),
            extra: resistance.map_or(0.0, |found| found.error),
            instrument: review.told(|judged| judged.test.instrument.cloned()),
            tester: review.told(|judged| judged.test.tester.cloned()),
            resistance: resistance.map(|found| (found.decades, found.bound)),
            polarization: review.polarization(),
            knee: review.knee(),
            unbalance: review.unbalance(),
            surge: review.surge(),
        }
    }
}

/// Adds a machine with its reviews, in the numbers of this fleet.
pub(crate) fn push(
    fleet: &mut Fleet,
    keys: &mut Vec<Key>,
    codes: &Codes<'_>,
    features: &MachineFeatures,
    machine: usize,
) {
    let known = |names: &codes::Names<'_>, name: &Option<Text>| names.known(name.as_deref());
    fleet.machines.rating.push(pair(features.rating, known(&codes.kinds, &features.winding_kind)));
    fleet.machines.insulation.push(pair(features.era, known(&codes.classes, &features.insulation_class)));
    fleet.machines.maker.push(known(&codes.makers, &features.maker));
    let site = known(&codes.sites, &features.site);
    for review in &features.reviews {
        let columns = &mut fleet.reviews;
        columns.time_a.push(review.time_a);
        columns.winding.push(review.winding);
        columns.treated.push(review.treated);
        columns.age_a.push(review.age_a);
        columns.temperature_c.push(review.temperature_c);
        columns.humidity_pct.push(review.humidity_pct);
        columns.extra.push(review.extra);
        let (yearly, monthly) = periods(site, review.performed_on);
        columns.campaign.push(yearly);
        columns.visit.push(monthly);
        columns.instrument.push(known(&codes.instruments, &review.instrument));
        columns.tester.push(known(&codes.testers, &review.tester));
        columns.resistance.push(review.resistance);
        columns.polarization.push(review.polarization);
        columns.knee.push(review.knee);
        columns.unbalance.push(review.unbalance);
        columns.surge.push(review.surge);
        keys.push(Key { machine, performed_on: review.performed_on });
    }
    fleet.machines.end.push(keys.len());
}

/// Codes of site and year, and of site, year and month.
fn periods(site: u32, date: Option<Date>) -> (u32, u32) {
    let Some((year, month)) =
        date.and_then(|date| Some((u32::try_from(date.year()).ok()?, u32::try_from(date.month()).ok()?)))
    else {
        return (UNTOLD, UNTOLD);
    };
    let yearly = campaign(site, year);
    let monthly = yearly.checked_mul(12).and_then(|code| code.checked_add(month - 1)).unwrap_or(UNTOLD);
    (yearly, monthly)
}
