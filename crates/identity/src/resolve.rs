//! From mentions to machines.

use crate::asset::{self, Built};
use crate::grouped::grouped;
use crate::hierarchy;
use crate::keys::{Keys, Position};
use crate::located;
use crate::moves::{Moves, Origin};
use crate::nameplate::Rated;
use crate::namesakes::{self, OneName};
use crate::positions::Positions;
use crate::prefix::Prefixes;
use crate::question::{self, Open, Why};
use crate::renumber::{self, OpenLine, Renumbering};
use crate::ruling::{Move, Ruling, Rulings};
use crate::stand::{Occupant, Stand};
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet, HashMap};
use windrow_model::place::Place;
use windrow_model::raw::{Mention, RawTest};
use windrow_model::{Asset, Decision, Hold, Question};
use windrow_text::naming::is_nobody;
use windrow_text::tag;

/// A mention, the source it stands in, and the test that it is of.
#[derive(Debug, Clone, Copy)]
pub struct MentionIn<'a> {
    /// Path of the source.
    pub source_file: &'a str,
    /// What it says.
    pub mention: &'a Mention,
    /// First day of the period in which the test was made, if told.
    pub on: Option<Date>,
    /// Where the test begins; `None` for a machine that a register tells without a test.
    pub test: Option<&'a Place>,
    /// Folder that an import was given, below which the source lies; empty if it does not matter.
    pub origin: &'a str,
    /// What was measured, where it may tell machines apart.
    pub record: Option<&'a RawTest>,
}

/// Machines, and which of them each mention is.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Resolved {
    /// Machines, sorted by site, tag and id.
    pub assets: Vec<Asset>,
    /// For each mention the id of its machine; `None` where its record leaves it open.
    pub asset_of: Vec<Option<String>>,
    /// What a person must rule, sorted by id; the import is not named yet.
    pub holds: Vec<Hold>,
    /// For each machine where its rated voltage is told.
    pub rated: Vec<Rated>,
}

/// A machine: its serial number, or the position of which no number is told.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum Machine {
    /// Known by its serial number.
    Serial(String),
    /// What stood at a position, from a day on if a person ruled that the former machine left.
    At(Position, Option<Date>),
    /// One of several machines that share a name, and what its nameplate tells.
    Like(Box<Machine>, String),
}

impl Machine {
    /// What its id is made of.
    fn key(&self) -> String {
        match self {
            Self::Serial(serial) => format!("serial {serial}"),
            Self::At((site, tag), since) => {
                let since = since.map(|day| day.to_string()).unwrap_or_default();
                format!("position {}|{tag}|{since}", site.as_deref().unwrap_or_default())
            }
            Self::Like(of, plate) => format!("{}|{plate}", of.key()),
        }
    }
}

/// What rulings say of machines, in folded names.
#[derive(Debug, Default)]
pub(crate) struct Ruled {
    same: BTreeSet<(Position, Position)>,
    apart: BTreeSet<(Position, Position)>,
    moves: BTreeSet<Move>,
    /// Serial numbers that are one, the ruled one first.
    serials: BTreeMap<String, String>,
    serials_apart: BTreeSet<(String, String)>,
    /// Whether all records of a position, or of a serial number, are of one machine, whatever their nameplates say.
    position_is_one: BTreeMap<Position, bool>,
    serial_is_one: BTreeMap<String, bool>,
}

impl Ruled {
    /// What is ruled of names that several machines may share.
    fn one_name<'r>(&'r self, positions: &'r Positions) -> OneName<'r> {
        let home = |(position, is_one): (&Position, &bool)| {
            (positions.home(position).unwrap_or_else(|| position.clone()), *is_one)
        };
        OneName { positions: self.position_is_one.iter().map(home).collect(), serials: &self.serial_is_one }
    }
}

