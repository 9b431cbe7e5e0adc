"""Who may do what: every command against every role, and every refused try kept.

What each role may do is written down here once more, from what the department's people do (job and policy), so that a
slip in the table is seen.
"""

from dataclasses import MISSING, fields, replace
from typing import Any, get_args

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.catalogue import Person
from kiosk.core.decide import _RULES
from kiosk.core.meaning import Kind, Meaning
from kiosk.core.place import Place
from kiosk.core.roles import GIVEN, SENT, name_of
from kiosk.core.vocabulary import Role
from tests.core.department import EAR, PIN, Shift, at_work, people, scan
from tests.core.department import desk as small_desk

COMMANDS: tuple[type, ...] = get_args(c.Command)
OF_SOMEBODY = tuple(kind for kind in COMMANDS if kind not in {c.EnterPin, c.BeginDepartment, c.NoteUnsigned})
"""What is sent by somebody who is signed in; the other three have tests of their own."""

SUPERVISORS_ONLY = {
    "keep_person", "lend_badge", "forgive_tries", "draft_rule", "drop_draft", "sign_policy", "keep_tray", "keep_item",
    "keep_kit", "keep_load", "stop_list", "stop_list_mark", "lift_stop", "set_lot_aside", "withdraw_load", "mark_rush",
    "tell_not_before", "cosign", "rule_conflict", "see_incarnation", "stop_list_lot", "stop_withdraw",
}  # fmt: skip
AT_THE_DESK = {"run_lookback", "draw_audit", "issue_forms", "say_clock_right", "end_reading_set", "agree_reference"}
NEVER_DECONTAM = {
    "count_line", "count_all", "count_again", "answer", "report_finding", "take_back", "weigh", "place_indicators",
    "choose_packaging", "pack_and_print", "open_piece", "hand_over", "reopen", "give_override", "take_over",
    "rule_quarantine", "rule_substitute", "rule_discard", "take_on_unsigned", "return_loaner",
}  # fmt: skip
NEVER_VISITORS = NEVER_DECONTAM | {"answer_ticket", "check_dirty", "send_back_clean", "scope_back", "open_swab_lot"}
"""Infection prevention signs the policy and looks as a second person; it works at no bench."""
FOR_ALL = {
    "first_aid", "first_aid_done", "sign_out", "stop_all", "mark_hit", "clear_exposure", "choose_setting",
    "begin_reading", "read_picture",
}  # fmt: skip
RULED_BY_SUPERVISORS = {
    "rule_quarantine", "rule_substitute", "rule_load", "rule_extra", "rule_mixed", "rule_exchanged", "rule_discard",
    "rule_others", "rule_pathogen", "rule_size", "correct_size", "rule_exposed", "rule_retagged", "rule_split",
    "rule_ifu",
}  # fmt: skip


def allowed(name: str, role: Role) -> bool:
    if name in SUPERVISORS_ONLY:
        return role is Role.SUPERVISOR
    if name in AT_THE_DESK:
        return role in {Role.SUPERVISOR, Role.EDUCATOR}
    if role is Role.DECONTAM:
        return name not in NEVER_DECONTAM
    return role is not Role.INFECTION_PREVENTION or name not in NEVER_VISITORS


def anyone(role: Role) -> Person:
    return Person(id=f"R-{role}", name=f"Person {role}", role=role, badge=f"R-{role}", pin_hash=people()["T1"].pin_hash)


def of_every_role() -> Shift:
    desk = small_desk()
    everybody = {one.id: one for one in (*map(anyone, Role), replace(anyone(Role.EDUCATOR), id="E2", badge="E2"))}
    everybody["I2"] = replace(anyone(Role.INFECTION_PREVENTION), id="I2", badge="I2")
    return Shift(desk=replace(desk, catalogue=replace(desk.catalogue, people={**people(), **everybody})))


_FILLED: dict[str, Any] = {
    "meaning": Meaning(kind=Kind.UNKNOWN, text="?"), "place": Place(), "last_alive_ms": None, "pieces": (),
    "subjects": (), "places": (), "lines": (), "yes": False, "hit": False, "taken_out": False, "soil": False,
    "answered": False, "released": False,
}  # fmt: skip
_NUMBERS = {"have", "by_mm", "minutes", "count", "copy", "n", "many", "parts", "used", "refilled", "at"}


def made(kind: type, **more: Any) -> Any:
    """A command with something in every field that must be filled."""
    values = {f.name: _FILLED.get(f.name, 0 if f.name in _NUMBERS else "x") for f in fields(kind) if _needed(f)}
    return kind(**{**values, **{key: value for key, value in more.items() if key in {f.name for f in fields(kind)}}})


def _needed(field: Any) -> bool:
    return field.default is MISSING and field.default_factory is MISSING


def tries(events: list[e.Event]) -> list[e.TryRefused]:
    return [event for event in events if isinstance(event, e.TryRefused)]


