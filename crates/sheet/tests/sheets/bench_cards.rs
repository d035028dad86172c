//! Cards and forms of machines with several windings, typed by hand. Invented; common practice, no source.

use crate::grid::{Read, text_grid};
use windrow_model::raw::PlateField;

#[test]
fn a_card_of_a_converter_set_heads_its_columns_in_two_lines() {
    let read = Read::texts(&[
        "MACHINE CARD",
        "Motor generator set No. 7",
        "Motor: 3 ph 6600 V 300 HP|||Generator: 600 V DC 220 kW shunt",
        "Insulation to earth in megohms, hand generator 500 V, 1 minute",
        "",
        "Date|Motor|Gen.|Gen.|Temp|Remarks",
        "|stator|armature|field|deg F|",
        "12 Mar 1962|85|3.2|11|64|commutator blown out",
        "28 Sep 1962|70|2.4|9.5|66|\"",
    ]);
    assert_eq!(["B8", "C8", "D8"].map(|cell| read.value(cell)), [Some(8.5e7), Some(3.2e6), Some(1.1e7)]);
    assert_eq!(["C8", "D8"].map(|cell| read.circuit(cell)), [Some("A-E"), Some("F-E")]);
    assert_eq!(
        (read.volts("D9"), read.seconds("D9"), read.day("D9")),
        (Some(500.0), Some(60.0), Some("1962-09-28".into()))
    );
    assert!(read.reading("E8").is_none());
}

#[test]
fn years_beside_one_machine_are_those_of_its_tests() {
    let rows = ["Isolement à la masse en mégohms, magnéto 500 V", "Groupe|Année|Stator moteur|Induit génératrice"];
    let table = |last: &'static str| Read::of(text_grid(&[rows[0], rows[1], "G1|1969|55|1,8", "G1|1970|50|1,5", last]));
    let read = table("G2|1969|90|3,1");
    assert_eq!(["C3", "C4"].map(|cell| read.day(cell)), [Some("1969".into()), Some("1970".into())]);
    assert_eq!((read.value("C3"), read.circuit("C3"), read.circuit("D3")), (Some(5.5e7), None, Some("A-E")));
    let made = Read::of(text_grid(&[rows[0], rows[1], "G1|1969|55|1,8", "G2|1970|50|1,5"]));
    assert_eq!(made.day("C3"), None, "a year that each machine has once may be that of its making");
}

#[test]
fn a_form_tells_which_sensor_was_read_and_two_values_in_one_cell() {
    let read = Read::texts(&[
        "TIMED INSULATION TEST",
        "Equipment|P-77B charge pump motor||Date|21 October 2009",
        "Rating|1850 kW  6.6 kV  1485 rpm||Test voltage|5 kV DC",
        "Winding temp|34 °C (RTD 3)||Ambient|17 °C   RH 61 %",
        "",
        "Minutes|R phase|Y phase|B phase",
        "|GΩ to earth|GΩ to earth|GΩ to earth",
        "0.5|1.92|1.87|1.99",
        "1|2.75|2.61|2.84",
        "10|8.8|8.2|9.15",
        "PI (10/1)|3.2|3.14|3.22",
    ]);
    assert_eq!(["B8", "C9", "D10"].map(|cell| read.value(cell)), [Some(1.92e9), Some(2.61e9), Some(9.15e9)]);
    assert_eq!(["B8", "C9", "D10"].map(|cell| read.seconds(cell)), [Some(30.0), Some(60.0), Some(600.0)]);
    assert_eq!((read.circuit("C9"), read.volts("C9"), read.celsius("C9")), (Some("V-E"), Some(5000.0), Some(34.0)));
    let ambient = read.found("B8").and_then(|(test, _)| test.ambient_temperature_c.as_ref()).map(|told| told.value);
    assert_eq!((read.tag("B8"), ambient), (Some("P-77B charge pump motor"), Some(17.0)));
}

