"""The fold of people, settings, catalogue and policy."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from kiosk.core import events as e
from kiosk.core.bench import Bench, Chosen, Trip
from kiosk.core.stamp import Stamp


def _setting(bench: Bench, event: e.SettingChosen, stamp: Stamp) -> Bench:
    mine = (*bench.chosen.get(event.person, ()), Chosen(key=event.key, value=event.value, at_ms=stamp.at_ms))
    return replace(bench, chosen={**bench.chosen, event.person: mine})


BENCH: dict[type, Callable[[Bench, Any, Stamp], Bench]] = {e.SettingChosen: _setting}
TRIP: dict[type, Callable[[Trip, Any, Stamp], Trip]] = {}
