-- The door: heads(), push(), pull(). Benches may call these three and touch nothing else.

-- The hash of a row, over the bytes that kiosk/store/chain.py writes down: the hash before, the header's length, the
-- header (eight integers, seven texts), the body. 92 = 8 x 8 + 7 x 4; the origin's text has 36 bytes.
CREATE FUNCTION sync.text_bytes(t text) RETURNS bytea LANGUAGE sql STABLE PARALLEL SAFE AS
$$ SELECT coalesce(int4send(octet_length(t)) || convert_to(t, 'UTF8'), '\xffffffff'::bytea) $$;

CREATE FUNCTION sync.link(
  before bytea, origin text, seq bigint, hlc bigint, ver bigint, at_ms bigint, offset_min bigint, trusted bigint,
  policy bigint, record bigint, id text, cls text, typ text, bench text, who text, trip text, body bytea
) RETURNS bytea LANGUAGE sql STABLE PARALLEL SAFE AS $$
  SELECT sha256(
    '\x73706c31'::bytea || before
    || int4send(92 + octet_length(origin) + octet_length(id) + octet_length(cls) + octet_length(typ)
      + octet_length(bench) + coalesce(octet_length(who), 0) + coalesce(octet_length(trip), 0))
    || int8send(seq) || int8send(hlc) || int8send(ver) || int8send(at_ms) || int8send(offset_min)
    || int8send(trusted) || int8send(policy) || int8send(record)
    || sync.text_bytes(origin) || sync.text_bytes(id) || sync.text_bytes(cls) || sync.text_bytes(typ)
    || sync.text_bytes(bench) || sync.text_bytes(who) || sync.text_bytes(trip)
    || body)
$$;

-- One batch from a login, received at a moment. The answer: what came of it, and where the log's head is now.
--   ok       kept; what was here already changed nothing
--   gap      the batch begins after the next number: send from head + 1
--   badhash  a row does not hold on to the one before: damaged on the way; nothing is kept
--   fork     sound rows that contradict what is here: kept aside, a person must look, nothing more is taken
--   forked, retired   nothing more is taken of this log
CREATE FUNCTION sync.take(
  p_login text, p_recv timestamptz, p_origin uuid, p_first bigint,
  p_hlc bigint[], p_ver bigint[], p_at_ms bigint[], p_offset_min bigint[], p_trusted bigint[], p_policy bigint[],
  p_record bigint[], p_id text[], p_cls text[], p_typ text[], p_bench text[], p_who text[], p_trip text[],
  p_body bytea[], p_h bytea[],
  p_sent_ms bigint, p_signed_seq bigint, p_signed_hlc bigint, p_signed_h bytea, p_signed_at_ms bigint, p_sig bytea
) RETURNS TABLE (code text, seq bigint, h bytea)
LANGUAGE plpgsql SET search_path = pg_catalog, pg_temp AS $$
#variable_conflict use_column
DECLARE
  n CONSTANT integer := coalesce(cardinality(p_h), 0);
  v_origin sync.origin;
  v_head sync.head;
  skip bigint;
  stored bytea;
  bad bigint;
  candidate bytea;
  sound boolean := false;
  branch boolean := false;  -- does the batch go on from a branch that is kept aside, beyond the head?
