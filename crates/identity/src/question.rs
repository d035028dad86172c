//! Questions about machines, with the evidence side by side.

mod sites;

use crate::asset::most_told;
use crate::evidence::{Evidence, Profile, SURE, compare, total};
use crate::keys::{Keys, Position};
use crate::nameplate::named_at as place;
use crate::namesakes::Alike;
use crate::positions::{Likely, Positions};
use crate::renumber::OpenLine;
use crate::resolve::{Machine, MentionIn};
use crate::ruling::Named;
use crate::stand::Stand;
use sites::Sites;
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::id::row_id;
use windrow_model::{Hold, Question, Text};

/// Why a record is of no machine.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Why {
    /// Neither tag nor serial number is told, or a word that names no machine.
    NoName,
    /// Several sites have this folded tag, and no site is told.
    Sites(String),
    /// Several machines stood at the position.
    Motors(Position, Vec<String>),
    /// Several machines share the name, and the record tells no nameplate that names one of them.
    Namesakes(Vec<Machine>),
    /// A person ruled when the machine of the position changed, and the record has no date.
    UndatedMove,
}

/// What is known when questions are asked.
pub(crate) struct Open<'a> {
    pub(crate) mentions: &'a [MentionIn<'a>],
    pub(crate) keys: &'a [Keys],
    pub(crate) positions: &'a Positions,
    pub(crate) stand: &'a Stand,
    pub(crate) found: &'a [Result<Machine, Why>],
    /// Machines of one name that a person should look at.
    pub(crate) alike: &'a [Alike],
    /// Lines of lists of renumbered machines that no day settles.
    pub(crate) unsettled: &'a [OpenLine],
}

/// Most machines offered as an answer.
const MOST_CHOICES: usize = 12;

/// All questions, sorted by id.
pub(crate) fn holds(open: &Open<'_>, serials_apart: &BTreeSet<(String, String)>) -> Vec<Hold> {
    let names = Names::of(open);
    let mut sites = Sites::new(open);
    let mut holds: BTreeMap<Text, Hold> = BTreeMap::new();
    for ((mention, keys), found) in open.mentions.iter().zip(open.keys).zip(open.found) {
        if let Err(why) = found
            && let Some(hold) = which(mention, keys, why, &names, &mut sites)
        {
            holds.insert(hold.hold_id.clone(), hold);
        }
    }
    let likely = open.positions.likely.iter().filter_map(|likely| positions_alike(likely, open, &names));
    let serials = open.stand.neighbours().into_iter().filter(|(a, b)| {
        !serials_apart.contains(&(a.clone(), b.clone())) && !serials_apart.contains(&(b.clone(), a.clone()))
    });
    let numbered = numbered(open);
    let serials = serials.filter_map(|(a, b)| serials_alike(&a, &b, &numbered, open, &names));
    let namesakes = open.alike.iter().filter_map(|alike| namesakes(alike, open, &names));
    let renumbered = open.unsettled.iter().filter_map(|line| renumbered(line, open, &names));
    for hold in likely.chain(serials).chain(namesakes).chain(renumbered) {
        holds.insert(hold.hold_id.clone(), hold);
    }
    holds.into_values().collect()
}

/// Names as people write them.
struct Names {
    sites: BTreeMap<String, String>,
    tags: BTreeMap<Position, String>,
    serials: BTreeMap<String, String>,
}

impl Names {
    fn of(open: &Open<'_>) -> Self {
        let mut sites: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
        let mut serials: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
        for (mention, keys) in open.mentions.iter().zip(open.keys) {
            if let (Some(told), Some(site)) = (&mention.mention.site, &keys.site) {
                sites.entry(site).or_default().push(told.value.trim());
            }
            if let (Some(told), Some(serial)) = (&mention.mention.serial, &keys.serial) {
                serials.entry(serial).or_default().push(told.value.trim());
            }
        }
        let best = |all: BTreeMap<&str, Vec<&str>>| {
            all.into_iter()
                .filter_map(|(key, texts)| Some((key.to_owned(), most_told(texts.into_iter())?.to_owned())))
                .collect()
        };
        let tags = open.positions.mentions.iter().filter_map(|(position, indexes)| {
            let written = indexes.iter().filter_map(|index| open.keys.get(*index)?.written.as_deref());
            Some((position.clone(), most_told(written)?.to_owned()))
        });
        Self { sites: best(sites), tags: tags.collect(), serials: best(serials) }
    }

    fn position(&self, position: &Position) -> String {
        let tag = self.tags.get(position).map_or(position.1.as_str(), String::as_str);
        let site = position.0.as_ref().map(|site| self.sites.get(site).map_or(site.as_str(), String::as_str));
        Named::write(tag, site)
    }

    fn serial(&self, serial: &str) -> String {
        Named::write_serial(self.serials.get(serial).map_or(serial, String::as_str))
    }

    fn machine(&self, machine: &Machine) -> String {
        match machine {
            Machine::Serial(serial) => self.serial(serial),
            Machine::At(position, _) => self.position(position),
            Machine::Like(of, label) => Named::write_label(&self.machine(of), label),
        }
    }
}

fn hold(
    mention: &MentionIn<'_>,
    question: Question,
    other: &str,
    choices: Vec<String>,
    context: String,
) -> Option<Hold> {
    let (place, text) = place(mention)?;
    let sheet = place.sheet.as_deref().unwrap_or_default();
    let key = [mention.source_file, sheet, &place.cell, question.code(), other];
    Some(Hold {
        hold_id: row_id("holds", &key),
        import_id: Text::default(),
        source_file: mention.source_file.into(),
        source_sheet: place.sheet.clone(),
        source_cell: (!place.cell.is_empty()).then(|| place.cell.clone()),
        raw_text: text.into(),
        question: question.code().into(),
        choices,
        context: context.into(),
        cause: format!("machine {text}{other}").into(),
        resolved_by: None,
    })
}

