"""Steps for the hands: drying, putting right, bench cleaning, gloves, scopes, the hold shelf; a picture."""

from kiosk.core.commands import Confirm, CountAgain, LookIntoJoint, NoPhoto, Page, StepDone, Turn
from kiosk.core.decide.checking import may_stay
from kiosk.core.decide.counting import of_others
from kiosk.core.decide.joints import may_lubricate, wants_look
from kiosk.core.decide.packing import FULL_STEPS, WET_STEP, wet_minutes
from kiosk.core.dispositions import ruled_piece, waits
from kiosk.core.evolve import WIPING_STEP
from kiosk.core.glance import Glance, back_hand, head, piece_name, way, work_hand
from kiosk.core.limits import air_kpa
from kiosk.core.state.piece import FindingOn
from kiosk.core.together.returns import may_come_back
from kiosk.core.viewing import second_looks, stills
from kiosk.core.viewing.kit import gap_key
from kiosk.core.viewing.opening import waiting_name, waiting_names
from kiosk.core.viewing.rows import in_a_line
from kiosk.core.views import Key, NumberView, PhotoView, StepsView
from kiosk.core.vocabulary import Disposition


def put_right(g: Glance) -> StepsView:
    """Dry it, or put it right, then look again."""
    task = g.step.task
    assert task is not None
    found = g.trip.finding(task.n)
    if g.desk.findings[found.code].back is Disposition.DRY_AGAIN:
        return _dry(g, found)
    say = g.words.say
    kind = g.desk.findings[found.code]
    steps = f"put_right.fix_steps.{found.code}"
    main = g.key("put_right.fix_done", StepDone(step="put_right"), kind="main", icon="arrow_right")
    others: tuple[Key, ...] = (g.key("put_right.stays", Confirm(what=Disposition.ITEM_BACK), name="it stays"),)
    if wants_look(found):
        steps = "put_right.joint_look"
        main = g.key("put_right.joint_clear", LookIntoJoint(soil=False), kind="main", icon="arrow_right")
        others = (g.key("put_right.joint_soil", LookIntoJoint(soil=True), name="soil in the joint"), *others)
    elif found.code == "stiff" and not may_lubricate(g.trip, found):
        steps = "put_right.joint_dry"
    return StepsView(
        head=head(g),
        hand=work_hand(g),
        title=say("put_right.fix_title"),
        help=", ".join(part for part in (found.place.landmark, kind.say) if part),
        notice=g.said(),
        steps=g.words.lines(steps) if steps in g.words.lists else (kind.looks,),
        now=0,
        main=main,
        others=others if may_stay(kind) else (),
    )


def _dry(g: Glance, found: FindingOn) -> StepsView:
    say = g.words.say
    piece = g.trip.pieces[found.piece]
    lumen = way(piece.item, found.key.rpartition(".")[0])
    tries = g.trip.dried.get(f"{found.piece}.{found.key}", 0)
    kpa = air_kpa(lumen, g.desk.policy) if lumen else None
    station = g.desk.catalogue.kit.air_station and kpa is not None
    where = say(f"where_air.{g.desk.policy.air_where}")
    lines = (
        g.words.lines("put_right.dry_steps", where=where, kpa=kpa)
        if station
        else (g.words.lines("put_right.dry_steps_no_air"))
    )
    worn = g.desk.policy.ppe["air"] if station else g.desk.policy.ppe["dry"]
    names = ", ".join(say(f"worn.{thing}") for thing in worn)
    return StepsView(
        head=head(g),
        hand=work_hand(g),
        title=say("put_right.dry_title"),
        help=say("put_right.try", n=tries + 1, of=g.desk.policy.max_dry_tries),
        notice=g.said(),
        steps=lines,
        now=0,
        worn=worn,
        worn_words=say("worn.words", worn=names),
        main=g.key("put_right.dry_done", StepDone(step="put_right"), kind="main", icon="arrow_right"),
    )


def _held(g: Glance) -> bool:
    """Is it for a held piece that the bench is wiped? Then nothing goes into the return bin."""
    decided = [f for f in g.trip.findings if f.decided]
    piece = g.trip.pieces.get(decided[-1].piece) if decided else None
    return piece is not None and piece.disposition in {Disposition.HOLD, Disposition.QUARANTINE}


def bench(g: Glance) -> StepsView:
    """The bench cleaning that the finding asks for."""
    task = g.step.task
    assert task is not None
    say = g.words.say
    rulings = (
        (g.key("rail.supervisor", Turn(page=Page.NAMES, subject="ruling:"), icon="lock"),)
        if ruled_piece(g.bench.trip)
        else ()
    )
    if task.level != "full":
        return StepsView(
            head=head(g),
            hand=work_hand(g),
            title=say("bench_clean.wipe_title"),
            notice=g.said(),
            steps=g.words.lines("bench_clean.held_steps" if _held(g) else "bench_clean.wipe_steps"),
            now=0,
            main=g.key("bench_clean.wipe_done", StepDone(step="bench"), kind="main", icon="arrow_right"),
            others=rulings,
        )
    minutes = wet_minutes(g.bench, g.desk)
    last = task.step == FULL_STEPS - 1
    others = list(rulings)
    main = g.key(
        "bench_clean.full_done" if last else "bench_clean.step_done",
        StepDone(step="bench", number=task.step),
        kind="main",
        icon="arrow_right",
    )
    label = Turn(page=Page.TYPE_NUMBER, subject="minutes")
    if task.step == WIPING_STEP and minutes is not None and g.desk.policy.bench_contact_minutes is None:
        others.append(g.key("bench_clean.other_time", label, name="other label time"))
    if task.step == WIPING_STEP and minutes is None:
        main = g.key("bench_clean.label_time", label, kind="main")
    also = [t.tray.name for t in g.bench.trips.values() if not t.ended and t.id != g.bench.current]
    return StepsView(
        head=head(g),
        hand=work_hand(g, change=False),
        title=say("bench_clean.full_title"),
        help=say("bench_clean.other_trays", trays=in_a_line(g, also)) if also else "",
        notice=g.said(),
        steps=g.words.lines("bench_clean.full_steps"),
        now=task.step,
        cautions=(say("bench_clean.caution"),) if minutes is None else (),
        main=main,
        others=tuple(others),
        timer_ms=(minutes or 0) * 60_000 if task.step >= WET_STEP else 0,
        since_ms=g.bench.wet_since_ms or 0,
        timer_words=say("bench_clean.timer", left="{left}"),
    )


