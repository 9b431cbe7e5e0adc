"""The command line: `throughlight`, or `python -m kiosk`. Exit 0 done, 1 does not hold, 2 the call or its input."""

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, NoReturn

from kiosk import __version__
from kiosk.cli import (
    agreeing,
    bench,
    carrying,
    charting,
    desk,
    figures,
    hours,
    hub,
    keeping,
    kit,
    looking,
    month,
    readings,
    references,
    staff,
)
from kiosk.cli.call import CallFault, date_of, like

EXAMPLES = {
    "play": "throughlight play tests/scenarios/S06.yaml --out out --pictures --budget",
    "plan": "throughlight plan items.yaml --policy policy.yaml --json",
    "code": "throughlight code TR-0734 --json",
    "catalogue": "throughlight catalogue check resources/demo",
    "load": "throughlight catalogue load resources/demo --store store",
    "add": "throughlight catalogue add vendor.xlsx --store store",
    "check": "throughlight catalogue check trays.csv items.csv lumens.csv",
    "save": "throughlight catalogue save out --store store",
    "columns": "throughlight catalogue columns",
    "policy": "throughlight policy check policy.yaml",
    "policy load": "throughlight policy load policy.yaml --store store",
    "policy save": "throughlight policy save policy.yaml --store store",
    "policy check": "throughlight policy check policy.yaml",
    "people": "throughlight people forgive P-29 --store store",
    "summary": "throughlight summary --shift day --date 2031-03-04 --json",
    "handover": "throughlight handover --store store --pdf handover.pdf",
    "lookback": "throughlight lookback --load W-2204 --store store --json",
    "rate": "throughlight rate 3 120 --json",
    "chart": "throughlight chart p returns.csv --baseline 20",
    "agree": "throughlight agree readings.csv --json",
    "kit-study": "throughlight kit-study --catalogue resources/demo --pairs",
    "look": "throughlight look still.png --known accepted.png --json",
    "sample": "throughlight sample --lot 100 --allow 4 --confidence 0.95",
    "month": "throughlight month --month 2031-03 --pdf march.pdf --csv march.csv --sqlite figures.db",
    "hours": "throughlight hours --from 2031-02-03 --to 2031-03-02 --under policy.yaml --wait 20",
    "hub": "throughlight hub status postgresql://hub.example/throughlight",
    "hub init": "throughlight hub init postgresql://hub.example/throughlight",
    "hub bench": "throughlight hub bench --store store",
    "hub enroll": "throughlight hub enroll URL --department Day --bench B1 --origin UUID --public-key HEX",
    "hub reader": "throughlight hub reader postgresql://hub.example/throughlight --department Day --name audit",
    "hub status": "throughlight hub status postgresql://hub.example/throughlight --json",
    "readings": "throughlight readings list --store store",
    "readings new": "throughlight readings new --name 2031-Q1 first.png second.png --store store",
    "readings list": "throughlight readings list --store store --json",
    "readings figures": "throughlight readings figures --name 2031-Q1 --store store",
    "references": "throughlight references list --store store",
    "references offer": "throughlight references offer --type fine_suction --finding bone_grit grit.png --store store",
    "references list": "throughlight references list --store store --json",
    "bundle": "throughlight bundle write /media/stick --store store",
    "bundle write": "throughlight bundle write /media/stick --since-acked --store store",
    "bundle read": "throughlight bundle read /media/stick/B1.bundle --store store",
    "verify": "throughlight verify --store store --json",
    "backup": "throughlight backup backups --store store",
    "restore": "throughlight restore backups/throughlight-B1-20310304-070000.backup --store store",
}


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
    except BrokenPipeError:  # whoever read along has enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
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
    parser.add_argument(
        "--practice", action="store_true", help="open the practice: a store of its own, counted nowhere"
    )
    parser.add_argument("--demo", action="store_true", help="open on the invented demo department, in its own store")
    parser.add_argument("--window", metavar="WxH", type=_size, help="open in a window of that size in pixels")
    parser.add_argument(
        "--px-per-mm", type=_fineness, help="pixels a millimeter of this screen, as measured with a badge"
    )
    parser.add_argument("--bench", type=_bench_number, help="number of this bench (default: as set up, else 1)")
    parser.add_argument("--printer", metavar="QUEUE", help="print queue; none: papers become files in the store")
    parser.add_argument("--side", choices=("clean", "decontam"), default="clean", help="which side this station is on")
    parser.add_argument(
        "--beside",
        metavar="DIR",
        type=Path,
        action="append",
        default=[],
        help="store of another station on this machine",
    )
    parser.add_argument("--hub", metavar="URL", default="", help="the department's hub, postgresql://HOST/DATABASE")
    parser.add_argument("--plain", action="store_true", help="to the hub without TLS; only on this machine itself")
    parser.add_argument(
        "--first-aid",
        metavar="FILE",
        type=Path,
        help="the facility's own first-aid page (default: first_aid.yaml in the store folder)",
    )
    parser.add_argument("--backup", metavar="DIR", type=Path, help="write a backup a day there, and keep two weeks")
    sources = "where pictures come from: camera[:NAME], an address, a video, a folder"
    parser.add_argument("--sight", metavar="WHERE", type=bench.sight, help=sources)
    parser.add_argument("--foot-key", metavar="KEY", type=bench.foot_key, help="what a foot switch types (default F13)")
    told = "what the scope's own key types, to freeze the picture"
    parser.add_argument("--scope-key", metavar="KEY", type=bench.foot_key, help=told)
    _common(parser, default=None)
    parser.set_defaults(run=bench.open_kiosk, json=False)
    commands = parser.add_subparsers(title="commands", metavar="COMMAND")

    play = _command(commands, "play", bench.play, "play written shifts through the real screens")
    play.add_argument("files", nargs="*", type=Path, metavar="FILE", help="scenario files")
    play.add_argument("--demo", action="store_true", default=argparse.SUPPRESS, help="play the demo tray")
    play.add_argument("--out", type=Path, help="folder for papers and pictures (default: a temporary one)")
    play.add_argument("--pictures", action="store_true", help="take a picture of each screen")
    play.add_argument("--show", action="store_true", help="show the window while playing, at the pace of a hand")
    play.add_argument("--budget", action="store_true", help="measure what the tool costs in taps and seconds")
    play.add_argument("--day", action="store_true", help="play the whole invented day too, and measure it")
    play.add_argument("--window", metavar="WxH", type=_size, default=(1920, 1080), help="pixels (default 1920x1080)")

    plan = _command(commands, "plan", bench.plan, "the plan of checks for the items in a file; no store needed")
    plan.add_argument("file", type=Path, metavar="FILE", help="YAML or JSON: a list of items")

    code = _command(commands, "code", bench.code, "what a scan means")
    code.add_argument("text", nargs="?", metavar="TEXT", help="the scanner's text")
    code.add_argument("--image", type=Path, help="a picture with codes in it")

    catalogue = _command(
        commands, "catalogue", bench.catalogue, "load, check or save trays, items, lumens, kit, people"
    )
    jobs = catalogue.add_subparsers(title="what to do", metavar="WHAT", dest="what", required=True)
    for what, words in (
        ("load", "take trays, items, lumens, kit and people from files into the store, all or nothing"),
        ("add", "add a vendor's list of loaner trays to the store's catalogue, all or nothing"),
        ("check", "name every fault of the files; nothing is kept"),
        ("save", "write the store's catalogue as CSV files into a folder"),
    ):
        files = _command(jobs, what, bench.catalogue, words)
        files.add_argument("files", nargs="+", type=Path, metavar="FILE", help="CSV or XLSX files, or a folder")
    _command(jobs, "columns", bench.catalogue, "the tables and columns that files may hold")

    policy = _command(commands, "policy", staff.policy, "read, check, draft or write the department's policy")
    steps = policy.add_subparsers(title="what to do", metavar="WHAT", dest="what", required=True)
    for what, words in (
        ("check", "name what is wrong with a policy file; nothing is kept"),
        ("load", "put a file's values into the draft; it counts when two have signed it at the glass"),
        ("save", "write the policy that holds now as a file"),
    ):
        step = _command(steps, what, staff.policy, words, example=f"policy {what}")
        step.add_argument("file", type=Path, metavar="FILE", help="YAML: key: value")

    people = _command(commands, "people", staff.people, "let somebody try their PIN again")
    people.add_argument("what", choices=("forgive",), help="forgive: the wrong PINs of a badge that is stopped")
    people.add_argument("person", metavar="PERSON", help="the person's code")

    summary = _command(commands, "summary", desk.summary, "the counters of a shift")
    summary.add_argument("--shift", required=True, help="day, late, night: a name from the policy's shifts")
    summary.add_argument("--date", required=True, type=date_of, help="local date on which the shift began")

    summary.add_argument("--pdf", type=Path, metavar="FILE", help="write the paper there")

    waiting = _command(commands, "handover", desk.handover, "what is open, held, waiting, out of use")
    waiting.add_argument("--pdf", type=Path, metavar="FILE", help="write the paper there")

    back = _command(commands, "lookback", desk.lookback, "the trips that met a load, a scope, an item, a tray, a lot")
    for option, dest, words in (
        ("--load", "load", "washer load"),
        ("--scope", "scope", "scope"),
        ("--item", "item", "item of a set record, or a spare"),
        ("--tray", "tray", "tray"),
        ("--swab-lot", "lot", "swab lot"),
        ("--bench", "bench_asked", "bench, as B2"),
    ):
        back.add_argument(option, dest=dest, metavar="CODE", help=words)
    back.add_argument("--from", dest="since", type=date_of, metavar="DATE", help="trips begun from that local date on")
    back.add_argument("--to", dest="until", type=date_of, metavar="DATE", help="trips begun up to that local date")
    back.add_argument("--pdf", type=Path, metavar="FILE", help="write the paper there")

    _figures(commands)
    looking.options(_command(commands, "look", looking.look, "where a still departs from its tube; decides nothing"))
    hours.options(_command(commands, "hours", hours.hours, "minutes of checks, benches for a wait, a policy's cost"))
    _of_jobs(
        commands, "hub", hub.hub, "the department's hub: lay it, let benches in, see how it stands",
        HUB_JOBS, hub.options,
    )  # fmt: skip
    _of_jobs(
        commands, "readings", readings.readings, "the reading practice: sets that every reader is asked, blind",
        readings.JOBS, readings.options,
    )  # fmt: skip
    _of_jobs(
        commands, "references", references.references, "reference pictures: what a finding looks like here",
        references.JOBS, references.options,
    )  # fmt: skip

    carried = _command(commands, "bundle", carrying.bundle, "carry the log on a stick to a station without a network")
    ways = carried.add_subparsers(title="what to do", metavar="WHAT", dest="what", required=True)
    for what, words in (
        ("write", "write the own log as bundles, also while the bench works, and read them back"),
        ("read", "take bundles of other stations in, each whole or not at all; the kiosk is closed meanwhile"),
    ):
        carrying.options(_command(ways, what, carrying.bundle, words, example=f"bundle {what}"), what)

    proof = _command(
        commands, "verify", keeping.verify, "prove the store: its file, every chain, every signature, every fold"
    )
    proof.add_argument("--rebuild", action="store_true", help="first make the tables of facts anew from the log")

    copy = _command(commands, "backup", keeping.backup, "write a backup of the store, also while the bench works")
    copy.add_argument("to", metavar="DIR|FILE", help="folder for backups, or the file to write")

    brought = _command(commands, "restore", keeping.restore, "bring a backup back that holds, all or nothing")
    brought.add_argument("file", metavar="FILE", help="the backup")
    return parser


