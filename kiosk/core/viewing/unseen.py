"""What is never seen, on the glass: the answer in words, bars by type, the not-seen list, what kit would change."""

from collections.abc import Callable

from kiosk.core.commands import Page, PrintReport, Turn
from kiosk.core.composing import unseen as told
from kiosk.core.glance import Glance, back_hand, head
from kiosk.core.unseen import KitChanges, KitGain, NotSeen
from kiosk.core.viewing.rows import listed, shown
from kiosk.core.views import Key, ListRow, ListView, MenuView, Panel, PanelsView, View
from kiosk.core.words import capital

BARS, BARS_SMALL = 8, 4
GAINS, GAINS_SMALL = 6, 4
HOW = "?"
ONE, TWO, PRICE = "one", "two", "price"


def offer(g: Glance) -> tuple[Key, ...]:
    """The key of the numbers' first page; none where nobody reckons."""
    key = g.key("unseen.key", Turn(page=Page.UNSEEN), icon="arrow_right", name="what we never see")
    return (key,) if g.desk.unseen else ()


def unseen_page(g: Glance) -> PanelsView | MenuView:
    """Which share of the inner wall is never seen and never touched, and of which item types."""
    say, found = g.words.say, told.never_seen_of(g)
    here, back = Turn(page=Page.UNSEEN), Turn(page=Page.NUMBERS)
    if found is None:
        return _lines(g, (say("unseen.report.none"),), say("unseen.head"), back)
    lines = told.how_walls(g)
    if _asks_how(g):
        return _lines(g, lines, say("unseen.head"), here)
    of, other = _senses(g)
    others = [
        g.key("unseen.kit.key", Turn(page=Page.KIT_CHANGES), icon="arrow_right", name="kit changes"),
        g.key(f"unseen.to.{other}", Turn(page=Page.UNSEEN, subject=other), icon="arrow_right", name=f"not {other}"),
    ]
    if g.small:  # no room under the chart
        others.append(_how_key(g, Page.UNSEEN))
    panel = Panel(
        title=say(f"unseen.panel.{of}"),
        drawing=told.wall_bars(g, found.by_type, BARS_SMALL if g.small else BARS, of, below=g.small),
        note="" if g.small else say(f"unseen.order.{of}"),
        nothing=say(f"unseen.nothing.{of}") if found.whole.wall_mm2 else say("unseen.answer_none"),
    )
    return PanelsView(
        head=head(g, title=say("unseen.head")),
        hand=back_hand(g, to=back if of == "seen" else here),
        title=told.answer_words(g, found.whole, short=g.small),
        help=told.areas_words(g, found.whole, short=g.small),
        notice=g.said(),
        panels=(panel,),
        lines=() if g.small else lines,
        main=g.key("unseen.list.key", Turn(page=Page.UNSEEN_LIST), kind="main", icon="arrow_right", name="not seen"),
        others=tuple(others),
    )


def _senses(g: Glance) -> tuple[told.Sense, told.Sense]:
    """Which share the bars tell, and the other one."""
    return ("touched", "seen") if g.turn is not None and g.turn.subject == "touched" else ("seen", "touched")


def _asks_how(g: Glance) -> bool:
    return g.turn is not None and g.turn.subject == HOW


def _how_key(g: Glance, page: Page) -> Key:
    return g.key("unseen.how", Turn(page=page, subject=HOW), icon="question", name="how")


def _lines(g: Glance, lines: tuple[str, ...], title: str, back: Turn, keys: tuple[Key, ...] = ()) -> MenuView:
    return MenuView(
        head=head(g, title=g.words.say("unseen.head")),
        hand=back_hand(g, to=back),
        title=title,
        notice=g.said(),
        lines=lines,
        keys=keys,
    )


def unseen_list(g: Glance) -> ListView:
    """Every lumen not seen in full, with its reason: the most wall a week first, unknown sizes last."""
    say, found = g.words.say, told.never_seen_of(g)
    rows = found.not_seen if found else ()
    return listed(
        g, [_row(g, row) for row in rows[shown(g, len(rows))]], many=len(rows), page=Page.UNSEEN_LIST,
        about=head(g, title=say("unseen.head")),
        title=told.counted(g, "listed", len(rows)), help_=say("unseen.list.help") if rows else "",
        nothing=say("unseen.list.nothing"), back=Turn(page=Page.UNSEEN),
        main=g.key("unseen.print", PrintReport(doc="unseen_report"), kind="main", icon="printer", name="print unseen"),
    )  # fmt: skip


def _row(g: Glance, row: NotSeen) -> ListRow:
    """On the small screen the tray and what stands in brackets are left to the page that the row opens."""
    say, much, reason = g.words.say, told.lacking_words(g, row), told.reason_words(g, row)[0]
    small = say("unseen.list.sub_small", much=capital(much), reason=told.brief(reason))
    return ListRow(
        title=say("unseen.list.row_small", name=row.name, lumen=row.lumen) if g.small else told.lumen_words(g, row),
        sub=small if g.small else reason,
        value="" if g.small else much,
        icon="arrow_right",
        send=Turn(page=Page.UNSEEN_LUMEN, subject=row.key, number=g.turn.number if g.turn else 0),
        name=f"lumen {row.key}",
    )


