//! Lists of machines that were given other tags: "old tag, new tag, from when".
//!
//! Mostly the two tags are two names of one position, whenever a record was written. Where a tag is given again to another machine,
//! a tag names different machines before and after the day, and the day decides; a list that tells no day then leaves it open.

use crate::keys::{Keys, Position};
use crate::prefix::Prefixes;
use crate::resolve::MentionIn;
use crate::ruling::Move;
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};
use windrow_text::naming::is_nobody;
use windrow_text::tag;

/// What lists say of tags.
#[derive(Debug, Default)]
pub(crate) struct Renumbering {
    /// Names of one position.
    pub(crate) same: BTreeSet<(Position, Position)>,
    /// Tags that named another machine before a day.
    pub(crate) moves: BTreeSet<Move>,
    /// Lines that no day settles.
    pub(crate) open: Vec<OpenLine>,
}

/// A line that leaves open whose tag it was.
#[derive(Debug)]
pub(crate) struct OpenLine {
    /// The mention, as an index.
    pub(crate) index: usize,
    pub(crate) old: Position,
    pub(crate) new: Position,
    /// Whether several sites have these tags, rather than one tag several machines.
    pub(crate) sites: bool,
}

/// A line of a list.
struct Line {
    index: usize,
    old: Position,
    new: Position,
    on: Option<Date>,
}

/// Reads all lists among the mentions.
pub(crate) fn read(mentions: &[MentionIn<'_>], keys: &[Keys], prefixes: &Prefixes) -> Renumbering {
    let mut found = Renumbering::default();
    let lines = lines(mentions, keys, prefixes);
    if lines.is_empty() {
        return found;
    }
    let used = Used::of(mentions, keys);
    let mut sited = Vec::new();
    for line in lines {
        match used.at_one_site(line) {
            Ok(line) => sited.push(line),
            Err(Line { index, old, new, .. }) => found.open.push(OpenLine { index, old, new, sites: true }),
        }
    }
    let old: BTreeSet<Position> = sited.iter().map(|line| line.old.clone()).collect();
    let new: BTreeSet<Position> = sited.iter().map(|line| line.new.clone()).collect();
    for Line { index, old: from, new: to, on } in sited {
        let before = on.is_some_and(|on| used.first.get(&to).is_some_and(|first| *first < on));
        let given_again = new.contains(&from) || old.contains(&to) || before;
        match on {
            Some(on) if given_again => drop(found.moves.insert(Move { from, to, on })),
            None if given_again => found.open.push(OpenLine { index, old: from, new: to, sites: false }),
            _ => drop(found.same.insert((to, from))),
        }
    }
    found
}

fn lines(mentions: &[MentionIn<'_>], keys: &[Keys], prefixes: &Prefixes) -> Vec<Line> {
    let mut lines = Vec::new();
    for (index, (mention, keys)) in mentions.iter().zip(keys).enumerate() {
        let (Some(renumbered), Some(new)) = (&mention.mention.renumbered, keys.position()) else { continue };
        for told in mention.mention.other_tags.iter().filter(|told| !is_nobody(&told.value)) {
            let text = told.value.trim();
            let read = prefixes.read(text, new.0.as_ref());
            let old = read.map_or_else(|| (new.0.clone(), tag::fold(text)), |(site, tag)| (Some(site), tag));
            if old.1 != new.1 && !old.1.is_empty() {
                let on = renumbered.on.as_ref().map(|told| told.value.first);
                lines.push(Line { index, old, new: new.clone(), on });
            }
        }
    }
    lines
}

/// Tags as records use them.
pub(crate) struct Used {
    sites: BTreeMap<String, BTreeSet<String>>,
    first: BTreeMap<Position, Date>,
}

impl Used {
    pub(crate) fn of(mentions: &[MentionIn<'_>], keys: &[Keys]) -> Self {
        let mut used = Self { sites: BTreeMap::new(), first: BTreeMap::new() };
        for (mention, keys) in mentions.iter().zip(keys) {
            let Some(position) = keys.position() else { continue };
            if let Some(site) = &position.0 {
                used.sites.entry(position.1.clone()).or_default().insert(site.clone());
            }
            if let (Some(on), None) = (mention.on, &mention.mention.renumbered) {
                let first = used.first.entry(position).or_insert(on);
                *first = on.min(*first);
            }
        }
        used
    }

    /// The line at the one site that its tags are of; the line itself if several sites have them.
    fn at_one_site(&self, line: Line) -> Result<Line, Line> {
        match self.pair_at_one_site(line.new.clone(), line.old.clone()) {
            Some((new, old)) => Ok(Line { old, new, ..line }),
            None => Err(line),
        }
    }

    /// Two names at the one site that they are of; `None` if several sites have them.
    pub(crate) fn pair_at_one_site(&self, a: Position, b: Position) -> Option<(Position, Position)> {
        let mut sites: BTreeSet<String> = a.0.iter().chain(&b.0).cloned().collect();
        if sites.is_empty() {
            let tags = [&a.1, &b.1];
            sites.extend(tags.into_iter().filter_map(|tag| self.sites.get(tag)).flatten().cloned());
        }
        if sites.len() > 1 {
            return None;
        }
        let site = sites.pop_first();
        Some(((site.clone(), a.1), (site, b.1)))
    }
}
