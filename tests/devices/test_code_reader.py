"""Barcodes by the camera: a tag in a video is read as a scanner would type it, once, off the screen's thread."""

import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from PySide6.QtCore import QObject, QUrl, Slot
from pytestqt.qtbot import QtBot

from kiosk.codes import read
from kiosk.codes.directory import Known
from kiosk.core.meaning import Kind
from kiosk.devices import code_reader
from kiosk.devices.clock import SystemClock
from kiosk.devices.code_reader import AGAIN_MS, EVERY_MS, CodeReader, read_picture
from kiosk.devices.picture import Frame, State
from kiosk.devices.stream import StreamSource
from tests.devices.tags import bare, tag
from tests.devices.videos import film, shown_until
from tests.devices.watched import image_of

CODE = "TR-0734"


class _Told(QObject):
    def __init__(self, reader: CodeReader) -> None:
        super().__init__()
        self.texts: list[str] = []
        reader.scanned.connect(self._told)

    @Slot(str)
    def _told(self, text: str) -> None:
        self.texts.append(text)


@pytest.fixture
def worker() -> Iterator[ThreadPoolExecutor]:
    with ThreadPoolExecutor(max_workers=1) as one:
        yield one


def _meaning(text: str) -> tuple[Kind, str]:
    meaning = read.read_text(text, lambda code: Known(Kind.TRAY, CODE) if code == CODE else None)
    return meaning.kind, meaning.text


@pytest.mark.parametrize("turned", [0, 90, 180, 20, 50, 75])
def test_a_tag_is_read_however_it_is_turned_within_six_frames(turned: float) -> None:
    picture = image_of(tag(CODE, turned=turned))
    texts = {text for turn in range(len(read.TURNS)) for text in read_picture(picture, turn)}
    assert {_meaning(text) for text in texts} == {(Kind.TRAY, CODE)}
    assert read_picture(image_of(bare()), 0) == ()


def test_a_tag_in_a_video_is_told_once_and_means_what_the_scanner_would_say(
    qtbot: QtBot, tmp_path: Path, worker: ThreadPoolExecutor, monkeypatch: pytest.MonkeyPatch
) -> None:
    threads, real = set(), read.texts_in

    def noted(*given: object, **more: object) -> tuple[str, ...]:
        threads.add(threading.current_thread())
        return real(*given, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(read, "texts_in", noted)
    frames = [*[bare()] * 15, *[tag(CODE)] * 60, *[bare()] * 15]
    clock = SystemClock().steady_ms
    source = StreamSource(QUrl.fromLocalFile(str(film(tmp_path / "bench.mp4", frames))), clock)
    reader = CodeReader(clock, worker)
    told = _Told(reader)
    source.framed.connect(reader.see)
    reader.listen(True)
    monkeypatch.setattr(code_reader, "AGAIN_MS", 600_000)  # however long a busy machine shows it, it is one showing
    source.start()
    qtbot.waitUntil(lambda: shown_until(source, lambda: bool(told.texts)), timeout=60_000)
    qtbot.waitUntil(lambda: source.state is State.ENDED, timeout=20_000)
    qtbot.waitUntil(lambda: reader._reading is None, timeout=10_000)
    assert [_meaning(text) for text in told.texts] == [(Kind.TRAY, CODE)]
    assert threads
    assert threading.main_thread() not in threads
    source.stop()
    reader.stop()


def _show(qtbot: QtBot, reader: CodeReader, now: list[int], *codes: str) -> None:
    now[0] += EVERY_MS
    picture = tag(codes[0]) if codes else bare()
    if len(codes) > 1:
        picture[240:] = tag(codes[1])[160:400]
        picture[:240] = tag(codes[0])[80:320]
    reader.see(Frame(image=image_of(picture), number=1, at_ms=now[0]))
    qtbot.waitUntil(lambda: reader._reading is None, timeout=10_000)


def test_a_code_that_stays_in_sight_is_told_once_and_again_after_it_was_away(
    qtbot: QtBot, worker: ThreadPoolExecutor
) -> None:
    now = [0]
    reader = CodeReader(lambda: now[0], worker)
    told = _Told(reader)
    reader.listen(True)
    for _ in range(3 * AGAIN_MS // EVERY_MS):
        _show(qtbot, reader, now, CODE)
    assert len(told.texts) == 1
    _show(qtbot, reader, now)
    now[0] += AGAIN_MS
    for _ in read.TURNS:  # the turn at which a tag is read comes within six frames
        _show(qtbot, reader, now, CODE)
    assert len(told.texts) == 2


def test_of_two_codes_at_once_none_is_told(qtbot: QtBot, worker: ThreadPoolExecutor) -> None:
    now = [0]
    reader = CodeReader(lambda: now[0], worker)
    told = _Told(reader)
    reader.listen(True)
    _show(qtbot, reader, now, CODE, "TR-0735")
    assert told.texts == []


def test_nothing_is_read_while_nobody_waits_for_a_scan(qtbot: QtBot, worker: ThreadPoolExecutor) -> None:
    now = [0]
    reader = CodeReader(lambda: now[0], worker)
    told = _Told(reader)
    _show(qtbot, reader, now, CODE)
    reader.listen(True)
    now[0] += EVERY_MS
    reader.see(Frame(image=image_of(tag(CODE)), number=1, at_ms=now[0]))
    reader.listen(False)  # the page was left while the frame was being read
    qtbot.waitUntil(lambda: reader._reading is None, timeout=10_000)
    assert told.texts == []
