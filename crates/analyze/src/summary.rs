//! The wide row that analysts read.

use crate::judge::Judged;
use crate::loaded::Reading;
use crate::rules::tip::{Tip, tips};
use windrow_model::{Quantity, TestSummary, Text};

/// One row per test.
pub(crate) fn row(judged: &Judged<'_>) -> TestSummary {
    let test = judged.test;
    let plate = test.nameplate();
    let dissipation = Dissipation::of(judged);
    let bracket = test.lowest.as_ref().and_then(|lowest| lowest.bracket_ohm);
    TestSummary {
        test_id: test.test_id.clone(),
        asset_id: test.asset_id().cloned(),
        tag: plate.tag.clone(),
        site: plate.site.clone(),
        rated_voltage_v: plate.rated_voltage_v,
        winding_kind: plate.winding_kind.clone(),
        insulation_class: plate.insulation_class.clone(),
        insulation_era: plate.insulation_era.clone(),
        kind: test.kind.clone(),
        performed_on: test.performed_on,
        performed_precision: test.performed_precision.clone(),
        ir_1min_ohm: test.lowest.as_ref().map(|lowest| lowest.value_ohm),
        ir_1min_40c_ohm: test.lowest.as_ref().and_then(|lowest| lowest.at_40c_ohm),
        ir_1min_40c_low_ohm: bracket.map(|[low, _]| low),
        ir_1min_40c_high_ohm: bracket.map(|[_, high]| high),
        ir_bound: test.lowest.as_ref().map(|lowest| lowest.bound.clone()),
        polarization_index: judged.polarization_index.map(|(value, _)| value),
        polarization_index_bound: judged.polarization_index.map(|(_, bound)| Text::new_static(bound.code())),
        absorption_ratio: judged.absorption_ratio.map(|(value, _)| value),
        absorption_ratio_bound: judged.absorption_ratio.map(|(_, bound)| Text::new_static(bound.code())),
        leakage_at_max_v_a: test.leakage_at_max_v_a,
        ir_from_current_ohm: test
            .leakage_at_max_v_a
            .filter(|current| *current > 0.0)
            .zip(test.max_voltage_v)
            .map(ohms_law),
        max_voltage_v: test.max_voltage_v,
        max_voltage_pu: judged.max_voltage_pu,
        withstood: test.withstood,
        unbalance: judged.unbalance,
        dew_point_margin_k: judged.dew_point_margin_k,
        dissipation_factor: dissipation.factor,
        dissipation_tip_up: dissipation.tip.as_ref().map(Tip::growth),
        dissipation_from_v: dissipation.tip.as_ref().map(|tip| tip.volts[0]),
        dissipation_to_v: dissipation.tip.as_ref().map(|tip| tip.volts[1]),
        pd_magnitude_c: largest(judged, Quantity::PdMagnitude),
        reported_polarization_index: reported(judged, Quantity::PolarizationIndex),
        reported_absorption_ratio: reported(judged, Quantity::AbsorptionRatio),
        reported_unbalance: reported(judged, Quantity::Unbalance),
        ir_minimum_ohm: judged.minimum().map(|limit| limit.value),
        ir_minimum_basis: judged.minimum().map(|limit| limit.basis.clone()),
        polarization_index_minimum: judged.index_minimum.as_ref().ok().map(|limit| limit.value),
        polarization_index_basis: judged.polarization_index.map(|_| index_basis(judged)),
        duplicate_of: test.duplicate_of.clone(),
    }
}

/// Where the minimum of the index comes from, or why there is none.
fn index_basis(judged: &Judged<'_>) -> Text {
    judged.index_minimum.as_ref().map_or_else(|reason| Text::from(reason.to_string()), |limit| limit.basis.clone())
}

fn ohms_law((amperes, volts): (f64, f64)) -> f64 {
    volts / amperes
}

/// What a test tells of the dissipation factor.
#[derive(Default)]
struct Dissipation {
    /// At the lowest voltage of its circuit, the largest; where no voltage is told the largest of all.
    factor: Option<f64>,
    /// The largest growth with voltage.
    tip: Option<Tip>,
}

impl Dissipation {
    fn of(judged: &Judged<'_>) -> Self {
        let tips: Vec<Tip> = tips(judged).collect();
        let factor = tips.iter().map(|tip| tip.factors[0]).reduce(f64::max);
        let raised = tips.into_iter().filter(Tip::is_raised);
        Self {
            factor: factor.or_else(|| largest(judged, Quantity::DissipationFactor)),
            tip: raised.max_by(|a, b| a.growth().total_cmp(&b.growth())),
        }
    }
}

/// The largest reading of a quantity that is no ceiling or floor.
fn largest(judged: &Judged<'_>, quantity: Quantity) -> Option<f64> {
    judged.figures_of(quantity).filter(Reading::is_exact).map(|figure| figure.value()).reduce(f64::max)
}

/// The lowest figure of a kind that the source computed, the largest for an unbalance.
fn reported(judged: &Judged<'_>, quantity: Quantity) -> Option<f64> {
    let values = judged.all_figures_of(quantity).map(|figure| figure.value());
    if quantity == Quantity::Unbalance { values.reduce(f64::max) } else { values.reduce(f64::min) }
}
