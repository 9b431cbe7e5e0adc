"""Examples of the events of reference pictures."""

from kiosk.core import events as e

EXAMPLES: tuple[e.Event, ...] = (
    e.ReferenceOffered(
        number="RF-10001", type="fine_suction", finding="bone_grit", file="reference_7a.png", sha256="7a" * 32
    ),
    e.ReferenceAgreed(number="RF-10001"),
    e.ReferenceTakenBack(number="RF-10001"),
)
