-- Machines and their tests by cohort (rating class, kind of winding, insulation); repeats from other sources are left out.
WITH machine AS (
  SELECT
    asset_id,
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
    COALESCE(insulation_era, 'unknown') AS insulation_era
  FROM assets
),
test AS (
  SELECT asset_id, COUNT(*) AS tests FROM test_summary WHERE duplicate_of IS NULL AND asset_id IS NOT NULL GROUP BY asset_id
)
SELECT
  rating_class, winding_kind, insulation_era,
  COUNT(*) AS machines,
  COALESCE(SUM(tests), 0) AS tests
FROM machine LEFT JOIN test ON machine.asset_id = test.asset_id
GROUP BY rating_class, winding_kind, insulation_era
ORDER BY rating_class, winding_kind, insulation_era
