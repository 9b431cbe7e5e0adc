"""What two records say that cannot both be, and nobody ruled yet. Found anew each time, the same everywhere. Pure.

Both records are kept. What is in force meanwhile is told where it is asked: a tray is held, of answers, rules and item
records the more careful counts.
"""

from collections import Counter

from kiosk.core.desk import Desk
from kiosk.core.state.bench import Bench
from kiosk.core.state.ruled import Noted
from kiosk.core.together import answers, same_tray, two_policies, two_records
from kiosk.core.together.returns import answers_differ
from kiosk.core.together.ruling import ruling_of
from kiosk.core.together.stations import stations


def open_conflicts(bench: Bench, desk: Desk) -> list[Noted]:
    """Everything that waits for a ruling between two records, the oldest first."""
    if not desk.others:
        return []
    benches = stations(bench, desk)
    found = [
        *same_tray.standing_conflicts(benches),
        *_answers(bench, desk),
        *_policy(benches),
        *_records(benches),
    ]
    return sorted(found, key=_age)


def _age(one: Noted) -> tuple[int, str]:
    return one.at_ms, one.conflict


def find_conflict(bench: Bench, desk: Desk, conflict: str) -> Noted | None:
    """One of them by its name."""
    return next((one for one in open_conflicts(bench, desk) if one.conflict == conflict), None)


def _answers(bench: Bench, desk: Desk) -> list[Noted]:
    """Tickets on which decontam's answers differ: closed ones too, an answer may be heard after the piece is back."""
    benches = stations(bench, desk)
    told = [number for one in benches.values() for number, back in one.returns.items() if back.says]
    twice = {number for number, times in Counter(told).items() if times > 1}
    out = []
    for number in sorted(twice):
        differs = answers_differ(bench, desk, number)
        if differs:
            name = answers.conflict_of(number, differs)
            places = tuple(sorted({one.station for one in differs}))
            since = max(one.at_ms for one in differs)
            out.append(Noted(conflict=name, kind="answers", what=number, stations=places, at_ms=since))
    return out


def _policy(benches: dict[str, Bench]) -> list[Noted]:
    left = two_policies.heads(two_policies.every_signed(benches.values()))
    if len(left) < 2:
        return []
    name = two_policies.conflict_of(left)
    if ruling_of(benches.values(), name) is not None:
        return []
    marks = {one.mark for one in left}
    places = tuple(sorted(at for at, one in benches.items() if marks & {each.mark for each in one.staff.policies}))
    what, since = str(max(one.version for one in left)), max(one.at_ms for one in left)
    return [Noted(conflict=name, kind="policy", what=what, stations=places, at_ms=since)]


def _records(benches: dict[str, Bench]) -> list[Noted]:
    out = []
    for key, left in two_records.differing(benches.values()).items():
        marks = {each.mark for each in left}
        places = tuple(sorted(at for at, one in benches.items() if marks & _marks(one, key)))
        since = max(each.at_ms for each in left)
        name = two_records.conflict_of(key, left)
        out.append(Noted(conflict=name, kind="record", what=key, stations=places, at_ms=since))
    return out


def _marks(bench: Bench, key: str) -> set[str]:
    return {each.mark for each in bench.staff.records.get(key, ())}
