//! Machines that share a name: records under one tag, or one serial number, whose nameplates cannot be one machine's.
//!
//! A tag recurs from plant to plant, a serial number from maker to maker, and a position gets another motor. Records whose
//! nameplates contradict are put to machines of their own, called by what their plates tell. A record without a nameplate follows
//! those of its own file, then of its folder; where both leave it open, a person is asked. Where no nameplate tells them apart, a person
//! can ("different from P-1" on a file, sheet or range; `P-1 [name]` as the machine of records).

use crate::evidence::{Evidence, LIKELY, Profile, SURE, compare, total};
use crate::grouped::grouped;
use crate::keys::{Keys, Position};
use crate::overlap::{self, Part, Parts};
use crate::question::Why;
use crate::resolve::{Machine, MentionIn};
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::raw::{Mention, PlateField, PlateValue};

/// More machines than this under one name: the name tells nothing.
const MOST: usize = 12;

/// Records of one name whose nameplates agree.
#[derive(Debug, Clone, Default)]
pub(crate) struct Side {
    plate: Plate,
    site: Option<String>,
    folders: BTreeSet<String>,
    files: BTreeSet<String>,
    numbered: bool,
    /// Mentions, as indexes.
    pub(crate) members: Vec<usize>,
}

/// Two machines of one name, and what speaks for and against their being one.
#[derive(Debug, Clone)]
pub(crate) struct Alike {
    pub(crate) a: (Machine, Vec<usize>),
    pub(crate) b: (Machine, Vec<usize>),
    pub(crate) evidence: Vec<Evidence>,
}

/// What a person ruled on names that are told for several machines.
pub(crate) struct OneName<'r> {
    /// Whether all records of a position are of one machine.
    pub(crate) positions: BTreeMap<Position, bool>,
    /// The same for serial numbers.
    pub(crate) serials: &'r BTreeMap<String, bool>,
}

impl OneName<'_> {
    fn ruled(&self, machine: &Machine) -> Option<bool> {
        match machine {
            Machine::Serial(serial) => self.serials.get(serial).copied(),
            Machine::At(position, _) => self.positions.get(position).copied(),
            Machine::Like(of, _) => self.ruled(of),
        }
    }
}

/// Puts records of one name to several machines where their nameplates contradict, and tells what a person should look at.
pub(crate) fn part(
    mentions: &[MentionIn<'_>],
    keys: &[Keys],
    found: &mut [Result<Machine, Why>],
    one_name: &OneName<'_>,
) -> Vec<Alike> {
    let plates: Vec<Plate> = mentions.iter().map(|mention| Plate::of(mention.mention)).collect();
    let named = found.iter().enumerate().filter_map(|(index, machine)| Some((machine.as_ref().ok()?, index)));
    let groups = grouped(named);
    let (mut asked, mut parted) = (Vec::new(), Vec::new());
    let group = Group { mentions, keys, plates: &plates };
    for (machine, members) in groups {
        let (labelled, members): (Vec<usize>, Vec<usize>) =
            members.into_iter().partition(|index| keys[*index].label.is_some());
        let ruled = one_name.ruled(machine);
        let tell_apart = ruled != Some(true) && members.iter().any(|index| !plates[*index].is_empty());
        let (sides, pairs) = if tell_apart { group.sides(&members) } else { (Vec::new(), Vec::new()) };
        let names = names(machine, &sides);
        let only = (sides.len() == 1).then_some(machine);
        for index in labelled {
            // A label that no nameplate gives is a person's own: a machine that only the ruling tells from the others.
            let own = || keys[index].label.clone().map(|label| Machine::Like(Box::new(machine.clone()), label));
            let side = group.side_of(index, &sides).and_then(|side| only.or(names.get(side)).cloned());
            parted.extend(side.or_else(own).map(|machine| (index, Ok(machine))));
        }
        if sides.len() < 2 {
            if let Some(found) = group.overlapping(machine, &members).filter(|_| ruled != Some(true)) {
                part_by_series(machine, &members, &found, &mut parted);
                if ruled.is_none() {
                    asked.extend(found.pairs.iter().filter_map(|pair| alike(machine, &found, pair)));
                }
            }
            continue;
        }
        for index in members {
            let side = group.side_of(index, &sides).and_then(|side| names.get(side).cloned());
            parted.push((index, side.ok_or_else(|| Why::Namesakes(names.clone()))));
        }
        if ruled.is_none() {
            asked.extend(pairs.into_iter().filter_map(|(a, b, evidence)| {
                let side = |at: usize| Some((names.get(at)?.clone(), sides.get(at)?.members.clone()));
                Some(Alike { a: side(a)?, b: side(b)?, evidence })
            }));
        }
    }
    for (index, machine) in parted {
        found[index] = machine;
    }
    asked
}

/// Puts records of folders whose series contradict to machines of their own; what could be of any of them is asked about.
fn part_by_series(
    machine: &Machine,
    members: &[usize],
    found: &Parts,
    parted: &mut Vec<(usize, Result<Machine, Why>)>,
) {
    let names: Vec<Machine> = found.parts.iter().map(|part| named(machine, part)).collect();
    let of: BTreeMap<usize, &Machine> = found
        .parts
        .iter()
        .zip(&names)
        .flat_map(|(part, name)| part.members.iter().map(move |at| (*at, name)))
        .collect();
    for index in members {
        let name = of.get(index).map(|name| (*name).clone());
        parted.push((*index, name.ok_or_else(|| Why::Namesakes(names.clone()))));
    }
}

fn named(machine: &Machine, part: &Part) -> Machine {
    Machine::Like(Box::new(machine.clone()), part.name.clone())
}

fn alike(machine: &Machine, found: &Parts, (a, b, evidence): &(usize, usize, Vec<Evidence>)) -> Option<Alike> {
    let side = |at: usize| found.parts.get(at).map(|part| (named(machine, part), part.members.clone()));
    Some(Alike { a: side(*a)?, b: side(*b)?, evidence: evidence.clone() })
}

/// Names of the sides: the serial number alone names the one side that tells it.
fn names(machine: &Machine, sides: &[Side]) -> Vec<Machine> {
    let numbered = sides.iter().filter(|side| side.numbered).count();
    let name = |side: &Side| match machine {
        Machine::Serial(_) if side.numbered && numbered == 1 => machine.clone(),
        _ => Machine::Like(Box::new(machine.clone()), side.plate.to_string()),
    };
    sides.iter().map(name).collect()
}

/// Two sides, by number, and their evidence.
type Pair = (usize, usize, Vec<Evidence>);

struct Group<'a> {
    mentions: &'a [MentionIn<'a>],
    keys: &'a [Keys],
    plates: &'a [Plate],
}

