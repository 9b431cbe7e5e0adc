-- Ways into the log by time, by kind and by trip, and benches as folded up to an event. All disposable: the log is the truth.
CREATE INDEX event_by_time ON event (at_ms);
CREATE INDEX event_by_kind ON event (typ, seq);
CREATE INDEX event_by_trip ON event (trip, seq) WHERE trip IS NOT NULL;
CREATE INDEX remote_event_by_time ON remote_event (origin, at_ms);
CREATE INDEX remote_event_by_kind ON remote_event (typ, origin, seq);
CREATE INDEX remote_event_by_trip ON remote_event (trip, origin, seq) WHERE trip IS NOT NULL;

CREATE VIEW every_event AS
  SELECT (SELECT v FROM meta WHERE k = 'origin') AS origin, seq, hlc, ver, at_ms, offset_min, trusted, policy, record,
    id, cls, typ, bench, who, trip, body, h FROM event
  UNION ALL
  SELECT origin, seq, hlc, ver, at_ms, offset_min, trusted, policy, record, id, cls, typ, bench, who, trip, body, h
    FROM remote_event;

CREATE TABLE bookmark (  -- the bench of an origin as it stood after event `seq`
  origin TEXT NOT NULL,
  seq INTEGER NOT NULL,
  fold TEXT NOT NULL,     -- which fold made it: another's is passed over
  body BLOB NOT NULL,     -- zlib over canonical JSON
  seal BLOB NOT NULL,     -- SHA-256 over the event's own hash and the body
  PRIMARY KEY (origin, seq)
) STRICT, WITHOUT ROWID;
