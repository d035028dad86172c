//! How long it takes to tell machines apart, and how that grows. Invented records: spellings, serial numbers, slips, spares.

use crate::layouts::dice::Dice;
use jiff::civil::Date;
use std::time::Instant;
use windrow_identity::{MentionIn, resolve};
use windrow_model::Text;
use windrow_model::place::Place;
use windrow_model::raw::{Mention, Told, Via};

/// Records of one machine.
const TESTS: usize = 10;
const SIZES: [usize; 4] = [50_000, 100_000, 200_000, 400_000];

/// Prints seconds and growth for more and more records.
pub(crate) fn run() {
    println!("{:>9} {:>9} {:>9} {:>9} {:>8} {:>8}", "records", "machines", "found", "asked", "s", "growth");
    let mut before: Option<f64> = None;
    for records in SIZES {
        let place = Place::new(Some("Log"), "A1");
        let drawn = draw(records, &mut Dice::new(5, 1));
        let mentions: Vec<MentionIn<'_>> = drawn
            .iter()
            .map(|(mention, on)| MentionIn { source_file: "log.xlsx", mention, on: Some(*on), test: Some(&place) })
            .collect();
        let started = Instant::now();
        let resolved = resolve(&mentions, &[]);
        let seconds = started.elapsed().as_secs_f64();
        let growth = before.map_or_else(String::new, |before| format!("x{:.2}", seconds / before));
        println!(
            "{records:>9} {:>9} {:>9} {:>9} {seconds:>8.2} {growth:>8}",
            records / TESTS,
            resolved.assets.len(),
            resolved.holds.len()
        );
        before = Some(seconds);
    }
}

fn draw(records: usize, dice: &mut Dice) -> Vec<(Mention, Date)> {
    (0..records)
        .map(|record| {
            let machine = record % (records / TESTS);
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
        ..Mention::default()
    }
}
