//! # What it finds
//! A falling one-minute insulation resistance at 40 °C over the years, behind the last rewind.
//! # How it is judged
//! Falling at a two-sided p of 0.05 or less over five tests or more, by a factor of three or more over the years tested and by 7 % a year
//! or more: slow ageing is no news, and a trend describes, it does not alarm. The fall is that of one slope over all years; where that is
//! too slow, that of the newest readings against the early ones, less what their scatter explains: a level that held for decades must not
//! hide what it does since. `watch` if the false-discovery rate over all machines of the fleet is 0.20 or
//! less, else `note`. A series that one step explains better is left to the rule on steps.
//! # References
//! Akritas, Murphy, LaValley 1995; Kendall; Sen 1968; Benjamini & Hochberg 1995; see `windrow_statistics::trend`.

use super::fallen::{Fallen, Level, fallen};
use super::step;
use crate::finding::{self, Found, megohms, small};
use crate::resistance::{Scatter, Series, WORTH_A_WORD};
use crate::series::History;
use windrow_criteria::cautions;
use windrow_model::{Finding, Step};
use windrow_statistics::trend::{
    Extent, Point, Significance, extent, normal_p, permutation_variance, score, significance, slope, tau_b,
};

/// Fewer tests cannot be significant.
const FEWEST: usize = 5;
/// Two-sided level.
const LEVEL: f64 = 0.05;
/// Approximate p from which the exact one is not worked out.
const CLEARLY_NOT: f64 = 0.3;
/// Largest share of false discoveries for `watch`.
const WATCHED: f64 = 0.20;
/// Slowest fall that is told, decades a year: sound windings age by 0.01 to 0.03 (simulated fleets; common practice, no source).
const SLOWEST: f64 = 0.03;
/// Of the interval of the slope.
const INTERVAL: f64 = 0.9;

/// How surprising the fall of a machine's series is, where the series is long enough to ask; how many were asked decides what to make of it.
pub(crate) fn ask(history: &History<'_>) -> Option<Significance> {
    let points = history.resistance.as_ref()?.points();
    if points.len() < FEWEST {
        return None;
    }
    let s = score(&points);
    // Only small p decide anything; how large the others are exactly does not.
    let rough = if s < 0 { normal_p(s, permutation_variance(&points)) } else { 1.0 };
    if rough > CLEARLY_NOT { Some(Significance { s, p: rough, exact: false }) } else { significance(&points) }
}

/// Whether a fall is beyond chance.
pub(crate) fn is_falling(found: &Significance) -> bool {
    found.s < 0 && found.p <= LEVEL
}

/// How many falls like one are expected to be false.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Rate {
    /// Rate of false discoveries over all machines that were asked.
    pub(crate) q: f64,
    /// How many these are.
    pub(crate) asked: usize,
}

/// What is said of a fall beyond chance.
pub(crate) fn state(history: &History<'_>, found: Significance, (rate, scatter): (Rate, Scatter)) -> Option<Finding> {
    let q = rate.q;
    let series = history.resistance.as_ref()?;
    let points = series.points();
    let slope = slope(&points).filter(|slope| slope.middle < 0.0)?;
    let fall = fall(&points, slope.middle, scatter).filter(|_| !step::explains_better(&points, scatter))?;
    let standing = series
        .minimum_passed()
        .map_or(String::new(), |limit| format!("still above its minimum of {}, but ", megohms(limit.value)));
    let (basis, said, a_year) = match fall {
        Fall::Even { decades, years } => {
            let between = between(extent(&points, INTERVAL));
            let (a_year, all) = (factor(-slope.middle), factor(decades));
            let said = format!("falls by a factor {a_year} a year{between}: by a factor {all} over {years:.0} years");
            ("Akritas-Theil-Sen slope of log10 resistance; interval of 90 % (Sen 1968)".to_owned(), said, slope.middle)
        }
        Fall::Late(fallen) => {
            let level = |level: Level| megohms(10_f64.powf(level.decades));
            let said = format!(
                "fell, late rather than evenly, from about {} (median of the first {} tests) to about {} (of the last {}): by a factor {} \
                 over {:.0} years",
                level(fallen.early),
                fallen.early.tests,
                level(fallen.newest),
                fallen.newest.tests,
                factor(fallen.decades()),
                fallen.years()
            );
            let basis = format!(
                "medians of the early and the newest tests, apart by at least {:.2} decades with a chance of 95 % at a scatter of {:.2} \
                 decades (Kendall & Stuart, from memory)",
                fallen.surely, fallen.scatter
            );
            (basis, said, -fallen.decades() / fallen.years())
        }
    };
    let statement = format!(
        "{}: {standing}insulation resistance at 40 °C {said}; {} tests ({}).",
        history.tag,
        points.len(),
        chance(found.p)
    );
    let row = Found {
        rule: "falling_trend",
        level: if q <= WATCHED { "watch" } else { "note" },
        statement,
        value: Some(a_year),
        limit: None,
        unit: "1/a",
        basis: format!(
            "{basis}; Kendall's S (Akritas et al. 1995); share of false discoveries over all machines of the fleet (Benjamini & Hochberg \
             1995)"
        ),
        cautions: cautions::GROUND_WALL,
        next_test: "the same test at a similar temperature and humidity",
    };
    let row = finding::of_series(history, &series.tests(), ("", &["insulation_resistance"]), row);
    Some(Finding { q_value: Some(q), working: working(series, found, (slope.middle, fall, rate)), ..row })
}

