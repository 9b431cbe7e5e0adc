"""Reference pictures on the screen: at the desk with who agreed, and first at "What soil looks like"."""

from collections.abc import Callable

from kiosk.core.commands import AgreeReference, Page, PrintReport, TakeReferenceBack, Turn
from kiosk.core.composing import references as told
from kiosk.core.glance import Glance, back_hand, head
from kiosk.core.references import Agreed
from kiosk.core.together.kept_references import counting_for, every_reference, reference_called, versions_of
from kiosk.core.viewing.menus import Offer
from kiosk.core.viewing.rows import listed
from kiosk.core.views import Key, ListRow, ListView, PictureView, View


def references(g: Glance) -> ListView:
    """Those that wait for people first, then those that count; the older versions stand behind the newest."""
    say = g.words.say
    rows = [
        ListRow(
            title=f"{told.type_words(g, one.picture.type)} · {told.finding_words(g, one.picture.finding)}",
            sub=told.agreed_words(g, one),
            value="" if one.version else say("references.state.waits"),
            icon="arrow_right",
            send=Turn(page=Page.REFERENCE, subject=one.picture.number),
            name=f"reference {one.picture.number}",
        )
        for one in every_reference(g.bench, g.desk)
        if one.newest or not one.version
    ]
    return listed(
        g,
        rows,
        page=Page.REFERENCES,
        title=say("references.title"),
        help_=say("references.help"),
        nothing=say("references.none"),
        back=Turn(page=Page.DESK),
    )


def reference(g: Glance) -> View:
    """One picture, and page by page the other versions of the same item type and finding."""
    found = reference_called(g.bench, g.desk, g.turn.subject if g.turn else "")
    if found is None:
        return references(g)
    every = versions_of(g.bench, g.desk, found.picture)
    at = next(n for n, one in enumerate(every) if one.picture.number == found.picture.number)
    turns = [Turn(page=Page.REFERENCE, subject=one.picture.number) for one in every]
    return picture(g, found, at, turns, back=Turn(page=Page.REFERENCES), main=_main(g, found), right=_back(g, found))


def _back(g: Glance, found: Agreed) -> tuple[Key, ...]:
    """The key that takes it back, for whoever did not yet."""
    if g.bench.who in dict(found.back):
        return ()
    send = TakeReferenceBack(number=found.picture.number)
    return (g.key("references.take_back", send, name="take reference back"),)


def _main(g: Glance, found: Agreed) -> Key | None:
    number = found.picture.number
    if not found.version and g.bench.who not in dict(found.by):
        return g.key("references.agree", AgreeReference(number=number), kind="main", icon="arrow_right", name="agree")
    if found.newest:
        report = PrintReport(doc="reference_page", about=found.picture.type)
        return g.key("references.print", report, kind="main", icon="printer", name="print wall page")
    return None


def picture(
    g: Glance,
    one: Agreed,
    at: int,
    turns: list[Turn],
    *,
    back: Turn | None,
    main: Key | None = None,
    right: tuple[Key, ...] = (),
) -> PictureView:
    """A reference picture as page `at` of those that `turns` lead to."""
    say, pages = g.words.say, len(turns)
    return PictureView(
        head=head(g, title="" if back is None else g.bench_name),
        hand=back_hand(g, *right, to=back),
        title=told.finding_words(g, one.picture.finding),
        help=say("references.on", type=told.type_words(g, one.picture.type)),
        notice=g.said(),
        picture=one.picture.file,
        sha256=one.picture.sha256,
        changed=say("pictures.changed"),
        none=say("references.no_picture"),
        lines=tuple(
            filter(None, (told.looks_words(g, one.picture.finding), told.agreed_words(g, one), told.back_words(g, one)))
        ),
        page=at,
        pages=pages,
        page_words=say("page.words", n=at + 1, of=pages),
        previous=g.key("page.previous", turns[max(0, at - 1)], icon="arrow_left"),
        next=g.key("page.next", turns[min(at + 1, pages - 1)], icon="arrow_right"),
        main=main,
    )


def of_item(g: Glance, codes: tuple[str, ...]) -> list[Agreed]:
    """The pictures that count for the item of the open check: those of its likely findings first."""
    trip = g.bench.trip
    piece = trip.pieces.get(g.step.piece) if trip is not None and g.step.check is not None else None
    if piece is None or piece.item is None or not piece.item.type:
        return []
    return counting_for(g.bench, g.desk, piece.item.type, codes)


def desk_key(g: Glance) -> Key | None:
    """To the reference pictures, once there is one."""
    if not every_reference(g.bench, g.desk):
        return None
    return g.key("references.desk_key", Turn(page=Page.REFERENCES), icon="camera", name="references")


STEPS: dict[str, Callable[[Glance], View]] = {}
PAGES: dict[Page, Callable[[Glance], View]] = {Page.REFERENCES: references, Page.REFERENCE: reference}
HAPPENED: tuple[Offer, ...] = ()
"""Keys of the page "Something happened"."""
RULINGS: tuple[Offer, ...] = ()
"""Keys of the supervisor's ruling."""
DESK: tuple[Offer, ...] = (desk_key,)
"""Keys of the supervisor's desk."""
SECONDS: dict[str, Callable[[Glance], View]] = {}
"""What a second person is asked, by what it is about."""
