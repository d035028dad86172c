//! The stored tables, a struct a row. Doc comments become the schema's column descriptions.

use crate::Text;
use crate::place::Step;
use crate::table;
use jiff::civil::Date;

/// Basis of a rated voltage that a person vouches for (`assets.rated_voltage_basis`).
pub const RULED: &str = "ruled";

table! {
    /// One row per machine.
    pub struct Asset in "assets" {
        /// UUIDv5 of the resolved identity.
        asset_id: String,
        /// Canonical plant tag, as its owners write it most often.
        tag: String,
        /// Every other spelling met.
        aliases: Vec<String>,
        /// Plant, station or ship.
        site: Option<String>,
        /// Area, unit or building.
        area: Option<String>,
        /// What the machine is or drives.
        description: Option<String>,
        /// ISO 14224 class code: `EM` electric motor, `EG` electric generator.
        equipment_class: String,
        /// Maker, from the nameplate.
        manufacturer: Option<String>,
        /// Type or model, from the nameplate.
        model: Option<String>,
        /// Serial number, from the nameplate.
        serial_number: Option<String>,
        /// Rated power, W.
        rated_power_w: Option<f64>,
        /// Rated line-to-line voltage, V.
        rated_voltage_v: Option<f64>,
        /// `recorded`, or `ruled` where a person vouches for the voltage as line to line; null when none is known.
        rated_voltage_basis: Option<String>,
        /// Rated current, A.
        rated_current_a: Option<f64>,
        /// Rated speed, 1/min.
        rated_speed_rpm: Option<f64>,
        /// Rated frequency, Hz.
        rated_frequency_hz: Option<f64>,
        /// `random` or `form`.
        winding_kind: Option<String>,
        /// IEC 60085 thermal class: `105`, `130`, `155`, `180`, …
        insulation_class: Option<String>,
        /// `thermoplastic` (about pre-1970: asphaltic-mica, shellac) or `thermosetting`; decides the temperature correction.
        insulation_era: Option<String>,
        /// `copper` or `aluminium`.
        conductor: Option<String>,
        /// Year of manufacture.
        made_year: Option<i32>,
        /// Years of recorded rewinds.
        rewound_years: Vec<i32>,
        /// Whether it is in service.
        in_service: Option<bool>,
        /// Functional location, as the owners' equipment list tells it: the position in the sense of ISO 14224, below site and area.
        functional_location: Option<String>,
        /// The functional location by levels, the widest first (installation, plant or unit, section, …, position: ISO 14224), where the
        /// list shows how its locations are made; else empty.
        location_levels: Vec<String>,
        /// What it belongs to, as that list tells it: a key, tag or functional location.
        parent: Option<String>,
        /// Key of the machine in that list, for the way back.
        list_key: Option<String>,
        /// Where that list tells it: file, sheet and cell; null when no list does.
        listed_at: Option<String>,
        /// Columns that sources tell differently: the column, then each value with its places and why the first is used.
        nameplate_conflicts: Vec<Step>,
    }
}

table! {
    /// One row per test on one asset at one time.
    pub struct Test in "tests" {
        /// UUIDv5 of source, place and kind.
        test_id: Text,
        /// The machine; null when the record names none.
        asset_id: Option<Text>,
        /// Kind of test.
        kind: Text,
        /// Day of the test, or the first day of the period when the precision is coarser.
        performed_on: Option<Date>,
        /// `day`, `month`, `quarter`, `year`, `unknown`.
        performed_precision: Text,
        /// `new`, `as_found`, `after_cleaning`, `after_drying`, `after_rewind`, `before_return`, `in_service`.
        stage: Option<Text>,
        /// Winding temperature, °C.
        winding_temperature_c: Option<f64>,
        /// `measured`, `ambient`, `assumed`, `unknown`.
        winding_temperature_basis: Text,
        /// Ambient temperature, °C.
        ambient_temperature_c: Option<f64>,
        /// Relative humidity, %.
        relative_humidity_pct: Option<f64>,
        /// Dew point, °C.
        dew_point_c: Option<f64>,
        /// Nominal applied voltage, V.
        test_voltage_v: Option<f64>,
        /// `recorded`, `assumed`, `unknown`.
        test_voltage_basis: Text,
        /// Instrument as written.
        instrument: Option<Text>,
        /// Tester as written.
        tester: Option<Text>,
        /// Remarks as written.
        remarks: Option<Text>,
        /// Work order as written.
        work_order: Option<Text>,
        /// The source's own words for pass or fail.
        reported_outcome: Option<Text>,
        /// test_id of the row kept, when the same test stands in two sources.
        duplicate_of: Option<Text>,
        /// Path below the imported folder, with `/`.
        source_file: Text,
        /// Sheet name; null where the format has none.
        source_sheet: Option<Text>,
        /// Where the test begins.
        source_cell: Text,
        /// The import that stored the row.
        import_id: Text,
    }
}