/// A fall that is worth a word.
#[derive(Debug, Clone, Copy)]
enum Fall {
    /// By the one slope over all years.
    Even { decades: f64, years: f64 },
    /// From the early readings to the newest.
    Late(Fallen),
}

fn fall(points: &[Point], slope: f64, scatter: Scatter) -> Option<Fall> {
    let years = points.last()?.t - points.first()?.t;
    let is_told = |decades: f64, years: f64| decades >= WORTH_A_WORD && decades >= SLOWEST * years;
    if is_told(-slope * years, years) {
        return Some(Fall::Even { decades: -slope * years, years });
    }
    fallen(points, scatter.decades).filter(|fallen| is_told(fallen.surely, fallen.years())).map(Fall::Late)
}

/// The pairs, the slope, the levels and the chance.
fn working(series: &Series<'_>, found: Significance, (slope, fall, rate): (f64, Fall, Rate)) -> Vec<Step> {
    let points = series.points();
    let mut steps = series.told();
    let tau = tau_b(&points).map(|tau| format!(", Kendall's tau-b {tau:.2}")).unwrap_or_default();
    steps.push(Step::new(
        "arithmetic",
        format!(
            "later tests above less later tests below, over all pairs that bounds and dates let compare: S = {}{tau}",
            found.s
        ),
    ));
    steps.push(Step::new(
        "arithmetic",
        format!(
            "slope at which as many pairs rise as fall: {slope:.3} decades a year, 10^{slope:.3} = {:.2} times a year",
            10_f64.powf(slope)
        ),
    ));
    if let Fall::Late(fallen) = fall {
        steps.push(Step::new(
            "arithmetic",
            format!(
                "medians of log10 Ω: {:.2} of the first {} tests, {:.2} of the last {}, {:.2} apart; more than {:.2} with a chance of 95 %, for one \
                 reading scatters by {:.2}; told from {WORTH_A_WORD:.2}, and from {SLOWEST} a year over {:.1} years, on",
                fallen.early.decades,
                fallen.early.tests,
                fallen.newest.decades,
                fallen.newest.tests,
                fallen.decades(),
                fallen.surely,
                fallen.scatter,
                fallen.years()
            ),
        ));
    }
    steps.push(Step::new(
        "group",
        format!("the falls of {} machines with {FEWEST} tests or more of one part of the present winding", rate.asked),
    ));
    let how = if found.exact { "counted over all orders" } else { "by the normal approximation" };
    steps.push(Step::new(
        "chance",
        format!("two-sided p = {}, {how}; q = {} over all of these", small(found.p), small(rate.q)),
    ));
    steps
}

/// Steepest and flattest fall that the data allow, as factors a year.
fn between(extent: Option<Extent>) -> String {
    let (low, high, what) = match extent {
        Some(Extent::Interval(low, high)) => (low, high, "90 % interval"),
        Some(Extent::Range(low, high)) => (low, high, "range of pairs"),
        None => return String::new(),
    };
    let told = |slope: Option<f64>| slope.map_or("open".to_owned(), |slope| factor(-slope));
    format!(" ({what} {} to {})", told(low), told(high))
}

/// Decades as a factor with the digits that it deserves; below one it rises.
pub(crate) fn factor(decades: f64) -> String {
    let factor = 10_f64.powf(decades);
    match factor {
        factor if factor >= 9.5 => format!("{factor:.0}"),
        factor if !(0.995..1.995).contains(&factor) => format!("{factor:.1}"),
        factor => format!("{factor:.2}"),
    }
}

/// A p-value as people write it.
fn chance(p: f64) -> String {
    if p < 0.001 { "p < 0.001".to_owned() } else { format!("p = {p:.3}") }
}
