"""The reference pictures as all stations kept them: which count, in which version, and which wait for people. Pure."""

from collections import defaultdict

from kiosk.core.bench import Bench
from kiosk.core.desk import Desk
from kiosk.core.references import PEOPLE, Agreed, Reference
from kiosk.core.stations import every_bench, worked_at_desk


def every_reference(bench: Bench, desk: Desk) -> list[Agreed]:
    """All of them: those that wait first, then by item type and finding, the newest version before the older ones.

    The word of somebody who did not work at the desk counts nowhere, whichever station kept it.
    """
    stations = every_bench(bench, desk)
    offered = {one.number: one for each in stations for one in each.references.offered.values()}
    said: dict[str, dict[str, int]] = defaultdict(dict)
    for each in stations:
        for number, people in each.references.agreed.items():
            for person, at_ms in ((one, at) for one, at in people.items() if worked_at_desk(desk, one, at)):
                said[number][person] = min(said[number].get(person, at_ms), at_ms)
    told = {number: tuple(sorted(said[number].items(), key=_when)[:PEOPLE]) for number in offered}
    alike: dict[tuple[str, str], list[str]] = defaultdict(list)
    for number in sorted((n for n in offered if len(told[n]) >= PEOPLE), key=lambda n: (told[n][-1][1], n)):
        alike[offered[number].type, offered[number].finding].append(number)
    out = []
    for number, picture in offered.items():
        counting = alike[picture.type, picture.finding]
        version = counting.index(number) + 1 if number in counting else 0
        newest = version > 0 and version == len(counting)
        out.append(Agreed(picture=picture, by=told[number], version=version, newest=newest))
    return sorted(
        out, key=lambda one: (one.version > 0, one.picture.type, one.picture.finding, -one.version, _age(one))
    )


def _when(one: tuple[str, int]) -> tuple[int, str]:
    return one[1], one[0]


def _age(one: Agreed) -> tuple[int, str]:
    return one.picture.offered_ms, one.picture.number


def reference_called(bench: Bench, desk: Desk, number: str) -> Agreed | None:
    """The reference picture of this number, if it is known here."""
    return next((one for one in every_reference(bench, desk) if one.picture.number == number), None)


def versions_of(bench: Bench, desk: Desk, picture: Reference) -> list[Agreed]:
    """All pictures of the same item type and finding: those that wait, then the newest, then the older ones."""
    same = (picture.type, picture.finding)
    return [one for one in every_reference(bench, desk) if (one.picture.type, one.picture.finding) == same]


def counting_for(bench: Bench, desk: Desk, item_type: str, first: tuple[str, ...] = ()) -> list[Agreed]:
    """The pictures that count now for an item type; those of the findings in `first` come first, in its order."""
    found = [one for one in every_reference(bench, desk) if one.newest and one.picture.type == item_type]
    order = {code: n for n, code in enumerate(first)}
    return sorted(found, key=lambda one: order.get(one.picture.finding, len(order)))
