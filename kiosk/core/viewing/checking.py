"""The check, what was found, what becomes of it."""

from dataclasses import replace
from decimal import Decimal

from kiosk.core.agenda import Step
from kiosk.core.catalogue import Landmark, Lumen
from kiosk.core.commands import Answer, Confirm, MovePlace, Page, TakeBack, Turn
from kiosk.core.decide.checking import allowed
from kiosk.core.dispose import outcome, photo_wanted
from kiosk.core.findings import KEPT_FROM_UNDO
from kiosk.core.glance import (
    Glance,
    asking_hand,
    band_for,
    finding_place,
    flags_of,
    head,
    landmark_words,
    piece_name,
    way,
    work_hand,
)
from kiosk.core.limits import air_kpa, is_long
from kiosk.core.pace import pace_ms
from kiosk.core.plan import PlannedCheck
from kiosk.core.state.piece import TRAY, FindingOn, Piece
from kiosk.core.state.trip import Trip
from kiosk.core.together.stop_list import uses
from kiosk.core.viewing import gauging, stills, was_back
from kiosk.core.views import AskView, Choice, DecisionView, FindingView, Hand, Key, Plate, Ring, StopView
from kiosk.core.vocabulary import Check, Disposition, Feature, Opening


def check(g: Glance) -> AskView:
    """One question about one lumen, or about the piece as a whole."""
    trip, say = g.trip, g.words.say
    step = g.step
    planned = step.check
    assert planned is not None
    piece = trip.pieces[step.piece]
    lumen = way(piece.item, planned.lumen)
    kind = planned.check
    sure = g.notice is not None and g.notice[0] == "notice.quick_look"
    reply = Answer(piece=piece.name, key=planned.key, yes=True, sure=sure)
    wait = g.desk.policy.look_time == "wait" and kind is Check.SCOPE
    length = lumen.length_mm if lumen else None
    return AskView(
        head=head(g),
        hand=_check_hand(g, piece),
        title=say(f"check.{kind}.title"),
        help=_help(g, piece, step),
        facts=was_back.facts(g, trip, piece, planned) or _facts(g, lumen, planned) + _of_mark(g, piece, planned),
        notice=g.said(),
        band=band_for(g, piece, planned.lumen, flags=was_back.flags(g, trip, piece, planned.lumen), end=step.end),
        no=Plate(
            word=say("check.no"),
            claim=say("check.no_claim"),
            note=say("check.no_note"),
            send=Answer(piece=piece.name, key=planned.key, yes=False),
        ),
        unsure=Plate(
            word=say("check.unsure"),
            claim="",
            note=say("check.unsure_note"),
            send=Answer(piece=piece.name, key=planned.key, yes=False, unsure=True),
        ),
        yes=Plate(word=say("check.yes"), claim=say(f"check.{kind}.claim"), note=say("check.yes_note"), send=reply),
        yes_opens_ms=pace_ms(g.desk.policy, length) if wait else 0,
        to_go=say("check.to_go"),
        opens=say("check.opens"),
        keep_looking=say("check.keep_looking"),
        pace_words=say("check.pace"),
        length_cm=int((length or Decimal(0)) / 10),
        sends_pace=True,
        steps=(),
    )


def _check_hand(g: Glance, piece: Piece) -> Hand:
    """What soil looks like; where the plan says that the piece can not be reached, the way on from that instead."""
    if piece.plan.hold == "cannot_reach" and not piece.dirty:
        return work_hand(g, right=(g.key("rail.cannot_reach", Turn(page=Page.CANNOT_REACH), icon="question"),))
    soil = () if g.small else (g.key("rail.soil", Turn(page=Page.SOIL), icon="camera"),)
    return work_hand(g, right=(*(stills.key_of(g) or stills.after_key(g)), *soil))


def _help(g: Glance, piece: Piece, step: Step) -> str:
    say = g.words.say
    planned = step.check
    assert planned is not None
    if step.end:
        key = f"check.end_{step.end}"
        if step.end == "tip" and planned.check is Check.SCOPE:
            key = "check.end_tip_scope"
        return say(key)
    item = piece.item
    names = {
        "kpa": _kpa(g, way(item, planned.lumen)),
        "where": say(f"where_air.{g.desk.policy.air_where}"),
        "kind": g.desk.policy.water_kind,
        "tests": ", ".join(item.function).capitalize() + "." if item else "",
        "assembly": g.trip.tray.assembly,
    }
    if planned.check is Check.BRUSH and g.desk.policy.brush_rule == "one_per_tray":
        return say("check.brush.help_tray")
    if planned.check is Check.LOOK and item is not None and item.type in g.desk.types:
        return say("check.look_at", look=g.desk.types[item.type].look)
    return say(f"check.{planned.check}.help", **names)


