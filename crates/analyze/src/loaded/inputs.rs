//! What the features of a machine rest on, as one hash: its plate, its tests and their readings, by content and not by the numbers that texts have
//! in one run.

use super::readings::{ReadingRow, Shape};
use super::tests::TestRow;
use super::{Id, Loaded, MachineRow, cells};
use jiff::civil::Date;
use std::ops::Range;
use windrow_fleet::UNTOLD;
use windrow_model::Text;

/// Hash of everything that is known of a machine.
pub(crate) type InputsHash = [u8; blake3::OUT_LEN];

/// Bytes that tell inputs apart: every text has its length before it, every value that may be missing a mark.
#[derive(Debug, Default)]
pub(crate) struct Inputs(Vec<u8>);

impl Inputs {
    /// Forgets what was added, and keeps the room for what comes next.
    pub(crate) fn begin(&mut self) {
        self.0.clear();
    }

    pub(crate) fn hash(&self) -> InputsHash {
        *blake3::hash(&self.0).as_bytes()
    }

    /// Its length takes one byte, that of a long text nine.
    pub(crate) fn text(&mut self, text: &str) {
        match u8::try_from(text.len()) {
            Ok(short) if short < u8::MAX => self.0.push(short),
            _ => {
                self.0.push(u8::MAX);
                self.count(text.len());
            }
        }
        self.0.extend_from_slice(text.as_bytes());
    }

    pub(crate) fn text_if(&mut self, text: Option<&str>) {
        self.0.push(u8::from(text.is_some()));
        if let Some(text) = text {
            self.text(text);
        }
    }

    pub(crate) fn number(&mut self, number: f64) {
        self.0.extend_from_slice(&number.to_bits().to_le_bytes());
    }

    pub(crate) fn number_if(&mut self, number: Option<f64>) {
        self.0.push(u8::from(number.is_some()));
        if let Some(number) = number {
            self.number(number);
        }
    }

    pub(crate) fn count(&mut self, count: usize) {
        self.0.extend_from_slice(&(count as u64).to_le_bytes());
    }

    fn whole(&mut self, number: i32) {
        self.0.extend_from_slice(&number.to_le_bytes());
    }
}

impl Loaded {
    /// Adds all that is known of the machine whose tests stand at `places`. Rows are taken apart field by field, so that none that is added later
    /// can be forgotten here.
    pub(crate) fn inputs(&self, places: Range<usize>, inputs: &mut Inputs) {
        let Some(tests) = self.tests.get(places.clone()) else { return };
        if let Some(machine) = tests.first().and_then(|test| self.machines.get(test.machine as usize)) {
            plate(machine, inputs);
        }
        inputs.count(tests.len());
        for (place, test) in places.zip(tests) {
            self.test_inputs(test, inputs);
            for rows in [self.readings.of(place), self.reported.of(place)] {
                inputs.count(rows.len());
                let mut before = None;
                for row in rows {
                    self.reading_inputs(row, before, inputs);
                    before = Some(row);
                }
            }
        }
    }

    fn id_inputs(&self, id: Id, inputs: &mut Inputs) {
        let Some([high, low]) = id.as_uuid() else { return inputs.text(self.ids.told(id).unwrap_or_default()) };
        inputs.0.push(1);
        inputs.0.extend_from_slice(&high.to_le_bytes());
        inputs.0.extend_from_slice(&low.to_le_bytes());
    }

    fn word_inputs(&self, code: u32, inputs: &mut Inputs) {
        inputs.text_if(self.words.get(code).map(Text::as_str));
    }

    fn sheet_inputs(&self, code: u32, inputs: &mut Inputs) {
        let sheet = self.sheets.get(code);
        inputs.text_if(sheet.map(|(file, _)| file.as_str()));
        inputs.text_if(sheet.and_then(|(_, sheet)| sheet.as_deref()));
    }

