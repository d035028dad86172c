//! Histories of machines as the columns of the fleet model.

use super::codes::{Codes, campaign, pair};
use super::review::{self, Review, Stage};
use crate::series::History;
use jiff::civil::Date;
use windrow_fleet::{Fleet, UNTOLD};

/// Upper ends of rating classes, V (rated voltages of IEC 60034-1 and NEMA MG 1 between them, from memory).
const RATINGS_V: [f64; 5] = [1000.0, 2500.0, 5000.0, 9000.0, 12_500.0];

/// The columns, the reviews behind their rows, and what the codes stand for.
pub(crate) fn of<'a>(histories: &'a [History<'a>]) -> (Fleet, Vec<Review<'a>>, Codes<'a>) {
    let mut fleet = Fleet::default();
    let mut codes = Codes::default();
    let mut reviews = Vec::new();
    for (machine, history) in histories.iter().enumerate() {
        let of_machine = review::of_machine(machine, history);
        push_machine(&mut fleet, &mut codes, history);
        push_reviews(&mut fleet, &mut codes, &of_machine);
        reviews.extend(of_machine);
        fleet.machines.end.push(reviews.len());
    }
    (fleet, reviews, codes)
}

fn push_machine<'a>(fleet: &mut Fleet, codes: &mut Codes<'a>, history: &History<'a>) {
    let test = history.tests.first().map(|judged| judged.test);
    let text = |of: fn(&'a crate::features::TestFeatures) -> Option<&'a str>| test.and_then(of);
    let volts = test.and_then(|test| test.rated_voltage_v);
    let rating = volts
        .map_or(UNTOLD, |volts| u32::try_from(RATINGS_V.iter().filter(|end| volts > **end).count()).unwrap_or(UNTOLD));
    let kind = codes.kinds.code(text(|test| test.winding_kind.as_deref()));
    let class = codes.classes.code(text(|test| test.insulation_class.as_deref()));
    let by_year = history.tests.last().and_then(|judged| judged.machine.insulation_era.as_deref());
    let era = text(|test| test.insulation_era.as_deref()).or(by_year);
    fleet.machines.rating.push(pair(rating, kind));
    fleet.machines.insulation.push(pair(codes.eras.code(era.map(known_era)), class));
    fleet.machines.maker.push(codes.makers.code(text(|test| test.manufacturer.as_deref())));
}

/// The two codes of insulation systems, free of any borrow.
fn known_era(era: &str) -> &'static str {
    if era == "thermoplastic" { "thermoplastic" } else { "thermosetting" }
}

fn push_reviews<'a>(fleet: &mut Fleet, codes: &mut Codes<'a>, reviews: &[Review<'a>]) {
    let mut rewinds_told = 0;
    for review in reviews {
        let time = review.time_a();
        let test = review.tests.first().map(|judged| judged.test);
        if review.stage == Stage::Rewound {
            rewinds_told += 1;
        }
        let rewound = test.map_or(&[][..], |test| &test.rewound_years);
        let year = review.performed_on().map(|date| i32::from(date.year()));
        let before = |rewound: &&i32| year.is_some_and(|year| **rewound <= year);
        let rewinds = rewound.iter().filter(before).count().max(rewinds_told);
        let made = rewound.iter().filter(before).max().copied().or(test.and_then(|test| test.made_year));
        let site = codes.sites.code(test.and_then(|test| test.site.as_deref()));
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
        columns.instrument.push(codes.instruments.code(review.told(|judged| judged.test.instrument.as_deref())));
        columns.tester.push(codes.testers.code(review.told(|judged| judged.test.tester.as_deref())));
        let resistance = review.resistance();
        columns.extra.push(resistance.map_or(0.0, |(_, _, extra)| extra));
        columns.resistance.push(resistance.map(|(value, bound, _)| (value, bound)));
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
