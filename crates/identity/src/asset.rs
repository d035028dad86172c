//! One machine from all that was said of it.

use crate::plate;
use crate::resolve::MentionIn;
use std::collections::BTreeMap;
use windrow_model::id::row_id;
use windrow_model::raw::{Mention, PlateField, PlateValue, Told};
use windrow_model::{Asset, Text};

/// The asset of the group called `name`: each field is what most mentions say, the lowest value among equals.
pub(crate) fn build(name: &str, members: &[&MentionIn<'_>]) -> Asset {
    let text = |field: fn(&Mention) -> Option<&Told<Text>>| {
        most_told(members.iter().filter_map(|member| field(member.mention)).map(|told| told.value.trim().to_owned()))
    };
    let tag = text(|mention| mention.tag.as_ref());
    let serial = text(|mention| mention.serial.as_ref());
    let mut aliases: Vec<String> = members
        .iter()
        .flat_map(|member| member.mention.tag.iter().chain(&member.mention.other_tags))
        .map(|told| told.value.trim().to_owned())
        .filter(|spelling| Some(spelling) != tag.as_ref())
        .collect();
    aliases.sort();
    aliases.dedup();
    let text_of = |field: PlateField| plate_text(members, field);
    let number = |field: PlateField| plate_number(members, field);
    Asset {
        asset_id: row_id("assets", &[name]).into(),
        tag: tag.or_else(|| serial.clone()).unwrap_or_default(),
        aliases,
        site: text(|mention| mention.site.as_ref()),
        area: text(|mention| mention.area.as_ref()),
        description: text(|mention| mention.description.as_ref()),
        equipment_class: text_of(PlateField::EquipmentClass).unwrap_or_else(|| "EM".to_owned()),
        manufacturer: text_of(PlateField::Manufacturer),
        model: text_of(PlateField::Model),
        serial_number: serial,
        rated_power_w: number(PlateField::RatedPower),
        rated_voltage_v: number(PlateField::RatedVoltage),
        rated_current_a: number(PlateField::RatedCurrent),
        rated_speed_rpm: number(PlateField::RatedSpeed),
        rated_frequency_hz: number(PlateField::RatedFrequency),
        winding_kind: text_of(PlateField::WindingKind),
        insulation_class: text_of(PlateField::InsulationClass),
        insulation_era: text_of(PlateField::InsulationEra),
        conductor: text_of(PlateField::Conductor),
        made_year: number(PlateField::MadeYear).and_then(year),
        rewound_years: rewound(members),
        in_service: text_of(PlateField::InService).map(|text| text == "true"),
    }
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

fn told<'a>(members: &'a [&MentionIn<'_>], field: PlateField) -> impl Iterator<Item = &'a PlateValue> {
    members
        .iter()
        .flat_map(|member| &member.mention.plate)
        .filter(move |(known, _)| *known == field)
        .map(|(_, told)| &told.value)
}

fn plate_text(members: &[&MentionIn<'_>], field: PlateField) -> Option<String> {
    most_told(told(members, field).filter_map(|value| match value {
        PlateValue::Text(text) => plate::code(field, text),
        PlateValue::Number(number) if number.is_finite() => plate::code(field, &number.to_string()),
        PlateValue::Number(_) => None,
    }))
}

pub(crate) fn plate_number(members: &[&MentionIn<'_>], field: PlateField) -> Option<f64> {
    // Bits order positive finite numbers as the numbers themselves.
    let bits = told(members, field).filter_map(|value| match value {
        PlateValue::Number(number) if number.is_finite() && *number >= 0.0 => Some(number.to_bits()),
        _ => None,
    });
    most_told(bits).map(f64::from_bits)
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
