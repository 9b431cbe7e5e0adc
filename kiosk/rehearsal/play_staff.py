"""The actions of people and their own settings."""

from collections.abc import Mapping
from typing import Any

from kiosk.core import commands as c
from kiosk.core.settings import CHOICES
from kiosk.core.viewing.own import chosen_last
from kiosk.core.views import ScanView
from kiosk.rehearsal.walking import Walker


class PlaysStaff(Walker):
    """What a person does for themselves, besides the trays."""

    def do_settings(self, action: Mapping[str, Any]) -> None:
        """On the page of one's own settings each key is touched until it stands as the scenario says."""
        self.walk(lambda view, _: isinstance(view, ScanView), "settings")
        self.fingers.send(c.Turn(page=c.Page.SETTINGS))
        self.view()
        for key in CHOICES:
            while key in action and chosen_last(self.stage.kiosk.session.glance(), key) != action[key]:
                self.fingers.named(f"setting {key}")
                self.view()
        self.fingers.send(c.Turn())
        self.view()
