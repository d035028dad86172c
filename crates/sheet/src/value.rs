//! A cell read as one or more values, with everything that the cell itself tells of them.

use crate::format_unit;
use crate::sense::{Kind, Sense};
use windrow_model::{Bound, Dimension, Step, Unit};
use windrow_source::{Cell, Content};
use windrow_text::measure::{Condition, Measure};
use windrow_text::number::{Mark, NumberMeaning};
use windrow_text::unit::{self, UnitMeaning};

/// One value of a cell.
#[derive(Debug, Clone)]
pub struct Amount {
    /// Ways to read the number, never empty.
    pub numbers: Vec<NumberMeaning>,
    /// How it bounds the true value.
    pub bound: Bound,
    /// Units told by the cell.
    pub units: Vec<UnitMeaning>,
    /// The unit as written.
    pub unit_text: String,
    /// Whether the number format told the unit.
    pub unit_by_format: bool,
    /// Divisor that the number format shows the stored number at.
    pub divisor: f64,
    /// A short label inside the cell ("A 850").
    pub label: String,
    /// Conditions told inside the cell.
    pub conditions: Vec<Condition>,
    /// Whether the cell marks it as approximate ("~450", "ca. 450").
    pub is_approximate: bool,
}

/// All values of a cell.
#[derive(Debug, Clone)]
pub struct Amounts {
    /// The values in order.
    pub parts: Vec<Amount>,
    /// Whether they are the ends of a range.
    pub range: bool,
    /// Whether the digits are unsure.
    pub doubtful: bool,
    /// Footnote sign behind.
    pub footnote: Option<String>,
    /// Words behind.
    pub remark: Option<String>,
    /// What was done before the values could be read.
    pub steps: Vec<Step>,
}

/// Reads a cell as values; `None` if it holds no number.
#[must_use]
pub fn amounts(cell: &Cell, sense: &Sense) -> Option<Amounts> {
    match cell.content {
        Content::Number(value) => Some(typed(cell, value)),
        Content::Text => Some(measured(sense.measure.as_ref()?)),
        _ => None,
    }
}

/// The values of a text that was read as a measure.
#[must_use]
pub fn measured(measure: &Measure) -> Amounts {
    let parts = measure
        .parts
        .iter()
        .map(|part| Amount {
            numbers: part.numbers.clone(),
            bound: part.bound,
            units: part.units.clone(),
            unit_text: part.unit_text.clone(),
            unit_by_format: false,
            divisor: 1.0,
            label: part.label.clone(),
            conditions: part.conditions.clone(),
            is_approximate: part.approximate,
        })
        .collect();
    Amounts {
        parts,
        range: measure.range,
        doubtful: measure.doubtful,
        footnote: measure.footnote.clone(),
        remark: measure.remark.clone(),
        steps: Vec::new(),
    }
}

fn typed(cell: &Cell, value: f64) -> Amounts {
    let mut amount = Amount {
        numbers: vec![NumberMeaning { value, decimal: None, thousands: None, decimals: 0 }],
        bound: Bound::Exact,
        units: Vec::new(),
        unit_text: String::new(),
        unit_by_format: false,
        divisor: 1.0,
        label: String::new(),
        conditions: Vec::new(),
        is_approximate: false,
    };
    if let Some(code) = &cell.format {
        let shown = format_unit::read(code, value);
        let units = unit::read(&shown.unit_text, None);
        if shown.percent {
            amount.units = vec![UnitMeaning { unit: Unit::ONE, weight: 1.0, colloquial: false }];
            amount.unit_by_format = true;
        } else if !units.is_empty() {
            amount.units = units;
            amount.divisor = shown.divisor;
            amount.unit_by_format = true;
            amount.unit_text = shown.unit_text;
        }
    }
    Amounts { parts: vec![amount], range: false, doubtful: false, footnote: None, remark: None, steps: Vec::new() }
}

/// Evidence on marks between digits among cells that belong together.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub struct Marks {
    comma_decimal: u32,
    point_decimal: u32,
    open: u32,
    plain_below: u32,
    plain_above: u32,
    /// Whether the numbers are of several units, so that the sizes of some say nothing of the marks of others.
    #[serde(skip)]
    of_several: bool,
}

impl Marks {
    /// Adds a cell.
    pub fn add(&mut self, cell: &Cell, sense: &Sense) {
        if sense.kind != Kind::Number {
            return;
        }
        if let Content::Number(value) = cell.content {
            self.plain(value);
            return;
        }
        self.add_text(sense);
    }

