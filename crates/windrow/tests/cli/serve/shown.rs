//! What pages show.

use super::{Application, demo, fleet_of, read_into};
use crate::{folder, on};
use std::fs;

#[test]
fn text_of_cells_is_text() {
    let records = folder();
    let hostile = "<script>alert(1)</script>";
    let table = format!("Motor,Date,IR 1 min (MΩ),Remarks\nP-1 {hostile},2001-05-04,100,{hostile}\n");
    fs::write(records.path().join("log <img src=x>.csv"), table).unwrap();
    let (_folder, fleet) = fleet_of(records.path());
    let application = Application::over(&fleet, &[]);
    let mut pages = vec!["/".to_owned(), "/intake".to_owned(), "/findings".to_owned()];
    let sources = application.read("/api/v1/sources");
    let file = sources["sources"][0]["source_file"]
        .as_str()
        .unwrap()
        .replace(' ', "%20")
        .replace('<', "%3C")
        .replace('>', "%3E")
        .replace('=', "%3D");
    pages.push(format!("/intake/source?file={file}&at=D2"));
    for machine in application.read("/api/v1/machines")["machines"].as_array().unwrap() {
        pages.push(format!("/machines/{}", machine["asset_id"].as_str().unwrap()));
    }
    assert!(pages.len() > 4, "a machine");
    for page in pages {
        let answer = application.get(&page);
        assert_eq!(answer.status, 200, "{page}");
        assert!(!answer.body.contains("<script>alert") && !answer.body.contains("<img src=x"), "{page}");
    }
    assert!(
        application.get(&format!("/intake/source?file={file}&at=D2")).body.contains("&lt;script&gt;alert"),
        "the text is shown"
    );
}

#[test]
fn a_sheet_is_found_by_its_name_blanks_included() {
    let records = folder();
    let mut book = rust_xlsxwriter::Workbook::new();
    for (name, tag) in [("Log ", "P-1"), ("Other", "P-2")] {
        let sheet = book.add_worksheet().set_name(name).unwrap();
        for (row, texts) in [["Motor", "Date", "IR 1 min (MΩ)", "Rated voltage (V)"], [tag, "2001-05-04", "100", "480"]]
            .into_iter()
            .enumerate()
        {
            for (column, text) in texts.into_iter().enumerate() {
                sheet.write_string(row.try_into().unwrap(), column.try_into().unwrap(), text).unwrap();
            }
        }
    }
    book.save(records.path().join("book.xlsx")).unwrap();
    let (_folder, fleet) = fleet_of(records.path());
    let application = Application::over(&fleet, &[]);
    let cells = application.read("/api/v1/cells?file=book.xlsx&sheet=Log%20");
    assert_eq!(cells["total"], 8, "{cells}");
    let page = application.get("/intake/source?file=book.xlsx&sheet=Log+&at=A2").body;
    assert!(page.contains("<q>P-1</q>") && !page.contains("P-2"), "{page}");
}

#[test]
fn a_page_that_refuses_a_form_can_be_reloaded_and_shown_otherwise() {
    let application = Application::over(demo(), &[]);
    let refused = application.form("/findings/none/word", "word=acknowledged&reason=x");
    assert_eq!(refused.status, 404);
    let host = &application.host;
    let shown = application.send(&format!(
        "POST /display HTTP/1.1\r\nHost: {host}\r\nOrigin: http://{host}\r\nReferer: http://{host}/findings/none/word\r\nConnection: close\r\n\
         Content-Type: application/x-www-form-urlencoded\r\nContent-Length: 8\r\n\r\nunits=us"
    ));
    assert_eq!((shown.status, shown.header("location")), (303, "/findings/none/word"));
    for (path, above) in [
        ("/findings/none/word", "/findings/none"),
        ("/decisions/take-back", "/decisions"),
        ("/query/file", "/query"),
        ("/apply", "/"),
        ("/display", "/"),
    ] {
        let answer = application.get(path);
        assert_eq!((answer.status, answer.header("location")), (303, above), "{path}");
    }
}

/// The rows of a machine's position history: position, machine, first and last test, tests.
fn positions(page: &str) -> Vec<String> {
    let table = page
        .split("<caption>Position history")
        .nth(1)
        .and_then(|rest| rest.split("</table>").next())
        .unwrap_or_default();
    let words = |row: &str| {
        let text =
            row.split('<').filter_map(|part| part.split_once('>')).map(|(_, text)| text.trim()).collect::<Vec<_>>();
        text.into_iter().filter(|text| !text.is_empty()).collect::<Vec<_>>().join(" ")
    };
    table.split("<tbody>").nth(1).unwrap_or_default().split("</tr>").map(words).filter(|row| !row.is_empty()).collect()
}

