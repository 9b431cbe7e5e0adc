"""Keys keep their places: whatever is chosen on a page, and whatever step the stop page is reached from."""

from dataclasses import replace

import pytest
from PySide6.QtCore import QRect
from PySide6.QtWidgets import QApplication

from kiosk.core import commands as c
from kiosk.core.views import Key, MenuView
from kiosk.ui.audit import records, violations
from kiosk.ui.parts.frame import ScreenFrame
from kiosk.ui.parts.keys import KeyButton
from kiosk.ui.window import Window
from tests.core.department import Shift, scan
from tests.ui.samples import PANELS, glass_of
from tests.ui.screens.long_names import LAPAROTOMY, department, in_spanish, open_tray, show, stand


def places(window: Window) -> dict[str, QRect]:
    """Every key of the page, by its name."""
    assert window.current is not None
    keys = [key for key in window.current.findChildren(KeyButton) if key.isVisibleTo(window.current)]
    return {key.objectName(): QRect(key.mapTo(window, key.rect().topLeft()), key.size()) for key in keys}


def stopped(shift: Shift) -> MenuView:
    shift.must(c.Turn(page=c.Page.STOP))
    view = shift.session.view()
    assert isinstance(view, MenuView)
    return view


@pytest.mark.parametrize("panel", PANELS)
def test_a_key_keeps_its_place_whether_or_not_it_is_chosen(qapp: QApplication, panel: str) -> None:
    shift = department()
    open_tray(shift, LAPAROTOMY)
    window, clock = stand(qapp, shift, panel)
    view = stopped(shift)
    keys = tuple(Key(label=f"Splash: {n}", name=f"pick {n}", send=c.Turn()) for n in range(5))
    seen = []
    for chosen in ((), (4,), (1, 4)):
        toggled = tuple(replace(key, kind="main" if n in chosen else "plain") for n, key in enumerate(keys))
        window.show_view(replace(view, keys=toggled, places=(), rows=0, lines=("Splash: eye",) * bool(chosen)))
        clock.now += 1_000
        seen.append(places(window))
    assert seen[0] == seen[1] == seen[2]
    window.close()


@pytest.mark.parametrize("panel", PANELS)
def test_the_stop_page_is_the_same_whatever_step_it_is_reached_from(qapp: QApplication, panel: str) -> None:
    shift = department()
    shift.sign_in()
    window, clock = stand(qapp, shift, panel)
    seen: list[dict[str, QRect]] = []
    open_steps = []
    shift.must(scan(LAPAROTOMY))
    for _ in range(3):  # at the count, at a check, at packing
        open_steps.append(shift.step.kind)
        stopped(shift)
        show(window, shift, clock)
        seen.append(places(window))
        assert window.current is not None
        assert violations(window.current, window.glass) == []
        shift.must(c.Turn())
        if shift.step.kind == "count":
            shift.count()
        elif shift.step.kind == "check":
            shift.yes_to_all()
    assert open_steps == ["count", "check", "pack"]
    for name in seen[0]:
        for other in seen[1:]:
            assert other.get(name, seen[0][name]) == seen[0][name], name
    assert len({rect.top() for rect in (seen[1]["stop break"], seen[1]["stop called_away"])}) == 1
    window.close()


@pytest.mark.parametrize("panel", PANELS)
def test_the_lines_of_the_stop_page_stand_whole_in_larger_letters(qapp: QApplication, panel: str) -> None:
    shift = department()
    open_tray(shift, LAPAROTOMY)
    in_spanish(shift)
    window, clock = stand(qapp, shift, panel)
    view = stopped(shift)
    show(window, shift, clock)
    assert window.current is not None
    assert set(view.lines) <= {each.text for each in records(window.current)}
    assert violations(window.current, window.glass) == []
    window.close()


@pytest.mark.parametrize("label", ["Second person\nsigns", "Print a\nmarked copy", "Todo\nel\nlargo"])
@pytest.mark.parametrize("panel", PANELS)
def test_three_lines_keep_off_the_border_of_their_key(qapp: QApplication, panel: str, label: str) -> None:
    glass = glass_of(panel)
    glass = replace(glass, metrics=replace(glass.metrics, larger=True))
    frame = ScreenFrame(glass)
    key = KeyButton(glass, label)
    frame.place(key, 10, 10, 24, 18)
    [words] = [each for each in records(frame) if each.kind == "text" and each.owner == key.objectName()]
    plate = next(each for each in records(frame) if each.kind == "plate" and each.owner == key.objectName())
    hanging = words.font_px * 0.22
    assert words.rect.top() - plate.rect.top() >= glass.mm(1.2)
    assert plate.rect.bottom() - words.rect.bottom() - hanging >= glass.mm(0.8)
    assert words.fits
