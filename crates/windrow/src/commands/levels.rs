//! `windrow levels`: what each standard asks of a winding, which insulation that stresses, and what it cannot see.

use super::assets;
use crate::args::{LevelsArgs, ListFormat, Standards};
use crate::{Ending, output};
use std::fmt::Write;
use windrow_analyze::nameplate;
use windrow_criteria::asked::{Asks, Table, Undecided};
use windrow_criteria::{Family, Known, Machine, Preference, State, TestFacts, asked, cautions, facts};
use windrow_model::Asset;
use windrow_model::settings::{JudgingSettings, StandardFamily};
use windrow_store::Fleet;
use windrow_tasks::{WrongUsage, clock};

pub(crate) fn run(args: &LevelsArgs) -> anyhow::Result<Ending> {
    let judging = match &args.fleet {
        Some(fleet) => Fleet::open(fleet)?.settings()?.judging,
        None => JudgingSettings::default(),
    };
    let judging = match args.prefer {
        Some(prefer) => JudgingSettings { standards: family(prefer), ..judging },
        None => judging,
    };
    let prefer = Preference::of(&judging);
    let state = args.service.state();
    let (name, machine) = match (&args.machine, &args.fleet, args.voltage) {
        (Some(name), Some(fleet), None) => of_fleet(name, fleet, &judging)?,
        (None, _, Some(volts)) => (String::new(), of_args(args, volts)),
        _ => {
            let text = "name either a machine and its fleet (windrow levels P-101 --fleet plant) or a rating (windrow levels \
                        --voltage 480 --winding random)";
            return Err(WrongUsage(text.to_owned()).into());
        }
    };
    match asked::of(&machine, state, prefer) {
        Ok(table) => {
            print(&table, &heading(&name, &machine, state, prefer), args.format)?;
            Ok(Ending::Clean)
        }
        // A figure of the records waits for a person; a figure of the command line is wrong usage.
        Err(missing) if args.voltage.is_none() => {
            output::note(&format!("no levels for {name}: {missing}; {}", how_to_settle()));
            Ok(Ending::Open)
        }
        Err(missing) => Err(WrongUsage(format!("no levels: {missing}")).into()),
    }
}

const fn how_to_settle() -> &'static str {
    "answer the question where windrow holds lists it, tell the voltage where the records name the machine (windrow decide nameplate \
     \"6600 V\" --file FILE --cells A2), or correct the source and import again; [judging] line_voltages in windrow.toml confirms \
     voltages that only look like phase voltages"
}

fn of_fleet(name: &str, fleet: &std::path::Path, judging: &JudgingSettings) -> anyhow::Result<(String, Machine)> {
    let all = Fleet::open(fleet)?.snapshot()?.rows::<Asset>()?;
    let asset = assets::find(&all, name)?;
    let today = clock::today();
    Ok((asset.tag.clone(), nameplate::machine(asset, Some(today), judging)))
}

fn of_args(args: &LevelsArgs, volts: f64) -> Machine {
    Machine {
        rated_voltage_v: Some(volts),
        winding_kind: args.winding.map(|winding| winding.code().to_owned()),
        made_year: args.made,
        insulation_era: None,
        insulation_class: args.class.clone(),
        rated_power_w: args.power_kw.map(|power| power * 1000.0),
        part: args.part.part(),
        voltage_confirmed: args.line_to_line,
    }
}

fn family(prefer: Standards) -> StandardFamily {
    match prefer {
        Standards::Ieee => StandardFamily::Ieee,
        Standards::Iec => StandardFamily::Iec,
        Standards::Repair => StandardFamily::Repair,
    }
}

fn heading(name: &str, machine: &Machine, state: State, prefer: Preference) -> String {
    let mut parts: Vec<String> = Vec::new();
    parts.extend((!name.is_empty()).then(|| name.to_owned()));
    parts.extend(machine.rated_voltage_v.map(|volts| format!("{volts} V")));
    parts.extend(machine.winding_kind.as_ref().map(|kind| format!("{kind}-wound")));
    parts.push(state.words().to_owned());
    format!("{}; {} first, the others beside it", parts.join(", "), whose(prefer.family))
}

fn print(table: &Table, heading: &str, format: ListFormat) -> anyhow::Result<()> {
    if format == ListFormat::Table {
        return output::data(text(table, heading).as_bytes());
    }
    let header = [
        "test",
        "asks",
        "value",
        "up_to",
        "unit",
        "stresses",
        "cannot_see",
        "before",
        "scope",
        "front",
        "duration_s",
        "whose",
        "rule",
        "basis",
        "known",
        "caution",
    ];
    let asked = table.asks.iter().map(row);
    let open = table.undecided.iter().map(open_row);
    let rows: Vec<Vec<String>> =
        asked.chain(open).chain(table.unlimited.iter().map(|test| unlimited_row(test))).collect();
    output::list(&header, &rows, format)
}

