"""What the machine underneath must do, measured again before a pin is raised."""

import subprocess
import sys

import pytest
from PySide6.QtGui import QFont, QFontDatabase, QFontInfo, QFontMetricsF
from PySide6.QtWidgets import QApplication
from reportlab.pdfbase.ttfonts import TTFont
from sqlite_utils.utils import sqlite3

from kiosk.places import RESOURCES

FONTS = sorted((RESOURCES / "fonts").glob("*.ttf"))
LETTERS = {chr(code) for code in range(0x20, 0x7F)} | set("áéíóúüñÁÉÍÓÚÜÑ¿¡–’“”×°µ½±•")

# In a process of its own, where no other test holds or lets go of anything.
REPAINTS = """
import sys
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication, QLabel

app = QApplication([])
label = QLabel("0")
label.show()
ticks = 0

def tick():
    global ticks
    ticks += 1
    label.setText(str(ticks))
    label.repaint()
    if ticks == 10_000:
        app.quit()

timer = QTimer()
timer.timeout.connect(tick)
before = sys.getrefcount(None)
timer.start(0)
app.exec()
print(ticks, sys.getrefcount(None) - before)
"""


@pytest.mark.slow
def test_ten_thousand_repaints_and_timers_give_up_no_reference_to_none() -> None:
    """PySide6 6.12.0 on Python 3.11 loses one or two each, and in the end the interpreter aborts."""
    run = subprocess.run([sys.executable, "-c", REPAINTS], capture_output=True, text=True, check=True, timeout=110)
    ticks, change = map(int, run.stdout.split())
    assert ticks == 10_000
    # From Python 3.12 on None is immortal and its count stands still.
    assert change > -100
    assert run.stderr == ""


def test_the_sqlite_in_use_keeps_commits_in_wal_mode() -> None:
    """The WAL-reset fault is mended in 3.51.3 and in 3.50.7 and 3.44.6 (sqlite.org/wal.html, "WAL reset bug")."""
    version = sqlite3.sqlite_version_info
    assert version >= (3, 51, 3) or version[:2] in {(3, 50), (3, 44)}


@pytest.mark.parametrize("path", FONTS, ids=lambda path: path.stem)
def test_a_shipped_font_has_every_letter_we_use_and_goes_into_a_pdf(path: object) -> None:
    face = TTFont("face", str(path)).face
    assert not {letter for letter in LETTERS if ord(letter) not in face.charToGlyph}
    assert face.capHeight == 668  # thousandths of the em; the type sizes on screen rest on it


@pytest.mark.parametrize(
    ("family", "weight"),
    [("Next", 400), ("Next", 700), ("Next", 800), ("Mono", 400), ("Mono", 700)],
)
def test_the_screen_gets_the_face_and_the_weight_it_asks_for(qapp: QApplication, family: str, weight: int) -> None:
    font = QFont(f"Atkinson Hyperlegible {family}")
    font.setPixelSize(1000)
    font.setWeight(QFont.Weight(weight))
    found = QFontInfo(font)
    assert (found.family(), found.weight()) == (font.family(), weight)
    assert weight in {QFontDatabase.weight(font.family(), style) for style in QFontDatabase.styles(font.family())}
    assert QFontMetricsF(font).capHeight() == pytest.approx(668, abs=2)
