"""What is shown of the supervisor's desk."""

from collections.abc import Callable

from kiosk.core.commands import Page, PrintReport, SayClockRight, TryReport, Turn
from kiosk.core.glance import Glance, back_hand, head
from kiosk.core.stamp import local_time
from kiosk.core.state.jobs import Job
from kiosk.core.together.returns import at_decontam
from kiosk.core.viewing import forms, hours, kept_pictures, lookback, numbers, summaries, unseen, usual, waiting
from kiosk.core.viewing.menus import Offer
from kiosk.core.viewing.packing import where_words
from kiosk.core.views import Key, PaperState, PrintView, Ring, View


def paper(g: Glance) -> PrintView:
    """How a paper of the desk stands: on its way, printed, or not taken by the printer."""
    say = g.words.say
    doc, _, number = (g.turn.subject if g.turn else "").partition("/")
    job = next((job for job in reversed(g.bench.jobs) if (job.doc, job.number) == (doc, number)), None)
    failed = job is not None and bool(job.why) and not job.settled
    dirty = at_decontam(g.bench, g.desk)
    back = Turn(page=Page.HANDOVER if dirty else Page.DESK)
    done = g.key(
        "desk.paper.to_list" if dirty else "desk.paper.done", back, kind="main", icon="arrow_right", name="paper done"
    )
    again = g.key("print.again", TryReport(doc=doc, number=number), kind="main", icon="printer", name="try again")
    others: tuple[Key, ...] = ()
    if job is not None and job.settled:
        others = (g.key("desk.paper.copy", PrintReport(doc=doc, number=number), icon="printer", name="print a copy"),)
    title = "desk.paper.failed" if failed else "desk.paper.printed" if job and job.settled else "print.title"
    return PrintView(
        head=head(g, title=g.bench_name),
        hand=back_hand(g, to=back),
        title=say(title),
        help=say("print.help"),
        notice=g.said(),
        papers=(_state(g, job),) if job else (),
        main=again if failed else done if job and job.settled else None,
        others=others,
    )


def _state(g: Glance, job: Job) -> PaperState:
    say = g.words.say
    failed = bool(job.why) and not job.settled
    state = where_words(g, job.where) if job.where else say("print.state.why" if failed else "print.state.asked")
    copy = f" · {say('paper.copy', n=job.copy + 1)}" if job.copy else ""
    ring: Ring = "clear" if job.settled else "found" if failed else "now"
    return PaperState(name=say(f"print.doc.{job.doc}"), number=job.number + copy, state=state, ring=ring)


def clock_offer(g: Glance) -> Key | None:
    """The desk's key for a clock in doubt: what it shows now is right."""
    if g.now.trusted:
        return None
    shown = f"{local_time(g.now.at_ms, g.now.offset_min):%Y-%m-%d %H:%M}"
    return g.key("desk.clock_right", SayClockRight(), icon="question", name="clock right", shown=shown)


STEPS: dict[str, Callable[[Glance], View]] = {}
PAGES: dict[Page, Callable[[Glance], View]] = {
    Page.PAPER: paper,
    **summaries.PAGES,
    **numbers.PAGES,
    **usual.PAGES,
    **hours.PAGES,
    **unseen.PAGES,
    **waiting.PAGES,
    **lookback.PAGES,
    **kept_pictures.PAGES,
    **forms.PAGES,
}
HAPPENED: tuple[Offer, ...] = ()
"""Keys of the page "Something happened"."""
RULINGS: tuple[Offer, ...] = ()
"""Keys of the supervisor's ruling."""
DESK: tuple[Offer, ...] = (
    clock_offer,
    waiting.needs_offer,
    summaries.offer,
    numbers.offer,
    waiting.handover_offer,
    lookback.offer,
    forms.offer,
    forms.audit_offer,
)
"""Keys of the supervisor's desk."""
SECONDS: dict[str, Callable[[Glance], View]] = {}
"""What a second person is asked, by what it is about."""
