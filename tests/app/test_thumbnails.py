"""Small pictures: made when shown, the oldest let go, and made again when they are shown again."""

import os
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from kiosk.app import thumbnails
from kiosk.app.thumbnails import Thumbnails
from tests.app.seeing import picture


def test_a_small_picture_that_was_let_go_is_made_again_when_it_is_shown_again(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(thumbnails, "MOST", 1)
    for name in ("a.png", "b.png"):
        (tmp_path / name).write_bytes(picture(3))
    with ThreadPoolExecutor(max_workers=1) as worker:
        small = Thumbnails(tmp_path / "small", tmp_path.joinpath, worker, lambda: None)

        def made(name: str) -> bool:
            return small.find(name) is not None

        qtbot.waitUntil(lambda: made("a.png"), timeout=20_000)
        os.utime(tmp_path / "small" / "a.png.jpg", ns=(1, 1))
        qtbot.waitUntil(lambda: made("b.png"), timeout=20_000)
        assert [path.name for path in (tmp_path / "small").glob("*.jpg")] == ["b.png.jpg"]
        qtbot.waitUntil(lambda: made("a.png"), timeout=20_000)
