//! Which machine: from the line, the column's header, the block, the names of sheet and file.

use super::Reader;
use crate::column::{Column, Role};
use crate::context::{Found, ReadTable};
use crate::loose::{self, Caption, Pair};
use crate::view::Item;
use std::collections::BTreeSet;
use windrow_model::raw::{Mention, PlateField, PlateValue, Told, Via};
use windrow_model::{Dimension, Precision, Text, Unit};
use windrow_text::date::{DateMeaning, Order, years_of_season};
use windrow_text::tag;
use windrow_text::vocabulary::Concept;

/// Most tables of a sheet that are searched for what a title names.
const MOST_TABLES: usize = 100;

/// What the names of the sheet and the file tell.
#[derive(Debug, Clone, Default)]
pub struct Names {
    /// Name of the sheet.
    pub sheet: String,
    /// Name of the file without folders and ending.
    pub file: String,
    /// Names of the folders that the file lies in, the nearest first.
    pub folders: Vec<String>,
    /// What the sheet's name tells as a caption.
    pub sheet_caption: Option<Caption>,
    /// What the file's name tells as a caption.
    pub file_caption: Option<Caption>,
    /// Tags that file and folder call so, folded.
    pub known_tags: BTreeSet<String>,
}

impl Names {
    /// Reads the names.
    #[must_use]
    pub fn read(sheet: Option<&str>, file: &str) -> Self {
        let stem = file.rsplit('/').next().unwrap_or(file);
        let stem = stem.rsplit_once('.').map_or(stem, |(stem, _)| stem);
        let nowhere = Item { row: 0, column: 0, cell: u32::MAX, sense: 0, right: 0, bottom: 0 };
        let caption = |name: &str| {
            let mut caption = loose::caption(&name.replace('_', " "), &nowhere);
            if caption.dates.is_empty() && name.trim().len() == 4 {
                caption.dates = year(name.trim());
            }
            // "Season 2003-04" is no April.
            if name.trim().contains(' ') && years_of_season(name).is_some() {
                caption.dates.clear();
            }
            caption
        };
        Self {
            sheet: sheet.unwrap_or_default().to_owned(),
            file: stem.to_owned(),
            folders: file.rsplit('/').skip(1).map(str::to_owned).collect(),
            sheet_caption: sheet.filter(|name| !name.is_empty()).map(caption),
            file_caption: Some(caption(stem)),
            known_tags: BTreeSet::new(),
        }
    }

    /// Takes the date from a name that is that of a season of two years.
    pub fn forget_season(&mut self) {
        if let Some(caption) = self.sheet_caption.as_mut().filter(|_| years_of_season(&self.sheet).is_some()) {
            caption.dates.clear();
        }
    }

    /// A date in the sheet's name.
    #[must_use]
    pub fn dates(&self) -> Option<(&[DateMeaning], Via, &str)> {
        let caption = self.sheet_caption.as_ref()?;
        (!caption.dates.is_empty()).then_some((caption.dates.as_slice(), Via::SheetName, self.sheet.as_str()))
    }

    /// Whether the file or folder tells this tag elsewhere, as one.
    pub(super) fn known(&self, name: &str) -> bool {
        self.known_tags.contains(&tag::fold(name))
    }

    /// A tag in the sheet's or the file's name.
    #[must_use]
    pub fn tag(&self) -> Option<Told<Text>> {
        if self.known(&self.sheet) && tag::likeness(&self.sheet) >= 0.5 {
            return Some(Told::without_place(self.sheet.trim().into(), Via::SheetName, self.sheet.clone()));
        }
        let from = |caption: &Option<Caption>, via, name: &str| {
            let tag = caption.as_ref()?.tag.clone().filter(|tag| tag.contains('-') || self.known(tag))?;
            Some(Told::without_place(tag.into(), via, name))
        };
        from(&self.sheet_caption, Via::SheetName, &self.sheet)
            .or_else(|| from(&self.file_caption, Via::File, &self.file))
    }
}

/// A name that is nothing but a year.
fn year(name: &str) -> Vec<DateMeaning> {
    let read = windrow_text::date::read(name).into_iter();
    read.filter(|meaning| meaning.date.precision == windrow_model::Precision::Year)
        .map(|meaning| DateMeaning { bare_number: false, ..meaning })
        .collect()
}

