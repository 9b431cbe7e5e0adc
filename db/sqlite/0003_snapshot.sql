-- The bench as folded up to an event, so that a start need not fold the whole log. Disposable: the log is the truth.
CREATE TABLE snapshot (
  one INTEGER PRIMARY KEY CHECK (one = 1),
  seq INTEGER NOT NULL,
  fold TEXT NOT NULL,
  body BLOB NOT NULL,
  seal BLOB NOT NULL
) STRICT;
