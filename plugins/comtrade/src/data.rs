//! Samples as they are stored: text, or numbers of 16 or 32 bits, low byte first.

use windrow_source::ReadError;

use crate::config::{Config, Storage, damaged};

/// What stands in text for a value that is missing.
const MISSING_TEXT: f64 = 99_999.0;

/// A sample.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Sample {
    pub(crate) number: u32,
    /// Time as stored; `None` where it is missing.
    pub(crate) time: Option<f64>,
    /// Stored numbers of the analog channels; `None` where missing.
    pub(crate) analog: Vec<Option<f64>>,
    /// States of the digital channels.
    pub(crate) digital: Vec<bool>,
}

/// How data end.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum End {
    /// With a whole sample.
    Whole,
    /// Within a sample: how.
    Ragged(String),
}

/// Hands each whole sample of `bytes` to `each`; `first` is the line at which text begins.
pub(crate) fn each(
    config: &Config,
    bytes: &[u8],
    first: usize,
    each: impl FnMut(Sample) -> Result<(), ReadError>,
) -> Result<End, ReadError> {
    match config.storage {
        Storage::Text => each_of_text(config, bytes, first, each),
        Storage::Bits16 => each_of_bytes(config, bytes, 2, each),
        Storage::Bits32 | Storage::Float32 => each_of_bytes(config, bytes, 4, each),
    }
}

fn each_of_text(
    config: &Config,
    bytes: &[u8],
    first: usize,
    mut each: impl FnMut(Sample) -> Result<(), ReadError>,
) -> Result<End, ReadError> {
    let text = String::from_utf8_lossy(bytes);
    let mut count = 0_u64;
    for (number, line) in (first..).zip(text.split_inclusive('\n')) {
        if line.starts_with('\u{1A}') {
            break;
        }
        if line.trim().is_empty() {
            continue;
        }
        // A last line without an end may lack digits of its last number, where more fields or samples are told of.
        let is_short = line.split(',').count() < fields_of(config) || count + 1 < config.last_sample();
        if !line.ends_with('\n') && is_short {
            return Ok(End::Ragged(format!("line {number} does not end")));
        }
        each(of_text(config, line.trim_end_matches('\u{1A}'), number)?)?;
        count += 1;
    }
    Ok(End::Whole)
}

/// Fields of a sample as text.
const fn fields_of(config: &Config) -> usize {
    2 + config.analog.len() + config.digital.len()
}

fn each_of_bytes(
    config: &Config,
    bytes: &[u8],
    wide: usize,
    mut each: impl FnMut(Sample) -> Result<(), ReadError>,
) -> Result<End, ReadError> {
    let width = width(config, wide);
    let samples = bytes.chunks_exact(width);
    // Some programs put the mark of the end of a text behind the samples.
    let end = match samples.remainder() {
        [] | [0x1A] => End::Whole,
        rest => End::Ragged(format!("{} bytes are left behind the last whole sample of {width}", rest.len())),
    };
    samples.map(|bytes| of_bytes(config, bytes, wide)).try_for_each(|sample| each(sample.unwrap_or_default()))?;
    Ok(end)
}

/// Bytes of a sample.
fn width(config: &Config, wide: usize) -> usize {
    8 + wide * config.analog.len() + 2 * config.digital.len().div_ceil(16)
}

/// Whether data begin as the configuration tells, as far as their beginning shows.
pub(crate) fn fits(config: &Config, head: &[u8], len: usize) -> bool {
    let wide = match config.storage {
        Storage::Text => {
            let text = String::from_utf8_lossy(head);
            return text.lines().next().is_some_and(|line| of_text(config, line, 1).is_ok());
        }
        Storage::Bits16 => 2,
        Storage::Bits32 | Storage::Float32 => 4,
    };
    let width = width(config, wide);
    let number = |at: usize| head.get(at..)?.first_chunk().map(|bytes| u32::from_le_bytes(*bytes));
    let next = number(0).map(|first| first.wrapping_add(1));
    len >= width && (len < 2 * width || number(width) == next)
}

fn of_text(config: &Config, line: &str, number: usize) -> Result<Sample, ReadError> {
    let fields: Vec<&str> = line.split(',').map(str::trim).collect();
    let wanted = fields_of(config);
    if fields.len() != wanted {
        return Err(damaged(
            number,
            format!("a sample has {} fields, and the configuration asks for {wanted}", fields.len()),
        ));
    }
    let value = |text: &str| match text {
        "" => Ok(None),
        text => text.parse::<f64>().map(Some).map_err(|_| damaged(number, format!("{text:?} is no number"))),
    };
    let mut fields = fields.into_iter();
    let sample = fields.next().and_then(|text| text.parse().ok());
    let time = fields.next().map(value).transpose()?.flatten();
    let analog = fields.by_ref().take(config.analog.len()).map(value).collect::<Result<Vec<_>, _>>()?;
    let digital = fields.map(|text| match text {
        "0" => Ok(false),
        "1" => Ok(true),
        text => Err(damaged(number, format!("the state of a digital channel is {text:?}, neither 0 nor 1"))),
    });
    Ok(Sample {
        number: sample.ok_or_else(|| damaged(number, "a sample without a number"))?,
        time,
        analog: analog.into_iter().map(|value| value.filter(|value| is_there(*value))).collect(),
        digital: digital.collect::<Result<_, _>>()?,
    })
}

fn is_there(value: f64) -> bool {
    (value - MISSING_TEXT).abs() > 0.5 && value.is_finite()
}

fn of_bytes(config: &Config, bytes: &[u8], wide: usize) -> Option<Sample> {
    let (number, rest) = bytes.split_first_chunk::<4>()?;
    let (time, rest) = rest.split_first_chunk::<4>()?;
    let (analog, digital) = rest.split_at_checked(wide * config.analog.len())?;
    let time = Some(u32::from_le_bytes(*time)).filter(|time| *time != u32::MAX).map(f64::from);
    let bits: Vec<u16> =
        digital.chunks_exact(2).filter_map(|pair| Some(u16::from_le_bytes(*pair.first_chunk()?))).collect();
    let states = (0..config.digital.len()).map(|at| bits.get(at / 16).is_some_and(|word| word >> (at % 16) & 1 == 1));
    Some(Sample {
        number: u32::from_le_bytes(*number),
        time,
        analog: analog.chunks_exact(wide).map(|bytes| stored(config.storage, bytes)).collect(),
        digital: states.collect(),
    })
}

/// The lowest number that fits stands for a missing one; what is no number too.
fn stored(storage: Storage, bytes: &[u8]) -> Option<f64> {
    match storage {
        Storage::Text => None,
        Storage::Bits16 => {
            Some(i16::from_le_bytes(*bytes.first_chunk()?)).filter(|value| *value != i16::MIN).map(f64::from)
        }
        Storage::Bits32 => {
            Some(i32::from_le_bytes(*bytes.first_chunk()?)).filter(|value| *value != i32::MIN).map(f64::from)
        }
        Storage::Float32 => {
            Some(f64::from(f32::from_le_bytes(*bytes.first_chunk()?))).filter(|value| value.is_finite())
        }
    }
}
