"""The commands that work at the bench: the kiosk itself, plays, plans, codes, the catalogue."""

import argparse
import gc
import os
import sys
from dataclasses import asdict, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kiosk.cli.call import CallFault, naming, opened, policy_of, print_json, store_folder, values_of

if TYPE_CHECKING:
    from PySide6.QtCore import Qt

    from kiosk.core.catalogue import Catalogue
    from kiosk.core.meaning import Meaning
    from kiosk.devices.source_named import Sight


def open_kiosk(args: argparse.Namespace) -> int:
    if not any(os.environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")):
        raise CallFault("there is no display here; `throughlight play --demo` plays a demo tray off screen")
    gc.disable()  # of what loading makes nothing is garbage; the kiosk collects by itself from its first screen on
    try:
        return _open_kiosk(args)
    finally:
        gc.enable()


def _open_kiosk(args: argparse.Namespace) -> int:
    from kiosk.app import opening
    from kiosk.lumen.records import kit_from_mapping

    policy_of(args)
    with naming(args.kit):
        kit_from_mapping(values_of(args.kit))

    return opening.open_kiosk(
        folder=store_folder(args),
        demo=args.demo,
        practice=args.practice,
        size=args.window,
        px_per_mm=args.px_per_mm,
        bench_number=args.bench,
        queue=args.printer,
        side=args.side,
        beside=args.beside,
        hub=args.hub,
        plain=args.plain,
        first_aid=args.first_aid,
        backups=args.backup,
        policy=values_of(args.policy),
        kit=values_of(args.kit),
        sight=args.sight,
        foot_key=args.foot_key,
        scope_key=args.scope_key,
    )


def sight(text: str) -> "Sight":
    """The source of pictures that a call names."""
    from kiosk.devices.source_named import SightFault, sight_from

    try:
        return sight_from(text)
    except SightFault as fault:
        raise argparse.ArgumentTypeError(str(fault)) from fault


def foot_key(text: str) -> "Qt.Key":
    """The key that the foot switch of a station types."""
    from kiosk.devices.foot_key import FootKeyFault, foot_key_from

    try:
        return foot_key_from(text)
    except FootKeyFault as fault:
        raise argparse.ArgumentTypeError(str(fault)) from fault


def play(args: argparse.Namespace) -> int:
    from kiosk.app.stage import Stage
    from kiosk.places import RESOURCES
    from kiosk.rehearsal import budget
    from kiosk.rehearsal.play import play_files

    files = list(args.files)
    if args.demo:
        files.append(RESOURCES / "demo" / "first_look.yaml")
    if not files and not args.day:
        raise CallFault("play: name a scenario file, or --demo")
    if not args.show:
        os.environ["QT_QPA_PLATFORM"] = "offscreen"
    results = play_files(files, Stage, out=args.out, pictures=args.pictures, size=args.window, show=args.show)
    figures = budget.table(budget.Played(scenario=r.scenario, touches=r.touches) for r in results)
    if args.day:
        from tempfile import TemporaryDirectory

        from kiosk.rehearsal.day import play_day

        with TemporaryDirectory(prefix="throughlight-") as folder:
            figures = (*figures, budget.of_day(play_day(Path(folder)).sign_ins))
    if args.json:
        played = [{key: getattr(r, key) for key in _OF_A_PLAY} for r in results]
        print_json({"plays": played, "budget": budget.as_rows(figures)} if args.budget or args.day else played)
    else:
        for result in results:
            print(f"{result.scenario}: {'holds' if result.held else 'MISSED'} ({result.checked} compared)")
            for miss in result.missed:
                print(f"   {miss['where']}: wanted {miss['wanted']!r}, got {str(miss['got'])[:300]!r}")
        if args.budget or args.day:
            print(budget.as_text(figures))
    return 0 if all(result.held for result in results) else 1


_OF_A_PLAY = ("scenario", "held", "checked", "missed", "papers", "pictures", "taps")
"""What is told of a play as JSON."""


def plan(args: argparse.Namespace) -> int:
    from kiosk import resources
    from kiosk.lumen.planner import plan_tray
    from kiosk.lumen.records import items_from_rows, kit_from_mapping, plan_as_json
    from kiosk.places import RESOURCES

    with naming(args.file):
        items = items_from_rows(resources.read_yaml(args.file))
    with naming(args.kit):
        kit = kit_from_mapping({**resources.read_yaml(RESOURCES / "kit.yaml"), **values_of(args.kit)})
    policy = policy_of(args)
    plans = [plan_as_json(plan) for plan in plan_tray(items, policy, kit)]
    if args.json:
        print_json(plans)
        return 0
    for plan in plans:
        print(f"{plan['piece']}  {plan['name']}")
        for key in plan["plan"]:
            print(f"   {key:<18} {plan['use'].get(key, ''):<18} {plan['because'].get(key, '')}")
        for key, why in plan["because"].items():
            if key not in plan["plan"]:
                print(f"   ({key})  {why}")
        if plan["hold"]:
            print(f"   holds: {plan['hold']}")
    return 0


def _row(meaning: "Meaning") -> dict[str, Any]:
    """The fields of a meaning; those of a ticket's data code only where it is one."""
    row = {**asdict(replace(meaning, gs1={})), "gs1": dict(meaning.gs1)}
    return row if meaning.card else {name: row[name] for name in row if name not in {"card", "code", "vouched"}}


def code(args: argparse.Namespace) -> int:
    from kiosk.codes.read import read_image, read_text

    if (args.text is None) == (args.image is None):
        raise CallFault("code: give a text, or --image FILE")
    try:
        meanings = read_image(args.image) if args.image else [read_text(args.text)]
    except OSError as fault:
        raise CallFault(f"{args.image}: {fault.strerror or 'is not a picture'}") from fault
    rows = [_row(meaning) for meaning in meanings]
    if args.json:
        print_json(rows if args.image else rows[0])
    for meaning in [] if args.json else meanings:
        print(f"{meaning.kind}: {meaning.text}" + (f" ({meaning.why})" if meaning.why else ""))
    if not meanings:
        print("no code was found in the picture", file=sys.stderr)
    return 0 if meanings and all(m.valid for m in meanings) else 1


def _held(args: argparse.Namespace) -> "Catalogue":
    """The store's catalogue with every change since it was loaded. A call without one is faulty."""
    from kiosk.core.together.amending import amended
    from kiosk.desk import make_desk
    from kiosk.devices.clock import SystemClock

    with opened(args) as store:
        held = store.catalogue()
        if held is None:
            raise CallFault(f"catalogue {args.what}: this store holds no catalogue yet")
        desk = make_desk(held, store.policy_now(), loaded_ms=store.catalogue_kept_ms())
        return amended(desk, store.bench(), SystemClock().now().at_ms)[0].catalogue


def catalogue(args: argparse.Namespace) -> int:
    from kiosk.devices.clock import SystemClock
    from kiosk.store.catalogue_columns import TABLES, columns_as_markdown
    from kiosk.store.catalogue_files import CatalogueFaults, add_list, load_catalogue, save_catalogue

    if args.what == "columns":
        if args.json:
            keys = ("name", "needed", "meaning")
            print_json({t.name: [{key: getattr(c, key) for key in keys} for c in t.columns] for t in TABLES.values()})
        else:
            print(columns_as_markdown())
        return 0
    if args.what == "save":
        loaded = _held(args)
        save_catalogue(loaded, args.files[0])
    else:
        try:
            loaded = add_list(args.files, _held(args)) if args.what == "add" else load_catalogue(args.files)
        except CatalogueFaults as faults:
            if args.json:
                print_json({"faults": faults.faults})
            raise
    counts: dict[str, Any] = {
        "trays": len(loaded.trays),
        "items": sum(len(tray.items) for tray in loaded.trays.values()) + len(loaded.spares),
        "people": len(loaded.people),
        "loads": len(loaded.loads),
    }
    if args.what in {"load", "add"}:
        with opened(args, new=True) as store:
            counts["version"] = store.keep_catalogue(loaded, at_ms=SystemClock().now().at_ms)
    if args.json:
        print_json({**counts, "faults": []})
    else:
        print(", ".join(f"{number} {name}" for name, number in counts.items()))
    return 0
