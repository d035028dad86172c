//! Forms that stand beside or below each other, and what belongs to which of them. Invented; common practice, no source.

use crate::grid::Read;

#[test]
fn forms_side_by_side_are_parted_where_their_words_come_again() {
    let read = Read::texts(&[
        "HOJA DE MOTOR|||||||HOJA DE MOTOR|||||",
        "Equipo|VB-1|||Fecha|25/02/2009||Equipo|VB-2|||Fecha|30/02/2009",
        "",
        "Aislam. a tierra|U|V|W|Unidad|Mín.||Aislam. a tierra|U|V|W|Unidad|Mín.",
        "500 Vcc – 60 s|120|140|130|MΩ|1||500 Vcc – 60 s|2,4|2,2|2,6|GΩ|1",
        "",
        "Óhmica|U-V|V-W|W-U|Unidad|ºC||Óhmica|U-V|V-W|W-U|Unidad|ºC",
        "en bornas|1,313|1,325|1,321|Ω|21||en bornas|5,62|5,63|5,6|Ω|25",
    ]);
    assert_eq!([read.tag("B5"), read.tag("B8")], [Some("VB-1"); 2]);
    assert_eq!((read.volts("B5"), read.seconds("B5")), (Some(500.0), Some(60.0)));
    assert!(read.reading("F5").is_none(), "the least that is allowed is no reading");
    assert_eq!((read.celsius("C8"), read.value("C8")), (Some(21.0), Some(1.325)));
    assert_eq!(read.day("B5"), Some("2009-02-25".into()));
    assert_eq!(["I5", "I8"].map(|cell| read.day(cell)), [None, None], "no calendar has the day of the second form");
    let groups = Read::texts(&["Motor|U|V|W||U|V|W", "P-1|120|140|130||110|150|120"]);
    assert!(groups.reading("F2").is_none_or(|_| groups.tag("F2") == Some("P-1")), "phases again are of the same line");
}

#[test]
fn a_title_that_says_swapped_speaks_of_the_lines_below_it_only() {
    let rows = [
        "Tag|V-3",
        "Date|14/6/2001",
        "Insulation MΩ|30 s|60 s",
        "U - earth|260|330",
        "V - earth|240|310",
        "W - earth|270|350",
        "",
        "Second test of V-3, leads swapped:",
        "|30 s|60 s",
        "U - earth|3.1|3.3",
    ];
    let titled = Read::texts(&rows);
    assert_eq!(titled.value("C4"), Some(3.3e8));
    assert!(titled.value("C10").is_none());
    let below = Read::texts(&[&rows[..6], &["Leads U and W swapped"]].concat());
    assert!(below.value("C4").is_none(), "right below a table it speaks of the table");
}

#[test]
fn a_line_of_machine_and_day_over_a_series_names_no_other_machines() {
    let read = Read::texts(&[
        "Ensayo por escalones, las tres fases a masa",
        "Cada escalón 1 minuto",
        "",
        "Máquina|GR1||Fecha|25/10/94||Un 3 kV",
        "kV|0,5|1|1,5|2|2,5|3",
        "µA|0,556|1,16|1,8|2,49|3,22|4",
        "Nota|lineal",
    ]);
    let is_of_none_else = |cell: &str| read.tag(cell).is_none_or(|tag| tag == "GR1");
    assert!(["B6", "E6", "G6"].into_iter().all(is_of_none_else), "neither the day nor the rating is a machine");
}

