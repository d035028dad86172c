//! "Exciter armature to earth" on the sheet of a generator: the exciter on its shaft is a machine of its own.

use super::Reader;
use super::line::Line;
use crate::column::Column;
use windrow_model::Text;
use windrow_model::raw::{Mention, Told};
use windrow_text::marks;

impl Reader<'_, '_, '_> {
    /// Gives a reading whose label names an exciter to that of the machine, whose own number and plate are none of the exciter's.
    pub(super) fn heed_exciter(&self, line: &mut Line, column: &Column) {
        let headings = [line.label.as_ref(), Some(&column.heading)].into_iter().flatten();
        let Some(exciter) =
            headings.map(|heading| heading.text(self.view)).find_map(|text| marks::exciter(&text).map(str::to_owned))
        else {
            return;
        };
        let of_exciter = |told: &Told<Text>| marks::exciter(&told.value).is_some();
        let machine = &line.machine;
        if machine.tag.iter().chain(&machine.description).any(of_exciter) {
            return;
        }
        let tag = machine.tag.clone().map(|told| Told { value: format!("{} {exciter}", told.value).into(), ..told });
        line.machine = Mention { tag, site: machine.site.clone(), area: machine.area.clone(), ..Mention::default() };
    }
}
