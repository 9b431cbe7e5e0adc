# ruff: noqa: S608 -- every part of the statements stands in this file
"""The department's figures, read from the facts of the log: samples for charts, bars, marks, the trips behind a point.

Every question names its days, and reads no more than those. What is counted: kiosk/core/past/figures.py.
"""

import json
from bisect import bisect_right
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date, time, timedelta
from math import inf
from typing import Any

from kiosk.core.past.figures import (
    FEW,
    GROUPS,
    IN_TIME,
    OF_ANSWERS,
    OF_FINDINGS,
    REMEMBERING,
    Asked,
    Bar,
    Baseline,
    By,
    Figures,
    Marks,
    Spot,
)
from kiosk.core.shift import Shifts
from kiosk.quality.charts import g_chart, p_chart
from kiosk.quality.day_figures import findings_figures, remembering_figures
from kiosk.quality.exact_limits import judged, usual_most
from kiosk.quality.points import Signal
from kiosk.quality.rates import wilson
from kiosk.quality.sampling import look_again
from kiosk.quality.span import parts_of_shifts

Ask = Callable[[str, Sequence[object]], list[Any]]
"""(SQL, values) -> rows, on a connection that only reads: `StoreRecords.ask`."""

CONFIDENCE = 0.95

LATER_DAYS = 7
"""So long after its first look a lumen's finding still counts for it; later it is another look's (a choice)."""

_SINCE = "f.day BETWEEN ? AND ?"
_STANDS = "NOT EXISTS (SELECT 1 FROM fact_withdrawn w WHERE w.trip = f.trip AND w.n = f.n)"
_IN_GROUPS = f"f.grp IN ({', '.join('?' * len(GROUPS))})"
_LUMENS = "SELECT {label}, count(*) FROM fact_lumen l {join} WHERE l.day BETWEEN ? AND ? {of_type} GROUP BY 1"
_FOUND_LUMENS = (
    "FROM (SELECT DISTINCT k.trip, k.piece, k.lumen, k.type, k.day, k.minute, k.at_ms FROM fact_finding f "
    "CROSS JOIN fact_lumen k ON k.trip = f.trip AND k.piece = f.piece AND k.lumen = f.lumen "  # few findings first
    f"WHERE {_SINCE} AND {{groups}} AND k.day BETWEEN ? AND ? AND f.at_ms < k.at_ms + {LATER_DAYS * 86_400_000} "
    "AND NOT EXISTS (SELECT 1 FROM fact_withdrawn w WHERE w.trip = k.trip AND w.n = f.n)) l "
)
_NOT_CLEAR = f"SELECT {{label}}, count(*) {_FOUND_LUMENS} {{join}} WHERE true {{of_type}} GROUP BY 1"
_LOOKED_IN_PARTS = (
    "SELECT p.value ->> 0, p.value ->> 1, (SELECT count(*) FROM fact_lumen l "
    "WHERE l.day = p.value ->> 0 AND l.minute >= p.value ->> 1 AND l.minute < p.value ->> 2 {of_type}) "
    "FROM json_each(?) p"
)
_FOUND_MINUTES = f"SELECT l.day, l.minute, count(*) {_FOUND_LUMENS} WHERE true {{of_type}} GROUP BY 1, 2"
_ANSWERS = (
    "SELECT {label}, count(*), sum(l.yes = 0) FROM fact_answer l "
    "WHERE l.day BETWEEN ? AND ? AND l.yes >= 0 AND {label} != '' {of_type} GROUP BY 1"
)
_FINDINGS = (
    "SELECT l.day, count(*) FROM fact_finding f "
    "CROSS JOIN fact_lumen l ON l.trip = f.trip AND l.piece = f.piece AND l.lumen = f.lumen "
    f"AND f.at_ms < l.at_ms + {LATER_DAYS * 86_400_000} "
    f"WHERE {_SINCE} AND {{groups}} AND {_STANDS} AND l.day BETWEEN ? AND ? {{of_type}} GROUP BY 1"
)
_TRAYS = "SELECT l.day, count(DISTINCT l.trip) FROM fact_lumen l WHERE l.day BETWEEN ? AND ? {of_type} GROUP BY 1"
_SUMMED_LUMENS = "SELECT {label}, sum(n) FROM fact_sum WHERE what = 'type' AND day BETWEEN ? AND ? {of_type} GROUP BY 1"
_SUMMED_ANSWERS = "SELECT word, sum(n), sum(no) FROM fact_sum WHERE what = ? AND day BETWEEN ? AND ? GROUP BY 1"
_SUM_LABEL = {By.DAY: "day", By.TYPE: "word"}
_TRIPS = (
    "SELECT l.trip, count(DISTINCT f.id) AS n FROM fact_lumen l {join} "
    f"LEFT JOIN fact_finding f ON f.trip = l.trip AND f.piece = l.piece AND f.lumen = l.lumen AND {_SINCE} "
    f"AND {{groups}} AND {_STANDS} "
    "WHERE l.day BETWEEN ? AND ? {of_type} AND {label} = ? GROUP BY l.trip ORDER BY n DESC, max(l.at_ms) DESC"
)
_TRIPS_OF_ANSWERS = (
    "SELECT l.trip, sum(l.yes = 0) AS n FROM fact_answer l "
    "WHERE l.day BETWEEN ? AND ? AND l.yes >= 0 {of_type} AND {label} = ? "
    "GROUP BY l.trip ORDER BY n DESC, max(l.at_ms) DESC"
)
_LOOKS = "SELECT l.at_ms FROM fact_lumen l WHERE l.day BETWEEN ? AND ? {of_type}"
_FINDS = f"SELECT l.day, l.minute, l.at_ms {_FOUND_LUMENS} WHERE true {{of_type}} ORDER BY 3"
_TRIP_OF_FIND = f"SELECT l.trip, count(*) {_FOUND_LUMENS} WHERE l.minute = ? {{of_type}} GROUP BY 1"
_BARS = (
    f"SELECT f.{{what}}, count(*) AS n FROM fact_finding f "
    f"WHERE {_SINCE} AND f.lumen != '' AND {_IN_GROUPS} AND {_STANDS} "
    "{of_type} GROUP BY 1 ORDER BY n DESC, 1"
)
_MARKS = (
    f"SELECT f.at_mm / f.length_mm FROM fact_finding f WHERE {_SINCE} AND {_IN_GROUPS} AND {_STANDS} "
    "AND f.lumen != '' {of_type}"
)
_LABEL = {
    **dict.fromkeys({By.DAY, *OF_FINDINGS, *REMEMBERING}, "l.day"),
    By.LOAD: "t.load",
    By.TYPE: "l.type",
    By.METHOD: "CASE WHEN l.lumen != '' THEN l.method ELSE '' END",
    By.SCOPE: "CASE WHEN l.method = 'scope' THEN l.tool ELSE '' END",
    By.LOT: "l.lot",
}
_OF_LOAD = "JOIN fact_trip t ON t.trip = l.trip AND t.load != ''"


