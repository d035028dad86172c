//! Invented sentences of records in four languages (common practice, no source), and sentences that tell no reading.

use super::{Spoken, take};
use crate::cut::cut;
use crate::sense::Senses;
use crate::view::{Orientation, View};
use proptest::prelude::*;
use std::fmt::Write as _;
use windrow_source::{Cell, Grid};

/// A text as a reader of print-outs sets it: a cell for each stretch between wide blanks, addressed by line and column.
fn set(text: &str) -> Grid {
    let mut grid = Grid::default();
    for (row, line) in (0_u32..).zip(text.lines()) {
        let (mut column, mut from) = (0_u32, 0);
        for piece in line.split("  ") {
            let said = piece.trim();
            if !said.is_empty() {
                let at = from + piece.len() - piece.trim_start().len();
                grid.cells.push(Cell::text(row, column, said.to_owned()).at(format!(
                    "{}:{}",
                    row + 1,
                    line[..at].chars().count() + 1
                )));
                column += 1;
            }
            from += piece.len() + 2;
        }
    }
    grid.finish();
    grid
}

fn spoken(text: &str) -> Vec<Spoken> {
    let grid = set(text);
    let mut senses = Senses::default();
    let ids: Vec<_> = grid.cells.iter().map(|cell| senses.of(cell)).collect();
    let view = View::new(&grid, &senses, &ids, Orientation::Upright);
    let (_, passages) = take(&view, cut(&view));
    passages.into_iter().flat_map(|passage| passage.readings).collect()
}

/// Machine, day, value with its unit, terminals, seconds, volts, degrees of the winding.
fn told(text: &str) -> Vec<String> {
    let one = |spoken: &Spoken| {
        let bound = match spoken.part.bound {
            windrow_model::Bound::Exact => "",
            windrow_model::Bound::AtLeast => ">",
            windrow_model::Bound::AtMost => "<",
        };
        let number = spoken.part.numbers.iter().map(|number| number.value.to_string()).collect::<Vec<_>>().join("|");
        let unit = spoken.part.units.first().map_or("", |unit| unit.unit.symbol);
        let day = spoken.dates.0.first().map(|meaning| meaning.date.to_string()).unwrap_or_default();
        let mut out = format!("{} {day} {bound}{number} {unit}", spoken.machine.0);
        if let Some((circuit, _)) = &spoken.circuit {
            let _ = write!(out, " {}", circuit.code());
        }
        for (sign, value) in
            [("s", &spoken.elapsed), ("V", &spoken.volts), ("°C", &spoken.winding), ("°C?", &spoken.some_celsius)]
        {
            if let Some((value, _)) = value {
                let _ = write!(out, " {value} {sign}");
            }
        }
        if spoken.is_doubtful { format!("{} {day} ?", spoken.machine.0) } else { out }
    };
    spoken(text).iter().map(one).collect()
}

#[test]
fn a_shift_book_tells_machine_day_and_how_it_was_measured() {
    let book = "Tue 4 Mar 1986  nights\n\
        0150  No. 3 ID fan motor tripped on earth fault.\n\
        0230  3 ID fan: cable off, motor alone 0.6 megohm at 1000 V.\n\
        \x20     Cable alone 750 megohm.\n\
        Wed 5 Mar 1986  mornings\n\
        0915  3 ID fan again: red 41, yellow 44, blue 39 megohm to earth, 1 kV,\n\
        \x20     winding 52 C by RTD.\n\
        1400  Routine on CW pump 2, all phases to earth at 2.5 kV, winding 21 C: 1 min\n\
        \x20     540 megohm, 10 min 1.6 gigohm. P.I. 3.0\n\
        1610  Sump pump A: 14 megohm.  Sump pump B: >100 megohm.";
    assert_eq!(
        told(book),
        [
            "3 ID fan 1986-03-04 0.6 MΩ 1000 V",
            "3 ID fan 1986-03-05 41 MΩ U-E 1000 V 52 °C",
            "3 ID fan 1986-03-05 44 MΩ V-E 1000 V 52 °C",
            "3 ID fan 1986-03-05 39 MΩ W-E 1000 V 52 °C",
            "CW pump 2 1986-03-05 540 MΩ UVW-E 60 s 2500 V 21 °C",
            "CW pump 2 1986-03-05 1.6 GΩ UVW-E 600 s 2500 V 21 °C",
            "Sump pump A 1986-03-05 14 MΩ",
            "Sump pump B 1986-03-05 >100 MΩ",
        ]
    );
}

