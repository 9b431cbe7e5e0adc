"""Where one scope check follows another, the key to the compared pictures stands on the camera page."""

from dataclasses import replace
from decimal import Decimal

from kiosk.core import commands as c
from kiosk.core import views as v
from kiosk.core.catalogue import CountLine, Item, Lumen
from kiosk.core.vocabulary import Check
from tests.core.department import EAR, TUBE, Shift, desk
from tests.core.test_stills import still

ONLY_SCOPE = frozenset(Check) - {Check.SCOPE, Check.LOOK}


def two_lumens() -> Shift:
    """A piece of which every lumen is looked into by a scope alone."""
    ways = tuple(
        Lumen(name=name, inside_mm=Decimal("3.0"), length_mm=Decimal(150), forbid=ONLY_SCOPE)
        for name in ("bore", "side")
    )
    item = Item(id="A1", name="Two ways", type=TUBE.type, lumens=ways)
    made = desk()
    lines = (CountLine(name=item.name, want=1, item="A1"),)
    tray = replace(made.catalogue.trays[EAR], items=(item,), lines=lines)
    shift = Shift(desk=replace(made, catalogue=replace(made.catalogue, trays={**made.catalogue.trays, EAR: tray})))
    shift.session.sight = "camera"
    shift.sign_in()
    shift.open()
    shift.count()
    return shift


def names(shift: Shift) -> set[str]:
    shift.session.send(c.Turn(page=c.Page.CAMERA))
    view = shift.session.view()
    assert isinstance(view, v.CameraView)
    return {key.name for key in view.hand.right}


def test_on_the_camera_page_of_the_next_lumen_a_key_leads_to_the_last_ones_pictures() -> None:
    shift = two_lumens()
    shift.yes_until("A1.bore.scope")
    shift.must(still(shift))
    assert "compare pictures" not in names(shift), "its own check is open"
    shift.session.send(c.Turn())
    shift.yes()
    assert shift.step.check is not None
    assert shift.step.check.key == "side.scope"
    assert "compare pictures" in names(shift)
    shift.session.send(c.Turn(page=c.Page.STILLS, subject="1"))
    assert isinstance(shift.session.view(), v.StillsView)


def test_without_a_still_of_the_last_lumen_there_is_no_such_key() -> None:
    shift = two_lumens()
    shift.yes_until("A1.side.scope")
    assert "compare pictures" not in names(shift)
