//! What a corpus that is known must reach: a change that loses something fails, though nothing is silently wrong.

use super::count::Score;
use anyhow::bail;

/// Least share of the questions due that are asked, per cent.
const ASKED: usize = 95;
/// Most readings that may be stored with something told left empty, per cent.
const INCOMPLETE: usize = 1;
/// Least B-cubed precision and recall of machines.
const MACHINES: (f64, f64) = (0.999, 0.97);

/// Fails when fewer than `least` per cent of what need not be held is right, or another bar is missed.
pub(crate) fn check(score: &Score, least: usize) -> anyhow::Result<()> {
    let count = |key: &str| score.total(key);
    let (due, truth) = (count("expect_hold"), count("truth"));
    let right = count("right") + count("right_flagged") + count("incomplete");
    let (machines, duplicates) = (&score.machines, &score.duplicates);
    let bars = [
        (right * 100 >= (truth - due.min(truth)) * least, format!("{right} of {} right", truth - due.min(truth))),
        (count("held_as_expected") * 100 >= due * ASKED, format!("{} of {due} asked", count("held_as_expected"))),
        (count("guessed_silently") == 0, format!("{} guessed silently", count("guessed_silently"))),
        (count("false_readings") == 0, format!("{} false readings", count("false_readings"))),
        (count("incomplete") * 100 <= truth * INCOMPLETE, format!("{} incomplete", count("incomplete"))),
        (machines.precision >= MACHINES.0, format!("machines: precision {:.4}", machines.precision)),
        (machines.recall >= MACHINES.1, format!("machines: recall {:.4}", machines.recall)),
        (duplicates.missed.is_empty(), format!("{} duplicates missed", duplicates.missed.len())),
        (duplicates.invented.is_empty(), format!("{} duplicates invented", duplicates.invented.len())),
    ];
    let missed: Vec<String> = bars.into_iter().filter(|(holds, _)| !holds).map(|(_, told)| told).collect();
    if !missed.is_empty() {
        bail!("below the bars: {}", missed.join("; "));
    }
    Ok(())
}