    fn test_inputs(&self, test: &TestRow, inputs: &mut Inputs) {
        let TestRow {
            id,
            machine,
            performed_on,
            precision,
            kind,
            stage,
            winding_temperature_c,
            winding_temperature_basis,
            ambient_temperature_c,
            relative_humidity_pct,
            dew_point_c,
            test_voltage_v,
            test_voltage_basis,
            instrument,
            tester,
            reported_outcome,
            duplicate_of,
            sheet,
            cell,
        } = test;
        self.id_inputs(*id, inputs);
        inputs.0.push(u8::from(*machine == UNTOLD));
        // Year, month and day as one number; none has that of no day.
        let day = |on: Date| (i32::from(on.year()) * 16 + i32::from(on.month())) * 32 + i32::from(on.day());
        inputs.whole(performed_on.map_or(i32::MIN, day));
        for number in [winding_temperature_c, ambient_temperature_c, relative_humidity_pct, dew_point_c, test_voltage_v]
        {
            inputs.number(*number);
        }
        for word in [
            precision,
            kind,
            stage,
            winding_temperature_basis,
            test_voltage_basis,
            instrument,
            tester,
            reported_outcome,
            duplicate_of,
            cell,
        ] {
            self.word_inputs(*word, inputs);
        }
        self.sheet_inputs(*sheet, inputs);
    }

    /// What a reading shares with the one `before` it is told by a mark: there are many readings.
    fn reading_inputs(&self, row: &ReadingRow, before: Option<&ReadingRow>, inputs: &mut Inputs) {
        let ReadingRow {
            id,
            value,
            value_ref,
            elapsed_s,
            applied_voltage_v,
            // Its test stands before it, and where that stands among others is nothing of its own.
            test: _,
            seq,
            shape,
            raw_text,
            sheet,
            cell,
        } = row;
        self.id_inputs(*id, inputs);
        inputs.number(*value);
        inputs.number(*value_ref);
        inputs.number_if(self.numbers.number(*elapsed_s));
        inputs.number_if(self.numbers.number(*applied_voltage_v));
        inputs.whole(*seq);
        let bracket = self.readings.brackets.get(id);
        inputs.number_if(bracket.map(|[low, _]| *low));
        inputs.number_if(bracket.map(|[_, high]| *high));
        let same = |of: fn(&ReadingRow) -> u32| before.is_some_and(|before| of(before) == of(row));
        let (same_shape, same_sheet) = (same(|row| row.shape), same(|row| row.sheet));
        inputs.0.push(u8::from(same_shape) | u8::from(same_sheet) << 1);
        if !same_shape {
            shape_inputs(self.shapes.get(*shape), inputs);
        }
        if !same_sheet {
            self.sheet_inputs(*sheet, inputs);
        }
        self.word_inputs(*raw_text, inputs);
        self.cell_inputs(*cell, inputs);
    }

    fn cell_inputs(&self, cell: u32, inputs: &mut Inputs) {
        if cells::place(cell).is_none() {
            return self.word_inputs(cell, inputs);
        }
        // A mark that texts do not have.
        inputs.0.push(2);
        inputs.0.extend_from_slice(&cell.to_le_bytes());
    }
}

fn shape_inputs(shape: Option<&Shape>, inputs: &mut Inputs) {
    let Some(Shape { quantity, circuit, bound, as_reported, outcome, voltage_assumed }) = shape else { return };
    inputs.text(quantity);
    inputs.text_if(circuit.as_deref());
    inputs.text(bound);
    inputs.text(as_reported);
    inputs.text_if(outcome.as_deref());
    inputs.0.push(u8::from(*voltage_assumed));
}

fn plate(machine: &MachineRow, inputs: &mut Inputs) {
    let MachineRow {
        asset_id,
        tag,
        site,
        manufacturer,
        rated_voltage_v,
        rated_voltage_basis,
        rated_power_w,
        winding_kind,
        insulation_class,
        insulation_era,
        made_year,
        rewound_years,
    } = machine;
    inputs.text(asset_id);
    for text in [tag, site, manufacturer, rated_voltage_basis, winding_kind, insulation_class, insulation_era] {
        inputs.text_if(text.as_deref());
    }
    inputs.number_if(*rated_voltage_v);
    inputs.number_if(*rated_power_w);
    inputs.number_if(made_year.map(f64::from));
    inputs.count(rewound_years.len());
    for year in rewound_years {
        inputs.whole(*year);
    }
}
