//! What was measured.

use super::Reader;
use super::line::Line;
use crate::column::{Column, Role};
use crate::context::{Body, Found};
use crate::fit;
use crate::heading::Heading;
use crate::loose::Caption;
use crate::ruling::Ruling;
use crate::sense::Kind;
use crate::value::Amount;
use crate::view::Item;
use windrow_model::raw::{Told, Via};
use windrow_model::{Dimension, Quantity, Question, Unit};
use windrow_text::circuit::Named;
use windrow_text::unit::UnitMeaning;
use windrow_text::vocabulary::Concept;

/// What a number is, as far as told.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum What {
    /// A measured quantity.
    Measured(Told<Quantity>),
    /// A circumstance of readings that stand elsewhere (a table of temperatures).
    Circumstance(Concept),
    /// Something else that is no reading: a limit, a figure of no interest.
    Other,
    /// Not told.
    Untold,
}

/// Whether the cell of a number, or a unit in its line, tells a unit of resistance.
fn has_unit_of_resistance(amount: &Amount, line: &Line) -> bool {
    let of_line = line.unit.as_ref().filter(|_| amount.units.is_empty()).map(|((units, _), _)| units.as_slice());
    let units = of_line.unwrap_or(&amount.units);
    units.iter().any(|meaning| meaning.unit.dimension == Dimension::Resistance && meaning.weight >= 0.8)
}

/// Whether the label of a line names several quantities ("IR/PI"), the column's own among them: the column then says which.
fn offers(label: &Heading, column: &Column) -> bool {
    let named = || label.concepts.iter().filter_map(|(concept, ..)| fit::quantity(*concept));
    matches!(column.role, Role::Reading(Some(quantity)) if named().any(|one| one == quantity) && named().any(|one| one != quantity))
}

