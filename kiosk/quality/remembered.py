"""What is never seen and what kit would change, for the pages: reckoned once for a catalogue, a policy, its figures.

Everything rests on `kiosk.quality.never_seen` and `kiosk.quality.kit_study`, the same that `kit-study` prints.
"""

import logging
from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from threading import Event, Thread

from kiosk.core.catalogue import Catalogue
from kiosk.core.policy import Policy
from kiosk.core.state.bench import Bench
from kiosk.core.unseen import KitChanges, KitGain, KitPart, NeverSeen
from kiosk.quality.additions import Addition, AirPressure, LongerStem, MoreHead, MoreScope, offered
from kiosk.quality.kit_study import Gain, kit_study, longest_of_each
from kiosk.quality.never_seen import never_seen
from kiosk.quality.packing_figures import packed_a_week

log = logging.getLogger(__name__)

PATIENCE_S = 0.15
"""So long a page waits for what kit would change before it says that it is being reckoned (a choice)."""

_Given = tuple[object, ...]
"""What the answers depend on: trays, spares and kit of the catalogue, policy, packing figures."""


class Remembered:
    """The last answer of each question (`kiosk.core.unseen.Unseen`); another catalogue is reckoned anew.

    Safe to ask from the worker that prints: an answer is put in place whole, at worst it is reckoned twice.
    """

    def __init__(self, ready: Callable[[], object] | None = None) -> None:
        """`ready` is called, in another thread, when what a page did not wait for is there; None: pages wait."""
        self._ready = ready
        self._under_way: tuple[_Given, Event] | None = None
        self._walls: tuple[_Given, NeverSeen] | None = None
        self._changes: tuple[_Given, KitChanges] | None = None

    def packed_a_week(
        self, benches: Iterable[Bench], catalogue: Catalogue, now_ms: int
    ) -> Mapping[str, Decimal] | None:
        """How often each tray is packed, from the packages that the stations know; None: none knows a whole week."""
        return packed_a_week(benches, catalogue, now_ms)

    def walls(self, catalogue: Catalogue, policy: Policy, a_week: Mapping[str, Decimal] | None) -> NeverSeen:
        """The shares and the not-seen list with the kit of the catalogue. Raises PackingFault."""
        given, kept = _given(catalogue, policy, a_week), self._walls
        if kept is None or kept[0] != given:
            kept = given, never_seen(catalogue, policy, catalogue.kit, times_a_week=a_week)
            self._walls = kept
        return kept[1]

    def changes(self, catalogue: Catalogue, policy: Policy, a_week: Mapping[str, Decimal] | None) -> KitChanges:
        """What could be added to the kit of the catalogue, one part alone and every two. Raises PackingFault."""
        given, kept = _given(catalogue, policy, a_week), self._changes
        if kept is None or kept[0] != given:
            kept = given, _changes(catalogue, policy, a_week)
            self._changes = kept
        return kept[1]

    def changes_soon(
        self, catalogue: Catalogue, policy: Policy, a_week: Mapping[str, Decimal] | None
    ) -> KitChanges | None:
        """`changes`, reckoned in a thread of its own; None: it takes longer than a page waits."""
        if self._ready is None:
            return self.changes(catalogue, policy, a_week)
        given = _given(catalogue, policy, a_week)
        if (there := self._there(given)) is not None:
            return there
        under_way = self._under_way
        if under_way is None or under_way[0] != given:
            self._under_way = under_way = given, Event()
            args = (under_way[1], self._ready, catalogue, policy, a_week)
            Thread(target=self._reckon, args=args, name="reckoning", daemon=True).start()
        under_way[1].wait(PATIENCE_S)
        return self._there(given)

    def _there(self, given: _Given) -> KitChanges | None:
        kept = self._changes
        return kept[1] if kept is not None and kept[0] == given else None

    def _reckon(
        self,
        done: Event,
        ready: Callable[[], object],
        catalogue: Catalogue,
        policy: Policy,
        a_week: Mapping[str, Decimal] | None,
    ) -> None:
        try:
            self.changes(catalogue, policy, a_week)
        except Exception:
            log.exception("what kit would change could not be reckoned")
            self._under_way = None  # whoever asks again has it tried again
        done.set()
        ready()


def _given(catalogue: Catalogue, policy: Policy, a_week: Mapping[str, Decimal] | None) -> _Given:
    return catalogue.trays, catalogue.spares, catalogue.kit, policy, None if a_week is None else dict(a_week)


def _changes(catalogue: Catalogue, policy: Policy, a_week: Mapping[str, Decimal] | None) -> KitChanges:
    kit = catalogue.kit
    study = kit_study(catalogue, policy, kit, times_a_week=a_week, prices=offered(kit), pairs=True)
    singles, pairs = (
        tuple(_gain(best, len(shorter)) for best, shorter in longest_of_each(gains))
        for gains in (study.singles, study.pairs)
    )
    return KitChanges(
        singles=singles,
        pairs=pairs,
        unseen_mm2=study.unseen_mm2,
        untouched_mm2=study.untouched_mm2,
        beyond_seen_mm2=study.beyond_seen_mm2,
        beyond_touched_mm2=study.beyond_touched_mm2,
        cut=bool(study.cut),
        currency=kit.offers[0].currency if kit.offers else "",
    )


def _gain(gain: Gain, shorter: int) -> KitGain:
    return KitGain(
        parts=tuple(map(_part, gain.additions, gain.up_to_mm)),
        seen_mm2=gain.seen_mm2,
        touched_mm2=gain.touched_mm2,
        checked_mm2=gain.checked_mm2,
        lumens=gain.lumens,
        types=gain.types,
        holds=gain.holds,
        frees=gain.frees,
        shorter=shorter,
        price=gain.price,
    )


def _part(addition: Addition, up_to_mm: Decimal | None) -> KitPart:
    match addition:
        case MoreScope():
            return KitPart(kind="scope", at_most_mm=addition.od_mm, reach_mm=addition.reach_mm, bends=addition.bends)
        case MoreHead():
            more = up_to_mm if up_to_mm is not None and up_to_mm > addition.head_mm else None
            return KitPart(kind="head", size_mm=addition.head_mm, at_most_mm=more, reach_mm=addition.stem_mm)
        case LongerStem():
            return KitPart(kind="stem", reach_mm=addition.reach_mm)
        case AirPressure():
            return KitPart(kind="pressure", item=addition.item, name=addition.name)
