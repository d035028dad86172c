//! Runs the fleets and prints the table.

use super::bars::Bar;
use super::habits::{A, B, C, D, E, Habits};
use super::measure::{self, Detected};
use super::told::{EVEN, Falls, LATE, Slips};
use super::world::World;
use super::{baselines, direct, draw, forecasts, tables};
use anyhow::bail;
use windrow_analyze::{Analysis, analyze};
use windrow_model::settings::Settings;
use windrow_statistics::multiplicity::benjamini_hochberg;

/// Seeds from here on were never used to choose settings.
const FIRST_SEED: u64 = 1000;
const MACHINES: u32 = 10_000;
/// Falls of each kind that are forecast.
const FALLS: u32 = 200;
/// Fleets of each size in which nothing fails.
const SOUND_FLEETS: u64 = 100;
const RATES: [f64; 3] = [0.05, 0.10, 0.20];

/// `[--fleets N] [--machines N] [--seed S]`.
pub(crate) fn run(options: &[&str]) -> anyhow::Result<()> {
    let (mut fleets, mut machines, mut seed) = (5_u32, MACHINES, FIRST_SEED);
    let mut options = options.iter();
    while let Some(option) = options.next() {
        let value = options.next().map(|value| value.parse::<u32>());
        match (*option, value) {
            ("--fleets", Some(Ok(value))) => fleets = value.max(1),
            ("--machines", Some(Ok(value))) => machines = value.max(10),
            ("--seed", Some(Ok(value))) => seed = u64::from(value),
            _ => bail!("{option:?} was not understood; expected --fleets N, --machines N or --seed S"),
        }
    }
    let seeds: Vec<u64> = (0..u64::from(fleets)).map(|place| seed + place).collect();
    let mut bars = Vec::new();
    for habits in [A, B, C, D, E] {
        bars.extend(board(habits, machines, &seeds)?);
        bars.extend(without_faults(habits, &seeds)?);
    }
    bars.extend(forecasts::board(FALLS, seeds[0]));
    println!("\nbars");
    for bar in &bars {
        println!("{}", bar.line());
    }
    if bars.iter().all(Bar::is_reached) {
        return Ok(());
    }
    bail!("the analyzer misses a bar")
}

/// What came of one fleet.
pub(crate) struct Outcome {
    pub(crate) world: World,
    pub(crate) analysis: Analysis,
    /// −ln p a review.
    pub(crate) scores: Vec<f64>,
}

/// Draws a fleet and runs it through tables and analyzer.
pub(crate) fn outcome(habits: Habits, machines: u32, seed: u64) -> anyhow::Result<Outcome> {
    let world = draw::world(habits, machines, seed);
    let frames = tables::frames(tables::rows(&world, 0))?;
    let analysis = analyze(&frames, &Settings::default())?;
    let scores = analysis.reviewed.iter().map(|reviewed| -reviewed.p.ln()).collect();
    Ok(Outcome { world, analysis, scores })
}

/// Machines in the order of the world with q at or below `rate`.
pub(crate) fn flagged(outcome: &Outcome, rate: f64) -> Vec<bool> {
    let mut flagged = vec![false; outcome.world.machines.len()];
    for ranked in outcome.analysis.ranking.iter().filter(|ranked| ranked.q.is_some_and(|q| q <= rate)) {
        if let Some(flag) = number_of(&ranked.asset_id).and_then(|number| flagged.get_mut(number)) {
            *flag = true;
        }
    }
    flagged
}

/// The place of a machine in its world, from its id.
pub(crate) fn number_of(asset_id: &str) -> Option<usize> {
    asset_id.trim_start_matches('m').parse().ok()
}

/// Means over fleets.
#[derive(Debug, Default)]
struct Row {
    at_ten: Detected,
    at_one: Detected,
}

