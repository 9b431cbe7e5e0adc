"""People at the supervisor's desk: badges, numbers, signatures; and what a trainee's tray waits for."""

import re
from dataclasses import replace

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.catalogue import Person
from kiosk.core.competency import lapsed
from kiosk.core.composing import Order, compose
from kiosk.core.meaning import Kind
from kiosk.core.views import AskView, ListView, MenuView, PackView, PinView, SignInView
from kiosk.core.vocabulary import Role
from kiosk.desk import directory
from tests.core.department import EAR, PIN, Shift, people, scan
from tests.core.department import desk as small_desk

MONTH_MS = 2_630_000_000


def new_pin(person: str, pin: str) -> c.SetPin:
    return c.SetPin(person=person, pin=pin, salt="0a" * 16)


def department(**policy: object) -> Shift:
    """The small department with an educator and a trainee."""
    hashed = people()["T1"].pin_hash
    more = {
        code: Person(id=code, name=f"Person {code}", role=role, badge=code, pin_hash=hashed)
        for code, role in (("E1", Role.EDUCATOR), ("N1", Role.TRAINEE))
    }
    desk = small_desk(**policy)
    return Shift(desk=replace(desk, catalogue=replace(desk.catalogue, people={**people(), **more})))


def at_desk(who: str = "S1", **policy: object) -> Shift:
    shift = department(**policy)
    shift.must(c.EnterPin(person=who, pin=PIN))
    return shift


def test_a_supervisor_adds_a_person_who_types_their_own_number_and_signs_in_with_the_scanned_badge() -> None:
    shift = at_desk()
    shift.must(c.KeepPerson(name="  ines VERITY "))
    person = shift.session.desk.catalogue.people["P1-1"]
    assert (person.name, person.role, person.pin_hash) == ("Ines Verity", Role.TRAINEE, "")
    shift.must(c.Turn(page=c.Page.PERSON, subject="badge:P1-1"), scan("9000123", Kind.UNKNOWN))
    shift.must(c.KeepPerson(person="P1-1", role="tech"), new_pin("P1-1", "314159"))
    assert "314159" not in str(shift.log)
    assert shift.log[-1].stamp.trip is None
    shift.must(c.SignOut())
    known = directory(shift.session.desk.catalogue)("9000123")
    assert known is not None
    shift.must(c.EnterPin(person=known.text, pin="314159"))
    assert shift.bench.who == "P1-1"


def test_a_forgotten_badge_is_covered_by_a_day_badge_until_midnight_and_never_by_a_colleagues() -> None:
    shift = at_desk()
    shift.send(c.LendBadge(person="T1", badge="T2"))
    assert shift.refused == "refused.badge_taken"
    shift.must(c.Turn(page=c.Page.PERSON, subject="day:T1"), scan("day-7", Kind.UNKNOWN))
    known = directory(shift.session.desk.catalogue)
    found = known("day-7")
    assert found is not None
    assert found.text == "T1"
    shift.minutes(24 * 60)
    shift.must(c.SignOut())
    shift.sign_in("T2")
    assert directory(shift.session.desk.catalogue)("day-7") is None
    shift.send(c.LendBadge(person="T1", badge="day-8"))
    assert shift.refused == "refused.supervisor_only"


def test_a_new_number_has_the_length_that_policy_asks_for_and_an_old_short_one_stays_good() -> None:
    shift = department(pin_least=6)
    shift.sign_in("T1")
    shift.send(new_pin("T1", "2580"))
    assert shift.refused == "refused.pin_short"
    shift.send(new_pin("T2", "258025"))
    assert shift.refused == "refused.supervisor_only"
    shift.must(new_pin("T1", "112233"), c.SignOut())
    shift.send(c.EnterPin(person="T1", pin=PIN))
    assert shift.bench.who is None
    shift.must(c.EnterPin(person="T1", pin="112233"))
    assert shift.bench.who == "T1"


def test_somebody_who_left_is_not_offered_and_can_not_sign_in_but_their_name_stays() -> None:
    shift = at_desk()
    shift.must(c.KeepPerson(person="T2", may="no"), c.SignOut())
    view = shift.session.view()
    assert isinstance(view, SignInView)
    assert "T2" not in [key.name for key in view.people]
    shift.send(c.EnterPin(person="T2", pin=PIN))
    assert shift.refused == "refused.disabled"
    assert shift.session.glance().name_of("T2") == "Person T2"


def test_nobody_takes_the_desk_away_from_themselves() -> None:
    shift = at_desk()
    for own in (c.KeepPerson(person="S1", may="no"), c.KeepPerson(person="S1", role="tech")):
        shift.send(own)
        assert shift.refused == "refused.own_record"


