//! Lists, matrices and forms whose headings say little: what stands beside and below them tells what they are. Common practice, no source.

use crate::grid::{Read, text_grid};

#[test]
fn words_over_numbers_are_headings_though_few_of_them_are_known() {
    let table = Read::texts(&[
        "Mesures d'isolement",
        "Quand|Moteur|Mesure|Sous|Par qui",
        "2006-11-04|Agitateur 12|52 MΩ|500 V|R.",
        "2006-11-05|Agitateur 13|0,8 MΩ|500 V|R.",
        "2006-12-02|Agitateur 15|1,1 GΩ|1000 V|R.",
    ]);
    assert_eq!((table.tag("C4"), table.day("C4").as_deref()), (Some("Agitateur 13"), Some("2006-11-05")));
    assert_eq!((table.volts("C5"), table.quantity("C5")), (Some(1000.0), Some("insulation_resistance")));
    let groups = Read::texts(&[
        "Antriebe, Iso gegen PE, MΩ, 500 V",
        "Antrieb|Frist|vorletzte Messung||letzte Messung||Tendenz",
        "|Jahre|Datum|Wert|Datum|Wert|",
        "Rührwerk 1|2|2009-04-20|350|2011-04-18|340|-3 %",
        "Rührwerk 2|2|2009-04-21|28|2011-04-19|4,5|-84 %",
        "Verdichter 1|1|2010-05-03|75|2011-05-02|60|-20 %",
    ]);
    assert_eq!((groups.day("D4").as_deref(), groups.day("F4").as_deref()), (Some("2009-04-20"), Some("2011-04-18")));
    // The lines of a form are labels with their values, whatever stands under each other.
    let form = Read::texts(&[
        "Site|North|Area|Boilers",
        "Motor|P-12|Date|14 March 2001",
        "Winding temp °C|25|Test voltage|500 V",
        "IR U-E MΩ|120|IR V-E MΩ|130",
    ]);
    assert_eq!((form.tag("B4"), form.circuit("D4")), (Some("P-12"), Some("V-E")));
}

#[test]
fn lists_side_by_side_without_a_gap_are_lists_of_their_own() {
    let lists = Read::texts(&[
        "500 V, megohms to hull, 11 July 1983",
        "DRIVE|MOHM|DRIVE|MOHM",
        "SEA PUMP 1|12|FAN PORT|20",
        "SEA PUMP 2|0.8|FAN STBD|0.05",
        "BILGE PUMP|3.5|SEPARATOR|150",
    ]);
    for (cell, machine) in [("B3", "SEA PUMP 1"), ("D3", "FAN PORT"), ("D5", "SEPARATOR")] {
        assert_eq!(lists.tag(cell), Some(machine), "{cell}");
    }
}

#[test]
fn a_month_over_a_group_is_of_the_year_of_the_sheet_and_its_degrees_are_the_windings() {
    let of_2005 = |rows: &[&str]| {
        let mut grid = text_grid(rows);
        grid.name = Some("2005".to_owned());
        Read::of(grid)
    };
    let table = of_2005(&[
        "Drives, insulation resistance to earth, 1 kV, MΩ",
        "Drive|Shutdown May (winding 26 °C)|||Shutdown October (winding 24 °C)||",
        "|U|V|W|U|V|W",
        "Press 1|180|175|190|160|158|171",
        "Press 2|1200|1150|1310|990|980|970",
    ]);
    assert_eq!((table.day("B4").as_deref(), table.celsius("B4")), (Some("2005-05"), Some(26.0)));
    assert_eq!((table.day("G5").as_deref(), table.celsius("G5")), (Some("2005-10"), Some(24.0)));
    let verb = of_2005(&[
        "Drives, MΩ",
        "Drive|Readings may fall|||After cleaning||",
        "|U-E|V-E|W-E|U-E|V-E|W-E",
        "Press 1|180|175|190|160|158|171",
    ]);
    assert_ne!(verb.day("B4").as_deref(), Some("2005-05"), "a word of one group alone is no month");
}

