"""What went to decontam and is not closed yet, as all stations together know it. Pure; screens and rules ask here."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from kiosk.core.desk import Desk
from kiosk.core.state.bench import Bench, Sent
from kiosk.core.state.piece import FindingOn
from kiosk.core.state.tickets import DirtyCheck, Return
from kiosk.core.state.trip import Trip, loads_of
from kiosk.core.ticket_card import sent_of
from kiosk.core.together.answers import contradicted, every_answer, in_force
from kiosk.core.together.seen import Said
from kiosk.core.together.stations import stations
from kiosk.core.vocabulary import Role


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenReturn:
    """One return. `sent` None: its details are not here yet. `station` is the bench it came from, "" for this one.

    Until the bench is heard, `sent` is made of what the ticket's own code told.
    """

    number: str
    sent: Sent | None
    back: Return
    station: str = ""

    @property
    def received(self) -> bool:
        return self.back.received_ms is not None

    @property
    def at_ms(self) -> int:
        """When it was sent; without details, when it was taken in."""
        return self.sent.ticket.at_ms if self.sent else self.back.received_ms or 0

    @property
    def findings(self) -> tuple[FindingOn, ...]:
        return tuple(self.sent.trip.finding(n) for n in self.sent.ticket.findings) if self.sent else ()

    @property
    def wants_check(self) -> bool:
        """Did it go for a check on the dirty side, and for nothing else?"""
        return bool(self.findings) and all(f.code in WANTS_CHECK for f in self.findings)


WANTS_CHECK = frozenset({"cannot_reach", "not_checked_dirty"})
"""Findings that are no finding on the piece: it went to be looked at on the dirty side."""


def at_decontam(bench: Bench, desk: Desk) -> bool:
    """Is decontam's work shown here: at its own station, or to its people wherever they sign in?"""
    return desk.side == "decontam" or is_decontam(bench, desk)


def is_decontam(bench: Bench, desk: Desk) -> bool:
    """Is a person of decontam signed in?"""
    person = desk.catalogue.people.get(bench.who or "")
    return person is not None and person.role is Role.DECONTAM


def benches(bench: Bench, desk: Desk) -> Iterator[tuple[str, Bench]]:
    """This station ("") and every other that was heard."""
    yield "", bench
    yield from desk.others.items()


def open_returns(bench: Bench, desk: Desk) -> list[OpenReturn]:
    """Every return that is not closed, the oldest first."""
    closed = {number for _, each in benches(bench, desk) for number in each.closed}
    backs: dict[str, list[Return]] = {}
    for _, each in benches(bench, desk):
        for number, back in each.returns.items():
            backs.setdefault(number, []).append(back)
    out, told = [], set[str]()
    for station, each in benches(bench, desk):
        for number, sent in each.sent.items():
            told |= {number, sent.form}
            if number not in closed:
                mine = [*backs.get(number, ()), *(backs.get(sent.form, ()) if sent.form else ())]
                back = _together(bench, desk, (number, sent.form), mine)
                out.append(OpenReturn(number=number, sent=sent, back=back, station=station))
    for number, mine in backs.items():
        back = _together(bench, desk, (number, ""), mine)
        if number not in told | closed and not back.known and back.received_ms is not None:
            out.append(OpenReturn(number=number, sent=sent_of(back.card, desk) if back.card else None, back=back))
    return sorted(out, key=_age)


def _together(bench: Bench, desk: Desk, names: tuple[str, str], backs: list[Return]) -> Return:
    """A return as all stations tell it: first seen by whoever took it in first, with the answer that counts."""
    if len(backs) < 2:
        return backs[0] if backs else Return(ticket=names[0])
    had = min((back for back in backs if back.received_ms is not None), key=_received_ms, default=None)
    first = had or max(backs, key=_missed_ms)
    told = next((back for back in backs if back.card is not None), None)
    if told is not None and first.card is None:
        first = replace(first, card=told.card, vouched=told.vouched)
    counts = in_force(stations(bench, desk), names[0], every_answer(stations(bench, desk), names))
    if counts is None:
        return first
    known = any(back.known for back in backs if back.received_ms is not None)
    return replace(first, known=known, says=counts.says, said_ms=counts.at_ms)


def _received_ms(back: Return) -> int:
    return back.received_ms or 0


