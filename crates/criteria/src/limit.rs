//! Limits looked up by machine; the figures stand in `data/limits.csv` with standard, clause and how each is known.

use std::collections::BTreeMap;
use std::sync::LazyLock;

/// What decides which limit applies; every field may be unknown.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Machine {
    /// Rated line-to-line voltage, V.
    pub rated_voltage_v: Option<f64>,
    /// `random` or `form`.
    pub winding_kind: Option<String>,
    /// Year of manufacture.
    pub made_year: Option<i32>,
    /// `thermoplastic` or `thermosetting`.
    pub insulation_era: Option<String>,
    /// IEC 60085 thermal class.
    pub insulation_class: Option<String>,
}

/// A limit with where it comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// The figure, in the stored unit of its quantity.
    pub value: f64,
    /// Rule, standard, edition, clause and how it is known.
    pub basis: String,
}

/// One row of the data file.
struct Row {
    value: &'static str,
    basis: String,
}

static ROWS: LazyLock<BTreeMap<&'static str, Row>> = LazyLock::new(|| {
    include_str!("../data/limits.csv")
        .lines()
        .skip(1)
        .filter_map(|line| {
            let fields: Vec<&str> = line.split(',').collect();
            let [rule, _, value, _, _, standard, clause, known] = fields.as_slice() else { return None };
            Some((*rule, Row { value, basis: format!("{standard} {clause}, rule {rule} ({known})") }))
        })
        .collect()
});

fn row(rule: &str) -> Option<(f64, String)> {
    let row = ROWS.get(rule)?;
    Some((row.value.parse().unwrap_or(f64::NAN), row.basis.clone()))
}

fn limit(rule: &str, scale: f64) -> Option<Limit> {
    row(rule).map(|(value, basis)| Limit { value: value * scale, basis })
}

impl Machine {
    /// Minimum one-minute insulation resistance at 40 °C of the whole winding, Ohm (IEEE 43-2013 Table 3).
    ///
    /// `None` when the machine's records do not decide: without a rated voltage, or with neither construction nor age.
    /// `thermosetting_since` is the year from which windings count as thermosetting where the records do not tell.
    #[must_use]
    pub fn minimum_insulation_resistance(&self, thermosetting_since: i32) -> Option<Limit> {
        let volts = self.rated_voltage_v.filter(|volts| volts.is_finite() && *volts > 0.0)?;
        let old = match self.insulation_era.as_deref() {
            Some("thermoplastic") => Some(true),
            Some("thermosetting") => Some(false),
            _ => self.made_year.map(|year| year < thermosetting_since),
        };
        match (old?, self.winding_kind.as_deref(), volts < 1000.0) {
            (true, _, _) => row("IR-KV1").map(|(_, basis)| Limit { value: (volts / 1000.0 + 1.0) * 1e6, basis }),
            (false, Some("random"), _) | (false, _, true) => limit("IR-5", 1e6),
            (false, Some("form"), false) => limit("IR-100", 1e6),
            (false, _, false) => None,
        }
    }

    /// Minimum polarization index; the reason when none applies (IEEE 43-2013 Table 2).
    ///
    /// # Errors
    /// The reason, in words: thermal class not told, or a one-minute value too high for the index to mean anything.
    pub fn minimum_polarization_index(&self, one_minute_40c_ohm: Option<f64>) -> Result<Limit, String> {
        let (ceiling, basis) = row("PI-5000").ok_or_else(|| "the limits file lacks PI-5000".to_owned())?;
        if one_minute_40c_ohm.is_some_and(|value| value > ceiling * 1e6) {
            return Err(format!(
                "not judged: the one-minute value is above {ceiling} MΩ, where the index means nothing ({basis})"
            ));
        }
        let rule = match self.insulation_class.as_deref() {
            Some("105") => "PI-A",
            Some("130" | "155" | "180") => "PI-BFH",
            Some(other) => return Err(format!("not judged: no minimum for thermal class {other}")),
            None => return Err("not judged: the records tell no thermal class".to_owned()),
        };
        limit(rule, 1.0).ok_or_else(|| format!("the limits file lacks {rule}"))
    }

    /// Largest unbalance of winding resistance, a pure number (definition: [`crate::unbalance::from_mean`]).
    #[must_use]
    pub fn largest_unbalance(&self) -> Option<Limit> {
        match self.winding_kind.as_deref() {
            Some("random") => limit("UNB-R", 1.0),
            Some("form") => limit("UNB-F", 1.0),
            _ => limit("UNB-FIELD", 1.0),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Machine, ROWS};

    fn machine(volts: f64, kind: &str, year: i32) -> Machine {
        Machine {
            rated_voltage_v: Some(volts),
            winding_kind: Some(kind.into()),
            made_year: Some(year),
            ..Machine::default()
        }
    }

    fn megohms(machine: &Machine) -> Option<f64> {
        machine.minimum_insulation_resistance(1970).map(|limit| limit.value / 1e6)
    }

    /// Worked examples MN-01 … MN-05 (IEEE 43-2013 Table 3; formula verified, scope from memory).
    #[test]
    fn worked_examples() {
        for (volts, kind, year, expected) in [
            (4160.0, "form", 1960, 5.16),
            (13_800.0, "form", 1965, 14.8),
            (480.0, "random", 1960, 1.48),
            (480.0, "random", 1995, 5.0),
            (6600.0, "form", 1988, 100.0),
        ] {
            assert!((megohms(&machine(volts, kind, year)).unwrap() - expected).abs() < 1e-9, "{volts} {kind} {year}");
        }
    }

    #[test]
    fn what_the_records_do_not_tell_is_not_judged() {
        assert_eq!(megohms(&Machine::default()), None);
        assert_eq!(megohms(&Machine { made_year: None, ..machine(6600.0, "form", 0) }), None);
        assert_eq!(megohms(&Machine { winding_kind: None, ..machine(6600.0, "", 1990) }), None);
        assert_eq!(megohms(&machine(0.0, "form", 1990)), None);
    }

    /// PI-01 to PI-03: classes and the ceiling above which nothing is judged.
    #[test]
    fn polarization_index_minima() {
        let class = |class: &str| Machine { insulation_class: Some(class.into()), ..Machine::default() };
        assert!((class("155").minimum_polarization_index(Some(8.5e8)).unwrap().value - 2.0).abs() < f64::EPSILON);
        assert!((class("105").minimum_polarization_index(None).unwrap().value - 1.5).abs() < f64::EPSILON);
        assert!(class("155").minimum_polarization_index(Some(6.1e9)).unwrap_err().contains("5000"));
        assert!(Machine::default().minimum_polarization_index(None).is_err());
    }

    #[test]
    fn every_rule_has_a_standard_a_clause_and_how_it_is_known() {
        assert_eq!(ROWS.len(), 9);
        assert!(ROWS.values().all(|row| row.basis.contains("rule") && row.basis.contains('(')));
    }
}
