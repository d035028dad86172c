//! Channels: stored numbers as values, and what the configuration tells of them.

use windrow_model::{Place, Step};
use windrow_source::wave::Channel;

use crate::config::{Analog, Line};
use crate::samples::Parts;

/// The value of a stored number in the unit of its channel; `None` where it is missing.
#[expect(clippy::cast_possible_truncation, reason = "samples are kept in single precision, as the schema says")]
pub(crate) fn scaled(channel: &Analog, stored: Option<f64>) -> Option<f32> {
    let value = stored.map(|stored| (channel.factor * stored + channel.offset) as f32);
    value.filter(|value| value.is_finite())
}

/// How many samples are missing.
pub(crate) fn missing(column: &[Option<f32>]) -> usize {
    column.iter().filter(|sample| sample.is_none()).count()
}

/// The channels with their samples, analog ones first.
pub(crate) fn channels(
    parts: &Parts<'_>,
    columns: Vec<Vec<Option<f32>>>,
    place: &dyn Fn(u32) -> String,
) -> Vec<Channel> {
    let config = parts.config;
    let analog = config.analog_lines.iter().zip(config.analog.iter().map(Some));
    let digital = config.digital_lines.iter().map(|line| (line, None));
    let lines = analog.chain(digital).zip(columns);
    (2_u32..)
        .zip(lines)
        .filter_map(|(column, ((line, analog), samples))| {
            let at = Place::new(Some("samples"), place(column));
            channel(parts, line, analog, samples, at)
        })
        .collect()
}

fn channel(
    parts: &Parts<'_>,
    line: &Line,
    analog: Option<&Analog>,
    samples: Vec<Option<f32>>,
    place: Place,
) -> Option<Channel> {
    // A channel without a name goes by its number.
    let name = parts.words(line, 1).or_else(|| parts.words(line, 0))?;
    let has_unit = analog.is_some();
    // In the first edition a digital channel had a name and a state only.
    let is_long = has_unit || line.fields.len() > 3;
    let words = |at: usize| parts.words(line, at).filter(|_| is_long);
    let mut steps = vec![Step::new("channel", line.fields.join(","))];
    let mut is_secondary = false;
    if let Some(analog) = analog {
        steps.push(Step::new("scale", format!("stored number × {} + {}", analog.factor, analog.offset)));
        let other = analog.ratio.filter(|(primary, secondary)| (primary / secondary - 1.0).abs() > 1e-9);
        is_secondary = analog.is_secondary && other.is_some();
        steps.extend(other.map(|(primary, secondary)| side(analog, primary, secondary)));
    }
    Some(Channel {
        name,
        phase: words(2),
        component: words(3),
        unit: if has_unit { Some(parts.words(line, 4).unwrap_or_else(|| blank(parts, line))) } else { None },
        steps,
        is_secondary,
        samples,
        place,
    })
}

/// Words for a unit that is not told.
fn blank(parts: &Parts<'_>, line: &Line) -> windrow_source::wave::Words {
    let place = Place::new(parts.file.is_none().then_some("configuration"), format!("{}:5", line.number));
    windrow_source::wave::Words { text: String::new(), place, file: parts.file.map(str::to_owned) }
}

fn side(analog: &Analog, primary: f64, secondary: f64) -> Step {
    let side = if analog.is_secondary { "secondary" } else { "primary" };
    Step::new("side", format!("as recorded, {side} side of a transformer {primary}:{secondary}"))
}
