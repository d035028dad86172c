-- One-minute insulation resistance at 40 °C, Ohm: the newest dated value of each machine, by cohort.
-- Quantiles are the product-limit ones (Kaplan & Meier 1958): a value that the instrument could only tell as at least so much stays at risk above it.
-- A null quantile lies above the ceilings.
WITH figure AS (
  SELECT
    asset_id, performed_on, test_id,
    CASE
      WHEN rated_voltage_v >= 24 AND rated_voltage_v <= 1000 THEN 'to 1 kV'
      WHEN rated_voltage_v > 1000 AND rated_voltage_v <= 2500 THEN 'to 2.5 kV'
      WHEN rated_voltage_v > 2500 AND rated_voltage_v <= 5000 THEN 'to 5 kV'
      WHEN rated_voltage_v > 5000 AND rated_voltage_v <= 9000 THEN 'to 9 kV'
      WHEN rated_voltage_v > 9000 AND rated_voltage_v <= 12500 THEN 'to 12.5 kV'
      WHEN rated_voltage_v > 12500 AND rated_voltage_v <= 40000 THEN 'above 12.5 kV'
      ELSE 'unknown'
    END AS rating_class,
    COALESCE(winding_kind, 'unknown') AS winding_kind,
    COALESCE(insulation_era, 'unknown') AS insulation_era,
    ir_1min_40c_ohm AS value,
    COALESCE(ir_bound, 'exact') AS bound
  FROM test_summary
  WHERE duplicate_of IS NULL AND asset_id IS NOT NULL AND performed_on IS NOT NULL AND ir_1min_40c_ohm IS NOT NULL AND ir_1min_40c_ohm >= 0
),
ranked AS (
  SELECT *, ROW_NUMBER() OVER (PARTITION BY asset_id ORDER BY performed_on DESC, test_id DESC) AS place FROM figure
),
newest AS (
  SELECT * FROM ranked WHERE place = 1
),
step AS (
  SELECT
    rating_class, winding_kind, insulation_era, value,
    COUNT(*) AS gone,
    SUM(CASE WHEN bound = 'at_least' THEN 0 ELSE 1 END) AS exact
  FROM newest GROUP BY rating_class, winding_kind, insulation_era, value
),
risk AS (
  SELECT
    *,
    SUM(gone) OVER (PARTITION BY rating_class, winding_kind, insulation_era ORDER BY value DESC) AS at_risk
  FROM step
),
curve AS (
  SELECT
    *,
    EXP(SUM(LN((at_risk - exact) * 1.0 / at_risk)) OVER (PARTITION BY rating_class, winding_kind, insulation_era ORDER BY value)) AS survival
  FROM risk
)
SELECT
  rating_class, winding_kind, insulation_era,
  SUM(gone) AS resistance_machines,
  SUM(gone - exact) AS resistance_at_least,
  MIN(CASE WHEN survival <= 0.9 + 1e-9 THEN value END) AS resistance_q10_ohm,
  MIN(CASE WHEN survival <= 0.5 + 1e-9 THEN value END) AS resistance_q50_ohm,
  MIN(CASE WHEN survival <= 0.1 + 1e-9 THEN value END) AS resistance_q90_ohm
FROM curve
GROUP BY rating_class, winding_kind, insulation_era
ORDER BY rating_class, winding_kind, insulation_era
