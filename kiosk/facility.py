"""The facility's own first-aid page: read, and taken only when somebody has filled in every line and dated it."""

import re
from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any

from kiosk.core.exposure import Contact, FirstAidWords
from kiosk.resources import ResourceFault, read_yaml

FILE = "first_aid.yaml"
"""Its name in the store's folder."""

STEPS_MOST, THEN_MOST = 6, 3
_PLACEHOLDER = re.compile(r"\[.*\]|_{3,}|\.{3}|\b(fill in|to do|tbd|xxx+)\b", re.IGNORECASE | re.DOTALL)
_DIALED = re.compile(r"[+*#0-9][0-9 ()/*#.,+-]*", re.ASCII)


class NotFilledIn(ValueError):
    """The first-aid page is not filled in yet; the message says which line."""


def first_aid_words(path: Path) -> FirstAidWords:
    """The page in `path`. Raises NotFilledIn for a missing file, a placeholder, a missing date."""
    if not path.is_file():
        raise NotFilledIn(f"{path.name}: there is none in {path.parent.name}")
    try:
        tree = read_yaml(path)
    except ResourceFault as fault:
        raise NotFilledIn(str(fault)) from fault
    if not isinstance(tree, Mapping):
        raise NotFilledIn(f"{path.name}: is not a list of `key: value` lines")
    try:
        words = FirstAidWords(
            steps=tuple(_text(step, "steps") for step in _rows(tree, "steps")),
            call=_contact(tree.get("call"), "call"),
            then=tuple(_contact(row, "then") for row in _rows(tree, "then")),
            urgent=tuple(_contact(row, "urgent") for row in _rows(tree, "urgent")),
            date=_day(tree.get("date")),
            signed_by=_text(tree.get("signed_by"), "signed_by"),
        )
    except NotFilledIn as fault:
        raise NotFilledIn(f"{path.name}: {fault}") from None
    if len(words.steps) > STEPS_MOST or len(words.then) > THEN_MOST:
        raise NotFilledIn(f"{path.name}: at most {STEPS_MOST} steps and {THEN_MOST} next names fit the page")
    return words


def _rows(tree: Mapping[str, Any], key: str) -> Sequence[Any]:
    rows = tree.get(key) or ()
    if not isinstance(rows, Sequence) or isinstance(rows, str):
        raise NotFilledIn(f"{key} is not a list")
    return rows


def _text(value: object, key: str) -> str:
    text = str(value).strip() if isinstance(value, str | int) else ""
    if not text or _PLACEHOLDER.search(text):
        raise NotFilledIn(f"{key} is not filled in")
    return text


def _contact(row: object, key: str) -> Contact:
    if not isinstance(row, Mapping):
        raise NotFilledIn(f"{key} is not filled in")
    phone = _text(row.get("phone"), key)
    if not _DIALED.fullmatch(phone):
        raise NotFilledIn(f"{key}: {phone} is no number to dial")
    return Contact(name=_text(row.get("name"), key), phone=phone)


def _day(value: object) -> str:
    try:
        day = value if isinstance(value, date) else date.fromisoformat(_text(value, "date"))
    except ValueError as fault:
        raise NotFilledIn("the date is not filled in") from fault
    return day.isoformat()
