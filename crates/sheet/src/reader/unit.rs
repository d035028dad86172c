//! In which unit: the cell, its line, its column, the block, a title.

use super::Reader;
use crate::column::{Column, Role};
use crate::context::{Body, Found};
use crate::cut::BodyLine;
use crate::heading::Heading;
use crate::loose::{Caption, UnitMark, sign_key};
use crate::sense::Kind;
use crate::value::{Amount, unit_for};
use crate::view::Item;
use windrow_model::raw::{Told, Via};
use windrow_model::{Dimension, Quantity, Text, Unit};
use windrow_text::unit::UnitMeaning;
use windrow_text::vocabulary::Concept;

/// Units told somewhere, with the text they were written as.
pub(super) type UnitText = (Vec<UnitMeaning>, Text);

/// What the places told of the unit.
#[derive(Debug, Clone)]
pub(super) enum UnitTold {
    /// Nothing told.
    Untold,
    /// One unit.
    Known(Told<Unit>),
    /// The column tells one unit, a title another.
    Conflict(Unit, Unit),
}

/// Places that may tell the unit of a number, nearest first.
pub(super) struct UnitPlaces<'p> {
    pub item: &'p Item,
    pub amount: &'p Amount,
    pub line: Option<(&'p UnitText, Item)>,
    pub label: Option<&'p Heading>,
    pub column: &'p Heading,
    /// The sign behind the number.
    pub sign: Option<&'p str>,
}

/// What a title that names several units tells.
const SEVERAL: &str = "several";

