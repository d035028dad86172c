//! The rules as data: what each standard asks, of what, by which formula, and how the figure is known.

use crate::applies::{self, Applies, Condition};
use crate::formula::Formula;
use crate::machine::{Machine, Missing, State};
use serde::Deserialize;
use std::sync::{LazyLock, OnceLock};
use windrow_model::Text;

/// What a rule limits or asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Subject {
    /// Minimum one-minute insulation resistance of the whole winding at 40 °C, Ohm.
    MinimumInsulationResistance,
    /// Factor on that minimum for one phase with the others earthed.
    OnePhaseFactor,
    /// Factor on that minimum for one phase with the others on the guard.
    OnePhaseGuardedFactor,
    /// Direct voltage to measure insulation resistance with, V.
    InsulationTestVoltage,
    /// Minimum polarization index.
    MinimumPolarizationIndex,
    /// One-minute insulation resistance above which the index is not judged, Ohm.
    PolarizationIndexCeiling,
    /// Windings for which the index is not judged.
    PolarizationIndexNotFor,
    /// Alternating withstand voltage, V rms.
    AcWithstand,
    /// Direct withstand voltage, V.
    DcWithstand,
    /// How fast a direct voltage is raised, V/s.
    RateOfRise,
    /// By how much a direct voltage is raised from step to step, V.
    StepOfVoltage,
    /// Alternating voltage at which dissipation factors are measured, V rms.
    DissipationVoltage,
    /// Largest dissipation factor, a pure number.
    LargestDissipationFactor,
    /// Largest growth of the dissipation factor from one step of the voltage to the next, a pure number.
    LargestDissipationGrowth,
    /// Alternating voltage at which partial discharges are measured, V rms.
    DischargeVoltage,
    /// Growth of partial discharges between two tests that tells of rapid decline, a pure number.
    DischargeGrowth,
    /// Surge level, V peak.
    Surge,
    /// Crest of what service puts on the ground wall, V.
    ServiceStressToEarth,
    /// Crest of what service puts between phases, V.
    ServiceStressBetweenPhases,
    /// Crest of what a start puts on the turns of the line end, V.
    ServiceStressBetweenTurns,
    /// Largest unbalance of winding resistances, a pure number ([`crate::unbalance::Definition::DeviationOverMean`]).
    LargestUnbalance,
    /// Largest change of a winding's resistance between two tests at one temperature, a pure number.
    LargestResistanceChange,
    /// Least distance of the winding's temperature from the dew point, K.
    DewPointMargin,
}

impl Subject {
    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::MinimumInsulationResistance => "minimum insulation resistance",
            Self::OnePhaseFactor => "factor for one phase, the others earthed",
            Self::OnePhaseGuardedFactor => "factor for one phase, the others guarded",
            Self::InsulationTestVoltage => "voltage for insulation resistance",
            Self::MinimumPolarizationIndex => "minimum polarization index",
            Self::PolarizationIndexCeiling => "resistance above which the index is not judged",
            Self::PolarizationIndexNotFor => "windings whose index is not judged",
            Self::AcWithstand => "alternating withstand voltage",
            Self::DcWithstand => "direct withstand voltage",
            Self::RateOfRise => "rate of rise of a direct voltage",
            Self::StepOfVoltage => "steps of a direct voltage",
            Self::DissipationVoltage => "voltages to measure the dissipation factor at",
            Self::LargestDissipationFactor => "largest dissipation factor",
            Self::LargestDissipationGrowth => "largest growth of the dissipation factor with voltage",
            Self::DischargeVoltage => "voltage to measure partial discharges at",
            Self::DischargeGrowth => "growth of partial discharges",
            Self::Surge => "surge voltage",
            Self::ServiceStressToEarth => "stress of service on the ground wall",
            Self::ServiceStressBetweenPhases => "stress of service between phases",
            Self::ServiceStressBetweenTurns => "stress of a start between turns",
            Self::LargestUnbalance => "largest unbalance of winding resistance",
            Self::LargestResistanceChange => "largest change of winding resistance",
            Self::DewPointMargin => "distance from the dew point",
        }
    }
}

/// How a figure is known to the people who wrote it down here.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Known {
    /// The passage of the source was read.
    Verified,
    /// A text that cites the standard was read.
    Quoted,
    /// Widely published, not confirmed by a source.
    Memory,
    /// Common practice, no source.
    Practice,
}

