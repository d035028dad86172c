//! `explain`: how the engine sees a file, sheet by sheet: blocks, columns with their roles, pairs, captions, holds.

use anyhow::{Context as _, ensure};
use std::path::Path;
use windrow_importer::{Hands, Intake, Source, read_source};
use windrow_model::settings::Settings;
use windrow_pipeline::understand_all;
use windrow_sheet::reader::Names;
use windrow_sheet::sense::Senses;
use windrow_sheet::view::{Orientation, View};
use windrow_sheet::{context, cut};
use windrow_source::{Limits, Workbook};

/// What more is shown where it is asked for.
const MORE: [&str; 2] = ["turned", "cells"];

/// Explains one file; `turned` also shows the sheets turned over, `cells` what the reader gave.
pub(crate) fn run(file: &Path, options: &[&str]) -> anyhow::Result<()> {
    let unknown = options.iter().find(|option| !MORE.contains(option));
    ensure!(unknown.is_none(), "{:?} is nothing to show; {} are", unknown.unwrap_or(&""), MORE.join(" and "));
    let book = read(file)?;
    let registry = windrow_plugins::registry()?;
    for grid in &book.sheets {
        let stacked = windrow_sheet::cards::stack(grid).or_else(|| windrow_sheet::wrapped::unwrap(grid));
        let grid = stacked.as_ref().unwrap_or(grid);
        let mut senses = Senses::default();
        let ids: Vec<_> = grid.cells.iter().map(|cell| senses.of(cell)).collect();
        let names = Names::read(grid.name.as_deref(), &file.display().to_string());
        println!(
            "== sheet {:?}: {} cells, names {:?}",
            grid.name,
            grid.cells.len(),
            names.tag().map(|told| told.value)
        );
        if options.contains(&"cells") {
            grid.cells.iter().for_each(|cell| println!("({}, {}) {:?}", cell.row, cell.column, cell.text));
            grid.merges.iter().for_each(|area| println!("merged {area:?}"));
        }
        structure(&View::new(grid, &senses, &ids, Orientation::Upright));
        if options.contains(&"turned") {
            structure(&View::new(grid, &senses, &ids, Orientation::Turned));
        }
    }
    let (settings, limits) = (Settings::default(), Limits::default());
    let intake =
        Intake { registry: &registry, settings: &settings, limits: &limits, hands: Hands::Threads(1), recall: None };
    for source in understand_all(&[file.to_owned()], intake, &mut |_| {}) {
        let understood = source.understood;
        for region in &understood.regions {
            println!("region {} {} by {:?} {:?}", region.place, region.layout, region.importer, region.columns);
        }
        for test in understood.tests.iter().take(3) {
            println!("test {test:#?}");
        }
        println!("{} tests, {} machines", understood.tests.len(), understood.machines.len());
        for hold in &understood.holds {
            println!("hold {:?} {} {:?}: {} {:?}", hold.question, hold.place, hold.raw_text, hold.cause, hold.choices);
        }
        for cell in understood.cells.iter().filter(|cell| cell.disposition == windrow_model::Disposition::Unread) {
            println!("unread {} {:?}: {}", cell.place, cell.raw_text, cell.reason.as_deref().unwrap_or_default());
        }
    }
    Ok(())
}

fn structure(view: &View<'_>) {
    let scene = context::scene(view, cut::cut(view));
    println!("-- {:?}", view.orientation);
    for block in &scene.blocks {
        println!("block rows {:?} columns {:?} {:?}", block.rows, block.columns, block.body);
    }
    for read in &scene.tables {
        println!("table of {} lines, header {}", read.table.body.len(), read.table.header.len());
        for column in &read.columns {
            let heading = &column.heading;
            println!(
                "   column {}: {:?} fit {:.2} \"{}\" {:?} units {:?} unexplained {:?}",
                column.column,
                column.role,
                column.fit,
                heading.text(view),
                heading.concepts.iter().map(|(concept, weight, _)| (concept, weight)).collect::<Vec<_>>(),
                heading.units.as_ref().map(|by| &by.value.1),
                heading.unexplained
            );
        }
    }
    for pair in &scene.loose.pairs {
        println!("pair {:?} = {:?} ({:?})", pair.heading.text(view), pair.cell(view).text, pair.heading.concept());
    }
    for caption in &scene.loose.captions {
        let heading = &caption.heading;
        println!(
            "caption {:?}: {:?} units {:?} circuits {:?} elapsed {:?} volts {:?} reference {:?} corrected {} tag {:?} names {:?} ceiling {}",
            heading.text(view),
            heading.concepts.iter().map(|(concept, ..)| concept).collect::<Vec<_>>(),
            caption.units.iter().map(|(_, text)| text).collect::<Vec<_>>(),
            heading.circuits.iter().flat_map(|by| by.value.iter().map(|meaning| meaning.named)).collect::<Vec<_>>(),
            heading.elapsed_s.as_ref().map(|by| by.value),
            heading.voltage_v.as_ref().map(|by| by.value),
            heading.reference_c.as_ref().map(|by| by.value),
            caption.corrected,
            caption.tag,
            caption.names,
            caption.ceiling.is_some()
        );
    }
    println!("rest: {:?}", scene.loose.rest.iter().map(|item| view.cell(item).text.as_str()).collect::<Vec<_>>());
}

fn read(file: &Path) -> anyhow::Result<Workbook> {
    let bytes = std::fs::read(file).with_context(|| format!("reading {}", file.display()))?;
    let name = file.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let registry = windrow_plugins::registry()?;
    let (_, book) = read_source(Source::alone(&name, &bytes), &registry, &Limits::default())?;
    Ok(book)
}
