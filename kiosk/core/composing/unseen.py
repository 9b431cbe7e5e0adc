"""What is never seen and what kit would change, as words and drawing data: the same on the glass and on paper."""

import re
from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Literal

from kiosk.core.composing.charted import share_words
from kiosk.core.composing.summary import type_name
from kiosk.core.glance import Glance
from kiosk.core.unseen import KitChanges, KitGain, KitPart, NeverSeen, NotSeen, WallShare
from kiosk.core.views import BarsDrawing, DrawnBar
from kiosk.core.words import capital

Sense = Literal["seen", "touched"]

LARGE_MM2 = 100
"""From so much on an area is told in cm2 (a choice)."""
WHOLE = 10
"""From so many on an area is told without a decimal (a choice)."""


def a_week_of(g: Glance) -> Mapping[str, Decimal] | None:
    """How often a week each tray is packed; None: no station knows a whole week."""
    benches = (g.bench, *g.desk.others.values())
    return g.desk.unseen.packed_a_week(benches, g.desk.catalogue, g.now.at_ms) if g.desk.unseen else None


def never_seen_of(g: Glance) -> NeverSeen | None:
    """The shares and the not-seen list; None: nobody reckons at this station."""
    return g.desk.unseen.walls(g.desk.catalogue, g.desk.policy, a_week_of(g)) if g.desk.unseen else None


def changes_of(g: Glance) -> KitChanges | None:
    """What could be added to the kit; None: nobody reckons at this station."""
    return g.desk.unseen.changes(g.desk.catalogue, g.desk.policy, a_week_of(g)) if g.desk.unseen else None


def changes_soon(g: Glance) -> KitChanges | None:
    """The same for a page that does not wait long; None: nobody reckons here, or it is still being reckoned."""
    return g.desk.unseen.changes_soon(g.desk.catalogue, g.desk.policy, a_week_of(g)) if g.desk.unseen else None


def counted(g: Glance, key: str, n: int) -> str:
    """The text of what is counted, for one or for many."""
    return g.words.say(f"unseen.count.{key}.{'one' if n == 1 else 'many'}", n=n)


def size_words(mm: Decimal | None) -> str:
    """A length in mm without trailing zeros."""
    return f"{(mm or Decimal(0)).normalize():f}"


def part_share(g: Glance, part: Decimal, whole: Decimal) -> str:
    """A share as a percentage; it never says none or all where that is not so."""
    share = float(part / whole) if whole else 0.0
    if part and share < 0.001:
        return g.words.say("unseen.under")
    if part < whole and share >= 0.995:
        return g.words.say("unseen.over")
    return share_words(g, share)


def area_words(g: Glance, mm2: Decimal) -> str:
    """An area in mm2, or in cm2 where it is large."""
    large = mm2 >= LARGE_MM2
    return g.words.say(f"unseen.{'cm2' if large else 'mm2'}", n=_area(mm2, large=large))


def of_words(g: Glance, part: Decimal, whole: Decimal) -> str:
    """ "11 of 25 cm2": both in the unit of the whole."""
    return g.words.say("unseen.of", part=_area(part, large=whole >= LARGE_MM2), whole=area_words(g, whole))


def _area(mm2: Decimal, *, large: bool) -> str:
    value = mm2 / 100 if large else mm2
    return f"{value:.0f}" if value >= WHOLE or not value else f"{value:.1f}"


def answer_words(g: Glance, whole: WallShare, *, short: bool = False) -> str:
    """The answer in words: which shares of the wall are never seen and never touched."""
    if not whole.wall_mm2:
        return g.words.say("unseen.answer_none")
    unseen, untouched = (part_share(g, part, whole.wall_mm2) for part in (whole.unseen_mm2, whole.untouched_mm2))
    return g.words.say(f"unseen.answer{'_small' if short else ''}", unseen=unseen, untouched=untouched)


