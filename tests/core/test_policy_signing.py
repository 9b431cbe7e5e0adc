"""Signing the policy: who signs beside the manager is asked for by name, and sees every change before the question."""

from dataclasses import replace

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.meaning import Kind
from kiosk.core.views import HelpView, ListView, PinView, SignInView
from tests.core.department import PIN, Shift, scan
from tests.core.test_policy_versions import at_desk, sign

ASKED = c.Turn(page=c.Page.NAMES, subject="second:policy-now:")


def drafted(*rules: tuple[str, str]) -> Shift:
    shift = at_desk()
    for key, value in rules or (("fail_limit", "2"),):
        shift.must(c.DraftRule(key=key, value=value))
    return shift


def names(shift: Shift) -> SignInView:
    view = shift.session.view()
    assert isinstance(view, SignInView)
    return view


def test_infection_prevention_is_asked_for_in_words_and_nobody_else_is_on_offer() -> None:
    shift = drafted()
    shift.must(ASKED)
    assert names(shift).title == "Infection prevention signs too"
    assert [key.name for key in names(shift).people] == ["I1"]


def test_where_nobody_is_listed_the_page_says_so() -> None:
    shift = drafted()
    few = {code: person for code, person in shift.session.desk.catalogue.people.items() if code != "I1"}
    shift.session.desk = replace(shift.session.desk, catalogue=replace(shift.session.desk.catalogue, people=few))
    shift.must(ASKED)
    assert names(shift).people == ()
    assert "Nobody here is listed as infection prevention" in names(shift).help


def test_a_badge_that_does_not_fit_is_told_so_before_any_number_and_the_right_one_goes_on() -> None:
    shift = drafted()
    shift.must(ASKED)
    shift.send(scan("T1", Kind.PERSON))
    assert "Person T1 is not listed as infection prevention" in names(shift).notice
    shift.send(scan("I1", Kind.PERSON))
    view = shift.session.view()
    assert isinstance(view, PinView)
    assert (view.person, view.second) == ("I1", "policy-now")


def test_the_right_badge_on_the_page_of_a_wrong_number_does_not_leave_the_desk() -> None:
    shift = drafted()
    shift.must(ASKED)
    shift.must(c.EnterPin(person="I1", pin=PIN, second="policy-now"))
    before = len(shift.log)
    shift.send(scan("T1", Kind.PERSON))
    assert "not listed" in names(shift).notice
    shift.send(scan("I1", Kind.PERSON))
    assert isinstance(shift.session.view(), PinView)
    assert len(shift.log) == before


def test_a_number_of_somebody_else_is_refused_and_the_try_is_kept() -> None:
    shift = drafted()
    shift.must(ASKED)
    events = shift.send(c.EnterPin(person="T1", pin=PIN, second="policy-now"))
    assert events == [e.PinTaken(person="T1", purpose="policy-now", refused="policy_infection")]
    assert "Infection prevention signs too" in names(shift).notice


def test_the_second_signer_reads_every_change_with_what_it_was_before_the_question_comes() -> None:
    rules = (
        ("fail_limit", "2"),
        ("max_dry_tries", "4"),
        ("tell_lead_at", "1"),
        ("pin_least", "5"),
        ("air_where", '"hood"'),
    )
    shift = drafted(*rules)
    shift.must(ASKED, c.EnterPin(person="I1", pin=PIN, second="policy-now"))
    first = shift.session.view()
    assert isinstance(first, ListView)
    assert first.main is None
    assert first.next.send is not None
    shift.must(first.next.send)
    last = shift.session.view()
    assert isinstance(last, ListView)
    assert last.main is not None
    told = {row.name: (row.title, row.sub) for row in (*first.rows, *last.rows)}
    assert told.keys() == {f"rule {key}" for key, _ in rules}
    assert told["rule fail_limit"] == ("Return number 2 in a row goes to quarantine.", "now: 3")


def test_once_signed_it_is_said_in_one_sentence() -> None:
    shift = drafted()
    sign(shift)
    view = shift.session.view()
    assert view.notice == "Version 2 is signed and in force."
    shift.must(c.DraftRule(key="fail_limit", value="4"))
    sign(shift, "next")
    assert shift.session.view().notice == "Version 3 is signed. It is in force from midnight."


def test_a_tech_who_is_shown_a_new_rule_reads_the_old_value_beside_it() -> None:
    shift = drafted()
    sign(shift)
    shift.must(c.SignOut(), c.EnterPin(person="T1", pin=PIN))
    view = shift.session.view()
    assert isinstance(view, HelpView)
    assert view.entries == (("question", "Return number 2 in a row goes to quarantine.", "Before: 3."),)
