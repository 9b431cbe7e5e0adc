"""The kit study: what a scope, a swab or a confirmed air pressure would open of what the department cannot see."""

import argparse
import sys
from collections.abc import Sequence
from dataclasses import asdict, replace
from typing import TYPE_CHECKING, Any

from kiosk.cli.call import CallFault, naming, opened, policy_of, print_json, values_of

if TYPE_CHECKING:
    from decimal import Decimal

    from kiosk.core.catalogue import Catalogue
    from kiosk.core.policy import Policy
    from kiosk.quality.kit_study import Gain, Study

    _Given = tuple[Catalogue, Policy, str, dict[str, Decimal] | None]
    """Catalogue, policy, whose kit it is, and how often a week each tray is packed, where that is known."""

LIMITS = """\
Wall area is pi x bore x length, from the sizes in the records. A typical size is not a confirmed one: a lumen that has
no other has no area here.
It is what the plan of checks could see or touch, from both ends where a lumen is open at both; what was seen stands in
the log. Seeing and touching a wall is not cleaning it.
The device IFU decides what may go into a lumen, whatever fits.
Air sees and touches no wall: it counts under checked, where nothing says now whether a lumen is clear.
A mm2 seen and a mm2 touched rank alike. Of tools that differ in reach alone, the one that opens most is listed.
Where the kit names offers with a price, each is tried as it is; what has no price is in no ranking by price."""

COUNTED = "Packages of the last 8 weeks are counted; a tray that was not packed in them weighs nothing."


def kit_study(args: argparse.Namespace) -> int:
    """Rank what could be added to a bench's kit, of a folder of catalogue files or of the store's own catalogue."""
    from kiosk.lumen.records import kit_from_mapping
    from kiosk.quality.additions import offered
    from kiosk.quality.kit_study import by_price, longest_of_each
    from kiosk.quality.kit_study import kit_study as study_of

    if args.top < 1:
        raise CallFault(f"--top {args.top}: give a number from 1")
    given = _from_files(args) if args.catalogue is not None else _from_store(args)
    catalogue, policy, whose, a_week = given
    if args.kit is not None:
        with naming(args.kit):
            catalogue = replace(catalogue, kit=kit_from_mapping(values_of(args.kit)))
        whose = f"the kit of {args.kit.name}"
    kit, prices = catalogue.kit, offered(catalogue.kit)
    currency = kit.offers[0].currency if kit.offers else ""
    study = study_of(catalogue, policy, kit, times_a_week=a_week, prices=prices, pairs=args.pairs)
    priced = by_price((*study.singles, *study.pairs))
    best = (longest_of_each(study.pairs) if args.pairs else ()), longest_of_each(study.singles)
    if args.json:
        rows = [row for part in best for row in part[: args.top]]
        rows += [(gain, ()) for gain in priced[: args.top] if gain not in [each for each, _ in rows]]
        rows.sort(key=lambda row: -row[0].area_mm2)
        told = [_row(n, gain, shorter, study.weighed) for n, (gain, shorter) in enumerate(rows, 1)]
        print_json([row | _priced(gain, priced, currency) for row, (gain, _) in zip(told, rows, strict=True)])
        for sentence in study.cut:
            print(f"throughlight: {sentence}", file=sys.stderr)
        return 0
    print("\n".join(_now(study, whose)))
    for title, part in zip(("Two together:", "One alone:"), best, strict=True):
        if title == "One alone:" or args.pairs:
            print("\n".join(["", title, *_table([gain for gain, _ in part[: args.top]], currency)]))
    if priced:
        together = ", one alone or two together" if args.pairs else ""
        print("\n".join(["", f"Most wall for each {currency} first{together}:", *_table(priced[: args.top], currency)]))
    counted = (COUNTED,) if a_week is not None else ()
    print("\n".join(["", study.weighed, *counted, *study.cut, LIMITS]))
    return 0


def _from_files(args: argparse.Namespace) -> "_Given":
    """Catalogue and policy of a call with a folder, with the kit of the call's bench, else of the first one named."""
    from kiosk.store.catalogue_files import load_catalogue, load_kits

    kits, wanted = load_kits(args.catalogue), f"B{args.bench or 1}"
    if wanted not in kits and wanted != "B1" and "" not in kits:
        raise CallFault(f"{args.catalogue}: there is no bench {wanted}; there are {', '.join(kits)}")
    name = wanted if wanted in kits else next(iter(kits))
    catalogue = replace(load_catalogue(args.catalogue, name), kit=kits[name])
    return catalogue, policy_of(args), f"the kit of {name}" if name else "the kit of every bench", None