def unseen_lumen(g: Glance) -> MenuView:
    """One lumen not seen: every reason, how much of it, how often it is packed, and the way to its record."""
    say, found = g.words.say, told.never_seen_of(g)
    subject = g.turn.subject if g.turn else ""
    back = Turn(page=Page.UNSEEN_LIST, number=g.turn.number if g.turn else 0)
    row = next((row for row in found.not_seen if row.key == subject), None) if found else None
    if row is None:
        return _lines(g, (say("unseen.lumen.gone"),), say("unseen.head"), back)
    pieces = told.size_words(row.pieces)
    if row.wall_mm2 is None or row.unseen_mm2 is None:
        much = say("unseen.lumen.unknown", pieces=pieces)
    else:
        area, share = (make(g, row.unseen_mm2, row.wall_mm2) for make in (told.of_words, told.part_share))
        much = say("unseen.lumen.wall", area=area, share=share, pieces=pieces)
    held = (say("unseen.lumen.holds"),) if row.hold else ()
    record = Turn(page=Page.ITEM_RECORD, subject=f"{row.tray}/{row.item}")
    keys = (g.key("unseen.lumen.record", record, icon="arrow_right", name="record"),) if row.tray else ()
    return _lines(g, (*told.reason_words(g, row), much, *held), told.lumen_words(g, row), back, keys)


def kit_changes(g: Glance) -> PanelsView | MenuView:
    """What could be added to the kit, one alone or two together: the best as bars, with the caution."""
    say, changes = g.words.say, told.changes_soon(g)
    subject = g.turn.subject if g.turn else ""
    which = subject if subject == TWO or (subject == PRICE and changes and changes.for_the_price) else ONE
    here, back = Turn(page=Page.KIT_CHANGES), Turn(page=Page.UNSEEN)
    if changes is None:
        return _lines(g, (_not_yet(g),), say("unseen.kit.title"), back)
    if _asks_how(g):
        return _lines(g, told.how_changes(g, changes), say("unseen.kit.caution"), here)
    gains = _gains(changes, which)
    to_ranked = Turn(page=Page.KIT_RANKED, subject=PRICE if which == PRICE else "")
    ranked = g.key("unseen.kit.ranked", to_ranked, kind="main", icon="arrow_right", name="ranked")
    there = [each for each in (ONE, TWO, *((PRICE,) if changes.for_the_price else ())) if each != which]
    others = [
        g.key(f"unseen.kit.to_{other}", Turn(page=Page.KIT_CHANGES, subject=other), icon="arrow_right", name=other)
        for other in there
    ]
    if g.small:  # no room under the chart
        others.append(_how_key(g, Page.KIT_CHANGES))
    return PanelsView(
        head=head(g, title=say("unseen.kit.title")),
        hand=back_hand(g, to=back if which == ONE else here),
        title=_best(g, changes, gains, which),
        help=say("unseen.kit.caution"),
        notice=g.said(),
        panels=(
            Panel(
                title=say(
                    f"unseen.kit.{which}_bars" if which == PRICE else f"unseen.kit.{which}", currency=changes.currency
                ),
                drawing=told.gain_bars(g, gains, GAINS_SMALL if g.small else GAINS, for_the_price=which == PRICE),
                nothing=say("unseen.kit.none" if which == ONE else "unseen.kit.no_pair"),
            ),
        ),
        lines=() if g.small else told.how_changes(g, changes, "price" if which == PRICE else "area"),
        main=ranked if changes.ranked else None,
        others=tuple(others),
    )


def _best(g: Glance, changes: KitChanges, gains: tuple[KitGain, ...], which: str) -> str:
    """The first of the ranking in words; of that by price with its price, for which the small screen has no room."""
    if which != PRICE:
        return told.best_words(g, gains[0] if gains else None)
    best, what = gains[0], told.gain_words(g, gains[0], short=True)
    if g.small:
        return g.words.say(
            "unseen.kit.best_small", what=what, area=told.small_area_words(g, best.per_price_mm2 or best.area_mm2)
        )
    what = capital(what)
    return g.words.say("unseen.kit.best_price", what=what, price=told.price_words(g, gains[0], changes.currency))


def _not_yet(g: Glance) -> str:
    return g.words.say("unseen.kit.reckoning" if g.desk.unseen else "unseen.report.none")


def kit_ranked(g: Glance) -> ListView:
    """The ranked list: what it is, what it would open, hold and let go."""
    say, changes = g.words.say, told.changes_soon(g)
    subject = g.turn.subject if g.turn else ""
    gains = _gains(changes, subject) if changes else ()
    rows = [
        ListRow(
            title=capital(told.gain_words(g, gain, short=g.small)),
            sub=_opens(g, gain, changes.currency if changes else ""),
            value=told.small_area_words(g, (gain.per_price_mm2 if subject == PRICE else None) or gain.area_mm2),
        )
        for gain in gains[shown(g, len(gains))]
    ]
    key = subject if subject in {ONE, TWO, PRICE} else "all"
    currency = changes.currency if changes else ""
    return listed(
        g, rows, many=len(gains), page=Page.KIT_RANKED, subject=subject,
        about=head(g, title=say("unseen.kit.title")),
        title=say(f"unseen.kit.ranked_title.{key}", currency=currency), help_=say("unseen.kit.caution"),
        nothing=say("unseen.kit.none") if changes else _not_yet(g), back=Turn(page=Page.KIT_CHANGES),
    )  # fmt: skip


def _opens(g: Glance, gain: KitGain, currency: str) -> str:
    """What it would open, and its price; on the small screen the price in place of it."""
    opens, price = told.opens_words(g, gain), told.price_words(g, gain, currency)
    return price if g.small and price else " ".join(filter(None, (price, opens)))


def _gains(changes: KitChanges, subject: str) -> tuple[KitGain, ...]:
    return {ONE: changes.singles, TWO: changes.pairs, PRICE: changes.for_the_price}.get(subject, changes.ranked)


PAGES: dict[Page, Callable[[Glance], View]] = {
    Page.UNSEEN: unseen_page,
    Page.UNSEEN_LIST: unseen_list,
    Page.UNSEEN_LUMEN: unseen_lumen,
    Page.KIT_CHANGES: kit_changes,
    Page.KIT_RANKED: kit_ranked,
}
