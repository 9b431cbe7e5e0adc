"""What is shown of the kit."""

from collections.abc import Callable

from kiosk.core.commands import LeaveScope, OpenSwabLot, Page, PrintReport, SetLotAside, Turn
from kiosk.core.decide.kit import GAPS, LOT_LETTERS
from kiosk.core.glance import Glance, back_hand, head
from kiosk.core.past.kit_log import kit_out
from kiosk.core.viewing.letters import letters
from kiosk.core.viewing.menus import Offer
from kiosk.core.viewing.rows import listed
from kiosk.core.views import Key, ListRow, ListView, MenuView, NoteView, View
from kiosk.core.vocabulary import Role


def scope_gap(g: Glance) -> MenuView:
    """Why does the scope go on without a cleaning?"""
    say = g.words.say
    by = g.turn.subject if g.turn else ""
    return MenuView(
        head=head(g),
        hand=back_hand(g),
        title=say("kit.gap.title", scope=g.step.scope),
        help=say("kit.gap.help"),
        notice=g.said(),
        lines=g.words.lines("kit.gap.lines"),
        keys=tuple(
            g.key(f"kit.gap.why.{why}", LeaveScope(reason=why, by=by), name=f"gap {why}")
            for why in GAPS
            if by or why != "told"
        ),
    )


def gap_key(g: Glance) -> Key | None:
    """The key on the scope's page that leads there; behind a supervisor's badge where policy says so."""
    if g.desk.policy.scope_gap == "anyone":
        return g.key("kit.gap.key", Turn(page=Page.SCOPE_GAP), name="scope gap")
    if g.desk.policy.scope_gap == "supervisor":
        return g.key("rail.supervisor", Turn(page=Page.NAMES, subject="ruling:"), icon="lock")
    return None


def _gap_ruling(g: Glance) -> Key | None:
    if g.step.kind != "scope" or g.desk.policy.scope_gap != "supervisor":
        return None
    by = g.turn.subject if g.turn else ""
    return g.key("kit.gap.key", Turn(page=Page.SCOPE_GAP, subject=by), name="scope gap")


def new_lot(g: Glance) -> NoteView:
    """The lot of a new box of swabs, typed where it has no code to scan."""
    say = g.words.say
    return letters(
        g,
        title=say("kit.lot.title"),
        help_=say("kit.lot.help"),
        field="lot",
        most=LOT_LETTERS,
        done=g.key("kit.lot.done", OpenSwabLot(lot=""), kind="main", icon="arrow_right"),
    )


def _new_lot(g: Glance) -> Key | None:
    return g.key("kit.lot.key", Turn(page=Page.SWAB_LOT), name="new swab lot") if g.desk.catalogue.kit.swabs else None


def swab_lots(g: Glance) -> ListView:
    """The lot in use, and those that were set aside."""
    say = g.words.say
    lot = g.bench.swab_lot
    using = [ListRow(title=lot, value=say("kit.lot.in_use"))] if lot and lot not in g.bench.lots_aside else []
    aside = [ListRow(title=one, value=say("kit.lot.aside")) for one in reversed(g.bench.lots_aside)]
    return listed(
        g,
        [*using, *aside],
        page=Page.SWAB_LOTS,
        title=say("kit.lot.list_title"),
        help_=say("kit.lot.list_help"),
        nothing=say("kit.lot.none"),
        main=g.key("kit.lot.set_aside", SetLotAside(lot=lot), kind="main", name="set aside") if using else None,
    )


def kit_page(g: Glance) -> ListView:
    """What is out of use at this bench, and how to work without it; the scopes' logs."""
    say = g.words.say
    rows = [
        ListRow(
            title=say(f"kit.out.{one.what}", name=one.name),
            sub=say(f"kit.without.{one.what}"),
            value=g.since(one.since_ms) if one.since_ms else "",
        )
        for one in kit_out(g.bench, g.desk)
    ]
    rows += [
        ListRow(
            title=say("kit.log_row", scope=scope.id),
            icon="printer",
            send=PrintReport(doc="scope_log", about=scope.id),
            name=f"log {scope.id}",
        )
        for scope in g.desk.catalogue.kit.scopes
    ]
    return listed(g, rows, page=Page.KIT, title=say("kit.title"), nothing=say("kit.nothing"))


def _lead(g: Glance) -> bool:
    person = g.desk.catalogue.people.get(g.bench.who or "")
    return person is not None and person.role is Role.SUPERVISOR


def _desk_kit(g: Glance) -> Key | None:
    return g.key("kit.key", Turn(page=Page.KIT), icon="tray", name="kit") if _lead(g) else None


def _desk_lots(g: Glance) -> Key | None:
    asked = _lead(g) and (g.bench.swab_lot or g.bench.lots_aside)
    return g.key("kit.lot.desk_key", Turn(page=Page.SWAB_LOTS), name="swab lots") if asked else None


STEPS: dict[str, Callable[[Glance], View]] = {}
PAGES: dict[Page, Callable[[Glance], View]] = {
    Page.SCOPE_GAP: scope_gap,
    Page.SWAB_LOT: new_lot,
    Page.SWAB_LOTS: swab_lots,
    Page.KIT: kit_page,
}
HAPPENED: tuple[Offer, ...] = (_new_lot,)
"""Keys of the page "Something happened"."""
RULINGS: tuple[Offer, ...] = (_gap_ruling,)
"""Keys of the supervisor's ruling."""
DESK: tuple[Offer, ...] = (_desk_kit, _desk_lots)
"""Keys of the supervisor's desk."""
SECONDS: dict[str, Callable[[Glance], View]] = {}
"""What a second person is asked, by what it is about."""
