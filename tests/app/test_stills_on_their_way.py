"""Stills on their way to the disk: each settled for itself, told when it is lost, and never made room of."""

import hashlib
from collections.abc import Callable, Iterator
from concurrent.futures import Executor, Future
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from threading import Event
from typing import Any

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core import views as v
from kiosk.store.outage import Outage
from kiosk.ui.screens.camera import Mode
from tests.app.seeing import Walk, drops, kept, picture, walk

__all__ = ["drops", "walk"]


def cleared(walk: Walk) -> list[int]:
    """How many pictures made room, as it was told."""
    told = (kept.event for _, kept in walk.kiosk.store.records.kept(e.NAME_OF[e.PicturesCleared]))
    return [event.count for event in told if isinstance(event, e.PicturesCleared)]


@contextmanager
def held_back(walk: Walk) -> Iterator[None]:
    """Meanwhile the worker does nothing."""
    gate = Event()
    walk.kiosk._worker.submit(gate.wait, 60)
    try:
        yield
    finally:
        gate.set()


def refuses(fault: Exception) -> Callable[..., Any]:
    """Whatever is asked of it, it raises."""

    def run(*_: Any, **__: Any) -> Any:
        raise fault

    return run


def full_once(walk: Walk) -> Callable[[str, bytes], str]:
    """The disk is full at the first picture, and only then."""
    keeps = walk.kiosk.store.keep_picture
    told: list[str] = []

    def keep(name: str, data: bytes) -> str:
        if not told:
            told.append(name)
            raise Outage("disk_full")
        return keeps(name, data)

    return keep


class AtOnce(Executor):
    """A worker that is done before it answers."""

    def submit(self, run: Callable[..., Any], /, *args: Any, **more: Any) -> Future[Any]:
        future: Future[Any] = Future()
        future.set_result(run(*args, **more))
        return future


def test_a_still_whose_page_was_left_before_the_disk_had_it_is_kept_where_it_was_frozen(
    walk: Walk, drops: Path
) -> None:
    walk.open_camera()
    walk.drop(drops, "e.png", picture(8))
    walk.touch("freeze")
    with held_back(walk):
        walk.touch("keep still")
        walk.shift.must(c.Turn())
        walk.shift.yes()
        assert not kept(walk)
    walk.settled()
    (event,) = kept(walk)
    assert (event.piece, event.lumen) == ("A1", "bore")