def areas_words(g: Glance, whole: WallShare, *, short: bool = False) -> str:
    """The areas behind the answer, and the lumens that are not in it."""
    wall, unseen, untouched = (area_words(g, each) for each in (whole.wall_mm2, whole.unseen_mm2, whole.untouched_mm2))
    if short and whole.wall_mm2:
        return g.words.say("unseen.areas_small", wall=wall, n=whole.unknown)
    told = [g.words.say("unseen.areas", wall=wall, unseen=unseen, untouched=untouched)] if whole.wall_mm2 else []
    return " ".join([*told, *([counted(g, "unknown", whole.unknown)] if whole.unknown else [])])


def lacking_walls(
    g: Glance, rows: Sequence[WallShare], most: int, of: Sense = "seen"
) -> list[tuple[str, Decimal, Decimal]]:
    """(item type, mm2 not seen or not touched, wall) a week, the most of it first, all other types in one row.

    Nothing where all of every wall is seen, or touched.
    """
    lacks = {row.type: row.unseen_mm2 if of == "seen" else row.untouched_mm2 for row in rows}
    lacking = [row for row in rows if lacks[row.type] > 0]
    few = sorted(lacking, key=lambda row: (-lacks[row.type], row.type))[: most - 1]
    rest = [row for row in rows if row.wall_mm2 and row not in few]
    named = [(type_name(g, row.type) or "-", lacks[row.type], row.wall_mm2) for row in few]
    if few and rest:
        lack, wall = (sum(each, Decimal(0)) for each in ((lacks[r.type] for r in rest), (r.wall_mm2 for r in rest)))
        named.append((counted(g, "rest", len(rest)), lack, wall))
    return named


def wall_bars(
    g: Glance, rows: Sequence[WallShare], most: int, of: Sense = "seen", *, below: bool = False
) -> BarsDrawing | None:
    """Not seen, or not touched, of its wall by item type (`lacking_walls`); None: nothing is left.

    `below`: the areas stand with the name, where the end of a bar has no room for them.
    """
    bars = tuple(_wall_bar(g, *each, below=below) for each in lacking_walls(g, rows, most, of))
    return BarsDrawing(bars=bars, full=100.0) if bars else None


def _wall_bar(g: Glance, name: str, lack: Decimal, wall: Decimal, *, below: bool) -> DrawnBar:
    share, area = part_share(g, lack, wall), of_words(g, lack, wall)
    return DrawnBar(
        words=g.words.say("unseen.bar_below", type=name, area=area) if below else name,
        n=float(100 * lack / wall),
        told=share if below else g.words.say("unseen.bar", share=share, area=area),
    )


def lumen_words(g: Glance, row: NotSeen) -> str:
    """Item, lumen, tray."""
    return g.words.say("unseen.list.row", name=row.name, lumen=row.lumen, tray=row.tray).rstrip(" ·")


def lacking_words(g: Glance, row: NotSeen) -> str:
    """How much of a lumen is not seen: all of it or some mm, else its share of the wall."""
    say = g.words.say
    if row.wall_mm2 is None or row.unseen_mm2 is None:
        return say("unseen.list.unknown")
    if row.not_seen_mm is None:
        return say("unseen.list.share", share=part_share(g, row.unseen_mm2, row.wall_mm2))
    key = "all" if row.unseen_mm2 == row.wall_mm2 else "part"
    return say(f"unseen.list.{key}", mm=size_words(row.not_seen_mm))


def reason_words(g: Glance, row: NotSeen) -> tuple[str, ...]:
    """The plan's own words, in the language of whoever reads, a check each."""
    return tuple(
        g.words.say("unseen.list.reason", check=capital(g.words.say(f"name.{check}")), why=g.told(why))
        for check, why in row.because
    )


def brief(text: str) -> str:
    """A reason without what stands in brackets, for a short line."""
    return re.sub(r" \([^)]*\)", "", text)


def part_words(g: Glance, part: KitPart, *, short: bool = False) -> str:
    """What could be added."""
    say = g.words.say
    names = {
        "size": size_words(part.size_mm), "most": size_words(part.at_most_mm), "reach": size_words(part.reach_mm),
        "item": part.item, "name": part.name,
    }  # fmt: skip
    key = f"{part.kind}_bends" if part.bends else part.kind
    if short:
        return say(f"unseen.kit.short.{key}", **names)
    if part.kind != "head":
        return say(f"unseen.kit.{key}", **names)
    head = say(f"unseen.kit.{'head' if part.at_most_mm is None else 'head_most'}", **names)
    return head if part.reach_mm is None else say("unseen.kit.on_stem", head=head, reach=names["reach"])


