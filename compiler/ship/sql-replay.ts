/**
 * The second half of the SQL: what was found becomes one number per action, a recursive query follows the edges from
 * `start`, the index of the graph's first node, and the node where a case stops is its ending. Only that number differs
 * between graphs.
 */
export function replaySql(start: number): string {
  return `${FOUND_SQL}
${walkSql(start)}
${ENDING_SQL}`
}

/** Outcome -1 belongs to actions after which nothing is looked at: they need no finding. */
const FOUND_SQL = `-- What each case found in each action, as one number.
CREATE TABLE ruleout_seen AS
SELECT f.case_id AS case_id, n.act AS act, f.round AS round, f.nth AS nth, SUM(n.stride * c.cell) AS outcome
FROM ruleout_finding f
LEFT JOIN ruleout_unit u ON u.name = f.name AND u.unit = f.unit
JOIN ruleout_cell c ON c.name = f.name
  AND (c.value = f.value
    OR (COALESCE(f.number * u.factor + u.shift, CASE WHEN f.unit IS NULL THEN f.number END) >= c.low
      AND COALESCE(f.number * u.factor + u.shift, f.number) < c.high
      AND COALESCE(f.number * u.factor + u.shift, f.number) <= c.top))
JOIN ruleout_need n ON n.reading = c.reading
GROUP BY f.case_id, n.act, n.takes, f.round, f.nth
HAVING COUNT(*) = n.takes
UNION ALL
SELECT f.case_id, l.act, f.round, f.nth,
  CASE f.value WHEN 'gone' THEN 0 WHEN 'stays' THEN 1 WHEN 'holds' THEN 2 ELSE 3 END
FROM ruleout_finding f
JOIN ruleout_look l ON l.name = f.name
WHERE f.value IN ('gone', 'stays', 'holds', 'fails')
UNION ALL
SELECT case_id, -1, 0, 1, -1 FROM ruleout_case;

CREATE INDEX ruleout_seen_at ON ruleout_seen (case_id, act, round, nth);
`

/**
 * A case at a node looks for what it found in that action in the same round, the first time, the second time and so on:
 * `done` lists the actions of the round so far. Told questions have one round only, and what needs no finding none.
 */
function walkSql(start: number): string {
  const nth = "1 + (LENGTH(w.done) - LENGTH(REPLACE(w.done, n.tag, ''))) / LENGTH(n.tag)"
  return `CREATE TABLE ruleout_walk AS
WITH RECURSIVE walk (case_id, step, node, round, done) AS (
  SELECT case_id, 0, ${start}, 0, CAST('' AS VARCHAR(4000)) FROM ruleout_case
  UNION ALL
  SELECT w.case_id, w.step + 1, e.next_node, w.round + n.repairs,
    CAST(CASE WHEN n.repairs = 1 THEN '' ELSE w.done || n.tag END AS VARCHAR(4000))
  FROM walk w
  JOIN ruleout_node n ON n.node = w.node
  JOIN ruleout_seen s ON s.case_id = w.case_id AND s.act = n.act AND s.round = w.round * n.rounds
    AND s.nth = CASE WHEN n.rounds = 1 THEN ${nth} ELSE 1 END
  JOIN ruleout_edge e ON e.node = w.node AND e.outcome = s.outcome
)
SELECT case_id, step, node, round, done FROM walk;
`
}

const ENDING_SQL = `-- ending: closed (the proof run passed), handover (also if no state of the machine fits), open (the record lacks what
-- the graph asks for), or advise (the graph isn't planned that far: a runner goes on from the model).
-- bought: the price of the parts bought on the way; in_vain: of those in which no confirmed fault lies.
CREATE TABLE ruleout_ending AS
SELECT w.case_id AS case_id, w.step AS steps,
  CASE
    WHEN w.node IS NULL THEN 'closed'
    WHEN n.does IN ('handover', 'advise') THEN n.does
    WHEN s.case_id IS NULL THEN 'open'
    ELSE 'handover'
  END AS ending,
  CASE WHEN s.case_id IS NULL THEN n.name END AS asked_for,
  w.round AS repairs, COALESCE(b.bought, 0) AS bought,
  CASE WHEN k.fault IS NOT NULL THEN COALESCE(b.in_vain, 0) END AS in_vain,
  n.likeliest AS likeliest, k.fault AS fault, k.other AS other
FROM ruleout_walk w
JOIN (SELECT case_id, MAX(step) AS step FROM ruleout_walk GROUP BY case_id) m
  ON m.case_id = w.case_id AND m.step = w.step
JOIN ruleout_case k ON k.case_id = w.case_id
LEFT JOIN (
  SELECT p.case_id AS case_id, SUM(o.price) AS bought,
    SUM(CASE WHEN o.place = COALESCE(f.place, '') OR o.place = COALESCE(g.place, '') THEN 0 ELSE o.price END) AS in_vain
  FROM ruleout_walk p
  JOIN ruleout_walk q ON q.case_id = p.case_id AND q.step = p.step + 1
  JOIN ruleout_node o ON o.node = p.node AND o.price IS NOT NULL
  JOIN ruleout_case c ON c.case_id = p.case_id
  LEFT JOIN ruleout_fault f ON f.name = c.fault
  LEFT JOIN ruleout_fault g ON g.name = c.other
  GROUP BY p.case_id
) b ON b.case_id = w.case_id
LEFT JOIN ruleout_node n ON n.node = w.node
LEFT JOIN ruleout_seen s ON s.case_id = w.case_id AND s.act = n.act AND s.round = w.round * n.rounds
  AND s.nth = CASE
    WHEN n.rounds = 1 THEN 1 + (LENGTH(w.done) - LENGTH(REPLACE(w.done, n.tag, ''))) / LENGTH(n.tag)
    ELSE 1
  END;
`