#[test]
fn a_weekday_proves_the_day_that_a_heading_leaves_without_its_year() {
    let days = Read::texts(&[
        "Suivi du séchage, septembre 2012 (MΩ à 1 min, 500 V)",
        "Moteur|lundi 3/9|mardi 4/9|mercredi 5/9",
        "Pompe lavage|0,05|0,3|2,1",
        "Vis 2|1,2|6|31",
    ]);
    assert_eq!(days.day("B3").as_deref(), Some("2012-09-03"));
    assert_eq!(days.day("D4").as_deref(), Some("2012-09-05"), "5/9 and 9/5 were Wednesdays: the title says September");
    let other_year = Read::texts(&[
        "Suivi du séchage, septembre 2011 (MΩ à 1 min, 500 V)",
        "Moteur|lundi 3/9|mardi 4/9|mercredi 5/9",
        "Pompe lavage|0,05|0,3|2,1",
        "Vis 2|1,2|6|31",
    ]);
    assert!(other_year.is_held("B3"), "the third of September 2011 was a Saturday");
}

#[test]
fn a_title_dates_the_columns_that_it_names() {
    let table = Read::texts(&[
        "Isolationsvergleich (MOHM, 500 V)|||Vorjahr: 03.1988  Aktuell: 04.1989",
        "",
        "Antrieb|Vorjahr|Aktuell|Änd. %|Urteil",
        "PW 1 Pumpe 1|120|115|-4|gut",
        "PW 1 Pumpe 2|95|31|-67|beobachten",
    ]);
    assert_eq!((table.day("B4").as_deref(), table.day("C5").as_deref()), (Some("1988-03"), Some("1989-04")));
    let without = Read::texts(&[
        "Isolationsvergleich (MOHM, 500 V)",
        "",
        "Antrieb|Vorjahr|Aktuell|Urteil",
        "PW 1 Pumpe 1|120|115|gut",
        "PW 1 Pumpe 2|95|31|beobachten",
    ]);
    assert!(without.is_held("B4"), "nothing tells when last year was");
}

#[test]
fn letters_are_symbols_beside_what_they_measure_and_phases_beside_their_fellows() {
    let discharge = Read::texts(&[
        "Partial discharge, machine HTA-M02, 24/03/1999, values in pC, phase to earth",
        "U (kV)|Ph. U|Ph. V|Ph. W",
        "1,0|<20|<20|<20",
        "2,0|35|<20|60",
        "3,2|180|95|410",
    ]);
    assert_eq!((discharge.quantity("B4"), discharge.volts("B4")), (Some("pd_magnitude"), Some(2000.0)));
    assert_eq!(discharge.circuit("D5"), Some("W-E"));
    let phases = Read::texts(&[
        "Surge peak of motor P-1, 2 May 2001",
        "Test|U (V)|V (V)|W (V)",
        "1|2000|2010|1990",
        "2|2100|2090|2110",
    ]);
    assert_ne!(phases.volts("C3"), Some(2000.0), "three letters in volts are phases");
    let ramp = Read::texts(&[
        "Grupo H2, rampa de tensión, 22-08-2007, corriente en µA",
        "t (s)|kV|I",
        "30|0,5|0,08",
        "60|1,0|0,17",
        "90|1,5|0,26",
    ]);
    assert_eq!(
        (ramp.quantity("C4"), ramp.volts("C4"), ramp.seconds("C4")),
        (Some("leakage_current"), Some(1000.0), Some(60.0))
    );
    let groups = Read::texts(&[
        "Tangente delta, Generador 4, 12 de septiembre de 2016",
        "kV|Fase A||Fase B||Fase C|",
        "|tg δ %|C pF|tg δ %|C pF|tg δ %|C pF",
        "2|0,62|98.400|0,61|98.150|0,66|98.720",
        "4|0,65|98.450|0,64|98.190|0,78|98.900",
    ]);
    assert_eq!((groups.quantity("C4"), groups.circuit("C4")), (Some("capacitance"), Some("U-E")));
}

