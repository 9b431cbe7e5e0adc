-- What is told of people who were hurt or splashed: apart from the log, which only knows a number. Append-only, and
-- read through kiosk/store/notes.py alone, which writes down who read. Never sent to another station.
CREATE TABLE exposure_entry (
  seq INTEGER PRIMARY KEY CHECK (seq > 0),
  note INTEGER NOT NULL CHECK (note > 0),  -- the number of the exposure at this station: E-1
  at_ms INTEGER NOT NULL,
  offset_min INTEGER NOT NULL,
  who TEXT NOT NULL,                       -- who told it
  field TEXT NOT NULL,
  value TEXT NOT NULL                      -- the field's whole value; the last one stands
) STRICT;

CREATE TABLE exposure_reading (
  seq INTEGER PRIMARY KEY CHECK (seq > 0),
  note INTEGER NOT NULL CHECK (note > 0),
  at_ms INTEGER NOT NULL,
  offset_min INTEGER NOT NULL,
  who TEXT NOT NULL,
  given INTEGER NOT NULL CHECK (given IN (0, 1))  -- 0: asked for, and not given
) STRICT;

CREATE INDEX exposure_entry_by_note ON exposure_entry (note, seq);

CREATE TRIGGER exposure_entry_never_changes BEFORE UPDATE ON exposure_entry
BEGIN SELECT RAISE(ABORT, 'append-only: an entry never changes'); END;

CREATE TRIGGER exposure_entry_never_goes BEFORE DELETE ON exposure_entry
BEGIN SELECT RAISE(ABORT, 'append-only: an entry never goes'); END;

CREATE TRIGGER exposure_entry_comes_last BEFORE INSERT ON exposure_entry
WHEN NEW.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM exposure_entry)
BEGIN SELECT RAISE(ABORT, 'append-only: an entry comes last'); END;

CREATE TRIGGER exposure_reading_never_changes BEFORE UPDATE ON exposure_reading
BEGIN SELECT RAISE(ABORT, 'append-only: a reading never changes'); END;

CREATE TRIGGER exposure_reading_never_goes BEFORE DELETE ON exposure_reading
BEGIN SELECT RAISE(ABORT, 'append-only: a reading never goes'); END;

CREATE TRIGGER exposure_reading_comes_last BEFORE INSERT ON exposure_reading
WHEN NEW.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM exposure_reading)
BEGIN SELECT RAISE(ABORT, 'append-only: a reading comes last'); END;
