-- Pictures that more than one station shows: of findings, references, known looks, reading sets. By SHA-256, in parts,
-- each department its own. They come after the events and are no record: the log names them, and it holds without them.

CREATE TABLE sync.picture (
  dept text NOT NULL,
  sha256 bytea NOT NULL CHECK (octet_length(sha256) = 32),
  size bigint NOT NULL CHECK (size BETWEEN 1 AND 33554432),   -- at most 32 MiB
  login text NOT NULL REFERENCES sync.bench,                  -- who brought it
  recv timestamptz NOT NULL DEFAULT clock_timestamp(),
  PRIMARY KEY (dept, sha256)
);

CREATE TABLE sync.picture_part (
  dept text NOT NULL,
  sha256 bytea NOT NULL,
  n integer NOT NULL CHECK (n BETWEEN 0 AND 511),
  body bytea NOT NULL CHECK (octet_length(body) BETWEEN 1 AND 65536),  -- 64 KiB; all but the last one are whole
  PRIMARY KEY (dept, sha256, n),
  FOREIGN KEY (dept, sha256) REFERENCES sync.picture
);

CREATE TABLE sync.picture_coming (  -- parts of the one picture that a login is bringing: nobody else sees them
  login text NOT NULL REFERENCES sync.bench,
  dept text NOT NULL,
  sha256 bytea NOT NULL CHECK (octet_length(sha256) = 32),
  n integer NOT NULL CHECK (n BETWEEN 0 AND 511),
  body bytea NOT NULL CHECK (octet_length(body) BETWEEN 1 AND 65536),
  PRIMARY KEY (login, sha256, n)
);

ALTER TABLE sync.picture_part ALTER COLUMN body SET STORAGE EXTERNAL;    -- a picture is compressed already
ALTER TABLE sync.picture_coming ALTER COLUMN body SET STORAGE EXTERNAL;

DO $$
DECLARE
  name text;
BEGIN
  FOREACH name IN ARRAY ARRAY['picture', 'picture_part', 'picture_coming'] LOOP
    EXECUTE format('ALTER TABLE sync.%I ENABLE ROW LEVEL SECURITY', name);
    EXECUTE format('ALTER TABLE sync.%I FORCE ROW LEVEL SECURITY', name);
    EXECUTE format('CREATE POLICY functions ON sync.%I TO throughlight_owner USING (true) WITH CHECK (true)', name);
  END LOOP;
END $$;

-- Of these pictures those that the caller's department lacks here.
CREATE FUNCTION sync_api.pictures_lacking(p_sha256 bytea[]) RETURNS TABLE (sha256 bytea)
LANGUAGE plpgsql STABLE SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
#variable_conflict use_column
BEGIN
  IF cardinality(p_sha256) > 5000 THEN
    RAISE EXCEPTION 'at most 5000 pictures are asked for at once' USING ERRCODE = 'invalid_parameter_value';
  END IF;
  RETURN QUERY
    SELECT DISTINCT t.sha256 FROM sync.bench mine, unnest(p_sha256) AS t (sha256)
    WHERE mine.login = session_user::text
      AND NOT EXISTS (SELECT FROM sync.picture p WHERE p.dept = mine.dept AND p.sha256 = t.sha256);
END $$;

-- One part of a picture, in order, from 0. The answer: what came of it, and which part is awaited next.
--   more     taken; send part `next`
--   kept     it is whole and is what its hash says, or was here already
--   gap      not the part that is awaited: send from `next`
--   bad      whole, and not what its hash says: nothing is kept
CREATE FUNCTION sync_api.push_picture(p_sha256 bytea, p_size bigint, p_n integer, p_body bytea)
RETURNS TABLE (code text, next integer)
LANGUAGE plpgsql SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
#variable_conflict use_column
DECLARE
  part CONSTANT integer := 65536;
  parts CONSTANT integer := ((coalesce(p_size, 0) + part - 1) / part)::integer;
  v_bench sync.bench;
  awaited integer;
  whole bytea;