impl Reader<'_, '_, '_> {
    /// Whether what stands behind the label of a pair is another label or a date: "Asset No." above "Date of test" names no machine.
    fn is_other_label(&self, pair: usize) -> bool {
        let value = &self.scene.loose.pairs[pair].value;
        let label = &self.view.sense(value).label;
        let is_sure = |(concept, weight): &(Concept, f32)| *weight >= 0.9 && !loose::is_identity(*concept);
        let dates = &self.view.sense(value).dates;
        // "Q1/00", "4 May 1999"; "W4/1" may be a week, and is a name.
        let is_period = |told: &DateMeaning| matches!(told.date.precision, Precision::Quarter | Precision::Day);
        let is_named = |told: &DateMeaning| told.order == Order::Named && !told.bare_number && is_period(told);
        let has_word = self.view.cell(value).text.starts_with(['Q', 'q']) || self.view.sense(value).words >= 3;
        let is_day = has_word && !dates.is_empty() && dates.iter().all(is_named);
        if is_day {
            return true;
        }
        label.unexplained.is_empty()
            && label.concepts.first().is_some_and(is_sure)
            && !self.view.cell(value).text.contains(|c: char| c.is_ascii_digit())
    }

    /// What the block tells of its machine.
    pub(super) fn block_machine(&self) -> (Mention, bool) {
        let mut mention = Mention::default();
        let mut conflict = false;
        for (concept, slot) in [
            (Concept::Tag, &mut mention.tag),
            (Concept::Serial, &mut mention.serial),
            (Concept::Site, &mut mention.site),
            (Concept::Area, &mut mention.area),
            (Concept::Description, &mut mention.description),
            (Concept::ListKey, &mut mention.list_key),
            (Concept::FunctionalLocation, &mut mention.location),
            (Concept::Parent, &mut mention.parent),
        ] {
            match self.scene.pair(self.block, concept) {
                Found::One(index, _) if loose::is_identity(concept) && self.is_other_label(index) => conflict = true,
                Found::One(index, _) if concept == Concept::Tag && self.is_pair_of_list(index) => conflict = true,
                Found::One(index, via) => *slot = Some(self.pair_text(&self.scene.loose.pairs[index], via)),
                Found::Many(_) => conflict |= loose::is_identity(concept),
                Found::Nothing => {}
            }
        }
        if let Found::One(index, via) = self.scene.pair(self.block, Concept::OldTag) {
            mention.other_tags.push(self.pair_text(&self.scene.loose.pairs[index], via));
        }
        let captioned = self.scene.identity_caption(self.block, |caption| caption.tag.as_deref().map(tag::fold));
        let captioned = self.labelled_in_line(captioned);
        // What stands right above this block comes before what the section told.
        let nearer = matches!(captioned, Found::One(_, Via::Block))
            && [&mention.tag, &mention.serial]
                .iter()
                .all(|told| told.as_ref().is_none_or(|told| told.via != Via::Block));
        if nearer {
            (mention.tag, mention.serial, conflict) = (None, None, false);
        }
        if mention.tag.is_none() && mention.serial.is_none() && !conflict {
            match captioned {
                Found::One(index, _) if self.stands_in_other_column(index) => conflict = true,
                Found::One(index, via) => {
                    let caption = &self.scene.loose.captions[index];
                    mention.tag = caption.tag.clone().map(|tag| self.told(tag.into(), via, &caption.item));
                }
                Found::Many(_) => conflict = true,
                // "Drive: KP-11": what is described by its tag.
                Found::Nothing => {
                    let described = mention.description.take_if(|told| tag::likeness(&told.value) >= 0.9);
                    mention.tag = described.or_else(|| self.around.names.tag());
                }
            }
        }
        if mention.tag.is_none() && mention.serial.is_some() && !conflict {
            mention.tag = self.title_tag();
        }
        if mention.site.is_none() {
            mention.site = self.section_site().or_else(|| self.site_in_title()).or_else(|| self.titled_site());
        }
        self.block_plate(&mut mention);
        (mention, conflict)
    }

    fn is_pair_of_list(&self, pair: usize) -> bool {
        let pair = &self.scene.loose.pairs[pair];
        pair.inline.is_none() && self.scene.is_in_list(self.block, &pair.value)
    }

    /// "After cleaning (V3):" below a table of "Stand V3 | Motor GM 103": whether what a title names stands in a column of a table that tells
    /// something else than its machines.
    fn stands_in_other_column(&self, caption: usize) -> bool {
        let Some(name) = self.scene.loose.captions[caption].tag.as_deref() else { return false };
        let holds = |read: &ReadTable| {
            let keys = read.columns.iter().filter(|column| column.role.tells_which_or_when());
            let names = |column: &Column| column.role == Role::Field(Concept::Tag);
            let is_other = |item: &Item| {
                let column = read.columns.iter().find(|column| column.column == item.column);
                column.is_some_and(|column| !names(column) && !matches!(column.role, Role::Field(_)))
            };
            let items = || read.table.body.iter().flat_map(|line| &line.items);
            keys.clone().any(names) && items().any(|item| self.view.cell(item).text.trim() == name && is_other(item))
        };
        self.scene.tables.len() <= MOST_TABLES && self.scene.tables.iter().any(holds)
    }

    /// The tag beside a serial number: what the one title and the name of the sheet or file both tell.
    fn title_tag(&self) -> Option<Told<Text>> {
        let captioned = self.scene.identity_caption(self.block, |caption| caption.tag.as_deref().map(tag::fold));
        let Found::One(index, via) = captioned else { return None };
        let caption = &self.scene.loose.captions[index];
        let title = caption.tag.clone()?;
        let names = [&self.around.names.sheet, &self.around.names.file];
        let is_named = names.iter().any(|name| tag::fold(name) == tag::fold(&title));
        is_named.then(|| self.told(title.into(), via, &caption.item))
    }

    fn pair_text(&self, pair: &Pair, via: Via) -> Told<Text> {
        let text = pair.cell(self.view).text.trim().into();
        self.told(text, via, &pair.value)
    }

    /// The site that a title or the sheet's name tells; of both the longer name of one place.
    fn titled_site(&self) -> Option<Told<Text>> {
        let folded = |told: &Told<Text>| windrow_text::fold::fold(&told.value);
        match (self.caption_site(), self.sheet_site()) {
            (Some(title), Some(sheet)) if !folded(&title).contains(&folded(&sheet)) => Some(sheet),
            (title, sheet) => title.or(sheet),
        }
    }

    /// The place that a sheet of several machines is named by, while "Insulation" is none.
    fn sheet_site(&self) -> Option<Told<Text>> {
        let name = self.around.names.sheet.trim();
        let caption = self.around.names.sheet_caption.as_ref()?;
        let is_place = |concept: &Concept| matches!(concept, Concept::Site | Concept::Area);
        let says_more = !caption.dates.is_empty()
            || !caption.concepts.iter().all(is_place)
            || !caption.units.is_empty()
            || !caption.heading.circuits.is_empty()
            || self.around.names.known(name);
        let is_told = self.around.book.places.contains(&windrow_text::fold::fold(name)) && self.lists_machines();
        (is_told && !says_more).then(|| Told::without_place(name.into(), Via::SheetName, name.to_owned()))
    }

    /// Whether a table of the sheet names machines line by line.
    fn lists_machines(&self) -> bool {
        let names = |column: &Column| column.role == Role::Field(Concept::Tag);
        self.scene.tables.iter().any(|read| read.columns.iter().any(names))
    }

    /// A site named in a title: known from elsewhere in the folder, or by its last word.
    pub(super) fn caption_site(&self) -> Option<Told<Text>> {
        let known = |name: &str| self.around.folder.sites.contains(name) || self.around.book.sites.contains(name);
        let captions = &self.scene.loose.captions;
        let mut named = captions.iter().flat_map(|caption| caption.names.iter().map(move |name| (name, caption)));
        let worded = || captions.iter().find_map(|caption| caption.site.as_ref().map(|site| (site, caption)));
        let found = named
            .clone()
            .find(|(name, _)| known(name))
            .or_else(worded)
            .or_else(|| named.find(|(name, _)| loose::site_in(name).as_deref() == Some(name.trim())));
        if let Some((name, caption)) = found {
            return Some(self.told(name.into(), Via::Section, &caption.item));
        }

        let contained = captions.iter().find_map(|caption| {
            let text = &self.view.grid.cells.get(caption.item.cell as usize)?.text;
            let pools = self.around.folder.sites.iter().chain(&self.around.book.sites);
            let site = pools.filter(|site| text.contains(site.as_str())).max_by_key(|site| site.len())?;
            Some(self.told(site.into(), Via::Section, &caption.item))
        });
        contained.or_else(|| self.folder_site())
    }

    /// A site that a folder is named by: one that the records know, or, where they know none, one by its last word.
    fn folder_site(&self) -> Option<Told<Text>> {
        let pools = [&self.around.folder.sites, &self.around.book.sites];
        let is_known = |name: &&String| pools.iter().any(|pool| pool.contains(name.as_str()));
        let none_known = pools.iter().all(|pool| pool.is_empty());
        let by_word = |name: &&String| none_known && loose::site_in(name).as_deref() == Some(name.trim());
        let folders = &self.around.names.folders;
        let name = folders.iter().find(is_known).or_else(|| folders.iter().find(by_word))?;
        Some(Told::without_place(name.trim().into(), Via::Folder, name.as_str()))
    }

    fn block_plate(&self, mention: &mut Mention) {
        for pair in &self.scene.loose.pairs {
            let Some(concept) = pair.heading.concept() else { continue };
            if plate_field(concept).is_none() {
                continue;
            }
            if let Found::One(index, via) = self.scene.pair(self.block, concept) {
                let pair = &self.scene.loose.pairs[index];
                let value = self.plate_value(concept, pair.cell(self.view), pair.sense(self.view), &pair.heading);
                if let Some((field, value)) = value
                    && mention.plate.iter().all(|(known, _)| *known != field)
                {
                    mention.plate.push((field, self.told(value, via, &pair.value)));
                }
            }
        }
    }

    /// A nameplate field from a cell, in the stored unit.
    pub(super) fn plate_value(
        &self,
        concept: Concept,
        cell: &windrow_source::Cell,
        sense: &crate::sense::Sense,
        heading: &crate::heading::Heading,
    ) -> Option<(PlateField, PlateValue)> {
        let (field, dimension) = plate_field(concept)?;
        let Some(dimensions) = dimension else {
            let text = cell.text.trim();
            return (!text.is_empty()).then(|| (field, PlateValue::Text(text.to_owned())));
        };
        let amounts = crate::value::amounts(cell, sense)?;
        let amount = amounts.parts.first()?;
        let number = crate::value::choose_number(&amount.numbers, &self.decimal_levels(self.sheet_marks), false)?.value;
        let told = |units: &[windrow_text::unit::UnitMeaning]| {
            dimensions.iter().find_map(|dimension| crate::value::unit_of(units, *dimension))
        };
        let unit = told(&amount.units).or_else(|| heading.units.as_ref().and_then(|units| told(&units.value.0)));
        let default = match field {
            // "4.16" may well be kilovolts, which a person is asked: nothing here is assumed.
            PlateField::RatedVoltage => Some(Unit::VOLT),
            PlateField::RatedCurrent => Some(Unit::AMPERE),
            PlateField::RatedSpeed => Some(Unit::PER_MINUTE),
            PlateField::RatedFrequency => Some(Unit::HERTZ),
            PlateField::MadeYear | PlateField::RewoundYear => Some(Unit::ONE),
            _ => None,
        };
        let unit = unit.or(default)?;
        Some((field, PlateValue::Number(unit.to_stored(number))))
    }
}

