-- Every version of the catalogue and of the department's own policy values, whole. Numbered from 1, never changed.
CREATE TABLE catalogue (
  version INTEGER PRIMARY KEY CHECK (version > 0),
  at_ms INTEGER NOT NULL,
  who TEXT,
  body BLOB NOT NULL,                     -- canonical JSON
  h BLOB NOT NULL CHECK (length(h) = 32)  -- SHA-256 of the body
) STRICT;

CREATE TABLE policy (
  version INTEGER PRIMARY KEY CHECK (version > 0),
  at_ms INTEGER NOT NULL,
  who TEXT,
  body BLOB NOT NULL,                     -- canonical JSON
  h BLOB NOT NULL CHECK (length(h) = 32)  -- SHA-256 of the body
) STRICT;

CREATE TRIGGER catalogue_never_changes BEFORE UPDATE ON catalogue
BEGIN SELECT RAISE(ABORT, 'append-only: a version never changes'); END;

CREATE TRIGGER catalogue_never_goes BEFORE DELETE ON catalogue
BEGIN SELECT RAISE(ABORT, 'append-only: a version never goes'); END;

CREATE TRIGGER catalogue_comes_last BEFORE INSERT ON catalogue
WHEN NEW.version IS NOT (SELECT coalesce(max(version), 0) + 1 FROM catalogue)
BEGIN SELECT RAISE(ABORT, 'append-only: a version comes last'); END;

CREATE TRIGGER policy_never_changes BEFORE UPDATE ON policy
BEGIN SELECT RAISE(ABORT, 'append-only: a version never changes'); END;

CREATE TRIGGER policy_never_goes BEFORE DELETE ON policy
BEGIN SELECT RAISE(ABORT, 'append-only: a version never goes'); END;

CREATE TRIGGER policy_comes_last BEFORE INSERT ON policy
WHEN NEW.version IS NOT (SELECT coalesce(max(version), 0) + 1 FROM policy)
BEGIN SELECT RAISE(ABORT, 'append-only: a version comes last'); END;
