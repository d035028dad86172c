//! Every operation, once: address, what it is for, what it takes, what it gives, what does it.

use super::{Asked, outcomes, read, write};
use crate::app::Shared;
use crate::trouble::Trouble;
use serde_json::Value;
use windrow_model::Finding;

/// Methods in use.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Method {
    Get,
    Post,
}

/// What answers.
#[derive(Clone, Copy)]
pub(crate) enum Work {
    /// Rows, or a change.
    Rows(fn(&Shared, &Asked) -> Result<Value, Trouble>),
    /// SQL, in a process of its own.
    Sql,
    /// The description of all operations.
    Description,
}

/// What an answer is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Gives {
    /// `{"total": N, NAME: [rows of a table]}`.
    List(&'static str, &'static str),
    /// One row of a table.
    Row(&'static str),
    /// Rows of several tables by name.
    Rows(&'static [&'static str]),
    /// Groups of questions.
    Questions,
    /// Rulings.
    Rulings,
    /// How the work in the background stands.
    State,
    /// What was written.
    Written,
    /// What was written, was known, and could not be used.
    Taken,
    /// An answer to SQL.
    Answer,
    /// A description of this interface.
    Description,
}

/// A parameter of the query string, or a field of the body.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Takes {
    pub(crate) name: &'static str,
    pub(crate) kind: Kind,
    pub(crate) is_needed: bool,
    pub(crate) doc: &'static str,
}

/// Type of a parameter or field.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    Text,
    Number,
    Texts,
    OneOf(&'static [&'static str]),
    /// One object or more, each with these fields.
    Rows(&'static [Takes]),
}

/// An operation.
#[derive(Clone, Copy)]
pub(crate) struct Operation {
    pub(crate) method: Method,
    pub(crate) path: &'static str,
    pub(crate) name: &'static str,
    pub(crate) doc: &'static str,
    pub(crate) takes: &'static [Takes],
    pub(crate) gives: Gives,
    pub(crate) work: Work,
}

const fn may(name: &'static str, kind: Kind, doc: &'static str) -> Takes {
    Takes { name, kind, is_needed: false, doc }
}

const fn must(name: &'static str, kind: Kind, doc: &'static str) -> Takes {
    Takes { name, kind, is_needed: true, doc }
}

const fn reads(
    path: &'static str,
    name: &'static str,
    doc: &'static str,
    takes: &'static [Takes],
    gives: Gives,
    work: fn(&Shared, &Asked) -> Result<Value, Trouble>,
) -> Operation {
    Operation { method: Method::Get, path, name, doc, takes, gives, work: Work::Rows(work) }
}

const fn changes(
    path: &'static str,
    name: &'static str,
    doc: &'static str,
    takes: &'static [Takes],
    gives: Gives,
    work: fn(&Shared, &Asked) -> Result<Value, Trouble>,
) -> Operation {
    Operation { method: Method::Post, path, name, doc, takes, gives, work: Work::Rows(work) }
}

const LIMIT: Takes = may("limit", Kind::Number, "Most rows that are given: 100 without it, 1000 at most.");
const OFFSET: Takes = may("offset", Kind::Number, "Rows that are passed over.");
const LEVEL: Kind = Kind::OneOf(&Finding::LEVELS);
const BY: Takes = may("by", Kind::Text, "Who says so.");

/// What is told of one finding; `windrow feed --receive` takes the same as columns.
pub(super) const OUTCOME: &[Takes] = &[
    must(
        "finding_id",
        Kind::Text,
        "Id of the finding, as the event or the template told it; its first eight characters are enough.",
    ),
    may(
        "outcome",
        Kind::OneOf(&["acknowledged", "confirmed", "nothing_found", "repaired"]),
        "What people found; acknowledged without it.",
    ),
    may("work_order", Kind::Text, "Number of the work order."),
    may("failure_mode", Kind::Text, "ISO 14224 code of the failure mode."),
    BY,
    may("on", Kind::Text, "Day: 2026-11-28."),
    may("reason", Kind::Text, "What was seen or done."),
];

