"""What the pages of the set-up show: one question a page, in the words of whoever stands at the glass."""

from collections.abc import Callable

from kiosk.core.commands import Page, SetUp, Turn
from kiosk.core.glance import Glance, hand, head
from kiosk.core.set_up import LATER, Ask, Machine, Source, before, pages
from kiosk.core.stamp import local_time
from kiosk.core.station import CARD_MM, Station
from kiosk.core.viewing.rows import listed
from kiosk.core.views import (
    AskView,
    CardView,
    DotsView,
    Hand,
    Head,
    Key,
    ListRow,
    ListView,
    MenuView,
    NumberView,
    Plate,
    StopView,
    TrialView,
    View,
)

DOTS = 4


def set_up(g: Glance, station: Station, machine: Machine, ask: Ask) -> View:
    """The view of one page."""
    return _PAGES[ask](g, station, machine)


def show(ask: Ask, *, number: int = 0) -> Turn:
    """The turn to a page of the set-up."""
    return Turn(page=Page.SET_UP, subject=ask, number=number)


def _head(g: Glance, station: Station, machine: Machine, ask: Ask) -> Head:
    walk = pages(station, machine)
    named = g.words.say("setup.head", n=walk.index(ask) + 1 if ask in walk else 1, of=len(walk))
    return head(g, title=named)


def _hand(g: Glance, station: Station, machine: Machine, ask: Ask, *right: Key) -> Hand:
    back = before(ask, station, machine)
    left = (g.key("rail.back", show(back), icon="arrow_left"),) if back else ()
    return hand(g, left=left, right=right)


def _later(g: Glance, ask: Ask) -> Key:
    return g.key("setup.later", SetUp(ask=ask, value=LATER), icon="arrow_right", name="later")


def _language(g: Glance, station: Station, machine: Machine) -> MenuView:
    return MenuView(
        head=_head(g, station, machine, Ask.LANGUAGE),
        hand=_hand(g, station, machine, Ask.LANGUAGE),
        title=g.words.say("setup.language.title"),
        help=g.words.say("setup.language.help"),
        notice=g.said(),
        lines=(),
        keys=tuple(
            Key(
                label=tongue.words.say("language.name"),
                send=SetUp(ask=Ask.LANGUAGE, value=tongue.code),
                name=f"language {tongue.code}",
            )
            for tongue in g.tongues
        ),
    )


def _number(g: Glance, station: Station, machine: Machine, ask: Ask, *right: Key, decimals: bool = False) -> NumberView:
    say = g.words.say
    return NumberView(
        head=_head(g, station, machine, ask),
        hand=_hand(g, station, machine, ask, *right),
        title=say(f"setup.{ask}.title"),
        help=say(f"setup.{ask}.help"),
        notice=g.said(),
        purpose="other",
        send=SetUp(ask=ask),
        field="value",
        decimals=decimals,
        as_text=True,
        most=4 if decimals else 2,
        done=say("number.minutes.done"),
        erase=say("number.erase"),
    )


def _bench(g: Glance, station: Station, machine: Machine) -> NumberView:
    return _number(g, station, machine, Ask.BENCH)


def _wet(g: Glance, station: Station, machine: Machine) -> NumberView:
    return _number(g, station, machine, Ask.WET, _later(g, Ask.WET), decimals=True)


def _card(g: Glance, station: Station, machine: Machine) -> CardView:
    say = g.words.say
    return CardView(
        head=_head(g, station, machine, Ask.CARD),
        hand=_hand(g, station, machine, Ask.CARD),
        title=say("setup.card.title"),
        help=say("setup.card.help"),
        notice=g.said(),
        card_mm=CARD_MM,
        card=say("setup.card.card"),
        smaller=say("setup.card.smaller"),
        larger=say("setup.card.larger"),
        fits=g.key("setup.card.fits", SetUp(ask=Ask.CARD), kind="main", icon="arrow_right", name="card fits"),
    )


