"""The policy: a draft by touch, signed by two, numbered, in plain words on one page; shown once to the next person."""

import json
import re
from dataclasses import replace

import pytest

from kiosk import resources
from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.catalogue import Person
from kiosk.core.policy import WHOLE, plain_values
from kiosk.core.policy_choices import GROUPS, NUMBERS, OPTIONS, SOME_OF, check_numbers
from kiosk.core.policy_words import sentence
from kiosk.core.views import AskView, HelpView, ListView, MenuView, NumberView
from kiosk.core.vocabulary import Role
from tests.core.department import EAR, PIN, Shift, people
from tests.core.department import desk as small_desk


def department() -> Shift:
    preventer = Person(
        id="I1", name="Person I1", role=Role.INFECTION_PREVENTION, badge="I1", pin_hash=people()["T1"].pin_hash
    )
    desk = small_desk()
    shift = Shift(desk=replace(desk, catalogue=replace(desk.catalogue, people={**people(), "I1": preventer})))
    shift.session.tongues = resources.tongues()
    return shift


def at_desk() -> Shift:
    shift = department()
    shift.must(c.EnterPin(person="S1", pin=PIN))
    return shift


def sign(shift: Shift, start: str = "now") -> None:
    shift.must(c.Turn(page=c.Page.NAMES, subject=f"second:policy-{start}:"))
    shift.must(c.EnterPin(person="I1", pin=PIN, second=f"policy-{start}"))
    read = shift.session.view()
    assert isinstance(read, ListView)
    assert read.main is not None
    assert read.main.send is not None
    shift.must(read.main.send)
    view = shift.session.view()
    assert isinstance(view, AskView)
    assert view.yes.send is not None
    shift.must(view.yes.send)


def test_a_changed_rule_counts_only_when_the_manager_and_infection_prevention_have_signed_it() -> None:
    shift = at_desk()
    shift.must(c.DraftRule(key="fail_limit", value="2"))
    assert shift.session.desk.policy.fail_limit == 3
    shift.send(c.SignPolicy(by="S1"))
    assert shift.refused == "refused.policy_infection"
    shift.send(c.SignPolicy(by="T1"))
    assert shift.refused == "refused.policy_infection"
    sign(shift)
    assert (shift.session.desk.policy.version, shift.session.desk.policy.fail_limit) == (2, 2)
    signed = next(kept.event for kept in shift.log if isinstance(kept.event, e.PolicySigned))
    assert (signed.manager, signed.infection_prevention, signed.values) == ("S1", "I1", {"fail_limit": "2"})
    shift.send(c.SignPolicy(by="I1"))
    assert shift.refused == "refused.policy_nothing"


def test_a_trip_keeps_the_version_it_began_with_and_the_next_trip_has_the_new_one() -> None:
    shift = department()
    shift.sign_in("T1")
    shift.open(EAR)
    shift.must(c.StopHere(reason="end_of_shift"), c.EnterPin(person="S1", pin=PIN))
    shift.must(c.DraftRule(key="fail_limit", value="2"))
    sign(shift)
    old = next(iter(shift.bench.trips.values()))
    assert old.policy == 1
    assert shift.session.desk.policy_at(old.policy).fail_limit == 3
    shift.must(c.SignOut())
    shift.sign_in("T1")
    shift.open("TR-4")
    assert shift.trip.policy == 2


def test_a_rule_changed_under_an_open_tray_counts_for_the_next_tray_and_not_for_this_one() -> None:
    shift = at_desk()
    shift.must(c.DraftRule(key="missing_rule", value='"pack_short_by_supervisor"'))
    sign(shift)
    shift.must(c.SignOut())
    shift.sign_in("T1")
    shift.open(EAR)
    shift.must(c.CountLine(line="Forceps", have=3), c.CountLine(line="Bent tube", have=1))
    shift.must(c.CountLine(line="Paired tube", have=2), c.CountDiffers())
    shift.must(c.Search(line="Forceps", places=("sink",), over=True))
    shift.must(c.StopHere(reason="end_of_shift"), c.EnterPin(person="S1", pin=PIN))
    shift.must(c.DraftRule(key="missing_rule", value='"hold"'))
    sign(shift)
    assert shift.session.desk.policy.missing_rule == "hold"
    shift.must(c.SignOut())
    shift.sign_in("T1")
    shift.open(EAR)
    give = c.GiveOverride(by="S1", what="missing_pack_short", subjects=("Forceps",), reason="not_found")
    assert [type(event) for event in shift.must(give)] == [e.OverrideGiven]
    assert {kept.stamp.policy for kept in shift.log if kept.stamp.trip == shift.trip.id} == {2}


def test_a_new_rule_is_shown_once_to_each_person_with_a_word_why_it_is_asked_now() -> None:
    shift = at_desk()
    shift.must(c.DraftRule(key="max_dry_tries", value="1"))
    sign(shift)
    shift.must(c.SignOut(), c.EnterPin(person="T1", pin=PIN))
    view = shift.session.view()
    assert isinstance(view, HelpView)
    assert "Clear water is dried here at most once." in str(view.entries)
    shift.must(c.Turn(), c.SignOut(), c.EnterPin(person="T1", pin=PIN))
    assert not isinstance(shift.session.view(), HelpView)
    shift.must(c.SignOut(), c.EnterPin(person="T2", pin=PIN))
    assert isinstance(shift.session.view(), HelpView)