/// All of them.
pub(crate) const OPERATIONS: &[Operation] = &[
    Operation {
        method: Method::Get,
        path: "/openapi.json",
        name: "describe",
        doc: "This description.",
        takes: &[],
        gives: Gives::Description,
        work: Work::Description,
    },
    reads(
        "/machines",
        "machines",
        "Machines by site and tag.",
        &[
            may("q", Kind::Text, "Words that tag, site, serial number or description must hold."),
            may("site", Kind::Text, "Machines of this site."),
            LIMIT,
            OFFSET,
        ],
        Gives::List("machines", "assets"),
        read::machines,
    ),
    reads(
        "/machines/{id}",
        "machine",
        "One machine with its tests, readings, summaries, coverage and findings.",
        &[],
        Gives::Rows(&["assets", "tests", "readings", "test_summary", "coverage", "findings"]),
        read::machine,
    ),
    reads(
        "/findings",
        "findings",
        "Findings, most pressing first.",
        &[
            may("level", LEVEL, "Findings of this level."),
            may("state", Kind::OneOf(&["open", "acknowledged", "cleared", "all"]), "Their state; open without it."),
            LIMIT,
            OFFSET,
        ],
        Gives::List("findings", "findings"),
        read::findings,
    ),
    reads("/findings/{id}", "finding", "One finding with its working.", &[], Gives::Row("findings"), read::finding),
    changes(
        "/findings/{id}/word",
        "say",
        "Closes a finding at its level, or takes that back. Refused with 409 where the finding is otherwise by now.",
        &[
            must("word", Kind::OneOf(&["acknowledged", "taken_back"]), "What is said."),
            must("reason", Kind::Text, "Why."),
            BY,
            may("level", LEVEL, "The level that was seen; refused where it is another now."),
        ],
        Gives::Written,
        write::say,
    ),
    changes(
        "/outcomes",
        "take_outcomes",
        "Takes acknowledgements, work orders and what people found from a maintenance system, and judges the fleet again. An outcome that \
         cannot be used, be it for one misspelt field, is told in `wrong` by its number, the field and what is expected, and the rest is taken; \
         400 where none can be. The same again changes nothing.",
        &[must("outcomes", Kind::Rows(OUTCOME), "What is told, one for each finding.")],
        Gives::Taken,
        outcomes::take,
    ),
    reads(
        "/questions",
        "questions",
        "Open questions, one for each cause; the ones that concern most cells first.",
        &[LIMIT, OFFSET],
        Gives::Questions,
        read::questions,
    ),
    changes(
        "/questions/{id}/answer",
        "answer",
        "Answers a question. Refused with 409 where another answer was given since `seen` was read.",
        &[
            must(
                "answer",
                Kind::Text,
                "The answer, one of its choices or in the form that it wants, or \"no reading\".",
            ),
            must("seen", Kind::Text, "`seen` of the question as it was read."),
            may(
                "holds",
                Kind::Texts,
                "hold_ids of the cells that are meant; all of them without it, but where records of several machines are asked about: there \
                 only \"no reading\" is for all.",
            ),
            may("why", Kind::Text, "Why."),
            BY,
        ],
        Gives::Written,
        write::answer,
    ),
    reads("/decisions", "decisions", "Answers given so far.", &[], Gives::Rulings, read::decisions),
    changes(
        "/decisions/take-back",
        "take_back",
        "Takes an answer back.",
        &[must("ruling", Kind::Text, "`ruling` of the answer as it was read.")],
        Gives::Written,
        write::take_back,
    ),
    reads(
        "/sources",
        "sources",
        "Sources with what was read, held and unread.",
        &[LIMIT, OFFSET],
        Gives::List("sources", "sources"),
        read::sources,
    ),
    reads(
        "/cells",
        "cells",
        "Cells of one source, with what became of each.",
        &[
            must("file", Kind::Text, "source_file of the source."),
            may("sheet", Kind::Text, "Cells of this sheet."),
            LIMIT,
            OFFSET,
        ],
        Gives::List("cells", "cells"),
        read::cells,
    ),
    reads(
        "/readings/{id}",
        "reading",
        "One reading with its derivation from the cell.",
        &[],
        Gives::Row("readings"),
        read::reading,
    ),
    reads(
        "/work",
        "work",
        "How the work in the background stands, and whether answers wait to be applied.",
        &[],
        Gives::State,
        read::work,
    ),
    changes(
        "/apply",
        "apply",
        "Begins to read the records again with the answers that stand, and to judge them.",
        &[],
        Gives::State,
        write::apply,
    ),
    Operation {
        method: Method::Post,
        path: "/query",
        name: "query",
        doc: "Answers one SQL statement that reads, under limits of rows, time and memory. Ending the connection cancels it.",
        takes: &[
            must("sql", Kind::Text, "One statement: SELECT, WITH, SHOW TABLES or EXPLAIN."),
            may("form", Kind::OneOf(&["json", "csv", "parquet"]), "Form of the answer; json without it."),
            may("rows", Kind::Number, "Most rows that are given."),
        ],
        gives: Gives::Answer,
        work: Work::Sql,
    },
];
