//! Limits of a winding, looked up by machine.

use crate::applies::Applies;
use crate::cautions;
use crate::machine::{Machine, Missing};
use crate::preference::Preference;
use crate::rule::{self, Family, Rule, Subject};
use windrow_model::{Bound, Text};

/// A limit with where it comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// The figure, in the stored unit of its quantity.
    pub value: f64,
    /// Standard, edition, clause, rule and how it is known.
    pub basis: Text,
    /// What must be said wherever the limit is shown.
    pub caution: &'static str,
}

/// How a measured value stands to a limit, its bound considered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// It keeps the limit.
    Kept,
    /// It does not.
    Broken,
    /// The bound leaves it open (`>100` against a minimum of 200).
    Open,
}

impl Limit {
    fn of(rule: &Rule, machine: &Machine) -> Result<Self, Missing> {
        Ok(Self { value: rule.value.value(machine)?, basis: rule.basis(), caution: cautions::of(rule.subject) })
    }

    /// How `value` stands to this limit as a minimum; a value at the limit keeps it.
    #[must_use]
    pub fn as_minimum(&self, value: f64, bound: Bound) -> Standing {
        match bound {
            Bound::Exact if value >= self.value => Standing::Kept,
            Bound::AtLeast if value >= self.value => Standing::Kept,
            Bound::Exact => Standing::Broken,
            Bound::AtMost if value < self.value => Standing::Broken,
            _ => Standing::Open,
        }
    }

    /// The limit for one phase measured with the other two earthed, from the one for the whole winding.
    #[must_use]
    pub fn for_one_phase(self) -> Self {
        self.times(Subject::OnePhaseFactor)
    }

    /// The limit for one phase measured with the other two on the guard, from the one for the whole winding.
    #[must_use]
    pub fn for_one_phase_guarded(self) -> Self {
        self.times(Subject::OnePhaseGuardedFactor)
    }

    fn times(self, subject: Subject) -> Self {
        let stator = Machine::default();
        match rule::on(subject).next().and_then(|rule| Some((rule.value.value(&stator).ok()?, rule))) {
            Some((factor, rule)) => {
                Self { value: self.value * factor, basis: format!("{}; {}", self.basis, rule.basis()).into(), ..self }
            }
            None => self,
        }
    }
}

/// Why a polarization index is not judged; displayed in words, which few tests of a fleet need.
#[derive(Debug, Clone, PartialEq)]
pub enum Unjudged {
    /// The nameplate lacks what the rule needs.
    Missing(Missing),
    /// The one-minute value lies above the ceiling of this rule.
    AboveCeiling(&'static Rule),
    /// This rule says that the index tells nothing of such windings.
    NotFor(&'static Rule),
    /// No minimum is known for this thermal class.
    NoMinimumFor(Text),
    /// No thermal class is told.
    ClassUntold,
}

impl std::fmt::Display for Unjudged {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Missing(missing) => write!(f, "{missing}"),
            Self::AboveCeiling(rule) => write!(
                f,
                "not judged: the one-minute value is above {}, where the index means nothing ({})",
                rule.formula,
                rule.basis()
            ),
            Self::NotFor(rule) => {
                write!(f, "not judged: the index says nothing of {} ({})", rule.scope, rule.basis())
            }
            Self::NoMinimumFor(class) => write!(f, "not judged: no minimum for thermal class {class}"),
            Self::ClassUntold => f.write_str("not judged: the records tell no thermal class"),
        }
    }
}

/// What decides on the minimum polarization index of the tests of one machine, worked out once for all of them.
#[derive(Debug, Clone, PartialEq)]
pub struct IndexLimits {
    /// One-minute resistances at 40 °C above which the index is not judged, Ohm, with their rules.
    ceilings: Vec<Result<(f64, &'static Rule), Missing>>,
    /// The minimum below them, or why there is none.
    below: Result<Limit, Unjudged>,
}

impl IndexLimits {
    /// The minimum for a test with this one-minute resistance at 40 °C, Ohm.
    ///
    /// # Errors
    /// As [`Machine::minimum_polarization_index`].
    pub fn minimum(&self, one_minute_40c_ohm: Option<f64>) -> Result<Limit, Unjudged> {
        for ceiling in &self.ceilings {
            let (ceiling, rule) = ceiling.as_ref().map_err(|missing| Unjudged::Missing(missing.clone()))?;
            if one_minute_40c_ohm.is_some_and(|value| value > *ceiling) {
                return Err(Unjudged::AboveCeiling(rule));
            }
        }
        self.below.clone()
    }
}

impl Machine {
    /// Minimum one-minute insulation resistance at 40 °C of the whole winding, Ohm (IEEE 43-2013 Table 3).
    ///
    /// `None` when the machine's records do not decide: without a rated voltage, or with neither construction nor age.
    #[must_use]
    pub fn minimum_insulation_resistance(&self, prefer: Preference) -> Option<Limit> {
        self.rated_voltage().ok()?;
        self.first(Subject::MinimumInsulationResistance, prefer).ok()
    }

