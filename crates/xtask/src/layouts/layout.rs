//! Layout descriptions: where each attribute of a reading is told.

use super::container::Container;
use super::dice::Dice;
use super::study::Dim;

/// Where the unit of the readings is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum UnitPlace {
    Header,
    Caption,
    Cell,
    Row,
    Format,
    Column,
    Nowhere,
}

/// Where an attribute that is no axis is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Place {
    Row,
    Block,
    Caption,
    Nowhere,
}

/// Which circuits were measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Circuits {
    ToEarth,
    Pairs,
    /// Each phase to earth, then each pair.
    Both,
}

/// Columns beside the readings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Extra {
    Voltage,
    Temperature,
    Ambient,
    Humidity,
    Unit,
    By,
    Remark,
    Verdict,
    /// Mean of the readings of the row.
    Mean,
    /// Unbalance of the readings of the row.
    Unbalance,
    /// Ten minutes over one minute.
    Index,
}

/// What a hand sees before it writes.
#[derive(Debug, Clone)]
pub(super) struct Layout {
    pub(super) quantities: Vec<&'static str>,
    pub(super) circuits: Circuits,
    pub(super) rows: Vec<Dim>,
    pub(super) columns: Vec<Dim>,
    pub(super) blocks: Vec<Dim>,
    /// The dimension that names the sheets.
    pub(super) sheet: Option<Dim>,
    /// Rows are some tests, not the full product.
    pub(super) sampled: bool,
    /// All levels of the header in one cell.
    pub(super) flat: bool,
    /// The heading names the quantity.
    pub(super) measure_in_header: bool,
    pub(super) captioned: bool,
    pub(super) unit: UnitPlace,
    pub(super) voltage: Place,
    pub(super) temperature: Place,
    /// A time that holds for all readings, where time is no axis.
    pub(super) elapsed: Place,
    /// "All phases to earth" stands in the caption.
    pub(super) all_phases: bool,
    pub(super) beside: bool,
    pub(super) turned: bool,
    /// Years name the columns, not days.
    pub(super) years: bool,
    pub(super) extras: Vec<Extra>,
    /// Columns stand in any order.
    pub(super) shuffled: bool,
    /// Machines are told by serial number, which a list of machines explains.
    pub(super) keyed: bool,
    /// Blocks are forms: nothing but labels with values.
    pub(super) form: bool,
    pub(super) noise: Noise,
}

/// What stands among the readings and is none.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Noise {
    pub(super) average_row: bool,
    pub(super) limit_row: bool,
    pub(super) page_header: bool,
    pub(super) footer: bool,
    pub(super) blank_rows: bool,
    pub(super) repeated_key_blank: bool,
    pub(super) ditto: bool,
}

/// Families of layouts, each a habit of record keeping.
pub(super) const FAMILIES: [&str; 18] = [
    "log",
    "log-with-index",
    "crosstab",
    "crosstab-with-temperature",
    "matrix",
    "form",
    "form-per-sheet",
    "mixed",
    "timed",
    "steps",
    "withstand",
    "surge",
    "winding",
    "tan-delta",
    "sheet-by-tag",
    "sheet-by-year",
    "keyed",
    "free",
];

use Dim::{Circuit, Date, Elapsed, Machine, Measure, Step};

