"""Examples of the events of decontam."""

from kiosk.core import events as e

EXAMPLES: tuple[e.Event, ...] = (
    e.TicketReceived(ticket="K-10007", by="typed", known=False, form="H-118"),
    e.TicketNotHere(ticket="K-10007"),
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