    /// Adds a text.
    pub fn add_text(&mut self, sense: &Sense) {
        let Some(measure) = &sense.measure else { return };
        for part in &measure.parts {
            // Volts, degrees and minutes are small or round for reasons of their own.
            if part.units.first().is_some_and(|meaning| {
                matches!(
                    meaning.unit.dimension,
                    Dimension::Voltage | Dimension::Temperature | Dimension::Time | Dimension::Power
                )
            }) {
                continue;
            }
            match part.numbers.as_slice() {
                [
                    NumberMeaning { decimal: Some(Mark::Comma), .. }
                    | NumberMeaning { decimal: None, thousands: Some(Mark::Point), .. },
                ] => self.comma_decimal += 1,
                [
                    NumberMeaning { decimal: Some(Mark::Point), .. }
                    | NumberMeaning { decimal: None, thousands: Some(Mark::Comma), .. },
                ] => self.point_decimal += 1,
                [one] => self.plain(one.value),
                _ => self.open += 1,
            }
        }
    }

    /// Adds the evidence of other cells.
    pub const fn merge(&mut self, other: Self) {
        self.comma_decimal += other.comma_decimal;
        self.point_decimal += other.point_decimal;
        self.open += other.open;
        self.plain_below += other.plain_below;
        self.plain_above += other.plain_above;
    }

    const fn plain(&mut self, value: f64) {
        if value < 1000.0 {
            self.plain_below += 1;
        } else {
            self.plain_above += 1;
        }
    }

    /// The decimal mark, if these cells settle it. Plain numbers all below 1,000 beside marks in all larger ones prove a
    /// thousands mark, whatever it looks like: the answer then is by `thousands`.
    #[must_use]
    pub const fn decimal(&self) -> Option<Mark> {
        match (self.comma_decimal > 0, self.point_decimal > 0) {
            (true, false) => Some(Mark::Comma),
            (false, true) => Some(Mark::Point),
            _ => None,
        }
    }

    /// The marks of numbers of several units or quantities.
    #[must_use]
    pub const fn of_several(self) -> Self {
        Self { of_several: true, ..self }
    }

    /// Whether the numbers are of several units.
    #[must_use]
    pub const fn are_of_several(&self) -> bool {
        self.of_several
    }

    /// Whether an open mark must be a thousands mark.
    #[must_use]
    pub const fn proves_thousands(&self) -> bool {
        !self.of_several && self.open >= 3 && self.plain_below >= 3 && self.plain_above == 0
    }
}

/// The one way to read a number, in the light of the marks of its column, sheet, file and folder.
#[must_use]
pub fn choose_number<'n>(
    numbers: &'n [NumberMeaning],
    decimals: &[Option<Mark>],
    thousands: bool,
) -> Option<&'n NumberMeaning> {
    if let [one] = numbers {
        return Some(one);
    }
    let first = numbers.first()?;
    if numbers.iter().all(|number| (number.value - first.value).abs() <= f64::EPSILON * first.value.abs()) {
        return Some(first);
    }
    for decimal in decimals.iter().flatten() {
        let agrees = |number: &&NumberMeaning| match number.decimal {
            Some(mark) => mark == *decimal,
            None => number.thousands != Some(*decimal),
        };
        let mut agreeing = numbers.iter().filter(agrees);
        if let (Some(one), None) = (agreeing.next(), agreeing.next()) {
            return Some(one);
        }
    }
    if thousands { numbers.iter().find(|number| number.decimal.is_none()) } else { None }
}

/// The unit of `dimension` that is likeliest, and whether a rival is nearly as likely.
#[must_use]
pub fn unit_of(units: &[UnitMeaning], dimension: Dimension) -> Option<Unit> {
    units
        .iter()
        .filter(|meaning| meaning.unit.dimension == dimension)
        .max_by(|a, b| a.weight.total_cmp(&b.weight))
        .map(|meaning| meaning.unit)
}

/// The unit that fits a quantity: a bare "mohm" is megohms of insulation but milliohms of a conductor.
#[must_use]
pub fn unit_for(units: &[UnitMeaning], text: &str, quantity: windrow_model::Quantity) -> Option<Unit> {
    use windrow_model::Quantity;
    let dimension = quantity.dimension();
    let again = if text.is_empty() { Vec::new() } else { unit::read(text, Some(dimension)) };
    let all = if again.is_empty() { units } else { &again };
    let kept: Vec<&UnitMeaning> = all.iter().filter(|meaning| meaning.unit.dimension == dimension).collect();
    let best = kept.iter().max_by(|a, b| a.weight.total_cmp(&b.weight))?;
    let switch = |from: Unit, to: Unit| {
        (best.unit == from)
            .then(|| kept.iter().find(|meaning| meaning.unit == to))
            .flatten()
            .map(|meaning| meaning.unit)
    };
    let changed = match quantity {
        Quantity::InsulationResistance => switch(Unit::MILLIOHM, Unit::MEGOHM),
        Quantity::WindingResistance => switch(Unit::MEGOHM, Unit::MILLIOHM),
        _ => None,
    };
    Some(changed.unwrap_or(best.unit))
}
