"""`throughlight hours`: time and people, from the log of a store. Over everybody together, never by person."""

import argparse
from dataclasses import asdict, dataclass
from datetime import date, timedelta
from math import inf
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kiosk.cli.call import CallFault, date_of, naming, opened, policy_of, print_json, values_of

if TYPE_CHECKING:
    from kiosk.core.catalogue import Kit
    from kiosk.core.past.hours import Minutes, Took
    from kiosk.core.policy import Policy
    from kiosk.quality.bench_need import BenchNeed
    from kiosk.quality.every_lumen import EveryLumen
    from kiosk.quality.policy_replay import Reach, Replay
    from kiosk.quality.span import Span
    from kiosk.quality.staffing import Line
    from kiosk.quality.times import Times
    from kiosk.quality.trips import Opened
    from kiosk.store.bench_store import BenchStore

DAYS = 28
"""Days of a call without dates: four whole weeks, so that each day of the week counts alike."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hours:
    """All that one call found. `other`: keys of the other policy that differ and are in no figure."""

    station: str
    practice: bool
    span: "Span"
    opened: "Opened"
    times: "Times"
    every: "EveryLumen"
    need: "BenchNeed"
    under: str
    replay: "Replay | None"
    minutes: "Minutes | None"
    other: tuple[str, ...]

    @property
    def elsewhere(self) -> int:
        """Trays opened at other stations: planned here with this station's kit."""
        return sum(each.bench != self.station for each in self.opened.trays)


def options(parser: argparse.ArgumentParser) -> None:
    """The arguments of the command, but for --json and the common ones."""
    parser.add_argument("--from", dest="since", type=date_of, metavar="DATE", help=f"first day (default: {DAYS} days)")
    parser.add_argument("--to", dest="until", type=date_of, metavar="DATE", help="last day (default: today)")
    parser.add_argument(
        "--under", type=Path, metavar="POLICY.yaml", help="plan the same trays under this policy too: what it costs"
    )
    parser.add_argument(
        "--wait", type=float, default=30.0, metavar="MIN", help="wanted wait of a tray in minutes (default 30)"
    )


def hours(args: argparse.Namespace) -> int:
    """Times of checks, the cost of checking every lumen, the benches a wait takes, and the cost of another policy."""
    from kiosk.cli.hours_table import limits, table

    found = _found(args)
    if args.json:
        print_json(_as_json(found) | {"limits": list(limits(found))})
    else:
        print("\n".join(table(found)))
    return 0


def _found(args: argparse.Namespace) -> Hours:
    from kiosk.core.stamp import local_time
    from kiosk.devices.clock import SystemClock
    from kiosk.quality.bench_need import bench_need
    from kiosk.quality.every_lumen import every_lumen
    from kiosk.quality.policy_replay import other_keys, replay
    from kiosk.quality.span import shifts_in
    from kiosk.quality.staffing import LineFault
    from kiosk.quality.times import minutes_of, times
    from kiosk.quality.trips import first_plans, opened_in
    from kiosk.store.heard import PRACTICE

    if not 0 <= args.wait < inf:
        raise CallFault(f"--wait {args.wait:g}: give minutes, from 0")
    now = SystemClock().now()
    span = _span(args, local_time(now.at_ms, now.offset_min).date())
    with opened(args) as store:
        policy, kit = _in_force(args, store, now.at_ms)
        under = _under(args, policy)
        trays = opened_in(store.records, span)
        took = times(store.records, span, policy.shifts)
        shifts = shifts_in(trays.moments, policy.shifts)
        both = None
        if under is not None:
            both = replay(trays.trays, policy, under, kit, first_plans(store.records, span))
        try:
            need = bench_need(store.records, span, trays, args.wait)
        except LineFault as fault:
            raise CallFault(f"--wait {args.wait:g}: {fault}") from fault
        return Hours(
            station=store.store.bench,
            practice=store.store.bench.startswith(PRACTICE),
            span=span,
            opened=trays,
            times=took,
            every=every_lumen(trays.trays, policy, kit, took.seconds, shifts),
            need=need,
            under=args.under.name if args.under else "",
            replay=both,
            minutes=None if both is None else minutes_of(both.more, took.seconds),
            other=() if under is None else other_keys(policy, under),
        )


def _span(args: argparse.Namespace, today: date) -> "Span":
    from kiosk.quality.span import Span, SpanFault

    last = args.until or today
    try:
        return Span(first=args.since or last - timedelta(days=DAYS - 1), last=last)
    except SpanFault as fault:
        raise CallFault(f"--from, --to: {fault}") from fault