fn which(mention: &MentionIn<'_>, keys: &Keys, why: &Why, names: &Names, sites: &mut Sites<'_>) -> Option<Hold> {
    let (choices, context) = match why {
        // A register's line without a name is no record of a test.
        Why::NoName if mention.test.is_none() => return None,
        Why::NoName => {
            let told = mention.mention.tag.as_ref().map(|told| format!("\"{}\" names no machine", told.value.trim()));
            (Vec::new(), told.unwrap_or_else(|| "the record tells neither tag nor serial number".to_owned()))
        }
        Why::Sites(tag) => {
            let (choices, side_by_side) = sites.of(tag, names);
            let written = keys.written.as_deref().unwrap_or_default();
            (
                choices,
                format!(
                    "several sites have a machine of the tag {written}, and nothing near this record tells the site: {side_by_side}"
                ),
            )
        }
        Why::Motors(home, serials) => (
            serials.iter().take(MOST_CHOICES).map(|serial| names.serial(serial)).collect(),
            format!(
                "several machines stood at {} or left it, and the day of this record does not tell which",
                names.position(home)
            ),
        ),
        Why::Namesakes(machines) => (
            machines.iter().take(MOST_CHOICES).map(|machine| names.machine(machine)).collect(),
            "the nameplates told under this name are of several machines, and neither this record nor its file tells which of them"
                .to_owned(),
        ),
        Why::UndatedMove => {
            (Vec::new(), "the machine of this position changed on a ruled day, and this record tells no day".to_owned())
        }
    };
    hold(mention, Question::Machine, "", choices, context)
}

fn told(evidence: &[Evidence]) -> String {
    let part = |one: &Evidence| match (one.a.as_str(), one.b.as_str()) {
        ("", "") => format!("{} ({:+.1})", one.what, one.weight),
        (a, b) => format!("{} ({a} / {b}, {:+.1})", one.what, one.weight),
    };
    let parts: Vec<String> = evidence.iter().map(part).collect();
    format!("{}; sum {:+.1}, sure from {SURE:+.1}", parts.join("; "), total(evidence))
}

/// The mention among `indexes` that stands first in the order of sources.
fn first<'a>(open: &Open<'a>, indexes: &[usize]) -> Option<&'a MentionIn<'a>> {
    let all = indexes.iter().filter_map(|index| open.mentions.get(*index));
    all.filter(|mention| place(mention).is_some()).min_by_key(|mention| (mention.source_file, place(mention)))
}

fn choices(other: &str) -> Vec<String> {
    vec![format!("same as {other}"), format!("different from {other}"), format!("moved from {other} on YYYY-MM-DD")]
}

fn positions_alike(likely: &Likely, open: &Open<'_>, names: &Names) -> Option<Hold> {
    // Names that became one through others are asked about no more.
    if open.positions.canonical(&likely.a) == open.positions.canonical(&likely.b) {
        return None;
    }
    let other = names.position(&likely.a);
    let mention = first(open, open.positions.mentions.get(&likely.b)?)?;
    let context = format!("{} may be {other}: {}", names.position(&likely.b), told(&likely.evidence));
    hold(mention, Question::SameMachine, &format!(" / {other}"), choices(&other), context)
}

fn namesakes(alike: &Alike, open: &Open<'_>, names: &Names) -> Option<Hold> {
    let ((a, first_of_a), (b, first_of_b)) = (&alike.a, &alike.b);
    let (other, mention) = (names.machine(a), first(open, first_of_b)?);
    let told_in = |members: &[usize]| first(open, members).map_or("", |mention| mention.source_file);
    let context = format!(
        "{other} (told in {}) and {} (told in {}) share a name: {}",
        told_in(first_of_a),
        names.machine(b),
        told_in(first_of_b),
        told(&alike.evidence)
    );
    let choices = vec![format!("same as {other}"), format!("different from {other}")];
    hold(mention, Question::SameMachine, &format!(" / {other}"), choices, context)
}

fn renumbered(line: &OpenLine, open: &Open<'_>, names: &Names) -> Option<Hold> {
    let mention = open.mentions.get(line.index)?;
    let (old, new) = (names.position(&line.old), names.position(&line.new));
    let why = if line.sites {
        "several sites have machines of these tags, and the list tells no site"
    } else {
        "one of these tags was given again to another machine, and the list tells no day from which on"
    };
    let choices = vec![
        format!("renamed from {old}"),
        format!("renamed from {old} on YYYY-MM-DD"),
        format!("different from {old}"),
    ];
    let context = format!("a list of renumbered machines gives {new} to what was {old}, but {why}");
    hold(mention, Question::SameMachine, &format!(" / {old}"), choices, context)
}

/// Mentions of each serial number.
fn numbered<'a>(open: &Open<'a>) -> BTreeMap<&'a str, Vec<usize>> {
    let mut numbered: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for (index, keys) in open.keys.iter().enumerate() {
        if let Some(serial) = &keys.serial {
            numbered.entry(serial).or_default().push(index);
        }
    }
    numbered
}

fn serials_alike(
    a: &str,
    b: &str,
    numbered: &BTreeMap<&str, Vec<usize>>,
    open: &Open<'_>,
    names: &Names,
) -> Option<Hold> {
    let mention = first(open, numbered.get(b)?)?;
    let side = |serial: &str| Profile { serials: BTreeSet::from([serial.to_owned()]), ..Profile::default() };
    let other = names.serial(a);
    let context =
        format!("{} stood at the same position as {other}: {}", names.serial(b), told(&compare(&side(a), &side(b))));
    hold(mention, Question::SameMachine, &format!(" / {other}"), choices(&other), context)
}