def gain_words(g: Glance, gain: KitGain, *, short: bool = False) -> str:
    """One part, or two together."""
    first, *more = (part_words(g, part, short=short) for part in gain.parts)
    key = "unseen.kit.short.and" if short else "unseen.kit.and"
    return g.words.say(key, first=first, second=more[0]) if more else first


def best_words(g: Glance, best: KitGain | None) -> str:
    """What opens most of single parts, or of two together."""
    if best is None:
        return g.words.say("unseen.kit.none")
    two = len(best.parts) > 1
    key = "unseen.kit.best_small" if g.small else "unseen.kit.best_two" if two else "unseen.kit.best"
    what = gain_words(g, best, short=g.small or two)
    return g.words.say(key, what=what, area=area_words(g, best.area_mm2))


def opens_words(g: Glance, gain: KitGain) -> str:
    """What it would open, hold and let go."""
    areas = (("seen", gain.seen_mm2), ("touched", gain.touched_mm2), ("checked", gain.checked_mm2))
    told = [g.words.say(f"unseen.kit.{key}", area=area_words(g, area)) for key, area in areas if area]
    counts = (("lumens", gain.lumens), ("types", gain.types), ("holds", gain.holds), ("frees", gain.frees))
    told += [counted(g, key, n) for key, n in (*counts, ("shorter", gain.shorter)) if n]
    return capital(", ".join(told)) + "."


def price_words(g: Glance, gain: KitGain, currency: str) -> str:
    """Its price and the wall a week for each unit of it; "": no price is named."""
    if gain.price is None or gain.per_price_mm2 is None:
        return ""
    each = small_area_words(g, gain.per_price_mm2)
    return g.words.say("unseen.kit.price", price=f"{gain.price:,f}", currency=currency, each=each)


def small_area_words(g: Glance, mm2: Decimal) -> str:
    """An area that may be far under one mm2, with two figures that count."""
    if not 0 < mm2 < 1:
        return area_words(g, mm2)
    return g.words.say("unseen.mm2", n=f"{mm2:.{1 - mm2.adjusted()}f}")


def gain_bars(g: Glance, gains: Sequence[KitGain], most: int, *, for_the_price: bool = False) -> BarsDrawing | None:
    """The best of them, by wall a week newly seen or touched, or by that for a unit of price; None: none opens any."""
    best = [gain for gain in gains if gain.area_mm2][:most]
    areas = [gain.per_price_mm2 or Decimal(0) if for_the_price else gain.area_mm2 for gain in best]
    bars = tuple(
        DrawnBar(words=capital(gain_words(g, gain, short=True)), n=float(area), told=small_area_words(g, area))
        for gain, area in zip(best, areas, strict=True)
    )
    return BarsDrawing(bars=bars) if bars else None


def how_walls(g: Glance) -> tuple[str, ...]:
    """What the shares rest on, and what they can not say."""
    say = g.words.say
    return say("unseen.once" if a_week_of(g) is None else "unseen.weighed"), say("unseen.means"), say("unseen.wall")


def how_changes(g: Glance, changes: KitChanges, ranked: Literal["", "area", "price"] = "") -> tuple[str, ...]:
    """What the ranking rests on, and what it can not say; the caution stands before it.

    `ranked`: for a chart with room for four lines, what belongs to its ranking alone.
    """
    say = g.words.say
    beyond = {"seen": changes.beyond_seen_mm2, "touched": changes.beyond_touched_mm2}
    lines = list(g.words.lines("unseen.kit.limits"))
    if ranked != "price":
        lines.insert(0, say("unseen.kit.beyond", **{name: area_words(g, area) for name, area in beyond.items()}))
    if changes.currency and ranked != "area":
        lines.append(say("unseen.kit.priced"))
    return (*lines, say("unseen.kit.cut")) if changes.cut else tuple(lines)