BEGIN
  IF current_setting('synchronous_commit') NOT IN ('on', 'remote_apply') THEN
    RAISE EXCEPTION 'synchronous_commit is %: what is answered must be on disk', current_setting('synchronous_commit')
      USING ERRCODE = 'object_not_in_prerequisite_state';
  END IF;
  IF n < 1 OR n > 5000 OR (p_first >= 1) IS NOT TRUE
    OR (n = ALL (ARRAY[cardinality(p_hlc), cardinality(p_ver), cardinality(p_at_ms), cardinality(p_offset_min),
      cardinality(p_trusted), cardinality(p_policy), cardinality(p_record), cardinality(p_id), cardinality(p_cls),
      cardinality(p_typ), cardinality(p_bench), cardinality(p_who), cardinality(p_trip), cardinality(p_body)]))
      IS NOT TRUE THEN
    RAISE EXCEPTION 'a batch has 1 to 5000 rows, whole' USING ERRCODE = 'invalid_parameter_value';
  END IF;
  SELECT * INTO v_origin FROM sync.origin o WHERE o.origin = p_origin AND o.login = p_login;
  IF NOT FOUND THEN
    RAISE EXCEPTION 'not a log of this login' USING ERRCODE = 'insufficient_privilege';
  END IF;
  SELECT * INTO v_head FROM sync.head d WHERE d.origin = p_origin FOR UPDATE;
  SELECT o.state INTO v_origin.state FROM sync.origin o WHERE o.origin = p_origin;  -- as it is behind the lock
  IF v_origin.state = 'retired' THEN
    RETURN QUERY SELECT v_origin.state, v_head.seq, v_head.h;
    RETURN;
  END IF;
  IF p_first > v_head.seq THEN
    branch := EXISTS (SELECT FROM sync.fork f WHERE f.origin = p_origin AND f.seq = p_first - 1
      AND p_h[1] = sync.link(f.h, p_origin::text, p_first, p_hlc[1], p_ver[1], p_at_ms[1], p_offset_min[1],
        p_trusted[1], p_policy[1], p_record[1], p_id[1], p_cls[1], p_typ[1], p_bench[1], p_who[1], p_trip[1],
        p_body[1]));
  END IF;
  IF p_first > v_head.seq + 1 AND v_origin.state = 'active' AND NOT branch THEN
    RETURN QUERY SELECT 'gap'::text, v_head.seq, v_head.h;
    RETURN;
  END IF;
  IF p_first <= v_origin.after_seq THEN
    RAISE EXCEPTION 'this log begins after event %', v_origin.after_seq USING ERRCODE = 'invalid_parameter_value';
  END IF;

  skip := greatest(least(v_head.seq - p_first + 1, n), 0);
  IF skip > 0 THEN
    SELECT e.h INTO stored FROM sync.event e WHERE e.origin = p_origin AND e.seq = p_first + skip - 1;
  END IF;
  IF v_origin.state = 'forked' OR branch OR (skip > 0 AND stored IS DISTINCT FROM p_h[skip]) THEN
    FOR candidate IN
      SELECT v_origin.was_h WHERE p_first = v_origin.after_seq + 1
      UNION SELECT e.h FROM sync.event e WHERE e.origin = p_origin AND e.seq = p_first - 1
      UNION SELECT f.h FROM sync.fork f WHERE f.origin = p_origin AND f.seq = p_first - 1
    LOOP
      SELECT min(r.seq) INTO bad FROM (
        SELECT p_first + t.i - 1 AS seq, t.h IS DISTINCT FROM sync.link(
          t.before, p_origin::text, p_first + t.i - 1,
          t.hlc, t.ver, t.at_ms, t.offset_min, t.trusted, t.policy, t.record,
          t.id, t.cls, t.typ, t.bench, t.who, t.trip, t.body) AS differs
        FROM unnest(p_hlc, p_ver, p_at_ms, p_offset_min, p_trusted, p_policy, p_record, p_id, p_cls, p_typ, p_bench,
          p_who, p_trip, p_body, p_h, candidate || p_h[: n - 1]) WITH ORDINALITY AS t (
            hlc, ver, at_ms, offset_min, trusted, policy, record, id, cls, typ, bench, who, trip, body, h, before, i)
      ) r WHERE r.differs;
      sound := bad IS NULL;
      EXIT WHEN sound;
    END LOOP;
    IF NOT sound THEN
      IF v_origin.state = 'forked' THEN
        RETURN QUERY SELECT 'forked'::text, v_head.seq, v_head.h;
      ELSE
        RETURN QUERY SELECT 'badhash'::text, coalesce(bad, p_first), v_head.h;
      END IF;
      RETURN;
    END IF;
    INSERT INTO sync.fork
      SELECT p_recv, p_origin, p_first + t.i - 1, v_origin.dept, t.hlc, t.ver, t.at_ms, t.offset_min, t.trusted,
        t.policy, t.record, t.id, t.cls, t.typ, t.bench, t.who, t.trip, t.body, t.h
      FROM unnest(p_hlc, p_ver, p_at_ms, p_offset_min, p_trusted, p_policy, p_record, p_id, p_cls, p_typ, p_bench,
        p_who, p_trip, p_body, p_h) WITH ORDINALITY
        AS t (hlc, ver, at_ms, offset_min, trusted, policy, record, id, cls, typ, bench, who, trip, body, h, i)
      WHERE NOT EXISTS (SELECT FROM sync.event e
        WHERE e.origin = p_origin AND e.seq = p_first + t.i - 1 AND e.h = t.h)
      ON CONFLICT DO NOTHING;
    INSERT INTO sync.conflict (dept, kind, origin, seq)
      SELECT v_origin.dept, 'fork', p_origin, min(f.seq) FROM sync.fork f WHERE f.origin = p_origin
      HAVING min(f.seq) IS NOT NULL
      ON CONFLICT DO NOTHING;
    IF p_sig IS NOT NULL THEN
      INSERT INTO sync.signed_head VALUES
        (p_origin, v_origin.dept, p_signed_seq, p_signed_h, p_signed_hlc, p_signed_at_ms, p_sig)
        ON CONFLICT DO NOTHING;
      -- Only a head that its own bench signed marks the log: sound rows alone could be made by whoever has the login.
      IF EXISTS (SELECT FROM sync.fork f
          WHERE f.origin = p_origin AND f.seq = p_signed_seq AND f.h = p_signed_h) THEN
        UPDATE sync.origin o SET state = 'forked' WHERE o.origin = p_origin AND o.state = 'active';
      END IF;
    END IF;
    RETURN QUERY SELECT 'fork'::text, v_head.seq, v_head.h;
    RETURN;
  END IF;

  IF skip < n THEN  -- where there is overlap, the last of it is the head itself: before the first new row stands p_h
    IF to_regclass('sync.event_' || to_char(p_recv AT TIME ZONE 'UTC', 'YYYY_MM')) IS NULL THEN
      PERFORM sync.make_partitions(p_recv, 3);
    END IF;
    WITH fresh AS MATERIALIZED (
      SELECT p_first + t.i - 1 AS seq, t.*, t.h IS DISTINCT FROM sync.link(
        t.before, p_origin::text, p_first + t.i - 1,
        t.hlc, t.ver, t.at_ms, t.offset_min, t.trusted, t.policy, t.record,
        t.id, t.cls, t.typ, t.bench, t.who, t.trip, t.body) AS differs
      FROM unnest(p_hlc, p_ver, p_at_ms, p_offset_min, p_trusted, p_policy, p_record, p_id, p_cls, p_typ, p_bench,
        p_who, p_trip, p_body, p_h, v_head.h || p_h[: n - 1]) WITH ORDINALITY AS t (
          hlc, ver, at_ms, offset_min, trusted, policy, record, id, cls, typ, bench, who, trip, body, h, before, i)
      WHERE t.i > skip
    ), wrong AS MATERIALIZED (
      SELECT min(f.seq) AS seq FROM fresh f WHERE f.differs
    ), kept AS (
      INSERT INTO sync.event
        SELECT p_recv, p_origin, f.seq, v_origin.dept, f.hlc, f.ver, f.at_ms, f.offset_min, f.trusted, f.policy,
          f.record, f.id, f.cls, f.typ, f.bench, f.who, f.trip, f.body, f.h
        FROM fresh f WHERE (SELECT w.seq FROM wrong w) IS NULL
    )
    SELECT w.seq INTO bad FROM wrong w;
    IF bad IS NOT NULL THEN
      RETURN QUERY SELECT 'badhash'::text, bad, v_head.h;
      RETURN;
    END IF;
    -- A hub that lost the end of a log may be sent the other branch first: what is in the log now is no longer aside.
    DELETE FROM sync.fork f WHERE f.origin = p_origin AND f.seq BETWEEN p_first + skip AND p_first + n - 1
      AND f.h = p_h[(f.seq - p_first + 1)::integer];
    v_head.seq := p_first + n - 1;
    v_head.h := p_h[n];
  END IF;
  UPDATE sync.head d SET seq = v_head.seq, h = v_head.h, recv = p_recv,
    behind_ms = (extract(epoch FROM p_recv) * 1000)::bigint - p_sent_ms WHERE d.origin = p_origin;
  IF p_sig IS NOT NULL AND EXISTS (SELECT FROM sync.event e
      WHERE e.origin = p_origin AND e.seq = p_signed_seq AND e.h = p_signed_h) THEN
    INSERT INTO sync.signed_head VALUES
      (p_origin, v_origin.dept, p_signed_seq, p_signed_h, p_signed_hlc, p_signed_at_ms, p_sig)
      ON CONFLICT DO NOTHING;
  END IF;
  IF skip < n THEN
    PERFORM pg_notify('sync_' || left(md5(v_origin.dept), 16), '');  -- a hint to look; nothing rests on it
  END IF;
  RETURN QUERY SELECT 'ok'::text, v_head.seq, v_head.h;
