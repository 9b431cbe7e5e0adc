-- What chains of contact are followed by: the uses of scopes by trip, and when what can be told apart came to which tray.
-- `thing`: an item of the set record, a spare, or a mark that was read; `many`: its pieces; 0: it was taken out. A stay
-- whose trip's opening is not known here gives no row until that is heard.

CREATE INDEX fact_answer_by_trip ON fact_answer (trip, at_ms) WHERE method = 'scope';

CREATE TABLE fact_stay (
  thing TEXT NOT NULL, tray TEXT NOT NULL, at_ms INTEGER NOT NULL, trip TEXT NOT NULL, many INTEGER NOT NULL,
  PRIMARY KEY (thing, tray, at_ms, trip, many)
) STRICT, WITHOUT ROWID;
CREATE INDEX fact_stay_by_trip ON fact_stay (trip, thing, at_ms);

CREATE VIEW told_tray AS
  SELECT e.origin, e.seq, e.trip, e.at_ms, e.typ, e.body, t.tray
  FROM readable_event e JOIN fact_trip t ON t.trip = e.trip WHERE e.typ IN ('tray_opened', 'replaced', 'mark_read');

CREATE VIEW told_stay AS
  SELECT e.origin, e.seq, CAST(o.item ->> '$.id' AS TEXT) AS thing, tray, at_ms, e.trip,
    max(1, CAST(coalesce(o.item ->> '$.qty', 1) AS INTEGER)) AS many
  FROM told_tray e JOIN opened_item o ON o.origin = e.origin AND o.seq = e.seq
  WHERE typ = 'tray_opened' AND o.item ->> '$.id' IS NOT NULL
  UNION ALL
  SELECT origin, seq, CAST(body ->> '$.item.id' AS TEXT), tray, at_ms, trip, 1
  FROM told_tray WHERE typ = 'replaced' AND body ->> '$.item.id' IS NOT NULL
  UNION ALL
  SELECT origin, seq, CAST(body ->> '$.out' AS TEXT), tray, at_ms, trip, 0
  FROM told_tray WHERE typ = 'replaced' AND body ->> '$.out' IS NOT NULL
  UNION ALL
  SELECT origin, seq, CAST(body ->> '$.mark' AS TEXT), tray, at_ms, trip, 1
  FROM told_tray
  WHERE typ = 'mark_read' AND body ->> '$.mark' != '' AND instr(body ->> '$.piece', '#');

CREATE TRIGGER fact_trip_tells_stays AFTER INSERT ON fact_trip
BEGIN
  INSERT OR IGNORE INTO fact_stay SELECT thing, tray, at_ms, trip, many FROM told_stay WHERE trip = NEW.trip;
END;

CREATE TRIGGER event_tells_stay AFTER INSERT ON event
WHEN NEW.typ IN ('tray_opened', 'replaced', 'mark_read')
BEGIN
  INSERT OR IGNORE INTO fact_stay SELECT thing, tray, at_ms, trip, many
    FROM told_stay WHERE origin = (SELECT v FROM meta WHERE k = 'origin') AND seq = NEW.seq;
END;

CREATE TRIGGER remote_event_tells_stay AFTER INSERT ON remote_event
WHEN NEW.typ IN ('tray_opened', 'replaced', 'mark_read')
BEGIN
  INSERT OR IGNORE INTO fact_stay SELECT thing, tray, at_ms, trip, many
    FROM told_stay WHERE origin = NEW.origin AND seq = NEW.seq;
END;

INSERT OR IGNORE INTO fact_stay (thing, tray, at_ms, trip, many)
  SELECT thing, tray, at_ms, trip, many FROM told_stay;