impl Reader<'_, '_, '_> {
    /// The unit of a number of `quantity`.
    pub(super) fn unit(&self, places: &UnitPlaces<'_>, quantity: Quantity) -> UnitTold {
        if let Some(told) = self.ruled_unit(places.item).filter(|told| told.value.dimension == quantity.dimension()) {
            return UnitTold::Known(told);
        }
        let amount = places.amount;
        if let Some(told) = self.unit_of_mark(places, quantity) {
            return told;
        }
        if let Some(told) = self.thousands_of(places, quantity) {
            return told;
        }
        if let Some(told) = self.noted_otherwise(places, quantity) {
            return told;
        }
        if let Some(unit) = unit_for(&amount.units, &amount.unit_text, quantity) {
            let via = if amount.unit_by_format { Via::Sheet } else { Via::Cell };
            return UnitTold::Known(self.told(unit, via, places.item));
        }
        // "15 °C" among megohms: what the cell tells itself is of another kind, whatever its column promises.
        if amount.units.first().is_some_and(|own| !own.colloquial && own.weight >= 0.9) {
            return UnitTold::Untold;
        }
        self.unit_beside(places, quantity)
    }

    /// The unit that the sheet gives to the sign behind the number ("* = GΩ") or to the letter there ("M = MΩ").
    fn unit_of_mark(&self, places: &UnitPlaces<'_>, quantity: Quantity) -> Option<UnitTold> {
        let letter =
            Some(places.amount.unit_text.trim()).filter(|text| !text.is_empty() && !places.amount.unit_by_format);
        let signs = [places.sign.map(str::trim), letter];
        let signs = signs.map(|sign| sign.map(sign_key));
        let mut told = self.scene.unit_marks.iter().filter(|mark| signs.contains(&Some(sign_key(&mark.sign))));
        let mark = told.next()?;
        let unit = |mark: &UnitMark| unit_for(&mark.units, &mark.text, quantity);
        if told.any(|other| unit(other) != unit(mark)) {
            return Some(UnitTold::Untold);
        }
        // Another note on the same sign: which of both is meant is not told.
        let is_note = |note: &Caption| {
            note.footnote.as_deref().map(sign_key) == Some(sign_key(&mark.sign)) && note.item.cell != mark.item.cell
        };
        if self.scene.footnotes.iter().any(is_note) {
            return Some(UnitTold::Untold);
        }
        // "1,8 MΩ*": what the cell tells itself beside the sign of another unit.
        let own =
            unit_for(&places.amount.units, &places.amount.unit_text, quantity).filter(|_| letter != Some(&mark.sign));
        if let (Some(own), Some(marked)) = (own, unit(mark).filter(|marked| own != Some(*marked))) {
            return Some(UnitTold::Conflict(own, marked));
        }
        // A sign of another kind of unit says nothing of this number.
        unit(mark).map(|unit| UnitTold::Known(self.told(unit, Via::Block, &mark.item)))
    }

    /// A conflict where a comment names another unit than the one that is told for the number: the comment on the cell, or on a text or
    /// date that heads its column or begins its row.
    fn noted_otherwise(&self, places: &UnitPlaces<'_>, quantity: Quantity) -> Option<UnitTold> {
        let noted = self.scene.noted_units.about(places.item.cell, self.view.cell(places.item));
        let mut noted = noted.filter_map(|units| unit_for(units, "", quantity)).peekable();
        noted.peek()?;
        let own = unit_for(&places.amount.units, &places.amount.unit_text, quantity);
        let told = own.or_else(|| match self.unit_beside(places, quantity) {
            UnitTold::Known(told) => Some(told.value),
            _ => None,
        })?;
        noted.find(|noted| *noted != told).map(|noted| UnitTold::Conflict(told, noted))
    }

    /// The unit that is told outside the cell.
    pub(super) fn unit_beside(&self, places: &UnitPlaces<'_>, quantity: Quantity) -> UnitTold {
        let owner = [places.label, Some(places.column)].into_iter().flatten().find(|heading| heading.scale.is_some());
        let Some((owner, scale)) = owner.and_then(|owner| Some((owner, owner.scale.as_ref()?))) else {
            return match (self.unscaled_beside(places, quantity), self.scale_of_title(quantity)) {
                (UnitTold::Known(told), Some(Some(power))) if quantity.dimension() == Dimension::Ratio => told
                    .value
                    .times_ten_to(power)
                    .map_or(UnitTold::Untold, |value| UnitTold::Known(Told { value, ..told })),
                // "×10" over a table that tells its unit elsewhere: whether it is meant for it a person knows.
                (UnitTold::Known(_), Some(_)) => UnitTold::Untold,
                (told, _) => told,
            };
        };
        let is_applied = owner.units.as_ref().is_some_and(|by| !by.value.0.is_empty());
        match (self.unscaled_beside(places, quantity), scale.value) {
            (told, Some(_)) if is_applied => told,
            // "×10⁻³" under a title that tells the unit, or over a ratio that needs none.
            (UnitTold::Known(told), Some(power)) => told
                .value
                .times_ten_to(power)
                .map_or(UnitTold::Untold, |unit| UnitTold::Known(self.told(unit, told.via, &scale.item))),
            (UnitTold::Conflict(a, b), Some(_)) => UnitTold::Conflict(a, b),
            _ => UnitTold::Untold,
        }
    }

    /// The factor without a unit that a title over the block tells of this quantity, or of no one in particular.
    fn scale_of_title(&self, quantity: Quantity) -> Option<Option<i32>> {
        let tell = |caption: &Caption| {
            let named: Vec<Quantity> =
                caption.concepts.iter().filter_map(|concept| crate::fit::quantity(*concept)).collect();
            // A title of several quantities tells the factor of the ratio among them.
            let is_meant = quantity.dimension() == Dimension::Ratio || named.iter().all(|other| *other == quantity);
            // "Δ tan δ at most 2.5·10⁻³": the factor of what the source computed or allows.
            let is_of_figure =
                caption.concepts.iter().any(|concept| matches!(concept, Concept::OtherFigure | Concept::Limit));
            let fits = !is_of_figure && named.is_empty() || named.contains(&quantity) && is_meant;
            caption.heading.scale.as_ref().filter(|_| fits).map(|by| format!("{:?}", by.value))
        };
        let Found::One(index, _) = self.scene.caption(self.block, tell) else { return None };
        self.scene.loose.captions.get(index)?.heading.scale.as_ref().map(|by| by.value)
    }

    fn unscaled_beside(&self, places: &UnitPlaces<'_>, quantity: Quantity) -> UnitTold {
        if let Some(((units, text), item)) = places.line
            && let Some(unit) = unit_for(units, text, quantity)
        {
            // "M" in a column of units that is a plant's or a mark's, beside a heading that says "GΩ".
            let headed = [places.label, Some(places.column)].into_iter().flatten().filter_map(|heading| {
                let by = heading.units.as_ref()?;
                unit_for(&by.value.0, &by.value.1, quantity)
            });
            let is_letter = text.trim().chars().count() == 1;
            let titled = is_letter.then(|| self.block_unit(quantity)).flatten().map(|told| told.value);
            return match headed.chain(titled).find(|other| *other != unit) {
                Some(other) => UnitTold::Conflict(other, unit),
                None => UnitTold::Known(self.told(unit, Via::Row, &item)),
            };
        }
        // A word in the unit's own column that is not understood may be any unit; another place's would be a guess.
        if let Some(((units, text), item)) = places.line
            && units.is_empty()
            && text.chars().any(char::is_alphabetic)
            && self.view.sense(&item).kind == Kind::Text
        {
            return UnitTold::Untold;
        }
        if let Some(turn) = self.unit_turn(places.item, quantity) {
            let of =
                |heading: &Heading| heading.units.as_ref().and_then(|by| unit_for(&by.value.0, &by.value.1, quantity));
            let nearer = places.label.and_then(of).or_else(|| of(places.column));
            return match nearer.filter(|nearer| *nearer != turn.value) {
                Some(nearer) => UnitTold::Conflict(nearer, turn.value),
                None => UnitTold::Known(turn),
            };
        }
        let from_heading = |heading: &Heading, via| {
            let by = heading.units.as_ref()?;
            unit_for(&by.value.0, &by.value.1, quantity).map(|unit| self.told(unit, via, &by.item))
        };
        if let Some(told) = places.label.and_then(|label| self.unit_by_winding(label, places.column, quantity)) {
            return told;
        }
        if let Some(told) = places.label.and_then(|label| from_heading(label, Via::Row)) {
            return UnitTold::Known(told);
        }
        // Nobody measures a conductor in megohms: a title that tells them speaks of other numbers.
        let is_of_conductor =
            |told: &Told<Unit>| quantity != Quantity::WindingResistance || told.value.factor <= Unit::OHM.factor;
        let block = self.block_unit(quantity).filter(is_of_conductor);
        match (from_heading(places.column, Via::Column), block) {
            (Some(column), Some(title)) if title.via != Via::Block || title.value.ucum != column.value.ucum => {
                let is_name = matches!(title.via, Via::SheetName | Via::File);
                let is_needed = || !self.title_claims_all(&title) || self.has_columns_without_unit();
                if is_name || title.value.ucum == column.value.ucum || is_needed() {
                    UnitTold::Known(column)
                } else {
                    UnitTold::Conflict(column.value, title.value)
                }
            }
            (Some(column), _) => UnitTold::Known(column),
            (None, Some(title)) => UnitTold::Known(title),
            (None, None) if quantity.dimension() == Dimension::Ratio => {
                UnitTold::Known(Told::without_place(Unit::ONE, Via::Column, "a ratio without a unit"))
            }
            (None, None) => self.setting_unit(quantity),
        }
    }

    /// The unit that a text within the table, above the number, tells from there on.
    fn unit_turn(&self, item: &Item, quantity: Quantity) -> Option<Told<Unit>> {
        let block = &self.scene.blocks[self.block];
        let is_above = |turn: &&Caption| {
            let columns = (turn.item.column, turn.item.right);
            block.rows.0 < turn.item.row
                && turn.item.row < item.row
                && columns.0 <= block.columns.1
                && block.columns.0 <= columns.1
        };
        let mut above = self.scene.unit_turns.iter().rev().filter(is_above);
        above.find_map(|turn| {
            let told = unit_of_caption(turn, quantity).filter(|told| told != SEVERAL)?;
            Some(self.told(Unit::from_ucum(&told)?, Via::Section, &turn.item))
        })
    }

    /// Whether a text within a table closes its readings: below it stand only their ratios. Any other speaks of the lines below it.
    fn closes_readings(&self, turn: &Caption) -> bool {
        let Body::Table(table) = self.scene.blocks[self.block].body else { return false };
        let body = &self.scene.tables[table].table.body;
        let is_ratio = |line: &BodyLine| {
            let mut concepts = line.items.first().into_iter().flat_map(|item| &self.view.sense(item).label.concepts);
            line.is_statistic
                || concepts.any(|(concept, _)| {
                    matches!(concept, Concept::PolarizationIndex | Concept::AbsorptionRatio | Concept::Unbalance)
                })
        };
        body.iter().filter(|line| line.row > turn.item.row).all(is_ratio)
    }

    /// Whether a title's unit is meant for every reading below: no column and no cell of the sheet uses it by itself.
    fn title_claims_all(&self, title: &Told<Unit>) -> bool {
        !self.scene.tables.iter().flat_map(|read| &read.columns).any(|column| {
            column.heading.units.as_ref().is_some_and(|units| {
                units.value.0.iter().any(|meaning| meaning.unit == title.value && meaning.weight >= 0.5)
            })
        })
    }

    /// Whether the title is needed for most of its table: for columns of readings that tell no unit, beside the fewer that do.
    fn has_columns_without_unit(&self) -> bool {
        let Body::Table(table) = self.scene.blocks[self.block].body else { return false };
        let readings =
            self.scene.tables[table].columns.iter().filter(|column| matches!(column.role, Role::Reading(None)));
        let (telling, bare): (Vec<&Column>, Vec<&Column>) = readings.partition(|column| column.heading.units.is_some());
        !bare.is_empty() && bare.len() >= telling.len()
    }

    /// The unit that a pair or caption tells for the block.
    fn block_unit(&self, quantity: Quantity) -> Option<Told<Unit>> {
        if let Some(told) = self.pair_unit(|units, text| unit_for(units, text, quantity)) {
            return Some(told);
        }
        if let Some(told) = self.titled_unit(quantity) {
            return Some(told);
        }
        let names = self.around.names;
        [(&names.sheet_caption, Via::SheetName, &names.sheet), (&names.file_caption, Via::File, &names.file)]
            .into_iter()
            .find_map(|(caption, via, name)| {
                let caption = caption.as_ref()?;
                let unit = caption
                    .units
                    .iter()
                    .filter(|(units, _)| units.iter().any(|unit| !unit.colloquial && unit.weight >= 0.9))
                    .find_map(|(units, text)| unit_for(units, text, quantity))?;
                Some(Told::without_place(unit, via, name.clone()))
            })
            .or_else(|| {
                let stated = crate::stated::unit(&self.around.book.stated, quantity)?;
                let unit = Unit::from_ucum(stated.unit)?;
                Some(Told::at(unit, Via::File, stated.text.clone(), stated.place.clone()))
            })
    }

    /// The unit that a title tells for the block.
    fn titled_unit(&self, quantity: Quantity) -> Option<Told<Unit>> {
        let tell = |caption: &Caption| {
            let is_turn = self.scene.unit_turns.iter().any(|turn| turn.item.cell == caption.item.cell);
            if is_turn && !self.closes_readings(caption) { None } else { unit_of_caption(caption, quantity) }
        };
        let Found::One(index, via) = self.scene.caption(self.block, tell) else { return None };
        let caption = &self.scene.loose.captions[index];
        let told = tell(caption).filter(|told| told != SEVERAL)?;
        Some(self.told(Unit::from_ucum(&told)?, via, &caption.item))
    }

    /// The one unit that pairs ("resistanceUnit: MOhm") tell for what `pick` wants.
    pub(super) fn pair_unit(&self, pick: impl Fn(&[UnitMeaning], &str) -> Option<Unit>) -> Option<Told<Unit>> {
        let pairs = self.scene.loose.pairs.iter().filter(|pair| pair.heading.concept() == Some(Concept::UnitColumn));
        let pairs = pairs.filter(|pair| !crate::legend::explains(&pair.cell(self.view).text));
        let mut told = pairs.filter_map(|pair| {
            let label = &pair.sense(self.view).label;
            let unit = pick(&label.units, &label.unit_text)?;
            Some(self.told(unit, Via::Block, &pair.value))
        });
        let first = told.next()?;
        told.all(|other| other.value == first.value).then_some(first)
    }

    fn setting_unit(&self, quantity: Quantity) -> UnitTold {
        let setting = self.around.settings.reading.insulation_unit.as_deref();
        let unit = setting.filter(|_| quantity == Quantity::InsulationResistance).and_then(Unit::from_ucum);
        unit.map_or(UnitTold::Untold, |unit| {
            UnitTold::Known(Told::without_place(unit, Via::Settings, "insulation_unit of the fleet's settings"))
        })
    }
}