END $$;

CREATE FUNCTION sync_api.push(
  p_origin uuid, p_first bigint,
  p_hlc bigint[], p_ver bigint[], p_at_ms bigint[], p_offset_min bigint[], p_trusted bigint[], p_policy bigint[],
  p_record bigint[], p_id text[], p_cls text[], p_typ text[], p_bench text[], p_who text[], p_trip text[],
  p_body bytea[], p_h bytea[],
  p_sent_ms bigint, p_signed_seq bigint, p_signed_hlc bigint, p_signed_h bytea, p_signed_at_ms bigint, p_sig bytea
) RETURNS TABLE (code text, seq bigint, h bytea)
LANGUAGE sql SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
  SELECT * FROM sync.take(session_user::text, clock_timestamp(), p_origin, p_first, p_hlc, p_ver, p_at_ms,
    p_offset_min, p_trusted, p_policy, p_record, p_id, p_cls, p_typ, p_bench, p_who, p_trip, p_body, p_h, p_sent_ms,
    p_signed_seq, p_signed_hlc, p_signed_h, p_signed_at_ms, p_sig)
$$;

-- Every log of the caller's department: how far it is here, where it begins, its key and its newest signed head. Of a log
-- with two branches that of the branch which is given out: the other's signature would contradict what is pulled.
CREATE FUNCTION sync_api.heads() RETURNS TABLE (
  origin uuid, bench text, own boolean, state text, seq bigint, h bytea, pubkey bytea, after_seq bigint,
  was_origin uuid, was_h bytea, signed_seq bigint, signed_hlc bigint, signed_h bytea, signed_at_ms bigint, sig bytea
) LANGUAGE sql STABLE SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
  SELECT o.origin, b.bench, o.login = session_user::text, o.state, d.seq, d.h, o.pubkey, o.after_seq, o.was_origin,
    o.was_h, s.seq, s.hlc, s.h, s.at_ms, s.sig
  FROM sync.bench mine
  JOIN sync.origin o ON o.dept = mine.dept
  JOIN sync.bench b ON b.login = o.login
  JOIN sync.head d ON d.origin = o.origin
  LEFT JOIN LATERAL (
    SELECT * FROM sync.signed_head g WHERE g.origin = o.origin
      AND EXISTS (SELECT FROM sync.event e WHERE e.origin = g.origin AND e.seq = g.seq AND e.h = g.h)
    ORDER BY g.seq DESC LIMIT 1
  ) s ON true
  WHERE mine.login = session_user::text
