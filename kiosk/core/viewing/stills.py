"""What is shown of pictures: the live page, why there is none."""

from collections.abc import Callable
from math import ceil

from kiosk.core.bench import Piece
from kiosk.core.commands import GiveNoStill, KeepStill, NoPhoto, Page, Turn
from kiosk.core.glance import Glance, back_hand, head, piece_name, place_words, way, way_name
from kiosk.core.place import Place
from kiosk.core.still import StillOn
from kiosk.core.stills import NO_REASONS, before_the_lens, of_lumen
from kiosk.core.viewing.menus import Offer
from kiosk.core.views import CameraView, Key, MenuView, StillShown, View

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
        hand=back_hand(g, g.key("camera.done", Turn(), kind="main", icon="arrow_right", name="pictures done")),
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


STEPS: dict[str, Callable[[Glance], View]] = {}
PAGES: dict[Page, Callable[[Glance], View]] = {Page.CAMERA: camera, Page.NO_STILL: no_still}
BEFORE_THE_LENS = frozenset({Page.CAMERA, Page.NO_STILL})
"""Pages that show nothing once nothing is before the lens: the work is shown instead."""
HAPPENED: tuple[Offer, ...] = ()
RULINGS: tuple[Offer, ...] = ()
DESK: tuple[Offer, ...] = ()
SECONDS: dict[str, Callable[[Glance], View]] = {}
