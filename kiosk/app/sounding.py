"""When the bench sounds: one table, after what happened is on the screen. Each sound is an extra to a picture.

The policy says which (`sounds`: two | many) and how loud (`sound_level`: silent | low | normal); it is the supervisor's
to sign, nobody changes it at the glass. `two`: a scan that was taken (short), and what stops the hand (long). `many`:
touches, the three answers, and a touch that the guard did not take besides. The one sound that calls a person from
elsewhere, a new return in decontam, belongs to both: once, and again every five minutes until nothing waits.
"""

from collections.abc import Callable, Iterable
from typing import Any

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.session import Session
from kiosk.core.stamp import Kept
from kiosk.core.together.returns import at_decontam, waiting
from kiosk.devices.sound import Plays

AGAIN_MS = 5 * 60_000
"""A return that still waits is called out again after so long (the look, 2.13)."""

OF_TWO = frozenset({"scan", "stop", "new_return"})
"""What sounds where the policy says `two`."""

FILE = {"scan": "taken", "touch": "taken", "stop": "not_taken", "not_taken": "not_taken"}
"""What happened -> the sound's name, where it is another."""


class Sounding:
    """Follows one session; `player` None: a station without sounds. `clock`: the steady clock, ms."""

    def __init__(self, session: Session, player: Plays | None, clock: Callable[[], int]) -> None:
        self._session, self._player, self._clock = session, player, clock
        self._waiting: frozenset[str] = frozenset()
        self._called: int | None = None

    def follow(self, send: c.Send, kept: Iterable[Kept], before: Any) -> None:
        """A command was followed or refused; `before` is the notice that stood when it came."""
        happened = happening(send, tuple(kept), self._session.notice, before)
        if happened:
            self._sound(happened)

    def not_taken(self) -> None:
        """The guard of the glass let a touch go by."""
        self._sound("not_taken")

    def look(self, *, news: bool = True) -> None:
        """In decontam: does a new return wait, or one that has waited for long? Called with each listening."""
        session, now = self._session, self._clock()
        again = self._called is not None and now - self._called >= AGAIN_MS
        if not (news or again) or not at_decontam(session.bench, session.desk):
            return
        numbers = frozenset(each.number for each in waiting(session.bench, session.desk))
        new, self._waiting = bool(numbers - self._waiting), numbers
        if new or (again and numbers):
            self._called = now
            self._sound("new_return")
        elif not numbers:
            self._called = None

    def _sound(self, happened: str) -> None:
        policy = self._session.desk.policy
        if self._player is not None and (policy.sounds == "many" or happened in OF_TWO):
            self._player.play(FILE.get(happened, happened), policy.sound_level)


_BY_ITSELF = (c.Started, c.Heard, c.SignOut, c.PrintCame, c.TellBackup, c.TellRoomMade, c.DropPictures)
"""Commands that no hand gives; signing out is also what quiet does."""


def happening(send: c.Send, kept: tuple[Kept, ...], notice: Any, before: Any) -> str:
    """What there is to sound: scan, stop, yes, no, unsure, touch; "" for what came by itself."""
    if isinstance(send, _BY_ITSELF):
        return ""
    refused = notice is not None and notice[0].startswith("refused.") and (notice != before or not kept)
    wrong = any(isinstance(each.event, e.WrongScan) for each in kept)
    if refused or wrong:
        return "stop"
    match send:
        case c.Scanned():
            return "scan"
        case c.Answer(unsure=True):
            return "unsure"
        case c.Answer(yes=yes) | c.AnswerStartup(yes=yes):
            return "yes" if yes else "no"
        case _:
            return "touch"