#[test]
fn the_head_of_a_log_says_how_all_was_measured() {
    let log = "KRAFTWERK SÜD          SCHICHTBUCH ELEKTRO\n\
        Isolation immer mit Kurbelinduktor 1000 V gegen Masse\n\n\
        03.11.1989 Früh\n\
        \x20  Speisepumpe 2 kommt nicht. Iso 0,05 MOhm, Wasser im Klemmkasten.\n\
        04.11.1989 Früh\n\
        \x20  Speisepumpe 2: 25 MOhm.\n";
    assert_eq!(told(log), ["Speisepumpe 2 1989-11-03 0.05 MΩ 1000 V", "Speisepumpe 2 1989-11-04 25 MΩ 1000 V"]);
    let notebook = "Mesures à la magnéto de 1000 V, bornes réunies contre masse.\n\n\
        12 janv. 1976, matin.  Pompe 4 : 28 MΩ. Remise en service.\n\
        13 janv. 1976, soir.  Pompe 4 : 31 MΩ.\n\
        19 janv. 1976, matin.  Pompe 5 : 600 kΩ seulement.\n";
    assert_eq!(
        told(notebook),
        [
            "Pompe 4 1976-01-12 28 MΩ UVW-E 1000 V",
            "Pompe 4 1976-01-13 31 MΩ UVW-E 1000 V",
            "Pompe 5 1976-01-19 600 kΩ UVW-E 1000 V"
        ]
    );
}

#[test]
fn a_letter_tells_day_and_voltage_before_a_list_of_machines() {
    let letter = "An die Werkleitung                     12. Mai 1994\n\n\
        Gemessen wurde am 10. Mai 1994 mit 1000 V, jeweils 1 Minute, alle drei\n\
        Phasen gemeinsam gegen Masse. Die Wicklungen hatten 23 °C.\n\n\
        \x20  Kondensatpumpe K3-KP1 ........ 410 MOhm\n\
        \x20  Ölpumpe K3-OEP ............... 1,2 GOhm\n\
        \x20  Drehwerk K3-DW ............... 640 kOhm  (Klemmenkasten feucht)\n\n\
        K3-DW wurde getrocknet und am 13. Mai nochmals gemessen:\n\
        \x20  Drehwerk K3-DW ............... 150 MOhm\n\n\
        Nächste Prüfung in 12 Monaten, Grenzwert 5 MOhm.";
    assert_eq!(
        told(letter),
        [
            "K3-KP1 1994-05-10 410 MΩ UVW-E 60 s 1000 V 23 °C",
            "K3-OEP 1994-05-10 1.2 GΩ UVW-E 60 s 1000 V 23 °C",
            "K3-DW 1994-05-10 640 kΩ UVW-E 60 s 1000 V 23 °C",
        ],
        "what stands beside an event is left to a person"
    );
}

#[test]
fn the_one_machine_of_a_letter_is_that_of_its_readings() {
    let letter = "Objet : alternateur n° 2 (8 MVA, 6,3 kV, 1964), sinistre du 3 mars\n\n\
        Nous avons procédé le 18 mars 1996 aux mesures suivantes sous 5 kV continus,\n\
        le bobinage étant à 24 °C :\n\n\
        \x20 phase U contre masse : 510 MΩ à 1 minute, 1 620 MΩ à 10 minutes ;\n\
        \x20 phase V contre masse : 3,1 MΩ à 1 minute, 3,2 MΩ à 10 minutes.\n\n\
        La règle usuelle demanderait 11,5 MΩ au moins. L'expertise précédente, du 9 mai 1990, donnait\n\
        640 MΩ à 1 minute pour l'ensemble des phases contre masse.\n\n\
        La résistance du câble de liaison (4 000 MΩ pour 85 m) est hors de cause.";
    assert_eq!(
        told(letter),
        [
            "alternateur n° 2 1996-03-18 510 MΩ U-E 60 s 5000 V 24 °C",
            "alternateur n° 2 1996-03-18 1620 MΩ U-E 600 s 5000 V 24 °C",
            "alternateur n° 2 1996-03-18 3.1 MΩ V-E 60 s 5000 V 24 °C",
            "alternateur n° 2 1996-03-18 3.2 MΩ V-E 600 s 5000 V 24 °C",
        ]
    );
}