def _in_force(args: argparse.Namespace, store: "BenchStore", now_ms: int) -> "tuple[Policy, Kit]":
    """Policy and kit as they count now, with every change since they were loaded, and the call's own over them."""
    from dataclasses import replace

    from kiosk.core.policy import plain_values
    from kiosk.core.together.amending import amended
    from kiosk.desk import make_desk
    from kiosk.lumen.records import kit_from_mapping

    held = store.catalogue_or_empty()
    desk = make_desk(held, store.policy_now(), loaded_ms=store.catalogue_kept_ms())
    desk, _ = amended(replace(desk, others=store.records.benches()), store.bench(), now_ms)
    policy = desk.policy if args.policy is None else policy_of(args, plain_values(desk.policy))
    if args.kit is None:
        return policy, desk.catalogue.kit
    with naming(args.kit):
        return policy, kit_from_mapping(values_of(args.kit))


def _under(args: argparse.Namespace, policy: "Policy") -> "Policy | None":
    """The other policy: the values of its file over those in force."""
    from kiosk.core.policy import plain_values

    if args.under is None:
        return None
    return policy_of(argparse.Namespace(policy=args.under), plain_values(policy))


def _as_json(found: Hours) -> dict[str, Any]:
    from kiosk.core.past.hours import CAP_S, LEAST

    took = found.times
    return {
        "from": found.span.first,
        "to": found.span.last,
        **({"practice": True} if found.practice else {}),
        "trays": len(found.opened.trays),
        "let_go": found.opened.let_go,
        "unreadable": found.opened.unreadable,
        "times": {
            "shifts": took.shifts,
            "interrupted_over_s": CAP_S,
            "least": LEAST,
            "all": _took(took.whole),
            "by_method": [_took(row) for row in took.by_method],
            "by_type": [_took(row) for row in took.by_type],
            "by_method_and_type": [_took(row) for row in took.by_both],
        },
        "every_lumen": {
            "shifts": found.every.shifts,
            "lumens": found.every.lumens,
            "now": _minutes(found.every.now) | {"asked": dict(found.every.now_asked)},
            "every_check": _minutes(found.every.every) | {"asked": dict(found.every.all_asked)},
        },
        "benches": {
            "days": found.need.days,
            "wait_min": found.need.wait_min,
            "share": found.need.share,
            "stays": asdict(found.need.stays),
            "hours": [
                {**asdict(each), "needs": _line(each.needs), "as_now": _line(each.as_now)} for each in found.need.hours
            ],
        },
        "under": _replay(found),
    }


def _took(row: "Took") -> dict[str, Any]:
    """One row of times; seconds to a tenth, null where too few were timed."""
    told = {"method": row.method, "type": row.type, "answers": row.answers, "timed": row.timed}
    told |= {"not_timed": row.not_timed, "interrupted": row.interrupted}
    seconds = asdict(row.spread) if row.spread else dict.fromkeys(("p25_s", "median_s", "p75_s", "p90_s", "mean_s"))
    seconds.pop("n", None)
    told |= {name: None if value is None else round(value, 1) for name, value in seconds.items()}
    return told | {"minutes_a_shift": None if row.minutes_a_shift is None else round(row.minutes_a_shift, 2)}


def _minutes(minutes: "Minutes") -> dict[str, Any]:
    parts = {name: round(getattr(minutes, name), 2) for name in ("low", "middle", "high", "mean")}
    return {"minutes": parts, "not_measured": dict(minutes.unknown)}


def _line(line: "Line | None") -> dict[str, Any] | None:
    """A line as JSON; a wait without end is null and `grows` true."""
    if line is None:
        return None
    wait = None if line.grows else round(line.wait_min, 2)
    return {
        "benches": line.people,
        "load": round(line.load, 3),
        "grows": line.grows,
        "waits": round(line.waits, 4),
        "wait_min": wait,
        "in_time": round(line.in_time, 4),
    }


def _replay(found: Hours) -> dict[str, Any] | None:
    both = found.replay
    if both is None or found.minutes is None:
        return None
    return {
        "policy": found.under,
        "trays": both.trays,
        "elsewhere": found.elsewhere,
        "compared": both.compared,
        "alike": both.alike,
        "more": both.more,
        **_minutes(found.minutes),
        "now": asdict(both.now),
        "then": asdict(both.then),
        "lumens": [
            {
                "tray": way.tray,
                "item": way.item,
                "name": way.name,
                "lumen": way.lumen,
                "times": way.times,
                "sight": way.sight,
                "now": _reach(way.now),
                "then": _reach(way.then),
            }
            for way in both.ways
        ],
        "not_counted": list(found.other),
    }


def _reach(reach: "Reach") -> dict[str, Any]:
    areas = {name: getattr(reach, name) for name in ("seen_mm2", "touched_mm2")}
    told = {name: None if value is None else round(float(value), 1) for name, value in areas.items()}
    return {"seen": reach.seen, **told, "proof": reach.proof, "hold": reach.hold}