/// Whose rules a site prefers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Family {
    /// IEEE and NEMA.
    Ieee,
    /// IEC.
    Iec,
    /// Standards of the repair trade.
    Repair,
    /// Common practice.
    Practice,
    /// Rules of the past, met in old records; never judged by.
    Historic,
}

/// A worked example of a rule.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Example {
    /// Rated voltage of the machine, V.
    pub rated_voltage_v: f64,
    /// Its rated power, W, where the rule needs it.
    #[serde(default)]
    pub rated_power_w: Option<f64>,
    /// What the rule then gives, in its unit; the lower end of a range.
    pub gives: f64,
    /// Upper end of a range.
    #[serde(default)]
    pub up_to: Option<f64>,
    /// Where the example comes from.
    pub source: String,
}

/// One rule.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rule {
    /// Short stable name, shown beside every figure.
    pub id: String,
    /// What it limits.
    pub subject: Subject,
    /// The figure.
    pub value: Formula,
    /// Upper end, when the rule gives a range.
    #[serde(default)]
    pub upper: Option<Formula>,
    /// The figure in words.
    pub formula: String,
    /// A worked example, for every figure that depends on the machine.
    #[serde(default)]
    pub example: Option<Example>,
    /// UCUM code; by default the unit of the subject.
    #[serde(default)]
    unit: Option<String>,
    /// Rise time of a surge.
    #[serde(default)]
    pub front: Option<String>,
    /// Duration of a withstand test, s; one minute unless told.
    #[serde(default)]
    pub duration_s: Option<f64>,
    /// States of the winding it is for; every state when empty.
    #[serde(default)]
    pub state: Vec<State>,
    /// What it is for, in words.
    pub scope: String,
    /// Any of these must hold; everything when empty.
    pub applies: Vec<Condition>,
    /// Whose rule it is.
    pub family: Family,
    /// The standard or text.
    pub standard: String,
    /// Edition.
    #[serde(default)]
    pub year: Option<i32>,
    /// Clause, table or page.
    pub clause: String,
    /// How the figure is known.
    pub known: Known,
    /// The same in words.
    pub how: String,
    /// [`Rule::basis`], put together when it is first asked for: an analysis asks at every test.
    #[serde(skip)]
    basis: OnceLock<Text>,
}

impl Rule {
    /// Standard, edition, clause, rule and how it is known, in one line.
    #[must_use]
    pub fn basis(&self) -> Text {
        let told = || Text::from(format!("{}{}, rule {} ({})", self.edition(), self.place(), self.id, self.how));
        self.basis.get_or_init(told).clone()
    }

    /// The standard with its edition, as its publisher writes it: `IEEE 43-2013`, `IEC 60034-1:2004`.
    #[must_use]
    pub fn edition(&self) -> String {
        let sign = if self.standard.starts_with("IEC") { ':' } else { '-' };
        self.year.map_or_else(|| self.standard.clone(), |year| format!("{}{sign}{year}", self.standard))
    }

    /// Clause, table or page after a blank; empty where the source has none.
    fn place(&self) -> String {
        if self.clause.starts_with("no ") { String::new() } else { format!(" {}", self.clause) }
    }

    /// The figure for `machine`, and the upper end when it is a range, in [`Rule::unit`].
    ///
    /// # Errors
    /// The field of the nameplate that it needs and that is missing or cannot be true.
    pub fn figures(&self, machine: &Machine) -> Result<(f64, Option<f64>), Missing> {
        let upper = self.upper.as_ref().map(|upper| upper.value(machine)).transpose()?;
        Ok((self.value.value(machine)?, upper))
    }

    /// Whether it is for `machine`, windings made before `thermosetting_since` counting as thermoplastic; if nobody can say,
    /// which column of `assets` would decide.
    #[must_use]
    pub fn applies_to(&self, machine: &Machine, thermosetting_since: i32) -> Applies {
        applies::any(&self.applies, machine, thermosetting_since)
    }

