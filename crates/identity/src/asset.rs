//! One machine from all that was said of it.

use crate::nameplate::{self, Chosen, Rated};
use crate::resolve::MentionIn;
use std::collections::BTreeMap;
use windrow_model::id::row_id;
use windrow_model::raw::{Mention, PlateField, PlateValue, Told};
use windrow_model::rows::RULED;
use windrow_model::{Asset, Decision, Hold, Text};
use windrow_text::naming::earlier;

/// A machine, and what a person should rule of its nameplate.
pub(crate) struct Built {
    pub(crate) asset: Asset,
    pub(crate) holds: Vec<Hold>,
    pub(crate) rated: Rated,
}

/// The asset of the group called `name`: names and places are what the owners' equipment list tells, else what most mentions say,
/// the lowest among equals; nameplates as [`nameplate::choose`] has it.
pub(crate) fn build(name: &str, members: &[&MentionIn<'_>], decisions: &[Decision]) -> Built {
    let most = |field: fn(&Mention) -> Option<&Told<Text>>, listed_only: bool| {
        let counted = members.iter().filter(|member| !listed_only || member.mention.is_listed());
        most_told(counted.filter_map(|member| field(member.mention)).map(|told| told.value.trim().to_owned()))
    };
    let text = |field: fn(&Mention) -> Option<&Told<Text>>| most(field, true).or_else(|| most(field, false));
    let tag = tag(members, true).or_else(|| tag(members, false));
    let serial = text(|mention| mention.serial.as_ref());
    let mut plate = Plate { members, decisions, chosen: Vec::new() };
    let mut asset = Asset {
        asset_id: row_id("assets", &[name]).into(),
        aliases: aliases(members, tag.as_ref()),
        tag: tag.or_else(|| serial.clone()).unwrap_or_default(),
        site: text(|mention| mention.site.as_ref()),
        area: text(|mention| mention.area.as_ref()),
        description: text(|mention| mention.description.as_ref()),
        equipment_class: plate.text(PlateField::EquipmentClass).unwrap_or_else(|| "EM".to_owned()),
        manufacturer: plate.text(PlateField::Manufacturer),
        model: plate.text(PlateField::Model),
        serial_number: serial,
        rated_power_w: plate.number(PlateField::RatedPower),
        rated_voltage_v: plate.number(PlateField::RatedVoltage),
        rated_voltage_basis: plate.voltage_basis(),
        rated_current_a: plate.number(PlateField::RatedCurrent),
        rated_speed_rpm: plate.number(PlateField::RatedSpeed),
        rated_frequency_hz: plate.number(PlateField::RatedFrequency),
        winding_kind: plate.text(PlateField::WindingKind),
        insulation_class: plate.text(PlateField::InsulationClass),
        insulation_era: plate.text(PlateField::InsulationEra),
        conductor: plate.text(PlateField::Conductor),
        made_year: plate.number(PlateField::MadeYear).and_then(year),
        rewound_years: rewound(members),
        in_service: plate.text(PlateField::InService).map(|text| text == "true"),
        functional_location: text(|mention| mention.location.as_ref()),
        location_levels: Vec::new(),
        parent: text(|mention| mention.parent.as_ref()),
        list_key: text(|mention| mention.list_key.as_ref()),
        listed_at: listed_at(members),
        nameplate_conflicts: Vec::new(),
    };
    let holds = plate.chosen.iter().filter_map(|(field, chosen)| chosen.question(*field, &asset)).collect();
    asset.nameplate_conflicts = plate.chosen.iter().filter_map(|(field, chosen)| chosen.conflict(*field)).collect();
    let rated = nameplate::rated(members, plate.voltage());
    Built { asset, holds, rated }
}

/// Nameplate fields of one machine as they are chosen, one after the other.
struct Plate<'a> {
    members: &'a [&'a MentionIn<'a>],
    decisions: &'a [Decision],
    chosen: Vec<(PlateField, Chosen)>,
}

