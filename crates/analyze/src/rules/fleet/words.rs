//! Numbers of the fleet model as people write them.

use crate::finding::megohms;
use crate::fleet::{Model, Quantity};
use windrow_fleet::Others;
use windrow_model::place::Step;

/// A factor: 1.4, 3.2, 30.
pub(super) fn factor(decades: f64) -> String {
    let factor = 10_f64.powf(decades.abs());
    if factor < 10.0 { format!("{factor:.1}") } else { format!("{factor:.0}") }
}

/// Megohms of a logarithm.
pub(super) fn resistance(decades: f64) -> String {
    megohms(10_f64.powf(decades) * 1e6)
}

/// `one reading`, `2 readings`.
pub(super) fn counted(count: usize, one: &str, many: &str) -> String {
    if count == 1 { format!("one {one}") } else { format!("{count} {many}") }
}

/// Whom a machine was compared with in one quantity, and what they lead one to expect.
pub(super) fn compared(model: &Model<'_>, (quantity, name): (Quantity, &str), at: (usize, usize)) -> Step {
    let Others { fleet, rating, insulation, maker, campaign } = model.others(quantity, at);
    let usual = &model.surprises(quantity).usual;
    let level = usual.at(&model.columns, at);
    let machines = counted(fleet, "other machine", "other machines");
    let beside = match campaign {
        0 => String::new(),
        count => format!("; beside {} of its site in that year", counted(count, "other reading", "other readings")),
    };
    Step::new(
        "group",
        format!(
            "{name}: {machines} of this fleet, {rating} of them of its voltage class and kind of winding, {insulation} of these of its insulation, \
             {maker} of these of its maker; a small group follows the larger one. Alone they lead one to expect {level:.3} at its age, with \
             standard deviations of {:.3} between machines and {:.3} between readings{beside}",
            usual.between, usual.scatter
        ),
    )
}