def _figures(commands: Any) -> None:
    rate = _command(commands, "rate", figures.rate, "a rate with its limits, both numbers beside it")
    rate.add_argument("found", type=int, metavar="FOUND", help="how many were found")
    rate.add_argument("of", type=int, metavar="OF", help="among how many looked at")
    rate.add_argument("--level", type=float, default=0.95, help="confidence level (default 0.95)")

    sample = _command(commands, "sample", figures.sample, "how many to look at again so that none found says enough")
    sample.add_argument("--lot", type=int, metavar="N", help="pieces in all")
    sample.add_argument("--allow", type=int, metavar="R", help="at most so many wrong among them")
    sample.add_argument("--confidence", type=float, metavar="C", help="how sure, as 0.95")
    sample.add_argument("--aql", type=float, metavar="P", help="a single plan: share wrong that is good, as 0.01")
    sample.add_argument("--ltpd", type=float, metavar="P", help="a single plan: share wrong that is bad, as 0.05")
    sample.add_argument("--producer-risk", type=float, metavar="P", help="good fails (default 0.05)")
    sample.add_argument("--consumer-risk", type=float, metavar="P", help="bad passes (default 0.10)")

    charting.options(_command(commands, "chart", charting.chart, "a control chart of counts or readings in a CSV file"))

    agree = _command(commands, "agree", agreeing.agree, "how far a group of readers of a picture set agrees")
    agree.add_argument(
        "file", type=Path, metavar="FILE.csv", help="a row a picture, a column a reader, empty: not read"
    )
    agree.add_argument("--ordinal", action="store_true", help="the answers are steps of a scale, as numbers")
    agree.add_argument("--level", type=float, default=0.95, help="level of the limits (default 0.95)")
    agree.add_argument("--resamples", type=int, default=2000, help="resamples for the limits (default 2000)")
    agree.add_argument("--seed", type=int, default=1, help="of the resamples, so that they can be drawn again")

    report = _command(commands, "month", month.month, "the month report: figures, PDF, CSV, tables for Datasette")
    month.options(report)

    study = _command(commands, "kit-study", kit.kit_study, "which swab or scope would show most of what is not seen")
    study.add_argument("--catalogue", type=Path, metavar="DIR", help="catalogue files (default: the store's catalogue)")
    study.add_argument("--pairs", action="store_true", help="two purchases together, too")
    study.add_argument("--top", type=int, default=10, metavar="N", help="so many are listed (default 10)")


