"""The pictures of a trip or an item on the screen: each in small with what was answered, and one by one in large."""

from collections.abc import Callable

from kiosk.core.commands import Page, Turn
from kiosk.core.composing.kept_pictures import answer_words, gone_words, picture_title, sha_words, taken_words
from kiosk.core.glance import Glance, back_hand, head
from kiosk.core.past import lookback
from kiosk.core.past.told_pictures import ToldPicture, pictures_of
from kiosk.core.viewing.rows import ROWS, ROWS_SMALL, listed
from kiosk.core.views import Key, ListRow, ListView, PictureView, View

MOST_TRIPS = 60
"""The newest trips of an item whose pictures are listed (a choice: the printed lookback names every one)."""
_ITEM = "item="


def trip_key(g: Glance, trip: str) -> tuple[Key, ...]:
    """From a trip's record to its pictures, where there are any."""
    many = len(pictures_of(g.desk.records, [trip]))
    subject = g.turn.subject if g.turn else trip
    return (_key(g, subject, many),) if many else ()


def item_key(g: Glance, question: lookback.Question) -> tuple[Key, ...]:
    """From what a lookback found of an item to its pictures, where there are any."""
    if question.kind != "item":
        return ()
    many = len(_of_item(g, question.value))
    return (_key(g, f"{_ITEM}{question.value}", many),) if many else ()


def _key(g: Glance, subject: str, many: int) -> Key:
    turn = Turn(page=Page.PICTURES, subject=subject)
    return g.key("pictures.key", turn, icon="camera", name="pictures", n=many)


def _of_item(g: Glance, item: str) -> tuple[ToldPicture, ...]:
    trips = lookback.met(g.desk.records, lookback.Question(kind="item", value=item))[-MOST_TRIPS:]
    return pictures_of(g.desk.records, trips[::-1], item)


def _asked(g: Glance) -> tuple[str, str, tuple[ToldPicture, ...], Turn]:
    """The turn's subject, what it is in words, its pictures, and the way back."""
    subject = g.turn.subject if g.turn else ""
    if subject.startswith(_ITEM):
        item = subject.removeprefix(_ITEM)
        words = g.words.say("pictures.title_item", item=item)
        return subject, words, _of_item(g, item), Turn(page=Page.LOOKBACK, subject=subject)
    trip = subject.partition("@")[0]
    words = g.words.say("pictures.title_trip", trip=trip)
    return subject, words, pictures_of(g.desk.records, [trip]), Turn(page=Page.TRIP, subject=subject)


def pictures(g: Glance) -> ListView:
    """Every picture in small, what it is of, how the check was answered; one that was dropped says when and why."""
    subject, title, every, back = _asked(g)
    rows = [
        ListRow(
            title=picture_title(g, one),
            sub=f"{answer_words(g, one)} · {gone_words(g, one) or taken_words(g, one)}",
            icon="arrow_right",
            picture="" if one.gone else one.file,
            send=Turn(page=Page.KEPT_PICTURE, subject=subject, number=n),
            name=f"picture {one.file}",
        )
        for n, one in enumerate(every)
    ]
    return listed(
        g,
        rows,
        page=Page.PICTURES,
        subject=subject,
        title=title,
        help_=g.words.say("pictures.help"),
        nothing=g.words.say("pictures.nothing"),
        back=back,
    )


def picture(g: Glance) -> View:
    """One of them as large as there is room, held against the SHA-256 that the log gives."""
    subject, title, every, _ = _asked(g)
    if not every:
        return pictures(g)
    say, at = g.words.say, min(g.turn.number if g.turn else 0, len(every) - 1)
    one = every[at]

    def to(n: int) -> Turn:
        return Turn(page=Page.KEPT_PICTURE, subject=subject, number=max(0, min(n, len(every) - 1)))

    size = ROWS_SMALL if g.small else ROWS
    return PictureView(
        head=head(g, title=g.bench_name),
        hand=back_hand(g, to=Turn(page=Page.PICTURES, subject=subject, number=at // size)),
        title=picture_title(g, one),
        help=title,
        notice=g.said(),
        picture="" if one.gone else one.file,
        sha256=one.sha256,
        none=gone_words(g, one) or say("pictures.not_here"),
        changed=say("pictures.changed"),
        lines=(answer_words(g, one), taken_words(g, one), sha_words(g, one)),
        page=at,
        pages=len(every),
        page_words=say("page.words", n=at + 1, of=len(every)),
        previous=g.key("page.previous", to(at - 1), icon="arrow_left"),
        next=g.key("page.next", to(at + 1), icon="arrow_right"),
    )


PAGES: dict[Page, Callable[[Glance], View]] = {Page.PICTURES: pictures, Page.KEPT_PICTURE: picture}
