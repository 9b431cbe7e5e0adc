"""The reading practice on the screen: a picture asked blind, and at the desk the group's figure of each set."""

from collections.abc import Callable

from kiosk.core.commands import BeginReading, EndReadingSet, Page, PrintReport, ReadPicture, Turn
from kiosk.core.composing import readings as told
from kiosk.core.glance import Glance, back_hand, hand, head
from kiosk.core.readings import GroupFigure, ReadingSet, still_to_read
from kiosk.core.together import kept_readings as kept
from kiosk.core.viewing.menus import Offer
from kiosk.core.viewing.rows import listed
from kiosk.core.views import AskView, Key, ListRow, ListView, PictureView, Plate, ReadingView, StopView, View

_END = "end:"


def reading(g: Glance) -> View:
    """The next picture of the set that this reader has not answered; at its end a word of thanks, and no result.

    Where none is asked for another reason, that is what is said.
    """
    say = g.words.say
    found = kept.set_called(g.bench, g.desk, g.turn.subject if g.turn else "")
    reader = kept.own_reading(g.bench, g.desk, found) if found else None
    left = still_to_read(found, reader) if found and reader and found.ended_ms is None else ()
    if found is None or not left:
        why = "unknown" if found is None else "ended" if found.ended_ms is not None else "done" if reader else "unbegun"
        return StopView(
            head=head(g, title=g.bench_name),
            hand=back_hand(g),
            title=say(f"readings.{why}_title"),
            notice=g.said(),
            sentence=say(f"readings.{why}"),
            lines=g.words.lines("readings.done_lines") if why == "done" else (),
            main=g.key("readings.to_work", Turn(), kind="main", icon="arrow_right", name="to the work"),
        )
    asked, of = left[0], len(found.pictures)

    def plate(says: str, claim: str, note: str) -> Plate:
        send = ReadPicture(set=found.id, picture=asked.name, says=says)
        return Plate(word=say(f"check.{says}"), claim=claim, note=note, send=send)

    return ReadingView(
        head=head(g, title=g.bench_name),
        hand=hand(g, left=(g.key("readings.later", Turn(), icon="arrow_left", name="read on later"),)),
        title=say("readings.question"),
        help=say("readings.at", n=of - len(left) + 1, of=of),
        notice=g.said(),
        picture=asked.file,
        sha256=asked.sha256,
        none=say("readings.no_picture"),
        no=plate("no", say("readings.no_claim"), say("readings.kept_apart")),
        unsure=plate("unsure", "", say("readings.unsure_note")),
        yes=plate("yes", say("readings.yes_claim"), say("readings.kept_apart")),
    )


def sets(g: Glance) -> ListView:
    """The sets at the desk, the newest first: how far each is read, never by whom."""
    say = g.words.say
    rows = [
        ListRow(
            title=one.name,
            sub=told.asked_words(g, one),
            value=say("readings.state.ended" if one.ended_ms else "readings.state.open"),
            icon="arrow_right",
            send=Turn(page=Page.READING_SET, subject=one.id),
            name=f"set {one.name}",
        )
        for one in kept.every_set(g.bench, g.desk)
    ]
    return listed(
        g,
        rows,
        page=Page.READING_SETS,
        title=say("readings.title"),
        help_=say("readings.help"),
        nothing=say("readings.none"),
        back=Turn(page=Page.DESK),
    )


def one_set(g: Glance) -> View:
    """A set: while it is open how many have read it; once it has ended the group's figure."""
    subject = g.turn.subject if g.turn else ""
    found = kept.set_called(g.bench, g.desk, subject.removeprefix(_END))
    if found is None:
        return sets(g)
    if subject.startswith(_END) and found.ended_ms is None:
        return _ask_to_end(g, found)
    return _figures(g, found) if found.ended_ms else _open(g, found)


def _open(g: Glance, found: ReadingSet) -> ListView:
    say = g.words.say
    whole, part = kept.how_many(g.bench, g.desk, found)
    rows = [
        ListRow(title=say("readings.read_whole"), value=str(whole), name="read whole"),
        ListRow(title=say("readings.read_part"), value=str(part), name="read in part"),
    ]
    end = Turn(page=Page.READING_SET, subject=f"{_END}{found.id}")
    return listed(
        g,
        rows,
        page=Page.READING_SET,
        subject=found.id,
        title=say("readings.set_title", name=found.name),
        help_=say("readings.blind"),
        nothing="",
        main=g.key("readings.end", end, kind="main", icon="arrow_right", name="end set"),
        back=Turn(page=Page.READING_SETS),
    )


