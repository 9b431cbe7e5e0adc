"""The tray sheet: honest about what nobody saw."""

from decimal import Decimal

from kiosk.core.catalogue import Lumen
from kiosk.core.composing.counted import counted_lines
from kiosk.core.composing.of_tray import of_tray
from kiosk.core.composing.overrides import override_lines
from kiosk.core.composing.parts import Order, foot, kind_name, moment, plain_name, standing
from kiosk.core.glance import Glance, finding_place, lumens_of, unseen
from kiosk.core.papers import SheetLine, SheetLumen, SheetPiece, TraySheet
from kiosk.core.plan import PiecePlan
from kiosk.core.state.piece import TRAY, Piece
from kiosk.core.state.tickets import CameBack
from kiosk.core.state.trip import Trip, loads_of
from kiosk.core.vocabulary import Check, Disposition, Feature, Opening
from kiosk.core.weight import in_both


def sheet(g: Glance, order: Order) -> TraySheet:
    """The sheet of a trip, as it stands."""
    trip, say = order.trip, g.words.say
    tray = trip.tray
    ways = lumens_of(trip)
    done = sum(piece.lumen_done(way.name) for piece, way in ways)
    lines = tuple(
        SheetLine(label=line.name, value=f"{line.want} / {trip.counts.get(line.name, 0)}") for line in tray.lines
    )
    headline = say("paper.sheet.headline", done=done, all=len(ways)) if ways else say("paper.sheet.no_lumens")
    return TraySheet(
        title=say("paper.sheet.title"),
        tray_code=tray.code,
        tray_name=tray.name,
        trip=trip.id,
        code=g.desk.encode(tray.code),
        headline=headline,
        not_seen=say("paper.sheet.not_seen", n=unseen(trip), all=len(ways)) if ways else "",
        shares=_shares(g, trip),
        facts=_facts(g, trip),
        exceptions=_exceptions(g, trip),
        counts=lines,
        count_title=say("paper.sheet.counts"),
        pieces=tuple(_piece(g, trip, piece) for piece in trip.pieces.values() if piece.item),
        checked_by=_checked_by(g, trip),
        signature=say("paper.sheet.signature"),
        cautions=g.words.lines("paper.sheet.cautions"),
        foot=foot(g, order),
    )


def _shares(g: Glance, trip: Trip) -> str:
    plans = [p.plan for p in trip.pieces.values() if p.item and p.name not in trip.replaced]
    answered = {p.name: {c.key for c in p.plan.checks if p.answered(c)} for p in trip.pieces.values()}
    shares = g.desk.share(plans, answered)
    if shares.seen is None or shares.touched is None:
        return ""
    text = g.words.say("paper.sheet.shares", seen=_percent(shares.seen), touched=_percent(shares.touched))
    if shares.unknown:
        text += "; " + g.words.say("paper.sheet.unknown", names=", ".join(shares.unknown))
    return text + "."


def _percent(share: Decimal) -> str:
    """Whole percent, never rounded up to all or down to none."""
    percent = int((share * 100).to_integral_value())
    if share < 1:
        percent = min(percent, 99)
    return f"{max(percent, 1) if share else 0} %"


def _facts(g: Glance, trip: Trip) -> tuple[SheetLine, ...]:
    say = g.words.say
    rows = [
        ("trip", trip.id),
        ("load", ", ".join([*loads_of(trip), *_loads_back(g, trip)]) or "-"),
        ("set", f"{trip.tray.code} v{trip.tray.version}"),
        ("cycle", say(f"paper.sheet.cycle.{trip.tray.cycle}")),
    ]
    if trip.weight:
        rows.append(("weight", in_both(*trip.weight)))
    if trip.packaging:
        rows.append(("packaging", say(f"pack.kind.{trip.packaging}")))
    if trip.package:
        rows.append(("package", ", ".join(trip.packages) or trip.package))
    if trip.packed_ms:
        rows.append(("packed", moment(g, trip.packed_ms)))
    if trip.tray.container_note:
        rows.append(("container", trip.tray.container_note))
    symbols = {"load": "batch"}
    facts = [
        SheetLine(label=say(f"paper.sheet.fact.{key}"), value=value, symbol=symbols.get(key, "")) for key, value in rows
    ]
    if trip.indicators is not None:
        facts.append(
            SheetLine(
                label=say("paper.sheet.fact.indicators"),
                value=str(trip.indicators),
                note=say("paper.sheet.indicator_note"),
            )
        )
    return tuple(facts)


