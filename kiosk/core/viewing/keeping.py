"""What is shown of the log itself stands in the list of what needs a ruling; it has no page of its own."""

from collections.abc import Callable

from kiosk.core.commands import Page
from kiosk.core.glance import Glance
from kiosk.core.viewing.menus import Offer
from kiosk.core.views import View

STEPS: dict[str, Callable[[Glance], View]] = {}
PAGES: dict[Page, Callable[[Glance], View]] = {}
HAPPENED: tuple[Offer, ...] = ()
RULINGS: tuple[Offer, ...] = ()
DESK: tuple[Offer, ...] = ()
SECONDS: dict[str, Callable[[Glance], View]] = {}
