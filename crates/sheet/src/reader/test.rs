//! Readings grouped into tests: same machine, date, stage and kind within a block.

use super::date::When;
use super::line::Line;
use std::collections::BTreeSet;
use windrow_model::kind::TemperatureBasis;
use windrow_model::raw::{Mention, PlateValue, RawReading, RawTest, Told, Via};
use windrow_model::{Bound, Flag, Place, Precision, Quantity, Reported, TestKind, Text};
use windrow_text::vocabulary::Concept;
use windrow_text::{naming, tag};

/// A reading with the cell that it stands in.
#[derive(Debug, Clone)]
pub struct Pending {
    /// The reading.
    pub reading: RawReading,
    /// Index of its cell.
    pub cell: u32,
    /// Whether the source says that it is computed.
    pub computed: bool,
    /// Row of the view.
    pub row: u32,
}

/// A test being put together.
#[derive(Debug, Clone)]
pub struct Group {
    /// Block it stands in.
    pub block: usize,
    /// The test; its readings are filled in at the end.
    pub test: RawTest,
    /// Readings in the order of the source.
    pub pending: Vec<Pending>,
    /// Machine, folded, for joins.
    pub machine_key: String,
    /// When, for joins.
    pub when_key: String,
    /// Whether a reading beside these waits for an answer, so that a ratio may well have been computed from it.
    pub lacks_some: bool,
    /// What a direct voltage with several levels makes of the test.
    pub raised: TestKind,
    /// Whether it is told how fast the voltage was raised.
    pub has_rate: bool,
    /// Places and words of the remarks: a log of the whole day may have one at each of its lines.
    pub(super) remarked: BTreeSet<(Option<Place>, Text)>,
    /// Cells that told fields of the test, with the column they became.
    pub fields: Vec<(Concept, u32)>,
}

impl Group {
    /// A group for a line's circumstances.
    pub(super) fn new(block: usize, line: &Line, kind: TestKind, place: windrow_model::Place) -> Self {
        let performed = match &line.when {
            When::Known(date) => Some(date.clone()),
            When::Open(common, _) => common.clone(),
            When::Untold | When::Unclear(_) => None,
        };
        let test =
            RawTest { performed, stage: line.stage.clone(), ..RawTest::blank(line.machine.clone(), kind, place) };
        Self {
            block,
            test,
            pending: Vec::new(),
            machine_key: machine_key(line),
            when_key: when_key(line),
            lacks_some: false,
            raised: TestKind::DcStep,
            has_rate: false,
            remarked: BTreeSet::new(),
            fields: Vec::new(),
        }
    }

    /// Takes over what a further line tells.
    pub(super) fn absorb(&mut self, line: &Line) {
        fn first<T: Clone>(slot: &mut Option<T>, value: Option<&T>) {
            if slot.is_none() {
                *slot = value.cloned();
            }
        }
        self.has_rate |= line.rate.is_some();
        let test = &mut self.test;
        first(&mut test.ambient_temperature_c, line.ambient.as_ref());
        first(&mut test.relative_humidity_pct, line.humidity.as_ref());
        first(&mut test.dew_point_c, line.dew_point.as_ref());
        first(&mut test.instrument, line.instrument.as_ref());
        first(&mut test.tester, line.tester.as_ref());
        first(&mut test.work_order, line.work_order.as_ref());
        first(&mut test.reported_outcome, line.outcome.as_ref());
        first(&mut test.machine.site, line.machine.site.as_ref());
        for remark in &line.remarks {
            if self.remarked.insert((remark.place.clone(), remark.value.clone())) {
                test.remarks.push(remark.clone());
            }
        }
        if let Some(told) = line.winding.clone() {
            self.set_temperature(Concept::WindingTemperature, told);
        } else if let Some(told) = line.some_temperature.clone() {
            self.set_temperature(Concept::Temperature, told);
        }
        self.fields.extend(line.fields.iter().map(|(concept, item)| (*concept, item.cell)));
    }

    /// Sets a temperature unless one is set; an unqualified one is the winding's beside a winding resistance, and assumed to
    /// be elsewhere.
    pub fn set_temperature(&mut self, concept: Concept, told: Told<f64>) {
        let test = &mut self.test;
        if concept == Concept::AmbientTemperature {
            test.ambient_temperature_c.get_or_insert(told);
            return;
        }
        if test.winding_temperature_c.is_some() {
            return;
        }
        let sure = concept == Concept::WindingTemperature || test.kind == TestKind::WindingResistance;
        test.winding_temperature_c = Some(told);
        test.winding_temperature_basis = if sure { TemperatureBasis::Measured } else { TemperatureBasis::Assumed };
        if !sure {
            test.flags.push(Flag::TemperatureAssumed);
        }
    }

