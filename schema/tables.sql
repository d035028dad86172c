-- Generated from the Rust types by `cargo xtask schema`.

-- One row per machine.
CREATE TABLE assets (
  asset_id VARCHAR NOT NULL,
  tag VARCHAR NOT NULL,
  aliases VARCHAR[] NOT NULL,
  site VARCHAR,
  area VARCHAR,
  description VARCHAR,
  equipment_class VARCHAR NOT NULL,
  manufacturer VARCHAR,
  model VARCHAR,
  serial_number VARCHAR,
  rated_power_w DOUBLE,
  rated_voltage_v DOUBLE,
  rated_voltage_basis VARCHAR,
  rated_current_a DOUBLE,
  rated_speed_rpm DOUBLE,
  rated_frequency_hz DOUBLE,
  winding_kind VARCHAR,
  insulation_class VARCHAR,
  insulation_era VARCHAR,
  conductor VARCHAR,
  made_year INTEGER,
  rewound_years INTEGER[] NOT NULL,
  in_service BOOLEAN,
  functional_location VARCHAR,
  location_levels VARCHAR[] NOT NULL,
  parent VARCHAR,
  list_key VARCHAR,
  listed_at VARCHAR,
  nameplate_conflicts STRUCT(step VARCHAR, detail VARCHAR)[] NOT NULL
);

-- One row per test on one asset at one time.
CREATE TABLE tests (
  test_id VARCHAR NOT NULL,
  asset_id VARCHAR,
  kind VARCHAR NOT NULL,
  performed_on DATE,
  performed_precision VARCHAR NOT NULL,
  stage VARCHAR,
  winding_temperature_c DOUBLE,
  winding_temperature_basis VARCHAR NOT NULL,
  ambient_temperature_c DOUBLE,
  relative_humidity_pct DOUBLE,
  dew_point_c DOUBLE,
  test_voltage_v DOUBLE,
  test_voltage_basis VARCHAR NOT NULL,
  instrument VARCHAR,
  tester VARCHAR,
  remarks VARCHAR,
  work_order VARCHAR,
  reported_outcome VARCHAR,
  duplicate_of VARCHAR,
  source_file VARCHAR NOT NULL,
  source_sheet VARCHAR,
  source_cell VARCHAR NOT NULL,
  import_id VARCHAR NOT NULL
);

-- One row per measured number.
CREATE TABLE readings (
  reading_id VARCHAR NOT NULL,
  test_id VARCHAR NOT NULL,
  seq INTEGER NOT NULL,
  quantity VARCHAR NOT NULL,
  circuit VARCHAR,
  elapsed_s DOUBLE,
  applied_voltage_v DOUBLE,
  value DOUBLE NOT NULL,
  unit VARCHAR NOT NULL,
  bound VARCHAR NOT NULL,
  as_reported VARCHAR NOT NULL,
  reported_reference_c DOUBLE,
  value_ref DOUBLE,
  reference_c DOUBLE,
  correction VARCHAR,
  value_ref_low DOUBLE,
  value_ref_high DOUBLE,
  outcome VARCHAR,
  raw_text VARCHAR NOT NULL,
  source_file VARCHAR NOT NULL,
  source_sheet VARCHAR,
  source_cell VARCHAR NOT NULL,
  derivation STRUCT(step VARCHAR, detail VARCHAR)[] NOT NULL,
  flags VARCHAR[] NOT NULL
);

-- One row per figure that a source computed from its readings (a ratio, an unbalance, a resistance from voltage and current): kept to be compared with ours, never a reading.
CREATE TABLE reported_figures (
  test_id VARCHAR NOT NULL,
  quantity VARCHAR NOT NULL,
  circuit VARCHAR,
  elapsed_s DOUBLE,
  applied_voltage_v DOUBLE,
  value DOUBLE NOT NULL,
  unit VARCHAR NOT NULL,
  bound VARCHAR NOT NULL,
  as_reported VARCHAR NOT NULL,
  raw_text VARCHAR NOT NULL,
  source_file VARCHAR NOT NULL,
  source_sheet VARCHAR,
  source_cell VARCHAR NOT NULL
);

-- One row per channel of a recorded signal, and per stretch of even sampling.
CREATE TABLE waveforms (
  waveform_id VARCHAR NOT NULL,
  test_id VARCHAR NOT NULL,
  channel VARCHAR NOT NULL,
  circuit VARCHAR,
  applied_voltage_v DOUBLE,
  started VARCHAR,
  start_s DOUBLE NOT NULL,
  sample_interval_s DOUBLE NOT NULL,
  samples FLOAT[] NOT NULL,
  unit VARCHAR NOT NULL,
  derivation STRUCT(step VARCHAR, detail VARCHAR)[] NOT NULL,
  flags VARCHAR[] NOT NULL,
  source_file VARCHAR NOT NULL,
  source_sheet VARCHAR,
  source_cell VARCHAR NOT NULL
);

-- One row per non-empty cell of every opened source: what became of it.
CREATE TABLE cells (
  import_id VARCHAR NOT NULL,
  source_file VARCHAR NOT NULL,
  source_sheet VARCHAR,
  source_cell VARCHAR NOT NULL,
  raw_text VARCHAR NOT NULL,
  disposition VARCHAR NOT NULL,
  target VARCHAR,
  reason VARCHAR
);

