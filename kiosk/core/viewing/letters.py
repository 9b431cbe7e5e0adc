"""A page of letters for a few words: what every note on the screen shares."""

from kiosk.core.glance import Glance, back_hand, head
from kiosk.core.views import Hand, Head, Key, NoteView

NOTE_AT_MOST = 120
"""Letters of a note in a supervisor's own words."""


def letters(
    g: Glance,
    *,
    title: str,
    done: Key,
    most: int = NOTE_AT_MOST,
    top: Head | None = None,
    hand: Hand | None = None,
    help_: str = "",
    field: str = "note",
    by: str = "",
    piece: str = "",
) -> NoteView:
    """Up to `most` letters for a field of what `done` sends. `top`, `hand`: those of a page laid over the work."""
    return NoteView(
        head=top or head(g),
        hand=hand or back_hand(g),
        title=title,
        help=help_,
        notice=g.said(),
        field=field,
        by=by,
        piece=piece,
        most=most,
        done=done,
        erase=g.words.say("number.erase"),
        space=g.words.say("number.space"),
    )