impl Reader<'_, '_, '_> {
    /// What the number at `item` is.
    pub(super) fn what(&self, item: &Item, amount: &Amount, line: &Line, column: &Column) -> What {
        let what = self.named(item, amount, line, column);
        let What::Measured(told) = &what else { return what };
        // "PI" beside 1.92 GΩ: the ratio, or the last reading of that test.
        if fit::is_index(told.value) && told.via != Via::Decision && has_unit_of_resistance(amount, line) {
            return What::Untold;
        }
        let is_decided = told.via == Via::Decision || !amount.units.is_empty();
        match line.label.as_ref().and_then(sure_units).filter(|_| !is_decided) {
            // "DC test 2760 V, µA" beside a number in a table of ohms: what the line tells of its unit is nearer.
            Some(units) if units.iter().all(|meaning| meaning.unit.dimension != told.value.dimension()) => {
                self.by_unit(Some(units), item, line, column)
            }
            _ => what,
        }
    }

    /// What is told by name, by the nearest place.
    pub(super) fn named_nearest(&self, item: &Item, amount: &Amount, line: &Line, column: &Column) -> What {
        let pick = |ruling: &Ruling| if let Ruling::Quantity(quantity) = ruling { Some(*quantity) } else { None };
        if let Some(told) = self.ruled(item, Question::Quantity, pick) {
            return What::Measured(told);
        }
        let names_resistance =
            |label: &Heading| matches!(label.concept(), Some(Concept::Resistance | Concept::CorrectedResistance));
        if line.label.as_ref().is_some_and(names_resistance)
            && let Some(what) = self.of_conductor(item, amount, line, column)
        {
            return what;
        }
        if let Some(label) =
            line.label.as_ref().filter(|label| !offers(label, column) && !self.tells_occasion(label, column))
            && let Some(what) = self.by_heading(label, Via::Row, amount, line)
        {
            let what = self.of_comparison(self.of_both(what, column));
            return if self.tells_deviations_only() { self.of_titled_comparison(what, line, column) } else { what };
        }
        if line.is_of_another_kind {
            return What::Untold;
        }
        if let Role::Reading(Some(quantity)) = column.role {
            let by = column.heading.concepts.iter().find(|(concept, ..)| fit::quantity(*concept) == Some(quantity));
            let at = by.map(|(.., item)| *item).or_else(|| column.heading.units.as_ref().map(|units| units.item));
            let what = What::Measured(self.told(quantity, Via::Column, &at.unwrap_or(*item)));
            return self.of_titled_comparison(what, line, column);
        }
        if let Some(told) = self.ohms_of_winding(item, amount, line, column) {
            return What::Measured(told);
        }
        if let Some(what) = self.of_conductor(item, amount, line, column) {
            return what;
        }
        if let Some(what) = self.by_heading(&column.heading, Via::Column, amount, line) {
            return what;
        }
        // The dimension that cell, line or column tell limits what a title can mean.
        let units: Vec<&[UnitMeaning]> =
            [Some(amount.units.as_slice()), line.unit.as_ref().map(|(unit, _)| unit.0.as_slice())]
                .into_iter()
                .flatten()
                .chain(
                    [line.label.as_ref(), Some(&column.heading)]
                        .into_iter()
                        .flatten()
                        // "Time [s]" over 60 tells the unit of the 60.
                        .filter(|heading| heading.number.is_none() || !counts(heading))
                        .filter_map(|heading| heading.units.as_ref().map(|by| by.value.0.as_slice())),
                )
                .filter(|units| !units.is_empty())
                .collect();
        if let Some(told) = units.first().and_then(|units| self.by_corner(units)) {
            return What::Measured(told);
        }
        // "R (Ω)" beside "insulation (MΩ)": a title on insulation speaks of the other column.
        if units.first().is_some_and(|units| resistance(Some(units)).is_none() && is_resistive(units))
            && self.has_insulation_beside(column)
            && !is_to_earth(line, column)
        {
            let at = column.heading.units.as_ref().map_or(*item, |units| units.item);
            return What::Measured(self.told(Quantity::WindingResistance, Via::Column, &at));
        }
        let titled = self.titled(units.first().copied());
        // A conductor is not measured against earth: a title that says so for a column to earth speaks of something else.
        let contradicts = matches!(&titled, What::Measured(told) if told.value == Quantity::WindingResistance)
            && is_to_earth(line, column);
        // 2.74 Ω under a title on insulation: as likely the winding's.
        if let What::Measured(told) = &titled
            && self.may_be_of_winding(told.value, amount, units.first().copied())
        {
            return What::Untold;
        }
        if titled != What::Untold && !contradicts {
            return titled;
        }
        let unit = units.first().copied().or_else(|| self.caption_units());
        self.by_unit(unit, item, line, column)
    }

    /// The resistance of a winding, by its terminals and a unit of ohms or less, where the column names no quantity.
    fn of_conductor(&self, item: &Item, amount: &Amount, line: &Line, column: &Column) -> Option<What> {
        let names_one = column.heading.concept().is_some_and(|concept| fit::quantity(concept).is_some());
        let of_title = || match self.titled(None) {
            What::Measured(told) if told.value != Quantity::WindingResistance => None,
            _ => self.caption_units(),
        };
        let of_sentence = self.titled_units_of_conductor(column);
        let by_title = || of_sentence.or_else(of_title);
        let is_of_winding = || self.stands_between_terminals(line, column) || self.names_winding_alone(&column.heading);
        if names_one || !is_of_winding() || !is_in_ohms(amount, line, column, by_title) {
            return None;
        }
        let titled = self.titled(column.heading.units.as_ref().map(|by| by.value.0.as_slice()));
        if matches!(&titled, What::Measured(told) if told.value == Quantity::WindingResistance) {
            return Some(titled);
        }
        let at = column.heading.units.as_ref().map_or(*item, |units| units.item);
        Some(What::Measured(self.told(Quantity::WindingResistance, Via::Column, &at)))
    }

    /// What a line names, in the light of what its column names: a ratio is the ratio of what the other names, two other quantities
    /// are a question.
    fn of_both(&self, by_line: What, column: &Column) -> What {
        let head = column.heading.concepts.first().and_then(|(concept, weight, at)| {
            fit::quantity(*concept).filter(|_| *weight >= 0.6).map(|quantity| (quantity, *at))
        });
        let (What::Measured(told), Some((quantity, at))) = (&by_line, head) else { return by_line };
        if told.value == quantity || fit::is_of_others(told.value) {
            return by_line;
        }
        if fit::is_of_others(quantity) { What::Measured(self.told(quantity, Via::Column, &at)) } else { What::Untold }
    }

    /// The quantity that a heading names; a circumstance of another kind than readings is no reading.
    fn by_heading(&self, heading: &Heading, via: Via, amount: &Amount, line: &Line) -> Option<What> {
        if heading.statistic.is_some() {
            return Some(What::Other);
        }
        // "Ohm, bridge, winding 24 °C" tells how warm it was and names no temperatures.
        let tells_warmth = crate::support::tells_warmth(self.view, heading);
        let concepts: Vec<_> =
            heading.concepts.iter().filter(|(concept, ..)| !(tells_warmth && is_temperature(*concept))).collect();
        let (.., best, _) = concepts.first()?;
        // "IP" is a polarization index as often as a degree of protection.
        let in_unit = |concept: Concept| {
            let units = heading.units.iter().flat_map(|by| &by.value.0);
            let dimension = fit::quantity(concept).map(Quantity::dimension);
            units.filter(|meaning| meaning.weight >= 0.9).any(|meaning| Some(meaning.unit.dimension) == dimension)
        };
        // "Surge, difference %": of two names that of the unit.
        let by_unit = concepts.iter().find(|(concept, weight, _)| *weight >= 0.6 && in_unit(*concept));
        let measured = by_unit.or_else(|| {
            concepts.iter().find(|(concept, weight, _)| fit::quantity(*concept).is_some() && *weight + 0.05 >= *best)
        });
        let (concept, weight, item) = measured.or(concepts.first())?;
        if let Some(quantity) = fit::quantity(*concept) {
            let quantity = difference_of_surges(quantity, amount, heading).unwrap_or(quantity);
            return Some(What::Measured(self.told(quantity, via, item)));
        }
        match concept {
            Concept::WindingTemperature | Concept::AmbientTemperature | Concept::Temperature => {
                Some(What::Circumstance(*concept))
            }
            Concept::Resistance | Concept::CorrectedResistance => {
                let units = if amount.units.is_empty() {
                    let of_line = line.unit.as_ref().map(|((units, _), _)| units.as_slice());
                    heading.units.as_ref().map(|by| by.value.0.as_slice()).or(of_line)
                } else {
                    Some(amount.units.as_slice())
                };
                match self.titled(units) {
                    What::Measured(told) if self.may_be_of_winding(told.value, amount, units) => Some(What::Untold),
                    What::Measured(told) if told.value.dimension() == Dimension::Resistance => {
                        Some(What::Measured(told))
                    }
                    _ => resistance(units.or_else(|| self.caption_units()))
                        .map(|quantity| What::Measured(self.told(quantity, via, item))),
                }
            }
            // "Test voltage | 1000 | V" in a list of parameters.
            Concept::TestVoltage if via == Via::Row && *weight >= 0.6 && is_in_volts(amount, line) => {
                Some(What::Circumstance(Concept::TestVoltage))
            }
            Concept::Circuit
            | Concept::Elapsed
            | Concept::TestVoltage
            | Concept::Tag
            | Concept::Date
            | Concept::EarlierReading
            | Concept::UnitColumn => None,
            // What has a unit of resistance was measured, whatever else its label names ("Bobinage" beside 0,846 ohm).
            other if is_measured(amount.units.as_slice(), line) && !is_figure(*other) => None,
            Concept::WindingKind if sure_units(heading).is_some() => None,
            // "DC withstand" beside 0.34 µA: what flowed while the voltage was on.
            Concept::Withstand if is_leakage(amount.units.as_slice(), line) => None,
            // A word that is short for many things puts no number aside, nor does a name over a column of readings.
            _ if *weight < 0.6 || via == Via::Column => None,
            _ => Some(What::Other),
        }
    }

    /// Whether the line or the column's header names a pair of terminals, or both ends of a phase ("R U1-U2"): in ohms or less it is the
    /// conductor that was measured between them, whatever a title says, for insulation that poor is no insulation.
    fn stands_between_terminals(&self, line: &Line, column: &Column) -> bool {
        let mut told = line.circuits.iter().chain(&column.heading.circuits);
        told.any(|by| {
            let names_ends = || windrow_text::circuit::names_both_ends(&self.view.cell(&by.item).text);
            by.value.iter().any(|meaning| match meaning.named {
                Named::Pair(..) => true,
                Named::Phase(_) => names_ends(),
                _ => false,
            })
        })
    }

    /// The quantity that the corner over the labels of lines names.
    pub(super) fn corner_quantity(&self) -> Option<(Quantity, Item)> {
        let Body::Table(table) = self.scene.blocks.get(self.block)?.body else { return None };
        let read = self.scene.tables.get(table)?;
        let labels = read.columns.iter().find(|column| column.role == Role::LineLabel)?;
        let (concept, _, item) = labels.heading.concepts.iter().find(|(_, weight, _)| *weight >= 0.6)?;
        Some((fit::quantity(*concept)?, *item))
    }

    /// "Surge comparison | U-V | V-W" over "Deviation in %": what the corner over the labels of lines names, for lines in a unit of it.
    fn by_corner(&self, units: &[UnitMeaning]) -> Option<Told<Quantity>> {
        let (quantity, item) = self.corner_quantity()?;
        let best = units.iter().max_by(|a, b| a.weight.total_cmp(&b.weight))?;
        let agrees = best.weight >= 0.8 && best.unit.dimension == quantity.dimension();
        agrees.then(|| self.told(quantity, Via::Column, &item))
    }

    /// The quantity or circumstance that the nearest title names.
    fn titled(&self, units: Option<&[UnitMeaning]>) -> What {
        // A title of two resistances settles neither.
        let both = |concepts: &[Concept]| {
            [Concept::InsulationResistance, Concept::WindingResistance].iter().all(|one| concepts.contains(one))
        };
        let of_columns = self.temperature_columns();
        let fits = |concept: Concept| {
            let dimension = match concept {
                Concept::WindingTemperature | Concept::AmbientTemperature | Concept::Temperature => {
                    Dimension::Temperature
                }
                Concept::Resistance => Dimension::Resistance,
                Concept::PolarizationIndex | Concept::AbsorptionRatio | Concept::Unbalance => Dimension::Resistance,
                other => fit::quantity(other)?.dimension(),
            };
            let agrees = units.is_none_or(|units| units.iter().any(|meaning| meaning.unit.dimension == dimension));
            agrees.then_some(concept)
        };
        let about = |caption: &Caption| {
            let tells_value = !windrow_text::prose::temperatures(&self.view.cell(&caption.item).text).is_empty();
            let mut concepts = without_columns(caption, &of_columns);
            // "Winding temperature: 24.5 °C" tells it and heads no others.
            concepts.retain(|concept| !(tells_value && is_temperature(*concept)));
            best(&concepts, &fits).filter(|concept| !self.is_remark_below(caption, *concept))
        };
        let tell = |caption: &Caption| about(caption).map(|concept| format!("{concept:?}"));
        let found = match self.scene.caption(self.block, tell) {
            Found::One(index, via) => {
                let caption = &self.scene.loose.captions[index];
                if both(&caption.concepts) && units.is_none_or(|units| resistance(Some(units)).is_none()) {
                    return What::Untold;
                }
                about(caption).map(|concept| (concept, via, Some(caption.item)))
            }
            _ => None,
        };
        let names = self.around.names;
        let named = [(&names.sheet_caption, Via::SheetName), (&names.file_caption, Via::File)].into_iter().find_map(
            |(caption, via)| {
                let concept = best(&caption.as_ref()?.concepts, &fits)?;
                Some((concept, via, None))
            },
        );
        let Some((concept, via, item)) = found.or(named) else { return What::Untold };
        let tell = |quantity: Quantity| match item {
            Some(item) => self.told(quantity, via, &item),
            None => Told::without_place(quantity, via, if via == Via::File { &names.file } else { &names.sheet }),
        };
        match fit::quantity(concept) {
            // A title that names a ratio speaks of the readings that it is computed from.
            Some(Quantity::PolarizationIndex | Quantity::AbsorptionRatio) => {
                What::Measured(tell(Quantity::InsulationResistance))
            }
            Some(Quantity::Unbalance) => What::Measured(tell(Quantity::WindingResistance)),
            Some(quantity) => What::Measured(tell(quantity)),
            None if concept == Concept::Resistance => resistance(units.or_else(|| self.caption_units()))
                .map_or(What::Untold, |quantity| What::Measured(tell(quantity))),
            None => What::Circumstance(concept),
        }
    }

    /// "Résistance inducteurs", "Field resistance": the resistance of a winding, not said to be to earth.
    fn names_winding_alone(&self, heading: &Heading) -> bool {
        let mut circuits = heading.circuits.iter().flat_map(|by| &by.value);
        let text = windrow_text::fold::fold(&heading.text(self.view));
        let is_named = match heading.concept() {
            Some(concept) => concept == Concept::Resistance,
            // "2. Resistances (Ω)" over "Armature" and "Field".
            None => self.is_titled_resistance(),
        };
        is_named
            && circuits.any(|meaning| matches!(meaning.named, Named::Special(_) | Named::OtherWinding))
            && !text.split(' ').any(windrow_text::circuit::is_earth_word)
    }

    /// Whether the nearest title that names a quantity names a resistance that it does not say to be of insulation.
    fn is_titled_resistance(&self) -> bool {
        let named = |caption: &Caption| -> Vec<Concept> {
            let is_quantity =
                |concept: &&Concept| **concept == Concept::Resistance || fit::quantity(**concept).is_some();
            caption.concepts.iter().filter(is_quantity).copied().collect()
        };
        let tell = |caption: &Caption| {
            let named = named(caption);
            (!named.is_empty()).then(|| format!("{named:?}"))
        };
        let Found::One(index, _) = self.scene.caption(self.block, tell) else { return false };
        let caption = &self.scene.loose.captions[index];
        let mut circuits = caption.heading.circuits.iter().flat_map(|by| &by.value);
        named(caption).iter().all(|concept| *concept == Concept::Resistance)
            && !circuits.any(|meaning| matches!(meaning.named, Named::ToEarth | Named::All | Named::PhaseToEarth(_)))
    }

    /// The temperatures that columns of the block's own table tell.
    fn temperature_columns(&self) -> Vec<Concept> {
        let Body::Table(table) = self.scene.blocks[self.block].body else { return Vec::new() };
        let columns = self.scene.tables[table].columns.iter();
        let told = columns.filter_map(|column| match column.role {
            Role::Field(concept) if column.group().is_none() => Some(concept),
            _ => None,
        });
        told.filter(|concept| is_temperature(*concept)).collect()
    }

    /// Units of resistance that the nearest title tells, unless it tells those of insulation and of a conductor.
    pub(super) fn caption_units(&self) -> Option<&[UnitMeaning]> {
        let resistive =
            |units: &[UnitMeaning]| units.iter().any(|meaning| meaning.unit.dimension == Dimension::Resistance);
        let tell = |caption: &crate::loose::Caption| {
            caption.units.iter().find(|(units, _)| resistive(units)).map(|(_, text)| text.clone())
        };
        let Found::One(index, _) = self.scene.caption(self.block, tell) else {
            let pairs =
                self.scene.loose.pairs.iter().filter(|pair| pair.heading.concept() == Some(Concept::UnitColumn));
            let mut units = pairs.map(|pair| self.view.sense(&pair.value).label.units.as_slice());
            return units.find(|units| resistive(units));
        };
        let units = &self.scene.loose.captions[index].units;
        let mut resistive = units.iter().map(|(units, _)| units.as_slice()).filter(|units| resistive(units));
        let first = resistive.next()?;
        resistive.all(|other| resistance(Some(other)) == resistance(Some(first))).then_some(first)
    }

    /// What a unit alone makes a number: megohms are of insulation, milliohms of a conductor.
    fn by_unit(&self, units: Option<&[UnitMeaning]>, item: &Item, line: &Line, column: &Column) -> What {
        let Some(best) = units.and_then(|units| units.iter().max_by(|a, b| a.weight.total_cmp(&b.weight))) else {
            return What::Untold;
        };
        let at = column.heading.units.as_ref().map_or(*item, |units| units.item);
        let quantity = match best.unit.dimension {
            Dimension::Resistance => match resistance(units) {
                Some(Quantity::WindingResistance) if is_to_earth(line, column) => None,
                None if self.tests_conductor(line) && !is_to_earth(line, column) => Some(Quantity::WindingResistance),
                other => other,
            },
            Dimension::Current => Some(Quantity::LeakageCurrent),
            // "U to V, kV" under a title on surges alone.
            Dimension::Voltage if self.stands_between_terminals(line, column) && self.title_of_surges().is_some() => {
                Some(Quantity::SurgePeakVoltage)
            }
            Dimension::Ratio if self.is_share_of_surges(line, column) => Some(Quantity::SurgeDifference),
            Dimension::Capacitance => Some(Quantity::Capacitance),
            Dimension::Charge => Some(Quantity::PdMagnitude),
            Dimension::Inductance => Some(Quantity::Inductance),
            // "P-1 | BRG DE | 46.5 | °C": of what part is said in words that nothing explains.
            Dimension::Temperature if self.has_unread_words(item) => return What::Other,
            Dimension::Temperature => return What::Circumstance(Concept::Temperature),
            _ => None,
        };
        quantity.map_or(What::Untold, |quantity| What::Measured(self.told(quantity, Via::Column, &at)))
    }

    /// "Phase winding at 22 °C" under "Test": the line says that the winding itself was measured, and not against what.
    fn tests_conductor(&self, line: &Line) -> bool {
        let is_test = |(concept, item): &&(Concept, Item)| *concept == Concept::TestKind && item.row == line.row;
        line.fields.iter().filter(is_test).any(|(_, item)| {
            let label = &self.view.sense(item).label;
            let folded = windrow_text::fold::fold(&self.view.cell(item).text);
            let mut words = folded.split(' ');
            words.clone().any(windrow_text::said::names_winding)
                && !words.any(windrow_text::circuit::is_earth_word)
                && label.voltage_v.is_none()
                && label.elapsed_s.is_none()
                && label.concepts.iter().all(|(concept, _)| fit::quantity(*concept).is_none())
        })
    }

    /// Whether a cell of the line stands in a column that is not understood and holds words.
    fn has_unread_words(&self, item: &Item) -> bool {
        let Body::Table(table) = self.scene.blocks[self.block].body else { return false };
        let columns = &self.scene.tables[table].columns;
        let is_unknown =
            |other: &Item| columns.iter().any(|column| column.column == other.column && column.role == Role::Unknown);
        let line = self.view.line(self.view.line_at(item.row));
        line.iter().any(|other| other.row == item.row && self.view.sense(other).kind == Kind::Text && is_unknown(other))
    }
}

