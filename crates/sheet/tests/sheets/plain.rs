//! Plain lists as offices keep them. Common practice in records, no source; all sheets are invented.

use crate::grid::Read;

#[test]
fn a_group_without_a_merged_heading_parts_no_table() {
    let read = Read::texts(&[
        "Serie|CV|Fecha|Resistencia (Ω)|||T dev.|Aislam. a masa|Impulso, dif. %|||Ensayó",
        "|||U-V|V-W|W-U|°C|MΩ 1 min 1000 V|U-V|V-W|W-U|",
        "70315|25|2021-01-11|1.756|1.75|1.724|17|810|2.6|1.8|3.2|RG",
        "70362|40|2021-01-30|1.748|1.738|1.746|15|910|no|no|no|RG",
        "70409|40|2021-02-18|1.748|1.726|1.752|24|1500|3.6|3.6|1.9|RG",
        "70456|10|2021-03-09|0.413|0.412|0.412|18|4700|2.0|2.1|3.1|AP",
    ]);
    let serial = |cell: &str| read.found(cell)?.0.machine.serial.as_ref().map(|told| told.value.as_str());
    for cell in ["D5", "H5", "I5", "K5"] {
        assert_eq!(serial(cell), Some("70409"), "{cell}");
    }
    assert_eq!(read.quantity("D5"), Some("winding_resistance"));
    // The deviation of an impulse is that of its traces, though resistances stand beside it.
    assert_eq!(read.quantity("I5"), Some("surge_difference"));
    assert_eq!(read.celsius("D5"), Some(24.0));
}

#[test]
fn a_unit_alone_below_one_of_the_terminals_is_that_of_all() {
    let rows = [
        "MOTOR|HP|DATE|TEST VDC|T1-GND|T2-GND|T3-GND|T1-T2|T2-T3|T3-T1|NOTE",
        "|||||(MEGOHMS)",
        "DEBARKER|75|2006-12-20|500|250|200|250|500|400|400|",
        "HEADRIG|200|2006-12-21|500|800|800|700|1200|1200|1500|wet",
        "EDGER|250|2007-12-24|500|500|500|500|1000|800|1000|",
    ];
    let read = Read::texts(&rows);
    for (cell, value) in [("E3", 250e6), ("F3", 200e6), ("G4", 700e6), ("J5", 1e9)] {
        assert_eq!((read.value(cell), read.quantity(cell)), (Some(value), Some("insulation_resistance")), "{cell}");
    }
    // A unit below each of two groups is that of the group only.
    let two = Read::texts(&[
        "MOTOR|DATE|U-E|V-E|W-E|U-V|V-W|W-U",
        "||MΩ|||Ω",
        "EDGER|2007-12-23|400|400|400|1|1|1.1",
        "EDGER|2007-12-24|500|500|500|1|1.1|1",
    ]);
    assert!(two.value("D4").is_none_or(|value| (value - 500e6).abs() < 1.0));
    assert!(two.value("G4").is_none_or(|value| value < 2.0), "{:?}", two.value("G4"));
}

#[test]
fn a_remark_below_that_speaks_of_warmth_names_no_temperatures() {
    let read = Read::texts(&[
        "Cellar motors after the flood (MΩ, all phases to earth, 250 V because of the wet)",
        "Motor|As found|||After drying||",
        "|Date|1 min|10 min|Date|1 min|10 min",
        "Glycol pump 1|2024-01-08|0.3|0.34|2024-01-22|78.3|183",
        "Glycol pump 2|2024-01-08|0.8|0.89|2024-01-22|137|355",
        "Wort pump|2024-01-09|0.12|0.14|2024-01-23|23.2|40.4",
        "",
        "Wet ones left in the oven room at 80 deg overnight.",
    ]);
    assert_eq!((read.value("D5"), read.seconds("D5"), read.volts("D5")), (Some(0.89e6), Some(600.0), Some(250.0)));
    assert_eq!((read.value("F6"), read.day("F6").as_deref()), (Some(23.2e6), Some("2024-01-23")));
}

