//! Spellings of the record-keeping dictionary, sections 7.1 and 7.2 (common practice, no source).

use super::{UNITS, entry, read, squeeze};
use crate::data;
use proptest::prelude::*;
use windrow_model::{Dimension, Unit};

fn best(text: &str, dimension: Option<Dimension>) -> Option<&'static str> {
    read(text, dimension).first().map(|meaning| meaning.unit.ucum)
}

#[test]
fn every_row_of_the_data_is_read_and_reachable() {
    let rows: Vec<_> = data::rows::<5>(UNITS).collect();
    assert_eq!(rows.len(), data::lines(UNITS).count());
    for row in rows {
        let (_, spelling, meaning) = entry(row).unwrap_or_else(|| unreachable!("row {row:?} does not parse"));
        assert_eq!(squeeze(spelling).as_deref(), Some(spelling), "not in squeezed form: {row:?}");
        assert!(read(spelling, None).iter().any(|found| found.unit == meaning.unit), "not reachable: {row:?}");
    }
}

#[test]
fn resistance_spellings() {
    let resistance = Some(Dimension::Resistance);
    for (unit, spellings) in [
        (
            "MOhm",
            "MΩ|M Ω|M\u{2126}|Mohm|M ohm|M-ohm|MOhm|MOHMS|Mohms|MEG|MEGS|Meg|Megs|Meg.|meg-ohm|megohm|megohms|Megohms|MegΩ|Mg|MO|MR|M|MW|M?|Mω|MΩs|mego|megas|Mégohm|mégohms|MΩhm|Mohmios|megaohmio|megohmios|MegOhme|MÎ©|Mâ„¦|(MΩ)|[Mohm]|meg.ohms|M\u{fffd}|MŒ©|M╬⌐|Meg Ohm|megaohms",
        ),
        (
            "GOhm",
            "GΩ|Gohm|G ohm|GOHM|Gig|Gigs|GIG|Giga|G|gigohm|gigaohm|GW|K Meg|KMeg|kMΩ|k-meg|B ohm|G?|GO|1000 MΩ|GÎ©",
        ),
        ("TOhm", "TΩ|Tohm|Tera|teraohm|T|TW|M-Meg|T?"),
        ("kOhm", "kΩ|Kohm|K ohm|K|k|kilohm|KOHMS|kW|KΩ|kilohms|kiloohms|k?|K-ohms"),
        ("Ohm", "Ω|ohm|ohms|O|R|Ohm|Ohmios|W|OHMS|\u{2126}|Î©"),
        ("mOhm", "mΩ|milliohm|mill.|mOhm|milli-ohms|miliohmios"),
        ("uOhm", "µΩ|\u{3bc}Ω|uohm|microhm|micro-ohm|micro ohms|µohm|Mikroohm|ÂµΩ"),
    ] {
        for spelling in spellings.split('|') {
            assert_eq!(best(spelling, resistance), Some(unit), "{spelling:?}: {:?}", read(spelling, resistance));
        }
    }
}

#[test]
fn other_spellings() {
    for (unit, spellings) in [
        ("uA", "µA|uA|UA|mcA|mca|microamp|microamps|micro-A|micro amps|MICA|µamps|μA|mikA|micA|ÂµA|┬╡A|Mikroampere"),
        ("nA", "nA|na|nanoamps"),
        ("mA", "mA|MA|ma|milliamps"),
        ("kV", "kV|KV|kv|kVDC|KVDC|kVcc|kV=|kV-|KV d.c.|kVdc|kV DC"),
        ("V", "V|VDC|Vdc|V DC|V=|VCC|Vcc|V-|volts dc|V cont.|VAC|Vac|V~|V eff|Vrms|Vca|Volts|voltios"),
        ("pC", "pC|pc"),
        ("mV", "mV|mv"),
        ("nF", "nF|NF"),
        ("uF", "µF|uF|MFD|mfd"),
        ("pF", "mmF|µµF"),
        ("[HP]", "HP|hp|H.P.|Hp"),
        ("735.49875.W", "CV|ch|PS|pk"),
        ("kW", "kW|KW|kw"),
        ("kV.A", "kVA|KVA"),
        ("MV.A", "MVA"),
        ("s", "s|sec|\"|sec.|Sek|seg"),
        ("min", "min|mn|m|'|Min.|minutes|Minuten|minutos"),
        ("h", "hr|h|Std|heures|hours|horas"),
        ("/min", "rpm|RPM|r/min|U/min|min-1|1/min|tr/min|t/mn|rev/min|r.p.m.|min⁻¹"),
        ("Hz", "Hz|cycles|cps|C/S|hz"),
        ("Cel", "°C|º C|deg C|degC|oC|Â°C|°c|deg. C|Celsius|℃|¬∞C"),
        ("[degF]", "°F|deg F|ºF|degF|Fahrenheit|Â°F"),
        ("%", "%|pct|percent|Prozent|%RH"),
        ("mH", "mH|millihenry"),
        ("H", "H|Henry"),
    ] {
        for spelling in spellings.split('|') {
            assert_eq!(best(spelling, None), Some(unit), "{spelling:?}: {:?}", read(spelling, None));
        }
    }
}

/// The collisions that a spelling alone cannot settle: both meanings must come out.
#[test]
fn collisions_keep_both_meanings() {
    for (text, dimension, units) in [
        ("mohm", Some(Dimension::Resistance), ["mOhm", "MOhm"]),
        ("MOHM", Some(Dimension::Resistance), ["MOhm", "mOhm"]),
        ("MW", None, ["MW", "MOhm"]),
        ("MA", Some(Dimension::Current), ["mA", "uA"]),
        ("mF", Some(Dimension::Capacitance), ["uF", "mF"]),
        ("K", Some(Dimension::Resistance), ["kOhm", "GOhm"]),
        ("deg", None, ["Cel", "[degF]"]),
        ("CV", None, ["735.49875.W", "[HP]"]),
        ("K", None, ["K", "kOhm"]),
        ("kW", None, ["kW", "kOhm"]),
    ] {
        let found: Vec<_> = read(text, dimension).iter().map(|meaning| meaning.unit.ucum).collect();
        assert!(units.iter().all(|unit| found.contains(unit)), "{text:?}: {found:?}");
    }
}

#[test]
fn sure_spellings_are_sure() {
    for unit in Unit::ALL.iter().filter(|unit| !unit.symbol.is_empty()) {
        let found = read(unit.symbol, Some(unit.dimension));
        let first = found.first().unwrap_or_else(|| unreachable!("{} is unknown", unit.symbol));
        assert!(first.unit == *unit || unit.ucum == "mF", "{}: {found:?}", unit.symbol);
    }
}

#[test]
fn words_are_no_units() {
    for text in [
        "",
        " ",
        "()",
        "motor",
        "P-101",
        "remarks",
        "850",
        "good",
        "insulation resistance",
        "1",
        "-",
        "--",
        ".",
        "Tag",
        "no",
        "wet",
    ] {
        assert!(read(text, None).is_empty(), "{text:?}: {:?}", read(text, None));
    }
}

proptest! {
    #[test]
    fn no_text_panics(text in "\\PC*") {
        for meaning in read(&text, None) {
            prop_assert!((0.0..=1.0).contains(&meaning.weight));
        }
    }
}
