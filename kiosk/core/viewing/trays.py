"""What is shown of a whole tray besides its count."""

from collections.abc import Callable

from kiosk.core.commands import Page
from kiosk.core.glance import Glance
from kiosk.core.viewing import weighing
from kiosk.core.viewing.menus import Offer
from kiosk.core.views import View

STEPS: dict[str, Callable[[Glance], View]] = {"unit": weighing.unit, "too_heavy": weighing.too_heavy}
PAGES: dict[Page, Callable[[Glance], View]] = {}
HAPPENED: tuple[Offer, ...] = ()
"""Keys of the page "Something happened"."""
RULINGS: tuple[Offer, ...] = (weighing.split(2), weighing.split(3))
"""Keys of the supervisor's ruling."""
DESK: tuple[Offer, ...] = ()
"""Keys of the supervisor's desk."""
SECONDS: dict[str, Callable[[Glance], View]] = {}
"""What a second person is asked, by what it is about."""
