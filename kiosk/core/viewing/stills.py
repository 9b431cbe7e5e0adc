"""What is shown of pictures: the live page, why there is none, and after the answer today's beside the known look."""

from collections.abc import Callable
from math import ceil

from kiosk.core.commands import AcceptLook, GiveNoStill, KeepStill, NoPhoto, Page, Turn
from kiosk.core.glance import Glance, back_hand, band_for, hand, head, piece_name, place_words, way, way_name
from kiosk.core.place import Place
from kiosk.core.stamp import local_time
from kiosk.core.state.piece import Piece
from kiosk.core.still import StillOn
from kiosk.core.stills import NO_REASONS, answered, before_the_lens, known_look, of_lumen
from kiosk.core.viewing.menus import Offer
from kiosk.core.views import Band, CameraView, Key, MenuView, SecondLookView, StillShown, StillsView, StopView, View

SOURCES = ("none", "starting", "live", "frozen", "black", "ended", "gone", "unreadable")
"""States of a source (`kiosk.devices.picture.State`), as the words name them."""


def key_of(g: Glance) -> tuple[Key, ...]:
    """The key that leads to the scope's picture, where this station has one."""
    if not g.sight or before_the_lens(g.bench.trip, g.step) is None:
        return ()
    return (g.key("camera.key", Turn(page=Page.CAMERA), icon="camera", name="picture page"),)


def still_words(g: Glance, still: StillOn) -> str:
    """Where a still was taken, in words; that nobody said, where nobody did."""
    if still.at_mm is None:
        return g.words.say("camera.no_place", n=still.n)
    return place_words(g, Place(lumen=still.lumen, at_mm=still.at_mm))


def of_words(g: Glance, piece: Piece, lumen: str) -> str:
    """The piece and its lumen."""
    named = piece_name(g, piece)
    return f"{named} · {way_name(g, piece, lumen)}" if lumen else named


def camera(g: Glance) -> CameraView:
    """The scope's picture as it comes, of the lumen or the finding that is before the lens."""
    say = g.words.say
    here = before_the_lens(g.bench.trip, g.step)
    assert here is not None
    name, lumen, finding = here
    piece = g.trip.pieces[name]
    known = way(piece.item, lumen)
    length = known.length_mm if known else None
    place = g.trip.finding(finding).place.at_mm if finding else None
    stills = of_lumen(g.trip, name, lumen)
    return CameraView(
        head=head(g),
        hand=back_hand(
            g, *after_key(g), g.key("camera.done", Turn(), kind="main", icon="arrow_right", name="pictures done")
        ),
        title=say("camera.title"),
        help=of_words(g, piece, lumen),
        notice=g.said(),
        of=KeepStill(
            trip=g.trip.id,
            taken_by=g.bench.who or "",
            piece=name,
            lumen=lumen,
            at_mm=place,
            file="",
            sha256="",
            size=0,
            width=0,
            height=0,
            source=g.sight,
            finding=finding,
        ),
        freeze=say("camera.freeze"),
        keep=say("camera.keep"),
        again=say("camera.again"),
        keeping=say("camera.keeping"),
        at=g.words.texts["camera.at"],
        at_none=say("camera.at_none"),
        tube_title=say("camera.tube_title"),
        band=band_for(g, piece, lumen) if length else Band(),
        cm_from=say("finding.cm_from"),
        type_cm=say("camera.type_cm"),
        pad_title=say("camera.pad_title"),
        too_far=say("camera.too_far", cm=ceil(length / 10)) if length else "",
        longest_cm=ceil(length / 10) if length else 0,
        pad_erase=say("number.erase"),
        pad_done=say("camera.pad_done"),
        stills=tuple(StillShown(file=still.file, say=still_words(g, still)) for still in reversed(stills)),
        none_yet=_none_words(g, name, lumen),
        none=g.key("camera.none", Turn(page=Page.NO_STILL), name="no picture"),
        states=tuple((state, g.words.texts[f"source.{state}"]) for state in SOURCES),
    )


def _none_words(g: Glance, piece: str, lumen: str) -> str:
    reason = g.trip.no_stills.get(f"{piece}.{lumen}", "")
    if reason:
        return g.words.say("camera.none_given", reason=g.words.say(f"photo.reason_words.{reason}"))
    return g.words.say("camera.none_yet")


def no_still(g: Glance) -> MenuView:
    """Why there is no picture."""
    say = g.words.say
    here = before_the_lens(g.bench.trip, g.step)
    assert here is not None
    piece, lumen, finding = here
    keys = []
    for reason in NO_REASONS:
        told = NoPhoto(reason=reason) if finding else GiveNoStill(piece=piece, lumen=lumen, reason=reason)
        keys.append(Key(label=say(f"photo.reasons.{reason}"), send=told, name=f"no photo {reason}"))
    return MenuView(
        head=head(g),
        hand=back_hand(g, to=Turn(page=Page.CAMERA)),
        title=say("camera.none_title"),
        help=of_words(g, g.trip.pieces[piece], lumen),
        notice=g.said(),
        lines=(),
        keys=tuple(keys),
    )


