//! Who writes a record out: words, values and truths at hand.

use crate::layouts::habits::{DateStyle, Habits};
use crate::layouts::page::{At, Cell, Page};
use crate::layouts::study::{Dim, Measure, Point, Study};
use crate::score::truth::{NotReading, True};
use windrow_dice::Dice;

/// A hand with what it has to write down.
#[derive(Debug)]
pub(in crate::layouts) struct Scribe<'s> {
    pub(in crate::layouts) study: &'s Study,
    pub(in crate::layouts) habits: &'s Habits,
}

/// What is told of a test as a whole.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Told {
    pub(super) machine: usize,
    pub(super) date: usize,
    pub(super) volts: Option<f64>,
    pub(super) celsius: Option<f64>,
    pub(super) seconds: Option<f64>,
    pub(super) circuit: Option<&'static str>,
}

impl Scribe<'_> {
    pub(super) fn word(&self, thing: &str) -> String {
        self.habits.word(thing)
    }

    /// One of the words for a thing that the hand does not keep to.
    pub(super) fn any(&self, thing: &str, dice: &mut Dice) -> String {
        self.habits.words.pick(thing, dice)
    }

    pub(super) fn measure(&self, at: usize) -> Measure {
        self.study.measures[at]
    }

    /// Unit of a measure, as written.
    pub(super) fn unit(&self, at: usize) -> &'static str {
        self.measure(at).unit.0
    }

    /// A heading or label with the unit of a measure.
    pub(super) fn with_unit(&self, heading: &str, at: usize) -> String {
        self.habits.with_unit(heading, self.unit(at))
    }

    pub(super) fn tag(&self, machine: usize) -> Cell {
        Cell::text(&self.study.machines[machine].tag)
    }

    pub(super) fn date(&self, date: usize) -> Cell {
        self.habits.date(self.study.dates[date])
    }

    pub(super) fn label(&self, thing: &str) -> Cell {
        Cell::text(format!("{}{}", self.word(thing), self.habits.colon))
    }

    pub(super) fn whole(number: u32) -> Cell {
        Cell::number(f64::from(number), number.to_string())
    }

    /// A number of this hand.
    pub(super) fn number(&self, number: f64, digits: i32) -> Cell {
        let (number, shown) = self.habits.rounded(number, digits);
        Cell::number(number, shown)
    }

    /// Voltage with its unit beside, as this hand writes it.
    pub(super) fn volts(&self, volts: f64) -> (Cell, &'static str) {
        let (number, unit) = self.habits.volts(volts);
        (Cell::number(number, self.habits.marked(&number.to_string())), unit)
    }

    /// Some tests: machine and date.
    pub(super) fn tests(&self, part: f64, dice: &mut Dice) -> Vec<(usize, usize)> {
        let all = (0..self.study.machines.len()).flat_map(|m| (0..self.study.dates.len()).map(move |d| (m, d)));
        let mut tests: Vec<(usize, usize)> = all.filter(|_| dice.chance(part)).collect();
        if tests.is_empty() {
            tests.push((0, 0));
        }
        if dice.chance(0.5) {
            tests.sort_by_key(|test| test.1);
        }
        tests
    }

    /// The value at a point, as a number in its unit.
    pub(super) fn value(&self, told: Told, dims: &[(Dim, usize)], measure: usize) -> f64 {
        let point =
            Point::default().with(Dim::Machine, told.machine).with(Dim::Date, told.date).with(Dim::Measure, measure);
        let point = dims.iter().fold(point, |point, (dim, at)| point.with(*dim, *at));
        self.study.value(point) / self.measure(measure).unit.1
    }

    /// Writes a reading of a value in its unit.
    pub(super) fn reading(&self, page: &mut Page, at: At, told: Told, measure: usize, value: f64) -> f64 {
        let (number, shown) = self.habits.rounded(value, self.measure(measure).digits());
        self.put(page, at, told, measure, (number, Cell::number(number, shown)));
        number
    }

    /// Writes a cell that is a reading of `number` in the measure's unit.
    pub(super) fn put(&self, page: &mut Page, at: At, told: Told, measure: usize, (number, cell): (f64, Cell)) {
        let truth = self.truth(told, measure, number * self.measure(measure).unit.1);
        page.put(at, cell);
        page.truths.push((at, truth));
    }

    pub(super) fn truth(&self, told: Told, measure: usize, value: f64) -> True {
        let (study, quantity) = (self.study, self.measure(measure).quantity);
        let untold = [
            (told.seconds.is_none(), "elapsed_s"),
            (told.celsius.is_none(), "winding_temperature_c"),
            (told.volts.is_none(), "applied_voltage_v"),
        ];
        let date = study.dates[told.date];
        let precision = self.habits.dates.precision();
        True {
            asset: Some(format!("{} {}", study.site, study.machines[told.machine].tag)),
            tag: Some(study.machines[told.machine].tag.clone()),
            kind: Some(self.measure(measure).kind(false).to_owned()),
            performed_on: Some(if self.habits.dates == DateStyle::Year {
                format!("{}-01-01", date.year())
            } else {
                date.to_string()
            }),
            precision: Some(precision.to_owned()),
            quantity: quantity.to_owned(),
            circuit: told.circuit.map(str::to_owned),
            elapsed_s: told.seconds,
            applied_voltage_v: told.volts,
            value: Some(value),
            bound: Some("exact".to_owned()),
            as_reported: Some("as_read".to_owned()),
            winding_temperature_c: told.celsius,
            expect: "value".to_owned(),
            must_be_unknown: untold
                .into_iter()
                .filter(|(untold, _)| *untold)
                .map(|(_, field)| field.to_owned())
                .collect(),
            ..True::default()
        }
    }

    /// A number that is computed or a limit.
    pub(super) fn derived(&self, page: &mut Page, at: At, why: &str, value: f64, digits: i32) {
        page.put(at, self.number(value, digits));
        page.not_readings.push((at, NotReading::derived(why)));
    }

    /// Temperature of the winding in this hand's unit, and what it is in degrees Celsius.
    pub(super) fn degrees(&self, told: Told) -> (u32, f64) {
        let point = Point::default().with(Dim::Machine, told.machine).with(Dim::Date, told.date);
        self.habits.degrees(self.study.celsius(point))
    }

    /// Names and codes of the three phases to earth; the names say so.
    pub(super) fn phases(&self) -> [(&'static str, String); 3] {
        [0, 1, 2].map(|at| self.study.circuits[at].clone())
    }

    /// Names and codes of the three pairs.
    pub(super) fn pairs(&self) -> [(&'static str, String); 3] {
        [3, 4, 5].map(|at| self.study.circuits[at].clone())
    }
}
