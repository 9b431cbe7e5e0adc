"""Each counter of the shift summary, on the smallest log that moves it."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from kiosk.core import commands as c
from kiosk.core.dispositions import dispositions
from kiosk.core.past.counters import COUNTERS, summary
from kiosk.core.place import Place
from kiosk.core.shift import shift_of
from kiosk.core.stamp import local_time
from kiosk.core.vocabulary import Disposition
from tests.core.department import BIG, EAR, PIN, PLAIN, Shift, at_work, desk, forceps_short, scan


def counted(shift: Shift) -> dict[str, int]:
    """The counters of the shift that the log begins in."""
    shifts = shift.desk.policy.shifts
    first = shift.log[0].stamp
    return summary(shift.log, shift_of(local_time(first.at_ms, 0), shifts), shift.desk.policy)


def found(code: str, at: str, what: str, tray: str = EAR) -> Shift:
    """A tray with one finding, decided, the bench tidy again."""
    shift = at_work(tray)
    shift.yes_until(at)
    shift.no(code, Place(lumen="bore", at_mm=10) if "bore" in at else Place(landmark="shaft"))
    shift.confirm(what)
    shift.tidy()
    return shift


def packed(tray: str = PLAIN, *, readable: bool = True, by_hand: bool = False) -> Shift:
    shift = at_work(tray)
    shift.yes_to_all()
    shift.pack()
    if by_hand:
        shift.print_all(why="off")
        shift.must(c.WriteByHand())
        return shift
    shift.print_all()
    shift.must(c.Readable(yes=readable))
    if not readable:
        shift.print_all()
        shift.must(c.Readable(yes=True))
    return shift


def dried(times: int = 1) -> Shift:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.dry")
    for _ in range(times):
        shift.no("clear_drops")
        shift.must(c.StepDone(step="put_right"))
    shift.yes_to_all()
    return shift


def fixed() -> Shift:
    shift = at_work(EAR)
    shift.yes_until("A1.look")
    shift.no("fiber", Place(landmark="shaft"))
    shift.must(c.StepDone(step="put_right"))
    shift.yes_to_all()
    return shift


def replaced() -> Shift:
    shift = found("bone_grit", "A1.bore.swab", "item_back")
    shift.must(c.RuleSubstitute(by="S1", piece="A1", spare="X1"))
    return shift


def quarantined() -> Shift:
    shift = found("swab_left", "A1.bore.swab", "quarantine")
    shift.must(c.RuleQuarantine(by="S1", piece="A1", note="n"))
    return shift


def corrected() -> Shift:
    shift = at_work(EAR)
    shift.yes()
    shift.must(c.TakeBack())
    return shift


def not_seen() -> Shift:
    """Without scopes and light nobody looks through a bent tube."""
    shift = Shift()
    shift.must(c.EnterPin(person="T1", pin=PIN))
    while shift.step.kind == "startup":
        shift.must(c.AnswerStartup(question=shift.step.question, yes=not shift.step.question.startswith("scope")))
    shift.open(EAR)
    shift.count()
    shift.yes_to_all()
    return shift


def hurt() -> Shift:
    shift = Shift()
    shift.sign_in()
    shift.must(c.FirstAid(), c.FirstAidDone())
    return shift


def wrong() -> Shift:
    shift = Shift()
    shift.sign_in()
    shift.must(scan("no such tray"))
    return shift


def soiled(times: int) -> Shift:
    """The same piece is found soiled on so many trips; each time the whole tray goes back."""
    shift = found("bone_grit", "A1.bore.swab", "tray_back")
    for _ in range(times - 1):
        shift.open(EAR)
        shift.count()
        shift.yes_until("A1.bore.swab")
        shift.no("bone_grit", Place(lumen="bore", at_mm=10))
        shift.confirm("tray_back" if shift.step.kind == "decide" else "quarantine")
        shift.tidy()
    return shift


def second_return() -> Shift:
    return soiled(2)


def of_one_load(times: int) -> Shift:
    """So many trays of one washer load, each with a soiled piece; each goes back as a whole."""
    around = desk()
    alike = {f"TR-2{n}": replace(around.catalogue.trays[EAR], code=f"TR-2{n}") for n in range(times)}
    load = replace(around.catalogue.loads["W-1"], trays=tuple(alike))
    catalogue = replace(around.catalogue, trays={**around.catalogue.trays, **alike}, loads={"W-1": load})
    shift = Shift(desk=replace(around, catalogue=catalogue))
    shift.sign_in()
    for code in alike:
        shift.open(code)
        shift.count()
        shift.yes_until("A1.bore.swab")
        shift.no("bone_grit", Place(lumen="bore", at_mm=10))
        shift.confirm("tray_back")
        shift.tidy()
    return shift


def soiled_load() -> Shift:
    return of_one_load(3)


def by_hand() -> Shift:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.swab")
    shift.no("bone_grit", Place(lumen="bore", at_mm=10))
    shift.confirm("item_back")
    while shift.step.kind in {"bench", "gloves"}:
        shift.must(c.StepDone(step=shift.step.kind))
    shift.print_all(why="off")
    shift.must(c.WriteByHand())
    return shift


SMALL: list[tuple[str, int, Callable[[], Shift]]] = [
    ("trays_opened", 1, lambda: at_work(PLAIN)),
    ("trays_packed", 1, packed),
    ("trays_packed_short", 0, packed),
    ("trays_back", 1, lambda: found("red_mark", "A1.bore.swab", "tray_back")),
    ("trays_open_at_end", 1, lambda: at_work(PLAIN)),
    ("trays_open_at_end", 0, packed),
    ("pieces_checked", 3, lambda: packed(EAR)),
    ("pieces_checked", 1, lambda: found("bone_grit", "A1.bore.swab", "item_back")),
    ("lumens_checked", 3, lambda: packed(EAR)),
    ("lumens_checked", 3, lambda: packed(BIG)),
    ("lumens_not_seen", 0, lambda: packed(EAR)),
    ("lumens_not_seen", 3, not_seen),
    ("items_back", 1, lambda: found("bone_grit", "A1.bore.swab", "item_back")),
    ("soil", 1, lambda: found("bone_grit", "A1.bore.swab", "item_back")),
    ("foreign", 1, lambda: found("bristle", "A1.bore.swab", "item_back")),
    ("wet", 1, dried),
    ("wet", 1, lambda: dried(2)),
    ("blocked", 1, lambda: found("wont_pass", "A1.bore.swab", "item_back")),
    ("damage", 1, lambda: found("crack", "A1.look", "repair")),
    ("identity", 1, forceps_short),
    ("dried_again", 1, dried),
    ("dried_again", 1, lambda: dried(2)),
    ("bench_fixed", 1, fixed),
    ("dried_again", 0, fixed),
    ("repairs", 1, lambda: found("crack", "A1.look", "repair")),
    ("quarantined", 1, quarantined),
    ("quarantined", 0, lambda: found("swab_left", "A1.bore.swab", "quarantine")),
    ("replaced", 1, replaced),
    ("second_looks", 1, lambda: found("discolored", "A1.bore.scope", "second_look")),
    ("holds_placed", 1, forceps_short),
    ("holds_open", 1, forceps_short),
    ("tickets", 1, lambda: found("bone_grit", "A1.bore.swab", "item_back")),
    ("tickets", 1, lambda: found("red_mark", "A1.bore.swab", "tray_back")),
    ("tickets_waiting", 1, lambda: found("bone_grit", "A1.bore.swab", "item_back")),
    ("copies", 1, lambda: packed(readable=False)),
    ("copies", 0, packed),
    ("bench_full", 1, lambda: found("red_mark", "A1.bore.swab", "tray_back")),
    ("bench_wipe", 1, lambda: found("bone_grit", "A1.bore.swab", "item_back")),
    ("scope_cleans", 3, lambda: packed(EAR)),
    ("scope_out_of_use", 1, lambda: found("brown_film", "A1.bore.scope", "item_back")),
    ("exposures", 1, hurt),
    ("wrong_scans", 1, wrong),
    ("corrections", 1, corrected),
    ("labels_voided", 1, lambda: packed(readable=False)),
    ("handwritten_tickets", 1, by_hand),
    ("handwritten_tickets", 0, lambda: packed(by_hand=True)),
    ("discarded", 0, quarantined),
    ("rush", 0, packed),
    ("repeat_items", 0, lambda: found("bone_grit", "A1.bore.swab", "item_back")),
    ("repeat_items", 1, second_return),
    ("offline_minutes", 0, packed),
    ("trays_reopened", 0, packed),
    ("load_alerts", 0, lambda: found("bone_grit", "A1.bore.swab", "item_back")),
    ("load_alerts", 1, soiled_load),
    ("sync_conflicts", 0, packed),
    ("overrides", 0, quarantined),
    ("overrides_refused", 0, quarantined),
]


@pytest.mark.parametrize(("name", "wanted", "tell"), SMALL, ids=[f"{name} {n}" for name, n, _ in SMALL])
def test_a_counter_says_what_its_definition_says(name: str, wanted: int, tell: Callable[[], Shift]) -> None:
    assert counted(tell())[name] == wanted


def test_every_counter_has_its_small_log() -> None:
    assert {name for name, _, _ in SMALL} == set(COUNTERS)


def test_a_quiet_shift_counts_nothing() -> None:
    shift = Shift()
    shift.sign_in()
    assert counted(shift) == dict.fromkeys(COUNTERS, 0)


def test_what_happens_in_the_next_shift_is_not_counted_in_this_one() -> None:
    shift = packed()
    shift.must(c.SignOut())
    shift.minutes(8 * 60)
    shift.sign_in("T2")
    shift.open(PLAIN)
    assert counted(shift)["trays_opened"] == 1


def test_what_became_of_each_piece_is_told_by_name() -> None:
    shift = found("bone_grit", "A1.bore.swab", "item_back")
    shift.yes_to_all()
    assert dispositions(shift.trip) == {
        EAR: Disposition.HOLD, "A1": Disposition.ITEM_BACK, "A2#1": Disposition.PACK, "A2#2": Disposition.PACK,
    }  # fmt: skip


def test_every_counter_is_recounted_beside_the_program_by_plain_sql() -> None:
    """The SQL of the played day, or of the told days, names each; minutes offline are told by no station yet."""
    day = (Path(__file__).parents[1] / "day" / "recount.sql").read_text("utf-8")
    named = {name for name in COUNTERS if f"'{name}'" in day or name.startswith("bench_")}
    by_group = {"soil", "foreign", "wet", "blocked", "damage", "identity"}
    assert set(COUNTERS) - named - by_group == {"offline_minutes"}
