-- The department's hub: the logs of all its benches, and the one door through which they are written.
-- Laid by the schema's owner, a role that nobody signs in as. Every function names what it uses in full.

CREATE TABLE sync.bench (  -- a place, and the login it comes with
  login text PRIMARY KEY,
  dept text NOT NULL CHECK (dept <> ''),
  bench text NOT NULL CHECK (bench <> ''),
  UNIQUE (dept, bench)
);

CREATE TABLE sync.reader (  -- a login for people and reports: reads one department
  login text PRIMARY KEY,
  dept text NOT NULL
);

CREATE TABLE sync.origin (  -- one incarnation of a bench's log
  origin uuid PRIMARY KEY,
  login text NOT NULL REFERENCES sync.bench,
  dept text NOT NULL,
  pubkey bytea NOT NULL CHECK (octet_length(pubkey) = 32),  -- Ed25519
  after_seq bigint NOT NULL DEFAULT 0 CHECK (after_seq >= 0),  -- its first event is the next one
  was_origin uuid,                                             -- whose event `after_seq` it is linked to
  was_h bytea NOT NULL DEFAULT decode(repeat('00', 32), 'hex') CHECK (octet_length(was_h) = 32),
  state text NOT NULL DEFAULT 'active' CHECK (state IN ('active', 'forked', 'retired')),
  enrolled timestamptz NOT NULL DEFAULT clock_timestamp()
);
CREATE INDEX origin_by_dept ON sync.origin (dept);

CREATE TABLE sync.head (  -- how far each log is known: what a bench asks for first
  origin uuid PRIMARY KEY REFERENCES sync.origin,
  dept text NOT NULL,
  seq bigint NOT NULL,
  h bytea NOT NULL,
  recv timestamptz,      -- when the last events came
  behind_ms bigint       -- this server's clock less the bench's, at that moment
) WITH (fillfactor = 50);

CREATE TABLE sync.event (
  recv timestamptz NOT NULL,   -- when it came here, by this server's clock; a bench's clock may say anything
  origin uuid NOT NULL,
  seq bigint NOT NULL CHECK (seq > 0),
  dept text NOT NULL,
  hlc bigint NOT NULL,
  ver bigint NOT NULL CHECK (ver > 0),
  at_ms bigint NOT NULL,
  offset_min bigint NOT NULL,
  trusted bigint NOT NULL CHECK (trusted IN (0, 1)),
  policy bigint NOT NULL,
  record bigint NOT NULL,
  id text NOT NULL CHECK (length(id) = 36),
  cls text NOT NULL CHECK (cls IN ('info', 'hold', 'clear')),
  typ text NOT NULL,
  bench text NOT NULL,
  who text,
  trip text,
  body bytea NOT NULL,         -- exactly as hashed: bytes, not JSON that a server would set anew
  h bytea NOT NULL CHECK (octet_length(h) = 32)
) PARTITION BY RANGE (recv);

CREATE TABLE sync.fork (  -- the other branch of a log that went on twice: kept, never merged
  LIKE sync.event,
  PRIMARY KEY (origin, seq, h)
);

CREATE TABLE sync.signed_head (
  origin uuid NOT NULL REFERENCES sync.origin,
  dept text NOT NULL,
  seq bigint NOT NULL,
  h bytea NOT NULL CHECK (octet_length(h) = 32),
  hlc bigint NOT NULL,
  at_ms bigint NOT NULL,
  sig bytea NOT NULL CHECK (octet_length(sig) = 64),
  PRIMARY KEY (origin, seq, h)
);

CREATE TABLE sync.conflict (  -- what only a person can close
  n bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  dept text NOT NULL,
  kind text NOT NULL,
  origin uuid NOT NULL,
  seq bigint NOT NULL,
  opened timestamptz NOT NULL DEFAULT clock_timestamp(),
  closed_by_event text,
  UNIQUE (kind, origin, seq)
);

-- A month of events each, by UTC. Made ahead; attached, so that nobody who reads or writes has to wait.
CREATE FUNCTION sync.make_partitions(p_from timestamptz, p_months integer) RETURNS integer
LANGUAGE plpgsql SET search_path = pg_catalog, pg_temp AS $$
DECLARE
  month timestamp := date_trunc('month', p_from AT TIME ZONE 'UTC');
  name text;
  made integer := 0;
BEGIN
  PERFORM pg_advisory_xact_lock(hashtext('sync.make_partitions'));
  FOR i IN 0 .. p_months LOOP
    name := 'event_' || to_char(month, 'YYYY_MM');
    IF to_regclass('sync.' || name) IS NULL THEN
      EXECUTE format('CREATE TABLE sync.%I (LIKE sync.event INCLUDING CONSTRAINTS, UNIQUE (origin, seq))', name);
      EXECUTE format('ALTER TABLE sync.event ATTACH PARTITION sync.%I FOR VALUES FROM (%L) TO (%L)',
        name, month AT TIME ZONE 'UTC', (month + interval '1 month') AT TIME ZONE 'UTC');
      made := made + 1;
    END IF;
    month := month + interval '1 month';
  END LOOP;
  RETURN made;
END $$;

-- Rows that say which department they are of are seen by readers of that department. The functions below run as the
-- owner, whom FORCE binds too, and look after departments themselves.
CREATE FUNCTION sync_api.my_department() RETURNS text
LANGUAGE sql STABLE SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS
$$ SELECT r.dept FROM sync.reader r WHERE r.login = session_user::text $$;

DO $$
DECLARE
  name text;
BEGIN
  FOREACH name IN ARRAY ARRAY['bench', 'origin', 'head', 'event', 'fork', 'signed_head', 'conflict'] LOOP
    EXECUTE format('ALTER TABLE sync.%I ENABLE ROW LEVEL SECURITY', name);
    EXECUTE format('ALTER TABLE sync.%I FORCE ROW LEVEL SECURITY', name);
    EXECUTE format('CREATE POLICY functions ON sync.%I TO throughlight_owner USING (true) WITH CHECK (true)', name);
    EXECUTE format('CREATE POLICY department ON sync.%I FOR SELECT TO throughlight_reader '
      'USING (dept = (SELECT sync_api.my_department()))', name);
    EXECUTE format('GRANT SELECT ON sync.%I TO throughlight_reader', name);
  END LOOP;
END $$;
