"""People, their rights and settings; the catalogue and the policy as they change."""

from dataclasses import dataclass

from kiosk.core.events.shipped import Shipped


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingChosen:
    """A person chose a setting of their own: language, plates, text, reach, still."""

    person: str
    key: str
    value: str


StaffEvent = SettingChosen

SHIPPED: dict[str, Shipped] = {
    "setting_chosen": Shipped(1, SettingChosen, "info"),
}