#[test]
fn three_values_parted_by_dashes_are_those_of_the_three_phases_of_the_heading() {
    let read = Read::texts(&[
        "Moteur|Puiss.|Mesuré le|Isolt. U, V, W (MOhm)|sous|Rq",
        "Concasseur|160 kW|17 janvier 2023|158 - 145 - 142|1000 V|",
        "Crible 1|15 kW|\"|6,08 - 6,38 - 6,01|500 V|boue",
        "Crible 2|15 kW|\"|42,0 - 43,2 - 47,2|500 V|",
        "Concasseur|160 kW|14 janvier 2025|139 - 145 - 152|1000 V|",
    ]);
    let of = |cell: &str| -> Vec<(Option<&str>, Option<f64>)> {
        let own = read.0.tests.iter().flat_map(|test| &test.readings).filter(|one| one.place.cell == *cell);
        let value = |one: &windrow_model::raw::RawReading| one.unit.value.to_stored(one.number);
        own.map(|one| (one.circuit.as_ref().map(|told| told.value.code()), Some(value(one)))).collect()
    };
    assert_eq!(of("D2"), [(Some("U-E"), Some(158e6)), (Some("V-E"), Some(145e6)), (Some("W-E"), Some(142e6))]);
    assert_eq!(of("D3").iter().map(|one| one.1).collect::<Vec<_>>(), [Some(6.08e6), Some(6.38e6), Some(6.01e6)]);
}

#[test]
fn a_list_of_limits_below_the_readings_is_neither_read_nor_the_place_of_the_machines() {
    let read = Read::texts(&[
        "Isolationsmessung vom 20.05.2025",
        "Prüfspannung 500 V, Werte in MΩ",
        "",
        "Nr.|Bezeichnung|Kennz.|kW|Bemerkung|U-PE|V-PE|W-PE",
        "1|Zulaufpumpe 1|P-101|22||366|373|331",
        "2|Zulaufpumpe 2|P-102|22||285|291|271",
        "3|Räumer|RW-1|1.5||861|783|847",
        "",
        "|Grenzwerte",
        "|in Betrieb|1 MΩ",
        "|nach Reparatur|10 MΩ",
        "|neu|100 MΩ",
    ]);
    assert_eq!((read.value("F5"), read.tag("F5")), (Some(366e6), Some("P-101")));
    assert!(read.found("F5").is_some_and(|(test, _)| test.machine.site.is_none()));
    assert!(["C10", "C11", "C12"].iter().all(|cell| read.reading(cell).is_none()));
    // One limit with its value is no title of what stands below it.
    let form = Read::texts(&[
        "Repère|BR-220",
        "Date|5 février 2019",
        "Valeur minimale|100 MΩ",
        "Résistance entre phases",
        "U-V|112,3 mΩ",
        "V-W|112,6 mΩ",
        "W-U|112,2 mΩ",
    ]);
    assert_eq!((form.value("B5"), form.value("B7")), (Some(0.1123), Some(0.1122)));
}

#[test]
fn phases_listed_with_commas_in_a_title_are_all_of_them() {
    let read = Read::texts(&[
        "U, V, W gebrückt gegen Gehäuse gemessen",
        "",
        "lfd. Nr.|Datum|Prüfspg.|R 30 s|R 60 s|Bemerkung",
        "||V DC|MΩ|MΩ|",
        "|Maschine: HF-A02 (Hauptantrieb)",
        "1|07.09.1988|1000|887|1140|gereinigt",
        "2|09.07.1991|1000|1040|1300|",
    ]);
    assert_eq!((read.circuit("D6"), read.tag("E7").is_some()), (Some("UVW-E"), true));
}

