"""What the set-up takes over for the department: first-aid words, values of the policy, trays and people."""

import logging
from collections.abc import Mapping
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from kiosk import resources
from kiosk.core.catalogue import Catalogue
from kiosk.core.exposure import FirstAidWords
from kiosk.core.set_up import OF_DEPARTMENT, Ask
from kiosk.devices.clock import Clock
from kiosk.facility import FILE as FIRST_AID
from kiosk.facility import NotFilledIn, first_aid_words
from kiosk.store.bench_store import BenchStore
from kiosk.store.database import FILE
from kiosk.store.durable import write_durably

log = logging.getLogger(__name__)


def take_first_aid(path: Path, folder: Path) -> None:
    """Copy the facility's first-aid words beside the store. Raises NotFilledIn, which is a ValueError, and OSError."""
    first_aid_words(path)
    write_durably(folder / FIRST_AID, path.read_bytes())


def first_aid_beside(folder: Path) -> FirstAidWords | None:
    """The facility's first-aid words beside the store, where they are filled in."""
    try:
        return first_aid_words(folder / FIRST_AID)
    except NotFilledIn:
        return None


def take_policy(folder: Path, name: str, values: Mapping[str, Any], clock: Clock) -> None:
    """Keep values of the policy in the store called `name`; nothing where they stand already.

    Before there is a department nobody can sign for them. Raises Outage, PolicyFault.
    """
    with closing(BenchStore(folder, name)) as store:
        version, own = store.policy() or (1, {})
        if any(own.get(key) != value for key, value in values.items()):
            merged = {**own, **values}
            resources.policy(merged, version=version + 1)
            store.keep_policy(merged, at_ms=clock.now().at_ms)


def take_trays(folder: Path, name: str, catalogue: Catalogue, clock: Clock) -> None:
    """Keep the catalogue in the store called `name`. Raises Outage."""
    with closing(BenchStore(folder, name)) as store:
        store.keep_catalogue(catalogue, at_ms=clock.now().at_ms)


@dataclass(frozen=True, slots=True, kw_only=True)
class Before:
    """What a store that is there already says. `worked`: something happened on it. `given`: pages it has answered."""

    number: int
    worked: bool
    given: frozenset[Ask]


def known_before(folder: Path) -> Before | None:
    """What the store in this folder answers by itself; None where there is none yet. Raises Outage."""
    if not (folder / FILE).exists():
        return None
    with closing(BenchStore(folder)) as store:
        worked = store.log.head().seq > 0
        given = {Ask.BENCH}
        if worked:
            given |= OF_DEPARTMENT
        if store.catalogue() is not None:
            given.add(Ask.CATALOGUE)
        if "bench_contact_minutes" in (store.policy() or (1, {}))[1]:
            given.add(Ask.WET)
        number = store.store.bench[1:]
        return Before(number=int(number) if number.isdigit() else 1, worked=worked, given=frozenset(given))
