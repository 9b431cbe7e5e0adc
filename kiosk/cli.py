"""The command line: `throughlight`, or `python -m kiosk`. Exit 0 done, 1 does not hold, 2 the call or its input."""

import argparse
import json
import os
import sys
from collections.abc import Callable, Sequence
from dataclasses import asdict, replace
from datetime import date
from pathlib import Path
from typing import Any

from kiosk import __version__

EXAMPLES = {
    "play": "throughlight play tests/scenarios/S06.yaml --out out --pictures",
    "plan": "throughlight plan items.yaml --json",
    "code": "throughlight code TR-0734 --json",
    "catalogue": "throughlight catalogue check resources/demo",
    "summary": "throughlight summary --shift day --date 2031-03-04 --json",
    "verify": "throughlight verify",
}


class CallFault(Exception):
    """The call or its input is wrong; the message is one clear line."""


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status."""
    parser = _parser()
    args = parser.parse_args(argv)
    command: Callable[[argparse.Namespace], int] = args.run
    try:
        return command(args)
    except Exception as fault:
        if not isinstance(fault, (CallFault, *_known_faults())):
            raise
        for line in str(fault).splitlines():
            print(f"throughlight: {line}", file=sys.stderr)
        return 2


def _known_faults() -> tuple[type[Exception], ...]:
    from kiosk.core.policy import PolicyFault
    from kiosk.lumen.records import RecordFault
    from kiosk.rehearsal.scenario import ScenarioFault
    from kiosk.resources import ResourceFault
    from kiosk.store.catalogue_files import CatalogueFaults
    from kiosk.store.outage import Outage

    return (PolicyFault, RecordFault, ScenarioFault, ResourceFault, CatalogueFaults, Outage)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="throughlight",
        description="The packaging bench's tool for looking inside lumened instruments. Without a command: the kiosk.",
    )
    parser.add_argument("--version", action="version", version=__version__)
    parser.add_argument("--demo", action="store_true", help="open on the invented demo department, in its own store")
    parser.add_argument("--window", metavar="WxH", help="open in a window of that size in pixels, not full screen")
    parser.add_argument("--px-per-mm", type=float, help="pixels a millimeter of this screen, as measured with a badge")
    parser.add_argument("--bench", type=int, default=1, help="number of this bench (default 1)")
    parser.add_argument("--printer", metavar="QUEUE", help="print queue; none: papers become files in the store")
    parser.add_argument("--first-aid-set", action="store_true", help=argparse.SUPPRESS)
    _common(parser)
    parser.set_defaults(run=_open)
    commands = parser.add_subparsers(title="commands", metavar="COMMAND")

    play = _command(commands, "play", _play, "play written shifts through the real screens")
    play.add_argument("files", nargs="*", type=Path, metavar="FILE", help="scenario files")
    play.add_argument("--demo", action="store_true", help="play the demo tray")
    play.add_argument("--out", type=Path, help="folder for papers and pictures (default: a temporary one)")
    play.add_argument("--pictures", action="store_true", help="take a picture of each screen")
    play.add_argument("--show", action="store_true", help="show the window while playing, at the pace of a hand")
    play.add_argument("--window", metavar="WxH", default="1920x1080", help="screen size in pixels (default 1920x1080)")

    plan = _command(commands, "plan", _plan, "the plan of checks for the items in a file; no store needed")
    plan.add_argument("file", type=Path, metavar="FILE", help="YAML or JSON: a list of items")

    code = _command(commands, "code", _code, "what a scan means")
    code.add_argument("text", nargs="?", metavar="TEXT", help="the scanner's text")
    code.add_argument("--image", type=Path, help="a picture with codes in it")

    catalogue = _command(commands, "catalogue", _catalogue, "load, check or save trays, items, lumens, kit, people")
    catalogue.add_argument("what", choices=("load", "check", "save", "columns"))
    catalogue.add_argument("files", nargs="*", type=Path, metavar="FILE", help="CSV or XLSX files, or a folder")

    summary = _command(commands, "summary", _summary, "the counters of a shift")
    summary.add_argument("--shift", required=True, help="day, late, night: a name from the policy's shifts")
    summary.add_argument("--date", required=True, type=date.fromisoformat, help="local date on which the shift began")

    _command(commands, "verify", _verify, "integrity of the store and of the bench's chain")
    return parser


def _common(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--store", type=Path, metavar="DIR", help="store folder (default: the user's data folder)")
    parser.add_argument("--policy", type=Path, metavar="FILE", help="policy values over the store's")
    parser.add_argument("--kit", type=Path, metavar="FILE", help="kit in place of the store's")


def _command(commands: Any, name: str, run: Callable[[argparse.Namespace], int], words: str) -> argparse.ArgumentParser:
    parser: argparse.ArgumentParser = commands.add_parser(
        name, help=words, description=words[0].upper() + words[1:] + ".", epilog=f"Example: {EXAMPLES[name]}"
    )
    parser.add_argument("--json", action="store_true", help="one JSON document on standard output")
    _common(parser)
    parser.set_defaults(run=run)
    return parser


def _print_json(document: object) -> None:
    print(json.dumps(document, ensure_ascii=False, indent=2, default=str))


def store_folder(args: argparse.Namespace) -> Path:
    """The store named by the call, or the user's data folder."""
    if args.store is not None:
        return Path(args.store)
    data = Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share")
    return data / "throughlight" / ("demo" if getattr(args, "demo", False) else "bench")


def _values(path: Path | None) -> dict[str, Any]:
    from kiosk.resources import read_yaml

    values = read_yaml(path) if path else {}
    if not isinstance(values, dict):
        raise CallFault(f"{path}: is not a list of `key: value` lines")
    return values