-- One row per question to a person.
CREATE TABLE holds (
  hold_id VARCHAR NOT NULL,
  import_id VARCHAR NOT NULL,
  source_file VARCHAR NOT NULL,
  source_sheet VARCHAR,
  source_cell VARCHAR,
  raw_text VARCHAR NOT NULL,
  question VARCHAR NOT NULL,
  choices VARCHAR[] NOT NULL,
  context VARCHAR NOT NULL,
  cause VARCHAR NOT NULL,
  resolved_by VARCHAR
);

-- One row per file met by any import, opened or not.
CREATE TABLE sources (
  source_file VARCHAR NOT NULL,
  origin VARCHAR NOT NULL,
  path VARCHAR NOT NULL,
  blake3 VARCHAR NOT NULL,
  bytes BIGINT NOT NULL,
  media_type VARCHAR NOT NULL,
  reader VARCHAR,
  importer VARCHAR,
  importer_version VARCHAR,
  layout VARCHAR,
  claimed_confidence DOUBLE,
  cells_total BIGINT NOT NULL,
  cells_value BIGINT NOT NULL,
  cells_label BIGINT NOT NULL,
  cells_derived BIGINT NOT NULL,
  cells_repeat BIGINT NOT NULL,
  cells_decor BIGINT NOT NULL,
  cells_held BIGINT NOT NULL,
  cells_unread BIGINT NOT NULL,
  status VARCHAR NOT NULL,
  reason VARCHAR
);

-- One row per committed import.
CREATE TABLE imports (
  import_id VARCHAR NOT NULL,
  started_at VARCHAR NOT NULL,
  tool_version VARCHAR NOT NULL,
  settings_hash VARCHAR NOT NULL,
  sources BIGINT NOT NULL,
  assets BIGINT NOT NULL,
  tests BIGINT NOT NULL,
  readings BIGINT NOT NULL,
  cells BIGINT NOT NULL,
  holds BIGINT NOT NULL
);

-- One wide row per test, for analysts.
CREATE TABLE test_summary (
  test_id VARCHAR NOT NULL,
  asset_id VARCHAR,
  tag VARCHAR,
  site VARCHAR,
  rated_voltage_v DOUBLE,
  winding_kind VARCHAR,
  insulation_class VARCHAR,
  insulation_era VARCHAR,
  kind VARCHAR NOT NULL,
  performed_on DATE,
  performed_precision VARCHAR NOT NULL,
  ir_1min_ohm DOUBLE,
  ir_1min_40c_ohm DOUBLE,
  ir_1min_40c_low_ohm DOUBLE,
  ir_1min_40c_high_ohm DOUBLE,
  ir_bound VARCHAR,
  polarization_index DOUBLE,
  polarization_index_bound VARCHAR,
  absorption_ratio DOUBLE,
  absorption_ratio_bound VARCHAR,
  leakage_at_max_v_a DOUBLE,
  ir_from_current_ohm DOUBLE,
  max_voltage_v DOUBLE,
  max_voltage_pu DOUBLE,
  withstood BOOLEAN,
  unbalance DOUBLE,
  dew_point_margin_k DOUBLE,
  dissipation_factor DOUBLE,
  dissipation_tip_up DOUBLE,
  dissipation_from_v DOUBLE,
  dissipation_to_v DOUBLE,
  pd_magnitude_c DOUBLE,
  reported_polarization_index DOUBLE,
  reported_absorption_ratio DOUBLE,
  reported_unbalance DOUBLE,
  ir_minimum_ohm DOUBLE,
  ir_minimum_basis VARCHAR,
  polarization_index_minimum DOUBLE,
  polarization_index_basis VARCHAR,
  duplicate_of VARCHAR
);

-- One row per finding of the analysis.
CREATE TABLE findings (
  finding_id VARCHAR NOT NULL,
  asset_id VARCHAR,
  test_id VARCHAR,
  rule VARCHAR NOT NULL,
  level VARCHAR NOT NULL,
  statement VARCHAR NOT NULL,
  evidence VARCHAR[] NOT NULL,
  value DOUBLE,
  limit DOUBLE,
  unit VARCHAR,
  basis VARCHAR NOT NULL,
  next_test VARCHAR,
  cautions VARCHAR NOT NULL,
  q_value DOUBLE,
  forecast_date DATE,
  forecast_from DATE,
  forecast_to DATE,
  first_seen DATE,
  last_seen DATE,
  state VARCHAR NOT NULL,
  working STRUCT(step VARCHAR, detail VARCHAR)[] NOT NULL,
  proposal VARCHAR,
  changes STRUCT(step VARCHAR, detail VARCHAR)[] NOT NULL
);

-- One row per machine and part of its insulation: what voltage tests proved, and what they never tried.
CREATE TABLE coverage (
  asset_id VARCHAR NOT NULL,
  tag VARCHAR NOT NULL,
  site VARCHAR,
  insulation VARCHAR NOT NULL,
  rated_voltage_v DOUBLE,
  proven_v DOUBLE,
  proven_form VARCHAR,
  proven_crest_v DOUBLE,
  proven_kind VARCHAR,
  proven_on DATE,
  proven_test_id VARCHAR,
  failed_v DOUBLE,
  failed_kind VARCHAR,
  failed_on DATE,
  failed_test_id VARCHAR,
  untold_v DOUBLE,
  stress_v DOUBLE,
  stress_basis VARCHAR,
  since_year INTEGER,
  standing VARCHAR NOT NULL,
  statement VARCHAR NOT NULL,
  cautions VARCHAR NOT NULL
);
