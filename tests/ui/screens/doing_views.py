"""Views of decisions, pictures and steps, and every doing view by name, as they come and at their longest."""

from kiosk.core import commands as c
from kiosk.core import views as v
from kiosk.core.vocabulary import Disposition
from tests.ui.screens import ending_views as e
from tests.ui.screens import listing_views, looking_views, stills_views
from tests.ui.screens.rails import (
    AID,
    BACK_HAND,
    ITEM_48,
    LANDMARK_48,
    LUMEN_24,
    SUPERVISOR,
    band,
    band_named,
    head,
    key,
    lines,
    say,
    work,
)

MOVES = (
    key("decision.left", c.MovePlace(by_mm=-10), icon="arrow_left", name="left"),
    key("decision.right", c.MovePlace(by_mm=10), icon="arrow_right", name="right"),
)
PHOTO = key("decision.photo", c.Turn(page=c.Page.PHOTO), icon="camera")
PHOTO_FIRST = key("decision.photo_first", c.Turn(page=c.Page.PHOTO), icon="camera", main=True)


def decision(
    kind: Disposition = Disposition.ITEM_BACK, *, long: bool = False, at_mm: int = 130, **more: object
) -> v.DecisionView:
    """A finding's decision said back."""
    others = {
        Disposition.ITEM_BACK: (Disposition.TRAY_BACK,),
        Disposition.SECOND_LOOK: (Disposition.BENCH_FIX, Disposition.ITEM_BACK),
    }.get(kind, ())
    said = "Swab, pin or scope will not go through" if long else "Red or red-brown mark"
    because = [say("because.return.item", finding=said)]
    if long:
        because = [
            say("because.return.tray", finding=said),
            say("because.raised.two_soiled_items"),
            say("because.full"),
        ]
    place = say("place.at", cm=at_mm // 10)
    values: dict[str, object] = {
        "head": head(long=long),
        "hand": v.Hand(left=(key("decision.change", c.TakeBack(), icon="arrow_left"),), aid=AID),
        "title": say(f"decision.title.{kind}"),
        "ring": "unsure" if kind is Disposition.SECOND_LOOK else "found",
        "word": say(f"decision.word.{kind}"),
        "said": said,
        "place": say("place.in_lumen", place=place, lumen=LUMEN_24) if long else place,
        "because": tuple(because),
        "band": band(long=long, at_mm=at_mm),
        "moves": MOVES,
        "photo": PHOTO,
        "photo_state": "",
        "main": key(f"decision.main.{kind}", c.Confirm(what=kind), icon="arrow_right", main=True),
        "others": tuple(key(f"decision.other.{o}", c.Confirm(what=o), name=f"instead {o}") for o in others),
    }
    return v.DecisionView(**{**values, **more})  # type: ignore[arg-type]


def photo(*, long: bool = False) -> v.PhotoView:
    """The picture page."""
    return v.PhotoView(
        head=head(long=long),
        hand=BACK_HAND,
        title=say("photo.title"),
        help=say("photo.help"),
        facts=(ITEM_48 if long else "Suction tube 10 Fr",),
        source_words=say("photo.source"),
        none_yet=say("photo.none_yet"),
        use=say("photo.use"),
        refresh=say("photo.refresh"),
        reasons=tuple(
            key(f"photo.reasons.{reason}", c.NoPhoto(reason=reason), name=f"no photo {reason}")
            for reason in ("no_scope", "too_dark", "no_time")
        ),
    )


def full_cleaning(step: int, *, small: bool, since_ms: int = 0, minutes: int = 4, others: bool = False) -> v.StepsView:
    """The full bench cleaning, step by step."""
    last = step == 4
    return v.StepsView(
        head=head(),
        hand=work(small=small, change=False),
        title=say("bench_clean.full_title"),
        help=say("bench_clean.other_trays", trays="Eye tray 3"),
        steps=lines("bench_clean.full_steps"),
        now=step,
        cautions=(say("bench_clean.caution"),),
        main=key(
            "bench_clean.full_done" if last else "bench_clean.step_done",
            c.StepDone(step="bench", number=step),
            icon="arrow_right",
            main=True,
        ),
        others=(SUPERVISOR,) if others else (),
        timer_ms=minutes * 60_000 if last else 0,
        since_ms=since_ms,
        timer_words=say("bench_clean.timer", left="{left}"),
    )


def drying(
    *, small: bool, worn: tuple[str, ...] = ("gloves", "eye", "mask", "gown"), long: bool = False
) -> v.StepsView:
    """Dry it, then look again."""
    names = ", ".join(say(f"worn.{thing}") for thing in worn)
    return v.StepsView(
        head=head(long=long),
        hand=work(small=small),
        title=say("put_right.dry_title"),
        help=say("put_right.try", n=1, of=2),
        steps=lines("put_right.dry_steps", where=say("where_air.station"), kpa=140),
        now=0,
        worn=worn,
        worn_words=say("worn.words", worn=names),
        main=key("put_right.dry_done", c.StepDone(step="put_right"), icon="arrow_right", main=True),
    )


def wiping(*, small: bool) -> v.StepsView:
    """The bench is wiped; a piece waits for the supervisor meanwhile."""
    return v.StepsView(
        head=head(),
        hand=work(small=small),
        title=say("bench_clean.wipe_title"),
        steps=lines("bench_clean.wipe_steps"),
        now=0,
        main=key("bench_clean.wipe_done", c.StepDone(step="bench"), icon="arrow_right", main=True),
        others=(SUPERVISOR,),
    )


def scope(*, small: bool) -> v.StepsView:
    """The scope is cleaned."""
    name = "Borescope 1.9 mm x 1100 mm"
    return v.StepsView(
        head=head(),
        hand=work(small=small),
        title=say("scope_clean.title", scope=name),
        steps=lines("scope_clean.steps"),
        now=0,
        cautions=lines("scope_clean.cautions"),
        main=key("scope_clean.done", c.StepDone(step="scope"), icon="arrow_right", main=True, scope=name),
    )


def every(*, small: bool) -> dict[str, v.View]:
    """Every doing view, by a name for its picture."""
    return (
        listing_views.every(small=small)
        | looking_views.every(small=small)
        | stills_views.every(small=small)
        | {
            "decision": decision(),
            "decision_long": decision(
                Disposition.TRAY_BACK, long=True, at_mm=440, photo_state=say("decision.photo_kept")
            ),
            "decision_item_long": decision(long=True),
            "decision_unsure": decision(Disposition.SECOND_LOOK),
            "decision_photo_first": decision(photo=None, main=PHOTO_FIRST, photo_state=say("decision.photo_needed")),
            "decision_no_photo": decision(
                photo_state=say("decision.photo_none", reason=say("photo.reason_words.no_time"))
            ),
            "decision_whole": decision(
                Disposition.REPAIR, moves=(), band=v.Band(words=ITEM_48), place="box lock of the jaw, left"
            ),
            "decision_named": decision(moves=(), band=band_named(at_mm=125), place=LANDMARK_48),
            "decision_named_late": decision(moves=(), band=band_named(at_mm=240), place=LANDMARK_48),
            "photo": photo(),
            "photo_long": photo(long=True),
            "full_first": full_cleaning(0, small=small),
            "full_middle": full_cleaning(2, small=small, others=True),
            "full_wet": full_cleaning(4, small=small, since_ms=1_000_000),
            "drying": drying(small=small),
            "drying_long": drying(small=small, worn=("gloves", "face_shield", "mask", "gown"), long=True),
            "wiping": wiping(small=small),
            "scope": scope(small=small),
            "pack": e.pack(small=small),
            "pack_empty": e.pack(small=small, ready=False),
            "pack_plain": e.pack(small=small, weighed=False),
            "pack_long": e.pack(small=small, long=True),
            "print": e.printing(small=small),
            "print_failed": e.printing(small=small, failed=True),
            "print_failed_two": e.printing(small=small, failed=True, two=True),
            "print_failed_labels": e.printing(small=small, failed=True, labels=3),
            "done": e.done(),
            "done_long": e.done(long=True),
            "stop": e.stop(small=small),
            "stop_long": e.stop(small=small, long=True),
            "spare": e.spare(),
            "menu": e.menu(small=small),
            "ruling": e.ruling(),
            "soil": e.soil(small=small),
            "soil_long": e.soil(small=small, page=0, long=True),
            "soil_last": e.soil(small=small, page=1),
            "note": e.note(),
            "first_aid": e.first_aid(since_ms=1_000_000),
            "first_aid_own": e.first_aid(since_ms=1_000_000, own=True),
            "first_aid_unset": e.first_aid(since_ms=1_000_000, unset=True),
            "wipe": e.wipe(),
        }
    )
