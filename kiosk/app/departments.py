"""The department a station works in: the store's own; the demo's, with its month of history; the practice's."""

import sys
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from secrets import token_bytes

from kiosk.core.catalogue import Catalogue
from kiosk.devices.clock import SystemClock
from kiosk.pins import hash_pin
from kiosk.places import RESOURCES
from kiosk.store.bench_store import BenchStore

STORY_SEED = 20260411
"""Of the demo's history: the same department, the same month."""

PRACTICE_PIN = "1111"
"""Everybody's number in the practice, said on its sign-in page: nothing there is anybody's."""


def catalogue_for(store: BenchStore, *, demo: bool, bench_number: int, at_ms: int) -> Catalogue:
    """The store's catalogue; a demo store without one is given the demo department's."""
    known = store.catalogue()
    if known is not None:
        return known
    if not demo:
        return Catalogue()
    loaded = demo_catalogue(bench_number)
    store.keep_catalogue(loaded, at_ms=at_ms)
    return store.catalogue() or loaded


def demo_catalogue(bench_number: int) -> Catalogue:
    """The demo department as one of its benches has it."""
    from kiosk.store.catalogue_files import load_catalogue

    return load_catalogue(RESOURCES / "demo", f"B{bench_number}")


def for_practice(catalogue: Catalogue) -> Catalogue:
    """The department of the practice: everybody's number is the same."""
    hashed = hash_pin(PRACTICE_PIN, token_bytes(16))
    people = {code: replace(person, pin_hash=hashed) for code, person in catalogue.people.items()}
    return replace(catalogue, people=people)


def tell_story(folder: Path, bench_number: int) -> None:
    """Give a new demo store its thirty days of history, with a bar on standard error where that is a terminal."""
    from kiosk.rehearsal.story import tell

    catalogue = demo_catalogue(bench_number)
    now = datetime.now().astimezone()
    offset = now.utcoffset()
    minutes = int(offset.total_seconds() // 60) if offset is not None else 0
    sys.stderr.write("Telling thirty days of the demo department. This is done once.\n")
    bar = _bar if sys.stderr.isatty() else None
    tell(folder, bench_number=bench_number, until=now.date(), seed=STORY_SEED, progress=bar, offset_min=minutes)
    store = BenchStore(folder, f"B{bench_number}")
    store.keep_catalogue(catalogue, at_ms=SystemClock().now().at_ms)
    store.close()


def _bar(done: int, days: int) -> None:
    sys.stderr.write(f"\r[{'#' * done}{' ' * (days - done)}] day {done} of {days}")
    sys.stderr.write("\n" if done == days else "")
    sys.stderr.flush()