/// The nameplate field of a concept, and the dimensions of its numbers.
pub(super) const fn plate_field(concept: Concept) -> Option<(PlateField, Option<&'static [Dimension]>)> {
    Some(match concept {
        Concept::Manufacturer => (PlateField::Manufacturer, None),
        Concept::Model => (PlateField::Model, None),
        Concept::RatedPower => (PlateField::RatedPower, Some(&[Dimension::Power, Dimension::ApparentPower])),
        Concept::RatedVoltage => (PlateField::RatedVoltage, Some(&[Dimension::Voltage])),
        Concept::RatedCurrent => (PlateField::RatedCurrent, Some(&[Dimension::Current])),
        Concept::RatedSpeed => (PlateField::RatedSpeed, Some(&[Dimension::Speed])),
        Concept::RatedFrequency => (PlateField::RatedFrequency, Some(&[Dimension::Frequency])),
        Concept::InsulationClass => (PlateField::InsulationClass, None),
        Concept::WindingKind => (PlateField::WindingKind, None),
        Concept::EquipmentClass => (PlateField::EquipmentClass, None),
        Concept::MadeYear => (PlateField::MadeYear, Some(&[Dimension::Ratio])),
        Concept::Rewound => (PlateField::RewoundYear, Some(&[Dimension::Ratio])),
        _ => return None,
    })
}