def _kpa(g: Glance, lumen: Lumen | None) -> str:
    kpa = air_kpa(lumen, g.desk.policy) if lumen else None
    return "" if kpa is None else str(kpa)


def _facts(g: Glance, lumen: Lumen | None, planned: PlannedCheck) -> tuple[str, ...]:
    say = g.words.say
    facts = [say(f"check.use_{planned.check}", use=planned.use)] if planned.use else []
    if lumen is not None:
        facts.append(say("check.bore", mm=lumen.inside_mm) if lumen.inside_mm else say("check.bore_unknown"))
        if lumen.length_mm and not facts[1:]:
            long = is_long(lumen, g.desk.policy)
            facts.append(say("check.long" if long else "check.length", mm=lumen.length_mm))
    return tuple(facts)


def _of_mark(g: Glance, piece: Piece, planned: PlannedCheck) -> tuple[str, ...]:
    """At the checks of the whole piece: its own mark, or that it is to be read, and its uses."""
    item = piece.item
    if item is None or planned.lumen or not item.own_mark:
        return ()
    if not piece.mark:
        return (g.words.say("check.read_mark"),)
    if item.use_limit is None:
        return (piece.mark,)
    return (piece.mark, g.words.say("check.uses", n=uses(g.bench, g.desk, piece), of=item.use_limit))


ICON_WANTS_NO_PLACE = frozenset({"clear_drops", "still_wet", "unsure", "single_use_found", "wrong_item", "no_mark"})
"""Findings of the piece as a whole or of no one place: nothing more is asked."""


def finding(g: Glance) -> FindingView:
    """What is it, and where."""
    trip, say = g.trip, g.words.say
    asking = trip.asking
    assert asking is not None
    piece = trip.pieces[asking.piece]
    name, _, check_name = asking.key.rpartition(".")
    lumen = way(piece.item, name)
    first = g.desk.choices[check_name]
    rest = [code for code in g.desk.findings.kinds if code not in first and _fits(code, g)]
    marks = _landmarks(g, trip, piece, lumen)
    return FindingView(
        head=head(g),
        hand=asking_hand(g, (g.key("finding.back", TakeBack(), icon="arrow_left"),)),
        title=say("finding.title_dry") if check_name == Check.DRY else say("finding.title"),
        notice=g.said(),
        what=say("finding.title_dry") if check_name == Check.DRY else say("finding.title"),
        where=say("finding.where") if lumen else say("finding.where_piece"),
        band=band_for(g, piece, name, flags=flags_of(g, trip, piece, name)),
        lumen=name,
        landmarks=marks,
        landmark_words=tuple(landmark_words(g, mark.name) for mark in marks),
        choices=tuple(_choice(g, code) for code in first),
        more=tuple(_choice(g, code) for code in rest),
        more_word=say("finding.more"),
        fewer_word=say("finding.fewer"),
        all_along=say("finding.all_along") if lumen else "",
        cm_from=say("finding.cm_from"),
        saying=say("finding.saying"),
        saying_word=say("finding.saying_word"),
        touch_first=say("finding.touch_first"),
        choose_first=say("finding.choose_first"),
        previous_word=say("page.previous"),
        next_word=say("page.next"),
    )


def _fits(code: str, g: Glance) -> bool:
    """Counting and waiting have pages of their own."""
    kind = g.desk.findings[code]
    elsewhere = {"missing", "extra", "still_wet", "cannot_reach", "not_checked_dirty", "splash", "sharps_injury"}
    return code not in elsewhere and kind.back is not Disposition.PACK


def _choice(g: Glance, code: str) -> Choice:
    kind = g.desk.findings[code]
    return Choice(code=code, label=kind.say, icon=code, wants_place=code not in ICON_WANTS_NO_PLACE)


def _landmarks(g: Glance, trip: Trip, piece: Piece, lumen: Lumen | None) -> tuple[Landmark, ...]:
    """The record's own landmarks first, then those that the features name."""
    kept = g.kept_word
    if piece.name == TRAY:
        return tuple(Landmark(name=line.name) for line in trip.tray.lines if line.item is None)
    if lumen is None:
        own = piece.item.landmarks if piece.item else ()
        usual = ("joint", "shaft", "handle", "everywhere")
        return own + tuple(Landmark(name=kept(f"places.{key}")) for key in usual)
    length = lumen.length_mm
    marks = list(lumen.landmarks)
    if Feature.TOOTHED in lumen.features:
        marks.append(Landmark(name=kept("places.teeth"), at_mm=length))
    if lumen.features & {Feature.FENESTRATED, Feature.SIDE_HOLE}:
        marks.append(Landmark(name=kept("places.side_holes"), at_mm=length))
    if lumen.open is Opening.ONE:
        marks.append(Landmark(name=kept("places.closed_end"), at_mm=length))
    names = {mark.name for mark in lumen.landmarks}
    return tuple(mark for mark in marks if mark in lumen.landmarks or mark.name not in names)[:4]


