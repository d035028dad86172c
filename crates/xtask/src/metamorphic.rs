//! `metamorphic`: files changed in ways that do not change what they say, read again. The readings must stay the same, or be
//! asked about where evidence was destroyed.

mod book;
mod compare;
mod container;
mod knowledge;
mod moves;
mod numbers;
#[cfg(test)]
mod tests;
mod units;
mod words;

use anyhow::{Context, bail};
use book::{Base, Bench};
use compare::{Tally, tally};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// Mutations by name, in the order of the matrix.
const MUTATIONS: [(&str, Change); 18] = [
    ("importer left out", knowledge::alone),
    ("drafted layout", knowledge::drafted),
    ("shifted", moves::shifted),
    ("blank rows", moves::blank_rows),
    ("wider gaps", moves::wider_gaps),
    ("columns reversed", moves::reversed_columns),
    ("turned over", moves::turned),
    ("sheets renamed", moves::renamed),
    ("synonyms", words::synonyms),
    ("other language", words::translated),
    ("gigohms", units::gigohms),
    ("decimal comma", numbers::commas),
    ("dates as ISO text", numbers::iso_dates),
    ("dates in words", numbers::worded_dates),
    ("saved as xlsx", container::xlsx),
    ("saved as ods", container::ods),
    ("saved as csv", container::csv),
    ("saved as html", container::html),
];

/// A change of a file that was read; nothing where it does not apply.
type Change = fn(&Base) -> Option<book::Changed>;

/// Counts by mutation, then by style.
type Matrix = BTreeMap<(usize, String), Tally>;

/// Changes, reads and compares; fails when a reading comes out different.
pub(crate) fn run(root: &Path, options: &[&str]) -> anyhow::Result<()> {
    let (mut only, mut containing, mut show, mut folder) = (None, None, 3, None);
    let mut options = options.iter();
    while let Some(option) = options.next() {
        let value = options.next().with_context(|| format!("{option} needs a value"))?;
        match *option {
            "--only" => only = Some(*value),
            "--in" => folder = Some(Path::new(*value)),
            "--files" => containing = Some(*value),
            "--show" => show = value.parse()?,
            other => bail!("unknown option {other}"),
        }
    }
    let bench = Bench::new()?;
    let wanted = |path: &PathBuf| containing.is_none_or(|part| path.to_string_lossy().contains(part));
    let mut files = Vec::new();
    let corpus = ["samples", "tests/corpus/open/files"].map(|part| root.join(part));
    let folders = folder.map_or(corpus.to_vec(), |folder| vec![folder.to_owned()]);
    for folder in folders {
        below(&folder, &mut files)?;
    }
    files.retain(wanted);
    let matrix = compare_all(&bench, root, &files, only);
    print(&matrix, show);
    let wrong: usize = matrix.values().map(|tally| tally.wrong).sum();
    if wrong > 0 {
        bail!("{wrong} readings came out different");
    }
    Ok(())
}

fn below(folder: &Path, files: &mut Vec<PathBuf>) -> anyhow::Result<()> {
    let entries = std::fs::read_dir(folder).with_context(|| format!("reading {}", folder.display()))?;
    let mut paths = entries.map(|entry| Ok(entry?.path())).collect::<anyhow::Result<Vec<_>>>()?;
    paths.sort();
    for path in paths {
        if path.is_dir() {
            below(&path, files)?;
        } else {
            files.push(path);
        }
    }
    Ok(())
}

/// Two threads, each with every second file.
fn compare_all(bench: &Bench, root: &Path, files: &[PathBuf], only: Option<&str>) -> Matrix {
    let half = |first: usize| {
        let mut matrix = Matrix::new();
        for path in files.iter().skip(first).step_by(2) {
            one_file(bench, root, path, only, &mut matrix);
        }
        matrix
    };
    std::thread::scope(|scope| {
        let other = scope.spawn(|| half(1));
        let mut matrix = half(0);
        for (key, tally) in other.join().unwrap_or_default() {
            matrix.entry(key).or_default().add(tally);
        }
        matrix
    })
}

fn one_file(bench: &Bench, root: &Path, path: &Path, only: Option<&str>, matrix: &mut Matrix) {
    let Some(base) = bench.read(path) else { return };
    let name = path.strip_prefix(root).unwrap_or(path);
    for (at, (mutation, change)) in MUTATIONS.iter().enumerate() {
        if only.is_some_and(|only| only != *mutation) {
            continue;
        }
        let Some(changed) = change(&base) else { continue };
        let found = bench.understand_changed(&base, &changed);
        let tally = tally(&name.display().to_string(), &base, &changed, &found);
        matrix.entry((at, style(name))).or_default().add(tally);
    }
}

/// The folder that a file lies in stands for its style.
fn style(name: &Path) -> String {
    let parent = name.parent().map(Path::display).map(|parent| parent.to_string()).unwrap_or_default();
    parent.strip_prefix("tests/corpus/open/files/").unwrap_or(&parent).to_owned()
}

fn print(matrix: &Matrix, show: usize) {
    println!(
        "{:<20} {:>7} {:>7} {:>7} {:>7} {:>7} {:>7} {:>7}",
        "mutation", "base", "same", "held", "less", "gone", "WRONG", "extra"
    );
    for (at, (mutation, _)) in MUTATIONS.iter().enumerate() {
        let mut total = Tally::default();
        for (_, tally) in matrix.iter().filter(|((of, _), _)| *of == at) {
            total.add(tally.clone());
        }
        if total.base > 0 {
            println!("{mutation:<20} {}", total.line());
        }
    }
    print_by_style(matrix);
    println!("\nwhere not all stayed the same:");
    for ((at, style), tally) in matrix.iter().filter(|(_, tally)| tally.same < tally.base || tally.extra > 0) {
        let mutation = MUTATIONS.get(*at).map_or("", |(name, _)| name);
        println!("{mutation:<20} {} {style}", tally.line());
        for note in tally.notes.iter().take(show) {
            println!("        {note}");
        }
    }
}

/// A line a style and a column a mutation: `=` where all readings stayed the same, else same/held or less told/wrong or gone.
fn print_by_style(matrix: &Matrix) {
    println!(
        "\nby style: = all the same, else same/held or less told/wrong, gone or extra; blank where it does not apply"
    );
    let numbers: Vec<String> = (1..=MUTATIONS.len()).map(|number| format!("{number:>11}")).collect();
    println!("{:<32}{}", "", numbers.join(""));
    let styles: std::collections::BTreeSet<&String> = matrix.keys().map(|(_, style)| style).collect();
    for style in styles {
        let cell = |at: usize| match matrix.get(&(at, style.clone())) {
            None => String::new(),
            Some(tally) if tally.same == tally.base && tally.extra == 0 => "=".to_owned(),
            Some(tally) => {
                format!("{}/{}/{}", tally.same, tally.held + tally.less, tally.wrong + tally.gone + tally.extra)
            }
        };
        let cells: Vec<String> = (0..MUTATIONS.len()).map(|at| format!("{:>11}", cell(at))).collect();
        println!("{:<32}{}", style.chars().take(31).collect::<String>(), cells.join("").trim_end());
    }
    let names = MUTATIONS.iter().zip(1..).map(|((name, _), number)| format!("{number} {name}"));
    println!("{}", names.collect::<Vec<_>>().join(", "));
}
