//! Months as headings and above blocks, years in titles and names of sheets. Common practice in registers, no source; all sheets are
//! invented.

use crate::grid::{Read, grid};
use windrow_model::settings::Settings;
use windrow_source::{Grid, Workbook};

#[test]
fn a_register_by_month_goes_on_where_its_lines_fill_other_months() {
    let read = Read::rows(&[
        "2013 - hoist motors, megohms, 500 V, 60 s, phases tied together to ground",
        "Unit|Jan|Feb|Mar|Apr|May|Jun|Low",
        "HST-11||940||740||450|450",
        "HST-12|670||660||500||500",
        "HST-14||750||510||510|510",
        "HST-15|440||390||240||240",
    ]);
    assert_eq!(
        (read.value("C3"), read.day("C3").as_deref(), read.tag("C3")),
        (Some(940e6), Some("2013-02"), Some("HST-11"))
    );
    assert_eq!(
        (read.value("B4"), read.day("B4").as_deref(), read.tag("B4")),
        (Some(670e6), Some("2013-01"), Some("HST-12"))
    );
    assert_eq!((read.value("F6"), read.day("F6").as_deref()), (Some(240e6), Some("2013-05")));
}

#[test]
fn a_year_beside_the_other_parts_of_a_title_is_that_of_its_months() {
    let read = Read::texts(&[
        "AISLAMIENTO A TIERRA EN MEGOHMIOS||AÑO 1979||500 V C.C.",
        "",
        "MOTOR|ENE|MAR|ABR|JUN",
        "BOMBA-1|70|60|50|30",
        "BOMBA-2|70|35|30|20",
    ]);
    assert_eq!(
        (read.value("D5"), read.day("D5").as_deref(), read.volts("D5")),
        (Some(30e6), Some("1979-04"), Some(500.0))
    );
}

#[test]
fn a_month_alone_above_a_header_dates_the_block_below_it() {
    let read = Read::texts(&[
        "October 2003",
        "Motor|As found|Initials",
        "|MOhm|",
        "COMP 1|220|AH",
        "COMP 2|105|AH",
        "",
        "January 2004",
        "Motor|As found|Initials",
        "|MOhm|",
        "COMP 1|260|KD",
        "COMP 2|100|KD",
    ]);
    assert_eq!((read.value("B4"), read.day("B4").as_deref()), (Some(220e6), Some("2003-10")));
    assert_eq!((read.value("B10"), read.day("B10").as_deref()), (Some(260e6), Some("2004-01")));
}

#[test]
fn sheets_named_by_seasons_tell_no_month() {
    let sheet = |name: &str, value: &str| Grid {
        name: Some(name.to_owned()),
        ..grid(&["Motor|Insulation MΩ", &format!("COMP 1|{value}"), "COMP 2|105"])
    };
    let days = |names: [&str; 2]| {
        let book = Workbook { sheets: names.map(|name| sheet(name, "220")).into(), ..Workbook::default() };
        let read = Read::of_book(&book, &Settings::default());
        let told = read.0.tests.iter().filter_map(|test| test.performed.as_ref().map(|told| told.value.to_string()));
        told.collect::<std::collections::BTreeSet<_>>().into_iter().collect::<Vec<_>>()
    };
    assert!(days(["2003-04", "2004-05"]).is_empty());
    assert!(days(["Season 2003-04", "Notes"]).is_empty());
    assert_eq!(days(["2003-04", "2003-07"]), ["2003-04", "2003-07"], "months of one year");
}

#[test]
fn dates_out_and_back_are_those_of_what_was_read_right_behind_them() {
    let read = Read::texts(&[
        "Motor|Date out of machine|As found, MΩ to earth|Date back from overhaul|As returned, MΩ to earth",
        "TS-02|12 March 2012|6.5|6 June 2012|380",
        "TS-05|11 April 2012|8|4 July 2012|220",
    ]);
    assert_eq!((read.value("C2"), read.day("C2").as_deref()), (Some(6.5e6), Some("2012-03-12")));
    assert_eq!((read.value("E3"), read.day("E3").as_deref()), (Some(220e6), Some("2012-07-04")));
}

#[test]
fn a_quarter_names_no_machine_and_a_week_may() {
    let form = |name: &str| {
        Read::texts(&[&format!("Motor No.:|{name}"), "Date:|2003-11-17", "", "Phase|MΩ to earth", "U|112", "V|118"])
    };
    assert_eq!(form("Q1/00").tag("B5"), None);
    assert_eq!(form("W4/1").tag("B5"), Some("W4/1"));
}