impl Row {
    fn add(&mut self, world: &World, scores: &[f64], part: f64) {
        for (sum, rate) in [(&mut self.at_ten, 10.0), (&mut self.at_one, 1.0)] {
            let found = measure::detected(world, scores, measure::threshold(world, scores, rate));
            sum.all += part * found.all;
            sum.by_kind.iter_mut().zip(found.by_kind).for_each(|(sum, found)| *sum += part * found);
        }
    }

    fn line(&self, name: &str) -> String {
        let pair = |ten: f64, one: f64| format!("{ten:.2} / {one:.2}");
        let kinds: Vec<String> =
            self.at_ten.by_kind.iter().zip(self.at_one.by_kind).map(|(ten, one)| pair(*ten, one)).collect();
        format!("{name:<38} {}   {:.3} / {:.3}", kinds.join("  "), self.at_ten.all, self.at_one.all)
    }
}

/// The table of one world and its bars.
fn board(habits: Habits, machines: u32, seeds: &[u64]) -> anyhow::Result<Vec<Bar>> {
    #[expect(clippy::cast_precision_loss, reason = "a few fleets")]
    let part = 1.0 / seeds.len() as f64;
    let mut rows: Vec<(&str, Row)> = Vec::new();
    let mut rates = [[0.0; 2]; 3];
    let mut histories = [0.0; 4];
    let (mut covered, mut predicted, mut slips, mut falls) = (0.0, 0.0, Slips::default(), [Falls::default(); 2]);
    for seed in seeds {
        let outcome = outcome(habits, machines, *seed)?;
        let mut scored = baselines::all(&outcome.world);
        scored.push(("the analyzer", outcome.scores.clone()));
        for (name, scores) in &scored {
            let place = rows.iter().position(|(known, _)| known == name).unwrap_or_else(|| {
                rows.push((name, Row::default()));
                rows.len() - 1
            });
            rows[place].1.add(&outcome.world, scores, part);
        }
        let truth = measure::faulty_now(&outcome.world);
        for (sums, rate) in rates.iter_mut().zip(RATES) {
            let (wrong, found) = measure::discoveries(&truth, &flagged(&outcome, rate));
            *sums = [sums[0] + part * wrong, sums[1] + part * found];
        }
        let threshold = measure::threshold(&outcome.world, &outcome.scores, 10.0);
        let by_history = measure::by_history(&outcome.world, &outcome.scores, threshold);
        histories.iter_mut().zip(by_history).for_each(|(sum, rate)| *sum += part * rate);
        let (inside, all) = coverage(&outcome);
        covered += inside;
        predicted += all;
        slips.add(&outcome);
        falls.iter_mut().zip([EVEN, LATE]).for_each(|(falls, words)| falls.add(&outcome, words));
    }
    println!("\nworld {}: {} fleets of {machines} machines from seed {}", habits.name, seeds.len(), seeds[0]);
    println!("found at 10 / 1 false alarms per 1000 reviews: ground wall, moisture, turns, connection, all");
    for (name, row) in &rows {
        println!("{}", row.line(name));
    }
    let told: Vec<String> =
        RATES.iter().zip(rates).map(|(rate, [wrong, found])| format!("{rate:.2}: {wrong:.3} / {found:.2}")).collect();
    println!("false discoveries / faults flagged at q of {}", told.join(", "));
    println!("false alarms per 1000 by history (2, 3-4, 5-8, 9+): {histories:.1?}");
    let [even, late] = falls;
    println!(
        "falling_trend at watch: {} even falls, {} of them of machines that never fail; {} late falls, {} of them of such",
        even.told, even.sound, late.told, late.sound
    );
    let (recall, precision) = slips.rates();
    println!("unit slips: recall {recall:.3}, precision {precision:.3}");
    let found = rows.last().map(|(_, row)| (row.at_ten.all, row.at_one.all)).unwrap_or_default();
    let name = habits.name;
    let spread =
        histories.iter().copied().fold(0.0, f64::max) / histories.iter().copied().fold(f64::INFINITY, f64::min);
    let mut bars: Vec<Bar> = RATES
        .iter()
        .zip(rates)
        .map(|(rate, [wrong, _])| Bar::at_most(format!("{name}: false discoveries at q = {rate}"), wrong, *rate))
        .collect();
    bars.push(Bar::at_most(format!("{name}: false alarms, most over least by length of history"), spread, 1.5));
    bars.push(Bar::between(format!("{name}: coverage of 80 % prediction intervals"), covered / predicted, 0.78, 0.82));
    let least = match name {
        "A" => Some((0.62, 0.34)),
        "B" => Some((0.55, 0.30)),
        _ => None,
    };
    if let Some((ten, one)) = least {
        bars.push(Bar::at_least(format!("{name}: faults found at 10 false alarms per 1000 reviews"), found.0, ten));
        bars.push(Bar::at_least(format!("{name}: faults found at 1 false alarm per 1000 reviews"), found.1, one));
    }
    if name == "A" {
        bars.push(Bar::at_least("A: recall of unit slips", recall, 0.95));
    }
    if matches!(name, "A" | "B") {
        bars.push(Bar::at_least(format!("{name}: precision of unit slips"), precision, 0.90));
    }
    Ok(bars)
}