#[test]
fn a_word_of_a_name_that_is_short_for_a_ratio_names_none() {
    let read = Read::texts(&[
        "Isolationswiderstand der Antriebe gegen Gehäuse",
        "alle Werte in MΩ / 60-s-Wert",
        "",
        "lfd. Nr.|Gerät|kW|Isolationswert|Anmerkung",
        "1|Sandmischer|2.2|129|Riemen neu",
        "2|Rüttelrinne|2.2|36|",
        "3|Strahlanlage Rad 1|3|90|",
        "4|Strahlanlage Rad 2|15|295|",
    ]);
    assert_eq!((read.quantity("D7"), read.value("D7")), (Some("insulation_resistance"), Some(90e6)));
    assert_eq!((read.tag("D7"), read.tag("D8")), (Some("Strahlanlage Rad 1"), Some("Strahlanlage Rad 2")));
}

#[test]
fn each_stage_is_of_the_day_before_it_though_a_voltage_stands_between() {
    let read = Read::texts(&[
        "Workshop returns 1992. Insulation to earth in Mohm at 1 min.",
        "",
        "Job|Motor|Date in|Test V|As found|Date out|As left|Remarks",
        "J2600|FA-01|13/01/92|500|18|23/01/92|46|",
        "J2609|FA-03|17/02/92|500|<0.5|27/02/92|24|rewound",
        "J2618|FA-05|17/03/92|500|12|27/03/92|110|",
    ]);
    assert_eq!((read.day("E4").as_deref(), read.day("G4").as_deref()), (Some("1992-01-13"), Some("1992-01-23")));
    assert_eq!((read.volts("E5"), read.volts("G5")), (Some(500.0), Some(500.0)));
}

#[test]
fn the_voltage_in_a_line_of_a_form_goes_before_that_of_the_form() {
    let read = Read::texts(&[
        "Motor|P-711|Auftrag|W12-38",
        "Leistung|75 kW|Spannung|500 V",
        "Prüfdatum|12.04.2012|Wicklungstemperatur|19 °C",
        "",
        "Prüfung|U|V|W|Einheit",
        "Isolation gegen Gehäuse, 500 V, 1 min|110|96|113|MΩ",
        "Wicklungswiderstand U1-U2, V1-V2, W1-W2|48,94|48,95|48,68|mΩ",
        "Wechselspannungsprüfung 750 V, 1 min|8,8|4,8|4,8|mA",
    ]);
    assert_eq!((read.volts("B6"), read.volts("B8")), (Some(500.0), Some(750.0)));
    assert_eq!(read.quantity("B8"), Some("leakage_current"));
}

#[test]
fn lines_in_megohms_below_a_table_of_steps_are_none_of_its_steps() {
    let read = Read::texts(&[
        "Step|kV d.c.|Leakage uA|Calculated",
        "||after 1 min|megohms",
        "1|2|0.52|3846",
        "2|4|1.09|3670",
        "3|6|1.71|3509",
        "4|8|2.44|3279",
        "",
        "Before the steps, at 2500 V d.c. :",
        "1 minute|3900 megohms",
        "10 minutes|12600 megohms|Ratio 10/1|3.23",
    ]);
    assert_eq!(read.volts("D10"), None, "12600 megohms are no volts");
    assert!(read.volts("C6").is_some_and(|volts| (volts - 8000.0).abs() < 1.0));
}

#[test]
fn a_title_torn_at_its_comma_heads_no_columns() {
    let read = Read::texts(&[
        "Surge comparison tests 2018 (peak volts| difference of responses)",
        "Machine|Date|Pair|Peak V|Difference %|Result",
        "LQ-RF-201|2018-05-04|U-V|14200|1.4|match",
        "LQ-RF-201|2018-05-04|V-W|14200|1.3|match",
        "LQ-RF-202|2018-03-06|U-V|14200|2.4|match",
    ]);
    assert_eq!((read.quantity("D3"), read.value("D3")), (Some("surge_peak_voltage"), Some(14_200.0)));
    assert_eq!((read.quantity("E3"), read.volts("E3")), (Some("surge_difference"), Some(14_200.0)));
}