table! {
    /// One row per measured number.
    pub struct Reading in "readings" {
        /// UUIDv5 of source, place, quantity, circuit and time.
        reading_id: Text,
        /// The test it belongs to.
        test_id: Text,
        /// Order within the test.
        seq: i32,
        /// What was measured.
        quantity: Text,
        /// What was measured against what: `UVW-E`, `U-E`, `U-V`, `U`, …
        circuit: Option<Text>,
        /// Time since voltage was applied, s.
        elapsed_s: Option<f64>,
        /// Voltage at this reading, V.
        applied_voltage_v: Option<f64>,
        /// Value in the SI unit of the quantity.
        value: f64,
        /// UCUM code of that unit.
        unit: Text,
        /// `exact`, `at_least` (the instrument's ceiling), `at_most`.
        bound: Text,
        /// `as_read`, or `corrected` when the source had already corrected it.
        as_reported: Text,
        /// Temperature the source corrected to, °C.
        reported_reference_c: Option<f64>,
        /// Value at the reference temperature.
        value_ref: Option<f64>,
        /// That temperature, °C: 40 for insulation resistance, 25 for winding resistance.
        reference_c: Option<f64>,
        /// Method code of the correction.
        correction: Option<Text>,
        /// Where the records leave open which law corrects it: the lower of the two values at the reference temperature.
        value_ref_low: Option<f64>,
        /// The higher of the two.
        value_ref_high: Option<f64>,
        /// `withstood`, `broke_down`, `stopped`, as the source says it for this circuit.
        outcome: Option<Text>,
        /// Text as it stood in the source.
        raw_text: Text,
        /// Path below the imported folder, with `/`.
        source_file: Text,
        /// Sheet name; null where the format has none.
        source_sheet: Option<Text>,
        /// Where it stood.
        source_cell: Text,
        /// Steps from the text to the value, in order.
        derivation: Vec<Step>,
        /// What a person should know: `unit_assumed`, `date_order_assumed`, …
        flags: Vec<String>,
    }
}

table! {
    /// One row per figure that a source computed from its readings (a ratio, an unbalance, a resistance from voltage and
    /// current): kept to be compared with ours, never a reading.
    pub struct ReportedFigure in "reported_figures" {
        /// The test it stands in.
        test_id: Text,
        /// What it is.
        quantity: Text,
        /// What was measured against what.
        circuit: Option<Text>,
        /// Time since voltage was applied, s.
        elapsed_s: Option<f64>,
        /// Voltage at this figure, V.
        applied_voltage_v: Option<f64>,
        /// Value in the SI unit of the quantity.
        value: f64,
        /// UCUM code of that unit.
        unit: Text,
        /// `exact`, `at_least`, `at_most`.
        bound: Text,
        /// `as_read`, or `corrected` when it is a corrected copy of a reading.
        as_reported: Text,
        /// Text as it stood in the source.
        raw_text: Text,
        /// Path below the imported folder, with `/`.
        source_file: Text,
        /// Sheet name; null where the format has none.
        source_sheet: Option<Text>,
        /// Where it stood.
        source_cell: Text,
    }
}

table! {
    /// One row per channel of a recorded signal, and per stretch of even sampling.
    pub struct Waveform in "waveforms" {
        /// UUIDv5 of source, place and channel.
        waveform_id: Text,
        /// The test it belongs to.
        test_id: Text,
        /// Name of the channel as written.
        channel: Text,
        /// What was measured against what.
        circuit: Option<Text>,
        /// Applied voltage, V.
        applied_voltage_v: Option<f64>,
        /// Date and time of the first sample of the record, as written.
        started: Option<Text>,
        /// Time of the first sample of this row after the first sample of the record, s.
        start_s: f64,
        /// Time between samples, s.
        sample_interval_s: f64,
        /// Samples in `unit`, single precision; not a number where a sample is missing.
        samples: Vec<f32>,
        /// UCUM code of the SI unit of the samples; 1 for states (0 and 1); the unit as written in braces (`{pu}`) where it is none that is known.
        unit: Text,
        /// Steps from what is stored to the samples, in order.
        derivation: Vec<Step>,
        /// What a person should know: `secondary_side`, `samples_missing`, `cut_short`, …
        flags: Vec<String>,
        /// Path below the imported folder, with `/`.
        source_file: Text,
        /// Sheet name; null where the format has none.
        source_sheet: Option<Text>,
        /// Where it stood.
        source_cell: Text,
    }
}

