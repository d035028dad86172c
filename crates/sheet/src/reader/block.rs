//! Circumstances that hold for all of a block.

use super::Reader;
use super::date::When;
use super::line::Line;
use crate::context::Found;
use crate::loose::Caption;
use windrow_model::raw::{Told, Via};
use windrow_model::{Stage, Text};
use windrow_text::vocabulary::Concept;

impl Reader<'_, '_, '_> {
    /// Circumstances that hold for all of a block.
    pub(super) fn block_line(&mut self, row: u32) -> Line {
        let mut line = self.bare_line(row);
        let (machine, conflict) = self.block_machine();
        line.machine = machine;
        line.machine_conflict = conflict;
        line.when = self.block_date();
        line.stage = self.block_stage();
        line.winding = self.block_temperature(Concept::WindingTemperature);
        line.some_temperature = self.block_temperature(Concept::Temperature);
        line.ambient = self.block_temperature(Concept::AmbientTemperature);
        line.dew_point = self.block_temperature(Concept::DewPoint);
        line.humidity = self.block_humidity();
        line.instrument = self.block_text(Concept::Instrument);
        line.tester = self.block_text(Concept::Tester);
        line.work_order = self.block_text(Concept::WorkOrder);
        line.outcome = self.block_text(Concept::Result);
        line.remarks = self.block_text(Concept::Remarks).into_iter().collect();
        self.apply_block_remarks(&mut line);
        // Behind what remarks tell of voltages: a rate is none.
        if let Some((rate, words)) = self.block_rate() {
            line.rate = rate;
            line.remarks.push(words);
        }
        line
    }

    pub(super) fn bare_line(&self, row: u32) -> Line {
        Line {
            row,
            machine: windrow_model::raw::Mention { site: None, ..Default::default() },
            machine_conflict: false,
            when: When::Untold,
            is_dated_by_group: false,
            circuits: Vec::new(),
            label: None,
            is_of_another_kind: false,
            unit: None,
            units: std::collections::BTreeMap::new(),
            beside: super::line::Beside::default(),
            over_remark: None,
            elapsed: None,
            voltage: None,
            rate: None,
            stage: None,
            round: None,
            winding: None,
            some_temperature: None,
            ambient: None,
            humidity: None,
            dew_point: None,
            instrument: None,
            tester: None,
            work_order: None,
            outcome: None,
            remarks: Vec::new(),
            origin: (None, None),
            fields: Vec::new(),
        }
    }

    pub(super) fn block_text(&self, concept: Concept) -> Option<Told<Text>> {
        let Found::One(index, via) = self.scene.pair(self.block, concept) else { return None };
        let pair = &self.scene.loose.pairs[index];
        Some(self.told(pair.cell(self.view).text.trim().into(), via, &pair.value))
    }

    /// The stage that a title right above the block tells, of this block only.
    fn block_stage(&self) -> Option<Told<Stage>> {
        if let Found::One(index, Via::Block) = self.scene.pair(self.block, Concept::Date)
            && let Some(by) = &self.scene.loose.pairs[index].heading.stage
        {
            return Some(self.told(by.value, Via::Block, &by.item));
        }
        let tell = |caption: &Caption| caption.heading.stage.as_ref().map(|by| by.value.code().to_owned());
        let Found::One(index, Via::Block) = self.scene.caption(self.block, tell) else { return None };
        let caption = &self.scene.loose.captions[index];
        caption.heading.stage.as_ref().map(|by| self.told(by.value, Via::Block, &caption.item))
    }

    pub(super) fn block_humidity(&self) -> Option<Told<f64>> {
        let Found::One(index, via) = self.scene.pair(self.block, Concept::Humidity) else { return None };
        let pair = &self.scene.loose.pairs[index];
        self.percent(pair.cell(self.view), pair.sense(self.view)).map(|percent| self.told(percent, via, &pair.value))
    }
}
