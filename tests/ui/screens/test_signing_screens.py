"""The pages of signing in, made by the rules of a department of long names: whole at every size, in every language."""

from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from kiosk import resources
from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.catalogue import Load
from kiosk.core.commands import Page
from kiosk.core.meaning import Kind
from kiosk.core.stamp import Kept, Stamp
from kiosk.core.tries import STOP_AFTER, TRIES
from kiosk.core.views import View
from kiosk.ui.audit import violations
from kiosk.ui.parts.glass import Glass, new_glass
from kiosk.ui.parts.keys import KeyButton
from kiosk.ui.screens.finding import FindingScreen
from kiosk.ui.theme import BENCH
from kiosk.ui.window import Window
from tests.core.department import EAR, PIN, Shift, at_work, scan
from tests.core.department import desk as small_desk
from tests.core.test_tries import wrong
from tests.paper.crowded import department
from tests.ui.samples import PANELS, Clock

LONG = "Wilhelmina Featherstonehaugh-Montealegre"
BADGE = "7031226-0000-1111-222233"


def empty() -> Shift:
    desk = small_desk()
    return Shift(desk=replace(desk, catalogue=replace(desk.catalogue, people={})))


def begun_name() -> Shift:
    shift = empty()
    shift.must(c.BeginDepartment(name=LONG))
    return shift


def begun_badge() -> Shift:
    shift = begun_name()
    shift.must(scan(BADGE, Kind.UNKNOWN))
    return shift


def too_short() -> Shift:
    shift = begun_badge()
    shift.send(c.BeginDepartment(name=LONG, badge=BADGE, pin="12", salt="0a" * 16))
    return shift


def first_in() -> Shift:
    shift = begun_badge()
    shift.must(c.BeginDepartment(name=LONG, badge=BADGE, pin="314159", salt="0a" * 16))
    return shift


def crowded() -> Shift:
    plain = small_desk()
    return Shift(desk=replace(plain, catalogue=department(plain.catalogue)))


def locked() -> Shift:
    """A tray of a long name lies open, and the bench was locked by quiet."""
    shift = crowded()
    shift.sign_in("T1")
    shift.must(scan("TR-2000"), c.Turn(), c.SignOut(idle=True))
    return shift


def which_tray() -> Shift:
    shift = locked()
    shift.must(c.Turn(page=Page.UNSIGNED))
    return shift


def what_was_seen() -> Shift:
    shift = locked()
    shift.must(c.Turn(page=Page.UNSIGNED, subject=shift.trip.id))
    return shift


def noted() -> Shift:
    shift = locked()
    shift.must(c.NoteUnsigned(trip=shift.trip.id, code="red_mark"))
    return shift


def to_take_on() -> Shift:
    shift = noted()
    shift.must(c.EnterPin(person="T1", pin=PIN))
    assert shift.step.kind == "unsigned"
    return shift


def tried(times: int) -> Shift:
    """So many wrong PINs, then the right one, which is not taken."""
    shift = crowded()
    wrong(shift, "T1", times)
    shift.send(c.EnterPin(person="T1", pin=PIN))
    shift.session.turn = c.Turn(page=Page.PIN, subject="T1")
    return shift


def waiting() -> Shift:
    return tried(TRIES)


def stopped() -> Shift:
    return tried(STOP_AFTER)


def to_forgive() -> Shift:
    shift = stopped()
    shift.must(c.EnterPin(person="S1", pin=PIN), c.LendBadge(person="T1", badge=BADGE))
    return shift


def forgiven() -> Shift:
    shift = to_forgive()
    shift.must(c.ForgiveTries(person="T1"))
    return shift


def unheeded() -> Shift:
    shift = crowded()
    stamp = Stamp(at_ms=shift.at_ms, offset_min=0, trusted=True, who="T1", trip=None, policy=1, record=1)
    kept: list[e.Event] = [
        e.LoadRecordKept(load=Load(id="W-310304-0001", released=True)),
        e.DayBadgeLent(person="T2", badge=BADGE, until_ms=shift.at_ms + 3_600_000),
    ]
    shift.session.hear("B2", [Kept(event=event, stamp=stamp) for event in kept])
    shift.must(c.EnterPin(person="S1", pin=PIN), c.Turn(page=Page.NEEDS))
    return shift


def not_theirs() -> Shift:
    shift = at_work(EAR)
    shift.send(c.WithdrawLoad(load="W-1", why="machine"))
    return shift


TOLD: dict[str, Callable[[], Shift]] = {
    "begin_name": empty,
    "begin_badge": begun_name,
    "begin_pin": begun_badge,
    "begin_pin_short": too_short,
    "begin_done": first_in,
    "locked": locked,
    "which_tray": which_tray,
    "what_was_seen": what_was_seen,
    "noted": noted,
    "take_on": to_take_on,
    "pin_waits": waiting,
    "pin_stopped": stopped,
    "person_to_forgive": to_forgive,
    "person_forgiven": forgiven,
    "needs_unheeded": unheeded,
    "not_theirs": not_theirs,
}


