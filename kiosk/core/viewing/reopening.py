"""A package found by its number: why it is opened again, and its old label."""

from kiosk.core.commands import FetchedPackage, OldLabelGone, Page, Reopen, Turn
from kiosk.core.decide.reopening import WET
from kiosk.core.glance import Glance, back_hand, hand, head, wipe_key
from kiosk.core.state.packs import Pack
from kiosk.core.together.loads import void_of
from kiosk.core.together.stations import every_bench
from kiosk.core.views import Key, MenuView, StopView


def _pack(g: Glance, number: str) -> Pack:
    return next(one.packs[number] for one in every_bench(g.bench, g.desk) if number in one.packs)


def package(g: Glance) -> MenuView | StopView:
    """Why is it opened again? A void label says why it is void."""
    say, number = g.words.say, g.turn.subject if g.turn else ""
    pack = _pack(g, number)
    void = void_of(g.bench, g.desk, number)
    if void:
        return _void(g, number, pack, void)
    keys = [
        g.key(f"package.{why}", Reopen(number=number, why=why), name=f"opened {why}")
        for why in ("forgotten", "torn", "taken", "after")
    ]
    keys.append(g.key("package.wet", Turn(page=Page.PACKAGE_WET, subject=number), icon="arrow_right", name="wet"))
    return MenuView(
        head=head(g, title=g.bench_name),
        hand=back_hand(g),
        title=say("package.title", name=pack.name),
        help=say("package.help", number=number, time=g.since(pack.at_ms)),
        notice=g.said(),
        lines=g.words.lines("package.lines"),
        keys=tuple(keys),
    )


def _void(g: Glance, number: str, pack: Pack, void: str) -> StopView:
    say = g.words.say
    bad = void == "load_withdrawn"
    here = number in {key for one in every_bench(g.bench, g.desk) for key in one.fetched}
    fetch = g.key("package.fetched", FetchedPackage(number=number), kind="main", icon="arrow_right", name="fetched")
    return StopView(
        head=head(g, title=g.bench_name),
        hand=back_hand(g, wipe_key(g)),
        title=say("package.void_title"),
        notice=g.said(),
        sentence=say("package.void", number=number, name=pack.name),
        lines=g.words.lines("package.bad_lines" if bad else "package.void_lines"),
        main=fetch if bad and not here else None,
    )


def wet(g: Glance) -> MenuView:
    """Why did it come out wet? One touch, for the trend; nobody is named."""
    say, number = g.words.say, g.turn.subject if g.turn else ""
    keys = [
        Key(label=say(f"package.why_wet.{reason}"), send=Reopen(number=number, why="wet", reason=reason), name=reason)
        for reason in WET
    ]
    return MenuView(
        head=head(g, title=g.bench_name),
        hand=back_hand(g),
        title=say("package.wet_title"),
        help=say("package.wet_help"),
        notice=g.said(),
        lines=g.words.lines("package.wet_lines"),
        keys=tuple(keys),
    )


def old_label(g: Glance) -> StopView:
    """The old label is torn up before anything else."""
    say, number = g.words.say, g.turn.subject if g.turn else ""
    bad = void_of(g.bench, g.desk, number) == "load_withdrawn"
    anew = (
        "package.goes_back"
        if bad
        else "package.go_on"
        if g.bench.trip is not None and not g.bench.trip.ended
        else "package.anew"
    )
    return StopView(
        head=head(g),
        hand=hand(g, right=(wipe_key(g),)),
        title=say("package.old_title"),
        notice=g.said(),
        sentence=say("package.old", number=number),
        lines=(say(anew),),
        main=g.key("package.gone", OldLabelGone(number=number), kind="main", icon="arrow_right", name="old label gone"),
    )
