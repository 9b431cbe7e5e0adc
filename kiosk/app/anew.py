"""A bug reaches the hook: it is written to the log, and the program starts anew where it was.

What was kept says where that is, so a start after a bug is a start after a power cut. A program that falls again and
again is left to whoever started it (systemd), with a status of its own.
"""

import logging
import os
import sys
import time
from collections.abc import Callable, Mapping
from types import TracebackType

log = logging.getLogger(__name__)

MARK = "THROUGHLIGHT_ANEW"
"""In the environment of a program that started anew: when, on the steady clock in s, and how often in a row."""

SOON_S = 20.0
"""A bug so soon after such a start counts as the same one again (a choice)."""

MOST = 3
"""Starts anew in a row; after them the program ends (a choice)."""

GAVE_UP = 70
"""Exit status then: EX_SOFTWARE of sysexits.h."""


def install() -> None:
    """From here on a bug starts the program anew."""
    sys.excepthook = _hook


def _hook(kind: type[BaseException], fault: BaseException, trace: TracebackType | None) -> None:
    if not issubclass(kind, Exception):  # an interrupt at a terminal is no bug
        sys.__excepthook__(kind, fault, trace)
        return
    log.critical("a bug: the program starts anew", exc_info=(kind, fault, trace))
    start_anew(os.environ, time.monotonic())


def how_often(mark: str, now_s: float) -> int:
    """How many starts in a row this one would be, after the mark of the last one."""
    when, _, often = mark.partition(" ")
    try:
        return int(often) + 1 if 0 <= now_s - float(when) < SOON_S else 1
    except ValueError:
        return 1


def start_anew(
    environment: Mapping[str, str],
    now_s: float,
    replace: Callable[[str, list[str], dict[str, str]], object] = os.execve,
    give_up: Callable[[int], object] = os._exit,
) -> None:
    """Put a new process of the same call in the place of this one. What runs in it ends at once, as in a power cut."""
    often = how_often(environment.get(MARK, ""), now_s)
    logging.shutdown()
    for stream in (sys.stdout, sys.stderr):
        if stream is not None:
            stream.flush()
    if often > MOST:
        give_up(GAVE_UP)
        return
    anew = {**environment, MARK: f"{now_s} {often}"}
    if getattr(sys, "frozen", False):  # else a frozen program takes its second start for a helper of the first
        anew["PYINSTALLER_RESET_ENVIRONMENT"] = "1"
    replace(sys.executable, [sys.executable, *sys.orig_argv[1:]], anew)
