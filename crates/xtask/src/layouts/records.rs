//! Records whose shape is a habit of its own: whole pages, written out with the truth about each number.
//!
//! What differs between them is where things stand and what else a record tells; hand, machines, days and values are drawn as for layouts.

mod bridge;
mod compressed;
mod direct_current;
mod footnotes;
mod index_form;
mod logger;
mod nameplate;
mod proof;
mod remarks;
mod scribe;
mod stages;
mod struck;
mod sweep;
mod written;
mod yearly;

use super::page::Page;
pub(super) use scribe::Scribe;
use windrow_dice::Dice;

/// A habit of record keeping.
#[derive(Debug)]
pub(super) struct Record {
    pub(super) name: &'static str,
    pub(super) quantities: &'static [&'static str],
    /// What its container must have.
    pub(super) needs: Needs,
    pub(super) draw: fn(&Scribe<'_>, &mut Dice) -> Vec<Page>,
}

/// What a record cannot do without.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Needs {
    Nothing,
    /// Sheets.
    Book,
    /// Text that can be struck through, and notes on cells.
    Marks,
}

const IR: &str = "insulation_resistance";

/// All of them.
pub(super) const RECORDS: [Record; 17] = [
    Record { name: "year-blocks", quantities: &[IR], needs: Needs::Nothing, draw: yearly::draw },
    Record { name: "nameplate-and-test", quantities: &[IR], needs: Needs::Book, draw: nameplate::keyed },
    Record { name: "plate-in-form", quantities: &[IR], needs: Needs::Nothing, draw: nameplate::form },
    Record { name: "ramp", quantities: &["leakage_current"], needs: Needs::Nothing, draw: sweep::ramp },
    Record { name: "long-steps", quantities: &["leakage_current"], needs: Needs::Nothing, draw: sweep::steps },
    Record { name: "logger", quantities: &[IR, "leakage_current"], needs: Needs::Nothing, draw: logger::draw },
    Record { name: "telling-remarks", quantities: &[IR], needs: Needs::Nothing, draw: remarks::draw },
    Record { name: "cell-notes", quantities: &[IR], needs: Needs::Marks, draw: remarks::notes },
    Record { name: "footnotes", quantities: &[IR], needs: Needs::Nothing, draw: footnotes::draw },
    Record { name: "struck", quantities: &[IR], needs: Needs::Marks, draw: struck::draw },
    Record { name: "as-written", quantities: &[IR], needs: Needs::Nothing, draw: written::draw },
    Record { name: "index-form", quantities: &[IR], needs: Needs::Nothing, draw: index_form::draw },
    Record { name: "bridge", quantities: &["winding_resistance"], needs: Needs::Nothing, draw: bridge::draw },
    Record { name: "direct-current", quantities: &[IR], needs: Needs::Nothing, draw: direct_current::draw },
    Record { name: "proof", quantities: &["leakage_current"], needs: Needs::Nothing, draw: proof::draw },
    Record { name: "stages", quantities: &[IR], needs: Needs::Nothing, draw: stages::draw },
    Record { name: "phases-in-cell", quantities: &[IR], needs: Needs::Nothing, draw: compressed::draw },
];