def _touch(g: Glance, station: Station, machine: Machine) -> DotsView:
    say = g.words.say
    return DotsView(
        head=_head(g, station, machine, Ask.TOUCH),
        hand=_hand(g, station, machine, Ask.TOUCH, g.key("setup.touch.skip", SetUp(ask=Ask.TOUCH), name="skip dots")),
        title=say("setup.touch.title"),
        help=say("setup.touch.help"),
        notice=g.said(),
        done=g.key("setup.touch.title", SetUp(ask=Ask.TOUCH), name="dots"),
        count=tuple(say("setup.touch.count", n=n, of=DOTS) for n in range(1, DOTS + 1)),
    )


def _chosen(g: Glance, station: Station, machine: Machine, ask: Ask, rows: list[ListRow], *right: Key) -> ListView:
    """A list to choose from, with what may be said instead in the hand rail."""
    say = g.words.say
    return listed(
        g,
        rows,
        page=Page.SET_UP,
        subject=ask,
        title=say(f"setup.{ask}.title"),
        help_=say(f"setup.{ask}.help"),
        nothing=say(f"setup.{ask}.nothing"),
        hand=_hand(g, station, machine, ask, *right),
        about=_head(g, station, machine, ask),
    )


def _row(ask: Ask, value: str, title: str, *, sub: str = "", value_words: str = "") -> ListRow:
    send = SetUp(ask=ask, value=value)
    return ListRow(title=title, sub=sub, value=value_words, icon="arrow_right", send=send, name=f"choose {title}")


def _again(g: Glance, ask: Ask) -> Key:
    """Look once more what there is: it was plugged in meanwhile."""
    return g.key("setup.again", show(ask), name="look again")


def _printer(g: Glance, station: Station, machine: Machine) -> ListView:
    now = g.words.say("setup.now")
    rows = [
        _row(Ask.PRINTER, name, name, value_words=now if name == station.printer else "") for name in machine.queues
    ]
    none = g.key("setup.printer.none", SetUp(ask=Ask.PRINTER), name="no printer")
    return _chosen(g, station, machine, Ask.PRINTER, rows, _again(g, Ask.PRINTER), none)


def _camera(g: Glance, station: Station, machine: Machine) -> ListView:
    now = g.words.say("setup.now")
    rows = [
        _row(Ask.CAMERA, name, name, value_words=now if f"camera:{name}" == station.camera else "")
        for name in machine.cameras
    ]
    none = g.key("setup.camera.none", SetUp(ask=Ask.CAMERA), name="no camera")
    return _chosen(g, station, machine, Ask.CAMERA, rows, _again(g, Ask.CAMERA), none)


def _printed(g: Glance, station: Station, machine: Machine) -> AskView:
    say = g.words.say
    send = SetUp(ask=Ask.PRINTER, value=station.printer)
    again = g.key("setup.printed.again", send, icon="printer", name="print it again")
    return AskView(
        head=_head(g, station, machine, Ask.PRINTED),
        hand=_hand(g, station, machine, Ask.PRINTED, again),
        title=say("setup.printed.title"),
        help=say("setup.printed.busy", queue=station.printer)
        if machine.busy
        else say("setup.printed.help", queue=station.printer, mm=machine.line_mm),
        notice=g.said(),
        no=Plate(word=say("startup.no"), claim=say("setup.printed.no"), send=SetUp(ask=Ask.PRINTED, value="no")),
        yes=Plate(word=say("startup.yes"), claim=say("setup.printed.yes"), send=SetUp(ask=Ask.PRINTED, value="yes")),
    )


def _scanner(g: Glance, station: Station, machine: Machine) -> TrialView:
    say = g.words.say
    return TrialView(
        head=_head(g, station, machine, Ask.SCANNER),
        hand=_hand(g, station, machine, Ask.SCANNER),
        title=say("setup.scanner.title"),
        help=say("setup.scanner.help"),
        notice=g.said(),
        code=machine.code,
        code_text=machine.code_text,
        lines=g.words.lines("setup.scanner.lines"),
        keys=(g.key("setup.scanner.none", SetUp(ask=Ask.SCANNER, value=LATER), name="no scanner"),),
    )


