//! Levels of voltage tests: which voltage each standard asks, side by side.

use crate::applies::Applies;
use crate::cautions;
use crate::machine::{Machine, Missing, State};
use crate::rule::{self, Family, Rule, Subject};

/// A level that a standard asks of a winding.
#[derive(Debug, Clone, PartialEq)]
pub struct Level {
    /// The rule.
    pub rule: &'static Rule,
    /// Voltage, V (rms for alternating, peak for surge); the lower end of a range.
    pub volts: f64,
    /// Upper end of a range, V.
    pub up_to_v: Option<f64>,
    /// Standard, edition, clause, rule and how it is known.
    pub basis: String,
    /// What must be said wherever the level is shown.
    pub caution: &'static str,
}

/// What is asked of [`levels`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Asked<'a> {
    /// The winding.
    pub machine: &'a Machine,
    /// Its state.
    pub state: State,
    /// Whose rules come first.
    pub prefer: Family,
}

/// Every level on `subject` that surely applies, those of the preferred family first, otherwise in the order of the data.
///
/// # Errors
/// When the rated voltage is missing or cannot be true: no level is ever made from such a figure.
///
/// ```
/// use windrow_criteria::level::{Asked, levels};
/// use windrow_criteria::{Family, Machine, State, Subject};
/// // worked examples HP-09 and HP-10: 230 V new, IEC asks 1500 V and North American practice 1460 V
/// let machine = Machine { rated_voltage_v: Some(230.0), rated_power_w: Some(4000.0), ..Machine::default() };
/// let asked = Asked { machine: &machine, state: State::New, prefer: Family::Iec };
/// let found: Vec<f64> = levels(Subject::AcWithstand, asked).unwrap().iter().map(|level| level.volts).collect();
/// assert_eq!(found[..2], [1500.0, 1460.0]);
/// ```
pub fn levels(subject: Subject, asked: Asked<'_>) -> Result<Vec<Level>, Missing> {
    asked.machine.rated_voltage()?;
    let mut found: Vec<Level> = rule::on(subject)
        .filter(|rule| rule.state.is_empty() || rule.state.contains(&asked.state))
        .filter(|rule| rule.applies_to(asked.machine, i32::MIN) == Applies::Yes)
        .map(|rule| level(rule, asked.machine))
        .collect::<Result<_, _>>()?;
    // A stable sort: the data's order stays within a family.
    found.sort_by_key(|level| (level.rule.family != asked.prefer, level.rule.family));
    Ok(found)
}

fn level(rule: &'static Rule, machine: &Machine) -> Result<Level, Missing> {
    Ok(Level {
        rule,
        volts: rule.value.value(machine)?,
        up_to_v: rule.upper.as_ref().map(|upper| upper.value(machine)).transpose()?,
        basis: rule.basis().to_string(),
        caution: cautions::of(rule.subject),
    })
}

#[cfg(test)]
mod tests {
    use super::{Asked, levels};
    use crate::{Family, Machine, State, Subject};
    use proptest::prelude::*;

    fn stator(volts: f64) -> Machine {
        Machine { rated_voltage_v: Some(volts), voltage_confirmed: true, ..Machine::default() }
    }

    fn ranges(volts: f64, family: Family) -> Vec<(f64, Option<f64>)> {
        let machine = stator(volts);
        let asked = Asked { machine: &machine, state: State::InService, prefer: Family::Ieee };
        levels(Subject::InsulationTestVoltage, asked)
            .unwrap()
            .iter()
            .filter(|level| level.rule.family == family)
            .map(|level| (level.volts, level.up_to_v))
            .collect()
    }

    /// IEEE 43-2013 Table 1 just below, at and above every border (from memory); 480 V gives about 500 V (common practice).
    #[test]
    fn voltage_to_measure_insulation_resistance_with() {
        for (rated, expected) in [
            (480.0, (500.0, None)),
            (999.9, (500.0, None)),
            (1000.0, (500.0, Some(1000.0))),
            (2500.0, (500.0, Some(1000.0))),
            (2501.0, (1000.0, Some(2500.0))),
            (5000.0, (1000.0, Some(2500.0))),
            (5001.0, (2500.0, Some(5000.0))),
            (12_000.0, (2500.0, Some(5000.0))),
            (12_001.0, (5000.0, Some(10_000.0))),
        ] {
            assert_eq!(ranges(rated, Family::Ieee), [expected], "{rated}");
            assert_eq!(ranges(rated, Family::Iec), [expected], "{rated}: practically the same bands, from memory");
        }
    }

    /// A refrigeration machine's manual just below, at and above every border (verified).
    #[test]
    fn voltage_to_measure_insulation_resistance_with_as_users_simplify_it() {
        for (rated, volts) in [(899.0, 500.0), (900.0, 500.0), (901.0, 1000.0), (7000.0, 1000.0), (7001.0, 2500.0)] {
            assert_eq!(ranges(rated, Family::Practice), [(volts, None)], "{rated}");
        }
        assert_eq!(ranges(14_500.0, Family::Practice), [(2500.0, None)]);
        assert!(ranges(14_501.0, Family::Practice).is_empty(), "the table ends");
    }

    #[test]
    fn no_level_without_a_rated_voltage_that_can_be_true() {
        for rated in [None, Some(0.0), Some(f64::NAN), Some(4.16), Some(1e9)] {
            let machine = Machine { rated_voltage_v: rated, ..Machine::default() };
            let asked = Asked { machine: &machine, state: State::New, prefer: Family::Ieee };
            assert_eq!(levels(Subject::AcWithstand, asked).unwrap_err().field, "rated_voltage_v", "{rated:?}");
        }
    }

    #[test]
    fn the_preferred_family_comes_first_and_the_others_stay() {
        let machine = stator(4160.0);
        for prefer in [Family::Ieee, Family::Iec] {
            let found = levels(Subject::DcWithstand, Asked { machine: &machine, state: State::New, prefer }).unwrap();
            assert!(found.iter().all(|level| !level.caution.is_empty() && level.basis.contains(&level.rule.id)));
        }
        let found =
            levels(Subject::AcWithstand, Asked { machine: &machine, state: State::New, prefer: Family::Iec }).unwrap();
        assert_eq!(found[0].rule.family, Family::Iec);
        assert!(found.iter().any(|level| level.rule.family == Family::Ieee), "both are shown");
    }

    proptest! {
        #[test]
        fn levels_never_fall_with_the_rated_voltage(volts in 24.0_f64..20_000.0, more in 0.0_f64..500.0) {
            for subject in [Subject::AcWithstand, Subject::DcWithstand, Subject::Surge] {
                for state in [State::New, State::Overhauled, State::InService] {
                    let (low, high) = (stator(volts), stator(volts + more));
                    let at = |machine| levels(subject, Asked { machine, state, prefer: Family::Ieee }).unwrap();
                    for level in at(&low) {
                        for other in at(&high).iter().filter(|other| other.rule.id == level.rule.id) {
                            prop_assert!(other.volts >= level.volts);
                        }
                    }
                }
            }
        }
    }
}
