"""Pictures of a video file and of a stream, through the real player: content, end, cut, frozen, black."""

import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest
from PySide6.QtCore import QUrl
from pytestqt.qtbot import QtBot

from kiosk.devices.clock import SystemClock
from kiosk.devices.feed_watch import FeedWatch
from kiosk.devices.picture import State
from kiosk.devices.stream import StreamSource
from tests.devices.videos import HEIGHT, MARK, RATE, WIDTH, film, found_mark, mark_at, moving, tube
from tests.devices.watched import Watched, in_order, pixels

LONG = 15_000  # ms that a busy machine may take


def _file(path: Path, watch: FeedWatch | None = None) -> StreamSource:
    return StreamSource(QUrl.fromLocalFile(str(path)), SystemClock().steady_ms, watch=watch)


def test_a_video_file_comes_frame_by_frame_as_it_was_painted_and_its_end_is_told(qtbot: QtBot, tmp_path: Path) -> None:
    source = _file(film(tmp_path / "tube.mp4", moving(45)))
    seen = Watched(source)
    source.start()
    qtbot.waitUntil(lambda: source.state is State.ENDED, timeout=LONG)
    assert in_order(seen.states, State.STARTING, State.LIVE, State.ENDED)
    assert len(seen.frames) >= 15  # of 45; a busy machine leaves some out
    assert [frame.number for frame in seen.frames] == list(range(1, len(seen.frames) + 1))
    assert [frame.at_ms for frame in seen.frames] == sorted(frame.at_ms for frame in seen.frames)
    places = [found_mark(pixels(frame.image)) for frame in seen.frames]
    painted = [mark_at(number)[0] + (MARK - 1) / 2 for number in range(45)]
    assert all(min(abs(place - there) for there in painted) < 1.5 for place in places)
    assert places == sorted(places)
    assert places[-1] - places[0] > 40
    first = pixels(seen.frames[0].image)
    assert first.shape == (HEIGHT, WIDTH, 3)
    shown, meant = first[200:, ::40].astype(int), tube()[200:, ::40].astype(int)
    assert abs(shown - meant).mean() < 4  # native colors, within what a video keeps of them
    source.stop()
    assert source.state is State.NONE
    assert source.still() is None


def test_the_still_is_the_newest_frame_that_was_shown(qtbot: QtBot, tmp_path: Path) -> None:
    source = _file(film(tmp_path / "tube.mkv", moving(20)))
    seen = Watched(source)
    source.start()
    qtbot.waitUntil(lambda: source.state is State.ENDED, timeout=LONG)
    still = source.still()
    assert still is not None
    assert still.frame is seen.frames[-1]
    assert (still.original, still.name) == (None, "")
    source.stop()


def test_a_feed_whose_picture_stands_still_is_called_frozen_and_live_again_when_it_moves(
    qtbot: QtBot, tmp_path: Path
) -> None:
    frames = [*moving(12), *[moving(1, first=11)[0]] * (2 * RATE), *moving(20, first=12)]
    source = _file(film(tmp_path / "stuck.avi", frames, code="mjpeg"), FeedWatch(frozen_ms=700))
    seen = Watched(source)
    source.start()
    qtbot.waitUntil(lambda: source.state is State.ENDED, timeout=LONG)
    assert in_order(seen.states, State.STARTING, State.LIVE, State.FROZEN, State.LIVE, State.ENDED)
    source.stop()


def test_a_feed_that_shows_nothing_is_called_black_and_live_again_with_light(qtbot: QtBot, tmp_path: Path) -> None:
    frames = [*moving(8), *[tube(0.02)] * (2 * RATE), *moving(20, first=8)]
    source = _file(film(tmp_path / "dark.mp4", frames), FeedWatch(black_ms=400))
    seen = Watched(source)
    source.start()
    qtbot.waitUntil(lambda: source.state is State.ENDED, timeout=LONG)
    assert in_order(seen.states, State.STARTING, State.LIVE, State.BLACK, State.LIVE, State.ENDED)
    source.stop()