def _ask_to_end(g: Glance, found: ReadingSet) -> AskView:
    say = g.words.say
    whole, part = kept.how_many(g.bench, g.desk, found)
    back = Turn(page=Page.READING_SET, subject=found.id)
    return AskView(
        head=head(g, title=g.bench_name),
        hand=back_hand(g, to=back),
        title=say("readings.ask_end", name=found.name),
        notice=g.said(),
        steps=(say("readings.end_read", whole=whole, part=part), *g.words.lines("readings.end_steps")),
        no=Plate(word=say("check.no"), claim=say("readings.end_no"), send=back),
        yes=Plate(word=say("check.yes"), claim=say("readings.end_yes"), send=EndReadingSet(set=found.id)),
    )


def _figures(g: Glance, found: ReadingSet) -> ListView:
    say = g.words.say
    figure = kept.figure_of(g.bench, g.desk, found)
    lines = told.figure_lines(g, figure) if figure and figure.pairs else ()
    rows = [ListRow(title=one.label, sub=one.note, value=one.value, name=f"figure {n}") for n, one in enumerate(lines)]
    report = PrintReport(doc="reading_report", about=found.id)
    split: tuple[Key, ...] = ()
    if figure and figure.split:
        turn = Turn(page=Page.READING_SPLIT, subject=found.id)
        split = (g.key("readings.split_key", turn, icon="camera", name="split pictures", n=len(figure.split)),)
    return listed(
        g,
        rows,
        page=Page.READING_SET,
        subject=found.id,
        title=say("readings.set_title", name=found.name),
        help_=f"{told.readers_words(g, figure)} {say('readings.caution')}" if figure and figure.pairs else "",
        nothing=say("readings.too_few"),
        main=g.key("readings.print", report, kind="main", icon="printer", name="print readings") if lines else None,
        others=split,
        back=Turn(page=Page.READING_SETS),
    )


def split(g: Glance) -> View:
    """A picture that was not read alike, those that split the readers most first: to look at together."""
    found = kept.set_called(g.bench, g.desk, g.turn.subject if g.turn else "")
    figure = kept.figure_of(g.bench, g.desk, found) if found else None
    if found is None or figure is None or not figure.split:
        return one_set(g)
    return _picture(g, found, figure)


def _picture(g: Glance, found: ReadingSet, figure: GroupFigure) -> PictureView:
    say, pages = g.words.say, len(figure.split)
    at = min(g.turn.number if g.turn else 0, pages - 1)
    one = figure.split[at]

    def to(n: int) -> Turn:
        return Turn(page=Page.READING_SPLIT, subject=found.id, number=max(0, min(n, pages - 1)))

    return PictureView(
        head=head(g, title=g.bench_name),
        hand=back_hand(g, to=Turn(page=Page.READING_SET, subject=found.id)),
        title=say("readings.split_title", name=found.name),
        help=say("readings.question"),
        notice=g.said(),
        picture=one.picture.file,
        sha256=one.picture.sha256,
        changed=say("pictures.changed"),
        none=say("readings.no_picture"),
        lines=(say("readings.picture", name=one.picture.name), told.split_words(g, one), say("readings.split_ask")),
        page=at,
        pages=pages,
        page_words=say("page.words", n=at + 1, of=pages),
        previous=g.key("page.previous", to(at - 1), icon="arrow_left"),
        next=g.key("page.next", to(at + 1), icon="arrow_right"),
    )


def reader_key(g: Glance) -> Key | None:
    """For whoever has not read an open set to its end; never while a tray is open at the bench."""
    if g.bench.trip is not None and not g.bench.trip.ended:
        return None
    found = kept.open_for(g.bench, g.desk)
    if found is None:
        return None
    return g.key("readings.read_key", BeginReading(set=found.id), icon="camera", name="read pictures")


def desk_key(g: Glance) -> Key | None:
    """To the sets, once there is one."""
    sets_known = bool(kept.every_set(g.bench, g.desk))
    return g.key("readings.desk_key", Turn(page=Page.READING_SETS), name="readings") if sets_known else None


STEPS: dict[str, Callable[[Glance], View]] = {}
PAGES: dict[Page, Callable[[Glance], View]] = {
    Page.READING: reading,
    Page.READING_SETS: sets,
    Page.READING_SET: one_set,
    Page.READING_SPLIT: split,
}
HAPPENED: tuple[Offer, ...] = (reader_key,)
"""Keys of the page "Something happened"."""
RULINGS: tuple[Offer, ...] = ()
"""Keys of the supervisor's ruling."""
DESK: tuple[Offer, ...] = (desk_key,)
"""Keys of the supervisor's desk."""
SECONDS: dict[str, Callable[[Glance], View]] = {}
"""What a second person is asked, by what it is about."""