def shown(told: str, panel: str, language: str) -> tuple[Window, Glass, View]:
    """The page on a panel, in a language."""
    size, density = PANELS[panel]
    clock = Clock()
    glass = new_glass(size, density, BENCH, clock)
    shift = TOLD[told]()
    shift.session.tongues = resources.tongues()
    if shift.bench.who:
        turn, notice = shift.session.turn, shift.session.notice
        shift.session.notice = None
        shift.must(c.ChooseSetting(key="language", value=language))
        shift.session.turn, shift.session.notice = turn, notice
    shift.session.language = language
    window = Window(glass, wall_ms=lambda: shift.at_ms, clock_text=lambda: "14:07")
    window.clock_timer.stop()
    window.resize(*size)
    window.show()
    shift.session.small = window.small
    view = shift.session.view()
    window.show_view(view)
    clock.now += 2_000
    return window, glass, view


def test_the_first_supervisor_is_made_by_touch_and_scan_alone(qapp: QApplication) -> None:
    """Letters and digits by the keys of the glass, the badge by the scanner's text; the number typed twice."""
    shift = empty()
    window = Window(
        new_glass(*PANELS["10.1 in"], BENCH, clock := Clock()), wall_ms=lambda: shift.at_ms, clock_text=lambda: "14:07"
    )
    window.clock_timer.stop()
    window.resize(*PANELS["10.1 in"][0])
    window.show()
    sent: list[c.Send] = []
    window.sent.connect(sent.append)

    def show() -> None:
        shift.session.small = window.small
        window.show_view(shift.session.view())
        clock.now += 2_000

    def touch(*names: str) -> None:
        for name in names:
            keys = window.current.findChildren(KeyButton) if window.current else []
            key = next(key for key in keys if name in (key.objectName(), key.label) and key.isVisible())
            clock.now += 1_000
            QTest.mousePress(key, Qt.MouseButton.LeftButton)
            clock.now += 100
            QTest.mouseRelease(key, Qt.MouseButton.LeftButton)

    show()
    touch("letter I", "letter N", "letter E", "letter S", "done")
    shift.must(*sent)
    show()
    shift.must(scan(BADGE, Kind.UNKNOWN))
    show()
    sent.clear()
    for number in ("314159", "314158", "314159", "314159"):  # not alike: both are typed again
        touch(*(f"digit {digit}" for digit in number), "done")
    (begin,) = sent
    assert isinstance(begin, c.BeginDepartment)
    assert (begin.name, begin.badge, begin.pin, len(begin.salt)) == ("Ines", BADGE, "314159", 32)
    shift.must(begin)
    assert shift.bench.who == "P1-1"
    window.close()


def touched_once() -> tuple[Window, Shift]:
    """A NO opened the page of what and where, and the first of its two touches was made; then the bench was locked."""
    size, density = PANELS["15.6 in"]
    shift = at_work(EAR)
    window = Window(new_glass(size, density, BENCH, Clock()), wall_ms=lambda: shift.at_ms, clock_text=lambda: "14:07")
    window.clock_timer.stop()
    window.resize(*size)
    window.show()
    shift.yes_until("A1.bore.swab")
    shift.must(c.Answer(piece="A1", key="bore.swab", yes=False))
    window.show_view(shift.session.view())
    screen = window.current
    assert isinstance(screen, FindingScreen)
    screen._on_choice(next(each for each in screen._view.choices if each.code == "red_mark"))  # type: ignore[union-attr]
    assert chosen(window) == "red_mark"
    shift.must(c.SignOut(idle=True))
    window.show_view(shift.session.view())
    return window, shift


def chosen(window: Window) -> str:
    screen = window.current
    assert isinstance(screen, FindingScreen)
    return screen._choice.code if screen._choice else ""


def test_a_lock_between_the_two_touches_of_a_finding_takes_the_first_one_not_away(qapp: QApplication) -> None:
    window, shift = touched_once()
    window.show_view(pin_page(shift, "T1"))
    shift.must(c.EnterPin(person="T1", pin=PIN))
    window.show_view(shift.session.view())
    assert chosen(window) == "red_mark"
    window.close()


def test_another_page_between_them_begins_anew_as_ever(qapp: QApplication) -> None:
    window, shift = touched_once()
    shift.must(c.EnterPin(person="T1", pin=PIN))
    finding = shift.session.view()
    shift.must(c.Turn(page=Page.SOIL))
    window.show_view(shift.session.view())
    window.show_view(finding)
    assert chosen(window) == ""
    window.close()


def pin_page(shift: Shift, who: str) -> View:
    shift.must(c.Turn(page=Page.PIN, subject=who))
    return shift.session.view()


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("panel", PANELS)
@pytest.mark.parametrize("told", TOLD)
def test_every_page_of_signing_in_stands_whole(qapp: QApplication, told: str, panel: str, language: str) -> None:
    window, glass, view = shown(told, panel, language)
    assert window.current is not None
    wrong_lines = violations(window.current, glass)
    window.close()
    assert wrong_lines == []
    assert view.hand.aid  # first aid is on every one of them
