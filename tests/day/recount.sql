-- The counters of a shift, straight from the stations' logs. Written from the definitions of the written shifts' README
-- ("How counters count"), beside the program and not with it: nothing here asks what the program's own fold says.
--
-- ev:    every event of every station: st, seq, typ, at_ms, who, trip, body (JSON as text)
-- :a :b  the shift begins and ends, Unix milliseconds
-- :alert soiled pieces of one washer load that make an alert
-- Each row: counter, number. What is not named here is 0.

WITH
known AS (SELECT * FROM ev WHERE at_ms < :b),
here AS (SELECT * FROM known WHERE at_ms >= :a),

-- Trips: begun, and how they ended, as things stood at the shift's end.
begun AS (SELECT trip, at_ms, seq FROM known WHERE typ = 'tray_opened'),
-- A package that is opened again ends nothing: the last of packed and opened again counts.
last_word AS (
  SELECT trip, typ, at_ms, row_number() OVER (PARTITION BY trip ORDER BY seq DESC) AS back
  FROM known WHERE typ IN ('packed', 'packed_short', 'tray_back', 'tray_let_go', 'tray_reopened', 'loaner_returned')
),
ended AS (SELECT trip, typ, at_ms FROM last_word WHERE back = 1 AND typ <> 'tray_reopened'),
open_now AS (SELECT trip FROM begun WHERE trip NOT IN (SELECT trip FROM ended)),

-- The plan of each piece: the last one shown. One row a check key, with the YES it wants.
shown AS (
  SELECT e.trip, e.seq, json_extract(p.value, '$.piece') AS piece, p.value AS plan,
         row_number() OVER (PARTITION BY e.trip, json_extract(p.value, '$.piece') ORDER BY e.seq DESC) AS back
  FROM known e, json_each(e.body, '$.plans') p WHERE e.typ = 'plan_shown'
),
planned AS (
  SELECT s.trip, s.piece, json_extract(c.value, '$.lumen') AS lumen,
         CASE json_extract(c.value, '$.lumen') WHEN '' THEN '' ELSE json_extract(c.value, '$.lumen') || '.' END
           || json_extract(c.value, '$.check') AS key,
         sum(CASE json_extract(c.value, '$.ends') WHEN 'both ends' THEN 2 ELSE 1 END) AS wanted
  FROM shown s, json_each(s.plan, '$.checks') c WHERE s.back = 1 GROUP BY 1, 2, 3, 4
),
lumened AS (SELECT DISTINCT trip, piece FROM shown WHERE back = 1 AND json_array_length(plan, '$.lumens') > 0),

-- YES that stand: given after the last time that the piece was to be asked again, less those taken back since.
asked_again AS (
  SELECT e.trip, p.value AS piece, e.seq FROM known e, json_each(e.body, '$.pieces') p
  WHERE e.typ IN ('repeated_after_pause', 'recheck_started')
  UNION ALL
  SELECT trip, json_extract(body, '$.piece'), seq FROM known WHERE typ IN ('recheck_started', 'checks_fell')
),
since AS (SELECT trip, piece, max(seq) AS seq FROM asked_again GROUP BY 1, 2),
said AS (
  SELECT e.trip, json_extract(e.body, '$.piece') AS piece, json_extract(e.body, '$.key') AS key, e.at_ms,
         CASE e.typ WHEN 'check_yes' THEN 1 ELSE -1 END AS one
  FROM known e LEFT JOIN since s ON s.trip = e.trip AND s.piece = json_extract(e.body, '$.piece')
  WHERE (e.typ = 'check_yes' OR (e.typ = 'correction' AND json_extract(e.body, '$.was') = 'yes'))
    AND e.seq > coalesce(s.seq, 0)
),
given AS (
  SELECT trip, piece, key, sum(one) AS yes, max(CASE one WHEN 1 THEN at_ms END) AS at_ms FROM said GROUP BY 1, 2, 3
),
answers AS (
  SELECT p.trip, p.piece, p.lumen, p.key, coalesce(g.yes, 0) >= p.wanted AS done, g.at_ms
  FROM planned p LEFT JOIN given g USING (trip, piece, key)
),
piece_done AS (SELECT trip, piece, min(done) AS done, max(at_ms) AS at_ms FROM answers GROUP BY 1, 2),
lumen_done AS (
  SELECT trip, piece, lumen, min(done) AS done, max(at_ms) AS at_ms FROM answers WHERE lumen <> '' GROUP BY 1, 2, 3
),
unseen AS (
  SELECT DISTINCT trip, json_extract(body, '$.piece') AS piece, json_extract(body, '$.lumen') AS lumen
  FROM known WHERE typ = 'not_seen_marked'
),

