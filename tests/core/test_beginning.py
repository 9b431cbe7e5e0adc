"""A store in which nobody is known: the first supervisor, first aid, and nothing else."""

from dataclasses import replace

import pytest

from kiosk.core import commands as c
from kiosk.core.catalogue import Catalogue
from kiosk.core.decide import BEFORE_ANYBODY
from kiosk.core.meaning import Kind
from kiosk.core.views import NoteView, PinView, SignInView
from kiosk.core.vocabulary import Role
from kiosk.desk import directory
from tests.core.department import EAR, Shift, names, scan
from tests.core.department import desk as small_desk
from tests.core.test_roles import COMMANDS, made

PIN, SALT = "314159", "0a" * 16


def empty(**policy: object) -> Shift:
    """The small department before anybody is known."""
    desk = small_desk(**policy)
    return Shift(desk=replace(desk, catalogue=replace(desk.catalogue, people={})))


def begun() -> Shift:
    shift = empty()
    shift.must(c.BeginDepartment(name="ines verity"), scan("9000123", Kind.UNKNOWN))
    shift.must(c.BeginDepartment(name="Ines Verity", badge="9000123", pin=PIN, salt=SALT))
    return shift


def test_name_badge_and_number_are_asked_one_after_the_other_and_then_the_first_supervisor_is_signed_in() -> None:
    shift = empty()
    name = shift.session.view()
    assert isinstance(name, NoteView)
    assert name.done.send == c.BeginDepartment()
    shift.must(c.BeginDepartment(name="  ines VERITY "))
    badge = shift.session.view()
    assert isinstance(badge, NoteView)
    assert badge.done.send == c.BeginDepartment(name="Ines Verity")
    shift.must(scan("9000123", Kind.UNKNOWN))
    pin = shift.session.view()
    assert isinstance(pin, PinView)
    assert pin.again
    assert pin.send == c.BeginDepartment(name="Ines Verity", badge="9000123")
    kept = shift.must(replace(pin.send, pin=PIN, salt=SALT))
    assert names(kept) == ["person_kept", "pin_set", "signed_in"]
    assert PIN not in str(shift.log)
    (person,) = shift.session.desk.catalogue.people.values()
    assert (person.id, person.name, person.role, person.badge) == ("P1-1", "Ines Verity", Role.SUPERVISOR, "9000123")
    assert shift.bench.who == person.id
    assert {one.stamp.who for one in shift.log} == {person.id}


def test_the_first_supervisor_signs_in_again_by_badge_and_number_and_adds_the_others() -> None:
    shift = begun()
    shift.must(c.SignOut())
    assert isinstance(shift.session.view(), SignInView)
    known = directory(shift.session.desk.catalogue)("9000123")
    assert known is not None
    shift.must(c.EnterPin(person=known.text, pin=PIN))
    shift.must(c.KeepPerson(name="Tom Ashgrove"))
    assert sorted(shift.session.desk.catalogue.people) == ["P1-1", "P1-2"]


def test_once_somebody_is_known_nobody_makes_themselves_a_supervisor_this_way() -> None:
    shift = begun()
    for _ in range(2):
        before = dict(shift.session.desk.catalogue.people)
        shift.send(c.BeginDepartment(name="Second", badge="1", pin=PIN, salt=SALT))
        assert shift.refused
        assert shift.session.desk.catalogue.people == before
        shift.must(c.SignOut())
    shift.must(c.Turn(page=c.Page.BEGIN))
    assert isinstance(shift.session.view(), SignInView)


@pytest.mark.parametrize("kind", [kind for kind in COMMANDS if kind not in BEFORE_ANYBODY], ids=lambda k: k.__name__)
def test_nothing_else_is_followed_before(kind: type) -> None:
    shift = empty()
    assert shift.send(made(kind, by="x")) == []
    assert shift.refused == "refused.begin_first"


def test_what_is_followed_before_changes_nothing_but_first_aid() -> None:
    shift = empty()
    assert shift.send(scan(EAR), scan("nobody", Kind.PERSON), scan("?", Kind.UNKNOWN), c.Heard()) == []
    assert shift.session.notice is None or shift.refused == "refused.begin_first"
    assert shift.step.kind == "begin"
    assert names(shift.must(c.FirstAid())) == ["first_aid_begun"]
    assert shift.step.kind == "first_aid"
    shift.send(c.BeginDepartment(name="A", badge="1", pin=PIN, salt=SALT))
    assert shift.refused == "refused.not_asked"
    shift.must(c.FirstAidDone())
    assert shift.step.kind == "begin"


@pytest.mark.parametrize("pin", ["", "1", "31415", "abcdef", "3141592653"])
def test_the_first_number_has_the_length_that_policy_asks_for(pin: str) -> None:
    shift = empty()
    shift.send(c.BeginDepartment(name="A", badge="1", pin=pin, salt=SALT))
    assert shift.log == []
    assert not shift.session.desk.catalogue.people


def test_policy_never_lets_a_number_be_shorter_than_four_digits() -> None:
    shift = empty(pin_least=1)
    shift.send(c.BeginDepartment(name="A", badge="1", pin="123", salt=SALT))
    assert shift.refused == "refused.pin_short"
    shift.must(c.BeginDepartment(name="A", badge="1", pin="1234", salt=SALT))


def test_a_decontam_station_begins_in_the_same_way() -> None:
    desk = replace(small_desk(), side="decontam", catalogue=Catalogue())
    shift = Shift(desk=desk)
    assert shift.step.kind == "begin"
    shift.must(c.BeginDepartment(name="A", badge="1", pin=PIN, salt=SALT))
    assert list(shift.session.desk.catalogue.people) == ["PD1-1"]


def test_the_way_back_leads_to_the_field_before() -> None:
    shift = empty()
    shift.must(c.BeginDepartment(name="Ines"), c.BeginDepartment(name="Ines", badge="77"))
    backs = []
    for _ in range(2):
        send = shift.session.view().hand.left[0].send
        assert isinstance(send, c.Turn)
        backs.append(send)
        shift.must(send)
    assert backs == [c.Turn(page=c.Page.BEGIN, subject="Ines"), c.Turn()]
    assert isinstance(shift.session.view(), NoteView)
    assert not shift.log