def _exceptions(g: Glance, trip: Trip) -> tuple[str, ...]:
    say = g.words.say
    out = list(of_tray(g, trip))
    for line, want, have in trip.differences:
        key = "short" if have < want else "over"
        out.append(say(f"paper.sheet.exceptions.{key}", line=line, want=want, have=have))
    out += override_lines(g, trip)
    out += counted_lines(g, trip)
    for gone, new in trip.replaced.items():
        who = g.name_of(trip.replaced_by[gone])
        names = {"out": plain_name(g, trip.pieces[gone]), "new": plain_name(g, trip.pieces[new]), "who": who}
        out.append(say("paper.sheet.exceptions.replaced", **names))
    out += _returned(g, trip)
    for piece in trip.pieces.values():
        for finding in standing(trip, piece.name):
            what = g.desk.findings[finding.code].say
            if piece.disposition is Disposition.ITEM_BACK:
                out.append(say("paper.sheet.exceptions.returned", piece=plain_name(g, piece), what=what))
            if finding.no_photo:
                reason = g.words.some(f"photo.reason_words.{finding.no_photo}") or finding.no_photo
                out.append(say("paper.sheet.exceptions.no_photo", piece=plain_name(g, piece), reason=reason))
        kept_out = {Disposition.REPAIR: "repair", Disposition.QUARANTINE: "quarantine", Disposition.HOLD: "hold"}
        if piece.disposition in kept_out and piece.name not in trip.replaced:
            out.append(say(f"paper.sheet.exceptions.{kept_out[piece.disposition]}", piece=plain_name(g, piece)))
    if trip.dried:
        out.append(say("paper.sheet.exceptions.dried", n=len({spot.split(".")[0] for spot in trip.dried})))
    for spot, (mm, _) in trip.measured.items():
        name, _, lumen = spot.partition(".")
        named = {"piece": plain_name(g, trip.pieces[name]), "lumen": lumen, "mm": mm}
        out.append(say("paper.sheet.exceptions.measured", **named))
    accepted = [f for f in trip.findings if f.accepted]
    for f in accepted:
        names = {"piece": plain_name(g, trip.pieces[f.piece]), "place": finding_place(g, trip, f)}
        out.append(say("paper.sheet.exceptions.color_only", **names))
    fixed = [f for f in trip.findings if f.put_right and f.group not in {"check", "wet"}]
    if fixed:
        out.append(say("paper.sheet.exceptions.fixed_all", n=len({(f.piece, f.place.landmark) for f in fixed})))
    out += [say("paper.sheet.exceptions.fixed", what=g.desk.findings[f.code].say) for f in fixed]
    out += [say("paper.sheet.exceptions.power", time=g.clock(at_ms)) for at_ms in trip.power_lost_ms]
    if trip.counts_repeated:
        out.append(say("paper.sheet.exceptions.count_again"))
    by_hand = [job for job in trip.jobs if job.by_hand]
    out += [say("paper.sheet.exceptions.printer", what=say(f"print.doc.{job.doc}")) for job in by_hand]
    return tuple(out)


def _loads_back(g: Glance, trip: Trip) -> list[str]:
    """The odd load of each piece that came back: "W-2211 (Shaver blade)"."""
    back = [came for came in trip.came_back if came.pieces]
    return [f"{came.load or '-'} ({', '.join(_short_names(g, trip, came))})" for came in back]


def _short_names(g: Glance, trip: Trip, came: CameBack) -> tuple[str, ...]:
    """The pieces that came back, by their kind where that tells which."""
    if not came.pieces:
        return tuple(dict.fromkeys(came.names))
    return tuple(dict.fromkeys(kind_name(g, trip, trip.pieces[name]) for name in came.pieces))


def _returned(g: Glance, trip: Trip) -> list[str]:
    """What was returned, how often, and what decontam answered."""
    say = g.words.say
    out = []
    times: dict[tuple[str, ...], int] = {}
    for came in trip.came_back:
        names = _short_names(g, trip, came)
        times[names] = times.get(names, 0) + 1
        what = ", ".join(g.desk.findings[code].say for code in came.codes)
        words = {"piece": ", ".join(names), "what": what}
        if not came.pieces:
            text = say("paper.sheet.exceptions.tray_returned", **words)
        elif times[names] == 1:
            text = say("paper.sheet.exceptions.returned_once", **words)
        else:
            text = say("paper.sheet.exceptions.returned_again", n=times[names], **words)
        answer = say("paper.sheet.exceptions.answer", answer=say(f"intake.said.{came.says}")) if came.says else ""
        out.append(text + answer)
    dirty = [plain_name(g, piece) for piece in trip.pieces.values() if piece.dirty]
    if dirty:
        out.append(say("paper.sheet.exceptions.dirty", pieces=", ".join(dict.fromkeys(dirty))))
    return out