-- Findings that stand. A doubt counts as what two people made of it.
withdrawn AS (SELECT trip, json_extract(body, '$.n') AS n FROM known WHERE typ = 'finding_withdrawn'),
settled AS (
  SELECT trip, json_extract(body, '$.n') AS n, json_extract(body, '$.group') AS grp, json_extract(body, '$.how') AS how
  FROM known WHERE typ = 'doubt_settled'
),
put_right AS (
  SELECT trip, json_extract(body, '$.n') AS n, typ FROM known WHERE typ IN ('dried', 'bench_fixed')
),
found AS (
  SELECT e.trip, json_extract(e.body, '$.n') AS n, json_extract(e.body, '$.piece') AS piece,
         json_extract(e.body, '$.key') AS key, e.at_ms, e.seq,
         coalesce(s.grp, json_extract(e.body, '$.group')) AS grp, s.how AS how, r.typ AS mended
  FROM known e
  LEFT JOIN settled s ON s.trip = e.trip AND s.n = json_extract(e.body, '$.n')
  LEFT JOIN put_right r ON r.trip = e.trip AND r.n = json_extract(e.body, '$.n')
  WHERE e.typ = 'finding'
    AND NOT EXISTS (SELECT 1 FROM withdrawn w WHERE w.trip = e.trip AND w.n = json_extract(e.body, '$.n'))
),
by_group AS (SELECT trip, piece, grp, max(at_ms) AS at_ms FROM found GROUP BY 1, 2, 3),

-- Count lines that stay different, of the last count.
recounted AS (
  SELECT trip, max(seq) AS seq FROM known
  WHERE typ = 'repeated_after_pause' AND json_extract(body, '$.count') GROUP BY 1
),
differs AS (
  SELECT e.at_ms, abs(json_extract(e.body, '$.want') - json_extract(e.body, '$.have')) AS pieces
  FROM known e LEFT JOIN recounted r USING (trip)
  WHERE e.typ IN ('count_short', 'count_over') AND e.seq > coalesce(r.seq, 0)
),

holding AS (
  SELECT trip, json_extract(body, '$.hold') AS hold FROM known WHERE typ = 'hold_placed'
  EXCEPT
  SELECT e.trip, h.value FROM known e, json_each(e.body, '$.holds') h WHERE e.typ = 'hold_released'
),
tickets AS (
  SELECT trip, at_ms, json_extract(body, '$.ticket') AS ticket, json_array_length(body, '$.pieces') AS pieces
  FROM known WHERE typ IN ('item_back', 'tray_back')
),
received AS (SELECT json_extract(body, '$.ticket') AS ticket FROM known WHERE typ = 'ticket_received'),

-- Wet, stiff, fiber: put right, and answered YES after it.
passed_after AS (
  SELECT DISTINCT f.trip, f.piece, f.mended, f.at_ms FROM found f
  WHERE f.mended IS NOT NULL AND f.grp <> 'check' AND EXISTS (
    SELECT 1 FROM known y WHERE y.typ = 'check_yes' AND y.trip = f.trip AND y.seq > f.seq
      AND json_extract(y.body, '$.piece') = f.piece AND json_extract(y.body, '$.key') = f.key)
),
-- Soiled pieces by washer load: the load that was checked last for the trip.
load_of AS (
  SELECT trip, json_extract(body, '$.load') AS load, row_number() OVER (PARTITION BY trip ORDER BY seq DESC) AS back
  FROM known WHERE typ = 'load_checked'
),
alerts AS (
  SELECT l.load FROM by_group g JOIN load_of l ON l.trip = g.trip AND l.back = 1
  WHERE g.grp = 'soil' AND g.at_ms >= :a GROUP BY l.load HAVING count(*) >= :alert
),
plain(typ, counter) AS (VALUES
  ('repair_tagged', 'repairs'), ('quarantined', 'quarantined'), ('discarded', 'discarded'), ('replaced', 'replaced'),
  ('second_look_asked', 'second_looks'), ('second_counted', 'second_looks'), ('override_done', 'overrides'), ('override_refused', 'overrides_refused'),
  ('hold_placed', 'holds_placed'), ('reprinted', 'copies'), ('scope_cleaned', 'scope_cleans'),
  ('exposure_noted', 'exposures'), ('wrong_scan', 'wrong_scans'),
  ('correction', 'corrections'), ('label_voided', 'labels_voided'),
  ('tray_opened', 'trays_opened'), ('rush_marked', 'rush'), ('tray_reopened', 'trays_reopened'),
  ('sync_conflict', 'sync_conflicts'))