def _open(args: argparse.Namespace) -> int:
    if not any(os.environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")):
        raise CallFault("there is no display here; `throughlight play --demo` plays a demo tray off screen")
    from kiosk.app.opening import open_kiosk

    return open_kiosk(
        folder=store_folder(args),
        demo=args.demo,
        size=_size(args.window) if args.window else None,
        px_per_mm=args.px_per_mm,
        bench_number=args.bench,
        queue=args.printer,
        policy=_values(args.policy),
        kit=_values(args.kit),
    )


def _size(text: str) -> tuple[int, int]:
    try:
        width, height = (int(part) for part in text.lower().split("x"))
    except ValueError as fault:
        raise CallFault(f"--window {text}: give it as 1280x800") from fault
    return width, height


def _play(args: argparse.Namespace) -> int:
    from kiosk.app.stage import Stage
    from kiosk.places import RESOURCES
    from kiosk.rehearsal.play import play_files

    files = list(args.files)
    if args.demo:
        files.append(RESOURCES / "demo" / "first_look.yaml")
    if not files:
        raise CallFault("play: name a scenario file, or --demo")
    if not args.show:
        os.environ["QT_QPA_PLATFORM"] = "offscreen"
    results = play_files(files, Stage, out=args.out, pictures=args.pictures, size=_size(args.window), show=args.show)
    if args.json:
        _print_json([asdict(result) for result in results])
    else:
        for result in results:
            print(f"{result.scenario}: {'holds' if result.held else 'MISSED'} ({result.checked} compared)")
            for miss in result.missed:
                print(f"   {miss['where']}: wanted {miss['wanted']!r}, got {str(miss['got'])[:300]!r}")
    return 0 if all(result.held for result in results) else 1


def _plan(args: argparse.Namespace) -> int:
    from kiosk import resources
    from kiosk.lumen.planner import plan_tray
    from kiosk.lumen.records import items_from_rows, kit_from_mapping, plan_as_json
    from kiosk.places import RESOURCES

    items = items_from_rows(resources.read_yaml(args.file))
    kit = kit_from_mapping({**resources.read_yaml(RESOURCES / "kit.yaml"), **_values(args.kit)})
    plans = [plan_as_json(plan) for plan in plan_tray(items, resources.policy(_values(args.policy)), kit)]
    if args.json:
        _print_json(plans)
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


def _code(args: argparse.Namespace) -> int:
    from kiosk.codes.read import read_image, read_text

    if (args.text is None) == (args.image is None):
        raise CallFault("code: give a text, or --image FILE")
    if args.image and not args.image.is_file():
        raise CallFault(f"{args.image}: there is no such picture")
    meanings = read_image(args.image) if args.image else [read_text(args.text)]
    rows = [{**asdict(replace(m, gs1={})), "gs1": dict(m.gs1)} for m in meanings]
    if args.json:
        _print_json(rows if args.image else rows[0])
    for meaning in [] if args.json else meanings:
        print(f"{meaning.kind}: {meaning.text}" + (f" ({meaning.why})" if meaning.why else ""))
    if not meanings:
        print("no code was found in the picture", file=sys.stderr)
    return 0 if meanings and all(m.valid for m in meanings) else 1


def _catalogue(args: argparse.Namespace) -> int:
    from kiosk.devices.clock import SystemClock
    from kiosk.store.bench_store import BenchStore
    from kiosk.store.catalogue_columns import columns_as_markdown
    from kiosk.store.catalogue_files import load_catalogue, save_catalogue

    if args.what == "columns":
        print(columns_as_markdown())
        return 0
    if not args.files:
        raise CallFault(f"catalogue {args.what}: name the files, or a folder")
    if args.what == "save":
        with_store = BenchStore(store_folder(args))
        try:
            known = with_store.catalogue()
        finally:
            with_store.close()
        if known is None:
            raise CallFault("catalogue save: this store holds no catalogue yet")
        save_catalogue(known, args.files[0])
        return 0
    loaded = load_catalogue(args.files)
    counts = {
        "trays": len(loaded.trays),
        "items": sum(len(tray.items) for tray in loaded.trays.values()) + len(loaded.spares),
        "people": len(loaded.people),
        "loads": len(loaded.loads),
        "faults": 0,
    }
    if args.what == "load":
        store = BenchStore(store_folder(args))
        try:
            counts["version"] = store.keep_catalogue(loaded, at_ms=SystemClock().now().at_ms)
        finally:
            store.close()
    if args.json:
        _print_json(counts)
    else:
        print(", ".join(f"{number} {name}" for name, number in counts.items()))
    return 0


def _summary(args: argparse.Namespace) -> int:
    from kiosk import resources
    from kiosk.core.counters import summary
    from kiosk.store.bench_store import BenchStore

    store = BenchStore(store_folder(args))
    try:
        shifts = resources.policy(_values(args.policy)).shifts
        if args.shift not in shifts:
            raise CallFault(f"--shift {args.shift}: the policy's shifts are {', '.join(shifts)}")
        counts = summary(store.read(), (args.shift, args.date), shifts)
    finally:
        store.close()
    if args.json:
        _print_json(counts)
    else:
        for name, number in counts.items():
            print(f"{number:>6}  {name.replace('_', ' ')}")
    return 0


def _verify(args: argparse.Namespace) -> int:
    from kiosk.store.bench_store import BenchStore

    store = BenchStore(store_folder(args))
    try:
        bad = store.log.verify()
        head = store.log.head()
        report = {"bench": store.store.bench, "events": head.seq, "head": head.h.hex(), "first_bad": bad}
    finally:
        store.close()
    if args.json:
        _print_json(report)
    else:
        print(f"{report['bench']}: {head.seq} events, " + ("the chain holds" if bad is None else f"event {bad} is bad"))
    return 0 if bad is None else 1