impl Group<'_> {
    /// Parts of a position's records whose series contradict. A serial number is one machine, and so is a tag at a site that two folders tell;
    /// two sheets of a file may tell one site, which is all that their titles have in common.
    fn overlapping(&self, machine: &Machine, members: &[usize]) -> Option<Parts> {
        match machine {
            Machine::At((None, _), None) => overlap::parts(self.mentions, members),
            Machine::At((Some(_), _), None) => overlap::of_sheets(self.mentions, members),
            _ => None,
        }
    }

    /// Records by what they tell, those that tell most first; records without a nameplate and those ruled upon are not among them.
    fn units(&self, members: &[usize]) -> Vec<Side> {
        let mut units: BTreeMap<_, Side> = BTreeMap::new();
        for index in members {
            let (mention, keys, plate) = (&self.mentions[*index], &self.keys[*index], self.plates[*index]);
            if plate.is_empty() || keys.label.is_some() {
                continue;
            }
            let folder = folder(mention.source_file);
            let place = keys.site.is_none().then_some(folder);
            let key = (Reverse(plate.told()), plate.bits(), keys.serial.is_some(), keys.site.clone(), place);
            let unit = units.entry(key).or_insert_with(|| Side {
                plate,
                site: keys.site.clone(),
                numbered: keys.serial.is_some(),
                ..Side::default()
            });
            unit.folders.insert(folder.to_owned());
            unit.files.insert(mention.source_file.to_owned());
            unit.members.push(*index);
        }
        units.into_values().collect()
    }

    /// Records whose nameplates agree, and pairs of such sides that a person should look at.
    fn sides(&self, members: &[usize]) -> (Vec<Side>, Vec<Pair>) {
        let (mut sides, mut asked) = (Vec::<Side>::new(), Vec::new());
        for unit in self.units(members) {
            let weighed: Vec<(Verdict, Vec<Evidence>)> = sides.iter().map(|side| weigh(side, &unit)).collect();
            let mut fits = weighed.iter().enumerate().filter(|(_, (verdict, _))| *verdict == Verdict::One);
            match (fits.next(), fits.next()) {
                (Some((at, _)), None) => sides[at].take(unit),
                (None, _) if sides.len() < MOST => {
                    let own = sides.len();
                    let likely = weighed.into_iter().enumerate().filter(|(_, (verdict, _))| *verdict == Verdict::Ask);
                    asked.extend(likely.map(|(at, (_, evidence))| (at, own, evidence)));
                    sides.push(unit);
                }
                // Fits several, or is one too many: left to its file and folder.
                _ => {}
            }
        }
        (sides, asked)
    }

    /// The side that a record belongs to, if that is clear.
    fn side_of(&self, index: usize, sides: &[Side]) -> Option<usize> {
        let (mention, keys) = (&self.mentions[index], &self.keys[index]);
        if let Some(label) = &keys.label {
            return sides.iter().position(|side| side.plate.to_string() == *label);
        }
        if let Some(side) = sides.iter().position(|side| side.members.contains(&index)) {
            return Some(side);
        }
        let numbered = |side: &Side| keys.serial.is_some() && side.numbered;
        let in_file = |side: &Side| side.files.contains(mention.source_file);
        let in_folder = |side: &Side| side.folders.contains(folder(mention.source_file));
        let at_site = |side: &Side| keys.site.is_some() && side.site == keys.site;
        let fits = |side: &Side| weigh_plates(&side.plate, &self.plates[index]).iter().all(|one| one.weight >= 0.0);
        let tests: [&dyn Fn(&Side) -> bool; 4] = [&numbered, &in_file, &in_folder, &at_site];
        tests.iter().find_map(|test| {
            let mut left = sides.iter().enumerate().filter(|(_, side)| test(side) && fits(side));
            left.next().filter(|_| left.next().is_none()).map(|(at, _)| at)
        })
    }
}

