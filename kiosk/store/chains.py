"""Chains of contact asked of one store: recursive SQL over the facts of its logs.

It gives what `kiosk.core.chains.walk` gives for whole logs. A row of the recursion is a trip at a moment. A scope goes
from one use to the next one, by its index, and never from each to all others; a thing goes to its later stays. So the
answer grows with what was done after the start with what was met, not with how much the store holds.
"""

import json
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from kiosk.core.chains import STEPS, Chained, Chains, Start, first

FOR_EVER = 2**62

REACHED = """
WITH RECURSIVE reached(trip, piece, at_ms, steps, kind, thing, before, since_ms, arrived) AS (
  SELECT value ->> 0, '', value ->> 1, 0, '', '', '', 0, 1 FROM json_each(:starts)
  UNION
  SELECT u.trip, u.piece, u.at_ms, r.steps + 1, 'scope', u.tool, '', 0, 0
  FROM reached r CROSS JOIN fact_answer u INDEXED BY fact_answer_by_trip
  WHERE r.arrived AND r.steps <= :most AND u.method = 'scope' AND u.trip = r.trip AND u.at_ms >= r.at_ms
    AND u.at_ms <= :until AND u.tool != ''
  UNION
  SELECT n.trip, n.piece, n.at_ms, r.steps, 'scope', n.tool, coalesce(p.trip, ''), r.at_ms, p.trip IS NOT NULL
  FROM reached r CROSS JOIN fact_answer n INDEXED BY fact_answer_by_scope
  LEFT JOIN fact_answer p ON p.method = 'scope' AND p.tool = n.tool AND p.at_ms = r.at_ms AND p.trip != n.trip
    AND p.trip = (SELECT min(o.trip) FROM fact_answer o
      WHERE o.method = 'scope' AND o.tool = n.tool AND o.at_ms = r.at_ms AND o.trip NOT IN (n.trip, ''))
  WHERE r.kind = 'scope' AND n.method = 'scope' AND n.tool = r.thing AND n.at_ms = (
      SELECT min(o.at_ms) FROM fact_answer o
      WHERE o.method = 'scope' AND o.tool = r.thing AND o.at_ms > r.at_ms AND o.trip != ''
    )
    AND n.trip != '' AND n.at_ms <= :until
    AND NOT EXISTS (
      SELECT 1 FROM fact_scope w
      WHERE w.scope = r.thing AND w.what IN ('scope_cleaned', 'scope_returned')
        AND w.at_ms > r.at_ms AND w.at_ms < n.at_ms
    )
  UNION
  SELECT s.trip, s.thing, s.at_ms, r.steps + 1, 'item', s.thing, '', 0, 1
  FROM reached r CROSS JOIN fact_stay h CROSS JOIN fact_stay s
  WHERE r.arrived AND r.steps <= :most AND h.trip = r.trip AND h.many = 1
    AND s.thing = h.thing AND s.tray < h.tray AND s.at_ms > max(r.at_ms, h.at_ms) AND s.at_ms <= :until AND s.many = 1
    AND NOT EXISTS (
      SELECT 1 FROM fact_stay o
      WHERE o.trip = h.trip AND o.thing = h.thing AND o.many = 0 AND o.at_ms > h.at_ms AND o.at_ms < r.at_ms
    )
  UNION
  SELECT s.trip, s.thing, s.at_ms, r.steps + 1, 'item', s.thing, '', 0, 1
  FROM reached r CROSS JOIN fact_stay h CROSS JOIN fact_stay s
  WHERE r.arrived AND r.steps <= :most AND h.trip = r.trip AND h.many = 1
    AND s.thing = h.thing AND s.tray > h.tray AND s.at_ms > max(r.at_ms, h.at_ms) AND s.at_ms <= :until AND s.many = 1
    AND NOT EXISTS (
      SELECT 1 FROM fact_stay o
      WHERE o.trip = h.trip AND o.thing = h.thing AND o.many = 0 AND o.at_ms > h.at_ms AND o.at_ms < r.at_ms
    )
),
nearest AS (
  SELECT *, row_number() OVER (PARTITION BY trip, steps > :most ORDER BY at_ms, steps, kind, thing, piece) AS nth
  FROM reached WHERE arrived AND steps > 0
),
come AS (
  SELECT c.*, CASE kind WHEN 'scope' THEN before ELSE (
      SELECT p.trip FROM fact_stay p, fact_stay s
      WHERE s.trip = c.trip AND s.thing = c.thing AND s.at_ms = c.at_ms AND s.many = 1
        AND p.thing = s.thing AND p.tray != s.tray AND p.at_ms < s.at_ms AND p.many = 1
      ORDER BY p.at_ms DESC, p.trip LIMIT 1
    ) END AS was_on
  FROM nearest c WHERE nth = 1
)
SELECT trip, piece, at_ms, steps, kind, thing, was_on,
  coalesce((SELECT tray FROM fact_trip t WHERE t.trip = c.was_on), ''),
  CASE kind WHEN 'scope' THEN since_ms ELSE (
    SELECT max(s.at_ms) FROM fact_stay s
    WHERE s.trip = c.was_on AND s.thing = c.thing AND s.many = 1 AND s.at_ms < c.at_ms
  ) END
FROM come c
"""
"""Every trip reached within `:most` steps, and those that one more would reach: of each the earliest way."""

