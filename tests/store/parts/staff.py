"""Examples of the events of staff."""

from kiosk.core import events as e

EXAMPLES: tuple[e.Event, ...] = (e.SettingChosen(person="P-014", key="language", value="es"),)
