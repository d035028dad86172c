//! What remarks, notes and footnotes tell of how a value was measured: "winding at 35 °C", "tested at 500 V".

use crate::circuit::{self, CircuitMeaning};
use crate::fold::fold;
use crate::header;
use crate::marks::is_kind;
use crate::measure::{self, Condition};
use crate::mention;
use crate::prose::{self, Place};
use crate::unit;
use crate::volts::{TEST_VOLTS, is_test_step};
use std::borrow::Cow;
use windrow_model::Dimension;

/// All words that may stand around the voltage of a test; any other ("rewound for 4160 V") may say whose voltage it is.
const TESTED: &[&str] = &[
    "at",
    "tested",
    "test",
    "with",
    "measured",
    "meg",
    "used",
    "set",
    "only",
    "reduced",
    "to",
    "voltage",
    "dc",
    "vdc",
    "instead",
    "by",
    "using",
    "taken",
    "applied",
    "mit",
    "gemessen",
    "gepruft",
    "bei",
    "nur",
    "prufspannung",
    "messspannung",
    "sous",
    "mesure",
    "mesuree",
    "essai",
    "essaye",
    "a",
    "avec",
    "tension",
    "d",
    "seulement",
    "cc",
    "medido",
    "medida",
    "ensayado",
    "ensayo",
    "probado",
    "prueba",
    "con",
    "de",
    "en",
    "solo",
    "bajo",
];

/// The conditions that a remark tells: the winding's temperature, as [`prose::temperatures`] has it, and the test's voltage, clause by
/// clause, with the one time that stands beside it; words of other things tell none. Common practice, no source.
#[must_use]
pub fn conditions(text: &str) -> Vec<Condition> {
    let winding = prose::temperatures(text).into_iter().filter(|(place, _)| *place == Place::Winding);
    let clauses = text.split([';', '\n']).flat_map(|part| part.split(", "));
    let mut told: Vec<Condition> = winding.map(|(_, celsius)| Condition::TemperatureC(celsius)).collect();
    let mut times: Vec<f64> = Vec::new();
    let mut has_volts = false;
    for clause in clauses {
        let (rest, seconds) = without_time(clause.trim());
        let volts = voltage(&rest).filter(|_| !rest.is_empty());
        has_volts |= volts.is_some();
        told.extend(volts.map(Condition::VoltageV));
        let is_all = rest.is_empty() || volts.is_some();
        times.extend(seconds.filter(|_| is_all));
    }
    // A time alone may be how long anything took; beside the voltage of the test it is the reading's.
    if let ([seconds], true) = (times.as_slice(), has_volts) {
        told.push(Condition::ElapsedS(*seconds));
    }
    told
}

/// The terminals that one clause of a remark names, with nothing but its time and voltage beside them: "toutes phases/masse, 1 min". "U repaired" and
/// two clauses that name some tell none.
///
/// ```
/// use windrow_text::remark::terminals;
/// assert!(terminals("between U and V, winding at 23 °C").is_some() && terminals("all phases/earth, 1 min at 500 V").is_some());
/// assert!(terminals("phase U repaired").is_none() && terminals("U-V, V-W").is_none() && terminals("cable side, 500 V").is_none());
/// ```
#[must_use]
pub fn terminals(text: &str) -> Option<Vec<CircuitMeaning>> {
    let clauses = text.split([';', '\n']).flat_map(|part| part.split(", "));
    let mut told = clauses.filter_map(|clause| {
        let clause = clause.trim();
        let whole = circuit::read(clause);
        let label = header::read(clause);
        let is_alone = label.unexplained.is_empty() && label.concepts.is_empty() && label.units.is_empty();
        let named = if whole.is_empty() && is_alone { label.circuits } else { whole };
        named.iter().any(|meaning| meaning.weight >= 0.9).then_some(named)
    });
    told.next().filter(|_| told.next().is_none())
}

/// A clause without the one time that it tells ("1 min at 1 kV", "500 V 30 sec"), and that time, s.
fn without_time(clause: &str) -> (Cow<'_, str>, Option<f64>) {
    let found = mention::times(clause);
    let [one] = found.as_slice() else { return (Cow::Borrowed(clause), None) };
    let (Some(before), Some(behind)) = (clause.get(..one.at.start), clause.get(one.at.end..)) else {
        return (Cow::Borrowed(clause), None);
    };
    let leads = |word: &str| is_kind(&fold(word), "time_lead");
    let before = before.trim_end();
    let lead = before.rsplit(' ').next().filter(|word| leads(word)).map_or(0, str::len);
    let rest = format!("{} {behind}", before.get(..before.len() - lead).unwrap_or_default());
    (Cow::Owned(rest.split_whitespace().collect::<Vec<_>>().join(" ")), Some(one.seconds))
}