table! {
    /// One row per non-empty cell of every opened source: what became of it.
    pub struct CellRow in "cells" {
        /// The import that stored the row.
        import_id: Text,
        /// Path below the imported folder, with `/`.
        source_file: Text,
        /// Sheet name; null where the format has none.
        source_sheet: Option<Text>,
        /// Where it stands.
        source_cell: Text,
        /// Text as it stood.
        raw_text: Text,
        /// `value`, `label`, `derived`, `repeat`, `decor`, `held`, `unread`.
        disposition: Text,
        /// Row and column it became: `readings/ID/value`.
        target: Option<Text>,
        /// Why, in words.
        reason: Option<Text>,
    }
}

table! {
    /// One row per question to a person.
    pub struct Hold in "holds" {
        /// UUIDv5 of source, place and question.
        hold_id: Text,
        /// The import that stored the row.
        import_id: Text,
        /// Path below the imported folder, with `/`.
        source_file: Text,
        /// Sheet name; null where the format has none or the whole file is meant.
        source_sheet: Option<Text>,
        /// The cell or range; null when the whole sheet is meant.
        source_cell: Option<Text>,
        /// Text as it stood.
        raw_text: Text,
        /// Code of the question.
        question: Text,
        /// Answers to choose from, most likely first.
        choices: Vec<String>,
        /// Evidence for and against.
        context: Text,
        /// Holds with the same cause are answered together.
        cause: Text,
        /// The decision that answered it.
        resolved_by: Option<Text>,
    }
}

table! {
    /// One row per file met by any import, opened or not.
    pub struct SourceRow in "sources" {
        /// Path below the imported folder, with `/`; where two folders hold files of one such path, with the names of the
        /// folders above that tell them apart.
        source_file: String,
        /// Folder or file that the import was given, as an absolute path.
        origin: String,
        /// The file as an absolute path; for a file of an archive, the archive.
        path: String,
        /// BLAKE3 hash of the bytes, hexadecimal; empty when they could not be read.
        blake3: String,
        /// Size in bytes.
        bytes: i64,
        /// Media type by content.
        media_type: String,
        /// Id of the reader plugin that opened it.
        reader: Option<String>,
        /// Ids of the importer plugins that read it, joined by a space.
        importer: Option<String>,
        /// Their versions, joined by a space.
        importer_version: Option<String>,
        /// Layouts found, joined by "; ".
        layout: Option<String>,
        /// Lowest confidence among the claims taken, 0 to 1.
        claimed_confidence: Option<f64>,
        /// Number of non-empty cells.
        cells_total: i64,
        /// Cells that became a field of a row.
        cells_value: i64,
        /// Headers, units, captions.
        cells_label: i64,
        /// Totals, averages, ratios that the source computed.
        cells_derived: i64,
        /// Ditto marks and repeats.
        cells_repeat: i64,
        /// Titles, page numbers.
        cells_decor: i64,
        /// Cells that need a person.
        cells_held: i64,
        /// Cells that no importer understood.
        cells_unread: i64,
        /// `read`, `partly read`, `refused`, `skipped`.
        status: String,
        /// What was wrong and what to do, or what else to know.
        reason: Option<String>,
    }
}

table! {
    /// One row per committed import.
    pub struct ImportRow in "imports" {
        /// UUIDv5 of everything that went in: sources, settings, layouts, decisions, tool version.
        import_id: String,
        /// When it began, RFC 3339 in UTC.
        started_at: String,
        /// Version of this program.
        tool_version: String,
        /// BLAKE3 hash of settings, layouts and decisions.
        settings_hash: String,
        /// Files met.
        sources: i64,
        /// Machines after the import.
        assets: i64,
        /// Tests after the import.
        tests: i64,
        /// Readings after the import.
        readings: i64,
        /// Non-empty cells accounted for.
        cells: i64,
        /// Questions waiting.
        holds: i64,
    }
}