SELECT p.counter, count(*) FROM here h JOIN plain p USING (typ) GROUP BY 1
UNION ALL SELECT 'scope_out_of_use', count(*) FROM here  -- with a paper, it is sent: not taken out once more
  WHERE typ = 'scope_out_of_use' AND coalesce(json_extract(body, '$.paper'), '') = ''
UNION ALL SELECT 'corrections', count(*) FROM here h  -- a finding withdrawn without an answer taken back
  WHERE h.typ = 'finding_withdrawn' AND NOT EXISTS (
    SELECT 1 FROM ev n WHERE n.st = h.st AND n.seq = h.seq + 1 AND n.typ = 'correction')
UNION ALL SELECT 'load_alerts', count(*) FROM alerts
UNION ALL SELECT 'repeat_items', count(DISTINCT trip || json_extract(body, '$.piece')) FROM here
  WHERE typ = 'lead_told' AND json_extract(body, '$.why') IN ('second_return', 'fail_limit')
UNION ALL SELECT 'handwritten_tickets', count(*) FROM here
  WHERE typ = 'ticket_handwritten' AND json_extract(body, '$.doc') = 'return_ticket'
UNION ALL SELECT 'trays_packed', count(*) FROM ended WHERE typ = 'packed' AND at_ms >= :a
UNION ALL SELECT 'trays_packed_short', count(*) FROM ended WHERE typ = 'packed_short' AND at_ms >= :a
UNION ALL SELECT 'trays_back', count(*) FROM ended WHERE typ = 'tray_back' AND at_ms >= :a
UNION ALL SELECT 'trays_open_at_end', count(*) FROM open_now
UNION ALL SELECT 'holds_open', count(*) FROM holding WHERE trip IN (SELECT trip FROM open_now)
UNION ALL SELECT 'pieces_checked', count(*) FROM lumened JOIN (
  SELECT d.trip, d.piece, CASE WHEN d.done THEN d.at_ms ELSE max(f.at_ms) END AS at_ms
  FROM piece_done d LEFT JOIN found f
    ON f.trip = d.trip AND f.piece = d.piece AND f.mended IS NULL AND coalesce(f.how, '') NOT IN ('clear', 'accepted')
  GROUP BY 1, 2) USING (trip, piece) WHERE at_ms >= :a
UNION ALL SELECT 'lumens_checked', count(*) FROM lumen_done WHERE done AND at_ms >= :a
UNION ALL SELECT 'lumens_not_seen', count(*) FROM lumen_done JOIN unseen USING (trip, piece, lumen)
  WHERE done AND at_ms >= :a
UNION ALL SELECT grp, count(*) FROM by_group
  WHERE at_ms >= :a AND grp IN ('soil', 'foreign', 'wet', 'blocked', 'damage', 'identity') GROUP BY 1
UNION ALL SELECT 'identity', coalesce(sum(pieces), 0) FROM differs WHERE at_ms >= :a
UNION ALL SELECT 'items_back', coalesce(sum(pieces), 0) FROM tickets WHERE at_ms >= :a
UNION ALL SELECT 'tickets', count(*) FROM tickets WHERE at_ms >= :a
UNION ALL SELECT 'tickets_waiting', count(*) FROM tickets WHERE ticket NOT IN (SELECT ticket FROM received)
UNION ALL SELECT 'dried_again', count(DISTINCT trip || piece) FROM passed_after WHERE mended = 'dried' AND at_ms >= :a
UNION ALL SELECT 'bench_fixed', count(DISTINCT trip || piece) FROM passed_after
  WHERE mended = 'bench_fixed' AND at_ms >= :a
UNION ALL SELECT 'bench_' || json_extract(body, '$.level'), count(*) FROM here WHERE typ = 'bench_cleaned' GROUP BY 1