#[test]
fn onset_symbols_are_read_in_pairs() {
    let german = Read::texts(&[
        "Teilentladungsmessung 28.02.2018",
        "Maschine|Strang|Q [pC]|Ue [kV]|Ua [kV]",
        "T-3|U|420|3,6|3,1",
        "T-3|V|380|3,8|3,3",
        "T-3|W|390|3,7|3,2",
    ]);
    assert_eq!(
        (german.quantity("D3"), german.quantity("E3")),
        (Some("pd_inception_voltage"), Some("pd_extinction_voltage"))
    );
    let standard = Read::texts(&[
        "Partial discharge 28 Feb 2018",
        "Machine|Phase|Q [pC]|Ui [kV]|Ue [kV]",
        "T-3|U|420|3.6|3.1",
        "T-3|V|380|3.8|3.3",
        "T-3|W|390|3.7|3.2",
    ]);
    assert_eq!(
        (standard.quantity("D3"), standard.quantity("E3")),
        (Some("pd_inception_voltage"), Some("pd_extinction_voltage"))
    );
    let alone = Read::texts(&[
        "Partial discharge 28 Feb 2018",
        "Machine|Phase|Q [pC]|Ue [kV]",
        "T-3|U|420|3.6",
        "T-3|V|380|3.8",
        "T-3|W|390|3.7",
    ]);
    assert_eq!(alone.quantity("D3"), None, "one symbol alone may be either");
}

#[test]
fn windings_of_machines_with_a_commutator_are_read_without_a_code() {
    let table = Read::texts(&[
        "Traction motor insulation, 500 V for 1 min, Mohm",
        "Motor|Date|Arm - E|Main fld - E|Interpole - E|Brush length mm",
        "TM-1|05-Jun-95|2.4|8|15|38",
        "TM-2|05-Jun-95|0.15|3.5|6|38",
    ]);
    assert_eq!((table.circuit("C3"), table.circuit("D3"), table.circuit("E3")), (Some("A-E"), Some("F-E"), None));
    assert_eq!((table.quantity("E3"), table.quantity("F3")), (Some("insulation_resistance"), None));
    let form = Read::texts(&[
        "Motor|WM 1|Tag|17.10.1979",
        "Wicklungstemp.|38 °C|Raum|22 °C",
        "1. Isolation gegen Gehäuse mit 500 V (MΩ)",
        "Anker|3,5",
        "Wendepole + Kompensation|8",
        "2. Widerstände (Ω)",
        "Anker|0,0121",
        "Nebenschluss (Feld)|64,2",
    ]);
    assert_eq!((form.quantity("B5"), form.day("B5").as_deref()), (Some("insulation_resistance"), Some("1979-10-17")));
    assert_eq!((form.quantity("B7"), form.quantity("B8")), (Some("winding_resistance"), Some("winding_resistance")));
    assert_eq!(form.celsius("B4"), Some(38.0));
    let of_insulation =
        Read::texts(&["Motor|WM 1|Tag|17.10.1979", "Widerstände gegen Gehäuse (Ω)", "Anker|12000000", "Feld|64000000"]);
    assert_ne!(of_insulation.quantity("B3"), Some("winding_resistance"), "to the frame it is no conductor");
}

#[test]
fn a_matrix_of_phases_has_a_column_for_earth() {
    let matrix = Read::texts(&[
        "Aislamiento entre fases y a masa, GΩ, 1 min.",
        "Extrusora 1|21-01-2019|1000 V|devanado|20|ºC",
        "|U|V|W|Masa",
        "U|x|1,8|1,7|0,9",
        "V||x|1,9|0,95",
        "W|||x|0,92",
    ]);
    assert_eq!((matrix.circuit("C4"), matrix.circuit("E5")), (Some("U-V"), Some("V-E")));
    assert_eq!((matrix.day("C4").as_deref(), matrix.celsius("C4")), (Some("2019-01-21"), Some(20.0)));
}

#[test]
fn parameters_in_rows_are_circumstances_of_the_readings_of_their_day() {
    let rows = Read::texts(&[
        "N°|Équipement|Date|Paramètre|Valeur|Unité",
        "701|V-210|12/01/2021|Tension d'essai|1000|V",
        "702|V-210|12/01/2021|Température bobinage|18|°C",
        "703|V-210|12/01/2021|Riso U/PE 60 s|1,62|GΩ",
        "704|V-210|25/01/2021|Tension d'essai|500|V",
        "705|V-210|25/01/2021|Riso U/PE 60 s|210|MΩ",
        "706|V-211|25/01/2021|Tension d'essai|500|V",
        "707|V-211|25/01/2021|Tension d'essai|1000|V",
        "708|V-211|25/01/2021|Riso U/PE 60 s|640|kΩ",
    ]);
    assert_eq!((rows.volts("E4"), rows.celsius("E4"), rows.seconds("E4")), (Some(1000.0), Some(18.0), Some(60.0)));
    assert_eq!((rows.volts("E6"), rows.celsius("E6")), (Some(500.0), None), "each day has its own");
    assert_eq!(
        (rows.quantity("E9"), rows.volts("E9")),
        (Some("insulation_resistance"), None),
        "two voltages tell none"
    );
}

