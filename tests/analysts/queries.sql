-- How many machines have an open finding, by level?
SELECT level, count(DISTINCT asset_id) AS machines FROM findings WHERE state IN ('open', 'changed') GROUP BY level ORDER BY level;

-- What do windings of each kind read after one minute at 40 °C? Ceilings are counted apart: a bound is no reading.
SELECT winding_kind, count(*) AS tests, min(ir_1min_40c_ohm) AS lowest, avg(ir_1min_40c_ohm) AS mean
FROM test_summary WHERE ir_bound = 'exact' AND duplicate_of IS NULL AND ir_1min_40c_ohm IS NOT NULL
GROUP BY winding_kind ORDER BY winding_kind;

-- Which readings stand at the end of the instrument's range?
SELECT quantity, bound, count(*) AS n FROM readings GROUP BY quantity, bound ORDER BY quantity, bound;

-- Where was each reading of a machine read?
SELECT a.tag, t.performed_on, r.quantity, r.value, r.source_file, r.source_cell
FROM readings r JOIN tests t ON r.test_id = t.test_id JOIN assets a ON t.asset_id = a.asset_id
WHERE r.elapsed_s = 60 ORDER BY a.tag, t.performed_on, r.source_file, r.source_cell, r.value LIMIT 50;
