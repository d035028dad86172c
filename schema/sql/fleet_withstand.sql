-- What the newest dated test with a known outcome withstood, in per unit of the rated phase-to-earth voltage, and how many failed, by cohort.
-- The median is the smallest level that half of the machines does not exceed. A level is not an order to test.
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
    withstood, max_voltage_pu
  FROM test_summary
  WHERE duplicate_of IS NULL AND asset_id IS NOT NULL AND performed_on IS NOT NULL AND withstood IS NOT NULL
),
ranked AS (
  SELECT *, ROW_NUMBER() OVER (PARTITION BY asset_id ORDER BY performed_on DESC, test_id DESC) AS place FROM figure
),
newest AS (
  SELECT *, CASE WHEN withstood THEN max_voltage_pu END AS level FROM ranked WHERE place = 1
),
placed AS (
  SELECT
    *,
    ROW_NUMBER() OVER (PARTITION BY rating_class, winding_kind, insulation_era ORDER BY level, asset_id) AS number,
    COUNT(level) OVER (PARTITION BY rating_class, winding_kind, insulation_era) AS levels
  FROM newest WHERE level IS NOT NULL
),
median AS (
  SELECT rating_class, winding_kind, insulation_era, MIN(level) AS withstood_q50_pu, COUNT(*) AS more
  FROM placed WHERE number * 2 >= levels
  GROUP BY rating_class, winding_kind, insulation_era
),
counts AS (
  SELECT
    rating_class, winding_kind, insulation_era,
    COUNT(level) AS withstood_machines,
    SUM(CASE WHEN withstood THEN 0 ELSE 1 END) AS failed_machines
  FROM newest GROUP BY rating_class, winding_kind, insulation_era
)
SELECT counts.rating_class, counts.winding_kind, counts.insulation_era, withstood_machines, withstood_q50_pu, failed_machines
FROM counts LEFT JOIN median
  ON counts.rating_class = median.rating_class AND counts.winding_kind = median.winding_kind AND counts.insulation_era = median.insulation_era
ORDER BY counts.rating_class, counts.winding_kind, counts.insulation_era