UNCLEAR = """
SELECT h.thing
FROM json_each(:reached) r CROSS JOIN fact_stay h CROSS JOIN fact_stay s
WHERE h.trip = r.value ->> 0 AND h.many > 0 AND s.thing = h.thing AND s.tray < h.tray
  AND s.at_ms > max(r.value ->> 1, h.at_ms) AND s.at_ms <= :until AND s.many > 0 AND max(h.many, s.many) > 1
UNION
SELECT h.thing
FROM json_each(:reached) r CROSS JOIN fact_stay h CROSS JOIN fact_stay s
WHERE h.trip = r.value ->> 0 AND h.many > 0 AND s.thing = h.thing AND s.tray > h.tray
  AND s.at_ms > max(r.value ->> 1, h.at_ms) AND s.at_ms <= :until AND s.many > 0 AND max(h.many, s.many) > 1
ORDER BY 1
"""
NAMELESS = """
SELECT count(*) FROM json_each(:reached) r CROSS JOIN fact_answer u INDEXED BY fact_answer_by_trip
WHERE u.method = 'scope' AND u.trip = r.value ->> 0 AND u.at_ms >= r.value ->> 1 AND u.at_ms <= :until AND u.tool = ''
"""

Rows = Callable[[str, Mapping[str, Any]], list[Any]]
"""How a store is asked: a statement and its values."""


def chains(rows: Rows, starts: Sequence[Start], most: int = STEPS, until_ms: int = 0) -> Chains:
    """Follow the chains from these trips. `until_ms` (Unix ms): nothing later is looked at; 0: everything."""
    begun = json.dumps([[start.trip, start.at_ms] for start in starts])
    values = {"starts": begun, "most": most, "until": until_ms or FOR_EVER}
    names = ("trip", "piece", "at_ms", "steps", "kind", "thing", "before", "tray", "since_ms")
    found = [Chained(**dict(zip(names, row, strict=True))) for row in rows(REACHED, values)]
    trips, further = first(found, starts, most)
    moments = [(start.trip, start.at_ms) for start in starts]
    moments += [(one.trip, one.at_ms) for one in found if one.steps <= most]
    earliest: dict[str, int] = {}
    for trip, at_ms in moments:
        earliest[trip] = min(at_ms, earliest.get(trip, at_ms))
    reached = {"reached": json.dumps(list(earliest.items())), "until": values["until"]}
    return Chains(
        trips=trips,
        most=most,
        further=further,
        unclear=tuple(thing for (thing,) in rows(UNCLEAR, reached)),
        nameless=rows(NAMELESS, reached)[0][0],
    )
