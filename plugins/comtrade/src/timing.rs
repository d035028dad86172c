//! When samples were taken: by the sampling rates, which the standard puts before the times of samples; by those times where there is
//! no rate.

use windrow_source::wave::Stretch;

use crate::config::Config;

/// How far the mean distance of samples may be from that of the rates before it is told, as a share.
const AGREES: f64 = 0.01;
/// How far a distance of samples may be from the mean distance, as a share, beside a step of the stored times.
const EVEN: f64 = 0.01;

/// Times of samples as stored, as far as evenness and mean need them.
#[derive(Debug, Default)]
pub(crate) struct Times {
    count: usize,
    missing: usize,
    first: Option<f64>,
    last: Option<f64>,
    least: Option<f64>,
    most: Option<f64>,
}

impl Times {
    /// Takes the time of the next sample.
    pub(crate) fn push(&mut self, time: Option<f64>) {
        self.count += 1;
        let Some(time) = time else {
            self.missing += 1;
            return;
        };
        if let Some(last) = self.last {
            let step = time - last;
            self.least = Some(self.least.map_or(step, |least| least.min(step)));
            self.most = Some(self.most.map_or(step, |most| most.max(step)));
        }
        self.first.get_or_insert(time);
        self.last = Some(time);
    }

    /// How many samples there were.
    pub(crate) const fn count(&self) -> usize {
        self.count
    }

    /// Mean distance as stored; `None` where times are missing or do not go on.
    fn mean(&self) -> Option<f64> {
        let steps = f64::from(u32::try_from(self.count.checked_sub(1)?).ok()?);
        let mean = (self.last? - self.first?) / steps;
        (self.missing == 0 && mean > 0.0 && mean.is_finite()).then_some(mean)
    }

    /// Whether all distances are the mean one, up to rounding of the stored times.
    fn is_even(&self, mean: f64) -> bool {
        let allowed = 1.0 + mean * EVEN;
        self.least.zip(self.most).is_some_and(|(least, most)| mean - least <= allowed && most - mean <= allowed)
    }
}

/// The even stretches, and what a person should know; no stretches where samples stand at uneven times.
pub(crate) fn stretches(config: &Config, times: &Times) -> (Vec<Stretch>, Vec<String>) {
    let samples = times.count();
    let mean = times.mean().map(|mean| tidy(mean * config.seconds()));
    if let Some(stretches) = by_rates(config, samples) {
        let has_one = stretches.len() == 1;
        let told = stretches.first().map(|stretch| stretch.interval_s).filter(|_| has_one);
        let note = told.zip(mean).filter(|(told, mean)| (mean / told - 1.0).abs() > AGREES).map(|(told, mean)| {
            format!("the sampling rate tells {told:e} s between samples, and the times of the samples {mean:e} s; the rate is taken, as the standard says")
        });
        return (stretches, note.into_iter().collect());
    }
    let even = mean.filter(|_| times.mean().is_some_and(|mean| times.is_even(mean)));
    let stretches = even.map(|interval_s| Stretch { start_s: 0.0, interval_s, samples });
    (stretches.into_iter().collect(), Vec::new())
}

/// A stretch a rate; what is beyond the last told sample goes on at the last rate. `None` where there is no rate.
fn by_rates(config: &Config, samples: usize) -> Option<Vec<Stretch>> {
    let mut stretches: Vec<Stretch> = Vec::new();
    let (mut begin, mut start_s) = (0_usize, 0.0);
    for (number, (rate, last)) in config.rates.iter().enumerate() {
        if *rate <= 0.0 {
            return None;
        }
        let is_last = number + 1 == config.rates.len();
        let end = if is_last { samples } else { usize::try_from(*last).ok()?.min(samples) };
        let count = end.checked_sub(begin)?;
        let stretch = Stretch { start_s, interval_s: rate.recip(), samples: count };
        start_s += f64::from(u32::try_from(count).ok()?) / rate;
        begin = end;
        if count > 0 {
            stretches.push(stretch);
        }
    }
    (!stretches.is_empty()).then_some(stretches)
}

/// Without what the last bits of a product add: stored times have at most ten digits.
fn tidy(value: f64) -> f64 {
    format!("{value:.12e}").parse().unwrap_or(value)
}