    /// UCUM code of the figure.
    #[must_use]
    pub fn unit(&self) -> &str {
        match (&self.unit, self.subject) {
            (Some(unit), _) => unit,
            (
                None,
                Subject::AcWithstand
                | Subject::DcWithstand
                | Subject::Surge
                | Subject::InsulationTestVoltage
                | Subject::StepOfVoltage
                | Subject::DissipationVoltage
                | Subject::DischargeVoltage
                | Subject::ServiceStressToEarth
                | Subject::ServiceStressBetweenPhases
                | Subject::ServiceStressBetweenTurns,
            ) => "V",
            (None, Subject::MinimumInsulationResistance | Subject::PolarizationIndexCeiling) => "Ohm",
            (None, Subject::RateOfRise) => "V/s",
            (None, Subject::DewPointMargin) => "K",
            (None, _) => "1",
        }
    }
}

#[derive(Deserialize)]
struct RuleFile {
    rule: Vec<Rule>,
}

const FILES: [&str; 6] = [
    include_str!("../data/insulation_resistance.toml"),
    include_str!("../data/ratios_and_balance.toml"),
    include_str!("../data/withstand.toml"),
    include_str!("../data/surge.toml"),
    include_str!("../data/dielectric.toml"),
    include_str!("../data/service.toml"),
];

static RULES: LazyLock<Vec<Rule>> = LazyLock::new(|| {
    // The files are part of the program; a test reads each of them and fails when one cannot be read.
    FILES.iter().filter_map(|text| toml::from_str::<RuleFile>(text).ok()).flat_map(|file| file.rule).collect()
});

/// All rules, in the order of the data files.
#[must_use]
pub fn rules() -> &'static [Rule] {
    &RULES
}

/// The rule called `id`.
#[must_use]
pub fn rule(id: &str) -> Option<&'static Rule> {
    rules().iter().find(|rule| rule.id == id)
}

/// The rules on `subject`.
pub fn on(subject: Subject) -> impl Iterator<Item = &'static Rule> {
    rules().iter().filter(move |rule| rule.subject == subject)
}

#[cfg(test)]
mod tests {
    use super::{FILES, Known, RuleFile, rule, rules};
    use crate::formula::Formula;
    use crate::machine::Machine;
    use std::collections::BTreeSet;

    #[test]
    fn every_data_file_reads() {
        let read = FILES.iter().map(|text| toml::from_str::<RuleFile>(text).unwrap().rule.len()).sum::<usize>();
        assert_eq!(read, rules().len());
        let names: BTreeSet<&str> = rules().iter().map(|rule| rule.id.as_str()).collect();
        assert_eq!(names.len(), rules().len(), "a rule's name is its own");
    }

    #[test]
    fn every_rule_says_how_it_is_known() {
        for rule in rules() {
            let word = match rule.known {
                Known::Verified => "verified",
                Known::Quoted => "quoted",
                Known::Memory => "memory",
                Known::Practice => "common practice",
            };
            assert!(rule.how.contains(word), "{}", rule.id);
            let has_place = rule.clause.starts_with("no ") || rule.basis().contains(&rule.clause);
            assert!(rule.basis().contains(&rule.id) && has_place);
        }
    }

    /// The examples are those of the reference files and of the texts that they name.
    #[test]
    fn every_figure_that_depends_on_the_machine_has_an_example_that_holds() {
        for rule in rules() {
            let Some(example) = &rule.example else {
                let is_fixed = matches!(rule.value, Formula::Fixed(_));
                assert!(is_fixed, "{} has no example", rule.id);
                continue;
            };
            let machine = Machine {
                rated_voltage_v: Some(example.rated_voltage_v),
                rated_power_w: example.rated_power_w,
                ..Machine::default()
            };
            let (value, upper) = rule.figures(&machine).unwrap();
            let near = |found: f64, wanted: f64| (found / wanted - 1.0).abs() < 1e-8;
            assert!(near(value, example.gives), "{}: {value}", rule.id);
            assert_eq!(upper.is_some(), example.up_to.is_some(), "{}", rule.id);
            assert!(upper.zip(example.up_to).is_none_or(|(found, wanted)| near(found, wanted)), "{}", rule.id);
        }
    }

    #[test]
    fn a_rule_derived_from_another_names_one_that_stands_by_itself() {
        for rule_here in rules() {
            for formula in std::iter::once(&rule_here.value).chain(&rule_here.upper) {
                if let Formula::Of { rule: base, .. } = formula {
                    let base = rule(base).expect("the base is a rule");
                    assert!(!matches!(base.value, Formula::Of { .. }), "{}", rule_here.id);
                }
            }
        }
    }
}
