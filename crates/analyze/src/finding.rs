//! How a rule states what it found.

use crate::judge::Judged;
use crate::series::History;
use jiff::civil::Date;
use windrow_model::Finding;
use windrow_model::id::row_id;

/// What a rule found on one test.
#[derive(Debug)]
pub(crate) struct Found {
    pub(crate) rule: &'static str,
    pub(crate) level: &'static str,
    pub(crate) statement: String,
    pub(crate) value: Option<f64>,
    pub(crate) limit: Option<f64>,
    pub(crate) unit: &'static str,
    pub(crate) basis: String,
    pub(crate) next_test: &'static str,
    pub(crate) cautions: &'static str,
}

/// What a finding is about.
#[derive(Debug)]
pub(crate) struct About {
    /// Parts of its id, so that running again gives the same.
    pub(crate) key: Vec<String>,
    pub(crate) asset_id: Option<String>,
    pub(crate) test_id: Option<String>,
    pub(crate) evidence: Vec<String>,
    pub(crate) seen: Option<Date>,
}

/// The row of what was found on a machine, as `judged`, its newest evidence, shows it. One finding a machine and rule: a newer test that
/// shows the same goes on with the same finding. Fields that few rules fill (`working`, `proposal`, `q_value`, the forecast) are set
/// on what this returns.
pub(crate) fn row(history: &History<'_>, judged: &Judged<'_>, found: Found) -> Finding {
    of_test(vec![history.asset_id.to_owned(), found.rule.to_owned()], history, judged, found)
}

/// The row of what was found on the record of one test; other tests can have the same rule's findings beside it.
pub(crate) fn row_of_record(history: &History<'_>, judged: &Judged<'_>, found: Found) -> Finding {
    let key = vec![history.asset_id.to_owned(), judged.test.test_id.to_string(), found.rule.to_owned()];
    of_test(key, history, judged, found)
}

fn of_test(key: Vec<String>, history: &History<'_>, judged: &Judged<'_>, found: Found) -> Finding {
    let test = judged.test;
    let about = About {
        key,
        asset_id: Some(history.asset_id.to_owned()),
        test_id: Some(test.test_id.to_string()),
        evidence: judged.evidence().collect(),
        seen: test.performed_on,
    };
    stated(about, found)
}

/// The row of what was found in a series of tests of a machine, oldest first. It keeps its id as tests are added; `part` tells findings
/// of one rule apart (a circuit, a quantity). Evidence: the readings of `quantities` in those tests, or all where none are singled out.
pub(crate) fn of_series(
    history: &History<'_>,
    tests: &[&Judged<'_>],
    (part, quantities): (&str, &[&str]),
    found: Found,
) -> Finding {
    let mut evidence = Vec::new();
    for judged in tests {
        let own = judged.figures().filter(|figure| quantities.contains(&figure.quantity()));
        let before = evidence.len();
        evidence.extend(own.filter_map(|figure| figure.reading_id()));
        if evidence.len() == before {
            evidence.extend(judged.evidence());
        }
    }
    let newest = tests.last();
    let about = About {
        key: [history.asset_id, found.rule, part]
            .iter()
            .filter(|part| !part.is_empty())
            .map(|part| (*part).to_owned())
            .collect(),
        asset_id: Some(history.asset_id.to_owned()),
        test_id: newest.map(|judged| judged.test.test_id.to_string()),
        evidence,
        seen: newest.and_then(|judged| judged.test.performed_on),
    };
    stated(about, found)
}

/// The row of what was found.
pub(crate) fn stated(about: About, found: Found) -> Finding {
    let key: Vec<&str> = about.key.iter().map(String::as_str).collect();
    Finding {
        finding_id: row_id("findings", &key).into(),
        asset_id: about.asset_id,
        test_id: about.test_id,
        rule: found.rule.to_owned(),
        level: found.level.to_owned(),
        statement: found.statement,
        evidence: about.evidence,
        value: found.value,
        limit: found.limit,
        unit: Some(found.unit.to_owned()),
        basis: found.basis,
        next_test: Some(found.next_test.to_owned()),
        cautions: found.cautions.to_owned(),
        q_value: None,
        forecast_date: None,
        forecast_from: None,
        forecast_to: None,
        first_seen: about.seen,
        last_seen: about.seen,
        state: "open".to_owned(),
        working: Vec::new(),
        proposal: None,
        changes: Vec::new(),
    }
}

/// Megohms as people write them: never fewer than two digits of what is not zero.
pub(crate) fn megohms(ohm: f64) -> String {
    /// More decimals are an error of the store, not a resistance.
    const MOST_DECIMALS: f64 = 12.0;
    let value = ohm / 1e6;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "from 2 to 12")]
    let decimals = match value {
        value if value >= 100.0 => 0,
        value if value > 0.0 && value < 0.1 => (1.0 - value.log10().floor()).min(MOST_DECIMALS) as usize,
        _ => 2,
    };
    format!("{value:.decimals$} MΩ")
}

/// A chance or a rate as people write it: never a zero that is none.
pub(crate) fn small(p: f64) -> String {
    if p < 1e-4 { format!("{p:.0e}") } else { format!("{p:.4}") }
}

#[cfg(test)]
mod tests {
    use super::megohms;

    #[test]
    fn a_low_resistance_keeps_its_digits() {
        for (ohm, told) in [
            (1.453e9, "1453 MΩ"),
            (16.65e6, "16.65 MΩ"),
            (0.32e6, "0.32 MΩ"),
            (89_223.0, "0.089 MΩ"),
            (4000.0, "0.0040 MΩ"),
            (0.0, "0.00 MΩ"),
        ] {
            assert_eq!(megohms(ohm), told);
        }
    }
}
