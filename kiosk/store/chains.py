# ruff: noqa: S608 -- every part of the statements stands in this file
"""Chains of contact asked of one store: by the facts of its logs, a step at a time.

It gives what `kiosk.core.past.chains.walk` gives for whole logs. A step goes on from what the step before reached, or
reached earlier than was known: of each trip only its earliest moment. A scope is followed by recursive SQL from one use
to the next one, by its index; a thing goes to its later stays, from the two trays that it left first. So the answer
grows with what was done after the start with what was met, not with how much the store holds.
"""

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from kiosk.core.past.chains import STEPS, Chained, Chains, Start, follow

FOR_EVER = 2**62

_NEXT = """(
  SELECT iif(EXISTS (
      SELECT 1 FROM fact_scope w
      WHERE w.scope = {scope} AND w.what IN ('scope_cleaned', 'scope_returned')
        AND w.at_ms > {at_ms} AND w.at_ms < later.at_ms
    ), NULL, later.at_ms)
  FROM (
    SELECT min(o.at_ms) AS at_ms FROM fact_answer o
    WHERE o.method = 'scope' AND o.tool = {scope} AND o.at_ms > {at_ms} AND o.at_ms <= :until AND o.trip != ''
  ) later
)"""
BY_SCOPE = f"""
WITH RECURSIVE carried(scope, at_ms, next_ms) AS (
  SELECT u.tool, u.at_ms, {_NEXT.format(scope="u.tool", at_ms="u.at_ms")}
  FROM json_each(:news) r CROSS JOIN fact_answer u INDEXED BY fact_answer_by_trip
  WHERE u.method = 'scope' AND u.trip = r.value ->> 0 AND u.at_ms >= r.value ->> 1 AND u.at_ms <= :until
    AND u.tool != ''
  UNION
  SELECT c.scope, c.next_ms, {_NEXT.format(scope="c.scope", at_ms="c.next_ms")}
  FROM carried c WHERE c.next_ms IS NOT NULL
),
met AS (
  SELECT n.at_ms, n.tool, n.piece, n.trip, c.at_ms AS since_ms, (
      SELECT min(o.trip) FROM fact_answer o
      WHERE o.method = 'scope' AND o.tool = c.scope AND o.at_ms = c.at_ms AND o.trip NOT IN (n.trip, '')
    ) AS before
  FROM carried c CROSS JOIN fact_answer n INDEXED BY fact_answer_by_scope
  WHERE n.method = 'scope' AND n.tool = c.scope AND n.at_ms = c.next_ms AND n.trip != ''
)
SELECT at_ms, tool, piece, trip, before, coalesce((SELECT tray FROM fact_trip t WHERE t.trip = before), ''), since_ms
FROM met WHERE before IS NOT NULL
"""
"""Where each scope went on to from the trips in `:news`, [[trip, Unix ms], ...], until it was cleaned.

A row of the recursion is a moment at which a scope carries on, and when it was used next.
"""

BY_THING = """
WITH held AS (
  SELECT h.thing, h.tray, min(max(r.value ->> 1, h.at_ms)) AS since_ms
  FROM json_each(:news) r CROSS JOIN fact_stay h
  WHERE h.trip = r.value ->> 0 AND h.many = 1 AND NOT EXISTS (
      SELECT 1 FROM fact_stay o
      WHERE o.trip = h.trip AND o.thing = h.thing AND o.many = 0 AND o.at_ms > h.at_ms AND o.at_ms < r.value ->> 1
    )
  GROUP BY h.thing, h.tray
),
ranked AS (SELECT *, row_number() OVER (PARTITION BY thing ORDER BY since_ms, tray) AS nth FROM held)
SELECT DISTINCT s.at_ms, s.thing, s.thing, s.trip, '', '', 0
FROM ranked k CROSS JOIN fact_stay s INDEXED BY fact_stay_by_time
WHERE nth <= 2 AND s.thing = k.thing AND s.at_ms > k.since_ms AND s.at_ms <= :until AND s.tray != k.tray AND s.many = 1
"""
"""Where what lay on those trips came to later, in another tray: two trays are enough, for one of them is another."""

BEFORE = """
SELECT w.value ->> 0, (
    SELECT json_array(b.trip, b.tray, b.at_ms) FROM fact_stay b INDEXED BY fact_stay_by_time
    WHERE b.thing = w.value ->> 1 AND b.at_ms < w.value ->> 2 AND b.many = 1
      AND b.tray != (SELECT tray FROM fact_trip t WHERE t.trip = w.value ->> 0)
    ORDER BY b.at_ms DESC, b.trip LIMIT 1
  )
FROM json_each(:ways) w
"""
"""The last stay of a thing in another tray before it came to a trip: [[trip, thing, Unix ms], ...]."""

UNCLEAR = """
WITH held AS (
  SELECT h.thing, h.tray, h.many > 1 AS several, min(max(r.value ->> 1, h.at_ms)) AS since_ms
  FROM json_each(:reached) r CROSS JOIN fact_stay h WHERE h.trip = r.value ->> 0 AND h.many > 0
  GROUP BY h.thing, h.tray, h.many > 1
),
ranked AS (SELECT *, row_number() OVER (PARTITION BY thing, several ORDER BY since_ms, tray) AS nth FROM held)
SELECT DISTINCT thing FROM ranked k
WHERE nth <= 2 AND EXISTS (
    SELECT 1 FROM fact_stay s INDEXED BY fact_stay_by_time
    WHERE s.thing = k.thing AND s.at_ms > k.since_ms AND s.at_ms <= :until AND s.tray != k.tray AND s.many > 0
      AND (k.several OR s.many > 1)
  )
ORDER BY thing
"""
NAMELESS = """
SELECT count(*) FROM json_each(:reached) r CROSS JOIN fact_answer u INDEXED BY fact_answer_by_trip
WHERE u.method = 'scope' AND u.trip = r.value ->> 0 AND u.at_ms >= r.value ->> 1 AND u.at_ms <= :until AND u.tool = ''
"""

Rows = Callable[[str, Mapping[str, Any]], list[Any]]
"""How a store is asked: a statement and its values."""

_NAMES = ("at_ms", "thing", "piece", "trip", "before", "tray", "since_ms")


def chains(rows: Rows, starts: Sequence[Start], most: int = STEPS, until_ms: int = 0) -> Chains:
    """Follow the chains from these trips. `until_ms` (Unix ms): nothing later is looked at; 0: everything."""
    until = until_ms or FOR_EVER

    def step(news: Mapping[str, int], steps: int) -> Iterator[Chained]:
        values = {"news": json.dumps(list(news.items())), "until": until}
        for kind, statement in (("scope", BY_SCOPE), ("item", BY_THING)):
            for row in rows(statement, values):
                yield Chained(kind=kind, steps=steps, **dict(zip(_NAMES, row, strict=True)))

    trips, further, within = follow(step, starts, most)
    ways = json.dumps([[one.trip, one.thing, one.at_ms] for one in trips if one.kind == "item"])
    before = {trip: json.loads(stay) for trip, stay in rows(BEFORE, {"ways": ways})}
    reached = {"reached": json.dumps(list(within.items())), "until": until}
    return Chains(
        trips=tuple(_come_from(one, before[one.trip]) if one.kind == "item" else one for one in trips),
        most=most,
        further=further,
        unclear=tuple(thing for (thing,) in rows(UNCLEAR, reached)),
        nameless=rows(NAMELESS, reached)[0][0],
    )


def _come_from(one: Chained, stay: tuple[str, str, int]) -> Chained:
    trip, tray, at_ms = stay
    return replace(one, before=trip, tray=tray, since_ms=at_ms)