/// The best unit that the cell of a number tells, or its line where the cell tells none.
pub(super) fn told_unit<'u>(own: &'u [UnitMeaning], line: &'u Line) -> Option<&'u UnitMeaning> {
    let of_line = line.unit.as_ref().map_or(&[][..], |((units, _), _)| units.as_slice());
    let units = if own.is_empty() { of_line } else { own };
    units.iter().max_by(|a, b| a.weight.total_cmp(&b.weight))
}

/// Whether the cell or its line tells a unit that only measured values have.
fn is_measured(own: &[UnitMeaning], line: &Line) -> bool {
    told_unit(own, line).is_some_and(|best| {
        let dimension = best.unit.dimension;
        best.weight >= 0.9 && matches!(dimension, Dimension::Resistance | Dimension::Inductance | Dimension::Charge)
    })
}

/// Whether the cell or its line tells a current far below that of any nameplate.
fn is_leakage(own: &[UnitMeaning], line: &Line) -> bool {
    told_unit(own, line).is_some_and(|best| {
        best.weight >= 0.9 && best.unit.dimension == Dimension::Current && best.unit.factor < Unit::AMPERE.factor
    })
}

/// Whether the cell or its line says that a number is in volts.
fn is_in_volts(amount: &Amount, line: &Line) -> bool {
    told_unit(&amount.units, line).is_some_and(|best| best.unit.dimension == Dimension::Voltage)
}

