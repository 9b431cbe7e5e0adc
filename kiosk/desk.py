"""The desk of a bench: catalogue and policy joined with the rooms that plan, measure and write codes."""

import re
from collections.abc import Callable

from kiosk import __version__, resources
from kiosk.codes import house
from kiosk.codes.directory import Known
from kiosk.core.catalogue import Catalogue
from kiosk.core.desk import Desk
from kiosk.core.exposure import FirstAidWords
from kiosk.core.meaning import Kind
from kiosk.core.policy import Policy
from kiosk.core.readings import GroupFigure, ReadingPicture
from kiosk.lumen.planner import plan_tray
from kiosk.lumen.share import tray_share
from kiosk.pins import PINS


def make_desk(
    catalogue: Catalogue,
    policy: Policy,
    *,
    bench_number: int = 1,
    first_aid: FirstAidWords | None = None,
    side: str = "clean",
    loaded_ms: int = 0,
    practice: bool = False,
) -> Desk:
    """The bench's surroundings from what the store and the resources hold. `loaded_ms`: when the catalogue was."""
    return Desk(
        bench=f"{'Decontam' if side == 'decontam' else 'Bench'} {bench_number}",
        bench_number=bench_number,
        catalogue=catalogue,
        policy=policy,
        findings=resources.findings(),
        types=resources.item_types(),
        choices=resources.choices(),
        make_plan=plan_tray,
        share=tray_share,
        encode=lambda number: _coded(house.encode, number),
        with_check=lambda number: _coded(house.with_check, number),
        pins=PINS,
        software=__version__,
        first_aid=first_aid,
        side=side,
        loaded_ms=loaded_ms,
        practice=practice,
        lessons=resources.lessons() if practice else {},
        agreeing=_figure,
    )


def _figure(pictures: tuple[ReadingPicture, ...], rows: tuple[tuple[str | None, ...], ...]) -> GroupFigure:
    from kiosk.quality.reading_figure import figure

    return figure(pictures, rows)


def _coded(code: Callable[[str], str], number: str) -> str:
    """A number's printed code; a catalogue's own code that is none of the house's stands as it is."""
    try:
        return code(number)
    except ValueError:
        return number


TICKET = re.compile(r"K-\d{4,7}", re.ASCII)
SPARE_FORM = re.compile(r"H-\d{3,7}", re.ASCII)


def no_ticket(_: str) -> bool:
    """No ticket is known."""
    return False


def directory(catalogue: Catalogue, *, tickets: Callable[[str], bool] = no_ticket) -> Callable[[str], Known | None]:
    """What this bench knows codes by: everything in its catalogue, and the tickets and spare forms it knows of."""

    def look_up(text: str) -> Known | None:
        tables = (
            (Kind.TRAY, catalogue.trays),
            (Kind.LOAD, catalogue.loads),
            (Kind.PERSON, catalogue.people),
            (Kind.ITEM, catalogue.spares),
        )
        for kind, table in tables:
            if text in table:
                return Known(kind, text)
        badge = next((p.id for p in catalogue.people.values() if text and text in {p.badge, p.day_badge}), None)
        if badge is not None:
            return Known(Kind.PERSON, badge)
        for kind, shape in ((Kind.TICKET, TICKET), (Kind.SPARE_FORM, SPARE_FORM)):
            if shape.fullmatch(text) and tickets(text):
                return Known(kind, text)
        if any(scope.id == text for scope in catalogue.kit.scopes):
            return Known(Kind.SCOPE, text)
        items = (*catalogue.spares.values(), *(item for tray in catalogue.trays.values() for item in tray.items))
        if any(text == item.id or text in item.marks for item in items):
            return Known(Kind.ITEM, text)
        return None

    return look_up