BEGIN
  IF (octet_length(p_sha256) = 32 AND p_size BETWEEN 1 AND 33554432 AND p_n BETWEEN 0 AND parts - 1) IS NOT TRUE
    OR (octet_length(p_body) = CASE WHEN p_n = parts - 1 THEN p_size - p_n::bigint * part ELSE part END) IS NOT TRUE
  THEN
    RAISE EXCEPTION 'a picture comes in whole parts of 64 KiB, at most 32 MiB'
      USING ERRCODE = 'invalid_parameter_value';
  END IF;
  SELECT * INTO v_bench FROM sync.bench b WHERE b.login = session_user::text FOR UPDATE;  -- one picture at a time
  IF NOT FOUND THEN
    RAISE EXCEPTION 'not a bench of this hub' USING ERRCODE = 'insufficient_privilege';
  END IF;
  IF EXISTS (SELECT FROM sync.picture p WHERE p.dept = v_bench.dept AND p.sha256 = p_sha256) THEN
    DELETE FROM sync.picture_coming c WHERE c.login = v_bench.login;
    RETURN QUERY SELECT 'kept'::text, parts;
    RETURN;
  END IF;
  DELETE FROM sync.picture_coming c WHERE c.login = v_bench.login AND c.sha256 <> p_sha256;
  SELECT count(*) INTO awaited FROM sync.picture_coming c WHERE c.login = v_bench.login AND c.sha256 = p_sha256;
  IF p_n > awaited THEN
    RETURN QUERY SELECT 'gap'::text, awaited;
    RETURN;
  END IF;
  IF EXISTS (SELECT FROM sync.picture_coming c WHERE c.login = v_bench.login AND c.n = p_n AND c.body = p_body) THEN
    RETURN QUERY SELECT 'more'::text, awaited;  -- sent again after a break: it goes on where it was left
    RETURN;
  END IF;
  DELETE FROM sync.picture_coming c WHERE c.login = v_bench.login AND c.n >= p_n;
  INSERT INTO sync.picture_coming VALUES (v_bench.login, v_bench.dept, p_sha256, p_n, p_body);
  IF p_n < parts - 1 THEN
    RETURN QUERY SELECT 'more'::text, p_n + 1;
    RETURN;
  END IF;
  SELECT string_agg(c.body, ''::bytea ORDER BY c.n) INTO whole FROM sync.picture_coming c WHERE c.login = v_bench.login;
  IF octet_length(whole) IS DISTINCT FROM p_size OR sha256(whole) IS DISTINCT FROM p_sha256 THEN
    DELETE FROM sync.picture_coming c WHERE c.login = v_bench.login;
    RETURN QUERY SELECT 'bad'::text, 0;
    RETURN;
  END IF;
  INSERT INTO sync.picture (dept, sha256, size, login) VALUES (v_bench.dept, p_sha256, p_size, v_bench.login)
    ON CONFLICT DO NOTHING;
  IF FOUND THEN
    INSERT INTO sync.picture_part
      SELECT c.dept, c.sha256, c.n, c.body FROM sync.picture_coming c WHERE c.login = v_bench.login;
  END IF;
  DELETE FROM sync.picture_coming c WHERE c.login = v_bench.login;
  RETURN QUERY SELECT 'kept'::text, parts;
END $$;

-- One part of a picture of the caller's department, with the size of the whole; no row where it is not here.
CREATE FUNCTION sync_api.pull_picture(p_sha256 bytea, p_n integer) RETURNS TABLE (size bigint, body bytea)
LANGUAGE sql STABLE SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
  SELECT p.size, t.body
  FROM sync.bench mine
  JOIN sync.picture p ON p.dept = mine.dept AND p.sha256 = p_sha256
  JOIN sync.picture_part t ON t.dept = p.dept AND t.sha256 = p.sha256 AND t.n = p_n
  WHERE mine.login = session_user::text
$$;

REVOKE ALL ON FUNCTION sync_api.pictures_lacking(bytea[]), sync_api.push_picture(bytea, bigint, integer, bytea),
  sync_api.pull_picture(bytea, integer) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION sync_api.pictures_lacking(bytea[]), sync_api.push_picture(bytea, bigint, integer, bytea),
  sync_api.pull_picture(bytea, integer) TO throughlight_bench;
