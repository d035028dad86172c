//! The common scale of bids, and who wins.
//!
//! 0 refused, with a reason; 0.3 the container or shape fits and nothing contradicts; 0.6 its structure or headers fit; 0.9 a mark
//! that only this plugin's input has.

use crate::registry::Registry;
use windrow_source::{Probe, ReadError, ReaderPlugin, Refusal, Verdict, sniff};

/// How far the winner must lead: nearer is a tie, which what both read decides, never a coin toss.
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

/// Who is to read a source.
#[derive(Debug)]
pub(crate) enum Choice {
    /// The one that leads.
    Clear(&'static ReaderPlugin),
    /// Two that bid alike: what they read must decide.
    Tie(Box<Tie>),
}

/// Two readers that claim a source alike.
#[derive(Debug)]
pub(crate) struct Tie {
    /// The readers.
    pub(crate) readers: [&'static ReaderPlugin; 2],
    reasons: [String; 2],
}

impl Tie {
    /// What is said where neither of them reads it better.
    pub(crate) fn refusal(&self) -> ReadError {
        let ([one, other], [first, second]) = (self.readers, &self.reasons);
        let found = format!("two readers claim it alike: {} ({first}) and {} ({second})", one.id, other.id);
        ReadError::new(Refusal::Alien, found, "save it again as a workbook")
    }
}

/// The reader that bids most, or the first two where they bid alike.
pub(crate) fn choose(probe: &Probe<'_>, registry: &Registry) -> Result<Choice, ReadError> {
    let mut bids = bids(probe, registry).into_iter();
    let Some((winner, verdict)) = bids.next().filter(|(_, verdict)| verdict.confidence >= LOWEST) else {
        return Err(sniff::refusal(probe));
    };
    if let Some((other, second)) = bids.next().filter(|(_, second)| !leads(verdict.confidence, second.confidence)) {
        let tie = Tie { readers: [winner, other], reasons: [verdict.reason, second.reason] };
        return Ok(Choice::Tie(Box::new(tie)));
    }
    tracing::debug!(reader = winner.id, confidence = verdict.confidence, reason = %verdict.reason, "claimed");
    Ok(Choice::Clear(winner))
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