#[test]
fn an_unknown_label_over_a_list_of_pairs_stands_beside_a_table() {
    let read = Read::texts(&[
        "Quay station   Survey of sets",
        "",
        "Set|EG-4||INSULATION|Megohms|Volts",
        "Date|22/09/1981||Red to earth, 1 min|260|1000",
        "Maker's No.|B.7719||Yellow to earth, 1 min|290|1000",
        "Built|1959||Blue to earth, 1 min|240|1000",
        "Stator temp|24 C||Exciter arm. to earth|35|250",
        "",
        "Step test, stator|Volts d.c.|µA at 1 min",
        "all phases together|500|5.49",
        "|1000|11.6",
        "",
        "Winding resistance|R-Y|Y-B|B-R|Rotor",
        "milliohms / rotor in ohms|6.44|6.45|6.4|0.614",
    ]);
    assert_eq!(["E4", "E5"].map(|cell| read.circuit(cell)), [Some("U-E"), Some("V-E")]);
    assert_eq!((read.volts("E4"), read.seconds("E4"), read.value("E6")), (Some(1000.0), Some(60.0), Some(2.4e8)));
    assert!(read.circuit("C10").is_none_or(|circuit| circuit == "UVW-E"), "no armature's");
    assert!(read.circuit("C11").is_none_or(|circuit| circuit == "UVW-E"), "no armature's");
    assert_eq!(["B14", "D14"].map(|cell| read.value(cell)), [Some(0.00644), Some(0.0064)]);
    assert!(read.value("E14").is_none_or(|ohms| (ohms - 0.614).abs() < 1e-9), "of the rotor's unit");
}

#[test]
fn a_unit_that_a_form_tells_once_at_the_end_of_the_line_is_of_the_whole_line() {
    let read = Read::texts(&[
        "Contrôle bisannuel des moteurs",
        "",
        "Campagne 1996",
        "Repère|BM 1|BM 2|BM 3|BM 4",
        "Date|19/08/1996|20/08/1996|21/08/1996|22/08/1996",
        "Tension d'essai V|500|500|500|500",
        "Ph. U/masse 60 s|100|150|330|210|MOhms",
        "Ph. V/masse 60 s|120|140|370|180|MOhms",
        "Ph. W/masse 60 s|1,2 G|140|400|230|MOhms",
        "Temp. bobinage|29 °C|24 °C|29 °C|24 °C",
    ]);
    assert_eq!(["B7", "C7", "D7"].map(|cell| read.value(cell)), [Some(1e8), Some(1.5e8), Some(3.3e8)]);
    assert_eq!((read.value("B9"), read.day("C7")), (Some(1.2e9), Some("1996-08-20".into())));
}

#[test]
fn a_numbered_title_with_its_voltage_heads_no_columns() {
    let read = Read::texts(&[
        "Motor tag|KM-2||Date of test|2003-04-17",
        "",
        "1. Insulation resistance (GΩ)|||Test volts DC:|2500",
        "Minutes|U-E|V-E|W-E",
        "0.5|0.641|0.669|0.603",
        "1|0.9|0.954|0.846",
    ]);
    assert_eq!(["B6", "D6"].map(|cell| read.value(cell)), [Some(9e8), Some(8.46e8)]);
    assert_eq!(["B6", "D6"].map(|cell| read.volts(cell)), [Some(2500.0); 2]);
}

#[test]
fn letters_of_a_unit_behind_a_label_of_names_are_a_name() {
    let read = Read::texts(&[
        "Karte Nr.|11||Kennzeichen|HP 7",
        "Benennung|Hubtisch 7||Leistung kW|15",
        "Prüfspannung|500 V||Nennspannung|380 V",
        "Datum|U-Masse MOhm|V-Masse MOhm|W-Masse MOhm",
        "14.07.1983|300|350|280",
        "17.07.1985|390|390|370",
    ]);
    assert_eq!((read.tag("B5"), read.value("B5"), read.volts("B5")), (Some("HP 7"), Some(3e8), Some(500.0)));
}

#[test]
fn what_was_found_beside_its_limit_was_measured() {
    let read = Read::texts(&[
        "Ident|FP-8|Date|22/07/1998",
        "Test|Terminals|Limit|Found|Unit",
        "Insulation to earth|A-E|not below 20|540|MΩ",
        "Insulation to earth|B-E|not below 20|160|MΩ",
        "Insulation to earth|C-E|not below 20|890|MΩ",
    ]);
    assert_eq!(["D3", "D5"].map(|cell| read.value(cell)), [Some(5.4e8), Some(8.9e8)]);
    let alone = Read::texts(&["Tag|Found|Remarks", "P-1|540|dry", "P-2|160|dry", "P-3|890|dry"]);
    assert!(alone.reading("B2").is_none(), "found, but what?");
}

