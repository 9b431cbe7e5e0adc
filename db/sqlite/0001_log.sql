-- The log of events, append-only, and what stands beside it.
PRAGMA application_id = 0x54484C54;  -- "THLT"

CREATE TABLE meta (  -- origin: one incarnation of this bench's log (a UUID); bench: its name
  k TEXT NOT NULL PRIMARY KEY,
  v TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE event (
  seq INTEGER PRIMARY KEY CHECK (seq > 0),            -- 1, 2, 3 without a gap
  id TEXT NOT NULL UNIQUE CHECK (length(id) = 36),    -- UUIDv7
  hlc INTEGER NOT NULL,                               -- milliseconds << 16 | counter, always rising
  cls TEXT NOT NULL CHECK (cls IN ('info', 'hold', 'clear')),
  typ TEXT NOT NULL,
  ver INTEGER NOT NULL CHECK (ver > 0),
  bench TEXT NOT NULL,
  at_ms INTEGER NOT NULL,                             -- Unix milliseconds, UTC
  offset_min INTEGER NOT NULL,                        -- local time is UTC plus this
  trusted INTEGER NOT NULL CHECK (trusted IN (0, 1)), -- was the clock trusted?
  who TEXT,
  trip TEXT,
  policy INTEGER NOT NULL,
  record INTEGER NOT NULL,
  body BLOB NOT NULL,                                 -- canonical JSON, exactly as hashed
  h BLOB NOT NULL CHECK (length(h) = 32)              -- SHA-256 over the h before and every column (kiosk/store/chain.py)
) STRICT;

CREATE TRIGGER event_never_changes BEFORE UPDATE ON event
BEGIN SELECT RAISE(ABORT, 'append-only: an event never changes'); END;

CREATE TRIGGER event_never_goes BEFORE DELETE ON event
BEGIN SELECT RAISE(ABORT, 'append-only: an event never goes'); END;

-- INSERT OR REPLACE would take a row away without asking the trigger above (recursive_triggers is a connection's own).
CREATE TRIGGER event_comes_last BEFORE INSERT ON event
WHEN NEW.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM event) OR EXISTS (SELECT 1 FROM event WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'append-only: an event comes last, with a number and an id of its own'); END;

CREATE TABLE alive (  -- one row while the bench runs; what it says after a start is when the power went
  one INTEGER PRIMARY KEY CHECK (one = 1),
  at_ms INTEGER NOT NULL
) STRICT;
