//! Features of whole tests, joined with what the machine's nameplate says.

use super::applied::failures;
use super::{at_seconds, of};
use crate::AnalyzeError;
use crate::frames::{Frames, Rows};
use crate::nameplate::Plate;
use jiff::civil::Date;
use polars::prelude::*;
use windrow_criteria::winding::Years;
use windrow_text::marks::{Verdict, verdict};

/// One test with its machine and the figures of its readings.
#[derive(Debug, Clone, Default)]
pub(crate) struct TestFeatures {
    pub(crate) test_id: String,
    pub(crate) asset_id: Option<String>,
    pub(crate) tag: Option<String>,
    pub(crate) site: Option<String>,
    pub(crate) manufacturer: Option<String>,
    pub(crate) instrument: Option<String>,
    pub(crate) tester: Option<String>,
    pub(crate) rated_voltage_v: Option<f64>,
    pub(crate) rated_voltage_basis: Option<String>,
    pub(crate) rated_power_w: Option<f64>,
    pub(crate) winding_kind: Option<String>,
    pub(crate) insulation_class: Option<String>,
    pub(crate) insulation_era: Option<String>,
    pub(crate) made_year: Option<i32>,
    pub(crate) rewound_years: Vec<i32>,
    pub(crate) kind: String,
    pub(crate) performed_on: Option<Date>,
    pub(crate) performed_precision: String,
    pub(crate) duplicate_of: Option<String>,
    pub(crate) stage: Option<String>,
    pub(crate) winding_temperature_c: Option<f64>,
    pub(crate) winding_temperature_basis: String,
    pub(crate) ambient_temperature_c: Option<f64>,
    pub(crate) relative_humidity_pct: Option<f64>,
    pub(crate) dew_point_c: Option<f64>,
    pub(crate) test_voltage_v: Option<f64>,
    pub(crate) test_voltage_basis: String,
    /// Lowest one-minute resistance over the circuits: value Ohm, bound, at 40 °C Ohm, reading and circuit.
    pub(crate) lowest: Option<Lowest>,
    pub(crate) max_voltage_v: Option<f64>,
    pub(crate) leakage_at_max_v_a: Option<f64>,
    /// Outcomes told: all withstood, one broke down, or nothing.
    pub(crate) withstood: Option<bool>,
    /// Winding resistances with their readings, at 25 °C where known, Ohm.
    pub(crate) winding_resistances: Vec<f64>,
    /// Readings the figures rest on.
    pub(crate) evidence: Vec<String>,
}

impl TestFeatures {
    /// What the nameplate tells of the machine.
    pub(crate) fn plate(&self) -> Plate<'_> {
        Plate {
            rated_voltage_v: self.rated_voltage_v,
            rated_voltage_basis: self.rated_voltage_basis.as_deref(),
            rated_power_w: self.rated_power_w,
            winding_kind: self.winding_kind.as_deref(),
            insulation_class: self.insulation_class.as_deref(),
            insulation_era: self.insulation_era.as_deref(),
            years: Years { made: self.made_year, rewound: &self.rewound_years },
        }
    }
}

/// The lowest one-minute insulation resistance of a test.
#[derive(Debug, Clone)]
pub(crate) struct Lowest {
    pub(crate) value_ohm: f64,
    pub(crate) bound: String,
    pub(crate) at_40c_ohm: Option<f64>,
    /// Where the law is open: lower and higher value at 40 °C.
    pub(crate) bracket_ohm: Option<[f64; 2]>,
    pub(crate) circuit: Option<String>,
    /// Whether the source told the minute; else it is taken as the usual one-minute reading.
    pub(crate) time_told: bool,
}

/// Features of all tests, sorted by machine, date and id.
pub(crate) fn test_features(frames: &Frames) -> Result<Vec<TestFeatures>, AnalyzeError> {
    let machines = frames.assets.clone().select([
        col("asset_id"),
        col("tag"),
        col("site"),
        col("manufacturer"),
        col("rated_voltage_v"),
        col("rated_voltage_basis"),
        col("rated_power_w"),
        col("winding_kind"),
        col("insulation_class"),
        col("insulation_era"),
        col("made_year"),
        col("rewound_years"),
    ]);
    let plan = frames
        .tests
        .clone()
        .join(machines, [col("asset_id")], [col("asset_id")], JoinArgs::new(JoinType::Left))
        .join(lowest(frames.readings.clone()), [col("test_id")], [col("test_id")], JoinArgs::new(JoinType::Left))
        .join(levels(frames.readings.clone()), [col("test_id")], [col("test_id")], JoinArgs::new(JoinType::Left))
        .sort(["asset_id", "performed_on", "test_id"], SortMultipleOptions::default().with_nulls_last(true));
    rows_of(&Rows::collect(plan)?)
}