/// A layout of a family; only containers with sheets hold families that need them.
pub(super) fn draw(family: &str, container: Container, dice: &mut Dice) -> Layout {
    let insulation = vec!["insulation_resistance"];
    let mut layout = base(container, dice);
    match family {
        "log" | "mixed" => {
            layout.quantities = insulation;
            layout.rows = dice.pick(&[vec![Machine, Date], vec![Date, Machine]]);
            layout.columns = dice.pick(&[
                vec![],
                vec![Circuit],
                vec![Elapsed],
                vec![Elapsed],
                vec![Circuit, Elapsed],
                vec![Elapsed, Circuit],
            ]);
            layout.sampled = true;
            layout.shuffled = dice.chance(0.5);
        }
        "crosstab" => {
            layout.quantities = insulation;
            layout.rows = vec![Machine];
            layout.columns = dice.pick(&[vec![Date], vec![Date], vec![Date, Circuit], vec![Date, Elapsed]]);
            layout.years = dice.chance(0.6);
            layout.flat = false;
            layout.measure_in_header = false;
            layout.turned = dice.chance(0.25);
            layout.noise.average_row = false;
        }
        "log-with-index" => {
            layout.quantities = vec!["insulation_resistance", "polarization_index"];
            layout.rows = dice.pick(&[vec![Machine, Date], vec![Date, Machine]]);
            layout.columns = vec![Measure];
            layout.sampled = true;
            layout.shuffled = dice.chance(0.5);
        }
        "crosstab-with-temperature" => {
            layout.quantities = vec!["insulation_resistance", "winding_temperature"];
            layout.rows = vec![Machine];
            layout.years = dice.chance(0.6);
            if dice.chance(0.5) {
                layout.columns = vec![Date, Measure];
            } else {
                layout.columns = vec![Date];
                layout.blocks = vec![Measure];
            }
        }
        "matrix" => {
            layout.quantities = insulation;
            layout.circuits = Circuits::Both;
            layout.blocks = vec![Machine, Date];
            (layout.rows, layout.columns) =
                dice.pick(&[(vec![Circuit], vec![]), (vec![Circuit], vec![Elapsed]), (vec![Elapsed], vec![Circuit])]);
        }
        "form" | "form-per-sheet" => {
            layout.quantities = dice.pick(&[
                insulation,
                vec!["insulation_resistance", "winding_resistance"],
                vec!["winding_resistance"],
                vec!["insulation_resistance", "polarization_index"],
            ]);
            layout.circuits = Circuits::Both;
            layout.form = true;
            layout.blocks = vec![Machine, Date];
            if family == "form-per-sheet" {
                layout.sheet = Some(Machine);
                layout.blocks = vec![Date];
            }
        }
        "timed" => {
            layout.quantities = insulation;
            layout.rows = vec![Elapsed];
            layout.columns = dice.pick(&[vec![Circuit], vec![Circuit], vec![Circuit], vec![]]);
            layout.blocks = vec![Machine, Date];
            layout.turned = dice.chance(0.3);
        }
        "steps" => {
            layout.quantities = vec!["leakage_current"];
            layout.rows = vec![Step];
            layout.columns = dice.pick(&[vec![Elapsed], vec![Circuit], vec![]]);
            layout.blocks = vec![Machine, Date];
            layout.turned = dice.chance(0.15);
        }
        "withstand" => {
            layout.quantities = vec!["leakage_current"];
            layout.rows = dice.pick(&[vec![Machine, Date], vec![Machine, Date, Circuit], vec![Circuit]]);
            layout.columns = vec![];
            if layout.rows.len() == 1 {
                layout.blocks = vec![Machine, Date];
            } else {
                layout.columns = if layout.rows.len() == 2 && dice.chance(0.6) { vec![Circuit] } else { vec![] };
                layout.sampled = true;
            }
            layout.elapsed = Place::Caption;
            layout.extras.push(Extra::Verdict);
            layout.voltage = if layout.blocks.is_empty() { Place::Row } else { Place::Block };
        }
        "surge" => {
            layout.quantities = vec!["surge_peak_voltage", "surge_difference"];
            layout.circuits = Circuits::Pairs;
            if dice.chance(0.5) {
                layout.rows = vec![Circuit];
                layout.columns = vec![Measure];
                layout.blocks = vec![Machine, Date];
            } else {
                layout.rows = vec![Machine, Date];
                layout.columns = dice.pick(&[vec![Circuit, Measure], vec![Measure, Circuit]]);
                layout.sampled = true;
            }
            layout.extras.push(Extra::Verdict);
        }
        "winding" => {
            layout.quantities = vec!["winding_resistance"];
            layout.circuits = Circuits::Pairs;
            if dice.chance(0.7) {
                layout.rows = vec![Machine, Date];
                layout.columns = vec![Circuit];
                layout.sampled = true;
                if dice.chance(0.5) {
                    layout.extras.push(Extra::Mean);
                }
                if dice.chance(0.5) {
                    layout.extras.push(Extra::Unbalance);
                }
            } else {
                layout.rows = vec![Circuit];
                layout.blocks = vec![Machine, Date];
            }
        }
        "tan-delta" => {
            layout.quantities = vec!["capacitance", "dissipation_factor"];
            layout.rows = vec![Step];
            layout.columns = vec![Measure];
            layout.blocks = vec![Machine, Date];
            layout.turned = dice.chance(0.2);
        }
        "sheet-by-tag" => {
            layout.quantities = insulation;
            layout.sheet = Some(Machine);
            layout.rows = dice.pick(&[vec![Date], vec![Date, Circuit]]);
            layout.columns = dice.pick(&[vec![Elapsed], vec![]]);
            if layout.rows.len() == 1 {
                layout.columns = dice.pick(&[vec![Circuit], vec![Elapsed], vec![Circuit, Elapsed], vec![]]);
            }
        }
        "sheet-by-year" => {
            layout.quantities = insulation;
            layout.sheet = Some(Date);
            layout.years = true;
            layout.rows = vec![Machine];
            layout.columns = dice.pick(&[vec![Circuit], vec![Elapsed], vec![]]);
        }
        "keyed" => {
            layout.quantities = dice.pick(&[insulation, vec!["winding_resistance"]]);
            if layout.quantities == ["winding_resistance"] {
                layout.circuits = Circuits::Pairs;
            }
            layout.rows = vec![Machine, Date];
            layout.columns = vec![Circuit];
            layout.sampled = true;
            layout.keyed = true;
        }
        _ => free(&mut layout, dice),
    }
    settle(&mut layout, container, dice);
    layout
}