#[test]
fn a_telex_of_today_has_the_day_of_its_head() {
    let telex = "ZCZC 0221  9 OCT 78  1105\nFM  DALE COLLIERY\n\n\
        MAIN MOTORS TESTED TODAY ALL PHASES TO FRAME 2500V DC STOP\n\
        MAIN FAN A  310 MEG AT 1 MIN  905 MEG AT 10 MIN  WINDING 21C STOP\n\
        WINDER GEN  NOT TESTED  98 MEG LAST YEAR STOP\n\
        COMPRESSOR 2  6/60 MEG AT 1 MIN GARBLED PLEASE REPEAT STOP\n\n\
        ORDER NO 7714 CABLE 220 MEG REFERS STOP";
    assert_eq!(
        told(telex),
        [
            "MAIN FAN A 1978-10-09 310 MΩ UVW-E 60 s 2500 V 21 °C",
            "MAIN FAN A 1978-10-09 905 MΩ UVW-E 600 s 2500 V 21 °C",
            "COMPRESSOR 2 1978-10-09 ?",
        ]
    );
}

#[test]
fn a_station_named_like_a_machine_is_none() {
    let sheet = "Tests of motors - Ash Mill Station\n\nDate of test: 3 Feb 1989\nIR U to earth: 5920  MOhm";
    assert!(told(sheet).is_empty(), "{:?}", told(sheet));
    assert_eq!(told("3 Feb 1989 Ash mill 2: 520 MOhm"), ["Ash mill 2 1989-02-03 520 MΩ"]);
}

#[test]
fn a_short_name_is_the_one_longer_name_that_ends_so() {
    let log = "Lunes 4 de mayo de 1981\n\
        09:10  Motor bomba de condensado 3A a tierra: 8 megohm con 1000 V (1 min).\n\
        Martes 5 de mayo de 1981\n\
        08:20  3A después de 30 h de secado: fase R 150 fase S 155 fase T más de 500 megohm, 1000 V.\n\
        10:00  Ventilador tiro forzado 2, las tres fases juntas a masa: 230 megohm a 1 min\n\
        \x20      y 690 megohm a 10 min, con 2500 V. El cable solo da 1500 megohm. Mínimo aceptable 5 megohm.";
    assert_eq!(
        told(log),
        [
            "bomba de condensado 3A 1981-05-04 8 MΩ 60 s 1000 V",
            "bomba de condensado 3A 1981-05-05 150 MΩ U-E 1000 V",
            "bomba de condensado 3A 1981-05-05 155 MΩ V-E 1000 V",
            "bomba de condensado 3A 1981-05-05 >500 MΩ W-E 1000 V",
            "Ventilador tiro forzado 2 1981-05-05 230 MΩ UVW-E 60 s 2500 V",
            "Ventilador tiro forzado 2 1981-05-05 690 MΩ UVW-E 600 s 2500 V",
        ]
    );
}

#[test]
fn a_line_of_a_ledger_tells_all() {
    let ledger = "12 Jan 71  Theatre fan 1: 120 megohms to earth at 500 V, winding 24 °C\n\
        15 Jan 71  Theatre fan 2: 95 megohms to earth at 500 V, winding 22 °C";
    assert_eq!(
        told(ledger),
        ["Theatre fan 1 1971-01-12 120 MΩ 500 V 24 °C", "Theatre fan 2 1971-01-15 95 MΩ 500 V 22 °C"]
    );
}

/// Each stands behind "12 Jan 1971" and "Theatre fan 1" in the same sentence; none tells what was measured on it that day.
#[test]
fn limits_plans_comparisons_and_other_things_tell_no_reading() {
    for said in [
        "minimum 5 megohm",
        "must have 5 megohm at least",
        "will be tested for 100 megohm next week",
        "if below 5 megohm to be dried",
        "last year 450 megohm",
        "better than the 450 megohm before",
        "not 120 megohm",
        "cable 300 megohm",
        "cable to it alone 300 megohm",
        "heater 2 megohm",
        "element dirty, 2 megohm",
        "corrected to 40 °C 60 megohm",
        "and theatre fan 2 together 40 megohm",
        "as fan 2 120 megohm",
        "fell from 400 to 120 megohm",
        "120-150 megohm",
        "120 or 150 megohm",
        "120, 150 megohm",
        "1 min 120 megohm, 150 megohm",
        "12 ohm",
        "rotor 30 megohm",
        "Grenzwert 5 MOhm",
        "im Vorjahr 450 MOhm",
        "Kabel 300 MOhm",
        "soll 100 MOhm haben",
        "seuil 5 MΩ",
        "l'an dernier 450 MΩ",
        "câble 300 MΩ",
        "sera essayé à 500 V, 100 MΩ attendus",
        "mínimo 5 megohm",
        "el año pasado 450 megohm",
        "el cable 300 megohm",
        "half of 120 megohm",
        "down to 120 megohm",
        "down from 400 megohm",
        "up from 50 megohm",
        "50 megohm more",
        "3 x 120 megohm",
        "120 + 30 megohm",
        "twice 120 megohm",
        "off by 120 megohm",
        "tested with a 5 megohm tester",
        "with 2 megohm resistor",
        "replaced with 5 megohm motor",
        "1 megohm per kV",
        "hot 120 megohm cold 300 megohm",
        "120 megohm (estimated)",
        "120 megohm (not measured)",
        "120 megohm (after washing 60)",
        "120 megohm (x 10)",
        "120 megohm (spare motor)",
        "120 megohm (cable)",
        "120 megohm after 30 minutes drying",
        "dried at 70 C, 120 megohm",
        "exciter winding 2 megohm to earth",
        "motor heater 2 megohm to earth",
        "motor with cable 2 megohm to earth",
        "120 mOhm",
        "phase A 450 megohm to phase B",
        "phase U and phase V 450 megohm",
        "von 50 auf 120 MOhm",
        "halb so viel wie 120 MOhm",
        "120 MOhm (geschätzt)",
        "passé de 50 à 120 MΩ",
        "moitié de 120 MΩ",
        "bajó de 300 a 120 MΩ",
        "de 300 a 120 MΩ",
    ] {
        let line = format!("12 Jan 1971  Theatre fan 1: {said}\n13 Jan 1971  Theatre fan 1 out");
        let found: Vec<String> = told(&line).into_iter().filter(|told| !told.ends_with('?')).collect();
        assert_eq!(found, [""; 0], "{said}");
    }
}

