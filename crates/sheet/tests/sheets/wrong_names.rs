//! What must not be taken for the machine of readings: names of other things, and machines of other lines and blocks. Invented; common
//! practice, no source.

use crate::grid::Read;

#[test]
fn words_for_the_line_above_are_marks_in_four_languages() {
    for mark in ["wie vor", "as above", "idem ci-dessus", "como arriba"] {
        let read = Read::texts(&[
            "Motor|Date|Terminals|Insulation MΩ",
            "FM 31|2014-11-20|U-E|38",
            &format!("{mark}|2014-11-20|V-E|41"),
            "FM 32|2014-11-20|U-E|52",
            &format!("{mark}|2014-11-20|V-E|55"),
        ]);
        assert_eq!(["D3", "D5"].map(|cell| read.tag(cell)), [Some("FM 31"), Some("FM 32")], "{mark}");
    }
}

#[test]
fn a_pair_behind_the_name_in_a_line_of_a_form_names_no_machine() {
    let read = Read::texts(&[
        "HV motors, 5000 V DC, U+V+W to earth, 15.08.2018||||",
        "Motor|Fan X201||Winding temp.|27|°C",
        "Time (min)|0.5|1|3|7|10",
        "R (GΩ)|0.81|1.02|1.45|2.10|2.60",
    ]);
    for cell in ["B4", "C4", "D4", "E4", "F4"] {
        assert!(matches!(read.tag(cell), None | Some("Fan X201")), "{cell} {:?}", read.tag(cell));
    }
}

#[test]
fn a_column_that_looks_like_names_does_not_outweigh_the_labelled_machine() {
    let read = Read::texts(&[
        "Machine|RIG-7||",
        "Test volts|500||",
        "Date|R at 1 min (MΩ)|PI|Student",
        "2014-11-04|1850|2.1|group 5",
        "2015-05-18|1790|2.0|group 4",
        "2015-11-11|1620|1.7|group 2",
    ]);
    assert_eq!(["B4", "B5", "C6"].map(|cell| read.tag(cell)), [Some("RIG-7"); 3]);
}

#[test]
fn of_two_columns_of_codes_the_one_that_differs_more_names_the_machines() {
    let read = Read::texts(&[
        "Bin|Spare No|kW|Last checked|Ins. res. Mohm",
        "B1|SM-04|5.5|14/03/2011|500",
        "B1|SM-05|5.5|14/03/2011|310",
        "B3|SM-08|22|15/03/2011|85",
        "B3|SM-11|22|15/03/2011|4.2",
    ]);
    assert_eq!(["E2", "E3", "E5"].map(|cell| read.tag(cell)), [Some("SM-04"), Some("SM-05"), Some("SM-11")]);
}

#[test]
fn the_number_of_a_form_is_no_machine() {
    let read = Read::texts(&[
        "Motor test",
        "Date|Insulation MΩ",
        "2011-06-14|640",
        "2012-06-14|610",
        "",
        "Form NDA/E/07 issue 2",
    ]);
    assert_eq!(read.tag("B3"), None);
}

#[test]
fn a_form_beside_another_names_its_own_machine() {
    let read = Read::texts(&[
        "WASH FAN MOTOR|WF-4|||ORE MILL MOTOR|OM-2|",
        "Date|17-Feb-2004|||Date|18-Feb-2004|",
        "Test voltage|5|kV dc||Test voltage|5|kV dc",
        "A-G 1 min|3.2|Gohm||A-G 1 min|1.15|Gohm",
        "B-G 1 min|3.4|Gohm||B-G 1 min|1.2|Gohm",
        "C-G 1 min|2.9|Gohm||C-G 1 min|0.98|Gohm",
    ]);
    assert_eq!(read.tag("B4"), Some("WF-4"));
    assert!(matches!(read.tag("F4"), None | Some("OM-2")), "{:?}", read.tag("F4"));
    let siblings = Read::texts(&[
        "Reel drive A||||Reel drive B||",
        "Date|MΩ|°C wdg||Date|kΩ|°C wdg",
        "1996-03-04|2.2|31||1996-03-05|950|32",
        "1996-09-02|1.9|35||1996-09-03|870|36",
    ]);
    assert_ne!(siblings.tag("B3"), siblings.tag("F3"));
}