/// Every attribute at a random place.
fn free(layout: &mut Layout, dice: &mut Dice) {
    layout.quantities = vec!["insulation_resistance"];
    let mut dims = vec![Machine, Date];
    if dice.chance(0.6) {
        dims.push(Circuit);
    }
    if dice.chance(0.5) {
        dims.push(Elapsed);
    }
    for dim in dims {
        let place = match dim {
            Machine | Date => dice.between(0, 2),
            _ => dice.between(0, 1),
        };
        match place {
            1 if layout.columns.len() < 2 => layout.columns.push(dim),
            2 => layout.blocks.push(dim),
            _ => layout.rows.push(dim),
        }
    }
    if layout.rows.is_empty() {
        let moved = layout.columns.pop().or_else(|| layout.blocks.pop());
        layout.rows.extend(moved);
    }
    layout.sampled = layout.rows.contains(&Machine) && layout.rows.contains(&Date);
    layout.flat = dice.chance(0.3);
    layout.turned = dice.chance(0.15);
}

fn base(container: Container, dice: &mut Dice) -> Layout {
    Layout {
        quantities: vec![],
        circuits: Circuits::ToEarth,
        rows: vec![],
        columns: vec![],
        blocks: vec![],
        sheet: None,
        sampled: false,
        flat: dice.chance(0.5),
        measure_in_header: dice.chance(0.4),
        captioned: dice.chance(0.8),
        unit: dice.pick(&[
            UnitPlace::Header,
            UnitPlace::Header,
            UnitPlace::Caption,
            UnitPlace::Cell,
            UnitPlace::Row,
            UnitPlace::Format,
            UnitPlace::Column,
        ]),
        voltage: dice.pick(&[Place::Row, Place::Block, Place::Caption, Place::Nowhere]),
        temperature: dice.pick(&[Place::Row, Place::Block, Place::Nowhere]),
        elapsed: dice.pick(&[Place::Caption, Place::Nowhere]),
        all_phases: dice.chance(0.4),
        beside: container != Container::Fixed && dice.chance(0.35),
        turned: false,
        years: false,
        extras: [Extra::By, Extra::Remark, Extra::Humidity, Extra::Ambient]
            .into_iter()
            .filter(|_| dice.chance(0.25))
            .collect(),
        shuffled: false,
        keyed: false,
        form: false,
        noise: Noise {
            average_row: dice.chance(0.25),
            limit_row: dice.chance(0.1),
            page_header: dice.chance(0.15),
            footer: dice.chance(0.3),
            blank_rows: dice.chance(0.15),
            repeated_key_blank: dice.chance(0.4),
            ditto: dice.chance(0.2),
        },
    }
}

