"""The program's own log beside the store: rotated, bounded, and a bug stands in it."""

import logging
from collections.abc import Iterator
from logging.handlers import RotatingFileHandler
from pathlib import Path

import pytest

from kiosk.app.log_file import FILE, FOLDER, MOST_BYTES, MOST_FILES, keep_log
from tests.app.driven import prepare, run


@pytest.fixture
def handler(tmp_path: Path) -> Iterator[RotatingFileHandler]:
    made = keep_log(tmp_path / "store")
    assert made is not None
    yield made
    logging.getLogger().removeHandler(made)
    made.close()


def test_the_log_is_rotated_and_never_takes_more_than_its_files(tmp_path: Path, handler: RotatingFileHandler) -> None:
    record = logging.LogRecord("kiosk", logging.INFO, __file__, 1, "x" * 4000, None, None)
    for _ in range(2 * (MOST_FILES + 1) * MOST_BYTES // 4000):
        handler.emit(record)
    files = list((tmp_path / "store" / FOLDER).iterdir())
    assert len(files) == MOST_FILES + 1
    assert all(file.stat().st_size <= MOST_BYTES for file in files)


@pytest.mark.expect_log("no log is kept in store")
def test_a_folder_that_takes_no_log_stops_nothing(tmp_path: Path) -> None:
    (tmp_path / "store").mkdir()
    (tmp_path / "store" / FOLDER).write_text("in the way")
    assert keep_log(tmp_path / "store") is None


@pytest.mark.slow
def test_a_bug_stands_in_the_log_with_where_it_was(tmp_path: Path) -> None:
    prepare(tmp_path / "store")
    run(tmp_path / "store", "bug")
    said = (tmp_path / "store" / FOLDER / FILE).read_text()
    assert "a bug: the program starts anew" in said
    assert "RuntimeError: a bug of the test" in said