    /// Sets the voltage of the readings of insulation that tell none.
    pub fn set_voltage(&mut self, told: &Told<f64>) {
        let is_open = |reading: &RawReading| {
            matches!(reading.quantity.value, Quantity::InsulationResistance | Quantity::LeakageCurrent)
                && reading.applied_voltage_v.is_none()
        };
        for pending in self.pending.iter_mut().filter(|pending| is_open(&pending.reading)) {
            pending.reading.applied_voltage_v = Some(told.clone());
        }
    }

    /// The finished test and the cell of each of its readings and derived values.
    #[must_use]
    pub fn finish(mut self) -> (RawTest, Vec<u32>, Vec<u32>) {
        let currents: Vec<usize> = (0..self.pending.len()).filter(|index| self.is_exact_current(*index)).collect();
        let derived: Vec<bool> = (0..self.pending.len()).map(|index| self.is_derived(index, &currents)).collect();
        let (mut cells, mut derived_cells) = (Vec::new(), Vec::new());
        for (pending, derived) in std::mem::take(&mut self.pending).into_iter().zip(derived) {
            if derived {
                self.test.derived.push(pending.reading);
                derived_cells.push(pending.cell);
            } else {
                self.test.readings.push(pending.reading);
                cells.push(pending.cell);
            }
        }
        self.settle_surge();
        self.settle_voltage();
        (self.test, cells, derived_cells)
    }

    /// A difference of surge responses was seen at the peak voltage of the same circuit.
    fn settle_surge(&mut self) {
        let peaks: Vec<(Option<windrow_model::Circuit>, Told<f64>)> = self
            .test
            .readings
            .iter()
            .filter(|reading| reading.quantity.value == Quantity::SurgePeakVoltage)
            .map(|reading| {
                let volts = reading.unit.value.to_stored(reading.number);
                let told =
                    Told::at(volts, windrow_model::raw::Via::Row, reading.raw_text.clone(), reading.place.clone());
                (reading.circuit.as_ref().map(|told| told.value), told)
            })
            .collect();
        for reading in &mut self.test.readings {
            // A level that a title tells is what was meant, the peak what was applied.
            let is_own = reading.applied_voltage_v.as_ref().is_some_and(|told| {
                use windrow_model::raw::Via;
                matches!(told.via, Via::Cell | Via::Row | Via::Column | Via::Decision)
            });
            if reading.quantity.value == Quantity::SurgeDifference && !is_own {
                let circuit = reading.circuit.as_ref().map(|told| told.value);
                let mut same = peaks.iter().filter(|(of, _)| *of == circuit);
                // One peak for the differences of all pairs in its line.
                let mut beside = peaks.iter().filter(|(of, told)| {
                    of.is_none() && told.place.as_ref().is_some_and(|place| line_of(place) == line_of(&reading.place))
                });
                let of_pair = (same.next(), same.next());
                let of_line = (beside.next(), beside.next());
                if let (Some((_, volts)), None) = if of_pair.0.is_some() { of_pair } else { of_line } {
                    reading.applied_voltage_v = Some(volts.clone());
                }
            }
        }
    }

    /// The nominal voltage of the test: the one that all its readings share.
    fn settle_voltage(&mut self) {
        let mut voltages = self.test.readings.iter().map(|reading| reading.applied_voltage_v.clone());
        let first = voltages.next().flatten();
        if let Some(first) = first
            && voltages.all(|told| told.is_some_and(|told| (told.value - first.value).abs() < 1e-9))
            && !matches!(self.test.kind, TestKind::Surge)
        {
            self.test.test_voltage_v = Some(first);
        }
        if self.test.kind == TestKind::DcWithstand {
            let mut volts: Vec<u64> = Vec::new();
            for told in self.test.readings.iter().filter_map(|reading| reading.applied_voltage_v.as_ref()) {
                volts.push(told.value.to_bits());
            }
            volts.sort_unstable();
            volts.dedup();
            // One current of a ramp is read at its end.
            if volts.len() > 1 || self.has_rate && self.raised == TestKind::DcRamp {
                self.test.kind = self.raised;
            }
        }
    }

