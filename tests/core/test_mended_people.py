"""Signing in and what surrounds the work: PINs that did not match, first aid, stopping and wiping on every page."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.commands import Page
from kiosk.core.past.counters import summary
from kiosk.core.place import Place
from kiosk.core.shift import shift_of
from kiosk.core.stamp import local_time
from kiosk.core.tries import LONGEST_WAIT_S, TRIES, WAIT_S
from kiosk.core.viewing import _STEPS, Glance, view
from kiosk.core.views import View
from tests.core.department import BIG, EAR, HOLD, LATE, PIN, PLAIN, Shift, at_work, names, scan
from tests.core.short import short
from tests.core.test_loads import packed
from tests.core.test_loaner import LOAN, NO_IFU, opened


def wrong(shift: Shift, *, ruling: bool = False) -> list[e.Event]:
    return shift.send(c.EnterPin(person="S1", pin="0000", ruling=ruling))


def waited(shift: Shift, *, ruling: bool = False) -> int:
    """Seconds to wait, as the refusal says them."""
    assert wrong(shift, ruling=ruling) == []
    assert shift.refused == "refused.too_many_tries"
    assert shift.session.notice is not None
    return int(shift.session.notice[1]["seconds"])


@pytest.mark.parametrize("ruling", [False, True])
def test_five_wrong_pins_make_a_wait_that_doubles_up_to_a_quarter_of_an_hour(ruling: bool) -> None:
    """30 s and 15 min: a choice, no published figure for a bench."""
    shift = at_work(EAR) if ruling else Shift()
    shift.pace_ms = 0
    for _ in range(TRIES - 1):
        assert names(wrong(shift, ruling=ruling)) == ["sign_in_refused"]
    waits = []
    for _ in range(7):
        assert names(wrong(shift, ruling=ruling)) == ["sign_in_refused"]
        waits.append(waited(shift, ruling=ruling))
        shift.at_ms += waits[-1] * 1000 - 1
        assert waited(shift, ruling=ruling) == 1
        shift.at_ms += 1
    assert waits == [30, 60, 120, 240, 480, 900, 900]
    assert (waits[0], waits[-1]) == (WAIT_S, LONGEST_WAIT_S)
    assert names(shift.must(c.EnterPin(person="S1", pin=PIN))) == (["paused", "signed_in"] if ruling else ["signed_in"])


def test_after_the_wait_a_supervisors_right_pin_opens_the_ruling() -> None:
    shift = at_work(EAR)
    for _ in range(TRIES):
        wrong(shift, ruling=True)
    shift.send(c.EnterPin(person="S1", pin=PIN, ruling=True))
    assert shift.refused == "refused.too_many_tries"
    shift.minutes(0.5)
    shift.must(c.EnterPin(person="S1", pin=PIN, ruling=True))
    assert shift.session.turn == c.Turn(page=Page.RULING, subject="S1")


def test_a_wait_holds_one_person_and_nobody_else() -> None:
    shift = Shift()
    for _ in range(TRIES):
        wrong(shift)
    assert names(shift.must(c.EnterPin(person="T1", pin=PIN))) == ["signed_in"]


def test_a_clock_that_was_set_back_locks_nobody_out() -> None:
    shift = Shift()
    for _ in range(TRIES):
        wrong(shift)
    shift.minutes(-24 * 60)
    assert names(shift.must(c.EnterPin(person="S1", pin=PIN))) == ["signed_in"]


def exposures(shift: Shift) -> int:
    shifts = shift.desk.policy.shifts
    return summary(shift.log, shift_of(local_time(shift.at_ms, 0), shifts), shift.desk.policy)["exposures"]


def test_first_aid_is_recorded_without_person_and_without_tray() -> None:
    shift = at_work(EAR)
    length = len(shift.log)
    shift.must(c.FirstAid(), c.FirstAidDone())
    kept = shift.log[length:]
    assert names([one.event for one in kept]) == ["first_aid_begun", "exposure_noted", "lead_told", "signed_out"]
    assert {(one.stamp.who, one.stamp.trip) for one in kept} == {(None, None)}
    assert exposures(shift) == 1


def test_first_aid_touched_by_mistake_counts_no_exposure() -> None:
    shift = at_work(EAR)
    shift.must(c.FirstAid())
    length = len(shift.log)
    assert names(shift.must(c.FirstAidDone(mistake=True))) == ["first_aid_left"]
    assert shift.log[length].stamp.who is None
    assert exposures(shift) == 0
    assert shift.step.kind == "check"


def before_the_start() -> Shift:
    shift = Shift()
    shift.must(c.EnterPin(person="T1", pin=PIN))
    return shift


def decontam_in() -> Shift:
    shift = Shift()
    shift.must(c.EnterPin(person="D1", pin=PIN))
    return shift


def unrecorded() -> Shift:
    shift = at_work(EAR, verify_where="both")
    shift.yes_until("")
    return shift


def signed_in(tray: str = "") -> Shift:
    shift = Shift()
    shift.sign_in()
    if tray:
        shift.open(tray)
        shift.must(c.Turn())
    return shift


def many_kept() -> Shift:
    shift = signed_in()
    for tray in ("TR-1", "TR-2", "TR-3", "TR-4"):
        shift.open(tray)
        shift.must(c.StopHere(reason="break"))
    return shift


def found(code: str, at: str, what: str = "") -> Shift:
    shift = at_work(EAR)
    shift.yes_until(at)
    shift.no(code, Place(landmark="shaft"))
    if what:
        shift.confirm(what)
    return shift


def asked() -> Shift:
    shift = at_work(EAR)
    shift.must(c.Answer(piece="tray", key="basket", yes=False))
    return shift


def gloves() -> Shift:
    shift = found("bone_grit", "A1.bore.swab", "item_back")
    shift.must(c.StepDone(step="bench"))
    return shift


def papers() -> Shift:
    shift = packing()
    shift.pack()
    shift.print_all()
    return shift


def packing() -> Shift:
    shift = at_work(EAR)
    shift.yes_to_all()
    return shift


def scope_due() -> Shift:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.scope")
    shift.yes()
    return shift


def waiting() -> Shift:
    shift = found("bone_grit", "A1.bore.swab", "item_back")
    shift.tidy()
    shift.yes_to_all()
    return shift


def unreached() -> Shift:
    shift = at_work(HOLD)
    shift.yes_until("A4.look")
    shift.yes()
    return shift


def resuming() -> Shift:
    shift = at_work(BIG)
    shift.must(c.StopHere(reason="break"))
    shift.minutes(31)
    shift.send(scan(BIG))
    return shift


def asking_the_scope_back() -> Shift:
    shift = signed_in()
    shift.session.turn = c.Turn(page=Page.SCOPE_BACK, subject="SC-1")
    return shift


def weighed(times: int) -> Shift:
    """Over the limit: once asks for the unit, twice stops."""
    shift = at_work(BIG)
    shift.yes_to_all()
    shift.must(*(times * [c.Weigh(value="12", unit="kg")]))
    return shift


def special() -> Shift:
    shift = at_work(EAR)
    shift.must(c.SuspectPathogen())
    return shift


def differing(have: int) -> Shift:
    """Counted: `have` forceps of four."""
    shift = signed_in(PLAIN)
    shift.must(c.CountLine(line="Forceps", have=have), c.CountDiffers())
    return shift


def to_be_signed_for() -> Shift:
    shift = short(missing_rule="pack_short_by_supervisor")
    give = c.GiveOverride(by="S1", what="missing_pack_short", subjects=("Forceps",), reason="not_found", phone=True)
    shift.must(give, c.NoSecondHere(), c.SignOut(), c.EnterPin(person="S1", pin=PIN))
    return shift


def splashed() -> Shift:
    shift = at_work(EAR)
    shift.must(c.FirstAid(), c.FirstAidDone(), c.EnterPin(person="T2", pin=PIN))
    return shift


def cut() -> Shift:
    shift = splashed()
    shift.must(c.ClearExposure(kind="sharps"))
    return shift


def counted() -> Shift:
    shift = opened(LOAN)
    shift.count()
    return shift


def named_by_the_stop_list() -> Shift:
    shift = Shift()
    shift.must(c.EnterPin(person="S1", pin=PIN), c.StopList(notice="R-31", types=("fine_suction",)), c.SignOut())
    shift.sign_in()
    shift.open(EAR)
    return shift


def load_bad() -> Shift:
    other = packed()
    other.must(c.SignOut(), c.EnterPin(person="S1", pin=PIN), c.WithdrawLoad(load="W-1", why="machine"))
    shift = at_work(EAR)
    shift.session.hear("B2", other.log)
    return shift


def noted_unsigned() -> Shift:
    shift = at_work(EAR)
    shift.must(c.SignOut(idle=True), c.NoteUnsigned(trip=shift.trip.id, code="red_mark"))
    shift.must(c.EnterPin(person="T1", pin=PIN))
    return shift


ASKING: list[tuple[str, Callable[[], Shift]]] = [
    ("startup", before_the_start),
    ("cosign", to_be_signed_for),
    ("scan", signed_in),
    ("scan", many_kept),
    ("load", lambda: signed_in(LATE)),
    ("count", lambda: signed_in(EAR)),
    ("search", lambda: differing(3)),
    ("whose", lambda: differing(5)),
    ("finding", asked),
    ("decide", lambda: found("bone_grit", "A1.bore.swab")),
    ("put_right", lambda: found("fiber", "A1.look")),
    ("put_right", lambda: found("clear_drops", "A1.bore.dry")),
    ("bench", lambda: found("bone_grit", "A1.bore.swab", "item_back")),
    ("bench", lambda: found("red_mark", "A1.bore.swab", "tray_back")),
    ("gloves", gloves),
    ("readable", papers),
    ("scope", scope_due),
    ("check", lambda: at_work(EAR)),
    ("plan_hold", unreached),
    ("dirty_absent", unrecorded),
    ("intake", decontam_in),
    ("shelf", waiting),
    ("pack", packing),
    ("special", special),
    ("broken", lambda: found("part_broken_off", "A1.look", "quarantine")),
    ("unit", lambda: weighed(1)),
    ("too_heavy", lambda: weighed(2)),
    ("exposed", splashed),
    ("sharp", cut),
    ("no_ifu", lambda: opened(NO_IFU)),
    ("second_count", counted),
    ("load_bad", load_bad),
    ("unsigned", noted_unsigned),
    ("recalled", named_by_the_stop_list),
    ("scan", resuming),
    ("scan", asking_the_scope_back),
]
"""Every page that asks, by its step; the last two are laid over the scan page, and going back answers nothing."""

AWAY = (c.SignOut, c.StopHere, c.LetGo)


def sends(one: View) -> list[c.Send | None]:
    keys = (*one.hand.left, *one.hand.right, *getattr(one, "keys", ()))
    return [key.send for key in keys]


def stops(send: c.Send | None) -> bool:
    return isinstance(send, AWAY) or send in {c.Turn(page=Page.STOP), c.Turn()}


@pytest.mark.parametrize("small", [True, False])
@pytest.mark.parametrize(("kind", "tell"), ASKING, ids=[f"{n} {kind}" for n, (kind, _) in enumerate(ASKING)])
def test_every_page_that_asks_can_be_left_and_the_screen_wiped(
    kind: str, tell: Callable[[], Shift], small: bool
) -> None:
    shift = tell()
    assert shift.step.kind == kind
    glance = replace(shift.session.glance(), small=small)
    keys = sends(view(glance))
    assert any(stops(send) for send in keys)
    if small and c.Turn(page=Page.STOP) in keys:
        keys += sends(view(replace(glance, turn=c.Turn(page=Page.STOP))))
    assert c.Turn(page=Page.WIPE) in keys


def test_the_table_of_asking_pages_has_every_step_but_first_aid_signing_in_and_printing() -> None:
    assert {kind for kind, _ in ASKING} == set(_STEPS) - {"first_aid", "begin", "sign_in", "print", "print_failed"}


def test_somebody_who_is_not_signed_in_can_wipe_the_screen() -> None:
    shift = Shift()
    assert isinstance(shift.session.glance(), Glance)
    assert c.Turn(page=Page.WIPE) in sends(shift.session.view())
