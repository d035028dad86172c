//! What people ruled about machines.

use crate::keys::{Keys, Position, folded, serial};
use crate::nameplate::named;
use jiff::civil::Date;
use std::collections::BTreeMap;
use windrow_model::place::Place;
use windrow_model::raw::Mention;
use windrow_model::{Decision, Question};
use windrow_text::tag;

/// Between tag and site in the name of a machine.
const COMMA: &str = ", ";
const SERIAL: &str = "serial ";
/// Before what the nameplate tells, in the name of one of several machines that share a name.
const LABEL: &str = " [";

/// A machine as a question names it: `P-101A, North Station`, `P-101A` or `serial 58554-5801`; where several machines share the name,
/// with what the nameplate tells: `P-101A [6600 V, 450 kW]`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Named {
    site: Option<String>,
    tag: Option<String>,
    written: Option<String>,
    serial: Option<String>,
    label: Option<String>,
}

impl Named {
    /// Reads a name.
    #[must_use]
    pub fn read(text: &str) -> Self {
        let labelled = text.trim().strip_suffix(']').and_then(|text| text.rsplit_once(LABEL));
        let (text, label) = labelled.map_or((text, None), |(name, label)| (name, Some(label.to_owned())));
        if let Some(number) = text.trim().strip_prefix(SERIAL) {
            return Self { site: None, tag: None, written: None, serial: serial(number), label };
        }
        let (name, site) = text.split_once(COMMA).map_or((text, None), |(name, site)| (name, folded(site)));
        let tag = Some(tag::fold(name)).filter(|tag| !tag.is_empty());
        Self { site, written: tag.is_some().then(|| name.trim().to_owned()), tag, serial: None, label }
    }

    /// The name that [`Named::read`] reads.
    pub(crate) fn write(name: &str, site: Option<&str>) -> String {
        site.map_or_else(|| name.to_owned(), |site| format!("{name}{COMMA}{site}"))
    }

    /// The name of a machine by its serial number.
    pub(crate) fn write_serial(number: &str) -> String {
        format!("{SERIAL}{number}")
    }

    /// The name of one of several machines that share `name`.
    pub(crate) fn write_label(name: &str, label: &str) -> String {
        format!("{name}{LABEL}{label}]")
    }

    /// Keys that this name overrules; a name without a site leaves the site that was told.
    pub(crate) fn keys(self, told: Keys) -> Keys {
        Keys {
            site: self.site.or(told.site),
            written: self.written,
            tag: self.tag,
            serial: self.serial,
            label: self.label,
            ..told
        }
    }
}

/// An answer about machines, read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Ruling {
    /// The record is of this machine.
    Is(Named),
    /// Both names are one machine.
    Same(Named),
    /// The two are two machines.
    Different(Named),
    /// From a day on the machine that had the other name has this one; what then has the other name is another machine.
    Since(Named, Date),
}

/// Reads an answer to a question about machines.
///
/// # Errors
/// What was expected.
pub fn read(question: Question, answer: &str) -> Result<Ruling, String> {
    let answer = answer.trim();
    let ruling = match question {
        Question::Machine => (!answer.is_empty()).then(|| Ruling::Is(Named::read(answer))),
        Question::SameMachine => same(answer),
        _ => None,
    };
    ruling.ok_or_else(|| {
        "expected \"same as MACHINE\", \"different from MACHINE\", \"renamed from MACHINE\", or \"moved from MACHINE on 2015-06-01\", \
         where MACHINE is \"TAG, SITE\", \"TAG\" or \"serial NUMBER\""
            .to_owned()
    })
}

fn same(answer: &str) -> Option<Ruling> {
    if let Some(name) = answer.strip_prefix("same as ") {
        return Some(Ruling::Same(Named::read(name)));
    }
    if let Some(name) = answer.strip_prefix("different from ") {
        return Some(Ruling::Different(Named::read(name)));
    }
    let moved = answer.strip_prefix("moved from ");
    let rest = moved.or_else(|| answer.strip_prefix("renamed from "))?;
    match rest.rsplit_once(" on ") {
        Some((name, day)) => Some(Ruling::Since(Named::read(name), day.trim().parse().ok()?)),
        // A new name may hold from the beginning; a place cannot change without a day.
        None => moved.is_none().then(|| Ruling::Same(Named::read(rest))),
    }
}

/// Rulings on machines, by file.
pub(crate) struct Rulings<'d> {
    by_file: BTreeMap<Option<String>, Vec<(&'d Decision, Ruling)>>,
}

impl<'d> Rulings<'d> {
    pub(crate) fn of(decisions: &'d [Decision]) -> Self {
        let mut by_file: BTreeMap<_, Vec<_>> = BTreeMap::new();
        for decision in decisions {
            if let Ok(ruling) = read(decision.question, &decision.answer) {
                by_file.entry(decision.file.clone()).or_default().push((decision, ruling));
            }
        }
        Self { by_file }
    }

    /// Those on the cell that names the machine of a mention.
    pub(crate) fn on<'r>(&'r self, file: &str, mention: &Mention, test: Option<&Place>) -> Vec<&'r Ruling> {
        self.told_on(file, mention, test).into_iter().map(|(_, ruling)| ruling).collect()
    }

    /// As [`Rulings::on`], with the decisions that tell them.
    pub(crate) fn told_on<'r>(
        &'r self,
        file: &str,
        mention: &Mention,
        test: Option<&Place>,
    ) -> Vec<&'r (&'d Decision, Ruling)> {
        if self.by_file.is_empty() {
            return Vec::new();
        }
        let Some((place, text)) = named(mention, test) else {
            return Vec::new();
        };
        let concerned = self.by_file.get(&Some(file.to_owned())).into_iter().chain(self.by_file.get(&None)).flatten();
        concerned
            .filter(|(decision, _)| {
                // A ruling on no cells is about a whole file or sheet; one on no file would be about the whole fleet.
                (decision.cells.is_some() || decision.file.is_some())
                    && decision.concerns(file, place.sheet.as_deref())
                    && decision.covers(&place.cell)
                    && decision.fits(text)
            })
            .collect()
    }
}

/// From a day on, the machine of one position stands at another.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Move {
    pub(crate) from: Position,
    pub(crate) to: Position,
    pub(crate) on: Date,
}

impl Named {
    /// Whether it names one of several machines that share the name.
    pub(crate) const fn has_label(&self) -> bool {
        self.label.is_some()
    }

    pub(crate) fn serial(&self) -> Option<&String> {
        self.serial.as_ref()
    }
}
