"""Color, type and size: two sets of colors, eight sizes of letters in capital millimeters, one frame in millimeters."""

from dataclasses import dataclass
from enum import Enum
from functools import cache

from PySide6.QtGui import QFont, QFontDatabase

from kiosk.places import RESOURCES

FACE, MONO = "Atkinson Hyperlegible Next", "Atkinson Hyperlegible Mono"
FALLBACKS = ("Noto Sans", "DejaVu Sans")
CAPITAL_EM = 0.668  # height of a capital, measured in the face
X_HEIGHT_EM = 0.496
LINE_PITCH = 1.75  # of the capital height
REGULAR, BOLD, EXTRA = 400, 700, 800
STEP = 4.0 / 3.3  # a step larger: the smallest letters become labels (T1 becomes T2)
LOW_MM = 150.0  # how far from the lower edge the controls reach, for somebody who is short or sits


@dataclass(frozen=True, slots=True, kw_only=True)
class Tokens:
    """One set of colors, as #RRGGBB."""

    field: str
    bench: str
    asleep: str
    plate: str
    well: str
    ink: str
    ink2: str
    line: str
    hair: str
    rail: str
    onrail: str
    onrail2: str
    rail_edge: str
    clear: str
    clear_edge: str
    clear_tint: str
    found: str
    found_edge: str
    found_tint: str
    unsure: str
    unsure_tint: str
    on_fill: str  # words on a plate filled with ink, clear, found or unsure
    notice: str
    on_notice: str
    aid: str
    on_aid: str
    aid_edge: str
    lens: str
    bore: str  # not looked at


BENCH = Tokens(
    field="#E6E9E8",
    bench="#D5DADA",
    asleep="#D6DBDB",
    plate="#FFFFFF",
    well="#F2F4F3",
    ink="#1D1628",
    ink2="#473E55",
    line="#6F6880",
    hair="#B9B6C2",
    rail="#2A2038",
    onrail="#FFFFFF",
    onrail2="#D9D4E2",
    rail_edge="#2A2038",
    clear="#0A3F80",
    clear_edge="#1C66B8",
    clear_tint="#E3EEFA",
    found="#7A2E00",
    found_edge="#C4560A",
    found_tint="#FDEBDC",
    unsure="#3E3E42",
    unsure_tint="#EDEDEE",
    on_fill="#FFFFFF",
    notice="#F2C22E",
    on_notice="#1D1628",
    aid="#0B5B3A",
    on_aid="#FFFFFF",
    aid_edge="#0B5B3A",
    lens="#2B2B2B",
    bore="#AEB3B6",
)

DUSK = Tokens(
    field="#17131E",
    bench="#0E0B13",
    asleep="#0E0B13",
    plate="#241E2E",
    well="#1D1826",
    ink="#F4F2F7",
    ink2="#CFC9DA",
    line="#8D86A0",
    hair="#4A4358",
    rail="#0E0B13",
    onrail="#F4F2F7",
    onrail2="#CFC9DA",
    rail_edge="#8D86A0",
    clear="#A9D1FF",
    clear_edge="#4F9BEE",
    clear_tint="#14283F",
    found="#FFC49A",
    found_edge="#E07B32",
    found_tint="#3A2010",
    unsure="#DADADD",
    unsure_tint="#2E2E33",
    on_fill="#17131E",
    notice="#F2C22E",
    on_notice="#17131E",
    aid="#0B5B3A",
    on_aid="#FFFFFF",
    aid_edge="#7FDDB0",
    lens="#2B2B2B",
    bore="#6B6480",
)


class T(Enum):
    """Sizes of letters: the height of a capital in mm on the two large screens and on the 10-inch one."""

    T1 = (3.3, 3.3)  # note, the smallest anywhere
    T2 = (4.0, 4.0)  # label
    T3 = (4.4, 4.4)  # body
    T4 = (5.2, 5.2)  # lead
    T5 = (6.2, 6.2)  # title
    T6 = (7.6, 5.4)  # question
    T7 = (11.0, 8.4)  # answer
    T8 = (14.4, 14.4)  # number


