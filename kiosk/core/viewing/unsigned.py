"""What somebody saw who can not sign in: which tray, and what. And the page of whoever takes it on."""

from kiosk.core.commands import NoteUnsigned, Page, TakeOnUnsigned, Turn
from kiosk.core.decide.unsigned import CHOICES
from kiosk.core.dispositions import UNSIGNED
from kiosk.core.glance import Glance, back_hand, head, work_hand
from kiosk.core.state.trip import Trip
from kiosk.core.viewing.rows import in_a_line, listed
from kiosk.core.views import AskView, Band, Key, ListRow, ListView, Plate


def _open(g: Glance) -> tuple[Trip, ...]:
    return tuple(trip for trip in g.bench.trips.values() if not trip.ended)


def note_key(g: Glance) -> tuple[Key, ...]:
    """The key on the sign-in page, where a tray is open here."""
    if g.bench.who is not None or g.desk.side == "decontam" or not _open(g):
        return ()
    return (g.key("unsigned.key", Turn(page=Page.UNSIGNED), icon="warning", name="saw something"),)


def unsigned(g: Glance) -> ListView:
    """Which of the open trays, the one that lay here last first; then what was seen."""
    say, known = g.words.say, g.bench.trips.get(g.turn.subject if g.turn else "")
    if known is not None and not known.ended:
        rows = [
            ListRow(
                title=g.desk.findings[code].say,
                sub=g.desk.findings[code].looks,
                send=NoteUnsigned(trip=known.id, code=code),
                name=f"saw {code}",
            )
            for code in g.desk.choices[CHOICES]
        ]
        title = say("unsigned.what", tray=known.tray.name)
    else:
        trips = sorted(_open(g), key=lambda trip: trip.id != g.bench.current)
        rows = [
            ListRow(
                title=trip.tray.name,
                sub=trip.tray.code,
                send=Turn(page=Page.UNSIGNED, subject=trip.id),
                name=f"saw in {trip.tray.code}",
            )
            for trip in trips
        ]
        title = say("unsigned.which")
    return listed(
        g,
        rows,
        page=Page.UNSIGNED,
        subject=g.turn.subject if g.turn else "",
        title=title,
        help_=say("unsigned.help"),
        nothing=say("unsigned.nothing"),
        hand=back_hand(g),
    )


def take_on(g: Glance) -> AskView:
    """Somebody noted something here without a name: whoever is at work now takes it on."""
    say = g.words.say
    seen = [g.desk.findings[hold.code].say for hold in g.trip.holds if UNSIGNED in hold.waits_for]
    return AskView(
        head=head(g),
        hand=work_hand(g),
        title=say("unsigned.ask"),
        help=say("unsigned.ask_help"),
        notice=g.said(),
        band=Band(words=in_a_line(g, seen)),
        no=Plate(word=say("startup.no"), claim=say("unsigned.not_now"), send=Turn(page=Page.STOP)),
        yes=Plate(word=say("startup.yes"), claim=say("unsigned.take_on"), send=TakeOnUnsigned()),
    )
