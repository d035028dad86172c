//! Histories of machines as the columns of the fleet model.

use super::Key;
use super::codes::{self, Codes, campaign, pair};
use super::review::{self, Review, Stage};
use crate::loaded::UNKNOWN_MACHINE;
use crate::series::History;
use jiff::civil::Date;
use windrow_fleet::{Fleet, UNTOLD};
use windrow_model::Text;

/// Upper ends of rating classes, V (rated voltages of IEC 60034-1 and NEMA MG 1 between them, from memory).
const RATINGS_V: [f64; 5] = [1000.0, 2500.0, 5000.0, 9000.0, 12_500.0];

/// Adds a machine with its reviews.
pub(crate) fn push(fleet: &mut Fleet, keys: &mut Vec<Key>, codes: &Codes<'_>, history: &History<'_>, machine: usize) {
    let reviews = review::of_machine(history);
    push_machine(fleet, codes, history);
    push_reviews(fleet, codes, &reviews);
    keys.extend(reviews.iter().map(|review| Key { machine, performed_on: review.performed_on() }));
    fleet.machines.end.push(keys.len());
}

fn push_machine(fleet: &mut Fleet, codes: &Codes<'_>, history: &History<'_>) {
    let Some(plate) = history.tests.first().map(|judged| judged.test.nameplate()) else { return };
    let class = |volts: f64| u32::try_from(RATINGS_V.iter().filter(|end| volts > **end).count()).unwrap_or(UNTOLD);
    let rating = plate.rated_voltage_v.map_or(UNTOLD, class);
    let by_year = history.tests.last().and_then(|judged| judged.machine.insulation_era.as_deref());
    let era = codes::era(plate.insulation_era.as_deref().or(by_year));
    fleet.machines.rating.push(pair(rating, codes.kinds.known(plate.winding_kind.as_deref())));
    fleet.machines.insulation.push(pair(era, codes.classes.known(plate.insulation_class.as_deref())));
    fleet.machines.maker.push(codes.makers.known(plate.manufacturer.as_deref()));
}

fn push_reviews(fleet: &mut Fleet, codes: &Codes<'_>, reviews: &[Review<'_>]) {
    let mut rewinds_told = 0;
    for review in reviews {
        let time = review.time_a();
        let plate = review.tests.first().map_or(&UNKNOWN_MACHINE, |judged| judged.test.nameplate());
        if review.stage == Stage::Rewound {
            rewinds_told += 1;
        }
        let rewound = &plate.rewound_years;
        let year = review.performed_on().map(|date| i32::from(date.year()));
        let before = |rewound: &&i32| year.is_some_and(|year| **rewound <= year);
        let rewinds = rewound.iter().filter(before).count().max(rewinds_told);
        let made = rewound.iter().filter(before).max().copied().or(plate.made_year);
        let site = codes.sites.known(plate.site.as_deref());
        let columns = &mut fleet.reviews;
        columns.time_a.push(time);
        columns.winding.push(u32::try_from(rewinds).unwrap_or(UNTOLD));
        columns.treated.push(review.stage == Stage::Treated);
        columns.age_a.push(made.map_or(f64::NAN, |made| time - f64::from(made)));
        columns.temperature_c.push(review.told(|judged| judged.test.winding_temperature_c).unwrap_or(f64::NAN));
        columns.humidity_pct.push(review.told(|judged| judged.test.relative_humidity_pct).unwrap_or(f64::NAN));
        let (yearly, monthly) = periods(site, review.performed_on());
        columns.campaign.push(yearly);
        columns.visit.push(monthly);
        columns
            .instrument
            .push(codes.instruments.known(review.told(|judged| judged.test.instrument.map(Text::as_str))));
        columns.tester.push(codes.testers.known(review.told(|judged| judged.test.tester.map(Text::as_str))));
        let resistance = review.resistance();
        columns.extra.push(resistance.map_or(0.0, |found| found.error));
        columns.resistance.push(resistance.map(|found| (found.decades, found.bound)));
        columns.polarization.push(review.polarization());
        columns.knee.push(review.knee());
        columns.unbalance.push(review.unbalance());
        columns.surge.push(review.surge());
    }
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
