"""Packing, papers on their way, the end of a trip."""

from kiosk.core.commands import (
    ChoosePackaging,
    PackAndPrint,
    Page,
    PlaceIndicators,
    PrintAgain,
    Readable,
    Turn,
    WriteByHand,
)
from kiosk.core.competency import wants_cosign
from kiosk.core.decide.packing import indicators_wanted
from kiosk.core.glance import Glance, asking_hand, hand, head, lumens_of, ring_of, unseen, work_hand
from kiosk.core.state.jobs import Job
from kiosk.core.state.trip import Trip
from kiosk.core.viewing.roster import cosign_keys
from kiosk.core.viewing.weighing import weigh_key, weight_words
from kiosk.core.views import AskView, DoneView, Key, PackView, PaperState, Plate, PrintView
from kiosk.core.weight import all_weighed, limit_words

INDICATORS_AT_MOST = 4


def pack(g: Glance) -> PackView:
    """Weight, indicators, packaging."""
    trip, say = g.trip, g.words.say
    tray = trip.tray
    weighed, least = tray.weighed, indicators_wanted(trip)
    missing = ""
    if weighed and not all_weighed(trip):
        missing = "pack.wait_weight"
    elif trip.indicators is None:
        missing = "pack.wait_indicators"
    elif not trip.packaging:
        missing = "pack.wait_packaging"
    elif wants_cosign(trip, g.desk):
        missing = "pack.wait_cosign"
    hidden = unseen(trip)
    saying = say("pack.saying")
    if hidden:
        words = say("paper.sheet.not_seen", n=hidden, all=len(lumens_of(trip)))
        saying = say("pack.saying_not_seen", not_seen=words[0].upper() + words[1:] + ".")
    return PackView(
        head=head(g),
        hand=work_hand(g, right=cosign_keys(g)),
        title=say("pack.title", name=tray.name),
        help=say("pack.help"),
        notice=g.said(),
        weight_title=say("pack.weight") if weighed else "",
        weight=weight_words(g, trip) or say("pack.weight_none"),
        weigh=weigh_key(g, trip) if weighed else None,
        weight_warning=say("weight.over", limit=limit_words(trip, g.desk.policy)) if trip.over_lb else "",
        indicator_title=say("pack.indicators"),
        indicators=tuple(
            Key(label=str(n), send=PlaceIndicators(count=n), name=f"indicators {n}")
            for n in range(least, least + INDICATORS_AT_MOST)
        ),
        placed=trip.indicators,
        packaging_title=say("pack.packaging"),
        packaging=tuple(
            Key(label=say(f"pack.kind.{kind}"), send=ChoosePackaging(kind=kind), name=kind) for kind in tray.packaging
        ),
        chosen=trip.packaging,
        saying=saying,
        main=None if missing else g.key("pack.main", PackAndPrint(), kind="main", icon="printer"),
        wait=say(missing) if missing else "",
    )


def papers_on_the_way(trip: Trip) -> list[Job]:
    """The newest job of each paper that is not yet read, in order."""
    newest = {(job.doc, job.number): job for job in trip.jobs}
    return [job for job in newest.values() if job.readable is None and not job.by_hand]


def printing(g: Glance) -> PrintView:
    """Papers being printed, or that could not be."""
    trip, say = g.trip, g.words.say
    failed = g.step.kind == "print_failed"
    jobs = papers_on_the_way(trip)
    return PrintView(
        head=head(g),
        hand=work_hand(g, change=False),
        title=say("print.failed_title") if failed else say("print.title"),
        help="" if failed else say("print.help"),
        notice=g.said(),
        papers=tuple(_paper(g, trip, job) for job in jobs),
        main=g.key("print.again", PrintAgain(), kind="main", icon="printer") if failed else None,
        others=(g.key("print.by_hand", _by_hand(jobs), name="by hand"),) if failed else (),
    )


def _by_hand(jobs: list[Job]) -> WriteByHand | Turn:
    """A ticket is written on a numbered form: its number is asked for."""
    tickets = any(job.doc == "return_ticket" and job.why and not job.settled for job in jobs)
    return Turn(page=Page.FORM) if tickets else WriteByHand()