/// Resolves all mentions of a fleet under the rulings of people. The order of mentions changes nothing but the order of `asset_of`.
#[must_use]
pub fn resolve(mentions: &[MentionIn<'_>], decisions: &[Decision]) -> Resolved {
    let rulings = Rulings::of(decisions);
    let mut keys: Vec<Keys> = mentions.iter().map(|mention| overruled(mention, &rulings)).collect();
    let prefixes = Prefixes::learn(&keys);
    keys = keys.into_iter().map(|keys| prefixes.applied(keys)).collect();
    tags_that_are_serials(&mut keys);
    let mut ruled = ruled(mentions, &keys, &rulings, &prefixes);
    apart_from_namesakes(mentions, &mut keys, &rulings, &prefixes);
    for keys in &mut keys {
        if let Some(serial) = keys.serial.as_ref().and_then(|serial| ruled.serials.get(serial)) {
            keys.serial = Some(serial.clone());
        }
    }
    earlier_names(mentions, &keys, &prefixes, &mut ruled.same);
    let Renumbering { same, moves, open: unsettled } = renumber::read(mentions, &keys, &prefixes);
    let located = located::read(mentions, &keys, &prefixes);
    ruled.same.extend(same.into_iter().filter(|(new, old)| !ruled.apart.contains(&(new.clone(), old.clone()))));
    let is_ruled = |line: &OpenLine| {
        let is_it = |(a, b): &(Position, Position)| a.1 == line.new.1 && b.1 == line.old.1;
        ruled.same.iter().chain(&ruled.apart).any(is_it)
            || ruled.moves.iter().any(|moved| moved.to.1 == line.new.1 && moved.from.1 == line.old.1)
    };
    let unsettled: Vec<OpenLine> = unsettled.into_iter().filter(|line| !is_ruled(line)).collect();
    ruled.moves.extend(moves);
    let positions = Positions::learn(mentions, &keys, &ruled.same, &ruled.apart, located);
    let stand = stand(mentions, &keys, &positions);
    let moves = Moves::of(&ruled.moves, &positions);
    let mut found: Vec<Result<Machine, Why>> = mentions
        .iter()
        .zip(&keys)
        .map(|(mention, keys)| machine(keys, mention.on, &positions, &stand, &moves))
        .collect();
    let alike = namesakes::part(mentions, &keys, &mut found, &ruled.one_name(&positions));
    let (built, by_machine) = assets(mentions, &found, decisions);
    let asset_of = found.iter().map(|found| by_machine.get(found.as_ref().ok()?).cloned()).collect();
    let open = Open {
        mentions,
        keys: &keys,
        positions: &positions,
        stand: &stand,
        found: &found,
        alike: &alike,
        unsettled: &unsettled,
    };
    let mut holds = question::holds(&open, &ruled.serials_apart);
    let (mut assets, mut rated) = (Vec::with_capacity(built.len()), Vec::with_capacity(built.len()));
    for Built { asset, holds: of_plate, rated: told } in built {
        assets.push(asset);
        rated.push(told);
        holds.extend(of_plate);
    }
    hierarchy::fill(&mut assets);
    holds.sort_by(|a, b| a.hold_id.cmp(&b.hold_id));
    Resolved { assets, asset_of, holds, rated }
}

/// The keys of a mention, or of the machine that a person ruled it to be.
fn overruled(mention: &MentionIn<'_>, rulings: &Rulings<'_>) -> Keys {
    let told = Keys::of(mention.mention);
    let is = |ruling: &&Ruling| matches!(ruling, Ruling::Is(_));
    match rulings.on(mention.source_file, mention.mention, mention.test).into_iter().rfind(is) {
        Some(Ruling::Is(named)) => named.clone().keys(told),
        _ => told,
    }
}

/// A tag that is the serial number of a machine elsewhere was typed into the wrong column.
fn tags_that_are_serials(keys: &mut [Keys]) {
    let known: BTreeSet<String> = keys.iter().filter_map(|keys| keys.serial.clone()).collect();
    for keys in keys.iter_mut().filter(|keys| keys.serial.is_none()) {
        let serial = keys.written.as_deref().filter(|text| tag::serial_likeness(text) > 0.5);
        if let Some(serial) = serial.and_then(crate::keys::serial).filter(|serial| known.contains(serial)) {
            (keys.serial, keys.tag, keys.written) = (Some(serial), None, None);
        }
    }
}

/// A ruling that the records of a place are of another machine than the one that has the same name elsewhere, though no nameplate tells
/// them apart: they get a label of their own.
fn apart_from_namesakes(mentions: &[MentionIn<'_>], keys: &mut [Keys], rulings: &Rulings<'_>, prefixes: &Prefixes) {
    for (mention, keys) in mentions.iter().zip(keys) {
        let ruled = rulings.told_on(mention.source_file, mention.mention, mention.test);
        let parts = |told: &&&(&Decision, Ruling)| {
            let (decision, Ruling::Different(named)) = &***told else { return false };
            let other = prefixes.applied(named.clone().keys(Keys { site: keys.site.clone(), ..Keys::default() }));
            let same_serial = keys.serial.is_some() && named.serial() == keys.serial.as_ref();
            let same_position = other.position().is_some() && other.position() == keys.position();
            // A label names one of several whose nameplates differ: those are apart already.
            !named.has_label() && (same_serial || same_position) && decision.file.is_some()
        };
        if let Some((decision, _)) = ruled.iter().rfind(parts) {
            keys.label = Some(scope(decision));
        }
    }
}

/// Name of the place that a ruling is about.
fn scope(decision: &Decision) -> String {
    let mut name = decision.file.clone().unwrap_or_default();
    for part in [&decision.sheet, &decision.cells].into_iter().flatten() {
        name.push(' ');
        name.push_str(part);
    }
    name
}

fn ruled(mentions: &[MentionIn<'_>], keys: &[Keys], rulings: &Rulings<'_>, prefixes: &Prefixes) -> Ruled {
    let mut ruled = Ruled::default();
    for (mention, keys) in mentions.iter().zip(keys) {
        for ruling in rulings.on(mention.source_file, mention.mention, mention.test) {
            let (Ruling::Same(named) | Ruling::Different(named) | Ruling::Since(named, _)) = ruling else { continue };
            if let (Some(other), Some(own)) = (named.serial(), &keys.serial) {
                let pair = (own.clone(), other.clone());
                match ruling {
                    Ruling::Same(_) if own != other => drop(ruled.serials.insert(pair.0, pair.1)),
                    Ruling::Same(_) => drop(ruled.serial_is_one.insert(own.clone(), true)),
                    Ruling::Different(_) if own == other => drop(ruled.serial_is_one.insert(own.clone(), false)),
                    Ruling::Different(_) => drop(ruled.serials_apart.insert(pair)),
                    _ => {}
                }
            }
            let other = prefixes.applied(named.clone().keys(Keys { site: keys.site.clone(), ..Keys::default() }));
            let (Some(own), Some(other)) = (keys.position(), other.position()) else { continue };
            match ruling {
                Ruling::Same(_) => {
                    ruled.position_is_one.insert(own.clone(), true);
                    ruled.same.insert((own, other));
                }
                Ruling::Different(_) if own == other => drop(ruled.position_is_one.insert(own, false)),
                Ruling::Different(_) => drop(ruled.apart.insert((own, other))),
                Ruling::Since(_, on) => drop(ruled.moves.insert(Move { from: other, to: own, on: *on })),
                Ruling::Is(_) => {}
            }
        }
    }
    ruled
}

/// Positions that records call by an earlier tag.
fn earlier_names(
    mentions: &[MentionIn<'_>],
    keys: &[Keys],
    prefixes: &Prefixes,
    same: &mut BTreeSet<(Position, Position)>,
) {
    for (_, keys) in mentions.iter().zip(keys).filter(|(mention, _)| mention.mention.renumbered.is_none()) {
        let Some(now) = keys.position() else { continue };
        for text in &keys.earlier {
            let old = prefixes.read(text, keys.site.as_ref()).map_or_else(|| tag::fold(text), |(_, tag)| tag);
            if !old.is_empty() && old != now.1 && !is_nobody(text) {
                same.insert((now.clone(), (now.0.clone(), old)));
            }
        }
    }
}

fn stand(mentions: &[MentionIn<'_>], keys: &[Keys], positions: &Positions) -> Stand {
    let mut stand = Stand::default();
    for (mention, keys) in mentions.iter().zip(keys) {
        if let (Some(position), Some(serial)) = (keys.position(), &keys.serial)
            && let Some(home) = positions.home(&position)
        {
            stand.add(&home, serial, mention.on);
        }
    }
    stand.done()
}

/// The one machine that a record can mean, or why there is none.
fn machine(keys: &Keys, on: Option<Date>, positions: &Positions, stand: &Stand, moves: &Moves) -> Result<Machine, Why> {
    if let Some(serial) = &keys.serial {
        return Ok(Machine::Serial(serial.clone()));
    }
    let Some(position) = keys.position() else { return Err(Why::NoName) };
    let home = positions.home(&position).ok_or(Why::Sites(position.1))?;
    let (home, on) = match moves.origin(home, on) {
        Origin::At(home, on) => (home, on),
        Origin::After(home, left) => return Ok(Machine::At(home, Some(left))),
        Origin::Undated => return Err(Why::UndatedMove),
    };
    match stand.occupant(&home, on) {
        Occupant::Machine(serial) => Ok(Machine::Serial(serial)),
        Occupant::Unnumbered => Ok(Machine::At(home, None)),
        Occupant::Open(serials) => Err(Why::Motors(home, serials)),
    }
}

fn assets<'f>(
    mentions: &[MentionIn<'_>],
    found: &'f [Result<Machine, Why>],
    decisions: &[Decision],
) -> (Vec<Built>, HashMap<&'f Machine, String>) {
    let plates: Vec<Decision> =
        decisions.iter().filter(|decision| decision.question == Question::Nameplate).cloned().collect();
    let known = mentions.iter().zip(found).filter_map(|(mention, machine)| Some((machine.as_ref().ok()?, mention)));
    let members = grouped(known);
    let mut ids = HashMap::with_capacity(members.len());
    let mut assets = Vec::with_capacity(members.len());
    for (machine, members) in members {
        let built = asset::build(&machine.key(), &members, &plates);
        ids.insert(machine, built.asset.asset_id.clone());
        assets.push(built);
    }
    assets.sort_by(|Built { asset: a, .. }, Built { asset: b, .. }| {
        (&a.site, &a.tag, &a.asset_id).cmp(&(&b.site, &b.tag, &b.asset_id))
    });
    (assets, ids)
}
