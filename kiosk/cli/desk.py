"""The commands of the desk: what a store can say of a shift, of what waits, of what was."""

import argparse
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kiosk.cli.call import CallFault, opened, policy_of, print_json

if TYPE_CHECKING:
    from kiosk.core.glance import Glance


@contextmanager
def glance_of(args: argparse.Namespace) -> Iterator["Glance"]:
    """What the desk sees of the store of the call, now; nothing is kept."""
    from kiosk import resources
    from kiosk.core.catalogue import Catalogue
    from kiosk.core.session import Session
    from kiosk.desk import make_desk
    from kiosk.devices.clock import SystemClock
    from kiosk.quality.department import Department
    from kiosk.quality.department_hours import DepartmentHours
    from kiosk.quality.remembered import Remembered
    from kiosk.store.heard import PRACTICE

    with opened(args) as store:
        version, own = store.policy() or (1, {})
        desk = make_desk(
            store.catalogue() or Catalogue(),
            replace(policy_of(args, own), version=version),
            bench_number=int(store.store.bench[1:] or 1),
            side="decontam" if store.store.bench.startswith("D") else "clean",
            practice=store.store.bench.startswith(PRACTICE),
        )
        desk = replace(
            desk,
            records=store.records,
            numbers=Department(store.records.ask),
            hours=DepartmentHours(store.records, store.store.bench),
            unseen=Remembered(),
            others=store.records.benches(),
        )
        session = Session(
            bench=store.bench(),
            desk=desk,
            words=resources.words(),
            clock=SystemClock().now,
            keep=_nothing,
            tongues=resources.tongues(),
        )
        yield session.glance()


def _nothing(_: object) -> None:
    raise CallFault("the command line keeps nothing")


def compose_pdf(args: argparse.Namespace, g: "Glance", doc: str, number: str, about: str) -> None:
    from kiosk.core.composing import ReportOrder, compose_report
    from kiosk.paper.render import render

    if args.pdf is not None:
        order = ReportOrder(doc=doc, number=number, about=about)
        Path(args.pdf).write_bytes(render(compose_report(g, order), language=g.desk.policy.house_language))


def summary(args: argparse.Namespace) -> int:
    from kiosk.core.past.counters import COUNTERS
    from kiosk.core.past.records import shift_text
    from kiosk.core.past.summing import OF, summary_of

    with glance_of(args) as g:
        shifts = g.desk.policy.shifts
        if args.shift not in shifts:
            raise CallFault(f"--shift {args.shift}: the policy's shifts are {', '.join(shifts)}")
        shift = (args.shift, args.date)
        whole = summary_of(shift, g.desk, g.bench, g.now)
        compose_pdf(args, g, "shift_summary", whole.number, shift_text(shift))
        counts = {name: whole.figures[name] for name in COUNTERS}
        shares = {
            name: {"n": whole.figures[name], "of": whole.figures[of]} for name, of in OF.items() if of in whole.figures
        }
        more = {"shares": shares, "data_until_ms": whole.until_ms, "printed": whole.number, "since": dict(whole.since)}
        practice = g.desk.practice
    if args.json:
        print_json({**counts, **more, **({"practice": True} if practice else {})})
    else:
        if practice:
            print("PRACTICE: nothing here counts.")
        for name, number in counts.items():
            of = f" of {shares[name]['of']}" if name in shares else ""
            print(f"{number:>6}{of}  {name.replace('_', ' ')}")
    return 0


def handover(args: argparse.Namespace) -> int:
    from kiosk.core import waiting
    from kiosk.core.composing.handover import age_of, line_words, step_words

    with glance_of(args) as g:
        found = waiting.handed(g.bench, g.desk, g.now)
        compose_pdf(args, g, "handover_list", "", "")
        rows = [
            {
                "kind": line.kind,
                "what": line_words(g, line)[0],
                "state": line_words(g, line)[1],
                "next": step_words(g, line),
                "by": line.by,
                "station": line.station,
                "since_ms": line.since_ms or None,
                "about": line.about,
                "age": age_of(g, line),
            }
            for line in found
        ]
    if args.json:
        print_json(rows)
    else:
        for row in rows:
            print(f"{row['age'] or '-':>11}  {row['kind']:<8} {row['what']}: {row['state']}. {row['next']}")
    return 0


def lookback(args: argparse.Namespace) -> int:
    from kiosk.core.composing.lookback import (
        chain_unknown,
        done_words,
        more_words,
        paper_of,
        rule_words,
        state_words,
        steps_words,
        way_words,
    )  # fmt: skip
    from kiosk.core.past import lookback as looking

    with glance_of(args) as g:
        question = _question(args, g.now.offset_min)
        trips = looking.met(g.desk.records, question)
        found = looking.trace(g.desk.records, trips, g.desk.policy)
        chains = looking.chained(g.desk.records, question)
        reached = {
            one.trip: one for one in looking.trace(g.desk.records, [o.trip for o in chains.trips], g.desk.policy)
        }
        if args.pdf is not None:
            from kiosk.paper.render import render

            paper = paper_of(g, question, found, chains)
            Path(args.pdf).write_bytes(render(paper, language=g.desk.policy.house_language))
        more = more_words(g, chains)
        report: dict[str, Any] = {
            "question": {"kind": question.kind, "value": question.value},
            "rule": rule_words(g, question),
            "fresh": {name: asdict(one) for name, one in g.desk.records.fresh().items()},
            "trips": [{**asdict(one), "last_known": state_words(g, one), "said": done_words(g, one)} for one in found],
            "chains": {
                "most": chains.most,
                "further": chains.further,
                "unclear": list(chains.unclear),
                "nameless": chains.nameless,
                "trips": [
                    {
                        **asdict(one),
                        "way": way_words(g, one),
                        "said": steps_words(g, one),
                        "package": reached[one.trip].package if one.trip in reached else "",
                        "last_known": state_words(g, reached[one.trip]) if one.trip in reached else "",
                    }
                    for one in chains.trips
                ],
                "not_known": list(chain_unknown(g, chains)),
            },
            "not_known": list(g.words.lines("lookback.unknown")),
        }
    if args.json:
        print_json(report)
    else:
        print(report["rule"])
        for row in report["trips"]:
            print(f"{row['trip']}  {row['name']} {row['tray']}: {row['last_known']} {row['said']}")
        if chains.trips:
            print(more)
        for row in report["chains"]["trips"]:
            print(f"{row['trip']}  {row['way']} {row['said']} {row['last_known']}")
        for line in (*report["chains"]["not_known"], *report["not_known"]):
            print(line)
    return 0


def _question(args: argparse.Namespace, offset_min: int) -> Any:
    from datetime import UTC, datetime, time, timedelta

    from kiosk.core.past.lookback import Question

    asked = {
        kind: getattr(args, kind)
        for kind in ("load", "scope", "item", "tray", "lot", "bench_asked")
        if getattr(args, kind)
    }
    if len(asked) != 1:
        raise CallFault("lookback: name one of --load, --scope, --item, --tray, --swab-lot, --bench")
    kind, value = next(iter(asked.items()))

    def at(day: Any, more: int) -> int:
        if day is None:
            return 0
        local = datetime.combine(day + timedelta(days=more), time(), UTC)
        return int(local.timestamp() * 1000) - offset_min * 60_000

    kind = kind.removesuffix("_asked")
    return Question(kind=kind, value=value, since_ms=at(args.since, 0), until_ms=at(args.until, 1))