impl Side {
    fn take(&mut self, other: Self) {
        self.plate.complete(&other.plate);
        self.site = self.site.take().or(other.site);
        self.numbered |= other.numbered;
        self.folders.extend(other.folders);
        self.files.extend(other.files);
        self.members.extend(other.members);
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Verdict {
    One,
    Ask,
    Apart,
}

/// Weighs two sides of one name.
fn weigh(a: &Side, b: &Side) -> (Verdict, Vec<Evidence>) {
    let plates = weigh_plates(&a.plate, &b.plate);
    let contradictions = plates.iter().filter(|one| one.weight < 0.0).count();
    let numbered = a.numbered && b.numbered;
    let profile = |side: &Side| Profile {
        site: side.site.clone(),
        tag: if numbered { String::new() } else { "A1".to_owned() },
        serials: if numbered { BTreeSet::from(["=".to_owned()]) } else { BTreeSet::new() },
        ..Profile::default()
    };
    let mut evidence: Vec<Evidence> = compare(&profile(a), &profile(b)).into_iter().map(unnamed).collect();
    let together = a.site.is_none() && b.site.is_none() && !a.folders.is_disjoint(&b.folders);
    if together {
        let shared = a.folders.intersection(&b.folders).next().cloned().unwrap_or_default();
        evidence.push(Evidence { column: "site", what: "same folder", weight: 1.0, a: shared.clone(), b: shared });
    }
    evidence.extend(plates);
    let near = numbered || together || a.site.is_some() && a.site == b.site;
    let verdict = match total(&evidence) {
        _ if contradictions == 0 => Verdict::One,
        sum if sum >= SURE || near && sum >= LIKELY => Verdict::One,
        // A single contradiction may be a slip of the pen.
        sum if near || sum >= LIKELY || contradictions == 1 => Verdict::Ask,
        _ => Verdict::Apart,
    };
    (verdict, evidence)
}

/// The name itself is told once, by who asks.
fn unnamed(evidence: Evidence) -> Evidence {
    match evidence.column {
        "tag" => Evidence { what: "one tag", a: String::new(), b: String::new(), ..evidence },
        "serial_number" => Evidence { what: "one serial number", a: String::new(), b: String::new(), ..evidence },
        _ => evidence,
    }
}

fn weigh_plates(a: &Plate, b: &Plate) -> Vec<Evidence> {
    compare(&a.profile(), &b.profile())
}

fn folder(file: &str) -> &str {
    file.rsplit_once('/').map_or("", |(folder, _)| folder)
}

/// Rated power (W), voltage (V), speed (1/min) and year of manufacture of one record.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
struct Plate([Option<f64>; 4]);

impl Plate {
    fn of(mention: &Mention) -> Self {
        const FIELDS: [PlateField; 4] =
            [PlateField::RatedPower, PlateField::RatedVoltage, PlateField::RatedSpeed, PlateField::MadeYear];
        Self(FIELDS.map(|field| {
            mention.plate.iter().find_map(|(known, told)| match told.value {
                PlateValue::Number(number) if *known == field && number.is_finite() && number > 0.0 => Some(number),
                _ => None,
            })
        }))
    }

    fn is_empty(&self) -> bool {
        self.0.iter().all(Option::is_none)
    }

    fn told(&self) -> usize {
        self.0.iter().flatten().count()
    }

    fn bits(&self) -> [Option<u64>; 4] {
        self.0.map(|number| number.map(f64::to_bits))
    }

    fn complete(&mut self, other: &Self) {
        for (own, other) in self.0.iter_mut().zip(other.0) {
            *own = own.or(other);
        }
    }

    fn profile(&self) -> Profile {
        let [power_w, voltage_v, speed_rpm, made_year] = self.0;
        Profile { power_w, voltage_v, speed_rpm, made_year, ..Profile::default() }
    }
}

impl std::fmt::Display for Plate {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let [power, voltage, speed, year] = self.0;
        let parts = [
            voltage.map(|volts| format!("{volts} V")),
            power.map(|watts| format!("{} kW", watts / 1e3)),
            speed.map(|speed| format!("{speed} 1/min")),
            year.map(|year| format!("{year}")),
        ];
        f.write_str(&parts.into_iter().flatten().collect::<Vec<_>>().join(", "))
    }
}