/// "Surge test, greatest difference between phases | 2.4 %": of a test that is named by its peak a percentage is the difference.
fn difference_of_surges(quantity: Quantity, amount: &Amount, heading: &Heading) -> Option<Quantity> {
    let in_percent = heading.units.as_ref().is_some_and(|by| by.value.1.trim() == "%");
    let is_share = amount.unit_text.trim() == "%" || amount.units.is_empty() && in_percent;
    let names_difference = heading.has(Concept::SurgeDifference) || heading.has(Concept::Unbalance);
    (is_of_surges(quantity) && is_share && names_difference).then_some(Quantity::SurgeDifference)
}

/// Whether a quantity is that of a surge test.
pub(super) const fn is_of_surges(quantity: Quantity) -> bool {
    matches!(quantity, Quantity::SurgePeakVoltage | Quantity::SurgeDifference | Quantity::SurgeInceptionVoltage)
}

/// Whether a concept is a figure of another kind, set or computed by the source.
const fn is_figure(concept: Concept) -> bool {
    matches!(concept, Concept::Limit | Concept::CorrectionFactor | Concept::OtherFigure | Concept::OtherPlate)
}

/// Whether the units of a heading are those of an axis.
fn counts(heading: &Heading) -> bool {
    let mut units = heading.units.iter().flat_map(|by| &by.value.0);
    units.all(|meaning| matches!(meaning.unit.dimension, Dimension::Time | Dimension::Voltage))
}

