-- What other stations of the department kept, as they stored it: never changed here, and folded beside this bench's log.
CREATE TABLE remote_event (
  origin TEXT NOT NULL CHECK (length(origin) = 36),   -- the other log's own UUID
  seq INTEGER NOT NULL CHECK (seq > 0),               -- 1, 2, 3 without a gap, an origin each
  id TEXT NOT NULL CHECK (length(id) = 36),
  hlc INTEGER NOT NULL,
  cls TEXT NOT NULL,
  typ TEXT NOT NULL,
  ver INTEGER NOT NULL CHECK (ver > 0),
  bench TEXT NOT NULL,
  at_ms INTEGER NOT NULL,
  offset_min INTEGER NOT NULL,
  trusted INTEGER NOT NULL CHECK (trusted IN (0, 1)),
  who TEXT,
  trip TEXT,
  policy INTEGER NOT NULL,
  record INTEGER NOT NULL,
  body BLOB NOT NULL,
  h BLOB NOT NULL CHECK (length(h) = 32),
  PRIMARY KEY (origin, seq)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER remote_event_never_changes BEFORE UPDATE ON remote_event
BEGIN SELECT RAISE(ABORT, 'append-only: an event never changes'); END;

CREATE TRIGGER remote_event_never_goes BEFORE DELETE ON remote_event
BEGIN SELECT RAISE(ABORT, 'append-only: an event never goes'); END;

CREATE TRIGGER remote_event_comes_next BEFORE INSERT ON remote_event
WHEN NEW.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM remote_event WHERE origin = NEW.origin)
BEGIN SELECT RAISE(ABORT, 'append-only: an event comes next to the one before'); END;
