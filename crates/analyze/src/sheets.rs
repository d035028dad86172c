//! # What it finds
//! A sheet whose values look as if the source had corrected them to one temperature already without saying so: what is left of
//! them stops depending on the winding's temperature, while the corrected value depends on it fully.
//! # How it is judged
//! `note`, as [`windrow_criteria::already`] has it. A winding whose insulation follows a flatter law than the one applied looks alike,
//! so the statement names both. The import asks about the same sheet; what a person has ruled upon is found no more.
//! # References
//! `windrow-criteria`, module `already`.

use crate::AnalyzeError;
use crate::features::at_seconds;
use crate::finding::{About, Found, stated};
use crate::frames::{Frames, Rows};
use polars::prelude::*;
use std::collections::BTreeMap;
use windrow_criteria::already::{HALFWAY, Point, Slope, looks_corrected};
use windrow_model::settings::Settings;
use windrow_model::{Finding, Question};

/// Findings on sheets, sorted by sheet.
pub(crate) fn find(frames: &Frames, settings: &Settings) -> Result<Vec<Finding>, AnalyzeError> {
    let sheets = sheets(frames, settings)?;
    let findings = sheets.iter().filter_map(|((file, sheet), (points, ids))| {
        Some(finding(file, sheet.as_deref(), looks_corrected(points)?, ids))
    });
    Ok(findings.collect())
}

type Sheets = BTreeMap<(String, Option<String>), (Vec<Point>, Vec<String>)>;

fn sheets(frames: &Frames, settings: &Settings) -> Result<Sheets, AnalyzeError> {
    let machines = frames.tests.clone().filter(col("duplicate_of").is_null()).select([col("test_id"), col("asset_id")]);
    let usable = col("quantity")
        .eq(lit("insulation_resistance"))
        .and(col("as_reported").eq(lit("as_read")))
        .and(col("bound").eq(lit("exact")))
        .and(col("value").gt(lit(0.0)))
        .and(col("value_ref").gt(lit(0.0)))
        .and(col("elapsed_s").is_null().or(at_seconds(60.0)));
    let plan = frames
        .readings
        .clone()
        .filter(usable)
        .join(machines, [col("test_id")], [col("test_id")], JoinArgs::new(JoinType::Inner))
        .select([
            col("source_file"),
            col("source_sheet"),
            col("source_cell"),
            col("asset_id"),
            col("circuit"),
            col("value"),
            col("value_ref"),
            col("reading_id"),
        ])
        .sort(["source_file", "source_sheet", "reading_id"], SortMultipleOptions::default());
    let rows = Rows::collect(plan)?;
    let (files, names, assets) = (rows.texts("source_file")?, rows.texts("source_sheet")?, rows.texts("asset_id")?);
    let (circuits, ids, cells) = (rows.texts("circuit")?, rows.texts("reading_id")?, rows.texts("source_cell")?);
    let rulings: Vec<_> = settings.decisions.iter().filter(|ruling| ruling.question == Question::Corrected).collect();
    let (values, at_40c) = (rows.numbers("value")?, rows.numbers("value_ref")?);
    let mut sheets = Sheets::new();
    for index in 0..rows.len() {
        let (Some(file), Some(asset), Some(id)) = (&files[index], &assets[index], &ids[index]) else { continue };
        let (Some(value), Some(corrected)) = (values[index], at_40c[index]) else { continue };
        // Nothing is left to be found where a person has ruled.
        let cell = cells[index].as_deref().unwrap_or_default();
        if rulings.iter().any(|ruling| ruling.concerns(file, names[index].as_deref()) && ruling.covers_below(cell)) {
            continue;
        }
        let circuit = format!("{asset} {}", circuits[index].as_deref().unwrap_or_default());
        let point = Point { circuit, correction: (corrected / value).log10(), corrected: corrected.log10() };
        let (points, evidence) = sheets.entry((file.clone(), names[index].clone())).or_default();
        points.push(point);
        evidence.push(id.clone());
    }
    Ok(sheets)
}

fn finding(file: &str, sheet: Option<&str>, slope: Slope, readings: &[String]) -> Finding {
    let place = sheet.map_or_else(|| file.to_owned(), |sheet| format!("{file}, sheet {sheet}"));
    let about = About {
        key: ["looks_corrected", file, sheet.unwrap_or_default()].map(str::to_owned).to_vec(),
        asset_id: None,
        test_id: None,
        evidence: readings.to_vec(),
        seen: None,
    };
    let found = Found {
        rule: "looks_corrected",
        level: "note",
        statement: format!(
            "{place}: {} insulation resistances do not depend on the winding's temperature. Either the source had corrected them to one \
             temperature without saying so, and their values at 40 °C are corrected twice, or these windings follow a flatter law \
             than the one applied. Find out before comparing them with others.",
            readings.len()
        ),
        value: Some(slope.value),
        limit: Some(HALFWAY),
        unit: "1",
        basis: format!(
            "slope of the corrected value on the correction within circuits: {:.2} ± {:.2}, 0 for values as read and 1 for values \
             already corrected (regression with Huber weights)",
            slope.value, slope.error
        ),
        next_test: "none; ask who kept the record, or compare one reading with its original",
        cautions: windrow_criteria::cautions::GROUND_WALL,
    };
    stated(about, found)
}
