-- Machines whose newest dated test can tell whether the one-minute insulation resistance at 40 °C is below the minimum that applied, and those
-- below it, by cohort. A value known as at least something below the minimum proves nothing, and so does one at most something above it.
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
    CASE WHEN ir_1min_40c_ohm < ir_minimum_ohm THEN 1 ELSE 0 END AS below
  FROM test_summary
  WHERE duplicate_of IS NULL AND asset_id IS NOT NULL AND performed_on IS NOT NULL
    AND ir_1min_40c_ohm >= 0 AND ir_minimum_ohm IS NOT NULL
    AND NOT (COALESCE(ir_bound, 'exact') = 'at_least' AND ir_1min_40c_ohm < ir_minimum_ohm)
    AND NOT (COALESCE(ir_bound, 'exact') = 'at_most' AND ir_1min_40c_ohm >= ir_minimum_ohm)
),
ranked AS (
  SELECT *, ROW_NUMBER() OVER (PARTITION BY asset_id ORDER BY performed_on DESC, test_id DESC) AS place FROM figure
)
SELECT
  rating_class, winding_kind, insulation_era,
  COUNT(*) AS minimum_machines,
  SUM(below) AS minimum_below
FROM ranked WHERE place = 1
GROUP BY rating_class, winding_kind, insulation_era
ORDER BY rating_class, winding_kind, insulation_era