fn row(asks: &Asks) -> Vec<String> {
    let number = |value: Option<f64>| value.map(|value| value.to_string()).unwrap_or_default();
    vec![
        asks.test.kind().to_owned(),
        asks.figure(),
        number(Some(asks.value)),
        number(asks.up_to),
        asks.rule.unit().to_owned(),
        asks.test.stresses_in_words(),
        asks.test.cannot_see.clone(),
        asks.test.before.clone(),
        asks.rule.scope.clone(),
        asks.rule.front.clone().unwrap_or_default(),
        number(asks.rule.duration_s),
        whose(asks.rule.family).to_owned(),
        asks.rule.id.clone(),
        asks.basis.clone(),
        known(asks.rule.known).to_owned(),
        asks.caution.to_owned(),
    ]
}

fn open_row(open: &Undecided) -> Vec<String> {
    row_without_figure(open.test, undecided(open), open.rules.join(" "))
}

fn unlimited_row(test: &TestFacts) -> Vec<String> {
    row_without_figure(test, test.no_limit.clone().unwrap_or_default(), String::new())
}

fn row_without_figure(test: &TestFacts, told: String, rules: String) -> Vec<String> {
    let none = String::new;
    vec![
        test.kind().to_owned(),
        told,
        none(),
        none(),
        none(),
        test.stresses_in_words(),
        test.cannot_see.clone(),
        test.before.clone(),
        none(),
        none(),
        none(),
        none(),
        rules,
        none(),
        none(),
        cautions::HIGH_VOLTAGE.to_owned(),
    ]
}

fn undecided(open: &Undecided) -> String {
    format!("not decided: the records do not tell {} ({})", open.field, open.rules.join(", "))
}

fn text(table: &Table, heading: &str) -> String {
    let mut out = format!("{heading}\n");
    for test in facts::in_order() {
        block(&mut out, table, test);
    }
    out.push_str("\nCautions\n");
    for caution in cautions::GENERAL.iter().chain([&cautions::HIGH_VOLTAGE, &cautions::CONDUCTOR]) {
        let _ = writeln!(out, "- {caution}");
    }
    out
}

/// What is asked in `test`; nothing where nobody asks or says anything of it.
fn block(out: &mut String, table: &Table, test: &TestFacts) {
    let asks: Vec<&Asks> = table.asks.iter().filter(|asks| asks.test.kind() == test.kind()).collect();
    let open: Vec<&Undecided> = table.undecided.iter().filter(|open| open.test.kind() == test.kind()).collect();
    let unlimited = table.unlimited.iter().find(|unlimited| unlimited.kind() == test.kind());
    if asks.is_empty() && open.is_empty() && unlimited.is_none() {
        return;
    }
    let _ = writeln!(
        out,
        "\n{}\n  stresses    {}\n  cannot see  {}\n  before      {}",
        test.title,
        test.stresses_in_words(),
        test.cannot_see,
        test.before
    );
    let width = asks.iter().map(|asks| figure(asks).chars().count()).max().unwrap_or(0);
    for asks in asks {
        let _ = writeln!(out, "  {:<width$}  {}; {}", figure(asks), asks.rule.scope, asks.basis);
    }
    for open in open {
        let _ = writeln!(out, "  {}", undecided(open));
    }
    if let Some(why) = unlimited.and_then(|test| test.no_limit.as_ref()) {
        let _ = writeln!(out, "  {why}");
    }
}

/// The figure with rise time or duration where they are part of it.
fn figure(asks: &Asks) -> String {
    let front = asks.rule.front.as_ref().map(|front| format!(", rise time {front}")).unwrap_or_default();
    let time = asks.rule.duration_s.map(|seconds| format!(", {seconds} s")).unwrap_or_default();
    format!("{}{front}{time}", asks.figure())
}

/// Whose rule it is, in words.
pub(crate) const fn whose(family: Family) -> &'static str {
    match family {
        Family::Ieee => "IEEE and NEMA",
        Family::Iec => "IEC",
        Family::Repair => "repair trade",
        Family::Practice => "common practice",
        Family::Historic => "past, never judged by",
    }
}

/// How a figure is known, in a word.
pub(crate) const fn known(known: Known) -> &'static str {
    match known {
        Known::Verified => "verified",
        Known::Quoted => "quoted",
        Known::Memory => "memory",
        Known::Practice => "practice",
    }
}