    fn is_exact_current(&self, index: usize) -> bool {
        let reading = &self.pending[index].reading;
        reading.quantity.value == Quantity::LeakageCurrent && reading.bound == Bound::Exact
    }

    /// Whether a value is computed from others of the same test, whose exact currents are `currents`.
    fn is_derived(&self, index: usize, currents: &[usize]) -> bool {
        let this = &self.pending[index];
        let reading = &this.reading;
        let others =
            || self.pending.iter().enumerate().filter(|(other, _)| *other != index).map(|(_, other)| &other.reading);
        let timed = |seconds: f64| {
            others().any(|other| {
                other.quantity.value == Quantity::InsulationResistance
                    && other.elapsed_s.as_ref().is_some_and(|told| (told.value - seconds).abs() < 0.5)
            })
        };
        if this.computed {
            return true;
        }
        match reading.quantity.value {
            Quantity::PolarizationIndex => timed(600.0) && timed(60.0) || self.lacks_some,
            Quantity::AbsorptionRatio => timed(60.0) && (timed(30.0) || timed(15.0)) || self.lacks_some,
            Quantity::Unbalance => {
                others().filter(|other| other.quantity.value == Quantity::WindingResistance).count() >= 2
            }
            Quantity::InsulationResistance | Quantity::WindingResistance => {
                self.is_corrected_copy(index) || self.is_ohms_law(this, currents)
            }
            _ => false,
        }
    }

    /// A corrected value beside the one it comes from.
    fn is_corrected_copy(&self, index: usize) -> bool {
        let this = &self.pending[index];
        this.reading.as_reported == Reported::Corrected
            && self.pending.iter().any(|other| {
                let raw = &other.reading;
                let (time, own) = (raw.elapsed_s.as_ref(), this.reading.elapsed_s.as_ref());
                // "R at 40 °C" below the readings of ten minutes: of one of them, whether or not it says which.
                // A conductor has no time: "converted to 75 °C" stands below what was measured.
                let has_time = time.is_some() || raw.quantity.value == Quantity::WindingResistance;
                let is_below = has_time && (own.is_none() || same(time, own));
                let is_its = if other.row == this.row { same(time, own) } else { is_below };
                is_its
                    && raw.as_reported == Reported::AsRead
                    && raw.quantity.value == this.reading.quantity.value
                    && same(raw.circuit.as_ref(), this.reading.circuit.as_ref())
            })
    }

    /// Resistance beside the leakage current and voltage that it was computed from: within 5 %, rounding included. The current of its
    /// own line is asked first, for a log may have tens of thousands.
    fn is_ohms_law(&self, this: &Pending, currents: &[usize]) -> bool {
        let reading = &this.reading;
        let gives = |current: &RawReading| {
            let Some(volts) = current.applied_voltage_v.as_ref().or(reading.applied_voltage_v.as_ref()) else {
                return false;
            };
            let amperes = current.unit.value.to_stored(current.number);
            let ohms = reading.unit.value.to_stored(reading.number);
            amperes > 0.0 && ohms > 0.0 && ((volts.value / amperes) / ohms - 1.0).abs() < 0.05
        };
        let own = currents.partition_point(|index| self.pending[*index].row < this.row);
        let own =
            currents.get(own..).unwrap_or_default().iter().take_while(|index| self.pending[**index].row == this.row);
        let mut from_here = own.chain(currents).map(|index| &self.pending[*index].reading);
        from_here.any(gives)
    }
}

/// Whether a quantity is one of the insulation: measured to earth, or between phases where that is said.
pub(super) const fn is_of_insulation(quantity: Quantity) -> bool {
    matches!(
        quantity,
        Quantity::InsulationResistance
            | Quantity::LeakageCurrent
            | Quantity::Capacitance
            | Quantity::DissipationFactor
            | Quantity::PolarizationIndex
            | Quantity::AbsorptionRatio
    )
}

fn same<T: PartialEq>(a: Option<&Told<T>>, b: Option<&Told<T>>) -> bool {
    a.map(|told| &told.value) == b.map(|told| &told.value)
}