#[test]
fn without_one_machine_and_one_day_nothing_is_read() {
    for text in [
        "Theatre fan 1: 120 megohms to earth at 500 V",
        "12 Jan 1971 120 megohms to earth at 500 V",
        "12 Jan 1971 and 14 Jan 1971 Theatre fan 1: 120 megohms to earth at 500 V",
        "12 Jan 1971  Fan 1 and fan 2: 120 megohms to earth at 500 V",
        // A letter is not written on the day of the test.
        "14 Jan 1971\n\nTheatre fan 1: 120 megohms to earth at 500 V",
        // Fan 2 with 400, or a fan with 2400.
        "12 Jan 1971  Theatre fan 2 400 MΩ to earth",
        // Pump A, or phase A.
        "12 Jan 1971  Theatre fan A to earth 120 MΩ, B to earth 130 MΩ",
    ] {
        assert_eq!(told(text), [""; 0], "{text}");
    }
}

#[test]
fn what_is_said_elsewhere_of_all_values_or_of_another_machine_leaves_them_unread() {
    let head = "Tested on 12 March 1998 at 500 V.\n";
    for text in [
        "Pump 3A 80 megohm to earth\nPump 3B 90 megohm to earth\nAll values are corrected to 40 °C.",
        "Pump 3A cleaned.\nSpare motor read 40 megohm. The same after washing 90 megohm.",
        "Pump 3A motor replaced. This motor was 2 megohm.",
        "Pump 3A:\n> 120 megohm to earth",
        "Pump 3A and pump 3B: 120 megohm and 95 megohm respectively",
    ] {
        assert_eq!(told(&format!("{head}{text}")), [""; 0], "{text}");
    }
    for lead in [
        "Measurements after the repair of 3 May 1994:",
        "With reference to your order of 3 May 1994:",
        "Not tested since 3 May 1994.",
        "Tested on 12 January 1971 at 500 V 30 minutes after shutdown:",
        "Gemessen am 10. Mai 1994 mit 500 V. Alle Werte sind auf 40 °C umgerechnet.",
    ] {
        let text = format!("{lead}\nPump 3A 120 megohm to earth\nPump 3B 95 megohm to earth");
        assert_eq!(told(&text), [""; 0], "{lead}");
    }
}

#[test]
fn the_number_of_a_machine_before_to_earth_is_no_terminal() {
    let log = "12 Jan 1971\n10:00  Bomba 3 a masa: 230 megohm a 1 min.\n11:00  Pump 4 to earth 120 megohm.";
    assert_eq!(told(log), ["Bomba 3 1971-01-12 230 MΩ 60 s", "Pump 4 1971-01-12 120 MΩ"]);
}

#[test]
fn the_voltage_of_a_machine_is_no_test_voltage() {
    for said in ["(500 V) 120 megohm to earth", "with 500 V motor 120 megohm to earth"] {
        let line = format!("12 Jan 1971  Theatre fan 1 {said}\n13 Jan 1971  Theatre fan 1 out");
        assert!(told(&line).iter().all(|told| !told.contains(" V")), "{said}");
    }
}

