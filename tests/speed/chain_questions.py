"""The lookback's chains in DuckDB's words over the same rows: what was reached, when, after how many steps.

What it must say is written in `kiosk/core/past/chains.py`; here it is written a second time, for a store of columns:
the uses of the days in question are laid out first, each with the last cleaning of its scope before it, for two uses
of a scope between which nothing was cleaned share that one.
"""

REACHED = """
WITH RECURSIVE
starts AS (SELECT DISTINCT trip, min(at_ms) AS at_ms FROM fact_answer
    WHERE day = $day AND method = 'scope' AND tool = $scope AND yes IS NOT NULL GROUP BY trip),
cleaned AS (SELECT scope, at_ms FROM fact_scope WHERE what IN ('scope_cleaned', 'scope_returned')),
uses AS MATERIALIZED (
    SELECT a.trip, a.tool, a.at_ms, coalesce(c.at_ms, 0) AS since
    FROM (SELECT trip, tool, at_ms FROM fact_answer
          WHERE day BETWEEN $day AND $last AND method = 'scope' AND tool != '' AND trip != '' AND at_ms <= $until) a
    ASOF LEFT JOIN cleaned c ON c.scope = a.tool AND c.at_ms < a.at_ms),
stays AS MATERIALIZED (SELECT thing, tray, at_ms, trip, many FROM fact_stay WHERE at_ms <= $until),
lent AS MATERIALIZED (
    SELECT h.trip, h.thing, h.at_ms, s.trip AS to_trip, s.at_ms AS to_ms
    FROM stays h JOIN stays s ON s.thing = h.thing AND s.tray != h.tray AND s.at_ms > h.at_ms
    WHERE h.many = 1 AND s.many = 1 AND s.at_ms >= (SELECT min(at_ms) FROM starts)),
reached(trip, at_ms, steps) AS (
    SELECT trip, at_ms, 0 FROM starts
    UNION
    (SELECT n.trip, min(n.at_ms), r.steps + 1
     FROM reached r JOIN uses u ON u.trip = r.trip AND u.at_ms >= r.at_ms
       JOIN uses n ON n.tool = u.tool AND n.since = u.since AND n.at_ms > u.at_ms AND n.trip != u.trip
     WHERE r.steps <= $most GROUP BY r.trip, r.at_ms, r.steps, n.trip
     UNION ALL
     SELECT l.to_trip, min(l.to_ms), r.steps + 1
     FROM reached r JOIN lent l ON l.trip = r.trip AND l.to_ms > r.at_ms
     WHERE r.steps <= $most AND NOT EXISTS (
         SELECT 1 FROM fact_stay o
         WHERE o.trip = l.trip AND o.thing = l.thing AND o.many = 0 AND o.at_ms > l.at_ms AND o.at_ms < r.at_ms)
     GROUP BY r.trip, r.at_ms, r.steps, l.to_trip)
)
SELECT DISTINCT ON (steps > $most, trip) trip, at_ms, steps
FROM reached WHERE steps > 0 AND trip NOT IN (SELECT trip FROM starts)
ORDER BY steps > $most, trip, at_ms, steps
"""
"""$scope was used on $day: from there on up to $until (Unix ms, on the day $last). Rows beyond $most lie further."""
