"""What is shown of a whole tray besides its count."""

from collections.abc import Callable

from kiosk.core.commands import Page
from kiosk.core.glance import Glance
from kiosk.core.viewing import count_page, handing, loads, loaner, reopening, weighing
from kiosk.core.viewing.menus import Offer
from kiosk.core.views import View

STEPS: dict[str, Callable[[Glance], View]] = {
    "unit": weighing.unit,
    "too_heavy": weighing.too_heavy,
    "second_count": count_page.second_asked,
    "no_ifu": loaner.no_ifu,
    "load_bad": loads.found_bad_stop,
}
PAGES: dict[Page, Callable[[Glance], View]] = {
    Page.IMPLANT: count_page.implant,
    Page.LOADS: loads.which,
    Page.LOAD_BAD: loads.why,
    Page.FETCH: loads.fetch,
    Page.PACKAGE: reopening.package,
    Page.PACKAGE_WET: reopening.wet,
    Page.OLD_LABEL: reopening.old_label,
    Page.HAND_OVER: handing.hand_over,
    Page.ELSEWHERE: handing.elsewhere,
    Page.RUSH: handing.rush_list,
    Page.RACK: loads.rack,
    Page.LOAD_ALERT: loads.alert,
}
HAPPENED: tuple[Offer, ...] = (handing.hand_over_key, loaner.home)
"""Keys of the page "Something happened"."""
RULINGS: tuple[Offer, ...] = (
    weighing.split(2), weighing.split(3), loaner.rule_ifu, handing.retagged_here_key, handing.retagged_key,
)  # fmt: skip
"""Keys of the supervisor's ruling."""
DESK: tuple[Offer, ...] = (loads.desk_key, handing.rush_key)
"""Keys of the supervisor's desk."""
SECONDS: dict[str, Callable[[Glance], View]] = {"count": count_page.second_count}
"""What a second person is asked, by what it is about."""
