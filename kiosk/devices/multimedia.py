"""Qt Multimedia, loaded when a picture or a sound is first asked for, and without its chatter on the error stream."""

import logging
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from typing import Any, cast

from PySide6.QtCore import QLoggingCategory, QMessageLogContext, QtMsgType, qInstallMessageHandler
from PySide6.QtGui import QImage

log = logging.getLogger(__name__)


def multimedia() -> Any:
    """The module PySide6.QtMultimedia. Raises ImportError where it, or a library it needs, is not on this machine."""
    QLoggingCategory.setFilterRules("qt.multimedia*=false")
    with quietly():
        return import_module("PySide6.QtMultimedia")


_converted: list[bool] = []


def image_of(frame: Any) -> QImage:
    """A QVideoFrame as a picture. The first one says once that a machine has no graphics processor: nobody's fault."""
    if _converted:
        return cast("QImage", frame.toImage())
    with quietly():
        image = cast("QImage", frame.toImage())
    if not image.isNull():
        _converted.append(True)
    return image


@contextmanager
def quietly() -> Iterator[None]:
    """What Qt says meanwhile (no sound server, no graphics library) goes to our log at DEBUG: it is nobody's fault."""
    before = qInstallMessageHandler(_note)
    try:
        yield
    finally:
        qInstallMessageHandler(before)


def _note(_kind: QtMsgType, _where: QMessageLogContext, text: str) -> None:
    log.debug("Qt Multimedia: %s", text)
