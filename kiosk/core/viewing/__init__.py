"""The view: what the screen shows for the bench as it stands, a page laid over it, and the last notice. Pure."""

from collections.abc import Callable

from kiosk.core.commands import Page
from kiosk.core.glance import Glance
from kiosk.core.stills import before_the_lens
from kiosk.core.viewing import (
    checking,
    count_page,
    doing,
    handing,
    intake,
    opening,
    overview,
    packing,
    pages,
    people,
    ruling_book,
    scope_target,
    stills,
    weighing,
)
from kiosk.core.viewing.parts import PARTS
from kiosk.core.views import View

__all__ = ["Glance", "view"]

_STEPS: dict[str, Callable[[Glance], View]] = {
    "sign_in": people.sign_in,
    "startup": people.startup,
    "scan": opening.scan,
    "load": opening.load,
    "count": count_page.count,
    "finding": checking.finding,
    "decide": checking.decision,
    "put_right": doing.put_right,
    "bench": doing.bench,
    "gloves": doing.gloves,
    "print": packing.printing,
    "print_failed": packing.printing,
    "readable": packing.readable,
    "scope": doing.scope,
    "check": checking.check,
    "plan_hold": checking.plan_hold,
    "shelf": doing.shelf,
    "pack": packing.pack,
    **{kind: make for part in PARTS for kind, make in part.STEPS.items()},
}

_PAGES: dict[Page, Callable[[Glance], View]] = {
    Page.OVERVIEW: overview.overview,
    Page.STOP: pages.stop,
    Page.SOIL: pages.soil,
    Page.WHY: pages.why,
    Page.PHOTO: doing.photo,
    Page.WIPE: people.wipe,
    Page.PIN: people.pin,
    Page.RULING: pages.ruling,
    Page.RULING_NOTE: pages.ruling_note,
    Page.RULING_PIECES: pages.ruling_pieces,
    Page.SPARE: pages.spare,
    Page.RESUME: opening.resume,
    Page.DONE: packing.done,
    Page.SCOPE_BACK: opening.scope_back,
    Page.HAPPENED: pages.happened,
    Page.DESK: pages.desk,
    **{page: make for part in PARTS for page, make in part.PAGES.items()},
}

SECONDS: dict[str, Callable[[Glance], View]] = {about: make for part in PARTS for about, make in part.SECONDS.items()}
"""What a second person is asked, by what it is about. `g.turn.subject` is `about:person`."""


_NUMBERS: dict[str, Callable[[Glance], View]] = {
    "weight": weighing.weight,
    "minutes": doing.label_minutes,
    "line": count_page.line_number,
    "implant": count_page.implant_number,
    "rush": handing.clock_number,
    "phone": handing.clock_number,
    "ticket": intake.type_ticket,
}
"""What number is asked, by the first word of the turn's subject; any other is a label typed."""


def view(g: Glance) -> View:
    """The view for this glance at the bench."""
    if g.step.kind == "first_aid" or g.turn is None or g.turn.page is None:
        return _STEPS[g.step.kind](g)
    page = g.turn.page
    if ruling_book.asks_signer(g):
        return ruling_book.signer_names(g)
    if page is Page.TYPE_NUMBER:
        return _NUMBERS.get(g.turn.subject.partition(":")[0], opening.type_number)(g)
    if page is Page.NAMES:
        aim = g.turn.subject.partition(":")[0]
        return {"ruling": people.ruling_names, "second": people.second_names}.get(aim, people.sign_in)(g)
    if page is Page.SECOND:
        return SECONDS[g.turn.subject.partition(":")[0].partition("-")[0]](g)
    if page in stills.BEFORE_THE_LENS and before_the_lens(g.bench.trip, g.step) is None:
        return _STEPS[g.step.kind](g)
    if page is Page.STILLS and stills.compared_still(g) is None:
        return _STEPS[g.step.kind](g)  # before the answer there is no such page
    if page is Page.TARGET and not scope_target.shown(g):
        return _STEPS[g.step.kind](g)
    return _PAGES[page](g)
