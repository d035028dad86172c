//! The configuration: lines of fields, as IEEE Std C37.111-2013, clause 7 (and 1999, clause 5) lays them out; facts from memory.

use windrow_source::{ReadError, Refusal};

/// What to do about a damaged record.
pub(crate) const REPAIR: &str = "look for another copy of it, or export the record again";

/// The error of a damaged configuration.
pub(crate) fn damaged(line: usize, found: impl std::fmt::Display) -> ReadError {
    ReadError::new(Refusal::Damaged, format!("line {line}: {found}"), REPAIR)
}

/// A line with its number from 1.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Line {
    pub(crate) number: usize,
    pub(crate) fields: Vec<String>,
}

impl Line {
    /// A field from 0, blank where there is none.
    pub(crate) fn field(&self, at: usize) -> &str {
        self.fields.get(at).map_or("", String::as_str)
    }

    /// A field as a number.
    fn number(&self, at: usize, what: &str) -> Result<f64, ReadError> {
        let value = self.field(at).parse::<f64>().ok().filter(|value| value.is_finite());
        value.ok_or_else(|| damaged(self.number, format!("{what} is {:?} and no number", self.field(at))))
    }
}

/// An analog channel.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Analog {
    pub(crate) name: String,
    pub(crate) unit: String,
    /// Rated values of a transformer, primary and secondary, where told.
    pub(crate) ratio: Option<(f64, f64)>,
    /// Whether the samples are on its secondary side.
    pub(crate) is_secondary: bool,
    /// Factor and offset from the stored number to the unit.
    pub(crate) factor: f64,
    pub(crate) offset: f64,
}

/// How data are stored.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Storage {
    Text,
    Bits16,
    Bits32,
    Float32,
}

/// A configuration.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Config {
    /// Lines as written, by what they tell.
    pub(crate) station: Line,
    pub(crate) counts: Line,
    pub(crate) analog_lines: Vec<Line>,
    pub(crate) digital_lines: Vec<Line>,
    /// From the frequency of the line on.
    pub(crate) rest: Vec<Line>,
    pub(crate) analog: Vec<Analog>,
    pub(crate) digital: Vec<String>,
    /// Samples a second, and the last sample that it holds for.
    pub(crate) rates: Vec<(f64, u64)>,
    pub(crate) storage: Storage,
    /// What times are multiplied with.
    pub(crate) time_factor: f64,
}

/// Numbers of analog and digital channels, where a line counts them.
pub(crate) fn counts(line: &str) -> Option<(usize, usize)> {
    let fields: Vec<&str> = line.split(',').map(str::trim).collect();
    let [total, analog, digital] = fields.as_slice() else { return None };
    let analog: usize = analog.strip_suffix(['A', 'a'])?.trim().parse().ok()?;
    let digital: usize = digital.strip_suffix(['D', 'd'])?.trim().parse().ok()?;
    (total.parse().ok() == analog.checked_add(digital)).then_some((analog, digital))
}

