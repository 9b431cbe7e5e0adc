"""Examples of the events of cleaning tests."""

from kiosk.core import events as e

EXAMPLES: tuple[e.Event, ...] = (
    e.CleaningTestKept(
        number="CT-10007", kind="atp", value="310", unit="RLU", method="swab", meter="LUM-7", about="tray=TR-0007",
        trip="1-000012", alert="100", action="250", level_unit="RLU",
    ),
    e.CleaningTestAnswered(test="CT-10007", done="again"),
)  # fmt: skip