#[test]
fn a_result_beside_its_unit_was_measured_and_a_verdict_was_not() {
    let list = Read::texts(&[
        "Machine|Date essai|Essai|Entre|Résultat|Unité",
        "MT-61|28/02/2022|Résistance|U-V|0,4127|ohm",
        "MT-61|28/02/2022|Inductance|U-V|6,82|mH",
        "MT-61|28/02/2022|Isolement 1 min 1000 V|UVW-masse|12,4|Gohm",
    ]);
    assert_eq!((list.quantity("E2"), list.quantity("E3")), (Some("winding_resistance"), Some("inductance")));
    assert_eq!((list.circuit("E4"), list.volts("E4")), (Some("UVW-E"), Some(1000.0)));
    let verdicts =
        Read::texts(&["Machine|Date|IR|Unit|Result", "MT-61|28/02/2022|640|MΩ|1", "MT-62|28/02/2022|12|MΩ|0"]);
    assert_eq!((verdicts.quantity("C2"), verdicts.quantity("E2")), (Some("insulation_resistance"), None));
}

#[test]
fn units_of_one_letter_stand_under_the_word_for_units() {
    let list = Read::texts(&[
        "EQUIP|TDATE|TVOLTS|R60S|UNIT|WTEMPF",
        "AC-201|1996-03-11|500|110|M|71",
        "AC-202|1996-03-11|500|1.3|G|72",
        "AC-204|1996-03-12|1000|1.5||70",
    ]);
    let ohms = |cell: &str| list.reading(cell).map(|reading| reading.unit.value.to_stored(reading.number));
    assert_eq!((ohms("D2"), ohms("D3")), (Some(110e6), Some(1.3e9)));
    assert_eq!(list.celsius("D2").map(f64::round), Some(22.0));
    assert!(list.is_held("D4"), "a unit left out is no one's");
}

#[test]
fn ohms_told_by_the_line_are_of_the_conductor_between_two_terminals() {
    let list = Read::texts(&[
        "motor|date|r_1_2|r_2_3|r_3_1|unit|t_wdg_c|r_mean_20c",
        "LIFT A|2011-02-07|0.482|0.484|0.483|ohm|17|0.489",
        "LIFT B|2011-02-07|479|481|522|mohm|17.5|499",
    ]);
    assert_eq!((list.quantity("C2"), list.circuit("D2")), (Some("winding_resistance"), Some("V-W")));
    assert_eq!(list.quantity("H2"), None, "a mean was not measured");
}

#[test]
fn a_difference_beside_ohms_is_none_of_surges() {
    let list = Read::texts(&[
        "Resistencia óhmica de devanados por fase",
        "Motor|Fecha|R U (ohm)|R V (ohm)|R W (ohm)|Dif. máx. %",
        "Telar 1|3-mar-94|4,52|4,55|4,53|0,7",
        "Telar 2|3-mar-94|4,50|4,49|4,81|7,0",
    ]);
    assert_eq!((list.quantity("C3"), list.quantity("F3")), (Some("winding_resistance"), None));
    let surge =
        Read::texts(&["Motor|Date|Leads|Peak V|Diff %", "SAW-2|13/02/13|1-2|2040|11.8", "SAW-2|13/02/13|2-3|2040|1.4"]);
    assert_eq!((surge.quantity("E2"), surge.circuit("E2")), (Some("surge_difference"), Some("U-V")));
}

#[test]
fn days_stand_behind_stages_and_degrees_under_windings() {
    let table = Read::texts(&[
        "Alle Isolationswerte mit 500 V nach 1 Minute",
        "Motor|Zustand|U–Masse|V–Masse|Wicklung",
        "Zerkleinerer Z1|Anlieferung, 03.11.2015|0,2 MΩ|0,2 MΩ|17 °C",
        "Zerkleinerer Z1|nach Reinigung, 05.11.2015|15 MΩ|14 MΩ|18 °C",
    ]);
    assert_eq!((table.day("C3").as_deref(), table.day("C4").as_deref()), (Some("2015-11-03"), Some("2015-11-05")));
    let test = table.0.tests.first();
    let basis = test.map(|test| test.winding_temperature_basis);
    assert_eq!(basis, Some(windrow_model::kind::TemperatureBasis::Measured));
    let dated = Read::texts(&[
        "Motor|Datum|Zustand|U–Masse",
        "Z1|04.11.2015|Anlieferung, 03.11.2015|0,2 MΩ",
        "Z1|06.11.2015|nach Reinigung, 05.11.2015|15 MΩ",
    ]);
    assert_eq!(dated.day("D2").as_deref(), Some("2015-11-04"), "the column of dates comes first");
}

