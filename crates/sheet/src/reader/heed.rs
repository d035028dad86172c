//! What remarks tell besides: the stage, temperatures, the humidity. A column of its own says more than words.

use super::Reader;
use super::line::Line;
use crate::view::Item;
use windrow_model::raw::{Told, Via};
use windrow_text::prose::{self, Place};
use windrow_text::remark;

impl Reader<'_, '_, '_> {
    /// Takes from the remark in `item` what the line does not tell otherwise.
    pub(super) fn heed(&self, line: &mut Line, item: &Item) {
        let text = &self.view.cell(item).text;
        if remark::tells_resistance(text) {
            return;
        }
        let of_line = |told: &Option<Told<f64>>| told.as_ref().is_some_and(|told| told.via == Via::Row);
        if let Some(stage) = crate::stage::of_remark(text).filter(|_| line.stage.is_none()) {
            line.stage = Some(self.told(stage, Via::Row, item));
        }
        for (place, celsius) in prose::temperatures(text) {
            let slot = match place {
                Place::Winding => &mut line.winding,
                Place::Surroundings => &mut line.ambient,
                // "26 °C" is the winding's as little as a column headed "°C".
                Place::Untold if of_line(&line.winding) => continue,
                Place::Untold => {
                    line.winding = None;
                    &mut line.some_temperature
                }
            };
            if !of_line(slot) {
                *slot = Some(self.told(celsius, Via::Row, item));
            }
        }
        if let Some(percent) = prose::humidity(text).filter(|_| !of_line(&line.humidity)) {
            line.humidity = Some(self.told(percent, Via::Row, item));
        }
    }
}
