//! The samples of a record: channels with values in the unit of the configuration, and a sheet with a cell for each column of the data.

use windrow_model::place::a1;
use windrow_source::spreadsheet::budget::{Budget, check_column};
use windrow_source::wave::{Channel, Stretch, Words};
use windrow_source::{Cell, Grid, Limits, ReadError};

use crate::channel;
use crate::config::{Config, Line, damaged};
use crate::data::{self, End};
use crate::timing::{self, Times};

/// Where the configuration and the data stand.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Parts<'a> {
    pub(crate) config: &'a Config,
    /// Name of the file of the configuration, where it is not that of the data.
    pub(crate) file: Option<&'a str>,
    pub(crate) data: &'a [u8],
    /// Line at which text of the data begins.
    pub(crate) first: usize,
}

impl Parts<'_> {
    /// A field of the configuration; `None` where it is blank.
    pub(crate) fn words(&self, line: &Line, at: usize) -> Option<Words> {
        let text = Some(line.field(at)).filter(|text| !text.is_empty())?.to_owned();
        let sheet = self.file.is_none().then_some("configuration");
        let place = windrow_model::Place::new(sheet, format!("{}:{}", line.number, at + 1));
        Some(Words { text, place, file: self.file.map(str::to_owned) })
    }
}

/// What was read of the samples.
#[derive(Debug)]
pub(crate) struct Samples {
    pub(crate) grid: Grid,
    pub(crate) channels: Vec<Channel>,
    pub(crate) stretches: Vec<Stretch>,
    /// Whether there are fewer than the configuration tells.
    pub(crate) is_cut: bool,
    /// What a person should know.
    pub(crate) notes: Vec<String>,
}

/// Reads the samples.
pub(crate) fn read(parts: Parts<'_>, limits: &Limits, budget: &mut Budget) -> Result<Samples, ReadError> {
    let config = parts.config;
    let columns = 2 + config.analog.len() + config.digital.len();
    check_column("samples", (0, u32::try_from(columns).unwrap_or(u32::MAX)), limits)?;
    let mut columns_of: Vec<Vec<Option<f32>>> = vec![Vec::new(); columns - 2];
    let mut times = Times::default();
    let end = data::each(config, parts.data, parts.first, |sample| {
        budget.take_items(1)?;
        times.push(sample.time);
        let analog =
            config.analog.iter().zip(&sample.analog).map(|(channel, stored)| channel::scaled(channel, *stored));
        let digital = sample.digital.iter().map(|state| Some(f32::from(u8::from(*state))));
        for (column, value) in columns_of.iter_mut().zip(analog.chain(digital)) {
            column.push(value);
        }
        Ok(())
    })?;
    let count = times.count();
    if count == 0 {
        return Err(damaged(parts.first, "the data hold no whole sample"));
    }
    let (stretches, mut notes) = timing::stretches(config, &times);
    let told = config.last_sample();
    let is_cut = told > count as u64;
    notes.extend(lacking(told, count, end));
    let missing: usize = columns_of.iter().map(|column| channel::missing(column)).sum();
    if missing > 0 {
        notes.push(format!("{missing} values of analog channels are marked as missing, and stay missing"));
    }
    let place = |column: u32| format!("{}:{}", a1(0, column), a1(u32::try_from(count).unwrap_or(u32::MAX) - 1, column));
    let grid = sheet(config, &columns_of, count, &place, budget)?;
    let channels = channel::channels(&parts, columns_of, &place);
    Ok(Samples { grid, channels, stretches, is_cut, notes })
}

/// What the data lack or have too much.
fn lacking(told: u64, count: usize, end: End) -> Vec<String> {
    let mut notes = Vec::new();
    if told > count as u64 {
        notes.push(format!(
            "the configuration tells {told} samples, and the data hold {count}: the record is cut short"
        ));
    } else if told < count as u64 {
        notes.push(format!("the configuration tells {told} samples, and {count} were read"));
    }
    if let End::Ragged(what) = end {
        notes.push(format!("the last sample is cut short and was left out: {what}"));
    }
    notes
}

/// A column of the data each, under its name.
fn sheet(
    config: &Config,
    columns: &[Vec<Option<f32>>],
    count: usize,
    place: &dyn Fn(u32) -> String,
    budget: &mut Budget,
) -> Result<Grid, ReadError> {
    let told = "it numbers the samples, or tells their times".to_owned();
    let mut grid = Grid { name: Some("samples".to_owned()), is_signal: true, told: Some(told), ..Grid::default() };
    grid.cells = headings(config);
    if count > 0 {
        let missing = [0, 0].into_iter().chain(columns.iter().map(|column| channel::missing(column)));
        for (column, missing) in (0_u32..).zip(missing) {
            let text =
                if missing == 0 { format!("{count} samples") } else { format!("{count} samples, {missing} missing") };
            let cell = Cell::text(1, column, text).at(place(column));
            budget.take(&cell)?;
            grid.cells.push(cell);
        }
    }
    grid.finish();
    Ok(grid)
}

fn headings(config: &Config) -> Vec<Cell> {
    let with_unit = |name: &str, unit: &str| if unit.is_empty() { name.to_owned() } else { format!("{name} ({unit})") };
    let fixed = ["sample".to_owned(), "time".to_owned()];
    let analog = config.analog.iter().map(|channel| with_unit(&channel.name, &channel.unit));
    let names = fixed.into_iter().chain(analog).chain(config.digital.iter().cloned());
    (0..).zip(names).map(|(column, name)| Cell::name(0, column, name).at(format!("heading:{}", column + 1))).collect()
}
