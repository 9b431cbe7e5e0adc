"""The command line: `throughlight`, or `python -m kiosk`. Exit 0 done, 1 does not hold, 2 the call or its input."""

import argparse
import json
import os
import re
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import asdict, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

from kiosk import __version__

if TYPE_CHECKING:
    from kiosk.core.policy import Policy
    from kiosk.store.bench_store import BenchStore

EXAMPLES = {
    "play": "throughlight play tests/scenarios/S06.yaml --out out --pictures",
    "plan": "throughlight plan items.yaml --policy policy.yaml --json",
    "code": "throughlight code TR-0734 --json",
    "catalogue": "throughlight catalogue check resources/demo",
    "load": "throughlight catalogue load resources/demo --store store",
    "check": "throughlight catalogue check trays.csv items.csv lumens.csv",
    "save": "throughlight catalogue save out --store store",
    "columns": "throughlight catalogue columns",
    "summary": "throughlight summary --shift day --date 2031-03-04 --json",
    "verify": "throughlight verify --store store --json",
}


class CallFault(Exception):
    """The call or its input is wrong; the message is one clear line."""


class _Parser(argparse.ArgumentParser):
    """Says what is wrong with a call in one line, without the usage."""

    def error(self, message: str) -> NoReturn:
        self.exit(2, f"{self.prog}: {message}; --help shows how\n")


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status."""
    parser = _parser()
    args = parser.parse_args(argv)
    command: Callable[[argparse.Namespace], int] = args.run
    try:
        return command(args)
    except OSError as fault:
        print(f"throughlight: {fault.filename}: {fault.strerror or fault}", file=sys.stderr)
        return 2
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

    walking = sys.modules.get("kiosk.rehearsal.walking")  # it needs Qt, which only a play loads
    of_a_play = (walking.PlayFault,) if walking else ()
    return (PolicyFault, RecordFault, ScenarioFault, ResourceFault, CatalogueFaults, Outage, *of_a_play)


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="throughlight",
        description="The packaging bench's tool for looking inside lumened instruments. Without a command: the kiosk.",
        epilog="Example: throughlight --demo --window 1280x800",
    )
    parser.add_argument("--version", action="version", version=__version__)
    parser.add_argument("--demo", action="store_true", help="open on the invented demo department, in its own store")
    parser.add_argument("--window", metavar="WxH", type=_size, help="open in a window of that size in pixels")
    parser.add_argument(
        "--px-per-mm", type=_fineness, help="pixels a millimeter of this screen, as measured with a badge"
    )
    parser.add_argument("--bench", type=_bench_number, default=1, help="number of this bench (default 1)")
    parser.add_argument("--printer", metavar="QUEUE", help="print queue; none: papers become files in the store")
    parser.add_argument("--first-aid-set", action="store_true", help=argparse.SUPPRESS)
    _common(parser, default=None)
    parser.set_defaults(run=_open, json=False)
    commands = parser.add_subparsers(title="commands", metavar="COMMAND")

    play = _command(commands, "play", _play, "play written shifts through the real screens")
    play.add_argument("files", nargs="*", type=Path, metavar="FILE", help="scenario files")
    play.add_argument("--demo", action="store_true", default=argparse.SUPPRESS, help="play the demo tray")
    play.add_argument("--out", type=Path, help="folder for papers and pictures (default: a temporary one)")
    play.add_argument("--pictures", action="store_true", help="take a picture of each screen")
    play.add_argument("--show", action="store_true", help="show the window while playing, at the pace of a hand")
    play.add_argument("--window", metavar="WxH", type=_size, default=(1920, 1080), help="pixels (default 1920x1080)")

    plan = _command(commands, "plan", _plan, "the plan of checks for the items in a file; no store needed")
    plan.add_argument("file", type=Path, metavar="FILE", help="YAML or JSON: a list of items")

    code = _command(commands, "code", _code, "what a scan means")
    code.add_argument("text", nargs="?", metavar="TEXT", help="the scanner's text")
    code.add_argument("--image", type=Path, help="a picture with codes in it")

    catalogue = _command(commands, "catalogue", _catalogue, "load, check or save trays, items, lumens, kit, people")
    jobs = catalogue.add_subparsers(title="what to do", metavar="WHAT", dest="what", required=True)
    for what, words in (
        ("load", "take trays, items, lumens, kit and people from files into the store, all or nothing"),
        ("check", "name every fault of the files; nothing is kept"),
        ("save", "write the store's catalogue as CSV files into a folder"),
    ):
        files = _command(jobs, what, _catalogue, words)
        files.add_argument("files", nargs="+", type=Path, metavar="FILE", help="CSV or XLSX files, or a folder")
    _command(jobs, "columns", _catalogue, "the tables and columns that files may hold")

    summary = _command(commands, "summary", _summary, "the counters of a shift")
    summary.add_argument("--shift", required=True, help="day, late, night: a name from the policy's shifts")
    summary.add_argument("--date", required=True, type=_date, help="local date on which the shift began")

    _command(commands, "verify", _verify, "integrity of the store and of the bench's chain")
    return parser


def _common(parser: argparse.ArgumentParser, default: object = argparse.SUPPRESS) -> None:
    """The options that may stand before or after the command; after it they set nothing that was not given there."""
    for name, metavar, words in (
        ("--store", "DIR", "store folder (default: the user's data folder)"),
        ("--policy", "FILE", "policy values over the store's"),
        ("--kit", "FILE", "kit in place of the store's"),
    ):
        parser.add_argument(name, type=Path, metavar=metavar, default=default, help=words)


def _command(commands: Any, name: str, run: Callable[[argparse.Namespace], int], words: str) -> argparse.ArgumentParser:
    parser: argparse.ArgumentParser = commands.add_parser(
        name, help=words, description=words[0].upper() + words[1:] + ".", epilog=f"Example: {EXAMPLES[name]}"
    )
    parser.add_argument(
        "--json", action="store_true", default=argparse.SUPPRESS, help="one JSON document on standard output"
    )
    _common(parser)
    parser.set_defaults(run=run)
    return parser


def _print_json(document: object) -> None:
    print(json.dumps(document, ensure_ascii=False, indent=2, default=str))


def _like(pattern: str, make: Callable[[str], Any], words: str) -> Callable[[str], Any]:
    """A reader of one option's text; what does not match is told in `words`."""

    def read(text: str) -> Any:
        try:
            if re.fullmatch(pattern, text, re.ASCII):
                return make(text)
        except ValueError:  # the 31st of a short month
            pass
        raise argparse.ArgumentTypeError(f"{text} will not do: {words}")

    return read