def _from_store(args: argparse.Namespace) -> "_Given":
    """The store's catalogue and policy with every change since they were loaded, and how often each tray is packed."""
    from kiosk.core.policy import plain_values
    from kiosk.core.together.amending import amended
    from kiosk.desk import make_desk
    from kiosk.devices.clock import SystemClock
    from kiosk.quality.packing_figures import packed_a_week

    with opened(args) as store:
        held = store.catalogue()
        if held is None:
            raise CallFault("kit-study: this store holds no catalogue yet; name a folder of files with --catalogue")
        desk = make_desk(held, store.policy_now(), loaded_ms=store.catalogue_kept_ms())
        now_ms, bench, others = SystemClock().now().at_ms, store.bench(), store.records.benches()
        desk, _ = amended(replace(desk, others=others), bench, now_ms)
        a_week = packed_a_week((bench, *others.values()), desk.catalogue, now_ms)
    policy = desk.policy if args.policy is None else policy_of(args, plain_values(desk.policy))
    return desk.catalogue, policy, "this store's kit", a_week


def _row(rank: int, gain: "Gain", shorter: "tuple[Gain, ...]", weighed: str) -> dict[str, Any]:
    """One line of the ranked list as JSON values. Areas in mm2 a week, to a tenth."""
    return {
        "rank": rank,
        "what": gain.words,
        "additions": [{"kind": _KINDS[type(each).__name__], **_plain(asdict(each))} for each in gain.additions],
        "seen_mm2": round(float(gain.seen_mm2), 1),
        "touched_mm2": round(float(gain.touched_mm2), 1),
        "checked_mm2": round(float(gain.checked_mm2), 1),
        "lumens": gain.lumens,
        "types": gain.types,
        "holds": gain.holds,
        "frees": gain.frees,
        "shorter": [{"what": each.words, "area_mm2": round(float(each.area_mm2), 1)} for each in shorter],
        "weighed": weighed,
    }


def _priced(gain: "Gain", priced: "Sequence[Gain]", currency: str) -> dict[str, Any]:
    """The price, and where a line stands by area for each unit of it; nothing where no price is named."""
    if gain.price is None or gain.per_price_mm2 is None:
        return {}
    return {
        "price": float(gain.price),
        "currency": currency,
        "per_price_mm2": float(f"{gain.per_price_mm2:.4g}"),
        "rank_by_price": priced.index(gain) + 1 if gain in priced else None,
    }


_KINDS = {"MoreScope": "scope", "MoreHead": "swab_head", "LongerStem": "swab_stem", "AirPressure": "air_pressure"}


def _plain(values: dict[str, Any]) -> dict[str, Any]:
    return {key: float(value) if key.endswith("_mm") and value is not None else value for key, value in values.items()}


def _now(study: "Study", whose: str) -> list[str]:
    """What is closed now, and how much of it no kit would open."""
    if not study.wall_mm2:
        return [f"With {whose}: no lumen of known size is in this catalogue."]
    unseen, untouched = study.unseen_mm2, study.untouched_mm2
    seeing, touching = f"{study.beyond_seen_mm2:,.0f}", f"{study.beyond_touched_mm2:,.0f}"
    lines = [
        f"With {whose}, of {study.wall_mm2:,.0f} mm2 of inner wall a week:",
        f"   not seen    {unseen:>9,.0f}  ({_percent(unseen, study)}); no scope opens {seeing} of it",
        f"   not touched {untouched:>9,.0f}  ({_percent(untouched, study)}); no swab opens {touching} of it",
        "   What no tool opens is filled, or sight and touch are not asked for there, or not allowed.",
    ]
    return lines + ([f"   Lumens of unknown size, not counted: {study.unknown}."] if study.unknown else [])


def _price(gain: "Gain", currency: str) -> str:
    if gain.price is None or gain.per_price_mm2 is None:
        return ""
    return f"; {gain.price:,f} {currency}, {gain.per_price_mm2:,.4g} mm2 for each"


def _percent(part: Any, study: "Study") -> str:
    return f"{float(100 * part / study.wall_mm2):.1f} %"


def _table(gains: "Sequence[Gain]", currency: str) -> list[str]:
    if not gains:
        return ["   nothing that could be added would open any of it"]
    lines = ["    newly seen  touched  checked  lumens  types"]
    for n, gain in enumerate(gains, 1):
        holds = f"; holds {gain.holds} more lumens: the swab reaches part only" if gain.holds else ""
        frees = f"; lets go {gain.frees} that hold" if gain.frees else ""
        lines.append(
            f"{n:>3} {gain.seen_mm2:>10,.0f} {gain.touched_mm2:>8,.0f} {gain.checked_mm2:>8,.0f} {gain.lumens:>7}"
            f" {gain.types:>6}  {gain.words}{holds}{frees}{_price(gain, currency)}"
        )
    return [*lines, "   (mm2 of inner wall a week)"]
