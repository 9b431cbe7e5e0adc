"""Examples of the events of decontam."""

from kiosk.core import events as e
from kiosk.core.place import Place
from kiosk.core.state.tickets import CardFinding, TicketCard

EXAMPLES: tuple[e.Event, ...] = (
    e.TicketReceived(ticket="K-10007", by="typed", known=False, form="H-118"),
    e.TicketTold(
        card=TicketCard(
            number="K-10007",
            trip="1-000144",
            tray="TR-0417",
            whole_tray=True,
            pieces=("A3#1",),
            findings=(
                CardFinding(piece="A3#1", key="bore.swab", code="bone_grit", place=Place(lumen="bore", at_mm=130)),
            ),
            why="stopped",
            load="W-2211",
            at_ms=1_920_000_000_000,
            more=2,
            marks=("SH-0031",),
        ),
        code="T1:ABC:",
        vouched=True,
    ),
    e.TicketNotHere(ticket="K-10007"),
    e.TicketAbsenceSeen(ticket="K-10007"),
    e.TicketAnswered(ticket="K-10007", says="cannot_shift"),
    e.DirtyChecked(id="D1/17", tray="TR-0417", piece="A3#1", ticket="K-10007"),
    e.DirtyCheckFound(piece="A3#1", id="D1/17"),
    e.DirtyCheckAbsent(piece="A3#1"),
    e.AnswerHeard(ticket="K-10007", says="cleaned"),
    e.ItemReturnedClean(ticket="K-10007", load="W-2211"),
    e.TicketClosed(
        ticket="K-10007",
        why="new_trip",
        load="W-2211",
        names=("Shaver blade, 4.5 mm",),
        codes=("bone_grit", "slime"),
        says="nothing",
    ),
    e.RecheckStarted(ticket="K-10007", load="W-2211", pieces=("A3#1", "A3#2"), says="cleaned"),
)
"""One example of every event, none of it left at its default where that tells nothing. Golden files hold these."""
