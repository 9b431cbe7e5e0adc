"""The fold of a count that is asked again: what followed from the one before falls with it."""

from dataclasses import replace

from kiosk.core.folds.weight import unweighed
from kiosk.core.state.piece import is_missing
from kiosk.core.state.trip import Trip


def uncounted(trip: Trip) -> Trip:
    """The trip before its count, its weight and its packaging.

    What was let go short was let go for that count alone; a piece that was away is looked for and looked at again.
    """
    there = {
        name: replace(piece, disposition=None, note="", yes={}) if is_missing(piece) else piece
        for name, piece in trip.pieces.items()
    }
    return replace(
        unweighed(trip),
        pieces=there,
        counts={},
        counted=False,
        differences=(),
        search_over=frozenset(),
        extra_of={},
        short_by=frozenset(),
        indicators=None,
        packaging="",
    )