@dataclass(frozen=True, slots=True, kw_only=True)
class Metrics:
    """A screen in millimeters. `scale` enlarges letters only; nothing else grows on a big panel.

    `larger`: letters stand a step larger wherever that fits. `low`: all controls within short reach of the edge.
    `magnified`: at decontam's station one mm here is so many mm on the glass, letters and targets alike.
    `key_mm`: height of the keys in the hand rail.
    """

    px_per_mm: float
    width_px: int
    height_px: int
    small: bool
    scale: float = 1.0
    larger: bool = False
    low: bool = False
    magnified: float = 1.0
    key_mm: float = 18.0

    @classmethod
    def for_screen(cls, size_px: tuple[int, int], px_per_mm: float, scale: float = 1.0) -> "Metrics":
        """Frame for a panel; under 300 mm of width it is the 10-inch frame."""
        small = size_px[0] / px_per_mm < 300
        return cls(px_per_mm=px_per_mm, width_px=size_px[0], height_px=size_px[1], small=small, scale=scale)

    def mm(self, mm: float) -> float:
        """Pixels of a length in mm."""
        return mm * self.px_per_mm

    def capital(self, size: T) -> float:
        """Height of a capital in mm."""
        return size.value[self.small] * self.scale

    def px(self, size: T) -> int:
        """Font pixel size that gives capitals of the size's height."""
        return round(self.mm(self.capital(size)) / CAPITAL_EM)

    def tries(self, size: T) -> tuple[int, ...]:
        """Font pixel sizes to try for a size, the best first: a step larger where the person asked for that."""
        px = self.px(size)
        return (round(px * STEP), px) if self.larger else (px,)

    @property
    def true_px_per_mm(self) -> float:
        """Pixels of a millimeter of the glass itself."""
        return self.px_per_mm / self.magnified

    @property
    def width_mm(self) -> float:
        return self.width_px / self.px_per_mm

    @property
    def height_mm(self) -> float:
        return self.height_px / self.px_per_mm

    @property
    def content_mm(self) -> float:
        """Width of what is not drawn across the whole screen."""
        return min(self.width_mm, 344.2)

    @property
    def left_mm(self) -> float:
        """Where the content begins; it stands in the middle of a wide panel."""
        return (self.width_mm - self.content_mm) / 2

    @property
    def block_mm(self) -> float:
        """Height of question, slot and hand rail: at the bottom of the panel, every control in the lowest 200 mm."""
        return min(self.height_mm - self.head_mm, 180.0)

    def slot_mm(self, question_mm: float) -> float:
        """Height of what stands between the question and the hand rail."""
        slot = self.block_mm - question_mm - self.hand_mm
        return min(slot, LOW_MM - self.hand_mm) if self.low else slot

    @property
    def head_mm(self) -> float:
        return 10.0 if self.small else 14.0

    @property
    def question_mm(self) -> float:
        return 15.0 if self.small else 31.0

    @property
    def title_mm(self) -> float:
        """Height of the question area when it holds a title only."""
        return 12.6 if self.small else 17.5

    @property
    def band_mm(self) -> float:
        return 33.0 if self.small else 45.0

    @property
    def answers_mm(self) -> float:
        return 46.0 if self.small else 62.0

    @property
    def hand_mm(self) -> float:
        return 24.0

    @property
    def edge_mm(self) -> float:
        """Distance from the screen's edge."""
        return 5.0 if self.small else 8.0

    @property
    def gap_mm(self) -> float:
        """Usual distance between two targets."""
        return 5.0 if self.small else 6.0


def load_fonts() -> None:
    """Make the shipped faces known to Qt; once, after the application exists."""
    for path in sorted((RESOURCES / "fonts").glob("*.ttf")):
        QFontDatabase.addApplicationFont(str(path))


@cache
def font(px: int, weight: int = REGULAR, mono: bool = False) -> QFont:
    """A font by pixel size and weight; letters that the face lacks come from the fallbacks."""
    made = QFont([MONO if mono else FACE, *FALLBACKS])
    made.setPixelSize(px)
    made.setWeight(QFont.Weight(weight))
    return made
