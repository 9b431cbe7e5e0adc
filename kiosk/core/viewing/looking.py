"""What is shown of looking again."""

from collections.abc import Callable

from kiosk.core.commands import Page
from kiosk.core.glance import Glance
from kiosk.core.viewing import second_looks
from kiosk.core.viewing.menus import Offer
from kiosk.core.views import View

STEPS: dict[str, Callable[[Glance], View]] = {}
PAGES: dict[Page, Callable[[Glance], View]] = {}
HAPPENED: tuple[Offer, ...] = (second_looks.key_of,)
"""Keys of the page "Something happened"."""
RULINGS: tuple[Offer, ...] = ()
"""Keys of the supervisor's ruling."""
DESK: tuple[Offer, ...] = ()
"""Keys of the supervisor's desk."""
SECONDS: dict[str, Callable[[Glance], View]] = {"look": second_looks.asked}
"""What a second person is asked, by what it is about."""