/// Mends what cannot be told together, so that a careful reader never has to guess unless a hold is due.
fn settle(layout: &mut Layout, container: Container, dice: &mut Dice) {
    let row = |dim| layout.rows.contains(&dim);
    let (machine_row, date_row) = (row(Machine), row(Date));
    let block = |dim| layout.blocks.contains(&dim);
    let whole_block = (block(Machine) || layout.sheet == Some(Machine)) && (block(Date) || layout.sheet == Some(Date));
    let stepped = row(Step);
    let several = layout.quantities.len() > 1;
    if several {
        layout.unit = dice.pick(&[UnitPlace::Header, UnitPlace::Header, UnitPlace::Row]);
        layout.measure_in_header = true;
    }
    if layout.quantities == ["insulation_resistance"] && dice.chance(0.04) {
        layout.unit = UnitPlace::Nowhere;
    }
    if layout.columns.last() == Some(&Date) && matches!(layout.unit, UnitPlace::Header | UnitPlace::Row) {
        layout.unit = UnitPlace::Caption;
    }
    if layout.unit == UnitPlace::Format && !container.is_book() {
        layout.unit = UnitPlace::Cell;
    }
    if layout.blocks.contains(&Measure) {
        layout.unit = UnitPlace::Caption;
    }
    let tested = ["insulation_resistance", "leakage_current"].contains(&layout.quantities[0]);
    if !tested || stepped {
        layout.voltage = Place::Nowhere;
    } else if layout.voltage == Place::Row && !machine_row || layout.voltage == Place::Block && layout.blocks.is_empty()
    {
        layout.voltage = Place::Caption;
    }
    layout.temperature = match layout.temperature {
        Place::Row if machine_row && date_row => Place::Row,
        Place::Row if machine_row && layout.sheet == Some(Date) || date_row && layout.sheet == Some(Machine) => {
            Place::Row
        }
        Place::Block if whole_block => Place::Block,
        _ => Place::Nowhere,
    };
    if layout.columns.contains(&Elapsed) || row(Elapsed) || !tested {
        layout.elapsed = Place::Nowhere;
    }
    if layout.elapsed == Place::Caption || layout.voltage == Place::Caption || layout.unit == UnitPlace::Caption {
        layout.captioned = true;
    }
    if !layout.captioned && (!layout.columns.is_empty() || stepped) {
        layout.measure_in_header = true;
    }
    if layout.columns.contains(&Date) {
        layout.measure_in_header = false;
        layout.captioned = !layout.blocks.contains(&Measure);
    }
    if layout.measure_in_header && !layout.columns.contains(&Measure) {
        layout.flat = true;
    }
    if layout.columns.contains(&Date) {
        layout.flat = false;
    }
    if layout.unit == UnitPlace::Column {
        layout.extras.push(Extra::Unit);
    }
    if layout.voltage == Place::Row {
        layout.extras.push(Extra::Voltage);
    }
    if layout.temperature == Place::Row {
        layout.extras.push(Extra::Temperature);
    }
    if !(machine_row || date_row) || layout.columns.contains(&Date) || layout.columns.contains(&Machine) {
        layout.extras.retain(|extra| matches!(extra, Extra::Unit | Extra::Voltage | Extra::Verdict | Extra::Mean));
    }
    if layout.columns == [Elapsed] && machine_row && layout.unit != UnitPlace::Cell && dice.chance(0.4) {
        layout.extras.push(Extra::Index);
    }
    if layout.form {
        layout.unit = dice.pick(&[UnitPlace::Header, UnitPlace::Cell, UnitPlace::Column]);
        layout.voltage = Place::Block;
        layout.captioned = false;
        layout.elapsed = Place::Nowhere;
        layout.turned = false;
    }
    if several || layout.columns.contains(&Measure) {
        layout.noise.average_row = false;
        layout.noise.limit_row = false;
    }
    if layout.quantities != ["insulation_resistance"] {
        layout.noise.limit_row = false;
    }
    if layout.turned {
        layout.noise = Noise { footer: layout.noise.footer, ..Noise::default() };
    }
}