def compared_still(g: Glance) -> StillOn | None:
    """The still that the page is about, once the check of its lumen was answered; else None, and no such page."""
    trip, subject = g.bench.trip, g.turn.subject if g.turn else ""
    still = next((each for each in trip.stills if str(each.n) == subject), None) if trip else None
    return still if trip and still and answered(trip, still.piece, still.lumen) else None


def compare(g: Glance) -> StillsView:
    """Today's still beside the known look. Only after the answer: nothing here may lead it."""
    say = g.words.say
    still = compared_still(g)
    assert still is not None
    piece = g.trip.pieces[still.piece]
    look = known_look(g.bench, g.desk.others, g.trip, still)
    mine = list(of_lumen(g.trip, still.piece, still.lumen))
    at = mine.index(still)
    others = tuple(
        g.key(f"compare.{word}", Turn(page=Page.STILLS, subject=str(each.n)), icon=icon, name=f"{word} picture")
        for word, icon, each in (
            *((("before", "arrow_left", mine[at - 1]),) if at else ()),
            *((("after", "arrow_right", mine[at + 1]),) if at + 1 < len(mine) else ()),
        )
    )
    known_say = say("compare.no_known")
    if look is not None:
        when = f"{local_time(look.at_ms, look.offset_min):%Y-%m-%d}"
        known_say = say("compare.known" if piece.mark else "compare.known_line", who=g.name_of(look.by), date=when)
    aim = Turn(page=Page.NAMES, subject=f"second:still-{still.n}:")
    may_accept = answered(g.trip, still.piece, still.lumen) == "yes" and not still.accepted
    return StillsView(
        head=head(g),
        hand=back_hand(g, *others),
        title=say("compare.title"),
        help=of_words(g, piece, still.lumen),
        notice=g.said(),
        today=still.file,
        today_say=say("compare.today", place=still_words(g, still)),
        known=look.file if look else "",
        known_sha256=look.sha256 if look else "",
        known_say=known_say,
        aid=say("compare.aid"),
        show=say("compare.show"),
        hide=say("compare.hide"),
        working=say("compare.working"),
        no_fit=say("compare.no_fit"),
        not_read=say("compare.not_read"),
        nothing=say("compare.nothing"),
        not_here=say("compare.not_here"),
        not_accepted=say("compare.not_accepted"),
        accept=g.key("compare.accept", aim, name="second person accepts") if may_accept else None,
    )


def compare_key(g: Glance) -> Key | None:
    """The key that leads to the last still of a lumen whose check was answered; of the last answer's before others."""
    trip = g.bench.trip
    if trip is None or trip.ended:
        return None
    stills = [each for each in trip.stills if answered(trip, each.piece, each.lumen)]
    last = trip.last[:2] if trip.last else ("", "")
    mine = [each for each in stills if (each.piece, f"{each.lumen}.scope") == last]
    if not stills:
        return None
    still = (mine or stills)[-1]
    return g.key("compare.key", Turn(page=Page.STILLS, subject=str(still.n)), icon="camera", name="compare pictures")


def after_key(g: Glance) -> tuple[Key, ...]:
    """The same key on the page that follows the answer at once."""
    trip, key = g.bench.trip, compare_key(g)
    if trip is None or key is None or trip.last is None:
        return ()
    piece, name, _ = trip.last
    return (key,) if any((each.piece, f"{each.lumen}.scope") == (piece, name) for each in trip.stills) else ()


def accepting(g: Glance) -> SecondLookView | StopView:
    """What the second person is asked: is this a look that later pictures may be set beside?"""
    assert g.turn is not None
    about, _, person = g.turn.subject.rpartition(":")
    say, trip = g.words.say, g.bench.trip
    still = next((each for each in trip.stills if about == f"still-{each.n}"), None) if trip else None
    back = hand(g, left=(g.key("rail.back", Turn(), icon="arrow_left"),))
    title = say("compare.accept_title")
    if still is None or answered(g.trip, still.piece, still.lumen) != "yes" or still.accepted:
        return StopView(head=head(g), hand=back, title=title, sentence=say("compare.settled"), lines=(), main=None)
    piece = g.trip.pieces[still.piece]
    return SecondLookView(
        head=head(g),
        hand=back,
        title=title,
        help=of_words(g, piece, still.lumen),
        notice=g.said(),
        band=band_for(g, piece, still.lumen if way(piece.item, still.lumen) else ""),
        place=still_words(g, still),
        picture=still.file,
        none=say("second_look.no_picture"),
        keys=(g.key("compare.accept_key", AcceptLook(by=person, n=still.n), name="accept look"),),
    )


STEPS: dict[str, Callable[[Glance], View]] = {}
PAGES: dict[Page, Callable[[Glance], View]] = {Page.CAMERA: camera, Page.NO_STILL: no_still, Page.STILLS: compare}
BEFORE_THE_LENS = frozenset({Page.CAMERA, Page.NO_STILL})
"""Pages that show nothing once nothing is before the lens: the work is shown instead."""
HAPPENED: tuple[Offer, ...] = (compare_key,)
RULINGS: tuple[Offer, ...] = ()
DESK: tuple[Offer, ...] = ()
SECONDS: dict[str, Callable[[Glance], View]] = {"still": accepting}
