"""The rules of a tray that changes hands: handed over, open elsewhere, the same label twice, wanted by when."""

from kiosk.core import events as e
from kiosk.core.agenda import next_step
from kiosk.core.commands import HandOver, MarkRush, Page, RuleRetagged, SameLabel, TakeOver, TellNotBefore, Turn
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.folds.handing import TWICE
from kiosk.core.stamp import time_of_day
from kiosk.core.state.trip import Trip
from kiosk.core.together import same_tray
from kiosk.core.together.rush import rush_of
from kiosk.core.together.seen import Said, known, standing
from kiosk.core.together.stations import every_bench, led, stations
from kiosk.core.vocabulary import Role


def hand_over(pen: Pen, command: HandOver) -> None:
    """The tray goes to somebody else as it stands: it is set aside for them, under nobody else's sign-in."""
    person = pen.desk.catalogue.people.get(command.to)
    if person is None or person.role is Role.DECONTAM or command.to == pen.bench.who or pen.trip.ended:
        raise Refused("refused.not_asked")
    pen.write(e.HandedOver(to=command.to))
    pen.write(e.Paused(reason="handed_over"))


def elsewhere(pen: Pen, tray: str) -> tuple[str, Trip] | None:
    """The station where a tray of this code is open, and its trip there."""
    taken = {trip for one in every_bench(pen.bench, pen.desk) for trip in one.taken}
    for station, other in pen.desk.others.items():
        for trip in other.trips.values():
            if trip.tray.code == tray and not trip.ended and trip.id not in taken:
                return station, trip
    return None


def refuse_two_records(pen: Pen, tray: str) -> None:
    """Whose tray it is that is open at two stations, a supervisor rules; to take it over would decide that."""
    if any(one.what == tray for one in same_tray.standing_conflicts(stations(pen.bench, pen.desk))):
        raise Refused("refused.two_records", tray=tray)


def take_over(pen: Pen, command: TakeOver) -> Trip | None:
    """The tray that is open at another station is here: its trip there ends; here everything is asked."""
    found = elsewhere(pen, command.tray)
    if found is None or next_step(pen.bench, pen.desk).kind != "scan":
        raise Refused("refused.not_asked")
    refuse_two_records(pen, command.tray)
    pen.write(e.TrayTakenOver(station=found[0], trip=found[1].id), off_trip=True)
    return found[1]


def same_label(pen: Pen, command: SameLabel) -> None:
    """Two trays carry the same label: both are held, wherever they are, until one has a tag of its own."""
    if command.tray not in pen.desk.catalogue.trays or twice(pen, command.tray):
        raise Refused("refused.not_asked")
    pen.write(e.SameLabelTold(tray=command.tray, over=words_known(pen, command.tray)), off_trip=True)
    pen.say("notice.same_label", tray=command.tray)


def twice(pen: Pen, tray: str) -> bool:
    """Is it said that two trays carry this label, and was none tagged anew by whoever knew of it?"""
    return any(word.says == TWICE for word in standing(_words(pen, tray)))


def _words(pen: Pen, tray: str) -> list[Said]:
    """The last words of each station; a new tag only under the name of somebody who led then."""
    every = [word for one in every_bench(pen.bench, pen.desk) for word in one.same_label.get(tray, ())]
    return [word for word in every if word.says == TWICE or led(pen.desk, word.by, word.at_ms)]


def words_known(pen: Pen, tray: str) -> tuple[str, ...]:
    """What a word on a doubled label that is said now names as seen."""
    return known(_words(pen, tray))


def rule_retagged(pen: Pen, command: RuleRetagged) -> None:
    """The supervisor has given one of the two a tag of its own."""
    pen.sign_ruling(command.by)
    if not twice(pen, command.tray):
        raise Refused("refused.not_asked")
    trip = _with_new_tag(pen, command)
    over = words_known(pen, command.tray)
    pen.write(e.Retagged(tray=command.tray, over=over, trip=trip), who=command.by, off_trip=True)


def _with_new_tag(pen: Pen, command: RuleRetagged) -> str:
    """The trip of the tray that has the new tag; "" where it was not opened, or nobody can tell which one it is."""
    if command.here:
        if pen.trip.ended or pen.trip.tray.code != command.tray:
            raise Refused("refused.not_asked")
        return pen.trip.id
    open_trips = (trip for one in pen.desk.others.values() for trip in one.trips.values() if not trip.ended)
    found = [trip.id for trip in open_trips if trip.tray.code == command.tray]
    return found[0] if len(found) == 1 else ""


def mark_rush(pen: Pen, command: MarkRush) -> None:
    """The supervisor signed in says by what clock time a tray is wanted. It only changes the order."""
    if pen.desk.policy.rush_rule != "order_only" or command.tray not in pen.desk.catalogue.trays:
        raise Refused("refused.not_asked")
    pen.write(e.RushMarked(tray=command.tray, by=_clock(command.at)), off_trip=True)
    pen.turn = Turn(page=Page.DESK)
    pen.say("notice.rush", tray=command.tray, by=_clock(command.at))


def tell_not_before(pen: Pen, command: TellNotBefore) -> None:
    """What whoever answers the phone may say: not before this time."""
    if rush_of(pen.bench, pen.desk, command.tray) is None:
        raise Refused("refused.not_asked")
    pen.write(e.NotBefore(tray=command.tray, at=_clock(command.at)), off_trip=True)
    pen.turn = Turn(page=Page.DESK)


def _clock(figures: int) -> str:
    """Figures as a clock time: 1630 is 16:30, and 30 is 00:30. Refuses what is no time of day."""
    at = time_of_day(f"{figures:04d}")
    if at is None:
        raise Refused("refused.clock")
    return f"{at:%H:%M}"


def settle(pen: Pen) -> None:
    """A trip that goes on elsewhere or under a new tag ends; trays with one label wait until one is tagged anew."""
    taken = {trip for one in pen.desk.others.values() for trip in one.taken}
    own_tags = {trip for one in every_bench(pen.bench, pen.desk) for trip in one.retagged}
    for trip in tuple(pen.bench.trips.values()):
        if trip.ended:
            continue
        if trip.id in taken:
            pen.write(e.GoneOver(), trip=trip.id)
            continue
        if trip.id in own_tags:
            pen.write(e.TagChanged(tray=trip.tray.code), trip=trip.id)
            continue
        held = any("@label" in hold.waits_for for hold in trip.holds)
        if twice(pen, trip.tray.code) and not held:
            pen.hold("same_label", "@label", trip=trip.id)
        elif held and not twice(pen, trip.tray.code):
            pen.let_go("@label", "tagged anew", trip=trip.id)
