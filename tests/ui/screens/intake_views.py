"""Views of decontam's station as they come and at their longest: before and after a return is taken in."""

from dataclasses import replace

from kiosk.core import commands as c
from kiosk.core import views as v
from kiosk.core.together.answers import ANSWERS
from tests.ui.screens.rails import AID, BACK, ITEM_48, LANDMARK_48, LUMEN_24, TRAY_48, WIPE, band, key, lines, say

NUMBER_LONG = "R-9417"
SAID = "Blood or tissue"
SAID_LONG = "Brown film, does not lift off +3"  # the first of four
EFFORT = "3 brush passes, 6 flushes. Do not brush the optic window."


def head(*, long: bool = False) -> v.Head:
    """Decontam's head rail; with the printer out where `long`."""
    title, waiting = say("intake.rail"), say("intake.waiting", n=27 if long else 3)
    notice = say("rail.printer_down") if long else ""
    return v.Head(title=title, short=f"{title} · {waiting}", who="Sam K." if long else "", bench=waiting, notice=notice)


def hand(first: v.Key) -> v.Hand:
    """Decontam's hand rail: nobody has to sign in."""
    typed = key("intake.type", c.Turn(page=c.Page.TYPE_NUMBER, subject="ticket"), icon="keys")
    sign_in = key("intake.sign_in", c.Turn(page=c.Page.NAMES), icon="arrow_right")
    return v.Hand(left=(first, typed), right=(WIPE, sign_in), aid=AID)


def idle(*, small: bool, long: bool = False, waits: bool = True) -> v.IdleView:
    """The number alone, or that nothing waits."""
    number = NUMBER_LONG if long else "R-417"
    scope = say("paper.ticket.tray" if long else "paper.ticket.piece")
    return v.IdleView(
        head=head(long=long),
        hand=hand(key("intake.list", c.Turn(page=c.Page.RETURNS), icon="" if small else "tray")),
        title=say("intake.scan"),
        number=number if waits else "",
        said=f"{scope} · {SAID_LONG if long else SAID}" if waits else "",
        more=say("intake.more", n=26) if waits and long else "",
        nothing="" if waits else say("intake.nothing"),
        open=v.Key(label=number, send=c.Turn(page=c.Page.INTAKE, subject=number), name="open") if waits else None,
    )


def before(number: str) -> tuple[v.Key, ...]:
    """The two keys of a return that is on its way."""
    have = key("intake.have", c.ReceiveTicket(ticket=number, by="touch"), icon="tray", main=True)
    return have, key("intake.not_here", c.NotHere(ticket=number), icon="question")


def answers(number: str, *, check: bool = False) -> tuple[v.Key, ...]:
    """The four answers to a return that was taken in; `check` for one sent to be looked at on this side."""
    about = "intake.check" if check else "intake.answer"
    return tuple(
        key(f"{about}.{says}", c.AnswerTicket(ticket=number, says=says), name=f"answer {says}") for says in ANSWERS
    )


def coming(*, long: bool = False) -> tuple[v.Key, ...]:
    """Who is next in line."""
    said = SAID_LONG if long else SAID
    return tuple(
        v.Key(
            label=f"R-{n}\n{said}", send=c.Turn(page=c.Page.INTAKE, subject=f"R-{n}"), icon="blood", name=f"open R-{n}"
        )
        for n in (418, 419)
    )


def intake(*, long: bool = False, picture: str = "", sha256: str = "") -> v.IntakeView:
    """A return on its way."""
    number = NUMBER_LONG if long else "R-417"
    sent = say("intake.state.sent", time="14:02 (2 h 12 min)")
    return v.IntakeView(
        head=head(long=long),
        hand=hand(BACK),
        title=f"{ITEM_48} · {LUMEN_24}" if long else "Suction tube 10 Fr",
        help=TRAY_48 if long else "General tray 12",
        number=number,
        ring="found",
        word=say("decision.word.item_back"),
        scope=say("paper.ticket.tray" if long else "paper.ticket.piece"),
        said=SAID_LONG if long else SAID,
        band=band(long=long),
        todo=(
            "Clean this lumen again. Start at step 1.",
            *(("Open every cap, valve and clamp first.",) if long else ()),
        ),
        lines=(EFFORT, f"{sent} · {say('intake.load', load='W-0412-07')}") if long else (sent,),
        photo=picture,
        photo_sha256=sha256,
        photo_words=say("intake.photo", place=LANDMARK_48 if long else say("place.at", cm=13)) if picture else "",
        next_title=say("intake.next"),
        next=coming(long=long),
        keys=before(number),
    )


def unknown() -> v.IntakeView:
    """A ticket that this station has not heard of: the paper tells."""
    return replace(
        intake(),
        title=say("intake.details_follow"),
        help="",
        ring="unsure",
        word=say("intake.details_word"),
        scope="",
        said="",
        band=None,
        todo=lines("intake.details_lines"),
        lines=(),
    )


def every(*, small: bool, picture: str = "", sha256: str = "") -> dict[str, v.View]:
    """Every view of decontam's station, by a name for its picture; `picture` is the file of a kept picture."""
    usual, long = (intake(long=each, picture=picture, sha256=sha256) for each in (False, True))
    return {
        "idle": idle(small=small),
        "idle_long": idle(small=small, long=True),
        "idle_nothing": idle(small=small, waits=False),
        "intake": usual,
        "intake_long": long,
        "intake_no_picture": replace(usual, photo="", photo_words=""),
        "intake_alone": replace(usual, photo="", photo_words="", next=()),
        "intake_no_band": replace(long, band=None),
        "intake_received": replace(usual, keys=answers("R-417")),
        "intake_received_long": replace(long, keys=answers(NUMBER_LONG)),
        "intake_to_look_at": replace(long, keys=answers(NUMBER_LONG, check=True), ring="unsure"),
        "intake_answered": replace(usual, keys=answers("R-417"), chosen="answer cleaned"),
        "intake_unknown": unknown(),
        "intake_unknown_received": replace(unknown(), keys=answers("R-417")),
    }