/// Whether a remark tells a resistance of its own: what else it tells ("after drying 450 MΩ at 1 kV, 35 °C") is of that value, and not of
/// the one that it stands beside.
#[must_use]
pub fn tells_resistance(text: &str) -> bool {
    let begins = |(at, c): &(usize, char)| {
        let before = text.get(..*at).and_then(|before| before.chars().next_back());
        c.is_ascii_digit() && before.is_none_or(|c| !c.is_alphanumeric() && !matches!(c, '.' | ',' | '-'))
    };
    text.char_indices().filter(begins).filter_map(|(at, _)| measure::begin(text.get(at..)?)).any(|(part, _)| {
        part.units.first().is_some_and(|best| best.unit.dimension == Dimension::Resistance && best.weight >= 0.6)
    })
}

fn voltage(clause: &str) -> Option<f64> {
    let at = clause.find(|c: char| c.is_ascii_digit())?;
    let (before, rest) = (clause.get(..at)?, clause.get(at..)?);
    if clause.len() > 80 || before.ends_with(|c: char| c.is_alphanumeric() || matches!(c, '-' | '/' | '.')) {
        return None;
    }
    let ends = rest.char_indices().filter(|(_, c)| c.is_whitespace()).map(|(at, _)| at).chain([rest.len()]);
    let mut heads: Vec<usize> = ends.take(3).collect();
    heads.reverse();
    heads.into_iter().find_map(|end| {
        let (head, behind) = (rest.get(..end)?, rest.get(end..)?);
        let part = measure::number_with_unit(head)?;
        let folded = fold(&format!("{before} {behind}"));
        let words: Vec<&str> = folded.split(' ').filter(|word| !word.is_empty()).collect();
        let unit = unit::read(&part.unit_text, Some(Dimension::Voltage)).first()?.unit;
        let volts = part.numbers.iter().map(|number| unit.to_stored(number.value));
        let volts = volts.into_iter().find(|volts| TEST_VOLTS.contains(volts))?;
        let is_step = is_test_step(volts);
        let is_told = words.iter().all(|word| TESTED.contains(word) || is_kind(word, "after_work"))
            && (is_step || !words.is_empty());
        is_told.then_some(volts)
    })
}

#[cfg(test)]
mod tests {
    use super::{Condition, conditions, tells_resistance};

    /// Wordings of remarks: common practice, no source.
    #[test]
    fn remarks_tell_the_winding_s_temperature_and_the_voltage_of_the_test() {
        for text in [
            "winding at 35 °C",
            "wdg temp 35 C",
            "Wicklung 35 °C",
            "bobinage à 35 °C",
            "devanado a 35 °C",
            "winding 95 °F",
        ] {
            assert_eq!(conditions(text), [Condition::TemperatureC(35.0)], "{text}");
        }
        for text in [
            "at 500 V",
            "tested at 500 V",
            "500 V used",
            "mit 0,5 kV",
            "bei 500 V gemessen",
            "sous 500 V",
            "medido a 500 V",
        ] {
            assert_eq!(conditions(text), [Condition::VoltageV(500.0)], "{text}");
        }
        assert_eq!(
            conditions("wdg temp 34 °C, RH 71%; at 1 kV"),
            [Condition::TemperatureC(34.0), Condition::VoltageV(1000.0)]
        );
    }

    /// Wordings of remarks: common practice, no source.
    #[test]
    fn remarks_tell_the_time_beside_the_voltage() {
        let told = [Condition::VoltageV(1000.0), Condition::ElapsedS(60.0)];
        for text in ["1 min at 1 kV", "1 kV, 60 s", "1000 V one minute", "à 1000 V pendant 1 mn", "1 kV nach 1 Min."] {
            assert_eq!(conditions(text), told, "{text}");
        }
        assert_eq!(
            conditions("500 V 30 sec only, battery flat"),
            [Condition::VoltageV(500.0), Condition::ElapsedS(30.0)]
        );
        for text in ["1 min", "heaters off after 10 min", "ready in 30 s"] {
            assert_eq!(conditions(text), [], "{text}");
        }
        // Which of two times is the reading's nobody says.
        assert_eq!(conditions("1 min at 1 kV, 10 min at 1 kV").len(), 2);
        // The winding dried for hours, and nobody says for how long the voltage stood.
        assert_eq!(conditions("at 500 V, fan ran 10 min before"), [Condition::VoltageV(500.0)]);
    }

    #[test]
    fn a_remark_with_a_resistance_tells_another_value() {
        for text in
            ["after drying 450 MΩ at 1 kV, 35 °C", "getrocknet: 1,2 GOhm bei 35 °C", "reste 450 MOhms après étuvage"]
        {
            assert!(tells_resistance(text), "{text}");
        }
        for text in ["winding 35 °C, at 1 kV", "cleaned 12.3.2014, 450 V supply", "P-450 MCC", "10 min after drying"] {
            assert!(!tells_resistance(text), "{text}");
        }
    }

    #[test]
    fn remarks_about_other_things_tell_nothing_of_the_test() {
        for text in [
            "rewound for 4160 V",
            "6600 V",
            "ambient 22 °C",
            "22 °C",
            "control 110 V replaced",
            "heaters on",
            "spare of P-500 V",
            "cable 500 m",
        ] {
            assert_eq!(conditions(text), [], "{text}");
        }
    }
}