#[test]
fn lines_under_headings_are_a_table() {
    let table = "12 Jan 1971 readings at 500 V:\nMOTOR  MIN IR  REMARKS\nK-12  5 MΩ  fan\nK-13  10 MΩ  pump";
    assert_eq!(told(table), [""; 0]);
}

#[test]
fn a_number_with_a_letter_behind_a_machine_is_its_name() {
    let line = "12 Jan 1971  CW pump 2C: 90 megohms to earth at 500 V\n13 Jan 1971  CW pump 3A: 80 megohms to earth";
    assert_eq!(told(line), ["CW pump 2C 1971-01-12 90 MΩ 500 V", "CW pump 3A 1971-01-13 80 MΩ"]);
}

#[test]
fn a_short_name_in_a_list_may_be_another_machine() {
    let list = "Tested on 12 Jan 1971 at 500 V:\nTheatre fan 1  120 megohm\nFan 1  95 megohm\nTheatre fan 2  80 megohm";
    assert_eq!(told(list), ["Theatre fan 1 1971-01-12 120 MΩ 500 V", "Theatre fan 2 1971-01-12 80 MΩ 500 V"]);
}

#[test]
fn values_of_another_time_or_occasion_wait_for_its_date() {
    let list = "Tested on 12 Jan 1971 at 500 V:\nTheatre fan 1  120 megohm\n\nPrevious values:\nTheatre fan 1  400 megohm\n\n\
        Limits:\nTheatre fan 1  5 megohm\n\nTested on 20 Jan 1971:\nTheatre fan 1  150 megohm";
    assert_eq!(told(list), ["Theatre fan 1 1971-01-12 120 MΩ 500 V", "Theatre fan 1 1971-01-20 150 MΩ"]);
}

proptest! {
    #[test]
    fn no_text_panics(text in "([A-Za-z0-9.,:;()/°ΩV -]{0,12}( 340 MΩ| 12/3/87| 5 kV| 1 min|\\n|  )){0,8}", noise in "\\PC{0,40}") {
        let _ = (told(&text), told(&format!("12 Jan 1971 Fan 1 {noise} 340 MΩ")));
    }
}

#[test]
fn each_line_of_a_notebook_is_of_the_day_that_it_begins_with() {
    let text = "Quarry notebook, winter 1985/86.\n\n\
        12 Nov 85  Crusher motor PC-1, all three leads to frame 45 meg at 1 min, 500 V tester. Wet.\n\
        2 Dec 85   Conveyor CV-7, 1000 V for a minute. A to frame 210 meg, B to frame 205 meg, C to frame 220 meg.\n\
        9 Jan 86   Fuse replaced.\n           Pump P-2 to frame 80 meg.\n";
    let all = told(text);
    assert!(all.contains(&"CV-7 1985-12-02 210 MΩ U-E 60 s 1000 V".to_owned()), "{all:?}");
    assert!(all.contains(&"CV-7 1985-12-02 220 MΩ W-E 60 s 1000 V".to_owned()), "{all:?}");
    assert!(all.iter().any(|one| one.starts_with("PC-1 1985-11-12 45 MΩ")), "{all:?}");
    assert!(all.iter().any(|one| one.starts_with("P-2 1986-01-09 80 MΩ")), "{all:?}");
    // Two dated lines are no notebook: what the line says of no machine and no day stays unread.
    let two = "2 Dec 85   Conveyor CV-7, rewound. A to frame 210 meg.\n9 Jan 86   Fuse replaced.\n";
    assert_eq!(told(two), Vec::<String>::new());
    // The machine of one day is not that of the next.
    let next =
        "2 Dec 85   Pump P-2 to frame 80 meg.\n9 Dec 85   To frame 95 meg.\n12 Dec 85   Pump P-3 to frame 70 meg.\n";
    assert!(told(next).iter().all(|one| !one.contains(" 95 ")), "{:?}", told(next));
}

#[test]
fn a_line_of_day_and_shift_heads_what_stands_below_it() {
    let text = "Shift notebook\n\nTues 12 March 1974   day shift   P.S. / H.B.\nDP1 - stator to earth, all phases, 180 megohms at 1 minute.\n\n\
                Weds 13 March 1974   night shift   P.S.\nDP2: U/masse 28 MΩ, V/masse 31 MΩ, W/masse 25 MΩ à 1 mn sous 500 V.";
    assert_eq!(
        told(text),
        [
            "DP1 1974-03-12 180 MΩ UVW-E 60 s",
            "DP2 1974-03-13 28 MΩ U-E 60 s 500 V",
            "DP2 1974-03-13 31 MΩ V-E 60 s 500 V",
            "DP2 1974-03-13 25 MΩ W-E 60 s 500 V"
        ]
    );
}