@pytest.mark.parametrize("data", [b"", b"no video at all", bytes(range(256)) * 64], ids=["empty", "text", "noise"])
def test_a_file_that_is_no_video_is_a_sentence_and_nothing_is_raised(qtbot: QtBot, tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "broken.mp4"
    path.write_bytes(data)
    source = _file(path)
    source.start()
    qtbot.waitUntil(lambda: source.state is State.GONE, timeout=LONG)
    assert source.still() is None
    source.stop()


class _Served(ThreadingHTTPServer):
    """Gives out `data` on loopback at `pace` bytes a second, no more than `most` bytes of it; counts who asked."""

    daemon_threads = True

    def __init__(self, data: bytes, most: int, pace: float) -> None:
        super().__init__(("127.0.0.1", 0), _Serving)
        self.data, self.most, self.pace, self.asked = data, most, pace, 0

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.server_address[1]}/live.ts"


class _Serving(BaseHTTPRequestHandler):
    server: _Served

    def do_GET(self) -> None:
        self.server.asked += 1
        self.send_response(200)
        self.send_header("Content-Type", "video/mp2t")
        self.end_headers()
        piece = 2048
        for at in range(0, min(self.server.most, len(self.server.data)), piece):
            try:
                self.wfile.write(self.server.data[at : min(at + piece, self.server.most)])
            except OSError:
                return
            time.sleep(piece / self.server.pace)

    def log_message(self, *_: object) -> None:
        pass


@contextmanager
def _serving(data: bytes, most: int, pace: float = 1e9) -> Iterator[_Served]:
    server = _Served(data, most, pace)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield server
    finally:
        server.shutdown()
        server.server_close()
        thread.join()


def test_a_stream_cut_in_the_middle_is_told_and_asked_for_again_until_it_is_there(qtbot: QtBot, tmp_path: Path) -> None:
    data = film(tmp_path / "live.ts", [*moving(60), *reversed(moving(60)), *moving(60)]).read_bytes()
    with _serving(data, most=len(data) // 2, pace=len(data) / 6) as server:  # six seconds of film
        source = StreamSource(QUrl(server.url), SystemClock().steady_ms, again_ms=300)
        seen = Watched(source)
        source.start()
        qtbot.waitUntil(lambda: State.GONE in seen.states, timeout=LONG)
        assert in_order(seen.states, State.STARTING, State.LIVE, State.GONE)
        assert found_mark(pixels(seen.frames[0].image)) > 0
        before = len(seen.frames)
        server.most = len(data)
        qtbot.waitUntil(lambda: len(seen.frames) > before + 5, timeout=LONG)
        assert source.state is State.LIVE
        assert server.asked >= 2
        source.stop()


def test_a_stream_that_nobody_serves_is_a_sentence_and_is_asked_for_again(qtbot: QtBot) -> None:
    with _serving(b"", most=0) as server:
        url = server.url
    source = StreamSource(QUrl(url), SystemClock().steady_ms, again_ms=200)
    seen = Watched(source)
    source.start()
    qtbot.waitUntil(lambda: seen.states.count(State.GONE) >= 2, timeout=LONG)
    assert seen.frames == []
    source.stop()
    assert source.state is State.NONE


def test_a_stream_that_says_nothing_is_given_up_after_its_time(qtbot: QtBot) -> None:
    with _serving(b"", most=0) as server:
        now = [0]
        source = StreamSource(QUrl(server.url), lambda: now[0], watch=FeedWatch(first_ms=5_000), again_ms=60_000)
        source.start()
        now[0] = 5_000
        source.look()
        assert source.state is State.GONE
        source.stop()


def test_a_play_list_under_the_name_of_a_video_reaches_no_network(qtbot: QtBot, tmp_path: Path) -> None:
    with _serving(film(tmp_path / "part.ts", moving(10)).read_bytes(), most=1 << 20) as server:
        path = tmp_path / "tube.mp4"
        path.write_text(f"#EXTM3U\n#EXT-X-TARGETDURATION:1\n#EXTINF:1,\n{server.url}\n#EXT-X-ENDLIST\n", "utf-8")
        source = _file(path)
        source.start()
        qtbot.waitUntil(lambda: source.state is State.GONE, timeout=LONG)
        assert server.asked == 0
        source.stop()