HUB_JOBS = (
    ("init", "lay roles, schema and rights, or bring them up to date; doing it again changes nothing"),
    ("bench", "what this station's log is called: what enroll must be told"),
    ("enroll", "let a bench in with its log; its password is shown this once"),
    ("reader", "let people or reports read one department; the password is shown this once"),
    ("status", "how far each log is, and what wants a person"),
)


def _of_jobs(
    commands: Any,
    name: str,
    run: Callable[[argparse.Namespace], int],
    words: str,
    jobs: Sequence[tuple[str, str]],
    options: Callable[[argparse.ArgumentParser, str], None],
) -> None:
    """A command of several jobs, each with options of its own."""
    parser = _command(commands, name, run, words)
    ways = parser.add_subparsers(title="what to do", metavar="WHAT", dest="what", required=True)
    for what, said in jobs:
        options(_command(ways, what, run, said, example=f"{name} {what}"), what)


def _common(parser: argparse.ArgumentParser, default: object = argparse.SUPPRESS) -> None:
    """The options that may stand before or after the command; after it they set nothing that was not given there."""
    for name, metavar, words in (
        ("--store", "DIR", "store folder (default: the user's data folder)"),
        ("--policy", "FILE", "policy values over the store's"),
        ("--kit", "FILE", "kit in place of the store's"),
    ):
        parser.add_argument(name, type=Path, metavar=metavar, default=default, help=words)


def _command(
    commands: Any, name: str, run: Callable[[argparse.Namespace], int], words: str, *, example: str = ""
) -> argparse.ArgumentParser:
    parser: argparse.ArgumentParser = commands.add_parser(
        name, help=words, description=words[0].upper() + words[1:] + ".", epilog=f"Example: {EXAMPLES[example or name]}"
    )
    parser.add_argument(
        "--json", action="store_true", default=argparse.SUPPRESS, help="one JSON document on standard output"
    )
    _common(parser)
    parser.set_defaults(run=run)
    return parser


_size = like(r"[1-9]\d{2,4}x[1-9]\d{2,4}", lambda text: tuple(map(int, text.split("x"))), "give it as 1280x800")
_fineness = like(r"[1-9]\d?(\.\d+)?", float, "give a number as 5.58")
_bench_number = like(r"[1-9]\d?", int, "give 1 to 99")