#[test]
fn the_heading_of_a_column_tells_its_day_and_its_unit() {
    let read = Read::texts(&[
        "Tag|ALT 6",
        "Insulation resistance to frame, 500 V d.c., one minute:",
        "Phase|As received 3 Sept. 1996 (megohms)|After oven 12 Sept. 1996 (megohms)",
        "U|0.04|60",
        "V|0.05|75",
        "W|0.03|68",
    ]);
    assert_eq!((read.value("B4"), read.value("C6")), (Some(4e4), Some(6.8e7)));
    assert_eq!((read.day("B4"), read.day("C4")), (Some("1996-09-03".into()), Some("1996-09-12".into())));
}

#[test]
fn each_column_has_the_day_that_the_title_gives_to_its_name() {
    let rows = [
        "Moteur de la pompe P9. Mesures du 14 mai 2004 (avant lavage) et du 27 mai 2004 (après lavage et étuvage).",
        "Résistance d’isolement, les trois phases contre masse, 2\u{a0}500 V",
        "Temps|Avant (MΩ)|Après (MΩ)",
        "30 s|43|1010",
        "1 mn|46|1420",
        "10 mn|57|4590",
        "Temp. bobinage|18 °C|26 °C",
    ];
    let read = Read::texts(&rows);
    assert_eq!(["B5", "C5"].map(|cell| read.volts(cell)), [Some(2500.0); 2]);
    assert_eq!((read.day("B5"), read.day("C5")), (Some("2004-05-14".into()), Some("2004-05-27".into())));
    assert_eq!((read.celsius("B5"), read.celsius("C5")), (Some(18.0), Some(26.0)));
    let title = "Mesures du 14 mai 2004 et du 27 mai 2004, pompe P9";
    let open = Read::texts(&[&[title], &rows[1..]].concat());
    assert!(open.day("C5").is_none(), "which of both days is nobody's guess");
}

#[test]
fn onset_symbols_need_no_brackets_around_their_unit() {
    let read = Read::texts(&[
        "Décharges partielles, seuil d’apparition (Ui) et d’extinction (Ue), 28/02/2018",
        "Rep.|Phase|Ui kV|Ue kV|Niveau pC",
        "T-3|U|3,6|3,1|420",
        "T-3|V|3,8|3,3|380",
        "T-3|W|3,7|3,2|390",
    ]);
    assert_eq!(
        (read.quantity("C3"), read.quantity("D3")),
        (Some("pd_inception_voltage"), Some("pd_extinction_voltage"))
    );
    assert_eq!(read.volts("E3"), None, "no voltage of the charge");
}

#[test]
fn a_unit_with_the_warmth_of_the_winding_is_no_column_of_temperatures() {
    let read = Read::texts(&[
        "Equipo|ENF-7|Fecha|19/03/1996",
        "RESISTENCIA ÓHMICA|R-S|S-T|T-R",
        "Ω a 21 ºC|0,0461|0,0464|0,0461",
    ]);
    assert_eq!((read.value("B3"), read.celsius("B3"), read.circuit("C3")), (Some(0.0461), Some(21.0), Some("V-W")));
}

#[test]
fn days_with_roman_months_are_days_of_the_year_of_the_title() {
    let read = Read::texts(&[
        "Isolation der Pumpenmotoren 1992 (500 V=, Wicklung UVW gegen Erde)",
        "",
        "Pumpe|Tag|R 60 s MΩ|R 600 s MΩ",
        "WP 1|24.III.|150|310",
        "WP 2|dto.|89|160",
        "WP 3|21.III.|99|210",
        "WP 5|19.IV.|640|1600",
    ]);
    assert_eq!(["C4", "C5", "C6"].map(|cell| read.tag(cell)), [Some("WP 1"), Some("WP 2"), Some("WP 3")]);
    assert_eq!(
        ["C4", "C5", "C7"].map(|cell| read.day(cell)),
        [Some("1992-03-24".into()), Some("1992-03-24".into()), Some("1992-04-19".into())]
    );
}