table! {
    /// One wide row per test, for analysts.
    pub struct TestSummary in "test_summary" {
        /// The test.
        test_id: Text,
        /// The machine.
        asset_id: Option<Text>,
        /// Canonical tag of the machine.
        tag: Option<Text>,
        /// Plant, station or ship.
        site: Option<Text>,
        /// Rated line-to-line voltage, V.
        rated_voltage_v: Option<f64>,
        /// `random` or `form`.
        winding_kind: Option<Text>,
        /// IEC 60085 thermal class.
        insulation_class: Option<Text>,
        /// `thermoplastic` or `thermosetting`.
        insulation_era: Option<Text>,
        /// Kind of test.
        kind: Text,
        /// Day of the test, or the first day of its period.
        performed_on: Option<Date>,
        /// `day`, `month`, `quarter`, `year`, `unknown`.
        performed_precision: Text,
        /// Lowest one-minute insulation resistance over the circuits of stator and armature, over others where none of these was measured, as read, Ohm.
        ir_1min_ohm: Option<f64>,
        /// The same at 40 °C, Ohm.
        ir_1min_40c_ohm: Option<f64>,
        /// Where the records leave open which law corrects it: the lower of the two values at 40 °C, Ohm.
        ir_1min_40c_low_ohm: Option<f64>,
        /// The higher of the two, Ohm.
        ir_1min_40c_high_ohm: Option<f64>,
        /// Bound of all four: `exact`, `at_least`, `at_most`.
        ir_bound: Option<Text>,
        /// Ten-minute over one-minute insulation resistance, recomputed; as the source computed it where no circuit tells its minutes; a lower
        /// bound when the ten-minute value is one.
        polarization_index: Option<f64>,
        /// Bound of the polarization index.
        polarization_index_bound: Option<Text>,
        /// Sixty-second over thirty-second insulation resistance, recomputed; as the source computed it where no circuit tells its readings.
        absorption_ratio: Option<f64>,
        /// Bound of the absorption ratio.
        absorption_ratio_bound: Option<Text>,
        /// Leakage current at the highest voltage, A.
        leakage_at_max_v_a: Option<f64>,
        /// Insulation resistance from voltage and current at the highest voltage, Ohm.
        ir_from_current_ohm: Option<f64>,
        /// Highest voltage reached, V: direct, rms of an alternating or peak of a surge test.
        max_voltage_v: Option<f64>,
        /// The same over the rated phase-to-earth voltage, like over like: rms over rms, direct and peak over peak, 1.
        max_voltage_pu: Option<f64>,
        /// Whether every circuit withstood; null when the source does not tell.
        withstood: Option<bool>,
        /// Largest deviation from the mean over the mean of three winding resistances, 1.
        unbalance: Option<f64>,
        /// How much warmer than the dew point the winding was, K.
        dew_point_margin_k: Option<f64>,
        /// Dissipation factor at the lowest voltage that it was measured at, the largest over the circuits, 1.
        dissipation_factor: Option<f64>,
        /// Growth of the dissipation factor from `dissipation_from_v` to `dissipation_to_v`, the largest over the circuits, 1.
        dissipation_tip_up: Option<f64>,
        /// Lowest voltage at which that circuit was measured, V rms.
        dissipation_from_v: Option<f64>,
        /// Highest voltage at which it was measured, V rms.
        dissipation_to_v: Option<f64>,
        /// Apparent charge of partial discharges, the largest over circuits and voltages, C.
        pd_magnitude_c: Option<f64>,
        /// Polarization index as the source computed it, 1.
        reported_polarization_index: Option<f64>,
        /// Absorption ratio as the source computed it, 1.
        reported_absorption_ratio: Option<f64>,
        /// Unbalance as the source computed it, 1.
        reported_unbalance: Option<f64>,
        /// Minimum one-minute insulation resistance at 40 °C that applied, Ohm; none where only a rotor or a field was measured.
        ir_minimum_ohm: Option<f64>,
        /// Standard, edition and rule of that minimum.
        ir_minimum_basis: Option<Text>,
        /// Minimum polarization index that applied, 1.
        polarization_index_minimum: Option<f64>,
        /// Standard, edition and rule of that minimum, or why none applies.
        polarization_index_basis: Option<Text>,
        /// test_id of the row kept, when the same test stands in two sources.
        duplicate_of: Option<Text>,
    }
}

