//! One nameplate from all that sources tell of it: the value that is used, and what else is told and where.
//!
//! Used is what a person ruled, else what the owners' equipment list tells, else what most sources tell, else what most records
//! tell, else the lowest. Values that differ are kept with their places; a rated voltage that differs is asked about, since limits
//! and test levels follow from it.

use crate::plate;
use crate::resolve::MentionIn;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::id::row_id;
use windrow_model::place::{Place, Step};
use windrow_model::raw::{Mention, PlateField, PlateValue};
use windrow_model::{Asset, Decision, Hold, Question, Text};

/// Share by which two tellings of one number may differ: horsepower, kilowatts and kilovolts are rounded apart (common practice, no
/// source).
const SAME: [(PlateField, f64); 4] = [
    (PlateField::RatedPower, 0.05),
    (PlateField::RatedVoltage, 0.02),
    (PlateField::RatedCurrent, 0.05),
    (PlateField::RatedSpeed, 0.02),
];
/// Places shown of each value.
const MOST_PLACES: usize = 3;

/// Answer to a question about a rated voltage that nobody knows.
pub const NOT_KNOWN: &str = "not known";

/// A nameplate field that is told or ruled upon.
#[derive(Debug, Clone)]
pub(crate) struct Chosen {
    /// The value; `None` where a person ruled that nobody knows it.
    pub(crate) value: Option<PlateValue>,
    /// Whether a person ruled.
    pub(crate) is_ruled: bool,
    /// All values that are told, the used one first, if there is more than one.
    rivals: Vec<Rival>,
    because: &'static str,
}

/// One of several values that are told.
#[derive(Debug, Clone)]
struct Rival {
    value: PlateValue,
    files: usize,
    places: Vec<(String, Place, Text)>,
}

/// One telling.
struct Telling<'a> {
    value: PlateValue,
    file: &'a str,
    place: Option<&'a Place>,
    text: &'a str,
    listed: bool,
}

/// Chooses the value of `field` among all that `members` tell.
pub(crate) fn choose(members: &[&MentionIn<'_>], field: PlateField, decisions: &[Decision]) -> Option<Chosen> {
    let mut groups = groups(tellings(members, field), field);
    let ruled = (field == PlateField::RatedVoltage).then(|| ruled(members, &groups, decisions)).flatten();
    if let Some(volts) = ruled {
        return Some(chosen_as_ruled(volts, &groups));
    }
    if groups.len() <= 1 {
        let value = Some(usual(&groups.pop()?)?);
        return Some(Chosen { value, is_ruled: false, rivals: Vec::new(), because: "" });
    }
    let rank = |group: &Vec<Telling<'_>>| {
        let files: BTreeSet<&str> = group.iter().map(|telling| telling.file).collect();
        (group.iter().any(|telling| telling.listed), files.len(), group.len())
    };
    groups.sort_by_key(|group| Reverse(rank(group)));
    let (first, second) = (rank(groups.first()?), rank(groups.get(1)?));
    let because = match () {
        () if first.0 != second.0 => "the equipment list tells it",
        () if first.1 != second.1 => "more sources tell it",
        () if first.2 != second.2 => "more records tell it",
        () => "it is the lower of values told equally often",
    };
    let rivals: Vec<Rival> = groups.iter().filter_map(|group| rival(group)).collect();
    Some(Chosen { value: Some(rivals.first()?.value.clone()), is_ruled: false, rivals, because })
}

/// What a person ruled, before all that sources tell.
fn chosen_as_ruled(volts: Option<f64>, groups: &[Vec<Telling<'_>>]) -> Chosen {
    let mut rivals: Vec<Rival> = groups.iter().filter_map(|group| rival(group)).collect();
    if let Some(volts) = volts {
        let is_it = |rival: &Rival| number(&rival.value) == Some(volts);
        match rivals.iter().position(is_it) {
            Some(at) => rivals.swap(0, at),
            None => rivals.insert(0, Rival { value: PlateValue::Number(volts), files: 0, places: Vec::new() }),
        }
    }
    let because = if volts.is_some() { "a person ruled so" } else { "none, for a person ruled that it is not known" };
    Chosen { value: volts.map(PlateValue::Number), is_ruled: true, rivals, because }
}

fn tellings<'a>(members: &[&MentionIn<'a>], field: PlateField) -> Vec<Telling<'a>> {
    let of = |member: &&MentionIn<'a>| {
        let (file, listed) = (member.source_file, member.mention.is_listed());
        let told = member.mention.plate.iter().filter(move |(known, _)| *known == field);
        told.filter_map(move |(_, told)| {
            let value = usable(field, &told.value)?;
            Some(Telling { value, file, place: told.place.as_ref(), text: &told.text, listed })
        })
    };
    members.iter().flat_map(of).collect()
}

