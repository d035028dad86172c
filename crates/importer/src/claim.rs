//! The common scale of bids, and who wins.
//!
//! 0 refused, with a reason; 0.3 the container or shape fits and nothing contradicts; 0.6 its structure or headers fit; 0.9 a mark
//! that only this plugin's input has.

use crate::registry::Registry;
use windrow_source::{Probe, ReadError, ReaderPlugin, Refusal, Verdict, sniff};

/// How far the winner must lead: nearer is a tie, and a tie is a question, not a coin toss.
pub const LEAD: f64 = 0.2;
/// Bids below this are refusals.
pub const LOWEST: f64 = 0.25;
/// Bids are decimal fractions: a lead of 0.2 between 0.9 and 0.7 must not fail for the last binary digit.
const ROUNDING: f64 = 1e-9;

/// Whether a bid of `best` stands clear of a bid of `second`.
#[must_use]
pub fn leads(best: f64, second: f64) -> bool {
    best - second >= LEAD - ROUNDING
}

/// All bids for a source, best first, equal ones by id.
#[must_use]
pub fn bids(probe: &Probe<'_>, registry: &Registry) -> Vec<(&'static ReaderPlugin, Verdict)> {
    let mut bids: Vec<_> = registry.readers().iter().map(|plugin| (*plugin, (plugin.claim)(probe))).collect();
    bids.sort_by(|a, b| b.1.confidence.total_cmp(&a.1.confidence).then(a.0.id.cmp(b.0.id)));
    bids
}

/// The reader that bids most; a near tie is refused with both reasons.
pub(crate) fn choose(probe: &Probe<'_>, registry: &Registry) -> Result<&'static ReaderPlugin, ReadError> {
    let mut bids = bids(probe, registry).into_iter();
    let Some((winner, verdict)) = bids.next().filter(|(_, verdict)| verdict.confidence >= LOWEST) else {
        return Err(sniff::refusal(probe));
    };
    let close = bids.next().filter(|(_, second)| !leads(verdict.confidence, second.confidence));
    if let Some((other, runner_up)) = close {
        let found = format!(
            "two readers claim it alike: {} ({}) and {} ({})",
            winner.id, verdict.reason, other.id, runner_up.reason
        );
        return Err(ReadError::new(Refusal::Alien, found, "save it again as a workbook"));
    }
    tracing::debug!(reader = winner.id, confidence = verdict.confidence, reason = %verdict.reason, "claimed");
    Ok(winner)
}

#[cfg(test)]
mod tests {
    use super::leads;

    #[test]
    fn a_lead_is_a_lead_in_decimal_fractions() {
        assert!(leads(0.9, 0.7) && leads(0.6, 0.4) && leads(0.3, 0.1));
        assert!(!leads(0.6, 0.45) && !leads(0.9, 0.9));
    }
}