/// The motor with serial number S-4411 stood at P-101, then at P-102; two others stood there when it did not. A caption tells P-102 once for
/// all its tests, and the site beside it.
#[test]
fn a_motor_that_moved_shows_where_it_stood_and_who_else_stood_there() {
    let records = folder();
    let log = "Site,Motor,Serial No,Date,IR 1 min (MΩ)\nOak Mill,P-101,S-4411,2001-05-04,100\nOak Mill,P 101,S-4411,2002-05-04,110\n\
               Oak Mill,P-101,S-7702,2006-05-04,900\nOak Mill,P-102,S-9003,1999-05-04,800\n";
    fs::write(records.path().join("a.csv"), log).unwrap();
    let card = "Site: Oak Mill\nMotor: P-102\nSerial No: S-4411\nDate,IR 1 min (MΩ)\n2007-05-04,100\n2008-05-04,90\n";
    fs::write(records.path().join("b.csv"), card).unwrap();
    let (_folder, fleet) = fleet_of(records.path());
    let application = Application::over(&fleet, &[]);
    let id = crate::ask(&fleet, "SELECT asset_id FROM assets WHERE serial_number = 'S-4411'").remove(0);
    let expected = [
        "P-101 this machine , serial number S-4411 2001-05-04 2002-05-04 2",
        "P-101 P-101 , serial number S-7702 2006-05-04 2006-05-04 1",
        "P-102 P-102 , serial number S-9003 1999-05-04 1999-05-04 1",
        "P-102 this machine , serial number S-4411 2007-05-04 2008-05-04 2",
    ];
    for page in [format!("/machines/{id}"), format!("/machines/{id}/report")] {
        assert_eq!(positions(&application.get(&page).body), expected, "{page}");
    }
    let other = crate::ask(&fleet, "SELECT asset_id FROM assets WHERE serial_number = 'S-7702'").remove(0);
    let page = application.get(&format!("/machines/{other}")).body;
    assert_eq!(positions(&page).len(), 2, "who stood at P-101");
    assert!(page.contains(&format!("href=\"/machines/{id}\"")), "a way to the other");
    let whole = application.get("/report").body;
    assert!(whole.contains("href=\"#m-") && positions(&whole).len() > 1);
}

/// "K 7" and "K-7" are two ways to write one name.
#[test]
fn a_machine_that_stood_at_one_place_alone_says_so_in_a_line() {
    let records = folder();
    let log = "Motor,Date,IR 1 min (MΩ)\nK-7,2001-05-04,100\nK-7,2002-05-04,110\nK 7,2003-05-04,120\n";
    fs::write(records.path().join("a.csv"), log).unwrap();
    let (_folder, fleet) = fleet_of(records.path());
    let application = Application::over(&fleet, &[]);
    let machines = application.read("/api/v1/machines");
    let id = machines["machines"][0]["asset_id"].as_str().unwrap();
    let page = application.get(&format!("/machines/{id}")).body;
    assert!(page.contains("Position in all records: K-7, 2001-05-04 to 2003-05-04"), "{page}");
}

/// The classes are those of `windrow fleet`; the first cohort has two machines, the second one.
#[test]
fn distributions_by_cohort_stand_on_the_fleet_page_and_lead_to_their_machines() {
    let records = folder();
    let log = "Motor,Volts,Winding type,Date,Winding temp °C,IR 1 min MOhm\nP-1,400,random,2001-05-04,40,910\n\
               P-2,400,random,2001-05-04,40,>2000\nP-3,6600,form,2001-05-04,40,5000\n";
    fs::write(records.path().join("a.csv"), log).unwrap();
    let (_folder, fleet) = fleet_of(records.path());
    let application = Application::over(&fleet, &[]);
    let page = application.get("/").body;
    let drawn = page.split("id=\"distributions\"").nth(1).unwrap();
    assert!(
        drawn.contains("to 1 kV, random, insulation unknown: 2 machines") && drawn.contains("class=\"bar bounded\""),
        "{drawn}"
    );
    let name = "to+9+kV%2C+form%2C+insulation+unknown";
    assert!(drawn.contains(&format!("href=\"/?cohort={name}\"")), "{drawn}");
    let list = application.get(&format!("/?cohort={name}")).body;
    assert!(list.contains("1 of 3 machines") && list.contains(">P-3</a>"), "{list}");
    assert!(application.get("/?cohort=none").body.contains("0 of 3 machines"));
    let id = crate::ask(&fleet, "SELECT asset_id FROM assets WHERE tag = 'P-1'").remove(0);
    let page = application.get(&format!("/machines/{id}")).body;
    assert!(page.contains("this machine: 910"), "its place among them: {page}");
}

