//! Forecasts that an analysis before made: one rests on its readings, the limit and the scatter alone, and takes longer than all else that is
//! asked of a machine. Where these are the same to the last bit, so is the forecast.

use serde::{Deserialize, Serialize};
use std::collections::HashMap;
use std::sync::{Mutex, PoisonError};
use windrow_model::Bound;
use windrow_statistics::forecast::{Forecast, Reading};

/// Hash of what a forecast rests on.
type Basis = [u8; blake3::OUT_LEN];

/// A forecast that was made, or that none could be, with what it rested on.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub(crate) struct Made {
    basis: Basis,
    forecast: Option<Forecast>,
}

/// Forecasts of before and of now.
#[derive(Debug, Default)]
pub(crate) struct Foresight {
    earlier: HashMap<Basis, Option<Forecast>>,
    asked: Mutex<Asked>,
}

/// Forecasts that were asked for now.
#[derive(Debug, Default)]
pub(crate) struct Asked {
    pub(crate) made: Vec<Made>,
    /// How many of them were not made before.
    pub(crate) anew: usize,
}

/// What a forecast is asked of.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Outlook<'a> {
    pub(crate) readings: &'a [Reading],
    pub(crate) limit: f64,
    pub(crate) scatter: f64,
    /// Years after the newest reading within which the chance is asked.
    pub(crate) years: f64,
}

impl Outlook<'_> {
    fn basis(&self) -> Basis {
        let mut hasher = blake3::Hasher::new();
        for number in [self.limit, self.scatter, self.years] {
            hasher.update(&number.to_bits().to_le_bytes());
        }
        for Reading { t, y, bound } in self.readings {
            hasher.update(&t.to_bits().to_le_bytes());
            hasher.update(&y.to_bits().to_le_bytes());
            let bound = match bound {
                Bound::Exact => 0,
                Bound::AtLeast => 1,
                Bound::AtMost => 2,
            };
            hasher.update(&[bound]);
        }
        *hasher.finalize().as_bytes()
    }
}

impl Foresight {
    pub(crate) fn of(earlier: Vec<Made>) -> Self {
        let earlier = earlier.into_iter().map(|Made { basis, forecast }| (basis, forecast)).collect();
        Self { earlier, asked: Mutex::default() }
    }

    /// The forecast, made by `make` where it was not made before. It tells its dates, and of chances that within the years asked for.
    pub(crate) fn forecast(&self, asked: Outlook<'_>, make: impl FnOnce() -> Option<Forecast>) -> Option<Forecast> {
        let basis = asked.basis();
        let known = self.earlier.get(&basis);
        let forecast = match known {
            Some(known) => known.clone(),
            None => make().map(|made| made.kept(asked.years)),
        };
        let made = Made { basis, forecast: forecast.clone() };
        let mut asked = self.asked.lock().unwrap_or_else(PoisonError::into_inner);
        asked.made.push(made);
        asked.anew += usize::from(known.is_none());
        forecast
    }

    /// Those that were asked for, in an order of their own.
    pub(crate) fn asked(self) -> Asked {
        let mut asked = self.asked.into_inner().unwrap_or_else(PoisonError::into_inner);
        asked.made.sort_unstable_by_key(|made| made.basis);
        asked
    }
}

#[cfg(test)]
mod tests {
    use super::{Foresight, Outlook};
    use windrow_model::Bound;
    use windrow_statistics::forecast::{Reading, forecast};

    #[test]
    fn only_what_rests_on_the_same_is_taken_from_before_and_says_the_same() {
        let falling: Vec<Reading> = [(2000.0, 9.0), (2002.0, 8.7), (2004.0, 8.3), (2007.0, 7.4), (2008.0, 7.0)]
            .map(|(t, y)| Reading { t, y, bound: Bound::Exact })
            .to_vec();
        let asked = Outlook { readings: &falling, limit: 6.5, scatter: 0.1, years: 1.0 };
        let whole = forecast(asked.readings, asked.limit, asked.scatter).unwrap();
        let first = Foresight::default();
        let made = first.forecast(asked, || Some(whole.clone())).unwrap();
        let first = first.asked();
        assert_eq!(first.anew, 1);
        let second = Foresight::of(first.made);
        assert_eq!(second.forecast(asked, || unreachable!("it was made before")).as_ref(), Some(&made));
        for told in [&made, &whole] {
            assert!(told.middle().is_some() && told.not_after().is_some() && told.chance_within(1.0) > 0.0);
        }
        assert_eq!(
            (made.not_before(), made.middle(), made.not_after(), made.chance_within(1.0)),
            (whole.not_before(), whole.middle(), whole.not_after(), whole.chance_within(1.0))
        );
        let mut later = falling.clone();
        later[4].bound = Bound::AtMost;
        let others = [
            Outlook { limit: 6.6, ..asked },
            Outlook { scatter: 0.100_000_1, ..asked },
            Outlook { years: 2.0, ..asked },
            Outlook { readings: &later, ..asked },
            Outlook { readings: &falling[1..], ..asked },
        ];
        for other in others {
            assert_eq!(second.forecast(other, || None), None);
        }
        let second = second.asked();
        assert_eq!((second.made.len(), second.anew), (6, 5));
    }
}
