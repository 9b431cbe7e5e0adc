-- Whose log this is, from which number on; the keys and signed heads that prove it; where the logs of others begin.
CREATE TABLE incarnation (
  n INTEGER PRIMARY KEY,                              -- 1, 2, 3: the last one goes on now
  after_seq INTEGER NOT NULL CHECK (after_seq >= 0),  -- its first event is the next number
  origin TEXT NOT NULL UNIQUE,
  was_origin TEXT,                                    -- the one before; of the first: none
  was_h BLOB NOT NULL CHECK (length(was_h) = 32),     -- the hash of event after_seq; of an empty log 32 zeros
  at_ms INTEGER NOT NULL,
  why TEXT NOT NULL CHECK (why IN ('first', 'restored', 'copied', 'fork')),
  public_key BLOB NOT NULL CHECK (length(public_key) = 32)  -- Ed25519; the private one lies outside the store
) STRICT;

CREATE TRIGGER incarnation_never_changes BEFORE UPDATE ON incarnation
BEGIN SELECT RAISE(ABORT, 'append-only: an incarnation never changes'); END;

CREATE TRIGGER incarnation_never_goes BEFORE DELETE ON incarnation
BEGIN SELECT RAISE(ABORT, 'append-only: an incarnation never goes'); END;

CREATE TABLE remote_origin (  -- an origin heard of; one without a row here begins at number 1 and told no key
  origin TEXT NOT NULL PRIMARY KEY CHECK (length(origin) = 36),
  was_origin TEXT,                                    -- none: it begins at number 1
  was_seq INTEGER NOT NULL CHECK (was_seq >= 0),
  was_h BLOB NOT NULL CHECK (length(was_h) = 32),
  public_key BLOB CHECK (length(public_key) = 32)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER remote_origin_keeps_its_base BEFORE UPDATE ON remote_origin
WHEN OLD.public_key IS NOT NULL OR NEW.origin IS NOT OLD.origin OR NEW.was_origin IS NOT OLD.was_origin
  OR NEW.was_seq IS NOT OLD.was_seq OR NEW.was_h IS NOT OLD.was_h
BEGIN SELECT RAISE(ABORT, 'append-only: where an origin begins and its key never change'); END;

CREATE TRIGGER remote_origin_never_goes BEFORE DELETE ON remote_origin
BEGIN SELECT RAISE(ABORT, 'append-only: an origin never goes'); END;

DROP TRIGGER remote_event_comes_next;
CREATE TRIGGER remote_event_comes_next BEFORE INSERT ON remote_event
WHEN NEW.seq IS NOT 1 + coalesce(
  (SELECT max(seq) FROM remote_event WHERE origin = NEW.origin),
  (SELECT was_seq FROM remote_origin WHERE origin = NEW.origin),
  0)
BEGIN SELECT RAISE(ABORT, 'append-only: an event comes next to the one before'); END;

CREATE TABLE signed_head (  -- own heads and those heard: who signed has said that the log went so far, with this hash
  origin TEXT NOT NULL,
  seq INTEGER NOT NULL CHECK (seq > 0),
  hlc INTEGER NOT NULL,
  h BLOB NOT NULL CHECK (length(h) = 32),
  at_ms INTEGER NOT NULL,
  sig BLOB NOT NULL CHECK (length(sig) = 64),
  PRIMARY KEY (origin, seq)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER signed_head_never_changes BEFORE UPDATE ON signed_head
BEGIN SELECT RAISE(ABORT, 'append-only: a signed head never changes'); END;

CREATE TRIGGER signed_head_never_goes BEFORE DELETE ON signed_head
BEGIN SELECT RAISE(ABORT, 'append-only: a signed head never goes'); END;