/// Lowest one-minute insulation resistance by test. Among equal numbers an exact one wins: the lowest is then known.
fn lowest(readings: LazyFrame) -> LazyFrame {
    let told = at_seconds(60.0);
    readings
        .filter(of("insulation_resistance").and(col("elapsed_s").is_null().or(told.clone())))
        .with_columns([told.fill_null(lit(false)).alias("time_told"), bound_rank().alias("bound_rank")])
        .sort(["test_id", "value", "bound_rank", "seq"], SortMultipleOptions::default())
        .group_by_stable([col("test_id")])
        .agg([
            col("value").first().alias("lowest_value"),
            col("bound").first().alias("lowest_bound"),
            col("value_ref").first().alias("lowest_at_40c"),
            col("value_ref_low").first().alias("lowest_low"),
            col("value_ref_high").first().alias("lowest_high"),
            col("circuit").first().alias("lowest_circuit"),
            col("time_told").first().alias("lowest_time_told"),
        ])
}

/// Voltages, leakage, outcomes and winding resistances by test.
fn levels(readings: LazyFrame) -> LazyFrame {
    let leakage = of("leakage_current").and(col("applied_voltage_v").is_not_null());
    let resistance = of("winding_resistance");
    let level = when(of("surge_peak_voltage")).then(col("value")).otherwise(col("applied_voltage_v"));
    // Lower steps that were withstood say nothing of the highest.
    let at_the_top = level.clone().is_null().or(level.clone().eq(level.clone().max()));
    readings.sort(["test_id", "seq"], SortMultipleOptions::default()).group_by_stable([col("test_id")]).agg([
        level.max().alias("reached_v"),
        col("value")
            .filter(leakage.clone())
            .sort_by(
                [col("applied_voltage_v").filter(leakage)],
                SortMultipleOptions::default().with_maintain_order(true),
            )
            .last()
            .alias("leakage_at_max"),
        col("outcome").eq(lit("withstood")).and(at_the_top).sum().cast(DataType::Float64).alias("held_count"),
        col("outcome").is_in(lit(failures()).implode(false), false).sum().cast(DataType::Float64).alias("broken_count"),
        col("outcome").is_not_null().sum().cast(DataType::Float64).alias("told_count"),
        col("value_ref").fill_null(col("value")).filter(resistance).alias("resistances"),
        col("reading_id").alias("reading_ids"),
    ])
}

/// Rank of bounds among equal numbers: the one that says most comes first.
fn bound_rank() -> Expr {
    when(col("bound").eq(lit("at_most")))
        .then(lit(0))
        .when(col("bound").eq(lit("exact")))
        .then(lit(1))
        .otherwise(lit(2))
}

