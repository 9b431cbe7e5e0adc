"""The month report: one PDF, the same as CSV, and as tables that Datasette reads."""

import argparse
from dataclasses import asdict
from functools import partial
from pathlib import Path

from kiosk.cli.call import CallFault, print_json
from kiosk.cli.desk import compose_pdf, glance_of


def month(args: argparse.Namespace) -> int:
    """Print the month's figures, and write what is asked for."""
    from kiosk.core.composing.charted import baseline_of
    from kiosk.core.composing.month import month_span
    from kiosk.quality.month_tables import month_rows, write_csv, write_sqlite

    try:
        since, until = month_span(args.month)
    except ValueError as fault:
        raise CallFault(f"--month {args.month}: a month is written as 2031-03") from fault
    with glance_of(args) as g:
        assert g.desk.numbers is not None
        rows = list(month_rows(g.desk.numbers, g.desk.policy.shifts, since, until, partial(baseline_of, g)))
        compose_pdf(args, g, "month_report", "", args.month)
    if args.csv is not None:
        with Path(args.csv).open("w", encoding="utf-8", newline="") as out:
            write_csv(rows, out)
    if args.sqlite is not None:
        write_sqlite(rows, args.month, Path(args.sqlite))
    if args.json:
        print_json({"month": args.month, "figures": [asdict(row) for row in rows]})
    else:
        for row in rows:
            of = f" of {row.of}" if row.of is not None else ""
            percent = f" ({row.percent:g} %)" if row.percent is not None else ""
            print(f"{row.figure:<17} {row.label:<24} {row.found}{of}{percent} {row.signal}".rstrip())
    return 0


def options(parser: argparse.ArgumentParser) -> None:
    """What the command takes."""
    parser.add_argument("--month", required=True, metavar="YYYY-MM", help="which month, by the stations' local days")
    parser.add_argument("--pdf", metavar="FILE", help="write the report")
    parser.add_argument("--csv", metavar="FILE", help="write the figures for a spreadsheet")
    parser.add_argument("--sqlite", metavar="FILE", help="put the figures into a SQLite file, for Datasette")