#[test]
fn a_remark_that_the_range_was_left_holds_the_reading() {
    let list = Read::texts(&[
        "REPERE|DATE|UVWM_MOHM|PHPH_MOHM|ETAT",
        "CV-32|1998-02-03|95.5|140|",
        "CV-35|1998-03-02|9999|9999|hors gamme",
        "CV-36|1998-03-02|>2000|>2000|hors gamme",
    ]);
    assert_eq!((list.circuit("C2"), list.quantity("D2")), (Some("UVW-E"), Some("insulation_resistance")));
    assert!(list.is_held("C3") && list.is_held("D3"), "where the range ends is not told");
    assert_eq!(list.quantity("C4"), Some("insulation_resistance"), "a bound that is written stands");
}

#[test]
fn times_of_day_count_from_when_voltage_was_put_on() {
    let log = Read::texts(&[
        "Motor|2P-104A",
        "Date|21 Mar 2001",
        "DC volts|2500",
        "Voltage on at|10:02:00",
        "Clock|Megohms",
        "10:02:15|210",
        "10:03:00|390",
        "10:12:00|1020",
        "Voltage off at|10:12:20",
        "",
        "Motor|2P-104B",
        "Date|21 Mar 2001",
        "DC volts|2500",
        "Clock|Megohms",
        "11:41:00|64",
        "11:45:30|75",
        "11:50:30|76",
    ]);
    assert_eq!((log.seconds("B6"), log.seconds("B8"), log.tag("B8")), (Some(15.0), Some(600.0), Some("2P-104A")));
    assert_eq!(log.seconds("B15"), None, "nothing tells when this voltage was put on");
}

#[test]
fn forms_beside_one_without_readings_keep_their_own_machine() {
    let cards = Read::texts(&[
        "MOTOR|Dredge pump||MOTOR|Conveyor C1||MOTOR|Screen",
        "TESTED|9 Feb 1999||TESTED|9 Feb 1999||TESTED|9 Feb 1999",
        "VOLTS|1000||VOLTS|500||VOLTS|500",
        "A-G meg|75||A-G meg|190||A-G meg|n/t",
        "B-G meg|74||B-G meg|185||B-G meg|n/t",
    ]);
    assert_eq!((cards.tag("B4"), cards.tag("E4")), (Some("Dredge pump"), Some("Conveyor C1")));
    let below = Read::texts(&[
        "EQUIPO||EQUIPO||EQUIPO",
        "Pozo 3||Pozo 5||Rebombeo",
        "FECHA||FECHA||FECHA",
        "6/IV/1972||6/IV/1972||7/IV/1972",
        "MEGOHMIOS FASE R||MEGOHMIOS FASE R||MEGOHMIOS FASE R",
        "12||no se pudo sacar||90",
        "MEGOHMIOS FASE S||MEGOHMIOS FASE S||MEGOHMIOS FASE S",
        "11||no se pudo sacar||85",
    ]);
    assert_eq!((below.tag("A6"), below.tag("E8")), (Some("Pozo 3"), Some("Rebombeo")));
}

#[test]
fn a_number_that_a_print_sets_apart_goes_on_with_the_name() {
    let list = Read::texts(&[
        "500 V, megohms, 11 July 1983",
        "DRIVE||MOHM",
        "AIR COOLER|1|75",
        "AIR COOLER|2|80",
        "FAN PORT||20",
    ]);
    assert_eq!(
        (list.tag("C3"), list.tag("C4"), list.tag("C5")),
        (Some("AIR COOLER 1"), Some("AIR COOLER 2"), Some("FAN PORT"))
    );
}