#[test]
fn no_rating_of_several_in_one_cell_is_lost() {
    let read = Read::texts(&[
        "Plant:|Gas turbine station||Date:|14.02.2006",
        "Machine:|SM-3 starting motor||Rated:|1400 kW 6.6 kV 148 A",
        "",
        "Insulation resistance (MΩ), 1 min at 5000 V",
        "U-E|V-E|W-E",
        "5200|5100|5300",
    ]);
    let plate: Vec<PlateField> =
        read.found("A6").into_iter().flat_map(|(test, _)| test.machine.plate.iter().map(|(field, _)| *field)).collect();
    for field in [PlateField::RatedPower, PlateField::RatedVoltage, PlateField::RatedCurrent] {
        assert!(plate.contains(&field), "{field:?}: {plate:?}");
    }
}

#[test]
fn last_year_beside_this_year_has_its_own_day() {
    let read = Read::texts(&[
        "Messung gegen Gehäuse, 500 V, Werte in Megohm",
        "Antrieb|Inv.-Nr.|Vorjahr||Dieses Jahr|",
        "||am|Riso|am|Riso",
        "Rührwerk|E 104|16.01.1996|320|21.01.1997|305",
        "Würzepumpe|E 107|16.01.1996|>500|21.01.1997|>500",
    ]);
    assert_eq!(["D4", "F4"].map(|cell| read.value(cell)), [Some(3.2e8), Some(3.05e8)], "E 104 is no power of ten");
    assert_eq!(["D4", "F4"].map(|cell| read.day(cell)), [Some("1996-01-16".into()), Some("1997-01-21".into())]);
    assert_eq!(read.tag("D5"), Some("E 107"));
}

#[test]
fn a_spread_below_resistances_is_none() {
    let read = Read::texts(&[
        "Motor|BC-9",
        "Date|18 June 2013",
        "",
        "Terminals|Resistance mΩ",
        "U1-V1|812.4",
        "V1-W1|813.0",
        "W1-U1|811.8",
        "Spread %|0.15",
    ]);
    assert_eq!(read.quantity("B5"), Some("winding_resistance"));
    assert_ne!(read.quantity("B8"), Some("winding_resistance"), "a percentage is no milliohms");
}

#[test]
fn the_name_of_a_test_says_that_the_winding_itself_was_measured() {
    let read = Read::texts(&[
        "Tests of 14 September 2022",
        "Pump motor|Test|L1|L2|L3|Unit",
        "CHP-1|phase to earth, 500 V, 1 min|740|755|731|MΩ",
        "CHP-1|phase winding at 22 °C|0.482|0.484|0.481|Ω",
    ]);
    assert_eq!((read.circuit("C3"), read.volts("C3")), (Some("U-E"), Some(500.0)));
    assert_eq!((read.quantity("D4"), read.circuit("D4")), (Some("winding_resistance"), Some("V")));
    assert_eq!(read.celsius("D4"), Some(22.0));
}

#[test]
fn a_page_or_year_behind_a_title_is_no_machine_and_no_value() {
    let read = Read::texts(&[
        "FICHA DEL GRUPO CONVERTIDOR No 2|hoja 3",
        "Aislamiento a masa, Megohmios",
        "",
        "Fecha|Inducido|Campo|Volts",
        "4 Mzo. 1967|2,8|9|500",
        "9 Spbre. 1967|2,2|8,5|500",
    ]);
    assert_eq!(
        (read.value("B5"), read.day("B5"), read.circuit("C6")),
        (Some(2.8e6), Some("1967-03-04".into()), Some("F-E"))
    );
    assert_eq!(read.day("B6"), Some("1967-09-09".into()));
    assert_ne!(read.tag("B5"), Some("hoja 3"));
}

#[test]
fn an_inception_voltage_stood_at_no_step() {
    let read = Read::rows(&[
        "Antrieb G-11, 10 kV",
        "Datum: 12.02.2020",
        "Prüfspannung kV|2|4|6",
        "C in nF|212.1|212.3|212.8",
        "TE-Einsetzspannung kV|5.2",
    ]);
    assert_eq!((read.volts("B4"), read.volts("C4")), (Some(2000.0), Some(4000.0)));
    assert_eq!(read.volts("B5"), None);
}

#[test]
fn a_day_left_open_is_its_month() {
    let read = Read::texts(&[
        "Motor FB-2B, IR windings to frame in Meg, 1000 V",
        "Date|Meg",
        "14/2/1991|500",
        "30/8/1991|460",
        "?/9/1992|395",
    ]);
    assert_eq!(read.day("B5"), Some("1992-09".into()));
}