def test_an_educator_signs_a_method_on_their_own_badge_and_never_for_themselves() -> None:
    shift = at_desk()
    shift.send(c.SignCompetency(by="S1", person="T1", method="scope"))
    assert shift.refused == "refused.educator_only"
    shift.must(c.Turn(page=c.Page.COMPETENCY, subject="T1"))
    view = shift.session.view()
    assert isinstance(view, ListView)
    row = next(row for row in view.rows if row.name == "scope")
    assert row.send is not None
    shift.must(row.send, scan("E1", Kind.PERSON))
    pin = shift.session.view()
    assert isinstance(pin, PinView)
    shift.must(c.EnterPin(person="E1", pin=PIN, second=pin.second))
    asked = shift.session.view()
    assert isinstance(asked, AskView)
    assert asked.yes.send == c.SignCompetency(by="E1", person="T1", method="scope")
    assert asked.yes.send is not None
    assert isinstance(shift.must(asked.yes.send)[0], e.CompetencySigned)
    shift.send(c.SignCompetency(by="E1", person="E1", method="scope"))
    assert shift.refused == "refused.not_asked"


def test_an_expired_competency_warns_the_supervisor_and_neither_locks_nor_reminds_the_tech() -> None:
    shift = at_desk("E1", competency_months=1)
    shift.must(c.SignCompetency(by="E1", person="T1", method="scope"), c.SignOut())
    shift.at_ms += MONTH_MS * 2
    assert lapsed(shift.bench, shift.session.desk, shift.at_ms) == {"T1": ("scope",)}
    shift.sign_in("T1")
    shift.open(EAR)
    shift.count()
    shift.yes_to_all()
    assert shift.step.kind == "pack"
    for page in (None, c.Page.STOP, c.Page.SETTINGS):
        shift.must(c.Turn(page=page))
        assert not re.search(r"\bsign(ed)?\b(?! in)|competen|expire", str(shift.session.view()).replace("sign-in", ""))
    shift.must(c.Turn(), c.SignOut(), c.EnterPin(person="S1", pin=PIN), c.Turn(page=c.Page.DESK))
    assert "1 to sign" in str(shift.session.view())


def test_a_trainees_tray_is_packed_only_when_somebody_beside_them_has_signed_on_another_badge() -> None:
    shift = department()
    shift.sign_in("N1")
    shift.open(EAR)
    shift.count()
    shift.yes_to_all()
    kind = shift.trip.tray.packaging[0]
    shift.must(c.PlaceIndicators(count=shift.trip.tray.indicators), c.ChoosePackaging(kind=kind))
    view = shift.session.view()
    assert isinstance(view, PackView)
    assert view.main is None
    shift.send(c.PackAndPrint())
    assert shift.refused == "refused.cosign_first"
    key = next(key for key in view.hand.right if key.name == "cosign")
    assert key.send is not None
    shift.must(key.send)
    shift.send(c.EnterPin(person="N1", pin=PIN, second="cosign"))
    assert shift.refused == "refused.same_person"
    shift.send(c.SignBeside(by="N1"))
    assert shift.refused == "refused.cosigner"
    shift.must(c.EnterPin(person="T2", pin=PIN, second="cosign"))
    asked = shift.session.view()
    assert isinstance(asked, AskView)
    assert asked.yes.send is not None
    shift.must(asked.yes.send)
    assert shift.log[-1].stamp.who == "T2"
    shift.must(c.PackAndPrint())
    sheet = compose(shift.session.paper_glance(), Order(trip=shift.trip, doc="tray_sheet", number=shift.trip.id))
    assert "Signed beside the trainee: Person T2" in str(sheet)


def test_the_one_beside_a_trainee_at_lunch_keeps_no_tray_from_being_set_aside() -> None:
    shift = department()
    shift.sign_in("N1")
    shift.open(EAR)
    shift.count()
    shift.yes_to_all()
    shift.must(c.StopHere(reason="break"))
    assert shift.bench.trip is None


def test_where_policy_asks_for_nobody_beside_a_trainee_the_tray_goes_on() -> None:
    shift = department(second_person=["override"])
    shift.sign_in("N1")
    shift.open(EAR)
    shift.count()
    shift.yes_to_all()
    assert shift.pack()


def test_the_pages_of_people_show_to_a_supervisor_what_only_a_supervisor_may_do() -> None:
    for who, edits in (("S1", True), ("E1", False)):
        shift = at_desk(who)
        shift.must(c.Turn(page=c.Page.PERSON, subject="T1"))
        view = shift.session.view()
        assert isinstance(view, MenuView)
        assert ("change badge" in [key.name for key in view.keys]) is edits


def test_a_persons_page_says_which_number_is_meant_and_the_new_pin_how_long_it_is() -> None:
    shift = Shift()
    shift.must(c.EnterPin(person="S1", pin=PIN), c.Turn(page=c.Page.PERSON, subject="T1"))
    page = shift.session.view()
    assert isinstance(page, MenuView)
    (key,) = [key for key in page.keys if key.name == "new pin"]
    assert key.label == "New\nPIN"
    assert "PIN is set" in page.lines[0]
    shift.must(c.Turn(page=c.Page.NEW_PIN, subject="T1"))
    view = shift.session.view()
    assert isinstance(view, PinView)
    assert view.help == f"{view.least} to {view.most} digits. Only rings show."
    shift.must(c.Turn(page=c.Page.PERSON, subject="badge:T1"))
    assert "badge number" in shift.session.view().help
