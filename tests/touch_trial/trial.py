"""The trial: the hand aims at what a page offers, and what is fired is counted against what it aimed at."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from random import Random

from kiosk.core.commands import Turn
from kiosk.core.views import View
from kiosk.lumen.drawing import station_at
from kiosk.ui.parts.answers import AnswerPlate
from kiosk.ui.parts.band import LumenBand
from kiosk.ui.parts.guard import Verdict
from kiosk.ui.parts.key_path import targets
from kiosk.ui.parts.touch import TouchButton
from kiosk.ui.window import Window
from tests.touch_trial.contact import Happening
from tests.touch_trial.hand import Hand, Target
from tests.touch_trial.pages import Station, pages, stood_up
from tests.touch_trial.panel import Fired, Seam, noting
from tests.ui.samples import PANELS, Clock

TAPS_A_PERSON = 50
"""After so many taps another person stands there, with another offset."""

KEPT = frozenset({"answer", "act", "mark"})
"""What is or becomes a record. A page that is opened, and a letter or number that stands to be read first, is none."""


@dataclass(slots=True, kw_only=True)
class Counts:
    """Of one screen or a sum of them. `wrong`: kept though nobody aimed at it, `why` for each. `shown`: a page turned,
    a letter typed so. `lost`: the misses by what became of the contact.
    """

    taps: int = 0
    missed: int = 0
    wrong: int = 0
    shown: int = 0
    palms: int = 0
    drips: int = 0
    cloths: int = 0
    why: list[str] = field(default_factory=list)
    lost: Counter[str] = field(default_factory=Counter)

    def add(self, other: "Counts") -> None:
        """These and those together."""
        for name in ("taps", "missed", "wrong", "shown", "palms", "drips", "cloths", "why", "lost"):
            setattr(self, name, getattr(self, name) + getattr(other, name))


def summed(counts: Iterable[Counts]) -> Counts:
    """All together."""
    whole = Counts()
    for each in counts:
        whole.add(each)
    return whole


def kind_of(button: TouchButton) -> str:
    """What a target does: gives an answer, sets a mark, types, opens a page, or acts."""
    if isinstance(button, AnswerPlate):
        return "answer"
    if isinstance(button, LumenBand):
        return "mark"
    if button.role == "letter" or button.repeats:
        return "typed"
    return "page" if isinstance(button.payload, Turn) else "act"


class Trial:
    """A hand at the window of a station. `window` shows the page; what it fires is noted and not done."""

    def __init__(self, station: Station, window: Window, panel: Seam, hand: Hand) -> None:
        self.station, self.window, self.panel, self.hand = station, window, panel, hand
        self.rng, self.made = hand.rng, 0

    def at(self, view: View, taps: int) -> Counts:
        """So many taps at one page; none where it offers nothing to touch."""
        self.window.show_view(view)
        self.panel.clock.now += 60_000
        counts, last, there = Counts(), None, reached(self.window)
        with noting(self.panel) as (fired, verdicts):
            for _ in range(taps if there else 0):
                aimed = self.rng.choice([each for each in there if each is not last or each.repeats] or there)
                missed = self._tap(aimed, fired, verdicts, counts)
                last = None if missed else aimed  # who missed may aim there again
                self._else(fired, counts)
        return counts

    def _tap(self, aimed: TouchButton, fired: list[Fired], verdicts: dict[int, Verdict], counts: Counts) -> bool:
        self.made += 1
        if self.made % TAPS_A_PERSON == 0:
            self.hand.change()
        target = self.aim(aimed)
        happening, finger = self.hand.tap(target)
        self._bring(happening)
        counts.taps += 1
        took = False
        for each in fired:
            meant = each.contact in finger and each.button is aimed and self._same_station(each, target)
            if meant and not took:
                took = True
            else:
                self._wrong(each, f"aimed at {name_of(aimed)}" if each.contact in finger else "a palm beside", counts)
        fired.clear()
        if not took:
            counts.missed += 1
            counts.lost[_lost(verdicts[min(finger)])] += 1
        verdicts.clear()
        return not took

    def _else(self, fired: list[Fired], counts: Counts) -> None:
        """What else meets the glass between two taps."""
        glove, metrics = self.hand.glove, self.window.glass.metrics
        wide, high = (each / self.panel.density for each in (metrics.width_px, metrics.height_px))
        for name, share in (("palms", glove.palms), ("drips", glove.drips), ("cloths", glove.cloths)):
            if self.rng.random() >= share:
                continue
            at = self.rng.uniform(0, wide), self.rng.uniform(0, high)
            what = {"palms": self.hand.palm, "drips": self.hand.drip, "cloths": self.hand.cloth}[name]
            self._bring(what(*at))
            setattr(counts, name, getattr(counts, name) + 1)
            for each in fired:
                self._wrong(each, f"one of {name}", counts)
            fired.clear()

    def _bring(self, happening: Happening) -> None:
        self.panel.clock.now += round(self.hand.wait_ms())
        self.panel.bring(happening)

    def _wrong(self, fired: Fired, why: str, counts: Counts) -> None:
        kept = kind_of(fired.button) in KEPT
        counts.wrong += kept
        counts.shown += not kept
        if kept:
            counts.why.append(f"{why}: {kind_of(fired.button)} {name_of(fired.button)}")

    def aim(self, button: TouchButton) -> Target:
        """Where it lies, in mm of the panel; on the tube the middle of one of its stations."""
        area, density = button.tap_area(), self.panel.density
        middle = button.mapTo(self.window, area.center())
        x, wide = middle.x() / density, area.width() / density
        if isinstance(button, LumenBand) and button.drawing is not None:
            station = self.rng.choice(button.drawing.stations)
            within = button.room_mm()[0] + (station.left + station.right) / 2
            scale = self.window.glass.mm(1) / density
            x = button.mapTo(self.window, area.topLeft()).x() / density
            x += within * scale - area.left() / density
            wide = (station.right - station.left) * scale
        return Target(x=x, y=middle.y() / density, wide=wide, high=area.height() / density)

    def _same_station(self, fired: Fired, target: Target) -> bool:
        band = fired.button
        if not isinstance(band, LumenBand) or band.drawing is None:
            return True
        mm, start = self.window.glass.mm(1), band.room_mm()[0]
        origin = band.mapTo(self.window, fired.at) - fired.at
        meant = (target.x * self.panel.density - origin.x()) / mm - start
        return station_at(band.drawing, fired.at.x() / mm - start) == station_at(band.drawing, meant)


def reached(window: Window) -> list[TouchButton]:
    """What the page that is shown offers to a finger."""
    return [] if window.current is None else targets(window.current)


def _lost(verdict: Verdict) -> str:
    """A miss by its cause; a tap that counted and fired nothing came down beside every target."""
    return "beside the target" if verdict in {Verdict.TAP, Verdict.SLID_OFF} else verdict.value


def name_of(button: TouchButton) -> str:
    """A target by its name on the screen."""
    return button.objectName() or button.accessibleName() or button.action


def play(station: Station, taps: int, seed: int) -> dict[str, Counts]:
    """So many taps spread evenly over the pages of a station; by screen, those that offer nothing left out."""
    clock, counted = Clock(), dict[str, Counts]()
    with stood_up(station, clock) as window:
        hand = Hand(station.glove, Random(seed))
        trial = Trial(station, window, Seam(window, clock, PANELS[station.panel][1]), hand)
        shown = [view for view in pages(station, window).values() if _offers(window, view)]
        for n, view in enumerate(shown):
            here = taps // len(shown) + (n < taps % len(shown))
            counted.setdefault(type(view).__name__.removesuffix("View"), Counts()).add(trial.at(view, here))
    return counted


def _offers(window: Window, view: View) -> bool:
    window.show_view(view)
    return bool(reached(window))