/// The log loses the low reading after it was judged, and is imported without being judged again.
#[test]
fn a_finding_says_what_it_named_and_is_gone_and_shows_no_other_readings_for_it() {
    let records = folder();
    let log = |minute: &str| {
        format!(
            "Motor,Volts,Made,Date,Winding temp °C,Winding resistance U-V mOhm,IR 1 min MOhm\n\
             P-1,400,1995,2001-02-03,40,770,910\nP-1,400,1995,2003-02-03,40,777,{minute}\n"
        )
    };
    let write = |minute: &str| fs::write(records.path().join("log.csv"), log(minute)).unwrap();
    write("2.1");
    let (_folder, fleet) = fleet_of(records.path());
    let finding = "SELECT finding_id FROM findings WHERE rule = 'ir_minimum'";
    let id = crate::ask(&fleet, finding).remove(0);
    let application = Application::over(&fleet, &[]);
    let page = application.get(&format!("/findings/{id}")).body;
    assert!(page.contains("<q>2.1</q>") && !page.contains("no longer in the tables"), "{page}");
    write("");
    on(&fleet, "import", &[records.path().to_str().unwrap()]);
    let explained = on(&fleet, "explain", &[&id]).out;
    let page = application.get(&format!("/findings/{id}")).body;
    for told in [&explained, &page] {
        assert!(told.contains("1 row that it named is no longer in the tables"), "{told}");
        assert!(!told.contains("777"), "another reading of its test is no evidence: {told}");
    }
}

#[test]
fn tests_that_a_finding_names_are_shown_beside_its_readings() {
    let records = folder();
    fs::write(
        records.path().join("log.csv"),
        "Motor,Made,Date,Winding temp °C,IR 1 min (MΩ)\nP-1,1995,1985-02-03,40,910\nP-1,1995,2003-02-03,40,900\n",
    )
    .unwrap();
    let (_folder, fleet) = fleet_of(records.path());
    let named = "SELECT f.finding_id FROM findings f WHERE f.statement LIKE '%1985%'";
    let id = crate::ask(&fleet, named).remove(0);
    let application = Application::over(&fleet, &[]);
    let page = application.get(&format!("/findings/{id}")).body;
    let table = page.split("Tests that it rests on").nth(1).unwrap_or_default().split("</table>").next().unwrap();
    assert!(table.contains("1985-02-03") && table.contains("insulation resistance"), "{page}");
}

#[test]
fn news_say_when_there_is_nothing_to_compare_with() {
    let records = folder();
    fs::write(records.path().join("a.csv"), crate::log_of("P-1", 910)).unwrap();
    let (_folder, fleet) = fleet_of(records.path());
    let application = Application::over(&fleet, &[]);
    let page = application.get("/").body;
    assert!(page.contains("nothing earlier is kept to compare") && !page.contains("0 findings changed"), "{page}");
    fs::write(records.path().join("b.csv"), crate::log_of("P-2", 920)).unwrap();
    read_into(&fleet, records.path());
    let page = application.get("/").body;
    assert!(page.contains("changed since the one before") && !page.contains("nothing earlier"), "{page}");
}

#[test]
fn a_fleet_that_changes_underneath_is_seen_as_it_is_then() {
    let records = folder();
    let row = |tag: &str| format!("Motor,Date,IR 1 min (MΩ)\n{tag},2001-05-04,100\n");
    fs::write(records.path().join("a.csv"), row("P-1")).unwrap();
    let (_folder, fleet) = fleet_of(records.path());
    let application = Application::over(&fleet, &[]);
    assert_eq!(application.read("/api/v1/machines")["total"], 1);
    fs::write(records.path().join("b.csv"), row("P-2")).unwrap();
    read_into(&fleet, records.path());
    assert_eq!(application.read("/api/v1/machines")["total"], 2);
    assert!(application.get("/").body.contains("P-2"));
}