/// A value in the codes of the schema; `None` for what no column takes.
fn usable(field: PlateField, value: &PlateValue) -> Option<PlateValue> {
    let is_text = matches!(
        field,
        PlateField::Manufacturer
            | PlateField::Model
            | PlateField::WindingKind
            | PlateField::InsulationClass
            | PlateField::InsulationEra
            | PlateField::Conductor
            | PlateField::EquipmentClass
            | PlateField::InService
    );
    match value {
        PlateValue::Number(number) if !number.is_finite() || *number < 0.0 => None,
        PlateValue::Number(number) if is_text => plate::code(field, &number.to_string()).map(PlateValue::Text),
        PlateValue::Text(text) if is_text => plate::code(field, text).map(PlateValue::Text),
        PlateValue::Text(_) => None,
        PlateValue::Number(_) => Some(value.clone()),
    }
}

fn number(value: &PlateValue) -> Option<f64> {
    match value {
        PlateValue::Number(number) => Some(*number),
        PlateValue::Text(_) => None,
    }
}

/// Tellings that agree, lowest values first.
fn groups<'a>(mut tellings: Vec<Telling<'a>>, field: PlateField) -> Vec<Vec<Telling<'a>>> {
    let share = SAME.iter().find(|(known, _)| *known == field).map_or(0.0, |(_, share)| *share);
    // Bits order numbers that are not negative as the numbers themselves.
    let key = |telling: &Telling<'_>| match &telling.value {
        PlateValue::Number(number) => (number.to_bits(), String::new()),
        PlateValue::Text(text) => (0, windrow_text::fold::fold(text)),
    };
    tellings.sort_by_cached_key(key);
    let mut groups: Vec<Vec<Telling<'a>>> = Vec::new();
    for telling in tellings {
        let agrees = groups.last().and_then(|group| group.first()).is_some_and(|first| {
            match (number(&first.value), number(&telling.value)) {
                (Some(lowest), Some(own)) => own - lowest <= share * own,
                _ => key(first) == key(&telling),
            }
        });
        match groups.last_mut().filter(|_| agrees) {
            Some(group) => group.push(telling),
            None => groups.push(vec![telling]),
        }
    }
    groups
}

/// The value that most of them tell, the lowest among equals.
fn usual(group: &[Telling<'_>]) -> Option<PlateValue> {
    let mut counts: BTreeMap<(u64, &str), (usize, &PlateValue)> = BTreeMap::new();
    for telling in group {
        let key = match &telling.value {
            PlateValue::Number(number) => (number.to_bits(), ""),
            PlateValue::Text(text) => (0, text.as_str()),
        };
        counts.entry(key).or_insert((0, &telling.value)).0 += 1;
    }
    let most = counts.values().map(|(count, _)| *count).max()?;
    counts.into_values().find(|(count, _)| *count == most).map(|(_, value)| value.clone())
}

fn rival(group: &[Telling<'_>]) -> Option<Rival> {
    let files: BTreeSet<&str> = group.iter().map(|telling| telling.file).collect();
    let mut places: Vec<(String, Place, Text)> = group
        .iter()
        .filter_map(|telling| Some((telling.file.to_owned(), telling.place?.clone(), Text::from(telling.text))))
        .collect();
    places.sort();
    places.dedup();
    Some(Rival { value: usual(group)?, files: files.len(), places })
}

/// What a person ruled last of a cell that tells the voltage or names the machine: a voltage, or that nobody knows it. A cell that reads
/// otherwise since is another machine's.
fn ruled(members: &[&MentionIn<'_>], groups: &[Vec<Telling<'_>>], decisions: &[Decision]) -> Option<Option<f64>> {
    let of_voltage = |decision: &Decision| decision.question == Question::Nameplate && decision.cells.is_some();
    let is_about = |decision: &Decision, file: &str, place: &Place, text: &str| {
        decision.concerns(file, place.sheet.as_deref()) && decision.covers(&place.cell) && decision.fits(text)
    };
    let is_meant = |decision: &&Decision| {
        let telling = |telling: &Telling<'_>| {
            telling.place.is_some_and(|place| is_about(decision, telling.file, place, telling.text))
        };
        let naming = |member: &&MentionIn<'_>| {
            named_at(member).is_some_and(|(place, text)| is_about(decision, member.source_file, place, text))
        };
        of_voltage(decision) && (groups.iter().flatten().any(telling) || members.iter().any(naming))
    };
    read(&decisions.iter().rfind(is_meant)?.answer).ok()
}

/// Where a mention names its machine, else where its test begins, and the text there.
pub(crate) fn named_at<'a>(mention: &MentionIn<'a>) -> Option<(&'a Place, &'a str)> {
    named(mention.mention, mention.test)
}

/// As [`named_at`], of a mention whose test begins at `test`.
pub(crate) fn named<'a>(mention: &'a Mention, test: Option<&'a Place>) -> Option<(&'a Place, &'a str)> {
    let mut told = mention.tag.iter().chain(&mention.serial);
    let named = told.find_map(|told| Some((told.place.as_ref()?, told.text.as_str())));
    named.or_else(|| test.map(|place| (place, "")))
}

/// Where the rated voltage of a machine is told, or where a test names the machine that tells none; and whether a person ruled.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Rated {
    /// File, place and text, the first in the order of sources.
    pub at: Option<(String, Place, Text)>,
    /// Whether a person ruled upon it, or is asked already because sources differ.
    pub is_settled: bool,
}