fn rows_of(rows: &Rows) -> Result<Vec<TestFeatures>, AnalyzeError> {
    let mut features = vec![TestFeatures::default(); rows.len()];
    macro_rules! fill {
        ($read:ident, $column:literal, |$feature:ident, $value:ident| $set:expr) => {
            for ($feature, $value) in features.iter_mut().zip(rows.$read($column)?) {
                $set;
            }
        };
    }
    fill!(texts, "test_id", |feature, value| feature.test_id = value.unwrap_or_default());
    fill!(texts, "asset_id", |feature, value| feature.asset_id = value);
    fill!(texts, "tag", |feature, value| feature.tag = value);
    fill!(texts, "site", |feature, value| feature.site = value);
    fill!(texts, "manufacturer", |feature, value| feature.manufacturer = value);
    fill!(texts, "instrument", |feature, value| feature.instrument = value);
    fill!(texts, "tester", |feature, value| feature.tester = value);
    fill!(numbers, "rated_voltage_v", |feature, value| feature.rated_voltage_v = value);
    fill!(texts, "rated_voltage_basis", |feature, value| feature.rated_voltage_basis = value);
    fill!(numbers, "rated_power_w", |feature, value| feature.rated_power_w = value);
    fill!(texts, "winding_kind", |feature, value| feature.winding_kind = value);
    fill!(texts, "insulation_class", |feature, value| feature.insulation_class = value);
    fill!(texts, "insulation_era", |feature, value| feature.insulation_era = value);
    fill!(integers, "made_year", |feature, value| feature.made_year = value);
    fill!(integer_lists, "rewound_years", |feature, value| feature.rewound_years = value);
    fill!(texts, "kind", |feature, value| feature.kind = value.unwrap_or_default());
    fill!(dates, "performed_on", |feature, value| feature.performed_on = value);
    fill!(texts, "performed_precision", |feature, value| feature.performed_precision = value.unwrap_or_default());
    fill!(texts, "duplicate_of", |feature, value| feature.duplicate_of = value);
    fill!(texts, "stage", |feature, value| feature.stage = value);
    fill!(numbers, "winding_temperature_c", |feature, value| feature.winding_temperature_c = value);
    fill!(texts, "winding_temperature_basis", |feature, value| {
        feature.winding_temperature_basis = value.unwrap_or_default();
    });
    fill!(numbers, "ambient_temperature_c", |feature, value| feature.ambient_temperature_c = value);
    fill!(numbers, "relative_humidity_pct", |feature, value| feature.relative_humidity_pct = value);
    fill!(numbers, "dew_point_c", |feature, value| feature.dew_point_c = value);
    fill!(numbers, "test_voltage_v", |feature, value| feature.test_voltage_v = value);
    fill!(texts, "test_voltage_basis", |feature, value| feature.test_voltage_basis = value.unwrap_or_default());
    fill!(numbers, "reached_v", |feature, value| feature.max_voltage_v = value);
    fill!(numbers, "leakage_at_max", |feature, value| feature.leakage_at_max_v_a = value);
    fill!(number_lists, "resistances", |feature, value| feature.winding_resistances = value);
    fill!(text_lists, "reading_ids", |feature, value| feature.evidence = value);
    let outcomes = rows.numbers("held_count")?.into_iter().zip(rows.numbers("broken_count")?);
    for (feature, (held, broken)) in features.iter_mut().zip(outcomes) {
        feature.withstood = match (held.unwrap_or(0.0) > 0.0, broken.unwrap_or(0.0) > 0.0) {
            (_, true) => Some(false),
            (true, false) => Some(true),
            (false, false) => None,
        };
    }
    let verdicts = rows.texts("reported_outcome")?.into_iter().zip(rows.numbers("told_count")?);
    for (feature, (words, told)) in features.iter_mut().zip(verdicts) {
        // Where circuits or steps have outcomes of their own, the words beside one of them are no verdict on all.
        let of_test = words.as_deref().filter(|_| is_a_trial(&feature.kind) && told.unwrap_or(0.0) < 0.5);
        feature.withstood = feature.withstood.or(match of_test.and_then(verdict) {
            Some(Verdict::Pass) => Some(true),
            Some(Verdict::Fail | Verdict::Stopped) => Some(false),
            Some(Verdict::Marginal) | None => None,
        });
        feature.max_voltage_v = feature.max_voltage_v.or(feature.test_voltage_v);
    }
    for (feature, lowest) in features.iter_mut().zip(lowest_of(rows)?) {
        feature.lowest = lowest;
    }
    Ok(features)
}

/// Whether the source's verdict on a test of this kind says whether a voltage was withstood; on other tests it judges a figure.
fn is_a_trial(kind: &str) -> bool {
    matches!(kind, "dc_withstand" | "ac_withstand" | "dc_step" | "dc_ramp" | "surge")
}

fn lowest_of(rows: &Rows) -> Result<Vec<Option<Lowest>>, AnalyzeError> {
    let values = rows.numbers("lowest_value")?;
    let mut bounds = rows.texts("lowest_bound")?;
    let at_40c = rows.numbers("lowest_at_40c")?;
    let (lows, highs) = (rows.numbers("lowest_low")?, rows.numbers("lowest_high")?);
    let mut circuits = rows.texts("lowest_circuit")?;
    let told = rows.truths("lowest_time_told")?;
    Ok((0..rows.len())
        .map(|index| {
            Some(Lowest {
                value_ohm: values[index]?,
                bound: bounds[index].take()?,
                at_40c_ohm: at_40c[index],
                bracket_ohm: lows[index].zip(highs[index]).map(|(low, high)| [low, high]),
                circuit: circuits[index].take(),
                time_told: told[index].unwrap_or(false),
            })
        })
        .collect())
}