_size = _like(r"[1-9]\d{2,4}x[1-9]\d{2,4}", lambda text: tuple(map(int, text.split("x"))), "give it as 1280x800")
_fineness = _like(r"[1-9]\d?(\.\d+)?", float, "give a number as 5.58")
_bench_number = _like(r"[1-9]\d?", int, "give 1 to 99")
_date = _like(r"\d{4}-\d\d-\d\d", date.fromisoformat, "give it as 2031-03-04")


def store_folder(args: argparse.Namespace) -> Path:
    """The store named by the call, or the user's data folder."""
    if args.store is not None:
        return Path(args.store)
    data = Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share")
    return data / "throughlight" / ("demo" if getattr(args, "demo", False) else "bench")


@contextmanager
def _opened(args: argparse.Namespace, *, new: bool = False) -> Iterator["BenchStore"]:
    """The store of the call. Only `new` makes one that is not there: nothing is known of a bench that has none."""
    from kiosk.store.bench_store import BenchStore
    from kiosk.store.database import FILE

    folder = store_folder(args)
    if not new and not (folder / FILE).is_file():
        raise CallFault(f"{folder}: there is no store here")
    store = BenchStore(folder)
    try:
        yield store
    finally:
        store.close()


def _values(path: Path | None) -> dict[str, Any]:
    from kiosk.resources import read_yaml

    values = read_yaml(path) if path else {}
    if not isinstance(values, dict):
        raise CallFault(f"{path}: is not a list of `key: value` lines")
    return values


@contextmanager
def _naming(path: Path | None) -> Iterator[None]:
    """Put file and line before the sentence of a fault in it. The line: of the last of item, lumen, field found."""
    from kiosk.core.policy import PolicyFault
    from kiosk.lumen.records import RecordFault

    try:
        yield
    except (PolicyFault, RecordFault) as fault:
        if path is None:
            raise
        text, at = path.read_text("utf-8"), -1
        for kind, name in re.findall(r"\b(item|lumen|scope|field|key) ([\w-]+)", str(fault).split(": field id ")[0]):
            key = {"lumen": "n", "item": "id", "scope": "id"}.get(kind)
            wanted = rf"\b{key}['\"]?: *['\"]?{name}\b" if key else rf"\b{name}\b"
            if match := re.compile(wanted).search(text, max(at, 0)):
                at = match.start()
        line = f" line {text.count(chr(10), 0, at) + 1}" if at >= 0 else ""
        raise CallFault(f"{path.name}{line}: {fault}") from fault