/// Whether the line or the column's header names a circuit to earth.
fn is_to_earth(line: &Line, column: &Column) -> bool {
    let mut circuits = line.circuits.iter().chain(&column.heading.circuits).flat_map(|by| &by.value);
    circuits.any(|meaning| matches!(meaning.named, Named::PhaseToEarth(_) | Named::All | Named::ToEarth))
}

/// Whether a number is in ohms or less, by its cell, its line, its column or the title.
fn is_in_ohms<'u>(
    amount: &Amount,
    line: &Line,
    column: &Column,
    by_title: impl FnOnce() -> Option<&'u [UnitMeaning]>,
) -> bool {
    let of_line = line.unit.as_ref().map(|(unit, _)| unit.0.as_slice());
    let headed = || [line.label.as_ref(), Some(&column.heading)].into_iter().flatten();
    let told = || of_line.or_else(|| headed().find_map(|heading| Some(heading.units.as_ref()?.value.0.as_slice())));
    let titled = if amount.units.is_empty() && told().is_none() { by_title().unwrap_or_default() } else { &[] };
    let units = if amount.units.is_empty() { told().unwrap_or(titled) } else { amount.units.as_slice() };
    let best = units.iter().max_by(|a, b| a.weight.total_cmp(&b.weight)).map(|meaning| meaning.unit);
    best.is_some_and(|unit| unit.dimension == Dimension::Resistance && unit.factor <= Unit::OHM.factor)
}