/// Readings of sound machines inside their 80 % interval, and all that were predicted well below a ceiling.
fn coverage(outcome: &Outcome) -> (f64, f64) {
    /// Ceilings begin at 3 decades; predictions below this are never cut off by one.
    const WELL_BELOW: f64 = 2.5;
    let visits =
        outcome.world.machines.iter().flat_map(|machine| machine.visits.iter().map(move |visit| (machine, visit)));
    let (mut inside, mut all) = (0.0, 0.0);
    for ((machine, visit), reviewed) in visits.zip(&outcome.analysis.reviewed) {
        let Some(decades) = visit.decades(machine.era).filter(|_| machine.fault.is_none() && !visit.slipped) else {
            continue;
        };
        let [low, high] = reviewed.interval;
        if reviewed.surprise.is_finite() && decades - reviewed.surprise < WELL_BELOW {
            all += 1.0;
            inside += f64::from(u8::from(!visit.ceiling && (low..=high).contains(&reviewed.surprise)));
        }
    }
    (inside, all)
}

/// Fleets in which nothing fails: how many raise an alarm at q = 0.10. Small ones go through the tables; large ones straight from the columns,
/// which give the same scores (a test holds it), so that there are enough of them to tell.
fn without_faults(habits: Habits, seeds: &[u64]) -> anyhow::Result<Vec<Bar>> {
    const RATE: f64 = 0.10;
    const MOST: f64 = RATE + 0.05;
    let sound = Habits { faults: 0.0, ..habits };
    let through_tables = |machines: u32, seed: u64| -> anyhow::Result<bool> {
        Ok(flagged(&outcome(sound, machines, seed)?, RATE).contains(&true))
    };
    let from_columns = |machines: u32, seed: u64| -> anyhow::Result<bool> {
        let scores = windrow_fleet::score(&direct::columns(&draw::world(sound, machines, seed)));
        let judged: Vec<f64> = scores.by_machine.into_iter().filter(|p| p.is_finite()).collect();
        Ok(benjamini_hochberg(&judged).iter().any(|q| *q <= RATE))
    };
    let first = seeds.first().copied().unwrap_or(FIRST_SEED) + 10_000;
    let mut bars = Vec::new();
    for machines in [5, 10, 300, 3000] {
        let (mut any, mut all) = (0.0, 0.0);
        for seed in first..first + SOUND_FLEETS {
            let raises = if machines < 1000 { through_tables(machines, seed) } else { from_columns(machines, seed) };
            any += f64::from(u8::from(raises?));
            all += 1.0;
        }
        let about =
            format!("{}: fleets of {machines} without faults that raise an alarm ({all:.0} fleets)", habits.name);
        bars.push(Bar::at_most(about, any / all, MOST));
    }
    Ok(bars)
}
