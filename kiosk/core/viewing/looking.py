"""What is shown of looking again, and of what a rule takes out of use."""

from collections.abc import Callable

from kiosk.core.commands import Page
from kiosk.core.glance import Glance
from kiosk.core.viewing import gauging, happened, recalls, second_looks, stops
from kiosk.core.viewing.menus import Offer
from kiosk.core.views import View

STEPS: dict[str, Callable[[Glance], View]] = {
    "special": happened.special,
    "broken": happened.broken,
    "recalled": recalls.asked,
}
PAGES: dict[Page, Callable[[Glance], View]] = {
    Page.STOP_LIST: stops.stop_list,
    Page.STOP_NOTICE: stops.stop_notice,
    Page.STOP_NEW: stops.stop_new,
    Page.STOP_TYPES: stops.stop_types,
    Page.STOP_ADD: stops.stop_add,
    Page.STOP_LOT: stops.stop_lot,
    Page.STOP_ENTRY: stops.stop_entry,
    Page.OFTEN: stops.often,
    Page.MEASURE: gauging.measure,
    Page.CORRECT: gauging.correct,
    Page.DROPPED: happened.dropped,
    Page.PATHOGEN: happened.pathogen,
    Page.PATHOGEN_NOTE: happened.pathogen_note,
}
HAPPENED: tuple[Offer, ...] = (
    second_looks.key_of,
    gauging.measure_key,
    happened.other_key,
    happened.dropped_key,
    happened.pathogen_key,
)
"""Keys of the page "Something happened"."""
RULINGS: tuple[Offer, ...] = (
    gauging.take,
    gauging.take_everywhere,
    gauging.correct_key,
    happened.pathogen_ruling,
)
"""Keys of the supervisor's ruling."""
DESK: tuple[Offer, ...] = (stops.desk_key, stops.often_key)
"""Keys of the supervisor's desk."""
SECONDS: dict[str, Callable[[Glance], View]] = {"look": second_looks.asked}
"""What a second person is asked, by what it is about."""
