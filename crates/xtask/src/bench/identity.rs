//! How long it takes to tell machines apart, and how that grows. Invented records: spellings, serial numbers, slips, spares.

use anyhow::Context;
use jiff::civil::Date;
use std::time::Instant;
use windrow_dice::Dice;
use windrow_identity::{MentionIn, resolve};
use windrow_model::Text;
use windrow_model::place::Place;
use windrow_model::raw::{Mention, PlateField, PlateValue, Told, Via};

/// Records of one machine.
const TESTS: usize = 10;
const SIZES: [usize; 4] = [50_000, 100_000, 200_000, 400_000];

/// Prints seconds and growth for more and more records, or for the numbers of records that are given. Growth is that of processor
/// time where the system tells it, which other programs on the machine do not lengthen.
pub(crate) fn run(sizes: &[&str]) -> anyhow::Result<()> {
    let given: Result<Vec<usize>, _> = sizes.iter().map(|size| size.parse()).collect();
    let given = given.context("expected numbers of records, such as 50000 100000")?;
    let sizes = if given.is_empty() { SIZES.to_vec() } else { given };
    println!(
        "{:>9} {:>9} {:>9} {:>9} {:>8} {:>8} {:>8}",
        "records", "machines", "found", "asked", "s", "cpu s", "growth"
    );
    let mut before: Option<f64> = None;
    for records in sizes {
        let place = Place::new(Some("Log"), "A1");
        let drawn = draw(records, &mut Dice::new(5, 1));
        let mentions: Vec<MentionIn<'_>> = drawn
            .iter()
            .map(|(mention, on)| MentionIn {
                source_file: "log.xlsx",
                mention,
                on: Some(*on),
                test: Some(&place),
                origin: "",
                record: None,
            })
            .collect();
        let (started, cpu) = (Instant::now(), cpu_seconds());
        let resolved = resolve(&mentions, &[]);
        let seconds = started.elapsed().as_secs_f64();
        let cpu = cpu.zip(cpu_seconds()).map_or(seconds, |(from, to)| to - from);
        let growth = before.map_or_else(String::new, |before| format!("x{:.2}", cpu / before));
        println!(
            "{records:>9} {:>9} {:>9} {:>9} {seconds:>8.2} {cpu:>8.2} {growth:>8}",
            records / TESTS,
            resolved.assets.len(),
            resolved.holds.len()
        );
        before = Some(cpu);
    }
    Ok(())
}

/// Processor time of this thread so far, s, as Linux counts it in nanoseconds (proc(5), schedstat).
fn cpu_seconds() -> Option<f64> {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    let nanoseconds: f64 = text.split_whitespace().next()?.parse().ok()?;
    Some(nanoseconds / 1e9)
}

fn draw(records: usize, dice: &mut Dice) -> Vec<(Mention, Date)> {
    (0..records)
        .map(|record| {
            let machine = record % (records / TESTS).max(1);
            let day = i16::try_from(dice.between(0, 40)).unwrap_or(0);
            (mention(machine, record, dice), Date::new(1980 + day, 6, 1).unwrap_or(Date::MIN))
        })
        .collect()
}

/// A record of machine number `machine`; forty machines a site.
fn mention(machine: usize, record: usize, dice: &mut Dice) -> Mention {
    let told = |text: String, row: usize| {
        let text = Text::from(text);
        Some(Told::at(text.clone(), Via::Row, text, Place::new(Some("Log"), format!("A{row}"))))
    };
    let (site, number) = (machine / 40, 100 + machine % 40);
    let letters = ["P", "FAN", "C", "BP"][machine % 4];
    let word = ["Pump", "Fan", "Compressor", "Booster"][machine % 4];
    let tag = match dice.between(0, 99) {
        0 => "SPARE".to_owned(),
        1 => format!("{letters}-{}", number.to_string().replace('0', "O")),
        2..=9 => format!("{word} {number}"),
        10..=39 => format!("{letters}{number}"),
        40..=59 => format!("{} {number}", letters.to_lowercase()),
        _ => format!("{letters}-{number}"),
    };
    let serial = dice.chance(0.3).then(|| format!("{}-{}", 30_000 + machine % 977, 10_000 + machine));
    Mention {
        tag: told(tag, record),
        site: if dice.chance(0.95) { told(format!("Works {site}"), record) } else { None },
        serial: serial.and_then(|serial| told(serial, record)),
        plate: plate(machine, record, dice),
        ..Mention::default()
    }
}

/// The nameplate, in three records of ten; one in a hundred of those has a slip in the voltage.
fn plate(machine: usize, record: usize, dice: &mut Dice) -> Vec<(PlateField, Told<PlateValue>)> {
    if !dice.chance(0.3) {
        return Vec::new();
    }
    let volts = if dice.chance(0.01) { 6000.0 } else { [400.0, 690.0, 3300.0, 6600.0][machine % 4] };
    let watts = [22e3, 75e3, 250e3, 450e3][machine % 4];
    let told = |field, value: f64, column: &str| {
        let place = Place::new(Some("Log"), format!("{column}{record}"));
        (field, Told::at(PlateValue::Number(value), Via::Row, value.to_string(), place))
    };
    vec![told(PlateField::RatedPower, watts, "D"), told(PlateField::RatedVoltage, volts, "E")]
}