#[test]
fn one_of_two_machines_in_brackets_is_a_question() {
    let list = Read::texts(&[
        "Date|Motor|IR MΩ",
        "2006-11-04|Agitator 12|52",
        "2006-12-02|Agitator 12 (or 14)|47",
        "2006-12-03|Agitator 15|48",
    ]);
    assert!(list.is_held("C3") && list.quantity("C2").is_some());
}

#[test]
fn numbers_behind_the_names_of_phases_are_of_what_is_named_before_them() {
    let print = Read::texts(&[
        "Partial discharge, machine HTA-M02, 24/03/1999",
        "Threshold|Inception (kV)|U 1,7|V 2,1|W 1,5",
        "Threshold|Extinction (kV)|U 1,4|V 1,8|W 1,2",
    ]);
    assert_eq!((print.quantity("C2"), print.circuit("C2")), (Some("pd_inception_voltage"), Some("U-E")));
    assert_eq!((print.quantity("E3"), print.circuit("E3")), (Some("pd_extinction_voltage"), Some("W-E")));
    let names = Read::texts(&["Motors of 24/03/1999", "Kept in|Store (MΩ)|U 17|V 21|W 15"]);
    assert_eq!(names.quantity("C2"), None, "what is named is not known");
}

#[test]
fn terminals_and_their_resistance_stand_in_one_cell() {
    let card = Read::texts(&[
        "Machine : Groupe A|Date : le 8 septembre 1997|Tension d'essai : 1000 V",
        "Temp. enroulement : 21 °C|Temp. local : 17 °C|Hygro : 62 %",
        "U/masse : 320 MΩ|V/masse : 315 MΩ|W/masse : > 2 GΩ",
    ]);
    assert_eq!((card.circuit("A3"), card.volts("B3")), (Some("U-E"), Some(1000.0)));
    assert_eq!((card.tag("C3"), card.celsius("C3")), (Some("Groupe A"), Some(21.0)));
}

#[test]
fn a_unit_overrules_a_word_that_is_short_for_many_things() {
    let list = Read::texts(&[
        "Parada de agosto de 2001. Aislamiento con 500 Vcc",
        "Motor|Día|1 min (MΩ)|Dev. (ºC)",
        "Horno 1 ventilador|2001-08-06|210|27",
        "Horno 2 ventilador|2001-08-07|130|29",
    ]);
    assert_eq!(
        (list.quantity("C3"), list.celsius("C3"), list.quantity("D3")),
        (Some("insulation_resistance"), Some(27.0), None)
    );
    let tan = Read::texts(&[
        "Alternateur A-1, phase contre masse, 3 mai 2008",
        "Phase|U kV|tg δ %|C nF",
        "U|2|0,78|182,1",
        "V|2|0,75|181,6",
        "W|2|0,80|182,9",
    ]);
    assert_eq!(
        (tan.quantity("C3"), tan.volts("C3"), tan.quantity("B3")),
        (Some("dissipation_factor"), Some(2000.0), None)
    );
}

#[test]
fn a_voltage_speaks_of_the_winding_that_its_heading_names() {
    let list = Read::texts(&[
        "rep|date|stator_terre_MOhm|rotor_terre_MOhm|Uessai_stator_V|Uessai_rotor_V",
        "BR-1|2001-10-02|85|12|1000|500",
        "BR-2|2001-10-02|92|0,3|1000|500",
    ]);
    assert_eq!((list.volts("C2"), list.volts("D2")), (Some(1000.0), Some(500.0)));
    let without =
        Read::texts(&["rep|date|a_MOhm|b_MOhm|Uessai_stator_V|Uessai_rotor_V", "BR-1|2001-10-02|85|12|1000|500"]);
    assert_eq!(without.volts("C2"), None, "nothing says which was applied to which");
}

#[test]
fn a_name_may_end_in_a_letter_that_is_short_for_something() {
    let list = Read::texts(&[
        "Maschine|geprüft|R20 U-V|R20 V-W|R20 W-U|Einh.",
        "Karde 7|13.01.1988|920|918|921|mOhm",
        "Zwirnerei K|13.01.1988|212|212|213|mOhm",
        "Karde 8|14.01.1988|907|906|905|mOhm",
    ]);
    assert_eq!((list.tag("C3"), list.quantity("C3")), (Some("Zwirnerei K"), Some("winding_resistance")));
}

