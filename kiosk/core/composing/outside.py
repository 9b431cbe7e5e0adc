"""The package label, and the repair and quarantine tags."""

from kiosk.core.composing.of_tray import alerts
from kiosk.core.composing.parts import Order, foot, mark, moment, standing
from kiosk.core.composing.ticket import piece_line
from kiosk.core.glance import Glance
from kiosk.core.papers import PackageLabel, SheetLine, Tag
from kiosk.core.state.piece import Piece
from kiosk.core.state.trip import Trip, every_load_of
from kiosk.core.vocabulary import Group


def label(g: Glance, order: Order) -> PackageLabel:
    """The label of a packed tray."""
    trip, say = order.trip, g.words.say
    facts = [("load", ", ".join(every_load_of(trip)) or "-"), ("cycle", say(f"paper.sheet.cycle.{trip.tray.cycle}"))]
    facts.append(("by", trip.packed_by))
    if trip.packaging:
        facts.append(("packaging", say(f"pack.kind.{trip.packaging}")))
    short = sum(want - have for _, want, have in trip.differences if have < want)
    return PackageLabel(
        tray_name=trip.tray.name,
        tray_code=trip.tray.code,
        number=say("paper.label.number", number=order.number),
        code=g.desk.encode(order.number),
        packed=moment(g, trip.packed_ms or g.now.at_ms),
        facts=tuple(SheetLine(label=say(f"paper.label.fact.{key}"), value=value) for key, value in facts),
        alerts=(*alerts(g, trip, order.number), *((say("paper.label.alert.short", n=short),) if short else ())),
        blanks=g.words.lines("paper.label.blanks"),
        care=say("paper.label.care") if g.desk.policy.shelf_life in {"event", "both"} else "",
        foot=foot(g, order),
    )


def tag(g: Glance, order: Order) -> Tag:
    """A repair or quarantine tag."""
    trip, say = order.trip, g.words.say
    piece = next(p for p in trip.pieces.values() if p.ticket == order.number)
    findings = standing(trip, piece.name)
    quarantine = order.doc == "quarantine_tag"
    soiled = any(f.group in {Group.SOIL, Group.FOREIGN, Group.BLOCKED} for f in findings)
    lost = any(f.code in {"swab_left", "part_broken_off"} for f in findings)
    warning = ""
    if quarantine:
        warning = say("paper.tag.no_wash") if lost else say("paper.tag.no_wash_other")
    title = say("paper.tag.quarantine") if quarantine else say("paper.tag.repair")
    return Tag(
        title=f"{title}: {say('paper.tag.quarantine_do_not')}" if quarantine else title,
        number=order.number,
        code=g.desk.encode(order.number),
        piece=piece_line(g, trip, piece, findings),
        tray=f"{trip.tray.name} · {trip.tray.code}",
        said=tuple(dict.fromkeys(g.desk.findings[f.code].say for f in findings)),
        marks=tuple(mark(g, trip, f, i) for i, f in enumerate(findings, 1)),
        state=_state(g, piece, soiled=soiled, quarantine=quarantine),
        warning=warning,
        facts=_facts(g, order, piece, trip),
        foot=foot(g, order),
    )


def _state(g: Glance, piece: Piece, *, soiled: bool, quarantine: bool) -> str:
    """What people answered about its lumens: the time of the last YES, or that not all was asked."""
    if quarantine and soiled:
        return g.words.say("paper.tag.bag_it")
    if soiled:
        return g.words.say("paper.tag.soiled")
    lumens = [lumen.name for lumen in piece.item.lumens] if piece.item else []
    if not lumens or not all(piece.lumen_done(name) for name in lumens):
        return g.words.say("paper.tag.not_asked" if quarantine else "paper.tag.not_finished")
    last = max(yes.at_ms for key, given in piece.yes.items() for yes in given if key.split(".")[0] in lumens)
    return g.words.say("paper.tag.checked", time=g.clock(last))


def _by_rule(g: Glance, trip: Trip, piece: Piece) -> list[tuple[str, str]]:
    """In quarantine by the department's own rule: which one, and who decides. Nobody is named."""
    say = g.words.say
    code = next((f.code for f in reversed(standing(trip, piece.name))), "")
    if code in {"recalled", "use_limit"}:
        rule = say(f"paper.tag.rule_{code}", note=piece.note)
    else:
        times = g.words.lines("paper.tag.times")
        n = int(piece.note or 0)
        rule = say("paper.tag.in_a_row", n=times[n] if n < len(times) else say("paper.tag.nth", n=n))
    return [("rule", rule), ("decides", say("paper.tag.supervisor"))]


def _facts(g: Glance, order: Order, piece: Piece, trip: Trip) -> tuple[SheetLine, ...]:
    say = g.words.say
    spare = trip.replaced.get(piece.name, "")
    rows = [
        ("tray_went_on" if spare else "tray", f"{trip.tray.name} {trip.tray.code}"),
        ("spare", trip.pieces[spare].plan.name if spare else ""),
        ("load", trip.load or "-"),
        ("time", moment(g, g.now.at_ms)),
    ]
    if order.doc == "quarantine_tag":
        by = trip.ruled_by.get(piece.name, "")
        rows.append(("swab_lot", trip.lots_lost.get(piece.name, "")))
        rows += [("decides", g.name_of(by)), ("note", piece.note)] if by else _by_rule(g, trip, piece)
    return tuple(SheetLine(label=say(f"paper.tag.fact.{key}"), value=value) for key, value in rows if value)