pub(super) const fn is_temperature(concept: Concept) -> bool {
    matches!(concept, Concept::WindingTemperature | Concept::AmbientTemperature | Concept::Temperature)
}

/// What a title names, without the temperature of a column: "winding temperature: see column Tw" speaks of that column, "winding
/// temperatures in °C" of the numbers below.
fn without_columns(caption: &Caption, of_columns: &[Concept]) -> Vec<Concept> {
    let mut units = caption.units.iter().flat_map(|(units, _)| units);
    let tells_degrees = units.any(|meaning| meaning.unit.dimension == Dimension::Temperature);
    let is_own = |concept: &&Concept| tells_degrees || !of_columns.contains(concept);
    caption.concepts.iter().filter(is_own).copied().collect()
}

/// The concept that a title is about, among those that fit: a measured quantity before a circumstance.
fn best(concepts: &[Concept], fits: &dyn Fn(Concept) -> Option<Concept>) -> Option<Concept> {
    let fitting = || concepts.iter().filter_map(|concept| fits(*concept));
    fitting().find(|concept| fit::quantity(*concept).is_some()).or_else(|| fitting().next())
}

/// Which resistance a unit of resistance speaks of: kilohms and more of insulation, milliohms and less of a conductor. Whole
/// ohms may be either.
pub(super) fn resistance(units: Option<&[UnitMeaning]>) -> Option<Quantity> {
    let best = units?
        .iter()
        .filter(|meaning| meaning.unit.dimension == Dimension::Resistance)
        .max_by(|a, b| a.weight.total_cmp(&b.weight))?;
    if best.unit.factor > Unit::OHM.factor {
        Some(Quantity::InsulationResistance)
    } else if best.unit.factor < Unit::OHM.factor {
        Some(Quantity::WindingResistance)
    } else {
        None
    }
}

/// Whether units can only be those of a resistance.
fn is_resistive(units: &[UnitMeaning]) -> bool {
    !units.is_empty() && units.iter().all(|meaning| meaning.unit.dimension == Dimension::Resistance)
}

/// The units of a heading where they can only be those of an electrical quantity.
fn sure_units(heading: &Heading) -> Option<&[UnitMeaning]> {
    let units = heading.units.as_ref()?.value.0.as_slice();
    let is_sure = units.first().is_some_and(|best| {
        let is_measured = matches!(
            best.unit.dimension,
            Dimension::Resistance
                | Dimension::Current
                | Dimension::Capacitance
                | Dimension::Charge
                | Dimension::Inductance
        );
        is_measured && !best.colloquial && best.weight >= 0.9
    });
    is_sure.then_some(units)
}