/// A rate is neither a voltage nor a time. Worked example DC-01: 1 kV/min is 16.667 V/s.
#[test]
fn a_ramp_that_is_told_by_its_rate_alone_has_its_voltages_from_the_times() {
    for (title, rate) in [
        ("DC ramp test", "Rate of rise|1 kV/min"),
        ("DC ramp test", "Ramp rate (kV/min)|1"),
        ("Spannungsrampe mit Gleichspannung", "Anstiegsgeschwindigkeit|1 kV/min"),
        ("DC ramp test", "Rate of rise|16.667 V/s"),
    ] {
        let form = Read::texts(&[
            title,
            "Motor|R-7",
            "Rated voltage|6.6 kV",
            "Date|2012-05-03",
            rate,
            "Circuit|UVW-E",
            "",
            "Time (min)|Leakage µA",
            "1|0.31",
            "2|0.66",
            "10|2.90",
        ]);
        let volts = ["B9", "B10", "B11"].map(|cell| form.volts(cell).map(f64::round));
        assert_eq!(volts, [Some(1000.0), Some(2000.0), Some(10_000.0)], "{title}, {rate}");
        assert_eq!(form.kind("B9"), Some("dc_ramp"), "{title}, {rate}");
    }
    // A rate says nothing of the voltage that a withstand test held.
    let held = Read::texts(&[
        "DC withstand test",
        "Motor|R-7",
        "Date|2012-05-03",
        "Rate of rise|1 kV/s",
        "",
        "Time (min)|Leakage µA",
        "1|0.31",
    ]);
    assert_eq!((held.volts("B7"), held.kind("B7")), (None, Some("dc_withstand")));
    let log = Read::texts(&[
        "Motor|Date|Test|Ramp rate (kV/min)|Leakage at top (uA)|Result",
        "R-1|2012-05-03|DC ramp test|1|2.1|withstood",
        "R-3|2012-05-04|DC ramp test|2|9.4|broke down",
    ]);
    assert_eq!((log.seconds("E2"), log.seconds("E3"), log.volts("E3")), (None, None, None), "a rate is no time");
    assert_eq!(log.kind("E2"), Some("dc_ramp"));
}

#[test]
fn what_a_nameplate_promises_is_no_reading_beside_what_was_measured() {
    let columns = |rated: &str, measured: &str, below: &str| {
        let rows = ["Riso [MΩ]", "Isolement (MΩ)", "Aislamiento MΩ"];
        let unit = rows.iter().find(|row| row.starts_with(below)).copied().unwrap_or("IR MΩ");
        let heads = [format!("Motor|Date|{rated}|{measured}"), format!("||{unit}|{unit}")];
        Read::of(text_grid(&[&heads[0], &heads[1], "KP-1|2014-03-12|100|450", "KP-2|2014-03-13|100|300"]))
    };
    for (rated, measured, below) in [
        ("Rated", "Measured", "-"),
        ("Nennwert", "Gemessen", "Riso"),
        ("Nominal", "Mesuré", "Isolement"),
        ("Placa", "Medido", "Aislamiento"),
    ] {
        let read = columns(rated, measured, below);
        assert!(read.reading("C3").is_none() && read.reading("C4").is_none(), "{rated}");
        assert!(
            read.reading("D3").is_some_and(|reading| (reading.number - 450.0).abs() < 1e-9),
            "{rated}: {:?}",
            read.0.holds
        );
    }
    let lines = Read::of(text_grid(&[
        "Motor|KP-2",
        "Datum|12.03.2014",
        "",
        "Wicklungswiderstand|U-V|V-W|W-U",
        "Nennwert (Ω)|0,52|0,52|0,52",
        "Gemessen (Ω)|0,531|0,529|0,530",
    ]));
    assert!(["B5", "C5", "D5"].iter().all(|cell| lines.reading(cell).is_none()));
    assert_eq!(["B6", "C6", "D6"].map(|cell| lines.circuit(cell)), [Some("U-V"), Some("V-W"), Some("W-U")]);
}

#[test]
fn a_rated_voltage_under_its_plate_stays_the_plates() {
    let read =
        Read::of(text_grid(&["Motor|Nameplate||Measured", "|V|kW|IR (MΩ)", "KP-1|400|75|450", "KP-2|690|90|300"]));
    assert!(read.reading("B3").is_none() && read.reading("D3").is_some());
}
