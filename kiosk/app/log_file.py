"""What the program says of itself, kept beside its store in files that are rotated: a bug is read there afterwards."""

import logging
from logging.handlers import RotatingFileHandler
from pathlib import Path

from kiosk.store.durable import sync_folder

log = logging.getLogger(__name__)

FOLDER, FILE = "log", "throughlight.log"
MOST_BYTES, MOST_FILES = 1 << 20, 5
"""A file's size, and how many older ones stay (a choice, no source)."""

LINE = "%(asctime)s %(levelname)s %(name)s: %(message)s"


def keep_log(folder: Path) -> RotatingFileHandler | None:
    """Write the log into the store's folder too; None, and a warning, where that can not be done."""
    try:
        if not folder.is_dir():  # the store comes to lie in it: its name is to outlast a power cut
            folder.mkdir(parents=True)
            sync_folder(folder.parent)
        (folder / FOLDER).mkdir(exist_ok=True)
        handler = RotatingFileHandler(
            folder / FOLDER / FILE, maxBytes=MOST_BYTES, backupCount=MOST_FILES, encoding="utf-8"
        )  # fmt: skip
    except OSError as fault:
        log.warning("no log is kept in %s: %s", folder.name, fault.strerror or fault)
        return None
    handler.setFormatter(logging.Formatter(LINE))
    logging.getLogger().addHandler(handler)
    return handler


def end_log(handler: RotatingFileHandler | None) -> None:
    """Write no more into the folder's log."""
    if handler is not None:
        logging.getLogger().removeHandler(handler)
        handler.close()