_RINGS: dict[Disposition, Ring] = {Disposition.SECOND_LOOK: "unsure", Disposition.HOLD: "unsure"}


def decision(g: Glance) -> DecisionView:
    """What will happen, said back."""
    trip, say = g.trip, g.words.say
    task = g.step.task
    assert task is not None
    found = trip.finding(task.n)
    piece = trip.pieces[found.piece]
    what = outcome(g.bench, trip, found, g.desk)
    wanted = photo_wanted(found, what.kind, g.desk)
    others = [
        g.key(f"decision.other.{kind}", Confirm(what=kind), name=f"instead {kind}")
        for kind in allowed(what.kind, found.code)[1:]
    ]
    main: Key | None = g.key(f"decision.main.{what.kind}", Confirm(what=what.kind), kind="main", icon="arrow_right")
    if wanted:
        main = g.key("decision.photo_first", Turn(page=Page.PHOTO), kind="main", icon="camera")
    lumen = way(piece.item, found.place.lumen)
    return DecisionView(
        head=head(g),
        hand=_decision_hand(g, found),
        title=say(f"decision.title.{what.kind}"),
        notice=g.said(),
        ring=_RINGS.get(what.kind, "found"),
        word=say(f"decision.word.{what.kind}"),
        said=g.desk.findings[found.code].say,
        place=finding_place(g, trip, found),
        because=tuple(say(key, **names) for key, names in what.because),
        band=band_for(g, piece, found.place.lumen, flags=flags_of(g, trip, piece, found.place.lumen)),
        moves=_moves(g, found, lumen),
        photo=None if wanted else g.key("decision.photo", Turn(page=Page.PHOTO), icon="camera"),
        photo_state=_photo_state(g, found, wanted),
        main=main,
        others=tuple(others),
    )


def _decision_hand(g: Glance, found: FindingOn) -> Hand:
    """No key that would only be refused: a finding of the grave kind is not taken back here."""
    change = g.key("decision.change", TakeBack(), icon="arrow_left")
    hand = asking_hand(g, () if found.code in KEPT_FROM_UNDO else (change,))
    return replace(hand, right=(*stills.after_key(g), *hand.right))


def _moves(g: Glance, found: FindingOn, lumen: Lumen | None) -> tuple[Key, ...]:
    if found.place.at_mm is None or lumen is None:
        return ()
    return (
        g.key("decision.left", MovePlace(by_mm=-10), icon="arrow_left", name="left"),
        g.key("decision.right", MovePlace(by_mm=10), icon="arrow_right", name="right"),
    )


def _photo_state(g: Glance, found: FindingOn, wanted: bool) -> str:
    if found.photo:
        return g.words.say("decision.photo_kept")
    if found.no_photo:
        reason = g.words.some(f"photo.reason_words.{found.no_photo}") or found.no_photo
        return g.words.say("decision.photo_none", reason=reason)
    return g.words.say("decision.photo_needed") if wanted else ""


def plan_hold(g: Glance) -> StopView:
    """A piece that no permitted check reaches."""
    piece = g.trip.pieces[g.step.piece]
    entry = next(lumen for lumen in piece.plan.lumens if lumen.hold)
    say = g.words.say
    held = [lumen.lumen for lumen in piece.plan.lumens if lumen.hold]
    sentence = say(f"plan_hold.{entry.hold}", lumen=", ".join(held), piece=piece_name(g, piece))
    begin = gauging.measure_key(g) if entry.hold == "unknown_lumen" else None
    here = (begin,) if begin else ()
    why = () if entry.hold == "unknown_lumen" else tuple(g.told(because) for _, because in entry.left_out)
    return StopView(
        head=head(g),
        hand=work_hand(g),
        title=say("decision.title.hold"),
        notice=g.said(),
        sentence=sentence,
        lines=why[:3],
        main=g.key("decision.main.hold", Confirm(what=Disposition.HOLD), kind="main"),
        others=(*here, g.key("plan_hold.send", Confirm(what=Disposition.ITEM_BACK), name="send dirty side")),
    )
