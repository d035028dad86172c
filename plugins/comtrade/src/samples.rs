//! The samples as a sheet: number, time, and a column for each channel.

use windrow_model::place::a1;
use windrow_source::spreadsheet::budget::{Budget, check_column};
use windrow_source::{Cell, Grid, Limits, ReadError};

use crate::config::{Config, damaged};
use crate::data::{self, Sample};

/// Reads the samples in `bytes`; `first` is the line at which text begins. Also gives what a person should know of them.
pub(crate) fn sheet(
    config: &Config,
    (bytes, first): (&[u8], usize),
    limits: &Limits,
    budget: &mut Budget,
) -> Result<(Grid, Vec<String>), ReadError> {
    let columns = 2 + config.analog.len() + config.digital.len();
    check_column("samples", (0, u32::try_from(columns).unwrap_or(u32::MAX)), limits)?;
    let (mut count, mut missing, mut last_time) = (0_u64, 0_usize, 0.0_f64);
    data::each(config, bytes, first, |sample| {
        (count, last_time) = (count + 1, last_time.max(sample.time.unwrap_or(0.0)));
        missing += sample.analog.iter().filter(|value| value.is_none()).count();
        Ok(())
    })?;
    let told = config.last_sample();
    if count < told {
        return Err(damaged(first, format!("the configuration tells {told} samples, and the data hold {count}")));
    }
    let mut notes = vec![SCALED.to_owned()];
    if count > told {
        notes.push(format!("the configuration tells {told} samples, and {count} were read"));
    }
    if missing > 0 {
        notes.push(format!("{missing} values of analog channels are marked as missing and were left out"));
    }
    // Times are needed only where there is no rate; some programs leave them 0.
    let is_timed = last_time > 0.0;
    if !is_timed {
        notes.push("the samples tell no times; they were computed from the sampling rates".to_owned());
    }
    let mut grid =
        Grid { name: Some("samples".to_owned()), is_signal: true, cells: headings(config), ..Grid::default() };
    let mut row = 0_u32;
    data::each(config, bytes, first, |sample| {
        row += 1;
        let time = if is_timed {
            sample.time.map(|time| time * config.time_factor)
        } else {
            computed(config, u64::from(row) - 1)
        };
        for (column, value) in (0_u32..).zip(values(config, &sample, time)) {
            let Some(value) = value else { continue };
            let cell = Cell::number(row, column, tidy(value)).at(a1(row - 1, column));
            budget.take(&cell)?;
            grid.cells.push(cell);
        }
        Ok(())
    })?;
    grid.finish();
    Ok((grid, notes))
}

const SCALED: &str = "values of analog channels are a·x + b of the stored x, in the unit and on the side (primary or secondary) that the \
                      configuration tells";

fn headings(config: &Config) -> Vec<Cell> {
    let with_unit = |name: &str, unit: &str| if unit.is_empty() { name.to_owned() } else { format!("{name} ({unit})") };
    let fixed = ["sample".to_owned(), "time (µs)".to_owned()];
    let analog = config.analog.iter().map(|channel| with_unit(&channel.name, &channel.unit));
    let names = fixed.into_iter().chain(analog).chain(config.digital.iter().cloned());
    (0..).zip(names).map(|(column, name)| Cell::name(0, column, name).at(format!("heading:{}", column + 1))).collect()
}

/// What stands in the columns of a sample.
fn values(config: &Config, sample: &Sample, time: Option<f64>) -> impl Iterator<Item = Option<f64>> {
    let analog: Vec<Option<f64>> = (config.analog.iter().zip(&sample.analog))
        .map(|(channel, value)| {
            value.map(|value| channel.factor * value + channel.offset).filter(|value| value.is_finite())
        })
        .collect();
    let digital: Vec<Option<f64>> = sample.digital.iter().map(|state| Some(f64::from(u8::from(*state)))).collect();
    [Some(f64::from(sample.number)), time].into_iter().chain(analog).chain(digital)
}

/// The time of the sample with a number from 0, µs, by the rates of the samples before it; `None` where there is no rate.
fn computed(config: &Config, index: u64) -> Option<f64> {
    let (mut time, mut begin) = (0.0, 0_u64);
    for (rate, last) in &config.rates {
        if *rate <= 0.0 {
            return None;
        }
        let is_last = index < *last;
        let end = if is_last { index } else { *last };
        #[expect(clippy::cast_precision_loss, reason = "numbers of samples are exact in 53 bits")]
        let steps = end.saturating_sub(begin) as f64;
        time += steps * 1e6 / rate;
        if is_last {
            return Some(time);
        }
        begin = *last;
    }
    None
}

/// Without what the last bits of a product add: stored numbers have at most ten digits, so fifteen are more than they tell.
fn tidy(value: f64) -> f64 {
    format!("{value:.14e}").parse().unwrap_or(value)
}
