"""The scopes' test target on the screen: read at the start of the work, beside the first day's figures."""

from collections.abc import Callable

from kiosk.core.commands import Page, PrintReport, Turn
from kiosk.core.glance import Glance, back_hand, head
from kiosk.core.scope_target import PAPER, TargetKept, sharp_share, worse
from kiosk.core.stamp import local_time
from kiosk.core.stills import TARGET_STEPS
from kiosk.core.viewing.menus import Offer
from kiosk.core.viewing.stills import SOURCES
from kiosk.core.views import Key, MenuView, TargetView, View


def figures_words(g: Glance, kept: TargetKept) -> tuple[str, ...]:
    """Sharpness, gray steps, color: each beside the first day's."""
    say, first, now = g.words.say, kept.first.figures, kept.last.figures
    return (
        say("target.sharp", now=f"{now.sharp / 10:.0f}", share=sharp_share(first, now)),
        say("target.steps", now=now.steps, first=first.steps),
        say("target.color", shift=f"{kept.last.shift / 10:.1f}"),
    )


def worse_words(g: Glance, scope: str, kept: TargetKept) -> str:
    """One sentence where something is worse than on the first day, or ""."""
    found = worse(kept)
    if not found:
        return ""
    what = g.words.say("target.and").join(g.words.say(f"target.what.{each}") for each in found)
    return g.words.say("target.worse", scope=scope, what=what)


def key_of(g: Glance) -> tuple[Key, ...]:
    """The key at the start-up's question of the scopes, where this station has a source of pictures."""
    question, _, one = g.step.question.partition(":")
    if not g.sight or question != "scope":
        return ()
    scopes = g.desk.catalogue.kit.scopes
    subject = one or (scopes[0].id if len(scopes) == 1 else "")
    return (g.key("target.key", Turn(page=Page.TARGET, subject=subject), icon="camera", name="test target"),)


def facts(g: Glance) -> tuple[str, ...]:
    """What is worse than on its first day, of the scopes that are asked about and were read since the sign-in."""
    question, _, one = g.step.question.partition(":")
    if question != "scope":
        return ()
    read = {scope: kept for scope, kept in g.bench.targets.items() if scope == one or not one}
    today = {scope: kept for scope, kept in read.items() if kept.last.at_ms >= g.bench.signed_in[0]}
    return tuple(said for scope, kept in sorted(today.items()) if (said := worse_words(g, scope, kept)))[:2]


def shown(g: Glance) -> bool:
    """Is there such a page now?"""
    return g.sight != "" and g.step.kind in TARGET_STEPS and bool(g.desk.catalogue.kit.scopes)


def target(g: Glance) -> View:
    """Which scope, or its page: the picture as it comes, and what was read of the target."""
    scope = g.turn.subject if g.turn else ""
    if scope not in {each.id for each in g.desk.catalogue.kit.scopes}:
        return _which(g)
    say, kept = g.words.say, g.bench.targets.get(scope)
    print_it = g.key("target.print", PrintReport(doc=PAPER), icon="printer", name="print target")
    return TargetView(
        head=head(g, title=g.bench_name),
        hand=back_hand(g, print_it),
        title=say("target.title", scope=scope),
        help=say("target.help"),
        notice=g.said(),
        scope=scope,
        read=say("target.read"),
        reading=say("target.reading"),
        lines=_lines(g, kept),
        worse=worse_words(g, scope, kept) if kept else "",
        decides=say("target.decides"),
        states=tuple((state, g.words.texts[f"source.{state}"]) for state in SOURCES),
    )


def _lines(g: Glance, kept: TargetKept | None) -> tuple[str, ...]:
    say = g.words.say
    if kept is None:
        return (say("target.none_yet"),)
    day = f"{local_time(kept.first.at_ms, kept.first.offset_min):%Y-%m-%d}"
    if kept.last == kept.first:
        return (*figures_words(g, kept), say("target.is_first"))
    time = f"{local_time(kept.last.at_ms, kept.last.offset_min):%Y-%m-%d %H:%M}"
    return (say("target.at", time=time, day=day), *figures_words(g, kept))


def _which(g: Glance) -> MenuView:
    """The scopes, where there are several."""
    say = g.words.say
    keys = tuple(
        Key(label=each.id, send=Turn(page=Page.TARGET, subject=each.id), icon="camera", name=f"target of {each.id}")
        for each in g.desk.catalogue.kit.scopes
    )
    return MenuView(
        head=head(g, title=g.bench_name),
        hand=back_hand(g),
        title=say("target.which"),
        notice=g.said(),
        lines=(),
        keys=keys,
    )


STEPS: dict[str, Callable[[Glance], View]] = {}
PAGES: dict[Page, Callable[[Glance], View]] = {Page.TARGET: target}
HAPPENED: tuple[Offer, ...] = ()
RULINGS: tuple[Offer, ...] = ()
DESK: tuple[Offer, ...] = ()
SECONDS: dict[str, Callable[[Glance], View]] = {}
