/**
 * The second half of the SQL: what was found becomes one number per test, a recursive query follows the edges from
 * `start`, the index of the graph's first node, and the node where a case stops is its verdict. Only that number differs between graphs.
 */
export function replaySql(start: number): string {
  return `-- What each case found in each test, as one number.
CREATE TABLE ruleout_seen AS
SELECT f.case_id AS case_id, n.test AS test, 0 AS put_back, SUM(n.stride * c.cell) AS outcome
FROM ruleout_finding f
LEFT JOIN ruleout_unit u ON u.name = f.name AND u.unit = f.unit
JOIN ruleout_cell c ON c.name = f.name
  AND (c.value = f.value
    OR (COALESCE(f.number * u.factor + u.shift, CASE WHEN f.unit IS NULL THEN f.number END) >= c.low
      AND COALESCE(f.number * u.factor + u.shift, f.number) < c.high
      AND COALESCE(f.number * u.factor + u.shift, f.number) <= c.top))
JOIN ruleout_need n ON n.reading = c.reading
GROUP BY f.case_id, n.test, n.takes
HAVING COUNT(*) = n.takes
UNION ALL
SELECT f.case_id, l.test, l.put_back, CASE WHEN f.value = 'gone' THEN 0 ELSE 1 END
FROM ruleout_finding f
JOIN ruleout_look l ON l.name = f.name
WHERE f.value IN ('gone', 'stays');

CREATE INDEX ruleout_seen_at ON ruleout_seen (case_id, test, put_back);

CREATE TABLE ruleout_walk AS
WITH RECURSIVE walk (case_id, step, node) AS (
  SELECT case_id, 0, ${start} FROM ruleout_case
  UNION ALL
  SELECT w.case_id, w.step + 1, e.next_node
  FROM walk w
  JOIN ruleout_node n ON n.node = w.node
  JOIN ruleout_seen s ON s.case_id = w.case_id AND s.test = n.test AND s.put_back = n.put_back
  JOIN ruleout_edge e ON e.node = w.node AND e.outcome = s.outcome
)
SELECT case_id, step, node FROM walk;

-- ending: verdict, handover (also if no listed fault fits), open (the record lacks what the graph asks for), or advise
-- (the graph isn't planned that far: a runner goes on from the model).
CREATE TABLE ruleout_verdict AS
SELECT w.case_id AS case_id, w.step AS steps,
  CASE WHEN n.does <> 'test' THEN n.does WHEN s.case_id IS NULL THEN 'open' ELSE 'handover' END AS ending,
  n.remedy AS remedy, n.place AS place, n.chance AS chance, n.fault AS likeliest, k.fault AS fault,
  CASE
    WHEN n.remedy IS NULL OR k.fault IS NULL OR n.remedy = 'done' THEN NULL
    WHEN n.place = p.place THEN 1
    ELSE 0
  END AS mends
FROM ruleout_walk w
JOIN (SELECT case_id, MAX(step) AS step FROM ruleout_walk GROUP BY case_id) m
  ON m.case_id = w.case_id AND m.step = w.step
JOIN ruleout_case k ON k.case_id = w.case_id
JOIN ruleout_node n ON n.node = w.node
LEFT JOIN ruleout_fault p ON p.name = k.fault
LEFT JOIN ruleout_seen s ON s.case_id = w.case_id AND s.test = n.test AND s.put_back = n.put_back;
`
}