def _paper(g: Glance, trip: Trip, job: Job) -> PaperState:
    say = g.words.say
    state = say("print.state.asked")
    if job.where:
        state = where_words(g, job.where)
    elif job.why:
        state = say("print.state.why")
    failed = bool(job.why) and not job.settled
    lines: tuple[str, ...] = ()
    if failed:
        from kiosk.core.composing import hand_copy

        lines = hand_copy(g, trip, job)
    return PaperState(
        name=say(f"print.doc.{job.doc}"),
        number=job.number,
        state=state,
        ring="clear" if job.settled else ("found" if failed else "now"),
        lines=lines,
    )


def readable(g: Glance) -> AskView:
    """Did the papers come out readable?"""
    trip, say = g.trip, g.words.say
    jobs = papers_on_the_way(trip)
    names = ", ".join(f"{say(f'print.doc.{job.doc}')} {job.number}" for job in jobs)
    where = ", ".join(dict.fromkeys(where_words(g, job.where) for job in jobs))
    kind = "pack_steps" if trip.packed_ms else ("tray_steps" if trip.back_ms else "ticket_steps")
    docs = {job.doc for job in jobs}
    if docs <= {"repair_tag", "quarantine_tag", "discard_note"}:
        kind = "discard_steps" if docs == {"discard_note"} else "tag_steps"
    steps = g.words.lines(f"readable.{kind}")
    return AskView(
        head=head(g, title=trip.tray.name),
        hand=asking_hand(g, ()),
        title=say("readable.title_many") if len(jobs) > 1 else say("readable.title"),
        help=say("readable.help", papers=names, where=where),
        notice=g.said(),
        steps=steps,
        no=Plate(
            word=say("check.no"),
            claim=say("readable.no_claim"),
            note=say("readable.no_note"),
            send=Readable(yes=False),
        ),
        yes=Plate(
            word=say("check.yes"),
            claim=say("readable.yes_claim"),
            note=say("readable.yes_note"),
            send=Readable(yes=True),
        ),
    )


def done(g: Glance) -> DoneView:
    """The trip has ended."""
    trip, say = g.trip, g.words.say
    ways = lumens_of(trip)
    rings = tuple(ring_of(trip, piece, way.name, g.step) for piece, way in ways)
    finished = sum(piece.lumen_done(way.name) for piece, way in ways)
    packed = trip.packed_ms is not None
    lines = [say("done.lines_lumens", done=finished, all=len(ways))] if ways else []
    if unseen(trip):
        lines.append(say("done.lines_not_seen", n=unseen(trip), all=len(ways)))
    lines += [f"{say(f'print.doc.{job.doc}')} {job.number}: {_where(g, job)}" for job in trip.jobs if job.settled]
    ticket = trip.tickets[-1].number if trip.tickets else ""
    ended = "packed" if packed else "home" if trip.left_ms is not None else "back"
    saying = say("done.saying", number=", ".join(trip.packages) or trip.package)
    if ended == "home":
        saying = say("done.saying_home", number=trip.id, n=len(trip.tray.lines))
    elif ended == "back":
        saying = say("done.saying_back", number=ticket)
    return DoneView(
        head=head(g, title=trip.tray.name),
        hand=hand(g),
        title=say(f"done.{ended}", name=trip.tray.name),
        notice=g.said(),
        rings=rings,
        saying=saying,
        lines=tuple(lines[-5:]),
        main=g.key("done.next", Turn(), kind="main", icon="arrow_right"),
    )


def _where(g: Glance, job: Job) -> str:
    say = g.words.say
    return say("print.state.by_hand") if job.by_hand else where_words(g, job.where)


def where_words(g: Glance, where: str) -> str:
    """Where a paper went: a queue's name, or the folder of its file (never a whole path)."""
    folder = where.replace("\\", "/").rpartition("/")[0].rpartition("/")[2]
    return g.words.say("print.state.folder", where=folder) if folder else g.words.say("print.state.where", where=where)
