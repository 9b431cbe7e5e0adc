"""The reference pictures as all stations kept them: which count, in which version, and which wait for people. Pure."""

from collections import defaultdict
from collections.abc import Iterable, Mapping

from kiosk.core.desk import Desk
from kiosk.core.references import PEOPLE, Agreed, Reference
from kiosk.core.state.bench import Bench
from kiosk.core.together.stations import every_bench, worked_at_desk


def every_reference(bench: Bench, desk: Desk) -> list[Agreed]:
    """All of them: those that wait first, then by item type and finding, the newest version before the older ones.

    The word of somebody who did not work at the desk counts nowhere, whichever station kept it. What two people took
    back is not among them; its version's number is given to no other.
    """
    stations = every_bench(bench, desk)
    offered = {one.number: one for each in stations for one in each.references.offered.values()}
    said = _said(desk, [each.references.agreed for each in stations])
    back = _said(desk, [each.references.taken_back for each in stations])
    gone = {number for number, people in back.items() if len(people) >= PEOPLE}
    told = {number: said.get(number, ())[:PEOPLE] for number in offered}
    alike: dict[tuple[str, str], list[str]] = defaultdict(list)
    for number in sorted((n for n in offered if len(told[n]) >= PEOPLE), key=lambda n: (told[n][-1][1], n)):
        alike[offered[number].type, offered[number].finding].append(number)
    out = []
    for number, picture in ((n, one) for n, one in offered.items() if n not in gone):
        counting = alike[picture.type, picture.finding]
        version = counting.index(number) + 1 if number in counting else 0
        newest = version > 0 and all(later in gone for later in counting[version:])
        so_far = back.get(number, ())
        out.append(Agreed(picture=picture, by=told[number], version=version, newest=newest, back=so_far))
    return sorted(
        out, key=lambda one: (one.version > 0, one.picture.type, one.picture.finding, -one.version, _age(one))
    )


def _said(desk: Desk, told: Iterable[Mapping[str, Mapping[str, int]]]) -> dict[str, tuple[tuple[str, int], ...]]:
    """By the picture's number: everybody of the desk who said so, the first ones first, with their first word."""
    first: dict[str, dict[str, int]] = defaultdict(dict)
    for each in told:
        for number, people in each.items():
            for person, at_ms in people.items():
                if worked_at_desk(desk, person, at_ms):
                    first[number][person] = min(first[number].get(person, at_ms), at_ms)
    return {number: tuple(sorted(people.items(), key=_when)) for number, people in first.items()}


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