def label_minutes(g: Glance) -> NumberView:
    """The wet time from the label."""
    say = g.words.say
    return NumberView(
        head=head(g),
        hand=back_hand(g),
        title=say("number.minutes.title"),
        help=say("number.minutes.help"),
        notice=g.said(),
        purpose="minutes",
        most=2,
        done=say("number.minutes.done"),
        erase=say("number.erase"),
    )


def gloves(g: Glance) -> StepsView:
    """New gloves."""
    say = g.words.say
    return StepsView(
        head=head(g),
        hand=work_hand(g, change=False),
        title=say("gloves.title"),
        notice=g.said(),
        steps=g.words.lines("gloves.steps"),
        now=0,
        worn=("gloves",),
        main=g.key("gloves.done", StepDone(step="gloves"), kind="main", icon="arrow_right"),
    )


def scope(g: Glance) -> StepsView:
    """The scope is cleaned before it meets the next piece. Meanwhile another piece may be gone on with."""
    say = g.words.say
    meanwhile, gap = g.key("kit.meanwhile", Turn(page=Page.OVERVIEW), icon="tray", name="other pieces"), gap_key(g)
    return StepsView(
        head=head(g),
        hand=work_hand(g, right=stills.after_key(g)),
        title=say("scope_clean.title", scope=g.step.scope),
        notice=g.said(),
        steps=g.words.lines("scope_clean.steps"),
        now=0,
        cautions=g.words.lines("scope_clean.cautions"),
        main=g.key("scope_clean.done", StepDone(step="scope"), kind="main", icon="arrow_right", scope=g.step.scope),
        others=(meanwhile, *((gap,) if gap else ())),
    )


def shelf(g: Glance) -> StepsView:
    """Cover the tray and put it on the hold shelf."""
    say = g.words.say
    names = waiting_names(g, g.trip) or [waiting_name(g, g.trip, name) for name in waits(g.trip)]
    return StepsView(
        head=head(g),
        hand=work_hand(g, change=False),
        title=say("shelf.title"),
        help=say("shelf.waits", pieces=in_a_line(g, names)),
        notice=g.said() or (say("shelf.is_back") if _expected(g) else ""),
        steps=g.words.lines("shelf.steps"),
        now=0,
        main=g.key("shelf.done", Confirm(what="shelf"), kind="main", icon="arrow_right"),
        others=_shelf_keys(g),
    )


def _expected(g: Glance) -> bool:
    """Is a piece that it waits for at decontam?"""
    return any(each.sent is not None and each.sent.trip.id == g.trip.id for each in may_come_back(g.bench, g.desk))


def _shelf_keys(g: Glance) -> tuple[Key, ...]:
    """What else can be done with a tray that waits; at most two, the likelier first."""
    keys = []
    if (second := second_looks.key_of(g)) is not None:
        keys.append(second)
    if any(piece.disposition is Disposition.SECOND_LOOK for piece in g.trip.pieces.values()):
        keys.append(g.key("decision.other.item_back", Confirm(what=Disposition.ITEM_BACK), name="send back"))
    if ruled_piece(g.trip) or g.trip.differences or of_others(g.trip):
        keys.append(g.key("rail.supervisor", Turn(page=Page.NAMES, subject="ruling:"), icon="lock"))
    if g.trip.differences:
        keys.append(g.key("shelf.count_again", CountAgain(), name="count again"))
    return tuple(keys[:2])


def photo(g: Glance) -> PhotoView:
    """Choose a picture of the finding from the picture folder."""
    say = g.words.say
    reasons = tuple(
        Key(label=say(f"photo.reasons.{reason}"), send=NoPhoto(reason=reason), name=f"no photo {reason}")
        for reason in ("no_scope", "too_dark", "no_time")
    )
    task = g.step.task
    found = g.trip.finding(task.n) if task else None
    piece = g.trip.pieces[found.piece] if found else None
    return PhotoView(
        head=head(g),
        hand=back_hand(g, *stills.key_of(g)),
        title=say("photo.title"),
        help=say("photo.help"),
        facts=(piece_name(g, piece),) if piece else (),
        notice=g.said(),
        source_words=say("photo.source"),
        none_yet=say("photo.none_yet"),
        use=say("photo.use"),
        refresh=say("photo.refresh"),
        reasons=reasons,
    )