/// Where to ask about the rated voltage of a machine of which `chosen` is known.
pub(crate) fn rated(members: &[&MentionIn<'_>], chosen: Option<&Chosen>) -> Rated {
    let told = tellings(members, PlateField::RatedVoltage);
    let told = told.iter().filter_map(|telling| Some((telling.file, telling.place?, telling.text))).min();
    let named = || {
        let of_tests = members.iter().filter(|member| member.test.is_some());
        of_tests.filter_map(|member| named_at(member).map(|(place, text)| (member.source_file, place, text))).min()
    };
    Rated {
        at: told.or_else(named).map(|(file, place, text)| (file.to_owned(), place.clone(), text.into())),
        is_settled: chosen.is_some_and(|chosen| chosen.is_ruled || chosen.rivals.len() > 1),
    }
}

/// A voltage in an answer, V.
fn volts(answer: &str) -> Option<f64> {
    answer.trim().strip_suffix(" V")?.parse().ok().filter(|volts: &f64| volts.is_finite() && *volts > 0.0)
}

/// Reads the answer to a question about a rated voltage, V; `None` where nobody knows it.
///
/// # Errors
/// What was expected.
pub fn read(answer: &str) -> Result<Option<f64>, String> {
    if answer.trim() == NOT_KNOWN {
        return Ok(None);
    }
    volts(answer).map(Some).ok_or_else(|| {
        format!("expected the rated line-to-line voltage in volts, such as \"6600 V\", or \"{NOT_KNOWN}\"")
    })
}

/// A value with its unit.
fn written(field: PlateField, value: &PlateValue) -> String {
    match (value, field) {
        (PlateValue::Number(watts), PlateField::RatedPower) => format!("{} kW", watts / 1e3),
        (PlateValue::Number(volts), PlateField::RatedVoltage) => format!("{volts} V"),
        (PlateValue::Number(amperes), PlateField::RatedCurrent) => format!("{amperes} A"),
        (PlateValue::Number(speed), PlateField::RatedSpeed) => format!("{speed} 1/min"),
        (PlateValue::Number(hertz), PlateField::RatedFrequency) => format!("{hertz} Hz"),
        (PlateValue::Number(number), _) => number.to_string(),
        (PlateValue::Text(text), _) => text.clone(),
    }
}

impl Chosen {
    /// Each value with where it is told, and why the first is used; `None` if all agree.
    pub(crate) fn conflict(&self, field: PlateField) -> Option<Step> {
        let differs = self.rivals.len() > 1 || !self.rivals.is_empty() && self.value.is_none();
        differs.then(|| {
            let parts: Vec<String> = self.rivals.iter().map(|rival| rival.written(field)).collect();
            Step::new(field.code(), format!("{}; used: {}", parts.join("; "), self.because))
        })
    }

    /// The question about a rated voltage that nobody ruled upon.
    pub(crate) fn question(&self, field: PlateField, asset: &Asset) -> Option<Hold> {
        let other = self.rivals.get(1).filter(|_| field == PlateField::RatedVoltage && !self.is_ruled)?;
        let (file, place, text) = other.places.first()?;
        let sheet = place.sheet.as_deref().unwrap_or_default();
        let code = Question::Nameplate.code();
        let name = asset.site.as_ref().map_or_else(|| asset.tag.clone(), |site| format!("{}, {site}", asset.tag));
        let parts: Vec<String> = self.rivals.iter().map(|rival| rival.written(field)).collect();
        Some(Hold {
            hold_id: row_id("holds", &[file, sheet, &place.cell, code, &asset.asset_id]),
            import_id: Text::default(),
            source_file: file.into(),
            source_sheet: place.sheet.clone(),
            source_cell: Some(place.cell.clone()),
            raw_text: text.clone(),
            question: code.into(),
            choices: self.rivals.iter().map(|rival| written(field, &rival.value)).collect(),
            context: format!(
                "sources tell different rated voltages of {name}: {}; until it is ruled the first is used, because {}",
                parts.join("; "),
                self.because
            )
            .into(),
            cause: format!("{} of {name}", field.code()).into(),
            resolved_by: None,
        })
    }
}

impl Rival {
    fn written(&self, field: PlateField) -> String {
        let place = |(file, place, _): &(String, Place, Text)| {
            let sheet = place.sheet.as_deref().map(|sheet| format!(" [{sheet}]")).unwrap_or_default();
            format!("{file}{sheet} {}", place.cell)
        };
        let places: Vec<String> = self.places.iter().take(MOST_PLACES).map(place).collect();
        let more = match self.places.len().saturating_sub(MOST_PLACES) {
            0 => String::new(),
            more => format!(" and {more} more"),
        };
        let sources = match self.files {
            0 => "no source".to_owned(),
            1 => "1 source".to_owned(),
            files => format!("{files} sources"),
        };
        let at = if places.is_empty() { String::new() } else { format!(": {}{more}", places.join(", ")) };
        format!("{} ({sources}{at})", written(field, &self.value))
    }
}