#[test]
fn one_name_at_two_stations_or_cranes_is_that_of_two_machines() {
    let stations = Read::texts(&[
        "Station|Pump|Date|U-E MΩ",
        "Alder|Pump 1|2020-09-15|180",
        "|Pump 2|2020-09-15|52",
        "Beech|Pump 1|2020-09-22|960",
    ]);
    let cranes = Read::texts(&[
        "Crane|Motor|Date|Armature to gnd MΩ",
        "C-1|Hoist|1964-03-16|4.2",
        "C-1|Swing|1964-03-16|9.0",
        "C-2|Hoist|1965-08-23|3.5",
        "C-1|Hoist|1967-01-30|25",
    ]);
    assert_eq!([cranes.tag("D2"), cranes.tag("D4")], [Some("C-1 Hoist"), Some("C-2 Hoist")]);
    assert_eq!(cranes.tag("D5"), Some("C-1 Hoist"));
    let named = |cell: &str| {
        let machine = &stations.found(cell).unwrap().0.machine;
        let text = |told: &Option<windrow_model::raw::Told<windrow_model::Text>>| {
            told.as_ref().map(|told| told.value.to_string())
        };
        (text(&machine.site), text(&machine.tag))
    };
    assert_ne!(named("D2"), named("D4"));
    let drives = Read::texts(&[
        "Maschine|Antrieb|gemessen am|U-PE MOhm",
        "Messer 1|Hauptmotor|1997-07-21|450",
        "Messer 1|Vorschub|1997-07-21|800",
        "Presse|Hydraulik|1997-07-22|610",
    ]);
    assert_ne!(drives.tag("D2"), drives.tag("D3"));
    // Documents that differ from line to line, and people, are no part of a name.
    let papers = Read::texts(&[
        "Beleg|Pump|Date|U-E MΩ",
        "5001|P-7|2020-09-15|180",
        "5002|P-7|2020-09-15|52",
        "5003|P-7|2020-09-22|960",
    ]);
    assert_eq!(papers.tag("D3"), Some("P-7"));
}

#[test]
fn motions_are_parts_of_the_crane_that_the_title_names() {
    let read = Read::texts(&[
        "Crane 5 - slip-ring motors, megohms to earth, 500 V 1 min",
        "Date|Motion|Stator MΩ|Rotor MΩ",
        "2003-02-11|Hoist|42|18",
        "2003-02-11|Slew|60|25",
        "2004-01-20|Hoist|39|11",
    ]);
    assert_ne!(read.tag("C3"), read.tag("C4"));
    assert_eq!(read.tag("C3"), read.tag("C5"));
}

#[test]
fn of_names_down_a_column_one_alone_speaks_for_no_line() {
    let read = Read::texts(&[
        "Surge comparison between phases",
        "Motor|Fecha|Par|Pico (V)|Dif. (%)",
        "Bomba 6|18 de mayo de 2022|1-2|2050|1,8",
        "||2-3|2060|2,1",
        "||3-1|2050|1,5",
        "Puente Sur|19 de mayo de 2022|1-2|1900|17",
        "||2-3|1900|3,0",
        "||3-1|1850|19",
    ]);
    assert_ne!(read.tag("D6"), Some("Bomba 6"));
    let years = Read::texts(&[
        "Moteur VX41|15/01/2001|16/07/2001|21/01/2002",
        "phase U|36|28|30",
        "phase V|35|27.5|29",
        "phase W|37|29|31",
        "",
        "Moteur VX42|15/01/2001|16/07/2001|21/01/2002",
        "phase U|110|95|HS",
        "phase V|108|96|HS",
        "phase W|4.4|3.9|HS",
    ]);
    assert!(years.tag("B7").is_none_or(|tag| !tag.contains("VX41")), "{:?}", years.tag("B7"));
}

#[test]
fn names_across_a_sheet_stay_names_though_their_letters_are_units() {
    let read = Read::texts(&[
        "Insulation to earth in MΩ, 1 min, 500 V unless shown",
        "Machine|BP 22|C 51|P 101 A|F 41|P 102",
        "Date|10/01/05|19/04/05|15/05/05|22/11/05|25/12/05",
        "U|>2000|14000|16600|2580|709",
        "V|>2000|17500|17800|2400|864",
        "W|>2000|18600|16200|2130|769",
        "Wdg °C|4|17|43|10|15",
        "V d.c.|||5000||5000",
    ]);
    assert_eq!(read.tag("C4"), Some("C 51"));
    for (cell, tag, volts) in [("C4", "C 51", 500.0), ("D5", "P 101 A", 5000.0), ("E6", "F 41", 500.0)] {
        let told = read.reading(cell).map(|_| (read.tag(cell), read.volts(cell)));
        assert!(told.is_none_or(|told| told == (Some(tag), Some(volts))), "{cell}: {told:?}");
    }
}