    /// Minimum polarization index; the reason when none applies (IEEE 43-2013 Table 2).
    ///
    /// # Errors
    /// The reason: thermal class not told, a winding for which the index says nothing, or a one-minute value too high for the
    /// index to mean anything.
    pub fn minimum_polarization_index(
        &self,
        one_minute_40c_ohm: Option<f64>,
        prefer: Preference,
    ) -> Result<Limit, Unjudged> {
        self.index_limits(prefer).minimum(one_minute_40c_ohm)
    }

    /// What decides on the minimum polarization index of each test of this machine.
    #[must_use]
    pub fn index_limits(&self, prefer: Preference) -> IndexLimits {
        let ceiling = |rule: &'static Rule| Ok((rule.value.value(self)?, rule));
        IndexLimits {
            ceilings: rule::on(Subject::PolarizationIndexCeiling).map(ceiling).collect(),
            below: self.index_minimum(prefer),
        }
    }

    /// The minimum polarization index below the ceilings.
    fn index_minimum(&self, prefer: Preference) -> Result<Limit, Unjudged> {
        for rule in rule::on(Subject::PolarizationIndexNotFor) {
            if rule.applies_to(self, prefer.thermosetting_since) == Applies::Yes {
                return Err(Unjudged::NotFor(rule));
            }
        }
        match (self.first(Subject::MinimumPolarizationIndex, prefer), self.insulation_class.as_deref()) {
            (Ok(limit), _) => Ok(limit),
            (Err(_), Some(class)) => Err(Unjudged::NoMinimumFor(class.into())),
            (Err(_), None) => Err(Unjudged::ClassUntold),
        }
    }

    /// Largest unbalance of winding resistances, a pure number ([`crate::unbalance::Definition::DeviationOverMean`]).
    #[must_use]
    pub fn largest_unbalance(&self, prefer: Preference) -> Option<Limit> {
        self.first(Subject::LargestUnbalance, prefer).ok()
    }

    /// The first rule on `subject` that surely applies, the preferred family's before others.
    ///
    /// # Errors
    /// What the records would have to tell.
    fn first(&self, subject: Subject, prefer: Preference) -> Result<Limit, Missing> {
        let mut missing = Missing::new("part", "no rule is for this winding");
        let mut rules: Vec<&Rule> = rule::on(subject).filter(|rule| rule.family != Family::Historic).collect();
        // A stable sort: the data's order stays within a family.
        rules.sort_by_key(|rule| (rule.family != prefer.family, rule.family));
        for rule in rules {
            match rule.applies_to(self, prefer.thermosetting_since) {
                Applies::Yes => return Limit::of(rule, self),
                Applies::Unknown(field) => missing = Missing::new(field, format!("the records tell no {field}")),
                Applies::No => {}
            }
        }
        Err(missing)
    }
}

#[cfg(test)]
mod tests {
    use super::Standing;
    use crate::{Machine, Part, Preference};
    use windrow_model::Bound;

    fn machine(volts: f64, kind: &str, year: i32) -> Machine {
        Machine {
            rated_voltage_v: Some(volts),
            winding_kind: Some(kind.into()),
            made_year: Some(year),
            ..Machine::default()
        }
    }

    fn megohms(machine: &Machine) -> Option<f64> {
        machine.minimum_insulation_resistance(Preference::default()).map(|limit| limit.value / 1e6)
    }

