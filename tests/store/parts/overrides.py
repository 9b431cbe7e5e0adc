"""Examples of the events of overrides."""

from kiosk.core import events as e

EXAMPLES: tuple[e.Event, ...] = (
    e.OverrideGiven(
        what="missing_pack_short", subjects=("Forceps",), reason="not_found", words="seven are enough", by="S1"
    ),
    e.OverrideDone(
        n=4,
        what="missing_pack_short",
        subjects=("Forceps",),
        reason="other",
        words="lent to the clinic",
        asked="T1",
        by="S1",
        second="T4",
        phone=True,
    ),
    e.OverrideRefused(what="single_use_found", subjects=("M1",), by="S1", why="never"),
    e.OverrideCosigned(n=4, yes=True),
)
