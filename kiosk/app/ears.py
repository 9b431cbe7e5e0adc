"""What the stations beside this one keep: their events, heard in their order, and their pictures."""

import logging
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from kiosk.core.stamp import Kept
from kiosk.store.bench_store import Outage
from kiosk.store.heard import Heard
from kiosk.store.pictures import picture_path
from kiosk.sync.beside import Beside

log = logging.getLogger(__name__)


def by_station(taken: Iterable[tuple[str, Kept]]) -> Iterator[tuple[str, list[Kept]]]:
    """What was taken in, a station at a time, in the order in which they were first heard."""
    out: dict[str, list[Kept]] = {}
    for station, kept in taken:
        out.setdefault(station, []).append(kept)
    yield from out.items()


class Ears:
    """Listens at the stores of the stations beside this one."""

    def __init__(self, folders: Sequence[Path], heard: Heard) -> None:
        self._others = tuple(Beside(folder) for folder in folders)
        self._heard = heard

    def __bool__(self) -> bool:
        return bool(self._others)

    def news(self) -> Iterator[tuple[str, list[Kept]]]:
        """What was kept there since, a station at a time; kept here before it is given. One that is away is skipped."""
        for other in self._others:
            try:
                told = other.fetch(self._heard.heads())
                if told is None:
                    continue
                taken = self._heard.take(told.origin, told.rows, was=told.was, public_key=told.public_key)
            except Outage as fault:
                log.info("%s is not heard: %s", other.folder.name, fault)
                continue
            yield from by_station(taken)

    def picture(self, name: str) -> Path | None:
        """Where a picture lies that a station beside this one kept."""
        there = (picture_path(other.folder, name) for other in self._others)
        return next((path for path in there if path.is_file()), None)

    def close(self) -> None:
        """Let go of their stores."""
        for other in self._others:
            other.close()