def test_a_still_that_is_lost_after_its_page_was_left_is_said_on_whatever_page(
    walk: Walk, drops: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    walk.open_camera()
    walk.drop(drops, "g.png", picture(8))
    walk.touch("freeze")
    monkeypatch.setattr(walk.kiosk.store, "keep_picture", refuses(Outage("disk")), raising=False)
    with held_back(walk):
        walk.touch("keep still")
        assert walk.mode() is Mode.KEEPING
        view = walk.page._view
        assert view is not None
        assert walk.page._hand(view).left == (), "no key leads away before the disk has it"
        walk.shift.must(c.Turn())
    walk.settled()
    asked = walk.kiosk.session.view()
    assert isinstance(asked, v.AskView)
    assert asked.notice == f"The picture of Bent tube · only lumen was not kept: {Outage('disk')}"


def test_of_two_stills_on_their_way_each_is_settled_for_itself(walk: Walk, drops: Path) -> None:
    walk.open_camera()
    walk.drop(drops, "h.png", picture(10))
    walk.touch("freeze")
    with held_back(walk):
        walk.touch("keep still")
        first = walk.page._still
        walk.shift.must(c.Turn())
        walk.open_camera()
        walk.kiosk.window.still_settled(first, kept=False)
        walk.shift.clock.advance(1_000)  # type: ignore[union-attr]
    walk.settled()
    assert walk.mode() is Mode.LIVE
    assert len(kept(walk)) == 1


def test_on_a_full_disk_pictures_that_nothing_names_make_room_and_the_lead_is_told(
    walk: Walk, drops: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    walk.open_camera()
    walk.drop(drops, "i.png", picture(11))
    walk.touch("freeze")
    walk.touch("keep still")
    walk.settled()
    (first,) = kept(walk)
    unnamed = walk.kiosk.store.picture("nobody-names-it.png")
    unnamed.write_bytes(bytes(100))
    monkeypatch.setattr(walk.kiosk.store, "keep_picture", full_once(walk), raising=False)
    walk.drop(drops, "j.png", picture(12))
    walk.touch("freeze")
    walk.touch("keep still")
    walk.settled()
    assert len(kept(walk)) == 2
    assert not unnamed.exists()
    assert walk.kiosk.still(first.file).is_file()
    assert cleared(walk) == [1]
    assert walk.mode() is Mode.LIVE, "the page stays"


def test_room_that_was_made_in_vain_is_told_too(walk: Walk, drops: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = walk.kiosk.store.picture("nobody-names-it.png").parent
    folder.mkdir(exist_ok=True)
    (folder / "nobody-names-it.png").write_bytes(bytes(100))
    monkeypatch.setattr(walk.kiosk.store, "keep_picture", refuses(Outage("disk_full")), raising=False)
    walk.open_camera()
    walk.drop(drops, "k.png", picture(13))
    walk.touch("freeze")
    walk.touch("keep still")
    walk.settled()
    assert not (folder / "nobody-names-it.png").exists()
    assert cleared(walk) == [1]
    assert not kept(walk)
    assert (walk.mode(), walk.said) == (Mode.FROZEN, "refused.still_not_kept")


def test_a_still_on_its_way_to_the_log_makes_no_room_for_another(
    walk: Walk, drops: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    walk.open_camera()
    walk.drop(drops, "l.png", picture(14))
    walk.touch("freeze")
    monkeypatch.setattr(walk.kiosk.store, "keep_picture", full_once(walk), raising=False)
    with held_back(walk):
        walk.touch("keep still")
        view, still = walk.page._view, walk.page._still
        assert view is not None
        walk.shift.clock.advance(1_000)  # type: ignore[union-attr]
        walk.kiosk.stills.keep(replace(still, original=picture(15)), view.of)
    walk.settled()
    assert len(kept(walk)) == 2
    for event in kept(walk):
        assert hashlib.sha256(walk.kiosk.still(event.file).read_bytes()).hexdigest() == event.sha256


@pytest.mark.expect_log("a still could not be measured")
def test_a_still_that_can_not_be_measured_for_whatever_reason_is_kept(
    walk: Walk, drops: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("kiosk.app.stills.measured", refuses(MemoryError()))
    walk.open_camera()
    walk.drop(drops, "m.png", picture(16))
    walk.touch("freeze")
    walk.touch("keep still")
    walk.settled()
    (event,) = kept(walk)
    assert event.quality is None


@pytest.mark.expect_log("a still could not be written")
def test_a_fault_that_nobody_foresaw_leaves_no_page_waiting(
    walk: Walk, drops: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(walk.kiosk.store, "keep_picture", refuses(KeyError("odd")), raising=False)
    walk.open_camera()
    walk.drop(drops, "n.png", picture(17))
    walk.touch("freeze")
    walk.touch("keep still")
    walk.settled()
    assert (walk.mode(), walk.said) == (Mode.FROZEN, "refused.still_not_kept")


def test_a_worker_that_is_done_at_once_is_heard_all_the_same(
    walk: Walk, drops: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    walk.open_camera()
    walk.drop(drops, "o.png", picture(18))
    monkeypatch.setattr(walk.kiosk.stills, "_worker", AtOnce())
    walk.touch("freeze")
    walk.touch("keep still")
    walk.settled()
    assert len(kept(walk)) == 1
    assert walk.mode() is Mode.LIVE


def test_of_a_still_that_was_given_up_nothing_is_said_over_the_live_picture(walk: Walk, drops: Path) -> None:
    walk.open_camera()
    walk.drop(drops, "p.png", picture(19, exposure=0.06))
    with held_back(walk):
        walk.touch("freeze")
        walk.touch("try again")
    walk.settled()
    assert (walk.mode(), walk.said) == (Mode.LIVE, "")


def test_a_still_that_was_given_up_before_its_turn_is_not_measured(
    walk: Walk, drops: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    sizes: list[int] = []
    monkeypatch.setattr("kiosk.app.stills.measured", lambda image: sizes.append(image.width()))
    walk.open_camera()
    walk.drop(drops, "q.png", picture(20))
    with held_back(walk):
        for _ in range(3):
            walk.touch("freeze")
            walk.touch("try again")
        walk.touch("freeze")
    walk.settled()
    assert len(sizes) == 1, "only the one that stands frozen"


def test_a_still_that_is_written_once_more_keeps_its_own_measures(
    walk: Walk, drops: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    walk.open_camera()
    walk.drop(drops, "r.png", picture(21))
    walk.touch("freeze")
    walk.settled()
    own = walk.kiosk.stills._measuring
    assert own is not None
    found = own.result()
    unnamed = walk.kiosk.store.picture("nobody-names-it-either.png")
    unnamed.parent.mkdir(exist_ok=True)
    unnamed.write_bytes(bytes(100))
    monkeypatch.setattr(walk.kiosk.store, "keep_picture", full_once(walk), raising=False)
    with held_back(walk):
        walk.touch("keep still")
        walk.shift.must(c.Turn())
        walk.drop(drops, "s.png", picture(22, exposure=0.06))
        walk.open_camera()
        walk.touch("freeze")
    walk.settled()
    (event,) = kept(walk)
    assert found is not None
    assert event.quality == found.quality
