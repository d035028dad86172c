//! Texts that two readers claim alike are read by the one whose columns hold equal things.

use windrow_importer::{Source, read_source};
use windrow_model::Text;
use windrow_source::Limits;

/// Invented: commas between the fields of uneven lines, machines with blanks in their names. Three titles, two lines of data with
/// remarks behind and a line of totals make commas a weak mark; the words between blanks are as weak.
const UNEVEN: &str = "\
HALDEN FERRY,MS OSPREY,list as the mate gave it
Date,Motor,kW,Stator Meg,Rotor Meg,Note
03/02/97,Winch 1 port,55,18,1.1
03/02/97,Winch 1 aft,30,24,1.9
04/02/97,Winch 2 port,55,.8,.3,brush gear black
09/03/97,Winch 2 port,55,12,2.7,washed out
,total kW,195
all to frame. 500 V tester
";

#[test]
fn uneven_lines_of_fields_are_cut_at_their_commas() {
    let registry = windrow_plugins::registry().unwrap();
    let (reader, book) =
        read_source(Source::alone("winches.csv", UNEVEN.as_bytes()), &registry, &Limits::default()).unwrap();
    assert_eq!(reader.id, "delimited-text");
    let row: Vec<&Text> =
        book.sheets.iter().flat_map(|sheet| &sheet.cells).filter(|cell| cell.row == 4).map(|cell| &cell.text).collect();
    assert_eq!(
        row,
        ["04/02/97", "Winch 2 port", "55", ".8", ".3", "brush gear black"].map(Text::from).iter().collect::<Vec<_>>()
    );
}
