//! The wide row that analysts read.

use crate::judge::Judged;
use windrow_model::TestSummary;

/// One row per test.
pub(crate) fn row(judged: &Judged<'_>) -> TestSummary {
    let test = judged.test;
    let (index_minimum, index_basis) = match &judged.index_minimum {
        Ok(limit) => (Some(limit.value), limit.basis.clone()),
        Err(reason) => (None, reason.clone()),
    };
    TestSummary {
        test_id: test.test_id.clone(),
        asset_id: test.asset_id.clone(),
        tag: test.tag.clone(),
        site: test.site.clone(),
        rated_voltage_v: test.rated_voltage_v,
        winding_kind: test.winding_kind.clone(),
        insulation_class: test.insulation_class.clone(),
        insulation_era: test.insulation_era.clone(),
        kind: test.kind.clone(),
        performed_on: test.performed_on,
        performed_precision: test.performed_precision.clone(),
        ir_1min_ohm: test.lowest.as_ref().map(|lowest| lowest.value_ohm),
        ir_1min_40c_ohm: test.lowest.as_ref().and_then(|lowest| lowest.at_40c_ohm),
        ir_bound: test.lowest.as_ref().map(|lowest| lowest.bound.clone()),
        polarization_index: judged.polarization_index.map(|(value, _)| value),
        polarization_index_bound: judged.polarization_index.map(|(_, bound)| bound.code().to_owned()),
        absorption_ratio: judged.absorption_ratio.map(|(value, _)| value),
        leakage_at_max_v_a: test.leakage_at_max_v_a,
        max_voltage_v: test.max_voltage_v,
        withstood: test.withstood,
        unbalance: judged.unbalance,
        ir_minimum_ohm: judged.minimum.as_ref().map(|limit| limit.value),
        ir_minimum_basis: judged.minimum.as_ref().map(|limit| limit.basis.clone()),
        polarization_index_minimum: index_minimum,
        polarization_index_basis: judged.polarization_index.map(|_| index_basis),
        duplicate_of: test.duplicate_of.clone(),
    }
}