table! {
    /// One row per finding of the analysis.
    pub struct Finding in "findings" {
        /// UUIDv5 of machine and rule, for findings on records of test or place and rule: stable across analyses, so that a newer test
        /// that shows the same goes on with the same finding.
        finding_id: String,
        /// The machine; null for a finding on a record without one.
        asset_id: Option<String>,
        /// The test, when one test is meant.
        test_id: Option<String>,
        /// Code of the rule.
        rule: String,
        /// `act`, `plan`, `watch`, `note`.
        level: String,
        /// What was found, in plain words.
        statement: String,
        /// reading_ids and other row ids it rests on.
        evidence: Vec<String>,
        /// The figure that was judged, in `unit`.
        value: Option<f64>,
        /// The limit it was held against, in `unit`.
        limit: Option<f64>,
        /// UCUM code of both.
        unit: Option<String>,
        /// Standard and clause, or method and citation.
        basis: String,
        /// Which test would settle it.
        next_test: Option<String>,
        /// Cautions that go with acting on it.
        cautions: String,
        /// False-discovery-controlled q-value, for statistical findings.
        q_value: Option<f64>,
        /// When a limit is expected to be met.
        forecast_date: Option<Date>,
        /// Earliest date of the forecast's interval.
        forecast_from: Option<Date>,
        /// Latest date of the forecast's interval.
        forecast_to: Option<Date>,
        /// Date of the first test that showed it, kept over later analyses.
        first_seen: Option<Date>,
        /// Date of the last test that showed it.
        last_seen: Option<Date>,
        /// `open`; `changed`: open, and its level has changed since it was first found; `acknowledged` by a person, who thereby closed
        /// it at this level; `cleared`: newer tests, corrected records or changed rulings no longer show it.
        state: String,
        /// The way to `value`, in order, for whoever explains the finding; a step can stand several times: `data` what went in
        /// (numbers, dates, units), `model` or `rule` what they were held against, `group` the machines or readings it was compared
        /// with, `arithmetic` a calculation with its numbers, ready to be done again by hand, `chance` p and q and how many were
        /// looked at, `look_alike` what else would look so.
        working: Vec<Step>,
        /// What a person may decide about it: a command, or the entry for `decisions.toml`; null where there is nothing to decide.
        proposal: Option<String>,
        /// What became of it, oldest first: the step is the day of the import that was judged, the detail what happened (`opened at
        /// watch`, `watch became act`, `cleared: …`, `acknowledged by …`).
        changes: Vec<Step>,
    }
}

table! {
    /// One row per machine and part of its insulation: what voltage tests proved, and what they never tried.
    pub struct Coverage in "coverage" {
        /// The machine.
        asset_id: Text,
        /// Its tag.
        tag: Text,
        /// Plant, station or ship.
        site: Option<Text>,
        /// `ground_wall`, `phase_to_phase`, `turn_to_turn`.
        insulation: Text,
        /// Rated line-to-line voltage, V; null where it is not told or cannot be true.
        rated_voltage_v: Option<f64>,
        /// Highest voltage that it carried, V, as applied; null where no test of this winding reached it.
        proven_v: Option<f64>,
        /// `direct`, `rms`, `peak`: how that voltage is told.
        proven_form: Option<Text>,
        /// Its crest, V.
        proven_crest_v: Option<f64>,
        /// Kind of that test.
        proven_kind: Option<Text>,
        /// Its day.
        proven_on: Option<Date>,
        /// The test.
        proven_test_id: Option<Text>,
        /// Voltage of the newest test that failed, V, as applied.
        failed_v: Option<f64>,
        /// Kind of that test.
        failed_kind: Option<Text>,
        /// Its day.
        failed_on: Option<Date>,
        /// The test.
        failed_test_id: Option<Text>,
        /// Highest voltage applied in tests whose outcome the records do not tell, V.
        untold_v: Option<f64>,
        /// Crest of what service puts on it, V: operating voltage, between turns the surge of a start.
        stress_v: Option<f64>,
        /// Where that figure comes from.
        stress_basis: Option<Text>,
        /// Year from which tests count, because the winding was replaced.
        since_year: Option<i32>,
        /// `proven` at the stress or above, `below_stress`, `failed`, `untold`, `never_tested`, `stress_unknown`.
        standing: Text,
        /// The same in plain words.
        statement: Text,
        /// Cautions that go with acting on it.
        cautions: Text,
    }
}

impl Finding {
    /// What `level` may be, gravest first.
    pub const LEVELS: [&'static str; 4] = ["act", "plan", "watch", "note"];

    /// Place of its level among [`Self::LEVELS`]; behind all of them where it is none.
    #[must_use]
    pub fn rank(&self) -> usize {
        Self::rank_of(&self.level)
    }

    /// Place of `level` among [`Self::LEVELS`]; behind all of them where it is none.
    #[must_use]
    pub fn rank_of(level: &str) -> usize {
        Self::LEVELS.iter().position(|known| *known == level).unwrap_or(Self::LEVELS.len())
    }

    /// Whether it waits for a test or a person: `open` or `changed`.
    #[must_use]
    pub fn is_open(&self) -> bool {
        matches!(self.state.as_str(), "open" | "changed")
    }
}
