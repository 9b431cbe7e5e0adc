-- Events that were kept under an origin whose log went on twice, and that a new origin tells again: the same rows, linked
-- to the last event that both branches have. `event` keeps the hash that each was kept with.
CREATE TABLE relinked (
  seq INTEGER PRIMARY KEY,                            -- which event
  origin TEXT NOT NULL CHECK (length(origin) = 36),   -- who tells it again
  h BLOB NOT NULL CHECK (length(h) = 32)              -- its hash in that origin's chain
) STRICT;

CREATE TRIGGER relinked_never_changes BEFORE UPDATE ON relinked
BEGIN SELECT RAISE(ABORT, 'append-only: a link never changes'); END;

CREATE TRIGGER relinked_never_goes BEFORE DELETE ON relinked
BEGIN SELECT RAISE(ABORT, 'append-only: a link never goes'); END;

CREATE VIEW own_event AS  -- this log as its last incarnation tells it
  SELECT e.seq, e.hlc, e.ver, e.at_ms, e.offset_min, e.trusted, e.policy, e.record, e.id, e.cls, e.typ, e.bench, e.who,
    e.trip, e.body, coalesce(r.h, e.h) AS h
  FROM event e LEFT JOIN relinked r USING (seq);
