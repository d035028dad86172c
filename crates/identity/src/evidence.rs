//! How much two names look like one machine: evidence with weights that add up.
//!
//! A weight is about the decimal logarithm of how much oftener the evidence is met with one machine than with two. The weights are
//! our own estimates (common practice, no source); what they decide is kept on the safe side: a contradiction outweighs likeness.

use crate::keys::{has_slip, skeleton};
use crate::prefix::split;
use std::collections::BTreeSet;
use windrow_model::Asset;
use windrow_text::tag;

/// From here on two names are one machine.
pub const SURE: f64 = 4.0;
/// From here on a person is asked.
pub const LIKELY: f64 = 1.5;

/// One piece of evidence.
#[derive(Debug, Clone, PartialEq)]
pub struct Evidence {
    /// Column of `assets` that was compared.
    pub column: &'static str,
    /// How it came out.
    pub what: &'static str,
    /// Weight; negative speaks against.
    pub weight: f64,
    /// What one side tells.
    pub a: String,
    /// What the other side tells.
    pub b: String,
}

/// What is told of one side.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Profile {
    /// Site, folded.
    pub site: Option<String>,
    /// Tag as written.
    pub tag: String,
    /// Serial numbers, folded.
    pub serials: BTreeSet<String>,
    /// Rated power, W.
    pub power_w: Option<f64>,
    /// Rated voltage, V.
    pub voltage_v: Option<f64>,
    /// Rated speed, 1/min.
    pub speed_rpm: Option<f64>,
    /// Year of manufacture.
    pub made_year: Option<f64>,
}

impl Profile {
    /// What a machine tells under the name `tag`.
    #[must_use]
    pub fn of(asset: &Asset, tag: &str) -> Self {
        Self {
            site: asset.site.as_deref().and_then(crate::keys::folded),
            tag: tag.to_owned(),
            serials: asset.serial_number.as_deref().and_then(crate::keys::serial).into_iter().collect(),
            power_w: asset.rated_power_w,
            voltage_v: asset.rated_voltage_v,
            speed_rpm: asset.rated_speed_rpm,
            made_year: asset.made_year.map(f64::from),
        }
    }
}

/// The sum of weights.
#[must_use]
pub fn total(evidence: &[Evidence]) -> f64 {
    evidence.iter().map(|one| one.weight).sum()
}

/// Compares two sides. What one side does not tell is no evidence.
#[must_use]
pub fn compare(a: &Profile, b: &Profile) -> Vec<Evidence> {
    let mut found = Vec::new();
    let mut add = |column, what, weight, a: &str, b: &str| {
        found.push(Evidence { column, what, weight, a: a.to_owned(), b: b.to_owned() });
    };
    if let (Some(one), Some(other)) = (&a.site, &b.site) {
        let (what, weight) = if one == other { ("same site", 1.0) } else { ("different sites", -3.0) };
        add("site", what, weight, one, other);
    }
    if let Some((what, weight)) = tags(&a.tag, &b.tag) {
        add("tag", what, weight, &a.tag, &b.tag);
    }
    if !a.serials.is_empty() && !b.serials.is_empty() {
        let join = |all: &BTreeSet<String>| all.iter().cloned().collect::<Vec<_>>().join(" ");
        let (what, weight) = match serials(&a.serials, &b.serials) {
            Likeness::Same => ("same serial number", 6.0),
            Likeness::OneSlip => ("serial numbers one slip apart", -0.5),
            Likeness::Different => ("different serial numbers", -6.0),
        };
        add("serial_number", what, weight, &join(&a.serials), &join(&b.serials));
    }
    found.extend(plates(a, b));
    found
}