/// Kind of test that a quantity belongs to.
pub(super) const fn kind_of(quantity: Quantity) -> Option<TestKind> {
    Some(match quantity {
        Quantity::InsulationResistance | Quantity::PolarizationIndex | Quantity::AbsorptionRatio => {
            TestKind::InsulationResistance
        }
        Quantity::LeakageCurrent => TestKind::DcWithstand,
        Quantity::WindingResistance | Quantity::Unbalance => TestKind::WindingResistance,
        Quantity::Capacitance | Quantity::DissipationFactor => TestKind::DissipationFactor,
        Quantity::PdMagnitude | Quantity::PdInceptionVoltage | Quantity::PdExtinctionVoltage => {
            TestKind::PartialDischarge
        }
        Quantity::SurgePeakVoltage | Quantity::SurgeInceptionVoltage | Quantity::SurgeDifference => TestKind::Surge,
        Quantity::Inductance => TestKind::Inductance,
        Quantity::Voltage | Quantity::Temperature | Quantity::Time => return None,
    })
}

/// What makes two mentions of a block one machine.
pub(super) fn machine_key(line: &Line) -> String {
    let machine = &line.machine;
    let part = |told: &Option<Told<Text>>| told.as_ref().map(|told| tag::fold(&told.value)).unwrap_or_default();
    let tag = part(&machine.tag);
    // "SPARE" in two cells is two machines for all that one knows; in one cell that holds on, it is one.
    if let (Some(told), Some(cell)) = (&machine.tag, line.origin.0)
        && told.via == Via::Row
        && naming::is_nobody(&told.value)
    {
        return format!("{tag} in cell {cell} {}", part(&machine.serial));
    }
    if tag.is_empty() { part(&machine.serial) } else { tag }
}

/// Whether a line tells another serial number or nameplate than a test does, so that it is of another machine of that tag.
pub(super) fn contradicts(told: &Mention, line: &Mention) -> bool {
    let serial = |mention: &Mention| mention.serial.as_ref().map(|told| tag::fold(&told.value));
    let other_serial = matches!((serial(told), serial(line)), (Some(one), Some(other)) if one != other);
    let other_plate = line.plate.iter().any(|(field, value)| {
        let is_other = |own: &PlateValue| matches!((own, &value.value), (PlateValue::Number(a), PlateValue::Number(b)) if (a - b).abs() > 0.05 * a.abs().max(b.abs()));
        told.plate.iter().any(|(known, own)| known == field && is_other(&own.value))
    });
    other_serial || other_plate
}

/// What sets apart the tests of machines that share a tag: all that a line tells of its machine.
pub(super) fn machine_details(line: &Mention) -> String {
    let serial = line.serial.as_ref().map(|told| tag::fold(&told.value)).unwrap_or_default();
    let plate: Vec<String> = line.plate.iter().map(|(field, told)| format!("{field}={:?}", told.value)).collect();
    format!("{serial} {}", plate.join(" "))
}

/// What makes two mentions of a date one: the day, or the cell whose day is open. Two rounds of a year or day are two.
pub(super) fn when_key(line: &Line) -> String {
    let when = day_key(line);
    match &line.round {
        Some(round) => format!("{when} round {round}"),
        None => when,
    }
}

fn day_key(line: &Line) -> String {
    match &line.when {
        When::Untold => "-".to_owned(),
        // Two rounds of a year are two tests, though no more than the year is known of them.
        When::Known(date) if date.value.precision == Precision::Year => {
            let season = windrow_text::date::named_season(&date.text);
            season.map_or_else(|| date.value.to_string(), |season| format!("{} season {season}", date.value))
        }
        When::Known(date) => date.value.to_string(),
        When::Open(_, item) | When::Unclear(item) => format!("cell {}", item.cell),
    }
}

/// What makes two readings of a block one test.
pub(super) fn test_key(block: usize, line: &Line, kind: TestKind) -> String {
    let when = when_key(line);
    let machine = machine_key(line);
    let site = line.machine.site.as_ref().map(|site| site.value.as_str()).unwrap_or_default();
    let winding = line.winding.as_ref().or(line.some_temperature.as_ref()).map(|told| told.value.to_bits());
    // Without a machine or a date nothing says that two lines are one test.
    let alone = if machine.is_empty() || when == "-" { line.row } else { 0 };
    let stage = line.stage.as_ref().map(|stage| stage.value.code());
    format!("{block}|{machine}|{site}|{when}|{kind:?}|{stage:?}|{winding:?}|{alone}")
}

/// The sheet and line of a place ("5" of "C5", "12" of "12:18").
pub(super) fn line_of(place: &windrow_model::Place) -> (Option<&str>, &str) {
    let cell = place.cell.as_str();
    let line = cell.split_once(':').map_or_else(|| cell.trim_start_matches(char::is_alphabetic), |(line, _)| line);
    (place.sheet.as_deref(), line)
}