impl Config {
    /// Reads a configuration whose first line has the number `first` in its file.
    pub(crate) fn of(text: &str, first: usize) -> Result<Self, ReadError> {
        let mut end = first;
        let all =
            (first..).zip(text.trim_end_matches(['\u{1A}', '\0', '\n', '\r', ' ']).lines()).map(|(number, line)| {
                Line { number, fields: line.split(',').map(|field| field.trim().to_owned()).collect() }
            });
        let mut lines = all.inspect(|line| end = line.number);
        let cut = |what: &str| damaged(first, format!("the configuration ends before {what}"));
        let station = lines.next().ok_or_else(|| cut("its first line"))?;
        let count_line = lines.next().ok_or_else(|| cut("its channels are counted"))?;
        let (analogs, digitals) = counts(&count_line.fields.join(",")).ok_or_else(|| {
            damaged(count_line.number, "it does not count the channels as analog (A) and digital (D)")
        })?;
        let analog_lines: Vec<Line> = lines.by_ref().take(analogs).collect();
        let digital_lines: Vec<Line> = lines.by_ref().take(digitals).collect();
        if analog_lines.len() < analogs || digital_lines.len() < digitals {
            return Err(cut("all of its channels"));
        }
        let rest: Vec<Line> = lines.collect();
        let analog = analog_lines.iter().map(analog_channel).collect::<Result<_, _>>()?;
        let digital = digital_lines.iter().map(|line| named(line, "digital")).collect();
        let end_of = |at: usize, what: &str| rest.get(at).ok_or_else(|| cut(what));
        let told = end_of(1, "its sampling rates")?;
        let told_rates =
            told.field(0).parse::<usize>().map_err(|_| damaged(told.number, "the number of sampling rates is none"))?;
        // Where there is no rate, one line tells the last sample.
        let lines_of_rates = told_rates.max(1);
        let rates = rest.iter().skip(2).take(lines_of_rates).map(rate).collect::<Result<Vec<_>, _>>()?;
        let storage = storage(end_of(lines_of_rates.saturating_add(4), "the kind of its data")?)?;
        let time_factor = match rest.get(lines_of_rates.saturating_add(5)) {
            Some(line) if !line.field(0).is_empty() => line.number(0, "the factor of times")?,
            _ => 1.0,
        };
        Ok(Self {
            station,
            counts: count_line,
            analog_lines,
            digital_lines,
            analog,
            digital,
            rates,
            storage,
            time_factor,
            rest,
        })
    }

    /// The line that tells the moment of the first sample: date, time.
    pub(crate) fn first_sample(&self) -> Option<&Line> {
        self.rest.get(self.rates.len().saturating_add(2))
    }

    /// What the stored times of samples are multiplied with to be seconds. The edition of 2013 counts nanoseconds where the moment of the
    /// first sample has more than six decimals.
    pub(crate) fn seconds(&self) -> f64 {
        let fraction =
            self.first_sample().and_then(|line| line.field(1).split_once('.')).map_or(0, |(_, rest)| rest.len());
        self.time_factor * if fraction > 6 { 1e-9 } else { 1e-6 }
    }

    /// The last sample that the rates tell.
    pub(crate) fn last_sample(&self) -> u64 {
        self.rates.last().map_or(0, |(_, last)| *last)
    }
}

fn analog_channel(line: &Line) -> Result<Analog, ReadError> {
    if line.fields.len() < 10 {
        let found = format!("an analog channel has {} fields, at least 10 are needed", line.fields.len());
        return Err(damaged(line.number, found));
    }
    let (factor, offset) = (line.number(5, "the factor of a channel")?, line.number(6, "the offset of a channel")?);
    let rated = |at: usize| line.field(at).parse::<f64>().ok().filter(|value| *value > 0.0 && value.is_finite());
    Ok(Analog {
        name: named(line, "analog"),
        unit: line.field(4).to_owned(),
        ratio: rated(10).zip(rated(11)),
        is_secondary: line.field(12).eq_ignore_ascii_case("S"),
        factor,
        offset,
    })
}

/// The name of a channel, or its number where it has none.
fn named(line: &Line, kind: &str) -> String {
    match line.field(1) {
        "" => format!("{kind} {}", line.field(0)),
        name => name.to_owned(),
    }
}

fn rate(line: &Line) -> Result<(f64, u64), ReadError> {
    let last =
        line.field(1).parse().map_err(|_| damaged(line.number, "the last sample of a rate is no whole number"))?;
    Ok((line.number(0, "a sampling rate")?, last))
}

fn storage(line: &Line) -> Result<Storage, ReadError> {
    match line.field(0).to_ascii_uppercase().as_str() {
        "ASCII" => Ok(Storage::Text),
        "BINARY" => Ok(Storage::Bits16),
        "BINARY32" => Ok(Storage::Bits32),
        "FLOAT32" => Ok(Storage::Float32),
        other => Err(damaged(
            line.number,
            format!("the kind of data is {other:?}; ASCII, BINARY, BINARY32 and FLOAT32 are known"),
        )),
    }
}