def _missed_ms(back: Return) -> int:
    return back.not_here_ms or 0


def _age(each: OpenReturn) -> tuple[int, str]:
    return each.at_ms, each.number


def find_return(bench: Bench, desk: Desk, number: str) -> OpenReturn | None:
    """The open return with this ticket number, or with this numbered spare form."""
    for each in open_returns(bench, desk):
        if number in {each.number, each.sent.form if each.sent else ""}:
            return each
    return None


def taken_for_ticket(bench: Bench, desk: Desk, text: str) -> bool:
    """Is this the number of a return? In decontam none is turned away: what is not known yet follows."""
    return at_decontam(bench, desk) or find_return(bench, desk, text) is not None


def waiting(bench: Bench, desk: Desk) -> list[OpenReturn]:
    """On their way: not taken in yet, those that decontam could not find among them."""
    return [each for each in open_returns(bench, desk) if not each.received]


def absent(bench: Bench, desk: Desk) -> list[OpenReturn]:
    """Sent from here, looked for in decontam and not found; nobody at this bench has read so yet."""
    mine = [each for each in waiting(bench, desk) if not each.station and each.back.not_here_ms is not None]
    return [each for each in mine if (each.back.not_here_ms or 0) > bench.absent_seen.get(each.number, -1)]


def answer_of(bench: Bench, desk: Desk, number: str) -> str:
    """Decontam's answer on a ticket that counts, or ""."""
    counts = in_force(stations(bench, desk), number, answers_on(bench, desk, number))
    return counts.says if counts else ""


def answers_on(bench: Bench, desk: Desk, number: str) -> list[Said]:
    """What each station answered on a ticket last."""
    form = next((each.sent[number].form for _, each in benches(bench, desk) if number in each.sent), "")
    return every_answer(stations(bench, desk), (number, form) if form else (number,))


def answers_differ(bench: Bench, desk: Desk, number: str) -> list[Said]:
    """The answers on a ticket that differ, as long as no supervisor ruled."""
    return contradicted(stations(bench, desk), number, answers_on(bench, desk, number))


def closed_at(bench: Bench, desk: Desk, number: str) -> bool:
    """Did any station close this ticket?"""
    return any(number in each.closed for _, each in benches(bench, desk))


def dirty_record(bench: Bench, desk: Desk, trip: Trip, piece: str, *, ticket: str = "") -> DirtyCheck | None:
    """The dirty side's record of this trip for a piece: for its ticket, or of its tray, and stood on by no trip yet."""
    used = {number for _, each in benches(bench, desk) for number in each.dirty_used}
    checks = [check for _, each in benches(bench, desk) for check in each.dirty_checks if check.id not in used]
    tray = (check for check in reversed(checks) if not check.ticket and check.tray == trip.tray.code)
    mine = (check for check in reversed(checks) if ticket and check.ticket == ticket)
    return next((check for check in (*mine, *tray) if check.piece == piece), None)


def may_come_back(bench: Bench, desk: Desk, *, whole: bool = False) -> list[OpenReturn]:
    """What can come out of the washer: single pieces, or whole trays, that went and were not called absent."""
    told = [each for each in open_returns(bench, desk) if each.sent is not None and each.back.not_here_ms is None]
    return [each for each in told if each.sent is not None and each.sent.ticket.whole_tray == whole]


def went_whole(bench: Bench, desk: Desk, tray: str) -> list[OpenReturn]:
    """The open returns on which this tray went as a whole."""
    found = may_come_back(bench, desk, whole=True)
    return [each for each in found if each.sent is not None and each.sent.trip.tray.code == tray]


def spent_loads(bench: Bench, desk: Desk, tray: str) -> frozenset[str]:
    """The loads that this tray went back from as a whole: it comes back with another one."""
    found = went_whole(bench, desk, tray)
    return frozenset(load for each in found if each.sent is not None for load in loads_of(each.sent.trip))


def goes_to_spares(bench: Bench, desk: Desk, found: OpenReturn) -> bool:
    """Has its tray gone on without it: a spare in its place, or packed?"""
    if found.sent is None:
        return False
    here = bench if not found.station else desk.others[found.station]
    trip = here.trips.get(found.sent.trip.id)
    return bool(found.sent.spare) or trip is None or trip.ended
