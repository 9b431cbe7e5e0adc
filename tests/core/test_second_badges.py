"""The second person is another badge: at every place where a second person signs."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.catalogue import Person
from kiosk.core.place import Place
from kiosk.core.viewing import SECONDS
from kiosk.core.vocabulary import Role
from kiosk.desk import directory
from tests.core.department import EAR, PIN, Shift, at_work, people
from tests.core.short import short
from tests.core.test_loaner import LOAN, opened
from tests.core.test_stills import at_scope, still


def with_more(shift: Shift, **more: Role) -> Shift:
    hashed = people()["T1"].pin_hash
    extra = {
        code: Person(id=code, name=f"Person {code}", role=role, badge=code, pin_hash=hashed)
        for code, role in more.items()
    }
    desk = shift.desk
    shift.session.use(replace(desk, catalogue=replace(desk.catalogue, people={**desk.catalogue.people, **extra})))
    return shift


def looked() -> tuple[Shift, str, c.Command]:
    """A doubt of T1 that waits for a second look."""
    shift = at_work(EAR)
    shift.yes_until("A1.look")
    shift.no("unsure", Place(landmark="shaft"))
    shift.confirm("second_look")
    n = shift.trip.findings[-1].n
    return shift, f"look-{n}", c.TakeSecondLook(by="T1", n=n, says="clear")


def let_go_short(by: str) -> tuple[Shift, str, c.Command]:
    shift = short(missing_rule="pack_short_by_supervisor")
    shift.must(c.GiveOverride(by="S1", what="missing_pack_short", subjects=("Forceps",), reason="not_found"))
    return shift, "override", c.SecondOnOverride(by=by, yes=True)


def counted() -> tuple[Shift, str, c.Command]:
    shift = opened(LOAN)
    shift.count()
    who = shift.trip.counted_by
    return shift, "count", c.SecondCountDone(by=who)


def cosigned() -> tuple[Shift, str, c.Command]:
    shift = with_more(Shift(), N1=Role.TRAINEE)
    shift.sign_in("N1")
    shift.open(EAR)
    shift.count()
    shift.yes_to_all()
    return shift, "cosign", c.SignBeside(by="N1")


def competent() -> tuple[Shift, str, c.Command]:
    shift = with_more(Shift(), E1=Role.EDUCATOR)
    shift.must(c.EnterPin(person="E1", pin=PIN))
    return shift, "competency-E1-scope", c.SignCompetency(by="E1", person="E1", method="scope")


def policy() -> tuple[Shift, str, c.Command]:
    shift = Shift()
    shift.must(c.EnterPin(person="S1", pin=PIN), c.DraftRule(key="fail_limit", value="2"))
    return shift, "policy-now", c.SignPolicy(by="S1")


def looked_at() -> tuple[Shift, str, c.Command]:
    """A still of T1's, and T1's YES."""
    shift = at_scope()
    shift.must(still(shift))
    shift.yes()
    return shift, "still-1", c.AcceptLook(by="T1", n=1)


PLACES: dict[str, tuple[Callable[[], tuple[Shift, str, c.Command]], str]] = {
    "look": (looked, "T1"),
    "override": (lambda: let_go_short("T1"), "T1"),
    "override given": (lambda: let_go_short("S1"), "S1"),
    "count": (counted, "T1"),
    "cosign": (cosigned, "N1"),
    "competency": (competent, "E1"),
    "policy": (policy, "S1"),
    "still": (looked_at, "T1"),
}


@pytest.mark.parametrize("place", PLACES)
def test_the_first_persons_own_number_opens_no_second_answer_and_the_try_is_kept(place: str) -> None:
    tell, own = PLACES[place]
    shift, about, _ = tell()
    kept = shift.send(c.EnterPin(person=own, pin=PIN, second=about))
    taken = [event for event in kept if isinstance(event, e.PinTaken)]
    assert [(one.person, one.refused) for one in taken] == [(own, "same_person")]
    assert shift.session.turn is None or shift.session.turn.page is not c.Page.SECOND


@pytest.mark.parametrize("place", PLACES)
def test_the_answer_itself_is_refused_under_the_first_persons_name_too(place: str) -> None:
    tell, own = PLACES[place]
    shift, _, command = tell()
    kept = shift.send(command)
    assert shift.refused
    assert kept or own == "E1"  # an educator's own signature is not asked for at all
    assert {type(event) for event in kept} <= {e.TryRefused, e.OverrideRefused}


def test_every_place_where_a_second_person_signs_is_in_the_table() -> None:
    assert set(SECONDS) <= {place.partition(" ")[0] for place in PLACES}


def test_a_day_badge_makes_no_second_person_of_the_first() -> None:
    shift, about, _ = looked()
    shift.must(c.SignOut(), c.EnterPin(person="S1", pin=PIN), c.LendBadge(person="T1", badge="day-1"), c.SignOut())
    shift.must(c.EnterPin(person="T1", pin=PIN))
    known = directory(shift.session.desk.catalogue)("day-1")
    assert known is not None
    shift.send(c.EnterPin(person=known.text, pin=PIN, second=about))
    assert shift.refused == "refused.same_person"
