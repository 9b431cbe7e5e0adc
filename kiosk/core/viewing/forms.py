"""Spare forms and the audit pack, on the screen."""

from collections.abc import Callable

from kiosk.core.commands import DrawAudit, EnterForm, IssueForms, Page, Turn
from kiosk.core.glance import Glance, back_hand, head
from kiosk.core.viewing.letters import letters
from kiosk.core.views import Key, MenuView, NoteView, View

TICKETS, SHEETS, TRIPS = 50, 20, 20
STEPS = ("paper", "tray", "done", "said")


def offer(g: Glance) -> Key | None:
    """The desk's key to the spare forms."""
    return g.key("forms.key", Turn(page=Page.FORMS), icon="printer", name="spare forms")


def audit_offer(g: Glance) -> Key | None:
    """The desk's key that draws an audit pack."""
    return g.key("audit.key", DrawAudit(many=TRIPS), icon="printer", name="audit pack", n=TRIPS)


def forms(g: Glance) -> MenuView:
    """Print spare forms, or enter one that was filled in by hand."""
    say = g.words.say
    tickets = IssueForms(kind="return_ticket", many=TICKETS)
    sheets = IssueForms(kind="tray_sheet", many=SHEETS)
    return MenuView(
        head=head(g, title=g.bench_name),
        hand=back_hand(g, to=Turn(page=Page.DESK)),
        title=say("forms.screen_title"),
        help=say("forms.screen_help"),
        notice=g.said(),
        lines=g.words.lines("forms.how"),
        keys=(
            g.key("forms.tickets", tickets, icon="printer", name="spare tickets", n=TICKETS),
            g.key("forms.sheets", sheets, icon="printer", name="spare sheets", n=SHEETS),
            g.key("forms.enter", Turn(page=Page.FORM_FILLED), icon="keys", name="enter a form"),
        ),
    )


def form(g: Glance) -> NoteView:
    """One field of a form after the other: its number, the tray, the time of doing, what it says."""
    say = g.words.say
    given = [part for part in (g.turn.subject if g.turn else "").split("/") if part]
    step = STEPS[min(len(given), len(STEPS) - 1)]
    so_far = dict(zip(STEPS, given, strict=False))
    return letters(
        g,
        top=head(g, title=g.bench_name),
        hand=back_hand(g, to=Turn(page=Page.FORMS)),
        title=say(f"forms.ask.{step}"),
        help_=say(f"forms.ask_help.{step}"),
        field=step,
        most=80 if step == "said" else 20,
        done=g.key("forms.next", EnterForm(**so_far), kind="main", icon="arrow_right", name="next field"),
    )


PAGES: dict[Page, Callable[[Glance], View]] = {Page.FORMS: forms, Page.FORM_FILLED: form}
