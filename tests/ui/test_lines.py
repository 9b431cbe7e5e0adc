"""Where lines break: never between a number and its unit, nor between a date and its time."""

import pytest
from PySide6.QtGui import QFontMetricsF
from PySide6.QtWidgets import QApplication

from kiosk.ui.parts.lines import wrap
from kiosk.ui.theme import BOLD, font

TEXTS = {
    "Smallest swab head in the drawer 12 mm": "12 mm",
    "Air at or under 150 kPa": "150 kPa",
    "Looked for and not found here 2026-11-02 23:13": "2026-11-02 23:13",
    "Frontal sinus suction 9 Fr": "9 Fr",
    "last 20 mm of the tip, 7.5 cm from ENTRY": "7.5 cm",
}


@pytest.mark.parametrize("text", TEXTS)
def test_a_pair_stands_on_one_line_at_every_width(qapp: QApplication, text: str) -> None:
    metrics = QFontMetricsF(font(24, BOLD))
    for width in range(30, 700, 5):
        lines = [line.replace("\u00a0", " ") for line in wrap(text, metrics, width)]
        assert any(TEXTS[text] in line for line in lines), (width, lines)
        assert " ".join(lines) == text


def test_a_word_that_only_begins_like_a_unit_is_a_word(qapp: QApplication) -> None:
    metrics = QFontMetricsF(font(24, BOLD))
    assert wrap("4 sets", metrics, metrics.horizontalAdvance("sets") + 1) == ("4", "sets")