def _picture(g: Glance, station: Station, machine: Machine) -> TrialView:
    say = g.words.say
    return TrialView(
        head=_head(g, station, machine, Ask.PICTURE),
        hand=_hand(g, station, machine, Ask.PICTURE),
        title=say("setup.picture.title"),
        help=say("setup.picture.help"),
        notice=g.said(),
        words=g.words.some(f"source.{machine.picture}", name="") if machine.picture != "live" else "",
        keys=(
            g.key("setup.picture.yes", SetUp(ask=Ask.PICTURE, value="yes"), kind="main", name="picture yes"),
            g.key("setup.picture.no", SetUp(ask=Ask.PICTURE, value="no"), name="picture no"),
        ),
    )


def _clock(g: Glance, station: Station, machine: Machine) -> AskView | StopView:
    say = g.words.say
    if g.turn is not None and g.turn.number:
        return _clock_wrong(g, station, machine)
    shown = local_time(g.now.at_ms, g.now.offset_min)
    return AskView(
        head=_head(g, station, machine, Ask.CLOCK),
        hand=_hand(g, station, machine, Ask.CLOCK),
        title=say("setup.clock.title", time=f"{shown:%H:%M}", day=f"{shown:%Y-%m-%d}"),
        help=say("setup.clock.help"),
        notice=g.said(),
        no=Plate(word=say("startup.no"), claim=say("setup.clock.no"), send=show(Ask.CLOCK, number=1)),
        yes=Plate(word=say("startup.yes"), claim=say("setup.clock.yes"), send=SetUp(ask=Ask.CLOCK, value="yes")),
    )


def _clock_wrong(g: Glance, station: Station, machine: Machine) -> StopView:
    say = g.words.say
    return StopView(
        head=_head(g, station, machine, Ask.CLOCK),
        hand=_hand(g, station, machine, Ask.CLOCK),
        title=say("setup.clock_wrong.title"),
        notice=g.said(),
        sentence=say("setup.clock_wrong.sentence"),
        lines=g.words.lines("setup.clock_wrong.lines"),
        main=g.key("setup.clock_wrong.again", show(Ask.CLOCK), kind="main", name="ask again"),
        others=(g.key("setup.clock_wrong.later", SetUp(ask=Ask.CLOCK, value=LATER), name="later"),),
    )


def _sources(ask: Ask, found: tuple[Source, ...]) -> list[ListRow]:
    return [_row(ask, one.path, one.name, sub=one.about) for one in found]


def _first_aid(g: Glance, station: Station, machine: Machine) -> ListView:
    rows = _sources(Ask.FIRST_AID, machine.first_aid)
    right = (_again(g, Ask.FIRST_AID), _later(g, Ask.FIRST_AID))
    return _chosen(g, station, machine, Ask.FIRST_AID, rows, *right)


def _catalogue(g: Glance, station: Station, machine: Machine) -> ListView:
    say = g.words.say
    rows = [
        *_sources(Ask.CATALOGUE, machine.catalogues),
        _row(Ask.CATALOGUE, "demo", say("setup.catalogue.demo"), sub=say("setup.catalogue.demo_sub")),
    ]
    right = (_again(g, Ask.CATALOGUE), _later(g, Ask.CATALOGUE))
    return _chosen(g, station, machine, Ask.CATALOGUE, rows, *right)


_PAGES: dict[Ask, Callable[[Glance, Station, Machine], View]] = {
    Ask.LANGUAGE: _language,
    Ask.BENCH: _bench,
    Ask.CARD: _card,
    Ask.TOUCH: _touch,
    Ask.PRINTER: _printer,
    Ask.PRINTED: _printed,
    Ask.SCANNER: _scanner,
    Ask.CAMERA: _camera,
    Ask.PICTURE: _picture,
    Ask.CLOCK: _clock,
    Ask.FIRST_AID: _first_aid,
    Ask.WET: _wet,
    Ask.CATALOGUE: _catalogue,
}
