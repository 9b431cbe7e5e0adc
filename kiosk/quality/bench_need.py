"""How many benches a wanted waiting time takes, hour by hour: trays and minutes from the log, Erlang C for the line.

`kiosk.quality.staffing` holds the model. Its load is trays an hour times *mean* minutes, so the mean is what counts
here; median and 90th percentile stand beside it.
"""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from kiosk.core.past.hours import LEAST
from kiosk.quality.span import Span
from kiosk.quality.staffing import Line, line, people_for
from kiosk.quality.times import quantile
from kiosk.quality.trips import Opened
from kiosk.store.records import StoreRecords

SHARE = 0.9
"""This share of the trays is to wait no longer than wanted (a choice)."""

MOST_MIN = 240
"""A tray longer at the bench without a pause was left lying, and is counted apart (a choice)."""

ENDS = frozenset({"packed", "packed_short", "tray_back"})
FOUND_OPEN = frozenset({"other_person", "away"})
"""A pause that is noted only when the next person signs in, or the same one comes back late."""

_PASSAGES = (
    "SELECT e.trip, e.typ, CASE e.typ WHEN 'power_lost' THEN coalesce(e.body ->> '$.at_ms', e.at_ms) ELSE e.at_ms END, "
    "coalesce(e.body ->> '$.reason', '') FROM fact_trip t JOIN readable_event e ON e.trip = t.trip "
    "WHERE t.day BETWEEN ? AND ? AND e.typ IN ('tray_opened', 'paused', 'resumed', 'signed_out', 'power_lost', "
    "'packed', 'packed_short', 'tray_back', 'tray_let_go') "
    "GROUP BY e.id ORDER BY e.trip, e.seq"
)
_AT_WORK = (
    "SELECT a.minute / 60, max(n) FROM (SELECT a.day, a.minute / 60 * 60 AS minute, count(DISTINCT t.bench) AS n "
    "FROM fact_answer a JOIN fact_trip t ON t.trip = a.trip WHERE a.day BETWEEN ? AND ? GROUP BY 1, 2) a GROUP BY 1"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stays:
    """Minutes of trays at the bench, from opened to packed or sent back, without the pauses.

    `left_lying`: longer than MOST_MIN; `not_ended`: still open, or gone on elsewhere. Neither is in the minutes, which
    are None for fewer than LEAST trays.
    """

    packed: int
    back: int
    left_lying: int
    not_ended: int
    median_min: float | None
    p90_min: float | None
    mean_min: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Hour:
    """One hour of the day. `an_hour`: trays opened in it a day; `at_work`: most benches seen at work in it at once.

    `needs`: the fewest benches that keep the wait; `as_now`: the line with the benches at work. None: too few trays.
    """

    hour: int
    trays: int
    an_hour: float
    at_work: int
    needs: Line | None
    as_now: Line | None


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchNeed:
    """The need of benches by hour of the day. `days`: days on which a tray was opened."""

    days: int
    wait_min: float
    share: float
    stays: Stays
    hours: tuple[Hour, ...]


def bench_need(records: StoreRecords, span: Span, opened: Opened, wait_min: float, share: float = SHARE) -> BenchNeed:
    """Reckon the need for a wanted wait in minutes. Raises Outage, LineFault."""
    stays = stays_in(records, span)
    at_work = dict(records.ask(_AT_WORK, span.between))
    days = len({each.day for each in opened.trays})
    come = Counter(each.minute // 60 for each in opened.trays)
    hours = (
        hour_of(hour, come[hour], days, at_work.get(hour, 0), stays.mean_min, wait_min, share) for hour in sorted(come)
    )
    return BenchNeed(days=days, wait_min=wait_min, share=share, stays=stays, hours=tuple(hours))


def hour_of(
    hour: int, trays: int, days: int, at_work: int, mean_min: float | None, wait_min: float, share: float
) -> Hour:
    """One hour, of all its trays on so many days. Raises LineFault."""
    an_hour = trays / days
    enough = mean_min is not None and mean_min > 0 and trays >= LEAST
    return Hour(
        hour=hour,
        trays=trays,
        an_hour=an_hour,
        at_work=at_work,
        needs=people_for(an_hour, mean_min, wait_min, share) if enough and mean_min else None,
        as_now=line(an_hour, mean_min, at_work, wait_min) if enough and mean_min else None,
    )


def stays_in(records: StoreRecords, span: Span) -> Stays:
    """How long the trays that were opened in a span were at the bench. Raises Outage."""
    return stays_of(records.ask(_PASSAGES, span.between))


def stays_of(rows: Iterable[Any]) -> Stays:
    """The same from rows (trip, what, when in ms, reason of a pause), each trip's together and in its order.

    A tray that the next sign-in found open counts as set aside since the last person went.
    """
    minutes: list[float] = []
    counts: Counter[str] = Counter()
    for _, passage in groupby(rows, key=lambda row: row[0]):
        end, ms = _stay(passage)
        if end == "tray_let_go":
            continue
        if not end:
            counts["not_ended"] += 1
        elif ms > MOST_MIN * 60_000:
            counts["left_lying"] += 1
        else:
            counts["back" if end == "tray_back" else "packed"] += 1
            minutes.append(ms / 60_000)
    return _stays(minutes, counts)


def _stay(passage: Iterable[Any]) -> tuple[str, int]:
    """How a passage ended the first time ("" where it did not), and its ms at the bench."""
    began: int | None = None
    went: int | None = None
    ms = 0
    for _, what, at_ms, reason in passage:
        if what in ENDS or what == "tray_let_go":
            return what, ms + (max(0, at_ms - began) if began is not None else 0)
        if what in {"tray_opened", "resumed"}:
            began, went = at_ms if began is None else began, None
        elif what in {"signed_out", "power_lost"}:
            went = at_ms
        elif began is not None:  # a pause
            left = went if reason in FOUND_OPEN and went is not None else at_ms
            ms, began = ms + max(0, left - began), None
    return "", ms


def _stays(minutes: list[float], counts: Mapping[str, int]) -> Stays:
    ordered = sorted(minutes)
    enough = len(ordered) >= LEAST
    return Stays(
        packed=counts["packed"],
        back=counts["back"],
        left_lying=counts["left_lying"],
        not_ended=counts["not_ended"],
        median_min=quantile(ordered, 0.5) if enough else None,
        p90_min=quantile(ordered, 0.9) if enough else None,
        mean_min=sum(ordered) / len(ordered) if enough else None,
    )