def test_the_table_knows_every_command_and_nothing_else() -> None:
    assert set(SENT) == set(COMMANDS)
    assert set(GIVEN) <= set(COMMANDS)
    assert set(_RULES) | {c.Confirm, c.StepDone} == set(COMMANDS)
    names = {name_of(made(kind)) for kind in COMMANDS}
    listed = SUPERVISORS_ONLY | AT_THE_DESK | NEVER_VISITORS | FOR_ALL | RULED_BY_SUPERVISORS
    assert listed <= names


@pytest.mark.parametrize("role", Role)
@pytest.mark.parametrize("kind", OF_SOMEBODY, ids=lambda kind: kind.__name__)
def test_every_command_of_every_role_is_taken_to_its_rule_or_refused_and_kept(kind: type, role: Role) -> None:
    shift = of_every_role()
    shift.must(c.EnterPin(person=f"R-{role}", pin=PIN))
    command = made(kind, by="R-supervisor")
    if kind in GIVEN:
        everybody = shift.desk.catalogue.people.values()
        command = made(kind, by=next(p.id for p in everybody if p.role in GIVEN[kind] and p.id != f"R-{role}"))
    name = name_of(command)
    kept = tries(shift.send(command))
    against = [one for one in kept if one.why == "role"]
    if name in FOR_ALL | SUPERVISORS_ONLY | AT_THE_DESK or (
        name in NEVER_VISITORS and role in {Role.DECONTAM, Role.INFECTION_PREVENTION}
    ):
        assert bool(against) is not allowed(name, role)
    if against:
        assert role not in SENT[kind] or name in {"print_report", "take_handover"}
        assert against == [e.TryRefused(person=f"R-{role}", what=name, why="role")]
        assert shift.log[-1].stamp.who == f"R-{role}"
        assert shift.refused
    else:
        assert role in SENT[kind]


@pytest.mark.parametrize("role", Role)
@pytest.mark.parametrize("kind", GIVEN, ids=lambda kind: kind.__name__)
def test_what_a_second_badge_signs_is_refused_to_the_wrong_one_and_the_try_is_kept_under_its_name(
    kind: type, role: Role
) -> None:
    shift = of_every_role()
    shift.must(c.EnterPin(person="S1", pin=PIN))
    command = made(kind, by=f"R-{role}")
    kept = [one for one in tries(shift.send(command)) if one.why in {"role", "cosigner"}]
    name = name_of(command)
    if name in RULED_BY_SUPERVISORS:
        assert bool(kept) is (role is not Role.SUPERVISOR)
    if name in {"take_second_look", "second_on_override", "second_count_done"}:
        assert bool(kept) is (role is Role.DECONTAM)
    if name == "sign_policy":
        assert bool(kept) is (role is not Role.INFECTION_PREVENTION)
    if name == "sign_competency":
        assert bool(kept) is (role is not Role.EDUCATOR)
    if name == "sign_beside":
        assert bool(kept) is (role in {Role.TRAINEE, Role.DECONTAM, Role.INFECTION_PREVENTION})
    assert bool(kept) is (role not in GIVEN[kind])
    assert [(one.person, one.what) for one in kept] in ([], [(f"R-{role}", name)])


def test_somebody_nobody_knows_signs_nothing() -> None:
    shift = at_work(EAR)
    for kind in GIVEN:
        shift.send(made(kind, by="nobody"))
        assert shift.refused


def test_a_refused_try_leaves_the_page_and_the_work_as_they_were() -> None:
    shift = at_work(EAR)
    before = shift.trip
    shift.must(c.Turn(page=c.Page.SOIL))
    assert tries(shift.send(c.WithdrawLoad(load="W-1", why="machine")))
    assert shift.session.turn == c.Turn(page=c.Page.SOIL)
    assert shift.trip == before
    assert shift.folded() == shift.bench


def test_a_try_on_ones_own_work_or_record_or_by_the_same_badge_is_kept_with_its_reason() -> None:
    shift = of_every_role()
    shift.must(c.EnterPin(person="S1", pin=PIN))
    assert tries(shift.send(c.KeepPerson(person="S1", may="no"))) == [
        e.TryRefused(person="S1", what="keep_person", why="own_record")
    ]
    while shift.step.kind == "startup":
        shift.must(c.AnswerStartup(question=shift.step.question, yes=True))
    shift.must(scan(EAR))
    while shift.step.kind == "startup":
        shift.must(c.AnswerStartup(question=shift.step.question, yes=True))
    if shift.bench.trip is None:
        shift.must(scan(EAR))
    shift.count()
    shift.yes()
    kept = tries(shift.send(c.RuleQuarantine(by="S1", piece="A1", note="")))
    assert kept == [e.TryRefused(person="S1", what="rule_quarantine", why="own_work")]


def test_somebody_who_may_not_sign_in_any_more_tries_and_it_is_kept() -> None:
    shift = of_every_role()
    shift.must(c.EnterPin(person="S1", pin=PIN), c.KeepPerson(person="T2", may="no"), c.SignOut())
    assert tries(shift.send(c.EnterPin(person="T2", pin=PIN))) == [
        e.TryRefused(person="T2", what="enter_pin", why="disabled")
    ]
    assert shift.bench.who is None