$$;

-- The next rows of one log of the caller's department, in order.
CREATE FUNCTION sync_api.pull(p_origin uuid, p_after bigint, p_limit integer) RETURNS TABLE (
  seq bigint, hlc bigint, ver bigint, at_ms bigint, offset_min bigint, trusted bigint, policy bigint, record bigint,
  id text, cls text, typ text, bench text, who text, trip text, body bytea, h bytea
) LANGUAGE plpgsql STABLE SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
#variable_conflict use_column
BEGIN
  PERFORM FROM sync.origin o JOIN sync.bench mine ON mine.dept = o.dept
    WHERE o.origin = p_origin AND mine.login = session_user::text;
  IF NOT FOUND THEN
    RAISE EXCEPTION 'not a log of this department' USING ERRCODE = 'insufficient_privilege';
  END IF;
  RETURN QUERY
    SELECT e.seq, e.hlc, e.ver, e.at_ms, e.offset_min, e.trusted, e.policy, e.record,
      e.id, e.cls, e.typ, e.bench, e.who, e.trip, e.body, e.h
    FROM sync.event e WHERE e.origin = p_origin AND e.seq > p_after
    ORDER BY e.seq LIMIT greatest(least(p_limit, 5000), 0);
END $$;

REVOKE ALL ON ALL FUNCTIONS IN SCHEMA sync, sync_api FROM PUBLIC;
GRANT USAGE ON SCHEMA sync_api TO throughlight_bench, throughlight_reader;
GRANT USAGE ON SCHEMA sync TO throughlight_reader;
GRANT EXECUTE ON FUNCTION sync_api.heads(), sync_api.pull(uuid, bigint, integer), sync_api.push(
  uuid, bigint, bigint[], bigint[], bigint[], bigint[], bigint[], bigint[], bigint[], text[], text[], text[], text[],
  text[], text[], bytea[], bytea[], bigint, bigint, bigint, bytea, bigint, bytea) TO throughlight_bench;
GRANT EXECUTE ON FUNCTION sync_api.my_department() TO throughlight_reader;
