-- What the logs say, laid out for counting and for looking back: a row a trip, a piece, an answer, a lumen, a finding.
-- Each table has a view `told_...` that says how its rows are read from the log; triggers put them in with the event, in
-- its transaction. Disposable: kiosk/store/facts.py makes them anew, `verify` holds them against the log. A body that is
-- no JSON, or of a newer program, gives no row. Days and minutes are of the station's own clock.

CREATE TABLE fact_trip (
  trip TEXT NOT NULL PRIMARY KEY, bench TEXT NOT NULL, tray TEXT NOT NULL, name TEXT NOT NULL, load TEXT NOT NULL,
  day TEXT NOT NULL, at_ms INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX fact_trip_by_time ON fact_trip (at_ms);
CREATE INDEX fact_trip_by_tray ON fact_trip (tray, at_ms);

CREATE TABLE fact_piece (
  trip TEXT NOT NULL, piece TEXT NOT NULL, item TEXT NOT NULL, type TEXT NOT NULL,
  PRIMARY KEY (trip, piece)
) STRICT, WITHOUT ROWID;
CREATE INDEX fact_piece_by_item ON fact_piece (item, trip);

CREATE TABLE fact_load (  -- a trip met a washer load: its own, or that of a piece that came back
  load TEXT NOT NULL, trip TEXT NOT NULL, at_ms INTEGER NOT NULL, PRIMARY KEY (load, trip, at_ms)
) STRICT, WITHOUT ROWID;

CREATE TABLE fact_lot (  -- a box of swabs was opened: its lot is in use at that station from there on, by the log's clock
  bench TEXT NOT NULL, hlc INTEGER NOT NULL, lot TEXT NOT NULL, at_ms INTEGER NOT NULL, PRIMARY KEY (bench, hlc)
) STRICT, WITHOUT ROWID;

CREATE TABLE fact_answer (  -- yes: 1, no: 0, can't tell: -1; tool: the scope, or the swab's head; lot: of the swab
  day TEXT NOT NULL, id TEXT NOT NULL, at_ms INTEGER NOT NULL, minute INTEGER NOT NULL, trip TEXT NOT NULL,
  piece TEXT NOT NULL, type TEXT NOT NULL, lumen TEXT NOT NULL, method TEXT NOT NULL, yes INTEGER NOT NULL,
  took_ms INTEGER NOT NULL, tool TEXT NOT NULL, lot TEXT NOT NULL,
  PRIMARY KEY (day, id)
) STRICT, WITHOUT ROWID;
CREATE INDEX fact_answer_by_scope ON fact_answer (tool, at_ms) WHERE method = 'scope';
CREATE INDEX fact_answer_by_lot ON fact_answer (lot, at_ms) WHERE lot != '';

CREATE TABLE fact_lumen (  -- a lumen looked at: its first answer
  trip TEXT NOT NULL, piece TEXT NOT NULL, lumen TEXT NOT NULL, type TEXT NOT NULL, day TEXT NOT NULL,
  minute INTEGER NOT NULL, at_ms INTEGER NOT NULL, id TEXT NOT NULL,
  PRIMARY KEY (trip, piece, lumen)
) STRICT, WITHOUT ROWID;
CREATE INDEX fact_lumen_by_day ON fact_lumen (day, minute, type);

CREATE TABLE fact_sum (  -- of a day: lumens looked at by type; answers YES or NO, and those NO, by method, scope, lot
  what TEXT NOT NULL CHECK (what IN ('type', 'method', 'scope', 'lot')), day TEXT NOT NULL, word TEXT NOT NULL,
  n INTEGER NOT NULL, no INTEGER NOT NULL,
  PRIMARY KEY (what, day, word)
) STRICT, WITHOUT ROWID;

CREATE TABLE fact_finding (  -- at_mm, length_mm: from the entry, and the lumen's length, where both are known
  day TEXT NOT NULL, id TEXT NOT NULL, at_ms INTEGER NOT NULL, minute INTEGER NOT NULL, trip TEXT NOT NULL,
  n INTEGER NOT NULL, piece TEXT NOT NULL, type TEXT NOT NULL, lumen TEXT NOT NULL, method TEXT NOT NULL,
  code TEXT NOT NULL, grp TEXT NOT NULL, at_mm REAL, length_mm REAL,
  PRIMARY KEY (day, id)
) STRICT, WITHOUT ROWID;

CREATE TABLE fact_withdrawn (
  trip TEXT NOT NULL, n INTEGER NOT NULL, PRIMARY KEY (trip, n)
) STRICT, WITHOUT ROWID;

CREATE TABLE fact_scope (  -- what was done to a scope between two uses: cleaned, out of use, returned
  scope TEXT NOT NULL, at_ms INTEGER NOT NULL, id TEXT NOT NULL, what TEXT NOT NULL, PRIMARY KEY (scope, at_ms, id)
) STRICT, WITHOUT ROWID;

CREATE VIEW readable_event AS
  SELECT origin, seq, hlc, id, typ, bench, at_ms, trip, CAST(body AS TEXT) AS body,
    date(at_ms / 1000 + offset_min * 60, 'unixepoch') AS day,
    ((at_ms / 60000 + offset_min) % 1440 + 1440) % 1440 AS minute
  FROM every_event
  WHERE ver = 1 AND json_valid(CAST(body AS TEXT))
    AND date(at_ms / 1000 + offset_min * 60, 'unixepoch') IS NOT NULL;  -- a clock beyond all days tells no day

-- What is no object is passed over before anything is read from it: JSON's operators raise for a bare word.
CREATE VIEW opened_item AS
  SELECT e.origin, e.seq, e.trip, i.key AS place, iif(i.type = 'object', i.value, '{}') AS item
  FROM readable_event e, json_each(e.body, '$.tray.items') i
  WHERE e.typ = 'tray_opened' AND e.trip IS NOT NULL AND i.key < 500;

CREATE VIEW told_trip AS
  SELECT origin, seq, trip, bench, CAST(body ->> '$.tray.code' AS TEXT) AS tray, CAST(body ->> '$.tray.name' AS TEXT) AS name,
    CAST(coalesce(body ->> '$.load', '') AS TEXT) AS load, day, at_ms
  FROM readable_event
  WHERE typ = 'tray_opened' AND trip IS NOT NULL AND body ->> '$.tray.code' IS NOT NULL
    AND body ->> '$.tray.name' IS NOT NULL;

CREATE VIEW told_piece AS
  WITH RECURSIVE each_of(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM each_of WHERE n < 99)
  SELECT origin, seq, trip,
    item ->> '$.id' || CASE coalesce(item ->> '$.qty', 1) WHEN 1 THEN '' ELSE '#' || n END AS piece,
    CAST(item ->> '$.id' AS TEXT) AS item, CAST(item ->> '$.type' AS TEXT) AS type
  FROM opened_item, each_of
  WHERE item ->> '$.id' IS NOT NULL AND item ->> '$.type' IS NOT NULL AND n <= coalesce(item ->> '$.qty', 1)
  UNION ALL
  SELECT origin, seq, trip, CAST(body ->> '$.item.id' AS TEXT), CAST(body ->> '$.item.id' AS TEXT),
    CAST(body ->> '$.item.type' AS TEXT)
  FROM readable_event
  WHERE typ = 'replaced' AND trip IS NOT NULL AND body ->> '$.item.id' IS NOT NULL AND body ->> '$.item.type' IS NOT NULL;

CREATE VIEW told_load AS
  SELECT origin, seq, CAST(body ->> '$.load' AS TEXT) AS load, trip, at_ms
  FROM readable_event WHERE trip IS NOT NULL AND body ->> '$.load' != ''
    AND typ IN ('tray_opened', 'load_checked', 'item_returned_clean', 'recheck_started');

CREATE VIEW told_lot AS
  SELECT origin, seq, bench, hlc, CAST(coalesce(body ->> '$.lot', '') AS TEXT) AS lot, at_ms
  FROM readable_event WHERE typ = 'swab_lot_opened';

CREATE VIEW told_answer AS
  SELECT e.origin, e.seq, e.day, e.id, e.at_ms, e.minute, coalesce(e.trip, '') AS trip,
    CAST(e.body ->> '$.piece' AS TEXT) AS piece,
    coalesce((SELECT p.type FROM fact_piece p WHERE p.trip = e.trip AND p.piece = e.body ->> '$.piece'), '') AS type,
    CASE WHEN dot THEN substr(word, 1, dot - 1) ELSE '' END AS lumen, substr(word, dot + 1) AS method,
    CASE WHEN e.typ = 'check_yes' THEN 1 WHEN e.body ->> '$.unsure' THEN -1 ELSE 0 END AS yes,
    CAST(coalesce(e.body ->> '$.took_ms', 0) AS INTEGER) AS took_ms,
    CAST(coalesce(e.body ->> '$.tool', '') AS TEXT) AS tool,
    CASE WHEN word LIKE '%.swab' THEN coalesce((
      SELECT l.lot FROM fact_lot l WHERE l.bench = e.bench AND l.hlc < e.hlc ORDER BY l.hlc DESC LIMIT 1
    ), '') ELSE '' END AS lot
  FROM (
    SELECT *, CAST(body ->> '$.key' AS TEXT) AS word, instr(CAST(body ->> '$.key' AS TEXT), '.') AS dot
    FROM readable_event
    WHERE typ IN ('check_yes', 'check_no') AND body ->> '$.piece' IS NOT NULL AND body ->> '$.key' IS NOT NULL
  ) e;

CREATE VIEW told_finding AS
  SELECT e.origin, e.seq, e.day, e.id, e.at_ms, e.minute, coalesce(e.trip, '') AS trip,
    CAST(e.body ->> '$.n' AS INTEGER) AS n, CAST(e.body ->> '$.piece' AS TEXT) AS piece, coalesce(p.type, '') AS type,
    CAST(coalesce(nullif(e.body ->> '$.place.lumen', ''), substr(word, 1, max(dot - 1, 0))) AS TEXT) AS lumen,
    substr(word, dot + 1) AS method, CAST(e.body ->> '$.code' AS TEXT) AS code, CAST(e.body ->> '$.group' AS TEXT) AS grp,
    CAST(e.body ->> '$.place.at_mm' AS REAL) AS at_mm,
    (SELECT CAST(w.value ->> '$.length_mm' AS REAL)
     FROM opened_item o, json_each(o.item, '$.lumens') w
     WHERE o.trip = e.trip AND o.item ->> '$.id' = p.item
       AND iif(w.type = 'object', w.value, '{}') ->> '$.name'
         = coalesce(nullif(e.body ->> '$.place.lumen', ''), substr(word, 1, max(dot - 1, 0)))
     ORDER BY o.origin, o.seq LIMIT 1) AS length_mm
  FROM (
    SELECT *, CAST(body ->> '$.key' AS TEXT) AS word, instr(CAST(body ->> '$.key' AS TEXT), '.') AS dot
    FROM readable_event
    WHERE typ = 'finding' AND body ->> '$.n' IS NOT NULL AND body ->> '$.piece' IS NOT NULL
      AND body ->> '$.key' IS NOT NULL AND body ->> '$.code' IS NOT NULL AND body ->> '$.group' IS NOT NULL
  ) e LEFT JOIN fact_piece p ON p.trip = e.trip AND p.piece = e.body ->> '$.piece';

CREATE VIEW told_withdrawn AS
  SELECT origin, seq, trip, CAST(body ->> '$.n' AS INTEGER) AS n
  FROM readable_event WHERE typ = 'finding_withdrawn' AND trip IS NOT NULL AND body ->> '$.n' IS NOT NULL;

CREATE VIEW told_scope AS
  SELECT origin, seq, CAST(body ->> '$.scope' AS TEXT) AS scope, at_ms, id, typ AS what
  FROM readable_event
  WHERE typ IN ('scope_cleaned', 'scope_out_of_use', 'scope_returned') AND body ->> '$.scope' IS NOT NULL;

CREATE VIEW told_sum AS
  SELECT 'type' AS what, day, type AS word, count(*) AS n, 0 AS no FROM fact_lumen GROUP BY day, type
  UNION ALL
  SELECT 'method', day, method, count(*), sum(yes = 0) FROM fact_answer
  WHERE yes >= 0 AND lumen != '' AND method != '' GROUP BY day, method
  UNION ALL
  SELECT 'scope', day, tool, count(*), sum(yes = 0) FROM fact_answer
  WHERE yes >= 0 AND method = 'scope' AND tool != '' GROUP BY day, tool
  UNION ALL
  SELECT 'lot', day, lot, count(*), sum(yes = 0) FROM fact_answer
  WHERE yes >= 0 AND lot != '' GROUP BY day, lot;

CREATE TRIGGER fact_lumen_is_summed AFTER INSERT ON fact_lumen
BEGIN
  INSERT INTO fact_sum (what, day, word, n, no) VALUES ('type', NEW.day, NEW.type, 1, 0)
    ON CONFLICT DO UPDATE SET n = n + 1;
END;

CREATE TRIGGER fact_lumen_is_summed_elsewhere AFTER UPDATE ON fact_lumen
WHEN (OLD.day, OLD.type) IS NOT (NEW.day, NEW.type)
BEGIN
  UPDATE fact_sum SET n = n - 1 WHERE what = 'type' AND day = OLD.day AND word = OLD.type;
  DELETE FROM fact_sum WHERE what = 'type' AND day = OLD.day AND word = OLD.type AND n = 0;
  INSERT INTO fact_sum (what, day, word, n, no) VALUES ('type', NEW.day, NEW.type, 1, 0)
    ON CONFLICT DO UPDATE SET n = n + 1;
END;

CREATE TRIGGER fact_answer_is_summed AFTER INSERT ON fact_answer
WHEN NEW.yes >= 0
BEGIN
  INSERT INTO fact_sum (what, day, word, n, no)
    SELECT column1, NEW.day, column2, 1, NEW.yes = 0
    FROM (VALUES
      ('method', iif(NEW.lumen != '', NEW.method, '')), ('scope', iif(NEW.method = 'scope', NEW.tool, '')), ('lot', NEW.lot)
    )
    WHERE column2 != ''
    ON CONFLICT DO UPDATE SET n = n + 1, no = no + excluded.no;
END;

-- The log's own rows, then those heard of others.
CREATE TRIGGER event_tells_opening AFTER INSERT ON event
WHEN NEW.typ IN ('tray_opened', 'replaced')
BEGIN
  INSERT OR IGNORE INTO fact_trip SELECT trip, bench, tray, name, load, day, at_ms
    FROM told_trip WHERE origin = (SELECT v FROM meta WHERE k = 'origin') AND seq = NEW.seq;
  INSERT OR IGNORE INTO fact_piece SELECT trip, piece, item, type
    FROM told_piece WHERE origin = (SELECT v FROM meta WHERE k = 'origin') AND seq = NEW.seq;
END;

CREATE TRIGGER event_tells_load AFTER INSERT ON event
WHEN NEW.typ IN ('tray_opened', 'load_checked', 'item_returned_clean', 'recheck_started')
BEGIN
  INSERT OR IGNORE INTO fact_load SELECT load, trip, at_ms
    FROM told_load WHERE origin = (SELECT v FROM meta WHERE k = 'origin') AND seq = NEW.seq;
END;

CREATE TRIGGER event_tells_lot AFTER INSERT ON event
WHEN NEW.typ = 'swab_lot_opened'
BEGIN
  INSERT OR IGNORE INTO fact_lot SELECT bench, hlc, lot, at_ms
    FROM told_lot WHERE origin = (SELECT v FROM meta WHERE k = 'origin') AND seq = NEW.seq;
END;

CREATE TRIGGER event_tells_answer AFTER INSERT ON event
WHEN NEW.typ IN ('check_yes', 'check_no')
BEGIN
  INSERT OR IGNORE INTO fact_answer SELECT day, id, at_ms, minute, trip, piece, type, lumen, method, yes, took_ms, tool, lot
    FROM told_answer WHERE origin = (SELECT v FROM meta WHERE k = 'origin') AND seq = NEW.seq;
  INSERT INTO fact_lumen (trip, piece, lumen, type, day, minute, at_ms, id)
    SELECT trip, piece, lumen, type, day, minute, at_ms, id FROM told_answer
    WHERE origin = (SELECT v FROM meta WHERE k = 'origin') AND seq = NEW.seq AND lumen != ''
    ON CONFLICT DO UPDATE SET
      type = excluded.type, day = excluded.day, minute = excluded.minute, at_ms = excluded.at_ms, id = excluded.id
      WHERE (excluded.at_ms, excluded.id) < (fact_lumen.at_ms, fact_lumen.id);
END;

CREATE TRIGGER event_tells_finding AFTER INSERT ON event
WHEN NEW.typ IN ('finding', 'finding_withdrawn')
BEGIN
  INSERT OR IGNORE INTO fact_finding SELECT day, id, at_ms, minute, trip, n, piece, type, lumen, method, code, grp, at_mm, length_mm
    FROM told_finding WHERE origin = (SELECT v FROM meta WHERE k = 'origin') AND seq = NEW.seq;
  INSERT OR IGNORE INTO fact_withdrawn SELECT trip, n
    FROM told_withdrawn WHERE origin = (SELECT v FROM meta WHERE k = 'origin') AND seq = NEW.seq;
END;

CREATE TRIGGER event_tells_scope AFTER INSERT ON event
WHEN NEW.typ IN ('scope_cleaned', 'scope_out_of_use', 'scope_returned')
BEGIN
  INSERT OR IGNORE INTO fact_scope SELECT scope, at_ms, id, what
    FROM told_scope WHERE origin = (SELECT v FROM meta WHERE k = 'origin') AND seq = NEW.seq;
END;

CREATE TRIGGER remote_event_tells_opening AFTER INSERT ON remote_event
WHEN NEW.typ IN ('tray_opened', 'replaced')
BEGIN
  INSERT OR IGNORE INTO fact_trip SELECT trip, bench, tray, name, load, day, at_ms
    FROM told_trip WHERE origin = NEW.origin AND seq = NEW.seq;
  INSERT OR IGNORE INTO fact_piece SELECT trip, piece, item, type
    FROM told_piece WHERE origin = NEW.origin AND seq = NEW.seq;
END;

CREATE TRIGGER remote_event_tells_load AFTER INSERT ON remote_event
WHEN NEW.typ IN ('tray_opened', 'load_checked', 'item_returned_clean', 'recheck_started')
BEGIN
  INSERT OR IGNORE INTO fact_load SELECT load, trip, at_ms
    FROM told_load WHERE origin = NEW.origin AND seq = NEW.seq;
END;

CREATE TRIGGER remote_event_tells_lot AFTER INSERT ON remote_event
WHEN NEW.typ = 'swab_lot_opened'
BEGIN
  INSERT OR IGNORE INTO fact_lot SELECT bench, hlc, lot, at_ms
    FROM told_lot WHERE origin = NEW.origin AND seq = NEW.seq;
END;

CREATE TRIGGER remote_event_tells_answer AFTER INSERT ON remote_event
WHEN NEW.typ IN ('check_yes', 'check_no')
BEGIN
  INSERT OR IGNORE INTO fact_answer SELECT day, id, at_ms, minute, trip, piece, type, lumen, method, yes, took_ms, tool, lot
    FROM told_answer WHERE origin = NEW.origin AND seq = NEW.seq;
  INSERT INTO fact_lumen (trip, piece, lumen, type, day, minute, at_ms, id)
    SELECT trip, piece, lumen, type, day, minute, at_ms, id FROM told_answer
    WHERE origin = NEW.origin AND seq = NEW.seq AND lumen != ''
    ON CONFLICT DO UPDATE SET
      type = excluded.type, day = excluded.day, minute = excluded.minute, at_ms = excluded.at_ms, id = excluded.id
      WHERE (excluded.at_ms, excluded.id) < (fact_lumen.at_ms, fact_lumen.id);
END;

CREATE TRIGGER remote_event_tells_finding AFTER INSERT ON remote_event
WHEN NEW.typ IN ('finding', 'finding_withdrawn')
BEGIN
  INSERT OR IGNORE INTO fact_finding SELECT day, id, at_ms, minute, trip, n, piece, type, lumen, method, code, grp, at_mm, length_mm
    FROM told_finding WHERE origin = NEW.origin AND seq = NEW.seq;
  INSERT OR IGNORE INTO fact_withdrawn SELECT trip, n
    FROM told_withdrawn WHERE origin = NEW.origin AND seq = NEW.seq;
END;

CREATE TRIGGER remote_event_tells_scope AFTER INSERT ON remote_event
WHEN NEW.typ IN ('scope_cleaned', 'scope_out_of_use', 'scope_returned')
BEGIN
  INSERT OR IGNORE INTO fact_scope SELECT scope, at_ms, id, what
    FROM told_scope WHERE origin = NEW.origin AND seq = NEW.seq;
END;

-- What was kept before there were facts.
INSERT OR IGNORE INTO fact_trip (trip, bench, tray, name, load, day, at_ms)
  SELECT trip, bench, tray, name, load, day, at_ms FROM told_trip;
INSERT OR IGNORE INTO fact_piece (trip, piece, item, type)
  SELECT trip, piece, item, type FROM told_piece;
INSERT OR IGNORE INTO fact_load (load, trip, at_ms)
  SELECT load, trip, at_ms FROM told_load;
INSERT OR IGNORE INTO fact_lot (bench, hlc, lot, at_ms)
  SELECT bench, hlc, lot, at_ms FROM told_lot;
INSERT OR IGNORE INTO fact_answer (day, id, at_ms, minute, trip, piece, type, lumen, method, yes, took_ms, tool, lot)
  SELECT day, id, at_ms, minute, trip, piece, type, lumen, method, yes, took_ms, tool, lot FROM told_answer;
INSERT OR IGNORE INTO fact_finding (day, id, at_ms, minute, trip, n, piece, type, lumen, method, code, grp, at_mm, length_mm)
  SELECT day, id, at_ms, minute, trip, n, piece, type, lumen, method, code, grp, at_mm, length_mm FROM told_finding;
INSERT OR IGNORE INTO fact_withdrawn (trip, n)
  SELECT trip, n FROM told_withdrawn;
INSERT OR IGNORE INTO fact_scope (scope, at_ms, id, what)
  SELECT scope, at_ms, id, what FROM told_scope;
INSERT OR IGNORE INTO fact_lumen (trip, piece, lumen, type, day, minute, at_ms, id)
  SELECT trip, piece, lumen, type, day, minute, at_ms, id FROM (
    SELECT *, row_number() OVER (PARTITION BY trip, piece, lumen ORDER BY at_ms, id) AS nth
    FROM fact_answer WHERE lumen != ''
  ) WHERE nth = 1;
