//! What a text says of the units of numbers with a letter or sign, and of those without one. Common practice, no source; all sheets are
//! invented.

use crate::grid::Read;

#[test]
fn a_letter_that_a_title_excepts_is_the_unit_of_the_numbers_that_bear_it() {
    for title in [
        "I.R. to frame at 500 V, in Megohms unless k (kilohms)",
        "k = kΩ, sonst MΩ; Messung gegen Masse mit 500 V",
        "n.R. = nach Reinigung; v.R. = vor Reinigung. k = kΩ, sonst MΩ",
        "Aislamiento contra masa en MΩ; las cifras con k son kΩ (motor mojado)",
        "Insulation to frame. Figures are Megohms; k behind the figure = kilohms. Remarks: d dry, w wet",
    ] {
        let read = Read::texts(&[
            title,
            "",
            "Motor|Date|I.R. 1 min|Remarks",
            "P-1|14/03/1998|4600k|wet",
            "P-2|14/03/1998|12|",
        ]);
        assert_eq!(read.value("C4"), Some(4.6e6), "{title}");
        assert_eq!(read.value("C5"), Some(12e6), "{title}");
    }
    // Counter-case: without a word on the others their unit is asked for.
    let open = Read::texts(&["k = kΩ", "", "Motor|Date|I.R. 1 min", "P-1|14/03/1998|4600k", "P-2|14/03/1998|12"]);
    assert!(open.reading("C5").is_none() && open.is_held("C5"));
}

#[test]
fn two_sentences_of_a_title_tell_the_units_of_two_quantities() {
    let read = Read::texts(&[
        "I.R. with 1 kV, windings to frame, in Megohms unless k (kilohms). D.C. resistance by bridge, ohms.",
        "",
        "Motor|Date|T1-T2|T2-T3|T3-T1|I.R. 1 min|I.R. 10 min",
        "P-1|09.02.1998|0.8070|0.8005|0.8022|9.8|27",
        "P-2|10.02.1998|0.8175|0.8183|0.8144|4600k|-",
    ]);
    assert_eq!((read.quantity("C4"), read.value("C4")), (Some("winding_resistance"), Some(0.8070)));
    assert_eq!((read.value("F4"), read.value("F5"), read.volts("G4")), (Some(9.8e6), Some(4.6e6), Some(1000.0)));
    assert_eq!(read.circuit("F4"), Some("UVW-E"));
}

#[test]
fn numbered_notes_of_one_text_speak_of_the_numbers_that_bear_them() {
    let read = Read::texts(&[
        "Isolement enroulements / masse en MΩ, 500 V ; (1) en kΩ ; (2) mesuré sous 250 V",
        "",
        "Moteur|Date|Isol.",
        "P-1|05/01/2004|2,3",
        "P-2|06/02/2004|310 (1)",
        "P-3|07/03/2004|9,6 (2)",
    ]);
    assert_eq!((read.value("C4"), read.value("C5"), read.value("C6")), (Some(2.3e6), Some(310e3), Some(9.6e6)));
    assert_eq!((read.volts("C4"), read.volts("C6")), (Some(500.0), Some(250.0)));
}

#[test]
fn values_with_notes_in_turn_stand_under_their_years() {
    let read = Read::texts(&[
        "En MΩ; las cifras con K son kΩ. Aislamiento contra masa con 500 V. E = enjuagada; M = mojada; S = secada",
        "",
        "Bomba|1989||1990||Media",
        "|Valor|Nota|Valor|Nota|",
        "P-1|28|S|29||28,5",
        "P-2|7,2||7,3|S|7,3",
        "P-3|15|E|580 K|M|7,8",
    ]);
    assert_eq!((read.value("B5"), read.day("B5").as_deref()), (Some(28e6), Some("1989")));
    assert_eq!((read.value("D6"), read.day("D6").as_deref()), (Some(7.3e6), Some("1990")));
    assert!(read.reading("F5").is_none());
    assert_eq!(read.value("D7"), Some(580e3), "the letter of a note is not that of a unit");
}

#[test]
fn the_unit_in_the_corner_is_over_machines_and_phases() {
    let read = Read::texts(&[
        "Isolement phase par phase par rapport à la terre, 500 V",
        "",
        "Moteur (Mohms)|Phase|12/03/97|17/09/97|Observations",
        "Soufflante A|Ph1|>200|170|",
        "|Ph2|170|160|",
        "|Ph3|190|150|",
        "Soufflante B|Ph1|135|150|encrassé",
        "|Ph2|120|125|",
        "|Ph3|140|145|",
    ]);
    assert_eq!(
        (read.value("C5"), read.circuit("C5"), read.tag("D6")),
        (Some(170e6), Some("V-E"), Some("Soufflante A"))
    );
    let words = Read::rows(&[
        "Isolationswiderstände der Hauptantriebe, Ständerwicklung gegen Masse, 500 V",
        "",
        "MOhm|1979|1981|1983|Bemerkung",
        "Kuppelofen links, Gebläse|75|110|75|",
        "Kuppelofen rechts, Gebläse|90|100|85|",
        "Kollergang Süd|23|29|29|",
        "Schleuderrad|80|70|65|",
    ]);
    assert_eq!((words.value("B4"), words.tag("C6")), (Some(75e6), Some("Kollergang Süd")));
    // Counter-case: below the title of one machine the lines are no machines.
    let parts = Read::rows(&[
        "Motor MK-1204, Isolationswiderstände gegen Masse",
        "",
        "MOhm|1979|1981|1983",
        "Mit Zuleitung|75|110|75",
        "Ohne Zuleitung|90|100|85",
        "Nach dem Waschen|230|290|290",
        "Nach dem Lackieren|800|700|650",
    ]);
    assert_ne!(parts.tag("B5"), Some("Ohne Zuleitung"));
}