def test_signed_for_midnight_it_holds_from_midnight() -> None:
    shift = at_desk()
    shift.must(c.DraftRule(key="fail_limit", value="2"))
    sign(shift, "next")
    assert shift.session.desk.policy.version == 1
    shift.minutes(24 * 60)
    shift.must(c.SignOut())
    shift.sign_in("T1")
    assert shift.session.desk.policy.version == 2


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("moon", "1"), ("fail_limit", '"two"'), ("clean_methods", '["magic"]'), ("fail_limit", "{"),
    ],
)  # fmt: skip
def test_a_value_that_can_not_be_used_is_told_in_one_sentence_and_nothing_is_kept(key: str, value: str) -> None:
    shift = at_desk()
    shift.send(c.DraftRule(key=key, value=value))
    assert shift.refused == "refused.policy_value"
    assert shift.bench.staff.drafted == {}


@pytest.mark.parametrize(
    ("key", "value", "said"),
    [
        ("fail_limit", "3.7", "This takes a whole number from 1 to 9; 3.7 is not kept."),
        ("fail_limit", "99", "This takes a whole number from 1 to 9; 99 is not kept."),
        ("fail_limit", "0", "This takes a whole number from 1 to 9; 0 is not kept."),
        ("pin_least", "3", "This takes a whole number from 4 to 8; 3 is not kept."),
        ("scope_fit_ratio", "1.1", "This takes a number from 0.1 to 1; 1.1 is not kept."),
    ],
)
def test_a_number_that_no_department_means_is_told_with_its_range_and_not_kept(key: str, value: str, said: str) -> None:
    shift = at_desk()
    shift.must(c.Turn(page=c.Page.RULE, subject=key))
    shift.send(c.DraftRule(key=key, value=value))
    assert shift.session.view().notice == said
    assert shift.bench.staff.drafted == {}


@pytest.mark.parametrize("key", NUMBERS)
def test_the_pad_of_a_number_says_its_range_and_has_a_point_only_where_parts_count(key: str) -> None:
    shift = at_desk()
    shift.must(c.Turn(page=c.Page.RULE, subject=key))
    view = shift.session.view()
    assert isinstance(view, NumberView)
    assert str(NUMBERS[key][1]) in view.help
    assert (view.decimals, view.as_text) == (key not in WHOLE, True)


def test_the_policy_as_delivered_lies_within_every_range() -> None:
    check_numbers(resources.default_policy_values())


@pytest.mark.parametrize("code", ["en", "es"])
def test_one_of_a_thing_is_said_in_the_singular(code: str) -> None:
    words = resources.words(code)
    for key, (least, most) in NUMBERS.items():
        many = re.search(r"\b2 (\w+s)\b", sentence(words, key, 2))
        if many and least <= 1 <= most:
            for one in (1, "1", "1.0"):
                assert not re.search(rf"\b{many[1]}\b", sentence(words, key, one)), sentence(words, key, one)


def test_a_rule_put_back_to_what_it_was_leaves_the_draft() -> None:
    shift = at_desk()
    shift.must(c.DraftRule(key="fail_limit", value="2"), c.DraftRule(key="fail_limit", value="3"))
    assert shift.bench.staff.drafted == {}
    shift.must(c.DraftRule(key="fail_limit", value="2"), c.DropDraft())
    assert shift.bench.staff.drafted == {}


def test_only_a_supervisor_touches_the_policy() -> None:
    shift = department()
    shift.sign_in("T1")
    shift.send(c.DraftRule(key="fail_limit", value="2"))
    assert shift.refused == "refused.supervisor_only"


def test_every_key_stands_in_a_group_and_can_be_changed_by_touch_or_says_that_a_file_does() -> None:
    grouped = [key for keys in GROUPS.values() for key in keys]
    assert sorted(grouped) == sorted(set(grouped))
    shift = at_desk()
    for group in GROUPS:
        shift.must(c.Turn(page=c.Page.RULES, subject=group))
        assert isinstance(shift.session.view(), ListView)
    for key in plain_values(shift.session.desk.policy):
        shift.must(c.Turn(page=c.Page.RULE, subject=key))
        view = shift.session.view()
        if key in NUMBERS:
            assert isinstance(view, NumberView)
            continue
        if len(SOME_OF.get(key, ())) > 9:  # more choices than a page of keys holds
            assert isinstance(view, ListView)
            assert view.pages > 1
            continue
        if key == "cleaning_levels":  # published ones by touch, the department's own by file
            assert isinstance(view, ListView)
            assert "by file" in view.help
            assert any(isinstance(row.send, c.DraftRule) for row in view.rows)
            continue
        assert isinstance(view, MenuView)
        by_touch = key in OPTIONS or key in SOME_OF
        assert bool(view.keys) == by_touch
        assert view.lines[0] == sentence(resources.words(), key, plain_values(shift.session.desk.policy)[key])
        assert ("by file" in view.lines[-1]) != by_touch


def test_each_choice_of_a_key_can_be_taken_and_the_one_that_holds_is_marked() -> None:
    shift = at_desk()
    for key, options in OPTIONS.items():
        for option in options:
            shift.must(c.DraftRule(key=key, value=json.dumps(option)), c.Turn(page=c.Page.RULE, subject=key))
            view = shift.session.view()
            assert isinstance(view, MenuView)
            assert [each.name for each in view.keys if each.kind == "main"] == [f"option {option}"]