def _policy(args: argparse.Namespace, own: Mapping[str, Any] | None = None) -> "Policy":
    from kiosk import resources

    with _naming(args.policy):
        return resources.policy({**(own or {}), **_values(args.policy)})


def _open(args: argparse.Namespace) -> int:
    if not any(os.environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")):
        raise CallFault("there is no display here; `throughlight play --demo` plays a demo tray off screen")
    from kiosk.app.opening import open_kiosk
    from kiosk.lumen.records import kit_from_mapping

    _policy(args)
    with _naming(args.kit):
        kit_from_mapping(_values(args.kit))

    return open_kiosk(
        folder=store_folder(args),
        demo=args.demo,
        size=args.window,
        px_per_mm=args.px_per_mm,
        bench_number=args.bench,
        queue=args.printer,
        policy=_values(args.policy),
        kit=_values(args.kit),
    )


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
    results = play_files(files, Stage, out=args.out, pictures=args.pictures, size=args.window, show=args.show)
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

    with _naming(args.file):
        items = items_from_rows(resources.read_yaml(args.file))
    with _naming(args.kit):
        kit = kit_from_mapping({**resources.read_yaml(RESOURCES / "kit.yaml"), **_values(args.kit)})
    policy = _policy(args)
    plans = [plan_as_json(plan) for plan in plan_tray(items, policy, kit)]
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
    try:
        meanings = read_image(args.image) if args.image else [read_text(args.text)]
    except OSError as fault:
        raise CallFault(f"{args.image}: {fault.strerror or 'is not a picture'}") from fault
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
    from kiosk.store.catalogue_columns import TABLES, columns_as_markdown
    from kiosk.store.catalogue_files import CatalogueFaults, load_catalogue, save_catalogue

    if args.what == "columns":
        if args.json:
            keys = ("name", "needed", "meaning")
            _print_json({t.name: [{key: getattr(c, key) for key in keys} for c in t.columns] for t in TABLES.values()})
        else:
            print(columns_as_markdown())
        return 0
    if args.what == "save":
        with _opened(args) as store:
            loaded = store.catalogue()
        if loaded is None:
            raise CallFault("catalogue save: this store holds no catalogue yet")
        save_catalogue(loaded, args.files[0])
    else:
        try:
            loaded = load_catalogue(args.files)
        except CatalogueFaults as faults:
            if args.json:
                _print_json({"faults": faults.faults})
            raise
    counts: dict[str, Any] = {
        "trays": len(loaded.trays),
        "items": sum(len(tray.items) for tray in loaded.trays.values()) + len(loaded.spares),
        "people": len(loaded.people),
        "loads": len(loaded.loads),
    }
    if args.what == "load":
        with _opened(args, new=True) as store:
            counts["version"] = store.keep_catalogue(loaded, at_ms=SystemClock().now().at_ms)
    if args.json:
        _print_json({**counts, "faults": []})
    else:
        print(", ".join(f"{number} {name}" for name, number in counts.items()))
    return 0


def _summary(args: argparse.Namespace) -> int:
    from kiosk.core.counters import summary

    with _opened(args) as store:
        _, own = store.policy() or (1, {})
        shifts = _policy(args, own).shifts
        if args.shift not in shifts:
            raise CallFault(f"--shift {args.shift}: the policy's shifts are {', '.join(shifts)}")
        counts = summary(store.read(), (args.shift, args.date), shifts)
    if args.json:
        _print_json(counts)
    else:
        for name, number in counts.items():
            print(f"{number:>6}  {name.replace('_', ' ')}")
    return 0


def _verify(args: argparse.Namespace) -> int:
    with _opened(args) as store:
        bad = store.log.verify()
        head = store.log.head()
        report = {"bench": store.store.bench, "events": head.seq, "head": head.h.hex(), "first_bad": bad}
    if args.json:
        _print_json(report)
    else:
        print(f"{report['bench']}: {head.seq} events, " + ("the chain holds" if bad is None else f"event {bad} is bad"))
    return 0 if bad is None else 1