class Department:
    """The figures of a store (`kiosk.core.past.figures.Numbers`). Its methods raise Outage as `ask` does."""

    def __init__(self, ask: Ask) -> None:
        self._ask = ask

    def figures(self, asked: Asked, shifts: Shifts, baseline: Baseline | None = None) -> Figures:
        """The samples with three-sigma limits about what is usual: the baseline's share, or that of all samples."""
        if asked.by is By.BETWEEN:
            return self._between(asked)
        samples = self._samples(replace(asked, by=By.DAY) if asked.by in OF_FINDINGS | REMEMBERING else asked, shifts)
        if not samples:
            return Figures(asked=asked, spots=(), center=0.0, fixed=baseline)
        if asked.by in OF_FINDINGS:
            looked = {day: of for day, _, of in samples}
            return findings_figures(asked, self._findings(asked, looked), tuple(looked.values()), baseline)
        if asked.by in REMEMBERING:
            return remembering_figures(asked, samples, baseline)
        labels, found, of = zip(*samples, strict=True)
        share = baseline.found / baseline.of if baseline and baseline.of else None
        chart = p_chart(found, of, labels=labels, share=share)
        in_time = asked.by in IN_TIME
        spots, small = judged(chart, samples, lambda all_: usual_most(all_, chart.center), in_time=in_time)
        return Figures(
            asked=asked,
            spots=spots,
            center=chart.center,
            few=in_time and chart.runs is not None and chart.runs.few,
            counts=min(of) < FEW,
            small=small,
            fixed=baseline,
        )

    def _findings(self, asked: Asked, looked: dict[str, int]) -> list[tuple[str, int, int]]:
        """(day, findings, units) of every day with a lumen looked at. A tray counts on each day it was looked at."""
        parts, days = _parts(asked, {}), _days(asked)
        values = (*_found_days(asked), *_groups(asked), *days, *_typed(asked))
        found = dict(self._ask(_FINDINGS.format(**parts), values))
        trays = dict(self._ask(_TRAYS.format(**parts), (*days, *_typed(asked)))) if asked.by is By.PER_TRAY else {}
        units = {By.PER_LUMEN: looked, By.PER_TRAY: trays}.get(asked.by, {})
        return [(day, found.get(day, 0), units.get(day, 1)) for day in looked]

    def _between(self, asked: Asked) -> Figures:
        """Lumens looked at between one find and the next: for what is rare."""
        days = _days(asked)
        looks = sorted(row[0] for row in self._ask(_LOOKS.format(**_parts(asked, {})), (*days, *_typed(asked))))
        values = (*_found_days(asked), *_groups(asked), *days, *_typed(asked))
        finds = self._ask(_FINDS.format(**_parts(asked, {})), values)
        gaps, before = [], 0
        for day, minute, at_ms in finds:
            after = bisect_right(looks, at_ms)
            gaps.append((f"{day} {minute // 60:02d}:{minute % 60:02d}", max(0, after - before - 1)))
            before = after
        if len(gaps) < 2:  # the first counts from the beginning of the days asked for, and says little
            return Figures(asked=asked, spots=(), center=0.0)
        labels, between = zip(*gaps[1:], strict=True)
        chart = g_chart(between, labels=labels)
        spots = tuple(
            Spot(
                label=label, found=gap, of=1, lower=point.lower, upper=point.upper, above=Signal.ABOVE in point.signals,
                below=Signal.BELOW in point.signals, run=Signal.LONG_RUN in point.signals,
            )
            for label, gap, point in zip(labels, between, chart.points, strict=True)
        )  # fmt: skip
        few = chart.runs is not None and chart.runs.few
        return Figures(asked=asked, spots=spots, center=chart.center, few=few, counts=True)

    def _samples(self, asked: Asked, shifts: Shifts) -> list[tuple[str, int, int]]:
        """(label, found, of) of every sample in which something was looked at, in the order of time or of names."""
        if asked.by is By.SHIFT:
            return self._by_shift(asked, shifts)
        parts = _parts(asked, shifts)
        days = _days(asked)
        if asked.by in OF_ANSWERS:
            rows = (
                self._ask(_ANSWERS.format(**parts), (*days, *_typed(asked)))
                if asked.type
                else self._ask(_SUMMED_ANSWERS, (asked.by, *days))
            )
            return [(label, found, of) for label, of, found in rows]
        if asked.by in _SUM_LABEL:
            of_type = "AND word = ?" if asked.type else ""
            looked = _SUMMED_LUMENS.format(label=_SUM_LABEL[asked.by], of_type=of_type)
        else:
            looked = _LUMENS.format(**parts)
        of = dict(self._ask(looked, (*days, *_typed(asked))))
        values = (*_found_days(asked), *_groups(asked), *days, *_typed(asked))
        found = dict(self._ask(_NOT_CLEAR.format(**parts), values))
        return [  # what is heard between the two questions is in the second alone
            (label, min(found.get(label, 0), of[label]), of[label])
            for label in sorted(of, key=_in_order(shifts))
            if label
        ]

    def _by_shift(self, asked: Asked, shifts: Shifts) -> list[tuple[str, int, int]]:
        """Samples of shifts: what was looked at is counted part by part of each day, without a word for every row."""
        parts = sorted(parts_of_shifts(asked.since, asked.until, shifts))
        label = {(day, begin): name for day, begin, _, name in parts}
        typed, words = _typed(asked), _parts(asked, {})
        of, found = Counter[str](), Counter[str]()
        begins = json.dumps([part[:3] for part in parts])
        for day, begin, many in self._ask(_LOOKED_IN_PARTS.format(**words), (*typed, begins)):
            of[label[day, begin]] += many
        values = (*_found_days(asked), *_groups(asked), *_days(asked), *typed)
        for day, minute, many in self._ask(_FOUND_MINUTES.format(**words), values):
            place = bisect_right(parts, (day, minute, inf)) - 1
            if place >= 0 and parts[place][0] == day and minute < parts[place][2]:
                found[parts[place][3]] += many
        order = _in_order(shifts)
        return [(label, min(found[label], of[label]), of[label]) for label in sorted(of, key=order) if of[label]]

    def limits(self, found: int, of: int) -> tuple[float, float]:
        """Between which shares the true one lies with 95 % confidence (Wilson); 0 to 1 without data."""
        return wilson(found, of) if of else (0.0, 1.0)

    def look_again(self, lot: int, allow: int) -> int:
        """How many of a lot to look at so that none wrong among them means at most `allow` wrong, 95 % confidence."""
        return look_again(lot, allow, CONFIDENCE)

    def trips(self, asked: Asked, label: str, shifts: Shifts) -> Sequence[tuple[str, int]]:
        """The trips behind a point, those with findings first: (trip, findings; of answers: answers NO)."""
        if asked.by is By.BETWEEN:
            day, _, clock = label.partition(" ")
            values = (*_found_days(asked), *_groups(asked), day, day, _minute(clock), *_typed(asked))
            return self._ask(_TRIP_OF_FIND.format(**_parts(asked, {})), values)
        parts = _parts(asked, shifts)
        days = _days(asked)
        if asked.by in OF_ANSWERS:
            return self._ask(_TRIPS_OF_ANSWERS.format(**parts), (*days, *_typed(asked), label))
        values = (*_found_days(asked), *_groups(asked), *days, *_typed(asked), label)
        return self._ask(_TRIPS.format(**parts), values)

    def codes(self, since: date, until: date, type_: str = "") -> Sequence[Bar]:
        """Findings that stand, by code, most first."""
        return self._bars("code", since, until, type_)

    def types(self, since: date, until: date) -> Sequence[Bar]:
        """Findings that stand, by item type, most first."""
        return self._bars("type", since, until, "")

    def _bars(self, what: str, since: date, until: date, type_: str) -> Sequence[Bar]:
        sql = _BARS.format(what=what, of_type="AND f.type = ?" if type_ else "")
        values = (since.isoformat(), until.isoformat(), *GROUPS, *filter(None, (type_,)))
        return [Bar(what=name, n=n) for name, n in self._ask(sql, values)]

    def marks(self, since: date, until: date, type_: str = "") -> Marks:
        """Where findings lay along their lumens, as shares of the length from ENTRY."""
        sql = _MARKS.format(of_type="AND f.type = ?" if type_ else "")
        values = (since.isoformat(), until.isoformat(), *GROUPS, *filter(None, (type_,)))
        shares = [row[0] for row in self._ask(sql, values)]
        placed = sorted(min(max(share, 0.0), 1.0) for share in shares if share is not None)
        return Marks(shares=tuple(placed), unplaced=len(shares) - len(placed))