impl Plate<'_> {
    fn value(&mut self, field: PlateField) -> Option<PlateValue> {
        let chosen = nameplate::choose(self.members, field, self.decisions)?;
        let value = chosen.value.clone();
        self.chosen.push((field, chosen));
        value
    }

    /// What was chosen for the rated voltage, once it was.
    fn voltage(&self) -> Option<&Chosen> {
        self.chosen.iter().find(|(field, _)| *field == PlateField::RatedVoltage).map(|(_, chosen)| chosen)
    }

    fn voltage_basis(&self) -> Option<String> {
        let chosen = self.voltage().filter(|chosen| chosen.value.is_some())?;
        Some(if chosen.is_ruled { RULED } else { "recorded" }.to_owned())
    }

    fn text(&mut self, field: PlateField) -> Option<String> {
        match self.value(field)? {
            PlateValue::Text(text) => Some(text),
            PlateValue::Number(_) => None,
        }
    }

    fn number(&mut self, field: PlateField) -> Option<f64> {
        match self.value(field)? {
            PlateValue::Number(number) => Some(number),
            PlateValue::Text(_) => None,
        }
    }
}

/// The tag that is told most often, "P-3 (formerly K-3)" counting as P-3.
fn tag(members: &[&MentionIn<'_>], listed_only: bool) -> Option<String> {
    let counted = members.iter().filter(|member| !listed_only || member.mention.is_listed());
    most_told(counted.filter_map(|member| member.mention.tag.as_ref()).map(|told| present(&told.value).to_owned()))
}

/// A tag without what is told of an earlier one beside it.
fn present(text: &str) -> &str {
    earlier(text).map(|(now, _)| now).filter(|now| !now.is_empty()).unwrap_or(text).trim()
}

/// Every spelling but the one that is used.
fn aliases(members: &[&MentionIn<'_>], tag: Option<&String>) -> Vec<String> {
    let mut aliases: Vec<String> = members
        .iter()
        .flat_map(|member| member.mention.tag.iter().chain(&member.mention.other_tags))
        .flat_map(|told| [told.value.trim(), present(&told.value)])
        .map(str::to_owned)
        .filter(|spelling| Some(spelling) != tag)
        .collect();
    aliases.sort();
    aliases.dedup();
    aliases
}

/// Where the owners' equipment list names the machine, the first in the order of sources.
fn listed_at(members: &[&MentionIn<'_>]) -> Option<String> {
    let place = |member: &&MentionIn<'_>| {
        let mention = member.mention;
        let named = mention.list_key.iter().chain(&mention.tag).chain(&mention.serial).chain(&mention.location);
        let place = named.into_iter().find_map(|told| told.place.as_ref())?;
        let sheet = place.sheet.as_deref().map(|sheet| format!(" [{sheet}]")).unwrap_or_default();
        Some(format!("{}{sheet} {}", member.source_file, place.cell))
    };
    members.iter().filter(|member| member.mention.is_listed()).filter_map(place).min()
}

/// The value told most often; the lowest among equals, so that order never matters.
pub(crate) fn most_told<T: Ord + Clone>(values: impl Iterator<Item = T>) -> Option<T> {
    let mut counts: BTreeMap<T, usize> = BTreeMap::new();
    for value in values {
        *counts.entry(value).or_default() += 1;
    }
    let most = counts.values().max().copied()?;
    counts.into_iter().find(|(_, count)| *count == most).map(|(value, _)| value)
}

/// The number told most often for a field, without regard to who tells it.
pub(crate) fn plate_number(members: &[&MentionIn<'_>], field: PlateField) -> Option<f64> {
    // Bits order positive finite numbers as the numbers themselves.
    let bits = told(members, field).filter_map(|value| match value {
        PlateValue::Number(number) if number.is_finite() && *number >= 0.0 => Some(number.to_bits()),
        _ => None,
    });
    most_told(bits).map(f64::from_bits)
}

fn told<'a>(members: &'a [&MentionIn<'_>], field: PlateField) -> impl Iterator<Item = &'a PlateValue> {
    members
        .iter()
        .flat_map(|member| &member.mention.plate)
        .filter(move |(known, _)| *known == field)
        .map(|(_, told)| &told.value)
}

fn year(number: f64) -> Option<i32> {
    #[expect(clippy::cast_possible_truncation, reason = "range checked")]
    let year = (1850.0..=2100.0).contains(&number).then_some(number as i32);
    year
}

fn rewound(members: &[&MentionIn<'_>]) -> Vec<i32> {
    let mut years: Vec<i32> = told(members, PlateField::RewoundYear)
        .filter_map(|value| match value {
            PlateValue::Number(number) => year(*number),
            PlateValue::Text(_) => None,
        })
        .collect();
    years.sort_unstable();
    years.dedup();
    years
}

/// An asset of which nothing is told.
#[cfg(test)]
pub(crate) fn blank() -> Asset {
    build("nothing", &[], &[]).asset
}