    /// IEEE 43-2013 Table 3 just below, at and above its borders (from memory).
    #[test]
    fn the_borders_of_the_table_of_minima() {
        assert_eq!(megohms(&machine(999.9, "form", 1990)), Some(5.0));
        assert_eq!(megohms(&machine(1000.0, "form", 1990)), Some(100.0));
        assert_eq!(megohms(&machine(1000.1, "form", 1990)), Some(100.0));
        assert_eq!(megohms(&machine(6600.0, "random", 1990)), Some(5.0));
        assert_eq!(megohms(&machine(6600.0, "form", 1969)), Some(7.6));
        assert_eq!(megohms(&machine(6600.0, "form", 1970)), Some(100.0));
        let field = Machine { part: Part::SynchronousField, ..machine(250.0, "form", 1990) };
        assert_eq!(megohms(&field), Some(1.25));
        assert_eq!(megohms(&Machine { part: Part::Armature, ..machine(500.0, "form", 1990) }), Some(5.0));
    }

    #[test]
    fn what_the_records_do_not_tell_is_not_judged() {
        assert_eq!(megohms(&Machine::default()), None);
        assert_eq!(megohms(&Machine { made_year: None, ..machine(6600.0, "form", 0) }), None);
        assert_eq!(megohms(&Machine { winding_kind: None, ..machine(6600.0, "", 1990) }), None);
        for impossible in [0.0, -400.0, f64::NAN, f64::INFINITY, 4.16, 4_160_000.0] {
            assert_eq!(megohms(&machine(impossible, "form", 1990)), None, "{impossible}");
        }
        let told = machine(4.16, "form", 1990).rated_voltage().unwrap_err();
        assert!(told.reason.contains("kilovolts"), "{told}");
    }

    /// PI-01 to PI-03: classes and the ceiling above which nothing is judged.
    #[test]
    fn polarization_index_minima() {
        let class = |class: &str| Machine { insulation_class: Some(class.into()), ..Machine::default() };
        let minimum = |name: &str, one_minute| {
            class(name).minimum_polarization_index(one_minute, Preference::default()).map(|limit| limit.value)
        };
        assert_eq!(minimum("155", Some(8.5e8)), Ok(2.0));
        assert_eq!(minimum("130", Some(5.0e9)), Ok(2.0));
        assert_eq!(minimum("180", None), Ok(2.0));
        assert_eq!(minimum("105", None), Ok(1.5));
        assert!(minimum("155", Some(5.000_001e9)).unwrap_err().to_string().contains("5000"));
        assert!(minimum("90", None).unwrap_err().to_string().contains("90"));
        assert!(Machine::default().minimum_polarization_index(None, Preference::default()).is_err());
        let small = Machine { insulation_class: Some("155".into()), ..machine(400.0, "random", 1995) };
        assert!(
            small
                .minimum_polarization_index(None, Preference::default())
                .unwrap_err()
                .to_string()
                .contains("random-wound")
        );
        let field = Machine { part: Part::DcField, ..class("155") };
        assert!(
            field.minimum_polarization_index(None, Preference::default()).unwrap_err().to_string().contains("field")
        );
    }

    #[test]
    fn a_bound_is_judged_only_where_it_decides() {
        let limit = machine(6600.0, "form", 1990).minimum_insulation_resistance(Preference::default()).unwrap();
        for (megohms, bound, standing) in [
            (100.0, Bound::Exact, Standing::Kept),
            (99.9, Bound::Exact, Standing::Broken),
            (2000.0, Bound::AtLeast, Standing::Kept),
            (50.0, Bound::AtLeast, Standing::Open),
            (0.5, Bound::AtMost, Standing::Broken),
            (100.0, Bound::AtMost, Standing::Open),
        ] {
            assert_eq!(limit.as_minimum(megohms * 1e6, bound), standing, "{megohms} {bound}");
        }
        assert_eq!(limit.as_minimum(f64::NAN, Bound::AtLeast), Standing::Open);
    }

    /// ANSI/EASA AR100-2020 clause 4.3.1 (quoted second-hand).
    #[test]
    fn largest_unbalance_by_construction() {
        let largest = |machine: Machine| machine.largest_unbalance(Preference::default()).map(|limit| limit.value);
        assert_eq!(largest(machine(400.0, "random", 1990)), Some(0.02));
        assert_eq!(largest(machine(6600.0, "form", 1990)), Some(0.01));
        assert_eq!(largest(Machine::default()), Some(0.05));
    }

    #[test]
    fn every_limit_carries_its_basis_and_a_caution() {
        let limit = machine(6600.0, "form", 1990).minimum_insulation_resistance(Preference::default()).unwrap();
        assert!(limit.basis.contains("IEEE 43-2013 Table 3") && limit.basis.contains("memory"), "{}", limit.basis);
        assert!(!limit.caution.is_empty());
        assert!(limit.for_one_phase().basis.contains("IR-ONE-PHASE"));
    }
}