def _days(asked: Asked) -> tuple[str, str]:
    """The local days that are read; a night shift that began on the last day ends on the next."""
    more = 1 if asked.by is By.SHIFT else 0
    return asked.since.isoformat(), (asked.until + timedelta(days=more)).isoformat()


def _found_days(asked: Asked) -> tuple[str, str]:
    return asked.since.isoformat(), (asked.until + timedelta(days=LATER_DAYS)).isoformat()


def _groups(asked: Asked) -> tuple[str, ...]:
    return (asked.group,) if asked.group else GROUPS


def _typed(asked: Asked) -> tuple[str, ...]:
    return (asked.type,) if asked.type else ()


def _parts(asked: Asked, shifts: Shifts) -> dict[str, str]:
    label = _shift_label(shifts, asked) if asked.by is By.SHIFT else _LABEL.get(asked.by, "")
    return {
        "label": label,
        "join": _OF_LOAD if asked.by is By.LOAD else "",
        "of_type": "AND l.type = ?" if asked.type else "",
        "groups": "f.grp = ?" if asked.group else _IN_GROUPS,
    }


def _minute(text: str) -> int:
    clock = time.fromisoformat(text)
    return clock.hour * 60 + clock.minute


def _shift_label(shifts: Shifts, asked: Asked) -> str:
    """SQL that says "2031-03-04 night" of a moment: the shift's name and the day on which it began; "" outside."""
    cases = []
    for name, (begins, ends) in shifts.items():
        start, end = _minute(begins), _minute(ends)
        quoted = name.replace("'", "''")
        if start < end:
            cases.append(f"WHEN l.minute >= {start} AND l.minute < {end} THEN l.day || ' {quoted}'")
        else:
            cases.append(f"WHEN l.minute >= {start} THEN l.day || ' {quoted}'")
            cases.append(f"WHEN l.minute < {end} THEN date(l.day, '-1 day') || ' {quoted}'")
    first, last = asked.since.isoformat(), asked.until.isoformat()
    named = f"CASE {' '.join(cases)} ELSE '' END" if cases else "''"
    within = f"CASE WHEN substr(s, 1, 10) BETWEEN '{first}' AND '{last}' THEN s ELSE '' END"
    return f"(SELECT {within} FROM (SELECT {named} AS s))"


def _in_order(shifts: Shifts) -> Callable[[str], tuple[str, int, str]]:
    """Days in their order, and the shifts of a day in theirs."""
    place = {name: _minute(begins) for name, (begins, _) in shifts.items()}

    def key(label: str) -> tuple[str, int, str]:
        day, _, name = label.partition(" ")
        return (day, place[name], "") if name in place else (label, 0, "")

    return key
