//! Conditions under which a rule applies, and what can be said of them when the nameplate is silent.

use crate::machine::{Machine, Part};
use serde::{Deserialize, Deserializer, de};

/// Whether a condition holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Applies {
    /// It holds.
    Yes,
    /// It does not.
    No,
    /// Nobody can say without this column of `assets`.
    Unknown(&'static str),
}

/// An interval of numbers with open or closed ends, written `[1000, 2500]`, `(2500, 5000]`, `[1000, inf)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    from: f64,
    from_is_in: bool,
    to: f64,
    to_is_in: bool,
}

impl Interval {
    /// The interval written as `text`; `None` if it is not one.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let text = text.trim();
        let from_is_in = text.starts_with('[');
        let to_is_in = text.ends_with(']');
        let inner = text.strip_prefix(['[', '('])?.strip_suffix([']', ')'])?;
        let (from, to) = inner.split_once(',')?;
        let (from, to) = (from.trim().parse().ok()?, to.trim().parse().ok()?);
        (from <= to).then_some(Self { from, from_is_in, to, to_is_in })
    }

    /// Whether `value` lies in it.
    #[must_use]
    pub fn contains(&self, value: f64) -> bool {
        let above = if self.from_is_in { value >= self.from } else { value > self.from };
        let below = if self.to_is_in { value <= self.to } else { value < self.to };
        above && below
    }
}

impl<'de> Deserialize<'de> for Interval {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        Self::parse(&text).ok_or_else(|| de::Error::custom(format!("{text:?} is not an interval such as [1000, 2500)")))
    }
}

/// What must hold; fields that are not told do not matter.
#[derive(Debug, Clone, Default, PartialEq, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Condition {
    part: Vec<Part>,
    construction: Option<String>,
    era: Option<String>,
    insulation_class: Vec<String>,
    rated_voltage_v: Option<Interval>,
    rated_power_w: Option<Interval>,
}

impl Condition {
    /// Whether it holds for `machine`, windings made before `thermosetting_since` counting as thermoplastic.
    #[must_use]
    pub fn holds(&self, machine: &Machine, thermosetting_since: i32) -> Applies {
        let part = self.part.is_empty() || self.part.contains(&machine.part);
        let all = [
            if part { Applies::Yes } else { Applies::No },
            one_of(machine.winding_kind.as_deref(), self.construction.as_slice(), "winding_kind"),
            one_of(machine.era(thermosetting_since), self.era.as_slice(), "insulation_era"),
            one_of(machine.insulation_class.as_deref(), &self.insulation_class, "insulation_class"),
            within(machine.rated_voltage().ok(), self.rated_voltage_v, "rated_voltage_v"),
            within(machine.rated_power().ok(), self.rated_power_w, "rated_power_w"),
        ];
        if all.contains(&Applies::No) {
            return Applies::No;
        }
        all.into_iter().find(|applies| *applies != Applies::Yes).unwrap_or(Applies::Yes)
    }
}

/// Whether any of `conditions` holds; every machine when there is none.
#[must_use]
pub(crate) fn any(conditions: &[Condition], machine: &Machine, thermosetting_since: i32) -> Applies {
    if conditions.is_empty() {
        return Applies::Yes;
    }
    let mut answer = Applies::No;
    for condition in conditions {
        match condition.holds(machine, thermosetting_since) {
            Applies::Yes => return Applies::Yes,
            Applies::No => {}
            unknown @ Applies::Unknown(_) if answer == Applies::No => answer = unknown,
            Applies::Unknown(_) => {}
        }
    }
    answer
}

fn one_of(told: Option<&str>, wanted: &[String], field: &'static str) -> Applies {
    match told {
        _ if wanted.is_empty() => Applies::Yes,
        Some(told) if wanted.iter().any(|wanted| wanted == told) => Applies::Yes,
        Some(_) => Applies::No,
        None => Applies::Unknown(field),
    }
}

fn within(told: Option<f64>, wanted: Option<Interval>, field: &'static str) -> Applies {
    match (told, wanted) {
        (_, None) => Applies::Yes,
        (None, Some(_)) => Applies::Unknown(field),
        (Some(told), Some(wanted)) if wanted.contains(told) => Applies::Yes,
        (Some(_), Some(_)) => Applies::No,
    }
}

#[cfg(test)]
mod tests {
    use super::Interval;

    #[test]
    fn intervals_know_their_ends() {
        let interval = Interval::parse("(2500, 5000]").unwrap();
        assert!(!interval.contains(2500.0) && interval.contains(2500.1) && interval.contains(5000.0));
        assert!(!interval.contains(5000.1));
        assert!(Interval::parse("[1, inf)").unwrap().contains(1e300));
        for bad in ["1, 2", "[2, 1]", "[a, 2]", "[1]", "", "["] {
            assert_eq!(Interval::parse(bad), None, "{bad}");
        }
    }
}