/// Whether a title names quantities and this is none of them: its unit is theirs.
fn names_another(caption: &Caption, quantity: Quantity) -> bool {
    let mut named = caption.concepts.iter().filter_map(|concept| crate::fit::quantity(*concept)).peekable();
    named.peek().is_some() && named.all(|named| named != quantity && named.dimension() == quantity.dimension())
}

/// "KW 48" in a title that names a power is no kilohm.
fn is_rating(caption: &Caption, units: &[UnitMeaning]) -> bool {
    let is_power =
        |meaning: &UnitMeaning| matches!(meaning.unit.dimension, Dimension::Power | Dimension::ApparentPower);
    caption.concepts.contains(&Concept::RatedPower) && units.iter().any(is_power)
}

/// The code of the unit that a title tells of a quantity, [`SEVERAL`] where it names more than one.
fn unit_of_caption(caption: &Caption, quantity: Quantity) -> Option<String> {
    // "Winding resistance, ohms" tells no unit of megohms, whatever stands near.
    let is_meant = |units: &[UnitMeaning]| !names_another(caption, quantity) && !is_rating(caption, units);
    // The "W." of a name is no ohm.
    let is_initial = |text: &str| text.trim().strip_suffix('.').is_some_and(|letter| letter.len() == 1);
    let told = caption.units.iter().filter(|(units, text)| is_meant(units) && !is_initial(text));
    let fitting: Vec<(Unit, bool)> = told
        .filter_map(|(units, text)| {
            let unit = unit_for(units, text, quantity)?;
            // "Mill" before "Mohm" is a place, whatever else it is short for: no insulation is told in milliohms.
            let is_tiny = quantity == Quantity::InsulationResistance && unit.factor < Unit::OHM.factor;
            let is_word = is_tiny && units.first().is_some_and(|best| best.colloquial);
            Some((unit, is_word))
        })
        .collect();
    let is_told_otherwise = fitting.iter().any(|(_, is_word)| !is_word);
    let mut units = fitting.into_iter().filter(|(_, is_word)| !is_told_otherwise || !is_word).map(|(unit, _)| unit);
    let first = units.next()?;
    // "MΩ / GΩ": a title that names two units tells neither, and leaves nothing to another farther away.
    Some(if units.all(|other| other == first) { first.ucum.to_owned() } else { SEVERAL.to_owned() })
}
