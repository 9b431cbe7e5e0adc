"""What becomes of the pieces and the tray as things stand, what the tray waits for, which pieces want a ruling."""

from kiosk.core.state.piece import TRAY, Piece, is_missing
from kiosk.core.state.trip import Trip
from kiosk.core.vocabulary import Disposition

OUT = frozenset(
    {
        Disposition.ITEM_BACK,
        Disposition.TRAY_BACK,
        Disposition.REPAIR,
        Disposition.QUARANTINE,
        Disposition.DISCARD,
        Disposition.HOLD,
        Disposition.SECOND_LOOK,
    }
)
"""A piece with one of these is not in the tray (or not to be packed): the tray waits for it or for a spare."""


EXPOSED = "@exposed"
"""What a tray waits for over which everything was stopped: the supervisor's ruling."""


UNSIGNED = "@unsigned"
"""What a tray waits for on which something was noted without a sign-in: somebody who takes it on."""


RULED = frozenset({Disposition.HOLD, Disposition.REPAIR, Disposition.ITEM_BACK, Disposition.QUARANTINE})
"""A lumened piece with one of these may wait for a supervisor's ruling: a spare, or quarantine."""


def ruled_pieces(trip: Trip | None) -> tuple[Piece, ...]:
    """The pieces that wait for a ruling: held ones first, those in quarantine last; of alike ones the last listed."""
    if trip is None:
        return ()
    waiting = [p for p in trip.pieces.values() if p.item and p.disposition in RULED and p.name not in trip.replaced]
    at = {piece.name: number for number, piece in enumerate(waiting)}
    return tuple(sorted(waiting, key=lambda piece: (_wants_ruling(piece), at[piece.name]), reverse=True))


def ruled_piece(trip: Trip | None, number: int = 0) -> Piece | None:
    """The piece that a supervisor picked among those that wait for a ruling, from 0."""
    waiting = ruled_pieces(trip)
    return waiting[number] if number < len(waiting) else None


def _wants_ruling(piece: Piece) -> int:
    if piece.disposition is Disposition.HOLD and not is_missing(piece):
        return 2
    return 0 if piece.disposition is Disposition.QUARANTINE else 1


def waits(trip: Trip) -> tuple[str, ...]:
    """The pieces (or count lines) without which the tray cannot be packed, and what is said of it as a whole.

    The latter begin with `@` (`@weight`): a hold that waits for one stands until it is released by name.
    """
    short = {line.item for line in trip.tray.lines if line.name in trip.short_by}
    listed = {line.item for line in trip.tray.lines}
    out = [p for p in trip.pieces.values() if p.disposition in OUT and p.name not in trip.replaced]
    pieces = tuple(
        p.name
        for p in out
        if not (is_missing(p) and p.plan.item in short)
        and not (p.disposition is Disposition.DISCARD and p.plan.item in listed)  # its line is short
    )
    lines = tuple(line for line, _, _ in trip.differences if line not in trip.short_by)
    if not trip.counted:  # what a count was held for, until there is another one
        names = {line.name for line in trip.tray.lines}
        lines = tuple(name for hold in trip.holds for name in hold.waits_for if name in names)
    whole = tuple(name for hold in trip.holds for name in hold.waits_for if name.startswith("@"))
    return pieces + lines + whole


def shorts(trip: Trip) -> tuple[tuple[str, int, int], ...]:
    """The count lines that have too few: (line, want, have)."""
    return tuple(row for row in trip.differences if row[2] < row[1])


def disposition(piece: Piece) -> Disposition:
    """What becomes of the piece as things stand."""
    if piece.disposition is not None:
        return piece.disposition
    return Disposition.PACK if piece.all_yes and (piece.dirty or not piece.plan.hold) else Disposition.NOT_STARTED


def tray_disposition(trip: Trip) -> Disposition:
    """What becomes of the tray as things stand."""
    if trip.back_ms is not None:
        return Disposition.TRAY_BACK
    if trip.left_ms is not None:
        return Disposition.CLOSED
    if trip.packed_ms is not None:
        return Disposition.PACK_SHORT if trip.packed_short else Disposition.PACK
    return Disposition.HOLD if trip.holds else Disposition.NOT_STARTED


def dispositions(trip: Trip) -> dict[str, Disposition]:
    """What became of the tray (under its code) and of each piece, as things stand."""
    out = {trip.tray.code: tray_disposition(trip)}
    out |= {piece.name: disposition(piece) for piece in trip.pieces.values() if piece.name != TRAY}
    return out