def _piece(g: Glance, trip: Trip, piece: Piece) -> SheetPiece:
    item = piece.item
    assert item is not None
    people = dict.fromkeys(yes.by for given in piece.yes.values() for yes in given)
    names = ", ".join(g.name_of(person) for person in people)
    result = g.words.say(f"paper.sheet.result.{_ring(trip, piece, None)}")
    notes = tuple(f"{g.desk.findings[f.code].say}: {finding_place(g, trip, f)}" for f in standing(trip, piece.name))
    return SheetPiece(
        name=plain_name(g, piece, of=False) + (f" {piece.name.split('#')[1]}/{item.qty}" if item.qty > 1 else ""),
        by=g.words.say("paper.sheet.by_one", piece=piece.name, name=names) if names else "",
        lumens=tuple(_lumen(g, trip, piece, lumen) for lumen in item.lumens),
        result=result,
        notes=notes,
    )


def _ring(trip: Trip, piece: Piece, lumen: str | None) -> str:
    found = standing(trip, piece.name)
    if found and (lumen is None or any(f.key.split(".")[0] == lumen or "." not in f.key for f in found)):
        return "unsure" if all(f.group == "check" for f in found) else "found"
    if lumen is not None:
        return "clear" if piece.lumen_done(lumen) else "open"
    return "clear" if piece.all_yes else "open"


def _lumen(g: Glance, trip: Trip, piece: Piece, lumen: Lumen) -> SheetLumen:
    say = g.words.say
    ring = _ring(trip, piece, lumen.name)
    mm, everything = trip.not_seen.get(f"{piece.name}.{lumen.name}", (None, False))
    hidden = ""
    if f"{piece.name}.{lumen.name}" in trip.not_seen:
        hidden = say("paper.sheet.lumen_not_seen_all" if everything else "paper.sheet.lumen_not_seen_mm", mm=mm)
    elif ring == "clear":
        hidden = say("paper.sheet.lumen_seen")
    return SheetLumen(
        lumen=lumen,
        name=lumen.name,
        checks=_checks(g, piece.plan, piece, lumen.name),
        result=say(f"paper.sheet.result.{ring}"),
        not_seen=hidden,
        ring=ring,
        dark=_dark(lumen, mm, everything=everything),
    )


def _dark(lumen: Lumen, mm: int | None, *, everything: bool) -> tuple[Decimal, Decimal] | None:
    """Where nobody looked: all of it; the far end of a blind way; the middle of one that is gone into from both."""
    if everything:
        return Decimal(0), Decimal(1)
    if not mm or not lumen.length_mm:
        return None
    share = min(Decimal(mm) / lumen.length_mm, Decimal(1))
    blind = lumen.open is Opening.ONE or Feature.BLIND in lumen.features
    return (1 - share, Decimal(1)) if blind else ((1 - share) / 2, (1 + share) / 2)


def _checks(g: Glance, plan: PiecePlan, piece: Piece, lumen: str) -> str:
    """The checks answered YES, with what was used: "dry, swab 3.0 mm, scope SC-1"."""
    done = [c for c in plan.checks if c.lumen == lumen and piece.answered(c)]
    words = [f"{g.words.say(f'name.{c.check}')} {c.use}".strip() for c in done]
    return ", ".join(words)


def _checked_by(g: Glance, trip: Trip) -> tuple[str, ...]:
    people = dict.fromkeys(yes.by for piece in trip.pieces.values() for given in piece.yes.values() for yes in given)
    names = [g.name_of(person) for person in people]
    tray = trip.pieces.get(TRAY)
    last = tray.yes.get(str(Check.OTHERS), ()) if tray else ()
    label = g.words.say("paper.sheet.checked_by")
    beside = trip.cosigned[0]
    signed = (g.words.say("paper.sheet.cosigned_by", name=g.name_of(beside)),) if beside else ()
    if len(names) <= 1:
        return (*(f"{label} {name}" for name in names), *signed)
    plain = (f"{g.words.say('name.others')}: {g.name_of(last[-1].by)}",) if last else ()
    return (f"{label} {', '.join(names)}", *plain, *signed)
