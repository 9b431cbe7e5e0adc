"""Which touches count. No Qt, no clock of its own: places in mm, time in ms as the caller's clock tells it."""

from collections.abc import Callable
from dataclasses import dataclass, field
from enum import StrEnum
from math import hypot

CLOTH_WITHIN_MS = 2000  # two cloth-like touches within this time offer to wipe the screen
CLOTH_APART_MS = 300  # contacts of one stroke are one
PALM_LANDS_MS = 80  # whatever comes down so soon after a contact of a palm is of that palm


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """Choices of the house, no published figures; see the guard in the look."""

    shortest_ms: int = 40
    new_screen_ms: int = 350
    repeat_ms: int = 700
    quick_repeat_ms: int = 150  # number and letter keys, where the same key twice is meant
    same_place_mm: float = 12.0
    drift_mm: float = 6.0
    slide_mm: float = 15.0  # a drop that runs, a cloth that the panel tells in pieces: no finger goes so far in a tap
    longest_ms: int = 3000  # a drop that stays, a hand that rests
    wide_mm: float = 25.0
    contacts: int = 3
    path_mm: float = 120.0


BENCH_RULES = Rules()
DECONTAM_RULES = Rules(new_screen_ms=500, repeat_ms=1200)


class Verdict(StrEnum):
    """What came of a contact."""

    TAP = "tap"
    SLID_OFF = "slid off"
    TOO_SHORT = "too short"
    TOO_LONG = "too long"
    NEW_SCREEN = "new screen"
    REPEAT = "repeat"
    CLOTH = "palm or cloth"
    SPENT = "spent"  # its target has been tapped by another finger, or the screen has changed under it


@dataclass(slots=True, kw_only=True)
class _Contact:
    x: float
    y: float
    first_x: float
    first_y: float
    since: int
    target: object | None
    quick: bool
    path: float = 0.0
    spoiled: Verdict | None = None