/// A nameplate number, the share by which two tellings of it may differ (horsepower and kilowatts are rounded apart), and what
/// agreement and contradiction weigh.
struct Rated {
    column: &'static str,
    of: fn(&Profile) -> Option<f64>,
    share: f64,
    agree: (&'static str, f64),
    differ: (&'static str, f64),
}

const RATED: [Rated; 4] = [
    Rated {
        column: "rated_power_w",
        of: |side| side.power_w,
        share: 0.05,
        agree: ("same rated power", 1.0),
        differ: ("different rated power", -2.0),
    },
    Rated {
        column: "rated_voltage_v",
        of: |side| side.voltage_v,
        share: 0.02,
        agree: ("same rated voltage", 0.5),
        differ: ("different rated voltage", -2.0),
    },
    Rated {
        column: "rated_speed_rpm",
        of: |side| side.speed_rpm,
        share: 0.02,
        agree: ("same rated speed", 0.3),
        differ: ("different rated speed", -1.5),
    },
    Rated {
        column: "made_year",
        of: |side| side.made_year,
        share: 0.0,
        agree: ("same year of manufacture", 1.0),
        differ: ("different year of manufacture", -1.5),
    },
];

fn plates(a: &Profile, b: &Profile) -> impl Iterator<Item = Evidence> {
    RATED.iter().filter_map(|rated| {
        let (a, b) = ((rated.of)(a)?, (rated.of)(b)?);
        let alike = (a - b).abs() <= rated.share * a.abs().max(b.abs());
        let (what, weight) = if alike { rated.agree } else { rated.differ };
        Some(Evidence { column: rated.column, what, weight, a: a.to_string(), b: b.to_string() })
    })
}

/// How two tags are alike, and its weight.
fn tags(a: &str, b: &str) -> Option<(&'static str, f64)> {
    let (one, other) = (tag::fold(a), tag::fold(b));
    if one.is_empty() || other.is_empty() {
        return None;
    }
    if one == other {
        return Some(("same tag, but for separators, case and leading zeros", 3.0));
    }
    if skeleton(&one) == skeleton(&other) {
        let between = has_slip(&one) || has_slip(&other);
        return Some(if between {
            ("same tag, but for O or I between digits", 3.0)
        } else {
            ("O for 0 or I for 1", 1.5)
        });
    }
    let abbreviates =
        |long: &str, short: &str| Word::read(long).is_some_and(|word| word.abbreviation_in(short).is_some());
    if abbreviates(a, &other) || abbreviates(b, &one) {
        return Some(("word and number that the tag abbreviates", 1.5));
    }
    // A code before the tag, that no site is known by, says little for and nothing against.
    let bare = |text: &str| split(text).map(|(_, rest)| rest);
    match (bare(a), bare(b)) {
        (None, Some(rest)) if alike(a, &one, &rest) => Some(("same tag behind a code", 0.5)),
        (Some(rest), None) if alike(b, &other, &rest) => Some(("same tag behind a code", 0.5)),
        _ => Some(("different tags", -2.0)),
    }
}

/// Whether a tag as written and folded is, or says in a word, a folded one.
fn alike(written: &str, own: &str, folded: &str) -> bool {
    own == folded || Word::read(written).is_some_and(|word| word.abbreviation_in(folded).is_some())
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Likeness {
    Same,
    OneSlip,
    Different,
}

fn serials(a: &BTreeSet<String>, b: &BTreeSet<String>) -> Likeness {
    if !a.is_disjoint(b) {
        return Likeness::Same;
    }
    let near = a.iter().any(|one| b.iter().any(|other| strsim::osa_distance(one, other) == 1));
    if near { Likeness::OneSlip } else { Likeness::Different }
}

/// "Pump 102B": a word and a number.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Word {
    /// The word, folded as tags are.
    pub(crate) word: String,
    /// The number with its letters, folded.
    pub(crate) number: String,
}

impl Word {
    pub(crate) fn read(text: &str) -> Option<Self> {
        let initials = tag::initials(text)?;
        let number: String = initials.chars().skip(1).collect();
        let word = tag::fold(text).strip_suffix(&number)?.to_owned();
        (!number.is_empty()).then_some(Self { word, number })
    }

    /// The letters that a folded tag has before the same number, if they begin like the word.
    pub(crate) fn abbreviation_in<'t>(&self, tag: &'t str) -> Option<&'t str> {
        let letters = tag.strip_suffix(&self.number)?;
        let is_code = !letters.is_empty() && letters.chars().all(char::is_alphabetic);
        (is_code && letters != self.word && letters.chars().next() == self.word.chars().next()).then_some(letters)
    }
}

#[cfg(test)]
mod tests {
    use super::{Likeness, Profile, SURE, compare, serials, total};
    use std::collections::BTreeSet;

    fn side(tag: &str) -> Profile {
        Profile { site: Some("oak mill".to_owned()), tag: tag.to_owned(), ..Profile::default() }
    }

    fn sum(a: &Profile, b: &Profile) -> f64 {
        total(&compare(a, b))
    }

    /// Against distances by RapidFuzz (tests/reference/make_identity_reference.py names the version).
    #[test]
    fn one_slip_is_a_distance_of_one() {
        let mut slips = 0;
        for line in include_str!("../../../tests/reference/identity_distance.csv").lines().skip(1) {
            let fields: Vec<&str> = line.split(',').collect();
            let set = |text: &str| BTreeSet::from([text.to_owned()]);
            let expected = match fields[2] {
                "0" => Likeness::Same,
                "1" => Likeness::OneSlip,
                _ => Likeness::Different,
            };
            slips += usize::from(expected == Likeness::OneSlip);
            assert_eq!(serials(&set(fields[0]), &set(fields[1])), expected, "{line}");
        }
        assert!(slips > 10);
    }

    #[test]
    fn a_contradiction_outweighs_likeness() {
        assert!(sum(&side("P-101A"), &side("p 101 a")) >= SURE);
        assert!(sum(&side("P-101A"), &side("P-1O1A")) >= SURE);
        let (mut a, mut b) = (side("P-101A"), side("P-1O1A"));
        (a.voltage_v, b.voltage_v) = (Some(400.0), Some(6600.0));
        assert!(sum(&a, &b) < SURE);
        let numbered = |serial: &str| Profile { serials: BTreeSet::from([serial.to_owned()]), ..side("P-101A") };
        assert!(sum(&numbered("585545801"), &numbered("439096102")) < 0.0);
    }
}
