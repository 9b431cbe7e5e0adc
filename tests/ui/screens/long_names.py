"""Pages of the real session in a department with the names of a demo: its own words, no samples."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

from PySide6.QtWidgets import QApplication

from kiosk import resources
from kiosk.core import commands as c
from kiosk.core.catalogue import CountLine, Item, Landmark, Load, Lumen, Tray
from kiosk.core.place import Place
from kiosk.core.vocabulary import Feature, Opening
from kiosk.ui.parts.glass import dirty_glass, new_glass
from kiosk.ui.theme import BENCH
from kiosk.ui.window import Window
from tests.core.department import Shift, desk, scan
from tests.core.two_sides import Sides
from tests.ui.samples import PANELS, Clock

BELLY = Item(
    id="B1", name="Belly suction with outer sleeve", type="lap_takeapart", takes_apart=True,
    lumens=(
        Lumen(
            name="inner tube", inside_mm=Decimal("6.5"), length_mm=Decimal(280), features=frozenset({Feature.CURVED}),
            landmarks=(Landmark(name="bend", at_mm=Decimal(190)),), air_kpa=150,
        ),
        Lumen(name="outer sleeve", inside_mm=Decimal("8.0"), length_mm=Decimal(200), open=Opening.BOTH),
    ),
)  # fmt: skip
TONSIL = Item(
    id="T1", name="Tonsil suction, bulb end", type="fine_suction", qty=2,
    lumens=(Lumen(name="only lumen", inside_mm=Decimal("3.0"), length_mm=Decimal(235)),),
)  # fmt: skip
SINUS = Item(
    id="F1", name="Frontal sinus suction 9 Fr", type="fine_suction",
    lumens=(
        Lumen(
            name="only lumen", inside_mm=Decimal("2.2"), length_mm=Decimal(185),
            landmarks=(
                Landmark(name="thumb hole", at_mm=Decimal(33)), Landmark(name="bend", at_mm=Decimal(83)),
                Landmark(name="last 20 mm of the tip", at_mm=Decimal(175)),
            ),
        ),
    ),
)  # fmt: skip
FINE = Item(
    id="M1", name="Ear suction 3 Fr, angled", type="fine_suction",
    lumens=(Lumen(name="only lumen", inside_mm=Decimal("0.7"), length_mm=Decimal(60), air_kpa=150),),
)  # fmt: skip
NAMES = {
    "TR-0417": ("General laparotomy set", BELLY),
    "TR-0734": ("Tonsil and adenoid tray", TONSIL),
    "TR-0810": ("Sinus endoscopy set", SINUS),
    "TR-0820": ("Middle ear suction set", FINE),
    "TR-0911": ("Laparoscopy core set", TONSIL),
    "TR-0912": ("Eye irrigation tips, small set", SINUS),
    "TR-0913": ("Middle ear microsurgery set", SINUS),
}
LAPAROTOMY, TONSILS, SINUSES, EARS, *OTHERS = NAMES
WHO = {"T1": "Delphine Marroway", "T2": "Hamish Adeyolu", "S1": "Augusta Feldnerova", "D1": "Luz Pemberwick"}


def _tray(code: str, name: str, item: Item) -> Tray:
    lines = (CountLine(name=item.name, want=item.qty, item=item.id), CountLine(name="Forceps", want=4))
    return Tray(code=code, name=name, items=(item,), lines=lines)


def department(**policy: Any) -> Shift:
    """Nobody signed in yet; the session speaks every language of the house."""
    plain = desk(**policy)
    trays = {code: _tray(code, *about) for code, about in NAMES.items()}
    people = {code: replace(one, name=WHO[code]) for code, one in plain.catalogue.people.items()}
    loads = {"W-7101": Load(id="W-7101", released=True, trays=tuple(trays))}
    shift = Shift(desk=replace(plain, catalogue=replace(plain.catalogue, trays=trays, people=people, loads=loads)))
    shift.session.tongues = resources.tongues()
    return shift


def in_spanish(shift: Shift, *, larger: bool = True) -> Shift:
    """Whoever is signed in reads Spanish, in larger letters."""
    shift.must(c.ChooseSetting(key="language", value="es"))
    if larger:
        shift.must(c.ChooseSetting(key="text", value="larger"))
    return shift


def sides(**policy: Any) -> Sides:
    """A bench and decontam's station of the department."""
    bench = department(**policy)
    dirty = Shift(desk=replace(bench.desk, side="decontam", bench="Decontam 1"))
    dirty.session.tongues = resources.tongues()
    return Sides(bench=bench, dirty=dirty)


def open_tray(shift: Shift, code: str, who: str = "T1") -> None:
    """Signed in, the tray open and counted."""
    if shift.bench.who is None:
        shift.sign_in(who)
    shift.must(scan(code))
    if shift.step.kind == "count":
        shift.count()


def send_back(shift: Shift, code: str, piece: str, lumen: str, at_mm: int, found: str = "bone_grit") -> None:
    """One piece of a tray goes back with its ticket, and the tray waits on the shelf."""
    open_tray(shift, code)
    shift.yes_until(f"{piece}.{lumen}.swab")
    shift.no(found, Place(lumen=lumen, at_mm=at_mm))
    shift.confirm("item_back")
    shift.tidy()
    shift.yes_to_all()
    shift.must(c.Confirm(what="shelf"))


def stand(
    _qapp: QApplication, shift: Shift, panel: str, clock: Clock | None = None, *, dirty: bool = False
) -> tuple[Window, Clock]:
    """The window of a panel, with the session's view on it and its guard time over."""
    clock = clock or Clock()
    size, density = PANELS[panel]
    glass = (dirty_glass if dirty else new_glass)(size, density, BENCH, clock)
    window = Window(glass, wall_ms=lambda: shift.at_ms, clock_text=lambda: "14:07")
    window.clock_timer.stop()
    window.show()
    shift.session.small = window.small
    show(window, shift, clock)
    return window, clock


def show(window: Window, shift: Shift, clock: Clock) -> None:
    """What the session shows now, in the hands of whoever is signed in."""
    window.use(shift.session.settings())
    window.show_view(shift.session.view())
    clock.now += 2_000