@dataclass(slots=True)
class TapGuard:
    """Judges every contact by itself, so that a resting palm never swallows the tap of another finger."""

    clock: Callable[[], int]
    rules: Rules = BENCH_RULES
    _contacts: dict[int, _Contact] = field(default_factory=dict)
    _screen_at: int | None = None
    touched_at: int | None = None  # when the glass was last touched at all
    _last_tap: tuple[float, float, int] | None = None
    _cloth: list[int] = field(default_factory=list)
    turned_away: list[Callable[[], None]] = field(default_factory=list)  # called when a touch on a target went by

    def screen_changed(self) -> None:
        """A new screen is there: its guard time starts, and fingers still on the glass do not count any more."""
        self._screen_at = self.clock()
        for contact in self._contacts.values():
            contact.spoiled = contact.spoiled or Verdict.SPENT

    def wait_ms(self) -> int:
        """Time until touches count again."""
        if self._screen_at is None:
            return 0
        return max(0, self._screen_at + self.rules.new_screen_ms - self.clock())

    def open(self) -> bool:
        """Do touches count now?"""
        return self.wait_ms() == 0

    def down(
        self, contact: int, x: float, y: float, *, width: float = 0.0, target: object | None = None, quick: bool = False
    ) -> bool:
        """A contact begins on a target (None: beside every target). True: show the target pressed."""
        now = self.touched_at = self.clock()
        new = _Contact(x=x, y=y, first_x=x, first_y=y, since=now, target=target, quick=quick)
        self._contacts[contact] = new
        if not self.open():
            new.spoiled = Verdict.NEW_SCREEN
        elif self._repeats(new):
            new.spoiled = Verdict.REPEAT
        self._measure(new, width)
        if any(each.spoiled is Verdict.CLOTH and now - each.since <= PALM_LANDS_MS for each in self._contacts.values()):
            self._spoil_as_cloth(new)
        fingers = [each for each in self._contacts.values() if each.spoiled is not Verdict.CLOTH]
        if len(fingers) >= self.rules.contacts:
            for each in fingers:
                self._spoil_as_cloth(each)
        return new.spoiled is None and target is not None

    def move(self, contact: int, x: float, y: float, *, width: float = 0.0, inside: bool = True) -> bool:
        """A contact moves. True: its target stays pressed."""
        known = self._contacts.get(contact)
        if known is None:
            return False
        known.path += hypot(x - known.x, y - known.y)
        known.x, known.y = x, y
        self._measure(known, width)
        if known.spoiled is None and self._went(known) > self.rules.slide_mm:
            known.spoiled = Verdict.SLID_OFF
        return known.spoiled is None and known.target is not None and (inside or self._drifted(known))

    def up(self, contact: int, x: float, y: float, *, inside: bool = True) -> Verdict:
        """A contact ends; only TAP fires its target."""
        held = self.move(contact, x, y, inside=inside)
        known = self._contacts.pop(contact, None)
        if known is None:
            return Verdict.SPENT
        if known.spoiled is not None:
            return known.spoiled
        if not held:
            return Verdict.SLID_OFF
        if self.clock() - known.since < self.rules.shortest_ms:
            return Verdict.TOO_SHORT
        if self.clock() - known.since > self.rules.longest_ms:
            return Verdict.TOO_LONG
        if self._repeats(known):
            return Verdict.REPEAT
        self._last_tap = (known.first_x, known.first_y, self.clock())
        for other in self._contacts.values():
            if other.target is known.target:
                other.spoiled = other.spoiled or Verdict.SPENT
        return Verdict.TAP

    def key(self, x: float, y: float) -> Verdict:
        """A key that stands for a touch at this place: a new screen and a repeat at the same place count as there."""
        now = self.touched_at = self.clock()
        contact = _Contact(x=x, y=y, first_x=x, first_y=y, since=now, target=None, quick=False)
        if not self.open():
            return Verdict.NEW_SCREEN
        if self._repeats(contact):
            return Verdict.REPEAT
        self._last_tap = (x, y, now)
        return Verdict.TAP

    def cancel(self, contact: int | None = None) -> None:
        """A contact, or every one, is gone without a lift-off."""
        if contact is None:
            self._contacts.clear()
        else:
            self._contacts.pop(contact, None)

    def target(self, contact: int) -> object | None:
        """What the contact came down on."""
        known = self._contacts.get(contact)
        return known.target if known else None

    def is_down(self, target: object) -> bool:
        """Is a contact that still counts on the target?"""
        return any(each.target is target and each.spoiled is None for each in self._contacts.values())

    def cloth_seen(self) -> bool:
        """Two touches of palm or cloth within two seconds: offer to wipe the screen. True once, then forgets."""
        now = self.clock()
        self._cloth = [at for at in self._cloth if now - at <= CLOTH_WITHIN_MS]
        if len(self._cloth) < 2:
            return False
        self._cloth.clear()
        return True

    def _measure(self, contact: _Contact, width: float) -> None:
        if width > self.rules.wide_mm or contact.path > self.rules.path_mm:
            self._spoil_as_cloth(contact)

    def _spoil_as_cloth(self, contact: _Contact) -> None:
        if contact.spoiled is Verdict.CLOTH:
            return
        contact.spoiled = Verdict.CLOTH
        now = self.clock()
        if not self._cloth or now - self._cloth[-1] > CLOTH_APART_MS:
            self._cloth.append(now)

    def _repeats(self, contact: _Contact) -> bool:
        if self._last_tap is None:
            return False
        x, y, at = self._last_tap
        near = hypot(contact.first_x - x, contact.first_y - y) <= self.rules.same_place_mm
        wait = self.rules.quick_repeat_ms if contact.quick else self.rules.repeat_ms
        return near and self.clock() - at < wait

    def _drifted(self, contact: _Contact) -> bool:
        return self._went(contact) <= self.rules.drift_mm

    def _went(self, contact: _Contact) -> float:
        """How far it is from where it came down, mm."""
        return hypot(contact.x - contact.first_x, contact.y - contact.first_y)


class ClosedGuard(TapGuard):
    """A guard that never opens: of screens that are only painted ahead."""

    def open(self) -> bool:
        """No touch counts."""
        return False
