"""Does a feed live? Pure: what frames hold, and when, goes in; frozen, black or live comes out. The clock is given."""

from dataclasses import dataclass, field
from enum import StrEnum


class Feed(StrEnum):
    """How a feed stands."""

    WAITING = "waiting"
    NEVER_CAME = "never came"
    LIVE = "live"
    FROZEN = "frozen"
    BLACK = "black"


@dataclass(slots=True, kw_only=True)
class FeedWatch:
    """Watches one feed from `begin` on. All its figures are choices of the house, no published ones.

    `first_ms`: so long a first frame may take. `frozen_ms`: so long nothing new may come; a sensor's own noise makes
    two frames differ even where nothing moves. What it can not see: a frozen picture that an encoder of a stream codes
    anew, a little different each time. `black_under`: the lightness L* (CIE 1976, 0 to 100) that the lightest
    place of a frame must reach; `black_ms`: so long frames may stay under it (a lamp being switched on).
    """

    first_ms: int = 10_000
    frozen_ms: int = 3_000
    black_under: float = 8.0
    black_ms: int = 1_000
    _since: int = 0
    _content: int | None = None
    _new_at: int | None = field(default=None)
    _dark_since: int | None = None

    def begin(self, at_ms: int) -> None:
        """A first frame is waited for."""
        self._since, self._content, self._new_at, self._dark_since = at_ms, None, None, None

    def saw(self, content: int, lightest: float, at_ms: int) -> None:
        """A frame came: a number that differs where its content does, and the L* of its lightest place."""
        if self._new_at is None or content != self._content:
            self._content, self._new_at = content, at_ms
        if lightest >= self.black_under:
            self._dark_since = None
        elif self._dark_since is None:
            self._dark_since = at_ms

    def feed(self, at_ms: int) -> Feed:
        """How it stands now. Black is told before frozen: a black feed often is both, and the lamp comes first."""
        if self._new_at is None:
            return Feed.NEVER_CAME if at_ms - self._since >= self.first_ms else Feed.WAITING
        if self._dark_since is not None and at_ms - self._dark_since >= self.black_ms:
            return Feed.BLACK
        return Feed.FROZEN if at_ms - self._new_at >= self.frozen_ms else Feed.LIVE
